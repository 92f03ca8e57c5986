//! Every text of the window, in the language in force.
//!
//! English stands in the code, where it is read and searched; it is also the key of a
//! translation. `say!` gives a text or fills its named places, `counted!` chooses by a
//! number, `term!` marks a constant that [`text`] shows later, and [`engine`] takes what comes
//! from the other crates. `words.pot` lists all of them; a test keeps it whole.

use std::borrow::Cow;
use std::cell::Cell;
use std::fmt::Display;

use quern_calc::findings::{Finding, Words};
use quern_calc::number::NumberStyle;

mod file;
mod plural;
mod pseudo;

pub use file::{Translation, WordsError};

/// A language that the window can speak.
#[derive(Clone, Copy, Debug, Default)]
pub enum Language {
    /// As the code has it.
    #[default]
    English,
    /// Accented, longer and in brackets: shows what was not translated and what is cut off.
    Pseudo,
    /// From a file.
    Translated(&'static Translation),
}

thread_local! {
    /// Per thread, so that tests beside each other may speak differently.
    static IN_FORCE: Cell<Language> = const { Cell::new(Language::English) };
}

/// The language of this thread.
#[must_use]
pub fn in_force() -> Language {
    IN_FORCE.get()
}

/// Sets the language of this thread.
pub fn speak(language: Language) {
    IN_FORCE.set(language);
}

/// A text without places to fill. English costs one look at the language.
#[must_use]
pub fn text(key: &'static str) -> &'static str {
    match in_force() {
        Language::English => key,
        Language::Pseudo => pseudo::kept(key),
        Language::Translated(t) => t.one(key).unwrap_or(key),
    }
}

/// A text that another crate made: a name, a sentence of a finding, an error. It is left alone
/// unless the language has it as a whole.
#[must_use]
pub fn engine<'a>(text: impl Into<Cow<'a, str>>) -> Cow<'a, str> {
    let text = text.into();
    match in_force() {
        Language::English => text,
        Language::Pseudo => Cow::Owned(pseudo::of(&text)),
        Language::Translated(t) => t.one(&text).map_or(text, Cow::Borrowed),
    }
}

/// An error of another crate in words.
#[must_use]
pub fn told(error: impl Display) -> String {
    engine(error.to_string()).into_owned()
}

/// What a finding says.
#[must_use]
pub fn of_finding(finding: &Finding, style: NumberStyle) -> Words {
    let Words { title, why, fix, source } = finding.words(style);
    let said = |text: String| engine(text).into_owned();
    Words { title: said(title), why: said(why), fix: said(fix), source: said(source) }
}

/// A value and the name of its place.
pub type Named<'a> = (&'static str, &'a dyn Display);

/// A text with named places, in another language than English.
#[must_use]
pub fn filled(key: &'static str, values: &[Named<'_>]) -> String {
    match in_force() {
        Language::English => fill(key, values),
        Language::Pseudo => fill(&pseudo::of_template(key), values),
        Language::Translated(t) => fill(t.one(key).unwrap_or(key), values),
    }
}

/// A text chosen by a number, in another language than English.
#[must_use]
pub fn filled_by(
    one: &'static str,
    many: &'static str,
    number: u64,
    values: &[Named<'_>],
) -> String {
    let english = if number == 1 { one } else { many };
    match in_force() {
        Language::English => fill(english, values),
        Language::Pseudo => fill(&pseudo::of_template(english), values),
        Language::Translated(t) => fill(t.counted(one, number).unwrap_or(english), values),
    }
}

/// A piece of a text with places.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Piece<'a> {
    Plain(&'a str),
    Place(&'a str),
}

/// Cuts a text at its places. Doubled braces stand for themselves, as in `format!`; so does a
/// brace that opens nothing.
fn pieces(template: &str) -> impl Iterator<Item = Piece<'_>> {
    let mut rest = template;
    std::iter::from_fn(move || {
        let at = match rest.find(['{', '}']) {
            None if rest.is_empty() => return None,
            None => rest.len(),
            Some(at) => at,
        };
        if at > 0 {
            let (plain, after) = rest.split_at(at);
            rest = after;
            return Some(Piece::Plain(plain));
        }
        for (double, single) in [("{{", "{"), ("}}", "}")] {
            if let Some(after) = rest.strip_prefix(double) {
                rest = after;
                return Some(Piece::Plain(single));
            }
        }
        if let Some((name, after)) = rest.strip_prefix('{').and_then(|r| r.split_once('}')) {
            rest = after;
            return Some(Piece::Place(name));
        }
        let (plain, after) = rest.split_at(1);
        rest = after;
        Some(Piece::Plain(plain))
    })
}

fn fill(template: &str, values: &[Named<'_>]) -> String {
    use std::fmt::Write as _;
    let mut out = String::with_capacity(template.len() + 32);
    for piece in pieces(template) {
        match piece {
            Piece::Plain(text) => out.push_str(text),
            Piece::Place(name) => {
                if let Some((_, value)) = values.iter().find(|(n, _)| *n == name) {
                    // Writing to a string fails only where a value's own words do.
                    let _ = write!(out, "{value}");
                }
            }
        }
    }
    out
}

/// Whole numbers that a text is chosen by.
pub trait Number: Copy {
    /// The number without its sign.
    fn size(self) -> u64;
}

macro_rules! numbers {
    ($($kind:ty),+) => {
        $(impl Number for $kind {
            fn size(self) -> u64 {
                u64::try_from(self).unwrap_or(u64::MAX)
            }
        })+
    };
}
numbers!(u8, u16, u32, u64, usize, i32, i64);

/// A text of the window in the language in force: `&'static str` for one without places, else a
/// `String`. Places are named and filled by the values that follow: `say!("{n} of {all}", n, all
/// = rows.len())`. They hold no format of their own, since a translation may move them.
macro_rules! say {
    ($text:literal) => {
        $crate::words::text($text)
    };
    ($text:literal, $($name:ident $(= $value:expr)?),+ $(,)?) => {
        match ($(&word_value!($name $(= $value)?),)+) {
            ($($name,)+) => match $crate::words::in_force() {
                $crate::words::Language::English => format!($text, $($name = $name),+),
                _ => $crate::words::filled($text, &[$((stringify!($name), $name)),+]),
            },
        }
    };
}

/// A text chosen by the first value, a whole number: `counted!("{n} line", "{n} lines", n)`.
macro_rules! counted {
    ($one:literal, $many:literal, $n:ident $(= $number:expr)? $(, $name:ident $(= $value:expr)?)* $(,)?) => {
        match (&word_value!($n $(= $number)?), $(&word_value!($name $(= $value)?),)*) {
            ($n, $($name,)*) => $crate::words::filled_by(
                $one,
                $many,
                $crate::words::Number::size(*$n),
                &[(stringify!($n), $n) $(, (stringify!($name), $name))*],
            ),
        }
    };
}

/// A text in a constant, which [`text`] shows.
macro_rules! term {
    ($text:literal) => {
        $text
    };
}

/// The value of a place; one that is named like its variable need not be named twice.
macro_rules! word_value {
    ($name:ident) => {
        $name
    };
    ($name:ident = $value:expr) => {
        $value
    };
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Speaks a language for the length of one closure.
    fn speaking<T>(language: Language, what: impl FnOnce() -> T) -> T {
        speak(language);
        let out = what();
        speak(Language::English);
        out
    }

    #[test]
    fn english_is_what_the_code_says() {
        let donor = "Two salts";
        assert_eq!(say!("Line removed"), "Line removed");
        assert_eq!(
            say!("{name} now holds the exfoliants of {donor}", name = "Bar".to_owned(), donor),
            "Bar now holds the exfoliants of Two salts"
        );
        assert_eq!(counted!("{n} step", "{n} steps", n = 1_usize), "1 step");
        assert_eq!(
            counted!("{n} step of {of}", "{n} steps of {of}", n = 0_u32, of = 3),
            "0 steps of 3"
        );
        assert_eq!(say!("{{{n}}}", n = 2), "{2}");
        assert_eq!(term!("Save"), text("Save"));
    }

    #[test]
    fn english_borrows() {
        let key = "Line removed";
        assert!(std::ptr::eq(text(key), key));
        assert!(matches!(engine("Emollient"), Cow::Borrowed("Emollient")));
    }

    #[test]
    fn a_value_may_be_named_like_another_value() {
        let (a, b) = (1, 2);
        assert_eq!(say!("{a} {b}", a = b, b = a), "2 1");
        assert_eq!(speaking(Language::Pseudo, || say!("{a} {b}", a = b, b = a)), "[2 1]");
    }

    #[test]
    fn the_pseudo_language_marks_what_it_says_and_leaves_values_alone() {
        let (plain, filled, many, made) = speaking(Language::Pseudo, || {
            let name = "Shea butter";
            (
                say!("Save"),
                say!("Undo: {name}", name),
                counted!("{n} line", "{n} lines", n = 2_usize),
                engine("Emollient").into_owned(),
            )
        });
        assert_eq!(plain, "[Šáávéé]");
        assert!(filled.starts_with("[Úúñdóó: Shea butter"), "{filled}");
        assert!(many.starts_with("[2 lííñééš"), "{many}");
        assert!(made.starts_with("[Éé"), "{made}");
    }

    #[test]
    fn a_brace_that_opens_nothing_stands_for_itself() {
        for (template, expected) in
            [("{", "{"), ("a}b", "a}b"), ("{n", "{n"), ("{{n}}", "{n}"), ("{n}{n}", "77"), ("", "")]
        {
            assert_eq!(fill(template, &[("n", &7)]), expected, "{template}");
        }
    }
}

//! Reading a translation: a gettext file (`.po`), since translators have tools for it, it names
//! lines, and it knows plural forms.

use std::collections::HashMap;
use std::fmt;

use super::plural::Rule;
use super::{Language, Piece, pieces};

/// What is wrong with a translation, and in which line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WordsError {
    /// Line, from 1.
    pub line: usize,
    /// What is wrong, and what to do.
    pub what: String,
}

impl fmt::Display for WordsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.what)
    }
}

impl std::error::Error for WordsError {}

/// The texts of one language. What is missing stays English.
#[derive(Clone, Debug, Default)]
pub struct Translation {
    texts: HashMap<String, Vec<String>>,
    rule: Rule,
}

/// One entry as it is read.
#[derive(Default)]
struct Entry {
    line: usize,
    fuzzy: bool,
    id: Option<String>,
    many: Option<String>,
    forms: Vec<(usize, String)>,
}

/// The string that a line in quotes goes on with.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Part {
    Nothing,
    Id,
    Many,
    Form,
}

fn error(line: usize, what: impl Into<String>) -> WordsError {
    WordsError { line, what: what.into() }
}

impl Translation {
    /// Reads a file.
    ///
    /// # Errors
    /// The first line that cannot be used: no gettext, a text twice, a place that the English
    /// does not have or that the translation lost, or another number of plural forms than the
    /// head of the file says.
    pub fn read(file: &str) -> Result<Self, WordsError> {
        let mut out = Self::default();
        let mut entry = Entry::default();
        let mut part = Part::Nothing;
        let file = file.strip_prefix('\u{feff}').unwrap_or(file);
        for (i, raw) in file.lines().enumerate() {
            let (line, text) = (i + 1, raw.trim());
            if text.starts_with('#') {
                if text.starts_with("#,") && text.contains("fuzzy") {
                    out.take(&mut entry)?;
                    entry.fuzzy = true;
                    part = Part::Nothing;
                }
            } else if text.is_empty() {
                out.take(&mut entry)?;
                part = Part::Nothing;
            } else if text.starts_with('"') {
                let more = unquoted(line, text)?;
                match (part, &mut entry) {
                    (Part::Id, Entry { id: Some(s), .. })
                    | (Part::Many, Entry { many: Some(s), .. }) => s.push_str(&more),
                    (Part::Form, Entry { forms, .. }) => {
                        if let Some((_, s)) = forms.last_mut() {
                            s.push_str(&more);
                        }
                    }
                    _ => return Err(error(line, "a text without msgid or msgstr before it")),
                }
            } else {
                let (word, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
                let string = unquoted(line, rest.trim())?;
                if entry.line == 0 {
                    entry.line = line;
                }
                part = match word {
                    "msgid" => {
                        // The flags above belong to this entry.
                        if entry.id.is_some() {
                            out.take(&mut entry)?;
                        }
                        entry.line = line;
                        entry.id = Some(string);
                        Part::Id
                    }
                    "msgid_plural" => {
                        entry.many = Some(string);
                        Part::Many
                    }
                    _ => {
                        let n = form_of(word).ok_or_else(|| {
                            error(line, format!("{word} is not known here; msgid and msgstr are"))
                        })?;
                        entry.forms.push((n, string));
                        Part::Form
                    }
                };
            }
        }
        out.take(&mut entry)?;
        Ok(out)
    }

    /// Takes an entry in; one that is not translated, or not for sure, is left out.
    fn take(&mut self, entry: &mut Entry) -> Result<(), WordsError> {
        let Entry { line, fuzzy, id, many, forms } = std::mem::take(entry);
        let Some(id) = id else {
            return match forms.is_empty() && many.is_none() {
                true => Ok(()),
                false => Err(error(line, "a translation without msgid before it")),
            };
        };
        if forms.is_empty() {
            return Err(error(line, "this text has no msgstr"));
        }
        if id.is_empty() {
            return self.head(line, forms.first().map_or("", |(_, s)| s.as_str()));
        }
        if self.texts.contains_key(&id) {
            return Err(error(line, format!("\"{id}\" stands here a second time")));
        }
        if fuzzy || forms.iter().all(|(_, s)| s.is_empty()) {
            return Ok(());
        }
        let wanted = if many.is_some() { self.rule.forms } else { 1 };
        let numbered = forms.iter().enumerate().all(|(i, (n, s))| i == *n && !s.is_empty());
        if forms.len() != wanted || !numbered {
            let what = format!("{wanted} forms are needed, numbered from msgstr[0], none empty");
            return Err(error(line, what));
        }
        let known = places(&id).chain(many.iter().flat_map(|m| places(m))).collect::<Vec<_>>();
        for (_, form) in &forms {
            if let Some(place) = places(form).find(|p| !known.contains(p)) {
                return Err(error(line, format!("{{{place}}} is not a place of \"{id}\"")));
            }
            // "One line" needs no number; any other text that loses a place loses a figure.
            let lost = known.iter().find(|p| many.is_none() && !places(form).any(|f| f == **p));
            if let Some(place) = lost {
                return Err(error(line, format!("{{{place}}} of \"{id}\" is missing")));
            }
        }
        self.texts.insert(id, forms.into_iter().map(|(_, s)| s).collect());
        Ok(())
    }

    fn head(&mut self, line: usize, head: &str) -> Result<(), WordsError> {
        for row in head.lines() {
            if let Some(rule) = row.strip_prefix("Plural-Forms:") {
                self.rule = Rule::read(rule)
                    .ok_or_else(|| error(line, "Plural-Forms is not a rule that can be read"))?;
            }
        }
        Ok(())
    }

    /// Keeps the translation for the rest of the run, so that texts can be borrowed from it.
    #[must_use]
    pub fn keep(self) -> Language {
        Language::Translated(Box::leak(Box::new(self)))
    }

    /// The translation of a text.
    pub(super) fn one(&self, key: &str) -> Option<&str> {
        self.texts.get(key)?.first().map(String::as_str)
    }

    /// The translation of a text chosen by a number.
    pub(super) fn counted(&self, key: &str, number: u64) -> Option<&str> {
        self.texts.get(key)?.get(self.rule.form(number)).map(String::as_str)
    }
}

/// Names of the places of a text.
fn places(text: &str) -> impl Iterator<Item = &str> {
    pieces(text).filter_map(|p| match p {
        Piece::Place(name) => Some(name),
        Piece::Plain(_) => None,
    })
}

/// `msgstr` or `msgstr[2]`.
fn form_of(word: &str) -> Option<usize> {
    match word.strip_prefix("msgstr")? {
        "" => Some(0),
        rest => rest.strip_prefix('[')?.strip_suffix(']')?.parse().ok(),
    }
}

/// What stands between quotes.
fn unquoted(line: usize, text: &str) -> Result<String, WordsError> {
    let inner = text
        .strip_prefix('"')
        .and_then(|t| t.strip_suffix('"'))
        .ok_or_else(|| error(line, "a text stands between two quotes"))?;
    let mut out = String::with_capacity(inner.len());
    let mut letters = inner.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '"' => return Err(error(line, "a quote within a text is written \\\"")),
            '\\' => out.push(match letters.next() {
                Some('n') => '\n',
                Some('t') => '\t',
                Some(c @ ('"' | '\\')) => c,
                _ => return Err(error(line, "after \\ stands n, t, \\ or a quote")),
            }),
            other => out.push(other),
        }
    }
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::{engine, filled, filled_by, speak, text};

    const HEAD: &str = "msgid \"\"\nmsgstr \"\"\n\"Plural-Forms: nplurals=3; plural=(n==1) ? 0 : (n>=2 && n<=4) ? 1 : 2;\\n\"\n\n";

    #[test]
    fn a_translation_is_used_and_what_it_lacks_stays_english() {
        let file = format!(
            "\u{feff}# a comment\n{HEAD}#: app/x.rs\nmsgid \"Save\"\nmsgstr \"Ulo\"\n\"ž\"\n\n\
             msgid \"{{a}} of {{b}}\"\nmsgstr \"{{b}} má {{a}}\"\n\n\
             msgid \"{{n}} line\"\nmsgid_plural \"{{n}} lines\"\nmsgstr[0] \"jeden\"\n\
             msgstr[1] \"{{n}} řádky\"\nmsgstr[2] \"{{n}} řádků\"\n\n\
             msgid \"Open\"\nmsgstr \"\"\n\n#, fuzzy\nmsgid \"Redo\"\nmsgstr \"Snad\"\n\
             msgid \"Emollient\"\nmsgstr \"Změkčovadlo\"\n"
        );
        speak(Translation::read(&file).unwrap_or_else(|e| panic!("{e}")).keep());
        let lines = |n: u64| filled_by("{n} line", "{n} lines", n, &[("n", &n)]);
        let got = [
            text("Save").to_owned(),
            text("Open").to_owned(),
            text("Redo").to_owned(),
            text("Nowhere").to_owned(),
            engine("Emollient").into_owned(),
            engine("Clay").into_owned(),
            filled("{a} of {b}", &[("a", &1), ("b", &"x")]),
            filled("{a} or {b}", &[("a", &1), ("b", &2)]),
            lines(1),
            lines(3),
            lines(7),
            filled_by("{n} row", "{n} rows", 1, &[("n", &1)]),
        ];
        speak(Language::English);
        let expected = [
            "Ulož",
            "Open",
            "Redo",
            "Nowhere",
            "Změkčovadlo",
            "Clay",
            "x má 1",
            "1 or 2",
            "jeden",
            "3 řádky",
            "7 řádků",
            "1 row",
        ];
        assert_eq!(got, expected.map(str::to_owned));
    }

    #[test]
    fn what_cannot_be_used_is_refused_with_its_line() {
        for (file, line, word) in [
            ("msgid \"{a} of {b}\"\nmsgstr \"{a} {c}\"", 1, "{c} is not a place"),
            ("\n\nmsgid \"{a} of {b}\"\nmsgstr \"{a}\"", 3, "{b} of"),
            ("msgid \"a\"\nmsgstr \"b\"\n\nmsgid \"a\"\nmsgstr \"c\"", 4, "second time"),
            ("msgid \"a\"", 1, "no msgstr"),
            ("msgid \"a\"\nmsgstr b", 2, "two quotes"),
            ("msgid \"a\"\nmsgstr \"b\"c\"", 2, "written"),
            ("msgid \"a\"\nmsgstr \"\\q\"", 2, "after"),
            ("\"a\"", 1, "without msgid"),
            ("msgstr \"a\"\n", 1, "without msgid"),
            ("msgctxt \"a\"\nmsgid \"b\"\nmsgstr \"c\"", 1, "msgctxt is not known"),
            ("msgid \"\"\nmsgstr \"Plural-Forms: many\\n\"", 1, "Plural-Forms"),
            ("msgid \"a\"\nmsgid_plural \"b\"\nmsgstr[0] \"c\"", 1, "2 forms"),
            ("msgid \"a\"\nmsgid_plural \"b\"\nmsgstr[1] \"c\"\nmsgstr[0] \"d\"", 1, "2 forms"),
            ("msgid \"a\"\nmsgstr \"b\"\nmsgstr \"c\"", 1, "1 forms"),
            ("msgid \"a\"\nmsgstr[9999999999999999999999] \"b\"", 2, "not known"),
        ] {
            let error = Translation::read(file).err().unwrap_or_else(|| panic!("{file} was read"));
            assert_eq!(error.line, line, "{file}: {error}");
            assert!(error.to_string().contains(word), "{file}: {error}");
        }
    }
}

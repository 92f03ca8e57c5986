//! The pseudo-language: English with accents, some 40 % longer, in brackets.
//!
//! It reads well enough to work with. A word without accents was not translated, and a missing
//! bracket was cut off.

use std::collections::HashMap;
use std::sync::Mutex;

use super::{Piece, pieces};

/// A letter under its accent; our typefaces have all of them.
fn accented(letter: char) -> Option<char> {
    Some(match letter {
        'a' => 'á',
        'c' => 'ç',
        'e' => 'é',
        'i' => 'í',
        'n' => 'ñ',
        'o' => 'ó',
        's' => 'š',
        'u' => 'ú',
        'y' => 'ý',
        'z' => 'ž',
        'A' => 'Á',
        'C' => 'Ç',
        'E' => 'É',
        'I' => 'Í',
        'N' => 'Ñ',
        'O' => 'Ó',
        'S' => 'Š',
        'U' => 'Ú',
        'Y' => 'Ý',
        'Z' => 'Ž',
        _ => return None,
    })
}

/// Puts accents on, doubles vowels, and counts letters before and after.
fn stretch(text: &str, out: &mut String, before: &mut usize, after: &mut usize) {
    for letter in text.chars() {
        *before += 1;
        *after += 1;
        let Some(mark) = accented(letter) else {
            out.push(letter);
            continue;
        };
        out.push(mark);
        if matches!(letter, 'a' | 'e' | 'i' | 'o' | 'u' | 'A' | 'E' | 'I' | 'O' | 'U') {
            out.extend(mark.to_lowercase());
            *after += 1;
        }
    }
}

/// Closes a text, padded where doubled vowels did not make it long enough.
fn close(mut out: String, before: usize, after: usize) -> String {
    let wanted = before + (before * 2).div_ceil(5);
    // The brackets count.
    out.extend(std::iter::repeat_n('~', wanted.saturating_sub(after + 2)));
    out.push(']');
    out
}

/// A text as it is. Figures and signs without a letter stay.
pub(super) fn of(text: &str) -> String {
    if !text.chars().any(char::is_alphabetic) {
        return text.to_owned();
    }
    let (mut out, mut before, mut after) = ("[".to_owned(), 0, 0);
    stretch(text, &mut out, &mut before, &mut after);
    close(out, before, after)
}

/// A text with places, which stay.
pub(super) fn of_template(template: &str) -> String {
    let (mut out, mut before, mut after) = ("[".to_owned(), 0, 0);
    for piece in pieces(template) {
        match piece {
            Piece::Plain(brace @ ("{" | "}")) => {
                out.push_str(brace);
                out.push_str(brace);
            }
            Piece::Plain(text) => stretch(text, &mut out, &mut before, &mut after),
            Piece::Place(name) => {
                out.push('{');
                out.push_str(name);
                out.push('}');
            }
        }
    }
    close(out, before, after)
}

/// A text of the code. Each is made once and kept, since there are only so many of them.
pub(super) fn kept(key: &'static str) -> &'static str {
    static KEPT: Mutex<Option<HashMap<&'static str, &'static str>>> = Mutex::new(None);
    let mut kept = KEPT.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let kept = kept.get_or_insert_with(HashMap::new);
    kept.entry(key).or_insert_with(|| Box::leak(of(key).into_boxed_str()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_forty_per_cent_longer_and_in_brackets() {
        for text in ["x", "Save", "rhythm", "Keep the blend...", "Nothing was opened yet, so far"] {
            let made = of(text);
            assert!(made.starts_with('[') && made.ends_with(']'), "{made}");
            let (n, m) = (text.chars().count(), made.chars().count());
            assert!(m * 5 >= n * 7, "{made}: {n} became {m}");
            assert!(m <= n * 2 + 2, "{made}: {n} became {m}");
        }
    }

    #[test]
    fn places_and_braces_survive() {
        assert_eq!(of_template("{{{name}}} as {n}"), "[{{{name}}} ááš {n}]");
        assert_eq!(kept("Save"), kept("Save"));
        assert_eq!(of("12.5 – 20 %"), "12.5 – 20 %");
    }

    #[test]
    fn no_word_of_three_letters_stays_as_it_was() {
        // The journey that looks for hard-wired words rests on this.
        for word in ["the", "Line", "INCI", "sum", "gyp"] {
            assert!(!of(word).contains(word), "{word}");
        }
    }
}

//! Batch codes by a pattern of the workshop's own.
//!
//! In braces stand the parts that change:
//!
//! | token | becomes |
//! |---|---|
//! | `{name:3}` | the first letters of the formula's name, in capitals; 1 to 12 of them |
//! | `{yyyy}`, `{yy}` | year, whole or its last two digits |
//! | `{mm}`, `{dd}` | month and day of the month, two digits |
//! | `{ddd}` | day of the year, 001 to 366 |
//! | `{n}`, `{n:2}` | running number, filled with zeros to so many digits; 1 to 6 |
//!
//! Everything else stands as it is. So `{name:2}-{yy}{mm}-{n:2}` is how
//! [`crate::batch::batch_code`] proposes codes.
//!
//! The law asks for a batch number on container and packaging and leaves its form open
//! (Regulation (EC) 1223/2009, Article 19(1)(e), read).

use std::fmt::Write as _;
use std::str::FromStr;

use crate::quantity::Date;

mod read;
#[cfg(test)]
mod tests;

pub use read::ReadBack;

/// Most characters of a code, with a running number of up to five digits.
pub const BATCH_CODE_MOST: usize = 24;
/// Digits that are kept free for a running number.
const NUMBER_DIGITS: usize = 5;
/// Longest pattern that is read, in characters.
const PATTERN_MOST: usize = 200;

/// A part of a pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Token {
    Literal(String),
    Name(usize),
    Year,
    ShortYear,
    Month,
    Day,
    DayOfYear,
    Number(usize),
}

impl Token {
    /// Most characters it takes, up to [`NUMBER_DIGITS`] digits of a number.
    fn width(&self) -> usize {
        match self {
            Self::Literal(text) => text.chars().count(),
            Self::Name(letters) => *letters,
            Self::Year => 4,
            Self::ShortYear | Self::Month | Self::Day => 2,
            Self::DayOfYear => 3,
            Self::Number(digits) => (*digits).max(NUMBER_DIGITS),
        }
    }
}

/// A pattern that batch codes are made by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BatchPattern {
    tokens: Vec<Token>,
}

/// Why a text is no pattern, and where.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.message())]
pub struct PatternError {
    /// The character at fault, counted from 1; for a token that of its brace.
    pub column: usize,
    /// What is wrong.
    pub kind: PatternErrorKind,
}

/// What can be wrong with a pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PatternErrorKind {
    /// Nothing but spaces.
    Empty,
    /// A word in braces that is no token.
    UnknownToken(String),
    /// A token with a width that it cannot have; the most that it can have, from 1.
    Width(usize),
    /// `{` without `}`, or with another `{` before it.
    Unclosed,
    /// `}` without `{`.
    Unopened,
    /// A character that cannot be printed, such as a line break.
    Unprintable(char),
    /// Codes would have this many characters with a running number of five digits.
    TooLong(usize),
}

impl PatternError {
    fn message(&self) -> String {
        let column = self.column;
        match &self.kind {
            PatternErrorKind::Empty => {
                "Nothing is entered; type a pattern such as {name:2}-{yy}{mm}-{n:2}".to_owned()
            }
            PatternErrorKind::UnknownToken(word) => format!(
                "Unknown token {{{word}}} at character {column}; use name:3, yyyy, yy, mm, dd, \
                 ddd, n or n:2"
            ),
            PatternErrorKind::Width(most) => format!(
                "The token at character {column} needs a width; write a number from 1 to {most} \
                 after a colon"
            ),
            PatternErrorKind::Unclosed => {
                format!("The brace at character {column} is not closed; put }} after the token")
            }
            PatternErrorKind::Unopened => {
                format!("The brace at character {column} closes nothing; remove it")
            }
            PatternErrorKind::Unprintable(c) => format!(
                "U+{:04X} at character {column} cannot be printed; remove it",
                u32::from(*c)
            ),
            PatternErrorKind::TooLong(length) => format!(
                "Codes could have {length} characters; make the pattern shorter, {BATCH_CODE_MOST} \
                 are the most"
            ),
        }
    }
}

impl FromStr for BatchPattern {
    type Err = PatternError;

    /// Reads a pattern; spaces around it do not count.
    fn from_str(text: &str) -> Result<Self, PatternError> {
        let error = |column, kind| Err(PatternError { column, kind });
        let start = text.chars().take_while(|c| c.is_whitespace()).count();
        let mut tokens: Vec<Token> = Vec::new();
        // The column of an open brace and what stands after it so far.
        let mut open: Option<(usize, String)> = None;
        for (place, c) in text.trim().chars().enumerate() {
            let column = start + place + 1;
            if place >= PATTERN_MOST {
                return error(column, PatternErrorKind::TooLong(place + 1));
            }
            if c.is_control() {
                return error(column, PatternErrorKind::Unprintable(c));
            }
            match (c, open.take()) {
                ('{', None) => open = Some((column, String::new())),
                ('{', Some((opened, _))) => return error(opened, PatternErrorKind::Unclosed),
                ('}', None) => return error(column, PatternErrorKind::Unopened),
                ('}', Some((opened, word))) => match token(&word) {
                    Ok(token) => tokens.push(token),
                    Err(kind) => return error(opened, kind),
                },
                (c, Some((opened, mut word))) => {
                    word.push(c);
                    open = Some((opened, word));
                }
                (c, None) => match tokens.last_mut() {
                    Some(Token::Literal(literal)) => literal.push(c),
                    _ => tokens.push(Token::Literal(c.to_string())),
                },
            }
        }
        if let Some((opened, _)) = open {
            return error(opened, PatternErrorKind::Unclosed);
        }
        if tokens.is_empty() {
            return error(1, PatternErrorKind::Empty);
        }
        let length: usize = tokens.iter().map(Token::width).sum();
        if length > BATCH_CODE_MOST {
            return error(1, PatternErrorKind::TooLong(length));
        }
        Ok(Self { tokens })
    }
}

fn token(word: &str) -> Result<Token, PatternErrorKind> {
    let (name, width) = match word.split_once(':') {
        Some((name, width)) => (name, Some(width)),
        None => (word, None),
    };
    let read = |most: usize| {
        let plain = width.filter(|w| w.len() <= 2 && w.bytes().all(|b| b.is_ascii_digit()));
        plain
            .and_then(|w| w.parse().ok())
            .filter(|w| (1..=most).contains(w))
            .ok_or(PatternErrorKind::Width(most))
    };
    match (name, width) {
        ("name", _) => read(12).map(Token::Name),
        ("n", None) => Ok(Token::Number(1)),
        ("n", Some(_)) => read(6).map(Token::Number),
        ("yyyy", None) => Ok(Token::Year),
        ("yy", None) => Ok(Token::ShortYear),
        ("mm", None) => Ok(Token::Month),
        ("dd", None) => Ok(Token::Day),
        ("ddd", None) => Ok(Token::DayOfYear),
        _ => Err(PatternErrorKind::UnknownToken(word.to_owned())),
    }
}

impl BatchPattern {
    /// The code of a batch.
    ///
    /// Letters of the name are those from A to Z without accents; where it has too few, X takes
    /// their place. A running number longer than its width is written whole, so that no two
    /// numbers ever give one code; beyond five digits the code may exceed [`BATCH_CODE_MOST`].
    #[must_use]
    pub fn code(&self, name: &str, date: Date, number: u32) -> String {
        let mut code = String::new();
        for token in &self.tokens {
            match token {
                Token::Literal(text) => code.push_str(text),
                Token::Name(letters) => {
                    let given = name.chars().filter(char::is_ascii_alphabetic);
                    let filled =
                        given.map(|c| c.to_ascii_uppercase()).chain(std::iter::repeat('X'));
                    code.extend(filled.take(*letters));
                }
                Token::Year => write_number(&mut code, u32::from(date.year()), 4),
                Token::ShortYear => write_number(&mut code, u32::from(date.year() % 100), 2),
                Token::Month => write_number(&mut code, u32::from(date.month()), 2),
                Token::Day => write_number(&mut code, u32::from(date.day()), 2),
                Token::DayOfYear => write_number(&mut code, day_of_year(date), 3),
                Token::Number(digits) => write_number(&mut code, number, *digits),
            }
        }
        code
    }

    /// Whether a running number is in the code. Without one, two batches of a day share a code.
    #[must_use]
    pub fn has_number(&self) -> bool {
        self.tokens.iter().any(|t| matches!(t, Token::Number(_)))
    }

    /// Whether the day can be told from the code; `{yy}` counts as a year from 2000 to 2099.
    #[must_use]
    pub fn has_day(&self) -> bool {
        let has = |token: &Token| self.tokens.contains(token);
        let year = has(&Token::Year) || has(&Token::ShortYear);
        year && (has(&Token::DayOfYear) || (has(&Token::Month) && has(&Token::Day)))
    }
}

/// The pattern as it is typed.
impl std::fmt::Display for BatchPattern {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.tokens.iter().try_for_each(|token| match token {
            Token::Literal(text) => f.write_str(text),
            Token::Name(letters) => write!(f, "{{name:{letters}}}"),
            Token::Year => f.write_str("{yyyy}"),
            Token::ShortYear => f.write_str("{yy}"),
            Token::Month => f.write_str("{mm}"),
            Token::Day => f.write_str("{dd}"),
            Token::DayOfYear => f.write_str("{ddd}"),
            Token::Number(1) => f.write_str("{n}"),
            Token::Number(digits) => write!(f, "{{n:{digits}}}"),
        })
    }
}

fn write_number(code: &mut String, value: u32, digits: usize) {
    // Writing to a string cannot fail.
    let _ = write!(code, "{value:0digits$}");
}

/// 1 for 1 January, up to 366.
fn day_of_year(date: Date) -> u32 {
    let before = (1..date.month()).map(|month| days_in(date.year(), month)).sum::<u32>();
    before + u32::from(date.day())
}

/// Days of a month.
fn days_in(year: u16, month: u8) -> u32 {
    let last = (28..=31_u8).rev().find(|day| Date::new(year, month, *day).is_some());
    last.map_or(0, u32::from)
}

/// The day with this number in a year.
fn from_day_of_year(year: u16, number: u32) -> Option<Date> {
    let mut rest = number;
    for month in 1..=12 {
        let days = days_in(year, month);
        if rest <= days {
            return Date::new(year, month, u8::try_from(rest).ok()?);
        }
        rest -= days;
    }
    None
}

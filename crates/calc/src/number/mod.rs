//! Numbers as people write them: reading what is typed, and writing results.
//!
//! [`parse()`] reads an entry field: decimal point or comma, units, a little arithmetic.
//! [`parse_decimal`] reads the one form that is kept in files. The `format_…` functions write for
//! the screen and the sheet; rounding happens there and nowhere earlier.

use rust_decimal::Decimal;

mod dates;
mod format;
mod mass;
mod money;
mod parse;
mod units;

pub use dates::{DateError, DateOrder};
pub use format::{
    NumberStyle, format_f64, format_fixed, format_full, format_grams, format_plain, percent_10,
    round_to_step,
};
pub use mass::{format_mass, format_mass_full, grams_in, mass_places};
pub use money::{CurrencyPlace, with_currency};
pub use parse::{Syntax, Typed, parse};
pub use units::{MassUnit, Unit};

/// Longest text that is read, in characters.
const MOST_CHARS: usize = 200;
/// Deepest nesting of parentheses.
const MOST_DEPTH: usize = 32;
/// Most digits that an exact value can have, and most decimals.
const MOST_DIGITS: usize = 28;
/// Digits of the largest value, 1e12.
const MOST_WHOLE_DIGITS: i32 = 13;

type Read<T> = Result<T, NumberError>;

/// The sign between the whole part of a number and its decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum DecimalSign {
    /// `12.5`
    #[default]
    Point,
    /// `12,5`
    Comma,
}

impl DecimalSign {
    /// The sign itself, `.` or `,`.
    #[must_use]
    pub fn as_char(self) -> char {
        match self {
            Self::Point => '.',
            Self::Comma => ',',
        }
    }
}

/// Why a text is not a number, and where.
///
/// The message says what is wrong, where, and what would put it right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.message())]
pub struct NumberError {
    /// The character at fault, counted from 1. One past the end when something is missing there.
    pub column: usize,
    /// What is wrong with it.
    pub kind: NumberErrorKind,
}

/// What can be wrong with a number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NumberErrorKind {
    /// Nothing but spaces.
    Empty,
    /// A character that cannot stand where it does.
    Unexpected(char),
    /// A lone separator before three digits. The column is that of the separator: without it the
    /// text means thousands; with the decimal sign of the setting in its place, decimals.
    Ambiguous {
        /// That one number (without sign and unit) if the separator is a decimal sign.
        as_decimal: Decimal,
        /// That one number (without sign and unit) if the separator splits thousands.
        as_thousands: Decimal,
    },
    /// A word after a number that is no unit.
    UnknownUnit(String),
    /// Units that cannot be combined, or an amount without a unit beside one that has a unit.
    MixedUnits,
    /// A divisor that is zero.
    DivisionByZero,
    /// A number or an intermediate result beyond 1e12 either way.
    TooLarge,
    /// More than 32 parentheses inside each other.
    TooDeep,
    /// More than 200 characters, or more digits or decimals than can be kept exactly (28).
    TooLong,
    /// The text stops where more is needed.
    Unfinished,
    /// `NaN`, `inf` or the like.
    NotFinite,
}

impl NumberError {
    fn message(&self) -> String {
        use NumberErrorKind as Kind;
        let (what, fix) = match &self.kind {
            Kind::Empty => return "Nothing is entered; type a number".to_owned(),
            Kind::Unexpected(c) => {
                let fix = match c {
                    '0'..='9' => "put + - × or / between two numbers",
                    '.' | ',' => "use one decimal sign, and groups of three digits before it",
                    ')' => "remove it, or open a parenthesis before it",
                    _ => "use digits, units, + - × / and parentheses",
                };
                (format!("Unexpected {}", shown(*c)), fix.to_owned())
            }
            Kind::Ambiguous { as_decimal, as_thousands } => {
                let (small, large) = (as_decimal.normalize(), as_thousands.normalize());
                let fix = format!("choose {small} or {large}");
                ("A separator with two meanings".to_owned(), fix)
            }
            Kind::UnknownUnit(word) => (
                format!("Unknown unit “{word}”"),
                "use g, kg, mg, oz, lb, %, parts, °C or µm".to_owned(),
            ),
            Kind::MixedUnits => (
                "Units that do not go together".to_owned(),
                "give every amount a unit of one kind, or put a single unit at the end".to_owned(),
            ),
            Kind::DivisionByZero => {
                ("Division by zero".to_owned(), "divide by another number".to_owned())
            }
            Kind::TooLarge => {
                ("Number too large".to_owned(), "stay within a million million".to_owned())
            }
            Kind::TooDeep => {
                ("Too many parentheses".to_owned(), format!("nest at most {MOST_DEPTH}"))
            }
            Kind::TooLong => (
                "Entry too long".to_owned(),
                format!("use at most {MOST_CHARS} characters and {MOST_DIGITS} digits in a number"),
            ),
            Kind::Unfinished => {
                let fix = "add the missing number, unit or parenthesis";
                ("Something is missing".to_owned(), fix.to_owned())
            }
            Kind::NotFinite => ("Not a finite number".to_owned(), "type digits".to_owned()),
        };
        format!("{what} at character {}; {fix}", self.column)
    }
}

/// A character in quotation marks, or its code point where it would be invisible.
fn shown(c: char) -> String {
    if c.is_control() || c.is_whitespace() {
        format!("U+{:04X}", u32::from(c))
    } else {
        format!("“{c}”")
    }
}

/// Reads the form in which numbers are kept in files: an optional `-`, digits, and optionally `.`
/// and more digits. Nothing else is allowed, not even spaces, and no digit is lost.
///
/// # Errors
///
/// Any other form; more than 200 characters or 28 digits or decimals; a value beyond 1e12 either
/// way.
pub fn parse_decimal(text: &str) -> Result<Decimal, NumberError> {
    check_length(text)?;
    if text.is_empty() {
        return Err(error_at(0, NumberErrorKind::Empty));
    }
    let (negative, digits) = text.strip_prefix('-').map_or((false, text), |rest| (true, rest));
    let start = usize::from(negative);
    let (whole, fraction) = match digits.split_once('.') {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (digits, None),
    };
    let runs = [(start, Some(whole)), (start + whole.chars().count() + 1, fraction)];
    for (from, run) in runs {
        let Some(run) = run else { continue };
        if let Some((index, c)) = run.chars().enumerate().find(|(_, c)| !c.is_ascii_digit()) {
            return Err(error_at(from + index, NumberErrorKind::Unexpected(c)));
        }
        if run.is_empty() {
            let next = text.chars().nth(from);
            return Err(error_at(
                from,
                next.map_or(NumberErrorKind::Unfinished, NumberErrorKind::Unexpected),
            ));
        }
    }
    let value = assemble(whole, fraction.unwrap_or(""), 0, start)?;
    Ok(if negative && !value.is_zero() { -value } else { value })
}

fn error_at(index: usize, kind: NumberErrorKind) -> NumberError {
    NumberError { column: index + 1, kind }
}

fn check_length(text: &str) -> Read<()> {
    match text.chars().nth(MOST_CHARS) {
        Some(_) => Err(error_at(MOST_CHARS, NumberErrorKind::TooLong)),
        None => Ok(()),
    }
}

/// The value if it exists and is not beyond 1e12.
fn within(value: Option<Decimal>, at: usize) -> Read<Decimal> {
    let most = Decimal::from(1_000_000_000_000_i64);
    value.filter(|value| value.abs() <= most).ok_or_else(|| error_at(at, NumberErrorKind::TooLarge))
}

/// The exact value of digits before and after the decimal sign, times a power of ten.
fn assemble(whole: &str, fraction: &str, exponent: i32, at: usize) -> Read<Decimal> {
    let all = format!("{whole}{fraction}");
    let mut digits = all.trim_start_matches('0').to_owned();
    if digits.is_empty() {
        return Ok(Decimal::ZERO);
    }
    let count = |text: &str| i32::try_from(text.len()).unwrap_or(i32::MAX);
    let mut scale = count(fraction).saturating_sub(exponent);
    if count(&digits).saturating_sub(scale) > MOST_WHOLE_DIGITS {
        return Err(error_at(at, NumberErrorKind::TooLarge));
    }
    while scale < 0 {
        digits.push('0');
        scale += 1;
    }
    while digits.len() > MOST_DIGITS || scale > 28 {
        if scale == 0 || !digits.ends_with('0') {
            return Err(error_at(at, NumberErrorKind::TooLong));
        }
        digits.pop();
        scale -= 1;
    }
    let mantissa = digits.parse::<i128>().ok();
    let value = mantissa
        .zip(u32::try_from(scale).ok())
        .and_then(|(mantissa, scale)| Decimal::try_from_i128_with_scale(mantissa, scale).ok());
    within(value, at)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests {
    use super::NumberErrorKind as Kind;
    use super::*;

    fn d(text: &str) -> Decimal {
        text.parse().unwrap()
    }

    fn read(text: &str, sign: DecimalSign) -> Result<(Decimal, Option<Unit>), NumberError> {
        let syntax = Syntax { sign, allow_relative: false };
        let typed = parse(text, syntax)?;
        assert!(!typed.relative, "{text}");
        Ok((typed.value, typed.unit))
    }

    fn swapped(text: &str) -> String {
        let other = |c| match c {
            '.' => ',',
            ',' => '.',
            c => c,
        };
        text.chars().map(other).collect()
    }

    /// Both settings, each with its own spelling.
    fn check(text: &str, value: &str) {
        let expected = Ok((d(value), None));
        assert_eq!(read(text, DecimalSign::Point), expected, "{text}");
        let text = swapped(text);
        assert_eq!(read(&text, DecimalSign::Comma), expected, "{text}");
    }

    fn fails(text: &str, column: usize, kind: &Kind) {
        let error = read(text, DecimalSign::Point).expect_err(text);
        assert_eq!((error.column, &error.kind), (column, kind), "{text}");
    }

    #[test]
    fn separators() {
        #[rustfmt::skip]
        let cases = [
            ("0", "0"), ("12.5", "12.5"), ("12,5", "12.5"), (".5", "0.5"), (",5", "0.5"),
            ("1.234", "1.234"), ("0,234", "0.234"), ("00,234", "0.234"), ("1234,567", "1234.567"),
            ("1,2345", "1.2345"), (",234", "0.234"), ("1,234,567", "1234567"),
            ("1.234.567", "1234567"), ("1,234.5", "1234.5"), ("1.234,5", "1234.5"),
            ("1,234.567", "1234.567"), ("1.234.567,891", "1234567.891"), ("1 234", "1234"),
            ("1\u{2009}234,5", "1234.5"), ("12\u{202f}345\u{202f}678.9", "12345678.9"),
            ("1\u{a0}234", "1234"), ("1'234.50", "1234.5"), ("1\u{2019}234", "1234"),
            ("1 234,567", "1234.567"), (" 7 ", "7"), ("-7", "-7"), ("\u{2212}7", "-7"),
            ("+7", "7"), ("= 7", "7"), ("=-7", "-7"), ("-0", "0"), ("1e9", "1000000000"),
            ("1E+3", "1000"), ("2.5e-3", "0.0025"), ("1e12", "1000000000000"), ("0e999999", "0"),
            ("007", "7"), ("1.00000000000000000000000000000000000", "1"),
        ];
        for (text, value) in cases {
            check(text, value);
        }
    }

    #[test]
    fn arithmetic() {
        #[rustfmt::skip]
        let cases = [
            ("12/3", "4"), ("=40*1,5", "60"), ("2+3*4", "14"), ("(2+3)*4", "20"), ("2 - -3", "5"),
            ("10 - 4 - 3", "3"), ("100/10/5", "2"), ("24 x 70", "1680"), ("24x70", "1680"),
            ("24×70", "1680"), ("9 ÷ 2", "4.5"), ("3 \u{2212} 5", "-2"), ("-(2+3)", "-5"),
            ("1/3*3", "1"), ("0.1+0.2", "0.3"), ("1/3", "0.33333333333333333333"),
            ("1 000 x 2", "2000"), ("200 g / 50 g", "4"), ("1 kg / 50 g", "20"), ("6 % / 2 %", "3"),
        ];
        for (text, value) in cases {
            check(text, value);
        }
    }

    #[test]
    fn two_meanings() {
        for (text, column) in [("1,234", 2), ("-12,345 g", 4), ("=2*123,456", 7), ("1,234e0", 2)] {
            let error = read(text, DecimalSign::Point).unwrap_err();
            assert_eq!(error.column, column, "{text}");
            let other = read(&swapped(text), DecimalSign::Comma).unwrap_err();
            assert_eq!(error, other, "{text}");
            // Each suggestion, put back into the text, is read without a question.
            assert!(read(text, DecimalSign::Comma).is_ok(), "{text}");
            let mut plain: Vec<char> = text.chars().collect();
            plain.remove(column - 1);
            let plain: String = plain.into_iter().collect();
            assert!(read(&plain, DecimalSign::Point).is_ok(), "{plain}");
        }
        let (as_decimal, as_thousands) = (d("1.234"), d("1234"));
        fails("1,234", 2, &Kind::Ambiguous { as_decimal, as_thousands });
    }

    #[test]
    fn mistakes() {
        let deep = |levels: usize| format!("{}1{}", "(".repeat(levels), ")".repeat(levels));
        assert!(read(&deep(32), DecimalSign::Point).is_ok());
        fails(&deep(33), 33, &Kind::TooDeep);
        fails(&"1".repeat(201), 201, &Kind::TooLong);
        fails(&format!("0.{}1", "0".repeat(28)), 1, &Kind::TooLong);
        #[rustfmt::skip]
        let cases = [
            ("", 1, Kind::Empty), ("  ", 1, Kind::Empty), ("=", 2, Kind::Unfinished), ("5.", 3, Kind::Unfinished),
            ("5.+1", 2, Kind::Unexpected('.')), ("q.s.", 1, Kind::Unexpected('q')), ("1 23", 3, Kind::Unexpected('2')),
            ("1234 567", 6, Kind::Unexpected('5')), ("0 234", 3, Kind::Unexpected('2')),
            ("1 234'567", 6, Kind::Unexpected('\'')), ("1,23,456", 5, Kind::Unexpected(',')),
            ("12,34.5", 3, Kind::Unexpected(',')), ("1.2.3", 4, Kind::Unexpected('.')),
            ("1,234.567.890", 10, Kind::Unexpected('.')), ("0,234.5", 2, Kind::Unexpected(',')),
            ("1,234 567", 2, Kind::Ambiguous { as_decimal: d("1.234"), as_thousands: d("1234") }),
            ("1.5 567", 5, Kind::Unexpected('5')), ("--5", 2, Kind::Unexpected('-')), ("2(3)", 2, Kind::Unexpected('(')),
            ("(2", 3, Kind::Unfinished), ("2)", 2, Kind::Unexpected(')')), ("2*", 3, Kind::Unfinished),
            ("24 x", 5, Kind::Unfinished), ("1/0", 2, Kind::DivisionByZero), ("1/(2-2) g", 2, Kind::DivisionByZero),
            ("1e13", 1, Kind::TooLarge), ("1e999999999999", 1, Kind::TooLarge), ("9e11*9e11", 5, Kind::TooLarge),
            ("1e-29", 1, Kind::TooLong), ("NaN", 1, Kind::NotFinite), ("-Inf", 2, Kind::NotFinite),
            ("2*infinity", 3, Kind::NotFinite), ("∞", 1, Kind::NotFinite), ("5 pt", 3, Kind::UnknownUnit("pt".into())),
            ("5 fl oz", 3, Kind::UnknownUnit("fl".into())), ("2 xg", 3, Kind::UnknownUnit("xg".into())),
            ("5%%", 3, Kind::Unexpected('%')), ("5 g + 2 %", 5, Kind::MixedUnits), ("2 g * 3 g", 5, Kind::MixedUnits),
            ("1 kg + 200", 6, Kind::MixedUnits), ("1 + 2 g + 3 g", 9, Kind::MixedUnits), ("1 + (2 g)", 3, Kind::MixedUnits),
            ("10 + 70 g x 24", 4, Kind::MixedUnits), ("12/(3 g)", 3, Kind::MixedUnits), ("(1 kg) g", 7, Kind::MixedUnits),
            ("4 °C / 2 °C", 6, Kind::MixedUnits), ("1 + 1 lb 4 oz", 3, Kind::MixedUnits), ("1 lb 4", 7, Kind::Unfinished),
            ("1 g 2 g", 5, Kind::Unexpected('2')), ("4 oz 1 lb", 6, Kind::Unexpected('1')), ("1 kg 5 %", 6, Kind::Unexpected('5')),
        ];
        for (text, column, kind) in cases {
            fails(text, column, &kind);
            let message = read(text, DecimalSign::Point).unwrap_err().to_string();
            assert!(!message.ends_with('.') && message.contains(';'), "{message}");
            assert!(
                kind == Kind::Empty || message.contains(&format!("at character {column};")),
                "{message}"
            );
        }
    }

    #[test]
    fn changes() {
        let syntax = Syntax { allow_relative: true, ..Syntax::default() };
        #[rustfmt::skip]
        let cases = [
            ("+2", "2", true), ("-2", "-2", true), (" \u{2212}2 g", "-2", true), ("+2*3", "6", true),
            ("-(1+2)", "-3", true), ("2", "2", false), ("=+2", "2", false), ("=-2", "-2", false), ("(-2)", "-2", false),
        ];
        for (text, value, relative) in cases {
            let typed = parse(text, syntax).unwrap();
            assert_eq!((typed.value, typed.relative), (d(value), relative), "{text}");
        }
        assert!(parse("+-5", syntax).is_err());
    }

    #[test]
    fn file_form() {
        for text in ["0", "-0", "12.50", "-0.001", "007", "1000000000000"] {
            assert_eq!(parse_decimal(text), Ok(d(text)), "{text}");
        }
        #[rustfmt::skip]
        let cases = [
            ("", 1, Kind::Empty), ("-", 2, Kind::Unfinished), ("5.", 3, Kind::Unfinished), (".5", 1, Kind::Unexpected('.')),
            ("-.5", 2, Kind::Unexpected('.')), ("+5", 1, Kind::Unexpected('+')), (" 5", 1, Kind::Unexpected(' ')),
            ("5 ", 2, Kind::Unexpected(' ')), ("1,5", 2, Kind::Unexpected(',')), ("1.5.2", 4, Kind::Unexpected('.')),
            ("1e3", 2, Kind::Unexpected('e')), ("\u{2212}5", 1, Kind::Unexpected('\u{2212}')), ("--5", 2, Kind::Unexpected('-')),
            ("1000000000000.1", 1, Kind::TooLarge), ("0.00000000000000000000000000001", 1, Kind::TooLong),
        ];
        for (text, column, kind) in cases {
            assert_eq!(parse_decimal(text), Err(NumberError { column, kind }), "{text}");
        }
    }
}

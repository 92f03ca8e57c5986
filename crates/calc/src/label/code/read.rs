//! A batch code read back by its pattern.

use super::{BatchPattern, Token, from_day_of_year};
use crate::quantity::Date;

/// What a batch code tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct ReadBack {
    /// The day, where the pattern holds one.
    pub date: Option<Date>,
    /// The running number, where the pattern holds one.
    pub number: Option<u32>,
}

/// What has been read so far.
#[derive(Clone, Copy, Default)]
struct Parts {
    year: Option<u16>,
    short_year: Option<u16>,
    month: Option<u8>,
    day: Option<u8>,
    day_of_year: Option<u32>,
    number: Option<u32>,
}

impl BatchPattern {
    /// What a code tells that was made by this pattern.
    ///
    /// `None` where it was not, or where it can be read in more than one way, as `{n}{yy}` can.
    /// Spaces around the code do not count; capitals do. `{yy}` is read as 2000 to 2099.
    #[must_use]
    pub fn read_back(&self, code: &str) -> Option<ReadBack> {
        let mut found = Vec::new();
        walk(&self.tokens, code.trim(), Parts::default(), &mut found);
        let first = found.first().copied()?;
        found.iter().all(|other| *other == first).then_some(first)
    }
}

fn walk(tokens: &[Token], text: &str, parts: Parts, found: &mut Vec<ReadBack>) {
    let Some((token, rest)) = tokens.split_first() else {
        if text.is_empty() {
            found.extend(conclude(parts));
        }
        return;
    };
    match token {
        Token::Literal(literal) => {
            if let Some(text) = text.strip_prefix(literal.as_str()) {
                walk(rest, text, parts, found);
            }
        }
        Token::Name(letters) => {
            if let Some((name, text)) = text.split_at_checked(*letters)
                && name.bytes().all(|b| b.is_ascii_uppercase())
            {
                walk(rest, text, parts, found);
            }
        }
        Token::Number(least) => {
            // A running number has at most ten digits.
            for width in *least..=10 {
                let Some((number, text)) = digits(text, width) else { break };
                // Made with the least width, so a longer number does not begin with a zero.
                let canonical = width == *least || !number.starts_with('0');
                if let Ok(value) = number.parse()
                    && canonical
                    && parts.number.is_none_or(|n| n == value)
                {
                    walk(rest, text, Parts { number: Some(value), ..parts }, found);
                }
            }
        }
        fixed => {
            let Some((value, text)) = digits(text, fixed.width()) else { return };
            if let Some(parts) = value.parse().ok().and_then(|v| keep(fixed, v, parts)) {
                walk(rest, text, parts, found);
            }
        }
    }
}

/// The first digits of a text, and the rest.
fn digits(text: &str, width: usize) -> Option<(&str, &str)> {
    let (first, rest) = text.split_at_checked(width)?;
    first.bytes().all(|b| b.is_ascii_digit()).then_some((first, rest))
}

/// Takes up a part of the date; `None` where it contradicts one that was read before.
fn keep(token: &Token, value: u16, mut parts: Parts) -> Option<Parts> {
    fn set<T: PartialEq + Copy>(slot: &mut Option<T>, value: T) -> Option<()> {
        let agrees = slot.is_none_or(|known| known == value);
        *slot = Some(value);
        agrees.then_some(())
    }
    match token {
        Token::Year => set(&mut parts.year, value)?,
        Token::ShortYear => set(&mut parts.short_year, value)?,
        Token::Month => set(&mut parts.month, u8::try_from(value).ok()?)?,
        Token::Day => set(&mut parts.day, u8::try_from(value).ok()?)?,
        Token::DayOfYear => set(&mut parts.day_of_year, u32::from(value))?,
        Token::Literal(_) | Token::Name(_) | Token::Number(_) => {}
    }
    Some(parts)
}

/// The day and number that the parts make; `None` where there is no such day.
fn conclude(parts: Parts) -> Option<ReadBack> {
    let in_range = parts.month.is_none_or(|m| (1..=12).contains(&m))
        && parts.day.is_none_or(|d| (1..=31).contains(&d))
        && parts.day_of_year.is_none_or(|d| (1..=366).contains(&d))
        && parts.year.is_none_or(|y| y > 0);
    let years_agree = match (parts.year, parts.short_year) {
        (Some(year), Some(short)) => year % 100 == short,
        _ => true,
    };
    if !in_range || !years_agree {
        return None;
    }
    let year = parts.year.or(parts.short_year.map(|short| 2000 + short));
    let by_month = match (year, parts.month, parts.day) {
        (Some(year), Some(month), Some(day)) => Some(Date::new(year, month, day)?),
        _ => None,
    };
    let by_number = match (year, parts.day_of_year) {
        (Some(year), Some(number)) => {
            let date = from_day_of_year(year, number)?;
            let agrees = parts.month.is_none_or(|m| m == date.month())
                && parts.day.is_none_or(|d| d == date.day());
            Some(agrees.then_some(date)?)
        }
        _ => None,
    };
    Some(ReadBack { date: by_number.or(by_month), number: parts.number })
}

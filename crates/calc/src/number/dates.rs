//! Days as people write them. Files keep `YYYY-MM-DD` whatever is chosen here.

use crate::quantity::{Date, MONTHS};

/// Longest text that is read, in characters.
const MOST_CHARS: usize = 40;

/// In which order a day is written in figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum DateOrder {
    /// `2026-11-25`, as ISO 8601 has it.
    #[default]
    YearFirst,
    /// `25.11.2026`
    DayDots,
    /// `25/11/2026`
    DaySlashes,
    /// `11/25/2026`
    MonthSlashes,
}

/// Why a text is not a day; the message names what can be written instead.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DateError {
    /// It is no day in any spelling that is read.
    #[error("“{text}” is not a date; write it such as {example}")]
    NotADate {
        /// What was typed.
        text: String,
        /// The chosen order with a day in it.
        example: String,
    },
    /// The year has fewer than four digits.
    #[error("“{text}” has a short year; write all four digits, such as {example}")]
    ShortYear {
        /// What was typed.
        text: String,
        /// The chosen order with a day in it.
        example: String,
    },
    /// Day and month could each be the other.
    #[error("“{text}” has two meanings, {one} or {other}; write {one_iso} or {other_iso}")]
    TwoMeanings {
        /// What was typed.
        text: String,
        /// The day first, in words.
        one: String,
        /// The month first, in words.
        other: String,
        /// The day first, as ISO 8601 has it.
        one_iso: String,
        /// The month first, as ISO 8601 has it.
        other_iso: String,
    },
    /// The calendar has no such day.
    #[error("“{text}” is not in the calendar when written in the order {example}")]
    NoSuchDay {
        /// What was typed.
        text: String,
        /// The chosen order with a day in it.
        example: String,
    },
}

impl DateOrder {
    /// All of them.
    pub const ALL: [Self; 4] =
        [Self::YearFirst, Self::DayDots, Self::DaySlashes, Self::MonthSlashes];

    /// A day in figures.
    #[must_use]
    pub fn write(self, date: Date) -> String {
        let (y, m, d) = (date.year(), date.month(), date.day());
        match self {
            Self::YearFirst => date.to_string(),
            Self::DayDots => format!("{d:02}.{m:02}.{y:04}"),
            Self::DaySlashes => format!("{d:02}/{m:02}/{y:04}"),
            Self::MonthSlashes => format!("{m:02}/{d:02}/{y:04}"),
        }
    }

    /// A day with its month written out, which cannot be misread: "25 November 2026", or
    /// "November 25, 2026" where the month comes first.
    #[must_use]
    pub fn words(self, date: Date) -> String {
        match self {
            Self::MonthSlashes => {
                let month = MONTHS.get(usize::from(date.month()).saturating_sub(1));
                format!("{} {}, {}", month.copied().unwrap_or(""), date.day(), date.year())
            }
            _ => date.words(),
        }
    }

    /// A day in this order, to show how it is written.
    #[must_use]
    pub fn example(self) -> &'static str {
        match self {
            Self::YearFirst => "2026-11-25",
            Self::DayDots => "25.11.2026",
            Self::DaySlashes => "25/11/2026",
            Self::MonthSlashes => "11/25/2026",
        }
    }

    /// True when figures written like this, such as `03/04/2026`, mean one thing in this order.
    fn settles(self, dots: bool) -> bool {
        match self {
            Self::YearFirst => false,
            Self::DayDots | Self::DaySlashes => true,
            // Dots go with the day first wherever they are used.
            Self::MonthSlashes => !dots,
        }
    }

    /// Reads a day: in this order, as ISO 8601 has it, or with the month written out.
    ///
    /// # Errors
    /// What is no day, and what could be two different days: those are never guessed.
    pub fn read(self, typed: &str) -> Result<Date, DateError> {
        let typed = typed.trim();
        if let Some(date) = Date::parse(typed) {
            return Ok(date);
        }
        let shown = || typed.chars().take(MOST_CHARS).collect::<String>();
        let example = || self.example().to_owned();
        let no_date = || DateError::NotADate { text: shown(), example: example() };
        let no_day = || DateError::NoSuchDay { text: shown(), example: example() };
        let tokens = tokens(typed).ok_or_else(no_date)?;
        let [a, b, c] = tokens.as_slice() else { return Err(no_date()) };
        let year = |t: &Token| match t {
            Token::Figures(4, n) => Some(*n),
            _ => None,
        };
        let small = |t: &Token| match t {
            Token::Figures(1 | 2, n) => u8::try_from(*n).ok(),
            _ => None,
        };
        let month = |t: &Token| match t {
            Token::Month(n) => Some(*n),
            Token::Figures(..) => None,
        };
        // The month in words, in any place that is in use.
        for (y, m, d) in [(c, b, a), (c, a, b), (a, b, c)] {
            if let (Some(y), Some(m), Some(d)) = (year(y), month(m), small(d)) {
                return Date::new(y, m, d).ok_or_else(no_day);
            }
        }
        if let (Some(y), Some(m), Some(d)) = (year(a), small(b), small(c)) {
            return Date::new(y, m, d).ok_or_else(no_day);
        }
        let (Some(one), Some(two)) = (small(a), small(b)) else { return Err(no_date()) };
        let Some(y) = year(c) else {
            let short = small(c).is_some();
            let words = DateError::ShortYear { text: shown(), example: example() };
            return Err(if short { words } else { no_date() });
        };
        let (day_first, month_first) = (Date::new(y, two, one), Date::new(y, one, two));
        if self.settles(typed.contains('.')) {
            let own = if self == Self::MonthSlashes { month_first } else { day_first };
            return own.ok_or_else(no_day);
        }
        match (day_first, month_first) {
            (Some(day), Some(month)) if day != month => Err(DateError::TwoMeanings {
                text: shown(),
                one: day.words(),
                other: month.words(),
                one_iso: day.to_string(),
                other_iso: month.to_string(),
            }),
            (day, month) => day.or(month).ok_or_else(no_day),
        }
    }
}

/// A piece of a written day.
enum Token {
    /// How many figures, and their value.
    Figures(usize, u16),
    /// A month by its name.
    Month(u8),
}

/// The pieces between separators; nothing when anything else stands in between.
fn tokens(text: &str) -> Option<Vec<Token>> {
    if text.chars().count() > MOST_CHARS {
        return None;
    }
    let between = |c: char| matches!(c, '.' | '/' | '-' | ',') || c.is_whitespace();
    text.split(between)
        .filter(|t| !t.is_empty())
        .map(|t| {
            if t.len() <= 4 && t.bytes().all(|b| b.is_ascii_digit()) {
                return Some(Token::Figures(t.len(), t.parse().ok()?));
            }
            let lower = t.to_lowercase();
            let fits = |m: &str| lower.len() >= 3 && m.to_lowercase().starts_with(&lower);
            let at = MONTHS.iter().position(|m| fits(m))?;
            u8::try_from(at.checked_add(1)?).ok().map(Token::Month)
        })
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn day(y: u16, m: u8, d: u8) -> Date {
        Date::new(y, m, d).unwrap()
    }

    // ISO 8601-1:2019, 5.2.2.1 has YYYY-MM-DD as the extended form of a calendar date; the other
    // orders are common practice.
    #[test]
    fn a_day_is_written_in_the_chosen_order() {
        let first = day(2026, 3, 4);
        for (order, figures, words) in [
            (DateOrder::YearFirst, "2026-03-04", "4 March 2026"),
            (DateOrder::DayDots, "04.03.2026", "4 March 2026"),
            (DateOrder::DaySlashes, "04/03/2026", "4 March 2026"),
            (DateOrder::MonthSlashes, "03/04/2026", "March 4, 2026"),
        ] {
            assert_eq!(order.write(first), figures);
            assert_eq!(order.words(first), words);
            assert_eq!(order.read(order.example()), Ok(day(2026, 11, 25)), "{order:?}");
        }
    }

    #[test]
    fn what_has_one_meaning_is_read() {
        for order in DateOrder::ALL {
            for text in [
                "2026-11-25",
                " 2026-11-25 ",
                "2026/11/25",
                "2026.11.25",
                "25 November 2026",
                "25 nov 2026",
                "November 25, 2026",
                "2026 Nov 25",
                "25. November 2026",
            ] {
                assert_eq!(order.read(text), Ok(day(2026, 11, 25)), "{order:?} {text}");
            }
        }
        // Under the ISO order figures are taken where only one reading is in the calendar.
        for text in ["25/11/2026", "11/25/2026", "25.11.2026", "25-11-2026"] {
            assert_eq!(DateOrder::YearFirst.read(text), Ok(day(2026, 11, 25)), "{text}");
        }
        assert_eq!(DateOrder::YearFirst.read("03/03/2026"), Ok(day(2026, 3, 3)));
        assert_eq!(DateOrder::DaySlashes.read("3/4/2026"), Ok(day(2026, 4, 3)));
        assert_eq!(DateOrder::DayDots.read("3.4.2026"), Ok(day(2026, 4, 3)));
        assert_eq!(DateOrder::MonthSlashes.read("3/4/2026"), Ok(day(2026, 3, 4)));
    }

    #[test]
    fn what_has_two_meanings_is_asked_about() {
        for (order, text) in [
            (DateOrder::YearFirst, "03/04/2026"),
            (DateOrder::YearFirst, "3.4.2026"),
            (DateOrder::MonthSlashes, "03.04.2026"),
        ] {
            let error = order.read(text).unwrap_err();
            assert!(matches!(error, DateError::TwoMeanings { .. }), "{text}: {error}");
            let words = error.to_string();
            assert!(words.contains("3 April 2026") && words.contains("2026-03-04"), "{words}");
        }
    }

    #[test]
    fn what_is_no_day_is_refused_with_words() {
        use DateError as E;
        for (order, text, short, calendar) in [
            (DateOrder::YearFirst, "", false, false),
            (DateOrder::YearFirst, "tomorrow", false, false),
            (DateOrder::YearFirst, "11.2026", false, false),
            (DateOrder::YearFirst, "2026-13-01", false, true),
            (DateOrder::YearFirst, "2026-02-29", false, true),
            (DateOrder::YearFirst, "30 Feb 2026", false, true),
            (DateOrder::YearFirst, "31/31/2026", false, true),
            // The other order would fit, but it is not the one that was chosen.
            (DateOrder::DayDots, "11.25.2026", false, true),
            (DateOrder::MonthSlashes, "25/11/2026", false, true),
            (DateOrder::DayDots, "3.4.26", true, false),
            (DateOrder::MonthSlashes, "3/4/26", true, false),
            (DateOrder::YearFirst, "2026-11-25-1", false, false),
            (DateOrder::YearFirst, "12026-11-25", false, false),
            (DateOrder::YearFirst, "ma 3 2026", false, false),
        ] {
            let error = order.read(text).unwrap_err();
            assert_eq!(matches!(error, E::ShortYear { .. }), short, "{text}: {error}");
            assert_eq!(matches!(error, E::NoSuchDay { .. }), calendar, "{text}: {error}");
            assert!(error.to_string().contains(order.example()), "{error}");
        }
    }

    proptest! {
        #[test]
        fn what_is_written_is_read(y in 1000_u16..=9999, m in 1_u8..=12, d in 1_u8..=28) {
            let date = day(y, m, d);
            for order in DateOrder::ALL {
                prop_assert_eq!(order.read(&order.write(date)), Ok(date));
                prop_assert_eq!(order.read(&order.words(date)), Ok(date));
                prop_assert_eq!(order.read(&date.to_string()), Ok(date));
            }
        }

        #[test]
        fn nothing_panics(text in any::<String>(), figures in "[0-9./ -]{0,14}") {
            for order in DateOrder::ALL {
                for text in [&text, &figures] {
                    if let Err(error) = order.read(text) {
                        prop_assert!(!error.to_string().is_empty());
                    }
                }
            }
        }
    }
}

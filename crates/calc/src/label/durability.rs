//! A date of minimum durability, or a period after opening.
//!
//! Regulation (EC) 1223/2009, Article 19(1)(c): up to and including 30 months a date is printed;
//! above, no date is asked for, and the open jar with the period after opening takes its place.

use super::Cited;
use crate::formula::Basis;
use crate::quantity::Date;

/// The date, and its edge at 30 months.
pub const DURABILITY: Cited =
    Cited { source: "Regulation (EC) 1223/2009, Article 19(1)(c)", basis: Basis::Read };
/// The period after opening, and when it says nothing.
pub const OPENED: Cited = Cited {
    source: "Regulation (EC) 1223/2009, Article 19(1)(c), with European Commission note \
             04/ENTR/COS/28",
    basis: Basis::Read,
};

/// Up to and including this durability a date is printed.
pub const BEST_BEFORE_UP_TO_MONTHS: u32 = 30;

/// How long the product keeps, unopened, from the day it was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Durability {
    /// Whole months, above zero.
    pub months: u32,
}

/// How long it keeps once opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Opened {
    /// Whole months, above zero.
    pub months: u32,
}

impl Opened {
    /// What stands in the open jar: "12M".
    #[must_use]
    pub fn symbol(self) -> String {
        format!("{}M", self.months)
    }
}

/// What the pack has to carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DurabilityRule {
    /// "Best used before the end of" a date. No period after opening is asked for.
    BestBefore,
    /// The open jar with its period. No date is asked for.
    AfterOpening,
    /// Neither: it keeps above 30 months, and opening makes no difference to it.
    Neither,
}

/// What is missing or does not fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DurabilityNote {
    /// Both are blank: one of the two has to be on the pack.
    NothingKnown,
    /// Without the durability it is open whether a date is needed.
    DurabilityBlank,
    /// Above 30 months the period after opening is needed.
    OpenedBlank,
    /// A durability of no months.
    DurabilityZero,
    /// A period after opening of no months.
    OpenedZero,
    /// It is said to keep longer opened than unopened.
    OpenedLonger,
    /// Neither figure is free: both have to be borne out in the safety report.
    NeedsEvidence,
}

impl DurabilityNote {
    /// One sentence, without a full stop.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::NothingKnown => {
                "Enter how long the product keeps: a date or a period after opening has to be on \
                 the pack"
            }
            Self::DurabilityBlank => {
                "Enter how long the product keeps unopened: up to 30 months a date is needed"
            }
            Self::OpenedBlank => {
                "Enter the period after opening: it takes the place of a date above 30 months"
            }
            Self::DurabilityZero => "A durability of 0 months cannot be printed",
            Self::OpenedZero => "A period after opening of 0 months cannot be printed",
            Self::OpenedLonger => {
                "The period after opening is longer than the product keeps unopened"
            }
            Self::NeedsEvidence => "Durability has to be borne out in the safety report",
        }
    }
}

/// What follows from durability and period after opening.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DurabilityStatement {
    /// What the pack has to carry; `None` while the durability is not known.
    pub rule: Option<DurabilityRule>,
    /// What stands in the open jar, where that is asked for and known.
    pub symbol: Option<String>,
    /// What is missing or does not fit.
    pub notes: Vec<DurabilityNote>,
}

/// What the pack has to carry ([`DURABILITY`], [`OPENED`]).
///
/// `opening_matters` is false for packs for one use, packs that do not open, and products that
/// cannot spoil: they need no period after opening.
#[must_use]
pub fn durability(
    unopened: Option<Durability>,
    opened: Option<Opened>,
    opening_matters: bool,
) -> DurabilityStatement {
    let mut notes = Vec::new();
    if unopened.is_some_and(|d| d.months == 0) {
        notes.push(DurabilityNote::DurabilityZero);
    }
    if opened.is_some_and(|o| o.months == 0) {
        notes.push(DurabilityNote::OpenedZero);
    }
    let known = unopened.filter(|d| d.months > 0);
    let period = opened.filter(|o| o.months > 0);
    let rule = known.map(|d| {
        if d.months <= BEST_BEFORE_UP_TO_MONTHS {
            DurabilityRule::BestBefore
        } else if opening_matters {
            DurabilityRule::AfterOpening
        } else {
            DurabilityRule::Neither
        }
    });
    match (unopened, opened) {
        (None, None) => notes.push(DurabilityNote::NothingKnown),
        (None, Some(_)) => notes.push(DurabilityNote::DurabilityBlank),
        (Some(_), None) if rule == Some(DurabilityRule::AfterOpening) => {
            notes.push(DurabilityNote::OpenedBlank);
        }
        (Some(_), _) => {}
    }
    if let (Some(unopened), Some(opened)) = (known, period)
        && opened.months > unopened.months
    {
        notes.push(DurabilityNote::OpenedLonger);
    }
    if known.is_some() || period.is_some() {
        notes.push(DurabilityNote::NeedsEvidence);
    }
    let symbol = period.filter(|_| rule == Some(DurabilityRule::AfterOpening)).map(Opened::symbol);
    DurabilityStatement { rule, symbol, notes }
}

/// Why there is no date.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, thiserror::Error)]
pub enum DateError {
    /// No months.
    #[error("A durability of 0 months gives no date; enter at least 1")]
    NoMonths,
    /// Beyond the year 9999.
    #[error("The date lies beyond the year 9999; enter fewer months")]
    BeyondCalendar,
}

/// The date of minimum durability in the two forms in which it may be printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct BestBefore {
    /// The last day.
    pub day: Date,
    /// The last month, year first, that has ended by that day: "before the end of" a month that
    /// ends later would promise too much (common practice).
    pub month_form: (u16, u8),
}

impl BestBefore {
    /// "15/01/2028".
    #[must_use]
    pub fn day_text(&self) -> String {
        format!("{:02}/{:02}/{:04}", self.day.day(), self.day.month(), self.day.year())
    }

    /// "12/2027".
    #[must_use]
    pub fn month_text(&self) -> String {
        format!("{:02}/{:04}", self.month_form.1, self.month_form.0)
    }

    /// "Best used before the end of 12/2027".
    #[must_use]
    pub fn words(&self) -> String {
        format!("Best used before the end of {}", self.month_text())
    }
}

/// The date of minimum durability of what was made on a day.
///
/// # Errors
///
/// No months, or a date beyond the year 9999.
pub fn best_before(made: Date, months: u32) -> Result<BestBefore, DateError> {
    if months == 0 {
        return Err(DateError::NoMonths);
    }
    let day = add_months(made, months).ok_or(DateError::BeyondCalendar)?;
    let ends_here = Date::new(day.year(), day.month(), day.day().saturating_add(1)).is_none();
    let month_form = match (ends_here, day.month()) {
        (true, month) => (day.year(), month),
        (false, 1) => (day.year().saturating_sub(1), 12),
        (false, month) => (day.year(), month.saturating_sub(1)),
    };
    Ok(BestBefore { day, month_form })
}

/// The same day so many months later; the last day of a month that is too short for it. `None`
/// beyond the year 9999.
#[must_use]
pub fn add_months(date: Date, months: u32) -> Option<Date> {
    let zero_based = u32::from(date.month()).checked_sub(1)?;
    let total = u32::from(date.year()).checked_mul(12)?.checked_add(zero_based)?;
    let total = total.checked_add(months)?;
    let year = u16::try_from(total / 12).ok()?;
    let month = u8::try_from(total % 12 + 1).ok()?;
    (28..=date.day()).rev().chain([date.day()]).find_map(|day| Date::new(year, month, day))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn keeps(months: u32) -> Option<Durability> {
        Some(Durability { months })
    }

    fn open(months: u32) -> Option<Opened> {
        Some(Opened { months })
    }

    #[test]
    fn what_is_missing_is_said() {
        use DurabilityNote as Note;
        let notes = |a, b| durability(a, b, true).notes;
        assert_eq!(notes(None, None), [Note::NothingKnown]);
        assert_eq!(notes(None, open(12)), [Note::DurabilityBlank, Note::NeedsEvidence]);
        assert_eq!(notes(keeps(36), None), [Note::OpenedBlank, Note::NeedsEvidence]);
        assert_eq!(notes(keeps(24), None), [Note::NeedsEvidence]);
        assert_eq!(notes(keeps(0), open(0)), [Note::DurabilityZero, Note::OpenedZero]);
        assert_eq!(notes(keeps(6), open(12)), [Note::OpenedLonger, Note::NeedsEvidence]);
        assert_eq!(durability(keeps(0), open(12), true).rule, None);
        assert_eq!(durability(keeps(36), open(0), true).symbol, None);
    }

    #[test]
    fn a_pack_that_does_not_open_needs_no_period() {
        let sealed = durability(keeps(36), open(12), false);
        assert_eq!((sealed.rule, sealed.symbol), (Some(DurabilityRule::Neither), None));
        let short = durability(keeps(30), None, false);
        assert_eq!(short.rule, Some(DurabilityRule::BestBefore));
    }

    #[test]
    fn the_calendar_ends() {
        let last = Date::new(9999, 12, 31).unwrap();
        assert_eq!(best_before(last, 1), Err(DateError::BeyondCalendar));
        assert_eq!(best_before(Date::Y2K, u32::MAX), Err(DateError::BeyondCalendar));
        assert_eq!(best_before(Date::Y2K, 0), Err(DateError::NoMonths));
        let first = best_before(Date::new(1, 1, 15).unwrap(), 1).unwrap();
        assert_eq!(first.month_text(), "01/0001");
    }

    proptest! {
        #[test]
        fn the_month_form_never_promises_more(
            year in 1_u16..=9900, month in 1_u8..=12, day in 1_u8..=31, months in 1_u32..=1100
        ) {
            if let Some(made) = Date::new(year, month, day) {
                let best = best_before(made, months).unwrap();
                let apart = |d: Date| u32::from(d.year()) * 12 + u32::from(d.month());
                prop_assert_eq!(apart(best.day) - apart(made), months);
                prop_assert!(best.day.day() <= made.day());
                let (y, m) = best.month_form;
                let end = (28..=31).rev().find_map(|d| Date::new(y, m, d)).unwrap();
                prop_assert!(end <= best.day);
                let lost = apart(best.day) - (u32::from(y) * 12 + u32::from(m));
                prop_assert!(lost <= 1);
            }
        }
    }
}

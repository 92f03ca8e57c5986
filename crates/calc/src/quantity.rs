//! Exact amounts: per cent by mass, grams, money and calendar dates.
//!
//! Arithmetic saturates instead of overflowing, so that a hostile file or a
//! mistyped figure can never panic. Saturation starts near 7.9e28, far outside
//! any amount that [`crate::number::parse`] accepts (1e12).

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub};

use rust_decimal::{Decimal, RoundingStrategy};

/// Decimals kept when a percentage is derived from grams or parts.
pub const DERIVED_DECIMALS: u32 = 10;

macro_rules! amount {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub Decimal);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(Decimal::ZERO);

            /// The value times an exact factor.
            #[must_use]
            pub fn times(self, factor: Decimal) -> Self {
                Self(self.0.saturating_mul(factor))
            }

            /// True below zero.
            #[must_use]
            pub fn is_negative(self) -> bool {
                self.0 < Decimal::ZERO
            }

            /// True at exactly zero.
            #[must_use]
            pub fn is_zero(self) -> bool {
                self.0.is_zero()
            }

            /// The nearest `f64`, for physics and drawing only.
            #[must_use]
            pub fn to_f64(self) -> f64 {
                decimal_to_f64(self.0)
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0.saturating_add(other.0))
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                *self = *self + other;
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0.saturating_sub(other.0))
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
                iter.fold(Self::ZERO, Add::add)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}", self.0.normalize())
            }
        }
    };
}

amount! {
    /// Per cent by mass (% w/w) of the finished product.
    Percent
}
amount! {
    /// Mass in grams.
    Grams
}
amount! {
    /// An amount of money; the currency is the project's.
    Money
}

impl Percent {
    /// The whole product.
    pub const HUNDRED: Self = Self(Decimal::ONE_HUNDRED);

    /// The mass that this share is of `whole`.
    #[must_use]
    pub fn of(self, whole: Grams) -> Grams {
        Grams(
            whole
                .0
                .saturating_mul(self.0)
                .checked_div(Decimal::ONE_HUNDRED)
                .unwrap_or(Decimal::ZERO),
        )
    }

    /// This share of a share: 20 % of 50 % is 10 %.
    #[must_use]
    pub fn of_percent(self, whole: Percent) -> Percent {
        Percent(
            whole
                .0
                .saturating_mul(self.0)
                .checked_div(Decimal::ONE_HUNDRED)
                .unwrap_or(Decimal::ZERO),
        )
    }

    /// The share that `part` is of `whole`, to ten decimals, half away from zero;
    /// `None` when `whole` is zero.
    #[must_use]
    pub fn share(part: Decimal, whole: Decimal) -> Option<Percent> {
        part.saturating_mul(Decimal::ONE_HUNDRED).checked_div(whole).map(|p| Percent(derived(p)))
    }

    /// The share as a fraction of one, for physics.
    #[must_use]
    pub fn fraction(self) -> f64 {
        self.to_f64() / 100.0
    }
}

/// Rounds to [`DERIVED_DECIMALS`], half away from zero.
#[must_use]
pub fn derived(value: Decimal) -> Decimal {
    value.round_dp_with_strategy(DERIVED_DECIMALS, RoundingStrategy::MidpointAwayFromZero)
}

/// The nearest `f64` to a decimal.
#[must_use]
pub fn decimal_to_f64(value: Decimal) -> f64 {
    use rust_decimal::prelude::ToPrimitive as _;
    value.to_f64().unwrap_or(f64::NAN)
}

/// Months as they are written out.
pub(crate) const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A day in the Gregorian calendar. The crate has no clock: dates are arguments.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// 1 January 2000; a fixed day for tests and fallbacks.
    pub const Y2K: Self = Self { year: 2000, month: 1, day: 1 };

    /// A valid day, or `None` (years 1 to 9999).
    #[must_use]
    pub fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let leap =
            (year.is_multiple_of(4) && !year.is_multiple_of(100)) || year.is_multiple_of(400);
        let days = match month {
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            _ => return None,
        };
        ((1..=9999).contains(&year) && (1..=days).contains(&day)).then_some(Self {
            year,
            month,
            day,
        })
    }

    /// Reads `YYYY-MM-DD` (ISO 8601).
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let (y, m, d) = (parts.next()?, parts.next()?, parts.next()?);
        let plain = |s: &str, n: usize| s.len() == n && s.bytes().all(|b| b.is_ascii_digit());
        if parts.next().is_some() || !plain(y, 4) || !plain(m, 2) || !plain(d, 2) {
            return None;
        }
        Self::new(y.parse().ok()?, m.parse().ok()?, d.parse().ok()?)
    }

    /// The year.
    #[must_use]
    pub fn year(self) -> u16 {
        self.year
    }

    /// The month, 1 to 12.
    #[must_use]
    pub fn month(self) -> u8 {
        self.month
    }

    /// The day of the month, 1 to 31.
    #[must_use]
    pub fn day(self) -> u8 {
        self.day
    }

    /// In words: "25 November 2026".
    #[must_use]
    pub fn words(self) -> String {
        let month = MONTHS.get(usize::from(self.month).saturating_sub(1)).copied().unwrap_or("");
        format!("{} {month} {}", self.day, self.year)
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn d(text: &str) -> Decimal {
        text.parse().unwrap_or_default()
    }

    // Practice convention C1: these three sum to exactly 0.01 and so do not
    // exceed it; in binary floats they do.
    #[test]
    fn a_threshold_met_exactly_is_not_exceeded() {
        let sum: Percent = ["0.0070", "0.0020", "0.0010"].map(|t| Percent(d(t))).into_iter().sum();
        assert_eq!(sum, Percent(d("0.01")));
        assert!(sum <= Percent(d("0.01")));
        let floats: f64 = [0.0070, 0.0020, 0.0010].into_iter().sum();
        assert!(floats > 0.01, "the float trap is real");
    }

    #[test]
    fn shares_round_half_away_from_zero_at_ten_decimals() {
        assert_eq!(Percent::share(d("1"), d("3")), Some(Percent(d("33.3333333333"))));
        assert_eq!(derived(d("0.00000000005")), d("0.0000000001"));
        assert_eq!(derived(d("-0.00000000005")), d("-0.0000000001"));
        assert_eq!(Percent::share(d("1"), d("0")), None);
    }

    #[test]
    fn overflow_saturates() {
        let huge = Grams(Decimal::MAX);
        assert_eq!((huge + huge).0, Decimal::MAX);
        assert!(Percent(Decimal::MAX).of(huge).0 > Decimal::ZERO);
    }

    #[test]
    fn dates_know_the_calendar() {
        assert_eq!(Date::parse("2026-11-25").map(Date::words).as_deref(), Some("25 November 2026"));
        assert!(Date::parse("2024-02-29").is_some());
        for bad in
            ["2026-02-29", "1900-02-29", "2026-13-01", "2026-1-1", "26-01-01", "2026-01-00", "x"]
        {
            assert_eq!(Date::parse(bad), None, "{bad}");
        }
    }
}

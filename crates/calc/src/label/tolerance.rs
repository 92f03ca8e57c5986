//! How far a single pack may fall short of its nominal content: the tolerable negative error.

use rust_decimal::{Decimal, RoundingStrategy};

use super::Cited;
use crate::formula::Basis;

/// The table, and that no pack may fall short by more than twice its figure.
///
/// The same rows were read in another law on the same international model and in three public
/// programs; the directive itself was not at hand. From 5 g or ml to 10 kg or l.
pub const TNE: Cited = Cited {
    source: "Directive 76/211/EEC, Annex I, 2.4, by way of Saint Lucia, Metrology Act, Schedule 5",
    basis: Basis::Read,
};
/// That shares are rounded up to a tenth of a gram or millilitre.
pub const TNE_ROUNDING: Cited =
    Cited { source: "Directive 76/211/EEC, Annex I, 2.4", basis: Basis::Memory };

/// A row of the table holds up to and including this nominal content; neighbours agree there.
const ROWS: [(i64, Step); 7] = [
    (50, Step::Percent(Decimal::from_parts(9, 0, 0, false, 0))),
    (100, Step::Fixed(Decimal::from_parts(45, 0, 0, false, 1))),
    (200, Step::Percent(Decimal::from_parts(45, 0, 0, false, 1))),
    (300, Step::Fixed(Decimal::from_parts(9, 0, 0, false, 0))),
    (500, Step::Percent(Decimal::from_parts(3, 0, 0, false, 0))),
    (1_000, Step::Fixed(Decimal::from_parts(15, 0, 0, false, 0))),
    (10_000, Step::Percent(Decimal::from_parts(15, 0, 0, false, 1))),
];
/// Below this the directive does not apply.
const FROM: Decimal = Decimal::from_parts(5, 0, 0, false, 0);

#[derive(Clone, Copy)]
enum Step {
    Percent(Decimal),
    Fixed(Decimal),
}

/// The tolerable negative error of a nominal content.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tolerance {
    /// g or ml as nominal.
    pub nominal: Decimal,
    /// g or ml, shares rounded up to a tenth ([`TNE_ROUNDING`]).
    pub error: Decimal,
    /// g or ml, before rounding.
    pub exact: Decimal,
}

impl Tolerance {
    /// Below this content a pack counts as short; only few in a lot may be.
    #[must_use]
    pub fn short_below(&self) -> Decimal {
        self.nominal - self.error
    }

    /// Below this content no pack may bear the mark of the directive.
    #[must_use]
    pub fn none_below(&self) -> Decimal {
        self.nominal - self.error - self.error
    }
}

/// The tolerable negative error, in the unit of `nominal` (g or ml); `None` outside 5 to 10 000,
/// where the directive does not apply.
#[must_use]
pub fn tne(nominal: Decimal) -> Option<Tolerance> {
    if nominal < FROM {
        return None;
    }
    let (_, step) = ROWS.iter().find(|(up_to, _)| nominal <= Decimal::from(*up_to))?;
    let (exact, error) = match *step {
        Step::Fixed(value) => (value, value),
        Step::Percent(share) => {
            let exact = nominal.checked_mul(share)?.checked_div(Decimal::ONE_HUNDRED)?;
            (exact, exact.round_dp_with_strategy(1, RoundingStrategy::AwayFromZero))
        }
    };
    Some(Tolerance { nominal, error: error.normalize(), exact: exact.normalize() })
}

/// How one pack stands to its nominal content.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Shortfall {
    /// Not short, or short by no more than the tolerable error.
    Within,
    /// Short by more than the tolerable error; only few in a lot may be.
    BeyondOnce,
    /// Short by more than twice the tolerable error; such a pack may not bear the mark.
    BeyondTwice,
}

/// Compares one pack with its nominal content. An error of exactly the limit is within it.
///
/// `None` where the directive does not apply or `actual` is negative.
#[must_use]
pub fn shortfall(nominal: Decimal, actual: Decimal) -> Option<Shortfall> {
    let tolerance = tne(nominal)?;
    if actual < Decimal::ZERO {
        return None;
    }
    Some(if actual >= tolerance.short_below() {
        Shortfall::Within
    } else if actual >= tolerance.none_below() {
        Shortfall::BeyondOnce
    } else {
        Shortfall::BeyondTwice
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn d(text: &str) -> Decimal {
        text.parse().unwrap()
    }

    #[test]
    fn shares_are_rounded_up_to_a_tenth() {
        let odd = tne(d("33")).unwrap();
        assert_eq!((odd.exact, odd.error), (d("2.97"), d("3.0")));
        assert_eq!(tne(d("5")).unwrap().error, d("0.5"));
        assert_eq!(tne(d("40")).unwrap().error, d("3.6"));
        assert_eq!(odd.short_below(), d("30"));
    }

    #[test]
    fn outside_the_directive_there_is_no_answer() {
        for nominal in ["4.9999999999", "0", "-100", "10000.0000000001"] {
            assert_eq!(tne(d(nominal)), None, "{nominal}");
            assert_eq!(shortfall(d(nominal), d("1")), None);
        }
        assert_eq!(tne(Decimal::MAX), None);
        assert_eq!(shortfall(d("100"), d("-1")), None);
    }

    proptest! {
        #[test]
        fn a_larger_pack_may_miss_no_less(a in 5_000_i64..=10_000_000, b in 5_000_i64..=10_000_000) {
            let (a, b) = (Decimal::new(a.min(b), 3), Decimal::new(a.max(b), 3));
            prop_assert!(tne(a).unwrap().error <= tne(b).unwrap().error);
            prop_assert!(tne(a).unwrap().exact <= tne(a).unwrap().error);
        }
    }
}

//! The hydrophile-lipophile balance: HLB of emulsifiers, of their blends, and what an oil asks for.
//!
//! Exact arithmetic on soft data: a review of the original work holds HLB and required HLB for
//! approximate guidelines and finds that additivity was never proven (Int. J. Pharm. 356, 44–51,
//! 2008, abstract read). Show one decimal and claim no stability. Griffin's and Davies' scales
//! differ widely for long ethoxylates: do not mix them in one blend.

use crate::formula::Basis;

/// Largest HLB or group sum that is calculated with.
const LARGEST: f64 = 1_000.0;

/// Share of an oil phase that needs a required HLB before the sum may be shown, 0 to 1. Common
/// practice.
pub const COVERAGE_LEAST: f64 = 0.8;

/// Largest HLB on Griffin's scale, for nonionic emulsifiers.
pub const NONIONIC_MOST: f64 = 20.0;

/// Largest HLB that is met, sodium lauryl sulfate by Davies.
pub const IONIC_MOST: f64 = 40.0;

/// Molar mass of one oxyethylene unit, C2H4O, g/mol.
pub const OXYETHYLENE_G_MOL: f64 = 44.053;

/// Two hydrophile-lipophile balances closer than this are the same.
const SAME_WITHIN: f64 = 1e-9;

fn sound(x: f64) -> bool {
    x.is_finite() && x.abs() <= LARGEST
}

fn weight(x: f64) -> bool {
    x.is_finite() && (0.0..=1e12).contains(&x)
}

/// HLB of a nonionic emulsifier from its hydrophilic mass: 20 · M_h / M.
///
/// `hydrophile` is the molar mass of the oxyethylene (and polyol) part and `whole` that of the
/// molecule, both in g/mol. Source: Griffin, J. Soc. Cosmet. Chem. 1, 311 (1949) and 5, 249
/// (1954). `None` unless 0 ≤ `hydrophile` ≤ `whole` and `whole` > 0.
#[must_use]
pub fn griffin(hydrophile: f64, whole: f64) -> Option<f64> {
    let fits = weight(hydrophile) && weight(whole) && whole > 0.0 && hydrophile <= whole;
    fits.then(|| 20.0 * hydrophile / whole)
}

/// HLB of an ethoxylate of `units` oxyethylene on a base of `base` g/mol; see [`griffin`].
#[must_use]
pub fn griffin_ethoxylate(units: f64, base: f64) -> Option<f64> {
    let hydrophile = units * OXYETHYLENE_G_MOL;
    (base > 0.0).then(|| griffin(hydrophile, hydrophile + base)).flatten()
}

/// HLB of a polyol ester: 20 · (1 − S / A).
///
/// `s` is the saponification value of the ester and `a` the acid value of its fatty acid, both in
/// mg KOH/g. Source: Griffin, J. Soc. Cosmet. Chem. 5, 249 (1954), from memory. `None` unless
/// 0 ≤ `s` ≤ `a` and `a` > 0.
#[must_use]
pub fn griffin_ester(s: f64, a: f64) -> Option<f64> {
    let fits = weight(s) && weight(a) && a > 0.0 && s <= a;
    fits.then(|| 20.0 * (1.0 - s / a))
}

/// A hydrophilic group of Davies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DaviesGroup {
    /// The group in words.
    pub name: &'static str,
    /// Its number.
    pub number: f64,
    /// How the number was come by.
    pub basis: Basis,
}

const fn group(name: &'static str, number: f64, basis: Basis) -> DaviesGroup {
    DaviesGroup { name, number, basis }
}

/// Hydrophilic groups. Source: Davies, Proc. 2nd Int. Congr. Surface Activity 1, 426 (1957), read
/// in an encyclopaedia article; some reprints give 38.6 for the sulfate.
pub const DAVIES_GROUPS: [DaviesGroup; 11] = [
    group("sulfate, sodium", 38.7, Basis::Read),
    group("carboxylate, potassium", 21.1, Basis::Read),
    group("carboxylate, sodium", 19.1, Basis::Read),
    group("sulfonate, sodium", 11.0, Basis::Memory),
    group("tertiary amine", 9.4, Basis::Read),
    group("ester on a sorbitan ring", 6.8, Basis::Read),
    group("ester, free", 2.4, Basis::Read),
    group("carboxylic acid", 2.1, Basis::Read),
    group("hydroxyl, free", 1.9, Basis::Read),
    group("ether", 1.3, Basis::Read),
    group("hydroxyl on a sorbitan ring", 0.5, Basis::Read),
];

/// HLB by Davies: 7 + Σ groups − 0.475 · n.
///
/// `groups` is the sum of [`DAVIES_GROUPS`] and `n` counts CH, CH2, CH3 and =CH−. Poor for long
/// oxyethylene chains (J. Colloid Interface Sci. 298, 441–450, 2006, abstract read). `None` when
/// a number is none or lies beyond 1000, or `n` is negative.
#[must_use]
pub fn davies(groups: f64, n: f64) -> Option<f64> {
    (sound(groups) && sound(n) && n >= 0.0).then_some(7.0 + groups - 0.475 * n)
}

/// True when an HLB is on a scale that its emulsifier can have: 0 to 20 for a nonionic, to 40 for
/// an ionic one.
#[must_use]
pub fn is_plausible(hlb: f64, ionic: bool) -> bool {
    (0.0..=if ionic { IONIC_MOST } else { NONIONIC_MOST }).contains(&hlb)
}

/// HLB of a blend of (weight, HLB), by mass: Σ w · HLB / Σ w (Griffin 1949).
///
/// `None` when the weights sum to nothing, one is negative, or a number is none.
#[must_use]
pub fn blend_hlb(parts: &[(f64, f64)]) -> Option<f64> {
    let mut whole = 0.0;
    let mut sum = 0.0;
    for (w, hlb) in parts {
        if !(weight(*w) && sound(*hlb)) {
            return None;
        }
        whole += w;
        sum += w * hlb;
    }
    let blend = sum / whole;
    (whole > 0.0 && blend.is_finite()).then_some(blend)
}

/// HLB that an oil phase asks for, for oil in water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RequiredHlb {
    /// Lower end of the band.
    pub low: f64,
    /// Middle of the band.
    pub at: f64,
    /// Upper end of the band.
    pub high: f64,
    /// Share of the oil phase that it rests on, 0 to 1.
    pub coverage: f64,
}

impl RequiredHlb {
    /// True when enough of the oil phase has a figure for the band to be shown.
    #[must_use]
    pub fn may_be_shown(&self) -> bool {
        self.coverage >= COVERAGE_LEAST - 1e-9
    }
}

/// Required HLB of an oil phase of (weight, (low, high) or unknown), by mass over the part that
/// is known; the rest lowers the coverage.
///
/// Source: Griffin, J. Soc. Cosmet. Chem. 1, 311 (1949), for the sum. `None` when nothing is
/// known, a weight is negative, a number is none, or a band is upside down.
#[must_use]
pub fn required_hlb(parts: &[(f64, Option<(f64, f64)>)]) -> Option<RequiredHlb> {
    let (mut whole, mut known, mut low, mut high) = (0.0, 0.0, 0.0, 0.0);
    for (w, band) in parts {
        if !weight(*w) {
            return None;
        }
        whole += w;
        if let Some((a, b)) = band {
            if !(sound(*a) && sound(*b) && a <= b) {
                return None;
            }
            known += w;
            low += w * a;
            high += w * b;
        }
    }
    if known <= 0.0 {
        return None;
    }
    let (low, high) = (low / known, high / known);
    Some(RequiredHlb { low, at: f64::midpoint(low, high), high, coverage: known / whole })
}

/// Why two emulsifiers do not reach an HLB.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum SplitError {
    /// Both have the same HLB, so no share can be told.
    #[error("both emulsifiers have the same HLB")]
    Same,
    /// The wanted HLB is not between theirs.
    #[error("the nearest HLB is {nearest:.1}, off by {off:.1}")]
    OutOfReach {
        /// The nearer of the two.
        nearest: f64,
        /// How far it is off; above zero.
        off: f64,
    },
    /// A figure is no number or lies beyond 1000.
    #[error("an HLB is no number")]
    NotANumber,
}

/// Share of emulsifier A, 0 to 1, that makes a blend of A and B reach `target`:
/// (target − B) / (A − B), from [`blend_hlb`].
///
/// # Errors
/// [`SplitError`].
pub fn split(target: f64, a: f64, b: f64) -> Result<f64, SplitError> {
    if ![target, a, b].into_iter().all(sound) {
        return Err(SplitError::NotANumber);
    }
    if (a - b).abs() < SAME_WITHIN {
        return Err(SplitError::Same);
    }
    let nearest = target.clamp(a.min(b), a.max(b));
    let off = (target - nearest).abs();
    if off > SAME_WITHIN {
        return Err(SplitError::OutOfReach { nearest, off });
    }
    Ok(((nearest - b) / (a - b)).clamp(0.0, 1.0))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn no_answer() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert_eq!(griffin(bad, 100.0), None);
            assert_eq!(griffin(1.0, bad), None);
            assert_eq!(griffin_ethoxylate(bad, 100.0), None);
            assert_eq!(griffin_ethoxylate(2.0, bad), None);
            assert_eq!(griffin_ester(bad, 198.0), None);
            assert_eq!(griffin_ester(161.0, bad), None);
            assert_eq!(davies(1.0, bad), None);
            assert_eq!(blend_hlb(&[(bad, 4.0), (5.0, 8.0)]), None);
            assert_eq!(required_hlb(&[(bad, Some((4.0, 5.0)))]), None);
        }
        assert_eq!(griffin(0.0, 0.0), None);
        assert_eq!(griffin(2.0, 1.0), None);
        assert_eq!(griffin_ester(199.0, 198.0), None);
        assert_eq!(davies(f64::NAN, 1.0), None);
        assert_eq!(blend_hlb(&[]), None);
        assert_eq!(blend_hlb(&[(0.0, 5.0)]), None);
        assert_eq!(blend_hlb(&[(1.0, f64::NAN)]), None);
        assert_eq!(blend_hlb(&[(f64::MAX, 1.0), (f64::MAX, 2.0)]), None);
        assert_eq!(required_hlb(&[]), None);
        assert_eq!(required_hlb(&[(1.0, None)]), None);
        assert_eq!(required_hlb(&[(0.0, Some((1.0, 2.0)))]), None);
        assert_eq!(required_hlb(&[(1.0, Some((2.0, 1.0)))]), None);
    }

    #[test]
    fn what_two_emulsifiers_do_not_reach() {
        assert_eq!(split(8.0, 5.0, 5.0), Err(SplitError::Same));
        assert_eq!(split(f64::NAN, 5.0, 6.0), Err(SplitError::NotANumber));
        assert_eq!(split(5.0, f64::MAX, f64::MIN), Err(SplitError::NotANumber));
        assert_eq!(split(17.0, 15.0, 4.3), Err(SplitError::OutOfReach { nearest: 15.0, off: 2.0 }));
        let low = split(4.0, 15.0, 4.3);
        assert!(matches!(low, Err(SplitError::OutOfReach { nearest, .. }) if nearest == 4.3));
        assert_eq!(split(15.0, 15.0, 4.3), Ok(1.0));
        assert_eq!(split(4.3, 15.0, 4.3), Ok(0.0));
    }

    #[test]
    fn the_unknown_lowers_the_coverage() {
        let parts = [(8.0, Some((6.0, 8.0))), (2.0, None)];
        let r = required_hlb(&parts).unwrap();
        assert_eq!((r.low, r.at, r.high, r.coverage), (6.0, 7.0, 8.0, 0.8));
        assert!(r.may_be_shown());
        let less = required_hlb(&[(7.9, Some((6.0, 8.0))), (2.1, None)]).unwrap();
        assert!(!less.may_be_shown());
    }

    #[test]
    fn what_is_plausible() {
        assert!(is_plausible(20.0, false) && !is_plausible(20.1, false));
        assert!(is_plausible(40.0, true) && !is_plausible(-0.1, true));
        assert!(!is_plausible(f64::NAN, true));
    }

    proptest! {
        #[test]
        fn a_blend_lies_between_its_parts(
            parts in prop::collection::vec((0.01f64..100.0, 0.0f64..40.0), 1..8),
        ) {
            let hlb = blend_hlb(&parts).unwrap();
            let lo = parts.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
            let hi = parts.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
            prop_assert!(hlb >= lo - 1e-9 && hlb <= hi + 1e-9);
        }

        #[test]
        fn a_split_blends_back(a in 0.0f64..20.0, b in 0.0f64..20.0, part in 0.0f64..1.0) {
            prop_assume!((a - b).abs() > 1e-3);
            let target = a * part + b * (1.0 - part);
            let share = split(target, a, b).unwrap();
            let back = blend_hlb(&[(share, a), (1.0 - share, b)]).unwrap();
            prop_assert!((back - target).abs() < 1e-9);
        }
    }
}

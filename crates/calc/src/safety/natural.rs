//! Natural origin content by ISO 16128.
//!
//! Source: ISO 16128-1:2016 and ISO 16128-2:2017, read in secondary texts, the product formula
//! from memory. The standard is voluntary and says nothing of claims or safety.

use crate::evaluate::{Derived, Opened, WhyNot};
use crate::quantity::Percent;

/// Natural origin of a product. What has no index is unknown: the content lies between the figure
/// that counts it as 0 and the one that counts it as 1.
#[derive(Clone, Debug, PartialEq)]
pub struct NaturalOrigin {
    /// Least content, % of the whole.
    pub with_water: f64,
    /// Most content, % of the whole.
    pub with_water_most: f64,
    /// Least content without the formulation water, % of the rest; `None` when all is water.
    pub without_water: Option<f64>,
    /// Most content without the formulation water.
    pub without_water_most: Option<f64>,
    /// Share of the whole that has an index, 0 to 1.
    pub known_share: f64,
    /// Materials without an index.
    pub unknown: Vec<String>,
}

/// Content from (share, index, whether it is formulation water). Shares need not sum to 100: the
/// content is of what is there. Water counts as 1 whatever its index says, and an index outside 0
/// to 1 as unknown.
///
/// `None` when nothing is there or a share is negative.
#[must_use]
pub fn natural_origin(components: &[(Percent, Option<f64>, bool)]) -> Option<NaturalOrigin> {
    let (mut whole, mut water, mut natural, mut unknown) = (0.0, 0.0, 0.0, 0.0);
    for (share, index, is_water) in components {
        if share.is_negative() {
            return None;
        }
        let mass = share.to_f64();
        whole += mass;
        match index.filter(|i| (0.0..=1.0).contains(i)) {
            _ if *is_water => water += mass,
            Some(index) => natural += mass * index,
            None => unknown += mass,
        }
    }
    if !(whole.is_finite() && whole > 0.0) {
        return None;
    }
    let rest = whole - water;
    // What is left of a sum of waters by rounding is nothing.
    let of_rest = |x: f64| (rest > whole * 1e-12).then(|| 100.0 * x / rest);
    Some(NaturalOrigin {
        with_water: 100.0 * (natural + water) / whole,
        with_water_most: 100.0 * (natural + unknown + water) / whole,
        without_water: of_rest(natural),
        without_water_most: of_rest(natural + unknown),
        known_share: (1.0 - unknown / whole).max(0.0),
        unknown: Vec::new(),
    })
}

/// The index of a derived ingredient from the share of natural origin in it, 0 to 1 by molar mass
/// or renewable carbon: the share itself above one half, else 0. `None` outside 0 to 1.
#[must_use]
pub fn index_of_share(share: f64) -> Option<f64> {
    (0.0..=1.0).contains(&share).then_some(if share > 0.5 { share } else { 0.0 })
}

/// Natural origin of a formula, naming what has no index. Water is what carries the INCI name
/// Aqua; water inside a raw material stays part of that material's index.
///
/// # Errors
/// [`WhyNot`] without any material.
pub fn natural_figures(opened: &Opened<'_>) -> Derived<NaturalOrigin> {
    let mut components = Vec::with_capacity(opened.leaves.len());
    let mut unknown: Vec<String> = Vec::new();
    for leaf in opened.leaves.iter().filter(|l| !l.percent.is_negative() && !l.percent.is_zero()) {
        let m = leaf.material;
        let water = m.inci.eq_ignore_ascii_case("Aqua");
        let index = m.natural_origin.as_ref().map(|f| f.value);
        let known = water || index.is_some_and(|i| (0.0..=1.0).contains(&i));
        if !known && !unknown.iter().any(|n| n == m.display_name()) {
            unknown.push(m.display_name().to_owned());
        }
        components.push((leaf.percent, index, water));
    }
    let sums = natural_origin(&components).ok_or(WhyNot::Nothing("material"))?;
    Ok(NaturalOrigin { unknown, ..sums })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use crate::chemistry::fixtures::{fat, open, water};
    use crate::formula::{Figure, Material};
    use proptest::prelude::*;

    fn p(text: &str) -> Percent {
        Percent(text.parse().unwrap())
    }

    #[test]
    fn the_unknown_makes_a_range() {
        let n = natural_origin(&[
            (p("60"), None, true),
            (p("20"), Some(1.0), false),
            (p("10"), None, false),
            (p("10"), Some(7.0), false),
        ])
        .unwrap();
        assert_eq!((n.with_water, n.with_water_most), (80.0, 100.0));
        assert_eq!((n.without_water, n.without_water_most), (Some(50.0), Some(100.0)));
        assert_eq!(n.known_share, 0.8);
    }

    #[test]
    fn no_answer() {
        assert_eq!(natural_origin(&[]), None);
        assert_eq!(natural_origin(&[(p("0"), Some(1.0), false)]), None);
        assert_eq!(natural_origin(&[(p("-1"), Some(1.0), false)]), None);
        let all_water = natural_origin(&[(p("100"), None, true)]).unwrap();
        assert_eq!((all_water.with_water, all_water.without_water), (100.0, None));
        for bad in [f64::NAN, -0.1, 1.1] {
            assert_eq!(index_of_share(bad), None);
        }
        assert_eq!(open(Vec::new(), natural_figures), Err(WhyNot::Nothing("material")));
    }

    #[test]
    fn more_than_half_must_be_natural() {
        assert_eq!(index_of_share(0.5), Some(0.0));
        assert_eq!(index_of_share(0.501), Some(0.501));
        assert_eq!(index_of_share(1.0), Some(1.0));
        assert_eq!(index_of_share(0.0), Some(0.0));
    }

    #[test]
    fn a_formula_names_what_has_no_index() {
        let plant = Material { natural_origin: Some(Figure::user(1.0)), ..fat("Oil", "other") };
        let lines = vec![(water(), "70"), (plant, "20"), (fat("Wax", "other"), "10")];
        let n = open(lines, natural_figures).unwrap();
        assert_eq!(n.unknown, ["Wax"]);
        assert!((n.with_water - 90.0).abs() < 1e-9 && (n.known_share - 0.9).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn stays_within_bounds(
            parts in prop::collection::vec(
                (1u32..1000, prop::option::of(0.0f64..=1.0), any::<bool>()), 1..10),
        ) {
            let parts: Vec<_> = parts
                .into_iter()
                .map(|(w, i, water)| (Percent(w.into()), i, water))
                .collect();
            let n = natural_origin(&parts).unwrap();
            prop_assert!(n.with_water >= 0.0 && n.with_water <= n.with_water_most + 1e-9);
            prop_assert!(n.with_water_most <= 100.0 + 1e-9);
            prop_assert!((0.0..=1.0).contains(&n.known_share));
        }
    }
}

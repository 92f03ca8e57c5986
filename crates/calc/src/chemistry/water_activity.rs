//! Water activity: how much of the water microbes can use.
//!
//! An estimate of the water phase alone: oils do not lower it, and it says nothing of the film of
//! water on a bar in use. Measure before anything rests on it.

use super::emulsion::ANHYDROUS_BELOW;
use super::solutes::{Law, Osmotic, SOLUTES, Solute, solute_of};
use crate::evaluate::{Derived, Opened, WhyNot};
use crate::formula::{AtPour, Basis, Function, LeafUse, Material};
use crate::quantity::Percent;

/// Molar mass of water, g/mol.
pub const WATER_G_MOL: f64 = 18.015;

/// Water activity below which ISO 29621 counts a product as of low microbiological risk; from a
/// test laboratory's summary of ISO 29621:2017, read, the standard itself not. A product that
/// gets wet in use is another matter.
pub const LOW_RISK_BELOW: f64 = 0.75;

/// Water activity down to which Norrish's equation was tried (Baeza et al., Food Bioprocess
/// Technol. 3, 87–92, 2010, abstract read).
pub const TRIED_TO: f64 = 0.3;

/// Free water, in % of the product, below which there is no water phase to speak of: what stands
/// in glycerin or an emulsifier says nothing of the product. Common practice.
pub const WATER_LEAST: u32 = 1;

fn positive(x: f64) -> bool {
    x.is_finite() && x > 0.0 && x < 1e12
}

/// Mole fraction of a solute in water; masses in the same unit.
fn mole_fraction(water: f64, solute: f64, molar_mass: f64) -> Option<f64> {
    let sound = positive(water) && positive(molar_mass) && (solute <= 0.0 || positive(solute));
    if !sound || solute < 0.0 {
        return None;
    }
    let (w, s) = (water / WATER_G_MOL, solute / molar_mass);
    Some(s / (w + s))
}

/// Water activity by Raoult's law, n_w / (n_w + n_s): an ideal solution.
///
/// `water` and `solute` are masses in the same unit, `molar_mass` in g/mol. `None` without water
/// and for what is negative or no number.
#[must_use]
pub fn raoult(water: f64, solute: f64, molar_mass: f64) -> Option<f64> {
    mole_fraction(water, solute, molar_mass).map(|x| 1.0 - x)
}

/// Water activity by Norrish's equation, X_w · exp(−K · X_s²).
///
/// Source: Norrish, J. Food Technol. 1, 25 (1966), read in Baeza et al., Food Bioprocess Technol.
/// 3, 87–92 (2010). Arguments as for [`raoult`]; `k` from 0 to 100.
#[must_use]
pub fn norrish(water: f64, solute: f64, molar_mass: f64, k: f64) -> Option<f64> {
    if !(0.0..=100.0).contains(&k) {
        return None;
    }
    mole_fraction(water, solute, molar_mass).map(|x| (1.0 - x) * libm::exp(-k * x * x))
}

/// Water activity over an electrolyte, exp(−ν · φ · m · M_w), with `ions` per formula unit ν,
/// osmotic coefficient `phi` and `molality` in mol per kg of water.
///
/// Source: definition of the osmotic coefficient (Robinson and Stokes, Electrolyte Solutions).
/// `None` for what is negative or no number.
#[must_use]
pub fn electrolyte(ions: f64, phi: f64, molality: f64) -> Option<f64> {
    let sound = |x: f64| x.is_finite() && x >= 0.0;
    (sound(ions) && sound(phi) && sound(molality))
        .then(|| libm::exp(-ions * phi * molality * WATER_G_MOL / 1_000.0))
}

/// Water activity with several solutes: the product of the activities that each would give
/// dissolved in all the water.
///
/// Source: Ross, Food Technol. 29(3), 26 (1975), from memory. `None` when an activity is not
/// within 0 to 1; 1 without any.
#[must_use]
pub fn ross(activities: &[f64]) -> Option<f64> {
    let sound = activities.iter().all(|a| (0.0..=1.0).contains(a));
    sound.then(|| activities.iter().product())
}

/// Share of solute, 0 to 1 by mass of solute and water, that gives water activity `aw` by
/// [`norrish`]; `None` unless 0 < `aw` ≤ 1 and the constants are sound.
#[must_use]
pub fn share_for(aw: f64, molar_mass: f64, k: f64) -> Option<f64> {
    if !(aw > 0.0 && aw <= 1.0) {
        return None;
    }
    norrish(1.0, 1.0, molar_mass, k)?;
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let share = f64::midpoint(low, high);
        match norrish(1.0 - share, share, molar_mass, k) {
            Some(a) if a > aw => low = share,
            _ => high = share,
        }
    }
    Some(f64::midpoint(low, high))
}

/// Share of glycerin, 0 to 1 by mass of glycerin and water, for a wanted water activity; see
/// [`share_for`].
#[must_use]
pub fn glycerin_share(aw: f64) -> Option<f64> {
    share_for(aw, 92.094, 1.16)
}

/// Water activity below which a group of organisms does not grow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GrowthLimit {
    /// The organisms.
    pub organisms: &'static str,
    /// They stop below this.
    pub aw: f64,
    /// How the limit was come by.
    pub basis: Basis,
}

const fn limit(organisms: &'static str, aw: f64) -> GrowthLimit {
    GrowthLimit { organisms, aw, basis: Basis::Read }
}

/// Growth limits, wettest first. Source: table adapted from Beuchat, Cereal Foods World 26, 345
/// (1981), read in two copies.
pub const GROWTH_LIMITS: [GrowthLimit; 8] = [
    limit("Pseudomonas, Escherichia and other Gram-negative bacteria", 0.95),
    limit("most other bacteria, such as lactobacilli and Salmonella", 0.91),
    limit("many yeasts", 0.87),
    limit("Staphylococcus aureus with air", 0.86),
    limit("most moulds", 0.80),
    limit("salt-loving bacteria and toxin-forming Aspergillus", 0.75),
    limit("moulds of dry places", 0.65),
    limit("yeasts of strong sugar solutions", 0.60),
];

/// What can still grow at a water activity, hardest to stop last; all for what is no number.
pub fn growing_at(aw: f64) -> impl Iterator<Item = &'static GrowthLimit> {
    GROWTH_LIMITS.iter().filter(move |l| aw.is_nan() || aw >= l.aw)
}

/// The water activity of a formula.
#[derive(Clone, Debug, PartialEq)]
pub struct WaterActivity {
    /// Estimate for the water phase, 0 to 1.
    pub aw: f64,
    /// Free water, % of the product.
    pub water: Percent,
    /// Solutes that were counted, by INCI name.
    pub solutes: Vec<String>,
    /// Those counted by their molecules or ions alone, for want of a constant.
    pub ideal: Vec<String>,
    /// Those of which more is there than dissolves.
    pub saturated: Vec<String>,
    /// What may lower it further but was not counted; the estimate then lies high.
    pub ignored: Vec<String>,
    /// True below the range that the equations were tried over.
    pub beyond: bool,
}

/// Estimates the water activity from free water and known solutes.
///
/// Grains and powders are not dissolved in a product with less than 5 % free water; where there
/// is more of a solute than dissolves near 25 °C, the saturated solution counts.
///
/// # Errors
/// [`WhyNot`] without free water, or with less than 1 % of it.
pub fn estimate(opened: &Opened<'_>) -> Derived<WaterActivity> {
    let water = opened.composition.water.free;
    if water <= Percent::ZERO {
        return Err(WhyNot::Nothing("free water"));
    }
    if water < Percent(WATER_LEAST.into()) {
        return Err(WhyNot::NotFor("product without a water phase"));
    }
    let dry = water < Percent(ANHYDROUS_BELOW.into());
    let mut masses = [0.0_f64; SOLUTES.len()];
    let mut out = WaterActivity {
        aw: 1.0,
        water,
        solutes: Vec::new(),
        ideal: Vec::new(),
        saturated: Vec::new(),
        ignored: Vec::new(),
        beyond: false,
    };
    let counts = |l: &&LeafUse<'_>| !l.percent.is_negative() && !l.percent.is_zero();
    for leaf in opened.leaves.iter().filter(counts) {
        let m = leaf.material;
        let undissolved = dry && m.at_pour == Some(AtPour::Powder);
        let (known, complete) = parts(leaf, undissolved);
        if !known.is_empty() && undissolved || !complete {
            note(&mut out.ignored, m.display_name());
        }
        if !undissolved {
            for (solute, mass) in known {
                let place = SOLUTES.iter().position(|s| s.inci == solute.inci);
                if let Some(sum) = place.and_then(|i| masses.get_mut(i)) {
                    *sum += mass;
                }
            }
        }
    }
    for (solute, mass) in SOLUTES.iter().zip(masses).filter(|(_, mass)| *mass > 0.0) {
        let name = solute.inci.first().copied().unwrap_or_default();
        let mut ratio = mass / water.to_f64();
        if let Some(most) = solute.dissolves.filter(|most| ratio > *most) {
            ratio = most;
            note(&mut out.saturated, name);
        }
        match one(solute, ratio) {
            Some(aw) => {
                out.aw *= aw;
                note(&mut out.solutes, name);
                if matches!(solute.law, Law::Raoult | Law::Salt(Osmotic::Ideal)) {
                    note(&mut out.ideal, name);
                }
            }
            None => note(&mut out.ignored, name),
        }
    }
    out.beyond = out.aw < TRIED_TO;
    Ok(out)
}

fn note(names: &mut Vec<String>, name: &str) {
    if !names.iter().any(|n| n == name) {
        names.push(name.to_owned());
    }
}

/// Water activity of one solute, `ratio` grams in 1 g of water.
fn one(solute: &Solute, ratio: f64) -> Option<f64> {
    match solute.law {
        Law::Norrish(k) => norrish(1.0, ratio, solute.molar_mass, k),
        Law::Raoult => raoult(1.0, ratio, solute.molar_mass),
        Law::Salt(osmotic) => {
            let molality = 1_000.0 * ratio / solute.molar_mass;
            electrolyte(2.0, osmotic.at(molality)?, molality)
        }
    }
}

/// The known solutes of a leaf with their mass in % of the product, and whether they are all that
/// it dissolves in the water.
fn parts(leaf: &LeafUse<'_>, undissolved: bool) -> (Vec<(&'static Solute, f64)>, bool) {
    let m = leaf.material;
    let percent = leaf.percent.to_f64();
    let more = !undissolved && may_dissolve(m);
    if m.composition.is_empty() {
        return match solute_of(&m.inci) {
            Some(solute) => (vec![(solute, percent * solids(m))], true),
            None => (Vec::new(), !more),
        };
    }
    let mut known = Vec::new();
    let mut complete = true;
    for part in &m.composition {
        match (solute_of(&part.inci), &part.share) {
            (Some(solute), Some(share)) => known.push((solute, percent * share.value.fraction())),
            (Some(_), None) => complete = false,
            (None, _) => complete &= part.inci.eq_ignore_ascii_case("Aqua") || !more,
        }
    }
    (known, complete)
}

/// Share of a material that is the solute itself, 0 to 1: its active matter, else what is not
/// water.
fn solids(m: &Material) -> f64 {
    let share = match (&m.active, &m.water) {
        (Some(active), _) => active.value.fraction(),
        (None, Some(water)) => 1.0 - water.percent.value.fraction(),
        (None, None) => 1.0,
    };
    share.clamp(0.0, 1.0)
}

/// True for what is likely to dissolve in the water, though how it lowers the activity is not
/// known here.
fn may_dissolve(m: &Material) -> bool {
    let by_function = matches!(
        m.function,
        Some(Function::Humectant | Function::Surfactant | Function::Adjuster | Function::Chelator)
    );
    let melts = m.at_pour == Some(AtPour::Melts);
    m.electrolyte || m.at_pour == Some(AtPour::Dissolves) || (by_function && !melts)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use crate::chemistry::fixtures::{open, water, with_water};
    use crate::formula::{Figure, MaterialId, Part, WaterKind};
    use proptest::prelude::*;

    fn named(inci: &str, at_pour: AtPour) -> Material {
        Material { at_pour: Some(at_pour), ..Material::named(MaterialId::new(inci), inci, inci) }
    }

    fn glycerin() -> Material {
        with_water(named("Glycerin", AtPour::Liquid), "14", WaterKind::Free)
    }

    #[test]
    fn solutions_count_their_solids_and_their_water() {
        // 20 % of 86 % glycerin in 80 % water: 17.2 in 82.8.
        let a = open(vec![(glycerin(), "20"), (water(), "80")], estimate).unwrap();
        let by_hand = norrish(82.8, 17.2, 92.094, 1.16).unwrap();
        assert!((a.aw - by_hand).abs() < 1e-12);
        assert_eq!(a.solutes, ["Glycerin"]);
        assert!(a.ideal.is_empty() && a.ignored.is_empty() && !a.beyond);
    }

    #[test]
    fn what_is_not_known_is_named() {
        let gum = Material { electrolyte: true, ..named("Xanthan Gum", AtPour::Powder) };
        let lines = vec![
            (named("Propanediol", AtPour::Liquid), "5"),
            (gum, "0.3"),
            (named("Oil", AtPour::Liquid), "10"),
            (water(), "80"),
        ];
        let a = open(lines, estimate).unwrap();
        assert_eq!(
            (a.ideal.as_slice(), a.ignored.as_slice()),
            (&["Propanediol".to_owned()][..], &["Xanthan Gum".to_owned()][..],)
        );
    }

    #[test]
    fn grains_dissolve_up_to_saturation_and_not_in_fat() {
        let sugar = || named("Sucrose", AtPour::Powder);
        let wet = open(vec![(sugar(), "60"), (water(), "10")], estimate).unwrap();
        assert_eq!(wet.saturated, ["Sucrose"]);
        assert!((wet.aw - 0.85).abs() < 0.01, "{}", wet.aw);
        let dry = open(vec![(sugar(), "60"), (water(), "4.9")], estimate).unwrap();
        assert_eq!((dry.aw, dry.ignored), (1.0, vec!["Sucrose".to_owned()]));
        let trace = open(vec![(sugar(), "60"), (water(), "0.9")], estimate);
        assert_eq!(trace, Err(WhyNot::NotFor("product without a water phase")));
        let bound = with_water(named("Starch", AtPour::Powder), "12", WaterKind::Bound);
        assert_eq!(
            open(vec![(bound, "20"), (sugar(), "60")], estimate),
            Err(WhyNot::Nothing("free water"))
        );
    }

    #[test]
    fn salt_saturates_where_its_crystals_do() {
        let salt = named("Maris Sal", AtPour::Powder);
        let a = open(vec![(salt, "60"), (water(), "20")], estimate).unwrap();
        // Greenspan, J. Res. NBS 81A, 89 (1977): 75.3 % over saturated sodium chloride at 25 °C.
        assert!((a.aw - 0.753).abs() < 0.002, "{}", a.aw);
        assert_eq!(a.saturated, ["Sodium Chloride"]);
    }

    #[test]
    fn a_blend_counts_its_stated_parts() {
        let part = |inci: &str, share: Option<&str>| Part {
            inci: inci.to_owned(),
            share: share.map(|s| Figure::user(Percent(s.parse().unwrap()))),
        };
        let blend = |shares: [Option<&str>; 2]| Material {
            composition: vec![part("Glycerin", shares[0]), part("Aqua", shares[1])],
            ..named("Glycerin (and) Aqua", AtPour::Liquid)
        };
        let stated = with_water(blend([Some("50"), Some("50")]), "50", WaterKind::Free);
        let a = open(vec![(stated, "40"), (water(), "60")], estimate).unwrap();
        assert!((a.aw - norrish(80.0, 20.0, 92.094, 1.16).unwrap()).abs() < 1e-12);
        let a = open(vec![(blend([None, None]), "40"), (water(), "60")], estimate).unwrap();
        assert_eq!((a.aw, a.ignored.len()), (1.0, 1));
    }

    #[test]
    fn surfactants_are_named_where_they_dissolve() {
        let soap =
            Material { function: Some(Function::Surfactant), ..named("Soap", AtPour::Powder) };
        let ignored =
            |w| open(vec![(soap.clone(), "40"), (water(), w)], estimate).unwrap().ignored.len();
        assert_eq!((ignored("4"), ignored("20")), (0, 1));
    }

    #[test]
    fn little_water_in_much_glycerin_is_beyond_the_equation() {
        let dry = with_water(named("Glycerin", AtPour::Liquid), "0.5", WaterKind::Free);
        let a = open(vec![(dry, "60"), (water(), "1")], estimate).unwrap();
        assert!(a.beyond && a.aw > 0.0 && a.aw < TRIED_TO, "{}", a.aw);
    }

    #[test]
    fn no_answer() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert_eq!(raoult(bad, 1.0, 90.0), None);
            assert_eq!(raoult(1.0, bad, 90.0), None);
            assert_eq!(raoult(1.0, 1.0, bad), None);
            assert_eq!(norrish(1.0, 1.0, 90.0, bad), None);
            assert_eq!(electrolyte(bad, 1.0, 1.0), None);
            assert_eq!(electrolyte(2.0, bad, 1.0), None);
            assert_eq!(electrolyte(2.0, 1.0, bad), None);
            assert_eq!(ross(&[0.9, bad]), None);
            assert_eq!(share_for(bad, 90.0, 1.0), None);
            assert_eq!(share_for(0.9, bad, 1.0), None);
        }
        assert_eq!(raoult(0.0, 1.0, 90.0), None);
        assert_eq!(raoult(1.0, 0.0, 90.0), Some(1.0));
        assert_eq!(share_for(0.0, 90.0, 1.0), None);
        assert!(share_for(1.0, 90.0, 1.0).unwrap() < 1e-9);
        assert_eq!(ross(&[]), Some(1.0));
        assert_eq!(growing_at(f64::NAN).count(), GROWTH_LIMITS.len());
        assert_eq!(growing_at(0.59).count(), 0);
        assert_eq!(growing_at(0.80).count(), 4);
    }

    #[test]
    fn limits_fall() {
        assert!(GROWTH_LIMITS.windows(2).all(|w| w[0].aw > w[1].aw));
    }

    proptest! {
        #[test]
        fn falls_with_added_solute(
            water in 0.1f64..100.0, solute in 0.0f64..100.0, more in 0.01f64..50.0,
            mass in 30.0f64..500.0, k in 0.0f64..10.0,
        ) {
            let one = norrish(water, solute, mass, k).unwrap();
            let two = norrish(water, solute + more, mass, k).unwrap();
            prop_assert!((0.0..=1.0).contains(&one) && (0.0..=1.0).contains(&two));
            prop_assert!(two < one);
            prop_assert!(one <= raoult(water, solute, mass).unwrap());
        }

        #[test]
        fn salt_lowers_it(m in 0.0f64..6.0, more in 0.01f64..0.2) {
            let at = |m| electrolyte(2.0, Osmotic::NACL.at(m).unwrap(), m).unwrap();
            prop_assert!((0.0..=1.0).contains(&at(m)) && at(m + more) < at(m));
        }

        #[test]
        fn the_inverse_goes_back(aw in 0.05f64..0.999) {
            let share = glycerin_share(aw).unwrap();
            let back = norrish(1.0 - share, share, 92.094, 1.16).unwrap();
            prop_assert!((back - aw).abs() < 1e-9);
        }
    }
}

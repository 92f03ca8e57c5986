//! The emulsifiers of a formula against what its oil phase asks for.

use super::hlb::{RequiredHlb, blend_hlb, required_hlb};
use crate::evaluate::{Derived, Opened, WhyNot, is_fat};
use crate::formula::{AtPour, Charge, Function, LeafUse, Material};
use crate::quantity::Percent;

/// Free water, in % of the product, below which there is no emulsion. Common practice.
pub const ANHYDROUS_BELOW: u32 = 5;

/// Bases that turn a fatty acid to soap, by INCI name.
const BASES: [&str; 6] = [
    "Arginine",
    "Potassium Hydroxide",
    "Sodium Bicarbonate",
    "Sodium Hydroxide",
    "Triethanolamine",
    "Tromethamine",
];

/// Emulsifiers and oil phase of an oil-in-water product.
#[derive(Clone, Debug, PartialEq)]
pub struct HlbFigures {
    /// Oil phase, % of the product; emulsifiers are not part of it.
    pub oil: Percent,
    /// Emulsifiers and solubilisers, % of the product.
    pub emulsifier: Percent,
    /// What the oil phase asks for; unknown while less than 80 % of it has a figure.
    pub required: Derived<RequiredHlb>,
    /// Share of the oil phase with a required HLB, % of the oil phase.
    pub coverage: f64,
    /// HLB of the emulsifiers together; unknown while less than 80 % of them has one.
    pub blend: Derived<f64>,
    /// Oil-phase materials without a required HLB.
    pub without_required: Vec<String>,
    /// Emulsifiers without an HLB.
    pub without_hlb: Vec<String>,
    /// Bases beside a fatty acid: the part that they neutralise is soap, an emulsifier, and no
    /// longer oil, which these figures do not see.
    pub neutralisers: Vec<String>,
}

impl HlbFigures {
    /// How far the blend lies from the band that the oil phase asks for: 0 inside it, above zero
    /// when the blend is too hydrophilic, below when too lipophilic; `None` while either is
    /// unknown.
    #[must_use]
    pub fn off(&self) -> Option<f64> {
        let (required, blend) = (self.required.as_ref().ok()?, *self.blend.as_ref().ok()?);
        Some(blend - blend.clamp(required.low, required.high))
    }
}

/// True for what emulsifies.
fn is_emulsifier(m: &Material) -> bool {
    matches!(m.function, Some(Function::Emulsifier | Function::Solubiliser))
}

/// True for what the emulsifiers have to carry: fats, oils, waxes, fatty acids and alcohols.
fn is_oil(m: &Material) -> bool {
    let elsewhere = matches!(
        m.function,
        Some(
            Function::Exfoliant
                | Function::Preservative
                | Function::Surfactant
                | Function::Humectant
                | Function::Solvent
        )
    );
    let by_nature = matches!(m.function, Some(Function::Emollient | Function::Butter))
        && matches!(m.at_pour, Some(AtPour::Liquid | AtPour::Melts));
    !is_emulsifier(m) && !elsewhere && (is_fat(m) || m.required_hlb.is_some() || by_nature)
}

fn add(names: &mut Vec<String>, m: &Material) {
    let name = m.display_name();
    if !names.iter().any(|n| n == name) {
        names.push(name.to_owned());
    }
}

/// Works out the emulsifiers of a product with oil in water.
///
/// Materials weigh as supplied. The cleansing surfactants do not count, nor the fatty acid inside
/// a surfactant flake.
///
/// # Errors
/// [`WhyNot`] below 5 % free water, without an oil phase or an emulsifier, and with a cationic
/// emulsifier, for which an HLB says nothing.
pub fn hlb_figures(opened: &Opened<'_>) -> Derived<HlbFigures> {
    if opened.composition.water.free < Percent(ANHYDROUS_BELOW.into()) {
        return Err(WhyNot::NotFor("product without water"));
    }
    let mut oil = Percent::ZERO;
    let mut emulsifier = Percent::ZERO;
    let (mut oils, mut known, mut named) = (Vec::new(), Vec::new(), 0.0);
    let (mut without_required, mut without_hlb) = (Vec::new(), Vec::new());
    let (mut bases, mut fatty_acid) = (Vec::new(), false);
    let counts = |l: &&LeafUse<'_>| !l.percent.is_negative() && !l.percent.is_zero();
    for leaf in opened.leaves.iter().filter(counts) {
        let m = leaf.material;
        let mass = leaf.percent.to_f64();
        if is_emulsifier(m) {
            if m.charge == Charge::Cationic {
                return Err(WhyNot::NotFor("cationic emulsifier"));
            }
            emulsifier += leaf.percent;
            match &m.hlb {
                Some(hlb) => {
                    known.push((mass, hlb.value));
                    named += mass;
                }
                None => add(&mut without_hlb, m),
            }
        } else if is_oil(m) {
            oil += leaf.percent;
            let span = m.required_hlb.as_ref().map(|f| f.value);
            let band = span.and_then(|s| Some((s.low.or(s.high)?, s.high.or(s.low)?)));
            if band.is_none() {
                add(&mut without_required, m);
            }
            oils.push((mass, band));
            fatty_acid |= m.fat_parts().any(|p| p.group == "acid");
        } else if BASES.iter().any(|b| m.inci.eq_ignore_ascii_case(b)) {
            add(&mut bases, m);
        }
    }
    if oil.is_zero() {
        return Err(WhyNot::Nothing("oil phase"));
    }
    if emulsifier.is_zero() {
        return Err(WhyNot::Nothing("emulsifier"));
    }
    let sum = required_hlb(&oils);
    let blend = blend_hlb(&known)
        .filter(|_| named >= super::hlb::COVERAGE_LEAST * emulsifier.to_f64() - 1e-9)
        .ok_or_else(|| WhyNot::Unknown { what: "HLB", names: without_hlb.clone() });
    let required = sum
        .filter(RequiredHlb::may_be_shown)
        .ok_or_else(|| WhyNot::Unknown { what: "required HLB", names: without_required.clone() });
    Ok(HlbFigures {
        oil,
        emulsifier,
        required,
        coverage: sum.map_or(0.0, |s| 100.0 * s.coverage),
        blend,
        without_required,
        without_hlb,
        neutralisers: if fatty_acid { bases } else { Vec::new() },
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::chemistry::fixtures::{fat, open, water};
    use crate::formula::{Figure, MaterialId, Span};

    fn oil(name: &str, band: Option<(f64, f64)>) -> Material {
        Material {
            function: Some(Function::Emollient),
            at_pour: Some(AtPour::Liquid),
            required_hlb: band.map(|(a, b)| Figure::user(Span { low: Some(a), high: Some(b) })),
            ..Material::named(MaterialId::new(name), name, name)
        }
    }

    fn emulsifier(name: &str, hlb: Option<f64>, charge: Charge) -> Material {
        Material {
            function: Some(Function::Emulsifier),
            at_pour: Some(AtPour::Melts),
            hlb: hlb.map(Figure::user),
            charge,
            ..Material::named(MaterialId::new(name), name, name)
        }
    }

    fn base() -> Vec<(Material, &'static str)> {
        vec![
            (water(), "75"),
            (oil("Oil", Some((6.0, 8.0))), "16"),
            (oil("Other", None), "4"),
            (emulsifier("High", Some(15.0), Charge::None), "3"),
            (emulsifier("Low", Some(5.0), Charge::None), "1"),
        ]
    }

    #[test]
    fn a_lotion() {
        let f = open(base(), hlb_figures).unwrap();
        assert_eq!((f.oil.to_string(), f.emulsifier.to_string()), ("20".into(), "4".into()));
        let required = f.required.clone().unwrap();
        assert!((required.at - 7.0).abs() < 1e-12 && (f.coverage - 80.0).abs() < 1e-9);
        assert!((f.blend.clone().unwrap() - 12.5).abs() < 1e-12);
        assert!((f.off().unwrap() - 4.5).abs() < 1e-12);
        assert_eq!(f.without_required, ["Other"]);
        assert!(f.without_hlb.is_empty() && f.neutralisers.is_empty());
    }

    #[test]
    fn what_is_unknown_stays_unknown() {
        let mut lines = base();
        lines.push((oil("Third", None), "1"));
        lines.push((emulsifier("Blend", None, Charge::Anionic), "2"));
        let f = open(lines, hlb_figures).unwrap();
        assert!(matches!(&f.required, Err(WhyNot::Unknown { names, .. }) if names.len() == 2));
        assert!(matches!(&f.blend, Err(WhyNot::Unknown { names, .. }) if names == &["Blend"]));
        assert_eq!(f.off(), None);
        assert!((f.coverage - 100.0 * 16.0 / 21.0).abs() < 1e-9);
    }

    #[test]
    fn where_it_means_nothing() {
        let dry = base().into_iter().skip(1).collect();
        assert_eq!(open(dry, hlb_figures), Err(WhyNot::NotFor("product without water")));
        let mut cationic = base();
        cationic.push((emulsifier("Quat", Some(10.0), Charge::Cationic), "1"));
        assert_eq!(open(cationic, hlb_figures), Err(WhyNot::NotFor("cationic emulsifier")));
        assert_eq!(open(vec![(water(), "90")], hlb_figures), Err(WhyNot::Nothing("oil phase")));
        let none = base().into_iter().take(3).collect();
        assert_eq!(open(none, hlb_figures), Err(WhyNot::Nothing("emulsifier")));
    }

    #[test]
    fn a_base_beside_a_fatty_acid_is_named() {
        let lye = Material::named(MaterialId::new("l"), "Sodium Hydroxide", "Lye");
        let mut lines = base();
        lines.push((lye.clone(), "0.2"));
        assert!(open(lines.clone(), hlb_figures).unwrap().neutralisers.is_empty());
        lines.push((fat("Stearic", "acid"), "2"));
        let f = open(lines, hlb_figures).unwrap();
        assert_eq!(f.neutralisers, ["Lye"]);
        assert_eq!(f.without_required, ["Other", "Stearic"]);
    }
}

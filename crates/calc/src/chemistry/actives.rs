//! Surfactant as active matter, by charge.

use crate::evaluate::{Derived, Opened, WhyNot};
use crate::formula::{Charge, Form, Place};
use crate::quantity::Percent;

/// Active matter of the surfactants, each in % of the product.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ActiveMatter {
    /// Of anionic surfactants.
    pub anionic: Percent,
    /// Of cationic surfactants.
    pub cationic: Percent,
    /// Of amphoteric and zwitterionic surfactants.
    pub amphoteric: Percent,
    /// Of nonionic surfactants.
    pub nonionic: Percent,
    /// Of all whose active matter is known.
    pub total: Percent,
    /// Surfactants whose active matter is not known; they are in none of the sums.
    pub unknown: Vec<String>,
}

impl ActiveMatter {
    /// Anionic to amphoteric by active matter; `None` without amphoterics, or while a surfactant's
    /// active matter is unknown. 3 to 1 down to 1 to 1 is a common mildness band.
    #[must_use]
    pub fn anionic_to_amphoteric(&self) -> Option<f64> {
        let known = self.unknown.is_empty() && self.amphoteric > Percent::ZERO;
        known.then(|| self.anionic.to_f64() / self.amphoteric.to_f64())
    }
}

/// Sums the active matter of what is marked as a surfactant, emulsifiers with a charge included.
///
/// # Errors
/// [`WhyNot`] without any surfactant. A surfactant of unknown active matter is named, not counted.
pub fn active_matter(opened: &Opened<'_>) -> Derived<ActiveMatter> {
    let mut sums = ActiveMatter::default();
    let mut any = false;
    for leaf in opened.leaves.iter().filter(|l| l.material.surfactant && !l.percent.is_negative()) {
        any = true;
        let Some(active) = &leaf.material.active else {
            let name = leaf.material.display_name();
            if !sums.unknown.iter().any(|n| n == name) {
                sums.unknown.push(name.to_owned());
            }
            continue;
        };
        let part = active.value.of_percent(leaf.percent);
        let kind = match leaf.material.charge {
            Charge::Anionic => &mut sums.anionic,
            Charge::Cationic => &mut sums.cationic,
            Charge::Amphoteric | Charge::Zwitterionic => &mut sums.amphoteric,
            Charge::None => &mut sums.nonionic,
        };
        *kind += part;
        sums.total += part;
    }
    if any { Ok(sums) } else { Err(WhyNot::Nothing("surfactant")) }
}

/// What a surfactant as supplied brings, each in % of the product.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Supplied {
    /// Active matter.
    pub active: Percent,
    /// Salt.
    pub salt: Percent,
    /// Water.
    pub water: Percent,
    /// The rest: free fatty acid, unreacted alcohol and the like.
    pub other: Percent,
}

/// Splits `percent` of a surfactant into what it brings; `active`, `salt` and `water` are % of the
/// material. `None` when one is negative or they exceed 100 together.
#[must_use]
pub fn supplied(
    percent: Percent,
    active: Percent,
    salt: Percent,
    water: Percent,
) -> Option<Supplied> {
    let rest = Percent::HUNDRED - (active + salt + water);
    if [percent, active, salt, water, rest].into_iter().any(Percent::is_negative) {
        return None;
    }
    let part = |share: Percent| share.of_percent(percent);
    Some(Supplied { active: part(active), salt: part(salt), water: part(water), other: part(rest) })
}

/// The usual total active matter of a product, low to high in % of the product; `None` where
/// there is no custom. Common practice: syndet bar 35 to 70, shampoo bar 40 to 70, creamy
/// exfoliating bar 15 to 45, foaming scrub 5 to 20.
#[must_use]
pub fn usual_active(form: Form, place: Place) -> Option<(f64, f64)> {
    match (form, place) {
        (Form::CleansingBar, Place::Hair) => Some((40.0, 70.0)),
        (Form::CleansingBar, _) => Some((35.0, 70.0)),
        (Form::ScrubBar, _) => Some((15.0, 45.0)),
        (Form::JarScrub, _) => Some((5.0, 20.0)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::chemistry::fixtures::{open, water};
    use crate::formula::{Figure, Material, MaterialId};

    fn p(text: &str) -> Percent {
        Percent(text.parse().unwrap())
    }

    fn surfactant(name: &str, active: Option<&str>, charge: Charge) -> Material {
        Material {
            surfactant: true,
            active: active.map(|a| Figure::user(p(a))),
            charge,
            ..Material::named(MaterialId::new(name), name, name)
        }
    }

    #[test]
    fn by_charge() {
        let lines = vec![
            (surfactant("A", Some("85"), Charge::Anionic), "10"),
            (surfactant("B", Some("30"), Charge::Amphoteric), "8"),
            (surfactant("N", Some("52"), Charge::None), "5"),
            (surfactant("Q", Some("25"), Charge::Cationic), "4"),
            (water(), "70"),
        ];
        let sums = open(lines.clone(), active_matter).unwrap();
        assert_eq!(sums.anionic, p("8.5"));
        assert_eq!(sums.amphoteric, p("2.4"));
        assert_eq!(sums.nonionic, p("2.6"));
        assert_eq!(sums.cationic, p("1"));
        assert_eq!(sums.total, p("14.5"));
        assert!(sums.anionic_to_amphoteric().is_some());
        let mut more = lines;
        more.push((surfactant("U", None, Charge::Anionic), "1"));
        let sums = open(more, active_matter).unwrap();
        assert_eq!((sums.total, sums.unknown.as_slice()), (p("14.5"), &["U".to_owned()][..]));
        assert_eq!(sums.anionic_to_amphoteric(), None);
        assert_eq!(open(vec![(water(), "9")], active_matter), Err(WhyNot::Nothing("surfactant")));
    }

    #[test]
    fn no_answer() {
        assert_eq!(ActiveMatter::default().anionic_to_amphoteric(), None);
        assert_eq!(supplied(p("10"), p("60"), p("1"), p("40")), None);
        assert_eq!(supplied(p("-1"), p("60"), p("0"), p("40")), None);
        assert_eq!(supplied(p("1"), p("-60"), p("0"), p("40")), None);
        assert_eq!(usual_active(Form::Balm, Place::Face), None);
    }
}

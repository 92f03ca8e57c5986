//! The paste as a whole: powder to liquid, and density of the set product.

use super::{Derived, Opened, WhyNot};
use crate::formula::{AtPour, Form};
use crate::quantity::Percent;
use crate::setting::density::mix_density;

/// Share of the product, in %, that may lack a density before the mix has none.
const DENSITY_MAY_LACK: f64 = 20.0;

/// Figures of the paste.
#[derive(Clone, Debug, PartialEq)]
pub struct Paste {
    /// Powders, exfoliants included, in % of the product.
    pub powder: Percent,
    /// What is liquid or melted at pouring, in % of the product.
    pub liquid: Percent,
    /// Powder to liquid by mass; a hint, pourability decides.
    pub powder_to_liquid: Derived<f64>,
    /// Density of the set product in g/mL, by additive volumes.
    pub density: Derived<f64>,
    /// % of the product without a density, left out above.
    pub density_left_out: f64,
}

/// Works out the paste. Lotions are not poured as a paste, and dry mixes hold air, so their
/// ratio or density would be no figure that a maker could use.
#[must_use]
pub fn paste(form: Form, opened: &Opened<'_>) -> Paste {
    let (mut powder, mut liquid) = (Percent::ZERO, Percent::ZERO);
    let mut unknown = Vec::new();
    let mut parts = Vec::new();
    let (mut lacking, mut lacking_names) = (0.0, Vec::new());
    for leaf in opened.leaves.iter().filter(|l| !l.percent.is_negative()) {
        let m = leaf.material;
        match m.at_pour {
            Some(AtPour::Powder) => powder += leaf.percent,
            Some(AtPour::Liquid | AtPour::Melts | AtPour::Dissolves) => liquid += leaf.percent,
            None => unknown.push(m.display_name().to_owned()),
        }
        // The set product: solids by their solid density, liquids by the only one they have.
        match m.density_solid.as_ref().or(m.density_melt.as_ref()) {
            Some(d) => parts.push((leaf.percent.to_f64(), d.value)),
            None => {
                lacking += leaf.percent.to_f64();
                lacking_names.push(m.display_name().to_owned());
            }
        }
    }
    let dry = matches!(form, Form::Powder | Form::Bath);
    let powder_to_liquid = if dry || form == Form::Emulsion {
        Err(WhyNot::NotFor(form.name()))
    } else if !unknown.is_empty() {
        Err(WhyNot::Unknown { what: "state at pouring", names: unknown })
    } else if liquid.is_zero() {
        Err(WhyNot::Nothing("liquid"))
    } else {
        Ok(powder.to_f64() / liquid.to_f64())
    };
    let density = if dry {
        Err(WhyNot::NotFor(form.name()))
    } else if lacking > DENSITY_MAY_LACK {
        Err(WhyNot::Unknown { what: "density", names: lacking_names })
    } else {
        mix_density(parts.into_iter()).ok_or(WhyNot::Nothing("material with a density"))
    };
    Paste { powder, liquid, powder_to_liquid, density, density_left_out: lacking }
}

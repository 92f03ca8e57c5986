//! The set product: firmness over temperature, a warm parcel, sweating, oxidation, density.

use std::collections::BTreeSet;

use super::correct::paste_only;
use super::fat::{FatPhase, Mixing};
use super::heat::READ_AT_C;
use super::paste_model::PasteModel;
use super::{Banded, Derived, Opened, WhyNot};
use crate::formula::{Form, Formula, Function, Library, Material};
use crate::setting::calibrate::Correction;
use crate::setting::notes::SettingNotes;
use crate::setting::shelf::{Keeps, Stability, firmness, iodine_value, oxidation_weight};

/// Humectants above this, in % of the product, draw visible drops in damp air (common practice).
pub const SWEATS_ABOVE: f64 = 3.0;

/// Unsaturated acids without a weight that are worth a word, % of an oil's fatty acids.
const UNWEIGHTED_FROM: f64 = 10.0;

/// Where firmness is compared, °C.
const FIRM_AT_C: f64 = 20.0;

/// The piece at one temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShelfRow {
    /// °C.
    pub at_c: f64,
    /// Solids over what they jam at.
    pub ratio: Banded,
    /// Firmness in % of the reference at 20 °C, over how crystals mix.
    pub firmness: Option<Banded>,
    /// Whether it keeps its shape.
    pub keeps: Keeps,
    /// The same at the ends of the band, softest first.
    pub keeps_band: (Keeps, Keeps),
}

/// Humectants that may draw drops.
#[derive(Clone, Debug, PartialEq)]
pub struct Sweat {
    /// Their names.
    pub names: Vec<String>,
    /// Together, % of the product.
    pub percent: f64,
}

/// How readily the oils oxidise.
#[derive(Clone, Debug, PartialEq)]
pub struct Oxidation {
    /// Relative oxidisability of the oils and butters with a profile.
    pub value: f64,
    /// Its band.
    pub band: Stability,
    /// Calculated iodine value, g per 100 g.
    pub iodine: f64,
    /// What brings it: name and share of the whole, 0 to 1, largest first.
    pub from: Vec<(String, f64)>,
    /// Oils and butters without a profile.
    pub without: Vec<String>,
    /// Oils and butters that hold much of unsaturated acids for which there is no weight, so that
    /// they count as more stable than they may be.
    pub unweighted: Vec<String>,
    /// Antioxidants that are in.
    pub antioxidants: Vec<String>,
    /// Chelators that are in.
    pub chelators: Vec<String>,
}

/// The set product; estimates throughout.
#[derive(Clone, Debug, PartialEq)]
pub struct ShelfFigures {
    /// At 20, 25, 32, 40 and 45 °C.
    pub rows: Vec<ShelfRow>,
    /// In a warm parcel.
    pub parcel: ShelfRow,
    /// Share of the fat that is solid there, 0 to 1; `None` without fat.
    pub parcel_fat_solid: Option<f64>,
    /// What firmness is compared with; `None` when that is the formula itself.
    pub reference: Option<String>,
    /// Why the chosen reference cannot be used.
    pub no_reference: Option<WhyNot>,
    /// True for a product that needs no shape of its own, in its tin or jar.
    pub in_a_pot: bool,
    /// Density of the set piece at 20 °C, with the air that was measured, g/mL.
    pub density: f64,
    /// The same without air, g/mL.
    pub full_density: f64,
}

/// The set product.
pub(crate) fn shelf(
    formula: &Formula,
    model: &PasteModel<'_>,
    library: &Library,
    notes: &SettingNotes,
    correction: Correction,
) -> ShelfFigures {
    let (mut other, mut no_reference) = (None, None);
    let chosen = notes.reference.as_ref().filter(|id| **id != formula.id);
    if let Some(reference) = chosen.and_then(|id| library.formula(id)) {
        match reference_firmness(reference, library, notes) {
            Ok(f) => other = Some((reference.name.clone(), f)),
            Err(why) => no_reference = Some(why),
        }
    } else if chosen.is_some() {
        no_reference = Some(WhyNot::Nothing("reference any more: its formula is gone"));
    }
    let ratios = |t: f64| {
        let ends = Mixing::ALL.map(|m| model.at(t, m, &[]).firm_ratio());
        Banded::of(ends)
    };
    let against = match &other {
        Some((_, f)) => *f,
        None => correction.firmness * firmness(ratios(FIRM_AT_C).at),
    };
    let row = |at_c: f64| {
        let ratio = ratios(at_c);
        let firm = |r: f64| 100.0 * correction.firmness * firmness(r) / against;
        ShelfRow {
            at_c,
            ratio,
            firmness: (against > 0.0 && model.has_fat()).then(|| Banded {
                at: firm(ratio.at),
                low: firm(ratio.low),
                high: firm(ratio.high),
            }),
            keeps: Keeps::of(ratio.at),
            keeps_band: (Keeps::of(ratio.low), Keeps::of(ratio.high)),
        }
    };
    let full_density = model.at(FIRM_AT_C, Mixing::Alcohols, &[]).density();
    ShelfFigures {
        rows: READ_AT_C.into_iter().map(row).collect(),
        parcel: row(notes.parcel()),
        parcel_fat_solid: model.fat_solid(notes.parcel()),
        reference: other.map(|o| o.0),
        no_reference,
        in_a_pot: in_a_pot(formula.product.form),
        density: full_density * correction.fill,
        full_density,
    }
}

/// True for products that stay in the tin or jar that they are poured into.
pub(crate) fn in_a_pot(form: Form) -> bool {
    matches!(form, Form::Balm | Form::JarScrub)
}

/// Firmness of the reference at 20 °C.
fn reference_firmness(
    reference: &Formula,
    library: &Library,
    notes: &SettingNotes,
) -> Derived<f64> {
    let opened = Opened::new(reference, library);
    let fat = FatPhase::of(&opened);
    let own = paste_only(reference, &opened, notes);
    let model = PasteModel::of(reference.product.form, &opened, &fat, own)?;
    let f = firmness(model.at(FIRM_AT_C, Mixing::Alcohols, &[]).firm_ratio());
    if f > 0.0 { Ok(f) } else { Err(WhyNot::Nothing("firmness in the reference")) }
}

/// Humectants that may draw drops; `None` for products that hold water or too little of them.
#[must_use]
pub fn sweat(form: Form, opened: &Opened<'_>) -> Option<Sweat> {
    if !(form.is_bar() || form == Form::Balm) {
        return None;
    }
    let humectant = |m: &Material| m.function == Some(Function::Humectant);
    let mut names = BTreeSet::new();
    let mut percent = 0.0;
    for leaf in opened.leaves.iter().filter(|l| humectant(l.material)) {
        percent += leaf.percent.to_f64().max(0.0);
        names.insert(leaf.material.display_name().to_owned());
    }
    (percent > SWEATS_ABOVE).then(|| Sweat { names: names.into_iter().collect(), percent })
}

/// How readily the oils and butters oxidise.
///
/// # Errors
/// [`WhyNot`] without oils or butters, or when more than half of them have no profile.
pub fn oxidation(opened: &Opened<'_>) -> Derived<Oxidation> {
    let mut out = Oxidation {
        value: 0.0,
        band: Stability::VeryStable,
        iodine: 0.0,
        from: Vec::new(),
        without: Vec::new(),
        unweighted: Vec::new(),
        antioxidants: Vec::new(),
        chelators: Vec::new(),
    };
    let (mut known, mut lacking) = (0.0, 0.0);
    let add = |names: &mut Vec<String>, m: &Material| {
        let name = m.display_name().to_owned();
        if !names.contains(&name) {
            names.push(name);
        }
    };
    for leaf in opened.leaves.iter().filter(|l| !l.percent.is_negative()) {
        let (m, mass) = (leaf.material, leaf.percent.to_f64());
        match m.function {
            Some(Function::Antioxidant) => add(&mut out.antioxidants, m),
            Some(Function::Chelator) => add(&mut out.chelators, m),
            _ => {}
        }
        if !m.fatty_acids.is_empty() {
            known += mass;
            out.iodine += mass * iodine_value(&m.fatty_acids);
            let weight: f64 = m.fatty_acids.iter().map(|(a, p)| oxidation_weight(a) * p).sum();
            let unweighted =
                |(acid, _): &&(String, f64)| !acid.ends_with(":0") && oxidation_weight(acid) <= 0.0;
            let much: f64 = m.fatty_acids.iter().filter(unweighted).map(|(_, p)| p).sum();
            if much >= UNWEIGHTED_FROM {
                add(&mut out.unweighted, m);
            }
            match out.from.iter_mut().find(|f| f.0 == m.display_name()) {
                Some(f) => f.1 += mass * weight,
                None => out.from.push((m.display_name().to_owned(), mass * weight)),
            }
        } else if may_oxidise(m) {
            lacking += mass;
            add(&mut out.without, m);
        }
    }
    if known <= 0.0 && lacking <= 0.0 {
        return Err(WhyNot::Nothing("oil or butter"));
    }
    if lacking > known {
        return Err(WhyNot::Unknown { what: "fatty acids", names: out.without });
    }
    let sum: f64 = out.from.iter().map(|f| f.1).sum();
    out.value = sum / known;
    out.iodine /= known;
    out.band = Stability::of(out.value);
    out.from.iter_mut().for_each(|f| f.1 = if sum > 0.0 { f.1 / sum } else { 0.0 });
    out.from.retain(|f| f.1 > 0.0);
    out.from.sort_by(|a, b| b.1.total_cmp(&a.1));
    Ok(out)
}

/// Natural oils and butters; waxes, acids, alcohols and synthetic esters are saturated.
fn may_oxidise(m: &Material) -> bool {
    matches!(m.group.as_str(), "oil" | "butter" | "carrier oil" | "plant oil")
        && matches!(m.function, Some(Function::Emollient | Function::Butter))
}

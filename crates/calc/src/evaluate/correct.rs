//! How a formula's own measurements correct its estimates, with what each said before and after.

use super::fat::{FatPhase, Mixing};
use super::heat::SETTING;
use super::paste_model::PasteModel;
use super::{Derived, Opened};
use crate::formula::{Formula, Library};
use crate::number::{NumberStyle, format_f64};
use crate::setting::calibrate::{Correction, Reading, packing_for};
use crate::setting::melt::temperature_at_solid;
use crate::setting::notes::SettingNotes;
use crate::setting::shelf::{firmness, firmness_by_needle};

/// Works out the correction that the measurements of a formula ask for.
///
/// Set points move the melt curve, each way to mix crystals by its own amount so that all meet
/// what was measured; flows then move the packing limit; poured weights tell the air; needle
/// depths, of this formula and of the reference, the firmness. Several of a kind are averaged
/// (factors by their logarithms). Without measurements nothing is corrected.
#[must_use]
pub fn correction(
    formula: &Formula,
    opened: &Opened<'_>,
    library: &Library,
    notes: &SettingNotes,
) -> Correction {
    let mut out = Correction::default();
    if notes.of(&formula.id).next().is_none() {
        return out;
    }
    let fat = FatPhase::of(opened);
    if let Ok(fat) = &fat {
        let set: Vec<f64> = notes
            .of(&formula.id)
            .filter_map(|m| match m.reading {
                Reading::SetsAt { c } if m.reading.problem().is_none() => Some(c),
                _ => None,
            })
            .collect();
        if !set.is_empty() {
            let mean = set.iter().sum::<f64>() / set.len() as f64;
            for (place, mixing) in out.shift_c.iter_mut().zip(Mixing::ALL) {
                if let Some(c) = temperature_at_solid(&fat.components(mixing), SETTING) {
                    *place = mean - c;
                }
            }
        }
    }
    let Ok(model) = PasteModel::of(formula.product.form, opened, &fat, out) else { return out };
    let (mut flow, mut fill) = (Vec::new(), Vec::new());
    for m in notes.of(&formula.id).filter(|m| m.reading.problem().is_none()) {
        match m.reading {
            Reading::Flow { at_c, class } => {
                let ratio = model.at(at_c, Mixing::Alcohols, None).ratio();
                flow.push(libm::log(packing_for(ratio, class)));
            }
            Reading::Poured { at_c, grams, ml } => {
                let density = model.at(at_c, Mixing::Alcohols, None).density();
                if density > 0.0 {
                    fill.push(libm::log(grams / ml / density));
                }
            }
            Reading::SetsAt { .. } | Reading::Needle { .. } => {}
        }
    }
    let mean = |logs: &[f64]| libm::exp(logs.iter().sum::<f64>() / logs.len().max(1) as f64);
    out.packing = mean(&flow);
    out.fill = mean(&fill);
    out.firmness = firmness_factor(formula, opened, library, notes, out, &fat).unwrap_or(1.0);
    out
}

/// Measured firmness over the model's, both of this formula over the reference; `None` without
/// needle depths of both.
fn firmness_factor(
    formula: &Formula,
    opened: &Opened<'_>,
    library: &Library,
    notes: &SettingNotes,
    own: Correction,
    fat: &Derived<FatPhase>,
) -> Option<f64> {
    let reference = notes.reference.as_ref().filter(|id| **id != formula.id)?;
    let other = library.formula(reference)?;
    let depths = |id| -> Vec<(f64, f64)> {
        notes
            .of(id)
            .filter_map(|m| match m.reading {
                Reading::Needle { at_c, mm } if m.reading.problem().is_none() => Some((at_c, mm)),
                _ => None,
            })
            .collect()
    };
    let (mine, theirs) = (depths(&formula.id), depths(reference));
    if mine.is_empty() || theirs.is_empty() {
        return None;
    }
    let model = PasteModel::of(formula.product.form, opened, fat, own).ok()?;
    let other_opened = Opened::new(other, library);
    let other_fat = FatPhase::of(&other_opened);
    let other_correction = Correction { firmness: 1.0, ..paste_only(other, &other_opened, notes) };
    let other_model =
        PasteModel::of(other.product.form, &other_opened, &other_fat, other_correction).ok()?;
    let mut logs = Vec::new();
    for (t, mm) in &mine {
        for (other_t, other_mm) in &theirs {
            let seen = firmness_by_needle(*mm, *other_mm)?;
            let here = firmness(model.at(*t, Mixing::Alcohols, None).ratio());
            let there = firmness(other_model.at(*other_t, Mixing::Alcohols, None).ratio());
            if here > 0.0 && there > 0.0 {
                logs.push(libm::log(seen * there / here));
            }
        }
    }
    (!logs.is_empty()).then(|| libm::exp(logs.iter().sum::<f64>() / logs.len() as f64))
}

/// The reference's own correction, without its firmness, which is what others are measured by.
pub(crate) fn paste_only(
    formula: &Formula,
    opened: &Opened<'_>,
    notes: &SettingNotes,
) -> Correction {
    let bare = SettingNotes { reference: None, ..notes.clone() };
    correction(formula, opened, &Library::default(), &bare)
}

/// What a measurement says and what the model said before and says after its correction, as the
/// same kind of figure: °C, solids over the limit, g or mm. `None` where the model has nothing to
/// say.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// The measurement.
    pub reading: Reading,
    /// Model without any correction.
    pub before: Option<f64>,
    /// Model with all corrections.
    pub after: Option<f64>,
}

/// Measurements of a formula against the model, before and after.
#[must_use]
pub fn checks(
    formula: &Formula,
    opened: &Opened<'_>,
    notes: &SettingNotes,
    corrected: Correction,
) -> Vec<Check> {
    let fat = FatPhase::of(opened);
    let model = |c: Correction| PasteModel::of(formula.product.form, opened, &fat, c).ok();
    let (bare, own) = (model(Correction::default()), model(corrected));
    let [_, shift, _] = corrected.shift_c;
    notes
        .of(&formula.id)
        .map(|m| {
            let say = |paste: Option<&PasteModel<'_>>, c: Correction, shift: f64| match m.reading {
                Reading::SetsAt { .. } => {
                    let fat = fat.as_ref().ok()?;
                    let components = fat.components(Mixing::Alcohols);
                    temperature_at_solid(&components, SETTING).map(|t| t + shift)
                }
                Reading::Flow { at_c, .. } => {
                    paste.map(|p| p.at(at_c, Mixing::Alcohols, None).ratio())
                }
                Reading::Poured { at_c, ml, .. } => {
                    paste.map(|p| p.at(at_c, Mixing::Alcohols, None).density() * c.fill * ml)
                }
                // A depth has no scale without the reference; what it comes to shows in the
                // firmness.
                Reading::Needle { .. } => None,
            };
            Check {
                reading: m.reading,
                before: say(bare.as_ref(), Correction::default(), 0.0),
                after: say(own.as_ref(), corrected, shift),
            }
        })
        .collect()
}

/// A measurement in words, and what the model says of it before and after its correction.
#[must_use]
pub fn check_words(check: &Check, style: NumberStyle) -> (String, String) {
    let f = |x: f64, places| format_f64(x, places, style);
    let both = |places: u32, unit: &str, scale: f64| match (check.before, check.after) {
        (Some(before), Some(after)) => {
            let (a, b) = (f(before * scale, places), f(after * scale, places));
            format!("estimate {a} {unit} before, {b} {unit} after")
        }
        _ => "the model has no figure for it".to_owned(),
    };
    match check.reading {
        Reading::SetsAt { c } => (format!("Sets at {} °C", f(c, 1)), both(1, "°C", 1.0)),
        Reading::Flow { at_c, class } => {
            (format!("{} at {} °C", class.name(), f(at_c, 0)), both(0, "% of jamming", 100.0))
        }
        Reading::Poured { at_c, grams, ml } => (
            format!("{} g in {} mL at {} °C", f(grams, 1), f(ml, 1), f(at_c, 0)),
            both(1, "g", 1.0),
        ),
        Reading::Needle { at_c, mm } => (
            format!("needle {} mm deep at {} °C", f(mm, 1), f(at_c, 0)),
            "moves the firmness, once the reference bar has a depth, too".to_owned(),
        ),
    }
}

//! How a formula's own measurements correct its estimates, with what each said before and after.

use super::Opened;
use super::fat::{FatPhase, Mixing};
use super::heat::SETTING;
use super::paste_model::PasteModel;
use crate::formula::{Formula, Library};
use crate::number::{NumberStyle, format_f64};
use crate::setting::calibrate::{Correction, Reading, packing_of, packing_range};
use crate::setting::melt::temperature_at_solid;
use crate::setting::notes::SettingNotes;
use crate::setting::shelf::{firmness, firmness_by_needle};

/// What the uncorrected model says of a reading on this formula; empty where it has nothing to say.
#[must_use]
pub fn model_says(formula: &Formula, library: &Library, reading: Reading) -> Vec<f64> {
    says(formula, &Opened::new(formula, library), reading)
}

fn says(formula: &Formula, opened: &Opened<'_>, reading: Reading) -> Vec<f64> {
    let fat = FatPhase::of(opened);
    if let Reading::SetsAt { .. } = reading {
        let Ok(fat) = &fat else { return Vec::new() };
        let sets = |m: Mixing| temperature_at_solid(&fat.components(m), SETTING);
        return Mixing::ALL.into_iter().map(sets).collect::<Option<Vec<f64>>>().unwrap_or_default();
    }
    let bare = Correction::default();
    let Ok(model) = PasteModel::of(formula.product.form, opened, &fat, bare) else {
        return Vec::new();
    };
    let at = |c: f64| model.at(c, Mixing::Alcohols, &[]);
    let said = match reading {
        Reading::Flow { at_c, .. } => at(at_c).ratio(),
        Reading::Poured { at_c, .. } => at(at_c).density(),
        Reading::Needle { at_c, .. } => firmness(at(at_c).firm_ratio()),
        Reading::SetsAt { .. } => return Vec::new(),
    };
    if said.is_finite() && said > 0.0 { vec![said] } else { Vec::new() }
}

/// The readings of a formula that can be used, with what the model said of each at the time; for
/// one without that, of the formula as it is now.
fn readings(
    formula: &Formula,
    opened: &Opened<'_>,
    notes: &SettingNotes,
) -> Vec<(Reading, Vec<f64>)> {
    notes
        .of(&formula.id)
        .filter(|m| m.reading.problem().is_none())
        .map(|m| {
            let noted = m.said.len() == m.reading.figures_said();
            let said = if noted { m.said.clone() } else { says(formula, opened, m.reading) };
            (m.reading, said)
        })
        .filter(|(reading, said)| said.len() == reading.figures_said())
        .collect()
}

/// Works out the correction that the measurements of a formula ask for.
///
/// Each measurement is held against what the model said of the formula when it was made, so that
/// the correction stays when the formula changes. Set points move the melt curve, each way to mix
/// crystals by its own amount so that all meet what was measured; flows the packing limit, no
/// further than they ask; poured weights tell the air; needle depths, of this formula and of the
/// reference, the firmness. Several set points, weights or depths are averaged (factors by their
/// logarithms). Without measurements nothing is corrected.
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
    let all = readings(formula, opened, notes);
    let mut sets = 0.0;
    let (mut flows, mut fills) = (Vec::new(), Vec::new());
    for (reading, said) in &all {
        match (*reading, &said[..]) {
            (Reading::SetsAt { c }, [_, _, _]) => {
                sets += 1.0;
                for (place, was) in out.shift_c.iter_mut().zip(said) {
                    *place += c - was;
                }
            }
            (Reading::Flow { class, .. }, [ratio]) => flows.extend(packing_range(*ratio, class)),
            (Reading::Poured { grams, ml, .. }, [density]) => {
                fills.push(libm::log(grams / ml / density));
            }
            _ => {}
        }
    }
    if sets > 0.0 {
        out.shift_c.iter_mut().for_each(|s| *s /= sets);
    }
    (out.packing, out.disagrees) = packing_of(&flows);
    out.fill = libm::exp(fills.iter().sum::<f64>() / fills.len().max(1) as f64);
    out.firmness = firmness_factor(formula, &all, library, notes).unwrap_or(1.0);
    out
}

/// Measured firmness over the model's, both of this formula over the reference; `None` without
/// needle depths of both.
fn firmness_factor(
    formula: &Formula,
    mine: &[(Reading, Vec<f64>)],
    library: &Library,
    notes: &SettingNotes,
) -> Option<f64> {
    let reference = notes.reference.as_ref().filter(|id| **id != formula.id)?;
    let other = library.formula(reference)?;
    let theirs = readings(other, &Opened::new(other, library), notes);
    let depths = |all: &[(Reading, Vec<f64>)]| -> Vec<(f64, f64)> {
        all.iter()
            .filter_map(|(reading, said)| match (reading, &said[..]) {
                (Reading::Needle { mm, .. }, [firm]) => Some((*mm, *firm)),
                _ => None,
            })
            .collect()
    };
    let mut logs = Vec::new();
    for (mm, here) in depths(mine) {
        for (other_mm, there) in depths(&theirs) {
            logs.push(libm::log(firmness_by_needle(mm, other_mm)? * there / here));
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
    /// True when the formula is another than the one that was measured, as far as the model says
    /// something else of it.
    pub changed: bool,
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
                    paste.map(|p| p.at(at_c, Mixing::Alcohols, &[]).ratio())
                }
                Reading::Poured { at_c, ml, .. } => {
                    paste.map(|p| p.at(at_c, Mixing::Alcohols, &[]).density() * c.fill * ml)
                }
                // A depth has no scale without the reference; what it comes to shows in the
                // firmness.
                Reading::Needle { .. } => None,
            };
            let now = says(formula, opened, m.reading);
            let same = |(a, b): (&f64, &f64)| (a - b).abs() <= 1e-6 * a.abs().max(1.0);
            let changed = m.said.len() == now.len()
                && !m.said.is_empty()
                && !m.said.iter().zip(&now).all(same);
            Check {
                changed,
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
            let changed =
                if check.changed { "; measured on another composition than this" } else { "" };
            format!("estimate {a} {unit} before, {b} {unit} after{changed}")
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
            "with a depth of the reference bar it moves the firmness".to_owned(),
        ),
    }
}

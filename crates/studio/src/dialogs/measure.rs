//! A measurement of a made batch.

use egui::Ui;
use quern_calc::evaluate::model_says;
use quern_calc::formula::Formula;
use quern_calc::number::{Syntax, Unit, parse};
use quern_calc::quantity::decimal_to_f64;
use quern_calc::setting::calibrate::{Measured, Reading};
use quern_calc::setting::mould::ml_of_water;
use quern_calc::setting::notes::MEASURED_MAX;
use quern_calc::setting::pour::PourClass;

use super::{Foot, foot, note, text_row, title, wrong};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::field_error::{At as _, FieldError};
use crate::app::setting::{MeasureDraft, SettingAction};

/// Kinds of measurement, with what to do for each.
const KINDS: [(&str, &str); 4] = [
    (
        "Set point",
        "Melt the fats alone, without powder, and stir a small sample as it cools with a thermometer in it; note when it stands like soft butter and runs no more, not when it first turns cloudy",
    ),
    ("Flow", "Note how the paste behaves when you pour it, and at which temperature"),
    (
        "Poured weight",
        "Fill a cavity level, weigh what is in it; the volume is that of the water it holds",
    ),
    (
        "Needle depth",
        "The same needle under the same weight for the same time, on a set piece; measure your reference bar, too",
    ),
];

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut MeasureDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(460.0_f32.min(ui.available_width()));
    title(ui, &format!("Measured on {}", scene.here.name));
    ui.horizontal_wrapped(|ui| {
        for (i, (name, _)) in KINDS.iter().enumerate() {
            if ui.radio(draft.kind == i, *name).clicked() {
                draft.kind = i;
                draft.error = None;
            }
        }
    });
    if let Some((_, about)) = KINDS.get(draft.kind) {
        note(ui, about);
    }
    ui.add_space(6.0);
    let mut enter = text_row(ui, "Temperature, °C", &mut draft.c, 90.0, "44");
    match draft.kind {
        1 => {
            ui.horizontal_wrapped(|ui| {
                ui.label("It was a");
                for class in PourClass::ALL {
                    if ui.radio(draft.class == Some(class), class.name()).clicked() {
                        draft.class = Some(class);
                    }
                }
            });
        }
        2 => {
            enter |= text_row(ui, "Weight in it, g", &mut draft.grams, 90.0, "128");
            enter |= text_row(ui, "Volume, mL", &mut draft.ml, 90.0, "118 mL, or 118 g of water");
        }
        3 => enter |= text_row(ui, "Depth, mm", &mut draft.mm, 90.0, "3.5"),
        _ => {}
    }
    note(
        ui,
        "It corrects the estimates of this formula only; both stand beside each other in the view",
    );
    wrong::tell(ui);
    let pressed = foot(ui, "Add");
    if pressed == Foot::Cancel {
        return true;
    }
    if pressed != Foot::Do && !enter {
        return false;
    }
    if scene.project.setting.measured.len() >= MEASURED_MAX {
        let text = format!("A workshop keeps at most {MEASURED_MAX} measurements; remove old ones");
        draft.error = Some(text.into());
        return false;
    }
    match finish(draft, scene.syntax(), scene.formula()) {
        Ok(mut measured) => {
            measured.date = Some(scene.date);
            // What a batch tells of the model stays true when the formula changes.
            measured.said = model_says(scene.formula(), scene.library, measured.reading);
            actions.push(Action::Setting(SettingAction::Measure(Box::new(measured))));
            true
        }
        Err(text) => {
            draft.error = Some(text);
            false
        }
    }
}

/// A number in one of these units, or without any; what is wrong in words.
pub fn number_in(
    text: &str,
    name: &str,
    units: &[Unit],
    syntax: Syntax,
) -> Result<(f64, Option<Unit>), String> {
    if text.trim().is_empty() {
        return Err(format!("{name} is missing"));
    }
    let typed = parse(text, syntax).map_err(|e| format!("{name}: {e}"))?;
    if typed.unit.is_some_and(|u| !units.contains(&u)) {
        let names: Vec<&str> = units.iter().map(|u| u.symbol()).collect();
        return Err(format!("{name} is in {}", names.join(" or ")));
    }
    Ok((decimal_to_f64(typed.value), typed.unit))
}

/// Volume typed in mL, or as the grams of water that it holds.
pub fn volume(text: &str, name: &str, syntax: Syntax) -> Result<f64, String> {
    let gram = Unit::Mass(quern_calc::number::MassUnit::Gram);
    let (x, unit) = number_in(text, name, &[Unit::Millilitre, gram], syntax)?;
    Ok(if unit == Some(gram) { ml_of_water(x) } else { x })
}

fn finish(draft: &MeasureDraft, syntax: Syntax, formula: &Formula) -> Result<Measured, FieldError> {
    let gram = Unit::Mass(quern_calc::number::MassUnit::Gram);
    let (at_c, _) =
        number_in(&draft.c, "Temperature", &[Unit::Celsius], syntax).at("Temperature, °C")?;
    let reading = match draft.kind {
        0 => Reading::SetsAt { c: at_c },
        1 => {
            let class = draft.class.ok_or("Choose how it behaved")?;
            Reading::Flow { at_c, class }
        }
        2 => Reading::Poured {
            at_c,
            grams: number_in(&draft.grams, "Weight", &[gram], syntax).at("Weight in it, g")?.0,
            ml: volume(&draft.ml, "Volume", syntax).at("Volume, mL")?,
        },
        _ => Reading::Needle {
            at_c,
            mm: number_in(&draft.mm, "Depth", &[Unit::Millimetre], syntax).at("Depth, mm")?.0,
        },
    };
    if let Some(problem) = reading.problem() {
        return Err(format!("Not taken: {problem}").into());
    }
    Ok(Measured {
        formula: formula.id.clone(),
        name: format!("{} {}", formula.name, formula.version.number),
        date: None,
        reading,
        said: Vec::new(),
    })
}

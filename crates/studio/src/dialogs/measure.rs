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
use crate::words;

/// Kinds of measurement, with what to do for each.
const KINDS: [(&str, &str); 4] = [
    (
        term!("Set point"),
        term!(
            "Melt the fats alone, without powder, and stir a small sample as it cools with a thermometer in it; note when it stands like soft butter and runs no more, not when it first turns cloudy"
        ),
    ),
    (term!("Flow"), term!("Note how the paste behaves when you pour it, and at which temperature")),
    (
        term!("Poured weight"),
        term!("Fill a cavity level, weigh what is in it; the volume is that of the water it holds"),
    ),
    (
        term!("Needle depth"),
        term!(
            "The same needle under the same weight for the same time, on a set piece; measure your reference bar, too"
        ),
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
    title(ui, &say!("Measured on {name}", name = scene.here.name));
    ui.horizontal_wrapped(|ui| {
        for (i, (name, _)) in KINDS.iter().enumerate() {
            let name = &words::text(name);
            if ui.radio(draft.kind == i, *name).clicked() {
                draft.kind = i;
                draft.error = None;
            }
        }
    });
    if let Some((_, about)) = KINDS.get(draft.kind) {
        note(ui, words::text(about));
    }
    ui.add_space(6.0);
    let mut enter = text_row(ui, say!("Temperature, °C"), &mut draft.c, 90.0, "44");
    match draft.kind {
        1 => {
            ui.horizontal_wrapped(|ui| {
                ui.label(say!("It was a"));
                for class in PourClass::ALL {
                    if ui.radio(draft.class == Some(class), words::text(class.name())).clicked() {
                        draft.class = Some(class);
                    }
                }
            });
        }
        2 => {
            enter |= text_row(ui, say!("Weight in it, g"), &mut draft.grams, 90.0, "128");
            enter |= text_row(
                ui,
                say!("Volume, mL"),
                &mut draft.ml,
                90.0,
                say!("118 mL, or 118 g of water"),
            );
        }
        3 => enter |= text_row(ui, say!("Depth, mm"), &mut draft.mm, 90.0, "3.5"),
        _ => {}
    }
    note(
        ui,
        say!(
            "It corrects the estimates of this formula only; both stand beside each other in the view"
        ),
    );
    wrong::tell(ui);
    let pressed = foot(ui, say!("Add"));
    if pressed == Foot::Cancel {
        return true;
    }
    if pressed != Foot::Do && !enter {
        return false;
    }
    if scene.project.setting.measured.len() >= MEASURED_MAX {
        let text = say!(
            "A workshop keeps at most {measured_max} measurements; remove old ones",
            measured_max = MEASURED_MAX
        );
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
        return Err(say!("{name} is missing", name));
    }
    let typed = parse(text, syntax).map_err(|e| format!("{name}: {}", words::told(e)))?;
    if typed.unit.is_some_and(|u| !units.contains(&u)) {
        let names: Vec<&str> = units.iter().map(|u| u.symbol()).collect();
        return Err(say!("{name} is in {names}", name, names = names.join(say!(" or "))));
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
    let (at_c, _) = number_in(&draft.c, say!("Temperature"), &[Unit::Celsius], syntax)
        .at(say!("Temperature, °C"))?;
    let reading = match draft.kind {
        0 => Reading::SetsAt { c: at_c },
        1 => {
            let class = draft.class.ok_or(say!("Choose how it behaved"))?;
            Reading::Flow { at_c, class }
        }
        2 => Reading::Poured {
            at_c,
            grams: number_in(&draft.grams, say!("Weight"), &[gram], syntax)
                .at(say!("Weight in it, g"))?
                .0,
            ml: volume(&draft.ml, say!("Volume"), syntax).at(say!("Volume, mL"))?,
        },
        _ => Reading::Needle {
            at_c,
            mm: number_in(&draft.mm, say!("Depth"), &[Unit::Millimetre], syntax)
                .at(say!("Depth, mm"))?
                .0,
        },
    };
    if let Some(problem) = reading.problem() {
        return Err(say!("Not taken: {problem}", problem = words::told(problem)).into());
    }
    Ok(Measured {
        formula: formula.id.clone(),
        name: format!("{} {}", formula.name, formula.version.number),
        date: None,
        reading,
        said: Vec::new(),
    })
}

//! A phase: name, kind, temperature, steps.

use egui::{ComboBox, RichText, ScrollArea, TextEdit, Ui};
use quern_calc::formula::{PhaseKind, PhaseTemperature, Step};
use quern_calc::number::{Unit, parse};
use quern_calc::quantity::decimal_to_f64;

use super::{Foot, foot, label_cell, text_row, title, wrong};
use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::field_error::{At as _, FieldError};
use crate::app::state::PhaseDraft;
use crate::look::icons::Icon;
use crate::widgets::{choice_of, icon_button};
use crate::words;

/// Kinds of temperature, in the order of the draft's `mode`.
const MODES: [&str; 3] = [term!("not stated"), term!("heat to"), term!("add below")];

/// Name of the field of the phase's temperature.
const TEMPERATURE: &str = term!("Phase temperature, degrees Celsius");

/// Degrees that a kitchen can reach.
const DEGREES: std::ops::RangeInclusive<f64> = -30.0..=250.0;

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut PhaseDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(600.0_f32.min(ui.available_width()));
    title(ui, if draft.new { say!("Add a phase") } else { say!("Phase") });
    text_row(ui, say!("Name"), &mut draft.phase.name, 240.0, say!("Melt"));
    ui.horizontal(|ui| {
        label_cell(ui, say!("Kind"));
        ComboBox::from_id_salt("phase-kind")
            .selected_text(words::text(draft.phase.kind.name()))
            .show_ui(ui, |ui| {
                for kind in PhaseKind::ALL {
                    choice_of(ui, &mut draft.phase.kind, kind, words::text(kind.name()));
                }
            })
            .response
            .accessible_name(say!("Kind of phase"));
        ui.label(say!("for rules about heat and grains"));
    });
    let mut at_fault = false;
    ui.horizontal(|ui| {
        label_cell(ui, say!("Temperature"));
        ComboBox::from_id_salt("phase-temperature")
            .selected_text(MODES.get(draft.mode).copied().map_or("", words::text))
            .show_ui(ui, |ui| {
                for (i, name) in MODES.iter().enumerate() {
                    let name = &words::text(name);
                    choice_of(ui, &mut draft.mode, i, *name);
                }
            })
            .response
            .accessible_name(say!("Kind of temperature"));
        if draft.mode > 0 {
            let field = ui
                .add(TextEdit::singleline(&mut draft.temperature).desired_width(60.0))
                .accessible_name(words::text(TEMPERATURE));
            at_fault = wrong::marks(ui, words::text(TEMPERATURE), &field);
            ui.label("°C");
        }
    });
    if at_fault {
        wrong::tell(ui);
    }
    ui.add_space(8.0);
    ui.label(RichText::new(say!("Steps")).strong());
    let mut remove = None;
    let mut swap = None;
    let count = draft.steps.len();
    ScrollArea::vertical().max_height(220.0).id_salt("steps").show(ui, |ui| {
        for (i, (text, at, minutes)) in draft.steps.iter_mut().enumerate() {
            let n = i + 1;
            let mut at_fault = false;
            ui.horizontal(|ui| {
                ui.label(format!("{n}."));
                let room = (ui.available_width() - 250.0).max(120.0);
                ui.add(
                    TextEdit::singleline(text).desired_width(room).hint_text(say!("What to do")),
                )
                .accessible_name(say!("Step {n}, what to do", n));
                for (text, width, what, unit) in [
                    (at, 40.0, say!("degrees Celsius"), "°C"),
                    (minutes, 36.0, say!("minutes"), "min"),
                ] {
                    let name = say!("Step {n}, {what}", n, what);
                    let field = ui
                        .add(TextEdit::singleline(text).desired_width(width))
                        .accessible_name(&name);
                    at_fault |= wrong::marks(ui, &name, &field);
                    ui.label(unit);
                }
                let name = say!("Move step {n} up", n);
                if icon_button(ui, Icon::Up, &name, &name, i > 0).clicked() {
                    swap = i.checked_sub(1).map(|j| (j, i));
                }
                let name = say!("Remove step {n}", n);
                if icon_button(ui, Icon::Remove, &name, &name, true).clicked() {
                    remove = Some(i);
                }
            });
            if at_fault {
                wrong::tell(ui);
            }
        }
    });
    if let Some(i) = remove {
        draft.steps.remove(i);
    }
    if let Some((a, b)) = swap.filter(|(_, b)| *b < count) {
        draft.steps.swap(a, b);
    }
    if ui.button(say!("+ Add a step")).clicked() {
        draft.steps.push(Default::default());
    }
    wrong::tell(ui);
    match foot(ui, if draft.new { say!("Add") } else { say!("Apply") }) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => match finish(scene, draft) {
            Ok(()) => {
                let phase = Box::new(draft.phase.clone());
                actions.push(Action::Edit(if draft.new {
                    Edit::AddPhase(phase)
                } else {
                    Edit::UpdatePhase(phase)
                }));
                true
            }
            Err(text) => {
                draft.error = Some(text);
                false
            }
        },
    }
}

fn degrees(scene: &Scene<'_>, text: &str, what: &str) -> Result<Option<f64>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let typed = parse(text, scene.syntax()).map_err(|e| format!("{what}: {}", words::told(e)))?;
    if !matches!(typed.unit, None | Some(Unit::Celsius)) {
        return Err(say!("{what} is in °C", what));
    }
    let c = decimal_to_f64(typed.value);
    if DEGREES.contains(&c) {
        Ok(Some(c))
    } else {
        Err(say!("{what} is from −30 to 250 °C", what))
    }
}

/// Reads the draft into its phase.
fn finish(scene: &Scene<'_>, draft: &mut PhaseDraft) -> Result<(), FieldError> {
    if draft.phase.name.trim().is_empty() {
        return Err(FieldError::new(say!("Name"), say!("A phase needs a name")));
    }
    let c = if draft.mode == 0 {
        None
    } else {
        degrees(scene, &draft.temperature, say!("The temperature")).at(words::text(TEMPERATURE))?
    };
    draft.phase.temperature = match (draft.mode, c) {
        (0, _) => PhaseTemperature::Unstated,
        (_, None) => {
            let text = say!("Enter the temperature, or choose not stated");
            return Err(FieldError::new(words::text(TEMPERATURE), text));
        }
        (1, Some(c)) => PhaseTemperature::HeatTo(c),
        (_, Some(c)) => PhaseTemperature::Below(c),
    };
    let mut steps = Vec::new();
    for (i, (text, at, minutes)) in draft.steps.iter().enumerate() {
        let n = i + 1;
        let temperature_c = degrees(scene, at, &say!("The temperature of step {n}", n))
            .at(&say!("Step {n}, degrees Celsius", n))?;
        let minutes = if minutes.trim().is_empty() {
            None
        } else {
            let field = say!("Step {n}, minutes", n);
            let typed = parse(minutes, scene.syntax())
                .map_err(|e| say!("Minutes of step {n}: {e}", n, e = words::told(e)))
                .at(&field)?;
            let m = decimal_to_f64(typed.value);
            if typed.unit.is_some() || !(0.0..=10_000.0).contains(&m) {
                let text = say!("Minutes of step {n} are a number from 0 to 10 000", n);
                return Err(FieldError::new(field, text));
            }
            Some(m)
        };
        if text.trim().is_empty() && temperature_c.is_none() && minutes.is_none() {
            continue;
        }
        steps.push(Step { text: text.trim().to_owned(), temperature_c, minutes });
    }
    draft.phase.steps = steps;
    draft.error = None;
    Ok(())
}

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

/// Kinds of temperature, in the order of the draft's `mode`.
const MODES: [&str; 3] = ["not stated", "heat to", "add below"];

/// Name of the field of the phase's temperature.
const TEMPERATURE: &str = "Phase temperature, degrees Celsius";

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
    title(ui, if draft.new { "Add a phase" } else { "Phase" });
    text_row(ui, "Name", &mut draft.phase.name, 240.0, "Melt");
    ui.horizontal(|ui| {
        label_cell(ui, "Kind");
        ComboBox::from_id_salt("phase-kind")
            .selected_text(draft.phase.kind.name())
            .show_ui(ui, |ui| {
                for kind in PhaseKind::ALL {
                    choice_of(ui, &mut draft.phase.kind, kind, kind.name());
                }
            })
            .response
            .accessible_name("Kind of phase");
        ui.label("for rules about heat and grains");
    });
    let mut at_fault = false;
    ui.horizontal(|ui| {
        label_cell(ui, "Temperature");
        ComboBox::from_id_salt("phase-temperature")
            .selected_text(MODES.get(draft.mode).copied().unwrap_or(""))
            .show_ui(ui, |ui| {
                for (i, name) in MODES.iter().enumerate() {
                    choice_of(ui, &mut draft.mode, i, *name);
                }
            })
            .response
            .accessible_name("Kind of temperature");
        if draft.mode > 0 {
            let field = ui
                .add(TextEdit::singleline(&mut draft.temperature).desired_width(60.0))
                .accessible_name(TEMPERATURE);
            at_fault = wrong::marks(ui, TEMPERATURE, &field);
            ui.label("°C");
        }
    });
    if at_fault {
        wrong::tell(ui);
    }
    ui.add_space(8.0);
    ui.label(RichText::new("Steps").strong());
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
                ui.add(TextEdit::singleline(text).desired_width(room).hint_text("What to do"))
                    .accessible_name(format!("Step {n}, what to do"));
                for (text, width, what, unit) in
                    [(at, 40.0, "degrees Celsius", "°C"), (minutes, 36.0, "minutes", "min")]
                {
                    let name = format!("Step {n}, {what}");
                    let field = ui
                        .add(TextEdit::singleline(text).desired_width(width))
                        .accessible_name(&name);
                    at_fault |= wrong::marks(ui, &name, &field);
                    ui.label(unit);
                }
                let name = format!("Move step {n} up");
                if icon_button(ui, Icon::Up, &name, &name, i > 0).clicked() {
                    swap = i.checked_sub(1).map(|j| (j, i));
                }
                let name = format!("Remove step {n}");
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
    if ui.button("+ Add a step").clicked() {
        draft.steps.push(Default::default());
    }
    wrong::tell(ui);
    match foot(ui, if draft.new { "Add" } else { "Apply" }) {
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
    let typed = parse(text, scene.syntax()).map_err(|e| format!("{what}: {e}"))?;
    if !matches!(typed.unit, None | Some(Unit::Celsius)) {
        return Err(format!("{what} is in °C"));
    }
    let c = decimal_to_f64(typed.value);
    if DEGREES.contains(&c) { Ok(Some(c)) } else { Err(format!("{what} is from −30 to 250 °C")) }
}

/// Reads the draft into its phase.
fn finish(scene: &Scene<'_>, draft: &mut PhaseDraft) -> Result<(), FieldError> {
    if draft.phase.name.trim().is_empty() {
        return Err(FieldError::new("Name", "A phase needs a name"));
    }
    let c = if draft.mode == 0 {
        None
    } else {
        degrees(scene, &draft.temperature, "The temperature").at(TEMPERATURE)?
    };
    draft.phase.temperature = match (draft.mode, c) {
        (0, _) => PhaseTemperature::Unstated,
        (_, None) => {
            let text = "Enter the temperature, or choose not stated";
            return Err(FieldError::new(TEMPERATURE, text));
        }
        (1, Some(c)) => PhaseTemperature::HeatTo(c),
        (_, Some(c)) => PhaseTemperature::Below(c),
    };
    let mut steps = Vec::new();
    for (i, (text, at, minutes)) in draft.steps.iter().enumerate() {
        let n = i + 1;
        let temperature_c = degrees(scene, at, &format!("The temperature of step {n}"))
            .at(&format!("Step {n}, degrees Celsius"))?;
        let minutes = if minutes.trim().is_empty() {
            None
        } else {
            let field = format!("Step {n}, minutes");
            let typed = parse(minutes, scene.syntax())
                .map_err(|e| format!("Minutes of step {n}: {e}"))
                .at(&field)?;
            let m = decimal_to_f64(typed.value);
            if typed.unit.is_some() || !(0.0..=10_000.0).contains(&m) {
                let text = format!("Minutes of step {n} are a number from 0 to 10 000");
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

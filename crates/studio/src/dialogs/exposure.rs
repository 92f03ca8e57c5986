//! An exposure to be worked out.

use egui::{ComboBox, Ui};
use quern_calc::formula::ExposureAsk;
use quern_calc::number::{Unit, parse};
use quern_calc::quantity::Percent;
use rust_decimal::Decimal;

use super::{Foot, foot, label_cell, note, text_row, title, wrong};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::field_error::{At as _, FieldError};
use crate::app::safety::{ExposureDraft, SafetyAction};
use crate::widgets::choice_of;
use crate::words;

/// Names of fields that what is wrong is told under.
const DEPARTURE: &str = term!("Departure point");
const ABSORBED: &str = term!("Absorbed, %");

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut ExposureDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(500.0_f32.min(ui.available_width()));
    title(ui, say!("Exposure to a component"));
    let component = ui.horizontal(|ui| {
        label_cell(ui, say!("Component"));
        let chosen = draft.component.clone();
        let shown = if chosen.is_empty() { say!("choose") } else { &chosen };
        let response = ComboBox::from_id_salt("exposure-component")
            .selected_text(shown)
            .width(280.0)
            .height(320.0)
            .show_ui(ui, |ui| {
                for c in &scene.here.evaluation.composition.components {
                    choice_of(ui, &mut draft.component, c.inci.clone(), &c.inci);
                }
            })
            .response
            .accessible_name(say!("Component: {shown}", shown));
        wrong::marks(ui, say!("Component"), &response)
    });
    if component.inner {
        wrong::tell(ui);
    }
    text_row(ui, words::text(DEPARTURE), &mut draft.departure, 110.0, say!("mg/kg a day"));
    note(
        ui,
        say!(
            "Point of departure in mg per kg of body weight a day, such as a NOAEL or BMDL from a published assessment"
        ),
    );
    ui.checkbox(
        &mut draft.oral,
        say!("from an oral study without absorption data: half of it counts"),
    );
    text_row(ui, words::text(ABSORBED), &mut draft.absorbed, 70.0, say!("of the dose"));
    note(ui, say!("Without data the SCCS takes 50 %"));
    text_row(ui, say!("Source"), &mut draft.source, 300.0, say!("where these figures come from"));
    ui.horizontal(|ui| {
        label_cell(ui, say!("Product line"));
        let usual = say!("as the product");
        let chosen = draft.line.clone();
        let shown = if chosen.is_empty() { usual } else { &chosen };
        ComboBox::from_id_salt("exposure-line")
            .selected_text(shown)
            .width(200.0)
            .show_ui(ui, |ui| {
                choice_of(ui, &mut draft.line, String::new(), usual);
                for line in &quern_project::rules::in_use().exposure.lines {
                    choice_of(ui, &mut draft.line, line.name.clone(), &line.name);
                }
            })
            .response
            .accessible_name(say!("Product line: {shown}", shown));
    });
    wrong::tell(ui);
    match foot(ui, say!("Apply")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => match finish(scene, draft) {
            Ok(ask) => {
                let mut notes = scene.formula().safety.clone();
                match draft.at.and_then(|i| notes.exposures.get_mut(i)) {
                    Some(old) => *old = ask,
                    None => notes.exposures.push(ask),
                }
                let notes = Box::new(notes);
                actions.push(Action::Safety(SafetyAction::Notes(say!("change exposure"), notes)));
                true
            }
            Err(text) => {
                draft.error = Some(text);
                false
            }
        },
    }
}

fn finish(scene: &Scene<'_>, draft: &ExposureDraft) -> Result<ExposureAsk, FieldError> {
    if draft.component.is_empty() {
        return Err(FieldError::new(say!("Component"), say!("Choose a component")));
    }
    let number = |what: &str, text: &str| {
        parse(text.trim(), scene.syntax()).map_err(|e| format!("{what}: {}", words::told(e)))
    };
    let departure =
        number(say!("Point of departure"), &draft.departure).at(words::text(DEPARTURE))?;
    let most = Decimal::from(1_000_000);
    if departure.unit.is_some() || departure.value <= Decimal::ZERO || departure.value > most {
        let text = say!("The point of departure is a number above 0, in mg/kg a day");
        return Err(FieldError::new(words::text(DEPARTURE), text));
    }
    let absorbed = number(say!("Absorbed"), &draft.absorbed).at(words::text(ABSORBED))?;
    let range = Decimal::ZERO..=Decimal::ONE_HUNDRED;
    if absorbed.unit.is_some_and(|u| u != Unit::Percent) || !range.contains(&absorbed.value) {
        let text = say!("The absorbed share is a percentage from 0 to 100");
        return Err(FieldError::new(words::text(ABSORBED), text));
    }
    Ok(ExposureAsk {
        component: draft.component.clone(),
        departure: departure.value,
        oral: draft.oral,
        absorbed: Percent(absorbed.value),
        source: draft.source.trim().to_owned(),
        line: (!draft.line.is_empty()).then(|| draft.line.clone()),
    })
}

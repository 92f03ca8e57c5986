//! Formula details: name, version, product, pH, note.

use egui::{ComboBox, TextEdit, Ui};
use quern_calc::formula::{Contact, Form, Pack, PhReading, Place, VersionState};
use quern_calc::number::parse;
use rust_decimal::Decimal;

use super::{Foot, foot, label_cell, note, text_row, title, wrong};
use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::field_error::{At as _, FieldError};
use crate::app::state::DetailsDraft;
use crate::widgets::choice_of;
use crate::words;

fn choice<T: Copy + PartialEq>(
    ui: &mut Ui,
    label: &str,
    value: &mut T,
    all: &[T],
    name: impl Fn(T) -> &'static str,
) {
    ui.horizontal(|ui| {
        let name_cell = label_cell(ui, label);
        ComboBox::from_id_salt(label)
            .selected_text(words::text(name(*value)))
            .width(150.0)
            .show_ui(ui, |ui| {
                for other in all {
                    choice_of(ui, value, *other, words::text(name(*other)));
                }
            })
            .response
            .labelled_by(name_cell.id)
            .accessible_name(label);
    });
}

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut DetailsDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(500.0_f32.min(ui.available_width()));
    title(ui, say!("Formula details"));
    let free = scene.read_only().is_none();
    if let Some(reason) = scene.read_only() {
        note(ui, reason);
    }
    ui.add_enabled_ui(free, |ui| {
        text_row(ui, say!("Name"), &mut draft.formula.name, 260.0, "");
        let product = &mut draft.formula.product;
        choice(ui, say!("Kind of product"), &mut product.form, &Form::ALL, Form::name);
        choice(ui, say!("Place of use"), &mut product.place, &Place::ALL, Place::name);
        choice(ui, say!("On the skin"), &mut product.contact, &Contact::ALL, Contact::name);
        choice(ui, say!("Pack"), &mut product.pack, &Pack::ALL, Pack::name);
        text_row(ui, say!("Version"), &mut draft.version, 60.0, "");
    });
    let choices = scene.formula().version.state.choices();
    let version = &mut draft.formula.version;
    choice(ui, say!("State"), &mut version.state, choices, VersionState::name);
    ui.add_enabled_ui(free, |ui| {
        text_row(
            ui,
            say!("Reason of version"),
            &mut version.reason,
            260.0,
            say!("Why it was made"),
        );
        text_row(ui, "pH", &mut draft.ph, 60.0, "");
        ui.horizontal(|ui| {
            ui.add_space(128.0);
            ui.checkbox(&mut draft.measured, say!("measured"));
        });
        text_row(
            ui,
            say!("Date of pH"),
            &mut draft.ph_date,
            110.0,
            scene.settings.date_order.example(),
        );
        ui.label(say!("Note"));
        let note = TextEdit::multiline(&mut draft.formula.note);
        ui.add(note.desired_rows(2).desired_width(f32::INFINITY))
            .accessible_name(say!("Note of the formula"));
    });
    if let Some((parent, number)) = &draft.formula.version.parent {
        let from = scene.project.formula(parent).map_or(parent.as_str(), |f| f.name.as_str());
        note(ui, &say!("Came from {from}, version {number}", from, number));
    }
    wrong::tell(ui);
    match foot(ui, say!("Apply")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => match finish(scene, draft) {
            Ok(()) => {
                actions.push(Action::Edit(Edit::Details(Box::new(draft.formula.clone()))));
                true
            }
            Err(text) => {
                draft.error = Some(text);
                false
            }
        },
    }
}

fn finish(scene: &Scene<'_>, draft: &mut DetailsDraft) -> Result<(), FieldError> {
    if draft.formula.name.trim().is_empty() {
        return Err(FieldError::new(say!("Name"), say!("A formula needs a name")));
    }
    draft.formula.version.number = draft
        .version
        .trim()
        .parse::<u32>()
        .ok()
        .filter(|n| (1..=100_000).contains(n))
        .ok_or(say!("A version is a whole number from 1"))
        .at(say!("Version"))?;
    let (id, number) = (&draft.formula.id, draft.formula.version.number);
    if scene.project.kept_of(id).any(|k| k.formula.version.number == number) {
        return Err(FieldError::new(
            say!("Version"),
            say!(
                "Version {number} is kept already; the next free number is {next_version}",
                number,
                next_version = scene.project.next_version(id)
            ),
        ));
    }
    let date = match draft.ph_date.trim() {
        "" => None,
        text => {
            let date = scene.settings.date_order.read(text).map_err(words::told);
            Some(date.at(say!("Date of pH"))?)
        }
    };
    draft.formula.ph = match draft.ph.trim() {
        "" => None,
        text => {
            let typed = parse(text, scene.syntax()).map_err(words::told).at("pH")?;
            let range = Decimal::ZERO..=Decimal::from(14);
            if typed.unit.is_some() || !range.contains(&typed.value) {
                return Err(FieldError::new("pH", say!("A pH is a number from 0 to 14")));
            }
            Some(PhReading { value: typed.value, measured: draft.measured, date })
        }
    };
    draft.error = None;
    Ok(())
}

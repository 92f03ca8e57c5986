//! The workshop's own moulds.

use egui::{ComboBox, RichText, TextEdit, Ui};
use quern_calc::number::{NumberStyle, Syntax, Unit, format_f64, format_full};
use quern_calc::setting::mould::{MOST_MM, Mould, Shape, Wall};
use quern_calc::setting::notes::MOULDS_MAX;

use super::measure::{number_in, volume};
use super::{Foot, foot, note, text_row, title, wrong};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::field_error::{At as _, FieldError};
use crate::app::setting::{MouldDraft, SettingAction};
use crate::look::icons::Icon;
use crate::widgets::{choice, icon_button};
use crate::words;

/// Outlines with the names of their sizes.
const SHAPES: [(&str, &[&str]); 4] = [
    (term!("block"), &[term!("Length, mm"), term!("Width, mm"), term!("Depth, mm")]),
    (term!("disc"), &[term!("Diameter, mm"), term!("Depth, mm")]),
    (term!("oval"), &[term!("Long axis, mm"), term!("Short axis, mm"), term!("Depth, mm")]),
    (term!("dome"), &[term!("Diameter, mm")]),
];

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut MouldDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(480.0_f32.min(ui.available_width()));
    title(ui, say!("Your moulds"));
    let own = &scene.project.setting.moulds;
    note(
        ui,
        if own.is_empty() {
            say!("None yet; the generic ones stay beside your own")
        } else {
            say!("Click one to change it")
        },
    );
    for (i, mould) in own.iter().enumerate() {
        ui.horizontal(|ui| {
            let ml = format_f64(mould.volume_ml(), 0, scene.style());
            let text = say!(
                "{mould}: {shape}, {ml} mL, {wall}",
                mould = mould.name,
                shape = mould.shape.name(),
                ml,
                wall = words::text(mould.wall.name())
            );
            if ui.selectable_label(draft.at == Some(i), text).clicked() {
                *draft = of(mould, Some(i), scene.style());
            }
            let name = say!("Remove {mould}", mould = mould.name);
            if icon_button(ui, Icon::Remove, &name, &name, true).clicked() {
                let mut notes = (*scene.project.setting).clone();
                notes.moulds.remove(i);
                *draft = MouldDraft::default();
                actions.push(Action::Setting(SettingAction::Notes(
                    say!("remove mould"),
                    Box::new(notes),
                )));
            }
        });
    }
    ui.add_space(8.0);
    let heading = if draft.at.is_some() { say!("Change it") } else { say!("Add one") };
    ui.label(RichText::new(heading).strong());
    let mut enter = text_row(ui, say!("Name"), &mut draft.name, 240.0, say!("Oak block"));
    ui.horizontal_wrapped(|ui| {
        ui.label(say!("Outline of a cavity"));
        for (i, (name, _)) in SHAPES.iter().enumerate() {
            let name = &words::text(name);
            if ui.radio(draft.shape == i, *name).clicked() {
                draft.shape = i;
            }
        }
    });
    let labels = SHAPES.get(draft.shape).map_or(&[][..], |s| s.1);
    let mut at_fault = false;
    ui.horizontal_wrapped(|ui| {
        for (text, label) in draft.sizes.iter_mut().zip(labels) {
            let name = ui.label(words::text(label));
            let field = ui
                .add(TextEdit::singleline(text).desired_width(52.0))
                .labelled_by(name.id)
                .accessible_name(words::text(label));
            at_fault |= wrong::marks(ui, label, &field);
            if field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter)) {
                wrong::asked(ui);
                enter = true;
            }
        }
    });
    if at_fault {
        wrong::tell(ui);
    }
    enter |= text_row(
        ui,
        say!("Measured"),
        &mut draft.measured,
        230.0,
        say!("118 mL, or 118 g of water"),
    );
    note(
        ui,
        say!(
            "Fill a cavity with water and weigh it: 0.998 g is 1 mL at 20 °C. Empty: by its sizes"
        ),
    );
    ui.horizontal(|ui| {
        ui.label(say!("Made of"));
        ComboBox::from_id_salt("mould-wall")
            .selected_text(words::text(draft.wall.name()))
            .show_ui(ui, |ui| {
                for wall in Wall::ALL {
                    if choice(ui, draft.wall == wall, words::text(wall.name())).clicked() {
                        draft.wall = wall;
                        ui.close();
                    }
                }
            })
            .response
            .accessible_name(say!("Made of: {wall}", wall = words::text(draft.wall.name())));
    });
    wrong::tell(ui);
    let does = if draft.at.is_some() { say!("Change") } else { say!("Add") };
    let pressed = foot(ui, does);
    if pressed == Foot::Cancel {
        return true;
    }
    if pressed != Foot::Do && !enter {
        return false;
    }
    match finish(draft, own, scene.syntax(), scene.style()) {
        Ok(mould) => {
            let mut notes = (*scene.project.setting).clone();
            notes.mould = Some(mould.name.clone());
            let label = match draft.at {
                Some(i) if i < notes.moulds.len() => {
                    if let Some(place) = notes.moulds.get_mut(i) {
                        *place = mould;
                    }
                    say!("change mould")
                }
                _ => {
                    notes.moulds.push(mould);
                    say!("add mould")
                }
            };
            actions.push(Action::Setting(SettingAction::Notes(label, Box::new(notes))));
            true
        }
        Err(text) => {
            draft.error = Some(text);
            false
        }
    }
}

/// A mould as a draft.
fn of(mould: &Mould, at: Option<usize>, style: NumberStyle) -> MouldDraft {
    let text = |x: f64| format_full(x, style);
    let mut sizes = <[String; 3]>::default();
    for (place, size) in sizes.iter_mut().zip(mould.shape.sizes_mm()) {
        *place = text(size);
    }
    MouldDraft {
        at,
        name: mould.name.clone(),
        shape: SHAPES.iter().position(|s| s.0 == mould.shape.name()).unwrap_or(0),
        sizes,
        measured: mould.measured_ml.map_or(String::new(), |v| format!("{} mL", text(v))),
        wall: mould.wall,
        error: None,
    }
}

fn finish(
    draft: &MouldDraft,
    own: &[Mould],
    syntax: Syntax,
    style: NumberStyle,
) -> Result<Mould, FieldError> {
    let name = draft.name.trim();
    if name.is_empty() {
        return Err(FieldError::new(say!("Name"), say!("Give the mould a name")));
    }
    let taken = own.iter().enumerate().any(|(i, m)| m.name == name && Some(i) != draft.at);
    if taken {
        let text = say!("{name} is there already; give this one another name", name);
        return Err(FieldError::new(say!("Name"), text));
    }
    if draft.at.is_none() && own.len() >= MOULDS_MAX {
        return Err(
            say!("A workshop keeps at most {moulds_max} moulds", moulds_max = MOULDS_MAX).into()
        );
    }
    let (shape, labels) = SHAPES.get(draft.shape).copied().ok_or(say!("Choose an outline"))?;
    let mut sizes = Vec::new();
    for (text, label) in draft.sizes.iter().zip(labels) {
        let what = label.trim_end_matches(", mm");
        sizes.push(number_in(text, what, &[Unit::Millimetre], syntax).at(label)?.0);
    }
    let shape = Shape::of(shape, &sizes).ok_or(say!("Enter every size"))?;
    if !shape.is_sound() {
        // The first that cannot be.
        let off = sizes.iter().zip(labels).find(|(mm, _)| !(**mm > 0.0 && **mm <= MOST_MM));
        let text = say!("Every size is above 0 and at most {most_mm} mm", most_mm = MOST_MM);
        return Err(FieldError::new(off.map_or("", |(_, label)| *label), text));
    }
    let measured_ml = match draft.measured.trim() {
        "" => None,
        text => Some(volume(text, say!("Measured volume"), syntax).at(say!("Measured"))?),
    };
    let mould = Mould { name: name.to_owned(), shape, measured_ml, wall: draft.wall };
    if !mould.is_sound() {
        return Err(FieldError::new(
            say!("Measured"),
            say!("The measured volume has to be above 0"),
        ));
    }
    if !mould.volume_fits() {
        let text = say!(
            "By its sizes a cavity holds {volume_ml} mL: check the sizes and what was measured",
            volume_ml = format_f64(mould.shape.volume_ml(), 0, style)
        );
        return Err(FieldError::new(say!("Measured"), text));
    }
    Ok(mould)
}

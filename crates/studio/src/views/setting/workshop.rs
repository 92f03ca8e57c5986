//! The mould, where it stands, and the temperatures and heater of the workshop.

use egui::{ComboBox, RichText, Ui, vec2};
use quern_calc::number::{Typed, Unit, format_f64};
use quern_calc::quantity::decimal_to_f64;
use quern_calc::setting::mould::Stand;
use quern_calc::setting::notes::{FRIDGE_C, HEATER_W, PARCEL_C, ROOM_C, SettingNotes};
use quern_calc::setting::pour::PourClass;

use super::muted;
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::notices::Tone;
use crate::app::setting::SettingAction;
use crate::look::{Tokens, fonts, size};
use crate::views::grit::heading;
use crate::widgets::{RowNumber, choice};
use crate::words;

/// Temperatures that the air around a mould may have, °C: from a freezer to a warm cupboard.
const AIR_C: (f64, f64) = (-30.0, 60.0);

/// Draws the section.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("Mould and workshop"));
    mould(ui, scene, actions);
    ui.horizontal_wrapped(|ui| {
        for stand in Stand::ALL {
            let name = match stand {
                Stand::Bench => say!("On the bench"),
                Stand::Rack => say!("On a rack"),
                Stand::Fridge => say!("In the fridge"),
            };
            let on = scene.ui.setting.stand == stand;
            if ui.add(egui::Button::selectable(on, name)).clicked() && !on {
                actions.push(Action::Setting(SettingAction::Stand(stand)));
            }
        }
    });
    air(ui, scene, actions);
    filling(ui, scene);
    let notes = &scene.project.setting;
    let keep = |label, change: &dyn Fn(&mut SettingNotes)| {
        let mut notes = (**notes).clone();
        change(&mut notes);
        Action::Setting(SettingAction::Notes(label, Box::new(notes)))
    };
    let degrees = "°C";
    temperature(
        ui,
        scene,
        say!("Room"),
        notes.room_c,
        ROOM_C,
        (-30.0, 50.0),
        degrees,
        actions,
        &|c| keep(say!("change room temperature"), &|n| n.room_c = c),
    );
    temperature(
        ui,
        scene,
        say!("Fridge"),
        notes.fridge_c,
        FRIDGE_C,
        (-30.0, 20.0),
        degrees,
        actions,
        &|c| keep(say!("change fridge temperature"), &|n| n.fridge_c = c),
    );
    temperature(
        ui,
        scene,
        say!("Warm parcel"),
        notes.parcel_c,
        PARCEL_C,
        (0.0, 90.0),
        degrees,
        actions,
        &|c| keep(say!("change parcel temperature"), &|n| n.parcel_c = c),
    );
    temperature(
        ui,
        scene,
        say!("Heater"),
        notes.heater_w,
        HEATER_W,
        (10.0, 50_000.0),
        "W",
        actions,
        &|w| keep(say!("change heater"), &|n| n.heater_w = w),
    );
    reference(ui, scene, actions);
}

/// The mould in use, out of the workshop's own and the generic ones.
fn mould(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let notes = &scene.project.setting;
    let now = notes.mould_in_use();
    let shown =
        now.as_ref().map_or(std::borrow::Cow::Borrowed(say!("none")), |m| words::engine(&m.name));
    let row = Command::Moulds.row();
    ui.horizontal(|ui| {
        // As wide as the button leaves it, however long the name is.
        let ink = Tokens::of(ui).ink;
        let button = ui.painter().layout_no_wrap(row.name().to_owned(), fonts::text(), ink);
        let room = (ui.available_width() - (button.size().x + 32.0).max(92.0)).max(0.0);
        ui.allocate_ui(vec2(room + 8.0, size::CONTROL), |ui| {
            let list = |ui: &mut Ui| {
                for m in notes.all_moulds() {
                    let on = now.as_ref().is_some_and(|n| n.name == m.name);
                    if choice(ui, on, words::engine(&m.name)).clicked() && !on {
                        let mut notes = (**notes).clone();
                        notes.mould = Some(m.name.clone());
                        let action = SettingAction::Notes(say!("choose mould"), Box::new(notes));
                        actions.push(Action::Setting(action));
                        ui.close();
                    }
                }
            };
            ComboBox::from_id_salt("setting-mould")
                .selected_text(shown.as_ref())
                .width(room)
                .truncate()
                .show_ui(ui, list)
                .response
                .accessible_name(say!("Mould: {shown}", shown));
        });
        if ui.button(row.name()).on_hover_text(row.about()).clicked() {
            actions.push(Action::Run(Command::Moulds));
        }
    });
}

/// The air around the mould, where it is neither the room's nor the fridge's.
fn air(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let notes = &scene.project.setting;
    let usual = match scene.ui.setting.stand {
        Stand::Fridge => notes.fridge(),
        Stand::Bench | Stand::Rack => notes.room(),
    };
    let own = scene.ui.setting.air_c;
    temperature(ui, scene, say!("Air there"), own, usual, AIR_C, "°C", actions, &|c| {
        Action::Setting(SettingAction::Air(c))
    });
}

/// What a cavity takes and how many the batch fills.
fn filling(ui: &mut Ui, scene: &Scene<'_>) {
    let Some(here) = scene.setting.sides.first() else { return };
    let style = scene.style();
    let whole = |x: f64| format_f64(x, 0, style);
    let Some(f) = &here.figures.filling else { return };
    let mut text = say!("{ml} mL take {grams} g", ml = whole(f.ml), grams = whole(f.grams));
    if let Some(n) = f.cavities {
        text.push_str(&counted!(
            "; the batch fills {n} cavity",
            "; the batch fills {n} cavities",
            n
        ));
    }
    if let Some(s) = f.shrink_percent.filter(|s| *s >= 0.5) {
        let s = format_f64(s, 1, style);
        let runs = here.figures.pour.as_ref().is_ok_and(|p| p.class < PourClass::Press);
        let how = if runs { say!(", so pour to the brim and top up") } else { "" };
        text.push_str(&say!("; shrinks {s} % in setting{how}", s, how));
    }
    muted(ui, &text);
}

/// A figure of the workshop; empty takes the usual one.
#[allow(clippy::too_many_arguments)] // one row of four that differ in nothing else
fn temperature(
    ui: &mut Ui,
    scene: &Scene<'_>,
    name: &str,
    own: Option<f64>,
    usual: f64,
    range: (f64, f64),
    unit: &str,
    actions: &mut Vec<Action>,
    set: &dyn Fn(Option<f64>) -> Action,
) {
    let style = scene.style();
    ui.horizontal(|ui| {
        let left = egui::Layout::left_to_right(egui::Align::Center);
        ui.allocate_ui_with_layout(vec2(86.0, size::CONTROL), left, |ui| {
            ui.set_min_width(86.0);
            ui.add(egui::Label::new(name).truncate());
        });
        let places = u32::from(own.is_some_and(|x| (x - x.round()).abs() > 0.04));
        let label = format!("{name}, {unit}");
        let hint = format_f64(usual, 0, style);
        match number(ui, scene, &label, own, places, 64.0, &hint) {
            None => {}
            Some(None) => actions.push(set(None)),
            Some(Some(typed)) => {
                let x = decimal_to_f64(typed.value);
                let fits =
                    typed.unit.is_none() || (unit == "°C" && typed.unit == Some(Unit::Celsius));
                if fits && (range.0..=range.1).contains(&x) {
                    actions.push(set(Some(x)));
                } else {
                    let text = say!(
                        "{name} is from {low} to {high} {unit}",
                        name,
                        low = format_f64(range.0, 0, style),
                        high = format_f64(range.1, 0, style),
                        unit
                    );
                    actions.push(Action::Say(Tone::Error, text));
                }
            }
        }
        let text = if own.is_some() { unit.to_owned() } else { say!("{unit}, usual", unit) };
        ui.label(RichText::new(text).font(fonts::small()));
    });
}

/// The bar that firmness is compared with.
fn reference(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let notes = &scene.project.setting;
    let now = notes.reference.as_ref();
    let name = now.and_then(|id| scene.project.formula(id)).map(|f| f.name.clone());
    let shown = match (&name, now) {
        (Some(name), _) => name.as_str(),
        (None, Some(_)) => say!("a formula that is gone"),
        (None, None) => say!("none: each against itself"),
    };
    ui.horizontal(|ui| {
        ui.label(say!("Reference bar"));
        ComboBox::from_id_salt("setting-reference")
            .selected_text(shown)
            .width((ui.available_width() - 8.0).max(0.0))
            .truncate()
            .show_ui(ui, |ui| {
                let mut choose = |id: Option<quern_calc::formula::FormulaId>| {
                    let mut notes = (**notes).clone();
                    notes.reference = id;
                    let action =
                        SettingAction::Notes(say!("choose reference bar"), Box::new(notes));
                    actions.push(Action::Setting(action));
                };
                if choice(ui, now.is_none(), say!("none: each against itself")).clicked() {
                    choose(None);
                    ui.close();
                }
                for f in &scene.project.formulas {
                    if choice(ui, now == Some(&f.id), &f.name).clicked() {
                        choose(Some(f.id.clone()));
                        ui.close();
                    }
                }
            })
            .response
            .accessible_name(say!("Reference bar: {shown}", shown));
    });
}

/// A number field in a row; gives a finished entry, `None` inside it when it was emptied.
pub fn number(
    ui: &mut Ui,
    scene: &Scene<'_>,
    name: &str,
    value: Option<f64>,
    places: u32,
    width: f32,
    hint: &str,
) -> Option<Option<Typed>> {
    let row = RowNumber { name, value, places, width, hint };
    row.show(ui, scene.style(), scene.syntax())
}

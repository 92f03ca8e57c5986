//! What was measured on the formula, with the estimate before and after.

use egui::{Label, RichText, Ui};
use quern_calc::evaluate::check_words;

use super::muted;
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::setting::SettingAction;
use crate::look::icons::Icon;
use crate::views::grit::heading;
use crate::widgets::icon_button;
use crate::words;

/// Draws the section.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, &say!("Measured on {name}", name = scene.here.name));
    let Some(here) = scene.setting.sides.first() else { return };
    let notes = &scene.project.setting;
    let id = &scene.formula().id;
    let own: Vec<usize> = notes
        .measured
        .iter()
        .enumerate()
        .filter(|(_, m)| m.formula == *id)
        .map(|(i, _)| i)
        .collect();
    if own.is_empty() {
        muted(
            ui,
            say!(
                "Nothing yet. One set point brings the melt curve in line with your fats; a flow, a weight or a needle depth the rest"
            ),
        );
    }
    for (check, at) in here.figures.checks.iter().zip(own) {
        let Some(m) = notes.measured.get(at) else { continue };
        ui.horizontal_top(|ui| {
            ui.vertical(|ui| {
                ui.set_width((ui.available_width() - 36.0).max(0.0));
                ui.spacing_mut().item_spacing.y = 1.0;
                let (what, estimate) = check_words(check, scene.style());
                let (what, estimate) = (words::engine(what), words::engine(estimate));
                ui.add(Label::new(RichText::new(what.as_ref())).wrap());
                let day = m.date.map_or(String::new(), |d| format!(", {}", scene.day_words(d)));
                muted(ui, &estimate);
                muted(ui, &format!("{}{day}", m.name));
            });
            let what = words::engine(check_words(check, scene.style()).0);
            let name = say!("Remove measurement {n}: {what}", n = at + 1, what);
            if icon_button(ui, Icon::Remove, &name, &name, true).clicked() {
                let mut notes = (**notes).clone();
                notes.measured.remove(at);
                let action = SettingAction::Notes(say!("remove measurement"), Box::new(notes));
                actions.push(Action::Setting(action));
            }
        });
    }
    let row = Command::AddMeasurement.row();
    if ui.button(row.name()).on_hover_text(row.about()).clicked() {
        actions.push(Action::Run(Command::AddMeasurement));
    }
}

//! Settings: every choice takes effect at once, and is kept.

use egui::{ComboBox, RichText, Ui};

use super::{note, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::preferences::{Listed, Part, listed};
use crate::look::{Tokens, fonts, size};
use crate::words;

/// Width of the names at the left.
const NAMES: f32 = 150.0;
/// Choices that stand side by side at most; more of them are in a list.
const SIDE_BY_SIDE: usize = 4;

/// Shows the dialog.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) -> bool {
    ui.set_width(640.0_f32.min(ui.available_width()));
    title(ui, say!("Settings"));
    let t = Tokens::of(ui);
    let all = listed(scene.settings, &scene.project.currency);
    for part in Part::ALL {
        ui.add_space(4.0);
        ui.label(
            RichText::new(words::text(part.name())).font(fonts::strong(size::SMALL)).color(t.muted),
        );
        for setting in all.iter().filter(|s| s.part == part) {
            row(ui, setting, actions);
        }
    }
    ui.add_space(8.0);
    note(ui, say!("A choice takes effect at once and is kept; the project is not touched"));
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        let close = crate::widgets::primary_button(ui, say!("Close"));
        super::focus_first(ui, &close);
        close.clicked()
    })
    .inner
}

fn row(ui: &mut Ui, setting: &Listed, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        let left = egui::Layout::left_to_right(egui::Align::Center);
        ui.allocate_ui_with_layout(egui::vec2(NAMES, size::CONTROL), left, |ui| {
            ui.set_min_width(NAMES);
            ui.label(setting.name);
        });
        ui.vertical(|ui| {
            if setting.choices.len() <= SIDE_BY_SIDE {
                ui.horizontal_wrapped(|ui| {
                    ui.set_min_height(size::CONTROL);
                    ui.spacing_mut().item_spacing.x = 16.0;
                    for (i, (choice, prefer)) in setting.choices.iter().enumerate() {
                        let response = ui
                            .radio(i == setting.at, choice)
                            .accessible_name(format!("{}: {choice}", setting.name));
                        if response.clicked() && i != setting.at {
                            actions.push(Action::Prefer(*prefer));
                        }
                    }
                });
            } else {
                ComboBox::from_id_salt(setting.name)
                    .selected_text(setting.now())
                    .width(110.0)
                    .height(360.0)
                    .show_ui(ui, |ui| {
                        for (i, (choice, prefer)) in setting.choices.iter().enumerate() {
                            if ui.selectable_label(i == setting.at, choice).clicked() {
                                actions.push(Action::Prefer(*prefer));
                            }
                        }
                    })
                    .response
                    .accessible_name(format!("{}: {}", setting.name, setting.now()));
            }
            if !setting.about.is_empty() {
                note(ui, setting.about);
            }
        });
    });
}

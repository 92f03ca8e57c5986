//! A strip that says that the formula at hand is read-only, and how to go on.

use egui::{Align, Layout, RichText, Sense, Ui, vec2};

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::look::icons::{self, Sign};
use crate::look::{Tokens, fonts};

/// Draws the strip.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, reason: &str, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    ui.horizontal_centered(|ui| {
        ui.add_space(14.0);
        let (rect, _) = ui.allocate_exact_size(vec2(14.0, 18.0), Sense::hover());
        icons::sign(ui.painter(), rect.center(), Sign::Note, t.note);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.add_space(12.0);
            let next = scene.project.next_version(&scene.formula().id);
            let button = ui.button(say!("Start version {next}", next));
            if button.on_hover_text(Command::StartVersion.row().about()).clicked() {
                actions.push(Action::Run(Command::StartVersion));
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let text = RichText::new(reason).font(fonts::small());
                ui.add(egui::Label::new(text).truncate()).on_hover_text(reason);
            });
        });
    });
}

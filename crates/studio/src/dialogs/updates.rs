//! What the built-in library has that differs from the project's materials.

use std::collections::BTreeSet;

use egui::{RichText, ScrollArea, Ui};
use quern_calc::formula::MaterialId;

use super::{Foot, foot, note, title};
use crate::app::Scene;
use crate::app::action::Action;

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    chosen: &mut BTreeSet<MaterialId>,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(600.0_f32.min(ui.available_width()));
    title(ui, say!("Library updates"));
    let built_in = quern_project::library::builtin();
    let updates = quern_project::library::updates(scene.project, built_in);
    note(
        ui,
        &say!(
            "Built-in library edition {edition}, as of {as_of}. Prices and figures that you entered stay",
            edition = built_in.edition,
            as_of = built_in.as_of
        ),
    );
    ui.add_space(6.0);
    if updates.is_empty() {
        ui.label(say!("Every material of this project is as the built-in library has it"));
    }
    ScrollArea::vertical().max_height(340.0).id_salt("updates").show(ui, |ui| {
        for update in &updates {
            let mut on = chosen.contains(&update.id);
            if ui.checkbox(&mut on, RichText::new(&update.name).strong()).changed() {
                if on {
                    chosen.insert(update.id.clone());
                } else {
                    chosen.remove(&update.id);
                }
            }
            for (field, before, after) in &update.changes {
                note(ui, &format!("{field}: {before} → {after}"));
            }
        }
    });
    if updates.is_empty() {
        ui.add_space(8.0);
        return ui.button(say!("Close")).clicked();
    }
    match foot(ui, say!("Take the chosen")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => {
            if !chosen.is_empty() {
                actions.push(Action::UpdateMaterials(chosen.iter().cloned().collect()));
            }
            true
        }
    }
}

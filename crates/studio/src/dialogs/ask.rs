//! Questions about files.

use egui::{TextEdit, Ui};

use super::{Foot, focus_first, foot, note, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::state::HeldUp;
use crate::widgets::primary_button;

/// A path typed by hand.
pub fn path(
    ui: &mut Ui,
    save: bool,
    path: &mut String,
    why: &str,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(520.0_f32.min(ui.available_width()));
    title(ui, if save { "Save the project" } else { "Open a project" });
    note(ui, why);
    ui.add_space(6.0);
    let response = ui
        .add(
            TextEdit::singleline(path)
                .id(egui::Id::unique("path-field"))
                .desired_width(f32::INFINITY)
                .hint_text("Path to a .ron file"),
        )
        .accessible_name("Path of the project file");
    focus_first(ui, &response);
    let enter = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
    let pressed = foot(ui, if save { "Save" } else { "Open" });
    if (pressed == Foot::Do || enter) && !path.trim().is_empty() {
        let path = std::path::PathBuf::from(path.trim());
        actions.push(if save { Action::SaveTo(path) } else { Action::OpenPath(path) });
        return true;
    }
    pressed == Foot::Cancel
}

/// Unsaved changes.
pub fn unsaved(ui: &mut Ui, scene: &Scene<'_>, next: &HeldUp, actions: &mut Vec<Action>) -> bool {
    ui.set_width(440.0_f32.min(ui.available_width()));
    title(ui, "Save your changes first?");
    let what = match next {
        HeldUp::New | HeldUp::Skeleton(_) => "Starting a new project",
        HeldUp::Open | HeldUp::OpenPath(_) | HeldUp::Demo(_) => "Opening another project",
        HeldUp::Revert => "Reading the file again",
        HeldUp::Close => "Closing the window",
    };
    note(
        ui,
        &format!("{what} would lose the changes in {} since it was last saved", scene.project.name),
    );
    ui.add_space(12.0);
    let mut close = false;
    ui.horizontal_wrapped(|ui| {
        let save = primary_button(ui, "Save");
        focus_first(ui, &save);
        if save.clicked() {
            actions.push(Action::Proceed { save: true });
        }
        if ui.button("Lose the changes").clicked() {
            actions.push(Action::Proceed { save: false });
        }
        if ui.button("Go back").clicked() {
            close = true;
        }
    });
    close
}

/// Another window changed the file.
pub fn changed(ui: &mut Ui, text: &str, actions: &mut Vec<Action>) -> bool {
    ui.set_width(480.0_f32.min(ui.available_width()));
    title(ui, "The file has changed on disk");
    note(ui, text);
    ui.add_space(12.0);
    let mut close = false;
    ui.horizontal_wrapped(|ui| {
        let save_as = primary_button(ui, "Save as...");
        focus_first(ui, &save_as);
        if save_as.clicked() {
            actions.push(Action::Run(crate::app::commands::Command::SaveAs));
            close = true;
        }
        if ui.button("Write over it").on_hover_text("What is there now stays as a backup").clicked()
        {
            actions.push(Action::SaveOver);
            close = true;
        }
        if ui.button("Go back").clicked() {
            close = true;
        }
    });
    close
}

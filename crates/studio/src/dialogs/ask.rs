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
    title(ui, if save { say!("Save the project") } else { say!("Open a project") });
    note(ui, why);
    ui.add_space(6.0);
    let response = ui
        .add(
            TextEdit::singleline(path)
                .id(egui::Id::unique("path-field"))
                .desired_width(f32::INFINITY)
                .hint_text(say!("Path to a .ron file")),
        )
        .accessible_name(say!("Path of the project file"));
    focus_first(ui, &response);
    let enter = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
    let pressed = foot(ui, if save { say!("Save") } else { say!("Open") });
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
    title(ui, say!("Save your changes first?"));
    let project = &scene.project.name;
    let what = match next {
        HeldUp::New | HeldUp::Skeleton(_) => say!(
            "Starting a new project would lose the changes in {project} since it was last saved",
            project
        ),
        HeldUp::Open | HeldUp::OpenPath(_) | HeldUp::Demo(_) => say!(
            "Opening another project would lose the changes in {project} since it was last saved",
            project
        ),
        HeldUp::Revert => say!(
            "Reading the file again would lose the changes in {project} since it was last saved",
            project
        ),
        HeldUp::Close => say!(
            "Closing the window would lose the changes in {project} since it was last saved",
            project
        ),
    };
    note(ui, &what);
    ui.add_space(12.0);
    let mut close = false;
    ui.horizontal_wrapped(|ui| {
        let save = primary_button(ui, say!("Save"));
        focus_first(ui, &save);
        if save.clicked() {
            actions.push(Action::Proceed { save: true });
        }
        if ui.button(say!("Lose the changes")).clicked() {
            actions.push(Action::Proceed { save: false });
        }
        if ui.button(say!("Go back")).clicked() {
            close = true;
        }
    });
    close
}

/// Another window changed the file.
pub fn changed(ui: &mut Ui, text: &str, actions: &mut Vec<Action>) -> bool {
    ui.set_width(480.0_f32.min(ui.available_width()));
    title(ui, say!("The file has changed on disk"));
    note(ui, text);
    ui.add_space(12.0);
    let mut close = false;
    ui.horizontal_wrapped(|ui| {
        let save_as = primary_button(ui, say!("Save as..."));
        focus_first(ui, &save_as);
        if save_as.clicked() {
            actions.push(Action::Run(crate::app::commands::Command::SaveAs));
            close = true;
        }
        if ui
            .button(say!("Write over it"))
            .on_hover_text(say!("What is there now stays as a backup"))
            .clicked()
        {
            actions.push(Action::SaveOver);
            close = true;
        }
        if ui.button(say!("Go back")).clicked() {
            close = true;
        }
    });
    close
}

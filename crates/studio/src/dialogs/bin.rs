//! The bin: formulas that were removed.

use egui::{ScrollArea, Ui};
use quern_project::Binned;

use super::{focus_first, note, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::versions::{BinDraft, BinQuestion, VersionAction};
use crate::widgets::primary_button;

fn words(binned: &Binned) -> String {
    let versions = match binned.kept.len() {
        0 => String::new(),
        1 => ", with 1 kept version".to_owned(),
        n => format!(", with {n} kept versions"),
    };
    let number = binned.formula.version.number;
    let day = binned.date.words();
    format!("{}, version {number}{versions}, removed on {day}", binned.formula.name)
}

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut BinDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(520.0_f32.min(ui.available_width()));
    title(ui, "Bin");
    let bin = &scene.project.bin;
    if bin.is_empty() {
        ui.label("The bin is empty");
        note(ui, "Removed formulas come here, with their versions and their batch plan");
        ui.add_space(8.0);
        let close = ui.button("Close");
        focus_first(ui, &close);
        return close.clicked();
    }
    if draft.chosen.is_none_or(|i| i >= bin.len()) {
        draft.chosen = Some(bin.len() - 1);
    }
    ScrollArea::vertical().max_height(260.0).id_salt("bin").show(ui, |ui| {
        // The newest first.
        for (i, binned) in bin.iter().enumerate().rev() {
            let here = draft.chosen == Some(i);
            let response = ui.selectable_label(here, format!("{}. {}", i + 1, words(binned)));
            if here {
                focus_first(ui, &response);
            }
            if response.clicked() {
                *draft = BinDraft { chosen: Some(i), question: None };
            }
        }
    });
    ui.add_space(8.0);
    match draft.question {
        None => buttons(ui, draft, actions),
        Some(question) => {
            ask(ui, scene, draft, question, actions);
            false
        }
    }
}

fn buttons(ui: &mut Ui, draft: &mut BinDraft, actions: &mut Vec<Action>) -> bool {
    let mut close = false;
    ui.horizontal_wrapped(|ui| {
        if primary_button(ui, "Restore").clicked()
            && let Some(at) = draft.chosen
        {
            actions.push(Action::Version(VersionAction::Restore(at)));
        }
        if ui.button("Remove for good...").clicked() {
            draft.question = Some(BinQuestion::One);
        }
        if ui.button("Empty the bin...").clicked() {
            draft.question = Some(BinQuestion::All);
        }
        close = ui.button("Close").clicked();
    });
    close
}

/// Asks before anything goes for good; the safe answer has the focus.
fn ask(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut BinDraft,
    question: BinQuestion,
    actions: &mut Vec<Action>,
) {
    let chosen = draft.chosen.and_then(|i| Some((i, scene.project.bin.get(i)?)));
    let (text, does) = match (question, chosen) {
        (BinQuestion::One, Some((_, binned))) => {
            (format!("Remove {} for good?", binned.formula.name), "Remove for good")
        }
        _ => (format!("Remove all {} for good?", scene.project.bin.len()), "Empty the bin"),
    };
    ui.label(text);
    note(ui, "Undo brings it back until the project is closed");
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        if ui.button("Leave in the bin").clicked() {
            draft.question = None;
        }
        if ui.button(does).clicked() {
            draft.question = None;
            let action = match (question, chosen) {
                (BinQuestion::One, Some((at, _))) => VersionAction::RemoveForGood(at),
                _ => VersionAction::EmptyBin,
            };
            actions.push(Action::Version(action));
        }
    });
}

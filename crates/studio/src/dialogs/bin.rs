//! The bin: formulas that were removed.

use egui::{ScrollArea, Ui};
use quern_project::Binned;

use super::{focus_first, note, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::versions::{BinDraft, BinQuestion, VersionAction};
use crate::widgets::primary_button;
use crate::words;

fn words(binned: &Binned) -> String {
    let versions = match binned.kept.len() {
        0 => String::new(),
        1 => say!(", with 1 kept version").to_owned(),
        n => say!(", with {n} kept versions", n),
    };
    let number = binned.formula.version.number;
    let day = words::engine(binned.date.words());
    say!(
        "{formula}, version {number}{versions}, removed on {day}",
        formula = binned.formula.name,
        number,
        versions,
        day
    )
}

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut BinDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(520.0_f32.min(ui.available_width()));
    title(ui, say!("Bin"));
    let bin = &scene.project.bin;
    if bin.is_empty() {
        ui.label(say!("The bin is empty"));
        note(ui, say!("Removed formulas come here, with their versions and their batch plan"));
        ui.add_space(8.0);
        let close = ui.button(say!("Close"));
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
        if primary_button(ui, say!("Restore")).clicked()
            && let Some(at) = draft.chosen
        {
            actions.push(Action::Version(VersionAction::Restore(at)));
        }
        if ui.button(say!("Remove for good...")).clicked() {
            draft.question = Some(BinQuestion::One);
        }
        if ui.button(say!("Empty the bin...")).clicked() {
            draft.question = Some(BinQuestion::All);
        }
        close = ui.button(say!("Close")).clicked();
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
        (BinQuestion::One, Some((_, binned))) => (
            say!("Remove {formula} for good?", formula = binned.formula.name),
            say!("Remove for good"),
        ),
        _ => (say!("Remove all {n} for good?", n = scene.project.bin.len()), say!("Empty the bin")),
    };
    ui.label(text);
    note(ui, say!("Undo brings it back until the project is closed"));
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        if ui.button(say!("Leave in the bin")).clicked() {
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

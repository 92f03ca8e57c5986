//! Keeping a version, and the list of versions.

use egui::{ComboBox, RichText, ScrollArea, Ui};
use quern_calc::formula::Formula;
use quern_calc::quantity::Date;

use super::{Foot, error, focus_first, foot, label_cell, note, text_row, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::versions::{Difference, KeepDraft, VersionAction, VersionsDraft};
use crate::look::{Tokens, fonts, size};
use crate::widgets::table;
use crate::words;

/// Keeps the version at work.
pub fn keep(ui: &mut Ui, draft: &mut KeepDraft, actions: &mut Vec<Action>) -> bool {
    ui.set_width(500.0_f32.min(ui.available_width()));
    title(ui, &say!("Keep version {number}", number = draft.number));
    let frozen = draft.before.is_frozen();
    note(
        ui,
        say!(
            "A kept version stays as it is for good; the list of versions compares it and goes back to it. Released and retired versions are read-only for good, but for the label and what was said about checks"
        ),
    );
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        let label = label_cell(ui, say!("State"));
        ComboBox::from_id_salt("keep-state")
            .selected_text(words::text(draft.state.name()))
            .width(150.0)
            .show_ui(ui, |ui| {
                for state in draft.before.choices() {
                    ui.selectable_value(&mut draft.state, *state, words::text(state.name()));
                }
            })
            .response
            .labelled_by(label.id)
            .accessible_name(say!("State"));
    });
    ui.add_enabled_ui(!frozen, |ui| {
        let label = say!("Why version {number}", number = draft.number);
        text_row(ui, &label, &mut draft.reason, 340.0, say!("Why it was made"));
    });
    let text = say!("Go on as version {next}, a draft", next = draft.next);
    ui.checkbox(&mut draft.go_on, text);
    if draft.go_on {
        let label = say!("Why version {next}", next = draft.next);
        text_row(
            ui,
            &label,
            &mut draft.next_reason,
            340.0,
            say!("What it is for, as far as known"),
        );
    } else {
        note(ui, say!("Only state and reason are set; the formula stays on this version"));
    }
    error(ui, draft.error.as_ref());
    let does = if draft.go_on { say!("Keep") } else { say!("Set") };
    match foot(ui, does) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => {
            let reason = draft.reason.trim().to_owned();
            if reason.is_empty() && !frozen {
                draft.error = Some(say!(
                    "Write why version {number} was made, so that the list tells versions apart",
                    number = draft.number
                ));
                return false;
            }
            let next = draft.go_on.then(|| draft.next_reason.trim().to_owned());
            let action = VersionAction::Keep { state: draft.state, reason, next };
            actions.push(Action::Version(action));
            true
        }
    }
}

/// A version in the list.
struct Entry<'a> {
    formula: &'a Formula,
    kept: Option<Date>,
}

impl Entry<'_> {
    fn number(&self) -> u32 {
        self.formula.version.number
    }

    fn words(&self) -> String {
        let state = words::text(self.formula.version.state.name());
        match self.kept {
            None => say!("Version {number}, {state}, at work", number = self.number(), state),
            Some(date) => say!(
                "Version {number}, {state}, kept on {date}",
                number = self.number(),
                state,
                date = words::engine(date.words())
            ),
        }
    }

    /// Where it came from, and why it was made.
    fn about(&self, scene: &Scene<'_>) -> String {
        let version = &self.formula.version;
        let from = match &version.parent {
            None => String::new(),
            Some((id, number)) if *id == self.formula.id => say!("From version {number}", number),
            Some((id, number)) => {
                let name = scene.project.formula(id).map_or(id.as_str(), |f| f.name.as_str());
                say!("From {name}, version {number}", name, number)
            }
        };
        match (from.is_empty(), version.reason.is_empty()) {
            (true, true) => say!("No reason was written").to_owned(),
            (true, false) => version.reason.clone(),
            (false, true) => from,
            (false, false) => format!("{from}: {}", version.reason),
        }
    }
}

/// Newest first; the one at work always leads.
fn entries<'a>(scene: &'a Scene<'_>) -> Vec<Entry<'a>> {
    let formula = scene.formula();
    let mut kept: Vec<Entry<'a>> = scene
        .project
        .kept_of(&formula.id)
        .map(|k| Entry { formula: &k.formula, kept: Some(k.date) })
        .collect();
    kept.sort_by_key(|e| std::cmp::Reverse(e.number()));
    let mut all = vec![Entry { formula, kept: None }];
    all.extend(kept);
    all
}

/// The list of versions of the formula at hand.
pub fn list(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut VersionsDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(640.0_f32.min(ui.available_width()));
    title(ui, &say!("Versions of {formula}", formula = scene.formula().name));
    let all = entries(scene);
    if all.len() == 1 {
        note(ui, say!("No earlier version is kept yet; Keep this version... keeps one"));
    }
    ScrollArea::vertical().max_height(190.0).id_salt("versions").show(ui, |ui| {
        for entry in &all {
            let here = entry.number() == draft.chosen;
            let response = ui.selectable_label(here, entry.words());
            if here {
                focus_first(ui, &response);
            }
            if response.clicked() && !here {
                let (chosen, with) = (entry.number(), other(&all, entry.number(), draft.with));
                actions.push(Action::Version(VersionAction::Choose { chosen, with }));
            }
            ui.indent(("version-about", entry.number()), |ui| note(ui, &entry.about(scene)));
        }
    });
    ui.add_space(8.0);
    if let Some(entry) = all.iter().find(|e| e.number() == draft.chosen) {
        chosen(ui, scene, entry, draft, actions);
    }
    if all.len() > 1 {
        held_against(ui, &all, draft, actions);
        difference(ui, scene, &draft.difference);
    }
    ui.add_space(8.0);
    ui.button(say!("Close")).clicked()
}

/// What a version is held against: what it was before, but never itself.
fn other(all: &[Entry<'_>], chosen: u32, with: u32) -> u32 {
    if with != chosen {
        return with;
    }
    all.iter().map(Entry::number).find(|n| *n != chosen).unwrap_or(with)
}

/// What can be done with the chosen version.
fn chosen(
    ui: &mut Ui,
    scene: &Scene<'_>,
    entry: &Entry<'_>,
    draft: &mut VersionsDraft,
    actions: &mut Vec<Action>,
) {
    let number = entry.number();
    let kept = entry.kept.is_some();
    ui.label(RichText::new(say!("Version {number}", number)).font(fonts::strong(size::TEXT)));
    ui.horizontal_wrapped(|ui| {
        let beside = egui::Button::new(say!("Show beside the one at work"));
        if ui.add_enabled(kept, beside).on_hover_text(say!("In the Compare view")).clicked() {
            let id = entry.formula.id.clone();
            actions.push(Action::Version(VersionAction::Beside(id, number)));
        }
        for state in entry.formula.version.state.choices().iter().skip(1) {
            let button = ui.button(say!("Mark as {state}", state = words::text(state.name())));
            let about = if state.is_frozen() {
                say!("A version marked so is read-only for good")
            } else {
                say!("Its content stays as it is")
            };
            if button.on_hover_text(about).clicked() {
                actions.push(Action::Version(VersionAction::State(number, *state)));
            }
        }
        let back = egui::Button::new(say!("Go back to it..."));
        let about = say!("Go on from what this version holds; no version is lost");
        if ui.add_enabled(kept, back).on_hover_text(about).clicked() {
            draft.going_back = Some(say!("Back to version {number}", number));
        }
    });
    if let Some(reason) = &mut draft.going_back {
        let next = scene.project.next_version(&entry.formula.id);
        note(
            ui,
            &say!(
                "The version at work is kept as it is, and version {next} goes on with what version {number} holds. Name and record of printed labels stay",
                next,
                number
            ),
        );
        let enter = text_row(ui, &say!("Why version {next}", next), reason, 340.0, "");
        let reason = reason.trim().to_owned();
        ui.horizontal(|ui| {
            let does =
                crate::widgets::primary_button(ui, &say!("Go back to version {number}", number));
            if does.clicked() || enter {
                actions.push(Action::Version(VersionAction::GoBack(number, reason)));
            } else if ui.button(say!("Stay")).clicked() {
                draft.going_back = None;
            }
        });
    }
}

/// The other version of the difference.
fn held_against(ui: &mut Ui, all: &[Entry<'_>], draft: &VersionsDraft, actions: &mut Vec<Action>) {
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        let label = label_cell(ui, say!("Held against"));
        ComboBox::from_id_salt("versions-with")
            .selected_text(say!("Version {with}", with = draft.with))
            .width(200.0)
            .show_ui(ui, |ui| {
                for entry in all.iter().filter(|e| e.number() != draft.chosen) {
                    let (chosen, with) = (draft.chosen, entry.number());
                    if ui.selectable_label(with == draft.with, entry.words()).clicked() {
                        actions.push(Action::Version(VersionAction::Choose { chosen, with }));
                    }
                }
            })
            .response
            .labelled_by(label.id)
            .accessible_name(say!("Held against"));
    });
}

/// What differs, in words and figures.
fn difference(ui: &mut Ui, scene: &Scene<'_>, difference: &Difference) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let (from, to) = difference.numbers;
    if from == to {
        return;
    }
    let count = match difference.words.len() {
        0 => say!("nothing differs").to_owned(),
        n => counted!("{n} change", "{n} changes", n),
    };
    table::title(ui, &say!("From version {from} to version {to}", from, to), &count);
    for words in &difference.words {
        ui.add(egui::Label::new(words.as_str()).wrap());
    }
    if difference.figures.is_empty() {
        return;
    }
    ui.add_space(6.0);
    let head = |text: String| RichText::new(text).font(fonts::strong(size::SMALL)).color(t.muted);
    let heads = [
        head(say!("Version {from}", from)),
        head(say!("Version {to}", to)),
        head(say!("difference").to_owned()),
    ];
    table::row(ui, head(say!("Figures that differ").to_owned()), &heads, true);
    for change in &difference.figures {
        let cells = [
            RichText::new(words::engine(change.from.value.text(style))),
            RichText::new(words::engine(change.to.text(style))),
            RichText::new(change.to.difference(&change.from.value, style).unwrap_or_default())
                .color(t.muted),
        ];
        table::row(ui, RichText::new(words::engine(change.from.title())), &cells, false);
    }
}

//! Carries out what is asked of versions, the bin and the steps.

use std::sync::Arc;

use quern_calc::formula::{FormulaId, VersionState};
use quern_project::{Project, VersionError};

use super::{BinDraft, HistoryDraft, KeepDraft, VersionAction, VersionsDraft};
use crate::app::commands::Command;
use crate::app::notices::Tone;
use crate::app::state::{Dialog, View};
use crate::app::{App, Side};
use crate::words;

/// How long after a refusal the same is not said again, in seconds: a drag would repeat it.
const QUIET: f64 = 2.0;

impl App {
    /// Why the formula at hand takes no change; `None` when it does.
    pub(in crate::app) fn read_only(&self) -> Option<String> {
        let project = self.document.project();
        let formula = project.formula(&self.ui.formula)?;
        let state = formula.version.state;
        state.is_frozen().then(|| {
            say!("Version {number} is {state} and read-only; start version {next_version} to change it", number = formula.version.number, state = words::text(state.name()), next_version = project.next_version(&formula.id))
        })
    }

    /// Says why a change was refused; false if none was.
    pub(in crate::app) fn tell_refusal(&mut self, ctx: &egui::Context) -> bool {
        let Some(reason) = self.document.take_refusal() else { return false };
        let now = ctx.input(|i| i.time);
        let just_said = self.refused_at.is_some_and(|at| now - at < QUIET)
            && self.notices.all().last().is_some_and(|n| n.text == reason);
        if !just_said {
            self.say(Tone::Error, reason);
        }
        self.refused_at = Some(now);
        true
    }

    /// The dialog of a command about versions, the bin or the steps.
    pub(in crate::app) fn version_dialog(&mut self, command: Command) -> Option<Dialog> {
        let project = Arc::clone(self.document.project());
        let formula = project.formula(&self.ui.formula)?;
        let version = &formula.version;
        Some(match command {
            Command::KeepVersion => Dialog::Keep(KeepDraft {
                number: version.number,
                next: project.next_version(&formula.id),
                before: version.state,
                state: version.state,
                reason: version.reason.clone(),
                go_on: true,
                next_reason: String::new(),
                error: None,
            }),
            Command::Versions => {
                let newest = project.kept_of(&formula.id).map(|k| k.formula.version.number).max();
                let chosen = newest.unwrap_or(version.number);
                let id = formula.id.clone();
                Dialog::Versions(VersionsDraft {
                    chosen,
                    with: version.number,
                    difference: Arc::new(self.difference(&id, chosen, version.number)),
                    going_back: None,
                })
            }
            Command::Bin => Dialog::Bin(BinDraft::default()),
            Command::History => Dialog::History(HistoryDraft::default()),
            _ => return None,
        })
    }

    pub(in crate::app) fn apply_version(&mut self, action: VersionAction) {
        let id = self.ui.formula.clone();
        match action {
            VersionAction::Keep { state, reason, next } => {
                self.keep_version(&id, state, &reason, next.as_deref());
            }
            VersionAction::Choose { chosen, with } => {
                let difference = Arc::new(self.difference(&id, chosen, with));
                if let Some(Dialog::Versions(draft)) = self.ui.dialogs.last_mut() {
                    *draft = VersionsDraft { chosen, with, difference, going_back: None };
                }
            }
            VersionAction::State(number, state) => {
                let label = say!(
                    "mark version {number} as {state}",
                    number,
                    state = words::text(state.name())
                );
                if self.version_step(&label, |p| p.mark_version(&id, number, state)).is_some() {
                    self.say(
                        Tone::Done,
                        say!(
                            "Version {number} is {state} now",
                            number,
                            state = words::text(state.name())
                        ),
                    );
                }
            }
            VersionAction::GoBack(number, reason) => {
                let date = self.date;
                let label = say!("go back to version {number}", number);
                if let Some(next) =
                    self.version_step(&label, |p| p.go_back(&id, number, date, &reason))
                {
                    let text = say!(
                        "Version {next} goes on from version {number}; every version before is kept",
                        next,
                        number
                    );
                    self.say(Tone::Done, text);
                }
            }
            VersionAction::Beside(id, number) => {
                self.ui.dialogs.clear();
                self.ui.view = View::Compare;
                let kept = Side { version: Some(number), ..Side::plain(id.clone()) };
                self.ui.sides = [Some(kept), Some(Side::plain(id))];
            }
            VersionAction::Restore(at) => {
                if let Some(id) = self.version_step(say!("restore formula"), |p| p.restore(at)) {
                    let name = self.document.project().formula(&id).map(|f| f.name.clone());
                    self.ui.formula = id;
                    self.ui.line = None;
                    self.ui.phase = None;
                    let text =
                        say!("{name} is back in the project", name = name.unwrap_or_default());
                    self.say(Tone::Done, text);
                }
            }
            VersionAction::RemoveForGood(at) => {
                if self.version_step(say!("remove for good"), |p| p.remove_for_good(at)).is_some() {
                    let text =
                        say!("Removed for good; undo brings it back until the project is closed");
                    self.say(Tone::Done, text);
                }
            }
            VersionAction::EmptyBin => {
                let empty = |p: &mut Project| {
                    p.bin.clear();
                    Ok(())
                };
                if self.version_step(say!("empty the bin"), empty).is_some() {
                    let text =
                        say!("The bin is empty; undo fills it again until the project is closed");
                    self.say(Tone::Done, text);
                }
            }
            VersionAction::JumpTo(done) => self.jump_to(done),
        }
    }

    /// Keeps the version at work as it stands, in its state, and goes on with the next.
    pub(in crate::app) fn start_version(&mut self) {
        let id = self.ui.formula.clone();
        let date = self.date;
        let label = say!(
            "start version {next_version}",
            next_version = self.document.project().next_version(&id)
        );
        if let Some(next) = self.version_step(&label, |p| p.start_version(&id, date, "")) {
            let text = say!("Version {next} is started; the one before is kept as it was", next);
            self.say(Tone::Done, text);
        }
    }

    fn keep_version(
        &mut self,
        id: &FormulaId,
        state: VersionState,
        reason: &str,
        next: Option<&str>,
    ) {
        let Some(formula) = self.document.project().formula(id).cloned() else { return };
        let (number, date) = (formula.version.number, self.date);
        let label = match next {
            Some(_) => say!("keep version {number}", number),
            None => {
                say!("mark version {number} as {state}", number, state = words::text(state.name()))
            }
        };
        let done = self.version_step(&label, |p| {
            if formula.version.state.is_frozen() {
                p.mark_version(id, number, state)?;
            } else {
                p.mark_working(id, state, reason)?;
            }
            next.map(|reason| p.start_version(id, date, reason)).transpose()
        });
        match done {
            Some(Some(next)) => {
                let state = words::text(state.name());
                let text = say!(
                    "Version {number} is kept, {state}; version {next} goes on",
                    number,
                    state,
                    next
                );
                self.say(Tone::Done, text);
            }
            Some(None) => {
                self.say(
                    Tone::Done,
                    say!(
                        "Version {number} is {state} now",
                        number,
                        state = words::text(state.name())
                    ),
                );
            }
            None => {}
        }
    }

    /// Makes a change as one step; says why when it was not done.
    fn version_step<T>(
        &mut self,
        label: &str,
        change: impl FnOnce(&mut Project) -> Result<T, VersionError>,
    ) -> Option<T> {
        let mut out = None;
        let at_work =
            |app: &Self| app.document.project().formula(&app.ui.formula).map(|f| f.version.number);
        let before = at_work(self);
        let done = self.document.edit(label, None, |project| {
            out = Some(change(project)?);
            Ok::<(), VersionError>(())
        });
        if let Err(error) = done {
            self.say(Tone::Error, say!("Not done: {error}", error = words::told(error)));
            return None;
        }
        // The open list shows the state as it is now.
        if let Some(Dialog::Versions(draft)) = self.ui.dialogs.last() {
            let chosen = draft.chosen;
            // What was held against the version at work still is.
            let follows = before == Some(draft.with);
            let with = at_work(self).filter(|_| follows).unwrap_or(draft.with);
            let id = self.ui.formula.clone();
            let difference = Arc::new(self.difference(&id, chosen, with));
            if let Some(Dialog::Versions(draft)) = self.ui.dialogs.last_mut() {
                *draft = VersionsDraft { chosen, with, difference, going_back: None };
            }
        }
        out
    }

    /// Goes to where so many steps are done, with one notice.
    fn jump_to(&mut self, done: usize) {
        let before = Arc::clone(self.document.project());
        let from = self.document.steps().done;
        self.document.jump_to(done);
        let steps = self.document.steps();
        if steps.done == from {
            return;
        }
        let last = steps.done.checked_sub(1).and_then(|i| steps.all.get(i));
        let text = match last {
            Some(step) => say!("Back to: {label}", label = step.label),
            None => say!("Back to the first state").to_owned(),
        };
        self.go_to_change(&before);
        self.say(Tone::Done, text);
    }
}

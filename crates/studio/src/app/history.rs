//! Undo: labelled snapshots of the project, one per interaction.

use std::sync::Arc;

use quern_project::Project;

/// Snapshots kept; the oldest goes first.
const DEPTH: usize = 400;

/// One state before a change.
#[derive(Clone, Debug)]
struct Snapshot {
    project: Arc<Project>,
    step: Step,
    revision: u64,
}

/// One step, as listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// What was done.
    pub label: String,
    /// Time of day at which it was done, as shown.
    pub time: String,
}

/// Every step that is remembered.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Steps {
    /// Steps in the order in which they were done, with those that were taken back at the end.
    pub all: Vec<Step>,
    /// How many of them are done now.
    pub done: usize,
    /// Older steps were forgotten.
    pub forgot: bool,
}

/// Undo and redo.
#[derive(Debug, Default)]
pub struct History {
    past: Vec<Snapshot>,
    future: Vec<Snapshot>,
    /// Older steps were forgotten.
    forgot: bool,
    /// A change under this key joins the last snapshot while the same interaction goes on.
    open: Option<String>,
}

impl History {
    /// Notes the state before a change. Changes with the same `interaction` in a row, such
    /// as the steps of one drag, make one snapshot.
    pub fn note(
        &mut self,
        before: &Arc<Project>,
        revision: u64,
        step: Step,
        interaction: Option<&str>,
    ) {
        self.future.clear();
        if interaction.is_some() && self.open.as_deref() == interaction {
            return;
        }
        self.open = interaction.map(str::to_owned);
        self.past.push(Snapshot { project: Arc::clone(before), step, revision });
        if self.past.len() > DEPTH {
            self.past.remove(0);
            self.forgot = true;
        }
    }

    /// Ends an interaction: the next change starts a snapshot of its own.
    pub fn close(&mut self) {
        self.open = None;
    }

    /// What undo would undo.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        self.past.last().map(|s| s.step.label.as_str())
    }

    /// What redo would redo.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        self.future.last().map(|s| s.step.label.as_str())
    }

    /// Every step, done and taken back.
    #[must_use]
    pub fn steps(&self) -> Steps {
        let all = self.past.iter().chain(self.future.iter().rev()).map(|s| s.step.clone());
        Steps { all: all.collect(), done: self.past.len(), forgot: self.forgot }
    }

    /// How many steps are done, and how many were taken back.
    #[must_use]
    pub fn depth(&self) -> (usize, usize) {
        (self.past.len(), self.future.len())
    }

    /// Takes the last change back: the project before it and its revision.
    pub fn undo(&mut self, now: &Arc<Project>, revision: u64) -> Option<(Arc<Project>, u64)> {
        let snapshot = self.past.pop()?;
        self.open = None;
        self.future.push(Snapshot { project: Arc::clone(now), step: snapshot.step, revision });
        Some((snapshot.project, snapshot.revision))
    }

    /// Does the last change taken back again.
    pub fn redo(&mut self, now: &Arc<Project>, revision: u64) -> Option<(Arc<Project>, u64)> {
        let snapshot = self.future.pop()?;
        self.open = None;
        self.past.push(Snapshot { project: Arc::clone(now), step: snapshot.step, revision });
        Some((snapshot.project, snapshot.revision))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn project(name: &str) -> Arc<Project> {
        Arc::new(Project { name: name.to_owned(), ..Project::blank() })
    }

    fn step(label: &str) -> Step {
        Step { label: label.to_owned(), time: "12:00".to_owned() }
    }

    #[test]
    fn the_list_holds_what_was_done_and_what_was_taken_back() {
        let mut history = History::default();
        for (i, label) in (0..).zip(["first", "second", "third"]) {
            history.note(&project(label), i, step(label), None);
        }
        assert!(history.undo(&project("now"), 3).is_some());
        let steps = history.steps();
        let labels: Vec<&str> = steps.all.iter().map(|s| s.label.as_str()).collect();
        assert_eq!((labels, steps.done), (vec!["first", "second", "third"], 2));
        assert!(!steps.forgot);
        for i in 0..500 {
            history.note(&project("x"), i, step("more"), None);
        }
        assert_eq!(history.depth(), (DEPTH, 0));
        assert!(history.steps().forgot);
    }

    #[test]
    fn undo_and_redo_walk_the_same_path() {
        let mut history = History::default();
        let states: Vec<_> = (0..300).map(|i| project(&i.to_string())).collect();
        for (i, pair) in (1_u64..).zip(states.windows(2)) {
            history.note(&pair[0], i - 1, step(&format!("change {i}")), None);
        }
        let mut now = Arc::clone(&states[299]);
        let mut revision = 299;
        for expected in (0..299_usize).rev() {
            (now, revision) = history.undo(&now, revision).unwrap_or_else(|| panic!("no undo"));
            assert_eq!(now.name, expected.to_string());
        }
        assert_eq!(revision, 0);
        assert!(history.undo(&now, revision).is_none());
        for expected in 1..300_usize {
            (now, revision) = history.redo(&now, revision).unwrap_or_else(|| panic!("no redo"));
            assert_eq!(now.name, expected.to_string());
        }
        assert_eq!(revision, 299);
    }

    #[test]
    fn one_drag_is_one_step_and_a_new_change_ends_redo() {
        let mut history = History::default();
        let (a, b) = (project("a"), project("b"));
        for _ in 0..50 {
            history.note(&a, 0, step("change batch size"), Some("slider"));
        }
        assert!(history.undo(&b, 50).is_some());
        assert!(history.undo(&a, 0).is_none());
        assert_eq!(history.redo_label(), Some("change batch size"));
        history.note(&a, 0, step("rename"), None);
        assert_eq!(history.redo_label(), None);
    }
}

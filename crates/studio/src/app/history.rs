//! Undo: labelled snapshots of the project, one per interaction.

use std::sync::Arc;

use quern_project::Project;

/// Snapshots kept; the oldest goes first.
const DEPTH: usize = 400;

/// One state before a change.
#[derive(Clone, Debug)]
struct Snapshot {
    project: Arc<Project>,
    label: String,
    revision: u64,
}

/// Undo and redo.
#[derive(Debug, Default)]
pub struct History {
    past: Vec<Snapshot>,
    future: Vec<Snapshot>,
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
        label: &str,
        interaction: Option<&str>,
    ) {
        self.future.clear();
        if interaction.is_some() && self.open.as_deref() == interaction {
            return;
        }
        self.open = interaction.map(str::to_owned);
        self.past.push(Snapshot { project: Arc::clone(before), label: label.to_owned(), revision });
        if self.past.len() > DEPTH {
            self.past.remove(0);
        }
    }

    /// Ends an interaction: the next change starts a snapshot of its own.
    pub fn close(&mut self) {
        self.open = None;
    }

    /// What undo would undo.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        self.past.last().map(|s| s.label.as_str())
    }

    /// What redo would redo.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        self.future.last().map(|s| s.label.as_str())
    }

    /// Takes the last change back: the project before it and its revision.
    pub fn undo(&mut self, now: &Arc<Project>, revision: u64) -> Option<(Arc<Project>, u64)> {
        let snapshot = self.past.pop()?;
        self.open = None;
        self.future.push(Snapshot { project: Arc::clone(now), label: snapshot.label, revision });
        Some((snapshot.project, snapshot.revision))
    }

    /// Does the last change taken back again.
    pub fn redo(&mut self, now: &Arc<Project>, revision: u64) -> Option<(Arc<Project>, u64)> {
        let snapshot = self.future.pop()?;
        self.open = None;
        self.past.push(Snapshot { project: Arc::clone(now), label: snapshot.label, revision });
        Some((snapshot.project, snapshot.revision))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn project(name: &str) -> Arc<Project> {
        Arc::new(Project { name: name.to_owned(), ..Project::blank() })
    }

    #[test]
    fn undo_and_redo_walk_the_same_path() {
        let mut history = History::default();
        let states: Vec<_> = (0..300).map(|i| project(&i.to_string())).collect();
        for (i, pair) in (1_u64..).zip(states.windows(2)) {
            history.note(&pair[0], i - 1, &format!("change {i}"), None);
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
            history.note(&a, 0, "change batch size", Some("slider"));
        }
        assert!(history.undo(&b, 50).is_some());
        assert!(history.undo(&a, 0).is_none());
        assert_eq!(history.redo_label(), Some("change batch size"));
        history.note(&a, 0, "rename", None);
        assert_eq!(history.redo_label(), None);
    }
}

//! The open project with its place on disk and its history.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use quern_project::{Fingerprint, Project};

use super::history::{History, Step, Steps};
use crate::words;

fn alike<T: PartialEq>(a: &[Arc<T>], b: &[Arc<T>]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(x, y)| Arc::ptr_eq(x, y) || x == y)
}

/// Equality that looks into an entry only where the pointers differ.
fn same(a: &Project, b: &Project) -> bool {
    a.name == b.name
        && a.currency == b.currency
        && a.note == b.note
        && (Arc::ptr_eq(&a.grit, &b.grit) || a.grit == b.grit)
        && (Arc::ptr_eq(&a.setting, &b.setting) || a.setting == b.setting)
        && alike(&a.formulas, &b.formulas)
        && a.plans.len() == b.plans.len()
        && a.plans
            .iter()
            .zip(&b.plans)
            .all(|(x, y)| x.0 == y.0 && (Arc::ptr_eq(x.1, y.1) || x.1 == y.1))
        && alike(&a.kept, &b.kept)
        && alike(&a.bin, &b.bin)
        && a.materials.len() == b.materials.len()
        && a.materials
            .iter()
            .zip(&b.materials)
            .all(|(x, y)| x.0 == y.0 && (Arc::ptr_eq(x.1, y.1) || x.1 == y.1))
}

/// The open project.
#[derive(Debug)]
pub struct Document {
    /// Differs between documents of one run, so that a late answer finds the right one.
    pub id: u64,
    project: Arc<Project>,
    revision: u64,
    next_revision: u64,
    saved_revision: Option<u64>,
    history: History,
    /// Where it is kept; `None` for an unsaved one.
    pub path: Option<PathBuf>,
    /// What was on disk when it was last read or written.
    pub fingerprint: Option<Fingerprint>,
    /// When it was last saved, as shown.
    pub saved_at: Option<String>,
    /// Time of day of the next step, as shown.
    pub now: String,
    /// Why the last change was refused, until it was said.
    refused: Option<String>,
}

impl Document {
    /// A project that has not been saved: the demo or a new one.
    #[must_use]
    pub fn unsaved(project: Project) -> Self {
        static NEXT: AtomicU64 = AtomicU64::new(1);
        Self {
            id: NEXT.fetch_add(1, Ordering::Relaxed),
            project: Arc::new(project),
            revision: 0,
            next_revision: 1,
            saved_revision: Some(0),
            history: History::default(),
            path: None,
            fingerprint: None,
            saved_at: None,
            now: String::new(),
            refused: None,
        }
    }

    /// A project read from a file.
    #[must_use]
    pub fn opened(project: Project, path: PathBuf, fingerprint: Fingerprint) -> Self {
        Self { path: Some(path), fingerprint: Some(fingerprint), ..Self::unsaved(project) }
    }

    /// The project as it stands.
    #[must_use]
    pub fn project(&self) -> &Arc<Project> {
        &self.project
    }

    /// Changes with every edit; equal revisions are equal projects.
    #[must_use]
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// True when there is something to lose.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        self.saved_revision != Some(self.revision)
    }

    /// Notes that this revision is on disk.
    pub fn mark_saved(&mut self, revision: u64) {
        self.saved_revision = Some(revision);
    }

    /// Changes the project as one labelled step. Nothing happens when `change` fails or
    /// leaves the project as it was, nor when it touches a version that is frozen or makes a
    /// project that could not be saved: every change comes through here, so none gets past. The reason waits for [`Self::take_refusal`].
    ///
    /// # Errors
    /// Whatever `change` fails with.
    pub fn edit<E>(
        &mut self,
        label: &str,
        interaction: Option<&str>,
        change: impl FnOnce(&mut Project) -> Result<(), E>,
    ) -> Result<(), E> {
        let mut next = (*self.project).clone();
        change(&mut next)?;
        if same(&next, &self.project) {
            return Ok(());
        }
        if let Err(frozen) = next.check_frozen(&self.project) {
            self.refused = Some(frozen.to_string());
            return Ok(());
        }
        if let Some(problem) = quern_project::unsaveable(&self.project, &next).into_iter().next() {
            self.refused = Some(say!("Not done: {problem}", problem = words::told(problem)));
            return Ok(());
        }
        self.step(label, interaction, next);
        Ok(())
    }

    /// Puts another project in the place of this one as one labelled step: what is on disk may
    /// differ in anything.
    pub fn put_whole(&mut self, label: &str, project: Project) {
        if !same(&project, &self.project) {
            self.step(label, None, project);
        }
    }

    fn step(&mut self, label: &str, interaction: Option<&str>, next: Project) {
        // No step is without words in the list.
        let label = if label.trim().is_empty() { say!("change") } else { label };
        let step = Step { label: label.to_owned(), time: self.now.clone() };
        self.history.note(&self.project, self.revision, step, interaction);
        self.project = Arc::new(next);
        self.revision = self.next_revision;
        self.next_revision += 1;
    }

    /// True while the last change was refused and that was not said yet.
    #[must_use]
    pub fn is_refused(&self) -> bool {
        self.refused.is_some()
    }

    /// Why the last change was refused, once.
    pub fn take_refusal(&mut self) -> Option<String> {
        self.refused.take()
    }

    /// Every step that is remembered.
    #[must_use]
    pub fn steps(&self) -> Steps {
        self.history.steps()
    }

    /// Goes to where so many steps are done, or as near as there are steps.
    pub fn jump_to(&mut self, done: usize) {
        while self.history.depth().0 > done && self.undo() {}
        while self.history.depth().0 < done && self.redo() {}
    }

    /// Ends an interaction that spans frames.
    pub fn end_interaction(&mut self) {
        self.history.close();
    }

    /// What undo would undo.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        self.history.undo_label()
    }

    /// What redo would redo.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        self.history.redo_label()
    }

    /// Takes one step back.
    pub fn undo(&mut self) -> bool {
        match self.history.undo(&self.project, self.revision) {
            Some((project, revision)) => {
                (self.project, self.revision) = (project, revision);
                true
            }
            None => false,
        }
    }

    /// Takes one step forward.
    pub fn redo(&mut self) -> bool {
        match self.history.redo(&self.project, self.revision) {
            Some((project, revision)) => {
                (self.project, self.revision) = (project, revision);
                true
            }
            None => false,
        }
    }

    /// File name, or what stands for it.
    #[must_use]
    pub fn title(&self) -> String {
        self.path
            .as_deref()
            .and_then(|p| p.file_name())
            .map_or_else(|| say!("not saved yet").to_owned(), |n| n.to_string_lossy().into_owned())
    }
}

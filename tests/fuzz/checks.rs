//! What must hold, whatever was done.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT as _;
use quern_project::Project;
use quern_studio::app::App;
use quern_studio::app::action::Action;
use quern_studio::app::commands::Command;

use crate::act::Hands;

/// Steps that undo goes back at most.
const DEPTH: usize = 400;

/// The project can be saved and read back, a formula is at hand, the window comes to rest, and
/// every input has a name of its own.
#[track_caller]
pub fn sound(h: &mut Harness<'static, App>) {
    h.step();
    assert!(
        h.run_ok().is_some(),
        "the window keeps asking to be drawn: {:?}",
        h.ctx.repaint_causes()
    );
    let project = Arc::clone(h.state().document().project());
    let text = match quern_project::to_text(&project) {
        Ok(text) => text,
        Err(error) => panic!("the project cannot be saved: {error}"),
    };
    match quern_project::parse(&text, "what was saved") {
        Ok(back) => assert!(back.project == *project, "the project reads back as another"),
        Err(error) => panic!("what was saved cannot be read: {error}"),
    }
    assert!(h.state_mut().here().is_some(), "no formula is at hand");
    names_differ(h);
}

/// No two inputs on screen share a name; of two lines with one material the table alone tells.
#[track_caller]
fn names_differ(h: &mut Harness<'static, App>) {
    let lines = h.state_mut().here().map(|here| here.evaluation.lines.clone()).unwrap_or_default();
    let twins: BTreeSet<_> = lines
        .iter()
        .filter(|a| lines.iter().filter(|b| b.name == a.name).count() > 1)
        .map(|l| l.name.clone())
        .collect();
    let mut names: BTreeMap<String, usize> = BTreeMap::new();
    for node in h.root().children_recursive() {
        let node = node.accesskit_node();
        if matches!(node.role(), Role::TextInput | Role::Slider | Role::SpinButton) {
            *names.entry(node.label().unwrap_or_default()).or_default() += 1;
        }
    }
    let bad: Vec<_> = names
        .iter()
        .filter(|(name, n)| {
            let twin = twins.iter().any(|t| name.starts_with(t.as_str()));
            name.len() < 2 || (**n > 1 && !twin)
        })
        .collect();
    assert!(bad.is_empty(), "inputs that share a name: {bad:?}");
}

/// The document at hand and what it was when it came.
pub struct Beginning {
    document: u64,
    project: Option<Arc<Project>>,
}

impl Beginning {
    /// Of a window just opened.
    pub fn of(h: &Harness<'static, App>) -> Self {
        let document = h.state().document();
        Self { document: document.id, project: Some(Arc::clone(document.project())) }
    }

    /// Notes when another document has come in.
    pub fn follow(&mut self, h: &Harness<'static, App>) {
        let document = h.state().document();
        if document.id != self.document {
            self.document = document.id;
            // Changed in the frame of its coming, what it was is not known.
            let untouched = document.undo_label().is_none();
            self.project = untouched.then(|| Arc::clone(document.project()));
        }
    }
}

/// Undo as far as it goes leads to the beginning, and redo to the end.
#[track_caller]
pub fn rewinds(h: &mut Harness<'static, App>, beginning: &Beginning) {
    let ctx = h.ctx.clone();
    // What is redone already is another branch of history, and stays.
    let end = Arc::clone(h.state().document().project());
    let mut back = 0;
    while h.state().document().undo_label().is_some() {
        h.state_mut().carry_out(&ctx, Action::Run(Command::Undo));
        back += 1;
        assert!(back <= DEPTH, "undo does not end");
    }
    let start = Arc::clone(h.state().document().project());
    if back < DEPTH
        && let Some(first) = &beginning.project
    {
        assert!(start == *first, "undo of {back} steps does not lead to the beginning");
    }
    for n in 0..back {
        assert!(h.state().document().redo_label().is_some(), "redo ends after {n} of {back}");
        h.state_mut().carry_out(&ctx, Action::Run(Command::Redo));
    }
    assert!(*h.state().document().project() == end, "redo does not lead to the end");
    h.step();
}

/// What the hands came upon, to see that they do not only knock at a closed door.
#[derive(Default)]
pub struct Seen {
    revisions: BTreeSet<(u64, u64)>,
    documents: BTreeSet<u64>,
    views: BTreeSet<String>,
    dialogs: BTreeSet<String>,
    notices: usize,
}

impl Seen {
    /// Notes where the window is.
    pub fn note(&mut self, hands: &Hands) {
        let app = hands.h.state();
        let document = app.document();
        self.revisions.insert((document.id, document.revision()));
        self.documents.insert(document.id);
        self.views.insert(format!("{:?}", app.state().view));
        if let Some(top) = app.state().top() {
            let name: String =
                format!("{top:?}").chars().take_while(|c| c.is_alphanumeric()).collect();
            self.dialogs.insert(name);
        }
        self.notices = app.notices().len();
    }
}

impl std::fmt::Display for Seen {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let dialogs: Vec<&str> = self.dialogs.iter().map(String::as_str).collect();
        write!(
            f,
            "{} projects, {} states of them, {} views, {} notices, dialogs: {}",
            self.documents.len(),
            self.revisions.len(),
            self.views.len(),
            self.notices,
            dialogs.join(" ")
        )
    }
}

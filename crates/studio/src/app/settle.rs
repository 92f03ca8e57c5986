//! Keeps what the window points at among what exists.

use std::sync::Arc;

use quern_project::library::SearchIndex;

use super::evals::Side;
use super::{App, state, table};

impl App {
    /// Keeps the formula at hand and the sides of the comparison among those that exist.
    pub(super) fn settle(&mut self) {
        let project = self.document.project();
        if project.formula(&self.ui.formula).is_none() {
            self.ui.formula = super::first_formula(project);
            self.ui.line = None;
            self.ui.phase = None;
        }
        if let Some(formula) = project.formula(&self.ui.formula) {
            if self.ui.line.is_some_and(|l| formula.line(l).is_none()) {
                self.ui.line = None;
            }
            let table = &mut self.ui.table;
            if table.cursor.is_some_and(|c| formula.line(c.line).is_none()) {
                table.cursor = None;
            }
            if table.anchor.is_some_and(|c| formula.line(c.line).is_none()) {
                table.anchor = table.cursor;
            }
            let lost = |f: table::Finding| match f {
                table::Finding::On(line) => formula.line(line).is_none(),
                table::Finding::New { phase, .. } => formula.phase(phase).is_none(),
            };
            if table.finding.is_some_and(lost) || self.ui.view != state::View::Formula {
                table.finding = None;
            }
            if self.ui.view != state::View::Formula {
                table.hovered = None;
            }
            if self.ui.phase.is_some_and(|p| formula.phase(p).is_none()) {
                self.ui.phase = None;
            }
        }
        let lost = |s: &Side| {
            project.formula(&s.formula).is_none()
                || s.version.is_some_and(|n| project.version(&s.formula, n).is_none())
                || s.blend_of.as_ref().is_some_and(|b| project.formula(b).is_none())
        };
        if self.ui.sides.iter().any(|s| s.as_ref().is_none_or(lost)) {
            self.propose_sides();
        }
    }

    /// The first two formulas, or twice the only one.
    pub(super) fn propose_sides(&mut self) {
        let mut ids = self.document.project().formulas.iter().map(|f| f.id.clone());
        let first = ids.next();
        let second = ids.next().or_else(|| first.clone());
        self.ui.sides = [first.map(Side::plain), second.map(Side::plain)];
    }

    /// Names to search: everything of the library and the project.
    pub(super) fn search_index(&mut self) -> Arc<SearchIndex> {
        let revision = self.document.revision();
        if let Some((at, index)) = &self.search
            && *at == revision
        {
            return Arc::clone(index);
        }
        let project = self.document.project();
        let built_in = quern_project::library::builtin();
        let own = project.materials.values();
        let others =
            built_in.materials.iter().filter(|(id, _)| !project.materials.contains_key(id));
        let index = Arc::new(SearchIndex::new(own.chain(others.map(|(_, m)| m))));
        self.search = Some((revision, Arc::clone(&index)));
        index
    }
}

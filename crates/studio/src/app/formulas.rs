//! Changes to the list of formulas: add, copy, remove, take a blend; and undo that goes there.

use std::convert::Infallible;
use std::sync::Arc;

use quern_calc::formula::{Formula, FormulaId, Item, VersionState};
use quern_calc::setting::calibrate::Measured;
use quern_project::Project;

use super::App;
use super::evals::Side;
use super::notices::Tone;
use super::state::View;
use crate::words;

/// Adds an empty formula to a project without any, since the window shows the one at hand; true
/// when it did.
pub(super) fn never_none(project: &mut Project) -> bool {
    let none = project.formulas.is_empty();
    if none {
        let id = project.free_formula_id(say!("new formula"));
        project.formulas.push(Arc::new(Formula::empty(id, say!("New formula"))));
    }
    none
}

impl App {
    pub(super) fn add_formula(&mut self, label: &str, formula: Formula, carry: Vec<Item>) {
        let id = formula.id.clone();
        let done = self.document.edit(label, None, |project| {
            for item in &carry {
                Self::carry(project, item);
            }
            project.formulas.push(Arc::new(formula));
            Ok::<(), Infallible>(())
        });
        let Ok(()) = done;
        self.ui.formula = id;
        self.ui.line = None;
        self.ui.view = View::Formula;
    }

    pub(super) fn add_skeleton(&mut self, id: &FormulaId) {
        let Some(skeleton) = quern_project::skeletons().formula(id).cloned() else { return };
        let mut formula = (*skeleton).clone();
        formula.id = self.document.project().free_formula_id(&formula.name);
        let items = formula
            .lines()
            .flat_map(|(_, l)| {
                std::iter::once(&l.item).chain(l.alternatives.iter().map(|a| &a.item))
            })
            .cloned()
            .collect();
        self.add_formula(say!("new from skeleton"), formula, items);
    }

    pub(super) fn duplicate(&mut self) {
        let Some(original) = self.document.project().formula(&self.ui.formula).cloned() else {
            return;
        };
        let mut copy = (*original).clone();
        copy.name = say!("{original} copy", original = original.name);
        copy.id = self.document.project().free_formula_id(&copy.name);
        copy.version.number = 1;
        copy.version.state = VersionState::Draft;
        copy.version.parent = Some((original.id.clone(), original.version.number));
        copy.version.reason = String::new();
        let plan = self.document.project().plans.get(&original.id).cloned();
        let id = copy.id.clone();
        // The same content sets and pours the same; their names tell what was measured.
        let measured: Vec<Measured> = self
            .document
            .project()
            .setting
            .of(&original.id)
            .map(|m| {
                let mut m = m.clone();
                m.formula = id.clone();
                if m.name.is_empty() {
                    m.name = say!(
                        "{original}, version {number}",
                        original = original.name,
                        number = original.version.number
                    );
                }
                m
            })
            .collect();
        let room = quern_calc::setting::notes::MEASURED_MAX
            .saturating_sub(self.document.project().setting.measured.len());
        let too_many = measured.len() > room;
        let along = if too_many { Vec::new() } else { measured };
        let count = along.len();
        let done = self.document.edit(say!("duplicate formula"), None, |project| {
            project.formulas.push(Arc::new(copy));
            if let Some(plan) = plan {
                let mut plan = (*plan).clone();
                plan.code.clear();
                project.plans.insert(id.clone(), Arc::new(plan));
            }
            if !along.is_empty() {
                Arc::make_mut(&mut project.setting).measured.extend(along);
            }
            Ok::<(), Infallible>(())
        });
        let Ok(()) = done;
        if count > 0 {
            let name = &original.name;
            let text =
                say!("Measurements of {name} count for the copy as well: {count}", name, count);
            self.say(Tone::Done, text);
        } else if too_many {
            let text = say!(
                "The project has no room for the measurements of the copy; they stay with the original"
            );
            self.say(Tone::Info, text);
        }
        self.ui.formula = id;
        self.ui.line = None;
    }

    /// Takes the formula to hand that undo or redo changed, so that the change is seen.
    pub(super) fn go_to_change(&mut self, before: &Project) {
        let after = self.document.project();
        let changed = |id: &FormulaId| {
            let same = match (before.formula(id), after.formula(id)) {
                (Some(a), Some(b)) => Arc::ptr_eq(a, b),
                (None, None) => true,
                _ => false,
            };
            let same_plan = match (before.plans.get(id), after.plans.get(id)) {
                (Some(a), Some(b)) => Arc::ptr_eq(a, b),
                (None, None) => true,
                _ => false,
            };
            !same || !same_plan
        };
        if self.ui.view == View::Compare || changed(&self.ui.formula) {
            return;
        }
        if let Some(other) = after.formulas.iter().find(|f| changed(&f.id)) {
            self.ui.formula = other.id.clone();
            self.ui.line = None;
            self.ui.phase = None;
        }
    }

    pub(super) fn remove_formula(&mut self) {
        let id = self.ui.formula.clone();
        if self.document.project().formulas.len() < 2 {
            self.say(Tone::Info, say!("A project keeps at least one formula"));
            return;
        }
        let date = self.date;
        match self
            .document
            .edit(say!("remove formula"), None, |project| project.put_in_bin(&id, date))
        {
            Ok(()) => self.say(Tone::Done, say!("Formula is in the bin; undo brings it back")),
            Err(error) => {
                self.say(Tone::Error, say!("Not removed: {error}", error = words::told(error)))
            }
        }
    }

    /// Puts the exfoliants of the right side into the left formula, as one step.
    pub(super) fn take_blend(&mut self) {
        let [Some(left), Some(right)] = self.ui.sides.clone() else { return };
        let at_work = self.document.project().formula(&left.formula).map(|f| f.version.number);
        if left.version.is_some() && left.version != at_work {
            let text =
                say!("The left side is a kept version, which stays as it was; choose one at work");
            self.say(Tone::Info, text);
            return;
        }
        let Some(donor) = self.figures(&right).map(|f| f.formula) else { return };
        let project = self.document.project();
        let Some(base) = project.formula(&left.formula) else { return };
        let library = project.library();
        let mixed = quern_calc::formula::with_blend_of(base, &donor, &library);
        let (into, from) = (base.name.clone(), donor.name.clone());
        let id = left.formula.clone();
        let done = self.document.edit(say!("take blend"), None, |project| {
            if let Some(slot) = project.formulas.iter_mut().find(|f| f.id == id) {
                *slot = Arc::new(mixed);
            }
            Ok::<(), Infallible>(())
        });
        let Ok(()) = done;
        self.ui.sides[0] = Some(Side::plain(left.formula));
        self.say(Tone::Done, say!("{into} now holds the exfoliants of {from}", into, from));
    }
}

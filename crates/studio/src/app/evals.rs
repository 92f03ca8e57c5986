//! Evaluations, computed on change, not on draw, and kept over changes that do not touch them.

use std::collections::HashMap;
use std::sync::Arc;

use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::{Context, Evaluation, evaluate};
use quern_calc::formula::{Formula, FormulaId, Item, Library, with_blend_of};
use quern_calc::rules::Rules;
use quern_project::Project;

/// A formula, a kept version of one, or a base with the exfoliant blend of another.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Side {
    /// The formula.
    pub formula: FormulaId,
    /// Number of one of its versions; `None` for the one at work.
    pub version: Option<u32>,
    /// Whose exfoliant blend it carries, if not its own.
    pub blend_of: Option<FormulaId>,
}

impl Side {
    /// A formula as it is.
    #[must_use]
    pub fn plain(formula: FormulaId) -> Self {
        Self { formula, version: None, blend_of: None }
    }
}

/// What a side comes to.
#[derive(Clone, Debug)]
pub struct SideFigures {
    /// The formula of the side.
    pub formula: Arc<Formula>,
    /// Name on screen.
    pub name: String,
    /// Everything that follows.
    pub evaluation: Arc<Evaluation>,
}

/// The cache.
#[derive(Debug, Default)]
pub struct Evals {
    revision: Option<u64>,
    /// The project that the rest is about.
    of: Option<Arc<Project>>,
    library: Option<Arc<Library>>,
    sides: HashMap<Side, SideFigures>,
}

/// What of two states of a project stays the same, by pointers.
struct Kept<'a> {
    before: &'a Project,
    now: &'a Project,
    /// Everything that any evaluation may look at beside formula and plan.
    rest: bool,
}

impl<'a> Kept<'a> {
    fn between(before: &'a Project, now: &'a Project) -> Self {
        let materials = before.materials.len() == now.materials.len()
            && before
                .materials
                .iter()
                .zip(&now.materials)
                .all(|(a, b)| a.0 == b.0 && Arc::ptr_eq(a.1, b.1));
        let mut kept = Self { before, now, rest: true };
        // Firmness is told against the reference bar.
        let reference = now.setting.reference.as_ref().is_none_or(|id| kept.formula(id));
        kept.rest = materials && Arc::ptr_eq(&before.setting, &now.setting) && reference;
        kept
    }

    fn formula(&self, id: &FormulaId) -> bool {
        match (self.before.formula(id), self.now.formula(id)) {
            (Some(a), Some(b)) => Arc::ptr_eq(a, b),
            (None, None) => true,
            _ => false,
        }
    }

    /// True when the evaluation of this side still stands.
    fn side(&self, side: &Side) -> bool {
        let plan = match (self.before.plans.get(&side.formula), self.now.plans.get(&side.formula)) {
            (Some(a), Some(b)) => Arc::ptr_eq(a, b),
            (None, None) => true,
            _ => false,
        };
        // What stands in a premix may have changed.
        let plain = |id: &FormulaId| {
            self.now.formula(id).is_some_and(|f| {
                f.lines().all(|(_, line)| {
                    let of_material = |item: &Item| matches!(item, Item::Material(_));
                    of_material(&line.item)
                        && line.alternatives.iter().all(|a| of_material(&a.item))
                })
            })
        };
        let stands = |id: &FormulaId| self.formula(id) && plain(id);
        self.rest && plan && stands(&side.formula) && side.blend_of.as_ref().is_none_or(stands)
    }
}

impl Evals {
    fn refresh(&mut self, project: &Arc<Project>, revision: u64) {
        if self.revision == Some(revision) {
            return;
        }
        self.revision = Some(revision);
        self.library = Some(Arc::new(project.library()));
        match self.of.replace(Arc::clone(project)) {
            Some(before) => {
                let kept = Kept::between(&before, project);
                self.sides.retain(|side, _| kept.side(side));
            }
            None => self.sides.clear(),
        }
    }

    /// Forgets everything, when another project is opened or the day changes.
    pub fn clear(&mut self) {
        *self = Self::default();
    }

    /// What lines can refer to, at this revision.
    pub fn library(&mut self, project: &Arc<Project>, revision: u64) -> Arc<Library> {
        self.refresh(project, revision);
        Arc::clone(self.library.get_or_insert_with(|| Arc::new(project.library())))
    }

    /// Figures of a side at this revision; `None` when its formula is gone.
    pub fn side(
        &mut self,
        side: &Side,
        project: &Arc<Project>,
        revision: u64,
        rules: &Rules,
        context: &Context,
    ) -> Option<SideFigures> {
        self.refresh(project, revision);
        if let Some(found) = self.sides.get(side) {
            return Some(found.clone());
        }
        let library = self.library(project, revision);
        let base = match side.version {
            Some(number) => project.version(&side.formula, number)?,
            None => project.formula(&side.formula)?,
        };
        let base_name = match side.version {
            Some(number) => say!("{base}, version {number}", base = base.name, number),
            None => base.name.clone(),
        };
        let (formula, name) = match &side.blend_of {
            None => (Arc::clone(base), base_name),
            Some(donor) => {
                let donor = project.formula(donor)?;
                let mixed = with_blend_of(base, donor, &library);
                (
                    Arc::new(mixed),
                    say!("{base_name} with {donor}'s grains", base_name, donor = donor.name),
                )
            }
        };
        let plan: BatchPlan = project.plan(&side.formula);
        let evaluation = Arc::new(evaluate(&formula, &library, rules, &plan, context));
        let figures = SideFigures { formula, name, evaluation };
        self.sides.insert(side.clone(), figures.clone());
        Some(figures)
    }
}

#[cfg(test)]
mod tests {
    use quern_calc::formula::{Amount, MaterialId};
    use quern_calc::quantity::Date;

    use super::*;

    fn side(evals: &mut Evals, project: &Project, revision: u64, of: usize) -> Arc<Evaluation> {
        let project = Arc::new(project.clone());
        let side = Side::plain(project.formulas[of].id.clone());
        let context = Context { date: Date::Y2K, setting: Arc::clone(&project.setting) };
        let rules = quern_project::rules::builtin_rules();
        evals.side(&side, &project, revision, rules, &context).unwrap().evaluation
    }

    #[test]
    fn what_a_change_does_not_touch_is_kept_and_what_it_touches_is_not() {
        let mut project = quern_project::demo();
        let mut evals = Evals::default();
        let (a, b) = (side(&mut evals, &project, 0, 0), side(&mut evals, &project, 0, 1));
        let formula = Arc::make_mut(&mut project.formulas[0]);
        let line = formula.lines().next().unwrap().1.id;
        formula.set_amount(line, Some(Amount::percent(rust_decimal::Decimal::ONE))).unwrap();
        assert!(!Arc::ptr_eq(&a, &side(&mut evals, &project, 1, 0)));
        assert!(Arc::ptr_eq(&b, &side(&mut evals, &project, 1, 1)));
        // A material, the workshop's notes and a plan touch what looks at them.
        let id: MaterialId = project.materials.keys().next().unwrap().clone();
        Arc::make_mut(project.materials.get_mut(&id).unwrap()).notes = "other".to_owned();
        let after = side(&mut evals, &project, 2, 1);
        assert!(!Arc::ptr_eq(&b, &after));
        Arc::make_mut(&mut project.setting).room_c = Some(30.0);
        let warmer = side(&mut evals, &project, 3, 1);
        assert!(!Arc::ptr_eq(&after, &warmer));
        let id = project.formulas[1].id.clone();
        let mut plan = project.plan(&id);
        plan.code = "X".to_owned();
        project.plans.insert(id, Arc::new(plan));
        assert!(!Arc::ptr_eq(&warmer, &side(&mut evals, &project, 4, 1)));
    }

    #[test]
    fn what_holds_a_premix_or_is_told_against_a_reference_follows_them() {
        let mut project = quern_project::demo();
        let mut evals = Evals::default();
        let inner = project.formulas[0].id.clone();
        let outer = Arc::make_mut(&mut project.formulas[1]);
        let phase = outer.phases[0].id;
        outer.add_line(phase, Item::Formula(inner.clone()), None).unwrap();
        Arc::make_mut(&mut project.setting).reference = Some(inner);
        let (b, c) = (side(&mut evals, &project, 0, 1), side(&mut evals, &project, 0, 2));
        Arc::make_mut(&mut project.formulas[0]).note = "changed".to_owned();
        assert!(!Arc::ptr_eq(&b, &side(&mut evals, &project, 1, 1)), "it holds the premix");
        assert!(!Arc::ptr_eq(&c, &side(&mut evals, &project, 1, 2)), "it has the reference");
    }
}

//! Evaluations, cached by revision: computed on change, not on draw.

use std::collections::HashMap;
use std::sync::Arc;

use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::{Context, Evaluation, evaluate};
use quern_calc::formula::{Formula, FormulaId, Library, with_blend_of};
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
    library: Option<Arc<Library>>,
    sides: HashMap<Side, SideFigures>,
}

impl Evals {
    fn refresh(&mut self, project: &Project, revision: u64) {
        if self.revision != Some(revision) {
            self.revision = Some(revision);
            self.library = Some(Arc::new(project.library()));
            self.sides.clear();
        }
    }

    /// Forgets everything, when another project is opened or the day changes.
    pub fn clear(&mut self) {
        *self = Self::default();
    }

    /// What lines can refer to, at this revision.
    pub fn library(&mut self, project: &Project, revision: u64) -> Arc<Library> {
        self.refresh(project, revision);
        Arc::clone(self.library.get_or_insert_with(|| Arc::new(project.library())))
    }

    /// Figures of a side at this revision; `None` when its formula is gone.
    pub fn side(
        &mut self,
        side: &Side,
        project: &Project,
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
            Some(number) => format!("{}, version {number}", base.name),
            None => base.name.clone(),
        };
        let (formula, name) = match &side.blend_of {
            None => (Arc::clone(base), base_name),
            Some(donor) => {
                let donor = project.formula(donor)?;
                let mixed = with_blend_of(base, donor, &library);
                (Arc::new(mixed), format!("{base_name} with {}'s grains", donor.name))
            }
        };
        let plan: BatchPlan = project.plan(&side.formula);
        let evaluation = Arc::new(evaluate(&formula, &library, rules, &plan, context));
        let figures = SideFigures { formula, name, evaluation };
        self.sides.insert(side.clone(), figures.clone());
        Some(figures)
    }
}

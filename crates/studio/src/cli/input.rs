//! Reading the project and finding formulas in it.

use std::io::Read;
use std::path::Path;
use std::sync::Arc;

use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::{Context, Evaluation, evaluate};
use quern_calc::formula::{Formula, FormulaId, Library};
use quern_calc::quantity::Date;
use quern_project::load::MOST_BYTES;
use quern_project::{LoadError, Project};

use super::Bad;
use super::text::quoted;

/// Names that an error lists.
const MOST_NAMES: usize = 20;

/// A project with what its lines can refer to.
pub(super) struct Source {
    pub project: Project,
    pub library: Library,
    /// Where it came from, for messages.
    pub origin: String,
}

impl From<LoadError> for Bad {
    fn from(error: LoadError) -> Self {
        Self(error.to_string())
    }
}

impl Source {
    /// Reads a file, or standard input for `-`.
    pub fn open(file: &Path, input: &mut dyn Read) -> Result<Self, Bad> {
        let (loaded, origin) = if file == Path::new("-") {
            let origin = "standard input".to_owned();
            let text = read_bounded(input, &origin)?;
            (quern_project::parse(&text, &origin)?, origin)
        } else {
            (quern_project::load(file)?, file.display().to_string())
        };
        let project = loaded.project;
        let library = project.library();
        Ok(Self { project, library, origin })
    }

    /// The formula of this name or id. Two formulas can share a name; their ids differ.
    pub fn formula(&self, name: &str) -> Result<&Arc<Formula>, Bad> {
        let all = &self.project.formulas;
        let named: Vec<&Arc<Formula>> = all.iter().filter(|f| f.name == name).collect();
        match named.as_slice() {
            [one] => return Ok(one),
            [] => {}
            several => {
                let ids: Vec<String> = several.iter().map(|f| quoted(f.id.as_str())).collect();
                return Err(Bad::new(format!(
                    "{} has {} formulas named {}; give the id instead: {}",
                    self.origin,
                    several.len(),
                    quoted(name),
                    ids.join(", ")
                )));
            }
        }
        self.project
            .formula(&FormulaId::new(name))
            .or_else(|| self.project.formula_named(name))
            .ok_or_else(|| self.not_there(name))
    }

    fn not_there(&self, name: &str) -> Bad {
        let all = &self.project.formulas;
        let mut names: Vec<String> = all.iter().take(MOST_NAMES).map(|f| quoted(&f.name)).collect();
        if let Some(more) = all.len().checked_sub(MOST_NAMES).filter(|n| *n > 0) {
            names.push(format!("and {more} more"));
        }
        let there = if names.is_empty() {
            "it has no formula at all".to_owned()
        } else {
            format!("it has {}", names.join(", "))
        };
        Bad::new(format!("{} has no formula {}; {there}", self.origin, quoted(name)))
    }

    /// The formula of a name, or all of them without one.
    pub fn formulas(&self, name: Option<&str>) -> Result<Vec<&Arc<Formula>>, Bad> {
        match name {
            Some(name) => Ok(vec![self.formula(name)?]),
            None => Ok(self.project.formulas.iter().collect()),
        }
    }

    /// All figures of a formula for its own plan.
    pub fn evaluate(&self, formula: &Formula, today: Date) -> (BatchPlan, Evaluation) {
        let plan = self.project.plan(&formula.id);
        let evaluation = self.evaluate_for(formula, &plan, today);
        (plan, evaluation)
    }

    /// All figures of a formula for a plan.
    pub fn evaluate_for(&self, formula: &Formula, plan: &BatchPlan, today: Date) -> Evaluation {
        let rules = quern_project::rules::in_use();
        evaluate(formula, &self.library, rules, plan, &self.context(today))
    }

    /// The day, with what the workshop measured.
    pub fn context(&self, today: Date) -> Context {
        Context { date: today, setting: Arc::clone(&self.project.setting) }
    }
}

/// Standard input has no size that could be looked at first.
fn read_bounded(input: &mut dyn Read, origin: &str) -> Result<String, Bad> {
    let file = || origin.to_owned();
    let mut bytes = Vec::new();
    input
        .take(MOST_BYTES.saturating_add(1))
        .read_to_end(&mut bytes)
        .map_err(|e| LoadError::Disk { file: file(), message: e.to_string() })?;
    let length = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
    if length > MOST_BYTES {
        return Err(Bad::new(format!(
            "{origin} holds more than {MOST_BYTES} bytes, the most that a project has; it is \
             probably another kind of file"
        )));
    }
    String::from_utf8(bytes).map_err(|e| {
        LoadError::NotUtf8 { file: file(), offset: e.utf8_error().valid_up_to() }.into()
    })
}

/// True when both name the same file, links followed.
pub(super) fn same_file(a: &Path, b: &Path) -> bool {
    match (a.canonicalize(), b.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    }
}

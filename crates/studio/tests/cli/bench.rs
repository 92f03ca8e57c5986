//! Running a command in process, and a demo project to run it on.

use std::ffi::OsString;
use std::sync::Arc;

use quern_calc::batch::BatchPlan;
use quern_calc::formula::{Amount, Formula, FormulaId, Item, MaterialId, PhaseId};
use quern_calc::quantity::Date;
use quern_project::Project;
use quern_studio::cli::{Outcome, run_with_input};
use rust_decimal::Decimal;
use serde_json::Value;
use tempfile::TempDir;

pub fn day() -> Date {
    Date::new(2026, 11, 25).unwrap()
}

pub struct Ran {
    pub code: u8,
    pub out: Vec<u8>,
    pub err: String,
}

impl Ran {
    pub fn text(&self) -> &str {
        std::str::from_utf8(&self.out).unwrap()
    }

    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.out).unwrap()
    }
}

pub fn with_input(args: &[&str], mut input: &[u8]) -> Ran {
    let args = std::iter::once("quern").chain(args.iter().copied()).map(OsString::from);
    let (mut out, mut err) = (Vec::new(), Vec::new());
    match run_with_input(args, &mut input, &mut out, &mut err, day()) {
        Outcome::Exit(code) => Ran { code, out, err: String::from_utf8(err).unwrap() },
        Outcome::Window { .. } => panic!("the window was asked for"),
    }
}

pub fn quern(args: &[&str]) -> Ran {
    with_input(args, b"")
}

/// Runs what must work.
pub fn fine(args: &[&str]) -> Ran {
    let ran = quern(args);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{args:?}");
    ran
}

/// Runs what must be refused: code 2, nothing on standard output, one line that holds the part.
pub fn refused(args: &[&str], part: &str) {
    let ran = quern(args);
    assert_eq!(ran.code, 2, "{args:?} {}", ran.err);
    assert!(ran.out.is_empty(), "{args:?}");
    assert_eq!(ran.err.lines().count(), 1, "{args:?} {}", ran.err);
    assert!(ran.err.contains(part), "{args:?}: {} lacks {part}", ran.err);
}

/// The demo project in a folder of its own.
pub struct Bench {
    pub folder: TempDir,
    pub file: String,
    pub project: Project,
}

impl Bench {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        fine(&["demo", folder.path().to_str().unwrap()]);
        let file = folder.path().join("coast-workshop.ron");
        let project = quern_project::load(&file).unwrap().project;
        Self { file: file.to_str().unwrap().to_owned(), folder, project }
    }

    pub fn path(&self, name: &str) -> String {
        self.folder.path().join(name).to_str().unwrap().to_owned()
    }

    pub fn name(&self, index: usize) -> &str {
        &self.project.formulas[index].name
    }

    /// Writes a project with formulas made for a test beside the demo.
    pub fn write(&self, name: &str, formulas: Vec<Formula>, plan: Option<BatchPlan>) -> String {
        let mut project = self.project.clone();
        project.plans.clear();
        if let (Some(plan), Some(first)) = (plan, formulas.first()) {
            project.plans.insert(first.id.clone(), Arc::new(plan));
        }
        project.formulas = formulas.into_iter().map(Arc::new).collect();
        let path = self.path(name);
        std::fs::write(&path, quern_project::to_text(&project).unwrap()).unwrap();
        path
    }

    /// A formula of one line at 50 %, so that a Stop stands.
    pub fn half(&self, id: &str, name: &str) -> Formula {
        let material: MaterialId = self.project.materials.keys().next().unwrap().clone();
        let mut formula = Formula::empty(FormulaId::new(id), name);
        let line = formula.add_line(PhaseId(1), Item::Material(material), None).unwrap();
        formula.set_amount(line, Some(Amount::percent(Decimal::from(50)))).unwrap();
        formula
    }

    /// Four formulas named A to D, the last three with a Stop.
    pub fn four(&self) -> String {
        let mut a = (*self.project.formulas[0]).clone();
        a.id = FormulaId::new("a");
        a.name = "A".to_owned();
        let rest = ["B", "C", "D"].map(|n| self.half(&n.to_lowercase(), n));
        self.write("four.ron", std::iter::once(a).chain(rest).collect(), None)
    }
}

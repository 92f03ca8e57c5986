//! `quern grit` on the demo project, against the calculation crate.

mod find;
mod look;
mod mixes;
mod refusals;
mod schema;

use std::sync::Arc;

use quern_calc::evaluate::{
    BlendAsk, BlendSide, Context, Evaluation, Value as Figure, blend_cost, blend_rows, effect,
    evaluate, find_blend, place_guides, swap_options,
};
use quern_calc::formula::{
    Formula, FormulaId, Item, Library, LineId, MaterialId, Place, exfoliant_lines, with_blend,
};
use quern_calc::grit::blend::{Grain, fraction_above};
use quern_calc::grit::calibrate::Calibration;
use quern_calc::grit::index::{GritModel, grit};
use quern_calc::grit::notes::{GritNotes, Score};
use quern_calc::grit::spread::spread;
use quern_calc::number::NumberStyle;
use quern_calc::quantity::{Grams, Percent};
use quern_project::Project;
use quern_project::rules::builtin_rules;
use rust_decimal::Decimal;
use serde_json::Value;

use crate::bench::{Bench, Ran, day, fine, quern, refused, with_input};

const STYLE: NumberStyle = NumberStyle::with_sign(quern_calc::number::DecimalSign::Point);

/// Runs `quern grit` on the demo's Dune.
fn dune(bench: &Bench, more: &[&str]) -> Ran {
    fine(&[&["grit", &bench.file, "--formula", "Dune"], more].concat())
}

fn json(bench: &Bench, more: &[&str]) -> Value {
    dune(bench, &[more, &["--json"]].concat()).json()
}

fn of<'a>(project: &'a Project, name: &str) -> &'a Formula {
    project.formula_named(name).unwrap()
}

fn evaluated(project: &Project, formula: &Formula) -> Evaluation {
    let plan = project.plan(&formula.id);
    let today = Context::on(day());
    evaluate(formula, &project.library(), builtin_rules(), &plan, &today)
}

fn near(value: &Value, expected: f64) {
    let value = value.as_f64().unwrap_or_else(|| panic!("{value} is no number"));
    assert!((value - expected).abs() <= 1e-9 * (1.0 + expected.abs()), "{value}, not {expected}");
}

fn percent(value: &Value) -> Percent {
    Percent(value.as_str().unwrap().parse().unwrap())
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap()
}

/// Saves a project changed for a test.
fn save(bench: &Bench, name: &str, change: impl FnOnce(&mut Project)) -> (String, Project) {
    let mut project = bench.project.clone();
    change(&mut project);
    let path = bench.path(name);
    std::fs::write(&path, quern_project::to_text(&project).unwrap()).unwrap();
    (path, project)
}

fn edit(project: &mut Project, name: &str, change: impl FnOnce(&mut Formula)) {
    let id = of(project, name).id.clone();
    let place = project.formulas.iter_mut().find(|f| f.id == id).unwrap();
    change(Arc::make_mut(place));
}

/// The line of an exfoliant.
fn line_of(formula: &Formula, id: &str) -> LineId {
    let item = Item::Material(MaterialId::new(id));
    formula.lines().find(|(_, l)| l.item == item).unwrap().1.id
}

const RICE: &str = "oryza-sativa-powder-fine-200-um";
const BEADS: &str = "jojoba-esters-beads-150-250-um";
const PUMICE: &str = "pumice-coarse-400-um";

fn scored(scores: &[(&str, f64, i64)]) -> GritNotes {
    let one = |(name, index, score): &(&str, f64, i64)| Score {
        formula: FormulaId::new(&name.to_lowercase()),
        name: format!("{name} 1"),
        index: *index,
        score: Decimal::from(*score),
    };
    GritNotes { scores: scores.iter().map(one).collect(), ..GritNotes::default() }
}

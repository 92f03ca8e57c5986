//! `quern setting` on the demo project and on projects made for it, against the calculation crate.

mod look;
mod refusals;
mod schema;

use std::sync::Arc;

use quern_calc::evaluate::{
    Evaluation, SettingAsk, SettingFigures, Value as Figure, evaluate, readouts, setting_figures,
    slab_readouts,
};
use quern_calc::formula::{Formula, FormulaId};
use quern_calc::setting::calibrate::{Measured, Reading};
use quern_calc::setting::mould::{Mould, Shape, Stand, Wall};
use quern_calc::setting::notes::SettingNotes;
use quern_calc::setting::pour::PourClass;
use quern_project::Project;
use quern_project::rules::builtin_rules;
use serde_json::Value;

use crate::bench::{Bench, Ran, day, fine, quern, refused, with_input};

/// A cool-down material that must not be in before the paste has stopped moving.
const TIGHT: &str = include_str!("tight.ron");

/// Runs `quern setting` on a formula of the demo.
fn of(bench: &Bench, formula: &str, more: &[&str]) -> Ran {
    fine(&[&["setting", &bench.file, "--formula", formula], more].concat())
}

fn json(bench: &Bench, formula: &str, more: &[&str]) -> Value {
    of(bench, formula, &[more, &["--json"]].concat()).json()
}

/// Words without their line breaks.
fn flat(ran: &Ran) -> String {
    ran.text().split_whitespace().collect::<Vec<_>>().join(" ")
}

fn figures(project: &Project, formula: &Formula, ask: &SettingAsk) -> (Evaluation, SettingFigures) {
    let plan = project.plan(&formula.id);
    let context =
        quern_calc::evaluate::Context { date: day(), setting: Arc::clone(&project.setting) };
    let library = project.library();
    let e = evaluate(formula, &library, builtin_rules(), &plan, &context);
    let s = setting_figures(formula, &library, &context, &e, ask);
    (e, s)
}

fn near(value: &Value, expected: f64) {
    let value = value.as_f64().unwrap_or_else(|| panic!("{value} is no number"));
    assert!((value - expected).abs() <= 1e-9 * (1.0 + expected.abs()), "{value}, not {expected}");
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap()
}

/// The demo with a reference, an own mould and one measurement of each kind on Dune.
fn measured(bench: &Bench) -> String {
    let on = |formula: &str, reading| Measured {
        formula: FormulaId::new(formula),
        name: format!("{formula} 4"),
        date: None,
        reading,
        said: Vec::new(),
    };
    let mut project = bench.project.clone();
    project.setting = Arc::new(SettingNotes {
        room_c: Some(19.0),
        reference: Some(FormulaId::new("shingle")),
        moulds: vec![Mould {
            name: "Oak tray".to_owned(),
            shape: Shape::Block(90.0, 60.0, 25.0),
            measured_ml: Some(128.0),
            wall: Wall::Wood,
        }],
        mould: Some("Oak tray".to_owned()),
        measured: vec![
            on("dune", Reading::SetsAt { c: 36.5 }),
            on("dune", Reading::Flow { at_c: 52.0, class: PourClass::ThickPour }),
            on("dune", Reading::Poured { at_c: 52.0, grams: 138.0, ml: 128.0 }),
            on("dune", Reading::Needle { at_c: 20.0, mm: 3.0 }),
            on("shingle", Reading::Needle { at_c: 20.0, mm: 2.5 }),
        ],
        ..SettingNotes::default()
    });
    let path = bench.path("measured.ron");
    std::fs::write(&path, quern_project::to_text(&project).unwrap()).unwrap();
    path
}

fn tight(bench: &Bench) -> String {
    let path = bench.path("tight.ron");
    std::fs::write(&path, TIGHT).unwrap();
    path
}

/// A project whose only formula has no fat.
fn dry(bench: &Bench) -> String {
    let path = bench.path("dry.ron");
    let text = TIGHT.replace(r#"material: "fat""#, r#"material: "clay""#);
    std::fs::write(&path, text.replace(r#"material: "oil""#, r#"material: "clay""#)).unwrap();
    path
}

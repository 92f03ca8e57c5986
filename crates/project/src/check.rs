//! What a project may not hold, whether it comes from a file or goes into one.
//!
//! Saving checks the same rules as loading, so that no file is written that could not be opened.
//! Odd amounts are no problem here: findings speak of them.

mod grit;
mod kept;
mod material;
mod notes;
mod setting;

use std::collections::BTreeSet;
use std::sync::Arc;

use quern_calc::batch::{BatchPlan, BatchSize};
use quern_calc::formula::{Formula, Line, Phase, PhaseTemperature};
use rust_decimal::Decimal;

use crate::Project;

pub(crate) use material::{check_material, solids_problem};
pub(crate) use setting::{measurement_place, mould_place};

/// Most characters in one text.
pub(crate) const MOST_TEXT: usize = 20_000;
/// Most formulas in a project.
pub(crate) const MOST_FORMULAS: usize = 2_000;
/// Most lines in a formula.
pub(crate) const MOST_LINES: usize = 500;
/// Most materials in a project.
pub(crate) const MOST_MATERIALS: usize = 5_000;
/// Most tables of solid fat in a project: each is fitted on loading, which takes some milliseconds.
const MOST_TABLES: usize = 200;
/// Problems that are kept; a spoilt file can hold any number.
const MOST_PROBLEMS: usize = 200;
/// Largest number, either way.
const MOST_NUMBER: f64 = 1e12;
/// No temperature lies below, in °C.
const ABSOLUTE_ZERO_C: f64 = -273.15;
/// Longest part of a name that a message repeats, in characters.
const MOST_QUOTED: usize = 60;

/// A name in quotation marks, short, and with nothing that would disturb the line it stands in.
pub(crate) fn quoted(text: &str) -> String {
    let mut shown: String = text
        .chars()
        .take(MOST_QUOTED)
        .map(|c| if c.is_control() || is_direction(c) { '\u{fffd}' } else { c })
        .collect();
    if text.chars().nth(MOST_QUOTED).is_some() {
        shown.push('…');
    }
    format!("“{shown}”")
}

/// Marks that turn the direction of text around them.
fn is_direction(c: char) -> bool {
    matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Problems found so far.
#[derive(Debug, Default)]
pub(crate) struct Problems {
    list: Vec<String>,
    more: usize,
}

impl Problems {
    pub(crate) fn push(&mut self, problem: String) {
        if self.list.len() < MOST_PROBLEMS {
            self.list.push(problem);
        } else {
            self.more = self.more.saturating_add(1);
        }
    }

    pub(crate) fn into_list(mut self) -> Vec<String> {
        if self.more > 0 {
            self.list.push(format!("{} more problems of this kind", self.more));
        }
        self.list
    }

    fn text(&mut self, place: impl Fn() -> String, what: &str, text: &str) {
        // Bytes first: counting characters is only needed for the few long texts.
        if text.len() > MOST_TEXT {
            let chars = text.chars().count();
            if chars > MOST_TEXT {
                self.push(format!(
                    "{}: the {what} has {chars} characters; at most {MOST_TEXT} are kept",
                    place()
                ));
            }
        }
    }

    fn id(&mut self, place: impl Fn() -> String, id: &str) {
        if id.trim().is_empty() {
            self.push(format!("{}: the id is empty; give it one", place()));
        }
        self.text(place, "id", id);
    }

    fn number(&mut self, place: impl Fn() -> String, what: &str, value: f64) {
        if !value.is_finite() {
            self.push(format!("{}: the {what} is not a number ({value})", place()));
        } else if value.abs() > MOST_NUMBER {
            self.push(format!("{}: the {what} is beyond a million million", place()));
        }
    }

    fn temperature(&mut self, place: impl Fn() -> String, what: &str, value: f64) {
        if value < ABSOLUTE_ZERO_C {
            self.push(format!("{}: the {what} of {value} °C is below absolute zero", place()));
        } else {
            self.number(place, what, value);
        }
    }

    fn decimal(&mut self, place: impl Fn() -> String, what: &str, value: Decimal) {
        if value.abs() > Decimal::from(1_000_000_000_000_i64) {
            self.push(format!("{}: the {what} is beyond a million million", place()));
        }
    }
}

/// Everything in the project that a file cannot hold, each in a sentence that names its place.
pub(crate) fn check(project: &Project, problems: &mut Problems) {
    check_changed(project, None, problems);
}

/// What of a change a file could not hold, each in a sentence that names its place. Only what
/// differs from before is looked at, so that a change in a large project costs little.
#[must_use]
pub fn unsaveable(before: &Project, after: &Project) -> Vec<String> {
    let mut problems = Problems::default();
    check_changed(after, Some(before), &mut problems);
    problems.into_list()
}

fn check_changed(project: &Project, before: Option<&Project>, problems: &mut Problems) {
    let place = || "the project".to_owned();
    problems.text(place, "name", &project.name);
    problems.text(place, "currency", &project.currency);
    problems.text(place, "note", &project.note);
    if project.formulas.len() > MOST_FORMULAS {
        problems.push(format!(
            "the project has {} formulas; at most {MOST_FORMULAS} fit, so split it",
            project.formulas.len()
        ));
    }
    if project.materials.len() > MOST_MATERIALS {
        problems.push(format!(
            "the project has {} materials; at most {MOST_MATERIALS} fit",
            project.materials.len()
        ));
    }
    let tables = project.materials.values().filter(|m| m.solids.is_some()).count();
    if let Some(problem) = too_many_tables(tables) {
        problems.push(problem);
    }
    let mut ids = BTreeSet::new();
    for (i, formula) in project.formulas.iter().enumerate() {
        if !ids.insert(&formula.id) {
            problems.push(format!(
                "the formula id {} is used twice; give each formula its own",
                quoted(formula.id.as_str())
            ));
        }
        if !before.and_then(|b| b.formulas.get(i)).is_some_and(|b| Arc::ptr_eq(b, formula)) {
            let place = || format!("formula {}", quoted(&formula.name));
            check_formula(formula, &place, problems);
        }
    }
    for (id, plan) in &project.plans {
        if !before.and_then(|b| b.plans.get(id)).is_some_and(|b| Arc::ptr_eq(b, plan)) {
            check_plan(id.as_str(), plan, problems);
        }
    }
    let kept = |a: &Project, b: &Project| {
        let same = |(x, y): (&Arc<_>, &Arc<_>)| Arc::ptr_eq(x, y);
        a.kept.len() == b.kept.len() && a.kept.iter().zip(&b.kept).all(same)
    };
    let binned = |a: &Project, b: &Project| {
        a.bin.len() == b.bin.len() && a.bin.iter().zip(&b.bin).all(|(x, y)| Arc::ptr_eq(x, y))
    };
    let formulas = |a: &Project, b: &Project| {
        a.formulas.len() == b.formulas.len()
            && a.formulas.iter().zip(&b.formulas).all(|(x, y)| Arc::ptr_eq(x, y))
    };
    let same = |b| kept(project, b) && binned(project, b) && formulas(project, b);
    if !before.is_some_and(same) {
        kept::check_kept(project, problems);
    }
    for (id, material) in &project.materials {
        if !before.and_then(|b| b.materials.get(id)).is_some_and(|b| Arc::ptr_eq(b, material)) {
            check_material(material, problems);
        }
    }
    if !before.is_some_and(|b| Arc::ptr_eq(&b.grit, &project.grit)) {
        grit::check_notes(&project.grit, problems);
    }
    if !before.is_some_and(|b| Arc::ptr_eq(&b.setting, &project.setting)) {
        setting::check_notes(&project.setting, problems);
    }
}

/// The problem of a project with so many tables of solid fat, if it is one.
pub(crate) fn too_many_tables(count: usize) -> Option<String> {
    (count > MOST_TABLES).then(|| {
        format!(
            "the project has {count} materials with solids of their own; at most {MOST_TABLES} \
             fit, so leave some out"
        )
    })
}

fn check_formula(formula: &Formula, place: &impl Fn() -> String, problems: &mut Problems) {
    problems.id(place, formula.id.as_str());
    problems.text(place, "name", &formula.name);
    problems.text(place, "note", &formula.note);
    problems.text(place, "reason of the version", &formula.version.reason);
    if let Some((parent, _)) = &formula.version.parent {
        problems.id(|| format!("the parent of {}", place()), parent.as_str());
    }
    problems.decimal(place, "parts_total", formula.parts_total);
    if let Some(ph) = &formula.ph {
        problems.decimal(place, "pH", ph.value);
    }
    notes::check_notes(formula, place, problems);
    let count = formula.lines().count();
    if count > MOST_LINES {
        problems.push(format!("{} has {count} lines; at most {MOST_LINES} fit", place()));
    }
    let (mut phases, mut lines) = (BTreeSet::new(), BTreeSet::new());
    for phase in &formula.phases {
        if !phases.insert(phase.id) {
            problems.push(format!(
                "{}: the phase id {} is used twice; give each phase its own",
                place(),
                phase.id.0
            ));
        }
        check_phase(phase, place, problems);
        for line in &phase.lines {
            if !lines.insert(line.id) {
                problems.push(format!(
                    "{}: the line id {} is used twice; give each line its own",
                    place(),
                    line.id.0
                ));
            }
            check_line(line, place, problems);
        }
    }
    if let Some(fills) = formula.fills.filter(|id| !lines.contains(id)) {
        problems.push(format!(
            "{}: fills names line {}, which is not there; name the line that fills to 100, or \
             leave fills out",
            place(),
            fills.0
        ));
    }
}

fn check_phase(phase: &Phase, formula: &impl Fn() -> String, problems: &mut Problems) {
    let place = || format!("phase {} of {}", phase.id.0, formula());
    problems.text(place, "name", &phase.name);
    match phase.temperature {
        PhaseTemperature::Unstated => {}
        PhaseTemperature::HeatTo(c) | PhaseTemperature::Below(c) => {
            problems.temperature(place, "temperature", c);
        }
    }
    for (i, step) in phase.steps.iter().enumerate() {
        let place = || format!("step {} of {}", i.saturating_add(1), place());
        problems.text(place, "text", &step.text);
        if let Some(c) = step.temperature_c {
            problems.temperature(place, "temperature", c);
        }
        if let Some(minutes) = step.minutes {
            problems.number(place, "minutes", minutes);
        }
    }
}

fn check_line(line: &Line, formula: &impl Fn() -> String, problems: &mut Problems) {
    let place = || format!("line {} of {}", line.id.0, formula());
    let item = |item: &quern_calc::formula::Item| match item {
        quern_calc::formula::Item::Material(id) => id.as_str().to_owned(),
        quern_calc::formula::Item::Formula(id) => id.as_str().to_owned(),
    };
    problems.text(place, "id of its material or formula", &item(&line.item));
    problems.text(place, "note", &line.note);
    if let Some(amount) = &line.amount {
        problems.decimal(place, "amount", amount.typed);
    }
    for alternative in &line.alternatives {
        let place = || format!("an alternative of {}", place());
        problems.text(place, "id of its material or formula", &item(&alternative.item));
        problems.text(place, "note", &alternative.note);
        problems.decimal(place, "ratio", alternative.ratio);
    }
}

fn check_plan(formula: &str, plan: &BatchPlan, problems: &mut Problems) {
    let place = || format!("the plan of formula {}", quoted(formula));
    problems.id(place, formula);
    let (BatchSize::Gross(mass) | BatchSize::Net(mass) | BatchSize::Pieces { each: mass, .. }) =
        plan.size;
    problems.decimal(place, "batch size", mass.0);
    problems.decimal(place, "loss", plan.loss.0);
    problems.text(place, "batch code", &plan.code);
    if let Some(piece) = plan.piece {
        problems.decimal(place, "piece", piece.0);
    }
    if let Some(vessel) = &plan.vessel {
        problems.text(place, "name of the vessel", &vessel.name);
        problems.decimal(place, "content of the vessel", vessel.holds.0);
    }
    for scale in &plan.scales {
        problems.text(place, "name of a scale", &scale.name);
        for (what, mass) in [
            ("readability of a scale", scale.readability),
            ("capacity of a scale", scale.capacity),
            ("tare of a scale", scale.tare),
        ] {
            problems.decimal(place, what, mass.0);
        }
    }
}

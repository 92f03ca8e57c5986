//! `report --json`.

use std::collections::BTreeMap;

use quern_calc::batch::{BatchPlan, WeighLine};
use quern_calc::evaluate::{Evaluation, LineFigures, figure_rows};
use quern_calc::formula::{
    Formula, LineId, Phase as PhaseModel, PhaseTemperature, Slice as SliceModel, phase_letter,
};
use quern_calc::number::NumberStyle;
use quern_calc::quantity::{Grams, Percent};
use serde::Serialize;

use super::super::estimate::estimate;
use super::super::findings::no_batch;
use super::safety::Checks;
use super::{Cell, Counts, Finding, Head, Missing, Product, Version, cell, exact, found};

/// The document.
#[derive(Debug, Serialize)]
pub(in super::super) struct Report {
    #[serde(flatten)]
    pub head: Head,
    pub formulas: Vec<ReportFormula>,
}

/// Everything about one formula.
#[derive(Debug, Serialize)]
pub(in super::super) struct ReportFormula {
    name: String,
    id: String,
    version: Version,
    product: Product,
    total_percent: String,
    phases: Vec<Phase>,
    batch: Option<Batch>,
    figures: BTreeMap<&'static str, Option<Cell>>,
    estimates: Vec<Estimated>,
    missing: Vec<Missing>,
    composition: Composition,
    counts: Counts,
    findings: Vec<Finding>,
    checks: Checks,
    cautions: Vec<Caution>,
}

#[derive(Debug, Serialize)]
struct Phase {
    id: u32,
    letter: String,
    name: String,
    kind: &'static str,
    temperature: Option<Temperature>,
    percent: String,
    lines: Vec<Line>,
}

#[derive(Debug, Serialize)]
struct Temperature {
    at: &'static str,
    celsius: f64,
}

#[derive(Debug, Serialize)]
struct Line {
    id: u32,
    name: String,
    inci: String,
    function: Option<&'static str>,
    fills: bool,
    percent: Option<String>,
    grams_exact: Option<String>,
    grams_target: Option<String>,
    band: Option<String>,
    scale: Option<Scale>,
    cost: Option<String>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Scale {
    name: String,
    readability: String,
    capacity: String,
    holds_it: bool,
}

#[derive(Debug, Serialize)]
struct Batch {
    code: String,
    gross: String,
    net: String,
    lost: String,
    loss_percent: String,
    pieces: Option<u32>,
    piece: Option<String>,
    exact: String,
    rounded: String,
    difference: String,
}

#[derive(Debug, Serialize)]
struct Estimated {
    figure: &'static str,
    model: String,
    low: Option<f64>,
    high: Option<f64>,
    left_out: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Composition {
    components: Vec<Component>,
    unopened: Vec<Unopened>,
    water: Water,
    by_phase: Vec<Slice>,
    by_function: Vec<Slice>,
}

#[derive(Debug, Serialize)]
struct Component {
    inci: String,
    percent: String,
    sources: Vec<Source>,
}

#[derive(Debug, Serialize)]
struct Source {
    line: u32,
    material: String,
    percent: String,
}

#[derive(Debug, Serialize)]
struct Unopened {
    line: u32,
    material: String,
}

#[derive(Debug, Serialize)]
struct Water {
    free_percent: String,
    bound_percent: String,
    crystal_percent: String,
}

#[derive(Debug, Serialize)]
struct Slice {
    name: String,
    percent: String,
}

#[derive(Debug, Serialize)]
struct Caution {
    key: &'static str,
    text: String,
}

fn percent(p: Percent) -> String {
    exact(p.0)
}

fn grams(g: Grams) -> String {
    exact(g.0)
}

/// The formula with its figures for a plan.
pub(in super::super) fn report_formula(
    formula: &Formula,
    plan: &BatchPlan,
    e: &Evaluation,
) -> ReportFormula {
    let mut missing = Vec::new();
    if e.batch.is_err() {
        missing.push(Missing::new("batch", no_batch(e, NumberStyle::default())));
    }
    let mut figures = BTreeMap::new();
    let mut estimates = Vec::new();
    for row in figure_rows(e) {
        let value = cell(&row.value).map_err(|why| missing.push(Missing::new(row.key, why))).ok();
        figures.insert(row.key, value);
        if let Some(behind) = estimate(&row, e) {
            estimates.push(Estimated {
                figure: row.key,
                model: behind.model,
                low: behind.band.map(|(low, _)| low).filter(|x| x.is_finite()),
                high: behind.band.map(|(_, high)| high).filter(|x| x.is_finite()),
                left_out: behind.left_out,
            });
        }
    }
    ReportFormula {
        name: formula.name.clone(),
        id: formula.id.to_string(),
        version: Version::new(formula),
        product: Product::new(formula),
        total_percent: percent(e.total),
        phases: formula
            .phases
            .iter()
            .enumerate()
            .map(|(i, phase)| phase_of(i, phase, plan, e))
            .collect(),
        batch: batch(plan, e),
        figures,
        estimates,
        missing,
        composition: composition(e),
        counts: Counts::of(e),
        findings: found(formula, e),
        checks: Checks::new(e),
        cautions: e.cares.iter().map(|c| Caution { key: c.key, text: c.text.clone() }).collect(),
    }
}

fn batch(plan: &BatchPlan, e: &Evaluation) -> Option<Batch> {
    let b = e.batch.as_ref().ok()?;
    Some(Batch {
        code: e.batch_code.clone(),
        gross: grams(b.gross),
        net: grams(b.net),
        lost: grams(b.lost),
        loss_percent: percent(plan.loss),
        pieces: b.pieces,
        piece: b.piece.map(grams),
        exact: grams(e.weigh.exact),
        rounded: grams(e.weigh.rounded),
        difference: grams(e.weigh.difference()),
    })
}

fn phase_of(index: usize, phase: &PhaseModel, plan: &BatchPlan, e: &Evaluation) -> Phase {
    let sum = e.phases.iter().find(|p| p.phase == phase.id).map(|p| p.percent);
    Phase {
        id: phase.id.0,
        letter: phase_letter(index),
        name: phase.name.clone(),
        kind: phase.kind.name(),
        temperature: match phase.temperature {
            PhaseTemperature::Unstated => None,
            PhaseTemperature::HeatTo(celsius) => Some(Temperature { at: "heat-to", celsius }),
            PhaseTemperature::Below(celsius) => Some(Temperature { at: "below", celsius }),
        },
        percent: percent(sum.unwrap_or_default()),
        lines: e
            .lines
            .iter()
            .filter(|l| l.phase == phase.id)
            .map(|l| line(l, e.weigh.line(l.line), plan, e))
            .collect(),
    }
}

fn line(
    figures: &LineFigures,
    weigh: Option<&WeighLine>,
    plan: &BatchPlan,
    e: &Evaluation,
) -> Line {
    let mut missing = Vec::new();
    // Without a batch the weigh list holds zeros, which are no weights.
    let why = match (&e.batch, figures.percent) {
        (_, None) => "no amount".to_owned(),
        (Err(_), _) => no_batch(e, NumberStyle::default()),
        (Ok(_), Some(p)) if p.is_negative() => "the amount is negative".to_owned(),
        (Ok(_), Some(_)) => "no scale".to_owned(),
    };
    let weigh = weigh.filter(|_| e.batch.is_ok());
    let mut text = |key, value: Option<String>| {
        if value.is_none() {
            missing.push(Missing::new(key, why.clone()));
        }
        value
    };
    let percent = text("percent", figures.percent.map(percent));
    let grams_exact = text("grams_exact", weigh.and_then(|w| w.exact).map(grams));
    let grams_target = text("grams_target", weigh.and_then(|w| w.target).map(grams));
    let band = text("band", weigh.and_then(|w| w.band).map(grams));
    let scale = weigh.and_then(|w| {
        let scale = plan.scales.get(w.scale?)?;
        Some(Scale {
            name: scale.name.clone(),
            readability: grams(scale.readability),
            capacity: grams(scale.capacity),
            holds_it: w.fits,
        })
    });
    if scale.is_none() {
        missing.push(Missing::new("scale", why.clone()));
    }
    let cost = e.cost.lines.get(&figures.line).map(|m| exact(m.0));
    if cost.is_none() {
        missing.push(Missing::new("cost", no_cost(figures.line, &why, e)));
    }
    Line {
        id: figures.line.0,
        name: figures.name.clone(),
        inci: figures.inci.clone(),
        function: Some(figures.function).filter(|f| !f.is_empty()),
        fills: figures.fills,
        percent,
        grams_exact,
        grams_target,
        band,
        scale,
        cost,
        missing,
    }
}

/// Why a line has no cost: no batch and no amount come before no price.
fn no_cost(line: LineId, why: &str, e: &Evaluation) -> String {
    let amount = e.line(line).and_then(|l| l.percent);
    if amount.is_none() || e.batch.is_err() {
        return why.to_owned();
    }
    "price not known".to_owned()
}

fn composition(e: &Evaluation) -> Composition {
    let c = &e.composition;
    let slices = |slices: &[SliceModel]| {
        slices.iter().map(|s| Slice { name: s.name.clone(), percent: percent(s.percent) }).collect()
    };
    Composition {
        components: c
            .components
            .iter()
            .map(|component| Component {
                inci: component.inci.clone(),
                percent: percent(component.percent),
                sources: component
                    .sources
                    .iter()
                    .map(|s| Source {
                        line: s.line.0,
                        material: s.material.to_string(),
                        percent: percent(s.percent),
                    })
                    .collect(),
            })
            .collect(),
        unopened: c
            .unopened
            .iter()
            .map(|(line, material)| Unopened { line: line.0, material: material.to_string() })
            .collect(),
        water: Water {
            free_percent: percent(c.water.free),
            bound_percent: percent(c.water.bound),
            crystal_percent: percent(c.water.crystal),
        },
        by_phase: slices(&e.by_phase),
        by_function: slices(&e.by_function),
    }
}

//! One exfoliant for another.

use quern_calc::evaluate::{Evaluation, GrainFigures, WhyNot, blend_cost};
use quern_calc::formula::{Formula, Item};
use serde::Serialize;

use super::super::super::grit::{Swap, Swapped, Way};
use super::super::{Finding, Head, Missing, finding};
use super::{Named, Subject, Top, or_missing, percent};

/// The document.
#[derive(Debug, Serialize)]
pub(in super::super::super) struct Document {
    #[serde(flatten)]
    top: Top,
    formula: Subject,
    line: u32,
    old: Named,
    new: Named,
    before: State,
    ways: Vec<WayOf>,
}

/// The formula before, or after one way.
#[derive(Debug, Serialize)]
struct State {
    line_percent: Option<String>,
    index: Option<f64>,
    in_use: Option<f64>,
    band: Option<&'static str>,
    total_percent: Option<String>,
    d50_um: Option<f64>,
    cost_per_100g: Option<f64>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct WayOf {
    keep: &'static str,
    after: Option<State>,
    inci_come: Vec<String>,
    inci_go: Vec<String>,
    findings_come: Vec<Finding>,
    findings_go: Vec<Finding>,
    missing: Vec<Missing>,
}

/// The document of a swap.
pub(in super::super::super) fn swap(head: Head, formula: &Formula, swap: &Swap) -> Document {
    let old = match &swap.line.item {
        Item::Material(id) => Named::new(id, &swap.old),
        Item::Formula(id) => Named::new(id, &swap.old),
    };
    Document {
        top: Top::new(head, "swap"),
        formula: Subject::new(formula),
        line: swap.line.id.0,
        old,
        new: Named::new(&swap.new.id, swap.new.display_name()),
        before: state(swap.load.map(percent), &swap.before),
        ways: swap.ways.iter().map(|way| way_of(way, formula, swap)).collect(),
    }
}

fn state(load: Option<String>, e: &Evaluation) -> State {
    let mut missing = Vec::new();
    let line_percent =
        or_missing(&mut missing, "line_percent", load, || "the line has no amount".to_owned());
    let grains: Result<&GrainFigures, String> = e.grains.as_ref().map_err(WhyNot::words);
    let mut lacking = |figure: &str| {
        if let Err(why) = &grains {
            missing.push(Missing::new(figure, why.clone()));
        }
    };
    for figure in ["index", "in_use", "band", "total_percent", "d50_um"] {
        lacking(figure);
    }
    let cost_per_100g =
        blend_cost(e).map_err(|why| missing.push(Missing::new("cost_per_100g", why.words()))).ok();
    let f = grains.ok();
    State {
        line_percent,
        index: f.map(|f| f.grit.index),
        in_use: f.map(|f| f.grit.in_use),
        band: f.map(|f| f.grit.band.name()),
        total_percent: f.map(|f| percent(f.load)),
        d50_um: f.map(|f| f.stats.d50),
        cost_per_100g,
        missing,
    }
}

fn way_of(way: &Way, formula: &Formula, swap: &Swap) -> WayOf {
    let keep = way.keep.name();
    match &way.result {
        Err(why) => WayOf {
            keep,
            after: None,
            inci_come: Vec::new(),
            inci_go: Vec::new(),
            findings_come: Vec::new(),
            findings_go: Vec::new(),
            missing: vec![Missing::new("after", why.clone())],
        },
        Ok(Swapped { formula: after, load, evaluation, effect }) => WayOf {
            keep,
            after: Some(state(Some(percent(*load)), evaluation)),
            inci_come: effect.inci_come.clone(),
            inci_go: effect.inci_go.clone(),
            findings_come: effect
                .findings_come
                .iter()
                .map(|f| finding(f, after, evaluation))
                .collect(),
            findings_go: effect
                .findings_go
                .iter()
                .map(|f| finding(f, formula, &swap.before))
                .collect(),
            missing: Vec::new(),
        },
    }
}

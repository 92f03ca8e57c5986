//! The assessment of preservation for scripts.

use quern_calc::evaluate::Evaluation;
use quern_calc::formula::Span;
use quern_calc::number::NumberStyle;
use quern_calc::safety::keeping::{
    Counts, Criterion as CriterionHeld, CriterionFigure, MICROBES, Need, System as SystemHere,
};
use quern_calc::safety::preservation::Reach as ReachOf;
use serde::Serialize;

use super::{Cell, exact};

/// What needs keeping, what keeps it, and what was looked at.
#[derive(Debug, Serialize)]
pub(super) struct Preservation {
    need: &'static str,
    free_water_percent: String,
    bound_water_percent: String,
    ph: Option<f64>,
    ph_measured: Option<bool>,
    reach: Reach,
    reach_is_least: bool,
    systems: Vec<System>,
    food: Vec<String>,
    antioxidants_instead: Vec<String>,
    reason_without: bool,
    criteria: Vec<Criterion>,
    advice: Vec<String>,
    edition: String,
}

#[derive(Debug, Serialize)]
struct Reach {
    bacteria: &'static str,
    yeast: &'static str,
    mould: &'static str,
}

#[derive(Debug, Serialize)]
struct System {
    inci: String,
    percent: String,
    lines: Vec<u32>,
    counts: &'static str,
    ph_window: Option<Window>,
    in_window: Option<bool>,
    heat: Option<Heat>,
    least_percent: Option<String>,
    acid: Option<Acid>,
    reach: Option<Reach>,
    bound_by_micelles: bool,
    words: Vec<String>,
    note: String,
    source: String,
}

#[derive(Debug, Serialize)]
struct Window {
    low: Option<f64>,
    high: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Heat {
    stands_c: f64,
    added_at_c: f64,
}

#[derive(Debug, Serialize)]
struct Acid {
    name: String,
    pka: f64,
    percent: String,
    undissociated_fraction: Option<f64>,
    undissociated_percent: Option<f64>,
    worth: Option<&'static str>,
    good_from_percent: String,
    ineffective_below_percent: String,
}

#[derive(Debug, Serialize)]
struct Criterion {
    name: &'static str,
    met: Option<bool>,
    figure: Option<Cell>,
    unit: &'static str,
}

fn reach([bacteria, yeast, mould]: [ReachOf; MICROBES.len()]) -> Reach {
    Reach { bacteria: bacteria.name(), yeast: yeast.name(), mould: mould.name() }
}

fn counts(c: Counts) -> &'static str {
    match c {
        Counts::Yes => "yes",
        Counts::Helps => "helps",
        Counts::Weakly => "weakly",
        Counts::Idle => "no",
        Counts::PhUnknown => "ph-unknown",
    }
}

fn system(s: &SystemHere) -> System {
    System {
        inci: s.inci.clone(),
        percent: exact(s.percent.0),
        lines: s.lines.iter().map(|l| l.0).collect(),
        counts: counts(s.counts),
        ph_window: s.window.map(|Span { low, high }| Window { low, high }),
        in_window: s.in_window,
        heat: s.heat.map(|(stands_c, added_at_c)| Heat { stands_c, added_at_c }),
        least_percent: s.least.map(|p| exact(p.0)),
        acid: s.acid.as_ref().map(|a| Acid {
            name: a.name.clone(),
            pka: a.pka,
            percent: exact(a.total.0),
            undissociated_fraction: a.at.map(|(fraction, _)| fraction),
            undissociated_percent: a.at.map(|(_, percent)| percent),
            worth: a.band.map(quern_calc::safety::keeping::Band::name),
            good_from_percent: exact(a.bands.0.0),
            ineffective_below_percent: exact(a.bands.1.0),
        }),
        reach: s.reach.map(reach),
        bound_by_micelles: s.bound,
        words: s.words(NumberStyle::default()),
        note: s.note.clone(),
        source: s.source.clone(),
    }
}

fn criterion(c: &CriterionHeld) -> Criterion {
    let (figure, unit) = match &c.figure {
        CriterionFigure::Ph(ph) => (ph.map(|(ph, _)| Cell::Number(ph)), "pH"),
        CriterionFigure::Percent(p) => (Some(Cell::Exact(exact(p.0))), "%"),
        CriterionFigure::Celsius(c) => (c.map(Cell::Number), "°C"),
        CriterionFigure::Activity(a) => (a.map(Cell::Number), ""),
    };
    Criterion { name: c.name, met: c.met, figure, unit }
}

/// Preservation of a formula.
pub(super) fn preservation(e: &Evaluation) -> Preservation {
    let k = &e.safety.keeping;
    Preservation {
        need: match k.need {
            Need::Water => "water",
            Need::WetUse => "wet-use",
            Need::Dry => "dry",
        },
        free_water_percent: exact(k.water.free.0),
        bound_water_percent: exact(k.water.bound.0),
        ph: k.ph.map(|(ph, _)| ph),
        ph_measured: k.ph.map(|(_, measured)| measured),
        reach: reach(k.coverage),
        reach_is_least: k.coverage_open,
        systems: k.systems.iter().map(system).collect(),
        food: k.food.clone(),
        antioxidants_instead: k.only_antioxidants.clone(),
        reason_without: k.argued,
        criteria: k.criteria.iter().map(criterion).collect(),
        advice: k.advice(NumberStyle::default()),
        edition: k.edition.clone(),
    }
}

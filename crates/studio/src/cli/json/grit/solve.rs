//! A blend for a wanted index.

use std::path::Path;

use quern_calc::evaluate::{
    BlendAnswer, BlendFound, GrainFigures, NamedCandidate, WhyNot, left_out_words, limit_words,
    relaxed_words,
};
use quern_calc::formula::Formula;
use quern_calc::grit::index::Band;
use quern_calc::grit::solve::{LeftOut, Limit};
use quern_calc::number::NumberStyle;
use serde::Serialize;

use super::super::super::grit::{Wanted, guides_of};
use super::super::{Head, Missing};
use super::{Guide, Load, NO_PRICE, Named, Subject, Top, or_missing, percent, stage};

/// The document.
#[derive(Debug, Serialize)]
pub(in super::super::super) struct Solve {
    #[serde(flatten)]
    top: Top,
    formula: Subject,
    wanted: Asked,
    present: Option<Present>,
    candidates: Vec<Candidate>,
    density_g_ml: f64,
    blends: Vec<Blend>,
    left_out: Vec<Left>,
    reachable: Option<Range>,
    relax: Vec<Relax>,
    written: Option<String>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Asked {
    index: f64,
    stage: &'static str,
    least_percent: String,
    most_percent: String,
    nothing_above_um: Option<f64>,
    tolerance_percent: Option<String>,
    kinds_least: usize,
    kinds_most: usize,
    prefer: &'static str,
    without_cautions: Vec<&'static str>,
    without: Vec<Named>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Present {
    index: f64,
    in_use: f64,
    total_percent: String,
}

#[derive(Debug, Serialize)]
struct Candidate {
    id: String,
    name: String,
    present_percent: f64,
    most_percent: f64,
    price_per_gram: Option<f64>,
    locked: bool,
    barred: bool,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Blend {
    exfoliants: Vec<Load>,
    index: f64,
    in_use: f64,
    band: &'static str,
    total_percent: String,
    cost_per_100g: Option<f64>,
    guides: Vec<Guide>,
    held_by: Vec<Held>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Held {
    limit: &'static str,
    words: String,
}

#[derive(Debug, Serialize)]
struct Left {
    id: String,
    name: String,
    reason: &'static str,
    words: String,
}

#[derive(Debug, Serialize)]
struct Range {
    low: f64,
    high: f64,
}

#[derive(Debug, Serialize)]
struct Relax {
    limit: &'static str,
    to: Option<f64>,
    words: String,
    missing: Vec<Missing>,
}

/// The document of a search.
pub(in super::super::super) fn solve(
    head: Head,
    formula: &Formula,
    present: Result<&GrainFigures, &WhyNot>,
    wanted: &Wanted,
    answer: &BlendAnswer,
    written: Option<&Path>,
) -> Solve {
    let style = NumberStyle::default();
    let mut missing = Vec::new();
    let none_needed = || {
        if answer.found.is_empty() {
            "the limits shut out every blend".to_owned()
        } else {
            "worked out only when no blend is found".to_owned()
        }
    };
    let now = present.ok().map(|f| Present {
        index: f.grit.index,
        in_use: f.grit.in_use,
        total_percent: percent(f.load),
    });
    Solve {
        top: Top::new(head, "solve"),
        formula: Subject::new(formula),
        wanted: asked(wanted),
        present: or_missing(&mut missing, "present", now, || {
            present.err().map(WhyNot::words).unwrap_or_default()
        }),
        candidates: answer.candidates.iter().map(candidate).collect(),
        density_g_ml: answer.density,
        blends: answer.found.iter().map(|found| blend(found, answer, style)).collect(),
        left_out: answer
            .left_out
            .iter()
            .map(|left| {
                let of = answer.candidates.get(left.0);
                Left {
                    id: of.map(|c| c.id.to_string()).unwrap_or_default(),
                    name: of.map(|c| c.name.clone()).unwrap_or_default(),
                    reason: reason(left.1),
                    words: left_out_words(left, answer, style),
                }
            })
            .collect(),
        reachable: or_missing(
            &mut missing,
            "reachable",
            answer.reachable.map(|(low, high)| Range { low, high }),
            none_needed,
        ),
        relax: answer
            .relax
            .iter()
            .map(|r| {
                let mut missing = Vec::new();
                Relax {
                    limit: limit(r.limit),
                    to: or_missing(&mut missing, "to", r.to, || "it has to go".to_owned()),
                    words: relaxed_words(r, answer, style),
                    missing,
                }
            })
            .collect(),
        written: or_missing(
            &mut missing,
            "written",
            written.map(|path| path.display().to_string()),
            || {
                let why = if answer.found.is_empty() {
                    "no blend was found"
                } else {
                    "--apply was not given"
                };
                why.to_owned()
            },
        ),
        missing,
    }
}

fn asked(wanted: &Wanted) -> Asked {
    let (ask, mut missing) = (&wanted.ask, Vec::new());
    let none = || "no size limit was given".to_owned();
    Asked {
        index: ask.index,
        stage: stage(ask.stage),
        least_percent: percent(wanted.least),
        most_percent: percent(wanted.most),
        nothing_above_um: or_missing(
            &mut missing,
            "nothing_above_um",
            ask.size.map(|s| s.um),
            none,
        ),
        tolerance_percent: or_missing(
            &mut missing,
            "tolerance_percent",
            wanted.tolerance.map(percent),
            none,
        ),
        kinds_least: ask.kinds.0,
        kinds_most: ask.kinds.1,
        prefer: ask.prefer.name(),
        without_cautions: ask.without.iter().map(|c| c.name()).collect(),
        without: wanted.barred.iter().map(|m| Named::new(&m.id, m.display_name())).collect(),
        missing,
    }
}

fn candidate(named: &NamedCandidate) -> Candidate {
    let (c, mut missing) = (&named.candidate, Vec::new());
    Candidate {
        id: named.id.to_string(),
        name: named.name.clone(),
        present_percent: c.grain.percent,
        most_percent: c.most,
        price_per_gram: or_missing(&mut missing, "price_per_gram", c.cost, || NO_PRICE.to_owned()),
        locked: c.held,
        barred: c.barred,
        missing,
    }
}

fn blend(found: &BlendFound, answer: &BlendAnswer, style: NumberStyle) -> Blend {
    let mut missing = Vec::new();
    Blend {
        exfoliants: found
            .blend
            .iter()
            .map(|(id, name, p)| Load {
                id: id.to_string(),
                name: name.clone(),
                percent: percent(*p),
            })
            .collect(),
        index: found.index,
        in_use: found.in_use,
        band: Band::from_index(found.index).name(),
        total_percent: percent(found.total),
        cost_per_100g: or_missing(&mut missing, "cost_per_100g", found.cost, || {
            NO_PRICE.to_owned()
        }),
        guides: guides_of(found, style).iter().map(Guide::new).collect(),
        held_by: found
            .binding
            .iter()
            .map(|l| Held { limit: limit(*l), words: limit_words(*l, answer, style) })
            .collect(),
        missing,
    }
}

fn limit(limit: Limit) -> &'static str {
    match limit {
        Limit::TotalMost(_) => "total-most",
        Limit::TotalLeast(_) => "total-least",
        Limit::Most(..) => "most",
        Limit::Least(..) => "least",
        Limit::Held(_) => "locked",
        Limit::Size => "size",
        Limit::KindsLeast(_) => "kinds-least",
        Limit::KindsMost(_) => "kinds-most",
        Limit::Barred => "barred",
        Limit::NoPrice => "no-price",
    }
}

fn reason(left: LeftOut) -> &'static str {
    match left {
        LeftOut::Barred => "barred",
        LeftOut::TooLarge(_) => "too-large",
        LeftOut::NoPrice => "no-price",
        LeftOut::NoData => "no-data",
        LeftOut::TooMany => "too-many",
    }
}

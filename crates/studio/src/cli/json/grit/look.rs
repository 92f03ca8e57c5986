//! One blend, and blends side by side.

use quern_calc::evaluate::{BlendRow, BlendSide, CLASS_EDGES_UM, GrainFigures, GrainPart};
use quern_calc::grit::calibrate::{Calibration, NoScale};
use quern_calc::grit::notes::Score;
use quern_calc::grit::spread::{CONSTANTS, DRAWS, Spread};
use serde::Serialize;

use super::super::super::grit::Blend;
use super::super::compare::NotThere;
use super::super::{Cell, Head, Missing, cell, exact};
use super::{Guide, NO_CUT, Subject, Top, or_missing, percent};

/// One blend.
#[derive(Debug, Serialize)]
pub(in super::super::super) struct Report {
    #[serde(flatten)]
    top: Top,
    formula: Subject,
    own_place: &'static str,
    grams_per_use: String,
    cut_um: Option<f64>,
    density_g_ml: f64,
    density_assumed: bool,
    index: Index,
    exfoliants: Vec<Exfoliant>,
    by_size: BySize,
    rows: Vec<Row>,
    guides: Vec<Guide>,
    own_scale: Option<OwnScale>,
    left_out: Vec<String>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Index {
    dry: f64,
    in_use: f64,
    without_soluble: f64,
    band: &'static str,
    guide: &'static str,
    spread: SpreadOf,
}

#[derive(Debug, Serialize)]
struct SpreadOf {
    draws: usize,
    low: f64,
    high: f64,
    in_use_low: f64,
    in_use_high: f64,
    by_constant: Vec<ByConstant>,
}

#[derive(Debug, Serialize)]
struct ByConstant {
    constant: &'static str,
    unit: &'static str,
    from: f64,
    to: f64,
    index_low: f64,
    index_high: f64,
}

#[derive(Debug, Serialize)]
struct Exfoliant {
    line: u32,
    direct: bool,
    id: String,
    name: String,
    percent: String,
    d10_um: f64,
    d50_um: f64,
    d90_um: f64,
    sieves: Option<String>,
    size_assumed: bool,
    lot: Option<String>,
    density_g_ml: f64,
    hardness_mpa: f64,
    angularity: f64,
    dissolves_um_per_s: Option<f64>,
    adds_to_index: f64,
    by_size: Vec<f64>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct BySize {
    edges_um: Vec<f64>,
    adds_to_index: Vec<f64>,
}

#[derive(Debug, Serialize)]
struct OwnScale {
    at_zero: f64,
    slope: f64,
    error: Option<f64>,
    scored_from: f64,
    scored_to: f64,
    contradicts: bool,
    score: Option<f64>,
    extended: bool,
    scores: Vec<Scored>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Scored {
    formula: String,
    name: String,
    index: f64,
    score: String,
    residual: f64,
}

/// A figure of every side.
#[derive(Debug, Serialize)]
struct Row {
    key: &'static str,
    name: String,
    estimate: bool,
    values: Vec<Option<Cell>>,
    difference: String,
    missing: Vec<NotThere>,
}

/// The document of one blend.
pub(in super::super::super) fn report(
    head: Head,
    blend: &Blend<'_>,
    scale: &Result<Calibration, NoScale>,
    scores: &[Score],
) -> Report {
    let (f, mut missing) = (blend.figures, Vec::new());
    let own_scale = match scale {
        Ok(fit) => Some(own_scale(fit, scores, f.grit.index)),
        Err(why) => {
            missing.push(Missing::new("own_scale", why.to_string()));
            None
        }
    };
    let parts = f.parts.iter().zip(&f.grit.contributions).zip(&f.by_class);
    Report {
        top: Top::new(head, "report"),
        formula: Subject::new(blend.formula),
        own_place: blend.own_place.name(),
        grams_per_use: exact(blend.per_use.0),
        cut_um: or_missing(&mut missing, "cut_um", blend.cut_um, || NO_CUT.to_owned()),
        density_g_ml: f.product_density,
        density_assumed: f.density_assumed,
        index: index(f, &blend.spread),
        exfoliants: parts.map(|((part, adds), cells)| exfoliant(part, *adds, cells)).collect(),
        by_size: BySize { edges_um: CLASS_EDGES_UM.to_vec(), adds_to_index: f.class_totals() },
        rows: rows(&blend.rows, &[blend.formula.id.to_string()]),
        guides: blend.guides.iter().map(Guide::new).collect(),
        own_scale,
        left_out: f.left_out.clone(),
        missing,
    }
}

fn index(f: &GrainFigures, spread: &Spread) -> Index {
    let by_constant = CONSTANTS.iter().zip(spread.by_constant);
    Index {
        dry: f.grit.index,
        in_use: f.grit.in_use,
        without_soluble: f.insoluble_index,
        band: f.grit.band.name(),
        guide: f.grit.band.guide(),
        spread: SpreadOf {
            draws: DRAWS,
            low: spread.low,
            high: spread.high,
            in_use_low: spread.in_use.0,
            in_use_high: spread.in_use.1,
            by_constant: by_constant
                .map(|(constant, (low, high))| ByConstant {
                    constant: constant.name,
                    unit: constant.unit,
                    from: constant.low,
                    to: constant.high,
                    index_low: low,
                    index_high: high,
                })
                .collect(),
        },
    }
}

fn exfoliant(part: &GrainPart, adds: f64, by_size: &[f64]) -> Exfoliant {
    let (grain, mut missing) = (&part.grain, Vec::new());
    Exfoliant {
        line: part.line.0,
        direct: part.direct,
        id: part.material.to_string(),
        name: part.name.clone(),
        percent: percent(part.load),
        d10_um: grain.size.d10_um(),
        d50_um: grain.size.d50_um(),
        d90_um: grain.size.d90_um(),
        sieves: or_missing(&mut missing, "sieves", part.mesh(), || {
            "beyond the sieves of the series".to_owned()
        }),
        size_assumed: part.assumed_size,
        lot: or_missing(&mut missing, "lot", part.lot.clone(), || {
            "no lot is in use; the sizes are those of the material".to_owned()
        }),
        density_g_ml: grain.density_g_ml,
        hardness_mpa: grain.hardness_mpa,
        angularity: grain.angularity,
        dissolves_um_per_s: or_missing(
            &mut missing,
            "dissolves_um_per_s",
            grain.dissolves_um_per_s,
            || "taken as insoluble".to_owned(),
        ),
        adds_to_index: adds,
        by_size: by_size.to_vec(),
        missing,
    }
}

fn own_scale(fit: &Calibration, scores: &[Score], index: f64) -> OwnScale {
    let mut missing = Vec::new();
    let score = (!fit.contradicts()).then(|| fit.score(index));
    OwnScale {
        at_zero: fit.at_zero,
        slope: fit.slope,
        error: or_missing(&mut missing, "error", fit.error, || {
            "any line passes through two scores".to_owned()
        }),
        scored_from: fit.range.0,
        scored_to: fit.range.1,
        contradicts: fit.contradicts(),
        score: or_missing(&mut missing, "score", score, || {
            "rougher bars were scored lower, so the index does not describe them".to_owned()
        }),
        extended: fit.is_extended(index),
        scores: scores
            .iter()
            .zip(&fit.residuals)
            .map(|(s, residual)| Scored {
                formula: s.formula.to_string(),
                name: s.name.clone(),
                index: s.index,
                score: exact(s.score),
                residual: *residual,
            })
            .collect(),
        missing,
    }
}

/// Rows in which a value of nothing has its reason; `ids` are the formulas in their order.
fn rows(rows: &[BlendRow], ids: &[String]) -> Vec<Row> {
    let one = |row: &BlendRow| {
        let mut missing = Vec::new();
        let values = row
            .values
            .iter()
            .zip(ids)
            .map(|(value, id)| {
                cell(value).map_err(|why| missing.push(NotThere { formula: id.clone(), why })).ok()
            })
            .collect();
        Row {
            key: row.key,
            name: row.name.clone(),
            estimate: row.estimate,
            values,
            difference: row.difference.clone(),
            missing,
        }
    };
    rows.iter().map(one).collect()
}

/// Blends side by side.
#[derive(Debug, Serialize)]
pub(in super::super::super) struct Beside {
    #[serde(flatten)]
    top: Top,
    formulas: Vec<Side>,
    cut_um: Option<f64>,
    rows: Vec<Row>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Side {
    #[serde(flatten)]
    subject: Subject,
    grams_per_use: String,
    left_out: Vec<String>,
}

/// The document of several blends.
pub(in super::super::super) fn beside(
    head: Head,
    sides: &[BlendSide<'_>],
    cut_um: Option<f64>,
    figures: &[BlendRow],
) -> Beside {
    let ids: Vec<String> = sides.iter().map(|s| s.formula.id.to_string()).collect();
    let mut missing = Vec::new();
    Beside {
        top: Top::new(head, "beside"),
        formulas: sides
            .iter()
            .map(|s| Side {
                subject: Subject::new(s.formula),
                grams_per_use: exact(s.per_use.0),
                left_out: s
                    .evaluation
                    .grains
                    .as_ref()
                    .map_or_else(|_| Vec::new(), |f| f.left_out.clone()),
            })
            .collect(),
        cut_um: or_missing(&mut missing, "cut_um", cut_um, || NO_CUT.to_owned()),
        rows: rows(figures, &ids),
        missing,
    }
}

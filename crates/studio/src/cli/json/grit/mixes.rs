//! Mixes of two or three exfoliants.

use quern_calc::evaluate::MixShape;
use quern_calc::formula::Formula;
use quern_calc::quantity::Percent;
use serde::Serialize;

use super::super::super::grit::{Crossing, Mixed};
use super::super::{Head, Missing};
use super::{Load, NO_CUT, NO_PRICE, Named, Subject, Top, or_missing, percent, stage};

/// The document.
#[derive(Debug, Serialize)]
pub(in super::super::super) struct Mixes {
    #[serde(flatten)]
    top: Top,
    formula: Subject,
    of: Vec<Named>,
    total_percent: String,
    stage: &'static str,
    cut_um: Option<f64>,
    points: Vec<Point>,
    wanted: Option<Wanted>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Point {
    shares: Vec<f64>,
    percents: Vec<String>,
    index: f64,
    cost_per_100g: Option<f64>,
    above_cut_percent: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Wanted {
    index: f64,
    met: Vec<Met>,
}

#[derive(Debug, Serialize)]
struct Met {
    share: f64,
    exfoliants: Vec<Load>,
    index: Option<f64>,
    in_use: Option<f64>,
    cost_per_100g: Option<f64>,
    missing: Vec<Missing>,
}

/// The document of a pair or three.
pub(in super::super::super) fn mixes(head: Head, formula: &Formula, mixed: &Mixed) -> Mixes {
    let mut missing = Vec::new();
    let (mode, points): (_, Vec<Point>) = match &mixed.mixes.shape {
        MixShape::Pair(points) => {
            let two = |share: f64| vec![share, 1.0 - share];
            (
                "pair",
                points
                    .iter()
                    .map(|p| point(mixed, &two(p.share), p.index, p.cost, p.above))
                    .collect(),
            )
        }
        MixShape::Three { map, .. } => {
            let all = map.points.iter();
            ("map", all.map(|p| point(mixed, &p.shares, p.index, p.cost, p.above)).collect())
        }
    };
    if points.iter().any(|p| p.cost_per_100g.is_none()) {
        missing.push(Missing::new("cost_per_100g", NO_PRICE));
    }
    if mixed.cut_um.is_none() {
        missing.push(Missing::new("above_cut_percent", NO_CUT));
    }
    let wanted = mixed.wanted.as_ref().map(|(index, crossings)| Wanted {
        index: *index,
        met: crossings.iter().map(|c| met(mixed, c)).collect(),
    });
    Mixes {
        top: Top::new(head, mode),
        formula: Subject::new(formula),
        of: mixed.mixes.of.iter().map(|(id, name)| Named::new(id, name)).collect(),
        total_percent: percent(mixed.total),
        stage: stage(mixed.stage),
        cut_um: or_missing(&mut missing, "cut_um", mixed.cut_um, || NO_CUT.to_owned()),
        points,
        wanted: or_missing(&mut missing, "wanted", wanted, || "--solve was not given".to_owned()),
        missing,
    }
}

fn point(mixed: &Mixed, shares: &[f64], index: f64, cost: Option<f64>, above: f64) -> Point {
    Point {
        shares: shares.to_vec(),
        percents: mixed.mixes.loads(shares).into_iter().map(|(_, p)| percent(p)).collect(),
        index,
        cost_per_100g: cost,
        above_cut_percent: mixed.cut_um.map(|_| 100.0 * above),
    }
}

fn met(mixed: &Mixed, crossing: &Crossing) -> Met {
    let mut missing = Vec::new();
    let mut or = |figure: &str, value: Result<f64, String>| {
        value.map_err(|why| missing.push(Missing::new(figure, why))).ok()
    };
    let index = or("index", crossing.figures().map(|f| f.grit.index));
    let in_use = or("in_use", crossing.figures().map(|f| f.grit.in_use));
    let cost_per_100g = or("cost_per_100g", crossing.cost());
    let load = |((id, p), (_, name)): (&(_, Percent), &(_, String))| {
        let id: &quern_calc::formula::MaterialId = id;
        Load { id: id.to_string(), name: name.clone(), percent: percent(*p) }
    };
    Met {
        share: crossing.share,
        exfoliants: crossing.loads.iter().zip(&mixed.mixes.of).map(load).collect(),
        index,
        in_use,
        cost_per_100g,
        missing,
    }
}

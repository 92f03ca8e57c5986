//! Every mix of two or three exfoliants at one total.

use std::sync::Arc;

use quern_calc::evaluate::{
    BlendAsk, Evaluation, GrainFigures, MixShape, Mixes, blend_cost, mixes, mixes_in_steps,
};
use quern_calc::formula::{Formula, Material, MaterialId, with_blend};
use quern_calc::grit::map::{MixMap, MixPoint, PairPoint};
use quern_calc::grit::solve::SizeLimit;
use quern_calc::grit::surface::Stage;
use quern_calc::number::{NumberStyle, format_f64, format_plain};
use quern_calc::quantity::Percent;

use super::super::args::Grit;
use super::super::input::Source;
use super::super::text::{Set, Table, quoted, wrap};
use super::super::{Bad, Bench, Done, json};
use super::{cost_title, cost_words, head, materials, note, options, or_dash};

/// Steps of the tables in text and in JSON.
const PAIR_STEPS: (usize, usize) = (10, 50);
const MAP_STEPS: (usize, usize) = (10, 20);

/// What was looked at.
pub(in crate::cli) struct Mixed {
    pub total: Percent,
    pub stage: Stage,
    pub cut_um: Option<f64>,
    pub mixes: Mixes,
    /// For a pair with a wanted index: where it is met.
    pub wanted: Option<(f64, Vec<Crossing>)>,
}

/// A share of the first that has the wanted index.
pub(in crate::cli) struct Crossing {
    /// Of the first in the two, 0 to 1.
    pub share: f64,
    /// To two decimals, as a bench weighs.
    pub loads: Vec<(MaterialId, Percent)>,
    /// The formula with them in place of its exfoliants, or why it cannot be had.
    pub put_in: Result<Evaluation, String>,
}

impl Crossing {
    /// Figures of the formula with the loads in it.
    pub fn figures(&self) -> Result<&GrainFigures, String> {
        let e = self.put_in.as_ref().map_err(Clone::clone)?;
        e.grains.as_ref().map_err(quern_calc::evaluate::WhyNot::words)
    }

    /// Money for its exfoliants in 100 g.
    pub fn cost(&self) -> Result<f64, String> {
        blend_cost(self.put_in.as_ref().map_err(Clone::clone)?).map_err(|why| why.words())
    }
}

pub(super) fn run(
    args: &Grit,
    mut source: Source,
    formula: &Formula,
    bench: &mut Bench<'_>,
) -> Done {
    let mixed = mixed(args, &mut source, formula, bench)?;
    if args.json {
        let head = json::Head::new("grit", &source.project, bench.today);
        bench.put_text(&json::text(&json::grit::mixes(head, formula, &mixed))?)?;
    } else {
        bench.put_text(&text(&source, formula, &mixed))?;
    }
    Ok(0)
}

fn mixed(
    args: &Grit,
    source: &mut Source,
    formula: &Formula,
    bench: &Bench<'_>,
) -> Result<Mixed, Bad> {
    let total = options::most(args, formula.product.place)?;
    let cut_um = options::cut_um(args)?;
    let wanted = options::index(args)?;
    let (option, names) =
        if args.pair.is_empty() { ("map", &args.map) } else { ("pair", &args.pair) };
    let mut chosen: Vec<Arc<Material>> = Vec::new();
    for text in names {
        let material = materials::exfoliant(&source.project, option, text)?;
        if chosen.iter().any(|m| m.id == material.id) {
            return Err(Bad::new(format!(
                "--{option} names {} twice; name different exfoliants",
                quoted(material.display_name())
            )));
        }
        chosen.push(material);
    }
    materials::reach(source, &chosen);
    let ids: Vec<MaterialId> = chosen.iter().map(|m| m.id.clone()).collect();
    let defaults = BlendAsk::default();
    let ask = BlendAsk {
        index: wanted.unwrap_or(defaults.index),
        stage: if args.in_use { Stage::InUse } else { Stage::Dry },
        total: (0.0, total.to_f64()),
        size: cut_um.map(|um| SizeLimit { um, tolerance: 0.0 }),
        ..defaults
    };
    let steps = if option == "pair" { PAIR_STEPS } else { MAP_STEPS };
    let steps = if args.json { steps.1 } else { steps.0 };
    let library = &source.library;
    let failed =
        |why: quern_calc::evaluate::WhyNot| Bad::new(format!("--{option}: {}", why.words()));
    let table = mixes_in_steps(formula, library, &ids, &ask, steps).map_err(failed)?;
    let wanted = match wanted {
        None => None,
        Some(index) => {
            // The finer line, so that the share does not depend on how the table is written.
            let fine = mixes(formula, library, &ids, &ask).map_err(failed)?;
            let crossings = fine.crossings().into_iter();
            Some((index, crossings.map(|s| crossing(s, &fine, source, formula, bench)).collect()))
        }
    };
    Ok(Mixed { total, stage: ask.stage, cut_um, mixes: table, wanted })
}

fn crossing(
    share: f64,
    fine: &Mixes,
    source: &Source,
    formula: &Formula,
    bench: &Bench<'_>,
) -> Crossing {
    let loads = fine.loads(&[share, 1.0 - share]);
    let put_in = with_blend(formula, &source.library, &loads)
        .map(|f| source.evaluate(&f, bench.today).1)
        .map_err(|e| e.to_string());
    Crossing { share, loads, put_in }
}

fn text(source: &Source, formula: &Formula, mixed: &Mixed) -> String {
    let style = NumberStyle::default();
    let mut out = String::new();
    head(&mut out, formula);
    let stage = match mixed.stage {
        Stage::Dry => "at the first touch",
        Stage::InUse => "over the time of rubbing",
    };
    let total = format_plain(mixed.total.0, style);
    let words = format!("Mixes at {total} % in all; grit index {stage}");
    wrap(&mut out, "", &words);
    for (letter, (_, name)) in LETTERS.iter().zip(&mixed.mixes.of) {
        wrap(&mut out, &format!("  {letter}  "), name);
    }
    match &mixed.mixes.shape {
        MixShape::Pair(points) => pair(&mut out, points, mixed, source, style),
        MixShape::Three { map, .. } => three(&mut out, map, mixed, source, style),
    }
    note(&mut out);
    out
}

const LETTERS: [&str; 3] = ["A", "B", "C"];

fn pair(
    out: &mut String,
    points: &[PairPoint],
    mixed: &Mixed,
    source: &Source,
    style: NumberStyle,
) {
    let cost = cost_title(source);
    let above = mixed.cut_um.map(|um| format!("above {} µm, %", format_f64(um, 0, style)));
    let mut columns = vec![
        ("A, % of the two", Set::Decimal),
        ("A, %", Set::Decimal),
        ("B, %", Set::Decimal),
        ("grit index", Set::Decimal),
        (cost.as_str(), Set::Decimal),
    ];
    columns.extend(above.iter().map(|title| (title.as_str(), Set::Decimal)));
    let mut table = Table::new(columns);
    for point in points {
        let loads = mixed.mixes.loads(&[point.share, 1.0 - point.share]);
        let mut row = vec![shared(point.share, style)];
        row.extend(loads.iter().map(|(_, p)| format_plain(p.0, style)));
        row.push(format_f64(point.index, 1, style));
        row.push(or_dash(point.cost, 3));
        if above.is_some() {
            row.push(percent(point.above, style));
        }
        table.row(row);
    }
    out.push('\n');
    table.render(out);
    if let Some((index, crossings)) = &mixed.wanted {
        out.push('\n');
        met(out, *index, crossings, mixed, source, style);
    }
}

fn met(
    out: &mut String,
    index: f64,
    crossings: &[Crossing],
    mixed: &Mixed,
    source: &Source,
    style: NumberStyle,
) {
    let index = format_f64(index, u32::from(index.fract() != 0.0) * 2, style);
    if crossings.is_empty() {
        let words = format!("No mix of the two has index {index} at this total");
        wrap(out, "", &words);
    }
    for crossing in crossings {
        let loads: Vec<String> = crossing
            .loads
            .iter()
            .zip(&mixed.mixes.of)
            .map(|((_, p), (_, name))| format!("{} % {name}", format_plain(p.0, style)))
            .collect();
        let mut words = format!(
            "Index {index} with {} % of A in the two: {}",
            format_f64(100.0 * crossing.share, 1, style),
            loads.join(" and ")
        );
        match crossing.figures() {
            Ok(figures) => words.push_str(&format!(
                "; in the formula, in place of its exfoliants: index {}, {}",
                format_f64(
                    match mixed.stage {
                        Stage::Dry => figures.grit.index,
                        Stage::InUse => figures.grit.in_use,
                    },
                    1,
                    style
                ),
                cost_words(source, crossing.cost().ok())
            )),
            Err(why) => words.push_str(&format!("; not in the formula: {why}")),
        }
        wrap(out, "", &words);
    }
}

fn three(out: &mut String, map: &MixMap, mixed: &Mixed, source: &Source, style: NumberStyle) {
    let (low, high) = map.range();
    let one = |x: f64| format_f64(x, 1, style);
    wrap(
        out,
        "",
        &format!(
            "Index {} to {}; C is the rest of each mix, shares in % of the three",
            one(low),
            one(high)
        ),
    );
    out.push_str("\nGrit index\n");
    grid(out, map, style, &|p| Some(one(p.index)));
    if map.points.iter().all(|p| p.cost.is_some()) {
        out.push_str(&format!("\nCost, {}\n", cost_title(source)));
        grid(out, map, style, &|p| p.cost.map(|c| format_f64(c, 2, style)));
    } else {
        out.push_str("\nNo cost: a price is missing\n");
    }
    if let Some(um) = mixed.cut_um {
        out.push_str(&format!("\nAbove {} µm, %\n", format_f64(um, 0, style)));
        grid(out, map, style, &|p| Some(percent(p.above, style)));
    }
}

/// One figure of every mix: rows by the share of A, columns by that of B.
fn grid(
    out: &mut String,
    map: &MixMap,
    style: NumberStyle,
    cell: &dyn Fn(&MixPoint) -> Option<String>,
) {
    let mut rows: Vec<(f64, Vec<&MixPoint>)> = Vec::new();
    for point in &map.points {
        let [a, _, _] = point.shares;
        match rows.last_mut() {
            // A row holds the points of one share, and they come one after the other.
            Some((share, points)) if *share >= a => points.push(point),
            _ => rows.push((a, vec![point])),
        }
    }
    let first = rows.first().map(|(_, points)| points.as_slice()).unwrap_or_default();
    let titles: Vec<String> =
        first.iter().map(|p| p.shares).map(|[_, b, _]| shared(b, style)).collect();
    let mut columns = vec![("A \\ B", Set::Right)];
    columns.extend(titles.iter().map(|t| (t.as_str(), Set::Right)));
    let mut table = Table::new(columns);
    for (share, points) in &rows {
        let cells = points.iter().map(|p| cell(p).unwrap_or_default());
        table.row(std::iter::once(shared(*share, style)).chain(cells));
    }
    table.render(out);
}

/// A share of the mix as whole %.
fn shared(share: f64, style: NumberStyle) -> String {
    format_f64(100.0 * share, 0, style)
}

fn percent(share: f64, style: NumberStyle) -> String {
    format_f64(100.0 * share, 1, style)
}

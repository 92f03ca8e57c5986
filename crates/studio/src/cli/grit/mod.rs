//! Grit without a window: a blend, blends side by side, a blend for an index, mixes and swaps.

mod beside;
mod materials;
mod mixes;
mod options;
mod report;
mod share;
mod solve;
mod swap;

use quern_calc::evaluate::{BlendRow, BlendSide, Value, blend_rows};
use quern_calc::formula::Formula;
use quern_calc::grit::calibrate::{Calibration, NoScale};
use quern_calc::number::{NumberStyle, format_f64};

use super::args::Grit;
use super::input::Source;
use super::text::{clean, cut, wrap};
use super::{Bench, Done};
use options::Mode;

pub(super) use mixes::{Crossing, Mixed};
pub(super) use report::Blend;
pub(super) use solve::{Wanted, guides_of};
pub(super) use swap::{Swap, Swapped, Way};

/// What the index is worth; part of every answer, in the words of the window.
pub(super) use crate::views::grit::HONEST as NOTE;

const DASH: &str = "–";

/// Longest currency beside a figure, in characters.
const MOST_CURRENCY: usize = 8;

pub(super) fn run(args: &Grit, bench: &mut Bench<'_>) -> Done {
    let mode = options::mode(args)?;
    let source = Source::open(&args.file, bench.input)?;
    let formula = source.formula(&args.formula)?.clone();
    if let Some(out) = &args.out {
        return share::run(args, out, &source, &formula, bench);
    }
    match mode {
        Mode::Report => report::run(args, &source, &formula, bench),
        Mode::Beside => beside::run(args, &source, &formula, bench),
        Mode::Solve => solve::run(args, source, &formula, bench),
        Mode::Pair | Mode::Map => mixes::run(args, source, &formula, bench),
        Mode::Swap => swap::run(args, source, &formula, bench),
    }
}

/// Name and kind of a formula, the head of every text.
fn head(out: &mut String, formula: &Formula) {
    wrap(out, "== ", &formula.name);
    let version = &formula.version;
    let product = formula.product.words();
    wrap(out, "", &format!("{product}; version {}, {}", version.number, version.state.name()));
}

/// What the index is worth; the end of every text.
fn note(out: &mut String) {
    out.push('\n');
    wrap(out, "", NOTE);
}

/// The currency as it stands beside a figure; empty where the project states none.
fn currency(source: &Source) -> String {
    cut(&clean(&source.project.currency), MOST_CURRENCY)
}

/// What a cost is given in, such as "EUR in 100 g".
fn cost_title(source: &Source) -> String {
    let currency = currency(source);
    if currency.is_empty() { "cost in 100 g".to_owned() } else { format!("{currency} in 100 g") }
}

/// What the exfoliants in 100 g of product cost, in words.
fn cost_words(source: &Source, cost: Option<f64>) -> String {
    let Some(cost) = cost else { return "cost not known, a price is missing".to_owned() };
    let (cost, currency) = (or_dash(Some(cost), 3), currency(source));
    if currency.is_empty() {
        format!("exfoliants in 100 g cost {cost}")
    } else {
        format!("exfoliants in 100 g cost {cost} {currency}")
    }
}

/// A figure that may be missing.
fn or_dash(value: Option<f64>, places: u32) -> String {
    value.map_or_else(|| DASH.to_owned(), |x| format_f64(x, places, NumberStyle::default()))
}

/// The workshop's own scale. One that scores rougher bars lower says nothing of a blend.
struct OwnScale {
    fit: Result<Calibration, NoScale>,
}

impl OwnScale {
    fn of(source: &Source) -> Self {
        Self { fit: source.project.grit.scale() }
    }

    fn usable(&self) -> Option<&Calibration> {
        self.fit.as_ref().ok().filter(|c| !c.contradicts())
    }
}

/// Figures of blends side by side.
fn rows(sides: &[BlendSide<'_>], cut_um: Option<f64>, scale: &OwnScale) -> Vec<BlendRow> {
    let rules = quern_project::rules::in_use();
    // Without a cut the usual sizes are told alone.
    let cut = cut_um.unwrap_or(f64::NAN);
    blend_rows(sides, cut, scale.usable(), rules, NumberStyle::default())
}

/// Name of a row with its currency.
fn row_name(row: &BlendRow, source: &Source) -> String {
    if row.key.contains("cost") {
        in_currency(row.name.strip_suffix(", cost").unwrap_or(&row.name), source)
    } else {
        row.name.clone()
    }
}

/// A name with the currency of its figures.
fn in_currency(name: &str, source: &Source) -> String {
    let currency = currency(source);
    if currency.is_empty() { format!("{name}, cost") } else { format!("{name}, {currency}") }
}

/// Why a value is absent, in words.
fn why(value: &Value) -> Option<String> {
    match value {
        Value::Absent(why) => Some(why.words()),
        _ => None,
    }
}

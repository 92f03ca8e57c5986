//! The blend sheet as PDF.

use typst::foundations::{Array, Dict, IntoValue, Value, dict};
use typst_layout::PagedDocument;

use super::chart::Chart;
use super::scale::{MEANING, Scale};
use super::{BlendSheet, COLOURS, Exfoliant, PlaceWords, Row, SHAPES, Side};
use crate::SheetError;
use crate::bench::Paper;
use crate::typeset::{self, Template, array, breakable};

static TEMPLATE: Template = Template::new("blend.typ", include_str!("blend.typ"));

/// Width of a letter of the names over the chart, pt.
const LETTER_PT: f64 = 4.4;

/// The sheet as a tagged PDF. The same sheet always gives the same bytes.
///
/// # Errors
/// [`SheetError::Layout`] if the compiler refuses, which no content should bring about.
pub fn blend_pdf(sheet: &BlendSheet) -> Result<Vec<u8>, SheetError> {
    typeset::bytes(&document(sheet)?)
}

pub(crate) fn document(sheet: &BlendSheet) -> Result<PagedDocument, SheetError> {
    typeset::pages(&TEMPLATE, values(sheet))
}

/// Width of the page between its margins, pt; the template has the same margins.
fn width(paper: Paper) -> f64 {
    const MARGINS: f64 = 2.0 * 14.0 * 72.0 / 25.4;
    match paper {
        Paper::A4 => 210.0 * 72.0 / 25.4 - MARGINS,
        Paper::UsLetter => 612.0 - MARGINS,
    }
}

fn values(sheet: &BlendSheet) -> Dict {
    let chart = sheet.chart.as_ref();
    dict! {
        "paper" => typeset::paper(sheet.paper),
        "title" => breakable(&sheet.title),
        "dated" => breakable(&sheet.dated),
        "made_by" => breakable(&sheet.made_by),
        "colours" => array(&COLOURS, |c| c.into_value()),
        "shapes" => array(&SHAPES, |s| s.into_value()),
        "chart" => chart.map_or(Value::None, |c| chart_values(c, width(sheet.paper))),
        "scale" => sheet.scale.as_ref().map_or(Value::None, scale),
        "meaning" => MEANING,
        "sides" => array(&sheet.sides, side),
        "rows" => array(&sheet.rows, row),
        "differs" => sheet.differs,
        "gaps" => words(&sheet.gaps),
        "scope" => words(&sheet.scope),
        "missing" => typeset::missing(sheet.texts()),
    }
}

fn words(items: &[String]) -> Value {
    array(items, |s| breakable(s).into_value())
}

/// Numbers as one value.
fn numbers<const N: usize>(numbers: [f64; N]) -> Value {
    Value::Array(numbers.into_iter().map(IntoValue::into_value).collect::<Array>())
}

fn pair(point: &(f64, f64)) -> Value {
    numbers([point.0, point.1])
}

fn chart_values(chart: &Chart, width: f64) -> Value {
    dict! {
        "curves" => array(&chart.curves, |c| dict! {
            "side" => c.side,
            "whole" => c.whole,
            "points" => array(&c.points, pair),
        }.into_value()),
        "filled" => chart.shows_exfoliants(),
        "sieves" => array(&chart.sieves, |s| dict! {
            "at" => s.at, "mesh" => s.mesh, "um" => s.um.as_str(),
        }.into_value()),
        "cut" => chart.cut.as_ref().map_or(Value::None, |c| dict! {
            "at" => c.at, "words" => c.words.as_str(),
        }.into_value()),
        "levels" => array(&chart.levels, |(at, words)| dict! {
            "at" => *at, "words" => words.as_str(),
        }.into_value()),
        "marks" => array(&chart.marks, |m| dict! {
            "side" => m.side, "x" => m.at, "y" => m.height, "middle" => m.middle,
        }.into_value()),
        "numbers" => array(&chart.numbers, |(side, x, y, text)| dict! {
            "side" => *side, "x" => *x, "y" => *y, "text" => text.as_str(),
        }.into_value()),
        "labels" => array(&chart.labels(width, LETTER_PT), |l| dict! {
            "side" => l.side, "at" => l.at, "wide" => l.wide, "to" => pair(&l.to),
            "text" => l.text.as_str(),
        }.into_value()),
        "key" => chart.key.as_str(),
        "beyond" => words(&chart.beyond),
        "words" => chart.words.as_str(),
    }
    .into_value()
}

fn scale(scale: &Scale) -> Value {
    let some = |x: Option<f64>| x.map_or(Value::None, IntoValue::into_value);
    dict! {
        "bands" => array(&scale.bands, |(a, b, name)| dict! {
            "from" => *a, "to" => *b, "name" => *name,
        }.into_value()),
        "edges" => array(&scale.edges, |(at, words)| dict! {
            "at" => *at, "words" => words.as_str(),
        }.into_value()),
        "rows" => array(&scale.rows, |r| dict! {
            "name" => breakable(&r.name),
            "index" => breakable(&r.index),
            "spread" => r.spread.as_str(),
            "at" => some(r.at),
            "range" => r.range.as_ref().map_or(Value::None, pair),
            "in_use" => some(r.in_use),
        }.into_value()),
        "key" => scale.key.as_str(),
        "words" => scale.words(),
    }
    .into_value()
}

fn side(side: &Side) -> Value {
    dict! {
        "name" => breakable(&side.name),
        "product" => side.product.as_str(),
        "absent" => breakable(side.absent.as_deref().unwrap_or_default()),
        "exfoliants" => array(&side.exfoliants, exfoliant),
        "remarks" => words(&side.remarks),
        "places" => array(&side.places, place),
    }
    .into_value()
}

fn exfoliant(part: &Exfoliant) -> Value {
    dict! {
        "number" => part.number.map_or(String::new(), |n| n.to_string()),
        "name" => breakable(&part.name),
        "load" => part.load.replace(' ', "\u{a0}"),
        "sizes" => part.sizes.as_str(),
        "marks" => breakable(&part.marks),
    }
    .into_value()
}

fn place(place: &PlaceWords) -> Value {
    dict! {
        "place" => place.place.as_str(),
        "verdict" => place.verdict.as_str(),
        "passed" => words(&place.passed),
        "others" => breakable(&place.others.join("; ")),
    }
    .into_value()
}

fn row(row: &Row) -> Value {
    dict! {
        "name" => breakable(&row.name),
        "estimate" => row.estimate,
        "values" => words(&row.values),
        "difference" => row.difference.as_str(),
    }
    .into_value()
}

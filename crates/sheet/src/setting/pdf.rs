//! The setting sheet as PDF.

use typst::foundations::{Array, Dict, IntoValue, Value, dict};
use typst_layout::PagedDocument;

use super::fit::{self, Step};
use super::melt::MeltChart;
use super::picture::{Item, Picture, Room};
use super::{Cell, CheckRow, PartTable, RemarkWords, Row, SettingSheet, Side};
use crate::SheetError;
use crate::bench::Paper;
use crate::typeset::{self, Template, array, breakable};

static TEMPLATE: Template = Template::new("setting.typ", include_str!("setting.typ"));

/// Size of the type in pictures, pt.
const FONT_PT: f64 = 6.9;

/// Room beside the melt curve for the names of its layers, pt; the template has the same.
const KEY_PT: f64 = 128.0;

/// The sheet as a tagged PDF, one page or two. The same sheet always gives the same bytes.
///
/// # Errors
/// [`SheetError::Layout`] if the compiler refuses, which no content should bring about.
pub fn setting_pdf(sheet: &SettingSheet, paper: Paper) -> Result<Vec<u8>, SheetError> {
    typeset::bytes(&document(sheet, paper)?)
}

/// Lays the sheet out in the largest type that is likely to fit, and smaller while it does not;
/// measuring in the template would lay everything out twice.
pub(crate) fn document(sheet: &SettingSheet, paper: Paper) -> Result<PagedDocument, SheetError> {
    let mut steps = fit::steps(sheet, paper).iter().peekable();
    loop {
        let Some(step) = steps.next() else {
            return Err(SheetError::Layout("no size of type to set it in".to_owned()));
        };
        let made = typeset::pages(&TEMPLATE, values(sheet, paper, *step))?;
        if made.pages().len() <= step.pages || steps.peek().is_none() {
            return Ok(made);
        }
    }
}

/// Width of the page between its margins, pt; the template has the same margins.
pub(super) fn width(paper: Paper) -> f64 {
    const MARGINS: f64 = 2.0 * 14.0 * 72.0 / 25.4;
    match paper {
        Paper::A4 => 210.0 * 72.0 / 25.4 - MARGINS,
        Paper::UsLetter => 612.0 - MARGINS,
    }
}

fn values(sheet: &SettingSheet, paper: Paper, step: Step) -> Dict {
    let width = width(paper);
    let room = |width: f64, height: f64| Room { width, height, font: FONT_PT, narrow: false };
    let cool_width = if sheet.sides.len() > 1 { width } else { (width - 18.0) / 2.0 };
    dict! {
        "paper" => typeset::paper(paper),
        "pages" => step.pages,
        "type" => step.font,
        "title" => breakable(&sheet.title),
        "dated" => breakable(&sheet.dated),
        "made_by" => breakable(&sheet.made_by),
        "sides" => array(&sheet.sides, side),
        "melt" => sheet.melt.as_ref().map_or(Value::None, |c| melt(c, width, step.melt)),
        "strip" => sheet.strip.as_ref().map_or(Value::None, |c| dict! {
            "picture" => picture(&c.draw(room(width, 0.0))),
            "words" => c.words.as_str(),
            "key" => super::strip::KEY,
        }.into_value()),
        "cool" => sheet.cool.as_ref().map_or(Value::None, |c| dict! {
            "picture" => picture(&c.draw(room(cool_width, step.cool))),
            "key" => breakable(&c.key),
            "lines" => breakable(&c.lines()),
            "words" => c.words.as_str(),
        }.into_value()),
        "no_melt" => words(&sheet.no_melt),
        "no_strip" => words(&sheet.no_strip),
        "no_cool" => words(&sheet.no_cool),
        "parts" => array(&sheet.parts, part),
        "assumed" => words(&sheet.assumed),
        "missing" => typeset::missing(sheet.texts()),
    }
}

fn words(items: &[String]) -> Value {
    array(items, |s| breakable(s).into_value())
}

fn melt(chart: &MeltChart, width: f64, height: f64) -> Value {
    let room = Room { width: width - KEY_PT, height, font: FONT_PT, narrow: false };
    dict! {
        "picture" => picture(&chart.draw(room)),
        "layers" => array(&chart.layers, |l| dict! {
            "name" => breakable(&super::picture::cut(&l.name, 60)), "percent" => l.percent.as_str(),
        }.into_value()),
        "key" => breakable(&chart.key),
        "words" => chart.words.as_str(),
    }
    .into_value()
}

/// A picture as numbers and words.
fn picture(picture: &Picture) -> Value {
    let points = |points: &[(f64, f64)]| {
        array(points, |p| {
            Value::Array([p.0, p.1].into_iter().map(IntoValue::into_value).collect::<Array>())
        })
    };
    let item = |item: &Item| match item {
        Item::Line { points: p, stroke } => {
            dict! { "is" => "line", "points" => points(p), "name" => stroke.name() }.into_value()
        }
        Item::Area { points: p, fill } => {
            dict! { "is" => "area", "points" => points(p), "name" => fill.name() }.into_value()
        }
        Item::Words { at, anchor, kind, text } => dict! {
            "is" => "words", "x" => at.0, "y" => at.1, "anchor" => anchor.name(),
            "name" => kind.name(), "text" => text.as_str(),
        }
        .into_value(),
    };
    dict! {
        "width" => picture.width,
        "height" => picture.height,
        "font" => picture.font,
        "items" => array(&picture.items, item),
    }
    .into_value()
}

fn side(side: &Side) -> Value {
    dict! {
        "name" => breakable(&side.name),
        "product" => breakable(&side.product),
        "batch" => breakable(&side.batch),
        "remarks" => array(&side.remarks, remark),
        "checks" => array(&side.checks, check),
        "measured_on" => side.measured_on.as_str(),
        "corrected" => breakable(&side.corrected),
    }
    .into_value()
}

fn remark(remark: &RemarkWords) -> Value {
    dict! {
        "tone" => remark.tone,
        "text" => breakable(&remark.text),
        "choices" => array(&remark.choices, |c| breakable(c).into_value()),
    }
    .into_value()
}

fn check(row: &CheckRow) -> Value {
    array(&[&row.what, &row.measured, &row.before, &row.after], |s| breakable(s).into_value())
}

fn part(part: &PartTable) -> Value {
    dict! {
        "name" => part.name,
        "estimates" => part.estimates,
        "rows" => array(&part.rows, row),
        "gaps" => words(&part.gaps),
    }
    .into_value()
}

fn row(row: &Row) -> Value {
    dict! {
        "name" => breakable(&row.name),
        "unit" => row.unit.replace(' ', "\u{a0}"),
        "estimate" => row.estimate,
        "cells" => array(&row.cells, cell),
    }
    .into_value()
}

fn cell(cell: &Cell) -> Value {
    dict! {
        "value" => breakable(&cell.value),
        "band" => cell.band.replace(' ', "\u{a0}"),
        "words" => cell.words,
    }
    .into_value()
}

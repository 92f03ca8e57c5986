//! The bench sheet as PDF.

use typst::foundations::{Dict, IntoValue, Value, dict};
use typst_layout::PagedDocument;

use crate::SheetError;
use crate::bench::{BenchSheet, LineRow, PhaseRows, StepRow, Under};
use crate::figure::Figure;
use crate::typeset::{self, Template, array, breakable};

static TEMPLATE: Template = Template::new("bench.typ", include_str!("bench.typ"));

/// Letters of steps and cautions up to which they stay on one page.
const KEEP_TOGETHER: usize = 2200;

/// Letters of a display name up to which it is never broken over lines.
const SHORT_NAME: usize = 24;

/// The sheet as a tagged PDF. The same sheet always gives the same bytes.
///
/// # Errors
/// [`SheetError::Layout`] if the compiler refuses, which no content should bring about.
pub fn pdf(sheet: &BenchSheet) -> Result<Vec<u8>, SheetError> {
    typeset::bytes(&document(sheet)?)
}

pub(crate) fn document(sheet: &BenchSheet) -> Result<PagedDocument, SheetError> {
    typeset::pages(&TEMPLATE, values(sheet))
}

fn values(sheet: &BenchSheet) -> Dict {
    let words = |items: &[String]| array(items, |s| breakable(s).into_value());
    dict! {
        "paper" => typeset::paper(sheet.paper),
        "title" => breakable(&sheet.title),
        "product" => sheet.product.as_str(),
        "code" => breakable(&sheet.code),
        "dated" => breakable(&sheet.dated),
        "stops" => words(&sheet.stops),
        "warns" => words(&sheet.warns),
        "facts" => array(&sheet.facts, |f| {
            dict! { "label" => f.label, "value" => bound(&f.value) }.into_value()
        }),
        "phases" => array(&sheet.phases, phase),
        "last_line" => sheet.phases.iter().flat_map(|p| &p.lines).map(|l| l.number).max().unwrap_or(0),
        "total" => dict! {
            "percent" => figure(&sheet.total.percent),
            "rounded" => figure(&sheet.total.rounded),
            "words" => sheet.total.words(),
        },
        "steps" => array(&sheet.steps, step),
        "cares" => words(&sheet.cares),
        "keep" => sheet.cares.iter().chain(sheet.steps.iter().map(|s| &s.text)).map(|t| t.len() + 40).sum::<usize>() < KEEP_TOGETHER,
        "made_by" => breakable(&sheet.made_by),
        "missing" => missing(sheet),
    }
}

fn figure(figure: &Figure) -> Value {
    dict! { "text" => figure.text.as_str(), "tail" => figure.tail.as_str() }.into_value()
}

fn phase(phase: &PhaseRows) -> Value {
    dict! {
        "letter" => phase.letter.as_str(),
        "name" => breakable(&phase.name),
        "heat" => phase.heat.as_str(),
        "reading" => phase.reading,
        "percent" => figure(&phase.percent),
        "grams" => figure(&phase.grams),
        "lines" => array(&phase.lines, line),
    }
    .into_value()
}

fn line(line: &LineRow) -> Value {
    dict! {
        "number" => line.number,
        "inci" => breakable(&line.inci),
        "name" => breakable(&line.name),
        "short" => line.name.chars().count() <= SHORT_NAME,
        "marks" => array(&line.marks, |m| m.as_str().into_value()),
        "percent" => figure(&line.percent),
        "target" => figure(&line.target),
        "band" => figure(&line.band),
        "running" => figure(&line.running),
        "under" => array(&line.under, |u| breakable(&u.words()).into_value()),
    }
    .into_value()
}

fn step(step: &StepRow) -> Value {
    dict! {
        "letter" => step.letter.as_str(),
        "text" => breakable(&step.text),
        "detail" => step.detail.as_str(),
        "reading" => step.reading,
        "time" => step.time,
    }
    .into_value()
}

/// A fact that breaks after a semicolon at most.
fn bound(text: &str) -> String {
    breakable(&text.replace(' ', "\u{a0}").replace(";\u{a0}", "; "))
}

/// Signs that the fonts lack.
fn missing(sheet: &BenchSheet) -> String {
    let lines = || sheet.phases.iter().flat_map(|p| &p.lines);
    let under: Vec<String> = lines().flat_map(|l| &l.under).map(Under::words).collect();
    let texts = [&sheet.title, &sheet.code, &sheet.dated, &sheet.made_by]
        .into_iter()
        .chain(&sheet.stops)
        .chain(&sheet.warns)
        .chain(&sheet.cares)
        .chain(sheet.steps.iter().map(|s| &s.text))
        .chain(sheet.phases.iter().map(|p| &p.name))
        .chain(lines().flat_map(|l| [&l.inci, &l.name]))
        .chain(&under);
    typeset::missing(texts.map(String::as_str))
}

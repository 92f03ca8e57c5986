//! `label --json`; `docs/label.schema.json` describes it.

use quern_calc::label::{Entry as ListEntry, Label as PackLabel, LabelRemark, Look, Why, Zone};
use quern_calc::number::NumberStyle;
use serde::Serialize;

use super::safety::Checks;
use super::{Counts, Finding, Head, Missing, Subject, exact, found};
use crate::cli::label::Made;

/// The document.
#[derive(Debug, Serialize)]
pub(in crate::cli) struct Document {
    #[serde(flatten)]
    head: Head,
    formula: Subject,
    market: String,
    market_name: String,
    edition: String,
    label: Label,
    counts: Counts,
    findings: Vec<Finding>,
    checks: Checks,
}

#[derive(Debug, Serialize)]
struct Label {
    name: String,
    function: String,
    directions: String,
    cautions: Vec<Caution>,
    list: String,
    entries: Vec<Entry>,
    first_free: Option<usize>,
    left_out: Vec<String>,
    net: Option<String>,
    best_before: Option<String>,
    after_opening: Option<String>,
    lot: Option<String>,
    responsible: Option<String>,
    origin: Option<String>,
    width_mm: String,
    height_mm: String,
    letter_mm: String,
    content_mm: Option<String>,
    particulars: Vec<String>,
    remarks: Vec<Remark>,
    printed: Option<Printed>,
    not_checked: Vec<String>,
    missing: Vec<Missing>,
}

/// The label as it was last printed.
#[derive(Debug, Serialize)]
struct Printed {
    date: String,
    version: u32,
    changed: Vec<Changed>,
}

#[derive(Debug, Serialize)]
struct Caution {
    text: String,
    source: String,
}

#[derive(Debug, Serialize)]
struct Entry {
    name: String,
    percent: String,
    zone: &'static str,
    allergen: bool,
    why: String,
    sources: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Remark {
    look: &'static str,
    text: String,
}

#[derive(Debug, Serialize)]
struct Changed {
    part: String,
    then: String,
    now: String,
}

fn entry(entry: &ListEntry, style: NumberStyle) -> Entry {
    Entry {
        name: entry.name.clone(),
        percent: exact(entry.percent.0),
        zone: match entry.zone {
            Zone::Ordered => "ordered",
            Zone::Free => "free",
            Zone::Allergen => "allergen",
            Zone::Colour => "colour",
        },
        allergen: matches!(entry.why, Why::Allergen { .. }),
        why: entry.words(style),
        sources: entry.sources.clone(),
    }
}

fn remark(r: &LabelRemark) -> Remark {
    Remark {
        look: match r.look {
            Look::Short => "short",
            Look::Know => "know",
            Look::Reaches => "reached",
        },
        text: r.text.clone(),
    }
}

/// What was printed and what has changed since.
fn printed(made: &Made<'_>) -> Option<Printed> {
    let label = &made.side.label;
    let last = made.formula.label.printed.iter().find(|p| p.market == label.market)?;
    let changed = |(part, then, now): &(String, String, String)| Changed {
        part: part.clone(),
        then: then.clone(),
        now: now.clone(),
    };
    Some(Printed {
        date: last.date.to_string(),
        version: last.version,
        changed: label.stale.iter().flat_map(|s| &s.changed).map(changed).collect(),
    })
}

/// Why parts of the label are null.
fn missing(label: &PackLabel, content: bool) -> Vec<Missing> {
    let mut out = Vec::new();
    let mut none = |figure, there: bool, why: &str| {
        if !there {
            out.push(Missing::new(figure, why));
        }
    };
    none("net", label.net.is_some(), "not stated");
    none("best_before", label.best_before.is_some(), "no date is stated or asked for");
    none("after_opening", label.after_opening.is_some(), "not stated or not asked for");
    if let Err(why) = &label.code {
        none("lot", false, why);
    }
    none("responsible", label.responsible.is_some(), "not stated");
    none("origin", label.origin.is_some(), "not stated");
    none("content_mm", content, "no rule asks for a height");
    none("printed", label.printed.is_some(), "not printed yet");
    out
}

/// The document of a label.
pub(in crate::cli) fn document(head: Head, made: &Made<'_>) -> Document {
    let label = &made.side.label;
    let e = &made.evaluation;
    Document {
        head,
        formula: Subject::new(made.formula),
        market: label.market.clone(),
        market_name: label.market_name.clone(),
        edition: label.edition.clone(),
        label: Label {
            name: label.name.clone(),
            function: label.function.clone(),
            directions: label.directions.clone(),
            cautions: label
                .cautions
                .iter()
                .map(|c| Caution { text: c.text.clone(), source: c.source.clone() })
                .collect(),
            list: label.list.text(),
            entries: label.list.entries.iter().map(|e| entry(e, made.style)).collect(),
            first_free: label.list.first_free,
            left_out: label.list.left_out.iter().map(|l| l.words(made.style)).collect(),
            net: label.net.clone(),
            best_before: label.best_before.clone(),
            after_opening: label.after_opening.clone(),
            lot: label.code.clone().ok(),
            responsible: label.responsible.clone(),
            origin: label.origin.clone(),
            width_mm: exact(label.size_mm.0),
            height_mm: exact(label.size_mm.1),
            letter_mm: exact(label.letter_mm),
            content_mm: made.side.content_mm.map(exact),
            particulars: label.particulars.clone(),
            remarks: label.remarks.iter().map(remark).collect(),
            printed: printed(made),
            not_checked: label.not_checked.clone(),
            missing: missing(label, made.side.content_mm.is_some()),
        },
        counts: Counts::of(e),
        findings: found(made.formula, e),
        checks: Checks::new(e),
    }
}

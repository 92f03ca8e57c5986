//! `label --json`; `docs/label.schema.json` describes it.

use quern_calc::label::{Look, Zone};
use serde::Serialize;

use super::safety::Checks;
use super::{Counts, Finding, Head, Subject, exact, found};
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
    not_checked_here: Vec<String>,
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
    remarks: Vec<Remark>,
    printed: Option<String>,
    changed_since: Vec<Changed>,
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
            entries: label
                .list
                .entries
                .iter()
                .map(|entry| Entry {
                    name: entry.name.clone(),
                    percent: exact(entry.percent.0),
                    zone: match entry.zone {
                        Zone::Ordered => "ordered",
                        Zone::Free => "free",
                        Zone::Allergen => "allergen",
                        Zone::Colour => "colour",
                    },
                    why: entry.words(made.style),
                    sources: entry.sources.clone(),
                })
                .collect(),
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
            remarks: label
                .remarks
                .iter()
                .map(|r| Remark {
                    look: match r.look {
                        Look::Short => "short",
                        Look::Know => "know",
                        Look::Reaches => "reached",
                    },
                    text: r.text.clone(),
                })
                .collect(),
            printed: label.printed.map(|d| d.to_string()),
            changed_since: label
                .stale
                .iter()
                .flat_map(|s| &s.changed)
                .map(|(part, then, now)| Changed {
                    part: part.clone(),
                    then: then.clone(),
                    now: now.clone(),
                })
                .collect(),
        },
        counts: Counts::new(e.counts()),
        findings: found(made.formula, e),
        checks: Checks::new(made.formula, e),
        not_checked_here: label.not_checked.clone(),
    }
}

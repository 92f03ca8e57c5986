//! From a label and its findings to words.

use quern_calc::findings::{Finding, Severity};
use quern_calc::formula::Formula;
use quern_calc::label::{Entry, Label, Look, Zone};
use quern_calc::number::NumberStyle;
use rust_decimal::Decimal;

use super::pack::Pack;
use super::{AcceptedWords, Fact, LabelSheet, ListRow, RemarkWords, Sourced, StaleWords};
use crate::bench::About;
use crate::figure::DASH;
use crate::text::{bound, capital, clean, edition, joined, names};

pub(super) fn build(
    formula: &Formula,
    label: &Label,
    findings: &[Finding],
    checked: &[String],
    content_mm: Option<Decimal>,
    about: &About,
) -> LabelSheet {
    let style = about.style;
    let name = names(&[formula]).concat();
    let market = clean(&label.market_name);
    let pack = Pack::new(label, content_mm, style);
    LabelSheet {
        title: joined(&[format!("Label: {name}"), market.clone()], ", "),
        product: format!(
            "{} \u{b7} version {}, {}",
            formula.product.words(),
            formula.version.number,
            formula.version.state.name()
        ),
        dated: joined(&[about.style.dates.words(about.date), clean(&about.workshop)], " \u{b7} "),
        made_by: joined(
            &[
                format!("{} label sheet", clean(&about.program)),
                edition("checked against", &about.rules_edition),
                edition("library", &about.library_edition),
            ],
            " \u{b7} ",
        ),
        paper: about.paper,
        stops: stops(findings, style),
        stale: stale(label, style),
        facts: facts(label, &pack),
        rows: rows(label, style),
        cautions: label
            .cautions
            .iter()
            .map(|c| Sourced { text: clean(&c.text), source: clean(&c.source) })
            .collect(),
        remarks: remarks(label),
        left_out: label.list.left_out.iter().map(|l| bound(&clean(&l.words(style)))).collect(),
        accepted: accepted(findings, style),
        particulars: lines(&label.particulars),
        checked: checked_lines(label, checked),
        not_checked: lines(&label.not_checked),
        pack,
    }
}

/// Lines that say something, each once, with a capital.
fn lines(all: &[String]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for line in all {
        let line = capital(&bound(&clean(line)));
        if !line.is_empty() && !out.contains(&line) {
            out.push(line);
        }
    }
    out
}

fn stops(findings: &[Finding], style: NumberStyle) -> Vec<String> {
    let titles: Vec<String> = findings
        .iter()
        .filter(|f| f.severity() == Severity::Stop)
        .map(|f| f.words(style).title)
        .collect();
    lines(&titles)
}

fn accepted(findings: &[Finding], style: NumberStyle) -> Vec<AcceptedWords> {
    findings
        .iter()
        .filter_map(|finding| {
            let accepted = finding.accepted.as_ref()?;
            let reason = clean(&accepted.reason);
            Some(AcceptedWords {
                title: bound(&clean(&finding.words(style).title)),
                dated: accepted.date.map_or("no date".to_owned(), |d| style.dates.words(d)),
                reason: if reason.is_empty() {
                    "no reason written down".to_owned()
                } else {
                    reason
                },
            })
        })
        .collect()
}

fn stale(label: &Label, style: NumberStyle) -> Option<StaleWords> {
    let stale = label.stale.as_ref()?;
    let changed: Vec<[String; 3]> = stale
        .changed
        .iter()
        .map(|(part, then, now)| {
            let said = |text: &str| match clean(text) {
                text if text.is_empty() => DASH.to_owned(),
                text => text,
            };
            [said(part), said(then), said(now)]
        })
        .collect();
    let mut parts: Vec<String> = changed.iter().map(|[part, _, _]| part.clone()).collect();
    parts.dedup();
    Some(StaleWords {
        line: format!(
            "Printed on {} with version {}; since then other words: {}",
            style.dates.words(stale.date),
            stale.version,
            parts.join(", ")
        ),
        changed,
    })
}

fn facts(label: &Label, pack: &Pack) -> Vec<Fact> {
    let fact = |name, value: String| Fact { name, value };
    vec![
        fact("label", pack.size.clone()),
        fact("capitals", pack.letters.clone()),
        fact("figures of the content", pack.content.clone()),
        fact("last printed", label.printed.map_or("not yet".to_owned(), |d| d.words())),
    ]
}

/// Words above the first name whose order is free.
const FREE_EDGE: &str = "1 %: in any order from here";
/// Words above the colourants.
const COLOUR_EDGE: &str = "Colourants, after all others";

fn rows(label: &Label, style: NumberStyle) -> Vec<ListRow> {
    let entries = &label.list.entries;
    let first_colour = entries.iter().position(|e| e.zone == Zone::Colour);
    entries
        .iter()
        .enumerate()
        .map(|(at, entry)| {
            let edge = if label.list.first_free == Some(at) {
                FREE_EDGE
            } else if first_colour == Some(at) {
                COLOUR_EDGE
            } else {
                ""
            };
            row(at, entry, edge, style)
        })
        .collect()
}

fn row(at: usize, entry: &Entry, edge: &'static str, style: NumberStyle) -> ListRow {
    let words = bound(&clean(&entry.words(style)));
    // The share opens the sentence; it has a column of its own here.
    let (percent, why) = match words.split_once("\u{a0}%, ") {
        Some((percent, why)) => (percent.to_owned(), capital(why)),
        None => (DASH.to_owned(), capital(&words)),
    };
    let zone = match entry.zone {
        Zone::Ordered => "by amount",
        Zone::Free => "free order",
        Zone::Allergen => "allergens",
        Zone::Colour => "colourants",
    };
    let sources: Vec<String> = entry.sources.iter().map(|s| clean(s)).collect();
    let from = match joined(&sources, ", ") {
        from if from.is_empty() => DASH.to_owned(),
        from => from,
    };
    ListRow { edge, place: at + 1, name: clean(&entry.name), percent, zone, why, from }
}

fn remarks(label: &Label) -> Vec<RemarkWords> {
    let mut all: Vec<_> = label.remarks.iter().collect();
    all.sort_by_key(|r| r.look);
    all.into_iter()
        .map(|remark| {
            let (tone, sign) = match remark.look {
                Look::Short => ("warn", "Missing or short"),
                Look::Know => ("note", "To know"),
                Look::Reaches => ("fine", "Reached"),
            };
            RemarkWords { tone, sign, text: bound(&clean(&remark.text)) }
        })
        .collect()
}

fn checked_lines(label: &Label, checked: &[String]) -> Vec<String> {
    let mut own = joined(&[clean(&label.market_name), clean(&label.edition)], ", ");
    if !own.is_empty() {
        own = format!("Order of the list, content, dates and heights: {own}");
    }
    let mut all = vec![own];
    all.extend(checked.iter().cloned());
    lines(&all)
}

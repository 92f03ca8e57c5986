//! What the notes of a formula on use, checks and label may not hold.

use quern_calc::formula::{Formula, LabelNotes, Net, SafetyNotes};
use rust_decimal::Decimal;

use super::{Problems, quoted};

/// Most accepted warnings, exposures, cautions and printed labels of a formula, each.
const MOST_NOTES: usize = 200;
/// Most parts of a printed label.
const MOST_PARTS: usize = 100;
/// Longest that anything keeps, in months.
const MOST_MONTHS: u32 = 1200;
/// Largest side of a label in mm.
const MOST_MM: i64 = 2000;

pub(super) fn check_notes(formula: &Formula, place: &impl Fn() -> String, problems: &mut Problems) {
    check_safety(&formula.safety, place, problems);
    check_label(&formula.label, place, problems);
}

fn few(place: &impl Fn() -> String, what: &str, count: usize, most: usize, out: &mut Problems) {
    if count > most {
        out.push(format!("{} has {count} {what}; at most {most} fit", place()));
    }
}

fn check_safety(notes: &SafetyNotes, place: &impl Fn() -> String, problems: &mut Problems) {
    few(place, "markets", notes.markets.len(), MOST_NOTES, problems);
    few(place, "accepted warnings", notes.accepted.len(), MOST_NOTES, problems);
    few(place, "exposures", notes.exposures.len(), MOST_NOTES, problems);
    for code in &notes.markets {
        problems.text(place, "code of a market", code);
    }
    problems.text(place, "category of the fragrance standard", &notes.category);
    problems.text(place, "reason for no preservative", &notes.unpreserved);
    for accepted in &notes.accepted {
        for (what, text) in [
            ("key of an accepted warning", &accepted.key),
            ("words of an accepted warning", &accepted.said),
            ("reason of an accepted warning", &accepted.reason),
        ] {
            problems.text(place, what, text);
        }
        if accepted.reason.trim().is_empty() {
            problems.push(format!(
                "{}: the warning {} is accepted without a reason; give one, or leave it out",
                place(),
                quoted(&accepted.said)
            ));
        }
    }
    for e in &notes.exposures {
        problems.text(place, "component of an exposure", &e.component);
        problems.text(place, "source of a point of departure", &e.source);
        problems.text(place, "line of an exposure", e.line.as_deref().unwrap_or_default());
        let name = quoted(&e.component);
        if e.departure <= Decimal::ZERO {
            problems.push(format!("{}: the point of departure of {name} is not above 0", place()));
        }
        problems.decimal(place, "point of departure", e.departure);
        if e.absorbed.is_negative() || e.absorbed.0 > Decimal::ONE_HUNDRED {
            problems.push(format!("{}: the absorption of {name} is outside 0 to 100 %", place()));
        }
    }
}

fn check_label(notes: &LabelNotes, place: &impl Fn() -> String, problems: &mut Problems) {
    for (what, text) in [
        ("name on the label", &notes.name),
        ("function on the label", &notes.function),
        ("pattern of the batch code", &notes.code_pattern),
        ("responsible person", &notes.responsible),
        ("country of origin", &notes.origin),
        ("directions", &notes.directions),
    ] {
        problems.text(place, what, text);
    }
    few(place, "own cautions", notes.cautions.len(), MOST_NOTES, problems);
    few(place, "nanomaterials", notes.nano.len(), MOST_NOTES, problems);
    few(place, "printed labels", notes.printed.len(), MOST_NOTES, problems);
    for text in notes.cautions.iter().chain(&notes.nano) {
        problems.text(place, "caution or nanomaterial", text);
    }
    let mut above_zero = |what: &str, value: Option<Decimal>, most: Decimal| {
        if let Some(value) = value.filter(|v| *v <= Decimal::ZERO || *v > most) {
            problems.push(format!(
                "{}: the {what} of {value} is not above 0 and up to {most}",
                place()
            ));
        }
    };
    let most_net = Decimal::from(1_000_000_i64);
    above_zero(
        "net content",
        notes.net.map(|n| match n {
            Net::Grams(x) | Net::Millilitres(x) => x,
        }),
        most_net,
    );
    above_zero("width of the label in mm", notes.size_mm.map(|s| s.0), Decimal::from(MOST_MM));
    above_zero("height of the label in mm", notes.size_mm.map(|s| s.1), Decimal::from(MOST_MM));
    above_zero("letter height in mm", notes.letter_mm, Decimal::ONE_HUNDRED);
    let months = Decimal::from(MOST_MONTHS);
    above_zero("time that it keeps in months", notes.keeps_months.map(Decimal::from), months);
    above_zero("time after opening in months", notes.opened_months.map(Decimal::from), months);
    for printed in &notes.printed {
        problems.text(place, "market of a printed label", &printed.market);
        few(place, "parts of a printed label", printed.lines.len(), MOST_PARTS, problems);
        for line in &printed.lines {
            problems.text(place, "part of a printed label", line);
        }
    }
}

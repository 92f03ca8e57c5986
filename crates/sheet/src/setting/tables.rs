//! The read-outs by part, and the measurements against the model.

use quern_calc::evaluate::{Check, Part, Readout, Value, WhyNot, readouts};
use quern_calc::number::{NumberStyle, format_f64};
use quern_calc::setting::calibrate::Reading;
use quern_calc::setting::notes::SettingNotes;
use quern_calc::setting::pour::PourClass;

use super::{Cell, CheckRow, PartTable, Row, SettingSide};
use crate::figure::DASH;
use crate::text::{capital, clean, joined};

/// The four parts in the order of the view.
pub(super) fn parts(
    sides: &[SettingSide<'_>],
    names: &[String],
    style: NumberStyle,
) -> Vec<PartTable> {
    let all: Vec<Vec<Readout>> = sides.iter().map(|s| figures(s)).collect();
    Part::ALL.into_iter().map(|part| table(part, &all, names, style)).collect()
}

/// The figures of one formula; where a paste has no way to pour, its temperature says nothing.
fn figures(side: &SettingSide<'_>) -> Vec<Readout> {
    let mut out = readouts(side.evaluation, side.figures);
    if let Err(why) = &side.figures.pour {
        for row in out.iter_mut().filter(|r| r.key == "pour_c") {
            row.value = Value::Absent(why.clone());
        }
    }
    out
}

fn table(part: Part, all: &[Vec<Readout>], names: &[String], style: NumberStyle) -> PartTable {
    let of_part: Vec<Vec<&Readout>> =
        all.iter().map(|rows| rows.iter().filter(|r| r.part == part).collect()).collect();
    let gaps = of_part
        .iter()
        .zip(names)
        .flat_map(|(rows, name)| gaps(rows, if names.len() > 1 { name } else { "" }))
        .collect();
    let count = of_part.iter().map(Vec::len).max().unwrap_or(0);
    // Every formula has the same rows in the same order.
    let kept: Vec<Vec<&Readout>> = (0..count)
        .map(|i| of_part.iter().filter_map(|rows| rows.get(i).copied()).collect::<Vec<_>>())
        .filter(|row| row.iter().any(|r| !matches!(r.value, Value::Absent(_))))
        .collect();
    let estimates = kept.iter().flatten().all(|r| r.estimate);
    let rows = kept.iter().filter_map(|row| {
        let first = row.first()?;
        Some(Row {
            name: first.name.to_owned(),
            unit: first.unit,
            estimate: !estimates && row.iter().any(|r| r.estimate),
            cells: row.iter().map(|r| cell(r, style)).collect(),
        })
    });
    PartTable { name: part.name(), estimates, rows: rows.collect(), gaps }
}

fn cell(readout: &Readout, style: NumberStyle) -> Cell {
    let value = clean(&readout.value.text(style));
    let places = match readout.value {
        Value::Number(_, places) | Value::Exact(_, places) => places,
        _ => 0,
    };
    let band = match readout.band {
        Some((low, high)) if low.is_finite() && high.is_finite() => {
            let ends = (format_f64(low, places, style), format_f64(high, places, style));
            if ends.0 == ends.1 { String::new() } else { format!("{} to {}", ends.0, ends.1) }
        }
        _ => String::new(),
    };
    Cell { value, band, words: matches!(readout.value, Value::Text(_)) }
}

/// Why figures are missing, once for each reason.
fn gaps(rows: &[&Readout], whose: &str) -> Vec<String> {
    const NAMED: usize = 2;
    let mut found: Vec<(&WhyNot, Vec<&str>)> = Vec::new();
    for row in rows {
        let Value::Absent(why) = &row.value else { continue };
        match found.iter_mut().find(|f| f.0 == why) {
            Some(known) => known.1.push(row.name),
            None => found.push((why, vec![row.name])),
        }
    }
    let all = found.first().is_some_and(|f| f.1.len() == rows.len());
    found
        .into_iter()
        .map(|(why, names)| {
            let what = if all {
                "no figures".to_owned()
            } else {
                let more = names.len().saturating_sub(NAMED);
                let named = names.into_iter().take(NAMED).collect::<Vec<_>>().join(", ");
                if more > 0 { format!("{named} and {more} more") } else { named }
            };
            let said = format!("{what}: {}", clean(&why.words()));
            if whose.is_empty() { capital(&said) } else { format!("{whose}: {said}") }
        })
        .collect()
}

/// The measurements of a formula, what the model said before and says after; and their day, where
/// it is one for all.
pub(super) fn checks(
    side: &SettingSide<'_>,
    notes: &SettingNotes,
    style: NumberStyle,
) -> (Vec<CheckRow>, String) {
    // The checks follow the notes, so that each meets its day.
    let mut all = notes.of(&side.formula.id);
    let checks = &side.figures.checks;
    let days: Vec<String> = checks
        .iter()
        // Readings that are no numbers are not equal to themselves.
        .map(|c| all.next().filter(|m| m.reading.name() == c.reading.name()).and_then(|m| m.date))
        .map(|day| day.map_or(String::new(), |d| d.words()))
        .collect();
    let one = days.first().filter(|first| days.iter().all(|d| d == *first)).cloned();
    let rows = checks
        .iter()
        .zip(days)
        .map(|(check, day)| row(check, if one.is_some() { String::new() } else { day }, style));
    (rows.collect(), one.unwrap_or_default())
}

fn row(check: &Check, day: String, style: NumberStyle) -> CheckRow {
    let number =
        |x: f64, places: u32, unit: &str| format!("{} {unit}", format_f64(x, places, style));
    let celsius = |c: f64| number(c, u32::from((c - c.round()).abs() > 0.05), "\u{b0}C");
    let (what, measured) = match check.reading {
        Reading::SetsAt { c } => (check.reading.name().to_owned(), celsius(c)),
        Reading::Flow { at_c, class } => {
            (format!("{} at {}", check.reading.name(), celsius(at_c)), class.name().to_owned())
        }
        Reading::Poured { at_c, grams, ml } => (
            format!("{} at {}, {}", check.reading.name(), celsius(at_c), number(ml, 0, "mL")),
            number(grams, 1, "g"),
        ),
        Reading::Needle { at_c, mm } => {
            (format!("{} at {}", check.reading.name(), celsius(at_c)), number(mm, 1, "mm"))
        }
    };
    let told = |x: Option<f64>| match (check.reading, x.filter(|x| x.is_finite())) {
        (_, None) => DASH.to_owned(),
        (Reading::SetsAt { .. }, Some(c)) => number(c, 1, "\u{b0}C"),
        (Reading::Flow { .. }, Some(ratio)) => {
            format!("{}, {} %", PourClass::of(ratio).name(), format_f64(100.0 * ratio, 0, style))
        }
        (Reading::Poured { .. }, Some(g)) => number(g, 1, "g"),
        (Reading::Needle { .. }, Some(mm)) => number(mm, 1, "mm"),
    };
    let unused = check.reading.problem().map_or(String::new(), |why| format!("not used: {why}"));
    CheckRow {
        what: capital(&joined(&[what, day, unused], " \u{b7} ")),
        measured,
        before: told(check.before),
        after: told(check.after),
    }
}

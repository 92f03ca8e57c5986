//! The sheet as one table of comma-separated values.
//!
//! Every row has the same columns, and the first says what the row is, so that the file
//! reads in a spreadsheet and filters in a script. Numbers always have a decimal point and
//! no grouping, whatever the style of the other formats.

use rust_decimal::Decimal;

use crate::SheetError;
use crate::bench::{Bare, BenchSheet, LineRow, PhaseRows, Under};

const COLUMNS: [&str; 13] = [
    "record",
    "phase",
    "line",
    "item",
    "detail",
    "percent",
    "target_g",
    "scale_g",
    "band_g",
    "running_g",
    "actual_g",
    "lot",
    "by",
];

/// One row; what is not set stays empty.
#[derive(Default)]
struct Row<'a> {
    record: &'a str,
    phase: &'a str,
    line: String,
    item: &'a str,
    detail: &'a str,
    /// Percent, target, scale, band, running.
    numbers: [&'a str; 5],
}

/// The sheet as CSV in UTF-8, with CR LF between rows (RFC 4180).
///
/// A text that a spreadsheet would take for a formula gets an apostrophe in front.
///
/// # Errors
/// [`SheetError::Table`] if the writer fails.
pub fn csv(sheet: &BenchSheet) -> Result<Vec<u8>, SheetError> {
    let mut out =
        ::csv::WriterBuilder::new().terminator(::csv::Terminator::CRLF).from_writer(Vec::new());
    let failed = |e: &dyn std::fmt::Display| SheetError::Table(e.to_string());
    out.write_record(COLUMNS).map_err(|e| failed(&e))?;
    for row in rows(sheet) {
        let [percent, target, scale, band, running] = row.numbers;
        let words = [row.record, row.phase, &row.line, row.item, row.detail].map(defused);
        let numbers = [percent, target, scale, band, running, "", "", ""];
        let record = words.iter().map(String::as_str).chain(numbers);
        out.write_record(record).map_err(|e| failed(&e))?;
    }
    out.into_inner().map_err(|e| failed(&e))
}

/// Text that no spreadsheet runs. A plain number keeps its sign.
fn defused(text: &str) -> String {
    let risky = text.starts_with([
        '=', '+', '-', '@', '\t', '\r', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
    ]);
    if risky && text.parse::<Decimal>().is_err() { format!("'{text}") } else { text.to_owned() }
}

fn rows(sheet: &BenchSheet) -> Vec<Row<'_>> {
    let words = |record, item, detail| Row { record, item, detail, ..Row::default() };
    let mut out = vec![
        words("sheet", "title", &sheet.title),
        words("sheet", "product", &sheet.product),
        words("sheet", "batch code", &sheet.code),
        words("sheet", "date and workshop", &sheet.dated),
        words("sheet", "made by", &sheet.made_by),
    ];
    out.extend(sheet.stops.iter().map(|s| words("stop", "Do not make", s)));
    for fact in &sheet.facts {
        let (detail, percent, grams) = match &fact.bare {
            Bare::Words => (fact.value.as_str(), "", ""),
            Bare::Grams(plain) => ("", "", plain.as_str()),
            Bare::Percent(plain) => ("", plain.as_str(), ""),
        };
        let numbers = [percent, grams, "", "", ""];
        out.push(Row { numbers, ..words("batch", fact.label, detail) });
    }
    for phase in &sheet.phases {
        let numbers = [phase.percent.plain.as_str(), &phase.grams.plain, "", "", ""];
        let phase_row = words("phase", &phase.name, &phase.heat);
        out.push(Row { phase: &phase.letter, numbers, ..phase_row });
        for line in &phase.lines {
            line_rows(phase, line, &mut out);
        }
    }
    let total = &sheet.total;
    let totals = [
        ("rounded lines", total.percent.plain.as_str(), total.rounded.plain.as_str()),
        ("exact", "", &total.exact.plain),
        ("difference", "", &total.difference.plain),
    ];
    for (item, percent, grams) in totals {
        out.push(Row { numbers: [percent, grams, "", "", ""], ..words("total", item, "") });
    }
    out.extend(sheet.steps.iter().map(|s| Row {
        phase: &s.letter,
        line: s.number.to_string(),
        ..words("step", &s.text, &s.detail)
    }));
    out.extend(sheet.cares.iter().map(|c| words("care", "Take care", c)));
    out.extend(sheet.warns.iter().map(|w| words("finding", "Finding to settle", w)));
    out
}

fn line_rows<'a>(phase: &'a PhaseRows, line: &'a LineRow, out: &mut Vec<Row<'a>>) {
    let row = |record, item, detail, numbers| Row {
        record,
        phase: &phase.letter,
        line: line.number.to_string(),
        item,
        detail,
        numbers,
    };
    let numbers = [
        line.percent.plain.as_str(),
        &line.target.plain,
        &line.scale,
        &line.band.plain,
        &line.running.plain,
    ];
    out.push(row("line", &line.inci, &line.name, numbers));
    for mark in &line.marks {
        out.push(row("mark", &line.inci, mark, [""; 5]));
    }
    for under in &line.under {
        out.push(match under {
            Under::Note(note) => row("note", &line.inci, note, [""; 5]),
            Under::Or { inci, target, note, .. } => {
                row("alternative", inci, note, ["", &target.plain, "", "", ""])
            }
        });
    }
}

#[cfg(test)]
mod tests {
    use super::defused;

    #[test]
    fn formulas_are_defused_and_numbers_are_not() {
        for bad in ["=1+1", "+cmd", "-cmd|x", "@SUM(A1)", "\tx", "\rx", "\u{ff1d}1", "-1-1", "+"] {
            assert_eq!(defused(bad), format!("'{bad}"));
        }
        for good in ["-3.5", "+2", "Kaolin", "3-methyl", ""] {
            assert_eq!(defused(good), good);
        }
    }
}

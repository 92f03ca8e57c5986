//! Cells as text, for the clipboard.

use quern_calc::evaluate::{Evaluation, LineFigures, share_of_phase};
use quern_calc::formula::Formula;
use quern_calc::number::{NumberStyle, format_fixed, format_mass_full, format_plain};

use super::{Column, Range};
use crate::words;

/// A cell in full: figures are not rounded beyond what the bench can weigh.
#[must_use]
pub fn cell_text(
    formula: &Formula,
    e: &Evaluation,
    line: &LineFigures,
    column: Column,
    style: NumberStyle,
) -> String {
    let kept = formula.line(line.line);
    match column {
        Column::Material => line.name.clone(),
        Column::Inci => line.inci.clone(),
        Column::Function => words::text(line.function).to_owned(),
        Column::Percent => line.percent.map_or(String::new(), |p| format_plain(p.0, style)),
        Column::Grams => e
            .weigh
            .line(line.line)
            .and_then(|r| r.target.or(r.exact))
            .filter(|_| e.batch.is_ok())
            .map_or(String::new(), |g| format_mass_full(g.0, style)),
        Column::OfPhase => {
            share_of_phase(e, line).map_or(String::new(), |p| format_fixed(p.0, 2, style))
        }
        Column::Cost => {
            e.cost.lines.get(&line.line).map_or(String::new(), |m| format_fixed(m.0, 2, style))
        }
        Column::Note => kept.map_or(String::new(), |l| l.note.clone()),
        Column::Flags => {
            let [stops, warns, notes] = line.findings;
            let counted = [(stops, say!("stop")), (warns, say!("warn")), (notes, say!("note"))];
            let words: Vec<String> = counted
                .into_iter()
                .filter(|(n, _)| *n > 0)
                .map(|(n, word)| format!("{n} {word}"))
                .collect();
            words.join(", ")
        }
    }
}

/// A range as tab-separated text, as spreadsheets take it.
#[must_use]
pub fn range_text(formula: &Formula, e: &Evaluation, range: &Range, style: NumberStyle) -> String {
    let mut writer = csv::WriterBuilder::new().delimiter(b'\t').from_writer(Vec::new());
    for id in &range.lines {
        let Some(line) = e.line(*id) else { continue };
        let cells = range.columns.iter().map(|c| cell_text(formula, e, line, *c, style));
        // Writing to memory does not fail; a row that did would be missing from the clipboard.
        if writer.write_record(cells.collect::<Vec<_>>()).is_err() {
            return String::new();
        }
    }
    writer
        .into_inner()
        .ok()
        .and_then(|bytes| String::from_utf8(bytes).ok())
        .map(|text| text.strip_suffix('\n').unwrap_or(&text).to_owned())
        .unwrap_or_default()
}

/// Rows and cells of tab-separated text.
#[must_use]
pub fn cells_of(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(b'\t')
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    reader
        .records()
        .filter_map(Result::ok)
        .map(|row| row.iter().map(|c| c.trim().to_owned()).collect())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    // Tabs between cells, line ends between rows, quotes around cells that hold either: what
    // spreadsheets put on the clipboard as text (RFC 4180 with tabs).
    #[test]
    fn rows_of_a_spreadsheet_are_read() {
        assert_eq!(cells_of("1\t2\r\n3\t4\r\n"), [["1", "2"], ["3", "4"]]);
        assert_eq!(cells_of("a"), [["a"]]);
        assert_eq!(cells_of("\"two\nlines\"\tb"), [["two\nlines", "b"]]);
        assert_eq!(cells_of("a\t\tc\nd"), [vec!["a", "", "c"], vec!["d"]]);
        assert!(cells_of("").is_empty());
    }
}

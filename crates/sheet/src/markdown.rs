//! The sheet as Markdown, readable as plain text too.

use crate::bench::{BenchSheet, LineRow, PhaseRows};
use crate::figure::{DASH, Figure};

/// The sheet as Markdown with one table, its columns aligned in the source.
#[must_use]
pub fn markdown(sheet: &BenchSheet) -> String {
    let mut out = String::new();
    let mut line = |text: &str| {
        out.push_str(text);
        out.push('\n');
    };
    line(&format!("# {}", escaped(&sheet.title)));
    line("");
    line(&format!("{}  ", escaped(&sheet.product)));
    line(&format!("**{}** \u{b7} {}", escaped(&sheet.code), escaped(&sheet.dated)));
    line("");
    if sheet.has_stop() {
        line("**Do not make**");
        line("");
        for stop in &sheet.stops {
            line(&format!("- {}", escaped(stop)));
        }
        line("");
    }
    for fact in &sheet.facts {
        line(&format!("- {}: **{}**", fact.label, escaped(&fact.value)));
    }
    line("");
    for row in table(sheet) {
        line(&row);
    }
    line("");
    if !sheet.steps.is_empty() {
        line("## Steps");
        line("");
        for step in &sheet.steps {
            let mut words = format!("{}. **{}** {}", step.number, step.letter, escaped(&step.text));
            if !step.detail.is_empty() {
                words.push_str(&format!(" ({})", step.detail));
            }
            if step.reading {
                words.push_str(&format!(" Reading: {BLANK} \u{b0}C"));
            }
            if step.time {
                words.push_str(&format!(" Time: {BLANK}"));
            }
            line(&words);
        }
        line("");
    }
    line("## Take care");
    line("");
    for care in &sheet.cares {
        line(&format!("- {}", escaped(care)));
    }
    line("");
    if !sheet.warns.is_empty() {
        line("## Findings to settle");
        line("");
        for warn in &sheet.warns {
            line(&format!("- {}", escaped(warn)));
        }
        line("");
    }
    line("---");
    line("");
    line(&format!("{} \u{b7} weighed {BLANK} checked {BLANK}", escaped(&sheet.made_by)));
    out
}

/// To be written on by hand. Underscores between spaces are plain text in Markdown.
const BLANK: &str = "______";

const HEADS: [&str; 10] =
    ["#", "done", "material, INCI", "%", "grams", "band", "running", "actual", "lot", "by"];
/// Columns of numbers, set to the right.
const NUMBERS: std::ops::RangeInclusive<usize> = 3..=6;

fn table(sheet: &BenchSheet) -> Vec<String> {
    let mut rows: Vec<[String; 10]> = Vec::new();
    for phase in &sheet.phases {
        rows.push(phase_row(phase));
        for line in &phase.lines {
            rows.push(line_row(line));
            for under in &line.under {
                let words = format!("\u{21b3} {}", escaped(&under.words()));
                rows.push(cells("", "", words, [const { String::new() }; 4]));
            }
        }
    }
    let total = &sheet.total;
    let numbers = [number(&total.percent), number(&total.rounded), String::new(), String::new()];
    rows.push(cells("", "", "**Total**, sum of rounded lines".to_owned(), numbers));
    for (label, figure) in [("exact", &total.exact), ("difference", &total.difference)] {
        // Past the column's decimals when the exact figure has more; still on its mark.
        let numbers = [String::new(), figure.text.clone(), String::new(), String::new()];
        rows.push(cells("", "", label.to_owned(), numbers));
    }

    let mut widths = HEADS.map(|h| h.chars().count().max(4));
    for row in &rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    let laid = |row: &[String; 10]| {
        let cells = row.iter().zip(widths).enumerate().map(|(i, (cell, width))| {
            if NUMBERS.contains(&i) { format!("{cell:>width$}") } else { format!("{cell:<width$}") }
        });
        format!("| {} |", cells.collect::<Vec<_>>().join(" | "))
    };
    let rule = widths.iter().enumerate().map(|(i, width)| {
        if NUMBERS.contains(&i) {
            format!("{}:", "-".repeat(width - 1))
        } else {
            "-".repeat(*width)
        }
    });
    let mut out = vec![
        laid(&HEADS.map(str::to_owned)),
        format!("| {} |", rule.collect::<Vec<_>>().join(" | ")),
    ];
    out.extend(rows.iter().map(laid));
    out
}

fn cells(number: &str, done: &str, item: String, numbers: [String; 4]) -> [String; 10] {
    let [percent, grams, band, running] = numbers;
    let blank = String::new;
    [
        number.to_owned(),
        done.to_owned(),
        item,
        percent,
        grams,
        band,
        running,
        blank(),
        blank(),
        blank(),
    ]
}

fn phase_row(phase: &PhaseRows) -> [String; 10] {
    let mut words = format!("**{} {}**", phase.letter, escaped(&phase.name));
    if !phase.heat.is_empty() {
        words.push_str(&format!(" {}", phase.heat));
    }
    if phase.reading {
        words.push_str(&format!(". Reading: {BLANK} \u{b0}C"));
    }
    let numbers = [number(&phase.percent), number(&phase.grams), String::new(), String::new()];
    cells("", "", words, numbers)
}

fn line_row(line: &LineRow) -> [String; 10] {
    let mut words = escaped(&line.inci);
    for more in std::iter::once(&line.name).chain(&line.marks).filter(|m| !m.is_empty()) {
        words.push_str(&format!("; {}", escaped(more)));
    }
    let numbers = [&line.percent, &line.target, &line.band, &line.running].map(number);
    cells(&line.number.to_string(), "\u{2610}", words, numbers)
}

/// The figure with spaces after it, so that marks line up in the source.
fn number(figure: &Figure) -> String {
    let text = if figure.is_none() { DASH } else { &figure.text };
    format!("{text}{}", " ".repeat(figure.tail.chars().count()))
}

/// Text that stays text: no markup, no table cell, no tag.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut rest = text.chars().peekable();
    let mut only_digits = true;
    let mut first = true;
    while let Some(c) = rest.next() {
        match c {
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' if rest.peek().is_some_and(|n| n.is_alphanumeric() || *n == '#') => {
                out.push_str("&amp;");
            }
            '\\' | '|' | '`' | '*' | '_' | '[' | ']' | '~' | '$' => {
                out.push('\\');
                out.push(c);
            }
            '#' | '-' | '+' if first => {
                out.push('\\');
                out.push(c);
            }
            // "1." and "1)" would begin a list.
            '.' | ')' if only_digits && !first && rest.peek().is_none_or(|n| *n == ' ') => {
                out.push('\\');
                out.push(c);
            }
            '\n' | '\r' => out.push(' '),
            _ => out.push(c),
        }
        only_digits &= c.is_ascii_digit();
        first = false;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::escaped;

    #[test]
    fn markup_stays_text() {
        for (text, expected) in [
            ("# a", "\\# a"),
            ("a # b", "a # b"),
            ("a|b\\c", "a\\|b\\\\c"),
            ("<script>", "&lt;script&gt;"),
            ("&lt; & Co", "&amp;lt; & Co"),
            ("1. x", "1\\. x"),
            ("1.5 g", "1.5 g"),
            ("*b* _i_ `c`", "\\*b\\* \\_i\\_ \\`c\\`"),
            ("- x", "\\- x"),
            ("a\nb", "a b"),
        ] {
            assert_eq!(escaped(text), expected);
        }
    }
}

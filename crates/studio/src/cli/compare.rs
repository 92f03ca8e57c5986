//! Two to four formulas side by side.

use std::path::Path;

use quern_calc::evaluate::{Evaluation, FigureRow, Value, figure_rows, item_name};
use quern_calc::formula::{DifferenceRow, Formula, compare_lines};
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Percent;

use super::args::Compare;
use super::input::{Source, same_file};
use super::text::{Set, Table, clean, cut, quoted, wrap};
use super::{Bad, Bench, Done, findings, json, report};

const DASH: &str = "–";

/// Longest formula name over a column, in characters.
const MOST_TITLE: usize = 14;

/// How the comparison is written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Style {
    Text,
    Markdown,
    Json,
}

/// A comparison with every cell in words.
struct Rows {
    titles: Vec<String>,
    /// Name, one cell per formula, and what differs.
    lines: Vec<Vec<String>>,
    figures: Vec<Vec<String>>,
}

pub(super) fn run(args: &Compare, bench: &mut Bench<'_>) -> Done {
    let style = style_of(args)?;
    let source = Source::open(&args.file, bench.input)?;
    let formulas: Vec<&Formula> = args
        .names
        .iter()
        .map(|name| source.formula(name).map(AsRef::as_ref))
        .collect::<Result<_, _>>()?;
    let evaluations: Vec<Evaluation> =
        formulas.iter().map(|f| source.evaluate(f, bench.today).1).collect();
    let sides: Vec<(&Formula, &Evaluation)> = formulas.iter().copied().zip(&evaluations).collect();
    let lines = compare_lines(&formulas);
    let figures: Vec<Vec<FigureRow>> = evaluations.iter().map(figure_rows).collect();

    let text = if style == Style::Json {
        let head = json::Head::new("compare", &source.project, bench.today);
        json::text(&json::compare(head, &sides, &lines, &figures, &source.library))?
    } else {
        let rows = rows(&sides, &lines, &figures, &source);
        if style == Style::Markdown { markdown(&rows, &sides) } else { plain(rows, &sides) }
    };
    match args.out.as_deref().filter(|out| *out != Path::new("-")) {
        None => bench.put_text(&text)?,
        Some(out) if same_file(&args.file, out) => {
            return Err(Bad::new(format!(
                "--out {} is the project itself; choose another name",
                quoted(&out.to_string_lossy())
            )));
        }
        Some(out) => {
            quern_project::write_file(out, text.as_bytes()).map_err(|e| Bad::new(e.to_string()))?;
            bench.put_text(&format!("Written: {}\n", out.display()))?;
        }
    }
    Ok(0)
}

fn style_of(args: &Compare) -> Result<Style, Bad> {
    let Some(out) = args.out.as_deref().filter(|out| *out != Path::new("-")) else {
        return Ok(if args.json { Style::Json } else { Style::Text });
    };
    let shown = quoted(&out.to_string_lossy());
    let ending = out.extension().map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("json") => Ok(Style::Json),
        Some("md" | "txt") if args.json => Err(Bad::new(format!(
            "--json writes JSON and --out {shown} does not end in .json; make them agree"
        ))),
        Some("md") => Ok(Style::Markdown),
        Some("txt") => Ok(Style::Text),
        _ => Err(Bad::new(format!(
            "--out {shown} does not tell the format; end it in .txt, .md or .json"
        ))),
    }
}

fn rows(
    sides: &[(&Formula, &Evaluation)],
    lines: &[DifferenceRow],
    figures: &[Vec<FigureRow>],
    source: &Source,
) -> Rows {
    let style = NumberStyle::default();
    let places = report::percent_places(lines.iter().flat_map(|row| row.percents.iter().flatten()));
    let percent = |p: &Option<Percent>| p.map(|p| Value::Exact(p.0, places));
    let row_of = |name: String, values: &[Option<Value>], same: bool| {
        let mut row = vec![name];
        row.extend(
            values.iter().map(|v| v.as_ref().map_or_else(|| DASH.to_owned(), |v| v.text(style))),
        );
        row.push(match values {
            _ if same => "same".to_owned(),
            [Some(a), Some(b)] => b.difference(a, style).unwrap_or_default(),
            _ => String::new(),
        });
        row
    };
    let first = figures.first().map(Vec::as_slice).unwrap_or_default();
    Rows {
        titles: sides.iter().map(|(f, _)| clean(&f.name)).collect(),
        lines: lines
            .iter()
            .map(|row| {
                let values: Vec<Option<Value>> = row.percents.iter().map(percent).collect();
                row_of(item_name(&row.item, &source.library), &values, row.same)
            })
            .collect(),
        figures: first
            .iter()
            .map(|row| {
                let values: Vec<Option<Value>> = figures
                    .iter()
                    .map(|rows| rows.iter().find(|r| r.key == row.key).map(|r| r.value.clone()))
                    .collect();
                // Two unknowns are not known to be the same.
                let known = |v: &Option<Value>| !matches!(v, None | Some(Value::Absent(_)));
                let same = values.iter().all(|v| known(v) && Some(v) == values.first());
                let unit = report::unit(row, &source.project.currency);
                let comma = if unit.is_empty() { "" } else { ", " };
                let estimate = if row.estimate { " (estimate)" } else { "" };
                row_of(format!("{}{comma}{unit}{estimate}", row.name), &values, same)
            })
            .collect(),
    }
}

fn difference_title(rows: &Rows) -> &'static str {
    if rows.titles.len() == 2 { "second less first" } else { "" }
}

fn plain(rows: Rows, sides: &[(&Formula, &Evaluation)]) -> String {
    let mut out = String::new();
    for (i, (f, e)) in sides.iter().enumerate() {
        let about = format!(
            "{} (version {}, {}): {}",
            f.name,
            f.version.number,
            f.product.words(),
            findings::Counted::of(e).words()
        );
        wrap(&mut out, &format!("{}  ", i.saturating_add(1)), &about);
    }
    let difference = difference_title(&rows);
    let titles: Vec<String> = rows.titles.iter().map(|t| cut(t, MOST_TITLE)).collect();
    for (title, body) in [("Lines, %", rows.lines), ("Figures", rows.figures)] {
        out.push_str(&format!("\n{title}\n"));
        let mut columns = vec![("", Set::Left)];
        columns.extend(titles.iter().map(|t| (t.as_str(), Set::Decimal)));
        columns.push((difference, Set::Decimal));
        let mut table = Table::new(columns);
        for row in body {
            table.row(row);
        }
        table.render(&mut out);
    }
    out.push('\n');
    findings::not_checked(&mut out);
    out
}

/// A cell of a Markdown table: whatever could end the cell or start markup is escaped.
fn cell(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in clean(text).chars() {
        if matches!(c, '\\' | '|' | '`' | '*' | '_' | '<' | '>' | '[' | ']' | '#' | '&' | '~' | '!')
        {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

fn markdown(rows: &Rows, sides: &[(&Formula, &Evaluation)]) -> String {
    let mut out = String::from("# Comparison\n\n");
    for (f, e) in sides {
        out.push_str(&format!(
            "- {} (version {}, {}): {}\n",
            cell(&f.name),
            f.version.number,
            f.product.words(),
            findings::Counted::of(e).words()
        ));
    }
    for (title, first, body) in
        [("Lines", "Material, %", &rows.lines), ("Figures", "Figure", &rows.figures)]
    {
        out.push_str(&format!("\n## {title}\n\n| {first} |"));
        for title in &rows.titles {
            out.push_str(&format!(" {} |", cell(title)));
        }
        out.push_str(&format!(" {} |\n|---|", difference_title(rows)));
        out.push_str(&"---:|".repeat(rows.titles.len().saturating_add(1)));
        out.push('\n');
        for row in body {
            let cells: Vec<String> = row.iter().map(|c| cell(c)).collect();
            out.push_str(&format!("| {} |\n", cells.join(" | ")));
        }
    }
    out.push('\n');
    for line in findings::nothing_looked_at() {
        out.push_str(&format!("- {}\n", cell(&line)));
    }
    out
}

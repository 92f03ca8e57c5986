//! The answer as plain text.

use quern_calc::evaluate::{
    CurveRow, Part, Readout, Value, asides, check_words, curve_rows, honest,
};
use quern_calc::number::{NumberStyle, format_f64};

use super::super::findings;
use super::super::text::{Set, Table, clean, cut, wrap};
use super::Looked;

/// Longest words in place of a figure beside another; a remark says them in full.
const MOST_WORDS: usize = 18;

/// Longest formula name over a column, in characters.
const MOST_TITLE: usize = 14;

/// °C between two rows of the melt curve.
const STEP_C: f64 = 5.0;

/// Components beside each other in the table of the curve; more go into a further one.
const ACROSS: usize = 12;

pub(super) fn text(looked: &[Looked<'_>], curve: bool, style: NumberStyle) -> String {
    let mut out = String::new();
    for side in looked {
        let f = side.formula;
        wrap(&mut out, "== ", &f.name);
        let (version, product) = (&f.version, f.product.words());
        let about = format!("{product}; version {}, {}", version.number, version.state.name());
        wrap(&mut out, "", &about);
    }
    for part in Part::ALL {
        out.push_str(&format!("\n{}\n", part.name()));
        figures(&mut out, looked, part, style);
        for side in looked {
            for words in asides(part, &side.evaluation, &side.figures, style) {
                about(&mut out, looked, side, &words);
            }
        }
    }
    out.push_str("\nWhat follows from it\n");
    for side in looked {
        remarks(&mut out, looked, side);
    }
    measured(&mut out, looked, style);
    for side in looked {
        fat_phase(&mut out, looked, side, style);
    }
    if curve {
        melt_curve(&mut out, looked, style);
    }
    out.push_str("\nHow these figures err\n");
    for words in honest() {
        wrap(&mut out, "  - ", &words);
    }
    out.push('\n');
    findings::not_checked(&mut out);
    out
}

fn title(side: &Looked<'_>) -> String {
    cut(&clean(&side.formula.name), MOST_TITLE)
}

/// A line on one side, with its name where there are two.
fn about(out: &mut String, looked: &[Looked<'_>], side: &Looked<'_>, words: &str) {
    if looked.len() > 1 {
        wrap(out, "  ", &format!("{}: {words}", side.formula.name));
    } else {
        wrap(out, "  ", words);
    }
}

/// A heading for one side.
fn heading(out: &mut String, looked: &[Looked<'_>], side: &Looked<'_>, words: &str) {
    out.push('\n');
    if looked.len() > 1 {
        wrap(out, "", &format!("{words}: {}", side.formula.name));
    } else {
        wrap(out, "", words);
    }
}

/// The figures of a part, with those of the slab where it cools.
fn rows_of<'a>(side: &'a Looked<'_>, part: Part) -> Vec<&'a Readout> {
    side.rows.iter().chain(&side.slab_rows).filter(|r| r.part == part).collect()
}

fn band(row: &Readout, style: NumberStyle) -> String {
    let places = match row.value {
        Value::Number(_, places) | Value::Exact(_, places) => places,
        _ => 0,
    };
    row.band.map_or_else(String::new, |(low, high)| {
        format!("{} to {}", format_f64(low, places, style), format_f64(high, places, style))
    })
}

fn figures(out: &mut String, looked: &[Looked<'_>], part: Part, style: NumberStyle) {
    let sides: Vec<Vec<&Readout>> = looked.iter().map(|side| rows_of(side, part)).collect();
    let two = looked.len() > 1;
    let titles: Vec<String> =
        looked.iter().map(|s| if two { title(s) } else { String::new() }).collect();
    let mut columns = vec![("", Set::Left)];
    for title in &titles {
        columns.extend([(title.as_str(), Set::Decimal), ("", Set::Left)]);
    }
    columns.push(("", Set::Left));
    if !two {
        columns.push(("", Set::Left));
    }
    let mut table = Table::new(columns);
    let mut absent: Vec<(usize, String, Vec<&str>)> = Vec::new();
    let mut stated = Vec::new();
    for (i, first) in sides.first().into_iter().flatten().enumerate() {
        let mut cells = vec![first.name.to_owned()];
        let mut estimate = false;
        for (at, side) in sides.iter().enumerate() {
            let Some(row) = side.get(i) else { continue };
            cells.extend(match &row.value {
                // Words stand to the left, so that they do not push the numbers apart.
                Value::Text(words) if two => [String::new(), cut(words, MOST_WORDS)],
                Value::Text(words) => [String::new(), words.clone()],
                value => [value.text(style), band(row, style)],
            });
            match &row.value {
                Value::Absent(why) => {
                    let why = why.words();
                    match absent.iter_mut().find(|(a, w, _)| *a == at && *w == why) {
                        Some((_, _, names)) => names.push(row.name),
                        None => absent.push((at, why, vec![row.name])),
                    }
                }
                _ => estimate |= row.estimate,
            }
        }
        cells.push(first.unit.to_owned());
        if !two {
            cells.push(if estimate { "estimate".to_owned() } else { String::new() });
        } else if !first.estimate {
            stated.push(first.name);
        }
        table.row(cells);
    }
    table.render(out);
    if two {
        let but = if stated.is_empty() { "" } else { ", but for " };
        wrap(out, "  ", &format!("All of these are estimates{but}{}", stated.join(", ")));
    }
    for (at, why, names) in absent {
        if let Some(side) = looked.get(at) {
            about(out, looked, side, &format!("{}: {why}", names.join(", ")));
        }
    }
}

fn remarks(out: &mut String, looked: &[Looked<'_>], side: &Looked<'_>) {
    for remark in &side.remarks {
        let tone = remark.tone.name().to_uppercase();
        let name =
            if looked.len() > 1 { format!("{}: ", side.formula.name) } else { String::new() };
        wrap(out, &format!("  {tone:<4}  "), &format!("{name}{}", remark.text));
        for choice in &remark.choices {
            wrap(out, "        - ", choice);
        }
    }
}

fn measured(out: &mut String, looked: &[Looked<'_>], style: NumberStyle) {
    if looked.iter().all(|s| s.figures.checks.is_empty()) {
        return;
    }
    out.push_str("\nMeasured, and the model\n");
    for side in looked {
        for check in &side.figures.checks {
            let (seen, model) = check_words(check, style);
            about(out, looked, side, &format!("{seen}: {model}"));
        }
    }
}

fn fat_phase(out: &mut String, looked: &[Looked<'_>], side: &Looked<'_>, style: NumberStyle) {
    heading(out, looked, side, "Fat phase");
    let fat = match &side.evaluation.melt {
        Ok(melt) => &melt.fat,
        Err(why) => {
            wrap(out, "  ", &format!("None to calculate with: {}", why.words()));
            return;
        }
    };
    let mut table = Table::new([
        ("", Set::Right),
        ("", Set::Left),
        ("% of product", Set::Decimal),
        ("melts at °C", Set::Decimal),
    ]);
    for (i, c) in fat.components.iter().enumerate() {
        table.row([
            i.saturating_add(1).to_string(),
            c.name.clone(),
            format_f64(c.percent, 2, style),
            c.crystal.map_or_else(|| "liquid".to_owned(), |(tm, _)| format_f64(tm, 1, style)),
        ]);
    }
    table.render(out);
    if !fat.left_out.is_empty() {
        let percent = format_f64(100.0 * fat.left_out_share, 0, style);
        let names = fat.left_out.join("; ");
        wrap(out, "  ", &format!("Left out, no melt data: {names}: {percent} % of the fat"));
    }
}

fn melt_curve(out: &mut String, looked: &[Looked<'_>], style: NumberStyle) {
    let curves: Vec<(&Looked<'_>, Vec<CurveRow>)> = looked
        .iter()
        .filter_map(|s| Some((s, curve_rows(s.figures.stacks.as_ref()?, STEP_C))))
        .collect();
    out.push_str("\nMelt curve, solid in % of the fat\n");
    for side in looked {
        if let Err(why) = &side.evaluation.melt {
            about(out, looked, side, &format!("No curve: {}", why.words()));
        }
    }
    let Some((_, first)) = curves.first() else { return };
    let whole = |x: f64| format_f64(x, 0, style);
    let mut columns = vec![("°C".to_owned(), Set::Right)];
    for (side, _) in &curves {
        let estimate = if looked.len() > 1 { title(side) } else { "estimate".to_owned() };
        let mixed = ["all pure", "all mixed"].map(|t| (t.to_owned(), Set::Right));
        columns.push((estimate, Set::Right));
        columns.extend(mixed);
    }
    let mut table = Table::new(columns.iter().map(|(t, s)| (t.as_str(), *s)));
    for (i, row) in first.iter().enumerate() {
        let mut cells = vec![whole(row.c)];
        for at in curves.iter().filter_map(|(_, rows)| rows.get(i)) {
            let [pure, usual, all] = at.solid_percent;
            cells.extend([usual, pure, all].map(|x| format_f64(x, 1, style)));
        }
        table.row(cells);
    }
    table.render(out);
    for (side, rows) in &curves {
        let words = "What is solid of it, in % of the fat; components by their number above";
        heading(out, looked, side, words);
        components(out, rows, style);
    }
}

fn components(out: &mut String, rows: &[CurveRow], style: NumberStyle) {
    let count = rows.first().map_or(0, |r| r.component_percent.len());
    let solid =
        |i: &usize| rows.iter().any(|r| r.component_percent.get(*i).is_some_and(|x| *x > 0.0));
    let ever: Vec<usize> = (0..count).filter(solid).collect();
    for some in ever.chunks(ACROSS) {
        let titles: Vec<String> = some.iter().map(|i| i.saturating_add(1).to_string()).collect();
        let columns = titles.iter().map(|t| (t.as_str(), Set::Right));
        let mut table = Table::new(std::iter::once(("°C", Set::Right)).chain(columns));
        for row in rows {
            let cells = some.iter().map(|i| {
                let x = row.component_percent.get(*i).copied().unwrap_or(f64::NAN);
                format_f64(x, 1, style)
            });
            table.row(std::iter::once(format_f64(row.c, 0, style)).chain(cells));
        }
        table.render(out);
    }
}

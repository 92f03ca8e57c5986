//! Blends side by side.

use quern_calc::evaluate::{BlendRow, BlendSide};
use quern_calc::formula::Formula;
use quern_calc::number::NumberStyle;

use super::super::args::Grit;
use super::super::input::Source;
use super::super::text::{Set, Table, clean, cut, wrap};
use super::super::{Bench, Done, findings, json};
use super::report::Looked;
use super::{OwnScale, note, options, row_name, rows, why};

/// Longest formula name over a column, in characters.
const MOST_TITLE: usize = 14;

pub(super) fn run(args: &Grit, source: &Source, formula: &Formula, bench: &mut Bench<'_>) -> Done {
    let cut_um = options::cut_um(args)?;
    let mut looked = vec![Looked::at(args, source, formula, bench)?];
    for name in &args.beside {
        looked.push(Looked::at(args, source, source.formula(name)?, bench)?);
    }
    let scale = OwnScale::of(source);
    let sides: Vec<BlendSide<'_>> = looked.iter().map(Looked::side).collect();
    let rows = rows(&sides, cut_um, &scale);
    if args.json {
        let head = json::Head::new("grit", &source.project, bench.today);
        bench.put_text(&json::text(&json::grit::beside(head, &sides, cut_um, &rows))?)?;
        return Ok(0);
    }
    bench.put_text(&text(&looked, &rows, source))?;
    Ok(0)
}

fn text(looked: &[Looked], rows: &[BlendRow], source: &Source) -> String {
    let style = NumberStyle::default();
    let mut out = String::new();
    for (i, side) in looked.iter().enumerate() {
        let f = &side.formula;
        let mut about = format!("{} (version {}, {})", f.name, f.version.number, f.product.words());
        if f.product.place != side.own_place {
            about.push_str(&format!("; its own place is {}", side.own_place.name()));
        }
        wrap(&mut out, &format!("{}  ", i.saturating_add(1)), &about);
    }
    out.push_str("\nBlends\n");
    let two = looked.len() == 2;
    let titles: Vec<String> =
        looked.iter().map(|s| cut(&clean(&s.formula.name), MOST_TITLE)).collect();
    let mut columns = vec![("", Set::Left)];
    columns.extend(titles.iter().map(|t| (t.as_str(), Set::Decimal)));
    if two {
        columns.push(("second to first", Set::Decimal));
    }
    let mut table = Table::new(columns);
    let mut absent = Vec::new();
    for row in rows {
        let mut cells = vec![row_name(row, source)];
        cells.extend(row.values.iter().map(|v| v.text(style)));
        if two {
            cells.push(row.difference.clone());
        }
        table.row(cells);
        for (value, side) in row.values.iter().zip(looked) {
            if let Some(why) = why(value) {
                let told = format!("{}: {why}", side.formula.name);
                if !absent.contains(&told) {
                    absent.push(told);
                }
            }
        }
    }
    table.render(&mut out);
    let estimates: Vec<&str> =
        rows.iter().filter(|r| r.estimate).map(|r| r.name.as_str()).collect();
    wrap(&mut out, "  Estimates of a model: ", &estimates.join("; "));
    if !absent.is_empty() {
        out.push_str("\nNot known\n");
    }
    for told in absent {
        wrap(&mut out, "  - ", &told);
    }
    for side in looked {
        if let Ok(figures) = &side.evaluation.grains
            && !figures.left_out.is_empty()
        {
            let (name, left) = (&side.formula.name, figures.left_out.join("; "));
            wrap(&mut out, "  - ", &format!("{name}: left out, no sizes or density: {left}"));
        }
    }
    note(&mut out);
    findings::not_checked(&mut out);
    out
}

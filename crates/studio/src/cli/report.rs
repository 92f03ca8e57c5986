//! Every figure and finding, as text or JSON.

use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::{Evaluation, FigureRow, Value, figure_rows};
use quern_calc::formula::{Component, Formula, Phase, phase_letter};
use quern_calc::number::{NumberStyle, format_fixed, format_grams, format_plain};
use quern_calc::quantity::{Grams, Percent};
use rust_decimal::Decimal;

use super::args::Ask;
use super::estimate::estimate;
use super::input::Source;
use super::text::{Set, Table, cut, wrap};
use super::{Bench, Done, findings, json};

const DASH: &str = "–";

/// Decimals of unrounded grams and of money.
const PLACES: u32 = 2;

/// Longest currency beside a figure, in characters.
const MOST_CURRENCY: usize = 8;

pub(super) fn run(args: &Ask, bench: &mut Bench<'_>) -> Done {
    let source = Source::open(&args.file, bench.input)?;
    let formulas = source.formulas(args.formula.as_deref())?;
    if args.json {
        let formulas = formulas
            .into_iter()
            .map(|formula| {
                let (plan, e) = source.evaluate(formula, bench.today);
                json::report_formula(formula, &plan, &e)
            })
            .collect();
        let head = json::Head::new("report", &source.project, bench.today);
        bench.put_text(&json::text(&json::Report { head, formulas })?)?;
        return Ok(0);
    }
    let mut out = String::new();
    let library = &quern_project::library::builtin().edition;
    wrap(&mut out, "", &source.project.name);
    wrap(&mut out, "", &format!("{}, {}, library {library}", source.origin, bench.today.words()));
    out.push('\n');
    for formula in formulas {
        let (plan, e) = source.evaluate(formula, bench.today);
        one(&mut out, formula, &plan, &e, &source.project.currency);
    }
    if source.project.formulas.is_empty() {
        out.push_str("The project has no formulas\n\n");
    }
    findings::not_checked(&mut out);
    bench.put_text(&out)?;
    Ok(0)
}

fn one(out: &mut String, formula: &Formula, plan: &BatchPlan, e: &Evaluation, currency: &str) {
    let style = NumberStyle::default();
    wrap(out, "== ", &formula.name);
    let about = format!(
        "{}; version {}, {}; batch code {}",
        formula.product.words(),
        formula.version.number,
        formula.version.state.name(),
        e.batch_code
    );
    wrap(out, "", &about);
    if !formula.note.trim().is_empty() {
        wrap(out, "", &formula.note);
    }
    out.push_str("\nFormula and weigh list\n");
    weigh_list(out, formula, plan, e, style);
    if let Some(why) = e.batch.is_err().then(|| findings::no_batch(e, style)) {
        wrap(out, "  ", &format!("No weights: {why}"));
    }
    out.push_str("\nFigures\n");
    figures(out, e, currency, style);
    out.push_str("\nWhat is in it, by label name\n");
    composition(out, formula, e, style);
    out.push_str(&format!("\nFindings: {}\n", findings::Counted::of(e).words()));
    findings::list(out, formula, e, style);
    out.push_str("\nCautions for whoever makes it\n");
    for care in &e.cares {
        wrap(out, "  - ", &care.text);
    }
    out.push('\n');
}

/// Two decimals, or four where two would make a trace look like nothing.
pub(super) fn percent_places<'a>(percents: impl IntoIterator<Item = &'a Percent>) -> u32 {
    let trace = |p: &Percent| !p.is_zero() && p.0.abs() < Decimal::new(1, 2);
    if percents.into_iter().any(trace) { 4 } else { 2 }
}

fn weigh_list(
    out: &mut String,
    formula: &Formula,
    plan: &BatchPlan,
    e: &Evaluation,
    style: NumberStyle,
) {
    let places = percent_places(e.lines.iter().filter_map(|l| l.percent.as_ref()));
    let percent = |p: Percent| format_fixed(p.0, places, style);
    let several = plan.scales.len() > 1;
    let mut columns = vec![
        ("Material", Set::Left),
        ("Function", Set::Left),
        ("%", Set::Decimal),
        ("exact g", Set::Decimal),
        ("weigh g", Set::Decimal),
        ("± g", Set::Decimal),
        ("cost", Set::Decimal),
    ];
    if several {
        columns.push(("on scale", Set::Right));
    }
    let mut table = Table::new(columns);
    let finest = plan.scales.iter().map(|s| s.readability).min().map_or(Decimal::ZERO, |g| g.0);
    let sum = |g: Grams| match e.batch {
        Ok(_) => format_grams(g.0, finest, style),
        Err(_) => DASH.to_owned(),
    };
    for (index, phase) in formula.phases.iter().enumerate() {
        let sums = e.phases.iter().find(|p| p.phase == phase.id);
        let subtotal = sums.map_or_else(|| DASH.to_owned(), |s| percent(s.percent));
        let grams = sums.map_or_else(|| DASH.to_owned(), |s| sum(s.grams));
        table.row([phase_title(index, phase).as_str(), "", &subtotal, "", &grams]);
        for line in e.lines.iter().filter(|l| l.phase == phase.id) {
            let weigh = e.weigh.line(line.line).filter(|_| e.batch.is_ok());
            let scale = weigh.and_then(|w| plan.scales.get(w.scale?));
            let step = |g: Grams| match scale {
                Some(s) => format_grams(g.0, s.readability.0, style),
                None => format_fixed(g.0, PLACES, style),
            };
            let or_dash = |text: Option<String>| text.unwrap_or_else(|| DASH.to_owned());
            let fills = if line.fills { " (q.s.)" } else { "" };
            let mut row = vec![
                format!("  {}{fills}", line.name),
                line.function.to_owned(),
                or_dash(line.percent.map(percent)),
                or_dash(weigh.and_then(|w| w.exact).map(|g| format_fixed(g.0, PLACES, style))),
                or_dash(weigh.and_then(|w| w.target).map(step)),
                or_dash(weigh.and_then(|w| w.band).map(step)),
                or_dash(e.cost.lines.get(&line.line).map(|m| format_fixed(m.0, PLACES, style))),
            ];
            if several {
                let readability =
                    scale.map(|s| format!("{} g", format_plain(s.readability.0, style)));
                row.push(or_dash(readability));
            }
            table.row(row);
        }
    }
    let exact = match e.batch {
        Ok(_) => format_fixed(e.weigh.exact.0, PLACES, style),
        Err(_) => DASH.to_owned(),
    };
    table.row(["Total", "", &percent(e.total), &exact, &sum(e.weigh.rounded)]);
    table.render(out);
    if e.batch.is_ok() {
        let difference =
            format_fixed(e.weigh.difference().0, finest.normalize().scale().max(PLACES), style);
        wrap(
            out,
            "  ",
            &format!("Rounding makes a difference of {difference} g to the exact total"),
        );
    }
}

fn phase_title(index: usize, phase: &Phase) -> String {
    let heat = phase.temperature.words(Default::default());
    let comma = if heat.is_empty() { "" } else { ", " };
    format!("{} {}{comma}{heat}", phase_letter(index), phase.name)
}

/// The unit of a figure; money carries the project's currency.
pub(super) fn unit(row: &FigureRow, currency: &str) -> String {
    if row.key.starts_with("cost_") {
        cut(&super::text::clean(currency), MOST_CURRENCY)
    } else {
        row.unit.to_owned()
    }
}

fn figures(out: &mut String, e: &Evaluation, currency: &str, style: NumberStyle) {
    let rows = figure_rows(e);
    let mut table =
        Table::new([("", Set::Left), ("", Set::Decimal), ("", Set::Left), ("", Set::Left)]);
    // Figures of one model share their note.
    let mut notes: Vec<(String, Vec<&str>)> = Vec::new();
    for row in &rows {
        let note = match &row.value {
            Value::Absent(why) => why.words(),
            _ => match estimate(row, e) {
                None => String::new(),
                Some(behind) => {
                    let words = behind.words(style);
                    match notes.iter_mut().find(|(w, _)| *w == words) {
                        Some((_, names)) => names.push(row.name),
                        None => notes.push((words, vec![row.name])),
                    }
                    "estimate".to_owned()
                }
            },
        };
        table.row([row.name, &row.value.text(style), &unit(row, currency), &note]);
    }
    table.render(out);
    if !notes.is_empty() {
        out.push_str("\nBehind the estimates\n");
    }
    for (words, names) in notes {
        wrap(out, "  - ", &format!("{}: {words}", names.join(", ")));
    }
}

fn composition(out: &mut String, formula: &Formula, e: &Evaluation, style: NumberStyle) {
    let c = &e.composition;
    let places = percent_places(c.components.iter().map(|c| &c.percent));
    let percent = |p: Percent| format_fixed(p.0, places, style);
    let mut table = Table::new([("", Set::Left), ("%", Set::Decimal), ("from", Set::Left)]);
    for component in &c.components {
        table.row([
            component.inci.as_str(),
            &percent(component.percent),
            &sources(component, e, &percent),
        ]);
    }
    table.render(out);
    if c.components.is_empty() {
        out.push_str("  Nothing\n");
    }
    let closed: Vec<&str> = c
        .unopened
        .iter()
        .filter_map(|(line, _)| formula.line(*line).and_then(|_| e.line(*line)))
        .map(|l| l.name.as_str())
        .collect();
    if !closed.is_empty() {
        let closed = format!("Counted as one substance, shares not known: {}", closed.join("; "));
        wrap(out, "  ", &closed);
    }
    let water = format!(
        "Water: free {} %, bound {} %, of crystallisation {} %",
        percent(c.water.free),
        percent(c.water.bound),
        percent(c.water.crystal)
    );
    wrap(out, "  ", &water);
}

/// The lines that bring a component, with their shares where there are several. Names may
/// hold commas, so semicolons part them.
fn sources(component: &Component, e: &Evaluation, percent: &impl Fn(Percent) -> String) -> String {
    let mut by_line: Vec<(&str, Percent)> = Vec::new();
    for source in &component.sources {
        let name = e.line(source.line).map_or("", |l| l.name.as_str());
        match by_line.iter_mut().find(|(n, _)| *n == name) {
            Some((_, sum)) => *sum += source.percent,
            None => by_line.push((name, source.percent)),
        }
    }
    match by_line.as_slice() {
        [(name, _)] => (*name).to_owned(),
        several => {
            let parts = several.iter().map(|(name, p)| format!("{name} {}", percent(*p)));
            parts.collect::<Vec<_>>().join("; ")
        }
    }
}

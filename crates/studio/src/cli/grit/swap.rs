//! One exfoliant for another, keeping the index, the load or the cost.

use std::sync::Arc;

use quern_calc::evaluate::{
    Effect, Evaluation, Keep, SwapOption, Value, blend_cost, effect, item_name, swap_options,
};
use quern_calc::findings::Finding;
use quern_calc::formula::{Formula, Item, Line, Material, exfoliant_lines};
use quern_calc::number::{NumberStyle, format_f64, format_fixed, format_plain};
use quern_calc::quantity::Percent;

use super::super::args::Grit;
use super::super::input::Source;
use super::super::text::{Set, Table, quoted, wrap};
use super::super::{Bad, Bench, Done, findings, json};
use super::{DASH, head, in_currency, materials, note};

/// A swap with what comes of it.
pub(in crate::cli) struct Swap {
    pub line: Line,
    pub old: String,
    pub load: Option<Percent>,
    pub new: Arc<Material>,
    pub before: Evaluation,
    pub ways: Vec<Way>,
}

/// One way to swap.
pub(in crate::cli) struct Way {
    pub keep: Keep,
    pub result: Result<Swapped, String>,
}

/// The formula after one way.
pub(in crate::cli) struct Swapped {
    pub formula: Formula,
    pub load: Percent,
    pub evaluation: Evaluation,
    pub effect: Effect,
}

pub(super) fn run(
    args: &Grit,
    mut source: Source,
    formula: &Formula,
    bench: &mut Bench<'_>,
) -> Done {
    let swap = swap(args, &mut source, formula, bench)?;
    if args.json {
        let head = json::Head::new("grit", &source.project, bench.today);
        bench.put_text(&json::text(&json::grit::swap(head, formula, &swap))?)?;
    } else {
        bench.put_text(&text(&source, formula, &swap))?;
    }
    Ok(0)
}

fn swap(
    args: &Grit,
    source: &mut Source,
    formula: &Formula,
    bench: &Bench<'_>,
) -> Result<Swap, Bad> {
    let line = line(args, source, formula)?.clone();
    let new =
        materials::exfoliant(&source.project, "for", args.with.as_deref().unwrap_or_default())?;
    let old = item_name(&line.item, &source.library);
    if line.item == Item::Material(new.id.clone()) {
        return Err(Bad::new(format!(
            "--for {} is what the line holds already; name another exfoliant",
            quoted(new.display_name())
        )));
    }
    materials::reach(source, std::slice::from_ref(&new));
    let (_, before) = source.evaluate(formula, bench.today);
    let options = swap_options(formula, &source.library, line.id, &new.id);
    // What bars one way alone is told in its column; what bars all of them is wrong input.
    if options.iter().all(|o| o.result.is_err())
        && let Some(SwapOption { result: Err(why), .. }) = options.first()
    {
        return Err(Bad::new(format!("--swap {}: {why}", quoted(&old))));
    }
    let ways = options
        .into_iter()
        .map(|option| Way {
            keep: option.keep,
            result: option.result.map(|(after, load)| {
                let (_, evaluation) = source.evaluate(&after, bench.today);
                let effect = effect(&before, &evaluation);
                Swapped { formula: after, load, evaluation, effect }
            }),
        })
        .collect();
    Ok(Swap { load: formula.percent_of(&line), line, old, new, before, ways })
}

/// The exfoliant line of the formula that `--swap` names.
fn line<'a>(args: &Grit, source: &Source, formula: &'a Formula) -> Result<&'a Line, Bad> {
    let text = args.swap.as_deref().unwrap_or_default();
    let wanted = text.trim().to_lowercase();
    let lines: Vec<&Line> =
        exfoliant_lines(formula, &source.library).into_iter().map(|(_, line)| line).collect();
    let named = |line: &&&Line| {
        let id = match &line.item {
            Item::Material(id) => id.as_str(),
            Item::Formula(id) => id.as_str(),
        };
        id == text.trim() || item_name(&line.item, &source.library).to_lowercase() == wanted
    };
    let found: Vec<&&Line> = lines.iter().filter(named).collect();
    match found.as_slice() {
        [one] => Ok(**one),
        [] => {
            let names: Vec<String> =
                lines.iter().map(|l| quoted(&item_name(&l.item, &source.library))).collect();
            let there = if names.is_empty() {
                "it has no exfoliant at all".to_owned()
            } else {
                format!("its exfoliants are {}", names.join(", "))
            };
            Err(Bad::new(format!(
                "--swap {}: {} has no such exfoliant; {there}",
                quoted(text),
                quoted(&formula.name)
            )))
        }
        several => Err(Bad::new(format!(
            "--swap {}: {} lines of {} hold it; join them to one first",
            quoted(text),
            several.len(),
            quoted(&formula.name)
        ))),
    }
}

const STYLE: NumberStyle = NumberStyle::with_sign(quern_calc::number::DecimalSign::Point);

fn text(source: &Source, formula: &Formula, swap: &Swap) -> String {
    let mut out = String::new();
    head(&mut out, formula);
    let new = swap.new.display_name();
    wrap(&mut out, "", &format!("{new} in place of {}", swap.old));
    out.push('\n');
    table(&mut out, source, swap);
    for way in &swap.ways {
        out.push_str(&format!("\nKeeping the {}\n", way.keep.name()));
        match &way.result {
            Err(why) => wrap(&mut out, "  ", &format!("Not possible: {why}")),
            Ok(done) => changes(&mut out, &done.effect),
        }
    }
    note(&mut out);
    findings::not_checked(&mut out);
    out
}

fn table(out: &mut String, source: &Source, swap: &Swap) {
    let titles: Vec<String> =
        swap.ways.iter().map(|w| format!("keeping the {}", w.keep.name())).collect();
    let mut columns = vec![("", Set::Left), ("now", Set::Decimal)];
    columns.extend(titles.iter().map(|t| (t.as_str(), Set::Decimal)));
    let mut table = Table::new(columns);
    let mut row = |name: String, now: String, cell: &dyn Fn(&Swapped) -> String| {
        let cells = swap.ways.iter().map(|w| match &w.result {
            Ok(done) => cell(done),
            Err(_) => DASH.to_owned(),
        });
        table.row([name, now].into_iter().chain(cells));
    };
    let two = |p: Percent| format_fixed(p.0, 2, STYLE);
    let plain = |p: Percent| format_plain(p.0, STYLE);
    row("This line, %".to_owned(), swap.load.map_or_else(|| DASH.to_owned(), plain), &|d| {
        plain(d.load)
    });
    let of = |e: &Evaluation, figure: &dyn Fn(&quern_calc::evaluate::GrainFigures) -> String| {
        e.grains.as_ref().map_or_else(|_| DASH.to_owned(), figure)
    };
    let mut figure = |name: &str, cell: &dyn Fn(&quern_calc::evaluate::GrainFigures) -> String| {
        row(name.to_owned(), of(&swap.before, cell), &|d| of(&d.evaluation, cell));
    };
    figure("Exfoliants in all, %", &|f| two(f.load));
    figure("Grit index", &|f| format_f64(f.grit.index, 1, STYLE));
    figure("Grit index in use", &|f| format_f64(f.grit.in_use, 1, STYLE));
    figure("In words", &|f| f.grit.band.name().to_owned());
    figure("D50, µm", &|f| format_f64(f.stats.d50, 0, STYLE));
    let cost = |e: &Evaluation| {
        Value::text(&blend_cost(e).map_or_else(Value::Absent, |x| Value::Number(x, 3)), STYLE)
    };
    row(in_currency("Exfoliants in 100 g", source), cost(&swap.before), &|d| cost(&d.evaluation));
    table.render(out);
    let mut absent: Vec<String> = Vec::new();
    let after = swap.ways.iter().filter_map(|w| w.result.as_ref().ok());
    for e in std::iter::once(&swap.before).chain(after.map(|d| &d.evaluation)) {
        if let Err(why) = blend_cost(e)
            && !absent.contains(&why.words())
        {
            absent.push(why.words());
        }
    }
    for why in absent {
        wrap(out, "  No cost: ", &why);
    }
}

fn changes(out: &mut String, effect: &Effect) {
    let titles = |findings: &[Finding]| -> Vec<String> {
        findings
            .iter()
            .map(|f| format!("{} ({})", f.words(STYLE).title, f.severity().name()))
            .collect()
    };
    let lists = [
        ("INCI names that come", effect.inci_come.clone()),
        ("INCI names that go", effect.inci_go.clone()),
        ("Findings that come", titles(&effect.findings_come)),
        ("Findings that go", titles(&effect.findings_go)),
    ];
    for (title, list) in lists {
        let words = if list.is_empty() { "none".to_owned() } else { list.join("; ") };
        wrap(out, &format!("  {title}: "), &words);
    }
}

//! The findings of one formula or all of them.

use quern_calc::number::NumberStyle;

use super::args::Ask;
use super::findings::Counted;
use super::input::Source;
use super::{Bench, Done, STOP_STANDS, findings, json, looked, text};

pub(super) fn run(args: &Ask, bench: &mut Bench<'_>) -> Done {
    let source = Source::open(&args.file, bench.input)?;
    let formulas = source.formulas(args.formula.as_deref())?;
    let style = NumberStyle::default();
    let mut counts = Counted::default();
    let mut shown = String::new();
    let mut listed = Vec::new();
    let mut against = Vec::new();
    let mut not_checked = Vec::new();
    for formula in formulas {
        let (_, e) = source.evaluate(formula, bench.today);
        let of_formula = Counted::of(&e);
        counts.add(of_formula);
        if args.json {
            listed.push(json::CheckedFormula::new(formula, &e));
        } else {
            let title = format!(
                "{} (version {}): {}",
                formula.name,
                formula.version.number,
                of_formula.words()
            );
            text::wrap(&mut shown, "== ", &title);
            findings::list(&mut shown, formula, &e, style);
            looked::looked_at(&mut shown, formula, &e, style);
            shown.push('\n');
            each_once(&mut against, e.safety.checked_against());
            each_once(&mut not_checked, e.safety.not_checked());
        }
    }
    if args.json {
        let head = json::Head::new("check", &source.project, bench.today);
        let counts = counts.into();
        bench.put_text(&json::text(&json::Check { head, counts, formulas: listed })?)?;
    } else {
        if source.project.formulas.is_empty() {
            shown.push_str("The project has no formulas\n\n");
            findings::not_checked(&mut shown);
        } else {
            findings::ran(&mut shown, &against, &not_checked);
        }
        bench.put_text(&shown)?;
    }
    Ok(if counts.stops() > 0 { STOP_STANDS } else { 0 })
}

/// Formulas for the same markets rest on the same rules, which are told once.
fn each_once(all: &mut Vec<String>, more: Vec<String>) {
    for line in more {
        if !all.contains(&line) {
            all.push(line);
        }
    }
}

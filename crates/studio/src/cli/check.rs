//! The findings of one formula or all of them.

use quern_calc::number::NumberStyle;

use super::args::Ask;
use super::input::Source;
use super::{Bench, Done, STOP_STANDS, findings, json, looked, text};

pub(super) fn run(args: &Ask, bench: &mut Bench<'_>) -> Done {
    let source = Source::open(&args.file, bench.input)?;
    let formulas = source.formulas(args.formula.as_deref())?;
    let style = NumberStyle::default();
    let mut counts = [0_usize; 3];
    let mut shown = String::new();
    let mut listed = Vec::new();
    for formula in formulas {
        let (_, e) = source.evaluate(formula, bench.today);
        let of_formula = e.counts();
        for (sum, count) in counts.iter_mut().zip(of_formula) {
            *sum = sum.saturating_add(count);
        }
        if args.json {
            listed.push(json::CheckedFormula::new(formula, &e));
        } else {
            let title = format!(
                "{} (version {}): {}",
                formula.name,
                formula.version.number,
                findings::counted(of_formula)
            );
            text::wrap(&mut shown, "", &title);
            findings::list(&mut shown, formula, &e, style);
            looked::looked_at(&mut shown, formula, &e, style);
            shown.push('\n');
        }
    }
    if args.json {
        let head = json::Head::new("check", &source.project, bench.today);
        let counts = json::Counts::new(counts);
        bench.put_text(&json::text(&json::Check { head, counts, formulas: listed })?)?;
    } else {
        if source.project.formulas.is_empty() {
            shown.push_str("The project has no formulas\n\n");
        }
        bench.put_text(&shown)?;
    }
    let [stops, _, _] = counts;
    Ok(if stops > 0 { STOP_STANDS } else { 0 })
}

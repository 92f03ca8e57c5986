//! The findings of one formula or all of them.

use quern_calc::evaluate::SafetyFigures;
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
    let mut rested_on: Option<SafetyFigures> = None;
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
            // Formulas for the same markets rest on the same rules, which are told once.
            match &mut rested_on {
                None => rested_on = Some(e.safety),
                Some(all) => {
                    for market in e.safety.markets {
                        if all.market(&market.code).is_none() {
                            all.markets.push(market);
                        }
                    }
                }
            }
        }
    }
    if args.json {
        let head = json::Head::new("check", &source.project, bench.today);
        let counts = counts.into();
        bench.put_text(&json::text(&json::Check { head, counts, formulas: listed })?)?;
    } else {
        match rested_on {
            Some(all) => findings::ran(&mut shown, &all.checked_against(), &all.not_checked()),
            None => {
                shown.push_str("The project has no formulas\n\n");
                findings::not_checked(&mut shown);
            }
        }
        bench.put_text(&shown)?;
    }
    Ok(if counts.stops() > 0 { STOP_STANDS } else { 0 })
}

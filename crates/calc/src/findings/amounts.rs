//! Rules of amounts: total, blanks, the q.s. line, premixes, functions, use levels.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::{Finding, Problem as P, Where};
use crate::evaluate::Opened;
use crate::formula::{
    Contact, Form, Formula, Function, Item, Library, LineId, Material, MaterialId, OpenError,
    UseScope, by_function,
};
use crate::quantity::Percent;
use crate::rules::Rules;

pub(crate) fn check_amounts(
    formula: &Formula,
    library: &Library,
    opened: &Opened<'_>,
    rules: &Rules,
    out: &mut Vec<Finding>,
) {
    if formula.lines().next().is_none() {
        out.push(Finding::new(Where::Formula, P::NoLines));
        return;
    }
    if !formula.total_is_100() {
        out.push(Finding::new(Where::Formula, P::TotalOff { total: formula.total() }));
    }
    for (_, line) in formula.lines() {
        let name = opened.name_of(line.id);
        let percent = formula.percent_of(line);
        let problem = match percent {
            None => Some(P::AmountBlank { name }),
            Some(p) if formula.fills == Some(line.id) => match p.0.cmp(&Decimal::ZERO) {
                std::cmp::Ordering::Less => Some(P::FillNegative { name, percent: p }),
                std::cmp::Ordering::Equal => Some(P::FillNothing { name }),
                std::cmp::Ordering::Greater => None,
            },
            Some(p) if p.is_negative() => Some(P::AmountNegative { name, percent: p }),
            Some(p) if p.is_zero() => Some(P::AmountZero { name }),
            Some(_) => None,
        };
        out.extend(problem.map(|p| Finding::new(Where::Line(line.id), p)));
        if let Item::Formula(id) = &line.item
            && let Some(inner) = library.formula(id)
            && !inner.total_is_100()
        {
            let problem = P::PremixOff { name: inner.name.clone(), total: inner.total() };
            out.push(Finding::new(Where::Line(line.id), problem));
        }
    }
    for (line, error) in &opened.errors {
        let problem = match error {
            OpenError::NoMaterial(id) => P::MaterialMissing { id: id.to_string() },
            OpenError::NoFormula(id) => P::FormulaMissing { id: id.to_string() },
            OpenError::Cycle(path) => P::Cycle { path: path.clone() },
            OpenError::TooLarge => P::TooDeep { name: opened.name_of(*line) },
        };
        out.push(Finding::new(Where::Line(*line), problem));
    }
    for (line, _) in &opened.composition.unopened {
        let problem = P::BlendUnopened { name: opened.name_of(*line) };
        out.push(Finding::new(Where::Line(*line), problem));
    }
    check_functions(formula, opened, rules, out);
    check_use_levels(formula, opened, out);
    check_water(opened, rules, out);
}

fn check_functions(formula: &Formula, opened: &Opened<'_>, rules: &Rules, out: &mut Vec<Finding>) {
    let present = by_function(&opened.leaves);
    let has = |f: &Function| present.get(&Some(*f)).is_some_and(|p| p.0 > Decimal::ZERO);
    for needed in rules.needed.iter().filter(|n| n.form == formula.product.form) {
        for any_of in needed.any_of.iter().filter(|any| !any.iter().any(has)) {
            let problem = P::FunctionMissing { form: formula.product.form, any_of: any_of.clone() };
            out.push(Finding::new(Where::Formula, problem));
        }
    }
    let mut told: Vec<&MaterialId> = Vec::new();
    for leaf in &opened.leaves {
        if leaf.material.function.is_none() && !told.contains(&&leaf.material.id) {
            told.push(&leaf.material.id);
            let name = leaf.material.display_name().to_owned();
            out.push(Finding::new(Where::Line(leaf.line), P::NoFunction { name }));
        }
    }
}

/// True when a range of this scope speaks of this product.
fn applies(scope: UseScope, formula: &Formula, material: &Material) -> bool {
    let product = formula.product;
    match scope {
        UseScope::Any => true,
        UseScope::Emulsion => product.form == Form::Emulsion,
        UseScope::RinseOff => product.contact == Contact::RinseOff,
        UseScope::LeaveOn => product.contact == Contact::LeaveOn,
        UseScope::Preservative => material.function == Some(Function::Preservative),
    }
}

fn check_use_levels(formula: &Formula, opened: &Opened<'_>, out: &mut Vec<Finding>) {
    // A premix is judged where it is used, not by itself.
    if formula.product.form == Form::Premix {
        return;
    }
    // At the line that brings most of it.
    let mut sums: BTreeMap<&MaterialId, (&Material, BTreeMap<LineId, Percent>)> = BTreeMap::new();
    for leaf in &opened.leaves {
        let entry =
            sums.entry(&leaf.material.id).or_insert_with(|| (leaf.material, BTreeMap::new()));
        *entry.1.entry(leaf.line).or_default() += leaf.percent;
    }
    for (material, lines) in sums.values() {
        let percent = &lines.values().copied().sum::<Percent>();
        let most = lines.iter().max_by(|a, b| a.1.cmp(b.1).then_with(|| b.0.cmp(a.0)));
        let Some((line, _)) = most else { continue };
        if percent.0 <= Decimal::ZERO {
            continue;
        }
        for level in &material.use_levels {
            let scope = level.value.scope;
            if !applies(scope, formula, material) {
                continue;
            }
            let name = material.display_name().to_owned();
            let (percent, source) = (*percent, level.provenance());
            // "Exceeds" is strictly greater (convention C4).
            let problem = match (level.value.low, level.value.high) {
                (_, Some(high)) if percent > high => {
                    P::UseAbove { name, percent, high, scope, source }
                }
                (Some(low), _) if percent < low => {
                    P::UseBelow { name, percent, low, scope, source }
                }
                _ => continue,
            };
            out.push(Finding::new(Where::Line(*line), problem));
        }
    }
}

fn check_water(opened: &Opened<'_>, rules: &Rules, out: &mut Vec<Finding>) {
    let free = opened.composition.water.free;
    let preserved = opened.leaves.iter().any(|l| {
        l.material.function == Some(Function::Preservative) && l.percent.0 > Decimal::ZERO
    });
    // What keeps a product by itself counts whatever it is there for: alcohol from 20 %.
    let kept = || {
        opened.composition.components.iter().any(|c| {
            rules.preservatives.of(&c.inci).is_some_and(|p| {
                !p.helper && p.least.as_ref().is_some_and(|l| c.percent >= l.value)
            })
        })
    };
    if free > rules.free_water_max && !preserved && !kept() {
        let problem = P::WaterWithoutPreservative { free, limit: rules.free_water_max };
        out.push(Finding::new(Where::Formula, problem));
    }
}

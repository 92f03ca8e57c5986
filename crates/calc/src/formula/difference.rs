//! What differs between formulas, and carrying a blend from one to another.

mod changes;
#[cfg(test)]
mod tests;
mod words;

use std::collections::BTreeMap;

use super::{Formula, Function, Item, Library, LineId, PhaseKind, PhaseTemperature};
use crate::quantity::Percent;

pub use changes::{Change, differences};
pub use words::ChangeStyle;

/// One item across several formulas.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DifferenceRow {
    /// What the row is about.
    pub item: Item,
    /// % in each formula, in the order asked; `None` where it is absent.
    pub percents: Vec<Option<Percent>>,
    /// True when all hold the same.
    pub same: bool,
}

/// Lines of several formulas side by side, in the order of the first that has them.
/// Several lines of one item are summed.
#[must_use]
pub fn compare_lines(formulas: &[&Formula]) -> Vec<DifferenceRow> {
    let mut order: Vec<&Item> = Vec::new();
    let mut sums: BTreeMap<&Item, Vec<Option<Percent>>> = BTreeMap::new();
    for (i, formula) in formulas.iter().enumerate() {
        for (_, line) in formula.lines() {
            let row = sums.entry(&line.item).or_insert_with(|| {
                order.push(&line.item);
                vec![None; formulas.len()]
            });
            if let (Some(cell), Some(p)) = (row.get_mut(i), formula.percent_of(line)) {
                *cell = Some(cell.unwrap_or_default() + p);
            }
        }
    }
    order
        .into_iter()
        .filter_map(|item| {
            let percents = sums.get(item)?.clone();
            let first = percents.first().copied().flatten();
            let same = percents.iter().all(|p| *p == first);
            Some(DifferenceRow { item: item.clone(), percents, same })
        })
        .collect()
}

/// True when the item is an exfoliant, or a premix made of nothing else.
pub(super) fn is_exfoliant(item: &Item, library: &Library) -> bool {
    match item {
        Item::Material(id) => {
            library.material(id).is_some_and(|m| m.function == Some(Function::Exfoliant))
        }
        Item::Formula(id) => library.formula(id).is_some_and(|f| {
            let (leaves, errors) = super::open(f, library);
            errors.is_empty()
                && !leaves.is_empty()
                && leaves.iter().all(|l| l.material.function == Some(Function::Exfoliant))
        }),
    }
}

/// The base with its exfoliant lines replaced by the donor's. Percentages come over as
/// they are, so the q.s. line of the base absorbs the change; without one the total shows
/// it. The grains go where the base had its own, else to a new grains phase.
#[must_use]
pub fn with_blend_of(base: &Formula, donor: &Formula, library: &Library) -> Formula {
    let mut out = base.clone();
    let old: Vec<LineId> =
        base.lines().filter(|(_, l)| is_exfoliant(&l.item, library)).map(|(_, l)| l.id).collect();
    let home = old.first().and_then(|id| base.phase_of(*id)).map(|p| p.id);
    for id in &old {
        if base.fills == Some(*id) {
            continue;
        }
        let _ = out.remove_line(*id);
    }
    let blend: Vec<_> = donor
        .lines()
        .filter(|(_, l)| is_exfoliant(&l.item, library))
        .filter_map(|(phase, l)| donor.percent_of(l).map(|p| (phase, l, p)))
        .collect();
    if blend.is_empty() {
        return out;
    }
    let home = home.unwrap_or_else(|| {
        let temperature =
            blend.first().map_or(PhaseTemperature::Unstated, |(phase, _, _)| phase.temperature);
        out.add_phase("Grains", PhaseKind::Grains, temperature)
    });
    for (_, line, percent) in blend {
        if let Ok(id) = out.add_line(home, line.item.clone(), None) {
            let _ = out.set_amount(id, Some(super::Amount::percent(percent.0)));
            let _ = out.set_line_notes(id, line.alternatives.clone(), line.note.clone());
        }
    }
    out
}

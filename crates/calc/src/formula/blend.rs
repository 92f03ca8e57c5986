//! The exfoliants of a formula as a blend: taken out, put in, kept as a premix.

use rust_decimal::Decimal;

use super::{
    Amount, Form, Formula, FormulaId, Item, Library, Line, LineId, MaterialId, Phase, PhaseId,
    PhaseKind, PhaseTemperature, Product, difference::is_exfoliant,
};
use crate::quantity::{Percent, derived};

/// Why a blend could not be put in or taken out.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum BlendError {
    /// The line that takes the remainder is an exfoliant, so its load is no free choice.
    #[error("an exfoliant line fills to 100 (q.s.); let another line fill, then choose the blend")]
    Fills,
    /// There is nothing to take out.
    #[error("the formula holds no unlocked exfoliant with an amount")]
    Empty,
    /// The premix is not made of exfoliants alone.
    #[error("that formula holds more than exfoliants, so it is no blend of grains")]
    NotABlend,
    /// A formula cannot hold itself.
    #[error("a formula cannot hold itself, directly or through a premix")]
    Itself,
    /// The formula cannot hold so many lines or phases.
    #[error("the formula has no room for another line")]
    NoRoom,
}

/// True for a formula of exfoliants alone.
#[must_use]
pub fn is_blend(formula: &Formula, library: &Library) -> bool {
    let mut lines = formula.lines().filter(|(_, l)| formula.percent_of(l).is_some()).peekable();
    lines.peek().is_some() && lines.all(|(_, l)| is_exfoliant(&l.item, library))
}

/// Exfoliant lines of a formula, premixes of exfoliants included.
#[must_use]
pub fn exfoliant_lines<'a>(formula: &'a Formula, library: &Library) -> Vec<(&'a Phase, &'a Line)> {
    formula.lines().filter(|(_, l)| is_exfoliant(&l.item, library)).collect()
}

/// The formula with this blend in place of its exfoliants, in % w/w. A line of a material that
/// stays keeps its place, note and id; locked lines are left alone, others without a load go. New
/// materials join the grains, or a new grains phase where there were none. The q.s. line of the
/// formula takes up the difference; without one the total shows it.
///
/// # Errors
/// [`BlendError::Fills`] when the q.s. line is an exfoliant.
pub fn with_blend(
    base: &Formula,
    library: &Library,
    blend: &[(MaterialId, Percent)],
) -> Result<Formula, BlendError> {
    let lines = exfoliant_lines(base, library);
    if lines.iter().any(|(_, l)| base.fills == Some(l.id)) {
        return Err(BlendError::Fills);
    }
    let home = lines.first().map(|(p, _)| p.id);
    let mut out = base.clone();
    let mut open: Vec<&(MaterialId, Percent)> = blend.iter().filter(|b| !b.1.is_zero()).collect();
    for (_, line) in lines {
        let wanted = open.iter().position(|(id, _)| line.item == Item::Material(id.clone()));
        if line.locked {
            // What is held is not chosen, but a blend that lists it must not add it again.
            if let Some(at) = wanted {
                open.remove(at);
            }
            continue;
        }
        match wanted {
            Some(at) => {
                let (_, percent) = open.remove(at);
                // What was typed, in parts or grams, stays where the load stays.
                if base.percent_of(line) == Some(*percent) {
                    continue;
                }
                out.set_amount(line.id, Some(Amount::percent(percent.0)))
                    .map_err(|_| BlendError::NoRoom)?;
            }
            None => {
                out.remove_line(line.id).map_err(|_| BlendError::NoRoom)?;
            }
        }
    }
    if open.is_empty() {
        return Ok(out);
    }
    let home = home.unwrap_or_else(|| grains_phase(&mut out));
    for (id, percent) in open {
        add(&mut out, home, Item::Material(id.clone()), *percent)?;
    }
    Ok(out)
}

/// Where grains go in a formula that has none yet: an existing grains phase, else a new one.
#[must_use]
pub fn grains_phase(formula: &mut Formula) -> PhaseId {
    if let Some(phase) = formula.phases.iter().find(|p| p.kind == PhaseKind::Grains) {
        return phase.id;
    }
    // Stirred in once the paste holds them up, before it sets (common practice).
    formula.add_phase("Grains", PhaseKind::Grains, PhaseTemperature::Below(55.0))
}

fn add(
    formula: &mut Formula,
    phase: PhaseId,
    item: Item,
    percent: Percent,
) -> Result<LineId, BlendError> {
    let id = formula.add_line(phase, item, None).map_err(|_| BlendError::NoRoom)?;
    formula.set_amount(id, Some(Amount::percent(percent.0))).map_err(|_| BlendError::NoRoom)?;
    Ok(id)
}

/// The exfoliants of a formula as a premix of their own, each in % of the blend, with the notes of
/// its lines; the largest line fills to 100, so that nothing is lost to rounding. Locked lines
/// stay out of it, as they stay in the formula when the premix takes the place of the others.
///
/// # Errors
/// [`BlendError::Empty`] when there is no load to share out.
pub fn as_premix(
    formula: &Formula,
    library: &Library,
    id: FormulaId,
    name: &str,
) -> Result<Formula, BlendError> {
    let lines: Vec<(&Line, Percent)> = exfoliant_lines(formula, library)
        .into_iter()
        .filter(|(_, l)| !l.locked)
        .filter_map(|(_, l)| formula.percent_of(l).map(|p| (l, p)))
        .filter(|(_, p)| p.0 > Decimal::ZERO)
        .collect();
    let total: Percent = lines.iter().map(|(_, p)| *p).sum();
    let mut out = Formula::empty(id, name);
    out.product = Product { form: Form::Premix, ..formula.product };
    out.version.parent = Some((formula.id.clone(), formula.version.number));
    if let Some(phase) = out.phases.first_mut() {
        phase.name = "Grains".to_owned();
        phase.kind = PhaseKind::Grains;
        phase.temperature = PhaseTemperature::Unstated;
    }
    let home = out.phases.first().map(|p| p.id).ok_or(BlendError::NoRoom)?;
    let mut largest: Option<(LineId, Percent)> = None;
    for (line, percent) in lines {
        let share = Percent::share(percent.0, total.0).ok_or(BlendError::Empty)?;
        let new = add(&mut out, home, line.item.clone(), Percent(derived(share.0)))?;
        out.set_line_notes(new, line.alternatives.clone(), line.note.clone())
            .map_err(|_| BlendError::NoRoom)?;
        if largest.is_none_or(|(_, most)| percent > most) {
            largest = Some((new, percent));
        }
    }
    let (fills, _) = largest.ok_or(BlendError::Empty)?;
    out.set_fills(Some(fills)).map_err(|_| BlendError::NoRoom)?;
    Ok(out)
}

/// The formula with one premix line in place of its unlocked exfoliants, at `load` % w/w.
///
/// # Errors
/// When the premix is no blend of grains, holds the formula, or an exfoliant line fills to 100.
pub fn with_premix(
    base: &Formula,
    library: &Library,
    premix: &Formula,
    load: Percent,
) -> Result<Formula, BlendError> {
    if !is_blend(premix, library) {
        return Err(BlendError::NotABlend);
    }
    if premix.id == base.id || holds(premix, &base.id, library, 0) {
        return Err(BlendError::Itself);
    }
    let home = exfoliant_lines(base, library).first().map(|(p, _)| p.id);
    let mut out = with_blend(base, library, &[])?;
    let home = home.unwrap_or_else(|| grains_phase(&mut out));
    add(&mut out, home, Item::Formula(premix.id.clone()), load)?;
    Ok(out)
}

fn holds(formula: &Formula, id: &FormulaId, library: &Library, depth: usize) -> bool {
    depth > 16
        || formula.lines().any(|(_, l)| match &l.item {
            Item::Formula(inner) => {
                inner == id
                    || library.formula(inner).is_some_and(|f| holds(f, id, library, depth + 1))
            }
            Item::Material(_) => false,
        })
}

/// Sum of the exfoliant lines that are not locked, % w/w: what a blend would take the place of.
#[must_use]
pub fn exfoliant_load(formula: &Formula, library: &Library) -> Percent {
    let lines = exfoliant_lines(formula, library);
    lines.iter().filter(|(_, l)| !l.locked).filter_map(|(_, l)| formula.percent_of(l)).sum()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use std::sync::Arc;

    use super::*;
    use crate::formula::{Function, Material};

    fn material(id: &str, function: Function) -> Arc<Material> {
        let mut m = Material::named(MaterialId::new(id), id, id);
        m.function = Some(function);
        Arc::new(m)
    }

    fn library(formulas: &[&Formula]) -> Library {
        Library::new(
            [
                material("oil", Function::Emollient),
                material("stone", Function::Exfoliant),
                material("beads", Function::Exfoliant),
                material("oats", Function::Exfoliant),
            ],
            formulas.iter().map(|f| Arc::new((*f).clone())),
        )
    }

    fn percent(n: i64) -> Percent {
        Percent(Decimal::from(n))
    }

    /// Oil fills; stone 3 and beads 1.
    fn base() -> Formula {
        let mut f = Formula::empty(FormulaId::new("base"), "Base");
        let home = f.phases.first().unwrap().id;
        let oil = f.add_line(home, Item::Material(MaterialId::new("oil")), None).unwrap();
        f.set_fills(Some(oil)).unwrap();
        for (id, n) in [("stone", 3), ("beads", 1)] {
            add(&mut f, home, Item::Material(MaterialId::new(id)), percent(n)).unwrap();
        }
        f
    }

    fn of(f: &Formula, id: &str) -> Option<Percent> {
        let item = Item::Material(MaterialId::new(id));
        f.lines().find(|(_, l)| l.item == item).and_then(|(_, l)| f.percent_of(l))
    }

    #[test]
    fn the_filling_line_takes_up_a_new_blend() {
        let library = library(&[]);
        let blend = [(MaterialId::new("stone"), percent(2)), (MaterialId::new("oats"), percent(5))];
        let out = with_blend(&base(), &library, &blend).unwrap();
        assert_eq!(of(&out, "stone"), Some(percent(2)));
        assert_eq!(of(&out, "beads"), None);
        assert_eq!(of(&out, "oats"), Some(percent(5)));
        assert_eq!(of(&out, "oil"), Some(percent(93)));
        assert_eq!(out.total(), Percent::HUNDRED);
        // A line that stays keeps its id.
        let id = |f: &Formula| {
            f.lines()
                .find(|(_, l)| l.item == Item::Material(MaterialId::new("stone")))
                .unwrap()
                .1
                .id
        };
        assert_eq!(id(&base()), id(&out));
    }

    #[test]
    fn locked_lines_stay() {
        let library = library(&[]);
        let mut f = base();
        let beads = f.lines().last().unwrap().1.id;
        f.set_locked(beads, true).unwrap();
        let blend = [(MaterialId::new("beads"), percent(9)), (MaterialId::new("oats"), percent(2))];
        let out = with_blend(&f, &library, &blend).unwrap();
        assert_eq!((of(&out, "beads"), of(&out, "stone")), (Some(percent(1)), None));
        assert_eq!(exfoliant_load(&out, &library), percent(2));
        // Kept and used in its place, the loads are what they were.
        let premix = as_premix(&f, &library, FormulaId::new("mix"), "Shore").unwrap();
        assert_eq!(of(&premix, "beads"), None);
        let wide = self::library(&[&premix]);
        let back = with_premix(&f, &wide, &premix, exfoliant_load(&f, &library)).unwrap();
        let (leaves, _) = crate::formula::open(&back, &wide);
        let sum = |id: &str| -> Percent {
            leaves.iter().filter(|l| l.material.id.as_str() == id).map(|l| l.percent).sum()
        };
        assert_eq!((sum("stone"), sum("beads")), (percent(3), percent(1)));
    }

    #[test]
    fn a_blend_is_kept_and_dropped_into_another_base() {
        let library = library(&[]);
        let premix = as_premix(&base(), &library, FormulaId::new("mix"), "Shore").unwrap();
        assert_eq!(premix.total(), Percent::HUNDRED);
        assert_eq!(of(&premix, "stone"), Some(percent(75)));
        assert!(is_blend(&premix, &library) && !is_blend(&base(), &library));
        let library = self::library(&[&premix]);
        let out = with_premix(&base(), &library, &premix, percent(4)).unwrap();
        assert_eq!(exfoliant_load(&out, &library), percent(4));
        assert_eq!(of(&out, "oil"), Some(percent(96)));
        let (leaves, errors) = crate::formula::open(&out, &library);
        assert!(errors.is_empty());
        let stone = leaves.iter().find(|l| l.material.id.as_str() == "stone").unwrap();
        assert_eq!(stone.percent, percent(3));
    }

    #[test]
    fn what_cannot_be_done_says_why() {
        let library = library(&[]);
        let premix = as_premix(&base(), &library, FormulaId::new("mix"), "Shore").unwrap();
        let empty = Formula::empty(FormulaId::new("e"), "E");
        let as_mix = |f: &Formula| as_premix(f, &library, FormulaId::new("m"), "M");
        assert_eq!(as_mix(&empty), Err(BlendError::Empty));
        let to = |f: &Formula, p: &Formula| with_premix(f, &library, p, percent(4));
        assert_eq!(to(&base(), &base()), Err(BlendError::NotABlend));
        assert_eq!(to(&premix, &premix), Err(BlendError::Itself));
        let mut f = base();
        let stone = f.lines().nth(1).unwrap().1.id;
        f.set_fills(Some(stone)).unwrap();
        assert_eq!(with_blend(&f, &library, &[]), Err(BlendError::Fills));
    }
}

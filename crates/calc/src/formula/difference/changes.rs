//! What differs from one formula to another, as typed changes.
//!
//! Lines and phases of versions of one formula share their ids, and are followed by them; those of
//! unrelated formulas are followed by what they are. Ids themselves, and the identity of a version
//! (number, state, parent, reason), are not content and never a change.

use rust_decimal::Decimal;

use crate::formula::{
    Alternative, Amount, Formula, Item, Line, PhReading, Phase, PhaseKind, PhaseTemperature,
    Product, Step,
};
use crate::quantity::Percent;

/// One difference of content.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// Another name.
    Name {
        /// Before.
        from: String,
        /// After.
        to: String,
    },
    /// Something else in what it is for.
    Product {
        /// Before.
        from: Product,
        /// After.
        to: Product,
    },
    /// Another pH, or one where there was none.
    Ph {
        /// Before.
        from: Option<PhReading>,
        /// After.
        to: Option<PhReading>,
    },
    /// Another number of parts makes the whole.
    Parts {
        /// Before.
        from: Decimal,
        /// After.
        to: Decimal,
    },
    /// Another note of the formula.
    Note,
    /// Other markets, acceptances or exposures.
    Safety,
    /// Something else of the label.
    Label,
    /// A phase came.
    PhaseAdded(String),
    /// A phase went.
    PhaseRemoved(String),
    /// A phase has another name.
    PhaseRenamed {
        /// Before.
        from: String,
        /// After.
        to: String,
    },
    /// A phase is of another kind.
    PhaseKind {
        /// Its name after.
        phase: String,
        /// Before.
        from: PhaseKind,
        /// After.
        to: PhaseKind,
    },
    /// A phase is worked at another temperature.
    PhaseTemperature {
        /// Its name after.
        phase: String,
        /// Before.
        from: PhaseTemperature,
        /// After.
        to: PhaseTemperature,
    },
    /// The method of a phase differs.
    Steps {
        /// Its name after.
        phase: String,
        /// Before.
        from: Vec<Step>,
        /// After.
        to: Vec<Step>,
    },
    /// Phases that both have stand in another order.
    PhaseOrder,
    /// A line came.
    LineAdded {
        /// What it is.
        item: Item,
        /// Its phase.
        phase: String,
        /// How much; `None` while blank.
        percent: Option<Percent>,
    },
    /// A line went.
    LineRemoved {
        /// What it was.
        item: Item,
        /// Its phase.
        phase: String,
        /// How much it was.
        percent: Option<Percent>,
    },
    /// A line is made of something else.
    Replaced {
        /// Before.
        from: Item,
        /// After.
        to: Item,
    },
    /// Another amount.
    Amount {
        /// What it is, after.
        item: Item,
        /// Before; `None` while blank.
        from: Option<Percent>,
        /// After.
        to: Option<Percent>,
    },
    /// The same amount, typed in another way.
    Typed {
        /// What it is.
        item: Item,
        /// Before.
        from: Amount,
        /// After.
        to: Amount,
    },
    /// The line that fills to 100 takes another share, because others changed or it began to.
    Rest {
        /// What it is, after.
        item: Item,
        /// Before.
        from: Option<Percent>,
        /// After.
        to: Option<Percent>,
    },
    /// Another line fills to 100, or none does.
    Fills {
        /// What filled before.
        from: Option<Item>,
        /// What fills after.
        to: Option<Item>,
    },
    /// A line stands in another phase.
    Moved {
        /// What it is, after.
        item: Item,
        /// Name of the phase before.
        from: String,
        /// Name of the phase after.
        to: String,
    },
    /// Lines of a phase that both have stand in another order.
    LineOrder {
        /// Name of the phase after.
        phase: String,
    },
    /// A line was locked or unlocked.
    Locked {
        /// What it is, after.
        item: Item,
        /// Locked after.
        locked: bool,
    },
    /// Another note on a line.
    LineNote {
        /// What it is, after.
        item: Item,
    },
    /// Other alternatives for a line.
    Alternatives {
        /// What it is, after.
        item: Item,
        /// Before.
        from: Vec<Alternative>,
        /// After.
        to: Vec<Alternative>,
    },
}

/// True when two things of two formulas are the same thing.
type Likeness<'a, T> = &'a dyn Fn(&T, &T) -> bool;

/// A thing of the first formula with its like in the second.
struct Pairs<'a, T> {
    both: Vec<(&'a T, &'a T)>,
    gone: Vec<&'a T>,
    come: Vec<&'a T>,
}

impl<'a, T> Pairs<'a, T> {
    /// Pairs by the first likeness that holds, each in order, so that the first of several twins
    /// goes with the first. The result does not depend on which side is which.
    fn new(
        a: impl IntoIterator<Item = &'a T>,
        b: impl IntoIterator<Item = &'a T>,
        likeness: &[Likeness<'_, T>],
    ) -> Self {
        let mut both = Vec::new();
        let mut gone: Vec<(usize, &T)> = a.into_iter().enumerate().collect();
        let mut come: Vec<&T> = b.into_iter().collect();
        for like in likeness {
            gone.retain(|(i, x)| match come.iter().position(|y| like(x, y)) {
                Some(at) => {
                    both.push((*i, (*x, come.remove(at))));
                    false
                }
                None => true,
            });
        }
        both.sort_by_key(|(i, _)| *i);
        let both = both.into_iter().map(|(_, pair)| pair).collect();
        let gone = gone.into_iter().map(|(_, x)| x).collect();
        Self { both, gone, come }
    }

    fn after(&self, x: &T) -> Option<&'a T> {
        self.both.iter().find(|(a, _)| std::ptr::eq(*a, x)).map(|(_, b)| *b)
    }
}

/// True when one is a version of the other or was copied from it, so that ids tell what is what.
fn related(a: &Formula, b: &Formula) -> bool {
    let from = |x: &Formula, y: &Formula| {
        x.version.parent.as_ref().is_some_and(|(parent, _)| *parent == y.id)
    };
    a.id == b.id || from(a, b) || from(b, a)
}

/// True when what both have comes in another order.
fn reordered<T>(pairs: &[(&T, &T)], a: &[T], b: &[T]) -> bool {
    let place = |all: &[T], x: &T| all.iter().position(|y| std::ptr::eq(x, y));
    let mut places: Vec<_> = pairs.iter().map(|(x, y)| (place(a, x), place(b, y))).collect();
    places.sort_unstable();
    places.iter().zip(places.iter().skip(1)).any(|(one, next)| one.1 > next.1)
}

/// Everything that differs from `a` to `b`: the formula as a whole first, then phases, then lines
/// in the order of `a`, with those that came at the end.
#[must_use]
pub fn differences(a: &Formula, b: &Formula) -> Vec<Change> {
    let mut out = Vec::new();
    whole(a, b, &mut out);
    let kin = related(a, b);
    let phases = Pairs::new(
        &a.phases,
        &b.phases,
        &[
            &|x: &Phase, y: &Phase| kin && x.id == y.id && x.name == y.name,
            &|x: &Phase, y: &Phase| x.name == y.name,
            &|x: &Phase, y: &Phase| kin && x.id == y.id,
        ],
    );
    let lines = Pairs::new(
        a.lines().map(|(_, l)| l),
        b.lines().map(|(_, l)| l),
        &[
            &|x: &Line, y: &Line| x.id == y.id && x.item == y.item,
            &|x: &Line, y: &Line| x.item == y.item,
            &|x: &Line, y: &Line| kin && x.id == y.id,
        ],
    );
    for (x, y) in &phases.both {
        phase(x, y, &mut out);
    }
    out.extend(phases.gone.iter().map(|p| Change::PhaseRemoved(p.name.clone())));
    out.extend(phases.come.iter().map(|p| Change::PhaseAdded(p.name.clone())));
    if reordered(&phases.both, &a.phases, &b.phases) {
        out.push(Change::PhaseOrder);
    }
    for (x, y) in &lines.both {
        line((a, x), (b, y), &phases, &mut out);
    }
    for (x, y) in &phases.both {
        let here: Vec<(&Line, &Line)> =
            lines.both.iter().filter(|(l, m)| holds(x, l) && holds(y, m)).copied().collect();
        if reordered(&here, &x.lines, &y.lines) {
            out.push(Change::LineOrder { phase: y.name.clone() });
        }
    }
    let named = |f: &Formula, l: &Line| phase_with(f, l).map_or(String::new(), |p| p.name.clone());
    out.extend(lines.gone.iter().map(|l| Change::LineRemoved {
        item: l.item.clone(),
        phase: named(a, l),
        percent: a.percent_of(l),
    }));
    out.extend(lines.come.iter().map(|l| Change::LineAdded {
        item: l.item.clone(),
        phase: named(b, l),
        percent: b.percent_of(l),
    }));
    fills(a, b, &lines, &mut out);
    out
}

fn holds(phase: &Phase, line: &Line) -> bool {
    phase.lines.iter().any(|l| std::ptr::eq(l, line))
}

fn phase_with<'a>(formula: &'a Formula, line: &Line) -> Option<&'a Phase> {
    formula.phases.iter().find(|p| holds(p, line))
}

fn whole(a: &Formula, b: &Formula, out: &mut Vec<Change>) {
    // Every field is named, so that a new one has to be thought of here.
    let Formula {
        id: _,
        name,
        version: _,
        product,
        parts_total,
        fills: _,
        ph,
        phases: _,
        note,
        safety,
        label,
    } = a;
    if *name != b.name {
        out.push(Change::Name { from: name.clone(), to: b.name.clone() });
    }
    if *product != b.product {
        out.push(Change::Product { from: *product, to: b.product });
    }
    if *ph != b.ph {
        out.push(Change::Ph { from: ph.clone(), to: b.ph.clone() });
    }
    if *parts_total != b.parts_total {
        out.push(Change::Parts { from: *parts_total, to: b.parts_total });
    }
    if *note != b.note {
        out.push(Change::Note);
    }
    if *safety != b.safety {
        out.push(Change::Safety);
    }
    if *label != b.label {
        out.push(Change::Label);
    }
}

fn phase(x: &Phase, y: &Phase, out: &mut Vec<Change>) {
    let phase = || y.name.clone();
    if x.name != y.name {
        out.push(Change::PhaseRenamed { from: x.name.clone(), to: phase() });
    }
    if x.kind != y.kind {
        out.push(Change::PhaseKind { phase: phase(), from: x.kind, to: y.kind });
    }
    if x.temperature != y.temperature {
        let (from, to) = (x.temperature, y.temperature);
        out.push(Change::PhaseTemperature { phase: phase(), from, to });
    }
    if x.steps != y.steps {
        let (from, to) = (x.steps.clone(), y.steps.clone());
        out.push(Change::Steps { phase: phase(), from, to });
    }
}

fn line(
    (a, x): (&Formula, &Line),
    (b, y): (&Formula, &Line),
    phases: &Pairs<'_, Phase>,
    out: &mut Vec<Change>,
) {
    let item = || y.item.clone();
    if x.item != y.item {
        out.push(Change::Replaced { from: x.item.clone(), to: item() });
    }
    let (from, to) = (a.percent_of(x), b.percent_of(y));
    let filled = [(a, x), (b, y)].map(|(f, l)| f.fills == Some(l.id));
    if from != to {
        out.push(if filled.contains(&true) {
            Change::Rest { item: item(), from, to }
        } else {
            Change::Amount { item: item(), from, to }
        });
    } else if filled == [false, false]
        && let (Some(from), Some(to)) = (x.amount, y.amount)
        && from != to
    {
        out.push(Change::Typed { item: item(), from, to });
    }
    if let (Some(old), Some(new)) = (phase_with(a, x), phase_with(b, y))
        && !phases.after(old).is_some_and(|p| std::ptr::eq(p, new))
    {
        let (from, to) = (old.name.clone(), new.name.clone());
        out.push(Change::Moved { item: item(), from, to });
    }
    if x.locked != y.locked {
        out.push(Change::Locked { item: item(), locked: y.locked });
    }
    if x.note != y.note {
        out.push(Change::LineNote { item: item() });
    }
    if x.alternatives != y.alternatives {
        let (from, to) = (x.alternatives.clone(), y.alternatives.clone());
        out.push(Change::Alternatives { item: item(), from, to });
    }
}

/// Another line fills to 100. One whose material was replaced, or that came or went as such, is
/// told by that and by its new line.
fn fills(a: &Formula, b: &Formula, lines: &Pairs<'_, Line>, out: &mut Vec<Change>) {
    let (from, to) = (a.fill_line(), b.fill_line());
    let same = match (from, to) {
        (None, None) => true,
        (Some(x), Some(y)) => lines.after(x).is_some_and(|after| std::ptr::eq(after, y)),
        _ => false,
    };
    if !same {
        let item = |l: Option<&Line>| l.map(|l| l.item.clone());
        out.push(Change::Fills { from: item(from), to: item(to) });
    }
}

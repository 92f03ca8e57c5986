//! Rules of the bench: can it be weighed, does it fit the scale and the pot.

use rust_decimal::Decimal;

use super::{Finding, Problem as P, Where};
use crate::batch::{
    BatchFigures, BatchPlan, PlanProblem, WEIGHING_TOLERANCE, WEIGHING_TOLERANCE_STRICT, WeighList,
    smallest_weighable,
};
use crate::evaluate::Opened;
use crate::formula::{Formula, Function, LineId};
use crate::quantity::{Grams, Percent};

/// The tolerance that a line is weighed to: tighter for preservative, acid, alkali, colour.
fn tolerance(opened: &Opened<'_>, line: LineId) -> Percent {
    let strict = opened.leaves.iter().filter(|l| l.line == line).any(|l| {
        matches!(
            l.material.function,
            Some(Function::Preservative | Function::Adjuster | Function::Colour)
        )
    });
    if strict { WEIGHING_TOLERANCE_STRICT } else { WEIGHING_TOLERANCE }
}

pub(crate) fn check_weighing(
    formula: &Formula,
    opened: &Opened<'_>,
    plan: &BatchPlan,
    batch: Result<&BatchFigures, PlanProblem>,
    list: &WeighList,
    out: &mut Vec<Finding>,
) {
    let batch = match batch {
        Ok(batch) => batch,
        Err(problem) => {
            out.push(Finding::new(Where::Batch, P::PlanBad(problem)));
            return;
        }
    };
    let usable = |s: &&crate::batch::Scale| s.readability.0 > Decimal::ZERO;
    if plan.scales.iter().filter(usable).count() == 0 {
        out.push(Finding::new(Where::Batch, P::NoScale));
        return;
    }
    for (_, line) in formula.lines() {
        let Some(row) = list.line(line.id) else { continue };
        let (Some(exact), Some(target)) = (row.exact, row.target) else { continue };
        let Some(scale) = row.scale.and_then(|i| plan.scales.get(i)) else { continue };
        if !row.fits {
            let name = opened.name_of(line.id);
            let problem = P::LineAboveScale { name, target, room: scale.room() };
            out.push(Finding::new(Where::Line(line.id), problem));
            continue;
        }
        let tolerance = tolerance(opened, line.id);
        let smallest = smallest_weighable(scale.readability, tolerance);
        if exact.0 > Decimal::ZERO && exact < smallest {
            let problem = P::TooSmall {
                name: opened.name_of(line.id),
                exact,
                smallest,
                readability: scale.readability,
                tolerance,
                batch_needed: row.percent.and_then(|p| batch_for(smallest, p)),
            };
            out.push(Finding::new(Where::Line(line.id), problem));
        }
    }
    let most_room = plan.scales.iter().filter(usable).map(crate::batch::Scale::room).max();
    if let Some(room) = most_room.filter(|room| batch.gross > *room) {
        out.push(Finding::new(Where::Batch, P::BatchAboveScale { gross: batch.gross, room }));
    }
    if let Some(vessel) = plan.vessel.as_ref().filter(|v| batch.gross > v.holds) {
        let problem = P::BatchAboveVessel {
            gross: batch.gross,
            holds: vessel.holds,
            vessel: vessel.name.clone(),
        };
        out.push(Finding::new(Where::Batch, problem));
    }
}

/// The gross batch, rounded up to a whole gram, in which this share weighs the least mass.
fn batch_for(smallest: Grams, percent: Percent) -> Option<Grams> {
    smallest.0.saturating_mul(Decimal::ONE_HUNDRED).checked_div(percent.0).map(|g| Grams(g.ceil()))
}

//! A line's share of its phase.

use super::{Evaluation, LineFigures};
use crate::quantity::Percent;

/// % of the phase that a line makes up; `None` while the line is blank or the phase adds up to
/// nothing. Mass of the line over the sum of the phase's lines, as a phase would be premixed.
#[must_use]
pub fn share_of_phase(e: &Evaluation, line: &LineFigures) -> Option<Percent> {
    let whole = e.phases.iter().find(|p| p.phase == line.phase)?.percent;
    Percent::share(line.percent?.0, whole.0)
}

/// % of the product in these lines together; blank ones count nothing.
#[must_use]
pub fn sum_of<'a>(lines: impl IntoIterator<Item = &'a LineFigures>) -> Percent {
    lines.into_iter().filter_map(|l| l.percent).fold(Percent::ZERO, |sum, p| sum + p)
}

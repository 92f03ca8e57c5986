//! The weigh list: each line rounded for the scale that weighs it (conventions C3, C6).

use rust_decimal::Decimal;

use super::{BatchPlan, Scale};
use crate::formula::{Formula, LineId, PhaseId};
use crate::number::round_to_step;
use crate::quantity::{Grams, Percent};

/// Tolerance of a weighing that passes without remark, in % of the target (C6).
pub const WEIGHING_TOLERANCE: Percent = Percent(Decimal::from_parts(5, 0, 0, false, 0));

/// Tighter tolerance for preservative, acid, alkali and colour, in % of the target (C6).
pub const WEIGHING_TOLERANCE_STRICT: Percent = Percent(Decimal::from_parts(2, 0, 0, false, 0));

/// The smallest mass that a scale of this readability weighs within the tolerance:
/// `2 x 0.41 d / tolerance`. The form is the minimum weight of USP <41> (official
/// 1 August 2019), where 0.41 d stands for the least standard deviation and the tolerance
/// is 0.10 %; the workshop tolerance is looser.
///
/// Zero when the tolerance is not above zero.
#[must_use]
pub fn smallest_weighable(readability: Grams, tolerance: Percent) -> Grams {
    let factor = Decimal::new(82, 0); // 2 x 0.41 x 100 %
    Grams(readability.0.saturating_mul(factor).checked_div(tolerance.0).unwrap_or(Decimal::ZERO))
}

/// The tolerance band printed beside a target: 1 % of it or one scale division, whichever
/// is larger.
#[must_use]
pub fn band(target: Grams, readability: Grams) -> Grams {
    Percent(Decimal::ONE).of(target).max(readability)
}

/// The finest scale that can hold the mass above its tare; when none can, the one with
/// the most room. `None` only without scales.
#[must_use]
pub fn assign_scale(scales: &[Scale], mass: Grams) -> Option<usize> {
    let usable = |s: &Scale| s.readability.0 > Decimal::ZERO;
    let finest = scales
        .iter()
        .enumerate()
        .filter(|(_, s)| usable(s) && mass <= s.room())
        .min_by_key(|(i, s)| (s.readability, *i));
    finest
        .or_else(|| {
            scales
                .iter()
                .enumerate()
                .filter(|(_, s)| usable(s))
                .max_by_key(|(i, s)| (s.room(), usize::MAX - *i))
        })
        .map(|(i, _)| i)
}

/// One line to weigh.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WeighLine {
    /// The line.
    pub line: LineId,
    /// Its phase.
    pub phase: PhaseId,
    /// % of the product; `None` while blank.
    pub percent: Option<Percent>,
    /// Unrounded grams.
    pub exact: Option<Grams>,
    /// Grams on the scale.
    pub target: Option<Grams>,
    /// Tolerance band around the target.
    pub band: Option<Grams>,
    /// Sum of all targets so far, for weighing into one pot.
    pub running: Grams,
    /// Place of its scale in the plan.
    pub scale: Option<usize>,
    /// True when the scale's room holds it.
    pub fits: bool,
}

/// The whole list with its three totals.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WeighList {
    /// Lines in weighing order.
    pub lines: Vec<WeighLine>,
    /// Sum of the unrounded grams.
    pub exact: Grams,
    /// Sum of the rounded lines.
    pub rounded: Grams,
}

impl WeighList {
    /// Rounded less exact; never hidden in a line.
    #[must_use]
    pub fn difference(&self) -> Grams {
        self.rounded - self.exact
    }

    /// The row of a line.
    #[must_use]
    pub fn line(&self, id: LineId) -> Option<&WeighLine> {
        self.lines.iter().find(|l| l.line == id)
    }
}

/// The weigh list of a formula for a gross batch. Negative and blank lines weigh nothing
/// here; the findings speak of them.
#[must_use]
pub fn weigh(formula: &Formula, gross: Grams, plan: &BatchPlan) -> WeighList {
    let mut list = WeighList::default();
    for (phase, line) in formula.lines() {
        let percent = formula.percent_of(line);
        let exact = percent.map(|p| p.of(gross));
        let weighable = exact.filter(|g| !g.is_negative());
        let scale = weighable.and_then(|g| assign_scale(&plan.scales, g));
        let on = scale.and_then(|i| plan.scales.get(i));
        let target = weighable.map(|g| match on {
            Some(s) => Grams(round_to_step(g.0, s.readability.0)),
            None => g,
        });
        list.exact += exact.unwrap_or_default();
        list.rounded += target.unwrap_or_default();
        list.lines.push(WeighLine {
            line: line.id,
            phase: phase.id,
            percent,
            exact,
            target,
            band: target.zip(on).map(|(t, s)| band(t, s.readability)),
            running: list.rounded,
            scale,
            fits: on.zip(target).is_none_or(|(s, t)| t <= s.room()),
        });
    }
    list
}

//! Kind, figure, limit, arithmetic and one-click fixes of a finding.

use super::rule::{Fix, Quantity, RuleKind};
use super::words::Say;
use super::{Finding, Problem as P, Where};
use crate::number::NumberStyle;

impl Finding {
    /// Whose rule it is.
    #[must_use]
    pub fn kind(&self) -> RuleKind {
        if let Some(rule) = self.problem.rule() {
            return rule.kind();
        }
        match &self.problem {
            P::UseAbove { .. }
            | P::UseBelow { .. }
            | P::HeatLimit { .. }
            | P::MeltsAbove { .. }
            | P::ProcessMin { .. } => RuleKind::Supplier,
            P::NoFunction { .. }
            | P::BlendUnopened { .. }
            | P::PhaseTemperatureMissing { .. }
            | P::GrainDataMissing { .. }
            | P::GrainDataBad { .. }
            | P::GrainSizeAssumed { .. } => RuleKind::Unchecked,
            P::FunctionMissing { .. } | P::Dust { .. } => RuleKind::Practice,
            P::WaterWithoutPreservative { .. }
            | P::GrainsLarge { .. }
            | P::GrainsStrong { .. }
            | P::GrainsDissolve { .. }
            | P::GrainsSharp { .. }
            | P::GrainsMany { .. }
            | P::PourWindowEmpty { .. }
            | P::ParcelSlumps { .. } => RuleKind::House,
            _ => RuleKind::Arithmetic,
        }
    }

    /// The figure that was looked at, where there is one.
    #[must_use]
    pub fn figure(&self) -> Option<Quantity> {
        self.reading().0
    }

    /// The limit that it was held against, where there is one.
    #[must_use]
    pub fn limit(&self) -> Option<Quantity> {
        self.reading().1
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        use Quantity as Q;
        if let Some(rule) = self.problem.rule() {
            return rule.reading();
        }
        let (figure, limit) = match &self.problem {
            P::TotalOff { total } | P::PremixOff { total, .. } => {
                (Q::Percent(*total), Q::Percent(crate::quantity::Percent::HUNDRED))
            }
            P::AmountNegative { percent, .. } | P::FillNegative { percent, .. } => {
                (Q::Percent(*percent), Q::Percent(crate::quantity::Percent::ZERO))
            }
            P::UseAbove { percent, high, .. } => (Q::Percent(*percent), Q::Percent(*high)),
            P::UseBelow { percent, low, .. } => (Q::Percent(*percent), Q::Percent(*low)),
            P::HeatLimit { limit_c, phase_c, .. } => (Q::Celsius(*phase_c), Q::Celsius(*limit_c)),
            P::MeltsAbove { melts_c, phase_c, .. } => (Q::Celsius(*phase_c), Q::Celsius(*melts_c)),
            P::ProcessMin { needs_c, phase_c, .. } => (Q::Celsius(*phase_c), Q::Celsius(*needs_c)),
            P::WaterWithoutPreservative { free, limit } => (Q::Percent(*free), Q::Percent(*limit)),
            P::TooSmall { exact, smallest, .. } => (Q::Grams(*exact), Q::Grams(*smallest)),
            P::LineAboveScale { target, room, .. } => (Q::Grams(*target), Q::Grams(*room)),
            P::BatchAboveScale { gross, room } => (Q::Grams(*gross), Q::Grams(*room)),
            P::BatchAboveVessel { gross, holds, .. } => (Q::Grams(*gross), Q::Grams(*holds)),
            P::PourWindowEmpty { needs_c, limit_c, .. } => {
                (Q::Celsius(*needs_c), Q::Celsius(*limit_c))
            }
            P::GrainsLarge { d90_um, guide_um, .. } => {
                (Q::Micrometres(*d90_um), Q::Micrometres(*guide_um))
            }
            P::GrainsStrong { index, guide, .. } => (Q::Number(*index, 0), Q::Number(*guide, 0)),
            P::GrainsDissolve { dry, guide, .. } => (Q::Number(*dry, 0), Q::Number(*guide, 0)),
            P::GrainsSharp { share, guide, .. } => (Q::Number(*share, 1), Q::Number(*guide, 1)),
            P::GrainsMany { load, guide, .. } => (Q::Percent(*load), Q::Percent(*guide)),
            _ => return (None, None),
        };
        (Some(figure), Some(limit))
    }

    /// The arithmetic behind it, one step a line; empty where there is none to open.
    #[must_use]
    pub fn steps(&self, style: NumberStyle) -> Vec<String> {
        self.problem.rule().map_or_else(Vec::new, |rule| rule.steps(&Say(style)))
    }

    /// What one click can do about it.
    #[must_use]
    pub fn fixes(&self) -> Vec<Fix> {
        if let Some(rule) = self.problem.rule() {
            return rule.fixes();
        }
        let line = match self.place {
            Where::Line(line) => Some(line),
            _ => None,
        };
        match (&self.problem, line) {
            (P::UseAbove { high, .. }, Some(line)) => {
                vec![Fix::SetPercent { line, percent: *high }, Fix::Swap { line }]
            }
            (P::UseBelow { low, .. }, Some(line)) => {
                vec![Fix::SetPercent { line, percent: *low }]
            }
            (P::HeatLimit { limit_c, .. }, Some(line)) => {
                vec![Fix::MoveToCoolDown { line, below_c: *limit_c }, Fix::Swap { line }]
            }
            (P::MaterialMissing { .. }, Some(line)) => vec![Fix::Swap { line }],
            (P::BlendUnopened { .. }, Some(line)) => vec![Fix::SupplierOf { line }],
            (P::TotalOff { .. }, _) => vec![Fix::BringTo100],
            (P::PhaseTemperatureMissing { .. }, _) => match self.place {
                Where::Phase(phase) => vec![Fix::Phase(phase)],
                _ => Vec::new(),
            },
            _ => Vec::new(),
        }
    }

    /// What it says in one line, the same in every style; kept with an acceptance.
    #[must_use]
    pub fn said(&self) -> String {
        self.words(NumberStyle::default()).title
    }
}

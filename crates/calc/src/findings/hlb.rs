//! Rules of HLB: emulsifiers against what the oil phase asks for.

use super::rule::{Quantity, Rule, RuleKind};
use super::words::{Say, list, words};
use super::{Finding, Problem, Severity, Where, Words};
use crate::chemistry::emulsion::HlbFigures;
use crate::evaluate::Derived;
use crate::formula::{Form, Formula};

/// How far the emulsifiers may lie from the band of the oil phase. Common practice.
const MAY_BE_OFF: f64 = 1.5;

/// What such a rule found.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum HlbProblem {
    /// The emulsifiers lie outside the band of the oil phase.
    Off { blend: f64, low: f64, high: f64, coverage: f64 },
    /// Too little of the oil phase has a figure.
    Coverage { coverage: f64, names: Vec<String> },
    /// Too little of the emulsifiers has a figure.
    Emulsifiers { names: Vec<String> },
}

const SOURCE: &str = "Griffin, J. Soc. Cosmet. Chem. 1 (1949) 311; required figures from handbooks, several from memory";

impl Rule for HlbProblem {
    fn id(&self) -> &'static str {
        match self {
            Self::Off { .. } => "hlb-off",
            Self::Coverage { .. } => "hlb-coverage",
            Self::Emulsifiers { .. } => "hlb-emulsifiers",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            Self::Off { .. } => Severity::Warn,
            Self::Coverage { .. } | Self::Emulsifiers { .. } => Severity::Note,
        }
    }

    fn kind(&self) -> RuleKind {
        match self {
            Self::Off { .. } => RuleKind::Practice,
            Self::Coverage { .. } | Self::Emulsifiers { .. } => RuleKind::Unchecked,
        }
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        match self {
            Self::Off { blend, low, high, .. } => {
                let edge = if blend < low { *low } else { *high };
                (Some(Quantity::Number(*blend, 1)), Some(Quantity::Number(edge, 1)))
            }
            Self::Coverage { coverage, .. } => {
                (Some(Quantity::Number(*coverage, 0)), Some(Quantity::Number(80.0, 0)))
            }
            Self::Emulsifiers { .. } => (None, None),
        }
    }

    fn words(&self, say: &Say) -> Words {
        match self {
            Self::Off { blend, low, high, coverage } => words(
                format!(
                    "Emulsifiers at HLB {}, the oil phase asks for {} to {}",
                    say.f(*blend, 1),
                    say.f(*low, 1),
                    say.f(*high, 1)
                ),
                format!(
                    "More than {} off, an emulsion is likely to part; {} % of the oil phase has a figure, and all of them are soft",
                    say.f(MAY_BE_OFF, 1),
                    say.f(*coverage, 0)
                ),
                "Shift the share of the emulsifiers towards the band, or choose others; then watch it for weeks",
                SOURCE,
            ),
            Self::Coverage { coverage, names } => words(
                format!("Required HLB known for {} % of the oil phase only", say.f(*coverage, 0)),
                format!("Below 80 % no figure is shown; missing for {}", list(names)),
                "Ask the suppliers, or judge the emulsion by trial",
                SOURCE,
            ),
            Self::Emulsifiers { names } => words(
                format!("No HLB known for {}", list(names)),
                "Blends of emulsifiers are sold by function; without a figure the pair cannot be held against the oil phase",
                "Ask the supplier, or judge the emulsion by trial",
                SOURCE,
            ),
        }
    }
}

/// Looks at lotions; a bar with a little water is no emulsion.
pub(crate) fn check_hlb(formula: &Formula, hlb: &Derived<HlbFigures>, out: &mut Vec<Finding>) {
    let Ok(h) = hlb else { return };
    if formula.product.form != Form::Emulsion {
        return;
    }
    let mut add = |p| out.push(Finding::new(Where::Formula, Problem::Hlb(p)));
    if h.required.is_err() && !h.without_required.is_empty() {
        let (coverage, names) = (h.coverage, h.without_required.clone());
        add(HlbProblem::Coverage { coverage, names });
    } else if h.blend.is_err() && !h.without_hlb.is_empty() {
        add(HlbProblem::Emulsifiers { names: h.without_hlb.clone() });
    }
    if let (Some(off), Ok(r), Ok(blend)) = (h.off(), &h.required, &h.blend)
        && off.abs() > MAY_BE_OFF
    {
        let (blend, low, high, coverage) = (*blend, r.low, r.high, h.coverage);
        add(HlbProblem::Off { blend, low, high, coverage });
    }
}

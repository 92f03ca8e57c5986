//! Rules of the label.

use super::rule::{Fix, Rule, RuleKind};
use super::words::{Say, list, words};
use super::{Finding, Problem, Severity, Where, Words};
use crate::formula::{Formula, VersionState};
use crate::label::Label;
use crate::quantity::Date;

/// What such a rule found.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum PackProblem {
    /// The label says something else than when it was printed.
    Stale { market: String, date: Date, version: u32, parts: Vec<String>, released: bool },
}

impl Rule for PackProblem {
    fn id(&self) -> &'static str {
        "label-stale"
    }

    fn severity(&self) -> Severity {
        let Self::Stale { released, .. } = self;
        if *released { Severity::Warn } else { Severity::Note }
    }

    fn kind(&self) -> RuleKind {
        RuleKind::House
    }

    fn subject(&self) -> String {
        let Self::Stale { market, .. } = self;
        market.clone()
    }

    fn fixes(&self) -> Vec<Fix> {
        vec![Fix::Label]
    }

    fn words(&self, _say: &Say) -> Words {
        let Self::Stale { market, date, version, parts, .. } = self;
        words(
            format!("The printed label ({market}) no longer says what the formula says"),
            format!(
                "It was printed on {} for version {version}; by now these differ: {}",
                date.words(),
                list(parts)
            ),
            "Print the label again and take the old ones out of use, or go back to the formula that was printed",
            "this formula's printed label",
        )
    }
}

/// Holds a label against the one that was printed.
pub(crate) fn check_label(formula: &Formula, label: &Label, out: &mut Vec<Finding>) {
    let Some(stale) = &label.stale else { return };
    let problem = PackProblem::Stale {
        market: label.market_name.clone(),
        date: stale.date,
        version: stale.version,
        parts: stale.changed.iter().map(|(part, _, _)| part.clone()).collect(),
        released: formula.version.state == VersionState::Released,
    };
    out.push(Finding::new(Where::Formula, Problem::Pack(problem)));
}

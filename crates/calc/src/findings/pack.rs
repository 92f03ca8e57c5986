//! Rules of the label.

use super::rule::{Fix, Rule, RuleKind};
use super::words::{Say, list, words};
use super::{Finding, Problem, Severity, Where, Words};
use crate::formula::{Formula, VersionState};
use crate::label::Label;
use crate::quantity::Date;
use crate::rules::Rules;

/// What such a rule found.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum PackProblem {
    /// The label says something else than when it was printed.
    Stale { market: String, date: Date, version: u32, parts: Vec<String>, released: bool },
    /// The formula is meant for a market without rules here.
    NoMarket { code: String },
}

impl Rule for PackProblem {
    fn id(&self) -> &'static str {
        match self {
            Self::Stale { .. } => "label-stale",
            Self::NoMarket { .. } => "market-unknown",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            Self::Stale { released: true, .. } | Self::NoMarket { .. } => Severity::Warn,
            Self::Stale { released: false, .. } => Severity::Note,
        }
    }

    fn kind(&self) -> RuleKind {
        match self {
            Self::Stale { .. } => RuleKind::House,
            Self::NoMarket { .. } => RuleKind::Unchecked,
        }
    }

    fn subject(&self) -> String {
        match self {
            Self::Stale { market, .. } => market.clone(),
            Self::NoMarket { code } => code.clone(),
        }
    }

    fn fixes(&self) -> Vec<Fix> {
        match self {
            Self::Stale { .. } => vec![Fix::Label],
            Self::NoMarket { .. } => Vec::new(),
        }
    }

    fn words(&self, say: &Say) -> Words {
        match self {
            Self::Stale { market, date, version, parts, .. } => words(
                format!("The printed label ({market}) no longer says what the formula says"),
                format!(
                    "It was printed on {} for version {version}; by now these differ: {}",
                    say.day(*date),
                    list(parts)
                ),
                "Print the label again and take the old ones out of use, or go back to the formula that was printed",
                "this formula's printed label",
            ),
            Self::NoMarket { code } => words(
                format!("No rules are here for the market “{code}”"),
                "The formula is meant for it, and nothing of its law was checked",
                "Put the file of that market into the folder of own rules, or choose other markets in the Findings view",
                "markets of this formula and of this program",
            ),
        }
    }
}

/// Tells markets that a formula names and that nothing is known of.
pub(crate) fn check_markets(formula: &Formula, rules: &Rules, out: &mut Vec<Finding>) {
    // Without any rules at all nothing is checked, and nothing is said.
    if rules.markets.is_empty() {
        return;
    }
    for code in formula.safety.markets.iter().filter(|c| rules.market(c).is_none()) {
        let problem = PackProblem::NoMarket { code: code.clone() };
        out.push(Finding::new(Where::Formula, Problem::Pack(problem)));
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

//! Rules of materials that do not go together, or not as they are used.

use crate::evaluate::Opened;
use crate::formula::Formula;
use crate::rules::Rules;

use super::case::{Case, row};
use super::rule::{Fix, Quantity, Rule, RuleKind};
use super::words::{Say, words};
use super::{Finding, Problem, Severity, Where, Words};

mod charges;
mod making;
mod oils;
mod ph;
mod powders;
mod solubility;

pub use charges::ClashProblem;
pub use making::MakingProblem;
pub use oils::OilProblem;
pub use ph::PhProblem;
pub use powders::PowderProblem;
pub use solubility::SolubilityProblem;

/// What such a rule found.
#[derive(Clone, Debug, PartialEq)]
pub enum MixingProblem {
    /// Charges, salts, and what binds or reacts.
    Clash(ClashProblem),
    /// A pH that something does not stand.
    Ph(PhProblem),
    /// More than dissolves.
    Solubility(SolubilityProblem),
    /// Powders, gums and clays.
    Powder(PowderProblem),
    /// Oils, butters, humectants and what holds oil and water together.
    Oil(OilProblem),
    /// What the batch is made with.
    Making(MakingProblem),
    /// Figures or lists of the rules that are not there.
    Incomplete {
        /// Their keys.
        keys: Vec<String>,
    },
}

/// Says which figures and lists are not there.
struct Incomplete<'a>(&'a [String]);

impl Rule for Incomplete<'_> {
    fn id(&self) -> &'static str {
        "interaction-figures-missing"
    }
    fn severity(&self) -> Severity {
        Severity::Note
    }
    fn kind(&self) -> RuleKind {
        RuleKind::Unchecked
    }
    fn words(&self, _say: &Say) -> Words {
        words(
            format!("{} figures of the interaction rules are missing", self.0.len()),
            format!("Rules that need them were not checked: {}", row(self.0)),
            "Restore the file of interaction rules",
            "interaction rules of this program",
        )
    }
}

impl MixingProblem {
    fn with<T>(&self, ask: impl FnOnce(&dyn Rule) -> T) -> T {
        match self {
            Self::Clash(p) => ask(p),
            Self::Ph(p) => ask(p),
            Self::Solubility(p) => ask(p),
            Self::Powder(p) => ask(p),
            Self::Oil(p) => ask(p),
            Self::Making(p) => ask(p),
            Self::Incomplete { keys } => ask(&Incomplete(keys)),
        }
    }
}

impl Rule for MixingProblem {
    fn id(&self) -> &'static str {
        self.with(|r| r.id())
    }
    fn severity(&self) -> Severity {
        self.with(|r| r.severity())
    }
    fn kind(&self) -> RuleKind {
        self.with(|r| r.kind())
    }
    fn words(&self, say: &Say) -> Words {
        self.with(|r| r.words(say))
    }
    fn subject(&self) -> String {
        self.with(|r| r.subject())
    }
    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        self.with(|r| r.reading())
    }
    fn steps(&self, say: &Say) -> Vec<String> {
        self.with(|r| r.steps(say))
    }
    fn fixes(&self) -> Vec<Fix> {
        self.with(|r| r.fixes())
    }
}

/// What the rules of one subject found, with its place.
type Found = Vec<(Where, MixingProblem)>;

/// Checks what does not go together. Without any interaction data it says nothing.
pub(crate) fn check_mixing(
    formula: &Formula,
    opened: &Opened<'_>,
    rules: &Rules,
    out: &mut Vec<Finding>,
) {
    let data = &rules.interactions;
    if data.figures.is_empty() && data.lists.is_empty() {
        return;
    }
    let case = Case::new(formula, opened, rules);
    let mut found: Found = Vec::new();
    charges::check(&case, &mut found);
    ph::check(&case, &mut found);
    solubility::check(&case, &mut found);
    powders::check(&case, &mut found);
    oils::check(&case, &mut found);
    making::check(&case, &mut found);
    let questions = case.open_questions();
    ph::check_unknown(questions.ph, &data.edition, &mut found);
    making::check_unknown(questions.active, &data.edition, &mut found);
    if !questions.missing.is_empty() {
        found.push((Where::Formula, MixingProblem::Incomplete { keys: questions.missing }));
    }
    out.extend(found.into_iter().map(|(place, p)| Finding::new(place, Problem::Mixing(p))));
}

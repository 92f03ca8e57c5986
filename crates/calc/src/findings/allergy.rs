//! Rules of fragrance allergens that a label must name.

use super::law::Edition;
use super::law_words::source;
use super::rule::{Fix, Quantity, Rule, RuleKind};
use super::words::{Say, list, words};
use super::{Finding, Problem, Severity, Where, Words};
use crate::evaluate::MarketFigures;
use crate::formula::{Figure, Formula, MaterialId};
use crate::quantity::Date;
use crate::rules::Rules;
use crate::safety::allergens::UnknownAllergens;
use crate::safety::market::Regime;

/// What such a rule found.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum AllergyProblem {
    /// A scented material that does not say what is in it. Told once, for the first market with
    /// a list of allergens.
    NotStated { edition: Edition, unknown: UnknownAllergens, about: Figure<()> },
    /// New allergens that a label need not name yet.
    Coming { edition: Edition, names: Vec<String>, until: Date, about: Figure<()> },
}

impl Rule for AllergyProblem {
    fn id(&self) -> &'static str {
        match self {
            Self::NotStated { .. } => "allergens-not-stated",
            Self::Coming { .. } => "allergens-coming",
        }
    }

    fn severity(&self) -> Severity {
        Severity::Note
    }

    fn kind(&self) -> RuleKind {
        match self {
            Self::NotStated { .. } => RuleKind::Unchecked,
            Self::Coming { .. } => RuleKind::Law,
        }
    }

    fn words(&self, say: &Say) -> Words {
        match self {
            Self::NotStated { edition, unknown, about } => {
                let (title, fix) = if unknown.without_amount.is_empty() {
                    (
                        format!("The allergens of {} are not stated", unknown.name),
                        format!(
                            "Enter the allergen declaration of {}, or say that it holds none",
                            unknown.name
                        ),
                    )
                } else {
                    let names = list(&unknown.without_amount);
                    (
                        format!("{} holds {names} in an amount that is not stated", unknown.name),
                        format!("Enter the share of {names} from the supplier's declaration"),
                    )
                };
                words(
                    title,
                    "The label may have to name allergens that are not counted here",
                    fix,
                    source(edition, "fragrance allergens", about),
                )
            }
            Self::Coming { edition, names, until, about } => words(
                format!(
                    "From the day after {} the label names {} more: {} ({})",
                    say.day(*until),
                    if names.len() == 1 { "one".to_owned() } else { names.len().to_string() },
                    list(names),
                    edition.short()
                ),
                "They are above the share from which they are named, and were added to the list",
                "Print labels with these names before that day",
                source(edition, "fragrance allergens", about),
            ),
        }
    }

    fn subject(&self) -> String {
        match self {
            Self::NotStated { unknown, .. } => unknown.material.to_string(),
            Self::Coming { edition, .. } => edition.code.clone(),
        }
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        match self {
            Self::NotStated { .. } => (None, None),
            Self::Coming { names, .. } => (Some(Quantity::Count(names.len())), None),
        }
    }

    fn fixes(&self) -> Vec<Fix> {
        match self {
            Self::NotStated { unknown, .. } => {
                vec![Fix::Certificate { material: unknown.material.clone() }]
            }
            Self::Coming { .. } => vec![Fix::Label],
        }
    }
}

/// Looks for what the allergens of a label cannot rest on, and for names that will be added.
pub(super) fn check_allergens(
    formula: &Formula,
    rules: &Rules,
    figures: &[MarketFigures],
    out: &mut Vec<Finding>,
) {
    let mut told: Vec<MaterialId> = Vec::new();
    for own in figures {
        let Some(market) = rules.market(&own.code) else { continue };
        let (Some(list), Some(checks)) = (&market.allergens, own.allergens.clone()) else {
            continue;
        };
        let edition = || Edition::of(market, formula);
        for unknown in checks.unknown {
            if told.contains(&unknown.material) {
                continue;
            }
            told.push(unknown.material.clone());
            let place = Where::Line(unknown.line);
            let about = list.about.clone();
            let problem = AllergyProblem::NotStated { edition: edition(), unknown, about };
            out.push(Finding::new(place, Problem::Allergy(problem)));
        }
        let Some(until) = checks.new_free_until else { continue };
        let coming = checks.sums.iter().filter(|s| s.over && s.regime == Regime::New);
        let names: Vec<String> = coming.map(|s| s.label.clone()).collect();
        if !names.is_empty() {
            let about = list.about.clone();
            let problem = AllergyProblem::Coming { edition: edition(), names, until, about };
            out.push(Finding::new(Where::Formula, Problem::Allergy(problem)));
        }
    }
}

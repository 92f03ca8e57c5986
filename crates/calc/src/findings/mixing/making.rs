//! What a batch is made with: alkali, assays, and how much surfactant the product has.

use crate::formula::{Contact, Form, Formula, Function, Place};
use crate::quantity::Percent;

use super::super::case::{Brought, Case, brought, row};
use super::super::rule::{Fix, Quantity, Rule, RuleKind};
use super::super::words::{Say, words};
use super::super::{Severity, Where, Words};
use super::{Found, MixingProblem};

/// What such a rule found. Figures in % of the product.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum MakingProblem {
    /// Alkali without a word on what it neutralises.
    Alkali { names: Vec<String>, source: String },
    /// Alkali of unknown assay.
    AlkaliAssay { names: Vec<String>, source: String },
    /// Active matter that is not stated and would be needed.
    Assay { names: Vec<String>, source: String },
    /// Active surfactant outside what is usual of the product.
    Band { of: Brought, low: Percent, high: Percent, product: &'static str, source: String },
    /// A cleanser in a product that stays on.
    LeftOn { of: Brought, most: Percent, source: String },
}

use MakingProblem as M;

impl Rule for MakingProblem {
    fn id(&self) -> &'static str {
        match self {
            M::Alkali { .. } => "alkali-not-planned",
            M::AlkaliAssay { .. } => "alkali-assay-missing",
            M::Assay { .. } => "assay-missing",
            M::Band { .. } => "surfactant-band",
            M::LeftOn { .. } => "cleanser-left-on",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            M::Alkali { .. } | M::AlkaliAssay { .. } | M::LeftOn { .. } => Severity::Warn,
            M::Assay { .. } | M::Band { .. } => Severity::Note,
        }
    }

    fn kind(&self) -> RuleKind {
        match self {
            M::Alkali { .. } | M::Band { .. } | M::LeftOn { .. } => RuleKind::Practice,
            M::AlkaliAssay { .. } | M::Assay { .. } => RuleKind::Unchecked,
        }
    }

    fn words(&self, say: &Say) -> Words {
        sentences(self, say)
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        match self {
            M::Band { of, low, high, .. } => {
                let end = if of.total < *low { *low } else { *high };
                (Some(Quantity::Percent(of.total)), Some(Quantity::Percent(end)))
            }
            M::LeftOn { of, most, .. } => {
                (Some(Quantity::Percent(of.total)), Some(Quantity::Percent(*most)))
            }
            _ => (None, None),
        }
    }

    fn fixes(&self) -> Vec<Fix> {
        match self {
            M::LeftOn { .. } => vec![Fix::Details],
            _ => Vec::new(),
        }
    }

    fn steps(&self, say: &Say) -> Vec<String> {
        match self {
            M::Band { of, .. } | M::LeftOn { of, .. } => of.steps(say),
            _ => Vec::new(),
        }
    }
}

fn sentences(problem: &MakingProblem, say: &Say) -> Words {
    match problem {
        M::Alkali { names, source } => words(
            format!("{}: no step says what it neutralises", row(names)),
            "Alkali that meets surfactant or oil late splits esters where it falls in, and an excess burns skin",
            "Work out the amount from acid value and assay, and write the neutralisation into the method",
            source.clone(),
        ),
        M::AlkaliAssay { names, source } => words(
            format!("Assay not stated for {}", row(names)),
            "Flakes are 85 to 90 % alkali and solutions far less: the dose cannot be worked out",
            "Enter the assay as active matter, from the label or the certificate",
            source.clone(),
        ),
        M::Assay { names, source } => words(
            format!("Active matter not stated for {}", row(names)),
            "Rules that go by active matter could not count it",
            "Enter the active matter from the certificate of analysis",
            source.clone(),
        ),
        M::LeftOn { of, most, source } => {
            let (now, end) = say.pair(of.total, *most);
            words(
                format!("{now} active cleansing surfactant stays on the skin, above {end}"),
                "A cleanser that is not rinsed off irritates and dries the skin",
                "Make it a rinse-off product, or take the surfactant out",
                source.clone(),
            )
        }
        M::Band { of, low, high, product, source } => {
            let under = of.total < *low;
            let (now, end) = say.pair(of.total, if under { *low } else { *high });
            let (side, why) = if under {
                ("below", "It may foam and cleanse weakly")
            } else {
                ("above", "It may be harsh and dry the skin")
            };
            words(
                format!("{now} active surfactant is {side} {end}, usual of {product}"),
                why,
                format!(
                    "Usual is {} to {}; keep it if you mean it so",
                    say.pct(*low),
                    say.pct(*high)
                ),
                source.clone(),
            )
        }
    }
}

pub(super) fn check(case: &Case<'_>, out: &mut Found) {
    let mut add = |p| out.push((Where::Formula, MixingProblem::Making(p)));
    let alkalis = case.of("alkalis");
    if !alkalis.is_empty() && !case.mentions("neutralising-words") {
        let names = case.listed("alkalis").names();
        add(M::Alkali { names, source: case.cite("common practice") });
    }
    let unknown = alkalis.iter().filter(|b| b.pure.is_none()).map(|b| (b.leaf, b.most));
    let unknown = brought(unknown, case.opened);
    if !unknown.is_empty() {
        add(M::AlkaliAssay { names: unknown.names(), source: case.cite("common practice") });
    }
    let assayed = |m: &crate::formula::Material| {
        m.active.is_none()
            && (m.function == Some(Function::Surfactant) || case.lists("assay-needed", &m.inci))
    };
    case.doubt(case.materials(assayed).names());
    match case.formula.product.contact {
        // What is usual of a cleanser says nothing of a product that stays on.
        Contact::LeaveOn => left_on(case).map_or((), &mut add),
        Contact::RinseOff => band(case).map_or((), &mut add),
    }
}

/// A cleanser in a product that stays on.
fn left_on(case: &Case<'_>) -> Option<MakingProblem> {
    let most = case.bound("cleanser-left-on")?;
    let of = case.active(|m| m.function == Some(Function::Surfactant));
    (of.total > most.percent).then_some(M::LeftOn { of, most: most.percent, source: most.source })
}

/// The band of the product: its figures and its name; `None` where none is known.
fn product(formula: &Formula) -> Option<(&'static str, &'static str)> {
    Some(match (formula.product.form, formula.product.place) {
        (Form::CleansingBar, Place::Hair) => ("band-shampoo-bar", "a solid shampoo bar"),
        (Form::CleansingBar, _) => ("band-syndet-bar", "a cleansing bar"),
        (Form::ScrubBar, _) => ("band-scrub-bar", "a creamy scrub bar"),
        (Form::JarScrub, _) => ("band-foaming-scrub", "a foaming scrub"),
        _ => return None,
    })
}

/// The bands are those of synthetic surfactants: true soap is left alone.
fn band(case: &Case<'_>) -> Option<MakingProblem> {
    let (key, product) = product(case.formula)?;
    let surfactant = |m: &crate::formula::Material| m.function == Some(Function::Surfactant);
    if case.materials(surfactant).is_empty() || !case.listed("soaps").is_empty() {
        return None;
    }
    let (low, high) = (case.bound(&format!("{key}-low"))?, case.bound(&format!("{key}-high"))?);
    if !case.materials(|m| surfactant(m) && m.active.is_none()).is_empty() {
        return None;
    }
    let of = case.active(surfactant);
    (of.total < low.percent || of.total > high.percent).then_some(M::Band {
        of,
        low: low.percent,
        high: high.percent,
        product,
        source: low.source,
    })
}

/// One note for all materials whose active matter was wanted and is not stated.
pub(super) fn check_unknown(names: Vec<String>, edition: &str, out: &mut Found) {
    if !names.is_empty() {
        let source = format!("common practice; {edition}");
        out.push((Where::Formula, MixingProblem::Making(M::Assay { names, source })));
    }
}

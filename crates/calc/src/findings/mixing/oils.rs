//! Oils that go rancid, butters that bloom, humectants that sweat, and what holds oil in water.

use crate::formula::{AtPour, Form, Function, Material, PhaseKind, PhaseTemperature};
use crate::quantity::Percent;

use super::super::case::{Brought, Case, row};
use super::super::rule::{Fix, Quantity, Rule, RuleKind};
use super::super::words::{Say, words};
use super::super::{Severity, Where, Words};
use super::{Found, MixingProblem};

/// What a rule of oils found. Figures in % of the product.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum OilProblem {
    /// Oil and water, and nothing that holds them together.
    NoEmulsifier { oil: Percent, water: Percent, limit: Percent, lotion: bool, source: String },
    /// Unsaturated oils without an antioxidant.
    Rancid { of: Brought, limit: Percent, iodine: f64, source: String },
    /// Oils whose iodine value is not stated, without an antioxidant.
    RancidUnknown { names: Vec<String>, source: String },
    /// Much humectant in a bar.
    Humectant { of: Brought, limit: Percent, source: String },
    /// Butters that bloom, without a word on how they are cooled.
    Bloom { names: Vec<String>, source: String },
}

use OilProblem as O;

impl Rule for OilProblem {
    fn id(&self) -> &'static str {
        match self {
            O::NoEmulsifier { .. } => "no-emulsifier",
            O::Rancid { .. } => "oil-without-antioxidant",
            O::RancidUnknown { .. } => "oil-without-antioxidant-unchecked",
            O::Humectant { .. } => "humectant-in-bar",
            O::Bloom { .. } => "fat-bloom",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            O::NoEmulsifier { lotion: true, .. } => Severity::Stop,
            O::NoEmulsifier { .. } | O::Rancid { .. } | O::Humectant { .. } => Severity::Warn,
            O::RancidUnknown { .. } | O::Bloom { .. } => Severity::Note,
        }
    }

    fn kind(&self) -> RuleKind {
        match self {
            O::RancidUnknown { .. } => RuleKind::Unchecked,
            _ => RuleKind::Practice,
        }
    }

    fn words(&self, say: &Say) -> Words {
        sentences(self, say)
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        match self {
            O::NoEmulsifier { oil, limit, .. } => {
                (Some(Quantity::Percent(*oil)), Some(Quantity::Percent(*limit)))
            }
            O::Rancid { of, limit, .. } | O::Humectant { of, limit, .. } => {
                (Some(Quantity::Percent(of.total)), Some(Quantity::Percent(*limit)))
            }
            _ => (None, None),
        }
    }

    fn steps(&self, say: &Say) -> Vec<String> {
        match self {
            O::Rancid { of, .. } | O::Humectant { of, .. } => of.steps(say),
            O::NoEmulsifier { oil, water, .. } => {
                vec![format!("Oil {}, free water {}", say.exact(*oil), say.exact(*water))]
            }
            _ => Vec::new(),
        }
    }

    fn fixes(&self) -> Vec<Fix> {
        match self {
            O::Humectant { of, limit, .. } => Vec::from_iter(of.set_to(*limit)),
            _ => Vec::new(),
        }
    }
}

fn sentences(problem: &OilProblem, say: &Say) -> Words {
    match problem {
        O::NoEmulsifier { oil, water, limit, source, .. } => words(
            format!("{} oil and {} water, and no emulsifier", say.pct(*oil), say.pct(*water)),
            format!("With more than {} of each they separate", say.pct(*limit)),
            "Add an emulsifier, or make it without water or without oil",
            source.clone(),
        ),
        O::Rancid { of, limit, iodine, source } => {
            let (now, most) = say.pair(of.total, *limit);
            words(
                format!("{now} unsaturated oil, above {most}, without an antioxidant"),
                format!(
                    "{} with an iodine value above {} take up oxygen and go rancid",
                    row(&of.names()),
                    say.f(*iodine, 0)
                ),
                "Add tocopherol to the oils before they are heated, or take a stabler oil",
                source.clone(),
            )
        }
        O::RancidUnknown { names, source } => words(
            format!("No antioxidant, and the iodine value is not known for {}", row(names)),
            "Whether it goes rancid soon could not be checked",
            "Enter the iodine value from the supplier, or add tocopherol",
            source.clone(),
        ),
        O::Humectant { of, limit, source } => {
            let (now, most) = say.pair(of.total, *limit);
            words(
                format!("{now} humectant in a bar is above {most}"),
                format!(
                    "{} draw water from the air: the bar sweats and feels sticky",
                    row(&of.names())
                ),
                format!("Use at most {most}"),
                source.clone(),
            )
        }
        O::Bloom { names, source } => words(
            format!("No cooling or tempering is written down for {}", row(names)),
            "Such fats turn grainy or bloom when they set slowly in an unstable form",
            "Write into the method how far it is cooled before pouring, and how fast it sets",
            source.clone(),
        ),
    }
}

pub(super) fn check(case: &Case<'_>, out: &mut Found) {
    let found = [no_emulsifier(case), rancid(case), humectant(case), bloom(case)];
    let found = found.into_iter().flatten();
    out.extend(found.map(|p| (Where::Formula, MixingProblem::Oil(p))));
}

/// Surfactants, solubilisers, polymers and soap made in the pot hold oil in water as well.
fn no_emulsifier(case: &Case<'_>) -> Option<OilProblem> {
    let form = case.formula.product.form;
    if form == Form::Premix {
        return None;
    }
    let (oil_most, water_most) = (case.bound("emulsion-oil")?, case.bound("emulsion-water")?);
    let (oil, water) = (case.fats(), case.free());
    let holds = |m: &Material| {
        matches!(m.function, Some(Function::Emulsifier | Function::Solubiliser))
            || m.surfactant
            || m.hlb.is_some()
            || case.lists("polymeric-emulsifiers", &m.inci)
    };
    let mixed = oil > oil_most.percent && water > water_most.percent;
    if !mixed || !case.materials(holds).is_empty() || case.soap_in_pot().is_some() {
        return None;
    }
    Some(O::NoEmulsifier {
        oil,
        water,
        limit: oil_most.percent,
        lotion: form == Form::Emulsion,
        source: oil_most.source,
    })
}

/// Middle of the range, or the end that is stated.
fn iodine(m: &Material) -> Option<f64> {
    let span = m.iodine_value.as_ref()?.value;
    let value = match (span.low, span.high) {
        (Some(low), Some(high)) => f64::midpoint(low, high),
        (one, other) => one.or(other)?,
    };
    value.is_finite().then_some(value)
}

fn rancid(case: &Case<'_>) -> Option<OilProblem> {
    let (limit, from) = (case.bound("unsaturated-oil")?, case.bound("unsaturated-iodine")?);
    let protects = |m: &Material| m.function == Some(Function::Antioxidant);
    if !case.materials(protects).is_empty() || !case.listed("antioxidants").is_empty() {
        return None;
    }
    let of = case.materials(|m| iodine(m).is_some_and(|iv| iv > from.value));
    if of.total > limit.percent {
        let (limit, source) = (limit.percent, limit.source);
        return Some(O::Rancid { of, limit, iodine: from.value, source });
    }
    // Oils by name: esters, hydrocarbons and silicones have no iodine value to speak of.
    let oil = |m: &Material| m.inci.to_lowercase().split_whitespace().any(|w| w == "oil");
    let unknown = case.materials(|m| {
        iodine(m).is_none()
            && oil(m)
            && m.at_pour == Some(AtPour::Liquid)
            && m.function == Some(Function::Emollient)
    });
    let could = !unknown.is_empty() && of.total + unknown.total > limit.percent;
    could.then(|| O::RancidUnknown { names: unknown.names(), source: limit.source })
}

fn humectant(case: &Case<'_>) -> Option<OilProblem> {
    if !case.formula.product.form.is_bar() {
        return None;
    }
    let limit = case.bound("humectant-bar")?;
    let of = case
        .active(|m| m.function == Some(Function::Humectant) || case.lists("humectants", &m.inci));
    let above = of.total > limit.percent;
    above.then_some(O::Humectant { of, limit: limit.percent, source: limit.source })
}

/// A cool-down phase, a phase that is added below a temperature, or a word in the method.
fn bloom(case: &Case<'_>) -> Option<OilProblem> {
    if !case.formula.product.form.is_bar() {
        return None;
    }
    let of = case.listed("bloom-fats");
    let cools = case.formula.phases.iter().any(|p| {
        p.kind == PhaseKind::CoolDown || matches!(p.temperature, PhaseTemperature::Below(_))
    });
    if of.is_empty() || cools || case.mentions("cooling-words") {
        return None;
    }
    Some(O::Bloom { names: of.names(), source: case.cite("common practice") })
}

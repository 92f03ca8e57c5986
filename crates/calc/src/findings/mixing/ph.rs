//! A pH that something does not stand, and acid that meets carbonate.

use rust_decimal::Decimal;

use crate::number::format_plain;

use super::super::case::{Brought, Case, row};
use super::super::rule::{Fix, Quantity, Rule, RuleKind};
use super::super::words::{Say, words};
use super::super::{Severity, Where, Words};
use super::{Found, MixingProblem};

/// Why a substance does not stand a pH.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PhReason {
    /// Esters are split by water.
    Hydrolysis,
    /// The acid form falls out.
    AcidForm,
    /// Sulfates are split by acid, which makes more acid.
    Autocatalytic,
    /// Actives lose their effect or irritate.
    Active,
}

/// What a rule of pH found.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum PhProblem {
    /// The pH lies outside a window.
    Outside {
        group: &'static str,
        reason: PhReason,
        names: Vec<String>,
        ph: Decimal,
        measured: bool,
        low: Option<f64>,
        high: Option<f64>,
        source: String,
    },
    /// Alkaline glucosides, a preservative that wants acid, and nothing acid.
    Glucoside {
        of: Brought,
        limit: crate::quantity::Percent,
        preservatives: Vec<String>,
        source: String,
    },
    /// Carbonate and acid in one water.
    Fizz { carbonates: Vec<String>, acids: Vec<String>, source: String },
    /// The pH is not stated and would be needed.
    Unknown { wanted: Vec<(&'static str, Vec<String>)>, source: String },
}

use PhProblem as P;

impl Rule for PhProblem {
    fn id(&self) -> &'static str {
        match self {
            P::Outside { reason: PhReason::Hydrolysis, .. } => "ester-surfactant-ph",
            P::Outside { reason: PhReason::AcidForm, .. } => "ph-below-floor",
            P::Outside { reason: PhReason::Autocatalytic, .. } => "alkyl-sulfate-acid",
            P::Outside { reason: PhReason::Active, .. } => "active-ph",
            P::Glucoside { .. } => "glucoside-ph",
            P::Fizz { .. } => "carbonate-with-acid",
            P::Unknown { .. } => "ph-unknown-for",
        }
    }

    fn severity(&self) -> Severity {
        if matches!(self, P::Unknown { .. }) { Severity::Note } else { Severity::Warn }
    }

    fn kind(&self) -> RuleKind {
        if matches!(self, P::Unknown { .. }) { RuleKind::Unchecked } else { RuleKind::Practice }
    }

    fn subject(&self) -> String {
        match self {
            P::Outside { group, .. } => (*group).to_owned(),
            _ => String::new(),
        }
    }

    fn words(&self, say: &Say) -> Words {
        sentences(self, say)
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        match self {
            P::Outside { ph, low, high, .. } => {
                let ph = crate::quantity::Percent(*ph).to_f64();
                let end = match (low, high) {
                    (Some(low), _) if ph < *low => Some(*low),
                    (_, high) => *high,
                };
                (Some(Quantity::Number(ph, 2)), end.map(|e| Quantity::Number(e, 1)))
            }
            P::Glucoside { of, limit, .. } => {
                (Some(Quantity::Percent(of.total)), Some(Quantity::Percent(*limit)))
            }
            _ => (None, None),
        }
    }

    fn steps(&self, say: &Say) -> Vec<String> {
        match self {
            P::Glucoside { of, .. } => of.steps(say),
            P::Unknown { wanted, .. } => {
                wanted.iter().map(|(what, names)| format!("{what}: {}", row(names))).collect()
            }
            _ => Vec::new(),
        }
    }

    fn fixes(&self) -> Vec<Fix> {
        match self {
            P::Outside { .. } | P::Unknown { .. } => vec![Fix::Details],
            _ => Vec::new(),
        }
    }
}

fn sentences(problem: &PhProblem, say: &Say) -> Words {
    match problem {
        P::Outside { reason, names, ph, measured, low, high, source, .. } => {
            let ph = format_plain(ph.normalize(), say.0);
            let state = if *measured { "measured" } else { "the target" };
            let end = |x: f64| {
                (0..=2)
                    .map(|places| say.f(x, places))
                    .find(|t| t.replace(',', ".").parse().is_ok_and(|y: f64| (x - y).abs() < 1e-9))
                    .unwrap_or_else(|| say.f(x, 3))
            };
            let window = match (low, high) {
                (Some(low), Some(high)) => format!("pH {} to {}", end(*low), end(*high)),
                (Some(low), None) => format!("pH {} and above", end(*low)),
                (None, Some(high)) => format!("pH {} and below", end(*high)),
                (None, None) => "another pH".to_owned(),
            };
            let why = match reason {
                PhReason::Hydrolysis => {
                    "Water splits the ester there: foam is lost and the pH drifts"
                }
                PhReason::AcidForm => "The acid form falls out there: haze, grains and less foam",
                PhReason::Autocatalytic => {
                    "Acid and heat split the sulfate, and what splits off makes it more acid"
                }
                PhReason::Active => "It decomposes or irritates there",
            };
            words(
                format!("pH {ph}, {state}, is outside {window} for {}", row(names)),
                why,
                format!("Bring the product to {window}, or take another material"),
                source.clone(),
            )
        }
        P::Glucoside { of, limit, preservatives, source } => {
            let (now, most) = say.pair(of.total, *limit);
            words(
                format!(
                    "{now} {}, above {most}, and nothing acid for {}",
                    row(&of.names()),
                    row(preservatives)
                ),
                "Glucosides are sold alkaline and take the blend to pH 8 to 11, where acid preservatives do nothing",
                "Add an acid, and measure the pH of the finished product",
                source.clone(),
            )
        }
        P::Fizz { carbonates, acids, source } => words(
            format!("{} meets {} in water", row(carbonates), row(acids)),
            "They give off gas and use each other up: the product swells, and its pH is another",
            "Leave one of them out, or keep them apart and dry until use",
            source.clone(),
        ),
        P::Unknown { wanted, source } => {
            let mut names: Vec<String> = Vec::new();
            for name in wanted.iter().flat_map(|(_, n)| n) {
                if !names.contains(name) {
                    names.push(name.clone());
                }
            }
            let what: Vec<String> = wanted.iter().map(|(w, _)| (*w).to_owned()).collect();
            words(
                format!("pH not stated: not checked for {}", row(&names)),
                format!("It decides on {}", row(&what)),
                "Measure the finished product, or state the pH it is meant to have",
                source.clone(),
            )
        }
    }
}

/// Groups with a window of their own: list, reason, name of the group.
const GROUPS: [(&str, PhReason, &str); 10] = [
    ("isethionates", PhReason::Hydrolysis, "isethionate"),
    ("methyl-isethionates", PhReason::Hydrolysis, "methyl isethionate"),
    ("sulfosuccinates", PhReason::Hydrolysis, "sulfosuccinate"),
    ("sulfoacetates", PhReason::Hydrolysis, "sulfoacetate"),
    ("soaps", PhReason::AcidForm, "soap"),
    ("soap-emulsifiers", PhReason::AcidForm, "soap emulsifier"),
    ("sarcosinates", PhReason::AcidForm, "sarcosinate"),
    ("glutamates", PhReason::AcidForm, "glutamate"),
    ("glycinates", PhReason::AcidForm, "glycinate"),
    ("alkyl-sulfates", PhReason::Autocatalytic, "alkyl sulfate"),
];

fn wanted_for(reason: PhReason) -> &'static str {
    match reason {
        PhReason::Hydrolysis => "ester surfactants",
        PhReason::AcidForm => "surfactants that turn to acid",
        PhReason::Autocatalytic => "alkyl sulfates",
        PhReason::Active => "actives",
    }
}

pub(super) fn check(case: &Case<'_>, out: &mut Found) {
    let mut add = |p| out.push((Where::Formula, MixingProblem::Ph(p)));
    // What is dry has no pH, unless soap or alkali gives it one at the first use.
    let soapy = !case.listed("soaps").is_empty() || !case.listed("alkalis").is_empty();
    let matters = case.free() > case.rules.free_water_max || soapy;
    for (key, reason, group) in GROUPS {
        let names = case.listed(key).names();
        if names.is_empty() {
            continue;
        }
        let (low_key, high_key) = (format!("ph-{key}-low"), format!("ph-{key}-high"));
        let Some(low) = case.bound(&low_key) else { continue };
        // Floors have no upper end.
        let high = match reason {
            PhReason::Hydrolysis => case.bound(&high_key),
            _ => None,
        };
        let source = low.source;
        let window = (Some(low.value), high.map(|h| h.value));
        outside(case, (group, reason), names, window, source, matters)
            .into_iter()
            .for_each(&mut add);
    }
    let sensitive = |m: &crate::formula::Material| case.lists("ph-sensitive-actives", &m.inci);
    for by in case.materials(sensitive).by {
        let leaf = case.opened.leaves.iter().find(|l| l.material.id == by.material);
        let Some(figure) = leaf.and_then(|l| l.material.ph_window.as_ref()) else { continue };
        let window = (figure.value.low, figure.value.high);
        let source = case.cite(&figure.provenance());
        let group = ("active", PhReason::Active);
        let found = outside(case, group, vec![by.name], window, source, matters);
        found.into_iter().for_each(&mut add);
    }
    glucoside(case).into_iter().for_each(&mut add);
    fizz(case).into_iter().for_each(&mut add);
}

fn outside(
    case: &Case<'_>,
    (group, reason): (&'static str, PhReason),
    names: Vec<String>,
    (low, high): (Option<f64>, Option<f64>),
    source: String,
    matters: bool,
) -> Option<PhProblem> {
    let Some(reading) = &case.formula.ph else {
        if matters {
            case.ask_ph(wanted_for(reason), names);
        }
        return None;
    };
    let exact = |x: Option<f64>| x.and_then(|x| Decimal::try_from(x).ok());
    let below = exact(low).is_some_and(|low| reading.value < low);
    let above = exact(high).is_some_and(|high| reading.value > high);
    (below || above).then_some(P::Outside {
        group,
        reason,
        names,
        ph: reading.value,
        measured: reading.measured,
        low,
        high,
        source,
    })
}

/// As supplied: it is the alkali of the solution that counts. A measured pH speaks for itself.
fn glucoside(case: &Case<'_>) -> Option<PhProblem> {
    let limit = case.bound("glucoside-alkaline")?;
    if case.formula.ph.as_ref().is_some_and(|p| p.measured) {
        return None;
    }
    let of = case.listed("glucosides");
    let preservatives = case.listed("ph-dependent-preservatives").names();
    let acids = case.listed("acidifiers");
    let hit = of.total > limit.percent && !preservatives.is_empty() && acids.is_empty();
    hit.then_some(P::Glucoside { of, limit: limit.percent, preservatives, source: limit.source })
}

fn fizz(case: &Case<'_>) -> Option<PhProblem> {
    let (carbonates, acids) = (case.of("carbonates"), case.of("acidifiers"));
    let limit = case.bound("carbonate-water")?;
    if carbonates.is_empty() || acids.is_empty() {
        return None;
    }
    let meet = case.wet()
        || case.formula.phases.iter().any(|p| {
            carbonates.iter().any(|b| b.leaf.phase == p.id)
                && acids.iter().any(|b| b.leaf.phase == p.id)
                && case.phase(p.id).1 > limit.percent
        });
    meet.then(|| P::Fizz {
        carbonates: case.listed("carbonates").names(),
        acids: case.listed("acidifiers").names(),
        source: limit.source,
    })
}

/// One note for all rules that wanted the pH.
pub(super) fn check_unknown(
    wanted: Vec<(&'static str, Vec<String>)>,
    edition: &str,
    out: &mut Found,
) {
    if !wanted.is_empty() {
        let source = format!("common practice; {edition}");
        out.push((Where::Formula, MixingProblem::Ph(P::Unknown { wanted, source })));
    }
}

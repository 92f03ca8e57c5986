//! More than dissolves: crystals and grit in a product that holds water.

use rust_decimal::Decimal;

use crate::formula::PhaseTemperature;
use crate::quantity::Percent;

use super::super::case::{Bit, Bound, Brought, Case, brought, row};
use super::super::rule::{Fix, Quantity, Rule, RuleKind};
use super::super::words::{Say, words};
use super::super::{Severity, Where, Words};
use super::{Found, MixingProblem};

/// What a rule of solubility found. Figures in % of the product.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum SolubilityProblem {
    /// More of a substance than its cap.
    Above {
        what: &'static str,
        of: Brought,
        limit: Percent,
        cold: Option<Percent>,
        water: Percent,
        fix: &'static str,
        source: String,
    },
    /// More acid than stays dissolved at the pH, from acid and salt together.
    AcidForm { what: &'static str, of: Brought, ph: Option<f64>, limit: Percent, source: String },
    /// Isethionate in water that is not hot.
    ColdIsethionate { of: Brought, phase: String, limit: Percent, from_c: f64, source: String },
}

use SolubilityProblem as S;

impl Rule for SolubilityProblem {
    fn id(&self) -> &'static str {
        match self {
            S::Above { .. } => "solubility",
            S::AcidForm { .. } => "acid-form-solubility",
            S::ColdIsethionate { .. } => "isethionate-in-cold-water",
        }
    }

    fn severity(&self) -> Severity {
        Severity::Warn
    }

    fn kind(&self) -> RuleKind {
        RuleKind::Practice
    }

    fn subject(&self) -> String {
        match self {
            S::Above { what, .. } | S::AcidForm { what, .. } => (*what).to_owned(),
            S::ColdIsethionate { .. } => String::new(),
        }
    }

    fn words(&self, say: &Say) -> Words {
        sentences(self, say)
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        match self {
            S::Above { of, limit, .. }
            | S::AcidForm { of, limit, .. }
            | S::ColdIsethionate { of, limit, .. } => {
                (Some(Quantity::Percent(of.total)), Some(Quantity::Percent(*limit)))
            }
        }
    }

    fn steps(&self, say: &Say) -> Vec<String> {
        match self {
            S::Above { of, water, .. } => {
                let mut steps = of.steps(say);
                if let Some(per) = Percent::share(of.total.0, water.0) {
                    let (water, per) = (say.exact(*water), say.pct(per).replace(" %", " g"));
                    steps.push(format!("In {water} free water: {per} to 100 g of water"));
                }
                steps
            }
            S::AcidForm { of, .. } | S::ColdIsethionate { of, .. } => of.steps(say),
        }
    }

    fn fixes(&self) -> Vec<Fix> {
        match self {
            S::Above { of, limit, .. } => Vec::from_iter(of.set_to(*limit)),
            _ => Vec::new(),
        }
    }
}

fn sentences(problem: &SolubilityProblem, say: &Say) -> Words {
    match problem {
        S::Above { what, of, limit, cold, fix, source, .. } => {
            let (now, most) = say.pair(of.total, *limit);
            let cold = cold.map_or_else(String::new, |c| {
                format!("; in the cold, at 6 to 8 °C, from {} on", say.pct(c))
            });
            words(
                format!("{now} {what} is above {most}, about what stays dissolved"),
                format!("The rest comes out as crystals that feel like grit{cold}"),
                *fix,
                source.clone(),
            )
        }
        S::AcidForm { what, of, ph, limit, source } => {
            let (now, most) = say.pair(of.total, *limit);
            let at = ph.map_or_else(String::new, |p| format!(" at pH {}", say.f(p, 2)));
            words(
                format!("{now} {what} in its acid form{at} is above {most}, about what dissolves"),
                "The acid form comes out as crystals, and what has come out preserves nothing",
                "Use less, or a somewhat higher pH within the window of the preservative",
                source.clone(),
            )
        }
        S::ColdIsethionate { of, phase, limit, from_c, source } => {
            let (now, most) = say.pair(of.total, *limit);
            words(
                format!(
                    "{now} {} in the water of {phase}: cold water takes {most}",
                    row(&of.names())
                ),
                "It stays as grains and settles",
                format!(
                    "Dissolve it hot, from about {}, with amphoteric surfactant",
                    say.c(*from_c)
                ),
                source.clone(),
            )
        }
    }
}

/// Substances with a cap in % of the product: name, list, figure, what helps.
const CAPS: [(&str, &str, &str, &str); 3] = [
    (
        "allantoin",
        "allantoin",
        "soluble-allantoin",
        "Use less, or dissolve it warm and keep the product warm",
    ),
    (
        "salicylic acid",
        "salicylic-acid",
        "soluble-salicylic",
        "Dissolve it in a glycol or alcohol first, or use less",
    ),
    (
        "caffeine",
        "caffeine",
        "soluble-caffeine",
        "Use less, or carry it with sodium benzoate or citric acid",
    ),
];

/// Acids that fall out: name, list of the acid, list of the salt, keys of cap, factor and pKa.
const ACIDS: [(&str, &str, &str, [&str; 3]); 2] = [
    (
        "benzoic acid",
        "benzoic-acid",
        "benzoates",
        ["soluble-benzoic", "benzoate-as-acid", "pka-benzoic"],
    ),
    ("sorbic acid", "sorbic-acid", "sorbates", ["soluble-sorbic", "sorbate-as-acid", "pka-sorbic"]),
];

/// Nothing dissolves in a dry product, so it is not asked there.
pub(super) fn check(case: &Case<'_>, out: &mut Found) {
    if !case.wet() {
        return;
    }
    let mut add = |place, p| out.push((place, MixingProblem::Solubility(p)));
    for (what, key, figure, fix) in CAPS {
        let Some(limit) = case.bound(figure) else { continue };
        if key == "salicylic-acid" && !case.listed("salicylic-solvents").is_empty() {
            continue;
        }
        let cold = (key == "allantoin").then(|| case.bound("soluble-allantoin-cold")).flatten();
        if let Some(of) = above_or_supplied(case, key, &limit) {
            let cold = cold.map(|c| c.percent);
            let (water, source, limit) = (case.free(), limit.source, limit.percent);
            add(Where::Formula, S::Above { what, of, limit, cold, water, fix, source });
        }
    }
    for (what, acid, salt, keys) in ACIDS {
        acid_form(case, what, acid, salt, keys).into_iter().for_each(|p| add(Where::Formula, p));
    }
    dehydroacetic(case).into_iter().for_each(|p| add(Where::Formula, p));
    cold_isethionate(case).into_iter().for_each(|(place, p)| add(place, p));
}

/// As supplied where the purity is not stated: these are sold all but pure.
fn above_or_supplied(case: &Case<'_>, key: &str, limit: &Bound) -> Option<Brought> {
    let bits = case.of(key);
    let of = brought(bits.iter().map(|b| (b.leaf, b.pure.unwrap_or(b.most))), case.opened);
    (of.total > limit.percent).then_some(of)
}

/// Acid as such counts whole; with a pH, only what is undissociated of acid and salt counts.
fn acid_form(
    case: &Case<'_>,
    what: &'static str,
    acid: &str,
    salt: &str,
    [cap, factor, pka]: [&str; 3],
) -> Option<SolubilityProblem> {
    let (acids, salts) = (case.of(acid), case.of(salt));
    if acids.is_empty() && salts.is_empty() {
        return None;
    }
    let (cap, factor, pka) = (case.bound(cap)?, case.bound(factor)?, case.bound(pka)?);
    let ph = case.formula.ph.as_ref().map(|p| Percent(p.value).to_f64());
    let scaled = |b: &Bit<'_>, by: Decimal| {
        b.pure.map(|p| Percent(crate::quantity::derived(p.0.saturating_mul(by))))
    };
    let of = match ph {
        Some(ph) => {
            let part = 1.0 / (1.0 + 10f64.powf(ph - pka.value));
            let part = Decimal::try_from(part).ok()?;
            let from_salt = part.saturating_mul(factor.percent.0);
            let acids = acids.iter().filter_map(|b| Some((b.leaf, scaled(b, part)?)));
            let salts = salts.iter().filter_map(|b| Some((b.leaf, scaled(b, from_salt)?)));
            brought(acids.chain(salts), case.opened)
        }
        None => brought(acids.iter().filter_map(|b| Some((b.leaf, b.pure?))), case.opened),
    };
    (of.total > cap.percent).then_some(S::AcidForm {
        what,
        of,
        ph,
        limit: cap.percent,
        source: cap.source,
    })
}

/// Dehydroacetic acid as such in a water phase; in a blend its solvent carries it.
fn dehydroacetic(case: &Case<'_>) -> Option<SolubilityProblem> {
    let limit = case.bound("soluble-dehydroacetic")?;
    let alone = case
        .of("dehydroacetic-acid")
        .into_iter()
        .filter(|b| b.leaf.material.composition.is_empty() && case.watery(b.leaf.phase));
    let of = brought(alone.map(|b| (b.leaf, b.pure.unwrap_or(b.most))), case.opened);
    (of.total > limit.percent).then(|| S::Above {
        what: "dehydroacetic acid",
        of,
        limit: limit.percent,
        cold: None,
        water: case.free(),
        fix: "Take its sodium salt in water, or dissolve the acid in benzyl alcohol or the oils",
        source: limit.source,
    })
}

fn cold_isethionate(case: &Case<'_>) -> Vec<(Where, SolubilityProblem)> {
    let bits = case.of("isethionates");
    if bits.is_empty() {
        return Vec::new();
    }
    let (Some(limit), Some(hot)) =
        (case.bound("soluble-isethionate"), case.bound("isethionate-dissolves-from"))
    else {
        return Vec::new();
    };
    let cold = case.formula.phases.iter().filter(|p| {
        let heated = matches!(p.temperature, PhaseTemperature::HeatTo(c) if c >= hot.value);
        !heated && case.watery(p.id)
    });
    let found = cold.filter_map(|p| {
        let here = bits.iter().filter(|b| b.leaf.phase == p.id);
        let of = brought(here.map(|b| (b.leaf, b.pure.unwrap_or(b.most))), case.opened);
        (of.total > limit.percent).then(|| {
            let problem = S::ColdIsethionate {
                of,
                phase: p.name.clone(),
                limit: limit.percent,
                from_c: hot.value,
                source: limit.source.clone(),
            };
            (Where::Phase(p.id), problem)
        })
    });
    found.collect()
}

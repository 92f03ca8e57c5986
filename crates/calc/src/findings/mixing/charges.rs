//! Charges, salts, and what binds or reacts: pairs that undo each other.

use rust_decimal::Decimal;

use crate::formula::{Charge, Form, Function, Material};
use crate::quantity::Percent;

use super::super::case::{Bound, Bringer, Brought, Case, brought, row};
use super::super::rule::{Fix, Quantity, Rule, RuleKind};
use super::super::words::{Say, words};
use super::super::{Severity, Where, Words};
use super::{Found, MixingProblem};

/// What a rule of charges or binding found. Figures in % of the product.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum ClashProblem {
    /// A cationic emulsifier or conditioner with an anionic surfactant or soap.
    Charges { cationic: Brought, anionic: Vec<String>, fails: bool, bar: bool, source: String },
    /// A cationic polymer above what is designed to go with anionic surfactants.
    Polymer { of: Brought, anionic: Vec<String>, limit: Percent, source: String },
    /// Something cationic with an anionic gum or carbomer.
    Gum { cationic: Vec<String>, gums: Vec<String>, source: String },
    /// Carbomer with salt.
    CarbomerSalt { carbomers: Vec<String>, of: Brought, limit: Percent, source: String },
    /// More salt than a surfactant solution thickens with.
    SaltCurve { of: Brought, surfactants: Vec<String>, limit: Percent, source: String },
    /// Salts that act like hard water.
    HardSalts { salts: Vec<String>, anionic: Vec<String>, source: String },
    /// An amine with something that nitrosates it.
    Nitrosamine { amines: Vec<String>, agents: Vec<String>, source: String },
    /// Ethoxylates that bind a preservative.
    Binding { of: Brought, preservatives: Vec<String>, limit: Percent, least: bool, source: String },
}

use ClashProblem as C;

impl Rule for ClashProblem {
    fn id(&self) -> &'static str {
        match self {
            C::Charges { .. } => "cationic-with-anionic",
            C::Polymer { .. } => "cationic-polymer",
            C::Gum { .. } => "cationic-with-gum",
            C::CarbomerSalt { .. } => "carbomer-salt",
            C::SaltCurve { .. } => "salt-curve",
            C::HardSalts { .. } => "hard-salts",
            C::Nitrosamine { .. } => "nitrosamine",
            C::Binding { .. } => "preservative-binding",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            C::Charges { fails: true, .. } | C::Nitrosamine { .. } => Severity::Stop,
            C::HardSalts { .. } => Severity::Note,
            _ => Severity::Warn,
        }
    }

    fn kind(&self) -> RuleKind {
        match self {
            C::Nitrosamine { .. } => RuleKind::Law,
            _ => RuleKind::Practice,
        }
    }

    fn words(&self, say: &Say) -> Words {
        sentences(self, say)
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        match self {
            C::Polymer { of, limit, .. }
            | C::CarbomerSalt { of, limit, .. }
            | C::SaltCurve { of, limit, .. }
            | C::Binding { of, limit, .. } => {
                (Some(Quantity::Percent(of.total)), Some(Quantity::Percent(*limit)))
            }
            _ => (None, None),
        }
    }

    fn steps(&self, say: &Say) -> Vec<String> {
        match self {
            C::Charges { cationic: of, .. }
            | C::Polymer { of, .. }
            | C::CarbomerSalt { of, .. }
            | C::SaltCurve { of, .. }
            | C::Binding { of, .. } => of.steps(say),
            _ => Vec::new(),
        }
    }

    fn fixes(&self) -> Vec<Fix> {
        match self {
            C::Charges { cationic: of, .. } => {
                let lines = of.by.iter().flat_map(|b| &b.lines).filter(|(_, _, own)| *own);
                lines.map(|(line, ..)| Fix::Swap { line: *line }).collect()
            }
            C::Polymer { of, limit, .. }
            | C::CarbomerSalt { of, limit, .. }
            | C::SaltCurve { of, limit, .. } => Vec::from_iter(of.set_to(*limit)),
            _ => Vec::new(),
        }
    }
}

fn sentences(problem: &ClashProblem, say: &Say) -> Words {
    match problem {
        C::Charges { cationic, anionic, fails, bar, source } => {
            let title = format!("{} with {}", row(&cationic.names()), row(anionic));
            let why = if *fails {
                "Opposite charges form a complex that does not dissolve: the emulsifier is lost and the emulsion separates"
            } else if *bar {
                "Opposite charges form a complex: in a bar it is left on hair on purpose, at a cost in foam and cleansing"
            } else {
                "Opposite charges form a complex that does not dissolve, and both lose their effect"
            };
            let fix = if *bar {
                "Accept it if you want it so and a trial foams; else take a conditioner without charge"
            } else {
                "Take an emulsifier or conditioner without charge, or an amphoteric or nonionic surfactant"
            };
            words(title, why, fix, source.clone())
        }
        C::Polymer { of, anionic, limit, source } => {
            let (now, most) = say.pair(of.total, *limit);
            words(
                format!("{now} {} with {}: the guide is {most}", row(&of.names()), row(anionic)),
                "A little is a designed pair that deposits on rinsing; more clouds and comes out",
                format!("Use at most {most} as active matter"),
                source.clone(),
            )
        }
        C::Gum { cationic, gums, source } => words(
            format!("{} with {}", row(cationic), row(gums)),
            "Opposite charges form strings and lumps, and the thickening is lost",
            "Thicken with a gum without charge, such as hydroxyethylcellulose or sclerotium gum",
            source.clone(),
        ),
        C::CarbomerSalt { carbomers, of, limit, source } => {
            let (now, most) = say.pair(of.total, *limit);
            words(
                format!("{now} salts with {}: the guide is {most}", row(carbomers)),
                "Salt shields the charges that hold the gel open, and it runs thin",
                format!("Less of {}, or a gum that stands salt", row(&of.names())),
                source.clone(),
            )
        }
        C::SaltCurve { of, surfactants, limit, source } => {
            let (now, most) = say.pair(of.total, *limit);
            words(
                format!("{now} salts with {}: the guide is {most}", row(surfactants)),
                "Salt thickens a surfactant solution up to a peak; past it the product runs thin and clouds",
                format!("Less of {}, or try a salt curve in small steps", row(&of.names())),
                source.clone(),
            )
        }
        C::HardSalts { salts, anionic, source } => words(
            format!("{} with {}, and no chelator", row(salts), row(anionic)),
            "Calcium, magnesium, aluminium and zinc act like hard water: scum, and less foam",
            "Add a chelator, or leave the salt out",
            source.clone(),
        ),
        C::Nitrosamine { amines, agents, source } => words(
            format!("{} with {}", row(amines), row(agents)),
            "An amine and a nitrosating agent form nitrosamines, which cause cancer",
            "Take another preservative, or neutralise with a hydroxide or arginine",
            source.clone(),
        ),
        C::Binding { of, preservatives, limit, least, source } => {
            let (now, most) = say.pair(of.total, *limit);
            let dose = if *least { " at its least dose" } else { "" };
            words(
                format!("{now} ethoxylates, above {most}, with {}{dose}", row(preservatives)),
                "Their micelles take up the preservative, and less of it is left in the water",
                "More of it within its limit, a booster or less ethoxylate; a challenge test decides",
                source.clone(),
            )
        }
    }
}

pub(super) fn check(case: &Case<'_>, out: &mut Found) {
    let found = [
        charges(case),
        polymer(case),
        gum(case),
        carbomer_salt(case),
        salt_curve(case),
        hard_salts(case),
        nitrosamine(case),
        binding(case),
    ];
    let found = found.into_iter().flatten();
    out.extend(found.map(|p| (Where::Formula, MixingProblem::Clash(p))));
}

fn cationic_surfactant(m: &Material) -> bool {
    m.charge == Charge::Cationic && m.surfactant
}

fn charges(case: &Case<'_>) -> Option<ClashProblem> {
    let cationic = case.materials(cationic_surfactant);
    let anionic = case.anionic();
    if cationic.is_empty() || anionic.is_empty() {
        return None;
    }
    let emulsifier =
        |m: &Material| cationic_surfactant(m) && m.function == Some(Function::Emulsifier);
    let form = case.formula.product.form;
    let fails = form == Form::Emulsion && !case.materials(emulsifier).is_empty();
    let source = case.cite("common practice");
    Some(C::Charges { cationic, anionic, fails, bar: form.is_bar(), source })
}

/// Cationic polymers above the designed level, with what counts of each.
fn polymers(case: &Case<'_>) -> Option<(Option<Brought>, Bound)> {
    let limit = case.bound("cationic-polymer-most")?;
    Some((case.above("cationic-polymers", limit.percent), limit))
}

fn polymer(case: &Case<'_>) -> Option<ClashProblem> {
    let anionic = case.anionic();
    if anionic.is_empty() {
        return None;
    }
    let (of, limit) = polymers(case)?;
    Some(C::Polymer { of: of?, anionic, limit: limit.percent, source: limit.source })
}

/// Cationic surfactants lose out with any anionic thickener; cationic polymers with carbomers
/// at any level, with gums above their designed level.
fn gum(case: &Case<'_>) -> Option<ClashProblem> {
    let carbomers = case.listed("carbomers").names();
    let mut gums = case.listed("anionic-gums").names();
    if carbomers.is_empty() && gums.is_empty() {
        return None;
    }
    let mut cationic = case.materials(cationic_surfactant).names();
    let polymers = if carbomers.is_empty() {
        polymers(case)?.0.map(|of| of.names()).unwrap_or_default()
    } else {
        case.listed("cationic-polymers").names()
    };
    if cationic.is_empty() && polymers.is_empty() {
        return None;
    }
    if cationic.is_empty() && !carbomers.is_empty() {
        gums.clear();
    }
    cationic.extend(polymers);
    gums.splice(0..0, carbomers);
    Some(C::Gum { cationic, gums, source: case.cite("common practice") })
}

fn salts(case: &Case<'_>) -> Brought {
    case.active(|m| m.electrolyte || case.lists("electrolytes", &m.inci))
}

fn carbomer_salt(case: &Case<'_>) -> Option<ClashProblem> {
    let carbomers = case.listed("carbomers");
    if carbomers.is_empty() || !case.wet() {
        return None;
    }
    let limit = case.bound("carbomer-electrolyte")?;
    let of = salts(case);
    (of.total > limit.percent).then(|| C::CarbomerSalt {
        carbomers: carbomers.names(),
        of,
        limit: limit.percent,
        source: limit.source,
    })
}

/// Liquid cleansers only: a bar is not thickened by salt, and a salt scrub is salt by design.
fn salt_curve(case: &Case<'_>) -> Option<ClashProblem> {
    let form = case.formula.product.form;
    let liquid = !form.is_bar() && !matches!(form, Form::JarScrub | Form::Bath | Form::Powder);
    let surfactants =
        case.materials(|m| m.charge == Charge::Anionic && m.function == Some(Function::Surfactant));
    if !liquid || !case.wet() || surfactants.is_empty() {
        return None;
    }
    let limit = case.bound("salt-curve")?;
    let of = salts(case);
    (of.total > limit.percent).then(|| C::SaltCurve {
        of,
        surfactants: surfactants.names(),
        limit: limit.percent,
        source: limit.source,
    })
}

fn hard_salts(case: &Case<'_>) -> Option<ClashProblem> {
    let salts = case.listed("multivalent-salts");
    let anionic = case.anionic();
    let chelators = case.materials(|m| m.function == Some(Function::Chelator));
    if salts.is_empty() || anionic.is_empty() || !chelators.is_empty() {
        return None;
    }
    let source = case.cite("common practice");
    Some(C::HardSalts { salts: salts.names(), anionic, source })
}

fn nitrosamine(case: &Case<'_>) -> Option<ClashProblem> {
    let amines = case.listed("nitrosatable-amines");
    let listed = case.of("nitrosating-agents");
    let known = case.bits.iter().filter(|b| {
        case.rules.preservatives.of(b.inci).is_some_and(|p| p.nitrosating)
            && !case.lists("nitrosating-agents", b.inci)
    });
    let agents = listed.iter().chain(known).map(|b| (b.leaf, b.most));
    let agents = brought(agents, case.opened);
    if amines.is_empty() || agents.is_empty() {
        return None;
    }
    let source = case.cite(
        "Regulation (EC) No 1223/2009, Annex III, alkanolamines and their amides: not with nitrosating systems (from memory)",
    );
    Some(C::Nitrosamine { amines: amines.names(), agents: agents.names(), source })
}

/// Above the lower figure a preservative at its least dose suffers; above the upper one any.
fn binding(case: &Case<'_>) -> Option<ClashProblem> {
    let (low, high) = (case.bound("ethoxylate-binds")?, case.bound("ethoxylate-binds-any")?);
    if !case.wet() {
        return None;
    }
    let bound = case.bits.iter().filter(|b| {
        case.lists("bound-by-ethoxylates", b.inci)
            || case.rules.preservatives.of(b.inci).is_some_and(|p| p.bound_by_ethoxylates)
    });
    let bound: Vec<_> = bound.collect();
    if bound.is_empty() {
        return None;
    }
    let of = case.above("ethoxylates", low.percent)?;
    let all = brought(bound.iter().map(|b| (b.leaf, b.most)), case.opened);
    let any = of.total > high.percent;
    let names: Vec<String> = if any {
        all.names()
    } else {
        let weak = all.by.iter().filter(|by| at_least_dose(case, by));
        weak.map(|by| by.name.clone()).collect()
    };
    let limit = if any { high } else { low };
    (!names.is_empty()).then_some(C::Binding {
        of,
        preservatives: names,
        limit: limit.percent,
        least: !any,
        source: limit.source,
    })
}

/// A dose no higher than the least usual one of the material, or one without any such figure.
fn at_least_dose(case: &Case<'_>, by: &Bringer) -> bool {
    let leaf = case.opened.leaves.iter().find(|l| l.material.id == by.material);
    let lows = leaf.iter().flat_map(|l| &l.material.use_levels).filter_map(|u| u.value.low);
    lows.map(|p| p.0).max().is_none_or(|low: Decimal| by.supplied.0 <= low)
}

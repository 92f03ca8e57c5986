//! Powders, gums and clays: how they are wetted, what they bind, what they carry.

use crate::formula::{AtPour, Material};
use crate::quantity::Percent;

use super::super::case::{Bit, Brought, Case, brought, row};
use super::super::rule::{Quantity, Rule, RuleKind};
use super::super::words::{Say, words};
use super::super::{Severity, Where, Words};
use super::{Found, MixingProblem};

/// What a rule of powders found. Figures in % of the product and °C.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum PowderProblem {
    /// A gum goes into water without being wetted first.
    GumDry { gums: Vec<String>, phase: String, parts: f64, source: String },
    /// Zinc oxide with free fatty acids.
    ZincSoap { zinc: Vec<String>, acids: Vec<String>, source: String },
    /// Zinc oxide or clay with dehydroacetic acid or EDTA, in water.
    Binds { powders: Vec<String>, bound: Vec<String>, source: String },
    /// Iron with caprylhydroxamic acid.
    IronColour { iron: Vec<String>, acid: Vec<String>, source: String },
    /// Starch or oat heated in water.
    Gelatinises { names: Vec<String>, phase: String, phase_c: f64, limit_c: f64, source: String },
    /// Much starch, seed or shell in a wet product.
    WetLoad { of: Brought, limit: Percent, source: String },
    /// Seed or shell without a word on microbes.
    Microbes { names: Vec<String>, wet: bool, source: String },
    /// Much powder with little to wet it.
    TooDry { powder: Percent, most: Percent, binder: Percent, least: Percent, source: String },
    /// The same, but for materials whose state is not stated.
    TooDryUnknown { names: Vec<String>, source: String },
}

use PowderProblem as P;

impl Rule for PowderProblem {
    fn id(&self) -> &'static str {
        match self {
            P::GumDry { .. } => "gum-not-wetted",
            P::ZincSoap { .. } => "zinc-with-fatty-acid",
            P::Binds { .. } => "powder-binds",
            P::IronColour { .. } => "iron-with-hydroxamic",
            P::Gelatinises { .. } => "starch-in-hot-water",
            P::WetLoad { .. } => "wet-powder-load",
            P::Microbes { .. } => "shell-microbes",
            P::TooDry { .. } => "powder-too-dry",
            P::TooDryUnknown { .. } => "powder-too-dry-unchecked",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            P::Microbes { wet: false, .. } | P::TooDryUnknown { .. } => Severity::Note,
            _ => Severity::Warn,
        }
    }

    fn kind(&self) -> RuleKind {
        match self {
            P::Microbes { .. } | P::TooDryUnknown { .. } => RuleKind::Unchecked,
            _ => RuleKind::Practice,
        }
    }

    fn words(&self, say: &Say) -> Words {
        sentences(self, say)
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        match self {
            P::Gelatinises { phase_c, limit_c, .. } => {
                (Some(Quantity::Celsius(*phase_c)), Some(Quantity::Celsius(*limit_c)))
            }
            P::WetLoad { of, limit, .. } => {
                (Some(Quantity::Percent(of.total)), Some(Quantity::Percent(*limit)))
            }
            P::TooDry { binder, least, .. } => {
                (Some(Quantity::Percent(*binder)), Some(Quantity::Percent(*least)))
            }
            _ => (None, None),
        }
    }

    fn steps(&self, say: &Say) -> Vec<String> {
        match self {
            P::WetLoad { of, .. } => of.steps(say),
            P::TooDry { powder, most, binder, least, .. } => vec![
                format!("Powder {}, from {} on", say.exact(*powder), say.exact(*most)),
                format!("Fat and liquid {}, at least {}", say.exact(*binder), say.exact(*least)),
            ],
            _ => Vec::new(),
        }
    }
}

fn sentences(problem: &PowderProblem, say: &Say) -> Words {
    match problem {
        P::GumDry { gums, phase, parts, source } => words(
            format!("{} goes into the water of {phase} without being wetted first", row(gums)),
            "Dry gum swells on the outside and stays as lumps that do not dissolve",
            format!(
                "Stir it into {} parts of glycerine or a glycol first, or write into the method how it is dispersed",
                say.f(*parts, 0)
            ),
            source.clone(),
        ),
        P::ZincSoap { zinc, acids, source } => words(
            format!("{} with {}", row(zinc), row(acids)),
            "In the hot melt they form zinc soap: the paste thickens, and acid and oxide are used up",
            "Add the oxide wetted with oil at cool-down, or structure with alcohols and waxes",
            source.clone(),
        ),
        P::Binds { powders, bound, source } => words(
            format!("{} with {}", row(powders), row(bound)),
            "They bind each other in water: less of it works, and the colour can turn",
            "Take another preservative or chelator, or test the finished product for it",
            source.clone(),
        ),
        P::IronColour { iron, acid, source } => words(
            format!("{} with {}", row(iron), row(acid)),
            "Iron and hydroxamic acid make a strong red to brown, and the preservative is used up",
            "Take a preservative without hydroxamic acid, or a powder without iron",
            source.clone(),
        ),
        P::Gelatinises { names, phase, phase_c, limit_c, source } => {
            let (now, most) = say.apart(*phase_c, *limit_c);
            words(
                format!("{} in {phase} at {now} °C, above {most} °C, with water", row(names)),
                "Starch swells there: the paste thickens, holds water and goes lumpy",
                format!("Add it below {}", say.c(*limit_c)),
                source.clone(),
            )
        }
        P::WetLoad { of, limit, source } => {
            let (now, most) = say.pair(of.total, *limit);
            words(
                format!("{now} plant powder in a wet product is above {most}"),
                "It swells, brings microbes and feeds them",
                format!("Less of {}, or a mineral or wax grain", row(&of.names())),
                source.clone(),
            )
        }
        P::Microbes { names, wet, source } => words(
            format!("Microbes are not known for {}", row(names)),
            if *wet {
                "Shells and seeds carry spores, and in a wet product these grow"
            } else {
                "Shells and seeds carry spores, which wait until the product is wet"
            },
            "Ask the supplier for a total count, and write into the notes of the material what its microbial certificate says",
            source.clone(),
        ),
        P::TooDry { powder, most, binder, least, source } => {
            let (powder, most) = say.pair(*powder, *most);
            let (binder, least) = say.pair(*binder, *least);
            words(
                format!(
                    "{powder} powder, above {most}, with {binder} fat and liquid, below {least}"
                ),
                "It does not wet out, and the bar crumbles",
                format!("At least {least} fat or oil, or less powder"),
                source.clone(),
            )
        }
        P::TooDryUnknown { names, source } => words(
            format!("Powder to fat was not checked: state at pouring not known for {}", row(names)),
            "A bar of much powder and little fat crumbles",
            "State for the material what it is at pouring: powder, liquid, melts or dissolves",
            source.clone(),
        ),
    }
}

pub(super) fn check(case: &Case<'_>, out: &mut Found) {
    let mut add = |place, p| out.push((place, MixingProblem::Powder(p)));
    gum_dry(case).into_iter().for_each(|(place, p)| add(place, p));
    gelatinises(case).into_iter().for_each(|(place, p)| add(place, p));
    let whole =
        [zinc_soap(case), binds(case), iron(case), wet_load(case), microbes(case), dry(case)];
    whole.into_iter().flatten().for_each(|p| add(Where::Formula, p));
}

/// A phase of its own decides: what is wetted elsewhere is no help.
fn gum_dry(case: &Case<'_>) -> Vec<(Where, PowderProblem)> {
    let (gums, wetters) = (case.of("gums-to-wet"), case.of("wetting-liquids"));
    let Some(parts) = case.bound("gum-wetting-parts") else { return Vec::new() };
    if gums.is_empty() || case.mentions("gum-wetting-words") {
        return Vec::new();
    }
    let found = case.formula.phases.iter().filter_map(|p| {
        let of = |bits: &[Bit<'_>]| {
            let here = bits.iter().filter(|b| b.leaf.phase == p.id).map(|b| (b.leaf, b.most));
            brought(here, case.opened)
        };
        let (gums, wet) = (of(&gums), of(&wetters));
        let needed = gums.total.0.saturating_mul(parts.percent.0);
        let dry = !gums.is_empty() && wet.total.0 < needed && case.watery(p.id);
        dry.then(|| {
            let problem = P::GumDry {
                gums: gums.names(),
                phase: p.name.clone(),
                parts: parts.value,
                source: parts.source.clone(),
            };
            (Where::Phase(p.id), problem)
        })
    });
    found.collect()
}

/// Only where no heat limit of the material itself speaks up.
fn gelatinises(case: &Case<'_>) -> Vec<(Where, PowderProblem)> {
    let bits = case.of("gelatinising");
    if bits.is_empty() || !case.wet() {
        return Vec::new();
    }
    let Some(limit) = case.bound("starch-gelatinises") else { return Vec::new() };
    let found = case.formula.phases.iter().filter_map(|p| {
        let phase_c = p.temperature.warmest_c().filter(|c| *c > limit.value)?;
        let said = |m: &Material| m.heat_limit_c.as_ref().is_some_and(|f| phase_c > f.value);
        let here = bits.iter().filter(|b| b.leaf.phase == p.id && !said(b.leaf.material));
        let of = brought(here.map(|b| (b.leaf, b.most)), case.opened);
        (!of.is_empty()).then(|| {
            let problem = P::Gelatinises {
                names: of.names(),
                phase: p.name.clone(),
                phase_c,
                limit_c: limit.value,
                source: limit.source.clone(),
            };
            (Where::Phase(p.id), problem)
        })
    });
    found.collect()
}

/// Happens in a hot melt without water too.
fn zinc_soap(case: &Case<'_>) -> Option<PowderProblem> {
    let (zinc, acids) = (case.listed("zinc-powders"), case.listed("fatty-acids"));
    if zinc.is_empty() || acids.is_empty() {
        return None;
    }
    let source = case.cite("common practice");
    Some(P::ZincSoap { zinc: zinc.names(), acids: acids.names(), source })
}

fn binds(case: &Case<'_>) -> Option<PowderProblem> {
    let bound = case.listed("bound-by-powders");
    if bound.is_empty() || !case.wet() {
        return None;
    }
    let powders = case.of("zinc-powders").into_iter().chain(case.of("clays"));
    let powders = brought(powders.map(|b| (b.leaf, b.most)), case.opened);
    let source = case.cite("trade preservative pages (read) and common practice");
    (!powders.is_empty()).then(|| P::Binds {
        powders: powders.names(),
        bound: bound.names(),
        source,
    })
}

fn iron(case: &Case<'_>) -> Option<PowderProblem> {
    let (iron, acid) = (case.listed("iron-powders"), case.listed("hydroxamic-acids"));
    if iron.is_empty() || acid.is_empty() {
        return None;
    }
    let source = case.cite("trade preservative pages (read) and common practice");
    Some(P::IronColour { iron: iron.names(), acid: acid.names(), source })
}

fn wet_load(case: &Case<'_>) -> Option<PowderProblem> {
    let limit = case.bound("wet-plant-powder")?;
    let of = case.listed("plant-powders");
    let above = case.wet() && of.total > limit.percent;
    above.then_some(P::WetLoad { of, limit: limit.percent, source: limit.source })
}

/// A word on microbes in the notes of the material or on its line settles it.
fn microbes(case: &Case<'_>) -> Option<PowderProblem> {
    let told = |m: &Material| m.notes.to_lowercase().contains("microb");
    let noted = |line| {
        let line = case.formula.line(line);
        line.is_some_and(|l| l.note.to_lowercase().contains("microb"))
    };
    let bits = case.of("shell-powders");
    let open = bits.iter().filter(|b| !told(b.leaf.material) && !noted(b.leaf.line));
    let of = brought(open.map(|b| (b.leaf, b.most)), case.opened);
    let source = case.cite("common practice");
    (!of.is_empty()).then(|| P::Microbes { names: of.names(), wet: case.wet(), source })
}

fn dry(case: &Case<'_>) -> Option<PowderProblem> {
    if !case.formula.product.form.is_bar() {
        return None;
    }
    let (most, least) = (case.bound("bar-powder-most")?, case.bound("bar-binder-least")?);
    let powder = case.materials(|m| m.at_pour == Some(AtPour::Powder)).total;
    let binds = |m: &Material| matches!(m.at_pour, Some(AtPour::Melts | AtPour::Liquid));
    let binder = case.materials(binds).total;
    let (most_percent, least_percent) = (most.percent, least.percent);
    if powder > most_percent && binder < least_percent {
        let unknown = case.materials(|m| m.at_pour.is_none());
        if binder + unknown.total >= least_percent {
            return Some(P::TooDryUnknown { names: unknown.names(), source: least.source });
        }
        return Some(P::TooDry {
            powder,
            most: most_percent,
            binder,
            least: least_percent,
            source: least.source,
        });
    }
    let unknown = case.materials(|m| m.at_pour.is_none());
    let could = binder < least_percent && powder + unknown.total > most_percent;
    could.then(|| P::TooDryUnknown { names: unknown.names(), source: least.source })
}

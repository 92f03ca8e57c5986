//! The sentences of findings: what, why, and what would fix it. The one place for words.

use super::{Finding, Problem as P};
use crate::batch::PlanProblem;
use crate::formula::{Function, UseScope};
use crate::number::{NumberStyle, format_f64, format_fixed, format_plain};
use crate::quantity::{Grams, Percent};
use rust_decimal::RoundingStrategy;

/// A finding in words. Sentence case, no full stop at the end of a single sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Words {
    /// What is wrong, in one line with its figure.
    pub title: String,
    /// Why it matters.
    pub why: String,
    /// What would fix it.
    pub fix: String,
    /// Source and edition of the rule.
    pub source: String,
}

/// Sources that several rules share.
const ARITHMETIC: &str = "arithmetic of a formula in % w/w";
const PRACTICE: &str = "common practice";
const WEIGHING: &str =
    "minimum-weight form of USP <41> (official 1 August 2019) at a workshop tolerance";
const GUIDE: &str = "Quern guides 1, guidance and not law: no size limit in law was found";

pub(crate) fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        all if all.iter().any(|n| n.contains(',')) => all.join("; "),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

fn functions(any_of: &[Function]) -> String {
    any_of.iter().map(|f| f.name()).collect::<Vec<_>>().join(" or ")
}

fn scope(scope: UseScope) -> &'static str {
    match scope {
        UseScope::Any => "usual range",
        UseScope::Emulsion => "usual range in lotions and creams",
        UseScope::RinseOff => "usual range in rinse-off products",
        UseScope::LeaveOn => "usual range in leave-on products",
        UseScope::Preservative => "usual range as a preservative",
    }
}

/// Formats figures in the user's style.
pub(crate) struct Say(pub(crate) NumberStyle);

impl Say {
    pub(crate) fn pct(&self, p: Percent) -> String {
        // Two decimals unless that hides what the finding is about.
        let short = format_fixed(p.0, 2, self.0);
        if p.0.abs() < rust_decimal::Decimal::new(1, 1) && !p.is_zero() {
            format!(
                "{} %",
                format_plain(
                    p.0.round_sf_with_strategy(3, RoundingStrategy::MidpointAwayFromZero)
                        .unwrap_or(p.0),
                    self.0
                )
            )
        } else {
            format!("{short} %")
        }
    }

    /// Two percentages with as many decimals as it takes to tell them apart.
    pub(crate) fn pair(&self, a: Percent, b: Percent) -> (String, String) {
        let (x, y) = (self.pct(a), self.pct(b));
        if x != y || a == b { (x, y) } else { (self.exact(a), self.exact(b)) }
    }

    /// Two physical figures with as many decimals as it takes to tell them apart.
    pub(crate) fn apart(&self, a: f64, b: f64) -> (String, String) {
        (0..=3)
            .map(|places| (self.f(a, places), self.f(b, places)))
            .find(|(x, y)| x != y)
            .unwrap_or_else(|| (self.f(a, 4), self.f(b, 4)))
    }

    pub(crate) fn exact(&self, p: Percent) -> String {
        format!("{} %", format_plain(crate::quantity::derived(p.0), self.0))
    }

    pub(crate) fn g(&self, g: Grams) -> String {
        let places = if g.0.abs() < rust_decimal::Decimal::TEN { 2 } else { 1 };
        let rounded = g.0.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero);
        format!("{} g", format_plain(rounded.normalize(), self.0))
    }

    pub(crate) fn day(&self, date: crate::quantity::Date) -> String {
        self.0.dates.words(date)
    }

    pub(crate) fn f(&self, value: f64, places: u32) -> String {
        format_f64(value, places, self.0)
    }

    pub(crate) fn c(&self, value: f64) -> String {
        let places = u32::from((value - value.round()).abs() > 0.05);
        format!("{} °C", self.f(value, places))
    }
}

pub(crate) fn words(
    title: impl Into<String>,
    why: impl Into<String>,
    fix: impl Into<String>,
    source: impl Into<String>,
) -> Words {
    Words { title: title.into(), why: why.into(), fix: fix.into(), source: source.into() }
}

impl Finding {
    /// The finding in words, numbers in the user's style.
    #[must_use]
    pub fn words(&self, style: NumberStyle) -> Words {
        let say = Say(style);
        if let Some(rule) = self.problem.rule() {
            return rule.words(&say);
        }
        amounts(&self.problem, &say)
            .or_else(|| opening(&self.problem, &say))
            .or_else(|| levels(&self.problem, &say))
            .or_else(|| heat(&self.problem, &say))
            .or_else(|| bench(&self.problem, &say))
            .or_else(|| grains(&self.problem, &say))
            .unwrap_or_else(|| words(self.rule(), "", "", ""))
    }
}

fn amounts(problem: &P, say: &Say) -> Option<Words> {
    Some(match problem {
        P::NoLines => words(
            "Nothing in the formula yet",
            "There is nothing to calculate",
            "Add a material, or start from a skeleton",
            ARITHMETIC,
        ),
        P::TotalOff { total } => words(
            format!("The total is {}, not 100", say.exact(*total)),
            "Every weight on the sheet would be off by the same share",
            "Let one line fill to 100 (q.s.), change an amount, or bring the lines to 100 with a preview",
            "total within 100 ± 0.005 %, inclusive; arithmetic",
        ),
        P::AmountBlank { name } => words(
            format!("{name} has no amount"),
            "A blank is unknown, not zero",
            "Enter an amount, or remove the line",
            ARITHMETIC,
        ),
        P::AmountZero { name } => words(
            format!("{name} stands at 0 %"),
            "A line of nothing would still be printed and listed",
            "Enter an amount, or remove the line",
            ARITHMETIC,
        ),
        P::AmountNegative { name, percent } => words(
            format!("{name} is negative, {}", say.exact(*percent)),
            "Nothing can be weighed below zero",
            "Enter an amount above 0",
            ARITHMETIC,
        ),
        P::FillNegative { name, percent } => words(
            format!("{name} fills to 100 and would be {}", say.exact(*percent)),
            "The other lines already hold more than 100 %",
            format!("Take {} from the other lines", say.exact(-*percent)),
            ARITHMETIC,
        ),
        P::FillNothing { name } => words(
            format!("{name} fills to 100 and nothing is left for it"),
            "The other lines hold exactly 100 %",
            "Take something from another line, or remove this one",
            ARITHMETIC,
        ),
        _ => return None,
    })
}

fn opening(problem: &P, say: &Say) -> Option<Words> {
    Some(match problem {
        P::FunctionMissing { form, any_of } => words(
            format!("No {} in this {}", functions(any_of), form.name()),
            format!("A {} usually needs one to work", form.name()),
            format!(
                "Add a material with the function {}, or change the kind of product",
                functions(any_of)
            ),
            PRACTICE,
        ),
        P::NoFunction { name } => words(
            format!("What {name} does is not stated"),
            "Its function is not known, so rules and charts by function leave it out",
            "Give the material a function",
            "materials list of this project",
        ),
        P::MaterialMissing { id } => words(
            format!("The material \"{id}\" is not in this project"),
            "Nothing is known about it, so every figure leaves it out",
            "Pick another material for the line",
            "materials list of this project",
        ),
        P::FormulaMissing { id } => words(
            format!("The formula \"{id}\" is not in this project"),
            "Nothing is known about it, so every figure leaves it out",
            "Pick another formula or material for the line",
            "formulas of this project",
        ),
        P::Cycle { path } => words(
            format!("{} contains itself", path.last().map_or("", String::as_str)),
            format!("Opened in turn: {}", path.join(", then ")),
            "Remove the line that leads back",
            ARITHMETIC,
        ),
        P::TooDeep { name } => words(
            format!("{name} opens to too many lines"),
            "Formulas are nested more than 16 deep, or open to more than 20 000 materials",
            "Put some of the inner materials directly on lines",
            "limit of this program",
        ),
        P::PremixOff { name, total } => words(
            format!("The premix {name} totals {}, not 100", say.exact(*total)),
            "What it brings is counted as it stands",
            "Open the premix and bring its total to 100",
            ARITHMETIC,
        ),
        P::BlendUnopened { name } => words(
            format!("{name} is counted as one substance"),
            "The shares of its components are not known",
            "Enter the composition from the supplier's certificate",
            "materials list of this project",
        ),
        P::WaterWithoutPreservative { free, limit } => words(
            format!("Free water {} and no preservative", say.pct(*free)),
            format!("Free water feeds microbes; this house rule asks above {}", say.pct(*limit)),
            "Add a preservative that suits the pH, or take the water out; have the product assessed",
            "common practice; water bound in powders is not counted",
        ),
        _ => return None,
    })
}

fn levels(problem: &P, say: &Say) -> Option<Words> {
    Some(match problem {
        P::UseAbove { name, percent, high, scope: s, source } => {
            let (now, end) = say.pair(*percent, *high);
            words(
                format!("{name} at {now}, above {end}"),
                format!("The {} ends at {end}", scope(*s)),
                format!("Reduce to {end} or less, or keep it and note why"),
                source.clone(),
            )
        }
        P::UseBelow { name, percent, low, scope: s, source } => {
            let (now, start) = say.pair(*percent, *low);
            words(
                format!("{name} at {now}, below {start}"),
                format!("The {} starts at {start}; less may do little", scope(*s)),
                format!("Raise to {start} or more, or leave it out"),
                source.clone(),
            )
        }
        _ => return None,
    })
}

fn heat(problem: &P, say: &Say) -> Option<Words> {
    Some(match problem {
        P::HeatLimit { name, limit_c, phase, phase_c, source } => words(
            format!("{name} stands {}, {phase} reaches {}", say.c(*limit_c), say.c(*phase_c)),
            "Above its limit it is lost or broken down",
            format!("Move it to a cooler phase, or lower {phase} to {}", say.c(*limit_c)),
            source.clone(),
        ),
        P::MeltsAbove { name, melts_c, phase, phase_c, source } => words(
            format!("{name} melts up to {}, {phase} reaches {}", say.c(*melts_c), say.c(*phase_c)),
            "It may stay as grains in the bar",
            format!("Heat {phase} above {}", say.c(*melts_c)),
            source.clone(),
        ),
        P::ProcessMin { name, needs_c, phase, phase_c, source } => words(
            format!("{name} wants {}, {phase} reaches {}", say.c(*needs_c), say.c(*phase_c)),
            "Cooler fats do not wet or melt it, and grains stay",
            format!("Heat {phase} to {} or more", say.c(*needs_c)),
            source.clone(),
        ),
        P::PhaseTemperatureMissing { phase, name } => words(
            format!("Phase {phase} has no temperature"),
            format!("{name} depends on it, so heat could not be checked"),
            "Set the temperature of the phase",
            PRACTICE,
        ),
        P::Dust { names, silica, sensitising } => {
            let mut why = "Fine powder irritates airways and eyes while it is weighed".to_owned();
            if *silica {
                why.push_str("; mineral dust may hold crystalline silica");
            }
            if *sensitising {
                why.push_str("; flours and enzymes can sensitise");
            }
            words(
                format!("Dust from {}", list(names)),
                why,
                "Wear a fitted particle mask (FFP2 or N95 class) and goggles, keep the air still, wipe up damp",
                "EN 149 and 42 CFR 84 name the mask classes; usual cautions, local rules apply",
            )
        }
        _ => return None,
    })
}

fn bench(problem: &P, say: &Say) -> Option<Words> {
    Some(match problem {
        P::PlanBad(problem) => {
            let (title, fix) = match problem {
                PlanProblem::NoSize => ("The batch size is not above 0 g", "Enter a batch size"),
                PlanProblem::NoPieces => ("The batch has no pieces", "Enter at least one piece"),
                PlanProblem::LossAll => {
                    ("A loss of 100 % or more leaves nothing", "Enter a loss below 100 %")
                }
                PlanProblem::LossNegative => {
                    ("The loss is negative", "Enter a loss of 0 % or more")
                }
            };
            words(title, "Grams and cost of the batch cannot be had", fix, ARITHMETIC)
        }
        P::NoScale => words(
            "No scale is set",
            "Lines cannot be rounded or checked for weighing",
            "Add a scale with its readability and capacity",
            WEIGHING,
        ),
        P::TooSmall { name, exact, smallest, readability, tolerance, batch_needed } => {
            let batch =
                batch_needed.map_or(String::new(), |b| format!(", make at least {}", say.g(b)));
            words(
                format!(
                    "{name}, {}, is too small for a {} scale",
                    say.g(*exact),
                    say.g(*readability)
                ),
                format!(
                    "Below {} the reading can be off by more than {}",
                    say.g(*smallest),
                    say.pct(*tolerance)
                ),
                format!("Use a finer scale{batch}, or weigh it as part of a premix"),
                WEIGHING,
            )
        }
        P::LineAboveScale { name, target, room } => words(
            format!("{name}, {}, is more than a scale holds", say.g(*target)),
            format!("The largest room above the tare is {}", say.g(*room)),
            "Weigh it in portions, use a larger scale or make a smaller batch",
            "capacity less tare",
        ),
        P::BatchAboveScale { gross, room } => words(
            format!("The batch of {} is more than the scale holds", say.g(*gross)),
            format!("Above its tare the largest scale has room for {}", say.g(*room)),
            "Weigh in portions, use a larger scale or make a smaller batch",
            "capacity less tare",
        ),
        P::BatchAboveVessel { gross, holds, vessel } => words(
            format!("The batch of {} is more than {vessel} should hold", say.g(*gross)),
            format!("It takes {}", say.g(*holds)),
            "Use a larger pot or make a smaller batch",
            "common practice: fill a pot to about 70 %",
        ),
        _ => return None,
    })
}

fn grains(problem: &P, say: &Say) -> Option<Words> {
    Some(match problem {
        P::GrainsLarge { place, d90_um, guide_um } => {
            let (now, guide) = say.apart(*d90_um, *guide_um);
            words(
                format!("Grains are large for the {}", place.name()),
                format!("D90 {now} µm, the guide is {guide} µm"),
                "Take a finer grade, or change the place of use",
                GUIDE,
            )
        }
        P::GrainsStrong { place, index, guide } => {
            let (now, end) = say.apart(*index, *guide);
            words(
                format!("Grit {now} is strong for the {}", place.name()),
                format!(
                    "The guide ends at {end}; the index is a relative wear model, not a skin test"
                ),
                "Use less, finer, softer or rounder grains",
                GUIDE,
            )
        }
        P::GrainsDissolve { place, dry, in_use, guide } => words(
            format!(
                "Grit {} dry and {} in use, the guide for the {} is {}",
                say.f(*dry, 0),
                say.f(*in_use, 0),
                place.name(),
                say.f(*guide, 0)
            ),
            "Most of the grains dissolve while they rub; the guide was made for grains that stay",
            "Judge it by hand on wet skin; less or finer grains are gentler",
            GUIDE,
        ),
        P::GrainsSharp { place, share, guide, above_um, names } => words(
            format!("Sharp grains above {} µm for the {}", say.f(*above_um, 0), place.name()),
            format!(
                "{} % of the blend, the guide is {} %: {}",
                say.f(*share, 1),
                say.f(*guide, 0),
                list(names)
            ),
            "Sieve finer, or take a rounder material",
            GUIDE,
        ),
        P::GrainsMany { place, load, guide } => {
            let (now, end) = say.pair(*load, *guide);
            words(
                format!("{now} exfoliant is much for the {}", place.name()),
                format!("The guide ends at {end}"),
                "Use less, or change the place of use",
                GUIDE,
            )
        }
        P::GrainDataMissing { name } => words(
            format!("The grains of {name} are not known"),
            "Size and grit could not be checked for it",
            "Enter a sieve range or d10, d50 and d90 from the supplier",
            "materials list of this project",
        ),
        P::GrainDataBad { name, what } => words(
            format!("The grains of {name} cannot be used"),
            what.clone(),
            "Correct the grain data of the material",
            "materials list of this project",
        ),
        P::PourWindowEmpty { needs_c, limit_c, name } => words(
            format!(
                "The pour window is empty: it moves above {} °C, {name} must be below {} °C",
                say.f(needs_c.ceil(), 0),
                say.f(*limit_c, 0)
            ),
            "What is added at cool-down cannot be stirred in and poured before the paste stands",
            "Another material that stands the heat, more oil, or a lower-melting fat; see Setting",
            "estimate from melt curve and pourability",
        ),
        P::ParcelSlumps { parcel_c } => words(
            format!("It slumps in a parcel of {} °C", say.f(*parcel_c, 0)),
            "Too little is solid there to hold a shape",
            "A higher-melting fat or more powder; see Setting",
            "estimate from melt curve and packing",
        ),
        P::GrainSizeAssumed { names } => words(
            format!("Grain size is assumed for {}", list(names)),
            "The curve and the grit index rest on a typical grade, not on your lot",
            "Enter the supplier's sieve range, or sieve a sample",
            "model assumption",
        ),
        _ => return None,
    })
}

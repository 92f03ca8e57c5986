//! Rules of preservation: what the assessment says ought to be done.

use rust_decimal::Decimal;

use super::rule::{Fix, Quantity, Rule, RuleKind};
use super::words::{Say, list, words};
use super::{Finding, Problem, Severity, Where, Words};
use crate::evaluate::Opened;
use crate::formula::{Form, Formula, Pack};
use crate::quantity::Percent;
use crate::safety::keeping::{Counts, Keeping, MICROBES, Need, System};
use crate::safety::preservation::Reach;

/// What such a rule found.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum KeepingProblem {
    /// Preservatives are there and none works at this pH.
    NoneWorks { names: Vec<String>, ph: f64, measured: bool, free: Percent, edition: String },
    /// One does nothing at this pH while others work.
    Idle {
        name: String,
        ph: f64,
        measured: bool,
        /// Undissociated acid here and from which it does something, %.
        acid: Option<(f64, Percent)>,
        window: Option<(Option<f64>, Option<f64>)>,
        source: String,
    },
    /// Next to nothing holds these microbes.
    Gap { microbes: Vec<&'static str>, wet: bool, edition: String },
    /// Less than it takes on its own, and nothing else stands beside it.
    Low { name: String, percent: Percent, least: Percent, source: String },
    /// Gets wet in use and holds no preservative.
    WetUnpreserved { food: Vec<String> },
    /// The same, with the maker's reason.
    Argued { reason: String },
    /// Antioxidants stand where a preservative would.
    AntioxidantOnly { names: Vec<String> },
    /// No pH is stated, and these depend on it.
    PhMissing { names: Vec<String>, water: bool },
    /// The pH is a target.
    PhTarget { ph: f64 },
    /// A pack that raises the challenge, with a preservative near its limit.
    PackChallenge { pack: Pack, names: Vec<String>, ph: f64 },
    /// Salicylic acid where little of it is undissociated.
    Salicylic { ph: f64, percent: Percent },
}

/// The low-risk summary that several sentences rest on.
const LOW_RISK: &str = "ISO 29621:2017 as summed up by a test laboratory (standard not read)";
const PRACTICE: &str = "common practice";

impl Rule for KeepingProblem {
    fn id(&self) -> &'static str {
        match self {
            Self::NoneWorks { .. } => "preservative-out-of-reach",
            Self::Idle { .. } => "preservative-idle",
            Self::Gap { .. } => "preservation-gap",
            Self::Low { .. } => "preservative-low",
            Self::WetUnpreserved { .. } => "wet-use-unpreserved",
            Self::Argued { .. } => "unpreserved-argued",
            Self::AntioxidantOnly { .. } => "antioxidant-only",
            Self::PhMissing { .. } => "ph-missing",
            Self::PhTarget { .. } => "ph-not-measured",
            Self::PackChallenge { .. } => "pack-challenge",
            Self::Salicylic { .. } => "salicylic-ph",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            Self::NoneWorks { .. } => Severity::Stop,
            Self::Idle { .. }
            | Self::Gap { .. }
            | Self::Low { .. }
            | Self::WetUnpreserved { .. }
            | Self::AntioxidantOnly { .. }
            | Self::PhMissing { water: true, .. }
            | Self::Salicylic { .. } => Severity::Warn,
            Self::PhMissing { water: false, .. }
            | Self::Argued { .. }
            | Self::PhTarget { .. }
            | Self::PackChallenge { .. } => Severity::Note,
        }
    }

    fn kind(&self) -> RuleKind {
        match self {
            Self::PhMissing { .. } | Self::PhTarget { .. } => RuleKind::Unchecked,
            Self::WetUnpreserved { .. } | Self::Argued { .. } => RuleKind::House,
            _ => RuleKind::Practice,
        }
    }

    fn subject(&self) -> String {
        match self {
            Self::Idle { name, .. } | Self::Low { name, .. } => name.clone(),
            _ => String::new(),
        }
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        match self {
            Self::NoneWorks { ph, .. } | Self::PhTarget { ph } => {
                (Some(Quantity::Number(*ph, 2)), None)
            }
            Self::Idle { acid: Some((here, least)), .. } => {
                (Some(Quantity::Number(*here, 4)), Some(Quantity::Percent(*least)))
            }
            Self::Idle { ph, window: Some((_, Some(high))), .. } if ph > high => {
                (Some(Quantity::Number(*ph, 2)), Some(Quantity::Number(*high, 2)))
            }
            Self::Idle { ph, window: Some((Some(low), _)), .. } if ph < low => {
                (Some(Quantity::Number(*ph, 2)), Some(Quantity::Number(*low, 2)))
            }
            Self::Low { percent, least, .. } => {
                (Some(Quantity::Percent(*percent)), Some(Quantity::Percent(*least)))
            }
            Self::Salicylic { ph, .. } => {
                (Some(Quantity::Number(*ph, 2)), Some(Quantity::Number(4.0, 2)))
            }
            _ => (None, None),
        }
    }

    fn fixes(&self) -> Vec<Fix> {
        match self {
            Self::NoneWorks { .. }
            | Self::Idle { .. }
            | Self::PhMissing { .. }
            | Self::PhTarget { .. }
            | Self::Salicylic { .. } => vec![Fix::Details],
            _ => Vec::new(),
        }
    }

    fn words(&self, say: &Say) -> Words {
        let ph_words = |ph: f64, measured: bool| {
            format!("{} pH {}", if measured { "measured" } else { "target" }, say.f(ph, 2))
        };
        match self {
            Self::NoneWorks { names, ph, measured, free, edition } => words(
                format!("No preservative works at {}", ph_words(*ph, *measured)),
                format!(
                    "The product holds {} free water; {} outside its window or dissociated counts as none",
                    say.pct(*free),
                    list(names)
                ),
                "Bring the pH into the window of the preservative, or choose one that works at this pH; then have it challenge-tested",
                edition.clone(),
            ),
            Self::Idle { name, ph, measured, acid, window, source } => {
                let why = match (acid, window) {
                    (Some((here, least)), _) if *here < least.to_f64() => format!(
                        "Only {} % of the product is undissociated acid, which is the part that works; below {} it does nothing",
                        say.f(*here, 4),
                        say.pct(*least)
                    ),
                    (_, Some((low, high))) => format!(
                        "Its window is {} to {}",
                        low.map_or("open".to_owned(), |x| say.f(x, 1)),
                        high.map_or("open".to_owned(), |x| say.f(x, 1))
                    ),
                    _ => "It is outside the pH where it works".to_owned(),
                };
                words(
                    format!("{name} does nothing at {}", ph_words(*ph, *measured)),
                    why,
                    "Lower the pH with an acid, measure it again, or use another preservative",
                    source.clone(),
                )
            }
            Self::Gap { microbes, wet, edition } => {
                let names: Vec<String> = microbes.iter().map(|m| (*m).to_owned()).collect();
                words(
                    format!("Nothing that counts here holds {}", list(&names)),
                    if *wet {
                        "A film of water on the surface is enough for them, in the shower and on the dish"
                    } else {
                        "Free water lets them grow"
                    },
                    "Add a preservative that reaches them at this pH, or show by a challenge test that it is not needed",
                    edition.clone(),
                )
            }
            Self::Low { name, percent, least, source } => {
                let (now, start) = say.pair(*percent, *least);
                words(
                    format!("{name} at {now} is below what it takes alone, {start}"),
                    "At this level it helps others and does not carry a product",
                    format!("Raise it to {start} within its limits, or add another preservative"),
                    source.clone(),
                )
            }
            Self::WetUnpreserved { food } => {
                let fed = if food.is_empty() {
                    String::new()
                } else {
                    format!("; {} would feed them", list(food))
                };
                words(
                    "Gets wet in use and holds no preservative",
                    format!(
                        "Dry in the pack is not dry in the shower: a film of water lets mould and yeast grow{fed}"
                    ),
                    "Add a preservative, or write down why none is needed: a draining dish, pH above 10, a passed wet-use or challenge test",
                    format!("{PRACTICE}; {LOW_RISK}"),
                )
            }
            Self::Argued { reason } => words(
                "No preservative, with a reason on file",
                format!("Written: {reason}"),
                "Keep the test or the argument with the product file, and let a qualified assessor judge it",
                "this formula's notes",
            ),
            Self::AntioxidantOnly { names } => words(
                format!("{} keeps oils, not microbes, in check", list(names)),
                "An antioxidant slows rancidity; it does not stop bacteria, yeast or mould",
                "Add a preservative beside it",
                PRACTICE,
            ),
            Self::PhMissing { names, water } => words(
                if names.is_empty() {
                    "The pH is not stated".to_owned()
                } else {
                    format!("The pH is not stated, and {} depends on it", list(names))
                },
                if *water {
                    "Preservation, skin feel and stability of a product with water or soap hang on the measured pH"
                } else {
                    "Dissolved in use, it works only in its pH window; without a pH that was not checked"
                },
                "Measure it (bars as a 10 % dispersion, 25 °C) and enter it, or enter the target",
                PRACTICE,
            ),
            Self::PhTarget { ph } => words(
                format!("pH {} is a target, not a reading", say.f(*ph, 2)),
                "Checks that depend on pH are only as good as it",
                "Measure the finished product with a calibrated meter and enter the reading",
                PRACTICE,
            ),
            Self::PackChallenge { pack, names, ph } => words(
                format!(
                    "A {} is opened to fingers and air, with {} near its limit",
                    pack.name(),
                    list(names)
                ),
                format!("At pH {} a small drift upwards takes the preservative out", say.f(*ph, 2)),
                "Choose a tube or pump, leave more room to the pH limit, or add a preservative that does not depend on pH",
                PRACTICE,
            ),
            Self::Salicylic { ph, percent } => words(
                format!("Salicylic acid {} at pH {}, above 4", say.pct(*percent), say.f(*ph, 2)),
                "Its pKa is 2.97: above pH 4 nearly all of it is salt, which neither peels nor preserves",
                "Lower the pH within what the skin stands, or leave it out; limits and the age rule are checked apart",
                "dissociation constant from memory (CRC Handbook); common practice",
            ),
        }
    }
}

/// Puts the assessment's findings into the list.
pub(crate) fn check_keeping(
    formula: &Formula,
    opened: &Opened<'_>,
    keeping: &Keeping,
    out: &mut Vec<Finding>,
) {
    // A premix is judged where it is used; without data nothing can be said.
    if formula.product.form == Form::Premix || opened.leaves.is_empty() {
        return;
    }
    let mut add = |place, problem| out.push(Finding::new(place, Problem::Keeping(problem)));
    let whole = Where::Formula;
    let at = |s: &System| s.lines.first().map_or(whole, |l| Where::Line(*l));
    let asks = keeping.need != Need::Dry;

    // pH first: most of the rest hangs on it.
    let depending: Vec<String> = keeping
        .systems
        .iter()
        .filter(|s| s.counts == Counts::PhUnknown)
        .map(|s| s.inci.clone())
        .collect();
    let soap = opened.leaves.iter().any(|l| {
        l.percent.0 > Decimal::ZERO
            && l.material.roles.iter().any(|r| r == "soap" || r.contains("soap base"))
    });
    match keeping.ph {
        None if keeping.need == Need::Water || soap => {
            add(whole, KeepingProblem::PhMissing { names: depending, water: true });
        }
        None if asks && !depending.is_empty() => {
            add(whole, KeepingProblem::PhMissing { names: depending, water: false });
        }
        Some((ph, false)) if keeping.need == Need::Water => {
            add(whole, KeepingProblem::PhTarget { ph });
        }
        _ => {}
    }

    let counting = keeping
        .systems
        .iter()
        .filter(|s| matches!(s.counts, Counts::Yes | Counts::Weakly | Counts::PhUnknown))
        .count();
    if let Some((ph, measured)) = keeping.ph
        && asks
    {
        let idle: Vec<&System> =
            keeping.systems.iter().filter(|s| s.counts == Counts::Idle).collect();
        if keeping.need == Need::Water && counting == 0 && !idle.is_empty() {
            let names = idle.iter().map(|s| s.inci.clone()).collect();
            let (free, edition) = (keeping.water.free, keeping.edition.clone());
            add(whole, KeepingProblem::NoneWorks { names, ph, measured, free, edition });
        } else {
            for s in idle {
                let acid = s.acid.as_ref().and_then(|a| Some((a.at?.1, a.bands.1)));
                let window = s.window.map(|w| (w.low, w.high));
                let (name, source) = (s.inci.clone(), s.source.clone());
                add(at(s), KeepingProblem::Idle { name, ph, measured, acid, window, source });
            }
        }
    }
    check_reach(keeping, counting, &mut add, at);
    // An antioxidant in the place of a preservative is told apart below.
    let mistaken = !keeping.only_antioxidants.is_empty();
    if keeping.systems.is_empty() && keeping.need == Need::WetUse && (keeping.argued || !mistaken) {
        if keeping.argued {
            let reason = formula.safety.unpreserved.trim().to_owned();
            add(whole, KeepingProblem::Argued { reason });
        } else {
            add(whole, KeepingProblem::WetUnpreserved { food: keeping.food.clone() });
        }
    }
    if asks && !keeping.only_antioxidants.is_empty() && !keeping.argued {
        let names = keeping.only_antioxidants.clone();
        add(whole, KeepingProblem::AntioxidantOnly { names });
    }
    if let Some((ph, _)) = keeping.ph {
        let near: Vec<String> = keeping
            .systems
            .iter()
            .filter(|s| {
                s.acid.is_some() || s.window.is_some_and(|w| w.high.is_some_and(|h| h < 8.0))
            })
            .filter(|s| s.window.and_then(|w| w.high).is_some_and(|h| ph <= h && h - ph < 0.5))
            .map(|s| s.inci.clone())
            .collect();
        let wet = keeping.water.free > Percent(Decimal::from(5));
        if wet && formula.product.pack == Pack::Jar && !near.is_empty() {
            let pack = formula.product.pack;
            add(whole, KeepingProblem::PackChallenge { pack, names: near, ph });
        }
        if let Some(s) = keeping.systems.iter().find(|s| s.inci == "Salicylic Acid")
            && ph > 4.0
        {
            add(at(s), KeepingProblem::Salicylic { ph, percent: s.percent });
        }
    }
}

/// Gaps in what is reached, and amounts too small to stand alone.
fn check_reach(
    keeping: &Keeping,
    counting: usize,
    add: &mut impl FnMut(Where, KeepingProblem),
    at: impl Fn(&System) -> Where,
) {
    if keeping.need == Need::Dry || keeping.systems.is_empty() || keeping.coverage_open {
        return;
    }
    // What depends on an unknown pH may reach them: that is said where the pH is missing.
    let open = keeping.systems.iter().any(|s| s.counts == Counts::PhUnknown);
    if counting > 0 && !open {
        let microbes: Vec<&'static str> = MICROBES
            .into_iter()
            .zip(keeping.coverage)
            .filter(|(_, reach)| *reach == Reach::None)
            .map(|(name, _)| name)
            .collect();
        if !microbes.is_empty() {
            let wet = keeping.need == Need::WetUse;
            let edition = keeping.edition.clone();
            add(Where::Formula, KeepingProblem::Gap { microbes, wet, edition });
        }
    }
    // One that is low is carried by another that is not.
    let carried = keeping.systems.iter().any(|s| s.counts == Counts::Yes);
    for s in keeping.systems.iter().filter(|s| s.counts == Counts::Weakly && !carried) {
        if let Some(least) = s.least.filter(|l| s.percent < *l) {
            let (name, percent, source) = (s.inci.clone(), s.percent, s.source.clone());
            add(at(s), KeepingProblem::Low { name, percent, least, source });
        }
    }
}

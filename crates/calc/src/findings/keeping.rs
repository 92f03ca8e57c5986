//! Rules of preservation: what the assessment says ought to be done.

use super::rule::{Fix, Quantity, Rule, RuleKind};
use super::words::{Say, list, words};
use super::{Severity, Words};
use crate::formula::Pack;
use crate::quantity::Percent;

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
        percent: Percent,
        source: String,
    },
    /// Next to nothing holds these microbes.
    Gap { microbes: Vec<&'static str>, wet: bool, edition: String },
    /// What counts is partly dissociated, and nothing else stands beside it.
    Weak { names: Vec<String>, ph: f64, measured: bool, edition: String },
    /// Nothing but helpers stands where a preservative would.
    HelpersOnly { names: Vec<String>, wet: bool, edition: String },
    /// Less than it takes on its own, and nothing else stands beside it.
    Low { name: String, percent: Percent, least: Percent, source: String },
    /// Gets wet in use and holds no preservative.
    WetUnpreserved {
        food: Vec<String>,
        /// A measured pH that is a low-risk criterion.
        apart: Option<f64>,
    },
    /// The same, with the maker's reason.
    Argued { reason: String },
    /// Antioxidants stand where a preservative would.
    AntioxidantOnly { names: Vec<String>, wet: bool },
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
const WRITE_DOWN: &str = "Add a preservative, or write down why none is needed: a draining dish, pH above 10, a passed wet-use or challenge test";

impl Rule for KeepingProblem {
    fn id(&self) -> &'static str {
        match self {
            Self::NoneWorks { .. } => "preservative-out-of-reach",
            Self::Idle { .. } => "preservative-idle",
            Self::Gap { .. } => "preservation-gap",
            Self::Weak { .. } => "preservation-weak",
            Self::HelpersOnly { .. } => "preservative-helpers-only",
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
            | Self::Weak { .. }
            | Self::HelpersOnly { .. }
            | Self::Low { .. }
            | Self::WetUnpreserved { apart: None, .. }
            | Self::AntioxidantOnly { .. }
            | Self::PhMissing { water: true, .. }
            | Self::Salicylic { .. } => Severity::Warn,
            Self::PhMissing { water: false, .. }
            | Self::WetUnpreserved { apart: Some(_), .. }
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
            Self::NoneWorks { ph, .. }
            | Self::Weak { ph, .. }
            | Self::WetUnpreserved { apart: Some(ph), .. }
            | Self::PhTarget { ph } => (Some(Quantity::Number(*ph, 2)), None),
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
            | Self::Weak { .. }
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
                    "The product holds {} free water, and what is outside its window or dissociated counts as none: {}",
                    say.pct(*free),
                    list(names)
                ),
                "Bring the pH into the window of the preservative, or choose one that works at this pH; then have it challenge-tested",
                edition.clone(),
            ),
            Self::Idle { name, ph, measured, acid, window, percent, source } => {
                let outside = window.is_some_and(|(low, high)| {
                    low.is_some_and(|l| *ph < l) || high.is_some_and(|h| *ph > h)
                });
                let (why, fix) = match (acid, window) {
                    (Some((here, least)), _) if *here < least.to_f64() => (
                        format!(
                            "Only {} % of the product is undissociated acid, which is the part that works; below {} it does nothing",
                            say.f(*here, 4),
                            say.pct(*least)
                        ),
                        if outside {
                            "Lower the pH with an acid and measure it again, or use another preservative"
                        } else {
                            "Lower the pH with an acid, add more within its limits, or use another preservative"
                        },
                    ),
                    (_, Some((low, high))) => (
                        format!(
                            "Its window is {} to {}",
                            low.map_or("open".to_owned(), |x| say.f(x, 1)),
                            high.map_or("open".to_owned(), |x| say.f(x, 1))
                        ),
                        "Bring the pH into its window and measure it again, or use another preservative",
                    ),
                    _ => (
                        "It is outside the pH where it works".to_owned(),
                        "Bring the pH into its window and measure it again, or use another preservative",
                    ),
                };
                let at = ph_words(*ph, *measured);
                let title = if outside {
                    format!("{name} does nothing at {at}")
                } else {
                    format!("{name}, {}, does next to nothing at {at}", say.pct(*percent))
                };
                words(title, why, fix, source.clone())
            }
            Self::Weak { names, ph, measured, edition } => words(
                format!("Preserved weakly at {}: {}", ph_words(*ph, *measured), list(names)),
                "Much of the acid is dissociated, the undissociated rest is less than it takes, and nothing else stands beside it",
                "Lower the pH with an acid, add more within its limits, or add a preservative that does not depend on pH",
                edition.clone(),
            ),
            Self::HelpersOnly { names, wet, edition } => words(
                format!("Nothing but helpers preserves it: {}", list(names)),
                if *wet {
                    "They strengthen a preservative and do not carry a product, and a film of water in use is enough for mould and yeast"
                } else {
                    "They strengthen a preservative and do not carry a product, and free water lets microbes grow"
                },
                "Add a preservative that works at this pH, or show by a challenge test that these hold it",
                edition.clone(),
            ),
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
            Self::WetUnpreserved { food, apart } => {
                let fed = if food.is_empty() {
                    String::new()
                } else {
                    format!("; what would feed them: {}", list(food))
                };
                let source = format!("{PRACTICE}; {LOW_RISK}");
                match apart {
                    None => words(
                        "Gets wet in use and holds no preservative",
                        format!(
                            "Dry in the pack is not dry in the shower: a film of water lets mould and yeast grow{fed}"
                        ),
                        WRITE_DOWN,
                        source,
                    ),
                    Some(ph) => words(
                        format!("Holds no preservative, at measured pH {}", say.f(*ph, 2)),
                        format!(
                            "A measured pH below 3 or above 10 is a low-risk criterion: it may spare a challenge test, never the assessment, and the film of water in use is milder than the product{fed}"
                        ),
                        "Write down the reading and the reason, and let the piece dry between uses",
                        source,
                    ),
                }
            }
            Self::Argued { reason } => words(
                "No preservative, with a reason on file",
                format!("Written: {reason}"),
                "Keep the test or the argument with the product file, and let a qualified assessor judge it",
                "this formula's notes",
            ),
            Self::AntioxidantOnly { names, wet } => words(
                format!("Nothing but an antioxidant keeps it: {}", list(names)),
                if *wet {
                    "An antioxidant slows rancidity and stops no microbes, and it gets wet in use: a film of water lets mould and yeast grow"
                } else {
                    "An antioxidant slows rancidity; it does not stop bacteria, yeast or mould"
                },
                if *wet { WRITE_DOWN } else { "Add a preservative beside it" },
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

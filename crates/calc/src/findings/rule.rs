//! What every rule says beside its sentences: its kind, its figure and limit, what fixes it.

use super::words::Say;
use super::{Severity, Words};
use crate::formula::{LineId, MaterialId};
use crate::number::{NumberStyle, format_f64, format_plain};
use crate::quantity::{Grams, Percent};

/// Whose rule it is. Kinds are told apart on screen: a supplier's limit is not law.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RuleKind {
    /// A limit or duty of law.
    Law,
    /// A supplier's limit or data sheet.
    Supplier,
    /// Practice of the trade and textbook chemistry.
    Practice,
    /// A guide of this program or of the workshop.
    House,
    /// Arithmetic, and what can be put on a scale.
    Arithmetic,
    /// Could not be checked for want of data.
    Unchecked,
}

impl RuleKind {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Law, Self::Supplier, Self::Practice, Self::House, Self::Arithmetic, Self::Unchecked];

    /// The name on screen and in JSON.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Law => "law",
            Self::Supplier => "supplier",
            Self::Practice => "practice",
            Self::House => "house guide",
            Self::Arithmetic => "arithmetic",
            Self::Unchecked => "not checked",
        }
    }
}

/// A figure or a limit with its unit.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // the names are the units
pub enum Quantity {
    Percent(Percent),
    Grams(Grams),
    Celsius(f64),
    Micrometres(f64),
    /// A bare number to so many places.
    Number(f64, u32),
    Count(usize),
}

impl Quantity {
    /// The number alone, in the user's style, without rounding away what a limit is about.
    #[must_use]
    pub fn text(&self, style: NumberStyle) -> String {
        let exact = |d| format_plain(crate::quantity::derived(d).normalize(), style);
        match self {
            Self::Percent(p) => exact(p.0),
            Self::Grams(g) => exact(g.0),
            Self::Celsius(c) => format_f64(*c, u32::from((c - c.round()).abs() > 0.05), style),
            Self::Micrometres(x) => format_f64(*x, 0, style),
            Self::Number(x, places) => format_f64(*x, *places, style),
            Self::Count(n) => n.to_string(),
        }
    }

    /// The unit; empty for bare numbers.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        match self {
            Self::Percent(_) => "%",
            Self::Grams(_) => "g",
            Self::Celsius(_) => "°C",
            Self::Micrometres(_) => "µm",
            Self::Number(..) | Self::Count(_) => "",
        }
    }

    /// Number and unit.
    #[must_use]
    pub fn words(&self, style: NumberStyle) -> String {
        let (text, unit) = (self.text(style), self.unit());
        if unit.is_empty() { text } else { format!("{text} {unit}") }
    }
}

/// What one click can do about a finding.
#[derive(Clone, Debug, PartialEq)]
pub enum Fix {
    /// Sets a line to this share of the product.
    SetPercent {
        /// The line.
        line: LineId,
        /// Its new share.
        percent: Percent,
    },
    /// Moves a line to the phase that is added cool, making one if there is none.
    MoveToCoolDown {
        /// The line.
        line: LineId,
        /// Below this temperature in °C, for a phase that is made.
        below_c: f64,
    },
    /// Asks for another material for a line.
    Swap {
        /// The line.
        line: LineId,
    },
    /// Opens what the supplier says of a material.
    Certificate {
        /// The material.
        material: MaterialId,
    },
    /// Opens what the supplier says of the material on a line.
    SupplierOf {
        /// The line.
        line: LineId,
    },
    /// Opens pH, pack and what else the formula is for.
    Details,
    /// Goes to the category of the fragrance standard.
    Category,
    /// Opens the method and temperature of a phase.
    Phase(crate::formula::PhaseId),
    /// Lets a line fill to 100.
    BringTo100,
    /// Opens what the label says.
    Label,
}

impl Fix {
    /// Words on the button.
    #[must_use]
    pub fn words(&self, style: NumberStyle) -> String {
        match self {
            Self::SetPercent { percent, .. } => {
                format!("Set to {}", Quantity::Percent(*percent).words(style))
            }
            Self::MoveToCoolDown { .. } => "Move to cool-down".to_owned(),
            Self::Swap { .. } => "Swap for…".to_owned(),
            Self::Certificate { .. } | Self::SupplierOf { .. } => "Supplier's figures…".to_owned(),
            Self::Details => "Formula details…".to_owned(),
            Self::Category => "Fragrance category…".to_owned(),
            Self::Phase(_) => "Phase…".to_owned(),
            Self::BringTo100 => "Bring to 100…".to_owned(),
            Self::Label => "Go to the label".to_owned(),
        }
    }
}

/// What a rule of one subject answers.
pub(crate) trait Rule {
    /// Stable id, for scripts.
    fn id(&self) -> &'static str;
    /// How much it matters.
    fn severity(&self) -> Severity;
    /// Whose rule it is.
    fn kind(&self) -> RuleKind;
    /// The sentences.
    fn words(&self, say: &Say) -> Words;
    /// Tells two findings of one rule at one place apart; empty where there is only one.
    fn subject(&self) -> String {
        String::new()
    }
    /// The figure and the limit it was held against.
    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        (None, None)
    }
    /// The arithmetic, one step a line.
    fn steps(&self, _say: &Say) -> Vec<String> {
        Vec::new()
    }
    /// What one click can do.
    fn fixes(&self) -> Vec<Fix> {
        Vec::new()
    }
}

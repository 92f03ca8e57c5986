//! A formula: phases of lines in % w/w, with the identity of its version.

use std::fmt;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::{
    Contact, Form, LabelNotes, PhReading, PhaseKind, Place, Product, SafetyNotes, Version,
    VersionState,
};
use crate::number::{MassUnit, NumberStyle, format_f64};
use crate::quantity::{Grams, Percent};

macro_rules! text_id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(Arc<str>);

        impl $name {
            /// The id of this text.
            #[must_use]
            pub fn new(text: &str) -> Self {
                Self(Arc::from(text))
            }

            /// The text of the id.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

text_id! {
    /// Key of a material, made of INCI name and form.
    MaterialId
}
text_id! {
    /// Key of a formula, kept for life.
    FormulaId
}

/// Key of a line within its formula.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LineId(pub u32);

/// Key of a phase within its formula.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PhaseId(pub u32);

/// What a line is made of.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Item {
    /// A raw material.
    Material(MaterialId),
    /// Another formula of the project, made beforehand (an infusion, a premix).
    Formula(FormulaId),
}

/// How an amount was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AmountUnit {
    /// Per cent of the product.
    Percent,
    /// A mass, of the batch that was present at the time.
    Mass {
        /// Unit as typed.
        unit: MassUnit,
        /// Gross batch at the time.
        of: Grams,
    },
    /// Parts of [`Formula::parts_total`].
    Parts,
}

/// An amount as typed, and the % that follows from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Amount {
    /// The number as typed.
    pub typed: Decimal,
    /// The unit as typed.
    pub unit: AmountUnit,
    /// % of the product, to ten decimals when derived.
    pub percent: Percent,
}

impl Amount {
    /// An amount typed in %.
    #[must_use]
    pub fn percent(value: Decimal) -> Self {
        Self { typed: value, unit: AmountUnit::Percent, percent: Percent(value) }
    }
}

/// Something that may stand in for a line, as printed on sheets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alternative {
    /// The substitute.
    pub item: Item,
    /// Mass of the substitute per mass of the line's own material; 1 is like for like.
    pub ratio: Decimal,
    /// What to know about it.
    pub note: String,
}

/// One line of a formula.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Key within the formula.
    pub id: LineId,
    /// What it is.
    pub item: Item,
    /// How much; `None` while blank. Ignored on the line that fills to 100.
    pub amount: Option<Amount>,
    /// Held fixed by solvers, normalising and swaps.
    pub locked: bool,
    /// What may stand in for it.
    pub alternatives: Vec<Alternative>,
    /// Free note.
    pub note: String,
}

/// The temperature a phase is worked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PhaseTemperature {
    /// Not stated.
    Unstated,
    /// Heated to this, in °C.
    HeatTo(f64),
    /// Added once the batch is below this, in °C.
    Below(f64),
}

impl PhaseTemperature {
    /// The warmest that material of the phase gets, in °C.
    #[must_use]
    pub fn warmest_c(self) -> Option<f64> {
        match self {
            Self::Unstated => None,
            Self::HeatTo(c) | Self::Below(c) => Some(c),
        }
    }

    /// In words: "70 °C", "below 50 °C"; empty when unstated.
    #[must_use]
    pub fn words(self, style: NumberStyle) -> String {
        let degrees = |c: f64| {
            let places = u32::from((c - c.round()).abs() > 0.05);
            format!("{} °C", format_f64(c, places, style))
        };
        match self {
            Self::Unstated => String::new(),
            Self::HeatTo(c) => degrees(c),
            Self::Below(c) => format!("below {}", degrees(c)),
        }
    }
}

/// One step of the method.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Step {
    /// What to do.
    pub text: String,
    /// At or to this temperature in °C.
    pub temperature_c: Option<f64>,
    /// For this long in minutes.
    pub minutes: Option<f64>,
}

/// A phase: lines worked together.
#[derive(Clone, Debug, PartialEq)]
pub struct Phase {
    /// Key within the formula.
    pub id: PhaseId,
    /// Name, such as "Melt".
    pub name: String,
    /// Kind, for rules.
    pub kind: PhaseKind,
    /// Target temperature.
    pub temperature: PhaseTemperature,
    /// Method steps.
    pub steps: Vec<Step>,
    /// The lines in weighing order.
    pub lines: Vec<Line>,
}

/// The letter of the phase at this place: A, B, ... Z, AA.
#[must_use]
pub fn phase_letter(index: usize) -> String {
    let mut n = index;
    let mut letters = Vec::new();
    loop {
        let digit = u8::try_from(n % 26).unwrap_or(0);
        letters.push(char::from(b'A'.saturating_add(digit)));
        if n < 26 {
            break;
        }
        n = n / 26 - 1;
    }
    letters.iter().rev().collect()
}

/// A formula in % w/w.
#[derive(Clone, Debug, PartialEq)]
pub struct Formula {
    /// Key, kept for life.
    pub id: FormulaId,
    /// Name.
    pub name: String,
    /// Version identity.
    pub version: Version,
    /// What it is for.
    pub product: Product,
    /// Parts that make the whole, for amounts typed in parts; 100 unless the recipe says otherwise.
    pub parts_total: Decimal,
    /// The line that fills to 100 (q.s.), if any.
    pub fills: Option<LineId>,
    /// pH.
    pub ph: Option<PhReading>,
    /// Phases in order of work.
    pub phases: Vec<Phase>,
    /// Free note.
    pub note: String,
    /// Markets, accepted warnings and the like.
    pub safety: SafetyNotes,
    /// What the label says beside the ingredients.
    pub label: LabelNotes,
}

impl Formula {
    /// An empty formula of one melt phase.
    #[must_use]
    pub fn empty(id: FormulaId, name: &str) -> Self {
        Self {
            id,
            name: name.to_owned(),
            version: Version {
                number: 1,
                state: VersionState::Draft,
                parent: None,
                reason: String::new(),
            },
            product: Product::new(Form::ScrubBar, Place::Body, Contact::RinseOff),
            parts_total: Decimal::ONE_HUNDRED,
            fills: None,
            ph: None,
            phases: vec![Phase {
                id: PhaseId(1),
                name: "Melt".to_owned(),
                kind: PhaseKind::Melt,
                temperature: PhaseTemperature::HeatTo(72.0),
                steps: Vec::new(),
                lines: Vec::new(),
            }],
            note: String::new(),
            safety: SafetyNotes::default(),
            label: LabelNotes::default(),
        }
    }

    /// Gets wet in use: as said, else as is usual of its kind.
    #[must_use]
    pub fn wet_in_use(&self) -> bool {
        self.safety.wet_use.unwrap_or_else(|| self.product.usually_wet())
    }

    /// Every line with its phase, in weighing order.
    pub fn lines(&self) -> impl Iterator<Item = (&Phase, &Line)> {
        self.phases.iter().flat_map(|p| p.lines.iter().map(move |l| (p, l)))
    }

    /// The line of this id.
    #[must_use]
    pub fn line(&self, id: LineId) -> Option<&Line> {
        self.lines().map(|(_, l)| l).find(|l| l.id == id)
    }

    /// The phase of this id.
    #[must_use]
    pub fn phase(&self, id: PhaseId) -> Option<&Phase> {
        self.phases.iter().find(|p| p.id == id)
    }

    /// The phase that holds this line.
    #[must_use]
    pub fn phase_of(&self, id: LineId) -> Option<&Phase> {
        self.phases.iter().find(|p| p.lines.iter().any(|l| l.id == id))
    }

    /// Sum of all lines but the one that fills to 100; blanks count nothing.
    #[must_use]
    pub fn sum_without_fill(&self) -> Percent {
        self.lines()
            .filter(|(_, l)| Some(l.id) != self.fills)
            .filter_map(|(_, l)| l.amount.map(|a| a.percent))
            .sum()
    }

    /// The line that fills to 100, if it is there.
    #[must_use]
    pub fn fill_line(&self) -> Option<&Line> {
        self.fills.and_then(|id| self.line(id))
    }

    /// % of a line; the q.s. line takes the remainder, which may be negative.
    #[must_use]
    pub fn percent_of(&self, line: &Line) -> Option<Percent> {
        if Some(line.id) == self.fills {
            Some(Percent::HUNDRED - self.sum_without_fill())
        } else {
            line.amount.map(|a| a.percent)
        }
    }

    /// Exact total in %.
    #[must_use]
    pub fn total(&self) -> Percent {
        if self.fill_line().is_some() { Percent::HUNDRED } else { self.sum_without_fill() }
    }

    /// True when the total is 100 within ±0.005, inclusive (convention C1).
    #[must_use]
    pub fn total_is_100(&self) -> bool {
        (self.total() - Percent::HUNDRED).0.abs() <= Decimal::new(5, 3)
    }

    /// Parts view of a percentage.
    #[must_use]
    pub fn parts_of(&self, percent: Percent) -> Decimal {
        percent
            .0
            .saturating_mul(self.parts_total)
            .checked_div(Decimal::ONE_HUNDRED)
            .unwrap_or_default()
    }
}

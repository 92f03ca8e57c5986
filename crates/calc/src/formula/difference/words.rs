//! Sentences for changes: the one place where they are made.

use rust_decimal::Decimal;

use super::changes::Change;
use crate::formula::{
    Alternative, Amount, AmountUnit, Item, PhReading, PhaseTemperature, Product, Step,
};
use crate::number::{NumberStyle, format_f64, format_fixed, format_plain};
use crate::quantity::Percent;

/// How names and numbers are written in a sentence.
pub struct ChangeStyle<'a> {
    /// Name of a material or formula.
    pub name: &'a dyn Fn(&Item) -> String,
    /// How numbers are written.
    pub number: NumberStyle,
}

/// Decimals to which a percentage is told; a smaller difference is told in full.
const PLACES: u32 = 4;

impl ChangeStyle<'_> {
    fn plain(&self, value: Decimal) -> String {
        format_plain(value.normalize(), self.number)
    }

    /// Short where that tells the two apart, else every digit.
    fn pair(&self, from: Decimal, to: Decimal) -> (String, String) {
        let short = |d: Decimal| {
            let text = format_fixed(d, PLACES, NumberStyle::default());
            text.parse::<Decimal>().map_or_else(|_| self.plain(d), |d| self.plain(d))
        };
        let (a, b) = (short(from), short(to));
        if a == b { (self.plain(from), self.plain(to)) } else { (a, b) }
    }

    fn percent(&self, p: Option<Percent>) -> String {
        p.map_or_else(|| "blank".to_owned(), |p| format!("{} %", self.pair(p.0, Decimal::ZERO).0))
    }

    fn typed(&self, amount: &Amount) -> String {
        let number = self.plain(amount.typed);
        match amount.unit {
            AmountUnit::Percent => format!("{number} %"),
            AmountUnit::Parts if amount.typed == Decimal::ONE => "1 part".to_owned(),
            AmountUnit::Parts => format!("{number} parts"),
            AmountUnit::Mass { unit, of } => {
                format!("{number} {} of {} g", unit.symbol(), self.plain(of.0))
            }
        }
    }

    fn change_of(&self, from: Option<Percent>, to: Option<Percent>) -> String {
        match (from, to) {
            (Some(a), Some(b)) => {
                let (a_text, b_text) = self.pair(a.0, b.0);
                let word = if b > a { "up" } else { "down" };
                format!("{word} from {a_text} to {b_text} %")
            }
            (a, b) => format!("from {} to {}", self.percent(a), self.percent(b)),
        }
    }

    fn temperature(&self, t: PhaseTemperature) -> String {
        match t {
            PhaseTemperature::Unstated => "no temperature".to_owned(),
            PhaseTemperature::HeatTo(_) | PhaseTemperature::Below(_) => t.words(self.number),
        }
    }

    fn ph(&self, ph: Option<&PhReading>) -> String {
        let Some(ph) = ph else { return "none".to_owned() };
        let kind = if ph.measured { "measured" } else { "target" };
        match ph.date {
            Some(date) => format!("{}, {kind} on {}", self.plain(ph.value), date.words()),
            None => format!("{}, {kind}", self.plain(ph.value)),
        }
    }

    fn steps(&self, steps: &[Step]) -> String {
        let one = |s: &Step| {
            let mut text = s.text.clone();
            if let Some(c) = s.temperature_c {
                text.push_str(&format!(", {} °C", format_f64(c, 1, self.number)));
            }
            if let Some(minutes) = s.minutes {
                text.push_str(&format!(", {} min", format_f64(minutes, 1, self.number)));
            }
            text
        };
        if steps.is_empty() {
            return "no steps".to_owned();
        }
        steps.iter().map(one).collect::<Vec<_>>().join("; ")
    }

    fn alternatives(&self, all: &[Alternative]) -> String {
        if all.is_empty() {
            return "none".to_owned();
        }
        let one = |a: &Alternative| {
            let mut text = (self.name)(&a.item);
            if a.ratio != Decimal::ONE {
                text.push_str(&format!(" at ratio {}", self.plain(a.ratio)));
            }
            if !a.note.is_empty() {
                text.push_str(&format!(" ({})", a.note));
            }
            text
        };
        all.iter().map(one).collect::<Vec<_>>().join(", ")
    }
}

/// What a product is, with what sets it apart.
fn product(p: Product, other: Product) -> String {
    let mut text = p.words();
    if p.pack != other.pack {
        text.push_str(&format!(", in a {}", p.pack.name()));
    }
    if p.under_three != other.under_three {
        text.push_str(if p.under_three {
            ", also for children under three"
        } else {
            ", not for children under three"
        });
    }
    text
}

impl Change {
    /// The change as a sentence.
    #[must_use]
    pub fn words(&self, style: &ChangeStyle<'_>) -> String {
        let name = style.name;
        match self {
            Self::Name { from, to } => format!("Renamed from {from} to {to}"),
            Self::Product { from, to } => {
                format!("Product: from {} to {}", product(*from, *to), product(*to, *from))
            }
            Self::Ph { from, to } => {
                format!("pH: from {} to {}", style.ph(from.as_ref()), style.ph(to.as_ref()))
            }
            Self::Parts { from, to } => {
                format!("Parts in all: from {} to {}", style.plain(*from), style.plain(*to))
            }
            Self::Note => "The note of the formula differs".to_owned(),
            Self::Safety => "Markets, accepted warnings or exposures differ".to_owned(),
            Self::Label => "What the label says beside the ingredients differs".to_owned(),
            Self::PhaseAdded(phase) => format!("New phase {phase}"),
            Self::PhaseRemoved(phase) => format!("Phase {phase} taken out"),
            Self::PhaseRenamed { from, to } => format!("Phase {from} renamed to {to}"),
            Self::PhaseKind { phase, from, to } => {
                format!("Phase {phase}: kind from {} to {}", from.name(), to.name())
            }
            Self::PhaseTemperature { phase, from, to } => format!(
                "Phase {phase}: from {} to {}",
                style.temperature(*from),
                style.temperature(*to)
            ),
            Self::Steps { phase, from, to } => {
                format!("Steps of {phase}: from {} to {}", style.steps(from), style.steps(to))
            }
            Self::PhaseOrder => "The phases stand in another order".to_owned(),
            Self::LineAdded { item, phase, percent: Some(p) } => {
                format!("{} added to {phase}, {}", name(item), style.percent(Some(*p)))
            }
            Self::LineAdded { item, phase, percent: None } => {
                format!("{} added to {phase}, without an amount", name(item))
            }
            Self::LineRemoved { item, phase, percent: Some(p) } => {
                format!("{} taken out of {phase}, was {}", name(item), style.percent(Some(*p)))
            }
            Self::LineRemoved { item, phase, percent: None } => {
                format!("{} taken out of {phase}, had no amount", name(item))
            }
            Self::Replaced { from, to } => format!("{} in place of {}", name(to), name(from)),
            Self::Amount { item, from, to } => {
                format!("{} {}", name(item), style.change_of(*from, *to))
            }
            Self::Typed { item, from, to } => format!(
                "{}: the same amount, typed as {} instead of {}",
                name(item),
                style.typed(to),
                style.typed(from)
            ),
            Self::Rest { item, from, to } => {
                format!("{}, which fills to 100, {}", name(item), style.change_of(*from, *to))
            }
            Self::Fills { from: Some(from), to: Some(to) } => {
                format!("{} fills to 100 instead of {}", name(to), name(from))
            }
            Self::Fills { from: None, to: Some(to) } => format!("{} now fills to 100", name(to)),
            Self::Fills { from: Some(from), to: None } => {
                format!("{} no longer fills to 100", name(from))
            }
            Self::Fills { from: None, to: None } => "No line fills to 100".to_owned(),
            Self::Moved { item, from, to } => {
                format!("{} moved from {from} to {to}", name(item))
            }
            Self::LineOrder { phase } => format!("The lines of {phase} stand in another order"),
            Self::Locked { item, locked: true } => format!("{} locked", name(item)),
            Self::Locked { item, locked: false } => format!("{} unlocked", name(item)),
            Self::LineNote { item } => format!("The note on {} differs", name(item)),
            Self::Alternatives { item, from, to } => format!(
                "Alternatives for {}: from {} to {}",
                name(item),
                style.alternatives(from),
                style.alternatives(to)
            ),
        }
    }
}

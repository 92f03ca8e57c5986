//! How much of each kind of material a kind of product usually holds.

use rust_decimal::Decimal;

use super::figure::{Basis, Confidence};
use super::kinds::{AtPour, Function};
use super::library::Library;
use super::material::Material;
use super::model::{Formula, FormulaId, Item, MaterialId};
use crate::quantity::Percent;

/// What makes a material count towards a range.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Counts {
    /// Its function.
    Function(Function),
    /// Its group in the library, such as "oil".
    Group(String),
    /// The material itself.
    Material(MaterialId),
}

impl Counts {
    fn holds(&self, material: &Material) -> bool {
        match self {
            Self::Function(function) => material.function == Some(*function),
            Self::Group(group) => material.group == *group,
            Self::Material(id) => material.id == *id,
        }
    }
}

/// The usual amounts of one kind of material, in % of the product.
#[derive(Clone, Debug, PartialEq)]
pub struct UsualRange {
    /// What it is, as printed.
    pub what: String,
    /// A material counts when any of these holds.
    pub counts: Vec<Counts>,
    /// Only materials in this state at pouring count.
    pub state: Option<AtPour>,
    /// Active matter counts, not the material as supplied.
    pub active: bool,
    /// Least.
    pub min: Percent,
    /// What most hold, where it is narrower.
    pub usual: Option<(Percent, Percent)>,
    /// Most; none where only a limit of the material says so.
    pub max: Option<Percent>,
    /// What else is to be said of it.
    pub note: String,
    /// How far to trust it.
    pub confidence: Confidence,
    /// How it was come by.
    pub basis: Basis,
    /// The source in a short phrase.
    pub source: String,
}

/// The usual amounts of a kind of product.
#[derive(Clone, Debug, PartialEq)]
pub struct KindRanges {
    /// The skeleton that they belong to.
    pub skeleton: FormulaId,
    /// The product in a few words.
    pub about: String,
    /// pH and preservation, in words.
    pub keeping: String,
    /// The ranges, in the order of a recipe.
    pub rows: Vec<UsualRange>,
}

/// Where an amount lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    /// Under the least.
    Below,
    /// Between least and most.
    Within,
    /// Over the most.
    Above,
}

impl UsualRange {
    /// What a formula holds of it, in %, of the lines that have an amount.
    #[must_use]
    pub fn held(&self, formula: &Formula, library: &Library) -> Percent {
        let sum = formula
            .lines()
            .filter_map(|(_, line)| {
                let Item::Material(id) = &line.item else { return None };
                let material = library.material(id)?;
                let state = self.state.is_none_or(|s| material.at_pour == Some(s));
                if !state || !self.counts.iter().any(|c| c.holds(material)) {
                    return None;
                }
                let percent = formula.percent_of(line)?.0;
                match &material.active {
                    Some(active) if self.active => {
                        percent.checked_mul(active.value.0)?.checked_div(Decimal::ONE_HUNDRED)
                    }
                    _ => Some(percent),
                }
            })
            .fold(Decimal::ZERO, Decimal::saturating_add);
        Percent(sum)
    }

    /// Where this amount lies; the ends count as within.
    #[must_use]
    pub fn lies(&self, held: Percent) -> Lies {
        if held < self.min {
            Lies::Below
        } else if self.max.is_some_and(|max| held > max) {
            Lies::Above
        } else {
            Lies::Within
        }
    }
}

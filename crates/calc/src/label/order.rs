//! The order of the ingredient list.
//!
//! Regulation (EC) 1223/2009, Article 19(1)(g), and 21 CFR 701.3: ingredients stand by descending
//! weight as added; those below 1 % (in the United States: not exceeding 1 %) may follow in any
//! order; colourants come after all others.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::Cited;
use crate::formula::{Basis, Contact};
use crate::quantity::Percent;

mod merge;
#[cfg(test)]
mod tests;
mod words;

pub use words::words;

/// The basic order and the free block below 1 %.
pub const ORDER_EU: Cited =
    Cited { source: "Regulation (EC) 1223/2009, Article 19(1)(g)", basis: Basis::Read };
/// The basic order and the free block up to 1 %.
pub const ORDER_US: Cited =
    Cited { source: "21 CFR 701.3(a) and (f)(2), as quoted", basis: Basis::Read };
/// Colourants after all others. The text allows this place rather than demanding it.
pub const COLOURS_LAST_EU: Cited = Cited {
    source: "Regulation (EC) 1223/2009, Article 19(1)(g), on colourants",
    basis: Basis::Memory,
};
/// Colour additives after all others.
pub const COLOURS_LAST_US: Cited =
    Cited { source: "21 CFR 701.3(f)(3), as summarised", basis: Basis::Read };
/// From where fragrance allergens are named in addition; the edge itself does not count.
pub const ALLERGENS_EU: Cited = Cited {
    source: "Regulation (EC) 1223/2009, Annex III, with Regulation (EU) 2023/1545",
    basis: Basis::Read,
};

/// What a name on the list stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ItemKind {
    /// Anything that is none of the others.
    Ordinary,
    /// A colourant. An item counts as one only where every part of it is one.
    Colour,
    /// A whole fragrance composition, listed by one name ("Parfum", "Fragrance"). It counts
    /// once, at its full amount, and stands by that amount like any other.
    Fragrance,
    /// A nanomaterial: "(nano)" follows its name.
    Nano,
}

/// One ingredient as it goes into the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListItem {
    /// The name to print. Runs of white space count as one space; capitals tell nothing apart.
    pub name: String,
    /// % of the product as added; zero and less is left out.
    pub percent: Percent,
    /// What it is.
    pub kind: ItemKind,
    /// Names of the materials that bring it.
    pub sources: Vec<String>,
    /// Items with the same key are one ingredient even under two names; the name that brings
    /// more is printed. Items with the same name are one in any case.
    pub group_key: Option<String>,
}

/// A fragrance allergen, summed over everything that brings it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AllergenItem {
    /// The name to print.
    pub name: String,
    /// % of the product from every source; the same name twice is summed.
    pub percent: Percent,
}

/// How a market orders the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderRules {
    /// Whether exactly 1 % stays in the ordered block.
    ///
    /// The European text says "less than" and "more than" 1 % and so leaves the edge open; the
    /// cautious reading is `true`. The American one says "not exceeding": `false`.
    pub one_percent_ordered: bool,
    /// Whether colourants follow all others; otherwise they stand by amount.
    pub colours_last: bool,
    /// Whether allergens whose order is free stand together after the other ingredients, before
    /// the colourants. One that is large enough for the ordered block keeps its place there.
    pub allergens_after: bool,
    /// Allergens up to and including this share are left out; `None` lists all that are given.
    pub allergens_above: Option<Percent>,
    /// The word before the list, without a colon; blank for none.
    pub heading: String,
}

impl OrderRules {
    /// The European rules: allergens above 0.001 % in what stays on, above 0.01 % in what is
    /// rinsed off ([`ORDER_EU`], [`ALLERGENS_EU`]).
    #[must_use]
    pub fn eu(contact: Contact) -> Self {
        let above = match contact {
            Contact::RinseOff => Decimal::new(1, 2),
            Contact::LeaveOn => Decimal::new(1, 3),
        };
        Self {
            one_percent_ordered: true,
            colours_last: true,
            allergens_after: false,
            allergens_above: Some(Percent(above)),
            heading: "Ingredients".to_owned(),
        }
    }

    /// The American rules ([`ORDER_US`]). No allergen is asked for by 21 CFR 701.3, so none is
    /// left out here either; no heading is fixed, and "Ingredients" is common practice.
    #[must_use]
    pub fn us() -> Self {
        Self {
            one_percent_ordered: false,
            colours_last: true,
            allergens_after: false,
            allergens_above: None,
            heading: "Ingredients".to_owned(),
        }
    }

    /// Whether this much belongs to the ordered block.
    #[must_use]
    pub fn is_ordered(&self, percent: Percent) -> bool {
        if self.one_percent_ordered { percent.0 >= ONE } else { percent.0 > ONE }
    }
}

/// The edge between the ordered and the free block, %.
pub(super) const ONE: Decimal = Decimal::ONE;

/// The part of the list in which an entry stands, in the order of the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Zone {
    /// By descending amount.
    Ordered,
    /// Any order; sorted by amount so that the list is always the same.
    Free,
    /// Allergens that were asked for after the others. Their order is free too.
    Allergen,
    /// Colourants, by name.
    Colour,
}

/// Why an entry stands where it does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// In the ordered block.
    ByAmount {
        /// % of the product.
        percent: Percent,
    },
    /// In the free block.
    Free {
        /// % of the product.
        percent: Percent,
    },
    /// After all others.
    Colour {
        /// % of the product.
        percent: Percent,
    },
    /// Named in addition to the fragrance.
    Allergen {
        /// % of the product.
        percent: Percent,
        /// Above which share it is named.
        above: Option<Percent>,
        /// The part of the list that it came to stand in.
        zone: Zone,
    },
}

/// One of the parts that were summed to an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Its name as given.
    pub name: String,
    /// % of the product.
    pub percent: Percent,
    /// The materials that bring it.
    pub sources: Vec<String>,
}

/// One name of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// As printed, "(nano)" included.
    pub name: String,
    /// % of the product, summed.
    pub percent: Percent,
    /// The part of the list in which it stands.
    pub zone: Zone,
    /// Why it stands there.
    pub why: Why,
    /// The materials that bring it, each once, by name.
    pub sources: Vec<String>,
    /// What was summed, largest first; a single part where nothing was merged, none for an
    /// allergen.
    pub parts: Vec<Part>,
}

impl Entry {
    /// True where several items became this one.
    #[must_use]
    pub fn is_merged(&self) -> bool {
        self.parts.len() > 1
    }
}

/// Why something that was given is not printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeftReason {
    /// Nothing or less than nothing of it.
    NotPositive,
    /// It has no name.
    NoName,
    /// An allergen that does not exceed this share.
    NotAbove(Percent),
    /// An allergen that is on the list as an ingredient of its own.
    AlreadyListed,
}

/// Something that was given and is not printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// Its name as given.
    pub name: String,
    /// % of the product.
    pub percent: Percent,
    /// Why it is not printed.
    pub reason: LeftReason,
}

/// The ingredient list, ready to print.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IngredientList {
    /// The word before the list; may be blank.
    pub heading: String,
    /// The names in printing order.
    pub entries: Vec<Entry>,
    /// Place of the first entry whose order among the following ones is free, colourants aside.
    pub first_free: Option<usize>,
    /// What is not printed, by name.
    pub left_out: Vec<LeftOut>,
}

impl IngredientList {
    /// "Ingredients: A, B, C"; blank when there is nothing to print.
    #[must_use]
    pub fn text(&self) -> String {
        let names: Vec<&str> = self.entries.iter().map(|e| e.name.as_str()).collect();
        let names = names.join(", ");
        if names.is_empty() || self.heading.is_empty() {
            return names;
        }
        format!("{}: {names}", self.heading)
    }
}

/// Puts ingredients and fragrance allergens in the order in which a market wants them printed.
///
/// The order in which they are given makes no difference. Blends must have been opened to their
/// ingredients before; the percentages are those of the product as its materials are added, so
/// that water which evaporates later still counts (interpretation, from memory).
#[must_use]
pub fn order(items: &[ListItem], allergens: &[AllergenItem], rules: &OrderRules) -> IngredientList {
    let mut left_out = Vec::new();
    let mut entries: Vec<Entry> = merge::merge(items, &mut left_out)
        .into_iter()
        .map(|merged| {
            let percent = merged.percent;
            let (zone, why) = if merged.colour && rules.colours_last {
                (Zone::Colour, Why::Colour { percent })
            } else if rules.is_ordered(percent) {
                (Zone::Ordered, Why::ByAmount { percent })
            } else {
                (Zone::Free, Why::Free { percent })
            };
            let (name, sources, parts) = (merged.name, merged.sources, merged.parts);
            Entry { name, percent, zone, why, sources, parts }
        })
        .collect();
    let extra = extra_allergens(allergens, &entries, rules, &mut left_out);
    entries.extend(extra);
    entries.sort_by(|a, b| {
        let by_amount = || match a.zone {
            Zone::Colour => std::cmp::Ordering::Equal,
            Zone::Ordered | Zone::Free | Zone::Allergen => b.percent.cmp(&a.percent),
        };
        a.zone.cmp(&b.zone).then_with(by_amount).then_with(|| by_name(&a.name, &b.name))
    });
    left_out.sort_by(|a, b| by_name(&a.name, &b.name).then_with(|| b.percent.cmp(&a.percent)));
    let first_free = entries.iter().position(|e| matches!(e.zone, Zone::Free | Zone::Allergen));
    let heading = merge::tidy(&rules.heading);
    IngredientList { heading, entries, first_free, left_out }
}

/// The allergens that are named beside the ingredients.
fn extra_allergens(
    allergens: &[AllergenItem],
    entries: &[Entry],
    rules: &OrderRules,
    left_out: &mut Vec<LeftOut>,
) -> Vec<Entry> {
    let mut sums: BTreeMap<String, BTreeMap<String, Percent>> = BTreeMap::new();
    for allergen in allergens {
        let name = merge::tidy(&allergen.name);
        if let Some(reason) = merge::unprintable(&name, allergen.percent) {
            left_out.push(LeftOut { name, percent: allergen.percent, reason });
            continue;
        }
        *sums.entry(fold(&name)).or_default().entry(name).or_default() += allergen.percent;
    }
    let mut extra = Vec::new();
    for (folded, spellings) in sums {
        let percent: Percent = spellings.values().copied().sum();
        let name = merge::leading(&spellings);
        let reason = match rules.allergens_above {
            Some(above) if percent <= above => Some(LeftReason::NotAbove(above)),
            _ if entries.iter().any(|e| fold(&e.name) == folded) => Some(LeftReason::AlreadyListed),
            _ => None,
        };
        if let Some(reason) = reason {
            left_out.push(LeftOut { name, percent, reason });
            continue;
        }
        let zone = if rules.is_ordered(percent) {
            Zone::Ordered
        } else if rules.allergens_after {
            Zone::Allergen
        } else {
            Zone::Free
        };
        let why = Why::Allergen { percent, above: rules.allergens_above, zone };
        extra.push(Entry { name, percent, zone, why, sources: Vec::new(), parts: Vec::new() });
    }
    extra
}

/// A name with capitals made small, to compare by.
fn fold(name: &str) -> String {
    name.to_lowercase()
}

fn by_name(a: &str, b: &str) -> std::cmp::Ordering {
    fold(a).cmp(&fold(b)).then_with(|| a.cmp(b))
}

//! What goes into the ingredient list: every material opened to the names it stands for.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::{ItemKind, ListItem};
use crate::evaluate::Opened;
use crate::formula::{Function, Material};
use crate::quantity::Percent;

/// Something that the list rests on and that is not known.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ListGap {
    /// A blend whose shares are not stated: its names stand by an even split.
    EvenSplit {
        /// The material, by display name.
        material: String,
        /// Its share of the product.
        percent: Percent,
    },
    /// Part of a blend has no name.
    Nameless {
        /// The material, by display name.
        material: String,
        /// The part, % of the product.
        percent: Percent,
    },
    /// A line could not be opened at all.
    NotOpened {
        /// How many lines.
        lines: usize,
    },
}

/// The items of the list, and what they rest on. Names are printed as `names` says, INCI name to
/// printed name; nanomaterials are those of `nano`.
#[must_use]
pub fn list_items(
    opened: &Opened<'_>,
    names: &[(String, String)],
    nano: &[String],
) -> (Vec<ListItem>, Vec<ListGap>) {
    let mut items = Vec::new();
    let mut gaps = Vec::new();
    let printed: BTreeMap<String, &str> =
        names.iter().map(|(inci, name)| (inci.to_lowercase(), name.as_str())).collect();
    for leaf in opened.leaves.iter().filter(|l| l.percent.0 > Decimal::ZERO) {
        let m = leaf.material;
        let colour = m.function == Some(Function::Colour);
        let mut put = |inci: &str, percent: Percent| {
            if percent.0 <= Decimal::ZERO {
                return;
            }
            let key = inci.to_lowercase();
            let kind = if nano.iter().any(|n| n.to_lowercase() == key) {
                ItemKind::Nano
            } else if key.starts_with("ci ") || (colour && m.composition.is_empty()) {
                ItemKind::Colour
            } else if key == "parfum" || key == "aroma" {
                ItemKind::Fragrance
            } else {
                ItemKind::Ordinary
            };
            items.push(ListItem {
                name: printed.get(&key).map_or(inci, |name| name).to_owned(),
                percent,
                kind,
                sources: vec![m.display_name().to_owned()],
                group_key: Some(key),
            });
        };
        parts(m, leaf.percent, &mut put, &mut gaps);
    }
    if !opened.errors.is_empty() {
        gaps.push(ListGap::NotOpened { lines: opened.errors.len() });
    }
    gaps.sort();
    gaps.dedup();
    (items, gaps)
}

fn parts(
    m: &Material,
    percent: Percent,
    put: &mut impl FnMut(&str, Percent),
    gaps: &mut Vec<ListGap>,
) {
    let name = || m.display_name().to_owned();
    let whole = |percent: Percent, put: &mut dyn FnMut(&str, Percent)| {
        // A solution sold under one name is water and the rest.
        let water = m.water.as_ref().filter(|_| m.dissolved().is_some());
        match water {
            Some(w) => {
                let water = w.percent.value.of_percent(percent);
                put("Aqua", water);
                put(&m.inci, percent - water);
            }
            None => put(&m.inci, percent),
        }
    };
    if m.composition.is_empty() {
        let names: Vec<&str> = m.inci.split(" (and) ").map(str::trim).collect();
        if names.len() < 2 {
            return whole(percent, put);
        }
        gaps.push(ListGap::EvenSplit { material: name(), percent });
        return even(&names, percent, put);
    }
    let mut rest = percent;
    let mut unstated: Vec<&str> = Vec::new();
    for part in &m.composition {
        match &part.share {
            Some(share) => {
                let of = share.value.of_percent(percent);
                rest = rest - of;
                put(&part.inci, of);
            }
            None => unstated.push(part.inci.as_str()),
        }
    }
    if !unstated.is_empty() {
        gaps.push(ListGap::EvenSplit { material: name(), percent });
        even(&unstated, rest, put);
    } else if rest.0 > Decimal::ZERO {
        // One name that holds less than all of the material is the material itself.
        let names: Vec<&str> = m.inci.split(" (and) ").collect();
        if names.len() < 2 {
            put(&m.inci, rest);
        } else {
            gaps.push(ListGap::Nameless { material: name(), percent: rest });
        }
    }
}

/// Splits an amount evenly over names; the first takes what does not divide.
fn even(names: &[&str], percent: Percent, put: &mut impl FnMut(&str, Percent)) {
    let count = Decimal::from(names.len().max(1));
    let each = Percent(percent.0.checked_div(count).unwrap_or_default());
    let mut left = percent;
    for name in names.iter().skip(1) {
        put(name, each);
        left = left - each;
    }
    if let Some(first) = names.first() {
        put(first, left);
    }
}

//! One entry per ingredient, whatever materials bring it.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::{ItemKind, LeftOut, LeftReason, ListItem, Part, by_name, fold};
use crate::quantity::Percent;

/// What follows the name of a nanomaterial (Regulation (EC) 1223/2009, Article 19(1)(g), read).
const NANO: &str = "(nano)";

/// An ingredient with all its parts.
pub(super) struct Merged {
    pub name: String,
    pub percent: Percent,
    pub colour: bool,
    pub sources: Vec<String>,
    pub parts: Vec<Part>,
}

/// A name without white space around it or runs of it inside.
pub(super) fn tidy(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Why this cannot be printed at all.
pub(super) fn unprintable(name: &str, percent: Percent) -> Option<LeftReason> {
    if name.is_empty() {
        Some(LeftReason::NoName)
    } else if percent.0 <= Decimal::ZERO {
        Some(LeftReason::NotPositive)
    } else {
        None
    }
}

/// The spelling that brings most; the first by name where two bring the same.
pub(super) fn leading(spellings: &BTreeMap<String, Percent>) -> String {
    spellings
        .iter()
        .max_by(|a, b| a.1.cmp(b.1).then_with(|| by_name(b.0, a.0)))
        .map(|(name, _)| name.clone())
        .unwrap_or_default()
}

/// An item with its name split from "(nano)".
struct Printed<'a> {
    item: &'a ListItem,
    base: String,
    nano: bool,
}

/// Sums items of one name or one key. A nanomaterial is never summed with the coarse one.
pub(super) fn merge(items: &[ListItem], left_out: &mut Vec<LeftOut>) -> Vec<Merged> {
    let mut printed = Vec::new();
    for item in items {
        let name = tidy(&item.name);
        let bare = without_nano(&name);
        let nano = bare.is_some() || item.kind == ItemKind::Nano;
        let base = bare.unwrap_or(name);
        if let Some(reason) = unprintable(&base, item.percent) {
            let name = tidy(&item.name);
            left_out.push(LeftOut { name, percent: item.percent, reason });
        } else {
            printed.push(Printed { item, base, nano });
        }
    }
    let mut groups: BTreeMap<usize, Vec<&Printed<'_>>> = BTreeMap::new();
    for (root, one) in roots(&printed).into_iter().zip(&printed) {
        groups.entry(root).or_default().push(one);
    }
    groups.into_values().map(|group| sum(&group)).collect()
}

/// The name before a closing "(nano)", if there is one.
fn without_nano(name: &str) -> Option<String> {
    let at = name.len().checked_sub(NANO.len())?;
    let (base, end) = name.split_at_checked(at)?;
    end.eq_ignore_ascii_case(NANO).then(|| base.trim_end().to_owned())
}

/// For each item the first item that it belongs with, by name or by key, over any number of steps.
fn roots(printed: &[Printed<'_>]) -> Vec<usize> {
    let mut parent: Vec<usize> = (0..printed.len()).collect();
    let mut seen: BTreeMap<(bool, bool, String), usize> = BTreeMap::new();
    for (place, one) in printed.iter().enumerate() {
        let name = Some((one.nano, false, fold(&one.base)));
        let key = one.item.group_key.as_deref().map(tidy).filter(|k| !k.is_empty());
        let key = key.map(|k| (one.nano, true, k));
        for mark in name.into_iter().chain(key) {
            let other = *seen.entry(mark).or_insert(place);
            let (a, b) = (root(&parent, place), root(&parent, other));
            if let Some(slot) = parent.get_mut(a.max(b)) {
                *slot = a.min(b);
            }
        }
    }
    (0..printed.len()).map(|place| root(&parent, place)).collect()
}

fn root(parent: &[usize], mut place: usize) -> usize {
    // A parent is never behind its child, so this ends.
    while let Some(&up) = parent.get(place) {
        if up == place {
            break;
        }
        place = up;
    }
    place
}

fn sum(group: &[&Printed<'_>]) -> Merged {
    let mut spellings: BTreeMap<String, Percent> = BTreeMap::new();
    let mut sources = BTreeSet::new();
    let mut parts = Vec::new();
    for one in group {
        *spellings.entry(one.base.clone()).or_default() += one.item.percent;
        let named = one.item.sources.iter().map(|s| tidy(s)).filter(|s| !s.is_empty());
        let mut own: Vec<String> = named.collect();
        own.sort();
        own.dedup();
        sources.extend(own.iter().cloned());
        parts.push(Part { name: tidy(&one.item.name), percent: one.item.percent, sources: own });
    }
    parts.sort_by(|a, b| {
        let rest = || by_name(&a.name, &b.name).then_with(|| a.sources.cmp(&b.sources));
        b.percent.cmp(&a.percent).then_with(rest)
    });
    let mut name = leading(&spellings);
    if group.iter().any(|one| one.nano) {
        name = format!("{name} {NANO}");
    }
    Merged {
        name,
        percent: spellings.values().copied().sum(),
        colour: group.iter().all(|one| one.item.kind == ItemKind::Colour),
        sources: sources.into_iter().collect(),
        parts,
    }
}

//! Fragrance allergens: how much of each is in a formula, and which a label must name.

use super::contents::{Contents, Held, How, same_name};
use super::market::{AllergenRule, AllergenRules, Regime};
use crate::evaluate::Opened;
use crate::formula::{Contact, Figure, Formula, Function, LineId, MaterialId, Place};
use crate::quantity::{Date, Percent};

/// How it is known that a material holds an allergen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum AllergenFrom {
    /// Its list of allergens.
    Declared,
    /// Parts of its composition.
    Composition,
    /// It is the allergen.
    Itself,
    /// It belongs to a group that is named as a whole.
    Group,
}

/// Where part of an allergen comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct AllergenSource {
    /// Line of the formula.
    pub line: LineId,
    /// Material that brings it.
    pub material: MaterialId,
    /// Its display name.
    pub name: String,
    /// % of the product.
    pub percent: Percent,
    /// How it is known.
    pub from: AllergenFrom,
    /// A usual range of the material, rather than a figure that was entered for it.
    pub assumed: bool,
}

/// One allergen of the list that is in the formula.
#[derive(Clone, Debug, PartialEq)]
pub struct AllergenSum {
    /// Where it stands, such as "Annex III/70".
    pub reference: String,
    /// Name on the label.
    pub label: String,
    /// Old or new.
    pub regime: Regime,
    /// % of the product from all sources.
    pub amount: Percent,
    /// It is named above this, % of the product.
    pub threshold: Percent,
    /// Strictly above the threshold.
    pub over: bool,
    /// The list asks for its name on that day: it is over, and either an old one or new ones are
    /// asked for.
    pub required_now: bool,
    /// Sources, largest first.
    pub sources: Vec<AllergenSource>,
    /// Source of the entry and how far to trust it.
    pub about: Figure<()>,
}

/// Something whose allergens are not known.
#[derive(Clone, Debug, PartialEq)]
pub struct UnknownAllergens {
    /// Line that brings most of it.
    pub line: LineId,
    /// The material.
    pub material: MaterialId,
    /// Its display name.
    pub name: String,
    /// % of the product of that line.
    pub percent: Percent,
    /// Allergens that it is said to hold without an amount; empty: it says nothing at all.
    pub without_amount: Vec<String>,
}

/// What a market's list of allergens says of a formula.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AllergenChecks {
    /// Allergens that are there, by descending amount, then by name.
    pub sums: Vec<AllergenSum>,
    /// Materials whose allergens are not known, by name.
    pub unknown: Vec<UnknownAllergens>,
    /// The last day without the new ones; `None` where they are asked for already.
    pub new_free_until: Option<Date>,
}

/// What one leaf holds of one entry.
#[derive(Clone, Copy, Default)]
struct Row {
    label: Percent,
    members: Percent,
    parts: Percent,
    itself: Percent,
    group: Percent,
    // Of what has the list and the parts.
    assumed: [bool; 2],
    silent: bool,
}

impl Row {
    /// The same substance may be told in several ways: the largest counts, never the sum.
    fn most(&self) -> (Percent, AllergenFrom, bool) {
        // A declared total and its declared members are the same as well.
        let declared = self.label.max(self.members);
        let opened = self.parts + self.itself;
        let [listed, parted] = self.assumed;
        let mut most = (declared, AllergenFrom::Declared, listed);
        if opened >= most.0 {
            let from = if self.itself >= self.parts {
                AllergenFrom::Itself
            } else {
                AllergenFrom::Composition
            };
            most = (opened, from, parted && from == AllergenFrom::Composition);
        }
        if self.group > most.0 {
            most = (self.group, AllergenFrom::Group, false);
        }
        most
    }
}

/// Holds a formula against a list of allergens on a day.
#[must_use]
pub fn allergen_sums(
    formula: &Formula,
    opened: &Opened<'_>,
    rules: &AllergenRules,
    date: Date,
) -> AllergenChecks {
    let contents = Contents::of(opened);
    let threshold = match formula.product.contact {
        Contact::RinseOff => rules.rinse_off_above,
        Contact::LeaveOn => rules.leave_on_above,
    };
    let new_free_until = new_free_until(formula, rules, date);
    let mut out = AllergenChecks { new_free_until, ..AllergenChecks::default() };
    let mut silent: Vec<(usize, &str)> = Vec::new();
    let mut rows: Vec<(usize, Row)> = Vec::new();
    for entry in &rules.entries {
        if entry.oral_only && formula.product.place != Place::Lips {
            continue;
        }
        rows.clear();
        gather(entry, rules, &contents, &mut rows);
        let mut sources: Vec<AllergenSource> = Vec::new();
        for (leaf, row) in &rows {
            let Some(of) = contents.leaves.get(*leaf) else { continue };
            let (percent, from, assumed) = row.most();
            if row.silent && percent.is_zero() {
                silent.push((*leaf, entry.label.as_str()));
            }
            if percent.is_zero() {
                continue;
            }
            let same = |s: &&mut AllergenSource| s.line == of.line && s.material == of.material.id;
            match sources.iter_mut().find(same) {
                Some(there) => there.percent += percent,
                None => sources.push(AllergenSource {
                    line: of.line,
                    material: of.material.id.clone(),
                    name: of.material.display_name().to_owned(),
                    percent,
                    from,
                    assumed,
                }),
            }
        }
        if sources.is_empty() {
            continue;
        }
        sources.sort_by(|a, b| {
            b.percent.cmp(&a.percent).then_with(|| (&a.name, a.line).cmp(&(&b.name, b.line)))
        });
        let amount: Percent = sources.iter().map(|s| s.percent).sum();
        let over = amount > threshold;
        out.sums.push(AllergenSum {
            reference: entry.reference.clone(),
            label: entry.label.clone(),
            regime: entry.regime,
            amount,
            threshold,
            over,
            required_now: over && (entry.regime == Regime::Old || new_free_until.is_none()),
            sources,
            about: entry.about.clone(),
        });
    }
    out.sums.sort_by(|a, b| b.amount.cmp(&a.amount).then_with(|| a.label.cmp(&b.label)));
    out.unknown = unknown(&contents, &silent);
    out
}

/// The last day on which the product may go without the new ones, where that day is not over:
/// the last day of placing on the market, or the last day of sale where the formula says that it
/// was placed in time.
fn new_free_until(formula: &Formula, rules: &AllergenRules, date: Date) -> Option<Date> {
    let until = rules.old_placed_until?;
    let last = match formula.safety.placed {
        Some(placed) if placed > until => return None,
        Some(_) => rules.old_sold_until.unwrap_or(until),
        None => until,
    };
    (date <= last).then_some(last)
}

fn gather(
    entry: &AllergenRule,
    rules: &AllergenRules,
    contents: &Contents<'_>,
    rows: &mut Vec<(usize, Row)>,
) {
    let mut used: Vec<usize> = Vec::new();
    let labels = contents.named(&entry.label).map(|h| (h, true));
    let aliases = entry.aliases.iter().flat_map(|a| contents.named(a)).map(|h| (h, false));
    let numbers = entry
        .cas
        .iter()
        .flat_map(|c| contents.numbered(c).filter(|_| decides(c, rules)).map(|h| (h, false)));
    for ((i, held), by_label) in labels.chain(aliases).chain(numbers) {
        if used.contains(&i) {
            continue;
        }
        used.push(i);
        let at = rows.iter().position(|(leaf, _)| *leaf == held.leaf).unwrap_or_else(|| {
            rows.push((held.leaf, Row::default()));
            rows.len() - 1
        });
        if let Some((_, row)) = rows.get_mut(at) {
            add(row, held, by_label);
        }
    }
}

fn add(row: &mut Row, held: &Held<'_>, by_label: bool) {
    let Some(percent) = held.percent else {
        row.silent = true;
        return;
    };
    let [listed, parted] = &mut row.assumed;
    match held.how {
        How::Declared => {
            *(if by_label { &mut row.label } else { &mut row.members }) += percent;
            *listed |= held.assumed;
        }
        How::Part => {
            row.parts += percent;
            *parted |= held.assumed;
        }
        How::Itself => row.itself += percent,
        How::Group => row.group = row.group.max(percent),
    }
}

/// A number that stands in two entries decides nothing: the name must.
fn decides(cas: &str, rules: &AllergenRules) -> bool {
    rules.entries.iter().filter(|e| e.cas.iter().any(|c| same_name(c, cas))).count() < 2
}

fn unknown(contents: &Contents<'_>, silent: &[(usize, &str)]) -> Vec<UnknownAllergens> {
    let mut out: Vec<UnknownAllergens> = Vec::new();
    let mut last = None;
    for leaf in contents.held().iter().map(|h| h.leaf) {
        if last == Some(leaf) {
            continue;
        }
        last = Some(leaf);
        let Some(of) = contents.leaves.get(leaf) else { continue };
        let m = of.material;
        let scent = m.function == Some(Function::Fragrance)
            || m.group.trim().eq_ignore_ascii_case("fragrance");
        let without_amount: Vec<String> =
            silent.iter().filter(|(l, _)| *l == leaf).map(|(_, name)| (*name).to_owned()).collect();
        let says_nothing = scent && m.allergens.is_empty() && !m.allergens_complete;
        if !says_nothing && without_amount.is_empty() {
            continue;
        }
        match out.iter_mut().find(|u| u.material == m.id) {
            Some(there) => {
                if (of.percent, there.line) > (there.percent, of.line) {
                    (there.line, there.percent) = (of.line, of.percent);
                }
            }
            None => out.push(UnknownAllergens {
                line: of.line,
                material: m.id.clone(),
                name: m.display_name().to_owned(),
                percent: of.percent,
                without_amount,
            }),
        }
    }
    out.sort_by(|a, b| (&a.name, &a.material).cmp(&(&b.name, &b.material)));
    out
}

#[cfg(test)]
mod tests;

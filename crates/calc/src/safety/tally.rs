//! Sources of the substances that a rule names, added up.

use rust_decimal::{Decimal, RoundingStrategy};

use super::contents::{Contents, How};
use super::factor::{Conversion, factor};
use super::market::{Member, Species, Uses};
use crate::formula::{LineId, MaterialId};
use crate::quantity::Percent;

/// Decimals of a percent that a converted amount is rounded to before it is compared: molar
/// masses have five figures.
pub const CONVERTED_DECIMALS: u32 = 4;
/// The most that is kept of a small one.
const MOST_DECIMALS: u32 = 10;

/// Where part of a counted amount comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitSource {
    /// Line of the formula.
    pub line: LineId,
    /// Material that brings it.
    pub material: MaterialId,
    /// Its display name.
    pub name: String,
    /// INCI name of the substance, as the rule names it.
    pub member: String,
    /// Share of the material in the product, %.
    pub brought: Percent,
    /// % of the product, as it is.
    pub percent: Percent,
    /// % of the product as the counted species, not rounded.
    pub counted: Percent,
    /// How it was converted; `None` where it counts as it is.
    pub conversion: Option<Conversion>,
}

/// A source whose amount is not known.
#[derive(Clone, Debug, PartialEq)]
pub struct UnknownSource {
    /// Line of the formula.
    pub line: LineId,
    /// Material that brings it.
    pub material: MaterialId,
    /// Its display name.
    pub name: String,
    /// INCI name of the substance, as the rule names it.
    pub member: String,
    /// % of the product that it cannot exceed, as the counted species; `None` where it cannot
    /// be converted.
    pub bound: Option<Percent>,
    /// True when that was converted.
    pub converted: bool,
}

/// An amount to be held against a cap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Amount {
    /// What is known of it.
    pub known: Percent,
    /// What it cannot exceed; `None` where that is not known.
    pub most: Option<Percent>,
}

/// Sources of one rule.
#[derive(Clone, Debug, Default)]
pub(super) struct Tally {
    /// Those with an amount, largest first.
    pub sources: Vec<LimitSource>,
    /// Those without.
    pub unknown: Vec<UnknownSource>,
}

/// What one leaf holds of one member.
struct Row {
    leaf: usize,
    member: usize,
    opened: Percent,
    declared: Percent,
    // Bounds of what has no amount, from parts and from the list of allergens.
    part: Option<Percent>,
    listed: Option<Percent>,
    // The material as a whole is what the rule names.
    whole: bool,
}

impl Row {
    /// A part and an entry in the list of allergens are the same substance told twice.
    fn known(&self) -> Percent {
        self.opened.max(self.declared)
    }

    fn bound(&self) -> Option<Percent> {
        match (self.part, self.listed) {
            (Some(part), _) if self.declared.is_zero() => Some(part),
            (_, Some(listed)) if self.opened.is_zero() => Some(listed),
            _ => None,
        }
    }
}

fn rows(members: &[Member], contents: &Contents<'_>) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    let mut used: Vec<usize> = Vec::new();
    for (place, member) in members.iter().enumerate() {
        let names = std::iter::once(&member.inci).chain(&member.aliases);
        let named = names.flat_map(|n| contents.named(n));
        let numbered = member.cas.iter().flat_map(|c| contents.numbered(c));
        for (i, held) in named.chain(numbered) {
            if held.how == How::Group || used.contains(&i) {
                continue;
            }
            used.push(i);
            let found = rows.iter().position(|r| r.leaf == held.leaf && r.member == place);
            let at = found.unwrap_or_else(|| {
                rows.push(Row {
                    leaf: held.leaf,
                    member: place,
                    opened: Percent::ZERO,
                    declared: Percent::ZERO,
                    part: None,
                    listed: None,
                    whole: false,
                });
                rows.len() - 1
            });
            let Some(row) = rows.get_mut(at) else { continue };
            match (held.how, held.percent) {
                (How::Declared, Some(p)) => row.declared += p,
                (How::Declared, None) => row.listed = Some(held.bound),
                (how, Some(p)) => {
                    row.opened += p;
                    row.whole |= how == How::Itself && p == held.bound;
                }
                (_, None) => row.part = Some(held.bound),
            }
        }
    }
    // A rule that names a mixture counts it once, not its parts as well.
    let whole: Vec<usize> = rows.iter().filter(|r| r.whole).map(|r| r.leaf).collect();
    rows.retain(|r| r.whole || !r.known().is_zero() || !whole.contains(&r.leaf));
    rows
}

impl Tally {
    /// Adds up; `None` where the rule has nothing to speak of.
    pub fn of(
        members: &[Member],
        species: Option<&Species>,
        (needs, counts): (Uses, Uses),
        contents: &Contents<'_>,
    ) -> Option<Self> {
        let rows = rows(members, contents);
        let leaf = |row: &Row| contents.leaves.get(row.leaf);
        let met =
            |row: &Row, uses: Uses| leaf(row).is_some_and(|l| uses.looks_at(l.material.function));
        if !rows.iter().any(|r| met(r, needs)) {
            return None;
        }
        let mut out = Self::default();
        for row in rows.iter().filter(|r| met(r, counts)) {
            let (Some(leaf), Some(member)) = (leaf(row), members.get(row.member)) else { continue };
            let conversion = species.map_or(Ok(None), |s| factor(member, s));
            let known = row.known();
            let unknown = |bound| UnknownSource {
                line: leaf.line,
                material: leaf.material.id.clone(),
                name: leaf.material.display_name().to_owned(),
                member: member.inci.clone(),
                bound,
                converted: !matches!(conversion, Ok(None)),
            };
            let Ok(conversion) = conversion else {
                out.unknown.push(unknown(None));
                continue;
            };
            let times = |p: Percent| conversion.map_or(p, |c| p.times(c.factor));
            if let Some(bound) = row.bound() {
                out.unknown.push(unknown(Some(times(bound))));
            }
            if !known.is_zero() {
                out.add(LimitSource {
                    line: leaf.line,
                    material: leaf.material.id.clone(),
                    name: leaf.material.display_name().to_owned(),
                    member: member.inci.clone(),
                    brought: leaf.percent,
                    percent: known,
                    counted: times(known),
                    conversion,
                });
            }
        }
        if out.sources.is_empty() && out.unknown.is_empty() {
            return None;
        }
        out.sources.sort_by(|a, b| {
            let names = |s: &LimitSource| (s.name.clone(), s.member.clone(), s.line);
            b.counted.cmp(&a.counted).then_with(|| names(a).cmp(&names(b)))
        });
        out.unknown.sort_by(|a, b| (&a.name, &a.member, a.line).cmp(&(&b.name, &b.member, b.line)));
        Some(out)
    }

    /// One material may come to a line by several ways through premixes.
    fn add(&mut self, source: LimitSource) {
        let same = |s: &&mut LimitSource| {
            s.line == source.line && s.material == source.material && s.member == source.member
        };
        match self.sources.iter_mut().find(same) {
            Some(there) => {
                there.brought += source.brought;
                there.percent += source.percent;
                there.counted =
                    there.conversion.map_or(there.percent, |c| there.percent.times(c.factor));
            }
            None => self.sources.push(source),
        }
    }

    /// Those of one member.
    pub fn of_member(&self, member: &str) -> Self {
        Self {
            sources: self.sources.iter().filter(|s| s.member == member).cloned().collect(),
            unknown: self.unknown.iter().filter(|u| u.member == member).cloned().collect(),
        }
    }

    /// Names of the members that are there, in order.
    pub fn members(&self) -> Vec<String> {
        let names = self.sources.iter().map(|s| &s.member);
        let mut names: Vec<String> =
            names.chain(self.unknown.iter().map(|u| &u.member)).cloned().collect();
        names.sort_unstable();
        names.dedup();
        names
    }

    /// True when anything was converted.
    pub fn converted(&self) -> bool {
        self.sources.iter().any(|s| s.conversion.is_some())
    }

    /// The sum. Shares of one member are added before they are converted, so that the sum does
    /// not depend on how many lines they come from.
    pub fn amount(&self) -> Amount {
        let exact = self.exact();
        let converted = self.converted() || self.unknown.iter().any(|u| u.converted);
        let most = self.bound().map(|b| rounded(exact + b, converted));
        Amount { known: rounded(exact, self.converted()), most }
    }

    fn exact(&self) -> Percent {
        let mut sums: Vec<(&str, Percent, Option<Conversion>)> = Vec::new();
        for s in &self.sources {
            match sums.iter_mut().find(|(m, ..)| *m == s.member) {
                Some((_, sum, _)) => *sum += s.percent,
                None => sums.push((&s.member, s.percent, s.conversion)),
            }
        }
        sums.sort_unstable_by_key(|(m, ..)| *m);
        sums.into_iter().map(|(_, p, c)| c.map_or(p, |c| p.times(c.factor))).sum()
    }

    /// What the unknown ones cannot exceed together: those of one material share its bound.
    fn bound(&self) -> Option<Percent> {
        let mut bounds: Vec<(LineId, &MaterialId, Percent)> = Vec::new();
        for u in &self.unknown {
            let bound = u.bound?;
            match bounds.iter_mut().find(|(l, m, _)| *l == u.line && *m == &u.material) {
                Some((.., most)) => *most = (*most).max(bound),
                None => bounds.push((u.line, &u.material, bound)),
            }
        }
        Some(bounds.into_iter().map(|(.., b)| b).sum())
    }
}

/// An amount as it is compared.
pub(crate) fn rounded(amount: Percent, converted: bool) -> Percent {
    if !converted {
        return amount;
    }
    let at = RoundingStrategy::MidpointAwayFromZero;
    // Below 0.01 % three figures count, or a limit of 0.001 % would be off by a twentieth.
    let mut places = CONVERTED_DECIMALS;
    let mut edge = Decimal::new(1, 2);
    while places < MOST_DECIMALS && amount.0.abs() < edge {
        places += 1;
        edge = Decimal::new(1, places.saturating_sub(2));
    }
    Percent(amount.0.round_dp_with_strategy(places, at))
}

//! Limits of law: what a market's rules say of a formula.
//!
//! Every source of a rule's substances is added up after blends are opened, as the species that
//! the rule counts, and held against every cap that speaks of the product.

use super::contents::Contents;
use super::market::{LimitRule, Market, Uses};
use super::tally::{Amount, Tally};
pub use super::tally::{CONVERTED_DECIMALS, LimitSource, UnknownSource};
use crate::evaluate::Opened;
use crate::formula::{Figure, Formula};
use crate::quantity::{Date, Percent};

/// What comes of holding an amount against a cap.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// No cap speaks of this product.
    NoMaximum,
    /// Within the cap.
    Within,
    /// Within the cap at the most that it can be; a share is not stated.
    AtMost,
    /// Beyond the cap.
    Above,
    /// Not allowed in this product.
    NotAllowed,
    /// A share that is not stated decides.
    Undecided,
}

/// A rule whose substances are in the formula, held against one of its caps.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitCheck {
    /// Key of the rule within the market.
    pub rule: String,
    /// Where it stands, such as "Annex V/1".
    pub reference: String,
    /// What it is about.
    pub title: String,
    /// The species that is counted; `None`: the substances as they are.
    pub species: Option<String>,
    /// The one member that the cap is for; `None`: their sum.
    pub member: Option<String>,
    /// % of the product as counted and as compared: rounded to [`CONVERTED_DECIMALS`] where it
    /// was converted, else exact. Sources without an amount are not in it.
    pub amount: Percent,
    /// The most that it can be with those; `None` where that is not known.
    pub most: Option<Percent>,
    /// True when a source was converted.
    pub converted: bool,
    /// The cap; `None` where there is none or where the substance is not allowed.
    pub cap: Option<Percent>,
    /// An amount that equals the cap is too much as well.
    pub at_or_above: bool,
    /// What comes of it.
    pub verdict: Verdict,
    /// Sources with an amount, largest first.
    pub sources: Vec<LimitSource>,
    /// Sources without.
    pub unknown: Vec<UnknownSource>,
    /// Source of the rule and how far to trust it.
    pub about: Figure<()>,
}

impl LimitCheck {
    /// True when the amount is beyond the cap or the substance is not allowed.
    #[must_use]
    pub fn over(&self) -> bool {
        matches!(self.verdict, Verdict::Above | Verdict::NotAllowed)
    }

    /// True when the product may hold it at all.
    #[must_use]
    pub fn allowed(&self) -> bool {
        self.verdict != Verdict::NotAllowed
    }

    /// What is counted, in words: the species, else the one substance, else the rule's title.
    #[must_use]
    pub fn counted_name(&self) -> &str {
        if let Some(member) = &self.member {
            return member;
        }
        if let Some(species) = &self.species {
            return species;
        }
        let mut members =
            self.sources.iter().map(|s| &s.member).chain(self.unknown.iter().map(|u| &u.member));
        let first = members.next();
        match first {
            Some(first) if members.all(|m| m == first) => first,
            _ => &self.title,
        }
    }
}

/// A statement that stands.
#[derive(Clone, Debug, PartialEq)]
pub struct StatementHeld {
    /// Key of the rule within the market.
    pub rule: String,
    /// Its place among the rule's statements.
    pub index: usize,
    /// Where it stands.
    pub reference: String,
    /// Words for the pack rather than a condition for the file.
    pub label: bool,
    /// The words.
    pub text: String,
    /// It stands from above this share; `None`: any.
    pub above: Option<Percent>,
    /// The share that it was held against.
    pub amount: Percent,
    /// A share that is not stated was taken at its most.
    pub assumed: bool,
    /// What made it stand, largest first.
    pub sources: Vec<LimitSource>,
    /// What made it stand without an amount.
    pub unknown: Vec<UnknownSource>,
    /// Source of the rule and how far to trust it.
    pub about: Figure<()>,
}

/// Two rules whose substances meet although they must not.
#[derive(Clone, Debug, PartialEq)]
pub struct ClashHeld {
    /// Keys of the rules.
    pub rules: (String, String),
    /// Where they stand.
    pub references: (String, String),
    /// Why they must not meet.
    pub why: String,
    /// Sources of the one, then of the other.
    pub sources: (Vec<LimitSource>, Vec<LimitSource>),
    /// The same without an amount.
    pub unknown: (Vec<UnknownSource>, Vec<UnknownSource>),
    /// Source of the rule and how far to trust it.
    pub about: Figure<()>,
}

/// A coming change that names something in the formula.
#[derive(Clone, Debug, PartialEq)]
pub struct PendingHeld {
    /// Its place among the market's coming changes.
    pub index: usize,
    /// What it would say.
    pub text: String,
    /// From this day; `None` while open.
    pub from: Option<Date>,
    /// What it names, largest first.
    pub sources: Vec<LimitSource>,
    /// What it names without an amount.
    pub unknown: Vec<UnknownSource>,
    /// Source of the rule and how far to trust it.
    pub about: Figure<()>,
}

/// All that a market's limits say of a formula.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MarketChecks {
    /// Every cap of every rule whose substances are there, those that are met as well, in the
    /// order of the rules.
    pub limits: Vec<LimitCheck>,
    /// Statements that stand, in the order of the rules.
    pub statements: Vec<StatementHeld>,
    /// Clashes.
    pub clashes: Vec<ClashHeld>,
    /// Coming changes.
    pub pending: Vec<PendingHeld>,
}

/// Holds a formula against the limits of a market on a day.
#[must_use]
pub fn check_market(
    formula: &Formula,
    opened: &Opened<'_>,
    market: &Market,
    date: Date,
) -> MarketChecks {
    check_contents(formula, &Contents::of(opened), market, date)
}

/// The same for contents that several markets share.
pub(crate) fn check_contents(
    formula: &Formula,
    contents: &Contents<'_>,
    market: &Market,
    date: Date,
) -> MarketChecks {
    let mut out = MarketChecks::default();
    let mut met: Vec<(&LimitRule, Tally)> = Vec::new();
    for rule in &market.limits {
        let uses = (rule.needs, rule.counts);
        if let Some(tally) = Tally::of(&rule.members, rule.species.as_ref(), uses, contents) {
            caps(formula, rule, &tally, date, &mut out.limits);
            statements(formula, rule, &tally, date, &mut out.statements);
            met.push((rule, tally));
        }
    }
    for clash in &market.clashes {
        let of = |id: &str| met.iter().find(|(r, _)| r.id == id);
        if let (Some((one, first)), Some((other, second))) = (of(&clash.one), of(&clash.other))
            && materials(first) != materials(second)
        {
            out.clashes.push(ClashHeld {
                rules: (one.id.clone(), other.id.clone()),
                references: (one.reference.clone(), other.reference.clone()),
                why: clash.why.clone(),
                sources: (first.sources.clone(), second.sources.clone()),
                unknown: (first.unknown.clone(), second.unknown.clone()),
                about: clash.about.clone(),
            });
        }
    }
    for (index, pending) in market.pending.iter().enumerate() {
        let any = (Uses::Any, Uses::Any);
        if let Some(tally) = Tally::of(&pending.members, None, any, contents) {
            out.pending.push(PendingHeld {
                index,
                text: pending.text.clone(),
                from: pending.from,
                sources: tally.sources,
                unknown: tally.unknown,
                about: pending.about.clone(),
            });
        }
    }
    out
}

/// One mixture may hold the substances of both rules of a clash: rules that name a mixture and
/// one of its parts do not clash over the mixture.
fn materials(tally: &Tally) -> Vec<&crate::formula::MaterialId> {
    let known = tally.sources.iter().map(|s| &s.material);
    let mut all: Vec<_> = known.chain(tally.unknown.iter().map(|u| &u.material)).collect();
    all.sort_unstable();
    all.dedup();
    all
}

fn caps(formula: &Formula, rule: &LimitRule, tally: &Tally, date: Date, out: &mut Vec<LimitCheck>) {
    let check = |tally: &Tally, member: Option<String>, cap: Option<&super::market::Cap>| {
        let amount = tally.amount();
        let max = cap.and_then(|c| c.max);
        let at_or_above = cap.is_some_and(|c| c.at_or_above);
        LimitCheck {
            rule: rule.id.clone(),
            reference: rule.reference.clone(),
            title: rule.title.clone(),
            species: rule.species.as_ref().map(|s| s.name.clone()),
            member,
            amount: amount.known,
            most: amount.most,
            converted: tally.converted(),
            cap: max,
            at_or_above,
            verdict: match cap {
                None => Verdict::NoMaximum,
                Some(_) => verdict(amount, max, at_or_above, tally.unknown.is_empty()),
            },
            sources: tally.sources.clone(),
            unknown: tally.unknown.clone(),
            about: rule.about.clone(),
        }
    };
    let before = out.len();
    for cap in rule.caps.iter().filter(|c| c.when.holds(formula.product, date)) {
        if cap.each {
            for member in tally.members() {
                let own = tally.of_member(&member);
                out.push(check(&own, Some(member), Some(cap)));
            }
        } else {
            out.push(check(tally, None, Some(cap)));
        }
    }
    if out.len() == before {
        out.push(check(tally, None, None));
    }
}

fn verdict(amount: Amount, max: Option<Percent>, at_or_above: bool, all_known: bool) -> Verdict {
    let Some(max) = max else { return Verdict::NotAllowed };
    let beyond = |p: Percent| p > max || (at_or_above && p == max);
    if beyond(amount.known) {
        Verdict::Above
    } else if all_known {
        Verdict::Within
    } else if amount.most.is_some_and(|m| !beyond(m)) {
        Verdict::AtMost
    } else {
        Verdict::Undecided
    }
}

fn statements(
    formula: &Formula,
    rule: &LimitRule,
    tally: &Tally,
    date: Date,
    out: &mut Vec<StatementHeld>,
) {
    let amount = tally.amount();
    for (index, statement) in rule.statements.iter().enumerate() {
        if !statement.when.holds(formula.product, date) {
            continue;
        }
        let above = |p: Percent| statement.above.is_none_or(|a| p > a);
        let assumed = !above(amount.known);
        // Left out only when even the most that there can be does not call for it.
        if assumed && (tally.unknown.is_empty() || amount.most.is_some_and(|m| !above(m))) {
            continue;
        }
        out.push(StatementHeld {
            rule: rule.id.clone(),
            index,
            reference: rule.reference.clone(),
            label: statement.label,
            text: statement.text.clone(),
            above: statement.above,
            amount: if assumed { amount.most.unwrap_or(amount.known) } else { amount.known },
            assumed,
            sources: tally.sources.clone(),
            unknown: tally.unknown.clone(),
            about: rule.about.clone(),
        });
    }
}

#[cfg(test)]
mod tests;

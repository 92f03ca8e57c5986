//! The file of a market: limits, clashes, coming changes, allergens; the label is in
//! `label.rs`.

use quern_calc::formula::{Basis, Confidence};
use quern_calc::quantity::{Date, Percent};
use quern_calc::safety::market::{
    AllergenRule, AllergenRules, Cap, Clash, LimitRule, Market, Member, Pending, Regime, Species,
    Statement, Uses,
};
use serde::Deserialize;

use super::label::LabelText;
use super::market_check::check_market;
use super::parts::{Cas, Code, Molecule, Share, Text, WhenText, cas, figure, texts};
use super::problem::RulesProblem;
use super::read;
use crate::check::{Problems, quoted};
use crate::format::word::Word;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "market")]
struct MarketText {
    #[serde(rename = "format")]
    _format: u32,
    code: Word<Code>,
    name: Word<Text>,
    edition: Word<Text>,
    as_of: Word<Date>,
    #[serde(default)]
    limits: Vec<LimitText>,
    #[serde(default)]
    clashes: Vec<ClashText>,
    #[serde(default)]
    pending: Vec<PendingText>,
    #[serde(default)]
    allergens: Option<AllergensText>,
    label: LabelText,
    not_checked: Vec<Word<Text>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "member")]
struct MemberText {
    inci: Word<Text>,
    #[serde(default)]
    aliases: Vec<Word<Text>>,
    #[serde(default)]
    cas: Vec<Word<Cas>>,
    #[serde(default)]
    formula: Option<Word<Molecule>>,
    #[serde(default = "one")]
    moles: u32,
}

fn one() -> u32 {
    1
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "species")]
struct SpeciesText {
    name: Word<Text>,
    formula: Word<Molecule>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "cap")]
struct CapText {
    #[serde(default)]
    when: WhenText,
    #[serde(default)]
    max: Option<Word<Share>>,
    /// In place of `max`, because a maximum that is left out by mistake must not forbid.
    #[serde(default)]
    not_allowed: bool,
    #[serde(default)]
    each: bool,
    #[serde(default)]
    at_or_above: bool,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "statement")]
struct StatementText {
    #[serde(default)]
    when: WhenText,
    #[serde(default)]
    above: Option<Word<Share>>,
    #[serde(default)]
    label: bool,
    text: Word<Text>,
}

fn any() -> Word<Uses> {
    Word(Uses::Any)
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "limit")]
struct LimitText {
    id: Word<Text>,
    reference: Word<Text>,
    title: Word<Text>,
    members: Vec<MemberText>,
    #[serde(default)]
    species: Option<SpeciesText>,
    #[serde(default = "any")]
    needs: Word<Uses>,
    #[serde(default = "any")]
    counts: Word<Uses>,
    #[serde(default)]
    caps: Vec<CapText>,
    #[serde(default)]
    statements: Vec<StatementText>,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "clash")]
struct ClashText {
    one: Word<Text>,
    other: Word<Text>,
    why: Word<Text>,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "pending")]
struct PendingText {
    members: Vec<MemberText>,
    text: Word<Text>,
    #[serde(default)]
    from: Option<Word<Date>>,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "allergens")]
struct AllergensText {
    rinse_off_above: Word<Share>,
    leave_on_above: Word<Share>,
    #[serde(default)]
    old_placed_until: Option<Word<Date>>,
    #[serde(default)]
    old_sold_until: Option<Word<Date>>,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
    entries: Vec<AllergenText>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "allergen")]
struct AllergenText {
    reference: Word<Text>,
    label: Word<Text>,
    regime: Word<Regime>,
    #[serde(default)]
    aliases: Vec<Word<Text>>,
    #[serde(default)]
    cas: Vec<Word<Cas>>,
    #[serde(default)]
    sum_of: String,
    #[serde(default)]
    oral_only: bool,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
}

impl MemberText {
    fn read(self) -> Member {
        Member {
            inci: self.inci.0.0,
            aliases: texts(self.aliases),
            cas: cas(self.cas),
            formula: self.formula.map(|w| w.0.0),
            moles: self.moles,
        }
    }
}

fn share(word: Option<Word<Share>>) -> Option<Percent> {
    word.map(|w| w.0.0)
}

impl LimitText {
    fn read(self, problems: &mut Problems) -> LimitRule {
        let id = self.id.0.0;
        let place = || format!("the limit {}", quoted(&id));
        let mut caps = Vec::with_capacity(self.caps.len());
        for cap in self.caps {
            let when = cap.when.read(place, problems);
            if cap.max.is_some() == cap.not_allowed {
                problems.push(format!("{}: a cap needs either max or not_allowed: true", place()));
            }
            let max = share(cap.max);
            caps.push(Cap { when, max, each: cap.each, at_or_above: cap.at_or_above });
        }
        let mut statements = Vec::with_capacity(self.statements.len());
        for s in self.statements {
            statements.push(Statement {
                when: s.when.read(place, problems),
                above: share(s.above),
                label: s.label,
                text: s.text.0.0,
            });
        }
        LimitRule {
            id,
            reference: self.reference.0.0,
            title: self.title.0.0,
            members: self.members.into_iter().map(MemberText::read).collect(),
            species: self.species.map(|s| Species { name: s.name.0.0, formula: s.formula.0.0 }),
            needs: self.needs.0,
            counts: self.counts.0,
            caps,
            statements,
            about: figure((), self.conf, self.basis, self.src),
        }
    }
}

impl AllergensText {
    fn read(self) -> AllergenRules {
        AllergenRules {
            rinse_off_above: self.rinse_off_above.0.0,
            leave_on_above: self.leave_on_above.0.0,
            old_placed_until: self.old_placed_until.map(|w| w.0),
            old_sold_until: self.old_sold_until.map(|w| w.0),
            entries: self
                .entries
                .into_iter()
                .map(|e| AllergenRule {
                    reference: e.reference.0.0,
                    label: e.label.0.0,
                    regime: e.regime.0,
                    aliases: texts(e.aliases),
                    cas: cas(e.cas),
                    sum_of: e.sum_of,
                    oral_only: e.oral_only,
                    about: figure((), e.conf, e.basis, e.src),
                })
                .collect(),
            about: figure((), self.conf, self.basis, self.src),
        }
    }
}

impl MarketText {
    fn read(self, problems: &mut Problems) -> Market {
        Market {
            code: self.code.0.0,
            name: self.name.0.0,
            edition: self.edition.0.0,
            as_of: self.as_of.0,
            limits: self.limits.into_iter().map(|l| l.read(problems)).collect(),
            clashes: self
                .clashes
                .into_iter()
                .map(|c| Clash {
                    one: c.one.0.0,
                    other: c.other.0.0,
                    why: c.why.0.0,
                    about: figure((), c.conf, c.basis, c.src),
                })
                .collect(),
            pending: self
                .pending
                .into_iter()
                .map(|p| Pending {
                    members: p.members.into_iter().map(MemberText::read).collect(),
                    text: p.text.0.0,
                    from: p.from.map(|w| w.0),
                    about: figure((), p.conf, p.basis, p.src),
                })
                .collect(),
            allergens: self.allergens.map(AllergensText::read),
            label: self.label.read(problems),
            not_checked: texts(self.not_checked),
        }
    }
}

/// Reads a market; `file` names it in messages.
pub(super) fn read(text: &str, file: &str) -> Result<Market, RulesProblem> {
    let read: MarketText = read::read(text, file)?;
    let mut problems = Problems::default();
    let market = read.read(&mut problems);
    check_market(&market, &mut problems);
    read::sound(market, problems, file)
}

//! What the rows of a market may not hold together.

use std::collections::BTreeMap;

use quern_calc::safety::market::{AllergenRules, LabelRules, LimitRule, Market, Member, Trigger};

use super::parts::Once;
use crate::check::{Problems, quoted};

/// Checks a market whose rows are sound by themselves.
pub(super) fn check_market(market: &Market, problems: &mut Problems) {
    let mut ids = Once::default();
    for rule in &market.limits {
        ids.see(&rule.id, "the limit", problems);
        check_limit(rule, problems);
    }
    for clash in &market.clashes {
        for id in [&clash.one, &clash.other] {
            if !market.limits.iter().any(|r| r.id == *id) {
                problems.push(format!(
                    "a clash names the limit {}, which is not in this file",
                    quoted(id)
                ));
            }
        }
        if clash.one == clash.other {
            problems.push(format!("the limit {} clashes with itself", quoted(&clash.one)));
        }
    }
    for pending in &market.pending {
        check_members(&pending.members, || "a pending change".to_owned(), problems);
    }
    if let Some(allergens) = &market.allergens {
        check_allergens(allergens, problems);
    }
    check_label(&market.label, problems);
}

fn check_members(members: &[Member], place: impl Fn() -> String, problems: &mut Problems) {
    if members.is_empty() {
        problems.push(format!("{} names no substance", place()));
    }
    let mut names = Once::default();
    for member in members {
        for name in std::iter::once(&member.inci).chain(&member.aliases) {
            names.see(name, format_args!("{}: the name", place()), problems);
        }
    }
}

fn check_limit(rule: &LimitRule, problems: &mut Problems) {
    let place = || format!("the limit {}", quoted(&rule.id));
    check_members(&rule.members, place, problems);
    if rule.caps.is_empty() && rule.statements.is_empty() {
        problems.push(format!("{} has neither caps nor statements", place()));
    }
    for member in &rule.members {
        if member.moles == 0 {
            problems.push(format!(
                "{}: {} needs moles of 1 or more",
                place(),
                quoted(&member.inci)
            ));
        }
        if let Some(species) = &rule.species
            && member.formula.is_none()
        {
            problems.push(format!(
                "{}: {} needs a formula, as the limit counts {}",
                place(),
                quoted(&member.inci),
                species.name
            ));
        }
    }
}

fn check_allergens(allergens: &AllergenRules, problems: &mut Problems) {
    if let (Some(placed), Some(sold)) = (allergens.old_placed_until, allergens.old_sold_until)
        && placed > sold
    {
        problems.push(format!(
            "allergens: old_sold_until {sold} comes before old_placed_until {placed}"
        ));
    }
    let mut references = Once::default();
    // A name that leads to two entries would be counted twice or at random.
    let mut names: BTreeMap<String, &str> = BTreeMap::new();
    for entry in &allergens.entries {
        references.see(&entry.reference, "allergens: the reference", problems);
        for name in std::iter::once(&entry.label).chain(&entry.aliases) {
            if let Some(other) = names.insert(name.trim().to_lowercase(), &entry.label) {
                problems.push(format!(
                    "allergens: the name {} is given for {} and for {}",
                    quoted(name),
                    quoted(other),
                    quoted(&entry.label)
                ));
            }
        }
    }
}

fn check_label(label: &LabelRules, problems: &mut Problems) {
    let mut names = Once::default();
    for (inci, _) in &label.names {
        names.see(inci, "label names: the name", problems);
    }
    let mut keys = Once::default();
    for caution in &label.cautions {
        keys.see(&caution.key, "the caution", problems);
        if let Trigger::Components(list) = &caution.trigger
            && list.is_empty()
        {
            problems.push(format!("the caution {} names no component", quoted(&caution.key)));
        }
        if caution.trigger == Trigger::Always && caution.text.contains("{names}") {
            problems.push(format!(
                "the caution {} always stands, so that {{names}} has nothing to stand for",
                quoted(&caution.key)
            ));
        }
    }
}

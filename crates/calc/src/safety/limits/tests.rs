#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use proptest::prelude::*;
use rust_decimal::Decimal;

use super::*;
use crate::formula::{Amount, Contact, Function, Item, LineId};
use crate::safety::fixture::{blend, day, formula, formulas, library, market, pct, single};
use crate::safety::market::Member;

fn checks(formula: &Formula) -> MarketChecks {
    let library = library();
    let opened = Opened::new(formula, &library);
    check_market(formula, &opened, &market(), day("2026-01-01"))
}

fn check(formula: &Formula, reference: &str) -> LimitCheck {
    let all = checks(formula).limits;
    all.into_iter().find(|c| c.reference == reference).unwrap()
}

use Contact::{LeaveOn, RinseOff};

#[test]
fn salts_count_as_their_acid() {
    let of = |contact, salt: &str| {
        let c = check(&formula(contact, &[("Sodium Benzoate", salt)]), "Annex V/1");
        (c.amount, c.verdict)
    };
    assert_eq!(of(RinseOff, "3.00"), (pct("2.5424"), Verdict::Above));
    // 2.500002 %: molar masses have five figures, so this is 2.5 %.
    assert_eq!(of(RinseOff, "2.95"), (pct("2.5"), Verdict::Within));
    assert_eq!(of(LeaveOn, "0.60"), (pct("0.5085"), Verdict::Above));
    let two = check(&formula(RinseOff, &[("Calcium Sorbate", "0.7")]), "Annex V/4");
    assert_eq!(two.amount, pct("0.5984"));
    assert_eq!(two.sources[0].conversion.unwrap().moles, 2);
}

#[test]
fn what_is_not_converted_is_compared_exactly() {
    let of = |p: &str| {
        let f = formula(LeaveOn, &[("Triethanolamine", p)]);
        check(&f, "Annex III/62").verdict
    };
    assert_eq!(of("2.5"), Verdict::Within);
    assert_eq!(of("2.50000001"), Verdict::Above);
    let rinse = check(&formula(RinseOff, &[("Triethanolamine", "3")]), "Annex III/62");
    assert_eq!((rinse.verdict, rinse.cap, rinse.allowed()), (Verdict::NoMaximum, None, true));
    let at = |p: &str| check(&formula(RinseOff, &[("Polyethylene", p)]), "Annex XVII/78").over();
    assert!(at("0.01") && !at("0.0099999"));
}

#[test]
fn a_cap_for_each_member_stands_beside_the_sum() {
    let f = formula(RinseOff, &[("Methylparaben", "0.45"), ("Propylparaben", "0.1")]);
    let all: Vec<_> = checks(&f)
        .limits
        .into_iter()
        .filter(|c| c.reference == "Annex V/12")
        .map(|c| (c.member, c.amount, c.verdict))
        .collect();
    assert_eq!(
        all,
        [
            (Some("Methylparaben".to_owned()), pct("0.4085"), Verdict::Above),
            (Some("Propylparaben".to_owned()), pct("0.0766"), Verdict::Within),
            (None, pct("0.4852"), Verdict::Within),
        ]
    );
}

#[test]
fn a_rule_for_preservatives_waits_for_one_and_then_counts_all() {
    let solvent = checks(&formula(RinseOff, &[("Benzyl Alcohol", "2")]));
    assert!(solvent.limits.is_empty());
    let f = formula(RinseOff, &[("Benzyl Alcohol", "0.5"), ("Benzyl blend", "1")]);
    let both = check(&f, "Annex V/34");
    assert_eq!((both.amount, both.over()), (pct("1.38"), true));
    assert_eq!(both.counted_name(), "Benzyl Alcohol");
}

#[test]
fn not_allowed_is_told_whatever_the_amount() {
    let f = formula(LeaveOn, &[("Methylisothiazolinone", "0.001")]);
    let c = check(&f, "Annex V/57");
    assert_eq!((c.verdict, c.allowed()), (Verdict::NotAllowed, false));
}

#[test]
fn a_mixture_clashes_with_its_part_only_when_the_part_is_added() {
    assert!(checks(&formula(RinseOff, &[("Isothiazolinones", "0.05")])).clashes.is_empty());
    let f = formula(RinseOff, &[("Isothiazolinones", "0.05"), ("Methylisothiazolinone", "0.0005")]);
    assert_eq!(checks(&f).clashes.len(), 1);
}

#[test]
fn a_share_that_is_not_stated_is_decided_by_its_bound() {
    let of = |p: &str| check(&formula(RinseOff, &[("Acids of unknown shares", p)]), "Annex V/1");
    let most = of("2.9");
    assert_eq!(most.verdict, Verdict::AtMost);
    assert_eq!((most.amount, most.most), (Percent::ZERO, Some(pct("2.4576"))));
    assert_eq!(of("3").verdict, Verdict::Undecided);
    // What is known is above by itself.
    let f = formula(RinseOff, &[("Acids of unknown shares", "3"), ("Benzoic Acid", "2.6")]);
    assert_eq!(check(&f, "Annex V/1").verdict, Verdict::Above);
}

#[test]
fn a_blend_that_only_its_name_opens_is_not_passed_over() {
    let name = "Phenol (and) Sodium Benzoate";
    let material = single(name, Some(Function::Preservative));
    let library = crate::formula::Library::new([std::sync::Arc::new(material)], []);
    let of = |p: &str| {
        let f = formula(LeaveOn, &[(name, p)]);
        let opened = Opened::new(&f, &library);
        check_market(&f, &opened, &market(), day("2026-01-01")).limits[0].verdict
    };
    assert_eq!((of("0.5"), of("0.6")), (Verdict::AtMost, Verdict::Undecided));
}

#[test]
fn what_an_oil_declares_counts_and_is_not_counted_twice() {
    let f = formula(LeaveOn, &[("Basil oil", "0.01")]);
    let c = check(&f, "Annex III/102");
    assert_eq!((c.amount, c.verdict), (pct("0.0004"), Verdict::Above));
    let twice = crate::safety::fixture::declaring(
        blend("Twice", Some(Function::Preservative), &["Benzyl Alcohol:88"]),
        &["Benzyl Alcohol:90"],
    );
    let library = crate::formula::Library::new([std::sync::Arc::new(twice)], []);
    let f = formula(RinseOff, &[("Twice", "1")]);
    let opened = Opened::new(&f, &library);
    let found = check_market(&f, &opened, &market(), day("2026-01-01"));
    assert_eq!(found.limits[0].amount, pct("0.9"));
}

#[test]
fn names_and_numbers_find_a_material() {
    let mut material = single("  SODIUM   benzoate ", None);
    let of = |m: &crate::formula::Material, id: &str| {
        let library = crate::formula::Library::new([std::sync::Arc::new(m.clone())], []);
        let f = formula(RinseOff, &[(id, "1")]);
        let opened = Opened::new(&f, &library);
        check_market(&f, &opened, &market(), day("2026-01-01")).limits.len()
    };
    assert_eq!(of(&material, "  SODIUM   benzoate "), 1);
    material = single("E 211", None);
    assert_eq!(of(&material, "E 211"), 0);
    material.cas = Some("532-32-1".to_owned());
    assert_eq!(of(&material, "E 211"), 1);
    // The number of a blend is not that of its parts.
    material.composition = blend("x", None, &["Aqua:90"]).composition;
    assert_eq!(of(&material, "E 211"), 0);
}

#[test]
fn statements_stand_from_their_share() {
    let of = |p: &str| {
        let s = checks(&formula(RinseOff, &[("Triethanolamine", p)])).statements;
        s.into_iter().map(|s| s.label).collect::<Vec<_>>()
    };
    assert_eq!(of("1"), [false]);
    assert_eq!(of("1.1"), [false, true]);
}

#[test]
fn a_formula_that_cannot_be_read_leaves_the_rule_undecided() {
    let mut market = market();
    market.limits.truncate(1);
    market.limits[0].members[1].formula = Some("salt".to_owned());
    let library = library();
    let f = formula(RinseOff, &[("Sodium Benzoate", "0.1")]);
    let opened = Opened::new(&f, &library);
    let found = check_market(&f, &opened, &market, day("2026-01-01"));
    assert_eq!((found.limits[0].verdict, found.limits[0].most), (Verdict::Undecided, None));
    market.limits[0].members = Vec::<Member>::new();
    assert!(check_market(&f, &opened, &market, day("2026-01-01")).limits.is_empty());
}

type Outcome = (String, Option<String>, Percent, Option<Percent>, Verdict);

/// Caps, amounts and verdicts, without the sources.
fn outcome(formula: &Formula) -> Vec<Outcome> {
    let all = checks(formula).limits.into_iter();
    all.map(|c| (c.reference, c.member, c.amount, c.most, c.verdict)).collect()
}

proptest! {
    #[test]
    fn lines_may_be_split(f in formulas(), at in 0_usize..9, part in 0_i64..=100) {
        let before = outcome(&f);
        let mut split = f.clone();
        let lines = &mut split.phases[0].lines;
        let at = at % lines.len();
        prop_assume!(f.fills != Some(lines[at].id));
        let whole = lines[at].amount.unwrap().percent.0;
        let first = whole * Decimal::new(part, 2);
        let mut second = lines[at].clone();
        second.id = LineId(99);
        second.amount = Some(Amount::percent(whole - first));
        lines[at].amount = Some(Amount::percent(first));
        lines.push(second);
        prop_assert_eq!(outcome(&split), before);
    }

    #[test]
    fn lines_may_be_in_any_order(f in formulas(), turn in 0_usize..9) {
        let mut other = f.clone();
        let lines = &mut other.phases[0].lines;
        let n = lines.len();
        lines.rotate_left(turn % n);
        lines.reverse();
        prop_assert_eq!(checks(&other), checks(&f));
    }

    #[test]
    fn a_blend_may_be_opened_by_hand(acids in 1_i64..50_000) {
        let whole = Decimal::new(acids, 4);
        let of = |share: i64| (whole * Decimal::new(share, 2)).to_string();
        let blend = formula(RinseOff, &[("Two acids", &whole.to_string())]);
        let hand = formula(RinseOff, &[
            ("Sodium Benzoate", &of(30)),
            ("Potassium Sorbate", &of(20)),
            ("Aqua", &of(50)),
        ]);
        prop_assert_eq!(outcome(&blend), outcome(&hand));
    }

    #[test]
    fn any_amount_is_answered(mantissa in any::<i64>(), scale in 0_u32..=28) {
        let mut f = formula(RinseOff, &[("Sodium Benzoate", "1"), ("Two acids", "1")]);
        f.phases[0].lines[0].amount = Some(Amount::percent(Decimal::new(mantissa, scale)));
        let found = checks(&f);
        prop_assert!(found.limits.iter().all(|c| c.amount.0 >= Decimal::ZERO));
        let item = Item::Material(crate::formula::MaterialId::new("none such"));
        f.phases[0].lines[1].item = item;
        let _ = checks(&f);
    }
}

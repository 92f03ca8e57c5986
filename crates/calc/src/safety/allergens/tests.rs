#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use std::sync::Arc;

use super::*;
use crate::formula::{Library, Material};
use crate::safety::fixture::{
    allergens, blend, day, declaring, formula, formulas, library, pct, single,
};
use Contact::{LeaveOn, RinseOff};
use proptest::prelude::*;

fn of(formula: &Formula, date: &str) -> AllergenChecks {
    let library = library();
    allergen_sums(formula, &Opened::new(formula, &library), &allergens(), day(date))
}

fn alone(contact: Contact, material: Material, percent: &str) -> AllergenChecks {
    let id = material.inci.clone();
    let library = Library::new([Arc::new(material)], []);
    let f = formula(contact, &[(&id, percent)]);
    allergen_sums(&f, &Opened::new(&f, &library), &allergens(), day("2027-01-01"))
}

fn told(checks: &AllergenChecks) -> Vec<(&str, Percent, bool)> {
    checks.sums.iter().map(|s| (s.label.as_str(), s.amount, s.over)).collect()
}

#[test]
fn an_oil_names_its_group_and_what_it_holds() {
    let found = of(&formula(LeaveOn, &[("Lavandula Angustifolia Oil", "0.5")]), "2027-01-01");
    assert_eq!(
        told(&found),
        [
            ("Lavandula Oil/Extract", pct("0.5"), true),
            ("Linalyl Acetate", pct("0.235"), true),
            ("Linalool", pct("0.225"), true),
            ("Limonene", pct("0.005"), true),
        ]
    );
    assert!(found.unknown.is_empty() && found.sums[1].sources[0].assumed);
    assert!(!found.sums[0].sources[0].assumed);
}

#[test]
fn the_limit_itself_is_not_exceeded() {
    let at = |p: &str| alone(LeaveOn, single("Linalool", None), p).sums[0].over;
    assert!(!at("0.0010") && at("0.0010001"));
}

#[test]
fn members_of_a_group_are_summed_and_its_total_is_not_added() {
    let of = |list: &[&str]| {
        let m = declaring(single("Oil", None), list);
        alone(LeaveOn, m, "0.1").sums[0].amount
    };
    assert_eq!(of(&["Neral:0.6", "Geranial:0.6"]), pct("0.0012"));
    assert_eq!(of(&["Neral:0.6", "Geranial:0.6", "Citral:1.2"]), pct("0.0012"));
    assert_eq!(of(&["Neral:0.6", "Citral:1.5"]), pct("0.0015"));
}

#[test]
fn one_leaf_is_never_counted_twice() {
    let m =
        declaring(blend("Mix", None, &["Benzyl Alcohol:88", "Aqua:12"]), &["Benzyl Alcohol:90"]);
    let found = alone(LeaveOn, m, "1");
    assert_eq!(told(&found), [("Benzyl Alcohol", pct("0.9"), true)]);
    assert_eq!(found.sums[0].sources[0].from, AllergenFrom::Declared);
    let itself = declaring(single("Benzyl Alcohol", None), &["Benzyl Alcohol:99"]);
    let found = alone(LeaveOn, itself, "1");
    assert_eq!(found.sums[0].amount, pct("1"));
    assert_eq!(found.sums[0].sources[0].from, AllergenFrom::Itself);
}

#[test]
fn a_number_of_two_entries_does_not_decide() {
    let mut m = single("Orange oil of some kind", None);
    m.cas = Some("8028-48-6".to_owned());
    assert!(alone(LeaveOn, m.clone(), "1").sums.is_empty());
    m.inci = "Citrus Aurantium Dulcis Peel Oil".to_owned();
    m.id = MaterialId::new(&m.inci);
    let found = alone(LeaveOn, m.clone(), "1");
    assert_eq!(told(&found), [("Citrus Aurantium Peel Oil", pct("1"), true)]);
    m.inci = "Some oil".to_owned();
    m.id = MaterialId::new(&m.inci);
    m.cas = Some("8008-57-9".to_owned());
    assert_eq!(alone(LeaveOn, m, "1").sums.len(), 1);
}

#[test]
fn oral_entries_count_on_the_lips() {
    let library = Library::new([Arc::new(single("6-Methyl Coumarin", None))], []);
    let mut f = formula(LeaveOn, &[("6-Methyl Coumarin", "0.01")]);
    let sums = |f: &Formula| {
        allergen_sums(f, &Opened::new(f, &library), &allergens(), day("2027-01-01")).sums.len()
    };
    assert_eq!(sums(&f), 0);
    f.product.place = Place::Lips;
    assert_eq!(sums(&f), 1);
}

#[test]
fn new_names_are_asked_for_by_the_day() {
    let mut f = formula(LeaveOn, &[("Lavandula Angustifolia Oil", "0.5")]);
    let new = |f: &Formula, date: &str| {
        let found = of(f, date);
        assert!(found.sums.iter().all(|s| s.regime == Regime::New || s.required_now));
        found.sums[0].required_now
    };
    assert!(!new(&f, "2026-07-31") && new(&f, "2026-08-01"));
    f.safety.placed = Date::new(2026, 7, 31);
    assert!(!new(&f, "2028-07-31") && new(&f, "2028-08-01"));
    f.safety.placed = Date::new(2026, 8, 1);
    assert!(new(&f, "2026-01-01"));
}

#[test]
fn what_says_nothing_is_listed() {
    let f = formula(LeaveOn, &[("Parfum", "0.2"), ("Parfum", "0.3"), ("Aqua", "50")]);
    let found = of(&f, "2027-01-01");
    assert_eq!(found.unknown.len(), 1);
    assert_eq!((found.unknown[0].line, found.unknown[0].percent), (LineId(2), pct("0.3")));
    let m = declaring(single("Oil", Some(Function::Fragrance)), &["Linalool", "Limonene:2"]);
    let found = alone(LeaveOn, m, "1");
    assert_eq!(found.unknown[0].without_amount, ["Linalool"]);
    assert_eq!(told(&found), [("Limonene", pct("0.02"), true)]);
    let mut m = single("Oil", Some(Function::Fragrance));
    m.allergens_complete = true;
    assert!(alone(RinseOff, m, "1").unknown.is_empty());
}

proptest! {
    #[test]
    fn lines_may_be_in_any_order(f in formulas(), turn in 0_usize..9) {
        let mut other = f.clone();
        let lines = &mut other.phases[0].lines;
        let n = lines.len();
        lines.rotate_left(turn % n);
        prop_assert_eq!(of(&other, "2026-01-01"), of(&f, "2026-01-01"));
    }
}

//! Fragrance allergens of the EU: Annex III of Regulation (EC) 1223/2009 as changed by Regulation
//! (EU) 2023/1545. Amounts of allergens in oils are the upper ends of ISO 3515:2002 (lavender),
//! the European Pharmacopoeia and ISO 3140:2011 (sweet orange) and ISO 4730 (tea tree).

use std::sync::Arc;

use quern_calc::evaluate::Opened;
use quern_calc::formula::{
    Allergen, Amount, Contact, Figure, Form, Formula, FormulaId, Function, Item, Library, Material,
    MaterialId, PhaseId, Place, Product,
};
use quern_calc::quantity::{Date, Percent};
use quern_calc::safety::allergens::{AllergenChecks, allergen_sums};
use quern_calc::safety::market::{AllergenRules, Regime};
use quern_project::rules::builtin_rules;

use crate::{d, percent};

use Contact::{LeaveOn, RinseOff};

fn list() -> &'static AllergenRules {
    let market = builtin_rules().market("eu").expect("the EU");
    market.allergens.as_ref().expect("its list of allergens")
}

/// An oil and the most of each allergen that it holds, in %.
fn oil(name: &str, holds: &[(&str, &str)]) -> Material {
    let mut oil = Material::named(MaterialId::new(name), name, name);
    oil.function = Some(Function::Fragrance);
    let high = |share| Some(Figure::user(percent(share)));
    let entries = holds.iter();
    oil.allergens = entries
        .map(|(name, share)| Allergen { name: (*name).to_owned(), low: None, high: high(share) })
        .collect();
    oil
}

fn formula(contact: Contact, oil: &Material, amount: &str) -> Formula {
    let mut formula = Formula::empty(FormulaId::new("f"), "Test");
    formula.product = Product::new(Form::Emulsion, Place::Body, contact);
    let line = formula.add_line(PhaseId(1), Item::Material(oil.id.clone()), None).unwrap();
    formula.set_amount(line, Some(Amount::percent(d(amount)))).unwrap();
    formula
}

fn sums(formula: &Formula, oil: &Material, date: &str) -> AllergenChecks {
    let library = Library::new([Arc::new(oil.clone())], []);
    let opened = Opened::new(formula, &library);
    allergen_sums(formula, &opened, list(), Date::parse(date).unwrap())
}

/// Names that are over the threshold, with their shares.
fn named(contact: Contact, oil: &Material, amount: &str) -> Vec<(String, Percent)> {
    let sums = sums(&formula(contact, oil, amount), oil, "2026-11-26").sums;
    sums.into_iter().filter(|s| s.over).map(|s| (s.label, s.amount)).collect()
}

fn pairs(list: &[(&str, &str)]) -> Vec<(String, Percent)> {
    list.iter().map(|(name, p)| ((*name).to_owned(), percent(p))).collect()
}

fn lavender() -> Material {
    oil(
        "Lavandula Angustifolia Oil",
        &[("Linalool", "45"), ("Linalyl Acetate", "47"), ("Limonene", "1")],
    )
}

#[test]
fn lavender_in_a_lotion_and_in_a_wash() {
    assert_eq!(
        named(LeaveOn, &lavender(), "0.5"),
        pairs(&[
            ("Lavandula Oil/Extract", "0.5"),
            ("Linalyl Acetate", "0.235"),
            ("Linalool", "0.225"),
            ("Limonene", "0.005"),
        ])
    );
    assert_eq!(named(RinseOff, &lavender(), "0.02"), pairs(&[("Lavandula Oil/Extract", "0.02")]));
}

// Linalool at 45 % reaches 0.01 % at 0.02222 % of oil, and 0.001 % at 0.002222 %.
#[test]
fn from_how_much_oil_linalool_is_named() {
    let linalool = |contact, amount| {
        named(contact, &lavender(), amount).iter().any(|(name, _)| name == "Linalool")
    };
    assert!(!linalool(RinseOff, "0.02222") && linalool(RinseOff, "0.02223"));
    assert!(!linalool(LeaveOn, "0.002222") && linalool(LeaveOn, "0.002223"));
}

#[test]
fn sweet_orange_in_a_wash() {
    let orange = oil("Citrus Sinensis Peel Oil", &[("Limonene", "97")]);
    assert!(named(RinseOff, &orange, "0.010").is_empty());
    assert_eq!(
        named(RinseOff, &orange, "0.011"),
        pairs(&[("Citrus Aurantium Peel Oil", "0.011"), ("Limonene", "0.01067")])
    );
}

#[test]
fn tea_tree_in_a_wash() {
    let tea_tree =
        oil("Melaleuca Alternifolia Leaf Oil", &[("Alpha-Terpinene", "13"), ("Limonene", "4")]);
    assert_eq!(named(RinseOff, &tea_tree, "0.10"), pairs(&[("Alpha-Terpinene", "0.013")]));
}

// "Exceeds" is strict: 0.001 % itself is not named.
#[test]
fn the_threshold_itself_is_not_named() {
    let linalool = oil("Linalool", &[]);
    assert!(named(LeaveOn, &linalool, "0.0010").is_empty());
    assert_eq!(named(LeaveOn, &linalool, "0.00101"), pairs(&[("Linalool", "0.00101")]));
}

// Annex III/70: citral, geranial and neral are one.
#[test]
fn members_of_a_group_are_summed() {
    let mixed = oil("Mixed oil", &[("Neral", "0.6"), ("Geranial", "0.6")]);
    assert_eq!(named(LeaveOn, &mixed, "0.1"), pairs(&[("Citral", "0.0012")]));
}

// 24 of Directive 2003/15/EC remain and Regulation (EU) 2023/1545 adds 56. Entry 46 is for the
// mouth only and beside them.
#[test]
fn there_are_eighty() {
    let skin: Vec<_> = list().entries.iter().filter(|e| !e.oral_only).collect();
    let of = |regime| skin.iter().filter(|e| e.regime == regime).count();
    assert_eq!((of(Regime::Old), of(Regime::New), skin.len()), (24, 56, 80));
}

// Regulation (EU) 2023/1545: without the new names until 31 July 2026 to place on the market, and
// until 31 July 2028 to sell.
#[test]
fn the_new_names_are_asked_for_by_the_day() {
    let lavender = lavender();
    let mut formula = formula(LeaveOn, &lavender, "0.5");
    let required = |formula: &Formula, date: &str, label: &str| {
        let found = sums(formula, &lavender, date);
        found.sums.iter().find(|s| s.label == label).unwrap().required_now
    };
    assert!(required(&formula, "2026-07-31", "Linalool"));
    assert!(!required(&formula, "2026-07-31", "Linalyl Acetate"));
    assert!(required(&formula, "2026-08-01", "Linalyl Acetate"));
    formula.safety.placed = Date::parse("2026-07-01");
    assert!(!required(&formula, "2028-07-31", "Linalyl Acetate"));
    assert!(required(&formula, "2028-08-01", "Linalyl Acetate"));
}

// Two CAS numbers stand in entries 350 and 351 alike; the part of the plant decides.
#[test]
fn a_number_of_two_entries_waits_for_the_name() {
    for cas in ["72968-50-4", "8028-48-6"] {
        let mut orange = oil("Orange oil", &[]);
        orange.cas = Some(cas.to_owned());
        assert!(named(LeaveOn, &orange, "1").is_empty(), "{cas}");
        let mut flower = oil("Citrus Aurantium Amara Flower Oil", &[]);
        flower.cas = Some(cas.to_owned());
        assert_eq!(named(LeaveOn, &flower, "1"), pairs(&[("Citrus Aurantium Flower Oil", "1")]));
    }
}

//! Limits of law: the EU's annexes, the restriction of microplastics, and the US law on microbeads.
//!
//! Figures are those of Regulation (EC) 1223/2009 as in the Commission's annex export of
//! 13 May 2024 unless another act is named. Converted amounts are calculated apart, from the IUPAC
//! abridged atomic weights (C 12.011, H 1.008, O 15.999, Na 22.990, K 39.098, Ca 40.078).

use std::sync::Arc;

use quern_calc::evaluate::Opened;
use quern_calc::formula::{
    Amount, Contact, Form, Formula, FormulaId, Function, Item, Library, Material, MaterialId,
    PhaseId, Place, Product,
};
use quern_calc::quantity::Date;
use quern_calc::safety::limits::{LimitCheck, MarketChecks, Verdict, check_market};
use quern_project::rules::builtin_rules;

use crate::{d, percent};

use Contact::{LeaveOn, RinseOff};

/// A single material of this name for each line; all of one function.
fn checks_of(
    market: &str,
    (form, contact): (Form, Contact),
    function: Function,
    lines: &[(&str, &str)],
    date: &str,
) -> MarketChecks {
    let market = builtin_rules().market(market).expect("a built-in market");
    let mut formula = Formula::empty(FormulaId::new("f"), "Test");
    formula.product = Product::new(form, Place::Body, contact);
    let mut materials = Vec::new();
    for (name, amount) in lines {
        let id = MaterialId::new(name);
        let mut material = Material::named(id.clone(), name, name);
        material.function = Some(function);
        materials.push(Arc::new(material));
        let line = formula.add_line(PhaseId(1), Item::Material(id), None).unwrap();
        formula.set_amount(line, Some(Amount::percent(d(amount)))).unwrap();
    }
    let library = Library::new(materials, []);
    let opened = Opened::new(&formula, &library);
    check_market(&formula, &opened, market, Date::parse(date).unwrap())
}

fn preserved(contact: Contact, lines: &[(&str, &str)]) -> MarketChecks {
    let form = if contact == RinseOff { Form::CleansingBar } else { Form::Emulsion };
    checks_of("eu", (form, contact), Function::Preservative, lines, "2026-11-26")
}

fn of<'a>(checks: &'a MarketChecks, reference: &str) -> Vec<&'a LimitCheck> {
    let found: Vec<_> = checks.limits.iter().filter(|c| c.reference == reference).collect();
    assert!(!found.is_empty(), "{reference} does not speak");
    found
}

fn over(checks: &MarketChecks) -> bool {
    checks.limits.iter().any(LimitCheck::over)
}

#[track_caller]
fn holds(
    contact: Contact,
    (name, amount): (&str, &str),
    reference: &str,
    acid: &str,
    passes: bool,
) {
    let checks = preserved(contact, &[(name, amount)]);
    let all = of(&checks, reference);
    assert_eq!(all[0].amount, percent(acid), "{name} {amount}");
    assert_eq!(all.iter().any(|c| c.over()), !passes, "{name} {amount}, {reference}");
}

// Annex V/1: benzoic acid, 2.5 % in rinse-off and 0.5 % in leave-on products.
#[test]
fn benzoate() {
    holds(RinseOff, ("Sodium Benzoate", "2.94"), "Annex V/1", "2.4915", true);
    holds(RinseOff, ("Sodium Benzoate", "3.00"), "Annex V/1", "2.5424", false);
    holds(LeaveOn, ("Sodium Benzoate", "0.60"), "Annex V/1", "0.5085", false);
    // 2.500002 %, the edge: converted amounts are rounded to 4 decimals before they are compared.
    holds(RinseOff, ("Sodium Benzoate", "2.95"), "Annex V/1", "2.5", true);
}

// Annex V/1a: 0.5 % of other salts in every kind of product.
#[test]
fn other_benzoates_have_no_higher_level_in_rinse_off() {
    holds(RinseOff, ("Potassium Benzoate", "1.0"), "Annex V/1a", "0.7623", false);
}

// Annex V/4, 0.6 % as sorbic acid, and V/13, 0.6 % as dehydroacetic acid.
#[test]
fn sorbate_and_dehydroacetate() {
    holds(RinseOff, ("Potassium Sorbate", "0.80"), "Annex V/4", "0.5971", true);
    holds(RinseOff, ("Potassium Sorbate", "0.81"), "Annex V/4", "0.6046", false);
    holds(LeaveOn, ("Sodium Dehydroacetate", "0.70"), "Annex V/13", "0.6191", false);
    holds(LeaveOn, ("Sodium Dehydroacetate", "0.67"), "Annex V/13", "0.5925", true);
}

// Annex V/12, 0.4 % each; 12a, 0.14 % of propyl and butyl; 0.8 % together; as 4-hydroxybenzoic
// acid, (EU) 1004/2014.
#[test]
fn parabens() {
    let checks = preserved(LeaveOn, &[("Methylparaben", "0.40"), ("Propylparaben", "0.18")]);
    assert_eq!(of(&checks, "Annex V/12")[0].amount, percent("0.3631"));
    assert_eq!(of(&checks, "Annex V/12a")[0].amount, percent("0.138"));
    let total = checks.limits.iter().find(|c| c.cap == Some(percent("0.8"))).unwrap();
    assert_eq!(total.amount, percent("0.5011"));
    assert!(!over(&checks));
    // Largest weights: 0.441 % of methylparaben, 0.183 % of propylparaben alone.
    holds(LeaveOn, ("Methylparaben", "0.4406"), "Annex V/12", "0.4", true);
    holds(LeaveOn, ("Methylparaben", "0.4408"), "Annex V/12", "0.4002", false);
    holds(LeaveOn, ("Propylparaben", "0.1826"), "Annex V/12a", "0.14", true);
    holds(LeaveOn, ("Propylparaben", "0.1828"), "Annex V/12a", "0.1401", false);
}

// Factors to the acid, five figures; calculated apart.
#[test]
fn acid_equivalents() {
    for (name, reference, factor) in [
        ("Sodium Benzoate", "Annex V/1", "0.84746"),
        ("Potassium Benzoate", "Annex V/1a", "0.76225"),
        ("Potassium Sorbate", "Annex V/4", "0.74643"),
        ("Sodium Sorbate", "Annex V/4", "0.83609"),
        ("Calcium Sorbate", "Annex V/4", "0.85490"),
        ("Sodium Dehydroacetate", "Annex V/13", "0.88439"),
        ("Sodium Salicylate", "Annex V/3", "0.86270"),
        ("Methylparaben", "Annex V/12", "0.90781"),
        ("Ethylparaben", "Annex V/12", "0.83118"),
        ("Sodium Methylparaben", "Annex V/12", "0.79321"),
        ("Propylparaben", "Annex V/12a", "0.76648"),
        ("Butylparaben", "Annex V/12a", "0.71113"),
        ("Sodium Propylparaben", "Annex V/12a", "0.68315"),
        ("Sodium Propionate", "Annex V/2", "0.77117"),
        ("Sodium Formate", "Annex V/14", "0.67677"),
    ] {
        let checks = preserved(RinseOff, &[(name, "0.1")]);
        let conversion = of(&checks, reference)[0].sources[0].conversion.unwrap();
        let published = d(factor);
        let apart = (conversion.factor - published).abs() / published;
        assert!(apart <= d("0.00001"), "{name}: {}, published {factor}", conversion.factor);
    }
}

// Annex V/57: rinse-off products only, (EU) 2017/1224. V/39 and V/57 exclude each other,
// (EU) 1003/2014, from memory.
#[test]
fn methylisothiazolinone_is_for_rinse_off() {
    let lotion = preserved(LeaveOn, &[("Methylisothiazolinone", "0.0010")]);
    assert_eq!(of(&lotion, "Annex V/57")[0].verdict, Verdict::NotAllowed);
    assert!(!over(&preserved(RinseOff, &[("Methylisothiazolinone", "0.0010")])));
    let both = [("Methylisothiazolinone", "0.0005"), ("Methylchloroisothiazolinone", "0.0005")];
    assert_eq!(preserved(RinseOff, &both).clashes.len(), 1);
}

// Annex III/62: 2.5 % in leave-on products, no maximum in rinse-off products.
#[test]
fn triethanolamine() {
    let of_contact = |form, contact, amount| {
        let lines = [("Triethanolamine", amount)];
        let checks = checks_of("eu", (form, contact), Function::Adjuster, &lines, "2026-11-26");
        of(&checks, "Annex III/62")[0].verdict
    };
    assert_eq!(of_contact(Form::Emulsion, LeaveOn, "3.0"), Verdict::Above);
    assert_eq!(of_contact(Form::Emulsion, LeaveOn, "2.5"), Verdict::Within);
    assert_eq!(of_contact(Form::CleansingBar, RinseOff, "3.0"), Verdict::NoMaximum);
}

fn scrub(market: &str, function: Function, line: (&str, &str), date: &str) -> bool {
    over(&checks_of(market, (Form::JarScrub, RinseOff), function, &[line], date))
}

// Regulation (EU) 2023/2055: plastic beads that exfoliate from 17 October 2023, other rinse-off
// cosmetics from 17 October 2027, at 0.01 % or more; natural polymers are outside.
#[test]
fn microplastics_in_the_eu() {
    let eu = |function, line, date| scrub("eu", function, line, date);
    use Function::{Exfoliant, Filler};
    assert!(eu(Exfoliant, ("Polyethylene", "2"), "2023-10-17"));
    assert!(!eu(Exfoliant, ("Polyethylene", "2"), "2023-10-16"));
    assert!(!eu(Exfoliant, ("Juglans Regia Shell Powder", "5"), "2026-11-26"));
    assert!(!eu(Filler, ("Nylon-12", "0.005"), "2028-01-01"));
    assert!(eu(Filler, ("Nylon-12", "0.01"), "2028-01-01"));
    assert!(!eu(Filler, ("Nylon-12", "0.01"), "2027-10-16"));
}

// Microbead-Free Waters Act of 2015 (Pub. L. 114-114): solid plastic that exfoliates, in what is
// rinsed off, biodegradable plastic included.
#[test]
fn microbeads_in_the_us() {
    let us = |line| scrub("us", Function::Exfoliant, line, "2026-11-26");
    assert!(us(("Polyethylene", "2")));
    assert!(us(("Polylactic Acid", "1")));
    assert!(!us(("Juglans Regia Shell Powder", "5")));
    let lines = [("Polyethylene", "2")];
    let balm = (Form::Balm, LeaveOn);
    assert!(!over(&checks_of("us", balm, Function::Exfoliant, &lines, "2026-11-26")));
}

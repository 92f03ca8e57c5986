//! The built-in rules files.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp
)]

use std::collections::{BTreeMap, BTreeSet};

use quern_calc::formula::{Contact, Form, Function, Place, Product};
use quern_calc::quantity::{Date, Percent};
use quern_calc::rules::Rules;
use quern_calc::safety::market::{AllergenRules, Market, NetRule, Regime};
use quern_project::library::builtin;
use quern_project::rules::{builtin_problems, builtin_rules};
use rust_decimal::Decimal;

fn eu() -> &'static Market {
    builtin_rules().market("eu").expect("the EU is built in")
}

fn us() -> &'static Market {
    builtin_rules().market("us").expect("the US is built in")
}

fn allergens() -> &'static AllergenRules {
    eu().allergens.as_ref().expect("the EU has a list")
}

fn percent(text: &str) -> Percent {
    Percent(text.parse::<Decimal>().unwrap())
}

fn day(y: u16, m: u8, d: u8) -> Date {
    Date::new(y, m, d).unwrap()
}

#[test]
fn the_built_in_files_are_sound() {
    let words: Vec<String> = builtin_problems().iter().map(ToString::to_string).collect();
    assert!(words.is_empty(), "{}", words.join("\n"));
    let rules = builtin_rules();
    let codes: Vec<&str> = rules.markets.iter().map(|m| m.code.as_str()).collect();
    assert_eq!(codes, ["eu", "us"]);
    assert!(rules.preservatives.list.len() > 40);
    assert_eq!(rules.exposure.lines.len(), 19);
    assert!(rules.interactions.lists("ethoxylates", "polysorbate 20"));
    for edition in
        [&rules.preservatives.edition, &rules.exposure.edition, &rules.interactions.edition]
    {
        assert!(edition.ends_with("as of 26 November 2026"), "{edition}");
    }
}

#[test]
fn the_guides_are_those_of_the_crate() {
    let rules = builtin_rules();
    let guides = Rules {
        markets: rules.markets.clone(),
        preservatives: rules.preservatives.clone(),
        exposure: rules.exposure.clone(),
        interactions: rules.interactions.clone(),
        ..Rules::default()
    };
    assert_eq!(*rules, guides);
}

// Counts: 24 of the old list, 56 added by Regulation (EU) 2023/1545, and entry 46 for the mouth.
#[test]
fn there_are_80_allergens_and_one_for_the_mouth() {
    let list = &allergens().entries;
    assert_eq!(list.len(), 81);
    let of = |regime| list.iter().filter(|e| e.regime == regime && !e.oral_only).count();
    assert_eq!((of(Regime::Old), of(Regime::New)), (24, 56));
    let oral: Vec<_> = list.iter().filter(|e| e.oral_only).collect();
    assert_eq!(oral.len(), 1);
    assert_eq!((oral[0].label.as_str(), oral[0].regime), ("6-Methyl Coumarin", Regime::Old));
    let labels: BTreeSet<&str> = list.iter().map(|e| e.label.as_str()).collect();
    assert_eq!(labels.len(), 81);
    // Entries 327 to 371 without a gap, and the eleven older numbers.
    let new: BTreeSet<u32> = list
        .iter()
        .filter(|e| e.regime == Regime::New)
        .map(|e| e.reference.strip_prefix("Annex III/").unwrap().parse().unwrap())
        .collect();
    let wanted: BTreeSet<u32> =
        (327..=371).chain([109, 114, 122, 124, 131, 133, 154, 157, 175, 196, 324]).collect();
    assert_eq!(new, wanted);
    assert_eq!(allergens().rinse_off_above, percent("0.01"));
    assert_eq!(allergens().leave_on_above, percent("0.001"));
    assert_eq!(allergens().old_placed_until, Some(day(2026, 7, 31)));
    assert_eq!(allergens().old_sold_until, Some(day(2028, 7, 31)));
}

/// The rule of CAS numbers, written anew: digits from the right times their place, modulo ten.
fn check_digit_is_right(cas: &str) -> bool {
    let digits: Vec<u32> = cas.chars().filter_map(|c| c.to_digit(10)).collect();
    let (last, rest) = digits.split_last().unwrap();
    let sum: u32 = rest.iter().rev().zip(1_u32..).map(|(d, n)| d * n).sum();
    sum % 10 == *last && cas.split('-').count() == 3
}

#[test]
fn every_cas_number_is_whole() {
    let mut seen = 0;
    for market in &builtin_rules().markets {
        let limits = market.limits.iter().flat_map(|l| &l.members);
        let pending = market.pending.iter().flat_map(|p| &p.members);
        let entries = market.allergens.iter().flat_map(|a| &a.entries);
        let all = limits.chain(pending).flat_map(|m| &m.cas).chain(entries.flat_map(|e| &e.cas));
        for cas in all {
            assert!(check_digit_is_right(cas), "{cas}");
            seen += 1;
        }
    }
    assert!(seen > 350, "{seen}");
    assert!(check_digit_is_right("65-85-0") && !check_digit_is_right("65-85-1"));
}

#[test]
fn two_cas_numbers_stand_under_two_allergens_and_no_other() {
    let mut where_: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for entry in &allergens().entries {
        for cas in &entry.cas {
            where_.entry(cas).or_default().push(&entry.reference);
        }
    }
    let twice: Vec<_> = where_.into_iter().filter(|(_, r)| r.len() > 1).collect();
    let both = vec!["Annex III/350", "Annex III/351"];
    assert_eq!(twice, [("72968-50-4", both.clone()), ("8028-48-6", both)]);
}

/// The labels of the entries that this name leads to.
fn leads_to(name: &str) -> Vec<&'static str> {
    allergens()
        .entries
        .iter()
        .filter(|e| {
            std::iter::once(&e.label).chain(&e.aliases).any(|n| n.eq_ignore_ascii_case(name))
        })
        .map(|e| e.label.as_str())
        .collect()
}

#[test]
fn other_names_lead_to_their_allergen() {
    // Names of the EU cosmetic ingredient inventory (read) and of suppliers.
    for (name, label) in [
        ("Dimethylbenzyl Carbinyl Acetate", "Dimethyl Phenethyl Acetate"),
        ("Acetylcedrene", "Acetyl Cedrene"),
        ("Propylidene Phthalide", "3-Propylidenephthalide"),
        (
            "3-Methyl-5-(2,2,3-Trimethyl-3-Cyclopentenyl)Pent-4-en-2-ol",
            "Trimethylcyclopentenyl Methylisopentenol",
        ),
        ("Pogostemon Cablin Leaf Oil", "Pogostemon Cablin Oil"),
        ("Citrus Aurantium Dulcis Peel Oil", "Citrus Aurantium Peel Oil"),
        ("Citrus Aurantium Amara Peel Oil", "Citrus Aurantium Peel Oil"),
        ("Citrus Sinensis Peel Oil", "Citrus Aurantium Peel Oil"),
        ("Eucalyptus Globulus Leaf Oil", "Eucalyptus Globulus Oil"),
        ("Eucalyptus Globulus Leaf/Twig Oil", "Eucalyptus Globulus Oil"),
        ("Eugenia Caryophyllus Leaf Oil", "Eugenia Caryophyllus Oil"),
        ("Eugenia Caryophyllus Flower Oil", "Eugenia Caryophyllus Oil"),
        ("Eugenia Caryophyllus Stem Oil", "Eugenia Caryophyllus Oil"),
        ("Eugenia Caryophyllus Bud Oil", "Eugenia Caryophyllus Oil"),
        ("Cymbopogon Schoenanthus Oil", "Lemongrass Oil"),
        ("Cymbopogon Flexuosus Oil", "Lemongrass Oil"),
        ("Cymbopogon Citratus Leaf Oil", "Lemongrass Oil"),
        ("Lavandula Angustifolia Oil", "Lavandula Oil/Extract"),
        ("Lavandula Hybrida Oil", "Lavandula Oil/Extract"),
        ("Rosa Damascena Flower Oil", "Rose Flower Oil/Extract"),
        ("Jasminum Officinale Oil", "Jasmine Oil/Extract"),
        ("Narcissus Poeticus Extract", "Narcissus Extract"),
        ("Cananga Odorata Flower Oil", "Cananga Odorata Oil/Extract"),
        ("Cedrus Atlantica Bark Oil", "Cedrus Atlantica Oil/Extract"),
        ("Myroxylon Pereirae Resin", "Myroxylon Pereirae Oil/Extract"),
        ("Pinus Mugo Leaf Oil", "Pinus Mugo"),
        ("Pinus Pumila Needle Extract", "Pinus Pumila"),
        ("Geranial", "Citral"),
        ("neral", "Citral"),
    ] {
        assert_eq!(leads_to(name), [label], "{name}");
    }
    // A near name of another substance.
    assert!(leads_to("Trimethylcyclopentenyl Dimethylisopentenol").is_empty());
    for (cas, label) in [
        ("126-91-0", "Linalool"),
        ("126-90-9", "Linalool"),
        ("14371-10-9", "Cinnamal"),
        ("165184-98-5", "Hexyl Cinnamal"),
        ("15356-70-4", "Menthol"),
    ] {
        let found: Vec<_> =
            allergens().entries.iter().filter(|e| e.cas.iter().any(|c| c == cas)).collect();
        assert_eq!(found.len(), 1, "{cas}");
        assert_eq!(found[0].label, label);
    }
}

#[test]
fn allergens_of_the_library_are_on_the_list() {
    let mut seen = 0;
    for material in builtin().materials.values() {
        let names = material.allergens.iter().map(|a| &a.name).chain(&material.label_groups);
        for name in names {
            assert_eq!(leads_to(name).len(), 1, "{}: {name}", material.inci);
            // The material says the label name itself, which is what a sheet prints.
            assert_eq!(leads_to(name), [name.as_str()], "{}", material.inci);
            seen += 1;
        }
        // A material that is a listed allergen by its own name says so.
        for label in leads_to(&material.inci) {
            assert!(
                material.label_groups.iter().any(|g| g == label)
                    || material.allergens.iter().any(|a| a.name == label),
                "{} does not name {label}",
                material.inci
            );
        }
    }
    assert!(seen > 60, "{seen}");
}

#[test]
fn labels_of_the_two_markets_differ() {
    let (eu, us) = (&eu().label, &us().label);
    assert!(eu.one_percent_ordered && !us.one_percent_ordered);
    assert!(eu.nano && !us.nano && eu.durability && !us.durability);
    assert_eq!((eu.net, us.net), (NetRule::Metric, NetRule::Dual));
    assert!(eu.names.is_empty());
    assert!(builtin_rules().market("us").is_some_and(|m| m.allergens.is_none()));
    let name = |inci: &str| us.names.iter().find(|(i, _)| i == inci).map(|(_, n)| n.as_str());
    assert_eq!(name("Aqua"), Some("Water"));
    assert_eq!(name("Parfum"), Some("Fragrance"));
    assert_eq!(name("CI 77491"), Some("Iron Oxides"));
    assert_eq!(name("Juglans Regia Shell Powder"), Some("Juglans Regia (Walnut) Shell Powder"));
}

/// Words that end the name of something from a plant.
const PLANT_PARTS: [&str; 12] = [
    "Oil", "Butter", "Cera", "Powder", "Seed", "Bran", "Flour", "Meal", "Extract", "Starch",
    "Water", "Juice",
];

#[test]
fn plants_of_the_library_have_an_american_name() {
    let names: BTreeSet<&str> = us().label.names.iter().map(|(i, _)| i.as_str()).collect();
    // Names that are the same there, or are English already.
    let same = ["Aloe Barbadensis Leaf Juice", "Canola Oil", "Charcoal Powder", "Tapioca Starch"];
    let mut seen = 0;
    for material in builtin().materials.values() {
        let inci = material.inci.as_str();
        if inci.contains("(and)") || inci.starts_with("Hydrogenated") || inci.starts_with("PEG-") {
            continue;
        }
        if PLANT_PARTS.iter().any(|p| inci.ends_with(p)) && !same.contains(&inci) {
            assert!(names.contains(inci), "{inci}");
            seen += 1;
        }
    }
    assert!(seen > 70, "{seen}");
}

#[test]
fn preservatives_of_the_library_are_known() {
    let known = &builtin_rules().preservatives;
    let carriers = ["Aqua", "Glycerin"];
    for material in builtin().materials.values() {
        if material.function != Some(Function::Preservative) {
            continue;
        }
        let mut parts: Vec<&str> = material.composition.iter().map(|p| p.inci.as_str()).collect();
        if parts.is_empty() {
            parts = vec![&material.inci];
        }
        for part in parts.into_iter().filter(|p| !carriers.contains(p)) {
            assert!(known.of(part).is_some(), "{part}");
        }
    }
    let benzoate = known.of("sodium benzoate").unwrap();
    let acid = benzoate.acid.as_ref().unwrap();
    assert_eq!((acid.pka, acid.acid.as_str(), acid.added.as_str()), (4.20, "C7H6O2", "C7H5NaO2"));
    assert_eq!((acid.good, acid.weak), (percent("0.1"), percent("0.03")));
    assert!(known.of("2-Bromo-2-Nitropropane-1,3-Diol").unwrap().nitrosating);
    assert!(known.of("Ethylhexylglycerin").unwrap().helper);
}

// SCCS/1647/22: amount times retention is the exposure, to about the digits printed; 10.46 g of
// shampoo times 0.01 is printed as 0.11.
#[test]
fn exposure_lines_agree_with_themselves() {
    let table = &builtin_rules().exposure;
    for line in &table.lines {
        let e = line.g_day * line.retention;
        assert!((e - line.e_g_day).abs() <= 0.0055, "{}: {e}", line.name);
        if let Some(mg) = line.mg_kg_day {
            let e = mg * line.retention;
            assert!((e - line.e_mg_kg_day).abs() <= 0.0055, "{}: {e}", line.name);
        } else {
            let e = line.e_g_day * 1000.0 / table.body_weight_kg;
            assert!((e - line.e_mg_kg_day).abs() <= 0.0055, "{}: {e}", line.name);
        }
    }
    let aside = ["Aggregate for preservatives", "Deodorant aerosol spray"];
    let summed: f64 = table
        .lines
        .iter()
        .filter(|l| !aside.contains(&l.name.as_str()))
        .map(|l| l.e_mg_kg_day)
        .sum();
    // Published total 269, from 268.8 (calculated).
    assert!((summed - 268.8).abs() < 0.05, "{summed}");
}

#[test]
fn every_product_has_an_exposure() {
    let table = &builtin_rules().exposure;
    let date = day(2026, 11, 26);
    for form in Form::ALL {
        for place in Place::ALL {
            for contact in Contact::ALL {
                let product = Product::new(form, place, contact);
                let found = table.products.iter().find(|p| p.when.holds(product, date));
                let line = found.and_then(|p| table.line(&p.line));
                assert!(line.is_some(), "{}", product.words());
            }
        }
    }
    let line = |form, place, contact| {
        let product = Product::new(form, place, contact);
        let found = table.products.iter().find(|p| p.when.holds(product, date)).unwrap();
        (found.line.as_str(), found.why.is_empty())
    };
    assert_eq!(line(Form::ScrubBar, Place::Body, Contact::RinseOff), ("Shower gel", false));
    assert_eq!(line(Form::Emulsion, Place::Body, Contact::LeaveOn), ("Body lotion", true));
    assert_eq!(
        line(Form::CleansingBar, Place::Face, Contact::RinseOff),
        ("Make-up remover", false)
    );
}

//! The limits of the built-in markets: every row, what it says of which product, and the chemical
//! formulas that amounts are converted with.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use std::collections::BTreeSet;

use quern_calc::formula::{Contact, Form, Function, Place, Product};
use quern_calc::quantity::{Date, Percent};
use quern_calc::safety::market::{LimitRule, Market, Uses};
use quern_project::rules::builtin_rules;
use rust_decimal::Decimal;

fn eu() -> &'static Market {
    builtin_rules().market("eu").expect("the EU is built in")
}

fn us() -> &'static Market {
    builtin_rules().market("us").expect("the US is built in")
}

fn limit(id: &str) -> &'static LimitRule {
    eu().limits.iter().find(|l| l.id == id).unwrap_or_else(|| panic!("no limit {id}"))
}

fn percent(text: &str) -> Percent {
    Percent(text.parse::<Decimal>().unwrap())
}

fn day(y: u16, m: u8, d: u8) -> Date {
    Date::new(y, m, d).unwrap()
}

/// The smallest cap of a rule for a product on a day; `Some(None)`: not allowed at all.
fn smallest(rule: &LimitRule, product: Product, date: Date) -> Option<Option<Percent>> {
    rule.caps.iter().filter(|c| c.when.holds(product, date)).map(|c| c.max).min()
}

const TODAY: (u16, u8, u8) = (2026, 11, 26);

fn caps(id: &str, form: Form, place: Place, contact: Contact) -> Option<Option<Percent>> {
    smallest(limit(id), Product::new(form, place, contact), day(TODAY.0, TODAY.1, TODAY.2))
}

#[test]
fn every_row_is_there() {
    let of = |annex: &str| -> BTreeSet<&str> {
        eu().limits.iter().filter_map(|l| l.reference.strip_prefix(annex)).collect()
    };
    let annex_v = of("Annex V/");
    for row in [
        "1", "1a", "2", "3", "4", "7", "9", "12", "12a", "13", "14", "18", "19", "20", "21", "22",
        "26", "27", "28", "29", "33", "34", "35", "38", "39", "42", "43", "44", "46", "47", "50",
        "51", "52", "53", "54", "55", "56", "57", "58", "59", "60",
    ] {
        assert!(annex_v.contains(row), "V/{row}");
    }
    let annex_iii = of("Annex III/");
    for row in [
        "15a", "24", "45", "54", "60", "61", "62", "72", "73", "88", "89", "98", "102", "154",
        "157", "175", "196", "286", "287", "306", "307", "321", "324", "325", "380",
    ] {
        assert!(annex_iii.contains(row), "III/{row}");
    }
    let clash: Vec<_> = eu().clashes.iter().map(|c| (&*c.one, &*c.other)).collect();
    assert_eq!(clash, [("v-39", "v-57")]);
    assert!(eu().pending.iter().any(|p| p.members[0].inci == "Melaleuca Alternifolia Leaf Oil"));
}

/// Molar mass of a formula without brackets, abridged atomic weights of IUPAC.
fn molar_mass(formula: &str) -> f64 {
    let mut mass = 0.0;
    let mut rest = formula;
    while let Some(first) = rest.chars().next() {
        assert!(first.is_ascii_uppercase(), "{formula}");
        let end = rest[1..].find(|c: char| !c.is_ascii_lowercase()).map_or(rest.len(), |i| i + 1);
        let (symbol, after) = rest.split_at(end);
        let end = after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len());
        let (count, after) = after.split_at(end);
        let weight = match symbol {
            "H" => 1.008,
            "C" => 12.011,
            "N" => 14.007,
            "O" => 15.999,
            "Na" => 22.990,
            "Mg" => 24.305,
            "S" => 32.06,
            "Cl" => 35.45,
            "K" => 39.098,
            "Ca" => 40.078,
            "Zn" => 65.38,
            "Br" => 79.904,
            "Ag" => 107.87,
            _ => panic!("{symbol} in {formula}"),
        };
        mass += weight * if count.is_empty() { 1.0 } else { count.parse::<f64>().unwrap() };
        rest = after;
    }
    mass
}

/// What 1 % of a member is as the counted species.
fn factor(id: &str, inci: &str) -> f64 {
    let rule = limit(id);
    let member = rule.members.iter().find(|m| m.inci == inci).unwrap();
    let species = molar_mass(&rule.species.as_ref().unwrap().formula);
    f64::from(member.moles) * species / molar_mass(member.formula.as_ref().unwrap())
}

// Factors calculated from molar masses of IUPAC abridged atomic weights.
#[test]
fn salts_and_esters_convert_by_molar_mass() {
    for (id, inci, expected) in [
        ("v-1", "Sodium Benzoate", 0.84746),
        ("v-1a", "Potassium Benzoate", 0.76225),
        ("v-4", "Potassium Sorbate", 0.74643),
        ("v-4", "Sodium Sorbate", 0.83609),
        ("v-4", "Calcium Sorbate", 0.85490),
        ("v-13", "Sodium Dehydroacetate", 0.88439),
        ("v-3", "Sodium Salicylate", 0.86270),
        ("v-12", "Methylparaben", 0.90781),
        ("v-12", "Ethylparaben", 0.83118),
        ("v-12a", "Propylparaben", 0.76648),
        ("v-12a", "Butylparaben", 0.71113),
        ("v-12", "Sodium Methylparaben", 0.79321),
        ("v-12a", "Sodium Propylparaben", 0.68315),
        ("v-2", "Sodium Propionate", 0.77117),
        ("v-14", "Sodium Formate", 0.67677),
        // 31.9 % of the weight of DMDM hydantoin at most.
        ("v-formaldehyde", "DMDM Hydantoin", 0.319),
    ] {
        let found = factor(id, inci);
        let tolerance = if expected < 0.32 { 5e-4 } else { 2e-5 };
        assert!((found - expected).abs() < tolerance, "{inci}: {found}, wanted {expected}");
    }
    // No member weighs less than what it gives.
    for rule in &eu().limits {
        for member in rule.members.iter().filter(|_| rule.species.is_some()) {
            let found = factor(&rule.id, &member.inci);
            assert!(found > 0.1 && found < 1.3, "{}: {found}", member.inci);
        }
    }
}

// Regulation (EC) 1223/2009 Annex V, Commission's annex export of 13 May 2024.
#[test]
fn limits_of_preservatives_depend_on_the_product() {
    use {Contact as C, Form as F, Place as P};
    let bar = |id| caps(id, F::ScrubBar, P::Body, C::RinseOff);
    let lotion = |id| caps(id, F::Emulsion, P::Body, C::LeaveOn);
    assert_eq!(
        (bar("v-1"), lotion("v-1")),
        (Some(Some(percent("2.5"))), Some(Some(percent("0.5"))))
    );
    // The other benzoates have no higher level for rinse-off.
    assert_eq!(bar("v-1a"), Some(Some(percent("0.5"))));
    assert_eq!(lotion("v-57"), Some(None));
    assert_eq!(bar("v-57"), Some(Some(percent("0.0015"))));
    assert_eq!(lotion("v-43"), Some(None));
    assert_eq!(
        (bar("v-35"), lotion("v-35")),
        (Some(Some(percent("1"))), Some(Some(percent("0.5"))))
    );
    assert_eq!((bar("iii-62"), lotion("iii-62")), (None, Some(Some(percent("2.5")))));
    assert_eq!(lotion("v-56"), Some(None));
    assert_eq!(caps("v-56", F::Emulsion, P::Face, C::LeaveOn), Some(Some(percent("0.01"))));
    for (id, species) in [
        ("v-1", "C7H6O2"),
        ("v-4", "C6H8O2"),
        ("v-12", "C7H6O3"),
        ("v-12a", "C7H6O3"),
        ("v-12-12a", "C7H6O3"),
        ("v-13", "C8H8O4"),
        ("iii-24", "Zn"),
    ] {
        assert_eq!(limit(id).species.as_ref().map(|s| s.formula.as_str()), Some(species), "{id}");
    }
    assert!(limit("v-12").caps.iter().all(|c| c.each));
    assert_eq!(
        limit("v-12-12a").members.len(),
        limit("v-12").members.len() + limit("v-12a").members.len()
    );
}

// Annex V/3 and III/98: the second already counts the first.
#[test]
fn salicylic_acid_has_two_rows() {
    let preserving = Uses::Only(Function::Preservative);
    let other = Uses::Except(Function::Preservative);
    for id in ["v-3", "v-3-acid", "v-3-salts", "v-34", "v-43", "v-44"] {
        assert_eq!((limit(id).needs, limit(id).counts), (preserving, preserving), "{id}");
    }
    assert_eq!((limit("iii-98").needs, limit("iii-98").counts), (other, Uses::Any));
    use {Contact as C, Form as F, Place as P};
    for (form, place, contact, max) in [
        (F::Other, P::Hair, C::RinseOff, "3"),
        (F::ScrubBar, P::Body, C::RinseOff, "2"),
        (F::Emulsion, P::Face, C::LeaveOn, "2"),
        (F::Balm, P::Body, C::LeaveOn, "2"),
        (F::Emulsion, P::Body, C::LeaveOn, "0.5"),
        (F::Balm, P::Lips, C::LeaveOn, "0.5"),
    ] {
        assert_eq!(caps("iii-98", form, place, contact), Some(Some(percent(max))), "{form:?}");
    }
    let mut child = Product::new(F::Emulsion, P::Face, C::LeaveOn);
    child.under_three = true;
    assert_eq!(smallest(limit("iii-98"), child, day(2026, 11, 26)), Some(None));
}

// Annex III/324.
#[test]
fn methyl_salicylate_by_product() {
    use {Contact as C, Form as F, Place as P};
    for (form, place, contact, max) in [
        (F::CleansingBar, P::Hands, C::RinseOff, "0.6"),
        (F::CleansingBar, P::Body, C::RinseOff, "0.06"),
        (F::Emulsion, P::Body, C::LeaveOn, "0.06"),
        (F::Balm, P::Lips, C::LeaveOn, "0.03"),
    ] {
        assert_eq!(caps("iii-324", form, place, contact), Some(Some(percent(max))), "{place:?}");
    }
}

// Regulations (EU) 2026/78 and (EU) 2023/2055.
#[test]
fn dates_decide() {
    let bar = Product::new(Form::ScrubBar, Place::Body, Contact::RinseOff);
    let lotion = Product::new(Form::Emulsion, Place::Body, Contact::LeaveOn);
    let hexyl = limit("iii-380");
    assert_eq!(smallest(hexyl, bar, day(2026, 4, 30)), None);
    assert_eq!(smallest(hexyl, bar, day(2026, 5, 1)), Some(Some(percent("0.5"))));
    assert_eq!(smallest(hexyl, lotion, day(2026, 5, 1)), Some(Some(percent("0.3"))));
    let beads = limit("xvii-78-beads");
    assert_eq!(beads.needs, Uses::Only(Function::Exfoliant));
    assert!(beads.caps.iter().all(|c| c.at_or_above));
    assert_eq!(smallest(beads, bar, day(2023, 10, 16)), None);
    assert_eq!(smallest(beads, bar, day(2023, 10, 17)), Some(Some(percent("0.01"))));
    let other = limit("xvii-78");
    assert_eq!(smallest(other, bar, day(2027, 10, 16)), None);
    assert_eq!(smallest(other, bar, day(2027, 10, 17)), Some(Some(percent("0.01"))));
    assert_eq!(smallest(other, lotion, day(2029, 10, 16)), None);
    assert_eq!(smallest(other, lotion, day(2029, 10, 17)), Some(Some(percent("0.01"))));
    // Pub. L. 114-114 forbids them in rinse-off products, biodegradable plastic as well.
    let american = us().limits.iter().find(|l| l.id == "microbeads").unwrap();
    assert_eq!(smallest(american, bar, day(2026, 11, 26)), Some(None));
    assert_eq!(smallest(american, lotion, day(2026, 11, 26)), None);
    assert!(american.members.iter().any(|m| m.inci == "Polylactic Acid"));
}

// Regulation (EU) 2022/1181: above 0.001 % released formaldehyde.
#[test]
fn formaldehyde_is_said_on_the_label() {
    let rule = limit("v-formaldehyde");
    let said = rule.statements.iter().find(|s| s.label).unwrap();
    assert_eq!((said.text.as_str(), said.above), ("Releases formaldehyde", Some(percent("0.001"))));
    let moles = |inci| rule.members.iter().find(|m| m.inci == inci).map(|m| m.moles);
    assert_eq!(moles("DMDM Hydantoin"), Some(2));
}

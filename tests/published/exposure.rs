//! Exposure, margin of safety and natural origin.

use quern_calc::formula::Basis;
use quern_calc::quantity::Percent;
use quern_calc::safety::exposure::{
    ADULT_KG, MARGIN_LEAST, margin, pod_from_oral, sed_from_amount, sed_from_area, sed_mg_kg_day,
};
use quern_calc::safety::exposure_table::ExposureLine;
use quern_calc::safety::natural::{index_of_share, natural_origin};
use quern_project::rules::builtin_rules;
use rust_decimal::Decimal;

use crate::{near, percent};

/// A line of the table that the program comes with.
fn daily(product: &str) -> &'static ExposureLine {
    builtin_rules().exposure.line(product).unwrap_or_else(|| panic!("no line {product}"))
}

/// Exposure of a printed product line, mg/kg/day.
fn line(product: &str) -> f64 {
    daily(product).e_mg_kg_day
}

#[test]
fn body_products_as_published() {
    // BioMed Research International 2013, article 181634, Table 6, read: body lotion at 123.2
    // mg/kg/day and 100 % absorption.
    near("body lotion", line("Body lotion"), 123.2, 1e-12);
    for (share, printed) in [
        ("10.0", 12.32),
        ("5.0", 6.16),
        ("4.0", 4.93),
        ("2.0", 2.46),
        ("0.3", 0.37),
        ("0.075", 0.09),
    ] {
        let sed = sed_mg_kg_day(line("Body lotion"), percent(share), 100.0).unwrap();
        near(share, sed, printed, 0.005);
    }
    let exact = sed_mg_kg_day(line("Body lotion"), percent("0.3"), 100.0).unwrap();
    near("before rounding", exact, 0.3696, 1e-9);
}

#[test]
fn margins() {
    // Worked out apart from the equations and Table 3A of the SCCS Notes of Guidance, 12th
    // revision.
    for (product, share, absorption, pod, sed, wanted) in [
        ("Shower gel", "0.5", 50.0, 50.0, 0.006_975, 7_168.0),
        ("Body lotion", "1", 10.0, 50.0, 0.123_2, 405.8),
        ("Face cream", "2", 20.0, 75.0, 0.096_56, 776.7),
    ] {
        let own = sed_mg_kg_day(line(product), percent(share), absorption).unwrap();
        near(product, own, sed, 1e-6);
        near(product, margin(pod, own).unwrap(), wanted, 0.5);
    }
}

#[test]
fn parabens_at_the_boundary() {
    // SCCS 2011 and 2013 on propylparaben, NOEL 2 mg/kg and absorption 3.7 %, read; the aggregate
    // of 17.4 g and 60 kg from memory; the results worked out apart.
    let at = |share: &str| sed_from_amount(17.4, percent(share), 3.7, ADULT_KG).unwrap();
    near("0.19 %", at("0.19"), 0.020_39, 1e-5);
    near("0.4 %", at("0.4"), 0.0429, 5e-5);
    let low = margin(2.0, at("0.19")).unwrap();
    near("margin at 0.19 %", low, 98.1, 0.05);
    assert!(low < MARGIN_LEAST, "just below the margin that is asked for");
    near("margin at 0.4 %", margin(2.0, at("0.4")).unwrap(), 46.6, 0.05);
    // Halving of an oral NOAEL: Notes of Guidance, from memory.
    near("oral", pod_from_oral(100.0).unwrap(), 50.0, 0.0);
}

#[test]
fn absorption_by_area() {
    // Area and frequency of body lotion in the Notes of Guidance, from memory.
    let (area, times) = daily("Body lotion").area.unwrap();
    near("area", area, 15_670.0, 0.0);
    near("times", times, 2.28, 0.0);
    near("per area", sed_from_area(1.0, area, times, ADULT_KG).unwrap(), 0.595_5, 5e-5);
}

#[test]
fn the_lines_add_up_to_the_printed_totals() {
    // Notes of Guidance, Table 4, from memory: 17 products, 269 mg/kg and 17.4 g a day.
    let table = &builtin_rules().exposure;
    assert!(table.edition.contains("SCCS/1647/22"), "{}", table.edition);
    near("body weight", table.body_weight_kg, ADULT_KG, 0.0);
    // A deodorant is sprayed or rolled on, so that one of its two lines counts; the aggregate is
    // what they are held against.
    let aggregate = daily("Aggregate for preservatives");
    let apart = ["Deodorant aerosol spray", aggregate.name.as_str()];
    let summed: Vec<_> = table.lines.iter().filter(|l| !apart.contains(&l.name.as_str())).collect();
    assert_eq!(summed.len(), 17);
    let by_weight: f64 = summed.iter().map(|l| l.e_mg_kg_day).sum();
    near("mg/kg/day", by_weight, 268.8, 0.05);
    near("printed", by_weight.round(), aggregate.e_mg_kg_day, 0.0);
    let grams: f64 = summed.iter().map(|l| l.e_g_day).sum();
    near("g/day", grams, 17.375, 1e-9);
    near("printed", grams, aggregate.e_g_day, 0.05);
    // The amount by body weight comes from the survey and is not the amount over 60 kg.
    let gel = daily("Shower gel");
    assert!((gel.g_day * 1_000.0 / ADULT_KG - gel.mg_kg_day.unwrap()).abs() > 30.0);
    // What was read and what is known from memory is told apart, line by line.
    for line in &table.lines {
        assert!(line.about.source.contains("SCCS/1647/22"), "{}", line.name);
        let memory = line.about.source.contains("Table 3B, from memory")
            || line.about.source.contains("Table 4, from memory");
        assert_eq!(line.about.basis == Basis::Memory, memory, "{}", line.name);
    }
}

#[test]
fn natural_origin_of_a_lotion() {
    // ISO 16128-2:2017, formula from memory; example worked out apart. The index of sodium cocoyl
    // isethionate counts the coconut part of the lauroyl ester alone.
    let whole: Vec<(Percent, Option<f64>, bool)> = [
        ("65.00", Some(1.0), true),
        ("5.00", Some(1.0), false),
        ("15.00", Some(1.0), false),
        ("4.00", Some(1.0), false),
        ("3.00", Some(0.80), false),
        ("6.00", Some(0.555), false),
        ("1.00", Some(0.0), false),
        ("1.00", Some(0.0), false),
    ]
    .map(|(w, index, water)| (percent(w), index, water))
    .to_vec();
    assert_eq!(whole.iter().map(|c| c.0.0).sum::<Decimal>(), Decimal::ONE_HUNDRED);
    let n = natural_origin(&whole).unwrap();
    near("with water", n.with_water, 94.73, 1e-9);
    near("without water", n.without_water.unwrap(), 84.94, 0.005);
    near("known", n.known_share, 1.0, 1e-12);
    // 29.73 of 35.
    near("without water", n.without_water.unwrap(), 2_973.0 / 35.0, 1e-9);
}

#[test]
fn the_index_of_a_derived_ingredient() {
    // A review of ISO 16128, read: more than half must be of natural origin; 1 % of a preservative
    // that is not natural leaves 0.99.
    assert_eq!(index_of_share(0.5), Some(0.0));
    assert_eq!(index_of_share(0.99), Some(0.99));
    // C12H23O of C14H27NaO5S, worked out apart.
    let acyl = quern_calc::chemistry::molar::molar_mass("C12H23O").unwrap();
    let whole = quern_calc::chemistry::molar::molar_mass("C14H27NaO5S").unwrap();
    let share = quern_calc::quantity::decimal_to_f64(acyl / whole);
    near("isethionate", index_of_share(share).unwrap(), 0.555, 0.000_5);
}

use quern_calc::findings::Severity::{Note, Warn};
use quern_calc::formula::{Form, PhaseKind, PhaseTemperature};
use quern_calc::number::NumberStyle;
use rust_decimal::Decimal;

use crate::bench::{Bench, bar, bench, liquid};

fn with(surfactant: &str) -> Bench {
    liquid().melt(&[("aqua", "60"), (surfactant, "10")])
}

/// Silent at the ends of its window, heard a hundredth outside.
fn window(rule: &str, surfactant: &str, low: &str, high: Option<&str>) {
    let step = "0.01".parse::<Decimal>().unwrap();
    let at = |text: &str, by: Decimal| {
        let ph = text.parse::<Decimal>().unwrap() + by;
        with(surfactant).ph(&ph.to_string(), true)
    };
    at(low, Decimal::ZERO).silent(rule);
    at(low, -step).says(rule, Warn);
    match high {
        Some(high) => {
            at(high, Decimal::ZERO).silent(rule);
            at(high, step).says(rule, Warn);
        }
        None => at("12", step).silent(rule),
    }
}

#[test]
fn ester_surfactants_have_windows() {
    let rule = "ester-surfactant-ph";
    window(rule, "sodium-cocoyl-isethionate-powder", "5", Some("8"));
    window(rule, "sodium-cocoyl-isethionate-and-stearic-acid-noodles", "5", Some("8"));
    window(rule, "sodium-lauroyl-methyl-isethionate-liquid", "4.5", Some("8.5"));
    window(rule, "disodium-laureth-sulfosuccinate", "5", Some("7"));
    window(rule, "sodium-lauryl-sulfoacetate", "5.5", Some("7.8"));
    with("decyl-glucoside").ph("10", true).silent(rule);
}

#[test]
fn others_have_floors() {
    let rule = "ph-below-floor";
    window(rule, "sodium-palmate-and-sodium-palm-kernelate", "8", None);
    window(rule, "glyceryl-stearate-se", "5", None);
    window(rule, "sodium-lauroyl-sarcosinate-liquid-30", "5.5", None);
    window(rule, "sodium-cocoyl-glutamate-liquid", "5", None);
    window(rule, "sodium-cocoyl-glycinate-liquid-30", "6.5", None);
    window("alkyl-sulfate-acid", "sodium-laureth-sulfate-liquid-28", "4", None);
}

#[test]
fn actives_have_the_window_of_their_material() {
    window("active-ph", "niacinamide", "5", Some("7"));
    window("active-ph", "urea", "5", Some("7.5"));
    with("allantoin").ph("3", true).silent("active-ph");
}

#[test]
fn a_target_is_told_from_a_reading_and_figures_follow_the_style() {
    let case = with("sodium-lauryl-sulfoacetate");
    let f = case.clone().ph("8.25", false).says("ester-surfactant-ph", Warn);
    let title = f.words(NumberStyle::default()).title;
    assert!(title.starts_with("pH 8.25, the target, is outside pH 5.5 to 7.8"), "{title}");
    let f = case.ph("8.25", true).says("ester-surfactant-ph", Warn);
    assert!(f.said().starts_with("pH 8.25, measured"), "{}", f.said());
    assert_eq!(f.figure().unwrap().words(NumberStyle::default()), "8.25");
    assert_eq!(f.limit().unwrap().words(NumberStyle::default()), "7.8");
}

#[test]
fn one_note_asks_for_the_ph_of_what_holds_water_or_soap() {
    let sci = "sodium-cocoyl-isethionate-powder";
    let wet = liquid().melt(&[("aqua", "60"), (sci, "10"), ("niacinamide", "2"), ("urea", "2")]);
    let f = wet.says("ph-unknown-for", Note);
    for name in ["isethionate", "Niacinamide", "Urea"] {
        assert!(f.said().contains(name), "{}", f.said());
    }
    wet.clone().ph("6", false).silent("ph-unknown-for");
    // 1 % free water is dry, as elsewhere; soap and alkali have a pH at the first use.
    bar().melt(&[("aqua", "1"), (sci, "40")]).silent("ph-unknown-for");
    bar().melt(&[("aqua", "1.01"), (sci, "40")]).says("ph-unknown-for", Note);
    bar().melt(&[(sci, "40"), ("sodium-stearate", "10")]).says("ph-unknown-for", Note);
    bar().melt(&[(sci, "40"), ("sodium-hydroxide", "1")]).says("ph-unknown-for", Note);
}

#[test]
fn glucosides_make_acid_preservatives_idle() {
    let of = |percent: &str, more: &[(&str, &str)]| {
        let mut lines = vec![("aqua", "80"), ("coco-glucoside", percent)];
        lines.extend(more);
        liquid().water(&lines)
    };
    let benzoate = ("sodium-benzoate", "0.4");
    of("3", &[benzoate]).silent("glucoside-ph");
    of("3.01", &[benzoate]).says("glucoside-ph", Warn);
    of("3.01", &[benzoate, ("citric-acid-anhydrous", "0.2")]).silent("glucoside-ph");
    // The lactone of the blend turns to acid.
    of("3.01", &[("gluconolactone-and-sodium-benzoate", "1")]).silent("glucoside-ph");
    of("3.01", &[("phenoxyethanol", "0.8")]).silent("glucoside-ph");
    of("3.01", &[benzoate]).ph("5", true).silent("glucoside-ph");
    of("3.01", &[benzoate]).ph("5", false).says("glucoside-ph", Warn);
}

#[test]
fn carbonate_and_acid_meet_in_water() {
    let pair = |water: &str| {
        bench(Form::Bath).phase(
            PhaseKind::Powder,
            PhaseTemperature::Unstated,
            &[("sodium-bicarbonate", "50"), ("citric-acid-monohydrate", "25"), ("aqua", water)],
        )
    };
    pair("1").silent("carbonate-with-acid");
    pair("1.01").says("carbonate-with-acid", Warn);
    // Kept in phases of their own, they meet once the product is wet.
    let apart = |water: &str| {
        bench(Form::Other)
            .phase(PhaseKind::Powder, PhaseTemperature::Unstated, &[("sodium-bicarbonate", "50")])
            .water(&[("aqua", water), ("citric-acid-monohydrate", "5")])
    };
    apart("5").silent("carbonate-with-acid");
    apart("5.01").says("carbonate-with-acid", Warn);
}

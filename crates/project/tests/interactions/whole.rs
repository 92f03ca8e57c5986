//! What holds of all rules together: data, order, and input of any kind.

use std::collections::BTreeSet;
use std::sync::Arc;

use proptest::prelude::*;
use quern_calc::findings::Severity::{Note, Warn};
use quern_calc::formula::{
    Amount, Contact, Form, Formula, Function, LineId, PhaseKind, PhaseTemperature, Place,
};
use quern_calc::quantity::Percent;
use quern_calc::safety::interactions::Interactions;
use rust_decimal::Decimal;

use crate::bench::{Bench, bar, bench, built_in, interactions, liquid, lotion, sound};

#[test]
fn alkali_wants_a_plan_and_an_assay() {
    let with = || lotion().water(&[("aqua", "90"), ("sodium-hydroxide", "0.1")]);
    with().says("alkali-not-planned", Warn);
    with().step("Neutralise with the lye, to pH 6").silent("alkali-not-planned");
    with().silent("alkali-assay-missing");
    lotion().water(&[("aqua", "90"), ("arginine", "0.1")]).silent("alkali-not-planned");
    let unknown = lotion()
        .changed("sodium-hydroxide", |m| m.active = None)
        .water(&[("aqua", "90"), ("sodium-hydroxide", "0.1")]);
    unknown.says("alkali-assay-missing", Warn);
}

#[test]
fn active_matter_that_is_wanted_is_asked_for_once() {
    let with = || {
        bar()
            .own("Sodium Novel Sulfate", |m| m.function = Some(Function::Surfactant))
            .melt(&[("sodium novel sulfate", "30"), ("sodium-stearate", "5")])
    };
    let f = with().says("assay-missing", Note);
    assert!(f.said().contains("Novel") && f.said().contains("stearate"), "{}", f.said());
    bar().melt(&[("sodium-coco-sulfate", "30")]).silent("assay-missing");
}

#[test]
fn surfactant_bands_by_product() {
    // Sodium coco-sulfate is 92 % active.
    let with = |form: Form, place: Place, percent: &str| {
        bench(form).product(place, Contact::RinseOff).melt(&[("sodium-coco-sulfate", percent)])
    };
    // Just outside and just inside, low and high.
    for (form, place, edges) in [
        (Form::ScrubBar, Place::Body, ["16.3", "16.31", "48.91", "48.92"]),
        (Form::CleansingBar, Place::Body, ["38.04", "38.05", "76.08", "76.09"]),
        (Form::CleansingBar, Place::Hair, ["43.47", "43.48", "76.08", "76.09"]),
        (Form::JarScrub, Place::Body, ["5.43", "5.44", "21.73", "21.74"]),
    ] {
        with(form, place, edges[0]).says("surfactant-band", Note);
        with(form, place, edges[1]).silent("surfactant-band");
        with(form, place, edges[2]).silent("surfactant-band");
        with(form, place, edges[3]).says("surfactant-band", Note);
    }
    // Nothing is known of others, true soap is no syndet, and an oily scrub has none.
    with(Form::Powder, Place::Face, "80").silent("surfactant-band");
    bench(Form::CleansingBar)
        .melt(&[("sodium-palmate-and-sodium-palm-kernelate", "95")])
        .silent("surfactant-band");
    bench(Form::JarScrub).melt(&[("sucrose-caster-350-um", "60")]).silent("surfactant-band");
}

#[test]
fn a_cleanser_that_stays_on_is_told() {
    // 84 % active: 2.4 % brings 2.016 %, 2.38 % brings 1.9992 %.
    let with = |amount| {
        bench(Form::Emulsion)
            .product(Place::Hands, Contact::LeaveOn)
            .melt(&[("sodium-cocoyl-isethionate-powder", amount)])
    };
    with("2.4").says("cleanser-left-on", Warn);
    with("2.38").silent("cleanser-left-on");
    bench(Form::ScrubBar)
        .melt(&[("sodium-cocoyl-isethionate-powder", "40")])
        .silent("cleanser-left-on");
}

#[test]
fn the_data_are_sound() {
    let data = interactions();
    assert!(data.edition.starts_with("Quern interactions 1"), "{}", data.edition);
    for (key, figure) in &data.figures {
        assert!(figure.value.is_finite() && figure.value > 0.0, "{key}");
        assert!(!figure.source.trim().is_empty(), "{key}");
        let plain = key.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
        assert!(plain, "{key}");
        if let Some(group) = key.strip_suffix("-low") {
            let high = data.figures.get(&format!("{group}-high"));
            assert!(high.is_none_or(|h| h.value > figure.value), "{group}");
        }
    }
    for (key, list) in &data.lists {
        assert!(!list.is_empty(), "{key}");
        let names: BTreeSet<String> = list.iter().map(|n| n.trim().to_lowercase()).collect();
        assert_eq!(names.len(), list.len(), "{key} names something twice");
        assert!(list.iter().all(|n| n.trim() == n && !n.is_empty()), "{key}");
    }
}

/// A formula that makes nearly every rule look at its data.
fn busy() -> Bench {
    liquid()
        .water(&[
            ("aqua", "50"),
            ("sodium-cocoyl-isethionate-powder", "3"),
            ("sodium-lauryl-sulfoacetate", "1"),
            ("guar-hydroxypropyltrimonium-chloride", "0.3"),
            ("coco-glucoside", "4"),
            ("carbomer", "0.3"),
            ("polysorbate-20", "4"),
            ("sodium-benzoate", "0.4"),
            ("niacinamide", "2"),
            ("sodium-bicarbonate", "1"),
            ("citric-acid-anhydrous", "0.5"),
        ])
        .melt(&[("cannabis-sativa-seed-oil", "6"), ("zea-mays-starch", "3"), ("kaolin", "1")])
        .cool(&[("parfum", "0.4"), ("juglans-regia-shell-powder-fine-under-250-um", "2")])
}

#[test]
fn no_rule_looks_for_data_that_are_not_there() {
    for form in Form::ALL {
        for place in Place::ALL {
            for contact in Contact::ALL {
                let mut case = busy().product(place, contact);
                case.formula.product.form = form;
                case.silent("interaction-figures-missing");
                case.ph("5", true).silent("interaction-figures-missing");
            }
        }
    }
}

#[test]
fn missing_data_are_named_and_no_data_at_all_are_silence() {
    let mut case = busy();
    let mut data = interactions().clone();
    data.figures.remove("unsaturated-oil");
    data.lists.remove("carbomers");
    case.rules.interactions = Arc::new(data);
    let f = case.says("interaction-figures-missing", Note);
    let why = f.words(quern_calc::number::NumberStyle::default()).why;
    assert!(why.contains("carbomers") && why.contains("unsaturated-oil"), "{why}");
    case.silent("oil-without-antioxidant");

    case.rules.interactions = Arc::new(Interactions::default());
    assert_eq!(case.findings(), []);
    case.rules.interactions = Arc::new(interactions().clone());
    case.says("oil-without-antioxidant", Warn);
}

#[test]
fn a_figure_that_is_no_number_decides_nothing() {
    for bad in [f64::NAN, f64::INFINITY, 1e300] {
        let mut case = busy();
        let mut data = interactions().clone();
        for figure in data.figures.values_mut() {
            figure.value = bad;
        }
        case.rules.interactions = Arc::new(data);
        case.says("interaction-figures-missing", Note);
    }
}

#[test]
fn an_unopened_blend_counts_as_what_it_could_hold() {
    // Polysorbate 60 of unknown share: up to 9 % of it, so nothing can be said but that.
    let with = |percent: &str| {
        let lines = [
            ("aqua", "70"),
            ("cetearyl-alcohol-and-polysorbate-60", percent),
            ("potassium-sorbate", "0.1"),
        ];
        lotion().melt(&lines)
    };
    with("9").silent("preservative-binding");
    with("9").says("assay-missing", Note);
    with("3").silent("assay-missing");
}

/// Everything in a random formula comes from here: at least one of each kind of rule.
const POOL: [&str; 34] = [
    "aqua",
    "sodium-cocoyl-isethionate-powder",
    "sodium-lauryl-sulfate-liquid-29",
    "behentrimonium-methosulfate-and-cetearyl-alcohol-25-quat",
    "cocamidopropyl-betaine",
    "coco-glucoside",
    "polyquaternium-7",
    "carbomer",
    "xanthan-gum",
    "glycerin-99-5",
    "sodium-chloride-fine-400-um",
    "magnesium-sulfate-heptahydrate-500-1400-um",
    "triethanolamine-85",
    "stearic-acid-70-type",
    "cetearyl-alcohol-and-polysorbate-60",
    "polysorbate-20",
    "phenoxyethanol-and-ethylhexylglycerin",
    "sodium-benzoate",
    "benzyl-alcohol-and-dehydroacetic-acid",
    "sodium-bicarbonate",
    "citric-acid-anhydrous",
    "niacinamide",
    "allantoin",
    "salicylic-acid",
    "zinc-oxide",
    "illite",
    "caprylhydroxamic-acid",
    "zea-mays-starch",
    "olea-europaea-seed-powder-medium-200-600-um",
    "rosa-canina-seed-oil",
    "theobroma-cacao-seed-butter",
    "tocopherol",
    "parfum",
    "citrus-limon-peel-oil",
];

fn random() -> impl Strategy<Value = Bench> {
    let line = (0..POOL.len(), 1_i64..3_000);
    let phase = (0..PhaseKind::ALL.len(), 20_i64..90, prop::collection::vec(line, 1..9));
    let phases = prop::collection::vec(phase, 1..4);
    let ph = prop::option::of(20_i64..120);
    (0..Form::ALL.len(), phases, ph).prop_map(|(form, phases, ph)| {
        let mut case = bench(Form::ALL[form]);
        for (kind, celsius, lines) in phases {
            let amounts: Vec<(usize, String)> =
                lines.iter().map(|(m, p)| (*m, Decimal::new(*p, 2).to_string())).collect();
            let lines: Vec<(&str, &str)> =
                amounts.iter().map(|(m, p)| (POOL[*m], p.as_str())).collect();
            #[allow(clippy::cast_precision_loss)]
            let heat = PhaseTemperature::HeatTo(celsius as f64);
            case = case.phase(PhaseKind::ALL[kind], heat, &lines);
        }
        match ph {
            Some(ph) => case.ph(&Decimal::new(ph, 1).to_string(), ph % 2 == 0),
            None => case,
        }
    })
}

fn keys(case: &Bench) -> BTreeSet<(String, String)> {
    case.findings().iter().map(|f| (f.key(), f.said())).collect()
}

/// Lines the other way round in every phase.
fn turned(formula: &Formula) -> Formula {
    let mut turned = formula.clone();
    for phase in &mut turned.phases {
        phase.lines.reverse();
    }
    turned
}

/// One line in two of the same material, at the end of its phase.
fn split(formula: &Formula, which: usize, tenths: i64) -> Formula {
    let mut split = formula.clone();
    let count = formula.lines().count();
    let (_, line) = formula.lines().nth(which % count).unwrap();
    let whole = line.amount.unwrap().percent;
    let part = Percent(whole.0 * Decimal::new(tenths, 1));
    let id = LineId(formula.lines().map(|(_, l)| l.id.0).max().unwrap() + 1);
    for phase in &mut split.phases {
        if let Some(at) = phase.lines.iter().position(|l| l.id == line.id) {
            let mut second = phase.lines[at].clone();
            phase.lines[at].amount = Some(Amount::percent((whole - part).0));
            second.id = id;
            second.amount = Some(Amount::percent(part.0));
            phase.lines.push(second);
        }
    }
    split
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn order_and_splitting_change_no_finding(case in random(), which in 0_usize..40, tenths in 1_i64..10) {
        let before = keys(&case);
        prop_assert_eq!(before.len(), case.findings().len(), "two findings of one key");
        let mut other = case.clone();
        other.formula = turned(&case.formula);
        prop_assert_eq!(&before, &keys(&other));
        other.formula = split(&case.formula, which, tenths);
        prop_assert_eq!(&before, &keys(&other));
        other.formula = turned(&other.formula);
        prop_assert_eq!(&before, &keys(&other));
    }

    #[test]
    fn every_finding_is_sound(case in random()) {
        for f in case.findings() {
            sound(&f);
        }
    }
}

#[test]
fn hostile_amounts_and_temperatures_are_no_trouble() {
    let extreme = ["0", "-5", "79228162514264337593543950335", "0.0000000000000000000000000001"];
    for amount in extreme {
        for celsius in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -300.0, 1e300] {
            let lines: Vec<(&str, &str)> = POOL.iter().map(|m| (*m, amount)).collect();
            let heat = PhaseTemperature::HeatTo(celsius);
            for form in Form::ALL {
                let case = bench(form).phase(PhaseKind::Melt, heat, &lines);
                case.findings();
                case.ph("79228162514264337593543950335", true).findings();
            }
        }
    }
    assert_eq!(bench(Form::Other).findings(), []);
    // Zero and negative lines are not there.
    let none =
        liquid().water(&[("parfum", "0"), ("zinc-oxide", "-3"), ("stearic-acid-70-type", "0")]);
    assert_eq!(none.findings(), []);
}

#[test]
fn the_pool_is_in_the_library() {
    for id in POOL {
        built_in(id);
    }
}

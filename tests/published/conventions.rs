//! The conventions of the program, C1 to C8, at their edges. They are the program's own, from
//! common practice unless a source is named.

use std::sync::Arc;

use quern_calc::batch::{BatchPlan, BatchSize, PlanProblem, Scale};
use quern_calc::evaluate::{Context, Evaluation, evaluate};
use quern_calc::findings::Problem;
use quern_calc::formula::{
    Amount, AtPour, Contact, Figure, Form, Formula, FormulaId, Function, GrainData, Item, Library,
    LineId, Material, MaterialId, Part, PhaseId, PhaseTemperature, Place, Price, UseLevel,
    UseScope, Water, WaterKind,
};
use quern_calc::grit::sizes::SizeData;
use quern_calc::grit::{Band, GritModel, grit};
use quern_calc::number::round_to_step;
use quern_calc::quantity::{Date, Money, Percent};
use quern_calc::rules::Rules;
use rust_decimal::{Decimal, RoundingStrategy};

use crate::{d, grams, near, percent};

fn material(name: &str) -> Material {
    Material {
        function: Some(Function::Filler),
        at_pour: Some(AtPour::Powder),
        ..Material::named(MaterialId::new(name), name, name)
    }
}

/// A formula of one phase, a line for each name and amount.
fn formula(lines: &[(&str, &str)]) -> Formula {
    let mut f = Formula::empty(FormulaId::new("f"), "Test");
    f.product.form = Form::Other;
    for (name, amount) in lines {
        let id = f.add_line(PhaseId(1), Item::Material(MaterialId::new(name)), None).unwrap();
        f.set_amount(id, Some(Amount::percent(d(amount)))).unwrap();
    }
    f
}

fn run(f: &Formula, materials: Vec<Material>, plan: &BatchPlan) -> Evaluation {
    let library = Library::new(materials.into_iter().map(Arc::new), []);
    evaluate(f, &library, &Rules::default(), plan, &Context::on(Date::Y2K))
}

fn judge(f: &Formula, materials: Vec<Material>) -> Vec<&'static str> {
    run(f, materials, &BatchPlan::default()).findings.iter().map(|f| f.rule()).collect()
}

fn gross(size: &str, scales: Vec<Scale>) -> BatchPlan {
    BatchPlan { size: BatchSize::Gross(grams(size)), scales, ..BatchPlan::default() }
}

// C1: a total is 100 within 0.005, both ends included, and decimals are exact.

#[test]
fn c1_total() {
    for (rest, ok) in [
        ("50", true),
        ("49.995", true),
        ("50.005", true),
        ("49.9949", false),
        ("50.0051", false),
        ("49.9949999999", false),
        ("50.0050000001", false),
    ] {
        let f = formula(&[("a", "50"), ("b", rest)]);
        assert_eq!(f.total(), percent("50") + percent(rest));
        assert_eq!(f.total_is_100(), ok, "50 + {rest}");
        let rules = judge(&f, vec![material("a"), material("b")]);
        assert_eq!(rules.contains(&"total"), !ok, "50 + {rest}: {rules:?}");
    }
}

/// 0.0070 + 0.0020 + 0.0010 is 0.01, which binary fractions miss from above.
#[test]
fn c1_decimals_are_exact() {
    let f = formula(&[("a", "0.0070"), ("b", "0.0020"), ("c", "0.0010"), ("d", "99.99")]);
    assert_eq!(f.total(), Percent::HUNDRED);
    let three: Percent = ["0.0070", "0.0020", "0.0010"].into_iter().map(percent).sum();
    assert_eq!(three, percent("0.01"));
    let binary: f64 = [0.0070, 0.0020, 0.0010].iter().sum();
    assert!(binary > 0.01);
    // Ten tenths are one, which binary fractions miss from below.
    let tenths: Vec<(&str, &str)> =
        ["a", "b", "c", "d", "e", "f", "g", "h", "i", "j"].map(|n| (n, "0.1")).to_vec();
    assert_eq!(formula(&tenths).total(), percent("1"));
}

/// The line that fills to 100 makes the total exact, even where it must go below zero.
#[test]
fn c1_the_line_that_fills() {
    let mut f = formula(&[("a", "33.3333333333"), ("b", "0")]);
    f.set_fills(Some(LineId(2))).unwrap();
    assert_eq!(f.percent_of(f.line(LineId(2)).unwrap()), Some(percent("66.6666666667")));
    assert!(f.total_is_100());
    f.set_amount(LineId(1), Some(Amount::percent(d("100.001")))).unwrap();
    assert!(judge(&f, vec![material("a"), material("b")]).contains(&"fill-negative"));
}

// C2: loss is a share of what is made, so gross = net / (1 - loss).

#[test]
fn c2_loss_divides() {
    let plan = |size, loss| BatchPlan { size, loss: percent(loss), ..BatchPlan::default() };
    let cents = |g: Decimal| g.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);

    let pieces = BatchSize::Pieces { count: 24, each: grams("75") };
    let b = plan(pieces, "3").figures().unwrap();
    assert_eq!(b.net, grams("1800"));
    // 1800 / 0.97 = 1855.67; 1800 x 1.03 = 1854.00 would leave the last bar short.
    assert_eq!(cents(b.gross.0), d("1855.67"));
    assert_eq!(b.gross, b.net + b.lost);
    near("loss over gross", b.lost.to_f64() / b.gross.to_f64(), 0.03, 1e-15);
    assert_eq!(b.pieces, Some(24));

    let b = plan(BatchSize::Net(grams("1800")), "3").figures().unwrap();
    assert_eq!(cents(b.gross.0), d("1855.67"));
    let b = plan(BatchSize::Gross(grams("1000")), "3").figures().unwrap();
    assert_eq!((b.net, b.lost), (grams("970"), grams("30")));
    // The same sum elsewhere: to have 2 % of the whole beside 10 kg of finished base takes
    // 204.08 g, not 200 g; by hand.
    let b = plan(BatchSize::Net(grams("10000")), "2").figures().unwrap();
    assert_eq!(cents(b.lost.0), d("204.08"));
}

#[test]
fn c2_edges() {
    let of = |size, loss: &str| {
        BatchPlan { size, loss: percent(loss), ..BatchPlan::default() }.figures()
    };
    let net = BatchSize::Net(grams("100"));
    assert_eq!(of(net, "0").unwrap().gross, grams("100"));
    assert_eq!(of(net, "50").unwrap().gross, grams("200"));
    assert_eq!(of(net, "99").unwrap().gross, grams("10000"));
    assert_eq!(of(net, "100"), Err(PlanProblem::LossAll));
    assert_eq!(of(net, "-0.01"), Err(PlanProblem::LossNegative));
    assert_eq!(of(BatchSize::Gross(grams("0")), "3"), Err(PlanProblem::NoSize));
    let none = BatchSize::Pieces { count: 0, each: grams("75") };
    assert_eq!(of(none, "3"), Err(PlanProblem::NoPieces));
}

// C3: each line is rounded for its own scale, half away from zero; three totals, none fudged.

#[test]
fn c3_half_away_from_zero() {
    for (value, step, rounded) in [
        ("0.05", "0.1", "0.1"),
        ("0.15", "0.1", "0.2"),
        ("0.25", "0.1", "0.3"), // half to even would say 0.2
        ("2.5", "1", "3"),      // and here 2
        ("0.0499999999", "0.1", "0"),
        ("-0.05", "0.1", "-0.1"),
        ("-2.5", "1", "-3"),
        ("7.5", "5", "10"),
        ("7.4999", "5", "5"),
        ("1.25", "0.5", "1.5"),
    ] {
        assert_eq!(round_to_step(d(value), d(step)), d(rounded), "{value} by {step}");
    }
}

#[test]
fn c3_each_line_on_its_own_scale() {
    let scales =
        vec![Scale::new("pocket", d("0.01"), d("20")), Scale::new("kitchen", d("1"), d("5000"))];
    // Of 250 g: 248.1375, 1.8625 (pocket).
    let f = formula(&[("a", "99.255"), ("b", "0.745")]);
    let e = run(&f, vec![material("a"), material("b")], &gross("250", scales));
    let target = |n: usize| e.weigh.lines[n].target.unwrap();
    assert_eq!(e.weigh.lines[0].exact, Some(grams("248.1375")));
    assert_eq!((e.weigh.lines[0].scale, target(0)), (Some(1), grams("248")));
    assert_eq!((e.weigh.lines[1].scale, target(1)), (Some(0), grams("1.86")));
    assert_eq!(e.weigh.exact, grams("250"));
    assert_eq!(e.weigh.rounded, grams("249.86"));
    assert_eq!(e.weigh.difference(), grams("-0.14"));
    assert_eq!(e.weigh.lines[1].running, e.weigh.rounded);
}

/// Three thirds on a 0.1 g scale make 99.9 g of 100 g, and no line is bent to hide it.
#[test]
fn c3_no_line_is_fudged() {
    let f = formula(&[("a", "33.3333"), ("b", "33.3333"), ("c", "33.3334")]);
    let plan = gross("100", vec![Scale::new("bench", d("0.1"), d("3000"))]);
    let e = run(&f, vec![material("a"), material("b"), material("c")], &plan);
    for line in &e.weigh.lines {
        assert_eq!(line.target, Some(grams("33.3")));
    }
    assert_eq!(e.weigh.exact, grams("100"));
    assert_eq!(e.weigh.rounded, grams("99.9"));
    assert_eq!(e.weigh.difference(), grams("-0.1"));
}

// C4: "exceeds" is strictly greater.

fn limited(low: Option<&str>, high: Option<&str>) -> Material {
    let level = UseLevel { low: low.map(percent), high: high.map(percent), scope: UseScope::Any };
    Material { use_levels: vec![Figure::user(level)], ..material("a") }
}

#[test]
fn c4_a_use_level_met_exactly_is_kept() {
    for (amount, above, below) in [
        ("1", false, false),
        ("1.00", false, false),
        ("1.0000000001", true, false),
        ("0.5", false, false),
        ("0.4999999999", false, true),
    ] {
        let rest = (Decimal::ONE_HUNDRED - d(amount)).to_string();
        let f = formula(&[("a", amount), ("b", &rest)]);
        let rules = judge(&f, vec![limited(Some("0.5"), Some("1")), material("b")]);
        assert_eq!(rules.contains(&"use-above"), above, "{amount} %");
        assert_eq!(rules.contains(&"use-below"), below, "{amount} %");
    }
}

/// Summed over lines, and without the binary error: three lines that make exactly 0.01 %.
#[test]
fn c4_lines_of_one_material_add_up() {
    let lines = [("a", "0.0070"), ("a", "0.0020"), ("a", "0.0010"), ("b", "99.99")];
    let rules = |high| judge(&formula(&lines), vec![limited(None, Some(high)), material("b")]);
    assert!(!rules("0.01").contains(&"use-above"));
    assert!(rules("0.0099999999").contains(&"use-above"));
}

#[test]
fn c4_free_water_at_its_limit() {
    for (amount, stops) in [("1", false), ("1.0000000001", true)] {
        let wet = Material {
            water: Some(Water { percent: Figure::user(percent("100")), kind: WaterKind::Free }),
            ..material("a")
        };
        let rest = (Decimal::ONE_HUNDRED - d(amount)).to_string();
        let rules = judge(&formula(&[("a", amount), ("b", &rest)]), vec![wet, material("b")]);
        assert_eq!(rules.contains(&"water-without-preservative"), stops, "{amount} %");
    }
}

#[test]
fn c4_heat_limit_at_the_phase() {
    for (phase_c, warns) in [(72.0, false), (72.5, true)] {
        let tender = Material { heat_limit_c: Some(Figure::user(72.0)), ..material("a") };
        let mut f = formula(&[("a", "100")]);
        f.update_phase(PhaseId(1), |p| p.temperature = PhaseTemperature::HeatTo(phase_c)).unwrap();
        assert_eq!(judge(&f, vec![tender]).contains(&"heat-limit"), warns, "{phase_c}");
    }
}

#[test]
fn c4_capacity_and_pot() {
    let mut plan = gross("1000", vec![Scale::new("bench", d("0.1"), d("1000"))]);
    plan.vessel = Some(quern_calc::batch::Vessel { name: "pot".to_owned(), holds: grams("1000") });
    let rules = |plan: &BatchPlan| -> Vec<&'static str> {
        let e = run(&formula(&[("a", "100")]), vec![material("a")], plan);
        e.findings.iter().map(|f| f.rule()).collect()
    };
    let full = rules(&plan);
    for rule in ["line-above-scale", "batch-above-scale", "batch-above-vessel"] {
        assert!(!full.contains(&rule), "{rule} at exactly 1000 g");
    }
    plan.size = BatchSize::Gross(grams("1000.1"));
    let over = rules(&plan);
    for rule in ["line-above-scale", "batch-above-scale", "batch-above-vessel"] {
        assert!(over.contains(&rule), "{rule} missing at 1000.1 g: {over:?}");
    }
}

/// Grains of one size, so that D90 is exact.
fn stone(um: f64, density: f64) -> Material {
    Material {
        function: Some(Function::Exfoliant),
        density_solid: Some(Figure::user(density)),
        grain: Some(Figure::user(GrainData {
            sizes: SizeData::Lognormal { d50_um: um, sigma: 0.0 },
            assumed_size: false,
            hardness_mpa: 15.0,
            angularity: 0.0,
            mohs: None,
            dissolves_um_per_s: None,
            lots: Vec::new(),
            lot_in_use: None,
        })),
        ..material("a")
    }
}

/// Guides for the face: D90 at most 350 um, at most 3 % of grains (guidance from published scrub
/// data and common practice, not law).
#[test]
fn c4_guides_for_grains() {
    for (um, amount, large, many) in [
        (350.0, "3", false, false),
        (350.001, "3", true, false),
        (350.0, "3.0000000001", false, true),
    ] {
        let rest = (Decimal::ONE_HUNDRED - d(amount)).to_string();
        let mut f = formula(&[("a", amount), ("b", &rest)]);
        f.product.place = Place::Face;
        f.product.contact = Contact::RinseOff;
        let rules = judge(&f, vec![stone(um, 1.0), material("b")]);
        assert_eq!(rules.contains(&"grains-large"), large, "{um} um, {amount} %: {rules:?}");
        assert_eq!(rules.contains(&"grains-many"), many, "{um} um, {amount} %: {rules:?}");
    }
}

// C5: the grit index is relative; 50 is the stated reference; a band begins at its lower edge.

#[test]
fn c5_the_reference_is_fifty() {
    let model = GritModel::REFERENCE;
    let g = grit(&[model.reference], model.reference_density_g_ml, &model);
    near("index", g.index, 50.0, 1e-9);
    assert_eq!(g.band, Band::Medium);
    assert_eq!(grit(&[], 1.15, &model).index, 0.0);
}

// C6: 2 x 0.41 d over the tolerance; the least weight itself can still be weighed.

fn weighed(share: &str, function: Function, size: &str, readability: &str) -> Option<Problem> {
    let rest = (Decimal::ONE_HUNDRED - d(share)).to_string();
    let f = formula(&[("a", share), ("b", &rest)]);
    let small = Material { function: Some(function), ..material("a") };
    let plan = gross(size, vec![Scale::new("bench", d(readability), d("3000"))]);
    let e = run(&f, vec![small, material("b")], &plan);
    e.findings.into_iter().map(|f| f.problem).find(|p| matches!(p, Problem::TooSmall { .. }))
}

#[test]
fn c6_the_least_weight_is_enough() {
    use Function::{Adjuster, Colour, Filler, Fragrance, Preservative};
    for (function, readability, least, under) in [
        (Filler, "0.1", "1.64", "1.6399999"),
        (Fragrance, "0.1", "1.64", "1.6399999"),
        (Filler, "0.01", "0.164", "0.1639999"),
        (Filler, "1", "16.4", "16.3999999"),
        (Preservative, "0.1", "4.1", "4.0999999"),
        (Adjuster, "0.1", "4.1", "4.0999999"),
        (Colour, "0.01", "0.41", "0.4099999"),
    ] {
        // Of 100 g, a share in % is a mass in g.
        assert_eq!(weighed(least, function, "100", readability), None, "{function:?}, {least} g");
        match weighed(under, function, "100", readability) {
            Some(Problem::TooSmall { exact, smallest, .. }) => {
                assert_eq!((exact, smallest), (grams(under), grams(least)));
            }
            other => panic!("{function:?}, {under} g: {other:?}"),
        }
    }
}

/// 0.5 % of preservative on a 0.1 g scale needs 4.1 g, so a batch of 820 g; by hand.
#[test]
fn c6_the_batch_that_would_do() {
    match weighed("0.5", Function::Preservative, "500", "0.1") {
        Some(Problem::TooSmall { batch_needed, .. }) => {
            assert_eq!(batch_needed, Some(grams("820")))
        }
        other => panic!("{other:?}"),
    }
    assert_eq!(weighed("0.5", Function::Preservative, "820", "0.1"), None);
    assert!(weighed("0.5", Function::Preservative, "819", "0.1").is_some());
}

// C7: components by falling amount, ties by name, whatever the order of the lines.

#[test]
fn c7_ties_go_by_name() {
    let names = |lines: &[(&str, &str)]| -> Vec<String> {
        let materials = lines.iter().map(|(n, _)| material(n)).collect();
        let e = run(&formula(lines), materials, &BatchPlan::default());
        e.composition.components.into_iter().map(|c| c.inci).collect()
    };
    let right = ["Kaolin", "Avena", "Mica", "Zea"];
    assert_eq!(names(&[("Zea", "20"), ("Mica", "20"), ("Kaolin", "40"), ("Avena", "20")]), right);
    assert_eq!(names(&[("Avena", "20"), ("Kaolin", "40"), ("Mica", "20"), ("Zea", "20")]), right);
    // The smallest possible difference still counts before the name.
    assert_eq!(names(&[("Avena", "49.9999999999"), ("Zea", "50.0000000001")]), ["Zea", "Avena"]);
    assert_eq!(names(&[("Zea", "50"), ("Avena", "50.000")]), ["Avena", "Zea"]);
}

/// A tie that only appears once blends are opened: 10 % of a half-and-half blend and 5 % neat.
#[test]
fn c7_ties_between_opened_blends() {
    let half =
        |inci: &str| Part { inci: inci.to_owned(), share: Some(Figure::user(percent("50"))) };
    let blend = Material { composition: vec![half("Zea"), half("Mica")], ..material("Blend") };
    let f = formula(&[("Blend", "10"), ("Avena", "5"), ("Kaolin", "85")]);
    let e = run(&f, vec![blend, material("Avena"), material("Kaolin")], &BatchPlan::default());
    let names: Vec<&str> = e.composition.components.iter().map(|c| c.inci.as_str()).collect();
    assert_eq!(names, ["Kaolin", "Avena", "Mica", "Zea"]);
    assert_eq!(e.composition.percent_of("Mica"), percent("5"));
}

// C8: the formula is mass only; densities never reach amounts, cost or composition.

#[test]
fn c8_densities_do_not_touch_the_formula() {
    let with = |density: Option<f64>| {
        let price = Some(Price { amount: Money(d("4.20")), pack: grams("250") });
        let make = |name| Material {
            density_solid: density.map(Figure::user),
            density_melt: density.map(Figure::user),
            price,
            ..material(name)
        };
        let f = formula(&[("a", "12.5"), ("b", "87.5")]);
        run(&f, vec![make("a"), make("b")], &BatchPlan::default())
    };
    let (none, light, heavy) = (with(None), with(Some(0.5)), with(Some(5.0)));
    for other in [&light, &heavy] {
        assert_eq!(other.total, none.total);
        assert_eq!(other.weigh, none.weigh);
        assert_eq!(other.batch, none.batch);
        assert_eq!(other.cost, none.cost);
        assert_eq!(other.composition, none.composition);
    }
    // 0.0168 a gram, 500 g: the price is by mass too.
    assert_eq!(none.cost.batch, Some(Money(d("8.4"))));
    // The density itself did change, so the comparison above means something.
    near("light", light.paste.density.unwrap(), 0.5, 1e-12);
    near("heavy", heavy.paste.density.unwrap(), 5.0, 1e-12);
    assert!(none.paste.density.is_err());
}

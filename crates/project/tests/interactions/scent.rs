use quern_calc::findings::Fix;
use quern_calc::findings::Severity::{Note, Stop, Warn};
use quern_calc::formula::{
    Contact, Figure, Form, LineId, MaterialId, PhaseKind, PhaseTemperature, Place,
};
use quern_calc::quantity::Percent;

use crate::bench::{Bench, bench, certificate, d, liquid, lotion};

fn certified(percents: &[&str]) -> Bench {
    let lines: Vec<(&str, &str)> = percents.iter().map(|p| ("parfum", *p)).collect();
    bench(Form::Balm)
        .changed("parfum", |m| m.certificate = Some(certificate("Category 5A", "0.6")))
        .cool(&lines)
        .category("category 5a ")
}

#[test]
fn the_certificate_of_the_category_decides() {
    certified(&["0.6"]).silent("fragrance-certificate");
    let f = certified(&["0.601"]).says("fragrance-certificate", Stop);
    assert_eq!(f.limit().unwrap().words(quern_calc::number::NumberStyle::default()), "0.6 %");
    assert_eq!(f.kind(), quern_calc::findings::RuleKind::Supplier);
    let set = Fix::SetPercent { line: LineId(1), percent: Percent(d("0.6")) };
    let opens = Fix::Certificate { material: MaterialId::new("parfum") };
    assert_eq!(f.fixes(), [set, opens]);
    assert!(f.words(quern_calc::number::NumberStyle::default()).source.contains("Amendment 51"));
}

#[test]
fn lines_of_one_fragrance_count_together_and_the_largest_gives_way() {
    certified(&["0.3", "0.3"]).silent("fragrance-certificate");
    let f = certified(&["0.3", "0.4"]).says("fragrance-certificate", Stop);
    let set = Fix::SetPercent { line: LineId(2), percent: Percent(d("0.3")) };
    assert_eq!(f.fixes()[0], set);
    // One line cannot make room for two that are both above it.
    let f = certified(&["0.7", "0.8"]).says("fragrance-certificate", Stop);
    assert!(!f.fixes().iter().any(|f| matches!(f, Fix::SetPercent { .. })));
}

#[test]
fn what_stands_in_the_way_of_the_check_is_said() {
    let f = certified(&["5"]).category("").says("fragrance-category", Note);
    assert_eq!(f.fixes(), [Fix::Category]);
    certified(&["5"]).category("").silent("fragrance-certificate");
    certified(&["0.1"]).category("Category 9").says("fragrance-category-not-listed", Note);
    certified(&["0.1"]).silent("fragrance-category-not-listed");
    certified(&["0.1"]).silent("fragrance-no-certificate");
    let two = bench(Form::Balm).cool(&[("parfum", "0.1"), ("lavandula-angustifolia-oil", "0.1")]);
    assert_eq!(two.says("fragrance-no-certificate", Note).fixes().len(), 2);
    two.silent("fragrance-category");
    bench(Form::Balm).melt(&[("cera-alba", "20")]).silent("fragrance-no-certificate");
}

#[test]
fn a_certificate_counts_without_interaction_data() {
    let mut case = certified(&["0.7"]);
    case.rules.interactions = Default::default();
    case.says("fragrance-certificate", Stop);
    assert_eq!(case.findings().len(), 1);
}

#[test]
fn fragrance_in_all_is_less_where_it_stays_on() {
    let with = |contact: Contact, percent: &str| {
        bench(Form::Other)
            .product(Place::Body, contact)
            .cool(&[("parfum", percent), ("lavandula-angustifolia-oil", "1")])
    };
    with(Contact::LeaveOn, "1").silent("fragrance-total");
    with(Contact::LeaveOn, "1.01").says("fragrance-total", Warn);
    with(Contact::RinseOff, "2").silent("fragrance-total");
    with(Contact::RinseOff, "2.01").says("fragrance-total", Warn);
    let alone = bench(Form::Other).cool(&[("parfum", "3.5")]).says("fragrance-total", Warn);
    assert_eq!(alone.fixes(), [Fix::SetPercent { line: LineId(1), percent: Percent(d("3")) }]);
    // What is mixed for other formulas is no product.
    bench(Form::Premix).cool(&[("parfum", "90")]).silent("fragrance-total");
}

#[test]
fn scent_in_water_needs_a_carrier() {
    let rule = "fragrance-in-water";
    let with = |more: &[(&str, &str)]| {
        let mut lines = vec![("aqua", "90"), ("parfum", "0.5")];
        lines.extend(more);
        liquid().water(&lines)
    };
    with(&[]).says(rule, Warn);
    // 97 % active: 1.54 % is 1.4938 %, 1.55 % is 1.5035 %; three parts are 1.5 %.
    with(&[("polysorbate-20", "1.54")]).says(rule, Warn);
    with(&[("polysorbate-20", "1.55")]).silent(rule);
    with(&[("cocamidopropyl-betaine", "10")]).silent(rule);
    // Fats take it up.
    let emulsion = [("caprylic-capric-triglyceride", "10"), ("polysorbate-60", "3")];
    with(&emulsion).silent(rule);
    liquid().water(&[("aqua", "90"), ("menthol", "0.2")]).says(rule, Warn);
    liquid().water(&[("aqua", "90"), ("panthenol", "1")]).silent(rule);
}

#[test]
fn a_phase_stays_below_the_flash_point() {
    let at =
        |t: PhaseTemperature, flash: f64| {
            bench(Form::Balm)
                .changed("parfum", |m| m.flash_point_c = Some(Figure::user(flash)))
                .phase(PhaseKind::CoolDown, t, &[("parfum", "1")])
        };
    at(PhaseTemperature::HeatTo(65.0), 65.0).silent("flash-point");
    let f = at(PhaseTemperature::HeatTo(65.0), 64.9).says("flash-point", Warn);
    assert_eq!(f.fixes(), [Fix::MoveToCoolDown { line: LineId(1), below_c: 64.9 }]);
    at(PhaseTemperature::Below(50.0), 48.0).says("flash-point", Warn);
    at(PhaseTemperature::Unstated, 48.0).silent("flash-point");
    at(PhaseTemperature::Unstated, f64::NAN).silent("flash-point");
}

#[test]
fn a_flash_point_is_asked_for_only_where_it_could_matter() {
    let at = |scent: &str, c: f64| {
        bench(Form::Balm).changed(scent, |m| m.flash_point_c = None).phase(
            PhaseKind::CoolDown,
            PhaseTemperature::Below(c),
            &[(scent, "1")],
        )
    };
    at("parfum", 60.0).silent("flash-point-unknown");
    at("parfum", 61.0).says("flash-point-unknown", Note);
    at("citrus-limon-peel-oil", 45.0).silent("flash-point-unknown");
    at("citrus-limon-peel-oil", 46.0).says("flash-point-unknown", Note);
    lotion().melt(&[("caprylic-capric-triglyceride", "10")]).silent("flash-point-unknown");
}

use quern_calc::findings::Severity::{Note, Stop, Warn};
use quern_calc::formula::Contact;
use quern_calc::formula::{AtPour, Figure, Form, Function, Place, Span};

use crate::bench::{bar, bench, lotion};

const OIL: &str = "helianthus-annuus-seed-oil-high-oleic";

#[test]
fn oil_and_water_need_something_between() {
    let with = |oil: &str, water: &str| lotion().melt(&[(OIL, oil), ("aqua", water)]);
    with("5", "70").silent("no-emulsifier");
    with("5.01", "70").says("no-emulsifier", Stop);
    with("20", "5").silent("no-emulsifier");
    with("20", "5.01").says("no-emulsifier", Stop);
    // Two layers to shake are made on purpose at times.
    bench(Form::Other).melt(&[(OIL, "40"), ("aqua", "50")]).says("no-emulsifier", Warn);
}

#[test]
fn emulsifiers_surfactants_polymers_and_soap_hold_it() {
    let with = |more: &[(&str, &str)]| {
        let mut lines = vec![(OIL, "20"), ("aqua", "60")];
        lines.extend(more);
        lotion().own("Sodium Acrylates Copolymer", |_| {}).melt(&lines)
    };
    with(&[("cetearyl-olivate-and-sorbitan-olivate", "4")]).silent("no-emulsifier");
    with(&[("polysorbate-80", "2")]).silent("no-emulsifier");
    with(&[("cocamidopropyl-betaine", "5")]).silent("no-emulsifier");
    with(&[("sodium acrylates copolymer", "1")]).silent("no-emulsifier");
    with(&[("stearic-acid-50-type", "3"), ("triethanolamine-99", "1")]).silent("no-emulsifier");
    with(&[("stearic-acid-50-type", "3")]).says("no-emulsifier", Stop);
    with(&[("cetyl-alcohol", "3")]).says("no-emulsifier", Stop);
}

#[test]
fn unsaturated_oils_want_an_antioxidant() {
    let rule = "oil-without-antioxidant";
    let with =
        |oil: &str, percent: &str| bench(Form::Balm).melt(&[("cera-alba", "20"), (oil, percent)]);
    for oil in ["cannabis-sativa-seed-oil", "rosa-canina-seed-oil", "vitis-vinifera-seed-oil"] {
        with(oil, "5").silent(rule);
        with(oil, "5.01").says(rule, Warn);
    }
    with(OIL, "60").silent(rule);
    // Together, whatever the line.
    bench(Form::Balm)
        .melt(&[("cannabis-sativa-seed-oil", "3"), ("rosa-canina-seed-oil", "3")])
        .says(rule, Warn);
    for antioxidant in ["tocopherol", "tocopherol-and-helianthus-annuus-seed-oil-50"] {
        let lines = [("cannabis-sativa-seed-oil", "30"), (antioxidant, "0.2")];
        bench(Form::Balm).melt(&lines).silent(rule);
    }
}

#[test]
fn the_middle_of_an_iodine_range_decides() {
    let with = |low: f64, high: Option<f64>| {
        bench(Form::Balm)
            .own("Test Oil", |m| {
                m.iodine_value = Some(Figure::user(Span { low: Some(low), high }));
            })
            .melt(&[("test oil", "30")])
    };
    with(90.0, Some(110.0)).silent("oil-without-antioxidant");
    with(90.0, Some(110.2)).says("oil-without-antioxidant", Warn);
    with(100.1, None).says("oil-without-antioxidant", Warn);
}

#[test]
fn an_oil_of_unknown_iodine_value_is_named() {
    let with = |percent: &str| {
        bench(Form::Balm)
            .own("Echium Plantagineum Seed Oil", |m| {
                m.function = Some(Function::Emollient);
                m.at_pour = Some(AtPour::Liquid);
            })
            .melt(&[("echium plantagineum seed oil", percent)])
    };
    with("5").silent("oil-without-antioxidant-unchecked");
    with("5.1").says("oil-without-antioxidant-unchecked", Note);
    // Esters and hydrocarbons have none to speak of.
    bench(Form::Balm)
        .melt(&[("squalane", "40"), ("isopropyl-myristate", "40")])
        .silent("oil-without-antioxidant-unchecked");
}

#[test]
fn a_bar_stands_only_so_much_humectant() {
    let with = |percent: &str| bar().melt(&[("glycerin-99-5", percent), ("cetyl-alcohol", "50")]);
    // 99.5 % active: 20.1 % is 19.9995 %.
    with("20.1").silent("humectant-in-bar");
    with("20.2").says("humectant-in-bar", Warn);
    bar().melt(&[("glycerin-99-5", "15"), ("propanediol", "6")]).says("humectant-in-bar", Warn);
    lotion().water(&[("glycerin-99-5", "30")]).silent("humectant-in-bar");
}

#[test]
fn butters_bloom_unless_cooling_is_written_down() {
    let with = || bar().melt(&[("theobroma-cacao-seed-butter", "20")]);
    with().says("fat-bloom", Note);
    with().step("Temper at 30 °C, then pour").silent("fat-bloom");
    with().cool(&[("tocopherol", "0.2")]).silent("fat-bloom");
    bar().melt(&[("cera-alba", "20")]).silent("fat-bloom");
    bench(Form::Balm)
        .product(Place::Body, Contact::LeaveOn)
        .melt(&[("theobroma-cacao-seed-butter", "20")])
        .silent("fat-bloom");
}

//! Figures that the guide quotes in its examples, worked out again by the engine: a page that says
//! another figure than the program is wrong. What the engine itself is held against stands in the
//! other files of this folder.

use quern_calc::batch::{BatchPlan, BatchSize, smallest_weighable};
use quern_calc::chemistry::acid::undissociated;
use quern_calc::chemistry::hlb::{blend_hlb, split};
use quern_calc::chemistry::molar::acid_factor;
use quern_calc::chemistry::pka::acid_of;
use quern_calc::chemistry::water_activity::{glycerin_share, norrish};
use quern_calc::grit::index::GritModel;
use quern_calc::grit::sizes::{GrainSize, SizeData};
use quern_calc::quantity::{Grams, Percent};
use quern_calc::safety::exposure::{margin, sed_mg_kg_day};
use quern_calc::setting::melt::{liquidus_c, solid_fraction};
use quern_calc::setting::pour::{Law, relative_viscosity};
use quern_calc::setting::shelf::{firmness_by_needle, iodine_value, oxidisability};
use quern_studio::guide::page;
use rust_decimal::Decimal;

use crate::melt::{oil, pure};

/// Every page holds these words of its example.
#[track_caller]
fn says(key: &str, wanted: &str) {
    let page = page(key).unwrap_or_else(|| panic!("no page {key}"));
    let text: Vec<String> = page.blocks.iter().map(|b| b.text()).collect();
    assert!(text.iter().any(|t| t.contains(wanted)), "{key} does not say: {wanted}");
}

fn d(text: &str) -> Decimal {
    text.parse().unwrap()
}

#[test]
fn amounts_and_batches() {
    let left = Decimal::ONE_HUNDRED - d("62.4") - d("20") - d("5.15");
    says("percent", &format!("leave {} % to the line", left.normalize()));
    let plan = BatchPlan {
        size: BatchSize::Pieces { count: 24, each: Grams(d("75")) },
        loss: Percent(d("3")),
        ..BatchPlan::default()
    };
    let figures = plan.figures().unwrap();
    let gross = figures.gross.0.round_dp(2);
    says("batch", &format!("{gross} g gross"));
    let share = Percent::share(d("30"), gross).unwrap();
    says("percent", &format!("30 g in a gross batch of {gross} g are {} %", share.0));
    let least =
        |tolerance| smallest_weighable(Grams(d("0.1")), Percent(d(tolerance))).0.normalize();
    says(
        "batch",
        &format!("no less than {} g within 5 %, and {} g within 2 %", least("5"), least("2")),
    );
    says("cost", &format!("costs {} a piece", (d("21.60") / d("24")).round_dp(2)));
}

#[test]
fn grains() {
    let severity = |um| GritModel::REFERENCE.severity(um, 250.0, 0.6);
    says("grit", &format!("S {:.4}; one of 150 µm has {:.4}", severity(300.0), severity(150.0)));
    let size = GrainSize::fit(&SizeData::SieveRange { lo_um: 250.0, hi_um: 500.0 }).unwrap();
    says("grit", &format!("D50 of {:.1} µm", size.d50_um()));
}

#[test]
fn fats_and_pastes() {
    let halves = [pure("Palmitic acid", 50.0), pure("Stearic acid", 50.0)];
    says("melt", &format!("are clear at {:.1} °C", liquidus_c(&halves).unwrap()));
    let in_oil = [pure("Stearic acid", 30.0), oil(70.0)];
    says("melt", &format!("is {:.1} % solid at 40 °C", 100.0 * solid_fraction(&in_oil, 40.0)));
    let thick = |x: f64| relative_viscosity(x * 0.6, 0.6, Law::MaronPierce).unwrap();
    says("pour", &format!("is {:.0} times as thick", thick(0.5)));
    says("pour", &format!("at nine tenths, {:.0} times", thick(0.9)));
    let acids: Vec<(String, f64)> = [("18:1", 25.0), ("18:2", 63.0), ("18:3", 0.1)]
        .map(|(name, percent)| (name.to_owned(), percent))
        .into();
    let (iodine, oxidises) = (iodine_value(&acids), oxidisability(&acids));
    says("shelf", &format!("iodine value of {iodine:.1} and an oxidisability of {oxidises:.1}"));
    says("shelf", &format!("about {:.0} times as firm", firmness_by_needle(2.0, 4.0).unwrap()));
}

#[test]
fn chemistry() {
    let blend = blend_hlb(&[(4.0, 15.0), (6.0, 4.3)]).unwrap();
    says("hlb", &format!("make {blend:.2}"));
    says("hlb", &format!("needs {:.1} % of the first", 100.0 * split(10.0, 15.0, 4.3).unwrap()));
    let pka = acid_of("Benzoic Acid").unwrap().0.pka[0];
    says("ph", &format!("benzoic {pka:.2}"));
    let at = |ph| 100.0 * undissociated(ph, pka).unwrap();
    says(
        "ph",
        &format!(
            "only {:.1} % of benzoic acid is undissociated, at pH 6 only {:.1} %",
            at(5.0),
            at(6.0)
        ),
    );
    let factor = acid_factor("C7H5NaO2", "C7H6O2", 1).unwrap();
    says("ph", &format!("Sodium benzoate × {} is", factor.round_dp(4)));
    let acid = |salt: &str| (d(salt) * factor).round_dp(4);
    says("limits", &format!("0.58 % sodium benzoate is {} %", acid("0.58")));
    says("limits", &format!("0.60 % is {} %", acid("0.60")));
    assert!(acid("0.58") < d("0.5") && acid("0.60") > d("0.5"));
    says("limits", &format!("is {} % phenoxyethanol", (d("1.2") * d("0.9")).normalize()));
    let half = norrish(50.0, 50.0, 92.094, 1.16).unwrap();
    says("water", &format!("water activity of {half:.2}"));
    says("water", &format!("{:.1} % glycerine", 100.0 * glycerin_share(0.75).unwrap()));
}

#[test]
fn exposure() {
    let sed = sed_mg_kg_day(123.2, Percent(d("1")), 50.0).unwrap();
    says("exposure", &format!("gives {sed:.3} mg/kg a day"));
    says("exposure", &format!("a margin of {:.0}", margin(100.0, sed).unwrap()));
}

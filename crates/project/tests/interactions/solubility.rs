use quern_calc::findings::Severity::Warn;
use quern_calc::formula::{PhaseKind, PhaseTemperature};

use crate::bench::{Bench, bar, liquid};

fn wet(lines: &[(&str, &str)]) -> Bench {
    let mut all = vec![("aqua", "80")];
    all.extend(lines);
    liquid().water(&all)
}

#[test]
fn allantoin_stays_dissolved_up_to_half_a_per_cent() {
    // 98 % pure: 0.51 % of it is 0.4998 %.
    wet(&[("allantoin", "0.51")]).silent("solubility");
    let f = wet(&[("allantoin", "0.52")]).says("solubility", Warn);
    let words = f.words(quern_calc::number::NumberStyle::default());
    assert!(words.why.contains("0.20 %"), "{}", words.why);
    let steps = f.steps(quern_calc::number::NumberStyle::default());
    assert!(steps.iter().any(|s| s.contains("to 100 g of water")), "{steps:?}");
    // What one click sets is at the limit and no longer above it.
    let quern_calc::findings::Fix::SetPercent { percent, .. } = f.fixes()[0] else { panic!() };
    let set = percent.0.to_string();
    assert_eq!(set, "0.5102");
    wet(&[("allantoin", &set)]).silent("solubility");
    // A powder in a dry bar is a powder.
    bar().melt(&[("stearic-acid-50-type", "50"), ("allantoin", "2")]).silent("solubility");
}

#[test]
fn salicylic_acid_wants_a_solvent() {
    wet(&[("salicylic-acid", "0.2")]).silent("solubility");
    wet(&[("salicylic-acid", "0.21")]).says("solubility", Warn);
    wet(&[("salicylic-acid", "2"), ("propanediol", "10")]).silent("solubility");
}

#[test]
fn caffeine_and_dehydroacetic_acid_have_caps() {
    wet(&[("caffeine", "2.02")]).silent("solubility");
    wet(&[("caffeine", "2.03")]).says("solubility", Warn);
    // 98 % pure; in a blend, or in the fats, its solvent carries it.
    wet(&[("dehydroacetic-acid", "0.1")]).silent("solubility");
    wet(&[("dehydroacetic-acid", "0.11")]).says("solubility", Warn);
    wet(&[("benzyl-alcohol-and-dehydroacetic-acid", "2")]).silent("solubility");
    wet(&[])
        .melt(&[("caprylic-capric-triglyceride", "10"), ("dehydroacetic-acid", "0.3")])
        .silent("solubility");
}

#[test]
fn acid_forms_fall_out() {
    let rule = "acid-form-solubility";
    let pure = |id: &str, percent: &str| {
        wet(&[(id, percent)]).own("Benzoic Acid", |_| {}).own("Sorbic Acid", |_| {})
    };
    // As acid, pH aside; of unknown purity here, so nothing can be said.
    pure("benzoic acid", "0.5").silent(rule);
    let acid = |inci: &str, percent: &str| {
        let active = crate::bench::built_in("citric-acid-anhydrous").active;
        let id = inci.to_lowercase();
        wet(&[(id.as_str(), percent)]).own(inci, |m| m.active = active)
    };
    // 99.5 % pure.
    acid("Benzoic Acid", "0.3").silent(rule);
    acid("Benzoic Acid", "0.302").says(rule, Warn);
    acid("Sorbic Acid", "0.15").silent(rule);
    acid("Sorbic Acid", "0.151").says(rule, Warn);
    // 1 % sodium benzoate of 99.5 % is 0.843 % benzoic acid, of which 33.39 % is undissociated
    // at pH 4.5 and 61.31 % at pH 4.0: 0.28 and 0.52 %. At the pKa, half.
    wet(&[("sodium-benzoate", "1")]).ph("4.5", true).silent(rule);
    let f = wet(&[("sodium-benzoate", "1")]).ph("4", true).says(rule, Warn);
    assert!(
        f.said().starts_with("0.52 % benzoic acid in its acid form at pH 4.00"),
        "{}",
        f.said()
    );
    wet(&[("sodium-benzoate", "1")]).silent(rule);
    // 0.4 % potassium sorbate of 99 % is 0.2956 % sorbic acid; half of it at pH 4.76 is 0.148 %.
    wet(&[("potassium-sorbate", "0.4")]).ph("4.76", true).silent(rule);
    wet(&[("potassium-sorbate", "0.41")]).ph("4.76", true).says(rule, Warn);
}

#[test]
fn isethionate_does_not_dissolve_in_cold_water() {
    let rule = "isethionate-in-cold-water";
    let at = |t: PhaseTemperature, percent: &str| {
        let lines = [("aqua", "80"), ("sodium-cocoyl-isethionate-powder", percent)];
        liquid().phase(PhaseKind::Water, t, &lines)
    };
    // 84 % active.
    at(PhaseTemperature::Unstated, "0.011").silent(rule);
    at(PhaseTemperature::Unstated, "0.012").says(rule, Warn);
    at(PhaseTemperature::HeatTo(59.0), "5").says(rule, Warn);
    at(PhaseTemperature::HeatTo(60.0), "5").silent(rule);
    // Melted into fats it is another matter.
    bar()
        .melt(&[("aqua", "8"), ("sodium-cocoyl-isethionate-powder", "40"), ("cetyl-alcohol", "10")])
        .silent(rule);
}

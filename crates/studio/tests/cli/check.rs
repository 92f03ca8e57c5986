//! `quern check`: what every finding carries, what was looked at, and when it fails.

use quern_calc::formula::{Amount, ExposureAsk, Formula};
use quern_calc::quantity::Percent;

use super::*;

/// Dune with more of its preservative than the Union allows, the filler giving way.
pub fn above_the_limit(bench: &Bench) -> Formula {
    let mut formula = (*bench.project.formulas[0]).clone();
    let line = formula
        .lines()
        .find(|(_, l)| formula.percent_of(l) == Some(Percent("0.9".parse().unwrap())))
        .map(|(_, l)| l.id)
        .expect("Dune holds 0.9 % of its preservative");
    formula.set_amount(line, Some(Amount::percent("1.5".parse().unwrap()))).unwrap();
    formula
}

/// The skeletons, one of which comes with an accepted warning.
pub fn skeletons() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    fine(&["demo", folder.path().to_str().unwrap(), "--all"]);
    let file = folder.path().join("skeletons.ron").to_str().unwrap().to_owned();
    (folder, file)
}

fn all<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap()
}

#[test]
fn a_limit_of_law_that_is_passed_is_told_with_its_arithmetic() {
    let bench = Bench::new();
    let file = bench.write("above.ron", vec![above_the_limit(&bench)], None);
    let ran = quern(&["check", &file, "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""));
    let json = ran.json();
    let formula = &json["formulas"][0];
    let stop = all(formula, "findings").iter().find(|f| f["severity"] == "stop").unwrap();
    assert_eq!(stop["kind"], "law", "{stop}");
    // 90 % of 1.5 %, by the make-up of the blend.
    assert_eq!(stop["figure"], serde_json::json!({"value": "1.35", "unit": "%"}));
    assert_eq!(stop["limit"], serde_json::json!({"value": "1", "unit": "%"}));
    assert!(stop["accepted"].is_null());
    assert!(stop["source"].as_str().unwrap().contains("Annex V/29"), "{stop}");
    assert!(!all(stop, "arithmetic").is_empty(), "{stop}");
    let eu = &all(&formula["checks"], "markets")[0];
    let limit = all(eu, "limits").iter().find(|l| l["reference"] == "Annex V/29").unwrap();
    assert_eq!(limit["percent"], "1.35");
    assert_eq!((&limit["limit_percent"], &limit["verdict"]), (&"1".into(), &"above".into()));
    assert_eq!(limit["sources"][0]["percent"], "1.35");

    let text = quern(&["check", &file]);
    assert_eq!(text.code, 1);
    for part in ["STOP  Phenoxyethanol", "; law; ", "1.35 %, above 1 % (Annex V/29)", "sum "] {
        assert!(text.text().contains(part), "{part} in {}", text.text());
    }
    // The same formula for the United States alone: no list, no limit.
    let mut us = above_the_limit(&bench);
    us.safety.markets = vec!["us".to_owned()];
    let us = bench.write("us.ron", vec![us], None);
    let text = fine(&["check", &us]);
    assert!(text.text().contains("Limits, United States: none"), "{}", text.text());
    assert!(!text.text().contains("European Union"), "{}", text.text());
}

#[test]
fn the_limit_parts_within_from_above() {
    let bench = Bench::new();
    let mut formula = above_the_limit(&bench);
    let line = formula
        .lines()
        .find(|(_, l)| formula.percent_of(l) == Some(Percent("1.5".parse().unwrap())))
        .map(|(_, l)| l.id)
        .unwrap();
    // 0.9 × 1.1111 is 0.99999; 0.9 × 1.1112 is 1.00008.
    for (percent, code, verdict) in [("1.1111", 0, "within"), ("1.1112", 1, "above")] {
        formula.set_amount(line, Some(Amount::percent(percent.parse().unwrap()))).unwrap();
        let file = bench.write("edge.ron", vec![formula.clone()], None);
        let ran = quern(&["check", &file, "--json"]);
        assert_eq!(ran.code, code, "{percent}");
        let json = ran.json();
        let limits = all(&json["formulas"][0]["checks"]["markets"][0], "limits");
        let limit = limits.iter().find(|l| l["reference"] == "Annex V/29").unwrap();
        assert_eq!(limit["verdict"], verdict, "{percent}");
    }
}

#[test]
fn an_accepted_warning_is_shown_with_its_reason_and_not_counted() {
    let (_folder, file) = skeletons();
    let name = "Solid shampoo bar skeleton";
    let json = fine(&["check", &file, "--formula", name, "--json"]).json();
    assert_eq!((&json["counts"]["warn"], &json["counts"]["accepted"]), (&0.into(), &1.into()));
    let found = all(&json["formulas"][0], "findings");
    let accepted = found.iter().find(|f| !f["accepted"].is_null()).unwrap();
    assert_eq!(accepted["severity"], "warn");
    let reason = accepted["accepted"]["reason"].as_str().unwrap();
    assert!(!reason.is_empty());

    let text = fine(&["check", &file, "--formula", name]);
    let head = text.text().lines().next().unwrap().to_owned();
    assert!(head.ends_with("0 warn, 4 note, 1 accepted"), "{head}");
    assert!(text.text().contains("  ACCEPTED  "), "{}", text.text());
    let first: String = reason.chars().take(40).collect();
    assert!(text.text().contains(&format!("reason {first}")), "{}", text.text());

    // Once the acceptance is gone the warning stands; it is still no Stop.
    let mut project = quern_project::load(Path::new(&file)).unwrap().project;
    for formula in &mut project.formulas {
        let mut plain = (**formula).clone();
        plain.safety.accepted.clear();
        *formula = plain.into();
    }
    std::fs::write(&file, quern_project::to_text(&project).unwrap()).unwrap();
    let json = fine(&["check", &file, "--formula", name, "--json"]).json();
    assert_eq!((&json["counts"]["warn"], &json["counts"]["accepted"]), (&1.into(), &0.into()));
}

#[test]
fn what_was_looked_at_is_told_once_and_fits() {
    let bench = Bench::new();
    let (_folder, skeletons) = skeletons();
    for file in [&bench.file, &skeletons] {
        let ran = fine(&["check", file]);
        let text = ran.text();
        for line in text.lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
        for part in [
            "Limits, European Union",
            "Limits, United States: none",
            "Fragrance allergens, European Union",
            "Preservation",
            "Surfactants (",
            "Natural origin (",
        ] {
            assert!(text.contains(part), "{part}");
        }
        // However many formulas there are.
        for part in ["Not checked: ", "Not checked, European Union: ", "before sale."] {
            assert_eq!(text.matches(part).count(), 1, "{part}");
        }
        let lower = text.to_lowercase().replace("safety", "");
        assert!(!lower.contains("compliant") && !lower.contains("safe"), "{text}");
    }
}

#[test]
fn exposure_is_arithmetic_and_no_verdict() {
    let bench = Bench::new();
    let mut formula = (*bench.project.formulas[0]).clone();
    formula.safety.exposures = vec![ExposureAsk {
        component: "Phenoxyethanol".to_owned(),
        departure: Decimal::from(100),
        oral: true,
        absorbed: Percent(Decimal::from(50)),
        source: "a made-up figure".to_owned(),
        line: None,
    }];
    let file = bench.write("exposed.ron", vec![formula], None);
    let json = fine(&["check", &file, "--json"]).json();
    let one = &json["formulas"][0]["checks"]["exposures"][0];
    let number = |key: &str| one[key].as_f64().unwrap();
    assert_eq!((&one["percent"], &one["oral"]), (&"0.81".into(), &true.into()));
    let sed = number("applied_mg_kg_day") * 0.0081 * 0.5;
    assert!((number("exposure_mg_kg_day") - sed).abs() < 1e-9 * sed, "{one}");
    assert!((number("departure_mg_kg_day") - 50.0).abs() < 1e-9, "half of an oral figure: {one}");
    let margin = 50.0 / sed;
    assert!((number("margin") - margin).abs() < 1e-9 * margin, "{one}");
    let text = fine(&["check", &file]);
    assert!(text.text().contains("  Exposure to Phenoxyethanol: exposure "), "{}", text.text());
    assert!(text.text().contains("not an assessment"), "{}", text.text());
}

#[test]
fn figures_that_cannot_be_had_say_why() {
    let bench = Bench::new();
    let json = fine(&["check", &bench.file, "--json"]).json();
    for formula in all(&json, "formulas") {
        let chemistry = formula["checks"]["chemistry"].as_object().unwrap();
        let missing = chemistry["missing"].as_array().unwrap();
        for (key, value) in chemistry {
            let told = missing.iter().filter(|m| m["figure"] == *key).count();
            assert_eq!(told, usize::from(value.is_null()), "{key} of {}", formula["name"]);
        }
        for market in all(&formula["checks"], "markets") {
            assert!(!all(market, "not_checked").is_empty());
            assert_eq!(market["allergens"].is_null(), market["code"] == "us");
        }
    }
}

//! `quern label`: the pack as text, JSON and sheets, and what it refuses.

use quern_calc::formula::Printed;

use super::check::{above_the_limit, skeletons};
use super::*;

fn label<'a>(bench: &'a Bench, more: &[&'a str]) -> Vec<&'a str> {
    let mut args = vec!["label", bench.file.as_str(), "--formula", "Dune"];
    args.extend_from_slice(more);
    args
}

fn schema() -> jsonschema::Validator {
    let schema: Value =
        serde_json::from_str(include_str!("../../../../docs/label.schema.json")).unwrap();
    jsonschema::meta::validate(&schema).unwrap();
    jsonschema::validator_for(&schema).unwrap()
}

#[test]
fn the_pack_is_told_with_the_reason_of_each_part() {
    let bench = Bench::new();
    let ran = fine(&label(&bench, &[]));
    let text = ran.text();
    for part in [
        "label for European Union",
        "On the pack",
        "list         Ingredients: Sodium Cocoyl Isethionate, Zea Mays Starch,",
        "net content  70 g",
        "The list explained",
        "By amount",
        "From 1 % down the order is free",
        "named in addition, a fragrance allergen above 0.01 %",
        "Looked at",
        "Where the cautions come from",
        "Not checked: ",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    for line in text.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
    assert!(!text.contains("United States"), "only its own market: {text}");
    assert!(text.trim_end().ends_with("before sale."), "{text}");
    let lower = text.to_lowercase().replace("safety", "");
    assert!(!lower.contains("compliant") && !lower.contains("safe"), "{text}");
    assert_eq!(fine(&label(&bench, &["--market", "EU"])).out, ran.out);
    assert_eq!(fine(&label(&bench, &["--out", "-"])).out, ran.out);

    let us = fine(&label(&bench, &["--market", "us"]));
    for part in ["label for United States", "Zea Mays (Corn) Starch", "Net Wt 2.4 oz (70 g)"] {
        assert!(us.text().contains(part), "{part} in {}", us.text());
    }
    assert!(!us.text().contains("Linalool"), "no list of allergens there: {}", us.text());
}

#[test]
fn the_list_alone_is_one_line() {
    let bench = Bench::new();
    let ran = fine(&label(&bench, &["--list"]));
    assert_eq!(ran.text().lines().count(), 1);
    assert!(ran.text().starts_with("Ingredients: Sodium Cocoyl Isethionate, "), "{}", ran.text());
    let json = fine(&label(&bench, &["--json"])).json();
    assert_eq!(json["label"]["list"].as_str().unwrap(), ran.text().trim_end());
    let file = bench.path("list.txt");
    fine(&label(&bench, &["--list", "--out", &file]));
    assert_eq!(std::fs::read(&file).unwrap(), ran.out);
    assert_eq!(quern(&label(&bench, &["--list", "--json"])).code, 2);
}

#[test]
fn a_comma_is_for_readers_and_never_for_scripts() {
    let bench = Bench::new();
    let comma = fine(&label(&bench, &["--decimal", "comma"]));
    assert!(comma.text().contains("Zea Mays Starch 14,9 %"), "{}", comma.text());
    // Remarks on heights are for the reader, too: the small o of 2.2 mm capitals is 1.65 mm.
    assert!(comma.text().contains("1,65 mm"), "{}", comma.text());
    assert!(!comma.text().contains("1.65"), "{}", comma.text());
    let json = fine(&label(&bench, &["--json"]));
    assert_eq!(fine(&label(&bench, &["--json", "--decimal", "comma"])).out, json.out);
    assert_eq!(json.json()["label"]["entries"][1]["percent"], "14.9");
}

#[test]
fn json_is_as_the_schema_says() {
    let bench = Bench::new();
    let schema = schema();
    let stop = bench.write("above.ron", vec![above_the_limit(&bench)], None);
    let (_folder, skeletons) = skeletons();
    let mut all: Vec<Vec<String>> = vec![vec![stop, "Dune".to_owned(), "eu".to_owned()]];
    for file in [bench.file.clone(), skeletons] {
        let project = quern_project::load(Path::new(&file)).unwrap().project;
        for formula in &project.formulas {
            for market in ["eu", "us"] {
                all.push(vec![file.clone(), formula.name.clone(), market.to_owned()]);
            }
        }
    }
    for one in &all {
        let args = ["label", &one[0], "--formula", &one[1], "--market", &one[2], "--json"];
        let ran = quern(&args);
        assert!(ran.code < 2, "{args:?} {}", ran.err);
        let json = ran.json();
        let errors: Vec<String> =
            schema.iter_errors(&json).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{args:?}\n{}", errors.join("\n"));
        let label = json["label"].as_object().unwrap();
        for (key, value) in label.iter().filter(|(key, _)| *key != "first_free") {
            let missing = label["missing"].as_array().unwrap();
            let told = missing.iter().filter(|m| m["figure"] == *key).count();
            assert_eq!(told, usize::from(value.is_null()), "{key} in {args:?}");
        }
        // The schema is strict.
        let mut more = json.clone();
        more["label"]["extra"] = Value::Null;
        assert!(!schema.is_valid(&more));
        let mut less = json;
        less["checks"].as_object_mut().unwrap().remove("markets");
        assert!(!schema.is_valid(&less));
    }
}

#[test]
fn all_schemas_describe_the_same_parts_alike() {
    let read = |text: &str| serde_json::from_str::<Value>(text).unwrap();
    let label = read(include_str!("../../../../docs/label.schema.json"));
    let grit = read(include_str!("../../../../docs/grit.schema.json"));
    let report = read(include_str!("../../../../docs/report.schema.json"));
    let mut shared = 0;
    for (name, part) in label["$defs"].as_object().unwrap() {
        if let Some(other) = report["$defs"].get(name) {
            assert_eq!(part, other, "{name}");
            shared += 1;
        }
    }
    assert!(shared > 15, "{shared}");
    for name in ["finding", "reading", "date"] {
        assert_eq!(grit["$defs"][name], report["$defs"][name], "{name}");
    }
}

#[test]
fn sheets_and_files_are_written_by_their_ending() {
    let bench = Bench::new();
    let made = |name: &str| {
        let path = bench.path(name);
        let ran = fine(&label(&bench, &["--out", &path]));
        assert_eq!(ran.text(), format!("Written: {path}\n"));
        std::fs::read(path).unwrap()
    };
    assert_eq!(made("l.txt"), fine(&label(&bench, &[])).out);
    assert_eq!(made("l.json"), fine(&label(&bench, &["--json"])).out);
    let html = String::from_utf8(made("l.HTML")).unwrap();
    assert!(html.to_ascii_lowercase().starts_with("<!doctype html"));
    assert!(html.contains("Sodium Cocoyl Isethionate"));
    if cfg!(feature = "pdf") {
        let pdf = made("l.pdf");
        assert!(pdf.starts_with(b"%PDF-") && pdf.len() > 2_000);
    }
    let bytes = std::fs::read(&bench.file).unwrap();
    let ran = with_input(&["label", "-", "--formula", "Dune", "--list"], &bytes);
    assert_eq!(ran.out, fine(&label(&bench, &["--list"])).out);
}

#[test]
fn what_cannot_be_made_is_refused_in_words() {
    let bench = Bench::new();
    refused(&label(&bench, &["--market", "mars"]), "is not known; there are: eu, us");
    refused(&label(&bench, &["--out", &bench.path("l.docx")]), "end it in .pdf, .html");
    refused(&label(&bench, &["--out", &bench.path("l")]), "end it in");
    refused(&label(&bench, &["--list", "--out", &bench.path("l.json")]), "make them agree");
    refused(&label(&bench, &["--list", "--out", &bench.path("l.pdf")]), "make them agree");
    refused(&label(&bench, &["--json", "--out", &bench.path("l.txt")]), "make them agree");
    refused(&label(&bench, &["--out", &bench.path("none/l.txt")]), "not there");
    refused(&["label", &bench.file, "--formula", "Nessie"], "no formula “Nessie”");
    assert_eq!(quern(&["label", &bench.file]).code, 2);

    let mut eu = (*bench.project.formulas[0]).clone();
    eu.safety.markets = vec!["eu".to_owned()];
    let eu = bench.write("eu.ron", vec![eu], None);
    let args = ["label", &eu, "--formula", "Dune", "--market", "us"];
    refused(&args, "“Dune” is not meant for United States");
    fine(&["label", &eu, "--formula", "Dune"]);

    let odd = bench.path("project.txt");
    std::fs::copy(&bench.file, &odd).unwrap();
    let before = std::fs::read(&odd).unwrap();
    refused(&["label", &odd, "--formula", "Dune", "--out", &odd], "is the project itself");
    assert_eq!(std::fs::read(&odd).unwrap(), before);
}

#[test]
fn a_label_with_a_stop_is_shown_and_fails() {
    let bench = Bench::new();
    let file = bench.write("above.ron", vec![above_the_limit(&bench)], None);
    let ran = quern(&["label", &file, "--formula", "Dune"]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""));
    assert!(ran.text().contains("\nSTOP  One Stop stands: do not print"), "{}", ran.text());
    let json = quern(&["label", &file, "--formula", "Dune", "--json"]);
    assert_eq!((json.code, &json.json()["counts"]["stop"]), (1, &1.into()));
    let sheet = bench.path("stop.html");
    let ran = quern(&["label", &file, "--formula", "Dune", "--out", &sheet]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(Path::new(&sheet).exists());
}

#[test]
fn a_label_that_changed_since_it_was_printed_says_what() {
    let bench = Bench::new();
    let mut formula = (*bench.project.formulas[0]).clone();
    formula.label.printed = vec![Printed {
        market: "eu".to_owned(),
        date: day(),
        version: 3,
        lines: vec!["name: Dune bar".to_owned()],
    }];
    let file = bench.write("printed.ron", vec![formula], None);
    let args = ["label", &file, "--formula", "Dune"];
    let text = fine(&args);
    for part in ["WARN  The label has changed", "for version 3", "name, then: Dune bar"] {
        assert!(text.text().contains(part), "{part} in {}", text.text());
    }
    let json = fine(&[&args[..], &["--json"]].concat()).json();
    assert!(schema().is_valid(&json));
    let printed = &json["label"]["printed"];
    assert_eq!((&printed["version"], &printed["date"]), (&3.into(), &"2026-11-25".into()));
    let name = printed["changed"].as_array().unwrap().iter().find(|c| c["part"] == "name").unwrap();
    assert_eq!((&name["then"], &name["now"]), (&"Dune bar".into(), &"Dune".into()));
    // Nothing was printed for the other market.
    let us = fine(&[&args[..], &["--market", "us"]].concat());
    assert!(!us.text().contains("has changed"), "{}", us.text());
}

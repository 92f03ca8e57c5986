//! The headless commands, run in process on the demo project.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "cli/bench.rs"]
mod bench;
#[path = "cli/check.rs"]
mod check;
#[path = "cli/grit/mod.rs"]
mod grit;
#[path = "cli/label.rs"]
mod label;
#[path = "cli/setting/mod.rs"]
mod setting;

use std::ffi::OsString;
use std::path::Path;

use quern_calc::batch::{BatchPlan, BatchSize};
use quern_calc::formula::{Formula, FormulaId};
use quern_calc::quantity::Grams;
use quern_studio::cli::{Outcome, run};
use rust_decimal::Decimal;
use serde_json::Value;

use bench::{Bench, day, fine, quern, refused, with_input};

#[test]
fn reports_say_everything_within_the_page() {
    let bench = Bench::new();
    let ran = fine(&["report", &bench.file]);
    let text = ran.text();
    for formula in &bench.project.formulas {
        assert!(text.contains(&format!("== {}", formula.name)), "{}", formula.name);
    }
    for part in ["Figures", "Findings:", "Cautions", "estimate", "weigh g", "Not checked:"] {
        assert!(text.contains(part), "{part}");
    }
    for line in text.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
    assert!(text.trim_end().ends_with("before sale."), "it ends with what was not checked");
    let one = fine(&["report", &bench.file, "--formula", &bench.name(0).to_uppercase()]);
    assert_eq!(one.text().matches("\n== ").count(), 1);
    assert_eq!(fine(&["report", &bench.file]).out, ran.out, "two runs differ");
}

fn schema() -> jsonschema::Validator {
    let text = include_str!("../../../docs/report.schema.json");
    let schema: Value = serde_json::from_str(text).unwrap();
    jsonschema::meta::validate(&schema).unwrap();
    jsonschema::validator_for(&schema).unwrap()
}

#[test]
fn json_is_as_the_schema_says() {
    let bench = Bench::new();
    let four = bench.four();
    let no_batch = BatchPlan { size: BatchSize::Gross(Grams::ZERO), ..BatchPlan::default() };
    let no_batch = bench.write(
        "no-batch.ron",
        vec![bench.half("h", "Half"), Formula::empty(FormulaId::new("e"), "Empty")],
        Some(no_batch),
    );
    let nothing = bench.write("nothing.ron", Vec::new(), None);
    let schema = schema();
    let (_folder, skeletons) = check::skeletons();
    let above = bench.write("above.ron", vec![check::above_the_limit(&bench)], None);
    for args in [
        vec!["report", &skeletons, "--json"],
        vec!["check", &skeletons, "--json"],
        vec!["check", &above, "--json"],
        vec!["report", &bench.file, "--json"],
        vec!["report", &bench.file, "--json", "--formula", bench.name(0)],
        vec!["report", &four, "--json"],
        vec!["report", &no_batch, "--json"],
        vec!["report", &nothing, "--json"],
        vec!["check", &bench.file, "--json"],
        vec!["check", &no_batch, "--json"],
        vec!["compare", &four, "A", "B", "--json"],
        vec!["compare", &four, "A", "B", "C", "D", "--json"],
        vec!["compare", &no_batch, "Half", "Empty", "--json"],
    ] {
        let ran = quern(&args);
        assert!(ran.code < 2, "{args:?} {}", ran.err);
        let json = ran.json();
        let errors: Vec<String> =
            schema.iter_errors(&json).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{args:?}\n{}", errors.join("\n"));
        assert_eq!(json["kind"], args[0]);
        assert_eq!(quern(&args).out, ran.out, "two runs differ: {args:?}");
    }
    // The schema is strict: one key more or less is noticed.
    let mut json = fine(&["report", &bench.file, "--json"]).json();
    json["formulas"][0]["figures"]["extra"] = Value::Null;
    assert!(!schema.is_valid(&json));
    json["formulas"][0]["figures"].as_object_mut().unwrap().remove("extra");
    assert!(schema.is_valid(&json));
    json["formulas"][0]["figures"].as_object_mut().unwrap().remove("grit_index");
    assert!(!schema.is_valid(&json));
}

#[test]
fn json_loses_nothing_and_invents_nothing() {
    let bench = Bench::new();
    let json = fine(&["report", &bench.file, "--json"]).json();
    for (formula, shown) in bench.project.formulas.iter().zip(json["formulas"].as_array().unwrap())
    {
        let lines = shown["phases"].as_array().unwrap().iter();
        let lines: Vec<&Value> = lines.flat_map(|p| p["lines"].as_array().unwrap()).collect();
        assert_eq!(lines.len(), formula.lines().count());
        for ((_, line), shown) in formula.lines().zip(lines) {
            let percent = shown["percent"].as_str().map(|p| p.parse::<Decimal>().unwrap());
            assert_eq!(percent, formula.percent_of(line).map(|p| p.0));
        }
        for (key, value) in shown["figures"].as_object().unwrap() {
            let missing = shown["missing"].as_array().unwrap().iter();
            let told = missing.filter(|m| m["figure"] == *key).count();
            assert_eq!(told, usize::from(value.is_null()), "{key}");
        }
    }
    // Without a batch there are no weights, and no zeros in their place.
    let plan = BatchPlan { size: BatchSize::Gross(Grams::ZERO), ..BatchPlan::default() };
    let file = bench.write("no-batch.ron", vec![bench.half("h", "Half")], Some(plan));
    let json = fine(&["report", &file, "--json"]).json();
    let line = &json["formulas"][0]["phases"][0]["lines"][0];
    assert!(json["formulas"][0]["batch"].is_null());
    assert!(line["grams_exact"].is_null() && line["grams_target"].is_null(), "{line}");
    assert!(line["missing"][0]["why"].as_str().unwrap().contains("batch size"), "{line}");
    assert!(fine(&["report", &file]).text().contains("No weights: The batch size"));
}

#[test]
fn a_check_fails_while_a_stop_stands() {
    let bench = Bench::new();
    let half = bench.write("half.ron", vec![bench.half("h", "Half")], None);
    let ran = quern(&["check", &half]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""));
    for part in ["STOP  The total is 50 %, not 100", "why", "fix", "from", "Not checked:"] {
        assert!(ran.text().contains(part), "{part} in {}", ran.text());
    }
    let json = quern(&["check", &half, "--json"]);
    assert_eq!(json.code, 1);
    assert_eq!(json.json()["formulas"][0]["findings"][0]["severity"], "stop");

    let demo = quern(&["check", &bench.file, "--json"]);
    let stops = demo.json()["counts"]["stop"].as_u64().unwrap();
    assert_eq!(demo.code, u8::from(stops > 0));
    let four = bench.four();
    let a = quern(&["check", &four, "--formula", "A", "--json"]);
    assert_eq!(a.json()["formulas"].as_array().unwrap().len(), 1);
    assert_eq!(u64::from(a.code), a.json()["counts"]["stop"].as_u64().unwrap().min(1));
    let empty = bench.write("nothing.ron", Vec::new(), None);
    assert!(fine(&["check", &empty]).text().contains("no formulas"));
}

#[test]
fn formulas_are_compared_in_every_format() {
    let bench = Bench::new();
    let four = bench.four();
    let two = fine(&["compare", &four, "A", "B"]);
    for part in
        ["Lines, %", "Figures", "second less first", "Grit index (estimate)", "Not checked:"]
    {
        assert!(two.text().contains(part), "{part}");
    }
    let all = fine(&["compare", &four, "A", "b", "C", "d"]);
    assert!(all.text().lines().all(|l| l.chars().count() <= 100), "{}", all.text());
    assert_eq!(fine(&["compare", &four, "A", "B", "-o", "-"]).out, two.out);

    let json = bench.path("c.json");
    fine(&["compare", &four, "A", "B", "--out", &json]);
    let written: Value = serde_json::from_slice(&std::fs::read(&json).unwrap()).unwrap();
    assert_eq!(written, fine(&["compare", &four, "A", "B", "--json"]).json());
    let text = bench.path("c.txt");
    fine(&["compare", &four, "A", "B", "--out", &text]);
    assert_eq!(std::fs::read(&text).unwrap(), two.out);
    let md = bench.path("c.md");
    fine(&["compare", &four, "A", "B", "--out", &md]);
    let md = std::fs::read_to_string(&md).unwrap();
    assert!(md.starts_with("# Comparison") && md.contains("| Material, % | A | B |"), "{md}");

    refused(&["compare", &four, "A", "E"], "no formula “E”; it has “A”, “B”, “C”, “D”");
    refused(
        &["compare", &four, "A", "B", "-o", &bench.path("c.pdf")],
        "end it in .txt, .md or .json",
    );
    refused(&["compare", &four, "A", "B", "--json", "-o", &text], "make them agree");
    assert_eq!(quern(&["compare", &four, "A"]).code, 2);
    assert_eq!(quern(&["compare", &four, "A", "B", "C", "D", "A"]).code, 2);
}

#[test]
fn sheets_are_written_in_every_format() {
    let bench = Bench::new();
    let name = bench.name(0);
    let made = |file: &str, more: &[&str]| {
        let path = bench.path(file);
        let args = ["sheet", &bench.file, "--formula", name, "--out", &path];
        let ran = fine(&[&args[..], more].concat());
        assert!(ran.text().starts_with(&format!("Written: {path}")));
        std::fs::read(path).unwrap()
    };
    let batch =
        ["--batch", "1.8kg", "--loss", "3%", "--scale", "0.1g:3kg", "--scale", "0.01g:200g"];
    assert!(made("s.html", &batch).to_ascii_lowercase().starts_with(b"<!doctype html"));
    assert!(made("s.md", &batch).starts_with(b"# "));
    let csv = String::from_utf8(made("s.csv", &batch)).unwrap();
    assert!(csv.starts_with("record,") && csv.contains("1800.00"), "{csv}");
    assert_eq!(made("s.CSV", &batch), csv.as_bytes());
    let comma =
        made("comma.html", &["--batch", "1,8 kg", "--decimal", "comma", "--paper", "letter"]);
    assert!(String::from_utf8(comma).unwrap().contains("100,00"));
    // Pieces are net: the loss comes on top, as a share of the gross batch.
    let pieces = ["--pieces", "24", "--piece", "75g", "--loss", "3%"];
    let csv = String::from_utf8(made("p.csv", &pieces)).unwrap();
    assert!(csv.contains("24 × 75 g") && csv.contains("1855.67"), "{csv}");
    // Without a size the plan of the project counts.
    let csv = String::from_utf8(made("plan.csv", &[])).unwrap();
    let plan = bench.project.plan(&bench.project.formulas[0].id);
    let gross = plan.figures().unwrap().gross.0.trunc();
    let row = csv.lines().find(|l| l.contains("gross, exact")).unwrap();
    assert!(row.contains(&format!(",{gross}.")), "{gross} in {row}");

    let to_out = fine(&[
        "sheet",
        &bench.file,
        "--formula",
        name,
        "--batch",
        "1kg",
        "-o",
        "-",
        "--format",
        "csv",
    ]);
    assert!(to_out.text().starts_with("record,"));
    if cfg!(feature = "pdf") {
        let pdf = made("s.pdf", &batch);
        assert!(pdf.starts_with(b"%PDF-") && pdf.len() > 2_000);
    } else {
        let pdf = bench.path("s.pdf");
        refused(&["sheet", &bench.file, "--formula", name, "-o", &pdf], "cannot make PDF");
    }
}

#[test]
fn a_sheet_with_a_stop_is_made_and_says_so() {
    let bench = Bench::new();
    let half = bench.write("half.ron", vec![bench.half("h", "Half")], None);
    let path = bench.path("half.html");
    let ran = fine(&["sheet", &half, "--formula", "Half", "--batch", "500", "-o", &path]);
    assert!(ran.text().contains("“Do not make”"), "{}", ran.text());
    assert!(std::fs::read_to_string(path).unwrap().contains("Do not make"));
}

#[test]
fn sheets_that_cannot_be_made_are_refused_in_words() {
    let bench = Bench::new();
    let out = bench.path("s.csv");
    let sheet = |more: &[&str], part: &str| {
        let args = ["sheet", &bench.file, "--formula", bench.name(0), "--out", &out];
        refused(&[&args[..], more].concat(), part);
        assert!(!Path::new(&out).exists(), "{more:?}");
    };
    for (batch, part) in [
        ("0", "not above 0 g"),
        ("-5kg", "not above 0 g"),
        ("NaN", "Not a finite number"),
        ("1e30", "too large"),
        ("1e9 kg", "above 10 000 kg"),
        ("3%", "no mass"),
        ("lots", "Unexpected"),
        ("1,234", "choose 1.234 or 1234"),
    ] {
        sheet(&["--batch", batch], part);
    }
    for (pieces, piece, part) in [
        ("0", "75g", "no pieces"),
        ("-3", "75g", "no pieces"),
        ("2.5", "75g", "whole"),
        ("1e11", "75g", "more than 1 000 000"),
        ("24", "0g", "not above 0 g"),
        ("1000000", "75kg", "more than 10 000 kg gross"),
    ] {
        sheet(&["--pieces", pieces, "--piece", piece], part);
    }
    for (loss, part) in [
        ("100%", "leaves nothing"),
        ("250", "leaves nothing"),
        ("-1%", "negative"),
        ("NaN", "Not a finite number"),
        ("3g", "no share"),
    ] {
        sheet(&["--loss", loss], part);
    }
    sheet(
        &["--pieces", "24", "--piece", "75g", "--loss", "99.99999999%"],
        "more than 10 000 kg gross",
    );
    sheet(&["--scale", "0.1g"], "0.1g:3kg");
    sheet(&["--scale", "0:3kg"], "not above 0 g");
    sheet(&["--scale", "3kg:0.1g"], "readability first");
    sheet(&["--format", "pdf"], "make them agree");
    sheet(&["--format", "doc"], "use pdf, html, csv or md");

    let to = |out: &str, part: &str| {
        refused(&["sheet", &bench.file, "--formula", bench.name(0), "--out", out], part);
    };
    to(&bench.path("s.xlsx"), "XLSX export is not built yet");
    to(&bench.path("s.docx"), "end it in .pdf, .html, .csv or .md");
    to(&bench.path("s"), "end it in");
    to("-", "add --format");
    to(&bench.path("none/s.csv"), "not there");
    refused(&["sheet", &bench.file, "--formula", "Nessie", "--out", &out], bench.name(0));
    // Neither half of pieces x weight stands alone, nor beside a batch.
    for more in [
        &["--pieces", "24"][..],
        &["--piece", "75g"],
        &["--batch", "1kg", "--pieces", "2", "--piece", "5g"],
    ] {
        let args = ["sheet", &bench.file, "--formula", bench.name(0), "--out", &out];
        assert_eq!(quern(&[&args[..], more].concat()).code, 2, "{more:?}");
    }
}

#[test]
fn the_project_is_never_written_over() {
    let bench = Bench::new();
    let odd = bench.path("project.md");
    std::fs::copy(&bench.file, &odd).unwrap();
    let before = std::fs::read(&odd).unwrap();
    refused(&["sheet", &odd, "--formula", bench.name(0), "-o", &odd], "is the project itself");
    refused(&["compare", &odd, bench.name(0), bench.name(0), "-o", &odd], "is the project itself");
    assert_eq!(std::fs::read(&odd).unwrap(), before);
}

#[test]
fn the_demo_is_written_once() {
    let folder = tempfile::tempdir().unwrap();
    let deep = folder.path().join("a/b");
    let deep = deep.to_str().unwrap();
    let ran = fine(&["demo", deep, "--all"]);
    let names =
        ["coast-workshop.ron", "skeletons.ron", "lotion-and-balm.ron", "jar-and-powder.ron"];
    assert_eq!(ran.text().lines().count(), names.len());
    for name in names {
        let file = Path::new(deep).join(name);
        assert!(!quern_project::load(&file).unwrap().project.formulas.is_empty(), "{name}");
    }
    refused(&["demo", deep], "is there already and is left alone");
    std::fs::remove_file(Path::new(deep).join("coast-workshop.ron")).unwrap();
    refused(&["demo", deep, "--all"], "skeletons.ron is there already");
    assert!(!Path::new(deep).join("coast-workshop.ron").exists(), "a refusal writes nothing");
    let file = folder.path().join("file");
    std::fs::write(&file, "x").unwrap();
    refused(&["demo", file.to_str().unwrap()], "choose another");
}

#[test]
fn files_that_cannot_be_read_are_told() {
    let bench = Bench::new();
    refused(&["report", &bench.path("no.ron")], "was not found");
    refused(&["report", bench.folder.path().to_str().unwrap()], "is a folder");
    let cut = bench.path("cut.ron");
    let text = std::fs::read_to_string(&bench.file).unwrap();
    let half: String = text.chars().take(text.chars().count() / 2).collect();
    std::fs::write(&cut, half).unwrap();
    refused(&["check", &cut], "line");
    refused(&["report", &bench.file, "--formula", "Nessie"], bench.name(1));
    let nothing = bench.write("nothing.ron", Vec::new(), None);
    refused(&["report", &nothing, "--formula", "A"], "no formula at all");
    let twins = vec![bench.half("t1", "Twin"), bench.half("t2", "Twin")];
    let twins = bench.write("twins.ron", twins, None);
    refused(&["report", &twins, "--formula", "Twin"], "give the id instead: “t1”, “t2”");
    fine(&["report", &twins, "--formula", "t2"]);
}

#[test]
fn standard_input_is_a_project_too() {
    let bench = Bench::new();
    let bytes = std::fs::read(&bench.file).unwrap();
    let ran = with_input(&["report", "-", "--json"], &bytes);
    assert_eq!(ran.out, fine(&["report", &bench.file, "--json"]).out);
    let sheet = ["sheet", "-", "--formula", bench.name(0), "-o", "-", "--format", "md"];
    assert_eq!(with_input(&sheet, &bytes).code, 0);
    let told = |input: &[u8], part: &str| {
        let ran = with_input(&["check", "-"], input);
        assert_eq!(ran.code, 2);
        assert!(ran.err.contains("standard input") && ran.err.contains(part), "{}", ran.err);
    };
    told(b"", "is empty");
    told(b"\xff\xfe", "UTF-8");
    told(b"(format: 99, project: ())", "newer");
    told(&vec![b' '; 17 * 1024 * 1024], "more than");
}

#[test]
fn help_lists_only_what_works() {
    let help = fine(&["--help"]);
    for command in ["report", "check", "compare", "grit", "setting", "label", "sheet", "demo"] {
        assert!(help.text().contains(&format!("\n  {command} ")), "{command}");
        assert!(fine(&[command, "--help"]).text().contains("Usage: quern "), "{command}");
    }
    for command in ["batch", "stock", "trace", "page", "import"] {
        assert!(!help.text().contains(&format!("\n  {command}")), "{command}");
        let words = format!("`quern {command}` is not built yet");
        refused(&[command], &words);
        refused(&[command, "x.ron", "--formula", "A", "--json"], &words);
        refused(&[command, "--help"], &words);
    }
    assert!(fine(&["--version"]).text().starts_with("quern "));
    assert_eq!(quern(&["report"]).code, 2);
    assert_eq!(quern(&["report", "a.ron", "--colour"]).code, 2);
    refused(&["reprot"], "no command and no file “reprot”");
    refused(&["-"], "not standard input");
}

#[test]
fn no_command_is_the_window() {
    let window = |args: &[&str]| {
        let args = std::iter::once("quern").chain(args.iter().copied()).map(OsString::from);
        run(args, &mut Vec::new(), &mut Vec::new(), day())
    };
    assert_eq!(window(&[]), Outcome::Window { file: None });
    assert_eq!(window(&["bars.ron"]), Outcome::Window { file: Some("bars.ron".into()) });
}

#[test]
fn names_cannot_steer_the_terminal() {
    let bench = Bench::new();
    let file = bench.write("odd.ron", vec![bench.half("h", "Bar \u{1b}[31m\nred | *x*")], None);
    for args in [vec!["report", &file], vec!["check", &file], vec!["compare", &file, "h", "h"]] {
        let ran = quern(&args);
        assert!(ran.code < 2 && !ran.text().contains('\u{1b}'), "{args:?} {}", ran.err);
    }
    let (dune, odd) = (&bench.project.formulas[0], "Bar \u{1b}[31m\nred");
    let mut formula = (**dune).clone();
    formula.name = odd.to_owned();
    let grit = bench.write("odd-grit.ron", vec![formula], None);
    for more in [&["--beside", "dune"][..], &["--solve", "18"], &["--solve", "18", "--json"], &[]] {
        let ran = fine(&[&["grit", &grit, "--formula", "dune"], more].concat());
        assert!(!ran.text().contains('\u{1b}'), "{more:?}");
    }
    let ran = quern(&["report", &file, "--formula", "\u{1b}[31m"]);
    assert!(!ran.err.contains('\u{1b}'), "{}", ran.err);
    let md = bench.path("odd.md");
    fine(&["compare", &file, "h", "h", "-o", &md]);
    assert!(std::fs::read_to_string(md).unwrap().contains("\\| \\*x\\*"));
}

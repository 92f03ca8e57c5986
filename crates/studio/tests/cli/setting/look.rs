//! Figures and words.

use super::*;

#[test]
fn the_text_says_everything_within_the_page() {
    let bench = Bench::new();
    let file = measured(&bench);
    let args = ["setting", &file, "--formula", "Dune", "--curve", "--pour", "55 C"];
    let ran = fine(&args);
    let words = flat(&ran);
    for part in [
        "== Dune",
        "face scrub bar, rinse-off",
        "Melting",
        "Pouring",
        "Filling and cooling",
        "Shelf and post",
        "Heat to: Sodium cocoyl isethionate powder wants it",
        "Melt curve moved up by",
        "Packing limit times",
        "Oak tray: block of wood, length 90, width 60, depth 25 mm; cavity measured as 128.0 mL",
        "Firmness is in % of Shingle at 20 °C",
        "Until the middle can be unmoulded",
        "The face by then",
        "would make it a spoon paste",
        "Measured, and the model",
        "Sets at 36.5 °C: estimate 33.9 °C before, 36.5 °C after",
        "138.0 g in 128.0 mL at 52 °C: estimate",
        "needle 3.0 mm deep at 20 °C: with a depth of the reference bar it moves the firmness",
        "Stearyl alcohol 7.00 58.0",
        "Melt curve, solid in % of the fat",
        "components by their number above",
        "How these figures err",
        "ideal melts",
        "Not checked:",
    ] {
        assert!(words.contains(part), "{part} in {}", ran.text());
    }
    for ran in [
        &ran,
        &fine(&["setting", &file, "--formula", "Dune", "--beside", "Fen", "--curve"]),
        &fine(&["setting", &file, "--formula", "Shingle", "--beside", "Cairn", "--curve"]),
    ] {
        for line in ran.text().lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
    }
    assert_eq!(fine(&args).out, ran.out, "two runs differ");
    assert!(!flat(&of(&bench, "Dune", &[])).contains("Melt curve, solid"), "only with --curve");
}

#[test]
fn json_holds_the_figures_of_the_engine() {
    let bench = Bench::new();
    let mould = Mould {
        name: "disc:70x25mm".to_owned(),
        shape: Shape::Disc(70.0, 25.0),
        measured_ml: Some(92.0),
        wall: Wall::Silicone,
    };
    let ask = SettingAsk {
        pour_c: Some(54.5),
        mould: Some(mould),
        stand: Stand::Rack,
        air_c: Some(18.0),
    };
    let more = ["--pour", "54,5 °C", "--mould", "disc:70x25mm", "--cavity", "92 mL"];
    let more = [&more[..], &["--stand", "RACK", "--air", "18"]].concat();
    for formula in &bench.project.formulas {
        let shown = json(&bench, &formula.name, &more);
        let shown = &shown["formulas"][0];
        let (e, s) = figures(&bench.project, formula, &ask);
        let slab = s.cool.as_ref().ok().and_then(|c| c.slab.run());
        let rows = [readouts(&e, &s), slab_readouts(&s, slab.as_ref())].concat();
        assert_eq!(shown["readouts"].as_object().unwrap().len(), rows.len());
        for row in rows {
            let value = &shown["readouts"][row.key];
            match &row.value {
                Figure::Number(x, _) => near(&value["value"], *x),
                Figure::Exact(d, _) => near(&value["value"], d.to_string().parse().unwrap()),
                Figure::Text(t) => assert_eq!(value["value"], t.as_str()),
                Figure::Absent(why) => {
                    assert!(value["value"].is_null());
                    assert_eq!(value["absent"], why.words());
                }
            }
            assert_eq!(value["value"].is_null(), value["absent"].is_string(), "{}", row.key);
            match row.band {
                Some((low, high)) => {
                    near(&value["low"], low);
                    near(&value["high"], high);
                }
                None => assert!(value["low"].is_null() && value["high"].is_null()),
            }
        }
        near(&shown["pour_c"], 54.5);
        near(&shown["mould"]["volume_ml"], 92.0);
        let Some(stacks) = &s.stacks else {
            assert!(shown["curve"].is_null());
            continue;
        };
        let keys = ["pure_percent", "estimate_percent", "all_mixed_percent"];
        for (stack, key) in stacks.iter().zip(keys) {
            let shown = list(&shown["curve"][key]);
            assert_eq!(shown.len(), 181);
            for (value, point) in shown.iter().zip(&stack.points) {
                near(value, 100.0 * point.1);
            }
        }
        let layers = list(&shown["curve"]["by_component_percent"]);
        assert_eq!(layers.len(), list(&shown["components"]).len());
        for i in [0, 40, 90] {
            let sum: f64 = layers.iter().map(|l| l[i].as_f64().unwrap()).sum();
            let whole = shown["curve"]["estimate_percent"][i].as_f64().unwrap();
            assert!((sum - whole).abs() < 1e-6, "the layers add up: {sum} {whole}");
        }
        assert_eq!(shown["cooling"]["slab"].is_null(), slab.is_none());
    }
}

#[test]
fn measurements_are_shown_before_and_after() {
    let bench = Bench::new();
    let file = measured(&bench);
    let json = fine(&["setting", &file, "--formula", "Dune", "--json"]).json();
    let one = &json["formulas"][0];
    let checks = list(&one["checks"]);
    let kinds: Vec<&str> = checks.iter().map(|c| c["kind"].as_str().unwrap()).collect();
    assert_eq!(kinds, ["sets at", "flow", "poured weight", "needle depth"]);
    let number = |v: &Value| v.as_f64().unwrap();
    assert!((number(&checks[0]["after_c"]) - 36.5).abs() < 1e-6);
    assert!((number(&checks[0]["before_c"]) - 36.5).abs() > 1.0);
    assert_eq!(checks[1]["before"], "spoon");
    assert_eq!(checks[1]["after"], "thick pour");
    assert!((number(&checks[2]["after_g"]) - 138.0).abs() < 1e-6);
    let c = &one["correction"];
    assert!((number(&c["estimate_up_c"])).abs() > 1.0);
    assert!(number(&c["packing_factor"]) > 1.0 && number(&c["fill_factor"]) < 1.0);
    near(&one["readouts"]["air_c"]["value"], 19.0);
    assert_eq!(one["mould"]["name"], "Oak tray");
    // Nothing was measured on Cairn.
    let cairn = fine(&["setting", &file, "--formula", "Cairn", "--json"]).json();
    assert_eq!(list(&cairn["formulas"][0]["checks"]), &[] as &[Value]);
}

#[test]
fn an_empty_window_names_what_would_open_it() {
    let bench = Bench::new();
    let file = tight(&bench);
    let ran = fine(&["setting", &file, "--formula", "Tight"]);
    let words = flat(&ran);
    for part in [
        "WARN The pour window is empty: it stops moving below",
        "but Tender keeper must not be in above 40 °C",
        "in place of Tender keeper",
        "a lower-melting fat in place of some Plain fat",
        "Cool-down, at most: Tender keeper 40 °C",
    ] {
        assert!(words.contains(part), "{part} in {}", ran.text());
    }
    let json = fine(&["setting", &file, "--formula", "Tight", "--json"]).json();
    let one = &json["formulas"][0];
    assert_eq!(one["window"]["empty"], true);
    let window = list(&one["remarks"]).iter().find(|r| r["about"] == "window").unwrap();
    assert_eq!(window["tone"], "warn");
    // The materials that may take its place are of the library and stand the heat.
    let choice = list(&window["choices"])[0].as_str().unwrap();
    let named = choice.strip_suffix(" in place of Tender keeper").unwrap();
    for name in named.split(", or ") {
        let built = &quern_project::library::builtin().materials;
        assert!(built.values().any(|m| m.display_name() == name), "{name}");
    }
}

#[test]
fn what_a_formula_lacks_is_told() {
    let bench = Bench::new();
    let words = flat(&fine(&["setting", &dry(&bench), "--formula", "Tight", "--curve"]));
    for part in ["no fat that melts", "None to calculate with", "No curve:", "no oil or butter"] {
        assert!(words.contains(part), "{part} in {words}");
    }
    let fen = flat(&of(&bench, "Fen", &[]));
    assert!(fen.contains("not for a lotion") && fen.contains("hand lotion"), "{fen}");
    let empty = bench.write(
        "empty.ron",
        vec![Formula::empty(FormulaId::new("e"), "Empty"), bench.half("h", "Half")],
        None,
    );
    let ran = fine(&["setting", &empty, "--formula", "Empty", "--beside", "Half", "--curve"]);
    assert!(flat(&ran).contains("no fat that melts"), "{}", ran.text());
    // A fat without melt data is named, not counted as a liquid.
    let text = TIGHT.lines().filter(|l| !l.contains("tm_c")).collect::<Vec<_>>().join("\n");
    let file = bench.path("unknown.ron");
    std::fs::write(&file, text).unwrap();
    let ran = fine(&["setting", &file, "--formula", "Tight"]);
    assert!(flat(&ran).contains("melting data not known for Plain fat"), "{}", ran.text());
}

#[test]
fn formulas_stand_side_by_side() {
    let bench = Bench::new();
    let ran = of(&bench, "Dune", &["--beside", "Shingle", "--curve", "--pour", "60"]);
    let words = flat(&ran);
    for part in [
        "== Dune",
        "== Shingle",
        "Dune Shingle Heat to",
        "Fat phase: Shingle",
        "°C Dune all pure all mixed Shingle all pure all mixed",
        "All of these are estimates",
        "Shingle: In a parcel",
    ] {
        assert!(words.contains(part), "{part} in {}", ran.text());
    }
    let both = json(&bench, "Dune", &["--beside", "Shingle"]);
    assert_eq!(both["formulas"][0], json(&bench, "Dune", &[])["formulas"][0]);
    assert_eq!(both["formulas"][1], json(&bench, "Shingle", &[])["formulas"][0]);
}

#[test]
fn moulds_are_found_by_name_beginning_and_size() {
    let bench = Bench::new();
    let file = measured(&bench);
    let mould = |text: &str, more: &[&str]| {
        let args = ["setting", &file, "--formula", "Dune", "--json", "--mould", text];
        fine(&[&args[..], more].concat()).json()["formulas"][0]["mould"].clone()
    };
    assert_eq!(mould("oak", &[])["name"], "Oak tray");
    assert_eq!(mould("DOME", &[])["name"], "Dome, 60 mm");
    assert_eq!(mould(" bar, 75 ", &[])["name"], "Bar, 75 x 50 x 25 mm");
    near(&mould("80x55x30mm", &[])["volume_ml"], 132.0);
    near(&mould("80 mm × 55 mm X 30", &[])["volume_ml"], 132.0);
    assert_eq!(mould("oval:85x60x28mm", &[])["shape"], "oval");
    assert_eq!(mould("Disc: 70x25", &[])["shape"], "disc");
    assert_eq!(mould("dome:60mm", &[])["sizes_mm"], serde_json::json!([60.0]));
    let half = serde_json::json!([80.5, 55.0, 30.0]);
    assert_eq!(mould("80,5x55x30mm", &[])["sizes_mm"], half);
    assert_eq!(mould("80.5x55x30mm", &["--decimal", "comma"])["sizes_mm"], half);
    // A size outside the thousands needs the sign of the setting.
    near(&mould("80,125x55x30", &["--decimal", "comma"])["sizes_mm"][0], 80.125);
    // Water of 118 g fills 118.24 mL; a measured cavity counts in place of the sizes.
    near(&mould("80x55x30mm", &["--cavity", "118g"])["volume_ml"], 118.0 / 0.998);
    near(&mould("80x55x30mm", &["--cavity", "118,5 ML"])["volume_ml"], 118.5);
    near(&mould("80x55x30mm", &["--cavity", "0.118 kg"])["volume_ml"], 118.0 / 0.998);
}

#[test]
fn commas_go_through_the_text_and_not_the_json() {
    let bench = Bench::new();
    let comma = ["--decimal", "comma", "--pour", "54,125"];
    let words = flat(&of(&bench, "Dune", &comma));
    assert!(words.contains("Heated are 92,4 %") && words.contains("7,00 58,0"), "{words}");
    let with = json(&bench, "Dune", &comma);
    assert_eq!(with, json(&bench, "Dune", &["--pour", "54.1250"]));
}

#[test]
fn the_answer_goes_into_a_file() {
    let bench = Bench::new();
    for (name, json) in [("a.txt", false), ("a.json", true), ("b.JSON", true)] {
        let path = bench.path(name);
        let ran = of(&bench, "Dune", &["--out", &path]);
        assert!(ran.text().starts_with("Written: "), "{}", ran.text());
        let more: &[&str] = if json { &["--json"] } else { &[] };
        assert_eq!(std::fs::read(path).unwrap(), of(&bench, "Dune", more).out);
    }
    assert_eq!(of(&bench, "Dune", &["-o", "-"]).out, of(&bench, "Dune", &[]).out);
    let bytes = std::fs::read(&bench.file).unwrap();
    let piped = with_input(&["setting", "-", "--formula", "Dune"], &bytes);
    assert_eq!(piped.out, of(&bench, "Dune", &[]).out);
}

#[test]
fn the_sheet_goes_onto_a_page() {
    let bench = Bench::new();
    let pdf = bench.path("dune.pdf");
    of(&bench, "Dune", &["--beside", "Cairn", "--out", &pdf]);
    assert!(std::fs::read(pdf).unwrap().starts_with(b"%PDF-"));
    let html = bench.path("dune.html");
    of(&bench, "Dune", &["--decimal", "comma", "--out", &html]);
    let html = std::fs::read_to_string(html).unwrap();
    assert!(html.contains("Dune") && html.contains("<svg") && html.contains("1,15"));
}

#[test]
fn names_cannot_steer_the_terminal() {
    let bench = Bench::new();
    let mut formula = (*bench.project.formulas[0]).clone();
    formula.name = "Bar \u{1b}[31m\nred".to_owned();
    let file = bench.write("odd.ron", vec![formula], None);
    for more in [&[][..], &["--beside", "dune", "--curve"], &["--json"]] {
        let ran = fine(&[&["setting", &file, "--formula", "dune"], more].concat());
        assert!(!ran.text().contains('\u{1b}'), "{more:?}");
    }
}

#[test]
fn a_report_tells_where_it_sets_and_how_it_pours() {
    let bench = Bench::new();
    let json = fine(&["report", &bench.file, "--formula", "Dune", "--json"]).json();
    let (e, _) = figures(&bench.project, &bench.project.formulas[0], &SettingAsk::default());
    let m = e.melt.unwrap();
    let shown = &json["formulas"][0]["figures"];
    near(&shown["sets_at_c"], m.sets_c.unwrap().at);
    near(&shown["all_melted_c"], m.melted_c.at);
    assert_eq!(shown["pour_class"], e.pour.unwrap().class.name());
    let words = flat(&fine(&["report", &bench.file, "--formula", "Dune"]));
    assert!(words.contains("It pours as spoon estimate"), "{words}");
    assert!(words.contains("It pours as: at 52 °C, solids at 91 %"), "{words}");
}

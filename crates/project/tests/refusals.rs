//! What a project file may not hold, and the words for it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use quern_project::{LoadError, parse};

const FORMULA: &str = r#"(
            id: "a",
            name: "Bar",
            version: (number: 1, state: "draft"),
            product: (form: "scrub bar", place: "face", contact: "rinse-off"),
            fills: 2,
            phases: [
                (
                    id: 1,
                    name: "Melt",
                    kind: "melt",
                    heat_to: 74,
                    lines: [
                        (id: 1, material: "x", amount: "34 %"),
                        (id: 2, material: "y"),
                    ],
                ),
            ],
        )"#;

const MATERIAL: &str = r#"(id: "x", inci: "X", confidence: "H", density_solid: (v: 0.9, conf: "H", basis: "read"), price: (amount: "12.50", pack: "500 g"))"#;

/// A file on the lines of which every test can rely: the formula starts on line 5.
fn file() -> String {
    format!(
        "(\n    format: 5,\n    project: (name: \"W\", formulas: [\n        // one\n        {FORMULA},\n    ], plans: [\n        (formula: \"a\", size: \"gross 1.8 kg\", loss: \"3 %\"),\n    ], materials: [\n        {MATERIAL},\n    ]),\n)\n"
    )
}

fn changed(from: &str, to: &str) -> String {
    let text = file();
    assert!(text.contains(from), "{from}");
    text.replacen(from, to, 1)
}

fn refused(text: &str) -> LoadError {
    parse(text, "bars.ron").map(|l| panic!("accepted: {:?}", l.project)).unwrap_err()
}

#[test]
fn the_file_itself_is_fine() {
    let project = parse(&file(), "bars.ron").unwrap().project;
    let plan = project.plan(&project.formulas[0].id);
    assert_eq!(plan.figures().unwrap().gross.to_string(), "1800");
    assert_eq!(project.formulas[0].total().to_string(), "100");
}

#[test]
fn slips_of_the_pen_have_a_place_and_words() {
    // What is written, what stands there instead, line of the message, and words in it.
    let cases: &[(&str, &str, usize, &[&str])] = &[
        ("id: \"a\",\n", "id: \"a\"\n", 7, &["expected a comma"]),
        ("name: \"Bar\",", "name: Bar,", 7, &["expected text in quotes"]),
        ("fills: 2", "fils: 2", 10, &["“fils” is no field of a formula", "fills", "phases"]),
        ("fills: 2", "fills: 2.5", 10, &["expected"]),
        ("fills: 2", "fills: -2", 10, &["expected", "whole number"]),
        ("fills: 2", "fills: 9999999999", 10, &["whole number"]),
        ("fills: 2,", "fills: 2, fills: 1,", 10, &["fills is given twice"]),
        (
            "kind: \"melt\"",
            "kind: \"oil\"",
            15,
            &["“oil” is not a known kind of phase", "melt, water, powder"],
        ),
        ("\"scrub bar\"", "\"soap\"", 9, &["“soap” is not a known product form", "cleansing bar"]),
        ("\"face\"", "\"elbow\"", 9, &["place of use", "face, body"]),
        ("\"draft\"", "\"done\"", 8, &["version state", "draft, trial, released, retired"]),
        ("\"34 %\"", "\"34\"", 18, &["“34” is not an amount", "34 %, 3 parts or 12.5 g of 250 g"]),
        ("\"34 %\"", "\"34,5 %\"", 18, &["not an amount"]),
        ("\"34 %\"", "\"3 g\"", 18, &["of 250 g"]),
        ("\"34 %\"", "\"1e3 %\"", 18, &["not an amount"]),
        ("\"34 %\"", "\"--3 %\"", 18, &["not a number"]),
        ("\"34 %\"", "34", 18, &["expected text in quotes"]),
        ("heat_to: 74", "heat_to: \"warm\"", 16, &["expected a number"]),
        ("heat_to: 74", "heat_to: 74 below", 16, &["expected a comma"]),
        ("lines: [\n", "lines: (\n", 17, &["expected a list"]),
        ("name: \"Melt\",\n", "", 0, &["name is missing in this phase"]),
        ("\"gross 1.8 kg\"", "\"1.8 kg\"", 25, &["is not a batch size", "24 pieces of 75 g"]),
        ("\"gross 1.8 kg\"", "\"gross 1.8 stone\"", 25, &["is not a mass", "oz or lb"]),
        ("\"3 %\"", "\"3\"", 25, &["is not a percentage"]),
        ("confidence: \"H\"", "confidence: \"sure\"", 27, &["known confidence", "H, M, L"]),
        ("basis: \"read\"", "basis: \"seen\"", 27, &["basis of a figure", "read, dataset"]),
        ("v: 0.9, ", "", 27, &["v is missing"]),
        ("\"12.50\"", "\"12,50\"", 27, &["not a number"]),
        ("format: 5,", "format: \"three\",", 2, &["expected a whole number"]),
        ("format: 5,", "format: 5.0,", 2, &["expected"]),
        ("]),\n)\n", "]),\n) x\n", 29, &["expected nothing more"]),
        ("// one", "/* one", 4, &["expected */"]),
        ("\"Bar\"", "\"Bar", 8, &["closing quotes are missing further up"]),
        ("\"500 g\"))", "\"500 g))", 27, &["this text has no end"]),
        ("\"Bar\"", "\"B\\ar\"", 7, &["expected an escape"]),
    ];
    let mut wrong = Vec::new();
    for (from, to, at, words) in cases {
        let error = refused(&changed(from, to));
        let text = error.to_string();
        let LoadError::Syntax { line, column, .. } = error else {
            wrong.push(format!("{to}: {text}"));
            continue;
        };
        let placed = text.contains(&format!("bars.ron, line {line}, column {column}: "));
        if !placed || (*at > 0 && line != *at) || !words.iter().all(|w| text.contains(w)) {
            wrong.push(format!("{to}: {text} (line {at}, {words:?})"));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn all_problems_are_named_at_once() {
    let text = changed("heat_to: 74", "heat_to: NaN")
        .replacen("fills: 2", "fills: 9", 1)
        .replacen(
            "(id: 2, material: \"y\")",
            "(id: 1, material: \"y\", amount: \"1000000000001 %\")",
            1,
        )
        .replacen("500 g", "-500 g", 1)
        .replacen("v: 0.9", "v: inf", 1);
    let error = refused(&text);
    let LoadError::Invalid { problems, .. } = &error else { panic!("{error}") };
    let expected = [
        "phase 1 of formula “Bar”: the temperature is not a number (NaN)",
        "the line id 1 is used twice",
        "fills names line 9, which is not there",
        "the amount is beyond a million million",
        "the pack of -500 g is negative",
        "the density of the solid is not a number (inf)",
    ];
    assert_eq!(problems.len(), expected.len(), "{problems:?}");
    for words in expected {
        assert!(problems.iter().any(|p| p.contains(words)), "{words} in {problems:?}");
        assert!(error.to_string().contains(words));
    }
}

#[test]
fn problems_one_by_one() {
    let two_formulas = format!("{FORMULA},\n{FORMULA}");
    let two_materials = format!("{MATERIAL}, {MATERIAL}");
    let many_lines: String =
        (3..=501).map(|n| format!("(id: {n}, material: \"y\"),")).collect::<String>();
    let long = format!("name: \"{}\"", "é".repeat(20_001));
    let longest = format!("name: \"{}\"", "é".repeat(20_000));
    let cases: &[(&str, &str, &str)] = &[
        (FORMULA, &two_formulas, "the formula id “a” is used twice"),
        (MATERIAL, &two_materials, "the material id “x” is used twice"),
        ("id: \"a\"", "id: \" \"", "formula “Bar”: the id is empty"),
        ("heat_to: 74", "heat_to: -300", "-300 °C is below absolute zero"),
        ("heat_to: 74", "heat_to: 1e999", "not a number (inf)"),
        ("heat_to: 74", "heat_to: 74, below: 50", "both heat_to and below"),
        (
            "(id: 2, material: \"y\"),",
            "(id: 2),",
            "line 2 of formula “Bar” names neither a material",
        ),
        ("(id: 2, material: \"y\")", "(id: 2, material: \"y\", formula: \"b\")", "names both"),
        (
            "\"34 %\"",
            "\"3 g of 0 g\"",
            "line 1 of formula “Bar”: the amount cannot become a percentage",
        ),
        ("\"34 %\"", "\"1000000000000.1 %\"", "beyond a million million"),
        (
            "(id: 2, material: \"y\"),",
            &format!("(id: 2, material: \"y\"),{many_lines}"),
            "has 501 lines; at most 500",
        ),
        ("name: \"Bar\"", &long, "has 20001 characters; at most 20000"),
        (
            "\"W\"",
            &format!("\"W\", note: \"{}\"", "x".repeat(20_001)),
            "the project: the note has 20001",
        ),
        (
            "loss: \"3 %\"),",
            "loss: \"3 %\"),(formula: \"a\", size: \"net 1 g\", loss: \"0 %\"),",
            "“a” has two plans",
        ),
    ];
    for (from, to, words) in cases {
        let error = refused(&changed(from, to));
        assert!(matches!(error, LoadError::Invalid { .. }), "{to}: {error}");
        let text = error.to_string();
        assert!(text.starts_with("bars.ron") && text.contains(words), "{words} in {text}");
    }
    assert!(parse(&changed("name: \"Bar\"", &longest), "f").is_ok(), "the longest text is fine");
}

#[test]
fn counts_have_a_limit() {
    let formula = |n: usize| FORMULA.replacen("\"a\"", &format!("\"a{n}\""), 1);
    let formulas: Vec<String> = (0..=2000).map(formula).collect();
    let error = refused(&changed(FORMULA, &formulas.join(",\n")));
    assert!(error.to_string().contains("2001 formulas; at most 2000"), "{error}");
    let material = |n: usize| MATERIAL.replacen("\"x\"", &format!("\"x{n}\""), 1);
    let materials: Vec<String> = (0..=5000).map(material).collect();
    let error = refused(&changed(MATERIAL, &materials.join(",")));
    assert!(error.to_string().contains("5001 materials; at most 5000"), "{error}");
    // A file of nothing but problems gives a short message.
    let twice = format!("{},\n", FORMULA).repeat(400);
    let error = refused(&changed(FORMULA, twice.trim_end_matches([',', '\n'])));
    let text = error.to_string();
    assert!(text.len() < 2_000 && text.contains("more"), "{text}");
}

#[test]
fn odd_but_allowed() {
    for (from, to) in [
        ("\"34 %\"", "\"-34 %\""),
        ("\"34 %\"", "\"1000000000 %\""),
        ("\"34 %\"", "\"5 oz of 1 lb\""),
        ("\"34 %\"", "\"3 parts = 2.5 %\""),
        ("\"34 %\"", "\"1 part\""),
        ("material: \"x\"", "formula: \"not-there\""),
        ("loss: \"3 %\"", "loss: \"300 %\""),
        ("\"gross 1.8 kg\"", "\"1 piece of 75 g\""),
        ("heat_to: 74,", ""),
        ("fills: 2,", ""),
    ] {
        assert!(parse(&changed(from, to), "f").is_ok(), "{to}");
    }
    // Two formulas may share a name.
    let twin = FORMULA.replacen("\"a\"", "\"b\"", 1);
    assert!(parse(&changed(FORMULA, &format!("{FORMULA},\n{twin}")), "f").is_ok());
}

#[test]
fn deep_nesting_and_long_nonsense_are_refused_calmly() {
    for (open, close) in [("(", ")"), ("[", "]"), ("{1:", "}"), ("Some(", ")")] {
        let deep = format!("{}1{}", open.repeat(10_000), close.repeat(10_000));
        for text in [
            deep.clone(),
            format!("(app: {deep}, format: 1)"),
            format!("(format: 1, project: {deep})"),
            format!("(format: 1, project: (name: \"W\", formulas: {deep}))"),
        ] {
            let message = refused(&text).to_string();
            assert!(message.starts_with("bars.ron, line 1, column "), "{message}");
            assert!(message.chars().count() < 600);
        }
        let error = refused(&format!("(app: {deep}, format: 1)"));
        assert!(matches!(error, LoadError::TooDeep { .. }), "{open}: {error}");
        assert!(error.to_string().contains("nested too deep"), "{error}");
    }
    assert!(matches!(refused("(app: \"x\")"), LoadError::NotAProject { .. }));
    assert!(matches!(refused("(format: 0, project: (name: \"\"))"), LoadError::NotAProject { .. }));
    let comments = format!("{}{}(format: 1)", "/*".repeat(50_000), "*/".repeat(50_000));
    assert!(refused(&comments).to_string().contains("project is missing"));
}

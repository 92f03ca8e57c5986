//! Rules of the user's own, in place of the built-in ones.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use std::fs;
use std::path::Path;

use proptest::prelude::*;
use quern_project::rules::{
    MOST_FILE_BYTES, MOST_FILES, RulesProblem, builtin_rules, load_user_rules,
};

/// A market that a user could write.
fn own_market(code: &str, name: &str) -> String {
    format!(
        "(\n    format: 1,\n    code: \"{code}\",\n    name: \"{name}\",\n    edition: \"own \
         list\",\n    as_of: \"2026-01-31\",\n    limits: [\n        (\n            id: \"a\", \
         reference: \"List 1\", title: \"benzoic acid\",\n            members: [(inci: \"Sodium \
         Benzoate\", cas: [\"532-32-1\"], formula: \"C7H5NaO2\")],\n            species: (name: \
         \"benzoic acid\", formula: \"C7H6O2\"),\n            caps: [(when: (contact: \
         \"leave-on\"), max: \"0.3\")],\n            conf: \"H\", basis: \"read\", src: \"the \
         list\",\n        ),\n    ],\n    label: (\n        heading: \"Ingredients\", \
         one_percent_ordered: true, nano: false, net: \"metric\", durability: true,\n        \
         conf: \"H\", basis: \"read\", src: \"the law\",\n    ),\n    not_checked: [\"All \
         else\"],\n)\n"
    )
}

fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        fs::write(folder.path().join(name), text).unwrap();
    }
    folder
}

#[test]
fn without_own_files_the_built_in_rules_stand() {
    let empty = folder(&[("notes.txt", "(format: 9)"), (".hidden.ron", "(")]);
    assert_eq!(load_user_rules(empty.path()), (builtin_rules().clone(), Vec::new()));
    let nowhere = empty.path().join("nowhere");
    assert_eq!(load_user_rules(&nowhere), (builtin_rules().clone(), Vec::new()));
    let (rules, problems) = load_user_rules(&empty.path().join("notes.txt"));
    assert_eq!(rules, *builtin_rules());
    assert!(matches!(problems.as_slice(), [RulesProblem::Folder { .. }]), "{problems:?}");
}

#[test]
fn an_own_market_replaces_or_joins() {
    let own = folder(&[
        ("my-europe.ron", &own_market("eu", "Europe, my way")),
        ("uk.ron", &own_market("uk", "United Kingdom")),
    ]);
    let (rules, problems) = load_user_rules(own.path());
    assert_eq!(problems, []);
    let markets: Vec<(&str, &str)> =
        rules.markets.iter().map(|m| (m.code.as_str(), m.name.as_str())).collect();
    let wanted = [("eu", "Europe, my way"), ("us", "United States"), ("uk", "United Kingdom")];
    assert_eq!(markets, wanted);
    assert_eq!(rules.market("eu").unwrap().limits.len(), 1);
    assert_eq!(rules.preservatives, builtin_rules().preservatives);
}

#[test]
fn the_built_in_texts_can_be_taken_as_a_start() {
    let assets = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/rules");
    let own = tempfile::tempdir().unwrap();
    for name in ["guides", "preservatives", "exposure", "interactions", "markets/eu", "markets/us"]
    {
        let from = assets.join(format!("{name}.ron"));
        fs::copy(&from, own.path().join(from.file_name().unwrap())).unwrap();
    }
    assert_eq!(load_user_rules(own.path()), (builtin_rules().clone(), Vec::new()));
}

#[test]
fn own_tables_replace_the_built_in_ones() {
    let own = folder(&[
        (
            "preservatives.ron",
            "\u{feff}(format: 1, edition: \"mine\", as_of: \"2026-02-03\", list: [(inci: \"Honey\", \
             bacteria: \"weak\", yeast: \"none\", mould: \"none\", conf: \"L\", basis: \"user\", \
             src: \"own trial\")])",
        ),
        (
            "interactions.ron",
            "(format: 1, edition: \"mine\", as_of: \"2026-02-03\", figures: {\"a\": (v: 2, conf: \
             \"L\", basis: \"user\", src: \"own trial\")}, lists: {\"b\": [\"Aqua\"]})",
        ),
    ]);
    let (rules, problems) = load_user_rules(own.path());
    assert_eq!(problems, []);
    assert_eq!(rules.preservatives.edition, "mine, as of 3 February 2026");
    assert_eq!(rules.preservatives.list.len(), 1);
    assert_eq!(rules.interactions.figure("a").map(|f| f.value), Some(2.0));
    assert!(rules.interactions.lists("b", "aqua"));
    assert_eq!(rules.exposure, builtin_rules().exposure);
    assert_eq!(rules.markets, builtin_rules().markets);
}

/// The words of the only problem that this file makes; the built-in rules stand.
fn problem(name: &str, text: &str) -> String {
    let own = folder(&[(name, text)]);
    let (rules, problems) = load_user_rules(own.path());
    assert_eq!(rules, *builtin_rules(), "{text}");
    let [only] = problems.as_slice() else { panic!("{problems:?} for {text}") };
    let words = only.to_string();
    assert!(words.contains(name), "{words}");
    words
}

#[test]
fn a_broken_file_is_told_by_line_and_column() {
    let good = own_market("eu", "Europe");
    for (from, to, line, said) in [
        ("max: \"0.3\"", "max: \"130\"", 12, "“130” is no share; expected 0 to 100"),
        ("max: \"0.3\"", "max: \"-1\"", 12, "expected 0 to 100"),
        ("max: \"0.3\"", "max: \"a lot\"", 12, "“a lot” is not a number"),
        ("532-32-1", "532-32-2", 10, "ends in 2, but the digits before give 1"),
        ("532-32-1", "53232-1", 10, "is not a CAS number; expected such as 65-85-0"),
        ("C7H5NaO2", "c7h5nao2", 10, "is not a chemical formula; expected such as C7H5NaO2"),
        ("C7H5NaO2", "C7(H5NaO2", 10, "is not a chemical formula"),
        ("inci: \"Sodium Benzoate\"", "inci: \" \"", 10, "this text is empty; expected words"),
        ("\"List 1\"", "\"\"", 9, "this text is empty; expected words"),
        ("\"leave-on\"", "\"leave on\"", 12, "expected one of rinse-off, leave-on"),
        ("net: \"metric\"", "net: \"imperial\"", 17, "expected one of metric, dual"),
        ("2026-01-31", "31 January", 6, "is not a date; expected such as 2026-11-25"),
        ("code: \"eu\"", "code: \"E U\"", 3, "is not a code"),
        ("basis: \"read\", src: \"the list\"", "basis: \"read\"", 14, "field src is missing"),
        ("title: ", "titel: ", 9, "“titel” is no field"),
        (
            "conf: \"H\", basis: \"read\", src: \"the list\"",
            "conf: 1, basis: \"read\"",
            13,
            "text in quotes",
        ),
    ] {
        let text = good.replacen(from, to, 1);
        assert_ne!(text, good, "{from}");
        let words = problem("europe.ron", &text);
        assert!(words.contains(said), "{words}");
        assert!(words.contains(&format!("line {line}, column ")), "{words}, wanted line {line}");
    }
    let cut = good.get(..good.len() / 2).unwrap();
    assert!(problem("europe.ron", cut).contains(", line "), "cut short");
}

#[test]
fn entries_that_contradict_each_other_are_told() {
    let good = own_market("eu", "Europe");
    let add = |after: &str, more: &str| good.replacen(after, &format!("{after}{more}"), 1);
    let clash = |one: &str, other: &str| {
        add(
            "as_of: \"2026-01-31\",",
            &format!(
                " clashes: [(one: \"{one}\", other: \"{other}\", why: \"x\", conf: \"H\", basis: \
                 \"read\", src: \"x\")],"
            ),
        )
    };
    let row = |reference: &str, label: &str| {
        format!(
            "(reference: \"{reference}\", label: \"{label}\", regime: \"old\", conf: \"H\", \
             basis: \"read\", src: \"x\")"
        )
    };
    let allergens = |one: &str, other: &str| {
        add(
            "as_of: \"2026-01-31\",",
            &format!(
                " allergens: (rinse_off_above: \"0.01\", leave_on_above: \"0.001\", conf: \"H\", \
                 basis: \"read\", src: \"x\", entries: [{one}, {other}]),"
            ),
        )
    };
    for (text, said) in [
        (clash("a", "b"), "a clash names the limit “b”, which is not in this file"),
        (clash("a", "a"), "clashes with itself"),
        (good.replacen("max: \"0.3\"", "each: true", 1), "needs either max or not_allowed: true"),
        (
            good.replacen("max: \"0.3\"", "max: \"0.3\", not_allowed: true", 1),
            "needs either max or not_allowed: true",
        ),
        (good.replacen(", formula: \"C7H5NaO2\"", "", 1), "needs a formula"),
        (
            good.replacen("formula: \"C7H5NaO2\"", "formula: \"C7H5NaO2\", moles: 0", 1),
            "moles of 1",
        ),
        (
            good.replacen("caps: [(when: (contact: \"leave-on\"), max: \"0.3\")],", "", 1),
            "neither caps nor statements",
        ),
        (
            good.replacen(
                "contact: \"leave-on\"",
                "from: \"2026-02-01\", until: \"2026-01-01\"",
                1,
            ),
            "before it begins",
        ),
        (
            allergens(&row("1", "Citral"), &row("2", "citral")),
            "is given for “Citral” and for “citral”",
        ),
        (allergens(&row("1", "Citral"), &row("1", "Neral")), "the reference “1” is there twice"),
    ] {
        assert_ne!(text, good, "{said}");
        let words = problem("europe.ron", &text);
        assert!(words.contains(said), "{words}");
    }
    let twice = "(format: 1, edition: \"x\", as_of: \"2026-01-01\", figures: {\"a\": (v: 1, conf: \
                 \"H\", basis: \"read\", src: \"x\"), \"a\": (v: 1, conf: \"H\", basis: \
                 \"read\", src: \"x\")})";
    assert!(problem("interactions.ron", twice).contains("“a” is there twice"));
    let odd = "(format: 1, edition: \"x\", as_of: \"2026-01-01\", figures: {\"a\": (v: NaN, \
               conf: \"H\", basis: \"read\", src: \"x\")})";
    assert!(problem("interactions.ron", odd).contains("line 1, column"));
    let line = "(format: 1, edition: \"x\", as_of: \"2026-01-01\", body_weight_kg: 60, lines: [], \
                products: [(when: (), line: \"Soap\")])";
    assert!(problem("exposure.ron", line).contains("“Soap”, which is not here"));
}

#[test]
fn other_formats_and_other_files_are_told() {
    let newer = own_market("eu", "Europe").replacen("format: 1", "format: 2", 1);
    assert!(problem("europe.ron", &newer).contains("has format 2; expected"));
    assert!(problem("europe.ron", "(code: \"eu\")").contains("has no format"));
    assert!(problem("guides.ron", &own_market("eu", "Europe")).contains("line 3, column"));
    for nonsense in ["", "\0\0\0\0", "[[[[", "{}", "()", "(format: )", "not rules at all"] {
        problem("europe.ron", nonsense);
    }
    problem("europe.ron", &"(".repeat(100_000));
    let own = folder(&[]);
    fs::write(own.path().join("europe.ron"), [b'(', 0xff, b')']).unwrap();
    let (rules, problems) = load_user_rules(own.path());
    assert_eq!(rules, *builtin_rules());
    assert!(matches!(problems.as_slice(), [RulesProblem::NotText { offset: 1, .. }]));
}

#[test]
fn two_files_of_one_market_do_not_both_count() {
    let own =
        folder(&[("a.ron", &own_market("eu", "First")), ("b.ron", &own_market("eu", "Second"))]);
    let (rules, problems) = load_user_rules(own.path());
    assert_eq!(rules.market("eu").unwrap().name, "First");
    let [RulesProblem::Twice { code, .. }] = problems.as_slice() else { panic!("{problems:?}") };
    assert_eq!(code, "eu");
}

#[test]
fn what_is_too_large_is_left_out() {
    let own = folder(&[("uk.ron", &own_market("uk", "United Kingdom"))]);
    let size = usize::try_from(MOST_FILE_BYTES).unwrap();
    let mut text = own_market("eu", "Europe");
    text.push_str(&" ".repeat(size + 1 - text.len()));
    fs::write(own.path().join("europe.ron"), &text).unwrap();
    let (rules, problems) = load_user_rules(own.path());
    assert!(matches!(problems.as_slice(), [RulesProblem::TooLarge { .. }]), "{problems:?}");
    assert_eq!(rules.market("eu").unwrap().name, "European Union");
    assert!(rules.market("uk").is_some());
    // One byte less is read.
    text.pop();
    fs::write(own.path().join("europe.ron"), &text).unwrap();
    let (rules, problems) = load_user_rules(own.path());
    assert_eq!(problems, []);
    assert_eq!(rules.market("eu").unwrap().name, "Europe");
}

#[test]
fn only_so_many_files_are_read() {
    let own = folder(&[]);
    for n in 0..=MOST_FILES {
        let code = format!("m{n:03}");
        fs::write(own.path().join(format!("{code}.ron")), own_market(&code, &code)).unwrap();
    }
    let (rules, problems) = load_user_rules(own.path());
    let [RulesProblem::TooMany { found, most, .. }] = problems.as_slice() else {
        panic!("{problems:?}")
    };
    assert_eq!((*found, *most), (MOST_FILES + 1, MOST_FILES));
    assert_eq!(rules.markets.len(), 2 + MOST_FILES);
    assert!(rules.market("m050").is_none());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever becomes of a file, the built-in markets stand or the file's own does.
    #[test]
    fn a_spoilt_file_never_panics(from in 0_usize..1200, length in 0_usize..40, put in "[ -~]{0,8}") {
        let mut text = own_market("eu", "Europe");
        let from = from.min(text.len());
        let to = (from + length).min(text.len());
        text.replace_range(from..to, &put);
        let own = folder(&[("europe.ron", &text)]);
        let (rules, problems) = load_user_rules(own.path());
        prop_assert_eq!(rules.market("us"), builtin_rules().market("us"));
        prop_assert!(problems.len() <= 1);
        if !problems.is_empty() {
            prop_assert_eq!(rules, builtin_rules().clone());
        }
    }
}

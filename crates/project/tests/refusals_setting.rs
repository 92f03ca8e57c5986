//! What notes about setting and tables of solid fat may not hold, and the words for it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use std::fmt::Write as _;
use std::sync::Arc;

use quern_calc::formula::{FormulaId, MaterialId, OwnSolids};
use quern_calc::setting::calibrate::{Measured, Reading};
use quern_calc::setting::mould::{Mould, Shape, Wall};
use quern_calc::setting::table::SolidTable;
use quern_project::{LoadError, SaveError, parse, to_text};

const SOLIDS: &str = "(20, 76), (25, 70), (30, 45), (35, 1)";
const MOULDS: &str = r#"(name: "Oak", shape: "block", sizes_mm: [80, 55, 30], measured_ml: 120, wall: "wood"),
                (name: "Puck", shape: "disc", sizes_mm: [70, 25], wall: "metal")"#;
const MEASURED: &str = r#"(formula: "dune", name: "Dune 4", date: "2026-11-20", reading: "sets at", c: 44),
                (formula: "dune", reading: "flow", c: 62, class: "thick pour"),
                (formula: "fen", reading: "poured weight", c: 60, g: 121.5, ml: 110),
                (formula: "fen", reading: "needle depth", c: 20, mm: 3.5)"#;

fn file() -> String {
    format!(
        r#"(
    format: 4,
    project: (
        name: "W",
        materials: [(id: "x", inci: "X", confidence: "H", solids: [{SOLIDS}])],
        setting: (
            room_c: 19.5, fridge_c: 4, parcel_c: 45, heater_w: 1500,
            reference: "dune",
            mould: "Oak",
            moulds: [{MOULDS}],
            measured: [{MEASURED}],
        ),
    ),
)
"#
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
    assert_eq!((project.setting.moulds.len(), project.setting.measured.len()), (2, 4));
    assert!(project.materials[&MaterialId::new("x")].solids.is_some());
    assert_eq!(parse(&to_text(&project).unwrap(), "again.ron").unwrap().project, project);
}

// One set of types reads all formats, so nothing in such a file is dropped.
#[test]
fn fields_of_format_3_in_an_older_file_are_read() {
    for format in [1, 2, 3] {
        let text = changed("format: 4", &format!("format: {format}"));
        let loaded = parse(&text, "bars.ron").unwrap();
        assert_eq!(loaded.upgraded_from, Some(format));
        assert_eq!(loaded.project, parse(&file(), "bars.ron").unwrap().project);
    }
}

#[test]
fn slips_of_the_pen_have_a_place_and_words() {
    for (from, to, line, words) in [
        (
            "room_c: 19.5",
            "room: 19.5",
            7,
            "“room” is no field of a setting; expected one of room_c",
        ),
        ("room_c: 19.5", "room_c: \"19.5\"", 7, "expected a number"),
        ("heater_w: 1500", "heater_w: \"1.5 kW\"", 7, "expected a number"),
        (
            "\"block\"",
            "\"bar\"",
            10,
            "“bar” is not a known shape of a mould; expected one of block",
        ),
        (
            "\"wood\"",
            "\"oak\"",
            10,
            "“oak” is not a known material of a mould; expected one of sil",
        ),
        (", wall: \"wood\"", "", 10, "wall is missing in this mould"),
        ("sizes_mm: ", "sizes: ", 10, "“sizes” is no field of a mould"),
        ("[80, 55, 30]", "80", 10, "expected a list"),
        (
            "\"sets at\"",
            "\"set at\"",
            12,
            "“set at” is not a known kind of reading; expected one of",
        ),
        ("2026-11-20", "20.11.2026", 12, "“20.11.2026” is not a date"),
        (", c: 44", "", 12, "c is missing in this measurement"),
        ("c: 44", "c: \"44\"", 12, "expected a number"),
        (
            "\"thick pour\"",
            "\"thick\"",
            13,
            "“thick” is not a known class of pouring; expected one",
        ),
        ("mm: 3.5", "depth: 3.5", 15, "“depth” is no field of a measurement"),
        ("(20, 76)", "(20)", 5, "expected 2 values in these brackets, found 1"),
        ("(20, 76)", "(20, \"76 %\")", 5, "expected a number"),
    ] {
        let error = refused(&changed(from, to));
        let text = error.to_string();
        let LoadError::Syntax { line: at, .. } = error else { panic!("{to}: {text}") };
        assert!(at == line && text.contains(words), "{to}: {text} (line {line}, {words})");
    }
}

#[test]
fn a_reading_has_the_figures_of_its_kind() {
    let dune = |n: usize| format!("measurement {n}, of formula “dune”: a reading ");
    let fen = |n: usize| format!("measurement {n}, of formula “fen”: a reading ");
    for (from, to, words) in [
        ("c: 44", "c: 44, mm: 2", dune(1) + "“sets at” has c; take out mm"),
        ("c: 44", "c: 44, g: 2, ml: 1", dune(1) + "“sets at” has c; take out g and ml"),
        (", class: \"thick pour\"", "", dune(2) + "“flow” has c, class; add class"),
        ("class: \"thick pour\"", "mm: 2", dune(2) + "“flow” has c, class; add class; take out mm"),
        (", ml: 110", "", fen(3) + "“poured weight” has c, g, ml; add ml"),
        (", g: 121.5, ml: 110", "", fen(3) + "“poured weight” has c, g, ml; add g and ml"),
        (
            "mm: 3.5",
            "mm: 3.5, class: \"press\"",
            fen(4) + "“needle depth” has c, mm; take out class",
        ),
    ] {
        let LoadError::Invalid { problems, .. } = refused(&changed(from, to)) else {
            panic!("{to}")
        };
        assert_eq!(problems, [words]);
    }
    // An entry that cannot be used does not move the place of the next.
    let text = changed(", class: \"thick pour\"", "").replacen("mm: 3.5", "mm: -1", 1);
    let LoadError::Invalid { problems, .. } = refused(&text) else { panic!() };
    assert_eq!(problems.len(), 2, "{problems:?}");
    assert!(problems[1].starts_with("measurement 4, of formula “fen”: a needle"), "{problems:?}");
}

#[test]
fn problems_one_by_one() {
    let long = |n: usize| "é".repeat(n);
    let repeated = |n: usize, entry: &dyn Fn(usize) -> String| {
        (0..n).map(entry).collect::<Vec<_>>().join(", ")
    };
    let moulds = |n: usize| {
        repeated(n, &|i| {
            format!("(name: \"M{i}\", shape: \"dome\", sizes_mm: [60], wall: \"metal\")")
        })
    };
    let measured =
        |n: usize| repeated(n, &|_| "(formula: \"a\", reading: \"sets at\", c: 40)".to_owned());
    let rows = |n: usize| repeated(n, &|i| format!("({i}, {})", 90 - i));
    let setting = "the setting: the temperature of ";
    for (from, to, words) in [
        (
            "room_c: 19.5",
            "room_c: 70",
            format!(
                "{setting}the room is 70 °C; expected -30 to 50, or leave room_c out for the usual 21"
            ),
        ),
        ("room_c: 19.5", "room_c: -30.1", format!("{setting}the room is -30.1 °C")),
        ("room_c: 19.5", "room_c: NaN", format!("{setting}the room is not a number (NaN)")),
        ("room_c: 19.5", "room_c: -1e300", format!("{setting}the room is beyond a million")),
        (
            "fridge_c: 4",
            "fridge_c: 21",
            format!("{setting}the fridge is 21 °C; expected -30 to 20,"),
        ),
        (
            "parcel_c: 45",
            "parcel_c: -1",
            format!("{setting}a warm parcel is -1 °C; expected 0 to 90"),
        ),
        (
            "heater_w: 1500",
            "heater_w: 1.5",
            "the setting: the power of the heater is 1.5 W; expected 10 to 50000, or".to_owned(),
        ),
        ("heater_w: 1500", "heater_w: inf", "power of the heater is not a number (inf)".to_owned()),
        (
            "reference: \"dune\"",
            "reference: \" \"",
            "the reference bar of the setting: the id is empty".to_owned(),
        ),
        (
            "mould: \"Oak\"",
            &format!("mould: \"{}\"", long(20_001)),
            "the setting: the name of the mould in use has 20001 characters".to_owned(),
        ),
        ("name: \"Oak\"", "name: \"\"", "the setting: the name of mould 1 is empty".to_owned()),
        (
            "name: \"Oak\"",
            "name: \"Puck\"",
            "the setting: the mould name “Puck” is used twice; give each".to_owned(),
        ),
        (
            "name: \"Oak\"",
            &format!("name: \"{}\"", long(20_001)),
            "the name has 20001 characters".to_owned(),
        ),
        (
            "[70, 25]",
            "[70, 25, 3]",
            "the mould “Puck”: sizes_mm of a disc takes 2 sizes (diameter, depth), found 3"
                .to_owned(),
        ),
        ("[80, 55, 30]", "[]", "takes 3 sizes (length, width, depth), found 0".to_owned()),
        (
            "55, 30",
            "1000.5, 30",
            "the mould “Oak”: the width is 1000.5 mm; expected above 0 and at most 1000".to_owned(),
        ),
        ("55, 30", "55, 0", "the mould “Oak”: the depth is 0 mm; expected above 0".to_owned()),
        ("[70, 25]", "[NaN, 25]", "“Puck”: the diameter is not a number (NaN)".to_owned()),
        (
            "measured_ml: 120",
            "measured_ml: -120",
            "the mould “Oak”: the measured volume is -120 mL; expected above 0".to_owned(),
        ),
        ("measured_ml: 120", "measured_ml: inf", "volume is not a number (inf)".to_owned()),
        (MOULDS, &moulds(201), "the setting has 201 moulds; at most 200 fit".to_owned()),
        (
            MEASURED,
            &measured(501),
            "the setting has 501 measurements; at most 500 fit, so leave out".to_owned(),
        ),
        (
            "formula: \"dune\"",
            "formula: \"\"",
            "measurement 1, of formula “”: the id is empty".to_owned(),
        ),
        (
            "Dune 4",
            &long(20_001),
            "measurement 1, of formula “dune”: the name has 20001 characters".to_owned(),
        ),
        (
            "c: 44",
            "c: 440",
            "measurement 1, of formula “dune”: a set point is from −20 to 110 °C".to_owned(),
        ),
        ("c: 62", "c: NaN", "measurement 2, of formula “dune”: the temperature is from".to_owned()),
        (
            "g: 121.5",
            "g: 12150",
            "measurement 3, of formula “fen”: that weight in that volume is no".to_owned(),
        ),
        ("mm: 3.5", "mm: 0", "measurement 4, of formula “fen”: a needle depth is".to_owned()),
        (SOLIDS, "", "the solids of material “x”: a table needs at least two rows".to_owned()),
        (SOLIDS, "(20, 76)", "the solids of material “x”: a table needs at".to_owned()),
        (SOLIDS, &rows(41), "the solids of material “x”: a table takes at most 40".to_owned()),
        ("(25, 70)", "(250, 70)", "“x”: row 2: expected a temperature from -40 to 120".to_owned()),
        ("(20, 76)", "(NaN, 76)", "“x”: row 1: expected a temperature".to_owned()),
        ("(25, 70)", "(25, 700)", "“x”: row 2: solid fat is from 0 to 100 %".to_owned()),
        ("(25, 70)", "(20, 70)", "“x”: row 2: the temperature has to rise".to_owned()),
        ("(30, 45)", "(30, 71)", "“x”: row 3: more is solid than at a lower".to_owned()),
        (SOLIDS, "(20, 0), (25, 0)", "“x”: nothing is solid in any row".to_owned()),
    ] {
        let error = refused(&changed(from, to));
        let LoadError::Invalid { problems, .. } = &error else { panic!("{to}: {error}") };
        assert!(problems.len() == 1 && problems[0].contains(&words), "{words} in {problems:?}");
    }
    for (from, to) in [
        (MOULDS, moulds(200)),
        (MEASURED, measured(500)),
        (SOLIDS, rows(40)),
        ("Dune 4", long(20_000)),
        ("[80, 55, 30]", "[1000, 0.1, 1000]".to_owned()),
        ("room_c: 19.5, fridge_c: 4", "room_c: -30, fridge_c: 20".to_owned()),
        ("parcel_c: 45, heater_w: 1500", "parcel_c: 90, heater_w: 50000".to_owned()),
    ] {
        assert!(parse(&changed(from, &to), "f").is_ok(), "the most is fine: {from}");
    }
}

#[test]
fn all_problems_are_named_at_once() {
    let text = changed("room_c: 19.5", "room_c: 70")
        .replacen("(25, 70)", "(25, 170)", 1)
        .replacen("[70, 25]", "[70]", 1)
        .replacen(", class: \"thick pour\"", "", 1)
        .replacen("c: 44", "c: 440", 1);
    let LoadError::Invalid { problems, .. } = refused(&text) else { panic!() };
    assert_eq!(problems.len(), 5, "{problems:?}");
}

#[test]
fn too_many_tables_are_refused_before_they_are_fitted() {
    let material =
        |i: usize| format!("(id: \"m{i}\", inci: \"X\", confidence: \"H\", solids: [{SOLIDS}])");
    let all: Vec<String> = (0..5000).map(material).collect();
    let one = format!("(id: \"x\", inci: \"X\", confidence: \"H\", solids: [{SOLIDS}])");
    let start = std::time::Instant::now();
    let error = refused(&changed(&one, &all.join(", ")));
    assert!(start.elapsed().as_secs() < 10);
    let LoadError::Invalid { problems, .. } = &error else { panic!("{error}") };
    let words = "the project has 5000 materials with solids of their own; at most 200 fit, so \
                 leave some out";
    assert_eq!(problems, &[words]);
    let mut project = parse(&changed(&one, &all[..200].join(", ")), "f").unwrap().project;
    let mut more = (*project.materials[&MaterialId::new("m0")]).clone();
    more.id = MaterialId::new("one-more");
    project.carry(&Arc::new(more));
    let SaveError::Invalid { problems } = to_text(&project).unwrap_err() else { panic!() };
    assert_eq!(problems.len(), 1, "{problems:?}");
}

// The formula, mould or day may be gone or never known; the file holds what it holds.
#[test]
fn odd_but_allowed() {
    for (from, to) in [
        ("reference: \"dune\"", "reference: \"gone\""),
        ("mould: \"Oak\"", "mould: \"gone\""),
        ("            mould: \"Oak\",\n", ""),
        (", name: \"Dune 4\", date: \"2026-11-20\"", ""),
        (", measured_ml: 120", ""),
        (MOULDS, ""),
        (MEASURED, ""),
        ("(30, 45)", "(30, 70)"),
        (", solids: [(20, 76), (25, 70), (30, 45), (35, 1)]", ""),
    ] {
        let project =
            parse(&changed(from, to), "f").unwrap_or_else(|e| panic!("{to}: {e}")).project;
        assert_eq!(parse(&to_text(&project).unwrap(), "again").unwrap().project, project, "{to}");
    }
}

#[test]
fn what_could_not_be_opened_is_not_saved() {
    let mut project = parse(&file(), "f").unwrap().project;
    let material = Arc::make_mut(project.materials.get_mut(&MaterialId::new("x")).unwrap());
    let own: &mut OwnSolids = material.solids.as_mut().unwrap();
    own.table = SolidTable { rows: vec![(20.0, 50.0), (10.0, 20.0)] };
    let notes = Arc::make_mut(&mut project.setting);
    notes.room_c = Some(f64::NAN);
    notes.moulds.push(Mould {
        name: "Oak".to_owned(),
        shape: Shape::Disc(0.0, f64::INFINITY),
        measured_ml: Some(0.0),
        wall: Wall::Metal,
    });
    let reading = Reading::Poured { at_c: 60.0, grams: 1.0, ml: 1e9 };
    let formula = FormulaId::new("dune");
    notes.measured.push(Measured {
        formula,
        name: String::new(),
        date: None,
        reading,
        said: Vec::new(),
    });
    let error = to_text(&project).unwrap_err();
    let SaveError::Invalid { problems } = &error else { panic!("{error}") };
    let mut all = String::new();
    problems.iter().for_each(|p| writeln!(all, "{p}").unwrap());
    assert_eq!(problems.len(), 7, "{all}");
}

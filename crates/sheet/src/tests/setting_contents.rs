//! Both formats of the setting sheet hold everything, and no text turns into markup.

use quern_calc::evaluate::{Value, honest};
use quern_calc::number::DecimalSign;

use super::contents::{bare, untagged};
use super::hostile::NAMES;
use super::settings::{Settings, demo};
use crate::{Format, SettingSheet, setting_html};

/// What a sheet says in each format, without markup and white space.
fn said(sheet: &SettingSheet) -> Vec<(&'static str, String)> {
    vec![
        ("HTML", bare(&untagged(&setting_html(sheet)))),
        #[cfg(feature = "pdf")]
        ("PDF", bare(&super::setting_pages::text(sheet))),
    ]
}

fn must_hold(sheet: &SettingSheet, wanted: &[&str]) {
    for (format, text) in said(sheet) {
        for words in wanted {
            assert!(text.contains(&bare(words)), "{format} lacks {words:?}:\n{text}");
        }
    }
}

fn with_everything(settings: &Settings) {
    let style = settings.about.style;
    // Choices and reasons open with a capital where they stand alone.
    let rest = |s: &str| s.chars().skip(1).collect::<String>();
    let mut wanted: Vec<String> = honest().iter().map(|s| rest(s)).collect();
    for f in settings.figures() {
        wanted.push(f.formula.product.words());
        for remark in &f.remarks {
            wanted.push(remark.text.clone());
            wanted.extend(remark.choices.iter().cloned());
        }
        let pours = f.figures.pour.is_ok();
        for row in f.readouts().into_iter().filter(|r| pours || r.key != "pour_c") {
            match &row.value {
                Value::Absent(why) => wanted.push(rest(&why.words())),
                value => wanted.extend([row.name.to_owned(), value.text(style)]),
            }
        }
    }
    let wanted: Vec<&str> = wanted.iter().map(String::as_str).collect();
    must_hold(&settings.sheet(), &wanted);
}

#[test]
fn every_figure_and_remark_appears() {
    for names in [&["Dune"][..], &["Shingle"], &["Cairn"], &["Fen"], &["Dune", "Shingle"]] {
        with_everything(&demo(names));
    }
    with_everything(&demo(&["Dune", "Fen"]));
}

#[test]
fn heads_marks_and_assumptions_are_said() {
    let mut settings = demo(&["Dune", "Shingle"]);
    settings.notes.room_c = Some(18.0);
    settings.notes.parcel_c = Some(43.0);
    let sheet = settings.sheet();
    must_hold(
        &sheet,
        &[
            "Setting: Dune, Shingle",
            "25 November 2026 \u{b7} Coast workshop",
            "face scrub bar, rinse-off",
            "body scrub bar, rinse-off",
            "room 18 \u{b0}C",
            "skin 32 \u{b0}C",
            "parcel 43 \u{b0}C",
            "poured",
            "from every solid pure to acids, alcohols and emulsifiers in one mixed crystal",
            "Solid fat over temperature",
            "Melting",
            "Pouring",
            "Filling and cooling",
            "Shelf and post",
            "estimates",
            "How it pours",
            "upper limit",
            "Cooling, estimate",
            "middle",
            "face",
            "unmould",
            "Remarks",
            "What is assumed",
            "Quern 0.1.0 setting sheet \u{b7} library 1",
        ],
    );
    for (format, text) in said(&sheet) {
        let text = text.to_lowercase();
        assert!(!text.contains("compliant") && !text.contains("safe"), "{format}");
        assert!(!text.contains("nan") || text.contains("nan\u{a0}"), "{format}");
    }
    assert_eq!(sheet.title(), "Setting: Dune, Shingle");
    assert_eq!(sheet.file_name(Format::Pdf), "Setting Dune, Shingle.pdf");
}

#[test]
fn without_a_slab_there_is_no_middle_and_face() {
    let mut settings = demo(&["Dune"]);
    settings.with_slab = false;
    for (format, text) in said(&settings.sheet()) {
        assert!(!text.contains("broken:middle"), "{format}");
    }
    must_hold(&demo(&["Dune"]).sheet(), &["broken: middle; dotted: face"]);
}

#[test]
fn a_lotion_has_no_way_to_pour_and_says_so_once() {
    let sheet = demo(&["Fen"]).sheet();
    must_hold(
        &sheet,
        &["No pour strip: not for a lotion", "Pours as and 9 more: not for a lotion"],
    );
    for (format, text) in said(&sheet) {
        assert!(!text.contains("Howitpours"), "{format}");
    }
    // Beside a bar the bar keeps its picture.
    must_hold(
        &demo(&["Dune", "Fen"]).sheet(),
        &["Fen: no pour strip: not for a lotion", "How it pours"],
    );
    must_hold(
        &demo(&["Fen", "Dune"]).sheet(),
        &["Fen: no pour strip: not for a lotion", "How it pours"],
    );
}

/// A bar of powders alone.
fn dry() -> Settings {
    let mut settings = demo(&["Dune"]);
    settings.each_material(|_, m| {
        m.fat.clear();
        m.at_pour = Some(quern_calc::formula::AtPour::Powder);
    });
    settings
}

#[test]
fn without_fat_the_reason_stands_in_place_of_the_curve() {
    let sheet = dry().sheet();
    must_hold(&sheet, &["No melt curve: no fat that melts"]);
    for (format, text) in said(&sheet) {
        assert!(!text.contains("Solidfatovertemperature"), "{format}");
    }
    assert!(!setting_html(&sheet).contains("aria-labelledby=\"melt-wide-t"));
}

#[test]
fn no_formula_and_too_many_are_survived() {
    must_hold(&demo(&[]).sheet(), &["Setting: no formula chosen", "What is assumed"]);
    let sheet = demo(&["Dune"; 4]).sheet();
    must_hold(&sheet, &["Dune, version 4 (1)", "Dune, version 4 (2)"]);
    for (format, text) in said(&sheet) {
        assert!(!text.contains("(3)Dune"), "{format}");
        assert!(!text.contains("Dune,version4(3)"), "{format}");
    }
}

#[test]
fn measurements_stand_beside_the_model() {
    let sheet = demo(&["Dune"]).measured("Dune").sheet();
    must_hold(
        &sheet,
        &[
            "Own measurements 20 November 2026",
            "Sets at 44 \u{b0}C",
            "44 \u{b0}C",
            "Flow at 60 \u{b0}C",
            "thick pour",
            "Poured weight at 60 \u{b0}C, 110 mL",
            "120.5 g",
            "Needle depth at 20 \u{b0}C",
            "3.5 mm",
            "44.0 \u{b0}C",
            "Corrected by them: ",
            "melt curve",
        ],
    );
    for (format, text) in said(&demo(&["Dune"]).sheet()) {
        assert!(!text.contains("Ownmeasurements"), "{format}");
    }
    let mut odd = demo(&["Dune"]).measured("Dune");
    for m in &mut odd.notes.measured {
        m.reading = quern_calc::setting::calibrate::Reading::SetsAt { c: f64::NAN };
    }
    must_hold(&odd.sheet(), &["not used: a set point is from"]);
}

#[test]
fn each_measurement_has_its_day_where_they_differ() {
    let mut settings = demo(&["Dune"]).measured("Dune");
    settings.notes.measured[1].date = None;
    must_hold(&settings.sheet(), &["Sets at \u{b7} 20 November 2026", "Flow at 60 \u{b0}C"]);
}

#[test]
fn decimal_comma_everywhere() {
    let mut settings = demo(&["Dune", "Shingle"]).measured("Dune");
    settings.about.style.sign = DecimalSign::Comma;
    with_everything(&settings);
    for (format, text) in said(&settings.sheet()) {
        assert!(text.contains("120,5g"), "{format}");
        assert!(!text.contains("120.5"), "{format}");
    }
}

#[test]
fn figures_out_of_range_are_survived() {
    let mut settings = demo(&["Dune", "Shingle"]);
    for c in [-300.0, 1e12, f64::NAN, f64::INFINITY] {
        settings.notes.room_c = Some(c);
        settings.notes.parcel_c = Some(c);
        let page = setting_html(&settings.sheet());
        assert!(!page.contains("NaN") && !page.contains("inf "), "{c}");
        #[cfg(feature = "pdf")]
        assert!(crate::setting_pdf(&settings.sheet(), crate::Paper::A4).is_ok());
    }
}

fn hostile() -> Settings {
    let mut settings = demo(&["Dune", "Shingle"]).measured("Dune");
    settings.each_material(|at, m| {
        m.names = vec![NAMES[at % NAMES.len()].to_owned()];
    });
    settings.formula("Dune").phases[0].name = "*melt* <i>".to_owned();
    settings.rename("Dune", "<b>#panic(1)</b> \" | =1+1");
    settings.rename("Shingle", "*x* </title></svg><script>alert(1)</script> \u{202e}#sys.inputs");
    settings.about.workshop = "</style><script>".to_owned();
    settings.about.program = "#include \"x\" <i>".to_owned();
    settings
}

#[test]
fn html_holds_no_tag_of_theirs() {
    let page = setting_html(&hostile().sheet());
    for bad in ["<script", "<b>#panic", "<i>", "<u>", "alert(\"", "\u{202e}", "\u{0}"] {
        assert!(!page.contains(bad), "{bad}");
    }
    for good in [
        "&lt;b&gt;#panic(1)&lt;/b&gt; &quot; | =1+1",
        "*x* &lt;/title&gt;&lt;/svg&gt;&lt;script&gt;alert(1)&lt;/script&gt; #sys.inputs",
    ] {
        assert!(page.contains(good), "{good}");
    }
    assert_eq!(page.matches("</style>").count(), 1);
    // As many marks as with harmless names.
    let own = setting_html(&demo(&["Dune", "Shingle"]).measured("Dune").sheet());
    for tag in ["<svg", "</svg>", "<title", "</title>", "<table", "<figure", "<desc"] {
        assert_eq!(page.matches(tag).count(), own.matches(tag).count(), "{tag}");
    }
    for needed in [
        "scope=\"col\"",
        "scope=\"row\"",
        "<caption>",
        "@page",
        "role=\"img\"",
        "prefers-color-scheme",
    ] {
        assert!(own.contains(needed), "{needed}");
    }
    assert!(!own.contains("http") && !own.contains("src="), "nothing is fetched");
    assert!(own.split("url(").skip(1).all(|rest| rest.starts_with('#')), "nothing is fetched");
}

#[cfg(feature = "pdf")]
#[test]
fn the_page_prints_them_as_they_stand() {
    let sheet = hostile().sheet();
    let printed = bare(&super::setting_pages::text(&sheet));
    for words in [
        "<b>#panic(1)</b> | =1+1",
        "*x* </title></svg><script>alert(1)</script> #sys.inputs",
        "#include x <i> setting sheet",
        "*melt* <i>",
    ] {
        assert!(printed.contains(&bare(words)), "{words}:\n{printed}");
    }
    assert!(crate::setting_pdf(&sheet, crate::Paper::A4).unwrap().starts_with(b"%PDF-"));
}

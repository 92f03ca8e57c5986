//! Both formats of the label sheet hold everything, and no text turns into markup.

use quern_calc::findings::Problem;
use quern_calc::label::{Look, Zone};
use quern_calc::number::{DecimalSign, NumberStyle};
use quern_calc::quantity::Date;

use super::contents::{bare, untagged};
use super::examples::d;
use super::hostile::NAMES;
use super::labels::{Labels, accepted, demo, stop};
use crate::{Format, LabelSheet, label_html};

/// What a sheet says in each format, without markup and white space.
fn said(sheet: &LabelSheet) -> Vec<(&'static str, String)> {
    vec![
        ("HTML", bare(&untagged(&label_html(sheet)))),
        #[cfg(feature = "pdf")]
        ("PDF", bare(&super::label_pages::text(sheet))),
    ]
}

fn must_hold(sheet: &LabelSheet, wanted: &[&str]) {
    for (format, text) in said(sheet) {
        for words in wanted {
            assert!(text.contains(&bare(words)), "{format} lacks {words:?}:\n{text}");
        }
    }
}

fn must_lack(sheet: &LabelSheet, bad: &[&str]) {
    for (format, text) in said(sheet) {
        for words in bad {
            assert!(!text.contains(&bare(words)), "{format} has {words:?}:\n{text}");
        }
    }
}

#[test]
fn everything_on_the_label_appears() {
    let labels = demo("Dune");
    let label = labels.label();
    let list = label.list.text();
    must_hold(
        &labels.sheet(),
        &[
            "Label: Dune, Made up market",
            "25 November 2026 \u{b7} Coast workshop",
            "face scrub bar, rinse-off \u{b7} version 4, draft",
            "80 \u{d7} 60 mm",
            "2.2 mm, small letters 1.65 mm",
            "Exfoliating bar for the face",
            "70 g",
            &list,
            &label.directions,
            "Keep out of eyes",
            "Not on broken skin: ",
            "Contains a made up acid",
            "12M",
            "Lot DU-2611-02",
            "Coast workshop, 1 Harbour Lane, Seatown",
            "50 mm",
        ],
    );
}

#[test]
fn what_it_rests_on_appears() {
    let labels = demo("Dune");
    let label = labels.label();
    let style = labels.about.style;
    let mut wanted = vec![
        "What it rests on".to_owned(),
        "a made up handbook".to_owned(),
        "Annex Q/7".to_owned(),
        "Name and address of who answers for it".to_owned(),
        "Made up market, Made up rules, edition 3, as of 1 May 2026".to_owned(),
        "Checked against made up guides, edition 1".to_owned(),
        "Claims".to_owned(),
        "Tests on microbes".to_owned(),
        "Local rules and a qualified assessor decide before sale".to_owned(),
        "Citral: 0.006 % is not above 0.01 %, so it is not named".to_owned(),
    ];
    for entry in &label.list.entries {
        wanted.extend(entry.sources.iter().cloned());
        // The share has a column of its own.
        let words = entry.words(style);
        let (percent, why) = words.split_once(" %, ").unwrap();
        wanted.push(percent.to_owned());
        wanted.push(why.chars().skip(1).collect());
    }
    assert!(label.remarks.len() > 2 && label.list.entries.len() > 10);
    wanted.extend(label.remarks.iter().map(|r| r.text.clone()));
    let wanted: Vec<&str> = wanted.iter().map(String::as_str).collect();
    must_hold(&labels.sheet(), &wanted);
}

#[test]
fn the_list_stands_in_its_order_with_the_one_per_cent_line() {
    let labels = demo("Dune");
    let label = labels.label();
    let first_free = label.list.first_free.unwrap();
    assert!(first_free > 0 && label.list.entries[first_free].zone == Zone::Free);
    for (format, text) in said(&labels.sheet()) {
        let rest = text.split_once(&bare("Ingredient list share of")).unwrap().1;
        let mut at = 0;
        let mut find = |words: &str| {
            let found = rest[at..].find(words);
            at += found.unwrap_or_else(|| panic!("{format}: {words} after {at} in {rest}"));
        };
        for (place, entry) in label.list.entries.iter().enumerate() {
            if place == first_free {
                find(&bare("1 %: in any order from here"));
            }
            find(&bare(&format!("{}{}", place + 1, entry.name)));
        }
        assert_eq!(rest.matches(&bare("in any order from here")).count(), 1);
    }
}

#[test]
fn nothing_below_one_per_cent_draws_no_line() {
    let mut labels = demo("Dune");
    labels.allergens.clear();
    for phase in &mut labels.formula().phases {
        phase.lines.retain(|l| l.amount.as_ref().is_none_or(|a| a.percent.0 >= d("1")));
    }
    assert_eq!(labels.label().list.first_free, None);
    must_lack(&labels.sheet(), &["in any order from here"]);
}

#[test]
fn remarks_stand_with_what_is_missing_first() {
    let mut labels = demo("Dune");
    labels.formula().label.net = None;
    let mut label = labels.label();
    label.remarks.reverse();
    assert_eq!(label.remarks.last().unwrap().look, Look::Short);
    for (format, text) in said(&labels.sheet_of(&label)) {
        let short = text.find(&bare("Missing or short: Net content is not stated")).unwrap();
        let know = text.find(&bare("To know:")).unwrap();
        assert!(short < know, "{format}");
    }
}

#[test]
fn what_is_not_stated_leaves_a_place() {
    let mut labels = demo("Dune");
    labels.formula().label.responsible = String::new();
    labels.formula().label.net = None;
    labels.formula().label.code_pattern = "{nonsense".to_owned();
    must_hold(&labels.sheet(), &["name and address", "net content", "Lot batch code"]);
    labels.formula().label.origin = "Freedonia".to_owned();
    must_hold(&labels.sheet(), &["Made in Freedonia"]);
}

#[test]
fn a_date_and_a_jar() {
    let mut labels = demo("Dune");
    must_lack(&labels.sheet(), &["Best used before"]);
    assert!(label_html(&labels.sheet()).contains("period after opening 12M"));
    labels.formula().label.keeps_months = Some(18);
    let sheet = labels.sheet();
    must_hold(&sheet, &["Best used before the end of 04/2028"]);
    assert!(!label_html(&sheet).contains("class=\"jar\""));
}

#[test]
fn accepted_reasons_are_printed() {
    let mut labels = demo("Dune");
    must_lack(&labels.sheet(), &["Accepted warnings"]);
    let day = Date::new(2026, 11, 20);
    labels.findings = vec![
        accepted(Problem::NoScale, "The new balance comes on Monday", day),
        accepted(Problem::ParcelSlumps { parcel_c: 41.0 }, "  ", None),
    ];
    let title = labels.findings[1].words(labels.about.style).title;
    must_hold(
        &labels.sheet(),
        &[
            "Accepted warnings",
            "No scale is set",
            "The new balance comes on Monday",
            "20 November 2026",
            &title,
            "no reason written down",
            "no date",
        ],
    );
}

#[test]
fn a_stop_heads_the_sheet() {
    let mut labels = demo("Dune");
    assert!(!labels.sheet().has_stop());
    must_lack(&labels.sheet(), &["A Stop stands"]);
    labels.findings = vec![stop(), stop()];
    labels.about.style = NumberStyle::with_sign(DecimalSign::Comma);
    let sheet = labels.sheet();
    assert!(sheet.has_stop());
    for (format, text) in said(&sheet) {
        let banner = bare("A Stop stands: not a label to print yet The total is 97,5 %, not 100");
        let at = text.find(&banner).unwrap_or_else(|| panic!("{format}: {text}"));
        assert!(at < text.find(&bare("Keep out of eyes")).unwrap(), "{format}");
        assert_eq!(text.matches(&bare("The total is")).count(), 1, "{format}: once");
    }
}

#[test]
fn a_label_that_changed_says_what() {
    must_lack(&demo("Dune").sheet(), &["Not the label that was last printed"]);
    let labels = demo("Dune").printed_before();
    let label = labels.label();
    let changed = &label.stale.as_ref().unwrap().changed;
    assert_eq!(changed.len(), 2);
    let sheet = labels.sheet();
    must_hold(
        &sheet,
        &[
            "Not the label that was last printed",
            "Printed on 4 March 2026 with version 2; since then other words: function, caution",
            "Changed since it was last printed",
            "Old words",
        ],
    );
    for (_, then, now) in changed {
        must_hold(&sheet, &[then, now]);
    }
}

#[test]
fn no_verdict_is_given() {
    let mut labels = demo("Dune").printed_before();
    labels.findings = vec![stop(), accepted(Problem::NoScale, "why", None)];
    for (format, text) in said(&labels.sheet()) {
        let text = text.to_lowercase();
        // "safety report" is the name of a document.
        let text = text.replace("safetyreport", "");
        for bad in ["safe", "complian", "complies", "conform", "approved"] {
            assert!(!text.contains(bad), "{format}: {bad}");
        }
    }
}

#[test]
fn names_of_files_are_plain() {
    let mut labels = demo("Dune");
    assert_eq!(labels.sheet().file_name(Format::Pdf), "Label Dune, Made up market.pdf");
    labels.market.name = "a/b:c".to_owned();
    assert_eq!(labels.sheet().file_name(Format::Html), "Label Dune, a-b-c.html");
}

/// Names, cautions and notes that try to be markup.
fn hostile() -> Labels {
    let mut labels = demo("Dune").printed_before();
    labels.each_material(|at, m| {
        m.inci = format!("{} {at}", NAMES[at % NAMES.len()]);
        m.names = vec![NAMES[(at + 3) % NAMES.len()].to_owned()];
    });
    let notes = &mut labels.formula().label;
    notes.name = "<b>#panic(1)</b>".to_owned();
    notes.cautions = NAMES.iter().map(|n| (*n).to_owned()).collect();
    notes.directions = "#import \"x\": * <img src=x>".to_owned();
    notes.responsible = "</style><script>".to_owned();
    notes.origin = "`raw` $x$ @label".to_owned();
    notes.code_pattern = String::new();
    labels.market.name = "<i>market</i>".to_owned();
    labels.market.not_checked = vec!["#sys.inputs <u>".to_owned()];
    labels.checked = vec!["= heading <h1>".to_owned()];
    labels.findings = vec![accepted(Problem::NoScale, "#let x = 1 <em>", None), stop()];
    labels
}

#[test]
fn html_holds_no_tag_of_theirs() {
    let page = label_html(&hostile().sheet());
    for bad in ["<script", "<b>#", "<img", "<i>market", "<u>", "<em>", "\u{202e}", "\u{0}"] {
        assert!(!page.contains(bad), "{bad}");
    }
    assert_eq!(page.matches("</style>").count(), 1);
    assert!(page.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
    let own = label_html(&demo("Dune").sheet());
    assert!(
        !own.contains("http") && !own.contains("src=") && !own.contains("url("),
        "nothing is fetched"
    );
}

#[test]
fn hostile_text_stays_text() {
    must_hold(
        &hostile().sheet(),
        &[
            "<b>#panic(1)</b>",
            "#import \"x\": * <img src=x>",
            "</style><script>",
            "Made in `raw` $x$ @label",
            "#sys.inputs <u>",
            "= heading <h1>",
            "#let x = 1 <em>",
            "#panic(1) *b* $x$ \\",
        ],
    );
}

#[test]
fn html_is_at_true_size() {
    let mut labels = demo("Dune");
    labels.formula().label.size_mm = Some((d("63.5"), d("38.1")));
    labels.formula().label.letter_mm = Some(d("2"));
    let page = label_html(&labels.sheet());
    for needed in [
        "width:63.50mm;min-height:38.10mm;padding:2.20mm;font-size:2.75mm;--content:4.13mm",
        "style=\"top:38.10mm\"",
        "width: 50mm; height: 4mm",
        "viewBox=\"0 0 50 4\"",
        "font-size-adjust: cap-height 0.727",
        "@page { size: A4",
        "@media print",
    ] {
        assert!(page.contains(needed), "{needed}");
    }
}

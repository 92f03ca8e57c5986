//! Every format holds everything.

use super::examples::{Example, bar, coarse, comma, d, long, stopped, with_alternatives};
use crate::{BenchSheet, Format, SheetError, csv, export, html, markdown};

/// What a sheet says in each format, without markup, escapes and white space.
fn said(sheet: &BenchSheet) -> Vec<(&'static str, String)> {
    vec![
        ("HTML", bare(&untagged(&html(sheet)))),
        ("CSV", bare(&String::from_utf8(csv(sheet).unwrap()).unwrap())),
        ("Markdown", bare(&markdown(sheet).replace('\\', ""))),
        #[cfg(feature = "pdf")]
        ("PDF", bare(&super::pages::text(sheet))),
    ]
}

pub fn bare(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '\u{200b}' | '\u{2060}') && *c != '"')
        .collect()
}

/// Text of a page as a reader sees it.
pub fn untagged(page: &str) -> String {
    let body = page.split_once("</head>").unwrap().1;
    let mut out = String::new();
    for (index, part) in body.split('<').enumerate() {
        let (tag, text) = if index == 0 { ("", part) } else { part.split_once('>').unwrap() };
        if !tag.contains("class=\"pad\"") {
            out.push_str(text);
        }
    }
    for (code, sign) in
        [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&amp;", "&")]
    {
        out = out.replace(code, sign);
    }
    out
}

fn must_hold(sheet: &BenchSheet, wanted: &[&str]) {
    for (format, text) in said(sheet) {
        for words in wanted {
            assert!(text.contains(&bare(words)), "{format} lacks {words:?}:\n{text}");
        }
    }
}

#[test]
fn every_format_holds_everything() {
    let example = bar();
    let sheet = example.sheet();
    let evaluation = example.evaluation();
    must_hold(
        &sheet,
        &[
            "Dune",
            "body scrub bar, rinse-off \u{b7} version 1, draft",
            "DU-2611-02",
            "25 November 2026 \u{b7} Coast workshop",
            "24 \u{d7} 70 g",
            "1680.00",
            "100.00",
            "fills to 100",
            "0.1 g; 0.01 g for 12",
            "0.01 g scale",
            "to 74 \u{b0}C",
            "below 50 \u{b0}C",
            "Jojoba beads",
            "Stir every 5 min until no grains show",
            "50 \u{b0}C, 2 min",
            "Quern 0.1.0 bench sheet \u{b7} checked against Quern guides 1 \u{b7} library Quern materials 1",
        ],
    );
    for line in &evaluation.lines {
        must_hold(&sheet, &[&line.inci]);
    }
    assert!(evaluation.cares.len() > 4);
    for care in &evaluation.cares {
        must_hold(&sheet, &[&care.text]);
    }
    assert!(!sheet.has_stop());
    for (format, text) in said(&sheet) {
        assert!(!text.contains("Donotmake"), "{format}");
    }
}

#[test]
fn the_three_totals_stay_apart() {
    let sheet = coarse().sheet();
    must_hold(&sheet, &["1732", "0.04", "Heather fragrance, 10.4 g, is too small for a 1 g scale"]);
    for (format, text) in said(&sheet) {
        let exact = if format == "CSV" { "1731.9587628866" } else { "1731.96" };
        assert!(text.contains(exact), "{format}");
        let heading = if format == "CSV" { "Findingtosettle" } else { "Findingstosettle" };
        assert!(text.contains(heading), "{format}");
    }
}

#[test]
fn a_stop_heads_the_sheet() {
    let sheet = stopped().sheet();
    assert!(sheet.has_stop());
    must_hold(
        &sheet,
        &[
            "Do not make",
            "The total is 73.7 %, not 100",
            "Cocoa butter is negative, -2 %",
            "Oat flour has no amount",
            "73.70",
        ],
    );
    for (format, text) in said(&sheet) {
        if format != "CSV" {
            // The blank line and the negative one: a dash for grams, band and running.
            assert!(text.matches('\u{2013}').count() >= 7, "{format}");
            assert!(text.contains("\u{2212}2.00"), "{format}");
        }
        let at = |words: &str| text.find(&bare(words)).unwrap();
        assert!(at("Do not make") < at("Sodium Cocoyl Isethionate"), "{format}");
    }
}

#[test]
fn no_batch_gives_dashes_and_a_banner() {
    let mut example = bar();
    example.plan.loss = quern_calc::quantity::Percent(d("100"));
    let sheet = example.sheet();
    assert!(sheet.has_stop());
    assert!(sheet.phases.iter().flat_map(|p| &p.lines).all(|l| l.target.is_none()));
    must_hold(&sheet, &["A loss of 100 % or more leaves nothing", "34.00"]);
}

#[test]
fn no_scale_and_no_line_are_survived() {
    let mut example = bar();
    example.plan.scales.clear();
    must_hold(&example.sheet(), &["none set", "No scale is set", "588.87"]);
    for phase in &mut example.formula.phases {
        phase.lines.clear();
    }
    example.formula.fills = None;
    example.formula.name = " \n".to_owned();
    must_hold(&example.sheet(), &["Unnamed formula", "0.00"]);
}

#[test]
fn alternatives_and_notes_stand_under_their_line() {
    let sheet = with_alternatives().sheet();
    must_hold(
        &sheet,
        &["142.9", "softer bar, sets later", "Sieve first, the lumps do not break in the melt"],
    );
    for (format, text) in said(&sheet) {
        if format != "CSV" {
            let words = "or Glyceryl Stearate, 142.9 g (1.1 g for each 1 g); softer bar";
            assert!(text.contains(&bare(words)), "{format}");
        }
    }
}

#[test]
fn decimal_comma_everywhere_but_in_csv() {
    let sheet = comma(bar()).sheet();
    for (format, text) in said(&sheet) {
        assert_eq!(text.contains("588,9"), format != "CSV", "{format}");
        assert!(format == "CSV" || !text.contains("588.9"), "{format}");
    }
    let csv = String::from_utf8(csv(&sheet).unwrap()).unwrap();
    assert!(csv.contains(",34.00,588.9,0.1,5.9,588.9,"));
}

#[test]
fn large_numbers_group_on_paper_and_not_in_csv() {
    let mut example = bar();
    let gross = quern_calc::quantity::Grams(d("1234567.8"));
    example.plan.size = quern_calc::batch::BatchSize::Gross(gross);
    let sheet = example.sheet();
    assert!(html(&sheet).contains("1\u{202f}234\u{202f}567.8"));
    let csv = String::from_utf8(csv(&sheet).unwrap()).unwrap();
    assert!(csv.contains(",1234567.80,") && !csv.contains('\u{202f}'));
    assert!(html(&sheet).contains("weigh in portions"));
}

#[test]
fn running_totals_reach_the_sum_of_the_rounded_lines() {
    let sheet = bar().sheet();
    let last = sheet.phases.last().unwrap().lines.last().unwrap();
    assert_eq!(last.running.text, sheet.total.rounded.text);
    assert_eq!(last.number, 12);
}

#[test]
fn two_hundred_lines_in_every_format() {
    let example: Example = long(200);
    let sheet = example.sheet();
    let rows = csv(&sheet).unwrap();
    let lines = String::from_utf8(rows).unwrap().lines().filter(|l| l.starts_with("line,")).count();
    assert_eq!(lines, 200);
    assert_eq!(html(&sheet).matches("<tr role=\"row\" class=\"line\"").count(), 200);
    assert_eq!(markdown(&sheet).matches('\u{2610}').count(), 200);
}

#[test]
fn markdown_columns_align_in_the_source() {
    let text = markdown(&bar().sheet());
    let widths: Vec<usize> =
        text.lines().filter(|l| l.starts_with('|')).map(|l| l.chars().count()).collect();
    assert!(widths.len() > 15 && widths.iter().all(|w| *w == widths[0]), "{widths:?}");
}

#[test]
fn formats_by_extension() {
    for format in Format::ALL {
        assert_eq!(Format::from_extension(format.extension()), Some(format));
        assert_eq!(Format::from_extension(&format.extension().to_uppercase()), Some(format));
    }
    assert_eq!(Format::from_extension("docx"), None);
    let answer = export(&bar().sheet(), Format::Xlsx);
    assert!(matches!(answer, Err(SheetError::NotBuilt(_))));
    assert_eq!(
        answer.unwrap_err().to_string(),
        "XLSX export is not built yet; use PDF, HTML, CSV or Markdown"
    );
    for format in Format::ALL {
        assert_eq!(export(&bar().sheet(), format).is_ok(), format.is_built());
    }
}

#[test]
fn file_names_are_plain() {
    let mut example = bar();
    assert_eq!(example.sheet().file_name(Format::Pdf), "Dune DU-2611-02 bench sheet.pdf");
    example.formula.name = "../a:b\\c".to_owned();
    assert_eq!(example.sheet().file_name(Format::Csv), "a-b-c DU-2611-02 bench sheet.csv");
}

//! The printed setting sheet.

use super::pages;
use super::settings::{Settings, demo};
use crate::setting::document;
use crate::{Paper, SettingSheet, setting_pdf};

fn sheet_pages(sheet: &SettingSheet, paper: Paper) -> Vec<pages::Page> {
    pages::of(&document(sheet, paper).unwrap())
}

/// Everything printed, page by page.
pub fn text(sheet: &SettingSheet) -> String {
    pages::words(&sheet_pages(sheet, Paper::A4))
}

#[test]
fn one_formula_fits_one_page() {
    for paper in Paper::ALL {
        for name in ["Dune", "Shingle", "Cairn", "Fen"] {
            let plain = demo(&[name]);
            let count = sheet_pages(&plain.sheet(), paper).len();
            assert_eq!(count, 1, "{name} on {}", paper.name());
            // A letter is too short for measurements of every kind too.
            let most = if paper == Paper::A4 { 1 } else { 2 };
            let count = sheet_pages(&plain.measured(name).sheet(), paper).len();
            assert!(count <= most, "{name}, measured, on {}: {count}", paper.name());
        }
    }
}

#[test]
fn two_formulas_fit_two_pages() {
    for paper in Paper::ALL {
        for names in [["Dune", "Shingle"], ["Dune", "Fen"], ["Cairn", "Shingle"]] {
            let sheet = demo(&names).measured("Dune").sheet();
            let count = sheet_pages(&sheet, paper).len();
            assert!(count <= 2, "{names:?} on {}: {count}", paper.name());
        }
    }
}

/// Long and unbroken names.
fn long() -> Settings {
    let mut settings = demo(&["Dune", "Shingle"]).measured("Dune");
    settings.each_material(|at, m| {
        m.names =
            vec![if at % 2 == 0 { "X".repeat(60 + at) } else { "many words in a name ".repeat(4) }];
    });
    settings.rename("Dune", &"Y".repeat(90));
    settings.rename("Shingle", &"A name of many words ".repeat(5));
    settings
}

/// Names that read from the right.
fn rightward() -> Settings {
    let mut settings = demo(&["Dune"]);
    settings.each_material(|_, m| {
        m.names = vec![
            "\u{645}\u{631}\u{62d}\u{628}\u{627} \u{5e9}\u{5dc}\u{5d5}\u{5dd} 12 %".to_owned(),
        ];
    });
    settings.rename("Dune", "\u{5e9}\u{5dc}\u{5d5}\u{5dd}");
    settings
}

#[test]
fn nothing_leaves_the_page() {
    for paper in Paper::ALL {
        let width = if paper == Paper::A4 { 595.0 } else { 612.0 };
        for settings in [
            long(),
            rightward(),
            demo(&["Dune"]),
            demo(&["Dune", "Shingle"]),
            demo(&["Cairn", "Fen"]),
        ] {
            for page in sheet_pages(&settings.sheet(), paper) {
                for (x, _, wide, words) in page {
                    assert!(x >= 39.0 && x + wide <= width - 39.0, "{words} at {x} is {wide} wide");
                }
            }
        }
    }
}

#[test]
fn long_names_run_on_and_lose_nothing() {
    let settings = long();
    let printed = sheet_pages(&settings.sheet(), Paper::A4);
    assert!(printed.len() <= 3, "{}", printed.len());
    let text = super::contents::bare(&pages::words(&printed));
    // Columns may part a sentence at the foot of a page.
    for remark in settings.figures().iter().flat_map(|f| &f.remarks) {
        for word in remark.text.split_whitespace() {
            assert!(text.contains(&super::contents::bare(word)), "{word} of {}", remark.text);
        }
    }
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    let sheet = demo(&["Dune", "Shingle"]).sheet();
    let first = setting_pdf(&sheet, Paper::A4).unwrap();
    assert_eq!(first, setting_pdf(&demo(&["Dune", "Shingle"]).sheet(), Paper::A4).unwrap());
    let count = |needle: &[u8]| first.windows(needle.len()).filter(|w| *w == needle).count();
    assert_eq!(count(b"/CreationDate"), 0);
    assert!(count(b"/StructTreeRoot") > 0, "tagged");
    assert!(count(b"/Alt") > 0, "pictures have words");
    assert_ne!(first, setting_pdf(&sheet, Paper::UsLetter).unwrap());
}

//! The printed blend sheet.

use super::blends::{Blends, crowd, demo};
use super::pages;
use crate::blend::document;
use crate::{BlendSheet, Paper, blend_pdf};

const DEMO: [&str; 3] = ["Dune", "Shingle", "Cairn"];

fn sheet_pages(sheet: &BlendSheet) -> Vec<pages::Page> {
    pages::of(&document(sheet).unwrap())
}

/// Everything printed, page by page.
pub fn text(sheet: &BlendSheet) -> String {
    pages::words(&sheet_pages(sheet))
}

#[test]
fn the_demo_fits_one_page() {
    for paper in Paper::ALL {
        for count in 1..=3 {
            let sheet = demo(&DEMO[..count]).on(paper).sheet();
            assert_eq!(sheet_pages(&sheet).len(), 1, "{count} on {}", paper.name());
        }
    }
}

#[test]
fn four_full_blends_fit_one_page() {
    for paper in Paper::ALL {
        for exfoliants in [1, 3, 6] {
            let sheet = crowd(4, exfoliants).on(paper).sheet();
            assert_eq!(sheet_pages(&sheet).len(), 1, "{exfoliants} on {}", paper.name());
        }
    }
}

#[test]
fn more_runs_on_and_loses_nothing() {
    let mut blends = crowd(4, 20);
    blends.each_exfoliant(|at, m| m.names = vec![format!("Grains of a name that wraps {at}")]);
    let sheet = blends.sheet();
    let printed = sheet_pages(&sheet);
    assert!(printed.len() > 1);
    let text = super::contents::bare(&pages::words(&printed));
    let figures = blends.figures();
    for part in figures.evaluations.iter().flat_map(|e| &e.grains.as_ref().unwrap().parts) {
        assert!(text.contains(&super::contents::bare(&part.name)), "{}", part.name);
    }
}

#[test]
fn nothing_leaves_the_page() {
    let mut long: Blends = crowd(4, 6);
    long.each_exfoliant(|at, m| m.names = vec!["X".repeat(40 + at)]);
    for (from, to) in [("Dune", "Y".repeat(90)), ("Fen", "A name of many words ".repeat(5))] {
        long.rename(from, &to);
    }
    for paper in Paper::ALL {
        let width = if paper == Paper::A4 { 595.0 } else { 612.0 };
        for blends in [long.clone(), demo(&DEMO), demo(&DEMO[..2])] {
            for page in sheet_pages(&blends.on(paper).sheet()) {
                for (x, _, wide, words) in page {
                    assert!(x >= 39.0 && x + wide <= width - 39.0, "{words} at {x} is {wide} wide");
                }
            }
        }
    }
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    let sheet = demo(&DEMO).sheet();
    let first = blend_pdf(&sheet).unwrap();
    assert_eq!(first, blend_pdf(&demo(&DEMO).sheet()).unwrap());
    assert!(first.starts_with(b"%PDF-"));
    let count = |needle: &[u8]| first.windows(needle.len()).filter(|w| *w == needle).count();
    assert_eq!(count(b"/CreationDate"), 0);
    assert!(count(b"/StructTreeRoot") > 0, "tagged");
    assert_ne!(first, blend_pdf(&demo(&DEMO).on(Paper::UsLetter).sheet()).unwrap());
}

#[test]
fn the_two_formats_do_not_mix() {
    // Both templates live in one process.
    let bench = super::examples::bar().sheet();
    let blends = demo(&DEMO).sheet();
    let (a, b) = (crate::pdf(&bench).unwrap(), blend_pdf(&blends).unwrap());
    assert_eq!((a, b), (crate::pdf(&bench).unwrap(), blend_pdf(&blends).unwrap()));
}

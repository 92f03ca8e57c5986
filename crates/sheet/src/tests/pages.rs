//! The printed pages.

use std::fmt::Write as _;

use typst::layout::{Frame, FrameItem, Point};
use typst_layout::PagedDocument;

use super::examples::{Example, bar, coarse, long, stopped, with_alternatives};
use crate::pdf::document;
use crate::{BenchSheet, Paper, pdf};

/// Every piece of text with its place from the left and top, in points, and its width.
fn pieces(frame: &Frame, at: Point, out: &mut Vec<(f64, f64, f64, String)>) {
    for (place, item) in frame.items() {
        let place = at + *place;
        match item {
            FrameItem::Group(group) => {
                let moved = Point::new(group.transform.tx, group.transform.ty);
                pieces(&group.frame, place + moved, out);
            }
            FrameItem::Text(text) => {
                let size = (place.x.to_pt(), place.y.to_pt(), text.width().to_pt());
                out.push((size.0, size.1, size.2, text.text.to_string()));
            }
            _ => {}
        }
    }
}

/// The pieces of one page.
pub type Page = Vec<(f64, f64, f64, String)>;

/// The pieces of a document by page.
pub fn of(document: &PagedDocument) -> Vec<Page> {
    let page = |frame| {
        let mut out = Vec::new();
        pieces(frame, Point::zero(), &mut out);
        out
    };
    document.pages().iter().map(|p| page(&p.frame)).collect()
}

/// Everything on pages.
pub fn words(pages: &[Page]) -> String {
    let mut out = String::new();
    for (_, _, _, words) in pages.iter().flatten() {
        let _ = write!(out, "{words} ");
    }
    out
}

fn pages(sheet: &BenchSheet) -> Vec<Page> {
    of(&document(sheet).unwrap())
}

/// Everything printed, page by page.
pub fn text(sheet: &BenchSheet) -> String {
    words(&pages(sheet))
}

fn on(paper: Paper, mut example: Example) -> BenchSheet {
    example.about.paper = paper;
    example.sheet()
}

#[test]
fn twelve_lines_fit_one_page() {
    for paper in Paper::ALL {
        for example in [bar(), with_alternatives(), stopped(), coarse()] {
            assert_eq!(pages(&on(paper, example)).len(), 1, "{}", paper.name());
        }
    }
}

#[test]
fn the_file_has_the_pages_and_the_same_bytes_again() {
    let sheet = bar().sheet();
    let first = pdf(&sheet).unwrap();
    assert_eq!(first, pdf(&sheet).unwrap());
    let count = |needle: &[u8]| first.windows(needle.len()).filter(|w| *w == needle).count();
    assert_eq!(count(b"/Type /Page") + count(b"/Type/Page"), 2, "one page and the tree of pages");
    assert_eq!(count(b"/CreationDate"), 0);
    assert_ne!(first, pdf(&on(Paper::UsLetter, bar())).unwrap());
}

#[test]
fn nothing_leaves_the_page() {
    let mut example = long(60);
    example.materials[0].inci = "X".repeat(120);
    example.formula.name = "Y".repeat(150);
    for paper in Paper::ALL {
        let width = if paper == Paper::A4 { 595.0 } else { 612.0 };
        for page in pages(&on(paper, example.clone())) {
            for (x, _, wide, words) in page {
                assert!(x >= 39.0 && x + wide <= width - 39.0, "{words} at {x} is {wide} wide");
            }
        }
    }
}

#[test]
fn long_formulas_break_cleanly() {
    for lines in [40, 43, 47, 60, 200] {
        let sheet = long(lines).sheet();
        let pages = pages(&sheet);
        assert!(pages.len() > 1, "{lines}");
        let mut numbered = 0;
        let count = pages.len();
        for (index, page) in pages.iter().enumerate() {
            let words: Vec<&str> = page.iter().map(|(_, _, _, t)| t.as_str()).collect();
            let footer = format!("page {} of {count}", index + 1);
            assert!(words.join(" ").contains(&footer), "{lines}, page {index}");
            // Line numbers stand alone in the first column.
            let rows =
                page.iter().filter(|(x, _, _, t)| *x < 60.0 && t.parse::<usize>().is_ok()).count();
            numbered += rows;
            let has = |what: &str| words.contains(&what);
            if has("Total, sum of rounded lines") {
                assert!(rows > 0, "{lines}: the total stands without a line");
            }
            assert_eq!(rows > 0, has("material, INCI"), "{lines}: head without lines on {index}");
            for letter in ["A", "B", "C"] {
                // A phase heading has a line below it on its page.
                let head = page.iter().find(|(x, _, _, t)| *x < 50.0 && t == letter);
                if let Some((_, y, _, _)) = head {
                    let below = page
                        .iter()
                        .any(|(x, line, _, t)| *x < 60.0 && line > y && t.parse::<usize>().is_ok());
                    assert!(below, "{lines}: phase {letter} stands alone on page {index}");
                }
            }
        }
        assert_eq!(numbered, lines, "every line once");
    }
}

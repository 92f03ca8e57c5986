//! The printed label sheet.

use quern_calc::formula::{Amount, Item, LineId, Material, MaterialId};
use typst::layout::{Frame, FrameItem, Point};
use typst::visualize::Geometry;
use typst_layout::PagedDocument;

use super::contents::bare;
use super::examples::d;
use super::labels::{Labels, demo};
use super::pages;
use crate::label::document;
use crate::{LabelSheet, Paper, label_pdf};

const PT_PER_MM: f64 = 72.0 / 25.4;

fn sheet_pages(sheet: &LabelSheet, paper: Paper) -> Vec<pages::Page> {
    pages::of(&document(sheet, paper).unwrap())
}

/// Everything printed, page by page.
pub fn text(sheet: &LabelSheet) -> String {
    pages::words(&sheet_pages(sheet, Paper::A4))
}

/// Outlined rectangles: page, left, top, width and height in mm.
type Boxes = Vec<(usize, [f64; 4])>;

fn rectangles(frame: &Frame, page: usize, at: Point, out: &mut Boxes) {
    for (place, item) in frame.items() {
        let place = at + *place;
        match item {
            FrameItem::Group(group) => {
                let moved = Point::new(group.transform.tx, group.transform.ty);
                rectangles(&group.frame, page, place + moved, out);
            }
            FrameItem::Shape(shape, _) if shape.fill.is_none() && shape.stroke.is_some() => {
                if let Geometry::Rect(size) = shape.geometry {
                    let mm = [place.x, place.y, size.x, size.y].map(|x| x.to_pt() / PT_PER_MM);
                    out.push((page, mm));
                }
            }
            _ => {}
        }
    }
}

/// Frames of this size in mm.
fn frames(document: &PagedDocument, width: f64, height: f64) -> Boxes {
    let mut out = Vec::new();
    for (page, found) in document.pages().iter().enumerate() {
        rectangles(&found.frame, page, Point::zero(), &mut out);
    }
    let near = |a: f64, b: f64| (a - b).abs() < 0.001;
    out.retain(|(_, [_, _, w, h])| near(*w, width) && near(*h, height));
    out
}

/// Every piece of text whose start lies in a frame ends in it too, and how many there are.
fn held(document: &PagedDocument, (page, [x, y, w, h]): (usize, [f64; 4])) -> usize {
    let all = pages::of(document);
    let mut count = 0;
    for (left, base, wide, words) in &all[page] {
        let [left, base, wide] = [left, base, wide].map(|v| v / PT_PER_MM);
        if left >= x && left <= x + w && base >= y && base <= y + h {
            assert!(left + wide <= x + w - 0.5, "{words} leaves the frame");
            count += 1;
        }
    }
    count
}

fn sized(name: &str, width: &str, height: &str, letter: &str) -> Labels {
    let mut labels = demo(name);
    labels.formula().label.size_mm = Some((d(width), d(height)));
    labels.formula().label.letter_mm = Some(d(letter));
    labels
}

/// So many more materials, each with a name of its own.
fn long(count: u32) -> Labels {
    let mut labels = demo("Dune");
    let base: Material = labels.project.materials.values().next().unwrap().as_ref().clone();
    let pattern = labels.formula().phases[0].lines[0].clone();
    for at in 0..count {
        let mut material = base.clone();
        material.id = MaterialId::new(&format!("many-{at}"));
        material.inci = format!("Extract{at:04}");
        material.names = vec![format!("many named {at}")];
        labels.project.materials.insert(material.id.clone(), std::sync::Arc::new(material.clone()));
        let mut line = pattern.clone();
        line.id = LineId(1000 + at);
        line.item = Item::Material(material.id.clone());
        line.amount = Some(Amount::percent(d("0.05")));
        labels.formula().phases[0].lines.push(line);
    }
    labels
}

#[test]
fn the_frame_has_its_true_size_on_the_first_page() {
    for paper in Paper::ALL {
        for (width, height) in [("80", "60"), ("101.6", "76.2"), ("170", "50"), ("60", "90")] {
            let labels = sized("Dune", width, height, "1.6");
            let made = document(&labels.sheet(), paper).unwrap();
            let (w, h) = (width.parse().unwrap(), height.parse().unwrap());
            let found = frames(&made, w, h);
            assert_eq!(found.len(), 1, "{width} x {height} on {}", paper.name());
            assert_eq!(found[0].0, 0);
            assert!(held(&made, found[0]) > 8);
        }
    }
}

#[test]
fn letters_have_the_height_that_was_asked_for() {
    fn sizes(frame: &Frame, out: &mut Vec<(String, f64)>) {
        for (_, item) in frame.items() {
            match item {
                FrameItem::Group(group) => sizes(&group.frame, out),
                FrameItem::Text(text) => {
                    out.push((text.text.to_string(), text.size.to_pt() / PT_PER_MM * 0.727));
                }
                _ => {}
            }
        }
    }
    let made = document(&sized("Dune", "90", "90", "2.1").sheet(), Paper::A4).unwrap();
    let mut out = Vec::new();
    sizes(&made.pages()[0].frame, &mut out);
    let of = |words: &str| out.iter().find(|(t, _)| t.starts_with(words)).unwrap().1;
    for words in ["Exfoliating bar for", "Keep out of eyes", "Ingredients:", "Lot DU", "12M"] {
        assert!((of(words) - 2.1).abs() < 0.001, "{words}: {}", of(words));
    }
    assert!((of("70") - 3.0).abs() < 0.001, "70 g asks for figures of 3 mm: {}", of("70"));
}

#[test]
fn what_does_not_fit_goes_on_in_a_second_panel() {
    let labels = sized("Dune", "80", "40", "1.6");
    let sheet = labels.sheet();
    for paper in Paper::ALL {
        let made = document(&sheet, paper).unwrap();
        let found = frames(&made, 80.0, 40.0);
        assert_eq!(found.len(), 2, "{}", paper.name());
        assert_eq!(found.iter().map(|f| held(&made, *f)).filter(|n| *n > 0).count(), 2);
    }
    let printed = bare(&text(&sheet));
    for words in ["panel 1 of 2", "panel 2 of 2", "one panel of this width would have to be"] {
        assert!(printed.contains(&bare(words)), "{words}");
    }
    // As high as the sheet says it would have to be, one panel is enough.
    let needed = printed.split_once("wouldhavetobe").unwrap().1.split_once("mmhigh").unwrap().0;
    let labels = sized("Dune", "80", needed, "1.6");
    let made = document(&labels.sheet(), Paper::A4).unwrap();
    assert_eq!(frames(&made, 80.0, needed.parse().unwrap()).len(), 1);
    let one_less: f64 = needed.parse::<f64>().unwrap() - 1.0;
    let labels = sized("Dune", "80", &one_less.to_string(), "1.6");
    let made = document(&labels.sheet(), Paper::A4).unwrap();
    assert_eq!(frames(&made, 80.0, one_less).len(), 2, "{needed} is the least");
}

#[test]
fn a_list_is_parted_only_where_no_panel_holds_it() {
    let sheet = sized("Dune", "80", "40", "1.6").sheet();
    let made = document(&sheet, Paper::A4).unwrap();
    let label = sized("Dune", "80", "40", "1.6").label();
    let all = pages::of(&made);
    let whole = frames(&made, 80.0, 40.0).iter().any(|(page, [x, y, w, h])| {
        let inside = all[*page].iter().filter(|(left, base, _, _)| {
            let (left, base) = (left / PT_PER_MM, base / PT_PER_MM);
            left >= *x && left <= x + w && base >= *y && base <= y + h
        });
        let words: String = inside.map(|(_, _, _, t)| t.as_str()).collect();
        bare(&words).contains(&bare(&label.list.text()))
    });
    assert!(whole, "one of the panels holds the whole list");
}

#[test]
fn the_demo_fits_two_pages() {
    for paper in Paper::ALL {
        for name in ["Dune", "Shingle", "Cairn", "Fen"] {
            let count = sheet_pages(&demo(name).sheet(), paper).len();
            assert!(count <= 2, "{name} on {}: {count}", paper.name());
        }
    }
}

/// Long and unbroken names, and text from the right.
fn wide() -> Labels {
    let mut labels = demo("Dune");
    labels.each_material(|at, m| {
        m.inci = if at % 2 == 0 { "X".repeat(60 + at) } else { "many words in it ".repeat(4) };
        m.names = vec!["\u{645}\u{631}\u{62d}\u{628}\u{627} 12 % \u{5e9}\u{5dc}".to_owned()];
    });
    let notes = &mut labels.formula().label;
    notes.name = "Y".repeat(200);
    notes.directions = "\u{5e9}\u{5dc}\u{5d5}\u{5dd} ".repeat(30);
    notes.cautions = vec!["Z".repeat(300), "W ".repeat(200)];
    notes.responsible = "Q".repeat(90);
    labels.checked = vec!["C".repeat(200)];
    labels.market.not_checked = vec!["N".repeat(200)];
    labels.market.name = "M".repeat(60);
    labels
}

#[test]
fn nothing_leaves_the_page() {
    for paper in Paper::ALL {
        let width = if paper == Paper::A4 { 595.0 } else { 612.0 };
        let mut narrow = wide();
        narrow.formula().label.size_mm = Some((d("20"), d("200")));
        for labels in [wide(), narrow, demo("Dune").printed_before(), long(60)] {
            for page in sheet_pages(&labels.sheet(), paper) {
                for (x, _, wide, words) in page {
                    assert!(x >= 39.0 && x + wide <= width - 39.0, "{words} at {x} is {wide} wide");
                }
            }
        }
    }
}

#[test]
fn long_lists_run_on_and_lose_nothing() {
    for (count, label) in [(60, ("80", "50")), (500, ("80", "50")), (500, ("30", "20"))] {
        let mut labels = long(count);
        labels.formula().label.size_mm = Some((d(label.0), d(label.1)));
        let made = labels.label();
        assert!(made.list.entries.len() >= usize::try_from(count).unwrap());
        let printed = bare(&text(&labels.sheet()));
        for entry in &made.list.entries {
            // On the label and in the table.
            let found = printed.matches(&bare(&entry.name)).count();
            assert!(found >= 2, "{count}: {} {found}", entry.name);
        }
        assert!(printed.contains("onepanelofthiswidth"));
    }
}

#[test]
fn odd_sizes_give_a_sheet_that_says_so() {
    for (width, height, letter) in [
        ("0", "50", "1.6"),
        ("-3", "0", "0"),
        ("79228162514264337593543950335", "50", "79228162514264337593543950335"),
        ("0.0000001", "0.0000001", "0.0000001"),
    ] {
        let printed = bare(&text(&sized("Dune", width, height, letter).sheet()));
        assert!(printed.contains("cannotbedrawn"), "{width} {height} {letter}");
        assert!(printed.contains("Keepoutofeyes"));
    }
    for (width, height, letter) in
        [("5", "5", "1.6"), ("5", "90", "0.9"), ("80", "50", "50"), ("12", "8", "3")]
    {
        let printed = bare(&text(&sized("Dune", width, height, letter).sheet()));
        assert!(printed.contains("onepanelofthiswidth"), "{width} {height} {letter}");
    }
    let large = sized("Dune", "400", "300", "1.6").sheet();
    for paper in Paper::ALL {
        let printed = bare(&pages::words(&sheet_pages(&large, paper)));
        assert!(printed.contains("islargerthanthispaper"));
    }
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    let sheet = demo("Dune").sheet();
    let first = label_pdf(&sheet, Paper::A4).unwrap();
    assert_eq!(first, label_pdf(&demo("Dune").sheet(), Paper::A4).unwrap());
    assert!(first.starts_with(b"%PDF-"));
    let count = |needle: &[u8]| first.windows(needle.len()).filter(|w| *w == needle).count();
    assert_eq!(count(b"/CreationDate"), 0);
    assert!(count(b"/StructTreeRoot") > 0, "tagged");
    assert!(count(b"/Alt") > 1, "jar and scale have words");
    assert_ne!(first, label_pdf(&sheet, Paper::UsLetter).unwrap());
}

//! The label sheet as PDF.

use typst::foundations::{Array, Dict, IntoValue, Value, dict};
use typst_layout::PagedDocument;

use super::pack::{CAPITALS, Pack, PackPart};
use super::{AcceptedWords, DECIDES, LabelSheet, ListRow, RemarkWords, Sourced, StaleWords};
use crate::SheetError;
use crate::bench::Paper;
use crate::typeset::{self, Template, array, breakable, breakable_beyond};

static TEMPLATE: Template = Template::new("label.typ", include_str!("label.typ"));

const PT_PER_MM: f64 = 72.0 / 25.4;

/// Longest word in letters that a panel of the usual size holds without a place to break.
const LONG_WORD: usize = 28;

/// The sheet as a tagged PDF, its label at true size. The same sheet always gives the same bytes.
///
/// A text that the label cannot hold goes on in further panels of the same size, in letters of
/// the same height.
///
/// # Errors
/// [`SheetError::Layout`] if the compiler refuses, which no content should bring about.
pub fn label_pdf(sheet: &LabelSheet, paper: Paper) -> Result<Vec<u8>, SheetError> {
    typeset::bytes(&document(sheet, paper)?)
}

pub(crate) fn document(sheet: &LabelSheet, paper: Paper) -> Result<PagedDocument, SheetError> {
    typeset::pages(&TEMPLATE, values(sheet, paper))
}

/// The largest frame that a page holds, mm; the template has the same margins.
fn room(paper: Paper) -> (f64, f64) {
    match paper {
        Paper::A4 => (182.0, 225.0),
        Paper::UsLetter => (187.0, 207.0),
    }
}

fn values(sheet: &LabelSheet, paper: Paper) -> Dict {
    dict! {
        "paper" => typeset::paper(paper),
        "title" => breakable(&sheet.title),
        "product" => sheet.product.as_str(),
        "dated" => breakable(&sheet.dated),
        "made_by" => breakable(&sheet.made_by),
        "stops" => words(&sheet.stops),
        "stale" => sheet.stale.as_ref().map_or(Value::None, stale),
        "facts" => array(&sheet.facts, |f| dict! {
            "name" => f.name, "value" => breakable(&f.value),
        }.into_value()),
        "pack" => pack(&sheet.pack, paper),
        "rows" => array(&sheet.rows, row),
        "cautions" => array(&sheet.cautions, caution),
        "remarks" => array(&sheet.remarks, remark),
        "left_out" => words(&sheet.left_out),
        "accepted" => array(&sheet.accepted, accepted),
        "particulars" => words(&sheet.particulars),
        "checked" => words(&sheet.checked),
        "not_checked" => words(&sheet.not_checked),
        "decides" => DECIDES,
        "missing" => typeset::missing(sheet.texts()),
    }
}

fn words(items: &[String]) -> Value {
    array(items, |s| breakable(s).into_value())
}

fn stale(stale: &StaleWords) -> Value {
    dict! {
        "line" => breakable(&stale.line),
        "changed" => array(&stale.changed, |c| words(c)),
    }
    .into_value()
}

fn pack(pack: &Pack, paper: Paper) -> Value {
    let (widest, highest) = room(paper);
    let (width, height) = (pack.width_mm.min(widest), pack.height_mm.min(highest));
    let mut notes = pack.notes.clone();
    if width < pack.width_mm || height < pack.height_mm {
        notes.push(format!(
            "A label of {} is larger than this paper: the frame is as large as the paper holds, \
             the letters are at true size",
            pack.size
        ));
    }
    let type_pt = |mm: f64| mm / CAPITALS * PT_PER_MM;
    // A letter is about as wide as a capital is high.
    let letters = (width - 2.0 * pack.rim_mm) / pack.letter_mm;
    let longest = (1..LONG_WORD).rev().find(|n| f64::from(small(*n)) <= letters).unwrap_or(1);
    let part = |part: &PackPart| {
        dict! {
            "kind" => part.kind.name(),
            "lead" => breakable_beyond(longest, &part.lead),
            "pieces" => array(&part.pieces, |p| breakable_beyond(longest, p).into_value()),
            "lines" => part.lines(),
            "jar" => part.jar().map_or(Value::None, |jar| dict! {
                "width" => jar.width,
                "height" => jar.height,
                "strokes" => array(&jar.strokes, |s| array(s, |p| pair(*p))),
                "words_at" => pair(jar.words_at),
            }.into_value()),
        }
        .into_value()
    };
    dict! {
        "width" => width,
        "height" => height,
        "rim" => pack.rim_mm,
        "letter" => pack.letter_mm,
        "size" => pack.size.as_str(),
        "type" => type_pt(pack.letter_mm),
        "content_type" => type_pt(pack.content_mm),
        "notes" => words(&notes),
        "groups" => array(&pack.groups, |g| array(g, part)),
    }
    .into_value()
}

fn small(n: usize) -> u16 {
    u16::try_from(n).unwrap_or(u16::MAX)
}

fn pair(point: (f64, f64)) -> Value {
    Value::Array([point.0, point.1].into_iter().map(IntoValue::into_value).collect::<Array>())
}

fn row(row: &ListRow) -> Value {
    dict! {
        "edge" => row.edge,
        "place" => row.place.to_string(),
        "name" => breakable(&row.name),
        "percent" => row.percent.as_str(),
        "zone" => row.zone,
        "why" => breakable(&row.why),
        "from" => breakable(&row.from),
    }
    .into_value()
}

fn caution(caution: &Sourced) -> Value {
    dict! {
        "text" => breakable(&caution.text),
        "source" => breakable(&caution.source),
    }
    .into_value()
}

fn remark(remark: &RemarkWords) -> Value {
    dict! {
        "tone" => remark.tone,
        "sign" => remark.sign,
        "text" => breakable(&remark.text),
    }
    .into_value()
}

fn accepted(accepted: &AcceptedWords) -> Value {
    dict! {
        "title" => breakable(&accepted.title),
        "dated" => accepted.dated.as_str(),
        "reason" => breakable(&accepted.reason),
    }
    .into_value()
}

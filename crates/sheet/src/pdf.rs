//! The sheet as PDF.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Array, Bytes, Datetime, Dict, Duration, IntoValue, Smart, Value, dict};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::PdfOptions;

use crate::SheetError;
use crate::bench::{BenchSheet, LineRow, Paper, PhaseRows, StepRow};
use crate::figure::Figure;

static TEMPLATE: &str = include_str!("bench.typ");

/// Cached results of the compiler that no longer help after this many further sheets.
const KEEP_RESULTS_OF: usize = 4;

/// Letters of steps and cautions up to which they stay on one page.
const KEEP_TOGETHER: usize = 2200;

/// Letters of a display name up to which it is never broken over lines.
const SHORT_NAME: usize = 24;

/// Letters in a word from which a line may break inside it.
const LONG_WORD: usize = 28;

struct Fonts {
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

static FONTS: LazyLock<Fonts> = LazyLock::new(|| {
    let files: [&'static [u8]; 3] = [
        include_bytes!("../../../assets/fonts/Inter-Regular.ttf"),
        include_bytes!("../../../assets/fonts/Inter-SemiBold.ttf"),
        include_bytes!("../../../assets/fonts/Inter-Bold.ttf"),
    ];
    let fonts: Vec<Font> = files.into_iter().flat_map(|f| Font::iter(Bytes::new(f))).collect();
    Fonts { book: LazyHash::new(FontBook::from_fonts(&fonts)), fonts }
});

/// What the compiler may see: one template, three fonts, the values. No disk, no clock.
struct Bench {
    library: LazyHash<Library>,
    main: Source,
}

impl World for Bench {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FONTS.book
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() { Ok(self.main.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, _: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.fonts.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}

/// The sheet as a tagged PDF. The same sheet always gives the same bytes.
///
/// # Errors
/// [`SheetError::Layout`] if the compiler refuses, which no content should bring about.
pub fn pdf(sheet: &BenchSheet) -> Result<Vec<u8>, SheetError> {
    let document = document(sheet)?;
    let options = PdfOptions { creator: Smart::Custom(None), ..PdfOptions::default() };
    let bytes = typst_pdf::pdf(&document, &options).map_err(|e| failed(&e));
    typst::comemo::evict(KEEP_RESULTS_OF);
    bytes
}

pub(crate) fn document(sheet: &BenchSheet) -> Result<PagedDocument, SheetError> {
    let inputs = dict! { "sheet" => values(sheet) };
    let world = Bench {
        library: LazyHash::new(Library::builder().with_inputs(inputs).build()),
        main: main_source()?,
    };
    typst::compile::<PagedDocument>(&world).output.map_err(|e| failed(&e))
}

fn main_source() -> Result<Source, SheetError> {
    static MAIN: LazyLock<Option<Source>> = LazyLock::new(|| {
        let path = VirtualPath::new("bench.typ").ok()?;
        let id = FileId::new(RootedPath::new(VirtualRoot::Project, path));
        Some(Source::new(id, TEMPLATE.to_owned()))
    });
    MAIN.clone().ok_or_else(|| SheetError::Layout("the template has no name".to_owned()))
}

fn failed(errors: &[SourceDiagnostic]) -> SheetError {
    let words: Vec<&str> = errors.iter().map(|e| e.message.as_str()).collect();
    SheetError::Layout(words.join("; "))
}

fn array<T>(items: &[T], value: impl Fn(&T) -> Value) -> Value {
    Value::Array(items.iter().map(value).collect::<Array>())
}

fn values(sheet: &BenchSheet) -> Dict {
    let words = |items: &[String]| array(items, |s| breakable(s).into_value());
    dict! {
        "paper" => match sheet.paper { Paper::A4 => "a4", Paper::UsLetter => "us-letter" },
        "title" => breakable(&sheet.title),
        "product" => sheet.product.as_str(),
        "code" => breakable(&sheet.code),
        "dated" => breakable(&sheet.dated),
        "stops" => words(&sheet.stops),
        "warns" => words(&sheet.warns),
        "facts" => array(&sheet.facts, |f| {
            dict! { "label" => f.label, "value" => bound(&f.value) }.into_value()
        }),
        "phases" => array(&sheet.phases, phase),
        "last_line" => sheet.phases.iter().flat_map(|p| &p.lines).map(|l| l.number).max().unwrap_or(0),
        "total" => dict! {
            "percent" => figure(&sheet.total.percent),
            "rounded" => figure(&sheet.total.rounded),
            "words" => sheet.total.words(),
        },
        "steps" => array(&sheet.steps, step),
        "cares" => words(&sheet.cares),
        "keep" => sheet.cares.iter().chain(sheet.steps.iter().map(|s| &s.text)).map(|t| t.len() + 40).sum::<usize>() < KEEP_TOGETHER,
        "made_by" => breakable(&sheet.made_by),
        "missing" => missing(sheet),
    }
}

fn figure(figure: &Figure) -> Value {
    dict! { "text" => figure.text.as_str(), "tail" => figure.tail.as_str() }.into_value()
}

fn phase(phase: &PhaseRows) -> Value {
    dict! {
        "letter" => phase.letter.as_str(),
        "name" => breakable(&phase.name),
        "heat" => phase.heat.as_str(),
        "reading" => phase.reading,
        "percent" => figure(&phase.percent),
        "grams" => figure(&phase.grams),
        "lines" => array(&phase.lines, line),
    }
    .into_value()
}

fn line(line: &LineRow) -> Value {
    dict! {
        "number" => line.number,
        "inci" => breakable(&line.inci),
        "name" => breakable(&line.name),
        "short" => line.name.chars().count() <= SHORT_NAME,
        "marks" => array(&line.marks, |m| m.as_str().into_value()),
        "percent" => figure(&line.percent),
        "target" => figure(&line.target),
        "band" => figure(&line.band),
        "running" => figure(&line.running),
        "under" => array(&line.under, |u| breakable(&u.words()).into_value()),
    }
    .into_value()
}

fn step(step: &StepRow) -> Value {
    dict! {
        "letter" => step.letter.as_str(),
        "text" => breakable(&step.text),
        "detail" => step.detail.as_str(),
        "reading" => step.reading,
        "time" => step.time,
    }
    .into_value()
}

/// The text with places to break in words that no column could hold, and none between a
/// number and its unit.
fn breakable(text: &str) -> String {
    const ZERO_WIDTH_SPACE: char = '\u{200b}';
    const WORD_JOINER: char = '\u{2060}';
    const NO_BREAK_SPACE: char = '\u{a0}';
    const UNITS: [&str; 8] = ["g", "kg", "mg", "%", "\u{b0}C", "\u{b5}m", "\u{3bc}m", "min"];
    let mut out = String::with_capacity(text.len());
    for word in text.split_inclusive(' ') {
        let bare = word.trim_end_matches([' ', ',', ';', '.', ':', ')']);
        let mut before = out.chars().rev();
        if UNITS.contains(&bare)
            && before.next() == Some(' ')
            && before.next().is_some_and(|c| c.is_ascii_digit())
        {
            out.pop();
            out.push(NO_BREAK_SPACE);
        }
        if word.chars().count() <= LONG_WORD {
            for c in word.chars() {
                out.push(c);
                // A range of numbers stays whole.
                if c == '\u{2013}' && word.contains(|c: char| c.is_ascii_digit()) {
                    out.push(WORD_JOINER);
                }
            }
            continue;
        }
        for (index, c) in word.chars().enumerate() {
            if index > 0 && index % 8 == 0 {
                out.push(ZERO_WIDTH_SPACE);
            }
            out.push(c);
        }
    }
    out
}

/// A fact that breaks after a semicolon at most.
fn bound(text: &str) -> String {
    breakable(&text.replace(' ', "\u{a0}").replace(";\u{a0}", "; "))
}

/// Signs that the fonts lack, as printable code points; empty when there are none.
fn missing(sheet: &BenchSheet) -> String {
    const MOST: usize = 12;
    let Some(font) = FONTS.fonts.first() else { return String::new() };
    let lines = || sheet.phases.iter().flat_map(|p| &p.lines);
    let coverage = &font.info().coverage;
    let texts = [&sheet.title, &sheet.code, &sheet.dated, &sheet.made_by]
        .into_iter()
        .chain(&sheet.stops)
        .chain(&sheet.warns)
        .chain(&sheet.cares)
        .chain(sheet.steps.iter().map(|s| &s.text))
        .chain(sheet.phases.iter().map(|p| &p.name))
        .chain(lines().flat_map(|l| [&l.inci, &l.name]));
    let mut lacking: BTreeSet<char> =
        texts.flat_map(|t| t.chars()).filter(|c| !coverage.contains(u32::from(*c))).collect();
    for line in lines() {
        for under in &line.under {
            lacking.extend(under.words().chars().filter(|c| !coverage.contains(u32::from(*c))));
        }
    }
    let mut codes: Vec<String> =
        lacking.iter().take(MOST).map(|c| format!("U+{:04X}", u32::from(*c))).collect();
    if lacking.len() > MOST {
        codes.push(format!("{} more", lacking.len() - MOST));
    }
    codes.join(", ")
}

//! From a template and its values to pages, and from pages to PDF.

use std::collections::BTreeSet;
use std::sync::{LazyLock, OnceLock};

use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Array, Bytes, Datetime, Dict, Duration, Smart, Value, dict};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::PdfOptions;

use crate::SheetError;
use crate::bench::Paper;
use crate::text;

/// Cached results of the compiler that no longer help after this many further sheets.
const KEEP_RESULTS_OF: usize = 4;

/// Letters in a word from which a line may break inside it.
const LONG_WORD: usize = 28;

/// A layout, part of the program; it reads what it prints from `sys.inputs.sheet`.
pub(crate) struct Template {
    name: &'static str,
    text: &'static str,
    source: OnceLock<Option<Source>>,
}

impl Template {
    /// A template with a file name that no other has.
    pub const fn new(name: &'static str, text: &'static str) -> Self {
        Self { name, text, source: OnceLock::new() }
    }

    fn source(&self) -> Result<Source, SheetError> {
        let made = self.source.get_or_init(|| {
            let path = VirtualPath::new(self.name).ok()?;
            let id = FileId::new(RootedPath::new(VirtualRoot::Project, path));
            Some(Source::new(id, self.text.to_owned()))
        });
        made.clone().ok_or_else(|| SheetError::Layout("the template has no name".to_owned()))
    }
}

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
struct Press {
    library: LazyHash<Library>,
    main: Source,
}

impl World for Press {
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

/// Lays a sheet out.
///
/// # Errors
/// [`SheetError::Layout`] if the compiler refuses, which no content should bring about.
pub(crate) fn pages(template: &Template, sheet: Dict) -> Result<PagedDocument, SheetError> {
    let inputs = dict! { "sheet" => sheet };
    let world = Press {
        library: LazyHash::new(Library::builder().with_inputs(inputs).build()),
        main: template.source()?,
    };
    typst::compile::<PagedDocument>(&world).output.map_err(|e| failed(&e))
}

/// Pages as a tagged PDF. The same pages always give the same bytes.
///
/// # Errors
/// [`SheetError::Layout`] if the writer refuses, which no content should bring about.
pub(crate) fn bytes(pages: &PagedDocument) -> Result<Vec<u8>, SheetError> {
    let options = PdfOptions { creator: Smart::Custom(None), ..PdfOptions::default() };
    let bytes = typst_pdf::pdf(pages, &options).map_err(|e| failed(&e));
    typst::comemo::evict(KEEP_RESULTS_OF);
    bytes
}

fn failed(errors: &[SourceDiagnostic]) -> SheetError {
    let words: Vec<&str> = errors.iter().map(|e| e.message.as_str()).collect();
    SheetError::Layout(words.join("; "))
}

/// The paper's name in a template.
pub(crate) fn paper(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "a4",
        Paper::UsLetter => "us-letter",
    }
}

/// A list of values.
pub(crate) fn array<T>(items: &[T], value: impl Fn(&T) -> Value) -> Value {
    Value::Array(items.iter().map(value).collect::<Array>())
}

/// The text with places to break in words that no column could hold, and none between a
/// number and its unit.
pub(crate) fn breakable(text: &str) -> String {
    breakable_beyond(LONG_WORD, text)
}

/// The same, with places to break in words of more letters than `most`, for columns of another
/// width.
pub(crate) fn breakable_beyond(most: usize, text: &str) -> String {
    const STEP: usize = 8;
    const ZERO_WIDTH_SPACE: char = '\u{200b}';
    const WORD_JOINER: char = '\u{2060}';
    let mut out = String::with_capacity(text.len());
    for word in text::bound(text).split_inclusive(' ') {
        if word.chars().count() <= most {
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
            if index > 0 && index % most.clamp(1, STEP) == 0 {
                out.push(ZERO_WIDTH_SPACE);
            }
            out.push(c);
        }
    }
    out
}

/// Signs of the texts that the fonts lack, as printable code points; empty when there are none.
pub(crate) fn missing<'a>(texts: impl IntoIterator<Item = &'a str>) -> String {
    const MOST: usize = 12;
    let Some(font) = FONTS.fonts.first() else { return String::new() };
    let coverage = &font.info().coverage;
    let lacking: BTreeSet<char> = texts
        .into_iter()
        .flat_map(str::chars)
        .filter(|c| !coverage.contains(u32::from(*c)))
        .collect();
    let mut codes: Vec<String> =
        lacking.iter().take(MOST).map(|c| format!("U+{:04X}", u32::from(*c))).collect();
    if lacking.len() > MOST {
        codes.push(format!("{} more", lacking.len() - MOST));
    }
    codes.join(", ")
}

//! The label sheet: a label at true size, and all that it rests on.

mod build;
mod html;
mod jar;
mod pack;
#[cfg(feature = "pdf")]
mod pdf;

use quern_calc::findings::Finding;
use quern_calc::formula::Formula;
use quern_calc::label::Label;
use rust_decimal::Decimal;

use crate::bench::{About, Paper};
use crate::{Format, text};
use pack::Pack;

pub use html::label_html;
#[cfg(all(test, feature = "pdf"))]
pub(crate) use pdf::document;
#[cfg(feature = "pdf")]
pub use pdf::label_pdf;

/// Said on every sheet.
const DECIDES: &str = "Local rules and a qualified assessor decide before sale";

/// A label sheet ready to be laid out: every word and figure is in place.
///
/// Its contents: title, day and workshop; a banner while a Stop stands and one where the label
/// differs from the one last printed; the label at true size with a scale to check the printer
/// by; the ingredient list place by place with its reasons; cautions with their sources; remarks;
/// what is left out; accepted warnings; what was checked, against which edition, and what not.
#[derive(Clone, Debug, PartialEq)]
pub struct LabelSheet {
    title: String,
    /// "face scrub bar, rinse-off · version 4, draft".
    product: String,
    dated: String,
    made_by: String,
    paper: Paper,
    /// Titles of the Stops.
    stops: Vec<String>,
    stale: Option<StaleWords>,
    facts: Vec<Fact>,
    pack: Pack,
    rows: Vec<ListRow>,
    cautions: Vec<Sourced>,
    remarks: Vec<RemarkWords>,
    left_out: Vec<String>,
    accepted: Vec<AcceptedWords>,
    /// What the market asks for on a pack.
    particulars: Vec<String>,
    checked: Vec<String>,
    not_checked: Vec<String>,
}

/// One figure of the label with its name.
#[derive(Clone, Debug, PartialEq)]
struct Fact {
    name: &'static str,
    value: String,
}

/// How the label differs from the one that was printed.
#[derive(Clone, Debug, PartialEq)]
struct StaleWords {
    /// When it was printed, of which version, and which parts differ.
    line: String,
    /// Part, then, now.
    changed: Vec<[String; 3]>,
}

/// One name of the ingredient list.
#[derive(Clone, Debug, PartialEq)]
struct ListRow {
    /// Words of a rule above it, such as the one at 1 %; empty for none.
    edge: &'static str,
    place: usize,
    name: String,
    percent: String,
    zone: &'static str,
    why: String,
    /// Materials that bring it.
    from: String,
}

/// Words with where they come from.
#[derive(Clone, Debug, PartialEq)]
struct Sourced {
    text: String,
    source: String,
}

/// One remark.
#[derive(Clone, Debug, PartialEq)]
struct RemarkWords {
    /// "warn", "note" or "fine": which mark it has.
    tone: &'static str,
    /// The mark in words.
    sign: &'static str,
    text: String,
}

/// One accepted warning.
#[derive(Clone, Debug, PartialEq)]
struct AcceptedWords {
    title: String,
    /// The day, or that none was written down.
    dated: String,
    reason: String,
}

impl LabelSheet {
    /// Prepares the sheet.
    ///
    /// `label` is the label of `formula` in one market, `findings` are those of the formula:
    /// Stops head the sheet, accepted warnings are printed with their reasons. `checked` says
    /// line by line what was checked against which edition. `content_mm` is the height of the
    /// figures of the content in mm, from
    /// [`content_height_mm`](quern_calc::label::content_height_mm); where it is `None`, they are
    /// as high as the other capitals. Only the name is larger, by half.
    ///
    /// A label whose size or letters cannot be drawn (a side outside 5 to 1000 mm, capitals
    /// outside 0.3 to 50 mm) is drawn at the usual size, and the sheet says so.
    #[must_use]
    pub fn new(
        formula: &Formula,
        label: &Label,
        findings: &[Finding],
        checked: &[String],
        content_mm: Option<Decimal>,
        about: &About,
    ) -> Self {
        build::build(formula, label, findings, checked, content_mm, about)
    }

    /// The title: "Label: Dune, European Union".
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// A name for the file: the title without signs that file systems refuse. The sheet is made
    /// as PDF and HTML alone.
    #[must_use]
    pub fn file_name(&self, format: Format) -> String {
        text::file_name(&self.title.replace(": ", " "), format.extension())
    }

    /// True when a Stop stands.
    #[must_use]
    pub fn has_stop(&self) -> bool {
        !self.stops.is_empty()
    }

    /// Every text of a user, for a look at their signs.
    #[cfg(feature = "pdf")]
    fn texts(&self) -> impl Iterator<Item = &str> {
        let lists =
            [&self.stops, &self.left_out, &self.particulars, &self.checked, &self.not_checked];
        [self.title.as_str(), &self.dated, &self.made_by]
            .into_iter()
            .chain(lists.into_iter().flatten().map(String::as_str))
            .chain(self.facts.iter().map(|f| f.value.as_str()))
            .chain(self.stale.iter().flat_map(|s| s.changed.iter().flatten().map(String::as_str)))
            .chain(self.pack.texts())
            .chain(self.rows.iter().flat_map(|r| [r.name.as_str(), &r.why, &r.from]))
            .chain(self.cautions.iter().flat_map(|c| [c.text.as_str(), &c.source]))
            .chain(self.remarks.iter().map(|r| r.text.as_str()))
            .chain(self.accepted.iter().flat_map(|a| [a.title.as_str(), &a.reason]))
    }
}

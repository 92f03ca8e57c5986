//! The setting sheet: does it melt, pour, set and survive; one formula, or two side by side.

mod build;
mod cool;
#[cfg(feature = "pdf")]
mod fit;
mod html;
mod marks;
mod melt;
#[cfg(feature = "pdf")]
mod pdf;
mod picture;
mod strip;
mod svg;
mod tables;

use quern_calc::evaluate::{Evaluation, Remark, SettingFigures, SlabFigures};
use quern_calc::formula::Formula;
use quern_calc::setting::notes::SettingNotes;

use crate::bench::{About, Paper};
use crate::{Format, text};
use cool::CoolChart;
use melt::MeltChart;
use strip::StripChart;

pub use html::setting_html;
#[cfg(all(test, feature = "pdf"))]
pub(crate) use pdf::document;
#[cfg(feature = "pdf")]
pub use pdf::setting_pdf;

/// Formulas on one sheet at most.
pub const SETTINGS_MOST: usize = 2;

/// One formula with all that is printed of it.
#[derive(Clone, Copy, Debug)]
pub struct SettingSide<'a> {
    /// The formula.
    pub formula: &'a Formula,
    /// Its figures.
    pub evaluation: &'a Evaluation,
    /// Its figures of setting, from
    /// [`setting_figures`](quern_calc::evaluate::setting_figures).
    pub figures: &'a SettingFigures,
    /// Middle and face of a piece as it cools, where they were worked out.
    pub slab: Option<&'a SlabFigures>,
    /// What there is to say, from [`remarks`](quern_calc::evaluate::remarks), in the style of
    /// the sheet.
    pub remarks: &'a [Remark],
}

/// A setting sheet ready to be laid out: every word and figure is in place.
///
/// Its contents: title, day, batch; the melt curve with its layers and marks; the read-outs by
/// part; the pour strip; the cooling curve; remarks with choices; measurements before and after;
/// what is assumed.
#[derive(Clone, Debug, PartialEq)]
pub struct SettingSheet {
    title: String,
    dated: String,
    made_by: String,
    paper: Paper,
    sides: Vec<Side>,
    melt: Option<MeltChart>,
    strip: Option<StripChart>,
    cool: Option<CoolChart>,
    /// Why a picture lacks a formula, by picture.
    no_melt: Vec<String>,
    no_strip: Vec<String>,
    no_cool: Vec<String>,
    parts: Vec<PartTable>,
    /// What stands behind the figures.
    assumed: Vec<String>,
}

/// One formula in words.
#[derive(Clone, Debug, PartialEq)]
struct Side {
    name: String,
    /// "face scrub bar, rinse-off · version 4, draft".
    product: String,
    /// "batch DU-2611-02 · 1732 g"; empty without one.
    batch: String,
    remarks: Vec<RemarkWords>,
    checks: Vec<CheckRow>,
    /// Their day, where it is one for all.
    measured_on: String,
    /// What the measurements do to the figures.
    corrected: String,
}

/// One remark.
#[derive(Clone, Debug, PartialEq)]
struct RemarkWords {
    /// "warn", "note" or "fine".
    tone: &'static str,
    text: String,
    choices: Vec<String>,
}

/// One measurement against the model.
#[derive(Clone, Debug, PartialEq)]
struct CheckRow {
    what: String,
    measured: String,
    before: String,
    after: String,
}

/// The figures of one part.
#[derive(Clone, Debug, PartialEq)]
struct PartTable {
    name: &'static str,
    /// True where every row is an estimate.
    estimates: bool,
    rows: Vec<Row>,
    /// Why figures are missing.
    gaps: Vec<String>,
}

/// One figure of every formula.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    name: String,
    unit: &'static str,
    /// True for an estimate among figures that are none.
    estimate: bool,
    cells: Vec<Cell>,
}

/// A figure with its band.
#[derive(Clone, Debug, PartialEq)]
struct Cell {
    value: String,
    /// "58 to 66", or empty.
    band: String,
    /// True for words, which take the room of the band too.
    words: bool,
}

impl SettingSheet {
    /// Prepares the sheet.
    ///
    /// `sides` are one or two formulas; those beyond the second are left out. `notes` are those
    /// that the figures were made with: room and parcel are marked in the chart. What cannot be
    /// had prints why in its place.
    #[must_use]
    pub fn new(sides: &[SettingSide<'_>], notes: &SettingNotes, about: &About) -> Self {
        let sides = sides.get(..SETTINGS_MOST).unwrap_or(sides);
        build::build(sides, notes, about)
    }

    /// The title: "Setting: Dune, Shingle".
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

    /// Every text of a user, for a look at their signs.
    #[cfg(feature = "pdf")]
    fn texts(&self) -> impl Iterator<Item = &str> {
        let names = self.melt.iter().flat_map(MeltChart::names);
        [self.title.as_str(), &self.dated, &self.made_by]
            .into_iter()
            .chain(names)
            .chain(self.parts.iter().flat_map(|p| p.gaps.iter().map(String::as_str)))
            .chain(self.sides.iter().flat_map(|s| {
                let remarks = s.remarks.iter().flat_map(|r| r.choices.iter().chain([&r.text]));
                remarks.chain([&s.batch]).map(String::as_str)
            }))
    }
}

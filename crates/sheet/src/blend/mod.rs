//! The blend sheet: one to four exfoliant blends on one page, to share.

mod build;
mod chart;
mod html;
#[cfg(feature = "pdf")]
mod pdf;
mod scale;
mod svg;

use quern_calc::evaluate::{BlendRow, BlendSide};
use quern_calc::grit::spread::Spread;
use quern_calc::rules::Rules;

use crate::bench::{About, Paper};
use crate::{Format, text};
use chart::Chart;
use scale::Scale;

pub use html::blend_html;
#[cfg(feature = "pdf")]
pub use pdf::blend_pdf;
#[cfg(all(test, feature = "pdf"))]
pub(crate) use pdf::document;

/// Blends on one sheet at most.
pub const BLENDS_MOST: usize = 4;

/// Colours of the blends on white paper, in their order.
const COLOURS: [&str; BLENDS_MOST] = ["#1c6b66", "#a3262a", "#2c5a86", "#8a5200"];

/// Shapes that tell the blends apart without colour, in their order.
const SHAPES: [&str; BLENDS_MOST] = ["circle", "square", "triangle", "diamond"];

/// A comparison of exfoliant blends ready to be laid out: every word and figure is in place.
///
/// Its contents: title, day and workshop; grains by size; the index with its bands and spread;
/// the rows of figures; for each blend its exfoliants and what the guides say of each place;
/// what was looked at and what was not.
#[derive(Clone, Debug, PartialEq)]
pub struct BlendSheet {
    title: String,
    dated: String,
    made_by: String,
    paper: Paper,
    sides: Vec<Side>,
    /// None where no blend has grains to draw.
    chart: Option<Chart>,
    scale: Option<Scale>,
    rows: Vec<Row>,
    /// True where the rows have a difference.
    differs: bool,
    /// Why figures are missing.
    gaps: Vec<String>,
    /// What was looked at, and what not.
    scope: Vec<String>,
}

/// One blend in words.
#[derive(Clone, Debug, PartialEq)]
struct Side {
    name: String,
    /// "face scrub bar, rinse-off · version 4, draft".
    product: String,
    /// Why there are no figures.
    absent: Option<String>,
    exfoliants: Vec<Exfoliant>,
    /// What else is to be known of the blend.
    remarks: Vec<String>,
    places: Vec<PlaceWords>,
}

/// One exfoliant of a blend.
#[derive(Clone, Debug, PartialEq)]
struct Exfoliant {
    /// Its number in the chart, where it is drawn.
    number: Option<usize>,
    name: String,
    /// % of the product.
    load: String,
    /// D10, D50 and D90 with their unit.
    sizes: String,
    /// "lot 12", "assumed", "dissolves"; empty for none.
    marks: String,
}

/// What the guides say of one place.
#[derive(Clone, Debug, PartialEq)]
struct PlaceWords {
    place: String,
    verdict: String,
    /// Reasons whose guide is passed.
    passed: Vec<String>,
    /// What else was looked at.
    others: Vec<String>,
}

/// One figure of every blend.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    name: String,
    estimate: bool,
    values: Vec<String>,
    difference: String,
}

impl BlendSheet {
    /// Prepares the sheet.
    ///
    /// `sides` are the blends, one to four; those beyond the fourth are left out. `rows` come
    /// from [`blend_rows`](quern_calc::evaluate::blend_rows) for the same sides, `cut_um` is the
    /// size in µm that they were made with, and `rules` are the guides that the places are held
    /// against. `spreads` holds one entry per side, `None` where it was not worked out; a short
    /// list counts as `None`. A blend that cannot be had prints why in place of its figures.
    #[must_use]
    pub fn new(
        sides: &[BlendSide<'_>],
        rows: &[BlendRow],
        spreads: &[Option<Spread>],
        cut_um: f64,
        rules: &Rules,
        about: &About,
    ) -> Self {
        let sides = sides.get(..BLENDS_MOST).unwrap_or(sides);
        build::build(sides, rows, spreads, cut_um, rules, about)
    }

    /// The title: "Exfoliant blends: Dune, Shingle".
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
        [self.title.as_str(), &self.dated, &self.made_by]
            .into_iter()
            .chain(self.gaps.iter().map(String::as_str))
            .chain(self.sides.iter().flat_map(|s| {
                let places = s.places.iter().flat_map(|p| p.passed.iter().chain(&p.others));
                let exfoliants = s.exfoliants.iter().flat_map(|e| [&e.name, &e.marks]);
                exfoliants.chain(&s.absent).chain(&s.remarks).chain(places).map(String::as_str)
            }))
    }
}

//! The bench sheet: what one person weighs, heats, reads and signs to make one batch.

mod build;
mod table;

use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::Evaluation;
use quern_calc::formula::{Formula, Library};
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Date;

use crate::figure::Figure;
use crate::{Format, text};

/// Paper that a sheet is printed on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Paper {
    /// 210 x 297 mm.
    #[default]
    A4,
    /// 8.5 x 11 in.
    UsLetter,
}

impl Paper {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::A4, Self::UsLetter];

    /// The name on screen.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::UsLetter => "US Letter",
        }
    }
}

/// What a document says of its making beside the formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct About {
    /// Name of the workshop; may be empty.
    pub workshop: String,
    /// The day printed on it.
    pub date: Date,
    /// Currency of the project, for documents that show cost. A bench sheet shows none.
    pub currency: String,
    /// How numbers are written.
    pub style: NumberStyle,
    /// Paper to print on.
    pub paper: Paper,
    /// Edition of the rules that the findings rest on.
    pub rules_edition: String,
    /// Edition of the materials library.
    pub library_edition: String,
    /// Program and version, such as "Quern 0.1.0".
    pub program: String,
}

/// A bench sheet ready to be laid out: every word and figure is in place.
///
/// Its contents: title, product, version and state, batch code, date and workshop; a banner
/// while a Stop finding stands; batch size with loss and the three totals; phases and lines
/// with targets, bands, running totals and blanks; steps; cautions; findings to settle; and
/// what program, rules and library it came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BenchSheet {
    pub(crate) title: String,
    pub(crate) product: String,
    pub(crate) code: String,
    pub(crate) dated: String,
    pub(crate) stops: Vec<String>,
    pub(crate) warns: Vec<String>,
    pub(crate) facts: Vec<Fact>,
    pub(crate) phases: Vec<PhaseRows>,
    pub(crate) total: TotalRow,
    pub(crate) steps: Vec<StepRow>,
    pub(crate) cares: Vec<String>,
    pub(crate) made_by: String,
    pub(crate) paper: Paper,
}

/// One figure of the batch with its label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Fact {
    pub label: &'static str,
    pub value: String,
    pub bare: Bare,
}

/// The number behind a fact, for other programs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Bare {
    /// There is none beside the words.
    Words,
    Grams(String),
    Percent(String),
}

/// A phase heading and its lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PhaseRows {
    pub letter: String,
    pub name: String,
    /// "to 74 °C", "below 50 °C", or empty.
    pub heat: String,
    /// True when a temperature is to be read and written down.
    pub reading: bool,
    pub percent: Figure,
    pub grams: Figure,
    pub lines: Vec<LineRow>,
}

/// One line to weigh.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct LineRow {
    pub number: usize,
    pub inci: String,
    /// Display name, where it tells something that the INCI name does not.
    pub name: String,
    /// Remarks on weighing: "fills to 100", "0.01 g scale".
    pub marks: Vec<String>,
    pub percent: Figure,
    pub target: Figure,
    /// Readability of its scale, plain; empty without one.
    pub scale: String,
    pub band: Figure,
    pub running: Figure,
    pub under: Vec<Under>,
}

/// What is printed under a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Under {
    /// May stand in for it.
    Or { inci: String, ratio: String, target: Figure, note: String },
    /// The line's own note.
    Note(String),
}

impl Under {
    /// In one line: "or Cetyl Alcohol, 142.9 g (1.1 g for each 1 g); softer".
    pub fn words(&self) -> String {
        match self {
            Self::Note(note) => note.clone(),
            Self::Or { inci, ratio, target, note } => {
                let mut words = format!("or {inci}");
                if !target.is_none() {
                    words.push_str(&format!(", {} g", target.text));
                }
                if !ratio.is_empty() {
                    words.push_str(&format!(" ({ratio} g for each 1 g)"));
                }
                if !note.is_empty() {
                    words.push_str(&format!("; {note}"));
                }
                words
            }
        }
    }
}

/// The closing row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TotalRow {
    pub percent: Figure,
    /// Sum of the rounded lines.
    pub rounded: Figure,
    /// Sum of the unrounded lines.
    pub exact: Figure,
    pub difference: Figure,
}

impl TotalRow {
    /// "exact 1731.96 g, difference +0.10 g"; empty without a batch.
    pub fn words(&self) -> String {
        if self.exact.is_none() {
            return String::new();
        }
        format!("exact {} g, difference {} g", self.exact.text, self.difference.text)
    }
}

/// One step of the method.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct StepRow {
    pub number: usize,
    pub letter: String,
    pub text: String,
    /// "70 °C, 20 min", or empty.
    pub detail: String,
    /// A temperature is to be read.
    pub reading: bool,
    /// A time is to be written.
    pub time: bool,
}

impl BenchSheet {
    /// Prepares the sheet. Works for a half-finished formula too: what cannot be had prints
    /// as a dash, and the banner says why.
    #[must_use]
    pub fn new(
        formula: &Formula,
        evaluation: &Evaluation,
        library: &Library,
        plan: &BatchPlan,
        about: &About,
    ) -> Self {
        build::build(formula, evaluation, library, plan, about)
    }

    /// The title, which is the formula's name.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// True when it carries a "Do not make" banner.
    #[must_use]
    pub fn has_stop(&self) -> bool {
        !self.stops.is_empty()
    }

    /// A name for the file: title and batch code without signs that file systems refuse.
    #[must_use]
    pub fn file_name(&self, format: Format) -> String {
        let title = format!("{} {} bench sheet", self.title, self.code);
        text::file_name(&title, format.extension())
    }
}

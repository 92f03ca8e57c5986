//! The arguments of each command, with their help.

mod grit;
mod label;
mod setting;

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use quern_calc::number::{DecimalSign, NumberStyle};
use quern_sheet::Paper;

pub(super) use grit::Grit;
pub(super) use label::Label;
pub(super) use setting::Setting;

/// Formulation studio for the small cosmetic bench
///
/// Without a command the window opens. The commands need no display.
#[derive(Debug, Parser)]
#[command(name = "quern", bin_name = "quern", version, args_conflicts_with_subcommands = true)]
#[command(
    after_help = "Exit codes: 0 done, 1 a Stop stands (check and label), 2 the input cannot be used"
)]
pub(super) struct Cli {
    #[command(subcommand)]
    pub command: Option<Command>,

    /// Project to open in the window
    #[arg(value_name = "FILE.ron")]
    pub file: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Show every figure and finding of a project
    Report(Ask),
    /// List the findings; exit code 1 when a Stop stands
    Check(Ask),
    /// Put two to four formulas side by side
    Compare(Compare),
    /// Tell how rough a blend is, or find one for a wanted grit index
    Grit(Box<Grit>),
    /// Tell whether it melts, pours, sets and keeps
    Setting(Box<Setting>),
    /// Show what the pack says; exit code 1 when a Stop stands
    Label(Box<Label>),
    /// Write the bench sheet of a batch
    Sheet(Sheet),
    /// Write the demo project into a folder
    Demo(Demo),
}

/// What is asked of a project.
#[derive(Debug, Args)]
pub(super) struct Ask {
    /// Project file, or - for standard input
    #[arg(value_name = "FILE.ron")]
    pub file: PathBuf,

    /// Only this formula, by name or id [default: all of them]
    #[arg(long, value_name = "NAME")]
    pub formula: Option<String>,

    /// Write JSON, as docs/report.schema.json describes it
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub(super) struct Compare {
    /// Project file, or - for standard input
    #[arg(value_name = "FILE.ron")]
    pub file: PathBuf,

    /// Two to four formulas, by name or id
    #[arg(value_name = "NAME", required = true, num_args = 2..=4)]
    pub names: Vec<String>,

    /// Write JSON, as docs/report.schema.json describes it
    #[arg(long)]
    pub json: bool,

    /// Write to this file, which ends in .txt, .md or .json; - is standard output
    #[arg(short, long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

#[derive(Debug, Args)]
#[command(after_help = "\
Amounts take g, kg, mg, oz and lb, and are grams without a unit. Without --batch and --pieces
the sheet is for the batch that is planned in the project.

Example: quern sheet bars.ron --formula \"Sea bar\" --pieces 24 --piece 75g -o bench.pdf")]
pub(super) struct Sheet {
    /// Project file, or - for standard input
    #[arg(value_name = "FILE.ron")]
    pub file: PathBuf,

    /// The formula, by name or id
    #[arg(long, value_name = "NAME")]
    pub formula: String,

    /// Gross batch: what goes into the pot, such as 1.8kg
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    #[arg(conflicts_with_all = ["pieces", "piece"])]
    pub batch: Option<String>,

    /// How many pieces are to come out
    #[arg(long, value_name = "COUNT", allow_hyphen_values = true, requires = "piece")]
    pub pieces: Option<String>,

    /// Weight of one piece, such as 75g
    #[arg(long, value_name = "MASS", allow_hyphen_values = true, requires = "pieces")]
    pub piece: Option<String>,

    /// Share of the batch that stays in pot and tools, such as 3%
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    pub loss: Option<String>,

    /// A scale as readability and capacity, such as 0.1g:3kg; repeat it for several
    #[arg(long = "scale", value_name = "STEP:MOST", allow_hyphen_values = true)]
    pub scales: Vec<String>,

    /// Paper of a PDF
    #[arg(long, value_enum, default_value_t)]
    pub paper: PaperName,

    /// Decimal sign of the sheet, and of the amounts given here
    #[arg(long, value_enum, default_value_t)]
    pub decimal: SignName,

    /// Format, where the name of the file does not tell it: pdf, html, csv or md
    #[arg(long, value_name = "FORMAT")]
    pub format: Option<String>,

    /// Write to this file, which ends in .pdf, .html, .csv or .md; - is standard output
    #[arg(short, long, value_name = "FILE")]
    pub out: PathBuf,
}

#[derive(Debug, Args)]
pub(super) struct Demo {
    /// Folder to write into; it is made if it is not there
    #[arg(value_name = "DIR")]
    pub folder: PathBuf,

    /// Write every sample: the demo and the skeletons
    #[arg(long)]
    pub all: bool,
}

#[derive(Clone, Copy, Debug, Default, ValueEnum)]
pub(super) enum PaperName {
    #[default]
    A4,
    Letter,
}

impl PaperName {
    pub fn paper(self) -> Paper {
        match self {
            Self::A4 => Paper::A4,
            Self::Letter => Paper::UsLetter,
        }
    }
}

#[derive(Clone, Copy, Debug, Default, ValueEnum)]
pub(super) enum SignName {
    #[default]
    Point,
    Comma,
}

impl SignName {
    pub fn style(self) -> NumberStyle {
        let sign = match self {
            Self::Point => DecimalSign::Point,
            Self::Comma => DecimalSign::Comma,
        };
        NumberStyle::with_sign(sign)
    }
}

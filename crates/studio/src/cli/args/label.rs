//! The arguments of `quern label`.

use std::path::PathBuf;

use clap::Args;

use super::{PaperName, SignName};

#[derive(Debug, Args)]
#[command(after_help = "\
The label is made from what the project says of the pack; what is missing is named. Nothing here
says that a product may be sold: it lists what was checked, against which edition, and what was not.
Exit code 1 when a Stop stands.

Examples:
  quern label bars.ron --formula Dune
  quern label bars.ron --formula Dune --market us --json
  quern label bars.ron --formula Dune --out dune-label.pdf")]
pub(in crate::cli) struct Label {
    /// Project file, or - for standard input
    #[arg(value_name = "FILE.ron")]
    pub file: PathBuf,

    /// The formula, by name or id
    #[arg(long, value_name = "NAME")]
    pub formula: String,

    /// Market, such as eu or us [default: the first that the formula is meant for]
    #[arg(long, value_name = "CODE")]
    pub market: Option<String>,

    /// Print the ingredient list alone
    #[arg(long, conflicts_with = "json")]
    pub list: bool,

    /// Paper of a PDF
    #[arg(long, value_enum, default_value_t)]
    pub paper: PaperName,

    /// Decimal sign of the text
    #[arg(long, value_enum, default_value_t)]
    pub decimal: SignName,

    /// Write JSON, as docs/label.schema.json describes it
    #[arg(long)]
    pub json: bool,

    /// Write to this file, which ends in .pdf, .html, .txt or .json; - is standard output
    #[arg(short, long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

//! The arguments of `quern setting`.

use std::path::PathBuf;

use clap::Args;

use super::SignName;

#[derive(Debug, Args)]
#[command(after_help = "\
All figures are estimates of models; the end of the text says how they err. Temperatures are in
degrees Celsius. A mould is one of the project or a generic one, by name or the beginning of it, or
inner sizes in mm, then of silicone: 80x55x30mm, oval:85x60x28mm (length, width, depth),
disc:70x25mm (diameter, depth), dome:60mm.

Examples:
  quern setting bars.ron --formula Dune
  quern setting bars.ron --formula Dune --pour 62C --mould disc:70x25mm --cavity 92mL --stand rack
  quern setting bars.ron --formula Dune --beside Shingle --curve")]
pub(in crate::cli) struct Setting {
    /// Project file, or - for standard input
    #[arg(value_name = "FILE.ron")]
    pub file: PathBuf,

    /// The formula, by name or id
    #[arg(long, value_name = "NAME")]
    pub formula: String,

    /// Temperature of pouring, such as 65C [default: as warm as its cool-down materials allow, else
    /// as it is heated]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    pub pour: Option<String>,

    /// The mould, by name or as sizes such as 80x55x30mm [default: that of the project]
    #[arg(long, value_name = "MOULD", allow_hyphen_values = true)]
    pub mould: Option<String>,

    /// What a cavity really holds, as volume or as grams of water, such as 118mL or 118g
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    pub cavity: Option<String>,

    /// Where the mould stands: bench, rack or fridge [default: bench]
    #[arg(long, value_name = "WHERE")]
    pub stand: Option<String>,

    /// Temperature of the air, such as 18C [default: that of the project's room, or fridge]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    pub air: Option<String>,

    /// Another formula to put beside it, poured and cooled alike
    #[arg(long, value_name = "NAME")]
    pub beside: Option<String>,

    /// Add the melt curve as a table; JSON always holds it
    #[arg(long)]
    pub curve: bool,

    /// Decimal sign of the text, and of the numbers given here
    #[arg(long, value_enum, default_value_t)]
    pub decimal: SignName,

    /// Write JSON, as docs/setting.schema.json describes it
    #[arg(long)]
    pub json: bool,

    /// Write to this file, which ends in .txt or .json; - is standard output
    #[arg(short, long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

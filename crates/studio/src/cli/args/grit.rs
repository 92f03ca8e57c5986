//! The arguments of `quern grit`.

use std::path::PathBuf;

use clap::Args;

/// Headings of the help.
const LOOK: &str = "Looking at a blend";
const SOLVE: &str = "Finding a blend";
const MIX: &str = "Every mix of two or three";
const SWAP: &str = "One exfoliant for another";

#[derive(Debug, Args)]
#[command(after_help = "\
The index is relative, from a wear model: 50 is a medium fruit-stone grade at 5 %. Materials are
named by name or id, and those of the built-in library need not be in the project. Percentages are
% w/w of the product.

Examples:
  quern grit bars.ron --formula Dune
  quern grit bars.ron --formula Dune --beside Shingle --cut 400um
  quern grit bars.ron --formula Dune --beside Shingle --out blends.pdf
  quern grit bars.ron --formula Dune --solve 20 --most 4% --without nut --apply new.ron
  quern grit bars.ron --formula Dune --pair \"Pumice grit, coarse\" \"Jojoba beads, fine\" --solve 30
  quern grit bars.ron --formula Dune --swap \"Jojoba beads, fine\" --for \"Cellulose beads\"")]
pub(in crate::cli) struct Grit {
    /// Project file, or - for standard input
    #[arg(value_name = "FILE.ron")]
    pub file: PathBuf,

    /// The formula, by name or id
    #[arg(long, value_name = "NAME")]
    pub formula: String,

    /// Write JSON, as docs/grit.schema.json describes it
    #[arg(long)]
    pub json: bool,

    /// Another formula to put beside it; repeat it for up to three
    #[arg(long, value_name = "NAME", help_heading = LOOK)]
    pub beside: Vec<String>,

    /// Put the blend, and those beside it, on one page; the file ends in .pdf or .html
    #[arg(short, long, value_name = "FILE", conflicts_with = "json", help_heading = LOOK)]
    pub out: Option<PathBuf>,

    /// Size above which the share of grains is told too, such as 400um
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true, help_heading = LOOK)]
    pub cut: Option<String>,

    /// Look at it as if it were for face, body, hands, feet, lips or hair
    #[arg(long, value_name = "PLACE", help_heading = LOOK)]
    pub place: Option<String>,

    /// Product in one use, such as 5g [default: that of the project for the place]
    #[arg(long = "use", value_name = "MASS", allow_hyphen_values = true, help_heading = LOOK)]
    pub per_use: Option<String>,

    /// Find the blend with this grit index; beside --pair the share that has it
    #[arg(long, value_name = "INDEX", allow_hyphen_values = true, help_heading = SOLVE)]
    pub solve: Option<String>,

    /// All exfoliants together at most; the total of --pair and --map [default: the usual most of
    /// the place, 3% for face and lips, 10% for feet, 6% elsewhere]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true, help_heading = SOLVE)]
    pub most: Option<String>,

    /// All exfoliants together at least [default: 0%]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true, help_heading = SOLVE)]
    pub least: Option<String>,

    /// No exfoliant with grains above this size, such as 500um
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true, help_heading = SOLVE)]
    pub nothing_above: Option<String>,

    /// Share of an exfoliant that may still lie above that size [default: 1%]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true, help_heading = SOLVE)]
    pub tolerance: Option<String>,

    /// Kinds of exfoliant at least, locked ones included [default: 2]
    #[arg(long, value_name = "COUNT", allow_hyphen_values = true, help_heading = SOLVE)]
    pub kinds: Option<String>,

    /// Kinds of exfoliant at most, locked ones included [default: 3]
    #[arg(long, value_name = "COUNT", allow_hyphen_values = true, help_heading = SOLVE)]
    pub kinds_most: Option<String>,

    /// Leave out a material, or all with a caution such as nut, nut-soft or cereal; repeat it
    #[arg(long, value_name = "WHAT", help_heading = SOLVE)]
    pub without: Vec<String>,

    /// A material to choose from; repeat it for up to 40 [default: every exfoliant of the project]
    #[arg(long, value_name = "NAME", help_heading = SOLVE)]
    pub from: Vec<String>,

    /// What is better: cheapest, least (exfoliant in all) or nearest (to the present blend)
    /// [default: nearest]
    #[arg(long, value_name = "WHAT", help_heading = SOLVE)]
    pub prefer: Option<String>,

    /// Take the index over the time of rubbing, while soluble grains dissolve
    #[arg(long, help_heading = SOLVE)]
    pub in_use: bool,

    /// Write a copy of the project with the best blend in the formula
    #[arg(long, value_name = "NEW.ron", help_heading = SOLVE)]
    pub apply: Option<PathBuf>,

    /// Two exfoliants: index and cost of their mixes at one total
    #[arg(long, value_names = ["A", "B"], num_args = 2, help_heading = MIX)]
    pub pair: Vec<String>,

    /// Three exfoliants: index and cost of their mixes at one total
    #[arg(long, value_names = ["A", "B", "C"], num_args = 3, help_heading = MIX)]
    pub map: Vec<String>,

    /// Exfoliant of the formula that is to go
    #[arg(long, value_name = "OLD", help_heading = SWAP)]
    pub swap: Option<String>,

    /// Exfoliant that is to take its line
    #[arg(long = "for", value_name = "NEW", help_heading = SWAP)]
    pub with: Option<String>,
}

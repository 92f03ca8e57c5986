//! What a maker decides about a formula's use and its label.

use rust_decimal::Decimal;

use crate::quantity::{Date, Percent};

/// A warning that was accepted, with the reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accepted {
    /// Key of the finding, from [`crate::findings::Finding::key`].
    pub key: String,
    /// What it said then. When it says something else, the warning stands again.
    pub said: String,
    /// Why it was accepted.
    pub reason: String,
    /// When.
    pub date: Option<Date>,
}

/// Exposure to one component, as asked by the maker.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExposureAsk {
    /// INCI name of the component.
    pub component: String,
    /// Point of departure in mg per kg of body weight a day, above zero.
    pub departure: Decimal,
    /// The point of departure is an oral one without absorption data: half of it counts.
    pub oral: bool,
    /// Absorbed through the skin, % from 0 to 100.
    pub absorbed: Percent,
    /// Where the point of departure comes from, in the maker's words.
    pub source: String,
    /// Line of the exposure table; `None` for the one that suits the product.
    pub line: Option<String>,
}

/// What a maker decides about use and checks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SafetyNotes {
    /// Codes of the markets it is meant for; empty stands for all that are known.
    pub markets: Vec<String>,
    /// Day on which the packs in question are placed on the market, for rules that change; `None`
    /// stands for today. Law speaks of each pack, not of the first launch.
    pub placed: Option<Date>,
    /// Category of the fragrance standard, as on certificates; empty when not stated.
    pub category: String,
    /// Gets wet in use; `None` stands for what is usual of the kind of product.
    pub wet_use: Option<bool>,
    /// Why it does without a preservative, if it does; empty when nothing was written.
    pub unpreserved: String,
    /// Accepted warnings.
    pub accepted: Vec<Accepted>,
    /// Exposures that are worked out.
    pub exposures: Vec<ExposureAsk>,
}

/// What a pack holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Net {
    /// Grams, above zero.
    Grams(Decimal),
    /// Millilitres, above zero.
    Millilitres(Decimal),
}

/// A label as it was last printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Printed {
    /// Code of the market.
    pub market: String,
    /// The day.
    pub date: Date,
    /// Number of the version.
    pub version: u32,
    /// What it said, one part a line.
    pub lines: Vec<String>,
}

/// What a maker decides about the label.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LabelNotes {
    /// Name on the pack; empty for the formula's.
    pub name: String,
    /// What it is for; empty for what follows from the product.
    pub function: String,
    /// What a pack holds.
    pub net: Option<Net>,
    /// Keeps unopened, in months from 1.
    pub keeps_months: Option<u32>,
    /// Keeps after opening, in months from 1.
    pub opened_months: Option<u32>,
    /// Day it was or will be made; `None` for today.
    pub made: Option<Date>,
    /// Pattern of the batch code; empty for the usual.
    pub code_pattern: String,
    /// Running number in the batch code.
    pub code_number: Option<u32>,
    /// Name and address of who answers for it; empty leaves a place to write on.
    pub responsible: String,
    /// Country of origin, where it is imported.
    pub origin: String,
    /// How to use it; empty for what follows from the product.
    pub directions: String,
    /// Own cautions beside those that follow from rules.
    pub cautions: Vec<String>,
    /// Width and height of the label in mm, each above zero.
    pub size_mm: Option<(Decimal, Decimal)>,
    /// Height of its capitals in mm, above zero.
    pub letter_mm: Option<Decimal>,
    /// INCI names that are nanomaterials.
    pub nano: Vec<String>,
    /// The label as last printed, one a market.
    pub printed: Vec<Printed>,
}

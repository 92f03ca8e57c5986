//! State and actions of the Findings and Label views.

mod apply;
mod label;
pub mod share;

pub use label::LabelCache;

use std::collections::BTreeSet;

use quern_calc::findings::{Fix, RuleKind, Severity};
use quern_calc::formula::{
    Allergen, Certificate, Figure, LabelNotes, MaterialId, Part, Product, SafetyNotes,
};

/// Parts of the Findings view.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[allow(missing_docs)] // each has its words below
pub enum FindingsTab {
    #[default]
    Findings,
    Limits,
    Allergens,
    Preservation,
    Exposure,
    Chemistry,
}

impl FindingsTab {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Findings,
        Self::Limits,
        Self::Allergens,
        Self::Preservation,
        Self::Exposure,
        Self::Chemistry,
    ];

    /// Name on screen.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Findings => say!("Findings"),
            Self::Limits => say!("Limits"),
            Self::Allergens => say!("Allergens"),
            Self::Preservation => say!("Preservation"),
            Self::Exposure => say!("Exposure"),
            Self::Chemistry => say!("Chemistry and origin"),
        }
    }

    /// What it shows.
    #[must_use]
    pub fn about(self) -> &'static str {
        match self {
            Self::Findings => say!("Every rule that found something, with what would fix it"),
            Self::Limits => {
                say!("Every limit that was checked, market by market, with its arithmetic")
            }
            Self::Allergens => say!("Fragrance allergens summed over all sources"),
            Self::Preservation => say!("What keeps the product, and at which pH"),
            Self::Exposure => say!("How much of a component reaches the body in a day"),
            Self::Chemistry => say!("HLB, surfactants, water activity and natural origin"),
        }
    }
}

/// What the Findings view remembers.
#[derive(Clone, Debug, Default)]
pub struct FindingsState {
    /// Part shown.
    pub tab: FindingsTab,
    /// Severities that are not shown.
    pub hidden: BTreeSet<Severity>,
    /// Accepted warnings are not shown.
    pub hide_accepted: bool,
    /// Only rules of this kind.
    pub kind: Option<RuleKind>,
    /// Findings and limits whose arithmetic is open, by key.
    pub open: BTreeSet<String>,
    /// The curve of preservation as a table.
    pub as_table: bool,
}

/// What the Label view remembers.
#[derive(Clone, Debug, Default)]
pub struct LabelState {
    /// Market whose label is shown; `None` for the first of the formula.
    pub market: Option<String>,
    /// Show why each name stands where it does.
    pub plain: bool,
}

/// A warning under acceptance.
#[derive(Clone, Debug)]
pub struct AcceptDraft {
    /// Key of the finding.
    pub key: String,
    /// What it says.
    pub said: String,
    /// Reason as typed.
    pub reason: String,
    /// What is wrong with the entry.
    pub error: Option<String>,
}

/// What a supplier says of a material, under entry.
#[derive(Clone, Debug)]
pub struct SupplierDraft {
    /// The material.
    pub material: MaterialId,
    /// Standard and date of the certificate, as typed.
    pub standard: String,
    /// Date, as typed.
    pub date: String,
    /// Category and limit, as typed.
    pub limits: Vec<(String, String)>,
    /// Allergen and % of the material, as typed.
    pub allergens: Vec<(String, String)>,
    /// The declaration names all of them.
    pub complete: bool,
    /// INCI name and % of the material of what it is made of, as typed.
    pub parts: Vec<(String, String)>,
    /// Natural origin index, as typed.
    pub natural: String,
    /// What is wrong with the entry.
    pub error: Option<crate::app::field_error::FieldError>,
}

/// An exposure under entry.
#[derive(Clone, Debug, Default)]
pub struct ExposureDraft {
    /// Place in the list; `None` for a new one.
    pub at: Option<usize>,
    /// Component.
    pub component: String,
    /// Point of departure, as typed.
    pub departure: String,
    /// It is an oral one.
    pub oral: bool,
    /// Absorbed share, as typed.
    pub absorbed: String,
    /// Where it comes from.
    pub source: String,
    /// Line of the table; empty for what suits the product.
    pub line: String,
    /// What is wrong with the entry.
    pub error: Option<crate::app::field_error::FieldError>,
}

/// What the two views ask for.
#[derive(Clone, Debug)]
pub enum SafetyAction {
    /// Shows a part.
    Tab(FindingsTab),
    /// Shows or hides a severity.
    Show(Severity, bool),
    /// Shows or hides accepted warnings.
    ShowAccepted(bool),
    /// Shows one kind of rule, or all.
    Kind(Option<RuleKind>),
    /// Opens or closes an arithmetic.
    Open(String, bool),
    /// Curve or table.
    AsTable(bool),
    /// What the formula is for.
    Product(Product),
    /// Markets, category, wet use and the like.
    Notes(&'static str, Box<SafetyNotes>),
    /// What the label says; one entry is one step.
    Label(&'static str, Box<LabelNotes>),
    /// Accepts a warning.
    Accept {
        /// Key of the finding.
        key: String,
        /// What it says.
        said: String,
        /// Why.
        reason: String,
    },
    /// Takes an acceptance back: key, and what the finding says.
    TakeBack(String, String),
    /// Does what would fix a finding.
    Fix(Fix),
    /// What a supplier says of a material.
    Supplier {
        /// The material.
        material: MaterialId,
        /// Use limits.
        certificate: Option<Certificate>,
        /// Allergens.
        allergens: Vec<Allergen>,
        /// They are all.
        complete: bool,
        /// What it is made of.
        composition: Vec<Part>,
        /// Natural origin index.
        natural: Option<Figure<f64>>,
    },
    /// Market whose label is shown.
    Market(String),
    /// With or without the reasons.
    Plain(bool),
    /// Copies the ingredient list.
    Copy(String),
}

//! What preservatives do, as data: acids, pH windows, heat, reach.

use crate::formula::{Figure, Span};
use crate::quantity::Percent;

/// How well a substance holds a kind of microbe at its usual level.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reach {
    /// Not at all.
    None,
    /// Helps.
    Weak,
    /// Holds.
    Good,
}

impl Reach {
    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Weak => "weak",
            Self::Good => "good",
        }
    }
}

/// The acid that does the work.
#[derive(Clone, Debug, PartialEq)]
pub struct ActiveAcid {
    /// Name, such as "benzoic acid".
    pub name: String,
    /// pKa at 25 °C.
    pub pka: f64,
    /// Chemical formula of the acid.
    pub acid: String,
    /// Chemical formula of the substance as added; the acid's own for the acid.
    pub added: String,
    /// Moles of acid from one mole.
    pub moles: u32,
    /// Undissociated acid in % of the product from which it counts as good.
    pub good: Percent,
    /// Undissociated acid in % of the product below which it counts as ineffective.
    pub weak: Percent,
}

/// One preserving component.
#[derive(Clone, Debug, PartialEq)]
pub struct Preservative {
    /// INCI name of the component.
    pub inci: String,
    /// Its acid, if it is one.
    pub acid: Option<ActiveAcid>,
    /// pH of the product in which it works.
    pub ph: Option<Figure<Span>>,
    /// Added below this, °C.
    pub heat_c: Option<Figure<f64>>,
    /// % of the product from which it counts on its own.
    pub least: Option<Figure<Percent>>,
    /// Bacteria, yeast, mould.
    pub reach: [Reach; 3],
    /// Helps others and does not stand alone.
    pub helper: bool,
    /// A phenol, benzoate, sorbate or dehydroacetate, which micelles of ethoxylates bind.
    pub bound_by_ethoxylates: bool,
    /// Can give off a nitrosating agent.
    pub nitrosating: bool,
    /// What to know.
    pub note: String,
    /// Source and how far to trust it.
    pub about: Figure<()>,
}

/// All of them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Preservatives {
    /// One entry a component.
    pub list: Vec<Preservative>,
    /// Edition of the data.
    pub edition: String,
}

impl Preservatives {
    /// The entry of a component.
    #[must_use]
    pub fn of(&self, inci: &str) -> Option<&Preservative> {
        self.list.iter().find(|p| p.inci.eq_ignore_ascii_case(inci))
    }
}

//! What is asked of a blend.

use crate::grit::surface::Stage;

/// "Nothing above this size".
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SizeLimit {
    /// Size, um.
    pub um: f64,
    /// Share of each exfoliant's own mass that may lie above it, 0..=1; 0.01 unless edited.
    pub tolerance: f64,
}

impl SizeLimit {
    /// A limit with the share that may lie above it in %.
    #[must_use]
    pub fn with_percent(um: f64, percent: f64) -> Self {
        Self { um, tolerance: percent / 100.0 }
    }

    /// The share that may lie above it, %.
    #[must_use]
    pub fn percent(&self) -> f64 {
        100.0 * self.tolerance
    }
}

/// What makes one blend better than another.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Prefer {
    /// The least cost of exfoliants.
    #[default]
    Cheapest,
    /// The least mass of exfoliants.
    Least,
    /// The least change from the present blend: least sum of squared differences of loads.
    Nearest,
}

impl Prefer {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Cheapest, Self::Least, Self::Nearest];

    /// In words, and the key in scripts.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Cheapest => "cheapest",
            Self::Least => "least",
            Self::Nearest => "nearest",
        }
    }

    /// What it means.
    #[must_use]
    pub fn about(self) -> &'static str {
        match self {
            Self::Cheapest => "the least cost of exfoliants",
            Self::Least => "the least exfoliant in all",
            Self::Nearest => "the least change from the present blend",
        }
    }
}

/// What a maker asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ask {
    /// Grit index wanted.
    pub index: f64,
    /// Whether the index is that of the first touch or in use.
    pub stage: Stage,
    /// All exfoliants together, % w/w, from and to; equal ends fix the total.
    pub total: (f64, f64),
    /// Size limit, if any.
    pub size: Option<SizeLimit>,
    /// Kinds at least and at most, those that are held included. At most 3 are chosen.
    pub kinds: (usize, usize),
    /// What is better.
    pub prefer: Prefer,
}

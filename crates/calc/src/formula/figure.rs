//! A built-in figure with where it came from and how far to trust it.

use std::sync::Arc;

/// How far a figure can be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Confidence {
    /// Needs a supplier's certificate before anything rests on it.
    Low,
    /// Likely; fine for design.
    Medium,
    /// Sure.
    High,
}

impl Confidence {
    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Low => "needs a certificate",
            Self::Medium => "likely",
            Self::High => "sure",
        }
    }
}

/// How a figure was come by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Basis {
    /// Read in the named source.
    Read,
    /// Stored in an open data set.
    DataSet,
    /// Calculated from other figures.
    Computed,
    /// Common practice of the trade; no single source.
    Practice,
    /// Recalled, not read again.
    Memory,
    /// Assumed so that a model can run.
    Assumption,
    /// Entered by the user.
    User,
    /// The source does not say.
    Unstated,
}

impl Basis {
    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Read => "read in the source",
            Self::DataSet => "open data set",
            Self::Computed => "calculated",
            Self::Practice => "common practice",
            Self::Memory => "from memory",
            Self::Assumption => "assumption",
            Self::User => "entered by you",
            Self::Unstated => "basis not stated",
        }
    }
}

/// A value with its source and confidence.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure<T> {
    /// The value itself.
    pub value: T,
    /// How far to trust it.
    pub confidence: Confidence,
    /// How it was come by.
    pub basis: Basis,
    /// The source in a short phrase.
    pub source: Arc<str>,
}

impl<T> Figure<T> {
    /// A figure that a user typed.
    pub fn user(value: T) -> Self {
        Self {
            value,
            confidence: Confidence::Medium,
            basis: Basis::User,
            source: Arc::from("entered by you"),
        }
    }

    /// One line for a tooltip: source, basis and confidence.
    #[must_use]
    pub fn provenance(&self) -> String {
        if &*self.source == self.basis.name() {
            format!("{}; {}", self.source, self.confidence.name())
        } else {
            format!("{} ({}); {}", self.source, self.basis.name(), self.confidence.name())
        }
    }
}

/// A range of which one side may be open.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Span {
    /// Lower end, if stated.
    pub low: Option<f64>,
    /// Upper end, if stated.
    pub high: Option<f64>,
}

//! Reasons for figures that cannot be had.

/// Why a figure cannot be had. Never a zero in its place.
#[derive(Clone, Debug, PartialEq)]
pub enum WhyNot {
    /// The formula holds nothing of the kind.
    Nothing(&'static str),
    /// Data are missing for these materials, which make up this share of what counts.
    Unknown {
        /// Which figure is missing.
        what: &'static str,
        /// Display names.
        names: Vec<String>,
    },
    /// It means nothing for this kind of product.
    NotFor(&'static str),
    /// The batch plan gives no batch.
    NoBatch,
    /// No piece weight is set.
    NoPieces,
}

impl WhyNot {
    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Nothing(what) => format!("no {what}"),
            Self::Unknown { what, names } => {
                let shown = names.iter().take(3).cloned().collect::<Vec<_>>().join(", ");
                let more = names.len().saturating_sub(3);
                let more = if more > 0 { format!(" and {more} more") } else { String::new() };
                format!("{what} not known for {shown}{more}")
            }
            Self::NotFor(form) => format!("not for a {form}"),
            Self::NoBatch => "no batch size".to_owned(),
            Self::NoPieces => "no piece weight".to_owned(),
        }
    }
}

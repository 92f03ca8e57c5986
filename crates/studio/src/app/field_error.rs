//! What is wrong with an entry of a dialog, and which field it stands in.

use super::state::Dialog;

/// What is wrong with an entry.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FieldError {
    /// Accessible name of the field; empty where it is no single one.
    pub field: String,
    /// What is wrong, and what to do.
    pub text: String,
}

impl FieldError {
    /// An error of the field of this name.
    #[must_use]
    pub fn new(field: impl Into<String>, text: impl Into<String>) -> Self {
        Self { field: field.into(), text: text.into() }
    }

    /// Puts an error beside the field of this name, unless it stands beside one already.
    #[must_use]
    pub fn at(self, field: &str) -> Self {
        if self.field.is_empty() { Self { field: field.to_owned(), ..self } } else { self }
    }
}

impl From<String> for FieldError {
    fn from(text: String) -> Self {
        Self { field: String::new(), text }
    }
}

impl From<&str> for FieldError {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

/// Names the field of what is wrong with it.
pub trait At<T> {
    /// The same, its error beside the field of this name.
    ///
    /// # Errors
    /// As before.
    fn at(self, field: &str) -> Result<T, FieldError>;
}

impl<T, E: Into<FieldError>> At<T> for Result<T, E> {
    fn at(self, field: &str) -> Result<T, FieldError> {
        self.map_err(|error| error.into().at(field))
    }
}

impl Dialog {
    /// What is wrong with its entries, where it can tell the field.
    #[must_use]
    pub fn wrong(&self) -> Option<&FieldError> {
        match self {
            Self::Line { error, .. } => error.as_ref(),
            Self::Phase(draft) => draft.error.as_ref(),
            Self::Details(draft) => draft.error.as_ref(),
            Self::Batch(draft) => draft.error.as_ref(),
            Self::Grains(draft) => draft.error.as_ref(),
            Self::Measure(draft) => draft.error.as_ref(),
            Self::Moulds(draft) => draft.error.as_ref(),
            Self::Supplier(draft) => draft.error.as_ref(),
            Self::Exposure(draft) => draft.error.as_ref(),
            _ => None,
        }
    }
}

//! From text to the value of a rules file.

use serde::de::DeserializeOwned;

use super::problem::RulesProblem;
use crate::check::Problems;
use crate::format::{options, peek_format};

/// The format of rules files that this build reads.
pub(super) const FORMAT: u32 = 1;

/// Reads a file value. The format is looked at first, so that a later format is known as such.
pub(super) fn read<T: DeserializeOwned>(text: &str, file: &str) -> Result<T, RulesProblem> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    match peek_format(text).map_err(|e| RulesProblem::syntax(&e, file))? {
        Some(FORMAT) => {}
        found => return Err(RulesProblem::Format { file: file.to_owned(), found }),
    }
    options().from_str(text).map_err(|e| RulesProblem::syntax(&e, file))
}

/// The value, unless something is wrong with it.
pub(super) fn sound<T>(value: T, problems: Problems, file: &str) -> Result<T, RulesProblem> {
    let problems = problems.into_list();
    if problems.is_empty() {
        Ok(value)
    } else {
        Err(RulesProblem::Invalid { file: file.to_owned(), problems })
    }
}

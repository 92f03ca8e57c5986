//! Why a rules file cannot be used, in a maker's words.

use ron::error::SpannedError;

use super::read::FORMAT;
use crate::load::{LoadError, invalid, syntax};

/// Why a file of rules is not used. The built-in rules stand in its place.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum RulesProblem {
    /// The folder is there and cannot be listed.
    #[error("the folder {folder} could not be read: {message}")]
    Folder {
        /// The folder.
        folder: String,
        /// What the system says.
        message: String,
    },
    /// More files than are read.
    #[error("the folder {folder} has {found} rules files; only the first {most} by name were read")]
    TooMany {
        /// The folder.
        folder: String,
        /// Files that end in `.ron`.
        found: usize,
        /// Files that are read.
        most: usize,
    },
    /// The file is larger than any rules file.
    #[error("{file} has {bytes} bytes, and a rules file has at most {most}")]
    TooLarge {
        /// The file.
        file: String,
        /// Its size in bytes.
        bytes: u64,
        /// The largest size that is read, in bytes.
        most: u64,
    },
    /// The file cannot be opened or read.
    #[error("{0}")]
    NotRead(LoadError),
    /// The content is not text in UTF-8.
    #[error("{file} is not text in UTF-8 (byte {offset}); save it again as UTF-8")]
    NotText {
        /// The file.
        file: String,
        /// Bytes before the first that is not UTF-8.
        offset: usize,
    },
    /// The file does not say that it is of a format that is known.
    #[error(
        "{file} has {}; expected it to begin with (format: {FORMAT}, ...)",
        .found.map_or_else(|| "no format".to_owned(), |f| format!("format {f}"))
    )]
    Format {
        /// The file.
        file: String,
        /// Its format, if it has one.
        found: Option<u32>,
    },
    /// The text is not well formed, or holds what has no place there.
    #[error("{file}, line {line}, column {column}: {message}")]
    Syntax {
        /// The file.
        file: String,
        /// Line, from 1.
        line: usize,
        /// Column in characters, from 1.
        column: usize,
        /// What was expected.
        message: String,
    },
    /// The file is well formed, but entries contradict each other.
    #[error("{}", invalid(file, problems))]
    Invalid {
        /// The file.
        file: String,
        /// Every problem, each in a sentence that names its place.
        problems: Vec<String>,
    },
    /// Two files are about one market.
    #[error("{file} is about the market {code}, as is {first}; only {first} is used")]
    Twice {
        /// The file that is left out.
        file: String,
        /// Code of the market.
        code: String,
        /// The file that is used.
        first: String,
    },
}

impl RulesProblem {
    /// From the error of a reader, with its place.
    pub(super) fn syntax(error: &SpannedError, file: &str) -> Self {
        match syntax(error, file) {
            LoadError::Syntax { file, line, column, message } => {
                Self::Syntax { file, line, column, message }
            }
            LoadError::TooDeep { file, line, column } => Self::Syntax {
                file,
                line,
                column,
                message: "brackets are nested too deep; expected at most about 60 levels"
                    .to_owned(),
            },
            other => Self::NotRead(other),
        }
    }
}

impl From<LoadError> for RulesProblem {
    fn from(error: LoadError) -> Self {
        match error {
            LoadError::TooLarge { file, bytes, most } => Self::TooLarge { file, bytes, most },
            other => Self::NotRead(other),
        }
    }
}

//! Why a file cannot be read, in a maker's words.

use ron::error::{Error, SpannedError};

use crate::check::quoted;
use crate::format::FORMAT;

/// Problems that a message lists; the rest is counted.
const MOST_LISTED: usize = 12;
/// Longest syntax message, in characters.
const MOST_MESSAGE: usize = 400;

/// Why a project file cannot be read. Each message names the file and what would help.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LoadError {
    /// There is no such file.
    #[error(
        "{file} was not found; it may have been moved, renamed or be on a disk that is not connected"
    )]
    NotFound {
        /// The file as given.
        file: String,
    },
    /// The path is a folder.
    #[error("{file} is a folder; choose a project file in it")]
    IsFolder {
        /// The folder.
        file: String,
    },
    /// The path is a device, pipe or socket.
    #[error("{file} is not an ordinary file; choose a project file")]
    NotAFile {
        /// The path.
        file: String,
    },
    /// Reading is not allowed.
    #[error("{file} may not be read; ask for permission to read it, or copy it to your own folder")]
    NoPermission {
        /// The file.
        file: String,
    },
    /// The file is larger than any project.
    #[error(
        "{file} has {bytes} bytes, and a project has at most {most}; it is probably another kind of file"
    )]
    TooLarge {
        /// The file.
        file: String,
        /// Its size in bytes.
        bytes: u64,
        /// The largest size that is read, in bytes.
        most: u64,
    },
    /// The disk or network failed.
    #[error("{file} could not be read: {message}")]
    Disk {
        /// The file.
        file: String,
        /// What the system says.
        message: String,
    },
    /// The content is not text in UTF-8.
    #[error(
        "{file} is not text in UTF-8 (byte {offset}); if an editor saved it in another encoding, save it again as UTF-8"
    )]
    NotUtf8 {
        /// The file.
        file: String,
        /// Bytes before the first that is not UTF-8.
        offset: usize,
    },
    /// The file holds nothing.
    #[error(
        "{file} is empty; if it held a project, look for its backup (NAME.backup.ron) in the same folder"
    )]
    Empty {
        /// The file.
        file: String,
    },
    /// The text is well formed, but no project.
    #[error("{file} is not a Quern project; expected it to begin with (format: {FORMAT}, ...)")]
    NotAProject {
        /// The file.
        file: String,
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
    /// Brackets are nested too deep.
    #[error(
        "{file}, line {line}, column {column}: brackets are nested too deep; expected at most about 60 levels"
    )]
    TooDeep {
        /// The file.
        file: String,
        /// Line, from 1.
        line: usize,
        /// Column in characters, from 1.
        column: usize,
    },
    /// A later program wrote the file. It is left untouched.
    #[error(
        "{file} has format {found}, and this program knows formats up to {known}; open it with a newer Quern. The file was not changed"
    )]
    Newer {
        /// The file.
        file: String,
        /// Its format.
        found: u32,
        /// The newest format that is known.
        known: u32,
    },
    /// The file is well formed, but entries cannot be used.
    #[error("{}", invalid(file, problems))]
    Invalid {
        /// The file.
        file: String,
        /// Every problem, each in a sentence that names its place.
        problems: Vec<String>,
    },
}

pub(crate) fn invalid(file: &str, problems: &[String]) -> String {
    let mut text = match problems {
        [one] => return format!("{file}: {one}"),
        _ => format!("{file} has {} entries that cannot be used:", problems.len()),
    };
    for problem in problems.iter().take(MOST_LISTED) {
        text.push_str("\n- ");
        text.push_str(problem);
    }
    if let Some(more) = problems.len().checked_sub(MOST_LISTED).filter(|m| *m > 0) {
        text.push_str(&format!("\n- and {more} more"));
    }
    text
}

/// The error of a reader, with its place.
pub(crate) fn syntax(error: &SpannedError, origin: &str) -> LoadError {
    let file = origin.to_owned();
    let (line, column) = (error.span.start.line, error.span.start.col);
    if matches!(error.code, Error::ExceededRecursionLimit) {
        return LoadError::TooDeep { file, line, column };
    }
    let mut message = words(&error.code);
    if let Some((cut, _)) = message.char_indices().nth(MOST_MESSAGE) {
        message.truncate(cut);
        message.push('…');
    }
    LoadError::Syntax { file, line, column, message }
}

fn words(code: &Error) -> String {
    let plain = match code {
        Error::Eof => "the file ends here, but more was expected; a part of it is missing",
        Error::ExpectedArray => "expected a list, opening with [",
        Error::ExpectedArrayEnd => "expected a comma, or ] at the end of the list",
        Error::ExpectedBoolean => "expected true or false",
        Error::ExpectedComma => {
            "expected a comma before the next entry; if it is there, closing quotes are missing \
             further up"
        }
        Error::ExpectedFloat => "expected a number such as 72.5",
        Error::ExpectedInteger => "expected a whole number",
        Error::ExpectedMapColon => "expected a colon after the name of the field",
        Error::ExpectedStructLike | Error::ExpectedNamedStructLike(_) => "expected an opening (",
        Error::ExpectedStructLikeEnd | Error::ExpectedOptionEnd => {
            "expected a comma, or a closing )"
        }
        Error::ExpectedString => "expected text in quotes",
        Error::ExpectedStringEnd => "expected closing quotes; this text has no end",
        Error::ExpectedIdentifier => "expected the name of a field",
        Error::IntegerOutOfBounds => "expected a smaller whole number, from 0 to 4294967295",
        Error::TrailingCharacters => "expected nothing more after the closing )",
        Error::UnclosedBlockComment => "expected */ at the end of the comment",
        Error::InvalidEscape(_) => {
            "expected an escape such as \\n or \\\"; write \\\\ for a backslash"
        }
        _ => "",
    };
    if !plain.is_empty() {
        return plain.to_owned();
    }
    match code {
        Error::Message(message) => message.clone(),
        Error::UnexpectedChar(c) => format!("{} was not expected here", quoted(&c.to_string())),
        Error::InvalidValueForType { expected, found } => {
            format!("expected {}, found {}", plainer(expected), quoted(found))
        }
        Error::ExpectedDifferentLength { expected, found } => {
            match expected.strip_prefix("a tuple of size ") {
                Some(size) => format!("expected {size} values in these brackets, found {found}"),
                None => code.to_string(),
            }
        }
        Error::NoSuchStructField { expected, found, outer } => format!(
            "{} is no field of a {}; expected one of {}",
            quoted(found),
            record(outer.as_deref()),
            expected.join(", ")
        ),
        Error::NoSuchEnumVariant { expected, found, .. } => {
            format!("{} is not known; expected one of {}", quoted(found), expected.join(", "))
        }
        Error::MissingStructField { field, outer } => format!(
            "the field {field} is missing in this {}; expected it before the closing )",
            record(outer.as_deref())
        ),
        Error::DuplicateStructField { field, .. } => {
            format!("the field {field} is given twice; expected it once")
        }
        other => other.to_string(),
    }
}

/// What a reader expected, without the names of number types.
fn plainer(expected: &str) -> &str {
    match expected {
        "u32" | "an unsigned 32-bit integer" => "a whole number from 0 to 4294967295",
        "f64" | "a 64-bit floating point number" => "a number",
        "a boolean" => "true or false",
        "a string" => "text in quotes",
        other => other,
    }
}

/// What a record is called in a message.
fn record(name: Option<&str>) -> String {
    name.unwrap_or("record").replace('_', " ")
}

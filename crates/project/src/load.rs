//! A file becomes a project, or words on why not.

mod error;

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;

pub use error::LoadError;
pub(crate) use error::{invalid, syntax};

use crate::check::{Problems, check};
use crate::format::{FORMAT, options, peek_format, v5};
use crate::{Fingerprint, Project};

/// Largest file that is read, in bytes (16 MiB). A project is well under one.
pub const MOST_BYTES: u64 = 16 * 1024 * 1024;

/// A project that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Loaded {
    /// The project.
    pub project: Project,
    /// The content it was read from; [`crate::save()`] wants it back.
    pub fingerprint: Fingerprint,
    /// The format of the file when it is an older one; `None` for the current format.
    pub upgraded_from: Option<u32>,
}

/// Reads a project file. At most [`MOST_BYTES`] are ever read.
///
/// # Errors
/// A [`LoadError`] that names the file, the place and what was expected there. The file is never
/// changed.
pub fn load(path: &Path) -> Result<Loaded, LoadError> {
    let file = path.display().to_string();
    let bytes = read_bounded(path)?;
    parse_bytes(&bytes, &file)
}

/// Reads the text of a project file; `origin` names it in messages.
///
/// # Errors
/// As [`load()`], as far as they concern content.
pub fn parse(text: &str, origin: &str) -> Result<Loaded, LoadError> {
    parse_bytes(text.as_bytes(), origin)
}

/// The content of a regular file within the cap of a project.
pub(crate) fn read_bounded(path: &Path) -> Result<Vec<u8>, LoadError> {
    read_up_to(path, MOST_BYTES)
}

/// The content of a regular file of at most this many bytes.
pub(crate) fn read_up_to(path: &Path, most: u64) -> Result<Vec<u8>, LoadError> {
    let file = || path.display().to_string();
    let failed = |error: &io::Error| match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => {
            LoadError::NotFound { file: file() }
        }
        io::ErrorKind::PermissionDenied => LoadError::NoPermission { file: file() },
        io::ErrorKind::IsADirectory => LoadError::IsFolder { file: file() },
        _ => LoadError::Disk { file: file(), message: error.to_string() },
    };
    let about = fs::metadata(path).map_err(|e| failed(&e))?;
    if about.is_dir() {
        return Err(LoadError::IsFolder { file: file() });
    }
    if !about.is_file() {
        return Err(LoadError::NotAFile { file: file() });
    }
    let too_large = |bytes| LoadError::TooLarge { file: file(), bytes, most };
    if about.len() > most {
        return Err(too_large(about.len()));
    }
    let opened = File::open(path).map_err(|e| failed(&e))?;
    let mut bytes = Vec::new();
    // The file can grow after it was measured.
    opened.take(most.saturating_add(1)).read_to_end(&mut bytes).map_err(|e| failed(&e))?;
    let length = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
    if length > most {
        return Err(too_large(length));
    }
    Ok(bytes)
}

fn parse_bytes(bytes: &[u8], origin: &str) -> Result<Loaded, LoadError> {
    let file = || origin.to_owned();
    let length = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
    if length > MOST_BYTES {
        return Err(LoadError::TooLarge { file: file(), bytes: length, most: MOST_BYTES });
    }
    let text = std::str::from_utf8(bytes)
        .map_err(|e| LoadError::NotUtf8 { file: file(), offset: e.valid_up_to() })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    // A disk that failed in mid-write can leave nothing but zeros.
    if text.chars().all(|c| c.is_whitespace() || c == '\0') {
        return Err(LoadError::Empty { file: file() });
    }

    let format = peek_format(text).map_err(|e| syntax(&e, origin))?;
    let (project, problems, upgraded_from) = match format {
        None => return Err(LoadError::NotAProject { file: file() }),
        Some(found) if found > FORMAT => {
            return Err(LoadError::Newer { file: file(), found, known: FORMAT });
        }
        // Formats 2 to 5 only add optional fields to format 1.
        Some(found @ 1..=5) => {
            let read: v5::File = options().from_str(text).map_err(|e| syntax(&e, origin))?;
            let mut problems = Problems::default();
            let project = read.project.into_model(&mut problems);
            (project, problems, (found < FORMAT).then_some(found))
        }
        Some(_) => return Err(LoadError::NotAProject { file: file() }),
    };

    let mut problems = problems;
    check(&project, &mut problems);
    let problems = problems.into_list();
    if !problems.is_empty() {
        return Err(LoadError::Invalid { file: file(), problems });
    }
    Ok(Loaded { project, fingerprint: Fingerprint::of(bytes), upgraded_from })
}

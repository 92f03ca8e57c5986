//! Writing what is not a project: sheets, and the log.

use std::fs::{File, OpenOptions};
use std::io::{self, Write as _};
use std::path::Path;

use crate::folders;

/// The log is started anew once it is larger than this.
const LOG_MOST: u64 = 2 * 1024 * 1024;

/// Why a file was not written.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// The folder is not there.
    #[error("The folder of {0} is not there; choose another place")]
    NoFolder(String),
    /// The place is a folder.
    #[error("{0} is a folder; choose a file name")]
    IsFolder(String),
    /// The system refused.
    #[error("{file} could not be written: {reason}; choose another place or free some space")]
    Failed {
        /// The file.
        file: String,
        /// The system's words.
        reason: String,
    },
}

/// Writes bytes to a file, whole or not at all.
///
/// # Errors
/// A [`WriteError`]; what was there before is then still there.
pub fn write_file(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    let shown = path.display().to_string();
    if path.is_dir() {
        return Err(WriteError::IsFolder(shown));
    }
    if path.parent().is_some_and(|p| !p.as_os_str().is_empty() && !p.is_dir()) {
        return Err(WriteError::NoFolder(shown));
    }
    let failed = |e: io::Error| WriteError::Failed { file: shown.clone(), reason: e.to_string() };
    let mut file = atomic_write_file::AtomicWriteFile::open(path).map_err(failed)?;
    file.write_all(bytes).map_err(failed)?;
    file.commit().map_err(failed)
}

/// The log file, open at its end; `None` where there is no place for it.
#[must_use]
pub fn open_log() -> Option<File> {
    let path = folders::log_file()?;
    std::fs::create_dir_all(path.parent()?).ok()?;
    let long = std::fs::metadata(&path).is_ok_and(|m| m.len() > LOG_MOST);
    let mut options = OpenOptions::new();
    options.create(true);
    if long {
        options.write(true).truncate(true)
    } else {
        options.append(true)
    };
    options.open(path).ok()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_file_is_written_and_bad_places_are_told() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sheet.csv");
        write_file(&path, b"a,b\n").unwrap();
        assert_eq!(std::fs::read(&path).unwrap(), b"a,b\n");
        let is_folder = write_file(folder.path(), b"x").unwrap_err().to_string();
        assert!(is_folder.contains("is a folder"), "{is_folder}");
        let none = write_file(&folder.path().join("no/such/x.csv"), b"x").unwrap_err().to_string();
        assert!(none.contains("not there"), "{none}");
    }
}

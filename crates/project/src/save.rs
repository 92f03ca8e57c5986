//! A project becomes a file, whole or not at all.

use std::ffi::OsString;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use atomic_write_file::AtomicWriteFile;

use crate::check::{Problems, check};
use crate::format::{FORMAT, to_ron, v5};
use crate::load::{LoadError, MOST_BYTES, read_bounded};
use crate::{Fingerprint, Project};

/// Why a project was not saved. What was on disk before is still there.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SaveError {
    /// The project holds what no file can keep.
    #[error("{}", crate::load::invalid("the project", problems))]
    Invalid {
        /// Every problem, each in a sentence that names its place.
        problems: Vec<String>,
    },
    /// The project is larger than a file that can be opened again.
    #[error(
        "the project would need {bytes} bytes, and a file holds at most {MOST_BYTES}; split it into two projects"
    )]
    TooLarge {
        /// The size in bytes.
        bytes: u64,
    },
    /// Another window or program has changed the file since it was read.
    #[error(
        "{file} has been changed by another window or program since it was opened; save under another name, or open it again to see that version"
    )]
    ChangedOnDisk {
        /// The file.
        file: String,
    },
    /// The folder is not there (any more).
    #[error(
        "the folder {folder} is not there any more; connect its disk again, or save in another folder"
    )]
    FolderMissing {
        /// The folder.
        folder: String,
    },
    /// Nothing may be written in the folder.
    #[error(
        "nothing may be written in the folder {folder}; save in another folder, or ask for permission to write there"
    )]
    ReadOnlyFolder {
        /// The folder.
        folder: String,
    },
    /// The file is marked as read-only.
    #[error(
        "{file} is marked as read-only; save under another name, or remove the mark in the file manager"
    )]
    ReadOnlyFile {
        /// The file.
        file: String,
    },
    /// The path is a folder.
    #[error("{file} is a folder; give the file a name")]
    IsFolder {
        /// The folder.
        file: String,
    },
    /// What is there is no project file, and would not fit into a backup.
    #[error("{file} is another kind of file and is left alone; save under another name")]
    OtherFile {
        /// The file.
        file: String,
    },
    /// No room on the disk.
    #[error("the disk of {file} is full; make room and save again, or save on another disk")]
    DiskFull {
        /// The file.
        file: String,
    },
    /// The disk or network failed.
    #[error("{file} could not be written: {message}; save on another disk to be safe")]
    Disk {
        /// The file.
        file: String,
        /// What the system says.
        message: String,
    },
}

/// The text of a project file, ready to be written or sent.
///
/// # Errors
/// [`SaveError::Invalid`] or [`SaveError::TooLarge`] when the text could not be read back.
pub fn to_text(project: &Project) -> Result<String, SaveError> {
    let mut problems = Problems::default();
    check(project, &mut problems);
    let problems = problems.into_list();
    if !problems.is_empty() {
        return Err(SaveError::Invalid { problems });
    }
    let body = to_ron(&v5::File::of(project))
        .map_err(|e| SaveError::Invalid { problems: vec![e.to_string()] })?;
    let text = format!("// Quern project, format {FORMAT}\n{body}");
    let bytes = u64::try_from(text.len()).unwrap_or(u64::MAX);
    if bytes > MOST_BYTES {
        return Err(SaveError::TooLarge { bytes });
    }
    Ok(text)
}

/// Where the previous content of a project file is kept: `bars.ron` has `bars.backup.ron` beside
/// it.
#[must_use]
pub fn backup_path(path: &Path) -> PathBuf {
    let is_ron = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("ron"));
    let stem = if is_ron { path.file_stem() } else { path.file_name() };
    let mut name = stem.map_or_else(OsString::new, OsString::from);
    name.push(".backup.ron");
    path.with_file_name(name)
}

/// Saves a project. The file is replaced in one step, so a crash leaves the old or the new one
/// whole, and its previous content is kept at [`backup_path`].
///
/// `expected` is what the file held when it was last read or written; `None` replaces whatever is
/// there, for a name that the user has just chosen. A file that has vanished is written anew.
/// Content that is already on disk is not written again, so that the backup stays older than it.
///
/// # Errors
/// A [`SaveError`]; what was on disk before is then still there.
pub fn save(
    path: &Path,
    project: &Project,
    expected: Option<&Fingerprint>,
) -> Result<Fingerprint, SaveError> {
    let text = to_text(project)?;
    let bytes = text.as_bytes();
    // Writing through a link keeps the link.
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());

    // The new content goes to disk first: a full disk shows before anything is touched, and the
    // comparison comes as late as possible.
    check_target(&target)?;
    let new = write_aside(&target, bytes)?;
    if let Some(previous) = read_previous(&target)? {
        let on_disk = Fingerprint::of(&previous);
        if expected.is_some_and(|e| *e != on_disk) {
            return Err(SaveError::ChangedOnDisk { file: shown(path) });
        }
        if previous == bytes {
            return Ok(on_disk);
        }
        let backup = backup_path(&target);
        let aside = write_aside(&backup, &previous)?;
        aside.commit().map_err(|e| failed(&backup, &e))?;
    }
    new.commit().map_err(|e| failed(&target, &e))?;
    Ok(Fingerprint::of(bytes))
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

fn check_target(target: &Path) -> Result<(), SaveError> {
    match fs::metadata(target) {
        Ok(about) if about.is_dir() => Err(SaveError::IsFolder { file: shown(target) }),
        Ok(about) if !about.is_file() => Err(SaveError::OtherFile { file: shown(target) }),
        // Replacing by rename would ignore the mark.
        Ok(about) if about.permissions().readonly() => {
            Err(SaveError::ReadOnlyFile { file: shown(target) })
        }
        _ => Ok(()),
    }
}

/// Writes beside the target; dropping the result leaves no trace.
fn write_aside(target: &Path, bytes: &[u8]) -> Result<AtomicWriteFile, SaveError> {
    let mut file = AtomicWriteFile::open(target).map_err(|e| failed(target, &e))?;
    file.write_all(bytes).map_err(|e| failed(target, &e))?;
    Ok(file)
}

/// What the target holds now; `None` when there is no such file.
fn read_previous(target: &Path) -> Result<Option<Vec<u8>>, SaveError> {
    match read_bounded(target) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(LoadError::NotFound { .. }) => Ok(None),
        Err(LoadError::TooLarge { file, .. } | LoadError::NotAFile { file }) => {
            Err(SaveError::OtherFile { file })
        }
        Err(LoadError::IsFolder { file }) => Err(SaveError::IsFolder { file }),
        Err(other) => Err(SaveError::Disk { file: shown(target), message: other.to_string() }),
    }
}

/// Words for a failure to write `target`.
fn failed(target: &Path, error: &io::Error) -> SaveError {
    use io::ErrorKind as Kind;
    let folder = || match target.parent().filter(|p| !p.as_os_str().is_empty()) {
        Some(folder) => shown(folder),
        None => ".".to_owned(),
    };
    match error.kind() {
        Kind::NotFound | Kind::NotADirectory => SaveError::FolderMissing { folder: folder() },
        Kind::PermissionDenied | Kind::ReadOnlyFilesystem => {
            SaveError::ReadOnlyFolder { folder: folder() }
        }
        Kind::StorageFull | Kind::QuotaExceeded => SaveError::DiskFull { file: shown(target) },
        Kind::IsADirectory => SaveError::IsFolder { file: shown(target) },
        _ => SaveError::Disk { file: shown(target), message: error.to_string() },
    }
}

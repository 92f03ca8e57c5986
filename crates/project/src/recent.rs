//! Looking for files that were opened before.

use std::path::Path;

/// True when there is a file at this place that could be opened.
#[must_use]
pub fn is_there(path: &Path) -> bool {
    path.is_file()
}

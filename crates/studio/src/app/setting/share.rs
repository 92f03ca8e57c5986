//! The setting sheet.

use std::path::PathBuf;

use crate::app::App;
use crate::app::state::Page;

impl App {
    /// Makes the setting sheet of the formula at hand and writes it, on the worker.
    pub(in crate::app) fn write_setting_sheet(&mut self, path: PathBuf) {
        let Some(_format) = self.page_format(Page::Setting, &path) else { return };
    }
}

//! The setting sheet.

use std::path::PathBuf;
use std::sync::Arc;

use quern_calc::evaluate::SlabFigures;
use quern_sheet::{Format, SettingSheet, SettingSide, setting_html, setting_pdf};

use crate::app::disk::write_unless_cancelled;
use crate::app::state::Page;
use crate::app::worker::Done;
use crate::app::{App, about, style_of};
use crate::words;

impl App {
    /// Makes the setting sheet of the formulas in view and writes it, on the worker.
    pub(in crate::app) fn write_setting_sheet(&mut self, path: PathBuf) {
        let Some(format) = self.page_format(Page::Setting, &path) else { return };
        let sides = self.setting_sides();
        let project = Arc::clone(self.document.project());
        let about = about(&project, self.date, style_of(&self.settings), self.paper());
        let paper = self.paper();
        self.worker.start_long(say!("Writing the setting sheet"), move |go_on| {
            // The view may still wait for its slab.
            let slabs: Vec<Option<Arc<SlabFigures>>> = sides
                .iter()
                .map(|s| s.figures.cool.as_ref().ok().and_then(|c| c.slab.run()).map(Arc::new))
                .collect();
            let printed: Vec<SettingSide<'_>> = sides
                .iter()
                .zip(&slabs)
                .map(|(s, slab)| SettingSide {
                    formula: &s.side.formula,
                    evaluation: &s.side.evaluation,
                    figures: &s.figures,
                    slab: slab.as_deref(),
                    remarks: &s.remarks,
                })
                .collect();
            let sheet = SettingSheet::new(&printed, &project.setting, &about);
            let bytes = if format == Format::Pdf {
                setting_pdf(&sheet, paper)
                    .map_err(|e| say!("The setting sheet was not written: {e}", e = words::told(e)))
            } else {
                Ok(setting_html(&sheet).into_bytes())
            };
            let result = bytes.and_then(|bytes| write_unless_cancelled(&path, &bytes, go_on));
            Done::Page { page: Page::Setting, path, result }
        });
    }
}

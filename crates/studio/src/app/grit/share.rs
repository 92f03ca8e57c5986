//! The comparison sheet of blends.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use quern_calc::evaluate::{BlendSide, blend_rows};
use quern_calc::grit::spread::spread;
use quern_sheet::{BlendSheet, Format, blend_html, blend_pdf};

use crate::app::disk::write_unless_cancelled;
use crate::app::files::Ask;
use crate::app::notices::Tone;
use crate::app::state::{Dialog, Page};
use crate::app::worker::Done;
use crate::app::{App, about, style_of};
use crate::words;

impl App {
    /// Asks where a view's sheet is to go.
    pub(in crate::app) fn choose_page(&mut self, ctx: &egui::Context, page: Page, ending: &str) {
        let Some(here) = self.here() else { return };
        let stem = crate::app::disk::file_stem(&here.name);
        let name = format!("{stem} {}.{ending}", page.stem());
        let ask = Ask::SavePage { page, folder: self.folder(), name, ending: ending.to_owned() };
        self.windows.ask(ask, ctx);
    }

    /// Makes a view's sheet and writes it, on the worker.
    pub(in crate::app) fn write_page(&mut self, page: Page, path: PathBuf) {
        match page {
            Page::Blends => self.write_blend_sheet(path),
            Page::Setting => self.write_setting_sheet(path),
            Page::Label => self.write_label_sheet(path),
        }
    }

    /// The format of a path, or the dialog again with what is wrong with its ending.
    pub(in crate::app) fn page_format(&mut self, page: Page, path: &Path) -> Option<Format> {
        let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
        let format = ending.as_deref().and_then(Format::from_extension);
        if let Some(format @ (Format::Pdf | Format::Html)) = format {
            return Some(format);
        }
        let text =
            say!("{path} is neither PDF nor HTML; end it in .pdf or .html", path = path.display());
        self.say(Tone::Error, text.clone());
        let path = path.display().to_string();
        self.ui.dialogs.push(Dialog::Page { page, path, typed: true, error: Some(text) });
        None
    }

    /// Makes the sheet of the blends in view and writes it, on the worker.
    pub(in crate::app) fn write_blend_sheet(&mut self, path: PathBuf) {
        let Some(format) = self.page_format(Page::Blends, &path) else { return };
        let sides = self.grit_sides();
        let project = Arc::clone(self.document.project());
        let about = about(&project, self.date, style_of(&self.settings), self.paper());
        let cut = self.ui.grit.cut_um;
        self.worker.start_long(say!("Writing the comparison sheet"), move |go_on| {
            let blends: Vec<BlendSide<'_>> = sides
                .iter()
                .map(|s| BlendSide {
                    formula: &s.formula,
                    evaluation: &s.evaluation,
                    per_use: project.grit.grams_per_use(s.formula.product.place),
                })
                .collect();
            let spreads: Vec<_> = sides
                .iter()
                .map(|s| {
                    let grains = s.evaluation.grains.as_ref().ok()?;
                    Some(spread(&grains.blend, grains.product_density))
                })
                .collect();
            let rules = quern_project::rules::in_use();
            let scale = project.grit.usable_scale();
            let rows = blend_rows(&blends, cut, scale.as_ref(), rules, about.style);
            let sheet = BlendSheet::new(&blends, &rows, &spreads, cut, rules, &about);
            let bytes = if format == Format::Pdf {
                blend_pdf(&sheet).map_err(|e| {
                    say!("The comparison sheet was not written: {e}", e = words::told(e))
                })
            } else {
                Ok(blend_html(&sheet).into_bytes())
            };
            let result = bytes.and_then(|bytes| write_unless_cancelled(&path, &bytes, go_on));
            Done::Page { page: Page::Blends, path, result }
        });
    }
}

//! The comparison sheet of blends.

use std::path::PathBuf;
use std::sync::Arc;

use quern_calc::evaluate::{BlendSide, blend_rows};
use quern_calc::grit::spread::spread;
use quern_sheet::{BlendSheet, Format, blend_html, blend_pdf};

use crate::app::files::Ask;
use crate::app::notices::Tone;
use crate::app::state::Dialog;
use crate::app::worker::Done;
use crate::app::{App, about, style_of};

impl App {
    pub(in crate::app) fn choose_blend_sheet(&mut self, ctx: &egui::Context, ending: &str) {
        let Some(here) = self.here() else { return };
        let name = format!("{} blends.{ending}", crate::app::disk::file_stem(&here.name));
        let folder = self.folder();
        let ask = Ask::SaveBlendSheet { folder, name, ending: ending.to_owned() };
        self.windows.ask(ask, ctx);
    }

    /// Makes the sheet of the blends in view and writes it, on the worker.
    pub(in crate::app) fn write_blend_sheet(&mut self, path: PathBuf) {
        let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
        let format = ending.as_deref().and_then(Format::from_extension);
        let Some(format @ (Format::Pdf | Format::Html)) = format else {
            let text =
                format!("{} is neither PDF nor HTML; end it in .pdf or .html", path.display());
            self.say(Tone::Error, text.clone());
            let path = path.display().to_string();
            self.ui.dialogs.push(Dialog::BlendSheet { path, typed: true, error: Some(text) });
            return;
        };
        let sides = self.grit_sides();
        let project = Arc::clone(self.document.project());
        let about = about(&project, self.date, style_of(&self.settings), self.paper());
        let cut = self.ui.grit.cut_um;
        self.worker.start(move || {
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
            let rules = quern_project::rules::builtin_rules();
            let scale = project.grit.usable_scale();
            let rows = blend_rows(&blends, cut, scale.as_ref(), rules, about.style);
            let sheet = BlendSheet::new(&blends, &rows, &spreads, cut, rules, &about);
            let bytes = if format == Format::Pdf {
                blend_pdf(&sheet).map_err(|e| format!("The comparison sheet was not written: {e}"))
            } else {
                Ok(blend_html(&sheet).into_bytes())
            };
            let result = bytes.and_then(|bytes| {
                quern_project::write_file(&path, &bytes).map_err(|e| e.to_string())
            });
            Done::BlendSheet { path, result }
        });
    }
}

//! The label of the formula at hand, cached, and its sheet.

use std::path::PathBuf;
use std::sync::Arc;

use quern_calc::evaluate::{Context, Opened, SideLabel, side_label};
use quern_calc::formula::{FormulaId, Printed};
use quern_calc::label::Label;
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Date;
use quern_sheet::{Format, LabelSheet, label_html, label_pdf};

use crate::app::disk::write_unless_cancelled;
use crate::app::state::Page;
use crate::app::worker::Done;
use crate::app::{App, about, style_of};
use crate::words;

/// The label that was made last, and what for.
#[derive(Debug, Default)]
pub struct LabelCache {
    key: Option<(u64, FormulaId, String, Date, NumberStyle)>,
    label: Option<Arc<SideLabel>>,
}

impl App {
    /// The market whose label is shown: the chosen one while the formula is meant for it, else its
    /// first.
    fn label_market(&mut self) -> Option<String> {
        let here = self.here()?;
        let rules = quern_project::rules::in_use();
        let codes: Vec<&str> = rules.markets_of(&here.formula).map(|m| m.code.as_str()).collect();
        let chosen = self.ui.label.market.as_deref().filter(|c| codes.contains(c));
        chosen.or(codes.first().copied()).map(str::to_owned)
    }

    /// The label of the formula at hand in the market shown.
    pub(in crate::app) fn label_here(&mut self) -> Option<Arc<SideLabel>> {
        let code = self.label_market()?;
        let here = self.here()?;
        let style = style_of(&self.settings);
        let key =
            (self.document.revision(), here.formula.id.clone(), code.clone(), self.date, style);
        if self.label.key.as_ref() != Some(&key) {
            let project = Arc::clone(self.document.project());
            let library = self.evals.library(&project, self.document.revision());
            let context = Context { date: self.date, setting: Arc::clone(&project.setting) };
            let rules = quern_project::rules::in_use();
            let market = rules.market(&code)?;
            let opened = Opened::new(&here.formula, &library);
            let label =
                side_label(&here.formula, &opened, &here.evaluation, market, &context, style);
            self.label = LabelCache { key: Some(key), label: Some(Arc::new(label)) };
        }
        self.label.label.clone()
    }

    /// Makes the label sheet and writes it, on the worker.
    pub(in crate::app) fn write_label_sheet(&mut self, path: PathBuf) {
        let Some(format) = self.page_format(Page::Label, &path) else { return };
        let (Some(side), Some(here)) = (self.label_here(), self.here()) else { return };
        let project = Arc::clone(self.document.project());
        let about = about(&project, self.date, style_of(&self.settings), self.paper());
        let paper = self.paper();
        // What is on the sheet, for the alarm when the label says something else later.
        self.label_sent = Some((
            here.formula.id.clone(),
            printed(&side.label, self.date, here.formula.version.number),
        ));
        self.worker.start_long(say!("Writing the label sheet"), move |go_on| {
            let e = &here.evaluation;
            let sheet = LabelSheet::new(
                &here.formula,
                &side.label,
                &e.findings,
                &e.safety.checked_in(&side.label.market),
                side.content_mm,
                &about,
            );
            let bytes = if format == Format::Pdf {
                label_pdf(&sheet, paper)
                    .map_err(|e| say!("The label sheet was not written: {e}", e = words::told(e)))
            } else {
                Ok(label_html(&sheet).into_bytes())
            };
            let result = bytes.and_then(|bytes| write_unless_cancelled(&path, &bytes, go_on));
            Done::Page { page: Page::Label, path, result }
        });
    }

    /// Keeps what the sheet that was just written says.
    pub(in crate::app) fn label_written(&mut self, done: bool) {
        let Some((id, printed)) = self.label_sent.take().filter(|_| done) else { return };
        let result = self.document.edit(say!("keep printed label"), None, |project| {
            if let Some(slot) = project.formulas.iter_mut().find(|f| f.id == id) {
                let mut next = (**slot).clone();
                next.label.printed.retain(|p| p.market != printed.market);
                next.label.printed.push(printed);
                *slot = Arc::new(next);
            }
            Ok::<(), std::convert::Infallible>(())
        });
        let Ok(()) = result;
    }
}

fn printed(label: &Label, date: Date, version: u32) -> Printed {
    Printed { market: label.market.clone(), date, version, lines: label.lines() }
}

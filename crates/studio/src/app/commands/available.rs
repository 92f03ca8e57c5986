//! Why a command cannot run now, in words for menu, palette and notice.

use super::Command;
use crate::app::Document;
use crate::app::state::{UiState, View};

impl Command {
    /// Why it cannot run now; `None` when it can.
    #[must_use]
    pub fn why_not(self, ui: &UiState, document: &Document) -> Option<&'static str> {
        use Command as C;
        let in_formula = || (ui.view != View::Formula).then_some(say!("Works in the Formula view"));
        let needs_line =
            || in_formula().or_else(|| ui.line.is_none().then_some(say!("Select a line first")));
        match self {
            C::Undo => document.undo_label().is_none().then_some(say!("There is nothing to undo")),
            C::Redo => document.redo_label().is_none().then_some(say!("There is nothing to redo")),
            C::Revert => document.path.is_none().then_some(say!("The project was never saved")),
            C::RemoveFormula => (document.project().formulas.len() < 2)
                .then_some(say!("A project keeps at least one formula")),
            C::ChangeMaterial
            | C::LineDetails
            | C::MoveLineUp
            | C::MoveLineDown
            | C::LockLine
            | C::FillLine
            | C::DuplicateLine
            | C::EditCell
            | C::CopyCells
            | C::CutCells
            | C::PasteCells
            | C::RemoveLine => needs_line(),
            C::FillDown => needs_line().or_else(|| {
                let formula = document.project().formula(&ui.formula)?;
                let lines = ui.table.range(formula).map_or(0, |r| r.lines.len());
                (lines < 2)
                    .then_some(say!("Select the cell to fill from and the cells below it first"))
            }),
            C::SupplierFigures => needs_line().or_else(|| {
                let line = document.project().formula(&ui.formula)?.line(ui.line?)?;
                let premix = matches!(line.item, quern_calc::formula::Item::Formula(_));
                premix.then_some(say!("A premix has no supplier: select one of its materials"))
            }),
            C::InsertLine | C::FoldPhases | C::AddPhase | C::PhaseDetails | C::PartsTotal => {
                in_formula()
            }
            C::Normalise => in_formula().or_else(|| {
                let lines = document.project().formula(&ui.formula)?.lines().count();
                (lines == 0).then_some(say!("The formula has no lines yet"))
            }),
            C::SwapSides => (ui.view != View::Compare).then_some(say!("Works in the Compare view")),
            C::TakeBlend => {
                let same = matches!(&ui.sides, [Some(a), Some(b)] if a == b);
                (ui.view != View::Compare)
                    .then_some(say!("Works in the Compare view"))
                    .or_else(|| same.then_some(say!("Both sides are the same formula")))
            }
            C::ToggleFigures => matches!(ui.view, View::Home | View::Compare)
                .then_some(say!("This view has no figures panel")),
            _ => None,
        }
    }
}

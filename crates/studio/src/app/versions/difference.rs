//! What differs between two versions, worked out for the dialog.

use quern_calc::evaluate::{FigureChange, figure_changes, item_name};
use quern_calc::formula::{ChangeStyle, FormulaId, Library, differences};
use quern_calc::number::NumberStyle;

use crate::app::{App, Side, SideFigures, style_of};
use crate::words;

/// What differs from the lower number to the higher one.
#[derive(Clone, Debug, Default)]
pub struct Difference {
    /// Numbers of the two versions.
    pub numbers: (u32, u32),
    /// Changes in words.
    pub words: Vec<String>,
    /// Figures that differ.
    pub figures: Vec<FigureChange>,
}

/// Changes from one side to the other, in words.
#[must_use]
pub fn change_words(
    from: &SideFigures,
    to: &SideFigures,
    library: &Library,
    number: NumberStyle,
) -> Vec<String> {
    let name = |item: &quern_calc::formula::Item| item_name(item, library);
    let style = ChangeStyle { name: &name, number };
    differences(&from.formula, &to.formula).iter().map(|c| words::told(c.words(&style))).collect()
}

impl App {
    /// What differs between two versions of a formula; nothing where one is gone.
    pub(super) fn difference(&mut self, id: &FormulaId, one: u32, other: u32) -> Difference {
        let numbers = (one.min(other), one.max(other));
        let side = |number| Side { version: Some(number), ..Side::plain(id.clone()) };
        let (Some(from), Some(to)) =
            (self.figures(&side(numbers.0)), self.figures(&side(numbers.1)))
        else {
            return Difference { numbers, ..Difference::default() };
        };
        let project = std::sync::Arc::clone(self.document.project());
        let library = self.evals.library(&project, self.document.revision());
        let words = change_words(&from, &to, &library, style_of(&self.settings));
        Difference { numbers, words, figures: figure_changes(&from.evaluation, &to.evaluation) }
    }
}

//! The phase table beyond its lines: the cell that the keyboard is on, a range of cells, folded
//! phases, columns, and what copying, pasting, clearing and filling down do.

mod apply;
mod columns;
mod paste;
mod text;

pub use columns::{ColumnChoice, WIDTHS, choices_of, from_settings, settings_of};
pub use paste::amount_of;
pub use text::cell_text;

use std::collections::BTreeSet;

use quern_calc::formula::{Formula, FormulaId, Item, LineId, PhaseId};

/// A column of the phase table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Column {
    /// Name of the material.
    Material,
    /// INCI name with form.
    Inci,
    /// Function.
    Function,
    /// % of the product.
    Percent,
    /// Weight in the present batch.
    Grams,
    /// % of its phase.
    OfPhase,
    /// Cost in the present batch.
    Cost,
    /// Note.
    Note,
    /// Findings and marks.
    Flags,
}

impl Column {
    /// All of them, in the order on screen.
    pub const ALL: [Self; 9] = [
        Self::Material,
        Self::Inci,
        Self::Function,
        Self::Percent,
        Self::Grams,
        Self::OfPhase,
        Self::Cost,
        Self::Note,
        Self::Flags,
    ];

    /// Key in the preferences.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Material => "material",
            Self::Inci => "inci",
            Self::Function => "function",
            Self::Percent => "percent",
            Self::Grams => "grams",
            Self::OfPhase => "of-phase",
            Self::Cost => "cost",
            Self::Note => "note",
            Self::Flags => "flags",
        }
    }

    /// Name on screen.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Material => say!("Material"),
            Self::Inci => say!("INCI name"),
            Self::Function => say!("Function"),
            Self::Percent => say!("Percent"),
            Self::Grams => say!("Weight"),
            Self::OfPhase => say!("Percent of phase"),
            Self::Cost => say!("Cost"),
            Self::Note => say!("Note"),
            Self::Flags => say!("Marks"),
        }
    }

    /// True for cells that can be typed in.
    #[must_use]
    pub fn is_typed(self) -> bool {
        matches!(self, Self::Material | Self::Percent | Self::Grams | Self::Note)
    }

    /// True for columns that cannot be hidden.
    #[must_use]
    pub fn is_fixed(self) -> bool {
        matches!(self, Self::Material | Self::Percent)
    }
}

/// A cell of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CellAt {
    /// The line.
    pub line: LineId,
    /// The column.
    pub column: Column,
}

/// What a material is searched for in the table itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finding {
    /// Another material for this line.
    On(LineId),
    /// A new line at this place of the phase.
    New {
        /// The phase.
        phase: PhaseId,
        /// Place in it, from 0.
        index: usize,
    },
}

/// What the table remembers beside the project.
#[derive(Clone, Debug, Default)]
pub struct TableState {
    /// The cell that the keyboard is on or was on last.
    pub cursor: Option<CellAt>,
    /// The other corner of the range; the cursor's own cell where nothing is ranged.
    pub anchor: Option<CellAt>,
    /// The line under the pointer.
    pub hovered: Option<LineId>,
    /// Phases whose lines are hidden.
    pub folded: BTreeSet<(FormulaId, PhaseId)>,
    /// A material under search in the table.
    pub finding: Option<Finding>,
    /// Columns as chosen, in the order on screen.
    pub columns: Vec<ColumnChoice>,
}

/// A rectangle of cells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Range {
    /// Lines, from top to bottom.
    pub lines: Vec<LineId>,
    /// Columns, from left to right.
    pub columns: Vec<Column>,
}

impl Range {
    /// True when it holds this cell.
    #[must_use]
    pub fn holds(&self, cell: CellAt) -> bool {
        self.columns.contains(&cell.column) && self.lines.contains(&cell.line)
    }

    /// Number of cells.
    #[must_use]
    pub fn cells(&self) -> usize {
        self.lines.len().saturating_mul(self.columns.len())
    }
}

impl TableState {
    /// True when the lines of the phase are hidden.
    #[must_use]
    pub fn is_folded(&self, formula: &FormulaId, phase: PhaseId) -> bool {
        !self.folded.is_empty() && self.folded.contains(&(formula.clone(), phase))
    }

    /// Lines that can be seen, from top to bottom.
    #[must_use]
    pub fn visible(&self, formula: &Formula) -> Vec<LineId> {
        formula
            .phases
            .iter()
            .filter(|p| !self.is_folded(&formula.id, p.id))
            .flat_map(|p| p.lines.iter().map(|l| l.id))
            .collect()
    }

    /// Columns that are shown, from left to right.
    #[must_use]
    pub fn shown(&self) -> Vec<Column> {
        choices_of(&self.columns).iter().filter(|c| c.shown).map(|c| c.column).collect()
    }

    /// The range between anchor and cursor; `None` without a cursor.
    #[must_use]
    pub fn range(&self, formula: &Formula) -> Option<Range> {
        let cursor = self.cursor?;
        let anchor = self.anchor.unwrap_or(cursor);
        let lines = self.visible(formula);
        let columns = self.shown();
        Some(Range {
            lines: between(&lines, anchor.line, cursor.line)?,
            columns: between(&columns, anchor.column, cursor.column)?,
        })
    }
}

/// The part of a list from one of its entries to another, both in.
fn between<T: Copy + PartialEq>(list: &[T], a: T, b: T) -> Option<Vec<T>> {
    let a = list.iter().position(|x| *x == a)?;
    let b = list.iter().position(|x| *x == b)?;
    list.get(a.min(b)..=a.max(b)).map(<[T]>::to_vec)
}

/// Something that the table asks for.
#[derive(Clone, Debug)]
pub enum TableAction {
    /// Puts the cursor on a cell, with the other corner of the range.
    Select {
        /// Corner that stays.
        anchor: CellAt,
        /// Corner that moves.
        cursor: CellAt,
    },
    /// The pointer is over this line, or over none.
    Hover(Option<LineId>),
    /// Hides or shows the lines of a phase.
    Fold(PhaseId, bool),
    /// Starts or ends a search in the table.
    Find(Option<Finding>),
    /// Ends a search and goes back to the cell.
    GiveUp,
    /// Takes what was found.
    Take(Item),
    /// Copies the range; with `cut` it is cleared, too.
    Copy {
        /// Clear it.
        cut: bool,
    },
    /// Pastes tab-separated text from the cursor on.
    Paste {
        /// The text.
        text: String,
        /// As lines of their own after the cursor, not over what is there.
        as_lines: bool,
    },
    /// Clears the range.
    Clear,
    /// Sets a note.
    Note(LineId, String),
    /// Shows, hides or resizes columns; `done` when a drag has ended.
    Columns {
        /// All columns as chosen.
        columns: Vec<ColumnChoice>,
        /// Keep it in the preferences now.
        done: bool,
    },
}

#[cfg(test)]
mod tests {
    use super::*;
    use quern_calc::formula::{PhaseKind, PhaseTemperature};

    fn formula() -> Formula {
        let mut f = Formula::empty(FormulaId::new("a"), "A");
        let first = f.phases.first().map(|p| p.id);
        let second = f.add_phase("Later", PhaseKind::CoolDown, PhaseTemperature::Unstated);
        for phase in [first, Some(second)].into_iter().flatten() {
            for _ in 0..3 {
                let item = Item::Material(quern_calc::formula::MaterialId::new("x"));
                let _ = f.add_line(phase, item, None);
            }
        }
        f
    }

    #[test]
    fn a_range_has_two_corners_in_any_order() {
        let f = formula();
        let ids: Vec<LineId> = f.lines().map(|(_, l)| l.id).collect();
        let at = |i: usize, column| CellAt { line: ids[i], column };
        for (a, b) in [
            (at(1, Column::Percent), at(4, Column::Inci)),
            (at(4, Column::Percent), at(1, Column::Inci)),
            (at(4, Column::Inci), at(1, Column::Percent)),
        ] {
            let state = TableState { cursor: Some(a), anchor: Some(b), ..Default::default() };
            let range = state.range(&f).unwrap_or_else(|| panic!("a range"));
            assert_eq!(range.lines, ids[1..=4]);
            assert_eq!(range.columns, [Column::Inci, Column::Function, Column::Percent]);
            assert_eq!(range.cells(), 12);
            assert!(range.holds(a) && range.holds(b) && !range.holds(at(0, Column::Inci)));
        }
    }

    #[test]
    fn hidden_lines_are_in_no_range() {
        let f = formula();
        let ids: Vec<LineId> = f.lines().map(|(_, l)| l.id).collect();
        let mut state = TableState {
            cursor: Some(CellAt { line: ids[5], column: Column::Percent }),
            anchor: Some(CellAt { line: ids[3], column: Column::Percent }),
            ..Default::default()
        };
        assert!(state.range(&f).is_some());
        state.folded.insert((f.id.clone(), f.phases[1].id));
        assert_eq!(state.visible(&f), ids[..3]);
        assert_eq!(state.range(&f), None);
    }
}

//! Places of the table's columns for the room there is.

use crate::app::table::{Column, ColumnChoice, WIDTHS};
use crate::look::size;

/// Left edges and widths, in points from the left of the table.
#[derive(Clone, Debug)]
pub struct Columns {
    /// Whole width.
    pub width: f32,
    places: Vec<(Column, f32, f32)>,
    folded: bool,
}

/// Width at the left for the grip.
const GRIP: f32 = 18.0;
/// Gap before the marks.
const GAP: f32 = 12.0;

/// Usual width of a column, and its part of what is left over.
fn usual(column: Column, narrow: bool) -> (f32, f32) {
    match column {
        Column::Material => (130.0, 1.0),
        Column::Inci => (110.0, 1.0),
        Column::Note => (90.0, 0.7),
        Column::Function => (110.0, 0.0),
        Column::Percent => (76.0, 0.0),
        Column::Grams => (88.0, 0.0),
        Column::OfPhase => (76.0, 0.0),
        Column::Cost => (84.0, 0.0),
        Column::Flags => (if narrow { 44.0 } else { 96.0 } + GAP, 0.0),
    }
}

impl Columns {
    /// Shares out a width among the columns that are shown. Where there is no room for all, the
    /// least needed fold away first; INCI name and function then stand with the material.
    #[must_use]
    pub fn new(available: f32, choices: &[ColumnChoice]) -> Self {
        let width = available.max(320.0);
        let narrow = width < 420.0;
        let mut shown: Vec<ColumnChoice> = choices.iter().filter(|c| c.shown).copied().collect();
        let has_names = shown.iter().any(|c| matches!(c.column, Column::Inci | Column::Function));
        let least = |c: &ColumnChoice| c.width.unwrap_or(usual(c.column, narrow).0);
        let fits = |list: &[ColumnChoice]| list.iter().map(least).sum::<f32>() + GRIP <= width;
        for gone in [
            &[Column::Note][..],
            &[Column::OfPhase],
            &[Column::Cost],
            &[Column::Inci, Column::Function],
            &[Column::Flags],
        ] {
            let folds_names = gone.contains(&Column::Inci) && width < size::FOLD_BELOW - 60.0;
            if !fits(&shown) || folds_names {
                shown.retain(|c| !gone.contains(&c.column));
            }
        }
        let folded =
            has_names && !shown.iter().any(|c| matches!(c.column, Column::Inci | Column::Function));
        let spare = (width - GRIP - shown.iter().map(least).sum::<f32>()).max(0.0);
        let parts: f32 =
            shown.iter().filter(|c| c.width.is_none()).map(|c| usual(c.column, narrow).1).sum();
        let mut x = GRIP;
        let mut places = Vec::with_capacity(shown.len());
        for c in &shown {
            let mut w = least(c);
            if c.width.is_none() && parts > 0.0 {
                w += spare * usual(c.column, narrow).1 / parts;
            }
            // Whatever was chosen, the rest must stay in reach.
            let w = w.clamp(WIDTHS.0, (width - GRIP - 40.0).max(WIDTHS.0));
            let gap = if c.column == Column::Flags { GAP } else { 0.0 };
            places.push((c.column, x + gap, (w - gap).max(0.0)));
            x += w;
        }
        Self { width: width.max(x), places, folded }
    }

    /// Left edge and width of a column; `None` when it is not shown.
    #[must_use]
    pub fn of(&self, column: Column) -> Option<(f32, f32)> {
        self.places.iter().find(|(c, ..)| *c == column).map(|(_, x, w)| (*x, *w))
    }

    /// Every shown column with left edge and width, from left to right.
    pub fn all(&self) -> impl Iterator<Item = (Column, f32, f32)> + '_ {
        self.places.iter().copied()
    }

    /// The shown column at this distance from the left; the nearest beyond the ends.
    #[must_use]
    pub fn at(&self, x: f32) -> Option<Column> {
        let found = self.places.iter().rev().find(|(_, left, _)| x >= *left);
        found.or_else(|| self.places.first()).map(|(c, ..)| *c)
    }

    /// Left edge of the first column of numbers: names have the room before it.
    #[must_use]
    pub fn numbers(&self) -> f32 {
        self.of(Column::Percent).map_or(self.width, |(x, _)| x)
    }

    /// True when INCI name and function stand in the material cell for want of room.
    #[must_use]
    pub fn folded(&self) -> bool {
        self.folded
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::table::choices_of;

    fn all_shown() -> Vec<ColumnChoice> {
        let mut all = choices_of(&[]);
        for c in &mut all {
            c.shown = true;
        }
        all
    }

    #[test]
    fn columns_stand_side_by_side_within_the_width() {
        for choices in [choices_of(&[]), all_shown()] {
            for width in [320.0, 400.0, 560.0, 700.0, 900.0, 1500.0_f32] {
                let c = Columns::new(width, &choices);
                let mut x = 0.0;
                for (column, left, w) in c.all() {
                    assert!(left >= x && w > 20.0, "{column:?} at {width}");
                    x = left + w;
                }
                assert!(x <= c.width + 0.5, "{width}: {x} of {}", c.width);
                assert!(c.of(Column::Material).is_some() && c.of(Column::Percent).is_some());
                assert!(c.of(Column::Grams).is_some(), "{width}");
            }
        }
    }

    #[test]
    fn names_fold_into_the_material_where_it_is_narrow() {
        assert!(Columns::new(500.0, &choices_of(&[])).folded());
        assert!(!Columns::new(900.0, &choices_of(&[])).folded());
    }

    #[test]
    fn a_chosen_width_is_kept_and_the_others_take_the_rest() {
        let mut choices = choices_of(&[]);
        for c in &mut choices {
            if c.column == Column::Inci {
                c.width = Some(300.0);
            }
        }
        let c = Columns::new(1000.0, &choices);
        assert_eq!(c.of(Column::Inci).map(|(_, w)| w), Some(300.0));
        assert!(c.of(Column::Material).is_some_and(|(_, w)| w > 130.0));
    }
}

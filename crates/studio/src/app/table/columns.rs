//! Which columns are shown and how wide they are.

use quern_project::settings::ColumnSetting;

use super::Column;

/// Narrowest and widest column, in points.
pub const WIDTHS: (f32, f32) = (40.0, 600.0);

/// A column as chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColumnChoice {
    /// The column.
    pub column: Column,
    /// Shown.
    pub shown: bool,
    /// Width in points; `None` for the usual one.
    pub width: Option<f32>,
}

/// Every column in the order on screen, as chosen or as usual.
#[must_use]
pub fn choices_of(chosen: &[ColumnChoice]) -> Vec<ColumnChoice> {
    Column::ALL
        .into_iter()
        .map(|column| {
            let usual = !matches!(column, Column::OfPhase | Column::Cost | Column::Note);
            let choice = chosen.iter().find(|c| c.column == column).copied();
            let mut choice = choice.unwrap_or(ColumnChoice { column, shown: usual, width: None });
            choice.shown |= column.is_fixed();
            choice.width = choice.width.map(|w| w.clamp(WIDTHS.0, WIDTHS.1));
            choice
        })
        .collect()
}

/// Columns as the preferences have them; keys that no column has are left out.
#[must_use]
pub fn from_settings(settings: &[ColumnSetting]) -> Vec<ColumnChoice> {
    settings
        .iter()
        .filter_map(|s| {
            let column = Column::ALL.into_iter().find(|c| c.key() == s.key)?;
            let width = (s.width > 0.0).then_some(s.width);
            Some(ColumnChoice { column, shown: s.shown, width })
        })
        .collect()
}

/// Columns as they are kept in the preferences; a width of 0 is the usual one.
#[must_use]
pub fn settings_of(chosen: &[ColumnChoice]) -> Vec<ColumnSetting> {
    chosen
        .iter()
        .map(|c| ColumnSetting {
            key: c.column.key().to_owned(),
            width: c.width.unwrap_or(0.0),
            shown: c.shown,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_survive_the_preferences() {
        let mut chosen = choices_of(&[]);
        assert_eq!(chosen.len(), Column::ALL.len());
        for c in &mut chosen {
            if c.column == Column::Cost {
                (c.shown, c.width) = (true, Some(120.0));
            }
        }
        assert_eq!(choices_of(&from_settings(&settings_of(&chosen))), chosen);
    }

    #[test]
    fn material_and_percent_cannot_be_hidden_and_widths_have_ends() {
        let all: Vec<ColumnChoice> = Column::ALL
            .into_iter()
            .map(|column| ColumnChoice { column, shown: false, width: Some(1e9) })
            .collect();
        for c in choices_of(&all) {
            assert_eq!(c.shown, c.column.is_fixed(), "{:?}", c.column);
            assert_eq!(c.width, Some(WIDTHS.1));
        }
    }
}

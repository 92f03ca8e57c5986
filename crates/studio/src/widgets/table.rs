//! A table of a name and right-aligned cells, and headings over parts of a view.

use egui::text::{LayoutJob, TextWrapping};
use egui::{
    Align, Color32, FontId, Label, Layout, Pos2, RichText, Role, Sense, Stroke, Ui, WidgetInfo,
    pos2, vec2,
};

use crate::look::{Tokens, fonts, size};

/// A heading with a note beside it.
pub fn title(ui: &mut Ui, text: &str, note: &str) {
    let t = Tokens::of(ui);
    ui.horizontal(|ui| {
        ui.label(RichText::new(text).font(fonts::strong(size::SMALL)).color(t.ink));
        ui.add(Label::new(RichText::new(note).font(fonts::small()).color(t.muted)).truncate());
    });
}

/// Pads a number with spaces as wide as figures, so that a column lines up on the decimal mark.
/// What is not a bare number stays as it is.
fn padded(text: &str, decimals: usize) -> String {
    const FIGURE_SPACE: char = '\u{2007}';
    const MARK_SPACE: char = '\u{2008}';
    let Some(has) = decimals_of(text) else { return text.to_owned() };
    let mut out = text.to_owned();
    if has == 0 && decimals > 0 {
        out.push(MARK_SPACE);
    }
    out.extend((has..decimals).map(|_| FIGURE_SPACE));
    out
}

/// Decimals of a bare number; nothing for anything else.
fn decimals_of(text: &str) -> Option<usize> {
    let bare = text.trim_start_matches(['-', '+', '\u{2212}', '<', '>', '±', '≈']).trim_start();
    let known = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '\u{202f}' | '\u{2009}');
    if !bare.starts_with(|c: char| c.is_ascii_digit()) || !bare.chars().all(known) {
        return None;
    }
    Some(bare.rsplit_once(['.', ',']).map_or(0, |(_, d)| d.chars().count()))
}

/// The most decimals in each column of texts.
fn most_decimals<'a>(rows: impl Iterator<Item = Vec<&'a str>>) -> Vec<usize> {
    let mut most: Vec<usize> = Vec::new();
    for row in rows {
        most.resize(most.len().max(row.len()), 0);
        for (most, text) in most.iter_mut().zip(row) {
            *most = (*most).max(decimals_of(text).unwrap_or(0));
        }
    }
    most
}

/// A figure padded to stand on the decimal mark with another one, `most`, of the same column.
#[must_use]
pub fn on_the_mark(text: &str, most: &str) -> String {
    padded(text, decimals_of(most).unwrap_or(0))
}

/// Lines the cells of each column up on the decimal mark.
pub fn line_up(rows: &mut [Vec<Cell>]) {
    let most = most_decimals(rows.iter().map(|r| r.iter().map(|c| c.text.as_str()).collect()));
    for row in rows {
        for (cell, decimals) in row.iter_mut().zip(&most) {
            cell.text = padded(&cell.text, *decimals);
        }
    }
}

/// Rows of figures whose columns line up on the decimal mark; each row is one piece to be read
/// aloud.
pub fn rows(ui: &mut Ui, rows: Vec<(Cell, Vec<Cell>)>, cell: f32) {
    let (names, mut figures): (Vec<Cell>, Vec<Vec<Cell>>) = rows.into_iter().unzip();
    line_up(&mut figures);
    for (name, cells) in names.iter().zip(&figures) {
        row_of_cells(ui, name, cells, cell);
    }
}

/// Width of a cell where a table has the whole room.
#[must_use]
pub fn cell_width(ui: &Ui, cells: usize) -> f32 {
    (ui.available_width() * 0.5 / cells.max(1) as f32).clamp(58.0, 104.0)
}

/// A row of a name and right-aligned cells.
pub fn row(ui: &mut Ui, name: RichText, cells: &[RichText], strong_rule: bool) {
    let cell = cell_width(ui, cells.len());
    row_of(ui, name, cells, cell, strong_rule);
}

/// A row with cells of this width.
pub fn row_of(ui: &mut Ui, name: RichText, cells: &[RichText], cell: f32, strong_rule: bool) {
    let t = Tokens::of(ui);
    let width = ui.available_width();
    let first = width - cell * cells.len() as f32 - 4.0;
    let (rect, _) = ui.allocate_exact_size(vec2(width, 25.0), Sense::hover());
    let place = |x: f32, w: f32| {
        egui::Rect::from_min_size(pos2(rect.left() + x, rect.top()), vec2(w, rect.height()))
    };
    let put = |ui: &mut Ui, rect, layout, text: RichText| {
        let mut child = ui.new_child(egui::UiBuilder::new().max_rect(rect).layout(layout));
        child.add(Label::new(text).truncate().selectable(false));
    };
    put(ui, place(0.0, first), Layout::left_to_right(Align::Center), name);
    for (i, text) in cells.iter().enumerate() {
        let at = place(first + cell * i as f32, cell);
        put(ui, at, Layout::right_to_left(Align::Center), text.clone());
    }
    let color = if strong_rule { t.edge } else { t.hairline };
    ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, color));
}

/// A cell of a row that is drawn as one piece.
pub struct Cell {
    /// What it says.
    pub text: String,
    /// Typeface and size.
    pub font: FontId,
    /// Colour.
    pub color: Color32,
}

impl Cell {
    /// Usual text.
    #[must_use]
    pub fn plain(t: &Tokens, text: impl Into<String>) -> Self {
        Self { text: text.into(), font: fonts::text(), color: t.ink }
    }

    /// Text that matters less.
    #[must_use]
    pub fn muted(t: &Tokens, text: impl Into<String>) -> Self {
        Self { color: t.muted, ..Self::plain(t, text) }
    }

    /// Text that matters more.
    #[must_use]
    pub fn strong(t: &Tokens, text: impl Into<String>) -> Self {
        Self { font: fonts::strong(size::TEXT), ..Self::plain(t, text) }
    }
}

/// A row of a name and right-aligned cells as one piece: one thing to be read aloud, and cheap to
/// draw for tables of many rows.
pub fn whole_row(ui: &mut Ui, name: &str, cells: &[Cell], cell: f32) {
    let t = Tokens::of(ui);
    row_of_cells(ui, &Cell::plain(t, name), cells, cell);
}

fn row_of_cells(ui: &mut Ui, name: &Cell, cells: &[Cell], cell: f32) {
    let t = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 25.0), Sense::hover());
    response.widget_info(|| {
        let said: Vec<&str> =
            cells.iter().map(|c| c.text.trim()).filter(|c| !c.is_empty()).collect();
        WidgetInfo::labeled(Role::Label, true, format!("{}: {}", name.text, said.join(", ")))
    });
    if !ui.is_rect_visible(rect) {
        return;
    }
    let painter = ui.painter();
    let put = |c: &Cell, right: bool, at: Pos2, room: f32| {
        let mut job = LayoutJob::simple_singleline(c.text.clone(), c.font.clone(), c.color);
        job.wrap = TextWrapping::truncate_at_width(room);
        let galley = painter.layout_job(job);
        let left = if right { at.x - galley.size().x } else { at.x };
        painter.galley(pos2(left, at.y - galley.size().y / 2.0), galley, c.color);
    };
    let first = rect.width() - cell * cells.len() as f32 - 4.0;
    let y = rect.center().y;
    put(name, false, pos2(rect.left(), y), first);
    for (i, c) in cells.iter().enumerate() {
        let right = rect.left() + first + cell * (i as f32 + 1.0);
        put(c, true, pos2(right, y), cell - 4.0);
    }
    painter.hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, t.hairline));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_padded_to_the_most_decimals_of_their_column() {
        assert_eq!(padded("12", 2), "12\u{2008}\u{2007}\u{2007}");
        assert_eq!(padded("1.5", 2), "1.5\u{2007}");
        assert_eq!(padded("0,25", 2), "0,25");
        assert_eq!(padded("-3", 1), "-3\u{2008}\u{2007}");
        for words in ["–", "12 to 15", "45 °C", "none", ""] {
            assert_eq!(padded(words, 2), words);
        }
    }

    #[test]
    fn a_column_is_measured_by_its_numbers_alone() {
        let rows = [vec!["1.25", "words 1.2345"], vec!["7", "3.5"], vec!["–"]];
        assert_eq!(most_decimals(rows.into_iter()), [2, 1]);
    }
}

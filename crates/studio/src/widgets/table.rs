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

/// A row of a name and right-aligned cells.
pub fn row(ui: &mut Ui, name: RichText, cells: &[RichText], strong_rule: bool) {
    let width = ui.available_width();
    let cell = (width * 0.5 / cells.len().max(1) as f32).clamp(58.0, 104.0);
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

/// A row of a name and right-aligned cells as one piece: one thing to be read aloud, and cheap to
/// draw for tables of many rows.
pub fn whole_row(ui: &mut Ui, name: &str, cells: &[Cell], cell: f32) {
    let t = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 25.0), Sense::hover());
    response.widget_info(|| {
        let said: Vec<&str> =
            cells.iter().map(|c| c.text.as_str()).filter(|c| !c.is_empty()).collect();
        WidgetInfo::labeled(Role::Label, true, format!("{name}: {}", said.join(", ")))
    });
    if !ui.is_rect_visible(rect) {
        return;
    }
    let painter = ui.painter();
    let put = |text: &str, font: FontId, color: Color32, right: bool, at: Pos2, room: f32| {
        let mut job = LayoutJob::simple_singleline(text.to_owned(), font, color);
        job.wrap = TextWrapping::truncate_at_width(room);
        let galley = painter.layout_job(job);
        let left = if right { at.x - galley.size().x } else { at.x };
        painter.galley(pos2(left, at.y - galley.size().y / 2.0), galley, color);
    };
    let first = rect.width() - cell * cells.len() as f32 - 4.0;
    let y = rect.center().y;
    put(name, fonts::text(), t.ink, false, pos2(rect.left(), y), first);
    for (i, c) in cells.iter().enumerate() {
        let right = rect.left() + first + cell * (i as f32 + 1.0);
        put(&c.text, c.font.clone(), c.color, true, pos2(right, y), cell - 4.0);
    }
    painter.hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, t.hairline));
}

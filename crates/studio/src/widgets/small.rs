//! Small buttons, pills and signs.

use egui::{Button, Color32, Response, RichText, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, vec2};

use crate::look::icons::{self, Icon, Sign};
use crate::look::{Tokens, fonts, size};

/// A square button with an icon and a name for those who cannot see it.
pub fn icon_button(ui: &mut Ui, icon: Icon, name: &str, tooltip: &str, enabled: bool) -> Response {
    let t = Tokens::of(ui);
    let side = size::CONTROL;
    let sense = if enabled { Sense::click() } else { Sense::hover() };
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(side), sense);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, enabled, name));
    let ground = if response.has_focus() || (enabled && response.hovered()) {
        t.hover
    } else {
        Color32::TRANSPARENT
    };
    ui.painter().rect_filled(rect, 5.0, ground);
    let color = if enabled { t.ink } else { t.hairline };
    icons::draw(ui.painter(), icon, rect.shrink(5.0), color);
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    response.on_hover_text(tooltip)
}

/// The main button of a view or dialog.
pub fn primary_button(ui: &mut Ui, text: &str) -> Response {
    let t = Tokens::of(ui);
    let label = RichText::new(text).font(fonts::strong(size::TEXT)).color(t.on_accent);
    ui.add(Button::new(label).fill(t.accent).stroke(Stroke::NONE).min_size(vec2(96.0, 32.0)))
}

/// A name cut with dots after so many characters.
#[must_use]
pub fn short(name: &str, most: usize) -> String {
    if name.chars().count() <= most {
        return name.to_owned();
    }
    let cut: String = name.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", cut.trim_end())
}

/// A rounded mark with a word, such as "dust" or "q.s.". Draws at the left of `at` and gives
/// the width used.
pub fn pill(ui: &Ui, at: egui::Pos2, text: &str, color: Color32) -> f32 {
    let galley = ui.painter().layout_no_wrap(text.to_owned(), fonts::small(), color);
    let width = galley.size().x + 14.0;
    let rect = egui::Rect::from_min_size(at - vec2(0.0, 9.0), vec2(width, 18.0));
    ui.painter().rect_stroke(rect, 9.0, Stroke::new(1.0, color), egui::StrokeKind::Inside);
    ui.painter().galley(rect.center() - galley.size() / 2.0, galley, color);
    width
}

/// A sign of a severity with a text beside it, on one line.
pub fn sign_label(ui: &mut Ui, sign: Sign, color: Color32, text: RichText) -> Response {
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::splat(14.0), Sense::hover());
        icons::sign(ui.painter(), rect.center(), sign, color);
        ui.label(text);
    })
    .response
}

/// A text on one line that ends in dots where there is no room for it.
pub fn fitted(
    painter: &egui::Painter,
    text: &str,
    font: egui::FontId,
    color: Color32,
    room: f32,
) -> std::sync::Arc<egui::Galley> {
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, color);
    job.wrap = egui::text::TextWrapping::truncate_at_width(room.max(0.0));
    painter.layout_job(job)
}

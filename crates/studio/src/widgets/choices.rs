//! A row of a list that one picks from: two lines and a word at the right.

use egui::{Response, Sense, Ui, WidgetInfo, vec2};

use crate::look::{Tokens, fonts};

/// Height of a row.
pub const HEIGHT: f32 = 40.0;

/// What a row says.
#[derive(Clone, Copy, Debug)]
pub struct Choice<'a> {
    /// First line.
    pub name: &'a str,
    /// Second line; for what cannot be taken, why.
    pub about: &'a str,
    /// At the right.
    pub right: &'a str,
    /// Can be taken.
    pub enabled: bool,
}

/// Draws a row; `here` is the one that Enter takes.
pub fn row(ui: &mut Ui, choice: Choice<'_>, here: bool) -> Response {
    let Choice { name, about, right, enabled } = choice;
    let t = Tokens::of(ui);
    let sense = if enabled { Sense::CLICK } else { Sense::hover() };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), sense);
    response.widget_info(|| {
        let said = if enabled { name.to_owned() } else { format!("{name}: {about}") };
        WidgetInfo::selected(egui::Role::ListBoxOption, enabled, here, said)
    });
    if here {
        ui.painter().rect_filled(rect, 4.0, t.row);
    } else if response.hovered() {
        ui.painter().rect_filled(rect, 4.0, t.hover);
    }
    let line = |at, text: &str, font, color, room: f32| {
        let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, color);
        job.wrap = egui::text::TextWrapping::truncate_at_width(room);
        let galley = ui.painter().layout_job(job);
        ui.painter().galley(at, galley, color);
    };
    let right = ui.painter().layout_no_wrap(right.to_owned(), fonts::small(), t.muted);
    let at = rect.min + vec2(8.0, 4.0);
    let ink = if enabled { t.ink } else { t.muted };
    line(at, name, fonts::text(), ink, rect.width() - right.size().x - 30.0);
    line(at + vec2(0.0, 17.0), about, fonts::small(), t.muted, rect.width() - 16.0);
    let place = rect.right_top() + vec2(-right.size().x - 8.0, 6.0);
    ui.painter().galley(place, right, t.muted);
    response
}

//! A thin track with a dot.

use egui::{Rect, Sense, Stroke, Ui, pos2, vec2};
use quern_calc::evaluate::Track;

use crate::look::Tokens;

/// Draws a track; figures come ready from the engine.
pub fn track(ui: &mut Ui, track: &Track, off: bool, width: f32) {
    let t = Tokens::of(ui);
    let (rect, _) = ui.allocate_exact_size(vec2(width, 16.0), Sense::hover());
    let x = |at: f64| {
        #[allow(clippy::cast_possible_truncation)] // a place on screen
        let at = at as f32;
        rect.left() + 5.0 + at * (rect.width() - 10.0)
    };
    let y = rect.center().y;
    let painter = ui.painter();
    painter
        .line_segment([pos2(rect.left(), y), pos2(rect.right(), y)], Stroke::new(1.5, t.hairline));
    let color = if off { t.stop } else { t.accent };
    if let Some((low, high)) = track.band {
        let band = Rect::from_min_max(pos2(x(low) - 2.0, y - 3.5), pos2(x(high) + 2.0, y + 3.5));
        painter.rect_filled(band, 3.5, Tokens::tint(color, 70));
    }
    painter.circle_filled(pos2(x(track.at), y), 4.5, color);
}

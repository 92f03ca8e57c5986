//! Where the parts of the window are. They are laid out before they are drawn, so that they can be
//! drawn in reading order.

use egui::{Rangef, Rect, Stroke, Ui, pos2};

use crate::look::{Tokens, size};

/// Less than this beside the drawer is not worth drawing.
const LEAST_MIDDLE: f32 = 60.0;

/// The parts of the window.
#[derive(Clone, Copy, Debug)]
pub struct Areas {
    /// Top bar.
    pub top: Rect,
    /// What is said of the whole view, below the top bar.
    pub strip: Option<Rect>,
    /// Rail of views.
    pub rail: Rect,
    /// What the view shows; nothing where the drawer takes its place.
    pub middle: Option<Rect>,
    /// Side panel or drawer.
    pub side: Option<Rect>,
    /// Batch bar.
    pub batch: Option<Rect>,
}

impl Areas {
    /// Parts of a window of this size.
    #[must_use]
    pub fn new(screen: Rect, strip: bool, side: bool, batch: bool) -> Self {
        let narrow = screen.width() < size::DRAWER_BELOW;
        let low = screen.height() < size::LOW_BELOW;
        let across = |y: Rangef| Rect::from_x_y_ranges(screen.x_range(), y);
        let top = across(Rangef::new(screen.top(), screen.top() + size::TOP));
        let foot = if low { size::BATCH_LOW } else { size::BATCH };
        let bottom = if batch { screen.bottom() - foot } else { screen.bottom() };
        let bottom = bottom.max(top.bottom());
        let batch = batch.then(|| across(Rangef::new(bottom, screen.bottom())));
        let strip_bottom = (top.bottom() + if strip { size::STRIP } else { 0.0 }).min(bottom);
        let strip = strip.then(|| across(Rangef::new(top.bottom(), strip_bottom)));
        let down = Rangef::new(strip_bottom, bottom);
        let rail_right = screen.left() + if low { size::RAIL_LOW } else { size::RAIL };
        let rail = Rect::from_x_y_ranges(Rangef::new(screen.left(), rail_right), down);
        // There is no room for both in the narrowest.
        let alone = narrow && screen.width() < size::FOLD_BELOW;
        let side_left = match (side, alone) {
            (false, _) => screen.right(),
            (true, true) => rail_right,
            (true, false) => screen.right() - size::SIDE,
        };
        let part = |from: f32, to: f32| Rect::from_x_y_ranges(Rangef::new(from, to), down);
        let middle = (side_left - rail_right > LEAST_MIDDLE).then(|| part(rail_right, side_left));
        let side = side.then(|| part(side_left, screen.right()));
        Self { top, strip, rail, middle, side, batch }
    }

    /// Hairlines between the parts.
    pub fn rules(&self, ui: &Ui) {
        let stroke = Stroke::new(1.0, Tokens::of(ui).hairline);
        let painter = ui.painter();
        painter.hline(self.top.x_range(), self.top.bottom(), stroke);
        if let Some(strip) = self.strip {
            painter.hline(strip.x_range(), strip.bottom(), stroke);
        }
        painter.vline(self.rail.right(), self.rail.y_range(), stroke);
        if let Some(side) = self.side {
            painter.line_segment([side.left_top(), pos2(side.left(), side.bottom())], stroke);
        }
        if let Some(batch) = self.batch {
            painter.hline(batch.x_range(), batch.top(), stroke);
        }
    }
}

#[cfg(test)]
mod tests {
    use egui::vec2;

    use super::*;

    #[test]
    fn the_parts_fill_the_window_and_never_overlap() {
        for (width, height) in [(1920.0, 1080.0), (1280.0, 800.0), (880.0, 600.0), (640.0, 400.0)] {
            for choice in 0..8_u8 {
                let [strip, side, batch] = [1, 2, 4].map(|bit| choice & bit != 0);
                let screen = Rect::from_min_size(pos2(0.0, 0.0), vec2(width, height));
                let a = Areas::new(screen, strip, side, batch);
                let parts: Vec<Rect> =
                    [Some(a.top), a.strip, Some(a.rail), a.middle, a.side, a.batch]
                        .into_iter()
                        .flatten()
                        .collect();
                let area: f32 = parts.iter().map(Rect::area).sum();
                assert!(
                    (area - screen.area()).abs() < 1.0,
                    "{width} {height} {strip} {side} {batch}"
                );
                assert_eq!(a.side.is_some(), side);
                for (i, p) in parts.iter().enumerate() {
                    assert!(screen.contains_rect(*p), "{p:?}");
                    for q in parts.iter().skip(i + 1) {
                        assert!(p.intersect(*q).area() < 1.0 || !p.intersects(*q), "{p:?} {q:?}");
                    }
                }
            }
        }
    }
}

//! Where the window is: noted while it moves, kept at the close, and put right where the screen
//! that it was on is gone.

use egui::{Pos2, Rect, ViewportCommand, ViewportInfo, pos2};
use quern_project::settings::WindowPlace;

use super::App;
use super::preferences::view_key;

/// Seconds between two writings of the settings for the sake of a place.
const EVERY: f64 = 3.0;
/// Points of the window's upper edge that must lie on a screen, so that it can be taken hold of.
const GRIP: (f32, f32) = (96.0, 24.0);

/// What is remembered of the window between frames.
#[derive(Debug, Default)]
pub(super) struct Placing {
    /// Something is noted that is not on disk.
    unsaved: bool,
    /// When it was last written.
    written: Option<f64>,
    /// The screens were looked at.
    checked: bool,
}

/// The place of a window that tells it; one that is hidden or fills the screen keeps the size it
/// had before.
fn place_of(info: &ViewportInfo, zoom: f32, before: Option<WindowPlace>) -> Option<WindowPlace> {
    if info.minimized == Some(true) || info.fullscreen == Some(true) {
        return before;
    }
    let maximised = info.maximized == Some(true);
    let inner = info.inner_rect?;
    if maximised && let Some(before) = before {
        return Some(WindowPlace { maximised, ..before });
    }
    // Zoom changes what a point is; the place is kept in those of the system.
    let size = inner.size() * zoom;
    let corner = info.outer_rect.map(|r| r.min).filter(|_| !maximised);
    WindowPlace {
        at: corner.map(|p| (p.x * zoom, p.y * zoom)),
        size: (size.x.round(), size.y.round()),
        maximised,
    }
    .plausible()
}

/// True when the window can be taken hold of on one of the screens.
fn within_reach(window: Rect, screens: &[Rect], scale: f32) -> bool {
    let grip = Rect::from_min_max(window.min, pos2(window.max.x, window.min.y + GRIP.1 * scale));
    screens.iter().any(|screen| {
        let seen = screen.intersect(grip);
        seen.width() >= (GRIP.0 * scale).min(grip.width()) && seen.height() >= grip.height() / 2.0
    })
}

impl App {
    /// Notes place and view, and writes them when a few seconds have gone by.
    pub(super) fn note_place(&mut self, ctx: &egui::Context) {
        let zoom = ctx.zoom_factor();
        let before = self.settings.window;
        let place = ctx.input(|i| place_of(i.viewport(), zoom, before));
        let view = view_key(self.ui.view).map(str::to_owned);
        if place.is_some() && place != before {
            self.settings.window = place;
            self.placing.unsaved = true;
        }
        if view != self.settings.last_view {
            self.settings.last_view = view;
            self.placing.unsaved = true;
        }
        if !self.placing.unsaved || !self.keeps_settings() {
            return;
        }
        let now = ctx.input(|i| i.time);
        // Nothing is written while the window is still coming up.
        let left = *self.placing.written.get_or_insert(now) + EVERY - now;
        if left <= 0.0 {
            self.placing.written = Some(now);
            self.keep_place();
        } else {
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(left));
        }
    }

    /// Writes what is not on disk yet; at the close at the latest.
    pub(super) fn keep_place(&mut self) {
        if std::mem::take(&mut self.placing.unsaved) {
            self.save_settings();
        }
    }

    /// Brings a window back that would open where no screen is, once.
    pub(super) fn put_on_screen(&mut self, ctx: &egui::Context, frame: &eframe::Frame) {
        if self.placing.checked {
            return;
        }
        self.placing.checked = true;
        let Some(window) = frame.winit_window() else { return };
        // Some systems tell no places; they choose a good one themselves.
        let Ok(at) = window.outer_position() else { return };
        #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)] // places on screen
        let rect = |x: i32, y: i32, w: u32, h: u32| {
            Rect::from_min_size(pos2(x as f32, y as f32), egui::vec2(w as f32, h as f32))
        };
        let screens: Vec<Rect> = window
            .available_monitors()
            .map(|m| rect(m.position().x, m.position().y, m.size().width, m.size().height))
            .collect();
        let size = window.outer_size();
        let here = rect(at.x, at.y, size.width, size.height);
        let scale = ctx.pixels_per_point();
        if let Some(first) = screens.first()
            && !within_reach(here, &screens, scale)
        {
            let to = first.min + egui::vec2(40.0, 40.0);
            let to: Pos2 = pos2(to.x / scale, to.y / scale);
            ctx.send_viewport_cmd(ViewportCommand::OuterPosition(to));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn info(outer: (f32, f32), size: (f32, f32)) -> ViewportInfo {
        ViewportInfo {
            inner_rect: Some(Rect::from_min_size(pos2(outer.0, outer.1 + 30.0), size.into())),
            outer_rect: Some(Rect::from_min_size(pos2(outer.0, outer.1), size.into())),
            ..ViewportInfo::default()
        }
    }

    #[test]
    fn a_place_is_kept_in_points_of_the_system() {
        let place = place_of(&info((50.0, 20.0), (640.0, 400.0)), 2.0, None);
        let expected =
            WindowPlace { at: Some((100.0, 40.0)), size: (1280.0, 800.0), maximised: false };
        assert_eq!(place, Some(expected));
        // Filling the screen keeps the size to come back to.
        let full = ViewportInfo { maximized: Some(true), ..info((0.0, 0.0), (1920.0, 1080.0)) };
        let kept = place_of(&full, 1.0, place);
        assert_eq!(kept, Some(WindowPlace { maximised: true, ..expected }));
        let hidden = ViewportInfo { minimized: Some(true), ..info((-32000.0, 0.0), (1.0, 1.0)) };
        assert_eq!(place_of(&hidden, 1.0, place), place);
        assert_eq!(place_of(&ViewportInfo::default(), 1.0, None), None);
    }

    #[test]
    fn a_window_off_every_screen_is_noticed() {
        let rect =
            |x: f32, y: f32, w: f32, h: f32| Rect::from_min_size(pos2(x, y), egui::vec2(w, h));
        let screens = [rect(0.0, 0.0, 1920.0, 1080.0), rect(-1280.0, 0.0, 1280.0, 1024.0)];
        for (x, y, reached) in [
            (100.0, 100.0, true),
            (-1200.0, 40.0, true),
            (1900.0, 100.0, false),
            (3000.0, 100.0, false),
            (100.0, 1100.0, false),
            (100.0, -700.0, false),
        ] {
            let window = rect(x, y, 1280.0, 800.0);
            assert_eq!(within_reach(window, &screens, 1.0), reached, "{x}, {y}");
        }
    }
}

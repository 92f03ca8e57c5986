//! egui's style, made from the tokens.

use egui::{CornerRadius, Margin, Stroke, Style, TextStyle, Theme, Vec2, Visuals};

use super::{Tokens, fonts, size};

/// Seconds that a movement takes; design asks for less than 0.15.
const MOTION: f32 = 0.1;

/// Installs both themes, plain or in high contrast.
pub fn install(ctx: &egui::Context, high_contrast: bool) {
    let still = ctx.data(|d| d.get_temp(still_key())).unwrap_or(false);
    for (theme, dark) in [(Theme::Light, false), (Theme::Dark, true)] {
        let mut style = style(dark, high_contrast);
        move_or_not(&mut style, still);
        ctx.set_style_of(theme, style);
    }
}

/// Stills every movement, or lets things move again.
pub fn motion(ctx: &egui::Context, still: bool) {
    ctx.data_mut(|d| d.insert_temp(still_key(), still));
    ctx.all_styles_mut(|style| move_or_not(style, still));
}

fn still_key() -> egui::Id {
    egui::Id::unique("reduced-motion")
}

fn move_or_not(style: &mut Style, still: bool) {
    style.animation_time = if still { 0.0 } else { MOTION };
    style.scroll_animation = if still {
        egui::style::ScrollAnimation::none()
    } else {
        egui::style::ScrollAnimation::duration(MOTION)
    };
}

fn style(dark: bool, high_contrast: bool) -> Style {
    let t = Tokens::theme(dark, high_contrast);
    let text_styles = [
        (TextStyle::Body, fonts::text()),
        (TextStyle::Button, fonts::text()),
        (TextStyle::Small, fonts::small()),
        (TextStyle::Monospace, fonts::text()),
        (TextStyle::Heading, fonts::strong(size::HEAD)),
    ]
    .into();
    let mut style = Style { text_styles, ..Style::default() };
    let s = &mut style.spacing;
    s.item_spacing = Vec2::new(8.0, 4.0);
    s.button_padding = Vec2::new(10.0, 5.0);
    s.interact_size = Vec2::new(40.0, size::CONTROL);
    s.window_margin = Margin::same(16);
    s.menu_margin = Margin::same(6);
    s.icon_width = 16.0;
    s.combo_width = 80.0;
    style.visuals = visuals(dark, t);
    style
}

fn visuals(dark: bool, t: &Tokens) -> Visuals {
    let mut v = if dark { Visuals::dark() } else { Visuals::light() };
    v.panel_fill = t.paper;
    v.window_fill = t.raised;
    v.extreme_bg_color = t.raised;
    v.text_edit_bg_color = Some(t.raised);
    v.faint_bg_color = t.hover;
    v.hyperlink_color = t.accent;
    v.warn_fg_color = t.warn;
    v.error_fg_color = t.stop;
    v.weak_text_color = Some(t.muted);
    v.window_stroke = Stroke::new(1.0, t.hairline);
    v.window_corner_radius = CornerRadius::same(8);
    v.menu_corner_radius = CornerRadius::same(6);
    v.selection.bg_fill = t.row;
    v.selection.stroke = Stroke::new(t.ring, t.accent);
    v.slider_trailing_fill = true;
    v.handle_shape = egui::style::HandleShape::Circle;
    let round = CornerRadius::same(5);
    let w = &mut v.widgets;
    w.noninteractive.bg_stroke = Stroke::new(1.0, t.hairline);
    w.noninteractive.fg_stroke = Stroke::new(1.0, t.ink);
    w.noninteractive.bg_fill = t.panel;
    w.noninteractive.weak_bg_fill = t.panel;
    w.noninteractive.corner_radius = round;
    for (state, edge, fill, width) in [
        (&mut w.inactive, t.edge, t.raised, 1.0),
        (&mut w.hovered, t.accent, t.hover, 1.0),
        (&mut w.active, t.accent, t.row, 1.0),
        (&mut w.open, t.accent, t.row, 1.0),
    ] {
        state.bg_stroke = Stroke::new(width, edge);
        state.fg_stroke = Stroke::new(1.0, t.ink);
        state.bg_fill = fill;
        state.weak_bg_fill = fill;
        state.corner_radius = round;
        state.expansion = 0.0;
    }
    v
}

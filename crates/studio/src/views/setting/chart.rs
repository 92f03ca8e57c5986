//! The melt curve: what is solid over temperature, in layers, with the band of how crystals mix,
//! marks of the workshop and the formula, and the temperature of pouring, which can be moved.

use egui::{
    Align2, EventFilter, FontId, Key, Modifiers, Pos2, Rect, Sense, Shape, Stroke, Ui, WidgetInfo,
    pos2, vec2,
};
use quern_calc::evaluate::{Context, MeltFigures, Mixing, POURED_C, SPAN_C, temperature_marks};
use quern_calc::number::format_f64;

use super::{letter, solid_parts};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::setting::{SettingAction, SettingSide};
use crate::look::{Tokens, focus, fonts, size};
use crate::views::grit::DASHES;
use crate::widgets::dashes::dashed;
use crate::widgets::plot::{Axes, small};
use crate::widgets::table::title;
use crate::words;

/// Room at the left for the figures of the axis.
pub const LEFT: f32 = 40.0;

/// Draws the chart.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    here: &SettingSide,
    melt: &MeltFigures,
    actions: &mut Vec<Action>,
) {
    let mixing = scene.ui.setting.mixing;
    title(
        ui,
        say!("Melt curve"),
        &say!(
            "solid share of the fat over temperature; layers: {mixing}; shaded band: by how crystals mix",
            mixing = words::text(mixing.name())
        ),
    );
    let tall = (ui.ctx().content_rect().height() * 0.36).clamp(200.0, 400.0);
    let (area, response) = ui.allocate_exact_size(vec2(ui.available_width(), tall), Sense::hover());
    let style = scene.style();
    let whole = |x: f64| format_f64(x, 0, style);
    response.widget_info(|| {
        let at = [20.0, 32.0, 40.0]
            .into_iter()
            .filter_map(|c| here.figures.fat_at(melt, mixing, c))
            .map(|f| say!("{at} % solid at {t_c} °C", at = whole(f.solid.at), t_c = whole(f.t_c)))
            .collect::<Vec<_>>();
        let name = say!("Melt curve of {side}: {at}", side = here.side.name, at = at.join(", "));
        WidgetInfo::labeled(egui::Role::Image, true, name)
    });
    let axes = Axes {
        rect: Rect::from_min_max(area.min + vec2(LEFT, 46.0), area.max - vec2(10.0, 24.0)),
        x: SPAN_C,
        y: (0.0, 1.0),
    };
    let shares = [(0.0, 0.0), (0.25, 25.0), (0.5, 50.0), (0.75, 75.0), (1.0, 100.0)];
    axes.rule_y(ui, &shares.map(|(y, percent)| (y, format!("{} %", whole(percent)))));
    let degrees: Vec<(f64, String)> =
        (0..=9_u8).map(|i| f64::from(i) * 10.0).map(|c| (c, whole(c))).collect();
    axes.rule_x(ui, &degrees);
    small(
        ui.painter(),
        pos2(axes.rect.right() - 4.0, axes.rect.bottom() - 4.0),
        Align2::RIGHT_BOTTOM,
        "°C",
        Tokens::of(ui).muted,
    );
    layers(ui, &axes, here, melt, mixing);
    band(ui, &axes, here);
    curves(ui, &axes, scene);
    marks(ui, &axes, scene);
    pour_line(ui, &axes, scene, here, actions);
    hover(ui, &axes, scene, here, melt, mixing);
    legend(ui, scene, here, melt, mixing);
}

/// The components that are solid, one on the other.
fn layers(ui: &Ui, axes: &Axes, here: &SettingSide, melt: &MeltFigures, mixing: Mixing) {
    let t = Tokens::of(ui);
    let Some(stack) = here.figures.stack(mixing) else { return };
    let painter = ui.painter_at(axes.rect);
    let mut below: Vec<f64> = vec![0.0; stack.points.len()];
    for (i, _) in solid_parts(melt) {
        let Some(layer) = stack.layers.get(i) else { continue };
        let above: Vec<f64> = below.iter().zip(layer).map(|(b, l)| b + l).collect();
        let line = |heights: &[f64]| -> Vec<Pos2> {
            axes.line(stack.points.iter().zip(heights).map(|(p, y)| (p.0, *y)))
        };
        let (low, high) = (line(&below), line(&above));
        painter.add(axes.between(&low, &high, Tokens::tint(t.slice(i), 64)));
        let (dash, gap) = DASHES.get(i % DASHES.len()).copied().unwrap_or((6.0, 4.0));
        // Where nothing of it is solid, its edge would lie on the one below.
        let ends = layer.iter().rposition(|height| *height > 1e-4).map_or(0, |last| last + 2);
        let edge = high.get(..ends.min(high.len())).unwrap_or(&high);
        painter.add(dashed(&painter, edge, Stroke::new(1.0, t.slice(i)), dash, gap));
        // The letter stands where the layer is tallest, away from the edge.
        let tallest = layer
            .iter()
            .enumerate()
            .skip(12)
            .max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(&a.0)))
            .filter(|(_, height)| **height > 0.045);
        if let Some((k, _)) = tallest
            && let (Some(a), Some(b)) = (low.get(k), high.get(k))
            && a.y - b.y > 13.0
        {
            let at = pos2(a.x, (a.y + b.y) / 2.0);
            painter.text(at, Align2::CENTER_CENTER, letter(i), fonts::strong(12.0), t.ink);
        }
        below = above;
    }
}

/// The band between the ways to mix crystals.
fn band(ui: &Ui, axes: &Axes, here: &SettingSide) {
    let t = Tokens::of(ui);
    let Some([pure, _, all]) = &here.figures.stacks else { return };
    let painter = ui.painter_at(axes.rect);
    let line = |s: &quern_calc::setting::melt::Stack| axes.line(s.points.iter().copied());
    let (low, high) = (line(pure), line(all));
    painter.add(axes.between(&low, &high, Tokens::tint(t.ink, 22)));
    for edge in [low, high] {
        painter.add(Shape::line(edge, Stroke::new(1.0, Tokens::tint(t.ink, 110))));
    }
}

/// The usual estimate of each formula.
fn curves(ui: &Ui, axes: &Axes, scene: &Scene<'_>) {
    let t = Tokens::of(ui);
    let painter = ui.painter_at(axes.rect.expand2(vec2(0.0, 2.0)));
    for (i, side) in scene.setting.sides.iter().enumerate() {
        let Some(stack) = side.figures.stack(Mixing::Alcohols) else { continue };
        let points = axes.line(stack.points.iter().copied());
        let stroke = Stroke::new(2.4, t.side(i));
        if i == 0 {
            painter.add(Shape::line(points, stroke));
        } else {
            painter.add(dashed(&painter, &points, stroke, 8.0, 4.0));
        }
        if scene.setting.sides.len() > 1 {
            // Each name stands at the steep part of its curve, one below the other.
            let share = if i == 0 { 0.62 } else { 0.38 };
            let top = stack.points.first().map_or(1.0, |p| p.1);
            if let Some((c, y)) = stack.points.iter().find(|p| p.1 <= share * top) {
                let at = axes.at((*c, *y)) + vec2(8.0, 0.0);
                painter.text(
                    at,
                    Align2::LEFT_CENTER,
                    &side.side.name,
                    fonts::strong(size::TEXT),
                    t.side(i),
                );
            }
        }
    }
}

/// Room, skin, parcel and phase temperatures.
fn marks(ui: &Ui, axes: &Axes, scene: &Scene<'_>) {
    let t = Tokens::of(ui);
    let setting = std::sync::Arc::clone(&scene.project.setting);
    let context = Context { date: scene.date, setting };
    let painter = ui.painter();
    let mut ends = [f32::NEG_INFINITY; 2];
    for mark in temperature_marks(scene.formula(), &context) {
        let x = axes.at_x(mark.c);
        painter.vline(x, axes.rect.y_range(), Stroke::new(1.0, Tokens::tint(t.ink, 70)));
        let name = crate::widgets::short(&words::engine(&mark.name), 16);
        let text = format!("{name} {}", format_f64(mark.c, 0, scene.style()));
        let galley = painter.layout_no_wrap(text, FontId::proportional(11.0), t.muted);
        let wide = galley.size().x;
        let left = (x - wide / 2.0).clamp(axes.rect.left() - 30.0, axes.rect.right() - wide);
        // A second row where the first is taken.
        let row = ends.iter().position(|end| left > *end + 6.0).unwrap_or(1);
        if let Some(end) = ends.get_mut(row) {
            *end = left + wide;
        }
        let y = axes.rect.top() - if row == 0 { 15.0 } else { 28.0 };
        painter.galley(pos2(left, y), galley, t.muted);
    }
}

/// Degrees that an arrow key moves the pour by.
const STEP: f64 = 1.0;

/// The temperature of pouring: a line to drag or to move with the arrow keys.
fn pour_line(
    ui: &mut Ui,
    axes: &Axes,
    scene: &Scene<'_>,
    here: &SettingSide,
    actions: &mut Vec<Action>,
) {
    let t = Tokens::of(ui);
    let c = here.figures.pour_c;
    let x = axes.at_x(c);
    let r = axes.rect;
    let grip = Rect::from_min_max(pos2(x - 12.0, r.top() - 6.0), pos2(x + 12.0, r.bottom()));
    let id = egui::Id::unique("setting-pour");
    let response = ui.interact(grip, id, Sense::click_and_drag());
    response
        .widget_info(|| WidgetInfo::slider(true, c, say!("Pouring temperature on the chart, °C")));
    let mut to = None;
    if response.dragged()
        && let Some(at) = response.interact_pointer_pos()
    {
        to = Some(axes.value_x(at.x).round());
    }
    if response.clicked() {
        response.request_focus();
    }
    if response.has_focus() {
        let filter = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
        let step = ui.input_mut(|i| {
            let mut pressed = |key, by: f64| {
                if i.consume_key(Modifiers::SHIFT, key) {
                    5.0 * by
                } else if i.consume_key(Modifiers::NONE, key) {
                    by
                } else {
                    0.0
                }
            };
            pressed(Key::ArrowLeft, -STEP) + pressed(Key::ArrowRight, STEP)
        });
        if step != 0.0 {
            to = Some(c + step);
        }
    }
    if let Some(to) = to {
        let to = to.clamp(POURED_C.0, POURED_C.1);
        if (to - c).abs() > 1e-9 {
            actions.push(Action::Setting(SettingAction::Pour(Some(to))));
        }
    }
    let wide =
        if response.has_focus() || response.hovered() || response.dragged() { 2.0 } else { 1.4 };
    ui.painter().vline(x, egui::Rangef::new(r.top() - 2.0, r.bottom()), Stroke::new(wide, t.ink));
    if response.hovered() || response.dragged() {
        ui.ctx().set_cursor_icon(egui::CursorIcon::ResizeHorizontal);
    }
    let how = match &here.figures.pour {
        Ok(p) => format!(": {}", words::text(p.word())),
        Err(_) => String::new(),
    };
    let text = say!("poured at {c} °C{how}", c = format_f64(c, 0, scene.style()), how);
    let galley = ui.painter().layout_no_wrap(text, FontId::proportional(11.5), t.paper);
    let pill = Rect::from_center_size(pos2(x, r.top() + 10.0), galley.size() + vec2(18.0, 6.0));
    let shift = (r.left() - pill.left()).max(0.0) + (r.right() - pill.right()).min(0.0);
    let pill = pill.translate(vec2(shift, 0.0));
    ui.painter().rect_filled(pill, 9.0, t.ink);
    if response.has_focus() {
        focus::own_ring(ui, id);
        let ring = Stroke::new(t.ring, t.accent);
        ui.painter().rect_stroke(pill.expand(2.0), 11.0, ring, egui::StrokeKind::Outside);
    }
    ui.painter().galley(pill.center() - galley.size() / 2.0, galley, t.paper);
}

/// What the pointer is at: solid and liquid, component by component.
fn hover(
    ui: &Ui,
    axes: &Axes,
    scene: &Scene<'_>,
    here: &SettingSide,
    melt: &MeltFigures,
    mixing: Mixing,
) {
    let Some(at) = ui.ctx().pointer_hover_pos() else { return };
    if !axes.rect.contains(at) || !ui.rect_contains_pointer(axes.rect) {
        return;
    }
    if (at.x - axes.at_x(here.figures.pour_c)).abs() < 8.0 {
        return;
    }
    let c = axes.value_x(at.x);
    let Some(fat) = here.figures.fat_at(melt, mixing, c) else { return };
    let t = Tokens::of(ui);
    let style = scene.style();
    let one = |x: f64| format_f64(x, 1, style);
    let mut text = say!(
        "{c} °C: {at} % of the fat solid ({low} to {high})",
        c = one(c),
        at = one(fat.solid.at),
        low = one(fat.solid.low),
        high = one(fat.solid.high)
    );
    if let Some(other) = scene.setting.sides.get(1)
        && let Ok(m) = &other.side.evaluation.melt
        && let Some(f) = other.figures.fat_at(m, mixing, c)
    {
        text.push_str(&say!(
            "\n{side}: {at} % solid",
            side = other.side.name,
            at = one(f.solid.at)
        ));
    }
    text.push_str(say!("\nsolid"));
    let mut any = false;
    for (i, (name, solid, _)) in fat.parts.iter().enumerate().filter(|(_, p)| p.1 >= 0.05) {
        any = true;
        text.push_str(&format!("\n   {}  {}  {} %", letter(i), words::engine(name), one(*solid)));
    }
    if !any {
        text.push_str(say!("\n   nothing"));
    }
    text.push_str(say!("\nliquid"));
    for (name, _, liquid) in fat.parts.iter().filter(|p| p.2 >= 0.05) {
        text.push_str(&format!("\n   {}  {} %", words::engine(name), one(*liquid)));
    }
    ui.painter().vline(at.x, axes.rect.y_range(), Stroke::new(1.0, Tokens::tint(t.ink, 60)));
    let galley = ui.painter().layout(text, fonts::small(), t.ink, 320.0);
    let side = if at.x > axes.rect.center().x { -galley.size().x - 16.0 } else { 16.0 };
    let top = axes.rect.top() + 26.0;
    let place = pos2(at.x + side, top);
    let back = Rect::from_min_size(place, galley.size()).expand(7.0);
    // Over whatever stands below the chart, too.
    let painter = ui
        .ctx()
        .layer_painter(egui::LayerId::new(egui::Order::Tooltip, egui::Id::unique("setting-hover")));
    painter.rect(back, 5.0, t.raised, Stroke::new(1.0, t.hairline), egui::StrokeKind::Inside);
    painter.galley(place, galley, t.ink);
}

/// The components by letter, with what of each is solid in the room.
fn legend(ui: &mut Ui, scene: &Scene<'_>, here: &SettingSide, melt: &MeltFigures, mixing: Mixing) {
    let t = Tokens::of(ui);
    let room = scene.project.setting.room();
    let Some(fat) = here.figures.fat_at(melt, mixing, room) else { return };
    let style = scene.style();
    let one = |x: f64| format_f64(x, 0, style);
    let inset = egui::Margin { left: 40, ..egui::Margin::ZERO };
    egui::Frame::new().inner_margin(inset).show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(5.0, 1.0);
            let text = say!("% of the fat that is solid at {room} °C:", room = one(room));
            ui.label(egui::RichText::new(text).font(fonts::small()).color(t.muted));
            for (i, (name, solid, _)) in fat.parts.iter().enumerate() {
                if melt.fat.components.get(i).is_none_or(|c| c.crystal.is_none()) {
                    continue;
                }
                // Mark and words are one piece, so that a line never breaks between them.
                let text = format!("{} {}: {}", letter(i), words::engine(name), one(*solid));
                let galley = ui.painter().layout_no_wrap(text.clone(), fonts::small(), t.ink);
                let piece = galley.size() + vec2(13.0, 2.0);
                let (rect, response) = ui.allocate_exact_size(piece, Sense::hover());
                response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &text));
                let dot = pos2(rect.left() + 5.0, rect.center().y);
                let square = Rect::from_center_size(dot, vec2(8.0, 8.0));
                crate::widgets::pattern::filled(ui.painter(), square, t, i);
                ui.painter().galley(pos2(rect.left() + 13.0, rect.top() + 1.0), galley, t.ink);
                ui.add_space(4.0);
            }
        })
    });
}

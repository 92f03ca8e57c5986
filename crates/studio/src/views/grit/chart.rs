//! Grains by size: the curves of each exfoliant and blend over a logarithmic size axis, with
//! sieves and a cut that can be moved.

use egui::{
    Align2, Color32, EventFilter, FontId, Key, Mesh, Modifiers, Pos2, Rect, Sense, Shape, Stroke,
    Ui, WidgetInfo, pos2, vec2,
};
use quern_calc::evaluate::{cumulative_curves, density_curves};
use quern_calc::grit::axis::{SizeAxis, nearest_sieve, nice_size};
use quern_calc::grit::blend::{percent_above, percent_below};
use quern_calc::grit::sieves::opening_of_mesh;
use quern_calc::number::format_f64;

use super::{figures, part_color, px};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::grit::GritAction;
use crate::look::{Tokens, focus, fonts, size};
use crate::widgets::dashes::dashed;
use crate::widgets::pattern;
use crate::widgets::table::title;

/// Sizes that the axis spans, um.
const SPAN: (f64, f64) = (20.0, 2_500.0);

/// Points of a curve.
const POINTS: usize = 200;

/// Sieves marked, by their mesh numbers.
const MESHES: [&str; 9] = ["325", "200", "100", "60", "45", "35", "25", "18", "12"];

/// The cut may stand here, um.
const CUT: (f64, f64) = (25.0, 2_000.0);

/// Dash and gap of each exfoliant's line, so that colour is not the only sign.
pub const DASHES: [(f32, f32); 6] =
    [(6.0, 4.0), (2.0, 3.0), (10.0, 4.0), (4.0, 2.0), (1.5, 5.0), (14.0, 3.0)];

struct Axes {
    axis: SizeAxis,
    rect: Rect,
    top: f64,
}

impl Axes {
    fn x(&self, um: f64) -> f32 {
        self.rect.left() + px(self.axis.place(um)) * self.rect.width()
    }

    fn y(&self, value: f64) -> f32 {
        self.rect.bottom() - px((value / self.top).min(1.05)) * self.rect.height()
    }

    fn um(&self, x: f32) -> f64 {
        self.axis.size(f64::from((x - self.rect.left()) / self.rect.width().max(1.0)))
    }

    fn points(&self, curve: &[(f64, f64)]) -> Vec<Pos2> {
        curve.iter().map(|&(um, y)| pos2(self.x(um), self.y(y))).collect()
    }
}

/// Draws the chart with its cut.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let cumulative = scene.ui.grit.cumulative;
    ui.horizontal(|ui| {
        let what = if cumulative {
            say!("share of mass below each size")
        } else {
            say!("share of mass per decade of size")
        };
        let lines = if figures(scene).count() <= 2 {
            say!("; dashed: each exfoliant, solid: the blend")
        } else {
            say!("; solid: each blend")
        };
        let note = format!("{what}{lines}");
        // The field first, from the right, so that the words take what room is left.
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let cut = scene.ui.grit.cut_um;
            let entered = super::number(ui, scene, say!("Cut size, µm"), Some(cut), 0, 64.0, "300");
            ui.label(egui::RichText::new(say!("Cut, µm")).font(fonts::small()).color(t.muted));
            if let Some(Some(typed)) = entered {
                let um = quern_calc::quantity::decimal_to_f64(typed.value);
                actions.push(Action::Grit(GritAction::Cut(um.clamp(CUT.0, CUT.1))));
            }
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                title(ui, say!("Grains by size"), &note);
            });
        });
    });
    let tall = (ui.ctx().content_rect().height() * 0.36).clamp(190.0, 380.0);
    let (area, _) = ui.allocate_exact_size(vec2(ui.available_width(), tall), Sense::hover());
    let curves: Vec<_> = figures(scene)
        .map(|(i, name, f)| {
            let make = if cumulative { cumulative_curves } else { density_curves };
            (i, name, make(&f.blend, SPAN.0, SPAN.1, POINTS))
        })
        .collect();
    let highest =
        curves.iter().flat_map(|(_, _, c)| c.iter().flatten()).map(|p| p.1).fold(0.0_f64, f64::max);
    let left = if cumulative { 40.0 } else { 6.0 };
    let Some(axis) = SizeAxis::new(SPAN.0, SPAN.1) else { return };
    let axes = Axes {
        axis,
        rect: Rect::from_min_max(area.min + vec2(left, 38.0), area.max - vec2(10.0, 34.0)),
        // Room above the highest curve for its name.
        top: if cumulative { 1.0 } else { (highest * 1.16).max(1e-6) },
    };
    marks(ui, &axes, scene, cumulative);
    draw(ui, &axes, scene, &curves, cumulative);
    cut(ui, &axes, scene, actions);
    hover(ui, &axes, scene);
}

/// Sieves above, sizes below.
fn marks(ui: &Ui, axes: &Axes, scene: &Scene<'_>, cumulative: bool) {
    let t = Tokens::of(ui);
    let painter = ui.painter();
    let r = axes.rect;
    let style = scene.style();
    painter.hline(r.x_range(), r.bottom(), Stroke::new(1.0, t.edge));
    let mut free = f32::NEG_INFINITY;
    for mesh in MESHES {
        let Some(um) = opening_of_mesh(mesh) else { continue };
        let x = axes.x(um);
        painter.vline(x, r.y_range(), Stroke::new(1.0, t.hairline));
        let words = say!("mesh {mesh}", mesh);
        let wide = painter.layout_no_wrap(words.clone(), fonts::small(), t.muted).size().x;
        if x - free < wide.max(44.0) + 14.0 {
            continue;
        }
        free = x;
        let put = |y: f32, align: Align2, text: String| {
            painter.text(pos2(x, y), align, text, fonts::small(), t.muted);
        };
        put(r.top() - 20.0, Align2::CENTER_BOTTOM, words);
        put(r.bottom() + 4.0, Align2::CENTER_TOP, format_f64(um, 0, style));
    }
    painter.text(
        pos2(r.right(), r.bottom() + 20.0),
        Align2::RIGHT_TOP,
        say!("grain size, µm; sieves of ASTM E11"),
        fonts::small(),
        t.muted,
    );
    if cumulative {
        for (share, percent) in [(0.1, 10.0), (0.5, 50.0), (0.9, 90.0), (1.0, 100.0)] {
            let y = axes.y(share);
            painter.hline(r.x_range(), y, Stroke::new(1.0, t.hairline));
            let text = format!("{} %", format_f64(percent, 0, style));
            let at = pos2(r.left() - 6.0, y);
            painter.text(at, Align2::RIGHT_CENTER, text, fonts::small(), t.muted);
        }
    }
}

type Curves<'a> = (usize, &'a str, Vec<Vec<(f64, f64)>>);

fn draw(ui: &Ui, axes: &Axes, scene: &Scene<'_>, curves: &[Curves<'_>], cumulative: bool) {
    let t = Tokens::of(ui);
    let painter = ui.painter_at(axes.rect.expand2(vec2(8.0, 20.0)));
    for (i, _, all) in curves {
        let Some((blend, _)) = all.split_last() else { continue };
        if !cumulative {
            painter.add(area(axes, &axes.points(blend), Tokens::tint(t.side(*i), 26)));
        }
    }
    // Single exfoliants only while the picture can bear them.
    for (i, _, all) in curves.iter().filter(|_| curves.len() <= 2) {
        let Some((_, parts)) = all.split_last() else { continue };
        for (k, curve) in parts.iter().enumerate() {
            let (dash, gap) = DASHES.get(k % DASHES.len()).copied().unwrap_or((6.0, 4.0));
            let color = if *i == 0 { part_color(t, k) } else { Tokens::tint(t.side(*i), 150) };
            let line = Stroke::new(1.3, color);
            painter.add(dashed(&painter, &axes.points(curve), line, dash, gap));
        }
    }
    let mut labels: Vec<Rect> = Vec::new();
    for (i, name, all) in curves {
        let Some((blend, _)) = all.split_last() else { continue };
        let color = t.side(*i);
        let points = axes.points(blend);
        if curves.len() > 1 {
            pattern::marks(&painter, &points, *i, color);
        }
        painter.add(Shape::line(points, Stroke::new(2.2, color)));
        let at = if cumulative {
            blend.iter().find(|p| p.1 >= 0.5)
        } else {
            blend.iter().max_by(|a, b| a.1.total_cmp(&b.1))
        };
        let Some(&(um, y)) = at else { continue };
        let text = painter.layout_no_wrap((*name).to_owned(), fonts::strong(size::TEXT), color);
        let shift = if cumulative { vec2(8.0, 2.0) } else { vec2(-text.size().x / 2.0, -20.0) };
        let mut place = pos2(axes.x(um), axes.y(y)) + shift;
        // One above the other where they would meet.
        while labels.iter().any(|l| l.intersects(Rect::from_min_size(place, text.size()))) {
            place.y -= 16.0;
        }
        place.y = place.y.max(axes.rect.top() + 2.0);
        labels.push(Rect::from_min_size(place, text.size()));
        painter.galley(place, text, color);
    }
    let _ = scene;
}

/// The area under a curve.
fn area(axes: &Axes, points: &[Pos2], color: Color32) -> Shape {
    let mut mesh = Mesh::default();
    for (i, p) in (0_u32..).zip(points) {
        mesh.colored_vertex(*p, color);
        mesh.colored_vertex(pos2(p.x, axes.rect.bottom()), color);
        if i > 0 {
            let k = 2 * i;
            mesh.add_triangle(k - 2, k - 1, k);
            mesh.add_triangle(k - 1, k + 1, k);
        }
    }
    Shape::mesh(mesh)
}

/// The cut: a line to drag or to move with the arrow keys.
fn cut(ui: &mut Ui, axes: &Axes, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let um = scene.ui.grit.cut_um;
    let x = axes.x(um);
    let r = axes.rect;
    let grip = Rect::from_min_max(pos2(x - 12.0, r.top() - 16.0), pos2(x + 12.0, r.bottom()));
    let id = egui::Id::unique("grit-cut");
    let response = ui.interact(grip, id, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::slider(true, um, say!("Cut on the chart, µm")));
    let mut to = None;
    if response.dragged()
        && let Some(at) = response.interact_pointer_pos()
    {
        to = Some(nice_size(axes.um(at.x)));
    }
    if response.clicked() {
        response.request_focus();
    }
    if response.has_focus() {
        let filter = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
        let step = ui.input_mut(|i| {
            let mut pressed = |key, by: f64| {
                let far = i.consume_key(Modifiers::SHIFT, key);
                let near = i.consume_key(Modifiers::NONE, key);
                if far {
                    10.0 * by
                } else if near {
                    by
                } else {
                    0.0
                }
            };
            pressed(Key::ArrowLeft, -5.0) + pressed(Key::ArrowRight, 5.0)
        });
        if step != 0.0 {
            to = Some(um + step);
        }
    }
    if let Some(to) = to {
        let to = to.clamp(CUT.0, CUT.1);
        if (to - um).abs() > 1e-9 {
            actions.push(Action::Grit(GritAction::Cut(to)));
        }
    }
    let wide =
        if response.has_focus() || response.hovered() || response.dragged() { 2.0 } else { 1.2 };
    ui.painter().vline(x, egui::Rangef::new(r.top() - 14.0, r.bottom()), Stroke::new(wide, t.ink));
    if response.hovered() || response.dragged() {
        ui.ctx().set_cursor_icon(egui::CursorIcon::ResizeHorizontal);
    }
    let style = scene.style();
    let several = scene.grit.sides.len() > 1;
    let share = figures(scene).find(|f| f.0 == 0).map_or(String::new(), |(_, name, f)| {
        let share = percent_above(&f.blend, um);
        let of = if several { say!(" of {name}", name) } else { String::new() };
        say!(": {share} %{of} above", share = format_f64(share, 1, style), of)
    });
    let text = say!("cut at {um} µm{share}", um = format_f64(um, 0, style), share);
    let font = FontId::proportional(11.5);
    let galley = ui.painter().layout_no_wrap(text, font, t.paper);
    let pill = Rect::from_center_size(pos2(x, r.top() - 6.0), galley.size() + vec2(18.0, 6.0));
    let shift = (r.left() - pill.left()).max(0.0) + (r.right() + 8.0 - pill.right()).min(0.0);
    let pill = pill.translate(vec2(shift, 0.0));
    ui.painter().rect_filled(pill, 9.0, t.ink);
    if response.has_focus() {
        focus::own_ring(ui, id);
        let ring = Stroke::new(t.ring, t.accent);
        ui.painter().rect_stroke(pill.expand(2.0), 11.0, ring, egui::StrokeKind::Outside);
    }
    ui.painter().galley(pill.center() - galley.size() / 2.0, galley, t.paper);
}

/// What the pointer is at: size, nearest sieve, share below for each blend.
fn hover(ui: &Ui, axes: &Axes, scene: &Scene<'_>) {
    let Some(at) = ui.ctx().pointer_hover_pos() else { return };
    if !axes.rect.contains(at) || !ui.rect_contains_pointer(axes.rect) {
        return;
    }
    if (at.x - axes.x(scene.ui.grit.cut_um)).abs() < 8.0 {
        return;
    }
    let t = Tokens::of(ui);
    let um = axes.um(at.x);
    let style = scene.style();
    let sieve = nearest_sieve(um);
    let mut text = format!("{} µm", format_f64(um, 0, style));
    if let Some(sieve) = sieve {
        text.push_str(&say!(", near mesh {mesh}", mesh = sieve.mesh));
    }
    for (_, name, f) in figures(scene) {
        let below = percent_below(&f.blend, um);
        text.push_str(&say!(
            "\n{name}: {below} % below",
            name,
            below = format_f64(below, 1, style)
        ));
    }
    ui.painter().vline(at.x, axes.rect.y_range(), Stroke::new(1.0, Tokens::tint(t.ink, 60)));
    let galley = ui.painter().layout(text, fonts::small(), t.ink, 260.0);
    let side = if at.x > axes.rect.center().x { -galley.size().x - 14.0 } else { 14.0 };
    let place = pos2(at.x + side, axes.rect.top() + 14.0);
    let back = Rect::from_min_size(place, galley.size()).expand(6.0);
    ui.painter().rect(back, 5.0, t.raised, Stroke::new(1.0, t.hairline), egui::StrokeKind::Inside);
    ui.painter().galley(place, galley, t.ink);
}

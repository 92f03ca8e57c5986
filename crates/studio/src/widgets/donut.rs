//! A donut chart with labels beside its wedges.

use egui::{Align2, Color32, Mesh, Painter, Pos2, Rect, Shape, Stroke, Ui, Vec2, pos2, vec2};
use quern_calc::formula::Wedge;
use quern_calc::number::{NumberStyle, format_fixed};

use super::pattern;
use crate::look::{Pattern, Tokens, fonts, size};

/// How much further out the wedge in hand reaches.
const LIT: f32 = 4.0;

/// One wedge, ready to draw.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Name.
    pub name: String,
    /// Share of the whole, 0 to 1.
    pub share: f32,
    /// Share as text.
    pub text: String,
    /// Colour.
    pub color: Color32,
    /// What lies over the colour.
    pub pattern: Pattern,
}

/// Wedges ready to draw. `mark` gives colour and pattern of the series at a place; small wedges
/// gathered are grey.
#[must_use]
pub fn pieces(
    wedges: &[Wedge],
    style: NumberStyle,
    t: &Tokens,
    mark: impl Fn(usize) -> (Color32, Pattern),
) -> Vec<Piece> {
    wedges
        .iter()
        .map(|w| {
            #[allow(clippy::cast_possible_truncation)] // an angle on screen
            let share = w.share as f32;
            let (color, pattern) = w.index.map_or((t.edge, Pattern::Plain), &mark);
            let text = format_fixed(w.percent.0, 1, style);
            Piece { name: w.name.clone(), share, text, color, pattern }
        })
        .collect()
}

/// Where a donut is in its rectangle.
#[derive(Clone, Copy)]
struct Ring {
    center: Pos2,
    inner: f32,
    outer: f32,
}

impl Ring {
    fn new(rect: Rect) -> Self {
        // Narrow charts leave the room to the labels.
        let most = (rect.width() * 0.17).min(rect.height() / 2.0 - 22.0);
        let outer = most.clamp(24.0, 58.0);
        Self { center: rect.center(), inner: outer * 0.62, outer }
    }
}

/// Draws a donut into a rectangle, with a bold line and a small one in its middle; the piece in
/// hand stands out. Gives the piece under the pointer, by wedge or label.
pub fn draw(
    ui: &Ui,
    rect: Rect,
    pieces: &[Piece],
    lit: Option<usize>,
    middle: &str,
    below: &str,
) -> Option<usize> {
    let t = Tokens::of(ui);
    let painter = ui.painter();
    let ring = Ring::new(rect);
    let Ring { center, inner, outer } = ring;
    if pieces.is_empty() {
        let r = (outer + inner) / 2.0;
        painter.circle_stroke(center, r, Stroke::new(outer - inner, t.hairline));
    }
    let pointer = ui.ctx().pointer_hover_pos().filter(|_| ui.rect_contains_pointer(rect));
    let mut under = None;
    let mut at = -std::f32::consts::FRAC_PI_2;
    let mut labels: Vec<(f32, usize)> = Vec::new();
    for (i, piece) in pieces.iter().enumerate() {
        let sweep = piece.share * std::f32::consts::TAU;
        let reach = if lit == Some(i) { outer + LIT } else { outer };
        wedge(painter, center, inner, reach, at, at + sweep, piece.color);
        let (radii, angles) = ((inner, reach), (at, at + sweep));
        pattern::over_ring(painter, center, radii, angles, piece.pattern, t.panel);
        if pointer.is_some_and(|p| within(ring, p, at, sweep)) {
            under = Some(i);
        }
        labels.push((at + sweep / 2.0, i));
        at += sweep;
    }
    if pieces.len() > 1 {
        // Over everything, so that wedges of one hue are never taken for one.
        for (mid, i) in &labels {
            let half = pieces.get(*i).map_or(0.0, |p| p.share) * std::f32::consts::PI;
            let out = Vec2::angled(mid - half);
            let line = [center + out * inner, center + out * (outer + LIT)];
            painter.line_segment(line, Stroke::new(2.0, t.panel));
        }
    }
    if let Some((mid, piece)) = lit.and_then(|i| Some((labels.get(i)?.0, pieces.get(i)?))) {
        let half = piece.share * std::f32::consts::PI;
        outline(painter, ring, mid - half, mid + half, t.ink);
    }
    let under_label = side_labels(ui, rect, ring, pieces, &labels, lit, pointer);
    let put = |dy: f32, text: &str, font, color| {
        painter.text(center + vec2(0.0, dy), Align2::CENTER_CENTER, text, font, color);
    };
    put(-6.0, middle, fonts::strong(size::HEAD - 1.0), t.ink);
    put(11.0, below, egui::FontId::proportional(10.5), t.muted);
    under.or(under_label)
}

/// Draws a ring without words, such as beside a name; the figures stand elsewhere.
pub fn small(ui: &Ui, center: Pos2, radius: f32, pieces: &[Piece]) {
    let t = Tokens::of(ui);
    let inner = radius * 0.58;
    if pieces.is_empty() {
        let stroke = Stroke::new(radius - inner, t.hairline);
        ui.painter().circle_stroke(center, (radius + inner) / 2.0, stroke);
    }
    let mut at = -std::f32::consts::FRAC_PI_2;
    for piece in pieces {
        let to = at + piece.share * std::f32::consts::TAU;
        wedge(ui.painter(), center, inner, radius, at, to, piece.color);
        let dir = vec2(at.cos(), at.sin());
        ui.painter()
            .line_segment([center + dir * inner, center + dir * radius], Stroke::new(1.0, t.panel));
        at = to;
    }
}

/// True when a place is on the wedge that begins at this angle.
fn within(ring: Ring, p: Pos2, from: f32, sweep: f32) -> bool {
    let away = p - ring.center;
    let turned = (away.angle() - from).rem_euclid(std::f32::consts::TAU);
    (ring.inner..=ring.outer + LIT).contains(&away.length()) && turned < sweep
}

fn arc(center: Pos2, radius: f32, from: f32, to: f32) -> Vec<Pos2> {
    let steps = steps(from, to);
    #[allow(clippy::cast_precision_loss)] // at most 160
    let at = |i: u32| from + (to - from) * (i as f32 / steps as f32);
    (0..=steps).map(|i| center + Vec2::angled(at(i)) * radius).collect()
}

fn steps(from: f32, to: f32) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // clamped on the same line
    let steps = (((to - from).abs() / 0.05).ceil() as u32).clamp(1, 160);
    steps
}

fn outline(p: &Painter, ring: Ring, from: f32, to: f32, color: Color32) {
    let mut points = arc(ring.center, ring.outer + LIT, from, to);
    points.extend(arc(ring.center, ring.inner, from, to).into_iter().rev());
    p.add(Shape::closed_line(points, Stroke::new(2.0, color)));
}

fn wedge(p: &Painter, c: Pos2, inner: f32, outer: f32, from: f32, to: f32, color: Color32) {
    let mut mesh = Mesh::default();
    for (low, high) in arc(c, inner, from, to).into_iter().zip(arc(c, outer, from, to)) {
        mesh.colored_vertex(low, color);
        mesh.colored_vertex(high, color);
    }
    for i in 0..steps(from, to) {
        let b = i * 2;
        mesh.add_triangle(b, b + 1, b + 2);
        mesh.add_triangle(b + 1, b + 3, b + 2);
    }
    p.add(Shape::mesh(mesh));
}

/// Labels stand in two columns, right and left, pushed apart where they would touch. Gives the one
/// under the pointer.
fn side_labels(
    ui: &Ui,
    rect: Rect,
    Ring { center, outer, .. }: Ring,
    pieces: &[Piece],
    labels: &[(f32, usize)],
    lit: Option<usize>,
    pointer: Option<Pos2>,
) -> Option<usize> {
    const LINE: f32 = 16.0;
    let t = Tokens::of(ui);
    let mut under = None;
    for right in [true, false] {
        let mut column: Vec<(f32, usize)> = labels
            .iter()
            .filter(|(a, _)| (a.cos() >= 0.0) == right)
            .map(|(a, i)| (center.y + (outer + 10.0) * a.sin(), *i))
            .collect();
        column.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut last = rect.top() - LINE / 2.0;
        for entry in &mut column {
            entry.0 = entry.0.max(last + LINE);
            last = entry.0;
        }
        let mut limit = rect.bottom() + LINE / 2.0;
        for entry in column.iter_mut().rev() {
            entry.0 = entry.0.min(limit - LINE);
            limit = entry.0;
        }
        for (y, i) in column {
            let Some(piece) = pieces.get(i) else { continue };
            let dy = ((y - center.y) / (outer + 12.0)).clamp(-1.0, 1.0);
            let reach = (outer + 12.0) * (1.0 - dy * dy).sqrt().max(0.28);
            let (x, room) = if right {
                (center.x + reach, rect.right() - center.x - reach)
            } else {
                (center.x - reach, center.x - reach - rect.left())
            };
            let text = label(ui, &piece.name, &piece.text, room, lit == Some(i));
            let size = text.size();
            let left = if right { x } else { x - size.x };
            let place = Rect::from_min_size(pos2(left, y - size.y / 2.0), size);
            if pointer.is_some_and(|p| place.expand(2.0).contains(p)) {
                under = Some(i);
            }
            ui.painter().galley(place.min, text, t.ink);
        }
    }
    under
}

/// Name and share on one line, the name cut with dots where there is no room.
fn label(ui: &Ui, name: &str, share: &str, room: f32, lit: bool) -> std::sync::Arc<egui::Galley> {
    let t = Tokens::of(ui);
    let font = if lit { fonts::strong(size::SMALL) } else { fonts::small() };
    let format = |color| egui::TextFormat { font_id: font.clone(), color, ..Default::default() };
    let width = |text: String| ui.painter().layout_no_wrap(text, font.clone(), t.ink).size().x;
    let share_width = width(share.to_owned());
    let fits = |text: &str| width(text.to_owned()) + share_width + 6.0 <= room;
    let mut shown = name.to_owned();
    if !fits(&shown) {
        let mut chars: Vec<char> = name.chars().collect();
        while chars.len() > 3 && !fits(&format!("{}…", chars.iter().collect::<String>())) {
            chars.pop();
        }
        shown = format!("{}…", chars.iter().collect::<String>().trim_end());
    }
    let mut job = egui::text::LayoutJob::default();
    job.append(&shown, 0.0, format(t.ink));
    job.append(share, 5.0, format(t.muted));
    ui.painter().layout_job(job)
}

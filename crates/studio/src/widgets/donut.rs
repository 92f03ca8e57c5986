//! A donut chart with labels beside its slices.

use egui::{Align2, Color32, Mesh, Painter, Pos2, Rect, Shape, Stroke, Ui, pos2, vec2};
use quern_calc::number::{NumberStyle, format_fixed};

use crate::look::{Tokens, fonts, size};

/// One slice, ready to draw.
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
}

/// Pieces of a chart; what is below nothing is left out.
#[must_use]
pub fn pieces(
    slices: &[quern_calc::formula::Slice],
    style: NumberStyle,
    color: impl Fn(&quern_calc::formula::Slice, usize) -> Color32,
) -> Vec<Piece> {
    let total: f64 = slices.iter().map(|s| s.percent.to_f64().max(0.0)).sum();
    slices
        .iter()
        .enumerate()
        .filter(|(_, s)| s.percent.to_f64() > 0.0 && total > 0.0)
        .map(|(i, s)| {
            #[allow(clippy::cast_possible_truncation)] // an angle on screen
            let share = (s.percent.to_f64() / total) as f32;
            Piece {
                name: s.name.clone(),
                share,
                text: format_fixed(s.percent.0, 1, style),
                color: color(s, i),
            }
        })
        .collect()
}

/// Draws a donut into a rectangle, with a bold line and a small one in its middle.
pub fn draw(ui: &Ui, rect: Rect, pieces: &[Piece], middle: &str, below: &str) {
    let t = Tokens::of(ui);
    let painter = ui.painter();
    let center = rect.center();
    let outer = (rect.height() / 2.0 - 22.0).clamp(24.0, 58.0);
    let inner = outer * 0.64;
    if pieces.is_empty() {
        let r = (outer + inner) / 2.0;
        painter.circle_stroke(center, r, Stroke::new(outer - inner, t.hairline));
    }
    let mut at = -std::f32::consts::FRAC_PI_2;
    let mut labels: Vec<(f32, usize)> = Vec::new();
    for (i, piece) in pieces.iter().enumerate() {
        let sweep = piece.share * std::f32::consts::TAU;
        ring(painter, center, inner, outer, at, at + sweep, piece.color);
        if pieces.len() > 1 {
            let dir = vec2(at.cos(), at.sin());
            painter.line_segment(
                [center + dir * inner, center + dir * outer],
                Stroke::new(2.0, t.panel),
            );
        }
        labels.push((at + sweep / 2.0, i));
        at += sweep;
    }
    side_labels(ui, rect, center, outer, pieces, &labels);
    painter.text(
        center - vec2(0.0, 6.0),
        Align2::CENTER_CENTER,
        middle,
        fonts::strong(size::HEAD - 1.0),
        t.ink,
    );
    painter.text(
        center + vec2(0.0, 11.0),
        Align2::CENTER_CENTER,
        below,
        egui::FontId::proportional(10.5),
        t.muted,
    );
}

fn ring(p: &Painter, c: Pos2, inner: f32, outer: f32, from: f32, to: f32, color: Color32) {
    #[allow(clippy::cast_possible_truncation)] // clamped on the same line
    let steps = (((to - from).abs() / 0.05).ceil() as u32).clamp(1, 160);
    let mut mesh = Mesh::default();
    for i in 0..=steps {
        #[allow(clippy::cast_precision_loss)] // at most 160
        let a = from + (to - from) * (i as f32 / steps as f32);
        let dir = vec2(a.cos(), a.sin());
        mesh.colored_vertex(c + dir * inner, color);
        mesh.colored_vertex(c + dir * outer, color);
    }
    for i in 0..steps {
        let b = i * 2;
        mesh.add_triangle(b, b + 1, b + 2);
        mesh.add_triangle(b + 1, b + 3, b + 2);
    }
    p.add(Shape::mesh(mesh));
}

/// Labels stand in two columns, right and left, pushed apart where they would touch.
fn side_labels(
    ui: &Ui,
    rect: Rect,
    center: Pos2,
    outer: f32,
    pieces: &[Piece],
    labels: &[(f32, usize)],
) {
    const LINE: f32 = 16.0;
    let t = Tokens::of(ui);
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
            let text = label(ui, &piece.name, &piece.text, room);
            let size = text.size();
            let left = if right { x } else { x - size.x };
            ui.painter().galley(pos2(left, y - size.y / 2.0), text, t.ink);
        }
    }
}

/// Name and share on one line, the name cut with dots where there is no room.
fn label(ui: &Ui, name: &str, share: &str, room: f32) -> std::sync::Arc<egui::Galley> {
    let t = Tokens::of(ui);
    let format = |color| egui::TextFormat { font_id: fonts::small(), color, ..Default::default() };
    let share_width =
        ui.painter().layout_no_wrap(share.to_owned(), fonts::small(), t.muted).size().x;
    let mut shown = name.to_owned();
    let fits = |text: &str| {
        let w = ui.painter().layout_no_wrap(text.to_owned(), fonts::small(), t.ink).size().x;
        w + share_width + 6.0 <= room
    };
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

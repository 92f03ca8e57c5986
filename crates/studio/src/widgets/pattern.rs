//! Patterns over colours, so that series of charts are told apart without colour.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};

use crate::look::{Pattern, Tokens};

/// Points between two lines of a pattern.
const STEP: f32 = 5.0;

/// Directions in which the lines of a pattern go, as steps to the right for one step up.
#[must_use]
pub fn slants(pattern: Pattern) -> &'static [f32] {
    match pattern {
        Pattern::Plain => &[],
        Pattern::Rising => &[1.0],
        Pattern::Falling => &[-1.0],
        Pattern::Crossed => &[1.0, -1.0],
    }
}

/// The series at this place as a filled rectangle: a bar, or the mark of a legend.
pub fn filled(painter: &Painter, rect: Rect, t: &Tokens, series: usize) {
    plain(painter, rect, t.slice(series), Tokens::pattern(series), t.panel);
}

/// A rectangle of a colour under a pattern.
pub fn plain(painter: &Painter, rect: Rect, color: Color32, pattern: Pattern, lines: Color32) {
    painter.rect_filled(rect, 1.0, color);
    let clipped = painter.with_clip_rect(painter.clip_rect().intersect(rect));
    let up = rect.height();
    for slant in slants(pattern) {
        let mut x = rect.left() - up;
        while x < rect.right() + up {
            let foot = pos2(x, rect.bottom());
            let head = foot + vec2(up * slant, -up);
            clipped.line_segment([foot, head], Stroke::new(1.2, lines));
            x += STEP;
        }
    }
}

/// Marks of the side at this place along its curve: dots, squares, triangles, diamonds.
pub fn marks(painter: &Painter, curve: &[Pos2], side: usize, color: Color32) {
    // Apart from one another, and not at the same places on each curve.
    let step = (curve.len() / 12).max(1);
    for at in curve.iter().skip(step * side / 4).step_by(step) {
        let r = 3.4;
        let corners: &[Vec2] = match side % 4 {
            0 => {
                painter.circle_filled(*at, r, color);
                continue;
            }
            1 => &[vec2(-1.0, -1.0), vec2(1.0, -1.0), vec2(1.0, 1.0), vec2(-1.0, 1.0)],
            2 => &[vec2(0.0, -1.3), vec2(1.2, 0.9), vec2(-1.2, 0.9)],
            _ => &[vec2(0.0, -1.4), vec2(1.4, 0.0), vec2(0.0, 1.4), vec2(-1.4, 0.0)],
        };
        let points = corners.iter().map(|c| *at + *c * r).collect();
        painter.add(Shape::convex_polygon(points, color, Stroke::NONE));
    }
}

/// Lines of a pattern over a part of a ring. They go from the inner to the outer edge, slanted, and
/// end where the part ends.
pub fn over_ring(
    painter: &Painter,
    center: Pos2,
    (inner, outer): (f32, f32),
    (from, to): (f32, f32),
    pattern: Pattern,
    lines: Color32,
) {
    let middle = (inner + outer) / 2.0;
    // As far along the ring as across it.
    let lean = (outer - inner) / middle;
    for slant in slants(pattern) {
        let mut angle = from - lean;
        while angle < to {
            let (a, b) = (angle, angle + lean);
            // The part of the line that is within the wedge, as shares of the way outwards.
            let low = ((from - a) / lean).clamp(0.0, 1.0);
            let high = ((to - a) / lean).clamp(0.0, 1.0);
            let at = |share: f32| {
                let turned = a + (b - a) * share;
                let out = if *slant > 0.0 { share } else { 1.0 - share };
                center + Vec2::angled(turned) * (inner + (outer - inner) * out)
            };
            if high - low > 0.05 {
                painter.line_segment([at(low), at(high)], Stroke::new(1.2, lines));
            }
            angle += STEP / middle;
        }
    }
}

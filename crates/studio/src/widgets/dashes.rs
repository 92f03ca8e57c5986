//! Dashed lines as one shape. A chart has a thousand dashes; as shapes of their own they cost
//! more than all text beside them.

use egui::{Color32, Mesh, Painter, Pos2, Shape, Stroke, Vec2};

/// A dashed line through points, with soft edges.
pub fn dashed(painter: &Painter, line: &[Pos2], stroke: Stroke, dash: f32, gap: f32) -> Shape {
    let pixel = 1.0 / painter.ctx().pixels_per_point();
    let mut mesh = Mesh::default();
    pieces(line, dash, gap, |from, to| piece(&mut mesh, from, to, stroke, pixel));
    Shape::mesh(mesh)
}

/// The straight pieces of all dashes; a dash around a corner has two.
fn pieces(line: &[Pos2], dash: f32, gap: f32, mut draw: impl FnMut(Pos2, Pos2)) {
    // Nothing shorter ends in reasonable time, nor could it be seen.
    let (dash, gap) = (dash.max(0.5), gap.max(0.5));
    let (mut inked, mut left) = (true, dash);
    for pair in line.windows(2) {
        let &[from, to] = pair else { continue };
        let length = from.distance(to);
        if !length.is_finite() {
            continue;
        }
        let along = if length > 0.0 { (to - from) / length } else { Vec2::ZERO };
        let mut at = 0.0;
        while at < length {
            let end = (at + left).min(length);
            if inked {
                draw(from + along * at, from + along * end);
            }
            left -= end - at;
            at = end;
            if left <= 1e-4 {
                inked = !inked;
                left = if inked { dash } else { gap };
            }
        }
    }
}

/// One straight piece: its core, and on each side an edge one pixel wide that fades out.
fn piece(mesh: &mut Mesh, from: Pos2, to: Pos2, stroke: Stroke, pixel: f32) {
    let across = (to - from).normalized().rot90();
    // A line thinner than a pixel is as wide as one, and paler.
    let thin = stroke.width <= pixel;
    let color = if thin { stroke.color.gamma_multiply(stroke.width / pixel) } else { stroke.color };
    let core = if thin { 0.0 } else { (stroke.width - pixel) / 2.0 };
    let edge = if thin { pixel } else { (stroke.width + pixel) / 2.0 };
    let Ok(first) = u32::try_from(mesh.vertices.len()) else { return };
    for end in [from, to] {
        mesh.colored_vertex(end + across * edge, Color32::TRANSPARENT);
        mesh.colored_vertex(end + across * core, color);
        mesh.colored_vertex(end - across * core, color);
        mesh.colored_vertex(end - across * edge, Color32::TRANSPARENT);
    }
    for k in [first, first + 1, first + 2] {
        mesh.add_triangle(k, k + 1, k + 4);
        mesh.add_triangle(k + 1, k + 4, k + 5);
    }
}

#[cfg(test)]
mod tests {
    use egui::pos2;

    use super::*;

    fn lengths(line: &[Pos2], dash: f32, gap: f32) -> Vec<f32> {
        let mut out = Vec::new();
        pieces(line, dash, gap, |a, b| out.push(a.distance(b)));
        out
    }

    #[test]
    fn dashes_and_gaps_follow_each_other_around_corners() {
        let line = [pos2(0.0, 0.0), pos2(8.0, 0.0), pos2(8.0, 12.0)];
        // Ink from 0 to 6 and from 10 to 16, a last dash from 20 on; the corner lies at 8.
        assert_eq!(lengths(&line, 6.0, 4.0), [6.0, 6.0]);
        let line = [pos2(0.0, 0.0), pos2(3.0, 0.0), pos2(3.0, 9.0)];
        assert_eq!(lengths(&line, 6.0, 4.0), [3.0, 3.0, 2.0]);
    }

    #[test]
    fn what_is_no_line_has_no_dashes() {
        assert!(lengths(&[], 6.0, 4.0).is_empty());
        assert!(lengths(&[pos2(1.0, 1.0)], 6.0, 4.0).is_empty());
        assert!(lengths(&[pos2(1.0, 1.0), pos2(1.0, 1.0)], 6.0, 4.0).is_empty());
        assert!(lengths(&[pos2(f32::NAN, 1.0), pos2(1.0, 1.0)], 6.0, 4.0).is_empty());
        assert_eq!(lengths(&[pos2(0.0, 0.0), pos2(2.0, 0.0)], 0.0, 0.0).len(), 2);
    }
}

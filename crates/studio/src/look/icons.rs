//! A small set of our own icons, drawn as strokes on a square of 20 units.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};

/// An icon.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Icon {
    Home,
    Formula,
    Grit,
    Compare,
    Setting,
    Findings,
    Label,
    Undo,
    Redo,
    Menu,
    Figures,
    Lock,
    Up,
    Down,
    Remove,
    Swap,
    Grip,
    Bell,
}

/// Draws an icon into a square.
pub fn draw(painter: &Painter, icon: Icon, rect: Rect, color: Color32) {
    let s = rect.width().min(rect.height()) / 20.0;
    let at = |x: f32, y: f32| rect.center() + vec2((x - 10.0) * s, (y - 10.0) * s);
    let stroke = Stroke::new(1.6 * s, color);
    let line = |points: &[(f32, f32)]| {
        let points: Vec<Pos2> = points.iter().map(|(x, y)| at(*x, *y)).collect();
        painter.add(Shape::line(points, stroke));
    };
    match icon {
        // A house with a door.
        Icon::Home => {
            line(&[(2.8, 9.6), (10.0, 3.2), (17.2, 9.6)]);
            line(&[(4.6, 8.6), (4.6, 16.8), (15.4, 16.8), (15.4, 8.6)]);
            line(&[(8.4, 16.6), (8.4, 12.0), (11.6, 12.0), (11.6, 16.6)]);
        }
        Icon::Formula => {
            line(&[(3.0, 5.0), (17.0, 5.0)]);
            line(&[(3.0, 10.0), (13.0, 10.0)]);
            line(&[(3.0, 15.0), (17.0, 15.0)]);
        }
        Icon::Grit => {
            for (x, y, r) in [(6.5, 12.5, 3.4), (13.8, 13.4, 2.6), (11.0, 6.2, 2.4)] {
                painter.circle_stroke(at(x, y), r * s, stroke);
            }
        }
        Icon::Compare => {
            for (x, top) in [(3.5, 4.0), (11.5, 8.0)] {
                line(&[(x, top), (x + 5.0, top), (x + 5.0, 16.5), (x, 16.5), (x, top)]);
            }
        }
        // A melt curve that falls.
        Icon::Setting => {
            line(&[(3.0, 3.5), (3.0, 16.5), (17.0, 16.5)]);
            line(&[(3.0, 5.5), (7.5, 6.2), (10.0, 8.5), (12.0, 13.0), (16.5, 14.2)]);
        }
        // A list that is ticked off.
        Icon::Findings => {
            for y in [4.5, 10.0, 15.5] {
                line(&[(9.5, y), (17.0, y)]);
                line(&[(3.0, y), (4.4, y + 1.6), (6.8, y - 1.8)]);
            }
        }
        // A tag with a hole.
        Icon::Label => {
            line(&[(3.0, 10.0), (8.0, 4.5), (17.0, 4.5), (17.0, 15.5), (8.0, 15.5), (3.0, 10.0)]);
            painter.circle_stroke(at(8.2, 10.0), 1.5 * s, stroke);
        }
        Icon::Undo => {
            line(&[(8.0, 4.0), (4.0, 8.0), (8.0, 12.0)]);
            line(&[(4.0, 8.0), (12.0, 8.0), (15.0, 9.2), (16.0, 12.0), (15.0, 14.8), (12.0, 16.0)]);
        }
        Icon::Redo => {
            line(&[(12.0, 4.0), (16.0, 8.0), (12.0, 12.0)]);
            line(&[(16.0, 8.0), (8.0, 8.0), (5.0, 9.2), (4.0, 12.0), (5.0, 14.8), (8.0, 16.0)]);
        }
        Icon::Menu => {
            for y in [6.0, 10.0, 14.0] {
                line(&[(4.0, y), (16.0, y)]);
            }
        }
        Icon::Figures => {
            line(&[(4.0, 16.0), (4.0, 10.0)]);
            line(&[(10.0, 16.0), (10.0, 4.0)]);
            line(&[(16.0, 16.0), (16.0, 8.0)]);
        }
        Icon::Lock => {
            line(&[(5.0, 9.0), (15.0, 9.0), (15.0, 16.0), (5.0, 16.0), (5.0, 9.0)]);
            line(&[(7.0, 9.0), (7.0, 6.5), (8.5, 4.5), (11.5, 4.5), (13.0, 6.5), (13.0, 9.0)]);
        }
        Icon::Up => line(&[(5.0, 12.5), (10.0, 7.5), (15.0, 12.5)]),
        Icon::Down => line(&[(5.0, 7.5), (10.0, 12.5), (15.0, 7.5)]),
        Icon::Remove => {
            line(&[(5.5, 5.5), (14.5, 14.5)]);
            line(&[(14.5, 5.5), (5.5, 14.5)]);
        }
        Icon::Swap => {
            line(&[(4.0, 7.0), (16.0, 7.0), (13.0, 4.0)]);
            line(&[(16.0, 13.0), (4.0, 13.0), (7.0, 16.0)]);
        }
        Icon::Bell => {
            line(&[(4.0, 14.5), (5.6, 12.4), (6.0, 8.0), (7.4, 5.2), (10.0, 4.2)]);
            line(&[(10.0, 4.2), (12.6, 5.2), (14.0, 8.0), (14.4, 12.4), (16.0, 14.5)]);
            line(&[(4.0, 14.5), (16.0, 14.5)]);
            line(&[(8.6, 16.4), (10.0, 17.2), (11.4, 16.4)]);
        }
        Icon::Grip => {
            for y in [6.0, 10.0, 14.0] {
                for x in [8.0, 12.0] {
                    painter.circle_filled(at(x, y), 1.1 * s, color);
                }
            }
        }
    }
}

/// The mark of the program: an upper and a lower stone with a grain between.
pub fn mark(painter: &Painter, rect: Rect, color: Color32) {
    let s = rect.width() / 20.0;
    let at = |x: f32, y: f32| rect.min + vec2(x * s, y * s);
    let stone = |y: f32, rx: f32, ry: f32| {
        (0..=32)
            .map(|i| {
                let a = f32_of(i) / 32.0 * std::f32::consts::TAU;
                at(10.0 + rx * a.cos(), y + ry * a.sin())
            })
            .collect::<Vec<Pos2>>()
    };
    painter.add(Shape::convex_polygon(stone(7.4, 7.2, 4.4), color, Stroke::NONE));
    painter.add(Shape::line(stone(14.6, 8.2, 3.2), Stroke::new(1.8 * s, color)));
    painter.circle_filled(at(10.0, 6.6), 1.7 * s, Tokens::of_mark(color));
}

fn f32_of(i: u8) -> f32 {
    f32::from(i)
}

/// The shapes that stand for severities, so that colour is never the only sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// Square.
    Stop,
    /// Triangle.
    Warn,
    /// Dot.
    Note,
    /// Tick.
    Fine,
}

/// Draws a sign about 10 points wide.
pub fn sign(painter: &Painter, center: Pos2, sign: Sign, color: Color32) {
    match sign {
        Sign::Stop => {
            painter.rect_filled(Rect::from_center_size(center, vec2(9.0, 9.0)), 1.0, color);
        }
        Sign::Warn => {
            let points = vec![
                pos2(center.x, center.y - 5.0),
                pos2(center.x + 5.5, center.y + 4.5),
                pos2(center.x - 5.5, center.y + 4.5),
            ];
            painter.add(Shape::convex_polygon(points, color, Stroke::NONE));
        }
        Sign::Note => {
            painter.circle_filled(center, 4.5, color);
        }
        Sign::Fine => {
            let points = vec![
                pos2(center.x - 4.5, center.y),
                pos2(center.x - 1.0, center.y + 3.8),
                pos2(center.x + 5.0, center.y - 4.0),
            ];
            painter.add(Shape::line(points, Stroke::new(2.0, color)));
        }
    }
}

use super::Tokens;

impl Tokens {
    /// The eye of the program's mark: the ground that shows through it.
    fn of_mark(color: Color32) -> Color32 {
        let themes = [(false, false), (true, false), (false, true), (true, true)];
        let of = themes.map(|(dark, high)| Self::theme(dark, high));
        let found = of.into_iter().find(|t| t.accent == color);
        found.unwrap_or(Self::theme(false, false)).panel
    }
}

//! Axes that charts share.

use egui::{Align2, Color32, FontId, Mesh, Painter, Pos2, Rect, Shape, Stroke, Ui, pos2};

use crate::look::Tokens;

/// A place on screen.
#[allow(clippy::cast_possible_truncation)]
#[must_use]
pub fn px(x: f64) -> f32 {
    x as f32
}

/// A plot area with straight axes.
pub struct Axes {
    /// Where it is drawn.
    pub rect: Rect,
    /// Left and right end.
    pub x: (f64, f64),
    /// Lower and upper end.
    pub y: (f64, f64),
}

impl Axes {
    /// Place of a value on the horizontal axis.
    pub fn at_x(&self, x: f64) -> f32 {
        let share = (x - self.x.0) / (self.x.1 - self.x.0).max(1e-9);
        self.rect.left() + px(share) * self.rect.width()
    }

    /// Place of a value on the vertical axis.
    pub fn at_y(&self, y: f64) -> f32 {
        let share = (y - self.y.0) / (self.y.1 - self.y.0).max(1e-9);
        self.rect.bottom() - px(share) * self.rect.height()
    }

    /// The value under a place on the horizontal axis.
    pub fn value_x(&self, x: f32) -> f64 {
        let share = f64::from((x - self.rect.left()) / self.rect.width().max(1.0));
        self.x.0 + share * (self.x.1 - self.x.0)
    }

    /// A point.
    pub fn at(&self, (x, y): (f64, f64)) -> Pos2 {
        pos2(self.at_x(x), self.at_y(y))
    }

    /// A line through points.
    pub fn line(&self, points: impl Iterator<Item = (f64, f64)>) -> Vec<Pos2> {
        points.map(|p| self.at(p)).collect()
    }

    /// The area between two lines of as many points.
    pub fn between(&self, low: &[Pos2], high: &[Pos2], color: Color32) -> Shape {
        let mut mesh = Mesh::default();
        for (i, (a, b)) in (0_u32..).zip(low.iter().zip(high)) {
            mesh.colored_vertex(*a, color);
            mesh.colored_vertex(*b, color);
            if i > 0 {
                let k = 2 * i;
                mesh.add_triangle(k - 2, k - 1, k);
                mesh.add_triangle(k - 1, k + 1, k);
            }
        }
        Shape::mesh(mesh)
    }

    /// Hairlines and figures of the vertical axis.
    pub fn rule_y(&self, ui: &Ui, at: &[(f64, String)]) {
        let t = Tokens::of(ui);
        for (value, text) in at {
            let y = self.at_y(*value);
            ui.painter().hline(self.rect.x_range(), y, Stroke::new(1.0, t.hairline));
            small(
                ui.painter(),
                pos2(self.rect.left() - 6.0, y),
                Align2::RIGHT_CENTER,
                text,
                t.muted,
            );
        }
    }

    /// Figures of the horizontal axis.
    pub fn rule_x(&self, ui: &Ui, at: &[(f64, String)]) {
        let t = Tokens::of(ui);
        for (value, text) in at {
            let x = self.at_x(*value);
            let y = self.rect.bottom();
            ui.painter().vline(x, egui::Rangef::new(y, y + 4.0), Stroke::new(1.0, t.edge));
            small(ui.painter(), pos2(x, y + 5.0), Align2::CENTER_TOP, text, t.muted);
        }
        ui.painter().hline(self.rect.x_range(), self.rect.bottom(), Stroke::new(1.0, t.edge));
    }
}

/// Small text on a chart.
pub fn small(painter: &Painter, at: Pos2, align: Align2, text: &str, color: Color32) -> Rect {
    painter.text(at, align, text, FontId::proportional(11.0), color)
}

//! The figures of the blends, side by side.

use egui::{RichText, Ui};
use quern_calc::evaluate::{BlendSide, blend_rows};
use quern_calc::grit::calibrate::Calibration;

use crate::app::Scene;
use crate::look::{Tokens, fonts, size};
use crate::widgets::table::{row_of, title};

/// The workshop's own scale, where its scores allow one that does not contradict the index.
pub fn own_scale(scene: &Scene<'_>) -> Option<Calibration> {
    let scores: Vec<(f64, f64)> = scene
        .project
        .grit
        .scores
        .iter()
        .map(|s| (s.index, quern_calc::quantity::decimal_to_f64(s.score)))
        .collect();
    Calibration::fit(&scores).ok()
}

/// Draws the table.
pub fn show(ui: &mut Ui, scene: &Scene<'_>) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let sides: Vec<BlendSide<'_>> = scene
        .grit
        .sides
        .iter()
        .map(|s| BlendSide {
            formula: &s.formula,
            evaluation: &s.evaluation,
            per_use: scene.project.grit.grams_per_use(s.formula.product.place),
        })
        .collect();
    let rules = quern_project::rules::builtin_rules();
    let scale = own_scale(scene).filter(|s| !s.contradicts());
    let rows = blend_rows(&sides, scene.ui.grit.cut_um, scale.as_ref(), rules, style);
    title(ui, "Figures", "estimates are marked; cost is of materials");
    let cell = if sides.len() > 2 { 112.0 } else { 150.0 };
    let mut heads: Vec<RichText> = scene
        .grit
        .sides
        .iter()
        .enumerate()
        .map(|(i, s)| {
            let name: String = s.formula.name.chars().take(16).collect();
            RichText::new(name).font(fonts::strong(size::SMALL)).color(t.side(i))
        })
        .collect();
    if sides.len() == 2 {
        heads.push(RichText::new("difference").font(fonts::small()).color(t.muted));
    }
    // A figure must not stand a window's width away from its name.
    let width = 300.0 + cell * heads.len() as f32;
    ui.set_max_width(width.min(ui.available_width()));
    row_of(ui, RichText::new(""), &heads, cell, true);
    for r in rows {
        let mut cells: Vec<RichText> =
            r.values.iter().map(|v| RichText::new(v.text(style))).collect();
        if sides.len() == 2 {
            cells.push(RichText::new(r.difference).color(t.muted));
        }
        let name = if r.estimate { format!("{}, estimate", r.name) } else { r.name };
        row_of(ui, RichText::new(name), &cells, cell, false);
    }
}

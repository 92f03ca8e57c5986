//! The figures of the blends, side by side.

use egui::{Align, Layout, RichText, Ui, vec2};
use quern_calc::evaluate::{BlendRow, BlendSide, Value, blend_rows};

use crate::app::Scene;
use crate::look::{Tokens, fonts, size};
use crate::widgets::table::{Cell, row_of, rows as lined_up, title};
use crate::words;

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
    let rules = quern_project::rules::in_use();
    let scale = scene.project.grit.usable_scale();
    let rows = blend_rows(&sides, scene.ui.grit.cut_um, scale.as_ref(), rules, style);
    title(ui, say!("Figures"), say!("estimates are marked; cost is of materials"));
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
        heads.push(RichText::new(say!("difference")).font(fonts::small()).color(t.muted));
    }
    // A figure must not stand a window's width away from its name.
    let width = (300.0 + cell * heads.len() as f32).min(ui.available_width());
    ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::Min), |ui| {
        ui.set_width(width);
        body(ui, scene, rows, &heads, cell);
    });
}

fn body(ui: &mut Ui, scene: &Scene<'_>, rows: Vec<BlendRow>, heads: &[RichText], cell: f32) {
    let t = Tokens::of(ui);
    let style = scene.style();
    row_of(ui, RichText::new(""), heads, cell, true);
    let text = |r: &BlendRow, value: &Value| {
        let sum = r.key.contains("cost") && !matches!(value, Value::Absent(_));
        if sum { scene.money(&value.text(style)) } else { words::told(value.text(style)) }
    };
    let all = rows
        .into_iter()
        .map(|r| {
            let mut cells: Vec<Cell> =
                r.values.iter().map(|v| Cell::plain(t, text(&r, v))).collect();
            if r.values.len() == 2 {
                cells.push(Cell::muted(t, words::told(r.difference)));
            }
            let name = if r.estimate {
                say!("{name}, estimate", name = words::engine(&r.name))
            } else {
                words::engine(r.name).into_owned()
            };
            (Cell::plain(t, name), cells)
        })
        .collect();
    lined_up(ui, all, cell);
}

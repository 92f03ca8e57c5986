//! HLB, surfactants, water activity and natural origin.

use egui::{Label, RichText, Ui};
use quern_calc::evaluate::chemistry_rows;

use super::{muted, section};
use crate::app::Scene;
use crate::look::fonts;
use crate::widgets::table::{Cell, whole_row};
use crate::words;

/// Draws the part.
pub fn show(ui: &mut Ui, scene: &Scene<'_>) {
    let t = crate::look::Tokens::of(ui);
    let style = scene.style();
    let e = &scene.here.evaluation;
    for part in chemistry_rows(e, scene.formula(), style) {
        section(ui, words::text(part.name), words::text(part.about));
        for row in &part.rows {
            let cell = Cell {
                text: words::engine(&row.value).into_owned(),
                font: fonts::text(),
                color: t.ink,
            };
            whole_row(ui, &words::engine(&row.name), &[cell], 260.0);
        }
        for note in &part.notes {
            ui.add(Label::new(RichText::new(words::engine(note)).font(fonts::small())).wrap());
        }
        muted(ui, &words::engine(&part.source));
    }
}

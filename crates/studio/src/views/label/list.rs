//! The ingredient list explained, with the 1 % line.

use egui::{Label, RichText, Sense, Stroke, Ui, vec2};
use quern_calc::evaluate::SideLabel;
use quern_calc::label::{Entry, Zone};

use super::muted;
use crate::app::Scene;
use crate::look::{Tokens, fonts};
use crate::widgets::table::title;
use crate::words;

/// Draws the list.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, side: &SideLabel) {
    let list = &side.label.list;
    title(
        ui,
        say!("Ingredient list explained"),
        say!("in printing order, opened and summed over all materials"),
    );
    if list.entries.is_empty() {
        muted(ui, say!("Nothing to list yet"));
        return;
    }
    for (i, entry) in list.entries.iter().enumerate() {
        if list.first_free == Some(i) {
            line(ui, say!("1 %: below, the order is free"));
        } else if entry.zone == Zone::Colour
            && i.checked_sub(1)
                .and_then(|b| list.entries.get(b))
                .is_none_or(|b| b.zone != Zone::Colour)
        {
            line(ui, say!("colourants come last"));
        }
        row(ui, scene, i, entry);
    }
    let style = scene.style();
    if !list.left_out.is_empty() {
        ui.add_space(4.0);
        muted(ui, say!("Not printed"));
        for left in &list.left_out {
            muted(ui, &format!("– {}", words::engine(left.words(style))));
        }
    }
}

/// A line across the list with words on it.
fn line(ui: &mut Ui, words: &str) {
    let t = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 20.0), Sense::hover());
    let galley = ui.painter().layout_no_wrap(words.to_owned(), fonts::small(), t.accent);
    let y = rect.center().y;
    ui.painter().hline(
        egui::Rangef::new(rect.left() + galley.size().x + 10.0, rect.right()),
        y,
        Stroke::new(1.5, t.accent),
    );
    ui.painter().galley(egui::pos2(rect.left(), y - galley.size().y / 2.0), galley, t.accent);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, words));
}

fn row(ui: &mut Ui, scene: &Scene<'_>, i: usize, entry: &Entry) {
    let t = Tokens::of(ui);
    let style = scene.style();
    ui.horizontal_top(|ui| {
        let place = i.saturating_add(1).to_string();
        ui.allocate_ui_with_layout(
            vec2(28.0, 18.0),
            egui::Layout::right_to_left(egui::Align::Min),
            |ui| {
                ui.set_min_width(28.0);
                ui.label(RichText::new(place).font(fonts::small()).color(t.muted));
            },
        );
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.add(Label::new(RichText::new(&entry.name).font(fonts::strong(13.0))).wrap());
            let from = if entry.sources.is_empty() {
                String::new()
            } else {
                say!("; from {sources}", sources = entry.sources.join(", "))
            };
            muted(ui, &format!("{}{from}", words::engine(entry.words(style))));
        });
    });
}

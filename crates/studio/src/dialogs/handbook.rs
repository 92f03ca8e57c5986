//! The guide: contents, search, and a painter of its pages.

use egui::{
    ComboBox, Frame, Grid, Id, Key, Label, Margin, Modifiers, RichText, ScrollArea, Stroke,
    TextEdit, Ui, vec2,
};

use super::{focus_first, title};
use crate::app::guide::GuideState;
use crate::guide::parse::{Block, Span};
use crate::guide::{Part, Read, holds, page, pages, words};
use crate::look::{Tokens, fonts, size};
use crate::words;

/// Width of the contents.
const CONTENTS: f32 = 200.0;

/// Shows the guide; true to close.
pub fn show(ui: &mut Ui, state: &mut GuideState) -> bool {
    let screen = ui.ctx().content_rect();
    let wide = ui.available_width() > 620.0;
    let width = if wide { 900.0_f32.min(ui.available_width()) } else { ui.available_width() };
    ui.set_width(width);
    let back = ui.input_mut(|i| i.consume_key(Modifiers::ALT, Key::ArrowLeft));
    if back {
        state.go_back();
    }
    let looked_for = words(&state.query);
    let found: Vec<&Read> = pages().iter().filter(|p| p.holds(&looked_for)).collect();
    if wide {
        title(ui, say!("Guide"));
    }
    head(ui, state, &found, wide);
    ui.add_space(8.0);
    let height = (screen.height() - if wide { 210.0 } else { 170.0 }).max(140.0);
    if wide {
        ui.horizontal_top(|ui| {
            ui.vertical(|ui| {
                ui.set_width(CONTENTS);
                ScrollArea::vertical()
                    .max_height(height)
                    .auto_shrink([false, false])
                    .id_salt("guide-contents")
                    .show(ui, |ui| contents(ui, state, &found));
            });
            ui.add_space(12.0);
            ui.vertical(|ui| body(ui, state, &looked_for, height));
        });
    } else {
        body(ui, state, &looked_for, height);
    }
    ui.add_space(8.0);
    let mut close = false;
    ui.horizontal(|ui| {
        close = ui.button(say!("Close")).clicked();
        let can = !state.back.is_empty();
        if ui.add_enabled(can, egui::Button::new(say!("Back"))).clicked() {
            state.go_back();
        }
    });
    close
}

/// The search, and the contents where there is no room beside.
fn head(ui: &mut Ui, state: &mut GuideState, found: &[&Read], wide: bool) {
    let t = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        let field = TextEdit::singleline(&mut state.query)
            .desired_width(if wide { CONTENTS } else { 150.0 })
            .hint_text(say!("Search the guide"))
            .min_size(vec2(0.0, size::CONTROL));
        let response = ui.add(field).accessible_name(say!("Search the guide"));
        focus_first(ui, &response);
        if response.changed() {
            // The first page that holds it is shown at once.
            let looked_for = words(&state.query);
            let hit = pages().iter().find(|p| p.holds(&looked_for));
            let here = page(&state.page).is_some_and(|p| p.holds(&looked_for));
            if let Some(hit) = hit.filter(|_| !here) {
                state.go(hit.key);
            }
            state.to_top = true;
        }
        if !state.query.trim().is_empty() {
            let text = match found.len() {
                0 => say!("No page holds these words").to_owned(),
                1 => say!("On 1 page").to_owned(),
                n => say!("On {n} pages", n),
            };
            ui.label(RichText::new(text).font(fonts::small()).color(t.muted));
        }
        if !wide {
            let here = page(&state.page).map_or("", |p| p.title.as_str());
            ComboBox::from_id_salt("guide-page")
                .selected_text(here)
                .width(200.0)
                .height(260.0)
                .show_ui(ui, |ui| contents(ui, state, found))
                .response
                .accessible_name(say!("Page of the guide"));
        }
    });
}

fn contents(ui: &mut Ui, state: &mut GuideState, found: &[&Read]) {
    let t = Tokens::of(ui);
    for part in Part::ALL {
        let mut heads = found.iter().filter(|p| p.part == part).peekable();
        if heads.peek().is_none() {
            continue;
        }
        ui.add_space(4.0);
        ui.label(
            RichText::new(words::text(part.name())).font(fonts::strong(size::SMALL)).color(t.muted),
        );
        for head in heads {
            let on = head.key == state.page;
            let button = egui::Button::selectable(on, &head.title).wrap();
            let response = ui.add(button.min_size(vec2(ui.available_width(), size::CONTROL)));
            if response.clicked() {
                state.go(head.key);
            }
        }
    }
}

fn body(ui: &mut Ui, state: &mut GuideState, looked_for: &[String], height: f32) {
    let Some(read) = page(&state.page) else {
        ui.label(say!("There is no such page: choose one from the contents"));
        return;
    };
    let mut area = ScrollArea::vertical()
        .max_height(height)
        .auto_shrink([false, false])
        .id_salt(("guide-page", read.key));
    if state.to_top {
        area = area.vertical_scroll_offset(0.0);
    }
    let mut follow = None;
    area.show(ui, |ui| {
        ui.set_max_width(ui.available_width().min(640.0));
        page_keys(ui, height);
        ui.label(RichText::new(&read.title).font(fonts::strong(20.0)));
        ui.add_space(6.0);
        let mut first = state.to_top && !looked_for.is_empty();
        for (i, block) in read.blocks.iter().enumerate() {
            let hit = !looked_for.is_empty() && holds(&block.text(), looked_for);
            let drawn = ui.scope(|ui| draw(ui, read.key, i, block, hit, &mut follow));
            if hit && first {
                first = false;
                drawn.response.scroll_to_me(Some(egui::Align::Center));
            }
        }
        ui.add_space(16.0);
    });
    state.to_top = false;
    if let Some(key) = follow {
        state.go(&key);
    }
}

/// Page, home and end keys scroll while the search is not edited with them.
fn page_keys(ui: &Ui, height: f32) {
    let step = height - 40.0;
    for (key, by) in
        [(Key::PageDown, -step), (Key::PageUp, step), (Key::ArrowDown, -40.0), (Key::ArrowUp, 40.0)]
    {
        if ui.input(|i| i.key_pressed(key)) {
            ui.scroll_with_delta(vec2(0.0, by));
        }
    }
}

fn draw(ui: &mut Ui, page: &str, at: usize, block: &Block, hit: bool, follow: &mut Option<String>) {
    let t = Tokens::of(ui);
    match block {
        Block::Heading(level, text) => {
            ui.add_space(if *level <= 2 { 12.0 } else { 6.0 });
            let font = if *level <= 2 { size::HEAD } else { size::TEXT };
            ui.label(RichText::new(text).font(fonts::strong(font)));
            ui.add_space(2.0);
        }
        Block::Paragraph(spans) => {
            flow(ui, spans, hit, follow);
            ui.add_space(6.0);
        }
        Block::Item(depth, number, spans) => {
            ui.horizontal_top(|ui| {
                #[allow(clippy::cast_precision_loss)] // lists are two deep
                ui.add_space(8.0 + 16.0 * *depth as f32);
                let mark = number.map_or_else(|| "•".to_owned(), |n| format!("{n}."));
                ui.label(RichText::new(mark).color(t.muted));
                ui.vertical(|ui| flow(ui, spans, hit, follow));
            });
            ui.add_space(2.0);
        }
        Block::Equation(text) => {
            Frame::new()
                .fill(t.panel)
                .stroke(Stroke::new(1.0, if hit { t.accent } else { t.hairline }))
                .corner_radius(6)
                .inner_margin(Margin::symmetric(12, 8))
                .show(ui, |ui| {
                    for line in text.lines() {
                        ui.add(Label::new(RichText::new(line).font(fonts::text())).wrap());
                    }
                });
            ui.add_space(8.0);
        }
        Block::Table(heads, rows) => {
            let columns = heads.len().max(1);
            #[allow(clippy::cast_precision_loss)] // a handful of columns
            let room = ui.available_width() / columns as f32;
            // The first of three columns is a sign, and the last says the most.
            let most = if columns == 2 { room * 1.3 } else { room * 1.15 };
            ui.spacing_mut().interact_size.y = 18.0;
            Grid::new(Id::unique(("guide-table", page, at)))
                .num_columns(columns)
                .spacing([18.0, 4.0])
                .max_col_width(most - 18.0)
                .show(ui, |ui| {
                    for head in heads {
                        let text: String = head.iter().map(|s| s.text.as_str()).collect();
                        let text = RichText::new(text).font(fonts::strong(size::SMALL));
                        ui.label(text.color(t.muted));
                    }
                    ui.end_row();
                    for row in rows {
                        for cell in row {
                            ui.vertical(|ui| flow(ui, cell, hit, follow));
                        }
                        ui.end_row();
                    }
                });
            ui.add_space(8.0);
        }
        Block::Remark(spans) => {
            Frame::new()
                .fill(t.row)
                .corner_radius(6)
                .inner_margin(Margin::symmetric(12, 8))
                .show(ui, |ui| flow(ui, spans, hit, follow));
            ui.add_space(8.0);
        }
    }
}

/// Text that wraps, with links in it.
fn flow(ui: &mut Ui, spans: &[Span], hit: bool, follow: &mut Option<String>) {
    let t = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 3.0);
        ui.spacing_mut().interact_size.y = 0.0;
        for span in spans {
            let mut text = RichText::new(&span.text).font(fonts::text());
            if span.set.strong || span.set.code {
                text = text.font(fonts::strong(size::TEXT));
            }
            if span.set.emphasis {
                text = text.italics();
            }
            if hit {
                text = text.background_color(t.row);
            }
            match &span.link {
                Some(key) => {
                    let link = ui.add(egui::Link::new(text.color(t.accent).underline()));
                    let link = link.on_hover_text(
                        page(key).map_or(say!("This page is missing"), |p| p.title.as_str()),
                    );
                    if link.has_focus() {
                        let ring = Stroke::new(2.0, t.accent);
                        let rect = link.rect.expand(2.0);
                        ui.painter().rect_stroke(rect, 3.0, ring, egui::StrokeKind::Outside);
                        link.scroll_to_me(None);
                    }
                    if link.clicked() {
                        *follow = Some(key.clone());
                    }
                }
                None => {
                    ui.add(Label::new(text).wrap());
                }
            }
        }
    });
}

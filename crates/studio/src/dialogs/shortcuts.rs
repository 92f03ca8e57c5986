//! Every shortcut on one sheet, by group.

use egui::{Label, RichText, ScrollArea, Ui, vec2};

use super::{focus_first, title};
use crate::app::commands::keys::{GROUPS, Keys};
use crate::app::commands::{Group, TABLE};
use crate::look::{Tokens, fonts, size};
use crate::words;

/// A heading with its rows.
struct Section {
    name: &'static str,
    rows: Vec<(String, &'static str)>,
}

fn sections(ui: &Ui) -> Vec<Section> {
    let commands = Group::ALL.into_iter().map(|group| Section {
        name: group.name(),
        rows: TABLE
            .iter()
            .filter(|r| r.group == group)
            .filter_map(|r| Some((ui.ctx().format_shortcut(&r.shortcut?), words::text(r.name()))))
            .collect(),
    });
    let others = GROUPS.iter().map(|Keys { name, rows }| Section {
        name: words::text(name),
        rows: rows
            .iter()
            .map(|(keys, what)| (words::text(keys).to_owned(), words::text(what)))
            .collect(),
    });
    commands.chain(others).filter(|s| !s.rows.is_empty()).collect()
}

/// Shows the sheet; true to close.
pub fn show(ui: &mut Ui) -> bool {
    let wide = ui.available_width() > 620.0;
    ui.set_width(if wide { 780.0_f32.min(ui.available_width()) } else { ui.available_width() });
    title(ui, say!("Shortcuts"));
    let sections = sections(ui);
    let height = (ui.ctx().content_rect().height() - 180.0).max(140.0);
    ScrollArea::vertical().max_height(height).auto_shrink([false, true]).id_salt("shortcuts").show(
        ui,
        |ui| {
            if !wide {
                sections.iter().for_each(|s| section(ui, s));
                return;
            }
            // Two columns of about the same height.
            let all: usize = sections.iter().map(|s| s.rows.len() + 2).sum();
            let mut before = 0;
            let (mut left, mut right) = (Vec::new(), Vec::new());
            for s in &sections {
                if before < all / 2 {
                    left.push(s)
                } else {
                    right.push(s)
                }
                before += s.rows.len() + 2;
            }
            let half = (ui.available_width() - 24.0) / 2.0;
            ui.horizontal_top(|ui| {
                for column in [left, right] {
                    ui.allocate_ui_with_layout(
                        vec2(half, 0.0),
                        egui::Layout::top_down(egui::Align::Min),
                        |ui| {
                            ui.set_width(half);
                            column.iter().for_each(|s| section(ui, s));
                        },
                    );
                    ui.add_space(12.0);
                }
            });
        },
    );
    ui.add_space(8.0);
    let close = ui.button(say!("Close"));
    focus_first(ui, &close);
    close.clicked()
}

fn section(ui: &mut Ui, section: &Section) {
    let t = Tokens::of(ui);
    ui.label(RichText::new(section.name).font(fonts::strong(size::TEXT)));
    ui.spacing_mut().interact_size.y = 22.0;
    ui.spacing_mut().item_spacing.y = 2.0;
    for (keys, what) in &section.rows {
        ui.horizontal(|ui| {
            let room = (ui.available_width() * 0.46).clamp(110.0, 170.0);
            ui.allocate_ui_with_layout(
                vec2(room, 22.0),
                egui::Layout::left_to_right(egui::Align::Center),
                |ui| {
                    ui.set_min_width(room);
                    ui.add(Label::new(RichText::new(keys).color(t.accent)).wrap());
                },
            );
            ui.add(Label::new(*what).wrap());
        });
    }
    ui.add_space(10.0);
}

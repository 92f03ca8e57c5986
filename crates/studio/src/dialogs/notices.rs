//! The list of everything that was said since the start, with details.

use egui::{Label, RichText, ScrollArea, Ui};

use super::title;
use crate::app::action::Action;
use crate::app::notices::{Details, Notice};
use crate::look::{Tokens, fonts};
use crate::views::notice::sign_of;

/// Shows the list, the newest first.
pub fn show(ui: &mut Ui, notices: &[Notice], actions: &mut Vec<Action>) -> bool {
    let t = Tokens::of(ui);
    ui.set_width(560.0_f32.min(ui.available_width()));
    title(ui, say!("Notices"));
    if notices.is_empty() {
        ui.label(say!("Nothing was said yet"));
    }
    let height = (ui.ctx().content_rect().height() - 220.0).clamp(120.0, 420.0);
    ScrollArea::vertical().max_height(height).id_salt("notices").show(ui, |ui| {
        for (n, notice) in notices.iter().enumerate().rev() {
            let n = n.saturating_add(1);
            let (sign, color) = sign_of(t, notice.tone);
            ui.horizontal_top(|ui| {
                let (rect, _) =
                    ui.allocate_exact_size(egui::vec2(14.0, 18.0), egui::Sense::hover());
                crate::look::icons::sign(ui.painter(), rect.center(), sign, color);
                ui.label(RichText::new(&notice.at).color(t.muted));
                ui.vertical(|ui| {
                    ui.add(Label::new(notice.text.as_str()).wrap());
                    if let Some(more) = &notice.details {
                        details(ui, n, notice, more);
                    }
                });
            });
            ui.add_space(4.0);
        }
    });
    ui.add_space(8.0);
    ui.horizontal_wrapped(|ui| {
        let close = crate::widgets::primary_button(ui, say!("Close"));
        super::focus_first(ui, &close);
        let some = !notices.is_empty();
        if ui.add_enabled(some, egui::Button::new(say!("Copy all"))).clicked() {
            let all: Vec<String> = notices.iter().map(Notice::plain).collect();
            ui.copy_text(all.join("\n"));
        }
        let clear = ui.add_enabled(some, egui::Button::new(say!("Clear the list")));
        if clear.on_hover_text(say!("The log file keeps them")).clicked() {
            actions.push(Action::ClearNotices);
        }
        close.clicked()
    })
    .inner
}

fn details(ui: &mut Ui, n: usize, notice: &Notice, more: &Details) {
    let t = Tokens::of(ui);
    let head = RichText::new(say!("Details")).font(fonts::small());
    let shown =
        egui::CollapsingHeader::new(head).id_salt(("notice-details", notice.id)).show(ui, |ui| {
            for text in [&more.text, &more.fix].into_iter().filter(|s| !s.is_empty()) {
                ui.add(Label::new(text.as_str()).wrap());
            }
            if let Some(path) = &more.path {
                let path = RichText::new(path.display().to_string()).color(t.muted);
                ui.add(Label::new(path).wrap());
            }
            let copy = ui.button(RichText::new(say!("Copy text")).font(fonts::small()));
            if copy.accessible_name(say!("Copy notice {n}", n)).clicked() {
                ui.copy_text(notice.plain());
            }
        });
    shown.header_response.accessible_name(say!("Details of notice {n}", n));
}

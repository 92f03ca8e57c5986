//! Notices over the window: in the lower right, above the batch bar, or out of the way of what
//! has the focus.

use egui::{Align2, Area, Frame, Id, Margin, Order, RichText, Sense, Stroke, Vec2, vec2};

use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::notices::{Notice, Notices, Tone};
use crate::look::icons::{self, Sign};
use crate::look::{Tokens, fonts, size};

/// Sign and colour of a tone.
#[must_use]
pub fn sign_of(t: &Tokens, tone: Tone) -> (Sign, egui::Color32) {
    match tone {
        Tone::Done => (Sign::Fine, t.fine),
        Tone::Info => (Sign::Note, t.note),
        Tone::Error => (Sign::Stop, t.stop),
    }
}

/// Shows what is on screen now, above a bar of this height at the bottom; at the top while a
/// dialog, whose buttons are at its foot, is open.
pub fn show(
    ctx: &egui::Context,
    notices: &mut Notices,
    (foot, dialog): (f32, bool),
    actions: &mut Vec<Action>,
) {
    let now = ctx.input(|i| i.time);
    let screen = ctx.content_rect();
    // Where there is little room, one at a time, and beside a dialog on one line.
    let low = screen.height() < size::LOW_BELOW;
    let (shown, change) = notices.current(now, if low { 1 } else { 2 });
    if shown.is_empty() {
        return;
    }
    if let Some(left) = change {
        ctx.request_repaint_after(left);
    }
    let t = Tokens::in_context(ctx);
    let id = Id::unique("notices-on-screen");
    let width = (screen.width() - 32.0).min(420.0);
    let (align, offset) = if dialog {
        (Align2::RIGHT_TOP, vec2(-16.0, 4.0))
    } else if covers_focus(ctx, id) {
        (Align2::RIGHT_TOP, vec2(-16.0, size::TOP + 8.0))
    } else {
        (Align2::RIGHT_BOTTOM, vec2(-16.0, -(foot + 12.0)))
    };
    let mut held = None;
    Area::new(id)
        .order(Order::Tooltip)
        .anchor(align, offset)
        .role(egui::accesskit::Role::Alert)
        .show(ctx, |ui| {
            ui.set_max_width(width);
            for on in &shown {
                let response = one(ui, (t, width, dialog), on.notice, on.ready, actions);
                if response {
                    held = Some(on.notice.id);
                }
                ui.add_space(4.0);
            }
        });
    if let Some(id) = held {
        notices.hold(id, now);
        ctx.request_repaint_after_secs(1.0);
    }
}

/// True when the notices would lie over what has the focus. They stay where they went until the
/// focus moves, so that they do not jump to and fro.
fn covers_focus(ctx: &egui::Context, id: Id) -> bool {
    let Some(focused) = ctx.memory(egui::Memory::focused) else { return false };
    let key = id.with("above");
    let before: Option<(Id, bool)> = ctx.data(|d| d.get_temp(key));
    if let Some((at, above)) = before
        && at == focused
        && above
    {
        return true;
    }
    let layer = egui::LayerId::new(Order::Tooltip, id);
    // A button of the notice itself may have the focus.
    let field = ctx.read_response(focused).filter(|r| r.layer_id != layer).map(|r| r.rect);
    let area = ctx.memory(|m| m.area_rect(id));
    let covers = field.zip(area).is_some_and(|(field, area)| area.intersects(field));
    ctx.data_mut(|d| d.insert_temp(key, (focused, covers)));
    covers
}

/// One notice; true while it is pointed at or its button has the focus.
fn one(
    ui: &mut egui::Ui,
    (t, width, one_line): (&Tokens, f32, bool),
    notice: &Notice,
    ready: bool,
    actions: &mut Vec<Action>,
) -> bool {
    let (sign, color) = sign_of(t, notice.tone);
    let mut focused = false;
    let frame = Frame::new()
        .fill(t.raised)
        .stroke(Stroke::new(1.0, color))
        .corner_radius(6)
        .inner_margin(Margin::symmetric(12, 8))
        .show(ui, |ui| {
            ui.set_width((width - 26.0).max(0.0));
            ui.horizontal_top(|ui| {
                let (rect, _) =
                    ui.allocate_exact_size(Vec2::new(14.0, size::CONTROL), Sense::hover());
                icons::sign(ui.painter(), rect.center(), sign, color);
                ui.vertical(|ui| {
                    let more = notice.details.is_some();
                    let room = ui.available_width() - if more { 150.0 } else { 80.0 };
                    ui.set_width(room.max(120.0));
                    ui.add_space(5.0);
                    let label = egui::Label::new(shortened(&notice.text));
                    if one_line {
                        ui.add(label.truncate());
                    } else {
                        ui.add(label.wrap());
                    }
                });
                let mut button = |ui: &mut egui::Ui, text: &str, name: String| {
                    let label = RichText::new(text).font(fonts::small());
                    let response = ui.add(egui::Button::new(label)).accessible_name(name);
                    focused |= response.has_focus();
                    // A click that was meant for what lay here before is not taken.
                    response.clicked() && ready
                };
                if button(ui, say!("Put away"), say!("Put away: {notice}", notice = notice.text)) {
                    actions.push(Action::PutNoticeAway(notice.id));
                }
                if notice.details.is_some()
                    && button(ui, say!("Details"), say!("Details: {notice}", notice = notice.text))
                {
                    actions.push(Action::PutNoticeAway(notice.id));
                    actions.push(Action::Run(Command::Notices));
                }
            });
        });
    focused || ui.rect_contains_pointer(frame.response.rect)
}

/// A long text cut at a word; the list has the whole.
fn shortened(text: &str) -> String {
    const MOST: usize = 240;
    if text.chars().count() <= MOST {
        return text.to_owned();
    }
    let cut: String = text.chars().take(MOST).collect();
    let at = cut.rfind(' ').unwrap_or(cut.len());
    format!("{}…", cut.get(..at).unwrap_or(&cut))
}

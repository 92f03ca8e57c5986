//! What is drawn. Views read the scene, compute nothing and change nothing; they ask for
//! actions.

mod areas;
mod batch_bar;
pub mod compare;
mod compare_words;
pub mod composition;
pub mod figures;
pub mod findings;
pub mod formula;
pub mod grit;
pub mod label;
mod rail;
mod read_only;
pub mod setting;
mod top_bar;

use egui::{Color32, Frame, Margin, Rect, ScrollArea, Stroke, Ui, UiBuilder};

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::notices::{Notices, Tone};
use crate::app::state::View;
use crate::look::icons::{self, Sign};
use crate::look::{Tokens, size};
use areas::Areas;

/// The whole window, drawn in the order in which it is read and Tab goes: top bar, rail, middle,
/// side panel, batch bar.
pub fn window(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let screen = ui.ctx().content_rect();
    let view = scene.ui.view;
    let narrow = screen.width() < size::DRAWER_BELOW;
    let low = screen.height() < size::LOW_BELOW;
    // The right panel belongs to the view; in narrow windows it is a drawer in its place.
    let side = view != View::Compare && if narrow { scene.ui.drawer } else { scene.ui.figures };
    // A blend is designed in % and does not depend on the batch; nor do checks and label.
    let batch = !matches!(view, View::Grit | View::Findings | View::Label);
    let read_only = scene.read_only().filter(|_| view != View::Compare);
    let areas = Areas::new(screen, read_only.is_some(), side, batch);

    area(ui, "top-bar", areas.top, t.panel, |ui| top_bar::show(ui, scene, narrow, actions));
    if let (Some(rect), Some(reason)) = (areas.strip, read_only) {
        area(ui, "read-only", rect, t.panel, |ui| read_only::show(ui, scene, reason, actions));
    }
    area(ui, "rail", areas.rail, t.rail, |ui| rail::show(ui, scene, low, actions));
    if let Some(rect) = areas.middle {
        area(ui, "middle", rect, t.paper, |ui| {
            let room = rect.shrink2(egui::vec2(16.0, 8.0));
            let mut inner = ui.new_child(UiBuilder::new().max_rect(room));
            match view {
                View::Formula => formula::show(&mut inner, scene, actions),
                View::Grit => grit::show(&mut inner, scene, actions),
                View::Setting => setting::show(&mut inner, scene, actions),
                View::Findings => findings::show(&mut inner, scene, actions),
                View::Label => label::show(&mut inner, scene, actions),
                View::Compare => {
                    ScrollArea::both()
                        .auto_shrink(false)
                        .id_salt("compare-scroll")
                        .show(&mut inner, |ui| compare::show(ui, scene, actions));
                }
            }
        });
    }
    if let Some(rect) = areas.side {
        area(ui, "side-panel", rect, t.panel, |ui| match view {
            View::Formula => figures::show(ui, scene, actions),
            View::Grit => grit::panel(ui, scene, actions),
            View::Setting => setting::panel(ui, scene, actions),
            View::Findings => findings::panel(ui, scene, actions),
            View::Label => label::panel(ui, scene, actions),
            View::Compare => {}
        });
    }
    if let Some(rect) = areas.batch {
        area(ui, "batch-bar", rect, t.panel, |ui| batch_bar::show(ui, scene, low, actions));
    }
    areas.rules(ui);
    if scene.ui.linked.is_some() && (areas.side.is_none() || view != View::Formula) {
        // The chart that pointed at lines is not there to let go of them.
        actions.push(Action::Link(None));
    }
}

/// A part of the window in its place.
fn area(ui: &mut Ui, id: &str, rect: Rect, fill: Color32, add: impl FnOnce(&mut Ui)) {
    let mut child = ui.new_child(UiBuilder::new().id_salt(id).max_rect(rect));
    child.shrink_clip_rect(rect);
    child.painter().rect_filled(rect, 0.0, fill);
    add(&mut child);
}

/// The newest notice, over the lower right of the window.
pub fn notice(ctx: &egui::Context, notices: &mut Notices, actions: &mut Vec<Action>) {
    let now = ctx.input(|i| i.time);
    let Some((notice, left)) = notices.current(now) else { return };
    let t = Tokens::in_context(ctx);
    if let Some(left) = left {
        ctx.request_repaint_after(left);
    }
    let (sign, color) = match notice.tone {
        Tone::Done => (Sign::Fine, t.fine),
        Tone::Info => (Sign::Note, t.note),
        Tone::Error => (Sign::Stop, t.stop),
    };
    egui::Area::new(egui::Id::unique("notice"))
        .order(egui::Order::Tooltip)
        .anchor(egui::Align2::RIGHT_BOTTOM, egui::vec2(-16.0, -112.0))
        .show(ctx, |ui| {
            Frame::new()
                .fill(t.raised)
                .stroke(Stroke::new(1.0, color))
                .corner_radius(6)
                .inner_margin(Margin::symmetric(12, 8))
                .show(ui, |ui| {
                    ui.set_max_width(420.0);
                    ui.horizontal(|ui| {
                        let (rect, _) =
                            ui.allocate_exact_size(egui::Vec2::splat(14.0), egui::Sense::hover());
                        icons::sign(ui.painter(), rect.center(), sign, color);
                        ui.add(egui::Label::new(notice.text.as_str()).wrap());
                        if ui.button("Put away").clicked() {
                            actions.push(Action::PutNoticeAway);
                        }
                    });
                });
        });
}

//! What is drawn. Views read the scene, compute nothing and change nothing; they ask for
//! actions.

mod batch_bar;
pub mod compare;
mod compare_words;
pub mod figures;
pub mod findings;
pub mod formula;
pub mod grit;
pub mod label;
mod rail;
mod read_only;
pub mod setting;
mod top_bar;

use egui::{CentralPanel, Frame, Margin, Panel, ScrollArea, Stroke, Ui};

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::notices::{Notices, Tone};
use crate::app::state::View;
use crate::look::icons::{self, Sign};
use crate::look::{Tokens, size};

/// What draws the right panel of a view.
type SidePanel = fn(&mut Ui, &Scene<'_>, &mut Vec<Action>);

/// The whole window.
pub fn window(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let screen = ui.ctx().content_rect();
    let narrow = screen.width() < size::DRAWER_BELOW;
    let low = screen.height() < size::LOW_BELOW;
    let bar = |fill| Frame::new().fill(fill).inner_margin(Margin::ZERO);

    Panel::top("top-bar")
        .exact_size(size::TOP)
        .frame(bar(t.panel))
        .show_separator_line(true)
        .show(ui, |ui| top_bar::show(ui, scene, narrow, actions));
    if scene.ui.view != View::Compare
        && let Some(reason) = scene.read_only()
    {
        Panel::top("read-only")
            .exact_size(read_only::HEIGHT)
            .frame(bar(t.panel))
            .show_separator_line(true)
            .show(ui, |ui| read_only::show(ui, scene, reason, actions));
    }
    // A blend is designed in % and does not depend on the batch; nor do checks and label.
    if !matches!(scene.ui.view, View::Grit | View::Findings | View::Label) {
        Panel::bottom("batch-bar")
            .exact_size(if low { 52.0 } else { 100.0 })
            .frame(bar(t.panel))
            .show(ui, |ui| batch_bar::show(ui, scene, low, actions));
    }
    Panel::left("rail")
        .exact_size(if low { 48.0 } else { size::RAIL })
        .resizable(false)
        .frame(bar(t.rail))
        .show(ui, |ui| rail::show(ui, scene, low, actions));

    // The right panel belongs to the view; in narrow windows it is a drawer in its place.
    let side: Option<(&str, SidePanel)> = match scene.ui.view {
        View::Formula => Some(("figures", figures::show)),
        View::Grit => Some(("grit-panel", grit::panel)),
        View::Setting => Some(("setting-panel", setting::panel)),
        View::Findings => Some(("findings-panel", findings::panel)),
        View::Label => Some(("label-panel", label::panel)),
        View::Compare => None,
    };
    let shown = if narrow { scene.ui.drawer } else { scene.ui.figures };
    if let Some((id, draw)) = side.filter(|_| shown) {
        // There is no room for both in the narrowest.
        let width = if narrow && screen.width() < size::FOLD_BELOW {
            screen.width() - if low { 48.0 } else { size::RAIL }
        } else {
            size::SIDE
        };
        Panel::right(id)
            .exact_size(width)
            .resizable(false)
            .frame(bar(t.panel))
            .show(ui, |ui| draw(ui, scene, actions));
    }
    CentralPanel::default()
        .frame(Frame::new().fill(t.paper).inner_margin(Margin::symmetric(16, 8)))
        .show(ui, |ui| match scene.ui.view {
            View::Formula => formula::show(ui, scene, actions),
            View::Grit => grit::show(ui, scene, actions),
            View::Setting => setting::show(ui, scene, actions),
            View::Findings => findings::show(ui, scene, actions),
            View::Label => label::show(ui, scene, actions),
            View::Compare => {
                ScrollArea::both()
                    .auto_shrink(false)
                    .id_salt("compare-scroll")
                    .show(ui, |ui| compare::show(ui, scene, actions));
            }
        });
}

/// The newest notice, over the lower right of the window.
pub fn notice(ctx: &egui::Context, notices: &mut Notices, actions: &mut Vec<Action>) {
    let now = ctx.input(|i| i.time);
    let Some((notice, left)) = notices.current(now) else { return };
    let t = Tokens::theme(ctx.theme() == egui::Theme::Dark);
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

//! What is drawn. Views read the scene, compute nothing and change nothing; they ask for
//! actions.

mod areas;
mod batch_bar;
pub mod compare;
mod compare_words;
pub mod composition;
pub mod empty;
pub mod figures;
pub mod findings;
pub mod formula;
pub mod grit;
pub mod home;
pub mod label;
pub mod notice;
mod rail;
mod read_only;
pub mod setting;
mod top_bar;
pub mod tour;

use egui::{Color32, Rect, ScrollArea, Ui, UiBuilder};

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::state::View;
use crate::look::{Tokens, size};
use areas::Areas;

/// Height of the bar at the bottom; 0 for views without one.
#[must_use]
pub fn foot_of(screen: Rect, view: View) -> f32 {
    // A blend is designed in % and does not depend on the batch; nor do checks and label.
    match view {
        View::Home | View::Grit | View::Findings | View::Label => 0.0,
        _ if screen.height() < size::LOW_BELOW => size::BATCH_LOW,
        _ => size::BATCH,
    }
}

/// The whole window, drawn in the order in which it is read and Tab goes: top bar, rail, middle,
/// side panel, batch bar.
pub fn window(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let screen = ui.ctx().content_rect();
    let view = scene.ui.view;
    let narrow = screen.width() < size::DRAWER_BELOW;
    let low = screen.height() < size::LOW_BELOW;
    // The right panel belongs to the view; in narrow windows it is a drawer in its place.
    let has_side = !matches!(view, View::Home | View::Compare);
    let side = has_side && if narrow { scene.ui.drawer } else { scene.ui.figures };
    let batch = foot_of(screen, view) > 0.0;
    let read_only = scene.read_only().filter(|_| has_side);
    let areas = Areas::new(screen, read_only.is_some(), side, batch);

    area(ui, "top-bar", areas.top, t.panel, |ui| top_bar::show(ui, scene, narrow, actions));
    if let (Some(rect), Some(reason)) = (areas.strip, read_only) {
        area(ui, "read-only", rect, t.panel, |ui| read_only::show(ui, scene, reason, actions));
    }
    area(ui, "rail", areas.rail, t.rail, |ui| rail::show(ui, scene, low, actions));
    if let Some(rect) = areas.middle {
        area(ui, "middle", rect, t.paper, |ui| {
            // To the lower edge: what scrolls is cut there and not before.
            let room = Rect::from_min_max(
                rect.min + egui::vec2(16.0, 8.0),
                rect.max - egui::vec2(16.0, 0.0),
            );
            let mut inner = ui.new_child(UiBuilder::new().max_rect(room));
            match view {
                View::Home => home::show(&mut inner, scene, actions),
                View::Formula => {
                    formula::show(&mut inner, scene, actions);
                    empty::formula(&mut inner, room, scene, actions);
                }
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
            View::Home | View::Compare => {}
        });
    }
    if let Some(rect) = areas.batch {
        area(ui, "batch-bar", rect, t.panel, |ui| batch_bar::show(ui, scene, low, actions));
    }
    areas.rules(ui);
    let places = tour::Places {
        table: areas.middle,
        batch: areas.batch,
        figures: areas.side,
        rail: Some(areas.rail),
    };
    tour::show(ui.ctx(), scene, &places, actions);
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

//! What stands where there is nothing to show yet, and the way into the guide.

use egui::{Frame, Label, Margin, Rect, RichText, Stroke, Ui, UiBuilder, vec2};

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::guide::GuideState;
use crate::app::state::{Dialog, View};
use crate::guide::Part;
use crate::look::{Tokens, fonts, size};
use crate::widgets::primary_button;

/// A card that says what to do, with buttons that do it; the first one is the usual way.
pub fn card(ui: &mut Ui, head: &str, text: &str, does: &[Command], actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    Frame::new()
        .fill(t.panel)
        .stroke(Stroke::new(1.0, t.hairline))
        .corner_radius(8)
        .inner_margin(Margin::same(16))
        .show(ui, |ui| {
            ui.set_max_width(480.0_f32.min(ui.available_width()));
            ui.label(RichText::new(head).font(fonts::strong(size::HEAD)));
            ui.add_space(2.0);
            ui.add(Label::new(RichText::new(text).color(t.muted)).wrap());
            ui.add_space(10.0);
            ui.horizontal_wrapped(|ui| {
                for (i, command) in does.iter().enumerate() {
                    let name = command.row().name();
                    let response = if i == 0 {
                        primary_button(ui, name)
                    } else {
                        ui.add(egui::Button::new(name).min_size(vec2(0.0, 32.0)))
                    };
                    if response.on_hover_text(command.tooltip(ui.ctx())).clicked() {
                        if *command == Command::AddLine {
                            // Lines are added where they can be seen.
                            actions.push(Action::Show(View::Formula));
                        }
                        actions.push(Action::Run(*command));
                    }
                }
            });
        });
}

/// Says that the formula has no lines, with what gives it some; true when it has none.
pub fn no_lines(ui: &mut Ui, scene: &Scene<'_>, text: &str, actions: &mut Vec<Action>) -> bool {
    if !scene.here.evaluation.lines.is_empty() {
        return false;
    }
    let head = say!("{name} is empty", name = scene.here.name);
    card(ui, &head, text, &[Command::AddLine, Command::NewFromSkeleton], actions);
    true
}

/// The same under the heads of the phase table, which stay.
pub fn formula(ui: &mut Ui, area: Rect, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    if !scene.here.evaluation.lines.is_empty() {
        return;
    }
    // Below the heads, one row for each phase, the total and what adds lines.
    #[allow(clippy::cast_precision_loss)] // a few phases
    let phases = scene.formula().phases.len() as f32;
    let top = area.top() + 84.0 + phases * size::PHASE_ROW;
    if area.bottom() - top < 130.0 {
        return;
    }
    let rect = Rect::from_min_max(egui::pos2(area.left() + 8.0, top), area.max);
    ui.scope_builder(UiBuilder::new().max_rect(rect), |ui| {
        let text = say!(
            "Add a material and type an amount, or begin with a kind of product and change \
                    its amounts"
        );
        no_lines(ui, scene, text, actions);
    });
}

/// A link to the page of the guide that a view rests on.
pub fn worked_out(ui: &mut Ui, page: &str, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let Some(read) = crate::guide::page(page) else { return };
    ui.add_space(6.0);
    let text = match read.part {
        Part::Models => say!("How this is worked out: {title}", title = read.title),
        Part::Using => say!("In the guide: {title}", title = read.title),
    };
    let text = RichText::new(text).font(fonts::small()).color(t.accent);
    let button = egui::Button::new(text).frame(false).wrap().min_size(vec2(0.0, 24.0));
    let response = ui.add(button).on_hover_text(say!("Opens the guide at this page"));
    if response.has_focus() {
        let ring = Stroke::new(2.0, t.accent);
        ui.painter().rect_stroke(response.rect, 4.0, ring, egui::StrokeKind::Inside);
        if response.gained_focus() {
            response.scroll_to_me(None);
        }
    }
    if response.clicked() {
        let state = Box::new(GuideState::at(page));
        actions.push(Action::Open(Box::new(Dialog::Guide(state))));
    }
}

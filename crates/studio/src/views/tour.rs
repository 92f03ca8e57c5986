//! The tour: a card beside the thing that it talks about, and an outline around that thing.

use egui::{
    Area, Context, EventFilter, Frame, Id, Key, Margin, Modifiers, Order, Pos2, Rect, RichText,
    Stroke, pos2, vec2,
};

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::home::HomeAction;
use crate::app::tour::{Points, STEPS, TOUR};
use crate::look::{Tokens, fonts, size};
use crate::widgets::primary_button;
use crate::words;

/// Where the parts of the window are that the tour points at.
#[derive(Clone, Copy, Debug, Default)]
pub struct Places {
    /// The phase table.
    pub table: Option<Rect>,
    /// The batch bar.
    pub batch: Option<Rect>,
    /// The panel of figures.
    pub figures: Option<Rect>,
    /// The rail of views.
    pub rail: Option<Rect>,
}

/// Name of the bench sheet's button in egui's memory.
fn sheet_key() -> Id {
    Id::unique("tour-sheet-button")
}

/// Notes where the bench sheet's button is.
pub fn note_sheet(ctx: &Context, rect: Rect) {
    ctx.data_mut(|d| d.insert_temp(sheet_key(), rect));
}

fn target(ctx: &Context, places: &Places, points: Points) -> Option<Rect> {
    match points {
        Points::Offer => None,
        Points::Table => places.table,
        Points::Batch => places.batch,
        Points::Figures => places.figures,
        Points::Rail => places.rail,
        Points::Sheet => {
            let button: Option<Rect> = ctx.data(|d| d.get_temp(sheet_key()));
            let shown = ctx.content_rect();
            // In a narrow window the button may be scrolled away; the bar stands for it.
            button.filter(|r| shown.contains_rect(*r)).or(places.batch)
        }
    }
}

/// Where a card of this size goes: beside what it points at, so that it hides as little of it as
/// can be.
fn place(screen: Rect, target: Option<Rect>, card: egui::Vec2) -> Pos2 {
    const GAP: f32 = 12.0;
    let inner = screen.shrink(8.0);
    let Some(target) = target else {
        return pos2(inner.right() - card.x - 8.0, inner.bottom() - card.y - 110.0);
    };
    let y = (target.center().y - card.y / 2.0)
        .clamp(inner.top(), (inner.bottom() - card.y).max(inner.top()));
    let x = (target.center().x - card.x / 2.0)
        .clamp(inner.left(), (inner.right() - card.x).max(inner.left()));
    let right = (target.right() + GAP).min(inner.right() - card.x);
    let left = (target.left() - GAP - card.x).max(inner.left());
    let above = (target.top() - GAP - card.y).max(inner.top());
    let below = (target.bottom() + GAP).min(inner.bottom() - card.y);
    let mut places = [pos2(right, y), pos2(left, y), pos2(x, above), pos2(x, below)];
    if target.width() > target.height() {
        places.rotate_left(2);
    }
    // The place that hides least; the first of equals.
    let hides = |at: Pos2| {
        let over = Rect::from_min_size(at, card).intersect(target);
        if over.is_positive() { over.area() } else { 0.0 }
    };
    let best = places.into_iter().min_by(|a, b| hides(*a).total_cmp(&hides(*b)));
    best.unwrap_or(pos2(x, y)).max(inner.min)
}

/// Draws the step that the tour is at.
pub fn show(ctx: &Context, scene: &Scene<'_>, places: &Places, actions: &mut Vec<Action>) {
    let Some(at) = scene.ui.tour else {
        ctx.data_mut(|d| d.remove::<usize>(focused_key()));
        return;
    };
    let Some(step) = TOUR.get(at) else { return };
    if crate::dialogs::any_open(ctx) {
        return;
    }
    let t = Tokens::in_context(ctx);
    let screen = ctx.content_rect();
    let target = target(ctx, places, step.points);
    if let Some(rect) = target {
        let layer = egui::LayerId::new(Order::Middle, Id::unique("tour-outline"));
        let painter = ctx.layer_painter(layer);
        let rect = rect.intersect(screen).shrink(2.0);
        painter.rect_stroke(rect, 6.0, Stroke::new(3.0, t.accent), egui::StrokeKind::Inside);
    }
    let free = !ctx.text_edit_focused();
    let offer = step.points == Points::Offer;
    let last = at == STEPS;
    let mut go = None;
    if free {
        ctx.input_mut(|i| {
            if i.consume_key(Modifiers::NONE, Key::Escape) {
                go = Some(None);
            } else if !offer && i.consume_key(Modifiers::NONE, Key::ArrowRight) {
                go = Some(Some(at + 1));
            } else if at > 1 && i.consume_key(Modifiers::NONE, Key::ArrowLeft) {
                go = Some(Some(at - 1));
            }
        });
    }
    let size_key = Id::unique("tour-card-size");
    let width = 340.0_f32.min(screen.width() - 40.0);
    let guess = vec2(width + 34.0, 170.0);
    let card: egui::Vec2 = ctx.data(|d| d.get_temp(size_key)).unwrap_or(guess);
    let shown = Area::new(Id::unique("tour-card"))
        .order(Order::Foreground)
        .fixed_pos(place(screen, target, card))
        .constrain_to(screen)
        .show(ctx, |ui| {
            Frame::new()
                .fill(t.raised)
                .stroke(Stroke::new(2.0, t.accent))
                .corner_radius(8)
                .inner_margin(Margin::same(16))
                .show(ui, |ui| {
                    ui.set_width(width);
                    ui.horizontal(|ui| {
                        ui.label(
                            RichText::new(words::text(step.title)).font(fonts::strong(size::HEAD)),
                        );
                        if !offer {
                            let text = say!("{at} of {steps}", at, steps = STEPS);
                            let text = RichText::new(text).font(fonts::small()).color(t.muted);
                            ui.label(text);
                        }
                    });
                    ui.add_space(4.0);
                    ui.add(egui::Label::new(words::text(step.text)).wrap());
                    ui.add_space(10.0);
                    ui.horizontal_wrapped(|ui| {
                        let name = match (offer, last) {
                            (true, _) => say!("Take the tour"),
                            (_, true) => say!("Done"),
                            _ => say!("Next"),
                        };
                        let next = primary_button(ui, name);
                        first_focus(ctx, at, &next);
                        if next.clicked() {
                            go = Some((!last).then_some(at + 1));
                        }
                        if at > 1 && ui.button(say!("Back")).clicked() {
                            go = Some(Some(at - 1));
                        }
                        let leave = if offer { say!("Not now") } else { say!("Leave the tour") };
                        if !last && ui.button(leave).clicked() {
                            go = Some(None);
                        }
                    });
                });
        });
    ctx.data_mut(|d| d.insert_temp(size_key, shown.response.rect.size()));
    if (shown.response.rect.size() - card).length() > 1.0 {
        ctx.request_repaint();
    }
    if let Some(step) = go {
        actions.push(Action::Home(HomeAction::Tour(step.filter(|s| *s <= STEPS))));
    }
}

/// Name of the step whose button had the focus, in egui's memory.
fn focused_key() -> Id {
    Id::unique("tour-focused-step")
}

/// The main button has the focus when a step begins, and arrows and Escape are the tour's while
/// it has it.
fn first_focus(ctx: &Context, at: usize, button: &egui::Response) {
    let before: Option<usize> = ctx.data(|d| d.get_temp(focused_key()));
    if before != Some(at) {
        ctx.data_mut(|d| d.insert_temp(focused_key(), at));
        button.request_focus();
    }
    let filter =
        EventFilter { horizontal_arrows: true, escape: true, tab: false, vertical_arrows: false };
    ctx.memory_mut(|m| m.set_focus_lock_filter(button.id, filter));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_card_never_hides_what_it_points_at_where_there_is_room() {
        let screen = Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 800.0));
        let card = vec2(374.0, 180.0);
        for target in [
            Rect::from_min_max(pos2(0.0, 46.0), pos2(72.0, 800.0)),
            Rect::from_min_max(pos2(72.0, 46.0), pos2(900.0, 700.0)),
            Rect::from_min_max(pos2(936.0, 46.0), pos2(1280.0, 700.0)),
            Rect::from_min_max(pos2(0.0, 700.0), pos2(1280.0, 800.0)),
        ] {
            let at = Rect::from_min_size(place(screen, Some(target), card), card);
            assert!(screen.contains_rect(at), "{at}");
            if target.width() < 800.0 || target.height() < 200.0 {
                assert!(!at.intersects(target), "{at} over {target}");
            }
        }
    }

    #[test]
    fn a_card_stays_on_the_smallest_screen() {
        let screen = Rect::from_min_size(Pos2::ZERO, vec2(640.0, 400.0));
        let card = vec2(374.0, 200.0);
        let target = Rect::from_min_max(pos2(48.0, 46.0), pos2(640.0, 348.0));
        let at = Rect::from_min_size(place(screen, Some(target), card), card);
        assert!(screen.contains_rect(at), "{at}");
    }
}

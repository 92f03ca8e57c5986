//! The keyboard focus on screen: a ring around what has it, scrolled into view, and lists that
//! open at the present item and give the focus back.

use egui::accesskit::{Action, ActionRequest, TreeId};
use egui::{Align, Context, Event, Id, Popup, Response, StrokeKind, Ui};

use super::Tokens;

/// Passes after which a thing that cannot be shown whole is left where it is.
const TRIES: u8 = 6;

/// What was there at the end of the last pass.
#[derive(Clone, Copy, Debug, Default)]
struct Seen {
    /// What had the focus.
    focused: Option<Id>,
    /// How often it will still be scrolled to.
    tries: u8,
    /// A list or menu was open.
    list: bool,
    /// What had the focus before that opened.
    before: Option<Id>,
}

/// Asks for what has the focus to be scrolled into view. To be called before anything is drawn:
/// whatever is drawn as this widget, in whichever area that scrolls, then asks its area.
pub fn begin(ctx: &Context) {
    let hidden: Option<Option<Id>> = ctx.data_mut(|d| d.remove_temp(hidden_key()));
    let Some(id) = hidden.flatten() else { return };
    let request = ActionRequest {
        action: Action::ScrollIntoView,
        target_tree: TreeId::ROOT,
        target_node: id.accesskit_id(),
        data: None,
    };
    ctx.input_mut(|i| i.events.push(Event::AccessKitActionRequest(request)));
}

/// Draws the ring, and notes what is to be scrolled to in the next pass. To be called after
/// everything was drawn.
pub fn end(ctx: &Context) {
    let mut seen: Seen = ctx.data(|d| d.get_temp(seen_key())).unwrap_or_default();
    let list = Popup::is_any_open(ctx);
    if list && !seen.list {
        seen.before = seen.focused;
    }
    let mut focused = ctx.memory(egui::Memory::focused);
    if seen.list
        && !list
        && let Some(before) = seen.before.take()
    {
        // The item that had the focus is gone with its list.
        let gone = focused.is_none_or(|id| Some(id) == seen.focused);
        if gone && ctx.read_response(before).is_some() {
            ctx.memory_mut(|m| m.request_focus(before));
            focused = Some(before);
        }
    }
    seen.list = list;
    if focused != seen.focused {
        seen.focused = focused;
        // What was clicked is in view, and must not move away under the pointer.
        let clicked = ctx.input(|i| i.pointer.any_down() || i.pointer.any_released());
        seen.tries = if clicked { 0 } else { TRIES };
    }
    if let Some(response) = focused.and_then(|id| ctx.read_response(id)) {
        ring(ctx, &response);
        if seen.tries > 0 && cut(&response) {
            seen.tries -= 1;
            ctx.data_mut(|d| d.insert_temp(hidden_key(), Some(response.id)));
            ctx.request_repaint();
        } else {
            seen.tries = 0;
        }
    }
    ctx.data_mut(|d| d.insert_temp(seen_key(), seen));
}

/// Marks that a widget shows its focus itself, since its rectangle is not what is seen of it.
pub fn own_ring(ui: &Ui, id: Id) {
    let pass = ui.ctx().cumulative_pass_nr();
    ui.data_mut(|d| d.insert_temp(own_key(), (id, pass)));
}

/// For each item of a list that opens: the present one takes the focus, so that arrows go from
/// there.
pub fn present(response: &Response, chosen: bool) {
    let ctx = &response.ctx;
    let pass = ctx.cumulative_pass_nr();
    let key = Id::unique(("list-opened", response.layer_id));
    let (opened, last): (u64, u64) = ctx.data(|d| d.get_temp(key)).unwrap_or((pass, pass));
    let opened = if last + 1 < pass { pass } else { opened };
    ctx.data_mut(|d| d.insert_temp(key, (opened, pass)));
    // The first pass only measures.
    if chosen && pass <= opened + 1 {
        response.request_focus();
        response.scroll_to_me(Some(Align::Center));
    }
}

/// True when part of a widget is scrolled out of sight.
fn cut(response: &Response) -> bool {
    let (whole, seen) = (response.rect, response.interact_rect);
    // Words that run out at the right are cut by intent; half of them missing is not.
    seen.height() < whole.height() - 1.0 || seen.width() < whole.width() * 0.5
}

fn ring(ctx: &Context, response: &Response) {
    let own: Option<(Id, u64)> = ctx.data(|d| d.get_temp(own_key()));
    // Text fields show theirs as their edge.
    if ctx.text_edit_focused() || own == Some((response.id, ctx.cumulative_pass_nr())) {
        return;
    }
    let t = Tokens::in_context(ctx);
    // Around the widget, and never out of the window.
    let rect = response.rect.expand(1.0 + t.ring).intersect(ctx.content_rect()).shrink(t.ring);
    ctx.layer_painter(response.layer_id)
        .with_clip_rect(response.interact_rect.expand(2.0 + t.ring))
        .rect_stroke(rect, 6.0, egui::Stroke::new(t.ring, t.accent), StrokeKind::Outside);
}

fn seen_key() -> Id {
    Id::unique("focus-seen")
}

fn hidden_key() -> Id {
    Id::unique("focus-hidden")
}

fn own_key() -> Id {
    Id::unique("focus-own-ring")
}

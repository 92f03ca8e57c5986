//! A dialog that has just come up is not answered by a click or an Enter that was meant for what
//! lay there before.

use egui::{Event, Id, Key};

use crate::app::state::Dialog;

/// Seconds after its opening in which a dialog takes no answer.
pub const GUARD: f64 = 0.25;

fn key() -> Id {
    Id::unique("dialog-opened")
}

/// Notes that another dialog is on top.
pub fn opened(ctx: &egui::Context) {
    let now = ctx.input(|i| i.time);
    ctx.data_mut(|d| d.insert_temp(key(), now));
}

/// True while the dialog on top takes no answer. A search that was begun has been meant.
pub fn holds(ctx: &egui::Context, top: &Dialog) -> bool {
    let meant = match top {
        Dialog::Pick { search, .. } | Dialog::Palette(search) => !search.query.is_empty(),
        _ => false,
    };
    let at: Option<f64> = ctx.data(|d| d.get_temp(key()));
    !meant && at.is_some_and(|at| ctx.input(|i| i.time) - at < GUARD)
}

/// Takes the keys that press a button out of this frame, and tells whether a click came in it.
pub fn strip(ctx: &egui::Context) -> bool {
    ctx.input_mut(|i| {
        i.events.retain(|e| {
            !matches!(e, Event::Key { key: Key::Enter | Key::Space, pressed: true, .. })
        });
        i.pointer.any_pressed() || i.pointer.any_released()
    })
}

//! What is wrong with an entry, told under its field. The field takes the focus.

use egui::{Context, Id, Response, Stroke, StrokeKind, Ui};

use crate::app::field_error::FieldError;
use crate::look::{Tokens, icons};

/// The error of the dialog on top, in this frame.
#[derive(Clone, Debug, Default)]
struct Present {
    error: Option<FieldError>,
    /// It has been told in this frame.
    told: bool,
}

fn key() -> Id {
    Id::unique("dialog-wrong")
}

fn wanted() -> Id {
    Id::unique("dialog-wrong-focus")
}

/// Notes what is wrong before the dialog is drawn.
pub fn set(ctx: &Context, error: Option<&FieldError>) {
    let present = Present { error: error.cloned(), told: false };
    ctx.data_mut(|d| d.insert_temp(key(), present));
}

/// The dialog was asked to do what it is for: should it refuse, the field at fault takes the
/// focus.
pub fn asked(ui: &Ui) {
    ui.data_mut(|d| d.insert_temp(wanted(), true));
}

fn present(ui: &Ui) -> Present {
    ui.data(|d| d.get_temp(key())).unwrap_or_default()
}

/// True when the field of this name is at fault; it gets an edge of its own, and the focus once.
pub fn marks(ui: &Ui, name: &str, field: &Response) -> bool {
    let at_fault = present(ui).error.is_some_and(|e| e.field == name);
    if !at_fault {
        return false;
    }
    let stop = Stroke::new(2.0, Tokens::of(ui).stop);
    ui.painter().rect_stroke(field.rect, 5.0, stop, StrokeKind::Outside);
    let focus: bool = ui.data(|d| d.get_temp(wanted())).unwrap_or(false);
    if focus {
        ui.data_mut(|d| d.insert_temp(wanted(), false));
        field.request_focus();
        field.scroll_to_me(None);
    }
    true
}

/// Tells what is wrong, here.
pub fn tell(ui: &mut Ui) {
    let now = present(ui);
    if now.told {
        return;
    }
    if let Some(error) = &now.error {
        let t = Tokens::of(ui);
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(14.0, 18.0), egui::Sense::hover());
            icons::sign(ui.painter(), rect.center(), icons::Sign::Stop, t.stop);
            ui.add(egui::Label::new(egui::RichText::new(&error.text).color(t.stop)).wrap());
        });
        ui.data_mut(|d| d.insert_temp(key(), Present { told: true, ..now.clone() }));
    }
}

/// Marks a field that stands alone, and tells what is wrong with it under it.
pub fn beside(ui: &mut Ui, name: &str, field: &Response) {
    if marks(ui, name, field) {
        tell(ui);
    }
}

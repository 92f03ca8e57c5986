//! Items of drop-down lists. A list opens with the focus on its present item.

use egui::{IntoAtoms, Response, Ui};

use crate::look::focus;

/// An item of a list, marked while it is the present one.
pub fn choice<'a>(ui: &mut Ui, present: bool, text: impl IntoAtoms<'a>) -> Response {
    let response = ui.selectable_label(present, text);
    focus::present(&response, present);
    response
}

/// An item that sets a value.
pub fn choice_of<'a, T: PartialEq>(
    ui: &mut Ui,
    now: &mut T,
    value: T,
    text: impl IntoAtoms<'a>,
) -> Response {
    let mut response = choice(ui, *now == value, text);
    if response.clicked() && *now != value {
        *now = value;
        response.mark_changed();
    }
    response
}

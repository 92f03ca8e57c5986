//! A cell of the table: selected by keyboard or mouse, opened by typing, F2 or a double click.

use egui::{EventFilter, Id, Rect, Response, Role, Sense, Ui, WidgetInfo};
use quern_calc::formula::FormulaId;

use crate::app::table::{CellAt, Column};

/// Where a cell keeps its focus.
#[must_use]
pub fn cell_id(formula: &FormulaId, cell: CellAt) -> Id {
    Id::unique(("table-cell", formula.as_str(), cell.line.0, cell.column.key()))
}

/// How a cell was opened.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Opened {
    /// By typing, which replaces what is there.
    #[default]
    Typing,
    /// To be amended, the caret at its end.
    Amending,
}

fn open_key(id: Id) -> Id {
    id.with("open")
}

/// Opens a cell for typing over or after what it holds.
pub fn open_cell(ctx: &egui::Context, formula: &FormulaId, cell: CellAt) {
    let id = cell_id(formula, cell);
    ctx.data_mut(|d| d.insert_temp(open_key(id), Opened::Amending));
    ctx.memory_mut(|m| m.request_focus(id));
}

/// Whether and how a cell is open.
pub(super) fn opened(ui: &Ui, id: Id) -> Option<Opened> {
    ui.data(|d| d.get_temp(open_key(id)))
}

/// Opens a cell that is being typed into.
pub(super) fn open_by_typing(ui: &Ui, id: Id) {
    ui.data_mut(|d| d.insert_temp(open_key(id), Opened::Typing));
}

/// Closes a cell. The state of its text field goes, too: egui takes whatever has one for a text
/// field in use, and the keys of the table would go to it.
pub(super) fn close(ui: &Ui, id: Id) {
    ui.data_mut(|d| {
        d.remove_temp::<Opened>(open_key(id));
        d.remove::<egui::text_edit::TextEditState>(id);
    });
}

/// True when a character was typed on this cell in this frame.
pub(super) fn is_typed_into(ui: &Ui, id: Id) -> bool {
    ui.memory(|m| m.has_focus(id))
        && ui.input(|i| {
            i.events.iter().any(|e| matches!(e, egui::Event::Text(t) if !t.trim().is_empty()))
        })
}

/// A closed cell. `value` is read out, painting is the caller's.
pub(super) fn closed(ui: &mut Ui, id: Id, rect: Rect, name: &str, value: &str) -> Response {
    let response = ui.interact(rect, id, Sense::click_and_drag());
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::TextInput, true, name);
        info.current_text_value = Some(value.to_owned());
        info
    });
    mark(ui, &response);
    response
}

/// A cell that cannot be typed in: reached by arrow keys, skipped by Tab.
pub(super) fn read_only(ui: &mut Ui, id: Id, rect: Rect, name: &str, value: &str) {
    let response = ui.interact(rect, id, Sense::focusable_noninteractive());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("{name}: {value}")));
    mark(ui, &response);
}

/// Arrow keys stay in the table while a cell has the focus. The window draws the ring.
fn mark(ui: &Ui, response: &Response) {
    if !response.has_focus() {
        return;
    }
    let filter =
        EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
}

/// True when this column has a widget in every row, so that Tab stops there.
pub(super) fn is_stop(column: Column) -> bool {
    column.is_typed()
}

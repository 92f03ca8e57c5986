//! The keyboard on the table: arrows and their kin, ranges by Shift, the clipboard.

use egui::{Event, FocusDirection, Id, Key, Modifiers, Ui};
use quern_calc::formula::LineId;

use super::grid;
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::table::{CellAt, Column, TableAction};

/// Rows that the page keys move by.
const PAGE: usize = 10;

/// Reads the keys of this frame; gives the cell that the cursor was moved to.
pub(super) fn show(
    ui: &Ui,
    scene: &Scene<'_>,
    visible: &[LineId],
    columns: &[Column],
    actions: &mut Vec<Action>,
) -> Option<CellAt> {
    let table = &scene.ui.table;
    let dialog = crate::dialogs::any_open(ui.ctx());
    if ui.ctx().text_edit_focused() || dialog || table.finding.is_some() {
        return None;
    }
    let focused = ui.memory(|m| m.focused());
    let formula = &scene.formula().id;
    let cell = match focused {
        Some(id) => focused_cell(scene, id, visible, columns)?,
        // A line is selected and nothing has the focus: keys still go to the table.
        None => {
            let line = scene.ui.line?;
            let there = table.cursor.filter(|c| c.line == line);
            there.unwrap_or(CellAt { line, column: Column::Percent })
        }
    };
    if focused.is_some() {
        // egui would walk by where widgets lie; the table has rows and columns.
        let direction = tab_only(ui);
        ui.memory_mut(|m| m.move_focus(direction));
    }
    let row = visible.iter().position(|l| *l == cell.line)?;
    let column = columns.iter().position(|c| *c == cell.column)?;
    let mut at = Place { row, column };
    let mut moved = false;
    let mut anchor = table.anchor.filter(|_| table.cursor == Some(cell)).unwrap_or(cell);
    let mut asked: Vec<Action> = Vec::new();
    let mut opens = false;
    let mut all = None;
    ui.input_mut(|input| {
        let paste_as_lines = input.modifiers.shift;
        input.events.retain(|event| match event {
            Event::Key { key, pressed: true, modifiers, .. } => {
                let Some(next) = step(*key, *modifiers, at, visible.len(), columns.len()) else {
                    return match key {
                        Key::Delete | Key::Backspace if !modifiers.any() => {
                            asked.push(if focused.is_some() {
                                Action::Table(TableAction::Clear)
                            } else {
                                Action::Run(Command::RemoveLine)
                            });
                            false
                        }
                        Key::A if modifiers.command && !modifiers.shift => {
                            all = corners(visible, columns);
                            false
                        }
                        Key::Space if modifiers.shift_only() => {
                            all = corners(&[cell.line], columns);
                            false
                        }
                        _ => true,
                    };
                };
                at = next;
                moved = true;
                let here = at.cell(visible, columns).unwrap_or(cell);
                // Shift+Enter goes up; with the other keys Shift ranges.
                if !modifiers.shift || *key == Key::Enter {
                    anchor = here;
                }
                false
            }
            Event::Copy => {
                asked.push(Action::Table(TableAction::Copy { cut: false }));
                false
            }
            Event::Cut => {
                asked.push(Action::Table(TableAction::Copy { cut: true }));
                false
            }
            Event::Paste(text) => {
                let text = text.clone();
                asked.push(Action::Table(TableAction::Paste { text, as_lines: paste_as_lines }));
                false
            }
            Event::Text(text) => {
                let digit = |c: char| c.is_ascii_digit() || "+-=.,".contains(c);
                opens |= focused.is_none() && text.starts_with(digit);
                true
            }
            _ => true,
        });
    });
    let select = |cursor, anchor| Action::Table(TableAction::Select { anchor, cursor });
    if table.cursor != Some(cell) && (moved || !asked.is_empty()) {
        actions.push(select(cell, cell));
    }
    if opens {
        // A digit on a selected line is its amount.
        let cell = CellAt { line: cell.line, column: Column::Percent };
        let id = grid::cell_id(formula, cell);
        ui.memory_mut(|m| m.request_focus(id));
        grid::open_by_typing(ui, id);
        actions.push(select(cell, cell));
        return None;
    }
    let mut goes = None;
    let to = at.cell(visible, columns).filter(|_| moved).map(|cursor| (cursor, anchor));
    if let Some((cursor, anchor)) = all.or(to) {
        actions.push(select(cursor, anchor));
        ui.memory_mut(|m| m.request_focus(grid::cell_id(formula, cursor)));
        goes = Some(cursor);
    }
    actions.extend(asked);
    goes
}

/// The direction that Tab asks for; arrows are taken by the table.
fn tab_only(ui: &Ui) -> FocusDirection {
    ui.input(|i| {
        if !i.key_pressed(Key::Tab) {
            FocusDirection::None
        } else if i.modifiers.shift {
            FocusDirection::Previous
        } else {
            FocusDirection::Next
        }
    })
}

/// The cell that has this id; the cursor is tried first.
fn focused_cell(
    scene: &Scene<'_>,
    id: Id,
    visible: &[LineId],
    columns: &[Column],
) -> Option<CellAt> {
    let formula = &scene.formula().id;
    let is = |cell: &CellAt| grid::cell_id(formula, *cell) == id;
    if let Some(cursor) = scene.ui.table.cursor.filter(is) {
        return Some(cursor);
    }
    let cells = visible
        .iter()
        .flat_map(|line| columns.iter().map(|column| CellAt { line: *line, column: *column }));
    cells.into_iter().find(is)
}

#[derive(Clone, Copy)]
struct Place {
    row: usize,
    column: usize,
}

impl Place {
    fn cell(self, visible: &[LineId], columns: &[Column]) -> Option<CellAt> {
        Some(CellAt { line: *visible.get(self.row)?, column: *columns.get(self.column)? })
    }
}

/// Where a key leads; `None` for keys that do not move.
fn step(key: Key, m: Modifiers, at: Place, rows: usize, columns: usize) -> Option<Place> {
    if m.alt {
        return None; // moves lines
    }
    let (last_row, last_column) = (rows.checked_sub(1)?, columns.checked_sub(1)?);
    let far = m.command;
    let Place { row, column } = at;
    let (row, column) = match key {
        Key::ArrowUp if far => (0, column),
        Key::ArrowDown if far => (last_row, column),
        Key::ArrowLeft if far => (row, 0),
        Key::ArrowRight if far => (row, last_column),
        Key::ArrowUp => (row.saturating_sub(1), column),
        Key::ArrowDown => (row + 1, column),
        Key::ArrowLeft => (row, column.saturating_sub(1)),
        Key::ArrowRight => (row, column + 1),
        Key::Enter if far => return None, // adds a line
        Key::Enter if m.shift => (row.saturating_sub(1), column),
        Key::Enter => (row + 1, column),
        Key::Home => (if far { 0 } else { row }, 0),
        Key::End => (if far { last_row } else { row }, last_column),
        Key::PageUp => (row.saturating_sub(PAGE), column),
        Key::PageDown => (row + PAGE, column),
        _ => return None,
    };
    Some(Place { row: row.min(last_row), column: column.min(last_column) })
}

/// The first and the last cell of these lines and columns.
fn corners(lines: &[LineId], columns: &[Column]) -> Option<(CellAt, CellAt)> {
    let corner = |line: Option<&LineId>, column: Option<&Column>| {
        Some(CellAt { line: *line?, column: *column? })
    };
    Some((corner(lines.first(), columns.first())?, corner(lines.last(), columns.last())?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(key: Key, m: Modifiers, from: (usize, usize), to: Option<(usize, usize)>) {
        let at = Place { row: from.0, column: from.1 };
        let got = step(key, m, at, 20, 5).map(|p| (p.row, p.column));
        assert_eq!(got, to, "{key:?} with {m:?} from {from:?}");
    }

    #[test]
    fn keys_move_by_rows_and_columns_and_stop_at_the_edges() {
        let none = Modifiers::NONE;
        check(Key::ArrowDown, none, (3, 2), Some((4, 2)));
        check(Key::ArrowDown, none, (19, 2), Some((19, 2)));
        check(Key::ArrowUp, none, (0, 2), Some((0, 2)));
        check(Key::ArrowRight, none, (3, 4), Some((3, 4)));
        check(Key::ArrowLeft, none, (3, 0), Some((3, 0)));
        check(Key::Home, none, (3, 3), Some((3, 0)));
        check(Key::End, none, (3, 0), Some((3, 4)));
        check(Key::Home, Modifiers::COMMAND, (3, 3), Some((0, 0)));
        check(Key::End, Modifiers::COMMAND, (3, 0), Some((19, 4)));
        check(Key::ArrowDown, Modifiers::COMMAND, (3, 1), Some((19, 1)));
        check(Key::PageDown, none, (3, 1), Some((13, 1)));
        check(Key::PageUp, none, (3, 1), Some((0, 1)));
        check(Key::Enter, none, (3, 1), Some((4, 1)));
        check(Key::Enter, Modifiers::SHIFT, (3, 1), Some((2, 1)));
        check(Key::Enter, Modifiers::COMMAND, (3, 1), None);
        check(Key::ArrowDown, Modifiers::ALT, (3, 1), None);
        check(Key::Q, none, (3, 1), None);
    }
}

//! A line or a few of text in a panel. It is taken when the field is left, so that one entry is
//! one step to undo; Escape restores it.

use egui::{Id, Key, Modifiers, TextEdit, Ui};

use super::number_field::select_all;
use crate::look::size;

/// A text field in a row.
pub struct RowText<'a> {
    /// Name, unique over the window.
    pub name: &'a str,
    /// What it holds.
    pub value: &'a str,
    /// Width in points.
    pub width: f32,
    /// Shown while empty.
    pub hint: &'a str,
    /// Rows; one for a single line.
    pub rows: usize,
    /// The label that stands beside or above it.
    pub label: Option<Id>,
}

/// The text under edit.
#[derive(Clone, Debug, Default)]
struct Buffer {
    text: String,
    start: String,
    editing: bool,
}

impl RowText<'_> {
    /// Where a field of this name keeps its focus.
    #[must_use]
    pub fn id_of(name: &str) -> Id {
        Id::unique(("row-text", name))
    }

    /// Shows it; gives what was entered once the field is left, if it differs.
    pub fn show(&self, ui: &mut Ui) -> Option<String> {
        let id = Self::id_of(self.name);
        let mut buffer: Buffer = ui.data(|d| d.get_temp(id)).unwrap_or_default();
        let focused = ui.memory(|m| m.has_focus(id));
        if focused && !buffer.editing && self.rows == 1 {
            // What is typed in this frame replaces what was there, as in a number field.
            select_all(ui, id, self.value);
        }
        if !buffer.editing || (!focused && buffer.text == buffer.start) {
            self.value.clone_into(&mut buffer.text);
            self.value.clone_into(&mut buffer.start);
        }
        let escape = focused && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
        if escape {
            buffer.text.clone_from(&buffer.start);
        }
        let edit = if self.rows > 1 {
            TextEdit::multiline(&mut buffer.text).desired_rows(self.rows)
        } else {
            TextEdit::singleline(&mut buffer.text)
        };
        let response = ui
            .add(
                edit.id(id)
                    .desired_width(self.width)
                    .hint_text(self.hint.to_owned())
                    .min_size(egui::vec2(0.0, size::CONTROL)),
            )
            .accessible_name(self.name);
        if let Some(label) = self.label {
            response.clone().labelled_by(label);
        }
        if response.gained_focus() {
            response.scroll_to_me(None);
        }
        buffer.editing |= response.has_focus();
        let mut done = None;
        if response.lost_focus() || (buffer.editing && !response.has_focus() && !focused) {
            if buffer.text != buffer.start {
                done = Some(buffer.text.clone());
            }
            buffer = Buffer::default();
        } else if escape {
            response.surrender_focus();
            buffer = Buffer::default();
        }
        ui.data_mut(|d| d.insert_temp(id, buffer));
        done
    }
}

//! The one number field. It shows a rounded figure and edits the exact one: tabbing through
//! never changes what is stored.

use egui::{Color32, FontSelection, Frame, Id, Key, Margin, Modifiers, Rect, Stroke, Ui};
use quern_calc::number::{NumberStyle, Syntax, Typed, format_f64, format_full, parse};

use crate::look::{Tokens, fonts, size};
use crate::words;

/// What a person did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entered {
    /// A number, with the unit if one was typed.
    Typed(Typed),
    /// The field was emptied.
    Cleared,
}

/// Where the focus goes after Enter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leave {
    /// Nowhere.
    Stay,
    /// To the cell below.
    Down,
    /// To the cell above.
    Up,
}

/// A number field to be shown in a given place.
#[derive(Debug)]
pub struct NumberField<'a> {
    /// Unique over the window.
    pub id: Id,
    /// Name for assistive technology, such as "Stearyl alcohol, percent".
    pub name: String,
    /// What is shown while it is not edited.
    pub shown: &'a str,
    /// What is edited: the figure in full.
    pub full: &'a str,
    /// How numbers are read.
    pub syntax: Syntax,
    /// Drawn without an edge until it is touched, as in a table.
    pub quiet: bool,
    /// Right-aligned.
    pub right: bool,
    /// Bolder.
    pub strong: bool,
    /// Can be edited.
    pub enabled: bool,
    /// Shown while empty.
    pub hint: &'a str,
    /// Opened with the caret at the end rather than with all of it selected.
    pub amend: bool,
}

/// The text under edit, kept by egui while the field is in use.
#[derive(Clone, Debug, Default)]
struct Buffer {
    text: String,
    start: String,
    editing: bool,
    error: Option<String>,
    /// What was shown when the entry went wrong.
    shown: String,
}

/// What came of one frame.
#[derive(Debug)]
pub struct FieldOutput {
    /// A finished entry.
    pub entered: Option<Entered>,
    /// Where to go after Enter.
    pub leave: Leave,
    /// It is still in use, or holds an entry that cannot be read.
    pub open: bool,
    /// Escape restored what was there.
    pub escaped: bool,
}

impl NumberField<'_> {
    /// Shows the field in a rectangle.
    pub fn show(self, ui: &mut Ui, rect: Rect) -> FieldOutput {
        let t = Tokens::of(ui);
        let mut buffer: Buffer = ui.data(|d| d.get_temp(self.id)).unwrap_or_default();
        let had_focus = ui.memory(|m| m.has_focus(self.id));
        if buffer.error.is_some() && buffer.shown != self.shown {
            // The figure was changed elsewhere; the failed entry is of no use any more.
            buffer = Buffer::default();
        }
        let untouched = buffer.editing && buffer.text == buffer.start;
        if had_focus
            && buffer.error.is_none()
            && (!buffer.editing || (untouched && buffer.start != self.full))
        {
            // Ready before the field is drawn, so that what is typed in this frame replaces it.
            buffer.editing = true;
            self.full.clone_into(&mut buffer.text);
            buffer.start.clone_from(&buffer.text);
            if self.amend {
                caret_at_end(ui, self.id, &buffer.text);
            } else {
                select_all(ui, self.id, &buffer.text);
            }
        } else if !buffer.editing && buffer.error.is_none() {
            self.shown.clone_into(&mut buffer.text);
        }
        // Enter moves down the column, Shift+Enter up; Escape restores.
        let (down, up, escape) = if had_focus {
            ui.input_mut(|i| {
                {
                    // Shift first: a plain match would take Shift+Enter too.
                    let up = i.consume_key(Modifiers::SHIFT, Key::Enter);
                    let down = i.consume_key(Modifiers::NONE, Key::Enter);
                    (down, up, i.consume_key(Modifiers::NONE, Key::Escape))
                }
            })
        } else {
            (false, false, false)
        };
        let enter = down || up;
        let (arrow_down, arrow_up) = if had_focus && self.quiet {
            ui.input_mut(|i| {
                (
                    i.consume_key(Modifiers::NONE, Key::ArrowDown),
                    i.consume_key(Modifiers::NONE, Key::ArrowUp),
                )
            })
        } else {
            (false, false)
        };

        let bad = buffer.error.is_some();
        let hovered = ui.rect_contains_pointer(rect);
        let (edge, fill) = if bad {
            (Stroke::new(2.0, t.stop), t.raised)
        } else if had_focus {
            (Stroke::new(t.ring, t.accent), t.raised)
        } else if self.quiet && !hovered {
            (Stroke::NONE, Color32::TRANSPARENT)
        } else {
            (Stroke::new(1.0, t.edge), t.raised)
        };
        ui.painter().rect(rect.shrink(1.0), 5.0, fill, edge, egui::StrokeKind::Inside);

        let font = if self.strong { fonts::strong(size::TEXT) } else { fonts::text() };
        let edit = egui::TextEdit::singleline(&mut buffer.text)
            .id(self.id)
            .font(FontSelection::FontId(font))
            .frame(Frame::NONE.inner_margin(Margin::symmetric(7, 0)))
            .hint_text(self.hint.to_owned())
            .interactive(self.enabled)
            .desired_width(rect.width() - 14.0)
            .align(egui::Align2([
                if self.right { egui::Align::Max } else { egui::Align::Min },
                egui::Align::Center,
            ]))
            .min_size(egui::vec2(0.0, rect.height()))
            .clip_text(true);
        let response = ui.put(rect, edit).accessible_name(self.name.clone());
        if let Some(error) = &buffer.error {
            response.show_tooltip_text(error.as_str());
        }

        let mut out = FieldOutput { entered: None, leave: Leave::Stay, open: true, escaped: false };
        if response.gained_focus() {
            response.scroll_to_me(None);
        }
        if response.gained_focus() && !buffer.editing {
            buffer.editing = true;
            if buffer.error.is_none() {
                self.full.clone_into(&mut buffer.text);
            }
            buffer.start.clone_from(&buffer.text);
            select_all(ui, self.id, &buffer.text);
            ui.ctx().request_repaint();
        }
        // egui may have taken the focus for Escape before this field was drawn.
        let escape = escape || (response.lost_focus() && ui.input(|i| i.key_pressed(Key::Escape)));
        if escape {
            out.escaped = true;
            buffer = Buffer::default();
            ui.memory_mut(|m| m.surrender_focus(self.id));
        } else if enter || arrow_down || arrow_up || response.lost_focus() {
            if buffer.editing || bad {
                out.entered = finish(&mut buffer, self.syntax);
                self.shown.clone_into(&mut buffer.shown);
            }
            if buffer.error.is_none() {
                buffer.editing = false;
                if arrow_down || (enter && !up) {
                    out.leave = Leave::Down;
                } else if arrow_up || (enter && up) {
                    out.leave = Leave::Up;
                }
                if enter {
                    ui.memory_mut(|m| m.surrender_focus(self.id));
                }
            } else if enter {
                ui.memory_mut(|m| m.request_focus(self.id));
                out.leave = Leave::Stay;
            }
        } else if response.changed() {
            buffer.error = None;
            buffer.editing = true;
        }
        if buffer.editing && buffer.error.is_none() && !ui.memory(|m| m.has_focus(self.id)) {
            // The focus went without a word, with the view or the row; nothing stale stays.
            buffer.editing = false;
        }
        out.open = buffer.editing || buffer.error.is_some();
        if out.open {
            ui.data_mut(|d| d.insert_temp(self.id, buffer));
        } else {
            ui.data_mut(|d| d.remove_temp::<Buffer>(self.id));
        }
        out
    }
}

/// A number to be typed in a row: its key and name, what it holds and how that is shown.
pub struct RowNumber<'a> {
    /// Name, unique over the window.
    pub name: &'a str,
    /// What it holds; `None` while empty.
    pub value: Option<f64>,
    /// Decimals shown while it is not edited.
    pub places: u32,
    /// Width in points.
    pub width: f32,
    /// Shown while empty.
    pub hint: &'a str,
}

impl RowNumber<'_> {
    /// Shows it; gives a finished entry, `None` inside it when it was emptied.
    pub fn show(&self, ui: &mut Ui, style: NumberStyle, syntax: Syntax) -> Option<Option<Typed>> {
        let shown = self.value.map_or(String::new(), |v| format_f64(v, self.places, style));
        let full = self.value.map_or(String::new(), |v| format_full(v, style));
        let (rect, _) =
            ui.allocate_exact_size(egui::vec2(self.width, size::CONTROL), egui::Sense::hover());
        let field = NumberField {
            id: Id::unique(("row-number", self.name)),
            name: self.name.to_owned(),
            shown: &shown,
            full: &full,
            syntax,
            quiet: false,
            right: false,
            strong: false,
            enabled: true,
            hint: self.hint,
            amend: false,
        };
        match field.show(ui, rect).entered {
            None => None,
            Some(Entered::Cleared) => Some(None),
            Some(Entered::Typed(typed)) => Some(Some(typed)),
        }
    }
}

/// Ends an edit: an entry, nothing when it was left as it was, or an error kept in the field.
fn finish(buffer: &mut Buffer, syntax: Syntax) -> Option<Entered> {
    if buffer.text == buffer.start && buffer.error.is_none() {
        return None;
    }
    if buffer.text.trim().is_empty() {
        buffer.error = None;
        return Some(Entered::Cleared);
    }
    match parse(&buffer.text, syntax) {
        Ok(typed) => {
            buffer.error = None;
            Some(Entered::Typed(typed))
        }
        Err(error) => {
            buffer.error = Some(words::told(error));
            None
        }
    }
}

/// Puts the caret after the text, so that typing goes on with it.
fn caret_at_end(ui: &Ui, id: Id, text: &str) {
    let mut state = egui::TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
    let end = egui::text::CCursor::new(egui::text::CharIndex(text.chars().count()));
    state.cursor.set_char_range(Some(egui::text::CCursorRange::one(end)));
    egui::TextEdit::store_state(ui.ctx(), id, state);
}

/// Selects the whole text, so that typing replaces it.
pub fn select_all(ui: &Ui, id: Id, text: &str) {
    let mut state = egui::TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
    {
        let end = egui::text::CCursor::new(egui::text::CharIndex(text.chars().count()));
        let range = egui::text::CCursorRange::two(egui::text::CCursor::default(), end);
        state.cursor.set_char_range(Some(range));
        egui::TextEdit::store_state(ui.ctx(), id, state);
    }
}

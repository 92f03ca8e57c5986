//! One thing that hands can do to a window, and doing it.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::accesskit::ActionRequest;
use egui::{Event, Key, Modifiers, PointerButton, Pos2, Vec2};
use egui_kittest::Harness;
use quern_studio::app::App;
use quern_studio::app::action::Action;
use quern_studio::app::commands::Command;
use quern_studio::app::state::Dialog;

/// An act with everything settled, so that a list of them can be done again and cut down.
#[derive(Clone, Debug)]
pub enum Act {
    /// A key goes down and up.
    Key(Modifiers, Key),
    /// Letters arrive.
    Text(String),
    /// Something is pasted.
    Paste(String),
    /// What was copied last is pasted.
    PasteBack,
    /// Copy.
    Copy,
    /// Cut.
    Cut,
    /// A button of the mouse goes down and up, so many times.
    Click(Pos2, PointerButton, Modifiers, u8),
    /// The pointer moves.
    Hover(Pos2),
    /// The pointer leaves the window.
    Gone,
    /// A drag from here to there by way of so many places.
    Drag(Pos2, Pos2, u8),
    /// The wheel turns.
    Scroll(Pos2, Vec2, Modifiers),
    /// Two fingers zoom.
    Pinch(f32),
    /// Files are dropped.
    Drop(Vec<PathBuf>),
    /// The window gets another size, in points.
    Resize(Vec2),
    /// Pixels per point change.
    Scale(f32),
    /// The window's close button.
    Close,
    /// The window loses or gets the keyboard.
    Focused(bool),
    /// An input method composes a word and hands it over, or drops it.
    Compose(String, bool),
    /// An assistive technology asks for something.
    Access(Box<ActionRequest>),
    /// A command, as from menu or palette.
    Run(Command),
    /// Clicks into a field, types over what it holds and leaves it by a key.
    Enter(Pos2, String, Key),
    /// Some frames without input.
    Wait(u8),
}

/// A dropped file.
#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|e| e.to_string())
    }
}

/// The window under test, with what stands around it.
pub struct Hands {
    /// The window.
    pub h: Harness<'static, App>,
    /// The only folder where files may be written.
    pub folder: PathBuf,
    /// What was copied last.
    pub clipboard: String,
    /// The window asked to be closed and was not held back.
    pub closed: bool,
    /// Commands run so far.
    pub ran: BTreeSet<String>,
}

impl Hands {
    /// Does one act.
    pub fn perform(&mut self, act: &Act) {
        match act.clone() {
            Act::Key(m, key) => self.key(m, key),
            Act::Text(text) => self.frame([Event::Text(text)]),
            Act::Paste(text) => self.frame([Event::Paste(text)]),
            Act::PasteBack => self.frame([Event::Paste(self.clipboard.clone())]),
            Act::Copy => self.frame([Event::Copy]),
            Act::Cut => self.frame([Event::Cut]),
            Act::Click(at, button, m, times) => {
                for _ in 0..times {
                    self.frame([Event::ModifiersChanged(m), Event::PointerMoved(at)]);
                    let press =
                        |pressed| Event::PointerButton { pos: at, button, pressed, modifiers: m };
                    self.frame([press(true), press(false)]);
                }
                self.frame([Event::ModifiersChanged(Modifiers::NONE)]);
            }
            Act::Hover(at) => self.frame([Event::PointerMoved(at)]),
            Act::Gone => self.frame([Event::PointerGone]),
            Act::Drag(from, to, places) => self.drag(from, to, places),
            Act::Scroll(at, delta, m) => {
                self.frame([
                    Event::ModifiersChanged(m),
                    Event::PointerMoved(at),
                    Event::MouseWheel {
                        unit: egui::MouseWheelUnit::Point,
                        delta,
                        phase: egui::TouchPhase::Move,
                        source: egui::MouseWheelSource::Unknown,
                        modifiers: m,
                    },
                ]);
                self.frame([Event::ModifiersChanged(Modifiers::NONE)]);
            }
            Act::Pinch(by) => self.frame([Event::Zoom(by)]),
            Act::Drop(paths) => {
                self.h.input_mut().dropped_files = paths
                    .into_iter()
                    .map(|p| Arc::new(Dropped(p)) as egui::DroppedFileHandle)
                    .collect();
                self.frame([]);
                self.frame([]);
            }
            Act::Resize(size) => {
                self.h.set_size(size);
                self.frame([]);
            }
            Act::Scale(scale) => {
                self.h.set_pixels_per_point(scale);
                self.frame([]);
            }
            Act::Close => {
                let root = egui::ViewportId::ROOT;
                if let Some(info) = self.h.input_mut().viewports.get_mut(&root) {
                    info.events.push(egui::ViewportEvent::Close);
                }
                self.frame([]);
                // Whoever says nothing lets the window go.
                let held = self.commands().any(|c| *c == egui::ViewportCommand::CancelClose);
                self.closed |= !held;
            }
            Act::Focused(focused) => {
                self.h.input_mut().focused = focused;
                self.frame([Event::WindowFocused(focused)]);
            }
            Act::Compose(word, takes) => {
                let cursor = Some(0..word.chars().count());
                let preedit = |text: String, active_range_chars| {
                    Event::Ime(egui::ImeEvent::Preedit { text, active_range_chars })
                };
                self.frame([preedit(word.clone(), cursor)]);
                if takes {
                    self.frame([Event::Ime(egui::ImeEvent::Commit(word))]);
                } else {
                    self.frame([preedit(String::new(), None)]);
                }
            }
            Act::Access(request) => self.frame([Event::AccessKitActionRequest(*request)]),
            Act::Run(command) => {
                self.ran.insert(command.row().name.to_owned());
                let ctx = self.h.ctx.clone();
                self.h.state_mut().carry_out(&ctx, Action::Run(command));
                self.frame([]);
            }
            Act::Enter(at, text, key) => {
                self.frame([Event::PointerMoved(at)]);
                let press = |pressed| Event::PointerButton {
                    pos: at,
                    button: PointerButton::Primary,
                    pressed,
                    modifiers: Modifiers::NONE,
                };
                self.frame([press(true)]);
                self.frame([press(false)]);
                self.key(Modifiers::COMMAND, Key::A);
                self.frame([Event::Text(text)]);
                self.key(Modifiers::NONE, key);
            }
            Act::Wait(frames) => {
                for _ in 0..frames {
                    self.frame([]);
                }
            }
        }
    }

    /// One frame with these events, and what the window then wants.
    fn frame<const N: usize>(&mut self, events: [Event; N]) {
        self.h.input_mut().events.extend(events);
        self.h.step();
        let copied = self.h.output().platform_output.commands.iter().find_map(|c| match c {
            egui::OutputCommand::CopyText(text) => Some(text.clone()),
            _ => None,
        });
        if let Some(text) = copied {
            self.clipboard = text;
        }
        let closes = self.commands().any(|c| *c == egui::ViewportCommand::Close);
        self.closed |= closes;
        self.keep_inside();
    }

    fn commands(&self) -> impl Iterator<Item = &egui::ViewportCommand> {
        let root = self.h.output().viewport_output.get(&egui::ViewportId::ROOT);
        root.into_iter().flat_map(|v| v.commands.iter())
    }

    fn key(&mut self, modifiers: Modifiers, key: Key) {
        let press =
            |pressed| Event::Key { key, physical_key: None, pressed, repeat: false, modifiers };
        self.frame([Event::ModifiersChanged(modifiers), press(true), press(false)]);
        if modifiers != Modifiers::NONE {
            self.frame([Event::ModifiersChanged(Modifiers::NONE)]);
        }
    }

    fn drag(&mut self, from: Pos2, to: Pos2, places: u8) {
        let button = |pos, pressed| Event::PointerButton {
            pos,
            button: PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        };
        self.frame([Event::PointerMoved(from)]);
        self.frame([button(from, true)]);
        for i in 1..=places {
            let at = from + (to - from) * (f32::from(i) / f32::from(places));
            self.frame([Event::PointerMoved(at)]);
        }
        self.frame([button(to, false)]);
    }

    /// Closes a dialog in which a path outside of the folder stands: random typing must not write
    /// over anybody's files.
    fn keep_inside(&mut self) {
        let typed = match self.h.state().state().top() {
            Some(Dialog::Path { save: true, path, .. }) => path,
            Some(Dialog::Sheet { path, .. } | Dialog::Page { path, .. }) => path,
            _ => return,
        };
        let path = Path::new(typed);
        let leaves = path.components().any(|c| c == std::path::Component::ParentDir)
            || (path.is_absolute() && !path.starts_with(&self.folder));
        if leaves {
            let ctx = self.h.ctx.clone();
            self.h.state_mut().carry_out(&ctx, Action::Close);
        }
    }
}

//! File windows of the system, one at a time, and what stands in for them in tests.

use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::Instant;

use super::state::Page;

/// What a file window is opened for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// A project to open.
    Open {
        /// Folder to start in.
        folder: Option<PathBuf>,
    },
    /// A place to save the project.
    SaveProject {
        /// Folder to start in.
        folder: Option<PathBuf>,
        /// Proposed file name.
        name: String,
    },
    /// A place for a view's sheet.
    SavePage {
        /// Which.
        page: Page,
        /// Folder to start in.
        folder: Option<PathBuf>,
        /// Proposed file name.
        name: String,
        /// Ending without the dot.
        ending: String,
    },
    /// A place for a bench sheet.
    SaveSheet {
        /// Folder to start in.
        folder: Option<PathBuf>,
        /// Proposed file name.
        name: String,
        /// Ending without the dot.
        ending: String,
    },
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// A path was chosen.
    Path(PathBuf),
    /// Nothing was chosen.
    Cancelled,
    /// No window could be opened, as far as can be told: ask for a path in our own window.
    NoWindow,
}

/// A way to ask for files.
pub trait FileWindows {
    /// Opens a window; the answer comes through [`FileWindows::poll`].
    fn ask(&mut self, ask: Ask, ctx: &egui::Context);
    /// The answer to the last question, once.
    fn poll(&mut self) -> Option<(Ask, Answer)>;
    /// True while a window is open.
    fn is_open(&self) -> bool;
    /// Stops waiting; a late answer is dropped.
    fn forget(&mut self);
}

/// The system's own windows.
#[derive(Debug)]
pub struct NativeWindows {
    sender: Sender<(u64, Answer)>,
    receiver: Receiver<(u64, Answer)>,
    open: Option<(u64, Ask)>,
    next: u64,
}

impl Default for NativeWindows {
    fn default() -> Self {
        let (sender, receiver) = channel();
        Self { sender, receiver, open: None, next: 0 }
    }
}

/// An empty answer faster than this was no person's: there is no file window here.
const TOO_FAST_MS: u128 = 150;

impl FileWindows for NativeWindows {
    fn ask(&mut self, ask: Ask, ctx: &egui::Context) {
        if self.open.is_some() {
            return;
        }
        let token = self.next;
        self.next = self.next.wrapping_add(1);
        self.open = Some((token, ask.clone()));
        let (sender, ctx) = (self.sender.clone(), ctx.clone());
        let spawned = std::thread::Builder::new().name("file-window".to_owned()).spawn(move || {
            let start = Instant::now();
            let mut dialog = rfd::FileDialog::new();
            let project = |d: rfd::FileDialog| d.add_filter(say!("Quern project"), &["ron"]);
            let chosen = match ask {
                Ask::Open { folder } => {
                    if let Some(folder) = folder {
                        dialog = dialog.set_directory(folder);
                    }
                    project(dialog).set_title(say!("Open a project")).pick_file()
                }
                Ask::SaveProject { folder, name } => {
                    if let Some(folder) = folder {
                        dialog = dialog.set_directory(folder);
                    }
                    project(dialog)
                        .set_title(say!("Save the project"))
                        .set_file_name(name)
                        .save_file()
                }
                Ask::SavePage { page, folder, name, ending } => {
                    if let Some(folder) = folder {
                        dialog = dialog.set_directory(folder);
                    }
                    dialog
                        .add_filter(ending.to_uppercase(), &[ending.as_str()])
                        .set_title(say!("Save the {page}", page = page.name()))
                        .set_file_name(name)
                        .save_file()
                }
                Ask::SaveSheet { folder, name, ending } => {
                    if let Some(folder) = folder {
                        dialog = dialog.set_directory(folder);
                    }
                    dialog
                        .add_filter(ending.to_uppercase(), &[ending.as_str()])
                        .set_title(say!("Save the bench sheet"))
                        .set_file_name(name)
                        .save_file()
                }
            };
            let answer = match chosen {
                Some(path) => Answer::Path(path),
                None if start.elapsed().as_millis() < TOO_FAST_MS => Answer::NoWindow,
                None => Answer::Cancelled,
            };
            // The window may have gone meanwhile; then nobody waits for the answer.
            let _ = sender.send((token, answer));
            ctx.request_repaint();
        });
        if let Err(error) = spawned {
            log::error!("no thread for the file window: {error}");
            let _ = self.sender.send((token, Answer::NoWindow));
        }
    }

    fn poll(&mut self) -> Option<(Ask, Answer)> {
        while let Ok((token, answer)) = self.receiver.try_recv() {
            if let Some((_, ask)) = self.open.take_if(|(open, _)| *open == token) {
                return Some((ask, answer));
            }
        }
        None
    }

    fn is_open(&self) -> bool {
        self.open.is_some()
    }

    fn forget(&mut self) {
        self.open = None;
    }
}

/// Answers given beforehand, for tests.
#[derive(Debug, Default)]
pub struct ScriptedWindows {
    /// Answers in the order of asking; [`Answer::NoWindow`] when they run out.
    pub answers: std::collections::VecDeque<Answer>,
    /// What was asked.
    pub asked: Vec<Ask>,
    pending: Option<(Ask, Answer)>,
}

impl ScriptedWindows {
    /// With these answers.
    #[must_use]
    pub fn new(answers: impl IntoIterator<Item = Answer>) -> Self {
        Self { answers: answers.into_iter().collect(), ..Self::default() }
    }
}

impl FileWindows for ScriptedWindows {
    fn ask(&mut self, ask: Ask, ctx: &egui::Context) {
        let answer = self.answers.pop_front().unwrap_or(Answer::NoWindow);
        self.asked.push(ask.clone());
        self.pending = Some((ask, answer));
        ctx.request_repaint();
    }

    fn poll(&mut self) -> Option<(Ask, Answer)> {
        self.pending.take()
    }

    fn is_open(&self) -> bool {
        self.pending.is_some()
    }

    fn forget(&mut self) {
        self.pending = None;
    }
}

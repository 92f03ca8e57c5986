//! Opening, saving and exporting, with the questions that they raise.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use quern_project::{Project, SaveError};
use quern_sheet::{About, BenchSheet, Format, Paper};

use super::files::{Answer, Ask};
use super::notices::{Details, Tone};
use super::state::{Dialog, HeldUp, UiState};
use super::worker::Done;
use super::{App, Document, first_formula, style_of};
use crate::words;

/// Why our own path field is shown.
const NO_WINDOW: &str = term!("No file window opened here. Type or paste a path");

impl App {
    pub(super) fn folder(&self) -> Option<PathBuf> {
        self.document
            .path
            .as_deref()
            .and_then(Path::parent)
            .map(Path::to_path_buf)
            .or_else(|| self.settings.last_folder.clone())
    }

    /// Does something that would lose changes, after asking about them.
    pub(super) fn ask_to_leave(&mut self, ctx: &egui::Context, next: HeldUp) {
        if self.document.is_changed() {
            let asked = self.ui.dialogs.iter().any(|d| matches!(d, Dialog::Unsaved(_)));
            if !asked {
                self.ui.dialogs.push(Dialog::Unsaved(next));
            }
        } else {
            self.leave(ctx, next);
        }
    }

    /// Goes on with what was held up, saving first or not.
    pub(super) fn proceed(&mut self, ctx: &egui::Context, save: bool) {
        let Some(Dialog::Unsaved(next)) = self.ui.dialogs.pop() else { return };
        if save {
            self.ui.held_up = Some(next);
            self.save(ctx);
        } else {
            self.leave(ctx, next);
        }
    }

    fn leave(&mut self, ctx: &egui::Context, next: HeldUp) {
        match next {
            HeldUp::New => self.replace(Document::unsaved(Project::blank())),
            HeldUp::Open => {
                let folder = self.folder();
                self.windows.ask(Ask::Open { folder }, ctx);
            }
            HeldUp::OpenPath(path) => self.open_path(path, false),
            HeldUp::Revert => {
                if let Some(path) = self.document.path.clone() {
                    self.open_path(path, true);
                }
            }
            HeldUp::Demo(at) => self.open_demo(at),
            HeldUp::Skeleton(id) => self.project_from_skeleton(&id),
            HeldUp::Close => {
                self.ui.may_close = true;
                ctx.send_viewport_cmd(egui::ViewportCommand::Close);
            }
        }
    }

    pub(super) fn replace(&mut self, document: Document) {
        self.windows.forget();
        self.save_again = None;
        self.ui = UiState::new(first_formula(document.project()));
        self.document = document;
        self.document.now = self.clock.time();
        self.evals.clear();
        self.search = None;
        self.propose_sides();
    }

    pub(super) fn open_path(&mut self, path: PathBuf, revert: bool) {
        let asked = (self.document.id, self.document.revision());
        self.worker.start_long(say!("Opening the project"), move |_| {
            let result = quern_project::load(&path);
            Done::Opened { asked, path, revert, result }
        });
    }

    pub(super) fn save(&mut self, ctx: &egui::Context) {
        match self.document.path.clone() {
            Some(path) => self.save_to(path, false),
            None => self.save_as(ctx),
        }
    }

    pub(super) fn save_as(&mut self, ctx: &egui::Context) {
        let name = match &self.document.path {
            Some(path) => path
                .file_name()
                .map_or_else(|| "project.ron".to_owned(), |n| n.to_string_lossy().into_owned()),
            None => format!("{}.ron", file_stem(&self.document.project().name)),
        };
        let folder = self.folder();
        self.windows.ask(Ask::SaveProject { folder, name }, ctx);
    }

    /// Writes the project. `over` overwrites what another window wrote meanwhile.
    pub(super) fn save_to(&mut self, path: PathBuf, over: bool) {
        if self.saving {
            // One at a time: the next knows what this one leaves on disk.
            self.save_again = Some((path, over));
            return;
        }
        self.saving = true;
        let project = Arc::clone(self.document.project());
        let (document, revision) = (self.document.id, self.document.revision());
        let same = self.document.path.as_deref() == Some(path.as_path());
        let expected = if same && !over { self.document.fingerprint } else { None };
        self.worker.start(say!("Saving the project"), move || {
            let result = quern_project::save(&path, &project, expected.as_ref());
            Done::Saved { document, path, revision, result }
        });
    }

    pub(super) fn revert(&mut self, ctx: &egui::Context) {
        if self.document.path.is_none() {
            self.say(Tone::Info, say!("Nothing to revert to: the project was never saved"));
        } else {
            self.leave(ctx, HeldUp::Revert);
        }
    }

    fn remember(&mut self, path: &Path) {
        self.settings.note_recent(path);
        self.settings.last_project = Some(path.to_owned());
        self.save_settings();
    }

    pub(super) fn answered(&mut self, ctx: &egui::Context, ask: &Ask, answer: Answer) {
        match (ask, answer) {
            (Ask::Open { .. }, Answer::Path(path)) => self.open_path(path, false),
            (Ask::SaveProject { .. }, Answer::Path(path)) => {
                self.save_to(with_ending(path, "ron"), false);
            }
            (Ask::SaveSheet { ending, .. }, Answer::Path(path)) => {
                self.write_sheet(with_ending(path, ending));
            }
            (Ask::SavePage { page, ending, .. }, Answer::Path(path)) => {
                self.write_page(*page, with_ending(path, ending));
            }
            (Ask::SavePage { page, folder, name, .. }, Answer::NoWindow) => {
                let path = folder.clone().unwrap_or_default().join(name);
                self.ui.dialogs.push(Dialog::Page {
                    page: *page,
                    path: path.display().to_string(),
                    typed: true,
                    error: None,
                });
            }
            (_, Answer::Cancelled) => self.ui.held_up = None,
            (Ask::Open { folder }, Answer::NoWindow) => {
                let path = folder.as_deref().map(|f| f.join("").display().to_string());
                self.ui.dialogs.push(Dialog::Path {
                    save: false,
                    path: path.unwrap_or_default(),
                    why: words::text(NO_WINDOW).to_owned(),
                });
            }
            (Ask::SaveProject { folder, name }, Answer::NoWindow) => {
                let path = folder.clone().unwrap_or_default().join(name);
                self.ui.dialogs.push(Dialog::Path {
                    save: true,
                    path: path.display().to_string(),
                    why: words::text(NO_WINDOW).to_owned(),
                });
            }
            (Ask::SaveSheet { folder, name, .. }, Answer::NoWindow) => {
                let path = folder.clone().unwrap_or_default().join(name);
                let ending = path.extension().map(|e| e.to_string_lossy().into_owned());
                self.ui.dialogs.push(Dialog::Sheet {
                    path: path.display().to_string(),
                    typed: true,
                    ending: ending.unwrap_or_default(),
                    error: None,
                });
            }
        }
        ctx.request_repaint();
    }

    pub(super) fn finished(&mut self, ctx: &egui::Context, done: Done) {
        match done {
            Done::Home(done) => self.home.take(done),
            Done::Grit(done) => self.grit.take(done),
            Done::Setting(done) => self.setting.take(done),
            Done::QuietBroken => {
                self.grit.broken();
                self.setting.broken();
                let text =
                    say!("A figure could not be worked out; a report is in the state folder");
                self.say(Tone::Error, text);
            }
            Done::Cancelled { name, quiet } => {
                if quiet {
                    // It is not tried again in the same state.
                    self.grit.broken();
                    self.setting.broken();
                } else {
                    self.label_written(false);
                }
                self.say(Tone::Info, say!("Cancelled: {name}", name = name.to_lowercase()));
            }
            Done::Broken => {
                self.saving = false;
                self.ui.held_up = None;
                let details = Details {
                    text: say!(
                        "A part of the program stopped in a way that nobody foresaw; the rest \
                           goes on"
                    )
                    .to_owned(),
                    path: quern_project::folders::log_file(),
                    fix: say!(
                        "Save the project under another name, and keep the report beside the log"
                    )
                    .to_owned(),
                };
                let text = say!(
                    "That broke off unexpectedly, and nothing was written; a report is in \
                            the state folder"
                );
                self.say_with(Tone::Error, text, details);
            }
            Done::Opened { path, result: Err(error), .. } => {
                let gone = matches!(error, quern_project::LoadError::NotFound { .. });
                if gone {
                    self.settings.forget_recent(&path);
                    if self.settings.last_project.as_ref() == Some(&path) {
                        self.settings.last_project = None;
                    }
                }
                let fix = if gone {
                    say!(
                        "Look for the file and open it from where it is now; it was taken off the \
                     recent ones. What was open stays open"
                    )
                } else {
                    say!(
                        "The file was not touched. Put it right at the place named, or open the \
                     backup that lies beside it, if there is one. What was open stays open"
                    )
                };
                let details =
                    Details { text: String::new(), path: Some(path), fix: fix.to_owned() };
                self.say_with(Tone::Error, words::told(error), details);
            }
            // Something was changed while the file was read: ask, as if it were opened now.
            Done::Opened { asked, path, revert, result: Ok(_) }
                if asked != (self.document.id, self.document.revision())
                    && self.document.is_changed() =>
            {
                let next = if revert { HeldUp::Revert } else { HeldUp::OpenPath(path) };
                self.ask_to_leave(ctx, next);
            }
            Done::Opened { path, revert, result: Ok(mut loaded), .. } => {
                if super::formulas::never_none(&mut loaded.project) {
                    self.say(
                        Tone::Info,
                        say!("The file holds no formula, so an empty one was added"),
                    );
                }
                if let Some(old) = loaded.upgraded_from {
                    self.say(
                        Tone::Info,
                        say!("Read from format {old}; saving writes the present format", old),
                    );
                }
                if revert {
                    self.document.put_whole(say!("revert"), loaded.project);
                    let revision = self.document.revision();
                    self.document.mark_saved(revision);
                    self.document.fingerprint = Some(loaded.fingerprint);
                    self.say(
                        Tone::Done,
                        say!("Read again from the file; undo brings the changes back"),
                    );
                } else {
                    self.remember(&path);
                    self.replace(Document::opened(loaded.project, path, loaded.fingerprint));
                    if let Some(view) = self.first_view.take() {
                        self.show(view);
                    }
                }
            }
            Done::Saved { document, path, revision, result } => {
                self.saving = false;
                self.saved(ctx, document, path, revision, result);
                if let Some((path, over)) = self.save_again.take() {
                    self.save_to(path, over);
                }
            }
            Done::Page { page, path, result } => match result {
                Ok(()) => {
                    self.label_written(page == super::state::Page::Label);
                    let text = say!(
                        "{page} written to {path}",
                        page = page.title(),
                        path = path.display()
                    );
                    self.say(Tone::Done, text);
                }
                Err(error) => {
                    self.label_written(false);
                    self.say(Tone::Error, error.clone());
                    let path = path.display().to_string();
                    let error = Some(error);
                    self.ui.dialogs.push(Dialog::Page { page, path, typed: true, error });
                }
            },
            Done::Sheet { path, result } => match result {
                Ok(()) => {
                    self.say(
                        Tone::Done,
                        say!("Bench sheet written to {path}", path = path.display()),
                    );
                }
                Err(error) => {
                    self.say(Tone::Error, error.clone());
                    let ending = path.extension().map(|e| e.to_string_lossy().into_owned());
                    self.ui.dialogs.push(Dialog::Sheet {
                        path: path.display().to_string(),
                        typed: true,
                        ending: ending.unwrap_or_default(),
                        error: Some(error),
                    });
                }
            },
        }
    }

    /// Takes in what a save came to.
    fn saved(
        &mut self,
        ctx: &egui::Context,
        document: u64,
        path: PathBuf,
        revision: u64,
        result: Result<quern_project::Fingerprint, SaveError>,
    ) {
        if document != self.document.id {
            // It was another document's; this one must not take over its place on disk.
            match result {
                Ok(_) => self.say(Tone::Done, say!("Saved as {path}", path = path.display())),
                Err(error) => self.say(Tone::Error, words::told(error)),
            }
            return;
        }
        match result {
            Ok(fingerprint) => {
                self.document.fingerprint = Some(fingerprint);
                self.document.saved_at = Some(self.clock.time());
                self.document.mark_saved(revision);
                self.remember(&path);
                self.say(Tone::Done, say!("Saved as {path}", path = path.display()));
                self.document.path = Some(path);
                if let Some(next) = self.ui.held_up.take() {
                    self.ask_to_leave(ctx, next);
                }
            }
            Err(error @ SaveError::ChangedOnDisk { .. }) => {
                self.ui.held_up = None;
                self.ui.dialogs.push(Dialog::ChangedOnDisk(words::told(error)));
            }
            Err(error) => {
                self.ui.held_up = None;
                let why = words::told(error);
                self.say(Tone::Error, why.as_str());
                // A new place can be typed at once; nothing typed is lost.
                self.ui.dialogs.push(Dialog::Path {
                    save: true,
                    path: path.display().to_string(),
                    why,
                });
            }
        }
    }

    pub(super) fn choose_sheet(&mut self, ctx: &egui::Context, ending: &str) {
        let Some(here) = self.here() else { return };
        let name = format!(
            "{} {}.{ending}",
            file_stem(&here.name),
            file_stem(&here.evaluation.batch_code)
        );
        let folder = self.folder();
        let ask = Ask::SaveSheet { folder, name, ending: ending.to_owned() };
        self.windows.ask(ask, ctx);
    }

    /// Makes the bench sheet and writes it, on the worker.
    pub(super) fn write_sheet(&mut self, path: PathBuf) {
        let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
        let Some(format) = ending.as_deref().and_then(Format::from_extension) else {
            self.say(
                Tone::Error,
                say!("{path} has no ending that tells the kind of sheet; use .pdf, .html, .csv or .md", path = path.display()),
            );
            return;
        };
        let Some(here) = self.here() else { return };
        let project = Arc::clone(self.document.project());
        let library = self.evals.library(&project, self.document.revision());
        let plan = project.plan(&self.ui.formula);
        let about = about(&project, self.date, style_of(&self.settings), self.paper());
        self.worker.start_long(say!("Writing the bench sheet"), move |go_on| {
            let sheet = BenchSheet::new(&here.formula, &here.evaluation, &library, &plan, &about);
            let result = quern_sheet::export(&sheet, format)
                .map_err(|e| say!("The bench sheet was not written: {e}", e = words::told(e)))
                .and_then(|bytes| write_unless_cancelled(&path, &bytes, go_on));
            Done::Sheet { path, result }
        });
    }

    pub(super) fn paper(&self) -> Paper {
        match self.settings.paper {
            quern_project::settings::Paper::A4 => Paper::A4,
            quern_project::settings::Paper::Letter => Paper::UsLetter,
        }
    }
}

/// What a sheet says about where it comes from.
#[must_use]
pub fn about(
    project: &Project,
    date: quern_calc::quantity::Date,
    style: quern_calc::number::NumberStyle,
    paper: Paper,
) -> About {
    About {
        workshop: project.name.clone(),
        date,
        currency: project.currency.clone(),
        style,
        paper,
        rules_edition: quern_project::rules::in_use().edition.clone(),
        library_edition: quern_project::library::builtin().edition.clone(),
        program: format!("Quern {}", env!("CARGO_PKG_VERSION")),
    }
}

/// Writes a file, unless nobody wants it any more.
pub(super) fn write_unless_cancelled(
    path: &Path,
    bytes: &[u8],
    go_on: &super::worker::GoOn,
) -> Result<(), String> {
    if go_on.goes_on() {
        quern_project::write_file(path, bytes).map_err(words::told)
    } else {
        Err(say!("It was cancelled").to_owned())
    }
}

/// A name that every file system takes.
pub(super) fn file_stem(name: &str) -> String {
    let stem: String = name
        .chars()
        .map(|c| if c.is_alphanumeric() || c == '-' { c } else { ' ' })
        .take(60)
        .collect();
    let stem = stem.split_whitespace().collect::<Vec<_>>().join("-").to_lowercase();
    if stem.is_empty() { "quern".to_owned() } else { stem }
}

/// The path with this ending, unless it has one that tells a kind of file.
pub(super) fn with_ending(path: PathBuf, ending: &str) -> PathBuf {
    let has = path.extension().map(|e| e.to_string_lossy().to_lowercase());
    match has.as_deref() {
        // An ending that tells a kind of file is the user's choice.
        Some("ron" | "pdf" | "html" | "htm" | "csv" | "md" | "xlsx") => path,
        // Else it is part of a name such as "Dune v1.2".
        _ => {
            let mut name = path.into_os_string();
            name.push(".");
            name.push(ending);
            PathBuf::from(name)
        }
    }
}

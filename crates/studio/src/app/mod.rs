//! The window's state and the one place where it changes.
//!
//! Each frame: take in what jobs and file windows came to, draw, then carry out what the
//! views asked for. Figures are computed on change and cached by revision.

pub mod action;
mod apply;
pub mod commands;
mod disk;
pub use disk::about;
mod document;
mod drafts;
mod evals;
pub mod field_error;
pub mod files;
mod formulas;
pub mod grit;
pub mod guide;
pub mod history;
pub mod home;
pub mod notices;
mod place;
pub mod preferences;
pub mod safety;
mod scene;
pub mod setting;
mod settle;
pub mod state;
pub mod table;
pub mod tour;
pub mod versions;
mod worker;

pub use document::Document;
pub use evals::{Side, SideFigures};
pub use scene::Scene;
pub use worker::{Release, Work, Worker};

use std::path::PathBuf;
use std::sync::Arc;

use quern_calc::evaluate::Context;
use quern_calc::formula::FormulaId;
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Date;
use quern_project::Project;
use quern_project::library::SearchIndex;
use quern_project::settings::{AtStart, Settings};

use action::Action;
use evals::Evals;
use files::FileWindows;
use notices::{Notices, Tone};
use state::{HeldUp, UiState};

use crate::words::{self, Language};

/// The day and the time of day; tests stop it.
#[derive(Clone, Copy, Debug)]
pub enum Clock {
    /// The computer's clock.
    System,
    /// Always this day at noon.
    Fixed(Date),
}

impl Clock {
    /// The day.
    #[must_use]
    pub fn today(self) -> Date {
        match self {
            Self::Fixed(date) => date,
            Self::System => crate::clock::today(),
        }
    }

    /// Time of day as shown.
    #[must_use]
    pub fn time(self) -> String {
        match self {
            Self::Fixed(_) => "12:00".to_owned(),
            Self::System => crate::clock::time_of_day(),
        }
    }
}

/// How a window is started.
pub struct Start {
    /// The project to show first.
    pub document: Document,
    /// A file to open at once.
    pub open: Option<PathBuf>,
    /// Preferences.
    pub settings: Settings,
    /// Warnings to show at the start.
    pub warnings: Vec<String>,
    /// File windows.
    pub windows: Box<dyn FileWindows>,
    /// Clock.
    pub clock: Clock,
    /// Worker; `None` for a threaded one.
    pub worker: Option<Worker>,
    /// False keeps preferences out of the user's folder, for tests.
    pub keep_settings: bool,
    /// What the window speaks.
    pub language: Language,
}

/// The window.
pub struct App {
    document: Document,
    ui: UiState,
    settings: Settings,
    keep_settings: bool,
    language: Language,
    evals: Evals,
    notices: Notices,
    windows: Box<dyn FileWindows>,
    worker: Worker,
    clock: Clock,
    date: Date,
    search: Option<(u64, Arc<SearchIndex>)>,
    /// A save is under way.
    saving: bool,
    /// Another one was asked for meanwhile.
    save_again: Option<(PathBuf, bool)>,
    /// What the opening page shows.
    home: home::HomeJobs,
    /// Jobs of the Grit view.
    grit: grit::GritJobs,
    /// Figures and jobs of the Setting view.
    setting: setting::SettingJobs,
    /// The label shown.
    label: safety::LabelCache,
    /// The label on a sheet that is being written.
    label_sent: Option<(FormulaId, quern_calc::formula::Printed)>,
    /// Commands that wait for the field in use to be left.
    deferred: Vec<commands::Command>,
    /// When a change of something frozen was last refused, in the window's seconds.
    refused_at: Option<f64>,
    shown_title: String,
    /// Where the window is, until it is kept.
    placing: place::Placing,
    /// A folder for the settings instead of the user's, for tests.
    settings_folder: Option<PathBuf>,
    /// The view to show once the first project is open.
    first_view: Option<state::View>,
}

/// How numbers are shown under these preferences.
#[must_use]
pub fn style_of(settings: &Settings) -> NumberStyle {
    NumberStyle {
        sign: settings.decimal_sign,
        dates: settings.date_order,
        currency: settings.currency_place,
        mass: settings.mass_unit,
    }
}

impl App {
    /// A window. Works without storage and without a real window behind it.
    #[must_use]
    pub fn new(ctx: &egui::Context, start: Start) -> Self {
        words::speak(start.language);
        preferences::dress(ctx, &start.settings);
        if (0.5..=3.0).contains(&start.settings.zoom) {
            ctx.set_zoom_factor(start.settings.zoom);
        }
        let first = first_formula(start.document.project());
        let mut app = Self {
            ui: UiState::new(first),
            document: start.document,
            settings: start.settings,
            keep_settings: start.keep_settings,
            language: start.language,
            evals: Evals::default(),
            notices: Notices::default(),
            windows: start.windows,
            worker: start.worker.unwrap_or_else(|| Worker::threaded(ctx)),
            clock: start.clock,
            date: start.clock.today(),
            search: None,
            saving: false,
            save_again: None,
            home: home::HomeJobs::default(),
            grit: grit::GritJobs::default(),
            setting: setting::SettingJobs::default(),
            label: safety::LabelCache::default(),
            label_sent: None,
            deferred: Vec::new(),
            refused_at: None,
            shown_title: String::new(),
            placing: place::Placing::default(),
            settings_folder: None,
            first_view: None,
        };
        app.ui.table.columns = table::from_settings(&app.settings.columns);
        app.first_view = app.settings.last_view.as_deref().and_then(preferences::view_of);
        if let Some(view) = app.first_view {
            app.ui.view = view;
        }
        app.propose_sides();
        for warning in start.warnings {
            app.say(Tone::Info, warning);
        }
        let last = app.settings.last_project.clone();
        let last = last.filter(|_| app.settings.at_start == AtStart::LastProject);
        if let Some(path) = start.open.or(last) {
            app.open_path(path, false);
        }
        app
    }

    /// The open document.
    #[must_use]
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// Window state, for tests.
    #[must_use]
    pub fn state(&self) -> &UiState {
        &self.ui
    }

    /// Carries an action out as if a view had asked for it, for measurements.
    pub fn carry_out(&mut self, ctx: &egui::Context, action: Action) {
        words::speak(self.language);
        self.apply(ctx, action);
    }

    /// Notices so far, newest last.
    #[must_use]
    pub fn notices(&self) -> Vec<String> {
        self.notices.all().iter().map(|n| n.text.clone()).collect()
    }

    /// Figures of the formula at hand.
    pub fn here(&mut self) -> Option<SideFigures> {
        let side = Side::plain(self.ui.formula.clone());
        self.figures(&side)
    }

    fn say(&mut self, tone: Tone, text: impl Into<String>) {
        // What was refused is not reported as done.
        if tone == Tone::Done && self.document.is_refused() {
            return;
        }
        let at = self.clock.time();
        self.notices.add(tone, text, at);
    }

    fn say_with(&mut self, tone: Tone, text: impl Into<String>, details: notices::Details) {
        let at = self.clock.time();
        self.notices.add_with(tone, text, Some(details), at);
    }

    fn figures(&mut self, side: &Side) -> Option<SideFigures> {
        let project = Arc::clone(self.document.project());
        let context = Context { date: self.date, setting: Arc::clone(&project.setting) };
        self.evals.side(
            side,
            &project,
            self.document.revision(),
            quern_project::rules::in_use(),
            &context,
        )
    }

    /// One frame.
    pub fn frame(&mut self, ui: &mut egui::Ui) {
        words::speak(self.language);
        let ctx = ui.ctx().clone();
        self.document.now = self.clock.time();
        self.take_in(&ctx);
        self.tell_refusal(&ctx);
        crate::look::focus::begin(&ctx);
        self.settle();
        let mut actions: Vec<Action> = self.deferred.drain(..).map(Action::Run).collect();
        // Only while something is searched; the index and the library cost time to make.
        let searching = self
            .ui
            .dialogs
            .iter()
            .any(|d| matches!(d, state::Dialog::Pick { .. } | state::Dialog::Palette(_)))
            || self.ui.table.finding.is_some();
        let search = if searching { Some(self.search_index()) } else { None };
        let empty = SearchIndex::new(std::iter::empty());
        let library = self.evals.library(self.document.project(), self.document.revision());
        let sides = [0, 1].map(|i| {
            let side = self.ui.sides.get(i).cloned().flatten()?;
            let figures =
                (self.ui.view == state::View::Compare).then(|| self.figures(&side)).flatten()?;
            Some((side, figures))
        });
        let home = self.home_scene();
        let grit = self.grit_scene();
        let setting = self.setting_scene();
        let label = (self.ui.view == state::View::Label).then(|| self.label_here()).flatten();
        let (work, left) = self.worker.shown(ctx.input(|i| i.time));
        if let Some(left) = left {
            ctx.request_repaint_after(left);
        }
        let mut wait = None;
        let (depth, top) = (self.ui.dialogs.len(), self.ui.dialogs.last().cloned());
        if let Some(here) = self.here() {
            let plan = self.document.project().plan(&here.formula.id);
            let mut dialogs = std::mem::take(&mut self.ui.dialogs);
            let project = Arc::clone(self.document.project());
            let scene = Scene {
                project: &project,
                document: &self.document,
                library: &library,
                here: &here,
                plan: &plan,
                sides,
                home,
                grit,
                setting,
                label,
                ui: &self.ui,
                settings: &self.settings,
                unread: self.notices.unread(),
                date: self.date,
                search: search.as_deref().unwrap_or(&empty),
                busy: self.worker.is_busy(),
                work,
                file_window: self.windows.is_open(),
                read_only: self.read_only(),
            };
            // While a dialog is open it owns the keyboard.
            if dialogs.is_empty()
                && let Some(command) = commands::pressed(&ctx)
            {
                if commands::waits_for_fields(command) && leave_field(&ctx) {
                    wait = Some(command);
                } else {
                    actions.push(Action::Run(command));
                }
            }
            crate::views::window(ui, &scene, &mut actions);
            crate::dialogs::show(&ctx, &scene, &mut dialogs, self.notices.all(), &mut actions);
            self.ui.dialogs = dialogs;
        }
        self.ui.scroll_to = None;
        if matches!(self.ui.top(), Some(state::Dialog::Notices)) {
            self.notices.see_all();
        } else {
            let foot = crate::views::foot_of(ctx.content_rect(), self.ui.view);
            let over = (foot, !self.ui.dialogs.is_empty());
            crate::views::notice::show(&ctx, &mut self.notices, over, &mut actions);
        }
        crate::look::focus::end(&ctx);
        let revision = self.document.revision();
        let mut refused = false;
        for action in actions {
            refused |= !self.apply(&ctx, action);
        }
        if self.document.revision() != revision && !ctx.input(|i| i.pointer.any_down()) {
            // New figures are on screen in the frame of the keystroke. A drag follows one frame
            // later, in the time of one.
            ctx.request_discard(say!("the project has changed"));
        }
        if refused && self.ui.dialogs.len() < depth {
            // What was typed is not lost with the change; a command is soon found again.
            self.ui.dialogs.extend(top.filter(|d| !matches!(d, state::Dialog::Palette(_))));
        }
        self.deferred.extend(wait);
        if self.worker.take_ran_here() {
            ctx.request_repaint();
        }
        self.title(&ctx);
        self.note_place(&ctx);
    }

    /// What jobs, file windows, dropped files and the close button brought.
    fn take_in(&mut self, ctx: &egui::Context) {
        match self.ui.focus.take() {
            Some((id, 0)) => {
                ctx.memory_mut(|m| m.request_focus(id));
                let typed = std::mem::take(&mut self.ui.typed_ahead);
                ctx.input_mut(|i| i.events.splice(0..0, typed).for_each(drop));
            }
            Some((id, frames)) => {
                self.ui.focus = Some((id, frames - 1));
                // Quick fingers type before the cell is there; it gets what they typed.
                let text = |e: &egui::Event| matches!(e, egui::Event::Text(_));
                let ahead = ctx.input_mut(|i| {
                    let (ahead, rest) = std::mem::take(&mut i.events).into_iter().partition(text);
                    i.events = rest;
                    let ahead: Vec<egui::Event> = ahead;
                    ahead
                });
                self.ui.typed_ahead.extend(ahead);
                ctx.request_repaint();
            }
            None => {}
        }
        let today = self.clock.today();
        if today != self.date {
            self.date = today;
            self.evals.clear();
        }
        while let Some(done) = self.worker.poll() {
            self.finished(ctx, done);
        }
        while let Some((ask, answer)) = self.windows.poll() {
            self.answered(ctx, &ask, answer);
        }
        let dropped: Vec<PathBuf> =
            ctx.input(|i| i.raw.dropped_files.iter().map(|f| f.path().to_path_buf()).collect());
        if let Some(path) = dropped.into_iter().next() {
            self.ask_to_leave(ctx, HeldUp::OpenPath(path));
        }
        let idle = self.ui.dialogs.is_empty() && !self.worker.is_busy() && !self.windows.is_open();
        if idle {
            // Whatever waited for a save that was given up waits no longer.
            self.ui.held_up = None;
        }
        let close = ctx.input(|i| i.viewport().close_requested());
        if close && !self.ui.may_close && self.ui.dialogs.is_empty() && leave_field(ctx) {
            // What is being typed belongs to the project; it is taken in first.
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.deferred.push(commands::Command::Quit);
            return;
        }
        if close && self.document.is_changed() && !self.ui.may_close {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.ask_to_leave(ctx, HeldUp::Close);
        }
    }

    /// Window title, sent only when it changes.
    fn title(&mut self, ctx: &egui::Context) {
        let mark = if self.document.is_changed() { "*" } else { "" };
        let title = say!(
            "{document}{mark} – {project} – Quern",
            document = self.document.title(),
            mark,
            project = self.document.project().name
        );
        if title != self.shown_title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.shown_title = title;
        }
    }
}

/// Takes the focus from a text field, so that it commits; false when none has it.
fn leave_field(ctx: &egui::Context) -> bool {
    if !ctx.text_edit_focused() {
        return false;
    }
    if let Some(id) = ctx.memory(egui::Memory::focused) {
        ctx.memory_mut(|m| m.surrender_focus(id));
    }
    ctx.request_repaint();
    true
}

fn first_formula(project: &Project) -> FormulaId {
    project.formulas.first().map_or_else(|| FormulaId::new("formula-1"), |f| f.id.clone())
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut egui::Ui, frame: &mut eframe::Frame) {
        self.put_on_screen(ui.ctx(), frame);
        self.frame(ui);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.keep_place();
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        crate::look::Tokens::behind(visuals).paper.to_normalized_gamma_f32()
    }

    fn persist_egui_memory(&self) -> bool {
        false
    }
}

//! Harness of the journeys: a window without a screen, with a fixed clock, scripted file
//! windows and jobs that run at once.

use std::path::PathBuf;

use egui_kittest::Harness;
use quern_calc::quantity::Date;
use quern_project::Project;
use quern_project::settings::Settings;
use quern_studio::app::files::{Answer, ScriptedWindows};
use quern_studio::app::{App, Clock, Document, Start, Worker};
use quern_studio::words::Language;

/// The day of every test.
#[must_use]
pub fn day() -> Date {
    Date::new(2026, 11, 25).unwrap_or(Date::Y2K)
}

/// How a window is opened.
pub struct Open {
    /// Size in points.
    pub size: [f32; 2],
    /// Dark theme.
    pub dark: bool,
    /// Pixels per point.
    pub scale: f32,
    /// The project; the demo when `None`.
    pub project: Option<Project>,
    /// A file to open at once.
    pub file: Option<PathBuf>,
    /// Answers of the file windows.
    pub answers: Vec<Answer>,
    /// Preferences.
    pub settings: Settings,
    /// Letters that no font here has are drawn as a box, as in the program; else they panic.
    pub any_letters: bool,
    /// Speaks the pseudo-language.
    pub pseudo: bool,
}

impl Default for Open {
    fn default() -> Self {
        Self {
            size: [1280.0, 800.0],
            dark: false,
            scale: 1.0,
            project: None,
            file: None,
            answers: Vec::new(),
            settings: Settings::default(),
            any_letters: false,
            pseudo: false,
        }
    }
}

/// Opens a window.
#[must_use]
pub fn window(open: Open) -> Harness<'static, App> {
    window_with(open, Worker::inline())
}

/// Opens a window with this worker.
#[must_use]
pub fn window_with(open: Open, worker: Worker) -> Harness<'static, App> {
    let theme = if open.dark { egui::Theme::Dark } else { egui::Theme::Light };
    let mut settings = open.settings;
    settings.theme = if open.dark {
        quern_project::settings::Theme::Dark
    } else {
        quern_project::settings::Theme::Light
    };
    let start = Start {
        document: Document::unsaved(open.project.unwrap_or_else(quern_project::demo)),
        open: open.file,
        settings,
        warnings: Vec::new(),
        windows: Box::new(ScriptedWindows::new(open.answers)),
        clock: Clock::Fixed(day()),
        worker: Some(worker),
        keep_settings: false,
        language: if open.pseudo { Language::Pseudo } else { Language::English },
    };
    let mut builder = Harness::builder();
    if open.any_letters {
        builder = builder.allow_missing_glyphs();
    }
    let mut harness = builder
        .with_size(open.size)
        .with_pixels_per_point(open.scale)
        .with_theme(theme)
        .with_max_steps(12)
        .with_render_cursor(false)
        .build_eframe(|cc| App::new(&cc.egui_ctx, start));
    harness.run_steps(3);
    harness
}

/// The demo window at the usual size.
#[must_use]
pub fn demo_window() -> Harness<'static, App> {
    window(Open::default())
}

//! Starting the window: logging, panic report, first project.

use std::path::PathBuf;

use anyhow::{Context as _, anyhow};
use quern_project::settings::{AtStart, Settings};

use crate::app::files::NativeWindows;
use crate::app::home::{Opening, opening};
use crate::app::{App, Clock, Document, Start};
use crate::timing;

/// The window's icon.
const ICON: &[u8] = include_bytes!("../../../assets/icons/quern-128.png");

/// Takes the user's own rules, if there are any; what is wrong with them, in words. The built-in
/// ones stand in for what cannot be used.
#[must_use]
pub fn own_rules() -> Vec<String> {
    // The folder is seldom there, and reading the built-in rules takes time.
    let Some(folder) = quern_project::folders::rules_folder().filter(|f| f.is_dir()) else {
        return Vec::new();
    };
    quern_project::rules::use_folder(&folder)
        .into_iter()
        .map(|problem| format!("Own rules: {problem}. The built-in ones are used instead"))
        .collect()
}

/// Opens the window and stays until it closes. `own_rules` is what was wrong with those.
///
/// # Errors
/// When no window can be opened, with words that name the headless commands.
pub fn window(file: Option<PathBuf>, own_rules: &[String]) -> anyhow::Result<()> {
    start_log();
    report_panics();
    read_ahead();
    let (settings, mut warnings) = Settings::load();
    warnings.extend(own_rules.iter().cloned());
    let mut options = eframe::NativeOptions { persist_window: false, ..Default::default() };
    options.viewport = egui::ViewportBuilder::default()
        .with_app_id("quern")
        .with_title("Quern")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([640.0, 400.0])
        .with_drag_and_drop(true);
    if let Some(place) = settings.window {
        let (width, height) = place.size;
        options.viewport =
            options.viewport.with_inner_size([width, height]).with_maximized(place.maximised);
        if let Some((x, y)) = place.at {
            options.viewport = options.viewport.with_position([x, y]);
        }
    }
    // Two kilobytes to decode; without it the window works all the same.
    if let Ok(icon) = eframe::icon_data::from_png_bytes(ICON) {
        options.viewport = options.viewport.with_icon(icon);
    }
    let wants_last = settings.at_start == AtStart::LastProject;
    let last = settings.last_project.clone().filter(|_| wants_last);
    let opening = opening(file, &settings, last.as_deref());
    // Whatever is opened next takes the place of an empty project.
    let project = match opening {
        Opening::Demo => quern_project::demo(),
        _ => quern_project::Project::blank(),
    };
    let start = Start {
        document: Document::unsaved(project),
        open: None,
        settings,
        warnings,
        windows: Box::new(NativeWindows::default()),
        clock: Clock::System,
        worker: None,
        keep_settings: true,
        language: crate::words::Language::English,
    };
    let result = eframe::run_native(
        "Quern",
        options,
        Box::new(move |cc| {
            let mut app = App::new(&cc.egui_ctx, start);
            app.begin(opening);
            if timing::is_wanted() {
                Ok(Box::new(timing::Timed::new(app)))
            } else {
                Ok(Box::new(app))
            }
        }),
    );
    result.map_err(|e| anyhow!("{e}")).context(
        "No window could be opened here. Without a display, use the commands that need none: \
         quern report, check, compare, grit, setting, label, sheet, demo (see quern --help)",
    )
}

/// Reads the rules, which the first frame needs, while the system makes the window.
fn read_ahead() {
    let read = || {
        let _ = quern_project::rules::in_use();
    };
    if let Err(error) = std::thread::Builder::new().name("quern-ahead".to_owned()).spawn(read) {
        log::warn!("the rules are read when they are needed: {error}");
    }
}

/// Log lines go to a file in the user's state folder, and warnings to standard error.
fn start_log() {
    let level =
        if cfg!(debug_assertions) { log::LevelFilter::Info } else { log::LevelFilter::Warn };
    let mut builder = env_logger::Builder::new();
    builder.filter_level(log::LevelFilter::Warn).filter_module("quern", level);
    if let Some(file) = quern_project::open_log() {
        builder.target(env_logger::Target::Pipe(Box::new(file)));
    }
    // A second logger in one process is no reason to stop.
    let _ = builder.try_init();
}

/// A panic leaves a report, and says where.
fn report_panics() {
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        let trace = std::backtrace::Backtrace::force_capture();
        let text = format!(
            "Quern {} stopped unexpectedly.\n{info}\n\n{trace}\n",
            env!("CARGO_PKG_VERSION")
        );
        match quern_project::folders::write_panic_report(&text) {
            Ok(path) => eprintln!("Quern stopped unexpectedly. A report is in {}", path.display()),
            Err(error) => {
                eprintln!("Quern stopped unexpectedly, and no report could be written: {error}")
            }
        }
        before(info);
    }));
}

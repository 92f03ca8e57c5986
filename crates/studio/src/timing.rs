//! Measuring how a window starts and rests, for `scripts/budgets`: with `QUERN_TIMING=1` the
//! window says on standard error when its first frame was shown, how often it was drawn in ten
//! seconds without input and how much memory it holds, and closes.

use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, OnceLock};
use std::time::{Duration, Instant};

/// What happens after the first frame is given this long to come to rest.
const SETTLE: Duration = Duration::from_secs(4);
/// How long the rest is watched.
const WATCHED: Duration = Duration::from_secs(10);

static BEGAN: OnceLock<Instant> = OnceLock::new();

/// Notes that the program begins; the first call counts.
pub fn begin() {
    BEGAN.get_or_init(Instant::now);
}

/// True when the window is to be measured.
#[must_use]
pub fn is_wanted() -> bool {
    std::env::var_os("QUERN_TIMING").is_some_and(|v| v == "1")
}

/// An app that is measured while it runs.
pub struct Timed<A> {
    app: A,
    frames: Arc<AtomicU64>,
}

impl<A> Timed<A> {
    /// Measures this app.
    #[must_use]
    pub fn new(app: A) -> Self {
        begin();
        Self { app, frames: Arc::default() }
    }

    /// Notes a frame. The first is on screen when the second begins, so one is asked for.
    fn note(&self, ctx: &egui::Context) {
        match self.frames.fetch_add(1, Ordering::Relaxed) {
            0 => ctx.request_repaint(),
            1 => {
                let took = BEGAN.get().map_or(Duration::ZERO, Instant::elapsed);
                eprintln!("first frame after {:.1} ms", took.as_secs_f64() * 1e3);
                if let Some(ms) = processor_ms() {
                    eprintln!("processor {ms:.1} ms of them");
                }
                watch(ctx.clone(), Arc::clone(&self.frames));
            }
            _ => {}
        }
    }
}

/// Tells how often the window is drawn at rest and what it holds, then closes it.
fn watch(ctx: egui::Context, frames: Arc<AtomicU64>) {
    let watcher = move || {
        std::thread::sleep(SETTLE);
        let before = frames.load(Ordering::Relaxed);
        std::thread::sleep(WATCHED);
        let drawn = frames.load(Ordering::Relaxed).saturating_sub(before);
        eprintln!("drawn {drawn} times in {} s at rest", WATCHED.as_secs());
        for line in memory() {
            eprintln!("{line}");
        }
        ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        ctx.request_repaint();
    };
    if let Err(error) = std::thread::Builder::new().name("quern-timing".to_owned()).spawn(watcher) {
        eprintln!("the window cannot be watched: {error}");
    }
}

/// Processor time of this thread so far, where the system says so in a file. Unlike the clock it
/// hardly depends on what else runs.
fn processor_ms() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(text.split_whitespace().next()?.parse::<f64>().ok()? / 1e6)
}

/// What the system says of this process's memory, where it says so in a file.
fn memory() -> Vec<String> {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let wanted = ["VmHWM", "VmRSS", "RssAnon", "RssFile"];
    let is_wanted = |line: &&str| wanted.iter().any(|w| line.starts_with(w));
    status.lines().filter(is_wanted).map(|l| l.replace('\t', " ")).collect()
}

impl<A: eframe::App> eframe::App for Timed<A> {
    fn ui(&mut self, ui: &mut egui::Ui, frame: &mut eframe::Frame) {
        self.note(ui.ctx());
        self.app.ui(ui, frame);
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        self.app.clear_color(visuals)
    }

    fn persist_egui_memory(&self) -> bool {
        self.app.persist_egui_memory()
    }
}

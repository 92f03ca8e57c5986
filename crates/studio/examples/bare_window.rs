//! An empty window as large as the studio's: the yardstick for its first frame and its memory.
//! `scripts/budgets` starts both in turns, with `QUERN_TIMING=1`.

use quern_studio::timing::{Timed, begin};

struct Bare;

impl eframe::App for Bare {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        ui.label("bare");
    }
}

fn main() -> eframe::Result {
    begin();
    let mut options = eframe::NativeOptions { persist_window: false, ..Default::default() };
    options.viewport = egui::ViewportBuilder::default().with_inner_size([1280.0, 800.0]);
    eframe::run_native("bare", options, Box::new(|_cc| Ok(Box::new(Timed::new(Bare)))))
}

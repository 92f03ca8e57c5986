//! An empty window: the yardstick for first frame and memory of the studio. It closes itself
//! after three seconds, and the studio is measured beside it with `/usr/bin/time -v`.

fn main() -> eframe::Result {
    let start = std::time::Instant::now();
    let mut told = false;
    eframe::run_ui_native("bare", eframe::NativeOptions::default(), move |ui, _frame| {
        ui.label("bare");
        if !told {
            told = true;
            eprintln!("first frame after {} ms", start.elapsed().as_millis());
        }
        if start.elapsed().as_secs() >= 3 {
            ui.ctx().send_viewport_cmd(egui::ViewportCommand::Close);
        }
        ui.ctx().request_repaint_after(std::time::Duration::from_millis(500));
    })
}

//! One picture of each view, light and dark, drawn by the software renderer. Renew them with
//! `UPDATE_SNAPSHOTS=1`.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use egui_kittest::{SnapshotOptions, SnapshotResults};
use quern_tests::{Open, window};

// One test, so that the renderer starts once for each picture at most.
#[test]
fn pictures_of_each_view() {
    let mut results = SnapshotResults::new();
    // Renderers differ in the last bits of edges; a moved separator is many more pixels.
    let options = SnapshotOptions::new()
        .threshold(1.0)
        .max_failed_pixels(40)
        .output_path("pictures/snapshots");
    for (theme, dark) in [("light", false), ("dark", true)] {
        let mut h = window(Open { dark, ..Open::default() });
        results.add(h.try_snapshot_options(format!("formula-{theme}"), &options));
        h.key_press_modifiers(Modifiers::COMMAND, Key::Num2);
        h.run_steps(4);
        results.add(h.try_snapshot_options(format!("compare-{theme}"), &options));
        h.key_press_modifiers(Modifiers::COMMAND, Key::Num3);
        h.run_steps(6);
        h.get_by_label("Beside").click();
        h.run_steps(3);
        h.get_by_label("Shingle").click();
        h.run_steps(3);
        h.key_press(Key::Escape);
        h.run_steps(8);
        results.add(h.try_snapshot_options(format!("grit-{theme}"), &options));
        h.key_press_modifiers(Modifiers::COMMAND, Key::Num4);
        h.run_steps(8);
        results.add(h.try_snapshot_options(format!("setting-{theme}"), &options));
        h.key_press_modifiers(Modifiers::COMMAND, Key::Num5);
        h.run_steps(6);
        results.add(h.try_snapshot_options(format!("findings-{theme}"), &options));
        h.get_by_label("Preservation").click();
        h.run_steps(6);
        results.add(h.try_snapshot_options(format!("preservation-{theme}"), &options));
        h.key_press_modifiers(Modifiers::COMMAND, Key::Num6);
        h.run_steps(6);
        results.add(h.try_snapshot_options(format!("label-{theme}"), &options));
    }
    let mut h = window(Open { size: [640.0, 400.0], scale: 2.0, ..Open::default() });
    results.add(h.try_snapshot_options("formula-small-200-percent", &options));
    h.get_by_label("Menu").click();
    h.run_steps(4);
    results.add(h.try_snapshot_options("menu-small-200-percent", &options));
}

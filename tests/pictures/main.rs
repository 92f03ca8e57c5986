//! One picture of each view, light and dark, drawn by one named renderer: Mesa's software
//! rasteriser over Vulkan. Renderers differ in the last bits of every edge, so on another one the
//! pictures are not compared, and the test says why. Where `QUERN_PICTURES=must` is set, as in
//! `scripts/test` with that driver there, it fails instead. Renew them with `UPDATE_SNAPSHOTS=1`.

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
use quern_project::settings::Settings;
use quern_tests::{Open, window};

/// Begins the name of the renderer that made the pictures.
const RENDERER: &str = "llvmpipe";

/// Why the pictures cannot be compared here, if they cannot.
fn other_renderer() -> Option<String> {
    // It panics where there is none at all.
    let made = std::panic::catch_unwind(|| {
        egui_kittest::wgpu::create_render_state(
            egui_kittest::wgpu::default_wgpu_setup(),
            eframe::egui_wgpu::RendererOptions::PREDICTABLE,
        )
        .adapter
        .get_info()
    });
    let Ok(info) = made else {
        return Some(format!("no renderer was found; the pictures were made with {RENDERER}"));
    };
    println!("pictures are drawn by {} ({:?}, {})", info.name, info.backend, info.driver_info);
    (!info.name.starts_with(RENDERER))
        .then(|| format!("{} draws here; the pictures were made with {RENDERER}", info.name))
}

// One test, so that the renderer starts once for each picture at most.
#[test]
fn pictures_of_each_view() {
    if let Some(why) = other_renderer() {
        let must = std::env::var("QUERN_PICTURES").is_ok_and(|v| v == "must");
        assert!(!must, "the pictures must be compared, but {why}");
        println!("pictures skipped: {why}");
        return;
    }
    let mut results = SnapshotResults::new();
    // Runs on one machine agree in every bit; what is left is room for the last bit of a colour on
    // a processor with wider or narrower vectors, and no pixel may differ by more.
    let options = SnapshotOptions::new()
        .threshold(0.1)
        .max_failed_pixels(0)
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
        h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::O);
        h.run_steps(8);
        results.add(h.try_snapshot_options(format!("home-{theme}"), &options));
        h.key_press_modifiers(Modifiers::SHIFT, Key::F1);
        h.run_steps(6);
        results.add(h.try_snapshot_options(format!("guide-{theme}"), &options));
    }
    // High contrast, with a range of cells and a search in the table.
    let settings = Settings { high_contrast: true, ..Settings::default() };
    let mut h = window(Open { settings, ..Open::default() });
    h.get_by_label("White kaolin, percent").focus();
    h.run_steps(3);
    for key in [Key::ArrowDown, Key::ArrowDown, Key::ArrowRight] {
        h.key_press_modifiers(Modifiers::SHIFT, key);
        h.run_steps(3);
    }
    results.add(h.try_snapshot_options("range-high-contrast", &options));
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run_steps(6);
    results.add(h.try_snapshot_options("search-high-contrast", &options));
    let mut h = window(Open { size: [640.0, 400.0], scale: 2.0, ..Open::default() });
    results.add(h.try_snapshot_options("formula-small-200-percent", &options));
    h.get_by_label("Menu").click();
    h.run_steps(4);
    results.add(h.try_snapshot_options("menu-small-200-percent", &options));
}

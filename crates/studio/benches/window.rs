//! Frame time of each view, beside a window of 400 labels of the same size.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use std::sync::Arc;

use divan::Bencher;
use egui::{Context, RawInput, Rect, pos2, vec2};
use quern_calc::formula::Amount;
use quern_calc::quantity::Date;
use quern_project::Project;
use quern_project::settings::Settings;
use quern_studio::app::action::Action;
use quern_studio::app::files::ScriptedWindows;
use quern_studio::app::setting::SettingAction;
use quern_studio::app::state::View;
use quern_studio::app::{App, Clock, Document, Start, Worker};
use rust_decimal::Decimal;

fn main() {
    divan::main();
}

fn day() -> Date {
    Date::new(2026, 11, 25).unwrap_or(Date::Y2K)
}

fn project_of(n: usize) -> Project {
    let mut project = quern_project::demo();
    let mut formula = (*project.formulas[0]).clone();
    let items: Vec<_> = formula.lines().map(|(_, l)| l.item.clone()).collect();
    let phase = formula.phases[0].id;
    for i in formula.lines().count()..n {
        let line = formula.add_line(phase, items[i % items.len()].clone(), None).unwrap();
        formula.set_amount(line, Some(Amount::percent(Decimal::new(1, 2)))).unwrap();
    }
    project.formulas[0] = Arc::new(formula);
    project
}

fn input(time: f64) -> RawInput {
    RawInput {
        screen_rect: Some(Rect::from_min_size(pos2(0.0, 0.0), vec2(1280.0, 800.0))),
        time: Some(time),
        ..RawInput::default()
    }
}

fn frame(ctx: &Context, time: &mut f64, mut draw: impl FnMut(&mut egui::Ui)) -> usize {
    *time += 0.016;
    let mut output = ctx.run_ui(input(*time), |ui| draw(ui));
    let pixels = output.pixels_per_point;
    let shapes = ctx.tessellate(std::mem::take(&mut output.shapes), pixels);
    output.drop_without_applying_deltas();
    shapes.len()
}

/// A window on the demo with so many lines in its first formula, its jobs run at once.
fn open(n: usize) -> (Context, App) {
    open_with(n, |_| Worker::inline())
}

fn open_with(n: usize, worker: impl Fn(&Context) -> Worker) -> (Context, App) {
    let ctx = Context::default();
    ctx.enable_accesskit();
    let start = Start {
        document: Document::unsaved(project_of(n)),
        open: None,
        settings: Settings::default(),
        warnings: Vec::new(),
        windows: Box::new(ScriptedWindows::default()),
        clock: Clock::Fixed(day()),
        worker: Some(worker(&ctx)),
        keep_settings: false,
        language: quern_studio::words::Language::English,
    };
    let app = App::new(&ctx, start);
    (ctx, app)
}

fn key(key: egui::Key) -> egui::Event {
    egui::Event::Key {
        key,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: egui::Modifiers::COMMAND,
    }
}

/// A view of the demo, drawn until its jobs are done.
fn view(key_of_view: egui::Key, wanted: View) -> (Context, App, f64) {
    view_of(open(14), key_of_view, wanted)
}

fn view_of(
    (ctx, mut app): (Context, App),
    key_of_view: egui::Key,
    wanted: View,
) -> (Context, App, f64) {
    let mut time = 0.0;
    let mut first = input(0.016);
    first.events.push(key(key_of_view));
    let mut output = ctx.run_ui(first, |ui| app.frame(ui));
    output.shapes.clear();
    output.drop_without_applying_deltas();
    assert_eq!(app.state().view, wanted);
    for _ in 0..5 {
        frame(&ctx, &mut time, |ui| app.frame(ui));
    }
    (ctx, app, time)
}

/// The Grit view with its search and map done.
#[divan::bench]
fn grit_view(bencher: Bencher<'_, '_>) {
    let (ctx, mut app, mut time) = view(egui::Key::Num3, View::Grit);
    bencher.bench_local(|| frame(&ctx, &mut time, |ui| app.frame(ui)));
}

/// The Findings view at rest, its list of findings in front.
#[divan::bench]
fn findings_view(bencher: Bencher<'_, '_>) {
    let (ctx, mut app, mut time) = view(egui::Key::Num5, View::Findings);
    bencher.bench_local(|| frame(&ctx, &mut time, |ui| app.frame(ui)));
}

/// The Label view at rest.
#[divan::bench]
fn label_view(bencher: Bencher<'_, '_>) {
    let (ctx, mut app, mut time) = view(egui::Key::Num6, View::Label);
    bencher.bench_local(|| frame(&ctx, &mut time, |ui| app.frame(ui)));
}

/// The Setting view at rest.
#[divan::bench]
fn setting_view(bencher: Bencher<'_, '_>) {
    let (ctx, mut app, mut time) = view(egui::Key::Num4, View::Setting);
    bencher.bench_local(|| frame(&ctx, &mut time, |ui| app.frame(ui)));
}

/// The Setting view while a fat's slider is dragged: each frame has another amount, and the slab
/// is worked out on the worker's own thread, as in the program.
#[divan::bench]
fn setting_view_dragged(bencher: Bencher<'_, '_>) {
    let opened = open_with(14, Worker::threaded);
    let (ctx, mut app, mut time) = view_of(opened, egui::Key::Num4, View::Setting);
    let line = app.here().and_then(|h| h.evaluation.lines.get(5).map(|l| l.line)).unwrap();
    let mut place = 0.0;
    bencher.bench_local(|| {
        place = if place > 20.0 { 0.0 } else { place + 0.1 };
        let percent = quern_calc::evaluate::slider_percent(place);
        app.carry_out(&ctx, Action::Setting(SettingAction::Amount(line, percent)));
        frame(&ctx, &mut time, |ui| app.frame(ui));
    });
}

#[divan::bench(args = [14, 30, 200])]
fn formula_view(bencher: Bencher<'_, '_>, n: usize) {
    let (ctx, mut app) = open(n);
    let mut time = 0.0;
    for _ in 0..5 {
        frame(&ctx, &mut time, |ui| app.frame(ui));
    }
    bencher.bench_local(|| frame(&ctx, &mut time, |ui| app.frame(ui)));
}

/// Yardstick: 400 labels, the same run.
#[divan::bench]
fn yardstick_400_labels(bencher: Bencher<'_, '_>) {
    let ctx = Context::default();
    quern_studio::look::fonts::install(&ctx, false);
    let mut time = 0.0;
    let mut draw = |ui: &mut egui::Ui| {
        egui::Grid::new("grid").num_columns(10).show(ui, |ui| {
            for row in 0..40 {
                for column in 0..10 {
                    ui.label(format!("{row}.{column}"));
                }
                ui.end_row();
            }
        });
    };
    frame(&ctx, &mut time, &mut draw);
    bencher.bench_local(|| frame(&ctx, &mut time, &mut draw));
}

/// The bench sheet of the demo's first bar, warm.
#[divan::bench]
fn pdf_of_the_bench_sheet(bencher: Bencher<'_, '_>) {
    let project = quern_project::demo();
    let (library, formula) = (project.library(), project.formulas[0].clone());
    let plan = project.plan(&formula.id);
    let context = quern_calc::evaluate::Context::on(day());
    let rules = quern_project::rules::builtin_rules();
    let e = quern_calc::evaluate::evaluate(&formula, &library, rules, &plan, &context);
    let about =
        quern_studio::app::about(&project, day(), Default::default(), quern_sheet::Paper::A4);
    let mut plan = plan;
    let mut n = 0_u32;
    bencher.bench_local(|| {
        // Another code each time, so that nothing is taken from a cache of the same page.
        n += 1;
        plan.code = format!("DU-{n}");
        let sheet = quern_sheet::BenchSheet::new(&formula, &e, &library, &plan, &about);
        quern_sheet::export(&sheet, quern_sheet::Format::Pdf).unwrap()
    });
}

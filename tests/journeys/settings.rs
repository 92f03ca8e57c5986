//! Settings and that they survive; notices; errors beside their field; long work.

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use quern_calc::number::{CurrencyPlace, DateOrder, MassUnit};
use quern_project::settings::{AtStart, Motion, Paper, Settings, WindowPlace};
use quern_studio::app::action::Action;
use quern_studio::app::notices::Tone;
use quern_studio::app::state::Dialog;
use quern_studio::app::{App, Release, Worker};
use quern_tests::{Open, demo_window, window};

use crate::{command, enter, keys, percent, press, said};

/// Opens the settings by their shortcut.
fn settings(h: &mut Harness<'_, App>) {
    keys(h, Modifiers::COMMAND, Key::Comma);
    assert!(h.query_by_label("Theme: dark").is_some(), "the settings are open");
}

#[track_caller]
fn value(h: &Harness<'_, App>, field: &str) -> String {
    h.get_by_label(field).value().unwrap_or_default()
}

#[test]
fn each_look_setting_takes_effect_at_once() {
    let mut h = demo_window();
    settings(&mut h);
    press(&mut h, "Theme: dark");
    assert_eq!(h.ctx.theme(), egui::Theme::Dark);
    press(&mut h, "Contrast: high");
    assert!(h.state().settings().high_contrast);
    press(&mut h, "Motion: reduced");
    assert_eq!(h.ctx.global_style().animation_time.to_string(), "0");
    press(&mut h, "Motion: full");
    assert!(h.ctx.global_style().animation_time > 0.0);
    press(&mut h, "Typeface: reading");
    assert!(h.state().settings().reading_font);
    press(&mut h, "Zoom: 100 %");
    press(&mut h, "150 %");
    assert_eq!(h.ctx.zoom_factor().to_string(), "1.5");
    h.key_press(Key::Escape);
    h.run_steps(3);
    assert!(h.state().state().dialogs.is_empty());
}

#[test]
fn the_theme_follows_the_system_while_the_window_is_open() {
    let mut h = demo_window();
    settings(&mut h);
    press(&mut h, "Theme: as the system");
    for theme in [egui::Theme::Dark, egui::Theme::Light, egui::Theme::Dark] {
        h.input_mut().system_theme = Some(theme);
        h.run_steps(2);
        assert_eq!(h.ctx.theme(), theme);
    }
    // A theme of one's own stays.
    press(&mut h, "Theme: light");
    h.input_mut().system_theme = Some(egui::Theme::Dark);
    h.run_steps(2);
    assert_eq!(h.ctx.theme(), egui::Theme::Light);
}

#[test]
fn figures_follow_the_settings_and_nothing_stored_changes() {
    let mut h = demo_window();
    enter(&mut h, "Batch size, gross, grams", "1 kg");
    let before = h.state().document().revision();
    settings(&mut h);
    press(&mut h, "Decimal sign: comma, 12,5");
    press(&mut h, "Decimals of per cent: 4");
    press(&mut h, "Masses: ounces");
    press(&mut h, "Close");
    assert_eq!(value(&h, "White kaolin, percent"), "9,0000");
    // NIST Handbook 44, Appendix C: 1 oz avdp = 28.349 523 125 g, so 1000 g are 35.274 oz.
    assert_eq!(value(&h, "Batch size, gross, ounces"), "35,2740 oz");
    // Going through a field leaves what it holds.
    h.get_by_label("Batch size, gross, ounces").focus();
    h.run_steps(3);
    h.key_press(Key::Tab);
    h.run_steps(3);
    assert_eq!(h.state().document().revision(), before, "nothing was changed");
    // A bare number is in the unit shown, another unit is taken as it is.
    enter(&mut h, "Batch size, gross, ounces", "40");
    let gross = h.state_mut().here().unwrap().evaluation.batch.as_ref().unwrap().gross;
    assert_eq!(gross.0.normalize().to_string(), "1133.980925");
    enter(&mut h, "Batch size, gross, ounces", "1,5 kg");
    let gross = h.state_mut().here().unwrap().evaluation.batch.as_ref().unwrap().gross;
    assert_eq!(gross.0.normalize().to_string(), "1500");
}

#[test]
fn dates_are_shown_and_read_in_the_chosen_order() {
    let mut h = demo_window();
    h.get_by_label("Label").click();
    h.run_steps(4);
    let made = |h: &mut Harness<'_, App>| {
        let project = h.state().document().project();
        let formula = project.formula(&h.state().state().formula).unwrap();
        formula.label.made.map(|d| d.to_string())
    };
    // Under the ISO order 03/04 could be either; it is asked about, and nothing is taken.
    let held = made(&mut h);
    enter(&mut h, "Made on", "03/04/2026");
    assert!(said(&h).contains("two meanings"), "{}", said(&h));
    assert_eq!(made(&mut h), held);
    enter(&mut h, "Made on", "2026-04-03");
    assert_eq!(made(&mut h).as_deref(), Some("2026-04-03"));
    settings(&mut h);
    press(&mut h, "Dates: 25/11/2026");
    press(&mut h, "Close");
    assert_eq!(value(&h, "Made on"), "03/04/2026");
    enter(&mut h, "Made on", "05/04/2026");
    assert_eq!(made(&mut h).as_deref(), Some("2026-04-05"));
    settings(&mut h);
    press(&mut h, "Dates: 11/25/2026");
    press(&mut h, "Close");
    assert_eq!(value(&h, "Made on"), "04/05/2026");
    enter(&mut h, "Made on", "2026-12-01");
    assert_eq!(value(&h, "Made on"), "12/01/2026");
}

#[test]
fn the_currency_stands_where_it_is_wanted() {
    let mut h = demo_window();
    let currency = h.state().document().project().currency.clone();
    assert!(!currency.is_empty());
    let shown = |h: &Harness<'_, App>, text: &dyn Fn(&str) -> bool| {
        h.root().children_recursive().any(|n| {
            let node = n.accesskit_node();
            node.value().or_else(|| node.label()).is_some_and(|v| text(&v))
        })
    };
    let (before, after) = (format!("{currency} "), format!(" {currency}"));
    assert!(shown(&h, &|t| t.ends_with(&after) && t.len() < 14), "the cost is shown");
    settings(&mut h);
    let at = format!("Currency sign: {before}12.50");
    press(&mut h, &at);
    press(&mut h, "Close");
    assert!(shown(&h, &|t| t.starts_with(&before) && t.len() < 14), "before the number now");
}

#[test]
fn settings_are_kept_and_come_back() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("mine.ron");
    quern_project::save(&file, &quern_project::demo(), None).unwrap();
    let mut h = window(Open { file: Some(file.clone()), ..Open::default() });
    h.state_mut().keep_settings_in(folder.path().to_path_buf());
    settings(&mut h);
    for choice in [
        "Contrast: high",
        "Motion: reduced",
        "Dates: 25.11.2026",
        "Masses: pounds",
        "Paper: US Letter",
        "At the start: last project",
    ] {
        press(&mut h, choice);
    }
    let currency = h.state().document().project().currency.clone();
    press(&mut h, &format!("Currency sign: {currency} 12.50"));
    press(&mut h, "Close");
    enter(&mut h, "White kaolin, percent", "9.5");
    keys(&mut h, Modifiers::COMMAND, Key::S);
    // Another view, and the window elsewhere; both are written a few seconds later.
    keys(&mut h, Modifiers::COMMAND, Key::Num3);
    let place = egui::Rect::from_min_size(egui::pos2(40.0, 60.0), egui::vec2(1100.0, 700.0));
    let info = h.input_mut().viewports.entry(egui::ViewportId::ROOT).or_default();
    (info.inner_rect, info.outer_rect) = (Some(place), Some(place));
    h.run_steps(20);
    let (kept, warnings) = Settings::load_from(folder.path());
    assert!(warnings.is_empty(), "{warnings:?}");
    assert!(kept.high_contrast);
    assert_eq!(kept.motion, Motion::Reduced);
    assert_eq!(kept.date_order, DateOrder::DayDots);
    assert_eq!(kept.mass_unit, MassUnit::Pound);
    assert_eq!(kept.currency_place, CurrencyPlace::Before);
    assert_eq!(kept.paper, Paper::Letter);
    assert_eq!(kept.at_start, AtStart::LastProject);
    assert_eq!(kept.last_view.as_deref(), Some("grit"));
    let expected = WindowPlace { at: Some((40.0, 60.0)), size: (1100.0, 700.0), maximised: false };
    assert_eq!(kept.window, Some(expected));
    assert_eq!(kept.last_project.as_deref(), Some(file.as_path()));

    // The next start: the same project in the same view, without naming the file.
    let mut h = window(Open { settings: kept.clone(), ..Open::default() });
    h.run_steps(4);
    assert_eq!(h.state().document().path.as_deref(), Some(file.as_path()));
    assert_eq!(h.state().state().view, quern_studio::app::state::View::Grit);
    assert_eq!(percent(&mut h, "White kaolin"), "9.5");
    assert_eq!(h.ctx.global_style().animation_time.to_string(), "0");

    // A file that is gone is told, and is not asked for again.
    std::fs::remove_file(&file).unwrap();
    let mut h = window(Open { settings: kept, ..Open::default() });
    h.run_steps(4);
    assert!(said(&h).contains("mine.ron"), "{}", said(&h));
    assert_eq!(h.state().settings().last_project, None);
    assert_eq!(h.state().document().project().formulas[0].name, "Dune");
}

#[test]
fn a_start_with_a_damaged_file_says_what_it_left_out() {
    let text = "(theme: \"dark\", zoom: 99, mass_unit: \"stone\", last_view: \"attic\")";
    let (settings, warnings) = Settings::read(text);
    assert_eq!(warnings.len(), 2, "{warnings:?}");
    let h = window(Open { settings, ..Open::default() });
    assert_eq!(h.state().state().view, quern_studio::app::state::View::Formula);
}

#[test]
fn redo_has_two_shortcuts() {
    for (modifiers, key) in
        [(Modifiers::COMMAND, Key::Y), (Modifiers::COMMAND | Modifiers::SHIFT, Key::Z)]
    {
        let mut h = demo_window();
        enter(&mut h, "White kaolin, percent", "9.5");
        keys(&mut h, Modifiers::COMMAND, Key::Z);
        assert_eq!(percent(&mut h, "White kaolin"), "9");
        keys(&mut h, modifiers, key);
        assert_eq!(percent(&mut h, "White kaolin"), "9.5", "{key:?}");
    }
}

/// Says something as the program would.
fn say(h: &mut Harness<'_, App>, tone: Tone, text: &str) {
    let ctx = h.ctx.clone();
    h.state_mut().carry_out(&ctx, Action::Say(tone, text.to_owned()));
    h.run_steps(2);
}

/// Where the notices are on screen.
fn notice_rect(h: &Harness<'_, App>) -> egui::Rect {
    let area = egui::Id::unique("notices-on-screen");
    h.ctx.memory(|m| m.area_rect(area)).expect("a notice is on screen")
}

fn put_away(text: &str) -> String {
    format!("Put away: {text}")
}

#[test]
fn an_error_stays_until_put_away_and_the_rest_goes() {
    let mut h = demo_window();
    say(&mut h, Tone::Error, "No such file");
    say(&mut h, Tone::Info, "Just so you know");
    assert!(h.query_by_label("Notices, 2 new").is_some());
    assert!(h.query_by_role(Role::Alert).is_some(), "it is announced");
    let alert = notice_rect(&h);
    assert!(alert.bottom() <= 700.0 - 8.0, "above the batch bar: {alert:?}");
    h.run_steps(30);
    assert!(h.query_by_label(&put_away("No such file")).is_some(), "an error stays");
    assert!(h.query_by_label(&put_away("Just so you know")).is_none(), "the rest goes");
    press(&mut h, &put_away("No such file"));
    assert!(h.query_by_role(Role::Alert).is_none());
    // Both are in the list, and reading it makes them known.
    press(&mut h, "Notices, 1 new");
    assert!(h.query_all_by_label_contains("No such file").next().is_some());
    assert!(h.query_all_by_label_contains("Just so you know").next().is_some());
    press(&mut h, "Close");
    assert!(h.query_by_label("Notices").is_some());
    h.run();
}

#[test]
fn the_list_has_details_to_open_copy_and_clear() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("cut.ron");
    std::fs::write(&path, "// Quern project, format 1\n(format: 1, project: (").unwrap();
    let mut h = window(Open { file: Some(path.clone()), ..Open::default() });
    h.run_steps(3);
    press(&mut h, "Notices, 1 new");
    press(&mut h, "Details of notice 1");
    let text = path.display().to_string();
    assert!(h.query_by_label(&text).is_some(), "the path is shown");
    h.get_by_label("Copy notice 1").click();
    h.step();
    let copied = h
        .output()
        .platform_output
        .commands
        .iter()
        .any(|c| matches!(c, egui::OutputCommand::CopyText(t) if t.contains(&text)));
    assert!(copied, "the notice is on the clipboard");
    h.run_steps(2);
    press(&mut h, "Clear the list");
    assert!(h.query_by_label("Nothing was said yet").is_some());
}

#[test]
fn a_notice_does_not_lie_over_what_is_in_use() {
    for (size, scale) in [([640.0, 400.0], 1.0), ([640.0, 400.0], 2.0), ([1280.0, 800.0], 1.0)] {
        let mut h = window(Open { size, scale, ..Open::default() });
        let lines = h.state_mut().here().unwrap().evaluation.lines.clone();
        for line in lines.iter().take(12) {
            let name = format!("{}, percent", line.name);
            let Some(field) = h.query_by_label(&name) else { continue };
            field.focus();
            h.run_steps(3);
            say(
                &mut h,
                Tone::Error,
                "The file could not be written: the disk is full; free some room",
            );
            h.run_steps(3);
            let alert = notice_rect(&h);
            let field = h.get_by_label(&name).rect();
            assert!(!alert.intersects(field), "{size:?} {name}: {alert:?} over {field:?}");
            let away = put_away("The file could not be written: the disk is full; free some room");
            h.get_by_label(&away).click();
            h.run_steps(2);
        }
    }
}

#[test]
fn a_dialog_is_not_answered_by_what_was_under_way() {
    let mut h = demo_window();
    enter(&mut h, "White kaolin, percent", "9.5");
    let ctx = h.ctx.clone();
    // The dialog opens in the next frame, and the answer comes in the same one.
    h.state_mut().carry_out(&ctx, Action::Run(quern_studio::app::commands::Command::NewProject));
    h.key_press(Key::Enter);
    h.step();
    assert!(matches!(h.state().state().top(), Some(Dialog::Unsaved(_))), "still asked");
    assert_eq!(percent(&mut h, "White kaolin"), "9.5", "nothing is lost");
    h.run_steps(4);
    press(&mut h, "Go back");
    // Later the same button does what it says.
    keys(&mut h, Modifiers::COMMAND, Key::N);
    press(&mut h, "Lose the changes");
    assert_eq!(h.state().document().project().formulas[0].name, "New formula");
}

/// Types into a field of a dialog.
fn fill(h: &mut Harness<'_, App>, field: &str, text: &str) {
    h.get_by_label(field).focus();
    h.run_steps(2);
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run_steps(1);
    h.get_by_label(field).type_text(text);
    h.run_steps(2);
}

#[test]
fn what_is_wrong_stands_under_its_field_and_the_field_has_the_focus() {
    let mut h = demo_window();
    for (open, field, text, does, words) in [
        ("batch and scales", "Pot holds", "lots", "Apply", "What the pot holds"),
        ("batch and scales", "Scale 1, readability", "0", "Apply", "readability of scale 1"),
        ("batch and scales", "Piece weight", "-3", "Apply", "piece weight"),
        ("formula details", "Version", "x", "Apply", "whole number from 1"),
        ("formula details", "Date of pH", "31.2.2026", "Apply", "calendar"),
        ("formula details", "pH", "15", "Apply", "from 0 to 14"),
        ("phase details", "Name", " ", "Apply", "needs a name"),
        ("moulds", "Name", " ", "Add", "a name"),
        ("add a measurement", "Temperature, °C", "hot", "Add", "Temperature:"),
    ] {
        command(&mut h, open);
        fill(&mut h, field, text);
        press(&mut h, does);
        let at = h.get_by_label(field);
        assert!(at.is_focused(), "{open}: {field} has the focus");
        let at = at.rect();
        let said = h.get_by_label_contains(words).rect();
        assert!(
            said.top() >= at.bottom() - 2.0 && said.top() < at.bottom() + 40.0,
            "{open}: “{words}” at {said:?} under {field} at {at:?}"
        );
        h.key_press(Key::Escape);
        h.run_steps(3);
        h.key_press(Key::Escape);
        h.run_steps(3);
        assert!(h.state().state().dialogs.is_empty(), "{open}");
    }
}

/// A window whose jobs wait until they are released.
fn slow_window() -> (Harness<'static, App>, Release) {
    let (worker, release) = Worker::holding();
    (quern_tests::window_with(Open::default(), worker), release)
}

#[test]
fn long_work_is_told_and_can_be_cancelled() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sheet.html");
    let (mut h, release) = slow_window();
    let ctx = h.ctx.clone();
    h.state_mut().carry_out(&ctx, Action::WriteSheet(path.clone()));
    h.step();
    assert!(h.query_by_label("Writing the bench sheet").is_none(), "not told at once");
    h.run_steps(3);
    assert!(h.query_by_label("Writing the bench sheet").is_some());
    press(&mut h, "Cancel: Writing the bench sheet");
    assert!(h.query_by_label("Writing the bench sheet").is_none());
    assert!(release.one());
    h.run_steps(3);
    assert!(said(&h).starts_with("Cancelled"), "{}", said(&h));
    assert!(!path.exists(), "nothing was written");
    h.run();
    // The same let finish.
    h.state_mut().carry_out(&ctx, Action::WriteSheet(path.clone()));
    h.run_steps(3);
    assert!(release.one());
    h.run_steps(3);
    assert!(path.exists(), "{}", said(&h));
    h.run();
}

#[test]
fn a_search_that_takes_long_can_be_cancelled_and_is_not_begun_again() {
    let (mut h, release) = slow_window();
    keys(&mut h, Modifiers::COMMAND, Key::Num3);
    h.run_steps(3);
    let mut cancelled = 0;
    let cancel = |h: &Harness<'_, App>| {
        let button = h.query_all_by_label_contains("Cancel: ").next();
        button.map(|b| b.click()).is_some()
    };
    while cancel(&h) {
        h.run_steps(4);
        cancelled += 1;
        assert!(cancelled < 20, "it is begun again and again");
    }
    assert!(cancelled >= 2, "search and map");
    while release.one() {
        h.run_steps(2);
    }
    h.run_steps(6);
    assert!(h.query_all_by_label_contains("Cancel: ").next().is_none(), "and stays so");
    h.run();
}

#[test]
fn a_save_cannot_be_cancelled_half_way() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine.ron");
    let (mut h, release) = slow_window();
    let ctx = h.ctx.clone();
    h.state_mut().carry_out(&ctx, Action::SaveTo(path.clone()));
    h.run_steps(4);
    assert!(h.query_by_label("Saving the project").is_some());
    assert!(h.query_all_by_label_contains("Cancel: ").next().is_none());
    assert!(release.one());
    h.run_steps(3);
    assert!(path.exists());
}

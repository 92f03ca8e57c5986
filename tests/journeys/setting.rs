//! The Setting view: melting, pouring, cooling, shelf, own measurements, moulds and tables.

use std::sync::Arc;

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use quern_calc::evaluate::{Context, SettingAsk, SettingFigures, setting_figures};
use quern_calc::formula::{FormulaId, PhaseTemperature};
use quern_calc::setting::mould::Stand;
use quern_calc::setting::pour::PourClass;
use quern_studio::app::App;
use quern_tests::{Open, day, window};

use crate::grit::{choose, fill, shows};
use crate::{command, enter, keys, percent, press, said};

fn setting_window() -> Harness<'static, App> {
    let mut h = window(Open { size: [1280.0, 1800.0], ..Open::default() });
    keys(&mut h, Modifiers::COMMAND, Key::Num4);
    h.run_steps(4);
    h
}

/// What the engine says of the formula at hand, apart from the window.
fn figures(h: &mut Harness<'_, App>) -> SettingFigures {
    let here = h.state_mut().here().unwrap();
    let project = Arc::clone(h.state().document().project());
    let context = Context { date: day(), setting: Arc::clone(&project.setting) };
    let ask = SettingAsk { pour_c: h.state().state().setting.pour_c, ..SettingAsk::default() };
    setting_figures(&here.formula, &project.library(), &context, &here.evaluation, &ask)
}

#[test]
fn the_view_says_whether_it_melts_pours_sets_and_survives() {
    let mut h = setting_window();
    let f = figures(&mut h);
    shows(&h, "Melt curve of Dune: ");
    shows(&h, "How it moves: ");
    shows(&h, "Cooling of Dune: ");
    shows(&h, "Firmness, 20 °C: 100 %");
    shows(&h, f.pour.as_ref().unwrap().class.name());
    // Every part has its heading and the model says how it errs.
    for text in ["Melting", "Pouring", "Filling and cooling", "Shelf and post"] {
        shows(&h, text);
    }
    shows(&h, "Against published eutectics");
    shows(&h, "one look at a real batch corrects them");
    // The slab came from the worker.
    shows(&h, "the middle after");
}

#[test]
fn the_pouring_temperature_is_typed_moved_by_keys_and_read() {
    let mut h = setting_window();
    enter(&mut h, "Pouring temperature, °C", "35");
    assert_eq!(h.state().state().setting.pour_c, Some(35.0));
    let cold = figures(&mut h).pour.unwrap();
    assert!(cold.crystals > 0.0, "some fat is solid at 35 °C");
    h.get_by_label("Pouring temperature on the chart, °C").focus();
    h.run_steps(2);
    h.key_press(Key::ArrowRight);
    h.run_steps(2);
    keys(&mut h, Modifiers::SHIFT, Key::ArrowRight);
    assert_eq!(h.state().state().setting.pour_c, Some(41.0));
    let warm = figures(&mut h).pour.unwrap();
    assert!(warm.ratio < cold.ratio, "warmer is thinner");
    enter(&mut h, "Pouring temperature, °C", "300");
    assert!(said(&h).contains("from 15 to 90"), "{}", said(&h));
    assert_eq!(h.state().state().setting.pour_c, Some(41.0), "what was there stays");
    // Another formula is poured as it usually is, and this one as it was before.
    command(&mut h, "cairn");
    h.run_steps(3);
    assert_eq!(h.state().state().setting.pour_c, None);
    command(&mut h, "dune");
    h.run_steps(3);
    assert_eq!(h.state().state().setting.pour_c, Some(41.0));
}

#[test]
fn a_fat_is_changed_and_everything_follows_in_one_undo_step() {
    let mut h = setting_window();
    let before = figures(&mut h);
    enter(&mut h, "Rice bran oil, percent", "18");
    let after = figures(&mut h);
    assert_eq!(percent(&mut h, "Rice bran oil"), "18");
    let solid = |f: &SettingFigures| f.stacks.as_ref().unwrap()[1].solid_at(20.0);
    assert!(solid(&after) < solid(&before), "more oil, less solid");
    assert!(after.pour.unwrap().ratio < before.pour.unwrap().ratio, "and thinner");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(percent(&mut h, "Rice bran oil"), "11.5");
    // Looking at the view changes nothing: an amount between the steps of a slider stays.
    enter(&mut h, "Rice bran oil, percent", "11.57");
    h.run_steps(6);
    assert_eq!(percent(&mut h, "Rice bran oil"), "11.57");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    h.run_steps(6);
    assert_eq!(h.state().document().undo_label(), None, "drawing is no edit");
    // By the slider, with the keyboard.
    h.get_by_label("Rice bran oil, slider").focus();
    h.run_steps(2);
    h.key_press(Key::ArrowRight);
    h.run_steps(3);
    assert_eq!(percent(&mut h, "Rice bran oil"), "11.6");
}

#[test]
fn a_fat_is_swapped_from_here() {
    let mut h = setting_window();
    press(&mut h, "Change Cocoa butter");
    h.get_by_label("Part of a common or INCI name, or a CAS number").type_text("beeswax");
    h.run_steps(3);
    h.key_press(Key::Enter);
    h.run_steps(4);
    shows(&h, "Beeswax");
    assert_eq!(h.state().document().undo_label(), Some("change material"));
}

#[test]
fn two_curves_stand_side_by_side() {
    let mut h = setting_window();
    choose(&mut h, "Beside: nothing", "Cairn");
    assert_eq!(h.state().state().setting.beside, Some(FormulaId::new("cairn")));
    shows(&h, "with squares: Cairn");
    press(&mut h, "As table");
    shows(&h, "% of the fat that is solid; components");
    press(&mut h, "One mixed crystal");
    shows(&h, "acids, alcohols and emulsifiers in one mixed crystal");
}

#[test]
fn the_mould_and_where_it_stands_decide_the_time() {
    let mut h = setting_window();
    let bench = figures(&mut h).cool.unwrap().unmould_s.unwrap().at;
    press(&mut h, "In the fridge");
    assert_eq!(h.state().state().setting.stand, Stand::Fridge);
    choose(&mut h, "Mould: Bar, 80 x 55 x 30 mm", "Disc, 45 x 20 mm");
    let f = figures(&mut h);
    assert_eq!(f.mould.unwrap().name, "Disc, 45 x 20 mm");
    assert!(f.cool.unwrap().unmould_s.unwrap().at < bench);
    assert_eq!(h.state().document().undo_label(), Some("choose mould"));
    enter(&mut h, "Room, °C", "17.5");
    assert_eq!(h.state().document().project().setting.room_c, Some(17.5));
    enter(&mut h, "Air there, °C", "-18");
    let frozen = h.state().state().setting.air_c;
    assert_eq!(frozen, Some(-18.0));
    shows(&h, "Air, °C: −18");
    h.get_by_label("Air there, °C").focus();
    h.run_steps(2);
    h.key_press(Key::Backspace);
    h.run_steps(2);
    h.key_press(Key::Enter);
    h.run_steps(3);
    assert_eq!(h.state().state().setting.air_c, None, "emptied, it is the usual one");
    enter(&mut h, "Heater, W", "2 kg");
    assert!(said(&h).contains("Heater is from 10 to"), "{}", said(&h));
}

#[test]
fn a_mould_is_measured_with_water() {
    let mut h = setting_window();
    press(&mut h, "Moulds...");
    fill(&mut h, "Name", "Oak");
    fill(&mut h, "Length, mm", "80");
    fill(&mut h, "Width, mm", "50");
    fill(&mut h, "Depth, mm", "0");
    press(&mut h, "Add");
    shows(&h, "Every size is above 0");
    fill(&mut h, "Depth, mm", "30");
    fill(&mut h, "Measured", "118 g");
    press(&mut h, "Add");
    let notes = h.state().document().project().setting.clone();
    let mould = notes.mould_in_use().unwrap();
    assert_eq!(mould.name, "Oak");
    // 0.998 g/mL at 20 °C.
    assert!((mould.volume_ml() - 118.0 / 0.998).abs() < 1e-9);
    shows(&h, "118 mL take ");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert!(h.state().document().project().setting.moulds.is_empty());
}

#[test]
fn a_set_point_moves_the_curve_and_both_stand_beside_each_other() {
    let mut h = setting_window();
    let before = h.state_mut().here().unwrap().evaluation.melt.clone().unwrap().sets_c.unwrap();
    press(&mut h, "Add a measurement...");
    fill(&mut h, "Temperature, °C", "41");
    press(&mut h, "Add");
    h.run_steps(4);
    let after = h.state_mut().here().unwrap().evaluation.melt.clone().unwrap().sets_c.unwrap();
    assert!((after.at - 41.0).abs() < 1e-6 && (before.at - 41.0).abs() > 1.0);
    assert!((after.high - after.low - 6.0).abs() < 1e-6, "its undercooling stays as the band");
    shows(&h, "Sets at 41.0 °C");
    shows(&h, "41.0 °C after");
    assert_eq!(h.state().document().undo_label(), Some("add measurement"));
    press(&mut h, "Remove measurement 1: Sets at 41.0 °C");
    let back = h.state_mut().here().unwrap().evaluation.melt.clone().unwrap().sets_c.unwrap();
    assert!((back.at - before.at).abs() < 1e-9);
}

#[test]
fn a_flow_and_a_weight_correct_packing_and_air() {
    let mut h = setting_window();
    press(&mut h, "Add a measurement...");
    press(&mut h, "Flow");
    fill(&mut h, "Temperature, °C", "52");
    press(&mut h, "Add");
    shows(&h, "Choose how it behaved");
    press(&mut h, "press");
    press(&mut h, "Add");
    h.run_steps(3);
    assert_eq!(figures(&mut h).pour.unwrap().class, PourClass::Press);
    press(&mut h, "Add a measurement...");
    press(&mut h, "Poured weight");
    fill(&mut h, "Temperature, °C", "52");
    fill(&mut h, "Weight in it, g", "120");
    fill(&mut h, "Volume, mL", "110");
    press(&mut h, "Add");
    h.run_steps(3);
    let f = figures(&mut h);
    assert!((f.correction.fill * f.pour.unwrap().density - 120.0 / 110.0).abs() < 1e-9);
    // A weight that no cosmetic has is refused and says why.
    press(&mut h, "Add a measurement...");
    press(&mut h, "Poured weight");
    fill(&mut h, "Temperature, °C", "52");
    fill(&mut h, "Weight in it, g", "900");
    fill(&mut h, "Volume, mL", "110");
    press(&mut h, "Add");
    shows(&h, "no density of a cosmetic");
}

#[test]
fn the_reference_bar_ranks_firmness() {
    let mut h = setting_window();
    choose(&mut h, "Reference bar: none: each against itself", "Cairn");
    let f = figures(&mut h).shelf.unwrap();
    assert_eq!(f.reference.as_deref(), Some("Cairn"));
    shows(&h, "% of Cairn at 20 °C");
}

#[test]
fn a_solid_fat_table_takes_the_place_of_the_library() {
    let mut h = setting_window();
    let before = figures(&mut h);
    press(&mut h, "Solid-fat table of Cocoa butter");
    for (i, (t, percent)) in
        [("20", "90"), ("25", "85"), ("30", "90"), ("36", "2")].into_iter().enumerate()
    {
        fill(&mut h, &format!("Row {}, temperature", i + 1), t);
        fill(&mut h, &format!("Row {}, percent solid", i + 1), percent);
    }
    press(&mut h, "Apply");
    shows(&h, "row 3: more is solid than at a lower temperature");
    fill(&mut h, "Row 3, percent solid", "60");
    shows(&h, "% off your figures");
    press(&mut h, "Apply");
    h.run_steps(3);
    let after = figures(&mut h);
    let solid = |f: &SettingFigures| f.stacks.as_ref().unwrap()[1].solid_at(20.0);
    assert!(solid(&after) > solid(&before));
    shows(&h, "Cocoa butter, own table");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert!((solid(&figures(&mut h)) - solid(&before)).abs() < 1e-12);
}

#[test]
fn a_powder_that_soaks_up_oil_thickens_the_paste() {
    let mut h = setting_window();
    let before = figures(&mut h).pour.unwrap().ratio;
    press(&mut h, "How White kaolin packs");
    fill(&mut h, "Soaks up oil, g/g", "0,4");
    press(&mut h, "Apply");
    h.run_steps(3);
    let after = figures(&mut h).pour.unwrap();
    assert!(after.ratio > before && after.soaked > 0.0);
    press(&mut h, "How White kaolin packs");
    fill(&mut h, "Density, g/mL", "0");
    press(&mut h, "Apply");
    shows(&h, "The density of a grain is from 0.05 to 8 g/mL");
}

#[test]
fn an_empty_window_is_said_with_its_choices() {
    let mut project = quern_project::demo();
    let formula = Arc::make_mut(&mut project.formulas[0]);
    let cool = formula.phases.len() - 1;
    formula.phases[cool].temperature = PhaseTemperature::Below(30.0);
    let mut h = window(Open { size: [1280.0, 1800.0], project: Some(project), ..Open::default() });
    keys(&mut h, Modifiers::COMMAND, Key::Num4);
    h.run_steps(4);
    shows(&h, "The pour window is empty: it stops moving below");
    shows(&h, "a higher temperature for phase Cool-down, if its materials stand it");
    shows(&h, "a lower-melting fat in place of some");
    let e = h.state_mut().here().unwrap().evaluation;
    assert!(e.findings.iter().any(|f| f.rule() == "pour-window-empty"));
}

#[test]
fn a_formula_without_fat_says_why_there_is_no_curve() {
    let mut h = setting_window();
    command(&mut h, "new formula");
    keys(&mut h, Modifiers::COMMAND, Key::Num4);
    h.run_steps(4);
    shows(&h, "New formula is empty");
    shows(&h, "Nothing to say yet");
    // With a line, but none that melts.
    command(&mut h, "kaolin");
    h.run_steps(4);
    keys(&mut h, Modifiers::COMMAND, Key::Num4);
    h.run_steps(4);
    shows(&h, "has no melt curve: no fat that melts");
    // A lotion has a curve but is not poured as a paste.
    command(&mut h, "fen");
    keys(&mut h, Modifiers::COMMAND, Key::Num4);
    h.run_steps(4);
    shows(&h, "No pour figures: not for a lotion");
}

#[test]
fn decimal_comma_and_small_windows_work() {
    let mut h = window(Open { size: [640.0, 400.0], scale: 2.0, ..Open::default() });
    command(&mut h, "decimal sign");
    keys(&mut h, Modifiers::COMMAND, Key::Num4);
    h.run_steps(4);
    enter(&mut h, "Pouring temperature, °C", "47,5");
    assert_eq!(h.state().state().setting.pour_c, Some(47.5));
}

#[test]
fn the_setting_sheet_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("dune");
    let mut h = window(Open {
        answers: vec![quern_studio::app::files::Answer::Path(path.clone())],
        ..Open::default()
    });
    keys(&mut h, Modifiers::COMMAND, Key::Num4);
    h.run_steps(3);
    press(&mut h, "Setting sheet...");
    shows(&h, "On the page: Dune");
    press(&mut h, "HTML...");
    h.run_steps(4);
    let html = std::fs::read_to_string(path.with_extension("html")).unwrap();
    assert!(html.contains("Dune") && html.contains("<svg"));
    assert!(said(&h).contains("Setting sheet written"), "{}", said(&h));
}

//! Points 1 to 4: the demo opens; the table edits; figures follow; the batch follows.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use quern_calc::batch::BatchSize;
use quern_calc::formula::PhaseTemperature;
use quern_tests::{demo_window, window};
use rust_decimal::Decimal;

use crate::{command, enter, keys, line, names, percent, press, said};

#[test]
fn the_demo_opens_as_an_unsaved_copy_of_four_products() {
    let mut h = demo_window();
    let names: Vec<String> =
        h.state().document().project().formulas.iter().map(|f| f.name.clone()).collect();
    assert_eq!(names, ["Dune", "Shingle", "Cairn", "Fen"]);
    assert!(h.state().document().path.is_none());
    assert!(!h.state().document().is_changed());
    assert!(h.query_by_label("Total 100.00 %, exact").is_some());
    assert!(h.query_by_label("not saved yet").is_some());
    let _ = percent(&mut h, "White kaolin");
}

#[test]
fn an_amount_is_typed_as_percent_grams_and_parts_and_the_fill_line_absorbs_it() {
    let mut h = demo_window();
    let fill = fill_name(&mut h);
    let before: Decimal = percent(&mut h, &fill).parse().unwrap();
    let kaolin: Decimal = percent(&mut h, "White kaolin").parse().unwrap();

    enter(&mut h, "White kaolin, percent", "9,5");
    assert_eq!(percent(&mut h, "White kaolin"), "9.5");
    let after: Decimal = percent(&mut h, &fill).parse().unwrap();
    assert_eq!(before + kaolin, after + Decimal::new(95, 1));

    // Grams of the present batch: 24 x 70 g with 3 % loss is 1731.958762886598 g gross.
    enter(&mut h, "White kaolin, grams", "173.1958762886597938144329897");
    let grams: Decimal = percent(&mut h, "White kaolin").parse().unwrap();
    assert_eq!(grams, Decimal::TEN, "10 % of the batch");

    enter(&mut h, "White kaolin, percent", "8 parts");
    assert_eq!(percent(&mut h, "White kaolin"), "8");
    enter(&mut h, "White kaolin, percent", "+0.25");
    assert_eq!(percent(&mut h, "White kaolin"), "8.25");
    enter(&mut h, "White kaolin, percent", "33/4");
    assert_eq!(percent(&mut h, "White kaolin"), "8.25");
}

fn fill_name(h: &mut egui_kittest::Harness<'_, quern_studio::app::App>) -> String {
    let here = h.state_mut().here().unwrap();
    here.evaluation.lines.iter().find(|l| l.fills).map(|l| l.name.clone()).unwrap()
}

#[test]
fn a_wrong_entry_is_told_and_changes_nothing() {
    let mut h = demo_window();
    let before = percent(&mut h, "White kaolin");
    for wrong in ["abc", "1,234", "5 °C", "1/0", "12 13"] {
        let revision = h.state().document().revision();
        enter(&mut h, "White kaolin, percent", wrong);
        assert_eq!(percent(&mut h, "White kaolin"), before, "{wrong}");
        assert_eq!(h.state().document().revision(), revision, "{wrong}");
        h.key_press(Key::Escape);
        h.run_steps(3);
    }
}

#[test]
fn tabbing_through_every_cell_changes_nothing() {
    let mut h = demo_window();
    // A figure with more decimals than are shown.
    enter(&mut h, "White kaolin, percent", "8.123456789");
    let revision = h.state().document().revision();
    h.get_by_label("White kaolin, material").focus();
    for _ in 0..120 {
        h.key_press(Key::Tab);
        h.run_steps(1);
    }
    assert_eq!(h.state().document().revision(), revision);
    assert_eq!(percent(&mut h, "White kaolin"), "8.123456789");
}

#[test]
fn a_material_is_found_by_part_of_its_inci_name_added_moved_and_removed() {
    let mut h = demo_window();
    let count = names(&mut h).len();
    press(&mut h, "White kaolin, material");
    keys(&mut h, Modifiers::COMMAND, Key::Enter);
    h.get_by_label("Part of a common or INCI name, or a CAS number").type_text("zinc ox");
    h.run_steps(3);
    h.key_press(Key::Enter);
    h.run_steps(4);
    let all = names(&mut h);
    assert_eq!(all.len(), count + 1);
    let kaolin = all.iter().position(|n| n == "White kaolin").unwrap();
    let added = all[kaolin + 1].clone();
    assert!(added.to_lowercase().contains("zinc"), "{added}");
    assert!(h.state().document().project().materials.values().any(|m| m.inci == "Zinc Oxide"));

    // The new line has no amount yet: that is a stop, not a zero.
    let here = h.state_mut().here().unwrap();
    assert!(here.evaluation.findings.iter().any(|f| f.rule() == "amount-blank"));

    keys(&mut h, Modifiers::ALT, Key::ArrowUp);
    assert_eq!(names(&mut h)[kaolin], added);
    let moved = line(&mut h, &added);
    for _ in 0..20 {
        keys(&mut h, Modifiers::ALT, Key::ArrowDown);
    }
    let here = h.state_mut().here().unwrap();
    let last = here.formula.phases.last().unwrap().id;
    assert_eq!(here.formula.phase_of(moved).map(|p| p.id), Some(last), "moved between phases");

    // While a cell is edited, Ctrl+Delete belongs to its text.
    keys(&mut h, Modifiers::NONE, Key::Escape);
    keys(&mut h, Modifiers::COMMAND, Key::Delete);
    assert_eq!(names(&mut h).len(), count);
    while h.state().document().undo_label().is_some() {
        keys(&mut h, Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(names(&mut h).len(), count);
    assert!(!h.state().document().is_changed(), "undo leads back to the start");
}

#[test]
fn a_material_is_swapped_and_keeps_its_amount() {
    let mut h = demo_window();
    let before = percent(&mut h, "White kaolin");
    press(&mut h, "White kaolin, material");
    h.key_press(Key::F2);
    h.run_steps(3);
    h.get_by_label("Part of a common or INCI name, or a CAS number").type_text("illite");
    h.run_steps(3);
    h.key_press(Key::Enter);
    h.run_steps(4);
    let here = h.state_mut().here().unwrap();
    let swapped = here.evaluation.lines.iter().find(|l| l.inci.starts_with("Illite")).unwrap();
    assert_eq!(swapped.percent.map(|p| p.0.normalize().to_string()), Some(before));
}

#[test]
fn the_fill_line_is_chosen_and_locks_hold() {
    let mut h = demo_window();
    let fill = fill_name(&mut h);
    let held = percent(&mut h, &fill);
    press(&mut h, "White kaolin, material");
    keys(&mut h, Modifiers::COMMAND | Modifiers::SHIFT, Key::L);
    assert_eq!(fill_name(&mut h), "White kaolin");
    assert_eq!(percent(&mut h, &fill), held, "the line that stops filling keeps what it held");
    keys(&mut h, Modifiers::COMMAND, Key::L);
    let id = line(&mut h, "White kaolin");
    let here = h.state_mut().here().unwrap();
    assert!(here.formula.line(id).unwrap().locked);
}

#[test]
fn a_phase_gets_a_name_a_temperature_and_steps() {
    let mut h = demo_window();
    let phase = h.state_mut().here().unwrap().formula.phases[0].clone();
    press(&mut h, &format!("Phase A {}", phase.name));
    keys(&mut h, Modifiers::COMMAND | Modifiers::SHIFT, Key::E);
    replace(&mut h, "Name", "Hot pot");
    replace(&mut h, "Phase temperature, degrees Celsius", "78,5");
    press(&mut h, "+ Add a step");
    let n = phase.steps.len() + 1;
    h.get_by_label(&format!("Step {n}, what to do")).focus();
    h.run_steps(2);
    h.get_by_label(&format!("Step {n}, what to do")).type_text("Look once more");
    h.run_steps(2);
    press(&mut h, "Apply");
    let after = h.state_mut().here().unwrap().formula.phases[0].clone();
    assert_eq!(after.name, "Hot pot");
    assert_eq!(after.temperature, PhaseTemperature::HeatTo(78.5));
    assert_eq!(after.steps.last().unwrap().text, "Look once more");
    assert_eq!(after.lines, phase.lines);
}

/// Replaces the text of a plain field.
#[track_caller]
fn replace(h: &mut egui_kittest::Harness<'_, quern_studio::app::App>, field: &str, text: &str) {
    h.get_by_label(field).focus();
    h.run_steps(2);
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run_steps(1);
    h.get_by_label(field).type_text(text);
    h.run_steps(2);
}

#[test]
fn normalising_shows_what_it_would_do_first() {
    let mut h = demo_window();
    // Without the q.s. line the total can leave 100.
    let fill = fill_name(&mut h);
    press(&mut h, &format!("{fill}, material"));
    keys(&mut h, Modifiers::COMMAND | Modifiers::SHIFT, Key::L);
    enter(&mut h, "White kaolin, percent", "20");
    let total = h.state_mut().here().unwrap().evaluation.total;
    assert!(total.0 > Decimal::ONE_HUNDRED);
    command(&mut h, "bring to 100");
    assert!(h.query_by_label("Bring to 100").is_some(), "a preview opens");
    assert_eq!(h.state_mut().here().unwrap().evaluation.total, total, "nothing changed yet");
    press(&mut h, "Apply");
    let e = h.state_mut().here().unwrap().evaluation;
    assert_eq!(e.total.0, Decimal::ONE_HUNDRED);
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(h.state_mut().here().unwrap().evaluation.total, total);
}

#[test]
fn alternatives_are_named_and_kept() {
    let mut h = demo_window();
    press(&mut h, "White kaolin, material");
    keys(&mut h, Modifiers::COMMAND, Key::M);
    press(&mut h, "+ Add an alternative...");
    h.get_by_label("Part of a common or INCI name, or a CAS number").type_text("illite");
    h.run_steps(3);
    h.key_press(Key::Enter);
    h.run_steps(4);
    replace(&mut h, "Alternative 1, ratio", "1,2");
    replace(&mut h, "Alternative 1, note", "greener");
    press(&mut h, "Apply");
    let id = line(&mut h, "White kaolin");
    let here = h.state_mut().here().unwrap();
    let alternatives = &here.formula.line(id).unwrap().alternatives;
    assert_eq!(alternatives.len(), 1);
    assert_eq!(alternatives[0].ratio, Decimal::new(12, 1));
    assert_eq!(alternatives[0].note, "greener");
}

#[test]
fn the_chart_has_a_table_twin_and_gauges_and_findings_speak() {
    let mut h = demo_window();
    press(&mut h, "As table");
    assert!(h.query_by_label_contains("humectant: ").is_some());
    press(&mut h, "As chart");
    for gauge in ["Grit", "Heat to", "Powder : liquid", "Cost a piece", "Total"] {
        assert!(h.query_all_by_label(gauge).next().is_some(), "{gauge}");
    }
    enter(&mut h, "White kaolin, percent", "-3");
    // "-3" adds: the line holds less; a truly negative amount is written with "=".
    enter(&mut h, "White kaolin, percent", "=-3");
    let here = h.state_mut().here().unwrap();
    assert!(here.evaluation.findings.iter().any(|f| f.rule() == "amount-negative"));
    let finding = "stop: White kaolin is negative, -3 %";
    h.get_by_label(finding).scroll_to_me();
    h.run_steps(4);
    press(&mut h, finding);
    let kaolin = line(&mut h, "White kaolin");
    assert_eq!(h.state().state().line, Some(kaolin));
}

#[test]
fn the_batch_is_dragged_typed_or_counted_and_everything_follows() {
    let mut h = demo_window();
    enter(&mut h, "Batch size, gross, grams", "2 lb 4 oz");
    let grams = |h: &mut egui_kittest::Harness<'_, quern_studio::app::App>| {
        h.state_mut().here().unwrap().evaluation.batch.unwrap().gross.0
    };
    // Exact by definition of the avoirdupois pound and ounce.
    assert_eq!(grams(&mut h).normalize().to_string(), "1020.5828325");
    enter(&mut h, "Pieces", "10");
    enter(&mut h, "Weight of a piece, grams", "90 g");
    enter(&mut h, "Loss, percent", "10");
    assert_eq!(grams(&mut h), Decimal::from(1000), "10 x 90 g over 0.9");
    h.get_by_label("Batch size slider").set_value_accesskit(0.5);
    h.run_steps(3);
    let plan = h.state().document().project().plan(&h.state().state().formula);
    assert!(
        matches!(plan.size, BatchSize::Gross(g) if g.0 > Decimal::from(600) && g.0 < Decimal::from(800))
    );
    enter(&mut h, "Loss, percent", "100");
    let here = h.state_mut().here().unwrap();
    assert!(here.evaluation.batch.is_err());
    assert!(here.evaluation.findings.iter().any(|f| f.rule() == "batch-plan"));
    enter(&mut h, "Batch size, gross, grams", "5 °C");
    assert!(said(&h).contains("mass"), "{}", said(&h));
}

#[test]
fn every_skeleton_can_be_started_from() {
    let names: Vec<String> = quern_project::skeletons()
        .formulas
        .iter()
        .map(|f| f.name.trim_end_matches(" skeleton").to_owned())
        .collect();
    assert_eq!(names.len(), 11);
    for name in names {
        let mut h = window(Default::default());
        command(&mut h, "new from skeleton");
        press(&mut h, &name);
        press(&mut h, "Add to this project");
        let e = h.state_mut().here().unwrap().evaluation;
        assert!(e.total_ok, "{name}");
        assert!(!e.lines.is_empty(), "{name}");
        assert!(!e.has_stop(), "{name}");
    }
}

//! By keyboard alone, at other sizes, and what every widget is called.

use std::collections::BTreeMap;

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use quern_tests::{Open, demo_window, window};

use crate::{command, keys, percent, press};

#[test]
fn a_formula_is_made_with_the_keyboard_alone() {
    let mut h = demo_window();
    keys(&mut h, Modifiers::COMMAND | Modifiers::SHIFT, Key::N);
    for (query, amount) in [("stearyl alc", "20"), ("sunflower", "30"), ("kaolin", "50")] {
        keys(&mut h, Modifiers::COMMAND, Key::Enter);
        h.get_by_label("Part of a common or INCI name, or a CAS number").type_text(query);
        h.run_steps(3);
        h.key_press(Key::Enter);
        h.run_steps(4);
        // The new line's amount has the focus.
        for c in amount.chars() {
            h.event(egui::Event::Text(c.to_string()));
        }
        h.run_steps(2);
        h.key_press(Key::Enter);
        h.run_steps(3);
    }
    let e = h.state_mut().here().unwrap().evaluation;
    assert_eq!(e.lines.len(), 3);
    assert!(e.total_ok, "total {}", e.total);
}

#[test]
fn enter_walks_down_the_column_and_escape_restores() {
    let mut h = demo_window();
    let first = h.state_mut().here().unwrap().evaluation.lines[0].name.clone();
    let second = h.state_mut().here().unwrap().evaluation.lines[1].name.clone();
    h.get_by_label(&format!("{first}, percent")).focus();
    h.run_steps(3);
    h.key_press(Key::Enter);
    h.run_steps(3);
    assert!(h.get_by_label(&format!("{second}, percent")).is_focused());
    let before = percent(&mut h, &second);
    h.event(egui::Event::Text("77".to_owned()));
    h.run_steps(2);
    h.key_press(Key::Escape);
    h.run_steps(3);
    assert_eq!(percent(&mut h, &second), before);
}

#[test]
fn shift_enter_walks_up_the_column() {
    let mut h = demo_window();
    let lines = h.state_mut().here().unwrap().evaluation.lines.clone();
    h.get_by_label(&format!("{}, percent", lines[1].name)).focus();
    h.run_steps(3);
    keys(&mut h, Modifiers::SHIFT, Key::Enter);
    assert!(h.get_by_label(&format!("{}, percent", lines[0].name)).is_focused());
}

#[test]
fn what_is_being_typed_is_saved_too() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("typing.ron");
    let answers = vec![quern_studio::app::files::Answer::Path(path.clone())];
    let mut h = window(Open { answers, ..Open::default() });
    h.get_by_label("White kaolin, percent").focus();
    h.run_steps(2);
    h.get_by_label("White kaolin, percent").type_text("9.75");
    h.run_steps(2);
    // No Enter: the field is still in use when Ctrl+S comes.
    keys(&mut h, Modifiers::COMMAND, Key::S);
    h.run_steps(4);
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("9.75 %"));
    assert!(!h.state().document().is_changed());
}

#[test]
fn a_digit_on_a_selected_row_starts_an_entry() {
    let mut h = demo_window();
    let lines = h.state_mut().here().unwrap().evaluation.lines.clone();
    press(&mut h, &format!("{}, material", lines[1].name));
    if let Some(id) = h.ctx.memory(egui::Memory::focused) {
        h.ctx.memory_mut(|m| m.surrender_focus(id));
    }
    h.run_steps(2);
    h.event(egui::Event::Text("6".to_owned()));
    h.run_steps(2);
    h.event(egui::Event::Text("5".to_owned()));
    h.run_steps(2);
    h.key_press(Key::Enter);
    h.run_steps(3);
    assert_eq!(percent(&mut h, &lines[1].name), "65");
}

#[test]
fn tab_from_percent_to_grams_shows_the_new_grams() {
    let mut h = demo_window();
    crate::enter(&mut h, "Batch size, gross, grams", "1000");
    h.get_by_label("White kaolin, percent").focus();
    h.run_steps(2);
    h.get_by_label("White kaolin, percent").type_text("5");
    h.run_steps(2);
    h.key_press(Key::Tab);
    h.run_steps(4);
    assert_eq!(h.get_by_label("White kaolin, grams").value().as_deref(), Some("50.00"));
}

#[test]
fn undo_goes_to_the_formula_that_it_changes() {
    let mut h = demo_window();
    crate::enter(&mut h, "White kaolin, percent", "9.5");
    command(&mut h, "cairn");
    assert_eq!(h.state_mut().here().unwrap().name, "Cairn");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(h.state_mut().here().unwrap().name, "Dune");
    assert_eq!(percent(&mut h, "White kaolin"), "9");
}

#[test]
fn every_input_has_a_name_of_its_own_in_each_view() {
    for view in [Key::Num1, Key::Num2, Key::Num3, Key::Num4] {
        let mut h = demo_window();
        keys(&mut h, Modifiers::COMMAND, view);
        let mut names: BTreeMap<String, usize> = BTreeMap::new();
        for node in h.root().children_recursive() {
            let node = node.accesskit_node();
            if matches!(node.role(), Role::TextInput | Role::Slider | Role::SpinButton) {
                let name = node.label().unwrap_or_default();
                assert!(name.len() > 2, "an input is called {name:?}");
                *names.entry(name).or_default() += 1;
            }
        }
        for (name, count) in names {
            assert_eq!(count, 1, "{name}");
        }
    }
}

#[test]
fn escape_closes_the_top_dialog_only() {
    let mut h = demo_window();
    press(&mut h, "White kaolin, material");
    keys(&mut h, Modifiers::COMMAND, Key::M);
    press(&mut h, "+ Add an alternative...");
    assert_eq!(h.state().state().dialogs.len(), 2);
    h.key_press(Key::Escape);
    h.run_steps(3);
    assert_eq!(h.state().state().dialogs.len(), 1);
    h.key_press(Key::Escape);
    h.run_steps(3);
    assert!(h.state().state().dialogs.is_empty());
}

#[test]
fn nothing_is_out_of_reach_in_a_small_window_or_at_200_percent() {
    for (size, scale) in [([640.0, 400.0], 1.0), ([640.0, 400.0], 2.0), ([880.0, 600.0], 1.0)] {
        let mut h = window(Open { size, scale, ..Open::default() });
        press(&mut h, "Show figures");
        assert!(h.query_all_by_label("Grit").next().is_some(), "{size:?}");
        press(&mut h, "Hide figures");
        for name in ["Menu", "Undo", "Redo", "+ Add a material", "Bench sheet..."] {
            assert!(h.query_by_label(name).is_some(), "{name} at {size:?}");
        }
        keys(&mut h, Modifiers::COMMAND, Key::Num2);
        assert!(h.query_by_label("Swap sides").is_some());
    }
}

#[test]
fn the_window_rests_when_nothing_happens() {
    let mut h = demo_window();
    // `run` panics when the window keeps asking to be drawn.
    h.run();
    keys(&mut h, Modifiers::COMMAND, Key::Num2);
    h.run();
}

#[test]
fn a_decimal_comma_is_shown_and_read() {
    let mut h = demo_window();
    command(&mut h, "decimal sign");
    crate::enter(&mut h, "White kaolin, percent", "1,234");
    assert_eq!(percent(&mut h, "White kaolin"), "1.234");
    assert_eq!(h.get_by_label("White kaolin, percent").value().as_deref(), Some("1,23"));
}

#[test]
fn new_figures_are_on_screen_in_the_frame_of_the_keystroke() {
    let mut h = demo_window();
    crate::enter(&mut h, "Batch size, gross, grams", "1000");
    h.get_by_label("White kaolin, percent").focus();
    h.run_steps(2);
    h.get_by_label("White kaolin, percent").type_text("5");
    h.run_steps(2);
    let enter = egui::Event::Key {
        key: Key::Enter,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::NONE,
    };
    h.input_mut().events.push(enter);
    h.step();
    assert_eq!(h.get_by_label("White kaolin, grams").value().as_deref(), Some("50.00"));
}

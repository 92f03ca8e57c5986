//! The phase table as a spreadsheet: keys, ranges, clipboard, columns, folding.

use egui::{Event, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use quern_studio::app::App;
use quern_studio::app::table::Column;
use quern_tests::{Open, demo_window, window};

use crate::{command, keys, names, percent, press, said};

/// Puts the cursor on a cell.
#[track_caller]
fn on(h: &mut Harness<'_, App>, cell: &str) {
    h.get_by_label(cell).focus();
    h.run_steps(3);
}

fn cursor(h: &Harness<'_, App>) -> (u32, Column) {
    let cell = h.state().state().table.cursor.expect("a cursor");
    (cell.line.0, cell.column)
}

/// Sends what a clipboard shortcut comes to; gives the text that was copied.
fn send(h: &mut Harness<'_, App>, event: Event) -> Option<String> {
    h.event(event);
    h.step();
    let copied = h.output().platform_output.commands.iter().find_map(|c| match c {
        egui::OutputCommand::CopyText(text) => Some(text.clone()),
        _ => None,
    });
    h.run_steps(3);
    copied
}

fn copy(h: &mut Harness<'_, App>) -> String {
    send(h, Event::Copy).expect("something was copied")
}

fn type_in(h: &mut Harness<'_, App>, text: &str) {
    for c in text.chars() {
        h.event(Event::Text(c.to_string()));
        h.run_steps(1);
    }
}

#[test]
fn arrows_home_end_and_pages_walk_the_cells() {
    let mut h = demo_window();
    let all = h.state_mut().here().unwrap().evaluation.lines.clone();
    on(&mut h, &format!("{}, percent", all[0].name));
    assert_eq!(cursor(&h), (all[0].line.0, Column::Percent));
    keys(&mut h, Modifiers::NONE, Key::ArrowRight);
    assert_eq!(cursor(&h), (all[0].line.0, Column::Grams));
    keys(&mut h, Modifiers::NONE, Key::ArrowDown);
    assert_eq!(cursor(&h), (all[1].line.0, Column::Grams));
    for _ in 0..3 {
        keys(&mut h, Modifiers::NONE, Key::ArrowLeft);
    }
    // Cells that cannot be typed in are walked over, too.
    assert_eq!(cursor(&h), (all[1].line.0, Column::Inci));
    let inci = format!("{}, INCI name: {}", all[1].name, all[1].inci);
    assert!(h.get_by_label(&inci).is_focused());
    keys(&mut h, Modifiers::NONE, Key::Home);
    assert_eq!(cursor(&h).1, Column::Material);
    keys(&mut h, Modifiers::NONE, Key::End);
    assert_eq!(cursor(&h).1, Column::Flags);
    keys(&mut h, Modifiers::COMMAND, Key::End);
    assert_eq!(cursor(&h).0, all.last().unwrap().line.0);
    keys(&mut h, Modifiers::NONE, Key::PageUp);
    assert_eq!(cursor(&h).0, all[all.len() - 11].line.0);
    keys(&mut h, Modifiers::COMMAND, Key::Home);
    assert_eq!(cursor(&h), (all[0].line.0, Column::Material));
    assert!(h.state().document().undo_label().is_none(), "walking changes nothing");
}

#[test]
fn typing_replaces_f2_amends_and_escape_restores() {
    let mut h = demo_window();
    let kaolin = "White kaolin, percent";
    on(&mut h, kaolin);
    type_in(&mut h, "1");
    type_in(&mut h, "1");
    h.key_press(Key::Enter);
    h.run_steps(3);
    assert_eq!(percent(&mut h, "White kaolin"), "11");
    on(&mut h, kaolin);
    keys(&mut h, Modifiers::NONE, Key::F2);
    type_in(&mut h, ".25");
    h.key_press(Key::Enter);
    h.run_steps(3);
    assert_eq!(percent(&mut h, "White kaolin"), "11.25", "the caret stood at the end");
    on(&mut h, kaolin);
    type_in(&mut h, "99");
    h.key_press(Key::Escape);
    h.run_steps(3);
    assert_eq!(percent(&mut h, "White kaolin"), "11.25");
    assert!(h.get_by_label(kaolin).is_focused(), "the cell stays selected");
}

#[test]
fn arithmetic_works_in_a_cell_with_either_decimal_sign() {
    let mut h = demo_window();
    for (typed, expected) in [("12/3", "4"), ("40*1.5", "60"), ("+2", "62"), ("=1+2*3", "7")] {
        on(&mut h, "White kaolin, percent");
        type_in(&mut h, typed);
        h.key_press(Key::Enter);
        h.run_steps(3);
        assert_eq!(percent(&mut h, "White kaolin"), expected, "{typed}");
    }
    command(&mut h, "decimal sign");
    on(&mut h, "White kaolin, percent");
    type_in(&mut h, "4*1,5");
    h.key_press(Key::Enter);
    h.run_steps(3);
    assert_eq!(percent(&mut h, "White kaolin"), "6");
}

#[test]
fn shift_and_arrows_make_a_range_that_is_copied_cleared_and_pasted_back() {
    let mut h = demo_window();
    let all = h.state_mut().here().unwrap().evaluation.lines.clone();
    let start = all.iter().position(|l| !l.fills).unwrap();
    let end = start + 2;
    assert!(all[start..=end].iter().all(|l| !l.fills), "three lines with amounts");
    on(&mut h, &format!("{}, percent", all[start].name));
    keys(&mut h, Modifiers::SHIFT, Key::ArrowDown);
    keys(&mut h, Modifiers::SHIFT, Key::ArrowDown);
    assert!(h.query_by_label_contains("3 lines selected").is_some());
    let text = copy(&mut h);
    let held: Vec<String> =
        all[start..=end].iter().map(|l| l.percent.unwrap().0.normalize().to_string()).collect();
    assert_eq!(text, held.join("\n"));
    keys(&mut h, Modifiers::NONE, Key::Delete);
    for l in &all[start..=end] {
        assert_eq!(percent(&mut h, &l.name), "", "{}", l.name);
    }
    send(&mut h, Event::Paste(text));
    for (l, held) in all[start..=end].iter().zip(&held) {
        assert_eq!(&percent(&mut h, &l.name), held);
    }
    // Two steps, each undone by one.
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(percent(&mut h, &all[start].name), "");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(percent(&mut h, &all[start].name), held[0]);
    assert!(!h.state().document().is_changed());
}

#[test]
fn a_cell_that_was_typed_in_takes_the_keys_of_the_table_again() {
    let mut h = demo_window();
    on(&mut h, "White kaolin, percent");
    type_in(&mut h, "7.5");
    h.key_press(Key::Enter);
    h.run_steps(3);
    keys(&mut h, Modifiers::NONE, Key::ArrowUp);
    keys(&mut h, Modifiers::SHIFT, Key::ArrowUp);
    keys(&mut h, Modifiers::SHIFT, Key::ArrowUp);
    assert!(h.query_by_label_contains("3 lines selected").is_some());
    keys(&mut h, Modifiers::NONE, Key::ArrowDown);
    keys(&mut h, Modifiers::NONE, Key::ArrowDown);
    assert_eq!(copy(&mut h), "7.5");
    // The same after Escape and after Tab.
    type_in(&mut h, "9");
    h.key_press(Key::Escape);
    h.run_steps(3);
    assert_eq!(copy(&mut h), "7.5");
    type_in(&mut h, "8");
    h.key_press(Key::Tab);
    h.run_steps(3);
    keys(&mut h, Modifiers::NONE, Key::ArrowLeft);
    assert_eq!(copy(&mut h), "8");
}

#[test]
fn whole_lines_go_to_a_spreadsheet_and_come_back_as_new_lines() {
    let mut h = demo_window();
    let count = names(&mut h).len();
    on(&mut h, "White kaolin, percent");
    keys(&mut h, Modifiers::SHIFT, Key::Space);
    let text = copy(&mut h);
    let cells: Vec<&str> = text.split('\t').collect();
    assert_eq!((cells[0], cells[1], cells[3]), ("White kaolin", "Kaolin", "9"), "{text}");
    h.event_modifiers(
        Event::Paste("Glycerin\t\t\t2.5\nZinc oxide\t\t\t1,5 %".to_owned()),
        Modifiers::SHIFT,
    );
    h.run_steps(4);
    let after = names(&mut h);
    assert_eq!(after.len(), count + 2, "{}", said(&h));
    let at = after.iter().position(|n| n == "White kaolin").unwrap();
    assert!(after[at + 1].contains("lycerin"), "{after:?}");
    let new = h.state_mut().here().unwrap().evaluation.lines[at + 1].clone();
    assert_eq!(new.percent.unwrap().0.normalize().to_string(), "2.5");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(names(&mut h).len(), count, "one step");
}

#[test]
fn what_cannot_be_pasted_is_named_and_nothing_changes() {
    let mut h = demo_window();
    let fill =
        h.state_mut().here().unwrap().evaluation.lines.iter().find(|l| l.fills).unwrap().clone();
    for (cell, text, told) in [
        ("White kaolin, percent".to_owned(), "5\nabc", "Row 2"),
        ("White kaolin, percent".to_owned(), "1\t2\t3\t4\t5", "does not fit"),
        ("White kaolin, material".to_owned(), "Unobtainium", "no material is called"),
        (format!("{}, percent, fills to 100", fill.name), "3", "fills to 100"),
        ("White kaolin, percent".to_owned(), "5 °C", "Row 1"),
    ] {
        on(&mut h, &cell);
        let revision = h.state().document().revision();
        send(&mut h, Event::Paste(text.to_owned()));
        assert!(said(&h).contains(told), "{cell} {text:?}: {}", said(&h));
        assert!(said(&h).contains("Nothing was changed"), "{}", said(&h));
        assert_eq!(h.state().document().revision(), revision, "{cell} {text:?}");
    }
}

#[test]
fn filling_down_and_duplicating_are_one_step_each() {
    let mut h = demo_window();
    let all = h.state_mut().here().unwrap().evaluation.lines.clone();
    let start = all.iter().position(|l| !l.fills).unwrap();
    on(&mut h, &format!("{}, percent", all[start].name));
    keys(&mut h, Modifiers::SHIFT, Key::ArrowDown);
    keys(&mut h, Modifiers::SHIFT, Key::ArrowDown);
    keys(&mut h, Modifiers::COMMAND, Key::D);
    let top = percent(&mut h, &all[start].name);
    for l in &all[start..start + 3] {
        assert_eq!(percent(&mut h, &l.name), top);
    }
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert!(!h.state().document().is_changed());

    on(&mut h, "White kaolin, percent");
    keys(&mut h, Modifiers::COMMAND | Modifiers::SHIFT, Key::D);
    let twins: Vec<_> = names(&mut h).into_iter().filter(|n| n == "White kaolin").collect();
    assert_eq!(twins.len(), 2);
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(names(&mut h), all.iter().map(|l| l.name.clone()).collect::<Vec<_>>());
}

#[test]
fn a_range_of_lines_moves_together() {
    let mut h = demo_window();
    let before = names(&mut h);
    on(&mut h, &format!("{}, material", before[1]));
    keys(&mut h, Modifiers::SHIFT, Key::ArrowDown);
    keys(&mut h, Modifiers::ALT, Key::ArrowUp);
    let after = names(&mut h);
    assert_eq!(after[..3], [before[1].clone(), before[2].clone(), before[0].clone()]);
    // At the edge of the table the lines stay in their order.
    keys(&mut h, Modifiers::ALT, Key::ArrowUp);
    assert_eq!(names(&mut h), after);
}

#[test]
fn a_material_is_searched_for_in_the_table_without_accents_and_by_function() {
    let mut h = demo_window();
    let field = "Part of a common or INCI name, or a CAS number";
    on(&mut h, "White kaolin, material");
    type_in(&mut h, "illite");
    assert!(h.get_by_label(field).is_focused());
    h.key_press(Key::Escape);
    h.run_steps(4);
    assert!(h.query_by_label(field).is_none());
    assert!(h.get_by_label("White kaolin, material").is_focused(), "back on the cell");
    type_in(&mut h, "îllitë");
    h.key_press(Key::Enter);
    h.run_steps(4);
    let here = h.state_mut().here().unwrap();
    assert!(here.evaluation.lines.iter().any(|l| l.inci.starts_with("Illite")));

    // A function lists its materials; those of the project come first.
    keys(&mut h, Modifiers::COMMAND | Modifiers::SHIFT, Key::Enter);
    h.get_by_label(field).type_text("preservative");
    h.run_steps(3);
    let rows: Vec<String> = h
        .query_all_by_role(egui::accesskit::Role::ListBoxOption)
        .filter_map(|n| n.accesskit_node().label())
        .collect();
    assert!(rows.len() > 3, "{rows:?}");
    let project = h.state().document().project().clone();
    let first = project.materials.values().find(|m| m.display_name() == rows[0]);
    assert!(first.is_some(), "{rows:?}");
    // Clicking elsewhere ends the search and adds nothing.
    let count = names(&mut h).len();
    press(&mut h, "Stearyl alcohol, material");
    assert!(h.query_by_label(field).is_none());
    assert_eq!(names(&mut h).len(), count);
}

#[test]
fn phases_fold_by_key_and_by_mouse() {
    let mut h = demo_window();
    let here = h.state_mut().here().unwrap();
    let phase = here.formula.phases[0].clone();
    let first = here.evaluation.lines[0].name.clone();
    press(&mut h, &format!("Fold phase {}", phase.name));
    assert!(h.query_by_label(&format!("{first}, percent")).is_none());
    assert!(h.query_by_label(&format!("Unfold phase {}", phase.name)).is_some());
    h.get_by_label(&format!("Phase A {}", phase.name)).focus();
    h.run_steps(3);
    keys(&mut h, Modifiers::NONE, Key::ArrowRight);
    assert!(h.query_by_label(&format!("{first}, percent")).is_some());
    command(&mut h, "fold or unfold");
    assert!(h.query_by_label(&format!("{first}, percent")).is_none());
    assert!(h.query_by_label("White kaolin, percent").is_none());
    // Going to a line shows it.
    command(&mut h, "kaolin");
    assert!(h.query_by_label("White kaolin, percent").is_some());
    assert!(h.state().document().undo_label().is_none());
}

#[test]
fn columns_are_chosen_widened_and_kept() {
    let mut h = demo_window();
    press(&mut h, "Columns of the table");
    for column in ["Cost", "Function"] {
        h.get_by_role_and_label(egui::accesskit::Role::CheckBox, column).click();
        h.run_steps(3);
    }
    press(&mut h, "INCI name, wider");
    h.key_press(Key::Escape);
    h.run_steps(3);
    let shown = h.state().state().table.shown();
    assert!(shown.contains(&Column::Cost) && !shown.contains(&Column::Function));
    let kept = h.state().settings().columns.clone();
    assert!(kept.iter().any(|c| c.key == "inci" && c.width > 40.0));
    // Another window with these preferences has the same columns.
    let settings = h.state().settings().clone();
    let h = window(Open { settings, ..Open::default() });
    assert_eq!(h.state().state().table.shown(), shown);
}

#[test]
fn a_drag_over_cells_makes_a_range() {
    let mut h = demo_window();
    let all = h.state_mut().here().unwrap().evaluation.lines.clone();
    let at = |h: &Harness<'_, App>, i: usize| {
        h.get_by_label(&format!("{}, grams", all[i].name)).rect().center()
    };
    let (from, to) = (at(&h, 0), at(&h, 3));
    h.drag_at(from);
    h.run_steps(2);
    h.event(Event::PointerMoved(from + (to - from) * 0.5));
    h.run_steps(2);
    h.event(Event::PointerMoved(to));
    h.run_steps(2);
    h.drop_at(to);
    h.run_steps(2);
    let formula = h.state_mut().here().unwrap().formula;
    let range = h.state().state().table.range(&formula).unwrap();
    assert_eq!(range.lines.len(), 4);
    assert_eq!(range.columns, [Column::Grams]);
}

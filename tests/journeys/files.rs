//! Point 6: new, open, recent, save, save as, revert, a path at the start, a dropped file, the
//! unsaved-changes question, and the fallbacks where no file window opens.

use std::path::Path;

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use quern_studio::app::files::Answer;
use quern_tests::{Open, demo_window, window};

use crate::{enter, keys, percent, press, said};

fn demo_file(folder: &Path) -> std::path::PathBuf {
    let path = folder.join("workshop.ron");
    quern_project::save(&path, &quern_project::demo(), None).expect("the demo is saved");
    path
}

#[test]
fn a_project_is_saved_opened_and_saved_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine");
    let mut h = window(Open { answers: vec![Answer::Path(path.clone())], ..Open::default() });
    enter(&mut h, "White kaolin, percent", "9.5");
    keys(&mut h, Modifiers::COMMAND, Key::S);
    let path = path.with_extension("ron");
    assert!(path.exists(), "{}", said(&h));
    assert!(!h.state().document().is_changed());
    enter(&mut h, "White kaolin, percent", "9.25");
    assert!(h.state().document().is_changed());
    keys(&mut h, Modifiers::COMMAND, Key::S);
    assert!(quern_project::backup_path(&path).exists(), "the file before stays as a backup");

    let mut h = window(Open { file: Some(path), ..Open::default() });
    assert_eq!(percent(&mut h, "White kaolin"), "9.25");
}

#[test]
fn where_no_file_window_opens_a_path_can_be_typed() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("typed.ron");
    let mut h =
        window(Open { answers: vec![Answer::NoWindow, Answer::NoWindow], ..Open::default() });
    keys(&mut h, Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    assert!(h.query_by_label("Save the project").is_some());
    type_path(&mut h, &path);
    press(&mut h, "Save");
    assert!(path.exists(), "{}", said(&h));
    keys(&mut h, Modifiers::COMMAND, Key::O);
    assert!(h.query_by_label("Open a project").is_some());
    type_path(&mut h, &path);
    press(&mut h, "Open");
    assert_eq!(h.state().document().path.as_deref(), Some(path.as_path()));
}

#[track_caller]
fn type_path(h: &mut egui_kittest::Harness<'_, quern_studio::app::App>, path: &Path) {
    let field = "Path of the project file";
    h.get_by_label(field).focus();
    h.run_steps(2);
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run_steps(1);
    h.get_by_label(field).type_text(&path.display().to_string());
    h.run_steps(2);
}

#[test]
fn cancelling_the_file_window_changes_nothing() {
    let mut h = window(Open { answers: vec![Answer::Cancelled], ..Open::default() });
    keys(&mut h, Modifiers::COMMAND, Key::S);
    assert!(h.state().document().path.is_none());
    assert!(h.state().state().dialogs.is_empty());
}

#[test]
fn unsaved_changes_are_asked_about_before_anything_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let path = demo_file(folder.path());
    let mut h = window(Open { file: Some(path.clone()), ..Open::default() });
    enter(&mut h, "White kaolin, percent", "9.5");
    keys(&mut h, Modifiers::COMMAND, Key::N);
    assert!(h.query_by_label("Save your changes first?").is_some());
    press(&mut h, "Go back");
    assert_eq!(percent(&mut h, "White kaolin"), "9.5", "nothing was lost");
    keys(&mut h, Modifiers::COMMAND, Key::N);
    press(&mut h, "Save");
    assert!(h.state().document().path.is_none(), "the new project is at hand");
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("9.5 %"), "and the old one was saved");
}

#[test]
fn losing_the_changes_is_possible_when_said() {
    let mut h = demo_window();
    enter(&mut h, "White kaolin, percent", "9.5");
    keys(&mut h, Modifiers::COMMAND, Key::N);
    press(&mut h, "Lose the changes");
    assert_eq!(h.state().document().project().formulas[0].name, "New formula");
    assert!(h.query_all_by_label("Nothing in the formula yet").next().is_some());
}

#[test]
fn revert_reads_the_file_again_and_can_be_undone() {
    let folder = tempfile::tempdir().unwrap();
    let path = demo_file(folder.path());
    let mut h = window(Open { file: Some(path), ..Open::default() });
    let before = percent(&mut h, "White kaolin");
    enter(&mut h, "White kaolin, percent", "9.5");
    crate::command(&mut h, "revert");
    assert_eq!(percent(&mut h, "White kaolin"), before);
    assert!(!h.state().document().is_changed());
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(percent(&mut h, "White kaolin"), "9.5");
}

#[test]
fn a_file_that_another_window_changed_is_not_overwritten_unasked() {
    let folder = tempfile::tempdir().unwrap();
    let path = demo_file(folder.path());
    let mut one = window(Open { file: Some(path.clone()), ..Open::default() });
    let mut two = window(Open { file: Some(path.clone()), ..Open::default() });
    enter(&mut one, "White kaolin, percent", "9.5");
    keys(&mut one, Modifiers::COMMAND, Key::S);
    enter(&mut two, "White kaolin, percent", "7.5");
    keys(&mut two, Modifiers::COMMAND, Key::S);
    assert!(two.query_by_label("The file has changed on disk").is_some());
    assert!(std::fs::read_to_string(&path).unwrap().contains("9.5 %"));
    press(&mut two, "Write over it");
    assert!(std::fs::read_to_string(&path).unwrap().contains("7.5 %"));
    let backup = std::fs::read_to_string(quern_project::backup_path(&path)).unwrap();
    assert!(backup.contains("9.5 %"), "what was there stays as a backup");
}

#[test]
fn a_bad_file_is_told_and_the_open_project_stays() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("cut.ron");
    std::fs::write(&path, "// Quern project, format 1\n(format: 1, project: (").unwrap();
    let h = window(Open { file: Some(path), ..Open::default() });
    assert!(said(&h).contains("cut.ron"), "{}", said(&h));
    assert_eq!(h.state().document().project().formulas[0].name, "Dune");
}

#[test]
fn a_vanished_folder_is_told_and_nothing_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let path = demo_file(folder.path());
    let mut h = window(Open { file: Some(path), ..Open::default() });
    enter(&mut h, "White kaolin, percent", "9.5");
    drop(folder);
    keys(&mut h, Modifiers::COMMAND, Key::S);
    assert!(h.state().document().is_changed(), "{}", said(&h));
    assert_eq!(percent(&mut h, "White kaolin"), "9.5");
    let text = said(&h);
    assert!(text.to_lowercase().contains("folder"), "{text}");
}

#[test]
fn an_opened_project_is_among_the_recent_ones() {
    let folder = tempfile::tempdir().unwrap();
    let path = demo_file(folder.path());
    let mut h = window(Open { file: Some(path), ..Open::default() });
    press(&mut h, "Menu");
    press(&mut h, "Project");
    press(&mut h, "Open recent");
    assert!(h.query_by_label("workshop.ron").is_some());
}

#[test]
fn a_project_without_formulas_opens_with_an_empty_one() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bare.ron");
    std::fs::write(&path, "(format: 4, project: (name: \"Bare\"))").unwrap();
    let mut h = window(Open { file: Some(path), ..Open::default() });
    assert_eq!(h.state().document().project().name, "Bare");
    assert!(h.query_by_label("+ Add a material").is_some(), "{}", said(&h));
    keys(&mut h, Modifiers::COMMAND | Modifiers::SHIFT, Key::N);
    assert_eq!(h.state().document().project().formulas.len(), 2);
}

#[test]
fn what_could_not_be_saved_is_refused_and_the_entry_stays() {
    let mut h = demo_window();
    // Each of them may stand alone; what is left to 100 may not.
    for name in ["Stearyl alcohol", "Cocoa butter"] {
        enter(&mut h, &format!("{name}, percent"), "1000000000000");
        assert_eq!(percent(&mut h, name), "1000000000000");
    }
    press(&mut h, "White kaolin, material");
    crate::command(&mut h, "fill to 100");
    assert!(said(&h).contains("beyond a million million"), "{}", said(&h));
    assert_eq!(percent(&mut h, "White kaolin"), "9");
    let name = h.state().document().project().name.clone();
    crate::command(&mut h, "project details");
    h.get_by_label("Name").focus();
    h.run_steps(2);
    h.get_by_label("Name").type_text(&"long ".repeat(5_000));
    h.run_steps(2);
    press(&mut h, "Apply");
    assert!(said(&h).contains("at most 20000"), "{}", said(&h));
    assert!(h.query_by_label("Name").is_some(), "the dialog is open with what was typed");
    assert_eq!(h.state().document().project().name, name);
}

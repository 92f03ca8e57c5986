//! Versions, what is read-only, the bin and the list of steps.

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use quern_calc::formula::{FormulaId, VersionState};
use quern_project::Project;
use quern_studio::app::App;
use quern_studio::app::files::Answer;
use quern_studio::app::state::View;
use quern_tests::{Open, demo_window, window};

use crate::{command, enter, keys, percent, press, said};

fn dune() -> FormulaId {
    FormulaId::new("dune")
}

fn project(h: &Harness<'_, App>) -> Project {
    (**h.state().document().project()).clone()
}

/// Types into the field of a dialog without leaving it.
#[track_caller]
fn fill(h: &mut Harness<'_, App>, field: &str, text: &str) {
    h.get_by_label(field).focus();
    h.run_steps(2);
    keys(h, Modifiers::COMMAND, Key::A);
    h.get_by_label(field).type_text(text);
    h.run_steps(2);
}

#[track_caller]
fn choose(h: &mut Harness<'_, App>, list: &str, entry: &str) {
    press(h, list);
    press(h, entry);
}

/// The demo with version 4 of Dune kept as released, and version 5 with more kaolin at work.
fn with_a_kept_version() -> Harness<'static, App> {
    let mut h = demo_window();
    command(&mut h, "keep this version");
    choose(&mut h, "State", "released");
    fill(&mut h, "Why version 4", "sold at the winter market");
    fill(&mut h, "Why version 5", "firmer");
    press(&mut h, "Keep");
    assert_eq!(said(&h), "Version 4 is kept, released; version 5 goes on");
    enter(&mut h, "White kaolin, percent", "12");
    h
}

#[test]
fn a_version_is_kept_with_state_and_reason_and_the_next_goes_on() {
    let mut h = with_a_kept_version();
    let project = project(&h);
    let kept = &project.version(&dune(), 4).unwrap().version;
    assert_eq!(
        (kept.state, kept.reason.as_str()),
        (VersionState::Released, "sold at the winter market")
    );
    let now = &project.formula(&dune()).unwrap().version;
    assert_eq!(
        (now.number, now.state, &now.parent, now.reason.as_str()),
        (5, VersionState::Draft, &Some((dune(), 4)), "firmer")
    );
    assert_eq!(percent(&mut h, "White kaolin"), "12", "the next one takes changes");
    // One step, and a reason is asked for.
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(*h.state().document().project().as_ref(), quern_project::demo());
    command(&mut h, "keep this version");
    fill(&mut h, "Why version 4", " ");
    press(&mut h, "Keep");
    assert!(
        h.query_by_label_contains("Write why version 4 was made").is_some(),
        "the error stands in the dialog"
    );
    assert!(project_is_demo(&h));
}

fn project_is_demo(h: &Harness<'_, App>) -> bool {
    **h.state().document().project() == quern_project::demo()
}

#[test]
fn a_released_version_is_read_only_and_says_why_and_how_to_go_on() {
    let mut h = demo_window();
    command(&mut h, "keep this version");
    choose(&mut h, "State", "released");
    press(&mut h, "Go on as version 5, a draft");
    press(&mut h, "Set");
    assert_eq!(said(&h), "Version 4 is released now");
    let before = project(&h);
    let why = "Version 4 is released and read-only; start version 5 to change it";
    assert!(h.query_by_label(why).is_some(), "a strip says so");

    // A cell, a command, another view, and the details.
    enter(&mut h, "White kaolin, percent", "12");
    assert_eq!(
        said(&h),
        "Dune, version 4 is released and read-only, so nothing was changed; start version 5 to go on from it"
    );
    keys(&mut h, Modifiers::COMMAND, Key::K);
    h.get_by_label("A command, formula, line or material").type_text("add an exfoliant");
    h.run_steps(4);
    let greyed = format!("Add an exfoliant...: {why}");
    let row = h.get_by_label(&greyed);
    assert!(row.accesskit_node().is_disabled(), "greyed in the palette");
    h.key_press(Key::Escape);
    h.run_steps(3);
    assert_eq!(project(&h), before);
    keys(&mut h, Modifiers::COMMAND, Key::E);
    assert!(h.get_by_label("Name").accesskit_node().is_disabled());
    choose(&mut h, "State", "retired");
    press(&mut h, "Apply");
    assert_eq!(project(&h).formula(&dune()).unwrap().version.state, VersionState::Retired);
    keys(&mut h, Modifiers::COMMAND, Key::E);
    press(&mut h, "State");
    assert!(h.query_by_label("draft").is_none(), "it never becomes editable again");
    h.key_press(Key::Escape);
    h.run_steps(2);
    h.key_press(Key::Escape);
    h.run_steps(3);

    // The batch plan is not the version's.
    let plans = project(&h).plans;
    enter(&mut h, "Batch size, gross, grams", "900");
    assert_ne!(project(&h).plans, plans, "{}", said(&h));

    press(&mut h, "Start version 5");
    enter(&mut h, "White kaolin, percent", "12");
    assert_eq!(percent(&mut h, "White kaolin"), "12");
    let after = project(&h);
    let kept = after.version(&dune(), 4).unwrap();
    assert_eq!(kept.phases, before.formula(&dune()).unwrap().phases);
    assert!(h.query_by_label(why).is_none());
}

#[test]
fn nothing_that_was_refused_is_reported_as_done() {
    let mut h = demo_window();
    command(&mut h, "keep this version");
    choose(&mut h, "State", "released");
    press(&mut h, "Go on as version 5, a draft");
    press(&mut h, "Set");
    let before = project(&h);
    keys(&mut h, Modifiers::COMMAND, Key::Num2);
    press(&mut h, "Take the right blend");
    assert_eq!(project(&h), before);
    assert!(said(&h).contains("read-only"), "{}", said(&h));
    let claims = h.state().notices().into_iter().filter(|n| n.contains("now holds"));
    assert_eq!(claims.count(), 0);
}

#[test]
fn versions_are_listed_compared_marked_and_gone_back_to() {
    let mut h = with_a_kept_version();
    let released = project(&h).version(&dune(), 4).unwrap().clone();
    command(&mut h, "versions...");
    assert!(h.query_by_label("Version 5, draft, at work").is_some());
    assert!(h.query_by_label("Version 4, released, kept on 25 November 2026").is_some());
    assert!(h.query_by_label("From version 4: firmer").is_some(), "parent and reason");
    // What differs, in words and figures.
    assert!(h.query_by_label("From version 4 to version 5").is_some());
    assert!(h.query_by_label_contains("White kaolin up from").is_some());
    assert!(h.query_by_label("Figures that differ").is_some());
    assert!(h.query_by_label("Mark as trial").is_none(), "released goes to retired only");
    press(&mut h, "Mark as retired");
    assert_eq!(project(&h).version(&dune(), 4).unwrap().version.state, VersionState::Retired);
    assert!(h.query_by_label("Version 4, retired, kept on 25 November 2026").is_some());

    press(&mut h, "Go back to it...");
    fill(&mut h, "Why version 6", "the firm one cracked");
    press(&mut h, "Go back to version 4");
    assert!(said(&h).contains("Version 6 goes on from version 4"), "{}", said(&h));
    let now = project(&h);
    let formula = now.formula(&dune()).unwrap();
    assert_eq!(formula.phases, released.phases);
    assert_eq!(formula.version.parent, Some((dune(), 4)));
    assert_eq!(formula.version.reason, "the firm one cracked");
    assert_eq!(now.version(&dune(), 5).unwrap().version.reason, "firmer", "nothing is lost");
    // The two are alike now.
    assert!(h.query_by_label("From version 4 to version 6").is_some());
    assert!(h.query_by_label("nothing differs").is_some());

    press(&mut h, "Version 5, draft, kept on 25 November 2026");
    press(&mut h, "Show beside the one at work");
    assert_eq!(h.state().state().view, View::Compare);
    assert!(h.query_by_label("Left side: Dune, version 5").is_some());
    assert!(h.query_by_label("Right side: Dune").is_some());
    assert!(h.query_by_label_contains("White kaolin down from 12").is_some(), "in words");
}

#[test]
fn versions_are_sides_of_the_comparison_and_found_by_name() {
    let mut h = with_a_kept_version();
    command(&mut h, "dune version 4");
    assert!(h.query_by_label("Left side: Dune, version 4").is_some());
    press(&mut h, "Swap sides");
    // What is kept is nowhere to put a blend.
    press(&mut h, "Right side: Dune, version 4");
    press(&mut h, "Shingle, version 2");
    assert!(h.query_by_label("Right side: Shingle").is_some());
    press(&mut h, "Left side: Dune");
    press(&mut h, "Dune, version 4, released, kept");
    let before = project(&h);
    press(&mut h, "Take the right blend");
    assert_eq!(project(&h), before);
    assert!(said(&h).contains("kept version, which stays as it was"), "{}", said(&h));
    // Undone, the kept version is at work again, and the number still names the same content.
    for _ in 0..2 {
        keys(&mut h, Modifiers::COMMAND, Key::Z);
    }
    assert!(project_is_demo(&h));
    assert!(h.query_by_label("Left side: Dune, version 4").is_some());
    command(&mut h, "remove formula");
    h.run_steps(2);
    assert!(
        h.query_by_label_contains("side: Dune").is_none(),
        "what is gone leaves the comparison"
    );
}

#[test]
fn a_number_that_is_taken_is_refused_beside_the_field() {
    let mut h = with_a_kept_version();
    keys(&mut h, Modifiers::COMMAND, Key::E);
    fill(&mut h, "Version", "4");
    press(&mut h, "Apply");
    assert!(
        h.query_by_label("Version 4 is kept already; the next free number is 6").is_some(),
        "the dialog stays with the reason"
    );
    assert_eq!(project(&h).formula(&dune()).unwrap().version.number, 5);
}

#[test]
fn a_removed_formula_waits_in_the_bin_with_all_that_is_its() {
    let mut h = with_a_kept_version();
    let whole = project(&h);
    command(&mut h, "remove formula");
    assert_eq!(said(&h), "Formula is in the bin; undo brings it back");
    let gone = project(&h);
    assert!(gone.formula(&dune()).is_none() && gone.kept.is_empty());
    command(&mut h, "bin...");
    let entry = "1. Dune, version 5, with 1 kept version, removed on 25 November 2026";
    assert!(h.query_by_label(entry).is_some());
    press(&mut h, "Restore");
    assert_eq!(said(&h), "Dune is back in the project");
    let back = project(&h);
    assert_eq!(back.formula(&dune()), whole.formula(&dune()));
    assert_eq!((&back.kept, &back.plans), (&whole.kept, &whole.plans));
    assert_eq!(h.state().state().formula, dune());
    assert!(h.query_by_label("The bin is empty").is_some());
    press(&mut h, "Close");

    // For good, after a question; undo still knows it.
    command(&mut h, "remove formula");
    command(&mut h, "bin...");
    press(&mut h, "Remove for good...");
    press(&mut h, "Leave in the bin");
    assert_eq!(project(&h).bin.len(), 1);
    press(&mut h, "Remove for good...");
    press(&mut h, "Remove for good");
    assert!(project(&h).bin.is_empty());
    press(&mut h, "Close");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(project(&h).bin.len(), 1);
    command(&mut h, "bin...");
    press(&mut h, "Empty the bin...");
    press(&mut h, "Empty the bin");
    assert!(project(&h).bin.is_empty());
}

#[test]
fn the_list_of_steps_jumps_back_and_forward_at_once() {
    let mut h = demo_window();
    let mut states = vec![project(&h)];
    for amount in ["8", "9.5", "10", "10.5"] {
        enter(&mut h, "White kaolin, percent", amount);
        states.push(project(&h));
    }
    keys(&mut h, Modifiers::COMMAND, Key::H);
    assert!(h.query_by_label("4. Change amount, 12:00, the present").is_some());
    let notices = h.state().notices().len();
    press(&mut h, "1. Change amount, 12:00");
    assert_eq!(project(&h), states[1]);
    assert_eq!(said(&h), "Back to: change amount");
    assert_eq!(h.state().notices().len(), notices + 1, "one notice for three steps");
    assert!(h.query_by_label("1. Change amount, 12:00, the present").is_some());
    press(&mut h, "3. Change amount, 12:00");
    assert_eq!(project(&h), states[3]);
    press(&mut h, "As it was at first");
    assert_eq!(project(&h), states[0]);
    // By key: the row has the focus and Enter takes it.
    h.get_by_label("4. Change amount, 12:00").focus();
    h.run_steps(2);
    h.key_press(Key::Enter);
    h.run_steps(3);
    assert_eq!(project(&h), states[4]);
    press(&mut h, "Close");
    assert!(h.state().document().steps().all.iter().all(|s| !s.label.trim().is_empty()));
}

#[test]
fn undo_survives_saving_and_saving_under_another_name() {
    let folder = tempfile::tempdir().unwrap();
    let answers = ["one.ron", "two.ron"].map(|n| Answer::Path(folder.path().join(n)));
    let mut h = window(Open { answers: answers.to_vec(), ..Open::default() });
    enter(&mut h, "White kaolin, percent", "9.2");
    keys(&mut h, Modifiers::COMMAND, Key::S);
    assert!(!h.state().document().is_changed(), "{}", said(&h));
    enter(&mut h, "White kaolin, percent", "10");
    keys(&mut h, Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    assert!(folder.path().join("two.ron").exists(), "{}", said(&h));
    assert!(!h.state().document().is_changed());
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(percent(&mut h, "White kaolin"), "9.2");
    assert!(h.state().document().is_changed(), "the file holds what was saved, not this");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert!(project_is_demo(&h));
    for _ in 0..2 {
        keys(&mut h, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    }
    assert!(!h.state().document().is_changed(), "back at what was saved");
}

#[test]
fn kept_versions_and_the_bin_come_back_from_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine.ron");
    let mut h = with_a_kept_version();
    command(&mut h, "remove formula");
    command(&mut h, "keep this version");
    fill(&mut h, "Why version 2", "as sold");
    press(&mut h, "Keep");
    let whole = project(&h);
    quern_project::save(&path, &whole, None).unwrap();
    let mut h = window(Open { file: Some(path), ..Open::default() });
    h.run_steps(3);
    assert_eq!(project(&h), whole);
}

#[test]
fn a_copy_takes_the_measurements_along() {
    let mut whole = quern_project::demo();
    let reading = quern_calc::setting::calibrate::Reading::SetsAt { c: 44.0 };
    std::sync::Arc::make_mut(&mut whole.setting).measured =
        vec![quern_calc::setting::calibrate::Measured {
            formula: dune(),
            name: "Dune, version 4".to_owned(),
            date: None,
            reading,
            said: Vec::new(),
        }];
    let mut h = window(Open { project: Some(whole), ..Open::default() });
    command(&mut h, "duplicate formula");
    let project = project(&h);
    let measured = &project.setting.measured;
    assert_eq!(measured.len(), 2);
    assert_eq!(measured[1].formula, h.state().state().formula);
    assert_eq!(measured[1].name, "Dune, version 4", "it tells what was measured");
    assert_eq!(said(&h), "Measurements of Dune count for the copy as well: 1");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(h.state().document().project().setting.measured.len(), 1, "one step");
}

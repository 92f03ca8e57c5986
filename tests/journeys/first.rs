//! Issue 6, point 7 and the palette of point 2: opening page, kinds of product, demo projects,
//! tour, guide, shortcut sheet, greyed commands, and views with nothing in them.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use quern_project::Project;
use quern_project::settings::Settings;
use quern_studio::app::App;
use quern_studio::app::commands::TABLE;
use quern_studio::app::home::Opening;
use quern_studio::app::state::View;
use quern_tests::{Open, demo_window, window};

use crate::{command, enter, keys, percent, press, said};

fn at_home(recent: Vec<PathBuf>, missing: Option<PathBuf>) -> Harness<'static, App> {
    let settings = Settings { recent, ..Settings::default() };
    let mut h = window(Open { settings, project: Some(Project::blank()), ..Open::default() });
    h.state_mut().begin(Opening::Home { missing });
    h.run_steps(6);
    h
}

fn saved(folder: &Path, name: &str) -> PathBuf {
    let path = folder.join(name);
    quern_project::save(&path, &quern_project::demo(), None).expect("the demo is saved");
    path
}

#[track_caller]
fn disabled(h: &Harness<'_, App>, name: &str) -> bool {
    h.get_by_label(name).accesskit_node().is_disabled()
}

#[test]
fn the_opening_page_opens_a_recent_file_and_forgets_one_that_is_gone() {
    let folder = tempfile::tempdir().unwrap();
    let there = saved(folder.path(), "there.ron");
    let gone = folder.path().join("gone.ron");
    let place = folder.path().display();
    let mut h = at_home(vec![gone.clone(), there.clone()], Some(gone.clone()));
    let text = format!("The project of last time is not there any more: {}", gone.display());
    assert!(h.query_by_label(&text).is_some());
    assert!(disabled(&h, &format!("gone.ron in {place}, not found")));
    press(&mut h, &format!("Remove gone.ron in {place} from the list"));
    assert!(h.query_by_label(&format!("gone.ron in {place}, not found")).is_none());
    assert!(h.query_by_label(&text).is_none());
    // By keyboard: focus and Enter.
    h.get_by_label(&format!("Open there.ron in {place}")).focus();
    h.run_steps(2);
    h.key_press(Key::Enter);
    h.run_steps(5);
    assert_eq!(h.state().document().path.as_deref(), Some(there.as_path()));
    assert_eq!(h.state().state().view, View::Formula);
}

#[test]
fn a_demo_project_opens_as_a_copy_after_asking() {
    let mut h = demo_window();
    enter(&mut h, "White kaolin, percent", "9.5");
    keys(&mut h, Modifiers::COMMAND | Modifiers::SHIFT, Key::O);
    h.run_steps(4);
    let card = "Open a copy of Heath bench: A light lotion, a hand cream and a balm without water";
    press(&mut h, card);
    assert!(h.query_by_label("Save your changes first?").is_some());
    press(&mut h, "Go back");
    assert_eq!(h.state().document().project().name, "Coast workshop");
    assert_eq!(percent(&mut h, "White kaolin"), "9.5");
    press(&mut h, card);
    press(&mut h, "Lose the changes");
    let project = h.state().document().project();
    assert_eq!(project.name, "Heath bench");
    assert!(h.state().document().path.is_none() && !h.state().document().is_changed());
}

#[test]
fn a_kind_of_product_shows_its_ranges_before_one_begins_with_it() {
    let mut h = at_home(Vec::new(), None);
    press(&mut h, "Lip balm: lip balm, leave-on");
    // The ranges of common practice: wax 18 to 30, usually 23 to 28; the skeleton holds 22.
    assert!(h.query_by_label("Wax: min 18, usual 23–28, max 30, here 22").is_some());
    press(&mut h, "Bath bomb");
    let soda = "Sodium bicarbonate: min 45, usual –, max 60, here 52";
    assert!(h.query_by_label(soda).is_some());
    press(&mut h, "New project from it");
    let project = h.state().document().project();
    assert_eq!(project.formulas.len(), 1);
    assert_eq!(project.formulas[0].name, "Bath bomb skeleton");
    assert!(project.materials.len() > 5, "it carries what it uses");
    assert!(h.state_mut().here().unwrap().evaluation.total_ok);

    // And into the project at hand, as one step.
    let mut h = demo_window();
    command(&mut h, "new from skeleton");
    press(&mut h, "Solid lotion bar");
    press(&mut h, "Add to this project");
    assert_eq!(h.state().document().project().formulas.len(), 5);
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(h.state().document().project().formulas.len(), 4);
}

#[test]
fn the_tour_goes_forward_and_back_and_can_be_left() {
    for (size, scale) in [([1280.0, 800.0], 1.0), ([640.0, 400.0], 2.0)] {
        let mut h = window(Open { size, scale, ..Open::default() });
        h.state_mut().begin(Opening::Demo);
        h.run_steps(4);
        assert!(h.query_by_label("New here?").is_some());
        press(&mut h, "Take the tour");
        let titles =
            ["The formula", "The batch", "What follows", "The other views", "To the bench"];
        for title in titles {
            assert!(h.query_all_by_label(title).next().is_some(), "{title}");
            let card = h.get_by_label(title).rect();
            assert!(h.ctx.content_rect().contains_rect(card), "{title} at {card}");
            if title != "To the bench" {
                h.key_press(Key::Enter);
                h.run_steps(4);
            }
        }
        h.key_press(Key::ArrowLeft);
        h.run_steps(4);
        assert!(h.query_by_label("The other views").is_some());
        h.key_press(Key::ArrowRight);
        h.run_steps(4);
        assert!(h.query_by_label("To the bench").is_some());
        press(&mut h, "Done");
        assert!(h.state().state().tour.is_none());
        command(&mut h, "tour");
        assert!(h.query_by_label("The formula").is_some());
        h.key_press(Key::Escape);
        h.run_steps(4);
        assert!(h.state().state().tour.is_none());
    }
}

#[test]
fn the_tour_leaves_the_window_in_use() {
    let mut h = demo_window();
    command(&mut h, "tour");
    enter(&mut h, "White kaolin, percent", "9.5");
    assert_eq!(percent(&mut h, "White kaolin"), "9.5");
    assert_eq!(h.state().state().tour, Some(1));
    press(&mut h, "Leave the tour");
    assert!(h.state().state().tour.is_none());
}

#[test]
fn the_guide_is_searched_and_its_links_lead_on() {
    let mut h = demo_window();
    keys(&mut h, Modifiers::SHIFT, Key::F1);
    h.get_by_label("Search the guide").type_text("archard");
    h.run_steps(4);
    assert!(h.query_by_label("On 1 page").is_some());
    assert!(h.query_all_by_label("Grit index").next().is_some());
    h.get_by_role_and_label(Role::Link, "the search for a blend").focus();
    h.run_steps(3);
    h.key_press(Key::Enter);
    h.run_steps(4);
    assert!(h.query_by_label("How it goes").is_some());
    keys(&mut h, Modifiers::ALT, Key::ArrowLeft);
    assert!(h.query_by_label("How it goes").is_none());
    h.key_press(Key::Escape);
    h.run_steps(3);
    assert!(h.state().state().dialogs.is_empty());
    // A view leads to its page.
    keys(&mut h, Modifiers::COMMAND, Key::Num6);
    h.get_by_label("How this is worked out: Order of the ingredient list").focus();
    h.run_steps(3);
    h.key_press(Key::Enter);
    h.run_steps(4);
    assert!(h.query_by_label("Height of letters").is_some());
}

#[test]
fn the_sheet_of_shortcuts_has_them_all() {
    for size in [[1280.0, 800.0], [640.0, 400.0]] {
        let mut h = window(Open { size, ..Open::default() });
        h.key_press(Key::F1);
        h.run_steps(4);
        for row in TABLE.iter().filter(|r| r.shortcut.is_some()) {
            assert!(h.query_all_by_label(row.name).next().is_some(), "{}", row.name);
        }
        assert!(h.query_by_label("In the phase table").is_some());
        h.key_press(Key::Escape);
        h.run_steps(3);
        assert!(h.state().state().dialogs.is_empty());
    }
}

#[test]
fn what_cannot_be_done_says_why() {
    let mut h = demo_window();
    keys(&mut h, Modifiers::COMMAND, Key::K);
    h.get_by_label("A command, formula, line or material").type_text("move line");
    h.run_steps(4);
    assert!(disabled(&h, "Move line up: Select a line first"));
    h.key_press(Key::Enter);
    h.run_steps(3);
    assert!(!h.state().document().is_changed());
    h.key_press(Key::Escape);
    h.run_steps(3);
    // By its shortcut, it is said.
    keys(&mut h, Modifiers::COMMAND, Key::L);
    assert_eq!(said(&h), "Lock or unlock line: Select a line first");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(said(&h), "Undo: There is nothing to undo");
    press(&mut h, "Menu");
    press(&mut h, "Edit");
    let rows: Vec<bool> =
        h.query_all_by_label_contains("Redo").map(|n| n.accesskit_node().is_disabled()).collect();
    assert!(!rows.is_empty() && rows.iter().all(|d| *d), "{rows:?}");
}

#[test]
fn the_palette_groups_what_it_finds() {
    let mut h = demo_window();
    keys(&mut h, Modifiers::COMMAND, Key::K);
    assert!(h.query_by_label("Commands").is_some());
    let field = "A command, formula, line or material";
    h.get_by_label(field).type_text("shingle");
    h.run_steps(4);
    assert!(h.query_by_label("Formulas").is_some());
    h.key_press(Key::Enter);
    h.run_steps(4);
    assert_eq!(h.state().state().formula.as_str(), "shingle");
    keys(&mut h, Modifiers::COMMAND, Key::K);
    // Letters left out, and an accent that nobody types.
    h.get_by_label(field).type_text("gliceryl");
    h.run_steps(4);
    assert!(h.query_by_label("Add a material").is_some());
    h.key_press(Key::Escape);
    h.run_steps(3);
    command(&mut h, "reading typeface");
    keys(&mut h, Modifiers::COMMAND, Key::K);
    h.get_by_label(field).type_text("decimal");
    h.run_steps(4);
    assert!(h.query_by_label("Settings").is_some());
}

#[test]
fn empty_views_say_what_to_do_and_do_it() {
    for key in [Key::Num1, Key::Num4, Key::Num5, Key::Num6] {
        let mut h = window(Open { project: Some(Project::blank()), ..Open::default() });
        keys(&mut h, Modifiers::COMMAND, key);
        h.run_steps(4);
        assert!(h.query_by_label("New formula is empty").is_some(), "{key:?}");
        press(&mut h, "Add a material...");
        h.run_steps(3);
        // The table opens with a search in place.
        let field = "Part of a common or INCI name, or a CAS number";
        assert!(h.get_by_label(field).is_focused(), "{key:?}");
        h.key_press(Key::Enter);
        h.run_steps(4);
        assert!(h.query_by_label("New formula is empty").is_none(), "{key:?}");
        assert_eq!(h.state().document().project().formulas[0].lines().count(), 1);
    }
    let mut h = window(Open { project: Some(Project::blank()), ..Open::default() });
    keys(&mut h, Modifiers::COMMAND, Key::Num3);
    press(&mut h, "Add an exfoliant...");
    assert!(h.query_by_label("Exfoliant for New formula").is_some());
    h.key_press(Key::Escape);
    h.run_steps(3);
    keys(&mut h, Modifiers::COMMAND, Key::Num2);
    assert!(h.query_by_label("One formula is not enough to compare").is_some());
    press(&mut h, "Duplicate formula");
    assert_eq!(h.state().document().project().formulas.len(), 2);
    assert!(h.query_by_label("One formula is not enough to compare").is_none());
}

#[test]
fn buttons_of_the_opening_page_have_names_of_their_own_and_the_window_rests() {
    let folder = tempfile::tempdir().unwrap();
    let recent = vec![saved(folder.path(), "one.ron"), folder.path().join("two.ron")];
    let mut h = at_home(recent, None);
    // `run` panics when the window keeps asking to be drawn.
    h.run();
    let mut names = BTreeSet::new();
    for node in h.root().children_recursive() {
        let node = node.accesskit_node();
        if node.role() == Role::Button {
            let name = node.label().unwrap_or_default();
            assert!(name.len() > 2, "a button is called {name:?}");
            assert!(names.insert(name.clone()), "{name} is there twice");
        }
    }
    assert!(names.len() > 20, "{names:?}");
    command(&mut h, "tour");
    h.run();
    assert_eq!(h.state().state().tour, Some(1));
}

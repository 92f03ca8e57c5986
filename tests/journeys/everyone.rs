//! For everyone: names, order, focus, targets, contrast and small windows.

use std::collections::BTreeMap;

use egui::accesskit::{Action as Act, Role};
use egui::{Key, Modifiers, Rect};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use quern_studio::app::App;
use quern_studio::app::action::Action;
use quern_studio::app::commands::{Command, TABLE};
use quern_studio::app::safety::{FindingsTab, SafetyAction};
use quern_studio::app::setting::SettingAction;
use quern_studio::app::state::{Dialog, View};
use quern_studio::look::Tokens;
use quern_tests::{Open, demo_window, window};

use crate::{command, keys, line, percent, press};

const VIEWS: [View; 6] =
    [View::Formula, View::Grit, View::Setting, View::Findings, View::Label, View::Compare];

/// Carries an action out and lets the window settle.
fn act(h: &mut Harness<'_, App>, action: Action) {
    let ctx = h.ctx.clone();
    h.state_mut().carry_out(&ctx, action);
    h.run_steps(6);
}

/// A thing that can be acted on: its role, name and place.
struct Control {
    role: Role,
    name: String,
    rect: Rect,
}

/// Everything that can be clicked or take the focus.
fn controls(h: &Harness<'_, App>) -> Vec<Control> {
    h.root()
        .children_recursive()
        .filter_map(|node| {
            let n = node.accesskit_node();
            let data = n.data();
            let acts = data.supports_action(Act::Click) || data.supports_action(Act::Focus);
            // Labels act only in that their text can be marked; scroll bars are for the pointer,
            // and wheel, keys and focus scroll too.
            let container = matches!(
                n.role(),
                Role::Window
                    | Role::GenericContainer
                    | Role::Unknown
                    | Role::ScrollView
                    | Role::ScrollBar
                    | Role::Label
            );
            if !acts || container || n.is_hidden() || n.is_disabled() {
                return None;
            }
            let name = n.label().unwrap_or_default();
            Some(Control { role: n.role(), name, rect: node.rect() })
        })
        .collect()
}

/// Every view, and every dialog that a command opens in the demo, with what it is called.
fn everywhere(mut look: impl FnMut(&str, &mut Harness<'_, App>)) {
    let mut h = demo_window();
    for view in VIEWS {
        act(&mut h, Action::Show(view));
        look(&format!("{view:?}"), &mut h);
    }
    for tab in FindingsTab::ALL {
        act(&mut h, Action::Show(View::Findings));
        act(&mut h, Action::Safety(SafetyAction::Tab(tab)));
        look(&format!("Findings, {tab:?}"), &mut h);
    }
    act(&mut h, Action::Show(View::Setting));
    act(&mut h, Action::Setting(SettingAction::AsTable(true)));
    let other = h.state().document().project().formulas[1].id.clone();
    act(&mut h, Action::Setting(SettingAction::Beside(Some(other))));
    look("Setting as a table, with another formula", &mut h);
    act(&mut h, Action::Show(View::Formula));
    act(&mut h, Action::ChartAsTable(true));
    look("Formula with its table", &mut h);
    act(&mut h, Action::ChartAsTable(false));
    let kaolin = line(&mut h, "White kaolin");
    // These act at once or ask the system for a file.
    let not_dialogs = |c: Command| {
        matches!(
            c,
            Command::Open | Command::Save | Command::SaveAs | Command::Revert | Command::RemoveLine
        )
    };
    let mut seen = 0;
    for row in TABLE.iter().filter(|r| !not_dialogs(r.command)) {
        let before = h.state().state().dialogs.len();
        assert_eq!(before, 0, "a dialog is still open before {}", row.name);
        act(&mut h, Action::SelectLine(Some(kaolin)));
        let ctx = h.ctx.clone();
        let opens = {
            let app = h.state_mut();
            // Commands that do something at once are undone by a fresh window below.
            app.carry_out(&ctx, Action::Run(row.command));
            !app.state().dialogs.is_empty()
        };
        if opens {
            h.run_steps(5);
            look(&format!("dialog {}", row.name), &mut h);
            seen += 1;
            while !h.state().state().dialogs.is_empty() {
                act(&mut h, Action::Close);
            }
        } else {
            h = demo_window();
        }
    }
    assert!(seen >= 18, "only {seen} dialogs were opened");
}

// WCAG 2.2, criterion 4.1.2: everything that acts has a name; that names differ within a view is
// our own rule, so that one can ask for a thing by name.
#[test]
fn everything_that_acts_has_a_name_of_its_own() {
    let mut wrong = Vec::new();
    everywhere(|place, h| {
        let mut names: BTreeMap<String, usize> = BTreeMap::new();
        for c in controls(h) {
            if c.name.trim().len() < 2 {
                wrong.push(format!("{place}: {:?} at {:?} is called {:?}", c.role, c.rect, c.name));
            }
            *names.entry(format!("{:?} {}", c.role, c.name)).or_default() += 1;
        }
        for (name, count) in names.into_iter().filter(|(_, count)| *count > 1) {
            wrong.push(format!("{place}: {count} times {name}"));
        }
    });
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Least side of a target in points: WCAG 2.2, criterion 2.5.8.
const TARGET: f32 = 24.0;

#[test]
fn every_target_is_large_enough() {
    let mut wrong = Vec::new();
    everywhere(|place, h| {
        for c in controls(h) {
            // Links within a text are exempt by 2.5.8.
            let small = c.rect.width() < TARGET - 0.5 || c.rect.height() < TARGET - 0.5;
            if small && c.role != Role::Link {
                let size = c.rect.size();
                wrong.push(format!("{place}: {:?} {:?} is {size}", c.role, c.name));
            }
        }
    });
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What has the focus, by name, and where it is.
fn focused(h: &Harness<'_, App>) -> Option<(String, egui::Response)> {
    let id = h.ctx.memory(egui::Memory::focused)?;
    let response = h.ctx.read_response(id)?;
    let node = h
        .root()
        .children_recursive()
        .find(|n| n.accesskit_node().is_focused())
        .and_then(|n| n.accesskit_node().label())
        .unwrap_or_default();
    Some((node, response))
}

#[test]
fn tab_goes_in_reading_order() {
    let mut h = demo_window();
    h.get_by_label("Menu").focus();
    h.run_steps(2);
    let part = |r: Rect| match r.center() {
        p if p.y < 46.0 => 0,
        p if p.y > 700.0 => 4,
        p if p.x < 72.0 => 1,
        p if p.x > 1280.0 - 344.0 => 3,
        _ => 2,
    };
    let mut last = (0, "Menu".to_owned());
    let mut parts = vec![0];
    for _ in 0..300 {
        h.key_press(Key::Tab);
        h.run_steps(2);
        let Some((name, response)) = focused(&h) else { continue };
        if name == "Menu" {
            break;
        }
        // Where it is before it is scrolled to does not matter; its part does.
        let now = part(response.interact_rect);
        assert!(now >= last.0, "{name} in part {now} comes after {} in {}", last.1, last.0);
        if now != last.0 {
            parts.push(now);
        }
        last = (now, name);
    }
    assert_eq!(parts, [0, 1, 2, 3, 4], "top bar, rail, middle, side panel, batch bar");
}

/// True when a ring or an edge in the colour of the focus is drawn at a widget.
fn has_ring(h: &Harness<'_, App>, at: Rect) -> bool {
    let t = Tokens::in_context(&h.ctx);
    h.output().shapes.iter().any(|clipped| match &clipped.shape {
        egui::Shape::Rect(r) => {
            let ring = r.stroke.color == t.accent && r.stroke.width >= t.ring - 0.01;
            ring && r.rect.expand(6.0).intersects(at) && clipped.clip_rect.intersects(at)
        }
        _ => false,
    })
}

/// Tabs through every view of a window; the focus must show and be in view at each stop.
#[track_caller]
fn focus_is_seen(size: [f32; 2], drawer: bool) {
    let mut wrong = Vec::new();
    for view in VIEWS {
        let mut h = window(Open { size, ..Open::default() });
        act(&mut h, Action::Show(view));
        act(&mut h, Action::Drawer(drawer));
        let mut names = Vec::new();
        for _ in 0..70 {
            h.key_press(Key::Tab);
            h.run_steps(5);
            let Some((name, response)) = focused(&h) else { continue };
            if name == "Menu" && names.len() > 1 {
                break;
            }
            let (whole, seen) = (response.rect, response.interact_rect);
            // What is taller than its room cannot be seen whole.
            let cut = whole.height() - seen.height().max(0.0) > 1.5 && whole.height() < 150.0;
            if cut || seen.width() < whole.width() * 0.5 {
                wrong.push(format!("{view:?}: {name} {whole:?} {seen:?}"));
            }
            if !has_ring(&h, whole) {
                wrong.push(format!("{view:?}: {name} shows no focus"));
            }
            names.push(name);
        }
        assert!(names.len() > 8, "{view:?}: {names:?}");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_focus_is_seen_wherever_tab_goes() {
    focus_is_seen([1000.0, 640.0], false);
}

#[test]
fn the_focus_is_seen_wherever_tab_goes_in_a_small_window() {
    focus_is_seen([640.0, 400.0], false);
}

#[test]
fn the_focus_is_seen_wherever_tab_goes_in_the_drawer() {
    focus_is_seen([640.0, 400.0], true);
}

#[test]
fn a_list_opens_at_the_present_item_and_gives_the_focus_back() {
    let mut h = demo_window();
    act(&mut h, Action::Show(View::Grit));
    let place = h.state_mut().here().unwrap().formula.product.place;
    let name = format!("Place of use: {}", place.name());
    h.get_by_label(&name).focus();
    h.run_steps(2);
    h.key_press(Key::Enter);
    h.run_steps(5);
    assert_eq!(focused(&h).unwrap().0, place.name());
    // Escape changes nothing.
    h.key_press(Key::Escape);
    h.run_steps(4);
    assert_eq!(focused(&h).unwrap().0, name);
    assert_eq!(h.state_mut().here().unwrap().formula.product.place, place);
    // The arrow goes on from the present item, and Enter takes where it leads.
    h.key_press(Key::Enter);
    h.run_steps(5);
    h.key_press(Key::ArrowDown);
    h.run_steps(4);
    let next = focused(&h).unwrap().0;
    assert_ne!(next, place.name());
    h.key_press(Key::Enter);
    h.run_steps(6);
    let taken = h.state_mut().here().unwrap().formula.product.place;
    assert_eq!(taken.name(), next);
    assert_eq!(focused(&h).unwrap().0, format!("Place of use: {next}"));
}

#[test]
fn arrows_walk_the_slices_and_the_lines_of_each_are_known() {
    let mut h = demo_window();
    let chart = |h: &Harness<'_, App>| {
        let found = h.root().children_recursive().find(|n| {
            let n = n.accesskit_node();
            n.role() == Role::Image
                && n.label().is_some_and(|l| l.starts_with("Composition by function"))
        });
        found.expect("the chart").accesskit_node().label().unwrap_or_default()
    };
    h.root()
        .children_recursive()
        .find(|n| {
            let n = n.accesskit_node();
            n.label().is_some_and(|l| l.starts_with("Composition by function"))
        })
        .expect("the chart")
        .focus();
    h.run_steps(3);
    let first = chart(&h);
    assert!(first.contains(", 1 of "), "{first}");
    let slices = h.state_mut().here().unwrap().evaluation.by_function.clone();
    let linked = h.state().state().linked.clone().expect("a slice is in hand");
    assert_eq!(linked.lines, slices[0].lines);
    assert!(first.contains(&slices[0].name));
    h.key_press(Key::ArrowRight);
    h.run_steps(3);
    let second = chart(&h);
    assert!(second.contains(", 2 of ") && second.contains(&slices[1].name), "{second}");
    assert_eq!(h.state().state().linked.as_ref().unwrap().lines, slices[1].lines);
    h.key_press(Key::End);
    h.run_steps(3);
    // The small ones are one slice that names what it holds.
    let last = chart(&h);
    assert!(last.contains(" more ") && last.contains(&slices.last().unwrap().name), "{last}");
    // What leaves the chart leaves no line lit.
    h.get_by_label("Menu").focus();
    h.run_steps(4);
    assert_eq!(h.state().state().linked, None);
}

#[test]
fn pointing_at_a_row_of_the_legend_points_at_its_lines() {
    let mut h = demo_window();
    let slices = h.state_mut().here().unwrap().evaluation.by_function.clone();
    let row = h
        .root()
        .children_recursive()
        .find(|n| {
            let n = n.accesskit_node();
            let words = n.label().or_else(|| n.value()).unwrap_or_default();
            n.role() == Role::Label && words.starts_with(&format!("{} ", slices[0].name))
        })
        .expect("the row of the largest slice")
        .rect();
    h.hover_at(row.center());
    h.run_steps(4);
    let linked = h.state().state().linked.clone().expect("a slice is in hand");
    assert_eq!((linked.place, linked.lines), (0, slices[0].lines.clone()));
    // Lines of the largest slice are all of its function.
    let e = h.state_mut().here().unwrap().evaluation;
    assert!(slices[0].lines.iter().all(|l| e.lines.iter().any(|f| f.line == *l)));
    h.hover_at(egui::pos2(300.0, 700.0));
    h.run_steps(4);
    assert_eq!(h.state().state().linked, None);
}

#[test]
fn high_contrast_and_reduced_motion_are_commands_and_settings() {
    for dark in [false, true] {
        let mut h = window(Open { dark, ..Open::default() });
        assert!(std::ptr::eq(Tokens::in_context(&h.ctx), Tokens::theme(dark, false)));
        command(&mut h, "high contrast");
        assert!(std::ptr::eq(Tokens::in_context(&h.ctx), Tokens::theme(dark, true)));
        command(&mut h, "reduced motion");
        assert!(h.ctx.global_style().animation_time <= 0.0);
        command(&mut h, "high contrast");
        assert!(std::ptr::eq(Tokens::in_context(&h.ctx), Tokens::theme(dark, false)));
        assert!(h.ctx.global_style().animation_time <= 0.0, "it stays still");
    }
    let settings = quern_project::settings::Settings {
        high_contrast: true,
        motion: quern_project::settings::Motion::Reduced,
        ..Default::default()
    };
    let h = window(Open { settings, ..Open::default() });
    assert!(std::ptr::eq(Tokens::in_context(&h.ctx), Tokens::theme(false, true)));
    assert!(h.ctx.global_style().animation_time <= 0.0);
}

#[test]
fn every_zoom_leaves_every_view_in_reach() {
    for zoom in [0.75, 1.0, 1.5, 2.0, 2.5] {
        // 1280 x 800 points on screen; a step of zoom leaves fewer of them.
        let mut h = window(Open {
            settings: quern_project::settings::Settings { zoom, ..Default::default() },
            ..Open::default()
        });
        let screen = h.ctx.content_rect();
        for view in VIEWS {
            act(&mut h, Action::Show(view));
            for c in controls(&h) {
                assert!(c.rect.is_finite(), "{zoom} {view:?} {}", c.name);
            }
            for name in ["Menu", "Find or do...", "Formula", "Grit", "Compare"] {
                let found: Vec<Rect> =
                    controls(&h).into_iter().filter(|c| c.name == name).map(|c| c.rect).collect();
                assert!(
                    found.iter().any(|r| screen.expand(1.0).contains_rect(*r)),
                    "{name} at {zoom} in {view:?}: {found:?} of {screen:?}"
                );
            }
        }
    }
}

#[test]
fn the_batch_bar_is_whole_in_a_small_window() {
    for (size, scale) in [([640.0, 400.0], 1.0), ([640.0, 400.0], 2.0), ([900.0, 640.0], 1.0)] {
        let h = window(Open { size, scale, ..Open::default() });
        let screen = h.ctx.content_rect();
        for name in [
            "Batch size slider",
            "Batch size, gross, grams",
            "Pieces",
            "Weight of a piece, grams",
            "Loss, percent",
            "Bench sheet...",
        ] {
            let rect = h.get_by_label(name).rect();
            assert!(screen.expand(0.5).contains_rect(rect), "{name} at {size:?}: {rect:?}");
        }
    }
}

#[test]
fn a_fat_is_swapped_for_fats_first() {
    let mut h = demo_window();
    let butter = line(&mut h, "Cocoa butter");
    act(&mut h, Action::SelectLine(Some(butter)));
    act(&mut h, Action::Run(Command::ChangeMaterial));
    let first: Vec<String> = controls(&h)
        .into_iter()
        .filter(|c| c.role == Role::ListBoxOption)
        .map(|c| c.name)
        .take(12)
        .collect();
    assert_eq!(first.len(), 12, "{first:?}");
    let library = &quern_project::library::builtin().materials;
    let of = |name: &str| {
        library.values().find(|m| m.display_name() == name).unwrap_or_else(|| panic!("no {name}"))
    };
    let butter = of("Cocoa butter");
    for name in &first {
        assert!(quern_calc::evaluate::alike(of(name), butter), "{name} in {first:?}");
    }
    // Powders and water are none, so the list says something.
    assert!(!quern_calc::evaluate::alike(of("White kaolin"), butter));
}

#[test]
fn what_would_change_how_it_pours_is_done_by_a_press() {
    let mut h = demo_window();
    act(&mut h, Action::Show(View::Setting));
    let way = controls(&h)
        .into_iter()
        .filter(|c| c.role == Role::Button)
        .map(|c| c.name)
        .find(|n| n.contains(" % more ") || n.contains(" % less "))
        .expect("a change that makes it pour");
    let more = way.contains(" % more ");
    let word = if more { " % more " } else { " % less " };
    let (by, rest) = way.split_once(word).unwrap();
    let (name, _) = rest.split_once(" would ").unwrap();
    let exact = |h: &mut Harness<'_, App>| -> rust_decimal::Decimal {
        percent(h, name).parse().expect("an amount")
    };
    let by: rust_decimal::Decimal = by.parse().unwrap();
    let before = exact(&mut h);
    h.get_by_label(&way).scroll_to_me();
    h.run_steps(4);
    press(&mut h, &way);
    let after = exact(&mut h);
    assert_eq!(after, if more { before + by } else { before - by }, "{way}");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(exact(&mut h), before, "one step to undo");
}

#[test]
fn a_page_of_the_palette_is_read_in_high_contrast() {
    let mut h = window(Open {
        settings: quern_project::settings::Settings { high_contrast: true, ..Default::default() },
        ..Open::default()
    });
    keys(&mut h, Modifiers::COMMAND, Key::K);
    assert!(matches!(h.state().state().top(), Some(Dialog::Palette(_))));
    h.key_press(Key::Escape);
    h.run_steps(3);
    press(&mut h, "Menu");
    assert!(h.query_by_label("Project").is_some());
}

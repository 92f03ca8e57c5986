//! Every view, every dialog that a command opens, and every other command, in windows of all
//! looks and sizes: nothing panics, the window comes to rest, every input has a name of its own,
//! and nothing lies out of reach.
//!
//! Each row of `visits!` is one window; together the rows hold every pair of theme, decimal sign,
//! scale and size. A new look is one more row.

use std::collections::BTreeMap;

use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use quern_calc::number::DecimalSign;
use quern_project::settings::Settings;
use quern_studio::app::App;
use quern_studio::app::action::Action;
use quern_studio::app::commands::{Command, Row, TABLE};
use quern_studio::app::state::View;
use quern_tests::{Open, window};

const LARGE: [f32; 2] = [1280.0, 800.0];
const MIDDLE: [f32; 2] = [880.0, 600.0];
const SMALL: [f32; 2] = [640.0, 400.0];

fn comma() -> Settings {
    Settings { decimal_sign: DecimalSign::Comma, ..Settings::default() }
}

macro_rules! visits {
    ($($name:ident: $open:expr;)*) => { $(#[test] fn $name() { visit($open); })* };
}

visits! {
    light_point_large: Open { size: LARGE, ..Open::default() };
    light_comma_small_at_200: Open { size: SMALL, scale: 2.0, settings: comma(), ..Open::default() };
    light_point_middle_at_200: Open { size: MIDDLE, scale: 2.0, ..Open::default() };
    dark_comma_large_at_200: Open {
        size: LARGE, scale: 2.0, dark: true, settings: comma(), ..Open::default()
    };
    dark_point_small: Open { size: SMALL, dark: true, ..Open::default() };
    pseudo_large: Open { size: LARGE, pseudo: true, ..Open::default() };
    pseudo_small_at_200: Open { size: SMALL, scale: 2.0, pseudo: true, ..Open::default() };
    dark_comma_middle: Open { size: MIDDLE, dark: true, settings: comma(), ..Open::default() };
}

/// A tiling desktop asks nobody how small a window may be.
#[test]
fn smaller_than_allowed_it_is_drawn_all_the_same() {
    for size in [[320.0, 200.0], [40.0, 20.0]] {
        let mut h = window(Open { size, ..Open::default() });
        for view in VIEWS {
            act(&mut h, Action::Show(view));
            act(&mut h, Action::Drawer(true));
            h.run();
            act(&mut h, Action::Drawer(false));
            h.run();
        }
    }
}

/// The tabs of the Findings view, beside the one in front.
const TABS: [&str; 4] = ["Limits", "Allergens", "Preservation", "Exposure"];

const VIEWS: [View; 6] =
    [View::Formula, View::Grit, View::Setting, View::Findings, View::Label, View::Compare];

fn visit(open: Open) {
    let dialogs = dialogs();
    let mut h = window(open);
    // With something to lose, what would replace the project asks first.
    act(&mut h, Action::Run(Command::DuplicateFormula));
    for view in VIEWS {
        act(&mut h, Action::Show(view));
        look(&mut h, &format!("{view:?}"));
        act(&mut h, Action::Run(Command::ToggleFigures));
        look(&mut h, &format!("{view:?} with figures turned over"));
        act(&mut h, Action::Run(Command::ToggleFigures));
        for tab in TABS.iter().filter(|_| view == View::Findings) {
            let button =
                h.query_all_by_label(tab).find(|n| n.accesskit_node().role() == Role::Button);
            if let Some(button) = button {
                button.click_accesskit();
                h.run_steps(2);
                look(&mut h, &format!("{view:?}, {tab}"));
            }
        }
    }
    for row in TABLE.iter().filter(|r| dialogs.contains(&r.command)) {
        open_up(&mut h);
        act(&mut h, Action::Run(row.command));
        assert!(h.state().state().top().is_some(), "{} opens nothing", row.name);
        look(&mut h, row.name);
        while h.state().state().top().is_some() {
            act(&mut h, Action::Close);
        }
    }
    for row in TABLE.iter().filter(|r| !dialogs.contains(&r.command)) {
        open_up(&mut h);
        act(&mut h, Action::Run(row.command));
        look(&mut h, row.name);
        while h.state().state().top().is_some() {
            act(&mut h, Action::Close);
        }
        if is_switch(row) {
            act(&mut h, Action::Run(row.command));
        }
    }
    act(&mut h, Action::Run(Command::ZoomReset));
    look(&mut h, "the end");
}

/// Commands that open a dialog when a line is selected, found by trying.
fn dialogs() -> Vec<Command> {
    let mut h = window(Open::default());
    act(&mut h, Action::Run(Command::DuplicateFormula));
    let mut found = Vec::new();
    for row in TABLE {
        open_up(&mut h);
        act(&mut h, Action::Run(row.command));
        if h.state().state().top().is_some() {
            found.push(row.command);
            while h.state().state().top().is_some() {
                act(&mut h, Action::Close);
            }
        }
    }
    assert!(found.len() > 20, "{found:?}");
    found
}

/// Done twice, such a command leaves the window as it was.
fn is_switch(row: &Row) -> bool {
    matches!(
        row.command,
        Command::DecimalSign
            | Command::FourDecimals
            | Command::ReadingFont
            | Command::ToggleFigures
    )
}

/// The Formula view with a line selected, where most commands can run.
fn open_up(h: &mut Harness<'_, App>) {
    let ctx = h.ctx.clone();
    let app = h.state_mut();
    app.carry_out(&ctx, Action::Show(View::Formula));
    let first = app.here().and_then(|here| here.evaluation.lines.first().map(|l| l.line));
    app.carry_out(&ctx, Action::SelectLine(first));
}

fn act(h: &mut Harness<'_, App>, action: Action) {
    let ctx = h.ctx.clone();
    h.state_mut().carry_out(&ctx, action);
    h.step();
}

/// What must hold wherever one is.
#[track_caller]
fn look(h: &mut Harness<'_, App>, place: &str) {
    // Panics when the window keeps asking to be drawn, or when an input has no name.
    if let Err(error) = h.try_run() {
        panic!("{place}: {error}");
    }
    let screen = h.ctx.content_rect() * h.ctx.pixels_per_point();
    let mut names: BTreeMap<String, usize> = BTreeMap::new();
    let mut lost = Vec::new();
    for node in h.root().children_recursive() {
        let node = node.accesskit_node();
        let name = node.label().unwrap_or_default();
        if matches!(node.role(), Role::TextInput | Role::Slider | Role::SpinButton) {
            *names.entry(name.clone()).or_default() += 1;
        }
        let Some(b) = node.bounding_box() else { continue };
        let (left, right) = (f64::from(screen.left()), f64::from(screen.right()));
        let (top, bottom) = (f64::from(screen.top()), f64::from(screen.bottom()));
        let beside = b.x1 < left || b.x0 > right;
        let below = b.y1 < top || b.y0 > bottom;
        let named = !name.is_empty() || egui::accessibility::is_input(node.role());
        if named && (beside || below) {
            let (across, down) = scrolls(&node);
            if (beside && !across) || (below && !down) {
                lost.push(format!("{:?} {name:?} at {b:?}", node.role()));
            }
        }
    }
    let bad: Vec<_> = names.iter().filter(|n| *n.1 > 1 || n.0.len() < 2).collect();
    assert!(bad.is_empty(), "{place}: inputs without a name of their own: {bad:?}");
    assert!(lost.is_empty(), "{place}: out of reach in {screen:?}: {lost:#?}");
}

/// Whether what holds the node can be scrolled, across and down: it has a bar that long.
fn scrolls(node: &egui_kittest::kittest::AccessKitNode<'_>) -> (bool, bool) {
    let (mut across, mut down) = (false, false);
    for holder in std::iter::successors(node.parent(), |n| n.parent()) {
        for bar in holder.children().filter(|c| c.role() == Role::ScrollBar) {
            if let Some(b) = bar.bounding_box() {
                across |= b.width() > b.height();
                down |= b.height() > b.width();
            }
        }
    }
    (across, down)
}

//! The window in the pseudo-language: nothing is hard-wired, nothing is cut off, and it settles.

use std::collections::BTreeSet;

use egui::accesskit::Role;
use egui::epaint::{ClippedShape, Shape, TextShape};
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT as _;
use quern_calc::formula::{Contact, Form, Function, Pack, Place, VersionState};
use quern_calc::label::{usual_directions, usual_function};
use quern_studio::app::App;
use quern_studio::app::action::Action;
use quern_studio::app::commands::{Command, TABLE};
use quern_studio::app::grit::GritAction;
use quern_studio::app::safety::{FindingsTab, SafetyAction};
use quern_studio::app::setting::SettingAction;
use quern_studio::app::state::{ChartBy, Dialog, HeldUp, View};
use quern_studio::words::{self, Language};
use quern_tests::{Open, window};

/// Letters that the pseudo-language puts an accent on: a word that has one of them and no accent
/// was not translated.
const ACCENTED: &str = "aceinosuyzACEINOSUYZ";

/// What is the same in every language: keys, the program's name, and units.
const SAME: [&str; 18] = [
    "Quern", "Ctrl", "Shift", "Delete", "Enter", "Plus", "Minus", "Escape", "min", "EUR", "Alt",
    "Zero", "Comma", "Down", "Space", "CSV", "PDF", "ron",
];

/// Text as the pseudo-language has it, without its brackets.
fn pseudo(text: &str) -> String {
    words::speak(Language::Pseudo);
    let said = words::engine(text).into_owned();
    said.trim_matches(['[', ']', '~']).to_owned()
}

/// Words of ours that are keys in the assets, too.
fn keys() -> Vec<&'static str> {
    let mut out: Vec<&str> = Form::ALL.map(Form::name).to_vec();
    out.extend(Place::ALL.map(Place::name));
    out.extend(Contact::ALL.map(Contact::name));
    out.extend(Pack::ALL.map(Pack::name));
    out.extend(Function::ALL.map(Function::name));
    out.extend(VersionState::ALL.map(VersionState::name));
    out
}

/// Names and sentences that are data: what the assets hold in quotes, keys of files aside.
fn data(h: &Harness<'_, App>) -> Vec<String> {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../assets");
    let (mut folders, mut out, keys) = (vec![root], BTreeSet::new(), keys());
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap().flatten() {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "md") {
                // A page of the guide is translated as a whole.
                let text = std::fs::read_to_string(path).unwrap();
                let heads = text.lines().filter_map(|l| l.strip_prefix("# "));
                out.extend(heads.map(str::to_owned));
            } else if path.extension().is_some_and(|e| e == "ron") {
                let text = std::fs::read_to_string(path).unwrap().replace("\\\"", "\u{1}");
                let parts: Vec<&str> = text.split('"').collect();
                for pair in parts.chunks_exact(2) {
                    let field = pair[0].rsplit_once(':').map_or("", |(before, after)| {
                        let name = before.rsplit(|c: char| !(c.is_alphanumeric() || c == '_'));
                        if after.trim().is_empty() {
                            name.into_iter().next().unwrap_or("")
                        } else {
                            ""
                        }
                    });
                    let named = pair[1].len() > 24
                        || pair[1].chars().any(char::is_uppercase)
                        || !field.is_empty();
                    if (named || pair[1].contains('{')) && !keys.contains(&pair[1]) {
                        out.insert(pair[1].replace('\u{1}', "\""));
                    }
                }
            }
        }
    }
    let project = h.state().document().project();
    let library = quern_project::library::builtin();
    for m in project.materials.values().chain(library.materials.values()) {
        out.insert(m.display_name().to_owned());
        out.insert(m.inci_and_form());
    }
    for f in &quern_project::skeletons().formulas {
        out.insert(f.name.trim_end_matches(" skeleton").to_owned());
    }
    for f in &project.formulas {
        out.insert(f.name.clone());
        // What the pack says is printed as it is.
        out.insert(usual_function(f));
        out.insert(usual_directions(f));
    }
    // Printed as well, and a pattern that is typed as it stands.
    // So is the name of a file.
    for same in ["Best used before the end of", "{name:2}-{yy}{mm}-{n:2}", "coast-workshop"] {
        out.insert(same.to_owned());
    }
    let mut out: Vec<String> = out.into_iter().filter(|n| n.len() > 2).collect();
    out.sort_by_key(|n| std::cmp::Reverse(n.len()));
    out
}

/// Words of a text that the pseudo-language would have changed.
fn plain_words(text: &str) -> Vec<&str> {
    text.split(|c: char| !c.is_alphabetic())
        .filter(|w| w.len() >= 3 && w.is_ascii() && w.contains(|c| ACCENTED.contains(c)))
        .filter(|w| !SAME.contains(w))
        .collect()
}

/// Every text of a shape.
fn texts(shape: &Shape, out: &mut Vec<TextShape>) {
    match shape {
        Shape::Text(text) => out.push(text.clone()),
        Shape::Vec(shapes) => shapes.iter().for_each(|s| texts(s, out)),
        _ => {}
    }
}

/// What was said or drawn that is not translated, collected over many states.
struct Look {
    data: Vec<String>,
    seen: BTreeSet<String>,
    hard_wired: BTreeSet<String>,
    cut: BTreeSet<String>,
}

impl Look {
    fn new() -> Self {
        Self {
            data: Vec::new(),
            seen: BTreeSet::new(),
            hard_wired: BTreeSet::new(),
            cut: BTreeSet::new(),
        }
    }

    /// Looks at everything that is said and drawn now.
    fn at(&mut self, h: &Harness<'_, App>, place: &str) {
        for node in h.root().children_recursive() {
            let node = node.accesskit_node();
            if node.role() == Role::TextRun {
                // A line of a label that is looked at as a whole.
                continue;
            }
            for text in [node.label(), node.value(), node.description()].into_iter().flatten() {
                self.read(h, &text, place);
            }
        }
        for ClippedShape { clip_rect, shape, .. } in &h.output().shapes {
            let mut found = Vec::new();
            texts(shape, &mut found);
            for text in found {
                self.read(h, text.galley.text(), place);
                let rect = text.galley.rect.translate(text.pos.to_vec2());
                let visible = clip_rect.y_range().contains(rect.center().y);
                let over = (clip_rect.left() - rect.left()).max(rect.right() - clip_rect.right());
                let part = rect.right() > clip_rect.left() && rect.left() < clip_rect.right();
                // In a small window the comparison and the batch bar scroll.
                let low = rect.top() > h.ctx.content_rect().bottom() - 60.0;
                let small = h.ctx.content_rect().width() < 1000.0;
                let scrolls = small && (place == "compare" || low);
                if visible && !scrolls && part && over > 2.0 && text.galley.text().starts_with('[')
                {
                    self.cut.insert(format!("{place}: {} is cut by {over}", text.galley.text()));
                }
            }
        }
    }

    fn read(&mut self, h: &Harness<'_, App>, text: &str, place: &str) {
        if !self.seen.insert(text.to_owned()) || plain_words(text).is_empty() {
            return;
        }
        let mut left = text.to_owned();
        // A cell that is too narrow shows the beginning of a name.
        if let Some((begun, rest)) = text.split_once('…')
            && self.data.iter().any(|n| n.starts_with(begun.trim()))
        {
            left = rest.to_owned();
        }
        if self.data.is_empty() {
            self.data = data(h);
        }
        for name in &self.data {
            if left.contains(name.as_str()) {
                left = left.replace(name.as_str(), " ");
            }
        }
        if !plain_words(&left).is_empty() {
            self.hard_wired.insert(format!("{place}: {left} (of: {text})"));
        }
    }

    #[track_caller]
    fn done(&self) {
        assert!(self.seen.len() > 300, "only {} texts were seen", self.seen.len());
        assert!(self.hard_wired.is_empty(), "not translated:\n{:#?}", self.hard_wired);
        assert!(self.cut.is_empty(), "cut off:\n{:#?}", self.cut);
    }
}

fn act(h: &mut Harness<'static, App>, action: Action) {
    let ctx = h.ctx.clone();
    h.state_mut().carry_out(&ctx, action);
    h.run_steps(4);
}

/// Presses the first button whose name begins with some words and holds others.
#[track_caller]
fn press_like(h: &mut Harness<'static, App>, begin: &str, holds: &str) {
    let (begin, holds) = (pseudo(begin), pseudo(holds));
    let node = h.root().children_recursive().find(|n| {
        let label = n.accesskit_node().label().unwrap_or_default();
        label.trim_start_matches('[').starts_with(&begin) && label.contains(&holds)
    });
    // Also what is scrolled out of sight.
    node.unwrap_or_else(|| panic!("nothing begins with {begin}")).click_accesskit();
    h.run_steps(4);
}

fn close_all(h: &mut Harness<'static, App>) {
    while h.state().state().top().is_some() {
        act(h, Action::Close);
    }
}

/// Shows every view in its forms.
fn every_view(h: &mut Harness<'static, App>, mut look: impl FnMut(&Harness<'static, App>, &str)) {
    for by in ChartBy::ALL {
        act(h, Action::Chart(by));
        look(h, "formula");
        act(h, Action::ChartAsTable(by == ChartBy::Function));
        look(h, "formula, table");
    }
    act(h, Action::Drawer(true));
    for (view, name) in [
        (View::Home, "home"),
        (View::Formula, "formula, drawer"),
        (View::Grit, "grit"),
        (View::Setting, "setting"),
        (View::Label, "label"),
        (View::Compare, "compare"),
        (View::Findings, "findings"),
    ] {
        act(h, Action::Show(view));
        for drawer in [true, false] {
            act(h, Action::Drawer(drawer));
            look(h, name);
        }
    }
    for tab in FindingsTab::ALL {
        act(h, Action::Safety(SafetyAction::Tab(tab)));
        look(h, "findings tab");
    }
    act(h, Action::Safety(SafetyAction::Tab(FindingsTab::Preservation)));
    act(h, Action::Safety(SafetyAction::AsTable(true)));
    look(h, "preservation, table");
    act(h, Action::Show(View::Grit));
    for action in
        [GritAction::Cumulative(true), GritAction::ByClass(true), GritAction::MapAsTable(true)]
    {
        act(h, Action::Grit(action));
        look(h, "grit, other form");
    }
    let other = h.state().document().project().formulas[1].id.clone();
    act(h, Action::Grit(GritAction::Beside(other.clone(), true)));
    look(h, "grit, beside");
    act(h, Action::Show(View::Setting));
    act(h, Action::Setting(SettingAction::AsTable(true)));
    look(h, "setting, table");
    act(h, Action::Setting(SettingAction::Beside(Some(other))));
    look(h, "setting, beside");
}

/// Opens every dialog.
fn every_dialog(h: &mut Harness<'static, App>, mut look: impl FnMut(&Harness<'static, App>, &str)) {
    let (first, line) = {
        let here = h.state_mut().here().unwrap();
        (here.formula.id.clone(), here.formula.lines().next().unwrap().1.id)
    };
    for row in TABLE {
        if matches!(
            row.command,
            Command::Quit | Command::NewProject | Command::ToggleFigures | Command::Guide
        ) {
            continue;
        }
        act(h, Action::Show(View::Formula));
        act(h, Action::SelectFormula(first.clone()));
        act(h, Action::SelectLine(Some(line)));
        act(h, Action::Run(row.command));
        look(h, row.name);
        close_all(h);
        while h.state().document().is_changed() {
            act(h, Action::Run(Command::Undo));
        }
        if (h.ctx.zoom_factor() - 1.0).abs() > 1e-3 {
            act(h, Action::Run(Command::ZoomReset));
        }
    }
    for dialog in [
        Dialog::Unsaved(HeldUp::New),
        Dialog::Unsaved(HeldUp::Close),
        Dialog::ChangedOnDisk(String::new()),
        Dialog::Exposure(Box::default()),
        Dialog::Path { save: true, path: String::new(), why: String::new() },
    ] {
        act(h, Action::Open(Box::new(dialog)));
        look(h, "dialog");
        close_all(h);
    }
    for (view, begin, holds) in [
        (View::Grit, "Grain data of", ""),
        (View::Grit, "Swap", ""),
        (View::Setting, "Solid-fat table of", ""),
        (View::Setting, "How", "packs"),
    ] {
        act(h, Action::SelectFormula(first.clone()));
        act(h, Action::Show(view));
        act(h, Action::Drawer(true));
        press_like(h, begin, holds);
        assert!(h.state().state().top().is_some(), "{begin} opens no dialog");
        look(h, begin);
        close_all(h);
    }
    act(h, Action::Show(View::Findings));
    act(h, Action::Safety(SafetyAction::Tab(FindingsTab::Findings)));
    press_like(h, "Show arithmetic", "");
    look(h, "arithmetic");
}

/// A window that speaks the pseudo-language.
fn pseudo_window(size: [f32; 2], scale: f32) -> Harness<'static, App> {
    window(Open { size, scale, pseudo: true, ..Open::default() })
}

#[test]
fn nothing_in_the_views_is_hard_wired_or_cut_off() {
    let mut look = Look::new();
    // High enough for whole pages; what is not drawn is not looked at.
    let mut h = pseudo_window([1280.0, 3000.0], 1.0);
    every_view(&mut h, |h, place| look.at(h, place));
    look.done();
}

#[test]
fn nothing_in_the_dialogs_is_hard_wired_or_cut_off() {
    let mut look = Look::new();
    let mut h = pseudo_window([1280.0, 1400.0], 1.0);
    every_dialog(&mut h, |h, place| look.at(h, place));
    look.done();
}

#[test]
fn it_fits_and_settles_in_windows_of_every_size() {
    for (size, scale) in [([1280.0, 800.0], 1.0), ([640.0, 400.0], 2.0)] {
        let mut look = Look::new();
        let mut h = pseudo_window(size, scale);
        let mut restless = BTreeSet::new();
        every_view(&mut h, |h, place| look.at(h, place));
        for view in
            [View::Formula, View::Grit, View::Setting, View::Findings, View::Label, View::Compare]
        {
            act(&mut h, Action::Show(view));
            if h.run_ok().is_none() {
                restless.insert(format!("{view:?}"));
            }
        }
        assert!(restless.is_empty(), "{size:?}: {restless:?} do not settle");
        assert!(look.cut.is_empty(), "{size:?}, cut off:\n{:#?}", look.cut);
    }
}

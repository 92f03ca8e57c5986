//! Journeys through the window by its accessibility tree: each numbered thing that a person
//! can do, done as a person would, by name and key.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

mod compare;
mod everyone;
mod files;
mod findings;
mod first;
mod formula;
mod grit;
mod keys;
mod label;
mod pseudo;
mod setting;
mod settings;
mod sheets;
mod table;
mod versions;
mod visit;

use egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use quern_calc::formula::LineId;
use quern_studio::app::App;

/// Focuses a field by its name, types over what it holds and presses Enter.
#[track_caller]
pub fn enter(h: &mut Harness<'_, App>, field: &str, text: &str) {
    h.get_by_label(field).focus();
    h.run_steps(2);
    h.get_by_label(field).type_text(text);
    h.run_steps(2);
    h.key_press(Key::Enter);
    h.run_steps(3);
}

/// Presses a button by its name.
#[track_caller]
pub fn press(h: &mut Harness<'_, App>, name: &str) {
    h.get_by_label(name).click();
    h.run_steps(3);
}

/// Presses keys together.
pub fn keys(h: &mut Harness<'_, App>, modifiers: egui::Modifiers, key: Key) {
    h.key_press_modifiers(modifiers, key);
    h.run_steps(3);
}

/// % of a line of the formula at hand, by display name, as exact text.
#[track_caller]
pub fn percent(h: &mut Harness<'_, App>, name: &str) -> String {
    let here = h.state_mut().here().expect("a formula is at hand");
    let line = here
        .evaluation
        .lines
        .iter()
        .find(|l| l.name == name)
        .unwrap_or_else(|| panic!("no line {name}"));
    line.percent.map_or(String::new(), |p| p.0.normalize().to_string())
}

/// Names of the lines in order.
pub fn names(h: &mut Harness<'_, App>) -> Vec<String> {
    let here = h.state_mut().here().expect("a formula is at hand");
    here.evaluation.lines.iter().map(|l| l.name.clone()).collect()
}

/// The line of a display name.
#[track_caller]
pub fn line(h: &mut Harness<'_, App>, name: &str) -> LineId {
    let here = h.state_mut().here().expect("a formula is at hand");
    let found = here.evaluation.lines.iter().find(|l| l.name == name);
    found.unwrap_or_else(|| panic!("no line {name}")).line
}

/// The last thing that was said.
pub fn said(h: &Harness<'_, App>) -> String {
    h.state().notices().last().cloned().unwrap_or_default()
}

/// Opens the palette, types and takes the first row.
#[track_caller]
pub fn command(h: &mut Harness<'_, App>, query: &str) {
    keys(h, egui::Modifiers::COMMAND, Key::K);
    h.get_by_label("A command, formula, line or material").type_text(query);
    h.run_steps(3);
    h.key_press(Key::Enter);
    h.run_steps(4);
}

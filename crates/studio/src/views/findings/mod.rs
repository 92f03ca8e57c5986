//! The Findings view: what should worry the maker, and everything that was checked, with its
//! arithmetic; what the product is for at the right.

mod allergens;
mod chemistry;
mod exposure;
mod limits;
mod list;
mod panel;
mod preservation;

pub use panel::panel;

use egui::{Button, Label, RichText, ScrollArea, Ui};

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::safety::{FindingsTab, SafetyAction};
use crate::look::{Tokens, fonts, size};
use crate::words;

/// Draws the middle.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    head(ui, scene, actions);
    let tab = scene.ui.findings.tab;
    // Another formula begins at its top.
    let salt = ("findings-scroll", tab, scene.formula().id.as_str());
    ScrollArea::vertical().auto_shrink(false).id_salt(salt).show(ui, |ui| {
        ui.set_min_width(380.0);
        super::setting::page_keys(ui);
        let text = say!(
            "Rules are held against materials: once the formula has lines, what should \
                    worry you stands here"
        );
        if super::empty::no_lines(ui, scene, text, actions) {
            ui.add_space(12.0);
        }
        match tab {
            FindingsTab::Findings => list::show(ui, scene, actions),
            FindingsTab::Limits => limits::show(ui, scene, actions),
            FindingsTab::Allergens => allergens::show(ui, scene, actions),
            FindingsTab::Preservation => preservation::show(ui, scene, actions),
            FindingsTab::Exposure => exposure::show(ui, scene, actions),
            FindingsTab::Chemistry => chemistry::show(ui, scene),
        }
        let page = match tab {
            FindingsTab::Findings | FindingsTab::Limits | FindingsTab::Allergens => "limits",
            FindingsTab::Preservation => "ph",
            FindingsTab::Exposure => "exposure",
            FindingsTab::Chemistry => "hlb",
        };
        super::empty::worked_out(ui, page, actions);
        if matches!(tab, FindingsTab::Preservation | FindingsTab::Chemistry) {
            super::empty::worked_out(ui, "water", actions);
        }
        ui.add_space(24.0);
    });
}

/// Formula and parts of the view.
fn head(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(&scene.here.name).font(fonts::strong(size::HEAD)));
        ui.label(RichText::new(words::engine(scene.formula().product.words())).color(t.muted));
    });
    ui.horizontal_wrapped(|ui| {
        for tab in FindingsTab::ALL {
            let button = Button::selectable(scene.ui.findings.tab == tab, tab.name());
            if ui.add(button).on_hover_text(tab.about()).clicked() {
                actions.push(Action::Safety(SafetyAction::Tab(tab)));
            }
        }
    });
    ui.add_space(4.0);
}

/// Secondary text that wraps.
fn muted(ui: &mut Ui, text: &str) {
    let t = Tokens::of(ui);
    ui.add(Label::new(RichText::new(text).font(fonts::small()).color(t.muted)).wrap());
}

/// A sentence that wraps.
fn text(ui: &mut Ui, text: &str) {
    ui.add(Label::new(text).wrap());
}

/// A heading within the page, with what stands under it.
fn section(ui: &mut Ui, heading: &str, about: &str) {
    ui.add_space(8.0);
    crate::widgets::table::title(ui, heading, about);
}

/// A rule between rows.
fn rule(ui: &mut Ui) {
    let t = Tokens::of(ui);
    let (line, _) =
        ui.allocate_exact_size(egui::vec2(ui.available_width(), 7.0), egui::Sense::hover());
    ui.painter().hline(line.x_range(), line.center().y, egui::Stroke::new(1.0, t.hairline));
}

/// A button that opens or closes an arithmetic.
fn opener(
    ui: &mut Ui,
    scene: &Scene<'_>,
    key: &str,
    about: &str,
    actions: &mut Vec<Action>,
) -> bool {
    let open = scene.ui.findings.open.contains(key);
    let words = if open { say!("Hide arithmetic") } else { say!("Show arithmetic") };
    let response = ui
        .add(Button::new(RichText::new(words).font(fonts::small())).frame(false))
        .accessible_name(format!("{words}: {about}"));
    if seen(response).clicked() {
        actions.push(Action::Safety(SafetyAction::Open(key.to_owned(), !open)));
    }
    open
}

/// Scrolls what has just got the focus into view.
fn seen(response: egui::Response) -> egui::Response {
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    response
}

/// The steps of an arithmetic.
fn steps(ui: &mut Ui, steps: &[String]) {
    let t = Tokens::of(ui);
    egui::Frame::new().fill(t.panel).corner_radius(4).inner_margin(8).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 2.0;
        for step in steps {
            ui.add(Label::new(RichText::new(words::engine(step)).font(fonts::small())).wrap());
        }
    });
}

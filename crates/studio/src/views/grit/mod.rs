//! The Grit view: sizes, index, guides and figures of the exfoliants in the middle; the blend and
//! the search for one at the right.

mod chart;
mod find;
mod guide;
mod map;
mod panel;
mod scale;
mod table;

pub use chart::DASHES;
pub use panel::{heading, panel};

use egui::{Color32, Id, Label, RichText, ScrollArea, Ui};
use quern_calc::evaluate::GrainFigures;
use quern_calc::formula::{FormulaId, LineId, Place};
use quern_calc::number::Typed;

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::grit::GritAction;
use crate::look::{Tokens, fonts, size};
use crate::widgets::{RowNumber, choice, short};
use crate::words;

/// What the index is and is not.
pub const HONEST: &str = term!(
    "Relative index from a wear model: 50 is a medium fruit-stone grade at 5 %. It ranks blends; it is not a safety test, and no skin study stands behind its constants"
);

/// Key of the load field of a line.
#[must_use]
pub fn load_cell(formula: &FormulaId, line: LineId) -> Id {
    Id::unique(("grit-load", formula.as_str(), line.0))
}

/// Draws the middle.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ScrollArea::vertical().auto_shrink(false).id_salt("grit-scroll").show(ui, |ui| {
        ui.set_min_width(420.0);
        head(ui, scene, actions);
        match &scene.here.evaluation.grains {
            Err(why) if scene.grit.sides.iter().all(|s| s.evaluation.grains.is_err()) => {
                nothing(ui, scene, &words::engine(why.words()), actions);
            }
            grains => {
                if let Err(why) = grains {
                    nothing(ui, scene, &words::engine(why.words()), actions);
                    ui.add_space(16.0);
                }
                chart::show(ui, scene, actions);
                ui.add_space(10.0);
                scale::show(ui, scene);
                ui.add_space(10.0);
                table::show(ui, scene);
                ui.add_space(14.0);
                guide::show(ui, scene, actions);
                ui.add_space(14.0);
                guide::own_scale(ui, scene, actions);
            }
        }
        crate::views::empty::worked_out(ui, "grit", actions);
        ui.add_space(24.0);
    });
}

/// What to do when there is nothing to draw.
fn nothing(ui: &mut Ui, scene: &Scene<'_>, why: &str, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    ui.add_space(16.0);
    let name = &scene.here.name;
    ui.label(
        RichText::new(say!("{name} has no grain figures: {why}", name, why))
            .font(fonts::strong(15.0)),
    );
    ui.label(
        RichText::new(
            say!("Add an exfoliant, or enter grain sizes for those that are there; then this view shows sizes, grit index and guides"),
        )
        .color(t.muted),
    );
    ui.add_space(8.0);
    let row = Command::AddExfoliant.row();
    if crate::widgets::primary_button(ui, row.name).on_hover_text(row.about()).clicked() {
        actions.push(Action::Run(Command::AddExfoliant));
    }
}

/// Place of use, blends beside, curves, sheet.
fn head(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        let name = RichText::new(short(&scene.here.name, 36)).font(fonts::strong(size::HEAD));
        ui.label(name.color(t.side(0)));
        let place = scene.formula().product.place;
        ui.label(RichText::new(say!("for")).color(t.muted));
        egui::ComboBox::from_id_salt("grit-place")
            .selected_text(words::text(place.name()))
            .width(72.0)
            .show_ui(ui, |ui| {
                for p in Place::ALL {
                    if choice(ui, p == place, words::text(p.name())).clicked() && p != place {
                        actions.push(Action::Grit(GritAction::Place(p)));
                        ui.close();
                    }
                }
            })
            .response
            .accessible_name(say!("Place of use: {place}", place = words::text(place.name())))
            .on_hover_text(say!("Where on the body the product is used; the guides follow it"));
        beside(ui, scene, actions);
        let cumulative = scene.ui.grit.cumulative;
        for (on, name, about) in [
            (false, say!("Density"), say!("Share of mass per decade of size")),
            (true, say!("Cumulative"), say!("Share of mass below each size")),
        ] {
            let button = egui::Button::selectable(cumulative == on, name);
            if ui.add(button).on_hover_text(about).clicked() {
                actions.push(Action::Grit(GritAction::Cumulative(on)));
            }
        }
        let row = Command::BlendSheet.row();
        if ui.button(row.name()).on_hover_text(row.about()).clicked() {
            actions.push(Action::Run(Command::BlendSheet));
        }
    });
}

/// Blends that are shown beside, and a menu to add one.
fn beside(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    use egui::containers::menu::{MenuButton, MenuConfig};
    // Several can be ticked in one go.
    let stays = MenuConfig::new().close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside);
    let button = MenuButton::new(say!("Beside")).config(stays);
    let (response, _) = button.ui(ui, |ui| {
        ui.set_min_width(220.0);
        ui.label(
            RichText::new(say!("Up to three other blends")).font(fonts::small()).color(t.muted),
        );
        for f in scene.project.formulas.iter().filter(|f| f.id != scene.formula().id) {
            let on = scene.ui.grit.beside.contains(&f.id);
            let name = if on { say!("{name}, shown", name = f.name) } else { f.name.clone() };
            if ui.selectable_label(on, name).clicked() {
                actions.push(Action::Grit(GritAction::Beside(f.id.clone(), !on)));
            }
        }
    });
    response.on_hover_text(say!("Show other formulas' blends beside this one"));
    for (i, side) in scene.grit.sides.iter().enumerate().skip(1) {
        let text = RichText::new(format!("{} ×", side.name)).color(t.side(i));
        let button = ui
            .add(egui::Button::new(text))
            .accessible_name(say!("Remove {side}", side = side.name));
        if button.on_hover_text(say!("Take this blend out of the comparison")).clicked() {
            let id = side.formula.id.clone();
            actions.push(Action::Grit(GritAction::Beside(id, false)));
        }
    }
}

/// The grain figures of each side that has them, with its place in the row of sides.
fn figures<'a>(scene: &'a Scene<'_>) -> impl Iterator<Item = (usize, &'a str, &'a GrainFigures)> {
    scene.grit.sides.iter().enumerate().filter_map(|(i, s)| {
        s.evaluation.grains.as_ref().ok().map(|g| (i, s.formula.name.as_str(), g))
    })
}

/// A place on screen.
#[allow(clippy::cast_possible_truncation)]
fn px(x: f64) -> f32 {
    x as f32
}

/// Colour of the exfoliant at this place.
fn part_color(t: &Tokens, i: usize) -> Color32 {
    t.slice(i)
}

/// A number field in a row; gives a finished entry, `None` inside it when it was emptied.
fn number(
    ui: &mut Ui,
    scene: &Scene<'_>,
    name: &str,
    value: Option<f64>,
    places: u32,
    width: f32,
    hint: &str,
) -> Option<Option<Typed>> {
    let row = RowNumber { name, value, places, width, hint };
    row.show(ui, scene.style(), scene.syntax())
}

/// Secondary text that wraps.
fn muted(ui: &mut Ui, text: &str) {
    let t = Tokens::of(ui);
    ui.add(Label::new(RichText::new(text).font(fonts::small()).color(t.muted)).wrap());
}

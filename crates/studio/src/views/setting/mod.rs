//! The Setting view: melt curve, pouring, cooling and shelf in the middle; what to change, what
//! to know and what was measured at the right.

mod chart;
mod cooling;
mod measured;
mod panel;
mod strip;
mod tables;
mod workshop;

pub use panel::panel;

use egui::{ComboBox, Label, RichText, ScrollArea, Ui};
use quern_calc::evaluate::{FatUse, MeltFigures, Mixing};

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::setting::{SettingAction, SettingSide};
use crate::look::{Tokens, fonts, size};
use crate::widgets::plot::px;
use crate::widgets::{choice, short};
use crate::words;

/// Draws the middle.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ScrollArea::vertical().auto_shrink(false).id_salt("setting-scroll").show(ui, |ui| {
        ui.set_min_width(420.0);
        page_keys(ui);
        head(ui, scene, actions);
        let Some(here) = scene.setting.sides.first() else { return };
        match &here.side.evaluation.melt {
            Ok(melt) => {
                if scene.ui.setting.as_table {
                    tables::curve(ui, scene, here, melt);
                } else {
                    chart::show(ui, scene, here, melt, actions);
                }
            }
            Err(why) => {
                let text =
                    say!("Fats, waxes and oils make the melt curve; powders and grains thicken it");
                ui.add_space(10.0);
                if crate::views::empty::no_lines(ui, scene, text, actions) {
                    return;
                }
                no_curve(ui, here, &words::engine(why.words()));
                let row = Command::AddLine.row();
                if crate::widgets::primary_button(ui, row.name).on_hover_text(row.about).clicked() {
                    actions.push(Action::Show(crate::app::state::View::Formula));
                    actions.push(Action::Run(Command::AddLine));
                }
                ui.add_space(8.0);
            }
        }
        ui.add_space(6.0);
        strip::show(ui, scene, here, actions);
        ui.add_space(12.0);
        tables::cards(ui, scene);
        ui.add_space(12.0);
        cooling::show(ui, scene, here);
        ui.add_space(12.0);
        tables::figures(ui, scene);
        ui.add_space(12.0);
        tables::honest(ui);
        for page in ["melt", "pour", "cooling", "shelf"] {
            crate::views::empty::worked_out(ui, page, actions);
        }
        ui.add_space(24.0);
    });
}

/// Page Up and Page Down turn the page: much of it is to be read, and nothing there takes focus.
pub fn page_keys(ui: &Ui) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    let page = ui.ctx().content_rect().height() * 0.6;
    for (key, by) in [(egui::Key::PageDown, -page), (egui::Key::PageUp, page)] {
        if ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, key)) {
            ui.scroll_with_delta(egui::vec2(0.0, by));
        }
    }
}

/// Why there is no curve, and what would give one.
fn no_curve(ui: &mut Ui, here: &SettingSide, why: &str) {
    let t = Tokens::of(ui);
    ui.add_space(12.0);
    let text = say!("{side} has no melt curve: {why}", side = here.side.name, why);
    ui.label(RichText::new(text).font(fonts::strong(15.0)));
    ui.add(
        Label::new(
            RichText::new(
                say!("Fats, waxes and oils with melt data make the curve: add one in the Formula view, or type a supplier's solid-fat table for one that lacks data"),
            )
            .color(t.muted),
        )
        .wrap(),
    );
    ui.add_space(8.0);
}

/// Formula, what stands beside, how crystals mix, chart or table, sheet.
fn head(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        let name = RichText::new(short(&scene.here.name, 36)).font(fonts::strong(size::HEAD));
        ui.label(name.color(t.side(0)));
        beside(ui, scene, actions);
        let now = scene.ui.setting.mixing;
        ui.label(RichText::new(say!("layers")).color(t.muted));
        for (mixing, name, about) in [
            (
                Mixing::Alcohols,
                say!("Usual"),
                say!("Fatty alcohols share one mixed crystal, all else is pure"),
            ),
            (
                Mixing::Pure,
                say!("Pure solids"),
                say!("Every component crystallises alone: the low end"),
            ),
            (
                Mixing::All,
                say!("One mixed crystal"),
                say!("Fatty acids, alcohols and emulsifiers share one crystal: the high end"),
            ),
        ] {
            let button = egui::Button::selectable(now == mixing, name);
            if ui.add(button).on_hover_text(about).clicked() {
                actions.push(Action::Setting(SettingAction::Mixing(mixing)));
            }
        }
        let table = scene.ui.setting.as_table;
        let name = if table { say!("As chart") } else { say!("As table") };
        if ui.button(name).on_hover_text(say!("The melt curve as a chart or as a table")).clicked()
        {
            actions.push(Action::Setting(SettingAction::AsTable(!table)));
        }
        let row = Command::SettingSheet.row();
        if ui.button(row.name()).on_hover_text(row.about()).clicked() {
            actions.push(Action::Run(Command::SettingSheet));
        }
    });
}

/// Another formula whose curve stands beside.
fn beside(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let now = scene.ui.setting.beside.as_ref();
    let name = |id| scene.project.formula(id).map_or(say!("nothing"), |f| f.name.as_str());
    let shown = now.map_or(say!("nothing"), name);
    ui.label(say!("beside"));
    ComboBox::from_id_salt("setting-beside")
        .selected_text(shown)
        .width(110.0)
        .show_ui(ui, |ui| {
            if choice(ui, now.is_none(), say!("nothing")).clicked() {
                actions.push(Action::Setting(SettingAction::Beside(None)));
                ui.close();
            }
            for f in scene.project.formulas.iter().filter(|f| f.id != scene.formula().id) {
                if choice(ui, now == Some(&f.id), &f.name).clicked() {
                    actions.push(Action::Setting(SettingAction::Beside(Some(f.id.clone()))));
                    ui.close();
                }
            }
        })
        .response
        .accessible_name(say!("Beside: {shown}", shown))
        .on_hover_text(say!("Show another formula's curve and figures beside this one"));
}

/// Secondary text that wraps.
fn muted(ui: &mut Ui, text: &str) {
    let t = Tokens::of(ui);
    ui.add(Label::new(RichText::new(text).font(fonts::small()).color(t.muted)).wrap());
}

/// Letter of a component, so that colour is not the only sign.
pub fn letter(i: usize) -> String {
    quern_calc::formula::phase_letter(i).to_lowercase()
}

/// The components that can be solid, with their places in the fat phase.
fn solid_parts(melt: &MeltFigures) -> impl Iterator<Item = (usize, &FatUse)> {
    melt.fat.components.iter().enumerate().filter(|(_, c)| c.crystal.is_some())
}

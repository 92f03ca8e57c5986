//! The right panel: the exfoliants with their loads, the search, the map.

use egui::{
    Align, Frame, Label, Layout, Margin, RichText, ScrollArea, Sense, Stroke, Ui, pos2, vec2,
};
use quern_calc::evaluate::GrainPart;
use quern_calc::formula::{GrainData, MaterialId};
use quern_calc::number::{Unit, format_f64, format_fixed, format_plain};

use super::{load_cell, muted, part_color};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::grit::SwapDraft;
use crate::app::state::{Dialog, GrainDraft};
use crate::look::icons::Icon;
use crate::look::{Tokens, fonts, size};
use crate::views::formula::entry::enter;
use crate::widgets::{NumberField, icon_button};
use crate::words;

/// Draws the panel.
pub fn panel(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ScrollArea::vertical().auto_shrink(false).id_salt("grit-panel-scroll").show(ui, |ui| {
        Frame::new().inner_margin(Margin::symmetric(16, 14)).show(ui, |ui| {
            exfoliants(ui, scene, actions);
            ui.add_space(14.0);
            super::find::show(ui, scene, actions);
            ui.add_space(14.0);
            super::map::show(ui, scene, actions);
            ui.add_space(20.0);
        });
    });
}

/// A heading of the panel.
pub fn heading(ui: &mut Ui, text: &str) {
    let t = Tokens::of(ui);
    ui.label(RichText::new(text).font(fonts::strong(size::SMALL)).color(t.muted));
}

/// The exfoliants of the formula at hand.
fn exfoliants(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, &say!("Exfoliants of {name}", name = scene.here.name));
    let e = &scene.here.evaluation;
    match &e.grains {
        Ok(f) => {
            for (k, part) in f.parts.iter().enumerate() {
                exfoliant(ui, scene, k, part, actions);
            }
            let t = Tokens::of(ui);
            ui.horizontal(|ui| {
                ui.label(RichText::new(say!("in all")).color(t.muted));
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    ui.add_space(66.0);
                    let text = format!("{} %", format_fixed(f.load.0, 2, scene.style()));
                    ui.label(RichText::new(text).font(fonts::strong(size::TEXT)));
                });
            });
            left_out(ui, scene, actions);
        }
        Err(why) => {
            muted(ui, &words::engine(why.words()));
            left_out(ui, scene, actions);
        }
    }
    ui.horizontal_wrapped(|ui| {
        for command in [Command::AddExfoliant, Command::SaveBlend, Command::UseBlend] {
            let row = command.row();
            let name = match command {
                Command::AddExfoliant => say!("+ Add an exfoliant"),
                _ => row.name(),
            };
            let text = RichText::new(name).font(fonts::small());
            if ui.button(text).on_hover_text(row.about()).clicked() {
                actions.push(Action::Run(command));
            }
        }
    });
}

/// Exfoliant lines without usable grains, each with a way to enter them.
fn left_out(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let known: Vec<&MaterialId> = match &scene.here.evaluation.grains {
        Ok(f) => f.parts.iter().map(|p| &p.material).collect(),
        Err(_) => Vec::new(),
    };
    for (_, line) in quern_calc::formula::exfoliant_lines(scene.formula(), scene.library) {
        let quern_calc::formula::Item::Material(id) = &line.item else { continue };
        if known.contains(&id) {
            continue;
        }
        let Some(m) = scene.project.materials.get(id) else { continue };
        ui.horizontal(|ui| {
            let text = say!("{material}: no grain data", material = m.display_name());
            ui.add(Label::new(text).truncate());
            let name = say!("Enter grain data of {material}", material = m.display_name());
            if ui.button(say!("Enter...")).on_hover_text(&name).clicked() {
                actions.extend(grain_dialog(scene, id));
            }
        });
    }
}

fn exfoliant(
    ui: &mut Ui,
    scene: &Scene<'_>,
    k: usize,
    part: &GrainPart,
    actions: &mut Vec<Action>,
) {
    let t = Tokens::of(ui);
    let style = scene.style();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        // The line of the chart: colour and dash.
        let (mark, _) = ui.allocate_exact_size(vec2(20.0, 34.0), Sense::hover());
        let (dash, gap) =
            super::chart::DASHES.get(k % super::chart::DASHES.len()).copied().unwrap_or((6.0, 4.0));
        let y = mark.center().y;
        ui.painter().extend(egui::Shape::dashed_line(
            &[pos2(mark.left(), y), pos2(mark.right(), y)],
            Stroke::new(2.0, part_color(t, k)),
            dash,
            gap,
        ));
        let room = (ui.available_width() - 66.0 - 2.0 * 28.0 - 12.0).max(0.0);
        ui.allocate_ui_with_layout(vec2(room, 34.0), Layout::top_down(Align::Min), |ui| {
            ui.set_width(room);
            ui.spacing_mut().item_spacing.y = 0.0;
            ui.add(Label::new(&part.name).truncate());
            let size = &part.grain.size;
            let mut about = format!(
                "{}/{} µm",
                format_f64(size.d50_um(), 0, style),
                format_f64(size.d90_um(), 0, style)
            );
            if let Some(lot) = &part.lot {
                about = format!("{about}, {lot}");
            } else if part.assumed_size {
                about.push_str(say!(", assumed"));
            }
            let about = RichText::new(about).font(fonts::small()).color(t.muted);
            ui.add(Label::new(about).truncate()).on_hover_text(say!("D50 and D90"));
        });
        load(ui, scene, part, actions);
        let name = say!("Grain data of {part}", part = part.name);
        if icon_button(ui, Icon::Grit, &name, &name, true).clicked() {
            actions.extend(grain_dialog(scene, &part.material));
        }
        let name = say!("Swap {part}", part = part.name);
        let about = say!("Another exfoliant in its place, keeping index, load or cost");
        if icon_button(ui, Icon::Swap, &name, about, part.direct).clicked() {
            let draft = SwapDraft {
                line: part.line,
                new: None,
                ways: Vec::new(),
                keep: quern_calc::evaluate::Keep::Index,
            };
            actions.push(Action::Open(Box::new(Dialog::Swap(Box::new(draft)))));
        }
    });
}

/// The load, to be typed where the line is the material itself.
fn load(ui: &mut Ui, scene: &Scene<'_>, part: &GrainPart, actions: &mut Vec<Action>) {
    let (rect, _) = ui.allocate_exact_size(vec2(62.0, size::CONTROL), Sense::hover());
    let amount = scene.formula().line(part.line).and_then(|l| l.amount);
    let fills = scene.formula().fills == Some(part.line);
    let shown = format_f64(part.grain.percent, scene.percent_places(), scene.style());
    let full = amount.map_or(shown.clone(), |a| format_plain(a.percent.0, scene.style()));
    let field = NumberField {
        id: load_cell(&scene.formula().id, part.line),
        name: say!("{part}, load in percent", part = part.name),
        shown: &shown,
        full: &full,
        syntax: quern_calc::number::Syntax { allow_relative: true, ..scene.syntax() },
        quiet: false,
        right: true,
        strong: false,
        enabled: part.direct && !fills,
        hint: "",
        amend: false,
    };
    if !part.direct || fills {
        let t = Tokens::of(ui);
        let right = Layout::right_to_left(Align::Center);
        let mut child = ui.new_child(egui::UiBuilder::new().max_rect(rect).layout(right));
        let why = if fills { say!("fills to 100") } else { say!("comes with a premix") };
        child.label(RichText::new(shown).color(t.muted)).on_hover_text(why);
        return;
    }
    let out = field.show(ui, rect);
    enter(scene, (part.line, &part.name), &out, Unit::Percent, actions);
}

/// The dialog for the grain data of a material.
pub fn grain_dialog(scene: &Scene<'_>, id: &MaterialId) -> Option<Action> {
    let material = scene.project.materials.get(id)?;
    let style = scene.style();
    let data = material.grain.as_ref().map_or_else(
        || GrainData {
            sizes: quern_calc::grit::SizeData::Lognormal { d50_um: 300.0, sigma: 0.35 },
            assumed_size: true,
            hardness_mpa: 250.0,
            angularity: 0.5,
            mohs: None,
            dissolves_um_per_s: None,
            lots: Vec::new(),
            lot_in_use: None,
        },
        |g| g.value.clone(),
    );
    let plain = |x: f64, places| format_f64(x, places, style);
    let texts = [
        plain(data.hardness_mpa, 0),
        plain(data.angularity, 2),
        data.dissolves_um_per_s.map_or(String::new(), |r| plain(r, 1)),
    ];
    Some(Action::Open(Box::new(Dialog::Grains(Box::new(GrainDraft {
        material: id.clone(),
        data,
        texts,
        name: String::new(),
        stated: String::new(),
        table: None,
        error: None,
    })))))
}

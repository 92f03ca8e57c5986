//! The right panel: what to know, the fats to change, the workshop, what was measured.

use egui::{Frame, Label, Layout, Margin, RichText, ScrollArea, Sense, Slider, Ui, Vec2, vec2};
use quern_calc::evaluate::{
    MaterialLine, Mover, Remark, Tone, fat_lines, moved, mover_words, powder_lines, slider_end,
    slider_percent,
};
use quern_calc::formula::PowderShape;
use quern_calc::number::{Syntax, Unit, format_f64, format_fixed, format_full, format_plain};

use super::{measured, muted, workshop};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::setting::{PowderDraft, SettingAction, SettingSide, SolidsDraft};
use crate::app::state::{Dialog, PickFor, Search};
use crate::look::icons::{self, Icon, Sign};
use crate::look::{Tokens, fonts, size};
use crate::views::formula::entry::enter;
use crate::views::grit::heading;
use crate::widgets::{NumberField, icon_button};
use crate::words;

/// Draws the panel.
pub fn panel(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ScrollArea::vertical().auto_shrink(false).id_salt("setting-panel-scroll").show(ui, |ui| {
        Frame::new().inner_margin(Margin::symmetric(16, 14)).show(ui, |ui| {
            // Above what grows and shrinks with the remarks: a slider must not move while dragged.
            fats(ui, scene, actions);
            ui.add_space(14.0);
            remarks(ui, scene, actions);
            ui.add_space(14.0);
            workshop::show(ui, scene, actions);
            ui.add_space(14.0);
            measured::show(ui, scene, actions);
            ui.add_space(14.0);
            powders(ui, scene, actions);
            ui.add_space(20.0);
        });
    });
}

/// What to know before pouring.
fn remarks(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("Before you pour"));
    let Some(here) = scene.setting.sides.first() else { return };
    if here.remarks.is_empty() {
        muted(ui, say!("Nothing to say yet: the formula has no fat and no powder"));
    }
    for remark in here.remarks.iter() {
        one(ui, scene, here, remark, actions);
    }
}

/// What a choice does, where it is one change that the program can make.
fn does(scene: &Scene<'_>, here: &SettingSide, choice: &str) -> Option<SettingAction> {
    let style = scene.style();
    let movers = [&here.figures.easier, &here.figures.stiffer].into_iter().flatten();
    // "1.2 % more X would make it a thick pour" begins with the words of its change.
    let says = |m: &&Mover| {
        let rest = choice.strip_prefix(mover_words(m, style).as_str());
        rest.is_some_and(|rest| rest.starts_with(" would "))
    };
    let mover = movers.flat_map(|to| &to.movers).find(says)?;
    match mover {
        Mover::Temperature(c) => Some(SettingAction::Pour(Some(c.round()))),
        Mover::Line { line, .. } => {
            let formula = scene.formula();
            let now = formula.percent_of(formula.line(*line)?)?;
            Some(SettingAction::Amount(*line, moved(mover, now)?))
        }
    }
}

fn one(
    ui: &mut Ui,
    scene: &Scene<'_>,
    here: &SettingSide,
    remark: &Remark,
    actions: &mut Vec<Action>,
) {
    let t = Tokens::of(ui);
    let (sign, color) = match remark.tone {
        Tone::Warn => (Sign::Warn, t.warn),
        Tone::Note => (Sign::Note, t.note),
        Tone::Fine => (Sign::Fine, t.fine),
    };
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::splat(16.0), Sense::hover());
        icons::sign(ui.painter(), rect.center(), sign, color);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.add(Label::new(words::engine(&remark.text)).wrap());
            for choice in &remark.choices {
                match does(scene, here, choice) {
                    Some(action) => {
                        let about = say!("Does it; undo takes it back");
                        let words = RichText::new(words::engine(choice)).font(fonts::small());
                        if ui.button(words).on_hover_text(about).clicked() {
                            actions.push(Action::Setting(action));
                            actions.push(Action::EndInteraction);
                        }
                    }
                    None => muted(ui, &format!("– {}", words::engine(choice))),
                }
            }
        });
    });
    ui.add_space(4.0);
}

/// The fats with their amounts, to be changed while everything follows.
fn fats(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, &say!("Fats of {name}", name = scene.here.name));
    let lines = fat_lines(scene.formula(), scene.library);
    if lines.is_empty() {
        muted(ui, say!("No line is a fat, a wax or an oil"));
    }
    for line in &lines {
        fat(ui, scene, line, actions);
    }
    if let Some(fills) = scene.formula().fills
        && let Some(line) = scene.here.evaluation.line(fills)
    {
        muted(ui, &say!("{line} takes up the difference to 100", line = line.name));
    }
}

fn fat(ui: &mut Ui, scene: &Scene<'_>, line: &MaterialLine, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let room = (ui.available_width() - 60.0 - 2.0 * 28.0 - 12.0).max(0.0);
        ui.allocate_ui_with_layout(vec2(room, 40.0), Layout::top_down(egui::Align::Min), |ui| {
            ui.set_width(room);
            ui.spacing_mut().item_spacing.y = 0.0;
            let name = if line.own_data {
                say!("{line}, own table", line = line.name)
            } else if line.lacks_data {
                say!("{line}, no melt data", line = line.name)
            } else {
                line.name.clone()
            };
            ui.add(Label::new(name).truncate());
            slider(ui, line, room, actions);
        });
        amount(ui, scene, line, actions);
        let name = say!("Change {line}", line = line.name);
        if icon_button(ui, Icon::Swap, &name, say!("Another material on this line"), true).clicked()
        {
            actions.push(Action::Open(Box::new(Dialog::Pick {
                purpose: PickFor::Replace(line.line),
                search: Search::default(),
            })));
        }
        let name = say!("Solid-fat table of {line}", line = line.name);
        if icon_button(ui, Icon::Setting, &name, &name, true).clicked() {
            actions.extend(solids_dialog(scene, line));
        }
    });
}

fn slider(ui: &mut Ui, line: &MaterialLine, room: f32, actions: &mut Vec<Action>) {
    if line.fills {
        muted(ui, say!("fills to 100"));
        return;
    }
    let now = line.percent.map_or(0.0, |p| p.to_f64());
    let mut place = now;
    // The scale stands still while it is dragged: it must not run away under the pointer.
    let held = egui::Id::unique(("setting-slider", line.line.0));
    let end = ui.data(|d| d.get_temp::<f64>(held)).unwrap_or_else(|| slider_end(now));
    let rail = Tokens::of(ui).hairline;
    let response = ui
        .scope(|ui| {
            ui.spacing_mut().slider_width = (room - 4.0).max(0.0);
            ui.visuals_mut().widgets.inactive.bg_fill = rail;
            ui.visuals_mut().selection.bg_fill = Tokens::of(ui).accent;
            // Only what a person does changes it; drawing it must not round what is stored.
            let slider = Slider::new(&mut place, 0.0..=end)
                .show_value(false)
                .step_by(0.1)
                .clamping(egui::SliderClamping::Never);
            ui.add(slider)
        })
        .inner
        .accessible_name(say!("{line}, slider", line = line.name));
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    let in_hand = response.dragged() || response.has_focus() || response.clicked();
    if response.dragged() {
        ui.data_mut(|d| d.insert_temp(held, end));
    } else {
        ui.data_mut(|d| d.remove_temp::<f64>(held));
    }
    if response.changed() && in_hand && (place - now).abs() > 1e-9 {
        actions.push(Action::Setting(SettingAction::Amount(line.line, slider_percent(place))));
    }
    if response.drag_stopped() || response.lost_focus() {
        actions.push(Action::EndInteraction);
    }
}

/// The amount, to be typed.
fn amount(ui: &mut Ui, scene: &Scene<'_>, line: &MaterialLine, actions: &mut Vec<Action>) {
    let (rect, _) = ui.allocate_exact_size(vec2(56.0, size::CONTROL), Sense::hover());
    let style = scene.style();
    let shown =
        line.percent.map_or(String::new(), |p| format_fixed(p.0, scene.percent_places(), style));
    if line.fills {
        let t = Tokens::of(ui);
        let right = Layout::right_to_left(egui::Align::Center);
        let mut child = ui.new_child(egui::UiBuilder::new().max_rect(rect).layout(right));
        child.label(RichText::new(shown).color(t.muted));
        return;
    }
    let typed = scene.formula().line(line.line).and_then(|l| l.amount);
    let full = typed.map_or(shown.clone(), |a| format_plain(a.percent.0, style));
    let field = NumberField {
        id: egui::Id::unique(("setting-fat", scene.formula().id.as_str(), line.line.0)),
        name: say!("{line}, percent", line = line.name),
        shown: &shown,
        full: &full,
        syntax: Syntax { allow_relative: true, ..scene.syntax() },
        quiet: false,
        right: true,
        strong: false,
        enabled: true,
        hint: "–",
        amend: false,
    };
    let out = field.show(ui, rect);
    enter(scene, (line.line, &line.name), &out, Unit::Percent, actions);
}

/// The dialog for the solid-fat table of a line's material.
fn solids_dialog(scene: &Scene<'_>, line: &MaterialLine) -> Option<Action> {
    let material = scene.project.materials.get(&line.material)?;
    let style = scene.style();
    let text = |x: f64| format_full(x, style);
    let rows = match &material.solids {
        Some(own) => own.table.rows.iter().map(|(t, p)| (text(*t), text(*p))).collect(),
        None => [20.0, 25.0, 30.0, 35.0].map(|t| (text(t), String::new())).to_vec(),
    };
    let draft = SolidsDraft { material: line.material.clone(), rows, error: None };
    Some(Action::Open(Box::new(Dialog::Solids(Box::new(draft)))))
}

/// Powders with how they pack.
fn powders(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("Powders"));
    let lines = powder_lines(scene.formula(), scene.library);
    let pour = scene.setting.sides.first().and_then(|s| s.figures.pour.as_ref().ok());
    let style = scene.style();
    for line in &lines {
        ui.horizontal(|ui| {
            let room = (ui.available_width() - 28.0 - 8.0).max(0.0);
            ui.allocate_ui_with_layout(
                vec2(room, 34.0),
                Layout::top_down(egui::Align::Min),
                |ui| {
                    ui.set_width(room);
                    ui.spacing_mut().item_spacing.y = 0.0;
                    ui.add(Label::new(&line.name).truncate());
                    let volume = pour
                        .and_then(|p| p.parts.iter().find(|x| x.line == Some(line.line)))
                        .map(|x| {
                            say!(
                                "{percent} % of the volume",
                                percent = format_f64(x.percent(), 1, style)
                            )
                        });
                    let mut words: Vec<String> = volume.into_iter().collect();
                    if line.lacks_data {
                        words.push(say!("no density").to_owned());
                    }
                    if line.own_data {
                        words.push(say!("your data").to_owned());
                    }
                    if pour.is_some_and(|p| p.assumed.contains(&line.name)) {
                        words.push(say!("grain size assumed").to_owned());
                    }
                    muted(ui, &words.join(", "));
                },
            );
            let name = say!("How {line} packs", line = line.name);
            if icon_button(ui, Icon::Grit, &name, &name, true).clicked() {
                actions.extend(powder_dialog(scene, line));
            }
        });
    }
    if lines.is_empty() {
        muted(ui, say!("No powders"));
    }
}

fn powder_dialog(scene: &Scene<'_>, line: &MaterialLine) -> Option<Action> {
    let m = scene.project.materials.get(&line.material)?;
    let style = scene.style();
    let text = |f: Option<f64>| f.map_or(String::new(), |x| format_full(x, style));
    let draft = PowderDraft {
        material: line.material.clone(),
        density: text(m.density_solid.as_ref().or(m.density_melt.as_ref()).map(|f| f.value)),
        shape: m.shape.unwrap_or(PowderShape::Angular),
        soaks: text(m.oil_absorption.as_ref().map(|f| f.value)),
        error: None,
    };
    Some(Action::Open(Box::new(Dialog::Powder(Box::new(draft)))))
}

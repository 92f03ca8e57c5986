//! Keeping a blend by name, using a kept one, and the comparison sheet.

use egui::{ScrollArea, TextEdit, Ui};
use quern_calc::formula::{FormulaId, exfoliant_load, is_blend};
use quern_calc::number::{Unit, format_fixed, parse};
use quern_calc::quantity::Percent;
use rust_decimal::Decimal;

use super::{Foot, error, foot, note, text_row, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::grit::GritAction;
use crate::app::state::Page;
use crate::widgets::primary_button;
use crate::words;

/// Keeps the blend at hand.
pub fn save(
    ui: &mut Ui,
    scene: &Scene<'_>,
    name: &mut String,
    replace: &mut bool,
    wrong: &mut Option<String>,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(440.0_f32.min(ui.available_width()));
    title(ui, say!("Keep the blend"));
    let load = exfoliant_load(scene.formula(), scene.library);
    note(
        ui,
        &say!(
            "The exfoliants of {name} become a premix of this project, each in % of the blend",
            name = scene.here.name
        ),
    );
    let enter = text_row(ui, say!("Name"), name, 260.0, "");
    ui.checkbox(
        replace,
        say!(
            "Use it in {name} too, at {load} %",
            name = scene.here.name,
            load = format_fixed(load.0, 2, scene.style())
        ),
    );
    error(ui, wrong.as_ref());
    match foot(ui, say!("Keep")) {
        Foot::Cancel => true,
        Foot::None if !enter => false,
        _ => {
            let name = name.trim();
            if name.is_empty() {
                *wrong = Some(say!("The blend needs a name").to_owned());
                return false;
            }
            if scene.project.formula_named(name).is_some() {
                *wrong = Some(say!("There is a formula {name} already; choose another name", name));
                return false;
            }
            actions.push(Action::Grit(GritAction::SaveBlend(name.to_owned(), *replace)));
            true
        }
    }
}

/// Puts a kept blend into the formula at hand.
pub fn use_kept(
    ui: &mut Ui,
    scene: &Scene<'_>,
    chosen: &mut Option<FormulaId>,
    load: &mut String,
    wrong: &mut Option<String>,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(440.0_f32.min(ui.available_width()));
    title(ui, say!("Use a kept blend"));
    let blends: Vec<_> = scene
        .project
        .formulas
        .iter()
        .filter(|f| f.id != scene.formula().id && is_blend(f, scene.library))
        .collect();
    if blends.is_empty() {
        note(
            ui,
            say!(
                "No blend is kept yet: open a formula whose exfoliants you like and keep its blend"
            ),
        );
        ui.add_space(8.0);
        return ui.button(say!("Close")).clicked();
    }
    note(
        ui,
        &say!(
            "It takes the place of the exfoliants of {name}; locked lines stay",
            name = scene.here.name
        ),
    );
    ScrollArea::vertical().max_height(220.0).id_salt("kept-blends").show(ui, |ui| {
        for f in &blends {
            if ui.radio(chosen.as_ref() == Some(&f.id), &f.name).clicked() {
                *chosen = Some(f.id.clone());
            }
        }
    });
    let enter = text_row(ui, say!("Load, %"), load, 80.0, "5");
    error(ui, wrong.as_ref());
    match foot(ui, say!("Use it")) {
        Foot::Cancel => true,
        Foot::None if !enter => false,
        _ => {
            let only = if let [only] = blends.as_slice() { Some(only.id.clone()) } else { None };
            let Some(id) = chosen.clone().or(only) else {
                *wrong = Some(say!("Choose a blend").to_owned());
                return false;
            };
            match parse(load, scene.syntax()) {
                Ok(typed)
                    if matches!(typed.unit, None | Some(Unit::Percent))
                        && typed.value > Decimal::ZERO
                        && typed.value <= Decimal::ONE_HUNDRED =>
                {
                    let load = Percent(typed.value);
                    actions.push(Action::Grit(GritAction::UseBlend(id, load)));
                    true
                }
                Ok(_) => {
                    *wrong = Some(say!("The load is above 0 and up to 100 %").to_owned());
                    false
                }
                Err(e) => {
                    *wrong = Some(words::told(e));
                    false
                }
            }
        }
    }
}

/// A view's sheet: which kind, or where to.
pub fn sheet(
    ui: &mut Ui,
    scene: &Scene<'_>,
    page: Page,
    path: &mut String,
    typed: bool,
    wrong: Option<&String>,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(460.0_f32.min(ui.available_width()));
    title(ui, page.title());
    let names: Vec<&str> = match page {
        Page::Blends => scene.grit.sides.iter().map(|s| s.name.as_str()).collect(),
        Page::Label => Vec::new(),
        Page::Setting => scene.setting.sides.iter().map(|s| s.side.name.as_str()).collect(),
    };
    let names = if page == Page::Label {
        let chosen = scene.ui.label.market.as_deref();
        let rules = quern_project::rules::in_use();
        let shown = rules.markets_of(scene.formula()).find(|m| chosen == Some(m.code.as_str()));
        let market = shown.or_else(|| rules.markets_of(scene.formula()).next());
        format!("{}, {}", scene.here.name, market.map_or("", |m| m.name.as_str()))
    } else if names.is_empty() {
        scene.here.name.clone()
    } else {
        names.join(", ")
    };
    ui.label(say!("On the page: {names}", names));
    note(ui, page.hint());
    ui.add_space(8.0);
    if !typed {
        let mut close = false;
        ui.horizontal(|ui| {
            let pdf = primary_button(ui, "PDF...");
            super::focus_first(ui, &pdf);
            if pdf.clicked() {
                actions.push(Action::ChoosePage(page, "pdf"));
                close = true;
            }
            if ui.button("HTML...").clicked() {
                actions.push(Action::ChoosePage(page, "html"));
                close = true;
            }
            close |= ui.button(say!("Cancel")).clicked();
        });
        return close;
    }
    note(ui, say!("Type or paste a path ending in .pdf or .html"));
    let response = ui
        .add(
            TextEdit::singleline(path)
                .id(egui::Id::unique("blend-sheet-path"))
                .desired_width(f32::INFINITY),
        )
        .accessible_name(say!("Path of the {page}", page = page.name()));
    super::focus_first(ui, &response);
    let enter = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
    if ui.memory(|m| m.focused().is_none()) {
        response.request_focus();
    }
    error(ui, wrong);
    match foot(ui, say!("Write")) {
        Foot::Cancel => true,
        pressed if (pressed == Foot::Do || enter) && !path.trim().is_empty() => {
            actions.push(Action::WritePage(page, std::path::PathBuf::from(path.trim())));
            true
        }
        _ => false,
    }
}

//! What the maker knows better than the library: a fat's solid-fat table, how a powder packs.

use egui::{ComboBox, RichText, TextEdit, Ui};
use quern_calc::formula::{Material, OwnSolids, PowderShape};
use quern_calc::number::{NumberStyle, Syntax, Unit, format_f64};
use quern_calc::setting::table::{STOPS_AT, SolidTable};

use super::measure::number_in;
use super::{Foot, error, foot, note, text_row, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::setting::{PowderData, PowderDraft, SettingAction, SolidsDraft};
use crate::widgets::choice;
use crate::words;

/// Size of a cell of the table, in points.
const CELL: [f32; 2] = [90.0, 28.0];

/// Shows the dialog for a solid-fat table.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut SolidsDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(460.0_f32.min(ui.available_width()));
    let Some(m) = scene.project.materials.get(&draft.material) else { return true };
    title(ui, &say!("Solid fat of {material}", material = m.display_name()));
    note(
        ui,
        say!(
            "From the supplier's sheet: % solid at rising temperatures. Two crystals and oil are fitted to it, and take the place of the library's figures"
        ),
    );
    ui.add_space(4.0);
    egui::Grid::new("solids").num_columns(2).spacing([12.0, 4.0]).show(ui, |ui| {
        ui.label(RichText::new("°C").strong());
        ui.label(RichText::new(say!("% solid")).strong());
        ui.end_row();
        for (i, (t, percent)) in draft.rows.iter_mut().enumerate() {
            let field = ui
                .add_sized(CELL, TextEdit::singleline(t))
                .accessible_name(say!("Row {n}, temperature", n = i + 1));
            super::focus_first(ui, &field);
            ui.add_sized(CELL, TextEdit::singleline(percent))
                .accessible_name(say!("Row {n}, percent solid", n = i + 1));
            ui.end_row();
        }
    });
    ui.horizontal(|ui| {
        if ui.button(say!("+ Add a row")).clicked()
            && draft.rows.len() < quern_calc::setting::table::ROWS_MAX
        {
            draft.rows.push(Default::default());
        }
        if m.solids.is_some() && ui.button(say!("Use the library's figures")).clicked() {
            draft.rows.clear();
        }
    });
    preview(ui, scene, m, draft);
    error(ui, draft.error.as_ref());
    match foot(ui, say!("Apply")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => match read(draft, scene.syntax()) {
            Ok(table) => {
                let id = draft.material.clone();
                if let Some(problem) = table.as_ref().and_then(|t| wrong(t, scene.style())) {
                    draft.error = Some(problem);
                    return false;
                }
                actions.push(Action::Setting(SettingAction::Solids(id, table)));
                true
            }
            Err(text) => {
                draft.error = Some(text);
                false
            }
        },
    }
}

/// What keeps a table from being used.
fn wrong(table: &SolidTable, style: NumberStyle) -> Option<String> {
    if let Err(problem) = table.check() {
        return Some(words::told(problem));
    }
    table.stops_early().map(|(t, percent)| {
        say!("At {t} °C {percent} % are still solid: add a row where nearly all is melted, {most} % or less", t = format_f64(t, 0, style), percent = format_f64(percent, 0, style), most = format_f64(STOPS_AT, 0, style))
    })
}

/// How near the fit comes, once the table can be read.
fn preview(ui: &mut Ui, scene: &Scene<'_>, m: &Material, draft: &SolidsDraft) {
    let style = scene.style();
    match read(draft, scene.syntax()) {
        Ok(None) => note(ui, say!("Empty: the library's figures are used")),
        Ok(Some(table)) => match fitted(ui, m, &table) {
            Ok(solids) => {
                let crystals: Vec<String> = solids
                    .parts
                    .iter()
                    .filter_map(|p| {
                        let (tm, _) = p.crystal?;
                        Some(say!("a crystal that melts at {tm} °C", tm = format_f64(tm, 1, style)))
                    })
                    .collect();
                note(
                    ui,
                    &say!(
                        "Fitted with {crystals}; at most {worst} % off your figures. The melting points belong to the fit, not to a substance",
                        crystals = crystals.join(say!(" and ")),
                        worst = format_f64(solids.fit.worst(), 1, style)
                    ),
                );
            }
            Err(text) => note(ui, &text),
        },
        Err(text) => note(ui, &text),
    }
}

/// The fit of what is typed, made once for each entry.
fn fitted(ui: &Ui, m: &Material, table: &SolidTable) -> Result<OwnSolids, String> {
    type Kept = (SolidTable, Result<OwnSolids, String>);
    let key = egui::Id::unique("solids-fit");
    let kept: Option<Kept> = ui.data(|d| d.get_temp(key));
    if let Some((of, fit)) = kept
        && of == *table
    {
        return fit;
    }
    let fit = OwnSolids::new(table.clone(), &m.fat).map_err(words::told);
    ui.data_mut(|d| d.insert_temp(key, (table.clone(), fit.clone())));
    fit
}

/// The rows that are filled; `None` without any.
fn read(draft: &SolidsDraft, syntax: Syntax) -> Result<Option<SolidTable>, String> {
    let mut rows = Vec::new();
    for (i, (t, percent)) in draft.rows.iter().enumerate() {
        if t.trim().is_empty() && percent.trim().is_empty() {
            continue;
        }
        let row = i + 1;
        let t = number_in(t, &say!("Row {row}, °C", row), &[Unit::Celsius], syntax)?.0;
        let percent =
            number_in(percent, &say!("Row {row}, % solid", row), &[Unit::Percent], syntax)?.0;
        rows.push((t, percent));
    }
    Ok((!rows.is_empty()).then_some(SolidTable { rows }))
}

/// Shows the dialog for how a powder packs.
pub fn powder(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut PowderDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(460.0_f32.min(ui.available_width()));
    let Some(m) = scene.project.materials.get(&draft.material) else { return true };
    title(ui, &say!("How {material} packs", material = m.display_name()));
    let mut enter = text_row(ui, say!("Density, g/mL"), &mut draft.density, 90.0, "1.5");
    note(ui, say!("Of the solid grain, not of the heap"));
    ui.horizontal(|ui| {
        ui.label(say!("Outline of its grains"));
        ComboBox::from_id_salt("powder-shape")
            .selected_text(words::text(draft.shape.name()))
            .show_ui(ui, |ui| {
                for shape in PowderShape::ALL {
                    if choice(ui, draft.shape == shape, words::text(shape.name())).clicked() {
                        draft.shape = shape;
                        ui.close();
                    }
                }
            })
            .response
            .accessible_name(say!(
                "Outline of its grains: {shape}",
                shape = words::text(draft.shape.name())
            ));
    });
    enter |= text_row(ui, say!("Soaks up oil, g/g"), &mut draft.soaks, 90.0, "0");
    note(
        ui,
        say!(
            "Oil that goes into porous grains, such as silica or loofah; what fills the gaps between grains does not count"
        ),
    );
    for figure in [&m.density_solid, &m.oil_absorption].into_iter().flatten() {
        note(
            ui,
            &say!(
                "Now {now}: {figure}",
                now = format_f64(figure.value, 2, scene.style()),
                figure = words::engine(figure.provenance())
            ),
        );
    }
    error(ui, draft.error.as_ref());
    let pressed = foot(ui, say!("Apply"));
    if pressed == Foot::Cancel {
        return true;
    }
    if pressed != Foot::Do && !enter {
        return false;
    }
    let read = || -> Result<PowderData, String> {
        let density = number_in(&draft.density, say!("Density"), &[], scene.syntax())?.0;
        if !(0.05..=8.0).contains(&density) {
            return Err(say!("The density of a grain is from 0,05 to 8 g/mL")
                .replace("0,05", &format_f64(0.05, 2, scene.style())));
        }
        let soaks = match draft.soaks.trim() {
            "" => 0.0,
            text => number_in(text, say!("Soaked oil"), &[], scene.syntax())?.0,
        };
        if !(0.0..=10.0).contains(&soaks) {
            return Err(say!("Soaked oil is from 0 to 10 g for each g").to_owned());
        }
        Ok(PowderData { density, shape: draft.shape, soaks })
    };
    match read() {
        Ok(data) => {
            let id = draft.material.clone();
            actions.push(Action::Setting(SettingAction::Powder(id, data)));
            true
        }
        Err(text) => {
            draft.error = Some(text);
            false
        }
    }
}

//! Daily exposure and margins, worked out from figures that the maker enters.

use egui::{Label, RichText, Ui};
use quern_calc::number::{format_f64, format_plain};

use super::{muted, rule, section, steps};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::safety::{ExposureDraft, SafetyAction};
use crate::app::state::Dialog;
use crate::look::icons::Icon;
use crate::look::{Tokens, fonts};
use crate::widgets::icon_button;
use crate::widgets::table::{Cell, whole_row};
use crate::words;

/// Draws the part.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let e = &scene.here.evaluation;
    let table = &quern_project::rules::in_use().exposure;
    section(
        ui,
        say!("Exposure to components"),
        say!("arithmetic on figures that you enter, never a verdict"),
    );
    muted(
        ui,
        say!(
            "Choose a component and enter a point of departure from a published assessment, such as a NOAEL: the systemic exposure dose and the margin follow, with the table they rest on"
        ),
    );
    let button = ui.button(say!("Add exposure…"));
    if button.clicked() {
        let draft = ExposureDraft { absorbed: "50".to_owned(), ..ExposureDraft::default() };
        actions.push(Action::Open(Box::new(Dialog::Exposure(Box::new(draft)))));
    }
    let style = scene.style();
    for (i, figures) in e.safety.exposures.iter().enumerate() {
        rule(ui);
        ui.horizontal(|ui| {
            let head = words::engine(figures.headline(style));
            ui.add(Label::new(RichText::new(head).font(fonts::strong(13.5))).wrap());
            let name = say!("Change exposure {n}", n = i.saturating_add(1));
            if icon_button(ui, Icon::Formula, &name, say!("Change these figures"), true).clicked() {
                let ask = &figures.ask;
                let draft = ExposureDraft {
                    at: Some(i),
                    component: ask.component.clone(),
                    departure: format_plain(ask.departure, style),
                    oral: ask.oral,
                    absorbed: format_plain(ask.absorbed.0, style),
                    source: ask.source.clone(),
                    line: ask.line.clone().unwrap_or_default(),
                    error: None,
                };
                actions.push(Action::Open(Box::new(Dialog::Exposure(Box::new(draft)))));
            }
            let name = say!("Remove exposure {n}", n = i.saturating_add(1));
            if icon_button(ui, Icon::Remove, &name, say!("Take this exposure out"), true).clicked()
            {
                let mut notes = scene.formula().safety.clone();
                if i < notes.exposures.len() {
                    notes.exposures.remove(i);
                }
                let action = SafetyAction::Notes(say!("remove exposure"), Box::new(notes));
                actions.push(Action::Safety(action));
            }
        });
        steps(ui, &figures.steps(style));
    }
    reference(ui, scene, table);
}

/// The table that exposures rest on.
fn reference(
    ui: &mut Ui,
    scene: &Scene<'_>,
    table: &quern_calc::safety::exposure_table::ExposureTable,
) {
    let t = Tokens::of(ui);
    let style = scene.style();
    section(ui, say!("Reference table"), &words::engine(&table.edition));
    let cell = |text: String, muted: bool| Cell {
        text,
        font: fonts::text(),
        color: if muted { t.muted } else { t.ink },
    };
    let heads =
        [say!("g a day"), say!("stays"), say!("mg/kg a day")].map(|h| cell(h.to_owned(), true));
    whole_row(ui, say!("Product"), &heads, 96.0);
    for line in &table.lines {
        let cells = [
            cell(format_f64(line.g_day, 3, style), false),
            cell(format_f64(line.retention, 2, style), false),
            cell(format_f64(line.e_mg_kg_day, 2, style), false),
        ];
        let memory = line.about.basis == quern_calc::formula::Basis::Memory;
        let name =
            if memory { say!("{line} (from memory)", line = line.name) } else { line.name.clone() };
        whole_row(ui, &name, &cells, 96.0);
    }
    muted(
        ui,
        &say!(
            "Exposure per kg of body weight as printed; where only grams are printed they are divided by {body_weight_kg} kg",
            body_weight_kg = format_f64(table.body_weight_kg, 0, style)
        ),
    );
}

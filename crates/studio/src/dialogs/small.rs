//! Small dialogs: bringing to 100, parts, bench sheet, project.

use egui::{RichText, ScrollArea, TextEdit, Ui};
use quern_calc::formula::NormalisePreview;
use quern_calc::number::{Unit, format_fixed, format_plain, parse};
use quern_project::settings::Paper;

use super::{Foot, error, foot, note, text_row, title};
use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::preferences::Prefer;
use crate::look::Tokens;
use crate::widgets::primary_button;
use crate::words;

/// Preview of bringing the lines to 100.
pub fn normalise(
    ui: &mut Ui,
    scene: &Scene<'_>,
    preview: &NormalisePreview,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(460.0_f32.min(ui.available_width()));
    title(ui, say!("Bring to 100"));
    let style = scene.style();
    note(
        ui,
        &say!(
            "The lines hold {total_before} %. Unlocked lines would keep their ratio; locked ones stay",
            total_before = format_plain(preview.total_before.0, style)
        ),
    );
    ui.add_space(6.0);
    if preview.changes.is_empty() {
        ui.label(say!("Nothing would change"));
    }
    ScrollArea::vertical().max_height(300.0).id_salt("normalise").show(ui, |ui| {
        egui::Grid::new("normalise-grid").num_columns(3).spacing([24.0, 4.0]).show(ui, |ui| {
            for (line, before, after) in &preview.changes {
                let name =
                    scene.here.evaluation.line(*line).map_or("", |l| l.name.as_str()).to_owned();
                ui.label(name);
                ui.label(format_fixed(before.0, 4, style));
                ui.label(RichText::new(format_fixed(after.0, 4, style)).strong());
                ui.end_row();
            }
        });
    });
    match foot(ui, say!("Apply")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => {
            actions.push(Action::Edit(Edit::Normalise(preview.clone())));
            true
        }
    }
}

/// Parts that make the whole.
pub fn parts(
    ui: &mut Ui,
    scene: &Scene<'_>,
    text: &mut String,
    wrong: &mut Option<String>,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(440.0_f32.min(ui.available_width()));
    title(ui, say!("Parts"));
    note(
        ui,
        say!(
            "For recipes in parts: how many parts make the whole. Then type amounts as \"3 parts\"; \
         lines typed in parts follow when this changes"
        ),
    );
    ui.add_space(6.0);
    text_row(ui, say!("Parts in all"), text, 100.0, "100");
    ui.add_space(6.0);
    let t = Tokens::of(ui);
    ScrollArea::vertical().max_height(220.0).id_salt("parts").show(ui, |ui| {
        egui::Grid::new("parts-grid").num_columns(2).spacing([24.0, 2.0]).show(ui, |ui| {
            for l in &scene.here.evaluation.lines {
                let Some(percent) = l.percent else { continue };
                ui.label(RichText::new(&l.name).color(t.muted));
                let parts = scene.formula().parts_of(percent);
                ui.label(say!("{parts} parts", parts = format_fixed(parts, 2, scene.style())));
                ui.end_row();
            }
        });
    });
    error(ui, wrong.as_ref());
    match foot(ui, say!("Apply")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => match parse(text, scene.syntax()) {
            Ok(typed)
                if matches!(typed.unit, None | Some(Unit::Parts))
                    && typed.value > rust_decimal::Decimal::ZERO =>
            {
                actions.push(Action::Edit(Edit::Parts(typed.value)));
                true
            }
            Ok(_) => {
                *wrong = Some(say!("The parts in all are a number above 0").to_owned());
                false
            }
            Err(e) => {
                *wrong = Some(words::told(e));
                false
            }
        },
    }
}

/// Bench sheet: paper and kind.
pub fn sheet(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (path, ending): (&mut String, &str),
    typed: bool,
    wrong: Option<&String>,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(500.0_f32.min(ui.available_width()));
    title(ui, say!("Bench sheet"));
    let e = &scene.here.evaluation;
    match &e.batch {
        Ok(batch) => {
            let pieces = match (batch.pieces, batch.piece) {
                (Some(n), Some(g)) => {
                    say!(", {n} pieces of {mass}", n, mass = scene.mass_full(g))
                }
                _ => String::new(),
            };
            ui.label(say!(
                "{name}, batch {batch_code}, {mass} gross{pieces}",
                name = scene.here.name,
                batch_code = e.batch_code,
                mass = scene.mass_text(batch.gross, scene.finest()),
                pieces
            ));
        }
        Err(_) => {
            ui.label(say!("There is no batch size yet, so the sheet would have no grams"));
        }
    }
    if e.has_stop() {
        let t = Tokens::of(ui);
        let text =
            RichText::new(say!("A stop stands: the sheet is made with a banner")).color(t.stop);
        crate::widgets::sign_label(ui, crate::look::icons::Sign::Stop, t.stop, text);
    }
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        ui.label(say!("Paper"));
        let letter = scene.settings.paper == Paper::Letter;
        if ui.radio(!letter, say!("A4")).clicked() {
            actions.push(Action::Prefer(Prefer::Paper(Paper::A4)));
        }
        if ui.radio(letter, say!("US Letter")).clicked() {
            actions.push(Action::Prefer(Prefer::Paper(Paper::Letter)));
        }
    });
    ui.add_space(8.0);
    let mut close = false;
    if typed {
        note(ui, say!("Type or paste a path ending in .pdf, .html, .csv or .md"));
        let response = ui
            .add(
                TextEdit::singleline(path)
                    .id(egui::Id::unique("sheet-path"))
                    .desired_width(f32::INFINITY),
            )
            .accessible_name(say!("Path of the bench sheet"));
        super::focus_first(ui, &response);
        let enter = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        error(ui, wrong);
        match foot(ui, say!("Write")) {
            Foot::Cancel => close = true,
            pressed if (pressed == Foot::Do || enter) && !path.trim().is_empty() => {
                let mut path = std::path::PathBuf::from(path.trim());
                if path.extension().is_none() && !ending.is_empty() {
                    path.set_extension(ending);
                }
                actions.push(Action::WriteSheet(path));
                close = true;
            }
            _ => {}
        }
        return close;
    }
    ui.horizontal_wrapped(|ui| {
        let pdf = primary_button(ui, "PDF...");
        super::focus_first(ui, &pdf);
        if pdf.clicked() {
            actions.push(Action::ChooseSheet("pdf"));
            close = true;
        }
        for (name, ending) in [("HTML...", "html"), ("CSV...", "csv"), (say!("Markdown..."), "md")]
        {
            if ui.button(name).clicked() {
                actions.push(Action::ChooseSheet(ending));
                close = true;
            }
        }
        if ui.button(say!("Cancel")).clicked() {
            close = true;
        }
    });
    note(ui, say!("A spreadsheet file (XLSX) is not built yet; CSV opens in any spreadsheet"));
    close
}

/// Project name and currency.
pub fn project(
    ui: &mut Ui,
    name: &mut String,
    currency: &mut String,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(420.0_f32.min(ui.available_width()));
    title(ui, say!("Project details"));
    text_row(ui, say!("Name"), name, 240.0, "");
    text_row(ui, say!("Currency"), currency, 80.0, say!("EUR"));
    note(ui, say!("Prices are in this currency; nothing is converted"));
    match foot(ui, say!("Apply")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => {
            let (name, currency) = (name.trim().to_owned(), currency.trim().to_owned());
            if !name.is_empty() {
                actions.push(Action::ProjectDetails { name, currency });
            }
            true
        }
    }
}

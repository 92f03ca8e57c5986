//! Grain data of a material: what the library says, the maker's own lots, sieve tables.

use egui::{Align2, RichText, ScrollArea, Sense, Stroke, TextEdit, Ui, pos2, vec2};
use quern_calc::formula::{GrainData, GrainLot};
use quern_calc::grit::axis::SizeAxis;
use quern_calc::grit::entry::{read_sizes, understood};
use quern_calc::grit::sieves::opening_of_mesh;
use quern_calc::grit::{GrainSize, SieveFit, SieveRow, SieveTable, SizeData};
use quern_calc::number::{MassUnit, NumberStyle, Syntax, Unit, format_f64, parse};
use quern_calc::quantity::decimal_to_f64;

use super::{Foot, error, foot, note as muted, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::grit::GritAction;
use crate::app::state::{GrainDraft, TableDraft};
use crate::look::icons::Icon;
use crate::look::{Tokens, fonts};
use crate::widgets::icon_button;

/// Size of a cell of the sieve table, in points.
const CELL: [f32; 2] = [120.0, 28.0];

/// Lots that a material may hold.
const LOTS_MAX: usize = 200;

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut GrainDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(640.0_f32.min(ui.available_width()));
    let Some(material) = scene.project.materials.get(&draft.material) else { return true };
    let style = scene.style();
    title(ui, &format!("Grains of {}", material.display_name()));
    let height = (ui.ctx().content_rect().height() - 190.0).max(160.0);
    ScrollArea::vertical().max_height(height).id_salt("grains-scroll").show(ui, |ui| {
        in_use(ui, material.grain.as_ref(), draft, style);
        ui.add_space(10.0);
        entry(ui, scene, draft);
        ui.add_space(10.0);
        ui.label(RichText::new("The grain itself").strong());
        egui::Grid::new("grain-itself").num_columns(2).spacing([12.0, 4.0]).show(ui, |ui| {
            for (text, name) in draft.texts.iter_mut().zip([
                "Hardness, MPa",
                "Angularity, 0 sphere to 1 broken glass",
                "Shrinks in water, µm/s; empty if it does not dissolve",
            ]) {
                ui.label(name);
                ui.add(TextEdit::singleline(text).desired_width(64.0)).accessible_name(name);
                ui.end_row();
            }
        });
        if let Some(g) = &material.grain {
            muted(ui, &format!("Source: {}", g.provenance()));
        }
        muted(ui, "Hardness and angularity are assumptions of the model for most grains; change them only with a reason");
    });
    error(ui, draft.error.as_ref());
    match foot(ui, "Apply") {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => match finish(draft, material.grain.is_some(), scene.syntax(), style) {
            Ok(data) => {
                let id = draft.material.clone();
                actions.push(Action::Grit(GritAction::Grains(id, Box::new(data))));
                true
            }
            Err(text) => {
                draft.error = Some(text);
                false
            }
        },
    }
}

fn sizes_words(sizes: &SizeData, style: NumberStyle) -> String {
    match GrainSize::fit(sizes) {
        Ok(size) => format!(
            "D10 {}, D50 {}, D90 {} µm",
            format_f64(size.d10_um(), 0, style),
            format_f64(size.d50_um(), 0, style),
            format_f64(size.d90_um(), 0, style)
        ),
        Err(e) => e.to_string(),
    }
}

/// What is calculated with: the library's sizes or one of the lots.
fn in_use(
    ui: &mut Ui,
    figure: Option<&quern_calc::formula::Figure<GrainData>>,
    draft: &mut GrainDraft,
    style: NumberStyle,
) {
    ui.label(RichText::new("Calculate with").strong());
    if let Some(figure) = figure {
        let data = &draft.data;
        let assumed = if data.assumed_size { ", assumed for the grade" } else { "" };
        let text = format!(
            "as listed: {}{assumed}; {}",
            sizes_words(&data.sizes, style),
            understood(&data.sizes, style)
        );
        let response = ui.radio(data.lot_in_use.is_none(), text);
        if response.on_hover_text(figure.provenance()).clicked() {
            draft.data.lot_in_use = None;
        }
    } else if draft.data.lots.is_empty() {
        muted(ui, "No sizes are known; enter them below");
    }
    let mut remove = None;
    for (i, lot) in draft.data.lots.iter().enumerate() {
        let on = draft.data.lot_in_use.as_ref() == Some(&lot.name);
        ui.horizontal(|ui| {
            let text = format!("{}: {} ({})", lot.name, sizes_words(&lot.sizes, style), lot.stated);
            if ui.radio(on, text).clicked() {
                remove = Some((i, false));
            }
            let name = format!("Remove {}", lot.name);
            if icon_button(ui, Icon::Remove, &name, &name, true).clicked() {
                remove = Some((i, true));
            }
        });
        if on && let Some(fit) = GrainSize::sieve_fit(&lot.sizes) {
            fitted(ui, &fit, style);
        }
    }
    match remove {
        Some((i, true)) if i < draft.data.lots.len() => {
            let lot = draft.data.lots.remove(i);
            if draft.data.lot_in_use.as_ref() == Some(&lot.name) {
                draft.data.lot_in_use = None;
            }
        }
        Some((i, false)) => {
            draft.data.lot_in_use = draft.data.lots.get(i).map(|l| l.name.clone());
        }
        _ => {}
    }
}

/// Adds a lot: in the supplier's words or as a sieve table.
fn entry(ui: &mut Ui, scene: &Scene<'_>, draft: &mut GrainDraft) {
    let style = scene.style();
    ui.label(RichText::new("Add a lot or a grade").strong());
    ui.horizontal(|ui| {
        ui.label("Name");
        let field = ui
            .add(
                TextEdit::singleline(&mut draft.name)
                    .desired_width(150.0)
                    .hint_text("lot 2611, resieved"),
            )
            .accessible_name("Name of the lot");
        super::focus_first(ui, &field);
        let mut table = draft.table.is_some();
        if ui.radio(!table, "as stated").clicked() {
            table = false;
        }
        if ui.radio(table, "as a sieve table").clicked() {
            table = true;
        }
        if table && draft.table.is_none() {
            draft.table = Some(TableDraft {
                rows: ["35", "45", "60", "100"]
                    .map(|m| (format!("mesh {m}"), String::new()))
                    .to_vec(),
                ..TableDraft::default()
            });
        } else if !table {
            draft.table = None;
        }
    });
    let mut enter = false;
    match &mut draft.table {
        None => {
            ui.horizontal(|ui| {
                ui.label("Sizes");
                let field = ui.add(
                    TextEdit::singleline(&mut draft.stated)
                        .desired_width(360.0)
                        .hint_text("40/60 mesh, 250-500 µm, 95 % below 500 µm"),
                );
                let field = field.accessible_name("Sizes as the supplier states them");
                enter = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            });
            if draft.stated.trim().is_empty() {
                muted(
                    ui,
                    "In the supplier's words: 40/60 mesh; 250-500 µm; 95 % below 500 µm; 10 % below 200 and 95 % below 500 µm; D10 150 D50 300 D90 550",
                );
            } else {
                match read_sizes(&draft.stated, scene.syntax()) {
                    Ok(sizes) => muted(
                        ui,
                        &format!(
                            "Read as {}: {}",
                            understood(&sizes, style),
                            sizes_words(&sizes, style)
                        ),
                    ),
                    Err(e) => error(ui, Some(&e.to_string())),
                }
            }
        }
        Some(table) => table_entry(ui, table, scene.syntax(), style),
    }
    let can = !draft.name.trim().is_empty();
    let button = ui.add_enabled(can, egui::Button::new("Add this lot"));
    if button.clicked() || (enter && can) {
        match new_lot(draft, scene.syntax()) {
            Ok(lot) => {
                draft.data.lot_in_use = Some(lot.name.clone());
                draft.data.lots.push(lot);
                draft.name.clear();
                draft.stated.clear();
                draft.table = None;
                draft.error = None;
            }
            Err(text) => draft.error = Some(text),
        }
    }
    if !can {
        muted(ui, "A lot needs a name, so that it can be told from the others");
    }
}

fn table_entry(ui: &mut Ui, table: &mut TableDraft, syntax: Syntax, style: NumberStyle) {
    let mut remove = None;
    egui::Grid::new("sieve-table").num_columns(3).spacing([10.0, 3.0]).show(ui, |ui| {
        muted(ui, "sieve, mesh or µm");
        muted(ui, "kept on it, g or %");
        ui.end_row();
        let count = table.rows.len();
        for (i, (sieve, kept)) in table.rows.iter_mut().enumerate() {
            let n = i + 1;
            ui.add_sized(CELL, TextEdit::singleline(sieve)).accessible_name(format!("Sieve {n}"));
            ui.add_sized(CELL, TextEdit::singleline(kept))
                .accessible_name(format!("Kept on sieve {n}"));
            let name = format!("Remove sieve {n}");
            if icon_button(ui, Icon::Remove, &name, &name, count > 2).clicked() {
                remove = Some(i);
            }
            ui.end_row();
        }
        ui.label("pan");
        ui.add_sized(CELL, TextEdit::singleline(&mut table.pan)).accessible_name("Mass in the pan");
        ui.end_row();
        ui.label("weighed in");
        ui.add_sized(CELL, TextEdit::singleline(&mut table.sample).hint_text("or empty"))
            .accessible_name("Mass weighed in before sieving");
        ui.end_row();
    });
    if let Some(i) = remove {
        table.rows.remove(i);
    }
    if ui.button("+ Add a sieve").clicked() {
        table.rows.push(Default::default());
    }
    match read_table(table, syntax) {
        Ok(read) => match quern_calc::grit::table::fit(&read) {
            Ok(fit) => fitted(ui, &fit, style),
            Err(e) => error(ui, Some(&e.to_string())),
        },
        Err(text) => muted(ui, &text),
    }
}

/// The fit beside its points, in words and as a picture.
fn fitted(ui: &mut Ui, fit: &SieveFit, style: NumberStyle) {
    let t = Tokens::of(ui);
    let percent = |x: f64| format_f64(100.0 * x, 1, style);
    let (area, response) = ui.allocate_exact_size(vec2(360.0, 120.0), Sense::hover());
    let words: Vec<String> = fit
        .points
        .iter()
        .map(|p| {
            format!(
                "{} µm: {} % below, fit {} %",
                format_f64(p.um, 0, style),
                percent(p.below),
                percent(p.fitted)
            )
        })
        .collect();
    let name = format!("Sieve table and fit: {}", words.join("; "));
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &name));
    let r = area.shrink2(vec2(30.0, 16.0));
    let (lo, hi) = (
        fit.points.first().map_or(50.0, |p| p.um) * 0.6,
        fit.points.last().map_or(1000.0, |p| p.um) * 1.7,
    );
    let Some(axis) = SizeAxis::new(lo, hi) else { return };
    let x = |um: f64| {
        #[allow(clippy::cast_possible_truncation)] // a place on screen
        let at = axis.place(um) as f32;
        r.left() + at * r.width()
    };
    let y = |share: f64| {
        #[allow(clippy::cast_possible_truncation)] // a place on screen
        let at = share as f32;
        r.bottom() - at * r.height()
    };
    let painter = ui.painter();
    for share in [0.0, 0.5, 1.0] {
        painter.hline(r.x_range(), y(share), Stroke::new(1.0, t.hairline));
        let text = format!("{} %", format_f64(100.0 * share, 0, style));
        painter.text(
            pos2(r.left() - 4.0, y(share)),
            Align2::RIGHT_CENTER,
            text,
            fonts::small(),
            t.muted,
        );
    }
    let size = SizeData::Lognormal { d50_um: fit.d50_um, sigma: fit.sigma };
    if let Ok(size) = GrainSize::fit(&size) {
        let line = (0..=60).map(|i| {
            let um = axis.size(f64::from(i) / 60.0);
            pos2(x(um), y(size.fraction_below(um)))
        });
        painter.add(egui::Shape::line(line.collect(), Stroke::new(1.8, t.accent)));
    }
    for p in &fit.points {
        painter.circle(pos2(x(p.um), y(p.below)), 4.0, t.raised, Stroke::new(2.0, t.side(1)));
        painter.text(
            pos2(x(p.um), r.bottom() + 2.0),
            Align2::CENTER_TOP,
            format_f64(p.um, 0, style),
            fonts::small(),
            t.muted,
        );
    }
    let mut text = format!(
        "Fit: D50 {} µm, spread {}; it misses the points by {} points typically and {} at most",
        format_f64(fit.d50_um, 0, style),
        format_f64(fit.sigma, 2, style),
        percent(fit.rms),
        percent(fit.worst)
    );
    if fit.worst > 0.05 {
        text.push_str("; the grade is not lognormal, so that tails are rough figures");
    }
    if let Some(lost) = fit.lost.filter(|l| l.abs() >= 0.0005) {
        let way = if lost > 0.0 { "lost" } else { "too much" };
        text.push_str(&format!("; {} % {way}", percent(lost.abs())));
    }
    if !fit.in_order {
        text.push_str("; the sieves do not stand in order, each was read by its opening");
    }
    muted(ui, &text);
}

fn plain(text: &str, what: &str, syntax: Syntax) -> Result<f64, String> {
    let typed = parse(text, syntax).map_err(|e| format!("{what}: {e}"))?;
    let gram = Unit::Mass(MassUnit::Gram);
    if !(typed.unit.is_none() || typed.unit == Some(Unit::Percent) || typed.unit == Some(gram)) {
        return Err(format!("{what} is a plain number, or one in g or %"));
    }
    Ok(decimal_to_f64(typed.value))
}

fn read_table(draft: &TableDraft, syntax: Syntax) -> Result<SieveTable, String> {
    let mut rows = Vec::new();
    for (i, (sieve, kept)) in draft.rows.iter().enumerate() {
        let n = i + 1;
        if sieve.trim().is_empty() && kept.trim().is_empty() {
            continue;
        }
        if kept.trim().is_empty() {
            return Err(format!("Enter what sieve {n} kept; 0 if nothing"));
        }
        let lower = sieve.trim().to_lowercase();
        let opening_um =
            if let Some(mesh) = lower.strip_prefix("mesh").or(lower.strip_suffix("mesh")) {
                let mesh = mesh.trim();
                opening_of_mesh(mesh)
                    .ok_or_else(|| format!("Sieve {n}: {mesh} is no sieve of ASTM E11"))?
            } else {
                let bare = lower.replace('\u{3bc}', "\u{b5}");
                let bare = bare.trim_end_matches("\u{b5}m").trim_end_matches("um").trim();
                plain(bare, &format!("Sieve {n}"), syntax)?
            };
        rows.push(SieveRow {
            opening_um,
            kept: plain(kept, &format!("Kept on sieve {n}"), syntax)?,
        });
    }
    let optional = |text: &str, what: &str| -> Result<Option<f64>, String> {
        if text.trim().is_empty() { Ok(None) } else { plain(text, what, syntax).map(Some) }
    };
    let pan = optional(&draft.pan, "Pan")?.ok_or("Enter what was in the pan; 0 if nothing")?;
    Ok(SieveTable { rows, pan, sample: optional(&draft.sample, "Weighed in")? })
}

/// A sieve table in words, as the raw entry that is kept.
fn table_words(draft: &TableDraft) -> String {
    let rows: Vec<String> = draft
        .rows
        .iter()
        .filter(|(s, k)| !(s.trim().is_empty() && k.trim().is_empty()))
        .map(|(s, k)| format!("{}: {}", s.trim(), k.trim()))
        .collect();
    let mut text = format!("sieve table {}; pan {}", rows.join(", "), draft.pan.trim());
    if !draft.sample.trim().is_empty() {
        text.push_str(&format!("; weighed in {}", draft.sample.trim()));
    }
    text
}

fn new_lot(draft: &GrainDraft, syntax: Syntax) -> Result<GrainLot, String> {
    let name = draft.name.trim().to_owned();
    if draft.data.lots.iter().any(|l| l.name == name) {
        return Err(format!(
            "There is a lot {name} already; remove it first or choose another name"
        ));
    }
    if draft.data.lots.len() >= LOTS_MAX {
        return Err(format!("A material holds at most {LOTS_MAX} lots; remove one"));
    }
    let (stated, sizes) = match &draft.table {
        Some(table) => (table_words(table), SizeData::Sieved(read_table(table, syntax)?)),
        None => {
            let sizes = read_sizes(&draft.stated, syntax).map_err(|e| e.to_string())?;
            (draft.stated.trim().to_owned(), sizes)
        }
    };
    GrainSize::fit(&sizes).map_err(|e| e.to_string())?;
    Ok(GrainLot { name, stated, sizes })
}

/// The data as they will be kept.
fn finish(
    draft: &GrainDraft,
    known: bool,
    syntax: Syntax,
    style: NumberStyle,
) -> Result<GrainData, String> {
    let kept = draft.table.as_ref().is_some_and(|t| t.rows.iter().any(|r| !r.1.trim().is_empty()));
    if kept || !draft.name.trim().is_empty() || !draft.stated.trim().is_empty() {
        return Err("A lot is typed but not added; add it or empty its fields".to_owned());
    }
    let mut data = draft.data.clone();
    if !known {
        let lot = data.lot().or(data.lots.first()).ok_or("Enter sizes first, as a lot or grade")?;
        data.sizes = lot.sizes.clone();
        data.assumed_size = false;
    }
    let [hardness, angularity, rate] = &draft.texts;
    // A field that was left as shown keeps the figure behind it.
    let same = |text: &str, value: f64, places| text == format_f64(value, places, style);
    if !same(hardness, data.hardness_mpa, 0) {
        data.hardness_mpa = plain(hardness, "Hardness", syntax)?;
    }
    if !same(angularity, data.angularity, 2) {
        data.angularity = plain(angularity, "Angularity", syntax)?;
    }
    let unchanged = data.dissolves_um_per_s.map_or(rate.trim().is_empty(), |r| same(rate, r, 1));
    if !unchanged {
        data.dissolves_um_per_s = if rate.trim().is_empty() {
            None
        } else {
            // A rate of 0 is no dissolving.
            Some(plain(rate, "Rate of dissolving", syntax)?).filter(|r| *r != 0.0)
        };
    }
    if !(data.hardness_mpa >= 0.0 && data.hardness_mpa <= 100_000.0) {
        return Err("Hardness is a number from 0 to 100000 MPa".to_owned());
    }
    if !(0.0..=1.0).contains(&data.angularity) {
        return Err("Angularity is a number from 0 to 1".to_owned());
    }
    if data.dissolves_um_per_s.is_some_and(|r| !(0.0..=1000.0).contains(&r)) {
        return Err("The rate of dissolving is a number from 0 to 1000 µm/s".to_owned());
    }
    Ok(data)
}

//! Grain data of a material: what the library says, the maker's own lots, sieve tables.

use egui::{RichText, ScrollArea, TextEdit, Ui};
use quern_calc::formula::{GrainData, GrainLot};
use quern_calc::grit::entry::{read_sizes, understood};
use quern_calc::grit::{GrainSize, SizeData};
use quern_calc::number::{NumberStyle, Syntax, format_f64};

use super::sieves::{self, fitted, plain, read_table, table_words};
use super::{Foot, error, foot, note as muted, title, wrong};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::field_error::{At as _, FieldError};
use crate::app::grit::GritAction;
use crate::app::state::{GrainDraft, TableDraft};
use crate::look::icons::Icon;
use crate::widgets::icon_button;
use crate::words;

/// Fields of the grain itself.
const ITSELF: [&str; 3] = [
    term!("Hardness, MPa"),
    term!("Angularity, 0 sphere to 1 broken glass"),
    term!("Shrinks in water, µm/s; empty if it does not dissolve"),
];
/// Fields of a new lot.
const NAME: &str = term!("Name of the lot");
const STATED: &str = term!("Sizes as the supplier states them");

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
    title(ui, &say!("Grains of {material}", material = material.display_name()));
    let height = (ui.ctx().content_rect().height() - 190.0).max(160.0);
    ScrollArea::vertical().max_height(height).id_salt("grains-scroll").show(ui, |ui| {
        in_use(ui, material.grain.as_ref(), draft, style);
        ui.add_space(10.0);
        entry(ui, scene, draft);
        ui.add_space(10.0);
        ui.label(RichText::new(say!("The grain itself")).strong());
        egui::Grid::new("grain-itself").num_columns(2).spacing([12.0, 4.0]).show(ui, |ui| {
            for (text, name) in draft.texts.iter_mut().zip(ITSELF.map(words::text)) {
                ui.label(name);
                let field =
                    ui.add(TextEdit::singleline(text).desired_width(64.0)).accessible_name(name);
                let at_fault = wrong::marks(ui, name, &field);
                ui.end_row();
                if at_fault {
                    ui.label("");
                    wrong::tell(ui);
                    ui.end_row();
                }
            }
        });
        if let Some(g) = &material.grain {
            muted(ui, &say!("Source: {source}", source = words::engine(g.provenance())));
        }
        muted(ui, say!("Hardness and angularity are assumptions of the model for most grains; change them only with a reason"));
    });
    wrong::tell(ui);
    match foot(ui, say!("Apply")) {
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
        Ok(size) => say!(
            "D10 {d10}, D50 {d50}, D90 {d90} µm",
            d10 = format_f64(size.d10_um(), 0, style),
            d50 = format_f64(size.d50_um(), 0, style),
            d90 = format_f64(size.d90_um(), 0, style)
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
    ui.label(RichText::new(say!("Calculate with")).strong());
    if let Some(figure) = figure {
        let data = &draft.data;
        let assumed = if data.assumed_size { say!(", assumed for the grade") } else { "" };
        let text = say!(
            "as listed: {sizes}{assumed}; {read}",
            sizes = sizes_words(&data.sizes, style),
            assumed,
            read = words::told(understood(&data.sizes, style))
        );
        let response = ui.radio(data.lot_in_use.is_none(), text);
        if response.on_hover_text(words::engine(figure.provenance())).clicked() {
            draft.data.lot_in_use = None;
        }
    } else if draft.data.lots.is_empty() {
        muted(ui, say!("No sizes are known; enter them below"));
    }
    let mut remove = None;
    for (i, lot) in draft.data.lots.iter().enumerate() {
        let on = draft.data.lot_in_use.as_ref() == Some(&lot.name);
        ui.horizontal(|ui| {
            let text = format!("{}: {} ({})", lot.name, sizes_words(&lot.sizes, style), lot.stated);
            if ui.radio(on, text).clicked() {
                remove = Some((i, false));
            }
            let name = say!("Remove {lot}", lot = lot.name);
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
    ui.label(RichText::new(say!("Add a lot or a grade")).strong());
    let mut at_fault = false;
    ui.horizontal(|ui| {
        ui.label(say!("Name"));
        let field = ui
            .add(
                TextEdit::singleline(&mut draft.name)
                    .desired_width(150.0)
                    .hint_text(say!("lot 2611, resieved")),
            )
            .accessible_name(words::text(NAME));
        super::focus_first(ui, &field);
        at_fault = wrong::marks(ui, words::text(NAME), &field);
        let mut table = draft.table.is_some();
        if ui.radio(!table, say!("as stated")).clicked() {
            table = false;
        }
        if ui.radio(table, say!("as a sieve table")).clicked() {
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
    if at_fault {
        wrong::tell(ui);
    }
    let mut enter = false;
    match &mut draft.table {
        None => {
            ui.horizontal(|ui| {
                ui.label(say!("Sizes"));
                let field = ui.add(
                    TextEdit::singleline(&mut draft.stated)
                        .desired_width(360.0)
                        .hint_text(say!("40/60 mesh, 250-500 µm, 95 % below 500 µm")),
                );
                let field = field.accessible_name(words::text(STATED));
                wrong::marks(ui, words::text(STATED), &field);
                enter = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            });
            if draft.stated.trim().is_empty() {
                muted(
                    ui,
                    say!(
                        "In the supplier's words: 40/60 mesh; 250-500 µm; 95 % below 500 µm; 10 % below 200 and 95 % below 500 µm; D10 150 D50 300 D90 550"
                    ),
                );
            } else {
                match read_sizes(&draft.stated, scene.syntax()) {
                    Ok(sizes) => muted(
                        ui,
                        &say!(
                            "Read as {read}: {sizes}",
                            read = words::told(understood(&sizes, style)),
                            sizes = sizes_words(&sizes, style)
                        ),
                    ),
                    Err(e) => error(ui, Some(&words::told(e))),
                }
            }
        }
        Some(table) => sieves::entry(ui, table, scene.syntax(), style),
    }
    let can = !draft.name.trim().is_empty();
    let button = ui.add_enabled(can, egui::Button::new(say!("Add this lot")));
    if button.clicked() || (enter && can) {
        wrong::asked(ui);
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
        muted(ui, say!("A lot needs a name, so that it can be told from the others"));
    }
}

fn new_lot(draft: &GrainDraft, syntax: Syntax) -> Result<GrainLot, FieldError> {
    let name = draft.name.trim().to_owned();
    if draft.data.lots.iter().any(|l| l.name == name) {
        let text =
            say!("There is a lot {name} already; remove it first or choose another name", name);
        return Err(FieldError::new(words::text(NAME), text));
    }
    if draft.data.lots.len() >= LOTS_MAX {
        return Err(say!(
            "A material holds at most {lots_max} lots; remove one",
            lots_max = LOTS_MAX
        )
        .into());
    }
    let (stated, sizes) = match &draft.table {
        Some(table) => (table_words(table), SizeData::Sieved(read_table(table, syntax)?)),
        None => {
            let sizes =
                read_sizes(&draft.stated, syntax).map_err(words::told).at(words::text(STATED))?;
            (draft.stated.trim().to_owned(), sizes)
        }
    };
    GrainSize::fit(&sizes).map_err(words::told)?;
    Ok(GrainLot { name, stated, sizes })
}

/// The data as they will be kept.
fn finish(
    draft: &GrainDraft,
    known: bool,
    syntax: Syntax,
    style: NumberStyle,
) -> Result<GrainData, FieldError> {
    let kept = draft.table.as_ref().is_some_and(|t| t.rows.iter().any(|r| !r.1.trim().is_empty()));
    if kept || !draft.name.trim().is_empty() || !draft.stated.trim().is_empty() {
        let text = say!("A lot is typed but not added; add it or empty its fields");
        return Err(FieldError::new(words::text(NAME), text));
    }
    let mut data = draft.data.clone();
    if !known {
        let missing =
            FieldError::new(words::text(NAME), say!("Enter sizes first, as a lot or grade"));
        let lot = data.lot().or(data.lots.first()).ok_or(missing)?;
        data.sizes = lot.sizes.clone();
        data.assumed_size = false;
    }
    let [hardness, angularity, rate] = &draft.texts;
    let [at_hardness, at_angularity, at_rate] = ITSELF.map(words::text);
    // A field that was left as shown keeps the figure behind it.
    let same = |text: &str, value: f64, places| text == format_f64(value, places, style);
    if !same(hardness, data.hardness_mpa, 0) {
        data.hardness_mpa = plain(hardness, say!("Hardness"), syntax).at(at_hardness)?;
    }
    if !same(angularity, data.angularity, 2) {
        data.angularity = plain(angularity, say!("Angularity"), syntax).at(at_angularity)?;
    }
    let unchanged = data.dissolves_um_per_s.map_or(rate.trim().is_empty(), |r| same(rate, r, 1));
    if !unchanged {
        data.dissolves_um_per_s = if rate.trim().is_empty() {
            None
        } else {
            // A rate of 0 is no dissolving.
            Some(plain(rate, say!("Rate of dissolving"), syntax).at(at_rate)?).filter(|r| *r != 0.0)
        };
    }
    if !(data.hardness_mpa >= 0.0 && data.hardness_mpa <= 100_000.0) {
        let text = say!("Hardness is a number from 0 to 100000 MPa");
        return Err(FieldError::new(at_hardness, text));
    }
    if !(0.0..=1.0).contains(&data.angularity) {
        return Err(FieldError::new(at_angularity, say!("Angularity is a number from 0 to 1")));
    }
    if data.dissolves_um_per_s.is_some_and(|r| !(0.0..=1000.0).contains(&r)) {
        let text = say!("The rate of dissolving is a number from 0 to 1000 µm/s");
        return Err(FieldError::new(at_rate, text));
    }
    Ok(data)
}

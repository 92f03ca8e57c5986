//! A line: note, alternatives, price of its material.

use egui::{RichText, ScrollArea, TextEdit, Ui};
use quern_calc::evaluate::item_name;
use quern_calc::formula::{Alternative, Item, LineId, Material, Price};
use quern_calc::number::{CurrencyPlace, Typed, Unit, parse};
use quern_calc::quantity::{Grams, Money};
use rust_decimal::Decimal;

use super::{Foot, foot, note as muted, title, wrong};
use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::field_error::{At as _, FieldError};
use crate::app::state::{Dialog, PickFor, Search};
use crate::look::icons::Icon;
use crate::widgets::icon_button;
use crate::words;

/// Names of the fields of the price.
const PRICE: &str = term!("Price of a pack");
const PACK: &str = term!("Mass of a pack");

/// Shows the dialog.
#[allow(clippy::too_many_arguments)] // the fields of its draft
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    line: LineId,
    alternatives: &mut Vec<(Alternative, String)>,
    note: &mut String,
    price: &mut (String, String),
    error: &mut Option<FieldError>,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(600.0_f32.min(ui.available_width()));
    let Some(row) = scene.formula().line(line) else { return true };
    let material = match &row.item {
        Item::Material(id) => scene.project.materials.get(id),
        Item::Formula(_) => None,
    };
    title(ui, &item_name(&row.item, scene.library));
    if let Some(m) = material {
        about(ui, scene, m);
    }
    ui.add_space(8.0);
    ui.label(RichText::new(say!("Note")).strong());
    ui.add(TextEdit::multiline(note).desired_rows(2).desired_width(f32::INFINITY))
        .accessible_name(say!("Note of the line"));
    ui.add_space(8.0);
    ui.label(RichText::new(say!("Alternatives, as printed on sheets")).strong());
    let mut remove = None;
    for (i, (alternative, ratio)) in alternatives.iter_mut().enumerate() {
        let n = i + 1;
        let mut at_fault = false;
        ui.horizontal(|ui| {
            let name = other_name(scene, &alternative.item);
            let width = (ui.available_width() * 0.36).max(100.0);
            ui.add_sized([width, 28.0], egui::Label::new(name).truncate());
            ui.label(say!("ratio"));
            let name = say!("Alternative {n}, ratio", n);
            let field =
                ui.add(TextEdit::singleline(ratio).desired_width(44.0)).accessible_name(&name);
            at_fault = wrong::marks(ui, &name, &field);
            let room = (ui.available_width() - 40.0).max(80.0);
            ui.add(
                TextEdit::singleline(&mut alternative.note)
                    .desired_width(room)
                    .hint_text(say!("What to know about it")),
            )
            .accessible_name(say!("Alternative {n}, note", n));
            let name = say!("Remove alternative {n}", n);
            if icon_button(ui, Icon::Remove, &name, &name, true).clicked() {
                remove = Some(i);
            }
        });
        if at_fault {
            wrong::tell(ui);
        }
    }
    if let Some(i) = remove {
        alternatives.remove(i);
    }
    if ui.button(say!("+ Add an alternative...")).clicked() {
        actions.push(Action::Open(Box::new(Dialog::Pick {
            purpose: PickFor::Alternative,
            search: Search::default(),
        })));
    }
    if material.is_some() {
        ui.add_space(8.0);
        let at_fault = ui.horizontal(|ui| {
            let currency = scene.project.currency.trim();
            let before = scene.settings.currency_place == CurrencyPlace::Before;
            ui.label(RichText::new(say!("Price")).strong());
            if before && !currency.is_empty() {
                ui.label(currency);
            }
            let sum = ui
                .add(TextEdit::singleline(&mut price.0).desired_width(70.0))
                .accessible_name(words::text(PRICE));
            let between = if before { "" } else { currency };
            ui.label(say!("{between} for a pack of", between).trim().to_owned());
            let pack = ui
                .add(TextEdit::singleline(&mut price.1).desired_width(80.0).hint_text("500 g"))
                .accessible_name(words::text(PACK));
            wrong::marks(ui, words::text(PRICE), &sum) | wrong::marks(ui, words::text(PACK), &pack)
        });
        if at_fault.inner {
            wrong::tell(ui);
        }
        muted(ui, say!("The price belongs to the material, wherever it is used in this project"));
    }
    wrong::tell(ui);
    match foot(ui, say!("Apply")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => match finish(scene, alternatives, price) {
            Err(text) => {
                *error = Some(text);
                false
            }
            Ok((alternatives, new_price)) => {
                actions.push(Action::Edit(Edit::LineNotes(line, alternatives, note.clone())));
                if let Some(m) = material
                    && m.price != new_price
                {
                    actions.push(Action::Price(m.id.clone(), new_price));
                }
                true
            }
        },
    }
}

/// Name of an item that may not be in the project yet.
fn other_name(scene: &Scene<'_>, item: &Item) -> String {
    if let Item::Material(id) = item
        && !scene.project.materials.contains_key(id)
        && let Some(m) = quern_project::library::builtin().materials.get(id)
    {
        return m.display_name().to_owned();
    }
    item_name(item, scene.library)
}

/// What is known of a material, each figure with its source and confidence.
fn about(ui: &mut Ui, scene: &Scene<'_>, m: &Material) {
    muted(ui, &format!("{}. {}", m.inci_and_form(), words::engine(m.about.provenance())));
    if !m.notes.is_empty() {
        muted(ui, &m.notes);
    }
    let style = scene.style();
    let number = |v: f64, places| quern_calc::number::format_f64(v, places, style);
    let mut rows: Vec<(String, String)> = Vec::new();
    for level in &m.use_levels {
        let end = |p: Option<quern_calc::quantity::Percent>| {
            p.map_or("…".to_owned(), |p| quern_calc::number::format_plain(p.0, style))
        };
        let text = say!(
            "Use level {low}–{high} % ({scope})",
            low = end(level.value.low),
            high = end(level.value.high),
            scope = words::text(level.value.scope.name())
        );
        rows.push((text, words::told(level.provenance())));
    }
    if let Some(f) = &m.melting_c {
        let end = |v: Option<f64>| v.map_or("…".to_owned(), |v| number(v, 1));
        rows.push((
            say!("Melts {low}–{high} °C", low = end(f.value.low), high = end(f.value.high)),
            words::told(f.provenance()),
        ));
    }
    for (name, figure, unit, places) in [
        (say!("Stands"), &m.heat_limit_c, "°C", 0),
        (say!("Wants at least"), &m.process_min_c, "°C", 0),
        (say!("Density, solid"), &m.density_solid, say!("g/mL"), 3),
        (say!("Density, liquid or melt"), &m.density_melt, say!("g/mL"), 3),
        ("HLB", &m.hlb, "", 1),
    ] {
        if let Some(f) = figure {
            rows.push((
                format!("{name} {} {unit}", number(f.value, places)),
                words::told(f.provenance()),
            ));
        }
    }
    if let Some(g) = &m.grain {
        let assumed = if g.value.size_is_assumed() { say!(", size assumed") } else { "" };
        if let Ok(size) = quern_calc::grit::sizes::GrainSize::fit(g.value.sizes_in_use()) {
            rows.push((
                say!(
                    "Grains D50 {d50} µm, D90 {d90} µm{assumed}",
                    d50 = number(size.d50_um(), 0),
                    d90 = number(size.d90_um(), 0),
                    assumed
                ),
                words::told(g.provenance()),
            ));
        }
    }
    ScrollArea::vertical().max_height(120.0).id_salt("about-material").show(ui, |ui| {
        for (text, source) in rows {
            ui.horizontal_wrapped(|ui| {
                ui.label(text);
                muted(ui, &source);
            });
        }
    });
}

fn finish(
    scene: &Scene<'_>,
    alternatives: &[(Alternative, String)],
    price: &(String, String),
) -> Result<(Vec<Alternative>, Option<Price>), FieldError> {
    let mut out = Vec::new();
    for (i, (alternative, ratio)) in alternatives.iter().enumerate() {
        let n = i + 1;
        let field = say!("Alternative {n}, ratio", n);
        let typed = parse(ratio, scene.syntax())
            .map_err(|e| say!("Ratio of alternative {n}: {e}", n, e = words::told(e)))
            .at(&field)?;
        if typed.unit.is_some()
            || typed.value <= Decimal::ZERO
            || typed.value > Decimal::ONE_HUNDRED
        {
            let text = say!("Ratio of alternative {n} is a number above 0 and up to 100", n);
            return Err(FieldError::new(field, text));
        }
        out.push(Alternative { ratio: typed.value, ..alternative.clone() });
    }
    let (money, pack) = (price.0.trim(), price.1.trim());
    if money.is_empty() && pack.is_empty() {
        return Ok((out, None));
    }
    if money.is_empty() || pack.is_empty() {
        let text = say!("A price needs both an amount and a pack, such as 12.50 for 500 g");
        return Err(FieldError::new(
            if money.is_empty() { words::text(PRICE) } else { words::text(PACK) },
            text,
        ));
    }
    let amount = parse(money, scene.syntax())
        .map_err(|e| say!("Price: {e}", e = words::told(e)))
        .at(words::text(PRICE))?;
    if amount.unit.is_some() || amount.value < Decimal::ZERO {
        return Err(FieldError::new(words::text(PRICE), say!("A price is a number of 0 or more")));
    }
    let pack = parse(pack, scene.syntax())
        .map_err(|e| say!("Pack: {e}", e = words::told(e)))
        .at(words::text(PACK))?;
    let pack = scene
        .grams_of(pack)
        .filter(|g| g.0 > Decimal::ZERO)
        .ok_or(say!("A pack is a mass above 0, such as 500 g"))
        .at(words::text(PACK))?;
    Ok((out, Some(Price { amount: Money(amount.value), pack })))
}

/// Grams of an entry; a bare number is grams.
pub fn mass(typed: Typed) -> Option<Grams> {
    match typed.unit {
        None => Some(Grams(typed.value)),
        Some(Unit::Mass(unit)) => Some(Grams(typed.value.saturating_mul(unit.grams_per_unit()))),
        Some(_) => None,
    }
}

//! The right panel: what a maker enters for the pack.

use egui::{Frame, Margin, ScrollArea, Ui};
use quern_calc::formula::{Form, LabelNotes, Net};
use quern_calc::label::{usual_directions, usual_function};
use quern_calc::number::{NumberStyle, Typed, format_plain, parse};
use quern_calc::quantity::decimal_to_f64;
use rust_decimal::Decimal;

use super::muted;
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::notices::Tone;
use crate::app::safety::SafetyAction;
use crate::views::grit::heading;
use crate::widgets::{RowNumber, RowText};
use crate::words;

/// Draws the panel.
pub fn panel(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ScrollArea::vertical().auto_shrink(false).id_salt("label-panel-scroll").show(ui, |ui| {
        Frame::new().inner_margin(Margin::symmetric(16, 14)).show(ui, |ui| {
            words(ui, scene, actions);
            ui.add_space(14.0);
            content(ui, scene, actions);
            ui.add_space(14.0);
            dates(ui, scene, actions);
            ui.add_space(14.0);
            who(ui, scene, actions);
            ui.add_space(14.0);
            own_cautions(ui, scene, actions);
            ui.add_space(14.0);
            nano(ui, scene, actions);
            ui.add_space(20.0);
        });
    });
}

fn keep(scene: &Scene<'_>, label: &'static str, change: impl FnOnce(&mut LabelNotes)) -> Action {
    let mut notes = scene.formula().label.clone();
    change(&mut notes);
    Action::Safety(SafetyAction::Label(label, Box::new(notes)))
}

fn refuse(text: String) -> Action {
    Action::Say(Tone::Error, text)
}

/// A labelled text; taken when the field is left.
fn entry(ui: &mut Ui, name: &str, value: &str, hint: &str, rows: usize) -> Option<String> {
    let label = Some(ui.label(name).id);
    let field = RowText { name, value, width: f32::INFINITY, hint, rows, label };
    field.show(ui).map(|text| text.trim().to_owned())
}

/// Name, function and directions.
fn words(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("What it says"));
    let formula = scene.formula();
    let notes = &formula.label;
    if let Some(text) = entry(ui, say!("Name on the pack"), &notes.name, &formula.name, 1) {
        actions.push(keep(scene, say!("change name on the pack"), |n| n.name = text));
    }
    let usual = usual_function(formula);
    if let Some(text) = entry(ui, say!("What it is for"), &notes.function, &usual, 1) {
        actions.push(keep(scene, say!("change function line"), |n| n.function = text));
    }
    let usual = usual_directions(formula);
    if let Some(text) = entry(ui, say!("Directions"), &notes.directions, &usual, 3) {
        actions.push(keep(scene, say!("change directions"), |n| n.directions = text));
    }
}

/// Net content, size of the label, letter height.
fn content(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("Content and size"));
    let notes = &scene.formula().label;
    let style = scene.style();
    let shown = notes.net.map_or(String::new(), |n| net_words(n, style));
    let hint = say!("such as 75 g or 250 ml");
    if let Some(text) = entry(ui, say!("Net content"), &shown, hint, 1) {
        match read_net(&text, scene) {
            Ok(net) => actions.push(keep(scene, say!("change net content"), |n| n.net = net)),
            Err(problem) => actions.push(refuse(problem)),
        }
    }
    let mm = |value: Option<Decimal>| value.map(decimal_to_f64);
    let number = |ui: &mut Ui, name: &str, value: Option<f64>, hint: &str| {
        let field = RowNumber { name, value, places: 1, width: 60.0, hint };
        field.show(ui, style, scene.syntax())
    };
    ui.horizontal(|ui| {
        ui.label(say!("Label"));
        let width =
            number(ui, say!("Width of the label in mm"), mm(notes.size_mm.map(|s| s.0)), "80");
        ui.label("×");
        let height =
            number(ui, say!("Height of the label in mm"), mm(notes.size_mm.map(|s| s.1)), "50");
        ui.label("mm");
        let now = notes.size_mm.unwrap_or((Decimal::from(80), Decimal::from(50)));
        let side = |typed: Option<Typed>, usual: u32| match typed {
            None => Some(Decimal::from(usual)),
            Some(t) => millimetres(&t, 2000),
        };
        let next = match (width, height) {
            (Some(w), _) => Some(side(w, 80).map(|w| (w, now.1))),
            (_, Some(h)) => Some(side(h, 50).map(|h| (now.0, h))),
            _ => None,
        };
        match next {
            Some(Some(size)) => {
                actions.push(keep(scene, say!("change label size"), |n| n.size_mm = Some(size)));
            }
            Some(None) => {
                actions.push(refuse(say!("A label is above 0 and up to 2000 mm").to_owned()))
            }
            None => {}
        }
    });
    ui.horizontal(|ui| {
        ui.label(say!("Capitals"));
        let typed = number(ui, say!("Letter height in mm"), mm(notes.letter_mm), "2.2");
        ui.label(say!("mm high"));
        match typed {
            Some(None) => {
                actions.push(keep(scene, say!("change letter height"), |n| n.letter_mm = None));
            }
            Some(Some(t)) => match millimetres(&t, 100) {
                Some(mm) => {
                    actions.push(keep(scene, say!("change letter height"), |n| {
                        n.letter_mm = Some(mm)
                    }));
                }
                None => actions
                    .push(refuse(say!("Letters are above 0 and up to 100 mm high").to_owned())),
            },
            None => {}
        }
    });
}

fn millimetres(typed: &Typed, most: u32) -> Option<Decimal> {
    let range = typed.value > Decimal::ZERO && typed.value <= Decimal::from(most);
    let unit = typed.unit.is_none_or(|u| u == quern_calc::number::Unit::Millimetre);
    (range && unit).then_some(typed.value)
}

fn net_words(net: Net, style: NumberStyle) -> String {
    match net {
        Net::Grams(g) => format!("{} g", format_plain(g, style)),
        Net::Millilitres(ml) => format!("{} ml", format_plain(ml, style)),
    }
}

fn read_net(text: &str, scene: &Scene<'_>) -> Result<Option<Net>, String> {
    use quern_calc::number::Unit;
    if text.is_empty() {
        return Ok(None);
    }
    let typed =
        parse(text, scene.syntax()).map_err(|e| say!("Net content: {e}", e = words::told(e)))?;
    let most = Decimal::from(1_000_000);
    let value = |x: Decimal| {
        (x > Decimal::ZERO && x <= most)
            .then_some(x)
            .ok_or_else(|| say!("Net content is above 0 g or ml, up to 1 000 kg or L").to_owned())
    };
    match typed.unit {
        Some(Unit::Mass(unit)) => {
            let grams = typed.value.saturating_mul(unit.grams_per_unit());
            Ok(Some(Net::Grams(value(grams)?)))
        }
        Some(Unit::Millilitre) => Ok(Some(Net::Millilitres(value(typed.value)?))),
        // What is solid or thick is sold by mass.
        None if scene.formula().product.form != Form::Emulsion => {
            Ok(Some(Net::Grams(value(typed.value)?)))
        }
        None => Err(say!(
            "Net content needs its unit: g for what is solid or thick, ml for what is liquid"
        )
        .to_owned()),
        _ => Err(say!("Net content is in g, kg, oz, lb or ml").to_owned()),
    }
}

/// Durability, opening, day made and batch code.
fn dates(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("Dates and lot"));
    let notes = &scene.formula().label;
    let style = scene.style();
    let mut months = |ui: &mut Ui,
                      label: &str,
                      name: &str,
                      value: Option<u32>|
     -> Option<Option<u32>> {
        ui.horizontal(|ui| {
            ui.label(label);
            let field =
                RowNumber {
                    name, value: value.map(f64::from), places: 0, width: 56.0, hint: "–"
                };
            let typed = field.show(ui, style, scene.syntax());
            ui.label(say!("months"));
            match typed? {
                None => Some(None),
                Some(t) => {
                    let whole = t.unit.is_none() && t.value.is_integer();
                    let count =
                        u32::try_from(t.value).ok().filter(|n| whole && (1..=1200).contains(n));
                    if count.is_none() {
                        let text = say!("Months are a whole number from 1 to 1200").to_owned();
                        actions.push(refuse(text));
                        return None;
                    }
                    Some(count)
                }
            }
        })
        .inner
    };
    let keeps =
        months(ui, say!("Keeps unopened"), say!("Keeps unopened in months"), notes.keeps_months);
    let opened =
        months(ui, say!("Keeps opened"), say!("Keeps opened in months"), notes.opened_months);
    if let Some(value) = keeps {
        actions.push(keep(scene, say!("change durability"), |n| n.keeps_months = value));
    }
    if let Some(value) = opened {
        actions.push(keep(scene, say!("change time after opening"), |n| n.opened_months = value));
    }
    muted(ui, say!("Neither figure is free: both rest on tests in the product file"));
    let shown = notes.made.map_or(String::new(), |d| scene.day(d));
    let hint = scene.day(scene.date);
    if let Some(text) = entry(ui, say!("Made on"), &shown, &hint, 1) {
        match (text.trim(), scene.settings.date_order.read(&text)) {
            ("", _) => actions.push(keep(scene, say!("change day made"), |n| n.made = None)),
            (_, Ok(d)) => actions.push(keep(scene, say!("change day made"), |n| n.made = Some(d))),
            (_, Err(error)) => actions.push(refuse(error.to_string())),
        }
    }
    let hint = "{name:2}-{yy}{mm}-{n:2}";
    if let Some(text) = entry(ui, say!("Pattern of the lot code"), &notes.code_pattern, hint, 1) {
        actions.push(keep(scene, say!("change lot code"), |n| n.code_pattern = text));
    }
    muted(
        ui,
        say!(
            "{name:3} letters of the name, {yyyy} {yy} {mm} {dd} {ddd} the day made, {n:2} a running number; blank takes the code of the batch"
        ),
    );
}

/// Who answers for it.
fn who(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("Who answers for it"));
    let notes = &scene.formula().label;
    let hint = say!("name and address");
    if let Some(text) = entry(ui, say!("Name and address"), &notes.responsible, hint, 2) {
        actions.push(keep(scene, say!("change responsible person"), |n| n.responsible = text));
    }
    if let Some(text) =
        entry(ui, say!("Country of origin"), &notes.origin, say!("where it is imported"), 1)
    {
        actions.push(keep(scene, say!("change origin"), |n| n.origin = text));
    }
}

/// Own cautions, a line each.
fn own_cautions(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("Own cautions"));
    let now = scene.formula().label.cautions.join("\n");
    if let Some(text) = entry(
        ui,
        say!("Own cautions, one a line"),
        &now,
        say!("beside those that follow from rules"),
        2,
    ) {
        let lines: Vec<String> =
            text.lines().map(str::trim).filter(|l| !l.is_empty()).map(str::to_owned).collect();
        actions.push(keep(scene, say!("change own cautions"), |n| n.cautions = lines));
    }
}

/// Which components are nanomaterials.
fn nano(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("Nanomaterials"));
    let now = scene.formula().label.nano.join("\n");
    if let Some(text) = entry(
        ui,
        say!("INCI names of nanomaterials, one a line"),
        &now,
        say!("such as Titanium Dioxide"),
        1,
    ) {
        let lines: Vec<String> =
            text.lines().map(str::trim).filter(|l| !l.is_empty()).map(str::to_owned).collect();
        let unknown: Vec<&String> = lines
            .iter()
            .filter(|l| {
                let all = &scene.here.evaluation.composition.components;
                !all.iter().any(|c| c.inci.eq_ignore_ascii_case(l))
            })
            .collect();
        if let Some(name) = unknown.first() {
            actions.push(refuse(say!("{name} is not in the formula under this INCI name", name)));
            return;
        }
        actions.push(keep(scene, say!("change nanomaterials"), |n| n.nano = lines));
    }
    muted(
        ui,
        say!(
            "Whether a powder is one is for its supplier to say; where the market asks, “(nano)” follows the name"
        ),
    );
}

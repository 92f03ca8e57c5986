//! The cells where amounts are shown and typed.

use egui::{Key, Modifiers, Rect, Response, RichText, TextEdit, Ui, vec2};
use quern_calc::evaluate::LineFigures;
use quern_calc::formula::{Amount, AmountUnit, LineId};
use quern_calc::number::{Syntax, Unit, format_fixed, format_mass_full, format_plain};
use quern_calc::quantity::Grams;
use rust_decimal::Decimal;

use super::cells::{right_text, text};
use super::grid::{self, Opened, cell_id};
use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::notices::Tone;
use crate::app::table::{CellAt, Column, TableAction, amount_of};
use crate::look::{Tokens, fonts, size};
use crate::widgets::number_field::{FieldOutput, Leave};
use crate::widgets::table::on_the_mark;
use crate::widgets::{Entered, NumberField};
use crate::words;

/// A weight to the finest readability in use, so that subtotals line up.
pub(super) fn grams_text(scene: &Scene<'_>, grams: Grams) -> String {
    scene.mass_number(grams, scene.finest())
}

/// A cell of figures: what it is called, shows, and holds in full.
struct Figure<'a> {
    column: Column,
    name: String,
    shown: &'a str,
    full: &'a str,
    relative: bool,
    /// What a bare number means.
    bare: Unit,
}

/// A cell of figures that can be typed in.
fn figure(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    line: &LineFigures,
    order: &[LineId],
    figure: &Figure<'_>,
    actions: &mut Vec<Action>,
) -> Option<Response> {
    let at = CellAt { line: line.line, column: figure.column };
    let id = cell_id(&scene.formula().id, at);
    if grid::opened(ui, id).is_none() {
        // One widget a frame has this id: the closed cell or the field.
        if !grid::is_typed_into(ui, id) {
            let response = grid::closed(ui, id, rect, &figure.name, figure.shown.trim());
            let ink = Tokens::of(ui).ink;
            let shown = if figure.shown.is_empty() { "–" } else { figure.shown };
            right_text(ui, rect, shown, fonts::text(), ink);
            if response.double_clicked() {
                grid::open_cell(ui.ctx(), &scene.formula().id, at);
                ui.ctx().request_repaint();
            }
            return Some(response);
        }
        grid::open_by_typing(ui, id);
    }
    let field = NumberField {
        id,
        name: figure.name.clone(),
        shown: figure.shown,
        full: figure.full,
        syntax: Syntax { allow_relative: figure.relative, ..scene.syntax() },
        quiet: true,
        right: true,
        strong: false,
        enabled: true,
        hint: "–",
        amend: grid::opened(ui, id) == Some(Opened::Amending),
    };
    let out = field.show(ui, rect.shrink2(vec2(0.0, 1.0)));
    enter(scene, (line.line, &line.name), &out, figure.bare, actions);
    if !out.open {
        grid::close(ui, id);
    }
    if out.escaped {
        ui.memory_mut(|m| m.request_focus(id));
    }
    follow(ui, scene, &out, at, order, actions);
    None
}

/// Moves up or down the column after Enter.
fn follow(
    ui: &Ui,
    scene: &Scene<'_>,
    out: &FieldOutput,
    at: CellAt,
    order: &[LineId],
    actions: &mut Vec<Action>,
) {
    let Some(row) = order.iter().position(|l| *l == at.line) else { return };
    let next = match out.leave {
        Leave::Stay => return,
        Leave::Down => order.get(row + 1),
        Leave::Up => row.checked_sub(1).and_then(|i| order.get(i)),
    };
    // At the end of the column the cell itself stays selected.
    let cell = CellAt { line: *next.unwrap_or(&at.line), ..at };
    ui.memory_mut(|m| m.request_focus(cell_id(&scene.formula().id, cell)));
    actions.push(Action::Table(TableAction::Select { anchor: cell, cursor: cell }));
}

/// The percentage of a line.
pub(super) fn percent(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    (line, called): (&LineFigures, &str),
    order: &[LineId],
    actions: &mut Vec<Action>,
) -> Option<Response> {
    let style = scene.style();
    let places = scene.percent_places();
    let shown = line.percent.map_or(String::new(), |p| format_fixed(p.0, places, style));
    if line.fills {
        let about = say!("This line takes what is left to 100. Ctrl+Shift+L ends that");
        let name = say!("{line}, percent, fills to 100", line = called);
        return Some(
            fixed(ui, scene, rect, (line.line, Column::Percent), &name, &shown)
                .on_hover_text(about),
        );
    }
    let amount = scene.formula().line(line.line).and_then(|l| l.amount);
    let full = match amount {
        // Parts are edited as parts; grams were of another batch, so their % is edited.
        Some(Amount { typed, unit: AmountUnit::Parts, .. }) => {
            // Read back as it is typed, in every language.
            format!("{} parts", format_plain(typed, style))
        }
        Some(a) => format_plain(a.percent.0, style),
        None => String::new(),
    };
    let cell = Figure {
        column: Column::Percent,
        name: say!("{line}, percent", line = called),
        shown: &shown,
        full: &full,
        relative: true,
        bare: Unit::Percent,
    };
    figure(ui, scene, rect, line, order, &cell, actions)
}

/// A cell of figures that follows from others for this line.
fn fixed(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    (line, column): (LineId, Column),
    name: &str,
    shown: &str,
) -> Response {
    right_text(ui, rect, shown, fonts::text(), Tokens::of(ui).ink);
    let id = cell_id(&scene.formula().id, CellAt { line, column });
    grid::closed(ui, id, rect, name, shown.trim())
}

/// The grams of a line.
pub(super) fn grams(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    (line, called): (&LineFigures, &str),
    order: &[LineId],
    actions: &mut Vec<Action>,
) -> Option<Response> {
    let style = scene.style();
    let e = &scene.here.evaluation;
    let row = e.weigh.line(line.line);
    let readability =
        row.and_then(|r| r.scale).and_then(|i| scene.plan.scales.get(i)).map(|s| s.readability);
    let show = |g: Grams| match readability {
        Some(r) => {
            let most = scene.mass_number(g, scene.finest());
            on_the_mark(&scene.mass_number(g, r.0), &most)
        }
        None => scene.mass_number(g, Decimal::new(1, 2)),
    };
    let shown = if e.batch.is_ok() {
        row.and_then(|r| r.target.or(r.exact)).map_or(String::new(), show)
    } else {
        String::new()
    };
    let name = format!("{called}, {}", words::text(scene.mass_unit().name()));
    if line.fills || e.batch.is_err() {
        return Some(fixed(ui, scene, rect, (line.line, Column::Grams), &name, &shown));
    }
    let amount = scene.formula().line(line.line).and_then(|l| l.amount);
    let full = match amount {
        Some(Amount { typed, unit: AmountUnit::Mass { unit, of }, .. })
            if e.batch.as_ref().is_ok_and(|b| b.gross == of) =>
        {
            format!("{} {}", format_plain(typed, style), unit.symbol())
        }
        _ => row
            .and_then(|r| r.exact)
            .map_or(String::new(), |g| format_mass_full(quern_calc::quantity::derived(g.0), style)),
    };
    let cell = Figure {
        column: Column::Grams,
        name,
        shown: &shown,
        full: &full,
        relative: false,
        bare: Unit::Mass(scene.mass_unit()),
    };
    figure(ui, scene, rect, line, order, &cell, actions)
}

/// The note of a line.
pub(super) fn note(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    (line, called): (&LineFigures, &str),
    actions: &mut Vec<Action>,
) -> Option<Response> {
    let kept = scene.formula().line(line.line).map_or("", |l| l.note.as_str());
    let at = CellAt { line: line.line, column: Column::Note };
    let id = cell_id(&scene.formula().id, at);
    let name = say!("{line}, note", line = called);
    let opened = grid::opened(ui, id);
    if opened.is_none() {
        if !grid::is_typed_into(ui, id) {
            let response = grid::closed(ui, id, rect, &name, kept);
            let muted = Tokens::of(ui).muted;
            text(ui, rect, RichText::new(kept.to_owned()).font(fonts::small()).color(muted));
            if response.double_clicked() {
                grid::open_cell(ui.ctx(), &scene.formula().id, at);
                ui.ctx().request_repaint();
            }
            return Some(response);
        }
        grid::open_by_typing(ui, id);
    }
    let key = id.with("note");
    let fresh = || if opened == Some(Opened::Amending) { kept.to_owned() } else { String::new() };
    let mut buffer: String = ui.data(|d| d.get_temp(key)).unwrap_or_else(fresh);
    let escape = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
    let edit = TextEdit::singleline(&mut buffer)
        .id(id)
        .font(egui::FontSelection::FontId(fonts::small()))
        .desired_width(rect.width() - 14.0)
        .min_size(vec2(0.0, size::CONTROL - 4.0));
    let response = ui.put(rect.shrink2(vec2(0.0, 1.0)), edit).accessible_name(&name);
    let escape = escape || (response.lost_focus() && ui.input(|i| i.key_pressed(Key::Escape)));
    if escape || response.lost_focus() {
        ui.data_mut(|d| d.remove_temp::<String>(key));
        grid::close(ui, id);
        if !escape && buffer != kept {
            actions.push(Action::Table(TableAction::Note(line.line, buffer)));
        }
        if escape || ui.input(|i| i.key_pressed(Key::Enter)) {
            ui.memory_mut(|m| m.request_focus(id));
        }
    } else {
        ui.data_mut(|d| d.insert_temp(key, buffer));
    }
    None
}

/// Turns an entry into an amount; a bare number is in the unit of its column.
pub fn enter(
    scene: &Scene<'_>,
    (line, name): (LineId, &str),
    out: &FieldOutput,
    bare: Unit,
    actions: &mut Vec<Action>,
) {
    let edit = |amount| Action::Edit(Edit::Amount(line, amount));
    match &out.entered {
        None => {}
        Some(Entered::Cleared) => actions.push(edit(None)),
        Some(Entered::Typed(typed)) => {
            let gross = scene.here.evaluation.batch.as_ref().map_or(Grams::ZERO, |b| b.gross);
            match amount_of(scene.formula(), line, *typed, bare, gross) {
                Ok(amount) => actions.push(edit(Some(amount))),
                Err(error) => {
                    actions
                        .push(Action::Say(Tone::Error, format!("{name}: {}", words::told(error))));
                }
            }
        }
    }
}

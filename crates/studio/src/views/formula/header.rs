//! Column names, their edges to drag, and the choice of columns.

use egui::{CursorIcon, Id, Rect, RichText, Sense, Stroke, Ui, pos2, vec2};
use quern_calc::number::{MassUnit, format_fixed};
use rust_decimal::Decimal;

use super::cells::{cell, right_text, text};
use super::columns::Columns;
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::table::{Column, ColumnChoice, TableAction, WIDTHS, choices_of};
use crate::look::{Tokens, fonts, size};

/// How far a press of a key or button widens a column, in points.
const STEP: f32 = 12.0;

/// The names, over the part that scrolls.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, c: &Columns, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let (rect, _) = ui.allocate_exact_size(vec2(c.width, 28.0), Sense::hover());
    // First, so that its menu stays open while columns come and go.
    choose(ui, scene, rect, c, actions);
    for (column, x, w) in c.all() {
        let area = cell(rect, (x, w));
        let strong = fonts::strong(size::SMALL);
        let muted =
            |s: &str| RichText::new(s.to_owned()).font(fonts::strong(size::SMALL)).color(t.muted);
        match column {
            Column::Percent => right_text(ui, area, "%", strong, t.muted),
            Column::OfPhase => right_text(ui, area, say!("% of phase"), strong, t.muted),
            Column::Grams => right_text(ui, area, &grams_head(scene), strong, t.muted),
            Column::Cost => {
                let currency = &scene.project.currency;
                let name = if currency.is_empty() {
                    say!("Cost").to_owned()
                } else {
                    say!("Cost, {currency}", currency)
                };
                right_text(ui, area, &name, strong, t.muted);
            }
            Column::Flags => {}
            _ => text(ui, area, muted(column.name())),
        }
        if column != Column::Flags {
            edge(ui, scene, rect, (column, x, w), actions);
        }
    }
    ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, t.hairline));
}

fn grams_head(scene: &Scene<'_>) -> String {
    let unit = scene.mass_unit();
    let symbol = unit.symbol();
    let Ok(batch) = &scene.here.evaluation.batch else { return symbol.to_owned() };
    let gross = batch.gross;
    if unit == MassUnit::Gram && gross.0 >= Decimal::ONE_THOUSAND {
        let kg = gross.0.checked_div(Decimal::ONE_THOUSAND).unwrap_or_default();
        return format!("{symbol}, {} kg", format_fixed(kg, 2, scene.style()));
    }
    format!("{symbol}, {}", scene.mass_text(gross, Decimal::ONE))
}

/// The right edge of a column, to be dragged; a double click gives the usual width back.
fn edge(
    ui: &Ui,
    scene: &Scene<'_>,
    rect: Rect,
    (column, x, w): (Column, f32, f32),
    actions: &mut Vec<Action>,
) {
    let t = Tokens::of(ui);
    let at = rect.left() + x + w;
    let grip = Rect::from_min_max(pos2(at - 5.0, rect.top()), pos2(at + 5.0, rect.bottom()));
    let id = Id::unique(("column-edge", column.key()));
    let response = ui.interact(grip, id, Sense::CLICK | Sense::DRAG);
    if response.hovered() || response.dragged() {
        ui.ctx().set_cursor_icon(CursorIcon::ResizeHorizontal);
        ui.painter().vline(at, rect.y_range(), Stroke::new(2.0, t.accent));
    }
    let mut resize = |width: Option<f32>, done: bool| {
        let mut columns = choices_of(&scene.ui.table.columns);
        if let Some(choice) = columns.iter_mut().find(|c| c.column == column) {
            choice.width = width.map(|w| w.clamp(WIDTHS.0, WIDTHS.1));
        }
        actions.push(Action::Table(TableAction::Columns { columns, done }));
    };
    if response.double_clicked() {
        resize(None, true);
    } else if (response.dragged() || response.drag_stopped())
        && let Some(pointer) = ui.ctx().pointer_latest_pos()
    {
        resize(Some(pointer.x - rect.left() - x), response.drag_stopped());
    }
}

/// The button at the right that chooses columns.
fn choose(ui: &mut Ui, scene: &Scene<'_>, rect: Rect, c: &Columns, actions: &mut Vec<Action>) {
    let (x, w) = c.of(Column::Flags).unwrap_or((c.width - 40.0, 40.0));
    let area = cell(rect, (x, w));
    let builder = egui::UiBuilder::new()
        .id_salt("columns-of-the-table")
        .max_rect(area)
        .layout(egui::Layout::right_to_left(egui::Align::Center));
    let mut child = ui.new_child(builder);
    child.spacing_mut().button_padding.x = 4.0;
    let t = Tokens::of(&child);
    let words = if w < 70.0 { "..." } else { say!("Columns") };
    let label = RichText::new(words).font(fonts::small()).color(t.muted);
    let response = egui::containers::menu::MenuButton::from_button(
        egui::Button::new(label).frame_when_inactive(false),
    )
    .config(
        egui::containers::menu::MenuConfig::new()
            .close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside),
    )
    .ui(&mut child, |ui| list(ui, scene, actions))
    .0;
    response
        .accessible_name(say!("Columns of the table"))
        .on_hover_text(say!("Choose which columns are shown and how wide they are"));
}

fn list(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ui.set_min_width(250.0);
    let columns = choices_of(&scene.ui.table.columns);
    let mut change = |columns: Vec<ColumnChoice>| {
        actions.push(Action::Table(TableAction::Columns { columns, done: true }));
    };
    for (i, choice) in columns.iter().enumerate() {
        let name = choice.column.name();
        let with = |edit: &dyn Fn(&mut ColumnChoice)| {
            let mut all = columns.clone();
            if let Some(c) = all.get_mut(i) {
                edit(c);
            }
            all
        };
        ui.horizontal(|ui| {
            let mut shown = choice.shown;
            let fixed = choice.column.is_fixed();
            let response = ui
                .add_enabled(!fixed, egui::Checkbox::new(&mut shown, name))
                .on_disabled_hover_text(say!("This column is always shown"));
            if response.changed() {
                change(with(&|c| c.shown = shown));
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let width = choice.width.unwrap_or(110.0);
                let mut button = |ui: &mut Ui, sign: &str, word: &str, by: f32| {
                    let button = egui::Button::new(sign).min_size(vec2(size::CONTROL, 24.0));
                    let response = ui
                        .add_enabled(choice.shown, button)
                        .accessible_name(format!("{name}, {word}"))
                        .on_hover_text(say!("Make the column {word}", word));
                    if response.clicked() {
                        let to = (width + by).clamp(WIDTHS.0, WIDTHS.1);
                        change(with(&|c| c.width = Some(to)));
                    }
                };
                button(ui, "+", say!("wider"), STEP);
                button(ui, "–", say!("narrower"), -STEP);
            });
        });
    }
    ui.separator();
    if ui.button(say!("Usual columns")).clicked() {
        change(choices_of(&[]));
        ui.close();
    }
}

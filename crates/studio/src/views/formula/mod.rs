//! The phase table.

mod cells;
mod columns;
pub(super) mod entry;

use egui::{Id, Key, Modifiers, Rect, ScrollArea, Sense, Stroke, Ui, pos2, vec2};
use quern_calc::evaluate::{LineFigures, PhaseFigures};
use quern_calc::formula::{FormulaId, LineId, Phase, PhaseId};

use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::commands::Command;
use crate::look::{Tokens, size};
use columns::Columns;

/// Rows beyond this are drawn only near the visible part.
const DRAW_ALL: usize = 80;

/// Cell of a line's percentage.
#[must_use]
pub fn percent_cell(formula: &FormulaId, line: LineId) -> Id {
    Id::unique(("percent-cell", formula.as_str(), line.0))
}

/// Cell of a line's grams.
#[must_use]
pub fn grams_cell(formula: &FormulaId, line: LineId) -> Id {
    Id::unique(("grams-cell", formula.as_str(), line.0))
}

/// One row of the table.
#[derive(Clone, Copy)]
enum RowOf<'a> {
    Phase(usize, &'a Phase, &'a PhaseFigures),
    Line(usize, &'a LineFigures),
    Total,
}

impl RowOf<'_> {
    fn height(self) -> f32 {
        match self {
            Self::Phase(..) => size::PHASE_ROW,
            Self::Line(..) => size::ROW,
            Self::Total => size::ROW + 8.0,
        }
    }
}

/// Draws the table.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    keys(ui, scene, actions);
    let columns = Columns::new(ui.available_width());
    cells::header(ui, scene, &columns);

    let formula = scene.formula();
    let figures = &scene.here.evaluation;
    let mut rows: Vec<RowOf<'_>> = Vec::new();
    for (i, (phase, sums)) in formula.phases.iter().zip(&figures.phases).enumerate() {
        rows.push(RowOf::Phase(i, phase, sums));
        let lines = figures.lines.iter().filter(|l| l.phase == phase.id);
        rows.extend(lines.map(|l| RowOf::Line(i, l)));
    }
    rows.push(RowOf::Total);
    let order: Vec<LineId> = figures.lines.iter().map(|l| l.line).collect();

    ScrollArea::vertical().auto_shrink(false).id_salt("phase-table").show_viewport(
        ui,
        |ui, view| {
            let height: f32 = rows.iter().map(|r| r.height()).sum();
            let (area, _) =
                ui.allocate_exact_size(vec2(ui.available_width(), height + 40.0), Sense::hover());
            let margin = if rows.len() <= DRAW_ALL { f32::INFINITY } else { 200.0 };
            let mut y = 0.0;
            let mut drop_at: Option<(PhaseId, usize, f32)> = None;
            for row in &rows {
                let h = row.height();
                let rect =
                    Rect::from_min_size(pos2(area.left(), area.top() + y), vec2(columns.width, h));
                y += h;
                if let RowOf::Line(_, line) = row
                    && scene.ui.scroll_to == Some(line.line)
                {
                    ui.scroll_to_rect(rect.expand2(vec2(0.0, 40.0)), None);
                }
                if rect.bottom() < area.top() + view.top() - margin
                    || rect.top() > area.top() + view.bottom() + margin
                {
                    continue;
                }
                match row {
                    RowOf::Phase(i, phase, sums) => {
                        cells::phase(ui, scene, rect, &columns, *i, phase, sums, actions);
                    }
                    RowOf::Line(i, line) => {
                        cells::line(ui, scene, rect, &columns, *i, line, &order, actions);
                    }
                    RowOf::Total => cells::total(ui, scene, rect, &columns, actions),
                }
                note_drop(ui, scene, *row, rect, &mut drop_at);
            }
            finish_drop(ui, area, &columns, drop_at, actions);
        },
    );
}

/// A line being dragged.
#[derive(Clone, Copy, Debug)]
struct Dragged(LineId);

/// Where a dragged line would land if it were let go over this row.
fn note_drop(
    ui: &Ui,
    scene: &Scene<'_>,
    row: RowOf<'_>,
    rect: Rect,
    at: &mut Option<(PhaseId, usize, f32)>,
) {
    if !egui::DragAndDrop::has_payload_of_type::<Dragged>(ui.ctx()) {
        return;
    }
    let Some(pointer) = ui.ctx().pointer_interact_pos().filter(|p| rect.contains(*p)) else {
        return;
    };
    let formula = scene.formula();
    *at = match row {
        RowOf::Phase(_, phase, _) => Some((phase.id, 0, rect.bottom())),
        RowOf::Line(_, line) => {
            let lower = pointer.y > rect.center().y;
            formula.phase(line.phase).and_then(|p| {
                let i = p.lines.iter().position(|l| l.id == line.line)?;
                let y = if lower { rect.bottom() } else { rect.top() };
                Some((p.id, i + usize::from(lower), y))
            })
        }
        RowOf::Total => formula.phases.last().map(|p| (p.id, p.lines.len(), rect.top())),
    };
}

fn finish_drop(
    ui: &Ui,
    area: Rect,
    columns: &Columns,
    at: Option<(PhaseId, usize, f32)>,
    actions: &mut Vec<Action>,
) {
    let Some((phase, index, y)) = at else { return };
    let t = Tokens::of(ui);
    ui.painter().line_segment(
        [pos2(area.left(), y), pos2(area.left() + columns.width, y)],
        Stroke::new(2.0, t.accent),
    );
    if ui.input(|i| i.pointer.any_released())
        && let Some(dragged) = egui::DragAndDrop::take_payload::<Dragged>(ui.ctx())
    {
        actions.push(Action::Edit(Edit::MoveLine(dragged.0, phase, index)));
    }
}

/// Arrow keys move the selection while no field is in use.
fn keys(ui: &Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    if ui.ctx().text_edit_focused() || !scene.ui.dialogs.is_empty() {
        return;
    }
    let Some(line) = scene.ui.line else { return };
    let order: Vec<LineId> = scene.here.evaluation.lines.iter().map(|l| l.line).collect();
    let Some(at) = order.iter().position(|l| *l == line) else { return };
    let focused = ui.memory(|m| m.focused());
    if focused.is_some() {
        return;
    }
    let starts_entry = ui.input(|i| {
        i.events.iter().any(|e| matches!(e, egui::Event::Text(t) if t.starts_with(|c: char| c.is_ascii_digit() || "+-=.,".contains(c))))
    });
    let enter = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter));
    if starts_entry || enter {
        ui.memory_mut(|m| m.request_focus(percent_cell(&scene.formula().id, line)));
        return;
    }
    let (down, up, delete) = ui.input_mut(|i| {
        (
            i.consume_key(Modifiers::NONE, Key::ArrowDown),
            i.consume_key(Modifiers::NONE, Key::ArrowUp),
            i.consume_key(Modifiers::NONE, Key::Delete),
        )
    });
    let next = if down {
        order.get(at + 1)
    } else if up {
        at.checked_sub(1).and_then(|i| order.get(i))
    } else {
        None
    };
    if let Some(next) = next {
        actions.push(Action::SelectLine(Some(*next)));
    }
    if delete {
        actions.push(Action::Run(Command::RemoveLine));
    }
}

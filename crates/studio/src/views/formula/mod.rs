//! The phase table.

mod cells;
mod columns;
pub(super) mod entry;
mod grid;
mod header;
mod keys;
mod phase;
mod search;

pub use grid::{cell_id, open_cell};
pub use search::finding_id;

use std::borrow::Cow;
use std::collections::BTreeMap;

use egui::{Id, Rect, ScrollArea, Sense, Stroke, Ui, pos2, vec2};
use quern_calc::evaluate::{LineFigures, PhaseFigures};
use quern_calc::formula::{LineId, Phase, PhaseId};

use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::table::{CellAt, Column, Finding, Range, TableAction, choices_of};
use crate::look::{Tokens, size};
use columns::Columns;

/// Rows beyond this are drawn only near the visible part.
const DRAW_ALL: usize = 80;

/// One row of the table.
#[derive(Clone, Copy)]
enum RowOf<'a> {
    Phase(usize, &'a Phase, &'a PhaseFigures),
    Line(usize, &'a LineFigures),
    /// A line that is being searched for.
    New(usize, Finding),
    Total,
}

impl RowOf<'_> {
    fn height(self) -> f32 {
        match self {
            Self::Phase(..) => size::PHASE_ROW,
            Self::Line(..) => size::ROW,
            Self::New(..) => size::ROW + 4.0,
            Self::Total => size::ROW + 8.0,
        }
    }
}

/// What the rows of one frame have in common.
struct Grid<'a> {
    columns: &'a Columns,
    range: Option<&'a Range>,
    order: &'a [LineId],
    /// The cell that keys moved the cursor to in this frame.
    goes: Option<CellAt>,
    /// Lines of a material that stands on an earlier line, too, and the how-manieth they are.
    twins: &'a [(LineId, usize)],
}

impl Grid<'_> {
    /// What the cells of a line are called: a twin says so, so that no two are called alike.
    fn called<'l>(&self, line: &'l LineFigures) -> Cow<'l, str> {
        match self.twins.iter().find(|(l, _)| *l == line.line) {
            Some((_, n)) => Cow::Owned(format!("{} ({n})", line.name)),
            None => Cow::Borrowed(&line.name),
        }
    }
}

/// Lines with the name of an earlier one.
fn twins(lines: &[LineFigures]) -> Vec<(LineId, usize)> {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    let mut twins = Vec::new();
    for line in lines {
        let n = seen.entry(&line.name).or_default();
        *n += 1;
        if *n > 1 {
            twins.push((line.line, *n));
        }
    }
    twins
}

/// Draws the table.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let table = &scene.ui.table;
    let formula = scene.formula();
    let visible = table.visible(formula);
    let goes = keys::show(ui, scene, &visible, &table.shown(), actions);
    let columns = Columns::new(ui.available_width(), &choices_of(&table.columns));
    header::show(ui, scene, &columns, actions);

    let rows = rows(scene);
    let range = table.range(formula).filter(|r| r.cells() > 1);
    let twins = twins(&scene.here.evaluation.lines);
    let grid =
        Grid { columns: &columns, range: range.as_ref(), order: &visible, goes, twins: &twins };
    ScrollArea::vertical().auto_shrink(false).id_salt("phase-table").show_viewport(
        ui,
        |ui, view| {
            let height: f32 = rows.iter().map(|r| r.height()).sum();
            let (area, _) =
                ui.allocate_exact_size(vec2(ui.available_width(), height + 40.0), Sense::hover());
            let margin = if rows.len() <= DRAW_ALL { f32::INFINITY } else { 200.0 };
            let mut y = 0.0;
            let mut drop_at: Option<(PhaseId, usize, f32)> = None;
            let mut under = None;
            for row in &rows {
                let h = row.height();
                let rect =
                    Rect::from_min_size(pos2(area.left(), area.top() + y), vec2(columns.width, h));
                y += h;
                let mut wanted = matches!(row, RowOf::New(..));
                if let RowOf::Line(_, line) = row {
                    let goes = goes.is_some_and(|c| c.line == line.line);
                    if goes || scene.ui.scroll_to == Some(line.line) {
                        ui.scroll_to_rect(rect.expand2(vec2(0.0, 40.0)), None);
                    }
                    // A cell that is not drawn would lose the focus.
                    wanted |= table.cursor.is_some_and(|c| c.line == line.line);
                }
                if !wanted
                    && (rect.bottom() < area.top() + view.top() - margin
                        || rect.top() > area.top() + view.bottom() + margin)
                {
                    continue;
                }
                match row {
                    RowOf::Phase(i, phase, sums) => {
                        phase::show(ui, scene, rect, &columns, (*i, phase, sums), actions);
                    }
                    RowOf::Line(i, line) => {
                        let pressed = cells::line(ui, scene, rect, &grid, *i, line, actions);
                        under = under.or(cell_under(ui, rect, &columns, line.line));
                        if pressed && let Some(cell) = under {
                            press(ui, scene, cell, actions);
                        }
                    }
                    RowOf::New(i, finding) => {
                        new_line(ui, scene, rect, &columns, *i, *finding, actions);
                    }
                    RowOf::Total => cells::total(ui, scene, rect, &grid, actions),
                }
                note_drop(ui, scene, *row, rect, &mut drop_at);
            }
            finish_drop(ui, area, &columns, drop_at, actions);
            range_by_mouse(ui, scene, under, actions);
            let hovered = under.map(|c| c.line).filter(|_| ui.ui_contains_pointer());
            if hovered != table.hovered {
                actions.push(Action::Table(TableAction::Hover(hovered)));
            }
        },
    );
}

fn rows<'a>(scene: &'a Scene<'_>) -> Vec<RowOf<'a>> {
    let formula = scene.formula();
    let figures = &scene.here.evaluation;
    let table = &scene.ui.table;
    let mut rows: Vec<RowOf<'_>> = Vec::new();
    for (i, (phase, sums)) in formula.phases.iter().zip(&figures.phases).enumerate() {
        rows.push(RowOf::Phase(i, phase, sums));
        let new =
            table.finding.filter(|f| matches!(f, Finding::New { phase: p, .. } if *p == phase.id));
        if table.is_folded(&formula.id, phase.id) {
            continue;
        }
        let at = rows.len();
        rows.extend(
            figures.lines.iter().filter(|l| l.phase == phase.id).map(|l| RowOf::Line(i, l)),
        );
        if let Some(finding @ Finding::New { index, .. }) = new {
            rows.insert((at + index).min(rows.len()), RowOf::New(i, finding));
        }
    }
    rows.push(RowOf::Total);
    rows
}

/// The row of a line that is not there yet.
fn new_line(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    columns: &Columns,
    index: usize,
    finding: Finding,
    actions: &mut Vec<Action>,
) {
    let t = Tokens::of(ui);
    ui.painter().rect_filled(rect, 0.0, t.row);
    let mark = Rect::from_min_max(rect.min, pos2(rect.left() + 3.0, rect.bottom()));
    ui.painter().rect_filled(mark, 0.0, t.phase(index));
    let left = columns.of(Column::Material).map_or(0.0, |(x, _)| x);
    let field = Rect::from_min_max(
        pos2(rect.left() + left, rect.top() + 1.0),
        pos2(rect.left() + columns.numbers(), rect.bottom() - 1.0),
    );
    // Into view when it begins; after that the list below it scrolls, not the table.
    if scene.ui.focus.is_some() {
        ui.scroll_to_rect(rect.expand2(vec2(0.0, 80.0)), None);
    }
    search::show(ui, scene, field, finding, actions);
}

fn cell_under(ui: &Ui, rect: Rect, columns: &Columns, line: LineId) -> Option<CellAt> {
    let at = ui.ctx().pointer_latest_pos().filter(|p| rect.contains(*p))?;
    let column = columns.at(at.x - rect.left())?;
    Some(CellAt { line, column })
}

fn ranging_key() -> Id {
    Id::unique("table-ranging")
}

/// The mouse went down on a cell.
fn press(ui: &Ui, scene: &Scene<'_>, cell: CellAt, actions: &mut Vec<Action>) {
    let shift = ui.input(|i| i.modifiers.shift);
    let anchor = scene.ui.table.anchor.or(scene.ui.table.cursor).filter(|_| shift);
    ui.memory_mut(|m| m.request_focus(cell_id(&scene.formula().id, cell)));
    ui.data_mut(|d| d.insert_temp(ranging_key(), true));
    let anchor = anchor.unwrap_or(cell);
    actions.push(Action::Table(TableAction::Select { anchor, cursor: cell }));
}

/// Dragging over cells makes a range.
fn range_by_mouse(ui: &Ui, scene: &Scene<'_>, under: Option<CellAt>, actions: &mut Vec<Action>) {
    let ranging: bool = ui.data(|d| d.get_temp(ranging_key())).unwrap_or(false);
    if !ranging {
        return;
    }
    if !ui.input(|i| i.pointer.primary_down()) {
        ui.data_mut(|d| d.remove_temp::<bool>(ranging_key()));
        return;
    }
    let table = &scene.ui.table;
    let moving = ui.input(|i| i.pointer.is_decidedly_dragging());
    if let (Some(cell), Some(anchor), true) = (under, table.anchor, moving)
        && table.cursor != Some(cell)
        && !egui::DragAndDrop::has_any_payload(ui.ctx())
    {
        ui.memory_mut(|m| m.request_focus(cell_id(&scene.formula().id, cell)));
        actions.push(Action::Table(TableAction::Select { anchor, cursor: cell }));
    }
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
        RowOf::New(..) => None,
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

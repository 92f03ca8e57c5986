//! Rows of lines, and the total.

use egui::{
    Align, Align2, Button, Color32, Id, Label, Layout, Rect, Response, RichText, Role, Sense,
    Stroke, Ui, UiBuilder, WidgetInfo, pos2, vec2,
};
use quern_calc::evaluate::{LineFigures, share_of_phase, sum_of};
use quern_calc::number::format_fixed;

use super::entry;
use super::{Dragged, Grid, grid, search};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::table::{CellAt, Column, Finding, TableAction};
use crate::look::icons::{self, Icon};
use crate::look::{Tokens, fonts, size};
use crate::widgets::pill;
use crate::words;

pub(super) fn cell(row: Rect, column: (f32, f32)) -> Rect {
    Rect::from_min_size(pos2(row.left() + column.0, row.top()), vec2(column.1, row.height()))
}

pub(super) fn right_text(ui: &Ui, rect: Rect, text: &str, font: egui::FontId, color: Color32) {
    ui.painter().text(
        pos2(rect.right() - 7.0, rect.center().y),
        Align2::RIGHT_CENTER,
        text,
        font,
        color,
    );
}

/// Text in a cell that is cut with dots where there is no room; the whole is in its tooltip.
pub(super) fn text(ui: &mut Ui, rect: Rect, text: RichText) {
    let mut child = ui.new_child(
        UiBuilder::new()
            .max_rect(rect.shrink2(vec2(6.0, 0.0)))
            .layout(Layout::left_to_right(Align::Center)),
    );
    child.add(Label::new(text).truncate().selectable(false));
}

/// One line. Gives true when the mouse went down on one of its cells.
pub(super) fn line(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    grid: &Grid<'_>,
    index: usize,
    line: &LineFigures,
    actions: &mut Vec<Action>,
) -> bool {
    let t = Tokens::of(ui);
    let table = &scene.ui.table;
    let selected = scene.ui.line == Some(line.line);
    let row = ui.interact(rect, Id::unique(("line-row", line.line.0)), Sense::CLICK | Sense::DRAG);
    let hovered = ui.rect_contains_pointer(rect);
    if selected && grid.range.is_none() {
        ui.painter().rect_filled(rect, 0.0, t.row);
    } else if hovered {
        ui.painter().rect_filled(rect, 0.0, t.hover);
    }
    if scene.ui.linked.as_ref().is_some_and(|l| l.lines.contains(&line.line)) {
        // The wedge of the chart that is pointed at holds this line.
        let edge = Stroke::new(1.5, t.accent);
        ui.painter().rect_stroke(rect.shrink(1.0), 4.0, edge, egui::StrokeKind::Inside);
    }
    let mark = Rect::from_min_max(rect.min, pos2(rect.left() + 3.0, rect.bottom()));
    ui.painter().rect_filled(mark, 0.0, t.phase(index));
    let called = grid.called(line);
    let named = (line, called.as_ref());
    let mut all = row;
    for (column, x, w) in grid.columns.all() {
        let at = CellAt { line: line.line, column };
        let place = cell(rect, (x, w));
        if grid.range.is_some_and(|r| r.holds(at)) {
            ui.painter().rect_filled(place, 0.0, t.row);
        }
        let response = match column {
            Column::Material => Some(name(ui, scene, place, grid, line, actions)),
            Column::Percent => entry::percent(ui, scene, place, named, grid.order, actions),
            Column::Grams => entry::grams(ui, scene, place, named, grid.order, actions),
            Column::Note => entry::note(ui, scene, place, named, actions),
            _ => {
                follows(ui, scene, place, line, column);
                None
            }
        };
        if !grid::is_stop(column) && table.cursor == Some(at) {
            let id = grid::cell_id(&scene.formula().id, at);
            let name = format!("{called}, {}", column.name());
            let value = crate::app::table::cell_text(
                scene.formula(),
                &scene.here.evaluation,
                line,
                column,
                scene.style(),
            );
            grid::read_only(ui, id, place, &name, &value);
        }
        if let Some(response) = response {
            // Tab or assistive technology came here; keys have said so already.
            if response.gained_focus() && table.cursor != Some(at) && grid.goes.is_none() {
                actions.push(Action::Table(TableAction::Select { anchor: at, cursor: at }));
            }
            all |= response;
        }
    }
    grip(ui, rect, line, selected || hovered);
    // A quick press and release may come in one frame; that is a click and no press.
    let down = all.is_pointer_button_down_on() && ui.input(|i| i.pointer.primary_pressed());
    let pressed = all.contains_pointer() && (down || all.clicked());
    if all.secondary_clicked() && !grid.range.is_some_and(|r| r.lines.contains(&line.line)) {
        let at = CellAt { line: line.line, column: Column::Material };
        actions.push(Action::Table(TableAction::Select { anchor: at, cursor: at }));
    }
    all.context_menu(|ui| line_menu(ui, scene, actions));
    pressed
}

/// Cells that follow from others.
fn follows(ui: &mut Ui, scene: &Scene<'_>, place: Rect, line: &LineFigures, column: Column) {
    let t = Tokens::of(ui);
    let e = &scene.here.evaluation;
    let muted = |s: &str| RichText::new(s.to_owned()).font(fonts::small()).color(t.muted);
    let figure = |ui: &Ui, text: Option<String>| {
        let text = text.unwrap_or_else(|| "–".to_owned());
        right_text(ui, place, &text, fonts::text(), t.muted);
    };
    match column {
        // The search for another material takes this place, too.
        Column::Inci if scene.ui.table.finding == Some(Finding::On(line.line)) => {}
        Column::Inci => text(ui, place, muted(&line.inci)),
        Column::Function => {
            let function = match (line.fills, words::text(line.function)) {
                (true, "") => say!("fills to 100").to_owned(),
                (true, function) => say!("{function}, fills to 100", function),
                (false, function) => function.to_owned(),
            };
            text(ui, place, muted(&function));
        }
        Column::OfPhase => {
            let share = share_of_phase(e, line);
            figure(ui, share.map(|p| format_fixed(p.0, scene.percent_places(), scene.style())));
        }
        Column::Cost => {
            let cost = e.cost.lines.get(&line.line);
            figure(ui, cost.map(|m| format_fixed(m.0, 2, scene.style())));
        }
        Column::Flags => flags(ui, place, line),
        Column::Material | Column::Percent | Column::Grams | Column::Note => {}
    }
}

fn grip(ui: &Ui, rect: Rect, line: &LineFigures, shown: bool) {
    let t = Tokens::of(ui);
    let area = Rect::from_min_size(rect.min + vec2(3.0, 0.0), vec2(15.0, rect.height()));
    let response = ui.interact(area, Id::unique(("line-grip", line.line.0)), Sense::DRAG);
    if shown || response.dragged() {
        let square = Rect::from_center_size(area.center(), vec2(14.0, 14.0));
        icons::draw(ui.painter(), Icon::Grip, square, t.muted);
    }
    response.dnd_set_drag_payload(Dragged(line.line));
    if response.hovered() {
        ui.ctx().set_cursor_icon(egui::CursorIcon::Grab);
    }
}

fn name(
    ui: &mut Ui,
    scene: &Scene<'_>,
    area: Rect,
    grid: &Grid<'_>,
    line: &LineFigures,
    actions: &mut Vec<Action>,
) -> Response {
    let at = CellAt { line: line.line, column: Column::Material };
    let id = grid::cell_id(&scene.formula().id, at);
    let finding = Finding::On(line.line);
    let response =
        grid::closed(ui, id, area, &say!("{line}, material", line = grid.called(line)), &line.name);
    if scene.ui.table.finding == Some(finding) {
        let inci = grid.columns.of(Column::Inci).map_or(0.0, |(_, w)| w);
        let field = Rect::from_min_max(area.min, area.max + vec2(inci, 0.0));
        search::show(ui, scene, field, finding, actions);
        return response;
    }
    let t = Tokens::of(ui);
    let mut label = line.name.clone();
    if grid.columns.folded() && !line.function.is_empty() {
        label = format!("{label}, {}", words::text(line.function));
    }
    let locked = scene.formula().line(line.line).is_some_and(|l| l.locked);
    let mut room = area.shrink2(vec2(6.0, 0.0));
    if locked {
        room.max.x -= 18.0;
        let at = pos2(area.right() - 12.0, area.center().y);
        icons::draw(
            ui.painter(),
            Icon::Lock,
            Rect::from_center_size(at, vec2(13.0, 13.0)),
            t.muted,
        );
    }
    let mut job = egui::text::LayoutJob::simple_singleline(label, fonts::text(), t.ink);
    job.wrap = egui::text::TextWrapping::truncate_at_width(room.width());
    let galley = ui.painter().layout_job(job);
    let cut = galley.elided;
    ui.painter().galley(pos2(room.left(), room.center().y - galley.size().y / 2.0), galley, t.ink);
    if grid::is_typed_into(ui, id) {
        search::begin(ui, finding);
        actions.push(Action::Table(TableAction::Find(Some(finding))));
    }
    if response.double_clicked() {
        actions.push(Action::Table(TableAction::Find(Some(finding))));
    }
    let mut hint = String::new();
    if cut || grid.columns.folded() {
        hint = format!("{}, {}. ", line.name, line.inci);
    }
    response
        .on_hover_text(say!("{hint}Type, press F2 or double-click to change the material", hint))
}

fn line_menu(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ui.set_min_width(240.0);
    for command in [
        Command::EditCell,
        Command::LineDetails,
        Command::AddLine,
        Command::InsertLine,
        Command::DuplicateLine,
        Command::MoveLineUp,
        Command::MoveLineDown,
        Command::CopyCells,
        Command::CutCells,
        Command::PasteCells,
        Command::FillDown,
        Command::LockLine,
        Command::FillLine,
        Command::RemoveLine,
    ] {
        let row = command.row();
        let mut button = Button::new(row.name());
        if let Some(keys) = row.shortcut {
            button = button.shortcut_text(ui.ctx().format_shortcut(&keys));
        }
        let why_not = scene.why_not(command);
        let response = ui.add_enabled(why_not.is_none(), button).on_hover_text(row.about());
        if response.on_disabled_hover_text(why_not.unwrap_or_default()).clicked() {
            actions.push(Action::Run(command));
            ui.close();
        }
    }
}

fn flags(ui: &Ui, rect: Rect, line: &LineFigures) {
    let t = Tokens::of(ui);
    let mut x = rect.left();
    let mut add = |text: &str, color| {
        if x < rect.right() - 20.0 {
            x += pill(ui, pos2(x, rect.center().y), text, color) + 4.0;
        }
    };
    let [stops, warns, notes] = line.findings;
    if stops > 0 {
        add(&say!("stop {stops}", stops), t.stop);
    }
    if warns > 0 {
        add(&format!("! {warns}"), t.warn);
    }
    if line.fills {
        add("q.s.", t.fine);
    }
    if line.dust {
        add(say!("dust"), t.muted);
    }
    if notes > 0 {
        add(&say!("i {notes}", notes), t.note);
    }
}

/// Adding, and the total.
pub(super) fn total(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    grid: &Grid<'_>,
    actions: &mut Vec<Action>,
) {
    let c = grid.columns;
    let t = Tokens::of(ui);
    let e = &scene.here.evaluation;
    ui.painter().hline(rect.x_range(), rect.top() + 1.0, Stroke::new(1.0, t.hairline));
    let area = Rect::from_min_max(
        pos2(rect.left(), rect.top() + 4.0),
        pos2(rect.left() + c.numbers(), rect.bottom()),
    );
    let mut child =
        ui.new_child(UiBuilder::new().max_rect(area).layout(Layout::left_to_right(Align::Center)));
    for (text, command) in
        [(say!("+ Add a material"), Command::AddLine), (say!("+ Add a phase"), Command::AddPhase)]
    {
        let label = RichText::new(text).color(t.muted);
        let response = child.add(Button::new(label).frame_when_inactive(false));
        if response.on_hover_text(command.tooltip(child.ctx())).clicked() {
            // The button stands below the last phase, so that is where it adds.
            if let Some(last) = scene.formula().phases.last() {
                actions.push(Action::SelectPhase(last.id));
            }
            actions.push(Action::Run(command));
        }
    }
    if let Some(range) = grid.range.filter(|r| r.lines.len() > 1) {
        let lines = e.lines.iter().filter(|l| range.lines.contains(&l.line));
        let sum = format_fixed(sum_of(lines).0, scene.percent_places(), scene.style());
        let text = say!("{n} lines selected, {sum} %", n = range.lines.len(), sum);
        child.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.label(RichText::new(text).font(fonts::small()).color(t.muted));
        });
    }
    let shifted = |column| c.of(column).map(|c| cell(rect, c).translate(vec2(0.0, 2.0)));
    let color = if e.total_ok { t.ink } else { t.stop };
    if let Some(place) = shifted(Column::Percent) {
        let total = format_fixed(e.total.0, scene.percent_places(), scene.style());
        let label = ui.interact(place, Id::unique("total"), Sense::hover());
        let state = if e.total_ok { say!("exact") } else { say!("not 100") };
        label.widget_info(|| {
            WidgetInfo::labeled(Role::Label, true, say!("Total {total} %, {state}", total, state))
        });
        right_text(ui, place, &total, fonts::strong(size::TEXT), color);
    }
    if let Some(place) = shifted(Column::Grams) {
        let grams = entry::grams_text(scene, e.weigh.rounded);
        right_text(ui, place, &grams, fonts::strong(size::TEXT), t.ink);
    }
    if let (Some(place), Some(cost)) = (shifted(Column::Cost), e.cost.batch) {
        let cost = format_fixed(cost.0, 2, scene.style());
        right_text(ui, place, &cost, fonts::strong(size::TEXT), t.ink);
    }
    if !e.total_ok
        && let Some(place) = shifted(Column::Flags)
    {
        pill(ui, place.left_center(), say!("not 100"), t.stop);
    }
}

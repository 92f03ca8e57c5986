//! Rows and cells of the phase table.

use egui::{
    Align, Align2, Button, Color32, Id, Label, Layout, Pos2, Rect, RichText, Role, Sense, Shape,
    Stroke, Ui, UiBuilder, WidgetInfo, pos2, vec2,
};
use quern_calc::evaluate::{LineFigures, PhaseFigures};
use quern_calc::formula::{LineId, Phase, phase_letter};
use quern_calc::number::format_fixed;

use super::entry;
use super::{Columns, Dragged};
use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::commands::Command;
use crate::look::icons::{self, Icon};
use crate::look::{Tokens, fonts, size};
use crate::widgets::{icon_button, pill};

fn cell(row: Rect, column: (f32, f32)) -> Rect {
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
fn text(ui: &mut Ui, rect: Rect, text: RichText) {
    let mut child = ui.new_child(
        UiBuilder::new()
            .max_rect(rect.shrink2(vec2(6.0, 0.0)))
            .layout(Layout::left_to_right(Align::Center)),
    );
    child.add(Label::new(text).truncate().selectable(false));
}

/// Column names.
pub fn header(ui: &mut Ui, scene: &Scene<'_>, c: &Columns) {
    let t = Tokens::of(ui);
    let (rect, _) = ui.allocate_exact_size(vec2(c.width, 28.0), Sense::hover());
    let head = |s: &str| RichText::new(s).font(fonts::strong(size::SMALL)).color(t.muted);
    text(ui, cell(rect, c.material), head("Material"));
    if !c.folded() {
        text(ui, cell(rect, c.inci), head("INCI name"));
        text(ui, cell(rect, c.function), head("Function"));
    }
    let font = fonts::strong(size::SMALL);
    right_text(ui, cell(rect, c.percent), "%", font.clone(), t.muted);
    right_text(ui, cell(rect, c.grams), &grams_head(scene), font, t.muted);
    ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, t.hairline));
}

fn grams_head(scene: &Scene<'_>) -> String {
    match &scene.here.evaluation.batch {
        Ok(b) if b.gross.0 >= rust_decimal::Decimal::ONE_THOUSAND => {
            let kg = b.gross.0.checked_div(rust_decimal::Decimal::ONE_THOUSAND).unwrap_or_default();
            format!("g, {} kg", format_fixed(kg, 2, scene.style()))
        }
        Ok(b) => format!("g, {} g", format_fixed(b.gross.0, 0, scene.style())),
        Err(_) => "g".to_owned(),
    }
}

/// The letter of a phase in a box whose edge tells phases apart without colour.
pub fn letter(ui: &Ui, center: Pos2, index: usize) {
    let t = Tokens::of(ui);
    let color = t.phase(index);
    let rect = Rect::from_center_size(center, vec2(18.0, 18.0));
    let painter = ui.painter();
    painter.rect_filled(rect, 4.0, Tokens::tint(color, 40));
    let corners = [
        rect.left_top(),
        rect.right_top(),
        rect.right_bottom(),
        rect.left_bottom(),
        rect.left_top(),
    ];
    let stroke = Stroke::new(1.6, color);
    match index % 3 {
        0 => {
            painter.rect_stroke(rect, 4.0, stroke, egui::StrokeKind::Inside);
        }
        1 => {
            painter.extend(Shape::dashed_line(&corners, stroke, 4.0, 2.0));
        }
        _ => {
            painter.extend(Shape::dotted_line(&corners, color, 3.0, 0.9));
        }
    }
    painter.text(
        center,
        Align2::CENTER_CENTER,
        phase_letter(index),
        fonts::strong(size::SMALL),
        t.ink,
    );
}

/// Heading of a phase.
#[allow(clippy::too_many_arguments)] // a row is made of just these
pub fn phase(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    c: &Columns,
    index: usize,
    phase: &Phase,
    sums: &PhaseFigures,
    actions: &mut Vec<Action>,
) {
    let t = Tokens::of(ui);
    let selected = scene.ui.line.is_none() && scene.ui.phase == Some(phase.id);
    let id = Id::unique(("phase-row", phase.id.0));
    let head = Rect::from_min_max(rect.min, pos2(rect.left() + c.percent.0, rect.bottom()));
    let response = ui.interact(head, id, Sense::click());
    let name = format!("Phase {} {}", phase_letter(index), phase.name);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, selected, &name));
    if selected {
        ui.painter().rect_filled(rect, 0.0, t.row);
    } else if response.hovered() {
        ui.painter().rect_filled(rect, 0.0, t.hover);
    }
    if response.has_focus() {
        let ring = Stroke::new(2.0, t.accent);
        ui.painter().rect_stroke(head.shrink(1.0), 4.0, ring, egui::StrokeKind::Inside);
    }
    letter(ui, pos2(rect.left() + 20.0, rect.center().y), index);
    let mut job = egui::text::LayoutJob::default();
    let mut add = |s: &str, font, color, gap| {
        job.append(s, gap, egui::TextFormat { font_id: font, color, ..Default::default() });
    };
    add(&phase.name, fonts::strong(size::TEXT), t.ink, 0.0);
    let words = phase.temperature.words(scene.style());
    if !words.is_empty() {
        add(&words, fonts::text(), t.muted, 6.0);
    }
    let steps = phase.steps.len();
    if steps > 0 {
        let plural = if steps == 1 { "" } else { "s" };
        add(&format!("{steps} step{plural}"), fonts::small(), t.muted, 10.0);
    }
    job.wrap = egui::text::TextWrapping::truncate_at_width(head.width() - 40.0);
    let galley = ui.painter().layout_job(job);
    let at = pos2(rect.left() + 36.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, t.ink);
    let style = scene.style();
    let percent = format_fixed(sums.percent.0, scene.percent_places(), style);
    right_text(ui, cell(rect, c.percent), &percent, fonts::strong(size::TEXT), t.ink);
    let grams = entry::grams_text(scene, sums.grams);
    right_text(ui, cell(rect, c.grams), &grams, fonts::text(), t.muted);
    ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, t.hairline));

    let response =
        response.on_hover_text("Select the phase; again for its name, temperature and steps");
    if response.clicked() {
        actions.push(Action::SelectPhase(phase.id));
        if selected {
            actions.push(Action::Run(Command::PhaseDetails));
        }
    }
    response.context_menu(|ui| {
        ui.set_min_width(200.0);
        let mut item = |ui: &mut Ui, text: &str, action: Action| {
            if ui.button(text).clicked() {
                actions.push(Action::SelectPhase(phase.id));
                actions.push(action);
                ui.close();
            }
        };
        item(ui, "Phase details...", Action::Run(Command::PhaseDetails));
        item(ui, "Add a material...", Action::Run(Command::AddLine));
        item(ui, "Move phase up", Action::Edit(Edit::NudgePhase { phase: phase.id, down: false }));
        item(ui, "Move phase down", Action::Edit(Edit::NudgePhase { phase: phase.id, down: true }));
        item(ui, "Remove empty phase", Action::Edit(Edit::RemovePhase(phase.id)));
    });
    // What a selected phase can do, without a right click.
    if selected {
        let flags = cell(rect, c.flags);
        let mut child = ui.new_child(
            UiBuilder::new().max_rect(flags).layout(Layout::left_to_right(Align::Center)),
        );
        child.spacing_mut().item_spacing.x = 0.0;
        for (icon, name, down) in [(Icon::Up, "up", false), (Icon::Down, "down", true)] {
            let name = format!("Move phase {} {name}", phase.name);
            if icon_button(&mut child, icon, &name, &name, true).clicked() {
                actions.push(Action::Edit(Edit::NudgePhase { phase: phase.id, down }));
            }
        }
        if phase.lines.is_empty() {
            let name = format!("Remove phase {}", phase.name);
            if icon_button(&mut child, Icon::Remove, &name, &name, true).clicked() {
                actions.push(Action::Edit(Edit::RemovePhase(phase.id)));
            }
        }
    }
}

/// One line.
#[allow(clippy::too_many_arguments)] // a row is made of just these
pub fn line(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    c: &Columns,
    index: usize,
    line: &LineFigures,
    order: &[LineId],
    actions: &mut Vec<Action>,
) {
    let t = Tokens::of(ui);
    let selected = scene.ui.line == Some(line.line);
    let row = ui.interact(rect, Id::unique(("line-row", line.line.0)), Sense::CLICK);
    if selected {
        ui.painter().rect_filled(rect, 0.0, t.row);
    } else if ui.rect_contains_pointer(rect) {
        ui.painter().rect_filled(rect, 0.0, t.hover);
    }
    if row.clicked() {
        actions.push(Action::SelectLine(Some(line.line)));
    }
    row.context_menu(|ui| line_menu(ui, line.line, actions));
    let mark = Rect::from_min_max(rect.min, pos2(rect.left() + 3.0, rect.bottom()));
    ui.painter().rect_filled(mark, 0.0, t.phase(index));
    grip(ui, rect, line, selected);
    name(ui, scene, rect, c, line, selected, actions);
    if !c.folded() {
        let muted = |s: &str| RichText::new(s).font(fonts::small()).color(t.muted);
        text(ui, cell(rect, c.inci), muted(&line.inci));
        let function = match (line.fills, line.function) {
            (true, "") => "fills to 100".to_owned(),
            (true, function) => format!("{function}, fills to 100"),
            (false, function) => function.to_owned(),
        };
        text(ui, cell(rect, c.function), muted(&function));
    }
    entry::percent(ui, scene, cell(rect, c.percent), line, order, actions);
    entry::grams(ui, scene, cell(rect, c.grams), line, order, actions);
    flags(ui, cell(rect, c.flags), line);
}

fn grip(ui: &Ui, rect: Rect, line: &LineFigures, selected: bool) {
    let t = Tokens::of(ui);
    let area = Rect::from_min_size(rect.min + vec2(3.0, 0.0), vec2(15.0, rect.height()));
    let response = ui.interact(area, Id::unique(("line-grip", line.line.0)), Sense::DRAG);
    if selected || response.hovered() || response.dragged() {
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
    rect: Rect,
    c: &Columns,
    line: &LineFigures,
    selected: bool,
    actions: &mut Vec<Action>,
) {
    let area = cell(rect, c.material);
    let mut label = line.name.clone();
    if c.folded() && !line.function.is_empty() {
        label = format!("{label}, {}", line.function);
    }
    let button = Button::new(RichText::new(&label))
        .frame_when_inactive(false)
        .truncate()
        .min_size(vec2(0.0, size::ROW - 4.0));
    let locked = scene.formula().line(line.line).is_some_and(|l| l.locked);
    let mut room = area.shrink2(vec2(0.0, 2.0));
    if locked {
        room.max.x -= 20.0;
    }
    let mut child =
        ui.new_child(UiBuilder::new().max_rect(room).layout(Layout::left_to_right(Align::Center)));
    child.spacing_mut().button_padding.x = 6.0;
    let response = child.add(button).accessible_name(format!("{}, material", line.name));
    if locked {
        let at = Rect::from_center_size(
            pos2((response.rect.right() + 10.0).min(area.right() - 8.0), area.center().y),
            vec2(13.0, 13.0),
        );
        icons::draw(ui.painter(), Icon::Lock, at, Tokens::of(ui).muted);
    }
    let hint = if c.folded() { format!("{}. ", line.inci) } else { String::new() };
    let response = response.on_hover_text(format!("{hint}Select; again to change the material"));
    if response.gained_focus() && !selected && !response.clicked() {
        actions.push(Action::SelectLine(Some(line.line)));
    }
    if response.clicked() {
        actions.push(Action::SelectLine(Some(line.line)));
        if selected {
            actions.push(Action::Run(Command::ChangeMaterial));
        }
    }
    response.context_menu(|ui| line_menu(ui, line.line, actions));
}

fn line_menu(ui: &mut Ui, line: LineId, actions: &mut Vec<Action>) {
    ui.set_min_width(220.0);
    for command in [
        Command::ChangeMaterial,
        Command::LineDetails,
        Command::AddLine,
        Command::MoveLineUp,
        Command::MoveLineDown,
        Command::LockLine,
        Command::FillLine,
        Command::RemoveLine,
    ] {
        let row = command.row();
        let mut button = Button::new(row.name);
        if let Some(keys) = row.shortcut {
            button = button.shortcut_text(ui.ctx().format_shortcut(&keys));
        }
        if ui.add(button).on_hover_text(row.about).clicked() {
            actions.push(Action::SelectLine(Some(line)));
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
        add(&format!("stop {stops}"), t.stop);
    }
    if warns > 0 {
        add(&format!("! {warns}"), t.warn);
    }
    if line.fills {
        add("q.s.", t.fine);
    }
    if line.dust {
        add("dust", t.muted);
    }
    if notes > 0 {
        add(&format!("i {notes}"), t.note);
    }
}

/// Adding, and the total.
pub fn total(ui: &mut Ui, scene: &Scene<'_>, rect: Rect, c: &Columns, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let e = &scene.here.evaluation;
    ui.painter().hline(rect.x_range(), rect.top() + 1.0, Stroke::new(1.0, t.hairline));
    let area = Rect::from_min_max(
        pos2(rect.left(), rect.top() + 4.0),
        pos2(rect.left() + c.percent.0, rect.bottom()),
    );
    let mut child =
        ui.new_child(UiBuilder::new().max_rect(area).layout(Layout::left_to_right(Align::Center)));
    for (text, command) in
        [("+ Add a material", Command::AddLine), ("+ Add a phase", Command::AddPhase)]
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
    let color = if e.total_ok { t.ink } else { t.stop };
    let total = format_fixed(e.total.0, scene.percent_places(), scene.style());
    let shifted = |column| cell(rect, column).translate(vec2(0.0, 2.0));
    let label = ui.interact(shifted(c.percent), Id::unique("total"), Sense::hover());
    let state = if e.total_ok { "exact" } else { "not 100" };
    label.widget_info(|| {
        WidgetInfo::labeled(Role::Label, true, format!("Total {total} %, {state}"))
    });
    right_text(ui, shifted(c.percent), &total, fonts::strong(size::TEXT), color);
    let grams = entry::grams_text(scene, e.weigh.rounded);
    right_text(ui, shifted(c.grams), &grams, fonts::strong(size::TEXT), t.ink);
    if !e.total_ok {
        pill(ui, shifted(c.flags).left_center(), "not 100", t.stop);
    }
}

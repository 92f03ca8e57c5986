//! Heading rows of phases.

use egui::{
    Align, Align2, Id, Key, Layout, Modifiers, Pos2, Rect, Role, Sense, Shape, Stroke, Ui,
    UiBuilder, WidgetInfo, pos2, vec2,
};
use quern_calc::evaluate::PhaseFigures;
use quern_calc::formula::{Phase, phase_letter};
use quern_calc::number::format_fixed;

use super::Columns;
use super::cells::{cell, right_text};
use super::entry;
use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::commands::Command;
use crate::app::table::{Column, TableAction};
use crate::look::icons::Icon;
use crate::look::{Tokens, fonts, size};
use crate::widgets::icon_button;
use crate::words;

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
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    c: &Columns,
    (index, phase, sums): (usize, &Phase, &PhaseFigures),
    actions: &mut Vec<Action>,
) {
    let t = Tokens::of(ui);
    let selected = scene.ui.line.is_none() && scene.ui.phase == Some(phase.id);
    let id = Id::unique(("phase-row", phase.id.0));
    let folded = scene.ui.table.is_folded(&scene.formula().id, phase.id);
    let fold_place = Rect::from_min_size(rect.min, vec2(FOLD, rect.height()));
    let head = Rect::from_min_max(
        pos2(fold_place.right(), rect.top()),
        pos2(rect.left() + c.numbers(), rect.bottom()),
    );
    let response = ui.interact(head, id, Sense::click());
    let name = say!("Phase {index} {phase}", index = phase_letter(index), phase = phase.name);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, selected, &name));
    if selected {
        ui.painter().rect_filled(rect, 0.0, t.row);
    } else if response.hovered() {
        ui.painter().rect_filled(rect, 0.0, t.hover);
    }
    fold(ui, fold_place, phase, folded, actions);
    if response.has_focus() {
        fold_by_key(ui, phase, folded, response.id, actions);
    }
    letter(ui, pos2(rect.left() + FOLD + 13.0, rect.center().y), index);
    let mut job = egui::text::LayoutJob::default();
    let mut add = |s: &str, font, color, gap| {
        job.append(s, gap, egui::TextFormat { font_id: font, color, ..Default::default() });
    };
    add(&phase.name, fonts::strong(size::TEXT), t.ink, 0.0);
    let words = words::engine(phase.temperature.words(scene.style()));
    if !words.is_empty() {
        add(&words, fonts::text(), t.muted, 6.0);
    }
    let steps = phase.steps.len();
    if steps > 0 {
        add(&counted!("{steps} step", "{steps} steps", steps), fonts::small(), t.muted, 10.0);
    }
    if folded {
        let n = phase.lines.len();
        add(&counted!("{n} line folded", "{n} lines folded", n), fonts::small(), t.muted, 10.0);
    }
    job.wrap = egui::text::TextWrapping::truncate_at_width(head.width() - 36.0);
    let galley = ui.painter().layout_job(job);
    let at = pos2(rect.left() + FOLD + 29.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, t.ink);
    let style = scene.style();
    if let Some(place) = c.of(Column::Percent) {
        let percent = format_fixed(sums.percent.0, scene.percent_places(), style);
        right_text(ui, cell(rect, place), &percent, fonts::strong(size::TEXT), t.ink);
    }
    if let Some(place) = c.of(Column::Grams) {
        let grams = entry::grams_text(scene, sums.grams);
        right_text(ui, cell(rect, place), &grams, fonts::text(), t.muted);
    }
    ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, t.hairline));

    let response =
        response.on_hover_text(say!("Select the phase; again for its name, temperature and steps"));
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
        let word = if folded { say!("Unfold") } else { say!("Fold") };
        item(ui, word, Action::Table(TableAction::Fold(phase.id, !folded)));
        item(ui, say!("Phase details..."), Action::Run(Command::PhaseDetails));
        item(ui, say!("Add a material..."), Action::Run(Command::AddLine));
        item(
            ui,
            say!("Move phase up"),
            Action::Edit(Edit::NudgePhase { phase: phase.id, down: false }),
        );
        item(
            ui,
            say!("Move phase down"),
            Action::Edit(Edit::NudgePhase { phase: phase.id, down: true }),
        );
        item(ui, say!("Remove empty phase"), Action::Edit(Edit::RemovePhase(phase.id)));
    });
    // What a selected phase can do, without a right click.
    if selected {
        let flags = cell(rect, c.of(Column::Flags).unwrap_or((c.width - 60.0, 60.0)));
        let mut child = ui.new_child(
            UiBuilder::new().max_rect(flags).layout(Layout::left_to_right(Align::Center)),
        );
        child.spacing_mut().item_spacing.x = 0.0;
        for (icon, name, down) in [(Icon::Up, say!("up"), false), (Icon::Down, say!("down"), true)]
        {
            let name = say!("Move phase {phase} {name}", phase = phase.name, name);
            if icon_button(&mut child, icon, &name, &name, true).clicked() {
                actions.push(Action::Edit(Edit::NudgePhase { phase: phase.id, down }));
            }
        }
        if phase.lines.is_empty() {
            let name = say!("Remove phase {phase}", phase = phase.name);
            if icon_button(&mut child, Icon::Remove, &name, &name, true).clicked() {
                actions.push(Action::Edit(Edit::RemovePhase(phase.id)));
            }
        }
    }
}

/// Width of the sign that folds a phase.
const FOLD: f32 = 24.0;

/// The sign at the left that hides and shows the lines of a phase.
fn fold(ui: &Ui, rect: Rect, phase: &Phase, folded: bool, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let id = Id::unique(("phase-fold", phase.id.0));
    let response = ui.interact(rect, id, Sense::click());
    let word = if folded { say!("Unfold") } else { say!("Fold") };
    let name = say!("{word} phase {phase}", word, phase = phase.name);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let color = if response.hovered() || response.has_focus() { t.accent } else { t.muted };
    let c = rect.center();
    let points = if folded {
        [c + vec2(-2.5, -4.0), c + vec2(2.5, 0.0), c + vec2(-2.5, 4.0)]
    } else {
        [c + vec2(-4.0, -2.5), c + vec2(0.0, 2.5), c + vec2(4.0, -2.5)]
    };
    ui.painter().line(points.to_vec(), Stroke::new(1.6, color));
    if response.on_hover_text(&name).clicked() {
        actions.push(Action::Table(TableAction::Fold(phase.id, !folded)));
    }
}

/// Left folds the phase that has the focus, right unfolds it.
fn fold_by_key(ui: &Ui, phase: &Phase, folded: bool, id: Id, actions: &mut Vec<Action>) {
    let filter = egui::EventFilter { horizontal_arrows: true, ..Default::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
    let (left, right) = ui.input_mut(|i| {
        (
            i.consume_key(Modifiers::NONE, Key::ArrowLeft),
            i.consume_key(Modifiers::NONE, Key::ArrowRight),
        )
    });
    if (left && !folded) || (right && folded) {
        actions.push(Action::Table(TableAction::Fold(phase.id, left)));
    }
}

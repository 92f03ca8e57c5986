//! The bar at the top: menu, project, formula, find or do, undo, saved state.

use egui::{Align, Button, Layout, Rect, RichText, Sense, Stroke, Ui, Vec2, vec2};

use crate::app::action::Action;
use crate::app::commands::{Command, Group, TABLE};
use crate::app::state::View;
use crate::app::{Scene, Work};
use crate::look::icons::{self, Icon};
use crate::look::{Tokens, fonts, size};
use crate::widgets::{choice, fitted, icon_button, short};
use crate::words;

/// Draws the bar.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, narrow: bool, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    ui.horizontal_centered(|ui| {
        ui.add_space(14.0);
        let (rect, _) = ui.allocate_exact_size(Vec2::splat(22.0), Sense::hover());
        icons::mark(ui.painter(), rect, t.accent);
        if !narrow {
            ui.label(RichText::new("Quern").font(fonts::strong(15.0)));
        }
        menu(ui, scene, actions);
        if ui.ctx().content_rect().width() > 1080.0 {
            let name = Button::new(RichText::new(&scene.project.name).color(t.muted))
                .frame_when_inactive(false)
                .truncate();
            let width = 150.0;
            let response = ui.add_sized(vec2(width, size::CONTROL), name);
            if response.on_hover_text(Command::ProjectDetails.row().about()).clicked() {
                actions.push(Action::Run(Command::ProjectDetails));
            }
        }
        formulas(ui, scene, actions);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.add_space(12.0);
            right(ui, scene, narrow, actions);
            find(ui, narrow, actions);
        });
    });
}

/// The menu, made from the command table.
fn menu(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let response = ui
        .menu_button(say!("Menu"), |ui| {
            ui.set_min_width(200.0);
            for group in Group::ALL {
                ui.menu_button(group.name(), |ui| {
                    ui.set_min_width(250.0);
                    for row in TABLE.iter().filter(|r| r.group == group) {
                        let mut button = Button::new(row.name());
                        if let Some(keys) = row.shortcut {
                            button = button.shortcut_text(ui.ctx().format_shortcut(&keys));
                        }
                        let why_not = scene.why_not(row.command);
                        let response = ui.add_enabled(why_not.is_none(), button);
                        let response = match why_not {
                            Some(why) => response.on_disabled_hover_text(why),
                            None => response.on_hover_text(row.about()),
                        };
                        if response.clicked() {
                            actions.push(Action::Run(row.command));
                            ui.close();
                        }
                        if row.command == Command::Open {
                            recent(ui, scene, actions);
                        }
                    }
                });
            }
        })
        .response;
    response.on_hover_text(say!("Everything that can be done"));
}

fn recent(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ui.menu_button(say!("Open recent"), |ui| {
        ui.set_min_width(300.0);
        if scene.settings.recent.is_empty() {
            ui.label(say!("No project was opened yet"));
        }
        for path in &scene.settings.recent {
            let name = path
                .file_name()
                .map_or_else(|| path.display().to_string(), |n| n.to_string_lossy().into_owned());
            if ui.button(name).on_hover_text(path.display().to_string()).clicked() {
                actions.push(Action::OpenPath(path.clone()));
                ui.close();
            }
        }
    });
}

/// The formula at hand, and the others.
fn formulas(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let formula = scene.formula();
    let t = Tokens::of(ui);
    let mut job = egui::text::LayoutJob::default();
    let mut add = |text: &str, font, color| {
        job.append(text, 0.0, egui::TextFormat { font_id: font, color, ..Default::default() });
    };
    let shown = short(&formula.name, 25);
    add(&shown, fonts::strong(size::TEXT), t.ink);
    add(
        &say!(
            "  version {number}, {state}",
            number = formula.version.number,
            state = words::text(formula.version.state.name())
        ),
        fonts::text(),
        t.muted,
    );
    ui.menu_button(job, |ui| {
        ui.set_min_width(240.0);
        for other in &scene.project.formulas {
            let here = other.id == formula.id;
            let text = say!(
                "{other}, version {number}",
                other = other.name,
                number = other.version.number
            );
            if choice(ui, here, text).clicked() {
                actions.push(Action::SelectFormula(other.id.clone()));
                ui.close();
            }
        }
        ui.separator();
        for command in [
            Command::FormulaDetails,
            Command::NewFormula,
            Command::NewFromSkeleton,
            Command::DuplicateFormula,
            Command::RemoveFormula,
            Command::KeepVersion,
            Command::Versions,
        ] {
            let why_not = command.why_not(scene.ui, scene.document);
            let response = ui.add_enabled(why_not.is_none(), Button::new(command.row().name()));
            let response = match why_not {
                Some(why) => response.on_disabled_hover_text(why),
                None => response.on_hover_text(command.row().about()),
            };
            if response.clicked() {
                actions.push(Action::Run(command));
                ui.close();
            }
        }
    })
    .response
    .on_hover_text(words::engine(formula.product.words()));
}

/// Undo, redo and the saved state, from the right.
fn right(ui: &mut Ui, scene: &Scene<'_>, narrow: bool, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    if let Some(work) = scene.work {
        under_way(ui, work, narrow, actions);
    }
    let state = if scene.document.is_changed() {
        say!("not saved").to_owned()
    } else {
        match (&scene.document.saved_at, &scene.document.path) {
            (Some(at), _) => say!("saved {at}", at),
            (None, Some(_)) => say!("saved").to_owned(),
            (None, None) => say!("not saved yet").to_owned(),
        }
    };
    if scene.file_window {
        let button = Button::new(say!("Waiting for the file window, stop"));
        if ui.add(button).on_hover_text(say!("If no window came up, stop waiting for it")).clicked()
        {
            actions.push(Action::ForgetWindow);
        }
    } else if !narrow && scene.work.is_none() {
        ui.label(RichText::new(state).color(t.muted)).on_hover_text(scene.document.title());
    }
    if narrow && !matches!(scene.ui.view, View::Home | View::Compare) {
        let name = if scene.ui.drawer { say!("Hide figures") } else { say!("Show figures") };
        let about = Command::ToggleFigures.row().about();
        if icon_button(ui, Icon::Figures, name, about, true).clicked() {
            actions.push(Action::Run(Command::ToggleFigures));
        }
    }
    bell(ui, scene, actions);
    let redo = scene.document.redo_label();
    let about =
        redo.map_or(say!("Nothing to redo").to_owned(), |l| say!("Redo: {label}", label = l));
    if icon_button(ui, Icon::Redo, say!("Redo"), &about, redo.is_some()).clicked() {
        actions.push(Action::Run(Command::Redo));
    }
    let undo = scene.document.undo_label();
    match undo.filter(|_| ui.ctx().content_rect().width() > 1200.0) {
        Some(label) => {
            let text = RichText::new(say!("Undo: {label}", label)).color(t.muted);
            let button = Button::new(text).frame_when_inactive(false);
            if ui.add(button).on_hover_text(Command::Undo.tooltip(ui.ctx())).clicked() {
                actions.push(Action::Run(Command::Undo));
            }
        }
        None => {
            let about = undo
                .map_or(say!("Nothing to undo").to_owned(), |l| say!("Undo: {label}", label = l));
            if icon_button(ui, Icon::Undo, say!("Undo"), &about, undo.is_some()).clicked() {
                actions.push(Action::Run(Command::Undo));
            }
        }
    }
}

/// What takes so long that it is told, with a way to stop it.
fn under_way(ui: &mut Ui, work: Work, narrow: bool, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    if work.can_cancel {
        let cancel =
            ui.button(say!("Cancel")).accessible_name(say!("Cancel: {work}", work = work.name));
        if cancel.on_hover_text(say!("Stop it; nothing of it is kept")).clicked() {
            actions.push(Action::Cancel(work.id));
        }
    }
    let text = RichText::new(work.name).color(t.muted);
    let width = if narrow { 130.0 } else { 240.0 };
    let label = egui::Label::new(text).truncate();
    let response = ui.add_sized(vec2(width, size::CONTROL), label).on_hover_text(work.name);
    let line = response.rect.expand2(vec2(0.0, 2.0));
    ui.painter().hline(line.x_range(), line.bottom(), Stroke::new(2.0, t.accent));
}

/// The list of notices, and how many are new.
fn bell(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let name = match scene.unread {
        0 => say!("Notices").to_owned(),
        n => say!("Notices, {n} new", n),
    };
    let response = icon_button(ui, Icon::Bell, &name, Command::Notices.row().about(), true);
    if scene.unread > 0 {
        let at = response.rect.right_top() + vec2(-7.0, 7.0);
        let shown = if scene.unread > 9 { "9+".to_owned() } else { scene.unread.to_string() };
        ui.painter().circle_filled(at, 7.0, t.accent);
        let font = fonts::strong(10.0);
        ui.painter().text(at, egui::Align2::CENTER_CENTER, shown, font, t.on_accent);
    }
    if response.clicked() {
        actions.push(Action::Run(Command::Notices));
    }
}

/// The field that opens the palette.
fn find(ui: &mut Ui, narrow: bool, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let room = ui.available_width() - 16.0;
    let width = if narrow { room.min(110.0) } else { room.min(280.0) };
    if width < 60.0 {
        return;
    }
    let (rect, response) = ui.allocate_exact_size(vec2(width, 30.0), Sense::click());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::Button, true, Command::Palette.row().name())
    });
    let edge = if response.has_focus() || response.hovered() {
        Stroke::new(1.0, t.accent)
    } else {
        Stroke::new(1.0, t.edge)
    };
    let painter = ui.painter();
    painter.rect(rect, 5.0, t.raised, edge, egui::StrokeKind::Inside);
    let inner: Rect = rect.shrink2(vec2(10.0, 0.0));
    let mut room = inner.width();
    if width > 180.0 {
        let keys = Command::Palette.row().shortcut;
        let keys = keys.map(|k| ui.ctx().format_shortcut(&k)).unwrap_or_default();
        let at = inner.right_center();
        let keys = painter.text(at, egui::Align2::RIGHT_CENTER, keys, fonts::text(), t.muted);
        room -= keys.width() + 8.0;
    }
    let text = fitted(painter, say!("Find or do..."), fonts::text(), t.muted, room);
    let at = inner.left_center() - vec2(0.0, text.size().y / 2.0);
    painter.galley(at, text, t.muted);
    if response.on_hover_text(Command::Palette.row().about()).clicked() {
        actions.push(Action::Run(Command::Palette));
    }
}

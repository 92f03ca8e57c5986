//! The opening page: recent files, demo projects with pictures, kinds of product to begin with.

use std::path::Path;

use egui::{
    Align, Align2, Color32, Layout, Pos2, Rect, Response, RichText, Role, ScrollArea, Sense,
    Stroke, Ui, WidgetInfo, pos2, vec2,
};

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::home::{DemoCard, HomeAction, Miniature, Recent};
use crate::app::state::{Dialog, View};
use crate::look::icons::{self, Icon, Sign};
use crate::look::{Pattern, Tokens, fonts, size};
use crate::widgets::{donut, icon_button, primary_button};
use crate::words;

/// Gap between cards.
const GAP: f32 = 12.0;

/// Draws the page.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ScrollArea::vertical().auto_shrink(false).id_salt("home-scroll").show(ui, |ui| {
        ui.set_max_width(ui.available_width().min(1040.0));
        ui.add_space(8.0);
        head(ui, scene, actions);
        ui.add_space(18.0);
        recent(ui, scene, actions);
        ui.add_space(20.0);
        demos(ui, scene, actions);
        ui.add_space(20.0);
        kinds(ui, scene, actions);
        ui.add_space(24.0);
    });
}

fn section(ui: &mut Ui, name: &str, note: &str) {
    let t = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(name).font(fonts::strong(size::TEXT)));
        ui.label(RichText::new(note).font(fonts::small()).color(t.muted));
    });
    ui.add_space(6.0);
}

/// What can be done at once.
fn head(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(30.0, 30.0), Sense::hover());
        icons::mark(ui.painter(), rect, t.accent);
        ui.label(RichText::new(say!("What would you like to make?")).font(fonts::strong(20.0)));
    });
    if let Some(path) = &scene.ui.missing {
        ui.add_space(8.0);
        let text =
            say!("The project of last time is not there any more: {path}", path = path.display());
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(14.0, 18.0), Sense::hover());
            icons::sign(ui.painter(), rect.center(), Sign::Warn, t.warn);
            ui.add(egui::Label::new(RichText::new(text).color(t.warn)).wrap());
        });
    }
    ui.add_space(10.0);
    ui.horizontal_wrapped(|ui| {
        let text = say!("Go on with {project}", project = scene.project.name);
        if primary_button(ui, &text).on_hover_text(say!("Back to the project at hand")).clicked() {
            actions.push(Action::Show(View::Formula));
        }
        for command in [Command::NewProject, Command::Open, Command::Tour, Command::Guide] {
            let row = command.row();
            let button = egui::Button::new(row.name()).min_size(vec2(0.0, 32.0));
            if ui.add(button).on_hover_text(command.tooltip(ui.ctx())).clicked() {
                actions.push(Action::Run(command));
            }
        }
    });
}

fn recent(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    section(ui, say!("Recent projects"), "");
    if scene.home.recent.is_empty() {
        let text = say!(
            "No project was opened yet: open one, look at a demo project, or begin with a \
                    kind of product"
        );
        ui.add(egui::Label::new(RichText::new(text).color(t.muted)).wrap());
    }
    for file in &scene.home.recent {
        one_recent(ui, file, actions);
    }
}

/// A path's last part, and the rest.
fn parts(path: &Path) -> (String, String) {
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned());
    let folder = path.parent().map(|p| p.display().to_string());
    (name.unwrap_or_else(|| path.display().to_string()), folder.unwrap_or_default())
}

fn one_recent(ui: &mut Ui, file: &Recent, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let (name, folder) = parts(&file.path);
    let gone = file.found == Some(false);
    ui.horizontal(|ui| {
        let room = (ui.available_width() - size::CONTROL - 8.0).max(120.0);
        let sense = if gone { Sense::hover() } else { Sense::click() };
        let (rect, response) = ui.allocate_exact_size(vec2(room, 32.0), sense);
        let said = if gone {
            say!("{name} in {folder}, not found", name, folder)
        } else {
            say!("Open {name} in {folder}", name, folder)
        };
        response.widget_info(|| WidgetInfo::labeled(Role::Button, !gone, &said));
        ground(ui, rect, &response, !gone, Color32::TRANSPARENT);
        let ink = if gone { t.muted } else { t.ink };
        let end = line(ui, rect.left_center() + vec2(8.0, 0.0), &name, true, ink, room * 0.5);
        let mut left = end + 12.0;
        if gone {
            left = line(ui, pos2(left, rect.center().y), say!("not found"), false, t.warn, 80.0)
                + 12.0;
        }
        line(ui, pos2(left, rect.center().y), &folder, false, t.muted, rect.right() - left - 8.0);
        if response.on_hover_text(file.path.display().to_string()).clicked() {
            actions.push(Action::OpenPath(file.path.clone()));
        }
        let about = say!("Remove from the list; the file itself stays");
        let remove = say!("Remove {name} in {folder} from the list", name, folder);
        if icon_button(ui, Icon::Remove, &remove, about, true).clicked() {
            actions.push(Action::Home(HomeAction::Forget(file.path.clone())));
        }
    });
}

/// Ground of something that is clicked, with its focus.
fn ground(ui: &Ui, rect: Rect, response: &Response, enabled: bool, plain: Color32) {
    let t = Tokens::of(ui);
    let fill = if enabled && response.hovered() { t.hover } else { plain };
    ui.painter().rect_filled(rect, 6.0, fill);
    if response.has_focus() {
        let ring = Stroke::new(2.0, t.accent);
        ui.painter().rect_stroke(rect, 6.0, ring, egui::StrokeKind::Inside);
        if response.gained_focus() {
            response.scroll_to_me(None);
        }
    }
}

/// A line of text from the left, cut where there is no room; where it ends.
fn line(ui: &Ui, at: Pos2, text: &str, strong: bool, color: Color32, room: f32) -> f32 {
    let font = if strong { fonts::strong(size::TEXT) } else { fonts::small() };
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, color);
    job.wrap = egui::text::TextWrapping::truncate_at_width(room.max(1.0));
    let galley = ui.painter().layout_job(job);
    let end = at.x + galley.size().x;
    ui.painter().galley(at - vec2(0.0, galley.size().y / 2.0), galley, color);
    end
}

/// Cards in rows, as many in each as there is room for.
fn cards<T>(
    ui: &mut Ui,
    items: &[T],
    least: f32,
    height: f32,
    mut draw: impl FnMut(&mut Ui, Rect, &Response, &T),
    mut name: impl FnMut(&T) -> String,
) -> Option<usize> {
    let width = ui.available_width();
    let (mut columns, mut w) = (1_usize, width);
    for n in 2..=u8::try_from(items.len().min(6)).unwrap_or(6) {
        let each = (width - f32::from(n - 1) * GAP) / f32::from(n);
        if each >= least {
            (columns, w) = (usize::from(n), each);
        }
    }
    let mut clicked = None;
    ui.spacing_mut().item_spacing = vec2(GAP, GAP);
    for (row, chunk) in items.chunks(columns).enumerate() {
        ui.horizontal(|ui| {
            for (i, item) in chunk.iter().enumerate() {
                let (rect, response) = ui.allocate_exact_size(vec2(w, height), Sense::click());
                let said = name(item);
                response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &said));
                let t = Tokens::of(ui);
                ground(ui, rect, &response, true, t.panel);
                if !response.has_focus() {
                    let edge = Stroke::new(1.0, t.hairline);
                    ui.painter().rect_stroke(rect, 6.0, edge, egui::StrokeKind::Inside);
                }
                draw(ui, rect, &response, item);
                if response.clicked() {
                    clicked = Some(row * columns + i);
                }
            }
        });
    }
    clicked
}

/// A ring of what a formula is made of.
fn ring(ui: &Ui, scene: &Scene<'_>, center: Pos2, radius: f32, formula: &Miniature) {
    let t = Tokens::of(ui);
    let pieces = donut::pieces(&formula.slices, scene.style(), t, |i| (t.slice(i), Pattern::Plain));
    donut::small(ui, center, radius, &pieces);
}

fn demos(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    section(
        ui,
        say!("Demo projects"),
        say!("invented workshops to look at and to change; opened as a copy"),
    );
    let Some(samples) = &scene.home.samples else {
        ui.spinner();
        return;
    };
    let draw = |ui: &mut Ui, rect: Rect, _: &Response, card: &DemoCard| {
        let t = Tokens::of(ui);
        let many = card.formulas.len().max(1);
        #[allow(clippy::cast_precision_loss)] // a handful of formulas
        let step = (rect.width() - 24.0) / many as f32;
        for (i, formula) in card.formulas.iter().enumerate() {
            #[allow(clippy::cast_precision_loss)]
            let x = rect.left() + 12.0 + step * (i as f32 + 0.5);
            ring(ui, scene, pos2(x, rect.top() + 42.0), 26.0_f32.min(step * 0.42), formula);
            let at = pos2(x, rect.top() + 80.0);
            ui.painter().text(at, Align2::CENTER_CENTER, &formula.name, fonts::small(), t.muted);
        }
        let left = rect.left() + 14.0;
        let room = rect.width() - 28.0;
        line(ui, pos2(left, rect.top() + 106.0), &card.name, true, t.ink, room);
        line(ui, pos2(left, rect.top() + 126.0), words::text(card.about), false, t.muted, room);
    };
    let name = |c: &DemoCard| {
        say!("Open a copy of {name}: {about}", name = c.name, about = words::text(c.about))
    };
    if let Some(at) = cards(ui, &samples.demos, 250.0, 142.0, draw, name) {
        actions.push(Action::Home(HomeAction::Demo(at)));
    }
}

/// Name of a skeleton without the word.
#[must_use]
pub fn kind_name(name: &str) -> &str {
    name.strip_suffix(" skeleton").unwrap_or(name)
}

fn kinds(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let note = say!(
        "a generic start with least, usual and most of each function, shown before you \
                choose; common practice, not tested as products"
    );
    section(ui, say!("Begin with a kind of product"), note);
    let Some(samples) = &scene.home.samples else { return };
    let draw = |ui: &mut Ui, rect: Rect, _: &Response, kind: &Miniature| {
        let t = Tokens::of(ui);
        ring(ui, scene, rect.left_center() + vec2(28.0, 0.0), 17.0, kind);
        let left = rect.left() + 56.0;
        let room = rect.right() - left - 8.0;
        line(ui, pos2(left, rect.center().y - 9.0), kind_name(&kind.name), true, t.ink, room);
        line(ui, pos2(left, rect.center().y + 9.0), &kind.product, false, t.muted, room);
    };
    let name = |k: &Miniature| format!("{}: {}", kind_name(&k.name), k.product);
    if let Some(at) = cards(ui, &samples.skeletons, 220.0, 54.0, draw, name)
        && let Some(kind) = samples.skeletons.get(at)
    {
        actions.push(Action::Open(Box::new(Dialog::Skeletons(Some(kind.id.clone())))));
    }
    ui.add_space(4.0);
    ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
        let t = Tokens::of(ui);
        let text = say!(
            "Rings show what a formula is made of, by function; the figures stand in its \
                    table"
        );
        ui.label(RichText::new(text).font(fonts::small()).color(t.muted));
    });
}

//! What follows from the formula: composition, gauges, findings.

use egui::{Align, Label, Layout, RichText, ScrollArea, Sense, Stroke, Ui, Vec2, vec2};
use quern_calc::evaluate::{Evaluation, gauges};
use quern_calc::findings::{Finding, Severity, Where};

use super::composition;
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::look::icons::{self, Sign};
use crate::look::{Tokens, fonts, size};
use crate::widgets::gauge;
use crate::words;

/// Draws the panel.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ScrollArea::vertical().auto_shrink(false).id_salt("figures-scroll").show(ui, |ui| {
        egui::Frame::new()
            .inner_margin(egui::Margin { left: 14, right: 14, top: 12, bottom: 20 })
            .show(ui, |ui| {
                composition::show(ui, scene, actions);
                ui.add_space(12.0);
                gauge_rows(ui, scene);
                super::empty::worked_out(ui, "start", actions);
                ui.add_space(14.0);
                findings(ui, scene, &scene.here.evaluation, actions);
            });
    });
}

fn gauge_rows(ui: &mut Ui, scene: &Scene<'_>) {
    let t = Tokens::of(ui);
    ui.label(
        RichText::new(say!("What follows from it")).font(fonts::strong(size::SMALL)).color(t.muted),
    );
    for g in gauges(scene.formula(), &scene.here.evaluation, scene.style()) {
        let row = ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            let cell = |ui: &mut Ui, width: f32, layout: Layout, text: RichText| {
                ui.allocate_ui_with_layout(vec2(width, 24.0), layout, |ui| {
                    ui.set_min_size(vec2(width, 24.0));
                    ui.add(Label::new(text).truncate());
                });
            };
            let left = Layout::left_to_right(Align::Center);
            let right = Layout::right_to_left(Align::Center);
            cell(ui, 98.0, left, RichText::new(words::text(g.name)));
            let color = if g.off { t.stop } else { t.ink };
            let dear = g.key == "cost" && g.value != "–";
            let value =
                if dear { scene.money(&g.value) } else { words::engine(&g.value).into_owned() };
            let value = RichText::new(value).font(fonts::strong(size::TEXT)).color(color);
            cell(ui, 76.0, right, value);
            let track_width = if g.track.is_some() { 34.0 } else { 0.0 };
            let room = (ui.available_width() - track_width - 8.0).max(20.0);
            let word = RichText::new(words::engine(&g.word)).font(fonts::small()).color(t.muted);
            cell(ui, room, left, word);
            if let Some(track) = &g.track {
                gauge::track(ui, track, g.off, track_width);
            }
        });
        row.response.on_hover_text(words::engine(&g.about));
    }
}

/// Shape and colour of a severity.
#[must_use]
pub fn sign_of(t: &Tokens, severity: Severity) -> (Sign, egui::Color32) {
    match severity {
        Severity::Stop => (Sign::Stop, t.stop),
        Severity::Warn => (Sign::Warn, t.warn),
        Severity::Note => (Sign::Note, t.note),
    }
}

/// Stops and warnings that stand, with why and what would fix them; notes and what was accepted
/// are counted, for the Findings view.
pub fn findings(ui: &mut Ui, scene: &Scene<'_>, e: &Evaluation, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let [stops, warns, notes] = e.counts();
    ui.horizontal(|ui| {
        ui.label(RichText::new(say!("Findings")).font(fonts::strong(size::SMALL)).color(t.muted));
        let text = say!("{stops} stop, {warns} warn, {notes} note", stops, warns, notes);
        ui.label(RichText::new(text).font(fonts::small()).color(t.muted));
    });
    // Of nothing, nothing can be said.
    if stops + warns == 0 && !e.lines.is_empty() {
        ui.add_space(4.0);
        let nothing = if notes == 0 {
            say!("Nothing found by the rules that were run")
        } else {
            say!("No Stop and no Warning by the rules that were run")
        };
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(Vec2::splat(14.0), Sense::hover());
            icons::sign(ui.painter(), rect.center(), Sign::Fine, t.fine);
            ui.add(Label::new(nothing).wrap());
        });
    }
    // An empty formula says so here, where one looks first.
    let empty = e.lines.is_empty();
    let pressing = |f: &&Finding| f.stands() && (empty || f.severity() != Severity::Note);
    for finding in e.findings.iter().filter(pressing) {
        one(ui, scene, finding, actions);
    }
    ui.add_space(6.0);
    let accepted = e.findings.iter().filter(|f| !f.stands()).count();
    let mut more = say!("All findings: {notes} notes", notes);
    if accepted > 0 {
        more.push_str(&say!(", {accepted} accepted", accepted));
    }
    if ui.button(more).on_hover_text(Command::ShowFindings.tooltip(ui.ctx())).clicked() {
        actions.push(Action::Run(Command::ShowFindings));
    }
    let text = say!(
        "{first}. What was not checked is listed there. A qualified assessor decides before sale",
        first = e
            .safety
            .checked_against()
            .into_iter()
            .next()
            .map_or(std::borrow::Cow::Borrowed(""), words::engine)
    );
    ui.add(Label::new(RichText::new(text).font(fonts::small()).color(t.muted)).wrap());
}

fn one(ui: &mut Ui, scene: &Scene<'_>, finding: &Finding, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let severity = finding.severity();
    let (sign, color) = sign_of(t, severity);
    let words = words::of_finding(finding, scene.style());
    let (line, _) = ui.allocate_exact_size(vec2(ui.available_width(), 5.0), Sense::hover());
    ui.painter().hline(line.x_range(), line.center().y, Stroke::new(1.0, t.hairline));
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(14.0, 18.0), Sense::hover());
        icons::sign(ui.painter(), rect.center(), sign, color);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            let title = RichText::new(&words.title).font(fonts::strong(13.0)).color(t.ink);
            match finding.place {
                Where::Line(line) => {
                    let link = egui::Button::new(title).frame(false).wrap();
                    let response = ui
                        .add(link)
                        .accessible_name(format!(
                            "{}: {}",
                            words::text(severity.name()),
                            words.title
                        ))
                        .on_hover_text(say!("Go to the line"));
                    if response.clicked() {
                        actions.push(Action::GoToLine(line));
                    }
                }
                _ => {
                    ui.add(Label::new(title).wrap());
                }
            }
            let muted = |s: &str| RichText::new(s).font(fonts::small()).color(t.muted);
            ui.add(Label::new(muted(&words.why)).wrap());
            let fix = RichText::new(&words.fix).font(fonts::small()).color(t.ink);
            ui.add(Label::new(fix).wrap())
                .on_hover_text(say!("Source: {source}", source = words.source));
        });
    });
}

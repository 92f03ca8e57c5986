//! The Label view: what the pack says, why each name stands where it does, and what is missing.

mod list;
mod panel;

pub use panel::panel;

use egui::{Align, Frame, Label, Layout, Margin, RichText, ScrollArea, Stroke, Ui, vec2};
use quern_calc::evaluate::SideLabel;
use quern_calc::label::Look;

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::safety::SafetyAction;
use crate::look::icons::Sign;
use crate::look::{Tokens, fonts, size};
use crate::widgets::sign_label;
use crate::widgets::table::title;
use crate::words;

/// Draws the middle.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ScrollArea::vertical()
        .auto_shrink(false)
        .id_salt(("label-scroll", scene.formula().id.as_str()))
        .show(ui, |ui| {
            ui.set_min_width(380.0);
            super::setting::page_keys(ui);
            head(ui, scene, actions);
            let Some(side) = &scene.label else {
                muted(ui, say!("No market is chosen: choose one in the Findings view"));
                return;
            };
            let text = say!(
                "The ingredient list is made from the lines: once the formula has some, the \
                        label stands here"
            );
            if super::empty::no_lines(ui, scene, text, actions) {
                ui.add_space(12.0);
            }
            alarms(ui, scene, side, actions);
            pack(ui, side);
            ui.add_space(12.0);
            list::show(ui, scene, side);
            ui.add_space(12.0);
            cautions(ui, side);
            ui.add_space(12.0);
            remarks(ui, side);
            ui.add_space(12.0);
            checked(ui, scene, side);
            super::empty::worked_out(ui, "label", actions);
            ui.add_space(24.0);
        });
}

/// Secondary text that wraps.
fn muted(ui: &mut Ui, text: &str) {
    let t = Tokens::of(ui);
    ui.add(Label::new(RichText::new(text).font(fonts::small()).color(t.muted)).wrap());
}

/// Formula, market, and what can be done.
fn head(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(&scene.here.name).font(fonts::strong(size::HEAD)));
        ui.label(RichText::new(say!("for")).color(t.muted));
        let shown = scene.label.as_ref().map(|s| s.label.market.as_str());
        for market in quern_project::rules::in_use().markets_of(scene.formula()) {
            let on = shown == Some(market.code.as_str());
            if ui.add(egui::Button::selectable(on, &market.name)).clicked() {
                actions.push(Action::Safety(SafetyAction::Market(market.code.clone())));
            }
        }
        let Some(side) = &scene.label else { return };
        if ui
            .button(say!("Copy list"))
            .on_hover_text(say!("Copy the ingredient list as text"))
            .clicked()
        {
            actions.push(Action::Safety(SafetyAction::Copy(side.label.list.text())));
        }
        let row = Command::LabelSheet.row();
        if ui.button(row.name()).on_hover_text(row.about()).clicked() {
            actions.push(Action::Run(Command::LabelSheet));
        }
    });
}

/// A Stop that stands, and a label that says something else than the printed one.
fn alarms(ui: &mut Ui, scene: &Scene<'_>, side: &SideLabel, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let [stops, _, _] = scene.here.evaluation.counts();
    if stops > 0 {
        let text = counted!(
            "A Stop stands: see the Findings view before anything is printed",
            "{stops} Stops stand: see the Findings view before anything is printed",
            stops
        );
        ui.horizontal_wrapped(|ui| {
            sign_label(ui, Sign::Stop, t.stop, RichText::new(text).color(t.stop));
            if ui.button(say!("Go to findings")).clicked() {
                actions.push(Action::Run(Command::ShowFindings));
            }
        });
    }
    match (&side.label.stale, side.label.printed) {
        (Some(stale), _) => {
            let head = say!(
                "The label has changed since it was printed on {day} for version {version}",
                day = scene.day_words(stale.date),
                version = stale.version
            );
            sign_label(ui, Sign::Warn, t.warn, RichText::new(head).font(fonts::strong(13.5)));
            for (part, then, now) in &stale.changed {
                let part = words::engine(part);
                let then = if then.is_empty() { say!("nothing") } else { then };
                let now = if now.is_empty() { say!("nothing") } else { now };
                muted(ui, &say!("{part}, then: {then}", part, then));
                ui.add(
                    Label::new(
                        RichText::new(say!("{part}, now: {now}", part, now)).font(fonts::small()),
                    )
                    .wrap(),
                );
            }
        }
        (None, Some(date)) => {
            let text = say!("As it was printed on {day}", day = scene.day_words(date));
            sign_label(ui, Sign::Fine, t.fine, RichText::new(text).color(t.muted));
        }
        (None, None) => {}
    }
    ui.add_space(6.0);
}

/// The label as a card: what the pack says, in its order.
fn pack(ui: &mut Ui, side: &SideLabel) {
    let t = Tokens::of(ui);
    let label = &side.label;
    let width = ui.available_width().min(620.0);
    ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::Min), |ui| {
        Frame::new()
            .fill(t.raised)
            .stroke(Stroke::new(1.0, t.edge))
            .corner_radius(6)
            .inner_margin(Margin::same(16))
            .show(ui, |ui| {
                ui.set_width(width - 34.0);
                ui.spacing_mut().item_spacing.y = 5.0;
                ui.add(Label::new(RichText::new(&label.name).font(fonts::strong(19.0))).wrap());
                ui.add(Label::new(&label.function).wrap());
                if !label.directions.is_empty() {
                    ui.add(Label::new(&label.directions).wrap());
                }
                for caution in &label.cautions {
                    ui.add(Label::new(&caution.text).wrap());
                }
                ui.add(Label::new(label.list.text()).wrap());
                ui.horizontal_wrapped(|ui| {
                    ui.spacing_mut().item_spacing.x = 18.0;
                    let net = label.net.as_deref().unwrap_or(say!("net content not stated"));
                    ui.label(RichText::new(net).font(fonts::strong(14.5)));
                    if let Some(date) = &label.best_before {
                        ui.label(date);
                    }
                    if let Some(months) = &label.after_opening {
                        ui.label(say!("open jar {months}", months));
                    }
                    if let Ok(code) = &label.code {
                        ui.label(say!("Lot {code}", code));
                    }
                });
                let who = label
                    .responsible
                    .as_deref()
                    .unwrap_or(say!("name and address of who answers for it"));
                let color = if label.responsible.is_some() { t.ink } else { t.muted };
                ui.add(Label::new(RichText::new(who).color(color)).wrap());
                if let Some(origin) = &label.origin {
                    ui.label(say!("Made in {origin}", origin));
                }
            });
    });
}

/// Cautions with where they come from.
fn cautions(ui: &mut Ui, side: &SideLabel) {
    title(ui, say!("Cautions"), say!("why each stands on the pack"));
    if side.label.cautions.is_empty() {
        muted(ui, say!("None follows from the rules that were run"));
    }
    for caution in &side.label.cautions {
        ui.add(Label::new(&caution.text).wrap());
        muted(ui, &format!("   {}", words::engine(&caution.source)));
    }
}

/// What is missing, too small, or as it is asked for.
fn remarks(ui: &mut Ui, side: &SideLabel) {
    let t = Tokens::of(ui);
    title(ui, say!("Looked at"), say!("what is missing comes first"));
    for remark in &side.label.remarks {
        let (sign, color) = match remark.look {
            Look::Short => (Sign::Warn, t.warn),
            Look::Know => (Sign::Note, t.note),
            Look::Reaches => (Sign::Fine, t.fine),
        };
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), egui::Sense::hover());
            crate::look::icons::sign(ui.painter(), rect.center(), sign, color);
            ui.add(Label::new(words::engine(&remark.text)).wrap());
        });
    }
    if !side.label.particulars.is_empty() {
        muted(
            ui,
            &say!(
                "Asked for on the pack: {particulars}",
                particulars = side.label.particulars.join("; ")
            ),
        );
    }
}

/// What was checked, and what was not.
fn checked(ui: &mut Ui, scene: &Scene<'_>, side: &SideLabel) {
    title(ui, say!("Checked against"), "");
    muted(ui, &format!("{}: {}", side.label.market_name, words::engine(&side.label.edition)));
    ui.add_space(4.0);
    title(ui, say!("Not checked"), "");
    for line in &side.label.not_checked {
        ui.add(Label::new(format!("– {line}")).wrap());
    }
    let accepted: Vec<_> =
        scene.here.evaluation.findings.iter().filter(|f| f.accepted.is_some()).collect();
    if !accepted.is_empty() {
        ui.add_space(4.0);
        title(ui, say!("Accepted warnings"), say!("printed on the sheet with their reasons"));
        for finding in accepted {
            let reason = finding.accepted.as_ref().map_or("", |a| a.reason.as_str());
            let text = format!("{}: {reason}", words::of_finding(finding, scene.style()).title);
            ui.add(Label::new(text).wrap());
        }
    }
    ui.add_space(4.0);
    muted(ui, say!("Local rules and a qualified assessor decide before sale"));
}

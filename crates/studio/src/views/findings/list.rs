//! The findings, one after the other.

use egui::{
    Button, Checkbox, ComboBox, Label, RichText, Role, Sense, Stroke, Ui, WidgetInfo, vec2,
};
use quern_calc::findings::{Finding, RuleKind, Severity, Where};
use quern_calc::formula::phase_letter;

use super::{muted, opener, rule, seen, steps};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::safety::{AcceptDraft, SafetyAction};
use crate::app::state::Dialog;
use crate::look::icons::{self, Sign};
use crate::look::{Tokens, fonts};
use crate::views::figures::sign_of;
use crate::widgets::choice;
use crate::words;

/// Filters, list, and what was checked.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    filters(ui, scene, actions);
    let state = &scene.ui.findings;
    let e = &scene.here.evaluation;
    let shown: Vec<&Finding> = e
        .findings
        .iter()
        .filter(|f| match &f.accepted {
            Some(_) => !state.hide_accepted,
            None => !state.hidden.contains(&f.severity()),
        })
        .filter(|f| state.kind.is_none_or(|k| k == f.kind()))
        .collect();
    if e.findings.is_empty() {
        let t = Tokens::of(ui);
        ui.add_space(8.0);
        let text = RichText::new(say!("Nothing found by the rules that were run"));
        crate::widgets::sign_label(ui, Sign::Fine, t.fine, text);
    } else if shown.is_empty() {
        ui.add_space(8.0);
        muted(ui, say!("All findings are hidden by the filters above"));
    }
    // What stands comes before what was accepted.
    let (accepted, standing): (Vec<&Finding>, Vec<&Finding>) =
        shown.into_iter().partition(|f| f.accepted.is_some());
    for finding in standing.into_iter().chain(accepted) {
        one(ui, scene, finding, actions);
    }
    rule(ui);
    ran(ui, scene);
}

/// Which rules were run, and that this is no verdict.
fn ran(ui: &mut Ui, scene: &Scene<'_>) {
    for line in scene.here.evaluation.safety.checked_against() {
        muted(ui, &words::engine(line));
    }
    muted(
        ui,
        say!(
            "This lists what was checked and what was found. Whether a product may be sold is for local rules and a qualified assessor"
        ),
    );
}

fn filters(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let state = &scene.ui.findings;
    let e = &scene.here.evaluation;
    let [stops, warns, notes] = e.counts();
    ui.horizontal_wrapped(|ui| {
        for (severity, count) in
            [(Severity::Stop, stops), (Severity::Warn, warns), (Severity::Note, notes)]
        {
            let mut on = !state.hidden.contains(&severity);
            let name = format!("{} {}", words::text(severity.plural()), count);
            if ui.add(Checkbox::new(&mut on, name)).changed() {
                actions.push(Action::Safety(SafetyAction::Show(severity, on)));
            }
        }
        let accepted = e.findings.iter().filter(|f| f.accepted.is_some()).count();
        let mut on = !state.hide_accepted;
        if ui.add(Checkbox::new(&mut on, say!("Accepted {accepted}", accepted))).changed() {
            actions.push(Action::Safety(SafetyAction::ShowAccepted(on)));
        }
        let shown = state.kind.map_or(say!("all kinds"), |k| words::text(k.name()));
        ComboBox::from_id_salt("findings-kind")
            .selected_text(shown)
            .width(120.0)
            .show_ui(ui, |ui| {
                let kinds = std::iter::once(None).chain(RuleKind::ALL.map(Some));
                for kind in kinds {
                    let name = kind.map_or(say!("all kinds"), |k| words::text(k.name()));
                    if choice(ui, state.kind == kind, name).clicked() {
                        actions.push(Action::Safety(SafetyAction::Kind(kind)));
                        ui.close();
                    }
                }
            })
            .response
            .accessible_name(say!("Kind of rule: {shown}", shown))
            .on_hover_text(say!("Law, a supplier's limit, practice, a house guide, arithmetic, or what could not be checked"));
    });
}

/// Name of the place in words.
fn place_words(scene: &Scene<'_>, finding: &Finding) -> String {
    let formula = scene.formula();
    match finding.place {
        Where::Formula => say!("whole formula").to_owned(),
        Where::Batch => say!("batch").to_owned(),
        Where::Phase(id) => formula
            .phases
            .iter()
            .position(|p| p.id == id)
            .map_or(String::new(), |i| say!("phase {letter}", letter = phase_letter(i))),
        Where::Line(id) => scene.here.evaluation.line(id).map_or(String::new(), |l| l.name.clone()),
    }
}

fn one(ui: &mut Ui, scene: &Scene<'_>, finding: &Finding, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let words = words::of_finding(finding, style);
    let key = finding.key();
    let (sign, color) = match finding.accepted {
        Some(_) => (Sign::Fine, t.muted),
        None => sign_of(t, finding.severity()),
    };
    rule(ui);
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(16.0, 20.0), Sense::hover());
        icons::sign(ui.painter(), rect.center(), sign, color);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            let said = match finding.accepted {
                Some(_) => say!("accepted"),
                None => words::text(finding.severity().name()),
            };
            let title = RichText::new(&words.title).font(fonts::strong(13.5)).color(t.ink);
            ui.add(Label::new(title).wrap()).accessible_name(format!(
                "{said}, {}: {}",
                words::text(finding.kind().name()),
                words.title
            ));
            ui.horizontal_wrapped(|ui| {
                kind_mark(ui, finding.kind());
                ui.label(RichText::new(said).font(fonts::small()).color(color));
                go_to(ui, scene, finding, &words.title, actions);
                if let (Some(figure), Some(limit)) = (finding.figure(), finding.limit()) {
                    let text = say!(
                        "{figure} against {limit}",
                        figure = words::engine(figure.words(style)),
                        limit = words::engine(limit.words(style))
                    );
                    ui.label(RichText::new(text).font(fonts::small()).color(t.muted));
                }
            });
            muted(ui, &words.why);
            super::text(ui, &words.fix);
            muted(ui, &say!("Source: {source}", source = words.source));
            if let Some(accepted) = &finding.accepted {
                let on = accepted
                    .date
                    .map_or(String::new(), |d| say!(" on {day}", day = scene.day_words(d)));
                super::text(ui, &say!("Accepted{on}: {reason}", on, reason = accepted.reason));
            }
            let arithmetic = finding.steps(style);
            let fixes = finding.fixes();
            let asks = !fixes.is_empty()
                || !arithmetic.is_empty()
                || finding.accepted.is_some()
                || finding.severity() != Severity::Stop;
            let mut open = false;
            if asks {
                ui.add_space(1.0);
                ui.horizontal_wrapped(|ui| {
                    for fix in fixes {
                        let name = words::engine(fix.words(style));
                        let button = ui
                            .add(Button::new(RichText::new(name.as_ref()).font(fonts::small())))
                            .accessible_name(format!("{name}: {}", words.title));
                        if seen(button).clicked() {
                            actions.push(Action::Safety(SafetyAction::Fix(fix)));
                        }
                    }
                    accept(ui, finding, &key, &words.title, actions);
                    if !arithmetic.is_empty() {
                        open = opener(ui, scene, &key, &words.title, actions);
                    }
                });
            }
            if open {
                steps(ui, &arithmetic);
            }
        });
    });
}

/// Goes to the line or phase; said in words for what concerns the whole.
fn go_to(
    ui: &mut Ui,
    scene: &Scene<'_>,
    finding: &Finding,
    title: &str,
    actions: &mut Vec<Action>,
) {
    let place = place_words(scene, finding);
    if place.is_empty() {
        return;
    }
    let action = match finding.place {
        Where::Line(line) => Action::GoToLine(line),
        Where::Phase(phase) => {
            Action::Safety(SafetyAction::Fix(quern_calc::findings::Fix::Phase(phase)))
        }
        _ => {
            let t = Tokens::of(ui);
            ui.label(RichText::new(place).font(fonts::small()).color(t.muted));
            return;
        }
    };
    let response = ui
        .add(egui::Link::new(RichText::new(&place).font(fonts::small())))
        .accessible_name(say!("Go to {place}: {title}", place, title));
    if seen(response).clicked() {
        actions.push(action);
    }
}

/// Accepting a warning, and taking it back.
fn accept(ui: &mut Ui, finding: &Finding, key: &str, title: &str, actions: &mut Vec<Action>) {
    let small = |text: &str| RichText::new(text.to_owned()).font(fonts::small());
    if finding.accepted.is_some() {
        let button =
            ui.button(small(say!("Take back"))).accessible_name(say!("Take back: {title}", title));
        if seen(button).clicked() {
            actions.push(Action::Safety(SafetyAction::TakeBack(key.to_owned(), finding.said())));
        }
    } else if finding.severity() != Severity::Stop {
        let button =
            ui.button(small(say!("Accept…"))).accessible_name(say!("Accept: {title}", title)).on_hover_text(
                say!("Keep it as it is, with a written reason that is kept in the file and printed on the label sheet"),
            );
        if seen(button).clicked() {
            let draft = AcceptDraft {
                key: key.to_owned(),
                said: finding.said(),
                reason: String::new(),
                error: None,
            };
            actions.push(Action::Open(Box::new(Dialog::Accept(draft))));
        }
    }
}

/// Whose rule it is: law solid, a supplier's limit in double, all else in outline, each in words.
fn kind_mark(ui: &mut Ui, kind: RuleKind) {
    let t = Tokens::of(ui);
    let (fill, ink, edge) = match kind {
        RuleKind::Law => (t.ink, t.paper, t.ink),
        RuleKind::Supplier => (t.row, t.ink, t.accent),
        RuleKind::House => (t.paper, t.accent, t.accent),
        RuleKind::Practice | RuleKind::Arithmetic => (t.paper, t.muted, t.edge),
        RuleKind::Unchecked => (t.paper, t.note, t.note),
    };
    // Lower than a button, for it is none.
    let galley =
        ui.painter().layout_no_wrap(words::text(kind.name()).to_owned(), fonts::small(), ink);
    let (rect, response) = ui.allocate_exact_size(galley.size() + vec2(14.0, 3.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words::text(kind.name())));
    let round = if kind == RuleKind::Law { 2.0 } else { rect.height() / 2.0 };
    let stroke = Stroke::new(1.0, edge);
    ui.painter().rect(rect, round, fill, stroke, egui::StrokeKind::Inside);
    ui.painter().galley(rect.center() - galley.size() / 2.0, galley, ink);
}

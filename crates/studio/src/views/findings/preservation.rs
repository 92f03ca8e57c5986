//! Preservation as an assessment: what to do, each preservative, the curve of its acid, what is
//! reached, and the low-risk criteria.

use egui::{Align2, Label, Rect, RichText, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};
use quern_calc::number::{format_f64, format_plain};
use quern_calc::safety::keeping::{
    CURVE_FROM, CURVE_TO, Counts, CriterionFigure, Keeping, MICROBES, Need, System,
};
use quern_calc::safety::preservation::Reach;

use super::{muted, rule, section, text};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::safety::SafetyAction;
use crate::look::icons::Sign;
use crate::look::{Tokens, fonts};
use crate::widgets::plot::{Axes, small};
use crate::widgets::sign_label;
use crate::widgets::table::{Cell, whole_row};
use crate::words;

/// Draws the part.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let keeping = &scene.here.evaluation.safety.keeping;
    advice(ui, scene, keeping);
    section(
        ui,
        say!("Preservatives"),
        say!("over all sources, as they stand at the pH of the product"),
    );
    if keeping.systems.is_empty() {
        muted(ui, say!("None in the formula"));
    }
    for system in &keeping.systems {
        one(ui, scene, system);
    }
    reached(ui, keeping);
    curves(ui, scene, keeping, actions);
    criteria(ui, scene, keeping);
}

/// What the product asks, and what to do about it.
fn advice(ui: &mut Ui, scene: &Scene<'_>, keeping: &Keeping) {
    let style = scene.style();
    section(ui, say!("Assessment"), say!("what it asks, and what to do"));
    for line in keeping.advice(style) {
        text(ui, &words::engine(line));
    }
    if !keeping.food.is_empty() && keeping.need != Need::Dry {
        muted(ui, &say!("Feeds microbes once it is wet: {food}", food = keeping.food.join(", ")));
    }
    muted(
        ui,
        say!(
            "An assessment on paper takes no test's place: a challenge test and a qualified assessor decide"
        ),
    );
}

fn one(ui: &mut Ui, scene: &Scene<'_>, system: &System) {
    let t = Tokens::of(ui);
    let style = scene.style();
    rule(ui);
    let (sign, color) = match system.counts {
        Counts::Yes => (Sign::Fine, t.fine),
        Counts::Helps => (Sign::Note, t.note),
        Counts::Weakly | Counts::PhUnknown => (Sign::Warn, t.warn),
        Counts::Idle => (Sign::Stop, t.stop),
    };
    let percent = format_plain(quern_calc::quantity::derived(system.percent.0).normalize(), style);
    let head = format!("{} {percent} %: {}", system.inci, words::text(system.counts.name()));
    sign_label(ui, sign, color, RichText::new(head).font(fonts::strong(13.5)));
    for line in system.words(style) {
        muted(ui, &words::engine(line));
    }
    if !system.note.is_empty() {
        muted(ui, &system.note);
    }
    muted(ui, &say!("Source: {source}", source = words::engine(&system.source)));
}

/// What those that count reach together.
fn reached(ui: &mut Ui, keeping: &Keeping) {
    let t = Tokens::of(ui);
    section(ui, say!("Reach"), say!("the best of those that count at this pH and amount"));
    ui.horizontal_wrapped(|ui| {
        for (name, reach) in MICROBES.into_iter().zip(keeping.coverage) {
            let (sign, color) = match reach {
                Reach::Good => (Sign::Fine, t.fine),
                Reach::Weak => (Sign::Warn, t.warn),
                Reach::None => (Sign::Stop, t.stop),
            };
            let calm = keeping.need == Need::Dry;
            let color = if calm { t.muted } else { color };
            sign_label(
                ui,
                sign,
                color,
                RichText::new(format!("{}: {}", words::text(name), words::text(reach.name()))),
            );
            ui.add_space(14.0);
        }
    });
    if keeping.coverage_open {
        muted(
            ui,
            say!("A blend keeps its make-up to itself, so this is the least that is reached"),
        );
    }
    muted(ui, &say!("Source: {edition}", edition = words::engine(&keeping.edition)));
}

/// Dashes of the curves, so that colour is not the only sign.
const DASHES: [(f32, f32); 4] = [(0.0, 0.0), (9.0, 4.0), (3.0, 3.0), (12.0, 3.0)];

/// Undissociated share against pH, with the pH of the product.
fn curves(ui: &mut Ui, scene: &Scene<'_>, keeping: &Keeping, actions: &mut Vec<Action>) {
    let acids: Vec<&System> = keeping.systems.iter().filter(|s| s.acid.is_some()).collect();
    if acids.is_empty() {
        return;
    }
    let style = scene.style();
    section(
        ui,
        say!("Undissociated acid"),
        say!("% of the acid that is not split, which is the part that works, against pH at 25 °C"),
    );
    let as_table = scene.ui.findings.as_table;
    let name = if as_table { say!("As chart") } else { say!("As table") };
    if ui.button(name).on_hover_text(say!("The curves as a chart or as a table")).clicked() {
        actions.push(Action::Safety(SafetyAction::AsTable(!as_table)));
    }
    if as_table {
        return table(ui, scene, &acids);
    }
    let t = Tokens::of(ui);
    let width = ui.available_width().min(760.0);
    let (area, response) = ui.allocate_exact_size(vec2(width, 240.0), Sense::hover());
    let axes = Axes {
        rect: Rect::from_min_max(area.min + vec2(44.0, 10.0), area.max - vec2(16.0, 28.0)),
        x: (CURVE_FROM, CURVE_TO),
        y: (0.0, 1.0),
    };
    let share = |i: u8| f64::from(i) / 4.0;
    let y: Vec<(f64, String)> = ["0", "25", "50", "75", "100 %"]
        .into_iter()
        .zip(0_u8..)
        .map(|(w, i)| (share(i), w.to_owned()))
        .collect();
    axes.rule_y(ui, &y);
    let x: Vec<(f64, String)> = (3..=8_u8).map(|p| (f64::from(p), format!("pH {p}"))).collect();
    axes.rule_x(ui, &x);
    let painter = ui.painter();
    for (i, system) in acids.iter().enumerate() {
        let Some(acid) = &system.acid else { continue };
        let points = axes.line(acid.curve().into_iter());
        let stroke = Stroke::new(2.2, t.side(i));
        let (dash, gap) = DASHES.get(i % DASHES.len()).copied().unwrap_or((0.0, 0.0));
        if dash > 0.0 {
            painter.extend(Shape::dashed_line(&points, stroke, dash, gap));
        } else {
            painter.add(Shape::line(points, stroke));
        }
        // Named where it has fallen to half, which is its pKa.
        let at = axes.at((acid.pka.clamp(CURVE_FROM, CURVE_TO), 0.5));
        let name = super::super::setting::letter(i);
        let place = at + vec2(8.0, -8.0);
        small(painter, place, Align2::LEFT_BOTTOM, &name, t.side(i));
    }
    if let Some((ph, measured)) = keeping.ph
        && (CURVE_FROM..=CURVE_TO).contains(&ph)
    {
        let at = axes.at_x(ph);
        let line = [pos2(at, axes.rect.top()), pos2(at, axes.rect.bottom())];
        painter.extend(Shape::dashed_line(&line, Stroke::new(1.6, t.ink), 5.0, 3.0));
        let word = if measured { say!("measured") } else { say!("target") };
        let label = format!("{word} {}", format_f64(ph, 2, style));
        let align = if ph > 7.0 { Align2::RIGHT_TOP } else { Align2::LEFT_TOP };
        let shift = if ph > 7.0 { -4.0 } else { 4.0 };
        small(painter, pos2(at + shift, axes.rect.top()), align, &label, t.ink);
    }
    let mut said = Vec::new();
    for (i, system) in acids.iter().enumerate() {
        let Some(acid) = &system.acid else { continue };
        let letter = super::super::setting::letter(i);
        said.push(say!(
            "{letter}: {acid} (pKa {pka})",
            letter,
            acid = acid.name,
            pka = format_f64(acid.pka, 2, style)
        ));
    }
    let said = said.join("; ");
    response.widget_info(|| {
        WidgetInfo::labeled(
            egui::Role::Image,
            true,
            say!("Undissociated acid over pH: {said}", said),
        )
    });
    muted(ui, &said);
    if keeping.ph.is_none() {
        muted(
            ui,
            say!(
                "The pH of the product is not stated, so it is not marked: enter it in the formula details"
            ),
        );
    }
}

fn table(ui: &mut Ui, scene: &Scene<'_>, acids: &[&System]) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let names: Vec<&str> =
        acids.iter().filter_map(|s| s.acid.as_ref()).map(|a| a.name.as_str()).collect();
    let cell = |text: String, color| Cell { text, font: fonts::text(), color };
    let heads: Vec<Cell> = names.iter().map(|n| cell((*n).to_owned(), t.muted)).collect();
    whole_row(ui, "pH", &heads, 120.0);
    let rows: Vec<Vec<(f64, f64)>> =
        acids.iter().filter_map(|s| s.acid.as_ref()).map(|a| a.curve()).collect();
    let Some(first) = rows.first() else { return };
    for (i, (ph, _)) in first.iter().enumerate().step_by(5) {
        let cells: Vec<Cell> = rows
            .iter()
            .map(|r| {
                let share = r.get(i).map(|p| quern_calc::safety::keeping::share_percent(p.1));
                cell(
                    share.map_or(String::new(), |s| format!("{} %", format_f64(s, 1, style))),
                    t.ink,
                )
            })
            .collect();
        whole_row(ui, &format_f64(*ph, 1, style), &cells, 120.0);
    }
}

/// Low-risk criteria.
fn criteria(ui: &mut Ui, scene: &Scene<'_>, keeping: &Keeping) {
    let t = Tokens::of(ui);
    let style = scene.style();
    section(
        ui,
        say!("Low-risk criteria"),
        say!("ISO 29621:2017 as summed up by a test laboratory; the standard was not read"),
    );
    for criterion in &keeping.criteria {
        let (sign, color, word) = match criterion.met {
            Some(true) => (Sign::Fine, t.fine, say!("met")),
            Some(false) => (Sign::Note, t.muted, say!("not met")),
            None => (Sign::Note, t.note, say!("cannot be said")),
        };
        let figure = match &criterion.figure {
            CriterionFigure::Ph(None) => say!("pH not stated").to_owned(),
            CriterionFigure::Ph(Some((ph, measured))) => {
                let word = if *measured { say!("measured") } else { say!("target") };
                format!("{word} {}", format_f64(*ph, 2, style))
            }
            CriterionFigure::Percent(p) => {
                format!("{} %", format_plain(quern_calc::quantity::derived(p.0).normalize(), style))
            }
            CriterionFigure::Celsius(Some(c)) => {
                say!(
                    "made at {c} °C; how hot it is filled is not recorded",
                    c = format_f64(*c, 0, style)
                )
            }
            CriterionFigure::Celsius(None) => say!("no temperature").to_owned(),
            CriterionFigure::Activity(Some(aw)) => {
                say!("estimate {aw}", aw = format_f64(*aw, 2, style))
            }
            CriterionFigure::Activity(None) => {
                say!("no free water to speak of, or not known").to_owned()
            }
        };
        let line = format!("{}: {word} ({figure})", words::text(criterion.name));
        sign_label(ui, sign, color, RichText::new(line));
    }
    ui.add(
        Label::new(
            RichText::new(say!(
                "Meeting one may spare a challenge test, never the safety assessment"
            ))
            .font(fonts::small())
            .color(t.muted),
        )
        .wrap(),
    );
}

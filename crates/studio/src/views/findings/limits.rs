//! Every limit that was checked, market by market, met or not.

use egui::{Label, RichText, Sense, Ui, vec2};
use quern_calc::evaluate::MarketFigures;
use quern_calc::findings::Quantity;
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Percent;
use quern_calc::safety::limits::{LimitCheck, Verdict};

use super::{muted, opener, rule, section, steps};
use crate::app::Scene;
use crate::app::action::Action;
use crate::look::icons::{self, Sign};
use crate::look::{Tokens, fonts};
use crate::words;

/// Draws the part.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let safety = &scene.here.evaluation.safety;
    if safety.markets.is_empty() {
        muted(ui, say!("A premix is judged in the formula where it is used"));
    }
    for market in &safety.markets {
        one_market(ui, scene, market, actions);
    }
    muted(
        ui,
        say!(
            "Limits not listed here name nothing that is in the formula. A substance without a limit may still be prohibited: see what was not checked"
        ),
    );
}

fn one_market(ui: &mut Ui, scene: &Scene<'_>, market: &MarketFigures, actions: &mut Vec<Action>) {
    section(ui, &market.name, &words::engine(&market.edition));
    if market.checks.limits.is_empty() {
        muted(ui, say!("No limit of these rules names anything in the formula"));
    }
    for (i, check) in market.checks.limits.iter().enumerate() {
        limit(ui, scene, market, i, check, actions);
    }
    let conditions: Vec<_> = market.checks.statements.iter().collect();
    if !conditions.is_empty() {
        section(
            ui,
            say!("Comes with it"),
            say!("conditions for the product file, and words for the pack"),
        );
        for s in conditions {
            let place = if s.label { say!("on the pack") } else { say!("for the file") };
            super::text(ui, &s.text);
            muted(
                ui,
                &format!("{place}; {}; {}", s.reference, words::engine(s.about.provenance())),
            );
        }
    }
    for p in &market.checks.pending {
        section(ui, say!("Coming"), "");
        super::text(ui, &p.text);
        let from = p.from.map_or(say!("no day is set").to_owned(), |d| {
            say!("from {day}", day = scene.day_words(d))
        });
        muted(ui, &format!("{from}; {}", words::engine(p.about.provenance())));
    }
    ui.add_space(10.0);
}

fn pct(p: Percent, style: NumberStyle) -> String {
    Quantity::Percent(p).words(style)
}

/// What came of it, in words.
fn verdict(check: &LimitCheck, style: NumberStyle) -> String {
    let amount = pct(check.amount, style);
    let cap = check.cap.map_or(say!("no maximum").to_owned(), |c| {
        let edge = if check.at_or_above { say!("less than") } else { say!("at most") };
        format!("{edge} {}", pct(c, style))
    });
    match check.verdict {
        Verdict::NoMaximum => say!("{amount}, no maximum for this product", amount),
        Verdict::Within => say!("{amount} of {cap}", amount, cap),
        Verdict::AtMost => {
            let most = check.most.map_or(String::new(), |m| pct(m, style));
            say!("up to {most} of {cap}; a share is not stated", most, cap)
        }
        Verdict::Above => say!("{amount}, above: {cap}", amount, cap),
        Verdict::NotAllowed => say!("{amount}, not allowed in this product", amount),
        Verdict::Undecided => say!("{amount} and an unknown share of {cap}", amount, cap),
    }
}

fn limit(
    ui: &mut Ui,
    scene: &Scene<'_>,
    market: &MarketFigures,
    i: usize,
    check: &LimitCheck,
    actions: &mut Vec<Action>,
) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let (sign, color) = match check.verdict {
        Verdict::Above | Verdict::NotAllowed => (Sign::Stop, t.stop),
        Verdict::Undecided => (Sign::Warn, t.warn),
        Verdict::AtMost | Verdict::NoMaximum => (Sign::Note, t.note),
        Verdict::Within => (Sign::Fine, t.fine),
    };
    rule(ui);
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(16.0, 20.0), Sense::hover());
        icons::sign(ui.painter(), rect.center(), sign, color);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            let name = check.counted_name();
            let head = format!("{name}: {}", verdict(check, style));
            ui.add(Label::new(RichText::new(&head).font(fonts::strong(13.5))).wrap());
            bar(ui, check);
            muted(ui, &format!("{}, {}: {}", market.name, check.reference, check.title));
            for s in &check.sources {
                let text =
                    say!("{name} brings {counted}", name = s.name, counted = pct(s.counted, style));
                let link = egui::Link::new(RichText::new(&text).font(fonts::small()));
                let response = ui.add(link).accessible_name(say!(
                    "Go to {source}: {name}",
                    source = s.name,
                    name
                ));
                if super::seen(response).clicked() {
                    actions.push(Action::GoToLine(s.line));
                }
            }
            for u in &check.unknown {
                let most = u
                    .bound
                    .map_or(String::new(), |b| say!(", at most {share}", share = pct(b, style)));
                muted(
                    ui,
                    &say!("{name} brings a share that is not stated{most}", name = u.name, most),
                );
            }
            muted(ui, &say!("Source: {about}", about = words::engine(check.about.provenance())));
            let key = format!("limit {} {i}", market.code);
            if opener(ui, scene, &key, name, actions) {
                steps(ui, &check.steps(style));
            }
        });
    });
}

/// How much of the limit is used.
fn bar(ui: &mut Ui, check: &LimitCheck) {
    let Some(part) = check.used() else { return };
    let t = Tokens::of(ui);
    let (rect, _) =
        ui.allocate_exact_size(vec2(ui.available_width().min(320.0), 8.0), Sense::hover());
    let track = rect.shrink2(vec2(0.0, 1.5));
    ui.painter().rect_filled(track, 2.0, t.hairline);
    let color = if check.over() { t.stop } else { t.accent };
    let end = crate::widgets::plot::px(part.clamp(0.0, 1.0)) * track.width();
    let filled = egui::Rect::from_min_size(track.min, vec2(end, track.height()));
    ui.painter().rect_filled(filled, 2.0, color);
}

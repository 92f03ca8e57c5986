//! Fragrance allergens summed over all sources, against the thresholds of the market.

use egui::{Label, RichText, Sense, Ui, vec2};
use quern_calc::evaluate::MarketFigures;
use quern_calc::findings::{Fix, Quantity};
use quern_calc::quantity::Percent;
use quern_calc::safety::allergens::{AllergenChecks, AllergenFrom, AllergenSum};
use quern_calc::safety::market::Regime;

use super::{muted, rule, section};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::safety::SafetyAction;
use crate::look::icons::{self, Sign};
use crate::look::{Tokens, fonts};
use crate::words;

/// Draws the part.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let safety = &scene.here.evaluation.safety;
    for market in &safety.markets {
        match &market.allergens {
            Some(checks) => one_market(ui, scene, market, checks, actions),
            None => {
                section(ui, &market.name, &words::engine(&market.edition));
                muted(
                    ui,
                    say!(
                        "The rules of this market, as held here, have no list of fragrance allergens"
                    ),
                );
            }
        }
    }
    if safety.markets.is_empty() {
        muted(ui, say!("A premix is judged in the formula where it is used"));
    }
}

fn pct(p: Percent, scene: &Scene<'_>) -> String {
    Quantity::Percent(p).words(scene.style())
}

fn one_market(
    ui: &mut Ui,
    scene: &Scene<'_>,
    market: &MarketFigures,
    checks: &AllergenChecks,
    actions: &mut Vec<Action>,
) {
    section(ui, &market.name, &words::engine(&market.edition));
    let contact = words::text(scene.formula().product.contact.name());
    if let Some(first) = checks.sums.first() {
        let text = say!(
            "Named above {threshold} in {contact} products; an amount that equals it is not",
            threshold = pct(first.threshold, scene),
            contact
        );
        muted(ui, &text);
    }
    match checks.new_free_until {
        Some(day) => muted(
            ui,
            &say!(
                "Those of the new list are asked for in this product after {day}",
                day = words::engine(day.words())
            ),
        ),
        None => muted(ui, say!("The whole list counts, old and new")),
    }
    if checks.sums.is_empty() {
        muted(ui, say!("None of the list is stated for anything in the formula"));
    }
    for sum in &checks.sums {
        one(ui, scene, sum, actions);
    }
    for unknown in &checks.unknown {
        rule(ui);
        let t = Tokens::of(ui);
        let text = if unknown.without_amount.is_empty() {
            say!(
                "{unknown} ({percent}) states no allergens",
                unknown = unknown.name,
                percent = pct(unknown.percent, scene)
            )
        } else {
            say!(
                "{unknown} states no amount for {without_amount}",
                unknown = unknown.name,
                without_amount = unknown.without_amount.join(", ")
            )
        };
        crate::widgets::sign_label(ui, Sign::Note, t.note, RichText::new(text));
        let button = ui
            .button(RichText::new(say!("Supplier's figures…")).font(fonts::small()))
            .accessible_name(say!("Supplier's figures of {unknown}", unknown = unknown.name));
        if super::seen(button).clicked() {
            let fix = Fix::Certificate { material: unknown.material.clone() };
            actions.push(Action::Safety(SafetyAction::Fix(fix)));
        }
    }
}

fn one(ui: &mut Ui, scene: &Scene<'_>, sum: &AllergenSum, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let (sign, color, word) = match (sum.over, sum.required_now) {
        (true, true) => (Sign::Warn, t.accent, say!("named on the label")),
        (true, false) => (Sign::Note, t.note, say!("will have to be named")),
        (false, _) => (Sign::Fine, t.muted, say!("not named")),
    };
    rule(ui);
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(16.0, 20.0), Sense::hover());
        icons::sign(ui.painter(), rect.center(), sign, color);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            let head = format!("{} {}: {word}", sum.label, pct(sum.amount, scene));
            ui.add(Label::new(RichText::new(head).font(fonts::strong(13.5))).wrap());
            let list = match sum.regime {
                Regime::Old => say!("old list"),
                Regime::New => say!("new list"),
            };
            muted(
                ui,
                &format!("{}, {list}; {}", sum.reference, words::engine(sum.about.provenance())),
            );
            for s in &sum.sources {
                let from = match s.from {
                    AllergenFrom::Declared if s.assumed => say!("upper end of the usual range"),
                    AllergenFrom::Declared => say!("declared by the supplier"),
                    AllergenFrom::Composition => say!("from its composition"),
                    AllergenFrom::Itself => say!("is the allergen"),
                    AllergenFrom::Group => say!("belongs to the group"),
                };
                let text = say!(
                    "{name} brings {percent}, {from}",
                    name = s.name,
                    percent = pct(s.percent, scene),
                    from
                );
                let link = egui::Link::new(RichText::new(&text).font(fonts::small()));
                let name = say!("Go to {name}: {label}", name = s.name, label = sum.label);
                if super::seen(ui.add(link).accessible_name(name)).clicked() {
                    actions.push(Action::GoToLine(s.line));
                }
            }
        });
    });
}

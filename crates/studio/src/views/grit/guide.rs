//! Guidance for face, body and feet, and the workshop's own scale.

use egui::{Align, Label, Layout, RichText, Sense, Ui, vec2};
use quern_calc::evaluate::{PlaceGuide, place_guides};
use quern_calc::grit::notes::SCORES;
use quern_calc::number::format_f64;
use rust_decimal::Decimal;

use super::muted;
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::grit::GritAction;
use crate::app::notices::Tone;
use crate::look::icons::{self, Sign};
use crate::look::{Tokens, fonts, size};
use crate::widgets::table::{row_of, title};
use crate::words;

/// Draws a column for each place.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let Ok(grains) = &scene.here.evaluation.grains else { return };
    let product = scene.formula().product;
    let rules = quern_project::rules::in_use();
    title(
        ui,
        &say!("Where {name} suits", name = scene.here.name),
        say!("guidance, not law and not a safety test"),
    );
    let guides = place_guides(grains, product.place, product.form, rules, scene.style());
    let columns = guides.len().max(1);
    let room = ui.available_width();
    let stacked = room < 180.0 * columns as f32;
    let width = if stacked { room } else { (room - 16.0 * (columns - 1) as f32) / columns as f32 };
    let layout =
        if stacked { Layout::top_down(Align::Min) } else { Layout::left_to_right(Align::Min) };
    ui.with_layout(layout, |ui| {
        for guide in &guides {
            ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::Min), |ui| {
                ui.set_width(width);
                place(ui, guide, guide.place == product.place);
            });
        }
    });
    ui.add_space(6.0);
    uses(ui, scene, actions);
}

fn place(ui: &mut Ui, guide: &PlaceGuide, own: bool) {
    let t = Tokens::of(ui);
    let mark = |within: bool, told: bool| match (within, told) {
        (false, _) => (Sign::Warn, t.warn),
        (true, true) => (Sign::Note, t.note),
        (true, false) => (Sign::Fine, t.fine),
    };
    let (sign, color) = mark(guide.within, !guide.guided);
    let name = if own {
        say!("on the {place}, this product", place = words::text(guide.place.name()))
    } else {
        say!("on the {place}", place = words::text(guide.place.name()))
    };
    let marked = |ui: &mut Ui, sign, color, text: RichText| {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            let (rect, _) = ui.allocate_exact_size(vec2(13.0, 16.0), Sense::hover());
            icons::sign(ui.painter(), rect.center(), sign, color);
            ui.add(Label::new(text).wrap());
        });
    };
    let head = RichText::new(name).font(fonts::strong(size::TEXT)).color(t.ink);
    ui.add(Label::new(head));
    marked(ui, sign, color, RichText::new(words::engine(&guide.verdict)).color(t.ink));
    for reason in &guide.reasons {
        let (sign, color) = mark(reason.within, reason.info);
        let text = RichText::new(words::engine(&reason.text)).font(fonts::small()).color(t.muted);
        marked(ui, sign, color, text);
    }
}

/// Grams of product in one use.
fn uses(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let place = scene.formula().product.place;
    let notes = &scene.project.grit;
    ui.horizontal_wrapped(|ui| {
        ui.label(say!("Product in one use, {place}", place = words::text(place.name())));
        let grams = notes.grams_per_use(place);
        let name = say!("Grams in one use, {place}", place = words::text(place.name()));
        let value = Some(grams.to_f64());
        match super::number(ui, scene, &name, value, 1, 64.0, "") {
            None => {}
            Some(None) => actions.push(Action::Grit(GritAction::Grams(place, None))),
            Some(Some(typed)) => match crate::dialogs::line_mass(typed) {
                Some(g) if g.0 > Decimal::ZERO && g.0 <= Decimal::ONE_THOUSAND => {
                    actions.push(Action::Grit(GritAction::Grams(place, Some(g))));
                }
                _ => {
                    let text = say!("One use is a mass above 0 and up to 1 kg, such as 5 g");
                    actions.push(Action::Say(Tone::Error, text.to_owned()));
                }
            },
        }
        let own = notes.own_grams(place).is_some();
        let text = if own {
            say!("g, your figure; empty the field for the usual one")
        } else {
            say!("g, the usual figure (assumption); type your own")
        };
        muted(ui, text);
    });
}

/// Scores of own bars, the scale through them, and what is left over.
pub fn own_scale(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let notes = &scene.project.grit;
    title(
        ui,
        say!("Your own scale"),
        say!("score made bars from 1, hardly felt, to 10, as rough as you would make"),
    );
    let id = scene.formula().id.clone();
    ui.horizontal_wrapped(|ui| {
        ui.label(say!("How rough {name} felt", name = scene.here.name));
        let now = notes.score(&id).map(|s| quern_calc::quantity::decimal_to_f64(s.score));
        match super::number(ui, scene, say!("Score of this bar, 1 to 10"), now, 1, 56.0, "–") {
            None => {}
            Some(None) => actions.push(Action::Grit(GritAction::Score(id, None))),
            Some(Some(typed)) => {
                let (low, high) = (Decimal::from(SCORES.0), Decimal::from(SCORES.1));
                if typed.unit.is_none() && (low..=high).contains(&typed.value) {
                    actions.push(Action::Grit(GritAction::Score(id, Some(typed.value))));
                } else {
                    let text = say!("A score is a number from 1 to 10");
                    actions.push(Action::Say(Tone::Error, text.to_owned()));
                }
            }
        }
        muted(ui, say!("kept with the index that the bar has now"));
    });
    let pairs: Vec<(f64, f64)> = notes
        .scores
        .iter()
        .map(|s| (s.index, quern_calc::quantity::decimal_to_f64(s.score)))
        .collect();
    if pairs.is_empty() {
        return;
    }
    let fit = notes.scale();
    let heads = [say!("index then"), say!("score"), say!("scale says"), say!("left over")]
        .map(|h| RichText::new(h).font(fonts::small()).color(t.muted));
    row_of(ui, RichText::new(""), &heads, 84.0, true);
    for (i, (s, (index, score))) in notes.scores.iter().zip(&pairs).enumerate() {
        let dash = || "–".to_owned();
        let says = fit.as_ref().map_or_else(|_| dash(), |f| format_f64(f.score(*index), 1, style));
        let left = fit.as_ref().ok().and_then(|f| f.residuals.get(i));
        let left = left.map_or_else(dash, |r| format_f64(*r, 1, style));
        let cells = [format_f64(*index, 0, style), format_f64(*score, 1, style), says, left];
        row_of(ui, RichText::new(&s.name), &cells.map(RichText::new), 84.0, false);
    }
    match fit {
        Err(why) => muted(ui, &words::told(why)),
        Ok(f) => {
            let mut text = match f.error {
                Some(e) => say!("Typical error {e} points", e = format_f64(e, 1, style)),
                None => say!("Two scores fix a line exactly; a third shows its error").to_owned(),
            };
            if f.contradicts() {
                text.push_str(say!("; your scores fall as the index rises, so the index does not describe these bars and the scale is not used"));
            } else if let Ok(g) = &scene.here.evaluation.grains {
                text.push_str(&say!(
                    "; {name} would be a {score}",
                    name = scene.here.name,
                    score = format_f64(f.score(g.grit.index), 1, style)
                ));
                if f.is_extended(g.grit.index) {
                    text.push_str(say!(", outside what was scored"));
                }
            }
            muted(ui, &text);
        }
    }
}

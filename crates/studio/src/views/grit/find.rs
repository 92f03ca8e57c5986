//! The search for a blend: what is wanted, what was found, what holds it back.

use egui::{Label, RichText, Sense, Ui, vec2};
use quern_calc::evaluate::{
    BlendAnswer, BlendAsk, BlendFound, left_out_words, limit_words, place_guides, reach_words,
    relaxed_words,
};
use quern_calc::formula::{Caution, Contact};
use quern_calc::grit::Stage;
use quern_calc::grit::solve::{Prefer, SizeLimit};
use quern_calc::number::{Typed, Unit, format_f64, format_fixed};
use quern_calc::quantity::decimal_to_f64;

use super::panel::heading;
use super::{muted, number};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::grit::{CANDIDATES_MAX, GritAction};
use crate::app::notices::Tone;
use crate::app::state::{Dialog, ExfoliantFor, PickFor, Search};
use crate::look::icons::{self, Sign};
use crate::look::{Tokens, fonts, size};
use crate::widgets::{choice, primary_button};
use crate::words;

/// A labelled field in a column of half the panel.
fn field<R>(ui: &mut Ui, label: &str, add: impl FnOnce(&mut Ui, f32) -> R) -> R {
    let t = Tokens::of(ui);
    let width = 148.0;
    ui.allocate_ui_with_layout(vec2(width, 48.0), egui::Layout::top_down(egui::Align::Min), |ui| {
        ui.set_width(width);
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.label(RichText::new(label).font(fonts::small()).color(t.muted));
        add(ui, width)
    })
    .inner
}

/// Draws the search.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("Find a blend"));
    if scene.formula().product.contact == Contact::LeaveOn {
        let name = &scene.here.name;
        wrong(ui, &say!("{name} stays on the skin; grains belong in what is rinsed off", name));
    }
    asked(ui, scene, actions);
    from(ui, scene, actions);
    ui.add_space(6.0);
    match scene.grit.found.as_deref() {
        None => muted(ui, say!("Looking for a blend")),
        Some(Err(error)) => wrong(ui, &words::told(error)),
        Some(Ok(answer)) if answer.found.is_empty() => nothing(ui, scene, answer),
        Some(Ok(answer)) => found(ui, scene, answer, actions),
    }
}

fn change(ask: &BlendAsk, actions: &mut Vec<Action>, edit: impl FnOnce(&mut BlendAsk)) {
    let mut next = ask.clone();
    edit(&mut next);
    actions.push(Action::Grit(GritAction::Ask(Box::new(next))));
}

/// A typed number within a range, or a word on why not.
fn within(
    typed: Option<Typed>,
    (low, high): (f64, f64),
    what: &str,
    actions: &mut Vec<Action>,
) -> Option<f64> {
    let Some(typed) = typed else {
        let text = say!("{what} is needed; undo the entry with Escape", what);
        actions.push(Action::Say(Tone::Error, text));
        return None;
    };
    let value = decimal_to_f64(typed.value);
    let unit_fits = matches!(typed.unit, None | Some(Unit::Percent));
    if unit_fits && (low..=high).contains(&value) {
        return Some(value);
    }
    let text = say!("{what} is a number from {low} to {high}", what, low, high);
    actions.push(Action::Say(Tone::Error, text));
    None
}

fn asked(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let ask = &scene.ui.grit.ask;
    ui.horizontal(|ui| {
        field(ui, say!("Grit wanted"), |ui, w| {
            if let Some(typed) =
                number(ui, scene, say!("Wanted grit index"), Some(ask.index), 0, w, "30")
                && let Some(x) = within(typed, (0.1, 400.0), say!("The grit wanted"), actions)
            {
                change(ask, actions, |a| a.index = x);
            }
        });
        field(ui, say!("Exfoliants at most, %"), |ui, w| {
            let name = say!("Exfoliants at most, percent");
            if let Some(typed) = number(ui, scene, name, Some(ask.total.1), 2, w, "6")
                && let Some(x) =
                    within(typed, (0.25, 100.0), say!("The most of exfoliants"), actions)
            {
                change(ask, actions, |a| {
                    a.total.1 = x;
                    a.total.0 = a.total.0.min(x);
                });
            }
        });
    });
    ui.horizontal(|ui| {
        field(ui, say!("Nothing above, µm"), |ui, w| {
            let now = ask.size.map(|s| s.um);
            match number(ui, scene, say!("Largest grain, µm"), now, 0, w, say!("no limit")) {
                None => {}
                Some(None) => change(ask, actions, |a| a.size = None),
                typed => {
                    let x =
                        within(typed.flatten(), (10.0, 5000.0), say!("The size limit"), actions);
                    if let Some(um) = x {
                        let percent = ask.size.map_or(1.0, |s| s.percent());
                        change(ask, actions, |a| {
                            a.size = Some(SizeLimit::with_percent(um, percent));
                        });
                    }
                }
            }
        });
        field(ui, say!("but for, % of each"), |ui, w| {
            let now = ask.size.map(|s| s.percent());
            if ask.size.is_none() {
                muted(ui, "–");
            } else if let Some(typed) = number(
                ui,
                scene,
                say!("Tolerance above, percent of each exfoliant"),
                now,
                1,
                w,
                "1",
            ) && let Some(x) = within(typed, (0.0, 50.0), say!("The tolerance"), actions)
            {
                change(ask, actions, |a| {
                    if let Some(s) = &mut a.size {
                        *s = SizeLimit::with_percent(s.um, x);
                    }
                });
            }
        });
    });
    ui.horizontal(|ui| {
        field(ui, say!("Kinds"), |ui, w| kinds(ui, ask, w, actions));
        field(ui, say!("Prefer"), |ui, w| {
            egui::ComboBox::from_id_salt("grit-prefer")
                .selected_text(words::text(ask.prefer.name()))
                .width(w - 8.0)
                .show_ui(ui, |ui| {
                    for p in Prefer::ALL {
                        let label = choice(ui, ask.prefer == p, words::text(p.name()));
                        if label.on_hover_text(words::text(p.about())).clicked() {
                            change(ask, actions, |a| a.prefer = p);
                        }
                    }
                })
                .response
                .accessible_name(say!("Prefer: {prefer}", prefer = words::text(ask.prefer.name())))
                .on_hover_text(words::text(ask.prefer.about()));
        });
    });
    let mut shells = !ask.without.contains(&Caution::Nut);
    if ui.checkbox(&mut shells, say!("Nut shells may be used")).changed() {
        change(ask, actions, |a| {
            a.without.retain(|c| *c != Caution::Nut);
            if !shells {
                a.without.push(Caution::Nut);
            }
        });
    }
    let dissolves =
        scene.here.evaluation.grains.as_ref().is_ok_and(|f| f.blend.iter().any(|g| g.dissolves()));
    if dissolves || ask.stage == Stage::InUse {
        let mut in_use = ask.stage == Stage::InUse;
        let about = say!("Count sugar and salt as they are after rubbing for half a minute");
        if ui
            .checkbox(&mut in_use, say!("Wanted in use, as grains dissolve"))
            .on_hover_text(about)
            .changed()
        {
            change(ask, actions, |a| {
                a.stage = if in_use { Stage::InUse } else { Stage::Dry };
            });
        }
    }
}

fn kinds(ui: &mut Ui, ask: &BlendAsk, width: f32, actions: &mut Vec<Action>) {
    const WAYS: [((usize, usize), &str); 6] = [
        ((1, 3), term!("one to three")),
        ((1, 1), term!("one")),
        ((2, 2), term!("two")),
        ((3, 3), term!("three")),
        ((2, 3), term!("two or three")),
        ((1, 2), term!("one or two")),
    ];
    let name = WAYS.iter().find(|w| w.0 == ask.kinds).map_or(say!("other"), |w| words::text(w.1));
    egui::ComboBox::from_id_salt("grit-kinds")
        .selected_text(name)
        .width(width - 8.0)
        .show_ui(ui, |ui| {
            for (way, name) in WAYS {
                if choice(ui, ask.kinds == way, words::text(name)).clicked() {
                    change(ask, actions, |a| a.kinds = way);
                }
            }
        })
        .response
        .accessible_name(say!("Kinds: {name}", name));
}

/// Which exfoliants may be used.
fn from(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let chosen = scene.grit.from.len();
    let head = say!("From {chosen} exfoliants", chosen);
    egui::CollapsingHeader::new(RichText::new(head).font(fonts::small()))
        .id_salt("grit-from")
        .show(ui, |ui| {
            for (id, name) in &scene.grit.offered {
                let mut on = scene.grit.from.iter().any(|(f, _)| f == id);
                if ui.checkbox(&mut on, RichText::new(name).font(fonts::small())).changed() {
                    actions.push(Action::Grit(GritAction::From(id.clone(), on)));
                }
            }
            let text = RichText::new(say!("+ From the library...")).font(fonts::small());
            let about =
                say!("Up to {candidates_max} are looked through", candidates_max = CANDIDATES_MAX);
            if ui.button(text).on_hover_text(about).clicked() {
                actions.push(Action::Open(Box::new(Dialog::Pick {
                    purpose: PickFor::Exfoliant(ExfoliantFor::From),
                    search: Search::default(),
                })));
            }
        });
}

fn wrong(ui: &mut Ui, text: &str) {
    let t = Tokens::of(ui);
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(13.0, 16.0), Sense::hover());
        icons::sign(ui.painter(), rect.center(), Sign::Warn, t.warn);
        ui.add(Label::new(text).wrap());
    });
}

/// Nothing has the index: what can be reached and what would help.
fn nothing(ui: &mut Ui, scene: &Scene<'_>, answer: &BlendAnswer) {
    let style = scene.style();
    wrong(ui, &reach_words(answer, style));
    if answer.relax.is_empty() {
        muted(ui, say!("No single limit is in the way; relax two, or let more exfoliants be used"));
    } else {
        muted(ui, say!("One of these would have to give way:"));
        for relaxed in &answer.relax {
            muted(ui, &format!("· {}", words::engine(relaxed_words(relaxed, answer, style))));
        }
    }
    left_out(ui, scene, answer);
}

fn left_out(ui: &mut Ui, scene: &Scene<'_>, answer: &BlendAnswer) {
    if answer.left_out.is_empty() {
        return;
    }
    let head = say!("{n} left out", n = answer.left_out.len());
    egui::CollapsingHeader::new(RichText::new(head).font(fonts::small()))
        .id_salt("grit-left-out")
        .show(ui, |ui| {
            for left in &answer.left_out {
                muted(ui, &words::engine(left_out_words(left, answer, scene.style())));
            }
        });
}

/// A blend in words: "2.29 fruit stone, 1.00 beads".
fn blend_words(scene: &Scene<'_>, found: &BlendFound) -> String {
    let one = |(_, name, p): &(_, String, quern_calc::quantity::Percent)| {
        format!("{} % {name}", format_fixed(p.0, 2, scene.style()))
    };
    found.blend.iter().map(one).collect::<Vec<_>>().join(", ")
}

fn figures_words(scene: &Scene<'_>, found: &BlendFound) -> String {
    let style = scene.style();
    let mut text = say!("grit {index}", index = format_f64(found.index, 0, style));
    if found.in_use + 0.5 < found.index {
        text.push_str(&say!(", {in_use} in use", in_use = format_f64(found.in_use, 0, style)));
    }
    text.push_str(&say!(", {total} % in all", total = format_fixed(found.total.0, 2, style)));
    if let Some(cost) = found.cost {
        let cost = scene.money(&format_f64(cost, 2, style));
        text.push_str(&say!(", {cost} for 100 g", cost));
    }
    text
}

/// What the guides of the product's place say of a found blend.
fn guide(ui: &mut Ui, scene: &Scene<'_>, found: &BlendFound) {
    let Some(figures) = &found.figures else { return };
    let product = scene.formula().product;
    let rules = quern_project::rules::in_use();
    let guides = place_guides(figures, product.place, product.form, rules, scene.style());
    let Some(guide) = guides.iter().find(|g| g.place == product.place) else { return };
    let t = Tokens::of(ui);
    let (sign, color) = if guide.within { (Sign::Fine, t.fine) } else { (Sign::Warn, t.warn) };
    let passed: Vec<std::borrow::Cow<'_, str>> =
        guide.reasons.iter().filter(|r| !r.within).map(|r| words::engine(&r.text)).collect();
    let mut text =
        format!("{}: {}", words::text(product.place.name()), words::engine(&guide.verdict));
    if !passed.is_empty() {
        text.push_str(&format!("; {}", passed.join("; ")));
    }
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let (rect, _) = ui.allocate_exact_size(vec2(12.0, 14.0), Sense::hover());
        icons::sign(ui.painter(), rect.center(), sign, color);
        muted(ui, &text);
    });
}

fn found(ui: &mut Ui, scene: &Scene<'_>, answer: &BlendAnswer, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let pick = scene.ui.grit.pick.min(answer.found.len().saturating_sub(1));
    for (i, one) in answer.found.iter().enumerate() {
        let chosen = i == pick;
        ui.horizontal_top(|ui| {
            let name = say!("Blend {n}: {words}", n = i + 1, words = blend_words(scene, one));
            if ui.radio(chosen, "").accessible_name(name).clicked() {
                actions.push(Action::Grit(GritAction::Pick(i)));
            }
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                let font = if chosen { fonts::strong(size::TEXT) } else { fonts::text() };
                let words = RichText::new(blend_words(scene, one)).font(font).color(t.ink);
                ui.add(Label::new(words).wrap());
                muted(ui, &figures_words(scene, one));
                let held: Vec<String> = one
                    .binding
                    .iter()
                    .map(|l| words::told(limit_words(*l, answer, scene.style())))
                    .collect();
                guide(ui, scene, one);
                if held.is_empty() && i == 0 {
                    muted(ui, say!("held by the wanted grit alone"));
                } else if !held.is_empty() {
                    muted(ui, &say!("held by: {held}", held = held.join(", ")));
                }
            });
        });
    }
    left_out(ui, scene, answer);
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let about = say!("Put it in the place of the formula's exfoliants; one step to undo");
        if primary_button(ui, say!("Use this blend")).on_hover_text(about).clicked() {
            actions.push(Action::Grit(GritAction::UseFound(pick)));
        }
        if scene.grit.working {
            muted(ui, say!("looking..."));
        }
    });
}

//! The right panel: what the product is for, its markets, and what was not checked.

use egui::{ComboBox, Frame, Label, Margin, RichText, ScrollArea, Ui};
use quern_calc::formula::{Contact, Form, Pack, Place, Product, SafetyNotes};

use super::muted;
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::notices::Tone;
use crate::app::safety::SafetyAction;
use crate::look::Tokens;
use crate::views::grit::heading;
use crate::widgets::RowText;
use crate::words;

/// Draws the panel.
pub fn panel(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ScrollArea::vertical().auto_shrink(false).id_salt("findings-panel-scroll").show(ui, |ui| {
        Frame::new().inner_margin(Margin::symmetric(16, 14)).show(ui, |ui| {
            product(ui, scene, actions);
            ui.add_space(14.0);
            markets(ui, scene, actions);
            ui.add_space(14.0);
            keeping(ui, scene, actions);
            ui.add_space(14.0);
            not_checked(ui, scene);
            ui.add_space(20.0);
        });
    });
}

fn choice<T: Copy + PartialEq>(
    ui: &mut Ui,
    label: &str,
    value: T,
    all: &[T],
    name: impl Fn(T) -> &'static str,
    mut chosen: impl FnMut(T),
) {
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(
            egui::vec2(92.0, crate::look::size::CONTROL),
            egui::Layout::left_to_right(egui::Align::Center),
            |ui| {
                ui.set_min_width(92.0);
                ui.label(label);
            },
        );
        ComboBox::from_id_salt(("findings", label))
            .selected_text(words::text(name(value)))
            .width(160.0)
            .show_ui(ui, |ui| {
                for other in all {
                    if crate::widgets::choice(ui, *other == value, words::text(name(*other)))
                        .clicked()
                    {
                        if *other != value {
                            chosen(*other);
                        }
                        ui.close();
                    }
                }
            })
            .response
            .accessible_name(format!("{label}: {}", words::text(name(value))));
    });
}

/// What it is, where it is used, whether it stays on, and what it comes in.
fn product(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("What it is for"));
    let now = scene.formula().product;
    let mut change = |product: Product| {
        actions.push(Action::Safety(SafetyAction::Product(product)));
    };
    choice(ui, say!("Kind"), now.form, &Form::ALL, Form::name, |form| {
        change(Product { form, ..now })
    });
    choice(ui, say!("Used on"), now.place, &Place::ALL, Place::name, |place| {
        change(Product { place, ..now });
    });
    choice(ui, say!("On the skin"), now.contact, &Contact::ALL, Contact::name, |contact| {
        change(Product { contact, ..now });
    });
    choice(ui, say!("Comes in a"), now.pack, &Pack::ALL, Pack::name, |pack| {
        change(Product { pack, ..now });
    });
    let mut young = now.under_three;
    let text = say!("May be used on children under 3");
    if ui.checkbox(&mut young, text).changed() {
        change(Product { under_three: young, ..now });
    }
    let ph = match &scene.formula().ph {
        None => say!("pH not stated").to_owned(),
        Some(ph) => {
            let value = quern_calc::number::format_plain(ph.value, scene.style());
            format!("pH {value}, {}", if ph.measured { say!("measured") } else { say!("target") })
        }
    };
    ui.horizontal(|ui| {
        ui.label(ph);
        if ui.button(say!("Formula details…")).clicked() {
            actions.push(Action::Run(Command::FormulaDetails));
        }
    });
}

fn keep(scene: &Scene<'_>, label: &'static str, change: impl FnOnce(&mut SafetyNotes)) -> Action {
    let mut notes = scene.formula().safety.clone();
    change(&mut notes);
    Action::Safety(SafetyAction::Notes(label, Box::new(notes)))
}

/// Markets, the day on the market and the category of the fragrance standard.
fn markets(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("Markets"));
    let rules = quern_project::rules::in_use();
    let notes = &scene.formula().safety;
    let chosen = |code: &str| notes.markets.is_empty() || notes.markets.iter().any(|m| m == code);
    for market in &rules.markets {
        let mut on = chosen(&market.code);
        let response = ui.checkbox(&mut on, &market.name);
        if response.changed() {
            let mut codes: Vec<String> = rules
                .markets
                .iter()
                .map(|m| &m.code)
                .filter(|c| if **c == market.code { on } else { chosen(c) })
                .cloned()
                .collect();
            if codes.is_empty() {
                let text = say!("At least one market stays chosen, or nothing would be checked");
                actions.push(Action::Say(Tone::Info, text.to_owned()));
                continue;
            }
            if codes.len() == rules.markets.len() {
                codes.clear();
            }
            actions.push(keep(scene, say!("change markets"), |n| n.markets = codes));
        }
        muted(
            ui,
            &say!(
                "{edition}, as of {day}",
                edition = words::engine(&market.edition),
                day = scene.day_words(market.as_of)
            ),
        );
    }
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let label = Some(ui.label(say!("Packs placed on")).id);
        let shown = notes.placed.map_or(String::new(), |d| scene.day(d));
        let hint = scene.day(scene.date);
        let field = RowText {
            name: say!("Packs placed on"),
            value: &shown,
            width: 120.0,
            hint: &hint,
            rows: 1,
            label,
        };
        if let Some(text) = field.show(ui) {
            match (text.trim(), scene.settings.date_order.read(&text)) {
                ("", _) => actions.push(keep(scene, say!("change first day"), |n| n.placed = None)),
                (_, Ok(d)) => {
                    actions.push(keep(scene, say!("change first day"), |n| n.placed = Some(d)));
                }
                (_, Err(error)) => actions.push(Action::Say(Tone::Error, words::told(error))),
            }
        }
    });
    muted(
        ui,
        say!(
            "The day on which these packs are placed on the market; blank is today. Rules look at each pack, not at the first launch"
        ),
    );
    ui.horizontal(|ui| {
        let label = Some(ui.label(say!("Fragrance category")).id);
        let field = RowText {
            name: say!("Fragrance category"),
            value: &notes.category,
            width: 100.0,
            hint: say!("such as 9"),
            rows: 1,
            label,
        };
        if let Some(text) = field.show(ui) {
            let category = text.trim().to_owned();
            actions.push(keep(scene, say!("change fragrance category"), |n| n.category = category));
        }
    });
    muted(
        ui,
        say!("As on the supplier's certificate; the limit that stands beside it is enforced"),
    );
}

/// Wet use, and the reason for no preservative.
fn keeping(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    heading(ui, say!("How it keeps"));
    let formula = scene.formula();
    let mut wet = formula.wet_in_use();
    if ui.checkbox(&mut wet, say!("Gets wet in use")).changed() {
        let usual = formula.product.usually_wet();
        let said = (wet != usual).then_some(wet);
        actions.push(keep(scene, say!("change wet use"), |n| n.wet_use = said));
    }
    let label = Some(ui.label(say!("Why it does without a preservative, if it does")).id);
    let field = RowText {
        name: say!("Why it does without a preservative, if it does"),
        value: &formula.safety.unpreserved,
        width: f32::INFINITY,
        hint: say!("a passed wet-use test, a draining dish, pH above 10"),
        rows: 2,
        label,
    };
    if let Some(text) = field.show(ui) {
        let text = text.trim().to_owned();
        actions
            .push(keep(scene, say!("change reason for no preservative"), |n| n.unpreserved = text));
    }
}

/// What no rule looks at, market by market.
fn not_checked(ui: &mut Ui, scene: &Scene<'_>) {
    let t = Tokens::of(ui);
    heading(ui, say!("Not checked"));
    for market in &scene.here.evaluation.safety.markets {
        ui.label(RichText::new(&market.name).font(crate::look::fonts::strong(12.0)));
        for line in &market.not_checked {
            ui.add(Label::new(RichText::new(format!("– {line}")).color(t.ink)).wrap());
        }
        ui.add_space(4.0);
    }
    muted(ui, say!("Local rules and a qualified assessor decide before sale"));
}

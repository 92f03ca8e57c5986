//! The batch along the bottom: size on a logarithmic slider, typed, or in pieces; loss; scale;
//! three totals.

use egui::{Align2, Id, RichText, ScrollArea, Slider, Ui, pos2, vec2};
use quern_calc::batch::{BatchPlan, BatchSize, SLIDER_MARKS_G, Scale, slider_mass, slider_place};
use quern_calc::number::{MassUnit, Unit, format_f64, format_full, format_plain};
use quern_calc::quantity::{Grams, Percent, decimal_to_f64};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::notices::Tone;
use crate::look::{Tokens, fonts, size};
use crate::widgets::{Entered, NumberField, primary_button, short};
use crate::words;

/// Scales offered at once: name, readability and capacity in grams.
const SCALES: [(&str, &str, &str); 4] = [
    (term!("pocket"), "0.01", "200"),
    (term!("bench"), "0.1", "3000"),
    (term!("kitchen"), "1", "5000"),
    (term!("floor"), "5", "15000"),
];

/// How the bar makes do with its room.
#[derive(Clone, Copy)]
struct Room {
    /// Without words over the fields.
    low: bool,
    /// With narrow fields and gaps.
    tight: bool,
    /// With the three totals.
    totals: bool,
    /// Width of the slider.
    slider: f32,
}

impl Room {
    /// What the parts beside the slider need: roomy, and tight.
    const PARTS: (f32, f32) = (620.0, 500.0);
    /// What the totals need.
    const TOTALS: f32 = 190.0;

    fn new(width: f32, low: bool) -> Self {
        let tight = width < Self::PARTS.0 + 220.0;
        let parts = if tight { Self::PARTS.1 } else { Self::PARTS.0 };
        let totals = !low && width >= parts + Self::TOTALS + 240.0;
        let rest = width - parts - if totals { Self::TOTALS } else { 0.0 };
        Self { low, tight, totals, slider: rest.clamp(90.0, 300.0) }
    }

    fn pick(self, roomy: f32, tight: f32) -> f32 {
        if self.tight { tight } else { roomy }
    }
}

/// Draws the bar.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, low: bool, actions: &mut Vec<Action>) {
    let plan = scene.plan;
    // The button is longer in some languages than the parts are made for.
    let sheet = Command::ExportSheet.row().name();
    let long = ui.painter().layout_no_wrap(
        sheet.to_owned(),
        fonts::strong(size::TEXT),
        Tokens::of(ui).ink,
    );
    let over = (long.size().x - 104.0).max(0.0);
    let room = Room::new(ui.available_width() - over, low);
    ScrollArea::horizontal().auto_shrink([false, true]).id_salt("batch-scroll").show(ui, |ui| {
        ui.horizontal_centered(|ui| {
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
            ui.spacing_mut().item_spacing.x = room.pick(18.0, 8.0);
            ui.add_space(room.pick(12.0, 2.0));
            slider(ui, scene, plan, room, actions);
            gross(ui, scene, plan, room, actions);
            pieces(ui, scene, plan, room, actions);
            loss(ui, scene, plan, room, actions);
            scale(ui, scene, plan, room, actions);
            if room.totals {
                totals(ui, scene);
            }
            // To the right edge where there is room.
            let spare = ui.available_width() - over - room.pick(124.0, 116.0);
            if spare > 0.0 {
                ui.add_space(spare);
            }
            let response = primary_button(ui, sheet);
            super::tour::note_sheet(ui.ctx(), response.rect);
            if response.on_hover_text(Command::ExportSheet.tooltip(ui.ctx())).clicked() {
                actions.push(Action::Run(Command::ExportSheet));
            }
        });
    });
}

fn with(
    plan: &BatchPlan,
    interaction: Option<&'static str>,
    change: impl FnOnce(&mut BatchPlan),
) -> Action {
    let mut plan = plan.clone();
    change(&mut plan);
    Action::Plan { plan: Box::new(plan), interaction }
}

/// A labelled column of the bar.
fn column<R>(ui: &mut Ui, label: &str, room: Room, add: impl FnOnce(&mut Ui) -> R) -> R {
    let t = Tokens::of(ui);
    ui.vertical(|ui| {
        if room.low {
            ui.add_space(10.0);
        } else {
            ui.add_space(22.0);
            ui.label(RichText::new(label).font(fonts::small()).color(t.muted));
        }
        add(ui)
    })
    .inner
}

fn slider(ui: &mut Ui, scene: &Scene<'_>, plan: &BatchPlan, room: Room, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let width = room.slider;
    // The name may be long, and the bar must not grow with it.
    let most = if width < 200.0 { 10 } else { 28 };
    let name = short(&scene.here.name, most);
    let label = say!("Batch of {name}, gross", name);
    column(ui, &label, room, |ui| {
        let gross = scene.here.evaluation.batch.as_ref().map_or(0.0, |b| b.gross.to_f64());
        let mut place = slider_place(gross);
        ui.spacing_mut().slider_width = width;
        ui.visuals_mut().selection.bg_fill = t.accent;
        ui.visuals_mut().widgets.inactive.bg_fill = t.hairline;
        let response = ui
            .add(Slider::new(&mut place, 0.0..=1.0).show_value(false).smart_aim(false))
            .accessible_name(say!("Batch size slider"));
        let shown = scene.here.evaluation.batch.as_ref().ok();
        let response = match shown {
            Some(b) => response.on_hover_text(scene.mass_text(b.gross, scene.finest())),
            None => response,
        };
        if response.changed() {
            actions.push(with(plan, Some("batch slider"), |p| {
                keep_piece(p);
                p.size = BatchSize::Gross(slider_mass(place));
            }));
        }
        if response.drag_stopped() || response.lost_focus() {
            actions.push(Action::EndInteraction);
        }
        if !room.low {
            let (rect, _) = ui.allocate_exact_size(vec2(width, 18.0), egui::Sense::hover());
            // Every other mark where there is no room for the words of all.
            let step = if width < 240.0 { 2 } else { 1 };
            for grams in SLIDER_MARKS_G.into_iter().step_by(step) {
                #[allow(clippy::cast_possible_truncation)] // a place on screen
                let at = slider_place(grams) as f32;
                let x = rect.left() + 8.0 + at * (rect.width() - 16.0);
                ui.painter().line_segment(
                    [pos2(x, rect.top() - 3.0), pos2(x, rect.top() + 2.0)],
                    egui::Stroke::new(1.0, t.edge),
                );
                ui.painter().text(
                    pos2(x, rect.top() + 3.0),
                    Align2::CENTER_TOP,
                    mark(grams, scene),
                    fonts::small(),
                    t.muted,
                );
            }
        }
    });
}

/// A mark in words: "50 g", "3 kg", or in the unit shown with two figures that count.
fn mark(grams: f64, scene: &Scene<'_>) -> String {
    match scene.mass_unit() {
        MassUnit::Ounce | MassUnit::Pound => {
            let unit = scene.mass_unit();
            let value = grams / decimal_to_f64(unit.grams_per_unit());
            let places = if value < 1.0 { 2 } else { u32::from(value < 10.0) };
            format!("{} {}", format_f64(value, places, scene.style()), unit.symbol())
        }
        MassUnit::Kilogram => {
            format!("{} kg", format_full(grams / 1000.0, scene.style()))
        }
        _ if grams < 1000.0 => format!("{grams} g"),
        _ => format!("{} kg", grams / 1000.0),
    }
}

/// Keeps the piece weight when the size is stated another way.
fn keep_piece(plan: &mut BatchPlan) {
    if let BatchSize::Pieces { each, .. } = plan.size {
        plan.piece = Some(each);
    }
}

fn field(
    ui: &mut Ui,
    scene: &Scene<'_>,
    id: &str,
    name: &str,
    shown: &str,
    full: &str,
    width: f32,
) -> Option<Entered> {
    let (_, rect) = ui.allocate_space(vec2(width, 30.0));
    let field = NumberField {
        id: Id::unique(("batch-bar", id, scene.formula().id.as_str())),
        name: name.to_owned(),
        shown,
        full,
        syntax: scene.syntax(),
        quiet: false,
        right: false,
        strong: false,
        enabled: true,
        hint: "",
        amend: false,
    };
    field.show(ui, rect).entered
}

fn wrong(actions: &mut Vec<Action>, text: &str) {
    actions.push(Action::Say(Tone::Error, text.to_owned()));
}

/// Grams to which the batch size is shown: two decimals at least, as the slider sets it.
fn gross_step(scene: &Scene<'_>) -> Decimal {
    scene.finest().min(Decimal::new(1, 2))
}

fn gross(ui: &mut Ui, scene: &Scene<'_>, plan: &BatchPlan, room: Room, actions: &mut Vec<Action>) {
    column(ui, say!("Gross"), room, |ui| {
        let batch = scene.here.evaluation.batch.as_ref().ok();
        let shown = batch.map_or("–".to_owned(), |b| scene.mass_text(b.gross, gross_step(scene)));
        let full = match plan.size {
            BatchSize::Gross(g) => scene.mass_full(g),
            _ => shown.clone(),
        };
        let name = say!(
            "Batch size, gross, {mass_unit}",
            mass_unit = words::text(scene.mass_unit().name())
        );
        match field(ui, scene, "gross", &name, &shown, &full, room.pick(110.0, 92.0)) {
            Some(Entered::Typed(typed)) => match scene.grams_of(typed) {
                Some(g) => actions.push(with(plan, None, |p| {
                    keep_piece(p);
                    p.size = BatchSize::Gross(g);
                })),
                None => wrong(actions, say!("A batch size is a mass: type grams, kg, oz or lb")),
            },
            Some(Entered::Cleared) | None => {}
        }
    });
}

fn pieces(ui: &mut Ui, scene: &Scene<'_>, plan: &BatchPlan, room: Room, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    column(ui, say!("Pieces × weight"), room, |ui| {
        let batch = scene.here.evaluation.batch.as_ref().ok();
        let count = match plan.size {
            BatchSize::Pieces { count, .. } => Some(count),
            _ => batch.and_then(|b| b.pieces),
        };
        let each = match plan.size {
            BatchSize::Pieces { each, .. } => Some(each),
            _ => plan.piece,
        };
        let count_text = count.map_or(String::new(), |c| c.to_string());
        let each_text = each.map_or(String::new(), |g| scene.mass_full(g));
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            let typed = field(
                ui,
                scene,
                "pieces",
                say!("Pieces"),
                &count_text,
                &count_text,
                room.pick(48.0, 44.0),
            );
            ui.label(RichText::new("×").color(t.muted));
            let name = say!(
                "Weight of a piece, {mass_unit}",
                mass_unit = words::text(scene.mass_unit().name())
            );
            // In grams it stands as it was typed; what is converted is shown as a scale shows it.
            let (shown, width) = match each {
                Some(each) if scene.mass_unit() != MassUnit::Gram => {
                    (scene.mass_text(each, scene.finest()), 88.0)
                }
                _ => (each_text.clone(), room.pick(66.0, 58.0)),
            };
            let weight = field(ui, scene, "piece", &name, &shown, &each_text, width);
            match typed {
                Some(Entered::Typed(typed)) => {
                    match whole(typed.value).filter(|_| typed.unit.is_none()) {
                        Some(count) => {
                            // Without a weight yet, the present batch is shared out.
                            let each = each.or_else(|| share(batch.map(|b| b.net), count));
                            let each = each.unwrap_or(Grams(Decimal::from(70)));
                            actions.push(with(plan, None, |p| {
                                p.size = BatchSize::Pieces { count, each };
                                p.piece = Some(each);
                            }));
                        }
                        None => wrong(actions, say!("Pieces are a whole number from 0 to 100 000")),
                    }
                }
                Some(Entered::Cleared) => actions.push(with(plan, None, |p| {
                    if let Some(b) = batch {
                        p.size = BatchSize::Gross(b.gross);
                    }
                })),
                None => {}
            }
            match weight {
                Some(Entered::Typed(typed)) => {
                    match scene.grams_of(typed).filter(|g| g.0 > Decimal::ZERO) {
                        Some(each) => actions.push(with(plan, None, |p| {
                            p.piece = Some(each);
                            if let BatchSize::Pieces { count, .. } = p.size {
                                p.size = BatchSize::Pieces { count, each };
                            }
                        })),
                        None => wrong(
                            actions,
                            say!("The weight of a piece is a mass above 0: type grams, oz or lb"),
                        ),
                    }
                }
                Some(Entered::Cleared) => actions.push(with(plan, None, |p| {
                    p.piece = None;
                    if let Some(b) = batch {
                        p.size = BatchSize::Gross(b.gross);
                    }
                })),
                None => {}
            }
        });
    });
}

fn whole(value: Decimal) -> Option<u32> {
    value.fract().is_zero().then(|| value.to_u32()).flatten().filter(|n| *n <= 100_000)
}

fn share(net: Option<Grams>, count: u32) -> Option<Grams> {
    let each = net?.0.checked_div(Decimal::from(count))?;
    let rounded = quern_calc::number::round_to_step(each, Decimal::new(1, 1));
    (rounded > Decimal::ZERO).then_some(Grams(rounded))
}

fn loss(ui: &mut Ui, scene: &Scene<'_>, plan: &BatchPlan, room: Room, actions: &mut Vec<Action>) {
    column(ui, say!("Loss"), room, |ui| {
        let text = format!("{} %", format_plain(plan.loss.0, scene.style()));
        match field(ui, scene, "loss", say!("Loss, percent"), &text, &text, room.pick(60.0, 52.0)) {
            Some(Entered::Typed(typed)) if matches!(typed.unit, None | Some(Unit::Percent)) => {
                actions.push(with(plan, None, |p| p.loss = Percent(typed.value)));
            }
            Some(Entered::Typed(_)) => {
                wrong(actions, say!("Loss is a share of what is made: type per cent"))
            }
            Some(Entered::Cleared) => actions.push(with(plan, None, |p| p.loss = Percent::ZERO)),
            None => {}
        }
    });
}

fn scale(ui: &mut Ui, scene: &Scene<'_>, plan: &BatchPlan, room: Room, actions: &mut Vec<Action>) {
    column(ui, say!("Scale"), room, |ui| {
        let words = |s: &Scale| {
            if scene.mass_unit() != MassUnit::Gram {
                // A scale is bought and set up in grams; both are told where another unit is shown.
                let to = scene.mass_text(s.capacity, s.readability.0);
                return say!(
                    "{readability} g, to {to}",
                    readability = format_plain(s.readability.0, scene.style()),
                    to
                );
            }
            let capacity = s.capacity.0;
            let thousand = Decimal::ONE_THOUSAND;
            if capacity >= thousand {
                let kg = capacity.checked_div(thousand).unwrap_or(capacity).normalize();
                say!("{readability} g, to {kg} kg", readability = s.readability, kg)
            } else {
                say!("{readability} g, to {capacity} g", readability = s.readability, capacity)
            }
        };
        let text = match plan.scales.as_slice() {
            [] => say!("none set").to_owned(),
            [one] if room.tight => format!("{} g", one.readability),
            [one] => words(one),
            many => counted!("{n} scale", "{n} scales", n = many.len()),
        };
        let response = ui
            .menu_button(text, |ui| {
                ui.set_min_width(220.0);
                for (name, readability, capacity) in SCALES {
                    let name = words::text(name);
                    let parse = |t: &str| t.parse::<Decimal>().unwrap_or_default();
                    let scale = Scale::new(name, parse(readability), parse(capacity));
                    let on = plan.scales.iter().any(|s| {
                        s.readability == scale.readability && s.capacity == scale.capacity
                    });
                    let mut checked = on;
                    if ui.checkbox(&mut checked, format!("{name}: {}", words(&scale))).changed() {
                        actions.push(with(plan, None, |p| {
                            if on {
                                p.scales.retain(|s| {
                                    s.readability != scale.readability
                                        || s.capacity != scale.capacity
                                });
                            } else {
                                p.scales.push(scale);
                            }
                        }));
                    }
                }
                ui.separator();
                if ui.button(Command::BatchDetails.row().name()).clicked() {
                    actions.push(Action::Run(Command::BatchDetails));
                    ui.close();
                }
            })
            .response;
        response.on_hover_text(say!("A line goes to the finest scale that holds it"));
    });
}

/// Exact, rounded and their difference; never hidden in a line.
fn totals(ui: &mut Ui, scene: &Scene<'_>) {
    let t = Tokens::of(ui);
    let weigh = &scene.here.evaluation.weigh;
    let difference = weigh.difference();
    let step = gross_step(scene);
    let unit = match scene.mass_unit() {
        MassUnit::Gram => String::new(),
        other => format!(" {}", other.symbol()),
    };
    let sign = if difference.0 > Decimal::ZERO { "+" } else { "" };
    ui.vertical(|ui| {
        ui.add_space(22.0);
        ui.spacing_mut().item_spacing.y = 2.0;
        for text in [
            say!(
                "exact {mass_number}{unit}",
                mass_number = scene.mass_number(weigh.exact, step),
                unit
            ),
            say!(
                "rounded lines {mass_number}{unit}",
                mass_number = scene.mass_number(weigh.rounded, step),
                unit
            ),
            say!(
                "difference {sign}{mass_number}{unit}",
                sign,
                mass_number = scene.mass_number(difference, step),
                unit
            ),
        ] {
            ui.label(RichText::new(text).font(fonts::small()).color(t.muted));
        }
    });
}

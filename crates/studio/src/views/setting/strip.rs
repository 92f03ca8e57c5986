//! How the paste moves at each temperature, on the axis of the melt curve, and the pour window.

use egui::{FontId, Rect, RichText, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use quern_calc::evaluate::{POURED_C, PourWindow, SPAN_C};
use quern_calc::number::{Unit, format_f64};
use quern_calc::quantity::decimal_to_f64;
use quern_calc::setting::pour::PourClass;

use super::chart::LEFT;
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::notices::Tone;
use crate::app::setting::{SettingAction, SettingSide};
use crate::look::{Tokens, fonts};
use crate::widgets::plot::Axes;
use crate::widgets::table::title;
use crate::words;

/// Draws the strip.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, here: &SettingSide, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let whole = |x: f64| format_f64(x, 0, style);
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let c = here.figures.pour_c;
            let entered = super::workshop::number(
                ui,
                scene,
                say!("Pouring temperature, °C"),
                Some(c),
                0,
                60.0,
                "",
            );
            ui.label(RichText::new(say!("Poured at, °C")).font(fonts::small()).color(t.muted));
            match entered {
                Some(Some(typed)) => {
                    let c = decimal_to_f64(typed.value);
                    let fits = matches!(typed.unit, None | Some(Unit::Celsius));
                    if fits && (POURED_C.0..=POURED_C.1).contains(&c) {
                        actions.push(Action::Setting(SettingAction::Pour(Some(c))));
                    } else {
                        let text = say!(
                            "Pouring is read from {low} to {high} °C",
                            low = whole(POURED_C.0),
                            high = whole(POURED_C.1)
                        );
                        actions.push(Action::Say(Tone::Error, text));
                    }
                }
                Some(None) => actions.push(Action::Setting(SettingAction::Pour(None))),
                None => {}
            }
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                title(
                    ui,
                    say!("Pouring"),
                    say!("how the paste moves at each temperature, and the pour window"),
                );
            });
        });
    });
    for (i, side) in scene.setting.sides.iter().enumerate() {
        if scene.setting.sides.len() > 1 {
            let name = RichText::new(&side.side.name).font(fonts::small()).color(t.side(i));
            ui.label(name);
        }
        match &side.figures.window {
            Ok(w) => strip(ui, scene, side, w),
            Err(why) => {
                super::muted(ui, &say!("No pour figures: {why}", why = words::engine(why.words())))
            }
        }
    }
}

/// The strip of one formula.
fn strip(ui: &mut Ui, scene: &Scene<'_>, here: &SettingSide, w: &PourWindow) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let whole = |x: f64| format_f64(x, 0, style);
    let (area, response) = ui.allocate_exact_size(vec2(ui.available_width(), 50.0), Sense::hover());
    let runs = runs(w);
    response.widget_info(|| {
        let words: Vec<String> = runs
            .iter()
            .map(|(from, to, _, word)| {
                say!(
                    "{from} to {to} °C {word}",
                    from = whole(*from),
                    to = whole(*to),
                    word = words::text(word)
                )
            })
            .collect();
        let who = if scene.setting.sides.len() > 1 { here.side.name.as_str() } else { say!("it") };
        let text = say!("How {who} moves: {words}", who, words = words.join(", "));
        WidgetInfo::labeled(egui::Role::Image, true, text)
    });
    let axes = Axes {
        rect: Rect::from_min_max(
            area.min + vec2(LEFT, 4.0),
            pos2(area.right() - 10.0, area.top() + 26.0),
        ),
        x: SPAN_C,
        y: (0.0, 1.0),
    };
    let painter = ui.painter_at(area);
    for (from, to, class, word) in &runs {
        let place = PourClass::ALL.iter().position(|c| c == class).unwrap_or(0);
        let alpha = [14_u8, 34, 62, 96, 134].get(place).copied().unwrap_or(134);
        let rect = Rect::from_min_max(
            pos2(axes.at_x(*from), axes.rect.top()),
            pos2(axes.at_x(to.min(SPAN_C.1)), axes.rect.bottom()),
        );
        painter.rect_filled(rect, 0.0, Tokens::tint(t.ink, alpha));
        painter.vline(rect.left(), rect.y_range(), Stroke::new(1.0, t.paper));
        let galley =
            painter.layout_no_wrap(words::text(word).to_owned(), FontId::proportional(11.5), t.ink);
        if galley.size().x + 8.0 < rect.width() {
            // Dark grounds take a plate under the word.
            let at = rect.center() - galley.size() / 2.0;
            if place >= 3 {
                let plate = Rect::from_min_size(at, galley.size()).expand2(vec2(4.0, 1.0));
                painter.rect_filled(plate, 3.0, t.paper);
            }
            painter.galley(at, galley, t.ink);
        }
    }
    let x = axes.at_x(here.figures.pour_c);
    painter.vline(x, axes.rect.expand2(vec2(0.0, 3.0)).y_range(), Stroke::new(2.0, t.ink));
    let y = axes.rect.bottom() + 7.0;
    match (w.open_c(), w.moves_from_c) {
        (Some((from, to)), _) => {
            let (a, b) = (axes.at_x(from), axes.at_x(to.min(SPAN_C.1)));
            let stroke = Stroke::new(2.0, t.fine);
            painter.line_segment([pos2(a, y), pos2(b, y)], stroke);
            for x in [a, b] {
                painter.line_segment([pos2(x, y - 4.0), pos2(x, y + 4.0)], stroke);
            }
            let text = match w.limits.first() {
                Some(limit) if w.moves_when_cold() => {
                    say!(
                        "pour below {to} °C, which {limit} sets",
                        to = whole(to),
                        limit = words::engine(&limit.name)
                    )
                }
                Some(limit) => {
                    say!(
                        "pour window {from} to {to} °C; {limit} ends it",
                        from = whole(from.ceil()),
                        to = whole(to),
                        limit = words::engine(&limit.name)
                    )
                }
                None => {
                    say!(
                        "pour above {from} °C; no cool-down limits the heat",
                        from = whole(from.ceil())
                    )
                }
            };
            label(ui, area, (a + b) / 2.0, y + 4.0, &text, t.fine);
        }
        (None, Some(moves)) => {
            let limit = w.limits.first();
            let text = say!(
                "the pour window is empty: it moves above {from} °C, {limit} ends at {end} °C",
                from = whole(moves.ceil()),
                limit =
                    limit.map_or(std::borrow::Cow::Borrowed(say!("cool-down")), |l| words::engine(
                        &l.name
                    )),
                end = limit.map_or(String::new(), |l| whole(l.c))
            );
            let a = axes.at_x(limit.map_or(moves, |l| l.c));
            let b = axes.at_x(moves);
            let stroke = Stroke::new(2.0, t.warn);
            painter.extend(egui::Shape::dashed_line(&[pos2(a, y), pos2(b, y)], stroke, 4.0, 3.0));
            label(ui, area, (a + b) / 2.0, y + 4.0, &text, t.warn);
        }
        (None, None) => {
            label(
                ui,
                area,
                axes.rect.center().x,
                y,
                say!("it never moves: press it into the mould"),
                t.muted,
            );
        }
    }
}

/// A line of text centred at `x` but kept within the area.
fn label(ui: &Ui, area: Rect, x: f32, y: f32, text: &str, color: egui::Color32) {
    let galley = ui.painter().layout_no_wrap(text.to_owned(), fonts::small(), color);
    let wide = galley.size().x;
    let left = (x - wide / 2.0).clamp(area.left(), (area.right() - wide).max(area.left()));
    ui.painter_at(area.expand2(vec2(0.0, 6.0))).galley(pos2(left, y), galley, color);
}

/// Stretches of one class: from, to, class, its word.
fn runs(w: &PourWindow) -> Vec<(f64, f64, PourClass, &'static str)> {
    let mut out: Vec<(f64, f64, PourClass, &'static str)> = Vec::new();
    for (t, class) in w.strip.iter().filter(|(t, _)| *t <= SPAN_C.1) {
        let word = w.word(*t, *class);
        match out.last_mut() {
            Some(last) if last.3 == word => last.1 = *t,
            Some(last) => {
                last.1 = *t;
                out.push((*t, *t, *class, word));
            }
            None => out.push((*t, *t, *class, word)),
        }
    }
    out
}

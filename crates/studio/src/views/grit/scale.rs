//! The grit index on its scale with bands, and what adds up to it.

use egui::{Align2, FontId, Rect, RichText, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use quern_calc::evaluate::{CLASS_EDGES_UM, index_place};
use quern_calc::grit::Band;
use quern_calc::grit::spread::CONSTANTS;
use quern_calc::number::format_f64;

use super::{figures, muted, part_color, px};
use crate::app::Scene;
use crate::look::{Pattern, Tokens, fonts, size};
use crate::widgets::pattern;
use crate::widgets::table::title;
use crate::words;

/// Draws the scale and the stacked bars.
pub fn show(ui: &mut Ui, scene: &Scene<'_>) {
    title(
        ui,
        say!("Grit index"),
        say!(
            "dot: dry start; band: what the constants could make of it, narrow near 50, where the scale is tied"
        ),
    );
    scale(ui, scene);
    spread_words(ui, scene);
    ui.add_space(8.0);
    bars(ui, scene);
    ui.add_space(4.0);
    muted(ui, words::text(super::HONEST));
}

/// The scale with a marker for each blend.
fn scale(ui: &mut Ui, scene: &Scene<'_>) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let (area, response) = ui.allocate_exact_size(vec2(ui.available_width(), 74.0), Sense::hover());
    let words: Vec<String> = figures(scene)
        .map(|(_, name, f)| {
            format!(
                "{name} {}, {}",
                format_f64(f.grit.index, 0, style),
                words::text(f.grit.band.name())
            )
        })
        .collect();
    let name = say!("Grit index: {words}", words = words.join("; "));
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, &name));
    let painter = ui.painter();
    let bar = Rect::from_min_max(
        pos2(area.left() + 4.0, area.top() + 38.0),
        pos2(area.right() - 4.0, area.top() + 47.0),
    );
    let x = |index: f64| bar.left() + px(index_place(index)) * bar.width();
    let mut from = bar.left();
    for (k, band) in (0_u8..).zip(Band::ALL) {
        let to = Band::EDGES.get(usize::from(k)).map_or(bar.right(), |level| x(*level));
        let rect = Rect::from_min_max(pos2(from, bar.top()), pos2(to, bar.bottom()));
        painter.rect_filled(rect, 0.0, Tokens::tint(t.ink, 16 + 15 * k));
        let text =
            if rect.width() > 110.0 { words::text(band.guide()) } else { words::text(band.name()) };
        let mut job =
            egui::text::LayoutJob::simple_singleline(text.to_owned(), fonts::small(), t.muted);
        job.wrap = egui::text::TextWrapping::truncate_at_width(rect.width() - 4.0);
        job.halign = egui::Align::Center;
        let galley = painter.layout_job(job);
        painter.galley(pos2(rect.center().x, bar.bottom() + 6.0), galley, t.muted);
        from = to;
    }
    for level in Band::EDGES {
        let text = format_f64(level, 0, style);
        let at = pos2(x(level), bar.top() - 3.0);
        painter.text(at, Align2::CENTER_BOTTOM, text, FontId::proportional(11.0), t.muted);
        painter.vline(x(level), bar.y_range(), Stroke::new(1.0, t.paper));
    }
    let mut taken: Vec<Rect> = Vec::new();
    let all: Vec<_> = figures(scene).collect();
    for (i, name, f) in &all {
        let color = t.side(*i);
        if let Some(Some(s)) = scene.grit.spreads.get(*i) {
            let rect = Rect::from_min_max(
                pos2(x(s.low) - 2.0, bar.top() - 2.0),
                pos2(x(s.high) + 2.0, bar.bottom() + 2.0),
            );
            painter.rect_filled(rect, 6.0, Tokens::tint(color, 90));
        }
        let at = pos2(x(f.grit.index), bar.center().y);
        painter.circle(at, 6.0, color, Stroke::new(2.0, t.paper));
        if f.grit.in_use + 0.5 < f.grit.index {
            // In use, after grains have begun to dissolve: a ring to the left of the dot.
            let use_at = pos2(x(f.grit.in_use), bar.center().y);
            painter.line_segment([use_at, at], Stroke::new(1.5, color));
            painter.circle(use_at, 5.0, t.paper, Stroke::new(2.0, color));
        }
        let text = format!("{name} {}", format_f64(f.grit.index, 0, style));
        let galley = painter.layout_no_wrap(text, fonts::strong(size::TEXT), color);
        let left = (at.x - galley.size().x / 2.0)
            .clamp(area.left(), (area.right() - galley.size().x).max(area.left()));
        let mut place = Rect::from_min_size(pos2(left, area.top() + 4.0), galley.size());
        // To the right of a name that is in the way.
        for other in &taken {
            if place.expand(3.0).intersects(*other) {
                place = place.translate(vec2(other.right() + 8.0 - place.left(), 0.0));
            }
        }
        let over = (place.right() - area.right()).max(0.0);
        let place = place.translate(vec2(-over, 0.0));
        taken.push(place);
        painter.galley(place.min, galley, color);
    }
}

/// The band in words, and what moves it.
fn spread_words(ui: &mut Ui, scene: &Scene<'_>) {
    let style = scene.style();
    let whole = |x: f64| format_f64(x, 0, style);
    for (i, name, f) in figures(scene) {
        let mut text = match scene.grit.spreads.get(i) {
            Some(Some(s)) => {
                let widest = CONSTANTS
                    .iter()
                    .zip(s.by_constant)
                    .max_by(|a, b| (a.1.1 - a.1.0).total_cmp(&(b.1.1 - b.1.0)));
                let drives = widest.map_or(String::new(), |(c, (low, high))| {
                    say!(
                        "; most by the {name}: {low} to {high}",
                        name = words::text(c.name),
                        low = whole(low),
                        high = whole(high)
                    )
                });
                say!(
                    "{name}: {low} to {high} in 90 % of 64 draws of the constants{drives}",
                    name,
                    low = whole(s.low),
                    high = whole(s.high),
                    drives
                )
            }
            _ => say!("{name}: the band is being worked out", name),
        };
        if f.grit.in_use + 0.5 < f.grit.index {
            text.push_str(&say!(
                "; {index} dry, {in_use} in use as grains dissolve",
                index = whole(f.grit.index),
                in_use = whole(f.grit.in_use)
            ));
        }
        if !f.left_out.is_empty() {
            text.push_str(&say!(
                "; left out for want of data: {left_out}",
                left_out = f.left_out.join(", ")
            ));
        }
        if f.density_assumed {
            text.push_str(say!("; density of the product assumed"));
        }
        let assumed: Vec<&str> =
            f.parts.iter().filter(|p| p.assumed_size).map(|p| p.name.as_str()).collect();
        if !assumed.is_empty() {
            text.push_str(&say!("; size assumed for {assumed}", assumed = assumed.join(", ")));
        }
        muted(ui, &text);
    }
}

/// Names of the size classes.
fn class_name(k: usize, style: quern_calc::number::NumberStyle) -> String {
    let um = |x: &f64| format_f64(*x, 0, style);
    match (k.checked_sub(1).and_then(|i| CLASS_EDGES_UM.get(i)), CLASS_EDGES_UM.get(k)) {
        (None, Some(to)) => say!("to {to}", to = um(to)),
        (Some(from), Some(to)) => format!("{}–{}", um(from), um(to)),
        (Some(from), None) => say!("above {from}", from = um(from)),
        (None, None) => String::new(),
    }
}

/// Two stacked bars for each blend: by exfoliant and by size class.
fn bars(ui: &mut Ui, scene: &Scene<'_>) {
    let style = scene.style();
    title(ui, say!("What adds up to it"), say!("by exfoliant, and by size class in µm"));
    let most = figures(scene).map(|(_, _, f)| f.grit.index).fold(1e-9, f64::max);
    // One colour for a material in every bar.
    let mut known: Vec<&quern_calc::formula::MaterialId> = Vec::new();
    for part in figures(scene).flat_map(|(_, _, f)| &f.parts) {
        if !known.contains(&&part.material) {
            known.push(&part.material);
        }
    }
    let place = |id| known.iter().position(|k| *k == id).unwrap_or(0);
    for (i, name, f) in figures(scene) {
        let t = Tokens::of(ui);
        ui.label(RichText::new(name).font(fonts::small()).color(t.side(i)));
        let parts: Vec<StackedPart> = f
            .parts
            .iter()
            .zip(&f.grit.contributions)
            .map(|(p, value)| {
                let series = place(&p.material);
                (p.name.clone(), *value, part_color(t, series), Tokens::pattern(series))
            })
            .collect();
        let classes: Vec<StackedPart> = (0_u8..)
            .zip(0..=CLASS_EDGES_UM.len())
            .map(|(shade, k)| {
                let sum = f.by_class.iter().filter_map(|row| row.get(k)).sum();
                (class_name(k, style), sum, Tokens::tint(t.ink, 50 + 42 * shade), Pattern::Plain)
            })
            .collect();
        ui.horizontal_top(|ui| {
            let half = ((ui.available_width() - 20.0) / 2.0).max(0.0);
            for (what, rows) in [(say!("by exfoliant"), &parts), (say!("by size"), &classes)] {
                ui.allocate_ui_with_layout(
                    vec2(half, 0.0),
                    egui::Layout::top_down(egui::Align::Min),
                    |ui| {
                        ui.set_width(half);
                        stacked(ui, scene, &format!("{name} {what}"), rows, most);
                    },
                );
                ui.add_space(4.0);
            }
        });
    }
}

/// Name, value, colour and pattern of a part of a stacked bar.
type StackedPart = (String, f64, egui::Color32, Pattern);

/// One stacked bar with its legend, which is its table.
fn stacked(ui: &mut Ui, scene: &Scene<'_>, name: &str, rows: &[StackedPart], most: f64) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 14.0), Sense::hover());
    response.widget_info(|| {
        let words: Vec<String> =
            rows.iter().map(|(n, v, ..)| format!("{n} {}", format_f64(*v, 0, style))).collect();
        WidgetInfo::labeled(egui::Role::Image, true, format!("{name}: {}", words.join(", ")))
    });
    let mut x = rect.left();
    for (_, value, color, over) in rows.iter().filter(|r| r.1 > 0.0) {
        let wide = px(value / most) * rect.width();
        let piece = Rect::from_min_max(pos2(x, rect.top()), pos2(x + wide, rect.bottom()));
        pattern::plain(ui.painter(), piece, *color, *over, t.panel);
        ui.painter().vline(piece.right(), piece.y_range(), Stroke::new(1.0, t.paper));
        x += wide;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(5.0, 1.0);
        for (label, value, color, over) in rows.iter().filter(|r| r.1 >= 0.05) {
            let (dot, _) = ui.allocate_exact_size(vec2(9.0, 14.0), Sense::hover());
            let square = Rect::from_center_size(dot.center(), vec2(8.0, 8.0));
            pattern::plain(ui.painter(), square, *color, *over, t.panel);
            let places = u32::from(*value < 9.95);
            let text = format!("{label} {}", format_f64(*value, places, style));
            ui.label(RichText::new(text).font(fonts::small()).color(t.ink));
            ui.add_space(4.0);
        }
    });
}

//! How a filled mould cools, and how firm the piece is afterwards.

use egui::{
    Align, Align2, Layout, Rect, RichText, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2,
};
use quern_calc::evaluate::{CoolFigures, hours_axis};
use quern_calc::number::format_f64;
use quern_calc::setting::mould::Stand;

use super::{muted, px};
use crate::app::Scene;
use crate::app::setting::SettingSide;
use crate::look::{Tokens, fonts};
use crate::widgets::dashes::dashed;
use crate::widgets::plot::{Axes, small};
use crate::widgets::table::title;
use crate::widgets::{fitted, pattern};
use crate::words;

/// Draws cooling at the left and firmness at the right, or one above the other.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, here: &SettingSide) {
    let room = ui.available_width();
    if room > 700.0 {
        let left = room * 0.58 - 12.0;
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 24.0;
            for (width, first) in [(left, true), (room - left - 24.0, false)] {
                ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::Min), |ui| {
                    ui.set_width(width);
                    if first { cooling(ui, scene, here) } else { firmnesses(ui, scene) }
                });
            }
        });
    } else {
        cooling(ui, scene, here);
        ui.add_space(10.0);
        firmnesses(ui, scene);
    }
}

fn cooling(ui: &mut Ui, scene: &Scene<'_>, here: &SettingSide) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let mould = here
        .figures
        .mould
        .as_ref()
        .map_or(std::borrow::Cow::Borrowed(say!("no mould")), |m| words::engine(&m.name));
    let place = match here.figures.stand {
        Stand::Bench => say!("{mould}, on the bench", mould),
        Stand::Rack => say!("{mould}, on the rack", mould),
        Stand::Fridge => say!("{mould}, in the fridge", mould),
    };
    title(ui, say!("Cooling"), &place);
    let cool = match &here.figures.cool {
        Ok(cool) => cool,
        Err(why) => {
            muted(ui, &say!("No cooling curve: {why}", why = words::engine(why.words())));
            return;
        }
    };
    let (area, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), 190.0), Sense::hover());
    let others: Vec<&CoolFigures> =
        scene.setting.sides.iter().skip(1).filter_map(|s| s.figures.cool.as_ref().ok()).collect();
    let end = others
        .iter()
        .chain([&cool])
        .filter_map(|c| c.curve.last())
        .map(|p| p.0)
        .chain(here.slab.iter().filter_map(|s| s.curve.last()).map(|p| p.0))
        .fold(600.0_f64, f64::max);
    let low = (cool.air_c - 2.0).min(20.0);
    let axes = Axes {
        rect: Rect::from_min_max(area.min + vec2(40.0, 8.0), area.max - vec2(12.0, 26.0)),
        x: (0.0, end * 1.04),
        y: (low, here.figures.pour_c + 4.0),
    };
    let degrees: Vec<(f64, String)> = (0..=9_u8)
        .map(|i| 10.0 * f64::from(i))
        .filter(|c| (axes.y.0..axes.y.1).contains(c))
        .map(|c| (c, format_f64(c, 0, style)))
        .collect();
    axes.rule_y(ui, &degrees);
    axes.rule_x(ui, &hours_axis(end, style));
    let painter = ui.painter();
    let mut taken = Vec::new();
    for (c, name) in
        [(cool.air_c, say!("air")), (cool.unmould_c, say!("unmould")), (cool.set_c, say!("sets"))]
    {
        let y = axes.at_y(c);
        let stroke = Stroke::new(1.0, Tokens::tint(t.ink, 90));
        let line = [pos2(axes.rect.left(), y), pos2(axes.rect.right(), y)];
        painter.add(dashed(painter, &line, stroke, 3.0, 3.0));
        let text = format!("{name} {}", format_f64(c, 0, style));
        // One above the other where the lines are close.
        let mut foot = y - 2.0;
        while taken.iter().any(|other: &f32| (other - foot).abs() < 12.0) {
            foot -= 12.0;
        }
        taken.push(foot);
        small(painter, pos2(axes.rect.right() - 2.0, foot), Align2::RIGHT_BOTTOM, &text, t.muted);
    }
    if let Some(slab) = &here.slab {
        let middle = axes.line(slab.curve.iter().map(|p| (p.0, p.1)));
        let face = axes.line(slab.curve.iter().map(|p| (p.0, p.2)));
        let stroke = Stroke::new(1.6, t.side(0));
        painter.add(dashed(painter, &middle, stroke, 7.0, 3.0));
        painter.add(dashed(painter, &face, stroke, 2.0, 3.0));
    }
    for (i, side) in scene.setting.sides.iter().enumerate().rev() {
        if let Ok(c) = &side.figures.cool {
            let line = axes.line(c.curve.iter().copied());
            if scene.setting.sides.len() > 1 {
                pattern::marks(painter, &line, i, t.side(i));
                // Each name stands at a place of its own along the curves.
                if let Some(at) = line.get(line.len() * (2 + 2 * i) / 9) {
                    let at = *at + vec2(8.0, -4.0);
                    small(painter, at, Align2::LEFT_BOTTOM, &side.side.name, t.side(i));
                }
            }
            painter.add(Shape::line(line, Stroke::new(2.2, t.side(i))));
        }
    }
    let mut text = String::from(say!("strong: mean of the piece"));
    if here.slab.is_some() {
        text.push_str(say!("; dashed: its middle; dotted: its face"));
    }
    if let Some(other) = scene.setting.sides.get(1) {
        text.push_str(&say!("; with squares: {side}", side = other.side.name));
    }
    let hours = |s: f64| quern_calc::evaluate::hours_words(s, style);
    let slab = here.slab.as_ref().filter(|_| here.slab_is_new);
    if let (Some(slab), Some(mean)) = (slab, cool.unmould_s) {
        text.push_str(&say!(". The mean is at {unmould_c} °C after {at}, the middle after {unmould_s}; the face is at {face_c} °C then", unmould_c = format_f64(cool.unmould_c, 0, style), at = hours(mean.at), unmould_s = hours(slab.unmould_s), face_c = format_f64(slab.face_c, 0, style)));
    }
    response.widget_info(|| {
        let name = say!("Cooling of {side}: {text}", side = here.side.name, text);
        WidgetInfo::labeled(egui::Role::Image, true, name)
    });
    muted(ui, &text);
}

/// Firmness of each formula.
fn firmnesses(ui: &mut Ui, scene: &Scene<'_>) {
    for (i, side) in scene.setting.sides.iter().enumerate() {
        if i > 0 {
            ui.add_space(8.0);
        }
        firmness(ui, scene, side, i);
    }
    muted(ui, say!("Ranks bars by their solids; the thin line is the band over how crystals mix"));
}

/// Firmness as bars against the reference.
fn firmness(ui: &mut Ui, scene: &Scene<'_>, here: &SettingSide, i: usize) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let of = if scene.setting.sides.len() > 1 {
        say!("Firmness of {side}", side = here.side.name)
    } else {
        say!("Firmness").to_owned()
    };
    let f = match &here.figures.shelf {
        Ok(f) => f,
        Err(why) => {
            title(ui, &of, "");
            muted(ui, &say!("No firmness: {why}", why = words::engine(why.words())));
            return;
        }
    };
    let against = match &f.reference {
        Some(name) => say!("% of {name} at 20 °C", name),
        None => say!("% of itself at 20 °C; choose a reference bar").to_owned(),
    };
    title(ui, &of, &against);
    let most = f.rows.iter().filter_map(|r| r.firmness).map(|b| b.high).fold(100.0_f64, f64::max);
    for row in f.rows.iter().chain([&f.parcel]) {
        let parcel = std::ptr::eq(row, &f.parcel);
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::hover());
        let name = format_f64(row.at_c, 0, style);
        let name = if parcel { say!("parcel {name} °C", name) } else { format!("{name} °C") };
        let painter = ui.painter();
        let y = rect.center().y;
        let text = fitted(painter, &name, fonts::small(), t.muted, 80.0);
        painter.galley(pos2(rect.left(), y - text.size().y / 2.0), text, t.muted);
        let left = rect.left() + 84.0;
        let bar = (rect.width() - 84.0) * 0.30;
        let Some(b) = row.firmness else { continue };
        let x = |v: f64| left + px(v / most) * bar;
        let solid = Rect::from_min_max(pos2(left, y - 6.0), pos2(x(b.at), y + 6.0));
        painter.rect_filled(solid, 2.0, Tokens::tint(t.side(i), 150));
        painter.hline(egui::Rangef::new(x(b.low), x(b.high)), y, Stroke::new(2.0, t.ink));
        let mut text = format!("{} %", format_f64(b.at, 0, style));
        let (low, high) = (format_f64(b.low, 0, style), format_f64(b.high, 0, style));
        if low != high {
            text.push_str(&format!(" ({low}–{high})"));
        }
        text.push_str(&format!(", {}", words::text(row.keeps.name())));
        let color = match row.keeps {
            quern_calc::setting::shelf::Keeps::Slumps if parcel && !f.in_a_pot => t.warn,
            _ => t.ink,
        };
        let mut job = egui::text::LayoutJob::simple_singleline(text.clone(), fonts::small(), color);
        job.wrap = egui::text::TextWrapping::truncate_at_width(rect.right() - (left + bar + 10.0));
        let galley = painter.layout_job(job);
        painter.galley(pos2(left + bar + 10.0, y - galley.size().y / 2.0), galley, color);
        response.widget_info(|| {
            WidgetInfo::labeled(egui::Role::Label, true, format!("{of}, {name}: {text}"))
        });
        response.on_hover_text(RichText::new(text));
    }
    if let Some(why) = &f.no_reference {
        muted(ui, &say!("The reference cannot be used: {why}", why = words::engine(why.words())));
    }
}

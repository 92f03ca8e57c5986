//! The figures as cards and tables, and what the model does not know.

use egui::{Align, Frame, Label, Layout, Margin, RichText, Ui, vec2};
use quern_calc::evaluate::{MeltFigures, Part, Readout, honest as honest_words};
use quern_calc::number::{NumberStyle, format_f64};

use super::muted;
use crate::app::Scene;
use crate::app::setting::SettingSide;
use crate::look::{Tokens, fonts, size};
use crate::widgets::table::{Cell, line_up, row_of, title, whole_row};
use crate::words;

/// Figures shown large, by their keys.
const CARDS: [&str; 8] = [
    "heat_to_c",
    "fats_clear_c",
    "sets_at_c",
    "pour_class",
    "window_from_c",
    "unmould_h",
    "cavities",
    "parcel_keeps",
];

/// The band of a row in words, unless it is no wider than a step.
pub fn band_words(row: &Readout, style: NumberStyle) -> Option<String> {
    let (low, high) = row.band?;
    let places = match row.value {
        quern_calc::evaluate::Value::Number(_, places) => places,
        _ => 0,
    };
    let (a, b) = (format_f64(low, places, style), format_f64(high, places, style));
    (a != b).then(|| say!("{low} to {high}", low = a, high = b))
}

/// Value with its unit.
fn value_words(row: &Readout, style: NumberStyle) -> String {
    let text = words::engine(row.value.text(style));
    let number = row.value.number().is_some();
    if number && !row.unit.is_empty() {
        format!("{text} {}", words::text(row.unit))
    } else {
        text.into_owned()
    }
}

/// The figures that decide, large.
pub fn cards(ui: &mut Ui, scene: &Scene<'_>) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let Some(here) = scene.setting.sides.first() else { return };
    let other = scene.setting.sides.get(1);
    let rows: Vec<&Readout> =
        CARDS.iter().filter_map(|key| here.rows.iter().find(|r| r.key == *key)).collect();
    let room = ui.available_width();
    let columns = if room > 1_080.0 {
        8
    } else if room > 560.0 {
        4
    } else {
        2
    };
    let gap = 8.0;
    let width = (room - gap * (columns as f32 - 1.0)) / columns as f32;
    let tall = if other.is_some() { 84.0 } else { 66.0 };
    for chunk in rows.chunks(columns) {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = gap;
            for row in chunk {
                let layout = Layout::top_down(Align::Min);
                ui.allocate_ui_with_layout(vec2(width, tall), layout, |ui| {
                    ui.set_width(width);
                    Frame::new()
                        .fill(t.panel)
                        .corner_radius(6)
                        .inner_margin(Margin::symmetric(10, 7))
                        .show(ui, |ui| {
                            ui.set_width(width - 20.0);
                            ui.set_min_height(tall - 14.0);
                            ui.spacing_mut().item_spacing.y = 1.0;
                            let small = |text: &str| {
                                RichText::new(text).font(fonts::small()).color(t.muted)
                            };
                            ui.add(Label::new(small(words::text(row.name))).truncate());
                            let value =
                                RichText::new(value_words(row, style)).font(fonts::strong(15.0));
                            ui.add(Label::new(value).truncate());
                            let about = match (&row.value, band_words(row, style)) {
                                (quern_calc::evaluate::Value::Absent(why), _) => {
                                    words::engine(why.words()).into_owned()
                                }
                                (_, Some(band)) => band,
                                _ => say!("estimate").to_owned(),
                            };
                            ui.add(Label::new(small(&about)).truncate());
                            let beside = other
                                .and_then(|o| Some((o, o.rows.iter().find(|r| r.key == row.key)?)));
                            if let Some((o, r)) = beside {
                                let text = format!("{}: {}", o.side.name, value_words(r, style));
                                let text =
                                    RichText::new(text).font(fonts::small()).color(t.side(1));
                                ui.add(Label::new(text).truncate());
                            }
                        });
                });
            }
        });
        ui.add_space(gap - 4.0);
    }
}

/// Every figure, part by part, with its band; a column for each formula.
pub fn figures(ui: &mut Ui, scene: &Scene<'_>) {
    let t = Tokens::of(ui);
    let sides = &scene.setting.sides;
    let Some(here) = sides.first() else { return };
    title(
        ui,
        say!("Figures"),
        say!(
            "estimates, but for what is typed; the band is over how crystals mix, or still to moving air"
        ),
    );
    let two = ui.available_width() > 860.0 && sides.len() == 1;
    let parts: [&[Part]; 2] = [&[Part::Melt, Part::Pour], &[Part::Cool, Part::Shelf]];
    if two {
        let half = ((ui.available_width() - 28.0) / 2.0).max(0.0);
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 28.0;
            for column in parts {
                ui.allocate_ui_with_layout(vec2(half, 0.0), Layout::top_down(Align::Min), |ui| {
                    ui.set_width(half);
                    column.iter().for_each(|part| part_rows(ui, scene, here, *part));
                });
            }
        });
        return;
    }
    let width = 640.0_f32.min(ui.available_width());
    ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::Min), |ui| {
        ui.set_width(width);
        if sides.len() > 1 {
            let heads: Vec<RichText> = sides
                .iter()
                .enumerate()
                .flat_map(|(i, s)| {
                    let name: String = s.side.name.chars().take(16).collect();
                    let name =
                        RichText::new(name).font(fonts::strong(size::SMALL)).color(t.side(i));
                    [name, RichText::new(say!("band")).font(fonts::small()).color(t.muted)]
                })
                .collect();
            row_of(ui, RichText::new(""), &heads, 92.0, true);
        }
        parts.into_iter().flatten().for_each(|part| part_rows(ui, scene, here, *part));
    });
}

fn part_rows(ui: &mut Ui, scene: &Scene<'_>, here: &SettingSide, part: Part) {
    let t = Tokens::of(ui);
    let style = scene.style();
    ui.add_space(4.0);
    ui.label(
        RichText::new(words::text(part.name())).font(fonts::strong(size::SMALL)).color(t.muted),
    );
    let shown: Vec<_> = here.rows.iter().filter(|r| r.part == part).collect();
    let mut figures: Vec<Vec<Cell>> = Vec::new();
    for row in &shown {
        let mut cells = Vec::new();
        for side in &scene.setting.sides {
            let Some(r) = side.rows.iter().find(|r| r.key == row.key) else { continue };
            let dash = matches!(r.value, quern_calc::evaluate::Value::Absent(_));
            let color = if dash { t.muted } else { t.ink };
            cells.push(Cell {
                text: words::engine(r.value.text(style)).into_owned(),
                font: fonts::text(),
                color,
            });
            let text = band_words(r, style).unwrap_or_default();
            cells.push(Cell { text, font: fonts::small(), color: t.muted });
        }
        figures.push(cells);
    }
    line_up(&mut figures);
    for (row, cells) in shown.into_iter().zip(&figures) {
        let unit = if row.unit.is_empty() {
            String::new()
        } else {
            format!(", {}", words::text(row.unit))
        };
        whole_row(ui, &format!("{}{unit}", words::text(row.name)), cells, 92.0);
        if scene.setting.sides.len() == 1
            && let quern_calc::evaluate::Value::Absent(why) = &row.value
        {
            muted(ui, &format!("   {}", words::engine(why.words())));
        }
    }
}

/// The melt curve as a table.
pub fn curve(ui: &mut Ui, scene: &Scene<'_>, here: &SettingSide, melt: &MeltFigures) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let mixing = scene.ui.setting.mixing;
    title(
        ui,
        say!("Melt curve"),
        &say!(
            "% of the fat that is solid; components: {mixing}",
            mixing = words::text(mixing.name())
        ),
    );
    let parts: Vec<usize> = super::solid_parts(melt).map(|(i, _)| i).collect();
    let small = |text: String| RichText::new(text).font(fonts::small()).color(t.muted);
    let mut heads = vec![small(say!("solid").to_owned()), small(say!("band").to_owned())];
    if let Some(other) = scene.setting.sides.get(1) {
        heads.push(small(other.side.name.chars().take(12).collect()));
    }
    heads.extend(parts.iter().map(|i| small(super::letter(*i))));
    let cell = (ui.available_width() * 0.8 / heads.len().max(1) as f32).clamp(40.0, 84.0);
    let width = (90.0 + cell * heads.len() as f32).min(ui.available_width());
    ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::Min), |ui| {
        ui.set_width(width);
        row_of(ui, small("°C".to_owned()), &heads, cell, true);
        for c in (0..=18_u8).map(|i| 5.0 * f64::from(i)) {
            let Some(fat) = here.figures.fat_at(melt, mixing, c) else { continue };
            let whole = |x: f64| format_f64(x, 0, style);
            let band =
                say!("{low} to {high}", low = whole(fat.solid.low), high = whole(fat.solid.high));
            let mut cells = vec![RichText::new(whole(fat.solid.at)), small(band)];
            if let Some(other) = scene.setting.sides.get(1) {
                let at = other
                    .side
                    .evaluation
                    .melt
                    .as_ref()
                    .ok()
                    .and_then(|m| other.figures.fat_at(m, mixing, c));
                cells.push(RichText::new(at.map_or("–".to_owned(), |f| whole(f.solid.at))));
            }
            let one =
                |i: &usize| fat.parts.get(*i).map_or(String::new(), |p| format_f64(p.1, 1, style));
            cells.extend(parts.iter().map(|i| RichText::new(one(i))));
            row_of(ui, RichText::new(whole(c)), &cells, cell, false);
        }
    });
    for (i, part) in super::solid_parts(melt) {
        muted(ui, &format!("{}  {}", super::letter(i), words::engine(&part.name)));
    }
}

/// What the model does not know.
pub fn honest(ui: &mut Ui) {
    title(ui, say!("What to keep in mind"), "");
    for text in honest_words() {
        muted(ui, &words::engine(text));
    }
}

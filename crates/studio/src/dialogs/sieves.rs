//! A sieve table under entry, with its fit in words and as a picture.

use egui::{Align2, Sense, Stroke, TextEdit, Ui, pos2, vec2};
use quern_calc::grit::axis::SizeAxis;
use quern_calc::grit::sieves::opening_of_mesh;
use quern_calc::grit::{GrainSize, SieveFit, SieveRow, SieveTable, SizeData};
use quern_calc::number::{MassUnit, NumberStyle, Syntax, Unit, format_f64, parse};
use quern_calc::quantity::decimal_to_f64;

use super::{error, note as muted};
use crate::app::state::TableDraft;
use crate::look::icons::Icon;
use crate::look::{Tokens, fonts};
use crate::widgets::icon_button;
use crate::words;

/// Size of a cell of the sieve table, in points.
const CELL: [f32; 2] = [120.0, 28.0];

/// The table under entry, and what it comes to.
pub fn entry(ui: &mut Ui, table: &mut TableDraft, syntax: Syntax, style: NumberStyle) {
    let mut remove = None;
    egui::Grid::new("sieve-table").num_columns(3).spacing([10.0, 3.0]).show(ui, |ui| {
        muted(ui, say!("sieve, mesh or µm"));
        muted(ui, say!("kept on it, g or %"));
        ui.end_row();
        let count = table.rows.len();
        for (i, (sieve, kept)) in table.rows.iter_mut().enumerate() {
            let n = i + 1;
            ui.add_sized(CELL, TextEdit::singleline(sieve)).accessible_name(say!("Sieve {n}", n));
            ui.add_sized(CELL, TextEdit::singleline(kept))
                .accessible_name(say!("Kept on sieve {n}", n));
            let name = say!("Remove sieve {n}", n);
            if icon_button(ui, Icon::Remove, &name, &name, count > 2).clicked() {
                remove = Some(i);
            }
            ui.end_row();
        }
        ui.label(say!("pan"));
        ui.add_sized(CELL, TextEdit::singleline(&mut table.pan))
            .accessible_name(say!("Mass in the pan"));
        ui.end_row();
        ui.label(say!("weighed in"));
        ui.add_sized(CELL, TextEdit::singleline(&mut table.sample).hint_text(say!("or empty")))
            .accessible_name(say!("Mass weighed in before sieving"));
        ui.end_row();
    });
    if let Some(i) = remove {
        table.rows.remove(i);
    }
    if ui.button(say!("+ Add a sieve")).clicked() {
        table.rows.push(Default::default());
    }
    match read_table(table, syntax) {
        Ok(read) => match quern_calc::grit::table::fit(&read) {
            Ok(fit) => fitted(ui, &fit, style),
            Err(e) => error(ui, Some(&words::told(e))),
        },
        Err(text) => muted(ui, &text),
    }
}

/// The fit beside its points, in words and as a picture.
pub fn fitted(ui: &mut Ui, fit: &SieveFit, style: NumberStyle) {
    let t = Tokens::of(ui);
    let percent = |x: f64| format_f64(100.0 * x, 1, style);
    let (area, response) = ui.allocate_exact_size(vec2(360.0, 120.0), Sense::hover());
    let words: Vec<String> = fit
        .points
        .iter()
        .map(|p| {
            say!(
                "{um} µm: {below} % below, fit {fitted} %",
                um = format_f64(p.um, 0, style),
                below = percent(p.below),
                fitted = percent(p.fitted)
            )
        })
        .collect();
    let name = say!("Sieve table and fit: {words}", words = words.join("; "));
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &name));
    let r = area.shrink2(vec2(30.0, 16.0));
    let (lo, hi) = (
        fit.points.first().map_or(50.0, |p| p.um) * 0.6,
        fit.points.last().map_or(1000.0, |p| p.um) * 1.7,
    );
    let Some(axis) = SizeAxis::new(lo, hi) else { return };
    let x = |um: f64| {
        #[allow(clippy::cast_possible_truncation)] // a place on screen
        let at = axis.place(um) as f32;
        r.left() + at * r.width()
    };
    let y = |share: f64| {
        #[allow(clippy::cast_possible_truncation)] // a place on screen
        let at = share as f32;
        r.bottom() - at * r.height()
    };
    let painter = ui.painter();
    for share in [0.0, 0.5, 1.0] {
        painter.hline(r.x_range(), y(share), Stroke::new(1.0, t.hairline));
        let text = format!("{} %", format_f64(100.0 * share, 0, style));
        painter.text(
            pos2(r.left() - 4.0, y(share)),
            Align2::RIGHT_CENTER,
            text,
            fonts::small(),
            t.muted,
        );
    }
    let size = SizeData::Lognormal { d50_um: fit.d50_um, sigma: fit.sigma };
    if let Ok(size) = GrainSize::fit(&size) {
        let line = (0..=60).map(|i| {
            let um = axis.size(f64::from(i) / 60.0);
            pos2(x(um), y(size.fraction_below(um)))
        });
        painter.add(egui::Shape::line(line.collect(), Stroke::new(1.8, t.accent)));
    }
    for p in &fit.points {
        painter.circle(pos2(x(p.um), y(p.below)), 4.0, t.raised, Stroke::new(2.0, t.side(1)));
        painter.text(
            pos2(x(p.um), r.bottom() + 2.0),
            Align2::CENTER_TOP,
            format_f64(p.um, 0, style),
            fonts::small(),
            t.muted,
        );
    }
    let mut text = say!(
        "Fit: D50 {d50} µm, spread {sigma}; it misses the points by {rms} points typically and {worst} at most",
        d50 = format_f64(fit.d50_um, 0, style),
        sigma = format_f64(fit.sigma, 2, style),
        rms = percent(fit.rms),
        worst = percent(fit.worst)
    );
    if fit.worst > 0.05 {
        text.push_str(say!("; the grade is not lognormal, so that tails are rough figures"));
    }
    if let Some(lost) = fit.lost.filter(|l| l.abs() >= 0.0005) {
        let way = if lost > 0.0 { say!("lost") } else { say!("too much") };
        text.push_str(&format!("; {} % {way}", percent(lost.abs())));
    }
    if !fit.in_order {
        text.push_str(say!("; the sieves do not stand in order, each was read by its opening"));
    }
    muted(ui, &text);
}

/// A plain number, or one in g or %.
pub fn plain(text: &str, what: &str, syntax: Syntax) -> Result<f64, String> {
    let typed = parse(text, syntax).map_err(|e| format!("{what}: {}", words::told(e)))?;
    let gram = Unit::Mass(MassUnit::Gram);
    if !(typed.unit.is_none() || typed.unit == Some(Unit::Percent) || typed.unit == Some(gram)) {
        return Err(say!("{what} is a plain number, or one in g or %", what));
    }
    Ok(decimal_to_f64(typed.value))
}

/// Reads the table.
pub fn read_table(draft: &TableDraft, syntax: Syntax) -> Result<SieveTable, String> {
    let mut rows = Vec::new();
    for (i, (sieve, kept)) in draft.rows.iter().enumerate() {
        let n = i + 1;
        if sieve.trim().is_empty() && kept.trim().is_empty() {
            continue;
        }
        if kept.trim().is_empty() {
            return Err(say!("Enter what sieve {n} kept; 0 if nothing", n));
        }
        let lower = sieve.trim().to_lowercase();
        let opening_um =
            if let Some(mesh) = lower.strip_prefix("mesh").or(lower.strip_suffix("mesh")) {
                let mesh = mesh.trim();
                opening_of_mesh(mesh)
                    .ok_or_else(|| say!("Sieve {n}: {mesh} is no sieve of ASTM E11", n, mesh))?
            } else {
                let bare = lower.replace('\u{3bc}', "\u{b5}");
                let bare = bare.trim_end_matches("\u{b5}m").trim_end_matches("um").trim();
                plain(bare, &say!("Sieve {n}", n), syntax)?
            };
        rows.push(SieveRow {
            opening_um,
            kept: plain(kept, &say!("Kept on sieve {n}", n), syntax)?,
        });
    }
    let optional = |text: &str, what: &str| -> Result<Option<f64>, String> {
        if text.trim().is_empty() { Ok(None) } else { plain(text, what, syntax).map(Some) }
    };
    let pan = optional(&draft.pan, say!("Pan"))?
        .ok_or(say!("Enter what was in the pan; 0 if nothing"))?;
    Ok(SieveTable { rows, pan, sample: optional(&draft.sample, say!("Weighed in"))? })
}

/// A sieve table in words, as the raw entry that is kept.
pub fn table_words(draft: &TableDraft) -> String {
    let rows: Vec<String> = draft
        .rows
        .iter()
        .filter(|(s, k)| !(s.trim().is_empty() && k.trim().is_empty()))
        .map(|(s, k)| format!("{}: {}", s.trim(), k.trim()))
        .collect();
    let mut text =
        say!("sieve table {rows}; pan {pan}", rows = rows.join(", "), pan = draft.pan.trim());
    if !draft.sample.trim().is_empty() {
        text.push_str(&say!("; weighed in {sample}", sample = draft.sample.trim()));
    }
    text
}

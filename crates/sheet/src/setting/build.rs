//! From formulas and figures to words.

use quern_calc::evaluate::{Derived, honest};
use quern_calc::number::{NumberStyle, format_f64, format_plain};
use quern_calc::quantity::Grams;
use quern_calc::setting::notes::SettingNotes;

use super::cool::CoolChart;
use super::melt::MeltChart;
use super::strip::StripChart;
use super::{RemarkWords, SettingSheet, SettingSide, Side, tables};
use crate::bench::About;
use crate::text::{bound, capital, clean, edition, joined, names};

pub(super) fn build(
    sides: &[SettingSide<'_>],
    notes: &SettingNotes,
    about: &About,
) -> SettingSheet {
    let style = about.style;
    let names = names(&sides.iter().map(|s| s.formula).collect::<Vec<_>>());
    let title = match names.as_slice() {
        [] => "Setting: no formula chosen".to_owned(),
        all => format!("Setting: {}", all.join(", ")),
    };
    SettingSheet {
        title,
        dated: joined(&[about.style.dates.words(about.date), clean(&about.workshop)], " \u{b7} "),
        made_by: joined(
            &[
                format!("{} setting sheet", clean(&about.program)),
                edition("library", &about.library_edition),
            ],
            " \u{b7} ",
        ),
        paper: about.paper,
        melt: MeltChart::new(sides, &names, notes, style),
        strip: StripChart::new(sides, &names, style),
        cool: CoolChart::new(sides, &names, style),
        no_melt: absent(sides, &names, "no melt curve", |s| {
            s.evaluation.melt.as_ref().map(|_| ()).map_err(Clone::clone)
        }),
        no_strip: absent(sides, &names, "no pour strip", |s| {
            s.figures.window.as_ref().map(|_| ()).map_err(Clone::clone)
        }),
        no_cool: absent(sides, &names, "no cooling curve", |s| {
            s.figures.cool.as_ref().map(|_| ()).map_err(Clone::clone)
        }),
        parts: tables::parts(sides, &names, style),
        assumed: assumed(sides, &names, style),
        sides: sides.iter().zip(&names).map(|(s, name)| side(s, name, notes, style)).collect(),
    }
}

/// Why a picture lacks a formula; the name only where there are two.
fn absent(
    sides: &[SettingSide<'_>],
    names: &[String],
    what: &str,
    of: impl Fn(&SettingSide<'_>) -> Derived<()>,
) -> Vec<String> {
    let whose = |name: &String| if names.len() > 1 { format!("{name}: ") } else { String::new() };
    sides
        .iter()
        .zip(names)
        .filter_map(|(side, name)| {
            let why = of(side).err()?;
            let said = format!("{what}: {}", clean(&why.words()));
            Some(match whose(name) {
                // A name of a user keeps its letters.
                name if name.is_empty() => capital(&said),
                name => name + &said,
            })
        })
        .collect()
}

fn side(side: &SettingSide<'_>, name: &str, notes: &SettingNotes, style: NumberStyle) -> Side {
    let (formula, figures) = (side.formula, side.figures);
    let batch = side.evaluation.batch.as_ref().ok().map_or(String::new(), |b| {
        let grams = |x: Grams| format!("{} g", format_plain(x.0.round_dp(2), style));
        let size = match (b.pieces, b.piece) {
            (Some(pieces), Some(piece)) => format!("{pieces} \u{d7} {}", grams(piece)),
            _ => format!("{} net", grams(b.net)),
        };
        format!("batch {} \u{b7} {size}", clean(&side.evaluation.batch_code))
    });
    let (checks, measured_on) = tables::checks(side, notes, style);
    Side {
        name: name.to_owned(),
        product: format!(
            "{} \u{b7} version {}, {}",
            formula.product.words(),
            formula.version.number,
            formula.version.state.name()
        ),
        batch,
        remarks: side
            .remarks
            .iter()
            .map(|r| RemarkWords {
                tone: r.tone.name(),
                text: bound(&clean(&r.text)),
                choices: r.choices.iter().map(|c| bound(&clean(c))).collect(),
            })
            .collect(),
        checks,
        measured_on,
        corrected: corrected(figures.correction, style),
    }
}

/// What the measurements do, as far as they do something.
fn corrected(c: quern_calc::setting::calibrate::Correction, style: NumberStyle) -> String {
    let [_, usual, _] = c.shift_c;
    let percent = |x: f64| format_f64(100.0 * x, 0, style);
    let moved = |x: f64| (x - 1.0).abs() > 0.0005;
    let parts = [
        if usual.abs() > 0.05 {
            let sign = if usual > 0.0 { "+" } else { "" };
            format!("melt curve {sign}{} \u{b0}C", format_f64(usual, 1, style))
        } else {
            String::new()
        },
        if moved(c.packing) {
            format!("packing limit {} %", percent(c.packing))
        } else {
            String::new()
        },
        if moved(c.fill) { format!("density {} %", percent(c.fill)) } else { String::new() },
        if moved(c.firmness) {
            format!("firmness {} %", percent(c.firmness))
        } else {
            String::new()
        },
    ];
    joined(&parts, "; ")
}

/// What stands behind the figures: of each formula, then of all.
fn assumed(sides: &[SettingSide<'_>], names: &[String], style: NumberStyle) -> Vec<String> {
    let mut out = Vec::new();
    for (side, name) in sides.iter().zip(names) {
        let whose = if names.len() > 1 { format!("{name}: ") } else { String::new() };
        if let Ok(pour) = &side.figures.pour
            && !pour.assumed.is_empty()
        {
            let powders = clean(&pour.assumed.join(", "));
            out.push(format!("{whose}grain sizes assumed for {powders}"));
        }
        if let Ok(shelf) = &side.figures.shelf {
            let against = match (&shelf.reference, &shelf.no_reference) {
                (Some(reference), _) => {
                    format!("firmness in % of {} at 20 \u{b0}C", clean(reference))
                }
                (None, Some(why)) => {
                    format!("firmness in % of its own at 20 \u{b0}C: {}", clean(&why.words()))
                }
                (None, None) => "firmness in % of its own at 20 \u{b0}C".to_owned(),
            };
            out.push(format!("{whose}{against}"));
        }
        if let Some(energy) = side.figures.energy.as_ref().filter(|e| e.minutes.is_some()) {
            let n = |x: f64| format_f64(x, 0, style);
            out.push(format!(
                "{whose}heater of {} W, from {} to {} \u{b0}C, without pot and bath",
                n(energy.watts),
                n(energy.from_c),
                n(energy.to_c)
            ));
        }
    }
    let alone = names.len() == 1;
    let mut out: Vec<String> =
        out.iter().map(|s| bound(&if alone { capital(s) } else { s.clone() })).collect();
    out.extend(honest().iter().map(|s| bound(&clean(s))));
    out
}

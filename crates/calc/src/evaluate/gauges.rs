//! The gauges beside a formula: a value, a word for it and a place on a track.

use rust_decimal::Decimal;

use super::{Evaluation, WhyNot};
use crate::formula::Formula;
use crate::number::{NumberStyle, format_f64, format_fixed};

/// A mark on a track of 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Track {
    /// Where the value stands.
    pub at: f64,
    /// A band around it or a usual range, if there is one.
    pub band: Option<(f64, f64)>,
}

/// One gauge, ready to draw.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauge {
    /// Stable key.
    pub key: &'static str,
    /// Name.
    pub name: &'static str,
    /// Value with unit; a dash when there is none.
    pub value: String,
    /// A word about it, or why there is none.
    pub word: String,
    /// What it is, for a tooltip.
    pub about: String,
    /// Place on a track.
    pub track: Option<Track>,
    /// True when something stands against it.
    pub off: bool,
}

/// Place of a value on a linear track.
fn along(value: f64, low: f64, high: f64) -> f64 {
    ((value - low) / (high - low)).clamp(0.0, 1.0)
}

/// Place on a logarithmic track; values at or below the low end sit there.
fn along_log(value: f64, low: f64, high: f64) -> f64 {
    if value <= low { 0.0 } else { along(value.ln(), low.ln(), high.ln()) }
}

/// Place of a grit index on its logarithmic track of 3 to 250, 0 to 1.
#[must_use]
pub fn index_place(index: f64) -> f64 {
    along_log(index, 3.0, 250.0)
}

fn absent(key: &'static str, name: &'static str, why: &WhyNot, about: &str) -> Gauge {
    Gauge {
        key,
        name,
        value: "–".to_owned(),
        word: why.words(),
        about: about.to_owned(),
        track: None,
        off: false,
    }
}

/// The gauges of a formula, in the order of the screen.
#[must_use]
pub fn gauges(formula: &Formula, e: &Evaluation, style: NumberStyle) -> Vec<Gauge> {
    let mut out = vec![total(e, style)];
    out.push(grit(e, style));
    out.push(heat(e, style));
    out.push(powder(e, style));
    if let Ok(active) = &e.active_surfactant {
        let word = if formula.product.form.is_bar() { "active, of the bar" } else { "active" };
        out.push(Gauge {
            key: "active_surfactant",
            name: "Surfactant",
            value: format!("{} %", format_fixed(active.0, 1, style)),
            word: word.to_owned(),
            about: "Surfactant counted as active matter, the way a certificate states it"
                .to_owned(),
            track: Some(Track { at: along(active.to_f64(), 0.0, 60.0), band: None }),
            off: false,
        });
    }
    out.push(cost(e, style));
    out
}

fn total(e: &Evaluation, style: NumberStyle) -> Gauge {
    let difference = e.total - crate::quantity::Percent::HUNDRED;
    let word = if difference.is_zero() {
        "exact".to_owned()
    } else if e.total_ok {
        "within 0.005".to_owned()
    } else if difference.is_negative() {
        format!("{} short", format_fixed(-difference.0, 2, style))
    } else {
        format!("{} over", format_fixed(difference.0, 2, style))
    };
    Gauge {
        key: "total",
        name: "Total",
        value: format!("{} %", format_fixed(e.total.0, 2, style)),
        word,
        about: "Sum of all lines before rounding; 100 within 0.005".to_owned(),
        track: Some(Track {
            at: along(e.total.to_f64(), 80.0, 120.0),
            band: Some((along(99.995, 80.0, 120.0), along(100.005, 80.0, 120.0))),
        }),
        off: !e.total_ok,
    }
}

fn grit(e: &Evaluation, style: NumberStyle) -> Gauge {
    const ABOUT: &str = "Relative index from a wear model, 50 is a medium fruit-stone grade at 5 %; it ranks blends and is not a skin test";
    match &e.grains {
        Err(why) => absent("grit", "Grit", why, ABOUT),
        Ok(f) => {
            let mut about = ABOUT.to_owned();
            if f.density_assumed {
                about.push_str("; product density assumed");
            }
            if !f.left_out.is_empty() {
                about.push_str("; left out for want of data: ");
                about.push_str(&f.left_out.join(", "));
            }
            Gauge {
                key: "grit",
                name: "Grit",
                value: format_f64(f.grit.index, 0, style),
                word: f.grit.band.guide().to_owned(),
                about,
                track: Some(Track {
                    at: index_place(f.grit.index),
                    band: (f.grit.in_use < f.grit.index)
                        .then(|| (index_place(f.grit.in_use), index_place(f.grit.index))),
                }),
                off: false,
            }
        }
    }
}

fn heat(e: &Evaluation, style: NumberStyle) -> Gauge {
    const ABOUT: &str = "Estimate: highest of fats clear plus 10 °C, melting points above 1 % of the phase, and least process temperatures";
    match &e.heat_to {
        Err(why) => absent("heat_to", "Heat to", why, ABOUT),
        Ok(h) => {
            let (word, band) = match &e.melt {
                Ok(m) => {
                    let (low, high) = m.band_c;
                    let word = if high - low < 1.0 {
                        format!("fats clear {}", format_f64(low, 0, style))
                    } else {
                        format!(
                            "fats clear {}–{}",
                            format_f64(low, 0, style),
                            format_f64(high, 0, style)
                        )
                    };
                    (word, Some((along(low, 20.0, 95.0), along(high, 20.0, 95.0))))
                }
                Err(_) => (h.reason.words(), None),
            };
            Gauge {
                key: "heat_to",
                name: "Heat to",
                value: format!("{} °C", format_f64(h.c, 0, style)),
                word,
                about: format!("{ABOUT}. Set by: {}", h.reason.words()),
                track: Some(Track { at: along(h.c, 20.0, 95.0), band }),
                off: false,
            }
        }
    }
}

fn powder(e: &Evaluation, style: NumberStyle) -> Gauge {
    const ABOUT: &str = "Powders with exfoliants over all that is melted or liquid at pouring; a hint, how it pours decides";
    match &e.paste.powder_to_liquid {
        Err(why) => absent("powder_to_liquid", "Powder : liquid", why, ABOUT),
        Ok(ratio) => Gauge {
            key: "powder_to_liquid",
            name: "Powder : liquid",
            value: format_f64(*ratio, 2, style),
            word: "by mass".to_owned(),
            about: ABOUT.to_owned(),
            track: Some(Track { at: along(*ratio, 0.0, 3.0), band: None }),
            off: false,
        },
    }
}

fn cost(e: &Evaluation, style: NumberStyle) -> Gauge {
    const ABOUT: &str =
        "Materials of the gross batch over saleable pieces; no packaging, labour or postage";
    if !e.cost.is_complete() {
        let names = &e.cost.unpriced_names;
        let word = match names.len() {
            0 => "lines not counted".to_owned(),
            1 => "1 price missing".to_owned(),
            n => format!("{n} prices missing"),
        };
        return Gauge {
            key: "cost",
            name: "Cost a piece",
            value: "–".to_owned(),
            word,
            about: format!("{ABOUT}. Without a price: {}", names.join(", ")),
            track: None,
            off: false,
        };
    }
    match (e.cost_per_piece(), e.batch.as_ref().ok().and_then(|b| b.piece)) {
        (Ok(money), piece) => Gauge {
            key: "cost",
            name: "Cost a piece",
            value: format_fixed(money.0, 2, style),
            word: piece.map_or_else(
                || "materials".to_owned(),
                |g| format!("{} g, materials", format_fixed(g.0, whole(g.0), style)),
            ),
            about: ABOUT.to_owned(),
            track: None,
            off: false,
        },
        (Err(_), _) => Gauge {
            key: "cost",
            name: "Cost of 100 g",
            value: format_fixed(e.cost.per_100g.0, 2, style),
            word: "materials".to_owned(),
            about: "Materials of 100 g of product; set a piece weight for the cost of a piece"
                .to_owned(),
            track: None,
            off: false,
        },
    }
}

/// No decimals for a whole number of grams, else one.
fn whole(value: Decimal) -> u32 {
    u32::from(!value.fract().is_zero())
}

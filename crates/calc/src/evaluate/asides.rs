//! What stands behind the figures of the Setting view, in short sentences: written once, for the
//! view, the sheet and the command line alike.

use super::{Evaluation, Part, SettingFigures};
use crate::number::{NumberStyle, format_f64};
use crate::setting::mould::{Mould, Stand};

/// A mould in words: outline and sizes, wall, and the cavity where it was measured.
#[must_use]
pub fn mould_words(mould: &Mould, style: NumberStyle) -> String {
    let number = |x: f64| plain(x, style);
    let shape = &mould.shape;
    let sizes: Vec<String> = shape
        .size_names()
        .iter()
        .zip(shape.sizes_mm())
        .map(|(name, mm)| format!("{name} {}", number(mm)))
        .collect();
    let mut words = format!(
        "{}: {} of {}, {} mm",
        mould.name,
        shape.name(),
        mould.wall.name(),
        sizes.join(", ")
    );
    if let Some(ml) = mould.measured_ml {
        words.push_str(&format!(
            "; cavity measured as {} mL, by its sizes {} mL",
            format_f64(ml, 1, style),
            format_f64(shape.volume_ml(), 1, style)
        ));
    }
    words
}

/// A size with a decimal only where it has one.
fn plain(x: f64, style: NumberStyle) -> String {
    format_f64(x, if (x - x.round()).abs() < 0.05 { 0 } else { 1 }, style)
}

/// What stands behind the figures of a part.
#[must_use]
pub fn asides(part: Part, e: &Evaluation, s: &SettingFigures, style: NumberStyle) -> Vec<String> {
    let mut out = Vec::new();
    match part {
        Part::Melt => melt(e, style, &mut out),
        Part::Pour => pour(s, style, &mut out),
        Part::Cool => cool(s, style, &mut out),
        Part::Shelf => shelf(s, style, &mut out),
    }
    out
}

fn melt(e: &Evaluation, style: NumberStyle, out: &mut Vec<String>) {
    if let Ok(heat) = &e.heat_to {
        out.push(format!("Heat to: {}", heat.reason.words()));
    }
    let [_, shift, _] = e.correction.shift_c;
    if e.melt.is_ok() && shift.abs() >= 0.05 {
        let way = if shift > 0.0 { "up" } else { "down" };
        let c = format_f64(shift.abs(), 1, style);
        out.push(format!("Melt curve moved {way} by {c} °C, as measured"));
    }
}

fn factor(what: &str, x: f64, style: NumberStyle, out: &mut Vec<String>) {
    if (x - 1.0).abs() >= 0.0005 {
        out.push(format!("{what} times {}, as measured", format_f64(x, 3, style)));
    }
}

fn pour(s: &SettingFigures, style: NumberStyle, out: &mut Vec<String>) {
    if let Ok(p) = &s.pour {
        let (a, b) = p.class_band;
        if a != b {
            out.push(format!("By its band it may be anything from {} to {}", a.name(), b.name()));
        }
        if !p.assumed.is_empty() {
            out.push(format!("Grain sizes are assumed for {}", p.assumed.join(", ")));
        }
        factor("Packing limit", s.correction.packing, style, out);
    }
    if let Ok(w) = &s.window
        && !w.limits.is_empty()
    {
        let limits: Vec<String> = w
            .limits
            .iter()
            .map(|l| format!("{} {} °C", l.name, format_f64(l.c, 0, style)))
            .collect();
        out.push(format!("Cool-down, at most: {}", limits.join("; ")));
    }
}

fn cool(s: &SettingFigures, style: NumberStyle, out: &mut Vec<String>) {
    if let Some(mould) = &s.mould {
        let stand = match s.stand {
            Stand::Bench => "on the bench, where the bottom does not cool",
            Stand::Rack => "on a rack",
            Stand::Fridge => "on a rack in the fridge",
        };
        out.push(format!("{}; {stand}", mould_words(mould, style)));
    }
    if s.pour.is_ok() {
        factor("Density of the paste", s.correction.fill, style, out);
    }
    if let Some(m) = &s.energy {
        let whole = |x: f64| format_f64(x, 0, style);
        out.push(format!(
            "Heated are {} % of the product, from {} to {} °C: {} kJ for each kg of that, without \
             the pot; half of {} W is taken to reach it",
            format_f64(m.percent, 1, style),
            whole(m.from_c),
            whole(m.to_c),
            whole(m.kj_kg),
            whole(m.watts)
        ));
    }
}

fn shelf(s: &SettingFigures, style: NumberStyle, out: &mut Vec<String>) {
    let Ok(f) = &s.shelf else { return };
    out.push(match (&f.reference, &f.no_reference) {
        (Some(name), _) => format!("Firmness is in % of {name} at 20 °C"),
        (None, Some(why)) => {
            format!("Firmness is in % of its own at 20 °C; the reference gives {}", why.words())
        }
        (None, None) => "Firmness is in % of its own at 20 °C".to_owned(),
    });
    factor("Firmness", s.correction.firmness, style, out);
    if f.in_a_pot {
        out.push("It stays in its tin or jar, so it needs no shape of its own".to_owned());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::number::DecimalSign;
    use crate::setting::mould::{Shape, Wall};

    #[test]
    fn moulds_are_told_in_words() {
        let mut mould = Mould {
            name: "Oak".to_owned(),
            shape: Shape::Disc(70.5, 25.0),
            measured_ml: None,
            wall: Wall::Wood,
        };
        let style = NumberStyle::with_sign(DecimalSign::Comma);
        assert_eq!(mould_words(&mould, style), "Oak: disc of wood, diameter 70,5, depth 25 mm");
        mould.measured_ml = Some(96.0);
        let words = mould_words(&mould, NumberStyle::default());
        assert!(words.ends_with("cavity measured as 96.0 mL, by its sizes 97.6 mL"), "{words}");
    }
}

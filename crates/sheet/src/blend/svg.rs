//! The two pictures as inline SVG, each for a wide page and for a phone.

use super::chart::{Chart, Curve};
use super::scale::Scale;
use super::{COLOURS, SHAPES};
use crate::text::escaped;

/// Room that a picture is drawn for, in its own units.
#[derive(Clone, Copy)]
pub(super) struct Room {
    /// Class that a style sheet shows or hides it by.
    class: &'static str,
    width: f64,
    /// Height of the chart.
    height: f64,
    font: f64,
}

/// A desk.
pub(super) const WIDE: Room = Room { class: "wide", width: 760.0, height: 292.0, font: 11.5 };
/// Paper, in the room that the words leave.
pub(super) fn paper(height: f64) -> Room {
    Room { class: "print", height, ..WIDE }
}

/// A phone.
pub(super) const NARROW: Room = Room { class: "narrow", width: 360.0, height: 290.0, font: 11.0 };

/// Width of a letter over the height of the type, about.
const LETTER: f64 = 0.6;

pub(super) fn colour(side: usize) -> &'static str {
    COLOURS.get(side % COLOURS.len()).copied().unwrap_or_default()
}

/// A mark of a blend around a point; hollow for a second figure.
pub(super) fn mark(side: usize, x: f64, y: f64, r: f64, hollow: bool) -> String {
    let paint = if hollow {
        format!("fill=\"#fff\" stroke=\"{}\" stroke-width=\"1.6\"", colour(side))
    } else {
        format!("fill=\"{}\" stroke=\"#fff\" stroke-width=\"1\"", colour(side))
    };
    let shape = |points: &[(f64, f64)]| {
        let at: Vec<String> =
            points.iter().map(|(a, b)| format!("{:.1},{:.1}", x + a * r, y + b * r)).collect();
        format!("<polygon points=\"{}\" {paint}/>", at.join(" "))
    };
    match SHAPES.get(side % SHAPES.len()).copied() {
        Some("square") => shape(&[(-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)]),
        Some("triangle") => shape(&[(0.0, -1.2), (1.15, 0.85), (-1.15, 0.85)]),
        Some("diamond") => shape(&[(0.0, -1.25), (1.25, 0.0), (0.0, 1.25), (-1.25, 0.0)]),
        _ => format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{r:.1}\" {paint}/>"),
    }
}

fn text(x: f64, y: f64, anchor: &str, class: &str, words: &str) -> String {
    format!(
        "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" class=\"{class}\">{}</text>\n",
        escaped(words)
    )
}

fn line(a: (f64, f64), b: (f64, f64), class: &str) -> String {
    format!(
        "<line x1=\"{:.1}\" y1=\"{:.1}\" x2=\"{:.1}\" y2=\"{:.1}\" class=\"{class}\"/>\n",
        a.0, a.1, b.0, b.1
    )
}

fn open(room: Room, height: f64, id: &str, title: &str, words: &str) -> String {
    let (class, width) = (room.class, room.width);
    let id = format!("{id}-{class}");
    format!(
        "<svg class=\"{class}\" viewBox=\"0 0 {width} {height:.0}\" role=\"img\" \
         aria-labelledby=\"{id}-t {id}-d\" font-size=\"{}\">\n<title id=\"{id}-t\">{title}</title>\n\
         <desc id=\"{id}-d\">{}</desc>\n",
        room.font,
        escaped(words)
    )
}

/// The chart of grains by size.
pub(super) fn chart(chart: &Chart, room: Room) -> String {
    let font = room.font;
    let (top, bottom) = (font * 3.5, room.height - font * 3.4);
    let x = |share: f64| share * room.width;
    let y = |share: f64| bottom - share * (bottom - top);
    let mut out = open(room, room.height, "sizes", "Grains by size", &chart.words);

    let words = font * 1.05;
    out.push_str(&text(0.0, words, "start", "soft", "mesh"));
    out.push_str(&text(0.0, bottom + font * 1.4, "start", "soft", "\u{b5}m"));
    for sieve in &chart.sieves {
        // Too near its neighbours on a phone.
        if room.class == "narrow" && sieve.mesh == "14" {
            continue;
        }
        let at = x(sieve.at);
        out.push_str(&line((at, font * 1.5), (at, bottom + 3.0), "hair"));
        out.push_str(&text(at, words, "middle", "soft", sieve.mesh));
        out.push_str(&text(at, bottom + font * 1.4, "middle", "soft", &sieve.um));
    }
    for (height, words) in &chart.levels {
        out.push_str(&line((0.0, y(*height)), (room.width, y(*height)), "hair faint"));
        out.push_str(&text(0.0, y(*height) - 3.0, "start", "soft halo", words));
    }
    let whole = chart.curves.iter().filter(|c| c.whole);
    if chart.shows_exfoliants() {
        for curve in whole {
            out.push_str(&format!(
                "<path d=\"{}\" fill=\"{}\" fill-opacity=\"0.08\"/>\n",
                path(curve, &x, &y, true),
                colour(curve.side)
            ));
        }
    }
    for curve in &chart.curves {
        let paint = match (curve.whole, curve.side % 2) {
            (true, _) => "stroke-width=\"2.2\"",
            (false, 0) => "stroke-width=\"1.3\" stroke-dasharray=\"6 3.5\"",
            (false, _) => "stroke-width=\"1.5\" stroke-dasharray=\"1.5 3\"",
        };
        out.push_str(&format!(
            "<path d=\"{}\" fill=\"none\" stroke=\"{}\" stroke-linejoin=\"round\" {paint}/>\n",
            path(curve, &x, &y, false),
            colour(curve.side)
        ));
    }
    out.push_str(&line((0.0, bottom), (room.width, bottom), "axis"));
    if let Some(cut) = &chart.cut {
        let (at, low) = (x(cut.at), bottom + font * 2.5);
        let half = letters(&cut.words) * font * LETTER / 2.0 + 5.0;
        let middle = at.clamp(half, room.width - half);
        out.push_str(&line((at, top), (at, low), "cut"));
        out.push_str(&format!(
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" rx=\"4\" class=\"pill\"/>\n",
            middle - half,
            low - font * 0.8,
            half * 2.0,
            font * 1.6
        ));
        out.push_str(&text(middle, low + font * 0.37, "middle", "on", &cut.words));
    }
    for (side, at, height, number) in &chart.numbers {
        let label = text(x(*at), y(*height) + font + 3.0, "middle", "halo strong", number);
        out.push_str(&format!("<g fill=\"{}\">{label}</g>\n", colour(*side)));
    }
    for mark in chart.marks.iter().filter(|m| !m.middle) {
        out.push_str(&self::mark(mark.side, x(mark.at), y(mark.height), 3.2, false));
    }
    for label in chart.labels(room.width, font * LETTER) {
        let to = (x(label.to.0), y(label.to.1));
        let left = label.at - label.wide / 2.0;
        let base = font * 2.9;
        out.push_str(&format!(
            "<g stroke=\"{}\" opacity=\"0.6\">{}</g>\n",
            colour(label.side),
            line((label.at, base + 4.0), to, "lead")
        ));
        out.push_str(&mark(label.side, to.0, to.1, 4.4, false));
        out.push_str(&mark(label.side, left + 6.0, base - font * 0.35, 4.4, false));
        out.push_str(&format!(
            "<g fill=\"{}\">{}</g>\n",
            colour(label.side),
            text(left + 14.0, base, "start", "strong halo", &label.text)
        ));
    }
    out.push_str("</svg>\n");
    out
}

fn path(curve: &Curve, x: &impl Fn(f64) -> f64, y: &impl Fn(f64) -> f64, closed: bool) -> String {
    let mut out = String::new();
    let mut points = curve.points.clone();
    if closed && let (Some(first), Some(last)) = (points.first().copied(), points.last().copied()) {
        points.insert(0, (first.0, 0.0));
        points.push((last.0, 0.0));
    }
    for (at, (a, b)) in points.iter().enumerate() {
        out.push_str(if at == 0 { "M" } else { "L" });
        out.push_str(&format!("{:.1} {:.1}", x(*a), y(*b)));
    }
    if closed && !points.is_empty() {
        out.push('Z');
    }
    out
}

fn letters(words: &str) -> f64 {
    words.chars().count() as f64
}

/// The index scale.
pub(super) fn scale(scale: &Scale, room: Room) -> String {
    let font = room.font;
    let phone = room.class == "narrow";
    let (left, step) = match room.class {
        "narrow" => (0.0, font * 3.1),
        "print" => (room.width * 0.4, font * 1.5),
        _ => (room.width * 0.4, font * 1.9),
    };
    let wide = room.width - left;
    let x = |share: f64| left + share * wide;
    let first = font * 2.0;
    let bottom = first + step * scale.rows.len() as f64;
    let height = bottom + font * 1.6;
    let mut out = open(room, height, "index", "Grit index", &scale.words());

    // Names of the bands above, where they meet below.
    let strip = font * 0.9;
    for (at, (a, b, name)) in scale.bands.iter().enumerate() {
        let name = if phone { name.trim_start_matches("very ") } else { name };
        let name = if phone && at == 0 { "v. gentle" } else { name };
        out.push_str(&text(x((a + b) / 2.0), font, "middle", "soft", name));
    }
    for (at, row) in scale.rows.iter().enumerate() {
        let row_top = first + step * at as f64;
        let middle = if phone { row_top + font * 2.1 } else { row_top + font * 0.7 };
        let base = if phone { row_top + font * 1.1 } else { middle + font * 0.37 };
        for (band, (a, b, _)) in scale.bands.iter().enumerate() {
            out.push_str(&format!(
                "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{strip:.1}\" class=\"band b{band}\"/>\n",
                x(*a),
                middle - strip / 2.0,
                (b - a) * wide
            ));
        }
        if let Some((a, b)) = row.range {
            out.push_str(&format!(
                "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{strip:.1}\" rx=\"{:.1}\" fill=\"{}\" fill-opacity=\"0.45\"/>\n",
                x(a),
                middle - strip / 2.0,
                ((b - a) * wide).max(1.0),
                strip / 2.0,
                colour(at)
            ));
        }
        if let Some(place) = row.in_use {
            out.push_str(&mark(at, x(place), middle, 4.4, true));
        }
        if let Some(place) = row.at {
            out.push_str(&mark(at, x(place), middle, 5.2, false));
        }
        out.push_str(&mark(at, 6.0, base - font * 0.35, 4.4, false));
        let most = if phone { 25.0 } else { 17.0 };
        out.push_str(&format!(
            "<g fill=\"{}\">{}</g>\n",
            colour(at),
            text(16.0, base, "start", "strong", &cut(&row.name, most))
        ));
        let end = if phone { room.width - font * 10.5 } else { left * 0.62 };
        let (anchor, from) = if row.at.is_some() { ("end", end) } else { ("start", left * 0.62) };
        let from = if phone && row.at.is_none() { room.width * 0.6 } else { from };
        let class = if row.at.is_some() { "strong" } else { "soft" };
        out.push_str(&text(from, base, anchor, class, &row.index));
        if !row.spread.is_empty() {
            let (at, anchor) = if phone { (room.width, "end") } else { (from + 8.0, "start") };
            out.push_str(&text(at, base, anchor, "soft", &row.spread));
        }
    }
    for (at, words) in &scale.edges {
        out.push_str(&text(x(*at), bottom + font * 0.9, "middle", "soft", words));
        // On a phone the words stand between the strips.
        let from = if phone { bottom - strip } else { font * 1.5 };
        out.push_str(&line((x(*at), from), (x(*at), bottom - 2.0), "hair"));
    }
    out.push_str("</svg>\n");
    out
}

/// At most about so many letters; the table holds the whole name.
fn cut(words: &str, most: f64) -> String {
    if letters(words) <= most {
        return words.to_owned();
    }
    let mut out = String::new();
    for c in words.chars() {
        if letters(&out) + 2.0 > most {
            break;
        }
        out.push(c);
    }
    out.truncate(out.trim_end().len());
    out.push('\u{2026}');
    out
}

//! Pictures as inline SVG.

use super::melt::LAYERS_MOST;
use super::picture::{Item, Picture};
use crate::text::escaped;

/// Strokes of the pattern of each layer, on a tile of 8 by 8; in their order with the tones they
/// tell the layers apart without colour.
const PATTERNS: [&str; LAYERS_MOST] = [
    "M-1 1L1 -1M0 8L8 0M7 9L9 7",
    "M1.6 2h1M5.6 6h1",
    "M0 2h8M0 6h8",
    "",
    "M-1 7L1 9M0 0L8 8M7 -1L9 1",
    "M2 0v8M6 0v8",
    "M0 0L8 8M8 0L0 8",
    "M4 2v4M2 4h4",
];

/// The patterns, once for the page.
pub(super) fn patterns() -> String {
    let mut out =
        String::from("<svg class=\"defs\" width=\"0\" height=\"0\" aria-hidden=\"true\"><defs>\n");
    for (i, strokes) in PATTERNS.iter().enumerate() {
        out.push_str(&format!(
            "<pattern id=\"p{i}\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\">\
             <rect width=\"8\" height=\"8\" class=\"t{i}\"/><path d=\"{strokes}\" class=\"grain\"/></pattern>\n"
        ));
    }
    out.push_str("</defs></svg>\n");
    out
}

/// A swatch of a layer, for the eye alone.
pub(super) fn swatch(layer: usize) -> String {
    format!(
        "<svg class=\"swatch\" viewBox=\"0 0 24 14\" aria-hidden=\"true\"><rect width=\"24\" \
         height=\"14\" class=\"layer{layer}\"/></svg>"
    )
}

/// A picture with its title and a description; `class` is what a style sheet shows it by.
pub(super) fn svg(picture: &Picture, class: &str, id: &str, title: &str, words: &str) -> String {
    let id = format!("{id}-{class}");
    let mut out = format!(
        "<svg class=\"{class}\" viewBox=\"0 0 {} {:.0}\" role=\"img\" aria-labelledby=\"{id}-t \
         {id}-d\" font-size=\"{}\">\n<title id=\"{id}-t\">{title}</title>\n<desc \
         id=\"{id}-d\">{}</desc>\n",
        picture.width,
        picture.height,
        picture.font,
        escaped(words)
    );
    for item in &picture.items {
        out.push_str(&draw(item));
        out.push('\n');
    }
    out.push_str("</svg>\n");
    out
}

fn draw(item: &Item) -> String {
    match item {
        Item::Line { points, stroke } => {
            format!("<path d=\"{}\" class=\"line {}\"/>", path(points), stroke.name())
        }
        Item::Area { points, fill } => {
            format!("<path d=\"{}Z\" class=\"{}\"/>", path(points), fill.name())
        }
        Item::Words { at, anchor, kind, text } => format!(
            "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"{}\" class=\"{}\">{}</text>",
            at.0,
            at.1,
            anchor.name(),
            kind.name(),
            escaped(text)
        ),
    }
}

fn path(points: &[(f64, f64)]) -> String {
    let mut out = String::with_capacity(points.len() * 12);
    for (i, (x, y)) in points.iter().enumerate() {
        out.push(if i == 0 { 'M' } else { 'L' });
        out.push_str(&format!("{x:.1} {y:.1}"));
    }
    out
}

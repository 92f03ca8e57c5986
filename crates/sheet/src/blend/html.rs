//! The blend sheet as one web page: no script, no file beside it, prints and reads on a phone.

use super::scale::MEANING;
use super::svg::{self, NARROW, WIDE};
use super::{BlendSheet, Exfoliant, PlaceWords, Row, Side};
use crate::bench::Paper;
use crate::html::paper;
use crate::text::escaped;

const STYLE: &str = include_str!("blend.css");

/// The sheet as a self-contained HTML page.
#[must_use]
pub fn blend_html(sheet: &BlendSheet) -> String {
    let mut out = String::with_capacity(65_536);
    head(sheet, &mut out);
    pictures(sheet, &mut out);
    table(sheet, &mut out);
    blends(sheet, &mut out);
    out.push_str("<section class=\"scope\">\n<h2 class=\"unseen\">What was looked at</h2>\n");
    for words in &sheet.scope {
        out.push_str(&format!("<p>{}</p>\n", escaped(words)));
    }
    out.push_str(&format!(
        "</section>\n<footer>{}</footer>\n</body>\n</html>\n",
        escaped(&sheet.made_by)
    ));
    out
}

fn head(sheet: &BlendSheet, out: &mut String) {
    let (title, dated) = (escaped(&sheet.title), escaped(&sheet.dated));
    let size = paper(sheet.paper);
    let count = sheet.sides.len();
    out.push_str(&format!(
        r#"<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>
{STYLE}@page {{ size: {size}; margin: 10mm 14mm 12mm; @bottom-right {{ content: "page " counter(page) " of " counter(pages); font: 7pt Inter, system-ui, sans-serif; color: #565d5b; }} }}
</style>
</head>
<body class="of{count} {crowd}">
<header><h1><bdi>{title}</bdi></h1><p class="muted">{dated}</p></header>
"#,
        crowd = crowd(sheet).0,
    ));
}

/// How close the printed page is set: a class of the style sheet and the height of the chart in
/// its own units.
fn crowd(sheet: &BlendSheet) -> (&'static str, f64) {
    let width = if sheet.sides.len() > 1 { 104 / sheet.sides.len() } else { 52 };
    let lines = |text: &str| text.chars().count() / width + 1;
    let place = |p: &PlaceWords| {
        let passed = p.passed.iter().map(|r| lines(r)).sum::<usize>();
        lines(&p.verdict) + passed + lines(&p.others.join("; "))
    };
    let exfoliants = |s: &Side| {
        s.exfoliants.iter().map(|e| lines(&e.name) + 1).sum::<usize>()
            + s.remarks.iter().map(|r| lines(r)).sum::<usize>()
    };
    let places = |s: &Side| s.places.iter().map(place).sum::<usize>();
    let most = |of: &dyn Fn(&Side) -> usize| sheet.sides.iter().map(of).max().unwrap_or(0);
    let all = most(&exfoliants)
        + most(&places)
        + sheet.rows.len()
        + sheet.gaps.len()
        + 2 * sheet.sides.len()
        // A letter is shorter by about so many lines.
        + if sheet.paper == Paper::UsLetter { 5 } else { 0 };
    match all {
        0..=36 => ("roomy", 230.0),
        37..=44 => ("close", 200.0),
        45..=54 => ("closer", 175.0),
        _ => ("dense", 142.0),
    }
}

fn pictures(sheet: &BlendSheet, out: &mut String) {
    let Some(chart) = &sheet.chart else {
        out.push_str("<p class=\"none\">No blend here has grains with sizes, so there is nothing to draw</p>\n");
        return;
    };
    out.push_str(&format!(
        "<figure>\n<figcaption><h2>Grains by size</h2> <span>{}</span></figcaption>\n",
        escaped(&chart.key)
    ));
    let rooms = [WIDE, NARROW, svg::paper(crowd(sheet).1)];
    for room in rooms {
        out.push_str(&svg::chart(chart, room));
    }
    for words in &chart.beyond {
        out.push_str(&format!("<p class=\"more\">{}</p>\n", escaped(words)));
    }
    out.push_str("</figure>\n");
    if let Some(scale) = &sheet.scale {
        out.push_str(&format!(
            "<figure>\n<figcaption><h2>Grit index</h2> <span>{}</span></figcaption>\n",
            escaped(&scale.key)
        ));
        for room in rooms {
            out.push_str(&svg::scale(scale, room));
        }
        out.push_str(&format!("<p class=\"more\">{MEANING}</p>\n</figure>\n"));
    }
}

/// The mark of a blend, for the eye alone.
fn mark(side: usize) -> String {
    format!(
        "<svg class=\"mark\" viewBox=\"0 0 12 12\" aria-hidden=\"true\">{}</svg>",
        svg::mark(side, 6.0, 6.0, 4.2, false)
    )
}

fn name(side: usize, name: &str) -> String {
    format!("{}<bdi style=\"color:{}\">{}</bdi>", mark(side), svg::colour(side), escaped(name))
}

fn table(sheet: &BlendSheet, out: &mut String) {
    if sheet.rows.is_empty() || sheet.sides.is_empty() {
        return;
    }
    out.push_str("<table role=\"table\">\n<caption>Figures of each blend</caption>\n<thead role=\"rowgroup\">\n<tr role=\"row\"><td role=\"cell\"></td>");
    for (at, side) in sheet.sides.iter().enumerate() {
        out.push_str(&format!(
            "<th scope=\"col\" role=\"columnheader\">{}</th>",
            name(at, &side.name)
        ));
    }
    if sheet.differs {
        out.push_str("<th scope=\"col\" role=\"columnheader\" class=\"muted\">difference</th>");
    }
    out.push_str("</tr>\n</thead>\n<tbody role=\"rowgroup\">\n");
    for row in &sheet.rows {
        table_row(sheet, row, out);
    }
    out.push_str("</tbody>\n</table>\n");
    for words in &sheet.gaps {
        out.push_str(&format!("<p class=\"more\">{}</p>\n", escaped(words)));
    }
}

fn table_row(sheet: &BlendSheet, row: &Row, out: &mut String) {
    let estimate = if row.estimate { " <small>estimate</small>" } else { "" };
    out.push_str(&format!(
        "<tr role=\"row\"><th scope=\"row\" role=\"rowheader\">{}{estimate}</th>",
        escaped(&row.name)
    ));
    for (side, value) in sheet.sides.iter().zip(&row.values) {
        // On a phone the head is out of sight, so each cell brings its name.
        out.push_str(&format!(
            "<td role=\"cell\" data-of=\"{}\">{}</td>",
            escaped(&side.name),
            escaped(value)
        ));
    }
    if sheet.differs {
        let none = if row.difference.is_empty() { " class=\"void\"" } else { "" };
        out.push_str(&format!(
            "<td role=\"cell\" data-of=\"difference\"{none}>{}</td>",
            escaped(&row.difference)
        ));
    }
    out.push_str("</tr>\n");
}

fn blends(sheet: &BlendSheet, out: &mut String) {
    out.push_str("<div class=\"blends\">\n");
    for (at, side) in sheet.sides.iter().enumerate() {
        out.push_str(&format!(
            "<section>\n<h2>{}</h2>\n<p class=\"more\">{}</p>\n",
            name(at, &side.name),
            escaped(&side.product)
        ));
        if let Some(why) = &side.absent {
            out.push_str(&format!("<p class=\"none\">{}</p>\n", escaped(why)));
        }
        exfoliants(side, out);
        if !side.places.is_empty() {
            out.push_str("<dl>\n");
            for place in &side.places {
                place_words(place, out);
            }
            out.push_str("</dl>\n");
        }
        out.push_str("</section>\n");
    }
    out.push_str("</div>\n");
}

fn exfoliants(side: &Side, out: &mut String) {
    if !side.exfoliants.is_empty() {
        out.push_str("<h3>Exfoliants <span>% of product; D10 / D50 / D90</span></h3>\n<ul>\n");
        for part in &side.exfoliants {
            out.push_str(&exfoliant(part));
        }
        out.push_str("</ul>\n");
    }
    for words in &side.remarks {
        out.push_str(&format!("<p class=\"more\">{}</p>\n", escaped(words)));
    }
}

fn exfoliant(part: &Exfoliant) -> String {
    let number = part.number.map_or(String::new(), |n| format!("<b>{n}</b> "));
    let marks = if part.marks.is_empty() {
        String::new()
    } else {
        format!(" \u{b7} {}", escaped(&part.marks))
    };
    format!(
        "<li><span>{number}<bdi>{}</bdi></span> <b class=\"load\">{}</b> <span class=\"more\">{}{marks}</span></li>\n",
        escaped(&part.name),
        escaped(&part.load),
        escaped(&part.sizes)
    )
}

fn place_words(place: &PlaceWords, out: &mut String) {
    out.push_str(&format!(
        "<div><dt>{}</dt><dd>{}",
        escaped(&place.place),
        escaped(&place.verdict)
    ));
    if !place.passed.is_empty() {
        out.push_str("<ul>");
        for reason in &place.passed {
            out.push_str(&format!("<li>{}</li>", escaped(reason)));
        }
        out.push_str("</ul>");
    }
    if !place.others.is_empty() {
        out.push_str(&format!("<p class=\"more\">{}</p>", escaped(&place.others.join("; "))));
    }
    out.push_str("</dd></div>\n");
}

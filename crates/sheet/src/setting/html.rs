//! The setting sheet as one web page: no script, no file beside it, light and dark, prints.

use super::picture::{Picture, Room};
use super::{Cell, PartTable, SettingSheet, Side, svg};
use crate::html::paper;
use crate::text::escaped;

const STYLE: &str = include_str!("setting.css");

/// A desk and a phone.
const MELT: [Room; 2] = [
    Room { width: 640.0, height: 330.0, font: 11.5, narrow: false },
    Room { width: 350.0, height: 300.0, font: 11.0, narrow: true },
];
const STRIP: [Room; 2] = [
    Room { width: 900.0, height: 0.0, font: 12.0, narrow: false },
    Room { width: 350.0, height: 0.0, font: 11.0, narrow: true },
];
const COOL: [Room; 2] = [
    Room { width: 900.0, height: 270.0, font: 12.0, narrow: false },
    Room { width: 350.0, height: 240.0, font: 11.0, narrow: true },
];

/// The sheet as a self-contained HTML page.
#[must_use]
pub fn setting_html(sheet: &SettingSheet) -> String {
    let mut out = String::with_capacity(131_072);
    head(sheet, &mut out);
    melt(sheet, &mut out);
    parts(sheet, &mut out);
    strip(sheet, &mut out);
    cool(sheet, &mut out);
    out.push_str("<div class=\"sides\">\n");
    for (at, side) in sheet.sides.iter().enumerate() {
        remarks(sheet, at, side, &mut out);
    }
    out.push_str("</div>\n");
    for (at, side) in sheet.sides.iter().enumerate() {
        checks(sheet, at, side, &mut out);
    }
    out.push_str("<section class=\"assumed\">\n<h2>What is assumed</h2>\n<ul>\n");
    for words in &sheet.assumed {
        out.push_str(&format!("<li>{}</li>\n", escaped(words)));
    }
    out.push_str(&format!(
        "</ul>\n</section>\n<footer>{}</footer>\n</body>\n</html>\n",
        escaped(&sheet.made_by)
    ));
    out
}

fn head(sheet: &SettingSheet, out: &mut String) {
    let (title, dated) = (escaped(&sheet.title), escaped(&sheet.dated));
    let size = paper(sheet.paper);
    let count = sheet.sides.len();
    out.push_str(&format!(
        r#"<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>{title}</title>
<style>
{STYLE}@page {{ size: {size}; margin: 10mm 14mm 12mm; @bottom-right {{ content: "page " counter(page) " of " counter(pages); font: 7pt Inter, system-ui, sans-serif; color: #565d5b; }} }}
</style>
</head>
<body class="of{count}">
{patterns}<header><h1><bdi>{title}</bdi></h1><p class="muted">{dated}</p></header>
"#,
        patterns = svg::patterns(),
    ));
    for (at, side) in sheet.sides.iter().enumerate() {
        let batch = if side.batch.is_empty() {
            String::new()
        } else {
            format!(" \u{b7} {}", escaped(&side.batch))
        };
        let name = if count > 1 { format!("{} ", name(at, &side.name)) } else { String::new() };
        out.push_str(&format!("<p class=\"muted\">{name}{}{batch}</p>\n", escaped(&side.product)));
    }
}

fn name(at: usize, name: &str) -> String {
    let class = if at == 0 { "first" } else { "second" };
    format!("<bdi class=\"{class}\">{}</bdi>", escaped(name))
}

fn caption(title: &str, key: &str, out: &mut String) {
    out.push_str(&format!(
        "<figcaption><h2>{title}</h2> <span>{}</span></figcaption>\n",
        escaped(key)
    ));
}

fn pictures(rooms: [Room; 2], draw: impl Fn(Room) -> Picture, of: [&str; 3], out: &mut String) {
    let [id, title, words] = of;
    for (room, class) in rooms.into_iter().zip(["wide", "narrow"]) {
        out.push_str(&svg::svg(&draw(room), class, id, title, words));
    }
}

fn absent(all: &[String], out: &mut String) {
    for words in all {
        out.push_str(&format!("<p class=\"none\">{}</p>\n", escaped(words)));
    }
}

fn melt(sheet: &SettingSheet, out: &mut String) {
    let Some(chart) = &sheet.melt else { return absent(&sheet.no_melt, out) };
    out.push_str("<figure>\n");
    caption("Solid fat over temperature", &chart.key, out);
    out.push_str("<div class=\"pair\"><div>\n");
    let of = ["melt", "Solid fat over temperature", &chart.words];
    pictures(MELT, |room| chart.draw(room), of, out);
    out.push_str("<p class=\"more\">Solid parts from the bottom up, % of the product</p>\n<ol class=\"key\">\n");
    for (i, layer) in chart.layers.iter().enumerate() {
        out.push_str(&format!(
            "<li>{}<b>{}</b> <bdi>{}</bdi> <span class=\"muted\">{}</span></li>\n",
            svg::swatch(i),
            i + 1,
            escaped(&layer.name),
            escaped(&layer.percent)
        ));
    }
    out.push_str("</ol>\n</div>\n<table class=\"curve\">\n<caption>Solid fat, % of the fat, at round temperatures</caption>\n<thead>\n<tr>");
    for head in &chart.heads {
        out.push_str(&format!("<th scope=\"col\"><bdi>{}</bdi></th>", escaped(head)));
    }
    out.push_str("</tr>\n</thead>\n<tbody>\n");
    for row in &chart.rows {
        out.push_str("<tr>");
        for (i, cell) in row.iter().enumerate() {
            let cell = escaped(cell);
            match i {
                0 => out.push_str(&format!("<th scope=\"row\">{cell}</th>")),
                2 => out.push_str(&format!("<td class=\"muted\">{cell}</td>")),
                _ => out.push_str(&format!("<td>{cell}</td>")),
            }
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n</div>\n");
    absent(&sheet.no_melt, out);
    out.push_str("</figure>\n");
}

fn parts(sheet: &SettingSheet, out: &mut String) {
    out.push_str("<div class=\"parts\">\n");
    for part in &sheet.parts {
        let note =
            if part.estimates && !part.rows.is_empty() { " <span>estimates</span>" } else { "" };
        out.push_str(&format!("<section>\n<h2>{}{note}</h2>\n", part.name));
        if !part.rows.is_empty() {
            part_table(sheet, part, out);
        }
        for gap in &part.gaps {
            out.push_str(&format!("<p class=\"more\">{}</p>\n", escaped(gap)));
        }
        out.push_str("</section>\n");
    }
    out.push_str("</div>\n");
}

fn part_table(sheet: &SettingSheet, part: &PartTable, out: &mut String) {
    out.push_str(&format!("<table>\n<caption>{}</caption>\n", part.name));
    let class = if sheet.sides.len() > 1 { "" } else { " class=\"unseen\"" };
    out.push_str(&format!("<thead{class}>\n<tr><td></td>"));
    for (at, side) in sheet.sides.iter().enumerate() {
        out.push_str(&format!("<th scope=\"col\" colspan=\"2\">{}</th>", name(at, &side.name)));
    }
    out.push_str("</tr>\n</thead>\n<tbody>\n");
    for row in &part.rows {
        let unit = if row.unit.is_empty() {
            String::new()
        } else {
            format!(" <span>{}</span>", escaped(row.unit))
        };
        let estimate = if row.estimate { " <small>estimate</small>" } else { "" };
        out.push_str(&format!("<tr><th scope=\"row\">{}{unit}{estimate}</th>", escaped(&row.name)));
        for cell in &row.cells {
            out.push_str(&cell_words(cell));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n");
}

fn cell_words(cell: &Cell) -> String {
    let (value, band) = (escaped(&cell.value), escaped(&cell.band));
    if cell.words {
        format!("<td colspan=\"2\" class=\"said\">{value}</td>")
    } else {
        format!("<td class=\"value\">{value}</td><td class=\"band-of\">{band}</td>")
    }
}

fn strip(sheet: &SettingSheet, out: &mut String) {
    let Some(strip) = &sheet.strip else { return absent(&sheet.no_strip, out) };
    out.push_str("<figure>\n");
    caption("How it pours", super::strip::KEY, out);
    let of = ["pour", "How it pours", &strip.words];
    pictures(STRIP, |room| strip.draw(room), of, out);
    for (name, words) in strip.windows() {
        // On a phone the picture cuts them.
        out.push_str(&format!(
            "<p class=\"more narrow\"><bdi>{}</bdi>: {}</p>\n",
            escaped(name),
            escaped(words)
        ));
    }
    absent(&sheet.no_strip, out);
    out.push_str("</figure>\n");
}

fn cool(sheet: &SettingSheet, out: &mut String) {
    let Some(chart) = &sheet.cool else { return absent(&sheet.no_cool, out) };
    out.push_str("<figure>\n");
    caption("Cooling, estimate", &chart.key, out);
    let of = ["cool", "Cooling", &chart.words];
    pictures(COOL, |room| chart.draw(room), of, out);
    out.push_str(&format!("<p class=\"more\">{}</p>\n", escaped(&chart.lines())));
    absent(&sheet.no_cool, out);
    out.push_str("</figure>\n");
}

fn whose(sheet: &SettingSheet, at: usize, side: &Side) -> String {
    if sheet.sides.len() > 1 { format!(": {}", name(at, &side.name)) } else { String::new() }
}

fn remarks(sheet: &SettingSheet, at: usize, side: &Side, out: &mut String) {
    if side.remarks.is_empty() {
        return;
    }
    out.push_str(&format!(
        "<section class=\"remarks\">\n<h2>Remarks{}</h2>\n<ul>\n",
        whose(sheet, at, side)
    ));
    for remark in &side.remarks {
        out.push_str(&format!(
            "<li class=\"{tone}\"><span class=\"tone\">{tone}</span> {}",
            escaped(&remark.text),
            tone = remark.tone
        ));
        if !remark.choices.is_empty() {
            out.push_str("<ul>");
            for choice in &remark.choices {
                out.push_str(&format!("<li>{}</li>", escaped(choice)));
            }
            out.push_str("</ul>");
        }
        out.push_str("</li>\n");
    }
    out.push_str("</ul>\n</section>\n");
}

fn checks(sheet: &SettingSheet, at: usize, side: &Side, out: &mut String) {
    if side.checks.is_empty() {
        return;
    }
    let whose = whose(sheet, at, side);
    let day = if side.measured_on.is_empty() {
        String::new()
    } else {
        format!(" <span>{}</span>", escaped(&side.measured_on))
    };
    out.push_str(&format!(
        "<section class=\"checks\">\n<h2>Own measurements{whose}{day}</h2>\n<table>\n<caption>Own \
         measurements against the model</caption>\n<thead>\n<tr><th scope=\"col\">what</th><th \
         scope=\"col\">measured</th><th scope=\"col\">model before</th><th \
         scope=\"col\">model after</th></tr>\n</thead>\n<tbody>\n"
    ));
    for row in &side.checks {
        out.push_str(&format!(
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>\n",
            escaped(&row.what),
            escaped(&row.measured),
            escaped(&row.before),
            escaped(&row.after)
        ));
    }
    out.push_str("</tbody>\n</table>\n");
    if !side.corrected.is_empty() {
        out.push_str(&format!(
            "<p class=\"more\">Corrected by them: {}</p>\n",
            escaped(&side.corrected)
        ));
    }
    out.push_str("</section>\n");
}

//! The label sheet as one web page: no script, no file beside it, the label at true size.

use super::jar::Jar;
use super::pack::{CAPITALS, Kind, PackPart};
use super::{DECIDES, LabelSheet, ListRow};
use crate::html::paper;
use crate::text::escaped;

const STYLE: &str = include_str!("label.css");

/// The sheet as a self-contained HTML page. The label is as many mm wide as it is meant to be
/// and grows downwards with its text; a line shows where it ought to end.
#[must_use]
pub fn label_html(sheet: &LabelSheet) -> String {
    let mut out = String::with_capacity(32_768);
    head(sheet, &mut out);
    banners(sheet, &mut out);
    facts(sheet, &mut out);
    label(sheet, &mut out);
    remarks(sheet, &mut out);
    out.push_str("<h2 class=\"rests\">What it rests on</h2>\n");
    changed(sheet, &mut out);
    list(sheet, &mut out);
    points("Left out of the list", &sheet.left_out, &mut out);
    cautions(sheet, &mut out);
    accepted(sheet, &mut out);
    points("What this market asks for on a pack", &sheet.particulars, &mut out);
    points("What was checked, against which edition", &sheet.checked, &mut out);
    points("What was not checked", &sheet.not_checked, &mut out);
    out.push_str(&format!(
        "<p class=\"decides\">{DECIDES}</p>\n<footer>{}</footer>\n</body>\n</html>\n",
        escaped(&sheet.made_by)
    ));
    out
}

fn head(sheet: &LabelSheet, out: &mut String) {
    let (title, dated) = (escaped(&sheet.title), escaped(&sheet.dated));
    let product = escaped(&sheet.product);
    let size = paper(sheet.paper);
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
<body>
<header><div><h1><bdi>{title}</bdi></h1><p class="muted">{product}</p></div><p class="muted">{dated}</p></header>
"#
    ));
}

fn banners(sheet: &LabelSheet, out: &mut String) {
    if !sheet.stops.is_empty() {
        out.push_str(
            "<section class=\"stop\">\n<h2>A Stop stands: not a label to print yet</h2>\n<ul>\n",
        );
        for stop in &sheet.stops {
            out.push_str(&format!("<li>{}</li>\n", escaped(stop)));
        }
        out.push_str("</ul>\n</section>\n");
    }
    if let Some(stale) = &sheet.stale {
        out.push_str(&format!(
            "<section class=\"stale\">\n<h2>Not the label that was last printed</h2>\n<p>{}</p>\n</section>\n",
            escaped(&stale.line)
        ));
    }
}

fn facts(sheet: &LabelSheet, out: &mut String) {
    out.push_str("<dl class=\"facts\">\n");
    for fact in &sheet.facts {
        out.push_str(&format!(
            "<div><dt>{}</dt><dd><bdi>{}</bdi></dd></div>\n",
            fact.name,
            escaped(&fact.value)
        ));
    }
    out.push_str("</dl>\n");
}

/// Labels up to this width, mm, leave room for words beside them.
const WIDE_MM: f64 = 132.0;
/// That room, mm.
const BESIDE_MM: u8 = 48;

/// A length in mm, to the hundredth.
fn mm(value: f64) -> String {
    format!("{value:.2}mm")
}

fn label(sheet: &LabelSheet, out: &mut String) {
    let pack = &sheet.pack;
    let (width, height) = (mm(pack.width_mm), mm(pack.height_mm));
    // Words on where the label ends stand beside it, where there is room.
    let (beside, hold) = if pack.width_mm <= WIDE_MM {
        ("beside", format!("calc({width} + {BESIDE_MM}mm)"))
    } else {
        ("over", width.clone())
    };
    // The frame's own measures are all that the style needs to know.
    out.push_str(&format!(
        "<section class=\"true\">\n<h2 class=\"unseen\">The label at true size</h2>\n<div \
         class=\"hold {beside}\" style=\"width:{hold}\">\n<div class=\"label\" \
         style=\"width:{width};min-height:{height};padding:{};font-size:{};--content:{}\">\n",
        mm(pack.rim_mm),
        mm(pack.letter_mm / CAPITALS),
        mm(pack.content_mm / CAPITALS),
    ));
    for group in &pack.groups {
        let jar = group.iter().find_map(PackPart::jar);
        let class = if jar.is_some() { "group dates" } else { "group" };
        out.push_str(&format!("<div class=\"{class}\">\n"));
        for found in group.iter().filter(|p| p.kind == Kind::Jar) {
            part(found, pack.letter_mm, out);
        }
        out.push_str("<div>\n");
        for found in group.iter().filter(|p| p.kind != Kind::Jar) {
            part(found, pack.letter_mm, out);
        }
        out.push_str("</div>\n</div>\n");
    }
    out.push_str(&format!(
        "</div>\n<div class=\"end\" style=\"top:{height}\"><p>{} end here: what stands below the \
         line needs a larger label or a second panel</p></div>\n</div>\n",
        escaped(&pack.size)
    ));
    out.push_str(&format!(
        "<div class=\"scale\">{}<span>50 mm. Check with a ruler; if this line is not 50 mm long, \
         print again at 100 %, not fitted to the page</span></div>\n",
        scale()
    ));
    for note in &pack.notes {
        out.push_str(&format!("<p class=\"strong\">{}</p>\n", escaped(note)));
    }
    out.push_str("</section>\n");
}

fn part(part: &PackPart, letter_mm: f64, out: &mut String) {
    let text = escaped(&part.text());
    let lead = match (part.kind, escaped(&part.lead)) {
        (_, lead) if lead.is_empty() => lead,
        (Kind::List, lead) => format!("<b>{lead}</b> "),
        (_, lead) => format!("{lead} "),
    };
    match part.jar() {
        Some(jar) => out.push_str(&drawn(&jar, &text, letter_mm)),
        None if part.kind == Kind::Blank => {
            let line = "<i></i>".repeat(part.lines());
            out.push_str(&format!(
                "<p class=\"blank\">{lead}<span class=\"muted\">{text}</span>{line}</p>\n"
            ));
        }
        None => out
            .push_str(&format!("<p class=\"{}\"><bdi>{lead}{text}</bdi></p>\n", part.kind.name())),
    }
}

/// A line of 50 mm with a mark every 5.
fn scale() -> String {
    let mut path = "M0 3H50".to_owned();
    for at in 0..=10 {
        let high = if at % 5 == 0 { 1.8 } else { 1.1 };
        path.push_str(&format!("M{} 3v-{high}", at * 5));
    }
    format!(
        "<svg class=\"line\" role=\"img\" aria-label=\"A line of 50 mm\" viewBox=\"0 0 50 4\"><path \
         d=\"{path}\"/></svg>"
    )
}

/// The jar as a picture; its unit is the height of the capitals.
fn drawn(jar: &Jar, words: &str, letter_mm: f64) -> String {
    let mut paths = String::new();
    for stroke in &jar.strokes {
        let points: Vec<String> = stroke.iter().map(|(x, y)| format!("{x:.2} {y:.2}")).collect();
        paths.push_str(&format!("M{}Z", points.join("L")));
    }
    format!(
        "<svg class=\"jar\" role=\"img\" aria-label=\"Open jar: period after opening {words}\" \
         viewBox=\"-0.1 -0.1 {:.2} {:.2}\" style=\"width:{}\"><path d=\"{paths}\"/><text \
         x=\"{:.2}\" y=\"{:.2}\" font-size=\"{:.3}\">{words}</text></svg>\n",
        jar.width + 0.2,
        jar.height + 0.2,
        mm((jar.width + 0.2) * letter_mm),
        jar.words_at.0,
        jar.words_at.1,
        1.0 / CAPITALS,
    )
}

fn remarks(sheet: &LabelSheet, out: &mut String) {
    if sheet.remarks.is_empty() {
        return;
    }
    out.push_str("<section>\n<h2>Remarks</h2>\n<ul class=\"remarks\">\n");
    for remark in &sheet.remarks {
        out.push_str(&format!(
            "<li class=\"{}\"><b>{}:</b> <bdi>{}</bdi></li>\n",
            remark.tone,
            remark.sign,
            escaped(&remark.text)
        ));
    }
    out.push_str("</ul>\n</section>\n");
}

/// A table with its heads; `rows` holds the cells of each row, the first of which heads it.
fn table<'a>(
    title: &str,
    class: &str,
    heads: &[&str],
    rows: impl Iterator<Item = Vec<&'a str>>,
    out: &mut String,
) {
    out.push_str(&format!("<section>\n<h2>{title}</h2>\n<table class=\"{class}\">\n<thead>\n<tr>"));
    for head in heads {
        out.push_str(&format!("<th scope=\"col\">{head}</th>"));
    }
    out.push_str("</tr>\n</thead>\n<tbody>\n");
    for row in rows {
        out.push_str("<tr>");
        for (at, (cell, head)) in row.iter().zip(heads).enumerate() {
            let cell = escaped(cell);
            out.push_str(&if at == 0 {
                format!("<th scope=\"row\"><bdi>{cell}</bdi></th>")
            } else {
                format!("<td data-of=\"{head}\"><bdi>{cell}</bdi></td>")
            });
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n</section>\n");
}

fn changed(sheet: &LabelSheet, out: &mut String) {
    let Some(stale) = &sheet.stale else { return };
    let rows = stale.changed.iter().map(|row| row.iter().map(String::as_str).collect());
    table("Changed since it was last printed", "changed", &["part", "then", "now"], rows, out);
}

fn list(sheet: &LabelSheet, out: &mut String) {
    out.push_str(
        "<section>\n<h2>Ingredient list <span>share of the product as added, in %</span></h2>\n",
    );
    if sheet.rows.is_empty() {
        out.push_str("<p>Nothing is listed</p>\n</section>\n");
        return;
    }
    out.push_str("<table class=\"list\">\n<thead>\n<tr><th scope=\"col\"><span class=\"unseen\">place</span></th>");
    for head in ["name", "%", "order", "why", "from"] {
        out.push_str(&format!("<th scope=\"col\">{head}</th>"));
    }
    out.push_str("</tr>\n</thead>\n<tbody>\n");
    for row in &sheet.rows {
        list_row(row, out);
    }
    out.push_str("</tbody>\n</table>\n</section>\n");
}

fn list_row(row: &ListRow, out: &mut String) {
    if !row.edge.is_empty() {
        out.push_str(&format!(
            "<tr class=\"edge\"><th scope=\"rowgroup\" colspan=\"6\">{}</th></tr>\n",
            row.edge
        ));
    }
    let cell =
        |of: &str, text: &str| format!("<td data-of=\"{of}\"><bdi>{}</bdi></td>", escaped(text));
    out.push_str(&format!(
        "<tr><td class=\"place\">{}</td><th scope=\"row\"><bdi>{}</bdi></th>{}{}{}{}</tr>\n",
        row.place,
        escaped(&row.name),
        cell("%", &row.percent),
        cell("order", row.zone),
        cell("why", &row.why),
        cell("from", &row.from),
    ));
}

fn cautions(sheet: &LabelSheet, out: &mut String) {
    if sheet.cautions.is_empty() {
        return;
    }
    let rows = sheet.cautions.iter().map(|c| vec![c.text.as_str(), &c.source]);
    table("Cautions and where they come from", "cautions", &["caution", "source"], rows, out);
}

fn accepted(sheet: &LabelSheet, out: &mut String) {
    if sheet.accepted.is_empty() {
        return;
    }
    let rows = sheet.accepted.iter().map(|a| vec![a.title.as_str(), &a.reason, &a.dated]);
    table("Accepted warnings", "accepted", &["warning", "accepted because", "on"], rows, out);
}

fn points(title: &str, items: &[String], out: &mut String) {
    if items.is_empty() {
        return;
    }
    out.push_str(&format!("<section>\n<h2>{title}</h2>\n<ul>\n"));
    for item in items {
        out.push_str(&format!("<li><bdi>{}</bdi></li>\n", escaped(item)));
    }
    out.push_str("</ul>\n</section>\n");
}

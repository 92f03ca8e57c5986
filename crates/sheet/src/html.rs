//! The sheet as one web page: no script, no file beside it, prints and reads on a phone.

use crate::bench::{BenchSheet, LineRow, Paper, PhaseRows, StepRow};
use crate::figure::Figure;
use crate::text::escaped;

const STYLE: &str = include_str!("bench.css");

const BLANK: &str = r#"<span class="blank"></span>"#;
const HAND: &str = r#"<td class="hand"></td><td class="hand"></td><td class="hand by"></td>"#;

/// The sheet as a self-contained HTML page.
#[must_use]
pub fn html(sheet: &BenchSheet) -> String {
    let mut out = String::with_capacity(16_384);
    head(sheet, &mut out);
    banner(sheet, &mut out);
    facts(sheet, &mut out);
    table(sheet, &mut out);
    out.push_str("<div class=\"pair\">\n");
    steps(sheet, &mut out);
    list("Take care", "", &sheet.cares, &mut out);
    out.push_str("</div>\n");
    if !sheet.warns.is_empty() {
        list("Findings to settle", " class=\"warns\"", &sheet.warns, &mut out);
    }
    out.push_str(&format!(
        "<footer><span>{}</span><span>weighed {LONG} checked {LONG}</span></footer>\n</body>\n</html>\n",
        escaped(&sheet.made_by)
    ));
    out
}

const LONG: &str = r#"<span class="blank long"></span>"#;

/// The paper's name in a style sheet.
pub(crate) fn paper(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "A4",
        Paper::UsLetter => "letter",
    }
}

fn head(sheet: &BenchSheet, out: &mut String) {
    let size = paper(sheet.paper);
    let title = escaped(&sheet.title);
    let (product, code, dated) =
        (escaped(&sheet.product), escaped(&sheet.code), escaped(&sheet.dated));
    out.push_str(&format!(
        r#"<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title} {code} bench sheet</title>
<style>
{STYLE}@page {{ size: {size}; margin: 13mm 14mm 16mm; @bottom-right {{ content: "page " counter(page) " of " counter(pages); font: 8pt Inter, system-ui, sans-serif; color: #565d5b; }} }}
</style>
</head>
<body>
<header>
<div><h1><bdi>{title}</bdi></h1><p class="muted">{product}</p></div>
<div class="side"><p class="code">{code}</p><p class="muted">{dated}</p></div>
</header>
"#
    ));
}

fn banner(sheet: &BenchSheet, out: &mut String) {
    if !sheet.has_stop() {
        return;
    }
    out.push_str("<section class=\"stop\">\n<h2>Do not make</h2>\n<ul>\n");
    for stop in &sheet.stops {
        out.push_str(&format!("<li>{}</li>\n", escaped(stop)));
    }
    out.push_str("</ul>\n</section>\n");
}

fn facts(sheet: &BenchSheet, out: &mut String) {
    out.push_str("<dl class=\"facts\">\n");
    for fact in &sheet.facts {
        let (label, value) = (escaped(fact.label), escaped(&fact.value));
        out.push_str(&format!("<div><dt>{label}</dt><dd>{value}</dd></div>\n"));
    }
    out.push_str("</dl>\n");
}

fn table(sheet: &BenchSheet, out: &mut String) {
    out.push_str("<table role=\"table\">\n<caption>What to weigh, in order</caption>\n<thead role=\"rowgroup\">\n<tr role=\"row\">");
    for (class, words) in [
        ("n", "<span class=\"unseen\">line</span>"),
        ("tick", "<span class=\"unseen\">done</span>"),
        ("what", "material, INCI"),
        ("num", "%"),
        ("num", "grams"),
        ("num", "band"),
        ("num", "running"),
        ("hand", "actual"),
        ("hand", "lot"),
        ("hand by", "by"),
    ] {
        out.push_str(&format!(
            "<th scope=\"col\" role=\"columnheader\" class=\"{class}\">{words}</th>"
        ));
    }
    out.push_str("</tr>\n</thead>\n");
    for phase in &sheet.phases {
        out.push_str("<tbody role=\"rowgroup\">\n");
        phase_row(phase, out);
        for line in &phase.lines {
            line_row(line, out);
        }
        out.push_str("</tbody>\n");
    }
    let total = &sheet.total;
    out.push_str(&format!(
        "<tfoot role=\"rowgroup\">\n<tr role=\"row\"><th scope=\"row\" role=\"rowheader\" class=\"what\" colspan=\"3\">Total, sum of rounded lines</th>{}{}<td role=\"cell\" colspan=\"5\" class=\"more\">{}</td></tr>\n</tfoot>\n</table>\n",
        cell("num pct strong", &total.percent),
        cell("num g", &total.rounded),
        escaped(&total.words()),
    ));
}

fn cell(class: &str, figure: &Figure) -> String {
    format!("<td role=\"cell\" class=\"{class}\">{}</td>", number(figure))
}

fn number(figure: &Figure) -> String {
    let text = escaped(&figure.text);
    if figure.tail.is_empty() {
        return text;
    }
    format!("{text}<span class=\"pad\" aria-hidden=\"true\">{}</span>", escaped(&figure.tail))
}

fn phase_row(phase: &PhaseRows, out: &mut String) {
    let mut words = format!(
        "<span class=\"letter\">{}</span><b><bdi>{}</bdi></b>",
        escaped(&phase.letter),
        escaped(&phase.name)
    );
    if !phase.heat.is_empty() {
        words.push_str(&format!("<span class=\"soft\">{}", escaped(&phase.heat)));
        if phase.reading {
            words.push_str(&format!(". <span class=\"read\">Reading: {BLANK} \u{b0}C</span>"));
        }
        words.push_str("</span>");
    }
    out.push_str(&format!(
        "<tr role=\"row\" class=\"phase\"><th scope=\"rowgroup\" role=\"rowheader\" class=\"what\" colspan=\"3\">{words}</th>{}{}<td role=\"cell\" class=\"void\" colspan=\"5\"></td></tr>\n",
        cell("num soft pct", &phase.percent),
        cell("num soft grams", &phase.grams),
    ));
}

fn line_row(line: &LineRow, out: &mut String) {
    let mut words = format!("<bdi>{}</bdi>", escaped(&line.inci));
    if !line.name.is_empty() {
        words.push_str(&format!(" <span class=\"more\"><bdi>{}</bdi></span>", escaped(&line.name)));
    }
    for mark in &line.marks {
        words.push_str(&format!(" <span class=\"mark\">{}</span>", escaped(mark)));
    }
    let under = if line.under.is_empty() { "" } else { " has-under" };
    let n = line.number;
    out.push_str(&format!(
        "<tr role=\"row\" class=\"line{under}\"><td role=\"cell\" class=\"n\">{n}</td><td role=\"cell\" class=\"tick\"><input type=\"checkbox\" aria-label=\"line {n} weighed\"></td><th scope=\"row\" role=\"rowheader\" class=\"what\">{words}</th>{}{}{}{}{HAND}</tr>\n",
        cell("num pct", &line.percent),
        cell("num g", &line.target),
        cell("num soft band", &line.band),
        cell("num soft sum", &line.running),
    ));
    for under in &line.under {
        out.push_str(&format!(
            "<tr role=\"row\" class=\"under\"><td role=\"cell\" class=\"void\" colspan=\"2\"></td><td role=\"cell\" colspan=\"5\"><bdi>{}</bdi></td>{HAND}</tr>\n",
            escaped(&under.words())
        ));
    }
}

fn steps(sheet: &BenchSheet, out: &mut String) {
    if sheet.steps.is_empty() {
        out.push_str("<section class=\"rules\">\n<h2>Notes</h2>\n");
        out.push_str(&"<div></div>".repeat(4));
        out.push_str("\n</section>\n");
        return;
    }
    out.push_str("<section>\n<h2>Steps</h2>\n<ol>\n");
    for step in &sheet.steps {
        out.push_str(&format!("<li>{}</li>\n", step_words(step)));
    }
    out.push_str("</ol>\n</section>\n");
}

fn step_words(step: &StepRow) -> String {
    let mut words = format!("<b>{}</b> <bdi>{}</bdi>", escaped(&step.letter), escaped(&step.text));
    if !step.detail.is_empty() {
        words.push_str(&format!(" <span class=\"soft\">({})</span>", escaped(&step.detail)));
    }
    if step.reading {
        words.push_str(&format!(" <span class=\"read\">Reading: {BLANK} \u{b0}C</span>"));
    }
    if step.time {
        words.push_str(&format!(" <span class=\"read\">Time: {BLANK}</span>"));
    }
    words
}

fn list(title: &str, class: &str, items: &[String], out: &mut String) {
    out.push_str(&format!("<section{class}>\n<h2>{title}</h2>\n<ul>\n"));
    for item in items {
        out.push_str(&format!("<li>{}</li>\n", escaped(item)));
    }
    out.push_str("</ul>\n</section>\n");
}

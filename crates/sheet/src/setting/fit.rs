//! How large the type of the printed page may be, by a count of what is on it.

use super::pdf::width;
use super::{PartTable, SettingSheet, Side};
use crate::bench::Paper;

/// One way to set the page.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    /// Pages that it is for.
    pub pages: usize,
    /// Size of the type, pt.
    pub font: f64,
    /// Height of the melt curve, pt.
    pub melt: f64,
    /// Height of the cooling curve, pt.
    pub cool: f64,
}

const fn step(pages: usize, font: f64, melt: f64, cool: f64) -> Step {
    Step { pages, font, melt, cool }
}

/// From the most to the least generous.
const STEPS: [Step; 11] = [
    step(1, 8.2, 205.0, 128.0),
    step(1, 7.9, 190.0, 122.0),
    step(1, 7.6, 178.0, 116.0),
    step(1, 7.4, 165.0, 110.0),
    step(1, 7.2, 155.0, 104.0),
    step(1, 7.0, 148.0, 100.0),
    step(1, 6.8, 140.0, 96.0),
    step(1, 6.6, 130.0, 90.0),
    step(2, 7.6, 235.0, 165.0),
    step(2, 7.2, 195.0, 128.0),
    step(2, 6.7, 160.0, 112.0),
];

/// The steps from the first one that is likely to hold the sheet.
pub(super) fn steps(sheet: &SettingSheet, paper: Paper) -> &'static [Step] {
    let page = match paper {
        Paper::A4 => 297.0 * 72.0 / 25.4,
        Paper::UsLetter => 792.0,
    };
    let room = page - 22.5 * 72.0 / 25.4;
    let likely = |s: &Step| s.pages > 1 || height(sheet, paper, *s) <= room;
    let first = STEPS.iter().position(likely).unwrap_or(STEPS.len() - 1);
    STEPS.get(first..).unwrap_or(&STEPS)
}

/// Height of a line of text and of a row of a table, in heights of the type.
const LINE: f64 = 1.1;
const ROW: f64 = 1.15;
/// Height of a heading with the room around it.
const TITLE: f64 = 2.45;

/// About how high everything on one page would be, pt.
fn height(sheet: &SettingSheet, paper: Paper, step: Step) -> f64 {
    let font = step.font;
    let half = (width(paper) - 18.0) / 2.0;
    let two = sheet.sides.len() > 1;
    let lines = |text: &str, wide: f64| {
        let letters = (wide / (0.51 * font)).max(1.0);
        (text.chars().count() as f64 / letters).ceil().max(1.0)
    };
    let mut em = 4.0 + 1.7 * sheet.sides.len() as f64;
    let mut pt = 0.0;
    if let Some(chart) = &sheet.melt {
        em += TITLE + LINE * lines(&chart.key, width(paper)) + 0.8;
        pt += step.melt;
    }
    em += 1.6 * sheet.no_melt.len() as f64;

    let part = |p: &PartTable| {
        let gaps: f64 = p.gaps.iter().map(|g| lines(g, half) * LINE + 0.1).sum();
        TITLE + ROW * (p.rows.len() + usize::from(two && !p.rows.is_empty())) as f64 + gaps
    };
    let column = |at: [usize; 2]| -> f64 {
        at.into_iter().filter_map(|i| sheet.parts.get(i)).map(part).sum()
    };
    em += column([0, 2]).max(column([1, 3]));

    if let Some(strip) = &sheet.strip {
        em += TITLE;
        pt += strip.height(6.9);
    }
    em += 1.6 * sheet.no_strip.len() as f64;

    let remarks = |s: &Side| -> f64 {
        let one = |r: &super::RemarkWords| {
            let choices: usize = r.choices.iter().map(|c| c.chars().count() + 6).sum();
            let choices = if choices > 0 { lines(&" ".repeat(choices), half) } else { 0.0 };
            LINE * (lines(&r.text, half - font) + choices) + 0.4
        };
        TITLE + s.remarks.iter().map(one).sum::<f64>()
    };
    let checks = |s: &Side, wide: f64| -> f64 {
        if s.checks.is_empty() {
            return 0.0;
        }
        let rows: f64 = s.checks.iter().map(|c| ROW + LINE * (lines(&c.what, wide) - 1.0)).sum();
        TITLE + ROW + rows + LINE * lines(&s.corrected, wide) + 0.5
    };
    let (mut cool, cool_pt) = match &sheet.cool {
        Some(_) => (TITLE + 2.0 * LINE + 1.0, step.cool),
        None => (1.6, 0.0),
    };
    let said = sheet.sides.iter().map(remarks).fold(0.0, f64::max);
    if two {
        let checks: f64 = sheet.sides.iter().map(|s| checks(s, width(paper) * 0.6)).sum();
        em += cool + said + checks;
        pt += cool_pt;
    } else {
        cool += sheet.sides.first().map_or(0.0, |s| checks(s, half * 0.45));
        pt += (cool * font + cool_pt).max(said * font);
    }

    let assumed: f64 = sheet.assumed.iter().map(|a| LINE * lines(a, half * 1.08) + 0.1).sum();
    em += TITLE + 1.2 + assumed / 2.0 + 0.6;
    em * font + pt
}

//! What the product is made of: a chart whose labels, legend and the phase table answer each
//! other, and the same as a table.

use std::borrow::Cow;

use egui::{
    Align, EventFilter, Id, Key, Layout, Modifiers, Rect, Response, RichText, Role, Sense, Ui,
    WidgetInfo, pos2, vec2,
};
use quern_calc::evaluate::Evaluation;
use quern_calc::formula::{Slice, Wedge, wedges};
use quern_calc::number::format_fixed;

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::state::{ChartBy, Linked};
use crate::look::{Pattern, Tokens, fonts, size};
use crate::widgets::{choice, donut, pattern, table};
use crate::words;

/// Height of the chart.
const TALL: f32 = 158.0;

/// Height of a row of the legend.
const LEGEND: f32 = 20.0;

/// Room between columns of the legend.
const GUTTER: f32 = 18.0;

/// Slices of a chart.
#[must_use]
pub fn slices(e: &Evaluation, by: ChartBy) -> &[Slice] {
    match by {
        ChartBy::Function => &e.by_function,
        ChartBy::Phase => &e.by_phase,
        ChartBy::Component => &e.by_component,
    }
}

/// Wedges of slices, their names in the language in force.
#[must_use]
pub fn shown(slices: &[Slice]) -> Vec<Wedge> {
    let mut wedges = wedges(slices);
    let say = |name: &mut String| {
        if let Cow::Owned(said) = words::engine(name.as_str()) {
            *name = said;
        }
    };
    for wedge in &mut wedges {
        say(&mut wedge.name);
        wedge.holds.iter_mut().for_each(|s| say(&mut s.name));
    }
    wedges
}

/// Colour and pattern of the slice at a place. Functions keep theirs between formulas, so that two
/// charts can be compared.
fn mark(t: &Tokens, by: ChartBy, index: usize) -> (egui::Color32, Pattern) {
    let color = if by == ChartBy::Phase { t.phase(index) } else { t.slice(index) };
    (color, Tokens::pattern(index))
}

/// Pieces of a chart, coloured.
#[must_use]
pub fn pieces(ui: &Ui, scene: &Scene<'_>, wedges: &[Wedge], by: ChartBy) -> Vec<donut::Piece> {
    let t = Tokens::of(ui);
    donut::pieces(wedges, scene.style(), t, |index| mark(t, by, index))
}

/// Draws heading, chart and legend.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let by = scene.ui.chart;
    heading(ui, scene, actions);
    let e = &scene.here.evaluation;
    if scene.ui.chart_as_table {
        table(ui, scene, slices(e, by));
        return;
    }
    let wedges = shown(slices(e, by));
    let here = scene.ui.linked.as_ref().filter(|l| l.chart == by);
    let lit = here.map(|l| l.place).filter(|place| *place < wedges.len());
    // The row of the phase table that is pointed at, or else selected, lights its wedge.
    let row = scene.ui.table.hovered.or(scene.ui.line);
    let of_row = row.and_then(|line| wedges.iter().position(|w| w.lines.contains(&line)));
    let shown = lit.or(of_row);
    let (under_chart, response) = chart(ui, scene, &wedges, shown);
    let under_legend = legend(ui, scene, &wedges, shown);
    let walked = walk(ui, &response, lit, wedges.len());
    let to = under_chart.or(under_legend).or(walked);
    if to != lit || (to.is_none() && scene.ui.linked.is_some()) {
        let linked = to.and_then(|place| {
            let lines = wedges.get(place)?.lines.clone();
            Some(Linked { chart: by, place, lines })
        });
        actions.push(Action::Link(linked));
    }
}

fn heading(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.label(
            RichText::new(say!("Composition")).font(fonts::strong(size::SMALL)).color(t.muted),
        );
        let shown = scene.ui.chart.name();
        ui.menu_button(RichText::new(shown).font(fonts::small()), |ui| {
            for by in ChartBy::ALL {
                if choice(ui, scene.ui.chart == by, by.name()).clicked() {
                    actions.push(Action::Chart(by));
                    ui.close();
                }
            }
        })
        .response
        .accessible_name(say!("Composition shown {shown}", shown));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let name = if scene.ui.chart_as_table { say!("As chart") } else { say!("As table") };
            if ui.button(RichText::new(name).font(fonts::small())).clicked() {
                actions.push(Action::ChartAsTable(!scene.ui.chart_as_table));
            }
        });
    });
}

/// The chart: one stop for Tab, within which the arrow keys walk. Gives the wedge under the
/// pointer.
fn chart(
    ui: &mut Ui,
    scene: &Scene<'_>,
    wedges: &[Wedge],
    lit: Option<usize>,
) -> (Option<usize>, Response) {
    let pieces = pieces(ui, scene, wedges, scene.ui.chart);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), TALL), Sense::click());
    let total = format_fixed(scene.here.evaluation.total.0, 2, scene.style());
    let under =
        donut::draw(ui, rect.expand2(vec2(10.0, 0.0)), &pieces, lit, &total, say!("% total"));
    response.widget_info(|| {
        let name = say!("Composition {chart}", chart = scene.ui.chart.name());
        let text = match lit.and_then(|i| wedges.get(i).map(|w| (i, w))) {
            Some((i, w)) => {
                let said = said(scene, w);
                say!("{name}: {said}, {n} of {all}", name, said, n = i + 1, all = wedges.len())
            }
            None => say!("{name}, the arrow keys go from slice to slice", name),
        };
        WidgetInfo::labeled(Role::Image, true, text)
    });
    let response = match under.and_then(|i| wedges.get(i)) {
        Some(wedge) => response.on_hover_ui_at_pointer(|ui| held(ui, scene, wedge)),
        None => response,
    };
    (under, response)
}

/// A wedge in words.
fn said(scene: &Scene<'_>, wedge: &Wedge) -> String {
    let percent = |p: quern_calc::quantity::Percent| format_fixed(p.0, 2, scene.style());
    let mut text = format!("{} {} %", wedge.name, percent(wedge.percent));
    if !wedge.holds.is_empty() {
        let held: Vec<String> =
            wedge.holds.iter().map(|s| format!("{} {} %", s.name, percent(s.percent))).collect();
        text.push_str(&format!(" ({})", held.join(", ")));
    }
    text
}

/// What a wedge holds, for a tooltip.
fn held(ui: &mut Ui, scene: &Scene<'_>, wedge: &Wedge) {
    let style = scene.style();
    ui.set_max_width(260.0);
    let line = |ui: &mut Ui, name: &str, percent: quern_calc::quantity::Percent| {
        ui.label(format!("{name}: {} %", format_fixed(percent.0, 2, style)));
    };
    line(ui, &wedge.name, wedge.percent);
    for slice in &wedge.holds {
        line(ui, &format!("   {}", slice.name), slice.percent);
    }
    let names = scene
        .here
        .evaluation
        .lines
        .iter()
        .filter(|l| wedge.holds.is_empty() && wedge.lines.contains(&l.line));
    for l in names {
        ui.label(RichText::new(format!("   {}", l.name)).font(fonts::small()));
    }
}

/// Where the arrow keys lead while the chart has the focus; where it is while they are at rest.
fn walk(ui: &Ui, response: &Response, lit: Option<usize>, count: usize) -> Option<usize> {
    if response.clicked() {
        response.request_focus();
    }
    if !response.has_focus() || count == 0 {
        return None;
    }
    let filter =
        EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
    let at = lit.unwrap_or(0).min(count - 1);
    let step = ui.input_mut(|i| {
        let mut pressed = |key| i.consume_key(Modifiers::NONE, key);
        let on = pressed(Key::ArrowRight) | pressed(Key::ArrowDown);
        let back = pressed(Key::ArrowLeft) | pressed(Key::ArrowUp);
        (on, back, pressed(Key::Home), pressed(Key::End))
    });
    Some(match step {
        (true, ..) => (at + 1) % count,
        (_, true, ..) => (at + count - 1) % count,
        (_, _, true, _) => 0,
        (_, _, _, true) => count - 1,
        _ => at,
    })
}

/// The legend, which is the table of the wedges. Gives the row under the pointer.
fn legend(ui: &mut Ui, scene: &Scene<'_>, wedges: &[Wedge], lit: Option<usize>) -> Option<usize> {
    let t = Tokens::of(ui);
    let style = scene.style();
    let mut under = None;
    let figures: Vec<String> = wedges.iter().map(|w| format_fixed(w.percent.0, 2, style)).collect();
    // Short names stand in two columns, so that findings below come into view.
    let columns = if scene.ui.chart == ChartBy::Component { 1 } else { 2 };
    let rows = wedges.len().div_ceil(columns).max(1);
    let (area, _) =
        ui.allocate_exact_size(vec2(ui.available_width(), rows as f32 * LEGEND), Sense::hover());
    let wide = (area.width() - GUTTER * (columns - 1) as f32) / columns as f32;
    for (i, (wedge, figure)) in wedges.iter().zip(&figures).enumerate() {
        let (column, row) = (i / rows, i % rows);
        let corner = vec2(column as f32 * (wide + GUTTER), row as f32 * LEGEND);
        let rect = Rect::from_min_size(area.min + corner, vec2(wide, LEGEND));
        let response = ui.interact(rect, Id::unique(("legend", i)), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, said(scene, wedge)));
        if response.hovered() {
            under = Some(i);
        }
        if lit == Some(i) {
            ui.painter().rect_filled(rect.expand2(vec2(4.0, 0.0)), 3.0, t.row);
        }
        let y = rect.center().y;
        let square = Rect::from_center_size(pos2(rect.left() + 6.0, y), vec2(11.0, 11.0));
        let (color, over) = match wedge.index {
            Some(index) => mark(t, scene.ui.chart, index),
            None => (t.edge, Pattern::Plain),
        };
        pattern::plain(ui.painter(), square, color, over, t.panel);
        let right = rect.right() - 14.0;
        let figure = ui.painter().text(
            pos2(right, y),
            egui::Align2::RIGHT_CENTER,
            figure,
            fonts::text(),
            t.ink,
        );
        ui.painter().text(
            pos2(rect.right(), y),
            egui::Align2::RIGHT_CENTER,
            "%",
            fonts::small(),
            t.muted,
        );
        let room = figure.left() - rect.left() - 28.0;
        let mut job =
            egui::text::LayoutJob::simple_singleline(wedge.name.clone(), fonts::text(), t.ink);
        job.wrap = egui::text::TextWrapping::truncate_at_width(room);
        let galley = ui.painter().layout_job(job);
        let at = pos2(rect.left() + 20.0, y - galley.size().y / 2.0);
        ui.painter().galley(at, galley, t.ink);
        response.on_hover_ui(|ui| held(ui, scene, wedge));
    }
    under
}

/// The table twin of the chart, every slice by itself.
fn table(ui: &mut Ui, scene: &Scene<'_>, slices: &[Slice]) {
    ui.add_space(4.0);
    let style = scene.style();
    let figures: Vec<String> = slices.iter().map(|s| format_fixed(s.percent.0, 2, style)).collect();
    let t = Tokens::of(ui);
    let cells = figures.iter().map(|figure| table::Cell {
        text: format!("{figure} %"),
        font: fonts::text(),
        color: t.ink,
    });
    for (slice, cell) in slices.iter().zip(cells) {
        table::whole_row(ui, &words::engine(&slice.name), &[cell], 84.0);
    }
}

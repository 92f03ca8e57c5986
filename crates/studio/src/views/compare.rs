//! Two formulas, or two blends on one base, side by side.

use egui::{Align, Label, Layout, RichText, Sense, Ui, vec2};
use egui_plot::{GridMark, Line, Plot, PlotPoint, PlotPoints, Text, VLine};
use quern_calc::evaluate::{Value, figure_rows, item_name};
use quern_calc::formula::compare_lines;
use quern_calc::grit::axis::SizeAxis;
use quern_calc::grit::blend::density_curve;
use quern_calc::number::format_fixed;
use quern_calc::quantity::Percent;

use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::{Scene, Side, SideFigures};
use crate::look::icons::Icon;
use crate::look::{Tokens, fonts, size};
use crate::widgets::table::{Cell, cell_width, row, rows, title};
use crate::widgets::{choice, donut, icon_button, short};
use crate::words;

/// Sizes that the curve spans, in µm.
const CURVE: (f64, f64) = (20.0, 2_500.0);

/// Points of a curve.
const POINTS: usize = 160;

/// Sieve openings marked under the curve, in µm (ASTM E11 and ISO 3310-1).
const MARKS: [f64; 7] = [45.0, 75.0, 150.0, 300.0, 500.0, 850.0, 2000.0];

/// Cuts above which the share of grains is given, in µm.
const CUTS: [f64; 3] = [300.0, 500.0, 800.0];

/// Draws the view.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ui.set_min_width(600.0);
    head(ui, scene, actions);
    ui.add_space(8.0);
    let [Some((left_side, left)), Some((_, right))] = &scene.sides else {
        ui.label(say!("Choose two formulas to compare"));
        return;
    };
    if scene.project.formulas.len() < 2
        && left_side.blend_of.is_none()
        && left_side.version.is_none()
    {
        let text = say!(
            "Duplicate the formula and change the copy, add another one, or begin with a \
                    kind of product"
        );
        let does = [Command::DuplicateFormula, Command::NewFormula, Command::NewFromSkeleton];
        super::empty::card(ui, say!("One formula is not enough to compare"), text, &does, actions);
        return;
    }
    let figures = [left, right];
    let wide = ui.available_width() > 980.0;
    if wide {
        ui.horizontal_top(|ui| {
            let half = ((ui.available_width() - 24.0) / 2.0).max(0.0);
            ui.allocate_ui_with_layout(vec2(half, 0.0), Layout::top_down(Align::Min), |ui| {
                ui.set_width(half);
                lines(ui, scene, figures);
                ui.add_space(16.0);
                super::compare_words::show(ui, scene, figures);
                composition(ui, scene, figures);
                ui.add_space(16.0);
                found(ui, scene, figures);
            });
            ui.add_space(12.0);
            ui.allocate_ui_with_layout(vec2(half, 0.0), Layout::top_down(Align::Min), |ui| {
                ui.set_width(half);
                charts(ui, scene, figures);
                numbers(ui, scene, figures);
            });
        });
    } else {
        charts(ui, scene, figures);
        numbers(ui, scene, figures);
        composition(ui, scene, figures);
        ui.add_space(16.0);
        lines(ui, scene, figures);
        ui.add_space(16.0);
        super::compare_words::show(ui, scene, figures);
        ui.add_space(16.0);
        found(ui, scene, figures);
    }
    ui.add_space(24.0);
}

/// The two sides and what can be done with them.
fn head(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        for i in [0, 1] {
            side_menu(ui, scene, i, actions);
            if i == 0 {
                let row = Command::SwapSides.row();
                if icon_button(ui, Icon::Swap, row.name(), row.about(), true).clicked() {
                    actions.push(Action::Run(Command::SwapSides));
                }
            }
        }
        ui.add_space(8.0);
        let same_base = match &scene.ui.sides {
            [Some(a), Some(b)] => a == b,
            _ => true,
        };
        let row = Command::TakeBlend.row();
        if ui
            .add_enabled(!same_base, egui::Button::new(row.name()))
            .on_hover_text(row.about())
            .clicked()
        {
            actions.push(Action::Run(Command::TakeBlend));
        }
    });
}

fn side_menu(ui: &mut Ui, scene: &Scene<'_>, i: usize, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let Some(side) = scene.ui.sides.get(i).and_then(Option::as_ref) else { return };
    let name = scene
        .sides
        .get(i)
        .and_then(|s| s.as_ref().map(|(_, f)| f.name.clone()))
        .unwrap_or_default();
    let which = if i == 0 { say!("Left") } else { say!("Right") };
    let title = RichText::new(short(&name, 30)).font(fonts::strong(size::TEXT)).color(t.side(i));
    ui.menu_button(title, |ui| {
        ui.set_min_width(230.0);
        ui.label(RichText::new(say!("Formula")).font(fonts::small()).color(t.muted));
        let most = ui.ctx().content_rect().height() * 0.5;
        egui::ScrollArea::vertical().max_height(most).id_salt("side-formulas").show(ui, |ui| {
            for f in &scene.project.formulas {
                sides_of(ui, scene, i, side, f, actions);
            }
        });
        ui.separator();
        ui.label(RichText::new(say!("With the exfoliants of")).font(fonts::small()).color(t.muted));
        let mut blend = |ui: &mut Ui, text: &str, of: Option<quern_calc::formula::FormulaId>| {
            if choice(ui, side.blend_of == of, text).clicked() {
                let side = Side { blend_of: of, ..side.clone() };
                actions.push(Action::SetSide(i, side));
                ui.close();
            }
        };
        blend(ui, say!("its own"), None);
        for f in scene.project.formulas.iter().filter(|f| f.id != side.formula) {
            blend(ui, &f.name, Some(f.id.clone()));
        }
    })
    .response
    .accessible_name(say!("{which} side: {name}", which, name))
    .on_hover_text(say!("Choose a formula, and whose exfoliants it carries"));
}

/// A formula and its kept versions, newest first, to be chosen as a side.
fn sides_of(
    ui: &mut Ui,
    scene: &Scene<'_>,
    i: usize,
    now: &Side,
    formula: &quern_calc::formula::Formula,
    actions: &mut Vec<Action>,
) {
    let mut choice = |ui: &mut Ui, text: String, version: Option<u32>| {
        let here = now.formula == formula.id && now.version == version;
        if choice(ui, here, text).clicked() {
            let side = Side { version, ..Side::plain(formula.id.clone()) };
            actions.push(Action::SetSide(i, side));
            ui.close();
        }
    };
    choice(
        ui,
        say!(
            "{formula}, version {number}",
            formula = formula.name,
            number = formula.version.number
        ),
        None,
    );
    for kept in scene.project.kept_of(&formula.id).rev() {
        let version = &kept.formula.version;
        let text = say!(
            "{formula}, version {number}, {state}, kept",
            formula = kept.formula.name,
            number = version.number,
            state = words::text(version.state.name())
        );
        ui.indent(("side-version", version.number), |ui| choice(ui, text, Some(version.number)));
    }
}

fn heads(t: &Tokens, figures: [&SideFigures; 2], unit: &str) -> Vec<RichText> {
    let short = figures.map(|f| short(&f.formula.name, 9));
    let same = short[0] == short[1];
    let numbers = figures.map(|f| f.formula.version.number);
    short
        .into_iter()
        .enumerate()
        .map(|(i, name)| {
            let name = match (same, i) {
                (false, _) => name,
                _ if numbers[0] != numbers[1] => {
                    say!("v. {number}", number = if i == 0 { numbers[0] } else { numbers[1] })
                }
                (true, 0) => say!("Left").to_owned(),
                (true, _) => say!("Right").to_owned(),
            };
            RichText::new(format!("{name} {unit}").trim().to_owned())
                .font(fonts::strong(size::SMALL))
                .color(t.side(i))
        })
        .collect()
}

/// What differs, line by line.
fn lines(ui: &mut Ui, scene: &Scene<'_>, figures: [&SideFigures; 2]) {
    let t = Tokens::of(ui);
    let style = scene.style();
    title(ui, say!("Line by line"), say!("% and grams of each batch; bold where they differ"));
    let mut cells = heads(t, figures, "%");
    cells.extend(heads(t, figures, "g"));
    row(ui, RichText::new(""), &cells, true);
    let percent = |p: Option<Percent>| {
        p.map_or("–".to_owned(), |p| format_fixed(p.0, scene.percent_places(), style))
    };
    let mut all = Vec::new();
    for difference in compare_lines(&figures.map(|f| f.formula.as_ref())) {
        let mark = |s: String| {
            if difference.same { Cell::muted(t, s) } else { Cell::strong(t, s) }
        };
        let mut cells: Vec<Cell> = difference.percents.iter().map(|p| mark(percent(*p))).collect();
        for (p, side) in difference.percents.iter().zip(figures) {
            let grams = p.zip(side.evaluation.batch.as_ref().ok()).map(|(p, b)| p.of(b.gross));
            let text = grams.map_or("–".to_owned(), |g| format_fixed(g.0, 1, style));
            cells.push(mark(text));
        }
        all.push((mark(item_name(&difference.item, scene.library)), cells));
    }
    let cell = cell_width(ui, 4);
    rows(ui, all, cell);
}

/// Both charts and the grain curves.
fn charts(ui: &mut Ui, scene: &Scene<'_>, figures: [&SideFigures; 2]) {
    title(ui, say!("Composition"), scene.ui.chart.name());
    ui.horizontal(|ui| {
        let half = ((ui.available_width() - 8.0) / 2.0).max(0.0);
        let t = Tokens::of(ui);
        for (i, f) in figures.into_iter().enumerate() {
            let wedges = super::composition::shown(super::composition::slices(
                &f.evaluation,
                scene.ui.chart,
            ));
            let pieces = super::composition::pieces(ui, scene, &wedges, scene.ui.chart);
            let (rect, response) = ui.allocate_exact_size(vec2(half, 180.0), Sense::hover());
            let name = say!("Composition of {name}, figures in the table", name = f.name);
            response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &name));
            let total = format_fixed(f.evaluation.total.0, 0, scene.style());
            donut::draw(ui, rect.expand2(vec2(8.0, 0.0)), &pieces, None, &total, say!("% total"));
            ui.painter().text(
                rect.center_bottom(),
                egui::Align2::CENTER_BOTTOM,
                short(&f.name, 30),
                fonts::small(),
                t.side(i),
            );
        }
    });
    curves(ui, scene, figures);
}

fn curves(ui: &mut Ui, scene: &Scene<'_>, figures: [&SideFigures; 2]) {
    let t = Tokens::of(ui);
    title(
        ui,
        say!("Grains by size"),
        say!("share of mass per decade of size, µm; sieve openings below"),
    );
    let style = scene.style();
    let Some(axis) = SizeAxis::new(CURVE.0, CURVE.1) else { return };
    let label = move |mark: GridMark, _: &std::ops::RangeInclusive<f64>| {
        quern_calc::number::format_f64(axis.size(mark.value), 0, style)
    };
    let curve = |f: &SideFigures| -> Vec<[f64; 2]> {
        let Ok(grains) = &f.evaluation.grains else { return Vec::new() };
        let points = density_curve(&grains.blend, CURVE.0, CURVE.1, POINTS);
        points.into_iter().map(|(um, share)| [axis.place(um), share]).collect()
    };
    let all = figures.map(curve);
    let peaks = all
        .each_ref()
        .map(|c| c.iter().copied().max_by(|a, b| a[1].total_cmp(&b[1])).unwrap_or_default());
    let top = peaks.iter().map(|p| p[1]).fold(0.0, f64::max);
    let names = name_places(peaks, top);
    Plot::new("grain-curves")
        .height(170.0)
        .show_axes([true, false])
        .show_grid([false, false])
        .show_background(false)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .include_x(0.0)
        .include_x(1.0)
        .include_y(0.0)
        .include_y(top * 1.3)
        .x_grid_spacer(move |_| {
            MARKS.iter().map(|um| GridMark { value: axis.place(*um), step_size: 1.0 }).collect()
        })
        .x_axis_formatter(label)
        .show(ui, |plot| {
            for um in MARKS {
                plot.vline(VLine::new("", axis.place(um)).color(t.hairline).width(1.0));
            }
            // The shares above these sizes stand in the table below.
            for um in CUTS {
                let style = egui_plot::LineStyle::dotted_dense();
                plot.vline(VLine::new("", axis.place(um)).color(t.edge).width(1.0).style(style));
            }
            for (i, (f, points)) in figures.iter().zip(all).enumerate() {
                if points.is_empty() {
                    continue;
                }
                // Each curve bears its name; a legend would have to be matched by colour.
                if let Some([x, y]) = names.get(i) {
                    let name = RichText::new(short(&f.name, 24)).font(fonts::strong(size::SMALL));
                    let name = Text::new("", PlotPoint::new(*x, *y), name.color(t.side(i)));
                    plot.text(name.anchor(egui::Align2::CENTER_BOTTOM));
                }
                let line = Line::new(f.name.clone(), PlotPoints::from(points))
                    .color(t.side(i))
                    .width(2.0)
                    .fill(0.0);
                let line =
                    if i == 0 { line } else { line.style(egui_plot::LineStyle::dashed_loose()) };
                plot.line(line);
            }
        });
}

/// Where the names of two curves stand: over their peaks, one over the other where these meet.
fn name_places([one, other]: [[f64; 2]; 2], top: f64) -> [[f64; 2]; 2] {
    let over = |p: [f64; 2], rows: f64| [p[0], p[1] + top * (0.02 + 0.13 * rows)];
    let meet = (one[0] - other[0]).abs() < 0.12 && (one[1] - other[1]).abs() < 0.14 * top;
    let higher = if one[1] >= other[1] { [1.0, 0.0] } else { [0.0, 1.0] };
    let rows = if meet { higher } else { [0.0, 0.0] };
    [over(one, rows[0]), over(other, rows[1])]
}

/// The table twin of the charts.
fn composition(ui: &mut Ui, scene: &Scene<'_>, figures: [&SideFigures; 2]) {
    let t = Tokens::of(ui);
    ui.add_space(8.0);
    title(ui, say!("Composition, %"), scene.ui.chart.name());
    row(ui, RichText::new(""), &heads(t, figures, "%"), true);
    let [left, right] = figures.map(|f| super::composition::slices(&f.evaluation, scene.ui.chart));
    let held = |slices: &[quern_calc::formula::Slice], name: &str| {
        let slice = slices.iter().find(|s| s.name == name);
        let text = slice.map(|s| format_fixed(s.percent.0, 2, scene.style()));
        Cell::plain(t, text.unwrap_or_else(|| "–".to_owned()))
    };
    let only_right = right.iter().filter(|r| left.iter().all(|l| l.name != r.name));
    let all = left
        .iter()
        .chain(only_right)
        .map(|slice| {
            let cells = vec![held(left, &slice.name), held(right, &slice.name)];
            (Cell::plain(t, words::told(&slice.name)), cells)
        })
        .collect();
    let cell = cell_width(ui, 2);
    rows(ui, all, cell);
}

/// Figures side by side with their difference.
fn numbers(ui: &mut Ui, scene: &Scene<'_>, figures: [&SideFigures; 2]) {
    let t = Tokens::of(ui);
    let style = scene.style();
    ui.add_space(8.0);
    title(ui, say!("Figures"), say!("grit is a relative wear model, not a skin test"));
    let mut cells = heads(t, figures, "");
    cells.push(RichText::new(say!("difference")).font(fonts::strong(size::SMALL)).color(t.muted));
    row(ui, RichText::new(""), &cells, true);
    let [left, right] = figures.map(|f| figure_rows(&f.evaluation));
    let mut all = Vec::new();
    for (a, b) in left.iter().zip(&right) {
        if matches!((&a.value, &b.value), (Value::Absent(_), Value::Absent(_))) {
            continue;
        }
        let difference = b.value.difference(&a.value, style).unwrap_or_default();
        let text = |value: &Value| {
            let sum = a.key.starts_with("cost") && !matches!(value, Value::Absent(_));
            if sum { scene.money(&value.text(style)) } else { words::told(value.text(style)) }
        };
        let cells = vec![
            Cell::plain(t, text(&a.value)),
            Cell::plain(t, text(&b.value)),
            Cell::muted(t, words::told(difference)),
        ];
        all.push((Cell::plain(t, words::told(a.title())), cells));
    }
    let cell = cell_width(ui, 3);
    rows(ui, all, cell);
}

/// Findings of each side.
fn found(ui: &mut Ui, scene: &Scene<'_>, figures: [&SideFigures; 2]) {
    let t = Tokens::of(ui);
    for (i, f) in figures.iter().enumerate() {
        let [stops, warns, notes] = f.evaluation.counts();
        ui.horizontal(|ui| {
            let name = RichText::new(&f.name).font(fonts::strong(size::SMALL)).color(t.side(i));
            ui.label(name);
            let text = say!("{stops} stop, {warns} warn, {notes} note", stops, warns, notes);
            ui.label(RichText::new(text).font(fonts::small()).color(t.muted));
        });
        for finding in &f.evaluation.findings {
            let (sign, color) = super::figures::sign_of(t, finding.severity());
            let words = words::of_finding(finding, scene.style());
            ui.horizontal_top(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(14.0, 18.0), Sense::hover());
                crate::look::icons::sign(ui.painter(), rect.center(), sign, color);
                ui.add(Label::new(words.title.as_str()).wrap()).on_hover_text(words.fix);
            });
        }
        ui.add_space(8.0);
    }
}

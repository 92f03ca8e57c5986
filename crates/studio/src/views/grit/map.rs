//! Every mix of two or three exfoliants: a line or a triangle, coloured by index, to take from.

use egui::{
    Align2, Color32, EventFilter, Key, Mesh, Modifiers, Pos2, Rect, RichText, Sense, Shape, Stroke,
    Ui, WidgetInfo, pos2, vec2,
};
use quern_calc::evaluate::{MixShape, Mixes, index_place};
use quern_calc::grit::map::{HEIGHT, MixMap, mix_at, place_of};
use quern_calc::number::format_f64;
use quern_calc::quantity::decimal_to_f64;

use super::panel::heading;
use super::{muted, number, px};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::grit::GritAction;
use crate::app::state::{Dialog, ExfoliantFor, PickFor, Search};
use crate::look::{Tokens, fonts, size};
use crate::widgets::choice;
use crate::widgets::table::row_of;
use crate::words;

/// Draws the map with its corners.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    let style = scene.style();
    let total = format_f64(scene.ui.grit.ask.total.1, 2, style);
    let three = scene.grit.corners.len() > 2;
    ui.horizontal(|ui| {
        let head = if three {
            say!("Every mix of three at {total} %", total)
        } else {
            say!("Every mix of two at {total} %", total)
        };
        heading(ui, &head);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let table = scene.ui.grit.map_as_table;
            let name = if table { say!("As map") } else { say!("As table") };
            if ui.button(RichText::new(name).font(fonts::small())).clicked() {
                actions.push(Action::Grit(GritAction::MapAsTable(!table)));
            }
        });
    });
    corners(ui, scene, actions);
    match scene.grit.mixed.as_deref() {
        None => muted(ui, say!("Working the mixes out")),
        Some(Err(why)) => muted(ui, &words::engine(why.words())),
        Some(Ok(mixes)) => {
            if scene.ui.grit.map_as_table {
                table(ui, scene, mixes);
            } else {
                match &mixes.shape {
                    MixShape::Pair(_) => pair(ui, scene, mixes, actions),
                    MixShape::Three { map, .. } => triangle(ui, scene, mixes, map, actions),
                }
            }
            limits(ui, scene, actions);
            take(ui, scene, mixes, actions);
        }
    }
}

/// Which exfoliants stand at the corners.
fn corners(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    // The line of two runs from none of the first, at the left, to nothing but it.
    let places = if scene.grit.corners.len() == 2 {
        [say!("right"), say!("left"), say!("third")]
    } else {
        [say!("left"), say!("right"), say!("top")]
    };
    let name_of = |id: &quern_calc::formula::MaterialId| {
        scene
            .grit
            .from
            .iter()
            .chain(&scene.grit.offered)
            .find(|(o, _)| o == id)
            .map_or_else(|| id.to_string(), |(_, n)| n.clone())
    };
    for (i, place) in places.iter().enumerate() {
        let now = scene.grit.corners.get(i);
        if now.is_none() && i > scene.grit.corners.len() {
            break;
        }
        ui.horizontal(|ui| {
            let t = Tokens::of(ui);
            ui.allocate_ui(vec2(34.0, 24.0), |ui| {
                ui.set_min_width(34.0);
                ui.label(RichText::new(*place).font(fonts::small()).color(t.muted));
            });
            let text = now.map_or(say!("none").to_owned(), name_of);
            egui::ComboBox::from_id_salt(("grit-corner", i))
                .selected_text(RichText::new(&text).font(fonts::small()))
                .width((ui.available_width() - 8.0).max(0.0))
                .truncate()
                .show_ui(ui, |ui| {
                    if i == 2 && now.is_some() && choice(ui, false, say!("none")).clicked() {
                        actions.push(Action::Grit(GritAction::Corner(i, None)));
                    }
                    for (id, name) in &scene.grit.offered {
                        if choice(ui, now == Some(id), name).clicked() {
                            let corner = GritAction::Corner(i, Some(id.clone()));
                            actions.push(Action::Grit(corner));
                        }
                    }
                    if choice(ui, false, say!("From the library...")).clicked() {
                        actions.push(Action::Open(Box::new(Dialog::Pick {
                            purpose: PickFor::Exfoliant(ExfoliantFor::Corner(i)),
                            search: Search::default(),
                        })));
                    }
                })
                .response
                .accessible_name(say!("Exfoliant at the {place}: {text}", place, text));
        });
    }
}

/// Colour of an index: paper for the gentlest, deepening to the accent.
fn shade(t: &Tokens, index: f64, dim: bool) -> Color32 {
    let at = px(index_place(index));
    let mix = |a: u8, b: u8| -> u8 {
        let x = f32::from(a) + (f32::from(b) - f32::from(a)) * at;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within 0 to 255
        let x = x.round() as u8;
        x
    };
    let (a, b) = (t.panel, t.accent);
    let color = t.opaque(mix(a.r(), b.r()), mix(a.g(), b.g()), mix(a.b(), b.b()));
    if dim { Tokens::tint(color, 70) } else { color }
}

/// True for a mix that a limit shuts out.
fn beyond(scene: &Scene<'_>, above: f64, cost: Option<f64>) -> bool {
    let size = scene.ui.grit.ask.size.is_some_and(|s| above > s.tolerance);
    let money = scene.ui.grit.cost_most.is_some_and(|most| cost.is_none_or(|c| c > most));
    size || money
}

/// The mix at hand: where the cursor stands, else the middle.
fn at_hand(scene: &Scene<'_>, n: usize) -> Vec<f64> {
    if scene.ui.grit.mix.len() == n {
        scene.ui.grit.mix.clone()
    } else {
        vec![1.0 / n.max(1) as f64; n]
    }
}

fn triangle(
    ui: &mut Ui,
    scene: &Scene<'_>,
    mixes: &Mixes,
    map: &MixMap,
    actions: &mut Vec<Action>,
) {
    let t = Tokens::of(ui);
    let side = (ui.available_width() - 60.0).clamp(120.0, 250.0);
    let (area, response) = ui.allocate_exact_size(
        vec2(ui.available_width(), side * px(HEIGHT) + 40.0),
        Sense::click_and_drag(),
    );
    let left = area.center().x - side / 2.0;
    let base = area.bottom() - 20.0;
    let to = |p: (f64, f64)| pos2(left + px(p.0) * side, base - px(p.1) * side);
    let back = |p: Pos2| (f64::from((p.x - left) / side), f64::from((base - p.y) / side));
    let mut mesh = Mesh::default();
    for p in &map.points {
        let dim = beyond(scene, p.above, p.cost);
        mesh.colored_vertex(to(place_of(p.shares)), shade(t, p.index, dim));
    }
    for [a, b, c] in map.triangles() {
        if let (Ok(a), Ok(b), Ok(c)) = (u32::try_from(a), u32::try_from(b), u32::try_from(c)) {
            mesh.add_triangle(a, b, c);
        }
    }
    let painter = ui.painter();
    painter.add(Shape::mesh(mesh));
    if let MixShape::Three { lines, .. } = &mixes.shape {
        for (k, line) in lines.iter().enumerate() {
            let wanted = k + 1 == lines.len();
            let stroke = if wanted {
                Stroke::new(2.2, t.side(1))
            } else {
                Stroke::new(0.8, Tokens::tint(t.ink, 130))
            };
            for [a, b] in &line.pieces {
                if wanted {
                    rim(painter, [to(*a), to(*b)], t);
                }
                painter.line_segment([to(*a), to(*b)], stroke);
            }
            if let Some([a, _]) = line.pieces.get(line.pieces.len() / 2) {
                let text = format_f64(line.level, 0, scene.style());
                let color = if wanted { t.side(1) } else { t.ink };
                let font = egui::FontId::proportional(10.5);
                let galley = painter.layout_no_wrap(text, font, color);
                let place = Rect::from_center_size(to(*a), galley.size());
                painter.rect_filled(place.expand(1.0), 2.0, Tokens::tint(t.panel, 230));
                painter.galley(place.min, galley, color);
            }
        }
    }
    if let Some(line) = scene.ui.grit.cost_most.and_then(|c| mixes.cost_line(c)) {
        for [a, b] in &line.pieces {
            rim(painter, [to(*a), to(*b)], t);
            painter.line_segment([to(*a), to(*b)], Stroke::new(1.4, t.warn));
        }
    }
    let outline = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(|s| to(place_of(s)));
    let edge =
        if response.has_focus() { Stroke::new(2.0, t.accent) } else { Stroke::new(1.0, t.edge) };
    painter.add(Shape::closed_line(outline.to_vec(), edge));
    for (k, (_, name)) in mixes.of.iter().enumerate() {
        let (at, align, room) = match k {
            0 => (pos2(area.left(), base + 4.0), Align2::LEFT_TOP, area.width() / 2.0 - 6.0),
            1 => (pos2(area.right(), base + 4.0), Align2::RIGHT_TOP, area.width() / 2.0 - 6.0),
            _ => (pos2(area.center().x, area.top() + 14.0), Align2::CENTER_BOTTOM, area.width()),
        };
        let mut job = egui::text::LayoutJob::simple_singleline(name.clone(), fonts::small(), t.ink);
        job.wrap = egui::text::TextWrapping::truncate_at_width(room);
        let galley = painter.layout_job(job);
        let rect = align.anchor_size(at, galley.size());
        painter.galley(rect.min, galley, t.ink);
    }
    let shares = at_hand(scene, 3);
    if let [a, b, c] = shares.as_slice() {
        let at = to(place_of([*a, *b, *c]));
        painter.circle(at, 6.0, t.panel, Stroke::new(2.5, t.side(1)));
    }
    let name = say!("Map of mixes, {words}", words = words(scene, mixes, &shares));
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, &name));
    if (response.clicked() || response.dragged())
        && let Some(p) = response.interact_pointer_pos()
    {
        response.request_focus();
        if let Some(mix) = mix_at(nearest_inside(back(p))) {
            actions.push(Action::Grit(GritAction::Mix(mix.to_vec())));
        }
    }
    if response.double_clicked() {
        actions.push(Action::Grit(GritAction::UseMix(mixes.loads(&shares))));
    }
    if response.has_focus() {
        walk(ui, response.id, &shares, mixes, actions);
    }
}

/// A rim in the colour of the panel, so that a line stands out from any shade.
fn rim(painter: &egui::Painter, line: [Pos2; 2], t: &Tokens) {
    painter.line_segment(line, Stroke::new(4.5, t.panel));
}

/// The nearest place inside the triangle.
fn nearest_inside(p: (f64, f64)) -> (f64, f64) {
    let y = p.1.clamp(0.0, HEIGHT);
    let half = 0.5 * (1.0 - y / HEIGHT);
    (p.0.clamp(0.5 - half, 0.5 + half), y)
}

/// Arrow keys move the mix by one per cent, Enter takes it.
fn walk(ui: &Ui, id: egui::Id, shares: &[f64], mixes: &Mixes, actions: &mut Vec<Action>) {
    let filter =
        EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
    let (x, y, enter) = ui.input_mut(|i| {
        let mut key = |key| f64::from(u8::from(i.consume_key(Modifiers::NONE, key)));
        let x = key(Key::ArrowRight) - key(Key::ArrowLeft);
        let y = key(Key::ArrowUp) - key(Key::ArrowDown);
        (x, y, i.consume_key(Modifiers::NONE, Key::Enter))
    });
    if enter {
        actions.push(Action::Grit(GritAction::UseMix(mixes.loads(shares))));
    }
    if x == 0.0 && y == 0.0 {
        return;
    }
    const STEP: f64 = 0.01;
    let next = match shares {
        [a, b, c] => {
            let c = (c + y * STEP).clamp(0.0, 1.0);
            let b = (b + x * STEP - 0.5 * y * STEP).clamp(0.0, 1.0 - c);
            let _ = a;
            vec![1.0 - b - c, b, c]
        }
        [a, _] => {
            let a = (a + (x + y) * STEP).clamp(0.0, 1.0);
            vec![a, 1.0 - a]
        }
        _ => return,
    };
    actions.push(Action::Grit(GritAction::Mix(next)));
}

/// The trade-off of two: index over the share of the first, with the wanted index.
fn pair(ui: &mut Ui, scene: &Scene<'_>, mixes: &Mixes, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    let MixShape::Pair(points) = &mixes.shape else { return };
    let (area, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), 190.0), Sense::click_and_drag());
    let r = Rect::from_min_max(area.min + vec2(34.0, 8.0), area.max - vec2(8.0, 36.0));
    let top = points.iter().map(|p| p.index).fold(mixes.wanted, f64::max) * 1.08;
    let x = |share: f64| r.left() + px(share) * r.width();
    let y = |index: f64| r.bottom() - px(index / top.max(1e-9)) * r.height();
    let painter = ui.painter();
    painter.hline(r.x_range(), r.bottom(), Stroke::new(1.0, t.edge));
    painter.vline(r.left(), r.y_range(), Stroke::new(1.0, t.edge));
    let label = |at: Pos2, align: Align2, text: String, color: Color32| {
        painter.text(at, align, text, fonts::small(), color);
    };
    let style = scene.style();
    for level in [0.0, 0.5, 1.0] {
        let index = level * top / 1.08;
        let at = pos2(r.left() - 5.0, y(index));
        label(at, Align2::RIGHT_CENTER, format_f64(index, 0, style), t.muted);
    }
    let wanted = [pos2(r.left(), y(mixes.wanted)), pos2(r.right(), y(mixes.wanted))];
    painter.extend(Shape::dashed_line(&wanted, Stroke::new(1.2, t.side(1)), 5.0, 4.0));
    let line: Vec<Pos2> = points.iter().map(|p| pos2(x(p.share), y(p.index))).collect();
    painter.add(Shape::line(line, Stroke::new(2.2, t.accent)));
    let dearest = points.iter().filter_map(|p| p.cost).fold(0.0, f64::max);
    if dearest > 0.0 {
        let costs: Vec<Pos2> = points
            .iter()
            .filter_map(|p| p.cost.map(|c| pos2(x(p.share), y(c / dearest * top / 1.08))))
            .collect();
        painter.extend(Shape::dashed_line(&costs, Stroke::new(1.2, t.warn), 2.0, 3.0));
    }
    for share in mixes.crossings() {
        painter.circle(pos2(x(share), y(mixes.wanted)), 4.0, t.panel, Stroke::new(2.0, t.side(1)));
    }
    let shares = at_hand(scene, 2);
    if let Some(a) = shares.first()
        && let Some(f) = mixes.figures(&shares)
    {
        painter.circle(pos2(x(*a), y(f.index)), 6.0, t.panel, Stroke::new(2.5, t.accent));
    }
    for (k, (_, name)) in mixes.of.iter().enumerate() {
        let text: String = name.chars().take(20).collect();
        let (at, align) = if k == 0 {
            (pos2(r.right(), r.bottom() + 3.0), Align2::RIGHT_TOP)
        } else {
            (pos2(r.left(), r.bottom() + 3.0), Align2::LEFT_TOP)
        };
        label(at, align, say!("all {text}", text), t.ink);
    }
    let about = if dearest > 0.0 {
        say!("line: grit; dotted: cost, to its own scale")
    } else {
        say!("line: grit")
    };
    label(pos2(r.left(), r.bottom() + 18.0), Align2::LEFT_TOP, about.to_owned(), t.muted);
    if response.has_focus() {
        walk(ui, response.id, &shares, mixes, actions);
    }
    let name = say!("Line of mixes, {words}", words = words(scene, mixes, &shares));
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, &name));
    if (response.clicked() || response.dragged())
        && let Some(p) = response.interact_pointer_pos()
    {
        response.request_focus();
        let a = f64::from((p.x - r.left()) / r.width().max(1.0)).clamp(0.0, 1.0);
        actions.push(Action::Grit(GritAction::Mix(vec![a, 1.0 - a])));
    }
    if response.double_clicked() {
        actions.push(Action::Grit(GritAction::UseMix(mixes.loads(&shares))));
    }
}

/// A mix in words.
fn words(scene: &Scene<'_>, mixes: &Mixes, shares: &[f64]) -> String {
    let style = scene.style();
    let parts: Vec<String> = mixes
        .loads(shares)
        .iter()
        .zip(&mixes.of)
        .map(|((_, p), (_, name))| {
            format!("{} % {name}", format_f64(decimal_to_f64(p.0), 2, style))
        })
        .collect();
    let mut text = parts.join(", ");
    if let Some(f) = mixes.figures(shares) {
        text.push_str(&say!(": grit {index}", index = format_f64(f.index, 0, style)));
        if let Some(cost) = f.cost {
            let cost = scene.money(&format_f64(cost, 2, style));
            text.push_str(&say!(", {cost} for 100 g", cost));
        }
        if let Some(size) = scene.ui.grit.ask.size {
            text.push_str(&say!(
                ", {above} % above {um} µm",
                above = format_f64(f.above, 1, style),
                um = format_f64(size.um, 0, style)
            ));
        }
    }
    text
}

/// The cost limit that dims the map.
fn limits(ui: &mut Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        let t = Tokens::of(ui);
        let text = say!("Dim above {currency} for 100 g", currency = scene.project.currency);
        ui.label(RichText::new(text).font(fonts::small()).color(t.muted));
        let now = scene.ui.grit.cost_most;
        match number(
            ui,
            scene,
            say!("Dim mixes that cost more, for 100 g"),
            now,
            2,
            70.0,
            say!("no limit"),
        ) {
            None => {}
            Some(None) => actions.push(Action::Grit(GritAction::CostMost(None))),
            Some(Some(typed)) => {
                let most = decimal_to_f64(typed.value);
                actions.push(Action::Grit(GritAction::CostMost((most >= 0.0).then_some(most))));
            }
        }
    });
    if scene.ui.grit.ask.size.is_some() {
        muted(
            ui,
            say!(
                "Mixes with too much above the size limit, counted over the whole blend, are dimmed, too; the search counts each exfoliant by itself"
            ),
        );
    }
}

/// The mix at hand and the button that takes it.
fn take(ui: &mut Ui, scene: &Scene<'_>, mixes: &Mixes, actions: &mut Vec<Action>) {
    let shares = at_hand(scene, mixes.of.len());
    if mixes.held > 0.0 {
        let held = format_f64(mixes.held, 2, scene.style());
        muted(ui, &say!("{held} % stays whatever is mixed: locked, or part of a premix", held));
    }
    ui.add(egui::Label::new(words(scene, mixes, &shares)).wrap());
    let about = say!(
        "Put it in the place of the formula's exfoliants; a double click or Enter on the map does the same"
    );
    if ui.button(say!("Use this mix")).on_hover_text(about).clicked() {
        actions.push(Action::Grit(GritAction::UseMix(mixes.loads(&shares))));
    }
}

/// The table twin: mixes in steps of a fifth or a tenth.
fn table(ui: &mut Ui, scene: &Scene<'_>, mixes: &Mixes) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let head = |s: &str| RichText::new(s).font(fonts::strong(size::SMALL)).color(t.muted);
    row_of(
        ui,
        head(say!("shares, %")),
        &[head(say!("grit")), head(say!("cost")), head(say!("above"))],
        56.0,
        true,
    );
    let n = mixes.of.len();
    let steps: u8 = if n == 2 { 10 } else { 5 };
    let mut row = |shares: &[f64]| {
        let Some(f) = mixes.figures(shares) else { return };
        let name: Vec<String> = shares.iter().map(|s| format_f64(100.0 * s, 0, style)).collect();
        let cells = [
            format_f64(f.index, 0, style),
            f.cost.map_or("–".to_owned(), |c| format_f64(c, 2, style)),
            if scene.ui.grit.ask.size.is_some() {
                format!("{} %", format_f64(f.above, 1, style))
            } else {
                "–".to_owned()
            },
        ];
        row_of(ui, RichText::new(name.join(" / ")), &cells.map(RichText::new), 56.0, false);
    };
    for i in 0..=steps {
        let a = f64::from(i) / f64::from(steps);
        if n == 2 {
            row(&[a, 1.0 - a]);
        } else {
            for j in 0..=steps - i {
                let b = f64::from(j) / f64::from(steps);
                row(&[a, b, (1.0 - a - b).max(0.0)]);
            }
        }
    }
}

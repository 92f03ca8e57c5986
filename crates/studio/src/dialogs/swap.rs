//! One exfoliant for another: the ways to do it and what each changes.

use egui::{
    Align2, Button, Label, Rect, RichText, ScrollArea, Sense, Shape, Stroke, Ui, pos2, vec2,
};
use quern_calc::evaluate::{Evaluation, Keep, blend_cost, item_name};
use quern_calc::grit::axis::SizeAxis;
use quern_calc::grit::blend::density_curve;
use quern_calc::number::{format_f64, format_fixed};

use super::{Foot, foot, note as muted, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::grit::{GritAction, SwapDraft, SwapWay};
use crate::app::state::{Dialog, ExfoliantFor, PickFor, Search};
use crate::look::{Tokens, fonts, size};
use crate::widgets::table::row_of;
use crate::words;

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut SwapDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(640.0_f32.min(ui.available_width()));
    let Some(line) = scene.formula().line(draft.line) else { return true };
    let old = item_name(&line.item, scene.library);
    title(ui, &say!("Swap {old}", old));
    let name = draft.new.as_ref().map_or(say!("Choose an exfoliant...").to_owned(), |id| {
        let own = scene.project.materials.get(id);
        let built_in = || quern_project::library::builtin().materials.get(id);
        own.or_else(built_in).map_or_else(|| id.to_string(), |m| m.display_name().to_owned())
    });
    ui.horizontal(|ui| {
        ui.label(say!("for"));
        let response = ui.add(Button::new(&name)).accessible_name(say!("The new exfoliant"));
        super::focus_first(ui, &response);
        if response.clicked() {
            actions.push(Action::Open(Box::new(Dialog::Pick {
                purpose: PickFor::Exfoliant(ExfoliantFor::Swap(draft.line)),
                search: Search::default(),
            })));
        }
    });
    if draft.new.is_none() {
        muted(ui, say!("The three ways to swap are worked out once it is chosen"));
        ui.add_space(8.0);
        return ui.button(say!("Cancel")).clicked();
    }
    ui.add_space(6.0);
    ways(ui, scene, draft);
    ui.horizontal(|ui| {
        ui.label(say!("Keep the"));
        for keep in Keep::ALL {
            let can = draft.ways.iter().any(|w| w.option.keep == keep && w.option.result.is_ok());
            let radio = egui::RadioButton::new(draft.keep == keep, words::text(keep.name()));
            let why = draft.ways.iter().find(|w| w.option.keep == keep);
            let why = why.and_then(|w| w.option.result.as_ref().err()).cloned().unwrap_or_default();
            if ui.add_enabled(can, radio).on_disabled_hover_text(why).clicked() {
                draft.keep = keep;
            }
        }
    });
    let Some(way) = draft.ways.iter().find(|w| w.option.keep == draft.keep) else { return true };
    curves(ui, scene, way);
    changes(ui, way);
    match foot(ui, say!("Swap")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => match (&way.option.result, &draft.new) {
            (Ok(_), Some(new)) => {
                let option = Box::new(way.option.clone());
                let action = GritAction::UseSwap(draft.line, option, new.clone());
                actions.push(Action::Grit(action));
                true
            }
            _ => false,
        },
    }
}

/// The ways side by side with how it is now.
fn ways(ui: &mut Ui, scene: &Scene<'_>, draft: &SwapDraft) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let head = |s: &str| RichText::new(s).font(fonts::strong(size::SMALL)).color(t.muted);
    let mut heads = vec![head(say!("now"))];
    heads.extend(Keep::ALL.map(|k| head(&say!("same {k}", k = words::text(k.name())))));
    row_of(ui, RichText::new(""), &heads, 104.0, true);
    let all: Vec<Option<&Evaluation>> = std::iter::once(Some(&*scene.here.evaluation))
        .chain(draft.ways.iter().map(|w| w.evaluation.as_deref()))
        .collect();
    let dash = || "–".to_owned();
    let now = scene.formula().line(draft.line).and_then(|l| scene.formula().percent_of(l));
    let loads = std::iter::once(now)
        .chain(draft.ways.iter().map(|w| w.option.result.as_ref().ok().map(|(_, p)| *p)));
    let cells: Vec<RichText> = loads
        .map(|p| RichText::new(p.map_or_else(dash, |p| format_fixed(p.0, 2, style))))
        .collect();
    row_of(ui, RichText::new(say!("Load of the line, %")), &cells, 104.0, false);
    let mut row = |name: &str, text: &dyn Fn(&Evaluation) -> String| {
        let cells: Vec<RichText> =
            all.iter().map(|e| RichText::new(e.map_or_else(dash, text))).collect();
        row_of(ui, RichText::new(name), &cells, 104.0, false);
    };
    row(say!("Grit index"), &|e| {
        e.grains.as_ref().map_or_else(|_| dash(), |g| format_f64(g.grit.index, 1, style))
    });
    row(say!("In words"), &|e| {
        e.grains.as_ref().map_or_else(|_| dash(), |g| words::text(g.grit.band.name()).to_owned())
    });
    row(say!("D50 / D90, µm"), &|e| {
        e.grains.as_ref().map_or_else(
            |_| dash(),
            |g| {
                format!(
                    "{} / {}",
                    format_f64(g.stats.d50, 0, style),
                    format_f64(g.stats.d90, 0, style)
                )
            },
        )
    });
    row(say!("Exfoliants in 100 g, cost"), &|e| {
        blend_cost(e).map_or_else(|_| dash(), |c| format_f64(c, 2, style))
    });
    row(say!("Stops, warns, notes"), &|e| {
        let [a, b, c] = e.counts();
        format!("{a} / {b} / {c}")
    });
}

/// The blend's curve now and after the swap.
fn curves(ui: &mut Ui, scene: &Scene<'_>, way: &SwapWay) {
    let t = Tokens::of(ui);
    const SPAN: (f64, f64) = (30.0, 2000.0);
    let Some(axis) = SizeAxis::new(SPAN.0, SPAN.1) else { return };
    let curve = |e: &Evaluation| {
        let grains = e.grains.as_ref().ok()?;
        Some(density_curve(&grains.blend, SPAN.0, SPAN.1, 120))
    };
    let now = curve(&scene.here.evaluation);
    let then = way.evaluation.as_deref().and_then(curve);
    let top = now.iter().chain(&then).flatten().map(|p| p.1).fold(0.0, f64::max);
    if top <= 0.0 {
        return;
    }
    let (area, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), 104.0), Sense::hover());
    let name = say!("Grains by size now and after the swap; the table above has the figures");
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, name));
    let r = Rect::from_min_max(area.min + vec2(4.0, 4.0), area.max - vec2(4.0, 18.0));
    #[allow(clippy::cast_possible_truncation)] // places on screen
    let at = |um: f64, y: f64| {
        pos2(
            r.left() + axis.place(um) as f32 * r.width(),
            r.bottom() - (y / top) as f32 * r.height(),
        )
    };
    let painter = ui.painter();
    painter.hline(r.x_range(), r.bottom(), Stroke::new(1.0, t.edge));
    for um in [45.0, 150.0, 300.0, 500.0, 1000.0] {
        let text = format_f64(um, 0, scene.style());
        let place = pos2(at(um, 0.0).x, r.bottom() + 2.0);
        painter.text(place, Align2::CENTER_TOP, text, fonts::small(), t.muted);
    }
    let points = |c: &[(f64, f64)]| c.iter().map(|p| at(p.0, p.1)).collect::<Vec<_>>();
    if let Some(c) = &now {
        painter.extend(Shape::dashed_line(&points(c), Stroke::new(1.5, t.muted), 5.0, 4.0));
    }
    if let Some(c) = &then {
        painter.add(Shape::line(points(c), Stroke::new(2.2, t.accent)));
    }
    let legend = say!("dashed: now; solid: after; µm");
    painter.text(r.right_top(), Align2::RIGHT_TOP, legend, fonts::small(), t.muted);
}

/// What the chosen way changes in words.
fn changes(ui: &mut Ui, way: &SwapWay) {
    let t = Tokens::of(ui);
    if let Err(why) = &way.option.result {
        let text = RichText::new(say!(
            "Cannot keep the {keep}: {why}",
            keep = words::text(way.option.keep.name()),
            why = words::told(why)
        ));
        ui.label(text.color(t.warn));
        return;
    }
    ScrollArea::vertical().max_height(130.0).id_salt("swap-changes").show(ui, |ui| {
        let mut list = |sign: &str, what: &str, items: &[String]| {
            if !items.is_empty() {
                let text = format!("{sign} {what}: {}", items.join("; "));
                ui.add(Label::new(RichText::new(text).font(fonts::small())).wrap());
            }
        };
        list("+", say!("on the label"), &way.names.0);
        list("−", say!("off the label"), &way.names.1);
        list("+", say!("findings"), &way.findings.0);
        list("−", say!("findings"), &way.findings.1);
    });
}

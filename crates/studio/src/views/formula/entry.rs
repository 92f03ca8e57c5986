//! The cells where amounts are shown and typed.

use egui::{Id, Rect, Role, Sense, Ui, WidgetInfo, vec2};
use quern_calc::evaluate::LineFigures;
use quern_calc::formula::{Amount, AmountUnit, LineId};
use quern_calc::number::{Syntax, Unit, format_fixed, format_grams, format_plain};
use quern_calc::quantity::{Grams, Percent};

use super::cells::right_text;
use super::{grams_cell, percent_cell};
use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::notices::Tone;
use crate::look::{Tokens, fonts};
use crate::widgets::number_field::{FieldOutput, Leave};
use crate::widgets::{Entered, NumberField};

/// The finest readability on the bench.
fn finest(scene: &Scene<'_>) -> rust_decimal::Decimal {
    let finest = scene.plan.scales.iter().map(|s| s.readability).min();
    finest.map_or(rust_decimal::Decimal::new(1, 2), |g| g.0)
}

/// Grams to the finest readability in use, so that subtotals line up.
pub(super) fn grams_text(scene: &Scene<'_>, grams: Grams) -> String {
    format_grams(grams.0, finest(scene), scene.style())
}

/// Pads a number with figure spaces to the decimals of the finest scale, so that a column of
/// several scales lines up on the decimal mark.
fn on_the_mark(text: String, finest: rust_decimal::Decimal) -> String {
    const FIGURE_SPACE: char = '\u{2007}';
    const MARK_SPACE: char = '\u{2008}';
    let most = format_grams(finest, finest, Default::default());
    let decimals = |s: &str| s.rsplit_once(['.', ',']).map(|(_, d)| d.chars().count());
    let (has, wants) = (decimals(&text), decimals(&most).unwrap_or(0));
    let mut out = text;
    if has.is_none() && wants > 0 {
        out.push(MARK_SPACE);
    }
    for _ in has.unwrap_or(0)..wants {
        out.push(FIGURE_SPACE);
    }
    out
}

/// Moves the focus up or down the column after Enter.
fn follow(ui: &Ui, out: &FieldOutput, line: LineId, order: &[LineId], cell: impl Fn(LineId) -> Id) {
    let Some(at) = order.iter().position(|l| *l == line) else { return };
    let next = match out.leave {
        Leave::Stay => return,
        Leave::Down => order.get(at + 1),
        Leave::Up => at.checked_sub(1).and_then(|i| order.get(i)),
    };
    if let Some(next) = next {
        ui.memory_mut(|m| m.request_focus(cell(*next)));
    }
}

/// The percentage of a line.
pub(super) fn percent(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    line: &LineFigures,
    order: &[LineId],
    actions: &mut Vec<Action>,
) {
    let style = scene.style();
    let places = scene.percent_places();
    let shown = line.percent.map_or(String::new(), |p| format_fixed(p.0, places, style));
    if line.fills {
        right_text(ui, rect, &shown, fonts::text(), Tokens::of(ui).ink);
        let id = percent_cell(&scene.formula().id, line.line);
        let response = ui.interact(rect, id, Sense::focusable_noninteractive());
        response.widget_info(|| {
            WidgetInfo::labeled(
                Role::Label,
                true,
                format!("{}, percent, fills to 100: {shown}", line.name),
            )
        });
        response.on_hover_text("This line takes what is left to 100. Ctrl+Shift+L ends that");
        return;
    }
    let amount = scene.formula().line(line.line).and_then(|l| l.amount);
    let full = match amount {
        // Parts are edited as parts; grams were of another batch, so their % is edited.
        Some(Amount { typed, unit: AmountUnit::Parts, .. }) => {
            format!("{} parts", format_plain(typed, style))
        }
        Some(a) => format_plain(a.percent.0, style),
        None => String::new(),
    };
    let field = NumberField {
        id: percent_cell(&scene.formula().id, line.line),
        name: format!("{}, percent", line.name),
        shown: &shown,
        full: &full,
        syntax: Syntax { allow_relative: true, ..scene.syntax() },
        quiet: true,
        right: true,
        strong: false,
        enabled: true,
        hint: "–",
    };
    let out = field.show(ui, rect.shrink2(vec2(0.0, 1.0)));
    if out.gained && scene.ui.line != Some(line.line) {
        actions.push(Action::SelectLine(Some(line.line)));
    }
    enter(scene, line.line, &line.name, &out, Unit::Percent, actions);
    follow(ui, &out, line.line, order, |l| percent_cell(&scene.formula().id, l));
}

/// The grams of a line.
pub(super) fn grams(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    line: &LineFigures,
    order: &[LineId],
    actions: &mut Vec<Action>,
) {
    let style = scene.style();
    let e = &scene.here.evaluation;
    let row = e.weigh.line(line.line);
    let readability =
        row.and_then(|r| r.scale).and_then(|i| scene.plan.scales.get(i)).map(|s| s.readability);
    let show = |g: Grams| match readability {
        Some(r) => on_the_mark(format_grams(g.0, r.0, style), finest(scene)),
        None => format_fixed(g.0, 2, style),
    };
    let shown = if e.batch.is_ok() {
        row.and_then(|r| r.target.or(r.exact)).map_or(String::new(), show)
    } else {
        String::new()
    };
    if line.fills || e.batch.is_err() {
        right_text(ui, rect, &shown, fonts::text(), Tokens::of(ui).ink);
        return;
    }
    let amount = scene.formula().line(line.line).and_then(|l| l.amount);
    let full = match amount {
        Some(Amount { typed, unit: AmountUnit::Mass { unit, of }, .. })
            if e.batch.as_ref().is_ok_and(|b| b.gross == of) =>
        {
            format!("{} {}", format_plain(typed, style), unit.symbol())
        }
        _ => row
            .and_then(|r| r.exact)
            .map_or(String::new(), |g| format_plain(quern_calc::quantity::derived(g.0), style)),
    };
    let field = NumberField {
        id: grams_cell(&scene.formula().id, line.line),
        name: format!("{}, grams", line.name),
        shown: &shown,
        full: &full,
        syntax: scene.syntax(),
        quiet: true,
        right: true,
        strong: false,
        enabled: true,
        hint: "",
    };
    let out = field.show(ui, rect.shrink2(vec2(0.0, 1.0)));
    if out.gained && scene.ui.line != Some(line.line) {
        actions.push(Action::SelectLine(Some(line.line)));
    }
    let gram = Unit::Mass(quern_calc::number::MassUnit::Gram);
    enter(scene, line.line, &line.name, &out, gram, actions);
    follow(ui, &out, line.line, order, |l| grams_cell(&scene.formula().id, l));
}

/// Turns an entry into an amount; a bare number is in the unit of its column.
pub fn enter(
    scene: &Scene<'_>,
    line: LineId,
    name: &str,
    out: &FieldOutput,
    bare: Unit,
    actions: &mut Vec<Action>,
) {
    let now = scene.formula().line(line).and_then(|l| l.amount);
    let edit = |amount| Action::Edit(Edit::Amount(line, amount));
    match &out.entered {
        None => {}
        Some(Entered::Cleared) => actions.push(edit(None)),
        Some(Entered::Typed(typed)) => {
            let mut typed = *typed;
            if typed.relative {
                // "+0.5" adds to what the line holds, in per cent.
                let held = now.map_or(Percent::ZERO, |a| a.percent);
                if matches!(typed.unit, None | Some(Unit::Percent)) {
                    let sum = held + Percent(typed.value);
                    actions.push(edit(Some(Amount::percent(sum.0))));
                } else {
                    let text = "Adding to an amount works in per cent, such as +0.5";
                    actions.push(Action::Say(Tone::Error, text.to_owned()));
                }
                return;
            }
            typed.unit = typed.unit.or(Some(bare));
            let gross = scene.here.evaluation.batch.as_ref().map_or(Grams::ZERO, |b| b.gross);
            match scene.formula().amount_from(typed, gross) {
                Ok(amount) => actions.push(edit(Some(amount))),
                Err(error) => {
                    actions.push(Action::Say(Tone::Error, format!("{name}: {error}")));
                }
            }
        }
    }
}

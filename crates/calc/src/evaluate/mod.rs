//! All of it: one call from formula and batch plan to figures and findings.

mod asides;
mod blends;
mod chemistry_rows;
mod cool;
mod correct;
mod effect;
mod exposures;
mod fat;
mod fat_lines;
mod figures;
mod find;
mod gauges;
mod grains;
mod heat;
mod mixes;
mod paste;
pub(crate) mod paste_model;
mod phase_share;
mod places;
mod pourability;
mod readouts;
mod remarks;
mod safety;
mod setting;
mod shelf;
mod swap;
mod why_not;
pub(crate) mod window;

pub use asides::{asides, mould_words};
pub use blends::{BlendRow, BlendSide, blend_cost, blend_rows, cumulative_curves, density_curves};
pub use chemistry_rows::{ChemistryPart, ChemistryRow, chemistry_rows};
pub use cool::{
    CoolAsk, CoolFigures, Filling, MeltEnergy, SlabAsk, SlabFigures, cooling, enthalpy_of, filling,
    hours_axis, hours_words, melt_energy,
};
pub use correct::{Check, check_words, checks, correction, model_says};
pub use effect::{Effect, effect};
pub use exposures::ExposureFigures;
pub(crate) use fat::is_fat;
pub use fat::{FatPhase, FatUse, Mixing};
pub use fat_lines::{MaterialLine, alike, fat_lines, powder_lines, slider_end, slider_percent};
pub use figures::{FigureChange, FigureRow, Value, figure_changes, figure_rows};
pub use find::{
    BlendAnswer, BlendAsk, BlendFound, NamedCandidate, candidates, find_blend, find_blend_while,
    left_out_words, limit_words, reach_words, relaxed_words,
};
pub use gauges::{Gauge, Track, gauges, index_place};
pub use grains::{CLASS_EDGES_UM, GrainFigures, GrainPart, grain_figures};
pub use heat::{
    Banded, HeatReason, HeatTo, MeltFigures, READ_AT_C, SETTING, UNDERCOOLING, heat_to,
    melt_figures,
};
pub use mixes::{MixFigures, MixShape, Mixes, bench_load, mixes, mixes_in_steps};
pub use paste::{Paste, paste};
pub use phase_share::{share_of_phase, sum_of};
pub use places::{PlaceGuide, PlaceReason, place_guides};
pub use pourability::{Mover, POUR_RANGE_C, PourFigures, SolidPart, ToClass};
pub use readouts::{Part, Readout, honest, readouts, slab_readouts};
pub use remarks::{Remark, Tone, moved, mover_words, remarks};
#[cfg(test)]
pub(crate) use safety::market_figures;
pub use safety::{MarketFigures, SafetyFigures, SideLabel, side_label};
pub use setting::{
    CurveRow, FatAt, POINTS, POURED_C, SPAN_C, SettingAsk, SettingFigures, TemperatureMark,
    curve_rows, setting_figures, stacks, temperature_marks,
};
pub use shelf::{Oxidation, SWEATS_ABOVE, ShelfFigures, ShelfRow, Sweat, oxidation, sweat};
pub use swap::{Keep, SwapOption, swap_options};
pub use why_not::WhyNot;
pub use window::{PourWindow, UpperLimit, stand_more};

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::batch::{
    BatchFigures, BatchPlan, CostFigures, PlanProblem, WeighList, batch_code, cost, weigh,
};
use crate::findings::{self, Care, Finding, Severity, Where, cares};
use crate::formula::{
    Composition, Formula, Function, Item, LeafUse, Library, LineId, OpenError, PhaseId, Slice,
    by_function, compose, open, slices_by_component, slices_by_function, slices_by_phase,
};
use crate::quantity::{Date, Grams, Percent};
use crate::rules::Rules;
use crate::setting::calibrate::Correction;
use crate::setting::notes::SettingNotes;
use paste_model::PasteModel;

/// Components shown one by one in a chart before the rest is summed.
const CHART_COMPONENTS: usize = 9;

/// What an evaluation depends on beside formula, library, rules and plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Context {
    /// The day; the crate has no clock.
    pub date: Date,
    /// What the workshop measured, and its temperatures.
    pub setting: Arc<SettingNotes>,
}

impl Context {
    /// On a day, with nothing measured and the usual temperatures.
    #[must_use]
    pub fn on(date: Date) -> Self {
        Self { date, setting: Arc::default() }
    }
}

/// A figure, or why it cannot be had.
pub type Derived<T> = Result<T, WhyNot>;

/// A formula opened to its materials and components.
#[derive(Debug)]
pub struct Opened<'a> {
    /// Materials as they arrive in the product.
    pub leaves: Vec<LeafUse<'a>>,
    /// Lines that could not be opened.
    pub errors: Vec<(LineId, OpenError)>,
    /// Components.
    pub composition: Composition,
    names: BTreeMap<LineId, String>,
    premixes: std::collections::BTreeSet<LineId>,
}

impl<'a> Opened<'a> {
    /// Opens a formula.
    #[must_use]
    pub fn new(formula: &'a Formula, library: &'a Library) -> Self {
        let (leaves, errors) = open(formula, library);
        let composition = compose(&leaves);
        let names = formula.lines().map(|(_, l)| (l.id, item_name(&l.item, library))).collect();
        let premixes = formula
            .lines()
            .filter(|(_, l)| matches!(l.item, Item::Formula(_)))
            .map(|(_, l)| l.id)
            .collect();
        Self { leaves, errors, composition, names, premixes }
    }

    /// True for a line that is a material itself rather than a premix.
    #[must_use]
    pub fn is_material(&self, line: LineId) -> bool {
        !self.premixes.contains(&line)
    }

    /// Display name of a line.
    #[must_use]
    pub fn name_of(&self, line: LineId) -> String {
        self.names.get(&line).cloned().unwrap_or_default()
    }
}

/// Display name of what a line is made of.
#[must_use]
pub fn item_name(item: &Item, library: &Library) -> String {
    match item {
        Item::Material(id) => {
            library.material(id).map_or_else(|| id.to_string(), |m| m.display_name().to_owned())
        }
        Item::Formula(id) => library.formula(id).map_or_else(|| id.to_string(), |f| f.name.clone()),
    }
}

/// INCI name with form of what a line is made of; a premix shows its own name.
#[must_use]
pub fn item_inci(item: &Item, library: &Library) -> String {
    match item {
        Item::Material(id) => {
            library.material(id).map_or_else(|| id.to_string(), |m| m.inci_and_form())
        }
        Item::Formula(id) => {
            library.formula(id).map_or_else(|| id.to_string(), |f| format!("{} (premix)", f.name))
        }
    }
}

/// One line's figures.
#[derive(Clone, Debug, PartialEq)]
pub struct LineFigures {
    /// The line.
    pub line: LineId,
    /// Its phase.
    pub phase: PhaseId,
    /// Display name.
    pub name: String,
    /// INCI name with form.
    pub inci: String,
    /// Function in words; empty when not stated.
    pub function: &'static str,
    /// % of the product; `None` while blank.
    pub percent: Option<Percent>,
    /// True on the q.s. line.
    pub fills: bool,
    /// True when its powder calls for a mask.
    pub dust: bool,
    /// Stops, warns and notes on the line.
    pub findings: [usize; 3],
}

/// One phase's figures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhaseFigures {
    /// The phase.
    pub phase: PhaseId,
    /// Subtotal in %.
    pub percent: Percent,
    /// Subtotal of the rounded grams.
    pub grams: Grams,
}

/// Everything that a screen, a sheet or the command line shows of a formula.
#[derive(Clone, Debug)]
pub struct Evaluation {
    /// Exact total.
    pub total: Percent,
    /// True when the total is 100 within ±0.005.
    pub total_ok: bool,
    /// Lines in weighing order.
    pub lines: Vec<LineFigures>,
    /// Phases in order.
    pub phases: Vec<PhaseFigures>,
    /// The batch, or what is wrong with the plan.
    pub batch: Result<BatchFigures, PlanProblem>,
    /// Batch code as entered, or proposed.
    pub batch_code: String,
    /// The weigh list of the batch.
    pub weigh: WeighList,
    /// Components.
    pub composition: Composition,
    /// Chart by phase.
    pub by_phase: Vec<Slice>,
    /// Chart by function.
    pub by_function: Vec<Slice>,
    /// Chart by component.
    pub by_component: Vec<Slice>,
    /// Cost of materials.
    pub cost: CostFigures,
    /// Powder to liquid and density.
    pub paste: Paste,
    /// Surfactant as active matter, % of the product.
    pub active_surfactant: Derived<Percent>,
    /// Melt curve figures.
    pub melt: Derived<MeltFigures>,
    /// How hot to heat.
    pub heat_to: Derived<HeatTo>,
    /// How own measurements correct the estimates.
    pub correction: Correction,
    /// Where pouring is read without a wish, °C.
    pub usual_pour_c: f64,
    /// How it pours there.
    pub pour: Derived<PourFigures>,
    /// Exfoliants.
    pub grains: Derived<GrainFigures>,
    /// Limits, allergens, preservation, exposure, chemistry and natural origin.
    pub safety: SafetyFigures,
    /// Findings, most pressing first.
    pub findings: Vec<Finding>,
    /// Cautions for whoever makes the batch.
    pub cares: Vec<Care>,
}

impl Evaluation {
    /// Stops, warns and notes.
    #[must_use]
    pub fn counts(&self) -> [usize; 3] {
        findings::counts(&self.findings)
    }

    /// True when a Stop stands.
    #[must_use]
    pub fn has_stop(&self) -> bool {
        self.findings.iter().any(|f| f.severity() == Severity::Stop)
    }

    /// The figures of a line.
    #[must_use]
    pub fn line(&self, id: LineId) -> Option<&LineFigures> {
        self.lines.iter().find(|l| l.line == id)
    }

    /// Cost of one saleable piece, or why there is none.
    ///
    /// # Errors
    /// [`WhyNot`] when there is no batch or no piece weight.
    pub fn cost_per_piece(&self) -> Derived<crate::quantity::Money> {
        if self.batch.is_err() {
            return Err(WhyNot::NoBatch);
        }
        self.cost.per_piece.ok_or(WhyNot::NoPieces)
    }
}

/// Evaluates a formula. Pure and total: a half-finished formula gives what can be had.
#[must_use]
pub fn evaluate(
    formula: &Formula,
    library: &Library,
    rules: &Rules,
    plan: &BatchPlan,
    context: &Context,
) -> Evaluation {
    let opened = Opened::new(formula, library);
    let batch = plan.figures();
    let gross = batch.map_or(Grams::ZERO, |b| b.gross);
    let weigh = weigh(formula, gross, plan);
    let paste = paste(formula.product.form, &opened);
    let grains = grain_figures(&opened, &paste);
    let correction = correction(formula, &opened, library, &context.setting);
    let melt = melt_figures(&opened, correction.shift_c);
    let heat_to = heat_to(formula, &opened, &melt);
    let limits = window::limits(formula, &opened);
    let usual_pour_c = window::usual_pour_c(&limits, heat_to.as_ref().ok());
    let fat = match &melt {
        Ok(m) => Ok(m.fat.clone()),
        Err(_) => FatPhase::of(&opened),
    };
    let model = PasteModel::of(formula.product.form, &opened, &fat, correction);
    let pour = model
        .as_ref()
        .map_err(Clone::clone)
        .and_then(|model| pourability::pour_at(model, usual_pour_c));

    let mut found = Vec::new();
    findings::check_amounts(formula, library, &opened, rules, &mut found);
    findings::check_process(formula, &opened, rules, &mut found);
    let batch_ref = batch.as_ref().map_err(|p| *p);
    findings::check_weighing(formula, &opened, plan, batch_ref, &weigh, &mut found);
    findings::check_grains(formula, &opened, grains.as_ref().ok(), rules, &mut found);
    findings::check_scent(formula, &opened, rules, &mut found);
    findings::check_mixing(formula, &opened, rules, &mut found);
    findings::check_setting(formula, &model, &limits, &context.setting, &mut found);
    let safety = safety::safety(formula, &opened, rules, context);
    safety::check(formula, &opened, rules, context, &safety, &mut found);
    let order: Vec<LineId> = formula.lines().map(|(_, l)| l.id).collect();
    findings::sort(&mut found, &order);
    findings::accept(formula, &mut found);

    Evaluation {
        total: formula.total(),
        total_ok: formula.total_is_100(),
        lines: line_figures(formula, library, &opened, &found),
        phases: phase_figures(formula, &weigh),
        batch_code: if plan.code.trim().is_empty() {
            batch_code(&formula.name, context.date, 1)
        } else {
            plan.code.clone()
        },
        by_phase: slices_by_phase(formula),
        by_function: slices_by_function(&opened.leaves),
        by_component: slices_by_component(&opened.composition, CHART_COMPONENTS),
        cost: cost(
            &opened.leaves,
            batch.as_ref().ok(),
            opened.errors.len()
                + formula.lines().filter(|(_, l)| formula.percent_of(l).is_none()).count(),
        ),
        active_surfactant: active_surfactant(&opened),
        cares: cares(formula, &opened, rules),
        composition: opened.composition,
        batch,
        weigh,
        paste,
        melt,
        heat_to,
        correction,
        usual_pour_c,
        pour,
        grains,
        safety,
        findings: found,
    }
}

fn line_figures(
    formula: &Formula,
    library: &Library,
    opened: &Opened<'_>,
    found: &[Finding],
) -> Vec<LineFigures> {
    let mut rows: Vec<LineFigures> = formula
        .lines()
        .map(|(phase, line)| {
            let function = match &line.item {
                Item::Material(id) => {
                    library.material(id).and_then(|m| m.function).map_or("", Function::name)
                }
                Item::Formula(_) => "premix",
            };
            LineFigures {
                line: line.id,
                phase: phase.id,
                name: opened.name_of(line.id),
                inci: item_inci(&line.item, library),
                function,
                percent: formula.percent_of(line),
                fills: formula.fills == Some(line.id),
                dust: false,
                findings: [0; 3],
            }
        })
        .collect();
    let at: BTreeMap<LineId, usize> = rows.iter().enumerate().map(|(i, r)| (r.line, i)).collect();
    for leaf in &opened.leaves {
        if leaf.material.cautions.iter().any(|c| c.is_dust())
            && let Some(row) = at.get(&leaf.line).and_then(|i| rows.get_mut(*i))
        {
            row.dust = true;
        }
    }
    for finding in found {
        if let Where::Line(id) = finding.place
            && let Some(row) = at.get(&id).and_then(|i| rows.get_mut(*i))
        {
            let [stops, warns, notes] = &mut row.findings;
            match finding.severity() {
                Severity::Stop => *stops += 1,
                Severity::Warn => *warns += 1,
                Severity::Note => *notes += 1,
            }
        }
    }
    rows
}

fn phase_figures(formula: &Formula, weigh: &WeighList) -> Vec<PhaseFigures> {
    formula
        .phases
        .iter()
        .map(|phase| {
            let rows = || weigh.lines.iter().filter(|l| l.phase == phase.id);
            PhaseFigures {
                phase: phase.id,
                percent: rows().filter_map(|l| l.percent).sum(),
                grams: rows().filter_map(|l| l.target).sum(),
            }
        })
        .collect()
}

fn active_surfactant(opened: &Opened<'_>) -> Derived<Percent> {
    let present = by_function(&opened.leaves);
    if !present.contains_key(&Some(Function::Surfactant)) {
        return Err(WhyNot::Nothing("surfactant"));
    }
    let mut sum = Percent::ZERO;
    let mut unknown = Vec::new();
    for leaf in &opened.leaves {
        if leaf.material.function != Some(Function::Surfactant) {
            continue;
        }
        match &leaf.material.active {
            Some(active) => sum += active.value.of_percent(leaf.percent),
            None => unknown.push(leaf.material.display_name().to_owned()),
        }
    }
    if unknown.is_empty() {
        Ok(sum)
    } else {
        Err(WhyNot::Unknown { what: "active matter", names: unknown })
    }
}

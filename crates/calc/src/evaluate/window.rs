//! The pour window: where the paste still moves and the cool-down materials may be in.

use super::fat::Mixing;
use super::paste_model::PasteModel;
use super::pourability::{SET, is_set};
use super::{HeatTo, Opened};
use rust_decimal::Decimal;

use crate::formula::{Formula, Function, LeafUse, Material, PhaseKind, PhaseTemperature};
use crate::setting::pour::PourClass;

/// Coolest and warmest temperature that is looked at, °C.
const LOOKED_AT: (f64, f64) = (15.0, 95.0);

/// What keeps the batch from being poured hotter.
#[derive(Clone, Debug, PartialEq)]
pub struct UpperLimit {
    /// °C.
    pub c: f64,
    /// Name of the material or of the phase.
    pub name: String,
    /// What the material does; `None` for a phase.
    pub function: Option<Function>,
}

/// How the paste moves over temperature and what may be in it.
#[derive(Clone, Debug, PartialEq)]
pub struct PourWindow {
    /// Coolest at which it can be spooned; `None` when it has to be pressed at any temperature.
    pub moves_from_c: Option<f64>,
    /// Coolest at which it pours from a jug; `None` when it never does.
    pub pours_from_c: Option<f64>,
    /// Limits of the cool-down materials and phases, lowest first.
    pub limits: Vec<UpperLimit>,
    /// Class at each full degree from 15 to 95 °C.
    pub strip: Vec<(f64, PourClass)>,
    /// Up to this temperature crystals jam it: it has set; `None` where they never do.
    pub set_to_c: Option<f64>,
}

impl PourWindow {
    /// A class at a temperature in a word: what its fat jams is "set".
    #[must_use]
    pub fn word(&self, at_c: f64, class: PourClass) -> &'static str {
        let set = class == PourClass::Crumbly && self.set_to_c.is_some_and(|to| at_c <= to + 1e-9);
        if set { SET } else { class.name() }
    }

    /// True when it still moves at the coolest that is looked at, so that there is no lower end.
    #[must_use]
    pub fn moves_when_cold(&self) -> bool {
        self.moves_from_c.is_some_and(|c| c <= LOOKED_AT.0)
    }

    /// Warmest that the cool-down materials allow, °C; `None` without such a limit.
    #[must_use]
    pub fn allowed_to_c(&self) -> Option<f64> {
        self.limits.first().map(|l| l.c)
    }

    /// Coolest and warmest of the window, °C; the warmest is 95 without a limit. `None` when it
    /// is empty or nothing ever moves.
    #[must_use]
    pub fn open_c(&self) -> Option<(f64, f64)> {
        let from = self.moves_from_c?;
        let to = self.allowed_to_c().unwrap_or(LOOKED_AT.1);
        (from <= to).then_some((from, to))
    }

    /// True when the cool-down materials must not be in before the paste has stopped moving.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.moves_from_c.is_some() && self.open_c().is_none()
    }
}

/// Coolest temperature at which the solids stay below this share of what they jam at, °C; `None`
/// when they never do.
fn coolest(model: &PasteModel<'_>, edge: f64) -> Option<f64> {
    let ratio = |t: f64| model.at(t, Mixing::Alcohols, &[]).ratio();
    let (mut cold, mut warm) = LOOKED_AT;
    if ratio(warm) >= edge {
        return None;
    }
    if ratio(cold) < edge {
        return Some(cold);
    }
    for _ in 0..16 {
        let middle = 0.5 * (cold + warm);
        if ratio(middle) < edge { warm = middle } else { cold = middle }
    }
    Some(warm)
}

/// Where the paste begins to move, °C, when that is above what the cool-down materials allow:
/// the window is empty. `None` when it is open, and for a paste that never moves.
pub(crate) fn moves_from(model: &PasteModel<'_>, allowed_c: f64) -> Option<f64> {
    let [_, _, spoon, _] = PourClass::ENDS;
    if model.at(allowed_c, Mixing::Alcohols, &[]).ratio() < spoon {
        return None;
    }
    coolest(model, spoon)
}

/// The pour window below these limits.
pub(crate) fn pour_window(limits: Vec<UpperLimit>, model: &PasteModel<'_>) -> PourWindow {
    let from = |edge: f64| coolest(model, edge);
    let [_, thick, spoon, _] = PourClass::ENDS;
    let mut strip = Vec::with_capacity(81);
    let mut set_to_c = None;
    let mut t = LOOKED_AT.0;
    while t <= LOOKED_AT.1 {
        let volumes = model.at(t, Mixing::Alcohols, &[]);
        strip.push((t, PourClass::of(volumes.ratio())));
        if is_set(&volumes) {
            set_to_c = Some(t);
        }
        t += 1.0;
    }
    PourWindow { moves_from_c: from(spoon), pours_from_c: from(thick), limits, strip, set_to_c }
}

/// What the cool-down phases and their materials stand, lowest first.
pub(crate) fn limits(formula: &Formula, opened: &Opened<'_>) -> Vec<UpperLimit> {
    let mut out = Vec::new();
    for phase in &formula.phases {
        let cool = phase.kind == PhaseKind::CoolDown
            || matches!(phase.temperature, PhaseTemperature::Below(_));
        if !cool {
            continue;
        }
        if let PhaseTemperature::Below(c) = phase.temperature {
            out.push(UpperLimit { c, name: format!("phase {}", phase.name), function: None });
        }
        let in_it = |l: &&LeafUse<'_>| l.phase == phase.id && l.percent.0 > Decimal::ZERO;
        for leaf in opened.leaves.iter().filter(in_it) {
            let m = leaf.material;
            if let Some(c) = stands(m) {
                let name = m.display_name().to_owned();
                out.push(UpperLimit { c, name, function: m.function });
            }
        }
    }
    out.sort_by(|a, b| a.c.total_cmp(&b.c).then_with(|| a.name.cmp(&b.name)));
    out
}

/// The heat that a material stands in a water-free product, °C.
fn stands(m: &Material) -> Option<f64> {
    m.heat_limit_c.as_ref().filter(|_| !m.heat_limit_only_wet).map(|f| f.value)
}

/// Materials of the same function that stand more heat, most heat first, those whose limit is not
/// known after all; for a cool-down material that closes the window.
pub fn stand_more<'a>(
    materials: impl Iterator<Item = &'a Material>,
    function: Function,
    at_least_c: f64,
) -> Vec<(&'a Material, Option<f64>)> {
    let mut out: Vec<(&Material, Option<f64>)> = materials
        .filter(|m| m.function == Some(function))
        .map(|m| (m, stands(m)))
        .filter(|(_, c)| c.is_none_or(|c| c >= at_least_c))
        .collect();
    out.sort_by(|a, b| {
        let key = |c: Option<f64>| c.unwrap_or(f64::NEG_INFINITY);
        key(b.1).total_cmp(&key(a.1)).then_with(|| a.0.display_name().cmp(b.0.display_name()))
    });
    out
}

/// Where pouring is read without a wish: as warm as the cool-down materials allow, else at the
/// temperature of heating; whole degrees.
pub(crate) fn usual_pour_c(limits: &[UpperLimit], heat_to: Option<&HeatTo>) -> f64 {
    let c = limits.first().map(|l| l.c).or(heat_to.map(|h| h.c)).unwrap_or(70.0);
    if c.is_finite() { c.clamp(20.0, 95.0).round() } else { 70.0 }
}

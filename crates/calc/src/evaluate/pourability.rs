//! How the paste pours at a temperature, and what would move it to the next class.

use super::fat::Mixing;
use super::paste_model::{PasteModel, Volumes};
use super::{Derived, WhyNot};
use crate::formula::LineId;
use crate::setting::pour::{Law, PourClass, oil_pa_s, relative_viscosity};

/// Temperatures that a pour may be read at, °C.
pub const POUR_RANGE_C: (f64, f64) = (0.0, 120.0);

/// How far the packing limit of mixed powders may be off, as a share (model assumption: 0.50 to
/// 0.58 is usual for mixed cosmetic powders).
const LIMIT_BAND: f64 = 0.07;

/// One solid in the paste.
#[derive(Clone, Debug, PartialEq)]
pub struct SolidPart {
    /// Its line; `None` for crystals of fat.
    pub line: Option<LineId>,
    /// Name.
    pub name: String,
    /// Share of the paste's volume, 0 to 1, soaked oil with it.
    pub volume: f64,
}

impl PourFigures {
    /// How it behaves, in a word: its class, or "set".
    #[must_use]
    pub fn word(&self) -> &'static str {
        if self.set { SET } else { self.class.name() }
    }
}

/// Word for a paste that its fat holds.
pub(crate) const SET: &str = "set";

impl SolidPart {
    /// Share of the paste's volume, %.
    #[must_use]
    pub fn percent(&self) -> f64 {
        100.0 * self.volume
    }
}

/// How the paste pours at a temperature; estimates throughout.
#[derive(Clone, Debug, PartialEq)]
pub struct PourFigures {
    /// °C.
    pub at_c: f64,
    /// Share of the volume that is solid, 0 to 1: powders, the oil that they soak up, crystals.
    pub solids: f64,
    /// Of that, crystals of fat.
    pub crystals: f64,
    /// Of that, oil that the crystals hold still.
    pub held: f64,
    /// Of that, oil soaked up by porous powders.
    pub soaked: f64,
    /// Share of the volume at which the solids jam.
    pub limit: f64,
    /// Solids over that limit.
    pub ratio: f64,
    /// The same over how crystals mix and how far the limit may be off.
    pub ratio_band: (f64, f64),
    /// Viscosity over that of the liquid; `None` where it is jammed.
    pub relative: Option<f64>,
    /// Viscosity with molten fat as the liquid, Pa s; `None` where it is jammed.
    pub pa_s: Option<f64>,
    /// How it behaves.
    pub class: PourClass,
    /// True when it is crystals of fat that jam it: it has set, and is not short of liquid.
    pub set: bool,
    /// How it may behave at the ends of the band.
    pub class_band: (PourClass, PourClass),
    /// Natural logarithm of the geometric spread of sizes, as far as it counts.
    pub sigma: f64,
    /// Mean shape factor of the solids.
    pub shape: f64,
    /// Density of the paste without air, g/mL.
    pub density: f64,
    /// The solids by volume, largest first.
    pub parts: Vec<SolidPart>,
    /// Materials without a density or a state.
    pub left_out: Vec<String>,
    /// Powders whose grain sizes are assumed.
    pub assumed: Vec<String>,
}

/// A change of one thing that reaches another class.
#[derive(Clone, Debug, PartialEq)]
pub enum Mover {
    /// More (above 0) or less of a line, in % of the present product.
    Line {
        /// The line.
        line: LineId,
        /// Its name.
        name: String,
        /// % of the present product.
        percent: f64,
    },
    /// Another temperature, °C.
    Temperature(f64),
}

/// The way to a neighbouring class.
#[derive(Clone, Debug, PartialEq)]
pub struct ToClass {
    /// That class.
    pub class: PourClass,
    /// What reaches it, each alone.
    pub movers: Vec<Mover>,
    /// The q.s. line, which takes up what another gives or asks for.
    pub filled_by: Option<String>,
}

/// The paste at `at_c` °C.
///
/// # Errors
/// [`WhyNot`] for a temperature outside [`POUR_RANGE_C`].
pub(crate) fn pour_at(model: &PasteModel<'_>, at_c: f64) -> Derived<PourFigures> {
    if !(POUR_RANGE_C.0..=POUR_RANGE_C.1).contains(&at_c) {
        return Err(WhyNot::Nothing("pouring temperature from 0 to 120 °C"));
    }
    let v = model.at(at_c, Mixing::Alcohols, &[]);
    let total = v.total();
    if !(total > 0.0 && total.is_finite()) {
        return Err(WhyNot::Nothing("material with a volume"));
    }
    let ratio = v.ratio();
    let ends = [Mixing::Pure, Mixing::All].map(|m| model.at(at_c, m, &[]).ratio());
    let low = ends.iter().fold(ratio, |a, b| a.min(*b)) / (1.0 + LIMIT_BAND);
    let high = ends.iter().fold(ratio, |a, b| a.max(*b)) * (1.0 + LIMIT_BAND);
    let relative = relative_viscosity(v.solids(), v.limit(), Law::MaronPierce);
    Ok(PourFigures {
        at_c,
        solids: v.solids(),
        crystals: v.crystals / total,
        held: v.held / total,
        soaked: v.soaked / total,
        limit: v.limit(),
        ratio,
        ratio_band: (low, high),
        relative,
        pa_s: relative.map(|r| r * oil_pa_s(at_c)),
        class: PourClass::of(ratio),
        set: is_set(&v),
        class_band: (PourClass::of(low), PourClass::of(high)),
        sigma: v.sigma(),
        shape: v.shape(),
        density: v.density(),
        parts: parts(model, &v),
        left_out: model.left_out.clone(),
        assumed: model.assumed.clone(),
    })
}

/// Whether crystals jam what powder alone would not.
pub(crate) fn is_set(v: &Volumes) -> bool {
    PourClass::of(v.ratio()) == PourClass::Crumbly
        && PourClass::of(v.melted_ratio()) != PourClass::Crumbly
}

fn parts(model: &PasteModel<'_>, v: &Volumes) -> Vec<SolidPart> {
    let total = v.total();
    let mut out: Vec<SolidPart> = model
        .powders(v.filled)
        .into_iter()
        .filter_map(|(i, volume)| {
            let leaf = model.leaves.get(i)?;
            let name = leaf.material.display_name().to_owned();
            Some(SolidPart { line: Some(leaf.line), name, volume: volume / total })
        })
        .collect();
    if v.crystals > 0.0 {
        let name = "Crystals of fat, and the oil that they hold".to_owned();
        out.push(SolidPart { line: None, name, volume: (v.crystals + v.held) / total });
    }
    out.sort_by(|a, b| b.volume.total_cmp(&a.volume));
    out
}

/// Lines that are tried as movers, of powders and of oils each.
const TRIED: usize = 3;

/// Most of a line that a mover adds, % of the present product.
const ADD_MOST: f64 = 30.0;

/// Ways to the next easier and to the next stiffer class, where there is one.
pub(crate) fn neighbours(
    model: &PasteModel<'_>,
    fills: Option<LineId>,
    at_c: f64,
    ratio: f64,
) -> (Option<ToClass>, Option<ToClass>) {
    let filler = model.leaves.iter().position(|l| Some(l.line) == fills && l.direct);
    let filled_by =
        filler.and_then(|i| model.leaves.get(i)).map(|l| l.material.display_name().to_owned());
    let make = |class, edge, thinner| ToClass {
        class,
        movers: movers(model, filler, at_c, (class, edge), thinner),
        filled_by: filled_by.clone(),
    };
    let class = PourClass::of(ratio);
    let place = PourClass::ALL.iter().position(|c| *c == class).unwrap_or(0);
    let easier = place.checked_sub(1).and_then(|i| {
        let edge = PourClass::ENDS.get(i)?;
        Some((*PourClass::ALL.get(i)?, *edge))
    });
    let stiffer =
        PourClass::ENDS.get(place).and_then(|edge| Some((*PourClass::ALL.get(place + 1)?, *edge)));
    (
        easier.map(|(class, edge)| make(class, edge, true)),
        stiffer.map(|(class, edge)| make(class, edge, false)),
    )
}

/// Each single change that brings the ratio to `edge`, just past it. The q.s. leaf takes up what a
/// change leaves or asks for, and is no change itself.
fn movers(
    model: &PasteModel<'_>,
    filler: Option<usize>,
    at_c: f64,
    (class, edge): (PourClass, f64),
    thinner: bool,
) -> Vec<Mover> {
    let there = |ratio: f64| if thinner { ratio < edge } else { ratio >= edge };
    let mut out = Vec::new();
    let fill = filler.and_then(|i| model.leaves.get(i)).filter(|l| l.percent > 0.0);
    let mut offer = |leaf: usize, add: bool| {
        if Some(leaf) == filler {
            return;
        }
        let Some(leaf) = model.leaves.get(leaf).filter(|l| l.percent > 0.0 && l.direct) else {
            return;
        };
        let at = |change: f64| {
            let own = (leaf.place, 1.0 + change / leaf.percent);
            match fill {
                Some(fill) => {
                    let rest = (fill.place, 1.0 - change / fill.percent);
                    model.at(at_c, Mixing::Alcohols, &[own, rest]).ratio()
                }
                None => model.at(at_c, Mixing::Alcohols, &[own]).ratio(),
            }
        };
        // The q.s. line cannot give more than it has.
        let room = fill.map_or(ADD_MOST, |f| f.percent.min(ADD_MOST));
        // More than half of a line away is another formula.
        let most = if add { room } else { -0.6 * leaf.percent };
        if let Some(percent) = least(most, |change| there(at(change))) {
            let name = leaf.material.display_name().to_owned();
            out.push(Mover::Line { line: leaf.line, name, percent });
        }
    };
    for (leaf, _) in model.powders(1.0).into_iter().take(TRIED) {
        offer(leaf, !thinner);
    }
    for (leaf, _) in model.oils().into_iter().take(TRIED) {
        offer(leaf, thinner);
    }
    let warm = |change: f64| there(model.at(at_c + change, Mixing::Alcohols, &[]).ratio());
    let most = if thinner { 95.0 - at_c } else { 20.0 - at_c };
    if (most > 0.0) == thinner
        && let Some(change) = least(most, warm)
    {
        // To the degree that is surely past it, unless that is past the next edge, too.
        let c = if thinner { (at_c + change).ceil() } else { (at_c + change).floor() };
        if PourClass::of(model.at(c, Mixing::Alcohols, &[]).ratio()) == class {
            out.push(Mover::Temperature(c));
        }
    }
    // The smallest change first; another temperature asks for no other formula, and comes last.
    out.sort_by(|a, b| {
        let key = |m: &Mover| match m {
            Mover::Line { percent, .. } => percent.abs(),
            Mover::Temperature(_) => f64::INFINITY,
        };
        key(a).total_cmp(&key(b))
    });
    out
}

/// Smallest change up to `most` after which `there` holds, to a hundredth, rounded away from 0;
/// `None` when `most` does not reach.
fn least(most: f64, there: impl Fn(f64) -> bool) -> Option<f64> {
    if most.abs() < 0.01 || !there(most) {
        return None;
    }
    let (mut short, mut far) = (0.0, most);
    for _ in 0..24 {
        if f64::abs(far - short) < 0.005 {
            break;
        }
        let middle = 0.5 * (short + far);
        if there(middle) { far = middle } else { short = middle }
    }
    Some(far)
}

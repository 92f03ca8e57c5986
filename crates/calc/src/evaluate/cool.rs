//! Cooling in a mould, filling it, and the heat that melting takes.

use super::{Banded, Derived, HeatTo, MeltFigures, PourFigures, WhyNot};
use crate::batch::BatchFigures;
use crate::formula::{Formula, PhaseKind, PhaseTemperature};
use crate::number::{NumberStyle, format_f64};
use crate::setting::calibrate::Correction;
use crate::setting::cooling::{Cooling, Enthalpy};
use crate::setting::melt::Stack;
use crate::setting::mould::{Mould, Stand};
use crate::setting::notes::{HEATER_SHARE, SettingNotes};

/// Heat transfer of still air with radiation, W/(m2 K): usual, and its range (from memory).
const H: Banded = Banded { at: 7.5, low: 5.0, high: 10.0 };
/// Conductivity of a bar, W/(m K) (model assumption; 0.14 to 0.24 is published for fats).
const K: f64 = 0.25;
/// Heat capacity of a bar without water, J/(kg K) (model assumption).
const CP: f64 = 1_700.0;
/// Heat capacity of water, J/(kg K) (handbook).
const CP_WATER: f64 = 4_186.0;
/// Above the room by so much a piece is firm enough to take out, °C (model assumption).
const OVER_ROOM: f64 = 8.0;
/// Share of the solids that it has in the room, at which a piece can be taken out (assumption).
const OF_ROOM_SOLIDS: f64 = 0.60;
/// A piece warmer than this is not handled, however firm, °C (assumption).
const HELD_AT: f64 = 40.0;
/// Share by which the last cavity may be short and still count as full (common practice).
const SHORT: f64 = 0.03;
/// Layers of the slab.
const LAYERS: usize = 30;
/// Seconds of an hour.
pub(super) const HOUR_S: f64 = 3_600.0;

/// How a filled mould is asked to cool.
#[derive(Clone, Debug, PartialEq)]
pub struct CoolAsk {
    /// The mould.
    pub mould: Mould,
    /// Where it stands.
    pub stand: Stand,
    /// Temperature of the paste as it is poured, °C.
    pub pour_c: f64,
    /// Temperature of the air, °C; `None` for that of the room or the fridge.
    pub air_c: Option<f64>,
    /// Density of the paste, g/mL.
    pub density: f64,
    /// Free water, % of the product.
    pub water_percent: f64,
    /// True for what is poured into the tin or jar that it stays in.
    pub in_a_pot: bool,
}

/// A filled cavity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Filling {
    /// Volume of the cavity, mL.
    pub ml: f64,
    /// Mass in it, poured level, g.
    pub grams: f64,
    /// Full cavities that the net batch fills; `None` without a batch.
    pub cavities: Option<u64>,
    /// How far it shrinks in setting, % of the volume; `None` without densities.
    pub shrink_percent: Option<f64>,
}

/// How a filled mould cools; estimates throughout.
#[derive(Clone, Debug, PartialEq)]
pub struct CoolFigures {
    /// Temperature of the air, °C.
    pub air_c: f64,
    /// Where it counts as set, °C.
    pub set_c: f64,
    /// Where it can be taken out, °C.
    pub unmould_c: f64,
    /// Seconds until its mean temperature is there; the band is still to moving air.
    pub set_s: Option<Banded>,
    /// Seconds until it can be taken out; `None` for what stays in its tin or jar.
    pub unmould_s: Option<Banded>,
    /// Mean temperature over time: seconds, °C.
    pub curve: Vec<(f64, f64)>,
    /// How much of the resistance lies inside: below 0.1 the middle hardly lags.
    pub biot: f64,
    /// For the slab, on the worker.
    pub slab: SlabAsk,
}

/// What a slab is worked out from.
#[derive(Clone, Debug, PartialEq)]
pub struct SlabAsk {
    cooling: Cooling,
    enthalpy: Enthalpy,
    pour_c: f64,
    to_c: f64,
}

/// Middle and face of a piece over time.
#[derive(Clone, Debug, PartialEq)]
pub struct SlabFigures {
    /// Seconds, °C in the middle, °C at the cooled face.
    pub curve: Vec<(f64, f64, f64)>,
    /// Seconds until the middle can be taken out.
    pub unmould_s: f64,
    /// The face by then, °C.
    pub face_c: f64,
}

impl CoolFigures {
    /// The curve in hours.
    pub fn hours(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.curve.iter().map(|(s, c)| (s / HOUR_S, *c))
    }
}

impl SlabFigures {
    /// Hours until the middle can be taken out.
    #[must_use]
    pub fn unmould_h(&self) -> f64 {
        self.unmould_s / HOUR_S
    }

    /// The curve in hours: of the middle and of the face.
    pub fn hours(&self) -> impl Iterator<Item = (f64, f64, f64)> + '_ {
        self.curve.iter().map(|(s, middle, face)| (s / HOUR_S, *middle, *face))
    }
}

impl SlabAsk {
    /// Works the slab out; some milliseconds. `None` when it does not cool within a week.
    #[must_use]
    pub fn run(&self) -> Option<SlabFigures> {
        let curve = self.cooling.slab(&self.enthalpy, self.pour_c, self.to_c, LAYERS)?;
        let (unmould_s, _, face_c) = *curve.last()?;
        Some(SlabFigures { curve, unmould_s, face_c })
    }
}

/// Enthalpy of the product from its melt curve with layers.
///
/// `heats` are the heats of melting of the layers in J/g and `fat` the fat's share of the product.
fn enthalpy(stack: &Stack, heats: &[f64], fat: f64, cp: f64) -> Option<Enthalpy> {
    let melted: Vec<(f64, f64)> = stack
        .points
        .iter()
        .enumerate()
        .map(|(i, (t, _))| {
            let frozen: f64 = stack
                .layers
                .iter()
                .zip(heats)
                .map(|(layer, heat)| layer.get(i).copied().unwrap_or(0.0) * heat * 1_000.0)
                .sum();
            (*t, -fat * frozen)
        })
        .collect();
    Enthalpy::of_heat(&melted, cp)
}

/// Heat capacity of a product with this much free water, J/(kg K).
fn heat_capacity(water_percent: f64) -> f64 {
    let water = (water_percent / 100.0).clamp(0.0, 1.0);
    CP * (1.0 - water) + CP_WATER * water
}

/// The product's enthalpy over the temperatures of its melt curve; without fat, plain warmth.
/// `water_percent` is its free water, % of the product.
#[must_use]
pub fn enthalpy_of(melt: Option<(&MeltFigures, &Stack)>, water_percent: f64) -> Option<Enthalpy> {
    let cp = heat_capacity(water_percent);
    match melt {
        Some((m, stack)) => {
            let heats: Vec<f64> = m.fat.components.iter().map(super::FatUse::latent_j_g).collect();
            enthalpy(stack, &heats, m.fat.percent / 100.0, cp)
        }
        None => Enthalpy::of_heat(&[(-20.0, 0.0), (120.0, 0.0)], cp),
    }
}

/// How a cavity cools.
///
/// # Errors
/// [`WhyNot`] for a mould without volume, or when the piece is as cold as the air to begin with.
pub fn cooling(
    ask: &CoolAsk,
    notes: &SettingNotes,
    melt: Option<(&MeltFigures, &Stack)>,
) -> Derived<CoolFigures> {
    let faces = ask.mould.cooling(ask.stand).ok_or(WhyNot::Nothing("volume in the mould"))?;
    let air_c = ask.air_c.unwrap_or(match ask.stand {
        Stand::Fridge => notes.fridge(),
        Stand::Bench | Stand::Rack => notes.room(),
    });
    let room = notes.room();
    let (melted, stack) = melt.ok_or(WhyNot::Nothing("fat that sets"))?;
    let set_c = melted.sets_c.ok_or(WhyNot::Nothing("set point: it stays too soft"))?.at;
    if ask.pour_c <= set_c {
        return Err(WhyNot::Nothing("way to cool: it is poured below its set point"));
    }
    // Nothing comes out of a mould before it has set.
    let unmould_c = unmould_at(room, stack).min(set_c);
    let enthalpy = enthalpy_of(melt, ask.water_percent).ok_or(WhyNot::Nothing("melt curve"))?;
    let wall = ask.mould.wall.resistance();
    let with = |h: f64| {
        let (over, h) = faces.over(h, wall);
        Cooling {
            density: ask.density * 1_000.0,
            volume_over_area: over,
            depth: faces.depth_m,
            h,
            k: K,
            air_c,
        }
    };
    let usual = with(H.at);
    if !usual.is_sound() || unmould_c <= air_c {
        return Err(WhyNot::Nothing("way to cool: the air is as warm as the piece has to be"));
    }
    let seconds = |h: f64, to: f64| {
        with(h).lumped(&enthalpy, ask.pour_c, to).and_then(|c| c.last().map(|p| p.0))
    };
    let banded = |to: f64| {
        Some(Banded {
            at: seconds(H.at, to)?,
            low: seconds(H.high, to)?,
            high: seconds(H.low, to)?,
        })
    };
    let curve = usual
        .lumped(&enthalpy, ask.pour_c, unmould_c)
        .ok_or(WhyNot::Nothing("way to cool: poured colder than it sets"))?;
    // A slab of the same warmth over its cooled face: the other faces help it along.
    let slab = Cooling {
        density: usual.density * usual.volume_over_area / usual.depth,
        volume_over_area: usual.depth,
        ..usual
    };
    Ok(CoolFigures {
        air_c,
        set_c,
        unmould_c,
        set_s: banded(set_c),
        unmould_s: if ask.in_a_pot { None } else { banded(unmould_c) },
        curve,
        biot: usual.biot(),
        slab: SlabAsk { cooling: slab, enthalpy, pour_c: ask.pour_c, to_c: unmould_c },
    })
}

/// Where a piece can be taken out, °C: the higher of the room with [`OVER_ROOM`], and where it has
/// most of the solids that it has in the room, but no warmer than a hand likes.
fn unmould_at(room: f64, stack: &Stack) -> f64 {
    let near_room = room + OVER_ROOM;
    let wanted = OF_ROOM_SOLIDS * stack.solid_at(room);
    if wanted <= 0.0 {
        return near_room;
    }
    let firm = stack.points.iter().rev().find(|p| p.1 >= wanted).map_or(near_room, |p| p.0);
    firm.min(HELD_AT).max(near_room)
}

/// What a cavity takes and how many the batch fills.
#[must_use]
pub fn filling(
    mould: &Mould,
    pour: &PourFigures,
    cold: Option<f64>,
    correction: Correction,
    batch: Option<&BatchFigures>,
) -> Option<Filling> {
    if !mould.is_sound() {
        return None;
    }
    let ml = mould.volume_ml();
    let grams = ml * pour.density * correction.fill;
    if !(grams.is_finite() && grams > 0.0) {
        return None;
    }
    let cavities = batch.map(|b| {
        let n = (b.net.to_f64() / grams + SHORT).floor().clamp(0.0, 1e9);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within 0 and 1e9
        let n = n as u64;
        n
    });
    let shrink = cold.filter(|c| *c > 0.0).map(|c| (100.0 * (1.0 - pour.density / c)).max(0.0));
    Some(Filling { ml, grams, cavities, shrink_percent: shrink })
}

/// A time in words: minutes below an hour and a half, else hours to a tenth.
#[must_use]
pub fn hours_words(seconds: f64, style: NumberStyle) -> String {
    let minutes = seconds / 60.0;
    if minutes < 90.0 {
        format!("{} min", format_f64(minutes, 0, style))
    } else {
        format!("{} h", format_f64(minutes / 60.0, 1, style))
    }
}

/// Marks of a time axis in seconds up to `end_s`, at most seven of them, in words.
#[must_use]
pub fn hours_axis(end_s: f64, style: NumberStyle) -> Vec<(f64, String)> {
    const STEPS: [f64; 9] =
        [300.0, 600.0, 1_800.0, 3_600.0, 7_200.0, 14_400.0, 28_800.0, 86_400.0, 172_800.0];
    let step = STEPS.into_iter().find(|s| end_s / s <= 7.0).unwrap_or(172_800.0);
    let words = |s: f64| {
        if end_s < 5_400.0 {
            format!("{} min", format_f64(s / 60.0, 0, style))
        } else {
            let hours = s / 3_600.0;
            let places = u32::from(hours.fract() > 0.0);
            format!("{} h", format_f64(hours, places, style))
        }
    };
    let mut out = Vec::new();
    let mut at = 0.0;
    while at <= end_s && out.len() < 8 {
        out.push((at, words(at)));
        at += step;
    }
    out
}

/// Heat to melt what is heated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeltEnergy {
    /// Where it starts, °C.
    pub from_c: f64,
    /// Where it is heated to, °C.
    pub to_c: f64,
    /// Heat of 1 kg of what is heated, kJ.
    pub kj_kg: f64,
    /// What is heated of the product, %.
    pub percent: f64,
    /// Heat of the batch, kJ; `None` without a batch.
    pub kj: Option<f64>,
    /// Power of the heater, W.
    pub watts: f64,
    /// Minutes on it, at half its power in the pot, from 60 to 40 %; `None` without a batch.
    pub minutes: Option<Banded>,
}

/// Heat for the phases that are heated, without pot and water bath; `None` when nothing is to be
/// heated above the room.
#[must_use]
pub fn melt_energy(
    formula: &Formula,
    heat_to: &Derived<HeatTo>,
    melt: Option<(&MeltFigures, &Stack)>,
    notes: &SettingNotes,
    batch: Option<&BatchFigures>,
    water_percent: f64,
) -> Option<MeltEnergy> {
    let (from_c, to_c) = (notes.room(), heat_to.as_ref().ok()?.c);
    if to_c <= from_c {
        return None;
    }
    let heated = |p: &&crate::formula::Phase| {
        p.kind == PhaseKind::Melt && !matches!(p.temperature, PhaseTemperature::Below(_))
            || matches!(p.temperature, PhaseTemperature::HeatTo(_))
    };
    let percent: f64 = formula
        .phases
        .iter()
        .filter(heated)
        .flat_map(|p| &p.lines)
        .filter_map(|l| formula.percent_of(l))
        .map(|p| p.to_f64())
        .sum();
    if percent <= 0.0 {
        return None;
    }
    let all = enthalpy_of(melt, water_percent)?;
    // Per kg of product the latent heat is all in what is heated, the warmth is by mass.
    let product = (all.at(to_c) - all.at(from_c)) / 1_000.0;
    let unheated =
        (1.0 - percent / 100.0).max(0.0) * heat_capacity(0.0) * (to_c - from_c) / 1_000.0;
    let per_product = (product - unheated).max(0.0);
    let kj = batch.map(|b| b.gross.to_f64() / 1_000.0 * per_product);
    let watts = notes.heater();
    let minutes = kj.map(|kj| {
        let at = |share: f64| kj * 1_000.0 / (watts * share) / 60.0;
        Banded { at: at(HEATER_SHARE), low: at(0.6), high: at(0.4) }
    });
    Some(MeltEnergy {
        from_c,
        to_c,
        kj_kg: per_product / (percent / 100.0),
        percent,
        kj,
        watts,
        minutes,
    })
}

//! How hot to heat: where the fats are clear, and what the materials ask for.

use super::fat::{FatPhase, Mixing, is_fat};
use super::{Derived, Opened, WhyNot};
use crate::formula::{AtPour, Formula, PhaseKind, PhaseTemperature};
use crate::setting::melt::{liquidus_c, solid_fraction, temperature_at_solid};

/// Solid fraction at which a fat phase counts as melted.
const MELTED: f64 = 0.01;

/// Solid fraction of the fat at which a cooling batch counts as setting (model assumption).
pub const SETTING: f64 = 0.10;

/// Head room above the melted state, in °C: dissolution near saturation is slow (common practice).
const HEAD_ROOM: f64 = 10.0;

/// How far a batch may cool below its set point before crystals appear, °C (model assumption;
/// 0.3 to 6.6 is published for fatty acids and their slurries).
pub const UNDERCOOLING: f64 = 3.0;

/// Temperatures at which solids are read, °C: room, a warm room, skin, a parcel, a hot van.
pub const READ_AT_C: [f64; 5] = [20.0, 25.0, 32.0, 40.0, 45.0];

/// An estimate with its band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Banded {
    /// The estimate.
    pub at: f64,
    /// Lower end of the band.
    pub low: f64,
    /// Upper end of the band.
    pub high: f64,
}

impl Banded {
    /// The usual estimate of three ways to mix crystals, with the others as its band.
    #[must_use]
    pub fn of([pure, usual, all]: [f64; 3]) -> Self {
        Self { at: usual, low: usual.min(pure).min(all), high: usual.max(pure).max(all) }
    }
}

/// The fat phase in the melt model; every figure is an estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct MeltFigures {
    /// What the fat phase holds.
    pub fat: FatPhase,
    /// °C that the three curves are moved up by own measurements.
    pub shift_c: [f64; 3],
    /// Temperature at which 1 % is still solid, in °C, acids as pure solids and alcohols as
    /// one mixed crystal.
    pub t99_c: f64,
    /// The same with everything as pure solids and with all in one mixed crystal: the band.
    pub band_c: (f64, f64),
    /// Temperature above which nothing is solid, °C.
    pub melted_c: Banded,
    /// Temperature at which [`SETTING`] of the fat is solid, °C; a cooling batch can go
    /// [`UNDERCOOLING`] lower first. `None` when so much is never solid.
    pub sets_c: Option<Banded>,
    /// Solid share of the fat, 0 to 1, at each of [`READ_AT_C`].
    pub solids: [Banded; 5],
}

/// Which material or model sets the temperature.
#[derive(Clone, Debug, PartialEq)]
pub enum HeatReason {
    /// Where the fats are clear, with head room.
    FatsClear,
    /// The melting point of a material.
    Melts(String),
    /// The least process temperature of a material.
    Process(String),
}

/// How hot to heat the fat phase.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatTo {
    /// °C, an estimate.
    pub c: f64,
    /// What sets it.
    pub reason: HeatReason,
}

impl HeatReason {
    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::FatsClear => "fats clear, and 10 °C more".to_owned(),
            Self::Melts(name) => format!("{name} melts"),
            Self::Process(name) => format!("{name} wants it"),
        }
    }
}

/// Runs the melt model over the fat phase, with the curves moved by own measurements.
///
/// # Errors
/// [`WhyNot`] when nothing melts, or when more than a fifth has no data.
pub fn melt_figures(opened: &Opened<'_>, shift_c: [f64; 3]) -> Derived<MeltFigures> {
    let fat = FatPhase::of(opened)?;
    let none = || WhyNot::Nothing("fat that is ever solid");
    let models = Mixing::ALL.map(|mixing| fat.components(mixing));
    let each = |read: &dyn Fn(&[_]) -> Option<f64>| -> Option<[f64; 3]> {
        let mut out = [0.0; 3];
        for ((place, model), shift) in out.iter_mut().zip(&models).zip(shift_c) {
            *place = read(model)? + shift;
        }
        Some(out)
    };
    let t99 = each(&|m| temperature_at_solid(m, MELTED)).ok_or_else(none)?;
    let melted = each(&|m| liquidus_c(m)).ok_or_else(none)?;
    let sets = each(&|m| temperature_at_solid(m, SETTING));
    let solids = READ_AT_C.map(|t| {
        let mut out = [0.0; 3];
        for ((place, model), shift) in out.iter_mut().zip(&models).zip(shift_c) {
            *place = solid_fraction(model, t - shift);
        }
        Banded::of(out)
    });
    let clear = Banded::of(t99);
    // A measured set point is no surer than the undercooling in it.
    let measured = shift_c.iter().any(|s| s.abs() > 0.0);
    let sets = sets.map(Banded::of).map(|b| {
        if measured {
            let (low, high) = (b.low.min(b.at - UNDERCOOLING), b.high.max(b.at + UNDERCOOLING));
            Banded { low, high, ..b }
        } else {
            b
        }
    });
    Ok(MeltFigures {
        shift_c,
        t99_c: clear.at,
        band_c: (clear.low, clear.high),
        melted_c: Banded::of(melted),
        sets_c: sets,
        solids,
        fat,
    })
}

/// How hot to heat: the highest of where the fats are clear plus 10 °C, the melting point of
/// any fat-phase material above 1 % of its phase, and each material's least process
/// temperature.
///
/// # Errors
/// [`WhyNot`] when none of the three can be had.
pub fn heat_to(
    formula: &Formula,
    opened: &Opened<'_>,
    melt: &Derived<MeltFigures>,
) -> Derived<HeatTo> {
    let mut best: Option<HeatTo> = None;
    let mut offer = |c: f64, reason: HeatReason| {
        if c.is_finite() && best.as_ref().is_none_or(|b| c > b.c) {
            best = Some(HeatTo { c, reason });
        }
    };
    if let Ok(m) = melt {
        // A set point that was reached late, undercooled, must not lower what melts the fats.
        let [_, shift, _] = m.shift_c;
        offer(m.t99_c.max(m.t99_c - shift) + HEAD_ROOM, HeatReason::FatsClear);
    }
    let heated = formula.phases.iter().filter(|p| {
        p.kind == PhaseKind::Melt && !matches!(p.temperature, PhaseTemperature::Below(_))
    });
    for phase in heated {
        let in_phase = || opened.leaves.iter().filter(|l| l.phase == phase.id);
        let total: f64 =
            in_phase().filter(|l| is_fat(l.material)).map(|l| l.percent.to_f64()).sum();
        for leaf in in_phase() {
            let m = leaf.material;
            let name = m.display_name().to_owned();
            if let Some(c) = &m.process_min_c {
                offer(c.value, HeatReason::Process(name.clone()));
            }
            if m.melts_in_process
                && m.at_pour == Some(AtPour::Melts)
                && leaf.percent.to_f64() > 0.01 * total
                && let Some(c) = m.melting_c.as_ref().and_then(|f| f.value.high.or(f.value.low))
            {
                offer(c, HeatReason::Melts(name));
            }
        }
    }
    best.ok_or_else(|| match melt {
        Err(why) => why.clone(),
        Ok(_) => WhyNot::Nothing("fat that melts"),
    })
}

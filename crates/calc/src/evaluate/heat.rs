//! How hot to heat: where the fats are clear, and what the materials ask for.

use super::{Derived, Opened, WhyNot};
use crate::formula::{AtPour, Formula, Function, Material, PhaseKind, PhaseTemperature};
use crate::setting::melt::{Crystal, FatComponent, temperature_at_solid};

/// Zero Celsius in kelvin.
const ZERO_C: f64 = 273.15;

/// Solid fraction at which a fat phase counts as melted.
const MELTED: f64 = 0.01;

/// Head room above that, in °C: dissolution near saturation is slow (common practice).
const HEAD_ROOM: f64 = 10.0;

/// Share of the fat phase without melt data above which there is no figure.
const MAY_LACK: f64 = 0.20;

/// The mixed-crystal group of the fatty alcohols.
const ALCOHOLS: u8 = 1;

/// The fat phase in the melt model.
#[derive(Clone, Debug, PartialEq)]
pub struct MeltFigures {
    /// Temperature at which 1 % is still solid, in °C, acids as pure solids and alcohols as
    /// one mixed crystal; an estimate.
    pub t99_c: f64,
    /// The same with everything as pure solids and with all in one mixed crystal: the band.
    pub band_c: (f64, f64),
    /// Fat-phase materials without melt data.
    pub left_out: Vec<String>,
    /// Their share of the fat phase, 0 to 1.
    pub left_out_share: f64,
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

/// How crystals are grouped.
#[derive(Clone, Copy)]
enum Mixing {
    Pure,
    Alcohols,
    All,
}

/// True for what makes up the fat phase: what melts, and the oils it melts into.
pub(crate) fn is_fat(m: &Material) -> bool {
    match m.at_pour {
        Some(AtPour::Melts) => true,
        Some(AtPour::Liquid) => !m.fat.is_empty(),
        _ => false,
    }
}

/// Runs the melt model over the fat phase.
///
/// # Errors
/// [`WhyNot`] when nothing melts, or when more than a fifth has no data.
pub fn melt_figures(opened: &Opened<'_>) -> Derived<MeltFigures> {
    let mut parts = Vec::new();
    let (mut known, mut lacking) = (0.0, 0.0);
    let mut left_out: Vec<String> = Vec::new();
    for leaf in opened.leaves.iter().filter(|l| !l.percent.is_negative()) {
        let m = leaf.material;
        // Beads folded in as grains stay solid; they are no part of the fat phase.
        if !is_fat(m) || m.function == Some(Function::Exfoliant) {
            continue;
        }
        let mass = leaf.percent.to_f64();
        if m.fat.is_empty() {
            lacking += mass;
            left_out.push(m.display_name().to_owned());
        } else {
            known += mass;
            parts.extend(m.fat.iter().map(|f| (mass * f.value.share, &f.value)));
        }
    }
    let total = known + lacking;
    if total <= 0.0 {
        return Err(WhyNot::Nothing("fat that melts"));
    }
    let left_out_share = lacking / total;
    if left_out_share > MAY_LACK {
        return Err(WhyNot::Unknown { what: "melting data", names: left_out });
    }
    let components = |mixing: Mixing| -> Vec<FatComponent> {
        parts
            .iter()
            .filter(|(_, f)| f.molar_mass > 0.0)
            .map(|(mass, f)| FatComponent {
                moles: mass / f.molar_mass,
                molar_mass: f.molar_mass,
                crystal: f.crystal.map(|(tm_c, dh_kj)| Crystal {
                    tm_k: tm_c + ZERO_C,
                    dh_j_mol: dh_kj * 1000.0,
                    group: match mixing {
                        Mixing::Pure => None,
                        Mixing::Alcohols => (f.group == "alcohol").then_some(ALCOHOLS),
                        Mixing::All => {
                            matches!(f.group.as_str(), "alcohol" | "acid" | "emulsifier")
                                .then_some(ALCOHOLS)
                        }
                    },
                }),
            })
            .collect()
    };
    let t99 = |mixing| temperature_at_solid(&components(mixing), MELTED);
    let t99_c = t99(Mixing::Alcohols).ok_or(WhyNot::Nothing("fat that melts"))?;
    let pure = t99(Mixing::Pure).unwrap_or(t99_c);
    let all = t99(Mixing::All).unwrap_or(t99_c);
    let band_c = (pure.min(t99_c).min(all), pure.max(t99_c).max(all));
    Ok(MeltFigures { t99_c, band_c, left_out, left_out_share })
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
        offer(m.t99_c + HEAD_ROOM, HeatReason::FatsClear);
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

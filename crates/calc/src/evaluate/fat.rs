//! The fat phase of a formula in the melt model: its components, where each comes from, and how
//! they may share crystals.

use super::{Derived, Opened, WhyNot};
use crate::formula::{AtPour, Function, Material};
use crate::setting::melt::{Crystal, FatComponent, Stack, solid_shares, stack};

/// Zero Celsius in kelvin.
const ZERO_C: f64 = 273.15;

/// Share of the fat phase without melt data above which there is no curve.
pub const MAY_LACK: f64 = 0.20;

/// Heat of melting of a fatty alcohol with its step in the solid, J/g: 225 to 240 are published,
/// while the step at the melting point alone is 140 to 170.
const ALCOHOL_J_G: f64 = 230.0;

/// How components are taken to share crystals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Mixing {
    /// Each component crystallises alone.
    Pure,
    /// The fatty alcohols share one mixed crystal, all else is pure; the usual estimate.
    Alcohols,
    /// Fatty acids, alcohols and emulsifiers share one mixed crystal.
    All,
}

impl Mixing {
    /// All of them, in the order of [`crate::setting::calibrate::Correction::shift_c`].
    pub const ALL: [Self; 3] = [Self::Pure, Self::Alcohols, Self::All];

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pure => "every solid pure",
            Self::Alcohols => "alcohols in one mixed crystal",
            Self::All => "acids, alcohols and emulsifiers in one mixed crystal",
        }
    }

    /// Number of the mixed crystal that a family goes into.
    fn group(self, family: &str) -> Option<u8> {
        let shares = match self {
            Self::Pure => false,
            Self::Alcohols => family == "alcohol",
            Self::All => matches!(family, "alcohol" | "acid" | "emulsifier"),
        };
        shares.then_some(1)
    }
}

/// One component of the fat phase.
#[derive(Clone, Debug, PartialEq)]
pub struct FatUse {
    /// Name for a chart.
    pub name: String,
    /// Family: "acid", "alcohol", "emulsifier" or "other".
    pub family: String,
    /// Molar mass, g/mol.
    pub molar_mass: f64,
    /// Melting point, °C, and heat of fusion at it, kJ/mol; `None` for a liquid.
    pub crystal: Option<(f64, f64)>,
    /// Mass, % of the product.
    pub percent: f64,
    /// What each leaf of the opened formula brings of it: its place and % of the product.
    pub from: Vec<(usize, f64)>,
}

impl FatUse {
    /// Heat taken up in melting, with steps in the solid, J/g; 0 for a liquid.
    #[must_use]
    pub fn latent_j_g(&self) -> f64 {
        match self.crystal {
            Some((_, dh)) if self.molar_mass > 0.0 => {
                let top = 1_000.0 * dh / self.molar_mass;
                if self.family == "alcohol" { top.max(ALCOHOL_J_G) } else { top }
            }
            _ => 0.0,
        }
    }
}

/// The fat phase of a formula.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FatPhase {
    /// Components, highest melting first, liquids last.
    pub components: Vec<FatUse>,
    /// Mass with melt data, % of the product.
    pub percent: f64,
    /// Fat-phase materials without melt data.
    pub left_out: Vec<String>,
    /// Their share of the fat phase, 0 to 1.
    pub left_out_share: f64,
    /// Materials whose own solid-fat table stops while much is still solid.
    pub stops_early: Vec<String>,
}

/// True for what makes up the fat phase: what melts, and the oils it melts into.
pub(crate) fn is_fat(m: &Material) -> bool {
    match m.at_pour {
        Some(AtPour::Melts) => true,
        Some(AtPour::Liquid) => m.has_melt_data(),
        _ => false,
    }
}

/// True for what counts in the fat phase of a product: beads folded in as grains stay solid.
pub(crate) fn in_fat_phase(m: &Material) -> bool {
    is_fat(m) && m.function != Some(Function::Exfoliant)
}

impl FatPhase {
    /// Collects the fat phase.
    ///
    /// # Errors
    /// [`WhyNot`] without any fat, or when more than a fifth of it has no melt data.
    pub fn of(opened: &Opened<'_>) -> Derived<Self> {
        let mut phase = Self::default();
        let mut lacking = 0.0;
        let fats = opened.leaves.iter().enumerate();
        for (i, leaf) in fats.filter(|(_, l)| !l.percent.is_negative()) {
            let m = leaf.material;
            if !in_fat_phase(m) {
                continue;
            }
            let mass = leaf.percent.to_f64();
            if m.solids.as_ref().is_some_and(|s| s.table.stops_early().is_some()) {
                let name = m.display_name().to_owned();
                if !phase.stops_early.contains(&name) {
                    phase.stops_early.push(name);
                }
            }
            if m.has_melt_data() {
                phase.percent += mass;
                phase.take(i, m, mass);
            } else {
                lacking += mass;
                let name = m.display_name().to_owned();
                if !phase.left_out.contains(&name) {
                    phase.left_out.push(name);
                }
            }
        }
        let total = phase.percent + lacking;
        if total <= 0.0 {
            return Err(WhyNot::Nothing("fat that melts"));
        }
        phase.left_out_share = lacking / total;
        if phase.left_out_share > MAY_LACK {
            return Err(WhyNot::Unknown { what: "melting data", names: phase.left_out });
        }
        phase.components.sort_by(|a, b| {
            let tm = |c: &FatUse| c.crystal.map_or(f64::NEG_INFINITY, |c| c.0);
            tm(b).total_cmp(&tm(a))
        });
        Ok(phase)
    }

    /// Adds the parts of one leaf; the same substance from two materials is one component.
    fn take(&mut self, leaf: usize, m: &Material, mass: f64) {
        let single = m.fat_parts().filter(|p| p.crystal.is_some()).nth(1).is_none();
        for part in m.fat_parts().filter(|p| p.molar_mass > 0.0 && p.share > 0.0) {
            let percent = mass * part.share;
            let same = |c: &&mut FatUse| {
                c.crystal == part.crystal
                    && c.molar_mass.to_bits() == part.molar_mass.to_bits()
                    && c.family == part.group
            };
            match self.components.iter_mut().find(same) {
                Some(known) => {
                    known.percent += percent;
                    known.from.push((leaf, percent));
                    known.name = match part.crystal {
                        None if known.name != part.name => "Oils".to_owned(),
                        _ => part.name.clone(),
                    };
                }
                None => self.components.push(FatUse {
                    name: component_name(m, &part.name, part.crystal.is_some(), single),
                    family: part.group.clone(),
                    molar_mass: part.molar_mass,
                    crystal: part.crystal,
                    percent,
                    from: vec![(leaf, percent)],
                }),
            }
        }
    }

    /// The components for the melt model, on the basis of 100 g of product.
    #[must_use]
    pub fn components(&self, mixing: Mixing) -> Vec<FatComponent> {
        self.components_with(mixing, &[])
    }

    /// The same with the amounts of some leaves, by their places, multiplied by factors.
    #[must_use]
    pub fn components_with(&self, mixing: Mixing, scaled: &[(usize, f64)]) -> Vec<FatComponent> {
        self.components
            .iter()
            .map(|c| {
                let own = |leaf: usize| {
                    c.from.iter().filter(move |(l, _)| *l == leaf).map(|(_, p)| p).sum::<f64>()
                };
                let more: f64 =
                    scaled.iter().map(|(leaf, factor)| own(*leaf) * (factor - 1.0)).sum();
                FatComponent {
                    moles: (c.percent + more) / c.molar_mass,
                    molar_mass: c.molar_mass,
                    crystal: c.crystal.map(|(tm_c, dh_kj)| Crystal {
                        tm_k: tm_c + ZERO_C,
                        dh_j_mol: dh_kj * 1_000.0,
                        group: mixing.group(&c.family),
                    }),
                }
            })
            .collect()
    }

    /// The melt curve with its layers, moved up by `shift_c`: `n` points over `from_c` to `to_c`.
    #[must_use]
    pub fn stack(&self, mixing: Mixing, shift_c: f64, from_c: f64, to_c: f64, n: usize) -> Stack {
        let mut out = stack(&self.components(mixing), from_c - shift_c, to_c - shift_c, n);
        out.points.iter_mut().for_each(|p| p.0 += shift_c);
        out
    }

    /// Share of each leaf's fat that is solid at `t_c`, 0..=1, by the leaf's place; and the solid
    /// share of the whole.
    #[must_use]
    pub fn solid_by_leaf(
        &self,
        mixing: Mixing,
        t_c: f64,
        leaves: usize,
        scaled: &[(usize, f64)],
    ) -> (Vec<f64>, f64) {
        let components = self.components_with(mixing, scaled);
        let mut shares = Vec::new();
        let total = solid_shares(&components, t_c, &mut shares);
        let mass: f64 = components.iter().map(|c| c.moles.max(0.0) * c.molar_mass).sum();
        let (mut solid, mut whole) = (vec![0.0; leaves], vec![0.0; leaves]);
        for ((c, component), share) in self.components.iter().zip(&components).zip(&shares) {
            let own = component.moles * component.molar_mass;
            // The same share of a component is solid wherever it comes from.
            let frozen = if own > 0.0 { share * mass / own } else { 0.0 };
            for (leaf, percent) in &c.from {
                if let (Some(s), Some(w)) = (solid.get_mut(*leaf), whole.get_mut(*leaf)) {
                    *s += percent * frozen;
                    *w += percent;
                }
            }
        }
        for (s, w) in solid.iter_mut().zip(&whole) {
            *s = if *w > 0.0 { (*s / w).clamp(0.0, 1.0) } else { 0.0 };
        }
        (solid, total)
    }
}

/// A material that is one crystal goes by its own name; a butter's fractions go by both.
fn component_name(m: &Material, part: &str, crystal: bool, single: bool) -> String {
    if !crystal {
        part.to_owned()
    } else if single {
        m.display_name().to_owned()
    } else if part.contains("fraction") && !part.contains(',') {
        format!("{}, {}", m.display_name(), part.to_lowercase())
    } else {
        part.to_owned()
    }
}

//! Melt curve of a fat phase: which share of it is solid at a temperature.
//!
//! Ideal solubility (Schroeder-van Laar): a component that melts at `Tm` with the heat `dH`
//! saturates the melt at the mole fraction `ln s = -(dH/R)(1/T - 1/Tm)`, heat capacities neglected.
//! The liquid is one ideal mixture. A component crystallises alone, or with the others of its group
//! as one ideal mixed crystal. Powders are no part of the fat phase. Against published fatty-acid
//! eutectics the model runs about 2 K high, scatter 3 K; how compounds share crystals matters more
//! and must be shown as a band.

/// Molar gas constant, J/(mol K), CODATA 2018.
const GAS_CONSTANT: f64 = 8.314_462_618;
/// 0 degrees Celsius, K.
const ZERO_CELSIUS: f64 = 273.15;
/// Below this share of all moles a liquid is rounding error.
const TRACE: f64 = 1e-14;
/// Coldest temperature that is searched, C; no fat phase is handled below.
const COLDEST_C: f64 = -100.0;
/// Ends any bisection, whatever melting point was typed.
const HALVINGS: usize = 100;

/// One component of a fat phase.
///
/// Left out of every figure when the moles or the molar mass are not finite and positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FatComponent {
    /// Amount, mol, on any common basis.
    pub moles: f64,
    /// Molar mass, g/mol.
    pub molar_mass: f64,
    /// How it crystallises; `None` for a component that stays liquid, such as a carrier oil.
    pub crystal: Option<Crystal>,
}

/// The solid of a component. Counts as staying liquid unless melting point and heat are finite and
/// positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crystal {
    /// Melting point, K.
    pub tm_k: f64,
    /// Heat of fusion of the step at the melting point, J/mol.
    pub dh_j_mol: f64,
    /// Components with the same group form one ideal mixed crystal; `None` for a pure solid.
    pub group: Option<u8>,
}

/// Moles of each component in the liquid at `t_k` kelvin, written to `out` in the order given.
///
/// 0 for a component that is left out. Temperatures below 1 K count as 1 K; all is NaN when `t_k`
/// is.
pub fn liquid_moles(components: &[FatComponent], t_k: f64, out: &mut Vec<f64>) {
    out.clear();
    out.resize(components.len(), if t_k.is_nan() { f64::NAN } else { 0.0 });
    if t_k.is_nan() {
        return;
    }
    let mut fat = Fat::new(components);
    let liquid = fat.solve(t_k);
    let mut put = |index: usize, moles: f64| {
        if let Some(place) = out.get_mut(index) {
            *place = moles;
        }
    };
    fat.inert.iter().for_each(|&(index, moles)| put(index, moles));
    fat.pure.iter().for_each(|part| put(part.index, part.dissolved(liquid)));
    for group in &fat.groups {
        group.parts.iter().for_each(|part| put(part.index, group.dissolved(part, liquid)));
    }
}

/// Solid share of the mass of the fat phase at `t_c` degrees Celsius, 0..=1; 0 without fat, NaN
/// when `t_c` is.
///
/// Never rises with temperature.
pub fn solid_fraction(components: &[FatComponent], t_c: f64) -> f64 {
    Fat::new(components).solid_fraction(t_c)
}

/// Highest temperature at which at least `fraction` of the mass is solid, C, by bisection to 1e-9
/// K.
///
/// 0.01 gives T99, above which less than 1 % is solid. `None` when `fraction` is not above 0 and at
/// most 1, or when so much is never solid down to -100 C, as with a large share of oil.
pub fn temperature_at_solid(components: &[FatComponent], fraction: f64) -> Option<f64> {
    let mut fat = Fat::new(components);
    let (mut lo, mut hi) = (COLDEST_C, fat.liquidus_k()? - ZERO_CELSIUS);
    if !(fraction > 0.0 && fraction <= 1.0) || hi <= lo || fat.solid_fraction(lo) < fraction {
        return None;
    }
    // A jump between the ends is fine: the cold side of it is the answer.
    for _ in 0..HALVINGS {
        if hi - lo <= 1e-9 {
            break;
        }
        let middle = 0.5 * (lo + hi);
        if fat.solid_fraction(middle) >= fraction { lo = middle } else { hi = middle }
    }
    Some(lo)
}

/// Temperature above which nothing is solid, C; `None` when nothing crystallises.
pub fn liquidus_c(components: &[FatComponent]) -> Option<f64> {
    Fat::new(components).liquidus_k().map(|t_k| t_k - ZERO_CELSIUS)
}

/// Melt curve: `n` points `(temperature in C, solid mass share)`, evenly spaced, both ends
/// included.
pub fn curve(components: &[FatComponent], from_c: f64, to_c: f64, n: usize) -> Vec<(f64, f64)> {
    let mut fat = Fat::new(components);
    let step = (to_c - from_c) / (n.max(2) - 1) as f64;
    (0..n)
        .map(|i| {
            let t_c = if i > 0 && i + 1 == n { to_c } else { from_c + step * i as f64 };
            (t_c, fat.solid_fraction(t_c))
        })
        .collect()
}

/// A crystallising component, with what the inner loops need.
struct Part {
    index: usize,
    moles: f64,
    molar_mass: f64,
    tm_k: f64,
    /// `1/Tm`, 1/K.
    inverse_tm: f64,
    /// `dH/R`, K.
    steepness: f64,
    /// Saturation mole fraction at the temperature in hand.
    saturation: f64,
    /// Liquid, mol, above which all of it is dissolved.
    threshold: f64,
}

impl Part {
    /// Saturation at a temperature, continued above the melting point; bounded so that squares stay
    /// finite.
    fn saturate(&mut self, inverse_t: f64) {
        let exponent = self.steepness * (self.inverse_tm - inverse_t);
        self.saturation = libm::exp(exponent.clamp(-300.0, 300.0));
        self.threshold = self.moles / self.saturation;
    }

    /// Moles in the liquid, as a pure solid.
    fn dissolved(&self, liquid: f64) -> f64 {
        if self.threshold <= liquid { self.moles } else { self.saturation * liquid }
    }
}

/// Components that share one ideal mixed crystal.
struct Group {
    key: u8,
    parts: Vec<Part>,
    moles: f64,
    /// Moles in the crystal.
    solid: f64,
}

impl Group {
    /// Finds the moles in the crystal beside `liquid` moles of melt; returns the moles of the group
    /// in the melt, and how fast they grow with the melt.
    ///
    /// Solves `sum n/(s L + S) = 1` for the crystal `S`. The sum falls and is convex, so Newton
    /// from below climbs steadily. The amount found last is a lower bound as long as `liquid` only
    /// falls.
    fn settle(&mut self, liquid: f64) -> (f64, f64) {
        if self.parts.iter().map(|p| p.threshold).sum::<f64>() <= liquid {
            self.solid = 0.0;
            return (self.moles, 0.0);
        }
        // Jensen's inequality gives a second lower bound, close when little is dissolved.
        let mean = self.parts.iter().map(|p| p.moles * p.saturation).sum::<f64>() / self.moles;
        let mut solid = self.solid.max(self.moles - mean * liquid).max(0.0);
        let mut growth = 0.0;
        for _ in 0..100 {
            let (mut sum, mut by_solid, mut by_liquid) = (-1.0, 0.0, 0.0);
            for part in &self.parts {
                let inverse = 1.0 / (part.saturation * liquid + solid);
                let share = part.moles * inverse;
                sum += share;
                by_solid += share * inverse;
                by_liquid += share * inverse * part.saturation;
            }
            growth = by_liquid / by_solid;
            let step = sum / by_solid;
            if step <= 1e-14 * solid {
                break;
            }
            solid += step;
        }
        self.solid = solid.min(self.moles);
        (self.moles - self.solid, growth)
    }

    /// Moles of one part in the crystal.
    fn crystallised(&self, part: &Part, liquid: f64) -> f64 {
        if self.solid <= 0.0 {
            return 0.0;
        }
        part.moles * (self.solid / (part.saturation * liquid + self.solid))
    }

    /// Moles of one part in the liquid; not a difference, which would lose the digits of a trace.
    fn dissolved(&self, part: &Part, liquid: f64) -> f64 {
        if self.solid <= 0.0 {
            return part.moles;
        }
        let saturated = part.saturation * liquid;
        part.moles * (saturated / (saturated + self.solid))
    }
}

/// A fat phase made ready to be solved at many temperatures.
struct Fat {
    inert: Vec<(usize, f64)>,
    inert_moles: f64,
    pure: Vec<Part>,
    groups: Vec<Group>,
    moles: f64,
    mass: f64,
}

impl Fat {
    fn new(components: &[FatComponent]) -> Self {
        let mut fat = Self {
            inert: Vec::new(),
            inert_moles: 0.0,
            pure: Vec::with_capacity(components.len()),
            groups: Vec::new(),
            moles: 0.0,
            mass: 0.0,
        };
        let sound = |x: f64| x.is_finite() && x > 0.0;
        for (index, &FatComponent { moles, molar_mass, crystal }) in components.iter().enumerate() {
            if !(sound(moles) && sound(molar_mass)) {
                continue;
            }
            fat.moles += moles;
            fat.mass += moles * molar_mass;
            let Some(crystal) = crystal.filter(|c| sound(c.tm_k) && sound(c.dh_j_mol)) else {
                fat.inert.push((index, moles));
                fat.inert_moles += moles;
                continue;
            };
            let part = Part {
                index,
                moles,
                molar_mass,
                tm_k: crystal.tm_k,
                inverse_tm: 1.0 / crystal.tm_k,
                steepness: crystal.dh_j_mol / GAS_CONSTANT,
                saturation: 0.0,
                threshold: 0.0,
            };
            match crystal.group {
                None => fat.pure.push(part),
                Some(key) => match fat.groups.iter_mut().find(|g| g.key == key) {
                    Some(group) => {
                        group.moles += moles;
                        group.parts.push(part);
                    }
                    None => fat.groups.push(Group { key, parts: vec![part], moles, solid: 0.0 }),
                },
            }
        }
        // A crystal of one is a pure solid, which needs no iteration.
        let (single, shared) = fat.groups.into_iter().partition(|g: &Group| g.parts.len() == 1);
        fat.groups = shared;
        fat.pure.extend(Vec::into_iter(single).flat_map(|g| g.parts));
        fat
    }

    /// Moles of liquid in equilibrium at `t_k`; leaves saturations and crystals set for it.
    fn solve(&mut self, t_k: f64) -> f64 {
        let t_k = t_k.max(1.0);
        let inverse_t = 1.0 / t_k;
        for part in &mut self.pure {
            if t_k < part.tm_k {
                part.saturate(inverse_t);
            } else {
                part.threshold = 0.0;
            }
        }
        if self.groups.is_empty() {
            return self.liquid_of_pure();
        }
        for group in &mut self.groups {
            group.solid = 0.0;
            group.parts.iter_mut().for_each(|part| part.saturate(inverse_t));
        }
        let liquid = self.liquid_of_mixed();
        for group in &mut self.groups {
            if liquid > 0.0 {
                group.settle(liquid);
            } else {
                group.solid = group.moles;
            }
        }
        liquid
    }

    /// With pure solids only, `sum min(n, s L) - L` is concave and made of straight pieces: taking
    /// the components by falling threshold finds its root without iteration.
    fn liquid_of_pure(&mut self) -> f64 {
        // Nearly sorted from one temperature to the next.
        self.pure.sort_unstable_by(|a, b| b.threshold.total_cmp(&a.threshold));
        let (mut dissolved, mut saturated, mut liquid) = (self.moles, 0.0, self.moles);
        for part in &self.pure {
            if part.threshold <= liquid {
                break;
            }
            dissolved -= part.moles;
            saturated += part.saturation;
            if dissolved <= TRACE * self.moles {
                return 0.0;
            }
            // Exactly at a eutectic any amount of liquid will do.
            if saturated >= 1.0 {
                break;
            }
            liquid = dissolved / (1.0 - saturated);
        }
        liquid
    }

    /// With mixed crystals the balance is still concave (the crystal of a group is a convex
    /// function of the liquid), so that Newton from above falls steadily to the root.
    fn liquid_of_mixed(&mut self) -> f64 {
        let mut liquid = self.moles;
        for _ in 0..200 {
            let (mut balance, mut slope) = (self.inert_moles - liquid, -1.0);
            for part in &self.pure {
                balance += part.dissolved(liquid);
                if part.threshold > liquid {
                    slope += part.saturation;
                }
            }
            for group in &mut self.groups {
                let (dissolved, growth) = group.settle(liquid);
                balance += dissolved;
                slope += growth;
            }
            if balance >= 0.0 || slope >= 0.0 {
                break;
            }
            let next = liquid - balance / slope;
            if next <= TRACE * self.moles {
                return 0.0;
            }
            let done = liquid - next <= 1e-14 * liquid;
            liquid = next;
            if done {
                break;
            }
        }
        liquid
    }

    fn solid_fraction(&mut self, t_c: f64) -> f64 {
        if t_c.is_nan() {
            return f64::NAN;
        }
        if self.pure.is_empty() && self.groups.is_empty() {
            return 0.0;
        }
        let liquid = self.solve(t_c + ZERO_CELSIUS);
        if liquid <= 0.0 {
            return 1.0;
        }
        let mut mass = 0.0;
        for part in &self.pure {
            mass += (part.moles - part.dissolved(liquid)) * part.molar_mass;
        }
        for group in &self.groups {
            mass += group
                .parts
                .iter()
                .map(|part| group.crystallised(part, liquid) * part.molar_mass)
                .sum::<f64>();
        }
        (mass / self.mass).clamp(0.0, 1.0)
    }

    /// The first crystal on cooling. For a pure solid `1/T = 1/Tm - R ln x / dH`; a group appears
    /// where `sum x/s = 1`, between the highest of these for its parts and its highest melting
    /// point.
    fn liquidus_k(&mut self) -> Option<f64> {
        let moles = self.moles;
        let alone =
            |part: &Part| 1.0 / (part.inverse_tm - libm::log(part.moles / moles) / part.steepness);
        let mut liquidus = self.pure.iter().map(alone).reduce(f64::max);
        for group in &mut self.groups {
            let mut lo = group.parts.iter().map(alone).fold(0.0, f64::max);
            let mut hi = group.parts.iter().map(|p| p.tm_k).fold(lo, f64::max);
            for _ in 0..HALVINGS {
                if hi - lo <= 1e-10 {
                    break;
                }
                let middle = 0.5 * (lo + hi);
                group.parts.iter_mut().for_each(|part| part.saturate(1.0 / middle));
                let solid = group.parts.iter().map(|p| p.threshold).sum::<f64>() > moles;
                if solid { lo = middle } else { hi = middle }
            }
            liquidus = Some(liquidus.map_or(hi, |t| t.max(hi)));
        }
        liquidus
    }
}

pub(crate) mod stack;
pub use stack::{Stack, solid_shares, stack};

#[cfg(test)]
mod properties;
#[cfg(test)]
mod tests;

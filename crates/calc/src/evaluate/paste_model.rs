//! The paste by volume at a temperature: powders, crystals, liquid, and what they jam at.

use super::fat::{FatPhase, Mixing, in_fat_phase};
use super::{Derived, Opened, WhyNot};
use crate::formula::{AtPour, Form, Function, LineId, Material, PowderShape};
use crate::grit::sizes::GrainSize;
use crate::setting::calibrate::Correction;
use crate::setting::pour::{packing_of_spheres, shape_factor};

/// Share of the product, in %, that may lack a density or a state before there is no figure.
const MAY_LACK: f64 = 20.0;

/// Widest spread of sizes that is believed to help packing: fine powders cling and do not fill
/// the gaps that a wide spread leaves (model assumption; keeps the limit near the 0.50 to 0.58 of
/// mixed cosmetic powders).
const SPREAD_MOST: f64 = 0.4;

/// Thermal expansion of oils and melts, g/mL per °C (from memory).
const EXPANSION: f64 = 0.000_65;

/// Temperatures at which the library states the density of oils and of melts, °C.
const OIL_AT_C: f64 = 20.0;
const MELT_AT_C: f64 = 75.0;

/// Oil that a network of fat crystals holds still, in volumes of the crystals (model assumption:
/// so much that a fat without powder stops moving about where a tenth of it is solid, which is
/// where it is taken to set).
const NETWORK: f64 = 2.7;

/// How much denser crystals are than their melt at 75 °C, at least: pure fats shrink by 8 to 12 % in
/// setting (from memory), which the density of a set butter, part liquid, does not show.
const CRYSTAL_OVER_MELT: f64 = 1.08;

/// Temperature of the liquid that solids are counted against, °C: that of a hot paste.
const FLOW_AT_C: f64 = 70.0;

/// Density of oil soaked up by porous grains, g/mL (from memory).
const OIL_G_ML: f64 = 0.90;

/// Shape in which crystals of fat hinder each other (model assumption).
const CRYSTAL: PowderShape = PowderShape::Plate;

/// Median in µm and spread of a powder whose grains nobody sized, by its shape (model assumption).
fn assumed_size(shape: PowderShape) -> (f64, f64) {
    match shape {
        PowderShape::Bead => (300.0, 0.30),
        PowderShape::Rounded => (15.0, 0.45),
        PowderShape::Angular => (100.0, 0.60),
        PowderShape::Plate => (4.0, 0.70),
        PowderShape::Fibre => (60.0, 0.60),
    }
}

/// One leaf of the formula in the paste.
#[derive(Clone, Debug)]
pub(crate) struct Leaf<'a> {
    pub(crate) place: usize,
    pub(crate) line: LineId,
    pub(crate) material: &'a Material,
    /// % of the product.
    pub(crate) percent: f64,
    /// False for what comes with a premix, whose amount is not a line's own.
    pub(crate) direct: bool,
    kind: Kind,
}

#[derive(Clone, Copy, Debug)]
enum Kind {
    /// Stays solid: density, oil soaked up in g/g, shape, ln of the median, spread.
    Powder { density: f64, soaks: f64, factor: f64, ln_d: f64, sigma: f64 },
    /// Belongs to the fat phase: density solid and melt, and the temperature of the latter.
    Fat { solid: f64, melt: f64, at_c: f64 },
    /// Liquid or dissolved, with a density that does not depend on temperature.
    Liquid { density: f64 },
}

/// A formula as a paste.
#[derive(Clone, Debug)]
pub(crate) struct PasteModel<'a> {
    pub(crate) leaves: Vec<Leaf<'a>>,
    /// Materials without a density or a state, and their share of the product in %.
    pub(crate) left_out: Vec<String>,
    pub(crate) left_out_percent: f64,
    /// Powders whose grain sizes are assumed.
    pub(crate) assumed: Vec<String>,
    fat: Option<FatPhase>,
    count: usize,
    correction: Correction,
}

/// Volumes of 100 g of paste at a temperature, mL, its liquid as warm as [`FLOW_AT_C`]: what thins
/// a paste in warmth is that crystals melt, not the few per cent by which oil expands.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Volumes {
    pub(crate) mass: f64,
    pub(crate) powders: f64,
    pub(crate) crystals: f64,
    pub(crate) soaked: f64,
    pub(crate) liquid: f64,
    /// Oil that the crystals hold still.
    pub(crate) held: f64,
    /// What the liquid expands or shrinks by at the temperature itself.
    expanded: f64,
    /// Share of the pores of porous grains that is full.
    pub(crate) filled: f64,
    shape: f64,
    moments: [f64; 3],
    packing: f64,
}

impl Volumes {
    pub(crate) fn total(&self) -> f64 {
        self.powders + self.crystals + self.liquid + self.soaked + self.held
    }

    /// Share of the volume that does not flow: powders, the oil in their pores, crystals, and the
    /// oil that these hold.
    pub(crate) fn solids(&self) -> f64 {
        let total = self.total();
        let still = self.powders + self.crystals + self.soaked + self.held;
        if total > 0.0 { still / total } else { 0.0 }
    }

    /// Natural logarithm of the geometric spread of all powders together, as far as it counts.
    pub(crate) fn sigma(&self) -> f64 {
        let [v, first, second] = self.moments;
        if v <= 0.0 {
            return 0.0;
        }
        let mean = first / v;
        libm::sqrt((second / v - mean * mean).max(0.0)).min(SPREAD_MOST)
    }

    /// Mean shape factor by volume.
    pub(crate) fn shape(&self) -> f64 {
        let v = self.powders + self.crystals + self.soaked + self.held;
        if v > 0.0 { self.shape / v } else { 1.0 }
    }

    /// Share of the volume at which the solids jam.
    pub(crate) fn limit(&self) -> f64 {
        (self.shape() * packing_of_spheres(self.sigma()) * self.packing).clamp(0.05, 0.98)
    }

    pub(crate) fn ratio(&self) -> f64 {
        self.solids() / self.limit()
    }

    /// The same without the oil that crystals hold: what bears a load in a set piece.
    pub(crate) fn firm_ratio(&self) -> f64 {
        Self {
            held: 0.0,
            liquid: self.liquid + self.held,
            shape: self.shape - shape_factor(CRYSTAL) * self.held,
            ..*self
        }
        .ratio()
    }

    /// The same as if all crystals were melted: whether it is the powder alone that jams.
    pub(crate) fn melted_ratio(&self) -> f64 {
        Self {
            crystals: 0.0,
            held: 0.0,
            liquid: self.liquid + self.crystals + self.held,
            shape: self.shape - shape_factor(CRYSTAL) * (self.crystals + self.held),
            ..*self
        }
        .ratio()
    }

    /// g/mL at the temperature, without air stirred in; powder short of liquid keeps gaps.
    pub(crate) fn density(&self) -> f64 {
        let gaps = self.melted_ratio().max(1.0);
        self.mass / (gaps * self.total() + self.expanded)
    }
}

impl<'a> PasteModel<'a> {
    /// Sorts a formula into powders, fats and liquids.
    ///
    /// # Errors
    /// [`WhyNot`] for lotions and dry mixes, and when too much lacks a state, a density or melt
    /// data.
    pub(crate) fn of(
        form: Form,
        opened: &Opened<'a>,
        fat: &Derived<FatPhase>,
        correction: Correction,
    ) -> Derived<Self> {
        if matches!(form, Form::Emulsion | Form::Powder | Form::Bath) {
            return Err(WhyNot::NotFor(form.name()));
        }
        if let Err(why @ WhyNot::Unknown { .. }) = fat {
            return Err(why.clone());
        }
        let mut model = Self {
            leaves: Vec::with_capacity(opened.leaves.len()),
            left_out: Vec::new(),
            left_out_percent: 0.0,
            assumed: Vec::new(),
            fat: fat.as_ref().ok().cloned(),
            count: opened.leaves.len(),
            correction,
        };
        let leaves = opened.leaves.iter().enumerate();
        for (place, leaf) in leaves.filter(|(_, l)| !l.percent.is_negative()) {
            let percent = leaf.percent.to_f64();
            let m = leaf.material;
            match model.kind(m) {
                Some(kind) => {
                    let (line, direct) = (leaf.line, opened.is_material(leaf.line));
                    model.leaves.push(Leaf { place, line, material: m, percent, direct, kind });
                }
                None => {
                    model.left_out_percent += percent;
                    model.left_out.push(m.display_name().to_owned());
                }
            }
        }
        let mass: f64 =
            model.leaves.iter().map(|l| l.percent).sum::<f64>() + model.left_out_percent;
        if mass <= 0.0 {
            return Err(WhyNot::Nothing("amount of any material"));
        }
        if model.left_out_percent > MAY_LACK || model.leaves.is_empty() {
            let names = model.left_out;
            return Err(WhyNot::Unknown { what: "density or state at pouring", names });
        }
        Ok(model)
    }

    /// Share of the fat that is solid at a temperature, as usual; `None` without fat.
    pub(crate) fn fat_solid(&self, t_c: f64) -> Option<f64> {
        let fat = self.fat.as_ref().filter(|_| self.has_fat())?;
        let [_, shift, _] = self.correction.shift_c;
        Some(fat.solid_by_leaf(Mixing::Alcohols, t_c - shift, 0, &[]).1)
    }

    /// Whether there is fat that may set.
    pub(crate) fn has_fat(&self) -> bool {
        self.fat.as_ref().is_some_and(|f| f.components.iter().any(|c| c.crystal.is_some()))
    }

    fn kind(&mut self, m: &Material) -> Option<Kind> {
        let solid = m.density_solid.as_ref().map(|d| d.value);
        let melt = m.density_melt.as_ref().map(|d| d.value);
        let any = melt.or(solid);
        let sound = |d: &f64| d.is_finite() && *d > 0.0;
        let grain = m.grain.as_ref().map(|g| &g.value);
        if m.at_pour == Some(AtPour::Powder) || m.function == Some(Function::Exfoliant) {
            let shape = m.shape.unwrap_or(PowderShape::Angular);
            let fitted = grain.and_then(|g| GrainSize::fit(g.sizes_in_use()).ok());
            let (d50, sigma) = match fitted {
                Some(size) => (size.d50_um(), size.sigma()),
                None => assumed_size(shape),
            };
            if fitted.is_none() || grain.is_some_and(|g| g.size_is_assumed()) {
                self.assumed.push(m.display_name().to_owned());
            }
            let soaks = m.oil_absorption.as_ref().map_or(0.0, |o| o.value.max(0.0));
            let density = solid.or(melt).filter(sound)?;
            let factor = shape_factor(shape);
            return Some(Kind::Powder { density, soaks, factor, ln_d: libm::log(d50), sigma });
        }
        if in_fat_phase(m) && m.has_melt_data() {
            let oil = m.at_pour == Some(AtPour::Liquid);
            let melt = any.filter(sound)?;
            let oil_c = if oil { OIL_AT_C } else { MELT_AT_C };
            let melted = melt - EXPANSION * (MELT_AT_C - oil_c);
            let solid = solid.or(any).filter(sound)?.max(CRYSTAL_OVER_MELT * melted);
            return Some(Kind::Fat { solid, melt, at_c: if oil { OIL_AT_C } else { MELT_AT_C } });
        }
        // A fat without melt data, within what may lack, counts as melted.
        m.at_pour?;
        Some(Kind::Liquid { density: any.filter(sound)? })
    }

    /// Volumes at `t_c` °C with the amounts of some leaves, by their places, multiplied by factors.
    pub(crate) fn at(&self, t_c: f64, mixing: Mixing, scaled: &[(usize, f64)]) -> Volumes {
        let shift = Mixing::ALL.iter().zip(self.correction.shift_c).find(|(m, _)| **m == mixing);
        let shift = shift.map_or(0.0, |s| s.1);
        let (frozen, _) = match &self.fat {
            Some(fat) => fat.solid_by_leaf(mixing, t_c - shift, self.count, scaled),
            None => (Vec::new(), 0.0),
        };
        let mut v = Volumes { packing: self.correction.packing, ..Volumes::default() };
        let mut soaked_shape = 0.0;
        for leaf in &self.leaves {
            let own = scaled.iter().find(|(place, _)| *place == leaf.place);
            let mass = leaf.percent * own.map_or(1.0, |(_, factor)| *factor);
            v.mass += mass;
            match leaf.kind {
                Kind::Powder { density, soaks, factor, ln_d, sigma } => {
                    let own = mass / density;
                    let soaked = mass * soaks / OIL_G_ML;
                    v.powders += own;
                    v.soaked += soaked;
                    v.shape += factor * own;
                    soaked_shape += factor * soaked;
                    let [volume, first, second] = &mut v.moments;
                    *volume += own;
                    *first += own * ln_d;
                    *second += own * (sigma * sigma + ln_d * ln_d);
                }
                Kind::Fat { solid, melt, at_c } => {
                    let share = frozen.get(leaf.place).copied().unwrap_or(0.0);
                    let crystal = mass * share / solid;
                    let volume =
                        |c: f64| mass * (1.0 - share) / (melt - EXPANSION * (c - at_c)).max(0.5);
                    v.crystals += crystal;
                    v.liquid += volume(FLOW_AT_C);
                    v.expanded += volume(t_c) - volume(FLOW_AT_C);
                    v.shape += shape_factor(CRYSTAL) * crystal;
                }
                Kind::Liquid { density } => v.liquid += mass / density,
            }
        }
        // Grains cannot soak up more than there is; each then gets its share.
        v.filled = if v.soaked > v.liquid { v.liquid / v.soaked } else { 1.0 };
        v.soaked *= v.filled;
        v.liquid -= v.soaked;
        v.shape += soaked_shape * v.filled;
        v.held = (NETWORK * v.crystals).min(v.liquid);
        v.liquid -= v.held;
        v.shape += shape_factor(CRYSTAL) * v.held;
        v
    }

    /// Powders that take up volume, largest first, by place in the leaves, with so much of their
    /// pores full.
    pub(crate) fn powders(&self, filled: f64) -> Vec<(usize, f64)> {
        let mut out: Vec<(usize, f64)> = self
            .leaves
            .iter()
            .enumerate()
            .filter_map(|(i, l)| match l.kind {
                Kind::Powder { density, soaks, .. } => {
                    Some((i, l.percent * (1.0 / density + filled * soaks / OIL_G_ML)))
                }
                _ => None,
            })
            .collect();
        out.sort_by(|a, b| b.1.total_cmp(&a.1));
        out
    }

    /// Oils that thin it, most first, by place in the leaves.
    pub(crate) fn oils(&self) -> Vec<(usize, f64)> {
        let mut out: Vec<(usize, f64)> = self
            .leaves
            .iter()
            .enumerate()
            .filter(|(_, l)| {
                matches!(l.kind, Kind::Fat { .. }) && l.material.at_pour == Some(AtPour::Liquid)
            })
            .filter(|(_, l)| {
                matches!(l.material.function, None | Some(Function::Emollient | Function::Butter))
            })
            .map(|(i, l)| (i, l.percent))
            .collect();
        out.sort_by(|a, b| b.1.total_cmp(&a.1));
        out
    }
}

//! The grit index: one relative figure for how rough a blend of grains feels.
//!
//! The idea has a published basis; the form and every constant are model assumptions. Worn volume
//! grows with load over hardness (Archard 1953) and, for a cutting cone, with the slope of its
//! flank; fewer grains share the same load as they grow, so that each bites deeper; below the scale
//! of skin furrows grains are buried. The index is tied to one rated fruit-stone grade, which is
//! set to 50, "medium". Not included: swelling, edges that round off, pressure, state of the skin,
//! frequency of use.

use super::blend::Grain;
use super::normal;
use super::sizes::GrainSize;
use super::surface::Stage;

/// Constants of the model. All are model assumptions; a person may edit them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GritModel {
    /// Roughness left in a perfect sphere, 0..=1.
    pub a0: f64,
    /// Hardness at which half of the possible bite is reached, MPa, positive.
    pub hh_mpa: f64,
    /// Size below which grains are buried between skin furrows, um, 0 or more.
    pub dc_um: f64,
    /// Volume share of grains at which coverage reaches 63 %, positive.
    pub v0: f64,
    /// Rubbing time over which a dissolving grain is averaged, s, positive.
    pub rub_seconds: f64,
    /// Classes of equal mass per kind of grain; 0 counts as 1.
    pub bins: usize,
    /// The blend that defines the scale.
    pub reference: Grain,
    /// Density of the product that carries the reference, g/mL.
    pub reference_density_g_ml: f64,
    /// Index of the reference.
    pub reference_index: f64,
}

impl GritModel {
    /// The built-in constants.
    ///
    /// Reference: 5 % fruit-stone powder, 10 % below 200 um and 95 % below 500 um (D50 299 um,
    /// sigma 0.313), a grade that its supplier rates medium, in a bar of 1.15 g/mL.
    pub const REFERENCE: Self = Self {
        a0: 0.15,
        hh_mpa: 100.0,
        dc_um: 50.0,
        v0: 0.10,
        rub_seconds: 30.0,
        bins: 20,
        reference: Grain {
            size: GrainSize::known(299.0, 0.313),
            density_g_ml: 1.35,
            hardness_mpa: 250.0,
            angularity: 0.60,
            dissolves_um_per_s: None,
            percent: 5.0,
        },
        reference_density_g_ml: 1.15,
        reference_index: 50.0,
    };

    /// Severity of a single grain of `um` micrometres, without unit; 1 is about a hard, sharp grain
    /// of 300 um.
    ///
    /// `[A0 + (1 - A0) a] H/(H + HH) (d/300) d^2/(d^2 + DC^2)` (model assumption). 0 for a size or
    /// hardness that is not positive.
    pub fn severity(&self, um: f64, hardness_mpa: f64, angularity: f64) -> f64 {
        self.bite(hardness_mpa, angularity) * self.reach(um)
    }

    /// Raw roughness of the reference blend, by which every index is divided; 0.172405 with the
    /// built-in constants.
    pub fn reference_roughness(&self) -> f64 {
        let nodes = self.nodes();
        self.roughness_of_reference(&mut Vec::with_capacity(nodes.len()), &nodes)
    }

    fn roughness_of_reference(&self, bins: &mut Vec<Bin>, nodes: &[f64]) -> f64 {
        self.fill(bins, &[self.reference], self.reference_density_g_ml, nodes);
        layer_cake(bins, |_, _| ())
    }

    /// The part of severity that belongs to the material.
    fn bite(&self, hardness_mpa: f64, angularity: f64) -> f64 {
        if hardness_mpa > 0.0 {
            (self.a0 + (1.0 - self.a0) * angularity.clamp(0.0, 1.0))
                / (1.0 + self.hh_mpa / hardness_mpa)
        } else {
            0.0
        }
    }

    /// The part of severity that belongs to the size.
    fn reach(&self, um: f64) -> f64 {
        if um > 0.0 { um * um * um / (300.0 * (um * um + self.dc_um * self.dc_um)) } else { 0.0 }
    }

    /// Mean of `reach` while a grain shrinks by `loss_um` from `um`; nothing is left of it at size
    /// 0.
    ///
    /// The integral of `d^3/(d^2 + c^2)` is `(d^2 - c^2 ln(d^2 + c^2)) / 2`.
    fn mean_reach(&self, um: f64, loss_um: f64) -> f64 {
        // Too little to tell, and the quotient below would lose its digits.
        if loss_um <= 1e-6 * um {
            return self.reach(um);
        }
        let end = (um - loss_um).max(0.0);
        let c2 = self.dc_um * self.dc_um;
        let squares = (um - end) * (um + end);
        let logs = if c2 > 0.0 { c2 * libm::log1p(squares / (end * end + c2)) } else { 0.0 };
        (squares - logs) / (600.0 * loss_um)
    }

    /// Deviates at the middle of each class of equal mass, coarsest first.
    fn nodes(&self) -> Vec<f64> {
        let n = self.bins.max(1);
        (0..n).rev().map(|j| normal::quantile((j as f64 + 0.5) / n as f64)).collect()
    }

    /// Classes of every grain, dry.
    fn fill(&self, bins: &mut Vec<Bin>, grains: &[Grain], density_g_ml: f64, nodes: &[f64]) {
        bins.clear();
        for (index, grain) in grains.iter().enumerate().filter(|(_, g)| g.mass() > 0.0) {
            // Volume of one class per volume of product, by the densities.
            let volume =
                grain.percent / 100.0 * density_g_ml / grain.density_g_ml / nodes.len() as f64;
            let takes = -libm::expm1(-volume / self.v0);
            let bite = self.bite(grain.hardness_mpa, grain.angularity);
            bins.extend(nodes.iter().map(|&z| {
                let um = grain.size.at_z(z);
                Bin { severity: bite * self.reach(um), takes, um, index }
            }));
        }
    }

    /// Classes of every grain by falling severity on the scale of the index, with the volume over
    /// V0 that one per cent of their kind brings.
    pub(super) fn sorted_classes(
        &self,
        grains: &[Grain],
        density_g_ml: f64,
        stage: Stage,
    ) -> Vec<Classed> {
        let density = self.sound_density(density_g_ml);
        let nodes = self.nodes();
        let mut bins = Vec::with_capacity(nodes.len() * grains.len().max(1));
        let reference = self.roughness_of_reference(&mut bins, &nodes);
        let scale = if reference > 0.0 { self.reference_index / reference } else { 0.0 };
        bins.clear();
        let mut out = Vec::with_capacity(nodes.len() * grains.len());
        for (kind, grain) in grains.iter().enumerate().filter(|(_, g)| g.is_usable()) {
            let bite = scale * self.bite(grain.hardness_mpa, grain.angularity);
            let loss = match (stage, grain.dissolves_um_per_s) {
                (Stage::InUse, Some(rate)) => rate * self.rub_seconds,
                _ => 0.0,
            };
            let per_percent = density / (100.0 * grain.density_g_ml * nodes.len() as f64 * self.v0);
            out.extend(nodes.iter().map(|&z| {
                let um = grain.size.at_z(z);
                Classed { kind, um, severity: bite * self.mean_reach(um, loss), per_percent }
            }));
        }
        out.sort_by(|a, b| b.severity.total_cmp(&a.severity));
        out
    }

    /// The product density, or that of the reference product in place of one that is not finite
    /// and positive.
    fn sound_density(&self, density_g_ml: f64) -> f64 {
        if density_g_ml.is_finite() && density_g_ml > 0.0 {
            density_g_ml
        } else {
            self.reference_density_g_ml
        }
    }

    /// Turns dry classes into their mean over the rubbing time.
    fn dissolve(&self, bins: &mut [Bin], grains: &[Grain]) {
        for bin in bins {
            let Some(grain) = grains.get(bin.index) else {
                continue;
            };
            if let Some(rate) = grain.dissolves_um_per_s {
                bin.severity = self.bite(grain.hardness_mpa, grain.angularity)
                    * self.mean_reach(bin.um, rate * self.rub_seconds);
            }
        }
    }
}

impl Default for GritModel {
    fn default() -> Self {
        Self::REFERENCE
    }
}

/// A class of grains as [`GritModel::sorted_classes`] gives it.
pub(super) struct Classed {
    /// Position of its kind.
    pub kind: usize,
    /// Size before any of it dissolves, um.
    pub um: f64,
    /// Severity on the scale of the index.
    pub severity: f64,
    /// Volume over V0 per % w/w of its kind.
    pub per_percent: f64,
}

/// One class of grains of like size.
struct Bin {
    severity: f64,
    /// Share of the surface still free that this class covers.
    takes: f64,
    /// Size before any of it dissolves, um.
    um: f64,
    /// Position of its kind in the blend.
    index: usize,
}

/// Raw roughness: classes that stand out further carry the load first, each covers its share of
/// what is left free.
///
/// With `V` the volume piled up so far this is `sum S_b [exp(-V_(b-1)/V0) - exp(-V_b/V0)]`, written
/// as a running product so that thin classes keep their digits. `each` hears what every class adds.
fn layer_cake(bins: &mut [Bin], mut each: impl FnMut(usize, f64)) -> f64 {
    // Stable, so that equal grains share the order in which the maker listed them.
    bins.sort_by(|a, b| b.severity.total_cmp(&a.severity));
    let (mut free, mut sum) = (1.0, 0.0);
    for bin in bins {
        let part = bin.severity * free * bin.takes;
        each(bin.index, part);
        sum += part;
        free *= 1.0 - bin.takes;
    }
    sum
}

/// The grit index of a blend.
#[derive(Clone, Debug, PartialEq)]
pub struct Grit {
    /// Index at the first touch, before any grain dissolves; 0 without grains, 50 for the
    /// reference.
    pub index: f64,
    /// Index averaged over the rubbing time; equal to `index` when no grain dissolves.
    pub in_use: f64,
    /// Band of `index`: the dry start, the cautious side, even when grains dissolve.
    pub band: Band,
    /// What each grain adds to `index`, in the order given; the sum is `index`.
    ///
    /// Grains that stand out further take the load first, so a share depends on the rest of the
    /// blend.
    pub contributions: Vec<f64>,
}

/// Grit index of grains in a product of the given density, g/mL.
///
/// Rises with the size, hardness, angularity and amount of every grain and with every grain added;
/// concave in the amounts. Grains that are not [usable](Grain::is_usable) count as absent. A
/// product density that is not finite and positive is replaced by that of the reference product
/// (model assumption); a model whose own reference has no roughness gives 0.
pub fn grit(grains: &[Grain], product_density_g_ml: f64, model: &GritModel) -> Grit {
    let density = model.sound_density(product_density_g_ml);
    let nodes = model.nodes();
    let mut bins = Vec::with_capacity(nodes.len() * grains.len().max(1));
    let mut contributions = vec![0.0; grains.len()];

    let reference = model.roughness_of_reference(&mut bins, &nodes);
    let scale = if reference > 0.0 { model.reference_index / reference } else { 0.0 };

    model.fill(&mut bins, grains, density, &nodes);
    let index = scale
        * layer_cake(&mut bins, |grain, part| {
            if let Some(sum) = contributions.get_mut(grain) {
                *sum += scale * part;
            }
        });

    let in_use = if grains
        .iter()
        .any(|g| g.mass() > 0.0 && g.dissolves_um_per_s.is_some_and(|rate| rate > 0.0))
    {
        model.dissolve(&mut bins, grains);
        scale * layer_cake(&mut bins, |_, _| ())
    } else {
        index
    };
    Grit { index, in_use, band: Band::from_index(index), contributions }
}

/// What each kind of grain adds to the dry index, by size class: one row per kind, one cell per
/// class, the classes cut at `edges_um` in rising order. All cells add up to the index.
#[must_use]
pub fn by_size_class(
    grains: &[Grain],
    product_density_g_ml: f64,
    model: &GritModel,
    edges_um: &[f64],
) -> Vec<Vec<f64>> {
    let mut out = vec![vec![0.0; edges_um.len() + 1]; grains.len()];
    let mut free = 1.0;
    for class in model.sorted_classes(grains, product_density_g_ml, Stage::Dry) {
        let load = grains.get(class.kind).map_or(0.0, Grain::mass);
        let takes = -libm::expm1(-class.per_percent * load);
        let at = edges_um.iter().take_while(|e| class.um > **e).count();
        if let Some(cell) = out.get_mut(class.kind).and_then(|row| row.get_mut(at)) {
            *cell += class.severity * free * takes;
        }
        free *= 1.0 - takes;
    }
    out
}

/// How a grit index reads in words (model assumption, guidance only).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Band {
    /// Below 10.
    VeryGentle,
    /// From 10 to below 25.
    Gentle,
    /// From 25 to below 60.
    Medium,
    /// From 60 to 130.
    Strong,
    /// Above 130.
    Coarse,
}

impl Band {
    /// Every band, gentlest first.
    pub const ALL: [Self; 5] =
        [Self::VeryGentle, Self::Gentle, Self::Medium, Self::Strong, Self::Coarse];

    /// The index at which each band gives way to the next, in the order of [`Band::ALL`].
    pub const EDGES: [f64; 4] = [10.0, 25.0, 60.0, 130.0];

    /// Band of an index; what is not a number is taken as coarse, the cautious side.
    pub fn from_index(index: f64) -> Self {
        let [gentle, medium, strong, coarse] = Self::EDGES;
        if index < gentle {
            Self::VeryGentle
        } else if index < medium {
            Self::Gentle
        } else if index < strong {
            Self::Medium
        } else if index <= coarse {
            Self::Strong
        } else {
            Self::Coarse
        }
    }

    /// The band in words.
    pub fn name(self) -> &'static str {
        match self {
            Self::VeryGentle => "very gentle",
            Self::Gentle => "gentle",
            Self::Medium => "medium",
            Self::Strong => "strong",
            Self::Coarse => "coarse",
        }
    }

    /// The band and where on the body it suits; guidance, not law.
    pub fn guide(self) -> &'static str {
        match self {
            Self::VeryGentle => "very gentle, face",
            Self::Gentle => "gentle, face",
            Self::Medium => "medium, body; face sparingly",
            Self::Strong => "strong, body only",
            Self::Coarse => "coarse, feet and hands",
        }
    }
}

#[cfg(test)]
mod tests;

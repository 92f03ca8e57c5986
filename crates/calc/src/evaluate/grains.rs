//! The exfoliants of a formula: sizes, grit and shares above a cut.

use super::{Derived, Opened, Paste, WhyNot};
use crate::formula::{Function, LineId, Material, MaterialId};
use crate::grit::blend::{self, Grain, GrainStats};
use crate::grit::index::{Grit, GritModel, by_size_class, grit};
use crate::grit::sieves::{ASTM_E11, Sieve};
use crate::grit::sizes::GrainSize;
use crate::quantity::Percent;

/// Product density taken when it cannot be worked out, in g/mL: that of the reference bar
/// of the grit model.
const ASSUMED_DENSITY: f64 = 1.15;

/// Sizes in um at which the contributions to the index are cut into classes: fine, face, body,
/// coarse and beyond (house convention, from the guides of place and the usual sieves).
pub const CLASS_EDGES_UM: [f64; 4] = [150.0, 300.0, 500.0, 800.0];

/// One exfoliant in the blend.
#[derive(Clone, Debug, PartialEq)]
pub struct GrainPart {
    /// The line of the formula that brings it.
    pub line: LineId,
    /// The material.
    pub material: MaterialId,
    /// True when the line is the material itself rather than a premix that holds it.
    pub direct: bool,
    /// The lot whose sizes are calculated with, if it is one of the maker's.
    pub lot: Option<String>,
    /// Display name.
    pub name: String,
    /// Its load, % w/w of the product, exact.
    pub load: Percent,
    /// Its grains, with the same load.
    pub grain: Grain,
    /// Price of one gram, in the project's currency; `None` when unknown.
    pub price_per_gram: Option<f64>,
    /// True when the size is assumed for the grade.
    pub assumed_size: bool,
}

impl GrainPart {
    /// The sieves nearest to its 5th and 95th percentile, coarser first, such as "60/100 mesh":
    /// the reading of a sieve cut turned round. One sieve where both are nearest to the same;
    /// `None` beyond the series.
    #[must_use]
    pub fn mesh(&self) -> Option<String> {
        let fine = nearest(self.grain.size.quantile_um(0.05))?;
        let coarse = nearest(self.grain.size.quantile_um(0.95))?;
        Some(if fine == coarse {
            format!("{} mesh", fine.mesh)
        } else {
            format!("{}/{} mesh", coarse.mesh, fine.mesh)
        })
    }
}

/// The sieve with the opening nearest by ratio; `None` for a size well beyond the series.
fn nearest(um: f64) -> Option<&'static Sieve> {
    let off = |s: &Sieve| (libm::log(um) - libm::log(s.opening_um)).abs();
    let found = ASTM_E11.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
    // Neighbours in the series differ by a fifth or less.
    (off(found) < 0.2).then_some(found)
}

/// Figures of the blend.
#[derive(Clone, Debug, PartialEq)]
pub struct GrainFigures {
    /// The exfoliants with usable data.
    pub parts: Vec<GrainPart>,
    /// The same grains, for the curves of [`blend`].
    pub blend: Vec<Grain>,
    /// Sizes of the blend.
    pub stats: GrainStats,
    /// Grit index.
    pub grit: Grit,
    /// Grit index of the grains that do not dissolve, alone.
    pub insoluble_index: f64,
    /// Exfoliant load in % of the product, those without data included.
    pub load: Percent,
    /// What each exfoliant of `parts` adds to the index by size class, cut at
    /// [`CLASS_EDGES_UM`].
    pub by_class: Vec<Vec<f64>>,
    /// Mass share of the blend above 300, 500 and 800 µm, in % of the blend.
    pub above: [(f64, f64); 3],
    /// Density of the product taken for the index, in g/mL.
    pub product_density: f64,
    /// True when that density is the assumed one.
    pub density_assumed: bool,
    /// Exfoliants left out for want of data.
    pub left_out: Vec<String>,
    /// What those left out cost in 100 g of product; `None` when a price is missing.
    pub left_out_cost: Option<f64>,
}

impl GrainFigures {
    /// True when more than half of the blend's mass dissolves in water.
    #[must_use]
    pub fn mostly_dissolves(&self) -> bool {
        let sum = |soluble: bool| -> f64 {
            self.parts
                .iter()
                .filter(|p| p.grain.dissolves() == soluble)
                .map(|p| p.grain.percent)
                .sum()
        };
        sum(true) > sum(false)
    }

    /// What all exfoliants together add to the index by size class; the sum is the index.
    #[must_use]
    pub fn class_totals(&self) -> Vec<f64> {
        let mut out = vec![0.0; CLASS_EDGES_UM.len() + 1];
        for row in &self.by_class {
            for (sum, part) in out.iter_mut().zip(row) {
                *sum += part;
            }
        }
        out
    }

    /// Share of the blend's mass, in %, that is above a size and of grains more angular than
    /// given, and the exfoliants that bring it. Soluble grains do not count.
    #[must_use]
    pub fn sharp_above(&self, um: f64, angularity: f64) -> (f64, Vec<String>) {
        let total: f64 = self.parts.iter().map(|p| p.grain.percent).sum();
        let mut share = 0.0;
        let mut names = Vec::new();
        for part in &self.parts {
            let g = &part.grain;
            if g.angularity > angularity && !g.dissolves() {
                let above = g.percent * g.size.fraction_above(um);
                share += above;
                // The far tail of a fitted curve is nothing that a sieve would show.
                if above > 1e-3 * total {
                    names.push(part.name.clone());
                }
            }
        }
        if total > 0.0 { (100.0 * share / total, names) } else { (0.0, names) }
    }
}

/// Price of one gram of a material.
pub(super) fn price_per_gram(m: &Material) -> Option<f64> {
    let gram = m.price?.of(crate::quantity::Grams(rust_decimal::Decimal::ONE))?;
    Some(gram.to_f64())
}

/// Figures of the exfoliants in a formula.
///
/// # Errors
/// [`WhyNot::Nothing`] without exfoliants, [`WhyNot::Unknown`] when none has grain data.
pub fn grain_figures(opened: &Opened<'_>, paste: &Paste) -> Derived<GrainFigures> {
    let mut parts: Vec<GrainPart> = Vec::new();
    let mut left_out = Vec::new();
    let mut left_out_cost = Some(0.0);
    let mut load = Percent::ZERO;
    for leaf in &opened.leaves {
        let m = leaf.material;
        if m.function != Some(Function::Exfoliant) || leaf.percent.is_negative() {
            continue;
        }
        load += leaf.percent;
        let name = m.display_name().to_owned();
        let usable = m.grain.as_ref().zip(m.density_solid.as_ref()).and_then(|(g, density)| {
            let size = GrainSize::fit(g.value.sizes_in_use()).ok()?;
            let grain = Grain {
                size,
                density_g_ml: density.value,
                hardness_mpa: g.value.hardness_mpa,
                angularity: g.value.angularity,
                dissolves_um_per_s: g.value.dissolves_um_per_s,
                percent: leaf.percent.to_f64(),
            };
            grain.is_usable().then_some(GrainPart {
                line: leaf.line,
                material: m.id.clone(),
                direct: opened.is_material(leaf.line),
                lot: g.value.lot().map(|lot| lot.name.clone()),
                name: name.clone(),
                load: leaf.percent,
                grain,
                price_per_gram: price_per_gram(m),
                assumed_size: g.value.size_is_assumed(),
            })
        });
        match usable {
            Some(part) => parts.push(part),
            None => {
                left_out.push(name);
                left_out_cost = left_out_cost
                    .zip(price_per_gram(m))
                    .map(|(sum, price)| sum + price * leaf.percent.to_f64());
            }
        }
    }
    let blend: Vec<Grain> = parts.iter().map(|p| p.grain).collect();
    let Some(stats) = blend::stats(&blend) else {
        return Err(if left_out.is_empty() {
            WhyNot::Nothing("exfoliant")
        } else {
            WhyNot::Unknown { what: "grain size", names: left_out }
        });
    };
    let (product_density, density_assumed) = match &paste.density {
        Ok(d) => (*d, false),
        Err(_) => (ASSUMED_DENSITY, true),
    };
    let above = [300.0, 500.0, 800.0].map(|um| (um, 100.0 * blend::fraction_above(&blend, um)));
    let grit = grit(&blend, product_density, &GritModel::REFERENCE);
    let stays: Vec<Grain> = blend.iter().filter(|g| !g.dissolves()).copied().collect();
    let insoluble_index = crate::grit::grit(&stays, product_density, &GritModel::REFERENCE).index;
    let by_class = by_size_class(&blend, product_density, &GritModel::REFERENCE, &CLASS_EDGES_UM);
    Ok(GrainFigures {
        by_class,
        insoluble_index,
        parts,
        blend,
        stats,
        grit,
        load,
        above,
        product_density,
        density_assumed,
        left_out,
        left_out_cost,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::grit::sizes::SizeData;

    fn part(sizes: &SizeData) -> GrainPart {
        GrainPart {
            line: LineId(1),
            material: MaterialId::new("a"),
            direct: true,
            lot: None,
            name: "A".to_owned(),
            load: Percent::ZERO,
            grain: Grain { size: GrainSize::fit(sizes).unwrap(), ..GritModel::REFERENCE.reference },
            price_per_gram: None,
            assumed_size: false,
        }
    }

    #[test]
    fn a_sieve_cut_comes_back_as_its_sieves() {
        for (lo_um, hi_um, mesh) in [
            (250.0, 425.0, "40/60 mesh"),
            (150.0, 250.0, "60/100 mesh"),
            (500.0, 850.0, "20/35 mesh"),
            (300.0, 300.0, "50 mesh"),
        ] {
            let mesh_read = part(&SizeData::SieveRange { lo_um, hi_um }).mesh();
            assert_eq!(mesh_read.as_deref(), Some(mesh));
        }
        let dust = SizeData::Lognormal { d50_um: 2.0, sigma: 0.1 };
        assert_eq!(part(&dust).mesh(), None);
    }
}

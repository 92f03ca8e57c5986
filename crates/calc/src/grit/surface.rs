//! The grit index of one set of grains as a function of their loads, with its derivatives.
//!
//! The order in which classes of grains carry the load depends on their severity alone, so it is
//! found once; each further value costs one pass over the classes.

use super::blend::Grain;
use super::index::GritModel;

/// At which moment grains that dissolve are taken.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Stage {
    /// At the first touch.
    #[default]
    Dry,
    /// Averaged over the rubbing time.
    InUse,
}

/// One class of grains of like size.
#[derive(Clone, Copy, Debug)]
struct Class {
    kind: usize,
    /// Severity less that of the next class, on the scale of the index.
    step: f64,
    /// Volume over `V0` that one per cent of the kind brings in one class.
    per_percent: f64,
}

/// Index over the loads of fixed kinds of grains. Loads are in % w/w of the product; a negative
/// load counts as 0.
///
/// With `u_j` the volume of the classes down to the `j`-th over `V0`, the layer cake of
/// [`super::index`] is `sum (S_j - S_(j+1)) (1 - exp(-u_j))`: each term is concave and rising in
/// the loads, and so is the sum.
#[derive(Clone, Debug)]
pub struct IndexSurface {
    classes: Vec<Class>,
    kinds: usize,
}

impl IndexSurface {
    /// The surface of these grains; their own loads are not looked at. A product density that is
    /// not finite and positive is replaced by that of the reference product.
    #[must_use]
    pub fn new(grains: &[Grain], density_g_ml: f64, model: &GritModel, stage: Stage) -> Self {
        let classes = model.sorted_classes(grains, density_g_ml, stage);
        let next = classes.iter().skip(1).map(|c| c.severity).chain([0.0]);
        let classes = classes
            .iter()
            .zip(next)
            .map(|(c, next)| Class {
                kind: c.kind,
                step: c.severity - next,
                per_percent: c.per_percent,
            })
            .collect();
        Self { classes, kinds: grains.len() }
    }

    /// How many kinds of grains there are.
    #[must_use]
    pub fn kinds(&self) -> usize {
        self.kinds
    }

    /// Index at these loads; a kind without a load counts as 0.
    #[must_use]
    pub fn index(&self, loads: &[f64]) -> f64 {
        let (mut u, mut sum) = (0.0, 0.0);
        for class in &self.classes {
            u += load(loads, class.kind) * class.per_percent;
            sum -= class.step * libm::expm1(-u);
        }
        sum
    }

    /// Index with its derivative by each load, per % w/w.
    pub fn gradient(&self, loads: &[f64], gradient: &mut Vec<f64>) -> f64 {
        gradient.clear();
        gradient.resize(self.kinds, 0.0);
        let mut reach = vec![0.0; self.kinds];
        let (mut u, mut sum) = (0.0, 0.0);
        for class in &self.classes {
            u += load(loads, class.kind) * class.per_percent;
            if let Some(r) = reach.get_mut(class.kind) {
                *r += class.per_percent;
            }
            let left = libm::exp(-u);
            sum += class.step * (1.0 - left);
            for (g, r) in gradient.iter_mut().zip(&reach) {
                *g += class.step * left * r;
            }
        }
        sum
    }

    /// The second derivatives, row by row; negative semidefinite.
    #[must_use]
    pub fn hessian(&self, loads: &[f64]) -> Vec<f64> {
        let n = self.kinds;
        let mut out = vec![0.0; n * n];
        let mut reach = vec![0.0; n];
        let mut u = 0.0;
        for class in &self.classes {
            u += load(loads, class.kind) * class.per_percent;
            if let Some(r) = reach.get_mut(class.kind) {
                *r += class.per_percent;
            }
            let weight = class.step * libm::exp(-u);
            for (row, a) in out.chunks_mut(n.max(1)).zip(&reach) {
                for (cell, b) in row.iter_mut().zip(&reach) {
                    *cell -= weight * a * b;
                }
            }
        }
        out
    }
}

fn load(loads: &[f64], kind: usize) -> f64 {
    loads.get(kind).map_or(0.0, |w| w.max(0.0))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing)]
    use super::*;
    use crate::grit::grit;
    use crate::grit::sizes::GrainSize;
    use proptest::prelude::*;

    fn any_grain() -> impl Strategy<Value = Grain> {
        (
            (30.0f64..1500.0, 0.0f64..0.7, 0.8f64..2.7),
            (5.0f64..5000.0, 0.0f64..1.0, prop::option::of(1.0f64..30.0), 0.0f64..15.0),
        )
            .prop_map(
                |((d50, sigma, density_g_ml), (hardness_mpa, angularity, melts, percent))| Grain {
                    size: GrainSize::known(d50, sigma),
                    density_g_ml,
                    hardness_mpa,
                    angularity,
                    dissolves_um_per_s: melts,
                    percent,
                },
            )
    }

    fn loads(grains: &[Grain]) -> Vec<f64> {
        grains.iter().map(|g| g.percent).collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2_000))]

        #[test]
        fn agrees_with_the_index(grains in prop::collection::vec(any_grain(), 0..5)) {
            let model = GritModel::REFERENCE;
            let direct = grit(&grains, 1.15, &model);
            let dry = IndexSurface::new(&grains, 1.15, &model, Stage::Dry).index(&loads(&grains));
            let wet = IndexSurface::new(&grains, 1.15, &model, Stage::InUse).index(&loads(&grains));
            prop_assert!((dry - direct.index).abs() <= 1e-9 * (1.0 + direct.index));
            prop_assert!((wet - direct.in_use).abs() <= 1e-9 * (1.0 + direct.in_use));
        }

        #[test]
        fn derivatives_are_those_of_the_index(
            grains in prop::collection::vec(any_grain(), 1..4),
            at in prop::collection::vec(0.5f64..12.0, 3),
        ) {
            let s = IndexSurface::new(&grains, 1.15, &GritModel::REFERENCE, Stage::Dry);
            let w: Vec<f64> = at[..grains.len()].to_vec();
            let (mut g, mut up, mut down) = (Vec::new(), Vec::new(), Vec::new());
            let value = s.gradient(&w, &mut g);
            prop_assert!((value - s.index(&w)).abs() <= 1e-9 * (1.0 + value));
            let hessian = s.hessian(&w);
            for k in 0..w.len() {
                let h = 1e-4;
                let (mut a, mut b) = (w.clone(), w.clone());
                a[k] += h;
                b[k] -= h;
                let slope = (s.gradient(&a, &mut up) - s.gradient(&b, &mut down)) / (2.0 * h);
                prop_assert!((slope - g[k]).abs() <= 1e-5 * (1.0 + g[k].abs()), "{slope} {}", g[k]);
                for l in 0..w.len() {
                    let second = (up[l] - down[l]) / (2.0 * h);
                    let exact = hessian[k * w.len() + l];
                    prop_assert!((second - exact).abs() <= 1e-4 * (1.0 + exact.abs()));
                }
            }
        }
    }
}

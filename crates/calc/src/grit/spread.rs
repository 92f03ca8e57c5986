//! How far the index depends on the model's constants, all of which are assumptions.

use super::blend::Grain;
use super::index::{GritModel, grit};

/// Draws of the constants; fixed, so that a figure never changes by itself.
pub const DRAWS: usize = 64;

/// A constant with the range over which it is drawn (model assumption).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Constant {
    /// What it is.
    pub name: &'static str,
    /// Unit of the ends; empty for a bare number.
    pub unit: &'static str,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Drawn evenly over its logarithm, as for a scale that spans several times its value.
    pub log: bool,
}

/// The constants that are drawn: roughness of a sphere, half-bite hardness, furrow size, covering
/// volume share.
pub const CONSTANTS: [Constant; 4] = [
    Constant { name: "roughness of a sphere", unit: "", low: 0.05, high: 0.30, log: false },
    Constant { name: "half-bite hardness", unit: "MPa", low: 30.0, high: 300.0, log: true },
    Constant { name: "size that furrows bury", unit: "µm", low: 20.0, high: 100.0, log: true },
    Constant { name: "covering share", unit: "", low: 0.04, high: 0.25, log: true },
];

/// The index over the draws.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// 5 % of the draws give a lower index.
    pub low: f64,
    /// 5 % of the draws give a higher index.
    pub high: f64,
    /// The same in use, for grains that dissolve.
    pub in_use: (f64, f64),
    /// The index with one constant at the lower and upper end of its range, the others as built
    /// in.
    pub by_constant: [(f64, f64); 4],
}

impl Constant {
    /// The value at `share` of the range, 0..=1.
    fn at(&self, share: f64) -> f64 {
        if self.log {
            self.low * libm::exp(share * libm::log(self.high / self.low))
        } else {
            self.low + share * (self.high - self.low)
        }
    }
}

fn with(model: &GritModel, k: usize, value: f64) -> GritModel {
    let mut out = *model;
    match k {
        0 => out.a0 = value,
        1 => out.hh_mpa = value,
        2 => out.dc_um = value,
        _ => out.v0 = value,
    }
    out
}

/// The models of the draws: points of a Halton sequence (bases 2, 3, 5, 7), which fills the four
/// ranges evenly.
#[must_use]
pub fn draws() -> Vec<GritModel> {
    (1..=DRAWS)
        .map(|i| {
            let mut model = GritModel::REFERENCE;
            for (k, (constant, base)) in CONSTANTS.iter().zip([2, 3, 5, 7]).enumerate() {
                model = with(&model, k, constant.at(halton(i, base)));
            }
            model
        })
        .collect()
}

/// The `i`-th term of van der Corput's sequence in a base: its digits mirrored at the point.
fn halton(mut i: usize, base: usize) -> f64 {
    let (mut share, mut digit) = (0.0, 1.0);
    while i > 0 {
        digit /= base as f64;
        share += digit * (i % base) as f64;
        i /= base;
    }
    share
}

/// The index over the fixed draws. Every draw is tied to the reference blend anew, so that 50
/// stays 50.
#[must_use]
pub fn spread(grains: &[Grain], density_g_ml: f64) -> Spread {
    let mut dry = Vec::with_capacity(DRAWS);
    let mut wet = Vec::with_capacity(DRAWS);
    for model in draws() {
        let index = grit(grains, density_g_ml, &model);
        dry.push(index.index);
        wet.push(index.in_use);
    }
    let by_constant = [0, 1, 2, 3].map(|k| {
        let at = |value| grit(grains, density_g_ml, &with(&GritModel::REFERENCE, k, value)).index;
        CONSTANTS.get(k).map_or((0.0, 0.0), |c| {
            let (a, b) = (at(c.low), at(c.high));
            (a.min(b), a.max(b))
        })
    });
    let (low, high) = middle(&mut dry);
    Spread { low, high, in_use: middle(&mut wet), by_constant }
}

/// The 5th and 95th percentile, between order statistics.
fn middle(values: &mut [f64]) -> (f64, f64) {
    values.sort_by(f64::total_cmp);
    let at = |p: f64| {
        let place = p * values.len().saturating_sub(1) as f64;
        let (low, share) = (place.floor(), place.fract());
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        // A place within a short list.
        let i = low as usize;
        let a = values.get(i).copied().unwrap_or(0.0);
        let b = values.get(i + 1).copied().unwrap_or(a);
        a + share * (b - a)
    };
    (at(0.05), at(0.95))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::grit::sizes::GrainSize;

    #[test]
    fn the_reference_does_not_depend_on_the_constants() {
        let s = spread(&[GritModel::REFERENCE.reference], 1.15);
        assert!((s.low - 50.0).abs() < 1e-9 && (s.high - 50.0).abs() < 1e-9);
    }

    #[test]
    fn the_draws_fill_their_ranges() {
        let all = draws();
        assert_eq!(all.len(), DRAWS);
        let a0: Vec<f64> = all.iter().map(|m| m.a0).collect();
        let mean = a0.iter().sum::<f64>() / 64.0;
        assert!((mean - 0.175).abs() < 0.005, "{mean}");
        for m in &all {
            assert!((0.05..=0.30).contains(&m.a0) && (30.0..=300.0).contains(&m.hh_mpa));
            assert!((20.0..=100.0).contains(&m.dc_um) && (0.04..=0.25).contains(&m.v0));
        }
    }

    #[test]
    fn wax_beads_depend_on_them_most() {
        let beads = Grain {
            size: GrainSize::known(354.0, 0.21),
            density_g_ml: 0.90,
            hardness_mpa: 15.0,
            angularity: 0.0,
            dissolves_um_per_s: None,
            percent: 5.0,
        };
        let s = spread(&[beads], 1.15);
        assert!(s.low < 3.3 && 3.3 < s.high && s.high / s.low > 3.0, "{s:?}");
        assert_eq!((s.low, s.high), s.in_use);
    }
}

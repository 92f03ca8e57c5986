//! What a blend of grains looks like as one powder.

use super::sizes::GrainSize;

/// One kind of exfoliating grain in a product.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grain {
    /// Size distribution by mass.
    pub size: GrainSize,
    /// True (skeletal) density, g/mL, positive.
    pub density_g_ml: f64,
    /// Indentation-type hardness, MPa, 0 or more. Mostly a model assumption.
    pub hardness_mpa: f64,
    /// From 0 (sphere) to 1 (freshly broken glass); taken as the nearer end beyond. Model
    /// assumption.
    pub angularity: f64,
    /// How fast the diameter shrinks in use, um/s; `None` for a grain that does not dissolve.
    pub dissolves_um_per_s: Option<f64>,
    /// Share of the product, % w/w, 0..=100.
    pub percent: f64,
}

impl Grain {
    /// Whether every figure is one to calculate with. A grain that is not usable counts as absent
    /// from every figure of this module and of [`super::index`]; say so to the maker.
    pub fn is_usable(&self) -> bool {
        let fine = |x: f64| x.is_finite() && x >= 0.0;
        self.density_g_ml > 0.0
            && self.density_g_ml.is_finite()
            && fine(self.hardness_mpa)
            && !self.angularity.is_nan()
            && self.dissolves_um_per_s.is_none_or(fine)
            && fine(self.percent)
    }

    /// Whether it dissolves in use; a rate of 0 is no dissolving.
    pub fn dissolves(&self) -> bool {
        self.dissolves_um_per_s.is_some_and(|rate| rate > 0.0)
    }

    /// Mass that counts, % of the product.
    pub(crate) fn mass(&self) -> f64 {
        if self.is_usable() { self.percent } else { 0.0 }
    }
}

/// Figures of a blend. Sizes in um, by mass unless said otherwise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GrainStats {
    /// 10 % of the mass is finer, um.
    pub d10: f64,
    /// Half of the mass is finer, um.
    pub d50: f64,
    /// 90 % of the mass is finer, um.
    pub d90: f64,
    /// `(D90 - D10) / D50`.
    pub span: f64,
    /// Surface-weighted mean D(3,2), um, with the kinds weighted by volume (mass over density).
    pub sauter_um: f64,
    /// Volume-weighted mean D(4,3), um, with the kinds weighted by volume (mass over density).
    pub de_brouckere_um: f64,
    /// Grains in a gram of product, taken as spheres.
    pub grains_per_gram_of_product: f64,
    /// Grains in a gram of the grain blend alone, taken as spheres.
    pub grains_per_gram_of_blend: f64,
    /// All grains together, % w/w of the product.
    pub percent_total: f64,
}

/// Figures of the blend; `None` when there are no grains.
///
/// Percentiles come from the mass-weighted sum of the distributions. The moments are those of the
/// mixed population, `D(4,3) = sum(v D43) / sum(v)` and `D(3,2) = sum(v) / sum(v / D32)`, where `v`
/// is the volume of each kind: with unequal densities, mass weights would not be the moments of ISO
/// 9276-2.
pub fn stats(grains: &[Grain]) -> Option<GrainStats> {
    let mass = total(grains);
    if mass <= 0.0 {
        return None;
    }
    let (mut volume, mut surface, mut fourth, mut count) = (0.0, 0.0, 0.0, 0.0);
    for grain in grains.iter().filter(|g| g.mass() > 0.0) {
        let v = grain.percent / grain.density_g_ml;
        volume += v;
        surface += v / grain.size.sauter_um();
        fourth += v * grain.size.de_brouckere_um();
        count += grain.percent * grain.size.particles_per_gram(grain.density_g_ml);
    }
    let (d10, d50, d90) =
        (quantile_um(grains, 0.1)?, quantile_um(grains, 0.5)?, quantile_um(grains, 0.9)?);
    Some(GrainStats {
        d10,
        d50,
        d90,
        span: (d90 - d10) / d50,
        sauter_um: volume / surface,
        de_brouckere_um: fourth / volume,
        grains_per_gram_of_product: count / 100.0,
        grains_per_gram_of_blend: count / mass,
        percent_total: mass,
    })
}

/// Size below which the mass share `p` of the blend lies, um; `None` without grains or for `p`
/// outside 0 and 1, both excluded.
pub fn quantile_um(grains: &[Grain], p: f64) -> Option<f64> {
    if total(grains) <= 0.0 || !(p > 0.0 && p < 1.0) {
        return None;
    }
    // The blend's quantile lies between those of its parts.
    let parts = || grains.iter().filter(|g| g.mass() > 0.0).map(|g| g.size.quantile_um(p));
    let (mut lo, mut hi) = (parts().fold(f64::INFINITY, f64::min), parts().fold(0.0, f64::max));
    // Geometric halving of any admissible bracket reaches 1e-11 well within
    // this count.
    for _ in 0..60 {
        if hi / lo - 1.0 < 1e-11 {
            break;
        }
        let middle = libm::sqrt(lo * hi);
        if 1.0 - fraction_above(grains, middle) < p { lo = middle } else { hi = middle }
    }
    Some(hi)
}

/// Share of the blend's mass coarser than `um`, 0..=1; 0 without grains.
pub fn fraction_above(grains: &[Grain], um: f64) -> f64 {
    weighted(grains, |size| size.fraction_above(um))
}

/// Share of the blend's mass coarser than `um`, %; 0 without grains.
pub fn percent_above(grains: &[Grain], um: f64) -> f64 {
    100.0 * fraction_above(grains, um)
}

/// Share of the blend's mass at or below `um`, %; 0 without grains.
pub fn percent_below(grains: &[Grain], um: f64) -> f64 {
    100.0 * weighted(grains, |size| size.fraction_below(um))
}

/// Mass density curve: `n` points `(um, share of the blend's mass per decade of size)`, evenly
/// spaced in the logarithm of size from `lo_um` to `hi_um`, both included.
///
/// The area over the decades is 1. A kind of a single size has no finite density and is missing
/// from the curve: draw a line at its median. Empty for bounds that are not positive and finite.
pub fn density_curve(grains: &[Grain], lo_um: f64, hi_um: f64, n: usize) -> Vec<(f64, f64)> {
    let per_decade =
        |um| weighted(grains, |size| size.density_per_ln(um)) * core::f64::consts::LN_10;
    spaced(lo_um, hi_um, n).map(|um| (um, per_decade(um))).collect()
}

/// Cumulative curve: `n` points `(um, share of the blend's mass at or below um)`, spaced as in
/// [`density_curve`].
pub fn cumulative_curve(grains: &[Grain], lo_um: f64, hi_um: f64, n: usize) -> Vec<(f64, f64)> {
    let below = |um| weighted(grains, |size| size.fraction_below(um));
    spaced(lo_um, hi_um, n).map(|um| (um, below(um))).collect()
}

fn total(grains: &[Grain]) -> f64 {
    grains.iter().map(Grain::mass).sum()
}

/// Mass-weighted mean of a figure of each size distribution; 0 without grains.
fn weighted(grains: &[Grain], figure: impl Fn(&GrainSize) -> f64) -> f64 {
    let (mut sum, mut mass) = (0.0, 0.0);
    for grain in grains.iter().filter(|g| g.mass() > 0.0) {
        sum += grain.percent * figure(&grain.size);
        mass += grain.percent;
    }
    if mass > 0.0 { sum / mass } else { 0.0 }
}

/// Logarithmically even sizes, ends included exactly.
fn spaced(lo: f64, hi: f64, n: usize) -> impl Iterator<Item = f64> {
    let sound = lo > 0.0 && hi > 0.0 && lo.is_finite() && hi.is_finite();
    let step = libm::log(hi / lo) / (n.max(2) - 1) as f64;
    (0..if sound { n } else { 0 }).map(move |i| match i {
        0 => lo,
        _ if i + 1 == n => hi,
        _ => lo * libm::exp(step * i as f64),
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use proptest::prelude::*;

    fn grain(d50: f64, sigma: f64, density_g_ml: f64, percent: f64) -> Grain {
        Grain {
            size: GrainSize::known(d50, sigma),
            density_g_ml,
            hardness_mpa: 250.0,
            angularity: 0.6,
            dissolves_um_per_s: None,
            percent,
        }
    }

    #[track_caller]
    fn near(value: f64, expected: f64, tolerance: f64) {
        assert!((value - expected).abs() <= tolerance, "{value}, expected {expected}");
    }

    #[test]
    fn figures_of_two_kinds() {
        // 60 % (300 um, 0.4, 1.35 g/mL) and 40 % (700 um, 0.3, 1.30 g/mL), computed apart from this
        // code.
        let grains = [grain(300.0, 0.4, 1.35, 3.0), grain(700.0, 0.3, 1.30, 2.0)];
        let s = stats(&grains).unwrap();
        near(s.d10, 203.73, 0.05);
        near(s.d50, 421.82, 0.05);
        near(s.d90, 862.09, 0.05);
        near(s.span, 1.5608, 5e-4);
        near(s.sauter_um, 364.29, 0.05);
        near(s.de_brouckere_um, 491.58, 0.05);
        near(fraction_above(&grains, 500.0) / 0.40807, 1.0, 1e-3);
        near(s.grains_per_gram_of_blend / 67_156.0, 1.0, 1e-3);
        near(s.grains_per_gram_of_product, s.grains_per_gram_of_blend * 0.05, 1e-6);
        near(s.percent_total, 5.0, 0.0);
        // With equal densities volume and mass weights coincide.
        let equal = [grain(300.0, 0.4, 1.0, 3.0), grain(700.0, 0.3, 1.0, 2.0)];
        near(stats(&equal).unwrap().sauter_um, 361.75, 0.05);
        near(stats(&equal).unwrap().de_brouckere_um, 487.88, 0.05);
    }

    #[test]
    fn nothing_and_nonsense() {
        assert_eq!(stats(&[]), None);
        assert_eq!(stats(&[grain(300.0, 0.4, 1.35, 0.0)]), None);
        assert_eq!(stats(&[grain(300.0, 0.4, f64::NAN, 5.0)]), None);
        assert_eq!(fraction_above(&[], 100.0), 0.0);
        assert!(density_curve(&[], 0.0, 100.0, 5).is_empty());
        assert_eq!(density_curve(&[], 10.0, 100.0, 3).len(), 3);
        assert!(cumulative_curve(&[], 10.0, 100.0, 0).is_empty());
        assert_eq!(cumulative_curve(&[], 10.0, 100.0, 1), vec![(10.0, 0.0)]);
    }

    #[test]
    fn single_sizes() {
        let grains = [grain(200.0, 0.0, 1.0, 3.0), grain(800.0, 0.0, 1.0, 1.0)];
        let s = stats(&grains).unwrap();
        near(s.d10, 200.0, 1e-8);
        near(s.d50, 200.0, 1e-8);
        near(s.d90, 800.0, 1e-8);
        assert_eq!(fraction_above(&grains, 500.0), 0.25);
    }

    #[test]
    fn curves() {
        let grains = [grain(300.0, 0.4, 1.35, 3.0), grain(700.0, 0.3, 1.30, 2.0)];
        let n = 401;
        let curve = density_curve(&grains, 10.0, 10_000.0, n);
        let area: f64 = curve.iter().map(|(_, y)| y).sum::<f64>() * 3.0 / (n - 1) as f64;
        near(area, 1.0, 1e-9);
        let sums = cumulative_curve(&grains, 10.0, 10_000.0, n);
        assert!(sums.windows(2).all(|w| matches!(w, [a, b] if a.1 <= b.1 && a.0 < b.0)));
        assert_eq!((sums.first().unwrap().0, sums.last().unwrap().0), (10.0, 10_000.0));
        near(sums.last().unwrap().1, 1.0, 1e-9);
    }

    proptest! {
        #[test]
        fn blend_quantile_undoes_the_cumulative(
            parts in prop::collection::vec(
                (20.0f64..2000.0, 0.05f64..0.9, 0.9f64..3.0, 0.01f64..30.0),
                1..5,
            ),
            p in 0.001f64..0.999,
        ) {
            let grains: Vec<Grain> = parts.iter().map(|&(d, s, r, w)| grain(d, s, r, w)).collect();
            let um = quantile_um(&grains, p).unwrap();
            prop_assert!((1.0 - fraction_above(&grains, um) - p).abs() < 1e-9);
            let s = stats(&grains).unwrap();
            prop_assert!(s.d10 <= s.d50 && s.d50 <= s.d90 && s.sauter_um <= s.de_brouckere_um);
        }
    }
}

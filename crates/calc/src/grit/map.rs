//! Pictures of every mix: two exfoliants along a line, three over a triangle.

use super::blend::{Grain, fraction_above};
use super::index::GritModel;
use super::surface::{IndexSurface, Stage};

/// One mix of two exfoliants.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PairPoint {
    /// Share of the first in the two, 0..=1.
    pub share: f64,
    /// Grit index.
    pub index: f64,
    /// Money per 100 g of product; `None` when a price is missing.
    pub cost: Option<f64>,
    /// Share of the blend above the size limit, 0..=1; 0 without a limit.
    pub above: f64,
}

/// Index and cost of every mix of two exfoliants at one total, % w/w, from none of the first to
/// nothing but it; `n` points, at least 2. Empty for a total that is not finite and positive.
#[must_use]
pub fn pair_curve(
    grains: [Grain; 2],
    costs: [Option<f64>; 2],
    total: f64,
    view: &View,
    n: usize,
) -> Vec<PairPoint> {
    if !(total.is_finite() && total > 0.0) {
        return Vec::new();
    }
    let surface = view.surface(&grains);
    let n = n.max(2);
    (0..n)
        .map(|i| {
            let share = i as f64 / (n - 1) as f64;
            let loads = [share * total, (1.0 - share) * total];
            PairPoint {
                share,
                index: surface.index(&view.with_held(&loads)),
                cost: money(&costs, &loads),
                above: view.above(&grains, &loads),
            }
        })
        .collect()
}

/// How mixes are looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct View {
    /// Density of the product, g/mL.
    pub density_g_ml: f64,
    /// The model.
    pub model: GritModel,
    /// First touch or in use.
    pub stage: Stage,
    /// Size above which the share of a blend is counted, um.
    pub above_um: Option<f64>,
    /// Grains that stay in the product whatever is mixed, with their loads; not in the total.
    pub held: Vec<Grain>,
}

impl View {
    fn above(&self, grains: &[Grain], loads: &[f64]) -> f64 {
        let Some(um) = self.above_um else { return 0.0 };
        let mut blend: Vec<Grain> =
            grains.iter().zip(loads).map(|(g, w)| Grain { percent: *w, ..*g }).collect();
        blend.extend(&self.held);
        fraction_above(&blend, um)
    }

    /// The surface of these grains with those that are held.
    fn surface(&self, grains: &[Grain]) -> IndexSurface {
        let all: Vec<Grain> = grains.iter().chain(&self.held).copied().collect();
        IndexSurface::new(&all, self.density_g_ml, &self.model, self.stage)
    }

    fn with_held(&self, loads: &[f64]) -> Vec<f64> {
        loads.iter().copied().chain(self.held.iter().map(|g| g.percent)).collect()
    }
}

fn money(costs: &[Option<f64>], loads: &[f64]) -> Option<f64> {
    costs.iter().zip(loads).try_fold(0.0, |sum, (c, w)| c.map(|c| sum + c * w))
}

/// One mix of three exfoliants.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MixPoint {
    /// Shares of the three; they add up to 1.
    pub shares: [f64; 3],
    /// Grit index.
    pub index: f64,
    /// Money per 100 g of product; `None` when a price is missing.
    pub cost: Option<f64>,
    /// Share of the blend above the size limit, 0..=1.
    pub above: f64,
}

/// A line of equal value over the triangle, as pieces between two points of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// The value.
    pub level: f64,
    /// Pieces, each from one place to another in the plane of [`place_of`].
    pub pieces: Vec<[(f64, f64); 2]>,
}

/// Every mix of three exfoliants at one total.
#[derive(Clone, Debug, PartialEq)]
pub struct MixMap {
    /// Steps along one side.
    pub steps: usize,
    /// Points row by row: `i` steps of the first share from 0, then `j` of the second.
    pub points: Vec<MixPoint>,
    /// All exfoliants together, % w/w.
    pub total: f64,
}

/// Steps along one side that give about 5,000 mixes.
pub const STEPS: usize = 99;

impl MixMap {
    /// Works out `(steps + 1) (steps + 2) / 2` mixes; `None` for a total that is not finite and
    /// positive, or no steps.
    #[must_use]
    pub fn new(
        grains: [Grain; 3],
        costs: [Option<f64>; 3],
        total: f64,
        view: &View,
        steps: usize,
    ) -> Option<Self> {
        if !(total.is_finite() && total > 0.0) || steps == 0 {
            return None;
        }
        let surface = view.surface(&grains);
        let n = steps as f64;
        let mut points = Vec::with_capacity((steps + 1) * (steps + 2) / 2);
        for i in 0..=steps {
            for j in 0..=steps - i {
                let (a, b) = (i as f64 / n, j as f64 / n);
                let shares = [a, b, (steps - i - j) as f64 / n];
                let loads = shares.map(|s| s * total);
                points.push(MixPoint {
                    shares,
                    index: surface.index(&view.with_held(&loads)),
                    cost: money(&costs, &loads),
                    above: view.above(&grains, &loads),
                });
            }
        }
        Some(Self { steps, points, total })
    }

    /// Position in `points` of the mix with `i` and `j` steps of the first and second share.
    fn at(&self, i: usize, j: usize) -> usize {
        // Rows before: (steps + 1) + steps + ..., one shorter each.
        i * (self.steps + 1) - i * i.saturating_sub(1) / 2 + j
    }

    /// The small triangles of the grid, as positions in `points`.
    pub fn triangles(&self) -> impl Iterator<Item = [usize; 3]> + '_ {
        let n = self.steps;
        (0..n).flat_map(move |i| {
            (0..n - i).flat_map(move |j| {
                let up = Some([self.at(i, j), self.at(i + 1, j), self.at(i, j + 1)]);
                let down = (i + j + 2 <= n)
                    .then(|| [self.at(i + 1, j), self.at(i + 1, j + 1), self.at(i, j + 1)]);
                up.into_iter().chain(down)
            })
        })
    }

    /// Lines along which a value of the mixes is `level`, straight across each small triangle.
    pub fn contour(&self, level: f64, value: impl Fn(&MixPoint) -> Option<f64>) -> Contour {
        let mut pieces = Vec::new();
        for triangle in self.triangles() {
            let corner = |k: usize| {
                let point = triangle.get(k % 3).and_then(|i| self.points.get(*i))?;
                Some((place_of(point.shares), value(point)?))
            };
            let mut ends = Vec::new();
            for k in 0..3 {
                let (Some((a, va)), Some((b, vb))) = (corner(k), corner(k + 1)) else { continue };
                // A corner on the level belongs to the side above it.
                if (va < level) != (vb < level) {
                    let t = (level - va) / (vb - va);
                    ends.push((a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1)));
                }
            }
            if let [a, b] = ends.as_slice() {
                pieces.push([*a, *b]);
            }
        }
        Contour { level, pieces }
    }

    /// The least and greatest index of any mix.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        let all = || self.points.iter().map(|p| p.index);
        (all().fold(f64::INFINITY, f64::min), all().fold(0.0, f64::max))
    }
}

/// Place of a mix in a triangle of side 1 with its base from (0, 0) to (1, 0): the first
/// exfoliant at the left, the second at the right, the third on top.
#[must_use]
pub fn place_of(shares: [f64; 3]) -> (f64, f64) {
    let [_, b, c] = shares;
    (b + 0.5 * c, c * HEIGHT)
}

/// Height of a triangle of side 1.
pub const HEIGHT: f64 = 0.866_025_403_784_438_6;

/// The mix at a place in the triangle; `None` outside it.
#[must_use]
pub fn mix_at(place: (f64, f64)) -> Option<[f64; 3]> {
    let c = place.1 / HEIGHT;
    let b = place.0 - 0.5 * c;
    let a = 1.0 - b - c;
    let fits = |x: f64| (-1e-9..=1.0 + 1e-9).contains(&x);
    (fits(a) && fits(b) && fits(c)).then(|| [a, b, c].map(|x| x.clamp(0.0, 1.0)))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing)]
    use super::*;
    use crate::grit::grit;
    use crate::grit::sizes::GrainSize;

    fn grain(d50: f64, sigma: f64, rho: f64, h: f64, a: f64) -> Grain {
        Grain {
            size: GrainSize::known(d50, sigma),
            density_g_ml: rho,
            hardness_mpa: h,
            angularity: a,
            dissolves_um_per_s: None,
            percent: 0.0,
        }
    }

    fn three() -> [Grain; 3] {
        [
            grain(354.0, 0.21, 0.90, 15.0, 0.0),
            grain(150.0, 0.5, 1.45, 250.0, 0.55),
            grain(350.0, 0.35, 1.35, 280.0, 0.60),
        ]
    }

    const VIEW: View = View {
        density_g_ml: 1.15,
        model: GritModel::REFERENCE,
        stage: Stage::Dry,
        above_um: Some(500.0),
        held: Vec::new(),
    };

    #[test]
    fn a_map_holds_every_mix_and_agrees_with_the_index() {
        let map = MixMap::new(three(), [Some(0.04); 3], 6.0, &VIEW, STEPS).unwrap();
        assert_eq!(map.points.len(), 5_050);
        assert_eq!(map.triangles().count(), STEPS * STEPS);
        for point in map.points.iter().step_by(97) {
            assert!((point.shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
            let mut grains = three();
            for (g, s) in grains.iter_mut().zip(point.shares) {
                g.percent = 6.0 * s;
            }
            assert!((grit(&grains, 1.15, &VIEW.model).index - point.index).abs() < 1e-9);
            assert!((fraction_above(&grains, 500.0) - point.above).abs() < 1e-12);
        }
        for i in [0, 1, 50, 99] {
            for j in 0..=99 - i {
                let shares = map.points[map.at(i, j)].shares;
                assert!((shares[0] * 99.0 - i as f64).abs() < 1e-9);
                assert!((shares[1] * 99.0 - j as f64).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn points_on_a_contour_have_its_index() {
        let map = MixMap::new(three(), [None; 3], 6.0, &VIEW, STEPS).unwrap();
        let (low, high) = map.range();
        assert!(low < 5.0 && high > 60.0);
        let line = map.contour(25.0, |p| Some(p.index));
        assert!(line.pieces.len() > 40);
        let surface = IndexSurface::new(&three(), 1.15, &VIEW.model, Stage::Dry);
        for [a, _] in &line.pieces {
            let loads = mix_at(*a).unwrap().map(|s| s * 6.0);
            assert!((surface.index(&loads) - 25.0).abs() < 0.05, "{}", surface.index(&loads));
        }
        assert!(map.contour(500.0, |p| Some(p.index)).pieces.is_empty());
        assert!(map.contour(1.0, |p| p.cost).pieces.is_empty());
    }

    #[test]
    fn what_is_held_counts_in_every_mix() {
        let held = Grain { percent: 2.0, ..grain(600.0, 0.2, 1.35, 250.0, 0.6) };
        let view = View { held: vec![held], ..VIEW };
        let map = MixMap::new(three(), [None; 3], 4.0, &view, 5).unwrap();
        for point in &map.points {
            let mut grains: Vec<Grain> = three()
                .iter()
                .zip(point.shares)
                .map(|(g, s)| Grain { percent: 4.0 * s, ..*g })
                .collect();
            grains.push(held);
            assert!((grit(&grains, 1.15, &VIEW.model).index - point.index).abs() < 1e-9);
            assert!((fraction_above(&grains, 500.0) - point.above).abs() < 1e-12);
        }
    }

    #[test]
    fn places_and_mixes_undo_each_other() {
        for shares in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.2, 0.3, 0.5]] {
            let back = mix_at(place_of(shares)).unwrap();
            for (a, b) in back.iter().zip(shares) {
                assert!((a - b).abs() < 1e-12);
            }
        }
        assert_eq!(mix_at((0.0, 0.5)), None);
        assert_eq!(mix_at((2.0, 0.0)), None);
    }

    #[test]
    fn a_pair_runs_from_one_to_the_other() {
        let [beads, _, stone] = three();
        let line = pair_curve([stone, beads], [Some(0.01), Some(0.04)], 6.0, &VIEW, 51);
        assert_eq!(line.len(), 51);
        assert!(line.windows(2).all(|w| w[0].index < w[1].index));
        assert!((line[50].cost.unwrap() - 0.06).abs() < 1e-12);
        assert!(pair_curve([stone, beads], [None; 2], f64::NAN, &VIEW, 51).is_empty());
        assert!(MixMap::new(three(), [None; 3], -1.0, &VIEW, 9).is_none());
    }
}

//! Every mix of two or three exfoliants for a formula, and taking one of them.

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive as _;

use super::find::{density_of, grain_of, is_locked, what_stays};
use super::grains::price_per_gram;
use super::{BlendAsk, Derived, WhyNot};
use crate::formula::{Formula, Library, MaterialId};
use crate::grit::blend::Grain;
use crate::grit::index::{Band, GritModel};
use crate::grit::map::{Contour, MixMap, PairPoint, STEPS, View, pair_curve};
use crate::quantity::Percent;

/// Steps along a line of two.
const PAIR_STEPS: usize = 100;

/// Every mix of two or three exfoliants at one total.
#[derive(Clone, Debug, PartialEq)]
pub struct Mixes {
    /// The exfoliants with their names: two or three.
    pub of: Vec<(MaterialId, String)>,
    /// The two or three together, % w/w of the product.
    pub total: f64,
    /// Exfoliants that stay whatever is mixed, % w/w: locked ones, and those of other premixes.
    pub held: f64,
    /// The mixes themselves.
    pub shape: MixShape,
    /// The wanted index.
    pub wanted: f64,
}

/// A line of two or a triangle of three.
#[derive(Clone, Debug, PartialEq)]
pub enum MixShape {
    /// From none of the first to nothing but it.
    Pair(Vec<PairPoint>),
    /// All mixes of three, with lines of equal index at the band levels and at the wanted index
    /// last.
    Three {
        /// The mixes.
        map: MixMap,
        /// Lines of equal index.
        lines: Vec<Contour>,
    },
}

/// One mix in words and figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MixFigures {
    /// Grit index.
    pub index: f64,
    /// Money for exfoliants per 100 g of product; `None` when a price is missing.
    pub cost: Option<f64>,
    /// Share of the blend above the size limit, in %.
    pub above: f64,
}

/// Works out every mix of two or three exfoliants in a formula, at the total that the ask allows
/// at most.
///
/// # Errors
/// When there are not two or three, one has no usable grains, or the total is not above 0.
pub fn mixes(
    formula: &Formula,
    library: &Library,
    of: &[MaterialId],
    ask: &BlendAsk,
) -> Derived<Mixes> {
    mixes_in_steps(formula, library, of, ask, if of.len() == 2 { PAIR_STEPS } else { STEPS })
}

/// As [`mixes`], with so many steps from one end of a line or side to the other; for tables, whose
/// shares are to be round.
///
/// # Errors
/// As [`mixes`], and for no steps.
pub fn mixes_in_steps(
    formula: &Formula,
    library: &Library,
    of: &[MaterialId],
    ask: &BlendAsk,
    steps: usize,
) -> Derived<Mixes> {
    let mut named = Vec::new();
    let mut grains: Vec<Grain> = Vec::new();
    let mut costs = Vec::new();
    for id in of {
        let Some(material) = library.material(id) else { continue };
        let grain = grain_of(material, 0.0);
        if !grain.is_usable() {
            let names = vec![material.display_name().to_owned()];
            return Err(WhyNot::Unknown { what: "grain size", names });
        }
        named.push((id.clone(), material.display_name().to_owned()));
        grains.push(grain);
        costs.push(price_per_gram(material));
    }
    // What no mix takes the place of: locked lines, and grains that come with other premixes.
    let held = what_stays(formula, library);
    if of.iter().any(|id| is_locked(formula, id)) {
        return Err(WhyNot::Nothing("free choice of a locked exfoliant"));
    }
    let taken: f64 = held.iter().map(|(_, g)| g.percent).sum();
    let view = View {
        held: held.into_iter().map(|(_, g)| g).filter(Grain::is_usable).collect(),
        density_g_ml: density_of(formula, library),
        model: GritModel::REFERENCE,
        stage: ask.stage,
        above_um: ask.size.map(|s| s.um),
    };
    let total = ask.total.1 - taken;
    if !(total.is_finite() && total > 0.0) {
        return Err(WhyNot::Nothing("room below the most of exfoliants"));
    }
    let shape = match (grains.as_slice(), costs.as_slice()) {
        ([a, b], [ca, cb]) => {
            MixShape::Pair(pair_curve([*a, *b], [*ca, *cb], total, &view, steps + 1))
        }
        ([a, b, c], [ca, cb, cc]) => {
            let map = MixMap::new([*a, *b, *c], [*ca, *cb, *cc], total, &view, steps)
                .ok_or(WhyNot::Nothing("total above 0"))?;
            let levels = Band::EDGES.into_iter().chain([ask.index]);
            let lines = levels.map(|level| map.contour(level, |p| Some(p.index))).collect();
            MixShape::Three { map, lines }
        }
        _ => return Err(WhyNot::Nothing("pair or three of exfoliants chosen")),
    };
    Ok(Mixes { of: named, total, held: taken, shape, wanted: ask.index })
}

impl Mixes {
    /// Figures of the mix nearest to these shares; `None` for shares of another number.
    #[must_use]
    pub fn figures(&self, shares: &[f64]) -> Option<MixFigures> {
        let figures = |index, cost, above: f64| MixFigures { index, cost, above: 100.0 * above };
        match (&self.shape, shares) {
            (MixShape::Pair(points), [a, ..]) => {
                let nearest = points
                    .iter()
                    .min_by(|p, q| (p.share - a).abs().total_cmp(&(q.share - a).abs()))?;
                Some(figures(nearest.index, nearest.cost, nearest.above))
            }
            (MixShape::Three { map, .. }, [a, b, _]) => {
                let off = |p: &crate::grit::map::MixPoint| {
                    let [x, y, _] = p.shares;
                    (x - a) * (x - a) + (y - b) * (y - b) + (x - a) * (y - b)
                };
                let nearest = map.points.iter().min_by(|p, q| off(p).total_cmp(&off(q)))?;
                Some(figures(nearest.index, nearest.cost, nearest.above))
            }
            _ => None,
        }
    }

    /// Shares of the first exfoliant of a pair that have the wanted index, between the points.
    #[must_use]
    pub fn crossings(&self) -> Vec<f64> {
        let MixShape::Pair(points) = &self.shape else { return Vec::new() };
        let crossing = |w: &[PairPoint]| match w {
            [a, b] if (a.index < self.wanted) != (b.index < self.wanted) => {
                let t = (self.wanted - a.index) / (b.index - a.index);
                Some(a.share + t * (b.share - a.share))
            }
            _ => None,
        };
        points.windows(2).filter_map(crossing).collect()
    }

    /// The loads of a mix, to two decimals; the largest gives way, so that the total is kept.
    #[must_use]
    pub fn loads(&self, shares: &[f64]) -> Vec<(MaterialId, Percent)> {
        let mut loads: Vec<(MaterialId, Percent)> = self
            .of
            .iter()
            .zip(shares)
            .map(|((id, _), share)| (id.clone(), bench_load(share * self.total)))
            .collect();
        let sum: Percent = loads.iter().map(|(_, p)| *p).sum();
        let off = bench_load(self.total) - sum;
        if let Some((_, p)) = loads.iter_mut().max_by_key(|(_, p)| *p) {
            *p += off;
        }
        loads
    }

    /// Lines along which the exfoliants cost this much per 100 g of product; none for a pair.
    #[must_use]
    pub fn cost_line(&self, cost: f64) -> Option<Contour> {
        match &self.shape {
            MixShape::Three { map, .. } => Some(map.contour(cost, |p| p.cost)),
            MixShape::Pair(_) => None,
        }
    }
}

/// A load as a bench weighs it: % w/w to two decimals, half away from zero, never below 0.
#[must_use]
pub fn bench_load(x: f64) -> Percent {
    let exact = Decimal::from_f64(x.max(0.0)).unwrap_or_default();
    let rounded =
        exact.round_dp_with_strategy(2, rust_decimal::RoundingStrategy::MidpointAwayFromZero);
    Percent(rounded.normalize())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing)]
    use super::*;

    fn pair() -> Mixes {
        let point = |share: f64| PairPoint { share, index: 60.0 * share, cost: None, above: 0.0 };
        Mixes {
            of: vec![
                (MaterialId::new("a"), "A".to_owned()),
                (MaterialId::new("b"), "B".to_owned()),
            ],
            total: 5.0,
            held: 0.0,
            shape: MixShape::Pair((0..=10).map(|i| point(f64::from(i) / 10.0)).collect()),
            wanted: 33.0,
        }
    }

    #[test]
    fn a_pair_crosses_the_wanted_index_once() {
        let crossings = pair().crossings();
        assert_eq!(crossings.len(), 1);
        assert!((crossings[0] - 0.55).abs() < 1e-12);
        assert!((pair().figures(&[0.52, 0.48]).unwrap().index - 30.0).abs() < 1e-9);
        assert_eq!(pair().figures(&[]), None);
    }

    #[test]
    fn loads_add_up_to_the_total() {
        for share in [0.0, 1.0 / 3.0, 0.5, 2.0 / 3.0, 1.0] {
            let loads = pair().loads(&[share, 1.0 - share]);
            let sum: Percent = loads.iter().map(|(_, p)| *p).sum();
            assert_eq!(sum, Percent(Decimal::from(5)));
            assert!(loads.iter().all(|(_, p)| !p.is_negative()));
        }
        assert_eq!(bench_load(f64::NAN), Percent::ZERO);
        assert_eq!(bench_load(-1.0), Percent::ZERO);
    }
}

//! The melt curve with its layers: how much of each component is solid at each temperature.

use super::{Fat, FatComponent, ZERO_CELSIUS};

/// A melt curve with its layers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stack {
    /// Temperature, °C, rising, and solid mass share of the fat phase, 0..=1.
    pub points: Vec<(f64, f64)>,
    /// For each component in the order given, its solid mass over that of the whole fat phase, at
    /// each of the points; all 0 for a component that stays liquid or is left out.
    pub layers: Vec<Vec<f64>>,
}

impl Stack {
    /// Solid share at a temperature, read between the points; the end's value beyond them, NaN
    /// without points.
    #[must_use]
    pub fn solid_at(&self, t_c: f64) -> f64 {
        read(self.points.iter().copied(), t_c)
    }

    /// The same of one layer.
    #[must_use]
    pub fn layer_at(&self, component: usize, t_c: f64) -> f64 {
        let layer = self.layers.get(component).map_or(&[][..], Vec::as_slice);
        read(self.points.iter().map(|p| p.0).zip(layer.iter().copied()), t_c)
    }
}

/// Straight line between the points around `x`; the ends' values beyond them.
pub(crate) fn read(points: impl Iterator<Item = (f64, f64)>, x: f64) -> f64 {
    let mut before: Option<(f64, f64)> = None;
    for (px, py) in points {
        match before {
            Some((bx, by)) if x <= px => {
                return if x <= bx || px <= bx {
                    by
                } else {
                    by + (py - by) * (x - bx) / (px - bx)
                };
            }
            _ if x <= px => return py,
            _ => before = Some((px, py)),
        }
    }
    before.map_or(f64::NAN, |(_, y)| y)
}

/// Melt curve with layers: `n` points, evenly spaced from `from_c` to `to_c` °C, both included.
#[must_use]
pub fn stack(components: &[FatComponent], from_c: f64, to_c: f64, n: usize) -> Stack {
    let mut fat = Fat::new(components);
    let step = (to_c - from_c) / (n.max(2) - 1) as f64;
    let mut out = Stack {
        points: Vec::with_capacity(n),
        layers: vec![Vec::with_capacity(n); components.len()],
    };
    let mut solid = vec![0.0; components.len()];
    for i in 0..n {
        let t_c = if i > 0 && i + 1 == n { to_c } else { from_c + step * i as f64 };
        let total = fat.solids(t_c, &mut solid);
        out.points.push((t_c, total));
        for (layer, share) in out.layers.iter_mut().zip(&solid) {
            layer.push(*share);
        }
    }
    out
}

/// Solid mass of each component at `t_c` °C over that of the whole fat phase, 0..=1, written to
/// `out` in the order given; returns their sum. All 0 without fat, NaN when `t_c` is.
pub fn solid_shares(components: &[FatComponent], t_c: f64, out: &mut Vec<f64>) -> f64 {
    out.clear();
    out.resize(components.len(), 0.0);
    Fat::new(components).solids(t_c, out)
}

impl Fat {
    /// Solid mass of each component over the whole, in `out`; the sum is returned.
    fn solids(&mut self, t_c: f64, out: &mut [f64]) -> f64 {
        out.fill(if t_c.is_nan() { f64::NAN } else { 0.0 });
        if t_c.is_nan() {
            return f64::NAN;
        }
        if self.pure.is_empty() && self.groups.is_empty() {
            return 0.0;
        }
        let liquid = self.solve(t_c + ZERO_CELSIUS);
        let mass = self.mass;
        let mut sum = 0.0;
        let mut put = |index: usize, solid: f64| {
            let share = (solid / mass).clamp(0.0, 1.0);
            sum += share;
            if let Some(place) = out.get_mut(index) {
                *place = share;
            }
        };
        if liquid <= 0.0 {
            let pure = self.pure.iter();
            pure.for_each(|p| put(p.index, p.moles * p.molar_mass));
            let grouped = self.groups.iter().flat_map(|g| &g.parts);
            grouped.for_each(|p| put(p.index, p.moles * p.molar_mass));
        } else {
            for p in &self.pure {
                put(p.index, (p.moles - p.dissolved(liquid)) * p.molar_mass);
            }
            for group in &self.groups {
                for p in &group.parts {
                    put(p.index, group.crystallised(p, liquid) * p.molar_mass);
                }
            }
        }
        sum.min(1.0)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::float_cmp)]
    use super::super::tests::oil;
    use super::super::{Crystal, solid_fraction};
    use super::*;

    fn acids() -> Vec<FatComponent> {
        let fat = |grams: f64, molar_mass: f64, tm_c: f64, dh: f64, group| FatComponent {
            moles: grams / molar_mass,
            molar_mass,
            crystal: Some(Crystal { tm_k: tm_c + 273.15, dh_j_mol: dh, group }),
        };
        vec![
            fat(20.0, 256.42, 62.49, 53_700.0, None),
            fat(20.0, 284.48, 69.30, 61_200.0, None),
            fat(6.0, 242.44, 49.30, 33_600.0, Some(1)),
            fat(6.0, 270.49, 58.00, 45_000.0, Some(1)),
            oil(48.0),
        ]
    }

    #[test]
    fn layers_add_up_to_the_curve() {
        let fat = acids();
        let stack = stack(&fat, 0.0, 90.0, 181);
        assert_eq!(stack.points.len(), 181);
        for (i, (t, solid)) in stack.points.iter().enumerate() {
            let sum: f64 = stack.layers.iter().map(|l| l[i]).sum();
            assert!((sum - solid).abs() < 1e-12);
            assert!((solid - solid_fraction(&fat, *t)).abs() < 1e-12, "{t}");
        }
        assert!(stack.layers[4].iter().all(|s| *s == 0.0), "oil stays liquid");
        assert_eq!(stack.solid_at(20.0), stack.points[40].1);
        assert!(
            (stack.solid_at(20.25) - (stack.points[40].1 + stack.points[41].1) / 2.0).abs() < 1e-12
        );
        assert!((stack.layer_at(0, 20.0) - stack.layers[0][40]).abs() < 1e-15);
        assert!(Stack::default().solid_at(20.0).is_nan());
    }

    #[test]
    fn nothing_in_nothing_out() {
        assert_eq!(stack(&[], 0.0, 90.0, 3).points, vec![(0.0, 0.0), (45.0, 0.0), (90.0, 0.0)]);
        let mut out = Vec::new();
        assert_eq!(solid_shares(&acids()[4..], 10.0, &mut out), 0.0);
        assert_eq!(out, vec![0.0]);
        assert!(solid_shares(&acids(), f64::NAN, &mut out).is_nan());
        // All frozen: every layer is the component's whole mass.
        let total = solid_shares(&acids()[..2], 10.0, &mut out);
        assert!((total - 1.0).abs() < 1e-12 && (out[0] - 0.5).abs() < 1e-9);
    }
}

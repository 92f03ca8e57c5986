//! Cooling of a poured bar: enthalpy over temperature, a lumped estimate and a slab solved in
//! depth, with the analytic solutions that they are checked against.
//!
//! Not included: supercooling, shrinkage from the wall, latent heat that is given off late as
//! crystals change form, air that warms in a closed box.

use super::melt::stack::read;

/// Enthalpy of a product over temperature, rising.
#[derive(Clone, Debug, PartialEq)]
pub struct Enthalpy {
    /// (temperature in °C, enthalpy in J/kg), rising in both.
    points: Vec<(f64, f64)>,
    /// Heat capacity beyond the ends, J/(kg K).
    cp: f64,
}

impl Enthalpy {
    /// From the solid share of the product's fat at each temperature: what is melted has taken up
    /// `latent_j_kg` per kg of fat, and everything `cp_j_kg_k` per degree.
    ///
    /// `solid` holds (°C, solid share of the fat from 0 to 1), temperatures rising; `fat` is the
    /// fat's share of the product, 0 to 1. `None` for fewer than two points, temperatures that do
    /// not rise, figures that are not finite, or a heat capacity that is not positive.
    #[must_use]
    pub fn of_fat(
        solid: &[(f64, f64)],
        fat: f64,
        latent_j_kg: f64,
        cp_j_kg_k: f64,
    ) -> Option<Self> {
        let sound = |x: f64| x.is_finite() && x >= 0.0;
        if !(cp_j_kg_k > 0.0 && cp_j_kg_k.is_finite() && sound(latent_j_kg) && sound(fat)) {
            return None;
        }
        let (t0, s0) = *solid.first()?;
        let mut most = f64::NEG_INFINITY;
        let points: Vec<(f64, f64)> = solid
            .iter()
            .map(|&(t, s)| {
                // A curve that wiggles by rounding must not make enthalpy fall.
                most = most.max(cp_j_kg_k * (t - t0) + latent_j_kg * fat * (s0 - s));
                (t, most)
            })
            .collect();
        let rises = points.windows(2).all(|w| matches!(w, [a, b] if a.0 < b.0 && a.1 <= b.1));
        let finite = points.iter().all(|p| p.0.is_finite() && p.1.is_finite());
        (points.len() >= 2 && rises && finite).then_some(Self { points, cp: cp_j_kg_k })
    }

    /// From the heat that is bound in what has melted at each temperature: (°C, J/kg of product),
    /// temperatures rising, on any zero; what falls by rounding counts as level. `None` as for
    /// [`Enthalpy::of_fat`].
    #[must_use]
    pub fn of_heat(bound: &[(f64, f64)], cp_j_kg_k: f64) -> Option<Self> {
        let (t0, h0) = *bound.first()?;
        let most = bound.iter().fold(0.0_f64, |m, p| m.max(p.1 - h0));
        // The share that is still solid, of what melts over the whole curve.
        let share = |h: f64| if most > 0.0 { 1.0 - (h - h0) / most } else { 0.0 };
        let solid: Vec<(f64, f64)> = bound.iter().map(|p| (p.0, share(p.1))).collect();
        t0.is_finite().then(|| Self::of_fat(&solid, 1.0, most, cp_j_kg_k))?
    }

    /// Enthalpy at a temperature, J/kg; beyond the ends, where nothing melts, by the heat capacity.
    #[must_use]
    pub fn at(&self, t_c: f64) -> f64 {
        let beyond = match (self.points.first(), self.points.last()) {
            (Some(first), _) if t_c < first.0 => t_c - first.0,
            (_, Some(last)) if t_c > last.0 => t_c - last.0,
            _ => 0.0,
        };
        read(self.points.iter().copied(), t_c) + self.cp * beyond
    }

    /// Temperature of an enthalpy, °C.
    fn temperature(&self, h: f64, hint: &mut usize) -> f64 {
        let last = self.points.len().saturating_sub(2);
        let mut i = (*hint).min(last);
        let at = |i: usize| self.points.get(i).copied().unwrap_or((0.0, 0.0));
        // Neighbouring steps are near each other, so a walk beats a search.
        while i > 0 && h < at(i).1 {
            i -= 1;
        }
        while i < last && h > at(i + 1).1 {
            i += 1;
        }
        *hint = i;
        let ((t1, h1), (t2, h2)) = (at(i), at(i + 1));
        if h > h2 && i == last {
            return t2 + (h - h2) / self.cp;
        }
        if h < h1 && i == 0 {
            return t1 + (h - h1) / self.cp;
        }
        if h2 > h1 { t1 + (t2 - t1) * (h - h1) / (h2 - h1) } else { t2 }
    }
}

/// What cools and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cooling {
    /// Density of the product, kg/m3.
    pub density: f64,
    /// Volume over cooled surface, m.
    pub volume_over_area: f64,
    /// Way from the middle to the cooled face, m: half the thickness where both faces cool, the
    /// depth where one does.
    pub depth: f64,
    /// Heat transfer to the air, W/(m2 K); 5 to 10 in still air (from memory), with the wall of
    /// the mould in it.
    pub h: f64,
    /// Conductivity of the product, W/(m K); about 0.25 for a bar (assumption).
    pub k: f64,
    /// Temperature of the air, °C.
    pub air_c: f64,
}

impl Cooling {
    /// Whether every figure can be calculated with.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        [self.density, self.volume_over_area, self.depth, self.h, self.k]
            .iter()
            .all(|x| x.is_finite() && *x > 0.0)
            && self.air_c.is_finite()
    }

    /// Whether there is a way down from one temperature to the other, above the air's.
    fn can_cool(&self, from_c: f64, to_c: f64) -> bool {
        self.is_sound() && to_c > self.air_c && to_c < from_c && from_c.is_finite()
    }

    /// Biot number `h L / k`: how much of the resistance lies inside.
    #[must_use]
    pub fn biot(&self) -> f64 {
        self.h * self.depth / self.k
    }

    /// Mean temperature over time, as (seconds, °C) at each step of the enthalpy from `from_c`
    /// down to `to_c`: `t = rho (V/A) (1/h + L/(3k)) ∫ dH / (T - T_air)`, exact on each straight
    /// piece of the enthalpy.
    ///
    /// The middle lags the mean: for a slab of 30 mm that cools on both faces this is 7 to 11 %
    /// early, on one face alone 14 %. `None` when a figure
    /// is not sound, or the end is not above the air and below the start.
    #[must_use]
    pub fn lumped(&self, enthalpy: &Enthalpy, from_c: f64, to_c: f64) -> Option<Vec<(f64, f64)>> {
        if !self.can_cool(from_c, to_c) {
            return None;
        }
        let resistance = 1.0 / self.h + self.depth / (3.0 * self.k);
        let scale = self.density * self.volume_over_area * resistance;
        let mut steps: Vec<(f64, f64)> = enthalpy
            .points
            .iter()
            .copied()
            .filter(|p| p.0 > to_c && p.0 < from_c)
            .chain([(to_c, enthalpy.at(to_c)), (from_c, enthalpy.at(from_c))])
            .collect();
        steps.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut seconds = 0.0;
        let mut out = vec![(0.0, from_c)];
        for pair in steps.windows(2) {
            let [(t1, h1), (t2, h2)] = pair else { continue };
            if t1 > t2 {
                let slope = (h1 - h2) / (t1 - t2);
                seconds += scale * slope * libm::log((t1 - self.air_c) / (t2 - self.air_c));
            }
            out.push((seconds, *t2));
        }
        Some(out)
    }

    /// Temperature of middle and face of a slab over time, as (seconds, middle, face) about 200
    /// times until the middle is at `to_c`: an explicit enthalpy scheme on `nodes` layers from the
    /// insulated middle to the cooled face.
    ///
    /// `None` as for [`Cooling::lumped`], or when the slab does not get there within a week.
    #[must_use]
    pub fn slab(
        &self,
        enthalpy: &Enthalpy,
        from_c: f64,
        to_c: f64,
        nodes: usize,
    ) -> Option<Vec<(f64, f64, f64)>> {
        const WEEK: f64 = 7.0 * 86_400.0;
        if !self.can_cool(from_c, to_c) {
            return None;
        }
        let n = nodes.clamp(4, 200);
        let dx = self.depth / n as f64;
        // The steepest rise of temperature with enthalpy bounds the step.
        let cp = enthalpy
            .points
            .windows(2)
            .filter_map(|w| match w {
                [a, b] => Some((b.1 - a.1) / (b.0 - a.0)),
                _ => None,
            })
            .filter(|c| *c > 0.0)
            .fold(f64::INFINITY, f64::min);
        let dt = 0.45 * self.density * cp * dx * dx / self.k;
        if !(dt > 0.0 && dt.is_finite()) {
            return None;
        }
        let start = enthalpy.at(from_c);
        let (mut h, mut t) = (vec![start; n], vec![from_c; n]);
        let mut hints = vec![enthalpy.points.len() / 2; n];
        let mut out = vec![(0.0, from_c, from_c)];
        let (mut seconds, mut next) = (0.0, 0.0);
        // From the last node's centre to the air: half a layer, then the film.
        let outside = 1.0 / (dx / (2.0 * self.k) + 1.0 / self.h);
        let inside = self.k / dx;
        let per = dt / (self.density * dx);
        while seconds < WEEK {
            let mut flow = 0.0;
            for i in 0..n {
                let here = t.get(i).copied().unwrap_or(self.air_c);
                let on = match t.get(i + 1) {
                    Some(after) => inside * (here - after),
                    None => outside * (here - self.air_c),
                };
                if let Some(h) = h.get_mut(i) {
                    *h += per * (flow - on);
                }
                flow = on;
            }
            for ((h, t), hint) in h.iter().zip(&mut t).zip(&mut hints) {
                *t = enthalpy.temperature(*h, hint);
            }
            seconds += dt;
            let (middle, last) = (t.first().copied()?, t.last().copied()?);
            if middle <= to_c || seconds >= next {
                let face = self.air_c + (last - self.air_c) * outside / self.h;
                out.push((seconds, middle, face));
                next = seconds * 1.03 + dt;
            }
            if middle <= to_c {
                return Some(out);
            }
        }
        None
    }
}

/// First root of `zeta tan zeta = Bi` and the constant `4 sin zeta / (2 zeta + sin 2 zeta)` of the
/// one-term solution for a plane wall (text books of heat transfer). `None` for a Biot number that
/// is not finite and positive.
#[must_use]
pub fn plane_wall(biot: f64) -> Option<(f64, f64)> {
    if !(biot.is_finite() && biot > 0.0) {
        return None;
    }
    let (mut low, mut high) = (0.0, core::f64::consts::FRAC_PI_2);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if middle * libm::tan(middle) < biot { low = middle } else { high = middle }
    }
    let zeta = 0.5 * (low + high);
    Some((zeta, 4.0 * libm::sin(zeta) / (2.0 * zeta + libm::sin(2.0 * zeta))))
}

/// Root of `lambda exp(lambda^2) erf(lambda) = St / sqrt(pi)`: Neumann's solution for a liquid at
/// its melting point that freezes from a cold wall. `None` for a Stefan number that is not finite
/// and positive.
#[must_use]
pub fn neumann(stefan: f64) -> Option<f64> {
    if !(stefan.is_finite() && stefan > 0.0) {
        return None;
    }
    let wanted = stefan / libm::sqrt(core::f64::consts::PI);
    let (mut low, mut high) = (0.0, 6.0);
    for _ in 0..80 {
        let x = 0.5 * (low + high);
        if x * libm::exp(x * x) * libm::erf(x) < wanted { low = x } else { high = x }
    }
    Some(0.5 * (low + high))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing)]
    use super::*;
    use proptest::prelude::*;

    #[track_caller]
    fn near(value: f64, expected: f64, share: f64) {
        assert!((value / expected - 1.0).abs() <= share, "{value}, expected {expected}");
    }

    fn bar(h: f64) -> Cooling {
        Cooling { density: 1150.0, volume_over_area: 0.015, depth: 0.015, h, k: 0.25, air_c: 21.0 }
    }

    fn plain() -> Enthalpy {
        Enthalpy::of_fat(&[(0.0, 0.0), (100.0, 0.0)], 0.0, 0.0, 1700.0).unwrap()
    }

    // Tables of the one-term solution in text books of heat transfer (from memory).
    #[test]
    fn one_term_roots() {
        for (biot, zeta, c) in [
            (0.1, 0.3111, 1.0161),
            (0.45, 0.6244, 1.0642),
            (1.0, 0.8603, 1.1191),
            (10.0, 1.4289, 1.2620),
        ] {
            let (z, c1) = plane_wall(biot).unwrap();
            assert!((z - zeta).abs() < 1e-4 && (c1 - c).abs() < 1e-4, "{biot}: {z} {c1}");
        }
        assert_eq!(plane_wall(0.0), None);
        assert_eq!(plane_wall(f64::NAN), None);
    }

    // Computed apart from this code from the same equation.
    #[test]
    fn neumann_root() {
        near(neumann(0.2).unwrap(), 0.30642, 1e-4);
        // 15 mm of a fat (k 0.3, 900 kg/m3, 2000 J/(kg K), 200 kJ/kg) freeze in 3594 s.
        let lambda = neumann(0.2).unwrap();
        let x: f64 = 0.015 / (2.0 * lambda);
        near(x * x / (0.3 / (900.0 * 2000.0)), 3594.0, 1e-3);
        assert_eq!(neumann(-1.0), None);
    }

    // A slab without latent heat against the one-term solution: 30 mm, 75 to 32 °C in air of 21.
    #[test]
    fn a_slab_agrees_with_the_one_term_solution() {
        let cooling = bar(7.5);
        let curve = cooling.slab(&plain(), 75.0, 32.0, 30).unwrap();
        let seconds = curve.last().unwrap().0;
        let (zeta, c1) = plane_wall(cooling.biot()).unwrap();
        let diffusivity = 0.25 / (1150.0 * 1700.0);
        let theta: f64 = (32.0 - 21.0) / (75.0 - 21.0);
        let fourier = (c1 / theta).ln() / (zeta * zeta);
        let exact = fourier * 0.015 * 0.015 / diffusivity;
        near(exact / 3600.0, 2.0723, 2e-4);
        near(seconds, exact, 3e-3);
    }

    #[test]
    fn the_lumped_estimate_is_the_formula() {
        let cooling = bar(7.5);
        let end = |c: &Cooling| c.lumped(&plain(), 75.0, 32.0).unwrap().last().unwrap().0 / 3600.0;
        near(end(&cooling), 1.9873, 1e-3);
        // Without resistance inside: the lumped-capacity time.
        near(end(&Cooling { k: 1e9, ..cooling }), 1.7281, 1e-3);
    }

    #[test]
    fn latent_heat_slows_it_and_enters_the_energy() {
        let solid: Vec<(f64, f64)> =
            (0..=90).map(|t| (f64::from(t), (1.0 - f64::from(t) / 60.0).max(0.0))).collect();
        let fat = Enthalpy::of_fat(&solid, 0.4, 190e3, 1700.0).unwrap();
        let slow = bar(7.5).lumped(&fat, 75.0, 32.0).unwrap();
        let quick = bar(7.5).lumped(&plain(), 75.0, 32.0).unwrap();
        assert!(slow.last().unwrap().0 > 1.2 * quick.last().unwrap().0);
        assert!(slow.windows(2).all(|w| w[0].0 <= w[1].0 && w[0].1 > w[1].1));
        // 43 K of 1.7 kJ/(kg K), and what of 40 % fat is solid at 32 °C.
        let solid_at_32 = 1.0 - 32.0 / 60.0;
        near(fat.at(75.0) - fat.at(32.0), 43.0 * 1700.0 + 0.4 * 190e3 * solid_at_32, 1e-9);
        // Beyond the ends of the curve it is warmth alone.
        near(fat.at(120.0) - fat.at(90.0), 30.0 * 1700.0, 1e-9);
        near(fat.at(0.0) - fat.at(-10.0), 10.0 * 1700.0, 1e-9);
        let slab = bar(7.5).slab(&fat, 75.0, 32.0, 30).unwrap();
        assert!(slab.last().unwrap().0 > slow.last().unwrap().0, "the middle lags the mean");
        assert!(slab.iter().skip(1).all(|(_, middle, face)| middle >= face));
    }

    #[test]
    fn odd_input_has_no_answer() {
        let c = bar(7.5);
        assert_eq!(c.lumped(&plain(), 75.0, 20.0), None);
        assert_eq!(c.lumped(&plain(), 30.0, 32.0), None);
        assert_eq!(c.slab(&plain(), f64::NAN, 32.0, 30), None);
        assert_eq!(Cooling { depth: 0.0, ..c }.lumped(&plain(), 75.0, 32.0), None);
        assert_eq!(Cooling { h: f64::NAN, ..c }.slab(&plain(), 75.0, 32.0, 30), None);
        assert_eq!(Enthalpy::of_fat(&[], 0.4, 190e3, 1700.0), None);
        assert_eq!(Enthalpy::of_fat(&[(10.0, 0.5), (10.0, 0.4)], 0.4, 190e3, 1700.0), None);
        assert_eq!(Enthalpy::of_fat(&[(0.0, 1.0), (50.0, 0.0)], 0.4, 190e3, 0.0), None);
        // So thick that a week is not enough.
        let wall = Cooling { depth: 2.0, volume_over_area: 2.0, ..c };
        assert_eq!(wall.slab(&plain(), 75.0, 32.0, 8), None);
    }

    proptest! {
        #[test]
        fn cooler_air_and_more_wind_are_never_slower(
            air in -5.0f64..25.0,
            colder in 0.1f64..10.0,
            h in 3.0f64..20.0,
            more in 0.1f64..10.0,
        ) {
            let c = Cooling { air_c: air, h, ..bar(7.5) };
            let end = |c: &Cooling| c.lumped(&plain(), 75.0, 32.0).unwrap().last().unwrap().0;
            let (cold, windy) =
                (Cooling { air_c: air - colder, ..c }, Cooling { h: h + more, ..c });
            prop_assert!(end(&cold) < end(&c) && end(&windy) < end(&c));
        }
    }
}

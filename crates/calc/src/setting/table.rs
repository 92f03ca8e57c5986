//! A table of solid fat, as a supplier prints it for a butter or a wax, and the two crystals and
//! the oil that reproduce it.
//!
//! A natural fat melts over a range. Two made-up components that crystallise, and oil, are fitted
//! by least squares so that the fat alone follows its table; their melting points are fit
//! parameters, not those of any substance.

use core::fmt;

use super::melt::{Crystal, FatComponent, solid_fraction};

/// Rows of a table, at most.
pub const ROWS_MAX: usize = 40;
/// Temperatures that a row may have, °C.
pub const RANGE_C: (f64, f64) = (-40.0, 120.0);
/// A table has to come down to this, % solid, to tell where the fat is melted (assumption).
pub const STOPS_AT: f64 = 10.0;
/// Molar mass of a butter's made-up components, g/mol: a triglyceride of C18 (model assumption).
pub const BUTTER_G_MOL: f64 = 885.0;
/// Heat of fusion of a butter's made-up components, kJ/mol (model assumption).
pub const BUTTER_KJ_MOL: f64 = 140.0;

/// Solid fat at temperatures, as typed.
#[derive(Clone, Debug, PartialEq)]
pub struct SolidTable {
    /// Temperature in °C, rising, and solid fat in % of the mass, falling or level.
    pub rows: Vec<(f64, f64)>,
}

/// What is wrong with a table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TableProblem {
    /// Fewer than two rows.
    TooFew,
    /// More than [`ROWS_MAX`].
    TooMany,
    /// A temperature outside [`RANGE_C`], at this row from 1.
    Temperature(usize),
    /// A percentage outside 0 to 100, at this row.
    Percent(usize),
    /// The temperature does not rise, at this row.
    Order(usize),
    /// The solids rise with temperature, at this row.
    Rises(usize),
    /// Nothing is solid anywhere, so there is nothing to fit.
    NoSolid,
}

impl fmt::Display for TableProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew => f.write_str("a table needs at least two rows"),
            Self::TooMany => write!(f, "a table takes at most {ROWS_MAX} rows"),
            Self::Temperature(row) => {
                let (low, high) = RANGE_C;
                write!(f, "row {row}: expected a temperature from {low} to {high} °C")
            }
            Self::Percent(row) => write!(f, "row {row}: solid fat is from 0 to 100 %"),
            Self::Order(row) => write!(f, "row {row}: the temperature has to rise from row to row"),
            Self::Rises(row) => {
                write!(f, "row {row}: more is solid than at a lower temperature; check the row")
            }
            Self::NoSolid => f.write_str("nothing is solid in any row; state a cooler temperature"),
        }
    }
}

/// The fit of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Mass share, 0..=1, and melting point in °C of each made-up crystal.
    pub crystals: Vec<(f64, f64)>,
    /// Mass share of oil.
    pub oil: f64,
    /// Solid fat of the fit less that of the table at each row, % of the mass.
    pub misses: Vec<f64>,
}

impl Fit {
    /// Largest miss, % of the mass.
    #[must_use]
    pub fn worst(&self) -> f64 {
        self.misses.iter().fold(0.0, |most, m| most.max(m.abs()))
    }
}

impl SolidTable {
    /// What is wrong with it, if anything.
    ///
    /// # Errors
    /// The first [`TableProblem`] from the top.
    pub fn check(&self) -> Result<(), TableProblem> {
        if self.rows.len() < 2 {
            return Err(TableProblem::TooFew);
        }
        if self.rows.len() > ROWS_MAX {
            return Err(TableProblem::TooMany);
        }
        let mut before: Option<(f64, f64)> = None;
        for (i, &(t, percent)) in self.rows.iter().enumerate() {
            if !(RANGE_C.0..=RANGE_C.1).contains(&t) {
                return Err(TableProblem::Temperature(i + 1));
            }
            if !(0.0..=100.0).contains(&percent) {
                return Err(TableProblem::Percent(i + 1));
            }
            if let Some((bt, bp)) = before {
                if t <= bt {
                    return Err(TableProblem::Order(i + 1));
                }
                if percent > bp {
                    return Err(TableProblem::Rises(i + 1));
                }
            }
            before = Some((t, percent));
        }
        if self.rows.iter().all(|r| r.1 <= 0.0) {
            return Err(TableProblem::NoSolid);
        }
        Ok(())
    }

    /// The last row, °C and %, where so much is still solid that its melting is not in the table.
    #[must_use]
    pub fn stops_early(&self) -> Option<(f64, f64)> {
        self.rows.last().copied().filter(|(_, percent)| *percent > STOPS_AT)
    }

    /// Fits one crystal to two or three rows, two crystals to more, with oil for the rest.
    ///
    /// `molar_mass` in g/mol and `dh_kj` in kJ/mol are those of the made-up crystals; both must be
    /// finite and positive.
    ///
    /// # Errors
    /// As [`SolidTable::check`].
    pub fn fit(&self, molar_mass: f64, dh_kj: f64) -> Result<Fit, TableProblem> {
        self.check()?;
        let make = Make { molar_mass, dh_j_mol: dh_kj * 1_000.0 };
        let most = self.rows.iter().fold(0.0_f64, |m, r| m.max(r.1)) / 100.0;
        // Where the table has fallen to a share of its highest.
        let at = |share: f64| {
            let wanted = most * 100.0 * share;
            let row = self.rows.iter().find(|r| r.1 <= wanted).or(self.rows.last());
            row.map_or(30.0, |r| r.0)
        };
        let starts: Vec<Vec<f64>> = if self.rows.len() < 4 {
            vec![vec![most, at(0.3)], vec![most, at(0.05) + 4.0]]
        } else {
            let mut starts = Vec::new();
            for (a, b) in [(0.9, 0.1), (0.7, 0.2), (0.5, 0.02), (0.95, 0.5)] {
                for share in [0.3, 0.5, 0.7] {
                    starts.push(vec![most * share, at(a) + 3.0, most * (1.0 - share), at(b) + 5.0]);
                }
            }
            starts
        };
        let cost = |p: &[f64]| self.cost(&make, p);
        let best = starts
            .into_iter()
            .map(|start| {
                let once = simplex(&cost, &start, 3.0);
                // Once more from where it came to rest: a simplex can fold up early.
                simplex(&cost, &once.1, 0.5)
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map_or_else(Vec::new, |b| b.1);
        let mut crystals: Vec<(f64, f64)> = best
            .chunks_exact(2)
            .filter_map(|c| match c {
                [share, tm] => Some((share.clamp(0.0, 1.0), *tm)),
                _ => None,
            })
            .filter(|c| c.0 > 1e-4)
            .collect();
        crystals.sort_by(|a, b| a.1.total_cmp(&b.1));
        let solid: f64 = crystals.iter().map(|c| c.0).sum();
        if solid > 1.0 {
            crystals.iter_mut().for_each(|c| c.0 /= solid);
        }
        let oil = (1.0 - solid).max(0.0);
        let fat = make.fat(&crystals);
        let misses = self.rows.iter().map(|&(t, p)| 100.0 * solid_fraction(&fat, t) - p).collect();
        Ok(Fit { crystals, oil, misses })
    }

    /// Sum of squared misses, with a wall around what makes no sense.
    fn cost(&self, make: &Make, p: &[f64]) -> f64 {
        let mut wall = 0.0;
        let mut over = |x: f64| {
            if x > 0.0 {
                wall += 1.0 + x;
            }
        };
        let mut sum = 0.0;
        for pair in p.chunks_exact(2) {
            if let [share, tm] = pair {
                over(-share);
                over(tm - 150.0);
                over(-60.0 - tm);
                sum += share;
            }
        }
        over(sum - 1.0);
        if wall > 0.0 || !sum.is_finite() {
            return 1e6 * (1.0 + wall);
        }
        let crystals: Vec<(f64, f64)> = p
            .chunks_exact(2)
            .filter_map(|c| match c {
                [share, tm] => Some((*share, *tm)),
                _ => None,
            })
            .collect();
        let fat = make.fat(&crystals);
        self.rows.iter().map(|&(t, s)| (100.0 * solid_fraction(&fat, t) - s).powi(2)).sum()
    }
}

/// What the made-up components are like.
struct Make {
    molar_mass: f64,
    dh_j_mol: f64,
}

impl Make {
    fn fat(&self, crystals: &[(f64, f64)]) -> Vec<FatComponent> {
        let part = |share: f64, crystal| FatComponent {
            moles: share / self.molar_mass,
            molar_mass: self.molar_mass,
            crystal,
        };
        let solid: f64 = crystals.iter().map(|c| c.0).sum();
        let made = |&(share, tm): &(f64, f64)| {
            let tm_k = tm + 273.15;
            part(share, Some(Crystal { tm_k, dh_j_mol: self.dh_j_mol, group: None }))
        };
        crystals.iter().map(made).chain([part(1.0 - solid, None)]).collect()
    }
}

/// Downhill simplex of Nelder and Mead (Computer Journal 7 (1965) 308), with its usual
/// coefficients: the cost and place of the lowest corner. Shares first move by a fiftieth of
/// `step`.
fn simplex(cost: &impl Fn(&[f64]) -> f64, start: &[f64], step: f64) -> (f64, Vec<f64>) {
    let n = start.len();
    let mut corners: Vec<(f64, Vec<f64>)> = (0..=n)
        .map(|i| {
            let mut p = start.to_vec();
            if let Some(x) = i.checked_sub(1).and_then(|k| p.get_mut(k)) {
                *x += if i % 2 == 1 { 0.02 * step } else { step };
            }
            (cost(&p), p)
        })
        .collect();
    for _ in 0..400 {
        corners.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (Some(best), Some(worst)) = (corners.first().cloned(), corners.last().cloned()) else {
            break;
        };
        if worst.0 - best.0 <= 1e-10 * (1.0 + best.0) {
            break;
        }
        let middle: Vec<f64> = (0..n)
            .map(|k| {
                let sum: f64 = corners.iter().take(n).filter_map(|c| c.1.get(k)).sum();
                sum / n as f64
            })
            .collect();
        let toward = |by: f64| {
            let p: Vec<f64> = middle.iter().zip(&worst.1).map(|(m, w)| m + by * (w - m)).collect();
            (cost(&p), p)
        };
        let second = corners.get(n.saturating_sub(1)).map_or(best.0, |c| c.0);
        let mirrored = toward(-1.0);
        let next = if mirrored.0 < best.0 {
            let far = toward(-2.0);
            Some(if far.0 < mirrored.0 { far } else { mirrored })
        } else if mirrored.0 < second {
            Some(mirrored)
        } else {
            let near = toward(if mirrored.0 < worst.0 { -0.5 } else { 0.5 });
            (near.0 < worst.0.min(mirrored.0)).then_some(near)
        };
        match next {
            Some(better) => {
                if let Some(last) = corners.last_mut() {
                    *last = better;
                }
            }
            None => {
                for corner in corners.iter_mut().skip(1) {
                    for (x, b) in corner.1.iter_mut().zip(&best.1) {
                        *x = b + 0.5 * (*x - b);
                    }
                    corner.0 = cost(&corner.1);
                }
            }
        }
    }
    corners.sort_by(|a, b| a.0.total_cmp(&b.0));
    corners.into_iter().next().unwrap_or((f64::INFINITY, start.to_vec()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn table(rows: &[(f64, f64)]) -> SolidTable {
        SolidTable { rows: rows.to_vec() }
    }

    // Solid-fat figures from memory, typical of NMR values of stabilised samples; a fit made apart
    // from this code reaches them within 1 %.
    #[test]
    fn butters_follow_their_tables() {
        let cocoa = [(20.0, 76.0), (25.0, 70.0), (30.0, 45.0), (32.5, 15.0), (35.0, 1.0)];
        let shea = [(20.0, 40.0), (25.0, 30.0), (30.0, 20.0), (35.0, 8.0)];
        for (rows, molar_mass, worst) in [(&cocoa[..], 862.0, 1.0), (&shea[..], 885.0, 0.1)] {
            let fit = table(rows).fit(molar_mass, 140.0).unwrap();
            assert!(fit.worst() < worst, "{fit:?}");
            let sum: f64 = fit.crystals.iter().map(|c| c.0).sum();
            assert!((sum + fit.oil - 1.0).abs() < 1e-9);
        }
        let coconut = [(10.0, 77.0), (15.0, 57.0), (20.0, 35.0), (25.0, 2.0)];
        let fit = table(&coconut).fit(660.0, 115.0).unwrap();
        assert!(fit.worst() < 1.0, "{fit:?}");
        // The same fit made apart: 0.338 at 19.13 °C and 0.492 at 29.77 °C.
        assert!((fit.crystals[1].1 - 29.77).abs() < 1.0, "{fit:?}");
    }

    #[test]
    fn two_rows_make_one_crystal() {
        let fit = table(&[(20.0, 60.0), (30.0, 20.0)]).fit(885.0, 140.0).unwrap();
        assert_eq!(fit.crystals.len(), 1);
        assert!(fit.worst() < 0.5, "{fit:?}");
    }

    #[test]
    fn what_is_wrong_is_said_with_its_row() {
        use TableProblem as P;
        let many: Vec<(f64, f64)> = (0..50).map(|i| (f64::from(i), 50.0)).collect();
        for (rows, problem) in [
            (vec![], P::TooFew),
            (vec![(20.0, 50.0)], P::TooFew),
            (many, P::TooMany),
            (vec![(20.0, 50.0), (300.0, 10.0)], P::Temperature(2)),
            (vec![(20.0, 150.0), (30.0, 10.0)], P::Percent(1)),
            (vec![(20.0, f64::NAN), (30.0, 10.0)], P::Percent(1)),
            (vec![(20.0, 50.0), (20.0, 10.0)], P::Order(2)),
            (vec![(20.0, 50.0), (30.0, 60.0)], P::Rises(2)),
            (vec![(20.0, 0.0), (30.0, 0.0)], P::NoSolid),
        ] {
            assert_eq!(table(&rows).fit(885.0, 140.0).unwrap_err(), problem);
        }
    }
}

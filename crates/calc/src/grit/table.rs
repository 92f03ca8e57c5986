//! A measured sieve table, and the lognormal distribution that comes nearest to it.

use super::normal;
use super::sizes::{MAX_SIGMA, MAX_UM, MIN_UM, SizeError};

/// What one sieve of the stack kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SieveRow {
    /// Opening of the sieve, um.
    pub opening_um: f64,
    /// Mass kept on it, in any unit that the whole table shares (g or %); 0 or more.
    pub kept: f64,
}

/// A measured sieve table. Rows may stand in any order; each sieve once.
#[derive(Clone, Debug, PartialEq)]
pub struct SieveTable {
    /// The sieves with what they kept.
    pub rows: Vec<SieveRow>,
    /// Mass in the pan below the finest sieve; 0 or more.
    pub pan: f64,
    /// Mass weighed in before sieving, or 100 for a table in %; `None` where it was not weighed.
    pub sample: Option<f64>,
}

/// Share of the sample that may be missing or too much before a table is refused: 2 %, the
/// allowance of ISO 2591-1 for the sum of the fractions (from memory).
pub const LOSS_MAX: f64 = 0.02;

/// More sieves than any stack has.
pub const ROWS_MAX: usize = 30;

/// One sieve of a table beside its fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FitPoint {
    /// Opening, um.
    pub um: f64,
    /// Measured mass share below it, 0..=1.
    pub below: f64,
    /// Share below it by the fit, 0..=1.
    pub fitted: f64,
}

/// How well a lognormal distribution describes a table.
#[derive(Clone, Debug, PartialEq)]
pub struct SieveFit {
    /// Mass median, um.
    pub d50_um: f64,
    /// Natural logarithm of the geometric standard deviation.
    pub sigma: f64,
    /// The sieves, finest first.
    pub points: Vec<FitPoint>,
    /// Root mean square of fit less measurement, as a share (0.01 is one percentage point).
    pub rms: f64,
    /// Largest difference at any sieve, as a share.
    pub worst: f64,
    /// Share of the weighed sample that is not in the table; negative when there is too much;
    /// `None` where the sample was not weighed.
    pub lost: Option<f64>,
    /// False when the rows did not stand in the order of a stack.
    pub in_order: bool,
}

/// Fits a lognormal distribution to a table: the median and spread with the least sum of squared
/// differences between measured and fitted mass share below each sieve.
///
/// Starts from the straight line through the points on log-probability paper and improves it by
/// damped Gauss-Newton steps (Levenberg 1944, Marquardt 1963).
///
/// # Errors
/// When an opening or mass is not sound, a sieve stands twice, the masses do not add up to the
/// sample within [`LOSS_MAX`], or fewer than two sieves hold back a part of the sample.
pub fn fit(table: &SieveTable) -> Result<SieveFit, SizeError> {
    let (points, lost) = cumulative(table)?;
    let inside: Vec<(f64, f64)> = points
        .iter()
        .filter(|(_, below)| *below > 1e-9 && *below < 1.0 - 1e-9)
        .map(|&(um, below)| (libm::log(um), below))
        .collect();
    if inside.len() < 2 {
        return Err(SizeError::TooFewSieves);
    }
    let all: Vec<(f64, f64)> = points.iter().map(|&(um, b)| (libm::log(um), b)).collect();
    // The line is no guide where a table is far from lognormal, as a narrow cut with dust below it.
    let (mu, sigma) = [Some(start(&inside)), widest_step(&all)]
        .into_iter()
        .flatten()
        .map(|from| improve(&all, from))
        .min_by(|a, b| squares(&all, *a).total_cmp(&squares(&all, *b)))
        .ok_or(SizeError::TooFewSieves)?;
    if !(sigma > 0.0 && sigma <= MAX_SIGMA) {
        return Err(SizeError::Spread(sigma));
    }
    let points: Vec<FitPoint> = points
        .into_iter()
        .map(|(um, below)| {
            let fitted = normal::cdf((libm::log(um) - mu) / sigma);
            FitPoint { um, below, fitted }
        })
        .collect();
    let sum: f64 = points.iter().map(|p| (p.fitted - p.below) * (p.fitted - p.below)).sum();
    Ok(SieveFit {
        d50_um: libm::exp(mu),
        sigma,
        rms: libm::sqrt(sum / points.len() as f64),
        worst: points.iter().map(|p| (p.fitted - p.below).abs()).fold(0.0, f64::max),
        points,
        lost,
        in_order: in_order(table),
    })
}

fn in_order(table: &SieveTable) -> bool {
    let falls = |w: &[SieveRow]| matches!(w, [a, b] if a.opening_um > b.opening_um);
    let rises = |w: &[SieveRow]| matches!(w, [a, b] if a.opening_um < b.opening_um);
    table.rows.windows(2).all(falls) || table.rows.windows(2).all(rises)
}

/// Openings in um with the share below each.
type Points = Vec<(f64, f64)>;

/// Opening and share below it, finest first, and the share that was lost.
fn cumulative(table: &SieveTable) -> Result<(Points, Option<f64>), SizeError> {
    if table.rows.len() > ROWS_MAX {
        return Err(SizeError::TooManySieves);
    }
    let mass = |x: f64| if x.is_finite() && x >= 0.0 { Ok(x) } else { Err(SizeError::Mass(x)) };
    let mut rows = table.rows.clone();
    for row in &rows {
        if !(MIN_UM..=MAX_UM).contains(&row.opening_um) {
            return Err(SizeError::Size { what: "sieve opening", value: row.opening_um });
        }
        mass(row.kept)?;
    }
    rows.sort_by(|a, b| a.opening_um.total_cmp(&b.opening_um));
    if let Some([a, _]) = rows
        .windows(2)
        .find(|w| matches!(w, [a, b] if b.opening_um - a.opening_um < 1e-9 * b.opening_um))
    {
        return Err(SizeError::SieveTwice(a.opening_um));
    }
    let total = mass(table.pan)? + rows.iter().map(|r| r.kept).sum::<f64>();
    if !(total > 0.0 && total.is_finite()) {
        return Err(SizeError::EmptyTable);
    }
    let lost = match table.sample {
        None => None,
        Some(sample) if sample.is_finite() && sample > 0.0 => Some((sample - total) / sample),
        Some(sample) => return Err(SizeError::Mass(sample)),
    };
    if let Some(lost) = lost.filter(|l| l.abs() > LOSS_MAX) {
        return Err(SizeError::DoesNotSum {
            sum: total,
            sample: table.sample.unwrap_or(0.0),
            lost,
        });
    }
    let mut below = table.pan;
    let points = rows
        .iter()
        .map(|row| {
            let point = (row.opening_um, below / total);
            below += row.kept;
            point
        })
        .collect();
    Ok((points, lost))
}

/// The straight line through the points on log-probability paper: median and spread of ln d.
fn start(points: &[(f64, f64)]) -> (f64, f64) {
    let n = points.len() as f64;
    let zs: Vec<(f64, f64)> = points.iter().map(|&(x, p)| (normal::quantile(p), x)).collect();
    let (mz, mx) =
        (zs.iter().map(|p| p.0).sum::<f64>() / n, zs.iter().map(|p| p.1).sum::<f64>() / n);
    let szz: f64 = zs.iter().map(|p| (p.0 - mz) * (p.0 - mz)).sum();
    let szx: f64 = zs.iter().map(|p| (p.0 - mz) * (p.1 - mx)).sum();
    let sigma = if szz > 0.0 { (szx / szz).clamp(1e-3, MAX_SIGMA) } else { 0.1 };
    (mx - sigma * mz, sigma)
}

/// The middle of the two neighbouring sieves between which most of the mass lies.
fn widest_step(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let steps = points.windows(2).filter_map(|w| match w {
        [a, b] => Some((b.1 - a.1, (0.5 * (a.0 + b.0), 0.5 * (b.0 - a.0)))),
        _ => None,
    });
    steps.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, from)| from)
}

/// Sum of squared differences between fitted and measured share.
fn squares(points: &[(f64, f64)], (mu, sigma): (f64, f64)) -> f64 {
    points.iter().map(|&(x, p)| normal::cdf((x - mu) / sigma) - p).map(|r| r * r).sum()
}

/// Damped Gauss-Newton on (median, ln spread), so that the spread stays positive.
fn improve(points: &[(f64, f64)], (mut mu, sigma): (f64, f64)) -> (f64, f64) {
    let mut tau = libm::log(sigma);
    let error = |mu: f64, tau: f64| squares(points, (mu, libm::exp(tau)));
    let (mut now, mut damping) = (error(mu, tau), 1e-3);
    for _ in 0..200 {
        let s = libm::exp(tau);
        let (mut a, mut b, mut c, mut ga, mut gb) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for &(x, p) in points {
            let z = (x - mu) / s;
            let (r, density) = (normal::cdf(z) - p, normal::density(z));
            // Derivatives of the fitted share by median and by ln spread.
            let (jm, jt) = (-density / s, -density * z);
            a += jm * jm;
            b += jm * jt;
            c += jt * jt;
            ga += jm * r;
            gb += jt * r;
        }
        let (a1, c1) = (a * (1.0 + damping) + 1e-300, c * (1.0 + damping) + 1e-300);
        let det = a1 * c1 - b * b;
        if det.abs() < 1e-300 {
            break;
        }
        let (dm, dt) = ((b * gb - c1 * ga) / det, (b * ga - a1 * gb) / det);
        let next = error(mu + dm, tau + dt);
        if next <= now {
            let gain = now - next;
            (mu, tau, now) = (mu + dm, tau + dt, next);
            damping = (damping * 0.2).max(1e-12);
            if dm.abs() < 1e-13 && dt.abs() < 1e-13 || gain == 0.0 {
                break;
            }
        } else {
            damping *= 8.0;
            if damping > 1e12 {
                break;
            }
        }
    }
    (mu, libm::exp(tau))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    fn table(rows: &[(f64, f64)], pan: f64, sample: Option<f64>) -> SieveTable {
        let rows = rows.iter().map(|&(opening_um, kept)| SieveRow { opening_um, kept }).collect();
        SieveTable { rows, pan, sample }
    }

    #[test]
    fn a_table_that_cannot_be_used_says_why() {
        let two = [(500.0, 20.0), (250.0, 60.0)];
        assert!(fit(&table(&two, 20.0, Some(100.0))).is_ok());
        for (case, words) in [
            (table(&[(0.0, 5.0), (250.0, 5.0)], 5.0, None), "sieve opening"),
            (table(&[(-500.0, 5.0), (250.0, 5.0)], 5.0, None), "sieve opening"),
            (table(&[(500.0, -1.0), (250.0, 60.0)], 20.0, None), "0 or more"),
            (table(&two, f64::NAN, None), "0 or more"),
            (table(&[(250.0, 5.0), (250.0, 5.0)], 5.0, None), "twice"),
            (table(&two, 20.0, Some(110.0)), "add up"),
            (table(&two, 20.0, Some(90.0)), "add up"),
            (table(&two, 20.0, Some(0.0)), "0 or more"),
            (table(&[(500.0, 0.0), (250.0, 0.0)], 0.0, None), "no mass"),
            (table(&[(500.0, 0.0), (250.0, 100.0)], 0.0, None), "two sieves"),
            (table(&[], 100.0, None), "two sieves"),
            (table(&[(1.0, 1.0); 31], 1.0, None), "30"),
        ] {
            let error = fit(&case).unwrap_err().to_string();
            assert!(error.contains(words), "{error} / {words}");
        }
    }

    #[test]
    fn order_does_not_matter_but_is_told() {
        let up = fit(&table(&[(250.0, 30.0), (355.0, 40.0), (500.0, 20.0)], 10.0, None)).unwrap();
        let mixed =
            fit(&table(&[(355.0, 40.0), (250.0, 30.0), (500.0, 20.0)], 10.0, None)).unwrap();
        assert!(up.in_order && !mixed.in_order);
        assert!((up.d50_um - mixed.d50_um).abs() < 1e-9);
    }

    proptest! {
        // A table made from a distribution gives that distribution back.
        #[test]
        fn undoes_its_own_table(d50 in 80.0f64..900.0, sigma in 0.12f64..0.8) {
            let share = |um: f64| normal::cdf(libm::log(um / d50) / sigma);
            let openings: Vec<f64> =
                [-1.6, -0.9, -0.3, 0.4, 1.1, 1.8].iter().map(|z| d50 * libm::exp(sigma * z)).collect();
            let mut rows = Vec::new();
            for (i, um) in openings.iter().enumerate() {
                let next = openings.get(i + 1).map_or(1.0, |u| share(*u));
                rows.push((*um, 100.0 * (next - share(*um))));
            }
            let pan = openings.first().map_or(0.0, |u| 100.0 * share(*u));
            let fitted = fit(&table(&rows, pan, Some(100.0))).unwrap();
            prop_assert!((fitted.d50_um / d50 - 1.0).abs() < 1e-6);
            prop_assert!((fitted.sigma / sigma - 1.0).abs() < 1e-6);
            prop_assert!(fitted.rms < 1e-7 && fitted.lost.unwrap().abs() < 1e-9);
        }
    }
}

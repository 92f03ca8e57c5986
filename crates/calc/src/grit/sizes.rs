//! Grain sizes: what a supplier states, and the lognormal distribution by mass that it is read as.

use super::normal;
use super::table::{self, LOSS_MAX, ROWS_MAX, SieveFit, SieveTable};

/// Grain size as a supplier states it; sizes in micrometres.
#[derive(Clone, Debug, PartialEq)]
pub enum SizeData {
    /// Grains between two sieves. The openings are read as the 5th and 95th mass percentile (model
    /// assumption).
    SieveRange {
        /// Opening of the finer sieve, um.
        lo_um: f64,
        /// Opening of the coarser sieve, um; not below the finer.
        hi_um: f64,
    },
    /// Three mass percentiles, as a laser or sieve analysis gives them, in rising order.
    Percentiles {
        /// 10 % of the mass is finer, um.
        d10_um: f64,
        /// Half of the mass is finer, um.
        d50_um: f64,
        /// 90 % of the mass is finer, um.
        d90_um: f64,
    },
    /// Two statements of the kind "10 % below 200 um, 95 % below 500 um", in either order.
    TwoPoints {
        /// One size, um.
        d1_um: f64,
        /// Mass share below it, between 0 and 1, both excluded.
        p1: f64,
        /// Another size, um.
        d2_um: f64,
        /// Mass share below it, between 0 and 1, both excluded.
        p2: f64,
    },
    /// One statement of the kind "95 % below 500 um". It does not fix the spread, which is
    /// therefore given beside it; see [`USUAL_SIGMA`].
    Below {
        /// The size, um.
        um: f64,
        /// Mass share below it, between 0 and 1, both excluded.
        share: f64,
        /// Spread taken for the grade: natural logarithm of the geometric standard deviation.
        sigma: f64,
    },
    /// A measured sieve table, read as the lognormal distribution nearest to it.
    Sieved(SieveTable),
    /// The distribution itself.
    Lognormal {
        /// Mass median, um.
        d50_um: f64,
        /// Natural logarithm of the geometric standard deviation; 0 is a single size.
        sigma: f64,
    },
}

/// Why a stated grain size cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SizeError {
    /// A size is not a number, not positive, or beyond what can be called a grain.
    #[error("{what} must lie between {MIN_UM} and {MAX_UM} micrometres, not {value}")]
    Size {
        /// Which field.
        what: &'static str,
        /// What it holds.
        value: f64,
    },
    /// A mass share is not between 0 and 1.
    #[error("{what} must be a share above 0 and below 1, not {value}")]
    Share {
        /// Which field.
        what: &'static str,
        /// What it holds.
        value: f64,
    },
    /// Two figures stand in the wrong order.
    #[error("{lower} must not exceed {upper}")]
    Order {
        /// The figure that should be the smaller.
        lower: &'static str,
        /// The figure that should be the larger.
        upper: &'static str,
    },
    /// Two statements do not differ, or the larger size has the smaller share below it.
    #[error(
        "the larger of the two sizes must have the larger share below it, and neither may be equal"
    )]
    Points,
    /// A mass of a sieve table is not a number or below 0.
    #[error("masses of a sieve table are numbers of 0 or more, the sample above 0, not {0}")]
    Mass(f64),
    /// A sieve stands in the table twice.
    #[error("the sieve of {0} um stands in the table twice; add its masses into one row")]
    SieveTwice(f64),
    /// The fractions are not the sample.
    #[error(
        "the fractions add up to {sum:.2} and the sample is {sample:.2}, {} % apart; up to {} % is taken as loss",
        (lost.abs() * 1000.0).round() / 10.0,
        LOSS_MAX * 100.0
    )]
    DoesNotSum {
        /// Sum of the fractions.
        sum: f64,
        /// Mass weighed in.
        sample: f64,
        /// Share that is missing; negative when there is too much.
        lost: f64,
    },
    /// Nothing on the sieves and nothing in the pan.
    #[error("the table holds no mass")]
    EmptyTable,
    /// The sieves do not cut the sample in at least two places.
    #[error(
        "at least two sieves must hold back a part of the sample; where all of it lies between two sieves, state them as a range"
    )]
    TooFewSieves,
    /// More rows than a stack has.
    #[error("a table has at most {ROWS_MAX} sieves")]
    TooManySieves,
    /// The spread is not a number, negative, or wider than any grade of grains.
    #[error("the spread (sigma) must lie between 0 and {MAX_SIGMA}, not {0}")]
    Spread(f64),
}

// Wide enough for dust and for gravel; narrow enough that no moment overflows.
pub(super) const MIN_UM: f64 = 0.01;
pub(super) const MAX_UM: f64 = 100_000.0;
pub(super) const MAX_SIGMA: f64 = 4.0;

/// Spread of a usual sieved or milled grade, taken where a supplier states one limit only (model
/// assumption: grades with two stated limits lie between 0.2 and 0.5).
pub const USUAL_SIGMA: f64 = 0.35;

/// z of the 90th and of the 95th percentile.
const Z90: f64 = 1.281_551_565_544_600_4;
const Z95: f64 = 1.644_853_626_951_472_2;

/// A lognormal grain size distribution by mass, known to be sound.
///
/// Moments follow Hatch and Choate 1929 in the notation of ISO 9276-2. A spread of 0 is a single
/// size and is handled everywhere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GrainSize {
    d50_um: f64,
    sigma: f64,
}

impl TryFrom<SizeData> for GrainSize {
    type Error = SizeError;

    fn try_from(data: SizeData) -> Result<Self, SizeError> {
        Self::fit(&data)
    }
}

impl GrainSize {
    /// A distribution that is known to be sound when written down.
    pub(crate) const fn known(d50_um: f64, sigma: f64) -> Self {
        Self { d50_um, sigma }
    }

    /// Reads stated sizes as a lognormal distribution by mass.
    ///
    /// Two percentiles fix the spread, `sigma = ln(d2/d1) / (z2 - z1)`; the median is the stated
    /// one where there is one. Percentiles that are not lognormal lose their skew: see
    /// [`GrainSize::asymmetry`].
    ///
    /// # Errors
    /// When a figure is not finite, not positive, out of order, or a share is not between 0 and 1.
    pub fn fit(data: &SizeData) -> Result<Self, SizeError> {
        let (d50_um, sigma) = match *data {
            SizeData::SieveRange { lo_um, hi_um } => {
                size("finer sieve", lo_um)?;
                size("coarser sieve", hi_um)?;
                ordered("finer sieve", lo_um, "coarser sieve", hi_um)?;
                (libm::sqrt(lo_um * hi_um), libm::log(hi_um / lo_um) / (2.0 * Z95))
            }
            SizeData::Percentiles { d10_um, d50_um, d90_um } => {
                size("D10", d10_um)?;
                size("D50", d50_um)?;
                size("D90", d90_um)?;
                ordered("D10", d10_um, "D50", d50_um)?;
                ordered("D50", d50_um, "D90", d90_um)?;
                (d50_um, libm::log(d90_um / d10_um) / (2.0 * Z90))
            }
            SizeData::TwoPoints { d1_um, p1, d2_um, p2 } => {
                size("first size", d1_um)?;
                size("second size", d2_um)?;
                share("first share", p1)?;
                share("second share", p2)?;
                if (d2_um - d1_um) * (p2 - p1) <= 0.0 {
                    return Err(SizeError::Points);
                }
                let (z1, z2) = (normal::quantile(p1), normal::quantile(p2));
                let sigma = libm::log(d2_um / d1_um) / (z2 - z1);
                (d1_um * libm::exp(-z1 * sigma), sigma)
            }
            SizeData::Below { um, share: p, sigma } => {
                size("size", um)?;
                share("share", p)?;
                if !(0.0..=MAX_SIGMA).contains(&sigma) {
                    return Err(SizeError::Spread(sigma));
                }
                (um * libm::exp(-normal::quantile(p) * sigma), sigma)
            }
            SizeData::Sieved(ref measured) => {
                let fit = table::fit(measured)?;
                (fit.d50_um, fit.sigma)
            }
            SizeData::Lognormal { d50_um, sigma } => (d50_um, sigma),
        };
        // Checked before the median: a wild spread would otherwise be blamed on the median that it
        // throws out.
        if !(0.0..=MAX_SIGMA).contains(&sigma) {
            return Err(SizeError::Spread(sigma));
        }
        size("D50", d50_um)?;
        Ok(Self { d50_um, sigma })
    }

    /// `ln(D10 D90 / D50^2)`: 0 for a lognormal grade, positive with a coarse tail, negative with a
    /// fine one.
    ///
    /// Beyond 0.15 either way the lognormal reading is doubtful (model assumption). `None` when the
    /// data hold no three sound percentiles.
    pub fn asymmetry(data: &SizeData) -> Option<f64> {
        match *data {
            SizeData::Percentiles { d10_um, d50_um, d90_um } if Self::fit(data).is_ok() => {
                Some(libm::log((d10_um / d50_um) * (d90_um / d50_um)))
            }
            _ => None,
        }
    }

    /// The fit of a sieve table beside its points; `None` for data of another kind or a table that
    /// cannot be used.
    pub fn sieve_fit(data: &SizeData) -> Option<SieveFit> {
        match data {
            SizeData::Sieved(measured) => table::fit(measured).ok(),
            _ => None,
        }
    }

    /// Mass median, um.
    pub fn d50_um(&self) -> f64 {
        self.d50_um
    }

    /// Natural logarithm of the geometric standard deviation; 0 is a single size.
    pub fn sigma(&self) -> f64 {
        self.sigma
    }

    /// Size below which the mass share `p` lies, um: `D50 exp(sigma z_p)`. Not a number for `p`
    /// outside 0..=1.
    pub fn quantile_um(&self, p: f64) -> f64 {
        self.at_z(normal::quantile(p))
    }

    /// Size at the standard normal deviate `z`, um.
    pub(crate) fn at_z(&self, z: f64) -> f64 {
        if self.sigma <= 0.0 && !z.is_nan() {
            return self.d50_um;
        }
        self.d50_um * libm::exp(self.sigma * z)
    }

    /// 10 % of the mass is finer, um.
    pub fn d10_um(&self) -> f64 {
        self.at_z(-Z90)
    }

    /// 90 % of the mass is finer, um.
    pub fn d90_um(&self) -> f64 {
        self.at_z(Z90)
    }

    /// Span `(D90 - D10) / D50`, which is `2 sinh(1.2816 sigma)`.
    pub fn span(&self) -> f64 {
        2.0 * libm::sinh(Z90 * self.sigma)
    }

    /// Share of the mass coarser than `um`, 0..=1.
    pub fn fraction_above(&self, um: f64) -> f64 {
        if self.sigma <= 0.0 && !um.is_nan() {
            return if self.d50_um > um { 1.0 } else { 0.0 };
        }
        normal::cdf(-self.z_of(um))
    }

    /// Share of the mass at or below `um`, 0..=1; with [`GrainSize::fraction_above`] it makes 1.
    pub fn fraction_below(&self, um: f64) -> f64 {
        if self.sigma <= 0.0 && !um.is_nan() {
            return if self.d50_um > um { 0.0 } else { 1.0 };
        }
        normal::cdf(self.z_of(um))
    }

    /// Mass density per unit of `ln d` at `um`.
    ///
    /// 0 everywhere for a single size, whose density is not finite: draw that as a line at the
    /// median.
    pub fn density_per_ln(&self, um: f64) -> f64 {
        if self.sigma <= 0.0 {
            return 0.0;
        }
        normal::density(self.z_of(um)) / self.sigma
    }

    /// Surface-weighted (Sauter) mean D(3,2), um: `D50 exp(-sigma^2/2)`, ISO 9276-2.
    pub fn sauter_um(&self) -> f64 {
        self.moment(-0.5)
    }

    /// Volume-weighted (De Brouckere) mean D(4,3), um: `D50 exp(+sigma^2/2)`, ISO 9276-2.
    pub fn de_brouckere_um(&self) -> f64 {
        self.moment(0.5)
    }

    /// Diameter of the grain of mean volume D(3,0), um: `D50 exp(-3/2 sigma^2)`, ISO 9276-2.
    pub fn volume_mean_um(&self) -> f64 {
        self.moment(-1.5)
    }

    /// Arithmetic mean diameter by count D(1,0), um: `D50 exp(-5/2 sigma^2)`, Hatch and Choate
    /// 1929.
    pub fn count_mean_um(&self) -> f64 {
        self.moment(-2.5)
    }

    /// Number of spherical grains in a gram: `6 / (pi rho D(3,0)^3)`, for a grain density in g/mL.
    ///
    /// Not a number when the density is not finite and positive.
    pub fn particles_per_gram(&self, density_g_ml: f64) -> f64 {
        if !(density_g_ml.is_finite() && density_g_ml > 0.0) {
            return f64::NAN;
        }
        let d_cm = self.volume_mean_um() * 1e-4;
        6.0 / (core::f64::consts::PI * density_g_ml * d_cm * d_cm * d_cm)
    }

    fn moment(&self, power: f64) -> f64 {
        self.d50_um * libm::exp(power * self.sigma * self.sigma)
    }

    /// Standard normal deviate of a size; no grain is at or below 0.
    fn z_of(&self, um: f64) -> f64 {
        if um <= 0.0 {
            return f64::NEG_INFINITY;
        }
        libm::log(um / self.d50_um) / self.sigma
    }
}

fn size(what: &'static str, value: f64) -> Result<(), SizeError> {
    if (MIN_UM..=MAX_UM).contains(&value) { Ok(()) } else { Err(SizeError::Size { what, value }) }
}

fn share(what: &'static str, value: f64) -> Result<(), SizeError> {
    if value > 0.0 && value < 1.0 { Ok(()) } else { Err(SizeError::Share { what, value }) }
}

fn ordered(lower: &'static str, a: f64, upper: &'static str, b: f64) -> Result<(), SizeError> {
    if a <= b { Ok(()) } else { Err(SizeError::Order { lower, upper }) }
}

#[cfg(test)]
mod tests;

//! A logarithmic axis of grain sizes, for every chart alike.

use super::sieves::{ASTM_E11, Sieve};

/// A logarithmic axis from one size to another, um.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SizeAxis {
    lo: f64,
    ratio: f64,
}

impl SizeAxis {
    /// An axis; `None` unless `0 < lo_um < hi_um`, both finite.
    #[must_use]
    pub fn new(lo_um: f64, hi_um: f64) -> Option<Self> {
        (lo_um > 0.0 && lo_um < hi_um && hi_um.is_finite())
            .then(|| Self { lo: lo_um, ratio: libm::log(hi_um / lo_um) })
    }

    /// Place of a size: 0 at the lower end, 1 at the upper; beyond them outside 0 to 1.
    #[must_use]
    pub fn place(&self, um: f64) -> f64 {
        libm::log(um / self.lo) / self.ratio
    }

    /// The size at a place, um.
    #[must_use]
    pub fn size(&self, place: f64) -> f64 {
        self.lo * libm::exp(place * self.ratio)
    }
}

/// The sieve of ASTM E11 whose opening is nearest in ratio; `None` for a size that is not
/// positive.
#[must_use]
pub fn nearest_sieve(um: f64) -> Option<&'static Sieve> {
    let off = |s: &&Sieve| libm::log(s.opening_um / um).abs();
    let sound = um > 0.0 && um.is_finite();
    ASTM_E11.iter().filter(|_| sound).min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// A size that is easy to say: to 5 um, and to 10 um from half a millimetre on.
#[must_use]
pub fn nice_size(um: f64) -> f64 {
    let step = if um < 500.0 { 5.0 } else { 10.0 };
    (um / step).round() * step
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;

    #[test]
    fn places_and_sizes_undo_each_other() {
        let axis = SizeAxis::new(20.0, 2000.0).unwrap();
        assert!((axis.place(200.0) - 0.5).abs() < 1e-12);
        for um in [20.0, 45.0, 333.0, 2000.0] {
            assert!((axis.size(axis.place(um)) / um - 1.0).abs() < 1e-12);
        }
        assert_eq!(SizeAxis::new(0.0, 10.0), None);
        assert_eq!(SizeAxis::new(10.0, 10.0), None);
        assert_eq!(SizeAxis::new(10.0, f64::INFINITY), None);
    }

    #[test]
    fn near_sieves_and_easy_sizes() {
        // ASTM E11: No. 60 is 250 um, No. 35 is 500 um.
        assert_eq!(nearest_sieve(260.0).map(|s| s.mesh), Some("60"));
        assert_eq!(nearest_sieve(480.0).map(|s| s.mesh), Some("35"));
        assert_eq!(nearest_sieve(f64::NAN), None);
        assert_eq!(nice_size(303.0), 305.0);
        assert_eq!(nice_size(743.0), 740.0);
    }
}

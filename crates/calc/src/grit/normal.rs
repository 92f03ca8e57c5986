//! The standard normal distribution, without which no lognormal grain size can be had.

use core::f64::consts::FRAC_1_SQRT_2;

/// Share of a standard normal population at or below `z`; 0 and 1 at the infinities.
pub(crate) fn cdf(z: f64) -> f64 {
    // erfc rather than erf keeps full relative accuracy in the lower tail.
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// Density of a standard normal population at `z`.
pub(crate) fn density(z: f64) -> f64 {
    const INV_SQRT_2_PI: f64 = 0.398_942_280_401_432_7;
    INV_SQRT_2_PI * libm::exp(-0.5 * z * z)
}

/// The `z` with `cdf(z) == p`; the infinities at 0 and 1, not a number outside 0..=1.
///
/// Wichura, algorithm AS 241 (routine PPND16), Applied Statistics 37 (1988) 477-484; relative
/// accuracy about 1e-16.
pub(crate) fn quantile(p: f64) -> f64 {
    if !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * horner(&CENTRE_TOP, r) / horner(&CENTRE_BOTTOM, r);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    if tail <= 0.0 {
        return f64::INFINITY.copysign(q);
    }
    let r = libm::sqrt(-libm::log(tail));
    let z = if r <= 5.0 {
        horner(&NEAR_TOP, r - 1.6) / horner(&NEAR_BOTTOM, r - 1.6)
    } else {
        horner(&FAR_TOP, r - 5.0) / horner(&FAR_BOTTOM, r - 5.0)
    };
    z.copysign(q)
}

/// Polynomial with the highest power first.
fn horner(coefficients: &[f64; 8], x: f64) -> f64 {
    coefficients.iter().fold(0.0, |sum, c| sum * x + c)
}

// The published coefficients, to the 17 digits that an f64 can hold.
const CENTRE_TOP: [f64; 8] = [
    2_509.080_928_730_122_7,
    33_430.575_583_588_13,
    67_265.770_927_008_7,
    45_921.953_931_549_87,
    13_731.693_765_509_46,
    1_971.590_950_306_551_3,
    133.141_667_891_784_38,
    3.387_132_872_796_366_5,
];
const CENTRE_BOTTOM: [f64; 8] = [
    5_226.495_278_852_854,
    28_729.085_735_721_943,
    39_307.895_800_092_71,
    21_213.794_301_586_597,
    5_394.196_021_424_751,
    687.187_007_492_057_9,
    42.313_330_701_600_91,
    1.0,
];
const NEAR_TOP: [f64; 8] = [
    7.745_450_142_783_414e-4,
    0.022_723_844_989_269_184,
    0.241_780_725_177_450_6,
    1.270_458_252_452_368_4,
    3.647_848_324_763_204_5,
    5.769_497_221_460_691,
    4.630_337_846_156_546,
    1.423_437_110_749_683_5,
];
const NEAR_BOTTOM: [f64; 8] = [
    1.050_750_071_644_416_9e-9,
    5.475_938_084_995_345e-4,
    0.015_198_666_563_616_457,
    0.148_103_976_427_480_08,
    0.689_767_334_985_1,
    1.676_384_830_183_803_8,
    2.053_191_626_637_759,
    1.0,
];
const FAR_TOP: [f64; 8] = [
    2.010_334_399_292_288_1e-7,
    2.711_555_568_743_487_6e-5,
    0.001_242_660_947_388_078_4,
    0.026_532_189_526_576_124,
    0.296_560_571_828_504_87,
    1.784_826_539_917_291_3,
    5.463_784_911_164_114,
    6.657_904_643_501_103,
];
const FAR_BOTTOM: [f64; 8] = [
    2.044_263_103_389_939_8e-15,
    1.421_511_758_316_446e-7,
    1.846_318_317_510_054_8e-5,
    7.868_691_311_456_133e-4,
    0.014_875_361_290_850_615,
    0.136_929_880_922_735_8,
    0.599_832_206_555_888,
    1.0,
];

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp)]
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn quantiles_at_known_points() {
        // Abramowitz and Stegun, table 26.5 (to its printed digits); the last three are the test
        // points of AS 241.
        for (p, z) in [
            (0.5, 0.0),
            (0.9, 1.281_551_565_544_600_4),
            (0.95, 1.644_853_626_951_472_2),
            (0.25, -0.674_489_750_196_081_7),
            (0.001, -3.090_232_306_167_814),
            (1e-20, -9.262_340_089_798_408),
        ] {
            assert!((quantile(p) - z).abs() <= 2e-15 * z.abs().max(1.0), "{p}: {}", quantile(p));
        }
    }

    #[test]
    fn edges() {
        assert_eq!(quantile(0.0), f64::NEG_INFINITY);
        assert_eq!(quantile(1.0), f64::INFINITY);
        assert!(quantile(-0.1).is_nan() && quantile(1.1).is_nan() && quantile(f64::NAN).is_nan());
        assert_eq!((cdf(f64::NEG_INFINITY), cdf(0.0), cdf(f64::INFINITY)), (0.0, 0.5, 1.0));
    }

    proptest! {
        #[test]
        fn quantile_undoes_cdf(z in -8.0f64..5.0) {
            // Above 5 the cdf is too near to 1 to hold the answer.
            prop_assert!((quantile(cdf(z)) - z).abs() < 1e-9);
        }
    }
}

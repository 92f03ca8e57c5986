//! The logarithmic batch-size slider.

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive as _;

use crate::quantity::Grams;

/// Smallest batch on the slider, in grams.
pub const SLIDER_LOW_G: f64 = 50.0;

/// Largest batch on the slider, in grams.
pub const SLIDER_HIGH_G: f64 = 10_000.0;

/// Marks under the slider, in grams.
pub const SLIDER_MARKS_G: [f64; 5] = [50.0, 200.0, 750.0, 3_000.0, 10_000.0];

/// Place of a mass on the slider, 0 to 1; masses outside it sit at an end.
#[must_use]
pub fn slider_place(grams: f64) -> f64 {
    if grams.is_nan() || grams <= SLIDER_LOW_G {
        return 0.0;
    }
    ((grams / SLIDER_LOW_G).ln() / (SLIDER_HIGH_G / SLIDER_LOW_G).ln()).min(1.0)
}

/// Mass at a place of the slider, rounded to a step that a hand would choose: 1 g below
/// 100 g, 5 g below 500 g, 10 g below 1 kg, 50 g below 5 kg, 100 g above.
#[must_use]
pub fn slider_mass(place: f64) -> Grams {
    let place = if place.is_finite() { place.clamp(0.0, 1.0) } else { 0.0 };
    let raw = SLIDER_LOW_G * (SLIDER_HIGH_G / SLIDER_LOW_G).powf(place);
    let step = match raw {
        r if r < 100.0 => 1.0,
        r if r < 500.0 => 5.0,
        r if r < 1_000.0 => 10.0,
        r if r < 5_000.0 => 50.0,
        _ => 100.0,
    };
    Grams(Decimal::from_f64((raw / step).round() * step).unwrap_or_default().normalize())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_and_marks_come_back() {
        for grams in SLIDER_MARKS_G {
            let back = slider_mass(slider_place(grams)).to_f64();
            assert!((back - grams).abs() < 1e-9, "{grams} g came back as {back} g");
        }
        assert_eq!(slider_mass(f64::NAN).to_f64().to_string(), "50");
        assert!(slider_place(f64::INFINITY) <= 1.0);
    }

    #[test]
    fn it_never_runs_backwards() {
        let masses: Vec<Grams> = (0..=1000).map(|i| slider_mass(f64::from(i) / 1000.0)).collect();
        assert!(masses.is_sorted());
    }
}

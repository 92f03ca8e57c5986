//! Masses in the unit that a person weighs in. They are kept in grams.

use rust_decimal::{Decimal, RoundingStrategy};

use super::{MassUnit, NumberStyle, format_fixed, format_plain};

/// Decimals to which a mass is turned into another unit for editing: finer than any scale, and
/// coarse enough that what was typed comes back as it was typed.
const EDIT_PLACES: u32 = 10;
/// Most decimals that are shown.
const MOST_SHOWN: u32 = 8;

/// A mass of so many grams in `unit`, to ten decimals.
#[must_use]
pub fn grams_in(grams: Decimal, unit: MassUnit) -> Decimal {
    if unit == MassUnit::Gram {
        return grams;
    }
    let value = grams.checked_div(unit.grams_per_unit()).unwrap_or(Decimal::ZERO);
    value.round_dp_with_strategy(EDIT_PLACES, RoundingStrategy::MidpointAwayFromZero)
}

/// Decimals that a scale of this readability in grams fills in `unit`: the last of them is no
/// coarser than the scale. For grams they are those of the readability itself.
#[must_use]
pub fn mass_places(readability: Decimal, unit: MassUnit) -> u32 {
    if unit == MassUnit::Gram {
        return readability.normalize().scale();
    }
    if readability <= Decimal::ZERO {
        return 2;
    }
    let mut step = unit.grams_per_unit();
    let mut places = 0;
    while step > readability && places < MOST_SHOWN {
        step = step.checked_div(Decimal::TEN).unwrap_or(Decimal::ZERO);
        places += 1;
    }
    places
}

/// Writes a mass in the style's unit, without the unit, as a scale of this readability in grams
/// shows it.
#[must_use]
pub fn format_mass(grams: Decimal, readability: Decimal, style: NumberStyle) -> String {
    format_fixed(grams_in(grams, style.mass), mass_places(readability, style.mass), style)
}

/// Writes a mass in the style's unit, without the unit, to be edited: what was typed in that unit
/// comes back digit for digit.
#[must_use]
pub fn format_mass_full(grams: Decimal, style: NumberStyle) -> String {
    format_plain(grams_in(grams, style.mass), style)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use proptest::prelude::*;

    use super::super::{DecimalSign, Syntax, Unit, format_grams, parse};
    use super::*;

    const UNITS: [MassUnit; 4] =
        [MassUnit::Gram, MassUnit::Kilogram, MassUnit::Ounce, MassUnit::Pound];

    fn d(text: &str) -> Decimal {
        text.parse().unwrap()
    }

    fn style(mass: MassUnit) -> NumberStyle {
        NumberStyle { mass, ..NumberStyle::default() }
    }

    // NIST Handbook 44, Appendix C: 1 oz avdp = 28.349 523 125 g, 1 lb = 453.592 37 g, both exact.
    #[test]
    fn masses_in_other_units() {
        for (grams, readability, unit, text) in [
            ("1800", "0.1", MassUnit::Gram, "1800.0"),
            ("1800", "0.1", MassUnit::Kilogram, "1.8000"),
            ("28.349523125", "0.1", MassUnit::Ounce, "1.000"),
            ("453.59237", "0.1", MassUnit::Ounce, "16.000"),
            ("453.59237", "1", MassUnit::Pound, "1.000"),
            ("1800", "1", MassUnit::Ounce, "63.49"),
            ("1800", "5", MassUnit::Pound, "3.97"),
            ("70", "0.01", MassUnit::Kilogram, "0.07000"),
            ("70", "0", MassUnit::Ounce, "2.47"),
            ("-70", "1", MassUnit::Ounce, "\u{2212}2.47"),
        ] {
            let shown = format_mass(d(grams), d(readability), style(unit));
            assert_eq!(shown, text, "{grams} g at {readability} g");
        }
        let comma = NumberStyle {
            sign: DecimalSign::Comma,
            mass: MassUnit::Kilogram,
            ..NumberStyle::default()
        };
        assert_eq!(format_mass_full(d("1234.5"), comma), "1,2345");
    }

    proptest! {
        #[test]
        fn grams_are_shown_as_ever(value in -1_000_000_000_i64..1_000_000_000, step in 1_i64..1000, scale in 0_u32..4) {
            let (value, step) = (Decimal::new(value, 4), Decimal::new(step, scale));
            let shown = format_mass(value, step, NumberStyle::default());
            prop_assert_eq!(shown, format_grams(value, step, NumberStyle::default()));
        }

        #[test]
        fn what_was_typed_comes_back(value in 0_i64..10_000_000_000, scale in 0_u32..=6) {
            let value = Decimal::new(value, scale);
            for unit in UNITS {
                let grams = value * unit.grams_per_unit();
                let text = format!("{} {}", format_mass_full(grams, style(unit)), unit.symbol());
                let typed = parse(&text, Syntax::default()).unwrap();
                prop_assert_eq!((typed.value, typed.unit), (value, Some(Unit::Mass(unit))));
            }
        }

        #[test]
        fn the_last_decimal_is_no_coarser_than_the_scale(step in 1_i64..=100_000, scale in 0_u32..=4) {
            let step = Decimal::new(step, scale);
            for unit in UNITS.into_iter().skip(1) {
                let last = unit.grams_per_unit() * Decimal::new(1, mass_places(step, unit));
                prop_assert!(last <= step, "{unit:?} {step}");
            }
        }

        #[test]
        fn any_mass_can_be_written(lo in any::<u32>(), mid in any::<u32>(), hi in any::<u32>(), scale in 0_u32..=28) {
            let value = Decimal::from_parts(lo, mid, hi, lo % 2 == 1, scale);
            for unit in UNITS {
                let _ = (format_mass(value, value, style(unit)), format_mass_full(value, style(unit)));
            }
        }
    }
}

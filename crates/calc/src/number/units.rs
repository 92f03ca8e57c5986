//! Units a number can carry when it is typed.

use rust_decimal::Decimal;

/// A unit of mass.
///
/// The ounce and the pound are the international avoirdupois units of 1959, as tabulated in NIST Handbook 44,
/// Appendix C.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum MassUnit {
    /// Gram, the unit masses are stored in.
    #[default]
    Gram,
    /// Kilogram, 1000 g.
    Kilogram,
    /// Milligram, 0.001 g.
    Milligram,
    /// Avoirdupois ounce, 28.349523125 g.
    Ounce,
    /// Avoirdupois pound, 453.59237 g.
    Pound,
}

impl MassUnit {
    /// Grams in one of this unit, exact.
    #[must_use]
    pub fn grams_per_unit(self) -> Decimal {
        match self {
            Self::Gram => Decimal::ONE,
            Self::Kilogram => Decimal::ONE_THOUSAND,
            Self::Milligram => Decimal::new(1, 3),
            Self::Ounce => Decimal::new(28_349_523_125, 9),
            Self::Pound => Decimal::new(45_359_237, 5),
        }
    }

    /// Those in which a batch can be shown.
    pub const SHOWN: [Self; 4] = [Self::Gram, Self::Kilogram, Self::Ounce, Self::Pound];

    /// The name of more than one of it: `grams`, `ounces`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Gram => "grams",
            Self::Kilogram => "kilograms",
            Self::Milligram => "milligrams",
            Self::Ounce => "ounces",
            Self::Pound => "pounds",
        }
    }

    /// The symbol to show after a number, without a space: `g`, `kg`, `mg`, `oz` or `lb`.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Gram => "g",
            Self::Kilogram => "kg",
            Self::Milligram => "mg",
            Self::Ounce => "oz",
            Self::Pound => "lb",
        }
    }
}

/// What a typed number counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// A mass.
    Mass(MassUnit),
    /// Hundredths of a whole; 5 % has the value 5.
    Percent,
    /// Parts by mass, relative to the other lines.
    Parts,
    /// A temperature in degrees Celsius.
    Celsius,
    /// A length in micrometres.
    Micrometre,
    /// A length in millimetres.
    Millimetre,
    /// A volume in millilitres.
    Millilitre,
}

impl Unit {
    /// The symbol to show after a number, without a space, such as `kg`, `%` or `µm`.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Mass(unit) => unit.symbol(),
            Self::Percent => "%",
            Self::Parts => "parts",
            Self::Celsius => "°C",
            Self::Micrometre => "µm",
            Self::Millimetre => "mm",
            Self::Millilitre => "mL",
        }
    }

    /// The unit a typed word stands for. Capitals are forgiven where no other unit differs by them alone.
    pub(super) fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "mg" => Self::Mass(MassUnit::Milligram),
            "%" => Self::Percent,
            "C" | "°C" | "°c" | "℃" => Self::Celsius,
            // The micro sign and the Greek letter look alike and both occur.
            "um" | "\u{b5}m" | "\u{3bc}m" => Self::Micrometre,
            _ => match word.to_ascii_lowercase().as_str() {
                "g" => Self::Mass(MassUnit::Gram),
                "kg" => Self::Mass(MassUnit::Kilogram),
                "oz" => Self::Mass(MassUnit::Ounce),
                "lb" | "lbs" => Self::Mass(MassUnit::Pound),
                "part" | "parts" => Self::Parts,
                "mm" => Self::Millimetre,
                "ml" => Self::Millilitre,
                _ => return None,
            },
        })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::{Syntax, parse};
    use super::*;

    const G: Option<Unit> = Some(Unit::Mass(MassUnit::Gram));
    const KG: Option<Unit> = Some(Unit::Mass(MassUnit::Kilogram));
    const OZ: Option<Unit> = Some(Unit::Mass(MassUnit::Ounce));
    const LB: Option<Unit> = Some(Unit::Mass(MassUnit::Pound));
    const PERCENT: Option<Unit> = Some(Unit::Percent);

    #[test]
    fn symbols_are_read() {
        let masses = [
            MassUnit::Gram,
            MassUnit::Kilogram,
            MassUnit::Milligram,
            MassUnit::Ounce,
            MassUnit::Pound,
        ];
        let others = [
            Unit::Percent,
            Unit::Parts,
            Unit::Celsius,
            Unit::Micrometre,
            Unit::Millimetre,
            Unit::Millilitre,
        ];
        for unit in masses.into_iter().map(Unit::Mass).chain(others) {
            let typed = parse(&format!("7 {}", unit.symbol()), Syntax::default()).unwrap();
            assert_eq!((typed.value, typed.unit), (Decimal::from(7), Some(unit)));
        }
        assert_eq!(
            MassUnit::Ounce.grams_per_unit() * Decimal::from(16),
            MassUnit::Pound.grams_per_unit()
        );
    }

    #[test]
    fn typed_with_numbers() {
        #[rustfmt::skip]
        let cases = [
            ("70 g", "70", G), ("70g", "70", G), ("1.5 kg", "1.5", KG), ("1 KG", "1", KG),
            ("5 mg", "5", Some(Unit::Mass(MassUnit::Milligram))), ("4 oz", "4", OZ), ("2 lbs", "2", LB),
            ("1 lb 4 oz", "566.990462500", G), ("-1 lb 4 oz", "-566.9904625", G),
            ("1 kg 200 g", "1200", G), ("1 kg 200 g 5 mg", "1200.005", G),
            ("2 * 1 lb 4 oz", "1133.980925", G), ("1 kg + 200 g", "1200", G),
            ("1 kg + 2 kg", "3", KG), ("1 kg + 2 kg + 3 g", "3003", G), ("1 lb - 4 oz", "340.1942775", G),
            ("24 x 70 g", "1680", G), ("70 g x 24", "1680", G), ("12/3 g", "4", G), ("12 g/3", "4", G),
            ("(1+2) kg", "3", KG), ("(1+2)kg+500g", "3500", G), ("1+2 g", "3", G), ("1+2+3 g", "6", G),
            ("5 + 24 x 70 g", "1685", G), ("(1 kg)", "1", KG), ("12,5 %", "12.5", PERCENT),
            ("5%*2", "10", PERCENT), ("100 - 5 %", "95", PERCENT),
            ("3 parts", "3", Some(Unit::Parts)), ("1 part", "1", Some(Unit::Parts)),
            ("72 °C", "72", Some(Unit::Celsius)), ("72C", "72", Some(Unit::Celsius)),
            ("350 um", "350", Some(Unit::Micrometre)), ("350 \u{b5}m", "350", Some(Unit::Micrometre)),
            ("118 ml", "118", Some(Unit::Millilitre)), ("80 mm", "80", Some(Unit::Millimetre)),
            ("350\u{3bc}m", "350", Some(Unit::Micrometre)), ("1e3g", "1000", G),
            ("1000000000000 kg", "1000000000000", KG), ("1 234,5 g", "1234.5", G),
        ];
        for (text, value, unit) in cases {
            let typed = parse(text, Syntax::default()).unwrap();
            assert_eq!((typed.value, typed.unit), (value.parse().unwrap(), unit), "{text}");
        }
    }
}

//! Solutes that lower the water activity, and how each does it.

use crate::formula::Basis;

/// How a solute lowers the water activity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// Norrish's equation with its constant.
    Norrish(f64),
    /// By the number of molecules alone, for want of a constant.
    Raoult,
    /// A 1:1 salt by its osmotic coefficient.
    Salt(Osmotic),
}

/// Where the osmotic coefficient of a 1:1 salt comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Osmotic {
    /// Pitzer's equation at 25 °C with β0, β1 and C.
    Pitzer(f64, f64, f64),
    /// Taken as 1, for want of data.
    Ideal,
}

impl Osmotic {
    /// Sodium chloride; Pitzer and Mayorga, J. Phys. Chem. 77, 2300 (1973), from memory.
    pub const NACL: Self = Self::Pitzer(0.0765, 0.2664, 0.001_27);

    /// Potassium chloride; the same source, from memory.
    pub const KCL: Self = Self::Pitzer(0.048_35, 0.2122, -0.000_84);

    /// The coefficient at a molality in mol/kg of water; `None` below 0 or above 6.2, where the
    /// equation was not fitted.
    #[must_use]
    pub fn at(self, molality: f64) -> Option<f64> {
        /// Debye and Hückel's slope for the osmotic coefficient at 25 °C, kg^½/mol^½.
        const SLOPE: f64 = 0.392;
        match self {
            Self::Ideal => (molality.is_finite() && molality >= 0.0).then_some(1.0),
            Self::Pitzer(b0, b1, c) => (0.0..=6.2).contains(&molality).then(|| {
                let root = libm::sqrt(molality);
                1.0 - SLOPE * root / (1.0 + 1.2 * root)
                    + molality * (b0 + b1 * libm::exp(-2.0 * root))
                    + molality * molality * c
            }),
        }
    }
}

/// A solute.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Solute {
    /// INCI names that it goes by.
    pub inci: &'static [&'static str],
    /// Molar mass, g/mol.
    pub molar_mass: f64,
    /// How it lowers the water activity.
    pub law: Law,
    /// How the constant was come by.
    pub basis: Basis,
    /// Most that dissolves near 25 °C, g in 1 g of water, from memory of the CRC Handbook;
    /// `None` for what mixes or has no figure here.
    pub dissolves: Option<f64>,
}

const fn solute(
    inci: &'static [&'static str],
    molar_mass: f64,
    law: Law,
    basis: Basis,
    dissolves: Option<f64>,
) -> Solute {
    Solute { inci, molar_mass, law, basis, dissolves }
}

/// Solutes that are counted.
///
/// Norrish constants of polyols: Table 3 of PMC2836749, read (mannitol 0.906 there); of sucrose
/// and glucose: from memory of Norrish, J. Food Technol. 1, 25 (1966) and its reviews. Molar
/// masses from formulas. Sea salt is counted as sodium chloride.
pub const SOLUTES: [Solute; 20] = [
    solute(&["Glycerin"], 92.094, Law::Norrish(1.16), Basis::Read, None),
    solute(&["Erythritol"], 122.12, Law::Norrish(1.34), Basis::Read, Some(0.6)),
    solute(&["Xylitol"], 152.146, Law::Norrish(1.66), Basis::Read, Some(1.8)),
    solute(&["Sorbitol"], 182.172, Law::Norrish(1.65), Basis::Read, Some(2.35)),
    solute(&["Mannitol"], 182.172, Law::Norrish(0.91), Basis::Read, Some(0.22)),
    solute(&["Sucrose"], 342.297, Law::Norrish(6.47), Basis::Memory, Some(2.07)),
    solute(&["Glucose"], 180.156, Law::Norrish(2.25), Basis::Memory, Some(1.0)),
    solute(&["Fructose"], 180.156, Law::Raoult, Basis::Assumption, Some(4.0)),
    solute(&["Propanediol"], 76.095, Law::Raoult, Basis::Assumption, None),
    solute(&["Propylene Glycol"], 76.095, Law::Raoult, Basis::Assumption, None),
    solute(&["Butylene Glycol"], 90.122, Law::Raoult, Basis::Assumption, None),
    solute(&["Pentylene Glycol"], 104.149, Law::Raoult, Basis::Assumption, None),
    solute(&["Dipropylene Glycol"], 134.175, Law::Raoult, Basis::Assumption, None),
    solute(&["Urea"], 60.056, Law::Raoult, Basis::Assumption, Some(1.2)),
    solute(&["Betaine"], 117.148, Law::Raoult, Basis::Assumption, Some(1.6)),
    solute(&["Panthenol"], 205.254, Law::Raoult, Basis::Assumption, None),
    solute(
        &["Sodium Chloride", "Maris Sal"],
        58.44,
        Law::Salt(Osmotic::NACL),
        Basis::Memory,
        Some(0.36),
    ),
    solute(&["Potassium Chloride"], 74.548, Law::Salt(Osmotic::KCL), Basis::Memory, Some(0.355)),
    solute(&["Sodium Lactate"], 112.06, Law::Salt(Osmotic::Ideal), Basis::Assumption, None),
    solute(&["Sodium PCA"], 151.097, Law::Salt(Osmotic::Ideal), Basis::Assumption, None),
];

/// The solute of an INCI name.
#[must_use]
pub fn solute_of(inci: &str) -> Option<&'static Solute> {
    SOLUTES.iter().find(|s| s.inci.iter().any(|name| name.eq_ignore_ascii_case(inci)))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::chemistry::molar::molar_mass;
    use crate::quantity::decimal_to_f64;

    #[test]
    fn molar_masses_agree_with_formulas() {
        let formulas = [
            "C3H8O3",
            "C4H10O4",
            "C5H12O5",
            "C6H14O6",
            "C6H14O6",
            "C12H22O11",
            "C6H12O6",
            "C6H12O6",
            "C3H8O2",
            "C3H8O2",
            "C4H10O2",
            "C5H12O2",
            "C6H14O3",
            "CH4N2O",
            "C5H11NO2",
            "C9H19NO4",
            "NaCl",
            "KCl",
            "C3H5NaO3",
            "C5H6NNaO3",
        ];
        assert_eq!(formulas.len(), SOLUTES.len());
        for (s, formula) in SOLUTES.iter().zip(formulas) {
            let mass = decimal_to_f64(molar_mass(formula).unwrap());
            assert!((s.molar_mass - mass).abs() < 5e-4, "{:?} {mass}", s.inci);
        }
    }

    #[test]
    fn names_are_found_and_stand_once() {
        let names: Vec<&str> = SOLUTES.iter().flat_map(|s| s.inci.iter().copied()).collect();
        for (i, name) in names.iter().enumerate() {
            assert!(solute_of(&name.to_uppercase()).is_some());
            assert!(!names.get(i + 1..).unwrap().contains(name), "{name}");
        }
        assert_eq!(solute_of("Aqua"), None);
    }

    #[test]
    fn outside_the_fit() {
        for bad in [f64::NAN, f64::INFINITY, -0.1, 6.3] {
            assert_eq!(Osmotic::NACL.at(bad), None);
        }
        assert_eq!(Osmotic::Ideal.at(f64::NAN), None);
        assert_eq!(Osmotic::Ideal.at(50.0), Some(1.0));
    }
}

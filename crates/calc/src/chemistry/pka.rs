//! Acids of the bench and acids that preserve: pKa, and the salts that bring them.

use rust_decimal::Decimal;

use super::molar::{MolarError, acid_factor};
use crate::formula::{Basis, Confidence};

/// Ionic strength that a constant holds for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Strength {
    /// Zero: activity corrections may be put on top.
    Zero,
    /// About 0.1 mol/L: it holds such a correction already.
    Tenth,
    /// The source does not say.
    Unstated,
}

/// A substance that brings the acid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Member {
    /// INCI name.
    pub inci: &'static str,
    /// What tells it from another member of the same INCI name; empty otherwise.
    pub form: &'static str,
    /// Its formula.
    pub formula: &'static str,
    /// Acid molecules in one formula unit.
    pub n: u32,
}

/// An acid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Acid {
    /// INCI name of the acid itself.
    pub name: &'static str,
    /// Its formula.
    pub formula: &'static str,
    /// pKa at 25 °C, first step first.
    pub pka: &'static [f64],
    /// Ionic strength that they hold for.
    pub strength: Strength,
    /// True where the undissociated acid is the part that preserves.
    pub preserves: bool,
    /// Acid and salts by INCI name.
    pub members: &'static [Member],
    /// How the constants were come by.
    pub basis: Basis,
    /// How far to trust them.
    pub confidence: Confidence,
    /// Their source.
    pub source: &'static str,
}

impl Acid {
    /// The acid that a member amounts to, g per g; see [`acid_factor`].
    ///
    /// # Errors
    /// [`MolarError`] when a formula of the table cannot be read.
    pub fn factor(&self, member: &Member) -> Result<Decimal, MolarError> {
        acid_factor(member.formula, self.formula, member.n)
    }
}

const fn m(inci: &'static str, formula: &'static str) -> Member {
    Member { inci, form: "", formula, n: 1 }
}

const fn two(inci: &'static str, formula: &'static str) -> Member {
    Member { inci, form: "", formula, n: 2 }
}

const fn form(inci: &'static str, form: &'static str, formula: &'static str) -> Member {
    Member { inci, form, formula, n: 1 }
}

use Basis::{Assumption, Memory, Read};
use Confidence::{High, Low, Medium};
use Strength::{Unstated, Zero};

const LIBRE: &str = "LibreTexts, acid dissociation constants at 25 °C";
const HYDRO: &str = "published table of organic acid constants for water chemistry";
const CRC: &str = "CRC Handbook, from memory";
const MINTEQ: &str = "MINTEQ v4 database after the NIST critical constants, zero ionic strength";

macro_rules! acid {
    ($name:literal, $formula:literal, $pka:expr, $strength:expr, $preserves:expr, $basis:expr,
     $confidence:expr, $source:expr, $members:expr) => {
        Acid {
            name: $name,
            formula: $formula,
            pka: &$pka,
            strength: $strength,
            preserves: $preserves,
            members: &$members,
            basis: $basis,
            confidence: $confidence,
            source: $source,
        }
    };
}

/// Acids that preserve, then acids that set the pH.
pub const ACIDS: [Acid; 21] = [
    acid!(
        "Benzoic Acid",
        "C7H6O2",
        [4.20],
        Zero,
        true,
        Read,
        High,
        LIBRE,
        [
            m("Benzoic Acid", "C7H6O2"),
            m("Sodium Benzoate", "C7H5NaO2"),
            m("Potassium Benzoate", "C7H5KO2"),
            m("Ammonium Benzoate", "C7H9NO2"),
            two("Calcium Benzoate", "Ca(C7H5O2)2"),
            two("Magnesium Benzoate", "Mg(C7H5O2)2"),
        ]
    ),
    acid!(
        "Sorbic Acid",
        "C6H8O2",
        [4.76],
        Unstated,
        true,
        Read,
        High,
        "encyclopaedia article on sorbic acid",
        [
            m("Sorbic Acid", "C6H8O2"),
            m("Potassium Sorbate", "C6H7KO2"),
            m("Sodium Sorbate", "C6H7NaO2"),
            two("Calcium Sorbate", "Ca(C6H7O2)2"),
        ]
    ),
    acid!(
        "Dehydroacetic Acid",
        "C8H8O4",
        [5.27],
        Unstated,
        true,
        Memory,
        Medium,
        "handbook value, from memory; a secondary page prints about 5.3",
        [
            m("Dehydroacetic Acid", "C8H8O4"),
            form("Sodium Dehydroacetate", "anhydrous", "C8H7NaO4"),
            form("Sodium Dehydroacetate", "monohydrate", "C8H7NaO4·H2O"),
        ]
    ),
    acid!(
        "Salicylic Acid",
        "C7H6O3",
        [2.97],
        Zero,
        true,
        Memory,
        High,
        CRC,
        [
            m("Salicylic Acid", "C7H6O3"),
            m("Sodium Salicylate", "C7H5NaO3"),
            m("Potassium Salicylate", "C7H5KO3"),
            m("TEA-Salicylate", "C13H21NO6"),
            two("Calcium Salicylate", "Ca(C7H5O3)2"),
            two("Magnesium Salicylate", "Mg(C7H5O3)2"),
        ]
    ),
    acid!(
        "p-Anisic Acid",
        "C8H8O3",
        [4.47],
        Zero,
        true,
        Memory,
        Medium,
        CRC,
        [m("p-Anisic Acid", "C8H8O3"), m("Sodium Anisate", "C8H7NaO3"),]
    ),
    acid!(
        "Levulinic Acid",
        "C5H8O3",
        [4.64],
        Zero,
        true,
        Memory,
        Medium,
        CRC,
        [m("Levulinic Acid", "C5H8O3"), m("Sodium Levulinate", "C5H7NaO3"),]
    ),
    acid!(
        "Formic Acid",
        "CH2O2",
        [3.75],
        Zero,
        true,
        Read,
        High,
        HYDRO,
        [m("Formic Acid", "CH2O2"), m("Sodium Formate", "CHNaO2"),]
    ),
    acid!(
        "Propionic Acid",
        "C3H6O2",
        [4.87],
        Zero,
        true,
        Read,
        High,
        HYDRO,
        [
            m("Propionic Acid", "C3H6O2"),
            m("Sodium Propionate", "C3H5NaO2"),
            two("Calcium Propionate", "Ca(C3H5O2)2"),
        ]
    ),
    acid!(
        "Caprylhydroxamic Acid",
        "C8H17NO2",
        [8.2],
        Unstated,
        true,
        Assumption,
        Low,
        "assumed; acetohydroxamic acid has 8.70 (CRC Handbook). Take it as insensitive below pH 7",
        [m("Caprylhydroxamic Acid", "C8H17NO2"),]
    ),
    acid!(
        "Citric Acid",
        "C6H8O7",
        [3.13, 4.76, 6.40],
        Zero,
        false,
        Read,
        High,
        LIBRE,
        [
            form("Citric Acid", "anhydrous", "C6H8O7"),
            form("Citric Acid", "monohydrate", "C6H8O7·H2O"),
            form("Sodium Citrate", "dihydrate", "Na3C6H5O7·2H2O"),
        ]
    ),
    acid!(
        "Lactic Acid",
        "C3H6O3",
        [3.86],
        Zero,
        false,
        Read,
        High,
        HYDRO,
        [m("Lactic Acid", "C3H6O3"), m("Sodium Lactate", "C3H5NaO3"),]
    ),
    acid!(
        "Glycolic Acid",
        "C2H4O3",
        [3.83],
        Zero,
        false,
        Read,
        High,
        HYDRO,
        [m("Glycolic Acid", "C2H4O3"),]
    ),
    acid!(
        "Acetic Acid",
        "C2H4O2",
        [4.756],
        Zero,
        false,
        Read,
        High,
        LIBRE,
        [m("Acetic Acid", "C2H4O2"), m("Sodium Acetate", "C2H3NaO2"),]
    ),
    acid!(
        "Malic Acid",
        "C4H6O5",
        [3.40, 5.11],
        Zero,
        false,
        Memory,
        Medium,
        "published tables differ in the second step, 5.11 or 5.20",
        [m("Malic Acid", "C4H6O5"),]
    ),
    acid!(
        "Tartaric Acid",
        "C4H6O6",
        [3.04, 4.37],
        Zero,
        false,
        Read,
        Medium,
        MINTEQ,
        [m("Tartaric Acid", "C4H6O6"),]
    ),
    acid!(
        "Succinic Acid",
        "C4H6O4",
        [4.21, 5.64],
        Zero,
        false,
        Read,
        High,
        HYDRO,
        [m("Succinic Acid", "C4H6O4"),]
    ),
    acid!(
        "Gluconic Acid",
        "C6H12O7",
        [3.70],
        Unstated,
        false,
        Memory,
        Low,
        "from memory; the older CRC Handbook has 3.86",
        [m("Gluconic Acid", "C6H12O7"), m("Sodium Gluconate", "C6H11NaO7"),]
    ),
    acid!(
        "Phosphoric Acid",
        "H3PO4",
        [2.15, 7.20, 12.375],
        Zero,
        false,
        Memory,
        High,
        "CRC Handbook, from memory; third step from the MINTEQ v4 database",
        [m("Phosphoric Acid", "H3PO4"),]
    ),
    acid!(
        "Carbonic Acid",
        "H2CO3",
        [6.35, 10.33],
        Zero,
        false,
        Read,
        High,
        LIBRE,
        [m("Sodium Bicarbonate", "NaHCO3"), m("Sodium Carbonate", "Na2CO3"),]
    ),
    acid!(
        "Boric Acid",
        "H3BO3",
        [9.27],
        Zero,
        false,
        Read,
        High,
        LIBRE,
        [m("Boric Acid", "H3BO3"),]
    ),
    // Constants for zero ionic strength: those at 0.1 mol/L would be corrected twice.
    acid!(
        "EDTA",
        "C10H16N2O8",
        [1.5, 2.16, 3.12, 6.27, 10.95],
        Zero,
        false,
        Read,
        Medium,
        MINTEQ,
        [
            m("EDTA", "C10H16N2O8"),
            form("Disodium EDTA", "anhydrous", "C10H14N2Na2O8"),
            form("Disodium EDTA", "dihydrate", "C10H14N2Na2O8·2H2O"),
        ]
    ),
];

/// The acid that a substance of this INCI name brings, and its members of that name.
#[must_use]
pub fn acid_of(inci: &str) -> Option<(&'static Acid, Vec<&'static Member>)> {
    ACIDS.iter().find_map(|acid| {
        let members: Vec<&Member> =
            acid.members.iter().filter(|m| m.inci.eq_ignore_ascii_case(inci)).collect();
        (!members.is_empty()).then_some((acid, members))
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::chemistry::molar::molar_mass;

    #[test]
    fn every_formula_reads_and_no_salt_is_lighter_than_its_acid() {
        for acid in &ACIDS {
            assert!(!acid.members.is_empty() && !acid.source.is_empty());
            assert!(acid.pka.windows(2).all(|w| w[0] < w[1]), "{}", acid.name);
            for member in acid.members {
                let factor = acid.factor(member).unwrap();
                assert!(factor > Decimal::ZERO && factor <= Decimal::ONE, "{}", member.inci);
                let same = molar_mass(member.formula) == molar_mass(acid.formula);
                assert_eq!(factor == Decimal::ONE, same, "{}", member.inci);
            }
        }
    }

    #[test]
    fn names_lead_to_one_acid() {
        for acid in &ACIDS {
            for member in acid.members {
                let (found, members) = acid_of(&member.inci.to_lowercase()).unwrap();
                assert_eq!(found.name, acid.name);
                assert!(members.contains(&member));
            }
        }
        assert_eq!(acid_of("Sodium Dehydroacetate").unwrap().1.len(), 2);
        assert_eq!(acid_of("Aqua"), None);
    }
}

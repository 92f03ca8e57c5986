//! From a substance to the species that a rule counts, by molar mass.

use rust_decimal::Decimal;

use super::market::{Member, Species};
use crate::chemistry::molar::molar_mass;

/// Why an amount cannot be counted as another species.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FactorError {
    /// Not a chemical formula, or of an element without a weight here.
    #[error("“{0}” is not a chemical formula that can be read")]
    Formula(String),
    /// No moles of the species come from it.
    #[error("no moles of the counted species are stated")]
    Moles,
}

/// How an amount is counted as another species.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Conversion {
    /// Moles of the species from one mole of the substance, from 1.
    pub moles: u32,
    /// Molar mass of the species in g/mol.
    pub species_mass: Decimal,
    /// Molar mass of the substance in g/mol.
    pub member_mass: Decimal,
    /// Mass of the species per mass of the substance: moles × species mass / substance mass.
    pub factor: Decimal,
}

/// How a substance counts as a species; `None` where it counts as it is: it has no formula of
/// its own in the rule, or it is the species.
///
/// # Errors
/// [`FactorError`] when a formula cannot be read or no moles are stated.
pub fn factor(member: &Member, species: &Species) -> Result<Option<Conversion>, FactorError> {
    let Some(own) = member.formula.as_deref() else { return Ok(None) };
    if member.moles == 0 {
        return Err(FactorError::Moles);
    }
    if own == species.formula && member.moles == 1 {
        return Ok(None);
    }
    let bad = |text: &str| FactorError::Formula(text.to_owned());
    let member_mass = molar_mass(own).map_err(|_| bad(own))?;
    let species_mass = molar_mass(&species.formula).map_err(|_| bad(&species.formula))?;
    let factor = Decimal::from(member.moles)
        .saturating_mul(species_mass)
        .checked_div(member_mass)
        .ok_or_else(|| bad(own))?;
    Ok(Some(Conversion { moles: member.moles, species_mass, member_mass, factor }))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn member(formula: Option<&str>, moles: u32) -> Member {
        Member {
            inci: "x".to_owned(),
            aliases: Vec::new(),
            cas: Vec::new(),
            formula: formula.map(str::to_owned),
            moles,
        }
    }

    // Sums of the abridged weights, calculated by hand.
    #[test]
    fn molar_masses_add_up() {
        for (formula, mass) in [
            ("C7H6O2", "122.123"),
            ("C7H5NaO2", "144.105"),
            ("C12H14CaO4", "262.318"),
            ("CHNaO2", "68.007"),
        ] {
            assert_eq!(molar_mass(formula), Ok(mass.parse().unwrap()), "{formula}");
        }
        for bad in ["", " ", "7C", "c7", "C0", "Xx2", "C7H5(OH", "C99999999999999999999", "Ü"] {
            let own = Species { name: "acid".to_owned(), formula: "C7H6O2".to_owned() };
            let read = factor(&member(Some(bad), 1), &own);
            assert_eq!(read, Err(FactorError::Formula(bad.to_owned())), "{bad}");
        }
    }

    #[test]
    fn a_substance_that_is_the_species_counts_as_it_is() {
        let acid = Species { name: "benzoic acid".to_owned(), formula: "C7H6O2".to_owned() };
        assert_eq!(factor(&member(None, 1), &acid), Ok(None));
        assert_eq!(factor(&member(Some("C7H6O2"), 1), &acid), Ok(None));
        assert_eq!(factor(&member(Some("C7H5NaO2"), 0), &acid), Err(FactorError::Moles));
        assert!(factor(&member(Some("salt"), 1), &acid).is_err());
        let salt = factor(&member(Some("C7H5NaO2"), 1), &acid).unwrap().unwrap();
        assert_eq!(salt.factor.round_dp(5), "0.84746".parse().unwrap());
    }
}

//! Molar masses from formulas, and how much acid a salt or ester amounts to.

use rust_decimal::Decimal;

/// Symbols with their abridged standard atomic weight in units of 10⁻⁶.
///
/// Source: IUPAC Commission on Isotopic Abundances and Atomic Weights (CIAAW), abridged standard
/// atomic weights of 2021 to five digits, and for zirconium its revision of 2024;
/// from memory, compared with the open data set of the molmass package.
const WEIGHTS: [(&str, i64); 41] = [
    ("H", 1_008_000),
    ("Li", 6_940_000),
    ("B", 10_810_000),
    ("C", 12_011_000),
    ("N", 14_007_000),
    ("O", 15_999_000),
    ("F", 18_998_000),
    ("Na", 22_990_000),
    ("Mg", 24_305_000),
    ("Al", 26_982_000),
    ("Si", 28_085_000),
    ("P", 30_974_000),
    ("S", 32_060_000),
    ("Cl", 35_450_000),
    ("K", 39_098_000),
    ("Ca", 40_078_000),
    ("Ti", 47_867_000),
    ("V", 50_942_000),
    ("Cr", 51_996_000),
    ("Mn", 54_938_000),
    ("Fe", 55_845_000),
    ("Co", 58_933_000),
    ("Ni", 58_693_000),
    ("Cu", 63_546_000),
    ("Zn", 65_380_000),
    ("Ga", 69_723_000),
    ("Ge", 72_630_000),
    ("As", 74_922_000),
    ("Se", 78_971_000),
    ("Br", 79_904_000),
    ("Rb", 85_468_000),
    ("Sr", 87_620_000),
    ("Zr", 91_222_000),
    ("Ag", 107_870_000),
    ("Sn", 118_710_000),
    ("I", 126_900_000),
    ("Cs", 132_910_000),
    ("Ba", 137_330_000),
    ("Au", 196_970_000),
    ("Hg", 200_590_000),
    ("Bi", 208_980_000),
];

/// Longest formula that is read, in characters.
const LONGEST: usize = 200;

/// Why a molar mass cannot be had.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MolarError {
    /// Nothing was given.
    #[error("the formula is empty")]
    Empty,
    /// The formula has more than 200 characters.
    #[error("the formula is too long")]
    TooLong,
    /// No element of this symbol is in the table.
    #[error("{0} is no element that is known here")]
    Unknown(String),
    /// A character that no formula holds.
    #[error("{0:?} does not belong in a formula")]
    Unexpected(char),
    /// A count of zero, in the formula or of acid molecules.
    #[error("a count is zero")]
    ZeroCount,
    /// A count or a mass is too large.
    #[error("a count is too large")]
    Overflow,
    /// A bracket is not opened, not closed or holds nothing.
    #[error("the brackets do not match")]
    Brackets,
}

/// Abridged standard atomic weight of a symbol, g/mol.
///
/// # Errors
/// [`MolarError::Unknown`] outside the table.
pub fn atomic_weight(symbol: &str) -> Result<Decimal, MolarError> {
    WEIGHTS
        .iter()
        .find(|(s, _)| *s == symbol)
        .map(|(_, micro)| Decimal::new(*micro, 6).normalize())
        .ok_or_else(|| MolarError::Unknown(symbol.to_owned()))
}

/// Molar mass in g/mol, exact in the abridged atomic weights.
///
/// Reads symbols, counts, round brackets and water of crystallisation after a middle dot, as in
/// `C7H5NaO2`, `Ca(C6H7O2)2` and `Na3C6H5O7·2H2O`.
///
/// # Errors
/// [`MolarError`] for whatever is no formula.
pub fn molar_mass(formula: &str) -> Result<Decimal, MolarError> {
    let text = formula.trim();
    if text.is_empty() {
        return Err(MolarError::Empty);
    }
    if text.chars().count() > LONGEST {
        return Err(MolarError::TooLong);
    }
    let mut total = Decimal::ZERO;
    for (i, part) in text.split('·').enumerate() {
        let mut rest = Reader(part);
        // A leading count multiplies what is added after a dot: "·2H2O".
        let times = if i > 0 { rest.count()? } else { 1 };
        total = plus(total, scaled(rest.group()?, times)?)?;
    }
    Ok(total.normalize())
}

/// The acid that a salt or ester amounts to: n · M(acid) / M(salt), in g per g.
///
/// `n` is how many acid molecules one formula unit of the salt yields. Source of the rule:
/// Regulation (EC) No 1223/2009, Annex V, preamble and limits "expressed as acid"; the factor is
/// stoichiometry.
///
/// # Errors
/// [`MolarError`] for whatever is no formula, and for `n` of zero.
pub fn acid_factor(salt: &str, acid: &str, n: u32) -> Result<Decimal, MolarError> {
    if n == 0 {
        return Err(MolarError::ZeroCount);
    }
    let acid = scaled(molar_mass(acid)?, n)?;
    acid.checked_div(molar_mass(salt)?).ok_or(MolarError::Overflow)
}

fn plus(a: Decimal, b: Decimal) -> Result<Decimal, MolarError> {
    a.checked_add(b).ok_or(MolarError::Overflow)
}

fn scaled(mass: Decimal, count: u32) -> Result<Decimal, MolarError> {
    mass.checked_mul(Decimal::from(count)).ok_or(MolarError::Overflow)
}

/// What is left to read of a formula.
struct Reader<'a>(&'a str);

impl Reader<'_> {
    fn peek(&self) -> Option<char> {
        self.0.chars().next()
    }

    fn take(&mut self) -> Option<char> {
        let mut chars = self.0.chars();
        let c = chars.next();
        self.0 = chars.as_str();
        c
    }

    /// A count, 1 when none is written.
    fn count(&mut self) -> Result<u32, MolarError> {
        let end = self.0.find(|c: char| !c.is_ascii_digit()).unwrap_or(self.0.len());
        let (digits, rest) = self.0.split_at(end);
        self.0 = rest;
        if digits.is_empty() {
            return Ok(1);
        }
        match digits.parse::<u32>().map_err(|_| MolarError::Overflow)? {
            0 => Err(MolarError::ZeroCount),
            n => Ok(n),
        }
    }

    /// A symbol: a capital and the small letters after it.
    fn symbol(&mut self) -> Result<Decimal, MolarError> {
        let mut symbol = String::new();
        symbol.extend(self.take());
        while let Some(c) = self.peek().filter(char::is_ascii_lowercase) {
            symbol.push(c);
            self.take();
        }
        atomic_weight(&symbol)
    }

    /// Everything to the end. Open brackets wait on a stack, so that depth costs no recursion.
    fn group(&mut self) -> Result<Decimal, MolarError> {
        if self.0.is_empty() {
            return Err(MolarError::Empty);
        }
        let mut open = Vec::new();
        let mut sum = Decimal::ZERO;
        while let Some(c) = self.peek() {
            match c {
                '(' => {
                    self.take();
                    open.push(sum);
                    sum = Decimal::ZERO;
                }
                ')' => {
                    self.take();
                    let outside = open.pop().ok_or(MolarError::Brackets)?;
                    if sum.is_zero() {
                        return Err(MolarError::Brackets);
                    }
                    let times = self.count()?;
                    sum = plus(outside, scaled(sum, times)?)?;
                }
                c if c.is_ascii_uppercase() => {
                    let weight = self.symbol()?;
                    let times = self.count()?;
                    sum = plus(sum, scaled(weight, times)?)?;
                }
                c => return Err(MolarError::Unexpected(c)),
            }
        }
        if open.is_empty() { Ok(sum) } else { Err(MolarError::Brackets) }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_same_substance_written_two_ways() {
        let mass = |f| molar_mass(f).unwrap();
        assert_eq!(mass("Ca(C6H7O2)2"), mass("C12H14CaO4"));
        assert_eq!(mass("C8H7NaO4·H2O"), mass("C8H9NaO5"));
        assert_eq!(mass("Na3C6H5O7·2H2O"), mass("C6H9Na3O9"));
        assert_eq!(mass("((H2O))"), mass("H2O"));
        assert_eq!(mass(" H2O ").to_string(), "18.015");
    }

    #[test]
    fn what_is_no_formula() {
        use MolarError as E;
        for (text, error) in [
            ("", E::Empty),
            ("  ", E::Empty),
            ("·H2O", E::Empty),
            ("H2O·", E::Empty),
            ("H2O·2", E::Empty),
            ("Xx", E::Unknown("Xx".to_owned())),
            ("NaX", E::Unknown("X".to_owned())),
            ("Nacl", E::Unknown("Nacl".to_owned())),
            ("h2o", E::Unexpected('h')),
            ("2H2O", E::Unexpected('2')),
            ("C-H", E::Unexpected('-')),
            ("C٢", E::Unexpected('٢')),
            ("H0", E::ZeroCount),
            ("(CH2)0", E::ZeroCount),
            ("H2O·0H2O", E::ZeroCount),
            ("H99999999999", E::Overflow),
            ("(((C4294967295)4294967295)4294967295)4294967295", E::Overflow),
            ("(CH2", E::Brackets),
            ("CH2)2", E::Brackets),
            ("C()2", E::Brackets),
        ] {
            assert_eq!(molar_mass(text), Err(error), "{text}");
        }
        assert_eq!(molar_mass(&"C".repeat(201)), Err(E::TooLong));
        assert_eq!(molar_mass(&"(".repeat(200)), Err(E::Brackets));
        assert_eq!(acid_factor("H2O", "H2O", 0), Err(E::ZeroCount));
        assert_eq!(acid_factor("", "H2O", 1), Err(E::Empty));
    }

    #[test]
    fn every_symbol_stands_once() {
        for (i, (symbol, _)) in WEIGHTS.iter().enumerate() {
            assert!(WEIGHTS.iter().skip(i + 1).all(|(s, _)| s != symbol), "{symbol}");
        }
    }

    proptest! {
        #[test]
        fn any_text_gives_an_answer(text in "[A-Za-z0-9()·. ]{0,40}") {
            if let Ok(mass) = molar_mass(&text) {
                prop_assert!(mass > Decimal::ZERO);
            }
        }

        #[test]
        fn counts_add(c in 1u32..500, h in 1u32..500) {
            let mass = molar_mass(&format!("C{c}H{h}")).unwrap();
            let parts = atomic_weight("C").unwrap() * Decimal::from(c)
                + atomic_weight("H").unwrap() * Decimal::from(h);
            prop_assert_eq!(mass, parts);
        }
    }
}

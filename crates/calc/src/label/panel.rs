//! The principal display panel: the part of a pack that is shown to whoever buys it.

use rust_decimal::Decimal;

use super::Cited;
use crate::formula::Basis;

/// How the area of the panel is measured.
pub const PANEL: Cited = Cited {
    source: "21 CFR 701.10, as summarised in guides to labelling for the United States",
    basis: Basis::Read,
};

/// Square millimetres in a square inch, exact: an inch is 25.4 mm.
pub const SQUARE_INCH_MM2: Decimal = Decimal::from_parts(64_516, 0, 0, false, 2);
/// Millimetres in an inch, exact.
const INCH_MM: Decimal = Decimal::from_parts(254, 0, 0, false, 1);
/// The share of a round pack that is its panel.
const ROUND_SHARE: Decimal = Decimal::from_parts(4, 0, 0, false, 1);

/// Inches in millimetres.
#[must_use]
pub fn mm_from_inches(inches: Decimal) -> Decimal {
    inches.saturating_mul(INCH_MM)
}

/// The shape of the panel, in mm.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Panel {
    /// One whole side of a box.
    Rectangle {
        /// mm.
        height: Decimal,
        /// mm.
        width: Decimal,
    },
    /// A jar, tin or bottle: 40 % of height times circumference.
    Cylinder {
        /// mm, of the wall without shoulder and neck.
        height: Decimal,
        /// mm.
        circumference: Decimal,
    },
    /// Any other shape: 40 % of the surface, without top, bottom, shoulder and neck.
    Other {
        /// mm².
        surface: Decimal,
    },
}

impl Panel {
    /// The area in mm², exact; `None` where a measure is zero or less, or the area beyond what a
    /// decimal holds.
    #[must_use]
    pub fn area_mm2(self) -> Option<Decimal> {
        let (a, b, share) = match self {
            Self::Rectangle { height, width } => (height, width, Decimal::ONE),
            Self::Cylinder { height, circumference } => (height, circumference, ROUND_SHARE),
            Self::Other { surface } => (surface, Decimal::ONE, ROUND_SHARE),
        };
        if a <= Decimal::ZERO || b <= Decimal::ZERO {
            return None;
        }
        let area = a.checked_mul(b)?.checked_mul(share)?;
        (area > Decimal::ZERO).then_some(area)
    }

    /// The area in square inches; see [`Self::area_mm2`].
    #[must_use]
    pub fn area_sq_in(self) -> Option<Decimal> {
        self.area_mm2()?.checked_div(SQUARE_INCH_MM2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn d(text: &str) -> Decimal {
        text.parse().unwrap()
    }

    #[test]
    fn areas() {
        let box_side = Panel::Rectangle { height: d("127"), width: d("25.4") };
        assert_eq!(box_side.area_sq_in(), Some(d("5")));
        let jar = Panel::Cylinder { height: d("50"), circumference: d("200") };
        assert_eq!(jar.area_mm2(), Some(d("4000")));
        assert_eq!(Panel::Other { surface: d("10000") }.area_mm2(), Some(d("4000")));
        assert_eq!(mm_from_inches(d("3")), d("76.2"));
    }

    #[test]
    fn no_measure_no_area() {
        for bad in [
            Panel::Rectangle { height: d("0"), width: d("25.4") },
            Panel::Rectangle { height: d("-5"), width: d("-5") },
            Panel::Cylinder { height: Decimal::MAX, circumference: Decimal::MAX },
            Panel::Other { surface: Decimal::ZERO },
        ] {
            assert_eq!((bad.area_mm2(), bad.area_sq_in()), (None, None), "{bad:?}");
        }
    }
}

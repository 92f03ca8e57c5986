//! What a workshop keeps about setting: its temperatures, its moulds, its heater, its reference
//! bar, and what it measured.

use super::calibrate::Measured;
use super::mould::{Mould, generic};
use crate::formula::FormulaId;

/// Usual temperature of the room, °C.
pub const ROOM_C: f64 = 21.0;
/// Usual temperature of a fridge, °C.
pub const FRIDGE_C: f64 = 5.0;
/// Usual temperature of a warm parcel, °C (common practice: a van in summer).
pub const PARCEL_C: f64 = 40.0;
/// Skin at the surface, °C (from memory).
pub const SKIN_C: f64 = 32.0;
/// Usual power of a single hot plate, W.
pub const HEATER_W: f64 = 1_000.0;
/// Share of a heater's power that reaches the pot: 40 to 60 % for a plate or a water bath
/// (assumption).
pub const HEATER_SHARE: f64 = 0.5;

/// Measurements that a workshop keeps at most.
pub const MEASURED_MAX: usize = 500;
/// Own moulds that a workshop keeps at most.
pub const MOULDS_MAX: usize = 200;

/// What a workshop keeps about setting. A figure that is `None` is the usual one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SettingNotes {
    /// Temperature of the room, °C.
    pub room_c: Option<f64>,
    /// Temperature of the fridge, °C.
    pub fridge_c: Option<f64>,
    /// Temperature of a warm parcel, °C.
    pub parcel_c: Option<f64>,
    /// Power of the heater, W.
    pub heater_w: Option<f64>,
    /// The bar that others are compared with.
    pub reference: Option<FormulaId>,
    /// The mould in use, by name.
    pub mould: Option<String>,
    /// The workshop's own moulds, by unique names.
    pub moulds: Vec<Mould>,
    /// Measurements, oldest first.
    pub measured: Vec<Measured>,
}

impl SettingNotes {
    /// Temperature of the room, °C.
    #[must_use]
    pub fn room(&self) -> f64 {
        self.room_c.unwrap_or(ROOM_C)
    }

    /// Temperature of the fridge, °C.
    #[must_use]
    pub fn fridge(&self) -> f64 {
        self.fridge_c.unwrap_or(FRIDGE_C)
    }

    /// Temperature of a warm parcel, °C.
    #[must_use]
    pub fn parcel(&self) -> f64 {
        self.parcel_c.unwrap_or(PARCEL_C)
    }

    /// Power of the heater, W.
    #[must_use]
    pub fn heater(&self) -> f64 {
        self.heater_w.unwrap_or(HEATER_W)
    }

    /// Own moulds, then the generic ones whose names are not taken.
    #[must_use]
    pub fn all_moulds(&self) -> Vec<Mould> {
        let taken = |m: &Mould| self.moulds.iter().any(|own| own.name == m.name);
        let generic = generic().into_iter().filter(|m| !taken(m));
        self.moulds.iter().cloned().chain(generic).collect()
    }

    /// The mould in use; the first generic one when its name is gone.
    #[must_use]
    pub fn mould_in_use(&self) -> Option<Mould> {
        let all = self.all_moulds();
        let wanted = self.mould.as_deref();
        let found = all.iter().find(|m| wanted == Some(m.name.as_str())).cloned();
        found.or_else(|| generic().into_iter().next())
    }

    /// What was measured on a formula, oldest first.
    pub fn of<'a>(&'a self, formula: &'a FormulaId) -> impl Iterator<Item = &'a Measured> {
        self.measured.iter().filter(move |m| m.formula == *formula)
    }

    /// True when nothing is kept.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use crate::setting::mould::{Shape, Wall};

    #[test]
    fn own_figures_and_moulds_win() {
        let mut notes = SettingNotes::default();
        assert!(notes.is_empty());
        assert_eq!(notes.room(), ROOM_C);
        let first = generic().remove(0);
        assert_eq!(notes.mould_in_use().unwrap(), first);
        let own = Mould {
            name: first.name.clone(),
            shape: Shape::Dome(50.0),
            measured_ml: None,
            wall: Wall::Metal,
        };
        notes.moulds.push(own.clone());
        notes.mould = Some(own.name.clone());
        assert_eq!(notes.mould_in_use().unwrap(), own);
        assert_eq!(notes.all_moulds().len(), generic().len());
        notes.mould = Some("gone".to_owned());
        assert_eq!(notes.mould_in_use().unwrap().name, first.name);
    }
}

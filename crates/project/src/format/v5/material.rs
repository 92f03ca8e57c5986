//! Materials, as projects carry them and as the built-in library holds them.
//!
//! Each figure repeats `conf`, `basis` and `src` beside its value: RON has no way to lift them
//! out, and beside the value is where a reader looks for them.

use quern_calc::formula::{
    AtPour, Basis, Caution, Charge, Confidence, Function, PhaseKind, PowderShape, UseScope,
    WaterKind,
};
use quern_calc::quantity::{Date, Grams, Percent};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::grain::{Lot, Sizes};
use crate::format::word::Word;

/// One file of the built-in library.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "library")]
pub(crate) struct MaterialsFile {
    pub(crate) format: u32,
    pub(crate) edition: String,
    pub(crate) as_of: Word<Date>,
    pub(crate) materials: Vec<Material>,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // the shape that serde asks for
fn is_false(value: &bool) -> bool {
    !value
}

fn unstated() -> Word<Basis> {
    Word(Basis::Unstated)
}

fn is_unstated(value: &Word<Basis>) -> bool {
    value.0 == Basis::Unstated
}

fn anywhere() -> Word<PhaseKind> {
    Word(PhaseKind::Other)
}

fn is_uncharged(value: &Word<Charge>) -> bool {
    value.0 == Charge::None
}

/// A material.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "material")]
#[rustfmt::skip]
pub(crate) struct Material {
    pub(super) id: String,
    pub(super) inci: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) form: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) names: Vec<String>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) group: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) function: Option<Word<Function>>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) roles: Vec<String>,
    #[serde(default = "anywhere")]
    pub(super) phase: Word<PhaseKind>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) at_pour: Option<Word<AtPour>>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) solubility: String,
    pub(super) confidence: Word<Confidence>,
    #[serde(default)]
    pub(super) source: String,
    #[serde(default = "unstated", skip_serializing_if = "is_unstated")]
    pub(super) basis: Word<Basis>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) notes: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) cas: Option<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) composition: Vec<Part>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) water: Option<Water>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) active: Option<Active>,
    /// The first use level, in the short form of the built-in files.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) use_level: Option<UseLevel>,
    /// The second use level, likewise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) use_level_leave_on: Option<UseLevel>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) use_levels: Vec<UseLevel>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) heat_limit: Option<HeatLimit>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) process_min: Option<Value>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) melting: Option<Melting>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) density_solid: Option<ValueAt>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) density_melt: Option<ValueAt>,
    #[serde(default, skip_serializing_if = "is_uncharged")]
    pub(super) charge: Word<Charge>,
    #[serde(default, skip_serializing_if = "is_false")]
    pub(super) surfactant: bool,
    #[serde(default, skip_serializing_if = "is_false")]
    pub(super) electrolyte: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) hlb: Option<Value>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) required_hlb: Option<Range>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) natural_origin: Option<Value>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) ph_window: Option<Range>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) oil_absorption: Option<Value>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) shape: Option<Word<PowderShape>>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) cautions: Vec<Word<Caution>>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) allergens: Vec<Allergen>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) label_groups: Vec<String>,
    #[serde(default, skip_serializing_if = "is_false")]
    pub(super) allergens_complete: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) certificate: Option<Certificate>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) flash_point: Option<Value>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) grain: Option<Grain>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) fat: Vec<Fat>,
    /// The maker's own table of solid fat: rows of °C and % of the mass. No table is not an empty
    /// one, which is a slip.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) solids: Option<Vec<(f64, f64)>>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) fatty_acids: Vec<(String, f64)>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) iodine_value: Option<Range>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) saponification: Option<Range>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) price: Option<Price>,
}

/// A struct of values with the confidence, basis and source of a figure.
macro_rules! figure {
    ($(#[$doc:meta])* $name:ident { $($(#[$meta:meta])* $field:ident: $ty:ty,)* }) => {
        $(#[$doc])*
        #[derive(Debug, Serialize, Deserialize)]
        #[serde(deny_unknown_fields, rename = "figure")]
        pub(super) struct $name {
            $($(#[$meta])* pub(super) $field: $ty,)*
            pub(super) conf: Word<Confidence>,
            pub(super) basis: Word<Basis>,
            #[serde(default, skip_serializing_if = "String::is_empty")]
            pub(super) src: String,
        }

        impl super::material_in::Sourced for $name {
            fn provenance(&self) -> (Confidence, Basis, &str) {
                (self.conf.0, self.basis.0, &self.src)
            }
        }
    };
}

figure! {
    /// One number; unit and meaning are the field's.
    Value {
        v: f64,
    }
}
figure! {
    /// One number at a temperature.
    ValueAt {
        v: f64,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at_c: Option<f64>,
    }
}
figure! {
    /// A range; an end that is left out is open.
    Range {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        low: Option<f64>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        high: Option<f64>,
    }
}
figure! {
    /// Melting range in °C.
    Melting {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        low: Option<f64>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        high: Option<f64>,
        #[serde(default)]
        in_process: bool,
    }
}
figure! {
    /// Heat limit in °C.
    HeatLimit {
        v: f64,
        #[serde(default, skip_serializing_if = "is_false")]
        only_wet: bool,
    }
}
figure! {
    /// Water as supplied, % of the material.
    Water {
        percent: Word<Decimal>,
        kind: Word<WaterKind>,
    }
}
figure! {
    /// Active matter, % of the material.
    Active {
        percent: Word<Decimal>,
    }
}
figure! {
    /// Usual range of use, % of the product.
    UseLevel {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        low: Option<Word<Decimal>>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        high: Option<Word<Decimal>>,
        scope: Word<UseScope>,
    }
}
figure! {
    /// Grains of an exfoliant.
    Grain {
        sizes: Sizes,
        #[serde(default)]
        assumed_size: bool,
        hardness_mpa: f64,
        angularity: f64,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mohs: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        dissolves_um_per_s: Option<f64>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        lots: Vec<Lot>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lot_in_use: Option<String>,
    }
}
figure! {
    /// One part in the melt model. A liquid is `inert` and has no melting data.
    Fat {
        name: String,
        share: f64,
        m: f64,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        tm_c: Option<f64>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        dh_kj_mol: Option<f64>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        group: Option<String>,
        #[serde(default, skip_serializing_if = "is_false")]
        inert: bool,
    }
}

/// One component of a blend; without a share it needs no source.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "part")]
pub(super) struct Part {
    pub(super) inci: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) share: Option<Word<Decimal>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) conf: Option<Word<Confidence>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) basis: Option<Word<Basis>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) src: Option<String>,
}

/// One fragrance allergen, % of the material.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "allergen")]
pub(super) struct Allergen {
    pub(super) name: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) low: Option<Word<Decimal>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) high: Option<Word<Decimal>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) conf: Option<Word<Confidence>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) basis: Option<Word<Basis>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) src: Option<String>,
}

/// Use limits from the supplier's certificate.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "certificate")]
pub(super) struct Certificate {
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) standard: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) date: Option<Word<Date>>,
    /// Category and % of the product at most.
    #[serde(default)]
    pub(super) limits: Vec<(String, Word<Percent>)>,
}

/// Price of one pack.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "price")]
pub(super) struct Price {
    pub(super) amount: Word<Decimal>,
    pub(super) pack: Word<Grams>,
}

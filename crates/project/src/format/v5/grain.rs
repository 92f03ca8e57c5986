//! Grain sizes, and the lots that a maker entered.

use quern_calc::formula as domain;
use quern_calc::grit::sizes::SizeData;
use quern_calc::grit::table::{SieveRow, SieveTable};
use serde::{Deserialize, Serialize};

/// Grain sizes as stated or measured, in µm; shares from 0 to 1.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "sizes")]
#[rustfmt::skip]
pub(super) enum Sizes {
    SieveRange { lo_um: f64, hi_um: f64 },
    Percentiles { d10_um: f64, d50_um: f64, d90_um: f64 },
    TwoPoints { d1_um: f64, p1: f64, d2_um: f64, p2: f64 },
    Below { um: f64, share: f64, sigma: f64 },
    /// Rows of opening and mass kept; one unit of mass in the whole table.
    Sieved {
        rows: Vec<(f64, f64)>,
        pan: f64,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        sample: Option<f64>,
    },
    Lognormal { d50_um: f64, sigma: f64 },
}

impl From<Sizes> for SizeData {
    fn from(sizes: Sizes) -> Self {
        match sizes {
            Sizes::SieveRange { lo_um, hi_um } => Self::SieveRange { lo_um, hi_um },
            Sizes::Percentiles { d10_um, d50_um, d90_um } => {
                Self::Percentiles { d10_um, d50_um, d90_um }
            }
            Sizes::TwoPoints { d1_um, p1, d2_um, p2 } => Self::TwoPoints { d1_um, p1, d2_um, p2 },
            Sizes::Below { um, share, sigma } => Self::Below { um, share, sigma },
            Sizes::Sieved { rows, pan, sample } => {
                let rows = rows.into_iter().map(|(opening_um, kept)| SieveRow { opening_um, kept });
                Self::Sieved(SieveTable { rows: rows.collect(), pan, sample })
            }
            Sizes::Lognormal { d50_um, sigma } => Self::Lognormal { d50_um, sigma },
        }
    }
}

impl From<&SizeData> for Sizes {
    fn from(sizes: &SizeData) -> Self {
        match *sizes {
            SizeData::SieveRange { lo_um, hi_um } => Self::SieveRange { lo_um, hi_um },
            SizeData::Percentiles { d10_um, d50_um, d90_um } => {
                Self::Percentiles { d10_um, d50_um, d90_um }
            }
            SizeData::TwoPoints { d1_um, p1, d2_um, p2 } => {
                Self::TwoPoints { d1_um, p1, d2_um, p2 }
            }
            SizeData::Below { um, share, sigma } => Self::Below { um, share, sigma },
            SizeData::Sieved(SieveTable { ref rows, pan, sample }) => {
                let rows = rows.iter().map(|row| (row.opening_um, row.kept)).collect();
                Self::Sieved { rows, pan, sample }
            }
            SizeData::Lognormal { d50_um, sigma } => Self::Lognormal { d50_um, sigma },
        }
    }
}

/// Sizes that the maker entered for one lot or grade.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "lot")]
pub(super) struct Lot {
    name: String,
    /// The entry as it was typed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    stated: String,
    sizes: Sizes,
}

impl From<Lot> for domain::GrainLot {
    fn from(lot: Lot) -> Self {
        Self { name: lot.name, stated: lot.stated, sizes: lot.sizes.into() }
    }
}

impl From<&domain::GrainLot> for Lot {
    fn from(lot: &domain::GrainLot) -> Self {
        Self { name: lot.name.clone(), stated: lot.stated.clone(), sizes: Sizes::from(&lot.sizes) }
    }
}

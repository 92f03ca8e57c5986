//! What the program calculates, against figures that somebody else printed or calculated.
//!
//! Beside every check stands where its figure comes from. "Calculated apart" means: by
//! `reference.py` and the files beside it, with other people's code (fluids, scipy, numpy,
//! chemicals, HiGHS) or with the same equations written again, kept in `reference.json` and
//! `setting.json`. Figures that nobody has printed, such as a grit index, can only be checked that
//! way and say so. "From memory" and "common practice" are written where that is the truth.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp,
    clippy::cast_possible_truncation
)]

mod allergens;
mod chemistry;
mod conventions;
mod cooling;
mod density;
mod exposure;
mod grit;
mod guide;
mod label;
mod limits;
mod materials;
mod melt;
mod pour;
mod search;
mod shelf;
mod sieves;
mod sizes;
mod solve;
mod units;
mod weighing;

use std::sync::OnceLock;

use quern_calc::quantity::{Grams, Percent};
use rust_decimal::Decimal;
use serde_json::Value;

/// The figures of `reference.py`.
fn reference() -> &'static Value {
    static FILE: OnceLock<Value> = OnceLock::new();
    FILE.get_or_init(|| serde_json::from_str(include_str!("reference.json")).unwrap())
}

/// Its figures for pouring, setting and cooling.
fn setting() -> &'static Value {
    static FILE: OnceLock<Value> = OnceLock::new();
    FILE.get_or_init(|| serde_json::from_str(include_str!("setting.json")).unwrap())
}

/// A number of the reference file.
fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

/// The entries of a list in the reference file; an empty list would check nothing.
fn rows(value: &Value) -> &[Value] {
    let rows = value.as_array().unwrap();
    assert!(!rows.is_empty());
    rows
}

/// Holds a value to a published one within an absolute tolerance.
#[track_caller]
fn near(what: &str, value: f64, published: f64, tolerance: f64) {
    assert!(
        (value - published).abs() <= tolerance,
        "{what}: {value}, published {published} within {tolerance}"
    );
}

/// Holds a value to a published one within a relative tolerance.
#[track_caller]
fn same(what: &str, value: f64, published: f64, relative: f64) {
    near(what, value, published, relative * published.abs());
}

/// An exact decimal.
fn d(text: &str) -> Decimal {
    text.parse().unwrap()
}

fn percent(text: &str) -> Percent {
    Percent(d(text))
}

fn grams(text: &str) -> Grams {
    Grams(d(text))
}

/// Random numbers that are the same everywhere: the linear congruential generator of Knuth's MMIX
/// (The Art of Computer Programming, volume 2, section 3.3.4; constants from memory).
struct Lcg(u64);

impl Lcg {
    /// From 0 to below 1.
    fn unit(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Evenly spread over the logarithm.
    fn log_between(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.unit())
    }

    /// From 0 to below `n`.
    fn below(&mut self, n: usize) -> usize {
        ((self.unit() * n as f64) as usize).min(n - 1)
    }
}

#[test]
fn the_reference_files_name_their_makers() {
    let pinned = include_str!("requirements.txt");
    for file in [reference(), setting()] {
        let made = file["made_with"].as_object().unwrap();
        assert!(made.len() >= 4);
        for (package, version) in made {
            let line = format!("{package}=={}", version.as_str().unwrap());
            assert!(pinned.lines().any(|l| l == line), "{line} is not pinned in requirements.txt");
        }
    }
}

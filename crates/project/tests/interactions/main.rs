//! Rules of mixing and scent, with the figures and lists of the built-in data: for every rule a
//! formula that trips it and one that just does not.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp
)]

mod bench;
mod charges;
mod oils;
mod ph;
mod powders;
mod samples;
mod scent;
mod solubility;
mod whole;

//! What every format must hold, and what no text may do to it.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

mod blend_contents;
#[cfg(feature = "pdf")]
mod blend_pages;
mod blends;
mod contents;
mod examples;
mod hostile;
mod label_contents;
#[cfg(feature = "pdf")]
mod label_pages;
mod labels;
#[cfg(feature = "pdf")]
mod pages;
mod setting_contents;
#[cfg(feature = "pdf")]
mod setting_pages;
mod settings;

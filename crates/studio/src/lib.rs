//! Quern: a formulation studio for the small cosmetic bench.
//!
//! This crate is the window and the headless commands. All figures come from
//! `quern-calc`, all files from `quern-project`, all sheets from `quern-sheet`; views
//! compute nothing.

// First: its macros are used in all that follows.
#[macro_use]
pub mod words;

pub mod app;
pub mod cli;
pub mod clock;
mod dialogs;
pub mod guide;
pub mod look;
pub mod run;
pub mod timing;
pub mod views;
mod widgets;

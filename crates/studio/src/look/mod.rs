//! How it looks: tokens, fonts, style and icons. Colours, sizes and fonts come from here
//! alone.

pub mod focus;
pub mod fonts;
pub mod icons;
pub mod style;
#[cfg(test)]
mod tests;
mod themes;
pub mod tokens;

pub use tokens::{Pattern, Tokens, size};

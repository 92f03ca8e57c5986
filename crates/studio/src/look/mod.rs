//! How it looks: tokens, fonts, style and icons. Colours, sizes and fonts come from here
//! alone.

pub mod fonts;
pub mod icons;
pub mod style;
pub mod tokens;

pub use tokens::{Tokens, size};

//! Widgets of our own: number cells, donut, gauge tracks, small buttons.

mod choice;
pub mod choices;
pub mod dashes;
pub mod donut;
pub mod gauge;
pub mod number_field;
pub mod pattern;
pub mod plot;
pub mod small;
pub mod table;
mod text_field;

pub use choice::{choice, choice_of};
pub use number_field::{Entered, NumberField, RowNumber};
pub use small::{fitted, icon_button, pill, primary_button, short, sign_label};
pub use text_field::RowText;

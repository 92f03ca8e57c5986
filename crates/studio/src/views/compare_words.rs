//! What differs between the two sides, in words.

use egui::{Label, RichText, Ui};

use crate::app::versions::change_words;
use crate::app::{Scene, SideFigures};
use crate::look::Tokens;
use crate::widgets::table::title;

/// Draws the part of the view.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, [left, right]: [&SideFigures; 2]) {
    let t = Tokens::of(ui);
    title(ui, say!("In words"), say!("from the left to the right side"));
    let words = change_words(left, right, scene.library, scene.style());
    if words.is_empty() {
        ui.label(RichText::new(say!("Nothing differs")).color(t.muted));
    }
    for sentence in words {
        ui.add(Label::new(sentence).wrap());
    }
}

//! Text faces, embedded. Digits are tabular by default in these builds.

use std::sync::Arc;

use egui::{FontData, FontDefinitions, FontFamily, FontId};

use super::size;

const REGULAR: &[u8] = include_bytes!("../../../../assets/fonts/Inter-Regular.ttf");
const SEMIBOLD: &[u8] = include_bytes!("../../../../assets/fonts/Inter-SemiBold.ttf");
const READING: &[u8] = include_bytes!("../../../../assets/fonts/AtkinsonNext-Regular.ttf");
const READING_BOLD: &[u8] = include_bytes!("../../../../assets/fonts/AtkinsonNext-Bold.ttf");

/// Name of the bolder family.
const STRONG: &str = "strong";

/// Installs the faces; the reading face falls back on the other for what it lacks.
pub fn install(ctx: &egui::Context, reading: bool) {
    let mut fonts = FontDefinitions::empty();
    for (name, data) in [
        ("regular", REGULAR),
        ("semibold", SEMIBOLD),
        ("reading", READING),
        ("reading-bold", READING_BOLD),
    ] {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(data)));
    }
    let (plain, strong): (&[&str], &[&str]) = if reading {
        (&["reading", "regular"], &["reading-bold", "semibold"])
    } else {
        (&["regular"], &["semibold"])
    };
    let list = |names: &[&str]| names.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>();
    fonts.families.insert(FontFamily::Proportional, list(plain));
    fonts.families.insert(FontFamily::Monospace, list(plain));
    fonts.families.insert(FontFamily::Name(STRONG.into()), list(strong));
    ctx.set_fonts(fonts);
}

/// Body text.
#[must_use]
pub fn text() -> FontId {
    FontId::new(size::TEXT, FontFamily::Proportional)
}

/// Secondary text.
#[must_use]
pub fn small() -> FontId {
    FontId::new(size::SMALL, FontFamily::Proportional)
}

/// Bolder text of any size.
#[must_use]
pub fn strong(points: f32) -> FontId {
    FontId::new(points, FontFamily::Name(STRONG.into()))
}

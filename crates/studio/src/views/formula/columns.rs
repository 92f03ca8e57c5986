//! Widths of the table's columns for the room there is.

use crate::look::size;

/// Left edges and widths, in points from the left of the table.
#[derive(Clone, Copy, Debug)]
pub struct Columns {
    /// Whole width.
    pub width: f32,
    /// Material.
    pub material: (f32, f32),
    /// INCI name; no width when folded into the material cell.
    pub inci: (f32, f32),
    /// Function; no width when folded.
    pub function: (f32, f32),
    /// Per cent.
    pub percent: (f32, f32),
    /// Grams.
    pub grams: (f32, f32),
    /// Flags.
    pub flags: (f32, f32),
}

impl Columns {
    /// Shares out a width.
    #[must_use]
    pub fn new(available: f32) -> Self {
        let width = available.max(320.0);
        let folded = width < size::FOLD_BELOW - 60.0;
        let flags = if width < 420.0 { 44.0 } else { 96.0 };
        let (percent, grams) = (76.0, 88.0);
        let grip = 18.0;
        let text = width - grip - percent - grams - flags - 12.0;
        let (material, inci, function) = if folded {
            (text, 0.0, 0.0)
        } else {
            let function = (text * 0.23).clamp(84.0, 140.0);
            let rest = text - function;
            (rest * 0.5, rest * 0.5, function)
        };
        let mut x = grip;
        let mut take = |w: f32| {
            let at = (x, w);
            x += w;
            at
        };
        Self {
            width,
            material: take(material),
            inci: take(inci),
            function: take(function),
            percent: take(percent),
            grams: take(grams),
            flags: {
                let (x, w) = take(flags + 12.0);
                (x + 12.0, w - 12.0)
            },
        }
    }

    /// True when INCI and function stand in the material cell.
    #[must_use]
    pub fn folded(&self) -> bool {
        self.inci.1 <= 0.0
    }
}

//! Design tokens: the only place that makes a colour or names a size.

#![allow(clippy::disallowed_methods)] // this is the token file; colours are made here

use egui::Color32;

/// Sizes in points, on a grid of 4.
pub mod size {
    /// Height of a table row.
    pub const ROW: f32 = 28.0;
    /// Height of a phase heading.
    pub const PHASE_ROW: f32 = 32.0;
    /// Least height of a control; WCAG 2.2 asks for 24.
    pub const CONTROL: f32 = 28.0;
    /// Width of the rail.
    pub const RAIL: f32 = 72.0;
    /// Height of the top bar.
    pub const TOP: f32 = 46.0;
    /// Width of the right panel.
    pub const SIDE: f32 = 344.0;
    /// Body text.
    pub const TEXT: f32 = 13.5;
    /// Secondary text.
    pub const SMALL: f32 = 12.0;
    /// Headings.
    pub const HEAD: f32 = 16.0;
    /// One step of the spacing grid.
    pub const STEP: f32 = 4.0;
    /// Below this width the right panel becomes a drawer.
    pub const DRAWER_BELOW: f32 = 900.0;
    /// Below this width the INCI and function columns fold into the material cell.
    pub const FOLD_BELOW: f32 = 700.0;
    /// Below this height the batch bar and rail shrink.
    pub const LOW_BELOW: f32 = 560.0;
}

/// Colours of one theme.
#[derive(Clone, Debug)]
pub struct Tokens {
    /// Window background.
    pub paper: Color32,
    /// Side panels and bars.
    pub panel: Color32,
    /// Rail of views.
    pub rail: Color32,
    /// Menus and dialogs.
    pub raised: Color32,
    /// Text.
    pub ink: Color32,
    /// Secondary text.
    pub muted: Color32,
    /// Rules between rows and panels.
    pub hairline: Color32,
    /// Edges of fields and sliders.
    pub edge: Color32,
    /// Selection, focus, main button.
    pub accent: Color32,
    /// Text on the accent.
    pub on_accent: Color32,
    /// Selected row.
    pub row: Color32,
    /// Hovered row.
    pub hover: Color32,
    /// Severity Stop.
    pub stop: Color32,
    /// Severity Warn.
    pub warn: Color32,
    /// Severity Note.
    pub note: Color32,
    /// All is well.
    pub fine: Color32,
    /// Marks of phases A to E; never for text.
    pub phases: [Color32; 5],
    /// Slices of charts; never for text.
    pub chart: [Color32; 10],
    /// First, second, third and fourth formula in a comparison.
    pub sides: [Color32; 4],
    /// Dim behind a dialog.
    pub backdrop: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    let [_, r, g, b] = hex.to_be_bytes();
    Color32::from_rgb(r, g, b)
}

static LIGHT: Tokens = Tokens {
    paper: rgb(0xF6_F3EC),
    panel: rgb(0xFD_FBF7),
    rail: rgb(0xED_E8DD),
    raised: rgb(0xFF_FFFF),
    ink: rgb(0x22_282B),
    muted: rgb(0x59_625F),
    hairline: rgb(0xE0_D9CC),
    edge: rgb(0x83_877F),
    accent: rgb(0x1C_6B66),
    on_accent: rgb(0xFF_FFFF),
    row: rgb(0xE3_EEEA),
    hover: rgb(0xEF_EBE1),
    stop: rgb(0xA3_262A),
    warn: rgb(0x8A_5200),
    note: rgb(0x2C_5A86),
    fine: rgb(0x2E_6B3E),
    phases: [rgb(0xB9_791C), rgb(0x4C_7D58), rgb(0x4A_6894), rgb(0x86_527B), rgb(0xA4_563C)],
    chart: [
        rgb(0x4A_6894),
        rgb(0xB9_791C),
        rgb(0x4C_7D58),
        rgb(0x86_527B),
        rgb(0xA4_563C),
        rgb(0x5E_8A8F),
        rgb(0x8A_8F6A),
        rgb(0x9A_7A55),
        rgb(0x6C_6390),
        rgb(0x8B_8D86),
    ],
    sides: [rgb(0x1C_6B66), rgb(0xA3_262A), rgb(0x2C_5A86), rgb(0x8A_5200)],
    backdrop: Color32::from_rgba_premultiplied(12, 14, 15, 96),
};

static DARK: Tokens = Tokens {
    paper: rgb(0x19_1E21),
    panel: rgb(0x20_262A),
    rail: rgb(0x15_1A1C),
    raised: rgb(0x27_2E32),
    ink: rgb(0xED_E8DE),
    muted: rgb(0xA7_AFAA),
    hairline: rgb(0x35_3D42),
    edge: rgb(0x80_898B),
    accent: rgb(0x7C_CBC0),
    on_accent: rgb(0x10_201E),
    row: rgb(0x26_403E),
    hover: rgb(0x22_2A2E),
    stop: rgb(0xF2_8E85),
    warn: rgb(0xE6_AC52),
    note: rgb(0x92_BEEA),
    fine: rgb(0x8C_C79A),
    phases: [rgb(0xDD_A24B), rgb(0x83_B58F), rgb(0x8F_AEDB), rgb(0xC5_92BA), rgb(0xDE_8E72)],
    chart: [
        rgb(0x8F_AEDB),
        rgb(0xDD_A24B),
        rgb(0x83_B58F),
        rgb(0xC5_92BA),
        rgb(0xDE_8E72),
        rgb(0x8F_BFC4),
        rgb(0xBD_C193),
        rgb(0xC9_A77E),
        rgb(0xA7_9DD0),
        rgb(0x8B_8D86),
    ],
    sides: [rgb(0x7C_CBC0), rgb(0xF2_8E85), rgb(0x92_BEEA), rgb(0xE6_AC52)],
    backdrop: Color32::from_rgba_premultiplied(0, 0, 0, 140),
};

impl Tokens {
    /// Tokens of the light or the dark theme.
    #[must_use]
    pub fn theme(dark: bool) -> &'static Self {
        if dark { &DARK } else { &LIGHT }
    }

    /// Tokens of the theme in force.
    #[must_use]
    pub fn of(ui: &egui::Ui) -> &'static Self {
        Self::theme(ui.visuals().dark_mode)
    }

    /// Mark of the phase at this place.
    #[must_use]
    pub fn phase(&self, index: usize) -> Color32 {
        self.phases.get(index % self.phases.len()).copied().unwrap_or(self.edge)
    }

    /// Slice of a chart at this place.
    #[must_use]
    pub fn slice(&self, index: usize) -> Color32 {
        self.chart.get(index % self.chart.len()).copied().unwrap_or(self.edge)
    }

    /// Colour of a side in a comparison.
    #[must_use]
    pub fn side(&self, index: usize) -> Color32 {
        self.sides.get(index % self.sides.len()).copied().unwrap_or(self.accent)
    }

    /// A colour between two tokens, mixed by the caller.
    #[must_use]
    pub fn opaque(&self, r: u8, g: u8, b: u8) -> Color32 {
        Color32::from_rgb(r, g, b)
    }

    /// A tint of a colour for areas.
    #[must_use]
    pub fn tint(color: Color32, alpha: u8) -> Color32 {
        Color32::from_rgba_unmultiplied(color.r(), color.g(), color.b(), alpha)
    }
}

/// WCAG 2.2 contrast ratio of two opaque colours, 1 to 21.
#[must_use]
pub fn contrast(a: Color32, b: Color32) -> f32 {
    let luminance = |c: Color32| {
        let channel = |v: u8| {
            let s = f32::from(v) / 255.0;
            if s <= 0.04045 { s / 12.92 } else { ((s + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * channel(c.r()) + 0.7152 * channel(c.g()) + 0.0722 * channel(c.b())
    };
    let (x, y) = (luminance(a), luminance(b));
    (x.max(y) + 0.05) / (x.min(y) + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    // WCAG 2.2 criteria 1.4.3 (text 4.5:1) and 1.4.11 (controls and marks 3:1).
    #[test]
    fn text_and_controls_meet_the_contrast_criteria() {
        for (name, t) in [("light", &LIGHT), ("dark", &DARK)] {
            for (ground_name, ground) in [
                ("paper", t.paper),
                ("panel", t.panel),
                ("raised", t.raised),
                ("rail", t.rail),
                ("row", t.row),
            ] {
                for (what, c) in [
                    ("ink", t.ink),
                    ("muted", t.muted),
                    ("stop", t.stop),
                    ("warn", t.warn),
                    ("note", t.note),
                    ("fine", t.fine),
                    ("accent", t.accent),
                ] {
                    let ratio = contrast(c, ground);
                    assert!(ratio >= 4.5, "{name}: {what} on {ground_name} is {ratio:.2}:1");
                }
                let ratio = contrast(t.edge, ground);
                assert!(ratio >= 2.95, "{name}: edge on {ground_name} is {ratio:.2}:1");
            }
            assert!(contrast(t.on_accent, t.accent) >= 4.5);
            for c in t.phases.iter().chain(&t.sides) {
                assert!(contrast(*c, t.paper) >= 3.0, "{name}: mark {c:?}");
            }
        }
    }

    // The pair of black and white is 21:1 by definition in WCAG 2.2.
    #[test]
    fn black_on_white_is_21_to_1() {
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-3);
    }
}

//! Design tokens: with their tables in `themes`, the only place that makes a colour or names a
//! size.

#![allow(clippy::disallowed_methods)] // this is the token file; colours are made here

use egui::Color32;

use super::themes::{DARK, HIGH_DARK, HIGH_LIGHT, LIGHT};

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
    /// Width of the rail in low windows, without words.
    pub const RAIL_LOW: f32 = 48.0;
    /// Height of the batch bar.
    pub const BATCH: f32 = 100.0;
    /// Height of the batch bar in low windows.
    pub const BATCH_LOW: f32 = 52.0;
    /// Height of the top bar.
    pub const TOP: f32 = 46.0;
    /// Height of the strip below the top bar that says what holds for the whole view.
    pub const STRIP: f32 = 36.0;
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
    /// Marks of phases A to E and, in the order of `CHART`, series of charts; never for text.
    pub phases: [Color32; 5],
    /// First, second, third and fourth formula in a comparison.
    pub sides: [Color32; 4],
    /// Dim behind a dialog.
    pub backdrop: Color32,
    /// Width of the ring around what has the focus.
    pub ring: f32,
}

/// Series of a chart by their phase hue: blue and ochre first, which everybody tells apart.
const CHART: [usize; 5] = [2, 0, 1, 3, 4];

/// What lies over a colour, so that series are told apart without it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pattern {
    /// Nothing.
    Plain,
    /// Lines that rise.
    Rising,
    /// Lines that fall.
    Falling,
    /// Both.
    Crossed,
}

impl Pattern {
    /// In the order in which series take them.
    pub const ALL: [Self; 4] = [Self::Plain, Self::Rising, Self::Falling, Self::Crossed];
}

impl Tokens {
    /// Tokens of the light or the dark theme, plain or in high contrast.
    #[must_use]
    pub fn theme(dark: bool, high_contrast: bool) -> &'static Self {
        match (dark, high_contrast) {
            (false, false) => &LIGHT,
            (true, false) => &DARK,
            (false, true) => &HIGH_LIGHT,
            (true, true) => &HIGH_DARK,
        }
    }

    /// Tokens of the theme in force.
    #[must_use]
    pub fn of(ui: &egui::Ui) -> &'static Self {
        Self::behind(ui.visuals())
    }

    /// Tokens of the theme in force where there is no `Ui`.
    #[must_use]
    pub fn in_context(ctx: &egui::Context) -> &'static Self {
        Self::behind(&ctx.global_style().visuals)
    }

    /// The tokens that a style was made from: it keeps their paper, which differs in each theme.
    #[must_use]
    pub fn behind(visuals: &egui::Visuals) -> &'static Self {
        let high = Self::theme(visuals.dark_mode, true);
        if visuals.panel_fill == high.paper { high } else { Self::theme(visuals.dark_mode, false) }
    }

    /// Mark of the phase at this place.
    #[must_use]
    pub fn phase(&self, index: usize) -> Color32 {
        self.phases.get(index % self.phases.len()).copied().unwrap_or(self.edge)
    }

    /// Colour of the series of a chart at this place. Colours come round again: [`pattern`] or a
    /// dash tells those of one colour apart.
    ///
    /// [`pattern`]: Self::pattern
    #[must_use]
    pub fn slice(&self, index: usize) -> Color32 {
        self.phase(CHART.get(index % CHART.len()).copied().unwrap_or(0))
    }

    /// Pattern of the series of a chart at this place.
    #[must_use]
    pub fn pattern(index: usize) -> Pattern {
        let round = index / CHART.len();
        Pattern::ALL.get(round % Pattern::ALL.len()).copied().unwrap_or(Pattern::Plain)
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

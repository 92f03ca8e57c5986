//! Contrast of every pair of colours that meet on screen, and how far the series of charts stand
//! apart for everybody. What meets where is listed beside each pair.

use egui::Color32;

use super::Tokens;
use super::tokens::{Pattern, contrast};

mod sight;

fn themes() -> [(&'static str, bool, &'static Tokens); 4] {
    [
        ("light", false, Tokens::theme(false, false)),
        ("dark", false, Tokens::theme(true, false)),
        ("high contrast light", true, Tokens::theme(false, true)),
        ("high contrast dark", true, Tokens::theme(true, true)),
    ]
}

/// A tint laid on a ground, as the painter blends it.
fn over(color: Color32, alpha: u8, ground: Color32) -> Color32 {
    ground.blend(Tokens::tint(color, alpha))
}

/// Grounds under text, with where they are.
fn grounds(t: &Tokens) -> Vec<(&'static str, Color32)> {
    vec![
        ("paper: the middle of each view", t.paper),
        ("panel: bars, side panels, cards", t.panel),
        ("raised: fields, menus, dialogs, notices", t.raised),
        ("rail: views", t.rail),
        ("row: selected rows, pressed and open buttons", t.row),
        ("hover: rows and buttons under the pointer", t.hover),
    ]
}

// WCAG 2.2, criteria 1.4.3 (text 4.5:1) and 1.4.6 (enhanced, 7:1).
#[test]
fn text_stands_out_from_every_ground_it_is_on() {
    for (theme, high, t) in themes() {
        let least = if high { 7.0 } else { 4.5 };
        let mut pairs: Vec<(String, Color32, Color32)> = Vec::new();
        for (ground_name, ground) in grounds(t) {
            for (what, color) in [
                ("ink", t.ink),
                ("muted", t.muted),
                ("accent: view at hand, links", t.accent),
                ("stop: errors, what is over a limit", t.stop),
                ("warn", t.warn),
                ("note", t.note),
                ("fine", t.fine),
            ] {
                pairs.push((format!("{what} on {ground_name}"), color, ground));
            }
            for (i, side) in t.sides.iter().enumerate() {
                pairs.push((format!("name of side {i} on {ground_name}"), *side, ground));
            }
        }
        pairs.push(("main button".to_owned(), t.on_accent, t.accent));
        // The pills of movable lines in charts.
        pairs.push(("paper on ink: pill of a movable line".to_owned(), t.paper, t.ink));
        for (i, phase) in t.phases.iter().enumerate() {
            let boxed = over(*phase, 40, t.paper);
            pairs.push((format!("letter of phase {i} in its box"), t.ink, boxed));
            let layer = over(*phase, 64, t.paper);
            pairs.push((format!("letter in layer {i} of the melt curve"), t.ink, layer));
            let banded = over(t.ink, 22, layer);
            pairs.push((format!("letter in layer {i} under the band"), t.ink, banded));
        }
        for (i, side) in t.sides.iter().enumerate() {
            let area = over(*side, 26, t.paper);
            pairs.push((format!("muted on the area of curve {i}"), t.muted, t.paper));
            pairs.push((format!("name of curve {i} on its area"), *side, area));
        }
        for alpha in [14, 34, 62] {
            let ground = over(t.ink, alpha, t.paper);
            pairs.push((format!("word on the strip of pouring, shade {alpha}"), t.ink, ground));
        }
        // Figures of contours stand on a plate over any shade of the map.
        for (shade, ground) in [("gentle", t.panel), ("rough", t.accent)] {
            let plate = over(t.panel, 230, ground);
            pairs.push((format!("figure of a contour over {shade}"), t.ink, plate));
            pairs.push((format!("wanted figure over {shade}"), t.side(1), plate));
        }
        for (what, color, ground) in pairs {
            let ratio = contrast(color, ground);
            assert!(ratio >= least, "{theme}: {what} is {ratio:.2}:1");
        }
    }
}

// WCAG 2.2, criterion 1.4.11: controls and marks 3:1; 4.5:1 in high contrast is our own bar.
#[test]
fn controls_and_marks_stand_out_from_every_ground_they_are_on() {
    for (theme, high, t) in themes() {
        let least = if high { 4.5 } else { 3.0 };
        let mut pairs: Vec<(String, Color32, Color32)> = Vec::new();
        for (ground_name, ground) in grounds(t) {
            pairs.push((format!("edge of a field on {ground_name}"), t.edge, ground));
            pairs.push((format!("ring of the focus on {ground_name}"), t.accent, ground));
            for (i, sign) in [t.stop, t.warn, t.note, t.fine].into_iter().enumerate() {
                pairs.push((format!("sign {i} on {ground_name}"), sign, ground));
            }
            if high {
                pairs.push((format!("rule on {ground_name}"), t.hairline, ground));
            }
        }
        for (ground_name, ground) in [
            ("paper: curves, bars, bands of phases", t.paper),
            ("panel: slices and their table", t.panel),
            ("raised: charts in dialogs", t.raised),
            ("row: band of a phase beside a selected row", t.row),
            ("hover: band of a phase beside a row", t.hover),
        ] {
            for (i, phase) in t.phases.iter().enumerate() {
                pairs.push((format!("hue {i} on {ground_name}"), *phase, ground));
            }
        }
        for (i, side) in t.sides.iter().enumerate() {
            pairs.push((format!("curve {i} over its area"), *side, over(*side, 26, t.paper)));
            pairs.push((format!("curve {i} over the band"), *side, over(t.ink, 22, t.paper)));
        }
        // Slices are parted by a line of the panel, and hatched by lines of it.
        for (i, phase) in t.phases.iter().enumerate() {
            pairs.push((format!("hatching and edge of slice {i}"), t.panel, *phase));
        }
        // A line on the map has a rim of the panel, whatever the shade under it.
        pairs.push(("wanted line of the map on its rim".to_owned(), t.side(1), t.panel));
        pairs.push(("line of cost on its rim".to_owned(), t.warn, t.panel));
        for (what, color, ground) in pairs {
            let ratio = contrast(color, ground);
            assert!(ratio >= least, "{theme}: {what} is {ratio:.2}:1");
        }
    }
}

// Behind a dialog nothing is read, but the dialog must stand out from what is dimmed.
#[test]
fn a_dialog_stands_out_from_the_dimmed_window() {
    for (theme, _, t) in themes() {
        let dimmed = t.paper.blend(t.backdrop);
        let edge = contrast(t.hairline, t.raised).max(contrast(t.raised, dimmed));
        assert!(edge >= 1.4, "{theme}: {edge:.2}:1");
    }
}

// The pair of black and white is 21:1 by definition in WCAG 2.2.
#[test]
fn black_on_white_is_21_to_1() {
    assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-3);
}

#[test]
fn a_style_finds_its_tokens_again() {
    let ctx = egui::Context::default();
    for high in [false, true] {
        super::style::install(&ctx, high);
        for (theme, dark) in [(egui::Theme::Light, false), (egui::Theme::Dark, true)] {
            let tokens = Tokens::behind(&ctx.style_of(theme).visuals);
            assert!(std::ptr::eq(tokens, Tokens::theme(dark, high)), "{theme:?} {high}");
            assert!((tokens.ring - if high { 3.0 } else { 2.0 }).abs() < 0.01);
        }
    }
}

#[test]
fn reduced_motion_stills_everything() {
    let ctx = egui::Context::default();
    super::style::install(&ctx, false);
    super::style::motion(&ctx, true);
    super::style::install(&ctx, true);
    for theme in [egui::Theme::Light, egui::Theme::Dark] {
        let style = ctx.style_of(theme);
        assert!(style.animation_time <= 0.0);
        assert!(style.scroll_animation.duration.max <= 0.0);
    }
    super::style::motion(&ctx, false);
    let time = ctx.style_of(egui::Theme::Light).animation_time;
    assert!(time > 0.0 && time <= 0.15, "{time} s");
}

// Twenty series, more than any chart has, are each a colour and pattern of their own.
#[test]
fn no_two_series_share_colour_and_pattern() {
    let t = Tokens::theme(false, false);
    let series: Vec<(Color32, Pattern)> =
        (0..20).map(|i| (t.slice(i), Tokens::pattern(i))).collect();
    for (i, a) in series.iter().enumerate() {
        assert!(series.iter().skip(i + 1).all(|b| a != b), "series {i}");
    }
}

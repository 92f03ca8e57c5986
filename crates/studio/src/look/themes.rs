//! The four tables of tokens. Hues of phases and sides are chosen so that each two of them differ
//! by at least 11 (CIEDE2000) to normal sight and under simulated dichromacy; a test holds that.

#![allow(clippy::disallowed_methods)] // with `tokens`, where colours are made

use egui::Color32;

use super::Tokens;

const fn rgb(hex: u32) -> Color32 {
    let [_, r, g, b] = hex.to_be_bytes();
    Color32::from_rgb(r, g, b)
}

/// Light.
pub static LIGHT: Tokens = Tokens {
    paper: rgb(0xF6_F3EC),
    panel: rgb(0xFD_FBF7),
    rail: rgb(0xED_E8DD),
    raised: rgb(0xFF_FFFF),
    ink: rgb(0x22_282B),
    muted: rgb(0x59_625F),
    hairline: rgb(0xE0_D9CC),
    edge: rgb(0x80_847C),
    accent: rgb(0x1C_6B66),
    on_accent: rgb(0xFF_FFFF),
    row: rgb(0xE3_EEEA),
    hover: rgb(0xEF_EBE1),
    stop: rgb(0xA3_262A),
    warn: rgb(0x8A_5200),
    note: rgb(0x2C_5A86),
    fine: rgb(0x2E_6B3E),
    phases: [rgb(0xB0_7B34), rgb(0x44_835F), rgb(0x4D_61AD), rgb(0x85_5279), rgb(0xA4_5339)],
    sides: [rgb(0x1C_6B66), rgb(0x82_1F26), rgb(0x17_436A), rgb(0x8A_5610)],
    backdrop: Color32::from_rgba_premultiplied(12, 14, 15, 96),
    ring: 2.0,
};

/// Dark.
pub static DARK: Tokens = Tokens {
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
    phases: [rgb(0xE8_AF63), rgb(0x83_B58F), rgb(0xA8_B0FF), rgb(0xC5_92BA), rgb(0xD4_7F60)],
    sides: [rgb(0x6C_EBDC), rgb(0xF0_8D85), rgb(0x92_BEEA), rgb(0xF6_C272)],
    backdrop: Color32::from_rgba_premultiplied(0, 0, 0, 140),
    ring: 2.0,
};

/// Light, in high contrast: text 7:1, marks, edges and rules 4.5:1.
pub static HIGH_LIGHT: Tokens = Tokens {
    paper: rgb(0xFF_FFFF),
    panel: rgb(0xFD_FDFB),
    rail: rgb(0xF2_F1EC),
    raised: rgb(0xFF_FFFF),
    ink: rgb(0x00_0000),
    muted: rgb(0x2F_3533),
    hairline: rgb(0x56_5B57),
    edge: rgb(0x3B_403D),
    accent: rgb(0x00_4A45),
    on_accent: rgb(0xFF_FFFF),
    row: rgb(0xCF_E6E1),
    hover: rgb(0xE4_E4DE),
    stop: rgb(0x7A_0012),
    warn: rgb(0x5A_3600),
    note: rgb(0x0A_3A66),
    fine: rgb(0x12_4A26),
    phases: [rgb(0x89_5910), rgb(0x2F_6B4A), rgb(0x4A_52A0), rgb(0x6E_3A68), rgb(0x7A_2E1C)],
    sides: [rgb(0x00_504B), rgb(0x57_0005), rgb(0x00_2B55), rgb(0x69_3D03)],
    backdrop: Color32::from_rgba_premultiplied(0, 0, 0, 140),
    ring: 3.0,
};

/// Dark, in high contrast.
pub static HIGH_DARK: Tokens = Tokens {
    paper: rgb(0x00_0000),
    panel: rgb(0x0B_0E0F),
    rail: rgb(0x00_0000),
    raised: rgb(0x14_191B),
    ink: rgb(0xFF_FFFF),
    muted: rgb(0xD5_DAD7),
    hairline: rgb(0x98_A0A3),
    edge: rgb(0xC3_C9CA),
    accent: rgb(0x7F_F0E2),
    on_accent: rgb(0x00_1512),
    row: rgb(0x0E_3B37),
    hover: rgb(0x1E_2629),
    stop: rgb(0xFF_B3AD),
    warn: rgb(0xFF_CE72),
    note: rgb(0xB2_D6FF),
    fine: rgb(0xA9_ECBA),
    phases: [rgb(0xF7_BE71), rgb(0x83_B58F), rgb(0xA8_B0FF), rgb(0xC5_92BA), rgb(0xDF_875A)],
    sides: [rgb(0x6D_ECDC), rgb(0xFF_B0A8), rgb(0xA9_CEF5), rgb(0xFF_DA91)],
    backdrop: Color32::from_rgba_premultiplied(0, 0, 0, 180),
    ring: 3.0,
};

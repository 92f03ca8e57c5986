//! What the user prefers: each setting with its choices, and what a choice does.
//!
//! The settings dialog and the palette read [`listed`]; `App::prefer_one` carries a choice out.

use std::path::PathBuf;

use quern_calc::number::{CurrencyPlace, DateOrder, DecimalSign, MassUnit, with_currency};
use quern_calc::quantity::Date;
use quern_project::settings::{AtStart, LEAST_ZOOM, MOST_ZOOM, Motion, Paper, Settings, Theme};

use super::action::Action;
use super::state::View;
use super::{App, style_of};
use crate::words;

/// Zoom steps, as a browser has them.
pub const ZOOMS: [f32; 9] = [0.75, 0.9, 1.0, 1.1, 1.25, 1.5, 1.75, 2.0, 2.5];

/// One choice of one setting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Prefer {
    /// Colours.
    Theme(Theme),
    /// Stronger contrast.
    HighContrast(bool),
    /// Zoom as a factor.
    Zoom(f32),
    /// The reading typeface.
    ReadingFont(bool),
    /// Whether things move.
    Motion(Motion),
    /// Decimal sign.
    DecimalSign(DecimalSign),
    /// Decimals of a percentage.
    PercentDecimals(u8),
    /// Order of dates.
    DateOrder(DateOrder),
    /// Place of the currency.
    Currency(CurrencyPlace),
    /// Unit of batches and lines.
    Mass(MassUnit),
    /// Paper of sheets.
    Paper(Paper),
    /// What a start shows.
    AtStart(AtStart),
}

/// Where a setting stands in the dialog.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Colours, sizes, letters.
    Look,
    /// How figures are shown and read.
    Figures,
    /// Sheets and the start.
    Work,
}

impl Part {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Look, Self::Figures, Self::Work];

    /// The heading.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Look => say!("Look"),
            Self::Figures => say!("Figures and units"),
            Self::Work => say!("Sheets and start"),
        }
    }
}

/// A setting with its choices.
#[derive(Clone, Debug)]
pub struct Listed {
    /// Where it stands.
    pub part: Part,
    /// Name.
    pub name: &'static str,
    /// What to know about it; empty where the name says it.
    pub about: &'static str,
    /// The choices by name, in order.
    pub choices: Vec<(String, Prefer)>,
    /// Place of the present choice among them.
    pub at: usize,
}

impl Listed {
    /// The present choice by name.
    #[must_use]
    pub fn now(&self) -> &str {
        self.choices.get(self.at).map_or("", |c| c.0.as_str())
    }
}

fn one<T: Copy + PartialEq>(
    part: Part,
    (name, about): (&'static str, &'static str),
    now: T,
    all: &[(T, String)],
    take: impl Fn(T) -> Prefer,
) -> Listed {
    let choices: Vec<_> = all.iter().map(|(v, text)| (text.clone(), take(*v))).collect();
    let at = all.iter().position(|(v, _)| *v == now).unwrap_or(0);
    Listed { part, name, about, choices, at }
}

/// Every setting with its choices, in the order of the dialog. `currency` is the project's.
#[must_use]
pub fn listed(settings: &Settings, currency: &str) -> Vec<Listed> {
    let text = |s: &str| s.to_owned();
    let mut zooms: Vec<f32> = ZOOMS.to_vec();
    if !zooms.iter().any(|z| (z - settings.zoom).abs() < 0.001) {
        zooms.push(settings.zoom);
        zooms.sort_by(f32::total_cmp);
    }
    let zoom = zooms
        .iter()
        .copied()
        .min_by(|a, b| (a - settings.zoom).abs().total_cmp(&(b - settings.zoom).abs()));
    let zooms: Vec<(f32, String)> =
        zooms.into_iter().map(|z| (z, format!("{:.0} %", z * 100.0))).collect();
    let style = style_of(settings);
    let sum = |place| {
        let currency = if currency.trim().is_empty() { "€" } else { currency };
        let number =
            quern_calc::number::format_fixed(rust_decimal::Decimal::new(1250, 2), 2, style);
        with_currency(
            &number,
            currency,
            quern_calc::number::NumberStyle { currency: place, ..style },
        )
    };
    let day = Date::new(2026, 11, 25).unwrap_or(Date::Y2K);
    let dates = DateOrder::ALL.map(|o| (o, o.write(day)));
    let masses = MassUnit::SHOWN.map(|u| (u, text(words::text(u.name()))));
    vec![
        one(
            Part::Look,
            (
                say!("Theme"),
                say!("Where the system tells its theme, a change of it is followed at once"),
            ),
            settings.theme,
            &[
                (Theme::System, text(say!("as the system"))),
                (Theme::Light, text(say!("light"))),
                (Theme::Dark, text(say!("dark"))),
            ],
            Prefer::Theme,
        ),
        one(
            Part::Look,
            (say!("Contrast"), say!("Stronger edges and text in the light and the dark theme")),
            settings.high_contrast,
            &[(false, text(say!("usual"))), (true, text(say!("high")))],
            Prefer::HighContrast,
        ),
        one(Part::Look, (say!("Zoom"), ""), zoom.unwrap_or(1.0), &zooms, Prefer::Zoom),
        one(
            Part::Look,
            (say!("Typeface"), say!("The reading typeface has letters that are hard to mistake")),
            settings.reading_font,
            &[(false, text(say!("usual"))), (true, text(say!("reading")))],
            Prefer::ReadingFont,
        ),
        one(
            Part::Look,
            (
                say!("Motion"),
                say!("Quern cannot ask this system for its wish, so that counts as full"),
            ),
            settings.motion,
            &[
                (Motion::System, text(say!("as the system"))),
                (Motion::Full, text(say!("full"))),
                (Motion::Reduced, text(say!("reduced"))),
            ],
            Prefer::Motion,
        ),
        one(
            Part::Figures,
            (
                say!("Decimal sign"),
                say!("Entry takes both; what could mean thousands is asked about"),
            ),
            settings.decimal_sign,
            &[
                (DecimalSign::Point, text(say!("point, 12.5"))),
                (DecimalSign::Comma, text(say!("comma, 12,5"))),
            ],
            Prefer::DecimalSign,
        ),
        one(
            Part::Figures,
            (say!("Decimals of per cent"), ""),
            settings.percent_decimals,
            &[(2, text("2")), (4, text("4"))],
            Prefer::PercentDecimals,
        ),
        one(
            Part::Figures,
            (say!("Dates"), say!("Entry takes year-month-day always; files keep it so")),
            settings.date_order,
            &dates,
            Prefer::DateOrder,
        ),
        one(
            Part::Figures,
            (say!("Currency sign"), say!("The sign itself belongs to the project, in its details")),
            settings.currency_place,
            &CurrencyPlace::ALL.map(|p| (p, sum(p))),
            Prefer::Currency,
        ),
        one(
            Part::Figures,
            (say!("Masses"), say!("Entry takes every unit; a bare number is in this one")),
            settings.mass_unit,
            &masses,
            Prefer::Mass,
        ),
        one(
            Part::Work,
            (say!("Paper"), ""),
            settings.paper,
            &[(Paper::A4, text(say!("A4"))), (Paper::Letter, text(say!("US Letter")))],
            Prefer::Paper,
        ),
        one(
            Part::Work,
            (say!("At the start"), say!("A file named at the start always comes first")),
            settings.at_start,
            &[
                (AtStart::OpeningPage, text(say!("opening page"))),
                (AtStart::LastProject, text(say!("last project"))),
            ],
            Prefer::AtStart,
        ),
    ]
}

/// Every choice that is not the present one, for the palette: name of setting and choice, the
/// present value, and what takes it.
#[must_use]
pub fn palette_rows(settings: &Settings, currency: &str) -> Vec<(String, String, Action)> {
    let mut rows = Vec::new();
    for setting in listed(settings, currency) {
        let now = say!("now {now}", now = setting.now());
        for (i, (choice, prefer)) in setting.choices.iter().enumerate() {
            if i != setting.at {
                let name = format!("{}: {choice}", setting.name);
                rows.push((name, now.clone(), Action::Prefer(*prefer)));
            }
        }
    }
    rows
}

/// Fonts, colours and motion as preferred. The one place where the whole look is put on.
pub fn dress(ctx: &egui::Context, settings: &Settings) {
    crate::look::fonts::install(ctx, settings.reading_font);
    restyle(ctx, settings);
    set_theme(ctx, settings.theme);
}

/// Both themes in the contrast and with the motion that are preferred.
fn restyle(ctx: &egui::Context, settings: &Settings) {
    crate::look::style::install(ctx, settings.high_contrast);
    crate::look::style::motion(ctx, settings.motion == Motion::Reduced);
}

fn set_theme(ctx: &egui::Context, theme: Theme) {
    ctx.set_theme(match theme {
        Theme::System => egui::ThemePreference::System,
        Theme::Light => egui::ThemePreference::Light,
        Theme::Dark => egui::ThemePreference::Dark,
    });
}

impl App {
    /// Keeps the settings in this folder from now on, for tests.
    pub fn keep_settings_in(&mut self, folder: PathBuf) {
        self.keep_settings = true;
        self.settings_folder = Some(folder);
    }

    /// The user's preferences, for tests.
    #[must_use]
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Writes the settings, where they are kept at all.
    pub(super) fn save_settings(&mut self) {
        if !self.keep_settings {
            return;
        }
        let kept = match &self.settings_folder {
            Some(folder) => self.settings.save_to(folder),
            None => self.settings.save(),
        };
        if let Err(error) = kept {
            log::warn!("preferences were not kept: {error}");
        }
    }

    pub(super) fn keeps_settings(&self) -> bool {
        self.keep_settings
    }

    /// Takes a choice, shows what it does and keeps it.
    pub(super) fn prefer_one(&mut self, ctx: &egui::Context, prefer: Prefer) {
        let s = &mut self.settings;
        match prefer {
            Prefer::Theme(theme) => {
                s.theme = theme;
                set_theme(ctx, theme);
            }
            Prefer::HighContrast(high) => {
                s.high_contrast = high;
                restyle(ctx, s);
            }
            Prefer::Zoom(zoom) => {
                s.zoom = zoom.clamp(LEAST_ZOOM, MOST_ZOOM);
                ctx.set_zoom_factor(s.zoom);
            }
            Prefer::ReadingFont(reading) => {
                s.reading_font = reading;
                crate::look::fonts::install(ctx, reading);
            }
            Prefer::Motion(motion) => {
                s.motion = motion;
                restyle(ctx, s);
            }
            Prefer::DecimalSign(sign) => s.decimal_sign = sign,
            Prefer::PercentDecimals(places) => s.percent_decimals = if places == 4 { 4 } else { 2 },
            Prefer::DateOrder(order) => s.date_order = order,
            Prefer::Currency(place) => s.currency_place = place,
            Prefer::Mass(unit) => {
                if MassUnit::SHOWN.contains(&unit) {
                    s.mass_unit = unit;
                }
            }
            Prefer::Paper(paper) => s.paper = paper,
            Prefer::AtStart(at) => s.at_start = at,
        }
        self.save_settings();
    }
}

/// Views with the keys under which the settings file knows them.
const VIEWS: [(View, &str); 6] = [
    (View::Formula, "formula"),
    (View::Grit, "grit"),
    (View::Setting, "setting"),
    (View::Findings, "findings"),
    (View::Label, "label"),
    (View::Compare, "compare"),
];

/// The key of a view.
pub(super) fn view_key(view: View) -> Option<&'static str> {
    VIEWS.iter().find(|(v, _)| *v == view).map(|(_, key)| *key)
}

/// The view of a key, if there is such a view.
pub(super) fn view_of(key: &str) -> Option<View> {
    VIEWS.iter().find(|(_, k)| *k == key).map(|(view, _)| *view)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn every_setting_stands_once_with_its_present_choice() {
        let settings = Settings { zoom: 1.33, ..Settings::default() };
        let all = listed(&settings, "EUR");
        assert_eq!(all.len(), 12);
        for (i, setting) in all.iter().enumerate() {
            assert!(setting.at < setting.choices.len() && setting.choices.len() >= 2);
            assert!(all.iter().skip(i + 1).all(|o| o.name != setting.name), "{}", setting.name);
        }
        let zoom = all.iter().find(|s| s.name == "Zoom").unwrap();
        assert_eq!((zoom.now(), zoom.choices.len()), ("133 %", 10));
        let rows = palette_rows(&settings, "EUR");
        assert!(rows.iter().any(|r| r.0 == "Theme: dark" && r.1 == "now as the system"));
        assert!(rows.iter().all(|r| r.0 != "Theme: as the system"), "the present one is no choice");
    }

    #[test]
    fn views_come_back_by_their_key() {
        for (view, key) in VIEWS {
            assert_eq!(view_of(key), Some(view));
            assert_eq!(view_key(view), Some(key));
        }
        assert_eq!(view_of("attic"), None);
    }
}

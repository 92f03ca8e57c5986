//! What the user prefers. A damaged settings file never stops a start: what cannot be used is
//! named in a warning, and its default stands in.

use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use atomic_write_file::AtomicWriteFile;
use quern_calc::number::{CurrencyPlace, DateOrder, DecimalSign, MassUnit};
use ron::Value;
use serde::Serialize;

use crate::check::quoted;
use crate::folders;
use crate::format::{options, to_ron};
use crate::load::{LoadError, read_bounded};

mod choices;
mod window;
pub use choices::{AtStart, Motion, currency_place_name, date_order_name, mass_unit_name};
pub use window::{ColumnSetting, MOST_COLUMNS, WindowPlace};

/// Recent files that are remembered.
pub const MOST_RECENT: usize = 12;
/// Smallest zoom, as a factor.
pub const LEAST_ZOOM: f32 = 0.75;
/// Largest zoom, as a factor.
pub const MOST_ZOOM: f32 = 2.5;
/// Longest path that is kept, in bytes.
const MOST_PATH: usize = 4_096;

/// Colours of the window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// As the system has it.
    #[default]
    System,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

impl Theme {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::System, Self::Light, Self::Dark];

    /// The name on screen and the key in the file.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::System => "system",
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }
}

/// Size of printed sheets.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 x 297 mm.
    #[default]
    A4,
    /// 8.5 x 11 in.
    Letter,
}

impl Paper {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// The name on screen and the key in the file.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }
}

/// The user's preferences.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Colours.
    pub theme: Theme,
    /// True for stronger contrast in either theme.
    pub high_contrast: bool,
    /// Whether things may move on screen.
    pub motion: Motion,
    /// Decimal sign on screen and in entry.
    pub decimal_sign: DecimalSign,
    /// Order of dates on screen and in entry.
    pub date_order: DateOrder,
    /// Where the sign of the currency stands.
    pub currency_place: CurrencyPlace,
    /// Unit in which batches and lines are shown, one of [`MassUnit::SHOWN`].
    pub mass_unit: MassUnit,
    /// Zoom as a factor, [`LEAST_ZOOM`] to [`MOST_ZOOM`].
    pub zoom: f32,
    /// Decimals of a percentage: 2 or 4.
    pub percent_decimals: u8,
    /// True for the reading font.
    pub reading_font: bool,
    /// Paper of printed sheets.
    pub paper: Paper,
    /// Files opened of late, the latest first; at most [`MOST_RECENT`].
    pub recent: Vec<PathBuf>,
    /// Folder of the last file dialog.
    pub last_folder: Option<PathBuf>,
    /// What the window shows at the start.
    pub at_start: AtStart,
    /// The project that was open last.
    pub last_project: Option<PathBuf>,
    /// The view that was shown last, by its key.
    pub last_view: Option<String>,
    /// Where the window was.
    pub window: Option<WindowPlace>,
    /// Columns of the phase table as the user has them; at most [`MOST_COLUMNS`].
    pub columns: Vec<ColumnSetting>,
    /// True until the program has been started once.
    pub first_start: bool,
    /// True when the tour was taken or declined.
    pub tour_seen: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            theme: Theme::System,
            high_contrast: false,
            motion: Motion::System,
            decimal_sign: DecimalSign::Point,
            date_order: DateOrder::YearFirst,
            currency_place: CurrencyPlace::After,
            mass_unit: MassUnit::Gram,
            zoom: 1.0,
            percent_decimals: 2,
            reading_font: false,
            paper: Paper::A4,
            recent: Vec::new(),
            last_folder: None,
            at_start: AtStart::OpeningPage,
            last_project: None,
            last_view: None,
            window: None,
            columns: Vec::new(),
            first_start: true,
            tour_seen: false,
        }
    }
}

#[derive(Serialize)]
struct File {
    theme: &'static str,
    high_contrast: bool,
    motion: &'static str,
    decimal_sign: &'static str,
    date_order: &'static str,
    currency_place: &'static str,
    mass_unit: &'static str,
    zoom: f32,
    percent_decimals: u8,
    reading_font: bool,
    paper: &'static str,
    recent: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    last_folder: Option<String>,
    at_start: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    last_project: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    last_view: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    window: Option<WindowPlace>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    columns: Vec<ColumnSetting>,
    first_start: bool,
    tour_seen: bool,
}

const SIGNS: [DecimalSign; 2] = [DecimalSign::Point, DecimalSign::Comma];

fn sign_name(sign: DecimalSign) -> &'static str {
    match sign {
        DecimalSign::Point => "point",
        DecimalSign::Comma => "comma",
    }
}

impl Settings {
    /// Reads the user's settings, with warnings about what could not be used. No file is no
    /// warning.
    #[must_use]
    pub fn load() -> (Self, Vec<String>) {
        folders::config().map_or_else(Default::default, |folder| Self::load_from(&folder))
    }

    /// Reads `settings.ron` in this folder, as [`Settings::load`].
    #[must_use]
    pub fn load_from(folder: &Path) -> (Self, Vec<String>) {
        let path = folder.join("settings.ron");
        match read_bounded(&path) {
            Ok(bytes) => Self::read(&String::from_utf8_lossy(&bytes)),
            Err(LoadError::NotFound { .. }) => Default::default(),
            Err(error) => (Self::default(), vec![format!("settings: {error}")]),
        }
    }

    /// Reads the text of a settings file, as [`Settings::load`].
    #[must_use]
    pub fn read(text: &str) -> (Self, Vec<String>) {
        let mut settings = Self::default();
        let mut warnings = Vec::new();
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        if text.trim().is_empty() {
            return (settings, warnings);
        }
        let entries = match options().from_str::<Value>(text) {
            Ok(Value::Map(entries)) => entries,
            Ok(_) => {
                warnings.push("settings: expected (theme: ..., ...); the defaults are used".into());
                return (settings, warnings);
            }
            Err(e) => {
                warnings.push(format!(
                    "settings, line {}, column {}: {}; the defaults are used",
                    e.span.start.line, e.span.start.col, e.code
                ));
                return (settings, warnings);
            }
        };
        for (key, value) in entries {
            let Value::String(key) = key else {
                warnings.push("settings: an entry has no name and is left out".to_owned());
                continue;
            };
            if let Err(expected) = settings.set(&key, value) {
                warnings.push(format!("settings: {}: {expected}", quoted(&key)));
            }
        }
        (settings, warnings)
    }

    fn set(&mut self, key: &str, value: Value) -> Result<(), String> {
        match key {
            "theme" => self.theme = one_of(&value, &Theme::ALL, Theme::name)?,
            "decimal_sign" => self.decimal_sign = one_of(&value, &SIGNS, sign_name)?,
            "paper" => self.paper = one_of(&value, &Paper::ALL, Paper::name)?,
            "motion" => self.motion = one_of(&value, &Motion::ALL, Motion::name)?,
            "at_start" => self.at_start = one_of(&value, &AtStart::ALL, AtStart::name)?,
            "date_order" => {
                self.date_order = one_of(&value, &DateOrder::ALL, date_order_name)?;
            }
            "currency_place" => {
                self.currency_place = one_of(&value, &CurrencyPlace::ALL, currency_place_name)?;
            }
            "mass_unit" => self.mass_unit = one_of(&value, &MassUnit::SHOWN, mass_unit_name)?,
            "high_contrast" => self.high_contrast = truth(value)?,
            "last_view" => self.last_view = Some(window::view(value)?),
            "window" => self.window = Some(window::place(value)?),
            "columns" => {
                let (columns, said) = window::columns(value);
                self.columns = columns;
                said?;
            }
            "last_project" => {
                self.last_project = Some(path(value).ok_or("expected a path in quotes")?);
            }
            "zoom" => {
                let zoom: f32 = value.into_rust().unwrap_or(f32::NAN);
                if !(LEAST_ZOOM..=MOST_ZOOM).contains(&zoom) {
                    return Err(format!("expected a number from {LEAST_ZOOM} to {MOST_ZOOM}"));
                }
                self.zoom = zoom;
            }
            "percent_decimals" => match value.into_rust() {
                Ok(n @ (2_u8 | 4)) => self.percent_decimals = n,
                _ => return Err("expected 2 or 4".to_owned()),
            },
            "reading_font" => self.reading_font = truth(value)?,
            "first_start" => self.first_start = truth(value)?,
            "tour_seen" => self.tour_seen = truth(value)?,
            "recent" => {
                let Value::Seq(list) = value else {
                    return Err("expected a list of paths".to_owned());
                };
                let paths: Vec<PathBuf> = list.into_iter().filter_map(path).collect();
                // From the last to the first, so that the first ends up on top.
                for path in paths.iter().take(MOST_RECENT).rev() {
                    self.note_recent(path);
                }
            }
            "last_folder" => {
                self.last_folder = Some(path(value).ok_or("expected a path in quotes")?);
            }
            _ => return Err("not known; it is left out".to_owned()),
        }
        Ok(())
    }

    /// Puts a file on top of the recent ones.
    pub fn note_recent(&mut self, path: &Path) {
        self.recent.retain(|p| p != path);
        self.recent.insert(0, path.to_owned());
        self.recent.truncate(MOST_RECENT);
    }

    /// Takes a file off the recent ones, for one that is no longer there.
    pub fn forget_recent(&mut self, path: &Path) {
        self.recent.retain(|p| p != path);
    }

    /// The text of the settings file. Paths that are not Unicode are left out.
    #[must_use]
    pub fn to_text(&self) -> String {
        let text = |path: &PathBuf| path.to_str().map(str::to_owned);
        let file = File {
            theme: self.theme.name(),
            high_contrast: self.high_contrast,
            motion: self.motion.name(),
            decimal_sign: sign_name(self.decimal_sign),
            date_order: date_order_name(self.date_order),
            currency_place: currency_place_name(self.currency_place),
            mass_unit: mass_unit_name(self.mass_unit),
            zoom: self.zoom,
            percent_decimals: self.percent_decimals,
            reading_font: self.reading_font,
            paper: self.paper.name(),
            recent: self.recent.iter().filter_map(text).take(MOST_RECENT).collect(),
            last_folder: self.last_folder.as_ref().and_then(text),
            at_start: self.at_start.name(),
            last_project: self.last_project.as_ref().and_then(text),
            last_view: self.last_view.clone(),
            window: self.window.and_then(WindowPlace::plausible),
            columns: self.columns.iter().take(MOST_COLUMNS).cloned().collect(),
            first_start: self.first_start,
            tour_seen: self.tour_seen,
        };
        to_ron(&file).unwrap_or_default()
    }

    /// Saves to the user's settings folder, which is made if need be.
    ///
    /// # Errors
    /// When there is no such folder, or it cannot be written. The program works on without.
    pub fn save(&self) -> io::Result<()> {
        let folder = folders::config().ok_or_else(|| {
            io::Error::new(io::ErrorKind::NotFound, "the user has no folder for settings")
        })?;
        self.save_to(&folder)
    }

    /// Saves to `settings.ron` in this folder, as [`Settings::save`].
    ///
    /// # Errors
    /// When the folder cannot be made or written.
    pub fn save_to(&self, folder: &Path) -> io::Result<()> {
        fs::create_dir_all(folder)?;
        let mut file = AtomicWriteFile::open(folder.join("settings.ron"))?;
        file.write_all(self.to_text().as_bytes())?;
        file.commit()
    }
}

fn one_of<T: Copy>(value: &Value, all: &[T], name: fn(T) -> &'static str) -> Result<T, String> {
    let found = match value {
        Value::String(text) => all.iter().copied().find(|v| name(*v) == text),
        _ => None,
    };
    found.ok_or_else(|| {
        let names: Vec<&str> = all.iter().map(|v| name(*v)).collect();
        format!("expected one of {}", names.join(", "))
    })
}

fn truth(value: Value) -> Result<bool, String> {
    value.into_rust().map_err(|_| "expected true or false".to_owned())
}

fn path(value: Value) -> Option<PathBuf> {
    short(value, MOST_PATH).map(PathBuf::from)
}

/// A text that is not blank and not longer than this.
fn short(value: Value, most: usize) -> Option<String> {
    match value {
        Value::String(text) if !text.is_empty() && text.len() <= most => Some(text),
        _ => None,
    }
}

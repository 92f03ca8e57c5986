//! Settings, the folders, and panic reports.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use std::fs;
use std::path::{Path, PathBuf};

use proptest::prelude::*;
use quern_calc::number::{CurrencyPlace, DateOrder, DecimalSign, MassUnit};
use quern_project::folders;
use quern_project::settings::{
    AtStart, ColumnSetting, MOST_COLUMNS, MOST_RECENT, Motion, Paper, Settings, Theme, WindowPlace,
};

#[test]
fn settings_come_back() {
    let folder = tempfile::tempdir().unwrap();
    let deep = folder.path().join("a/b");
    assert_eq!(Settings::load_from(&deep), (Settings::default(), Vec::new()), "no file, no word");
    let mut settings = Settings {
        theme: Theme::Dark,
        high_contrast: true,
        motion: Motion::Reduced,
        date_order: DateOrder::DayDots,
        currency_place: CurrencyPlace::Before,
        mass_unit: MassUnit::Ounce,
        at_start: AtStart::LastProject,
        last_project: Some(PathBuf::from("/bars.ron")),
        last_view: Some("grit".to_owned()),
        window: Some(WindowPlace {
            at: Some((-1200.0, 40.5)),
            size: (1280.0, 800.0),
            maximised: true,
        }),
        columns: vec![ColumnSetting { key: "inci".to_owned(), width: 180.5, shown: false }],
        decimal_sign: DecimalSign::Comma,
        zoom: 1.25,
        percent_decimals: 4,
        reading_font: true,
        paper: Paper::Letter,
        recent: Vec::new(),
        last_folder: Some(PathBuf::from("/the \"shop\"/שמן")),
        first_start: false,
        tour_seen: true,
    };
    for n in 0..20 {
        settings.note_recent(Path::new(&format!("/bars {n}.ron")));
    }
    settings.note_recent(Path::new("/bars 15.ron"));
    assert_eq!(settings.recent.len(), MOST_RECENT);
    assert_eq!(settings.recent[0], Path::new("/bars 15.ron"));
    settings.save_to(&deep).unwrap();
    assert_eq!(Settings::load_from(&deep), (settings.clone(), Vec::new()));
    settings.forget_recent(Path::new("/bars 15.ron"));
    assert_eq!(settings.recent.len(), MOST_RECENT - 1);
    // A file in the way of the folder.
    assert!(settings.save_to(&deep.join("settings.ron")).is_err());
}

#[test]
fn damaged_settings_never_stop_a_start() {
    let text = "(theme: \"neon\", zoom: 40, percent_decimals: 3, paper: \"letter\", colour: 4, \
                recent: [\"/a\", 5, \"\", \"/b\", \"/a\"], last_folder: 7, reading_font: 1, \
                first_start: false, decimal_sign: comma)";
    let (settings, warnings) = Settings::read(text);
    assert_eq!(settings.paper, Paper::Letter);
    assert_eq!(settings.recent, [PathBuf::from("/a"), PathBuf::from("/b")]);
    assert!(!settings.first_start);
    let rest = Settings {
        paper: Paper::Letter,
        recent: settings.recent.clone(),
        first_start: false,
        ..Settings::default()
    };
    assert_eq!(settings, rest, "everything else is the default");
    let all = warnings.join("\n");
    for part in [
        "“theme”: expected one of system, light, dark",
        "“zoom”: expected a number from 0.75 to 2.5",
        "“percent_decimals”: expected 2 or 4",
        "“colour”: not known",
        "“last_folder”: expected a path",
        "“reading_font”: expected true or false",
        "“decimal_sign”: expected one of point, comma",
    ] {
        assert!(all.contains(part), "{part} in {all}");
    }
    for text in ["(", "[1]", "(theme: \"dark\"", "\u{0}", "{1: 2}", "(zoom: NaN)", "5", "(((((((("]
    {
        let (settings, warnings) = Settings::read(text);
        assert_eq!(settings, Settings::default(), "{text}");
        assert!(!warnings.is_empty(), "{text}");
    }
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("settings.ron")).unwrap();
    let (settings, warnings) = Settings::load_from(folder.path());
    assert_eq!((settings, warnings.len()), (Settings::default(), 1));
}

#[test]
fn a_window_that_cannot_be_is_not_restored() {
    for (text, word) in [
        ("(window: (size: (1, 1), maximised: false))", "window"),
        ("(window: (at: (0, 0), maximised: true))", "window"),
        ("(window: (size: (NaN, 800)))", "window"),
        ("(window: (size: (1e30, 800)))", "window"),
        ("(window: 5)", "window"),
        ("(last_view: \"\")", "view"),
        ("(mass_unit: \"mg\")", "g, kg, oz, lb"),
        ("(date_order: \"dmy\")", "year-month-day"),
        ("(columns: 7)", "columns"),
    ] {
        let (settings, warnings) = Settings::read(text);
        assert_eq!(settings, Settings::default(), "{text}");
        assert!(warnings.len() == 1 && warnings[0].contains(word), "{text}: {warnings:?}");
    }
    // A place far from any screen is dropped; the size stays.
    let (settings, warnings) =
        Settings::read("(window: (at: (90000, 3), size: (900, 600), maximised: false))");
    let place = WindowPlace { at: None, size: (900.0, 600.0), maximised: false };
    assert_eq!((settings.window, warnings), (Some(place), Vec::new()));
    // Of the columns, what can be used is used.
    let many: String =
        (0..50).map(|n| format!("(key: \"c{n}\", width: 90, shown: true),")).collect();
    let text = format!("(columns: [(key: \"\", width: 1, shown: true), 3, {many}])");
    let (settings, warnings) = Settings::read(&text);
    assert_eq!(settings.columns.len(), MOST_COLUMNS);
    assert!(warnings.len() == 1 && warnings[0].contains("20 of 52"), "{warnings:?}");
}

fn places() -> impl Strategy<Value = Option<WindowPlace>> {
    let at = prop::option::of((-9000.0_f32..9000.0, -9000.0_f32..9000.0));
    let size = (320.0_f32..9000.0, 200.0_f32..9000.0);
    prop::option::of((at, size, any::<bool>()).prop_map(|(at, size, maximised)| WindowPlace {
        at,
        size,
        maximised,
    }))
}

fn any_settings() -> impl Strategy<Value = Settings> {
    let choices = (
        prop::sample::select(&Theme::ALL[..]),
        prop::sample::select(&Motion::ALL[..]),
        prop::sample::select(&DateOrder::ALL[..]),
        prop::sample::select(&CurrencyPlace::ALL[..]),
        prop::sample::select(&MassUnit::SHOWN[..]),
        prop::sample::select(&Paper::ALL[..]),
        prop::sample::select(&AtStart::ALL[..]),
        any::<[bool; 4]>(),
        0.75_f32..=2.5,
    );
    let column = ("[a-z]{1,8}", 0.0_f32..4000.0, any::<bool>());
    let rest = (
        places(),
        prop::collection::btree_map("[a-z]{1,8}", column, 0..8),
        prop::option::of("[a-z ]{1,20}"),
        prop::collection::btree_set("/\\PC{1,40}", 0..MOST_RECENT),
    );
    (choices, rest).prop_map(|(choices, (window, columns, view, recent))| {
        let (theme, motion, date_order, currency_place, mass_unit, paper, at_start, b, zoom) =
            choices;
        let recent: Vec<PathBuf> = recent.into_iter().map(PathBuf::from).collect();
        Settings {
            theme,
            high_contrast: b[0],
            motion,
            decimal_sign: if b[1] { DecimalSign::Comma } else { DecimalSign::Point },
            date_order,
            currency_place,
            mass_unit,
            zoom,
            percent_decimals: if b[2] { 4 } else { 2 },
            reading_font: b[3],
            paper,
            last_folder: recent.first().cloned(),
            at_start,
            last_project: recent.last().cloned(),
            last_view: view,
            window,
            columns: columns
                .into_iter()
                .map(|(key, (_, width, shown))| ColumnSetting { key, width, shown })
                .collect(),
            first_start: b[0],
            tour_seen: b[1],
            recent,
        }
    })
}

proptest! {
    #[test]
    fn every_setting_comes_back(settings in any_settings()) {
        let (back, warnings) = Settings::read(&settings.to_text());
        prop_assert_eq!(back, settings);
        prop_assert_eq!(warnings, Vec::<String>::new());
    }

    // Whatever lies in the file, the program starts, and what it would save then can be read.
    #[test]
    fn nothing_in_the_file_stops_a_start(
        bytes in prop::collection::vec(any::<u8>(), 0..400),
        key in prop::sample::select(&[
            "theme", "high_contrast", "motion", "decimal_sign", "date_order", "currency_place",
            "mass_unit", "zoom", "percent_decimals", "reading_font", "paper", "recent",
            "last_folder", "at_start", "last_project", "last_view", "window", "columns",
            "first_start",
        ][..]),
        value in prop_oneof![
            "\\PC{0,60}",
            "[-0-9.eE+]{1,20}",
            "\\(at: \\([-0-9.e]{1,12}, [-0-9.e]{1,12}\\), size: \\([-0-9.e]{1,12}, 900\\)\\)",
            "\\[\\(key: \"[a-z]{0,3}\", width: [-0-9.e]{1,9}, shown: (true|false|1)\\)\\]",
            "(true|false|\"\"|\\(\\)|\\[\\]|\\{\\}|NaN|inf|-inf|None)",
        ],
    ) {
        let texts = [String::from_utf8_lossy(&bytes).into_owned(), format!("({key}: {value})")];
        for text in texts {
            let (settings, _) = Settings::read(&text);
            let (back, warnings) = Settings::read(&settings.to_text());
            prop_assert_eq!(back, settings);
            prop_assert_eq!(warnings, Vec::<String>::new());
        }
    }
}

// Environment variables belong to the process, so one test runs another process for both folders.
#[test]
fn folders_follow_the_environment() {
    const INNER: &str = "QUERN_TEST_INNER";
    if std::env::var_os(INNER).is_some() {
        let config = folders::config().unwrap();
        Settings { zoom: 2.0, ..Settings::default() }.save().unwrap();
        assert!(config.join("settings.ron").is_file());
        assert_eq!(Settings::load().0.zoom.to_string(), "2");
        let one = folders::write_panic_report("first").unwrap();
        let two = folders::write_panic_report("second").unwrap();
        assert_ne!(one, two);
        assert_eq!(fs::read_to_string(&one).unwrap(), "first");
        let name = one.file_name().unwrap().to_string_lossy().into_owned();
        assert!(name.starts_with("panic-2") && name.ends_with(".txt"), "{name}");
        assert_eq!(name.len(), "panic-YYYYMMDD-HHMMSS.txt".len());
        assert_eq!(folders::log_file().unwrap(), one.with_file_name("quern.log"));
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let status = std::process::Command::new(std::env::current_exe().unwrap())
        .args(["folders_follow_the_environment", "--exact"])
        .env(INNER, "1")
        .env("QUERN_CONFIG_DIR", folder.path().join("config"))
        .env("QUERN_STATE_DIR", folder.path().join("state"))
        .status()
        .unwrap();
    assert!(status.success());
    assert!(folder.path().join("config/settings.ron").is_file());
    assert_eq!(fs::read_dir(folder.path().join("state")).unwrap().count(), 2);
}

//! Settings, the folders, and panic reports.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use std::fs;
use std::path::{Path, PathBuf};

use quern_calc::number::DecimalSign;
use quern_project::folders;
use quern_project::settings::{MOST_RECENT, Paper, Settings, Theme};

#[test]
fn settings_come_back() {
    let folder = tempfile::tempdir().unwrap();
    let deep = folder.path().join("a/b");
    assert_eq!(Settings::load_from(&deep), (Settings::default(), Vec::new()), "no file, no word");
    let mut settings = Settings {
        theme: Theme::Dark,
        decimal_sign: DecimalSign::Comma,
        zoom: 1.25,
        percent_decimals: 4,
        reading_font: true,
        paper: Paper::Letter,
        recent: Vec::new(),
        last_folder: Some(PathBuf::from("/the \"shop\"/שמן")),
        first_start: false,
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

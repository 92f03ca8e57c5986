//! Rules of the repository itself, run as tests.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace").to_path_buf()
}

/// Every file below `folder` with one of these endings, build folders aside.
fn files(folder: &Path, endings: &[&str], out: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let path = entry.path();
        let name = entry.file_name().to_string_lossy().into_owned();
        if path.is_dir() {
            if !matches!(name.as_str(), "target" | ".git") {
                files(&path, endings, out);
            }
        } else if endings.iter().any(|e| name.ends_with(e)) {
            out.push(path);
        }
    }
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn rust_files() -> Vec<PathBuf> {
    let mut out = Vec::new();
    files(&root(), &[".rs"], &mut out);
    assert!(out.len() > 40);
    out
}

#[test]
fn there_is_one_egui() {
    let lock = read(&root().join("Cargo.lock"));
    let count = |name: &str| lock.lines().filter(|l| *l == format!("name = \"{name}\"")).count();
    assert_eq!(count("egui"), 1);
    assert_eq!(count("eframe"), 1);
}

#[test]
fn arrows_between_crates_run_one_way() {
    for (krate, banned) in [
        (
            "calc",
            &[
                "quern-project",
                "quern-sheet",
                "quern-studio",
                "egui",
                "eframe",
                "typst",
                "serde",
                "ron",
                "jiff",
            ][..],
        ),
        ("project", &["quern-sheet", "quern-studio", "egui", "eframe", "typst"]),
        ("sheet", &["quern-project", "quern-studio", "egui", "eframe"]),
    ] {
        let manifest = read(&root().join("crates").join(krate).join("Cargo.toml"));
        let dependencies = manifest.split("[dev-dependencies]").next().unwrap_or_default();
        for name in banned {
            let needs = dependencies
                .lines()
                .any(|l| l.starts_with(&format!("{name}.")) || l.starts_with(&format!("{name} ")));
            assert!(!needs, "{krate} must not need {name}");
        }
    }
}

#[test]
fn the_calculation_crate_is_pure() {
    let mut sources = Vec::new();
    files(&root().join("crates/calc/src"), &[".rs"], &mut sources);
    for path in sources {
        let text = read(&path);
        for word in [
            "std::fs",
            "std::net",
            "std::env",
            "std::thread",
            "std::time",
            "std::process",
            "SystemTime",
            "Instant::now",
            "egui",
        ] {
            assert!(!text.contains(word), "{} holds {word}", path.display());
        }
    }
}

#[test]
fn no_file_is_too_long() {
    for path in rust_files() {
        let lines = read(&path).lines().count();
        assert!(lines <= 500, "{} has {lines} lines: split it by meaning", path.display());
    }
}

#[test]
fn nothing_is_stubbed_or_silenced() {
    let here = Path::new(file!()).file_name();
    for path in rust_files().into_iter().filter(|p| p.file_name() != here) {
        let text = read(&path);
        for word in ["todo!(", "unimplemented!(", "#[ignore", "should_panic", "assert!(true"] {
            assert!(!text.contains(word), "{} holds {word}", path.display());
        }
    }
}

#[test]
fn colours_are_made_in_the_token_file_alone() {
    let mut sources = Vec::new();
    files(&root().join("crates/studio/src"), &[".rs"], &mut sources);
    for path in sources
        .into_iter()
        .filter(|p| !["tokens.rs", "themes.rs"].iter().any(|f| p.ends_with(format!("look/{f}"))))
    {
        let text = read(&path);
        for word in [
            "from_rgb(",
            "from_rgba_",
            "from_gray(",
            "from_black_alpha",
            "from_white_alpha",
            "hex_color!",
        ] {
            assert!(!text.contains(word), "{} makes a colour", path.display());
        }
    }
}

#[test]
fn views_compute_nothing() {
    let mut sources = Vec::new();
    files(&root().join("crates/studio/src/views"), &[".rs"], &mut sources);
    for path in sources {
        let text = read(&path);
        for word in ["* 100.0", "/ 100.0", ".ln()", ".exp()"] {
            assert!(!text.contains(word), "{} computes: {word}", path.display());
        }
    }
}

#[test]
fn the_program_opens_no_connection() {
    let lock = read(&root().join("Cargo.lock"));
    for name in ["reqwest", "hyper", "ureq", "curl", "openssl", "rustls", "tokio-net", "isahc"] {
        assert!(!lock.contains(&format!("\nname = \"{name}\"\n")), "{name} is in the tree");
    }
    let mut sources = Vec::new();
    files(&root().join("crates"), &[".rs"], &mut sources);
    for path in sources {
        assert!(!read(&path).contains("std::net"), "{}", path.display());
    }
}

/// Marker around the command list.
const MARK: &str = "<!-- commands -->";

#[test]
fn the_readme_lists_every_command_and_nothing_else() {
    let readme = read(&root().join("README.md"));
    let list = readme.split(MARK).nth(1).expect("the README has a command list between markers");
    let rows: Vec<&str> =
        list.lines().filter(|l| l.starts_with("| ") && !l.contains("---")).skip(1).collect();
    let expected: Vec<String> = quern_studio::app::commands::TABLE
        .iter()
        .map(|r| {
            let keys = r
                .shortcut
                .map(|s| s.format(&egui::ModifierNames::NAMES, false))
                .unwrap_or_default();
            format!("| {} | {} | {} |", r.name, keys, r.about)
        })
        .collect();
    if std::env::var_os("UPDATE_README").is_some() {
        let table = format!(
            "\n\n| command | keys | what it does |\n|---|---|---|\n{}\n\n",
            expected.join("\n")
        );
        let (head, tail) = (
            readme.split(MARK).next().unwrap_or_default(),
            readme.split(MARK).nth(2).unwrap_or_default(),
        );
        let updated = format!("{head}{MARK}{table}{MARK}{tail}");
        fs::write(root().join("README.md"), updated).expect("the README is written");
        return;
    }
    assert_eq!(rows, expected, "run the test with UPDATE_README=1 to renew the list");
}

#[test]
fn the_readme_names_files_that_exist() {
    for page in ["README.md", "DEVELOPERS.md"] {
        let text = read(&root().join(page));
        for link in text.split("](").skip(1).filter_map(|s| s.split(')').next()) {
            if link.starts_with("http") || link.starts_with('#') {
                continue;
            }
            assert!(root().join(link).exists(), "{page} points to {link}");
        }
    }
}

#[test]
fn fonts_come_with_their_licences() {
    let fonts = root().join("assets/fonts");
    for name in ["OFL-Inter.txt", "OFL-Atkinson.txt"] {
        assert!(read(&fonts.join(name)).contains("SIL OPEN FONT LICENSE"), "{name}");
    }
    for name in ["LICENSE-MIT", "LICENSE-APACHE"] {
        assert!(root().join(name).exists(), "{name}");
    }
}

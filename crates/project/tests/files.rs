//! Reading and writing real files.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

use quern_calc::formula::{Amount, FormulaId, Item, MaterialId, Net, Pack, Place};
use quern_calc::grit::notes::{GritNotes, Score};
use quern_calc::grit::sizes::SizeData;
use quern_calc::quantity::{Date, Percent};
use quern_calc::setting::calibrate::{Measured, Reading};
use quern_calc::setting::mould::{Shape, Wall};
use quern_calc::setting::notes::SettingNotes;
use quern_calc::setting::pour::PourClass;
use quern_project::{
    FORMAT, Fingerprint, LoadError, Project, SaveError, backup_path, library, load, parse, save,
    to_text,
};
use rust_decimal::Decimal;

/// A project with one line in each unit, one built-in material and a plan.
fn bars() -> Project {
    let mut project = Project::blank();
    "Workshop \"North\"\nשמן 🌾".clone_into(&mut project.name);
    let id = project.formulas[0].id.clone();
    let mut formula = (*project.formulas[0]).clone();
    let phase = formula.phases[0].id;
    let first = library::builtin().materials.values().next().unwrap();
    let line = formula.add_line(phase, Item::Material(first.id.clone()), None).unwrap();
    formula.set_amount(line, Some(Amount::percent("34.50".parse().unwrap()))).unwrap();
    let rest = Item::Material(MaterialId::new("not-carried"));
    let line = formula.add_line(phase, rest, None).unwrap();
    formula.set_fills(Some(line)).unwrap();
    project.carry(first);
    let plan = project.plan(&id);
    project.plans.insert(id, Arc::new(plan));
    project.formulas[0] = Arc::new(formula);
    project
}

fn written(folder: &Path, name: &str, content: &[u8]) -> PathBuf {
    let path = folder.join(name);
    fs::write(&path, content).unwrap();
    path
}

fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn saved_loaded_changed_and_backed_up() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bars.ron");
    let mut project = bars();
    let first = save(&path, &project, None).unwrap();
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.starts_with("// Quern project, format 5\n(\n    format: 5,\n    app: \"quern "));
    assert!(text.contains("(id: 1, material: "), "lines stand on one line:\n{text}");
    assert!(text.contains("amount: \"34.50 %\""), "{text}");
    assert_eq!(names_in(folder.path()), ["bars.ron"], "no backup of nothing, no leftovers");

    let loaded = load(&path).unwrap();
    assert_eq!((&loaded.project, loaded.fingerprint), (&project, first));

    // The same content is not written again, so the backup stays the one before.
    assert_eq!(save(&path, &project, Some(&first)).unwrap(), first);
    assert_eq!(names_in(folder.path()), ["bars.ron"]);

    "Second".clone_into(&mut project.name);
    let second = save(&path, &project, Some(&first)).unwrap();
    assert_ne!(first, second);
    assert_eq!(names_in(folder.path()), ["bars.backup.ron", "bars.ron"]);
    assert_eq!(fs::read_to_string(backup_path(&path)).unwrap(), text);
    "Third".clone_into(&mut project.name);
    save(&path, &project, Some(&second)).unwrap();
    assert_eq!(load(&backup_path(&path)).unwrap().project.name, "Second");
}

#[test]
fn two_windows_on_one_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bars.ron");
    let mut here = bars();
    let opened = save(&path, &here, None).unwrap();
    let mut there = here.clone();
    "There".clone_into(&mut there.name);
    save(&path, &there, Some(&opened)).unwrap();
    "Here".clone_into(&mut here.name);
    let error = save(&path, &here, Some(&opened)).unwrap_err();
    assert!(matches!(error, SaveError::ChangedOnDisk { .. }));
    assert!(error.to_string().contains("save under another name"), "{error}");
    assert_eq!(load(&path).unwrap().project.name, "There");
    assert_eq!(names_in(folder.path()), ["bars.backup.ron", "bars.ron"], "no leftovers");
    // A file that was deleted meanwhile holds nothing that could be lost.
    fs::remove_file(&path).unwrap();
    save(&path, &here, Some(&opened)).unwrap();
    assert_eq!(load(&path).unwrap().project.name, "Here");
}

#[test]
fn backup_names() {
    for (name, backup) in [
        ("bars.ron", "bars.backup.ron"),
        ("my.bars.RON", "my.bars.backup.ron"),
        ("bars", "bars.backup.ron"),
        ("bars.txt", "bars.txt.backup.ron"),
    ] {
        assert_eq!(backup_path(&Path::new("x").join(name)), Path::new("x").join(backup));
    }
}

#[test]
fn folders_that_cannot_be_written() {
    let folder = tempfile::tempdir().unwrap();
    let project = bars();
    let gone = folder.path().join("gone");
    let error = save(&gone.join("bars.ron"), &project, None).unwrap_err();
    assert_eq!(error, SaveError::FolderMissing { folder: gone.display().to_string() });
    assert!(error.to_string().contains("save in another folder"), "{error}");

    let file = written(folder.path(), "file", b"x");
    let error = save(&file.join("bars.ron"), &project, None).unwrap_err();
    assert!(matches!(error, SaveError::FolderMissing { .. }), "{error}");

    let error = save(folder.path(), &project, None).unwrap_err();
    assert!(matches!(error, SaveError::IsFolder { .. }), "{error}");
    let error = save(Path::new(""), &project, None).unwrap_err();
    assert!(!error.to_string().is_empty());
}

#[cfg(unix)]
#[test]
fn permissions_and_links() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let folder = tempfile::tempdir().unwrap();
    let project = bars();
    let path = folder.path().join("bars.ron");
    save(&path, &project, None).unwrap();

    let mut renamed = project.clone();
    "Renamed".clone_into(&mut renamed.name);
    let link = folder.path().join("link.ron");
    symlink(&path, &link).unwrap();
    save(&link, &renamed, None).unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink(), "the link is kept");
    assert_eq!(load(&path).unwrap().project, renamed);

    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
    let error = save(&path, &project, None).unwrap_err();
    assert!(matches!(error, SaveError::ReadOnlyFile { .. }), "{error}");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    save(&path, &project, None).unwrap();
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);

    let closed = folder.path().join("closed");
    fs::create_dir(&closed).unwrap();
    fs::set_permissions(&closed, fs::Permissions::from_mode(0o555)).unwrap();
    // Root may write anywhere, and then there is nothing to see here.
    if fs::write(closed.join("probe"), b"").is_err() {
        let error = save(&closed.join("bars.ron"), &project, None).unwrap_err();
        assert!(matches!(error, SaveError::ReadOnlyFolder { .. }), "{error}");
    }
    fs::set_permissions(&closed, fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn what_could_not_be_opened_is_not_saved() {
    use quern_calc::formula::PhaseTemperature;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bars.ron");
    save(&path, &bars(), None).unwrap();
    let before = fs::read(&path).unwrap();
    let mut project = bars();
    let mut formula = (*project.formulas[0]).clone();
    formula.phases[0].temperature = PhaseTemperature::HeatTo(f64::NAN);
    formula.note = "x".repeat(20_001);
    project.formulas[0] = Arc::new(formula);
    let error = save(&path, &project, None).unwrap_err();
    let SaveError::Invalid { problems } = &error else { panic!("{error}") };
    assert_eq!(problems.len(), 2, "{problems:?}");
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[test]
fn files_that_are_no_projects() {
    let folder = tempfile::tempdir().unwrap();
    let words = |path: &Path| load(path).unwrap_err().to_string();

    let missing = folder.path().join("missing.ron");
    assert!(words(&missing).contains("missing.ron was not found"));
    assert!(words(folder.path()).contains("is a folder"));
    let empty = written(folder.path(), "empty.ron", b" \n");
    assert!(words(&empty).contains("is empty") && words(&empty).contains("backup"));
    let zeros = written(folder.path(), "zeros.ron", &[0; 4096]);
    assert!(matches!(load(&zeros), Err(LoadError::Empty { .. })));
    let latin = written(folder.path(), "latin.ron", b"(format: 1, app: \"caf\xe9\")");
    assert!(words(&latin).contains("not text in UTF-8 (byte 21)"), "{}", words(&latin));
    let wide = written(folder.path(), "wide.ron", b"\xff\xfe(\0");
    assert!(words(&wide).contains("save it again as UTF-8"));
    #[cfg(unix)]
    assert!(words(Path::new("/dev/zero")).contains("not an ordinary file"));
}

#[test]
fn a_huge_file_is_refused_before_it_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("huge.ron");
    fs::File::create(&path).unwrap().set_len(100 * 1024 * 1024).unwrap();
    let start = Instant::now();
    let error = load(&path).unwrap_err();
    assert!(start.elapsed().as_millis() < 200);
    assert!(matches!(error, LoadError::TooLarge { bytes: 104_857_600, most: 16_777_216, .. }));
    assert!(error.to_string().contains("104857600 bytes"), "{error}");
    // Nor is it overwritten: it would not fit into a backup.
    let error = save(&path, &bars(), None).unwrap_err();
    assert!(matches!(error, SaveError::OtherFile { .. }), "{error}");
    assert_eq!(names_in(folder.path()), ["huge.ron"]);
}

#[test]
fn a_newer_format_is_left_untouched() {
    let folder = tempfile::tempdir().unwrap();
    let text = "// from the future\n(kind: Strange(1, 2), format: 7, project: [1, {\"a\": 2}])";
    let path = written(folder.path(), "new.ron", text.as_bytes());
    let error = load(&path).unwrap_err();
    assert!(matches!(error, LoadError::Newer { found: 7, known: FORMAT, .. }), "{error}");
    assert!(error.to_string().contains("open it with a newer Quern"), "{error}");
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
    // What follows the number does not matter.
    for rest in ["", " ((((", "\u{1}", ", format: \"x\""] {
        let error = parse(&format!("(format: 6{rest}"), "f").unwrap_err();
        assert!(matches!(error, LoadError::Newer { found: 6, .. }), "{rest}: {error}");
    }
}

#[test]
fn every_cut_is_noticed() {
    let text = to_text(&bars()).unwrap();
    let end = text.trim_end().len();
    for cut in (1..end).filter(|cut| text.is_char_boundary(*cut)) {
        match parse(&text[..cut], "cut.ron") {
            Err(LoadError::Syntax { line, column, message, .. }) => {
                assert!(line >= 1 && column >= 1 && !message.is_empty());
            }
            other => panic!("cut at {cut}: {other:?}"),
        }
    }
    assert!(parse(&text[..end], "whole.ron").is_ok());
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_do_not_matter() {
    let project = bars();
    let text = to_text(&project).unwrap();
    let windows = format!("\u{feff}{}", text.replace('\n', "\r\n"));
    let loaded = parse(&windows, "w.ron").unwrap();
    assert_eq!(loaded.project, project);
    assert_eq!(loaded.fingerprint, Fingerprint::of(windows.as_bytes()));
}

#[test]
fn the_next_format_is_left_untouched() {
    let folder = tempfile::tempdir().unwrap();
    let text = to_text(&bars()).unwrap().replace("format: 5", "format: 6");
    let path = written(folder.path(), "next.ron", text.as_bytes());
    let error = load(&path).unwrap_err();
    assert!(matches!(error, LoadError::Newer { found: 6, known: FORMAT, .. }), "{error}");
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
    assert_eq!(names_in(folder.path()), ["next.ron"]);
}

/// Lines but for those that tell the format and what wrote the file.
fn content(text: &str) -> Vec<&str> {
    let head = ["// Quern project, format ", "    format: ", "    app: "];
    text.lines().filter(|l| !head.iter().any(|h| l.starts_with(h))).collect()
}

// These files are frozen: a change that this build would read or write differently needs a new
// format number, and the files then have to load as older ones.
const FORMAT_1: &str = include_str!("formats/format-1.ron");
const FORMAT_2: &str = include_str!("formats/format-2.ron");
const FORMAT_3: &str = include_str!("formats/format-3.ron");
const FORMAT_4: &str = include_str!("formats/format-4.ron");

#[test]
fn a_file_of_format_1_loads_as_an_older_one() {
    let loaded = parse(FORMAT_1, "format-1.ron").unwrap();
    assert_eq!(loaded.upgraded_from, Some(1));
    assert_eq!(*loaded.project.grit, GritNotes::default());
    assert_eq!(*loaded.project.setting, SettingNotes::default());
    // What later formats add is left out where there is none of it.
    assert_eq!(content(&to_text(&loaded.project).unwrap()), content(FORMAT_1));
    let formula = &loaded.project.formulas[0];
    let percents: Vec<String> =
        formula.lines().map(|(_, l)| formula.percent_of(l).unwrap().to_string()).collect();
    assert_eq!(percents, ["34.5", "55", "5", "2.5", "3"]);
}

#[test]
fn a_file_of_format_1_is_saved_as_5_and_kept_as_backup() {
    let folder = tempfile::tempdir().unwrap();
    let path = written(folder.path(), "bars.ron", FORMAT_1.as_bytes());
    let old = load(&path).unwrap();
    assert_eq!(fs::read_to_string(&path).unwrap(), FORMAT_1, "opening changes nothing");
    let saved = save(&path, &old.project, Some(&old.fingerprint)).unwrap();
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.starts_with("// Quern project, format 5\n(\n    format: 5,\n"), "{text}");
    assert_eq!(fs::read_to_string(backup_path(&path)).unwrap(), FORMAT_1);
    let new = load(&path).unwrap();
    assert_eq!((new.upgraded_from, new.fingerprint), (None, saved));
    assert_eq!(new.project, old.project);
}

#[test]
fn a_file_of_format_2_loads_as_an_older_one() {
    let loaded = parse(FORMAT_2, "format-2.ron").unwrap();
    assert_eq!(loaded.upgraded_from, Some(2));
    assert_eq!(*loaded.project.setting, SettingNotes::default());
    // What format 3 adds is left out where there is none of it.
    assert_eq!(content(&to_text(&loaded.project).unwrap()), content(FORMAT_2));
    assert!(FORMAT_2.starts_with("// Quern project, format 2\n(\n    format: 2,\n"));

    let grit = &loaded.project.grit;
    assert_eq!(grit.grams_per_use(Place::Body).to_string(), "6.5");
    let scores: Vec<_> =
        grit.scores.iter().map(|s| (s.formula.as_str(), s.index, s.score.to_string())).collect();
    assert_eq!(scores, [("oat-bar", 42.5, "3".to_owned()), ("gone", 7.0, "6.50".to_owned())]);
    assert!(loaded.project.formula(&FormulaId::new("gone")).is_none(), "a score may outlive it");

    let grain = &loaded.project.materials[&MaterialId::new("powder")].grain.as_ref().unwrap().value;
    let names: Vec<&str> = grain.lots.iter().map(|lot| lot.name.as_str()).collect();
    assert_eq!(names, ["2611", "2605 \"fine\"", "2599", "2598", "2597"]);
    let in_use = grain.lot().unwrap();
    assert_eq!(
        (in_use.name.as_str(), in_use.stated.as_str()),
        ("2605 \"fine\"", "95 % below 500 µm")
    );
    assert_eq!(*grain.sizes_in_use(), SizeData::Below { um: 500.0, share: 0.95, sigma: 0.35 });
    let SizeData::Sieved(table) = &grain.lots[0].sizes else { panic!("{grain:?}") };
    assert_eq!((table.rows.len(), table.rows[0].opening_um, table.rows[0].kept), (3, 500.0, 12.5));
    assert_eq!((table.pan, table.sample), (3.1, Some(100.0)));
}

#[test]
fn a_file_of_format_3_is_upgraded_and_loses_nothing() {
    let loaded = parse(FORMAT_3, "format-3.ron").unwrap();
    assert_eq!(loaded.upgraded_from, Some(3));
    assert_eq!(content(&to_text(&loaded.project).unwrap()), content(FORMAT_3));
    assert!(FORMAT_3.starts_with("// Quern project, format 3\n(\n    format: 3,\n"));

    let notes = &loaded.project.setting;
    assert_eq!(
        [notes.room_c, notes.fridge_c, notes.parcel_c, notes.heater_w],
        [Some(19.5), Some(4.0), Some(45.0), Some(1500.0)]
    );
    assert_eq!(notes.reference, Some(FormulaId::new("oat-bar")));
    let mould = notes.mould_in_use().unwrap();
    assert_eq!((mould.name.as_str(), mould.measured_ml), ("Oak \"A\"", Some(128.0)));
    assert_eq!((mould.shape, mould.wall), (Shape::Block(80.0, 55.5, 30.0), Wall::Wood));
    let shapes: Vec<Shape> = notes.moulds.iter().skip(1).map(|m| m.shape).collect();
    assert_eq!(shapes, [Shape::Disc(70.0, 25.0), Shape::Oval(90.0, 60.0, 25.0), Shape::Dome(60.0)]);
    let readings: Vec<Reading> = notes.measured.iter().map(|m| m.reading).collect();
    assert_eq!(
        readings,
        [
            Reading::SetsAt { c: 44.0 },
            Reading::Flow { at_c: 62.0, class: PourClass::ThickPour },
            Reading::Poured { at_c: 60.0, grams: 121.5, ml: 110.0 },
            Reading::Needle { at_c: 20.0, mm: 3.5 },
        ]
    );
    let first = &notes.measured[0];
    assert_eq!((first.name.as_str(), first.date), ("Oat bar 3", Date::new(2026, 11, 20)));
    assert!(loaded.project.formula(&notes.measured[3].formula).is_none(), "it may outlive it");

    let butter = &loaded.project.materials[&MaterialId::new("butter")];
    let own = butter.solids.as_ref().unwrap();
    assert_eq!(own.table.rows, [(20.0, 76.0), (25.0, 70.5), (30.0, 45.0), (35.0, 0.0)]);
    // The fit stands on the library's first crystal, and is not in the file.
    assert!(own.parts.iter().all(|p| (p.molar_mass - 890.0).abs() < 1e-9), "{own:?}");
    assert_eq!(butter.fat_parts().count(), own.parts.len());
}

#[test]
fn a_new_formula_takes_over_no_measurement_and_is_no_reference() {
    let mut project = bars();
    let notes = Arc::make_mut(&mut project.setting);
    notes.measured.push(Measured {
        formula: FormulaId::new("dune"),
        name: String::new(),
        date: None,
        reading: Reading::SetsAt { c: 44.0 },
        said: Vec::new(),
    });
    notes.reference = Some(FormulaId::new("dune-2"));
    assert_eq!(project.free_formula_id("Dune").as_str(), "dune-3");
}

#[test]
fn a_new_formula_takes_over_no_score() {
    let mut project = bars();
    let score = Score {
        formula: FormulaId::new("dune"),
        name: "Dune, version 4".to_owned(),
        index: 7.2,
        score: 3.into(),
    };
    Arc::make_mut(&mut project.grit).set_score(score);
    assert_eq!(project.free_formula_id("Dune").as_str(), "dune-2");
}

#[test]
fn a_file_of_format_4_is_upgraded_and_loses_nothing() {
    let loaded = parse(FORMAT_4, "format-4.ron").unwrap();
    assert_eq!(loaded.upgraded_from, Some(4));
    assert!(loaded.project.kept.is_empty() && loaded.project.bin.is_empty());
    assert_eq!(content(&to_text(&loaded.project).unwrap()), content(FORMAT_4));
    assert!(FORMAT_4.starts_with("// Quern project, format 4\n(\n    format: 4,\n"));

    let formula = &loaded.project.formulas[0];
    assert_eq!((formula.product.pack, formula.product.under_three), (Pack::Jar, true));
    let safety = &formula.safety;
    assert_eq!(
        (safety.markets.as_slice(), safety.category.as_str()),
        (&["eu".to_owned()][..], "9")
    );
    assert_eq!(safety.accepted[0].reason, "Test panel of four kept it at this level");
    assert_eq!(safety.exposures[0].departure, Decimal::new(500, 1));
    let label = &formula.label;
    assert_eq!(label.net, Some(Net::Grams(Decimal::new(755, 1))));
    assert_eq!((label.keeps_months, label.opened_months), (Some(24), None));
    assert_eq!(label.printed[0].lines, ["name: Oat bar", "ingredients: A, B"]);
    let material = loaded.project.materials.values().find(|m| m.certificate.is_some()).unwrap();
    let certificate = material.certificate.as_ref().unwrap();
    assert_eq!(certificate.limit(" 5A"), Some(Percent(Decimal::new(125, 2))));
    assert!(material.allergens_complete);
}

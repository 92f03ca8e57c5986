//! Windows to begin with, and files to drop on them.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use quern_calc::formula::{Amount, FormulaId};
use quern_project::Project;
use quern_project::settings::Settings;
use quern_studio::app::files::Answer;
use quern_tests::{Open, window};
use rust_decimal::Decimal;

use crate::act::Hands;
use crate::random::Random;

/// Files of all kinds, good and bad, and none.
pub fn files(folder: &Path) -> Vec<PathBuf> {
    let text = quern_project::demo_text();
    let cut: String = text.chars().take(text.len() / 3).collect();
    let all: &[(&str, &[u8])] = &[
        ("good.ron", text.as_bytes()),
        ("skeletons.ron", quern_project::skeletons_text().as_bytes()),
        ("cut.ron", cut.as_bytes()),
        ("garbage.ron", &[0xff, 0x00, 0xfe, 0x80, b'(', b')']),
        ("empty.ron", b""),
        ("bare.ron", b"(format: 4, project: (name: \"Bare\"))"),
        ("newer.ron", b"(format: 999, project: ())"),
        ("picture.png", &[0x89, b'P', b'N', b'G', 13, 10, 26, 10]),
        ("table.tsv", b"Water\t60\nGlycerin\t5,5\n"),
    ];
    let mut paths: Vec<PathBuf> = all
        .iter()
        .map(|(name, bytes)| {
            let path = folder.join(name);
            fs::write(&path, bytes).unwrap();
            path
        })
        .collect();
    paths.push(folder.join("missing.ron"));
    paths.push(folder.to_path_buf());
    paths
}

/// A window, the same one for the same number.
pub fn open(number: u64, folder: &Path) -> Hands {
    let mut random = Random::new(number);
    let project = match random.below(8) {
        0 => Some(Project::blank()),
        1 => Some(quern_project::skeletons().clone()),
        2 => Some(long(&mut random)),
        _ => None,
    };
    let settings = Settings {
        decimal_sign: if random.one_in(2) {
            quern_calc::number::DecimalSign::Comma
        } else {
            quern_calc::number::DecimalSign::Point
        },
        ..Settings::default()
    };
    let size = if random.one_in(4) { [640.0, 400.0] } else { [1280.0, 800.0] };
    let answers = (0..60).map(|_| answer(&mut random, folder)).collect();
    let h = window(Open {
        size,
        dark: random.one_in(2),
        project,
        answers,
        settings,
        any_letters: true,
        ..Open::default()
    });
    Hands {
        h,
        folder: folder.to_path_buf(),
        clipboard: String::new(),
        closed: false,
        ran: Default::default(),
    }
}

fn answer(random: &mut Random, folder: &Path) -> Answer {
    let names = ["a.ron", "b", "good.ron", "a.pdf", "sheet.html", "sheet.csv", "cut.ron", "none/x"];
    match random.below(4) {
        0 => Answer::Cancelled,
        1 => Answer::NoWindow,
        _ => Answer::Path(folder.join(random.of(&names).unwrap_or("a.ron"))),
    }
}

/// The demo with long names, many lines, one material twice, and amounts at the edge.
fn long(random: &mut Random) -> Project {
    let mut project = quern_project::demo();
    let mut formula = (*project.formulas[0]).clone();
    formula.id = FormulaId::new("long");
    formula.name = "A very long name of a formula with סימנים and 日本語 ".repeat(6);
    let items: Vec<_> = formula.lines().map(|(_, l)| l.item.clone()).collect();
    let phases: Vec<_> = formula.phases.iter().map(|p| p.id).collect();
    for i in 0..40 {
        let phase = phases[i % phases.len()];
        let line = formula.add_line(phase, items[i % items.len()].clone(), None).unwrap();
        let amount = match random.below(5) {
            0 => None,
            1 => Some(Decimal::new(1, 10)),
            2 => Some(Decimal::from(-5)),
            3 => Some(Decimal::from(1_000_000)),
            _ => Some(Decimal::new(25, 2)),
        };
        let _ = formula.set_amount(line, amount.map(Amount::percent));
    }
    project.formulas.insert(0, Arc::new(formula));
    project
}

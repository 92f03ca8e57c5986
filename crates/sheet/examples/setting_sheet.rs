//! Writes the setting sheets of the demo to a folder: `cargo run -p quern-sheet --example
//! setting_sheet -- FOLDER`.

use std::error::Error;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use quern_calc::evaluate::{Context, SettingAsk, evaluate, remarks, setting_figures, stand_more};
use quern_calc::formula::{FormulaId, Function};
use quern_calc::number::{DecimalSign, NumberStyle};
use quern_calc::quantity::Date;
use quern_calc::setting::calibrate::{Measured, Reading};
use quern_calc::setting::notes::SettingNotes;
use quern_calc::setting::pour::PourClass;
use quern_sheet::{About, Format, Paper, SettingSheet, SettingSide, setting_html, setting_pdf};

fn sheet(names: &[&str], notes: &SettingNotes, about: &About) -> SettingSheet {
    let project = quern_project::demo();
    let rules = quern_project::rules::builtin_rules();
    let library = project.library();
    let context = Context { date: about.date, setting: Arc::new(notes.clone()) };
    let builtin = quern_project::library::builtin();
    let others = |function: Function, at_least_c: f64| -> Vec<String> {
        let all = builtin.materials.values().map(|m| &**m);
        let found = stand_more(all, function, at_least_c).into_iter().take(3);
        found.map(|(m, _)| m.display_name().to_owned()).collect()
    };
    let parts: Vec<_> = names
        .iter()
        .filter_map(|name| project.formula_named(name))
        .map(|f| {
            let evaluation = evaluate(f, &library, rules, &project.plan(&f.id), &context);
            let ask = SettingAsk::default();
            let figures = setting_figures(f, &library, &context, &evaluation, &ask);
            let slab = figures.cool.as_ref().ok().and_then(|c| c.slab.run());
            let said = remarks(&evaluation, &figures, &others, about.style);
            (f, evaluation, figures, slab, said)
        })
        .collect();
    let sides: Vec<SettingSide<'_>> = parts
        .iter()
        .map(|(formula, evaluation, figures, slab, said)| SettingSide {
            formula,
            evaluation,
            figures,
            slab: slab.as_ref(),
            remarks: said,
        })
        .collect();
    SettingSheet::new(&sides, notes, about)
}

fn main() -> Result<(), Box<dyn Error>> {
    const RUNS: u8 = 8;
    let folder = std::env::args().nth(1).ok_or("name a folder")?;
    let folder = Path::new(&folder);
    let mut about = About {
        workshop: "Coast workshop".to_owned(),
        date: Date::new(2026, 11, 25).unwrap_or(Date::Y2K),
        currency: "EUR".to_owned(),
        style: NumberStyle::default(),
        paper: Paper::A4,
        rules_edition: String::new(),
        library_edition: quern_project::library::builtin().edition.clone(),
        program: format!("Quern {}", env!("CARGO_PKG_VERSION")),
    };
    let plain = SettingNotes::default();
    for names in [&["Dune"][..], &["Dune", "Shingle"], &["Cairn"], &["Fen"], &["Dune", "Fen"]] {
        let sheet = sheet(names, &plain, &about);
        let pdf = setting_pdf(&sheet, about.paper)?;
        let mut times: Vec<Duration> = Vec::new();
        // Each time with another date, so that nothing is taken from before.
        for day in 1..=RUNS {
            let about =
                About { date: Date::new(2026, 10, day).unwrap_or(Date::Y2K), ..about.clone() };
            let sheet = self::sheet(names, &plain, &about);
            let began = Instant::now();
            setting_pdf(&sheet, about.paper)?;
            times.push(began.elapsed());
        }
        times.sort();
        let middle = times.get(times.len() / 2).copied().unwrap_or_default();
        println!("{}: {middle:.1?}, {} kB", sheet.title(), pdf.len() / 1000);
        std::fs::write(folder.join(sheet.file_name(Format::Pdf)), pdf)?;
        std::fs::write(folder.join(sheet.file_name(Format::Html)), setting_html(&sheet))?;
    }

    let measured = |reading| Measured {
        formula: FormulaId::new("dune"),
        name: "Dune 4".to_owned(),
        date: Date::new(2026, 11, 20),
        reading,
        said: Vec::new(),
    };
    let notes = SettingNotes {
        room_c: Some(19.0),
        measured: vec![
            measured(Reading::SetsAt { c: 44.0 }),
            measured(Reading::Flow { at_c: 60.0, class: PourClass::ThickPour }),
            measured(Reading::Poured { at_c: 60.0, grams: 120.0, ml: 110.0 }),
            measured(Reading::Needle { at_c: 20.0, mm: 3.0 }),
        ],
        ..SettingNotes::default()
    };
    about.style = NumberStyle::with_sign(DecimalSign::Comma);
    about.paper = Paper::UsLetter;
    let sheet = sheet(&["Dune"], &notes, &about);
    std::fs::write(folder.join("letter, comma, measured.pdf"), setting_pdf(&sheet, about.paper)?)?;
    std::fs::write(folder.join("letter, comma, measured.html"), setting_html(&sheet))?;
    Ok(())
}

//! Writes the blend sheets of the demo to a folder: `cargo run -p quern-sheet --example
//! blend_sheet -- FOLDER`.

use std::error::Error;
use std::path::Path;
use std::time::Instant;

use quern_calc::evaluate::{BlendSide, Context, blend_rows, evaluate};
use quern_calc::grit::spread::spread;
use quern_calc::number::{DecimalSign, NumberStyle};
use quern_calc::quantity::Date;
use quern_sheet::{About, BlendSheet, Format, Paper, blend_html, blend_pdf};

const CUT_UM: f64 = 300.0;

fn sheet(names: &[&str], about: &About) -> BlendSheet {
    let project = quern_project::demo();
    let rules = quern_project::rules::builtin_rules();
    let library = project.library();
    let context = Context::on(about.date);
    let blends: Vec<_> = names
        .iter()
        .filter_map(|name| project.formula_named(name))
        .map(|f| (f, evaluate(f, &library, rules, &project.plan(&f.id), &context)))
        .collect();
    let sides: Vec<BlendSide<'_>> = blends
        .iter()
        .map(|(formula, evaluation)| BlendSide {
            formula,
            evaluation,
            per_use: project.grit.grams_per_use(formula.product.place),
        })
        .collect();
    let spreads: Vec<_> = blends
        .iter()
        .map(|(_, e)| e.grains.as_ref().ok().map(|f| spread(&f.blend, f.product_density)))
        .collect();
    let rows = blend_rows(&sides, CUT_UM, None, rules, about.style);
    BlendSheet::new(&sides, &rows, &spreads, CUT_UM, rules, about)
}

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).ok_or("name a folder")?;
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
    for names in [
        &["Dune"][..],
        &["Dune", "Shingle"],
        &["Dune", "Shingle", "Cairn"],
        &["Dune", "Shingle", "Cairn", "Fen"],
        &["Fen"],
    ] {
        let sheet = sheet(names, &about);
        let began = Instant::now();
        let pdf = blend_pdf(&sheet)?;
        println!("{}: {:.0?}", sheet.title(), began.elapsed());
        let folder = Path::new(&folder);
        std::fs::write(folder.join(sheet.file_name(Format::Pdf)), pdf)?;
        std::fs::write(folder.join(sheet.file_name(Format::Html)), blend_html(&sheet))?;
    }
    about.style = NumberStyle::with_sign(DecimalSign::Comma);
    about.paper = Paper::UsLetter;
    let sheet = sheet(&["Dune", "Shingle"], &about);
    let began = Instant::now();
    let pdf = blend_pdf(&sheet)?;
    println!("US Letter, decimal comma: {:.0?}", began.elapsed());
    std::fs::write(Path::new(&folder).join("letter, comma.pdf"), pdf)?;
    Ok(())
}

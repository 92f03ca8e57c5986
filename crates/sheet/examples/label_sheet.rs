//! Writes label sheets of the demo to a folder: `cargo run -p quern-sheet --example label_sheet
//! -- FOLDER`. The market is a small one made up here.

use std::error::Error;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use quern_calc::evaluate::Opened;
use quern_calc::findings::{Finding, Problem, Where};
use quern_calc::formula::{Accepted, Basis, Confidence, Figure, Formula, Net, Printed};
use quern_calc::label::{AllergenItem, LabelAsk, assemble, content_height_mm};
use quern_calc::number::{DecimalSign, NumberStyle};
use quern_calc::quantity::{Date, Percent};
use quern_calc::safety::market::{LabelCaution, LabelRules, Market, NetRule, Trigger, When};
use quern_sheet::{About, Format, LabelSheet, Paper, label_html, label_pdf};
use rust_decimal::Decimal;

fn market(code: &str, name: &str, net: NetRule) -> Market {
    let about = || Figure {
        value: (),
        confidence: Confidence::Low,
        basis: Basis::Assumption,
        source: Arc::from("made up for this example"),
    };
    let caution = |key: &str, text: &str| LabelCaution {
        key: key.to_owned(),
        when: When::default(),
        trigger: Trigger::Always,
        text: text.to_owned(),
        about: about(),
    };
    Market {
        code: code.to_owned(),
        name: name.to_owned(),
        edition: "example rules, edition 1".to_owned(),
        as_of: Date::new(2026, 5, 1).unwrap_or(Date::Y2K),
        limits: Vec::new(),
        clashes: Vec::new(),
        pending: Vec::new(),
        allergens: None,
        label: LabelRules {
            heading: "Ingredients".to_owned(),
            one_percent_ordered: net == NetRule::Metric,
            nano: net == NetRule::Metric,
            names: Vec::new(),
            net,
            durability: net == NetRule::Metric,
            particulars: vec![
                "name and address of who answers for the product".to_owned(),
                "content at the time of packing".to_owned(),
                "batch code".to_owned(),
            ],
            cautions: vec![
                caution("eyes", "Keep out of the eyes; if it gets in, rinse with water."),
                caution("skin", "Not on broken or irritated skin."),
            ],
            about: about(),
        },
        not_checked: vec![
            "contaminants and traces of raw materials".to_owned(),
            "microbiology and challenge tests".to_owned(),
            "stability and the pack".to_owned(),
            "claims".to_owned(),
        ],
    }
}

fn sheet(formula: &Formula, market: &Market, findings: &[Finding], about: &About) -> LabelSheet {
    let project = quern_project::demo();
    let library = project.library();
    let opened = Opened::new(formula, &library);
    let allergen = |name: &str, millionths: i64| AllergenItem {
        name: name.to_owned(),
        percent: Percent(Decimal::new(millionths, 4)),
    };
    let label = assemble(&LabelAsk {
        formula,
        opened: &opened,
        market,
        date: about.date,
        allergens: &[allergen("Linalool", 340), allergen("Citral", 60)],
        allergens_above: Some(Percent(Decimal::new(1, 2))),
        statements: &[],
        batch_code: "DU-2611-02",
        style: Default::default(),
    });
    let content = content_height_mm(&label, market, formula.label.net);
    let checked = ["Checked against example guides, as of 1 May 2026".to_owned()];
    LabelSheet::new(formula, &label, findings, &checked, content, about)
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
    let project = quern_project::demo();
    let europe = market("one", "Example market", NetRule::Metric);
    let states = market("two", "Example market, ounces", NetRule::Dual);
    for name in ["Dune", "Shingle", "Fen"] {
        let mut formula = project.formula_named(name).ok_or("no such formula")?.as_ref().clone();
        formula.label.net = Some(Net::Grams(Decimal::from(70)));
        formula.label.keeps_months = Some(if name == "Shingle" { 18 } else { 36 });
        formula.label.opened_months = Some(12);
        formula.label.size_mm =
            Some((Decimal::from(80), Decimal::from(if name == "Dune" { 60 } else { 40 })));
        if name != "Fen" {
            formula.label.responsible = "Coast workshop, 1 Harbour Lane, Seatown".to_owned();
        }
        for market in [&europe, &states] {
            let sheet = sheet(&formula, market, &[], &about);
            let pdf = label_pdf(&sheet, about.paper)?;
            let mut times: Vec<Duration> = Vec::new();
            // Each time with another date, so that nothing is taken from before.
            for day in 1..=RUNS {
                let about =
                    About { date: Date::new(2026, 10, day).unwrap_or(Date::Y2K), ..about.clone() };
                let sheet = self::sheet(&formula, market, &[], &about);
                let began = Instant::now();
                label_pdf(&sheet, about.paper)?;
                times.push(began.elapsed());
            }
            times.sort();
            let middle = times.get(times.len() / 2).copied().unwrap_or_default();
            println!("{}: {middle:.1?}, {} kB", sheet.title(), pdf.len() / 1000);
            std::fs::write(folder.join(sheet.file_name(Format::Pdf)), pdf)?;
            std::fs::write(folder.join(sheet.file_name(Format::Html)), label_html(&sheet))?;
        }
    }

    // Labels that are far too small for their text.
    for (width, height) in [(45, 30), (16, 10)] {
        let mut formula = project.formula_named("Fen").ok_or("no such formula")?.as_ref().clone();
        formula.label.net = Some(Net::Grams(Decimal::from(15)));
        formula.label.size_mm = Some((Decimal::from(width), Decimal::from(height)));
        let sheet = sheet(&formula, &europe, &[], &about);
        let name = format!("small, {width} x {height}");
        std::fs::write(folder.join(format!("{name}.pdf")), label_pdf(&sheet, about.paper)?)?;
        std::fs::write(folder.join(format!("{name}.html")), label_html(&sheet))?;
    }

    // With a Stop, an accepted warning, and another label printed before.
    let mut formula = project.formula_named("Dune").ok_or("no such formula")?.as_ref().clone();
    formula.label.printed = vec![Printed {
        market: europe.code.clone(),
        date: Date::new(2026, 3, 4).unwrap_or(Date::Y2K),
        version: 2,
        lines: vec!["name: Dune".to_owned(), "function: Scrub for the face".to_owned()],
    }];
    let accepted = Accepted {
        key: String::new(),
        said: String::new(),
        reason: "Weighed at the chemist's until the new balance comes".to_owned(),
        date: Date::new(2026, 11, 20),
    };
    let findings = [
        Finding {
            problem: Problem::TotalOff { total: Percent(Decimal::new(975, 1)) },
            place: Where::Formula,
            accepted: None,
        },
        Finding { problem: Problem::NoScale, place: Where::Batch, accepted: Some(accepted) },
    ];
    about.style = NumberStyle::with_sign(DecimalSign::Comma);
    about.paper = Paper::UsLetter;
    let sheet = sheet(&formula, &europe, &findings, &about);
    std::fs::write(folder.join("letter, comma, stop.pdf"), label_pdf(&sheet, about.paper)?)?;
    std::fs::write(folder.join("letter, comma, stop.html"), label_html(&sheet))?;
    Ok(())
}

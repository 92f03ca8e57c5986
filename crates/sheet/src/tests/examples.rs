//! Formulas for tests. The materials are known by name only.

use std::sync::Arc;

use quern_calc::batch::{BatchPlan, BatchSize, Scale};
use quern_calc::evaluate::{Context, Evaluation, evaluate};
use quern_calc::formula::{
    Alternative, Amount, Caution, Formula, FormulaId, Function, Item, Library, Line, LineId,
    Material, MaterialId, Phase, PhaseId, PhaseKind, PhaseTemperature, Step,
};
use quern_calc::number::{DecimalSign, NumberStyle};
use quern_calc::quantity::{Date, Grams, Percent};
use quern_calc::rules::Rules;
use rust_decimal::Decimal;

use crate::{About, BenchSheet, Paper};

pub fn d(text: &str) -> Decimal {
    text.parse().unwrap()
}

/// INCI name, form, display name, percent (empty for the line that fills).
type Row = (&'static str, &'static str, &'static str, &'static str);

const MELT: [Row; 7] = [
    ("Sodium Cocoyl Isethionate", "powder", "SCI powder", "34"),
    ("Stearyl Alcohol", "", "Stearyl alcohol", "7.5"),
    ("Glyceryl Stearate", "", "Glyceryl stearate", "5.5"),
    ("Theobroma Cacao Seed Butter", "", "Cocoa butter", "6"),
    ("Oryza Sativa Bran Oil", "", "Rice bran oil", "12.5"),
    ("Kaolin", "white", "White kaolin", "9"),
    ("Avena Sativa Kernel Flour", "", "Oat flour", ""),
];
const GRAINS: [Row; 2] = [
    ("Hydrogenated Jojoba Oil", "bead 250\u{2013}500 \u{b5}m", "Jojoba beads", "2"),
    ("Bambusa Arundinacea Stem Powder", "", "Bamboo powder", "3.5"),
];
const COOL: [Row; 3] = [
    ("Phenoxyethanol (and) Ethylhexylglycerin", "", "Preservative blend", "0.9"),
    ("Parfum", "heather", "Heather fragrance", "0.6"),
    ("Tocopherol", "", "Vitamin E", "0.2"),
];

/// All that a sheet is made from.
#[derive(Clone)]
pub struct Example {
    pub formula: Formula,
    pub materials: Vec<Material>,
    pub plan: BatchPlan,
    pub about: About,
}

impl Example {
    pub fn evaluation(&self) -> Evaluation {
        let context = Context::on(self.about.date);
        evaluate(&self.formula, &self.library(), &Rules::default(), &self.plan, &context)
    }

    pub fn library(&self) -> Library {
        Library::new(self.materials.iter().cloned().map(Arc::new), [])
    }

    pub fn sheet(&self) -> BenchSheet {
        let evaluation = self.evaluation();
        BenchSheet::new(&self.formula, &evaluation, &self.library(), &self.plan, &self.about)
    }

    pub fn line(&mut self, number: usize) -> &mut Line {
        self.formula.phases.iter_mut().flat_map(|p| &mut p.lines).nth(number - 1).unwrap()
    }

    fn add(&mut self, phase: usize, row: Row) {
        let (inci, form, name, percent) = row;
        let number = self.materials.len() + 1;
        let mut material = Material::named(MaterialId::new(&format!("m{number}")), inci, name);
        material.form = form.to_owned();
        material.function = Some(match phase {
            1 => Function::Exfoliant,
            _ if inci.starts_with("Sodium") => Function::Surfactant,
            _ => Function::Structure,
        });
        material.cautions = match inci {
            "Kaolin" => vec![Caution::Dust, Caution::DustSilica],
            "Sodium Cocoyl Isethionate" => vec![Caution::Dust, Caution::Eyes],
            "Parfum" => vec![Caution::Skin],
            "Avena Sativa Kernel Flour" => vec![Caution::Cereal],
            _ => Vec::new(),
        };
        let id = LineId(u32::try_from(number).unwrap());
        if percent.is_empty() {
            self.formula.fills = Some(id);
        }
        self.formula.phases[phase].lines.push(Line {
            id,
            item: Item::Material(material.id.clone()),
            amount: (!percent.is_empty()).then(|| Amount::percent(d(percent))),
            locked: false,
            alternatives: Vec::new(),
            note: String::new(),
        });
        self.materials.push(material);
    }
}

fn phase(id: u32, name: &str, kind: PhaseKind, temperature: PhaseTemperature) -> Phase {
    Phase {
        id: PhaseId(id),
        name: name.to_owned(),
        kind,
        temperature,
        steps: Vec::new(),
        lines: Vec::new(),
    }
}

fn step(text: &str, temperature_c: Option<f64>, minutes: Option<f64>) -> Step {
    Step { text: text.to_owned(), temperature_c, minutes }
}

/// A scrub bar of twelve lines in three phases: 24 pieces of 70 g on two scales.
pub fn bar() -> Example {
    let mut formula = Formula::empty(FormulaId::new("f1"), "Dune");
    formula.phases = vec![
        phase(1, "Melt", PhaseKind::Melt, PhaseTemperature::HeatTo(74.0)),
        phase(2, "Grains", PhaseKind::Grains, PhaseTemperature::Below(62.0)),
        phase(3, "Cool-down", PhaseKind::CoolDown, PhaseTemperature::Below(50.0)),
    ];
    formula.phases[0].steps = vec![
        step("Mask on. Weigh A into the pot, powders last, then the water bath", Some(74.0), None),
        step("Stir every 5 min until no grains show", None, Some(20.0)),
    ];
    formula.phases[1].steps = vec![step("Off the heat, fold in B", Some(62.0), None)];
    formula.phases[2].steps = vec![
        step("Stir in C", Some(50.0), Some(2.0)),
        step("Spoon into moulds, tap, level", None, None),
    ];
    let mut example = Example {
        formula,
        materials: Vec::new(),
        plan: BatchPlan {
            size: BatchSize::Pieces { count: 24, each: Grams(d("70")) },
            loss: Percent(d("3")),
            scales: vec![
                Scale::new("bench", d("0.1"), d("3000")),
                Scale::new("pocket", d("0.01"), d("5")),
            ],
            code: "DU-2611-02".to_owned(),
            ..BatchPlan::default()
        },
        about: About {
            workshop: "Coast workshop".to_owned(),
            date: Date::new(2026, 11, 25).unwrap(),
            currency: "EUR".to_owned(),
            style: NumberStyle::default(),
            paper: Paper::A4,
            rules_edition: "Quern guides 1".to_owned(),
            library_edition: "Quern materials 1".to_owned(),
            program: "Quern 0.1.0".to_owned(),
        },
    };
    for (index, rows) in [&MELT[..], &GRAINS, &COOL].into_iter().enumerate() {
        for row in rows {
            example.add(index, *row);
        }
    }
    example
}

/// The same kind of bar with this many lines, every third with a long name.
pub fn long(lines: usize) -> Example {
    let mut example = bar();
    let each = Decimal::from(60) / Decimal::from(lines.max(1));
    for line in example.formula.phases.iter_mut().flat_map(|p| &mut p.lines) {
        line.amount = Some(Amount::percent(d("1")));
    }
    while example.materials.len() < lines {
        let n = example.materials.len();
        let row: Row = match n % 3 {
            0 => (
                "Hydroxypropyltrimonium Hydrolyzed Corn Starch (and) Bis-Ethylhexyloxyphenol Methoxyphenyl Triazine (and) Phenoxyethanol/Ethylhexylglycerin/Tocopherol",
                "grade with a long description, 120 \u{b5}m",
                "Trial blend",
                "1",
            ),
            1 => ("Butyrospermum Parkii Butter", "", "Shea butter", "1"),
            _ => ("Prunus Armeniaca Kernel Oil", "", "Apricot kernel oil", "1"),
        };
        example.add(n % 3, row);
        let added = example.formula.phases[n % 3].lines.last_mut().unwrap();
        added.amount = Some(Amount::percent(each.round_dp(4)));
    }
    example
}

/// As [`bar`], with a substitute and a note.
pub fn with_alternatives() -> Example {
    let mut example = bar();
    let own = Item::Material(MaterialId::new("m3"));
    let line = example.line(2);
    line.alternatives = vec![
        Alternative {
            item: own.clone(),
            ratio: d("1.1"),
            note: "softer bar, sets later".to_owned(),
        },
        Alternative { item: own, ratio: Decimal::ONE, note: String::new() },
    ];
    example.line(6).note = "Sieve first, the lumps do not break in the melt".to_owned();
    example
}

/// As [`bar`], with two Stops and amounts that cannot be weighed.
pub fn stopped() -> Example {
    let mut example = bar();
    example.formula.fills = None;
    example.line(4).amount = Some(Amount::percent(d("-2")));
    example.line(7).amount = None;
    example
}

pub fn comma(mut example: Example) -> Example {
    example.about.style = NumberStyle::with_sign(DecimalSign::Comma);
    example
}

/// As [`bar`], on one coarse scale: many lines that cannot be weighed well.
pub fn coarse() -> Example {
    let mut example = bar();
    example.plan.scales = vec![Scale::new("kitchen", d("1"), d("5000"))];
    example
}

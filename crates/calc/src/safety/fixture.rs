//! A small market for tests: entries of the EU as the Commission's annex export of 13 May 2024
//! states them.
#![allow(clippy::unwrap_used)]

use std::sync::Arc;

use proptest::prelude::*;

use super::market::{
    AllergenRule, AllergenRules, Cap, Clash, LabelRules, LimitRule, Market, Member, NetRule,
    Pending, Regime, Species, Statement, Uses, When,
};
use crate::formula::{
    Allergen, Amount, Basis, Confidence, Contact, Figure, Form, Formula, FormulaId, Function, Item,
    Library, Line, LineId, Material, MaterialId, Part, Place, Product,
};
use crate::quantity::{Date, Percent};

pub(crate) fn pct(text: &str) -> Percent {
    Percent(text.parse().unwrap())
}

pub(crate) fn day(text: &str) -> Date {
    Date::parse(text).unwrap()
}

pub(crate) fn about() -> Figure<()> {
    read(())
}

fn read<T>(value: T) -> Figure<T> {
    Figure {
        value,
        confidence: Confidence::High,
        basis: Basis::Read,
        source: Arc::from("annex export of 13 May 2024"),
    }
}

pub(crate) fn member(inci: &str, cas: &str, formula: &str, moles: u32) -> Member {
    Member {
        inci: inci.to_owned(),
        aliases: Vec::new(),
        cas: cas.split_whitespace().map(str::to_owned).collect(),
        formula: (!formula.is_empty()).then(|| formula.to_owned()),
        moles,
    }
}

fn cap(contact: Option<Contact>, max: Option<&str>) -> Cap {
    let when = When { contact, ..When::default() };
    Cap { when, max: max.map(pct), each: false, at_or_above: false }
}

fn rule(reference: &str, members: Vec<Member>, species: Option<(&str, &str)>) -> LimitRule {
    LimitRule {
        id: reference.replace("Annex ", "").replace('/', "-").to_lowercase(),
        reference: reference.to_owned(),
        title: format!("title of {reference}"),
        members,
        species: species
            .map(|(name, formula)| Species { name: name.to_owned(), formula: formula.to_owned() }),
        needs: Uses::Any,
        counts: Uses::Any,
        caps: vec![cap(None, Some("0.5"))],
        statements: Vec::new(),
        about: about(),
    }
}

const PHB: Option<(&str, &str)> = Some(("4-hydroxybenzoic acid", "C7H6O3"));
const BENZOIC: Option<(&str, &str)> = Some(("benzoic acid", "C7H6O2"));

/// Entries V/1, 1a, 4, 12, 12a, 13, 34, 39, 57 and III/62, 102 of Regulation (EC) 1223/2009.
pub(crate) fn market() -> Market {
    use Contact::{LeaveOn, RinseOff};
    let mut benzoic = rule(
        "Annex V/1",
        vec![
            member("Benzoic Acid", "65-85-0", "C7H6O2", 1),
            member("Sodium Benzoate", "532-32-1", "C7H5NaO2", 1),
        ],
        BENZOIC,
    );
    benzoic.caps = vec![cap(Some(RinseOff), Some("2.5")), cap(Some(LeaveOn), Some("0.5"))];
    let others = vec![member("Potassium Benzoate", "582-25-2", "C7H5KO2", 1)];
    let sorbic = vec![
        member("Sorbic Acid", "110-44-1", "C6H8O2", 1),
        member("Potassium Sorbate", "24634-61-5", "C6H7KO2", 1),
        member("Calcium Sorbate", "", "C12H14CaO4", 2),
    ];
    let mut sorbates = rule("Annex V/4", sorbic, Some(("sorbic acid", "C6H8O2")));
    sorbates.caps = vec![cap(None, Some("0.6"))];
    let esters = || {
        vec![
            member("Methylparaben", "99-76-3", "C8H8O3", 1),
            member("Ethylparaben", "", "C9H10O3", 1),
            member("Propylparaben", "94-13-3", "C10H12O3", 1),
        ]
    };
    let mut parabens = rule("Annex V/12", esters(), PHB);
    parabens.caps = vec![Cap { each: true, ..cap(None, Some("0.4")) }, cap(None, Some("0.8"))];
    let mut propyl = rule("Annex V/12a", esters().split_off(2), PHB);
    propyl.caps = vec![cap(None, Some("0.14"))];
    let benzyl = vec![member("Benzyl Alcohol", "100-51-6", "", 1)];
    let mut benzyl = rule("Annex V/34", benzyl, None);
    benzyl.needs = Uses::Only(Function::Preservative);
    benzyl.caps = vec![cap(None, Some("1.0"))];
    let mixture = vec![member("Methylchloroisothiazolinone", "26172-55-4", "", 1)];
    let mut mixture = rule("Annex V/39", mixture, None);
    mixture.caps = vec![cap(Some(RinseOff), Some("0.0015")), cap(Some(LeaveOn), None)];
    let alone = vec![member("Methylisothiazolinone", "2682-20-4", "", 1)];
    let mut alone = rule("Annex V/57", alone, None);
    alone.caps = mixture.caps.clone();
    let mut amines = rule("Annex III/62", vec![member("Triethanolamine", "102-71-6", "", 1)], None);
    amines.caps = vec![cap(Some(LeaveOn), Some("2.5"))];
    amines.statements = vec![
        Statement {
            when: When::default(),
            above: None,
            label: false,
            text: "purity of at least 99 %".to_owned(),
        },
        Statement {
            when: When::default(),
            above: Some(pct("1")),
            label: true,
            text: "words for the pack".to_owned(),
        },
    ];
    let eugenol = vec![member("Methyl Eugenol", "93-15-2", "", 1)];
    let mut eugenol = rule("Annex III/102", eugenol, None);
    eugenol.caps = vec![cap(Some(RinseOff), Some("0.001")), cap(Some(LeaveOn), Some("0.0002"))];
    let plastic = vec![member("Polyethylene", "9002-88-4", "", 1)];
    let mut plastic = rule("Annex XVII/78", plastic, None);
    plastic.caps = vec![Cap { at_or_above: true, ..cap(None, Some("0.01")) }];
    Market {
        code: "eu".to_owned(),
        name: "European Union".to_owned(),
        edition: "Regulation (EC) 1223/2009".to_owned(),
        as_of: day("2024-05-13"),
        limits: vec![
            benzoic,
            rule("Annex V/1a", others, BENZOIC),
            sorbates,
            parabens,
            propyl,
            benzyl,
            mixture,
            alone,
            amines,
            eugenol,
            plastic,
        ],
        clashes: vec![Clash {
            one: "v-39".to_owned(),
            other: "v-57".to_owned(),
            why: "the mixture and methylisothiazolinone alone exclude each other".to_owned(),
            about: about(),
        }],
        pending: vec![Pending {
            members: vec![member("Melaleuca Alternifolia Leaf Oil", "", "", 1)],
            text: "classification under discussion".to_owned(),
            from: None,
            about: about(),
        }],
        allergens: Some(allergens()),
        label: LabelRules {
            heading: "Ingredients".to_owned(),
            one_percent_ordered: true,
            nano: true,
            names: Vec::new(),
            net: NetRule::Metric,
            durability: true,
            particulars: Vec::new(),
            cautions: Vec::new(),
            about: about(),
        },
        not_checked: Vec::new(),
    }
}

fn entry(number: &str, label: &str, regime: Regime, cas: &str, aliases: &[&str]) -> AllergenRule {
    AllergenRule {
        reference: format!("Annex III/{number}"),
        label: label.to_owned(),
        regime,
        aliases: aliases.iter().map(|a| (*a).to_owned()).collect(),
        cas: cas.split_whitespace().map(str::to_owned).collect(),
        sum_of: String::new(),
        oral_only: number == "46",
        about: about(),
    }
}

/// Some entries of Annex III, with the dates of Regulation (EU) 2023/1545.
pub(crate) fn allergens() -> AllergenRules {
    use Regime::{New, Old};
    AllergenRules {
        rinse_off_above: pct("0.01"),
        leave_on_above: pct("0.001"),
        old_placed_until: Date::new(2026, 7, 31),
        old_sold_until: Date::new(2028, 7, 31),
        entries: vec![
            entry("45", "Benzyl Alcohol", Old, "100-51-6", &[]),
            entry("46", "6-Methyl Coumarin", Old, "92-48-8", &[]),
            entry("70", "Citral", Old, "5392-40-5 141-27-5 106-26-3", &["Geranial", "Neral"]),
            entry("84", "Linalool", Old, "78-70-6", &[]),
            entry("88", "Limonene", Old, "138-86-3 5989-27-5", &["d-Limonene"]),
            entry("337", "Linalyl Acetate", New, "115-95-7", &[]),
            entry(
                "350",
                "Citrus Aurantium Flower Oil",
                New,
                "72968-50-4 8028-48-6 8016-38-4",
                &["Citrus Aurantium Amara Flower Oil"],
            ),
            entry(
                "351",
                "Citrus Aurantium Peel Oil",
                New,
                "72968-50-4 8028-48-6 8008-57-9",
                &["Citrus Aurantium Dulcis Peel Oil"],
            ),
            entry(
                "360",
                "Lavandula Oil/Extract",
                New,
                "8000-28-0",
                &["Lavandula Angustifolia Oil"],
            ),
        ],
        about: about(),
    }
}

/// A single material of this INCI name, which is its id and display name too.
pub(crate) fn single(inci: &str, function: Option<Function>) -> Material {
    Material { function, ..Material::named(MaterialId::new(inci), inci, inci) }
}

/// A blend of parts, "Name:share" each, or "Name" for a share that is not stated.
pub(crate) fn blend(name: &str, function: Option<Function>, parts: &[&str]) -> Material {
    let part = |text: &&str| {
        let (inci, share) = text.split_once(':').map_or((*text, None), |(n, s)| (n, Some(s)));
        Part { inci: inci.to_owned(), share: share.map(|s| read(pct(s))) }
    };
    Material { composition: parts.iter().map(part).collect(), ..single(name, function) }
}

/// The same with a list of allergens, "Name:high" each, or "Name" for no amount.
pub(crate) fn declaring(mut material: Material, allergens: &[&str]) -> Material {
    let of = |text: &&str| {
        let (name, high) = text.split_once(':').map_or((*text, None), |(n, h)| (n, Some(h)));
        Allergen { name: name.to_owned(), low: None, high: high.map(|h| read(pct(h))) }
    };
    material.allergens = allergens.iter().map(of).collect();
    material
}

/// What the tests draw from.
pub(crate) fn materials() -> Vec<Material> {
    use Function::{Adjuster, Exfoliant, Fragrance, Preservative, Solvent};
    let p = Some(Preservative);
    let mut lavender = declaring(
        single("Lavandula Angustifolia Oil", Some(Fragrance)),
        &["Linalool:45", "Linalyl Acetate:47", "Limonene:1"],
    );
    lavender.label_groups = vec!["Lavandula Oil/Extract".to_owned()];
    vec![
        single("Aqua", Some(Solvent)),
        single("Sodium Benzoate", p),
        single("Benzoic Acid", p),
        single("Potassium Benzoate", p),
        single("Potassium Sorbate", p),
        single("Calcium Sorbate", p),
        blend("Two acids", p, &["Sodium Benzoate:30", "Potassium Sorbate:20", "Aqua:50"]),
        blend("Acids of unknown shares", p, &["Sodium Benzoate", "Potassium Sorbate"]),
        single("Methylparaben", p),
        single("Propylparaben", p),
        blend(
            "Isothiazolinones",
            p,
            &["Methylchloroisothiazolinone:1.1", "Methylisothiazolinone:0.4", "Aqua:98.5"],
        ),
        single("Methylisothiazolinone", p),
        single("Benzyl Alcohol", Some(Solvent)),
        blend("Benzyl blend", p, &["Benzyl Alcohol:88", "Dehydroacetic Acid:8"]),
        single("Triethanolamine", Some(Adjuster)),
        single("Polyethylene", Some(Exfoliant)),
        declaring(single("Basil oil", Some(Fragrance)), &["Methyl Eugenol:4", "Linalool:60"]),
        single("Parfum", Some(Fragrance)),
        single("Melaleuca Alternifolia Leaf Oil", Some(Fragrance)),
        lavender,
    ]
}

pub(crate) fn library() -> Library {
    Library::new(materials().into_iter().map(Arc::new), [])
}

/// A body product of these lines, "id" and % each.
pub(crate) fn formula(contact: Contact, lines: &[(&str, &str)]) -> Formula {
    let mut formula = Formula::empty(FormulaId::new("f"), "test");
    formula.product = Product::new(Form::Emulsion, Place::Body, contact);
    for (i, (id, percent)) in lines.iter().enumerate() {
        let line = Line {
            id: LineId(u32::try_from(i).unwrap() + 1),
            item: Item::Material(MaterialId::new(id)),
            amount: Some(Amount::percent(percent.parse().unwrap())),
            locked: false,
            alternatives: Vec::new(),
            note: String::new(),
        };
        formula.phases.first_mut().unwrap().lines.push(line);
    }
    formula
}

/// Formulas of any materials of [`materials`], in either kind of product; some fill to 100.
pub(crate) fn formulas() -> impl Strategy<Value = Formula> {
    let names: Vec<String> = materials().into_iter().map(|m| m.inci).collect();
    let line = (prop::sample::select(names), 1_i64..60_000);
    (prop::collection::vec(line, 1..9), any::<bool>(), any::<bool>()).prop_map(
        |(lines, leave_on, fills)| {
            let lines: Vec<(String, String)> = lines
                .into_iter()
                .map(|(n, x)| (n, rust_decimal::Decimal::new(x, 4).to_string()))
                .collect();
            let lines: Vec<(&str, &str)> =
                lines.iter().map(|(n, x)| (n.as_str(), x.as_str())).collect();
            let contact = if leave_on { Contact::LeaveOn } else { Contact::RinseOff };
            let mut formula = formula(contact, &lines);
            formula.fills = fills.then_some(LineId(1));
            formula
        },
    )
}

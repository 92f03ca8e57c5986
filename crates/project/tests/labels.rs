//! The whole label from formula and built-in markets: order, names, allergens, cautions, and when
//! a printed one is out of date.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp
)]

mod formulas;

use formulas::{Bench, Whole, bar, bench, d, day, label_of, liquid, lotion, today};
use quern_calc::formula::{
    Amount, Contact, Figure, Form, Formula, FormulaId, Function, Net, Pack, Place, Printed,
};
use quern_calc::label::{Label, Look, Why, Zone};
use quern_calc::quantity::{Date, Percent};
use quern_project::demo;

const BLEND: &str = "benzyl-alcohol-and-dehydroacetic-acid";
const UNOPENED: &str = "benzyl-alcohol-and-glycerin-and-benzoic-acid-and-sorbic-acid";

fn names(label: &Label) -> Vec<&str> {
    label.list.entries.iter().map(|e| e.name.as_str()).collect()
}

fn zone(label: &Label, name: &str) -> Zone {
    label.list.entries.iter().find(|e| e.name == name).unwrap().zone
}

fn cautions(case: &Bench, market: &str) -> Vec<String> {
    case.label(market).cautions.into_iter().map(|c| c.text).collect()
}

fn of_demo(id: &str, market: &str) -> Label {
    let project = demo();
    let formula = project.formulas.iter().find(|f| f.id == FormulaId::new(id)).unwrap();
    label_of(formula, &project.library(), market, today())
}

/// By hand from the demo's lines. Starch is what is left: 100 - 85.1 = 14.9 %. Lavender oil at
/// 0.4 % brings at most 47 % linalyl acetate and 45 % linalool, 0.188 and 0.18 %; phenoxyethanol
/// is nine tenths of 0.9 %.
#[test]
fn the_list_of_dune() {
    let eu = "Ingredients: Sodium Cocoyl Isethionate, Zea Mays Starch, Oryza Sativa Bran Oil, \
              Kaolin, Stearyl Alcohol, Theobroma Cacao Seed Butter, Glyceryl Stearate, Cetyl \
              Palmitate, Glycerin, Oryza Sativa Powder, Jojoba Esters, Phenoxyethanol, Lavandula \
              Angustifolia Oil, Lavandula Oil/Extract, Tocopherol, Linalyl Acetate, Linalool, \
              Ethylhexylglycerin";
    assert_eq!(of_demo("dune", "eu").list.text(), eu);
    // The same shares under American names; no fragrance allergens are asked for there.
    let us = "Ingredients: Sodium Cocoyl Isethionate, Zea Mays (Corn) Starch, Oryza Sativa (Rice) \
              Bran Oil, Kaolin, Stearyl Alcohol, Theobroma Cacao (Cocoa) Seed Butter, Glyceryl \
              Stearate, Cetyl Palmitate, Glycerin, Oryza Sativa (Rice) Powder, Jojoba Esters, \
              Phenoxyethanol, Lavandula Angustifolia (Lavender) Oil, Tocopherol, \
              Ethylhexylglycerin";
    assert_eq!(of_demo("dune", "us").list.text(), us);
}

/// By hand: starch 100 - 86.3 = 13.7 %; peppermint oil 0.8 % brings at most 55 % menthol, 0.44 %,
/// 5 % limonene, 0.04 %, 3 % caryophyllene, 0.024 %, 2 % pinene, 0.016 %, and 1 % carvone, 0.008 %,
/// which is below 0.01 %; the name of its group is its own.
#[test]
fn the_list_of_cairn() {
    let eu = "Ingredients: Sodium Cocoyl Isethionate, Oryza Sativa Starch, Helianthus Annuus Seed \
              Oil, Stearic Acid, Butyrospermum Parkii Butter, Illite, Sodium Lauryl Sulfoacetate, \
              Glyceryl Stearate, Olea Europaea Seed Powder, Pumice, Glycerin, Papaver Somniferum \
              Seed, Phenoxyethanol, Mentha Piperita Oil, Menthol, Ethylhexylglycerin, Limonene, \
              Beta-Caryophyllene, Pinene";
    assert_eq!(of_demo("cairn", "eu").list.text(), eu);
}

/// By hand: water is 71.9 % and what solutions of panthenol, phytate, lactic acid and the
/// preservative bring, 72.335 %; the emulsifier's two names share 4.5 % evenly.
#[test]
fn the_list_of_fen() {
    let eu = "Ingredients: Aqua, Helianthus Annuus Seed Oil, Caprylic/Capric Triglyceride, \
              Butyrospermum Parkii Butter, Glycerin, Cetearyl Olivate, Sorbitan Olivate, Cetyl \
              Alcohol, Benzyl Alcohol, Panthenol, Parfum, Xanthan Gum, Tocopherol, Lactic Acid, \
              Sodium Phytate, Dehydroacetic Acid";
    let label = of_demo("fen", "eu");
    assert_eq!(label.list.text(), eu);
    assert_eq!(label.list.entries[0].percent, Percent(d("72.335")));
    let us = "Ingredients: Water, Helianthus Annuus (Sunflower) Seed Oil, Caprylic/Capric \
              Triglyceride, Butyrospermum Parkii (Shea) Butter, Glycerin, Cetearyl Olivate, \
              Sorbitan Olivate, Cetyl Alcohol, Benzyl Alcohol, Panthenol, Fragrance, Xanthan Gum, \
              Tocopherol, Lactic Acid, Sodium Phytate, Dehydroacetic Acid";
    assert_eq!(of_demo("fen", "us").list.text(), us);
}

#[test]
fn exactly_one_percent() {
    let at = |percent: &str| {
        lotion().water(&[("aqua", "90"), ("cetyl-alcohol", percent), ("tocopherol", "0.5")])
    };
    let zones = |percent: &str| {
        ["eu", "us"].map(|market| zone(&at(percent).label(market), "Cetyl Alcohol"))
    };
    assert_eq!(zones("0.9999"), [Zone::Free, Zone::Free]);
    assert_eq!(zones("1.000"), [Zone::Ordered, Zone::Free]);
    assert_eq!(zones("1.0001"), [Zone::Ordered, Zone::Ordered]);
    assert_eq!(at("1").label("eu").list.first_free, Some(2));
    assert_eq!(at("1").label("us").list.first_free, Some(1));
    // Two lines of the same, 0.6 % each, are one ingredient above 1 %.
    let twice = lotion().water(&[("aqua", "90"), ("cetyl-alcohol", "0.6")]);
    let twice = twice.melt(&[("cetyl-alcohol", "0.6")]);
    assert_eq!(zone(&twice.label("eu"), "Cetyl Alcohol"), Zone::Ordered);
}

#[test]
fn colourants_stand_last_and_nanomaterials_say_so() {
    let case = || {
        bench(Form::Other).melt(&[
            ("ci-77491", "12"),
            ("ci-77492", "6"),
            ("ci-77007", "3"),
            ("tocopherol", "0.1"),
            ("zea-mays-starch", "70"),
            ("zinc-oxide", "5"),
        ])
    };
    let order = ["Zea Mays Starch", "Zinc Oxide", "Tocopherol", "CI 77007", "CI 77491", "CI 77492"];
    assert_eq!(names(&case().label("eu")), order);
    assert_eq!(zone(&case().label("eu"), "CI 77491"), Zone::Colour);
    // In the United States both iron oxides have one name.
    let us = ["Zea Mays (Corn) Starch", "Zinc Oxide", "Tocopherol", "Iron Oxides", "Ultramarines"];
    assert_eq!(names(&case().label("us")), us);
    let mut nano = case();
    nano.formula.label.nano = vec!["zinc oxide".to_owned()];
    assert!(names(&nano.label("eu")).contains(&"Zinc Oxide (nano)"));
    assert!(!nano.label("us").list.text().contains("nano"));
}

#[test]
fn allergens_above_their_threshold() {
    // The upper end of limonene in lemon oil is 78 %: 0.0129 % of it brings 0.010062 %, calculated
    // by hand.
    let with = |contact: Contact, percent: &str| {
        let case = bench(Form::Other).product(Place::Body, contact);
        let case = case.melt(&[("zea-mays-starch", "90"), ("citrus-limon-peel-oil", percent)]);
        names(&case.label("eu")).contains(&"Limonene")
    };
    assert!(!with(Contact::RinseOff, "0.0128"));
    assert!(with(Contact::RinseOff, "0.0129"));
    assert!(!with(Contact::LeaveOn, "0.00128"));
    assert!(with(Contact::LeaveOn, "0.00129"));
    // Exactly the threshold is not above it: 1 % of a scent with 1 % and 0.1 % of linalool.
    let exact = |contact: Contact, share: &str| {
        let case = bench(Form::Other)
            .changed("citrus-limon-peel-oil", |m| {
                m.allergens.retain(|a| a.name == "Limonene");
                m.allergens[0].high = Some(Figure::user(Percent(d(share))));
            })
            .product(Place::Body, contact);
        let label =
            case.melt(&[("zea-mays-starch", "90"), ("citrus-limon-peel-oil", "1")]).label("eu");
        let named = label.list.entries.iter().find(|e| e.name == "Limonene").map(|e| e.why);
        assert!(matches!(named, None | Some(Why::Allergen { .. })));
        named.is_some()
    };
    assert!(!exact(Contact::RinseOff, "1"));
    assert!(exact(Contact::RinseOff, "1.0001"));
    assert!(!exact(Contact::LeaveOn, "0.1"));
    assert!(exact(Contact::LeaveOn, "0.1001"));
    // The United States ask for none.
    let case = bench(Form::Other).melt(&[("citrus-limon-peel-oil", "1")]);
    assert_eq!(names(&case.label("us")), ["Citrus Limon (Lemon) Peel Oil"]);
}

#[test]
fn old_and_new_allergens_by_date() {
    // Linalool was on the list before; linalyl acetate was added by Regulation (EU) 2023/1545:
    // placed on the market until 31 July 2026 and sold until 31 July 2028 without it.
    let at = |date: Date, placed: Option<Date>| {
        let mut case =
            bench(Form::Balm).melt(&[("cera-alba", "20"), ("lavandula-angustifolia-oil", "0.4")]);
        case.formula.safety.placed = placed;
        let label = label_of(&case.formula, &case.library(), "eu", date);
        let has = |name: &str| label.list.entries.iter().any(|e| e.name == name);
        assert!(has("Linalool"));
        has("Linalyl Acetate")
    };
    let in_time = Some(day(2026, 7, 31));
    assert!(!at(day(2026, 7, 31), None));
    assert!(at(day(2026, 8, 1), None));
    assert!(!at(day(2028, 7, 31), in_time));
    assert!(at(day(2028, 8, 1), in_time));
    assert!(at(today(), Some(day(2026, 8, 1))));
    // Placed later than the day on which it is looked at: what holds then.
    assert!(at(day(2025, 1, 1), Some(day(2026, 8, 1))));
}

#[test]
fn words_that_limits_put_on_the_label() {
    let preservative =
        |m: &mut quern_calc::formula::Material| m.function = Some(Function::Preservative);
    let with = |inci: &str, percent: &str, contact: Contact| {
        let case = lotion().own(inci, preservative).product(Place::Body, contact);
        let id = inci.to_lowercase();
        case.water(&[("aqua", "90"), (id.as_str(), percent)])
    };
    let says =
        |case: &Bench, market: &str, text: &str| cautions(case, market).iter().any(|c| c == text);
    // 2 CH2O of 30.026 from DMDM hydantoin of 188.18 g/mol: 0.3191; 0.001 % from 0.003134 %.
    let releases = "Releases formaldehyde";
    assert!(!says(&with("DMDM Hydantoin", "0.0031", Contact::RinseOff), "eu", releases));
    assert!(says(&with("DMDM Hydantoin", "0.0032", Contact::RinseOff), "eu", releases));
    assert!(!says(&with("DMDM Hydantoin", "0.5", Contact::RinseOff), "us", releases));
    let eyes = with("o-Phenylphenol", "0.1", Contact::RinseOff);
    assert!(says(&eyes, "eu", "Avoid contact with eyes"));
    let young = "Not to be used for children under 3 years of age";
    assert!(says(&with("Salicylic Acid", "0.4", Contact::RinseOff), "eu", young));
    let propynyl = |c: Contact| with("Iodopropynyl Butylcarbamate", "0.005", c);
    assert!(says(&propynyl(Contact::LeaveOn), "eu", young));
    assert!(!says(&propynyl(Contact::RinseOff), "eu", young));
    // Each with where it comes from.
    for caution in eyes.label("eu").cautions {
        assert!(!caution.source.trim().is_empty(), "{caution:?}");
    }
}

#[test]
fn cautions_by_what_is_in_it_and_what_it_is() {
    let has = |case: &Bench, words: &str| {
        let eu = cautions(case, "eu");
        let found = eu.iter().any(|c| c.contains(words));
        assert_eq!(found, cautions(case, "us").iter().any(|c| c.contains(words)), "{words}");
        found
    };
    let plain = bench(Form::Balm).melt(&[("cera-alba", "20")]);
    let scrub = bar().melt(&[("juglans-regia-shell-powder-fine-under-250-um", "5")]);
    for words in ["Avoid the eye area", "Not on broken", "gentle pressure", "Keep dry between"] {
        assert!(has(&scrub, words), "{words}");
        assert!(!has(&plain, words), "{words}");
    }
    assert!(has(&scrub, "material from nuts: Walnut"), "{:?}", cautions(&scrub, "eu"));
    let none = bar().melt(&[("juglans-regia-shell-powder-fine-under-250-um", "0")]);
    assert!(!has(&none, "material from nuts"));
    let oats = bench(Form::Balm).melt(&[("avena-sativa-kernel-flour", "5")]);
    assert!(has(&oats, "from cereals") && !has(&oats, "from nuts"));
    let sesame = bench(Form::Balm).own("Sesamum Indicum Seed Oil", |_| ());
    assert!(has(&sesame.melt(&[("sesamum indicum seed oil", "5")]), "seeds and beans"));
    // An oily scrub in the shower, and only there.
    let jar = |pack: Pack| {
        let mut case = bench(Form::JarScrub).melt(&[("sucrose-caster-350-um", "60")]);
        case.formula.product.pack = pack;
        case
    };
    assert!(has(&jar(Pack::Jar), "slippery") && has(&jar(Pack::Jar), "water out of the jar"));
    assert!(!has(&jar(Pack::Tube), "water out of the jar"));
    let wiped = jar(Pack::Jar).product(Place::Body, Contact::LeaveOn);
    assert!(!has(&wiped, "slippery"));
    let bath = |oil: &str| {
        bench(Form::Bath)
            .melt(&[("sodium-bicarbonate", "50"), ("caprylic-capric-triglyceride", oil)])
    };
    assert!(has(&bath("5"), "Makes the bath slippery") && !has(&bath("0"), "slippery"));
    assert!(has(&bath("5"), "out of reach of children") && !has(&plain, "children"));
    let mut own = plain;
    own.formula.label.cautions = vec!["Store below 25 °C".to_owned(), " ".to_owned()];
    assert_eq!(cautions(&own, "eu"), ["Store below 25 °C"]);
}

/// A lotion whose label was printed, and is held against itself on a later day.
fn printed() -> Bench {
    let mut case = lotion()
        .water(&[("aqua", "80"), ("glycerin-99-5", "5")])
        .cool(&[("phenoxyethanol-and-ethylhexylglycerin", "1")]);
    case.formula.label.net = Some(Net::Grams(d("60")));
    case.formula.label.keeps_months = Some(36);
    case.formula.label.opened_months = Some(6);
    case.formula.label.code_pattern = "{year}{number}".to_owned();
    let lines = case.label("eu").lines();
    case.formula.label.printed =
        vec![Printed { market: "eu".to_owned(), date: day(2026, 1, 2), version: 1, lines }];
    case
}

fn stale(case: &Bench, date: Date) -> Vec<String> {
    let label = label_of(&case.formula, &case.library(), "eu", date);
    label.stale.map(|s| s.changed.into_iter().map(|c| c.0).collect()).unwrap_or_default()
}

#[test]
fn what_makes_a_printed_label_out_of_date() {
    let nothing: [&str; 0] = [];
    // Dates, batches, size and unused places do not.
    type Change = fn(&mut Formula);
    let harmless: [Change; 6] = [
        |f| f.label.made = Some(day(2026, 10, 1)),
        |f| f.label.code_number = Some(17),
        |f| f.label.keeps_months = Some(40),
        |f| f.label.letter_mm = Some(d("3")),
        |f| f.version.number = 9,
        |f| f.note = "another note".to_owned(),
    ];
    for (i, change) in harmless.into_iter().enumerate() {
        let mut case = printed();
        change(&mut case.formula);
        assert_eq!(stale(&case, day(2027, 5, 6)), nothing, "{i}");
    }
    let counts: [(Change, &str); 9] = [
        (|f| f.label.name = "Other".to_owned(), "name"),
        (|f| f.label.function = "Cream".to_owned(), "function"),
        (|f| f.phases[0].lines[1].amount = Some(Amount::percent(d("0"))), "ingredients"),
        (|f| f.label.net = Some(Net::Grams(d("61"))), "net content"),
        (|f| f.label.opened_months = Some(12), "after opening"),
        (|f| f.label.directions = "Pat dry".to_owned(), "directions"),
        (|f| f.label.responsible = "Somebody".to_owned(), "responsible"),
        (|f| f.label.origin = "Iceland".to_owned(), "origin"),
        (|f| f.label.cautions.push("Store cool".to_owned()), "caution"),
    ];
    for (change, part) in counts {
        let mut case = printed();
        change(&mut case.formula);
        assert_eq!(stale(&case, today()), [part]);
    }
    // An amount that moves nothing in the list says nothing on the pack.
    let mut case = printed();
    case.formula.phases[0].lines[1].amount = Some(Amount::percent(d("4")));
    assert_eq!(stale(&case, today()), nothing);
    // An allergen that has to be named from a day on does, though nobody changed the formula.
    let mut case = lotion().water(&[("aqua", "90"), ("lavandula-angustifolia-oil", "0.4")]);
    let before = day(2026, 7, 31);
    let lines = label_of(&case.formula, &case.library(), "eu", before).lines();
    case.formula.label.printed =
        vec![Printed { market: "eu".to_owned(), date: before, version: 1, lines }];
    assert_eq!(stale(&case, before), nothing);
    assert_eq!(stale(&case, day(2026, 8, 1)), ["ingredients"]);
}

#[test]
fn solutions_are_opened_and_juices_are_not() {
    // 63 % of the 30 % solution is water: 12.6 and 7.4 of 20 %.
    let betaine = liquid().water(&[("cocamidopropyl-betaine", "20"), ("glycerin-99-5", "10")]);
    let label = betaine.label("eu");
    assert_eq!(names(&label), ["Aqua", "Glycerin", "Cocamidopropyl Betaine"]);
    assert_eq!(label.list.entries[0].percent, Percent(d("12.6")));
    // Its half per cent of moisture does not make glycerine a solution.
    assert_eq!(label.list.entries[1].percent, Percent(d("10")));
    let juice = liquid().water(&[("aloe-barbadensis-leaf-juice", "20")]);
    assert_eq!(names(&juice.label("eu")), ["Aloe Barbadensis Leaf Juice"]);
}

#[test]
fn an_unopened_blend_below_and_above_one_percent() {
    let at =
        |percent: &str| lotion().water(&[("aqua", "90")]).cool(&[(UNOPENED, percent)]).label("eu");
    let remark = |label: &Label| {
        let of = |r: &&quern_calc::label::LabelRemark| r.text.contains("not state its shares");
        label.remarks.iter().find(of).map(|r| r.look).unwrap()
    };
    assert_eq!(remark(&at("1")), Look::Know);
    assert_eq!(remark(&at("1.01")), Look::Short);
    // Named one by one in an even split, never as one long name.
    let all = ["Aqua", "Benzoic Acid", "Benzyl Alcohol", "Glycerin", "Sorbic Acid"];
    assert_eq!(names(&at("0.8")), all);
}

#[test]
fn a_blend_opened_by_hand_gives_the_same_list() {
    // 0.9 % of the blend: 87 % benzyl alcohol, 8 % dehydroacetic acid, 5 % water.
    let blend = lotion().water(&[("aqua", "80"), ("glycerin-99-5", "5")]).cool(&[(BLEND, "0.9")]);
    let parts = lotion()
        .water(&[("aqua", "80"), ("glycerin-99-5", "5"), ("aqua", "0.045")])
        .cool(&[("benzyl-alcohol", "0.783"), ("dehydroacetic-acid", "0.072")]);
    for market in ["eu", "us"] {
        let (one, other) = (blend.label(market), parts.label(market));
        assert_eq!(one.list.text(), other.list.text());
        let shares = |l: &Label| l.list.entries.iter().map(|e| e.percent).collect::<Vec<_>>();
        assert_eq!(shares(&one), shares(&other));
    }
}

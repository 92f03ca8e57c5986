//! Edges between data and law: solutions, unopened blends, acceptances, markets without rules.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

mod formulas;

use formulas::{Whole, bar, bench, lotion};
use quern_calc::findings::Severity::{Stop, Warn};
use quern_calc::formula::{Accepted, Contact, Form, Place};

#[test]
fn law_speaks_of_the_substance_not_of_its_solution() {
    // Annex III/286: 2.5 % in rinse-off hair products, as cetrimonium chloride; the raw material
    // is a solution of 29 %, so 5 % of it brings 1.45 %.
    let hair = |amount| {
        bench(Form::Emulsion)
            .product(Place::Hair, Contact::RinseOff)
            .water(&[("aqua", "80"), ("cetrimonium-chloride", amount)])
    };
    hair("5").quiet("law-limit");
    let stop = hair("9").tells("law-limit", Stop);
    let steps = stop.steps(Default::default()).join("\n");
    assert!(steps.contains("9 % × 29 % = 2.61 %"), "{steps}");
}

#[test]
fn an_unopened_blend_is_not_its_first_part() {
    let case = lotion()
        .own("Phenoxyethanol (and) Ethylhexylglycerin", |m| {
            m.composition.clear();
            m.cas = Some("122-99-6 / 70445-33-9".to_owned());
        })
        .cool(&[("phenoxyethanol (and) ethylhexylglycerin", "1.1")]);
    case.quiet("law-limit");
    // Up to 1.1 % may be phenoxyethanol, and the limit is 1 %: it cannot be said.
    case.tells("law-undecided", Warn);
}

#[test]
fn a_market_without_rules_is_told() {
    let mut case = bar().melt(&[("stearic-acid-50-type", "20")]);
    case.formula.safety.markets = vec!["atlantis".to_owned(), "eu".to_owned()];
    let told = case.tells("market-unknown", Warn);
    assert!(told.words(Default::default()).title.contains("atlantis"));
    case.formula.safety.markets = vec!["eu".to_owned()];
    case.quiet("market-unknown");
}

#[test]
fn an_acceptance_holds_for_its_own_words_alone() {
    let mut case = lotion().ph("8", true).water(&[("niacinamide", "3"), ("urea", "3")]);
    let open: Vec<_> = case.whole().findings;
    let two: Vec<_> = open.iter().filter(|f| f.rule() == "active-ph").collect();
    assert_eq!(two.len(), 2);
    for f in &two {
        case.formula.safety.accepted.push(Accepted {
            key: f.key(),
            said: f.said(),
            reason: "on purpose".to_owned(),
            date: None,
        });
    }
    let after = case.whole().findings;
    assert!(after.iter().filter(|f| f.rule() == "active-ph").all(|f| f.accepted.is_some()));
    // A Stop is never accepted, whatever a file says.
    let mut case = lotion().cool(&[("phenoxyethanol", "2")]);
    let stop = case.tells("law-limit", Stop);
    case.formula.safety.accepted.push(Accepted {
        key: stop.key(),
        said: stop.said(),
        reason: "no".to_owned(),
        date: None,
    });
    assert!(case.tells("law-limit", Stop).accepted.is_none());
}

#[test]
fn parabens_are_summed_with_their_own_salts() {
    // Annex V/12: 0.42 % × 0.90781 + 0.42 % × 0.79321 = 0.7144 % as acid of one ester.
    let case = |salt| {
        lotion()
            .own("Methylparaben", |m| m.cas = Some("99-76-3".to_owned()))
            .own("Sodium Methylparaben", |m| m.cas = Some("5026-62-0".to_owned()))
            .cool(&[("methylparaben", "0.42"), ("sodium methylparaben", salt)])
    };
    case("0.42").tells("law-limit", Stop);
    case("0.02").quiet("law-limit");
}

#[test]
fn a_dispersion_of_a_pigment_is_a_colourant_in_its_pigment_only() {
    use quern_calc::formula::{Figure, Function, Part};
    use quern_calc::quantity::Percent;
    let part = |inci: &str| Part {
        inci: inci.to_owned(),
        share: Some(Figure::user(Percent("50".parse().unwrap()))),
    };
    let case = lotion()
        .own("Ricinus Communis Seed Oil (and) CI 77491", |m| {
            m.function = Some(Function::Colour);
            m.composition = vec![part("Ricinus Communis Seed Oil"), part("CI 77491")];
        })
        .melt(&[("ricinus communis seed oil (and) ci 77491", "5")]);
    let list = case.label("eu").list.text();
    assert!(list.ends_with("CI 77491"), "{list}");
    let oil = list.find("Ricinus").unwrap();
    assert!(oil < list.find("CI 77491").unwrap(), "{list}");
    let ordered = case.label("eu").list.entries;
    let oil = ordered.iter().find(|e| e.name.starts_with("Ricinus")).unwrap();
    assert_eq!(oil.zone, quern_calc::label::Zone::Ordered, "2.5 % stands by amount");
}

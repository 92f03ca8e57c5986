//! Preservation, emulsifiers and the printed label, with the built-in data: for every rule a
//! formula that trips it and one that just does not.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp
)]

mod formulas;

use formulas::{Bench, Whole, bar, bench, day, liquid, lotion};
use quern_calc::findings::Severity::{Note, Stop, Warn};
use quern_calc::findings::{Finding, Fix, Quantity};
use quern_calc::formula::{Contact, Form, Function, Pack, Part, Printed, VersionState};
use quern_calc::number::NumberStyle;
use quern_calc::safety::keeping::{ALCOHOL, Counts, Keeping, Need, PH_APART};
use quern_calc::safety::preservation::Reach;

const BLEND: &str = "benzyl-alcohol-and-dehydroacetic-acid";
const PHENOXY: &str = "phenoxyethanol-and-ethylhexylglycerin";
const UNOPENED: &str = "benzyl-alcohol-and-glycerin-and-benzoic-acid-and-sorbic-acid";
const SOAP: &str = "sodium-palmate-and-sodium-palm-kernelate";

/// A lotion with these beside its water.
fn with(lines: &[(&str, &str)]) -> Bench {
    lotion().water(&[("aqua", "80")]).cool(lines)
}

/// A scrub bar without water.
fn dry_bar(lines: &[(&str, &str)]) -> Bench {
    let powders = [("sodium-cocoyl-isethionate-powder", "30"), ("zea-mays-starch", "10")];
    bar().melt(&powders).cool(lines)
}

fn soap() -> Bench {
    bench(Form::CleansingBar).melt(&[(SOAP, "95")])
}

fn keeping(case: &Bench) -> Keeping {
    case.whole().safety.keeping
}

fn counts(case: &Bench, inci: &str) -> Counts {
    keeping(case).systems.iter().find(|s| s.inci == inci).unwrap().counts
}

fn advice(case: &Bench) -> String {
    keeping(case).advice(NumberStyle::default()).join("\n")
}

/// The rules of preservation that speak, with their severity.
fn said(case: &Bench) -> Vec<(&'static str, &'static str)> {
    let ours = |f: &&Finding| {
        use quern_calc::findings::Problem as P;
        matches!(f.problem, P::Keeping(_) | P::WaterWithoutPreservative { .. })
    };
    let all = case.whole().findings;
    all.iter().filter(ours).map(|f| (f.rule(), f.severity().name())).collect()
}

#[test]
fn out_of_reach_is_a_stop_where_there_is_water() {
    let rule = "preservative-out-of-reach";
    let at =
        |ph: &str| with(&[("sodium-benzoate", "0.5"), ("potassium-sorbate", "0.3")]).ph(ph, true);
    at("5.5").quiet(rule);
    let f = at("5.51").tells(rule, Stop);
    assert!(f.said().contains("measured pH 5.51"), "{}", f.said());
    assert_eq!(f.fixes(), [Fix::Details]);
    // One that works keeps it from being a stop: the idle ones are told one by one.
    let both = with(&[("sodium-benzoate", "0.5"), (PHENOXY, "1")]).ph("6.5", true);
    both.quiet(rule);
    both.tells("preservative-idle", Warn);
    // A bar is dry in the pack.
    let case = dry_bar(&[("sodium-benzoate", "0.5")]).ph("6.5", true);
    case.quiet(rule);
    case.tells("preservative-idle", Warn);
}

#[test]
fn an_acid_does_nothing_below_its_band() {
    let rule = "preservative-idle";
    // 0.5 % of the benzoate is 0.42373 % of acid; 0.03 % of the product is left at pH 5.3176
    // (1 / (1 + 10^(pH - 4.2)) = 0.0708), calculated apart.
    let at = |ph: &str| with(&[("sodium-benzoate", "0.5"), (PHENOXY, "1")]).ph(ph, true);
    at("5.31").quiet(rule);
    let f = at("5.32").tells(rule, Warn);
    let (figure, limit) = (f.figure(), f.limit());
    assert!(matches!(figure, Some(Quantity::Number(x, 4)) if x < 0.03 && x > 0.029), "{figure:?}");
    assert!(limit.is_some());
    // Inside the window it is the amount as well as the pH: more of it is a way out.
    assert!(f.said().contains("0.50 %"), "{}", f.said());
    assert!(f.words(NumberStyle::default()).fix.contains("add more"));
    let outside = at("5.6").tells(rule, Warn).words(NumberStyle::default());
    assert!(!outside.fix.contains("add more"), "{}", outside.fix);
    // A window without an acid, both ends.
    let alcohol = |ph: &str| with(&[("benzyl-alcohol", "0.8"), (PHENOXY, "0.5")]).ph(ph, true);
    alcohol("3").quiet(rule);
    alcohol("7").quiet(rule);
    let f = alcohol("7.01").tells(rule, Warn);
    assert_eq!(f.limit(), Some(Quantity::Number(7.0, 2)));
    assert!(f.words(NumberStyle::default()).fix.contains("into its window"));
    assert_eq!(alcohol("2.99").whole().findings.iter().filter(|f| f.rule() == rule).count(), 0);
    alcohol("2.99").tells("preservative-out-of-reach", Stop);
}

#[test]
fn what_nobody_reaches_is_a_gap() {
    // Polyaminopropyl biguanide does nothing against moulds; sorbate reaches them.
    let with = |more: &[(&str, &str)]| {
        let own = |m: &mut quern_calc::formula::Material| m.function = Some(Function::Preservative);
        let mut lines = vec![("polyaminopropyl biguanide", "0.1")];
        lines.extend(more);
        lotion().own("Polyaminopropyl Biguanide", own).water(&[("aqua", "80")]).cool(&lines)
    };
    let f = with(&[]).ph("5", true).tells("preservation-gap", Warn);
    assert!(f.said().ends_with("holds mould"), "{}", f.said());
    with(&[("potassium-sorbate", "0.4")]).ph("5", true).quiet("preservation-gap");
    // At pH 6 the sorbate is gone and with it what held the mould.
    with(&[("potassium-sorbate", "0.4")]).ph("6", true).tells("preservation-gap", Warn);
    // Without a pH the sorbate may reach it: the pH is asked for instead.
    let unknown = with(&[("potassium-sorbate", "0.4")]);
    unknown.quiet("preservation-gap");
    unknown.tells("ph-missing", Warn);
}

#[test]
fn too_little_to_stand_alone() {
    let rule = "preservative-low";
    let at = |percent: &str| with(&[("phenoxyethanol", percent)]).ph("6", true);
    at("0.5").quiet(rule);
    let f = at("0.49").tells(rule, Warn);
    assert!(f.said().contains("0.49 %") && f.said().contains("0.50 %"), "{}", f.said());
    // Beside one that counts it helps.
    let carried = with(&[("phenoxyethanol", "0.2"), (BLEND, "0.8")]).ph("5.5", true);
    carried.quiet(rule);
}

#[test]
fn a_weak_acid_alone_is_told() {
    let rule = "preservation-weak";
    // 0.3 % of the sorbate is 0.22393 % of acid; 0.05 % is left at pH 5.3013, calculated apart.
    let at = |ph: &str| with(&[("potassium-sorbate", "0.3")]).ph(ph, true);
    at("5.30").quiet(rule);
    let f = at("5.31").tells(rule, Warn);
    assert!(f.said().contains("Potassium Sorbate"), "{}", f.said());
    at("5.31").quiet("preservative-low");
    let mut more = with(&[("potassium-sorbate", "0.3"), (PHENOXY, "1")]).ph("5.31", true);
    more.quiet(rule);
    more.formula.ph = None;
    more.quiet(rule);
}

#[test]
fn helpers_do_not_carry_a_product() {
    let rule = "preservative-helpers-only";
    let toner = |more: &[(&str, &str)]| {
        let mut lines = vec![("aqua", "92"), ("pentylene-glycol", "5"), ("caprylyl-glycol", "0.5")];
        lines.extend(more);
        liquid().water(&lines)
    };
    let case = toner(&[]).ph("5.5", true);
    let f = case.tells(rule, Warn);
    assert!(f.said().contains("Pentylene Glycol and Caprylyl Glycol"), "{}", f.said());
    assert_eq!(keeping(&case).coverage, [Reach::Weak, Reach::Weak, Reach::None]);
    assert!(advice(&case).contains("mould not at all"), "{}", advice(&case));
    toner(&[("phenoxyethanol", "0.5")]).ph("5.5", true).quiet(rule);
    // A blend of helpers whose shares are not stated is no better than its parts.
    with(&[("sodium-levulinate-and-sodium-anisate", "3")]).ph("5", true).tells(rule, Warn);
    // A humectant alone was never meant to keep it: that is the stop for water without any.
    let glycol = liquid().water(&[("aqua", "92"), ("pentylene-glycol", "5")]).ph("5.5", true);
    assert_eq!(said(&glycol), [("water-without-preservative", "stop")]);
}

#[test]
fn a_bar_in_the_shower_wants_a_preservative_or_a_reason() {
    let rule = "wet-use-unpreserved";
    let f = dry_bar(&[]).tells(rule, Warn);
    let why = f.words(NumberStyle::default()).why;
    assert!(why.contains("starch"), "{why}");
    dry_bar(&[(PHENOXY, "1")]).quiet(rule);
    // Soap holds moisture and feeds nobody.
    let why = soap().ph("9.5", true).tells(rule, Warn).words(NumberStyle::default()).why;
    assert!(!why.contains("feed"), "{why}");
    // Kept dry by the maker's word.
    let mut dry = dry_bar(&[]);
    dry.formula.safety.wet_use = Some(false);
    dry.quiet(rule);
    assert_eq!(keeping(&dry).need, Need::Dry);
    // A reason on file turns it into a note, and only there.
    let mut argued = dry_bar(&[]);
    argued.formula.safety.unpreserved = " passed a wet-use test ".to_owned();
    argued.quiet(rule);
    let f = argued.tells("unpreserved-argued", Note);
    let why = f.words(NumberStyle::default()).why;
    assert!(why.contains("passed a wet-use test"), "{why}");
    argued.formula.safety.unpreserved = "  ".to_owned();
    argued.quiet("unpreserved-argued");
    let mut kept = dry_bar(&[(PHENOXY, "1")]);
    kept.formula.safety.unpreserved = "tested".to_owned();
    kept.quiet("unpreserved-argued");
}

#[test]
fn an_antioxidant_is_no_preservative() {
    let rule = "antioxidant-only";
    with(&[("tocopherol", "0.5")]).ph("5", true).tells(rule, Warn);
    with(&[("tocopherol", "0.5"), (PHENOXY, "1")]).ph("5", true).quiet(rule);
    let case = dry_bar(&[("tocopherol", "0.5")]);
    let f = case.tells(rule, Warn);
    assert!(f.words(NumberStyle::default()).why.contains("wet in use"));
    case.quiet("wet-use-unpreserved");
    // In a balm that stays dry it is all that is asked for.
    let balm = bench(Form::Balm).melt(&[("cera-alba", "20"), ("tocopherol", "0.5")]);
    balm.quiet(rule);
}

#[test]
fn a_missing_ph_matters_more_where_there_is_water() {
    let rule = "ph-missing";
    with(&[(PHENOXY, "1")]).tells(rule, Warn);
    with(&[(PHENOXY, "1")]).ph("6", false).quiet(rule);
    // A bar: only what hangs on it is told, and as a note.
    let f = dry_bar(&[("potassium-sorbate", "0.4")]).tells(rule, Note);
    assert!(f.said().contains("Potassium Sorbate"), "{}", f.said());
    dry_bar(&[("potassium-sorbate", "0.4")]).ph("5", false).quiet(rule);
    dry_bar(&[(PHENOXY, "1")]).quiet(rule);
    // Soap is judged by its pH whatever else is in it.
    soap().tells(rule, Warn);
    soap().ph("9.8", true).quiet(rule);
}

#[test]
fn a_target_is_no_reading() {
    let rule = "ph-not-measured";
    with(&[(PHENOXY, "1")]).ph("5.5", false).tells(rule, Note);
    with(&[(PHENOXY, "1")]).ph("5.5", true).quiet(rule);
    dry_bar(&[(PHENOXY, "1")]).ph("5.5", false).quiet(rule);
}

#[test]
fn an_open_jar_near_the_limit() {
    let rule = "pack-challenge";
    let at = |ph: &str, pack: Pack, water: &str| {
        let lines = [("aqua", water), ("potassium-sorbate", "0.8")];
        let mut case = lotion().water(&lines).ph(ph, true);
        case.formula.product.pack = pack;
        case
    };
    at("5", Pack::Jar, "80").quiet(rule);
    at("5.01", Pack::Jar, "80").tells(rule, Note);
    at("5.5", Pack::Jar, "80").tells(rule, Note);
    // Past the end it is out of reach, which is told as that.
    at("5.51", Pack::Jar, "80").quiet(rule);
    at("5.2", Pack::Tube, "80").quiet(rule);
    at("5.2", Pack::Jar, "5").quiet(rule);
    at("5.2", Pack::Jar, "5.01").tells(rule, Note);
    // What does not hang on a pH near skin is not near its limit.
    let mut case = with(&[(PHENOXY, "1")]).ph("7.9", true);
    case.formula.product.pack = Pack::Jar;
    case.quiet(rule);
}

#[test]
fn salicylic_acid_above_ph_4() {
    let rule = "salicylic-ph";
    let at = |ph: &str| with(&[("salicylic-acid", "0.4"), (PHENOXY, "1")]).ph(ph, true);
    at("4").quiet(rule);
    let f = at("4.01").tells(rule, Warn);
    assert_eq!(f.limit(), Some(Quantity::Number(4.0, 2)));
}

#[test]
fn benzoate_and_sorbate_at_three_ph() {
    let at =
        |ph: &str| with(&[("sodium-benzoate", "0.4"), ("potassium-sorbate", "0.3")]).ph(ph, true);
    // 5.0: 0.0818 % of sorbic acid, good; 0.0464 % of benzoic acid, weak. Bacteria only weakly.
    assert_eq!(said(&at("5")), []);
    assert_eq!(counts(&at("5"), "Sodium Benzoate"), Counts::Weakly);
    assert_eq!(counts(&at("5"), "Potassium Sorbate"), Counts::Yes);
    assert_eq!(keeping(&at("5")).coverage, [Reach::Weak, Reach::Good, Reach::Good]);
    assert!(advice(&at("5")).contains("bacteria weakly"), "{}", advice(&at("5")));
    // 5.5: the benzoate is gone and the sorbate is weak.
    let two = [("preservation-weak", "warn"), ("preservative-idle", "warn")];
    assert_eq!(said(&at("5.5")), two);
    // 6.5: nothing works.
    assert_eq!(said(&at("6.5")), [("preservative-out-of-reach", "stop")]);
}

#[test]
fn benzyl_alcohol_and_dehydroacetic_acid() {
    let at = |percent: &str, ph: &str| with(&[(BLEND, percent)]).ph(ph, true);
    assert_eq!(said(&at("0.8", "5.5")), []);
    assert_eq!(said(&at("0.8", "6")), []);
    assert_eq!(counts(&at("0.8", "6"), "Dehydroacetic Acid"), Counts::Weakly);
    let little = [("preservative-idle", "warn"), ("preservative-low", "warn")];
    assert_eq!(said(&at("0.3", "6")), little);
    assert_eq!(said(&at("0.8", "7.2")), [("preservative-out-of-reach", "stop")]);
}

#[test]
fn a_true_soap_bar_by_its_reading() {
    // Measured above 10 a low-risk criterion is met: a note, never silence.
    let alkaline = soap().ph("10.3", true);
    assert_eq!(said(&alkaline), [("wet-use-unpreserved", "note")]);
    assert!(keeping(&alkaline).meets(PH_APART));
    assert!(advice(&alkaline).contains("never the assessment"), "{}", advice(&alkaline));
    // Exactly 10, below it, or a mere target prove nothing.
    for (ph, measured) in [("10", true), ("9.8", true), ("10.3", false)] {
        let case = soap().ph(ph, measured);
        assert_eq!(said(&case), [("wet-use-unpreserved", "warn")], "{ph}");
        assert!(!keeping(&case).meets(PH_APART));
    }
    let both = [("ph-missing", "warn"), ("wet-use-unpreserved", "warn")];
    assert_eq!(said(&soap()), both);
    // Vitamin E for the superfat is not taken for a preservative there.
    let mut fatted = bench(Form::CleansingBar).melt(&[(SOAP, "95"), ("tocopherol", "0.5")]);
    fatted = fatted.ph("10.3", true);
    assert_eq!(said(&fatted), [("wet-use-unpreserved", "note")]);
}

#[test]
fn a_balm_kept_dry_and_a_sugar_scrub() {
    let balm = bench(Form::Balm).melt(&[("cera-alba", "20"), ("helianthus-annuus-seed-oil", "80")]);
    assert_eq!(said(&balm), []);
    assert!(advice(&balm).contains("no wet fingers"), "{}", advice(&balm));
    let scrub = bench(Form::JarScrub)
        .melt(&[("sucrose-caster-350-um", "60"), ("helianthus-annuus-seed-oil", "40")]);
    let f = scrub.tells("wet-use-unpreserved", Warn);
    let why = f.words(NumberStyle::default()).why;
    assert!(why.contains("sugar"), "{why}");
}

#[test]
fn alcohol_keeps_a_spray() {
    let spray = |alcohol: &str, water: &str| {
        let mut case = liquid()
            .own("Alcohol", |m| m.function = Some(Function::Solvent))
            .water(&[("alcohol", alcohol), ("aqua", water)]);
        case.formula.product.pack = Pack::Spray;
        case.formula.product.contact = Contact::LeaveOn;
        case
    };
    // 70 % keeps it by itself; no pH is asked for.
    assert_eq!(said(&spray("70", "30")), []);
    assert!(keeping(&spray("70", "30")).meets(ALCOHOL));
    assert!(advice(&spray("70", "30")).contains("more than 20 % alcohol"));
    // The criterion says "more than", the least amount "from".
    assert!(!keeping(&spray("20", "80")).meets(ALCOHOL));
    assert_eq!(said(&spray("20", "80")), [("ph-missing", "warn")]);
    // A little alcohol from a tincture is no preservative and is not asked to be more.
    let little = [("water-without-preservative", "stop"), ("ph-missing", "warn")];
    assert_eq!(said(&spray("19.99", "80")), little);
    assert!(keeping(&spray("19.99", "80")).systems.is_empty());
}

#[test]
fn an_unopened_blend_says_that_its_reach_is_unknown() {
    let case = with(&[(UNOPENED, "0.8")]).ph("5", true);
    assert_eq!(said(&case), []);
    assert!(keeping(&case).coverage_open);
    assert!(advice(&case).contains("ask the supplier"), "{}", advice(&case));
    case.tells("blend-unopened", Note);
    let out = with(&[(UNOPENED, "0.8")]).ph("5.51", true);
    assert_eq!(said(&out), [("preservative-out-of-reach", "stop")]);
    let f = with(&[(UNOPENED, "0.8")]).tells("ph-missing", Warn);
    assert!(f.said().contains("depends on it"), "{}", f.said());
    // Some shares stated and some not: it stays closed, and is not lost from the assessment.
    let half = lotion()
        .changed(BLEND, |m| {
            for part in m.composition.iter_mut().skip(1) {
                *part = Part { share: None, ..part.clone() };
            }
        })
        .water(&[("aqua", "80")])
        .cool(&[(BLEND, "0.8")])
        .ph("5.5", true);
    let k = keeping(&half);
    assert_eq!(k.systems.len(), 1, "{:?}", k.systems);
    assert!(k.coverage_open);
}

#[test]
fn without_data_nothing_is_said_of_preservation() {
    let mut case = with(&[("sodium-benzoate", "0.5")]).ph("8", true);
    assert_eq!(said(&case), [("preservative-out-of-reach", "stop")]);
    case.rules.preservatives = Default::default();
    assert_eq!(said(&case), []);
}

#[test]
fn a_premix_is_judged_where_it_is_used() {
    let premix = bench(Form::Premix).water(&[("sodium-benzoate", "50")]).ph("8", true);
    assert_eq!(said(&premix), []);
}

#[test]
fn emulsifiers_against_the_oil_phase() {
    let rule = "hlb-off";
    let emulsion = |form: Form, high: &str, low: &str| {
        bench(form).water(&[("aqua", "70"), (PHENOXY, "1")]).melt(&[
            ("caprylic-capric-triglyceride", "20"),
            ("polysorbate-60", high),
            ("sorbitan-stearate", low),
        ])
    };
    let hlb = |case: &Bench| case.whole().safety.hlb.unwrap();
    // The oil asks for 5 to 11; polysorbate 60 has 14.9 and sorbitan stearate 4.7, so that the
    // share of the first from which the pair is more than 1.5 above is (12.5 - 4.7) / 10.2.
    let hlb_of = hlb(&emulsion(Form::Emulsion, "2.5", "2"));
    let band = hlb_of.required.unwrap();
    assert_eq!((band.low, band.high), (5.0, 11.0));
    let fits = emulsion(Form::Emulsion, "3.05", "0.95");
    assert!(hlb(&fits).blend.unwrap() < 12.5);
    fits.quiet(rule);
    let off = emulsion(Form::Emulsion, "3.07", "0.93");
    assert!(hlb(&off).blend.unwrap() > 12.5);
    let f = off.tells(rule, Warn);
    assert_eq!(f.limit(), Some(Quantity::Number(11.0, 1)));
    // A bar with the same lines is no emulsion.
    emulsion(Form::CleansingBar, "3.07", "0.93").quiet(rule);
}

#[test]
fn a_figure_of_hlb_rests_on_most_of_the_oil_phase() {
    let emulsion = |known: &str, unknown: &str| {
        lotion()
            .own("Novel Oil", |m| {
                m.function = Some(Function::Emollient);
                m.at_pour = Some(quern_calc::formula::AtPour::Liquid);
            })
            .water(&[("aqua", "70")])
            .melt(&[
                ("caprylic-capric-triglyceride", known),
                ("novel oil", unknown),
                ("polysorbate-60", "3"),
            ])
    };
    let f = emulsion("15.9", "4.1").tells("hlb-coverage", Note);
    assert!(f.words(NumberStyle::default()).why.contains("Novel Oil"));
    emulsion("16", "4").quiet("hlb-coverage");
    // Emulsifiers without a figure.
    let nameless = |own: &str| {
        lotion()
            .own("Novel Emulsifier", |m| m.function = Some(Function::Emulsifier))
            .water(&[("aqua", "70")])
            .melt(&[("caprylic-capric-triglyceride", "20"), (own, "3")])
    };
    nameless("novel emulsifier").tells("hlb-emulsifiers", Note);
    nameless("polysorbate-60").quiet("hlb-emulsifiers");
}

#[test]
fn a_printed_label_that_says_something_else() {
    let rule = "label-stale";
    let mut case = with(&[(PHENOXY, "1")]).ph("5", true);
    case.quiet(rule);
    let lines = case.label("eu").lines();
    let printed = Printed { market: "eu".to_owned(), date: day(2026, 1, 2), version: 3, lines };
    case.formula.label.printed = vec![printed];
    case.quiet(rule);
    case.formula.label.name = "Another name".to_owned();
    let f = case.tells(rule, Note);
    let why = f.words(NumberStyle::default()).why;
    assert!(why.contains("name") && why.contains("version 3"), "{why}");
    case.formula.version.state = VersionState::Released;
    case.tells(rule, Warn);
    // A market that is not known any more has no label to hold it against.
    case.formula.label.printed[0].market = "nowhere".to_owned();
    case.quiet(rule);
}

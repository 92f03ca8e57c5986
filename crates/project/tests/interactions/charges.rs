use quern_calc::findings::Severity::{Note, Stop, Warn};
use quern_calc::formula::{Charge, Form, Function};

use crate::bench::{bar, bench, liquid, lotion};

const QUAT: &str = "behentrimonium-methosulfate-and-cetearyl-alcohol-25-quat";

#[test]
fn opposite_surfactants_warn_and_stop_where_the_emulsifier_is_lost() {
    let pair = [("aqua", "70"), (QUAT, "5"), ("sodium-lauryl-sulfate-powder", "2")];
    let f = lotion().melt(&pair).says("cationic-with-anionic", Stop);
    assert!(f.said().contains("25 % quat"), "{}", f.said());
    bench(Form::CleansingBar).melt(&pair).says("cationic-with-anionic", Warn);
    // A cationic conditioner that is no emulsifier does not bring the emulsion down by itself.
    lotion()
        .melt(&[
            ("aqua", "70"),
            ("cetrimonium-chloride", "3"),
            ("sodium-lauryl-sulfate-powder", "2"),
        ])
        .says("cationic-with-anionic", Warn);
}

#[test]
fn amphoterics_and_nonionics_do_not_clash() {
    for other in ["cocamidopropyl-betaine", "coco-glucoside", "lauramine-oxide"] {
        lotion().melt(&[("aqua", "70"), (QUAT, "5"), (other, "5")]).silent("cationic-with-anionic");
    }
    // A charged salt, gum or clay is no surfactant.
    lotion()
        .melt(&[("aqua", "70"), (QUAT, "5"), ("sodium-lactate-solution-60", "2"), ("kaolin", "2")])
        .silent("cationic-with-anionic");
}

#[test]
fn soap_made_in_the_pot_is_anionic_and_a_self_emulsifying_grade_is_too() {
    let with = |other: &str| {
        lotion().melt(&[("aqua", "70"), (QUAT, "5"), ("stearic-acid-50-type", "3"), (other, "1")])
    };
    with("triethanolamine-99").says("cationic-with-anionic", Stop);
    with("arginine").silent("cationic-with-anionic");
    with("glyceryl-stearate-se").says("cationic-with-anionic", Stop);
    with("glyceryl-stearate").silent("cationic-with-anionic");
}

#[test]
fn a_little_cationic_polymer_is_a_designed_pair() {
    let guar = |percent: &str| {
        liquid().water(&[
            ("aqua", "70"),
            ("sodium-laureth-sulfate-liquid-28", "20"),
            ("guar-hydroxypropyltrimonium-chloride", percent),
        ])
    };
    // 90 % active: 0.55 % of it is 0.495 %, 0.56 % is 0.504 %.
    guar("0.55").silent("cationic-polymer");
    guar("0.56").says("cationic-polymer", Warn);
    // Sold as a solution of 9 %.
    let seven = |percent: &str| {
        let lines = [("sodium-laureth-sulfate-liquid-28", "20"), ("polyquaternium-7", percent)];
        liquid().water(&lines)
    };
    seven("5.5").silent("cationic-polymer");
    seven("5.6").says("cationic-polymer", Warn);
}

#[test]
fn a_polymer_of_unknown_activity_is_named_and_not_guessed() {
    let of = |percent: &str| {
        liquid()
            .own("Polyquaternium-10", |m| m.charge = Charge::Cationic)
            .water(&[("sodium-laureth-sulfate-liquid-28", "20"), ("polyquaternium-10", percent)])
    };
    of("0.5").silent("assay-missing");
    let case = of("0.6");
    case.silent("cationic-polymer");
    assert!(case.says("assay-missing", Note).said().contains("Polyquaternium-10"));
}

#[test]
fn cationics_and_anionic_thickeners() {
    let with = |gum: &str, cationic: (&str, &str)| {
        lotion().water(&[("aqua", "70"), ("glycerin-99-5", "5"), (gum, "0.4"), cationic])
    };
    for gum in ["carbomer", "xanthan-gum", "cellulose-gum"] {
        with(gum, (QUAT, "3")).says("cationic-with-gum", Warn);
    }
    for gum in ["hydroxyethylcellulose", "sclerotium-gum"] {
        with(gum, (QUAT, "3")).silent("cationic-with-gum");
    }
    // Polymers: carbomer at any level, xanthan above the designed one.
    let guar = "guar-hydroxypropyltrimonium-chloride";
    with("carbomer", (guar, "0.2")).says("cationic-with-gum", Warn);
    with("xanthan-gum", (guar, "0.2")).silent("cationic-with-gum");
    with("xanthan-gum", (guar, "0.6")).says("cationic-with-gum", Warn);
}

#[test]
fn carbomer_stands_little_salt() {
    let salt = |percent: &str| {
        liquid().water(&[
            ("aqua", "90"),
            ("carbomer", "0.4"),
            ("sodium-chloride-fine-400-um", percent),
        ])
    };
    salt("0.5").silent("carbomer-salt");
    salt("0.51").says("carbomer-salt", Warn);
    // 60 % active: counted as active matter.
    let lactate = |percent: &str| {
        let lines = [("aqua", "90"), ("carbomer", "0.4"), ("sodium-lactate-solution-60", percent)];
        liquid().water(&lines)
    };
    lactate("0.83").silent("carbomer-salt");
    lactate("0.84").says("carbomer-salt", Warn);
    liquid()
        .water(&[("aqua", "90"), ("xanthan-gum", "0.4"), ("sodium-chloride-fine-400-um", "2")])
        .silent("carbomer-salt");
}

#[test]
fn salt_thickens_up_to_a_peak() {
    let salt = |form: Form, percent: &str| {
        bench(form).water(&[
            ("aqua", "60"),
            ("sodium-laureth-sulfate-liquid-28", "30"),
            ("sodium-chloride-fine-400-um", percent),
        ])
    };
    salt(Form::Other, "3").silent("salt-curve");
    salt(Form::Other, "3.04").says("salt-curve", Warn);
    // Salt by design.
    salt(Form::JarScrub, "30").silent("salt-curve");
    salt(Form::CleansingBar, "5").silent("salt-curve");
}

#[test]
fn multivalent_salts_act_like_hard_water() {
    let lines = [
        ("aqua", "60"),
        ("sodium-laureth-sulfate-liquid-28", "30"),
        ("magnesium-sulfate-heptahydrate-500-1400-um", "1"),
    ];
    liquid().water(&lines).says("hard-salts", Note);
    let mut chelated = lines.to_vec();
    chelated.push(("tetrasodium-glutamate-diacetate", "0.2"));
    liquid().water(&chelated).silent("hard-salts");
    liquid().water(&[("aqua", "60"), ("decyl-glucoside", "30"), lines[2]]).silent("hard-salts");
}

#[test]
fn amines_and_nitrosating_agents_stop() {
    let with = |amine: &str| {
        lotion()
            .own("2-Bromo-2-nitropropane-1,3-diol", |m| m.function = Some(Function::Preservative))
            .water(&[("aqua", "90"), (amine, "0.5"), ("2-bromo-2-nitropropane-1,3-diol", "0.05")])
    };
    with("triethanolamine-99").says("nitrosamine", Stop);
    with("arginine").silent("nitrosamine");
    lotion()
        .water(&[("aqua", "90"), ("triethanolamine-99", "0.5"), ("phenoxyethanol", "0.8")])
        .silent("nitrosamine");
}

#[test]
fn ethoxylates_bind_preservatives() {
    let with = |ethoxylate: &str, preservative: &str| {
        liquid().water(&[
            ("aqua", "90"),
            ("polysorbate-20", ethoxylate),
            ("phenoxyethanol-and-ethylhexylglycerin", preservative),
        ])
    };
    // 97 % active: 3.09 % is 2.997, 3.1 % is 3.007.
    with("3.09", "0.5").silent("preservative-binding");
    with("3.1", "0.5").says("preservative-binding", Warn);
    // Above the least dose only much of it matters.
    with("3.1", "0.51").silent("preservative-binding");
    with("5.15", "1").silent("preservative-binding");
    with("5.16", "1").says("preservative-binding", Warn);
    // Nonionic without oxyethylene, and a dry bar.
    liquid()
        .water(&[("aqua", "80"), ("coco-glucoside", "10"), ("potassium-sorbate", "0.1")])
        .silent("preservative-binding");
    bar()
        .melt(&[("stearic-acid-50-type", "50"), ("ceteareth-20", "8"), ("phenoxyethanol", "0.5")])
        .silent("preservative-binding");
}

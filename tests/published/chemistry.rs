//! HLB, active matter, weak acids, water activity and molar masses.
//!
//! "Worked out apart" means by hand or in another program from the stated equation, where nobody
//! has printed the figure.

use quern_calc::chemistry::acid::{undissociated, undissociated_curve, water_phase_share};
use quern_calc::chemistry::actives::{ActiveMatter, supplied, usual_active};
use quern_calc::chemistry::hlb::{
    DAVIES_GROUPS, blend_hlb, davies, griffin, griffin_ester, griffin_ethoxylate, required_hlb,
    split,
};
use quern_calc::chemistry::molar::{acid_factor, molar_mass};
use quern_calc::chemistry::pka::{ACIDS, acid_of};
use quern_calc::chemistry::solutes::{Law, Osmotic, solute_of};
use quern_calc::chemistry::water_activity::{
    electrolyte, glycerin_share, norrish, raoult, ross, share_for,
};
use quern_calc::formula::{Form, Place};
use quern_calc::quantity::decimal_to_f64;
use rust_decimal::Decimal;

use crate::{d, near, percent};

/// Required HLB with one figure for each material.
fn required(parts: &[(f64, f64)]) -> f64 {
    let parts: Vec<_> = parts.iter().map(|(w, h)| (*w, Some((*h, *h)))).collect();
    let sum = required_hlb(&parts).unwrap();
    near("coverage", sum.coverage, 1.0, 1e-12);
    near("band", sum.high - sum.low, 0.0, 1e-12);
    sum.at
}

fn group(name: &str) -> f64 {
    DAVIES_GROUPS.iter().find(|g| g.name == name).unwrap().number
}

#[test]
fn griffin_esters() {
    // Griffin, J. Soc. Cosmet. Chem. 5 (1954), from memory: glyceryl stearate and polysorbate 20.
    let stearate = griffin_ester(161.0, 198.0).unwrap();
    near("glyceryl stearate, equation", stearate, 3.737, 1e-3);
    // The printed figure is not the rounded quotient.
    near("glyceryl stearate, printed", stearate, 3.8, 0.1);
    let polysorbate = griffin_ester(45.5, 276.0).unwrap();
    near("polysorbate 20, equation", polysorbate, 16.703, 1e-3);
    near("polysorbate 20, printed", polysorbate, 16.7, 0.05);
}

#[test]
fn griffin_ethoxylates() {
    // Printed: a chemical supplier's reference table of HLB values, read; PEG-100 stearate from
    // memory. Molar masses of the fatty alcohols and of stearic acid, g/mol.
    for (name, units, base, equation, printed) in [
        ("steareth-2", 2.0, 270.49, 4.914, 4.9),
        ("steareth-20", 20.0, 270.49, 15.302, 15.3),
        ("ceteth-2", 2.0, 242.44, 5.331, 5.3),
        ("ceteth-10", 10.0, 242.44, 12.901, 12.9),
        ("oleth-2", 2.0, 268.48, 4.942, 4.9),
        ("oleth-10", 10.0, 268.48, 12.427, 12.4),
        ("oleth-20", 20.0, 268.48, 15.328, 15.3),
        ("PEG-100 stearate", 100.0, 284.48, 18.787, 18.8),
    ] {
        let hlb = griffin_ethoxylate(units, base).unwrap();
        // Worked out apart.
        near(name, hlb, equation, 1e-3);
        near(name, hlb, printed, 0.05);
        let hydrophile = units * 44.053;
        near(name, hlb, griffin(hydrophile, hydrophile + base).unwrap(), 1e-12);
    }
}

#[test]
fn what_an_oil_phase_asks_for() {
    // OCL – Oilseeds & fats, Crops and Lipids (2022), article ocl210096, Table 4, read: beeswax,
    // isopropyl myristate, glyceryl stearate, stearic acid, seed oil.
    for (ipm, gms, stearic, equation, printed) in [
        (7.5, 7.5, 12.5, 10.331, 10.33),
        (7.5, 7.5, 10.5, 10.039, 10.04),
        (7.5, 7.5, 8.5, 9.708, 9.71),
        (7.5, 7.5, 6.5, 9.330, 9.33),
        (10.0, 10.0, 10.5, 9.716, 9.72),
    ] {
        let hlb = required(&[(1.5, 12.0), (ipm, 11.5), (gms, 3.8), (stearic, 15.0), (5.0, 6.2)]);
        near("five fats", hlb, equation, 1e-3);
        near("five fats", hlb, printed, 0.01);
    }
    // Student worksheet "Ejemplo HLB", read, which prints 12.0.
    let worksheet = required(&[(33.0, 12.0), (2.0, 12.0), (1.0, 10.0), (1.0, 15.0)]);
    near("liquid paraffin, lanolin, cetyl alcohol", worksheet, 12.0, 0.03);
    near("the same", worksheet, 12.027, 1e-3);
    // Textbook exercise, worked out apart.
    near("wool fat", required(&[(25.0, 12.0), (1.0, 10.0), (1.0, 15.0)]), 12.037, 1e-3);
    // Examples of the HLB handbook, from memory: about 11.2, and 8.8.
    let lotion = required(&[(8.0, 10.5), (2.0, 5.0), (2.0, 11.5), (4.0, 15.5)]);
    near("lotion", lotion, 11.187_5, 1e-9);
    near("lotion", lotion, 11.2, 0.02);
    near("spirits", required(&[(30.0, 14.0), (50.0, 6.0), (20.0, 8.0)]), 8.8, 1e-6);
}

#[test]
fn a_material_without_a_figure_does_not_count_as_zero() {
    // Worked out apart: 5 of 20 parts unknown.
    let sum = required_hlb(&[(10.0, Some((6.0, 8.0))), (5.0, Some((14.0, 16.0))), (5.0, None)]);
    let sum = sum.unwrap();
    near("low", sum.low, 130.0 / 15.0, 1e-12);
    near("high", sum.high, 160.0 / 15.0, 1e-12);
    near("coverage", sum.coverage, 0.75, 1e-12);
    assert!(!sum.may_be_shown());
}

#[test]
fn two_emulsifiers_share() {
    // The worksheet above prints 72.2 and 27.8 %, 3.6 and 1.4 g of 5 g.
    let a = split(12.027, 15.0, 4.3).unwrap();
    near("polysorbate 80", 100.0 * a, 72.2, 0.1);
    near("grams", 5.0 * a, 3.61, 0.05);
    near("grams of the other", 5.0 * (1.0 - a), 1.39, 0.05);
    // Textbook exercise, worked out apart.
    let a = split(10.5, 15.0, 4.3).unwrap();
    near("share", 100.0 * a, 57.944, 1e-3);
    near("grams", 5.0 * a, 2.897, 1e-3);
    near("grams of the other", 5.0 * (1.0 - a), 2.103, 1e-3);
    // HLB handbook, from memory: 70 and 30 % give 11.8.
    let blend = blend_hlb(&[(70.0, 15.0), (30.0, 4.3)]).unwrap();
    near("blend", blend, 11.79, 1e-9);
    near("blend", blend, 11.8, 0.02);
    // Steareth-21 and steareth-2, worked out apart.
    near("steareth-21", 100.0 * split(11.2, 15.5, 4.9).unwrap(), 59.43, 0.01);
}

#[test]
fn davies_groups() {
    // An encyclopaedia article on the HLB, read: 40 for sodium lauryl sulfate.
    near("lauryl sulfate", davies(group("sulfate, sodium"), 12.0).unwrap(), 40.0, 1e-6);
    // Griffin measured 18 and 20 for the soaps (J. Soc. Cosmet. Chem. 1, 311, 1949, read), an
    // independent agreement.
    for (soap, name, equation, measured) in [
        ("sodium oleate", "carboxylate, sodium", 18.025, 18.0),
        ("potassium oleate", "carboxylate, potassium", 20.025, 20.0),
    ] {
        let hlb = davies(group(name), 17.0).unwrap();
        near(soap, hlb, equation, 1e-6);
        near(soap, hlb, measured, 0.05);
    }
    // Davies 1957, from memory: cetyl alcohol 1.3, glyceryl stearate 3.7.
    near("cetyl alcohol", davies(group("hydroxyl, free"), 16.0).unwrap(), 1.3, 1e-6);
    let stearate = group("ester, free") + 2.0 * group("hydroxyl, free");
    near("glyceryl stearate", davies(stearate, 20.0).unwrap(), 3.7, 1e-6);
}

#[test]
fn active_matter() {
    // Worked out apart, exact decimals.
    let sum = |parts: &[(&str, &str)]| {
        parts
            .iter()
            .map(|(w, a)| percent(a).of_percent(percent(w)))
            .sum::<quern_calc::quantity::Percent>()
    };
    assert_eq!(sum(&[("10", "85"), ("8", "30"), ("5", "52")]), percent("13.5"));
    assert_eq!(sum(&[("40", "85"), ("10", "65"), ("5", "30")]), percent("42"));
    let betaine = supplied(percent("10"), percent("30"), percent("5"), percent("64")).unwrap();
    assert_eq!(
        [betaine.active, betaine.salt, betaine.water, betaine.other],
        ["3", "0.5", "6.4", "0.1"].map(percent)
    );
    let matter = ActiveMatter {
        anionic: percent("8.5"),
        amphoteric: percent("2.4"),
        ..ActiveMatter::default()
    };
    near("ratio", matter.anionic_to_amphoteric().unwrap(), 3.54, 0.01);
    // Common practice.
    assert_eq!(usual_active(Form::CleansingBar, Place::Body), Some((35.0, 70.0)));
    assert_eq!(usual_active(Form::CleansingBar, Place::Hair), Some((40.0, 70.0)));
    assert_eq!(usual_active(Form::ScrubBar, Place::Face), Some((15.0, 45.0)));
    assert_eq!(usual_active(Form::JarScrub, Place::Body), Some((5.0, 20.0)));
    assert_eq!(usual_active(Form::Emulsion, Place::Face), None);
}

/// pH of the columns below.
const PH: [f64; 9] = [3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0, 6.5, 7.0];

#[test]
fn undissociated_acid_by_ph() {
    // Worked out apart from 100 / (1 + 10^(pH − pKa)), in per cent to two decimals. The pKa are
    // those of the table in the program; their sources stand there.
    let rows: [(&str, f64, [f64; 9]); 9] = [
        ("Benzoic Acid", 4.20, [94.06, 83.37, 61.31, 33.39, 13.68, 4.77, 1.56, 0.50, 0.16]),
        ("Sorbic Acid", 4.76, [98.29, 94.79, 85.19, 64.54, 36.53, 15.40, 5.44, 1.79, 0.57]),
        ("Dehydroacetic Acid", 5.27, [99.47, 98.33, 94.90, 85.48, 65.06, 37.06, 15.70, 5.56, 1.83]),
        ("p-Anisic Acid", 4.47, [96.72, 90.32, 74.69, 48.27, 22.79, 8.54, 2.87, 0.92, 0.29]),
        ("Levulinic Acid", 4.64, [97.76, 93.24, 81.36, 57.99, 30.39, 12.13, 4.18, 1.36, 0.43]),
        ("Salicylic Acid", 2.97, [48.27, 22.79, 8.54, 2.87, 0.92, 0.29, 0.09, 0.03, 0.01]),
        ("Formic Acid", 3.75, [84.90, 64.01, 35.99, 15.10, 5.32, 1.75, 0.56, 0.18, 0.06]),
        ("Propionic Acid", 4.87, [98.67, 95.91, 88.11, 70.10, 42.57, 18.99, 6.90, 2.29, 0.74]),
        (
            "Caprylhydroxamic Acid",
            8.2,
            [100.0, 100.0, 99.99, 99.98, 99.94, 99.80, 99.37, 98.04, 94.06],
        ),
    ];
    for (name, pka, printed) in rows {
        let acid = ACIDS.iter().find(|a| a.name == name).unwrap();
        assert!(acid.preserves);
        assert_eq!(acid.pka, [pka], "{name}");
        let curve = undissociated_curve(pka, 3.0, 7.0, 9);
        for (i, (ph, printed)) in PH.iter().zip(printed).enumerate() {
            let here = undissociated(*ph, pka).unwrap();
            near(&format!("{name} at pH {ph}"), 100.0 * here, printed, 0.005 + 1e-9);
            near("curve", curve[i].1, here, 1e-12);
        }
    }
}

#[test]
fn undissociated_acid_as_printed_by_others() {
    let at = |ph, pka| 100.0 * undissociated(ph, pka).unwrap();
    // Trade data for potassium sorbate, read: 70, 37 and 6 %.
    near("sorbic, pH 4.4", at(4.4, 4.76), 70.0, 0.5);
    near("sorbic, pH 5", at(5.0, 4.76), 37.0, 0.5);
    near("sorbic, pH 6", at(6.0, 4.76), 6.0, 0.6);
    // Trade data for sodium benzoate, read: 94 and 1.55 %.
    near("benzoic, pH 3", at(3.0, 4.20), 94.0, 0.1);
    near("benzoic, pH 6", at(6.0, 4.20), 1.55, 0.02);
    // J. Soc. Cosmet. Chem. 18(4), 211 (1967), Table IV, read: 0.027 % of 0.055 % at pH 4.2, and
    // 0.019 of 0.190 % at pH 5.2, where the equation gives 0.0173.
    near("benzoic, pH 4.2", 0.055 * at(4.2, 4.20) / 100.0, 0.0275, 1e-6);
    near("the same, printed", 0.055 * at(4.2, 4.20) / 100.0, 0.027, 0.001);
    near("benzoic, pH 5.2", 0.190 * at(5.2, 4.20) / 100.0, 0.0173, 1e-4);
    near("the same, printed", 0.190 * at(5.2, 4.20) / 100.0, 0.019, 0.002);
    // CRC Handbook, excerpt read: 8.70 for acetohydroxamic acid; worked out apart.
    near("hydroxamic, pH 7", at(7.0, 8.70), 98.0, 0.05);
    near("hydroxamic, pH 8", at(8.0, 8.70), 83.4, 0.05);
    // 0.5 % sodium benzoate, worked out apart: % of undissociated acid in the product.
    let factor = decimal_to_f64(acid_factor("C7H5NaO2", "C7H6O2", 1).unwrap());
    for (ph, active) in [(4.5, 0.1415), (5.0, 0.0580), (5.5, 0.0202)] {
        near("benzoate dose", 0.5 * factor * at(ph, 4.20) / 100.0, active, 1e-4);
    }
    // Two-phase balance, worked out apart.
    near("water phase", water_phase_share(0.2, 1.0, 6.0, 1.0).unwrap(), 0.057_14, 1e-5);
}

/// Name, salt, its molar mass, acid, its molar mass, n, factor and inverse.
type Equivalent = (
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    u32,
    &'static str,
    &'static str,
);

#[test]
fn molar_masses_and_acid_equivalents() {
    // Formulas from handbooks; molar masses, factors and inverses worked out apart from the IUPAC
    // abridged atomic weights. The rule "expressed as acid": Regulation (EC) No 1223/2009, Annex V.
    let rows: [Equivalent; 16] = [
        ("Sodium Benzoate", "C7H5NaO2", "144.105", "C7H6O2", "122.123", 1, "0.84746", "1.18000"),
        ("Potassium Benzoate", "C7H5KO2", "160.213", "C7H6O2", "122.123", 1, "0.76225", "1.31190"),
        ("Potassium Sorbate", "C6H7KO2", "150.218", "C6H8O2", "112.128", 1, "0.74643", "1.33970"),
        ("Sodium Sorbate", "C6H7NaO2", "134.110", "C6H8O2", "112.128", 1, "0.83609", "1.19604"),
        ("Calcium Sorbate", "C12H14CaO4", "262.318", "C6H8O2", "112.128", 2, "0.85490", "1.16973"),
        ("dehydroacetate", "C8H7NaO4", "190.130", "C8H8O4", "168.148", 1, "0.88439", "1.13073"),
        ("its monohydrate", "C8H9NaO5", "208.145", "C8H8O4", "168.148", 1, "0.80784", "1.23787"),
        ("Sodium Salicylate", "C7H5NaO3", "160.104", "C7H6O3", "138.122", 1, "0.86270", "1.15915"),
        ("Methylparaben", "C8H8O3", "152.149", "C7H6O3", "138.122", 1, "0.90781", "1.10156"),
        ("Ethylparaben", "C9H10O3", "166.176", "C7H6O3", "138.122", 1, "0.83118", "1.20311"),
        ("Propylparaben", "C10H12O3", "180.203", "C7H6O3", "138.122", 1, "0.76648", "1.30467"),
        ("Butylparaben", "C11H14O3", "194.230", "C7H6O3", "138.122", 1, "0.71113", "1.40622"),
        ("Na methylparaben", "C8H7NaO3", "174.131", "C7H6O3", "138.122", 1, "0.79321", "1.26070"),
        ("Na propylparaben", "C10H11NaO3", "202.185", "C7H6O3", "138.122", 1, "0.68315", "1.46381"),
        ("Sodium Propionate", "C3H5NaO2", "96.061", "C3H6O2", "74.079", 1, "0.77117", "1.29673"),
        ("Sodium Formate", "CHNaO2", "68.007", "CH2O2", "46.025", 1, "0.67677", "1.47760"),
    ];
    for (name, salt, salt_mass, acid, acid_mass, n, factor, inverse) in rows {
        // Atomic weights are exact decimals, and so are their sums.
        assert_eq!(molar_mass(salt).unwrap(), d(salt_mass), "{name}");
        assert_eq!(molar_mass(acid).unwrap(), d(acid_mass), "acid of {name}");
        let exact = acid_factor(salt, acid, n).unwrap();
        let off = |a: Decimal, b: &str| decimal_to_f64((a - d(b)).abs());
        assert!(off(exact, factor) <= 1.1e-5, "{name}: {exact}, printed {factor}");
        let turned = Decimal::ONE / exact;
        assert!(off(turned, inverse) <= 1.1e-5, "{name}: {turned}, printed {inverse}");
    }
    // Brackets say the same as a sum formula.
    assert_eq!(molar_mass("Ca(C6H7O2)2"), molar_mass("C12H14CaO4"));
    // The parts of a table entry lead to the same factors.
    for (inci, factor) in [
        ("Sodium Benzoate", "0.84746"),
        ("Calcium Sorbate", "0.85490"),
        ("Sodium Salicylate", "0.86270"),
        ("Sodium Propionate", "0.77117"),
    ] {
        let (acid, members) = acid_of(inci).unwrap();
        let own = decimal_to_f64(acid.factor(members[0]).unwrap());
        near(inci, own, decimal_to_f64(d(factor)), 1.1e-5);
    }
}

#[test]
fn the_most_of_a_salt_that_a_limit_on_its_acid_lets_in() {
    // Limits: Regulation (EC) No 1223/2009, Annex V, entries 1, 3, 4, 12, 12a and 13, read in the
    // Commission's export of 13 May 2024. The weights are worked out apart.
    for (name, limit, salt, acid, most) in [
        ("sodium benzoate, rinse-off", 2.5, "C7H5NaO2", "C7H6O2", 2.950),
        ("sodium benzoate, leave-on", 0.5, "C7H5NaO2", "C7H6O2", 0.590),
        ("sodium benzoate, oral", 1.7, "C7H5NaO2", "C7H6O2", 2.006),
        ("potassium sorbate", 0.6, "C6H7KO2", "C6H8O2", 0.804),
        ("sodium sorbate", 0.6, "C6H7NaO2", "C6H8O2", 0.718),
        ("sodium dehydroacetate", 0.6, "C8H7NaO4", "C8H8O4", 0.678),
        ("its monohydrate", 0.6, "C8H9NaO5", "C8H8O4", 0.743),
        ("sodium salicylate", 0.5, "C7H5NaO3", "C7H6O3", 0.580),
        ("methylparaben", 0.4, "C8H8O3", "C7H6O3", 0.441),
        ("ethylparaben", 0.4, "C9H10O3", "C7H6O3", 0.481),
        ("propylparaben", 0.14, "C10H12O3", "C7H6O3", 0.183),
        ("butylparaben", 0.14, "C11H14O3", "C7H6O3", 0.197),
    ] {
        let factor = decimal_to_f64(acid_factor(salt, acid, 1).unwrap());
        near(name, limit / factor, most, 0.000_5 + 1e-9);
    }
    // SCCS 2011: 0.19 % of propyl and butyl esters together; worked out apart as acid, 0.146 %.
    let factor = decimal_to_f64(acid_factor("C10H12O3", "C7H6O3", 1).unwrap());
    near("propylparaben as acid", 0.19 * factor, 0.146, 0.000_5);
}

/// Water activity of `share` % of a solute in water by the law of the table.
fn by_norrish(inci: &str, share: f64) -> f64 {
    let solute = solute_of(inci).unwrap();
    let Law::Norrish(k) = solute.law else { panic!("{inci} has no constant") };
    norrish(100.0 - share, share, solute.molar_mass, k).unwrap()
}

fn by_raoult(inci: &str, share: f64) -> f64 {
    raoult(100.0 - share, share, solute_of(inci).unwrap().molar_mass).unwrap()
}

#[test]
fn water_activity_over_salt() {
    // Manual of a water-activity meter, read: 0.760 at 6 mol/kg, from Robinson and Stokes.
    near("sodium chloride, 6 mol/kg", electrolyte(2.0, 1.271, 6.0).unwrap(), 0.760, 1e-3);
    // From memory.
    near("potassium chloride", electrolyte(2.0, 0.899, 0.5).unwrap(), 0.984, 1e-3);
    // Osmotic coefficients of Robinson and Stokes, from memory.
    near("1 mol/kg", electrolyte(2.0, 0.935_5, 1.0).unwrap(), 0.966_9, 1e-4);
    near("2 mol/kg", electrolyte(2.0, 0.983_3, 2.0).unwrap(), 0.931_6, 1e-4);
    // The fitted equation against the same tables, which it was not taken from.
    for (m, phi) in [(0.1, 0.932_4), (0.5, 0.920_9), (1.0, 0.935_5), (2.0, 0.983_3), (6.0, 1.271)] {
        near("osmotic coefficient", Osmotic::NACL.at(m).unwrap(), phi, 0.003);
    }
    near("potassium chloride", Osmotic::KCL.at(0.5).unwrap(), 0.899, 0.002);
    // Greenspan, J. Res. NBS 81A, 89 (1977), from memory: 0.753 over saturated sodium chloride at
    // 25 °C, which is 6.146 mol/kg.
    let phi = Osmotic::NACL.at(6.146).unwrap();
    near("saturated", electrolyte(2.0, phi, 6.146).unwrap(), 0.753, 0.002);
}

#[test]
fn water_activity_over_sugars_and_polyols() {
    // Constants: Table 3 of PMC2836749, read; sucrose from memory. The activities are worked out
    // apart by the equations.
    for (share, real, ideal) in [
        (20.0, 0.9510, 0.9534),
        (30.0, 0.9163, 0.9226),
        (40.0, 0.8711, 0.8846),
        (50.0, 0.8108, 0.8364),
        (60.0, 0.7283, 0.7731),
    ] {
        near("glycerin, Norrish", by_norrish("Glycerin", share), real, 1e-4);
        near("glycerin, Raoult", by_raoult("Glycerin", share), ideal, 1e-4);
    }
    for (share, ideal) in [(20.0, 0.9441), (40.0, 0.8637), (60.0, 0.7379)] {
        near("propanediol, Raoult", by_raoult("Propanediol", share), ideal, 1e-4);
    }
    near("sorbitol", by_norrish("Sorbitol", 50.0), 0.8979, 1e-4);
    near("sorbitol", by_norrish("Sorbitol", 70.0), 0.7667, 1e-4);
    near("sucrose", by_norrish("Sucrose", 50.0), 0.9348, 1e-4);
    near("sucrose", by_norrish("Sucrose", 65.0), 0.8654, 1e-4);
    // Table adapted from Beuchat, Cereal Foods World 26, 345 (1981), read: foods with 65 % sucrose
    // stand at about 0.87, with 55 % at about 0.91.
    near("sucrose, printed", by_norrish("Sucrose", 65.0), 0.87, 0.01);
    near("sucrose, printed", by_norrish("Sucrose", 55.0), 0.91, 0.01);
}

#[test]
fn glycerin_for_a_wanted_water_activity() {
    // Worked out apart, % of glycerin and water.
    for (aw, share) in [
        (0.95, 20.3),
        (0.91, 31.6),
        (0.85, 43.8),
        (0.80, 51.5),
        (0.75, 57.7),
        (0.70, 62.8),
        (0.60, 70.9),
    ] {
        near("glycerin", 100.0 * glycerin_share(aw).unwrap(), share, 0.1);
    }
    // The inverse of Raoult's law is a closed form: X_s = 1 − a_w.
    let (x, m): (f64, f64) = (0.1, 76.095);
    let closed = x * m / (x * m + (1.0 - x) * 18.015);
    near("propanediol", share_for(0.9, m, 0.0).unwrap(), closed, 1e-9);
}

#[test]
fn several_solutes_multiply() {
    // Glycerin 20, sucrose 10, water 70, each in all the water; worked out apart.
    let one = |inci: &str, mass: f64| {
        let s = solute_of(inci).unwrap();
        let Law::Norrish(k) = s.law else { panic!("{inci} has no constant") };
        norrish(70.0, mass, s.molar_mass, k).unwrap()
    };
    let (glycerin, sucrose) = (one("Glycerin", 20.0), one("Sucrose", 10.0));
    near("glycerin", glycerin, 0.943_99, 1e-5);
    near("sucrose", sucrose, 0.992_18, 1e-5);
    near("both", ross(&[glycerin, sucrose]).unwrap(), 0.936_6, 1e-4);
}

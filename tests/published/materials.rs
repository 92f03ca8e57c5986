//! The built-in materials: complete, sourced, and not at odds with handbooks.

use std::collections::BTreeSet;

use quern_calc::formula::{Basis, Figure, Function, Material, MaterialId};
use quern_calc::grit::sizes::GrainSize;
use quern_calc::setting::melt::{Crystal, FatComponent, liquidus_c, solid_fraction};
use quern_project::library::builtin;
use rust_decimal::Decimal;

use crate::{near, number, reference};

fn all() -> impl Iterator<Item = &'static Material> {
    builtin().materials.values().map(AsRef::as_ref)
}

#[track_caller]
fn get(id: &str) -> &'static Material {
    builtin().materials.get(&MaterialId::new(id)).unwrap_or_else(|| panic!("{id} is not built in"))
}

/// Collects every complaint, so that one run shows them all.
#[track_caller]
fn none(complaints: Vec<String>) {
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

#[test]
fn the_files_are_sound_and_large_enough() {
    none(builtin().problems.clone());
    assert!(!builtin().edition.is_empty());
    assert!(builtin().materials.len() >= 220, "{} materials", builtin().materials.len());
    let grades = all().filter(|m| m.function == Some(Function::Exfoliant) && m.grain.is_some());
    assert!(grades.count() >= 20);
}

/// Source and basis of every figure of a material, by name.
fn sources(m: &Material) -> Vec<(&'static str, &str, Basis)> {
    fn put<'a, T>(
        out: &mut Vec<(&'static str, &'a str, Basis)>,
        what: &'static str,
        figures: impl IntoIterator<Item = &'a Figure<T>>,
    ) where
        T: 'a,
    {
        out.extend(figures.into_iter().map(|f| (what, &*f.source, f.basis)));
    }
    let mut out = Vec::new();
    put(&mut out, "row", [&m.about]);
    put(&mut out, "composition", m.composition.iter().filter_map(|p| p.share.as_ref()));
    put(&mut out, "water", m.water.iter().map(|w| &w.percent));
    put(&mut out, "active matter", &m.active);
    put(&mut out, "use level", &m.use_levels);
    put(&mut out, "heat limit", &m.heat_limit_c);
    put(&mut out, "least temperature", &m.process_min_c);
    put(&mut out, "melting range", &m.melting_c);
    put(&mut out, "density", m.density_solid.iter().chain(&m.density_melt));
    put(&mut out, "HLB", &m.hlb);
    put(&mut out, "required HLB", &m.required_hlb);
    put(&mut out, "natural origin", &m.natural_origin);
    put(&mut out, "pH window", &m.ph_window);
    put(&mut out, "oil absorption", &m.oil_absorption);
    put(&mut out, "allergens", m.allergens.iter().filter_map(|a| a.high.as_ref()));
    put(&mut out, "flash point", &m.flash_point_c);
    put(&mut out, "grain", &m.grain);
    put(&mut out, "fat", &m.fat);
    put(&mut out, "iodine value", &m.iodine_value);
    put(&mut out, "saponification value", &m.saponification);
    out
}

/// No figure without its source in words, and none that claims to be the user's.
#[test]
fn every_figure_has_a_source() {
    let mut complaints = Vec::new();
    let mut figures = 0;
    for m in all() {
        for (what, source, basis) in sources(m) {
            figures += 1;
            // The temperature of a density is read into its source; alone it is none.
            let words = source.split(", ").find(|s| !s.starts_with("at ") && !s.trim().is_empty());
            if words.is_none() || basis == Basis::User {
                complaints.push(format!("{}: {what} has no source", m.id));
            }
            // A row names the sources of its figures one by one and has no basis of its own.
            let honest = source.contains("not stated") || source.contains("common practice");
            if what != "row" && basis == Basis::Unstated && !honest {
                complaints.push(format!("{}: {what} hides that its source is not stated", m.id));
            }
        }
    }
    assert!(figures > 2000, "only {figures} figures seen");
    none(complaints);
}

/// Parts of a whole: active matter and water as supplied cannot exceed 100 %, nor can the stated
/// parts of a blend, nor the parts of a fat.
#[test]
fn parts_stay_within_the_whole() {
    let mut complaints = Vec::new();
    for m in all() {
        let active = m.active.as_ref().map(|f| f.value.0).unwrap_or_default();
        let water = m.water.as_ref().map(|w| w.percent.value.0).unwrap_or_default();
        if active + water > Decimal::ONE_HUNDRED || active < Decimal::ZERO || water < Decimal::ZERO
        {
            complaints.push(format!("{}: {active} % active and {water} % water", m.id));
        }
        let blend: Decimal =
            m.composition.iter().filter_map(|p| p.share.as_ref()).map(|s| s.value.0).sum();
        if blend > Decimal::ONE_HUNDRED {
            complaints.push(format!("{}: parts make {blend} %", m.id));
        }
        let fat: f64 = m.fat.iter().map(|f| f.value.share).sum();
        if !m.fat.is_empty() && (fat - 1.0).abs() > 1e-6 {
            complaints.push(format!("{}: fat parts make {fat}", m.id));
        }
        let acids: f64 = m.fatty_acids.iter().map(|(_, share)| share).sum();
        if !m.fatty_acids.is_empty() && !(90.0..=100.5).contains(&acids) {
            complaints.push(format!("{}: fatty acids make {acids} %", m.id));
        }
    }
    none(complaints);
}

#[test]
fn every_grain_is_usable() {
    let mut complaints = Vec::new();
    for m in all() {
        let Some(grain) = &m.grain else { continue };
        match GrainSize::fit(&grain.value.sizes) {
            Ok(size) if !(20.0..=3000.0).contains(&size.d50_um()) => {
                complaints.push(format!("{}: D50 {} um", m.id, size.d50_um()));
            }
            Ok(_) => {}
            Err(error) => complaints.push(format!("{}: {error}", m.id)),
        }
        let g = &grain.value;
        if !(5.0..=10_000.0).contains(&g.hardness_mpa) || !(0.0..=1.0).contains(&g.angularity) {
            complaints.push(format!("{}: {} MPa, {}", m.id, g.hardness_mpa, g.angularity));
        }
        if m.density_solid.is_none() {
            complaints.push(format!("{}: no density, so no grit index", m.id));
        }
    }
    none(complaints);
}

fn solid_density(id: &str) -> f64 {
    get(id).density_solid.as_ref().unwrap_or_else(|| panic!("{id} has no density")).value
}

fn liquid_density(id: &str) -> f64 {
    get(id).density_melt.as_ref().unwrap_or_else(|| panic!("{id} has no liquid density")).value
}

/// Densities in g/mL, looked up with chemicals 1.5.2: CRC Handbook molar volumes for solids at room
/// temperature, Perry's and VDI correlations for liquids at 20 C, IAPWS-95 for water at 25 C.
#[test]
fn densities_of_a_data_set() {
    let published = &reference()["densities"];
    for (id, name, tolerance) in [
        ("sodium-chloride-fine-400-um", "Sodium chloride", 0.01),
        ("sodium-chloride-coarse-600-1400-um", "Sodium chloride", 0.01),
        ("maris-sal-fine-250-600-um", "Sodium chloride", 0.011),
        ("sodium-bicarbonate", "Sodium bicarbonate", 0.005),
        ("zinc-oxide", "Zinc oxide", 0.005),
        ("sodium-hydroxide", "Sodium hydroxide", 0.005),
        ("potassium-hydroxide-flakes-90", "Potassium hydroxide", 0.005),
        ("magnesium-sulfate-heptahydrate-500-1400-um", "Magnesium sulfate heptahydrate", 0.011),
        ("ci-77491", "Iron(III) oxide", 0.051),
    ] {
        near(id, solid_density(id), number(&published[name]), tolerance);
    }
    for (id, name, tolerance) in [
        ("aqua", "Water, 25 C", 0.0005),
        ("glycerin-99-5", "Glycerol", 0.002),
        ("propylene-glycol", "Propylene glycol", 0.002),
    ] {
        near(id, liquid_density(id), number(&published[name]), tolerance);
    }
}

/// Densities in g/mL as handbooks print them.
#[test]
fn densities_as_printed() {
    for (id, printed, tolerance, source) in [
        ("sodium-chloride-fine-400-um", 2.165, 0.0, "CRC Handbook, from memory"),
        ("sucrose-caster-350-um", 1.587, 0.0, "CRC Handbook, from memory"),
        ("sucrose-coarse-600-1180-um", 1.587, 0.0, "CRC Handbook, from memory"),
        (
            "zea-mays-starch",
            1.503,
            0.0,
            "helium pycnometry of starches, Polish food journal, abstract",
        ),
        ("solanum-tuberosum-starch", 1.518, 0.0, "helium pycnometry of starches, same"),
        ("kaolin", 2.605, 0.025, "mineral handbook, 2.58 to 2.63, from memory"),
        ("titanium-dioxide", 4.23, 0.05, "CRC Handbook, rutile, from memory"),
        ("citric-acid-anhydrous", 1.665, 0.005, "CRC Handbook, from memory"),
        ("tartaric-acid", 1.76, 0.005, "CRC Handbook, from memory"),
        ("urea", 1.323, 0.01, "CRC Handbook, from memory"),
        ("salicylic-acid", 1.443, 0.01, "CRC Handbook, from memory"),
    ] {
        near(&format!("{id}, {source}"), solid_density(id), printed, tolerance + 1e-12);
    }
    for (id, printed, tolerance, source) in [
        ("glycerin-99-5", 1.261, 0.001, "CRC Handbook at 20 C, from memory"),
        ("isopropyl-myristate", 0.853, 0.003, "CRC Handbook at 20 C, from memory"),
        ("triethanolamine-99", 1.124, 0.002, "CRC Handbook at 20 C, from memory"),
        ("canola-oil", 0.917, 0.003, "Codex CXS 210-1999, 0.914 to 0.920, from memory"),
    ] {
        near(&format!("{id}, {source}"), liquid_density(id), printed, tolerance);
    }
}

fn melting(id: &str) -> (f64, f64) {
    let span =
        get(id).melting_c.as_ref().unwrap_or_else(|| panic!("{id} has no melting range")).value;
    (span.low.unwrap(), span.high.unwrap())
}

/// Melting and freezing ranges, C, that are the same as printed.
#[test]
fn melting_ranges_as_printed() {
    for (id, printed, source) in [
        ("stearic-acid-50-type", (53.0, 59.0), "Ph. Eur. 1474, as quoted"),
        ("stearic-acid-70-type", (57.0, 64.0), "Ph. Eur. 1474, as quoted"),
        ("stearic-acid-95-type", (64.0, 69.0), "Ph. Eur. 1474, as quoted"),
        ("hydrogenated-castor-oil-flakes", (85.0, 88.0), "USP 29"),
    ] {
        assert_eq!(melting(id), printed, "{id}, {source}");
    }
}

/// Melting ranges, C, that must hold a published figure or lie inside a published range.
#[test]
fn melting_ranges_hold_published_points() {
    for (id, point, source) in [
        ("lauric-acid", 43.82, "CRC Handbook, by chemicals"),
        ("myristic-acid", 54.16, "CRC Handbook, by chemicals"),
        ("palmitic-acid", 62.49, "CRC Handbook, by chemicals"),
        ("cetyl-alcohol", 49.30, "CRC Handbook, by chemicals"),
        ("stearyl-alcohol", 58.0, "CRC Handbook, by chemicals"),
        ("cetyl-palmitate", 54.0, "open data set, stable form"),
        ("tristearin", 73.0, "stable form, from memory"),
        ("theobroma-cacao-seed-butter", 33.8, "form V, encyclopaedia"),
        ("copernicia-cerifera-cera", 83.0, "trade page, 82 to 86 C"),
    ] {
        let (low, high) = melting(id);
        assert!(low <= point && point <= high, "{id}: {low} to {high}, {source} {point}");
    }
    for (id, outer, source) in [
        ("cera-alba", (61.0, 66.0), "Ph. Eur. and USP drop point 61 to 66 C, from memory"),
        ("cetearyl-alcohol-50-50", (48.0, 56.0), "USP/NF 48 to 55 C, Ph. Eur. 49 to 56 C"),
        ("cetearyl-alcohol-30-70", (48.0, 56.0), "USP/NF 48 to 55 C, Ph. Eur. 49 to 56 C"),
        ("glyceryl-stearate", (54.0, 66.0), "Ph. Eur. 54 to 66 C, from memory"),
        ("euphorbia-cerifera-cera-flakes", (68.0, 73.0), "cargo handbook, 68.5 to 72.5 C"),
    ] {
        let (low, high) = melting(id);
        assert!(outer.0 <= low && high <= outer.1, "{id}: {low} to {high}, {source}");
    }
}

/// Every fat part that names a pure compound carries its CRC Handbook melting point and heat, as
/// chemicals 1.5.2 stores them, and its molar mass. Every acid and alcohol of the library is such a
/// compound. The handbook has no heat for those of 22 carbons and for 12-hydroxystearic acid.
#[test]
fn fats_carry_handbook_data() {
    let pure = reference()["pure"].as_object().unwrap();
    let mut complaints = Vec::new();
    let (mut met, mut names) = (0, BTreeSet::new());
    for m in all() {
        for part in &m.fat {
            let Some((tm_c, dh)) = part.value.crystal else { continue };
            let Some(row) = pure.get(&part.value.name) else {
                if matches!(&*part.value.group, "acid" | "alcohol") {
                    complaints.push(format!("{}: {} is in no handbook", m.id, part.value.name));
                }
                continue;
            };
            met += 1;
            names.insert(&*part.value.name);
            let off = |value: f64, key: &str, tolerance: f64| {
                row[key].as_f64().is_some_and(|printed| (value - printed).abs() > tolerance)
            };
            if off(tm_c, "tm_c", 0.005)
                || off(dh, "dh_kj_mol", 0.005)
                || off(part.value.molar_mass, "m", 0.006)
            {
                complaints.push(format!("{}: {:?}, handbook {row}", m.id, part.value));
            }
        }
    }
    assert!(met >= 24, "only {met} pure parts met");
    assert!(names.len() >= 11, "only {names:?} met");
    none(complaints);
}

/// The melt-model parts of a built-in material, 100 g of it; alcohols share crystals, as the
/// program takes them.
fn fat_phase(id: &str) -> Vec<FatComponent> {
    get(id)
        .fat
        .iter()
        .map(|f| FatComponent {
            moles: 100.0 * f.value.share / f.value.molar_mass,
            molar_mass: f.value.molar_mass,
            crystal: f.value.crystal.map(|(tm_c, dh)| Crystal {
                tm_k: tm_c + 273.15,
                dh_j_mol: dh * 1e3,
                group: (f.value.group == "alcohol").then_some(1),
            }),
        })
        .collect()
}

/// By its own melt data each stearic grade freezes inside its pharmacopoeia range (Ph. Eur. 1474,
/// as quoted), each pure compound at its CRC Handbook melting point.
#[test]
fn fats_freeze_where_they_should() {
    for id in [
        "stearic-acid-50-type",
        "stearic-acid-70-type",
        "stearic-acid-95-type",
        "cetearyl-alcohol-30-70",
        "cetearyl-alcohol-50-50",
    ] {
        let (low, high) = melting(id);
        let at = liquidus_c(&fat_phase(id)).unwrap();
        assert!((low..=high).contains(&at), "{id}: {at}, range {low} to {high}");
    }
    for (id, name) in [("cetyl-alcohol", "Cetyl alcohol"), ("stearyl-alcohol", "Stearyl alcohol")] {
        let at = liquidus_c(&fat_phase(id)).unwrap();
        near(id, at, number(&reference()["pure"][name]["tm_c"]), 0.005);
    }
}

/// Butters reproduce the solid-fat figures, in %, that their two fractions were fitted to: typical
/// NMR figures of stabilised samples, from memory. Within 1.5 %.
#[test]
fn butters_set_as_fitted() {
    for (id, points) in [
        (
            "theobroma-cacao-seed-butter",
            &[(20.0, 76.0), (25.0, 70.0), (30.0, 45.0), (32.5, 15.0), (35.0, 1.0)][..],
        ),
        ("butyrospermum-parkii-butter", &[(20.0, 40.0), (25.0, 30.0), (30.0, 20.0), (35.0, 8.0)]),
        ("cocos-nucifera-oil", &[(10.0, 77.0), (15.0, 57.0), (20.0, 35.0), (25.0, 2.0)]),
    ] {
        let fat = fat_phase(id);
        for &(t_c, target) in points {
            near(&format!("{id} at {t_c}"), 100.0 * solid_fraction(&fat, t_c), target, 1.5);
        }
    }
}

/// Coefficient of a fatty acid in % for the iodine value of a triglyceride: AOCS Cd 1c-85
/// (reapproved 2009). What the method does not list follows from the stoichiometry that it is built
/// on, 3 x 253.809 n / (3 M + 38.049).
fn iodine(acid: &str) -> f64 {
    let stoichiometry =
        |bonds: f64, molar_mass: f64| 3.0 * 253.809 * bonds / (3.0 * molar_mass + 38.049);
    match acid {
        "16:1" => 0.950,
        "18:1" => 0.860,
        "18:2" => 1.732,
        "18:3" => 2.616,
        "20:1" => 0.785,
        "22:1" => 0.723,
        "18:1-OH" => stoichiometry(1.0, 298.46),
        "22:2" => stoichiometry(2.0, 336.55),
        _ if acid.ends_with(":0") => 0.0,
        _ => panic!("no iodine coefficient for {acid}"),
    }
}

/// AOCS Cd 1c-85 itself: pure triolein 86.0; sunflower with 25 % 18:1, 63 % 18:2, 0.1 % 18:3 is
/// 130.878 by hand. The stoichiometry gives the printed coefficients back.
#[test]
fn iodine_value_of_the_method() {
    near("triolein", 100.0 * iodine("18:1"), 86.0, 0.01);
    let sunflower = 25.0 * iodine("18:1") + 63.0 * iodine("18:2") + 0.1 * iodine("18:3");
    near("sunflower", sunflower, 130.878, 5e-4);
    for (acid, bonds, molar_mass) in [
        ("16:1", 1.0, 254.41),
        ("18:1", 1.0, 282.46),
        ("18:2", 2.0, 280.45),
        ("18:3", 3.0, 278.43),
        ("20:1", 1.0, 310.51),
        ("22:1", 1.0, 338.57),
    ] {
        let by_mass = 3.0 * 253.809 * bonds / (3.0 * molar_mass + 38.049);
        near(acid, by_mass, iodine(acid), 0.0006);
    }
    // Ricinoleic acid is not in the method.
    near("ricinoleic", iodine("18:1-OH"), 0.816, 0.0005);
}

/// The iodine value calculated from each profile lies in the stated range of the oil. Shea is left
/// out: up to 19 % of it is unsaponifiable (Codex CXS 325R-2017), where the method does not hold.
#[test]
fn iodine_values_fit_the_profiles() {
    let mut complaints = Vec::new();
    let mut checked = 0;
    for m in all() {
        if m.fatty_acids.is_empty() || m.id.as_str() == "butyrospermum-parkii-butter" {
            continue;
        }
        let Some(range) = &m.iodine_value else { continue };
        checked += 1;
        let value: f64 = m.fatty_acids.iter().map(|(acid, share)| share * iodine(acid)).sum();
        let (low, high) = (range.value.low.unwrap(), range.value.high.unwrap());
        if !(low..=high).contains(&value) {
            complaints.push(format!("{}: calculated {value:.1}, stated {low} to {high}", m.id));
        }
    }
    assert!(checked >= 30, "only {checked} profiles met");
    none(complaints);
}

/// Saponification values fit the profiles: for a neat triglyceride 3 x 56.106 g of potassium
/// hydroxide a mole, 3 M + 38.049 g (stoichiometry; the idea of AOCS Cd 3a-94, from memory). Real
/// oils run lower by their unsaponifiables and higher by free acids, so 3 % is allowed each way.
/// Wax esters and shea are not triglycerides to that degree.
#[test]
fn saponification_values_fit_the_profiles() {
    let mut complaints = Vec::new();
    let mut checked = 0;
    for m in all() {
        let Some(range) = m.saponification.as_ref().filter(|_| m.fatty_acids.len() > 1) else {
            continue;
        };
        if m.id.as_str() == "butyrospermum-parkii-butter" {
            continue;
        }
        checked += 1;
        let (mut moles, mut grams) = (0.0, 0.0);
        for (acid, share) in &m.fatty_acids {
            let (carbons, rest) = acid.split_once(':').unwrap();
            let (bonds, hydroxyl) = match rest.split_once('-') {
                Some((bonds, _)) => (bonds, 15.999),
                None => (rest, 0.0),
            };
            let (c, b): (f64, f64) = (carbons.parse().unwrap(), bonds.parse().unwrap());
            // C_n H_2n-2b O_2.
            let mass = 12.011 * c + 1.008 * (2.0 * c - 2.0 * b) + 2.0 * 15.999 + hydroxyl;
            moles += share / mass;
            grams += share;
        }
        let value = 3.0 * 56_106.0 / (3.0 * grams / moles + 38.049);
        let (low, high) = (range.value.low.unwrap(), range.value.high.unwrap());
        if value < low * 0.97 || value > high * 1.03 {
            complaints.push(format!("{}: calculated {value:.1}, stated {low} to {high}", m.id));
        }
    }
    assert!(checked >= 20, "only {checked} profiles met");
    none(complaints);
}

/// Griffin, J. Soc. Cosmet. Chem. 5 (1954) 249: a fifth of the mass % of ethylene oxide for
/// ethoxylated alcohols. Polysorbate 20 by his ester form, 20 (1 - S/A) with S 45.5 and A 276.
/// Published table values are kept, so within 0.6.
#[test]
fn hlb_of_ethoxylates() {
    const OXIDE: f64 = 44.053;
    let hlb = |id: &str| get(id).hlb.as_ref().unwrap_or_else(|| panic!("{id} has no HLB")).value;
    for (id, units, alcohol) in
        [("steareth-2", 2.0, 270.49), ("steareth-21", 21.0, 270.49), ("ceteareth-20", 20.0, 260.0)]
    {
        let oxide = units * OXIDE;
        near(id, hlb(id), 20.0 * oxide / (oxide + alcohol), 0.6);
    }
    near("polysorbate-20", hlb("polysorbate-20"), 20.0 * (1.0 - 45.5 / 276.0), 0.05);
    near("sorbitan-oleate, published table", hlb("sorbitan-oleate"), 4.3, 0.0);
}

//! The built-in materials, search, settings and reports.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::{Duration, Instant};

use quern_calc::formula::{Material, MaterialId};
use quern_calc::grit::sizes::GrainSize;
use quern_project::library::{SearchIndex, builtin, search};

#[test]
fn the_library_is_sound() {
    let built = builtin();
    assert!(built.problems.is_empty(), "{:#?}", built.problems);
    assert!(built.materials.len() >= 220, "{}", built.materials.len());
    assert!(!built.edition.is_empty());
    let mut grains = 0;
    for m in built.materials.values() {
        let id = &m.id;
        assert!(!m.display_name().is_empty() && !m.inci.is_empty(), "{id}");
        assert!(m.function.is_some(), "{id}: a chart needs a function");
        let shares = m.composition.iter().filter_map(|p| p.share.as_ref().map(|f| f.value));
        let sum = shares.sum::<quern_calc::quantity::Percent>().0;
        assert!(sum <= rust_decimal::Decimal::ONE_HUNDRED, "{id}: components sum to {sum}");
        let fat: f64 = m.fat.iter().map(|f| f.value.share).sum();
        assert!(m.fat.is_empty() || (fat - 1.0).abs() < 0.02, "{id}: fat parts sum to {fat}");
        if let Some(grain) = &m.grain {
            grains += 1;
            GrainSize::fit(&grain.value.sizes).unwrap_or_else(|e| panic!("{id}: {e}"));
            assert!((0.0..=1.0).contains(&grain.value.angularity), "{id}");
        }
        for span in [&m.melting_c, &m.ph_window, &m.required_hlb].into_iter().flatten() {
            if let (Some(low), Some(high)) = (span.value.low, span.value.high) {
                assert!(low <= high, "{id}: {low} to {high}");
            }
        }
        for density in [&m.density_solid, &m.density_melt].into_iter().flatten() {
            assert!((0.05..8.0).contains(&density.value), "{id}: {}", density.value);
            assert!(density.source.contains("°C"), "{id}: a density has a temperature");
        }
    }
    assert!(grains >= 20, "{grains}");
}

fn first_names(query: &str) -> Vec<String> {
    search(query, builtin().materials.values(), 8)
        .iter()
        .map(|hit| {
            let m = &builtin().materials[&hit.id];
            format!("{} | {}", m.display_name(), m.inci).to_lowercase()
        })
        .collect()
}

#[test]
fn search_finds_what_people_type() {
    let cases = [
        ("shea", "shea"),
        ("SHEA BUTTER", "shea butter"),
        ("butter shea", "shea"),
        ("cetal", "alcohol"),
        ("sod coc ise", "sodium cocoyl isethionate"),
        ("caprilic", "caprylic"),
        ("sterric acid", "stearic acid"),
        ("57-11-4", "stearic acid"),
        ("  glycerin ", "glycerin"),
        ("jojóba", "jojoba"),
        ("glicerin", "glycerin"),
    ];
    for (query, expected) in cases {
        let found = first_names(query);
        let first = found.first().unwrap_or_else(|| panic!("{query}: nothing"));
        assert!(first.contains(expected), "{query}: {found:#?}");
    }
    assert!(first_names("cetal")[0].contains("cet"), "{:?}", first_names("cetal"));
    assert!(first_names("zzzzqqq").is_empty(), "{:?}", first_names("zzzzqqq"));
    for odd in ["\u{0}", "(", "🌾", "a".repeat(10_000).as_str(), "\u{301}", "-", "' !^$"] {
        let _ = first_names(odd);
    }
}

#[test]
fn order_and_limit() {
    let all = search("", builtin().materials.values(), usize::MAX);
    assert_eq!(all.len(), builtin().materials.len());
    let names: Vec<String> =
        all.iter().map(|h| builtin().materials[&h.id].display_name().to_lowercase()).collect();
    assert_eq!(names.first(), names.iter().min(), "by name");
    assert_eq!(names.last(), names.iter().max());
    assert_eq!(search("oil", builtin().materials.values(), 3).len(), 3);
    assert!(search("oil", builtin().materials.values(), 0).is_empty());
    // Names that begin with the query come first.
    let found = first_names("coc");
    let begins = |n: &String| n.starts_with("coc") || n.contains("| coc");
    assert!(begins(&found[0]), "{found:#?}");
    let first_other = found.iter().position(|n| !begins(n)).unwrap_or(found.len());
    assert!(!found[first_other..].iter().any(begins), "{found:#?}");
}

#[test]
fn thousands_of_materials_are_searched_at_once() {
    let mut many: BTreeMap<MaterialId, Arc<Material>> = BTreeMap::new();
    for n in 0.. {
        for m in builtin().materials.values() {
            let id = MaterialId::new(&format!("{}-{n}", m.id));
            many.insert(id.clone(), Arc::new(Material { id, ..(**m).clone() }));
        }
        if many.len() >= 5_000 {
            break;
        }
    }
    let index = SearchIndex::new(many.values());
    let mut slowest = Duration::ZERO;
    for query in ["s", "so", "shea", "sod coc ise", "caprilic", "zzzzqqq", "e", "stearyl alcohol"] {
        let start = Instant::now();
        for _ in 0..10 {
            let _ = index.find(query, 50);
        }
        let took = start.elapsed() / 10;
        println!("{query}: {took:?}");
        slowest = slowest.max(took);
    }
    // The budget is 2 ms for a release build on an idle machine; this catches a slip in order.
    assert!(slowest < Duration::from_millis(200), "{slowest:?}");
}

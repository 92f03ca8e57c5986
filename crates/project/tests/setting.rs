//! Melting, pouring, cooling and shelf of whole formulas, made of the built-in materials.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use std::sync::Arc;

use proptest::prelude::*;
use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::{
    Context, Evaluation, Mixing, Mover, SettingAsk, SettingFigures, evaluate, honest, readouts,
    remarks, setting_figures,
};
use quern_calc::formula::{
    Amount, Figure, Formula, FormulaId, Item, Library, Material, MaterialId, OwnSolids, PhaseKind,
    PhaseTemperature,
};
use quern_calc::quantity::Date;
use quern_calc::rules::Rules;
use quern_calc::setting::calibrate::{Measured, Reading};
use quern_calc::setting::mould::{Mould, Shape, Stand, Wall};
use quern_calc::setting::notes::SettingNotes;
use quern_calc::setting::pour::PourClass;
use quern_calc::setting::table::SolidTable;
use rust_decimal::Decimal;

/// A formula of library materials in one heated phase.
fn formula(parts: &[(&str, f64)]) -> (Formula, Library) {
    let built_in = &quern_project::library::builtin().materials;
    let mut f = Formula::empty(FormulaId::new("bar"), "Bar");
    f.phases.clear();
    let phase = f.add_phase("Melt", PhaseKind::Melt, PhaseTemperature::HeatTo(75.0));
    let mut materials = Vec::new();
    for (id, percent) in parts {
        let id = MaterialId::new(id);
        let m = built_in.get(&id).unwrap_or_else(|| panic!("no material {id}"));
        materials.push(Arc::clone(m));
        let line = f.add_line(phase, Item::Material(id), None).unwrap();
        let percent = Decimal::try_from(*percent).unwrap();
        f.set_amount(line, Some(Amount::percent(percent))).unwrap();
    }
    (f, Library::new(materials, []))
}

fn work_out(
    f: &Formula,
    library: &Library,
    notes: SettingNotes,
    ask: &SettingAsk,
) -> (Evaluation, SettingFigures) {
    let context = Context { date: Date::Y2K, setting: Arc::new(notes) };
    let e = evaluate(f, library, &Rules::default(), &BatchPlan::default(), &context);
    let s = setting_figures(f, library, &context, &e, ask);
    (e, s)
}

fn plain(f: &Formula, library: &Library) -> (Evaluation, SettingFigures) {
    work_out(f, library, SettingNotes::default(), &SettingAsk::default())
}

const BAR: [(&str, f64); 7] = [
    ("sodium-cocoyl-isethionate-powder", 34.0),
    ("stearyl-alcohol", 7.0),
    ("cetyl-palmitate", 6.0),
    ("theobroma-cacao-seed-butter", 7.0),
    ("oryza-sativa-bran-oil", 16.0),
    ("kaolin", 10.0),
    ("zea-mays-starch", 20.0),
];

/// Each change that is offered reaches the class that it promises, by itself.
#[test]
fn movers_keep_their_word() {
    let project = quern_project::demo();
    let library = project.library();
    let mut tried = 0;
    for f in &project.formulas {
        let f = (**f).clone();
        let (_, s) = plain(&f, &library);
        let Ok(now) = &s.pour else { continue };
        for to in [&s.easier, &s.stiffer].into_iter().flatten() {
            assert_ne!(to.class, now.class);
            for mover in &to.movers {
                let mut ask = SettingAsk { pour_c: Some(s.pour_c), ..SettingAsk::default() };
                let mut changed = f.clone();
                match mover {
                    Mover::Line { line, percent, .. } => {
                        let old = f.line(*line).unwrap().amount.unwrap().percent.to_f64();
                        let new = Decimal::try_from(old + percent).unwrap();
                        changed.set_amount(*line, Some(Amount::percent(new))).unwrap();
                    }
                    Mover::Temperature(c) => ask.pour_c = Some(*c),
                }
                let (_, after) = work_out(&changed, &library, SettingNotes::default(), &ask);
                assert_eq!(after.pour.unwrap().class, to.class, "{} {mover:?}", f.name);
                tried += 1;
            }
        }
    }
    assert!(tried > 10, "{tried}");
}

#[test]
fn the_same_acid_from_two_tubs_is_one_component() {
    // Stearic acid of the 50 type holds palmitic and stearic acid.
    let (two, library) = formula(&[
        ("stearic-acid-50-type", 20.0),
        ("palmitic-acid", 10.0),
        ("oryza-sativa-bran-oil", 70.0),
    ]);
    let (e, s) = plain(&two, &library);
    let fat = &e.melt.as_ref().unwrap().fat;
    let palmitic: Vec<_> =
        fat.components.iter().filter(|c| (c.molar_mass - 256.42).abs() < 0.01).collect();
    assert_eq!(palmitic.len(), 1, "{:?}", fat.components);
    assert_eq!(palmitic[0].from.len(), 2);
    // A component of its own would be solid twice over: against the equilibrium made by hand.
    let share = s.stacks.as_ref().unwrap()[0].solid_at(40.0);
    let acids: f64 = fat.components.iter().filter(|c| c.crystal.is_some()).map(|c| c.percent).sum();
    assert!(share < acids / fat.percent);
}

#[test]
fn a_set_point_moves_every_way_to_mix_crystals_onto_it() {
    let (f, library) = formula(&BAR);
    let (before, _) = plain(&f, &library);
    let measured = Measured {
        formula: f.id.clone(),
        name: "Bar 1".to_owned(),
        date: None,
        reading: Reading::SetsAt { c: 45.0 },
        said: Vec::new(),
    };
    let notes = SettingNotes { measured: vec![measured], ..SettingNotes::default() };
    let (after, s) = work_out(&f, &library, notes, &SettingAsk::default());
    let sets = after.melt.as_ref().unwrap().sets_c.unwrap();
    // Every way to mix crystals meets it; the undercooling in it stays as its band.
    assert!((sets.at - 45.0).abs() < 1e-6);
    assert!((sets.low - 42.0).abs() < 1e-6 && (sets.high - 48.0).abs() < 1e-6);
    let [check] = &s.checks[..] else { panic!("one measurement, one check") };
    assert!((check.before.unwrap() - before.melt.unwrap().sets_c.unwrap().at).abs() < 1e-6);
    assert!((check.after.unwrap() - 45.0).abs() < 1e-6);
}

/// A measurement tells of the model, not of the formula: it does not swallow a later change.
#[test]
fn a_correction_stays_when_the_formula_changes() {
    let (f, library) = formula(&[("stearic-acid-95-type", 30.0), ("oryza-sativa-bran-oil", 70.0)]);
    let reading = Reading::SetsAt { c: 52.0 };
    let said = quern_calc::evaluate::model_says(&f, &library, reading);
    let measured = Measured {
        formula: f.id.clone(),
        name: "Bar 1".to_owned(),
        date: None,
        reading,
        said: said.clone(),
    };
    let notes = SettingNotes { measured: vec![measured], ..SettingNotes::default() };
    let (thin, _) = formula(&[("stearic-acid-95-type", 15.0), ("oryza-sativa-bran-oil", 85.0)]);
    let sets = |f: &Formula, notes: &SettingNotes| {
        let (e, _) = work_out(f, &library, notes.clone(), &SettingAsk::default());
        e.melt.unwrap().sets_c.unwrap().at
    };
    let none = SettingNotes::default();
    let shift = 52.0 - said[1];
    assert!((sets(&f, &notes) - 52.0).abs() < 1e-6);
    assert!((sets(&thin, &notes) - (sets(&thin, &none) + shift)).abs() < 1e-6);
    assert!(sets(&thin, &notes) < 52.0 - 5.0);
    // And it is said that the formula is another than the one that was measured.
    let changed = |f: &Formula| {
        work_out(f, &library, notes.clone(), &SettingAsk::default()).1.checks[0].changed
    };
    assert!(!changed(&f) && changed(&thin));
}

/// Porous grains soak up no more than there is, and every share of the volume stays one.
#[test]
fn pores_take_no_more_oil_than_there_is() {
    let (f, library) = formula(&[("kaolin", 90.0), ("oryza-sativa-bran-oil", 10.0)]);
    let all = library.materials().map(|m| {
        let mut m = (**m).clone();
        m.oil_absorption = Some(Figure::user(0.8));
        Arc::new(m)
    });
    let porous = Library::new(all.collect::<Vec<_>>(), []);
    let p = plain(&f, &porous).1.pour.unwrap();
    let dry = plain(&f, &library).1.pour.unwrap();
    assert!((p.solids - 1.0).abs() < 1e-9 && p.parts.iter().all(|x| x.volume <= 1.0 + 1e-9));
    assert!((p.limit - dry.limit).abs() < 1e-9, "oil in the pores does not help packing");
}

#[test]
fn what_never_sets_is_not_unmoulded() {
    let (f, library) = formula(&[("zea-mays-starch", 40.0), ("oryza-sativa-bran-oil", 60.0)]);
    let (_, s) = plain(&f, &library);
    assert!(s.cool.unwrap_err().words().contains("fat that sets"));
    // A little wax comes out of its mould no warmer than it sets.
    let (f, library) = formula(&[("cera-alba", 20.0), ("oryza-sativa-bran-oil", 80.0)]);
    let ask = SettingAsk { pour_c: Some(70.0), ..SettingAsk::default() };
    let (_, s) = work_out(&f, &library, SettingNotes::default(), &ask);
    let cool = s.cool.unwrap();
    assert!(cool.unmould_c <= cool.set_c);
}

#[test]
fn needle_depths_of_both_bars_set_the_firmness() {
    let (f, library) = formula(&BAR);
    let mut other = f.clone();
    other.id = FormulaId::new("reference");
    let all: Vec<Arc<Material>> = library.materials().cloned().collect();
    let library = Library::new(all, [Arc::new(f.clone()), Arc::new(other.clone())]);
    let needle = |id: &FormulaId, mm| Measured {
        formula: id.clone(),
        name: String::new(),
        date: None,
        reading: Reading::Needle { at_c: 20.0, mm },
        said: Vec::new(),
    };
    let notes = SettingNotes {
        reference: Some(other.id.clone()),
        measured: vec![needle(&f.id, 4.0), needle(&other.id, 2.0)],
        ..SettingNotes::default()
    };
    let (_, s) = work_out(&f, &library, notes, &SettingAsk::default());
    // Twice as deep in what the model takes for the same bar: 2^-1.6 of its firmness.
    let firm = s.shelf.unwrap().rows[0].firmness.unwrap().at;
    assert!((firm - 100.0 * 0.5_f64.powf(1.6)).abs() < 1e-6, "{firm}");
}

#[test]
fn a_porous_powder_and_an_own_table_count() {
    let (f, library) = formula(&BAR);
    let (_, before) = plain(&f, &library);
    let swap = |id: &str, change: &dyn Fn(&mut Material)| {
        let all = library.materials().map(|m| {
            let mut m = (**m).clone();
            if m.id.as_str() == id {
                change(&mut m);
            }
            Arc::new(m)
        });
        Library::new(all.collect::<Vec<_>>(), [])
    };
    let porous = swap("kaolin", &|m| m.oil_absorption = Some(Figure::user(0.5)));
    let (_, soaked) = plain(&f, &porous);
    let (a, b) = (before.pour.as_ref().unwrap(), soaked.pour.unwrap());
    assert!(b.ratio > a.ratio && b.soaked > 0.0 && a.soaked == 0.0);
    let harder = swap("theobroma-cacao-seed-butter", &|m| {
        let table =
            SolidTable { rows: vec![(20.0, 95.0), (30.0, 90.0), (40.0, 50.0), (50.0, 1.0)] };
        m.solids = Some(OwnSolids::new(table, &m.fat).unwrap());
    });
    let (_, own) = plain(&f, &harder);
    let solid = |s: &SettingFigures| s.stacks.as_ref().unwrap()[1].solid_at(35.0);
    assert!(solid(&own) > solid(&before));
}

#[test]
fn an_empty_window_warns_and_a_press_paste_has_none() {
    let (mut f, _) = formula(&BAR);
    let built_in = &quern_project::library::builtin().materials;
    let cool = f.add_phase("Cool-down", PhaseKind::CoolDown, PhaseTemperature::Below(25.0));
    let id = MaterialId::new("lavandula-angustifolia-oil");
    let line = f.add_line(cool, Item::Material(id), None).unwrap();
    f.set_amount(line, Some(Amount::percent(Decimal::new(4, 1)))).unwrap();
    let library = Library::new(built_in.values().cloned(), []);
    let (e, s) = plain(&f, &library);
    assert!(s.window.as_ref().unwrap().is_empty());
    assert!(e.findings.iter().any(|x| x.rule() == "pour-window-empty"));
    let said = remarks(&e, &s, &|_, _| vec!["Another one".to_owned()], Default::default());
    let window = said.iter().find(|r| r.about == "window").unwrap();
    assert!(window.text.contains("empty") && window.choices.len() >= 3, "{window:?}");
    // So much powder that it never moves is pressed, and warns of no window.
    let (dry, library) = formula(&[("zea-mays-starch", 75.0), ("oryza-sativa-bran-oil", 25.0)]);
    let (e, s) = plain(&dry, &library);
    assert_eq!(s.pour.as_ref().unwrap().class, PourClass::Crumbly);
    assert_eq!(s.window.unwrap().moves_from_c, None);
    assert!(e.findings.iter().all(|x| x.rule() != "pour-window-empty"));
}

/// Nothing that can be typed breaks it; what cannot be had has a reason.
#[test]
fn bad_input_gives_reasons() {
    let cases: [&[(&str, f64)]; 7] = [
        &[],
        &[("stearic-acid-95-type", 100.0)],
        &[("oryza-sativa-bran-oil", 100.0)],
        &[("zea-mays-starch", 100.0)],
        &[("stearic-acid-95-type", 0.0), ("oryza-sativa-bran-oil", 0.0)],
        &[("stearic-acid-95-type", -5.0), ("oryza-sativa-bran-oil", 105.0)],
        &[("glycerin-99-5", 100.0)],
    ];
    let mould =
        |shape| Mould { name: "odd".to_owned(), shape, measured_ml: None, wall: Wall::Wood };
    let asks = [
        SettingAsk::default(),
        SettingAsk { pour_c: Some(f64::NAN), ..SettingAsk::default() },
        SettingAsk { pour_c: Some(1e9), ..SettingAsk::default() },
        SettingAsk { pour_c: Some(-300.0), air_c: Some(-500.0), ..SettingAsk::default() },
        SettingAsk { air_c: Some(90.0), stand: Stand::Fridge, ..SettingAsk::default() },
        SettingAsk { mould: Some(mould(Shape::Block(0.0, 0.0, 0.0))), ..SettingAsk::default() },
        SettingAsk { mould: Some(mould(Shape::Disc(f64::NAN, 1.0))), ..SettingAsk::default() },
    ];
    for parts in cases {
        let (f, library) = formula(parts);
        for ask in &asks {
            let (e, s) = work_out(&f, &library, SettingNotes::default(), ask);
            for row in readouts(&e, &s) {
                if let Some(x) = row.value.number() {
                    assert!(x.is_finite(), "{parts:?} {ask:?} {}: {x}", row.key);
                }
            }
            let _ = remarks(&e, &s, &|_, _| Vec::new(), Default::default());
            if let Ok(cool) = &s.cool {
                let _ = cool.slab.run();
            }
        }
    }
    let (f, library) = formula(&[]);
    let (e, s) = plain(&f, &library);
    assert!(e.melt.is_err() && s.stacks.is_none() && s.pour.is_err() && s.cool.is_err());
    let (f, library) = formula(&BAR);
    let zero = SettingAsk { mould: Some(mould(Shape::Dome(0.0))), ..SettingAsk::default() };
    let (_, s) = work_out(&f, &library, SettingNotes::default(), &zero);
    assert!(s.cool.unwrap_err().words().contains("volume in the mould"));
    assert!(s.filling.is_none());
    assert!(!honest().is_empty());
}

#[test]
fn above_a_fifth_without_data_there_is_no_curve_but_a_reason() {
    let (f, library) = formula(&[("stearic-acid-95-type", 30.0), ("cetyl-alcohol", 10.0)]);
    let bare = library.materials().map(|m| {
        let mut m = (**m).clone();
        if m.id.as_str() == "cetyl-alcohol" {
            m.fat.clear();
        }
        Arc::new(m)
    });
    let bare = Library::new(bare.collect::<Vec<_>>(), []);
    let (e, s) = plain(&f, &bare);
    let why = e.melt.unwrap_err().words();
    assert!(why.contains("melting data") && why.contains("Cetyl alcohol"), "{why}");
    assert!(s.stacks.is_none());
    // A tenth is named as left out, with its share.
    let (f, _) = formula(&[("stearic-acid-95-type", 36.0), ("cetyl-alcohol", 4.0)]);
    let (e, _) = plain(&f, &bare);
    let fat = e.melt.unwrap().fat;
    assert_eq!(fat.left_out, ["Cetyl alcohol"]);
    assert!((fat.left_out_share - 0.1).abs() < 1e-9);
}

fn any_bar() -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(0.5f64..30.0, BAR.len())
}

fn of(percents: &[f64]) -> (Formula, Library) {
    let parts: Vec<(&str, f64)> =
        BAR.iter().zip(percents).map(|((id, _), p)| (*id, (p * 100.0).round() / 100.0)).collect();
    formula(&parts)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn warmth_never_thickens_and_never_hardens(percents in any_bar(), t in 5.0f64..85.0) {
        let (f, library) = of(&percents);
        let at = |c: f64| {
            let ask = SettingAsk { pour_c: Some(c), ..SettingAsk::default() };
            work_out(&f, &library, SettingNotes::default(), &ask).1
        };
        let (cold, warm) = (at(t), at(t + 4.0));
        // Once it is jammed there is no viscosity that could rise.
        let (w, c) = (warm.pour.unwrap().ratio, cold.pour.as_ref().unwrap().ratio);
        prop_assert!(w <= c + 1e-9 || (w >= 1.0 && c >= 1.0), "{w} {c}");
        for stack in cold.stacks.as_ref().unwrap() {
            prop_assert!(stack.points.windows(2).all(|w| w[1].1 <= w[0].1 + 1e-9));
        }
        let rows = cold.shelf.unwrap().rows;
        prop_assert!(rows.windows(2).all(|w| w[1].ratio.at <= w[0].ratio.at + 1e-9));
    }

    #[test]
    fn more_oil_never_hardens_any_component(percents in any_bar(), more in 0.5f64..20.0) {
        let (f, library) = of(&percents);
        let mut oily = percents.clone();
        oily[4] += more;
        let (g, _) = of(&oily);
        for c in [5.0, 20.0, 32.0, 45.0] {
            let solid = |f: &Formula| {
                let (e, s) = plain(f, &library);
                let melt = e.melt.unwrap();
                let at = s.fat_at(&melt, Mixing::Alcohols, c).unwrap();
                at.parts.iter().map(|(n, solid, _)| (n.clone(), solid * melt.fat.percent))
                    .collect::<Vec<_>>()
            };
            for ((name, before), (_, after)) in solid(&f).iter().zip(solid(&g)) {
                prop_assert!(after <= before + 1e-6, "{name} at {c}: {before} to {after}");
            }
        }
    }

    #[test]
    fn more_powder_fills_more_of_the_volume(percents in any_bar(), more in 0.5f64..20.0) {
        let (f, library) = of(&percents);
        let mut dry = percents.clone();
        dry[6] += more;
        let (g, _) = of(&dry);
        // The limit may rise a little where rounded grains join plates; the solids never fall.
        let pour = |f: &Formula| plain(f, &library).1.pour.unwrap();
        let (a, b) = (pour(&f), pour(&g));
        prop_assert!(b.solids >= a.solids);
        prop_assert!(b.limit > a.limit || b.ratio >= a.ratio - 1e-12);
        let sum: f64 = b.parts.iter().map(|p| p.volume).sum();
        prop_assert!(sum <= 1.0 + 1e-9 && (sum - b.solids).abs() < 1e-9);
    }
}

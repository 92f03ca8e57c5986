//! Projects of any shape that a file can hold.

use std::collections::BTreeMap;
use std::sync::Arc;

use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;
use quern_calc::batch::{BatchPlan, BatchSize, Scale, Vessel};
use quern_calc::formula::*;
use quern_calc::grit::notes::{GritNotes, Score};
use quern_calc::number::MassUnit;
use quern_calc::quantity::{Date, Grams, Percent};
use quern_calc::setting::calibrate::{Measured, Reading};
use quern_calc::setting::mould::{Mould, Shape, Wall};
use quern_calc::setting::notes::SettingNotes;
use quern_calc::setting::pour::PourClass;
use quern_project::{Binned, KeptVersion, Project};
use rust_decimal::Decimal;

use super::arbitrary_material::material;

mod notes;

/// Names as people write them, and as they should not.
pub fn text() -> BoxedStrategy<String> {
    prop_oneof![
        3 => "[a-zA-Zéßœ ]{0,12}",
        1 => any::<String>(),
        1 => select(vec![
            "say \"grind\"", "two\nlines\r\n", "back\\slash", "שמן זית", "\u{202e}live", "🌾 oat 👩🏽‍🔬",
            "r#\"raw\"#", "// no comment", "a = b of c %", "\u{0}\u{7f}\u{feff}", "e\u{301}", "(", "[",
        ]).prop_map(str::to_owned),
    ]
    .boxed()
}

/// A name that a list needs; never blank.
pub fn name() -> BoxedStrategy<String> {
    text().prop_map(|t| if t.trim().is_empty() { format!("{t}#") } else { t }).boxed()
}

/// An id; never blank.
pub fn id() -> BoxedStrategy<String> {
    prop_oneof![3 => "[a-z]{1,6}", 1 => "[^\\s]{1,4}".prop_map(|t| format!("{t}#"))].boxed()
}

pub fn decimal() -> BoxedStrategy<Decimal> {
    prop_oneof![
        4 => (-10_000_i64..1_000_000, 0_u32..5).prop_map(|(n, s)| Decimal::new(n, s)),
        1 => (any::<i64>(), 12_u32..=28).prop_map(|(n, s)| Decimal::new(n, s)),
        1 => Just(Decimal::ZERO),
        1 => Just(Decimal::from(1_000_000_000_000_i64)),
        1 => Just("7922816251.4264337593543950335".parse().unwrap()),
    ]
    .boxed()
}

pub fn number() -> BoxedStrategy<f64> {
    prop_oneof![
        4 => (-2_000_i32..20_000).prop_map(|n| f64::from(n) / 10.0),
        1 => -1e12_f64..1e12,
        1 => select(vec![0.0, 5e-324, 0.1, 1.0 / 3.0]),
    ]
    .boxed()
}

fn temperature() -> BoxedStrategy<f64> {
    number().prop_map(|n| n.abs() - 273.15).boxed()
}

pub fn percent() -> BoxedStrategy<Percent> {
    decimal().prop_map(Percent).boxed()
}

fn grams() -> BoxedStrategy<Grams> {
    decimal().prop_map(Grams).boxed()
}

fn item() -> BoxedStrategy<Item> {
    prop_oneof![
        id().prop_map(|t| Item::Material(MaterialId::new(&t))),
        id().prop_map(|t| Item::Formula(FormulaId::new(&t))),
    ]
    .boxed()
}

fn unit() -> BoxedStrategy<AmountUnit> {
    let masses =
        [MassUnit::Gram, MassUnit::Kilogram, MassUnit::Milligram, MassUnit::Ounce, MassUnit::Pound];
    prop_oneof![
        Just(AmountUnit::Percent),
        Just(AmountUnit::Parts),
        (select(masses.to_vec()), grams()).prop_map(|(unit, of)| AmountUnit::Mass { unit, of }),
    ]
    .boxed()
}

/// Mostly what entry would derive, sometimes any percentage at all.
fn amount(parts_total: Decimal) -> BoxedStrategy<Amount> {
    (decimal(), unit(), option::weighted(0.2, percent()))
        .prop_map(move |(typed, unit, odd)| {
            let derived = match unit {
                AmountUnit::Percent => Some(Percent(typed)),
                AmountUnit::Parts => Percent::share(typed, parts_total),
                AmountUnit::Mass { unit, of } => {
                    Percent::share(typed.saturating_mul(unit.grams_per_unit()), of.0)
                }
            };
            Amount { typed, unit, percent: odd.or(derived).unwrap_or(Percent::ZERO) }
        })
        .boxed()
}

fn alternative() -> BoxedStrategy<Alternative> {
    (item(), decimal(), text())
        .prop_map(|(item, ratio, note)| Alternative { item, ratio, note })
        .boxed()
}

fn line(parts_total: Decimal) -> BoxedStrategy<Line> {
    let amount = option::weighted(0.9, amount(parts_total));
    (item(), amount, any::<bool>(), vec(alternative(), 0..2), text())
        .prop_map(|(item, amount, locked, alternatives, note)| Line {
            id: LineId(0),
            item,
            amount,
            locked,
            alternatives,
            note,
        })
        .boxed()
}

fn step() -> BoxedStrategy<Step> {
    (text(), option::of(temperature()), option::of(number()))
        .prop_map(|(text, temperature_c, minutes)| Step { text, temperature_c, minutes })
        .boxed()
}

fn phase(parts_total: Decimal) -> BoxedStrategy<Phase> {
    let warmth = prop_oneof![
        Just(PhaseTemperature::Unstated),
        temperature().prop_map(PhaseTemperature::HeatTo),
        temperature().prop_map(PhaseTemperature::Below),
    ];
    let kind = select(PhaseKind::ALL.to_vec());
    (text(), kind, warmth, vec(step(), 0..3), vec(line(parts_total), 0..5))
        .prop_map(|(name, kind, temperature, steps, lines)| Phase {
            id: PhaseId(0),
            name,
            kind,
            temperature,
            steps,
            lines,
        })
        .boxed()
}

fn date() -> BoxedStrategy<Date> {
    (1_u16..=9999, 1_u8..=12, 1_u8..=28).prop_map(|(y, m, d)| Date::new(y, m, d).unwrap()).boxed()
}

fn version() -> BoxedStrategy<Version> {
    let parent = option::of((id().prop_map(|t| FormulaId::new(&t)), any::<u32>()));
    (any::<u32>(), select(VersionState::ALL.to_vec()), parent, text())
        .prop_map(|(number, state, parent, reason)| Version { number, state, parent, reason })
        .boxed()
}

fn product() -> BoxedStrategy<Product> {
    let forms = select(Form::ALL.to_vec());
    (forms, select(Place::ALL.to_vec()), select(Contact::ALL.to_vec()))
        .prop_flat_map(|(form, place, contact)| {
            (select(Pack::ALL.to_vec()), any::<bool>()).prop_map(move |(pack, under_three)| {
                Product { form, place, contact, pack, under_three }
            })
        })
        .boxed()
}

fn formula() -> BoxedStrategy<Formula> {
    let parts = prop_oneof![Just(Decimal::ONE_HUNDRED), decimal()];
    let phases = parts.prop_flat_map(|p| (Just(p), vec(phase(p), 0..4)));
    let ph = option::of(
        (decimal(), any::<bool>(), option::of(date()))
            .prop_map(|(value, measured, date)| PhReading { value, measured, date }),
    );
    let notes = (notes::safety(), notes::label());
    (text(), version(), product(), phases, ph, text(), any::<proptest::sample::Index>(), notes)
        .prop_map(|(name, version, product, (parts_total, mut phases), ph, note, fill, notes)| {
            // Ids are unique but in no order.
            let mut next = 1_u32;
            for (phase, n) in phases.iter_mut().zip([4_u32, 1, 9, 2]) {
                phase.id = PhaseId(n);
                for line in &mut phase.lines {
                    line.id = LineId(next.wrapping_mul(7) % 1009);
                    next += 1;
                }
            }
            let ids: Vec<LineId> =
                phases.iter().flat_map(|p| p.lines.iter().map(|l| l.id)).collect();
            let fills = (fill.index(3) > 0 && !ids.is_empty()).then(|| *fill.get(&ids));
            Formula {
                id: FormulaId::new(""),
                name,
                version,
                product,
                parts_total,
                fills,
                ph,
                phases,
                note,
                safety: notes.0,
                label: notes.1,
            }
        })
        .boxed()
}

fn plan() -> BoxedStrategy<BatchPlan> {
    let size = prop_oneof![
        grams().prop_map(BatchSize::Gross),
        grams().prop_map(BatchSize::Net),
        (any::<u32>(), grams()).prop_map(|(count, each)| BatchSize::Pieces { count, each }),
    ];
    let scale =
        (text(), grams(), grams(), grams()).prop_map(|(name, readability, capacity, tare)| Scale {
            name,
            readability,
            capacity,
            tare,
        });
    let vessel = option::of((text(), grams()).prop_map(|(name, holds)| Vessel { name, holds }));
    (size, percent(), vec(scale, 0..3), vessel, option::of(grams()), text())
        .prop_map(|(size, loss, scales, vessel, piece, code)| BatchPlan {
            size,
            loss,
            scales,
            vessel,
            piece,
            code,
        })
        .boxed()
}

fn grit() -> BoxedStrategy<GritNotes> {
    let places = Place::ALL.to_vec();
    let places = proptest::sample::subsequence(places, 0..=Place::ALL.len()).prop_shuffle();
    let mass = grams().prop_map(|Grams(g)| Grams(if g.is_zero() { Decimal::ONE } else { g.abs() }));
    let score = (text(), number(), decimal());
    let scores = proptest::collection::btree_map(id(), score, 0..4);
    (places, vec(mass, Place::ALL.len()), scores)
        .prop_map(|(places, masses, scores)| GritNotes {
            grams_per_use: places.into_iter().zip(masses).collect(),
            scores: scores
                .into_iter()
                .rev()
                .map(|(id, (name, index, score))| Score {
                    formula: FormulaId::new(&id),
                    name,
                    index: index.abs(),
                    score,
                })
                .collect(),
        })
        .boxed()
}

fn mould() -> BoxedStrategy<Mould> {
    let mm =
        || prop_oneof![3 => (1_u32..=10_000).prop_map(|n| f64::from(n) / 10.0), 1 => 5e-324..=1e3];
    let shape = prop_oneof![
        (mm(), mm(), mm()).prop_map(|(l, w, d)| Shape::Block(l, w, d)),
        (mm(), mm()).prop_map(|(a, d)| Shape::Disc(a, d)),
        (mm(), mm(), mm()).prop_map(|(l, w, d)| Shape::Oval(l, w, d)),
        mm().prop_map(Shape::Dome),
    ];
    (shape, option::of(1e-3_f64..1e12), select(Wall::ALL.to_vec()))
        .prop_map(|(shape, measured_ml, wall)| Mould {
            name: String::new(),
            shape,
            measured_ml,
            wall,
        })
        .boxed()
}

fn reading() -> BoxedStrategy<Reading> {
    let warm = || -20.0_f64..=110.0;
    let class = select(PourClass::ALL.to_vec());
    prop_oneof![
        warm().prop_map(|c| Reading::SetsAt { c }),
        (warm(), class).prop_map(|(at_c, class)| Reading::Flow { at_c, class }),
        (warm(), 0.01_f64..3e4, 0.31_f64..2.9).prop_map(|(at_c, ml, density)| Reading::Poured {
            at_c,
            grams: ml * density,
            ml
        }),
        (warm(), 0.01_f64..=100.0).prop_map(|(at_c, mm)| Reading::Needle { at_c, mm }),
    ]
    .boxed()
}

fn setting() -> BoxedStrategy<SettingNotes> {
    let figures = (
        option::of(-30.0_f64..=50.0),
        option::of(-30.0_f64..=20.0),
        option::of(0.0_f64..=90.0),
        option::of(10.0_f64..=50_000.0),
    );
    let moulds = proptest::collection::btree_map(name(), mould(), 0..4);
    let measured = (id(), text(), option::of(date()), reading());
    (figures, option::of(id()), option::of(text()), moulds, vec(measured, 0..5))
        .prop_map(|(figures, reference, mould, moulds, measured)| SettingNotes {
            room_c: figures.0,
            fridge_c: figures.1,
            parcel_c: figures.2,
            heater_w: figures.3,
            reference: reference.map(|id| FormulaId::new(&id)),
            mould,
            moulds: moulds.into_iter().rev().map(|(name, m)| Mould { name, ..m }).collect(),
            measured: measured
                .into_iter()
                .map(|(id, name, date, reading)| Measured {
                    formula: FormulaId::new(&id),
                    name,
                    date,
                    said: vec![44.25; reading.figures_said()],
                    reading,
                })
                .collect(),
        })
        .boxed()
}

/// Versions of a formula, with other numbers than its own and than each other.
fn versions(of: &Formula, kept: Vec<(Formula, Date)>) -> Vec<Arc<KeptVersion>> {
    let mut versions: Vec<_> = (1_u32..)
        .zip(kept)
        .map(|(n, (mut formula, date))| {
            formula.id = of.id.clone();
            formula.version.number = of.version.number.wrapping_add(n);
            Arc::new(KeptVersion { formula: Arc::new(formula), date })
        })
        .collect();
    // In no order of their numbers.
    versions.reverse();
    versions
}

fn binned() -> BoxedStrategy<Arc<Binned>> {
    (id(), formula(), option::of(plan()), vec((formula(), date()), 0..2), date())
        .prop_map(|(id, formula, plan, kept, date)| {
            let formula = Formula { id: FormulaId::new(&id), ..formula };
            let kept = versions(&formula, kept);
            Arc::new(Binned { formula: Arc::new(formula), plan: plan.map(Arc::new), kept, date })
        })
        .boxed()
}

/// Any project that a file can hold.
pub fn project() -> BoxedStrategy<Project> {
    let formula = (formula(), vec((formula(), date()), 0..2));
    let formulas = proptest::collection::btree_map(id(), formula, 0..4);
    let plans = proptest::collection::btree_map(id(), plan(), 0..3);
    let materials = proptest::collection::btree_map(id(), material(), 0..3);
    let notes = (grit(), option::of(setting()), vec(binned(), 0..2));
    (text(), text(), text(), formulas, plans, materials, notes)
        .prop_map(|(name, currency, note, formulas, plans, materials, (grit, setting, bin))| {
            let mut kept = Vec::new();
            let formulas = formulas
                .into_iter()
                .rev()
                .map(|(id, (f, versions_of))| {
                    let formula = Formula { id: FormulaId::new(&id), ..f };
                    kept.extend(versions(&formula, versions_of));
                    Arc::new(formula)
                })
                .collect();
            let plans: BTreeMap<_, _> =
                plans.into_iter().map(|(id, p)| (FormulaId::new(&id), Arc::new(p))).collect();
            let materials = materials
                .into_iter()
                .map(|(id, m)| {
                    let id = MaterialId::new(&id);
                    (id.clone(), Arc::new(Material { id, ..m }))
                })
                .collect();
            let (grit, setting) = (Arc::new(grit), Arc::new(setting.unwrap_or_default()));
            Project { name, currency, formulas, materials, plans, note, grit, setting, kept, bin }
        })
        .boxed()
}

//! Materials of any shape that a file can hold.

use std::sync::Arc;

use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;
use quern_calc::formula::*;
use quern_calc::grit::sizes::SizeData;
use quern_calc::grit::table::{SieveRow, SieveTable};
use quern_calc::quantity::{Date, Grams, Money, Percent};
use quern_calc::setting::table::SolidTable;

use super::arbitrary::{decimal, name, number, percent, text};

fn provenance() -> BoxedStrategy<(Confidence, Basis, String)> {
    let confidences = vec![Confidence::Low, Confidence::Medium, Confidence::High];
    let bases = vec![
        Basis::Read,
        Basis::DataSet,
        Basis::Computed,
        Basis::Practice,
        Basis::Memory,
        Basis::Assumption,
        Basis::User,
        Basis::Unstated,
    ];
    (select(confidences), select(bases), text()).boxed()
}

fn figure<T: Clone + std::fmt::Debug + 'static>(
    value: impl Strategy<Value = T> + 'static,
) -> BoxedStrategy<Figure<T>> {
    (value, provenance())
        .prop_map(|(value, (confidence, basis, source))| Figure {
            value,
            confidence,
            basis,
            source: Arc::from(source),
        })
        .boxed()
}

fn maybe<T: Clone + std::fmt::Debug + 'static>(
    value: impl Strategy<Value = T> + 'static,
) -> BoxedStrategy<Option<Figure<T>>> {
    option::weighted(0.3, figure(value)).boxed()
}

fn span() -> BoxedStrategy<Span> {
    (option::of(number()), option::of(number())).prop_map(|(low, high)| Span { low, high }).boxed()
}

fn sizes() -> BoxedStrategy<SizeData> {
    prop_oneof![
        (number(), number()).prop_map(|(lo_um, hi_um)| SizeData::SieveRange { lo_um, hi_um }),
        (number(), number(), number()).prop_map(|(d10_um, d50_um, d90_um)| {
            SizeData::Percentiles { d10_um, d50_um, d90_um }
        }),
        (number(), number(), number(), number())
            .prop_map(|(d1_um, p1, d2_um, p2)| SizeData::TwoPoints { d1_um, p1, d2_um, p2 }),
        (number(), number()).prop_map(|(d50_um, sigma)| SizeData::Lognormal { d50_um, sigma }),
        (number(), number(), number()).prop_map(|(um, share, sigma)| SizeData::Below {
            um,
            share,
            sigma
        }),
        (vec(row(), 0..=30), number(), option::of(number()))
            .prop_map(|(rows, pan, sample)| SizeData::Sieved(SieveTable { rows, pan, sample })),
    ]
    .boxed()
}

fn row() -> BoxedStrategy<SieveRow> {
    (number(), number()).prop_map(|(opening_um, kept)| SieveRow { opening_um, kept }).boxed()
}

/// Lots with names of their own, and perhaps the name of one.
fn lots() -> BoxedStrategy<(Vec<GrainLot>, Option<String>)> {
    let lots = proptest::collection::btree_map(name(), (text(), sizes()), 0..4);
    (lots, any::<prop::sample::Index>())
        .prop_map(|(lots, chosen)| {
            let lots: Vec<GrainLot> = lots
                .into_iter()
                .rev()
                .map(|(name, (stated, sizes))| GrainLot { name, stated, sizes })
                .collect();
            let in_use = lots.get(chosen.index(lots.len() + 1)).map(|lot| lot.name.clone());
            (lots, in_use)
        })
        .boxed()
}

fn grain() -> BoxedStrategy<GrainData> {
    let hard = (number(), number(), option::of(text()), option::of(number()));
    (sizes(), any::<bool>(), hard, lots())
        .prop_map(|(sizes, assumed_size, hard, (lots, lot_in_use))| GrainData {
            sizes,
            assumed_size,
            hardness_mpa: hard.0,
            angularity: hard.1,
            mohs: hard.2,
            dissolves_um_per_s: hard.3,
            lots,
            lot_in_use,
        })
        .boxed()
}

fn fat() -> BoxedStrategy<FatPart> {
    let crystal = option::of((number().prop_map(f64::abs), number()));
    (text(), number(), number(), crystal, text())
        .prop_map(|(name, share, molar_mass, crystal, group)| FatPart {
            name,
            share,
            molar_mass,
            crystal,
            group,
        })
        .boxed()
}

/// A table of solid fat: temperatures rise, solids fall or stay.
fn solids() -> BoxedStrategy<SolidTable> {
    let steps = vec((0.5_f64..12.0, 0.0_f64..=1.0), 1..10);
    (-40.0_f64..10.0, 0.1_f64..=100.0, steps)
        .prop_map(|(t, percent, steps)| {
            let mut rows = vec![(t, percent)];
            for (warmer, left) in steps {
                let (t, percent) = rows[rows.len() - 1];
                rows.push((t + warmer, percent * left));
            }
            SolidTable { rows }
        })
        .boxed()
}

fn use_level() -> BoxedStrategy<UseLevel> {
    (option::of(percent()), option::of(percent()), select(UseScope::ALL.to_vec()))
        .prop_map(|(low, high, scope)| UseLevel { low, high, scope })
        .boxed()
}

fn part() -> BoxedStrategy<Part> {
    (text(), maybe(percent())).prop_map(|(inci, share)| Part { inci, share }).boxed()
}

fn allergen() -> BoxedStrategy<Allergen> {
    (text(), option::of(percent()), maybe(percent()))
        .prop_map(|(name, low, high)| Allergen { name, low, high })
        .boxed()
}

fn certificate() -> BoxedStrategy<Certificate> {
    let day = (1_u16..=9999, 1_u8..=12, 1_u8..=28).prop_map(|(y, m, d)| Date::new(y, m, d));
    let limits = vec(
        (text(), (0_i64..10_000).prop_map(|n| Percent(rust_decimal::Decimal::new(n, 2)))),
        0..3,
    );
    (text(), day, limits)
        .prop_map(|(standard, date, limits)| Certificate { standard, date, limits })
        .boxed()
}

fn price() -> BoxedStrategy<Price> {
    (decimal(), decimal())
        .prop_map(|(amount, pack)| Price { amount: Money(amount), pack: Grams(pack.abs()) })
        .boxed()
}

/// Any material; the caller gives it an id.
pub fn material() -> BoxedStrategy<Material> {
    let warm = || number().prop_map(|n| n.abs() - 200.0);
    let names = (text(), text(), vec(text(), 0..3), text(), vec(text(), 0..3), text(), text());
    let keys = (
        option::of(select(Function::ALL.to_vec())),
        select(PhaseKind::ALL.to_vec()),
        option::of(select(AtPour::ALL.to_vec())),
        select(Charge::ALL.to_vec()),
        option::of(select(PowderShape::ALL.to_vec())),
        vec(select(Caution::ALL.to_vec()), 0..3),
        (any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>()),
    );
    let shares = (
        vec(part(), 0..3),
        maybe(percent()),
        select(WaterKind::ALL.to_vec()),
        maybe(percent()),
        vec(figure(use_level()), 0..3),
        vec(allergen(), 0..2),
        vec(text(), 0..2),
        option::of(price()),
        (any::<bool>(), option::of(certificate())),
    );
    let warmth = (maybe(warm()), maybe(warm()), maybe(span()), maybe(warm()));
    let figures = (
        maybe(number()),
        maybe(number()),
        maybe(number()),
        maybe(span()),
        maybe(number()),
        maybe(span()),
        maybe(number()),
        maybe(span()),
        maybe(span()),
    );
    let lists = (
        maybe(grain()),
        vec(figure(fat()), 0..3),
        vec((text(), number()), 0..3),
        option::of(text()),
        figure(Just(())),
        option::weighted(0.15, solids()),
    );
    (names, keys, shares, warmth, figures, lists)
        .prop_map(|(names, keys, shares, warmth, figures, lists)| {
            let (only_wet, in_process, surfactant, electrolyte) = keys.6;
            let solids = lists.5.map(|table| OwnSolids::new(table, &lists.1).unwrap());
            Material {
                id: MaterialId::new(""),
                inci: names.0,
                form: names.1,
                names: names.2,
                group: names.3,
                roles: names.4,
                solubility: names.5,
                notes: names.6,
                function: keys.0,
                phase: keys.1,
                at_pour: keys.2,
                charge: keys.3,
                shape: keys.4,
                cautions: keys.5,
                surfactant,
                electrolyte,
                composition: shares.0,
                water: shares.1.map(|percent| Water { percent, kind: shares.2 }),
                active: shares.3,
                use_levels: shares.4,
                allergens: shares.5,
                label_groups: shares.6,
                price: shares.7,
                allergens_complete: shares.8.0,
                certificate: shares.8.1,
                // The two marks qualify a figure and mean nothing without it.
                heat_limit_only_wet: only_wet && warmth.0.is_some(),
                heat_limit_c: warmth.0,
                process_min_c: warmth.1,
                melts_in_process: in_process && warmth.2.is_some(),
                melting_c: warmth.2,
                flash_point_c: warmth.3,
                density_solid: figures.0,
                density_melt: figures.1,
                hlb: figures.2,
                required_hlb: figures.3,
                natural_origin: figures.4,
                ph_window: figures.5,
                oil_absorption: figures.6,
                iodine_value: figures.7,
                saponification: figures.8,
                grain: lists.0,
                fat: lists.1,
                solids,
                fatty_acids: lists.2,
                cas: lists.3,
                about: lists.4,
            }
        })
        .boxed()
}

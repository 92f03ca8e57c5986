//! Any notes on use, checks and label.

use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use quern_calc::formula::{Accepted, ExposureAsk, LabelNotes, Net, Printed, SafetyNotes};
use quern_calc::quantity::Percent;
use rust_decimal::Decimal;

use super::{date, text};

fn above_zero() -> BoxedStrategy<Decimal> {
    (1_i64..100_000).prop_map(|n| Decimal::new(n, 3)).boxed()
}

fn accepted() -> BoxedStrategy<Accepted> {
    (text(), text(), text(), option::of(date()))
        .prop_map(|(key, said, reason, date)| Accepted {
            key,
            said,
            reason: format!("because {reason}"),
            date,
        })
        .boxed()
}

fn exposure() -> BoxedStrategy<ExposureAsk> {
    (text(), above_zero(), any::<bool>(), 0_i64..=100, text(), option::of(text()))
        .prop_map(|(component, departure, oral, absorbed, source, line)| ExposureAsk {
            component,
            departure,
            oral,
            absorbed: Percent(Decimal::from(absorbed)),
            source,
            line,
        })
        .boxed()
}

pub fn safety() -> BoxedStrategy<SafetyNotes> {
    (
        vec(text(), 0..3),
        option::of(date()),
        text(),
        option::of(any::<bool>()),
        text(),
        vec(accepted(), 0..3),
        vec(exposure(), 0..3),
    )
        .prop_map(|(markets, placed, category, wet_use, unpreserved, accepted, exposures)| {
            SafetyNotes { markets, placed, category, wet_use, unpreserved, accepted, exposures }
        })
        .boxed()
}

fn net() -> BoxedStrategy<Net> {
    (above_zero(), any::<bool>())
        .prop_map(|(x, grams)| if grams { Net::Grams(x) } else { Net::Millilitres(x) })
        .boxed()
}

fn printed() -> BoxedStrategy<Printed> {
    (text(), date(), any::<u32>(), vec(text(), 0..4))
        .prop_map(|(market, date, version, lines)| Printed { market, date, version, lines })
        .boxed()
}

pub fn label() -> BoxedStrategy<LabelNotes> {
    let texts = (text(), text(), text(), text(), text(), text());
    let months = || option::of(1_u32..=1200);
    let figures = (
        option::of(net()),
        months(),
        months(),
        option::of(date()),
        option::of(any::<u32>()),
        option::of((above_zero(), above_zero())),
        option::of(above_zero()),
    );
    (texts, figures, vec(text(), 0..3), vec(text(), 0..2), vec(printed(), 0..2))
        .prop_map(|(texts, figures, cautions, nano, printed)| LabelNotes {
            name: texts.0,
            function: texts.1,
            net: figures.0,
            keeps_months: figures.1,
            opened_months: figures.2,
            made: figures.3,
            code_pattern: texts.2,
            code_number: figures.4,
            responsible: texts.3,
            origin: texts.4,
            directions: texts.5,
            cautions,
            size_mm: figures.5,
            letter_mm: figures.6,
            nano,
            printed,
        })
        .boxed()
}

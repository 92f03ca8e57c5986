//! Systemic exposure and margin of safety, by the SCCS Notes of Guidance, 12th revision
//! (SCCS/1647/22). A sum to be shown beside its source, not a safety assessment.

use crate::quantity::Percent;

/// Body weight of an adult in the Notes, kg.
pub const ADULT_KG: f64 = 60.0;

/// Margin that the Notes ask for: 10 between species times 10 within one.
pub const MARGIN_LEAST: f64 = 100.0;

/// Dermal absorption to take without data, %; Notes of Guidance, from memory.
pub const ABSORPTION_UNKNOWN: f64 = 50.0;

fn amount(x: f64) -> bool {
    x.is_finite() && x >= 0.0
}

/// Shares of 100 multiplied; `None` outside 0 to 100.
fn shares(percent: Percent, absorption_percent: f64) -> Option<f64> {
    let share = percent.to_f64();
    let sound = |x: f64| (0.0..=100.0).contains(&x);
    (sound(share) && sound(absorption_percent))
        .then_some(share / 100.0 * absorption_percent / 100.0)
}

fn finite(x: f64) -> Option<f64> {
    x.is_finite().then_some(x)
}

/// Systemic exposure dose in mg per kg of body weight and day: E · C/100 · DA_p/100.
///
/// `e_bw_mg_kg` is the daily amount of product in mg per kg of body weight
/// ([`ExposureLine::e_mg_kg_day`](super::exposure_table::ExposureLine)), `percent`
/// the ingredient in it and `absorption_percent` how much of it the skin lets through. Source: SCCS
/// Notes of Guidance, from memory. `None` for what is negative, no number or above 100 %.
#[must_use]
pub fn sed_mg_kg_day(e_bw_mg_kg: f64, percent: Percent, absorption_percent: f64) -> Option<f64> {
    let part = shares(percent, absorption_percent)?;
    amount(e_bw_mg_kg).then_some(e_bw_mg_kg * part).and_then(finite)
}

/// The same from grams of product a day and a body weight in kg, above zero.
#[must_use]
pub fn sed_from_amount(
    e_g_day: f64,
    percent: Percent,
    absorption_percent: f64,
    bw_kg: f64,
) -> Option<f64> {
    if !(amount(e_g_day) && bw_kg.is_finite() && bw_kg > 0.0) {
        return None;
    }
    sed_mg_kg_day(e_g_day * 1_000.0 / bw_kg, percent, absorption_percent)
}

/// Systemic exposure dose from absorption per area: DA_a · 0.001 · area · times / body weight.
///
/// `da_ug_cm2` in µg/cm² per application, `ssa_cm2` the skin area in cm², `per_day` applications a
/// day, `bw_kg` above zero. Source and errors as for [`sed_mg_kg_day`].
#[must_use]
pub fn sed_from_area(da_ug_cm2: f64, ssa_cm2: f64, per_day: f64, bw_kg: f64) -> Option<f64> {
    let sound = [da_ug_cm2, ssa_cm2, per_day].into_iter().all(amount);
    if !(sound && bw_kg.is_finite() && bw_kg > 0.0) {
        return None;
    }
    finite(da_ug_cm2 * 0.001 * ssa_cm2 * per_day / bw_kg)
}

/// Margin of safety: systemic point of departure over exposure, both in mg/kg/day.
///
/// `None` without exposure, and for what is negative or no number: no exposure is no number, not a
/// large margin.
#[must_use]
pub fn margin(pod: f64, sed: f64) -> Option<f64> {
    (amount(pod) && sed.is_finite() && sed > 0.0).then(|| pod / sed).and_then(finite)
}

/// Systemic point of departure from an oral NOAEL without data on absorption: half of it.
///
/// Source: SCCS Notes of Guidance, from memory.
#[must_use]
pub fn pod_from_oral(noael: f64) -> Option<f64> {
    amount(noael).then_some(0.5 * noael)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;
    use rust_decimal::Decimal;

    fn p(text: &str) -> Percent {
        Percent(text.parse().unwrap())
    }

    #[test]
    fn no_answer() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert_eq!(sed_mg_kg_day(bad, p("1"), 50.0), None);
            assert_eq!(sed_mg_kg_day(1.0, p("1"), bad), None);
            assert_eq!(sed_from_amount(bad, p("1"), 50.0, 60.0), None);
            assert_eq!(sed_from_amount(1.0, p("1"), 50.0, bad), None);
            assert_eq!(sed_from_area(bad, 1.0, 1.0, 60.0), None);
            assert_eq!(sed_from_area(1.0, bad, 1.0, 60.0), None);
            assert_eq!(sed_from_area(1.0, 1.0, bad, 60.0), None);
            assert_eq!(sed_from_area(1.0, 1.0, 1.0, bad), None);
            assert_eq!(margin(bad, 1.0), None);
            assert_eq!(margin(1.0, bad), None);
            assert_eq!(pod_from_oral(bad), None);
        }
        assert_eq!(sed_mg_kg_day(1.0, p("-1"), 50.0), None);
        assert_eq!(sed_mg_kg_day(1.0, p("100.1"), 50.0), None);
        assert_eq!(sed_mg_kg_day(1.0, Percent(Decimal::MAX), 50.0), None);
        assert_eq!(sed_mg_kg_day(1.0, p("1"), 101.0), None);
        assert_eq!(sed_from_amount(f64::MAX, p("1"), 50.0, 60.0), None);
        assert_eq!(sed_from_amount(1.0, p("1"), 50.0, 0.0), None);
        assert_eq!(sed_from_area(1.0, 1.0, 1.0, 0.0), None);
        assert_eq!(margin(1.0, 0.0), None);
        assert_eq!(margin(f64::MAX, f64::MIN_POSITIVE), None);
    }

    proptest! {
        #[test]
        fn proportional(e in 0.01f64..500.0, da in 0.1f64..100.0, pod in 0.1f64..1000.0) {
            let one = sed_mg_kg_day(e, p("0.5"), da).unwrap();
            let two = sed_mg_kg_day(e, p("1"), da).unwrap();
            prop_assert!((two - 2.0 * one).abs() <= 1e-12 * two);
            let ratio = margin(pod, one).unwrap() / margin(pod, two).unwrap();
            prop_assert!((ratio - 2.0).abs() < 1e-9);
        }
    }
}

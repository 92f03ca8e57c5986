//! Systemic exposure and margin of safety, by the SCCS Notes of Guidance, 12th revision
//! (SCCS/1647/22). A sum to be shown beside its source, not a safety assessment.

use crate::formula::Basis;
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
/// `e_bw_mg_kg` is the daily amount of product in mg per kg of body weight ([`DAILY`]), `percent`
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

/// Daily use of a kind of product.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Daily {
    /// The product.
    pub product: &'static str,
    /// Amount applied, g/day.
    pub q_g: f64,
    /// The same by body weight from the survey, mg/kg/day, which is not `q_g` over 60 kg.
    pub q_bw: Option<f64>,
    /// Retention factor, 0 to 1.
    pub retention: f64,
    /// Exposure, g/day.
    pub e_g: f64,
    /// Exposure by body weight, mg/kg/day, as printed.
    pub e_bw: f64,
    /// True for the products that are summed for preservatives.
    pub summed: bool,
    /// How the line was come by.
    pub basis: Basis,
    /// Skin area in cm² and applications a day, from memory.
    pub skin: Option<(f64, f64)>,
}

/// A line without a skin area.
const fn line(
    product: &'static str,
    [q_g, retention, e_g, e_bw]: [f64; 4],
    q_bw: Option<f64>,
    basis: Basis,
) -> Daily {
    Daily { product, q_g, q_bw, retention, e_g, e_bw, summed: true, basis, skin: None }
}

const fn on_skin(line: Daily, area_cm2: f64, per_day: f64) -> Daily {
    Daily { skin: Some((area_cm2, per_day)), ..line }
}

const fn not_summed(line: Daily) -> Daily {
    Daily { summed: false, ..line }
}

use Basis::{Memory, Read};

/// Daily use by adults. Source: SCCS Notes of Guidance, 12th revision, Tables 3A and 3B, read in
/// part through a secondary text; skin areas and frequencies are those of RIVM in the Notes. There
/// is no line for a solid bar, a scrub or a bath product.
pub const DAILY: [Daily; 18] = [
    on_skin(line("shower gel", [18.67, 0.01, 0.19, 2.79], Some(279.20), Read), 17_500.0, 1.43),
    on_skin(line("hand wash soap", [20.00, 0.01, 0.20, 3.33], None, Memory), 860.0, 10.0),
    on_skin(line("shampoo", [10.46, 0.01, 0.11, 1.51], Some(150.49), Read), 1_440.0, 1.0),
    on_skin(line("hair conditioner", [3.92, 0.01, 0.04, 0.67], None, Read), 1_440.0, 0.28),
    line("hair styling", [4.00, 0.10, 0.40, 5.74], Some(57.40), Read),
    on_skin(line("body lotion", [7.82, 1.0, 7.82, 123.20], Some(123.20), Read), 15_670.0, 2.28),
    on_skin(line("face cream", [1.54, 1.0, 1.54, 24.14], Some(24.14), Read), 565.0, 2.14),
    on_skin(line("hand cream", [2.16, 1.0, 2.16, 32.70], Some(32.70), Read), 860.0, 2.0),
    on_skin(line("liquid foundation", [0.51, 1.0, 0.51, 7.90], Some(7.90), Read), 565.0, 1.0),
    on_skin(line("make-up remover", [5.00, 0.10, 0.50, 8.33], None, Memory), 565.0, 1.0),
    line("eye make-up", [0.02, 1.0, 0.02, 0.33], None, Memory),
    line("mascara", [0.025, 1.0, 0.025, 0.42], None, Memory),
    line("eyeliner", [0.005, 1.0, 0.005, 0.08], None, Memory),
    on_skin(line("lipstick, lip salve", [0.057, 1.0, 0.057, 0.90], Some(0.90), Read), 4.8, 2.0),
    on_skin(line("deodorant, non-spray", [1.50, 1.0, 1.50, 22.08], Some(22.08), Read), 200.0, 2.0),
    not_summed(line("deodorant spray", [0.69, 1.0, 0.69, 10.00], Some(10.00), Read)),
    line("toothpaste", [2.75, 0.05, 0.138, 2.16], Some(43.29), Read),
    line("mouthwash", [21.62, 0.10, 2.16, 32.54], Some(325.40), Read),
];

/// The line of a product by its name.
#[must_use]
pub fn daily(product: &str) -> Option<&'static Daily> {
    DAILY.iter().find(|d| d.product == product)
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
        assert_eq!(daily("soap bar"), None);
    }

    #[test]
    fn lines_agree_with_themselves() {
        for d in DAILY {
            // Exposure is amount times retention, printed to three digits at most.
            assert!((d.q_g * d.retention - d.e_g).abs() <= 0.006, "{}", d.product);
            if let Some(q) = d.q_bw {
                assert!((q * d.retention - d.e_bw).abs() <= 0.006, "{}", d.product);
            } else {
                // Table 3B divides the rounded exposure by 60 kg.
                assert!((d.e_g * 1_000.0 / ADULT_KG - d.e_bw).abs() <= 0.006, "{}", d.product);
            }
        }
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

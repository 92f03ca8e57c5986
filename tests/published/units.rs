//! Units of mass: the international pound of 1959 and NIST Handbook 44, Appendix C.

use quern_calc::formula::{EditError, Formula, FormulaId};
use quern_calc::number::{MassUnit, NumberErrorKind, Syntax, Typed, Unit, parse};
use quern_calc::quantity::derived;

use crate::{d, grams, near, percent};

/// International yard and pound agreement, 1 July 1959: one pound is 0.453 592 37 kg, exactly. NIST
/// Handbook 44, Appendix C: an avoirdupois ounce is a sixteenth of it, 28.349 523 125 g, exactly.
#[test]
fn pound_and_ounce_are_exact() {
    assert_eq!(MassUnit::Pound.grams_per_unit(), d("453.59237"));
    assert_eq!(MassUnit::Ounce.grams_per_unit(), d("28.349523125"));
    assert_eq!(MassUnit::Ounce.grams_per_unit() * d("16"), MassUnit::Pound.grams_per_unit());
    // NIST Handbook 44, Appendix C: a grain is 64.798 91 mg, exactly; 7000 make a pound and 437.5
    // an ounce.
    assert_eq!(d("0.06479891") * d("7000"), MassUnit::Pound.grams_per_unit());
    assert_eq!(d("0.06479891") * d("437.5"), MassUnit::Ounce.grams_per_unit());
}

/// SI prefixes (BIPM, The International System of Units, 9th edition, table 7).
#[test]
fn metric_units() {
    assert_eq!(MassUnit::Gram.grams_per_unit(), d("1"));
    assert_eq!(MassUnit::Kilogram.grams_per_unit(), d("1000"));
    assert_eq!(MassUnit::Milligram.grams_per_unit(), d("0.001"));
}

/// NIST Handbook 44, Appendix C, printed the other way: a kilogram is 2.204 62 pounds, a gram
/// 0.035 274 ounces; its general tables print 453.592 4 g and 28.349 5 g.
#[test]
fn tables_of_handbook_44() {
    let g = |unit: MassUnit| quern_calc::quantity::decimal_to_f64(unit.grams_per_unit());
    near("pounds in a kilogram", 1000.0 / g(MassUnit::Pound), 2.204_62, 5e-6);
    near("ounces in a gram", 1.0 / g(MassUnit::Ounce), 0.035_274, 5e-7);
    near("pound", g(MassUnit::Pound), 453.592_4, 5e-5);
    near("ounce", g(MassUnit::Ounce), 28.349_5, 5e-5);
}

fn typed(text: &str) -> Typed {
    parse(text, Syntax::default()).unwrap()
}

/// What is typed keeps every digit of those definitions.
#[test]
fn typed_masses_are_exact() {
    for (text, in_grams) in [
        ("1 lb", "453.59237"),
        ("1 oz", "28.349523125"),
        ("1 lb 4 oz", "566.9904625"),
        ("2.5 oz", "70.8738078125"),
        ("0.25 kg", "250"),
        ("5 mg", "0.005"),
    ] {
        let t = typed(text);
        let Some(Unit::Mass(unit)) = t.unit else { panic!("{text} has no mass") };
        assert_eq!(t.value * unit.grams_per_unit(), d(in_grams), "{text}");
    }
}

/// 4 oz in a batch of one pound are a quarter, by definition; a third of a pound is rounded at the
/// tenth decimal, half away from zero (the program's own convention).
#[test]
fn masses_become_shares() {
    let formula = Formula::empty(FormulaId::new("f"), "f");
    let share = |text: &str, of: &str| formula.amount_from(typed(text), grams(of)).unwrap().percent;
    assert_eq!(share("4 oz", "453.59237"), percent("25"));
    assert_eq!(share("1 lb", "453.59237"), percent("100"));
    assert_eq!(share("70 g", "500"), percent("14"));
    assert_eq!(share("1 g", "3"), percent("33.3333333333"));
    assert_eq!(derived(d("0.00000000005")), d("0.0000000001"));
}

/// Mass only (convention C8): a volume is refused, not guessed at. Millilitres are read, for a
/// mould that was measured, but are no amount of a material.
#[test]
fn volumes_are_refused() {
    for text in ["2 tsp", "1 cup", "20 drops", "1 l"] {
        let error = parse(text, Syntax::default()).unwrap_err();
        assert!(matches!(error.kind, NumberErrorKind::UnknownUnit(_)), "{text}: {error}");
    }
    let formula = Formula::empty(FormulaId::new("f"), "F");
    for text in ["5 ml", "5 mL", "80 mm"] {
        let typed = parse(text, Syntax::default()).unwrap();
        let refused = formula.amount_from(typed, grams("1000")).unwrap_err();
        assert!(matches!(refused, EditError::WrongUnit), "{text}: {refused}");
    }
}

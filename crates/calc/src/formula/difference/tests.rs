#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use std::mem::discriminant;

use proptest::collection::vec;
use proptest::prelude::*;
use rust_decimal::Decimal;

use super::{Change, ChangeStyle, differences};
use crate::formula::{
    Alternative, Amount, AmountUnit, Formula, FormulaId, Item, LineId, MaterialId, PhReading,
    PhaseId, PhaseKind, PhaseTemperature, Place, Step, VersionState,
};
use crate::number::{DecimalSign, NumberStyle};

fn material(n: u8) -> Item {
    Item::Material(MaterialId::new(&format!("m{n}")))
}

/// Formulas of up to four phases, with twins, blanks, locks and a line that fills.
fn formula() -> impl Strategy<Value = Formula> {
    let line = (0_u8..6, proptest::option::weighted(0.9, 0_i64..4_000), any::<bool>());
    let phases = vec((0_usize..3, vec(line, 0..5)), 1..4);
    (phases, any::<proptest::sample::Index>(), any::<bool>(), any::<bool>()).prop_map(
        |(phases, at, fill, noted)| {
            let mut f = Formula::empty(FormulaId::new("a"), "Bar");
            f.phases.clear();
            for (name, lines) in phases {
                let name = ["Melt", "Grains", "Cool"].get(name).copied().unwrap_or("Melt");
                let id = f.add_phase(name, PhaseKind::Melt, PhaseTemperature::HeatTo(72.0));
                for (item, cents, locked) in lines {
                    let Ok(line) = f.add_line(id, material(item), None) else { continue };
                    let amount = cents.map(|c| Amount::percent(Decimal::new(c, 2)));
                    let _ = f.set_amount(line, amount);
                    let _ = f.set_locked(line, locked);
                }
            }
            let ids: Vec<LineId> = f.lines().map(|(_, l)| l.id).collect();
            if fill && !ids.is_empty() {
                f.fills = Some(*at.get(&ids));
            }
            if noted {
                f.note = "as made".to_owned();
            }
            f
        },
    )
}

/// The next version of a formula.
fn next(of: &Formula) -> Formula {
    let mut f = of.clone();
    f.version.number += 1;
    f.version.state = VersionState::Draft;
    f.version.parent = Some((of.id.clone(), of.version.number));
    f.version.reason = "another try".to_owned();
    f
}

/// What a change is called the other way round, as far as the kind tells.
fn kinds(changes: &[Change], mirrored: bool) -> Vec<String> {
    let mut out: Vec<String> = changes
        .iter()
        .map(|c| match (c, mirrored) {
            (Change::LineAdded { item, percent, .. }, false)
            | (Change::LineRemoved { item, percent, .. }, true) => {
                format!("come {item:?} {percent:?}")
            }
            (Change::LineRemoved { item, percent, .. }, false)
            | (Change::LineAdded { item, percent, .. }, true) => {
                format!("gone {item:?} {percent:?}")
            }
            (Change::PhaseAdded(p), false) | (Change::PhaseRemoved(p), true) => {
                format!("phase {p}")
            }
            (Change::PhaseRemoved(p), false) | (Change::PhaseAdded(p), true) => {
                format!("no phase {p}")
            }
            (Change::Amount { from, to, .. } | Change::Rest { from, to, .. }, false) => {
                format!("{from:?} {to:?}")
            }
            (Change::Amount { from, to, .. } | Change::Rest { from, to, .. }, true) => {
                format!("{to:?} {from:?}")
            }
            (Change::Moved { from, to, .. }, false) => format!("moved {from} {to}"),
            (Change::Moved { from, to, .. }, true) => format!("moved {to} {from}"),
            (Change::Replaced { from, to }, false) => format!("{from:?} {to:?}"),
            (Change::Replaced { from, to }, true) => format!("{to:?} {from:?}"),
            (Change::Fills { from, to }, false) => format!("fills {from:?} {to:?}"),
            (Change::Fills { from, to }, true) => format!("fills {to:?} {from:?}"),
            (Change::Locked { locked, .. }, _) => format!("locked {}", *locked != mirrored),
            (other, _) => format!("{:?}", discriminant(other)),
        })
        .collect();
    out.sort();
    out
}

/// One edit of a chosen kind, and whether a change is of that kind.
type Edit = (&'static str, fn(&mut Formula, LineId, PhaseId), fn(&Change) -> bool);

fn spare() -> Item {
    Item::Material(MaterialId::new("spare"))
}

const EDITS: &[Edit] = &[
    ("name", |f, _, _| f.name.push('x'), |c| matches!(c, Change::Name { .. })),
    ("product", |f, _, _| f.product.place = Place::Lips, |c| matches!(c, Change::Product { .. })),
    (
        "ph",
        |f, _, _| f.ph = Some(PhReading { value: 5.into(), measured: true, date: None }),
        |c| matches!(c, Change::Ph { .. }),
    ),
    ("parts", |f, _, _| f.parts_total = 90.into(), |c| matches!(c, Change::Parts { .. })),
    ("note", |f, _, _| f.note.push('x'), |c| matches!(c, Change::Note)),
    ("safety", |f, _, _| f.safety.category.push('9'), |c| matches!(c, Change::Safety)),
    ("label", |f, _, _| f.label.origin.push('x'), |c| matches!(c, Change::Label)),
    (
        "add phase",
        |f, _, _| {
            f.add_phase("Quite new", PhaseKind::Water, PhaseTemperature::Unstated);
        },
        |c| matches!(c, Change::PhaseAdded(_)),
    ),
    (
        "rename phase",
        |f, _, p| f.update_phase(p, |p| p.name = "Renamed".to_owned()).unwrap_or(()),
        |c| matches!(c, Change::PhaseRenamed { .. }),
    ),
    (
        "phase kind",
        |f, _, p| f.update_phase(p, |p| p.kind = PhaseKind::Water).unwrap_or(()),
        |c| matches!(c, Change::PhaseKind { .. }),
    ),
    (
        "phase temperature",
        |f, _, p| {
            f.update_phase(p, |p| p.temperature = PhaseTemperature::Below(50.0)).unwrap_or(())
        },
        |c| matches!(c, Change::PhaseTemperature { .. }),
    ),
    (
        "steps",
        |f, _, p| {
            let step = Step { text: "Stir".to_owned(), temperature_c: None, minutes: Some(2.0) };
            f.update_phase(p, |p| p.steps.push(step)).unwrap_or(());
        },
        |c| matches!(c, Change::Steps { .. }),
    ),
    (
        "add line",
        |f, _, p| {
            let _ = f.add_line(p, spare(), None);
        },
        |c| matches!(c, Change::LineAdded { percent: None, .. }),
    ),
    (
        "replace",
        |f, l, _| f.set_item(l, spare()).unwrap_or(()),
        |c| matches!(c, Change::Replaced { .. }),
    ),
    (
        "amount",
        |f, l, _| f.set_amount(l, Some(Amount::percent(77.into()))).unwrap_or(()),
        |c| matches!(c, Change::Amount { .. }),
    ),
    (
        "lock",
        |f, l, _| {
            let locked = f.line(l).is_some_and(|l| l.locked);
            f.set_locked(l, !locked).unwrap_or(());
        },
        |c| matches!(c, Change::Locked { .. }),
    ),
    (
        "line notes",
        |f, l, _| f.set_line_notes(l, Vec::new(), "strained".to_owned()).unwrap_or(()),
        |c| matches!(c, Change::LineNote { .. }),
    ),
    (
        "alternatives",
        |f, l, _| {
            let other = Alternative { item: spare(), ratio: Decimal::ONE, note: String::new() };
            f.set_line_notes(l, vec![other], String::new()).unwrap_or(());
        },
        |c| matches!(c, Change::Alternatives { .. }),
    ),
    (
        "fills",
        |f, l, _| f.set_fills(if f.fills == Some(l) { None } else { Some(l) }).unwrap_or(()),
        |c| matches!(c, Change::Fills { .. }),
    ),
];

proptest! {
    #[test]
    fn nothing_differs_from_itself(f in formula()) {
        prop_assert_eq!(differences(&f, &f), Vec::new());
        prop_assert_eq!(differences(&f, &next(&f)), Vec::new(), "a version's identity is no content");
    }

    #[test]
    fn the_other_way_round_is_the_mirror(a in formula(), b in formula(), kin in any::<bool>()) {
        let mut b = b;
        if !kin {
            b.id = FormulaId::new("b");
        }
        let there = kinds(&differences(&a, &b), false);
        let back = kinds(&differences(&b, &a), true);
        prop_assert_eq!(there, back);
    }

    #[test]
    fn one_edit_shows_as_one_change_of_its_kind(
        f in formula(),
        which in 0..EDITS.len(),
        line in any::<proptest::sample::Index>(),
        phase in any::<proptest::sample::Index>(),
    ) {
        let ids: Vec<LineId> = f.lines().map(|(_, l)| l.id).collect();
        prop_assume!(!ids.is_empty());
        let (line, phase) = (*line.get(&ids), phase.get(&f.phases).id);
        let (name, edit, is) = EDITS[which];
        let mut changed = next(&f);
        edit(&mut changed, line, phase);
        let found = differences(&f, &changed);
        if changed.phases == f.phases && changed.fills == f.fills && which > 6 {
            // The edit set what was there already.
            prop_assert!(found.is_empty(), "{}: {:?}", name, found);
            return Ok(());
        }
        // What fills to 100 follows of itself; a fill line's own amount is not used.
        let told: Vec<_> = found.iter().filter(|c| !matches!(c, Change::Rest { .. })).collect();
        if name == "amount" && f.fills == Some(line) {
            prop_assert!(found.is_empty(), "{:?}", found);
        } else {
            prop_assert!(told.len() == 1 && is(told[0]), "{}: {:?}", name, found);
        }
        if f.fills.is_none() && name != "fills" {
            prop_assert_eq!(told.len(), found.len());
        }
    }

    #[test]
    fn a_line_that_goes_or_moves_is_told(f in formula(), line in any::<proptest::sample::Index>()) {
        let ids: Vec<LineId> = f.lines().map(|(_, l)| l.id).collect();
        prop_assume!(!ids.is_empty());
        let line = *line.get(&ids);
        let item = f.line(line).unwrap().item.clone();
        let mut without = next(&f);
        without.remove_line(line).unwrap();
        let found = differences(&f, &without);
        let gone = found.iter().filter(|c| matches!(c, Change::LineRemoved { item: i, .. } if *i == item));
        prop_assert_eq!(gone.count(), 1, "{:?}", found);

        let mut moved = next(&f);
        let target = moved.add_phase("Elsewhere", PhaseKind::CoolDown, PhaseTemperature::Unstated);
        moved.move_line(line, target, 0).unwrap();
        let found = differences(&f, &moved);
        let to_there = |c: &&Change| matches!(c, Change::Moved { item: i, to, .. } if *i == item && to == "Elsewhere");
        prop_assert_eq!(found.iter().filter(to_there).count(), 1, "{:?}", found);
        prop_assert_eq!(found.len(), 2, "the phase and the move: {:?}", found);
    }

    #[test]
    fn every_change_has_words_that_name_it(a in formula(), b in formula()) {
        let name = |item: &Item| match item {
            Item::Material(id) => format!("<{id}>"),
            Item::Formula(id) => format!("<{id}>"),
        };
        let style = ChangeStyle { name: &name, number: NumberStyle::default() };
        let changes = differences(&a, &b);
        for change in &changes {
            let words = change.words(&style);
            prop_assert!(!words.trim().is_empty() && !words.ends_with('.'), "{}", words);
            if let Change::Amount { item, .. } | Change::LineAdded { item, .. } = change {
                prop_assert!(words.contains(&name(item)), "{}", words);
            }
        }
    }
}

fn words(changes: &[Change]) -> Vec<String> {
    let name = |item: &Item| match item {
        Item::Material(id) => id.to_string(),
        Item::Formula(id) => id.to_string(),
    };
    let number = NumberStyle { sign: DecimalSign::Comma, ..NumberStyle::default() };
    changes.iter().map(|c| c.words(&ChangeStyle { name: &name, number })).collect()
}

/// A bar and a later version of it, each sentence checked by hand.
#[test]
fn a_version_told_in_words() {
    let mut a = Formula::empty(FormulaId::new("a"), "Bar");
    let melt = a.phases[0].id;
    let d = |text: &str| text.parse::<Decimal>().unwrap();
    let add = |f: &mut Formula, phase, item: &str, amount: Option<&str>| {
        let line = f.add_line(phase, Item::Material(MaterialId::new(item)), None).unwrap();
        f.set_amount(line, amount.map(|t| Amount::percent(d(t)))).unwrap();
        line
    };
    let butter = add(&mut a, melt, "butter", Some("30"));
    let beads = add(&mut a, melt, "beads", Some("2.4"));
    let base = add(&mut a, melt, "base", None);
    let scent = add(&mut a, melt, "scent", Some("1"));
    a.set_fills(Some(base)).unwrap();

    let mut b = next(&a);
    b.set_amount(butter, Some(Amount::percent(d("28.5")))).unwrap();
    b.set_item(beads, Item::Material(MaterialId::new("fine beads"))).unwrap();
    let cool = b.add_phase("Cool-down", PhaseKind::CoolDown, PhaseTemperature::Below(45.0));
    b.move_line(scent, cool, 0).unwrap();
    let share = Amount {
        typed: d("1"),
        unit: AmountUnit::Parts,
        percent: crate::quantity::Percent(d("1")),
    };
    b.set_amount(scent, Some(share)).unwrap();
    add(&mut b, cool, "vitamin e", Some("0.3333333333"));
    assert_eq!(
        words(&differences(&a, &b)),
        [
            "New phase Cool-down",
            "butter down from 30 to 28,5 %",
            "fine beads in place of beads",
            "base, which fills to 100, up from 66,6 to 67,7667 %",
            "scent: the same amount, typed as 1 part instead of 1 %",
            "scent moved from Melt to Cool-down",
            "vitamin e added to Cool-down, 0,3333 %",
        ]
    );
    // Too little to be seen at four decimals is told in full.
    let mut c = next(&a);
    c.set_amount(butter, Some(Amount::percent(d("30.0000000001")))).unwrap();
    assert_eq!(words(&differences(&a, &c))[0], "butter up from 30 to 30,0000000001 %");
}

#[test]
fn unrelated_formulas_are_matched_by_what_they_hold() {
    let mut a = Formula::empty(FormulaId::new("a"), "One");
    let mut b = Formula::empty(FormulaId::new("b"), "One");
    let phase = a.phases[0].id;
    a.add_line(phase, material(1), None).unwrap();
    a.add_line(phase, material(2), None).unwrap();
    b.add_line(phase, material(3), None).unwrap();
    b.add_line(phase, material(2), None).unwrap();
    let found = differences(&a, &b);
    assert!(
        matches!(found[..], [Change::LineRemoved { .. }, Change::LineAdded { .. }]),
        "{found:?}"
    );
    // In a version of the same formula the line was given another material.
    b.id = a.id.clone();
    let found = differences(&a, &b);
    assert!(matches!(found[..], [Change::Replaced { .. }]), "{found:?}");
    b.id = FormulaId::new("b");
    b.version.parent = Some((a.id.clone(), 1));
    assert_eq!(differences(&a, &b), found, "a copy is followed like a version");
}

#[test]
fn order_is_told_once() {
    let mut a = Formula::empty(FormulaId::new("a"), "One");
    let phase = a.phases[0].id;
    let ids: Vec<LineId> = (1..5).map(|n| a.add_line(phase, material(n), None).unwrap()).collect();
    a.add_phase("Cool", PhaseKind::CoolDown, PhaseTemperature::Unstated);
    let mut b = next(&a);
    b.move_line(ids[0], phase, 3).unwrap();
    assert_eq!(differences(&a, &b), [Change::LineOrder { phase: "Melt".to_owned() }]);
    b.phases.swap(0, 1);
    assert!(differences(&a, &b).contains(&Change::PhaseOrder));
}

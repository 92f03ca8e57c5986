use proptest::prelude::*;

use super::*;
use crate::number::{DecimalSign, NumberStyle};

const POINT: NumberStyle = NumberStyle::with_sign(DecimalSign::Point);

fn percent(text: &str) -> Percent {
    Percent(text.parse().unwrap())
}

fn item(name: &str, of: &str, kind: ItemKind, sources: &[&str]) -> ListItem {
    let sources = sources.iter().map(|s| (*s).to_owned()).collect();
    ListItem { name: name.to_owned(), percent: percent(of), kind, sources, group_key: None }
}

fn plain(name: &str, of: &str) -> ListItem {
    item(name, of, ItemKind::Ordinary, &[])
}

fn keyed(name: &str, of: &str, key: &str) -> ListItem {
    ListItem { group_key: Some(key.to_owned()), ..plain(name, of) }
}

fn allergen(name: &str, of: &str) -> AllergenItem {
    AllergenItem { name: name.to_owned(), percent: percent(of) }
}

fn eu() -> OrderRules {
    OrderRules::eu(Contact::RinseOff)
}

#[test]
fn one_name_is_one_entry() {
    let list = order(
        &[
            item("Glycerin", "0.6", ItemKind::Ordinary, &["Plant glycerol"]),
            plain("Aqua", "5"),
            item(" glycerin ", "0.7", ItemKind::Ordinary, &["Extract  in glycerol", ""]),
        ],
        &[],
        &eu(),
    );
    assert_eq!(list.text(), "Ingredients: Aqua, glycerin");
    let merged = &list.entries[1];
    assert!(merged.is_merged() && !list.entries[0].is_merged());
    assert_eq!((merged.percent, merged.zone), (percent("1.3"), Zone::Ordered));
    assert_eq!(merged.sources, ["Extract in glycerol", "Plant glycerol"]);
    assert_eq!(
        merged.words(POINT),
        "1.30 %, above 1 %: by amount; summed: 0.70 % from Extract in glycerol, 0.60 % from Plant \
         glycerol"
    );
}

#[test]
fn a_key_joins_names_over_any_number_of_steps() {
    let list = order(
        &[
            keyed("Candelilla Cera", "1", "8006-44-8"),
            keyed("Euphorbia Cerifera Cera", "2", "8006-44-8"),
            plain("Candelilla cera", "0.5"),
            keyed("Other", "1", " "),
            keyed("Aqua", "1", ""),
        ],
        &[],
        &eu(),
    );
    assert_eq!(list.text(), "Ingredients: Euphorbia Cerifera Cera, Aqua, Other");
    assert_eq!(list.entries[0].percent, percent("3.5"));
    assert_eq!(list.entries[0].parts.len(), 3);
}

#[test]
fn nano_stands_apart_from_coarse() {
    let list = order(
        &[
            item("Titanium Dioxide", "3", ItemKind::Nano, &[]),
            plain("Titanium Dioxide", "4"),
            plain("Titanium Dioxide (NANO)", "2"),
            item("CI 77891 (nano)", "9", ItemKind::Colour, &[]),
        ],
        &[],
        &eu(),
    );
    let names = "Ingredients: Titanium Dioxide (nano), Titanium Dioxide, CI 77891 (nano)";
    assert_eq!(list.text(), names);
    let blank = order(&[plain("(nano)", "1")], &[], &eu());
    assert_eq!((blank.text(), blank.left_out[0].reason), (String::new(), LeftReason::NoName));
}

#[test]
fn colours_stand_last_by_name_unless_they_are_more_than_colour() {
    let items = [
        item("CI 77492", "4", ItemKind::Colour, &[]),
        item("CI 77491", "0.1", ItemKind::Colour, &[]),
        item("Mica", "3", ItemKind::Colour, &[]),
        plain("Mica", "0.5"),
        plain("Aqua", "0.2"),
    ];
    let last = order(&items, &[allergen("Linalool", "0.02")], &eu());
    assert_eq!(last.text(), "Ingredients: Mica, Aqua, Linalool, CI 77491, CI 77492");
    assert_eq!(last.entries[4].words(POINT), "4.00 %, colourant: after all others, by name");
    let by_amount = order(&items, &[], &OrderRules { colours_last: false, ..eu() });
    assert_eq!(by_amount.text(), "Ingredients: CI 77492, Mica, Aqua, CI 77491");
}

#[test]
fn allergens_stand_once_and_where_they_belong() {
    let items = [plain("Aqua", "50"), plain("Benzyl Alcohol", "0.8"), plain("Zinc", "0.01")];
    let allergens = [
        allergen("BENZYL ALCOHOL", "0.81"),
        allergen("Limonene", "2"),
        allergen("Linalool", "0.01"),
        allergen("linalool", "0.01"),
        allergen("Geraniol", "0.02"),
        allergen("Citral", "0.01"),
        allergen("Eugenol", "0"),
    ];
    let list = order(&items, &allergens, &eu());
    let names = "Aqua, Limonene, Benzyl Alcohol, Geraniol, Linalool, Zinc";
    assert_eq!(list.text(), format!("Ingredients: {names}"));
    assert_eq!(list.first_free, Some(2));
    let left: Vec<_> = list.left_out.iter().map(|l| (l.name.as_str(), l.reason)).collect();
    assert_eq!(
        left,
        [
            ("BENZYL ALCOHOL", LeftReason::AlreadyListed),
            ("Citral", LeftReason::NotAbove(percent("0.01"))),
            ("Eugenol", LeftReason::NotPositive),
        ]
    );
    let after = order(&items, &allergens, &OrderRules { allergens_after: true, ..eu() });
    let names = "Aqua, Limonene, Benzyl Alcohol, Zinc, Geraniol, Linalool";
    assert_eq!(after.text(), format!("Ingredients: {names}"));
    assert_eq!(after.entries[4].zone, Zone::Allergen);
    assert_eq!(
        after.entries[4].words(POINT),
        "0.02 %, fragrance allergen above 0.01 %: named in addition, after the other ingredients"
    );
    assert_eq!(
        list.entries[3].words(POINT),
        "0.02 %, fragrance allergen above 0.01 %: named in addition, in the free block by amount"
    );
}

#[test]
fn what_cannot_be_printed_is_reported() {
    let items = [plain("Aqua", "0"), plain("Oil", "-1"), plain(" ", "3"), plain("Salt", "2")];
    let list = order(&items, &[], &eu());
    assert_eq!(list.text(), "Ingredients: Salt");
    let words: Vec<_> = list.left_out.iter().map(|l| l.words(POINT)).collect();
    assert_eq!(
        words,
        [
            "An ingredient of 3.00 % has no name to print",
            "Aqua: 0.00 % is not above zero, so it is not printed",
            "Oil: \u{2212}1.00 % is not above zero, so it is not printed",
        ]
    );
    let nothing = order(&[], &[], &eu());
    assert_eq!((nothing.text(), nothing.first_free), (String::new(), None));
    let bare = order(&[plain("Salt", "2")], &[], &OrderRules { heading: " ".into(), ..eu() });
    assert_eq!(bare.text(), "Salt");
    let huge = plain("Salt", &Decimal::MAX.to_string());
    assert_eq!(order(&[huge.clone(), huge], &[], &eu()).entries.len(), 1);
}

#[test]
fn reasons_keep_to_their_side_of_an_edge() {
    for (of, rules, text) in [
        ("12", eu(), "12.00 %, above 1 %: by amount"),
        ("0.8", eu(), "0.80 %, below 1 %: the order is free here; sorted by amount"),
        ("1", eu(), "1.00 %, exactly 1 %: kept in the order by amount"),
        ("1", OrderRules::us(), "1.00 %, not above 1 %: the order is free here; sorted by amount"),
        ("1.0000000001", OrderRules::us(), "1.0000000001 %, above 1 %: by amount"),
        ("0.9996", eu(), "0.9996 %, below 1 %: the order is free here; sorted by amount"),
        ("0.00004", eu(), "0.00004 %, below 1 %: the order is free here; sorted by amount"),
        ("1e-12", eu(), "0.000000000001 %, below 1 %: the order is free here; sorted by amount"),
    ] {
        let of = of.parse().or_else(|_| Decimal::from_scientific(of)).unwrap();
        let list = order(&[ListItem { percent: Percent(of), ..plain("A", "1") }], &[], &rules);
        assert_eq!(words(&list.entries[0].why, POINT), text);
    }
    let list = order(&[plain("A", "0.8")], &[], &eu());
    let comma = NumberStyle::with_sign(DecimalSign::Comma);
    assert!(list.entries[0].words(comma).starts_with("0,80 %"));
}

fn items() -> impl Strategy<Value = Vec<ListItem>> {
    const NAMES: [&str; 9] =
        ["Aqua", "aqua", "Oil", "CI 77491", "Mica", "Linalool", "Salt (nano)", "Salt", " "];
    const KINDS: [ItemKind; 4] =
        [ItemKind::Ordinary, ItemKind::Colour, ItemKind::Fragrance, ItemKind::Nano];
    let one = (
        prop::sample::select(&NAMES[..]),
        prop_oneof![-5_i64..=50, 90_i64..=110, 100_i64..=4000],
        prop::sample::select(&KINDS[..]),
        prop::option::of(prop::sample::select(vec!["x", "y"])),
    );
    let one = one.prop_map(|(name, hundredths, kind, key)| ListItem {
        name: name.to_owned(),
        percent: Percent(Decimal::new(hundredths, 2)),
        kind,
        sources: vec![format!("{hundredths}")],
        group_key: key.map(str::to_owned),
    });
    prop::collection::vec(one, 0..9)
}

fn some_rules() -> impl Strategy<Value = OrderRules> {
    (any::<bool>(), any::<bool>(), any::<bool>()).prop_map(|(ordered, last, after)| OrderRules {
        one_percent_ordered: ordered,
        colours_last: last,
        allergens_after: after,
        ..eu()
    })
}

proptest! {
    #[test]
    fn the_order_given_makes_no_difference(
        (one, other) in items().prop_flat_map(|i| (Just(i.clone()), Just(i).prop_shuffle())),
        rules in some_rules(),
    ) {
        let allergens = [allergen("Linalool", "0.5"), allergen("Citral", "1"), allergen("linalool", "0.6")];
        let mut turned = allergens.clone();
        turned.reverse();
        let list = order(&one, &allergens, &rules);
        prop_assert_eq!(&list, &order(&other, &turned, &rules));
    }

    #[test]
    fn halves_make_the_whole(whole in items(), at in any::<prop::sample::Index>(), rules in some_rules()) {
        let allergens = [allergen("Linalool", "0.5"), allergen("Citral", "1")];
        let mut split = whole.clone();
        if !split.is_empty() {
            let half = at.get_mut(&mut split);
            half.percent = half.percent.times(Decimal::new(5, 1));
            let half = half.clone();
            split.push(half);
        }
        let (one, other) = (order(&whole, &allergens, &rules), order(&split, &allergens, &rules));
        prop_assert_eq!(one.text(), other.text());
        prop_assert_eq!(one.first_free, other.first_free);
    }

    #[test]
    fn the_list_holds_its_rules(items in items(), rules in some_rules()) {
        let list = order(&items, &[allergen("Citral", "0.02")], &rules);
        let given: Percent = items.iter().filter(|i| i.percent.0 > Decimal::ZERO && !i.name.trim().is_empty()).map(|i| i.percent).sum();
        let printed: Percent = list.entries.iter().filter(|e| e.name != "Citral").map(|e| e.percent).sum();
        prop_assert_eq!(given, printed);
        prop_assert!(list.entries.is_sorted_by_key(|e| e.zone));
        for pair in list.entries.windows(2) {
            if pair[0].zone == pair[1].zone && pair[0].zone != Zone::Colour {
                prop_assert!(pair[0].percent >= pair[1].percent);
            }
        }
        for entry in list.entries.iter().filter(|e| matches!(e.zone, Zone::Ordered | Zone::Free)) {
            prop_assert_eq!(entry.zone == Zone::Ordered, rules.is_ordered(entry.percent));
        }
        let mut names: Vec<String> = list.entries.iter().map(|e| e.name.to_lowercase()).collect();
        names.sort();
        names.dedup();
        prop_assert_eq!(names.len(), list.entries.len());
    }
}

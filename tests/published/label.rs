//! What the pack says: order of the list, content, durability, letter heights.

use quern_calc::formula::Contact;
use quern_calc::label::{
    AllergenItem, BatchPattern, Durability, DurabilityNote, DurabilityRule, FLUID_OUNCE_ML,
    HeightRule, HeightVerdict, IngredientList, ItemKind, LeftReason, ListItem, NetContent, OUNCE_G,
    Opened, OrderRules, Panel, Shortfall, Zone, best_before, check_height, durability,
    eu_figure_height_mm, mm_from_inches, order, shortfall, tne, us_type_height,
};
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Date;

use crate::{d, grams, percent};

fn item(name: &str, of: &str) -> ListItem {
    kind(name, of, ItemKind::Ordinary)
}

fn kind(name: &str, of: &str, kind: ItemKind) -> ListItem {
    let (name, percent) = (name.to_owned(), percent(of));
    ListItem { name, percent, kind, sources: Vec::new(), group_key: None }
}

fn allergen(name: &str, of: &str) -> AllergenItem {
    AllergenItem { name: name.to_owned(), percent: percent(of) }
}

fn eu() -> OrderRules {
    OrderRules::eu(Contact::RinseOff)
}

fn zone(list: &IngredientList, name: &str) -> Zone {
    list.entries.iter().find(|e| e.name == name).unwrap().zone
}

fn date(text: &str) -> Date {
    Date::parse(text).unwrap()
}

/// Regulation (EC) 1223/2009, Article 19(1)(g), and 21 CFR 701.3(f)(2): exactly 1 % stays in order
/// in the EU (the cautious reading) and may stand free in the United States.
#[test]
fn four_ingredients_in_both_orders() {
    let items = [item("A", "5.0"), item("B", "1.0"), item("C", "0.9"), item("D", "1.2")];
    let european = order(&items, &[], &eu());
    assert_eq!(european.text(), "Ingredients: A, D, B, C");
    assert_eq!(european.first_free, Some(3));
    let american = order(&items, &[], &OrderRules::us());
    assert_eq!(american.text(), "Ingredients: A, D, B, C");
    assert_eq!(american.first_free, Some(2));
}

/// The same rules at their edge.
#[test]
fn one_per_cent_from_both_sides() {
    for (of, european, american) in [
        ("0.9999999999", Zone::Free, Zone::Free),
        ("1.000", Zone::Ordered, Zone::Free),
        ("1.0000000001", Zone::Ordered, Zone::Ordered),
    ] {
        let items = [item("Aqua", "50"), item("B", of)];
        assert_eq!(zone(&order(&items, &[], &eu()), "B"), european, "{of} % in the EU");
        assert_eq!(zone(&order(&items, &[], &OrderRules::us()), "B"), american, "{of} % in the US");
    }
}

/// Article 19(1)(g), from memory: a colourant of 4 % stands behind 1 %.
#[test]
fn a_colourant_stands_last() {
    let items = [
        kind("CI 77491", "4", ItemKind::Colour),
        item("Talc", "90"),
        item("Mica", "5"),
        item("Squalane", "1"),
    ];
    for rules in [eu(), OrderRules::us()] {
        let text = order(&items, &[], &rules).text();
        assert_eq!(text, "Ingredients: Talc, Mica, Squalane, CI 77491");
    }
}

/// Common practice: one name in two materials is summed before sorting.
#[test]
fn two_halves_of_more_than_one_per_cent() {
    let list = order(&[item("Glycerin", "0.6"), item("Glycerin", "0.6")], &[], &eu());
    assert_eq!(list.entries.len(), 1);
    assert_eq!((list.entries[0].percent, list.entries[0].zone), (percent("1.2"), Zone::Ordered));
    assert!(list.entries[0].is_merged());
}

/// Article 19(1)(g).
#[test]
fn nano_is_said() {
    let list = order(&[kind("Titanium Dioxide", "3", ItemKind::Nano)], &[], &eu());
    assert_eq!(list.text(), "Ingredients: Titanium Dioxide (nano)");
}

/// Common practice: descending, then by name, below 1 % too.
#[test]
fn the_free_block_is_always_the_same() {
    let items = [item("Tocopherol", "0.1"), item("Xanthan Gum", "0.3"), item("Allantoin", "0.1")];
    let text = order(&items, &[], &eu()).text();
    assert_eq!(text, "Ingredients: Xanthan Gum, Allantoin, Tocopherol");
}

/// A rinse-off bar, made up for this test. The labelling guide of the FDA shows the two orders by
/// an example of its own, whose figures were not at hand.
#[test]
fn a_bar_in_both_orders() {
    let bar = |parfum: &str| {
        vec![
            kind("CI 77492", "1.00", ItemKind::Colour),
            item("Tocopherol", "0.10"),
            item("Benzyl Alcohol", "0.80"),
            kind(parfum, "1.00", ItemKind::Fragrance),
            item("Dehydroacetic Acid", "0.10"),
            item("Juglans Regia Shell Powder", "2.00"),
            item("Aqua", "5.00"),
            item("Helianthus Annuus Seed Oil", "7.00"),
            item("Cetearyl Alcohol", "9.00"),
            item("Zea Mays Starch", "12.00"),
            item("Stearic Acid", "22.00"),
            item("Sodium Cocoyl Isethionate", "40.00"),
        ]
    };
    let inside = [
        allergen("Limonene", "0.008"),
        allergen("Linalool", "0.02"),
        allergen("Benzyl Alcohol", "0.80"),
    ];
    let list = order(&bar("Parfum"), &inside, &eu());
    assert_eq!(
        list.text(),
        "Ingredients: Sodium Cocoyl Isethionate, Stearic Acid, Zea Mays Starch, Cetearyl Alcohol, \
         Helianthus Annuus Seed Oil, Aqua, Juglans Regia Shell Powder, Parfum, Benzyl Alcohol, \
         Dehydroacetic Acid, Tocopherol, Linalool, CI 77492"
    );
    assert_eq!(list.first_free, Some(8));
    let left: Vec<_> = list.left_out.iter().map(|l| (l.name.as_str(), l.reason)).collect();
    assert_eq!(
        left,
        [
            ("Benzyl Alcohol", LeftReason::AlreadyListed),
            ("Limonene", LeftReason::NotAbove(percent("0.01")))
        ]
    );
    let american = order(&bar("Fragrance"), &[], &OrderRules::us());
    assert_eq!(
        american.text(),
        "Ingredients: Sodium Cocoyl Isethionate, Stearic Acid, Zea Mays Starch, Cetearyl Alcohol, \
         Helianthus Annuus Seed Oil, Aqua, Juglans Regia Shell Powder, Fragrance, Benzyl Alcohol, \
         Dehydroacetic Acid, Tocopherol, CI 77492"
    );
    // One place further up: Fragrance is the first whose order is free.
    assert_eq!(american.first_free, Some(7));
    assert_eq!(zone(&american, "CI 77492"), Zone::Colour);
}

/// Annex III of Regulation (EC) 1223/2009 with Regulation (EU) 2023/1545: named where it exceeds
/// 0.001 % in what stays on or 0.01 % in what is rinsed off; the edge does not exceed itself.
#[test]
fn allergens_from_both_sides() {
    for (contact, of, named) in [
        (Contact::RinseOff, "0.01", false),
        (Contact::RinseOff, "0.0100000001", true),
        (Contact::LeaveOn, "0.001", false),
        (Contact::LeaveOn, "0.0010000001", true),
    ] {
        let list =
            order(&[item("Aqua", "50")], &[allergen("Linalool", of)], &OrderRules::eu(contact));
        assert_eq!(list.text().contains("Linalool"), named, "{of} %, {}", contact.name());
    }
}

/// Article 19(1)(c): a date up to and including 30 months; above, the open jar.
#[test]
fn durability_from_both_sides_of_30_months() {
    let of = |months, opened: Option<u32>| {
        durability(Some(Durability { months }), opened.map(|months| Opened { months }), true)
    };
    for months in [24, 29, 30] {
        let dated = of(months, Some(12));
        assert_eq!((dated.rule, dated.symbol), (Some(DurabilityRule::BestBefore), None));
    }
    for months in [31, 36] {
        let open = of(months, Some(12));
        assert_eq!(open.rule, Some(DurabilityRule::AfterOpening));
        assert_eq!(open.symbol.as_deref(), Some("12M"));
        assert!(of(months, None).notes.contains(&DurabilityNote::OpenedBlank));
    }
    assert_eq!(durability(None, None, true).notes, [DurabilityNote::NothingKnown]);
}

/// Article 19(1)(c) for the two forms. That the month form names the last whole month is common
/// practice; the calendar is Gregorian (29 February in 2024, 2028 and 2000, not in 2100).
#[test]
fn dates_of_minimum_durability() {
    for (made, months, day, month) in [
        ("2026-01-15", 24, "15/01/2028", "12/2027"),
        ("2026-01-31", 1, "28/02/2026", "02/2026"),
        ("2024-01-31", 1, "29/02/2024", "02/2024"),
        ("2024-02-29", 12, "28/02/2025", "02/2025"),
        ("2024-02-29", 48, "29/02/2028", "02/2028"),
        ("2023-02-28", 12, "28/02/2024", "01/2024"),
        ("2096-02-29", 48, "28/02/2100", "02/2100"),
        ("1999-02-28", 12, "28/02/2000", "01/2000"),
        ("2026-10-31", 30, "30/04/2029", "04/2029"),
        ("2026-12-31", 12, "31/12/2027", "12/2027"),
        ("2026-12-01", 1, "01/01/2027", "12/2026"),
        ("2026-11-30", 1, "30/12/2026", "11/2026"),
    ] {
        let best = best_before(date(made), months).unwrap();
        assert_eq!(best.day_text(), day, "{made} + {months}");
        assert_eq!(best.month_text(), month, "{made} + {months}");
    }
}

/// Avoirdupois ounce and fluid ounce: NIST Handbook 44, Appendix C, from memory; the second from
/// 231 cubic inches of 25.4 mm in a gallon. The ounces are worked by hand.
#[test]
fn ounces() {
    assert_eq!(OUNCE_G, d("28.349523125"));
    assert_eq!(OUNCE_G * d("16"), d("453.59237"));
    assert_eq!(FLUID_OUNCE_ML, d("29.5735295625"));
    assert_eq!(FLUID_OUNCE_ML * d("128"), d("231") * d("2.54") * d("2.54") * d("2.54"));
    for (mass, exact, printed, words) in [
        ("100", "3.527", "3.5", "Net Wt 3.5 oz (100 g)"),
        ("80", "2.822", "2.8", "Net Wt 2.8 oz (80 g)"),
    ] {
        assert_eq!((d(mass) / OUNCE_G).round_dp(3), d(exact));
        let content = NetContent::Grams(grams(mass));
        assert_eq!(content.us_ounces(), Some(d(printed)));
        assert_eq!(content.us_words().as_deref(), Some(words));
    }
    assert_eq!((d("250") / FLUID_OUNCE_ML).round_dp(4), d("8.4535"));
    let liquid = NetContent::Millilitres(d("250"));
    assert_eq!(liquid.us_words().as_deref(), Some("8.4 fl oz (250 ml)"));
}

/// Article 19(1)(b): not below 5 g or 5 ml.
#[test]
fn small_packs_need_no_statement() {
    for (amount, required) in [("4.5", false), ("4.9999999999", false), ("5.0", true)] {
        assert_eq!(NetContent::Grams(grams(amount)).eu_statement_required(), Some(required));
        assert_eq!(NetContent::Millilitres(d(amount)).eu_statement_required(), Some(required));
    }
    let style = NumberStyle::default();
    let metric = |content: NetContent| content.metric_words(style).unwrap();
    assert_eq!(metric(NetContent::Grams(grams("1500"))), "1.5 kg");
    assert_eq!(metric(NetContent::Millilitres(d("250"))), "250 ml");
}

/// Directive 76/211/EEC, Annex I, 2.4; the rows as in Saint Lucia, Metrology Act, Schedule 5. At
/// each edge both rows give the same figure. A tenth is the step of what is rounded (from memory).
#[test]
fn tolerable_negative_errors() {
    for (nominal, error) in [
        ("5", "0.5"),
        ("10", "0.9"),
        ("49.9", "4.5"),
        ("50", "4.5"),
        ("50.1", "4.5"),
        ("75", "4.5"),
        ("100", "4.5"),
        ("100.1", "4.6"),
        ("150", "6.8"),
        ("199.9", "9"),
        ("200", "9"),
        ("200.1", "9"),
        ("250", "9"),
        ("300", "9"),
        ("300.1", "9.1"),
        ("400", "12"),
        ("500", "15"),
        ("500.1", "15"),
        ("1000", "15"),
        ("1000.1", "15.1"),
        ("10000", "150"),
    ] {
        assert_eq!(tne(d(nominal)).unwrap().error, d(error), "{nominal}");
    }
    assert_eq!((tne(d("4.9999")), tne(d("10000.0001"))), (None, None));
}

/// The same directive: no pack may be short by more than twice the error. 100 g, worked by hand.
#[test]
fn one_short_pack() {
    for (actual, found) in [
        ("101", Shortfall::Within),
        ("95.5", Shortfall::Within),
        ("95.4", Shortfall::BeyondOnce),
        ("91.0", Shortfall::BeyondOnce),
        ("90.9", Shortfall::BeyondTwice),
    ] {
        assert_eq!(shortfall(d("100"), d(actual)), Some(found), "{actual} g");
    }
}

/// Directive 76/211/EEC, Annex I, 3.1, as summarised by a testing service.
#[test]
fn heights_of_european_figures() {
    for (amount, mm) in [
        ("5", "2"),
        ("50", "2"),
        ("50.0001", "3"),
        ("200", "3"),
        ("200.0001", "4"),
        ("1000", "4"),
        ("1000.0001", "6"),
    ] {
        let content = NetContent::Grams(grams(amount));
        assert_eq!(eu_figure_height_mm(content), Some(d(mm)), "{amount} g");
        assert_eq!(eu_figure_height_mm(NetContent::Millilitres(d(amount))), Some(d(mm)));
        let verdict = check_height(d(mm), HeightRule::EuContent(content)).verdict;
        assert_eq!(verdict, HeightVerdict::Reaches);
    }
}

/// 21 CFR 701.10 and 701.13(i), as summarised in guides to labelling; above 100 square inches from
/// memory. A jar 3 in high and 9 in round: 0.40 x 27 = 10.8 square inches, so 1/8 in.
#[test]
fn heights_by_display_panel() {
    let (height, circumference) = (mm_from_inches(d("3")), mm_from_inches(d("9")));
    let jar = Panel::Cylinder { height, circumference };
    assert_eq!(jar.area_sq_in(), Some(d("10.8")));
    assert_eq!(us_type_height(jar.area_mm2().unwrap()).unwrap().to_string(), "1/8 in");
    for (square_inches, height, mm) in [
        ("0.1", "1/16 in", "1.5875"),
        ("5", "1/16 in", "1.5875"),
        ("5.0001", "1/8 in", "3.175"),
        ("25", "1/8 in", "3.175"),
        ("25.0001", "3/16 in", "4.7625"),
        ("100", "3/16 in", "4.7625"),
        ("100.0001", "1/4 in", "6.35"),
        ("400", "1/4 in", "6.35"),
        ("400.0001", "1/2 in", "12.7"),
    ] {
        let least = us_type_height(d(square_inches) * d("645.16")).unwrap();
        assert_eq!((least.to_string().as_str(), least.mm()), (height, d(mm)), "{square_inches}");
    }
}

/// 21 CFR 701.3(b): 1/16 in; 1/32 in below 12 square inches (as summarised). In the EU no height is
/// laid down; 1.2 mm is from Regulation (EU) 1169/2011 on food (from memory).
#[test]
fn heights_of_the_ingredient_list() {
    let room = |square_inches: &str| HeightRule::UsIngredients {
        surface_mm2: Some(d(square_inches) * d("645.16")),
    };
    for (rule, least) in [
        (HeightRule::UsIngredients { surface_mm2: None }, Some(d("1.5875"))),
        (room("12"), Some(d("1.5875"))),
        (room("11.9999"), Some(d("0.79375"))),
        (HeightRule::EuIngredients, None),
    ] {
        assert_eq!(check_height(d("1"), rule).least_mm, least);
    }
    let european = check_height(d("1.2"), HeightRule::EuIngredients);
    assert_eq!(european.reference_mm, Some(d("1.2")));
    assert_eq!(european.verdict, HeightVerdict::NoLimit { reaches_reference: true });
}

/// Days of the year counted by hand: 1 March is the 60th, in a leap year the 61st (ISO 8601).
#[test]
fn days_of_the_year_in_batch_codes() {
    let pattern: BatchPattern = "{yyyy}{ddd}-{n:2}".parse().unwrap();
    for (day, code) in [
        ("2026-01-01", "2026001-03"),
        ("2026-03-01", "2026060-03"),
        ("2024-03-01", "2024061-03"),
        ("2024-02-29", "2024060-03"),
        ("1900-12-31", "1900365-03"),
        ("2000-12-31", "2000366-03"),
    ] {
        assert_eq!(pattern.code("", date(day), 3), code);
        let read = pattern.read_back(code).unwrap();
        assert_eq!((read.date, read.number), (Some(date(day)), Some(3)));
    }
}

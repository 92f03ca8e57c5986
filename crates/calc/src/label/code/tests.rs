use proptest::prelude::*;

use super::*;
use crate::batch::batch_code;

fn pattern(text: &str) -> BatchPattern {
    text.parse().unwrap()
}

fn date(text: &str) -> Date {
    Date::parse(text).unwrap()
}

#[test]
fn codes() {
    for (text, name, day, number, code) in [
        ("{name:3}-{yy}{ddd}-{n}", "Oat scrub", "2026-02-01", 7, "OAT-26032-7"),
        ("{name:3}-{yy}{ddd}-{n:2}", "Oat scrub", "2024-12-31", 7, "OAT-24366-07"),
        ("{yyyy}/{mm}/{dd} {n:3}", "", "2026-11-05", 1234, "2026/11/05 1234"),
        ("{name:5}", "Ö 4 é", "2026-01-01", 0, "XXXXX"),
        ("  LOT {n}  ", "a", "2026-01-01", 0, "LOT 0"),
    ] {
        assert_eq!(pattern(text).code(name, date(day), number), code, "{text}");
    }
}

#[test]
fn refusals_say_where() {
    use PatternErrorKind as Kind;
    for (text, column, kind) in [
        ("", 1, Kind::Empty),
        ("   ", 1, Kind::Empty),
        ("AB{day}", 3, Kind::UnknownToken("day".to_owned())),
        ("  {}", 3, Kind::UnknownToken(String::new())),
        ("{YY}", 1, Kind::UnknownToken("YY".to_owned())),
        ("{yy:2}", 1, Kind::UnknownToken("yy:2".to_owned())),
        ("{name}", 1, Kind::Width(12)),
        ("{name:0}", 1, Kind::Width(12)),
        ("{name:13}", 1, Kind::Width(12)),
        ("ä{n:}", 2, Kind::Width(6)),
        ("{n:+1}", 1, Kind::Width(6)),
        ("{n:999999999999999999999}", 1, Kind::Width(6)),
        ("A{yy", 2, Kind::Unclosed),
        ("A{yy{mm}", 2, Kind::Unclosed),
        ("A}", 2, Kind::Unopened),
        ("{yy}}", 5, Kind::Unopened),
        ("A\nB", 2, Kind::Unprintable('\n')),
        ("{name:12}{yyyy}{mm}{n}{dd}", 1, Kind::TooLong(25)),
    ] {
        let error = text.parse::<BatchPattern>().unwrap_err();
        assert_eq!(error, PatternError { column, kind }, "{text:?}");
        assert!(error.to_string().len() > 20);
    }
    assert!(pattern("{name:12}{yyyy}{mm}{n}-").code("Ab", Date::Y2K, 99_999).len() == 24);
    let long = "A".repeat(5000).parse::<BatchPattern>().unwrap_err();
    assert_eq!(long.column, 201);
}

#[test]
fn codes_are_read_back() {
    let read = |text: &str, code: &str| pattern(text).read_back(code);
    let both = |day: &str, number| Some(ReadBack { date: Some(date(day)), number: Some(number) });
    assert_eq!(read("{name:3}-{yy}{ddd}-{n}", "OAT-26032-7"), both("2026-02-01", 7));
    assert_eq!(read("{name:3}-{yy}{ddd}-{n}", " OAT-24366-70 "), both("2024-12-31", 70));
    assert_eq!(read("{yyyy}{mm}{dd}{n:2}", "20240229117"), both("2024-02-29", 117));
    let number = |number| Some(ReadBack { date: None, number: Some(number) });
    assert_eq!(read("{yy}{mm}-{n:2}", "2611-07"), number(7));
    assert_eq!(read("LOT", "LOT"), Some(ReadBack { date: None, number: None }));
    assert_eq!(read("{n}-{n}", "12-12"), number(12));
}

#[test]
fn other_codes_are_not_read() {
    let read = |text: &str, code: &str| pattern(text).read_back(code);
    for (text, code) in [
        ("{name:3}-{n}", "Oat-7"),
        ("{name:3}-{n}", "OAT-07"),
        ("{name:3}-{n}", "OAT-"),
        ("{name:3}-{n}", "ÄÖ-7"),
        ("{name:3}-{n}", ""),
        ("{n:2}", "7"),
        ("{n:2}", "007"),
        ("{n}", "99999999999"),
        ("{n}", "4294967296"),
        ("{yy}{ddd}", "25366"),
        ("{yy}{ddd}", "25000"),
        ("{yy}{mm}{dd}", "250229"),
        ("{mm}", "13"),
        ("{yyyy}", "0000"),
        ("{yyyy}-{yy}", "2026-27"),
        ("{mm}-{mm}", "01-02"),
        ("{ddd}{yy}{mm}", "0322603"),
        ("{n}-{n}", "1-2"),
        ("{n}{yy}x", "126"),
    ] {
        assert_eq!(read(text, code), None, "{text} {code}");
    }
}

#[test]
fn what_a_pattern_tells() {
    for (text, number, day) in [
        ("{name:2}-{yy}{mm}-{n:2}", true, false),
        ("{yy}{ddd}", false, true),
        ("{yyyy}{mm}{dd}-{n}", true, true),
        ("{mm}{dd}", false, false),
    ] {
        let pattern = pattern(text);
        assert_eq!((pattern.has_number(), pattern.has_day()), (number, day), "{text}");
        assert_eq!(pattern.to_string(), text);
    }
}

fn days() -> impl Strategy<Value = Date> {
    (2000_u16..=2099, 1_u8..=12, 1_u8..=31)
        .prop_filter_map("a day", |(year, month, day)| Date::new(year, month, day))
}

proptest! {
    #[test]
    fn the_proposal_is_one_of_the_patterns(name in ".{0,12}", day in days(), number in any::<u32>()) {
        let code = pattern("{name:2}-{yy}{mm}-{n:2}").code(&name, day, number);
        prop_assert_eq!(code, batch_code(&name, day, number));
    }

    #[test]
    fn what_is_written_is_read(name in ".{0,12}", day in days(), number in any::<u32>(), which in 0_usize..6) {
        let text = [
            "{name:3}-{yy}{ddd}-{n}",
            "{yyyy}{mm}{dd}{n:2}",
            "{n:3}/{dd}.{mm}.{yy}",
            "{n}{name:1}{ddd}{yyyy}",
            "Q{yy}{mm}{dd}-{n:6}",
            "{dd}{mm}{ddd}{yy}x{n}",
        ][which];
        let read = pattern(text).read_back(&pattern(text).code(&name, day, number));
        prop_assert_eq!(read, Some(ReadBack { date: Some(day), number: Some(number) }));
    }

    #[test]
    fn nothing_panics(text in any::<String>(), code in any::<String>(), parts in prop::collection::vec(
        prop::sample::select(vec!["{name:2}", "{yyyy}", "{yy}", "{mm}", "{dd}", "{ddd}", "{n}", "{n:3}", "1", "-", "{", "}", "ä"]), 0..9
    )) {
        let _ = text.parse::<BatchPattern>();
        if let Ok(pattern) = parts.concat().parse::<BatchPattern>() {
            let _ = pattern.read_back(&code);
            let made = pattern.code(&text, Date::Y2K, 11_111);
            prop_assert!(made.chars().count() <= BATCH_CODE_MOST);
            // Never a wrong answer: the right one, or none where it is open.
            if let Some(read) = pattern.read_back(&made) {
                prop_assert!(read.number.is_none_or(|n| n == 11_111));
                prop_assert!(read.date.is_none_or(|d| d == Date::Y2K));
            }
            prop_assert_eq!(pattern.to_string().parse::<BatchPattern>(), Ok(pattern));
        }
    }
}

//! Text from a user is text in every format.

use super::examples::{Example, bar};
use crate::{csv, html, markdown};

pub const NAMES: [&str; 10] = [
    "<script>alert(\"x\")</script>",
    "a|b\\c",
    "=HYPERLINK(\"http://example.org\")",
    "-2+3",
    "@SUM(A1)",
    "\u{645}\u{631}\u{62d}\u{628}\u{627} \u{202e}abc",
    "\u{1f33f} \"quoted\" 'single' & more",
    "#panic(1) *b* $x$ \\",
    "# heading\nsecond line",
    "#sys.inputs #include \"x\" \u{0}\u{7}",
];

fn hostile() -> Example {
    let mut example = bar();
    for (material, name) in example.materials.iter_mut().zip(NAMES) {
        material.inci = name.to_owned();
        material.names = vec![format!("{name}{name}")];
        material.form = String::new();
    }
    example.formula.name = "<b>#panic(1)</b> | =1+1".to_owned();
    example.formula.phases[0].name = "*melt* <i>".to_owned();
    example.formula.phases[0].steps[0].text = "=cmd|' /C calc'!A0 <img src=x>".to_owned();
    example.about.workshop = "</style><script>".to_owned();
    example.plan.code = "=DU".to_owned();
    example.line(1).note = "+note <u>".to_owned();
    example
}

#[test]
fn html_holds_no_tag_of_theirs() {
    let page = html(&hostile().sheet());
    for bad in ["<script", "<b>#panic", "<i>", "<img", "<u>", "alert(\"", "\u{202e}", "\u{0}"] {
        assert!(!page.contains(bad), "{bad}");
    }
    for good in [
        "&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt;",
        "\u{645}\u{631}\u{62d}\u{628}\u{627} abc",
        "\u{1f33f} &quot;quoted&quot; &#39;single&#39; &amp; more",
        "#panic(1) *b* $x$ \\",
        "# heading second line",
    ] {
        assert!(page.contains(good), "{good}");
    }
    assert_eq!(page.matches("</style>").count(), 1);
    assert!(page.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
    for needed in ["scope=\"col\"", "scope=\"row\"", "scope=\"rowgroup\"", "<caption>", "@page"] {
        assert!(page.contains(needed), "{needed}");
    }
    let own = html(&bar().sheet());
    assert!(
        !own.contains("http") && !own.contains("src=") && !own.contains("url("),
        "nothing is fetched"
    );
}

#[test]
fn markdown_holds_no_markup_of_theirs() {
    let text = markdown(&hostile().sheet());
    assert!(!text.contains("<script") && !text.contains("<b>") && !text.contains("<img"));
    assert!(text.contains("a\\|b\\\\c"));
    assert!(text.contains("\\#panic(1) \\*b\\* \\$x\\$ \\\\"));
    assert!(text.starts_with("# &lt;b&gt;#panic(1)&lt;/b&gt; \\| =1+1\n"));
    // Ten cells in every row, whatever the names hold.
    for row in text.lines().filter(|l| l.starts_with('|')) {
        let bars = row.replace("\\\\", "").replace("\\|", "").matches('|').count();
        assert_eq!(bars, 11, "{row}");
    }
}

#[test]
fn csv_holds_no_formula() {
    let bytes = csv(&hostile().sheet()).unwrap();
    let mut reader = ::csv::ReaderBuilder::new().flexible(false).from_reader(bytes.as_slice());
    let mut numbers = 0;
    for record in reader.records() {
        for cell in &record.unwrap() {
            if cell.starts_with(['=', '+', '-', '@', '\t', '\r']) {
                assert!(cell.parse::<rust_decimal::Decimal>().is_ok(), "{cell}");
            }
            numbers += usize::from(cell.parse::<rust_decimal::Decimal>().is_ok());
        }
    }
    assert!(numbers > 50);
    let text = String::from_utf8(bytes).unwrap();
    assert!(text.contains("'=HYPERLINK(\"\"http://example.org\"\")"));
    assert!(text.contains("'-2+3") && text.contains("'@SUM(A1)") && text.contains("'+note <u>"));
    assert!(text.contains("\u{1f33f} \"\"quoted\"\""));
}

#[test]
fn a_negative_number_stays_a_number_in_csv() {
    let mut example = bar();
    example.line(4).amount = Some(quern_calc::formula::Amount::percent("-2".parse().unwrap()));
    let text = String::from_utf8(csv(&example.sheet()).unwrap()).unwrap();
    assert!(text.contains("Theobroma Cacao Seed Butter,Cocoa butter,-2.00,,,,,,,"), "{text}");
}

#[cfg(feature = "pdf")]
#[test]
fn the_page_prints_them_as_they_stand() {
    let sheet = hostile().sheet();
    let printed = super::contents::bare(&super::pages::text(&sheet));
    for words in [
        "#panic(1) *b* $x$ \\",
        "<script>alert(x)</script>",
        "a|b\\c",
        "# heading second line",
        "=cmd|' /C calc'!A0 <img src=x>",
        "#sys.inputs #include x",
        "Some signs are not in the printed font",
        "U+1F33F",
    ] {
        assert!(printed.contains(&super::contents::bare(words)), "{words}:\n{printed}");
    }
    assert!(crate::pdf(&sheet).unwrap().starts_with(b"%PDF-"));
}

//! Both formats of the blend sheet hold everything, and no text turns into markup.

use quern_calc::formula::PhaseKind;
use quern_calc::grit::SizeData;

use super::blends::{Blends, crowd, demo};
use super::contents::{bare, untagged};
use super::hostile::NAMES;
use crate::{BlendSheet, Format, blend_html};

/// What a sheet says in each format, without markup and white space.
fn said(sheet: &BlendSheet) -> Vec<(&'static str, String)> {
    vec![
        ("HTML", bare(&untagged(&blend_html(sheet)))),
        #[cfg(feature = "pdf")]
        ("PDF", bare(&super::blend_pages::text(sheet))),
    ]
}

fn must_hold(sheet: &BlendSheet, wanted: &[&str]) {
    for (format, text) in said(sheet) {
        for words in wanted {
            assert!(text.contains(&bare(words)), "{format} lacks {words:?}:\n{text}");
        }
    }
}

fn with_everything(blends: &Blends) {
    let style = blends.about.style;
    let mut wanted = Vec::new();
    for row in blends.rows() {
        wanted.extend(row.values.iter().map(|v| v.text(style)));
        wanted.extend([row.name, row.difference]);
    }
    let figures = blends.figures();
    // What is said alike of every place opens a line of its own, with a capital.
    wanted.extend(figures.reasons(style).iter().map(|r| r.chars().skip(1).collect()));
    for grains in figures.evaluations.iter().filter_map(|e| e.grains.as_ref().ok()) {
        wanted.extend(grains.parts.iter().map(|p| p.name.clone()));
    }
    let wanted: Vec<&str> = wanted.iter().map(String::as_str).collect();
    must_hold(&blends.sheet(), &wanted);
}

#[test]
fn every_row_and_reason_appears() {
    with_everything(&demo(&["Dune", "Shingle"]));
    with_everything(&demo(&["Cairn"]));
    with_everything(&crowd(4, 6));
}

#[test]
fn what_was_looked_at_is_said() {
    let sheet = demo(&["Dune", "Shingle"]).sheet();
    must_hold(
        &sheet,
        &[
            "Exfoliant blends: Dune, Shingle",
            "25 November 2026 \u{b7} Coast workshop",
            "cut at 300 \u{b5}m",
            "Relative index from a wear model: 50 is a medium fruit-stone grade at 5 %. It ranks \
             blends; it is not a safety test, and no skin study stands behind its constants",
            "very gentle",
            "coarse",
            "spread",
            "draws of the model's constants",
            "against Quern guides 1 as of",
            "house guidance, not law",
            "Not looked at: swelling",
            "A qualified assessor decides before sale",
            "difference",
            "1.10 %",
            "159 / 194 / 236 \u{b5}m",
            "body scrub bar, rinse-off \u{b7} version 2, trial",
            "Cost of 100 g, EUR",
            "Quern 0.1.0 blend sheet \u{b7} checked against Quern guides 1 \u{b7} library 1",
        ],
    );
    for (format, text) in said(&sheet) {
        assert!(!text.to_lowercase().contains("compliant"), "{format}");
        assert_eq!(text.matches("safe").count(), text.matches("safetytest").count(), "{format}");
    }
    assert_eq!(sheet.title(), "Exfoliant blends: Dune, Shingle");
    assert_eq!(sheet.file_name(Format::Pdf), "Exfoliant blends Dune, Shingle.pdf");
}

#[test]
fn a_formula_without_exfoliants_says_so() {
    for names in [&["Fen"][..], &["Dune", "Fen"], &["Fen", "Dune", "Shingle", "Cairn"]] {
        let sheet = demo(names).sheet();
        must_hold(&sheet, &["Fen", "No figures: no exfoliant"]);
    }
    must_hold(&demo(&["Fen"]).sheet(), &["so there is nothing to draw", "0.64"]);
    must_hold(&demo(&["Dune", "Fen"]).sheet(), &["Dune", "2.90", "\u{2013}"]);
}

#[test]
fn no_blend_and_too_many_are_survived() {
    let none = demo(&[]).sheet();
    must_hold(&none, &["Exfoliant blends: none chosen", "so there is nothing to draw"]);
    let mut blends = demo(&["Dune"; 6]);
    blends.with_spread = false;
    let sheet = blends.sheet();
    // The same version four times.
    must_hold(&sheet, &["Dune, version 4 (1)", "Dune, version 4 (4)"]);
    for (format, text) in said(&sheet) {
        assert!(!text.contains("Dune,version4(5)"), "{format}");
        assert!(!text.contains("spread"), "{format}");
    }
}

#[test]
fn unknown_sizes_prices_and_single_sizes_are_named() {
    let mut blends = demo(&["Dune", "Shingle"]);
    blends.each_exfoliant(|_, m| {
        if m.display_name().starts_with("Rice") {
            m.grain = None;
        }
        if m.display_name().starts_with("Jojoba") {
            m.price = None;
        }
        if m.display_name().starts_with("Olive")
            && let Some(grain) = &mut m.grain
        {
            grain.value.sizes = SizeData::Lognormal { d50_um: 700.0, sigma: 0.0 };
        }
    });
    let mut sheet = blends.sheet();
    must_hold(
        &sheet,
        &[
            "Left out for want of data: Rice powder, fine",
            "Dune: price not known for Jojoba beads, fine",
            "700 \u{b5}m, one size",
            "upright: grains of one size",
        ],
    );
    blends.cut_um = 5000.0;
    blends.each_exfoliant(|_, m| {
        if let Some(grain) = &mut m.grain {
            grain.value.sizes = SizeData::Lognormal { d50_um: 3000.0, sigma: 0.2 };
        }
    });
    sheet = blends.sheet();
    must_hold(&sheet, &["of the mass is above 2500 \u{b5}m", "Above the cut at 5000 \u{b5}m, %"]);
    for (format, text) in said(&sheet) {
        // Named in the row alone: the axis ends before it.
        assert_eq!(text.matches("cutat5000").count(), 1, "{format}");
    }
}

#[test]
fn a_missing_price_names_the_material_and_not_its_id() {
    let mut blends = demo(&["Dune"]);
    for material in blends.project.materials.values_mut() {
        std::sync::Arc::make_mut(material).price = None;
    }
    let first = blends.figures().evaluations[0].lines[0].name.clone();
    let sheet = blends.sheet();
    must_hold(&sheet, &[&format!("Dune: price not known for {first}")]);
    for (format, text) in said(&sheet) {
        assert_eq!(text.matches("pricenotknown").count(), 1, "{format}");
    }
}

#[test]
fn decimal_comma_everywhere() {
    let mut blends = demo(&["Dune", "Shingle"]);
    blends.about.style.sign = quern_calc::number::DecimalSign::Comma;
    with_everything(&blends);
    for (format, text) in said(&blends.sheet()) {
        assert!(text.contains("2,90") && text.contains("1,10"), "{format}");
        assert!(!text.contains("2.90") && !text.contains("1.10"), "{format}");
    }
}

fn hostile() -> Blends {
    let mut blends = demo(&["Dune", "Shingle"]);
    blends.each_exfoliant(|at, m| {
        m.names = vec![NAMES[at % NAMES.len()].to_owned()];
        m.price = None;
    });
    blends.formula("Dune").phases[0].kind = PhaseKind::Other;
    blends.rename("Dune", "<b>#panic(1)</b> \" | =1+1");
    blends.rename("Shingle", "*x* </title></svg><script>alert(1)</script> \u{202e}#sys.inputs");
    blends.about.workshop = "</style><script>".to_owned();
    blends.about.currency = "<u>$x$".to_owned();
    blends.about.program = "#include \"x\" <i>".to_owned();
    blends
}

#[test]
fn html_holds_no_tag_of_theirs() {
    let page = blend_html(&hostile().sheet());
    for bad in ["<script", "<b>#panic", "<i>", "<u>", "alert(\"", "\u{202e}", "\u{0}"] {
        assert!(!page.contains(bad), "{bad}");
    }
    for good in [
        "&lt;b&gt;#panic(1)&lt;/b&gt; &quot; | =1+1",
        "*x* &lt;/title&gt;&lt;/svg&gt;&lt;script&gt;alert(1)&lt;/script&gt; #sys.inputs",
        "&lt;u&gt;$x$",
    ] {
        assert!(page.contains(good), "{good}");
    }
    assert_eq!(page.matches("</style>").count(), 1);
    // As many marks as with harmless names.
    let own = blend_html(&demo(&["Dune", "Shingle"]).sheet());
    for tag in ["<svg", "</svg>", "<title", "</title>", "<td", "<bdi>", "data-of=\""] {
        assert_eq!(page.matches(tag).count(), own.matches(tag).count(), "{tag}");
    }
    for needed in ["scope=\"col\"", "scope=\"row\"", "<caption>", "@page", "<desc", "role=\"img\""]
    {
        assert!(own.contains(needed), "{needed}");
    }
    assert!(
        !own.contains("http") && !own.contains("src=") && !own.contains("url("),
        "nothing is fetched"
    );
}

#[cfg(feature = "pdf")]
#[test]
fn the_page_prints_them_as_they_stand() {
    let sheet = hostile().sheet();
    let printed = bare(&super::blend_pages::text(&sheet));
    for words in [
        "<b>#panic(1)</b> | =1+1",
        "*x* </title></svg><script>alert(1)</script> #sys.inputs",
        "<u>$x$",
        "#include x <i> blend sheet",
    ] {
        assert!(printed.contains(&bare(words)), "{words}:\n{printed}");
    }
    assert!(crate::blend_pdf(&sheet).unwrap().starts_with(b"%PDF-"));
}

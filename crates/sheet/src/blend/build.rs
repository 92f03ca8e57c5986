//! From blends and rows to words.

use quern_calc::evaluate::{
    BlendRow, BlendSide, GrainFigures, GrainPart, Value, WhyNot, place_guides,
};
use quern_calc::formula::Formula;
use quern_calc::grit::spread::Spread;
use quern_calc::number::{NumberStyle, format_f64, format_fixed};
use quern_calc::rules::Rules;

use super::chart::Chart;
use super::scale::Scale;
use super::{BlendSheet, Exfoliant, PlaceWords, Row, Side};
use crate::bench::About;
use crate::text::{bound, capital, clean, edition, joined, names};

pub(super) fn build(
    sides: &[BlendSide<'_>],
    rows: &[BlendRow],
    spreads: &[Option<Spread>],
    cut_um: f64,
    rules: &Rules,
    about: &About,
) -> BlendSheet {
    let style = about.style;
    let names = names(&sides.iter().map(|s| s.formula).collect::<Vec<_>>());
    let chart = Chart::new(sides, &names, cut_um, style);
    // Exfoliants are numbered where the chart draws them.
    let mut drawn = 0;
    let numbered = chart.as_ref().is_some_and(Chart::shows_exfoliants);
    let words = sides
        .iter()
        .zip(&names)
        .map(|(side, name)| {
            let side = side_words(side, name, numbered.then_some(drawn), rules, style);
            drawn += side.exfoliants.len();
            side
        })
        .collect();
    let title = match names.as_slice() {
        [] => "Exfoliant blends: none chosen".to_owned(),
        [one] => format!("Exfoliant blend: {one}"),
        all => format!("Exfoliant blends: {}", all.join(", ")),
    };
    BlendSheet {
        title,
        dated: joined(&[about.style.dates.words(about.date), clean(&about.workshop)], " \u{b7} "),
        made_by: joined(
            &[
                format!("{} blend sheet", clean(&about.program)),
                edition("checked against", &rules.edition),
                edition("library", &about.library_edition),
            ],
            " \u{b7} ",
        ),
        paper: about.paper,
        chart,
        scale: Scale::new(sides, &names, spreads, style),
        differs: sides.len() == 2 && rows.iter().any(|r| !r.difference.is_empty()),
        rows: rows.iter().map(|r| row(r, sides.len(), about)).collect(),
        gaps: gaps(sides, rows, &names),
        scope: scope(rules),
        sides: words,
    }
}

fn row(row: &BlendRow, sides: usize, about: &About) -> Row {
    let mut name = clean(&row.name);
    let currency = clean(&about.currency);
    if row.key.contains("cost") && !currency.is_empty() {
        name.push_str(&format!(", {currency}"));
    }
    let mut values: Vec<String> =
        row.values.iter().take(sides).map(|v| clean(&v.text(about.style))).collect();
    values.resize(sides, crate::figure::DASH.to_owned());
    Row { name, estimate: row.estimate, values, difference: clean(&row.difference) }
}

/// Why figures are missing, once for each blend and kind of figure. That a blend has no grains at
/// all is said with the blend.
fn gaps(sides: &[BlendSide<'_>], rows: &[BlendRow], names: &[String]) -> Vec<String> {
    let mut out = Vec::new();
    for (at, (side, name)) in sides.iter().zip(names).enumerate() {
        let mut found: Vec<&WhyNot> = Vec::new();
        for row in rows {
            let Some(Value::Absent(why)) = row.values.get(at) else { continue };
            if side.evaluation.grains.as_ref().err() == Some(why) {
                continue;
            }
            // The longer list names what the shorter one does.
            match found.iter_mut().find(|f| kind(f) == kind(why)) {
                Some(known) if length(why) > length(known) => *known = why,
                Some(_) => {}
                None => found.push(why),
            }
        }
        out.extend(found.into_iter().map(|why| format!("{name}: {}", clean(&why.words()))));
    }
    out
}

fn kind(why: &WhyNot) -> String {
    match why {
        WhyNot::Unknown { what, .. } => (*what).to_owned(),
        other => other.words(),
    }
}

fn length(why: &WhyNot) -> usize {
    match why {
        WhyNot::Unknown { names, .. } => names.len(),
        _ => 0,
    }
}

/// What the figures were held against, and what nobody looked at.
fn scope(rules: &Rules) -> Vec<String> {
    let guides = match clean(&rules.edition) {
        name if name.is_empty() => "the guides".to_owned(),
        name => name,
    };
    vec![
        format!(
            "Looked at: load, size, shape and grit index of the exfoliants, by place, against \
             {guides} as of {}. These guides are house guidance, not law",
            rules.as_of.words()
        ),
        "Not looked at: swelling, edges that round off, pressure, the state of the skin, how \
         often it is used, and the rest of each formula"
            .to_owned(),
        "A qualified assessor decides before sale".to_owned(),
    ]
}

fn side_words(
    side: &BlendSide<'_>,
    name: &str,
    first: Option<usize>,
    rules: &Rules,
    style: NumberStyle,
) -> Side {
    let formula = side.formula;
    let mut out = Side {
        name: name.to_owned(),
        product: format!(
            "{} \u{b7} version {}, {}",
            formula.product.words(),
            formula.version.number,
            formula.version.state.name()
        ),
        absent: None,
        exfoliants: Vec::new(),
        remarks: Vec::new(),
        places: Vec::new(),
    };
    let f = match &side.evaluation.grains {
        Ok(f) => f,
        Err(why) => {
            let words = clean(&why.words());
            out.absent = Some(format!("No figures: {words}"));
            return out;
        }
    };
    out.exfoliants = f
        .parts
        .iter()
        .enumerate()
        .map(|(at, part)| exfoliant(part, first.map(|n| n + at + 1), style))
        .collect();
    let (places, common) = places(f, formula, rules, style);
    out.places = places;
    out.remarks = common;
    if !f.left_out.is_empty() {
        let names = clean(&f.left_out.join("; "));
        out.remarks.push(format!("Left out for want of data: {names}"));
    }
    if f.density_assumed {
        let density = format_f64(f.product_density, 2, style);
        out.remarks.push(format!("Density of the product assumed, {density} g/mL"));
    }
    out
}

fn exfoliant(part: &GrainPart, number: Option<usize>, style: NumberStyle) -> Exfoliant {
    let size = &part.grain.size;
    let um = |x: f64| format_f64(x, 0, style);
    let sizes = if size.sigma() > 0.0 {
        format!("{} / {} / {} \u{b5}m", um(size.d10_um()), um(size.d50_um()), um(size.d90_um()))
    } else {
        format!("{} \u{b5}m, one size", um(size.d50_um()))
    };
    let marks = [
        part.lot.as_ref().map_or(String::new(), |lot| format!("lot {}", clean(lot))),
        if part.assumed_size { "assumed".to_owned() } else { String::new() },
        if part.grain.dissolves_um_per_s.is_some() {
            "dissolves".to_owned()
        } else {
            String::new()
        },
    ];
    Exfoliant {
        number,
        name: clean(&part.name),
        load: percent(part.grain.percent, style),
        sizes,
        marks: joined(&marks, ", "),
    }
}

/// A load with two decimals, or more where it is small.
fn percent(percent: f64, style: NumberStyle) -> String {
    use rust_decimal::Decimal;
    use rust_decimal::prelude::FromPrimitive as _;
    match Decimal::from_f64(percent).map(|p| p.round_dp(4)) {
        Some(p) => format!("{} %", format_fixed(p, crate::figure::percent_places(p), style)),
        None => crate::figure::DASH.to_owned(),
    }
}

/// The guidance for each place, and what is said alike of every place.
fn places(
    f: &GrainFigures,
    formula: &Formula,
    rules: &Rules,
    style: NumberStyle,
) -> (Vec<PlaceWords>, Vec<String>) {
    let product = formula.product;
    let guides = place_guides(f, product.place, product.form, rules, style);
    let everywhere =
        |text: &str| guides.iter().all(|g| g.reasons.iter().any(|r| r.within && r.text == text));
    let common: Vec<String> = guides
        .first()
        .map(|g| g.reasons.iter().filter(|r| r.within && everywhere(&r.text)))
        .into_iter()
        .flatten()
        .map(|r| capital(&bound(&clean(&r.text))))
        .collect();
    let words = guides
        .iter()
        .map(|g| {
            let reasons = |within: bool| {
                let kept = g.reasons.iter().filter(move |r| r.within == within);
                kept.filter(|r| !everywhere(&r.text)).map(|r| bound(&clean(&r.text))).collect()
            };
            PlaceWords {
                place: capital(g.place.name()),
                verdict: g.verdict.clone(),
                passed: reasons(false),
                others: reasons(true),
            }
        })
        .collect();
    (words, common)
}

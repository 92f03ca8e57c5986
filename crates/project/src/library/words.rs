//! A material field by field, in words, so that a person can compare two editions.

use quern_calc::formula::{Figure, Material, Span};
use quern_calc::grit::sizes::SizeData;
use quern_calc::grit::table::SieveTable;
use quern_calc::quantity::Percent;

const UNKNOWN: &str = "not stated";

fn figure<T>(figure: Option<&Figure<T>>, value: impl Fn(&T) -> String) -> String {
    figure
        .map_or_else(|| UNKNOWN.to_owned(), |f| format!("{} [{}]", value(&f.value), f.provenance()))
}

fn number(f: Option<&Figure<f64>>, unit: &str) -> String {
    figure(f, |v| format!("{v}{unit}"))
}

fn range(low: Option<String>, high: Option<String>, unit: &str) -> String {
    match (low, high) {
        (Some(low), Some(high)) if low == high => format!("{low}{unit}"),
        (Some(low), Some(high)) => format!("{low} to {high}{unit}"),
        (Some(low), None) => format!("{low}{unit} and above"),
        (None, Some(high)) => format!("up to {high}{unit}"),
        (None, None) => UNKNOWN.to_owned(),
    }
}

fn span(f: Option<&Figure<Span>>, unit: &str) -> String {
    figure(f, |s| range(s.low.map(|v| v.to_string()), s.high.map(|v| v.to_string()), unit))
}

fn percents(low: Option<Percent>, high: Option<Percent>) -> String {
    range(low.map(|p| p.to_string()), high.map(|p| p.to_string()), " %")
}

fn list(texts: impl IntoIterator<Item = String>) -> String {
    let all: Vec<String> = texts.into_iter().collect();
    if all.is_empty() { "none".to_owned() } else { all.join("; ") }
}

fn text(text: &str) -> String {
    if text.is_empty() { UNKNOWN.to_owned() } else { text.to_owned() }
}

fn key(name: Option<&str>) -> String {
    text(name.unwrap_or_default())
}

fn yes(value: bool) -> String {
    if value { "yes" } else { "no" }.to_owned()
}

fn sizes(data: &SizeData) -> String {
    match *data {
        SizeData::SieveRange { lo_um, hi_um } => format!("sieved {lo_um} to {hi_um} µm"),
        SizeData::Percentiles { d10_um, d50_um, d90_um } => {
            format!("D10 {d10_um}, D50 {d50_um}, D90 {d90_um} µm")
        }
        SizeData::TwoPoints { d1_um, p1, d2_um, p2 } => {
            format!("{p1} below {d1_um} µm, {p2} below {d2_um} µm (shares of 1)")
        }
        SizeData::Below { um, share, sigma } => {
            format!("{share} below {um} µm (share of 1), spread {sigma}")
        }
        SizeData::Sieved(SieveTable { ref rows, pan, sample }) => {
            let rows = list(rows.iter().map(|r| format!("{} on {} µm", r.kept, r.opening_um)));
            let sample = sample.map(|s| format!(", of {s}")).unwrap_or_default();
            format!("measured on sieves: {rows}; pan {pan}{sample}")
        }
        SizeData::Lognormal { d50_um, sigma } => format!("median {d50_um} µm, spread {sigma}"),
    }
}

fn use_levels(m: &Material) -> String {
    list(m.use_levels.iter().map(|f| {
        let scope = f.value.scope.name();
        figure(Some(f), |l| format!("{} ({scope})", percents(l.low, l.high)))
    }))
}

fn composition(m: &Material) -> String {
    list(
        m.composition
            .iter()
            .map(|p| format!("{} {}", p.inci, figure(p.share.as_ref(), |v| format!("{v} %")))),
    )
}

fn water(m: &Material) -> String {
    m.water.as_ref().map_or_else(
        || UNKNOWN.to_owned(),
        |w| figure(Some(&w.percent), |v| format!("{v} %, {}", w.kind.name())),
    )
}

fn allergens(m: &Material) -> String {
    list(m.allergens.iter().map(|a| {
        let high = a.high.as_ref();
        let content = percents(a.low, high.map(|f| f.value));
        let source = high.map(|f| format!(" [{}]", f.provenance())).unwrap_or_default();
        format!("{} {content}{source}", a.name)
    }))
}

fn grain(m: &Material) -> String {
    figure(m.grain.as_ref(), |g| {
        let mut words = format!(
            "{}{}, hardness {} MPa, angularity {}",
            sizes(&g.sizes),
            if g.assumed_size { " (assumed)" } else { "" },
            g.hardness_mpa,
            g.angularity
        );
        if let Some(mohs) = &g.mohs {
            words.push_str(&format!(", Mohs {mohs}"));
        }
        if let Some(rate) = g.dissolves_um_per_s {
            words.push_str(&format!(", dissolves at {rate} µm/s"));
        }
        words
    })
}

fn fat(m: &Material) -> String {
    list(m.fat.iter().map(|f| {
        figure(Some(f), |p| {
            let melt = p
                .crystal
                .map_or_else(|| "liquid".to_owned(), |(tm, dh)| format!("{tm} °C, {dh} kJ/mol"));
            format!("{} {} of 1, {} g/mol, {melt}, {}", p.name, p.share, p.molar_mass, p.group)
        })
    }))
}

/// Every field but id, price, the user's lots of grains and table of solid fat, with its name on
/// screen.
#[rustfmt::skip]
pub(super) fn fields(m: &Material) -> Vec<(&'static str, String)> {
    vec![
        ("INCI name", text(&m.inci)),
        ("Form", text(&m.form)),
        ("Names", list(m.names.iter().cloned())),
        ("Group", text(&m.group)),
        ("Function", key(m.function.map(|f| f.name()))),
        ("Roles", list(m.roles.iter().cloned())),
        ("Phase", m.phase.name().to_owned()),
        ("At pouring", key(m.at_pour.map(|p| p.name()))),
        ("Solubility", text(&m.solubility)),
        ("CAS number", key(m.cas.as_deref())),
        ("Sources", m.about.provenance()),
        ("Notes", text(&m.notes)),
        ("Composition", composition(m)),
        ("Water", water(m)),
        ("Active matter", figure(m.active.as_ref(), |v| format!("{v} %"))),
        ("Use level", use_levels(m)),
        ("Heat limit", number(m.heat_limit_c.as_ref(), " °C")),
        ("Heat limit only with water", yes(m.heat_limit_only_wet)),
        ("Least process temperature", number(m.process_min_c.as_ref(), " °C")),
        ("Melting range", span(m.melting_c.as_ref(), " °C")),
        ("Melts in the process", yes(m.melts_in_process)),
        ("Density of the solid", number(m.density_solid.as_ref(), " g/mL")),
        ("Density of the melt", number(m.density_melt.as_ref(), " g/mL")),
        ("Charge", m.charge.name().to_owned()),
        ("Surfactant", yes(m.surfactant)),
        ("Electrolyte", yes(m.electrolyte)),
        ("HLB", number(m.hlb.as_ref(), "")),
        ("Required HLB", span(m.required_hlb.as_ref(), "")),
        ("Natural origin", number(m.natural_origin.as_ref(), "")),
        ("pH window", span(m.ph_window.as_ref(), "")),
        ("Oil absorption", number(m.oil_absorption.as_ref(), " g/g")),
        ("Grain shape", key(m.shape.map(|s| s.name()))),
        ("Cautions", list(m.cautions.iter().map(|c| c.name().to_owned()))),
        ("Allergens", allergens(m)),
        ("Label groups", list(m.label_groups.iter().cloned())),
        ("Flash point", number(m.flash_point_c.as_ref(), " °C")),
        ("Grains", grain(m)),
        ("Fat parts", fat(m)),
        ("Fatty acids", list(m.fatty_acids.iter().map(|(name, share)| format!("{name} {share} %")))),
        ("Iodine value", span(m.iodine_value.as_ref(), "")),
        ("Saponification value", span(m.saponification.as_ref(), " mg KOH/g")),
    ]
}

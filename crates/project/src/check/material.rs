//! What a material may not hold.

use quern_calc::formula::{Figure, Material, Span};
use quern_calc::quantity::Percent;
use quern_calc::setting::table::TableProblem;

use super::grit::check_grain;
use super::{Problems, quoted};

/// Everything in a material that a file cannot hold.
pub(crate) fn check_material(m: &Material, problems: &mut Problems) {
    let place = || format!("material {}", quoted(m.id.as_str()));
    problems.id(place, m.id.as_str());
    check_texts(m, &place, problems);
    check_shares(m, &place, problems);
    check_numbers(m, &place, problems);
    check_grain_and_fat(m, &place, problems);
    if let Some(price) = &m.price {
        problems.decimal(place, "price", price.amount.0);
        problems.decimal(place, "pack", price.pack.0);
        if price.pack.is_negative() {
            problems.push(format!(
                "{}: the pack of {} g is negative; expected what one pack holds",
                place(),
                price.pack
            ));
        }
    }
}

fn check_texts(m: &Material, place: &impl Fn() -> String, problems: &mut Problems) {
    for (what, text) in [
        ("INCI name", m.inci.as_str()),
        ("form", &m.form),
        ("group", &m.group),
        ("solubility", &m.solubility),
        ("source", &m.about.source),
        ("notes", &m.notes),
        ("CAS number", m.cas.as_deref().unwrap_or_default()),
    ] {
        problems.text(place, what, text);
    }
    let lists = m.names.iter().chain(&m.roles).chain(&m.label_groups);
    for text in lists.chain(m.fatty_acids.iter().map(|(name, _)| name)) {
        problems.text(place, "name, role or group", text);
    }
    for part in &m.composition {
        problems.text(place, "name of a component", &part.inci);
    }
    for allergen in &m.allergens {
        problems.text(place, "name of an allergen", &allergen.name);
    }
    if let Some(certificate) = &m.certificate {
        problems.text(place, "standard of the certificate", &certificate.standard);
        for (category, percent) in &certificate.limits {
            problems.text(place, "category of the certificate", category);
            if percent.is_negative() {
                problems.push(format!(
                    "{}: the certificate's limit for {} is negative",
                    place(),
                    quoted(category)
                ));
            }
            problems.decimal(place, "limit of the certificate", percent.0);
        }
    }
}

fn check_shares(m: &Material, place: &impl Fn() -> String, problems: &mut Problems) {
    let mut share = |what: &str, percent: Option<Percent>| {
        if let Some(percent) = percent {
            problems.decimal(place, what, percent.0);
        }
    };
    share("water", m.water.as_ref().map(|w| w.percent.value));
    share("active matter", m.active.as_ref().map(|f| f.value));
    for level in &m.use_levels {
        share("use level", level.value.low);
        share("use level", level.value.high);
    }
    for part in &m.composition {
        share("share of a component", part.share.as_ref().map(|f| f.value));
    }
    for allergen in &m.allergens {
        share("content of an allergen", allergen.low);
        share("content of an allergen", allergen.high.as_ref().map(|f| f.value));
    }
}

fn check_numbers(m: &Material, place: &impl Fn() -> String, problems: &mut Problems) {
    for (what, figure) in [
        ("heat limit", &m.heat_limit_c),
        ("least process temperature", &m.process_min_c),
        ("flash point", &m.flash_point_c),
    ] {
        source(figure.as_ref(), place, problems);
        if let Some(f) = figure {
            problems.temperature(place, what, f.value);
        }
    }
    for (what, figure) in [
        ("density of the solid", &m.density_solid),
        ("density of the melt", &m.density_melt),
        ("HLB", &m.hlb),
        ("natural origin", &m.natural_origin),
        ("oil absorption", &m.oil_absorption),
    ] {
        source(figure.as_ref(), place, problems);
        if let Some(f) = figure {
            problems.number(place, what, f.value);
        }
    }
    for (what, figure) in [
        ("melting range", &m.melting_c),
        ("required HLB", &m.required_hlb),
        ("pH window", &m.ph_window),
        ("iodine value", &m.iodine_value),
        ("saponification value", &m.saponification),
    ] {
        source(figure.as_ref(), place, problems);
        if let Some(f) = figure {
            let Span { low, high } = f.value;
            for end in [low, high].into_iter().flatten() {
                problems.number(place, what, end);
            }
        }
    }
    for (_, share) in &m.fatty_acids {
        problems.number(place, "share of a fatty acid", *share);
    }
}

fn check_grain_and_fat(m: &Material, place: &impl Fn() -> String, problems: &mut Problems) {
    source(m.grain.as_ref(), place, problems);
    if let Some(grain) = &m.grain {
        check_grain(&grain.value, place, problems);
    }
    for fat in &m.fat {
        source(Some(fat), place, problems);
        let part = &fat.value;
        problems.text(place, "name of a fat part", &part.name);
        problems.text(place, "group of a fat part", &part.group);
        problems.number(place, "share of a fat part", part.share);
        problems.number(place, "molar mass of a fat part", part.molar_mass);
        if let Some((tm, dh)) = part.crystal {
            problems.temperature(place, "melting point of a fat part", tm);
            problems.number(place, "fusion enthalpy of a fat part", dh);
        }
    }
    if let Some(problem) = m.solids.as_ref().and_then(|own| own.table.check().err()) {
        problems.push(solids_problem(&quoted(m.id.as_str()), problem));
    }
}

/// A table of solid fat that cannot be used; `material` is the id in quotation marks.
pub(crate) fn solids_problem(material: &str, problem: TableProblem) -> String {
    format!("the solids of material {material}: {problem}")
}

fn source<T>(figure: Option<&Figure<T>>, place: &impl Fn() -> String, problems: &mut Problems) {
    if let Some(f) = figure {
        problems.text(place, "source of a figure", &f.source);
    }
}

//! The lines that decide how a product melts and pours, for the controls of the Setting view.

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

use super::fat::in_fat_phase;
use crate::formula::{AtPour, Formula, Function, Item, Library, LineId, MaterialId};
use crate::quantity::Percent;

/// A line of one material.
#[derive(Clone, Debug, PartialEq)]
pub struct MaterialLine {
    /// The line.
    pub line: LineId,
    /// The material.
    pub material: MaterialId,
    /// Display name.
    pub name: String,
    /// % of the product; `None` while blank.
    pub percent: Option<Percent>,
    /// True on the q.s. line, whose amount follows from the others.
    pub fills: bool,
    /// True when the maker's own data are calculated with.
    pub own_data: bool,
    /// True when it has no data for the model.
    pub lacks_data: bool,
}

/// Lines of the fat phase, in the order of the formula.
#[must_use]
pub fn fat_lines(formula: &Formula, library: &Library) -> Vec<MaterialLine> {
    lines(formula, library, in_fat_phase, |m| (m.solids.is_some(), !m.has_melt_data()))
}

/// Lines of powders and grains, in the order of the formula.
#[must_use]
pub fn powder_lines(formula: &Formula, library: &Library) -> Vec<MaterialLine> {
    let powder = |m: &crate::formula::Material| {
        m.at_pour == Some(AtPour::Powder) || m.function == Some(Function::Exfoliant)
    };
    lines(formula, library, powder, |m| {
        use crate::formula::Basis;
        let own = |f: &Option<crate::formula::Figure<f64>>| {
            f.as_ref().is_some_and(|f| f.basis == Basis::User)
        };
        let density = m.density_solid.is_some() || m.density_melt.is_some();
        (own(&m.density_solid) || own(&m.oil_absorption), !density)
    })
}

/// True for materials that can stand in for one another: two of the fat phase, or two of one
/// function.
#[must_use]
pub fn alike(one: &crate::formula::Material, other: &crate::formula::Material) -> bool {
    let fats = in_fat_phase(one) && in_fat_phase(other);
    fats || (one.function.is_some() && one.function == other.function)
}

fn lines(
    formula: &Formula,
    library: &Library,
    wanted: impl Fn(&crate::formula::Material) -> bool,
    data: impl Fn(&crate::formula::Material) -> (bool, bool),
) -> Vec<MaterialLine> {
    let mut out: Vec<MaterialLine> = formula
        .lines()
        .filter_map(|(phase, line)| {
            let Item::Material(id) = &line.item else { return None };
            let m = library.material(id).filter(|m| wanted(m))?;
            let (own_data, lacks_data) = data(m);
            // One material on two lines is told apart by its phase.
            let twice = formula.lines().filter(|(_, l)| l.item == line.item).nth(1).is_some();
            let name = m.display_name();
            let name = if twice { format!("{name}, {}", phase.name) } else { name.to_owned() };
            Some(MaterialLine {
                line: line.id,
                material: id.clone(),
                name,
                percent: formula.percent_of(line),
                fills: formula.fills == Some(line.id),
                own_data,
                lacks_data,
            })
        })
        .collect();
    // Twice in one phase: by their order, too.
    let names: Vec<String> = out.iter().map(|l| l.name.clone()).collect();
    for (i, line) in out.iter_mut().enumerate() {
        let before = names.iter().take(i).filter(|n| **n == line.name).count();
        if before > 0 {
            line.name = format!("{} ({})", line.name, before + 1);
        }
    }
    out
}

/// Where a slider for this amount ends, %: 40, or twice the amount in tens.
#[must_use]
pub fn slider_end(percent: f64) -> f64 {
    if percent <= 30.0 { 40.0 } else { ((2.0 * percent / 10.0).ceil() * 10.0).clamp(40.0, 100.0) }
}

/// The amount at a place of a slider: to a tenth of a per cent, from 0 to 100.
#[must_use]
pub fn slider_percent(place: f64) -> Percent {
    let tenths = if place.is_finite() { (place.clamp(0.0, 100.0) * 10.0).round() } else { 0.0 };
    Percent(Decimal::from_f64(tenths / 10.0).unwrap_or_default().round_dp(1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slider_gives_tenths() {
        assert_eq!(slider_percent(12.34), Percent(Decimal::new(123, 1)));
        assert_eq!(slider_percent(f64::NAN), Percent(Decimal::ZERO));
        assert_eq!(slider_percent(1e9), Percent(Decimal::from(100)));
        assert!((slider_end(11.5) - 40.0).abs() < 1e-9);
        assert!((slider_end(34.0) - 70.0).abs() < 1e-9);
    }
}

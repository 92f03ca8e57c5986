//! What a change does beside the figures: names on the label and findings.

use super::Evaluation;
use crate::findings::{Finding, Where};
use crate::number::NumberStyle;

/// What comes and goes when one formula takes the place of another.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Effect {
    /// INCI names that come.
    pub inci_come: Vec<String>,
    /// INCI names that go.
    pub inci_go: Vec<String>,
    /// Findings that come.
    pub findings_come: Vec<Finding>,
    /// Findings that go.
    pub findings_go: Vec<Finding>,
}

/// Names and findings of one evaluation that the other has not, findings by their titles. One on
/// the formula as a whole that only has other figures or names stays; one on a line or phase that
/// speaks of another material goes, and the other comes.
#[must_use]
pub fn effect(before: &Evaluation, after: &Evaluation) -> Effect {
    let mut come = findings(after, before);
    let mut go = findings(before, after);
    come.retain(|new| {
        let whole = matches!(new.place, Where::Formula | Where::Batch);
        let old = go.iter().position(|o| whole && o.rule() == new.rule() && o.place == new.place);
        old.map(|at| go.remove(at)).is_none()
    });
    Effect {
        inci_come: names(after, before),
        inci_go: names(before, after),
        findings_come: come,
        findings_go: go,
    }
}

fn names(of: &Evaluation, without: &Evaluation) -> Vec<String> {
    let there = &without.composition.components;
    let all = of.composition.components.iter().map(|c| &c.inci);
    all.filter(|inci| there.iter().all(|c| c.inci != **inci)).cloned().collect()
}

fn findings(of: &Evaluation, without: &Evaluation) -> Vec<Finding> {
    let title = |f: &Finding| f.words(NumberStyle::default()).title;
    let there: Vec<String> = without.findings.iter().map(title).collect();
    of.findings.iter().filter(|f| !there.contains(&title(f))).cloned().collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use std::sync::Arc;

    use rust_decimal::Decimal;

    use super::*;
    use crate::batch::BatchPlan;
    use crate::evaluate::{Context, evaluate};
    use crate::formula::{
        Amount, Formula, FormulaId, Item, Library, Material, MaterialId, PhaseId,
    };
    use crate::quantity::Date;
    use crate::rules::Rules;

    fn of(id: &str, percent: i64) -> Evaluation {
        let material = |id: &str| Arc::new(Material::named(MaterialId::new(id), id, id));
        let library = Library::new([material("wax"), material("oil")], []);
        let mut formula = Formula::empty(FormulaId::new("f"), "F");
        let line = formula.add_line(PhaseId(1), Item::Material(MaterialId::new(id)), None).unwrap();
        formula.set_amount(line, Some(Amount::percent(Decimal::from(percent)))).unwrap();
        let day = Context::on(Date::Y2K);
        evaluate(&formula, &library, &Rules::default(), &BatchPlan::default(), &day)
    }

    #[test]
    fn names_and_findings_come_and_go() {
        let change = effect(&of("wax", 50), &of("oil", 100));
        assert_eq!((change.inci_come, change.inci_go), (vec!["oil".into()], vec!["wax".into()]));
        assert!(change.findings_go.iter().any(|f| f.rule() == "total"), "{:?}", change.findings_go);
        assert_eq!(effect(&of("wax", 50), &of("wax", 60)), Effect::default(), "still not 100");
        // What is said of a line is said of its material.
        let swapped = effect(&of("wax", 0), &of("oil", 0));
        let line = |f: &Finding| matches!(f.place, Where::Line(_));
        assert!(swapped.findings_come.iter().any(line), "{swapped:?}");
        assert!(swapped.findings_go.iter().any(line), "{swapped:?}");
    }
}

#![allow(missing_docs, clippy::unwrap_used)]
use quern_calc::evaluate::{Context, evaluate};
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Date;
fn main() {
    for p in [quern_project::demo(), quern_project::skeletons().clone()] {
        let lib = p.library();
        for f in &p.formulas {
            let e = evaluate(
                f,
                &lib,
                quern_project::rules::builtin_rules(),
                &p.plan(&f.id),
                &Context::on(Date::new(2026, 11, 26).unwrap()),
            );
            println!(
                "== {} ({}) ph {:?} {:?}",
                f.name,
                f.product.words(),
                f.ph.as_ref().map(|x| x.value),
                e.counts()
            );
            for x in &e.findings {
                println!(
                    "  {{{}}} {} [{}] {}: {}",
                    x.key(),
                    x.severity().name(),
                    x.kind().name(),
                    x.rule(),
                    x.words(NumberStyle::default()).title
                );
            }
        }
    }
}

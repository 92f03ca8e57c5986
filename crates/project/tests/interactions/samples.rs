//! What the rules say of formulas that a formulator would sign.

use quern_calc::findings::{Finding, Severity};
use quern_calc::number::NumberStyle;
use quern_project::{demo, skeletons};

use crate::bench::{of, rules, sound};

/// Prints all of it, for reading: `cargo test -p quern-project --test interactions samples --
/// --nocapture`.
#[test]
fn sensible_formulas_get_few_notes_and_hardly_a_warning() {
    let rules = rules();
    let (demo, skeletons) = (demo(), skeletons());
    let mut warned = Vec::new();
    for project in [&demo, skeletons] {
        let library = project.library();
        for formula in &project.formulas {
            let found = of(formula, &library, &rules);
            println!("== {}", formula.name);
            for f in &found {
                sound(f);
                let w = f.words(NumberStyle::default());
                let severity = f.severity().name();
                println!(
                    "   {severity} {}: {} | {} | {} | {}",
                    f.key(),
                    w.title,
                    w.why,
                    w.fix,
                    w.source
                );
            }
            let of = |s: Severity| found.iter().filter(move |f| f.severity() == s);
            assert_eq!(of(Severity::Stop).count(), 0, "{}", formula.name);
            assert!(of(Severity::Note).count() <= 3, "{}", formula.name);
            warned.extend(of(Severity::Warn).map(|f: &Finding| (formula.name.clone(), f.rule())));
        }
    }
    // A conditioning quat in a bar of anionic surfactant is usual, and costs foam all the same.
    let expected = [("Solid shampoo bar skeleton".to_owned(), "cationic-with-anionic")];
    assert_eq!(warned, expected);
}

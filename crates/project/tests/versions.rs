//! Kept versions, what is frozen, and the bin: in the project and in its file.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use std::sync::Arc;

use quern_calc::formula::{Amount, Formula, FormulaId, LineId, VersionState};
use quern_calc::quantity::Date;
use quern_project::versions::{Frozen, MOST_BINNED, MOST_KEPT};
use quern_project::{Binned, LoadError, Project, VersionError, demo, parse, to_text};

const FORMAT_5: &str = include_str!("formats/format-5.ron");

fn day(n: u8) -> Date {
    Date::new(2026, 11, n).unwrap()
}

fn dune() -> FormulaId {
    FormulaId::new("dune")
}

fn working(project: &Project) -> Formula {
    (**project.formula(&dune()).unwrap()).clone()
}

fn change(project: &mut Project, change: impl FnOnce(&mut Formula)) {
    let slot = project.formulas.iter_mut().find(|f| f.id == dune()).unwrap();
    change(Arc::make_mut(slot));
}

fn numbers(project: &Project) -> Vec<u32> {
    project.kept_of(&dune()).map(|k| k.formula.version.number).collect()
}

/// The first line of the demo bar that holds a typed amount.
fn first_line(project: &Project) -> LineId {
    working(project).lines().find(|(_, l)| l.amount.is_some()).unwrap().1.id
}

#[test]
fn a_file_of_format_5_still_loads_and_is_written_the_same() {
    let loaded = parse(FORMAT_5, "format-5.ron").unwrap();
    assert_eq!(loaded.upgraded_from, None);
    let written = to_text(&loaded.project).unwrap();
    let content = |text: &str| -> Vec<String> {
        text.lines().filter(|l| !l.starts_with("    app: ")).map(str::to_owned).collect()
    };
    assert_eq!(content(&written), content(FORMAT_5));

    let project = loaded.project;
    let bar = FormulaId::new("oat-bar");
    let kept: Vec<_> = project
        .kept_of(&bar)
        .map(|k| (k.formula.version.number, k.formula.version.state, k.date.to_string()))
        .collect();
    assert_eq!(
        kept,
        [
            (1, VersionState::Retired, "2026-10-02".to_owned()),
            (2, VersionState::Released, "2026-11-03".to_owned())
        ]
    );
    assert_eq!(project.version(&bar, 2).unwrap().name, "Oat bar, coarse");
    assert_eq!(project.version(&bar, 3).unwrap().name, "Oat bar", "the one at work");
    assert_eq!(project.next_version(&bar), 4);
    let salt = &project.bin[0];
    assert_eq!((salt.formula.name.as_str(), salt.kept.len()), ("Salt bar", 1));
    assert_eq!(salt.plan.as_ref().unwrap().figures().unwrap().net.to_string(), "500");
    assert!(project.bin[1].plan.is_none());
}

#[test]
fn what_versions_and_bin_may_not_hold() {
    let cases: &[(&str, &str, &str)] = &[
        (
            "number: 1, state: \"retired\"",
            "number: 3, state: \"retired\"",
            "formula “Oat bar” has the version number 3 twice",
        ),
        (
            "number: 1, state: \"retired\"",
            "number: 2, state: \"retired\"",
            "the version number 2 twice",
        ),
        (
            "number: 1, state: \"trial\"",
            "number: 2, state: \"trial\"",
            "formula “Salt bar” in the bin has the version number 2 twice",
        ),
        (
            "(id: 7, material: \"butter\", amount: \"40 %\")",
            "(id: 7, material: \"butter\", amount: \"40 %\"), (id: 7, material: \"butter\")",
            "version 1 of formula “Oat bar”: the line id 7 is used twice",
        ),
        (
            "(formula: \"salt-bar\", size: \"net 500 g\"",
            "(formula: \"other\", size: \"net 500 g\"",
            "formula “Salt bar” in the bin has the plan of formula “other”",
        ),
        (
            "reason: \"more grip\"",
            "reason: \"more grip\", state: \"draft\"",
            "state is given twice",
        ),
        (
            "                date: \"2026-11-20\",\n                formula",
            "                formula",
            "date is missing in this formula in the bin",
        ),
        ("date: \"2026-10-02\"", "date: \"last year\"", "is not a date"),
        (
            "date: \"2026-10-02\",",
            "date: \"2026-10-02\", by: \"me\",",
            "“by” is no field of a kept version",
        ),
    ];
    for (from, to, words) in cases {
        assert!(FORMAT_5.contains(from), "{from}");
        let error = parse(&FORMAT_5.replacen(from, to, 1), "bars.ron").unwrap_err().to_string();
        assert!(error.starts_with("bars.ron") && error.contains(words), "{words} in {error}");
    }
    // Versions of a formula that is not there.
    let mut text = FORMAT_5.to_owned();
    let at = text.find("kept: [").unwrap();
    let head = text[at..].replacen("id: \"oat-bar\"", "id: \"gone\"", 1);
    text.replace_range(at.., &head);
    let error = parse(&text, "bars.ron").unwrap_err().to_string();
    assert!(error.contains("versions are kept of formula “gone”, which is not there"), "{error}");
    // A version of another formula in the bin.
    let at = text.rfind("id: \"salt-bar\",\n                            name").unwrap();
    let mut text = FORMAT_5.to_owned();
    let tail = text[at - 20..].replacen("id: \"salt-bar\"", "id: \"gone\"", 1);
    text.replace_range(at - 20.., &tail);
    let error = parse(&text, "bars.ron").unwrap_err();
    assert!(matches!(error, LoadError::Invalid { .. }), "{error}");
    assert!(error.to_string().contains("has a version of formula “gone”"), "{error}");
}

#[test]
fn counts_have_a_limit_that_saving_and_loading_share() {
    let mut project = demo();
    for _ in 0..MOST_KEPT {
        project.start_version(&dune(), day(1), "").unwrap();
    }
    assert!(to_text(&project).is_ok());
    assert_eq!(project.start_version(&dune(), day(1), ""), Err(VersionError::TooMany));
    let mut more = (*project.kept[0]).clone();
    Arc::make_mut(&mut more.formula).version.number = 9_999;
    project.kept.push(Arc::new(more));
    let error = to_text(&project).unwrap_err().to_string();
    assert!(error.contains("201 kept versions; at most 200"), "{error}");

    let mut project = Project::blank();
    let entry = Arc::new(Binned {
        formula: Arc::new(Formula::empty(FormulaId::new("x"), "X")),
        plan: None,
        kept: Vec::new(),
        date: day(1),
    });
    project.bin = vec![Arc::clone(&entry); MOST_BINNED];
    assert!(parse(&to_text(&project).unwrap(), "full.ron").is_ok());
    let one = project.formulas[0].id.clone();
    assert_eq!(project.put_in_bin(&one, day(1)), Err(VersionError::BinFull));
    project.bin.push(entry);
    let error = to_text(&project).unwrap_err().to_string();
    assert!(error.contains("the bin has 501 formulas; at most 500"), "{error}");
}

#[test]
fn a_full_set_of_versions_stays_well_under_a_megabyte() {
    let mut project = demo();
    for _ in 0..50 {
        project.start_version(&dune(), day(1), "another try").unwrap();
    }
    let text = to_text(&project).unwrap();
    assert!(text.len() < 1_000_000, "{}", text.len());
    assert_eq!(parse(&text, "many.ron").unwrap().project, project);
}

#[test]
fn going_back_loses_nothing_and_numbers_only_grow() {
    let mut project = demo();
    let first = working(&project);
    let line = first_line(&project);
    assert_eq!(project.start_version(&dune(), day(2), "softer").unwrap(), 5);
    change(&mut project, |f| f.set_amount(line, Some(Amount::percent(7.into()))).unwrap());
    change(&mut project, |f| f.name = "Dune soft".to_owned());
    let second = working(&project);
    assert_eq!(project.go_back(&dune(), 4, day(3), "too soft").unwrap(), 6);
    let now = working(&project);
    assert_eq!(numbers(&project), [4, 5]);
    assert_eq!(**project.version(&dune(), 4).unwrap(), first);
    assert_eq!(**project.version(&dune(), 5).unwrap(), second);
    assert_eq!(now.phases, first.phases);
    assert_eq!(now.name, "Dune soft", "the name is the formula's, not the version's");
    assert_eq!(
        (now.version.number, now.version.state, now.version.parent, now.version.reason.as_str()),
        (6, VersionState::Draft, Some((dune(), 4)), "too soft")
    );
    assert_eq!(project.go_back(&dune(), 9, day(3), ""), Err(VersionError::NoVersion(9)));
    assert_eq!(project.go_back(&dune(), 6, day(3), ""), Err(VersionError::NoVersion(6)));
}

#[test]
fn states_go_forward_only() {
    use VersionState::{Draft, Released, Retired, Trial};
    let sense = [
        (Draft, [true, true, true, true]),
        (Trial, [true, true, true, true]),
        (Released, [false, false, true, true]),
        (Retired, [false, false, false, true]),
    ];
    for (from, may) in sense {
        assert_eq!(VersionState::ALL.map(|to| from.may_become(to)), may, "{from:?}");
    }
    let mut project = demo();
    project.start_version(&dune(), day(2), "").unwrap();
    project.mark_version(&dune(), 4, Released).unwrap();
    let error = project.mark_version(&dune(), 4, Trial).unwrap_err();
    assert_eq!(error.to_string(), "a released version does not become a trial one");
    project.mark_version(&dune(), 4, Retired).unwrap();
    assert_eq!(project.version(&dune(), 4).unwrap().version.state, Retired);
    project.mark_version(&dune(), 5, Released).unwrap();
    assert_eq!(working(&project).version.state, Released);
    assert!(project.mark_working(&dune(), Draft, "").is_err());
}

/// A change of one field of the formula at hand, by name.
type Change = (&'static str, fn(&mut Formula));

#[test]
fn a_released_version_takes_no_change_of_its_content() {
    let mut before = demo();
    before.mark_working(&dune(), VersionState::Released, "sold at the market").unwrap();
    let changes: &[Change] = &[
        ("name", |f| f.name.push('x')),
        ("number", |f| f.version.number = 9),
        ("parent", |f| f.version.parent = None),
        ("reason", |f| f.version.reason.clear()),
        ("state", |f| f.version.state = VersionState::Trial),
        ("product", |f| f.product.under_three = true),
        ("parts", |f| f.parts_total = 90.into()),
        ("fills", |f| f.fills = None),
        ("ph", |f| {
            f.ph =
                Some(quern_calc::formula::PhReading { value: 5.into(), measured: true, date: None })
        }),
        ("note", |f| f.note.clear()),
        ("amount", |f| f.phases[0].lines[0].amount = Some(Amount::percent(1.into()))),
        ("lock", |f| f.phases[0].lines[0].locked ^= true),
        ("line note", |f| f.phases[0].lines[0].note.push('x')),
        ("order", |f| f.phases[0].lines.swap(0, 1)),
        ("phase", |f| f.phases[0].name.push('x')),
        ("steps", |f| f.phases[0].steps.clear()),
        ("temperature", |f| {
            f.phases[0].temperature = quern_calc::formula::PhaseTemperature::HeatTo(1.0)
        }),
    ];
    for (what, make) in changes {
        let mut after = before.clone();
        change(&mut after, make);
        let refused = after.check_frozen(&before);
        assert!(matches!(refused, Err(Frozen::Working { number: 4, next: 5, .. })), "{what}");
    }
    let words = {
        let mut after = before.clone();
        change(&mut after, |f| f.note.clear());
        after.check_frozen(&before).unwrap_err().to_string()
    };
    assert_eq!(
        words,
        "Dune, version 4 is released and read-only, so nothing was changed; start version 5 to go on from it"
    );
    // What goes on after a release.
    let fine: &[Change] = &[
        ("retired", |f| f.version.state = VersionState::Retired),
        ("label", |f| f.label.code_number = Some(7)),
        ("safety", |f| f.safety.markets.clear()),
    ];
    for (what, make) in fine {
        let mut after = before.clone();
        change(&mut after, make);
        assert_eq!(after.check_frozen(&before), Ok(()), "{what}");
    }
    let mut after = before.clone();
    after.plans.remove(&dune());
    assert_eq!(after.check_frozen(&before), Ok(()), "a plan is not the version's");
    let mut after = before.clone();
    after.start_version(&dune(), day(2), "").unwrap();
    assert_eq!(after.check_frozen(&before), Ok(()), "it is kept");
    change(&mut after, |f| f.note.clear());
    assert_eq!(after.check_frozen(&before), Ok(()), "the next one may change");
    let mut after = before.clone();
    after.put_in_bin(&dune(), day(2)).unwrap();
    assert_eq!(after.check_frozen(&before), Ok(()), "it is in the bin");
    let mut after = before.clone();
    after.formulas.retain(|f| f.id != dune());
    assert!(after.check_frozen(&before).is_err(), "it is lost");
}

#[test]
fn kept_versions_change_in_no_state_and_numbers_stay_unique() {
    let mut before = demo();
    before.start_version(&dune(), day(2), "").unwrap();
    assert_eq!(before.version(&dune(), 4).unwrap().version.state, VersionState::Draft);
    let mut after = before.clone();
    Arc::make_mut(&mut Arc::make_mut(&mut after.kept[0]).formula).note.push('x');
    assert!(matches!(after.check_frozen(&before), Err(Frozen::Kept { number: 4, .. })));
    let mut after = before.clone();
    after.kept.clear();
    assert!(matches!(after.check_frozen(&before), Err(Frozen::Kept { number: 4, .. })));
    let mut after = before.clone();
    change(&mut after, |f| f.version.number = 4);
    let error = after.check_frozen(&before).unwrap_err();
    assert!(matches!(error, Frozen::Number { number: 4, next: 6, .. }), "{error}");
    let mut after = before.clone();
    after.mark_version(&dune(), 4, VersionState::Released).unwrap();
    assert_eq!(after.check_frozen(&before), Ok(()));
}

#[test]
fn the_bin_gives_back_what_it_took() {
    let mut project = demo();
    project.start_version(&dune(), day(2), "softer").unwrap();
    let whole = project.clone();
    project.put_in_bin(&dune(), day(5)).unwrap();
    assert!(project.formula(&dune()).is_none() && !project.plans.contains_key(&dune()));
    assert!(project.kept.is_empty());
    assert!(project.unused_materials().is_empty(), "the bin still needs them");
    assert_eq!(project.free_formula_id("Dune").as_str(), "dune-2", "the bin still names it");
    assert_eq!(parse(&to_text(&project).unwrap(), "bin.ron").unwrap().project, project);

    assert_eq!(project.restore(0).unwrap(), dune());
    assert_eq!(project.formula(&dune()), whole.formula(&dune()));
    assert_eq!((&project.kept, &project.plans), (&whole.kept, &whole.plans));
    assert_eq!(project.restore(0), Err(VersionError::NotInBin));

    // Under a new id where another has taken its own.
    project.put_in_bin(&dune(), day(5)).unwrap();
    project.formulas.push(Arc::new(Formula::empty(dune(), "Usurper")));
    let id = project.restore(0).unwrap();
    assert_eq!(id.as_str(), "dune-2");
    let back = project.formula(&id).unwrap();
    assert_eq!(back.version.parent, Some((id.clone(), 4)));
    assert_eq!(project.version(&id, 4).unwrap().version.parent, Some((id.clone(), 3)));
    assert!(project.plans.contains_key(&id));
    assert!(to_text(&project).is_ok());

    project.put_in_bin(&id, day(6)).unwrap();
    project.remove_for_good(0).unwrap();
    assert_eq!(project.remove_for_good(0), Err(VersionError::NotInBin));
    for other in project.formulas.clone().iter().skip(1) {
        project.put_in_bin(&other.id, day(7)).unwrap();
    }
    let last = project.formulas[0].id.clone();
    assert_eq!(project.put_in_bin(&last, day(7)), Err(VersionError::LastFormula));
}

#[test]
fn a_number_at_the_end_of_the_range_does_not_overflow() {
    let mut project = demo();
    change(&mut project, |f| f.version.number = u32::MAX);
    assert_eq!(project.next_version(&dune()), 1);
    assert_eq!(project.start_version(&dune(), day(2), "").unwrap(), 1);
    assert_eq!(project.start_version(&dune(), day(2), "").unwrap(), 2);
    assert!(to_text(&project).is_ok());
}

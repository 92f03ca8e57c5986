//! A blend for a wanted index, and the copy that holds it.

use super::*;

#[test]
fn a_blend_is_found_and_written_into_a_copy() {
    let bench = Bench::new();
    let before = std::fs::read(&bench.file).unwrap();
    let out = bench.path("new.ron");
    let shown = json(&bench, &["--solve", "20", "--most", "4%", "--apply", &out]);
    assert_eq!(shown["written"], out.as_str());
    assert_eq!(std::fs::read(&bench.file).unwrap(), before);

    let best = &shown["blends"][0];
    let copy = quern_project::load(out.as_ref()).unwrap().project;
    let e = evaluated(&copy, of(&copy, "Dune"));
    let f = e.grains.as_ref().unwrap();
    near(&best["index"], f.grit.index);
    assert!((f.grit.index - 20.0).abs() < 0.3, "rounded loads stay near: {}", f.grit.index);
    assert_eq!(percent(&best["total_percent"]), f.load);
    assert!(f.load <= Percent(Decimal::from(4)) && e.total_ok);
    near(&best["cost_per_100g"], blend_cost(&e).unwrap());
    let loads: Vec<(&str, Percent)> = list(&best["exfoliants"])
        .iter()
        .map(|x| (x["id"].as_str().unwrap(), percent(&x["percent"])))
        .collect();
    let mut parts: Vec<(&str, Percent)> =
        f.parts.iter().map(|p| (p.material.as_str(), p.load)).collect();
    parts.sort();
    let mut sorted = loads.clone();
    sorted.sort();
    assert_eq!(sorted, parts);
    // Nothing but the formula differs.
    let mut undone = copy.clone();
    edit(&mut undone, "Dune", |f| *f = of(&bench.project, "Dune").clone());
    assert_eq!(undone, bench.project);

    // As the engine has it.
    let dune_now = of(&bench.project, "Dune");
    let ids: Vec<MaterialId> = bench
        .project
        .materials
        .values()
        .filter(|m| m.function == Some(quern_calc::formula::Function::Exfoliant))
        .map(|m| m.id.clone())
        .collect();
    // The command line sets no size limit that was not asked for.
    let place = BlendAsk::for_place(dune_now.product.place);
    let ask = BlendAsk { index: 20.0, total: (0.0, 4.0), size: None, ..place };
    let answer = find_blend(dune_now, &bench.project.library(), &ids, &ask).unwrap();
    assert_eq!(list(&shown["blends"]).len(), answer.found.len());
    for (row, found) in list(&shown["blends"]).iter().zip(&answer.found) {
        near(&row["index"], found.index);
        assert_eq!(list(&row["exfoliants"]).len(), found.blend.len());
        assert_eq!(list(&row["held_by"]).len(), found.binding.len());
    }
    let text = dune(&bench, &["--solve", "20", "--most", "4%"]);
    for part in ["Now: grit index", "Wanted: grit index 20", "Best blend: index", "Next best"] {
        assert!(text.text().contains(part), "{part} in {}", text.text());
    }
}

#[test]
fn the_limits_of_a_search_are_kept() {
    let bench = Bench::new();
    let shown = json(
        &bench,
        &[
            "--solve",
            "6",
            "--least",
            "2%",
            "--most",
            "3%",
            "--kinds",
            "1",
            "--kinds-most",
            "2",
            "--nothing-above",
            "400um",
            "--tolerance",
            "5%",
            "--prefer",
            "least",
            "--without",
            "nut-soft",
            "--without",
            "Pumice grit, coarse",
        ],
    );
    assert!(!list(&shown["blends"]).is_empty(), "{shown}");
    for blend in list(&shown["blends"]) {
        let total = percent(&blend["total_percent"]).0;
        assert!((Decimal::from(2)..=Decimal::from(3)).contains(&total), "{total}");
        assert!((1..=2).contains(&list(&blend["exfoliants"]).len()));
        for exfoliant in list(&blend["exfoliants"]) {
            let id = MaterialId::new(exfoliant["id"].as_str().unwrap());
            let data = bench.project.materials[&id].grain.as_ref().unwrap();
            let size = quern_calc::grit::GrainSize::fit(data.value.sizes_in_use()).unwrap();
            assert!(size.fraction_above(400.0) <= 0.05, "{id}");
        }
    }
    let left: Vec<(&str, &str)> = list(&shown["left_out"])
        .iter()
        .map(|l| (l["id"].as_str().unwrap(), l["reason"].as_str().unwrap()))
        .collect();
    assert!(left.contains(&(PUMICE, "barred")), "{left:?}");
    assert!(left.iter().any(|l| l.1 == "too-large"), "{left:?}");

    // Out of reach: the range and what would help, as one more percent would.
    let none = json(&bench, &["--solve", "60", "--from", PUMICE, "--from", RICE, "--most", "2%"]);
    assert!(list(&none["blends"]).is_empty());
    let high = none["reachable"]["high"].as_f64().unwrap();
    assert!(high < 60.0);
    let relax =
        list(&none["relax"]).iter().find(|r| r["limit"] == "total-most").unwrap()["to"].as_f64();
    let more = format!("{}%", relax.unwrap() + 0.05);
    let now = json(&bench, &["--solve", "60", "--from", PUMICE, "--from", RICE, "--most", &more]);
    assert!(!list(&now["blends"]).is_empty(), "{more}");
    let text = dune(&bench, &["--solve", "60", "--from", PUMICE, "--from", RICE, "--most", "2%"]);
    assert!(text.text().contains("No blend has index 60") && text.text().contains("would do"));

    // In use, grains that dissolve count less.
    let salt = ["--from", "Sea salt, fine", "--from", RICE, "--prefer", "least", "--most", "10%"];
    let dry = json(&bench, &[&["--solve", "15"][..], &salt].concat());
    let wet = json(&bench, &[&["--solve", "15", "--in-use"][..], &salt].concat());
    assert!((dry["blends"][0]["index"].as_f64().unwrap() - 15.0).abs() < 0.3);
    assert!((wet["blends"][0]["in_use"].as_f64().unwrap() - 15.0).abs() < 0.3);
}

#[test]
fn library_materials_join_the_copy_only_when_used() {
    let bench = Bench::new();
    let out = bench.path("walnut.ron");
    let id = MaterialId::new("juglans-regia-shell-powder-fine-under-250-um");
    assert!(!bench.project.materials.contains_key(&id));
    let ran = dune(
        &bench,
        &[
            "--solve",
            "20",
            "--from",
            "walnut shell powder, fine",
            "--from",
            "Rice powder, fine",
            "--prefer",
            "least",
            "--most",
            "6%",
            "--apply",
            &out,
        ],
    );
    assert!(ran.text().contains(&format!("Written: {out}")));
    let copy = quern_project::load(out.as_ref()).unwrap().project;
    assert!(copy.materials.contains_key(&id));
    assert_eq!(copy.materials.len(), bench.project.materials.len() + 1);
    // Without a price it cannot be the cheapest, and is left out with its reason.
    let cheap = json(
        &bench,
        &[
            "--solve",
            "6",
            "--prefer",
            "cheapest",
            "--from",
            id.as_str(),
            "--from",
            RICE,
            "--from",
            BEADS,
        ],
    );
    assert_eq!(cheap["left_out"][0]["reason"], "no-price");
}

#[test]
fn a_copy_is_never_written_over_anything() {
    let bench = Bench::new();
    let dune = |more: &[&str], part: &str| {
        refused(
            &[&["grit", &bench.file, "--formula", "Dune", "--solve", "20"], more].concat(),
            part,
        );
    };
    dune(&["--apply", &bench.file], "is the project itself");
    dune(&["--apply", &bench.path("new.txt")], "end it in .ron");
    dune(&["--apply", &bench.path("none/new.ron")], "the folder");
    let there = bench.four();
    let before = std::fs::read(&there).unwrap();
    dune(&["--apply", &there], "is there already and is left alone");
    assert_eq!(std::fs::read(&there).unwrap(), before);
    // Nothing found: told on both streams, and nothing is written.
    let out = bench.path("never.ron");
    let ran = quern(&["grit", &bench.file, "--formula", "Dune", "--solve", "400", "--apply", &out]);
    assert_eq!(ran.code, 2);
    assert!(ran.text().contains("No blend has index 400"), "{}", ran.text());
    assert!(ran.err.contains("was not written") && ran.err.lines().count() == 1, "{}", ran.err);
    assert!(!std::path::Path::new(&out).exists());
}

#[test]
fn standard_input_and_locked_lines() {
    let bench = Bench::new();
    let bytes = std::fs::read(&bench.file).unwrap();
    let ran = with_input(&["grit", "-", "--formula", "dune", "--json"], &bytes);
    assert_eq!(ran.out, dune(&bench, &["--json"]).out);
    let (file, project) = save(&bench, "locked.ron", |p| {
        edit(p, "Dune", |f| f.set_locked(line_of(f, BEADS), true).unwrap());
    });
    let args = ["grit", &file, "--formula", "Dune", "--solve", "12", "--json", "--from", RICE];
    let shown = fine(&[&args[..], &["--from", PUMICE]].concat()).json();
    let held = of(&project, "Dune").line(line_of(of(&project, "Dune"), BEADS)).unwrap();
    let held = of(&project, "Dune").percent_of(held).unwrap();
    for blend in list(&shown["blends"]) {
        let beads =
            list(&blend["exfoliants"]).iter().find(|x| x["id"] == BEADS).expect("it is held");
        assert_eq!(percent(&beads["percent"]), held);
    }
    assert_eq!(list(&shown["candidates"])[0]["locked"], true);
    let library: Library = project.library();
    assert_eq!(exfoliant_lines(of(&project, "Dune"), &library).len(), 2);
    assert_eq!(of(&project, "Dune").product.place, Place::Face);
}

#[test]
fn rounding_does_not_carry_a_blend_over_its_limit() {
    let bench = Bench::new();
    let project = &bench.project;
    let formula = of(project, "Dune");
    let library = project.library();
    let ids: Vec<MaterialId> = project.materials.keys().cloned().collect();
    let mut found = 0;
    for wanted in 8..24 {
        let place = BlendAsk::for_place(Place::Face);
        let ask = BlendAsk { index: f64::from(wanted), size: None, ..place };
        for blend in find_blend(formula, &library, &ids, &ask).unwrap().found {
            found += 1;
            assert!(blend.total <= Percent(Decimal::from(3)), "{wanted}: {}", blend.total);
            assert!((blend.index - ask.index).abs() < 0.5, "{wanted}: {}", blend.index);
        }
    }
    assert!(found > 20, "{found}");
}

#[test]
fn more_exfoliants_than_are_looked_through_are_named() {
    let bench = Bench::new();
    let all = &quern_project::library::builtin().materials;
    let exfoliant = Some(quern_calc::formula::Function::Exfoliant);
    let ids: Vec<&str> =
        all.values().filter(|m| m.function == exfoliant).map(|m| m.id.as_str()).collect();
    let from: Vec<&str> = ids.iter().flat_map(|id| ["--from", *id]).collect();
    let shown = json(&bench, &[&["--solve", "18", "--kinds-most", "1"], &from[..]].concat());
    let over = ids.len() - quern_calc::grit::solve::CANDIDATES_MAX;
    let left = list(&shown["left_out"]).iter().filter(|l| l["reason"] == "too-many").count();
    assert_eq!(left, over);
}

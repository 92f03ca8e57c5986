//! Input that cannot be used.

use super::*;

#[test]
fn input_that_cannot_be_used_is_told_in_a_line() {
    let bench = Bench::new();
    let at = |formula: &str, more: &[&str], part: &str| {
        refused(&[&["grit", &bench.file, "--formula", formula], more].concat(), part);
    };
    let dune = |more: &[&str], part: &str| at("Dune", more, part);
    at("Nessie", &[], "no formula “Nessie”");
    at("Fen", &[], "“Fen” has no exfoliant");
    at("Fen", &["--swap", RICE, "--for", PUMICE], "it has no exfoliant at all");
    dune(&["--beside", "Nessie"], "no formula “Nessie”");
    let four = ["--beside", "Fen", "--beside", "Fen", "--beside", "Fen", "--beside", "Fen"];
    dune(&four, "a page holds 3 beside the first");
    for (cut, part) in [
        ("0", "not above 0 um"),
        ("-3um", "not above 0 um"),
        ("nan", "Not a finite number"),
        ("400g", "g is no length"),
        ("40 mesh", "Unknown unit"),
        ("1e9", "above 10 000 um"),
    ] {
        dune(&["--cut", cut], part);
    }
    dune(&["--place", "knee"], "is no place; it is one of face, body");
    dune(&["--use", "0g"], "not above 0 g");
    dune(&["--use", "2kg"], "is not one use");
    for (index, part) in [
        ("nan", "Not a finite number"),
        ("inf", "Not a finite number"),
        ("-5", "not above 0"),
        ("0", "not above 0"),
        ("30%", "no unit"),
        ("rough", "Unexpected"),
    ] {
        dune(&["--solve", index], part);
    }
    let solve = |more: &[&str], part: &str| dune(&[&["--solve", "20"], more].concat(), part);
    solve(&["--least", "5%", "--most", "2%"], "--least 5 % is above --most 2 %");
    solve(&["--most", "0"], "leaves no exfoliant");
    solve(&["--most", "150%"], "from 0% to 100%");
    solve(&["--most", "6 g"], "is no share");
    solve(&["--kinds", "3", "--kinds-most", "2"], "--kinds 3 is above --kinds-most 2");
    solve(&["--kinds", "0"], "a whole number from 1 to 3");
    solve(&["--kinds", "4"], "a whole number from 1 to 3");
    solve(&["--kinds", "1.5"], "a whole number from 1 to 3");
    solve(&["--tolerance", "1%"], "--tolerance needs --nothing-above");
    solve(&["--nothing-above", "500um", "--tolerance", "101%"], "from 0% to 100%");
    solve(&["--prefer", "nicest"], "one of cheapest, least, nearest");
    solve(&["--from", "walnut"], "did you mean “Walnut shell");
    solve(&["--from", "xyzzyplugh"], "give a name or id");
    solve(&["--from", "juglans regia shell powder"], "3 materials have that name; give the id");
    solve(&["--from", "glycerin-99-5"], "is no exfoliant");
    solve(&["--without", "nuts and bolts"], "neither the project nor");
    dune(&["--pair", PUMICE, PUMICE], "names “Pumice grit, coarse” twice");
    dune(&["--pair", PUMICE, "nothing"], "--pair “nothing”");
    dune(&["--map", PUMICE, RICE, "aqua"], "is no exfoliant");
    dune(&["--swap", "Sea salt, fine", "--for", PUMICE], "its exfoliants are “Jojoba beads, fine”");
    dune(&["--swap", RICE, "--for", RICE], "is what the line holds already");
    dune(&["--swap", RICE, "--for", "sugr"], "--for “sugr”");

    // Lines that cannot be swapped, and a q.s. line that is an exfoliant.
    let (locked, _) = save(&bench, "locked.ron", |p| {
        edit(p, "Dune", |f| f.set_locked(line_of(f, RICE), true).unwrap());
    });
    let swap = ["--swap", RICE, "--for", PUMICE];
    let on = |file: &str, more: &[&str], part: &str| {
        refused(&[&["grit", file, "--formula", "Dune"], more].concat(), part);
    };
    on(&locked, &swap, "the line is locked; unlock it to swap");
    let (fills, _) = save(&bench, "fills.ron", |p| {
        edit(p, "Dune", |f| f.set_fills(Some(line_of(f, RICE))).unwrap());
    });
    on(&fills, &swap, "fills to 100; let another line fill");
    on(&fills, &["--solve", "20"], "an exfoliant line fills to 100");
    let (bare, _) = save(&bench, "bare.ron", |p| {
        let used: Vec<MaterialId> = p
            .materials
            .values()
            .filter(|m| m.function == Some(quern_calc::formula::Function::Exfoliant))
            .map(|m| m.id.clone())
            .collect();
        p.formulas.retain(|f| f.name == "Fen");
        for id in used {
            p.materials.remove(&id);
        }
    });
    refused(&["grit", &bare, "--formula", "Fen", "--solve", "5"], "name some with --from");
    let (blind, _) = save(&bench, "blind.ron", |p| {
        for id in [RICE, BEADS] {
            Arc::make_mut(p.materials.get_mut(&MaterialId::new(id)).unwrap()).grain = None;
        }
    });
    on(&blind, &[], "grain size not known for Jojoba beads, fine, Rice powder, fine");
    on(&blind, &["--pair", RICE, PUMICE], "grain size not known for Rice powder, fine");
}

#[test]
fn options_that_do_not_go_together_are_refused() {
    let bench = Bench::new();
    let dune = |more: &[&str], part: &str| {
        refused(&[&["grit", &bench.file, "--formula", "Dune"], more].concat(), part);
    };
    dune(&["--beside", "Fen", "--solve", "20"], "--beside and --solve are two questions");
    dune(&["--pair", PUMICE, RICE, "--map", PUMICE, RICE, BEADS], "--pair and --map are two");
    dune(&["--map", PUMICE, RICE, BEADS, "--solve", "20"], "--map and --solve are two");
    dune(&["--swap", RICE, "--for", PUMICE, "--solve", "20"], "--swap and --solve are two");
    dune(&["--pair", PUMICE, RICE, "--solve", "20", "--kinds", "2"], "--kinds says nothing beside");
    dune(&["--pair", PUMICE, RICE, "--pair", PUMICE, BEADS], "given more than once");
    dune(&["--solve", "20", "--cut", "400"], "--cut says nothing beside --solve");
    dune(&["--swap", RICE, "--for", PUMICE, "--place", "feet"], "--place says nothing beside");
    dune(&["--most", "3%"], "--most goes with --solve, --pair or --map");
    dune(&["--apply", "x.ron"], "--apply goes with --solve");
    dune(&["--swap", RICE], "--swap needs --for");
    dune(&["--for", RICE], "--for needs --swap");
    assert_eq!(quern(&["grit", &bench.file]).code, 2, "the formula is needed");
    assert_eq!(quern(&["grit", &bench.file, "--formula", "Dune", "--pair", PUMICE]).code, 2);
}

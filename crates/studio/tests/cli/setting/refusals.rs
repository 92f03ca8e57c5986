//! Input that cannot be used.

use super::*;

#[test]
fn input_that_cannot_be_used_is_told_in_a_line() {
    let bench = Bench::new();
    let dune = |more: &[&str], part: &str| {
        refused(&[&["setting", &bench.file, "--formula", "Dune"], more].concat(), part);
    };
    refused(&["setting", &bench.file, "--formula", "Nessie"], "no formula “Nessie”");
    dune(&["--beside", "Nessie"], "no formula “Nessie”");
    for option in ["--pour", "--air"] {
        for (text, part) in [
            ("nan", "Not a finite number"),
            ("inf", "Not a finite number"),
            ("1e9", "give a temperature from"),
            ("-41 C", "give a temperature from"),
            ("121", "give a temperature from"),
            ("149F", "F is no temperature here; give it in C"),
            ("65%", "% is no temperature here"),
            ("65 g", "g is no temperature here"),
            ("hot", "Unexpected"),
            ("", "Nothing is entered"),
            ("1,234", "choose 1.234 or 1234"),
        ] {
            dune(&[option, text], part);
        }
    }
    dune(&["--pour", "120.5"], "from 0 to 120 C");
    dune(&["--air", "51"], "from -30 to 50 C");
    dune(&["--stand", "shelf"], "it is one of bench, rack, fridge");
    dune(&["--decimal", "comma", "--pour", "1.234"], "choose 1.234 or 1234");
}

#[test]
fn moulds_that_cannot_be_used_are_told() {
    let bench = Bench::new();
    let mould = |text: &str, part: &str| {
        let args = ["setting", &bench.file, "--formula", "Dune", "--mould", text];
        refused(&args, part);
    };
    mould("pan", "“pan” is not known; there are “Bar, 80 x 55 x 30 mm”");
    mould("pan", "“Slab to cut, 300 x 200 x 30 mm”; or give sizes");
    mould("", "is not known");
    mould("bar", "fits “Bar, 80 x 55 x 30 mm”, “Bar, 75 x 50 x 25 mm”; write more");
    mould("80x55", "that is no outline with its sizes; write 80x55x30mm");
    mould("80x55x30x2", "no outline with its sizes");
    mould("dome:60x3", "no outline with its sizes");
    mould("ring:60x3", "no outline with its sizes");
    mould("dome:", "Nothing is entered");
    mould("disc:wide", "Unexpected");
    mould("80cm x 55 x 30", "Unknown unit “cm”");
    mould("8%x55x30", "% is no size; give mm");
    mould("0x55x30", "each size is above 0 and at most 1000 mm");
    mould("-80x55x30", "each size is above 0");
    mould("80x55x1001", "at most 1000 mm");
    mould("1,234x3x3", "choose 1.234 or 1234");
    mould("1e400x3x3", "too large");
    mould("80 55 30", "two");
    let cavity = |text: &str, part: &str| {
        let args = ["setting", &bench.file, "--formula", "Dune", "--mould", "80x55x30mm"];
        refused(&[&args[..], &["--cavity", text]].concat(), part);
    };
    cavity("118", "give the unit: mL, or g of the water");
    cavity("118%", "give the unit");
    cavity("0mL", "not above 0 mL");
    cavity("-3mL", "not above 0 mL");
    cavity("-118g", "not above 0 g");
    cavity("mL", "Unexpected");
    cavity("nan mL", "Not a finite number");
    cavity("12 g mL", "Unexpected");
    cavity("12 mm", "give the unit");
    cavity("1180mL", "holds 132.0 mL, so 1180.0 mL is a slip");
    cavity("11.8 g", "is a slip");
}

#[test]
fn files_that_do_not_fit_are_refused() {
    let bench = Bench::new();
    let dune = |more: &[&str], part: &str| {
        refused(&[&["setting", &bench.file, "--formula", "Dune"], more].concat(), part);
    };
    dune(&["-o", &bench.path("a.doc")], "end it in .pdf, .html, .txt or .json");
    dune(&["-o", &bench.path("a")], "end it in .pdf, .html, .txt or .json");
    dune(&["-o", &bench.path("a.pdf"), "--json"], "make them agree");
    dune(&["-o", &bench.path("a.txt"), "--json"], "make them agree");
    dune(&["-o", &bench.path("none/a.txt")], "not there");
    let json = bench.path("project.json");
    std::fs::copy(&bench.file, &json).unwrap();
    let args = ["setting", &json, "--formula", "Dune", "-o", &json];
    refused(&args, "is the project itself");
    assert_eq!(quern(&["setting", &bench.file]).code, 2, "the formula is needed");
    assert_eq!(quern(&["setting"]).code, 2);
}

//! JSON against its schema, and the same bytes every time.

use super::*;

fn every_mode(bench: &Bench) -> Vec<Vec<String>> {
    let scored = save(bench, "scored.ron", |p| {
        p.grit = Arc::new(scored(&[("Dune", 7.0, 3), ("Cairn", 140.0, 8)]));
    });
    let all: [&[&str]; 16] = [
        &[],
        &["--place", "hands", "--cut", "350", "--use", "3g"],
        &["--beside", "Shingle"],
        &["--beside", "Shingle", "--beside", "Fen", "--beside", "Cairn", "--cut", "350um"],
        &["--solve", "18"],
        &["--solve", "18", "--from", "Walnut shell powder, fine", "--from", RICE, "--most", "6"],
        &["--solve", "300", "--nothing-above", "500um", "--in-use", "--without", "nut"],
        &["--solve", "0.01", "--least", "3%"],
        &["--pair", PUMICE, BEADS],
        &["--pair", PUMICE, "Cellulose beads", "--solve", "20", "--cut", "300"],
        &["--pair", PUMICE, BEADS, "--solve", "500"],
        &["--map", PUMICE, BEADS, RICE],
        &["--map", PUMICE, "Sea salt, fine", RICE, "--in-use", "--cut", "500", "--most", "8%"],
        &["--swap", RICE, "--for", PUMICE],
        &["--swap", RICE, "--for", "Cellulose beads"],
        &["--solve", "15", "--prefer", "nearest", "--kinds-most", "1"],
    ];
    let mut out: Vec<Vec<String>> = Vec::new();
    for more in all {
        let args = ["grit", &bench.file, "--formula", "Dune"];
        out.push(args.iter().chain(more).map(ToString::to_string).collect());
    }
    out.push(["grit", &scored.0, "--formula", "Dune"].map(str::to_owned).to_vec());
    let fen = ["grit", &bench.file, "--formula", "Fen", "--solve", "5"];
    out.push(fen.map(str::to_owned).to_vec());
    out
}

#[test]
fn json_is_as_the_schema_says_and_does_not_change() {
    let bench = Bench::new();
    let text = include_str!("../../../../../docs/grit.schema.json");
    let schema: Value = serde_json::from_str(text).unwrap();
    jsonschema::meta::validate(&schema).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    for args in every_mode(&bench) {
        let mut args: Vec<&str> = args.iter().map(String::as_str).collect();
        let text = fine(&args);
        assert_eq!(fine(&args).out, text.out, "two runs differ: {args:?}");
        args.push("--json");
        let ran = fine(&args);
        assert_eq!(fine(&args).out, ran.out, "two runs differ: {args:?}");
        let json = ran.json();
        let errors: Vec<String> =
            schema.iter_errors(&json).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{args:?}\n{}", errors.join("\n"));
        nulls_have_reasons(&json, &mut Vec::new());
        // The schema is strict: one key more or less is noticed.
        let mut more = json.clone();
        more["extra"] = Value::Null;
        assert!(!schema.is_valid(&more), "{args:?}");
        let mut less = json;
        less.as_object_mut().unwrap().remove("note");
        assert!(!schema.is_valid(&less), "{args:?}");
    }
}

/// Walks the document: a null has one reason in the nearest list of missing, and nothing else is
/// listed there.
fn nulls_have_reasons(value: &Value, told: &mut Vec<String>) {
    match value {
        Value::Object(object) => {
            let Some(missing) = object.get("missing") else {
                for (key, inner) in object {
                    // Whether an earlier version or a phase's number is known is no figure, and
                    // many findings have no figure, no limit and nobody who accepted them.
                    let asked = ["parent", "place", "figure", "limit", "accepted"];
                    if !asked.contains(&key.as_str()) {
                        assert!(!inner.is_null() || told.contains(key), "{key} in {value}");
                        nulls_have_reasons(inner, told);
                    }
                }
                return;
            };
            if let Some(values) = object.get("values") {
                let nulls = list(values).iter().filter(|v| v.is_null()).count();
                assert_eq!(nulls, list(missing).len(), "{value}");
                return;
            }
            let mut here: Vec<String> =
                list(missing).iter().map(|m| m["figure"].as_str().unwrap().to_owned()).collect();
            for (key, inner) in object {
                let times = here.iter().filter(|m| *m == key).count();
                assert_eq!(times, usize::from(inner.is_null()), "{key} in {value}");
                nulls_have_reasons(inner, &mut here);
            }
        }
        Value::Array(items) => items.iter().for_each(|v| nulls_have_reasons(v, told)),
        _ => {}
    }
}

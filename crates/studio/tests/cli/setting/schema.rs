//! JSON against its schema, and the same bytes every time.

use super::*;

#[test]
fn json_is_as_the_schema_says_and_does_not_change() {
    let bench = Bench::new();
    let text = include_str!("../../../../../docs/setting.schema.json");
    let schema: Value = serde_json::from_str(text).unwrap();
    jsonschema::meta::validate(&schema).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    let (measured, tight, dry) = (measured(&bench), tight(&bench), dry(&bench));
    let four = bench.four();
    let demo = bench.file.as_str();
    let all: [&[&str]; 12] = [
        &[demo, "--formula", "Dune"],
        &[demo, "--formula", "Fen"],
        &[demo, "--formula", "Cairn", "--stand", "fridge", "--mould", "dome:60mm"],
        &[demo, "--formula", "Dune", "--beside", "Fen", "--curve"],
        &[demo, "--formula", "Dune", "--pour", "0"],
        &[demo, "--formula", "Dune", "--pour", "120", "--air", "50", "--stand", "rack"],
        &[demo, "--formula", "Dune", "--pour", "60", "--mould", "1000x1000x1000"],
        &[&measured, "--formula", "Dune"],
        &[&measured, "--formula", "Shingle", "--cavity", "128g"],
        &[&tight, "--formula", "Tight"],
        &[&dry, "--formula", "Tight"],
        &[&four, "--formula", "B"],
    ];
    for more in all {
        let args = [&["setting"], more, &["--json"]].concat();
        let ran = fine(&args);
        assert_eq!(fine(&args).out, ran.out, "two runs differ: {args:?}");
        let json = ran.json();
        let errors: Vec<String> =
            schema.iter_errors(&json).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{args:?}\n{}", errors.join("\n"));
        for one in list(&json["formulas"]) {
            let missing = list(&one["missing"]);
            for (key, value) in one.as_object().unwrap() {
                let told = missing.iter().filter(|m| m["figure"] == *key).count();
                assert_eq!(told, usize::from(value.is_null()), "{key} in {args:?}");
            }
            for (key, row) in one["readouts"].as_object().unwrap() {
                assert_eq!(row["value"].is_null(), row["absent"].is_string(), "{key} {args:?}");
            }
        }
        // The schema is strict: one key more or less is noticed.
        let mut more = json.clone();
        more["formulas"][0]["readouts"]["extra"] = Value::Null;
        assert!(!schema.is_valid(&more), "{args:?}");
        let mut less = json;
        less["formulas"][0]["readouts"].as_object_mut().unwrap().remove("sets_at_c");
        assert!(!schema.is_valid(&less), "{args:?}");
    }
}

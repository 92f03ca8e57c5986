//! The rules files: built in, and the user's own in their place.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp
)]

use quern_project::rules::{builtin_problems, builtin_rules};

#[test]
fn the_built_in_files_are_sound() {
    let words: Vec<String> = builtin_problems().iter().map(ToString::to_string).collect();
    assert!(words.is_empty(), "{}", words.join("\n"));
    let codes: Vec<&str> = builtin_rules().markets.iter().map(|m| m.code.as_str()).collect();
    assert_eq!(codes, ["eu", "us"]);
}

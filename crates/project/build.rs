//! Lists the material files, so that a new file needs no change in code.

use std::error::Error;
use std::fmt::Write as _;
use std::path::PathBuf;
use std::{env, fs};

fn main() -> Result<(), Box<dyn Error>> {
    let here = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?);
    let folder = here.join("../../assets/materials");
    println!("cargo:rerun-if-changed=build.rs");
    println!("cargo:rerun-if-changed={}", folder.display());

    let mut files: Vec<PathBuf> = Vec::new();
    // No folder is an empty library, not a failed build.
    if let Ok(entries) = fs::read_dir(&folder) {
        for entry in entries {
            let path = entry?.path();
            if path.extension().is_some_and(|e| e == "ron") {
                files.push(path);
            }
        }
    }
    files.sort();

    let mut code = String::from("const FILES: &[(&str, &str)] = &[\n");
    for path in &files {
        println!("cargo:rerun-if-changed={}", path.display());
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let full = fs::canonicalize(path)?;
        writeln!(code, "    ({name:?}, include_str!({:?})),", full.display().to_string())?;
    }
    code.push_str("];\n");
    fs::write(PathBuf::from(env::var("OUT_DIR")?).join("materials.rs"), code)?;
    Ok(())
}

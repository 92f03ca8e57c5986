//! Writing the samples.

use std::fs::{self, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use super::args::Demo;
use super::{Bad, Bench, Done};

fn there_already(path: &Path) -> Bad {
    Bad::new(format!(
        "{} is there already and is left alone; choose another folder, or move the file away",
        path.display()
    ))
}

pub(super) fn run(args: &Demo, bench: &mut Bench<'_>) -> Done {
    let mut samples = vec![("coast-workshop.ron", quern_project::demo_text())];
    if args.all {
        samples.push(("skeletons.ron", quern_project::skeletons_text()));
        samples.extend(quern_project::DEMOS.iter().skip(1).map(|d| (d.file, d.text)));
    }
    let samples: Vec<(PathBuf, &str)> =
        samples.into_iter().map(|(name, text)| (args.folder.join(name), text)).collect();
    // All are looked for first, so that a refusal leaves nothing half done.
    if let Some((path, _)) = samples.iter().find(|(path, _)| path.symlink_metadata().is_ok()) {
        return Err(there_already(path));
    }
    fs::create_dir_all(&args.folder).map_err(|e| {
        Bad::new(format!(
            "the folder {} could not be made: {e}; choose another one",
            args.folder.display()
        ))
    })?;
    for (path, text) in &samples {
        write_new(path, text)?;
    }
    for (path, _) in &samples {
        bench.put_text(&format!("Written: {}\n", path.display()))?;
    }
    Ok(0)
}

/// Writes a file that is not there yet. The system itself refuses one that has appeared since.
fn write_new(path: &Path, text: &str) -> Result<(), Bad> {
    let mut file =
        OpenOptions::new().write(true).create_new(true).open(path).map_err(|e| match e.kind() {
            io::ErrorKind::AlreadyExists => there_already(path),
            _ => failed(path, &e),
        })?;
    file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(|e| {
        // Half a project would only be in the way of the next try.
        let _ = fs::remove_file(path);
        failed(path, &e)
    })
}

fn failed(path: &Path, error: &io::Error) -> Bad {
    Bad::new(format!("{} could not be written: {error}; choose another folder", path.display()))
}

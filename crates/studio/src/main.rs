//! `quern`: the window, or a headless command.

use std::process::ExitCode;

use quern_studio::cli::{Outcome, run};

fn main() -> ExitCode {
    let today = quern_studio::clock::today();
    let outcome = run(std::env::args_os(), &mut std::io::stdout(), &mut std::io::stderr(), today);
    match outcome {
        Outcome::Exit(code) => ExitCode::from(code),
        Outcome::Window { file } => match quern_studio::run::window(file) {
            Ok(()) => ExitCode::SUCCESS,
            Err(error) => {
                eprintln!("{error:#}");
                ExitCode::from(2)
            }
        },
    }
}

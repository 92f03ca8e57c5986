//! `quern`: the window, or a headless command.

use std::process::ExitCode;

use quern_studio::cli::{Outcome, run};

fn main() -> ExitCode {
    quern_studio::timing::begin();
    let today = quern_studio::clock::today();
    let own_rules = quern_studio::run::own_rules();
    for problem in &own_rules {
        eprintln!("warning: {problem}");
    }
    let outcome = run(std::env::args_os(), &mut std::io::stdout(), &mut std::io::stderr(), today);
    match outcome {
        Outcome::Exit(code) => ExitCode::from(code),
        Outcome::Window { file } => match quern_studio::run::window(file, &own_rules) {
            Ok(()) => ExitCode::SUCCESS,
            Err(error) => {
                eprintln!("{error:#}");
                ExitCode::from(2)
            }
        },
    }
}

//! The headless commands, and the choice between them and the window.
//!
//! ```text
//! arguments -> Source (project, library) -> Evaluation -> text, JSON, Markdown or a sheet
//! ```
//!
//! A command returns its exit code, or one sentence on what is wrong with its input. Only
//! this file writes to the two streams.

mod args;
mod check;
mod compare;
mod demo;
mod estimate;
mod findings;
mod grit;
mod input;
mod json;
mod label;
mod looked;
mod numbers;
mod report;
mod setting;
mod sheet;
mod text;

use std::ffi::OsString;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use clap::Parser as _;
use quern_calc::quantity::Date;

use args::{Cli, Command};

/// Exit code of a check that found a Stop.
const STOP_STANDS: u8 = 1;

/// Exit code of input that cannot be used.
const BAD_INPUT: u8 = 2;

/// Commands that are planned. They are told apart from file names here, so that the help
/// lists only what works.
const PLANNED: [&str; 5] = ["batch", "stock", "trace", "page", "import"];

/// What is left to do once the arguments are read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// The command is done; end with this code.
    Exit(u8),
    /// No command was given: open the window.
    Window {
        /// The project to open, if one was named.
        file: Option<PathBuf>,
    },
}

/// Why a command could not be done, in one sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Bad(String);

impl Bad {
    fn new(text: impl Into<String>) -> Self {
        Self(text.into())
    }
}

/// The exit code, or what is wrong.
type Done = Result<u8, Bad>;

/// What a command works with beside its own arguments.
struct Bench<'a> {
    input: &'a mut dyn Read,
    out: &'a mut dyn Write,
    today: Date,
}

impl Bench<'_> {
    /// Writes to standard output. A reader that has gone (`quern report ... | head`) is no
    /// failure.
    fn put(&mut self, bytes: &[u8]) -> Result<(), Bad> {
        match self.out.write_all(bytes).and_then(|()| self.out.flush()) {
            Err(e) if e.kind() != io::ErrorKind::BrokenPipe => {
                Err(Bad::new(format!("standard output could not be written: {e}")))
            }
            _ => Ok(()),
        }
    }

    fn put_text(&mut self, text: &str) -> Result<(), Bad> {
        self.put(text.as_bytes())
    }
}

/// Runs a headless command, or says that the window is wanted. The first argument is the
/// program's own name; `-` as a file is the process's standard input.
///
/// # Examples
/// ```
/// use quern_studio::cli::{Outcome, run};
///
/// let (mut out, mut err) = (Vec::new(), Vec::new());
/// let args = ["quern", "--version"].map(Into::into);
/// let day = quern_calc::quantity::Date::Y2K;
/// assert_eq!(run(args, &mut out, &mut err, day), Outcome::Exit(0));
/// assert!(out.starts_with(b"quern "));
/// ```
pub fn run(
    args: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
    today: Date,
) -> Outcome {
    run_with_input(args, &mut io::stdin(), out, err, today)
}

/// As [`run`], with standard input given by the caller.
pub fn run_with_input(
    args: impl IntoIterator<Item = OsString>,
    input: &mut dyn Read,
    out: &mut dyn Write,
    err: &mut dyn Write,
    today: Date,
) -> Outcome {
    let args: Vec<OsString> = args.into_iter().collect();
    let mut bench = Bench { input, out, today };
    let done = match planned(&args) {
        Some(name) => {
            Err(Bad::new(format!("`quern {name}` is not built yet; what works now: quern --help")))
        }
        None => match Cli::try_parse_from(args) {
            Ok(cli) => match cli.command {
                None => match window(cli.file) {
                    Ok(outcome) => return outcome,
                    Err(bad) => Err(bad),
                },
                Some(command) => dispatch(command, &mut bench),
            },
            Err(error) => {
                let text = error.render().to_string();
                if error.use_stderr() {
                    // Nothing is left to tell it to when standard error is closed.
                    let _ = err.write_all(text.as_bytes());
                    return Outcome::Exit(BAD_INPUT);
                }
                bench.put_text(&text).map(|()| 0)
            }
        },
    };
    Outcome::Exit(done.unwrap_or_else(|Bad(text)| {
        let _ = writeln!(err, "error: {}", text::one_line(&text));
        BAD_INPUT
    }))
}

fn planned(args: &[OsString]) -> Option<&'static str> {
    let first = args.get(1)?.to_str()?;
    PLANNED.into_iter().find(|name| *name == first)
}

/// A bare word that is no file is more likely a mistyped command than a project.
fn window(file: Option<PathBuf>) -> Result<Outcome, Bad> {
    match &file {
        Some(path) if path == Path::new("-") => Err(Bad::new(
            "the window opens a file, not standard input; name a project, or use quern report -",
        )),
        Some(path) if path.extension().is_none() && matches!(path.try_exists(), Ok(false)) => {
            Err(Bad::new(format!(
                "there is no command and no file {}; see quern --help",
                text::quoted(&path.to_string_lossy())
            )))
        }
        _ => Ok(Outcome::Window { file }),
    }
}

fn dispatch(command: Command, bench: &mut Bench<'_>) -> Done {
    match command {
        Command::Report(args) => report::run(&args, bench),
        Command::Check(args) => check::run(&args, bench),
        Command::Compare(args) => compare::run(&args, bench),
        Command::Grit(args) => grit::run(&args, bench),
        Command::Setting(args) => setting::run(&args, bench),
        Command::Label(args) => label::run(&args, bench),
        Command::Sheet(args) => sheet::run(&args, bench),
        Command::Demo(args) => demo::run(&args, bench),
    }
}

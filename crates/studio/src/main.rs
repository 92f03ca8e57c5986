//! Temporary.
fn main() { if let Err(e) = quern_studio::run::window(std::env::args_os().nth(1).map(Into::into)) { eprintln!("{e:#}"); } }

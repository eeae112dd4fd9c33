//! The command line: arguments in, answers out, one exit code.

mod cli;
mod commands;
mod exit;
mod files;
mod say;

use clap::Parser;

fn main() -> std::process::ExitCode {
    let typed = cli::Typed::parse();
    let voice = say::Voice::new(typed.color, typed.quiet);
    let exit = match commands::run(&typed) {
        Ok(answer) => voice.answer(&answer),
        Err(faults) => voice.could_not_run(&faults),
    };
    exit.into()
}

//! `completions` and `man`: made from the same definition as the arguments.

use clap::CommandFactory;
use plymend::diagnostic::Diagnostic;

use crate::cli::Typed;
use crate::say::Answer;

pub(super) fn completions(shell: clap_complete::Shell) -> Answer {
    let mut bytes = Vec::new();
    clap_complete::generate(shell, &mut Typed::command(), "plymend", &mut bytes);
    Answer { text: String::from_utf8_lossy(&bytes).into_owned(), ..Answer::default() }
}

pub(super) fn manual() -> Result<Answer, Vec<Diagnostic>> {
    let mut command = Typed::command();
    command.build();
    let mut bytes = Vec::new();
    let mut page = |command: clap::Command| {
        clap_mangen::Man::new(command)
            .render(&mut bytes)
            .map_err(|error| vec![crate::files::cannot_write("the manual page", &error)])
    };
    let subcommands: Vec<clap::Command> =
        command.get_subcommands().filter(|one| one.get_name() != "help").cloned().collect();
    page(command)?;
    for one in subcommands {
        let name = format!("plymend-{}", one.get_name());
        page(one.display_name(name))?;
    }
    Ok(Answer { text: String::from_utf8_lossy(&bytes).into_owned(), ..Answer::default() })
}

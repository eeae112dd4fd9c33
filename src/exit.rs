//! The exit codes, all of them.

/// How a run ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Exit {
    /// Done.
    Done = 0,
    /// Done, and something needs a person.
    NeedsPerson = 1,
    /// Could not run.
    CouldNotRun = 2,
    /// Interrupted.
    Interrupted = 130,
}

impl From<Exit> for std::process::ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit as u8)
    }
}

/// The table as it stands in the long help and the manual page.
pub(crate) const TABLE: &str = "\
Exit codes:
  0    done
  1    done, and something needs a person: a referral, a block, a gate that
       failed, or faults that `check` found in a readable file
  2    could not run: a file that cannot be read, a fault in a file, an answer
       that cannot be written, a mistake in the command line
  130  interrupted

Example:
  plymend new job --panel lid
  plymend check job/survey.ron
  plymend estimate job/survey.ron --format json -o job/estimate.json";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_holds_every_code() {
        for exit in [Exit::Done, Exit::NeedsPerson, Exit::CouldNotRun, Exit::Interrupted] {
            assert!(TABLE.contains(&format!("\n  {:<3}  ", exit as u8)));
        }
    }
}

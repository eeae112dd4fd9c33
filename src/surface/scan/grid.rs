//! Marks on a scan whose panel file states no grid: what can be placed, and what cannot.

use crate::diagnostic::Diagnostic;
use crate::model::survey::{Place, SideWord};
use crate::read::job::Job;
use crate::surface::placed::PlacedPanel;

/// Refuses a place that needs the grid of a scan that has none: a grid place, or a side word with
/// nothing else to settle which of two places is meant.
///
/// # Errors
/// The place.
pub(in crate::surface) fn no_grid(
    job: &Job,
    on: &PlacedPanel<'_>,
    written: &Place,
    field: &str,
) -> Result<(), Diagnostic> {
    if on.has_grid() {
        return Ok(());
    }
    match written {
        Place::On(..) => Err(grid_needed(job, on, field)),
        Place::Taped { third: None, side, .. } if *side != SideWord::Unsaid => Err(job.fault(
            &job.survey_file,
            &format!("{field}.side"),
            "SCAN-AXIS",
            format!("the scan of {:?} does not say which way is up or to the front", on.of.name),
            "a third tape, or a scan with `axis`",
            AXIS,
        )),
        _ => Ok(()),
    }
}

/// The fault of a place, angle or step on the grid of a scan that has none.
pub(in crate::surface) fn grid_needed(job: &Job, on: &PlacedPanel<'_>, field: &str) -> Diagnostic {
    job.fault(
        &job.survey_file,
        field,
        "SCAN-AXIS",
        format!("this is given on the grid, and the scan of {:?} has no `axis`", on.of.name),
        "Taped or Xyz places, directions towards a landmark; or a scan with `axis`",
        AXIS,
    )
}

const AXIS: &str = "state in the panel file where the grid starts and which way u runs: axis: \
                    (at: (x, y, z), along: (1, 0, 0)), with v to the left of u seen from outside";

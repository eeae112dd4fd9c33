//! Opened-up sizes: a mark is worked at the size it was found at, the others of its kind learn from
//! it, what changes is told, and nothing found ever lifts a referral, a hold or a stop line.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

#[path = "opened_up/demo.rs"]
mod demo;
#[path = "together/photos.rs"]
mod demo_photos;
#[path = "random_surveys/drawn.rs"]
mod drawn;
#[path = "opened_up/found.rs"]
mod found;
#[path = "opened_up/laid_as_found.rs"]
mod laid_as_found;
#[path = "opened_up/never_lifts.rs"]
mod never_lifts;
#[path = "opened_up/refused.rs"]
mod refused;
#[path = "together/laid.rs"]
mod together;
#[path = "random_surveys/written.rs"]
#[allow(dead_code, reason = "written for another test as well")]
mod written;

use plymend::diagnostic::Diagnostic;
use plymend::read::job::{Job, Named, TextFolder, job};
use plymend::report::Report;

/// A survey of one sheet with its marks, and what was found at them; both without the brackets of
/// their lists.
fn texts(panel: &str, marks: &str, found: &str) -> TextFolder {
    let survey = format!(
        "(format: 1, people: two, air_c: 19, humidity_percent: 55, topcoat: gel_finish,
          panels: [(name: \"sheet\", file: \"sheet.ron\", {panel})],
          marks: [{marks}], opened: \"found.ron\")"
    );
    let sheet = "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1200, width_mm: 1000))";
    let found = format!("(format: 1, survey: \"survey.ron\", found: [{found}])");
    TextFolder::from([("survey.ron", &*survey), ("sheet.ron", sheet), ("found.ron", &*found)])
}

/// A sheet of plain skin.
const SKIN: &str = "thickness_mm: 3, material: hand_laid_polyester, roles: [skin], back: reached, fixings: none_seen";
/// Who found it.
const BY: &str = "by: \"the yard\", date: \"May\"";

fn read(texts: &TextFolder) -> Result<Job, Vec<Diagnostic>> {
    job(texts, "survey.ron", &Named::default())
}

fn whole(texts: &TextFolder) -> Job {
    read(texts).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn told(job: &Job) -> Report {
    plymend::estimate(job).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// The same job with nothing opened.
fn closed(job: &Job) -> Job {
    Job { opened: None, ..job.clone() }
}

//! Stands in until the real rooms are merged.
use crate::diagnostic::Diagnostic;
use crate::read::Job;
/// One answer.
#[derive(Debug)]
pub struct Report {
    marks: usize,
}
impl Report {
    /// Why a person is needed, when one is.
    #[must_use]
    pub fn exit_reason(&self) -> Option<String> {
        (self.marks > 0).then(|| "marks".to_owned())
    }
}
/// The answer to a job.
///
/// # Errors
/// None here.
pub fn estimate(job: &Job) -> Result<Report, Vec<Diagnostic>> {
    Ok(Report { marks: job.survey.marks.len() })
}
/// Text.
pub mod text {
    use super::Report;
    /// How much is said.
    #[derive(Debug, Clone, Copy)]
    pub enum Wide {
        /// The usual.
        Usual,
        /// With the working.
        Working,
    }
    /// Everything.
    #[must_use]
    pub fn full(report: &Report, wide: Wide) -> String {
        format!("{} marks {wide:?}\n", report.marks)
    }
    /// In short.
    #[must_use]
    pub fn brief(report: &Report) -> String {
        format!("{} marks\n", report.marks)
    }
}
/// JSON.
pub mod json {
    use super::Report;
    /// Everything.
    #[must_use]
    pub fn text(report: &Report) -> String {
        format!("{{\"marks\": {}}}\n", report.marks)
    }
}

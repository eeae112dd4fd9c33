//! Two surveys of one body: what changed between them.

use super::{Answer, Depth, reported, skins, stock_lacks, told, work};
use crate::damage::change::{Changes, Looked, between};
use crate::diagnostic::Diagnostic;
use crate::read::job::Job;
use crate::report::html::changes_page;
use crate::report::lines_compare;
use crate::report::maps::{Mapped, of_both};
use crate::report::model::Report;
use crate::report::record_compare::Comparison;
use crate::surface::placed::PlacedPanel;

/// What changed from an earlier to a later survey of one body.
///
/// Sizes are compared as recorded; stops and referrals are those of each survey's own assessment,
/// sizes found after grinding among them.
///
/// # Errors
/// Faults of either job, each with its file and place, and what keeps the two from being one body.
pub fn compare(earlier: &Job, later: &Job) -> Result<Comparison, Vec<Diagnostic>> {
    compared(earlier, later, |found, _, _, _| Ok(found))
}

/// [`compare`], and with it a page of HTML that has both surveys on one map.
///
/// # Errors
/// As [`compare`].
pub fn compare_page(earlier: &Job, later: &Job) -> Result<(Comparison, String), Vec<Diagnostic>> {
    compared(earlier, later, |found, looked_then, now, changes| {
        let maps = of_both(now, looked_then, &changes.marks)
            .map_err(|why| vec![stock_lacks(later, why)])?;
        let page = changes_page(&found, &maps);
        Ok((found, page))
    })
}

fn compared<T>(
    earlier: &Job,
    later: &Job,
    take: impl FnOnce(Comparison, &Looked<'_>, &Mapped<'_, '_>, &Changes) -> Result<T, Vec<Diagnostic>>,
) -> Result<T, Vec<Diagnostic>> {
    let (skins_then, skins_now) = rayon::join(|| skins(earlier), || skins(later));
    let (panels_then, panels_now) = (skins_then?, skins_now?);
    let (then, now) = rayon::join(|| worked(earlier, &panels_then), || worked(later, &panels_now));
    let ((answer_then, report_then), (answer_now, report_now)) = (then?, now?);
    let looked_then =
        Looked { job: earlier, panels: &panels_then, findings: &answer_then.findings };
    let looked_now = Looked { job: later, panels: &panels_now, findings: &answer_now.findings };
    let changes = between(&looked_then, &looked_now)?;
    let reports = (&report_then, &report_now);
    let found = lines_compare::record(&looked_then, &looked_now, reports, &changes);
    let now = Mapped {
        job: later,
        panels: &panels_now,
        findings: &answer_now.findings,
        plan: &answer_now.plan,
        grids: &answer_now.grids,
        report: &report_now,
    };
    take(found, &looked_then, &now, &changes)
}

/// A job worked up to what may be touched, as recorded, with its report.
pub(super) fn worked<'j>(
    job: &'j Job,
    panels: &[PlacedPanel<'_>],
) -> Result<(Answer<'j>, Report), Vec<Diagnostic>> {
    let answer = work(job, panels)?;
    let report = match job.opened {
        Some(_) => told(job, panels, Depth::Marks, |report, _| report)?,
        None => reported(job, panels, &answer, Depth::Marks)?.0,
    };
    Ok((answer, report))
}

//! Drawings of a job: [`crate::estimate`] up to what may be touched, then full-size sheets or maps.

use super::{Answer, Depth, GeometryTexts, skins, stock_lacks, told};
use crate::buy::cutting::MatPlan;
use crate::buy::{cutting, full_size, job as buying};
use crate::diagnostic::Diagnostic;
use crate::quantity::Case;
use crate::read::job::Job;
use crate::report::full_size::{CutDrawing, PatternBook, drawn_alone};
use crate::report::lines_classes;
use crate::report::lines_summary::referred;
use crate::report::lines_timetable::timing;
use crate::report::maps;
use crate::report::model::Report;
use crate::report::text::of_marks;
use crate::shop::timetable::Timing;
use crate::surface::placed::PlacedPanel;

/// Every ply and removal of a job at full size in one case, with how they are cut from the roll.
///
/// # Errors
/// Faults of the job, each with its file and place.
pub fn patterns(job: &Job, case: Case) -> Result<PatternBook, Vec<Diagnostic>> {
    let panels = skins(job)?;
    told(job, &panels, Depth::Marks, |report, answer| book(job, &panels, &report, answer, case))?
        .map_err(|why| vec![stock_lacks(job, why)])
}

/// [`crate::assess`], and with it every map as a whole SVG file with its name.
///
/// # Errors
/// Faults of the job, each with its file and place.
pub fn assess_with_maps(
    job: &Job,
    classes: bool,
) -> Result<(Report, GeometryTexts), Vec<Diagnostic>> {
    let panels = skins(job)?;
    told(job, &panels, Depth::Marks, |mut report, answer| {
        report.answers = "assess";
        if classes {
            report.classes = Some(lines_classes::lines(&answer.findings));
        }
        let drawn = maps::of_job(&mapped(job, &panels, &report, answer));
        let drawn = drawn.map_err(|why| vec![stock_lacks(job, why)])?;
        let files = drawn.files(&stops(&report), &left_out(&report));
        Ok((report, files))
    })?
}

/// What must not be done, each with its marks.
fn stops(report: &Report) -> Vec<String> {
    let stops = report.stops.iter();
    stops.map(|stop| format!("{} ({})", stop.text, of_marks(&stop.marks))).collect()
}

/// What the totals leave out, each reason once with all its marks.
fn left_out(report: &Report) -> Vec<String> {
    let mut reasons: Vec<(&str, Vec<u32>)> = Vec::new();
    for one in &report.materials.high.excludes {
        match reasons.iter_mut().find(|(reason, _)| *reason == one.reason) {
            Some((_, marks)) => marks.extend(one.mark),
            None => reasons.push((&one.reason, one.mark.into_iter().collect())),
        }
    }
    let told = reasons.into_iter().map(|(reason, marks)| {
        if marks.is_empty() { reason.to_owned() } else { format!("{}: {reason}", of_marks(&marks)) }
    });
    told.collect()
}

/// Cut plans by the list they belong to; those that wait say for what.
type Lists = Vec<(Option<String>, Vec<MatPlan>)>;

/// Cut plans by the list they belong to.
fn cut(
    job: &Job,
    report: &Report,
    answer: &Answer<'_>,
    patterns: &cutting::Patterns<'_>,
) -> Result<Lists, String> {
    let timing = timing(report, &answer.plan, &answer.findings);
    let mut cut = Vec::new();
    for (after, repairs) in buying::groups(&timing) {
        cut.push((after, cutting::cut_plan_of(&job.book, patterns, &answer.plan, &repairs)?));
    }
    Ok(cut)
}

/// The drawings of a page: maps, and for a shop the cut plans of the likely case.
pub(super) fn pictures(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    report: &Report,
    answer: &Answer<'_>,
    with_cut: bool,
) -> Result<(maps::Maps, Vec<CutDrawing>), String> {
    let drawn = maps::of_job(&mapped(job, panels, report, answer))?;
    if !with_cut {
        return Ok((drawn, Vec::new()));
    }
    let (findings, plan) = (&answer.findings, &answer.plan);
    let patterns = cutting::patterns(&job.book, panels, findings, plan, Case::Likely)?;
    Ok((drawn, drawn_alone(&cut(job, report, answer, &patterns)?)))
}

fn mapped<'a, 'j>(
    job: &'a Job,
    panels: &'a [PlacedPanel<'a>],
    report: &'a Report,
    answer: &'a Answer<'j>,
) -> maps::Mapped<'a, 'j> {
    maps::Mapped {
        job,
        panels,
        findings: &answer.findings,
        plan: &answer.plan,
        grids: &answer.grids,
        report,
    }
}

fn book(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    report: &Report,
    answer: &Answer<'_>,
    case: Case,
) -> Result<PatternBook, String> {
    let (findings, plan) = (&answer.findings, &answer.plan);
    let patterns = cutting::patterns(&job.book, panels, findings, plan, case)?;
    let order = job.habits().ply_order;
    let sheets = full_size::sheets(&job.book, order, panels, findings, plan, &patterns)?;
    let cut = cut(job, report, answer, &patterns)?;
    let timing = timing(report, plan, findings);
    let waits = timing
        .iter()
        .map(|one| match one {
            Timing::Free => None,
            Timing::AfterCause => Some("the cause has to be put right first".to_owned()),
            Timing::None(why) => Some(why.clone()),
        })
        .collect();
    let head = &report.survey;
    let said = [
        ("survey of", &head.date),
        ("by", &head.author),
        ("for", &head.client),
        ("for the purpose of", &head.purpose),
    ];
    let said: Vec<String> = said
        .into_iter()
        .filter(|(_, text)| !text.is_empty())
        .map(|(before, text)| format!("{before} {text}"))
        .collect();
    Ok(PatternBook {
        body: if head.body.is_empty() { "this survey".to_owned() } else { head.body.clone() },
        heading: said.join(", "),
        stops: stops(report),
        left_out: left_out(report),
        referrals: referred(report)
            .iter()
            .map(|one| {
                let mark = one.mark.map_or_else(String::new, |mark| format!("mark {mark}, "));
                format!("{mark}{}: {}. Ask {}", one.panel, one.reasons.join("; "), one.who)
            })
            .collect(),
        not_seen: report.not_seen.clone(),
        blocked: report
            .blocks
            .iter()
            .map(|one| format!("{} ({}): {}", one.step, of_marks(&one.marks), one.why))
            .collect(),
        sheets,
        waits,
        cut,
        files_read: report.files_read.clone(),
        needs_a_person: report.exit_reason(),
    })
}

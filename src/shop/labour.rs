//! How long is somebody at work? Hands-on hours of a trade, by mark and by area.
//!
//! Takes the table of hours (a default to be replaced), marks and the areas of their repair; gives
//! hours: least with the low case, the middle with the likely one, most with the high one. Waiting
//! is no work and stands in no figure here.

use crate::damage::Finding;
use crate::model::labour::{LabourTable, LabourWork};
use crate::model::shop::ShopWorker;
use crate::model::survey::MarkKind;
use crate::quantity::{Case, Cases};
use crate::read::job::Job;
use crate::repair::{Plan, Repair, paint};
use crate::rules::{Book, id};
use crate::surface::marks::Form;
use crate::surface::placed::PlacedPanel;

/// Longest side of the hole that one piece of work stands for, mm.
const HOLE_MM: f64 = 150.0;
/// Area that one piece of work in glass stands for, mm2.
const PATCH_MM2: f64 = 300.0 * 150.0;
/// Length that hours of lines count for, mm.
const LINE_MM: f64 = 300.0;

/// Hours of one unit of a kind of work in a case; the middle is a choice, no source gives it.
#[must_use]
pub fn hours_each(table: &LabourTable, what: LabourWork, case: Case) -> f64 {
    let row = table.work.iter().find(|row| row.what == what);
    row.map_or(0.0, |row| {
        let (least, most) = (row.least_h.value(), row.most_h.value());
        match case {
            Case::Low => least,
            Case::Likely => f64::midpoint(least, most),
            Case::High => most,
        }
    })
}

/// Hours at one mark of a repair.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkHours {
    /// The mark.
    pub mark: u32,
    /// What kind of work it counts as in each case; none where only paint comes off.
    pub work: Cases<Option<LabourWork>>,
    /// Hours, never under the least for a mark.
    pub hours: Cases<f64>,
}

/// Hours of one repair.
#[derive(Debug, Clone, PartialEq)]
pub struct RepairHours {
    /// By mark.
    pub marks: Vec<MarkHours>,
    /// Stripping and keying all that is prepared, both sides.
    pub strip: Cases<f64>,
}

impl RepairHours {
    /// All of them in a case.
    #[must_use]
    pub fn all(&self, case: Case) -> f64 {
        let marks: f64 = self.marks.iter().map(|mark| mark.hours.get(case)).sum();
        marks + self.strip.get(case)
    }
}

/// Hours of a repair by a trade.
#[must_use]
pub fn of_repair(
    book: &Book,
    table: &LabourTable,
    findings: &[Finding<'_>],
    repair: &Repair<'_>,
) -> RepairHours {
    let least_h = book.figure(id::LABOUR_LEAST);
    let marks = repair
        .findings
        .iter()
        .filter_map(|number| findings.get(*number))
        .map(|finding| {
            let counted = Cases::from_fn(|case| counted(finding, case));
            let work = counted.map(|one| one.map(|(work, _)| work));
            // Steps of a case: a larger case never takes less time than a smaller one.
            let mut before_h = least_h;
            let hours = Cases::from_fn(|case| {
                let own = counted
                    .get(case)
                    .map_or(0.0, |(work, units)| hours_each(table, work, case) * units);
                before_h = before_h.max(own);
                before_h
            });
            MarkHours { mark: finding.mark().id, work, hours }
        })
        .collect();
    let strip = Cases::from_fn(|case| {
        let areas = repair.areas.get(case);
        let prepared_m2 = (areas.prepared_mm2 + areas.prepared_back_mm2) * 1e-6;
        hours_each(table, LabourWork::Strip, case) * prepared_m2
    });
    RepairHours { marks, strip }
}

/// As what a mark counts in a case, and how many units of it; nothing where only paint comes off,
/// which stripping counts.
fn counted(finding: &Finding<'_>, case: Case) -> Option<(LabourWork, f64)> {
    use crate::damage::depth::Reaches;
    let extent = finding.extents.cases.get(case);
    let depth = *finding.depth.cases.get(case);
    let in_glass = depth.in_glass()
        && !crate::damage::depth::is_craze_share(finding.mark(), &finding.depth, case);
    if depth == Reaches::Paint {
        return None;
    }
    Some(match &finding.placed.form {
        Form::Line(line) => {
            let units = extent.length_mm.unwrap_or(line.length_mm) / LINE_MM;
            match (in_glass, finding.mark().kind) {
                (false, _) => (LabourWork::GelCrack, units),
                (true, MarkKind::CrackAtFixing) => (LabourWork::Mount, 1.0),
                (true, _) => (LabourWork::CrackInGlass, units),
            }
        }
        Form::Patch(patch) => {
            // Area and longest side as grown outward, of the outline as it was seen.
            let grown_mm = extent.grown_mm;
            let area_mm2 = patch.area_mm2
                + patch.perimeter_mm * grown_mm
                + std::f64::consts::PI * grown_mm * grown_mm;
            match (in_glass, finding.mark().kind) {
                (false, _) => (LabourWork::GelArea, area_mm2 * 1e-6),
                (true, MarkKind::Hole) => {
                    let longest_mm = patch.length_mm + 2.0 * grown_mm;
                    (LabourWork::Hole, (longest_mm / HOLE_MM).max(1.0))
                }
                // By its width and not by its area, as a hole counts by its length.
                (true, _) => (LabourWork::PatchInGlass, (area_mm2 / PATCH_MM2).sqrt().max(1.0)),
            }
        }
    })
}

/// Hours of painting an area: prime and flat, then paint and polish.
#[must_use]
pub fn of_paint(table: &LabourTable, area_m2: f64, case: Case) -> (f64, f64) {
    let of = |what| hours_each(table, what, case) * area_m2;
    (of(LabourWork::Prime), of(LabourWork::Finish))
}

/// How many times as long as a trade whoever works takes.
#[must_use]
pub fn pace(book: &Book, worker: ShopWorker) -> Cases<f64> {
    match worker {
        ShopWorker::Owner => book.cases(id::LABOUR_OWNER),
        ShopWorker::Trade => Cases { low: 1.0, likely: 1.0, high: 1.0 },
    }
}

/// Hours of a whole job, of a trade.
#[derive(Debug, Clone, PartialEq)]
pub struct JobHours {
    /// One a repair, in the order of the repairs.
    pub repairs: Vec<RepairHours>,
    /// Painting.
    pub paint: Cases<f64>,
    /// All of it.
    pub all: Cases<f64>,
}

/// Hours of every repair of a job and of its paint; setting up and waiting are in none of them.
#[must_use]
pub fn of_job(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
) -> JobHours {
    let of = |repair: &Repair<'_>| of_repair(&job.book, &job.labour, findings, repair);
    let repairs: Vec<RepairHours> = plan.repairs.iter().map(of).collect();
    let painted = paint::plan(job.survey.topcoat, panels, findings, &plan.decisions, &plan.repairs);
    let paint = Cases::from_fn(|case| {
        let (prime, finish) = of_paint(&job.labour, paint::area_m2(panels, &painted, case), case);
        prime + finish
    });
    let all = Cases::from_fn(|case| {
        repairs.iter().map(|one| one.all(case)).sum::<f64>() + paint.get(case)
    });
    JobHours { repairs, paint, all }
}

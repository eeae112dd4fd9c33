//! Hours of work, and where practice disagrees, as lines of the report.

use super::basis;
use super::model::*;
use crate::quantity::Cases;
use crate::read::job::Job;
use crate::repair::Plan;
use crate::rules::id;
use crate::shop::conflicts::Conflict;
use crate::shop::labour::{JobHours, MarkHours, pace};

/// The report with the hours and the questions in it.
#[must_use]
pub fn with_hours(
    mut report: Report,
    job: &Job,
    plan: &Plan<'_>,
    hours: &JobHours,
    conflicts: &[Conflict],
) -> Report {
    let three = |of: &Cases<f64>| of.map(|hours| round6(*hours));
    let worker = job.shop.as_ref().map(|(_, shop)| shop.worker).unwrap_or_default();
    let times = pace(&job.book, worker);
    let repairs = plan.repairs.iter().zip(&hours.repairs).map(|(repair, of)| RepairHoursLine {
        repair: repair.id.clone(),
        marks: of.marks.iter().map(mark_line).collect(),
        strip_h: three(&of.strip),
        hours: Cases::from_fn(|case| round6(of.all(case))),
    });
    report.hours = Some(HoursLines {
        table: job.labour_file.clone(),
        worker: worker.words().to_owned(),
        pace: times,
        repairs: repairs.collect(),
        paint_h: three(&hours.paint),
        trade_h: three(&hours.all),
        worker_h: Cases::from_fn(|case| round6(hours.all.get(case) * times.get(case))),
        excludes: report.materials.high.excludes.clone(),
    });
    report.conflicts = conflicts.iter().map(conflict_line).collect();
    let mut add = |path: &str, rules: &[&str]| {
        let rules = rules.iter().map(|rule| (*rule).to_owned()).collect();
        report.basis.insert(path.to_owned(), rules);
    };
    add("hours", &[id::LABOUR_HOURS, id::LABOUR_LEAST, id::LABOUR_OWNER, id::LABOUR_SETUP]);
    if !conflicts.is_empty() {
        add("conflicts", &[id::LABOUR_HOURS]);
    }
    report.rules = basis::rules_named(&report, &job.book);
    report
}

fn mark_line(of: &MarkHours) -> MarkHoursLine {
    MarkHoursLine {
        mark: of.mark,
        work: of.work.map(|work| work.map_or("paint off", |work| work.words()).to_owned()),
        hours: of.hours.map(|hours| round6(*hours)),
    }
}

fn conflict_line(of: &Conflict) -> ConflictLine {
    let question = &of.question;
    let answers = of.answers.iter().map(|one| {
        let more = one.more.as_ref();
        let three = |of: &Cases<f64>| of.map(|figure| round6(*figure));
        AnswerInUse {
            answer: one.words.clone(),
            used: one.used,
            default: one.default,
            more_glass_kg: more.map(|more| three(&more.glass_kg)),
            more_resin_kg: more.map(|more| three(&more.resin_kg)),
            more_gel_coat_kg: more.map(|more| three(&more.coat_kg)),
            more_trade_h: more.map(|more| three(&more.hours)),
            referred_more: one.referred_more.clone(),
        }
    });
    ConflictLine {
        id: question.id.clone(),
        question: question.question.clone(),
        why: question.why.clone(),
        set_by: question.set_by.clone(),
        answers: answers.collect(),
        evidence: question.evidence.to_string(),
        source: question.source.clone(),
    }
}

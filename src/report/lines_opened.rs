//! Opened-up sizes as lines of the report.

use super::basis;
use super::build::excludes;
use super::findings::depth_words;
use super::model::*;
use crate::damage::Finding;
use crate::damage::learnt::{Learnt, found_over_seen, is_beyond_high};
use crate::materials::extra::{Change, Estimate, ExtraWork};
use crate::quantity::Cases;
use crate::read::job::Job;
use crate::rules::{Book, id};
use crate::surface::marks::Form;

/// The report with what opening up found in it.
#[must_use]
pub fn with_opened(
    mut report: Report,
    job: &Job,
    learnt: &[Learnt],
    extra: &ExtraWork,
    (before, after): (Estimate<'_, '_>, Estimate<'_, '_>),
) -> Report {
    report.opened = opened(job, learnt, extra, before, after);
    name_rules(&mut report, &job.book);
    report
}

fn name_rules(report: &mut Report, book: &Book) {
    let mut add = |path: &str, rules: &[&str]| {
        let rules = rules.iter().map(|rule| (*rule).to_owned()).collect();
        report.basis.insert(path.to_owned(), rules);
    };
    add("opened.marks", &[id::OPENED_SIZE]);
    add("opened.growth", &[id::GROWTH_LEARNT, id::GROWTH_PRIOR_WORTH]);
    add("opened.extra_work.raised", &[id::OPENED_REFERRAL]);
    report.rules = basis::rules_named(report, book);
}

fn opened(
    job: &Job,
    learnt: &[Learnt],
    extra: &ExtraWork,
    before: Estimate<'_, '_>,
    after: Estimate<'_, '_>,
) -> Option<OpenedUp> {
    let of = job.opened.as_ref()?;
    let marks = before.findings.iter().zip(after.findings).filter_map(|(recorded, now)| {
        let found = job.found(now.mark().id)?;
        let (seen_length_mm, seen_area_m2) = size(recorded);
        let (found_length_mm, found_area_m2) = size(now);
        Some(OpenedMark {
            mark: found.mark,
            seen_length_mm,
            found_length_mm,
            seen_area_m2,
            found_area_m2,
            found_over_seen: round6(found_over_seen(recorded, found).unwrap_or(1.0)),
            depth: depth_words(now.depth.cases.likely),
            beyond_high: is_beyond_high(recorded, now),
            by: found.by.clone(),
            date: found.date.clone(),
            as_recorded: found.note.clone(),
        })
    });
    Some(OpenedUp {
        file: of.file.clone(),
        marks: marks.collect(),
        growth: learnt.iter().map(|one| growth_line(one, &job.book)).collect(),
        extra_work: extra_line(extra, before, after),
    })
}

/// Length of a crack, mm, or area of anything else, m2.
fn size(finding: &Finding<'_>) -> (Option<f64>, Option<f64>) {
    match &finding.placed.form {
        Form::Line(line) => (Some(round6(line.length_mm)), None),
        Form::Patch(patch) => (None, Some(round6(patch.area_mm2 * 1e-6))),
    }
}

fn growth_line(one: &Learnt, book: &Book) -> LearntGrowth {
    let title = book.get(one.rule).map_or("", |rule| rule.title.as_str());
    let round = |cases: Cases<f64>| cases.map(|factor| round6(*factor));
    LearntGrowth {
        rule: one.rule.to_owned(),
        of: title.split(" after ").next().unwrap_or(title).to_owned(),
        marks: one.ratios.iter().map(|(mark, _)| *mark).collect(),
        before: round(one.before),
        after: round(one.after),
    }
}

fn change_line(change: &Change) -> ChangeLine {
    let round = |cases: Cases<f64>| cases.map(|figure| round6(*figure));
    ChangeLine {
        before: round(change.before),
        after: round(change.after),
        more: round(change.more()),
        beyond_high: change.is_beyond(),
    }
}

fn extra_line(
    extra: &ExtraWork,
    before: Estimate<'_, '_>,
    after: Estimate<'_, '_>,
) -> ExtraWorkLine {
    let raised = extra.raised.iter().map(|one| RaisedLine {
        mark: one.mark,
        before: one.before.words().to_owned(),
        now: one.now.words().to_owned(),
        reasons: one.reasons.clone(),
    });
    let joined = extra
        .joined
        .iter()
        .map(|(repair, marks)| JoinedLine { repair: repair.clone(), marks: marks.clone() });
    let methods = extra.methods.iter().map(|(mark, was, now)| MethodLine {
        mark: *mark,
        before: was.words().to_owned(),
        now: now.words().to_owned(),
    });
    ExtraWorkLine {
        raised: raised.collect(),
        joined: joined.collect(),
        methods: methods.collect(),
        plies: change_line(&extra.plies),
        plies_m2: change_line(&extra.plies_m2),
        glass_kg: change_line(&extra.glass_kg),
        resin_kg: change_line(&extra.resin_kg),
        gel_coat_kg: change_line(&extra.gel_coat_kg),
        prepared_m2: change_line(&extra.prepared_m2),
        cost: None,
        excludes_before: excludes(before.findings, before.plan),
        excludes: excludes(after.findings, after.plan),
    }
}

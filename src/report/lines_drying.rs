//! Wet marks and their drying as lines of the report.

use super::model::*;
use crate::damage::Finding;
use crate::read::job::Job;
use crate::repair::{Action, Decision, Plan};
use crate::rules::id;
use crate::shop::drying::{Faces, days_to_share};
use crate::shop::plan::ShopPlan;

/// The lines; none where nothing is wet and nothing was logged.
pub(super) fn drying(
    job: &Job,
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
    shop: &ShopPlan,
) -> Option<DryingLines> {
    let marks: Vec<DryingMark> = findings
        .iter()
        .zip(&plan.decisions)
        .filter(|(finding, _)| !finding.is_repaired() && (finding.wet || finding.dried.is_some()))
        .map(|(finding, decision)| mark(job, finding, decision, shop))
        .collect();
    let log = job.drying.as_ref().map(|(file, _)| file.clone());
    (!marks.is_empty()).then_some(DryingLines { log, marks })
}

fn mark(job: &Job, finding: &Finding<'_>, decision: &Decision, shop: &ShopPlan) -> DryingMark {
    let dried = finding.dried.as_ref();
    let is_dry = dried.is_some_and(crate::damage::dried::Dried::is_dry);
    // Dry or not, what is referred or held is nobody's to close here.
    let doubtful = match decision.action {
        Action::Refer => Some("it reads dry, and goes to a specialist all the same"),
        Action::Held => Some("it reads dry, and is held by a referred mark all the same"),
        Action::Repair | Action::Watch => None,
    };
    let readings = dried.into_iter().flat_map(|dried| &dried.readings);
    DryingMark {
        mark: finding.mark().id,
        go_ahead: is_dry && doubtful.is_none(),
        by: dried
            .map(|dried| dried.go_ahead.iter().map(ToString::to_string).collect())
            .unwrap_or_default(),
        wanting: match doubtful.filter(|_| is_dry) {
            Some(why) => why.to_owned(),
            None => dried.map_or_else(
                || "no reading in a drying log".to_owned(),
                |dried| dried.wanting.clone(),
            ),
        },
        trend: dried.map_or("not read", |dried| dried.trend.words()).to_owned(),
        slope_per_week: dried.and_then(|dried| dried.slope_per_week).map(round6),
        readings: readings
            .map(|one| DryingReadingLine {
                at: one.at.to_string(),
                place: one.place.clone(),
                reading: one.reading,
                reference: one.reference,
                not_used: one.not_used.clone(),
                as_recorded: one.note.clone(),
            })
            .collect(),
        expected: (decision.action == Action::Repair)
            .then(|| expected(job, finding, shop))
            .flatten(),
    }
}

fn expected(job: &Job, finding: &Finding<'_>, shop: &ShopPlan) -> Option<DryingTime> {
    // By night as by day: the colder of the two, so that nothing looks drier than it is.
    let air_c = shop.place.pour.map(|pour| pour.air_c)?;
    let air_c = shop.place.night_c.map_or(air_c, |night_c| night_c.min(air_c));
    let thickness_mm = finding.parent.glass_mm;
    let left_percent = job.book.figure(id::DRYING_LEFT);
    let days = |faces| days_to_share(faces, thickness_mm, air_c, left_percent / 100.0).ok();
    Some(DryingTime {
        thickness_mm: round6(thickness_mm),
        air_c,
        left_percent,
        one_face_days: days(Faces::One)?.map(round6),
        both_faces_days: days(Faces::Both)?.map(round6),
    })
}

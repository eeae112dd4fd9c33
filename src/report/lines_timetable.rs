//! The timetable as lines of the report.

use super::model::*;
use super::{basis, lines_session};
use crate::damage::Finding;
use crate::repair::{Plan, Repair};
use crate::rules::{Book, id};
use crate::shop::timetable::calendar::{Calendar, DAY_MIN};
use crate::shop::timetable::{self, Course, Timetable, Timing};
use crate::wording::HEATER_CAUTION;

/// What keeps each repair of a report from a time.
#[must_use]
pub fn timing(report: &Report, plan: &Plan<'_>, findings: &[Finding<'_>]) -> Vec<Timing> {
    let of = |(line, repair): (&RepairLine, &Repair<'_>)| {
        let members = || repair.findings.iter().filter_map(|number| findings.get(*number));
        if !line.blocked_by.is_empty() {
            return Timing::None(format!("blocked: {}", line.blocked_by.join(", ")));
        }
        // Wet beats an open cause: no day is counted from anything until the readings say so.
        if let Some(wet) = members().find(|finding| finding.waits_to_dry()) {
            let mark = wet.mark().id;
            return Timing::None(format!("mark {mark} is wet: no date until the readings say so"));
        }
        if members().any(|finding| finding.open_cause.is_some()) {
            Timing::AfterCause
        } else {
            Timing::Free
        }
    };
    report.repairs.iter().zip(&plan.repairs).map(of).collect()
}

/// The report with the timetable in it.
#[must_use]
pub fn with_timetable(mut report: Report, book: &Book, plan: &Plan<'_>, of: &Timetable) -> Report {
    let name = |number: &usize| {
        plan.repairs.get(*number).map_or_else(String::new, |repair| repair.id.clone())
    };
    let near = book.figure(id::AIR_NEAR);
    let course = |course: &Course| course_lines(course, &of.calendar, near, &name);
    report.timetable = Some(TimetableLines {
        open: open(&of.calendar),
        open_assumed: of.calendar_assumed,
        people: of.people,
        free: of.free.as_ref().map(course),
        after_cause: of.after_cause.as_ref().map(course),
        untimed: of
            .untimed
            .iter()
            .map(|(number, why)| UntimedLine { repair: name(number), why: why.clone() })
            .collect(),
        warmer: of
            .warmer
            .iter()
            .map(|(air_c, course)| WarmerLine {
                air_c: *air_c,
                days: course.days,
                with_paint: course.no_paint.is_none(),
                caution: HEATER_CAUTION.to_owned(),
            })
            .collect(),
        wanting: of.wanting.clone(),
        excludes: report.materials.high.excludes.clone(),
    });
    let rules = timetable::RULES.iter().map(|rule| (*rule).to_owned()).collect();
    report.basis.insert("timetable".to_owned(), rules);
    report.rules = basis::rules_named(&report, book);
    report
}

pub(super) fn open(calendar: &Calendar) -> String {
    let days: Vec<&str> = calendar.days.iter().map(|day| day.words()).collect();
    format!("{} to {}, {}", clock(calendar.from_min), clock(calendar.to_min), days.join(", "))
}

pub(super) fn clock(minutes: i64) -> String {
    format!("{:02}:{:02}", minutes.div_euclid(60), minutes.rem_euclid(60))
}

fn course_lines(
    of: &Course,
    calendar: &Calendar,
    near: f64,
    name: &dyn Fn(&usize) -> String,
) -> CourseLines {
    let tasks = of.tasks.iter().map(|(task, at)| {
        let (start, end) = (at.start.div_euclid(DAY_MIN), (at.end - 1).div_euclid(DAY_MIN));
        TaskLine {
            what: task.what.clone(),
            repairs: task.repairs.iter().map(name).collect(),
            session: task.session,
            start_day: start + 1,
            start_weekday: calendar.weekday(start).words().to_owned(),
            start_time: clock(at.start.rem_euclid(DAY_MIN)),
            end_day: end + 1,
            end_time: clock((at.end - 1).rem_euclid(DAY_MIN) + 1),
            people: at.people,
            then: task.then.clone(),
        }
    });
    CourseLines {
        days: of.days,
        hands_on_h: round6(of.hands_on_h),
        tasks: tasks.collect(),
        sessions: lines_session::sessions(of, near, name),
        hours_unread: of.hours_unread,
        no_paint: of.no_paint.clone(),
        decided_by: of.chain.iter().map(|number| number + 1).collect(),
    }
}

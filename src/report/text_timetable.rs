//! The timetable as text.

use super::model::*;
use super::text::{Page, left_out};
use super::text_session;
use crate::rules::id;
use crate::shop::timetable::RULES;

/// What is done when.
pub(crate) fn timetable(page: &mut Page, report: &Report) {
    let Some(of) = &report.timetable else { return };
    if of.free.is_none() && of.after_cause.is_none() && of.untimed.is_empty() {
        return;
    }
    page.heading("TIMETABLE, in days from the start; dates follow once nothing above is open");
    let assumed = if of.open_assumed { ", assumed" } else { "" };
    let rules = page.rules(&RULES);
    page.line(
        2,
        &format!(
            "open {}{assumed}; {}; hands-on time as likely, waits at their late end{} {rules}",
            of.open,
            if of.people == 1 { "1 person".to_owned() } else { format!("{} people", of.people) },
            left_out(&of.excludes)
        ),
    );
    if let Some(why) = &of.wanting {
        page.line(2, &format!("no plan: {why}"));
    }
    course(page, of.free.as_ref(), "day ");
    if let Some(cause) = &of.after_cause {
        let rules = page.rules(&[id::CAUSE_FIRST]);
        page.line(2, &format!("counted from day X, on which the cause is put right {rules}:"));
        course(page, Some(cause), "day X + ");
    }
    for one in &of.untimed {
        page.line(2, &format!("{}: no time: {}", one.repair, one.why));
    }
    for one in &of.warmer {
        page.line(
            2,
            &format!(
                "with air, panels and resin at {:.0} °C day and night it would take {} days{}. {}",
                one.air_c,
                one.days,
                if one.with_paint { ", paint included" } else { ", without paint" },
                one.caution
            ),
        );
    }
}

fn course(page: &mut Page, of: Option<&CourseLines>, day: &str) {
    let Some(of) = of else { return };
    page.line(2, &format!("{} days, {:.1} h hands on:", of.days, of.hands_on_h));
    for (number, task) in (1..).zip(&of.tasks) {
        let end = if task.end_day == task.start_day {
            task.end_time.clone()
        } else {
            format!("{day}{} {}", task.end_day, task.end_time)
        };
        // Counted from the day a cause is put right, no weekday is known.
        let weekday =
            if day == "day " { format!(" {}", task.start_weekday) } else { String::new() };
        let decides = if of.decided_by.contains(&number) { "; decides the end" } else { "" };
        let then =
            if task.then.is_empty() { String::new() } else { format!("; then {}", task.then) };
        page.line(
            4,
            &format!(
                "{day}{}{weekday} {} to {end}: {} ({}){decides}{then}",
                task.start_day,
                task.start_time,
                task.session.map_or_else(
                    || task.what.clone(),
                    |session| format!("session {session}, {}", task.what)
                ),
                task.repairs.join(", ")
            ),
        );
    }
    if of.hours_unread {
        page.line(4, "the hours of the air that were read are not those of these days: read them on, and lay or paint only where they allow it");
    }
    if let Some(why) = &of.no_paint {
        page.line(4, &format!("paint is not in it: {why}"));
    }
    text_session::sessions(page, of, day);
    let first = of.decided_by.first().and_then(|number| of.tasks.get(number - 1));
    if let Some(first) = first {
        page.line(
            4,
            &format!(
                "start with: {} ({}), what decides the end puts it off when it is late, all else has some time",
                first.what,
                first.repairs.join(", ")
            ),
        );
    }
}

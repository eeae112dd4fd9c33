//! Wet marks and their drying as text.

use super::model::*;
use super::text::Page;
use crate::rules::id;

/// Wet marks: what the log says, and how long such laminates take.
pub(crate) fn drying(page: &mut Page, report: &Report) {
    let Some(of) = &report.drying else { return };
    page.heading("DRYING, which readings alone call done");
    if of.log.is_none() {
        page.line(
            2,
            "no drying log: one names each reading with the dry reference of the same day",
        );
    }
    for mark in &of.marks {
        let rules = page.rules(&[id::WET_NO_DATE, id::DRYING_APART, id::METER_DRY]);
        let said = if mark.go_ahead {
            format!("may be closed, by the readings of {}", mark.by.join(", "))
        } else {
            format!("NOT YET to be closed: {}", mark.wanting)
        };
        let slope =
            mark.slope_per_week.map_or_else(String::new, |slope| format!(", {slope:+.1} a week"));
        page.line(2, &format!("mark {}: {said}; {}{slope} {rules}", mark.mark, mark.trend));
        for one in &mark.readings {
            let place =
                if one.place.is_empty() { String::new() } else { format!(", {}", one.place) };
            let used = one
                .not_used
                .as_ref()
                .map_or_else(String::new, |why| format!(" (kept, not used: {why})"));
            let note = if one.as_recorded.is_empty() {
                String::new()
            } else {
                format!("; as recorded: {}", one.as_recorded)
            };
            page.line(
                4,
                &format!(
                    "{}{place}: {} against {}{used}{note}",
                    one.at, one.reading, one.reference
                ),
            );
        }
        if let Some(time) = mark.expected.as_ref().filter(|_| !mark.go_ahead) {
            let rules = page.rules(&[id::DRYING_TIME, id::DRYING_LEFT]);
            page.line(4, &format!("{} {rules}", expected(time)));
        }
    }
}

fn expected(time: &DryingTime) -> String {
    let range = |[shortest, longest]: [f64; 2]| format!("{} to {}", days(shortest), days(longest));
    format!(
        "{:.1} mm of laminate at {:.0} °C, until {:.0} % of its water is left: {} with one face open, {} with both; a range and no date, nothing in it tells which end is nearer, and water standing in blisters or parted layers takes longer",
        time.thickness_mm,
        time.air_c,
        time.left_percent,
        range(time.one_face_days),
        range(time.both_faces_days)
    )
}

/// Days in the unit that is fair to how little is known.
fn days(days: f64) -> String {
    if days < 10.0 {
        format!("{days:.0} days")
    } else if days < 70.0 {
        format!("{:.0} weeks", days / 7.0)
    } else if days < 730.0 {
        format!("{:.0} months", days / 30.4)
    } else {
        format!("{:.0} years", days / 365.0)
    }
}

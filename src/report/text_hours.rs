//! Hours of work, and where practice disagrees, as text.

use super::model::*;
use super::text::{Page, Wide, left_out, of_marks, three};
use crate::quantity::Cases;
use crate::rules::id;

/// Hands-on hours.
pub(crate) fn hours(page: &mut Page, report: &Report) {
    let Some(of) = report.hours.as_ref().filter(|of| !of.repairs.is_empty()) else { return };
    page.heading("HOURS");
    let open = !of.excludes.is_empty();
    let said = |hours: &Cases<f64>| three(hours.low, hours.likely, hours.high, 1, "h", open);
    let rules = page.rules(&[id::LABOUR_HOURS, id::LABOUR_LEAST]);
    let out = left_out(&of.excludes);
    page.line(
        2,
        &format!(
            "hands on, of a trade, low / likely / high: {}; waiting and setting up sessions are not in it{out} {rules}",
            said(&of.trade_h)
        ),
    );
    if of.pace.high > 1.0 {
        let rules = page.rules(&[id::LABOUR_OWNER]);
        page.line(
            2,
            &format!(
                "of the {}, who takes {} to {} times as long: {}{out} {rules}",
                of.worker,
                of.pace.low,
                of.pace.high,
                said(&of.worker_h)
            ),
        );
    }
    page.line(
        2,
        &format!(
            "hours from: {}; a default to be replaced by your own, named under labour in a shop",
            of.table
        ),
    );
    for one in &of.repairs {
        page.line(
            4,
            &format!(
                "{}: {:.1} / {:.1} / {:.1} h, of it stripping and keying {:.1} / {:.1} / {:.1} h",
                one.repair,
                one.hours.low,
                one.hours.likely,
                one.hours.high,
                one.strip_h.low,
                one.strip_h.likely,
                one.strip_h.high
            ),
        );
        if page.wide == Wide::Working {
            for mark in &one.marks {
                page.line(
                    6,
                    &format!(
                        "mark {}: {} / {} / {}: {:.1} / {:.1} / {:.1} h",
                        mark.mark,
                        mark.work.low,
                        mark.work.likely,
                        mark.work.high,
                        mark.hours.low,
                        mark.hours.likely,
                        mark.hours.high
                    ),
                );
            }
        }
    }
    if of.paint_h.high > 0.0 {
        page.line(
            4,
            &format!(
                "paint: {:.1} / {:.1} / {:.1} h",
                of.paint_h.low, of.paint_h.likely, of.paint_h.high
            ),
        );
    }
}

/// Questions on which practice disagrees, with what another answer would change.
pub(crate) fn conflicts(page: &mut Page, report: &Report) {
    if report.conflicts.is_empty() {
        return;
    }
    page.heading(
        "WHERE PRACTICE DISAGREES, and what another answer would change (net, of the trade)",
    );
    for one in &report.conflicts {
        page.line(2, &format!("{} [{}; {}]", one.question, one.id, one.evidence));
        page.line(4, &one.why);
        if one.answers.iter().all(|answer| !answer.used) {
            page.line(4, "used here: your own setting, which is none of these");
        }
        for answer in &one.answers {
            page.line(4, &said(answer));
        }
        page.line(4, &format!("to change it: {}", one.set_by));
    }
}

fn said(answer: &AnswerInUse) -> String {
    let default = if answer.default { ", the default" } else { "" };
    let (Some(glass), Some(resin), Some(coat), Some(hours)) = (
        &answer.more_glass_kg,
        &answer.more_resin_kg,
        &answer.more_gel_coat_kg,
        &answer.more_trade_h,
    ) else {
        return format!("used here{default}: {}", answer.answer);
    };
    let more = |of: &Cases<f64>, what: &str, unit: &str, digits: usize| {
        let least = 0.5 * 0.1_f64.powi(i32::try_from(digits).unwrap_or(0));
        // What rounds to nothing is printed as nothing, without a sign.
        let [low, likely, high] =
            [of.low, of.likely, of.high].map(|one| if one.abs() < least { 0.0 } else { one });
        let some = [low, likely, high].iter().any(|one| one.abs() > 0.0);
        some.then(|| {
            format!("{what} {low:+.digits$} / {likely:+.digits$} / {high:+.digits$} {unit}")
        })
    };
    let changes: Vec<String> = [
        more(glass, "glass", "kg", 2),
        more(resin, "resin", "kg", 2),
        more(coat, "gel or flow coat", "kg", 2),
        more(hours, "hours", "h", 1),
    ]
    .into_iter()
    .flatten()
    .collect();
    let changes = if changes.is_empty() {
        "changes hardly anything in kg or hours".to_owned()
    } else {
        changes.join(", ")
    };
    let besides = if answer.referred_more.is_empty() {
        String::new()
    } else {
        format!(
            "; {} would go to a specialist or be held besides and is in no figure of it",
            of_marks(&answer.referred_more)
        )
    };
    format!("{}{default}: {changes}{besides}", answer.answer)
}

//! Opened-up sizes as text: the extra-work note, new referrals first.

use super::build::numbers;
use super::model::*;
use super::text::{Page, left_out, three};
use crate::quantity::Cases;
use crate::rules::id;

/// The extra-work note.
pub(crate) fn opened(page: &mut Page, report: &Report) {
    let Some(of) = &report.opened else { return };
    page.heading("EXTRA WORK after opening up, against the estimate from the survey alone");
    raised(page, of);
    for mark in &of.marks {
        found(page, mark);
    }
    for one in &of.growth {
        let rules = page.rules(&[id::GROWTH_LEARNT, id::GROWTH_PRIOR_WORTH]);
        page.line(
            2,
            &format!(
                "growth of {} on this body, marks still closed: {:.2} -> {:.2} (from {} opened: {}); range {} -> {} {rules}",
                one.of,
                one.before.likely,
                one.after.likely,
                one.marks.len(),
                numbers(&one.marks),
                factors(&one.before),
                factors(&one.after),
            ),
        );
    }
    let extra = &of.extra_work;
    for one in &extra.joined {
        let text = format!("{}: marks {} are now one repair", one.repair, numbers(&one.marks));
        page.line(2, &text);
    }
    for one in &extra.methods {
        page.line(2, &format!("mark {}: {} -> {}", one.mark, one.before, one.now));
    }
    if report.answers == "estimate" {
        quantities(page, extra);
    }
    if let Some(of) = &extra.cost {
        cost(page, of, extra);
    }
}

/// Packs, hours and money against the quote made from the survey.
fn cost(page: &mut Page, of: &ExtraCostLine, extra: &ExtraWorkLine) {
    let packs = |packs: &[PackCount]| {
        let each: Vec<String> =
            packs.iter().map(|one| format!("{} x {}", one.count, one.amount)).collect();
        if each.is_empty() { "none".to_owned() } else { each.join(" + ") }
    };
    let open = !extra.excludes.is_empty();
    let (was, now, more) = (&of.hours.before, &of.hours.after, &of.hours.more);
    page.line(
        2,
        &format!(
            "hours: {} -> {} ({:+.1} / {:+.1} / {:+.1}){}",
            three(was.low, was.likely, was.high, 1, "h", !extra.excludes_before.is_empty()),
            three(now.low, now.likely, now.high, 1, "h", open),
            more.low,
            more.likely,
            more.high,
            left_out(&extra.excludes)
        ),
    );
    for one in &of.packs {
        page.line(
            4,
            &format!(
                "packs of {}, {}: {} -> {}",
                one.what,
                one.unit,
                packs(&one.before),
                packs(&one.after)
            ),
        );
    }
    let Some(money) = &of.money else { return };
    let digits = money.decimals as usize;
    let sums = |of: &Cases<TotalLine>| {
        let said = [&of.low, &of.likely, &of.high].map(|total| {
            format!("{}{:.digits$}", if total.at_least { "at least " } else { "" }, total.gross)
        });
        said.join(" / ")
    };
    let rules = page.rules(&[id::QUOTE_STOP]);
    let (was, now) = (&money.before, &money.after);
    page.line(
        2,
        &format!(
            "money with tax: {} -> {} {} ({:+.digits$} / {:+.digits$} / {:+.digits$}){}; the quote on the {} figure stops at {:.digits$}: {} {rules}",
            sums(was),
            sums(now),
            money.currency,
            now.low.gross - was.low.gross,
            now.likely.gross - was.likely.gross,
            now.high.gross - was.high.gross,
            left_out(&extra.excludes),
            money.figure,
            money.stop_at,
            money.limit
        ),
    );
}

fn raised(page: &mut Page, of: &OpenedUp) {
    let rules = page.rules(&[id::OPENED_REFERRAL]);
    if of.extra_work.raised.is_empty() {
        page.line(2, &format!("no new referral; none that the survey gave is lifted {rules}"));
        return;
    }
    for one in &of.extra_work.raised {
        let change = if one.before == one.now {
            format!("{} as before, and now also", one.now)
        } else {
            format!("{} -> {}", one.before, one.now)
        };
        page.line(2, &format!("mark {}: {change}: {}", one.mark, one.reasons.join("; ")));
    }
    page.line(2, &format!("none of the referrals that the survey gave is lifted {rules}"));
}

fn found(page: &mut Page, mark: &OpenedMark) {
    let length = |value: Option<f64>| value.map(|mm| format!("{mm:.0} mm"));
    let area = |value: Option<f64>| value.map(|m2| format!("{m2:.3} m²"));
    let seen = length(mark.seen_length_mm).or_else(|| area(mark.seen_area_m2));
    let now = length(mark.found_length_mm).or_else(|| area(mark.found_area_m2));
    let beyond = if mark.beyond_high { "; beyond what was printed as high" } else { "" };
    let rules = page.rules(&[id::OPENED_SIZE]);
    page.line(
        2,
        &format!(
            "mark {}, opened {} by {}: seen {}, found {} ({:.2} times), depth {}{beyond} {rules}",
            mark.mark,
            mark.date,
            mark.by,
            seen.unwrap_or_default(),
            now.unwrap_or_default(),
            mark.found_over_seen,
            mark.depth,
        ),
    );
}

fn factors(of: &Cases<f64>) -> String {
    format!("{:.2} / {:.2} / {:.2}", of.low, of.likely, of.high)
}

fn quantities(page: &mut Page, extra: &ExtraWorkLine) {
    let least = |out: &[Exclusion]| if out.is_empty() { "" } else { "at least " };
    let (was, now) = (least(&extra.excludes_before), least(&extra.excludes));
    let rows: [(&str, &ChangeLine, &str, usize); 6] = [
        ("plies", &extra.plies, "", 0),
        ("area of plies", &extra.plies_m2, " m²", 2),
        ("glass", &extra.glass_kg, " kg", 2),
        ("resin", &extra.resin_kg, " kg", 2),
        ("gel or flow coat", &extra.gel_coat_kg, " kg", 2),
        ("prepared surface, both sides", &extra.prepared_m2, " m²", 2),
    ];
    page.line(2, "low / likely / high, net:");
    for (what, row, unit, digits) in rows {
        let three = |of: &Cases<f64>, high: &str| {
            format!(
                "{:.digits$} / {:.digits$} / {high}{:.digits$}{unit}",
                of.low, of.likely, of.high
            )
        };
        let more = &row.more;
        let said = if row.beyond_high {
            "; the likely figure is beyond what was printed as high"
        } else if row.after.likely > row.before.likely + 1e-9 {
            "; within the range from likely to high that was printed"
        } else {
            ""
        };
        page.line(
            4,
            &format!(
                "{what}: {} -> {} ({:+.digits$} / {:+.digits$} / {:+.digits$}{unit}){said}",
                three(&row.before, was),
                three(&row.after, now),
                more.low,
                more.likely,
                more.high,
            ),
        );
    }
    for (when, out) in [("before", &extra.excludes_before), ("now", &extra.excludes)] {
        let out: Vec<String> = out
            .iter()
            .map(|one| {
                let mark = one.mark.map_or_else(String::new, |mark| format!("mark {mark} "));
                format!("{mark}{}", one.reason)
            })
            .collect();
        let out = if out.is_empty() { "nothing".to_owned() } else { out.join(", ") };
        page.line(4, &format!("left out {when}: {out}"));
    }
}

//! The summary for a buyer on one page.
//!
//! Stop lines and what is left out are never shortened. Where the rest does not fit, lists give way to
//! counts that name the full answer: first what nobody saw and what is not priced, then the reasons
//! of referrals, whose marks stay.

use super::build::numbers;
use super::imperial::Units;
use super::model::*;
use super::text::{Page, left_out, three};

/// Lines that one page holds.
pub const PAGE_LINES: usize = 60;
/// What a shortened list says.
const FULL: &str = "see the full answer";

/// How much of the lists is written out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Short {
    /// All of them.
    No,
    /// First entries of what nobody saw and of what has no price.
    Lists,
    /// The same, and referrals as marks a panel without their reasons.
    Reasons,
    /// Counts.
    Counts,
}

/// The page; nothing where the record holds no summary.
#[must_use]
pub fn summary(report: &Report) -> String {
    summary_in(report, &Units::Metric)
}

/// [`summary`] in units of choice.
#[must_use]
pub fn summary_in(report: &Report, units: &Units) -> String {
    let Some(of) = &report.summary else { return String::new() };
    let mut text = String::new();
    for short in [Short::No, Short::Lists, Short::Reasons, Short::Counts] {
        text = written(report, of, short, units);
        // The last line of a text with something open is the exit code's.
        if text.lines().count() < PAGE_LINES {
            break;
        }
    }
    text
}

fn written(report: &Report, of: &Summary, short: Short, units: &Units) -> String {
    let mut page = Page::bare(report, units);
    let survey = &report.survey;
    let body = if survey.body.is_empty() { "panels of a survey" } else { &survey.body };
    let when = if survey.date.is_empty() { "on no date named" } else { &survey.date };
    page.line(0, &format!("before buying: {body}, as surveyed {when}"));
    if let Some(note) = units.note() {
        page.as_it_is(0, note);
    }
    page.line(0, "STOP");
    if of.stops.is_empty() {
        page.line(2, "nothing recorded calls for a stop; that is no roadworthiness test");
    }
    for stop in &of.stops {
        page.line(2, stop);
    }
    referred(&mut page, of, short);
    if !of.blocked.is_empty() {
        page.line(0, &format!("BLOCKED until answered or changed: {}", of.blocked.join("; ")));
    }
    cost(&mut page, of, short);
    not_seen(&mut page, of, short);
    if let Some(hours) = &of.hours {
        let open = !of.excludes.is_empty();
        page.line(
            0,
            &format!(
                "HANDS ON, {}: {}{}",
                of.worker,
                three(hours.low, hours.likely, hours.high, 0, "h", open),
                marks_left_out(&of.excludes)
            ),
        );
    }
    page.line(0, "EARLIEST, in days and never a date");
    for one in &of.earliest {
        page.line(2, one);
    }
    ask(&mut page, of, short);
    page.line(0, &of.foot);
    page.line(
        0,
        "name: ______________________  date: ______________  signature: ______________________",
    );
    page.finish()
}

/// Marks that a figure leaves out, in its line.
fn marks_left_out(excludes: &[Exclusion]) -> String {
    let marks: Vec<u32> = excludes.iter().filter_map(|one| one.mark).collect();
    if marks.is_empty() { String::new() } else { format!(" (without marks {})", numbers(&marks)) }
}

fn referred(page: &mut Page, of: &Summary, short: Short) {
    if of.referred.is_empty() {
        return;
    }
    page.line(0, "TO A SPECIALIST FIRST, in no figure below");
    if short < Short::Reasons {
        for one in &of.referred {
            let what = one.mark.map_or_else(|| "fixing".to_owned(), |mark| format!("mark {mark}"));
            let more = match one.reasons.len() {
                0 | 1 => String::new(),
                more => format!("; and {} more", more - 1),
            };
            let first = one.reasons.first().map_or("", String::as_str);
            page.line(2, &format!("{what}, {}: {first}{more}", one.panel));
        }
        return;
    }
    let mut panels: Vec<&str> = of.referred.iter().map(|one| one.panel.as_str()).collect();
    panels.dedup();
    let each: Vec<String> = panels
        .iter()
        .map(|panel| {
            let on = || of.referred.iter().filter(|one| one.panel == *panel);
            let mut marks: Vec<u32> = on().filter_map(|one| one.mark).collect();
            marks.sort_unstable();
            marks.dedup();
            let fixings = on().filter(|one| one.mark.is_none()).count();
            let mut said = Vec::new();
            if !marks.is_empty() {
                let noun = if marks.len() == 1 { "mark" } else { "marks" };
                said.push(format!("{noun} {}", numbers(&marks)));
            }
            if fixings > 0 {
                said.push(format!("{fixings} failed fixings"));
            }
            format!("{panel}: {}", said.join(", "))
        })
        .collect();
    page.line(2, &format!("{}; reasons: {FULL}", each.join("; ")));
}

fn cost(page: &mut Page, of: &Summary, short: Short) {
    page.line(0, "WHAT IT COSTS TO PUT THE REST RIGHT");
    if let Some(cost) = &of.cost {
        let digits = cost.decimals as usize;
        let total = |total: &TotalLine| {
            format!("{}{:.digits$}", if total.at_least { "at least " } else { "" }, total.gross)
        };
        let when = if cost.priced_on.is_empty() { "on no date named" } else { &cost.priced_on };
        page.line(
            2,
            &format!(
                "low / likely / high, with tax: {} / {} / {} {}, prices {when}{}",
                total(&cost.totals.low),
                total(&cost.totals.likely),
                total(&cost.totals.high),
                cost.currency,
                left_out(&of.excludes)
            ),
        );
        let drivers: Vec<String> = cost
            .drivers
            .iter()
            .map(|one| format!("{} ({:.digits$})", one.what, one.spread))
            .collect();
        if !drivers.is_empty() {
            page.line(2, &format!("most of the spread: {}", drivers.join(", ")));
        }
    } else if !of.excludes.is_empty() {
        page.line(2, &format!("no figure{}", left_out(&of.excludes)));
    }
    if of.not_priced.is_empty() {
        return;
    }
    if short == Short::Counts {
        page.line(2, &format!("not priced, in no sum: {} things; {FULL}", of.not_priced.len()));
        return;
    }
    let said = |one: &NotHereLine| {
        if short == Short::No { format!("{} ({})", one.what, one.why) } else { one.what.clone() }
    };
    let names: Vec<String> = of.not_priced.iter().map(said).collect();
    page.line(2, &format!("not priced, in no sum: {}", names.join("; ")));
}

fn not_seen(page: &mut Page, of: &Summary, short: Short) {
    page.line(
        0,
        &format!(
            "WHAT NOBODY COULD SEE: {:.2} of {:.2} m², both sides, were looked at",
            of.looked_at_m2, of.area_m2
        ),
    );
    if short == Short::Counts {
        page.line(2, &format!("{} places were not seen; {FULL}", of.not_seen.len()));
    } else {
        page.line(2, &of.not_seen.join("; "));
    }
    if !of.depth_assumed.is_empty() {
        page.line(
            2,
            &format!("depth assumed, not opened up: marks {}", numbers(&of.depth_assumed)),
        );
    }
}

fn ask(page: &mut Page, of: &Summary, short: Short) {
    if of.ask.is_empty() {
        return;
    }
    page.line(0, "ASK BEFORE BUYING");
    if short == Short::Counts {
        let mut whom: Vec<&str> = of.ask.iter().map(|one| one.whom.as_str()).collect();
        whom.sort_unstable();
        whom.dedup();
        page.line(2, &format!("{} questions, of {}; {FULL}", of.ask.len(), whom.join(", ")));
        return;
    }
    for one in &of.ask {
        let marks = match one.marks.as_slice() {
            [] => String::new(),
            [mark] => format!(" (mark {mark})"),
            marks => format!(" (marks {})", numbers(marks)),
        };
        page.line(2, &format!("{}{marks}: {}", one.whom, one.what));
    }
}

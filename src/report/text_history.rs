//! Several surveys as text: stops and referrals of the last one, then a table for every mark.

use super::build::numbers;
use super::record_history::*;
use super::text::{Page, of_marks};
use crate::rules::{Book, id};

/// The whole answer.
#[must_use]
pub fn full(found: &History, book: &Book) -> String {
    let mut page = Page::of_book(book);
    let body = if found.body.is_empty() { "one body" } else { &found.body };
    page.line(0, &format!("{body}: every mark through {} surveys", found.surveys.len()));
    for (number, one) in found.surveys.iter().enumerate() {
        let when = one.on.clone().unwrap_or_else(|| one.date.clone());
        let when = if when.is_empty() { "day not said".to_owned() } else { when };
        let said =
            |text: &str| if text.is_empty() { "not said".to_owned() } else { text.to_owned() };
        page.line(
            2,
            &format!(
                "{}: {when}, {}; light: {} ({}); cleaning: {}; {}; ends to within {:.0} mm",
                number + 1,
                one.file,
                said(&one.light),
                one.light_is,
                said(&one.cleaning),
                one.people,
                one.end_error_mm
            ),
        );
    }
    if !found.by_day {
        page.line(2, "in the order typed: not every survey gives its day (`on`)");
    }
    raised(&mut page, found);
    page.heading("WHAT NOBODY COULD SEE, by the last survey");
    for one in &found.not_seen {
        page.line(2, one);
    }
    page.heading("MARKS, by survey");
    let rules = page.rules(&[id::CHANGE_MATCH, id::CHANGE_END, id::RATE_LIKE]);
    page.line(2, &format!("mm as measured; in brackets: carried over, not measured {rules}"));
    for one in &found.marks {
        mark(&mut page, one);
    }
    page.heading("WHAT A HISTORY CANNOT TELL");
    for one in &found.limits {
        page.line(2, one);
    }
    page.finish()
}

/// The short form: stops, referrals and rates.
#[must_use]
pub fn brief(found: &History, book: &Book) -> String {
    let mut page = Page::of_book(book);
    raised(&mut page, found);
    for one in &found.marks {
        for size in one.sizes.iter().filter(|size| size.rate.is_some()) {
            page.line(0, &format!("{}: {} {}", which(one), size.what, rate(size)));
        }
    }
    page.finish()
}

fn raised(page: &mut Page, found: &History) {
    page.heading("STOP, AND WHO MUST LOOK, by the last survey");
    for stop in &found.stops {
        let marks = if stop.marks.is_empty() {
            String::new()
        } else {
            format!(" ({})", of_marks(&stop.marks))
        };
        page.line(2, &format!("{}{marks}", stop.text));
    }
    let mut marks: Vec<u32> = found.referrals.iter().filter_map(|one| one.mark).collect();
    marks.dedup();
    if !marks.is_empty() {
        page.line(2, &format!("referred: {}; `plymend assess` says why", of_marks(&marks)));
    }
    for one in found.referrals.iter().filter(|one| one.mark.is_none()) {
        page.line(2, &format!("referred: {}: {}. Ask {}", one.panel, one.reason, one.who));
    }
    if found.stops.is_empty() && found.referrals.is_empty() {
        page.line(2, "nothing to stop and no referral");
    }
}

/// A mark by its numbers in the last survey that has it.
fn which(one: &TrackLine) -> String {
    let last = one.seen.iter().rev().find(|seen| !seen.marks.is_empty());
    let Some(last) = last else { return String::new() };
    format!("{} of survey {}", of_marks(&last.marks), last.survey)
}

fn mark(page: &mut Page, one: &TrackLine) {
    let last = one.seen.iter().rev().find(|seen| !seen.marks.is_empty());
    let kinds = last.map(|seen| seen.kinds.join(" and ")).unwrap_or_default();
    let side = if one.side == "back" { ", back" } else { "" };
    page.line(2, &format!("{}: {kinds}, {}{side}", which(one), one.panel));
    for seen in &one.seen {
        match seen.state.as_str() {
            "measured" | "before" => {}
            "not_listed" => {
                page.line(5, &format!("survey {}: not listed: {}", seen.survey, seen.why))
            }
            other => page.line(5, &format!("survey {}: {}", seen.survey, other.replace('_', " "))),
        }
    }
    if !one.ran_into.is_empty() {
        page.line(5, &format!("ran into {}", of_marks(&one.ran_into)));
    }
    let kinds: Vec<&str> =
        one.seen.iter().flat_map(|seen| &seen.kinds).map(String::as_str).collect();
    if kinds.windows(2).any(|pair| matches!(pair, [a, b] if a != b)) {
        page.line(5, &format!("its kind through time: {}", kinds.join(", ")));
    }
    for size in &one.sizes {
        let row: Vec<String> = size
            .readings
            .iter()
            .map(|one| {
                let figure = format!("{}: {:.0} ± {:.0}", one.survey, one.size_mm, one.error_mm);
                if one.measured { figure } else { format!("({figure})") }
            })
            .collect();
        page.line(5, &format!("{}: {}", size.what, row.join(" | ")));
        if let Some(all) = &size.overall {
            page.line(
                7,
                &format!(
                    "first to last measured {:+.0} mm, error {:.0}: {}",
                    all.last_mm - all.first_mm,
                    all.error_mm,
                    match all.claim {
                        "grown" => "grown",
                        "smaller" => "smaller beyond error, look again",
                        _ => "not beyond error",
                    }
                ),
            );
        }
        page.line(7, &rate(size));
    }
}

fn rate(size: &SizeSeries) -> String {
    let Some(rate) = &size.rate else { return format!("no rate: {}", size.no_rate) };
    let surveys: Vec<u32> =
        rate.surveys.iter().filter_map(|number| u32::try_from(*number).ok()).collect();
    format!(
        "rate {:+.0} mm a year, 95 % between {:+.0} and {:+.0} (surveys {}, by {}): {}",
        rate.mm_a_year,
        rate.low_mm_a_year.floor(),
        rate.high_mm_a_year.ceil(),
        numbers(&surveys),
        if rate.rests_on == "scatter" { "their scatter" } else { "their reading errors" },
        match rate.says {
            "grows" => "it grows",
            "shrinks" => "it reads smaller, look again",
            _ => "neither growth nor rest is shown",
        }
    )
}

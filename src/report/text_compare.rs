//! A comparison as text: what is new to stop and to refer first, then what nobody could see, then
//! marks by verdict, fixings and readings.

use super::build::numbers;
use super::record_compare::*;
use super::text::{Page, of_marks};
use crate::damage::change::Verdict;
use crate::rules::{Book, id};

/// The whole answer.
#[must_use]
pub fn full(found: &Comparison, book: &Book) -> String {
    let mut page = Page::of_book(book);
    head(&mut page, found);
    raised(&mut page, found);
    page.heading("WHAT NOBODY COULD SEE, by the later survey");
    for one in &found.not_seen {
        page.line(2, one);
    }
    for one in &found.alone {
        page.line(2, &format!("panel {one}"));
    }
    marks(&mut page, found);
    fixings(&mut page, found);
    readings(&mut page, found);
    page.heading("WHAT A COMPARISON CANNOT TELL");
    for one in &found.limits {
        page.line(2, one);
    }
    page.finish()
}

/// The short form: stops, referrals and counts.
#[must_use]
pub fn brief(found: &Comparison, book: &Book) -> String {
    let mut page = Page::of_book(book);
    raised(&mut page, found);
    page.line(0, &summary(&found.counts));
    page.finish()
}

fn or_unsaid(text: &str) -> &str {
    if text.trim().is_empty() { "not said" } else { text }
}

fn head(page: &mut Page, found: &Comparison) {
    let body = if found.body.is_empty() { "two surveys" } else { &found.body };
    page.line(0, &format!("{body}: what changed"));
    let (then, now) = (&found.earlier, &found.later);
    let when =
        |one: &ComparedSurvey| one.on.clone().unwrap_or_else(|| or_unsaid(&one.date).to_owned());
    page.line(0, &format!("earlier: {}, {}, {} marks", then.file, when(then), then.marks));
    page.line(0, &format!("later:   {}, {}, {} marks", now.file, when(now), now.marks));
    let pairs = [
        ("light", &then.light, &now.light),
        ("how good it was", &then.light_is, &now.light_is),
        ("cleaning", &then.cleaning, &now.cleaning),
        ("people", &then.people, &now.people),
        ("weather", &then.weather, &now.weather),
        ("meter", &then.meter, &now.meter),
        ("by", &then.author, &now.author),
    ];
    for (what, before, today) in pairs {
        let (before, today) = (or_unsaid(before), or_unsaid(today));
        if before == today {
            page.line(2, &format!("{what}: {before}, both times"));
        } else {
            page.line(2, &format!("{what}: {before} | {today}"));
        }
    }
    let rules = page.rules(&[id::CHANGE_END, id::CHANGE_END_ALONE]);
    page.line(
        2,
        &format!(
            "ends of cracks seen to within {:.0} mm | {:.0} mm {rules}",
            then.end_error_mm, now.end_error_mm
        ),
    );
    if !found.unlike.is_empty() {
        page.line(
            2,
            &format!(
                "NOT MADE ALIKE, so a difference may come from that: {}",
                found.unlike.join("; ")
            ),
        );
    }
    for one in &found.settings {
        let loud = if one.weakened { "SAFETY RULE WEAKENED: " } else { "setting changed: " };
        page.line(0, &format!("{loud}{}: {}", one.rule, one.text));
    }
}

fn raised(page: &mut Page, found: &Comparison) {
    page.heading("STOP, AND WHO MUST LOOK");
    let fresh: Vec<&ComparedStop> = found.stops.iter().filter(|stop| stop.new).collect();
    for stop in &fresh {
        stop_line(page, stop, "NEW: ");
    }
    let of =
        |standing: &'static str| found.referrals.iter().filter(move |one| one.standing == standing);
    for one in of("new").chain(of("changed")) {
        let mark = one.mark.map_or_else(String::new, |mark| format!("mark {mark}, "));
        let before =
            one.before.as_ref().map_or_else(String::new, |before| format!("; it was: {before}"));
        let rules = page.rules(&[&one.rule]);
        page.line(
            2,
            &format!(
                "{} REFERRAL: {mark}{}: {}{before}. Ask {} {rules}",
                one.standing.to_uppercase(),
                one.panel,
                one.reason,
                one.who
            ),
        );
    }
    if fresh.is_empty() && of("new").chain(of("changed")).next().is_none() {
        page.line(2, "nothing new to stop and no new or changed referral");
    }
    for stop in found.stops.iter().filter(|stop| !stop.new) {
        stop_line(page, stop, "as before: ");
    }
    let mut standing: Vec<u32> = of("as_before").filter_map(|one| one.mark).collect();
    standing.dedup();
    if !standing.is_empty() {
        page.line(2, &format!("referred as before: {}", of_marks(&standing)));
    }
    for one in of("as_before").filter(|one| one.mark.is_none()) {
        page.line(2, &format!("referred as before: {}, {}", one.panel, one.reason));
    }
    for one in &found.no_longer {
        let mark = one.mark.map_or_else(String::new, |mark| format!("earlier mark {mark}, "));
        page.line(
            2,
            &format!(
                "raised no longer, which is no clearance: {mark}{}: {}; {}",
                one.panel, one.text, one.because
            ),
        );
    }
}

fn stop_line(page: &mut Page, stop: &ComparedStop, before: &str) {
    let marks =
        if stop.marks.is_empty() { String::new() } else { format!(" ({})", of_marks(&stop.marks)) };
    let rules = page.rules(&[&stop.rule]);
    page.line(2, &format!("{before}{}{marks} {rules}", stop.text));
}

/// How many marks have each verdict, in one line.
#[must_use]
pub fn summary(counts: &VerdictCounts) -> String {
    let all = [
        (counts.grown, Verdict::Grown),
        (counts.turned, Verdict::Turned),
        (counts.new, Verdict::New),
        (counts.back_again, Verdict::BackAgain),
        (counts.smaller, Verdict::Smaller),
        (counts.gone, Verdict::Gone),
        (counts.measured_unchanged, Verdict::Unchanged),
        (counts.repaired, Verdict::Repaired),
        (counts.not_examined, Verdict::NotExamined),
        (counts.seen_not_measured, Verdict::SeenNotMeasured),
    ];
    let said = all.iter().filter(|(count, _)| *count > 0);
    let said: Vec<String> =
        said.map(|(count, verdict)| format!("{count} {}", verdict.words())).collect();
    if said.is_empty() { "no marks in either".to_owned() } else { said.join(", ") }
}

fn marks(page: &mut Page, found: &Comparison) {
    page.heading("MARKS");
    let rules = page.rules(&[id::CHANGE_MATCH, id::CHANGE_CLAIM]);
    page.line(2, &format!("{} {rules}", summary(&found.counts)));
    for verdict in Verdict::ALL {
        let of: Vec<&MarkChange> =
            found.marks.iter().filter(|one| one.verdict == verdict.word()).collect();
        if of.is_empty() {
            continue;
        }
        let rules = match verdict {
            Verdict::Turned => page.rules(&[id::CHANGE_KIND]),
            Verdict::Gone => page.rules(&[id::CHANGE_GONE]),
            Verdict::NotExamined | Verdict::SeenNotMeasured | Verdict::Repaired => {
                page.rules(&[id::SEEN_NOW])
            }
            _ => String::new(),
        };
        page.line(
            2,
            format!("{} ({}) {rules}", verdict.words().to_uppercase(), of.len()).trim_end(),
        );
        if verdict == Verdict::SeenNotMeasured {
            page.line(4, "whether these have grown nobody knows: their sizes are older");
        }
        for one in of {
            mark(page, one);
        }
    }
}

/// Which marks, by the numbers of both surveys.
fn which(one: &MarkChange) -> String {
    match (one.earlier_marks.as_slice(), one.later_marks.as_slice()) {
        (before, now) if before == now => of_marks(now),
        ([], now) => of_marks(now),
        (before, []) => format!("earlier {}", of_marks(before)),
        (before, now) => format!("{} (earlier {})", of_marks(now), numbers(before)),
    }
}

fn mark(page: &mut Page, one: &MarkChange) {
    let kinds = if one.kinds_now.is_empty() { &one.kinds_before } else { &one.kinds_now };
    let places = if one.places_now.is_empty() { &one.places_before } else { &one.places_now };
    let side = if one.side == "back" { ", back" } else { "" };
    let at =
        places.first().map_or_else(String::new, |at| format!(" at u {:.0} v {:.0}", at.u, at.v));
    let mut said = format!("{}: {}, {}{side}{at}", which(one), kinds.join(" and "), one.panel);
    let measured = one.lengths.iter().filter(|size| size.claim != "not_measured");
    for size in measured {
        said.push_str(&format!(
            "; {} {:.0} -> {:.0} mm ({:+.0}, error {:.0}: {})",
            size.what,
            size.before_mm,
            size.now_mm,
            size.change_mm,
            size.error_mm,
            claim(size.claim)
        ));
    }
    for size in one.areas.iter().filter(|size| size.claim != "not_measured") {
        said.push_str(&format!(
            "; {} {:.4} -> {:.4} m² ({:+.4}, error {:.4}: {})",
            size.what,
            size.before_m2,
            size.now_m2,
            size.change_m2,
            size.error_m2,
            claim(size.claim)
        ));
    }
    page.line(4, &said);
    for told in &one.told {
        page.line(7, told);
    }
    if let (true, Some(apart), Some(error)) =
        (one.apart_beyond_error, one.apart_mm, one.place_error_mm)
    {
        page.line(
            7,
            &format!(
                "its place differs by {apart:.0} mm, more than the tapes' {error:.0} mm and its growth explain; taken as one mark because the two lie on one another: look whether it is"
            ),
        );
    }
    if !one.why.is_empty() {
        page.line(7, &one.why);
    }
}

fn claim(word: &str) -> &str {
    match word {
        "grown" => "grown",
        "smaller" => "smaller beyond error, look again",
        _ => "not beyond error",
    }
}

fn fixings(page: &mut Page, found: &Comparison) {
    page.heading("FIXINGS");
    let (idle, told): (Vec<&FixingLine>, Vec<&FixingLine>) =
        found.fixings.iter().partition(|one| one.verdict == "not_recorded");
    for one in told {
        let state = |of: &Option<String>| of.clone().unwrap_or_else(|| "not listed".to_owned());
        page.line(
            2,
            &format!(
                "{} of the {} (carries: {}): {} then, {} now: {}",
                one.fixing,
                one.panel,
                one.carries,
                state(&one.before),
                state(&one.now),
                one.words
            ),
        );
    }
    if !idle.is_empty() {
        page.line(
            2,
            &format!(
                "{} fixings: nobody recorded their state in the later survey (`fixing_states`); nothing is said of them",
                idle.len()
            ),
        );
    }
    if found.fixings.is_empty() {
        page.line(2, "none is listed on the panels that both surveys have");
    }
}

fn readings(page: &mut Page, found: &Comparison) {
    if found.readings.is_empty() {
        return;
    }
    page.heading("METER READINGS, each above its own survey's dry reference");
    let rules = page.rules(&[id::CHANGE_READING]);
    for one in &found.readings {
        let mark = match (one.earlier_mark, one.later_mark) {
            (Some(then), Some(now)) if then != now => format!("mark {now} (earlier {then})"),
            (_, Some(now)) => format!("mark {now}"),
            (then, None) => format!("earlier mark {}", then.unwrap_or_default()),
        };
        let above = |of: Option<f64>| of.map_or_else(|| "none".to_owned(), |of| format!("{of:+}"));
        let said = match one.verdict {
            "rises" => "rises beyond error".to_owned(),
            "falls" => "falls beyond error: the drying log decides, not this".to_owned(),
            "not_compared" => format!("not compared: {}", one.why),
            _ => "not beyond error".to_owned(),
        };
        let error = one.error.map_or_else(String::new, |error| format!(", error {error:.1}"));
        page.line(
            2,
            &format!(
                "{mark}: {} -> {}{error}: {said} {rules}",
                above(one.before_above),
                above(one.now_above)
            ),
        );
    }
}

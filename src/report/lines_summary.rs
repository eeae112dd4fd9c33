//! The summary for a buyer, drawn from the record: nothing in it is worked out anew.

use super::build::numbers;
use super::model::*;

/// Lines of money that are named as drivers at most.
const DRIVERS: usize = 3;

/// The report with the summary in it.
#[must_use]
pub fn with_summary(mut report: Report) -> Report {
    report.summary = Some(summary(&report));
    report
}

fn summary(of: &Report) -> Summary {
    let excludes = of.order.as_ref().map_or(&of.materials.high.excludes, |order| &order.excludes);
    Summary {
        stops: of.stops.iter().map(stop).collect(),
        referred: referred(of),
        cost: of.price.as_ref().map(cost),
        not_priced: not_priced(of),
        not_seen: of.not_seen.clone(),
        area_m2: of.condition.body.area_m2,
        looked_at_m2: of.condition.body.looked_at_m2,
        depth_assumed: of
            .findings
            .iter()
            .filter(|finding| finding.depth_assumed)
            .map(|finding| finding.mark)
            .collect(),
        blocked: of.blocks.iter().map(|block| block_words(&block.step, &block.marks)).collect(),
        hours: of.hours.as_ref().map(|hours| hours.worker_h),
        worker: of.hours.as_ref().map_or_else(String::new, |hours| hours.worker.clone()),
        earliest: earliest(of),
        ask: ask(of),
        excludes: excludes.clone(),
        foot: foot(&of.survey),
    }
}

fn stop(of: &Stop) -> String {
    block_words(&of.text, &of.marks)
}

fn block_words(text: &str, marks: &[u32]) -> String {
    match marks {
        [] => text.to_owned(),
        [one] => format!("{text} (mark {one})"),
        _ => format!("{text} (marks {})", numbers(marks)),
    }
}

/// Referrals by mark, or by fixing; whoever looks at one looks at all its reasons.
#[must_use]
pub fn referred(of: &Report) -> Vec<ReferredLine> {
    let mut found: Vec<ReferredLine> = Vec::new();
    for one in &of.referrals {
        let same = |known: &&mut ReferredLine| known.mark == one.mark && known.panel == one.panel;
        match found.iter_mut().find(same) {
            Some(known) => {
                known.reasons.push(one.reason.clone());
                // A test of one's own lifts its own reason only: beside any other it is no way out.
                if known.who.starts_with("yourself") {
                    known.who.clone_from(&one.who);
                }
            }
            None => found.push(ReferredLine {
                mark: one.mark,
                panel: one.panel.clone(),
                reasons: vec![one.reason.clone()],
                who: one.who.clone(),
            }),
        }
    }
    found
}

fn cost(of: &PriceLines) -> CostLine {
    let spread = |line: &MoneyLine| match (line.money.low, line.money.high) {
        (Some(low), Some(high)) if high > low => {
            Some(DriverLine { what: line.what.clone(), spread: round6(high - low) })
        }
        _ => None,
    };
    let mut drivers: Vec<DriverLine> = of.lines.iter().filter_map(spread).collect();
    drivers.sort_by(|one, other| other.spread.total_cmp(&one.spread));
    drivers.truncate(DRIVERS);
    CostLine {
        currency: of.currency.clone(),
        decimals: of.decimals,
        priced_on: of.priced_on.clone(),
        totals: of.totals.clone(),
        drivers,
    }
}

/// What has no price, by name; hours that nobody is paid for are among it.
fn not_priced(of: &Report) -> Vec<NotHereLine> {
    let mut found = Vec::new();
    let Some(price) = &of.price else {
        if !of.repairs.is_empty() {
            let names: Vec<&str> = of.repairs.iter().map(|repair| repair.id.as_str()).collect();
            found.push(NotHereLine {
                what: format!("everything: {}", names.join(", ")),
                why: "nobody named a price file: give one with --prices".to_owned(),
            });
        }
        return found;
    };
    found.extend(price.not_priced.iter().cloned());
    let paid = price.lines.iter().any(|line| line.group == "labour");
    if !paid && of.hours.as_ref().is_some_and(|hours| hours.worker_h.high > 0.0) {
        found.push(NotHereLine {
            what: "hours of work".to_owned(),
            why: "the owner's own here; a shop would ask for them".to_owned(),
        });
    }
    let not_here = of.order.iter().flat_map(|order| &order.not_here);
    found.extend(not_here.cloned());
    found
}

/// Days as the timetable has them; the whole is never given a day while a mark waits for somebody.
fn earliest(of: &Report) -> Vec<String> {
    let mut found = Vec::new();
    let out: Vec<u32> = of
        .findings
        .iter()
        .filter(|one| ["refer", "held"].contains(&one.action.as_str()))
        .map(|one| one.mark)
        .collect();
    let fixing = of.referrals.iter().any(|one| one.mark.is_none());
    if !out.is_empty() || fixing {
        let marks = if out.is_empty() {
            "fixings reported failed".to_owned()
        } else {
            block_words("what was found", &out)
        };
        found.push(format!("the whole: no day while a specialist has not spoken on {marks}"));
    }
    let Some(times) = &of.timetable else { return found };
    if let Some(why) = &times.wanting {
        found.push(format!("no plan: {why}"));
    }
    let repairs = |course: &CourseLines| -> String {
        let mut names: Vec<&str> =
            course.tasks.iter().flat_map(|task| &task.repairs).map(String::as_str).collect();
        names.sort_unstable_by_key(|name| (name.len(), *name));
        names.dedup();
        names.join(", ")
    };
    let paint = |course: &CourseLines| {
        if course.no_paint.is_some() { ", paint not in it" } else { "" }
    };
    if let Some(course) = &times.free {
        let names = repairs(course);
        found.push(format!("{names}: day {} from their start{}", course.days, paint(course)));
    }
    if let Some(course) = &times.after_cause {
        let names = repairs(course);
        found.push(format!(
            "{names}: day X + {}, day X being when the cause is put right{}",
            course.days,
            paint(course)
        ));
    }
    for one in &times.untimed {
        found.push(format!("{}: no day: {}", one.repair, one.why));
    }
    found
}

fn ask(of: &Report) -> Vec<AskLine> {
    let mut found: Vec<AskLine> = Vec::new();
    let mut add = |whom: &str, what: &str, marks: &[u32]| {
        let same = |known: &&mut AskLine| known.whom == whom && known.what == what;
        match found.iter_mut().find(same) {
            Some(known) => {
                known.marks.extend(marks);
                known.marks.sort_unstable();
                known.marks.dedup();
            }
            None => found.push(AskLine {
                whom: whom.to_owned(),
                what: what.to_owned(),
                marks: marks.to_vec(),
            }),
        }
    };
    for one in referred(of) {
        let what =
            "look at it, and say in writing what it takes and costs, before any price is agreed";
        add(&one.who, what, one.mark.as_slice());
    }
    for block in of.blocks.iter().filter(|block| block.work.starts_with("sanding")) {
        add("the seller", &format!("{}: {}", block.step, block.way_out), &block.marks);
    }
    for one in &of.put_right {
        add(&one.who, &format!("what puts it right: {}", one.what), &one.marks);
    }
    let wet: Vec<u32> = of.findings.iter().filter(|one| one.wet).map(|one| one.mark).collect();
    if !wet.is_empty() {
        add("the seller", "how long it stood wet, and readings as it dries", &wet);
    }
    // No grinding to find out where a specialist comes first or dust may not be made.
    let free = |mark: &u32| !of.blocks.iter().any(|block| block.marks.contains(mark));
    let assumed: Vec<u32> = of
        .findings
        .iter()
        .filter(|one| one.depth_assumed && one.action == "repair")
        .map(|one| one.mark)
        .filter(free)
        .collect();
    if !assumed.is_empty() {
        add(
            "the seller",
            "how deep it goes: leave to have it opened up by whoever repairs it",
            &assumed,
        );
    }
    if !of.not_seen.is_empty() {
        add("the seller", "leave to take off what hides the places that nobody could see", &[]);
    }
    found
}

/// The foot of every page: for whom, for what, and what it is not.
#[must_use]
pub fn foot(survey: &SurveyHead) -> String {
    let client = if survey.client.is_empty() { "nobody named" } else { &survey.client };
    let purpose = if survey.purpose.is_empty() { "no purpose named" } else { &survey.purpose };
    format!(
        "For {client}, for {purpose}; nobody else may rely on it; not a roadworthiness, structural or insurance approval."
    )
}

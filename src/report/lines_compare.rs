//! A comparison, from what changed to its record.

use super::compare_referrals as raised;
use super::model::{GridMm, Report, round6};
use super::record_compare::*;
use crate::damage::Finding;
use crate::damage::change::claim::end_error_mm;
use crate::damage::change::kinds::Turn;
use crate::damage::change::readings::ReadingVerdict;
use crate::damage::change::{Change, Changes, Looked, Verdict};
use crate::model::survey::{SeenNow, Survey, Tried};
use crate::report::assumed::settings;

/// What no comparison of two surveys can tell.
const LIMITS: [&str; 4] = [
    "two surveys give no rate: how fast a mark grows needs three dates or more in like conditions",
    "a mark that was seen and not measured may have grown; nothing is said of it",
    "what lies under paint, filler and trim was seen in neither",
    "no change beyond error is no proof of rest: it may have grown by less than the error",
];

/// The record.
#[must_use]
pub fn record(
    earlier: &Looked<'_>,
    later: &Looked<'_>,
    reports: (&Report, &Report),
    changes: &Changes,
) -> Comparison {
    let mut files_read = earlier.job.files_read.clone();
    for file in &later.job.files_read {
        if !files_read.contains(file) {
            files_read.push(file.clone());
        }
    }
    let mut marks: Vec<(Verdict, MarkChange)> =
        changes.marks.iter().map(|one| (one.verdict, mark(earlier, later, one))).collect();
    let number = |line: &MarkChange| {
        line.later_marks.first().or(line.earlier_marks.first()).copied().unwrap_or_default()
    };
    marks.sort_by_key(|(verdict, line)| (*verdict, number(line)));
    let raised = raised::of(earlier, later, reports, changes);
    let body = |survey: &Looked<'_>| survey.job.body.as_ref().map(|body| body.name.clone());
    let mut changed = settings(&later.job.book, later.job.habits());
    for one in settings(&earlier.job.book, earlier.job.habits()) {
        if !changed.iter().any(|other| other.text == one.text) {
            changed.push(one);
        }
    }
    let mut found = Comparison {
        schema: COMPARE_SCHEMA,
        schema_version: COMPARE_VERSION,
        files_read,
        body: body(later).or_else(|| body(earlier)).unwrap_or_default(),
        earlier: survey(earlier),
        later: survey(later),
        unlike: unlike(&earlier.job.survey, &later.job.survey),
        stops: raised.stops,
        referrals: raised.referrals,
        no_longer: raised.no_longer,
        not_seen: reports.1.not_seen.clone(),
        counts: counts(changes),
        marks: marks.into_iter().map(|(_, line)| line).collect(),
        fixings: fixings(changes),
        readings: readings(earlier, later, changes),
        alone: alone(changes),
        settings: changed,
        limits: LIMITS.iter().map(|text| (*text).to_owned()).collect(),
        needs_a_person: Vec::new(),
    };
    found.needs_a_person = needs_a_person(&found);
    found
}

pub(super) fn survey(of: &Looked<'_>) -> ComparedSurvey {
    let survey = &of.job.survey;
    ComparedSurvey {
        file: of.job.survey_file.clone(),
        date: survey.date.clone(),
        on: survey.on.clone(),
        author: survey.author.clone(),
        people: survey.people.words().to_owned(),
        light: survey.light.clone(),
        light_is: survey.light_is.words().to_owned(),
        cleaning: survey.cleaning.clone(),
        weather: survey.weather.clone(),
        meter: survey
            .meter
            .as_ref()
            .map(|meter| format!("{}, dry reference {}", meter.kind, meter.reference))
            .unwrap_or_default(),
        end_error_mm: round6(end_error_mm(of.job)),
        marks: of.findings.len(),
    }
}

/// In what two surveys were not made alike.
#[must_use]
pub fn unlike(one: &Survey, other: &Survey) -> Vec<String> {
    let mut found = Vec::new();
    let mut words = |what: &str, then: &str, now: &str| {
        let same = |text: &str| text.trim().to_lowercase();
        if then.trim().is_empty() || now.trim().is_empty() {
            if !(then.trim().is_empty() && now.trim().is_empty()) || what != "weather" {
                let or = |text: &str| {
                    if text.trim().is_empty() { "not said".to_owned() } else { text.to_owned() }
                };
                found.push(format!("{what}: {} then, {} now", or(then), or(now)));
            }
        } else if same(then) != same(now) {
            found.push(format!("{what}: {then} then, {now} now"));
        }
    };
    words("light", &one.light, &other.light);
    words("how good the light was", one.light_is.words(), other.light_is.words());
    words("cleaning", &one.cleaning, &other.cleaning);
    words("people", one.people.words(), other.people.words());
    found
}

fn counts(changes: &Changes) -> VerdictCounts {
    let of = |verdict| changes.marks.iter().filter(|one| one.verdict == verdict).count();
    VerdictCounts {
        grown: of(Verdict::Grown),
        turned: of(Verdict::Turned),
        new: of(Verdict::New),
        back_again: of(Verdict::BackAgain),
        smaller: of(Verdict::Smaller),
        gone: of(Verdict::Gone),
        repaired: of(Verdict::Repaired),
        measured_unchanged: of(Verdict::Unchanged),
        not_examined: of(Verdict::NotExamined),
        seen_not_measured: of(Verdict::SeenNotMeasured),
    }
}

/// The findings of a change in one survey.
fn of<'a>(survey: &Looked<'a>, numbers: &[usize]) -> Vec<&'a Finding<'a>> {
    numbers.iter().filter_map(|number| survey.findings.get(*number)).collect()
}

fn mark(earlier: &Looked<'_>, later: &Looked<'_>, change: &Change) -> MarkChange {
    let (before, now) = (of(earlier, &change.earlier), of(later, &change.later));
    let ids = |found: &[&Finding<'_>]| found.iter().map(|one| one.mark().id).collect();
    let kinds = |found: &[&Finding<'_>]| {
        found.iter().map(|one| one.mark().kind.words().to_owned()).collect::<Vec<_>>()
    };
    let places = |survey: &Looked<'_>, found: &[&Finding<'_>]| {
        let place = |one: &&Finding<'_>| {
            let at = survey.panels.get(one.placed.panel)?.mesh.grid(&one.placed.at);
            Some(GridMm { u: round6(at.x), v: round6(at.y) })
        };
        found.iter().filter_map(place).collect::<Vec<_>>()
    };
    let first = now.first().or(before.first()).map(|one| one.mark());
    let lengths = change.sizes.iter().filter(|size| !size.is_area).map(|size| LengthChange {
        what: size.what,
        before_mm: round6(size.before),
        now_mm: round6(size.now),
        change_mm: round6(size.now - size.before),
        error_mm: round6(size.error),
        claim: size.claim.word(),
    });
    let areas = change.sizes.iter().filter(|size| size.is_area).map(|size| AreaChange {
        what: size.what,
        before_m2: round6(size.before * 1e-6),
        now_m2: round6(size.now * 1e-6),
        change_m2: round6((size.now - size.before) * 1e-6),
        error_m2: round6(size.error * 1e-6),
        claim: size.claim.word(),
    });
    let mut told = told(&before, &now);
    if let Some(turn) = change.turn.filter(|turn| *turn != Turn::Same) {
        let [was, is] = [&before, &now].map(|found| kinds(found).join(", "));
        told.insert(0, format!("{was} then, {is} now: {}", turn.words()));
    }
    MarkChange {
        verdict: change.verdict.word(),
        words: change.verdict.words(),
        earlier_marks: ids(&before),
        later_marks: ids(&now),
        panel: first.map(|mark| mark.panel.clone()).unwrap_or_default(),
        side: first.map(|mark| mark.side.words().to_owned()).unwrap_or_default(),
        kinds_before: kinds(&before),
        kinds_now: kinds(&now),
        turn: change.turn.map(Turn::word),
        places_before: places(earlier, &before),
        places_now: places(later, &now),
        apart_mm: change.moved_mm.map(round6),
        place_error_mm: change.place_error_mm.map(round6),
        apart_beyond_error: change.moved_beyond,
        lengths: lengths.collect(),
        areas: areas.collect(),
        later_state: now.iter().map(|one| state(&one.mark().now).to_owned()).collect(),
        told,
        why: change.why.clone(),
    }
}

pub(super) const fn state(now: &SeenNow) -> &'static str {
    match now {
        SeenNow::Measured => "measured",
        SeenNow::SeenNotMeasured => "seen_not_measured",
        SeenNow::NotExamined => "not_examined",
        SeenNow::Repaired { .. } => "repaired",
    }
}

/// What one survey says of a mark and the other does not, sizes and kind left out.
fn told(before: &[&Finding<'_>], now: &[&Finding<'_>]) -> Vec<String> {
    let mut found = Vec::new();
    for one in now {
        if let SeenNow::Repaired { by, date } = &one.mark().now {
            found.push(format!("repaired by {by}, {date}: what lies inside was not seen"));
        }
    }
    let ([was], [is]) = (before, now) else {
        if before.len() > 1 {
            found.push("marks that lay apart are one now: they have run together, or one survey drew them apart".to_owned());
        }
        if now.len() > 1 && !before.is_empty() {
            found.push(
                "one mark is several now: it has split, or one survey drew it as one".to_owned(),
            );
        }
        return found;
    };
    if is.is_repaired() {
        return found;
    }
    for seen in &is.mark().evidence {
        if !was.mark().evidence.contains(seen) {
            found.push(format!("told for the first time: {}", seen.words()));
        }
    }
    let gone: Vec<&str> = was
        .mark()
        .evidence
        .iter()
        .filter(|seen| !is.mark().evidence.contains(seen))
        .map(|seen| seen.words())
        .collect();
    if !gone.is_empty() && is.mark().now == SeenNow::Measured {
        found.push(format!("not told again: {}", gone.join(", ")));
    }
    let (lips_then, lips_now) = (was.mark().edges_move, is.mark().edges_move);
    if lips_then != lips_now && lips_now != Tried::NotTried {
        let words = [lips_then, lips_now].map(Tried::words);
        found.push(format!("lips move against each other: {} then, {} now", words[0], words[1]));
    }
    if is.wet != was.wet {
        let word = if is.wet {
            "it counts as wet now, and did not"
        } else {
            "it does not count as wet now, and did: that is no proof that it is dry"
        };
        found.push(word.to_owned());
    }
    let mut count = |what: &str, then: Option<f64>, now: Option<f64>| {
        if let (Some(then), Some(now)) = (then, now)
            && (then - now).abs() > 1e-9
        {
            found.push(format!(
                "{what}: {then} per dm² then, {now} now; how well they were counted nobody knows"
            ));
        }
    };
    count("blisters at the worst place", was.mark().worst_per_dm2, is.mark().worst_per_dm2);
    count("blisters over the field", was.mark().mean_per_dm2, is.mark().mean_per_dm2);
    if !is.depth.assumed && was.depth.assumed {
        let depth = super::findings::depth_words(is.depth.cases.likely);
        found.push(format!("its depth is known now: {depth}"));
    } else if !is.depth.assumed && !was.depth.assumed {
        let depths = [was, is].map(|one| super::findings::depth_words(one.depth.cases.likely));
        if depths[0] != depths[1] {
            found.push(format!("depth {} then, {} now", depths[0], depths[1]));
        }
    }
    found
}

fn fixings(changes: &Changes) -> Vec<FixingLine> {
    let mut sorted: Vec<_> = changes.fixings.iter().collect();
    sorted.sort_by_key(|one| one.verdict);
    sorted
        .into_iter()
        .map(|one| FixingLine {
            panel: one.panel.clone(),
            fixing: one.fixing.clone(),
            carries: one.carries.words().to_owned(),
            before: one.before.map(|state| state.words().to_owned()),
            now: one.now.map(|state| state.words().to_owned()),
            verdict: one.verdict.word(),
            words: one.verdict.words(),
            asks: one.verdict.asks(),
        })
        .collect()
}

fn readings(earlier: &Looked<'_>, later: &Looked<'_>, changes: &Changes) -> Vec<ReadingLine> {
    let id =
        |survey: &Looked<'_>, number: Option<usize>| Some(survey.findings.get(number?)?.mark().id);
    changes
        .readings
        .iter()
        .map(|one| ReadingLine {
            earlier_mark: id(earlier, one.earlier),
            later_mark: id(later, one.later),
            before_above: one.before.map(round6),
            now_above: one.now.map(round6),
            error: one.error.map(round6),
            verdict: one.verdict.word(),
            why: match &one.verdict {
                ReadingVerdict::NotCompared(why) => why.clone(),
                _ => String::new(),
            },
        })
        .collect()
}

fn alone(changes: &Changes) -> Vec<String> {
    let line = |(panel, earlier): &(String, bool)| {
        let which = if *earlier { "earlier" } else { "later" };
        format!("{panel}: only in the {which} survey")
    };
    changes.alone.iter().map(line).collect()
}

fn needs_a_person(found: &Comparison) -> Vec<String> {
    let mut reasons = Vec::new();
    let fresh = found.stops.iter().filter(|stop| stop.new).count();
    let mut say = |count: usize, one: &str, many: &str| {
        if count > 0 {
            reasons.push(format!("{count} {}", if count == 1 { one } else { many }));
        }
    };
    say(fresh, "new stop", "new stops");
    say(found.stops.len() - fresh, "stop as before", "stops as before");
    let of = |standing: &str| {
        let mut marks: Vec<_> =
            found.referrals.iter().filter(|one| one.standing == standing).collect();
        marks.dedup_by_key(|one| (one.mark, one.panel.clone()));
        marks.len()
    };
    say(of("new"), "new referral", "new referrals");
    say(of("changed"), "changed referral", "changed referrals");
    say(of("as_before"), "referral as before", "referrals as before");
    let counts = &found.counts;
    say(counts.grown, "mark grown", "marks grown");
    say(counts.turned, "mark of another kind", "marks of another kind");
    say(counts.new, "new mark", "new marks");
    say(counts.back_again, "mark back after a repair", "marks back after a repair");
    say(counts.smaller, "mark smaller", "marks smaller");
    say(counts.gone, "mark not found", "marks not found");
    say(counts.not_examined, "mark not examined", "marks not examined");
    let asks = found.fixings.iter().filter(|one| one.asks).count();
    say(asks, "fixing worse", "fixings worse");
    let rises = found.readings.iter().filter(|one| one.verdict == "rises").count();
    say(rises, "reading that rises", "readings that rise");
    reasons
}

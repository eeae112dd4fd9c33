//! Several surveys, from what was followed to their record.

use super::lines_compare::{state, survey};
use super::model::{GridMm, Report, round6};
use super::record_history::*;
use crate::damage::Finding;
use crate::damage::change::Looked;
use crate::damage::change::claim::Claim;
use crate::damage::change::tracks::{Series, Track, missing, series};

/// What no history can tell.
const LIMITS: [&str; 3] = [
    "a rate is what was, no promise: load, sun and water set the next one",
    "sizes that were carried over from an earlier survey count for nothing",
    "a rate of nothing within its interval is no proof of rest",
];

/// The record.
#[must_use]
pub fn record(surveys: &[Looked<'_>], last: Option<&Report>, tracks: &[Track]) -> History {
    let mut files_read: Vec<String> = Vec::new();
    for file in surveys.iter().flat_map(|one| &one.job.files_read) {
        if !files_read.contains(file) {
            files_read.push(file.clone());
        }
    }
    let body = surveys.iter().rev().find_map(|one| one.job.body.as_ref());
    let mut found = History {
        schema: HISTORY_SCHEMA,
        schema_version: HISTORY_VERSION,
        files_read,
        body: body.map(|body| body.name.clone()).unwrap_or_default(),
        surveys: surveys.iter().map(survey).collect(),
        by_day: surveys.iter().all(|one| one.job.survey.day().is_some()),
        stops: last.map(|report| report.stops.clone()).unwrap_or_default(),
        referrals: last.map(|report| report.referrals.clone()).unwrap_or_default(),
        not_seen: last.map(|report| report.not_seen.clone()).unwrap_or_default(),
        marks: tracks.iter().map(|track| line(surveys, tracks, track)).collect(),
        limits: LIMITS.iter().map(|text| (*text).to_owned()).collect(),
        needs_a_person: Vec::new(),
    };
    found.needs_a_person = needs_a_person(&found);
    found
}

fn of<'a>(surveys: &[Looked<'a>], number: usize, findings: &[usize]) -> Vec<&'a Finding<'a>> {
    let survey = surveys.get(number);
    findings.iter().filter_map(|one| survey?.findings.get(*one)).collect()
}

fn line(surveys: &[Looked<'_>], tracks: &[Track], track: &Track) -> TrackLine {
    let mut seen = Vec::new();
    let mut last: Option<&Finding<'_>> = None;
    for (number, survey) in surveys.iter().enumerate() {
        let entry = track.entries.iter().find(|entry| entry.survey == number);
        let here = entry.map(|entry| of(surveys, number, &entry.findings)).unwrap_or_default();
        let (state, why) = match (here.as_slice(), last) {
            ([], None) => ("before".to_owned(), "no survey had it yet".to_owned()),
            ([], Some(_)) if track.ran_into.is_some() => {
                ("not_listed".to_owned(), "it has run into another mark".to_owned())
            }
            ([], Some(last)) => ("not_listed".to_owned(), missing(survey, last)),
            (here, _) => {
                let mut states: Vec<&str> = here.iter().map(|one| state(&one.mark().now)).collect();
                states.dedup();
                (states.join(", "), String::new())
            }
        };
        let place = here.first().and_then(|one| {
            let at = survey.panels.get(one.placed.panel)?.mesh.grid(&one.placed.at);
            Some(GridMm { u: round6(at.x), v: round6(at.y) })
        });
        last = here.first().copied().or(last);
        seen.push(SeenLine {
            survey: number + 1,
            marks: here.iter().map(|one| one.mark().id).collect(),
            kinds: here.iter().map(|one| one.mark().kind.words().to_owned()).collect(),
            state,
            place_mm: place,
            why,
        });
    }
    let ran_into = track.ran_into.and_then(|other| tracks.get(other)).and_then(|other| {
        let entry = other.entries.last()?;
        Some(of(surveys, entry.survey, &entry.findings).iter().map(|one| one.mark().id).collect())
    });
    TrackLine {
        panel: last.map(|one| one.mark().panel.clone()).unwrap_or_default(),
        side: last.map(|one| one.mark().side.words().to_owned()).unwrap_or_default(),
        seen,
        sizes: series(surveys, track).iter().map(size).collect(),
        ran_into: ran_into.unwrap_or_default(),
    }
}

fn size(of: &Series) -> SizeSeries {
    let readings = of.readings.iter().map(|one| SizeReading {
        survey: one.survey + 1,
        size_mm: round6(one.mm),
        error_mm: round6(one.error_mm),
        measured: one.measured,
    });
    let rate = of.rate.as_ref().ok().map(|(rate, surveys)| RateLine {
        mm_a_year: round6(rate.per_year),
        low_mm_a_year: round6(rate.low),
        high_mm_a_year: round6(rate.high),
        surveys: surveys.iter().map(|number| number + 1).collect(),
        rests_on: if rate.by_scatter { "scatter" } else { "reading_error" },
        says: if rate.low > 0.0 {
            "grows"
        } else if rate.high < 0.0 {
            "shrinks"
        } else {
            "neither"
        },
    });
    SizeSeries {
        what: of.what,
        readings: readings.collect(),
        overall: of.overall.map(|(first, last, error, claim): (f64, f64, f64, Claim)| {
            OverallChange {
                first_mm: round6(first),
                last_mm: round6(last),
                error_mm: round6(error),
                claim: claim.word(),
            }
        }),
        rate,
        no_rate: of.rate.as_ref().err().cloned().unwrap_or_default(),
    }
}

fn needs_a_person(found: &History) -> Vec<String> {
    let mut reasons = Vec::new();
    let mut say = |count: usize, one: &str, many: &str| {
        if count > 0 {
            reasons.push(format!("{count} {}", if count == 1 { one } else { many }));
        }
    };
    say(found.stops.len(), "stop", "stops");
    let mut marks: Vec<_> = found.referrals.iter().map(|one| (one.mark, &one.panel)).collect();
    marks.dedup();
    say(marks.len(), "referral", "referrals");
    let with = |is: &dyn Fn(&SizeSeries) -> bool| {
        found.marks.iter().filter(|mark| mark.sizes.iter().any(is)).count()
    };
    let grows = |size: &SizeSeries| {
        size.rate.as_ref().is_some_and(|rate| rate.says == "grows")
            || size.overall.as_ref().is_some_and(|all| all.claim == "grown")
    };
    say(with(&grows), "mark that grows", "marks that grow");
    let shrinks = |size: &SizeSeries| {
        size.rate.as_ref().is_some_and(|rate| rate.says == "shrinks")
            || size.overall.as_ref().is_some_and(|all| all.claim == "smaller")
    };
    say(with(&shrinks), "mark that reads smaller", "marks that read smaller");
    reasons
}

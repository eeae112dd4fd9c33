//! Marks followed through three surveys or more, and how fast each grows.
//!
//! Takes assessed surveys of one body in order of date; gives one track a mark, matched survey by
//! survey and, where a survey lost it, with the last one that had it. A rate is worked out only from
//! three days or more on which the mark was measured in like conditions. Lengths mm, rates mm a year.

use std::collections::BTreeSet;

use super::claim::{Claim, claimed, end_error_mm};
use super::rate::{Rate, rate};
use super::{Looked, examined, matching, same_body};
use crate::damage::Finding;
use crate::diagnostic::Diagnostic;
use crate::model::survey::{SeenNow, Survey};
use crate::surface::marks::Form;

/// Days of a year, leap years spread out (choice: Julian year).
const YEAR_DAYS: f64 = 365.25;

/// What one survey has of a mark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The survey, by number.
    pub survey: usize,
    /// Its findings, by number; several where it has split.
    pub findings: Vec<usize>,
}

/// One mark through all surveys.
#[derive(Debug, Clone, Default)]
pub struct Track {
    /// What the surveys have of it, in order.
    pub entries: Vec<Entry>,
    /// It ran into another one.
    pub ran_into: Option<usize>,
}

/// A size on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The survey, by number.
    pub survey: usize,
    /// The size, mm.
    pub mm: f64,
    /// How well a survey sees an end, 95 %, mm.
    pub error_mm: f64,
    /// It was measured on that day.
    pub measured: bool,
}

/// One size of a mark over time.
#[derive(Debug, Clone)]
pub struct Series {
    /// Which size.
    pub what: &'static str,
    /// Its readings in order.
    pub readings: Vec<Reading>,
    /// First and last measured size, the error of their difference, and what may be said.
    pub overall: Option<(f64, f64, f64, Claim)>,
    /// How fast it grows, or why nobody can say.
    pub rate: Result<(Rate, Vec<usize>), String>,
}

/// Follows every mark.
///
/// # Errors
/// What keeps two surveys from being of one body, in order; meshes that are far too fine.
pub fn tracks(surveys: &[Looked<'_>]) -> Result<Vec<Track>, Vec<Diagnostic>> {
    for pair in surveys.windows(2) {
        if let [earlier, later] = pair {
            same_body::check(earlier, later)?;
        }
    }
    let mut tracks: Vec<Track> = Vec::new();
    for (number, survey) in surveys.iter().enumerate() {
        let mut left: BTreeSet<usize> = (0..survey.findings.len()).collect();
        for (before, earlier) in surveys.iter().enumerate().take(number).rev() {
            follow(&mut tracks, &mut left, (before, earlier), (number, survey))?;
        }
        tracks.extend(left.into_iter().map(|finding| Track {
            entries: vec![Entry { survey: number, findings: vec![finding] }],
            ran_into: None,
        }));
    }
    Ok(tracks)
}

/// Matches what ended in an earlier survey with what is left of a later one.
fn follow(
    tracks: &mut [Track],
    left: &mut BTreeSet<usize>,
    (before, earlier): (usize, &Looked<'_>),
    (number, survey): (usize, &Looked<'_>),
) -> Result<(), Vec<Diagnostic>> {
    for (panel_number, panel) in earlier.panels.iter().enumerate() {
        let Some((other, _)) = survey.panel(&panel.of.name) else { continue };
        let mut tails: Vec<(usize, usize)> = Vec::new();
        for (place, track) in tracks.iter().enumerate() {
            if let (Some(last), None) = (track.entries.last(), track.ran_into)
                && last.survey == before
            {
                tails.extend(last.findings.iter().map(|finding| (*finding, place)));
            }
        }
        let on = |finding: usize, of: &Looked<'_>, panel: usize| {
            of.findings.get(finding).is_some_and(|one| one.placed.panel == panel)
        };
        let was: Vec<usize> =
            tails.iter().map(|one| one.0).filter(|one| on(*one, earlier, panel_number)).collect();
        let is: Vec<usize> = left.iter().copied().filter(|one| on(*one, survey, other)).collect();
        let groups = matching::groups(earlier, survey, panel, &was, &is)
            .map_err(|why| vec![crate::damage::too_fine(survey.job, panel, why)])?;
        for group in groups.iter().filter(|group| !group.later.is_empty()) {
            let owners: Vec<usize> = group
                .earlier
                .iter()
                .filter_map(|finding| Some(tails.iter().find(|one| one.0 == *finding)?.1))
                .collect();
            let Some(owner) = owners.first() else { continue };
            for finding in &group.later {
                left.remove(finding);
            }
            for other in owners.iter().filter(|other| *other != owner) {
                if let Some(track) = tracks.get_mut(*other) {
                    track.ran_into = Some(*owner);
                }
            }
            let Some(track) = tracks.get_mut(*owner) else { continue };
            match track.entries.last_mut().filter(|last| last.survey == number) {
                Some(last) => last.findings.extend(&group.later),
                None => track.entries.push(Entry { survey: number, findings: group.later.clone() }),
            }
        }
    }
    Ok(())
}

/// Why a survey does not have a mark that an earlier one has: not looked at, or not found.
#[must_use]
pub fn missing(survey: &Looked<'_>, last: &Finding<'_>) -> String {
    examined::why_not(survey, last)
        .unwrap_or_else(|| "not found, though its place was examined".to_owned())
}

/// Every size of a track over time.
#[must_use]
pub fn series(surveys: &[Looked<'_>], track: &Track) -> Vec<Series> {
    let found: Vec<(usize, Vec<&Finding<'_>>)> = track
        .entries
        .iter()
        .filter_map(|entry| {
            let of = surveys.get(entry.survey)?;
            let here = entry.findings.iter().filter_map(|one| of.findings.get(*one)).collect();
            Some((entry.survey, here))
        })
        .collect();
    let all = || found.iter().flat_map(|(_, here)| here.iter().map(|one| &one.placed.form));
    let single = found.iter().all(|(_, here)| here.len() == 1);
    let lines = all().all(|form| matches!(form, Form::Line(_)));
    let patches = all().all(|form| matches!(form, Form::Patch(_)));
    let longer = |form: &Form| match form {
        Form::Line(line) => line.length_mm,
        Form::Patch(patch) => patch.length_mm,
    };
    let shorter = |form: &Form| match form {
        Form::Line(_) => 0.0,
        Form::Patch(patch) => patch.width_mm,
    };
    let of = |what: &'static str, size: &dyn Fn(&Form) -> f64| {
        let readings = found.iter().map(|(survey, here)| {
            let end_mm = surveys.get(*survey).map_or(0.0, |of| end_error_mm(of.job));
            Reading {
                survey: *survey,
                mm: here.iter().map(|one| size(&one.placed.form)).sum(),
                error_mm: end_mm * (here.len() as f64).sqrt(),
                measured: here.iter().all(|one| one.mark().now == SeenNow::Measured),
            }
        });
        told(surveys, what, readings.collect(), single)
    };
    match (single, lines, patches) {
        (true, true, _) => vec![of("length", &longer)],
        (true, _, true) => vec![of("longer side", &longer), of("shorter side", &shorter)],
        (true, ..) => vec![of("longest extent", &longer)],
        (false, true, _) => vec![of("length together", &longer)],
        (false, ..) => Vec::new(),
    }
}

fn told(
    surveys: &[Looked<'_>],
    what: &'static str,
    readings: Vec<Reading>,
    single: bool,
) -> Series {
    let measured: Vec<&Reading> = readings.iter().filter(|one| one.measured).collect();
    let overall = match measured.as_slice() {
        [first, .., last] => {
            let error = first.error_mm.hypot(last.error_mm);
            Some((first.mm, last.mm, error, claimed(first.mm, last.mm, error, true)))
        }
        _ => None,
    };
    let rate = if single {
        of_like(surveys, &measured)
    } else {
        Err("it has split or run together, so its size is no longer one thing".to_owned())
    };
    Series { what, readings, overall, rate }
}

/// The rate of the readings made alike, where there are enough of them.
fn of_like(surveys: &[Looked<'_>], measured: &[&Reading]) -> Result<(Rate, Vec<usize>), String> {
    let survey = |one: &Reading| surveys.get(one.survey).map(|of| &of.job.survey);
    if measured.len() < 3 {
        return Err(format!(
            "measured in {} of the surveys; a rate needs three days or more",
            measured.len()
        ));
    }
    let dated: Vec<&Reading> = measured
        .iter()
        .copied()
        .filter(|one| survey(one).is_some_and(|of| of.day().is_some()))
        .collect();
    if dated.len() < 3 {
        return Err(
            "fewer than three of its surveys give their day: write `on: \"2024-10-12\"`".to_owned()
        );
    }
    // The largest set of surveys made alike; of equals the one that comes last.
    let mut best: Vec<&Reading> = Vec::new();
    for one in &dated {
        let like: Vec<&Reading> = dated
            .iter()
            .copied()
            .filter(|other| {
                let both = survey(one).zip(survey(other));
                both.is_some_and(|(one, other)| made_alike(one, other))
            })
            .collect();
        if like.len() >= best.len() {
            best = like;
        }
    }
    let days: BTreeSet<_> = best.iter().filter_map(|one| survey(one)?.day()).collect();
    let Some(first) = days.first() else {
        return Err(UNLIKE.to_owned());
    };
    if days.len() < 3 {
        return Err(UNLIKE.to_owned());
    }
    let points: Vec<(f64, f64)> = best
        .iter()
        .filter_map(|one| Some((survey(one)?.day()?.days_after(*first) / YEAR_DAYS, one.mm)))
        .collect();
    let error = best.iter().map(|one| one.error_mm).fold(0.0, f64::max);
    let rate = rate(&points, error).ok_or_else(|| UNLIKE.to_owned())?;
    Ok((rate, best.iter().map(|one| one.survey).collect()))
}

const UNLIKE: &str = "fewer than three days on which it was measured under the same light and cleaning, both said, by as many people";

/// Whether two surveys were made in like conditions: light, how good it was, cleaning and people;
/// what nobody has said is like nothing.
#[must_use]
pub fn made_alike(one: &Survey, other: &Survey) -> bool {
    let said = |text: &str| text.trim().to_lowercase();
    let same = |a: &str, b: &str| !a.trim().is_empty() && said(a) == said(b);
    same(&one.light, &other.light)
        && same(&one.cleaning, &other.cleaning)
        && one.light_is == other.light_is
        && one.people == other.people
}

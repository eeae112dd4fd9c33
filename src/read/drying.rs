//! The drying log: the file read with its survey, and its values.

use super::faults::Faults;
use super::job::{self, Folder, Job, Named, Reading, path_from};
use super::text::Loaded;
use super::{check_opened, check_shop};
use crate::diagnostic::Diagnostic;
use crate::model::drying::DryingLog;
use crate::model::moment::Moment;
use crate::model::survey::Survey;

/// Reads the log that the user or the survey names; gives it with its file.
pub(super) fn read(
    reading: &mut Reading<'_>,
    options: &Named,
    (survey, loaded): (&Survey, &Loaded),
) -> Option<(String, DryingLog)> {
    let named = survey.drying.as_ref();
    let (log, of) =
        reading.either::<DryingLog>(options.drying.as_ref(), loaded, "drying", named)?;
    reading.faults.extend(check(&log, &of, &loaded.file, survey));
    Some((of.file, log))
}

/// Reads a drying log with the survey it names.
///
/// # Errors
/// Every fault of the file, of the survey and of what that names.
pub fn job(folder: &dyn Folder, file: &str) -> Result<Job, Vec<Diagnostic>> {
    let read = job::one::<DryingLog, _>(folder, file, |reading, log, loaded| {
        reading.named::<Survey>(loaded, "survey", &log.survey)?;
        let named = Named { drying: Some(file.to_owned()), ..Named::default() };
        match job::job(folder, &path_from(&loaded.file, &log.survey), &named) {
            Ok(job) => Some(job),
            Err(faults) => {
                reading.faults.extend(faults);
                None
            }
        }
    });
    read.map(|(job, _)| job)
}

fn check(log: &DryingLog, loaded: &Loaded, survey_file: &str, survey: &Survey) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    if !check_opened::same_survey(&mut faults, "readings", &log.survey, survey_file) {
        return faults.into_found();
    }
    if log.readings.is_empty() {
        faults.add(
            "readings",
            "READ-NOTHING",
            "the log holds no reading",
            "one reading or more",
            "leave the file out until a reading was taken",
        );
    }
    if survey.meter.is_none() {
        faults.add(
            "readings",
            "READ-METER",
            "the survey names no meter, so nobody knows its step and what these readings are",
            "a meter in the survey",
            "add it: meter: (kind: \"...\", reference: 9, step: 1)",
        );
    }
    let known: Vec<String> = survey.marks.iter().map(|mark| mark.id.to_string()).collect();
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    for (number, one) in log.readings.iter().enumerate() {
        let at = |name: &str| format!("readings[{number}].{name}");
        faults.known(&at("mark"), "mark in the survey", &one.mark.to_string(), &known);
        match Moment::parse(&one.at) {
            None => faults.add(
                &at("at"),
                "READ-MOMENT",
                format!("found {:?}, which is no day and time", one.at),
                "year-month-day hour:minute, such as 2024-11-04 09:30",
                "write the day and the time of the clock on the wall",
            ),
            Some(moment) => {
                let twice = log.readings.iter().take(number).any(|other| {
                    other.mark == one.mark
                        && other.place == one.place
                        && Moment::parse(&other.at) == Some(moment)
                });
                if twice {
                    faults.add(
                        &at("at"),
                        "READ-NAME-TWICE",
                        format!("mark {} has two readings of {moment} at one place", one.mark),
                        "one reading a place and time",
                        "take one out, or say in `place` where each was taken",
                    );
                }
            }
        }
        faults.range(&at("reading"), "reading", one.reading, "", 0.0..=10_000.0);
        faults.range(&at("reference"), "dry reference", one.reference, "", 0.0..=10_000.0);
        let hours = one.hours_dry.map(|hours| hours.value());
        faults.range_if(&at("hours_dry"), "hours dry", hours, "h", 0.0..=1_000_000.0);
        let air = one.air_c.map(|air| air.value());
        faults.range_if(&at("air_c"), "air", air, "C", -30.0..=60.0);
        let panel = one.panel_c.map(|panel| panel.value());
        faults.range_if(&at("panel_c"), "panel", panel, "C", -30.0..=90.0);
        let damp = one.humidity_percent.map(|damp| damp.value());
        check_shop::humidity_at(&mut faults, &at("humidity_percent"), damp);
    }
    faults.into_found()
}

//! Readings of a shop's air: the file that a shop names, and its values.

use super::alone::one;
use super::check_shop;
use super::faults::Faults;
use super::job::{Folder, Reading};
use super::text::{Loaded, Texts};
use crate::diagnostic::Diagnostic;
use crate::model::climate::{ClimateLog, LONGEST_GAP_H, MOST_READINGS};
use crate::model::shop::Shop;

/// Reads the file that a shop names; gives it with its name.
pub(super) fn of_shop(
    reading: &mut Reading<'_>,
    shop: &Shop,
    loaded: &Loaded,
) -> Option<(String, ClimateLog)> {
    let (log, of) = reading.named::<ClimateLog>(loaded, "climate", shop.climate.as_ref()?)?;
    reading.faults.extend(check(&log, &of));
    Some((of.file, log))
}

/// Reads such a file by itself.
///
/// # Errors
/// Every fault of the file.
pub fn file(folder: &dyn Folder, file: &str) -> Result<(ClimateLog, Texts), Vec<Diagnostic>> {
    one::<ClimateLog, _>(folder, file, |reading, log, loaded| {
        reading.faults.extend(check(&log, loaded));
        Some(log)
    })
}

fn check(log: &ClimateLog, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    if !(2..=MOST_READINGS).contains(&log.hours.len()) {
        faults.add(
            "hours",
            "READ-NOTHING",
            format!("found {} readings", log.hours.len()),
            format!("2 to {MOST_READINGS} readings"),
            "a single reading belongs into day_c and night_c of the shop; a longer file is cut",
        );
    }
    let mut before = None;
    for (number, one) in log.hours.iter().take(MOST_READINGS).enumerate() {
        let at = |name: &str| format!("hours[{number}].{name}");
        let moment = one.moment();
        match (before, moment) {
            (_, None) => faults.add(
                &at("at"),
                "READ-MOMENT",
                format!("found {:?}, which is no day and time", one.at),
                "year-month-day hour:minute, such as 2024-11-04 09:30",
                "write the day and the time of the clock on the wall",
            ),
            (Some(before), Some(moment)) => {
                let gap_h = moment.hours_after(before);
                if gap_h <= 0.0 {
                    faults.add(
                        &at("at"),
                        "READ-ORDER",
                        format!("{moment} does not come after {before}"),
                        "each reading later than the one above it",
                        "put the readings in order; where the clocks go back, keep one time for the whole file",
                    );
                } else if gap_h > LONGEST_GAP_H {
                    faults.add(
                        &at("at"),
                        "READ-ORDER",
                        format!("{gap_h} h lie between {before} and {moment}"),
                        format!("{LONGEST_GAP_H} h at most between two readings"),
                        "what nobody read cannot be judged: fill the gap, or leave out what comes before it",
                    );
                }
            }
            (None, Some(_)) => {}
        }
        before = moment.or(before);
        faults.range(&at("air_c"), "air", one.air_c.value(), "C", -30.0..=60.0);
        let damp = Some(one.humidity_percent.value());
        check_shop::humidity_at(&mut faults, &at("humidity_percent"), damp);
        let panel = one.panel_c.map(|panel| panel.value());
        faults.range_if(&at("panel_c"), "panel", panel, "C", -30.0..=90.0);
    }
    faults.into_found()
}

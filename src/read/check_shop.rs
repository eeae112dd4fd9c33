//! The values of a shop file.

use super::faults::Faults;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::moment::minutes_of_day;
use crate::model::shop::{CLOSES_MIN, OPENS_MIN, Shop, ShopPlace};

/// Every fault of value in a shop.
pub(super) fn shop(shop: &Shop, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    let air = -30.0..=60.0;
    faults.range_if("day_c", "air by day", shop.day_c.map(|t| t.value()), "C", air.clone());
    faults.range_if("night_c", "air by night", shop.night_c.map(|t| t.value()), "C", air.clone());
    air_told_once(shop, &mut faults);
    faults.range_if("panel_c", "panel", shop.panel_c.map(|t| t.value()), "C", -30.0..=90.0);
    faults.range_if("resin_c", "resin", shop.resin_c.map(|t| t.value()), "C", air);
    humidity(&mut faults, shop.humidity_percent.map(|share| share.value()));
    faults.range_if("room_m3", "room", shop.room_m3.map(|v| v.value()), "m3", 1.0..=100_000.0);
    let changes = shop.air_changes_per_h;
    faults.range_if("air_changes_per_h", "air changes", changes, "an hour", 0.0..=200.0);
    let fan = shop.fan_m3_h.map(|flow| flow.value());
    faults.range_if("fan_m3_h", "air driven through", fan, "m3/h", 0.0..=200_000.0);
    let outdoor = shop.outdoor_c.map(|t| t.value());
    faults.range_if("outdoor_c", "air outdoors", outdoor, "C", -40.0..=50.0);
    let clearing = shop.clearing_min.map(|time| time.value());
    faults.range_if("clearing_min", "clearing time", clearing, "min", 0.5..=240.0);
    let acetone = shop.acetone_l.map(|volume| volume.value());
    faults.range_if("acetone_l", "acetone", acetone, "l", 0.0..=200.0);
    if shop.people == 0 || shop.people > 50 {
        faults.add(
            "people",
            "READ-RANGE",
            format!("people who lay up together: found {}", shop.people),
            "1 to 50",
            "count those who wet out glass at the same time",
        );
    }
    let dose = 0.1..=10.0;
    let catalyst = shop.catalyst_percent.map(|share| share.value());
    faults.range_if("catalyst_percent", "catalyst", catalyst, "%", dose.clone());
    let gel = shop.gel_catalyst_percent.map(|share| share.value());
    faults.range_if("gel_catalyst_percent", "catalyst of the gel coat", gel, "%", dose);
    opening(shop, &mut faults);
    if shop.place == ShopPlace::OutdoorsUnderCover && shop.room_m3.is_some() {
        faults.add(
            "room_m3",
            "READ-CONTRADICTION",
            "the place is outdoors, yet a room volume is given",
            "a room volume for a closed place only",
            "leave `room_m3` out, or name the place as a building",
        );
    }
    faults.into_found()
}

/// Day and night, or a file of readings: one of the two, and whole.
fn air_told_once(shop: &Shop, faults: &mut Faults<'_>) {
    for (field, given) in [("day_c", shop.day_c.is_some()), ("night_c", shop.night_c.is_some())] {
        match (&shop.climate, given) {
            (None, false) => faults.add(
                field,
                "READ-FIELD-MISSING",
                format!("`{field}` is missing, and no `climate` file is named"),
                "day_c and night_c, or climate: \"FILE\"",
                "read the thermometer where the work is to be done",
            ),
            (Some(file), true) => faults.add(
                field,
                "READ-CONTRADICTION",
                format!("the air is told twice, by `{field}` and by {file:?}"),
                "day_c and night_c, or climate: \"FILE\"",
                "take one of the two out",
            ),
            _ => {}
        }
    }
    if shop.climate.is_some() && shop.humidity_percent.is_some() {
        faults.add(
            "humidity_percent",
            "READ-CONTRADICTION",
            "the humidity is told twice, here and by every reading of the `climate` file",
            "one of the two",
            "take it out here",
        );
    }
}

fn opening(shop: &Shop, faults: &mut Faults<'_>) {
    for (field, given) in [("open_from", &shop.open_from), ("open_to", &shop.open_to)] {
        if let Some(text) = given
            && minutes_of_day(text).is_none()
        {
            faults.add(
                field,
                "READ-MOMENT",
                format!("found {text:?}, which is no time of the day"),
                "hour:minute, 00:00 to 24:00, such as 08:00",
                "write the time of the clock on the wall",
            );
        }
    }
    let at = |given: &Option<String>, usual| given.as_deref().map_or(Some(usual), minutes_of_day);
    let times = (at(&shop.open_from, OPENS_MIN), at(&shop.open_to, CLOSES_MIN));
    if matches!(times, (Some(from), Some(to)) if from >= to) {
        faults.add(
            "open_to",
            "READ-CONTRADICTION",
            "the shop closes no later than it opens",
            "a closing time after the opening time, on the same day",
            "correct one of the two; both left out mean 08:00 to 17:00",
        );
    }
    for (number, day) in shop.open_days.iter().enumerate() {
        if shop.open_days.iter().take(number).any(|other| other == day) {
            faults.add(
                &format!("open_days[{number}]"),
                "READ-NAME-TWICE",
                format!("{} is named twice", day.words()),
                "each day once",
                "take one out",
            );
        }
    }
}

/// Relative humidity, % above 0 to 100.
pub(super) fn humidity(faults: &mut Faults<'_>, percent: Option<f64>) {
    humidity_at(faults, "humidity_percent", percent);
}

/// The same under another field.
pub(super) fn humidity_at(faults: &mut Faults<'_>, field: &str, percent: Option<f64>) {
    faults.range_if(field, "relative humidity", percent, "%", 1.0..=100.0);
}

//! The values of a shop file.

use super::faults::Faults;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::shop::{Shop, ShopPlace};

/// Every fault of value in a shop.
pub(super) fn shop(shop: &Shop, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    let air = -30.0..=60.0;
    faults.range("day_c", "air by day", shop.day_c.value(), "C", air.clone());
    faults.range("night_c", "air by night", shop.night_c.value(), "C", air.clone());
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

/// Relative humidity, % above 0 to 100.
pub(super) fn humidity(faults: &mut Faults<'_>, percent: Option<f64>) {
    humidity_at(faults, "humidity_percent", percent);
}

/// The same under another field.
pub(super) fn humidity_at(faults: &mut Faults<'_>, field: &str, percent: Option<f64>) {
    faults.range_if(field, "relative humidity", percent, "%", 1.0..=100.0);
}

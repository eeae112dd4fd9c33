//! Hours of a shop's air, and what warming takes, in the record.

use serde::Serialize;

/// Hours read, and in which of them each step may be done.
#[derive(Debug, Clone, Serialize)]
pub struct ClimateLines {
    /// The file.
    pub from: String,
    /// First reading.
    pub first: String,
    /// Last reading.
    pub last: String,
    /// Lag of a bare skin behind the air, then of a panel with the whole vehicle behind it.
    pub panel_lag_h: [f64; 2],
    /// Steps.
    pub steps: Vec<StepHoursLine>,
    /// Share of all hours read in which a laminate is too cold to cure at all.
    pub stands_still_percent: f64,
}

/// A step through the hours.
#[derive(Debug, Clone, Serialize)]
pub struct StepHoursLine {
    /// The step.
    pub step: String,
    /// What has to hold after the last work at it.
    pub rest_min: f64,
    /// Opening hours read.
    pub open_h: f64,
    /// Of these, too cold or too hot.
    pub shut_by_temperature_h: f64,
    /// Of these, too damp.
    pub shut_by_damp_h: f64,
    /// Of these, with the panel too near the dew point.
    pub shut_by_dew_h: f64,
    /// When it may be started.
    pub windows: Vec<WindowLine>,
}

/// Hours in which a step may be started.
#[derive(Debug, Clone, Serialize)]
pub struct WindowLine {
    /// Day of the week.
    pub weekday: String,
    /// The first moment.
    pub from: String,
    /// The last one.
    pub to: String,
    /// Coldest of air, panel and resin until the step is over.
    pub coldest_c: f64,
    /// Hottest of them.
    pub hottest_c: f64,
    /// Dampest air.
    pub most_humidity_percent: f64,
    /// Smallest distance of the panel from the dew point.
    pub least_above_dew_k: f64,
    /// What is laid in it gets hard in sight, even by the late end; without it nothing is planned
    /// there.
    pub hardens: bool,
}

/// What it takes to warm the shop.
#[derive(Debug, Clone, Serialize)]
pub struct WarmingLine {
    /// What air, panel and resin have to come to.
    pub to_c: f64,
    /// The air meanwhile.
    pub air_c: f64,
    /// Outdoors.
    pub outdoors_c: f64,
    /// How long before the pour: a bare skin, a whole vehicle.
    pub before_h: [f64; 2],
    /// Through walls and roof: an insulated room, a single skin.
    pub walls_kw: Option<[f64; 2]>,
    /// For the air that comes in as the room stands.
    pub air_kw: Option<f64>,
    /// For the fresh air that keeps the room out of the stop.
    pub stop_air_kw: Option<f64>,
    /// For the fresh air of the strictest 8-hour limit.
    pub fresh_air_kw: Option<f64>,
    /// The caution that goes with it.
    pub caution: String,
}

/// A panel that is colder than the air.
#[derive(Debug, Clone, Serialize)]
pub struct BroughtInLine {
    /// The panel.
    pub panel_c: f64,
    /// The air.
    pub air_c: f64,
    /// Until it may be laid on by temperature: a bare skin, a whole vehicle; nothing where this
    /// air never warms it enough.
    pub lay_up_after_h: Option<[f64; 2]>,
    /// Until it stands far enough above the dew point.
    pub above_dew_after_h: Option<[f64; 2]>,
}

//! Readings of the air of a shop, hour by hour.

use serde::Deserialize;

use super::given;
use super::moment::Moment;
use crate::quantity::{Celsius, Percent};

/// Readings of one room, in the order in which they were taken.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClimateLog {
    /// Format of the file.
    pub format: u32,
    /// Which room, read or forecast by whom.
    #[serde(default)]
    pub name: String,
    /// The readings, at most [`LONGEST_GAP_H`] apart.
    pub hours: Vec<ClimateHour>,
    /// A note of the user's.
    #[serde(default)]
    pub note: String,
}

/// One reading.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClimateHour {
    /// When: day and time of the clock on the wall.
    pub at: String,
    /// Air temperature.
    pub air_c: Celsius,
    /// Relative humidity.
    pub humidity_percent: Percent,
    /// Temperature of the panel, where it was taken.
    #[serde(default, deserialize_with = "given")]
    pub panel_c: Option<Celsius>,
}

/// Readings farther apart than this leave hours that nobody knows, h (choice).
pub const LONGEST_GAP_H: f64 = 3.0;
/// Readings in one file at most: two months by the hour (choice).
pub const MOST_READINGS: usize = 1_500;

impl ClimateHour {
    /// When it was taken; none where the text is no moment.
    #[must_use]
    pub fn moment(&self) -> Option<Moment> {
        Moment::parse(&self.at)
    }
}

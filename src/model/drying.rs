//! The drying log: meter readings at wet marks, day by day.

use serde::Deserialize;

use super::given;
use crate::quantity::{Celsius, Hours, Percent};

/// Readings taken at the marks of one survey while they dry.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DryingLog {
    /// Format of the file.
    pub format: u32,
    /// The survey whose marks these are, by its file.
    pub survey: String,
    /// The readings, in any order.
    pub readings: Vec<DryingReading>,
    /// A note of the user's.
    #[serde(default)]
    pub note: String,
}

/// One reading.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DryingReading {
    /// The mark, by its number in the survey.
    pub mark: u32,
    /// When: day and time of the clock on the wall.
    pub at: String,
    /// Where on the mark, in words.
    #[serde(default)]
    pub place: String,
    /// The reading, on the meter's own scale.
    pub reading: f64,
    /// The same meter on the dry reference place, the same day.
    pub reference: f64,
    /// Hours since the last wash, rain or wet ground under it; left out, nobody knows.
    #[serde(default, deserialize_with = "given")]
    pub hours_dry: Option<Hours>,
    /// Air temperature.
    #[serde(default, deserialize_with = "given")]
    pub air_c: Option<Celsius>,
    /// Relative humidity.
    #[serde(default, deserialize_with = "given")]
    pub humidity_percent: Option<Percent>,
    /// Temperature of the panel, where it was taken.
    #[serde(default, deserialize_with = "given")]
    pub panel_c: Option<Celsius>,
    /// A note of the user's, kept word for word.
    #[serde(default)]
    pub note: String,
}

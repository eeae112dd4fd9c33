//! Wet marks and their drying in the record.

use serde::Serialize;

/// Drying of the marks that count as wet, and of those that have a log.
#[derive(Debug, Clone, Serialize)]
pub struct DryingLines {
    /// The file of the log; nothing without one.
    pub log: Option<String>,
    /// By mark.
    pub marks: Vec<DryingMark>,
}

/// Drying of one mark.
#[derive(Debug, Clone, Serialize)]
pub struct DryingMark {
    /// The mark.
    pub mark: u32,
    /// It may be closed: nothing else lifts the wait; never for a referred or held mark.
    pub go_ahead: bool,
    /// The moments of the readings that give the go-ahead.
    pub by: Vec<String>,
    /// What is wanting for it.
    pub wanting: String,
    /// Which way the readings that count go.
    pub trend: String,
    /// Their change a week, on the meter's own scale; nothing of fewer than three.
    pub slope_per_week: Option<f64>,
    /// Every reading, by time.
    pub readings: Vec<DryingReadingLine>,
    /// How long a laminate of this kind takes at the shop's temperature; nothing for a referred or
    /// held mark, or where no temperature is known.
    pub expected: Option<DryingTime>,
}

/// A reading.
#[derive(Debug, Clone, Serialize)]
pub struct DryingReadingLine {
    /// When.
    pub at: String,
    /// Where.
    pub place: String,
    /// The reading.
    pub reading: f64,
    /// The same meter on the dry reference that day.
    pub reference: f64,
    /// Why it does not count; nothing where it does.
    pub not_used: Option<String>,
    /// The user's note, word for word.
    pub as_recorded: String,
}

/// Days until little is left of the water in the laminate, shortest and longest: the ends of what
/// is known of such laminates, a factor of ten apart and more. No date follows from them.
#[derive(Debug, Clone, Serialize)]
pub struct DryingTime {
    /// Glass laminate.
    pub thickness_mm: f64,
    /// At this temperature all the time.
    pub air_c: f64,
    /// Until this share of the water above the balance with the air is left.
    pub left_percent: f64,
    /// With one face open.
    pub one_face_days: [f64; 2],
    /// With both faces open.
    pub both_faces_days: [f64; 2],
}

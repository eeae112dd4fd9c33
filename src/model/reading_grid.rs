//! A square grid of readings over part of a panel: tapped, or read with the moisture meter.

use serde::Deserialize;

use super::mark::Side;
use super::{GridPlace, given};
use crate::quantity::{Degrees, Millimetres};

/// A grid of readings.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingGrid {
    /// What it is called.
    pub name: String,
    /// The panel it was taken on.
    pub panel: String,
    /// The side it was taken from.
    #[serde(default)]
    pub side: Side,
    /// The mark it belongs to.
    #[serde(default, deserialize_with = "given")]
    pub mark: Option<u32>,
    /// Where the first reading of the first row stands.
    pub origin: GridOrigin,
    /// The way a row runs, from +u turning towards +v; further rows stand a quarter turn on.
    #[serde(default)]
    pub angle_deg: Degrees,
    /// Distance between readings along a row and between rows.
    pub pitch_mm: Millimetres,
    /// The readings, row by row.
    pub rows: Rows,
}

/// Where a grid starts.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum GridOrigin {
    /// At a landmark or fixing.
    At(String),
    /// On the panel's own grid.
    On(Millimetres, Millimetres),
}

impl GridOrigin {
    /// Its place, where it is given as one.
    #[must_use]
    pub const fn place(&self) -> Option<GridPlace> {
        match self {
            Self::On(u, v) => Some((*u, *v)),
            Self::At(_) => None,
        }
    }
}

/// Readings, a text a row; a dash stands where nothing was taken.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Rows {
    /// Tapped: c for a clear note, d for a dull one.
    Tapped(Vec<String>),
    /// Moisture, on the survey's meter.
    Moisture(Vec<String>),
}

/// An entry that is no reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoReading {
    /// Its row, from 0.
    pub row: usize,
    /// Its place in the row, from 0.
    pub column: usize,
    /// As it is written.
    pub written: String,
}

impl Rows {
    /// The rows as they are written.
    #[must_use]
    pub fn written(&self) -> &[String] {
        match self {
            Self::Tapped(rows) | Self::Moisture(rows) => rows,
        }
    }

    /// The readings, none where nothing was taken; for tapped ones 1 is dull and 0 clear.
    ///
    /// # Errors
    /// The first entry that is no reading.
    pub fn read(&self) -> Result<Vec<Vec<Option<f64>>>, NoReading> {
        let one = |text: &str| match (self, text) {
            (_, "-") => Some(None),
            (Self::Tapped(_), "c") => Some(Some(0.0)),
            (Self::Tapped(_), "d") => Some(Some(1.0)),
            (Self::Tapped(_), _) => None,
            (Self::Moisture(_), figure) => {
                let read = figure.parse::<f64>().ok();
                read.filter(|read| read.is_finite() && *read >= 0.0).map(Some)
            }
        };
        let row = |(row, text): (usize, &String)| {
            text.split_whitespace()
                .enumerate()
                .map(|(column, written)| {
                    one(written).ok_or_else(|| NoReading {
                        row,
                        column,
                        written: written.to_owned(),
                    })
                })
                .collect::<Result<Vec<_>, NoReading>>()
        };
        self.written().iter().enumerate().map(row).collect()
    }
}

//! A skin that was scanned: the file that holds it, its unit, and what may be done to it.

use serde::Deserialize;

use super::place::SpacePlace;
use super::words;
use crate::quantity::Millimetres;

/// A scanned skin.
#[derive(Debug, Clone)]
pub struct Scan {
    /// The scan: STL, PLY or OBJ.
    pub file: String,
    /// Unit of its coordinates.
    pub unit: ScanUnit,
    /// Name of the group or object that is the panel; left out, the largest piece is.
    pub part: Option<String>,
    /// Corners of open edges nearer than this are one.
    pub weld_mm: Option<Millimetres>,
    /// Holes of the scan up to this long are filled and counted as skin.
    pub fill_holes_mm: Option<Millimetres>,
    /// Thinning moves the skin by no more than this.
    pub thin_mm: Option<Millimetres>,
    /// Thinning changes the area by no more than this.
    pub thin_area_percent: Option<f64>,
    /// Faces that run the wrong way round are turned; left out, they are refused.
    pub turn_flipped: bool,
    /// The scan's faces look inwards: the outer side is the other one.
    pub inside_out: bool,
    /// Where the grid starts and which way it runs.
    pub axis: Option<ScanAxis>,
}

/// The grid of a scan: u and v are 0 at one place, and u runs along one direction there.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ScanAxis {
    /// Where the grid starts, in mm.
    pub at: SpacePlace,
    /// Direction of +u there; its length does not matter.
    pub along: (f64, f64, f64),
}

words! {
/// Unit of a scan's coordinates; no scan format says it.
ScanUnit {
    /// Millimetres.
    Mm => "mm",
    /// Centimetres.
    Cm => "cm",
    /// Metres.
    M => "m",
    /// Inches.
    Inch => "inch",
}}

impl ScanUnit {
    /// Millimetres in one of it.
    #[must_use]
    pub const fn in_mm(self) -> f64 {
        match self {
            Self::Mm => 1.0,
            Self::Cm => 10.0,
            Self::M => 1000.0,
            Self::Inch => 25.4,
        }
    }
}

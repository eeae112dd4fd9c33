//! The seen form of a mark: a line or an area laid over the surface. Lengths mm, areas mm2.

use nalgebra::Point2;

use super::origin::Piece;

/// The seen form of a mark, laid over the surface.
#[derive(Debug, Clone)]
pub enum Form {
    /// A line.
    Line(Line),
    /// An area.
    Patch(Patch),
}

/// A line over the surface.
#[derive(Debug, Clone)]
pub struct Line {
    /// Its pieces in order.
    pub pieces: Vec<Piece>,
    /// Its length, mm.
    pub length_mm: f64,
    /// Its direction was recorded.
    pub known_direction: bool,
    /// Angle at its middle for a straight line, degrees from +u towards +v.
    pub straight_deg: Option<f64>,
    /// How many of its ends an edge of the panel stopped.
    pub ends_on_edge: usize,
}

/// An area over the surface.
#[derive(Debug, Clone)]
pub struct Patch {
    /// Its outline on the grid, not clipped.
    pub outline: Vec<Point2<f64>>,
    /// Longer extent, mm.
    pub length_mm: f64,
    /// Shorter extent, mm.
    pub width_mm: f64,
    /// Area as seen before anything clips it, mm2.
    pub area_mm2: f64,
    /// Outline as seen before anything clips it, mm.
    pub perimeter_mm: f64,
    /// Its angle was recorded, or it is round.
    pub known_angle: bool,
    /// It is round or was traced point by point.
    pub turns_into_itself: bool,
}

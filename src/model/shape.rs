//! Size and form of a mark: spot, line, patch, or point by point.

use serde::Deserialize;

use super::mark::SideWord;
use super::{given, words};
use crate::quantity::{Degrees, Millimetres};

/// Size and form of a mark.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Shape {
    /// Not measured: asked for.
    #[default]
    #[serde(rename = "unmeasured")]
    Unmeasured,
    /// A round spot.
    Spot {
        /// Its diameter.
        diameter_mm: Millimetres,
    },
    /// A straight line over the skin, its middle at the mark's place.
    Line {
        /// Its length over the skin.
        length_mm: Millimetres,
        /// Which way it runs.
        #[serde(default)]
        direction: Direction,
    },
    /// A patch, its middle at the mark's place.
    Patch {
        /// Its length.
        length_mm: Millimetres,
        /// Its width.
        width_mm: Millimetres,
        /// The way its length runs, from +u turning towards +v.
        #[serde(default, deserialize_with = "given")]
        angle_deg: Option<Degrees>,
        /// Its outline.
        #[serde(default)]
        outline: PatchOutline,
    },
    /// The dull area of a tapped grid of this survey, by its name.
    Grid(String),
    /// Point by point: a line, or the outline of an area.
    Traced {
        /// The points in order.
        points: Vec<TracedPoint>,
        /// The last point joins the first and the area inside is meant.
        #[serde(default)]
        closed: bool,
    },
}

/// One point of a traced mark.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum TracedPoint {
    /// On the panel's own grid: u and v, mm.
    On(Millimetres, Millimetres),
    /// By two tapes.
    Taped {
        /// First landmark and its reading.
        a: (String, Millimetres),
        /// Second landmark and its reading.
        b: (String, Millimetres),
        /// Which of the two possible places.
        #[serde(default)]
        side: SideWord,
    },
    /// A distance over the skin and a direction from the point before.
    Step {
        /// The distance.
        mm: Millimetres,
        /// The direction, from +u turning towards +v.
        angle_deg: Degrees,
    },
}

/// Which way a line runs.
#[derive(Debug, Clone, Default, Deserialize)]
pub enum Direction {
    /// Not recorded.
    #[default]
    #[serde(rename = "unknown")]
    Unknown,
    /// At an angle from +u turning towards +v.
    Angle(Degrees),
    /// Towards the named fixing or landmark.
    Toward(String),
}

words! {
#[derive(Default)]
/// Outline of a patch.
PatchOutline {
    #[default]
    /// Rectangle.
    Rectangle => "rectangle",
    /// Oval.
    Oval => "oval",
}}

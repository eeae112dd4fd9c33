//! A whole body: its panels in place, and what is stored in the vehicle.

use serde::Deserialize;

use super::{given, words};
use crate::quantity::{Celsius, Degrees, Millimetres};

/// A vehicle body.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Body {
    /// Format of the file.
    pub format: u32,
    /// What the vehicle is called.
    pub name: String,
    /// Its panels.
    pub panels: Vec<PlacedPanel>,
    /// Edges along which two panels are moulded in one.
    #[serde(default)]
    pub seams: Vec<Seam>,
    /// Traction battery, fuel and pyrotechnic devices.
    #[serde(default)]
    pub energy: VehicleEnergy,
    /// Charger, controller and other live parts, each with the panel it sits behind.
    #[serde(default)]
    pub live_parts: Vec<LivePart>,
    /// Year the body was laid up.
    #[serde(default, deserialize_with = "given")]
    pub built: Option<u32>,
    /// Year of the last refinish.
    #[serde(default, deserialize_with = "given")]
    pub refinished: Option<u32>,
    /// A note of the user's.
    #[serde(default)]
    pub note: String,
}

/// One panel in its place on the body.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlacedPanel {
    /// The panel file, from the folder of the body file.
    pub file: String,
    /// Where the panel's grid origin sits on the body: rearwards, outwards to the nearside, up.
    #[serde(default)]
    pub at_mm: (Millimetres, Millimetres, Millimetres),
    /// Turn about the upright axis.
    #[serde(default)]
    pub turned_deg: Degrees,
    /// It lies, its outer side up, rather than stands; left out, the program takes one or the other
    /// for its pictures and says which.
    #[serde(default, deserialize_with = "given")]
    pub lies: Option<bool>,
}

/// Two panels moulded in one along an edge of each.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seam {
    /// The edge of one panel.
    pub one: SeamEdge,
    /// The edge of the other one, from the same end of the seam.
    pub other: SeamEdge,
}

/// A stretch of the edge of a panel.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeamEdge {
    /// The panel.
    pub panel: String,
    /// Places along its edge, from one end of the seam to the other.
    pub along: Vec<SeamPlace>,
}

/// A place on the edge of a panel.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum SeamPlace {
    /// On the panel's grid.
    On(Millimetres, Millimetres),
    /// In space, on a scan's own axes.
    Xyz(Millimetres, Millimetres, Millimetres),
    /// A landmark of the panel.
    Landmark(String),
}

/// What is stored in the vehicle that can burn, shock or go off.
#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct VehicleEnergy {
    /// Traction battery.
    pub traction_battery: Presence,
    /// The heat that the battery's maker allows, where it is known.
    #[serde(deserialize_with = "given")]
    pub battery_heat_limit_c: Option<Celsius>,
    /// Petrol, diesel or gas.
    pub fuel: Presence,
    /// Belt pretensioners, air bags.
    pub pyrotechnic: Presence,
}

/// A part that may be live or hot while the vehicle stands.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LivePart {
    /// What it is.
    pub what: String,
    /// The panel it sits behind.
    pub behind: String,
}

words! {
#[derive(Default)]
/// Whether something is there.
Presence {
    #[default]
    /// Nobody has said: treated as there.
    Unknown => "not known",
    /// It is there.
    Present => "present",
    /// It was there and is out of the vehicle, or drained, or made safe, before the work.
    TakenOut => "taken out before the work",
    /// It is not there.
    Absent => "absent",
}}

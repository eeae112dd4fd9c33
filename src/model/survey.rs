//! A survey: who looked at what, under which conditions, and the marks that were found.

use serde::Deserialize;

pub use super::hazard::HazardTest;
pub use super::mark::{
    BlisterLayer, Cause, Depth, Direction, Evidence, Mark, MarkKind, PatchOutline, Place, SeenNow,
    Shape, Side, SideWord, TracedPoint, Tried, Worker,
};
use super::moment::Moment;
use super::panel::{AlongU, BackAccess, FixingState, Fixings, Material, Role};
pub use super::reading_grid::{GridOrigin, ReadingGrid, Rows};
use super::{given, words};
use crate::quantity::{Celsius, Hours, Millimetres, Percent};

/// A survey of one body or of some panels.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Survey {
    /// Format of the file.
    pub format: u32,
    /// Whom the survey is for.
    #[serde(default)]
    pub client: String,
    /// What it is for.
    #[serde(default)]
    pub purpose: String,
    /// Who made it.
    #[serde(default)]
    pub author: String,
    /// What the author has to gain: none, buyer, seller, repairer, in words.
    #[serde(default)]
    pub interest: String,
    /// What the author was allowed to open, remove or scratch, in words.
    #[serde(default)]
    pub access: String,
    /// When, as the user writes it.
    #[serde(default)]
    pub date: String,
    /// The day itself, year, month and day: needed before a rate can be worked out.
    #[serde(default, deserialize_with = "given")]
    pub on: Option<String>,
    /// Weather, in words.
    #[serde(default)]
    pub weather: String,
    /// Light, in words.
    #[serde(default)]
    pub light: String,
    /// Whether that light was good enough to see where a crack ends.
    #[serde(default)]
    pub light_is: LightWas,
    /// How the body had been cleaned, in words.
    #[serde(default)]
    pub cleaning: String,
    /// How many held the tape.
    #[serde(default)]
    pub people: TapePeople,
    /// Air temperature where the survey was made.
    #[serde(default, deserialize_with = "given")]
    pub air_c: Option<Celsius>,
    /// Relative humidity where the survey was made.
    #[serde(default, deserialize_with = "given")]
    pub humidity_percent: Option<Percent>,
    /// Temperature of the panels, where it was taken.
    #[serde(default, deserialize_with = "given")]
    pub panel_c: Option<Celsius>,
    /// Hours since the last wash, rain or wet ground under the vehicle.
    #[serde(default, deserialize_with = "given")]
    pub hours_dry: Option<Hours>,
    /// The ground under the vehicle was wet.
    #[serde(default)]
    pub wet_ground: bool,
    /// The moisture meter and its dry reference on this body.
    #[serde(default, deserialize_with = "given")]
    pub meter: Option<Meter>,
    /// The body file; then its panels need not be listed.
    #[serde(default, deserialize_with = "given")]
    pub body: Option<String>,
    /// Panels, where no body file is named or a panel is sized in place.
    #[serde(default)]
    pub panels: Vec<SurveyPanel>,
    /// What is stored in the vehicle, where no body file says so.
    #[serde(default, deserialize_with = "given")]
    pub energy: Option<super::body::VehicleEnergy>,
    /// The shop file.
    #[serde(default, deserialize_with = "given")]
    pub shop: Option<String>,
    /// The user's own stock file.
    #[serde(default, deserialize_with = "given")]
    pub stock: Option<String>,
    /// The laminating resin, by its name in the stock; left out, the first of the family that the
    /// moulding takes.
    #[serde(default, deserialize_with = "given")]
    pub resin: Option<String>,
    /// The user's own rule figures.
    #[serde(default, deserialize_with = "given")]
    pub rules: Option<String>,
    /// Sizes found after grinding.
    #[serde(default, deserialize_with = "given")]
    pub opened: Option<String>,
    /// The drying log of wet marks.
    #[serde(default, deserialize_with = "given")]
    pub drying: Option<String>,
    /// The user's own prices.
    #[serde(default, deserialize_with = "given")]
    pub prices: Option<String>,
    /// Whether the old paint was tested for lead and chromate, and what came of it.
    #[serde(default)]
    pub old_paint: HazardTest,
    /// Whether underseal, sealer or damping under the body was tested for asbestos.
    #[serde(default)]
    pub underseal: HazardTest,
    /// Which topcoat is wanted.
    #[serde(default)]
    pub topcoat: Topcoat,
    /// What was not examined, and why.
    #[serde(default)]
    pub not_examined: Vec<NotExamined>,
    /// States of fixings as found on the day.
    #[serde(default)]
    pub fixing_states: Vec<FoundFixing>,
    /// Grids of readings, tapped or by the moisture meter.
    #[serde(default)]
    pub grids: Vec<ReadingGrid>,
    /// Photos of the whole vehicle or of what is no mark.
    #[serde(default)]
    pub photos: Vec<Photo>,
    /// The marks.
    #[serde(default)]
    pub marks: Vec<Mark>,
    /// What was changed in this file after it was first written.
    #[serde(default)]
    pub amendments: Vec<Amendment>,
    /// A note of the user's.
    #[serde(default)]
    pub note: String,
}

words! {
#[derive(Default)]
/// How many people held the tape.
TapePeople {
    #[default]
    /// One person.
    One => "one person",
    /// Two people.
    Two => "two people",
}}

words! {
#[derive(Default)]
/// How well one could see.
LightWas {
    #[default]
    /// Nobody has said: for one person alone it counts as poor.
    NotSaid => "nobody has said how good",
    /// Good.
    Good => "good",
    /// Poor.
    Poor => "poor",
}}

impl Survey {
    /// The day of the survey, where it was given.
    #[must_use]
    pub fn day(&self) -> Option<Moment> {
        self.on.as_deref().and_then(Moment::day)
    }
}

/// A moisture meter and its reference.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Meter {
    /// What the meter is, in words: type and mode.
    pub kind: String,
    /// Its reading on a dry part of the same body.
    pub reference: f64,
    /// Where the reference was taken.
    #[serde(default)]
    pub reference_place: String,
    /// The meter's step.
    #[serde(default = "one")]
    pub step: f64,
}

fn one() -> f64 {
    1.0
}

/// A panel that the survey brings itself.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SurveyPanel {
    /// What it is called in this survey.
    pub name: String,
    /// A panel file.
    #[serde(default, deserialize_with = "given")]
    pub file: Option<String>,
    /// A generic moulding to start from.
    #[serde(default, deserialize_with = "given")]
    pub generic: Option<String>,
    /// Sizes that replace those of the generic moulding.
    #[serde(default)]
    pub size: PanelSize,
    /// Which way u runs on the generic moulding for somebody who stands before its outer side with v
    /// upwards, or away from him on a panel that lies.
    #[serde(default, deserialize_with = "given")]
    pub u_runs: Option<AlongU>,
    /// Thickness of the glass laminate as measured, replacing the file's.
    #[serde(default, deserialize_with = "given")]
    pub thickness_mm: Option<Millimetres>,
    /// What it is made of, replacing the file's.
    #[serde(default, deserialize_with = "given")]
    pub material: Option<Material>,
    /// What it does, replacing the file's.
    #[serde(default, deserialize_with = "given")]
    pub roles: Option<Vec<Role>>,
    /// What is fixed to it, replacing the file's.
    #[serde(default, deserialize_with = "given")]
    pub fixings: Option<Fixings>,
    /// Whether its back can be reached, replacing the file's.
    #[serde(default, deserialize_with = "given")]
    pub back: Option<BackAccess>,
}

/// Sizes of a generic moulding as measured.
#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct PanelSize {
    /// Tape over the skin along the middle.
    #[serde(deserialize_with = "given")]
    pub length_mm: Option<Millimetres>,
    /// Tape over the skin across the middle.
    #[serde(deserialize_with = "given")]
    pub width_mm: Option<Millimetres>,
    /// Rise of the middle line along.
    #[serde(deserialize_with = "given")]
    pub crown_along_mm: Option<Millimetres>,
    /// Rise of the middle line across.
    #[serde(deserialize_with = "given")]
    pub crown_across_mm: Option<Millimetres>,
    /// Depth of the turned edge, taped over its bend.
    #[serde(deserialize_with = "given")]
    pub edge_return_mm: Option<Millimetres>,
    /// Radius of the corners.
    #[serde(deserialize_with = "given")]
    pub corner_radius_mm: Option<Millimetres>,
    /// How much narrower the far end is.
    #[serde(deserialize_with = "given")]
    pub taper_mm: Option<Millimetres>,
    /// How far one corner stands off the plane of the others.
    #[serde(deserialize_with = "given")]
    pub twist_mm: Option<Millimetres>,
}

words! {
#[derive(Default)]
/// Which topcoat is wanted.
Topcoat {
    #[default]
    /// Nobody has said: an isocyanate hardener is assumed.
    Unnamed => "not named",
    /// Two-pack with an isocyanate hardener, sprayed.
    TwoPackIsocyanate => "two-pack with isocyanate hardener",
    /// One-pack enamel, brushed or rolled.
    BrushEnamel => "one-pack enamel, brushed or rolled",
    /// No paint: the gel coat is the finish.
    GelFinish => "gel coat finish, no paint",
}}

/// Something that was not examined.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NotExamined {
    /// What.
    pub what: String,
    /// Why.
    pub why: String,
    /// The panel it is, or is on, so that the totals can say how much of it was looked at.
    #[serde(default, deserialize_with = "given")]
    pub panel: Option<String>,
    /// The side; left out, both.
    #[serde(default, deserialize_with = "given")]
    pub side: Option<Side>,
    /// The region of the panel; left out, the whole side.
    #[serde(default, deserialize_with = "given")]
    pub region: Option<String>,
}

/// A photo, JPEG or PNG.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// Its file.
    pub file: String,
    /// What it shows, kept word for word.
    pub what: String,
}

/// A change of the survey after it was first written, kept word for word.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Amendment {
    /// When it was changed.
    pub date: String,
    /// Who changed it.
    pub by: String,
    /// What was changed, and why.
    pub what: String,
    /// The mark it is about, where it is about one.
    #[serde(default, deserialize_with = "given")]
    pub mark: Option<u32>,
    /// What it said before.
    #[serde(default)]
    pub was: String,
    /// What it says now.
    #[serde(default)]
    pub now: String,
}

/// The state of a fixing as found on the day; it replaces the panel file's.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FoundFixing {
    /// The panel.
    pub panel: String,
    /// The fixing.
    pub fixing: String,
    /// Its state.
    pub state: FixingState,
}

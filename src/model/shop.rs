//! Where the work is done: climate, room, people.

use serde::Deserialize;

use super::{given, words};
use crate::quantity::{Celsius, CubicMetres, CubicMetresPerHour, Litres, Minutes, Percent};

/// A shop.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shop {
    /// Format of the file.
    pub format: u32,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// Air temperature by day: from the pour to the gel.
    pub day_c: Celsius,
    /// Air temperature by night: after the gel.
    pub night_c: Celsius,
    /// Relative humidity.
    #[serde(default, deserialize_with = "given")]
    pub humidity_percent: Option<Percent>,
    /// Temperature of the panel, where it is not the air's.
    #[serde(default, deserialize_with = "given")]
    pub panel_c: Option<Celsius>,
    /// Temperature of the resin, where it is not the air's.
    #[serde(default, deserialize_with = "given")]
    pub resin_c: Option<Celsius>,
    /// Where the room is.
    #[serde(default)]
    pub place: ShopPlace,
    /// Volume of the room; left out outdoors.
    #[serde(default, deserialize_with = "given")]
    pub room_m3: Option<CubicMetres>,
    /// Air changes an hour, where known.
    #[serde(default, deserialize_with = "given")]
    pub air_changes_per_h: Option<f64>,
    /// Air driven through by a fan, where there is one.
    #[serde(default, deserialize_with = "given")]
    pub fan_m3_h: Option<CubicMetresPerHour>,
    /// Temperature outdoors, where the fresh air comes from.
    #[serde(default, deserialize_with = "given")]
    pub outdoor_c: Option<Celsius>,
    /// What is under foot.
    #[serde(default)]
    pub floor: ShopFloor,
    /// Time until the room or booth is clear after spraying, measured with smoke.
    #[serde(default, deserialize_with = "given")]
    pub clearing_min: Option<Minutes>,
    /// Acetone kept for cleaning tools and degreasing.
    #[serde(default, deserialize_with = "given")]
    pub acetone_l: Option<Litres>,
    /// Heaters and other sources of ignition.
    #[serde(default)]
    pub heaters: Vec<Heater>,
    /// Who does the work.
    #[serde(default)]
    pub worker: ShopWorker,
    /// How many lay up together.
    #[serde(default = "one")]
    pub people: u32,
    /// Catalyst for laminating resin, % by mass.
    #[serde(default, deserialize_with = "given")]
    pub catalyst_percent: Option<Percent>,
    /// Catalyst for gel and flow coat, % by mass.
    #[serde(default, deserialize_with = "given")]
    pub gel_catalyst_percent: Option<Percent>,
    /// Taper to lay, run-out over thickness, where it is not the rule's.
    #[serde(default, deserialize_with = "given")]
    pub taper: Option<f64>,
    /// A note of the user's.
    #[serde(default)]
    pub note: String,
}

fn one() -> u32 {
    1
}

words! {
#[derive(Default)]
/// Where the room is.
ShopPlace {
    #[default]
    /// Joined to a dwelling.
    JoinedToDwelling => "joined to a dwelling",
    /// A building of its own.
    OwnBuilding => "in a building of its own",
    /// Outdoors under cover.
    OutdoorsUnderCover => "outdoors under cover",
    /// A spray booth with driven air.
    SprayBooth => "a spray booth",
    /// A spray room kept at slight negative pressure.
    SprayRoom => "a spray room",
}}

words! {
#[derive(Default)]
/// What is under foot in the room.
ShopFloor {
    #[default]
    /// Nobody has said.
    Unknown => "nobody has said whether there is a pit or cellar",
    /// Level, at the height of the ground outside.
    Level => "level floor",
    /// A pit, a cellar or a floor below the ground outside.
    PitOrCellar => "a pit or cellar",
}}

words! {
/// A heater.
Heater {
    /// Burns fuel inside, flue to the outside.
    Flued => "flued heater",
    /// Burns fuel, no flue.
    Unflued => "unflued heater",
    /// Glowing element.
    GlowingElement => "glowing element",
    /// Sealed electric or hot-water radiator.
    Sealed => "sealed radiator",
    /// Kind not said.
    Unknown => "heater of unknown kind",
}}

words! {
#[derive(Default)]
/// Who does the work.
ShopWorker {
    #[default]
    /// The owner.
    Owner => "owner",
    /// A trade.
    Trade => "trade",
}}

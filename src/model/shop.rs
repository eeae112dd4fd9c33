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
    /// Air temperature by day: from the pour to the gel; left out where `climate` tells.
    #[serde(default, deserialize_with = "given")]
    pub day_c: Option<Celsius>,
    /// Air temperature by night: after the gel; left out where `climate` tells.
    #[serde(default, deserialize_with = "given")]
    pub night_c: Option<Celsius>,
    /// A file with readings of the air, hour by hour, instead of the two.
    #[serde(default, deserialize_with = "given")]
    pub climate: Option<String>,
    /// Relative humidity.
    #[serde(default, deserialize_with = "given")]
    pub humidity_percent: Option<Percent>,
    /// Temperature of the panel, where it is not the air's; with `climate`, at its first reading.
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
    /// When it opens, by the clock on the wall.
    #[serde(default, deserialize_with = "given")]
    pub open_from: Option<String>,
    /// When it closes.
    #[serde(default, deserialize_with = "given")]
    pub open_to: Option<String>,
    /// Days on which it is open; none named, the usual ones of whoever works.
    #[serde(default)]
    pub open_days: Vec<Weekday>,
    /// A table of hours of the shop's own; else the default one.
    #[serde(default, deserialize_with = "given")]
    pub labour: Option<String>,
    /// Taper to lay, run-out over thickness, where it is not the rule's.
    #[serde(default, deserialize_with = "given")]
    pub taper: Option<f64>,
    /// How the shop does what others do differently.
    #[serde(default)]
    pub habits: Habits,
    /// A note of the user's.
    #[serde(default)]
    pub note: String,
}

/// What a shop does where practice disagrees; the taper has a field of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Habits {
    /// In which order plies of one side go down.
    #[serde(default)]
    pub ply_order: PlyOrder,
    /// What covers a repair in an epoxy moulding.
    #[serde(default)]
    pub on_epoxy: OnEpoxy,
    /// Whether gel cracks of unknown depth are taken to reach the glass.
    #[serde(default)]
    pub gel_cracks: GelCracks,
    /// What is laid behind where the whole laminate goes.
    #[serde(default)]
    pub backing: BackingHabit,
}

/// When a shop opens that does not say, minutes after midnight (choice).
pub const OPENS_MIN: i64 = 8 * 60;
/// When it closes (choice).
pub const CLOSES_MIN: i64 = 17 * 60;

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

words! {
#[derive(Default)]
/// In which order the plies of a side go down; their sizes stay the same.
PlyOrder {
    #[default]
    /// The smallest on the floor, the largest next to the gel coat.
    SmallestFirst => "the smallest ply first",
    /// The largest on the floor, the smallest next to the gel coat.
    LargestFirst => "the largest ply first",
}}

words! {
#[derive(Default)]
/// What covers a repair in an epoxy moulding.
OnEpoxy {
    #[default]
    /// Polyester gel or flow coat on cured, washed and keyed epoxy.
    FlowCoat => "polyester flow coat on cured, washed and keyed epoxy",
    /// Epoxy primer and paint, no gel coat.
    PaintOnly => "primer and paint alone",
}}

words! {
#[derive(Default)]
/// Whether gel cracks of unknown depth are taken to reach the glass.
GelCracks {
    #[default]
    /// A trial grind answers; until then likely in the gel coat, at most into the first glass.
    Ask => "a trial grind answers",
    /// Likely into the first glass.
    ReachGlass => "taken to reach the first glass",
}}

words! {
#[derive(Default)]
/// What is laid behind where the whole laminate goes.
BackingHabit {
    #[default]
    /// One mat.
    OneMat => "one mat",
    /// Two mats, the second farther out.
    TwoMats => "two mats, the second farther out",
    /// The set of the US Army's published table, with no taper in front.
    Army => "the set of the army table, no taper in front",
}}

words! {
/// A day of the week.
Weekday {
    /// Monday.
    Mon => "Monday",
    /// Tuesday.
    Tue => "Tuesday",
    /// Wednesday.
    Wed => "Wednesday",
    /// Thursday.
    Thu => "Thursday",
    /// Friday.
    Fri => "Friday",
    /// Saturday.
    Sat => "Saturday",
    /// Sunday.
    Sun => "Sunday",
}}

impl Weekday {
    /// The week.
    pub const ALL: [Self; 7] =
        [Self::Mon, Self::Tue, Self::Wed, Self::Thu, Self::Fri, Self::Sat, Self::Sun];
}

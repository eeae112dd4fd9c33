//! The computed values that cautions look at: name, words, unit. Every trigger and every figure in
//! a caution's text is one of these.

use serde::Deserialize;
use serde::de::IntoDeserializer;
use serde::de::value::{Error, StrDeserializer};

/// How a value is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A number with so many decimals and a unit.
    Number(usize, &'static str),
    /// A time in minutes, written as a person plans.
    Time,
    /// Something that is so or is not.
    Yes,
    /// Numbers of marks.
    Marks,
    /// Words.
    Said,
}

macro_rules! facts {
    ($($name:ident: $form:expr => $words:literal),+ $(,)?) => {
        /// A computed value.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
        #[serde(rename_all = "snake_case")]
        #[allow(missing_docs, reason = "each says itself in words")]
        pub enum Fact { $($name),+ }

        impl Fact {
            /// Every one.
            pub const ALL: &[Self] = &[$(Self::$name),+];

            /// What it is, in words.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words),+ }
            }

            /// How it is written.
            #[must_use]
            pub const fn form(self) -> Form {
                match self { $(Self::$name => $form),+ }
            }
        }
    };
}

use Form::{Marks, Number, Said, Time, Yes};

facts! {
    // What is laid, ground and painted.
    Repairs: Number(0, "") => "repairs laid out",
    PouredKg: Number(2, "kg") => "resin and gel coat poured in the high case",
    SittingKg: Number(2, "kg") => "poured in the worst sitting",
    SittingRepair: Said => "the worst sitting",
    LargestPotG: Number(0, "g") => "the largest pot",
    LaminatingPercent: Number(2, "%") => "catalyst in the laminating resin",
    DoseOutside: Said => "dose",
    Peroxide: Said => "peroxide",
    CatalystG: Number(0, "g") => "catalyst for the job",
    PeroxideKeepC: Number(0, "°C") => "peroxide is kept below",
    PeroxideMostC: Number(0, "°C") => "peroxide is out of control above",
    Epoxy: Yes => "epoxy resin, filler or adhesive is used",
    GelOnEpoxy: Yes => "gel or flow coat goes on epoxy work",
    AcceleratorApart: Said => "resin whose accelerator is not in it as bought",
    AcetoneL: Number(2, "l") => "acetone kept",
    AcetoneAssumed: Yes => "how much acetone is kept is assumed",
    GlassKg: Number(2, "kg") => "glass laid and not post-cured",
    GroundM2: Number(2, "m²") => "ground",
    PreparedM2: Number(2, "m²") => "prepared",
    DustLaminateKg: Number(2, "kg") => "laminate ground to dust, at most",
    DustPaintKg: Number(2, "kg") => "old paint sanded to dust, at most",
    DustKg: Number(2, "kg") => "dust of laminate and paint together, at most",
    SandingH: Number(1, "h") => "grinding and sanding",
    PaintM2: Number(2, "m²") => "to be painted",
    PaintLitres: Number(1, "l") => "paint",
    PaintSolventG: Number(0, "g") => "solvent in the paint, at most",
    // What must be tested first.
    OldPaint: Said => "old paint",
    OldPaintNotClear: Said => "old paint",
    OldFillerMarks: Marks => "old filler not tested clear",
    OldFillerAnswers: Said => "old filler",
    UndersealMarks: Marks => "underseal or sealer may be disturbed, not tested clear",
    Topcoat: Said => "topcoat",
    Isocyanate: Said => "isocyanate",
    OnePack: Yes => "one-pack paint with solvent is chosen",
    MaterialUnknownMarks: Marks => "the moulding's material is not known",
    RoleUnknownMarks: Marks => "laminate of a panel whose role nobody has said",
    // The air.
    StyreneLowG: Number(0, "g") => "styrene given off in the worst sitting, least",
    StyreneHighG: Number(0, "g") => "styrene given off in the worst sitting, most",
    StyreneLimits: Yes => "figures of air are given",
    StyrenePeakPpm: Number(0, "ppm") => "styrene in the room at its peak, well mixed",
    StyreneNearPpm: Number(0, "ppm") => "styrene at the head over the job",
    StyreneAllPpm: Number(0, "ppm") => "styrene if everything were laid at once",
    StyreneFlammablePercent: Number(1, "%") => "styrene, as a share of what can burn",
    StyreneDangerousPpm: Number(0, "ppm") => "immediately dangerous to life",
    StrictestPpm: Number(0, "ppm") => "strictest limit over 8 h that is held",
    StrictestSet: Said => "whose limit",
    FreshAirM3H: Number(0, "m³/h") => "fresh air that holds the strictest limit",
    StopAirM3H: Number(0, "m³/h") => "fresh air that keeps out of the stop",
    MostInOne: Said => "most that one sitting may pour in this room",
    AirFlowM3H: Number(0, "m³/h") => "air that goes through the room",
    MaskFactor: Number(0, "") => "what a mask has to divide the air by",
    PurgeMin: Time => "until the room is clear",
    RoomM3: Number(0, "m³") => "the room",
    Place: Said => "place of work",
    Outdoors: Yes => "the work is outdoors under cover",
    HeatKw: Number(1, "kW") => "heat that this fresh air takes",
    WarmByK: Number(0, "K") => "how much the fresh air has to be warmed",
    AcetonePpm: Number(0, "ppm") => "acetone in the room from one sitting's cleaning",
    AcetoneFlammablePercent: Number(1, "%") => "acetone, as a share of what can burn",
    AcetoneLimitPpm: Number(0, "ppm") => "limit of acetone over 8 h that is held",
    AcetoneAirM3H: Number(0, "m³/h") => "fresh air for the acetone",
    // Climate.
    ColdestC: Number(1, "°C") => "the coldest of air, panel and resin",
    AirC: Number(1, "°C") => "the air",
    HottestC: Number(1, "°C") => "the warmest of air, panel and resin",
    HumidityPercent: Number(0, "%") => "relative humidity",
    DewC: Number(1, "°C") => "dew point",
    SurfaceAboveDewK: Number(1, "K") => "the surface above the dew point",
    HumidityMostPercent: Number(0, "%") => "humidity that would keep the surface far enough above the dew point",
    WarmToC: Number(0, "°C") => "to warm to",
    HoldMin: Time => "how long after the last pour",
    NotOpen: Said => "steps that are warned or shut",
    WarmingAdvised: Yes => "this answer advises to warm the shop",
    Heaters: Said => "heaters listed",
    FormTgC: Number(0, "°C") => "a day-old repair softens at about",
    // Who and where.
    OwnerOrTrade: Said => "who works",
    Owner: Yes => "the owner does the work",
    JoinedToDwelling: Yes => "the shop is joined to a dwelling, or nobody has said that it is not",
    Booth: Yes => "the work is in a spray booth or spray room",
    ClearingMin: Number(0, "min") => "clearing time",
    ClearingMeasured: Yes => "the clearing time was measured",
    EyeWaterL: Number(0, "l") => "water that 15 minutes of rinsing take",
    UnfluedWaterKgH: Number(2, "kg") => "water an hour from an unflued gas heater of 3 kW",
    PitOrCellar: Said => "floor",
    // The vehicle.
    BatteryThere: Said => "traction battery",
    PackAboard: Yes => "the traction battery is aboard, or nobody has said that it is not",
    BatteryLimitC: Number(0, "°C") => "heat that the battery's maker allows",
    LiveParts: Said => "live parts behind panels with marks",
    FuelThere: Said => "fuel or gas",
    PyroThere: Said => "pyrotechnic devices",
    JackMarks: Marks => "at a jacking or lifting point",
    LowMarks: Marks => "low on the body or at a jacking point",
    WetMarks: Marks => "counts as wet",
    PartingMarks: Marks => "goes through and may reach two edges",
    BrokenMarks: Marks => "has broken or torn edges",
    SeizedFixings: Said => "seized or corroded fixings",
    PanelsOff: Said => "panels that may come off",
    BodyKg: Number(0, "kg") => "the body's skins together",
    BodyMountsDoubtful: Said => "body mounts that are not sound",
    BeltsNear: Said => "belts or seats near the work",
}

impl Fact {
    /// A value by its name in the table.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        let reader: StrDeserializer<'_, Error> = name.into_deserializer();
        Self::deserialize(reader).ok()
    }
}

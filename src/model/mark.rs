//! One mark: what it is, where, how large, how deep, and what else was seen.

use serde::Deserialize;

use super::hazard::HazardTest;
use super::panel::BackAccess;
pub use super::shape::{Direction, PatchOutline, Shape, TracedPoint};
use super::{given, words};
use crate::quantity::Millimetres;

/// One observed piece of damage.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// Its number, unique in the survey.
    pub id: u32,
    /// The panel it is on.
    pub panel: String,
    /// The side it is seen on.
    #[serde(default)]
    pub side: Side,
    /// What it is.
    pub kind: MarkKind,
    /// Where it is: its middle.
    #[serde(default, deserialize_with = "given")]
    pub place: Option<Place>,
    /// Its size and form.
    #[serde(default)]
    pub shape: Shape,
    /// Cracks of a patch traced one by one, each point by point, for the pattern they make.
    #[serde(default)]
    pub lines: Vec<Vec<TracedPoint>>,
    /// Thickness of the gel coat here, read at a ground or broken edge.
    #[serde(default, deserialize_with = "given")]
    pub gel_mm: Option<Millimetres>,
    /// Length on the back, where the back is longer or shorter than the front.
    #[serde(default, deserialize_with = "given")]
    pub back_length_mm: Option<Millimetres>,
    /// The layer a blister sits in.
    #[serde(default)]
    pub layer: BlisterLayer,
    /// How deep a trial grind or a cut edge shows it to go.
    #[serde(default)]
    pub depth: Depth,
    /// Whether the lips move against each other when pressed.
    #[serde(default)]
    pub edges_move: Tried,
    /// What else was seen: recorded, never assumed.
    #[serde(default)]
    pub evidence: Vec<Evidence>,
    /// The cause, where one was found.
    #[serde(default)]
    pub cause: Cause,
    /// Whether the back at this mark was reached; left out, the panel's answer holds.
    #[serde(default, deserialize_with = "given")]
    pub back: Option<BackAccess>,
    /// Moisture reading at the mark, on the survey's meter.
    #[serde(default, deserialize_with = "given")]
    pub reading: Option<f64>,
    /// Blisters per dm2 at the worst place.
    #[serde(default, deserialize_with = "given")]
    pub worst_per_dm2: Option<f64>,
    /// Blisters per dm2 over the field.
    #[serde(default, deserialize_with = "given")]
    pub mean_per_dm2: Option<f64>,
    /// Test of the old filler under the mark.
    #[serde(default)]
    pub old_filler: HazardTest,
    /// Year of an earlier repair, where somebody knows it.
    #[serde(default, deserialize_with = "given")]
    pub year: Option<u32>,
    /// How it stands on the day of this survey.
    #[serde(default)]
    pub now: SeenNow,
    /// Photos of it.
    #[serde(default)]
    pub photos: Vec<super::survey::Photo>,
    /// The user only wants to watch this mark.
    #[serde(default)]
    pub watch_only: bool,
    /// A note of the user's, kept word for word.
    #[serde(default)]
    pub note: String,
}

words! {
#[derive(Default)]
/// A side of the panel.
Side {
    #[default]
    /// The side that is seen.
    Outer => "outer side",
    /// The rough side.
    Back => "back",
}}

words! {
/// What a mark is.
MarkKind {
    /// Fine cracks over an area, none of them traced.
    Crazing => "crazing",
    /// A crack in the gel coat.
    GelCrack => "gel crack",
    /// A piece of gel coat gone.
    Chip => "chip",
    /// Cracks running out from one point.
    Star => "star crack",
    /// A crack at something bolted or bonded on.
    CrackAtFixing => "crack at a fixing",
    /// Layers that have let go; a dull note.
    Delamination => "delamination",
    /// Blisters.
    Blisters => "blisters",
    /// An earlier repair.
    OldRepair => "old repair",
    /// A crack open to the back.
    ThroughCrack => "through crack",
    /// A hole or lost piece.
    Hole => "hole",
    /// Anything these words do not fit: always referred.
    Other => "damage of another kind",
}}

impl MarkKind {
    /// It is recorded as a line.
    #[must_use]
    pub const fn is_line(self) -> bool {
        matches!(self, Self::GelCrack | Self::CrackAtFixing | Self::ThroughCrack)
    }

    /// It goes through by its nature.
    #[must_use]
    pub const fn is_through(self) -> bool {
        matches!(self, Self::ThroughCrack | Self::Hole)
    }
}

/// Where a mark is.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Place {
    /// On the panel's own grid: u and v, mm.
    On(Millimetres, Millimetres),
    /// By two tapes over the skin from two landmarks.
    Taped {
        /// First landmark and its reading.
        a: (String, Millimetres),
        /// Second landmark and its reading.
        b: (String, Millimetres),
        /// A third landmark and its reading, to catch slips and to choose.
        #[serde(default, deserialize_with = "given")]
        third: Option<(String, Millimetres)>,
        /// Which of the two possible places.
        #[serde(default)]
        side: SideWord,
    },
    /// In space, on the panel's own axes, mm.
    Xyz(Millimetres, Millimetres, Millimetres),
}

words! {
#[derive(Default)]
/// Which of two possible places a pair of tapes means.
SideWord {
    #[default]
    /// Not said.
    Unsaid => "no side word",
    /// The one with the larger v.
    Upper => "upper",
    /// The one with the smaller v.
    Lower => "lower",
    /// The one with the smaller u.
    Front => "front",
    /// The one with the larger u.
    Rear => "rear",
}}

words! {
#[derive(Default)]
/// The layer a blister sits in.
BlisterLayer {
    #[default]
    /// Not known.
    Unknown => "layer not known",
    /// In the paint.
    Paint => "in the paint",
    /// Under the gel coat.
    Gel => "under the gel coat",
    /// In the laminate.
    Laminate => "in the laminate",
}}

/// How deep a mark goes.
#[derive(Debug, Clone, Copy, PartialEq, Default, Deserialize)]
pub enum Depth {
    /// Not known: assumed by the kind of mark.
    #[default]
    #[serde(rename = "unknown")]
    Unknown,
    /// Paint only.
    #[serde(rename = "paint")]
    Paint,
    /// Gel coat only.
    #[serde(rename = "gel")]
    Gel,
    /// Into the first glass.
    #[serde(rename = "first_glass")]
    FirstGlass,
    /// Half the laminate.
    #[serde(rename = "half")]
    Half,
    /// The whole laminate.
    #[serde(rename = "full")]
    Full,
    /// So much glass laminate, mm.
    #[serde(rename = "Glass")]
    Glass(Millimetres),
}

words! {
#[derive(Default)]
/// Whether something was tried, and what came of it.
Tried {
    #[default]
    /// Not tried.
    NotTried => "not tried",
    /// Yes.
    Yes => "yes",
    /// No.
    No => "no",
}}

words! {
/// What else was seen at a mark.
Evidence {
    /// The crack is open to the back.
    Through => "open to the back",
    /// Heat has gone below the gel coat.
    HeatBelowGel => "heat damage below the gel coat",
    /// A battery has leaked, gassed or burnt here.
    BatteryDamage => "battery damage",
    /// A bonded seam is letting go.
    SeamLettingGo => "a bonded seam is letting go",
    /// The panel is distorted.
    Distortion => "the panel is distorted",
    /// It sounds dull.
    Drummy => "it sounds dull",
    /// It is wet, weeps or smells sour.
    Wet => "wet",
    /// The panel flexes here.
    Flexes => "the panel flexes here",
    /// White or broken fibre.
    BrokenFibre => "white or broken fibre",
    /// Torn edge standing out.
    LooseTornEdge => "a loose torn edge",
    /// A gate or door that does not latch.
    DoesNotLatch => "it does not latch",
    /// Rust stain.
    RustStain => "rust stain",
    /// Ring pattern.
    Rings => "rings",
    /// Parallel pattern.
    Parallel => "parallel lines",
    /// Radiating pattern.
    Radiating => "lines from one point",
    /// An old patch on one side only, or loose.
    OneSidedPatch => "an old patch on one side only",
    /// Heat from something near it.
    HeatNear => "heat from something near it",
    /// It was repaired before and is there again.
    CameBack => "back again after an earlier repair",
    /// Nothing spreads the load behind the fixing.
    NoSpreader => "no washer or plate behind the fixing",
    /// It opens or grows while the fitting is worked.
    OpensWhenWorked => "opens when the fitting is worked",
    /// Worst on the parts that stand in the sun.
    WorstInSun => "worst where the sun falls",
    /// A blow here is known of.
    KnownBlow => "a blow here is known of",
    /// Smells of vinegar.
    SourSmell => "sour smell",
    /// What comes out feels greasy.
    Greasy => "greasy to the touch",
    /// Clear water comes out.
    ClearWater => "clear water when pricked",
    /// Smells of thinner.
    SolventSmell => "smells of solvent",
    /// Hard and dry inside.
    HardDry => "hard and dry when opened",
    /// The gel coat under it is whole.
    GelWhole => "gel coat whole beneath when cut",
    /// Glass that resin never wetted.
    DryFibre => "dry glass, never wetted, when opened",
    /// It stood wet for long: afloat, under a sheet, on wet ground.
    StoodWet => "stood wet for long",
}}

/// Why the mark is there.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Cause {
    /// Not known.
    #[default]
    #[serde(rename = "unknown")]
    Unknown,
    /// Known and still at work: it has to be put right first.
    Open {
        /// What it is.
        what: String,
        /// Who puts it right.
        #[serde(default)]
        who: Worker,
    },
    /// Known and no longer at work.
    Closed {
        /// What it was, and what was done.
        what: String,
    },
}

words! {
#[derive(Default)]
/// Who does a job.
Worker {
    #[default]
    /// A specialist.
    Specialist => "a specialist",
    /// A body shop.
    Trade => "a body shop",
    /// The owner.
    Owner => "the owner",
}}

/// How a mark stands on the day of the survey.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum SeenNow {
    /// Seen and measured.
    #[default]
    #[serde(rename = "measured")]
    Measured,
    /// Seen, not measured again: the size is that of an earlier survey.
    #[serde(rename = "seen_not_measured")]
    SeenNotMeasured,
    /// Not looked at: everything about it is from an earlier survey.
    #[serde(rename = "not_examined")]
    NotExamined,
    /// Repaired since, and sound as far as it could be seen.
    Repaired {
        /// Who repaired it.
        by: String,
        /// When, as the user writes it.
        date: String,
    },
}

//! One panel: its skin, its make-up and what is fixed to it.

use serde::Deserialize;

pub use super::fixing::{Carries, Fixing, FixingState, Fixings, LoadRow};
pub use super::form::{Flat, Moulding, MouldingKind, Section, Sections, SurfaceForm};
pub use super::place::PanelPlace;
pub use super::scan::{Scan, ScanAxis, ScanUnit};
use super::stock::Reinforcement;
use super::{GridPlace, given, words};
use crate::quantity::{GramsPerSquareMetre, Millimetres};

/// One moulding, as its file describes it.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Panel {
    /// Format of the file.
    pub format: u32,
    /// What the panel is called, in words.
    pub name: String,
    /// The file of the panel that this one mirrors; then `surface` is left out.
    #[serde(default, deserialize_with = "given")]
    pub mirror_of: Option<String>,
    /// Which way u runs for somebody who stands before the outer side with v upwards, or away from
    /// him on a panel that lies.
    #[serde(default, deserialize_with = "given")]
    pub u_runs: Option<AlongU>,
    /// The skin.
    #[serde(default, deserialize_with = "given")]
    pub surface: Option<SurfaceForm>,
    /// Outline of the face as corners on the grid; left out, the whole grid is the face.
    #[serde(default, deserialize_with = "given")]
    pub outline: Option<Vec<GridPlace>>,
    /// Openings cut in the skin.
    #[serde(default)]
    pub openings: Vec<Opening>,
    /// Thickness and make-up.
    #[serde(default)]
    pub laminate: ParentLaminate,
    /// What the moulding is made of.
    #[serde(default)]
    pub material: Material,
    /// What the panel does; the strictest rule of any role holds.
    #[serde(default = "unknown_role")]
    pub roles: Vec<Role>,
    /// Named parts of the outer side.
    #[serde(default)]
    pub regions: Vec<Region>,
    /// Points a tape can start from.
    #[serde(default)]
    pub landmarks: Vec<Landmark>,
    /// What is bolted or bonded on.
    #[serde(default)]
    pub fixings: Fixings,
    /// Strips and frames bonded to the back.
    #[serde(default)]
    pub strips: Vec<Strip>,
    /// Whether the back can be seen and worked on.
    #[serde(default)]
    pub back: BackAccess,
    /// A note of the user's.
    #[serde(default)]
    pub note: String,
}

fn unknown_role() -> Vec<Role> {
    vec![Role::Unknown]
}

/// An opening in the skin.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Opening {
    /// What it is.
    pub name: String,
    /// Its corners; on a scan left out where `at` is given.
    #[serde(default)]
    pub outline: Vec<PanelPlace>,
    /// On a scan: a place at or in the hole of the scan that it is.
    #[serde(default, deserialize_with = "given")]
    pub at: Option<PanelPlace>,
    /// The lid was shut when the tapes were laid: places are found over the filled surface.
    #[serde(default = "yes")]
    pub covered_when_taped: bool,
}

fn yes() -> bool {
    true
}

/// Thickness and make-up of the moulding.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ParentLaminate {
    /// Thickness as measured.
    #[serde(default, deserialize_with = "given")]
    pub thickness_mm: Option<Millimetres>,
    /// What the measured thickness includes besides glass laminate.
    #[serde(default)]
    pub includes: Vec<Covering>,
    /// Thickness of the gel coat.
    #[serde(default, deserialize_with = "given")]
    pub gel_mm: Option<Millimetres>,
    /// Thickness of the paint.
    #[serde(default, deserialize_with = "given")]
    pub paint_mm: Option<Millimetres>,
    /// Mats of the moulding, outermost first, when known.
    #[serde(default)]
    pub plies_g_m2: Vec<GramsPerSquareMetre>,
    /// Plies of the moulding, outermost first, where some are woven or their glass is known.
    #[serde(default)]
    pub plies: Vec<ParentPly>,
}

impl ParentLaminate {
    /// The plies as named, in whichever way; none where nobody named them.
    #[must_use]
    pub fn named_plies(&self) -> Vec<ParentPly> {
        let mat = |weight: &GramsPerSquareMetre| ParentPly {
            weight_g_m2: *weight,
            kind: Reinforcement::Mat,
            glass_content: None,
        };
        self.plies_g_m2.iter().map(mat).chain(self.plies.iter().copied()).collect()
    }
}

/// A ply of the moulding.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ParentPly {
    /// Weight of its glass.
    pub weight_g_m2: GramsPerSquareMetre,
    /// What it is: mat, or woven.
    #[serde(default)]
    pub kind: Reinforcement,
    /// Mass share of glass in it.
    #[serde(default, deserialize_with = "given")]
    pub glass_content: Option<f64>,
}

words! {
/// Which way u runs for somebody who stands before the outer side.
AlongU {
    /// From left to right.
    ToTheRight => "to the right",
    /// From right to left: the grid was begun at the other end.
    ToTheLeft => "to the left",
}}

words! {
/// What lies over the glass.
Covering {
    /// Gel coat.
    Gel => "gel coat",
    /// Paint.
    Paint => "paint",
}}

words! {
#[derive(Default)]
/// What a moulding is made of.
Material {
    #[default]
    /// Nobody has said.
    Unknown => "not known",
    /// Hand-laid glass mat and polyester.
    HandLaidPolyester => "hand-laid polyester",
    /// Pressed or compression-moulded sheet compound.
    CompressionMoulded => "compression-moulded",
    /// Glass and epoxy.
    Epoxy => "epoxy",
    /// Carbon or aramid.
    CarbonOrAramid => "carbon or aramid",
    /// Thermoplastic.
    Thermoplastic => "thermoplastic",
    /// Sandwich with a core.
    Cored => "cored",
}}

words! {
/// What a panel does.
Role {
    /// It only covers.
    Skin => "skin",
    /// It opens: lid, hatch, door, gate.
    Opens => "opens",
    /// It keeps people in or carries them: door, gate, seat shell, floor.
    HoldsPeople => "holds people",
    /// It carries load.
    Stressed => "stressed",
    /// Nobody has said.
    Unknown => "role not known",
}}

/// A named part of the outer side.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Region {
    /// What it is called.
    pub name: String,
    /// Its corners on the grid, or in space on a scan.
    pub outline: Vec<PanelPlace>,
    /// The region carries load: flatter tapers are used.
    #[serde(default)]
    pub loaded: bool,
}

/// A point a tape can start from.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Landmark {
    /// What it is called.
    pub name: String,
    /// Where it is on the grid, or in space on a scan.
    pub at: PanelPlace,
}

/// A strip or frame bonded to the back; work on the back stops at it.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Strip {
    /// What it is called.
    pub name: String,
    /// Its corners on the grid, or in space on a scan.
    pub outline: Vec<PanelPlace>,
}

words! {
#[derive(Default)]
/// Whether the back can be seen and worked on.
BackAccess {
    #[default]
    /// Nobody has said.
    Unknown => "not known whether the back can be reached",
    /// Reached and looked at.
    Reached => "back reached",
    /// Could be reached, but nobody has looked.
    NotSeen => "back can be reached, not looked at",
    /// Closed in.
    Closed => "back cannot be reached",
}}

//! One panel: its skin, its make-up and what is fixed to it.

use serde::Deserialize;

pub use super::fixing::{Carries, Fixing, FixingState, Fixings, LoadRow};
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

/// How the skin is described.
#[derive(Debug, Clone, Deserialize)]
#[serde(from = "WrittenSurface")]
pub enum SurfaceForm {
    /// A usual moulding, sized by tape and straight edge.
    Moulding(Moulding),
    /// Cross-sections as taken with a contour gauge.
    Sections(Sections),
    /// A flat sheet.
    Flat(Flat),
}

words! {
/// The usual mouldings; each curves in its own way.
MouldingKind {
    /// Lid: dished both ways, the same everywhere, edge turned down on all sides.
    Lid => "lid",
    /// Door or gate skin: rolled up and down, flatter along.
    Gate => "gate skin",
    /// Wing: crown across grows along the panel as the flank rolls over into the top.
    Wing => "wing",
    /// Roof: flat in the middle, drooping towards its edges.
    Roof => "roof",
    /// Quarter: flat flank below, rolled shoulder above.
    Quarter => "quarter",
    /// Sill: a strong roll across on a long slightly bowed line.
    Sill => "sill",
    /// Wheel arch: a crowned band bent round the wheel.
    Arch => "wheel arch",
    /// Valance: bowed in plan and rolled under.
    Valance => "valance",
    /// Tub: floor with its sides turned up in a wide radius.
    Tub => "tub",
    /// Sheet: one even crown each way, no turned edge unless given.
    Sheet => "sheet",
}}

/// The skin as it is written: one pair of brackets, with the form's name before it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
enum WrittenSurface {
    Moulding {
        kind: MouldingKind,
        length_mm: Millimetres,
        width_mm: Millimetres,
        #[serde(default)]
        crown_along_mm: Millimetres,
        #[serde(default)]
        crown_across_mm: Millimetres,
        #[serde(default)]
        edge_return_mm: Millimetres,
        #[serde(default = "usual_bend")]
        return_radius_mm: Millimetres,
        #[serde(default)]
        corner_radius_mm: Millimetres,
        #[serde(default)]
        taper_mm: Millimetres,
        #[serde(default)]
        twist_mm: Millimetres,
    },
    Sections {
        sections: Vec<Section>,
    },
    Flat {
        length_mm: Millimetres,
        width_mm: Millimetres,
        #[serde(default)]
        corner_radius_mm: Millimetres,
    },
}

impl From<WrittenSurface> for SurfaceForm {
    fn from(written: WrittenSurface) -> Self {
        match written {
            WrittenSurface::Moulding {
                kind,
                length_mm,
                width_mm,
                crown_along_mm,
                crown_across_mm,
                edge_return_mm,
                return_radius_mm,
                corner_radius_mm,
                taper_mm,
                twist_mm,
            } => Self::Moulding(Moulding {
                kind,
                length_mm,
                width_mm,
                crown_along_mm,
                crown_across_mm,
                edge_return_mm,
                return_radius_mm,
                corner_radius_mm,
                taper_mm,
                twist_mm,
            }),
            WrittenSurface::Sections { sections } => Self::Sections(Sections { sections }),
            WrittenSurface::Flat { length_mm, width_mm, corner_radius_mm } => {
                Self::Flat(Flat { length_mm, width_mm, corner_radius_mm })
            }
        }
    }
}

/// A moulding sized by what a tape and a straight edge give.
#[derive(Debug, Clone)]
pub struct Moulding {
    /// Which of the usual mouldings.
    pub kind: MouldingKind,
    /// Tape over the skin along the middle, edge to edge.
    pub length_mm: Millimetres,
    /// Tape over the skin across the middle, edge to edge.
    pub width_mm: Millimetres,
    /// Rise of the middle line along over the straight line between its ends.
    pub crown_along_mm: Millimetres,
    /// Rise of the middle line across over the straight line between its ends.
    pub crown_across_mm: Millimetres,
    /// Depth of the turned edge, taped over its bend.
    pub edge_return_mm: Millimetres,
    /// Outer radius of the bend into the turned edge.
    pub return_radius_mm: Millimetres,
    /// Radius of the corners of the face.
    pub corner_radius_mm: Millimetres,
    /// How much narrower the far end (largest u) is than the near end, taped over the skin.
    pub taper_mm: Millimetres,
    /// How far one corner of the far end stands off the plane of the other three.
    pub twist_mm: Millimetres,
}

fn usual_bend() -> Millimetres {
    Millimetres(8.0)
}

/// A skin given by its cross-sections.
#[derive(Debug, Clone)]
pub struct Sections {
    /// Cross-sections in order of `at_mm`, two or more.
    pub sections: Vec<Section>,
}

/// One cross-section.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Section {
    /// Where along the straight base line the section was taken.
    pub at_mm: Millimetres,
    /// Points (out, up) of the outer side, from the lower edge upwards; u is `at_mm`, v is the
    /// tape over the section from its first point.
    pub points: Vec<GridPlace>,
    /// The section runs straight from point to point.
    #[serde(default)]
    pub straight: bool,
}

/// A flat sheet.
#[derive(Debug, Clone)]
pub struct Flat {
    /// Length along u.
    pub length_mm: Millimetres,
    /// Width along v.
    pub width_mm: Millimetres,
    /// Radius of the corners.
    pub corner_radius_mm: Millimetres,
}

/// An opening in the skin.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Opening {
    /// What it is.
    pub name: String,
    /// Its corners on the grid.
    pub outline: Vec<GridPlace>,
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
}

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
    /// Its corners on the grid.
    pub outline: Vec<GridPlace>,
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
    /// Where it is on the grid.
    pub at: GridPlace,
}

/// A strip or frame bonded to the back; work on the back stops at it.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Strip {
    /// What it is called.
    pub name: String,
    /// Its corners on the grid.
    pub outline: Vec<GridPlace>,
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

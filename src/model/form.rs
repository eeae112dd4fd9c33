//! How the skin of a panel is described.

use serde::Deserialize;

use super::scan::{Scan, ScanAxis, ScanUnit};
use super::{GridPlace, given, words};
use crate::quantity::Millimetres;

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
    /// A scanned skin.
    Scan(Scan),
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
    Scan {
        file: String,
        unit: ScanUnit,
        #[serde(default, deserialize_with = "given")]
        part: Option<String>,
        #[serde(default, deserialize_with = "given")]
        weld_mm: Option<Millimetres>,
        #[serde(default, deserialize_with = "given")]
        fill_holes_mm: Option<Millimetres>,
        #[serde(default, deserialize_with = "given")]
        thin_mm: Option<Millimetres>,
        #[serde(default, deserialize_with = "given")]
        thin_area_percent: Option<f64>,
        #[serde(default)]
        turn_flipped: bool,
        #[serde(default)]
        inside_out: bool,
        #[serde(default, deserialize_with = "given")]
        axis: Option<ScanAxis>,
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
            WrittenSurface::Scan {
                file,
                unit,
                part,
                weld_mm,
                fill_holes_mm,
                thin_mm,
                thin_area_percent,
                turn_flipped,
                inside_out,
                axis,
            } => Self::Scan(Scan {
                file,
                unit,
                part,
                weld_mm,
                fill_holes_mm,
                thin_mm,
                thin_area_percent,
                turn_flipped,
                inside_out,
                axis,
            }),
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

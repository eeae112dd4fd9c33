//! From a panel file to a checked, curved mesh.
//!
//! Takes a panel whose file has been read; gives its skin: the face with its openings filled,
//! and the turned edge, in the panel's own space (x along, y across or up, z outward, mm) and on
//! its grid. What cannot be a panel is reported with the field that says so; every fault found is
//! reported, not only the first.
#![allow(
    clippy::indexing_slicing,
    reason = "vertex and face numbers come from the cut that made the tables"
)]

use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_2;

use nalgebra::{Point2, Point3};

use super::face;
use super::form::Form;
use super::form::moulding::Moulded;
use super::form::sections::Loft;
use super::mesh::{FaceTag, Mesh, MeshPoint};
use super::meshing::{self, Cut, CutFault};
use super::parts::Parts;
use super::ring::Ring;
use super::scan;
use super::turned_edge;
use crate::model::GridPlace;
use crate::model::panel::{Flat, Panel, PanelPlace, SurfaceForm};
use crate::read::job::JobPanel;

/// What keeps a panel file from being a skin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SkinFault {
    /// Path of the field inside the panel file, such as `surface.sections[2].points`.
    pub field: String,
    /// What was found.
    pub problem: String,
    /// What would be accepted.
    pub accepted: String,
    /// What the user can do.
    pub way_out: String,
    /// Code that `plymend explain` knows.
    pub code: &'static str,
}

impl SkinFault {
    pub(crate) fn new(
        field: impl Into<String>,
        problem: impl Into<String>,
        accepted: impl Into<String>,
        way_out: impl Into<String>,
    ) -> Self {
        Self {
            field: field.into(),
            problem: problem.into(),
            accepted: accepted.into(),
            way_out: way_out.into(),
            code: "SURFACE-SKIN",
        }
    }

    /// The same fault under a code of its own.
    pub(crate) fn coded(self, code: &'static str) -> Self {
        Self { code, ..self }
    }
}

/// The skin of one panel.
#[derive(Debug, Clone)]
pub struct Skin {
    /// Its mesh: the face, its filled openings and the turned edge.
    pub mesh: Mesh,
    /// Outline of the face on the grid, counter-clockwise, mm; the turned edge lies outside it.
    pub outline: Vec<Point2<f64>>,
    /// What a scan was found to be, and what was done to it; nothing for other skins.
    pub notes: Vec<String>,
    /// The other hand of what its file describes: places in space are turned round as well.
    pub mirrored: bool,
}

impl Skin {
    /// Area of the face without the turned edge, mm2; openings count only when `filled`.
    #[must_use]
    pub fn face_area_mm2(&self, filled: bool) -> f64 {
        self.mesh.area_mm2(|tag| !tag.on_return && (filled || tag.opening.is_none()))
    }

    /// The point of a place in the panel's file, or the nearest one, with the miss in mm.
    #[must_use]
    pub fn nearest(&self, place: &PanelPlace) -> (MeshPoint, f64) {
        match place {
            PanelPlace::Grid(u, v) => self.mesh.nearest(Point2::new(u.value(), v.value())),
            PanelPlace::Space((x, y, z)) => {
                let z = if self.mirrored { -z.value() } else { z.value() };
                self.mesh.nearest_in_space(Point3::new(x.value(), y.value(), z))
            }
        }
    }
}

/// Builds the skin of a panel of a job: from its file, or from the scan that its file names.
///
/// # Errors
/// Every [`SkinFault`] found.
pub fn of(panel: &JobPanel) -> Result<Skin, Vec<SkinFault>> {
    match (&panel.panel.surface, &panel.scan) {
        (Some(SurfaceForm::Scan(written)), Some(file)) => scan::skin(panel, written, file),
        _ => build(&panel.panel, panel.mirrored),
    }
}

/// Builds the skin of a panel; `mirrored` gives the panel of the other side, on the same grid.
///
/// # Errors
/// Every [`SkinFault`] found.
pub fn build(panel: &Panel, mirrored: bool) -> Result<Skin, Vec<SkinFault>> {
    let form = form(panel)?;
    if let Some(number) = panel.openings.iter().position(|opening| opening.at.is_some()) {
        return Err(vec![SkinFault::new(
            format!("openings[{number}].at"),
            "an opening is given by its place on a skin that is no scan",
            "`outline` of the opening on the grid",
            "give the corners of the opening",
        )]);
    }
    let outer = face::outline(panel, form.as_ref()).map_err(|fault| vec![fault])?;
    let parts = Parts::read(panel, &outer, &on_grid)?;
    let inner: Vec<Ring> =
        [&parts.openings, &parts.regions, &parts.strips].into_iter().flatten().cloned().collect();
    let cut = meshing::cut(form.as_ref(), &outer, &inner).map_err(|fault| vec![worded(&fault)])?;
    let mut tags: Vec<FaceTag> =
        cut.faces.iter().map(|f| parts.tag(middle(&cut.grid, *f))).collect();
    parts.check_met(&tags)?;

    let mut positions: Vec<Point3<f64>> = cut.grid.iter().map(|p| form.at(*p)).collect();
    let rim: Ring = cut.rim.iter().map(|v| cut.grid[*v as usize]).collect();
    let Cut { mut grid, mut faces, rim: numbers } = cut;
    if let Some(SurfaceForm::Moulding(moulding)) = &panel.surface {
        let size = (moulding.edge_return_mm.value(), moulding.return_radius_mm.value());
        check_return(size)?;
        if size.0 > 0.0 {
            let edge = turned_edge::turn(form.as_ref(), &rim, &numbers, grid.len() as u32, size)
                .map_err(|folds| vec![return_folds(size.0, folds.0)])?;
            let beside = faces_on_rim(&faces, &numbers);
            for (face, piece) in edge.faces {
                let region = beside[piece].and_then(|f: usize| tags[f].region);
                faces.push(face);
                tags.push(FaceTag { region, on_return: true, ..FaceTag::default() });
            }
            positions.extend(edge.positions);
            grid.extend(edge.grid);
        }
    }
    if mirrored {
        for place in &mut positions {
            place.z = -place.z;
        }
        for face in &mut faces {
            face.swap(1, 2);
        }
    }
    let mesh = Mesh::new(positions, grid, faces, tags).map_err(|fault| {
        vec![SkinFault::new(
            "surface",
            fault.to_string(),
            "a skin that does not fold, bunch up or meet itself",
            "look at the sizes and outlines near that place",
        )]
    })?;
    Ok(Skin { mesh, outline: rim, notes: Vec::new(), mirrored })
}

/// Skins that are no scan have places on the grid only.
fn on_grid(field: &str, place: &PanelPlace) -> Result<GridPlace, SkinFault> {
    place.on_grid().ok_or_else(|| {
        SkinFault::new(
            field,
            format!("found a place in space: {place}"),
            "(u, v) on the panel's grid",
            "measure it on the grid; places in space belong to a scan's own axes",
        )
    })
}

fn form(panel: &Panel) -> Result<Box<dyn Form>, Vec<SkinFault>> {
    match &panel.surface {
        Some(SurfaceForm::Moulding(moulding)) => {
            Ok(Box::new(Moulded::new(moulding)?) as Box<dyn Form>)
        }
        Some(SurfaceForm::Sections(sections)) => Ok(Box::new(Loft::new(sections)?)),
        Some(SurfaceForm::Flat(flat)) => {
            check_flat(flat)?;
            Ok(Box::new(flat.clone()))
        }
        Some(SurfaceForm::Scan(_)) => Err(vec![SkinFault::new(
            "surface.file",
            "the triangles of the scan have not been read",
            "a panel read with its scan",
            "read the panel through its job",
        )]),
        None => Err(vec![SkinFault::new(
            "surface",
            "the panel has no surface of its own",
            "`Moulding`, `Sections` or `Flat`, or `mirror_of` a panel that has one",
            "give the surface, or name the panel that this one mirrors",
        )]),
    }
}

fn check_flat(flat: &Flat) -> Result<(), Vec<SkinFault>> {
    let sides = [("length_mm", flat.length_mm.value()), ("width_mm", flat.width_mm.value())];
    let faults: Vec<_> = sides
        .iter()
        .filter(|(_, side)| !(20.0..=6000.0).contains(side))
        .map(|(name, side)| {
            SkinFault::new(
                format!("surface.{name}"),
                format!("found {side} mm"),
                "20 to 6000 mm",
                "give the side of the sheet in mm",
            )
        })
        .collect();
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

fn check_return((depth, radius): (f64, f64)) -> Result<(), Vec<SkinFault>> {
    let mut faults = Vec::new();
    if !(0.0..=300.0).contains(&depth) {
        faults.push(SkinFault::new(
            "surface.edge_return_mm",
            format!("found {depth} mm"),
            "0 to 300 mm",
            "give the depth of the turned edge taped over its bend, 0 where there is none",
        ));
    }
    if radius.is_nan() || radius < 0.0 || (depth > 0.0 && FRAC_PI_2 * radius > depth) {
        faults.push(SkinFault::new(
            "surface.return_radius_mm",
            format!(
                "a quarter bend of radius {radius} mm takes {:.1} mm of tape, the turned edge has {depth} mm",
                FRAC_PI_2 * radius
            ),
            format!("0 to {:.1} mm", (10.0 * depth.max(0.0) / FRAC_PI_2).floor() / 10.0),
            "give the outer radius of the bend, or the full depth taped over it",
        ));
    }
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

fn return_folds(depth: f64, at: Point2<f64>) -> SkinFault {
    SkinFault::new(
        "surface.edge_return_mm",
        format!(
            "an edge {depth} mm deep runs into itself at ({:.0}, {:.0}): there the outline turns \
             inwards, or the skin bends, tighter than the edge is deep",
            at.x, at.y
        ),
        "inward corners rounded wider, and bends wider, than the edge is deep",
        "give a smaller depth, round the corner, or give that part as a panel of its own",
    )
}

fn worded(fault: &CutFault) -> SkinFault {
    match fault {
        CutFault::TooMany(faces) => SkinFault::new(
            "surface",
            format!("the skin would need about {faces} faces"),
            format!("up to {}", meshing::MOST_FACES),
            "look for a size given in the wrong unit; else split the panel in two files",
        ),
        CutFault::Tangled(at) => SkinFault::new(
            "surface",
            format!(
                "outlines run together too finely to be told apart near ({:.0}, {:.0})",
                at.x, at.y
            ),
            "outlines that are the same or 0.1 mm apart",
            "give shared edges with the same corners",
        ),
    }
}

fn middle(grid: &[Point2<f64>], face: [u32; 3]) -> Point2<f64> {
    let [a, b, c] = face.map(|v| grid[v as usize].coords);
    Point2::from((a + b + c) / 3.0)
}

/// The face on each piece of the rim.
fn faces_on_rim(faces: &[[u32; 3]], rim: &[u32]) -> Vec<Option<usize>> {
    let mut by_edge = BTreeMap::new();
    for (number, face) in faces.iter().enumerate() {
        for i in 0..3 {
            by_edge.insert((face[i], face[(i + 1) % 3]), number);
        }
    }
    (0..rim.len()).map(|i| by_edge.get(&(rim[i], rim[(i + 1) % rim.len()])).copied()).collect()
}

#[cfg(test)]
mod tests;

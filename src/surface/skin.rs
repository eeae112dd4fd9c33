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

use nalgebra::{Matrix2, Point2, Point3};

use super::form::Form;
use super::form::moulding::Moulded;
use super::form::sections::Loft;
use super::mesh::{FaceTag, Mesh};
use super::meshing::{self, Cut, CutFault};
use super::ring::{self, Ring};
use super::turned_edge;
use crate::model::GridPlace;
use crate::model::panel::{Flat, Panel, SurfaceForm};

/// An outline may reach over the grid by this much without being off the skin, mm.
const REACH_OVER_MM: f64 = 0.5;
/// Longest piece in which a curved upper edge is followed, mm.
const EDGE_PIECE_MM: f64 = 10.0;

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
        }
    }
}

/// The skin of one panel.
#[derive(Debug, Clone)]
pub struct Skin {
    /// Its mesh: the face, its filled openings and the turned edge.
    pub mesh: Mesh,
    /// Outline of the face on the grid, counter-clockwise, mm; the turned edge lies outside it.
    pub outline: Vec<Point2<f64>>,
}

impl Skin {
    /// Area of the face without the turned edge, mm2; openings count only when `filled`.
    #[must_use]
    pub fn face_area_mm2(&self, filled: bool) -> f64 {
        self.mesh.area_mm2(|tag| !tag.on_return && (filled || tag.opening.is_none()))
    }
}

/// Builds the skin of a panel; `mirrored` gives the panel of the other side, on the same grid.
///
/// # Errors
/// Every [`SkinFault`] found.
pub fn build(panel: &Panel, mirrored: bool) -> Result<Skin, Vec<SkinFault>> {
    let form = form(panel)?;
    let outer = face_outline(panel, form.as_ref()).map_err(|fault| vec![fault])?;
    let parts = Parts::read(panel, &outer)?;
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
    Ok(Skin { mesh, outline: rim })
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

/// The outline of the face: the panel's own, or the whole grid, its corners rounded.
fn face_outline(panel: &Panel, form: &dyn Form) -> Result<Ring, SkinFault> {
    let radius = match &panel.surface {
        Some(SurfaceForm::Moulding(moulding)) => moulding.corner_radius_mm.value(),
        Some(SurfaceForm::Flat(flat)) => flat.corner_radius_mm.value(),
        _ => 0.0,
    };
    if !(radius >= 0.0 && radius.is_finite()) {
        return Err(SkinFault::new(
            "surface.corner_radius_mm",
            format!("found {radius} mm"),
            "0 mm or more",
            "give the radius of the corners, 0 for square ones",
        ));
    }
    let corners = match &panel.outline {
        Some(places) => own_outline(places, form)?,
        None => whole_grid(form),
    };
    if radius <= 0.0 {
        return Ok(corners);
    }
    let laid: Ring = corners.iter().map(|p| form.laid_out(*p)).collect();
    let rounded = ring::rounded(&laid, radius, |at| on_skin(form, at)).map_err(|tight| {
        SkinFault::new(
            "surface.corner_radius_mm",
            format!(
                "a radius of {radius} mm does not fit the sides at corner ({:.0}, {:.0})",
                corners[tight.corner].x, corners[tight.corner].y
            ),
            format!("0 to {:.0} mm", tight.most_mm.floor()),
            "give a smaller radius, or the true outline with its rounded corners point by point",
        )
    })?;
    Ok(rounded.into_iter().map(|p| form.on_grid(p)).collect())
}

/// How the laid-out grid lies on the skin at a place: its steps as seen in the tangent plane.
fn on_skin(form: &dyn Form, laid_out: Point2<f64>) -> Matrix2<f64> {
    let (along, across) = form.tangents(form.on_grid(laid_out));
    let first = along.normalize();
    let shear = across.dot(&first);
    Matrix2::new(along.norm(), shear, 0.0, (across - first * shear).norm())
}

fn whole_grid(form: &dyn Form) -> Ring {
    let (low, high) = form.along();
    let level = (form.top(low) - form.top(high)).abs() < 1e-9
        && (form.top(low) - form.top(0.4 * low + 0.6 * high)).abs() < 1e-9;
    let pieces = if level { 1.0 } else { ((high - low) / EDGE_PIECE_MM).ceil() };
    let mut ring = vec![Point2::new(low, 0.0), Point2::new(high, 0.0)];
    for k in 0..=pieces as usize {
        let u = high + (low - high) * k as f64 / pieces;
        ring.push(Point2::new(u, form.top(u)));
    }
    ring
}

fn own_outline(places: &[GridPlace], form: &dyn Form) -> Result<Ring, SkinFault> {
    let ring = ring::read("outline", places)?;
    let (low, high) = form.along();
    for (number, place) in places.iter().enumerate() {
        let (u, v) = (place.0.value(), place.1.value());
        let top = form.top(u.clamp(low, high));
        let over = (low - u).max(u - high).max(-v).max(v - top);
        if over > REACH_OVER_MM {
            return Err(SkinFault::new(
                format!("outline[{number}]"),
                format!("({u}, {v}) lies {over:.0} mm off the skin"),
                format!("u from {low:.0} to {high:.0}, v from 0 to {top:.0} there"),
                "correct the corner, or the length and width of the surface",
            ));
        }
    }
    Ok(ring)
}

/// Every outline inside the face.
struct Parts {
    openings: Vec<Ring>,
    regions: Vec<Ring>,
    strips: Vec<Ring>,
}

impl Parts {
    fn read(panel: &Panel, outer: &[Point2<f64>]) -> Result<Self, Vec<SkinFault>> {
        let mut faults = Vec::new();
        let mut all = |list: &str, outlines: Vec<&Vec<GridPlace>>| -> Vec<Ring> {
            let mut rings = Vec::new();
            for (number, corners) in outlines.into_iter().enumerate() {
                match ring::read(&format!("{list}[{number}].outline"), corners) {
                    Ok(ring) => rings.push(ring),
                    Err(fault) => faults.push(fault),
                }
            }
            rings
        };
        let parts = Self {
            openings: all("openings", panel.openings.iter().map(|o| &o.outline).collect()),
            regions: all("regions", panel.regions.iter().map(|r| &r.outline).collect()),
            strips: all("strips", panel.strips.iter().map(|s| &s.outline).collect()),
        };
        if faults.is_empty() {
            faults.extend(opening_faults(&parts.openings, outer));
        }
        if faults.is_empty() { Ok(parts) } else { Err(faults) }
    }

    /// The first part named in the file that holds a place.
    fn tag(&self, at: Point2<f64>) -> FaceTag {
        let first = |rings: &[Ring]| {
            rings.iter().position(|r| ring::holds(r, at)).and_then(|n| u16::try_from(n).ok())
        };
        FaceTag {
            opening: first(&self.openings),
            region: first(&self.regions),
            strip: first(&self.strips),
            on_return: false,
        }
    }

    /// A region or strip that no face is part of lies off the face, or under one named before it.
    fn check_met(&self, tags: &[FaceTag]) -> Result<(), Vec<SkinFault>> {
        let mut faults = Vec::new();
        let mut look = |list: &str, count: usize, pick: fn(&FaceTag) -> Option<u16>| {
            for number in 0..count {
                if !tags.iter().any(|tag| pick(tag).map(usize::from) == Some(number)) {
                    faults.push(SkinFault::new(
                        format!("{list}[{number}].outline"),
                        "no part of the face belongs to it",
                        "an outline on the face that no earlier one covers",
                        "correct its corners, or strike it out",
                    ));
                }
            }
        };
        look("regions", self.regions.len(), |tag| tag.region);
        look("strips", self.strips.len(), |tag| tag.strip);
        if faults.is_empty() { Ok(()) } else { Err(faults) }
    }
}

fn opening_faults(openings: &[Ring], outer: &[Point2<f64>]) -> Vec<SkinFault> {
    let mut faults = Vec::new();
    let mut fault = |number: usize, problem: String| {
        faults.push(SkinFault::new(
            format!("openings[{number}].outline"),
            problem,
            "an outline that lies wholly on the face and clear of every other opening",
            "correct its corners; a cut-out that runs over the edge belongs in the panel's outline",
        ));
    };
    for (number, ring) in openings.iter().enumerate() {
        if let Some(at) = ring::rings_meeting(ring, outer) {
            fault(number, format!("it meets the panel's edge at ({:.0}, {:.0})", at.x, at.y));
        } else if let Some(at) = ring.iter().find(|p| !ring::holds(outer, **p)) {
            fault(number, format!("({:.0}, {:.0}) lies outside the face", at.x, at.y));
        }
        for (other, earlier) in openings.iter().enumerate().take(number) {
            let inside = |a: &Ring, b: &Ring| a.first().is_some_and(|p| ring::holds(b, *p));
            let meets = ring::rings_meeting(ring, earlier).is_some();
            if meets || inside(ring, earlier) || inside(earlier, ring) {
                fault(number, format!("it runs into opening {}", other + 1));
            }
        }
    }
    faults
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

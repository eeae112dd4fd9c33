//! From the triangles of a scan to the checked mesh of a panel.
//!
//! In order: unit to mm and the named part ([`checked`]), corners of open edges welded, the
//! largest piece kept, faults told with their place, holes filled, the rest thinned within a
//! stated distance and area, laid out on a grid and cut along the outlines of the panel file.
//! Whatever was done is said in the skin's notes; nothing is mended silently. Lengths mm.
#![allow(clippy::indexing_slicing, reason = "corner numbers were checked when the scan was read")]

mod components;
mod cut;
mod edges;
mod envelope;
mod faults;
mod grid;
mod holes;
pub(super) mod lay;
mod loops;
mod measure;
mod quadric;
mod skin;
mod solve;
mod thin;
mod weld;

use std::collections::BTreeSet;

use nalgebra::Point3;

pub(super) use grid::{grid_needed, no_grid};
pub(super) use skin::skin;

use super::skin::SkinFault;
use crate::model::panel::Scan;
use crate::read::scan_file::ScanFile;
use crate::read::text::{nearest, row_of};
use edges::{Edges, pair};

/// Corners of open edges nearer than this are one (choice: a tenth of what a scanner tells apart).
pub const WELD_MM: f64 = 0.01;
/// A skin longer than this is no panel in mm (choice, as for other panels).
const MOST_MM: f64 = 12_000.0;
/// And a shorter one neither.
const LEAST_MM: f64 = 50.0;

/// One piece of surface out of a scan: every edge has at most two triangles, running opposite
/// ways along it.
#[derive(Debug, Clone)]
pub struct Checked {
    /// Corners, mm.
    pub positions: Vec<Point3<f64>>,
    /// Triangles, counter-clockwise seen from the outer side.
    pub faces: Vec<[u32; 3]>,
    edges: Edges,
    /// What was found and done, for the reader.
    pub notes: Vec<String>,
}

impl Checked {
    /// Area, mm2.
    #[must_use]
    pub fn area_mm2(&self) -> f64 {
        self.faces.iter().map(|face| area_mm2(&self.positions, *face)).sum()
    }
}

/// The places of a triangle's corners.
#[inline]
fn three(positions: &[Point3<f64>], [a, b, c]: [u32; 3]) -> [Point3<f64>; 3] {
    [positions[a as usize], positions[b as usize], positions[c as usize]]
}

#[inline]
fn area_mm2(positions: &[Point3<f64>], face: [u32; 3]) -> f64 {
    let [a, b, c] = three(positions, face);
    0.5 * (b - a).cross(&(c - a)).norm()
}

fn middle(positions: &[Point3<f64>], face: [u32; 3]) -> Point3<f64> {
    let [a, b, c] = face.map(|v| positions[v as usize].coords);
    Point3::from((a + b + c) / 3.0)
}

fn said(at: Point3<f64>) -> String {
    format!("x {:.1} y {:.1} z {:.1}", at.x, at.y, at.z)
}

/// Welds and checks the triangles of a scan.
///
/// # Errors
/// What keeps the scan from being one piece of surface, each fault with its place.
pub fn checked(written: &Scan, file: &ScanFile) -> Result<Checked, SkinFault> {
    let mut notes = Vec::new();
    let mut faces = chosen(written, file)?;
    let scale = written.unit.in_mm();
    let mut positions: Vec<Point3<f64>> = file
        .positions
        .iter()
        .map(|[x, y, z]| Point3::new(x * scale, y * scale, z * scale))
        .collect();
    notes.push(format!(
        "scan: {} of {} triangles, coordinates taken as {}",
        file.format.words(),
        file.faces.len(),
        written.unit.words()
    ));
    if file.polygons > 0 {
        notes.push(format!(
            "scan: {} face(s) of more than three corners were cut into triangles from their first \
             corner",
            file.polygons
        ));
    }
    let before = faces.len();
    faces.retain(|[a, b, c]| a != b && b != c && c != a);
    if before > faces.len() {
        notes.push(format!(
            "scan: {} triangle(s) that name a corner twice have no area and were left out",
            before - faces.len()
        ));
    }
    used_only(&mut positions, &mut faces);
    sized(&positions)?;

    let mut edges = pair(positions.len(), &faces);
    let tolerance_mm = written.weld_mm.map_or(WELD_MM, |mm| mm.value());
    let welded = weld::weld(&positions, &mut faces, &edges, tolerance_mm);
    let word = if written.weld_mm.is_some() { "as the panel file says" } else { "the usual" };
    let mut told = format!("scan: corners of open edges within {tolerance_mm} mm are one ({word})");
    if welded.corners > 0 {
        edges = pair(positions.len(), &faces);
        told.push_str(&format!(
            ": {} corner(s), moved by {:.4} mm at most, {} triangle(s) shrank to nothing",
            welded.corners, welded.farthest_mm, welded.dropped
        ));
    }
    notes.push(told);

    faults::doubled(&positions, &mut faces, &mut edges, &mut notes)?;
    components::largest(&positions, &mut faces, &mut edges, &mut notes)?;
    faults::shared(&positions, &edges)?;
    faults::flipped(&positions, &mut faces, &mut edges, written.turn_flipped, &mut notes)?;
    if written.inside_out {
        notes.push("scan: turned inside out, as the panel file says".to_owned());
        for face in &mut faces {
            face.swap(1, 2);
        }
        edges = pair(positions.len(), &faces);
    }
    faults::creased(&positions, &faces, &edges, &mut notes)?;
    used_only(&mut positions, &mut faces);
    if faces.is_empty() {
        return Err(SkinFault::new(
            "surface.file",
            "no triangle of the scan has an area",
            "a surface",
            "look at the scan in the scanning software",
        )
        .coded("SCAN-SIZE"));
    }
    Ok(Checked { positions, faces, edges, notes })
}

/// The triangles of the named part, or all.
fn chosen(written: &Scan, file: &ScanFile) -> Result<Vec<[u32; 3]>, SkinFault> {
    let Some(name) = &written.part else { return Ok(file.faces.clone()) };
    let ends = file.parts.iter().skip(1).map(|part| part.first_face).chain([file.faces.len()]);
    let faces: Vec<[u32; 3]> = file
        .parts
        .iter()
        .zip(ends)
        .filter(|(part, _)| part.name == *name)
        .filter_map(|(part, end)| file.faces.get(part.first_face..end))
        .flatten()
        .copied()
        .collect();
    if !faces.is_empty() {
        return Ok(faces);
    }
    let names: BTreeSet<&str> =
        file.parts.iter().map(|part| part.name.as_str()).filter(|name| !name.is_empty()).collect();
    let known: Vec<&str> = names.into_iter().collect();
    let accepted = if known.is_empty() {
        "no `part`: this scan names no groups or objects".to_owned()
    } else {
        row_of(known.get(..20).unwrap_or(&known))
    };
    let near = nearest(name, known.iter().copied());
    Err(SkinFault::new(
        "surface.part",
        format!("the scan has no group or object called {name:?}"),
        accepted,
        near.map_or_else(
            || "take `part` out: then the largest piece is the panel".to_owned(),
            |near| format!("write {near:?} if that is meant"),
        ),
    )
    .coded("SCAN-PART"))
}

/// Lets go of corners that no triangle uses.
fn used_only(positions: &mut Vec<Point3<f64>>, faces: &mut [[u32; 3]]) {
    let mut number = vec![u32::MAX; positions.len()];
    for v in faces.iter().flatten() {
        number[*v as usize] = 0;
    }
    if number.iter().all(|used| *used == 0) {
        return;
    }
    for (fresh, used) in (0..).zip(number.iter_mut().filter(|used| **used == 0)) {
        *used = fresh;
    }
    for v in faces.iter_mut().flatten() {
        *v = number[*v as usize];
    }
    let mut at = 0;
    positions.retain(|_| {
        at += 1;
        number[at - 1] != u32::MAX
    });
}

fn sized(positions: &[Point3<f64>]) -> Result<(), SkinFault> {
    let far = f64::INFINITY;
    let (mut low, mut high) = (Point3::new(far, far, far), Point3::new(-far, -far, -far));
    for place in positions {
        (low, high) = (low.inf(place), high.sup(place));
    }
    let size = high - low;
    if (LEAST_MM..=MOST_MM).contains(&size.max()) {
        return Ok(());
    }
    let (x, y, z) = (size.x.max(0.0), size.y.max(0.0), size.z.max(0.0));
    Err(SkinFault::new(
        "surface.unit",
        format!("in this unit the scan measures {x:.1} x {y:.1} x {z:.1} mm"),
        format!("a panel of {LEAST_MM} to {MOST_MM} mm"),
        "give the unit in which the scan was exported: mm, cm, m or inch",
    )
    .coded("SCAN-SIZE"))
}

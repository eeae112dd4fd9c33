//! Holes of a scan: openings that the panel file names, and gaps that the scanner left.
//!
//! A hole is filled with flat triangles between its edges, as a tape would lie over a shut lid. A
//! named one stays an opening; an unnamed one up to a stated length counts as skin, because the
//! panel is whole there and only the scanner saw nothing; a larger one is refused until the user
//! says which it is: taken for skin it would hide an opening, taken for an opening it would make
//! the way round it, and so the distance to a fixing, too long.
#![allow(clippy::indexing_slicing, reason = "corner numbers come from the rims they stand in")]

use nalgebra::{Point2, Point3, Vector3};
use spade::{ConstrainedDelaunayTriangulation, Triangulation};

use super::edges::{NONE, pair};
use super::loops::loops;
use super::{Checked, area_mm2, said, three};
use crate::model::panel::{Opening, PanelPlace, Scan};
use crate::surface::mesh::nearest_weights;
use crate::surface::ring;
use crate::surface::skin::SkinFault;

/// Holes up to this long are taken for gaps of the scan (choice: less than a badge or a lamp).
const FILL_MM: f64 = 20.0;
/// A named opening stands no farther than this from the hole it is (choice).
const NEAR_MM: f64 = 20.0;
/// So many places are named.
const NAMED: usize = 8;

/// A hole with the triangles that fill it.
struct Hole {
    faces: Vec<[u32; 3]>,
    middle: Point3<f64>,
    longest_mm: f64,
    opening: Option<usize>,
}

/// Fills every hole; gives for each triangle the opening it fills.
///
/// # Errors
/// Holes that are neither named nor small, openings without a hole, and scans without an edge.
pub(super) fn fill(
    openings: &[Opening],
    written: &Scan,
    scan: &mut Checked,
) -> Result<Vec<Option<u16>>, Vec<SkinFault>> {
    let (mut rims, doubled) = loops(&mut scan.positions, &mut scan.faces, &scan.edges);
    if doubled > 0 {
        scan.notes.push(format!(
            "scan: {doubled} corner(s) in which parts of the skin only touch were taken apart"
        ));
    }
    let outer = (0..rims.len()).max_by(|a, b| {
        extent(&scan.positions, &rims[*a]).1.total_cmp(&extent(&scan.positions, &rims[*b]).1)
    });
    let Some(outer) = outer else {
        return Err(vec![
            SkinFault::new(
                "surface.file",
                "the scan is closed all round and has no edge",
                "the outer side of one panel, open at its edge",
                "cut the back and the inside away in the scanning software",
            )
            .coded("SCAN-SHAPE"),
        ]);
    };
    rims.swap_remove(outer);
    let mut faults = Vec::new();
    let mut holes = Vec::new();
    for rim in &rims {
        match filled(&scan.positions, rim) {
            Ok(hole) => holes.push(hole),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() {
        name(openings, &scan.positions, &mut holes, &mut scan.notes, &mut faults);
    }
    if faults.is_empty() {
        unnamed(written, scan, &holes, &mut faults);
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut labels = vec![None; scan.faces.len()];
    for hole in holes {
        labels.resize(labels.len() + hole.faces.len(), hole.opening.map(|n| n as u16));
        scan.faces.extend(hole.faces);
    }
    scan.edges = pair(scan.positions.len(), &scan.faces);
    disk(scan).map_err(|fault| vec![fault])?;
    Ok(labels)
}

fn extent(positions: &[Point3<f64>], rim: &[u32]) -> (Point3<f64>, f64) {
    let far = f64::INFINITY;
    let ends = (Point3::new(far, far, far), Point3::new(-far, -far, -far));
    let (low, high) = rim
        .iter()
        .map(|v| positions[*v as usize])
        .fold(ends, |(low, high), p| (low.inf(&p), high.sup(&p)));
    (nalgebra::center(&low, &high), (high - low).norm())
}

/// The flat triangles over a hole, running on as the triangles round it run.
fn filled(positions: &[Point3<f64>], rim: &[u32]) -> Result<Hole, SkinFault> {
    let (middle, longest_mm) = extent(positions, rim);
    let round: Vec<u32> = rim.iter().rev().copied().collect();
    let hole = |faces| Hole { faces, middle, longest_mm, opening: None };
    if let [a, b, c] = round[..] {
        return Ok(hole(vec![[a, b, c]]));
    }
    let crooked = || {
        SkinFault::new(
            "surface.file",
            format!(
                "the edge of the hole of {longest_mm:.0} mm at {} is too crooked to be filled flat",
                said(middle)
            ),
            "a hole whose edge crosses itself from no side",
            "trim its edge, or fill it, in the scanning software",
        )
        .coded("SCAN-HOLE")
    };
    let at = |v: u32| positions[v as usize];
    let next = |i: usize| round[(i + 1) % round.len()];
    let normal: Vector3<f64> =
        (0..round.len()).map(|i| (at(round[i]) - middle).cross(&(at(next(i)) - middle))).sum();
    let along = (at(round[1]) - at(round[0])).cross(&normal).cross(&normal);
    let (Some(up), Some(along)) = (normal.try_normalize(1e-9), along.try_normalize(1e-12)) else {
        return Err(crooked());
    };
    let other = up.cross(&along);
    let flat: Vec<Point2<f64>> = round
        .iter()
        .map(|v| at(*v) - middle)
        .map(|p| Point2::new(p.dot(&along), p.dot(&other)))
        .collect();
    if round.len() > 5000 || ring::self_crossing(&flat).is_some() {
        return Err(crooked());
    }
    let corners: Vec<spade::Point2<f64>> =
        flat.iter().map(|p| spade::Point2::new(p.x, p.y)).collect();
    let sides: Vec<[usize; 2]> = (0..round.len()).map(|i| [i, (i + 1) % round.len()]).collect();
    let mut tangled = false;
    let cut = ConstrainedDelaunayTriangulation::<spade::Point2<f64>>::try_bulk_load_cdt(
        corners,
        sides,
        |_| tangled = true,
    );
    let cut = cut.ok().filter(|cut| !tangled && cut.num_vertices() == round.len());
    let cut = cut.ok_or_else(crooked)?;
    let faces: Vec<[u32; 3]> = cut
        .inner_faces()
        .map(|face| face.vertices().map(|v| v.fix().index()))
        .filter(|[a, b, c]| {
            let sum = flat[*a].coords + flat[*b].coords + flat[*c].coords;
            ring::holds(&flat, Point2::from(sum / 3.0))
        })
        .map(|corners| corners.map(|v| round[v]))
        .collect();
    if faces.len() + 2 == round.len() { Ok(hole(faces)) } else { Err(crooked()) }
}

/// Finds the hole of every opening that is given by its place.
fn name(
    openings: &[Opening],
    positions: &[Point3<f64>],
    holes: &mut [Hole],
    notes: &mut Vec<String>,
    faults: &mut Vec<SkinFault>,
) {
    for (number, opening) in openings.iter().enumerate() {
        let Some(at) = &opening.at else { continue };
        let mut fault = |problem: String, accepted: &str, way_out: &str| {
            let field = format!("openings[{number}].at");
            faults.push(SkinFault::new(field, problem, accepted, way_out).coded("SCAN-HOLE"));
        };
        let PanelPlace::Space((x, y, z)) = at else {
            fault(
                format!("{:?} is given by a grid place", opening.name),
                "Xyz(x, y, z) on the scan's own axes",
                "read a place at the edge of the hole off the scan",
            );
            continue;
        };
        let place = Point3::new(x.value(), y.value(), z.value());
        let off = |hole: &Hole| {
            let each = hole.faces.iter().map(|face| distance(positions, *face, place));
            each.fold(f64::INFINITY, f64::min)
        };
        let nearest = holes
            .iter_mut()
            .map(|hole| (off(hole), hole))
            .min_by(|one, other| one.0.total_cmp(&other.0));
        match nearest {
            None => fault(
                format!("{:?} is to be a hole of the scan, which has none", opening.name),
                "an opening that the scan has",
                "give its outline: then it is cut out of the scan",
            ),
            Some((off_mm, hole)) if off_mm > NEAR_MM => fault(
                format!(
                    "{:?} at {at} is {off_mm:.0} mm from the nearest hole of the scan, at {}",
                    opening.name,
                    said(hole.middle)
                ),
                &format!("a place in a hole, or within {NEAR_MM} mm of its edge"),
                "read a place at the edge of the hole off the scan, and look at the unit",
            ),
            Some((_, hole)) if hole.opening.is_some() => fault(
                format!("{:?} is a hole that another opening is already", opening.name),
                "one opening for each hole",
                "take one of the two out, or give the place of the other hole",
            ),
            Some((off_mm, hole)) => {
                hole.opening = Some(number);
                notes.push(format!(
                    "scan: opening {:?} is the hole of {:.0} mm at {}, {off_mm:.1} mm from the \
                     place given",
                    opening.name,
                    hole.longest_mm,
                    said(hole.middle)
                ));
            }
        }
    }
}

fn distance(positions: &[Point3<f64>], face: [u32; 3], place: Point3<f64>) -> f64 {
    let [a, b, c] = three(positions, face);
    let w = nearest_weights(a, b, c, place);
    let at = a.coords * w.x + b.coords * w.y + c.coords * w.z;
    // A needle has no weights.
    if at.x.is_finite() { (at - place.coords).norm() } else { (a - place).norm() }
}

/// Holes without a name: small ones are gaps of the scan, the others are refused.
fn unnamed(written: &Scan, scan: &mut Checked, holes: &[Hole], faults: &mut Vec<SkinFault>) {
    let limit_mm = written.fill_holes_mm.map_or(FILL_MM, |mm| mm.value());
    let (small, large): (Vec<&Hole>, Vec<&Hole>) = holes
        .iter()
        .filter(|hole| hole.opening.is_none())
        .partition(|hole| hole.longest_mm <= limit_mm);
    if !small.is_empty() {
        let faces = small.iter().flat_map(|hole| hole.faces.iter());
        let area: f64 = faces.map(|face| area_mm2(&scan.positions, *face)).sum();
        let row: Vec<String> = small
            .iter()
            .take(NAMED)
            .map(|hole| format!("{:.1} mm at {}", hole.longest_mm, said(hole.middle)))
            .collect();
        let more = if small.len() > NAMED { " and others" } else { "" };
        scan.notes.push(format!(
            "scan: {} hole(s) up to {limit_mm} mm taken for gaps of the scan, filled and counted \
             as skin, {:.2} cm²: {}{more}; name one among the openings where it is one",
            small.len(),
            area * 1e-2,
            row.join("; ")
        ));
    }
    for hole in large.iter().take(NAMED) {
        let at = hole.middle;
        faults.push(
            SkinFault::new(
                "surface.fill_holes_mm",
                format!("the scan has a hole of {:.0} mm at {}", hole.longest_mm, said(at)),
                format!("holes up to {limit_mm} mm, and openings that are named"),
                format!(
                    "where it is an opening of the panel, name it: (name: \"...\", at: Xyz({:.0}, \
                     {:.0}, {:.0})); where only the scanner saw nothing, write `fill_holes_mm: \
                     {:.0}`",
                    at.x,
                    at.y,
                    at.z,
                    hole.longest_mm.ceil()
                ),
            )
            .coded("SCAN-HOLE"),
        );
    }
}

/// With its holes filled a panel is one sheet: corners less edges and triangles count to one.
fn disk(scan: &Checked) -> Result<(), SkinFault> {
    if let Some(odd) = scan.edges.odd.first() {
        let [a, b] = odd.ends.map(|v| scan.positions[v as usize]);
        return Err(SkinFault::new(
            "surface.file",
            format!(
                "a hole cannot be filled without doubling an edge at {}",
                said(nalgebra::center(&a, &b))
            ),
            "holes with a plain edge",
            "trim or fill the hole in the scanning software",
        )
        .coded("SCAN-HOLE"));
    }
    let rim = scan.edges.across.iter().flatten().filter(|across| **across == NONE).count();
    let edges = (scan.faces.len() * 3 + rim) / 2;
    let count = scan.positions.len() as i64 - edges as i64 + scan.faces.len() as i64;
    if count == 1 {
        return Ok(());
    }
    Err(SkinFault::new(
        "surface.file",
        "the scan has a handle or a tunnel: it does not lie open like a sheet",
        "the outer side of one panel",
        "delete tubes, loops and bridges behind or across the skin in the scanning software",
    )
    .coded("SCAN-SHAPE"))
}

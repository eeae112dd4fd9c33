//! A scan becomes the skin of its panel.
#![allow(clippy::indexing_slicing, reason = "numbers come from the tables they index")]

use nalgebra::{Point2, Point3, Rotation2, Vector2, Vector3};

use super::edges::pair;
use super::measure::{Achieved, achieved};
use super::thin::{ENOUGH_FACES, Thinned, thin};
use super::{Checked, checked, cut, holes, lay, loops, middle, said, three, used_only};
use crate::model::GridPlace;
use crate::model::panel::{PanelPlace, Scan, ScanAxis};
use crate::quantity::Millimetres;
use crate::read::job::JobPanel;
use crate::read::scan_file::ScanFile;
use crate::surface::mesh::{FaceTag, Mesh};
use crate::surface::meshing::MOST_FACES;
use crate::surface::parts::Parts;
use crate::surface::ring::{self, Ring};
use crate::surface::skin::{Skin, SkinFault};

/// Thinning moves the skin by no more than this (choice: a coat of paint).
const THIN_MM: f64 = 0.1;
/// Thinning changes the area by no more than this (choice: far less than a tape errs).
const AREA_PERCENT: f64 = 0.1;
/// A place in space this far off the scan is refused (choice), mm.
const OFF_MM: f64 = 8.0;
/// A smaller miss is not worth a line, mm.
const SHOWN_MM: f64 = 0.5;
/// A triangle lower than this cannot be measured on, mm.
const LEAST_MM: f64 = 2e-6;

/// Builds the skin of a panel from its scan.
///
/// # Errors
/// Every fault of the scan, and every outline that is not on it.
pub(in crate::surface) fn skin(
    panel: &JobPanel,
    written: &Scan,
    file: &ScanFile,
) -> Result<Skin, Vec<SkinFault>> {
    let one = |fault: SkinFault| vec![fault];
    let mut scan = checked(written, file).map_err(one)?;
    let labels = holes::fill(&panel.panel.openings, written, &mut scan)?;
    let (mesh, rim, labels) = drawn(written, &mut scan, labels).map_err(one)?;
    let mut notes = scan.notes;

    let outer: Ring = rim.iter().map(|v| mesh.grid[*v as usize]).collect();
    let farthest = std::cell::Cell::new(0.0_f64);
    let on_grid = |field: &str, place: &PanelPlace| -> Result<GridPlace, SkinFault> {
        let (x, y, z) = match place {
            PanelPlace::Space(place) => *place,
            PanelPlace::Grid(..) if written.axis.is_none() => return Err(no_axis(field, place)),
            PanelPlace::Grid(u, v) => return Ok((*u, *v)),
        };
        let place = Point3::new(x.value(), y.value(), z.value());
        let (point, miss_mm) = mesh.nearest_in_space(place);
        if miss_mm > OFF_MM {
            return Err(SkinFault::new(
                field,
                format!("{} is {miss_mm:.0} mm off the scan", said(place)),
                format!("a place within {OFF_MM} mm of the scan"),
                "read it off the scan again, and look at the unit",
            )
            .coded("SURFACE-OFF-PANEL"));
        }
        farthest.set(farthest.get().max(miss_mm));
        let at = mesh.grid(&point);
        Ok((Millimetres(at.x), Millimetres(at.y)))
    };
    let parts = Parts::read(&panel.panel, &outer, &on_grid)?;
    if farthest.get() > SHOWN_MM {
        notes.push(format!(
            "scan: corners of outlines stand up to {:.1} mm off it; taken as the nearest places",
            farthest.get()
        ));
    }
    let rings: Vec<&Ring> =
        [&parts.openings, &parts.regions, &parts.strips].into_iter().flatten().collect();
    let cut = cut::cut(&mesh, &rings).map_err(|at| {
        vec![SkinFault::new(
            "surface",
            format!(
                "outlines run together too finely to be told apart near ({:.0}, {:.0})",
                at.x, at.y
            ),
            "outlines that are the same or 0.1 mm apart",
            "give shared edges with the same corners",
        )]
    })?;
    let tags: Vec<FaceTag> = cut
        .faces
        .iter()
        .zip(&cut.of)
        .map(|(face, of)| {
            let sum: Vector2<f64> = face.iter().map(|v| cut.grid[*v as usize].coords).sum();
            let tag = parts.tag(Point2::from(sum / 3.0));
            FaceTag { opening: labels[*of as usize].or(tag.opening), ..tag }
        })
        .collect();
    parts.check_met(&tags)?;
    let (mut positions, mut faces) = (cut.positions, cut.faces);
    if panel.mirrored {
        for place in &mut positions {
            place.z = -place.z;
        }
        for face in &mut faces {
            face.swap(1, 2);
        }
    }
    let mesh = built(positions, cut.grid, faces, tags).map_err(one)?;
    Ok(Skin { mesh, outline: outer, notes, mirrored: panel.mirrored })
}

fn built(
    positions: Vec<Point3<f64>>,
    grid: Vec<Point2<f64>>,
    faces: Vec<[u32; 3]>,
    tags: Vec<FaceTag>,
) -> Result<Mesh, SkinFault> {
    Mesh::new(positions, grid, faces, tags).map_err(|fault| {
        SkinFault::new(
            "surface.file",
            fault.to_string(),
            "a skin that does not fold, bunch up or meet itself",
            "look at that place in the scanning software; smooth it or scan it again",
        )
        .coded("SCAN-SHAPE")
    })
}

fn no_axis(field: &str, place: &PanelPlace) -> SkinFault {
    SkinFault::new(
        field,
        format!("{place} is a grid place, and the scan has no grid of its own"),
        "Xyz(x, y, z), or a scan with `axis`",
        "give the place in space, or say where the grid starts and which way u runs: axis: (at: \
         (x, y, z), along: (1, 0, 0))",
    )
    .coded("SCAN-AXIS")
}

/// A mesh without parts, its rim, and the opening that each triangle fills.
type Drawn = (Mesh, Vec<u32>, Vec<Option<u16>>);

/// Thins the scan and lays it out on its grid.
fn drawn(written: &Scan, scan: &mut Checked, labels: Vec<Option<u16>>) -> Result<Drawn, SkinFault> {
    let (thin, done) = thinned(written, scan, &labels)?;
    let Thinned { mut positions, mut faces, labels, .. } = thin;
    used_only(&mut positions, &mut faces);
    scan.notes.push(format!(
        "scan: thinned from {} to {} triangles; measured on it, no corner of the scan stands more \
         than {:.3} mm off (at most {} mm allowed) and the area changed by {:+.4} % (at most {} %)",
        done.dense,
        done.thinned,
        done.farthest_mm,
        thin_mm(written),
        done.area_percent,
        area_percent(written)
    ));
    low(&positions, &faces)?;
    let edges = pair(positions.len(), &faces);
    let (rims, _) = loops::loops(&mut positions, &mut faces, &edges);
    let [rim] = <[Vec<u32>; 1]>::try_from(rims).map_err(|rims| {
        SkinFault::new(
            "surface.file",
            format!("after filling its holes the scan has {} edges", rims.len()),
            "one sheet with one edge",
            "trim the scan in the scanning software",
        )
        .coded("SCAN-SHAPE")
    })?;
    let (mut grid, folded) = lay::lay(&positions, &faces, &rim);
    if folded {
        scan.notes.push(
            "scan: the skin cannot be laid flat without overlap; its grid is stretched".to_owned(),
        );
    }
    place_grid(written.axis.as_ref(), &positions, &faces, &mut grid)?;
    if written.axis.is_none() {
        scan.notes.push(
            "scan: no `axis` given; u runs along its longer extent and marks are placed by tapes \
             or in space"
                .to_owned(),
        );
    }
    let tags = vec![FaceTag::default(); faces.len()];
    Ok((built(positions, grid, faces, tags)?, rim, labels))
}

fn thin_mm(written: &Scan) -> f64 {
    written.thin_mm.map_or(THIN_MM, |mm| mm.value())
}

fn area_percent(written: &Scan) -> f64 {
    written.thin_area_percent.unwrap_or(AREA_PERCENT)
}

/// Thins within the stated bounds: measured, and drawn closer until it holds.
fn thinned(
    written: &Scan,
    scan: &Checked,
    labels: &[Option<u16>],
) -> Result<(Thinned, Achieved), SkinFault> {
    let (most_mm, most_percent) = (thin_mm(written), area_percent(written));
    let mut within_mm = 0.5 * most_mm;
    let mut last = None;
    for _ in 0..6 {
        let thin = thin(&scan.positions, &scan.faces, labels, within_mm);
        let done = achieved(&scan.positions, &scan.faces, labels, &thin, 0.25 * most_mm);
        let holds = done.farthest_mm <= most_mm && done.area_percent.abs() <= most_percent;
        if holds && done.thinned <= MOST_FACES {
            return Ok((thin, done));
        }
        last = Some(done);
        if holds || scan.faces.len() <= ENOUGH_FACES {
            break;
        }
        within_mm *= 0.5;
    }
    let told = last.map_or_else(String::new, |done| {
        format!(
            "thinned from {} to {} triangles the skin would move by {:.3} mm and its area change \
             by {:+.3} %",
            done.dense, done.thinned, done.farthest_mm, done.area_percent
        )
    });
    Err(SkinFault::new(
        "surface.thin_mm",
        told,
        format!("up to {MOST_FACES} triangles, {most_mm} mm and {most_percent} %"),
        "a rough scan has more area than the skin it shows: smooth it in the scanning software, or \
         allow more with `thin_mm` and `thin_area_percent`",
    )
    .coded("SCAN-THIN"))
}

/// No triangle may be without height.
fn low(positions: &[Point3<f64>], faces: &[[u32; 3]]) -> Result<(), SkinFault> {
    let height = |face: [u32; 3]| {
        let [a, b, c] = three(positions, face);
        let longest = (b - a).norm().max((c - b).norm()).max((a - c).norm());
        (b - a).cross(&(c - a)).norm() / longest.max(1e-12)
    };
    match faces.iter().find(|face| height(**face) < LEAST_MM) {
        None => Ok(()),
        Some(face) => Err(SkinFault::new(
            "surface.file",
            format!("a triangle without area at {}", said(middle(positions, *face))),
            "triangles with an area, or ones that can be drawn together with their neighbours",
            "clean the mesh in the scanning software (remove degenerate triangles)",
        )
        .coded("SCAN-NEEDLE")),
    }
}

/// Turns and moves the grid: to the axis, else along the longer extent from the lowest corner.
fn place_grid(
    axis: Option<&ScanAxis>,
    positions: &[Point3<f64>],
    faces: &[[u32; 3]],
    grid: &mut [Point2<f64>],
) -> Result<(), SkinFault> {
    let (start, way) = match axis {
        Some(axis) => by_axis(axis, positions, faces, grid)?,
        None => (Point2::origin(), longer_way(positions, grid)),
    };
    let turn = Rotation2::new(-way.y.atan2(way.x));
    for place in grid.iter_mut() {
        *place = Point2::from(turn * (*place - start));
    }
    if axis.is_none() {
        let low = grid.iter().fold(Point2::new(f64::INFINITY, f64::INFINITY), |low, p| low.inf(p));
        for place in grid.iter_mut() {
            *place -= low.coords;
        }
    }
    Ok(())
}

/// Where the grid starts, and which way u runs there.
fn by_axis(
    axis: &ScanAxis,
    positions: &[Point3<f64>],
    faces: &[[u32; 3]],
    grid: &[Point2<f64>],
) -> Result<(Point2<f64>, Vector2<f64>), SkinFault> {
    let at = Point3::new(axis.at.0.value(), axis.at.1.value(), axis.at.2.value());
    let along = Vector3::new(axis.along.0, axis.along.1, axis.along.2).normalize();
    let fault = |field: &str, problem: String, accepted: String, out: &str| {
        SkinFault::new(field, problem, accepted, out).coded("SCAN-AXIS")
    };
    let mut best = (f64::INFINITY, 0, Vector3::zeros());
    for (number, face) in faces.iter().enumerate() {
        let [a, b, c] = three(positions, *face);
        let w = crate::surface::mesh::nearest_weights(a, b, c, at);
        let miss = (a.coords * w.x + b.coords * w.y + c.coords * w.z - at.coords).norm();
        if miss < best.0 {
            best = (miss, number, w);
        }
    }
    let (miss_mm, number, w) = best;
    if miss_mm > OFF_MM {
        return Err(fault(
            "surface.axis.at",
            format!("the start of the grid, {}, is {miss_mm:.0} mm off the scan", said(at)),
            format!("a place within {OFF_MM} mm of the scan"),
            "read it off the scan again, and look at the unit",
        ));
    }
    let face = faces[number];
    let [a, b, c] = three(positions, face);
    let (first, second) = (b - a, c - a);
    let up = first.cross(&second).normalize();
    let on_skin = along - up * along.dot(&up);
    if on_skin.norm() < 0.3 {
        return Err(fault(
            "surface.axis.along",
            "the direction of u stands off the skin by more than 70 degrees there".to_owned(),
            "a direction that runs along the skin where the grid starts".to_owned(),
            "choose a flatter place for `at`, or another direction",
        ));
    }
    // The same step written in the triangle's two sides, on the skin and on the grid.
    let (p, q, r) = (first.norm_squared(), first.dot(&second), second.norm_squared());
    let (x, y) = (on_skin.dot(&first), on_skin.dot(&second));
    let size = p * r - q * q;
    let (s, t) = ((x * r - y * q) / size, (y * p - x * q) / size);
    let [ga, gb, gc] = face.map(|v| grid[v as usize]);
    let way = (gb - ga) * s + (gc - ga) * t;
    Ok((Point2::from(ga.coords * w.x + gb.coords * w.y + gc.coords * w.z), way))
}

/// The direction of the longer extent, towards greater x, y or z, whichever grows most that way.
fn longer_way(positions: &[Point3<f64>], grid: &[Point2<f64>]) -> Vector2<f64> {
    let count = grid.len() as f64;
    let mean: Vector2<f64> = grid.iter().map(|p| p.coords).sum::<Vector2<f64>>() / count;
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for p in grid.iter().map(|p| p.coords - mean) {
        xx += p.x * p.x;
        xy += p.x * p.y;
        yy += p.y * p.y;
    }
    let angle = 0.5 * (2.0 * xy).atan2(xx - yy);
    let way = Vector2::new(angle.cos(), angle.sin());
    let drift: Vector3<f64> = positions
        .iter()
        .zip(grid)
        .map(|(place, p)| place.coords * (p.coords - mean).dot(&way))
        .sum();
    let most = drift.amax();
    let grows = drift.iter().find(|x| x.abs() >= most).copied().unwrap_or(1.0);
    if grows < 0.0 { -way } else { way }
}

/// The outline of a grid crosses itself.
pub(super) fn overlaps(grid: &[Point2<f64>], rim: &[u32]) -> bool {
    let outer: Ring = rim.iter().map(|v| grid[*v as usize]).collect();
    ring::self_crossing(&outer).is_some()
}

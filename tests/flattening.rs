//! Parts of a skin laid flat: what rolls out comes out true, and what does not gives as little as
//! a general-purpose library finds on the same disc.

#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    reason = "a test may stop at what it did not expect"
)]

#[path = "outside/surface.rs"]
mod build;
#[allow(dead_code, reason = "the rows belong to another test")]
#[path = "outside/table.rs"]
mod table;

use std::f64::consts::PI;

use build::{Shape, all, at, grid_mesh};
use nalgebra::Point2;
use plymend::surface::closed::closed_rim;
use plymend::surface::field::DistanceField;
use plymend::surface::flatten::LaidFlat;
use plymend::surface::level::area_within;
use plymend::surface::mesh::{FaceId, FaceTag, Mesh, MeshPoint};
use plymend::surface::origin::Origin;

/// Faces whose corners all pass.
fn faces(mesh: &Mesh, keep: impl Fn(Point2<f64>) -> bool) -> Vec<FaceId> {
    (0..)
        .zip(&mesh.faces)
        .filter(|(_, corners)| corners.iter().all(|v| keep(mesh.grid[*v as usize])))
        .map(|(face, _)| face)
        .collect()
}

/// The same mesh with its grid drawn askew: flattening must not lean on a true grid.
fn askew(mesh: &Mesh) -> Mesh {
    let grid = mesh
        .grid
        .iter()
        .map(|g| Point2::new(1.15 * g.x + 0.2 * g.y + 15.0 * (g.y / 90.0).sin(), g.y - 0.1 * g.x));
    Mesh::new(mesh.positions.clone(), grid.collect(), mesh.faces.clone(), mesh.tags.clone())
        .expect("stays lawful")
}

fn only<'m>(mesh: &'m Mesh, part: &[FaceId]) -> LaidFlat<'m> {
    let mut sheets = LaidFlat::of(mesh, part);
    assert_eq!(sheets.len(), 1);
    sheets.remove(0)
}

/// What rolls out flat comes out at its true lengths (closed form: the development).
#[test]
fn a_cylinder_rolls_out_true_from_a_grid_that_is_askew() {
    let mesh = grid_mesh(Shape::Cylinder, 480.0, 15.0, 5, false);
    let crooked = askew(&mesh);
    let part = faces(&mesh, |g| g.coords.norm() < 200.0);
    let flat = only(&crooked, &part);
    let d = flat.distortion;
    // Chords stand in for arcs: c2 / 24 R2 = 0.004 % a cell of 15 mm.
    assert!(d.strain_percent < 0.005, "{d:?}");
    assert!(d.area_percent.abs() < 0.005, "{d:?}");
    assert!(d.curvature < 0.002, "{d:?}");
    let corners: Vec<MeshPoint> = part
        .iter()
        .map(|face| MeshPoint { face: *face, weights: nalgebra::Vector3::new(1.0, 0.0, 0.0) })
        .collect();
    for pair in corners.windows(2).step_by(7) {
        let far = corners[corners.len() - 1];
        let laid = (flat.place(&pair[0]).expect("it is") - flat.place(&far).expect("it is")).norm();
        // The grid of the cylinder is its development.
        let truth = (mesh.grid(&pair[0]) - mesh.grid(&far)).norm();
        assert!((laid - truth).abs() < 0.03, "{laid} against {truth}");
    }
}

/// A disc of a sphere about the pole with an even rim: ring k holds 6 k corners.
fn disc(radius: f64, rings: usize) -> Mesh {
    let mut grid = vec![Point2::origin()];
    for ring in 1..=rings {
        let r = radius * ring as f64 / rings as f64;
        grid.extend((0..6 * ring).map(|k| {
            let turn = 2.0 * PI * k as f64 / (6 * ring) as f64;
            Point2::new(r * turn.cos(), r * turn.sin())
        }));
    }
    let corner = |ring: usize, k: usize| match ring {
        0 => 0,
        _ => (1 + 3 * ring * (ring - 1) + k % (6 * ring)) as u32,
    };
    let mut faces = Vec::new();
    for ring in 0..rings {
        for sector in 0..6 {
            for k in 0..=ring {
                let (inner, outer) = (sector * ring + k, sector * (ring + 1) + k);
                let (next, out) = (ring + 1, corner(ring + 1, outer + 1));
                faces.push([corner(ring, inner), corner(next, outer), out]);
                if k < ring {
                    faces.push([corner(ring, inner), out, corner(ring, inner + 1)]);
                }
            }
        }
    }
    let positions = grid.iter().map(|g| Shape::Sphere.place(*g)).collect();
    let tags = vec![FaceTag::default(); faces.len()];
    Mesh::new(positions, grid, faces, tags).expect("stays lawful")
}

/// Discs of a sphere of radius 800 mm, against libigl 2.6.3 (as rigid as possible, 100 rounds)
/// on a disc of 21,600 triangles: area as a whole, least and greatest of a triangle, least and
/// greatest stretch, root mean square strain; and the integral of curvature in closed form.
#[test]
fn discs_of_a_sphere_give_as_little_as_a_library_finds() {
    let rows = [
        (200.0, [-0.002_f64, -0.78, 0.78, -0.39, 0.79, 0.320]),
        (400.0, [-0.033, -3.10, 3.18, -1.56, 3.22, 1.29]),
    ];
    for (radius, expected) in rows {
        let mesh = disc(radius, 40);
        let part = faces(&mesh, |_| true);
        let d = only(&mesh, &part).distortion;
        let got = [
            d.area_percent,
            d.face_area_percent.0,
            d.face_area_percent.1,
            d.stretch_percent.0,
            d.stretch_percent.1,
            d.strain_percent,
        ];
        // Within a tenth of the library's figure; the area as a whole, near nothing, within a
        // fiftieth of the strain.
        let strain = expected[5];
        for (name, (got, expected)) in
            ["area", "least area", "most area", "least", "most", "strain"]
                .iter()
                .zip(got.iter().zip(expected))
        {
            let slack = if *name == "area" { 0.02 * strain } else { 0.1 * expected.abs() };
            assert!((got - expected).abs() < slack, "{radius} {name}: {got} against {expected}");
        }
        let whole = 2.0 * PI * (1.0 - (radius / 800.0_f64).cos());
        assert!(d.curvature < whole && d.curvature > 0.93 * whole, "{} of {whole}", d.curvature);
    }
}

#[test]
fn parts_that_do_not_hang_together_are_sheets_of_their_own() {
    let mesh = grid_mesh(Shape::Saddle, 480.0, 20.0, 4, false);
    let part = faces(&mesh, |g| g.x.abs() > 60.0 && g.coords.norm() < 200.0);
    let sheets = LaidFlat::of(&mesh, &part);
    assert_eq!(sheets.len(), 2);
    assert_eq!(sheets.iter().map(|sheet| sheet.faces.len()).sum::<usize>(), part.len());
    let other =
        MeshPoint { face: sheets[1].faces[0], weights: nalgebra::Vector3::repeat(1.0 / 3.0) };
    assert!(sheets[0].place(&other).is_none());
    assert!(LaidFlat::of(&mesh, &[]).is_empty());
}

#[test]
fn a_mirrored_panel_is_laid_as_seen_from_outside_and_every_place_lifts_back() {
    for mirror in [false, true] {
        let mesh = grid_mesh(Shape::Sphere, 480.0, 20.0, 9, mirror);
        let part = faces(&mesh, |g| g.coords.norm() < 200.0);
        let flat = only(&mesh, &part);
        for face in &flat.faces {
            let [a, b, c] = flat.corners(*face);
            assert!((b - a).perp(&(c - a)) > 0.0, "turned over");
            let point = MeshPoint { face: *face, weights: nalgebra::Vector3::new(0.2, 0.3, 0.5) };
            let place = flat.place(&point).expect("it is on the sheet");
            let back = flat.lift(place).expect("it lifts");
            assert!((mesh.position(&back) - mesh.position(&point)).norm() < 1e-6);
        }
        // +x runs along u on the whole.
        let (left, right) = (at(&mesh, -100.0, 0.0), at(&mesh, 100.0, 0.0));
        let way = flat.place(&right).expect("on it") - flat.place(&left).expect("on it");
        assert!(way.y.abs() < 0.05 * way.x, "{way:?}");
    }
}

/// The rim of a ply on the sheet encloses the area it has on the skin, as nearly as the sheet is
/// true.
#[test]
fn the_rim_of_a_ply_encloses_its_area() {
    let mesh = grid_mesh(Shape::Sphere, 480.0, 15.0, 11, false);
    let origin = Origin::point(at(&mesh, 10.0, -20.0));
    let field = DistanceField::spread(&mesh, &all(&mesh), &origin, 150.0).expect("spreads");
    let ply = area_within(&field, 120.0);
    let flat = only(&mesh, &field.faces_within(120.0));
    let rim = flat.line(&ply.outline[0]);
    assert_eq!(rim.len(), ply.outline[0].len());
    let twice: f64 = rim.windows(2).map(|two| two[0].coords.perp(&two[1].coords)).sum();
    let enclosed = 0.5 * twice.abs();
    // K r2 / 12 = 0.19 % is the most any map of the disc need be off.
    assert!((enclosed / ply.area_mm2 - 1.0).abs() < 0.002, "{enclosed} {}", ply.area_mm2);
    assert!((enclosed / ply.area_mm2 - 1.0).abs() > 1e-9);
}

/// Twice the area a closed line encloses on the grid, with its sign.
fn twice_enclosed(line: &[Point2<f64>]) -> f64 {
    line.windows(2).map(|two| two[0].coords.perp(&two[1].coords)).sum()
}

/// Over an edge, into a corner, round an opening and over everything: what the closed rim
/// encloses on a flat sheet is the area measured (closed form: they are one).
#[test]
fn a_rim_closed_along_the_edge_encloses_the_area() {
    let sheet = grid_mesh(Shape::Plane, 480.0, 15.0, 13, false);
    let holed = build::grid_mesh_with_hole();
    let hole: Vec<bool> = holed.tags.iter().map(|tag| tag.opening.is_none()).collect();
    let cases = [
        (&sheet, all(&sheet), (220.0, 10.0), 60.0, 1),
        (&sheet, all(&sheet), (230.0, -225.0), 70.0, 1),
        (&sheet, all(&sheet), (0.0, 0.0), 100.0, 1),
        (&sheet, all(&sheet), (10.0, 20.0), 400.0, 1),
        // Beside the opening, round it, and over everything but it.
        (&holed, hole.clone(), (-110.0, 0.0), 50.0, 1),
        (&holed, hole.clone(), (-100.0, 0.0), 240.0, 1),
        (&holed, hole.clone(), (-100.0, 0.0), 330.0, 2),
        (&holed, hole, (-100.0, 0.0), 900.0, 2),
    ];
    for (mesh, passable, place, reach, lines) in cases {
        let origin = Origin::point(at(mesh, place.0, place.1));
        let field = DistanceField::spread(mesh, &passable, &origin, reach + 5.0).expect("spreads");
        let level = area_within(&field, reach);
        let rim = closed_rim(&[(&field, reach)], &level);
        assert_eq!(rim.len(), lines, "{place:?} {reach}");
        assert!(rim.iter().all(|line| line.first() == line.last()));
        let on_grid: Vec<Vec<Point2<f64>>> =
            rim.iter().map(|line| line.iter().map(|point| mesh.grid(point)).collect()).collect();
        let mut sizes: Vec<f64> =
            on_grid.iter().map(|line| 0.5 * twice_enclosed(line).abs()).collect();
        sizes.sort_by(f64::total_cmp);
        let most = sizes.pop().expect("there is a rim");
        let enclosed = most - sizes.iter().sum::<f64>();
        // The rim is drawn in chords.
        let off = enclosed / level.area_mm2 - 1.0;
        assert!(off.abs() < 2e-3, "{place:?} {reach}: {enclosed} against {}", level.area_mm2);
    }
}

//! Laws of distance and area over a surface: closed forms at three densities, and what must not
//! depend on how the surface is written down. Source of every figure: closed form.

#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    reason = "a test may stop at what it did not expect"
)]

use super::build;

use std::collections::BTreeMap;
use std::f64::consts::PI;

use build::{Dice, Shape, all, at, grid_mesh, grid_mesh_with_hole};
use nalgebra::{Point2, Point3, Rotation3, Vector3};
use plymend::surface::field::DistanceField;
use plymend::surface::level::area_within;
use plymend::surface::mesh::{FaceTag, Mesh, MeshPoint};
use plymend::surface::origin::Origin;
use plymend::surface::trace::{Direction, trace};

fn spread<'m>(mesh: &'m Mesh, origin: &Origin, limit: f64) -> DistanceField<'m> {
    DistanceField::spread(mesh, &all(mesh), origin, limit).expect("spreads")
}

/// A mesh with the same chart laid elsewhere in space.
fn laid(mesh: &Mesh, place: impl Fn(Point2<f64>) -> Point3<f64>) -> Mesh {
    let positions = mesh.grid.iter().map(|g| place(*g)).collect();
    Mesh::new(positions, mesh.grid.clone(), mesh.faces.clone(), mesh.tags.clone())
        .expect("stays lawful")
}

/// A straight crack of this length about the middle of the chart.
fn crack(mesh: &Mesh, length: f64) -> Origin {
    let middle = at(mesh, 0.0, 0.0);
    let way =
        |deg: f64| trace(mesh, &all(mesh), middle, Direction::Degrees(deg), length / 2.0).path;
    let path: Vec<_> = way(200.0).into_iter().rev().chain(way(20.0).into_iter().skip(1)).collect();
    Origin::line(mesh, &path)
}

/// Order at which errors fall when the cell is halved twice.
fn order(errors: [f64; 3]) -> f64 {
    (errors[0] / errors[2]).log2() / 2.0
}

#[test]
fn the_area_round_a_crack_on_a_sphere_converges_with_second_order() {
    // Band 2 L R sin(r/R) and a cap split over both ends, 2 pi R^2 (1 - cos(r/R)).
    let (radius, length) = (800.0, 200.0);
    for reach in [50.0, 100.0] {
        let t: f64 = reach / radius;
        let truth = 2.0 * length * radius * t.sin() + 2.0 * PI * radius * radius * (1.0 - t.cos());
        let errors = [40.0, 20.0, 10.0].map(|cell| {
            let mesh = grid_mesh(Shape::Sphere, 480.0, cell, 7, false);
            let field = spread(&mesh, &crack(&mesh, length), 110.0);
            (area_within(&field, reach).area_mm2 / truth - 1.0).abs()
        });
        assert!(errors[2] < 3e-5, "{reach}: {errors:?}");
        assert!(order(errors) > 1.5, "{reach}: {errors:?}");
    }
}

#[test]
fn a_crack_on_what_can_be_laid_flat_has_its_area_at_every_density() {
    // 2 L r + pi r^2; the cylinder's facets are chords, which the finer mesh makes good.
    for (shape, allowed) in [(Shape::Plane, [1e-5; 3]), (Shape::Cylinder, [5e-4, 1.2e-4, 4e-5])] {
        for (cell, allowed) in [32.0, 16.0, 8.0].into_iter().zip(allowed) {
            let mesh = grid_mesh(shape, 480.0, cell, 8, false);
            let field = spread(&mesh, &crack(&mesh, 200.0), 110.0);
            for reach in [6.0, 12.0, 25.0, 50.0, 100.0] {
                let truth = 400.0 * reach + PI * reach * reach;
                let off = (area_within(&field, reach).area_mm2 / truth - 1.0).abs();
                assert!(off < allowed, "{} {cell} {reach}: {off}", shape.name());
            }
        }
    }
}

#[test]
fn a_cone_is_gone_round_on_its_shorter_side() {
    // Developed, a turn about the axis is shrunk by the sine of the half-angle.
    let half = 0.5_f64;
    let cone = |g: Point2<f64>| {
        let (slant, turn) = (g.coords.norm(), g.y.atan2(g.x));
        let out = slant * half;
        Point3::new(out * turn.cos(), out * turn.sin(), -slant * (1.0 - half * half).sqrt())
    };
    let mut errors = Vec::new();
    for cell in [30.0, 15.0, 7.5] {
        let mesh = laid(&grid_mesh(Shape::Plane, 360.0, cell, 9, false), cone);
        let from = at(&mesh, 120.0, 0.0);
        let field = spread(&mesh, &Origin::point(from), 260.0);
        let mut worst = 0.0_f64;
        for degrees in [20.0_f64, 75.0, 130.0, 180.0, 215.0, 300.0] {
            let turn = degrees.to_radians();
            let place = at(&mesh, 100.0 * turn.cos(), 100.0 * turn.sin());
            let angle = turn.min(2.0 * PI - turn) * half;
            let truth = (120.0_f64.powi(2) + 100.0_f64.powi(2) - 24_000.0 * angle.cos()).sqrt();
            worst = worst.max((field.at(&place) / truth - 1.0).abs());
        }
        errors.push(worst);
    }
    assert!(errors[2] < 1e-3, "{errors:?}");
    assert!(order([errors[0], errors[1], errors[2]]) > 1.0, "{errors:?}");
}

#[test]
fn a_bent_crack_counts_its_inner_corner_once() {
    let mesh = grid_mesh(Shape::Plane, 420.0, 14.0, 11, false);
    let corner = [(-60.0, 90.0), (-60.0, -60.0), (100.0, -60.0)].map(|(u, v)| Point2::new(u, v));
    let field = spread(&mesh, &Origin::polyline(&mesh, &corner), 70.0);
    for reach in [6.0, 12.0, 25.0, 50.0] {
        // Two bands less their square, two half discs, a quarter disc outside the corner.
        let truth = 2.0 * reach * (150.0 + 160.0) + reach * reach * (1.25 * PI - 1.0);
        let got = area_within(&field, reach).area_mm2;
        assert!((got / truth - 1.0).abs() < 5e-5, "{reach}: {got} against {truth}");
    }
}

#[test]
fn a_square_opening_is_gone_round_and_left_out_of_a_patch() {
    let mesh = grid_mesh_with_hole();
    let open: Vec<bool> = mesh.tags.iter().map(|tag| tag.opening.is_none()).collect();
    let side = 75.0_f64;
    let field = DistanceField::spread(&mesh, &open, &Origin::point(at(&mesh, -100.0, 0.0)), 400.0)
        .expect("spreads");
    let truth = 2.0 * side.hypot(25.0) + 150.0;
    assert!((field.at(&at(&mesh, 100.0, 0.0)) - truth).abs() < 1e-7);
    let outline = [(-100.0, -100.0), (100.0, -100.0), (100.0, 100.0), (-100.0, 100.0)];
    let outline = outline.map(|(u, v)| Point2::new(u, v)).to_vec();
    let patch =
        DistanceField::spread(&mesh, &open, &Origin::patch(&mesh, outline), 40.0).expect("spreads");
    for reach in [0.0, 12.0, 30.0] {
        let truth = 200.0 * 200.0 - 150.0 * 150.0 + 800.0 * reach + PI * reach * reach;
        let level = area_within(&patch, reach);
        assert!((level.area_mm2 / truth - 1.0).abs() < 1e-4, "{reach}: {}", level.area_mm2);
        assert!(level.touches_opening && !level.touches_edge);
    }
}

/// Every face cut in four at the middles of its edges: the same surface, written finer.
fn halved(mesh: &Mesh) -> Mesh {
    let (mut positions, mut grid) = (mesh.positions.clone(), mesh.grid.clone());
    let mut between: BTreeMap<[u32; 2], u32> = BTreeMap::new();
    let mut faces = Vec::new();
    for [a, b, c] in &mesh.faces {
        let [ab, bc, ca] = [(a, b), (b, c), (c, a)].map(|(p, q)| {
            *between.entry([*p.min(q), *p.max(q)]).or_insert_with(|| {
                let (p, q) = (*p as usize, *q as usize);
                positions.push(nalgebra::center(&positions[p], &positions[q]));
                grid.push(nalgebra::center(&grid[p], &grid[q]));
                positions.len() as u32 - 1
            })
        });
        faces.extend([[*a, ab, ca], [ab, *b, bc], [ca, bc, *c], [bc, ca, ab]]);
    }
    let tags = vec![FaceTag::default(); faces.len()];
    Mesh::new(positions, grid, faces, tags).expect("stays lawful")
}

#[test]
fn turning_renumbering_and_refining_change_nothing() {
    for shape in [Shape::Sphere, Shape::Saddle] {
        let mesh = grid_mesh(shape, 360.0, 14.0, 13, false);
        let turn = Rotation3::from_euler_angles(0.3, -1.1, 2.0);
        let shift = Vector3::new(900.0, -300.0, 40.0);
        // Turned in space, vertices and faces listed backwards, corners taken in another order.
        let last = mesh.positions.len() as u32 - 1;
        let other = Mesh::new(
            mesh.positions.iter().rev().map(|p| turn * p + shift).collect(),
            mesh.grid.iter().rev().copied().collect(),
            mesh.faces.iter().rev().map(|[a, b, c]| [last - b, last - c, last - a]).collect(),
            mesh.tags.clone(),
        )
        .expect("stays lawful");
        let fine = halved(&mesh);
        // Faces of 3.5 mm, where neighbouring windows are joined.
        let finest = halved(&fine);
        let near = |mesh: &Mesh| {
            let places =
                [Point2::new(-40.0, -25.0), Point2::new(10.0, 5.0), Point2::new(45.0, 60.0)];
            Origin::polyline(mesh, &places)
        };
        let fields = [&mesh, &other, &fine, &finest].map(|m| spread(m, &near(m), 90.0));
        let mut dice = Dice::new(17);
        for _ in 0..300 {
            let (u, v) = (180.0 * (dice.roll() - 0.5), 180.0 * (dice.roll() - 0.5));
            let d = fields.each_ref().map(|field| field.at(&at(field.mesh(), u, v)));
            if d[0].is_infinite() {
                continue;
            }
            assert!((d[0] - d[1]).abs() < 1e-9, "{} {d:?}", shape.name());
            for finer in [d[2], d[3]] {
                // Joined windows: a millionth of the distance at the most.
                assert!((d[0] - finer).abs() < 1e-6 * d[0] + 1e-9, "{} {d:?}", shape.name());
            }
        }
        let mut last = 0.0;
        for reach in [3.0, 6.0, 25.0, 60.0, 80.0] {
            let areas = fields.each_ref().map(|field| area_within(field, reach).area_mm2);
            assert!((areas[0] / areas[1] - 1.0).abs() < 1e-8, "{} {areas:?}", shape.name());
            for finer in &areas[2..] {
                assert!((areas[0] / finer - 1.0).abs() < 3e-5, "{} {areas:?}", shape.name());
            }
            assert!(areas[0] > last);
            last = areas[0];
        }
    }
}

#[test]
fn the_outline_bounds_the_area_it_comes_with() {
    let mesh = grid_mesh(Shape::Plane, 360.0, 14.0, 19, false);
    let field = spread(&mesh, &crack(&mesh, 120.0), 90.0);
    for reach in [6.0, 25.0, 80.0] {
        let level = area_within(&field, reach);
        assert_eq!(level.outline.len(), 1, "{reach}");
        let ring: Vec<_> = level.outline[0].iter().map(|p: &MeshPoint| mesh.grid(p)).collect();
        assert_eq!(ring.first(), ring.last(), "{reach}");
        let (mut inside, mut bows) = (0.0, 0.0);
        for pair in ring.windows(2) {
            inside += 0.5 * pair[0].coords.perp(&pair[1].coords);
            // Area of the bow over a chord on the end caps, all chords taken for such: pi r^2 of
            // the caps less their polygon is no more than this.
            bows += (pair[1] - pair[0]).norm().powi(3) / (12.0 * reach);
        }
        let inside = f64::abs(inside);
        let rest = level.area_mm2 - inside;
        assert!(rest > 0.0 && rest < 1.05 * bows, "{reach}: {rest} of {bows}");
    }
}

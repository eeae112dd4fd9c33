//! The surface room from outside: laws that must hold on any mesh, odd places and odd lines.

#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    reason = "a test may stop at what it did not expect"
)]

use super::build;

use std::f64::consts::PI;

use build::{Dice, Shape, all, at, grid_mesh, grid_mesh_with_hole};
use nalgebra::{Point2, Point3, Vector2, Vector3};
use plymend::surface::allowed::{Reading, allowed_region};
use plymend::surface::field::{DistanceField, SpreadFault};
use plymend::surface::level::{area_within, union};
use plymend::surface::mesh::{FaceTag, Mesh, MeshFault, MeshPoint};
use plymend::surface::origin::Origin;
use plymend::surface::patch_outline::{PatchShape, circle, outline_patch};
use plymend::surface::place::places;
use plymend::surface::trace::{Direction, Stop, trace};

const SHAPES: [Shape; 4] = [Shape::Plane, Shape::Cylinder, Shape::Sphere, Shape::Saddle];

fn spread<'m>(mesh: &'m Mesh, origin: &Origin, limit: f64) -> DistanceField<'m> {
    DistanceField::spread(mesh, &all(mesh), origin, limit).expect("spreads")
}

fn from_point(mesh: &Mesh, point: MeshPoint, limit: f64) -> DistanceField<'_> {
    spread(mesh, &Origin::point(point), limit)
}

fn any_point(mesh: &Mesh, dice: &mut Dice, half: f64) -> MeshPoint {
    let (u, v) = (dice.roll(), dice.roll());
    at(mesh, (2.0 * u - 1.0) * half, (2.0 * v - 1.0) * half)
}

#[test]
fn distance_is_symmetric_and_obeys_the_triangle_inequality() {
    for shape in SHAPES {
        let mesh = grid_mesh(shape, 500.0, 15.0, 3, false);
        let mut dice = Dice::new(5);
        let points: Vec<_> = (0..6).map(|_| any_point(&mesh, &mut dice, 245.0)).collect();
        let fields: Vec<_> = points.iter().map(|p| from_point(&mesh, *p, 900.0)).collect();
        for (i, p) in points.iter().enumerate() {
            for (j, q) in points.iter().enumerate() {
                let there = fields[i].at(q);
                assert!((there - fields[j].at(p)).abs() < 1e-7, "{} {i} {j}", shape.name());
                let straight = (mesh.position(p) - mesh.position(q)).norm();
                assert!(there >= straight - 1e-9);
                for k in 0..points.len() {
                    assert!(there <= fields[i].at(&points[k]) + fields[k].at(q) + 1e-9);
                }
            }
        }
    }
}

#[test]
fn distance_never_changes_faster_than_one_moves() {
    for shape in SHAPES {
        let mesh = grid_mesh(shape, 500.0, 15.0, 4, false);
        let places = [Point2::new(-90.0, -40.0), Point2::new(15.0, 30.0), Point2::new(80.0, -60.0)];
        let field = spread(&mesh, &Origin::polyline(&mesh, &places), 300.0);
        let mut dice = Dice::new(8);
        for _ in 0..2000 {
            let p = any_point(&mesh, &mut dice, 240.0);
            let way = Direction::Degrees(360.0 * dice.roll());
            let walked = trace(&mesh, &all(&mesh), p, way, 3.0);
            let q = walked.path.last().expect("has an end");
            let change = (field.capped(&p) - field.capped(q)).abs();
            assert!(change <= walked.length_mm + 1e-7, "{} {change}", shape.name());
        }
    }
}

#[test]
fn a_traced_line_is_as_long_as_the_distance_it_covers() {
    // Short of the cut locus a straight line is a shortest one: here on all shapes to 200 mm.
    for shape in SHAPES {
        let mesh = grid_mesh(shape, 600.0, 15.0, 6, false);
        let mut dice = Dice::new(2);
        for _ in 0..20 {
            let p = any_point(&mesh, &mut dice, 90.0);
            let way = Direction::Degrees(360.0 * dice.roll());
            let walked = trace(&mesh, &all(&mesh), p, way, 200.0);
            assert!(walked.stopped.is_none());
            let got = from_point(&mesh, p, 260.0).at(walked.path.last().expect("has an end"));
            assert!(got <= 200.0 + 1e-9);
            // A faceted saddle bends lines past its vertices; a faceted dome leaves a choice.
            assert!(got > 200.0 - 0.2, "{} {got}", shape.name());
        }
    }
}

#[test]
fn areas_grow_with_reach_and_survive_turning_mirroring_and_refining() {
    for shape in SHAPES {
        let mut last = [0.0; 3];
        let meshes = [(15.0, 21, false), (15.0, 21, true), (7.0, 22, false)]
            .map(|(cell, seed, mirror)| grid_mesh(shape, 700.0, cell, seed, mirror));
        for reach in [3.0, 6.0, 20.0, 60.0, 110.0] {
            let areas = [0, 1, 2].map(|i| {
                let mesh = &meshes[i];
                let start = at(mesh, -60.0, 0.0);
                let walked = trace(mesh, &all(mesh), start, Direction::Degrees(15.0), 120.0);
                assert!((walked.length_mm - 120.0).abs() < 1e-9);
                let crack = spread(mesh, &Origin::line(mesh, &walked.path), 120.0);
                area_within(&crack, reach).area_mm2
            });
            assert!((areas[0] - areas[1]).abs() < 1e-6 * areas[0], "{} {areas:?}", shape.name());
            assert!((areas[0] - areas[2]).abs() < 5e-4 * areas[0], "{} {areas:?}", shape.name());
            for i in 0..3 {
                assert!(areas[i] > last[i]);
            }
            last = areas;
        }
    }
}

#[test]
fn a_crack_along_edges_and_through_vertices_is_like_any_other() {
    let mesh = grid_mesh_with_hole();
    // Row of grid edges at v = -150, from vertex to vertex, and a diagonal through vertices.
    for (start, degrees) in
        [((-150.0, -150.0), 0.0), ((-280.0, -280.0), 45.0), ((-151.0, -150.0), 0.0)]
    {
        let from = at(&mesh, start.0, start.1);
        let walked = trace(&mesh, &all(&mesh), from, Direction::Degrees(degrees), 150.0);
        assert!((walked.length_mm - 150.0).abs() < 1e-9 && walked.stopped.is_none());
        let end = mesh.grid(walked.path.last().expect("has an end"));
        let (s, c) = f64::to_radians(degrees).sin_cos();
        let wanted = Point2::new(start.0 + 150.0 * c, start.1 + 150.0 * s);
        assert!((end - wanted).norm() < 1e-6, "{end} {wanted}");
        let taut = spread(&mesh, &Origin::line(&mesh, &walked.path), 30.0);
        let drawn = Origin::polyline(&mesh, &[Point2::new(start.0, start.1), wanted]);
        let drawn = spread(&mesh, &drawn, 30.0);
        for reach in [6.0, 20.0] {
            let expected = 300.0 * reach + PI * reach * reach;
            for field in [&taut, &drawn] {
                let got = area_within(field, reach).area_mm2;
                assert!(
                    (got - expected).abs() < 2e-4 * expected,
                    "{start:?} {reach}: {got} against {expected}"
                );
            }
        }
    }
}

#[test]
fn lines_stop_at_edges_and_openings_and_go_on_from_their_end() {
    let mesh = grid_mesh_with_hole();
    let open: Vec<bool> = mesh.tags.iter().map(|tag| tag.opening.is_none()).collect();
    let walked = trace(&mesh, &open, at(&mesh, -200.0, 3.0), Direction::Degrees(0.0), 500.0);
    assert_eq!(walked.stopped, Some(Stop::Opening));
    assert!((walked.length_mm - 125.0).abs() < 1e-9);
    let walked = trace(&mesh, &open, at(&mesh, -200.0, 3.0), Direction::Degrees(180.0), 500.0);
    assert_eq!(walked.stopped, Some(Stop::Edge));
    assert!((walked.length_mm - 100.0).abs() < 1e-9);

    let dome = grid_mesh(Shape::Sphere, 800.0, 15.0, 31, false);
    let start = at(&dome, -150.0, 40.0);
    let whole = trace(&dome, &all(&dome), start, Direction::Degrees(10.0), 300.0);
    let half = trace(&dome, &all(&dome), start, Direction::Degrees(10.0), 140.0);
    let end = *half.path.last().expect("has an end");
    let rest = trace(&dome, &all(&dome), end, Direction::Along(half.heading), 160.0);
    let ends = [whole, rest].map(|t| dome.position(t.path.last().expect("has an end")));
    assert!((ends[0] - ends[1]).norm() < 1e-6);
}

#[test]
fn openings_cut_areas_and_paths() {
    let mesh = grid_mesh_with_hole();
    let open: Vec<bool> = mesh.tags.iter().map(|tag| tag.opening.is_none()).collect();
    let place = at(&mesh, -95.0, 0.0);
    let field = DistanceField::spread(&mesh, &open, &Origin::point(place), 60.0).expect("spreads");
    let level = area_within(&field, 40.0);
    // A disc of 40 mm whose centre lies 20 mm from a straight wall.
    let cut = 1600.0 * (0.5_f64).acos() - 20.0 * (1600.0_f64 - 400.0).sqrt();
    let expected = PI * 1600.0 - cut;
    assert!((level.area_mm2 - expected).abs() < 2e-4 * expected);
    assert!(level.touches_opening && !level.touches_edge);
    assert!(area_within(&from_point(&mesh, at(&mesh, -290.0, 0.0), 30.0), 20.0).touches_edge);
    let inside = at(&mesh, 0.0, 0.0);
    assert!(field.at(&inside).is_infinite());
}

#[test]
fn a_slit_is_gone_round() {
    let mesh = grid_mesh_with_hole();
    // A wall one cell wide from u = -150 to 150 at v = 150..165.
    let slit: Vec<bool> = (0..mesh.faces.len() as u32)
        .map(|face| {
            let g = mesh.grid(&MeshPoint { face, weights: Vector3::repeat(1.0 / 3.0) });
            !(g.x.abs() < 150.0 && g.y > 150.0 && g.y < 165.0)
        })
        .collect();
    let field = DistanceField::spread(&mesh, &slit, &Origin::point(at(&mesh, 0.0, 100.0)), 600.0)
        .expect("spreads");
    let expected = 150.0_f64.hypot(50.0) + 15.0 + 150.0_f64.hypot(35.0);
    let got = field.at(&at(&mesh, 0.0, 200.0));
    assert!((got - expected).abs() < 1e-7, "{got} against {expected}");
}

#[test]
fn patches_fill_hang_over_and_cover() {
    let mesh = grid_mesh(Shape::Plane, 400.0, 15.0, 41, false);
    // Half of the patch hangs over the edge at u = 200.
    let outline = outline_patch(
        &mesh,
        &all(&mesh),
        at(&mesh, 199.999, 0.0),
        100.0,
        80.0,
        0.0,
        PatchShape::Rectangle,
    );
    let field = spread(&mesh, &Origin::patch(&mesh, outline), 30.0);
    for reach in [0.0, 10.0, 30.0] {
        let expected = 50.0 * 80.0 + reach * (80.0 + 2.0 * 50.0) + PI * reach * reach / 2.0;
        let got = area_within(&field, reach).area_mm2;
        assert!((got - expected).abs() < 1e-3 * expected, "{reach}: {got} against {expected}");
    }
    assert!(area_within(&field, 10.0).touches_edge);
    let all_round = [(-300.0, -300.0), (300.0, -300.0), (300.0, 300.0), (-300.0, 300.0)]
        .map(|(u, v)| Point2::new(u, v));
    let cover = spread(&mesh, &Origin::patch(&mesh, all_round.to_vec()), 10.0);
    assert!(cover.at(&at(&mesh, 150.0, -90.0)) <= 0.0);
    for reach in [0.0, 5.0] {
        assert!((area_within(&cover, reach).area_mm2 - 160_000.0).abs() < 1e-6);
    }
    // A patch smaller than a face.
    let tiny = circle(&mesh, &all(&mesh), at(&mesh, 3.0, 4.0), 2.0);
    let tiny = spread(&mesh, &Origin::patch(&mesh, tiny), 10.0);
    let got = area_within(&tiny, 6.0).area_mm2;
    assert!((got - PI * 64.0).abs() < 2e-3 * PI * 64.0, "{got}");
}

#[test]
fn outlines_close_and_unions_count_ground_once() {
    let mesh = grid_mesh(Shape::Saddle, 600.0, 15.0, 43, false);
    let a = from_point(&mesh, at(&mesh, 0.0, 0.0), 100.0);
    let level = area_within(&a, 60.0);
    assert_eq!(level.outline.len(), 1);
    assert_eq!(level.outline[0].first(), level.outline[0].last());
    for point in &level.outline[0] {
        assert!((a.at(point) - 60.0).abs() < 1e-3);
    }
    let same = union(&[(&a, 60.0), (&a, 40.0)]);
    assert!((same.area_mm2 - level.area_mm2).abs() < 1e-6 * level.area_mm2);
    let far = from_point(&mesh, at(&mesh, 200.0, 150.0), 100.0);
    let both = union(&[(&a, 60.0), (&far, 30.0)]);
    let sum = level.area_mm2 + area_within(&far, 30.0).area_mm2;
    assert!((both.area_mm2 - sum).abs() < 1e-5 * sum);
    assert_eq!(both.outline.len(), 2);
    let regions: f64 = both.area_by_region_mm2.values().sum();
    assert!((regions - both.area_mm2).abs() < 1e-6);
}

#[test]
fn tapes_give_both_answers_a_touch_or_a_miss() {
    let mesh = grid_mesh(Shape::Plane, 1200.0, 15.0, 51, false);
    let (p, q) = (at(&mesh, -200.0, 3.0), at(&mesh, 200.0, 3.0));
    let (a, b) = (from_point(&mesh, p, 800.0), from_point(&mesh, q, 800.0));
    // Well apart: (0, 3 +- 150) from both landmarks.
    let placing = places(&mesh, &a, 250.0, &b, 250.0, 10.0);
    let mut found: Vec<_> = placing.candidates.iter().map(|c| mesh.grid(&c.point)).collect();
    found.sort_by(|x, y| x.y.total_cmp(&y.y));
    assert_eq!(found.len(), 2, "{placing:?}");
    assert!((found[0] - Point2::new(0.0, -147.0)).norm() < 0.05);
    assert!((found[1] - Point2::new(0.0, 153.0)).norm() < 0.05);
    let angle = 2.0 * (200.0_f64 / 250.0).asin().to_degrees();
    assert!((placing.candidates[0].crossing_angle_deg - (180.0 - angle)).abs() < 0.1);
    // Nearly touching: the circles overlap by 0.3 mm.
    let placing = places(&mesh, &a, 200.15, &b, 200.15, 10.0);
    let high = (200.15_f64 * 200.15 - 200.0 * 200.0).sqrt();
    assert_eq!(placing.candidates.len(), 2, "{placing:?}");
    for place in &placing.candidates {
        let g = mesh.grid(&place.point);
        assert!(g.x.abs() < 0.05 && ((g.y - 3.0).abs() - high).abs() < 0.05, "{g} {high}");
    }
    // Touching, and inside touching.
    for (ta, tb, u) in [(150.0, 250.0, -50.0), (500.0, 100.0, 300.0)] {
        let placing = places(&mesh, &a, ta, &b, tb, 10.0);
        assert_eq!(placing.candidates.len(), 1, "{placing:?}");
        assert!((mesh.grid(&placing.candidates[0].point) - Point2::new(u, 3.0)).norm() < 1.5);
    }
    // Missing by 6 mm, shared between the tapes; by 30 mm, refused.
    let placing = places(&mesh, &a, 197.0, &b, 197.0, 10.0);
    assert_eq!(placing.candidates.len(), 1);
    assert!((placing.gap_mm - 6.0).abs() < 0.05, "{placing:?}");
    assert!((mesh.grid(&placing.candidates[0].point) - Point2::new(0.0, 3.0)).norm() < 0.5);
    assert!((placing.candidates[0].residual_a_mm - 3.0).abs() < 0.05);
    let placing = places(&mesh, &a, 185.0, &b, 185.0, 10.0);
    assert!(placing.candidates.is_empty() && (placing.gap_mm - 30.0).abs() < 0.1, "{placing:?}");
}

#[test]
fn tapes_work_on_curved_panels() {
    for shape in SHAPES {
        let mesh = grid_mesh(shape, 900.0, 15.0, 52, false);
        let (p, q) = (at(&mesh, -300.0, -200.0), at(&mesh, 320.0, -180.0));
        let (a, b) = (from_point(&mesh, p, 1300.0), from_point(&mesh, q, 1300.0));
        let mut dice = Dice::new(9);
        for _ in 0..6 {
            let truth = any_point(&mesh, &mut dice, 400.0);
            let placing = places(&mesh, &a, a.at(&truth), &b, b.at(&truth), 10.0);
            let miss = |c: &plymend::surface::place::Place| {
                (mesh.position(&c.point) - mesh.position(&truth)).norm()
            };
            let best = placing.candidates.iter().map(miss).fold(f64::INFINITY, f64::min);
            assert!(best < 0.05, "{} {best} {placing:?}", shape.name());
        }
    }
}

#[test]
fn the_allowed_region_is_that_of_the_two_bands() {
    let mesh = grid_mesh(Shape::Plane, 1200.0, 15.0, 53, false);
    let (a, b) = (
        from_point(&mesh, at(&mesh, -200.0, 0.0), 500.0),
        from_point(&mesh, at(&mesh, 200.0, 0.0), 500.0),
    );
    let placing = places(&mesh, &a, 250.0, &b, 250.0, 10.0);
    let chosen = placing.candidates.iter().find(|c| mesh.grid(&c.point).y > 0.0).expect("above");
    let read = |field| Reading { field, tape_mm: 250.0, width_mm: 13.0 };
    let region = allowed_region(&mesh, &read(&a), &read(&b), &chosen.point);
    assert!(region.len() <= 200 && region.len() > 60);
    let (mut top, mut left) = (0.0_f64, 0.0_f64);
    for point in &region {
        assert!((a.at(point) - 250.0).abs() < 13.001 && (b.at(point) - 250.0).abs() < 13.001);
        let g = mesh.grid(point);
        assert!(g.y > 0.0, "the other answer is not part of it");
        (top, left) = (top.max(g.y), left.min(g.x));
    }
    // Corners of the region: both tapes long, and one short with the other long.
    assert!((top - (263.0_f64 * 263.0 - 40_000.0).sqrt()).abs() < 1.5, "{top}");
    assert!((left - (237.0_f64 * 237.0 - 263.0 * 263.0) / 800.0).abs() < 1.5, "{left}");
}

#[test]
fn faulty_meshes_are_refused_in_words() {
    let flat = |g: &[(f64, f64)]| g.iter().map(|(u, v)| Point2::new(*u, *v)).collect::<Vec<_>>();
    let lift = |g: &[Point2<f64>]| g.iter().map(|p| Point3::new(p.x, p.y, 0.0)).collect::<Vec<_>>();
    let make = |g: &[(f64, f64)], faces: &[[u32; 3]]| {
        let grid = flat(g);
        Mesh::new(lift(&grid), grid, faces.to_vec(), vec![FaceTag::default(); faces.len()])
    };
    let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (5.0, -9.0)];
    let good = make(&square, &[[0, 1, 2], [0, 2, 3]]).expect("lawful");
    assert!(good.check_laws().is_ok() && good.boundary_edges().count() == 4);
    assert!((good.area_mm2(|_| true) - 100.0).abs() < 1e-9);
    let refused = |faces: &[[u32; 3]]| make(&square, faces).expect_err("is faulty");
    assert_eq!(refused(&[]), MeshFault::Empty);
    assert_eq!(refused(&[[0, 1, 9]]), MeshFault::BadIndex { face: 0 });
    assert!(matches!(refused(&[[0, 1, 2], [0, 3, 2]]), MeshFault::Folded { .. }));
    assert!(matches!(refused(&[[0, 1, 2], [0, 1, 3]]), MeshFault::Orientation { .. }));
    let thrice = refused(&[[0, 1, 2], [1, 0, 4], [0, 1, 3]]);
    assert!(matches!(thrice, MeshFault::EdgeShared { .. }), "{thrice}");
    assert_eq!(thrice.to_string(), "more than two faces meet along one edge at grid (5, 0) mm");
    let line = [(0.0, 0.0), (5.0, 0.0), (10.0, 0.0)];
    assert!(matches!(make(&line, &[[0, 1, 2]]), Err(MeshFault::Degenerate { .. })));
    let nan = [(0.0, 0.0), (5.0, f64::NAN), (10.0, 9.0)];
    assert!(matches!(make(&nan, &[[0, 1, 2]]), Err(MeshFault::NotFinite { vertex: 1 })));
    let bad = DistanceField::spread(&good, &[true], &Origin::default(), 5.0);
    assert_eq!(bad.expect_err("is faulty"), SpreadFault::Passable { given: 1, faces: 2 });
}

#[test]
fn places_are_found_on_the_chart_and_in_space() {
    let mesh = grid_mesh(Shape::Cylinder, 500.0, 15.0, 61, false);
    let mut dice = Dice::new(1);
    for _ in 0..500 {
        let place = Point2::new(499.0 * dice.roll() - 249.5, 499.0 * dice.roll() - 249.5);
        let point = mesh.locate(place).expect("on the panel");
        assert!((mesh.grid(&point) - place).norm() < 1e-9);
        let (near, miss) = mesh.nearest_in_space(mesh.position(&point));
        assert!(miss < 1e-9 && (mesh.grid(&near) - place).norm() < 1e-6);
    }
    for vertex in &mesh.grid {
        assert!(mesh.locate(*vertex).is_some());
    }
    assert!(mesh.locate(Point2::new(260.0, 0.0)).is_none());
    let (near, miss) = mesh.nearest(Point2::new(262.0, 3.0));
    assert!(
        (miss - 12.0).abs() < 1e-9 && (mesh.grid(&near) - Point2::new(250.0, 3.0)).norm() < 1e-9
    );
}

/// A crumpled sheet with a tenth of its faces taken out: every vertex a peak or a saddle.
fn crumpled(seed: u64) -> (Mesh, Vec<bool>) {
    let flat = grid_mesh(Shape::Plane, 300.0, 15.0, seed, false);
    let mut dice = Dice::new(seed + 100);
    let positions =
        flat.positions.iter().map(|p| Point3::new(p.x, p.y, 12.0 * dice.roll())).collect();
    let passable = flat.faces.iter().map(|_| dice.roll() > 0.1).collect();
    let mesh = Mesh::new(positions, flat.grid.clone(), flat.faces.clone(), flat.tags.clone());
    (mesh.expect("lawful"), passable)
}

#[test]
fn crumpled_sheets_with_gaps_obey_the_same_laws() {
    for seed in 1..5 {
        let (mesh, passable) = crumpled(seed);
        let mut dice = Dice::new(seed);
        let mut points = Vec::new();
        while points.len() < 8 {
            let p = any_point(&mesh, &mut dice, 149.0);
            if passable[p.face as usize] {
                points.push(p);
            }
        }
        // Places on vertices too.
        points[6].weights = Vector3::new(0.0, 1.0, 0.0);
        points[7].weights = Vector3::new(0.4, 0.0, 0.6);
        let fields: Vec<_> = points
            .iter()
            .map(|p| {
                DistanceField::spread(&mesh, &passable, &Origin::point(*p), 2000.0)
                    .expect("spreads")
            })
            .collect();
        let mut met = 0;
        for (i, p) in points.iter().enumerate() {
            for (j, q) in points.iter().enumerate() {
                let there = fields[i].at(q);
                assert!(
                    there.is_infinite() && fields[j].at(p).is_infinite()
                        || (there - fields[j].at(p)).abs() < 1e-7,
                    "{seed} {i} {j}: {there} {}",
                    fields[j].at(p)
                );
                met += usize::from(there.is_finite());
                for k in 0..points.len() {
                    assert!(there <= fields[i].at(&points[k]) + fields[k].at(q) + 1e-8);
                }
            }
        }
        assert!(met > 40, "most places can be reached");
    }
}

#[test]
fn a_kinked_line_is_the_nearest_of_its_points() {
    for (seed, rough) in [(11, true), (12, false)] {
        let (mesh, mut passable) = crumpled(seed);
        let smooth = grid_mesh(Shape::Sphere, 300.0, 15.0, seed, false);
        let mesh = if rough { mesh } else { smooth };
        if !rough {
            passable = all(&mesh);
        }
        let corners = [(-70.0, -30.0), (0.0, 41.0), (15.0, -50.0), (90.0, 10.0)]
            .map(|(u, v)| Point2::new(u, v));
        let line = Origin::polyline(&mesh, &corners);
        let field = DistanceField::spread(&mesh, &passable, &line, 300.0).expect("spreads");
        let mut dice = Dice::new(77);
        for _ in 0..12 {
            let q = any_point(&mesh, &mut dice, 145.0);
            if !passable[q.face as usize] {
                continue;
            }
            let from = DistanceField::spread(&mesh, &passable, &Origin::point(q), 900.0);
            let from = from.expect("spreads");
            let mut best = f64::INFINITY;
            for ends in corners.windows(2) {
                for k in 0..=2000 {
                    let place = ends[0] + (ends[1] - ends[0]) * (f64::from(k) / 2000.0);
                    best = best.min(from.at(&mesh.locate(place).expect("on the panel")));
                }
            }
            // Samples lie 0.06 mm apart: they can only be farther, and by a hair.
            let got = field.at(&q);
            assert!(
                got <= best + 1e-7 && (best.is_infinite() || got > best - 0.04),
                "{got} {best}"
            );
        }
    }
}

#[test]
fn lines_from_vertices_and_edges_go_all_ways() {
    let flat = grid_mesh(Shape::Plane, 300.0, 15.0, 71, false);
    let mirrored = grid_mesh(Shape::Plane, 300.0, 15.0, 71, true);
    let (rough, _) = crumpled(71);
    for (mesh, is_flat) in [(&flat, true), (&mirrored, true), (&rough, false)] {
        let middle = at(mesh, 2.0, 3.0);
        let corner = MeshPoint { face: middle.face, weights: Vector3::new(0.0, 0.0, 1.0) };
        let edge = MeshPoint { face: middle.face, weights: Vector3::new(0.3, 0.0, 0.7) };
        for start in [middle, corner, edge] {
            for k in 0..48 {
                let degrees = 7.5 * f64::from(k);
                let walked = trace(mesh, &all(mesh), start, Direction::Degrees(degrees), 100.0);
                let places: Vec<_> = walked.path.iter().map(|p| mesh.position(p)).collect();
                let length: f64 = places.windows(2).map(|ends| (ends[1] - ends[0]).norm()).sum();
                assert!((length - walked.length_mm).abs() < 1e-6, "{degrees}: {length}");
                let line = Origin::line(mesh, &walked.path);
                assert_eq!(line.pieces.len(), walked.path.len() - 1, "every step lies in one face");
                if is_flat {
                    let (s, c) = degrees.to_radians().sin_cos();
                    let wanted = mesh.grid(&start) + Vector2::new(c, s) * 100.0;
                    let end = mesh.grid(walked.path.last().expect("has an end"));
                    assert!((end - wanted).norm() < 1e-6, "{degrees}: {end} {wanted}");
                    let turn = (walked.end_angle_deg - degrees).rem_euclid(360.0);
                    assert!(turn.min(360.0 - turn) < 1e-6, "{degrees} {}", walked.end_angle_deg);
                }
            }
        }
    }
}

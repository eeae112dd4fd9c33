//! Distances, areas and lines on the plane, the cylinder and the sphere, where they are known in
//! closed form. Meshes are jittered grids of about 15 mm with random diagonals.
#![allow(dead_code, reason = "the builders also serve the property tests")]
#![allow(clippy::expect_used, reason = "a check may stop at what it did not expect")]

use std::f64::consts::PI;

use nalgebra::{Point2, Point3};
use plymend::surface::field::DistanceField;
use plymend::surface::level::{area_within, union};
use plymend::surface::mesh::{FaceTag, Mesh, MeshPoint};
use plymend::surface::origin::Origin;
use plymend::surface::patch_outline::{PatchShape, circle, outline_patch};
use plymend::surface::trace::{Direction, trace};

use super::table::Check;

/// Radius of the cylinder and of the sphere, mm.
const CYLINDER: f64 = 500.0;
const SPHERE: f64 = 800.0;
const REACHES: [f64; 6] = [6.0, 12.0, 25.0, 50.0, 100.0, 200.0];

/// A small fixed sequence of numbers from 0 to 1, the same on every machine.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(crate) fn roll(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    Plane,
    Cylinder,
    Sphere,
    Saddle,
}

impl Shape {
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Plane => "plane",
            Self::Cylinder => "cylinder R 500",
            Self::Sphere => "sphere R 800",
            Self::Saddle => "saddle",
        }
    }

    /// Grid place to space. The sphere's grid is azimuthal equidistant about the pole, so that
    /// straight grid lines through the pole are great circles.
    pub(crate) fn place(self, g: Point2<f64>) -> Point3<f64> {
        match self {
            Self::Plane => Point3::new(g.x, g.y, 0.0),
            Self::Cylinder => {
                let (s, c) = (g.x / CYLINDER).sin_cos();
                Point3::new(CYLINDER * s, g.y, CYLINDER * c)
            }
            Self::Sphere => {
                let r = g.coords.norm();
                let (s, c) = (r / SPHERE).sin_cos();
                let unit = if r > 0.0 { g.coords / r } else { g.coords };
                Point3::new(SPHERE * s * unit.x, SPHERE * s * unit.y, SPHERE * c)
            }
            Self::Saddle => Point3::new(g.x, g.y, (g.x * g.x - g.y * g.y) / 1600.0),
        }
    }
}

/// A jittered grid over a square of side `size_mm`, centred on the grid's origin. `turn` turns
/// the surface under its grid, `mirror` gives the panel of the other side.
pub(crate) fn grid_mesh(shape: Shape, size_mm: f64, cell_mm: f64, seed: u64, mirror: bool) -> Mesh {
    let n = (size_mm / cell_mm).ceil() as usize;
    let cell = size_mm / n as f64;
    let mut dice = Dice::new(seed);
    let (mut positions, mut grid, mut faces) = (Vec::new(), Vec::new(), Vec::new());
    for j in 0..=n {
        for i in 0..=n {
            let shift = |k: usize, roll: f64| {
                if k == 0 || k == n { 0.0 } else { 0.5 * (roll - 0.5) * cell }
            };
            let (a, b) = (dice.roll(), dice.roll());
            let g = Point2::new(
                i as f64 * cell - size_mm / 2.0 + shift(i, a),
                j as f64 * cell - size_mm / 2.0 + shift(j, b),
            );
            let mut p = shape.place(g);
            if mirror {
                p.x = -p.x;
            }
            positions.push(p);
            grid.push(g);
        }
    }
    for j in 0..n {
        for i in 0..n {
            let v = |a: usize, b: usize| ((j + b) * (n + 1) + i + a) as u32;
            let quad = if dice.roll() < 0.5 {
                [[v(0, 0), v(1, 0), v(1, 1)], [v(0, 0), v(1, 1), v(0, 1)]]
            } else {
                [[v(0, 0), v(1, 0), v(0, 1)], [v(1, 0), v(1, 1), v(0, 1)]]
            };
            faces.extend(quad.map(|[a, b, c]| if mirror { [a, c, b] } else { [a, b, c] }));
        }
    }
    let tags = vec![FaceTag::default(); faces.len()];
    Mesh::new(positions, grid, faces, tags).expect("the builder makes lawful meshes")
}

pub(crate) fn all(mesh: &Mesh) -> Vec<bool> {
    vec![true; mesh.faces.len()]
}

pub(crate) fn at(mesh: &Mesh, u: f64, v: f64) -> MeshPoint {
    mesh.locate(Point2::new(u, v)).expect("on the panel")
}

fn row(id: String, input: String, expected: f64, tolerance: f64, got: f64) -> Check {
    Check {
        id: Box::leak(id.into_boxed_str()),
        class: "closed form",
        source: "closed form",
        input,
        expected,
        tolerance,
        got,
    }
}

/// Area within `r` of a point.
fn disc_area(shape: Shape, r: f64) -> f64 {
    match shape {
        Shape::Sphere => 2.0 * PI * SPHERE * SPHERE * (1.0 - (r / SPHERE).cos()),
        _ => PI * r * r,
    }
}

/// Area within `r` of a straight line of this length.
fn stadium_area(shape: Shape, length: f64, r: f64) -> f64 {
    let band = match shape {
        Shape::Sphere => 2.0 * length * SPHERE * (r / SPHERE).sin(),
        _ => 2.0 * length * r,
    };
    band + disc_area(shape, r)
}

fn discs_and_stadia(rows: &mut Vec<Check>) {
    for shape in [Shape::Plane, Shape::Cylinder, Shape::Sphere] {
        for mirror in [false, true] {
            let mesh = grid_mesh(shape, 1000.0, 15.0, 7, mirror);
            let passable = all(&mesh);
            let place = at(&mesh, 3.7, -2.9);
            let field = DistanceField::spread(&mesh, &passable, &Origin::point(place), 210.0)
                .expect("spreads");
            let start =
                at(&mesh, -200.0 * 20_f64.to_radians().cos(), -200.0 * 20_f64.to_radians().sin());
            let walked = trace(&mesh, &passable, start, Direction::Degrees(20.0), 400.0);
            let crack = Origin::line(&mesh, &walked.path);
            let line = DistanceField::spread(&mesh, &passable, &crack, 210.0).expect("spreads");
            let hand = if mirror { "mirrored " } else { "" };
            for r in REACHES {
                let expected = disc_area(shape, r);
                rows.push(row(
                    format!("disc-{hand}{}-{r}", shape.name()),
                    format!("{hand}{}, point, reach {r} mm, area mm2", shape.name()),
                    expected,
                    2e-3 * expected,
                    area_within(&field, r).area_mm2,
                ));
                let expected = stadium_area(shape, 400.0, r);
                rows.push(row(
                    format!("stadium-{hand}{}-{r}", shape.name()),
                    format!("{hand}{}, crack 400 mm, reach {r} mm, area mm2", shape.name()),
                    expected,
                    2e-3 * expected,
                    area_within(&line, r).area_mm2,
                ));
            }
        }
    }
}

fn patches(rows: &mut Vec<Check>) {
    for shape in [Shape::Plane, Shape::Cylinder] {
        let mesh = grid_mesh(shape, 1000.0, 15.0, 11, false);
        let passable = all(&mesh);
        let (length, width) = (180.0, 90.0);
        let outline = outline_patch(
            &mesh,
            &passable,
            at(&mesh, 10.0, 20.0),
            length,
            width,
            33.0,
            PatchShape::Rectangle,
        );
        let patch = Origin::patch(&mesh, outline);
        let field = DistanceField::spread(&mesh, &passable, &patch, 210.0).expect("spreads");
        for r in [0.0, 6.0, 12.0, 25.0, 50.0, 100.0, 200.0] {
            let expected = length * width + 2.0 * r * (length + width) + PI * r * r;
            rows.push(row(
                format!("patch-{}-{r}", shape.name()),
                format!("{}, patch 180 x 90 at 33 degrees, reach {r} mm, area mm2", shape.name()),
                expected,
                1e-3 * expected,
                area_within(&field, r).area_mm2,
            ));
        }
    }
    let mesh = grid_mesh(Shape::Sphere, 1000.0, 15.0, 12, false);
    let passable = all(&mesh);
    let outline = circle(&mesh, &passable, at(&mesh, 0.0, 0.0), 150.0);
    let field = DistanceField::spread(&mesh, &passable, &Origin::patch(&mesh, outline), 110.0)
        .expect("spreads");
    for r in [0.0, 12.0, 100.0] {
        let expected = disc_area(Shape::Sphere, 150.0 + r);
        rows.push(row(
            format!("cap-{r}"),
            format!("sphere R 800, round patch of radius 150 mm, reach {r} mm, area mm2"),
            expected,
            3e-4 * expected,
            area_within(&field, r).area_mm2,
        ));
    }
}

/// The lens of two equal discs of radius `r` whose centres lie `d` apart.
fn lens(r: f64, d: f64) -> f64 {
    2.0 * r * r * (d / (2.0 * r)).acos() - d / 2.0 * (4.0 * r * r - d * d).sqrt()
}

fn unions_and_ways_round(rows: &mut Vec<Check>) {
    let mesh = grid_mesh(Shape::Cylinder, 1000.0, 15.0, 13, false);
    let passable = all(&mesh);
    let field = |u: f64, v: f64| {
        DistanceField::spread(&mesh, &passable, &Origin::point(at(&mesh, u, v)), 120.0)
            .expect("spreads")
    };
    let (a, b) = (field(-30.0, 5.0), field(50.0, 65.0));
    let expected = 2.0 * PI * 80.0 * 80.0 - lens(80.0, 100.0);
    rows.push(row(
        "union-discs".into(),
        "cylinder R 500, two discs of 80 mm, centres 100 mm apart, area mm2".into(),
        expected,
        1e-3 * expected,
        union(&[(&a, 80.0), (&b, 80.0)]).area_mm2,
    ));

    // A square opening of 150 mm, edges on the grid lines of an unjittered sheet.
    let mesh = grid_mesh_with_hole();
    let open: Vec<bool> = mesh.tags.iter().map(|tag| tag.opening.is_none()).collect();
    let from = DistanceField::spread(&mesh, &open, &Origin::point(at(&mesh, -100.0, -10.0)), 500.0)
        .expect("spreads");
    // Round the corner (-75, -75), along the edge to (75, -75), up to the far side.
    let expected = (25.0_f64).hypot(65.0) + 150.0 + (25.0_f64).hypot(65.0);
    rows.push(row(
        "round-opening".into(),
        "plane, across a square opening of 150 mm, length of the way round, mm".into(),
        expected,
        1e-6,
        from.at(&at(&mesh, 100.0, -10.0)),
    ));
    let expected = (25.0_f64).hypot(65.0) + (75.0_f64).hypot(25.0);
    rows.push(row(
        "round-one-corner".into(),
        "plane, round one corner of the same opening, mm".into(),
        expected,
        1e-6,
        from.at(&at(&mesh, 0.0, -100.0)),
    ));
    let filled =
        DistanceField::spread(&mesh, &all(&mesh), &Origin::point(at(&mesh, -100.0, -10.0)), 500.0)
            .expect("spreads");
    rows.push(row(
        "over-filled-opening".into(),
        "plane, straight over the filled opening, mm".into(),
        200.0,
        1e-6,
        filled.at(&at(&mesh, 100.0, -10.0)),
    ));
}

/// A flat sheet 600 mm square, 15 mm cells, with the square |u|, |v| < 75 tagged as an opening.
pub(crate) fn grid_mesh_with_hole() -> Mesh {
    let n = 40_u32;
    let at = |k: u32| f64::from(k) * 15.0 - 300.0;
    let mut grid = Vec::new();
    for j in 0..=n {
        grid.extend((0..=n).map(|i| Point2::new(at(i), at(j))));
    }
    let positions: Vec<_> = grid.iter().map(|g| Shape::Plane.place(*g)).collect();
    let (mut faces, mut tags) = (Vec::new(), Vec::new());
    for j in 0..n {
        for i in 0..n {
            let v = |a: u32, b: u32| (j + b) * (n + 1) + i + a;
            faces.push([v(0, 0), v(1, 0), v(1, 1)]);
            faces.push([v(0, 0), v(1, 1), v(0, 1)]);
            let inside = (15..25).contains(&i) && (15..25).contains(&j);
            let tag = FaceTag { opening: inside.then_some(0), ..FaceTag::default() };
            tags.extend([tag, tag]);
        }
    }
    Mesh::new(positions, grid, faces, tags).expect("lawful")
}

fn lines(rows: &mut Vec<Check>) {
    for (shape, seed) in [(Shape::Cylinder, 17), (Shape::Plane, 18)] {
        let mesh = grid_mesh(shape, 1000.0, 15.0, seed, false);
        let start = at(&mesh, -250.0, -100.0);
        let walked = trace(&mesh, &all(&mesh), start, Direction::Degrees(30.0), 500.0);
        let end = mesh.grid(walked.path.last().expect("has an end"));
        let (s, c) = 30_f64.to_radians().sin_cos();
        let miss = (end - Point2::new(-250.0 + 500.0 * c, -100.0 + 500.0 * s)).norm();
        rows.push(row(
            format!("helix-{}", shape.name()),
            format!("{}, 500 mm at 30 degrees, miss of the end, mm", shape.name()),
            0.0,
            0.4,
            miss,
        ));
    }
    let mesh = grid_mesh(Shape::Sphere, 1000.0, 15.0, 19, false);
    let field =
        DistanceField::spread(&mesh, &all(&mesh), &Origin::point(at(&mesh, 0.0, 0.0)), 450.0)
            .expect("spreads");
    for (u, v) in [(120.0, 50.0), (-200.0, 300.0), (5.0, -3.0)] {
        let expected = f64::hypot(u, v);
        rows.push(row(
            format!("arc-{u}-{v}"),
            format!("sphere R 800, pole to ({u}, {v}), great circle, mm"),
            expected,
            1e-4 * expected + 1e-3,
            field.at(&at(&mesh, u, v)),
        ));
    }
}

/// All rows about the surface.
pub(crate) fn rows() -> Vec<Check> {
    let mut rows = Vec::new();
    discs_and_stadia(&mut rows);
    patches(&mut rows);
    unions_and_ways_round(&mut rows);
    lines(&mut rows);
    rows
}

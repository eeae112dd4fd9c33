//! A skin laid over cross-sections of a torus, against the torus itself, at three spacings:
//! `cargo test --test rooms loft -- --nocapture` prints the table. Source of every figure: closed form,
//! or the geodesic equation of the torus integrated here.

#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test may stop at what it did not expect, and prints its table"
)]

use std::f64::consts::TAU;

use nalgebra::Point2;
use plymend::read::job::{self, TextFolder};
use plymend::surface::field::DistanceField;
use plymend::surface::level::area_within;
use plymend::surface::mesh::Mesh;
use plymend::surface::origin::Origin;
use plymend::surface::skin;

/// Radii of the torus: of its ring and of its tube, mm.
const RING: f64 = 1500.0;
const TUBE: f64 = 700.0;
/// Half the panel's length and height, mm.
const HALF: (f64, f64) = (480.0, 360.0);

/// How far out the torus stands at a place of its tangent plane.
fn out(x: f64, y: f64) -> f64 {
    let across = RING + (TUBE * TUBE - y * y).sqrt();
    (across * across - x * x).sqrt() - RING - TUBE
}

/// A panel of sections `spacing` apart, read at points as far apart.
fn text(spacing: f64, out: impl Fn(f64, f64) -> f64) -> String {
    let steps = |half: f64| {
        let count = (2.0 * half / spacing).round() as i32;
        (0..=count).map(move |k| -half + 2.0 * half * f64::from(k) / f64::from(count))
    };
    let mut sections = String::new();
    for x in steps(HALF.0) {
        sections.push_str(&format!("(at_mm: {}, points: [", x + HALF.0));
        for y in steps(HALF.1) {
            sections.push_str(&format!("({:.9}, {:.9}), ", out(x, y), y + HALF.1));
        }
        sections.push_str("]),\n");
    }
    format!("(format: 1, name: \"torus\", surface: Sections(sections: [{sections}]))")
}

fn mesh(text: &str) -> Mesh {
    let folder = TextFolder::from([("torus.ron", text)]);
    let (panel, _) = job::panel(&folder, "torus.ron").expect("it reads");
    skin::of(&panel).expect("it has a skin").mesh
}

/// Area of the whole panel on the torus: the integral of the root of 1 + slopes squared.
fn whole_area() -> f64 {
    let n = 800;
    let (dx, dy) = (2.0 * HALF.0 / f64::from(n), 2.0 * HALF.1 / f64::from(n));
    let mut sum = 0.0;
    for i in 0..n {
        for j in 0..n {
            let (x, y) = (-HALF.0 + (f64::from(i) + 0.5) * dx, -HALF.1 + (f64::from(j) + 0.5) * dy);
            let h = 1e-3;
            let slope_x = (out(x + h, y) - out(x - h, y)) / (2.0 * h);
            let slope_y = (out(x, y + h) - out(x, y - h)) / (2.0 * h);
            sum += (1.0 + slope_x * slope_x + slope_y * slope_y).sqrt() * dx * dy;
        }
    }
    sum
}

/// Area within `reach` of the middle on the torus: over all bearings, the Jacobi field
/// J'' + K J = 0 along the geodesic, by Runge-Kutta.
fn disc_area(reach: f64) -> f64 {
    let (bearings, steps) = (180, 200);
    let h = reach / f64::from(steps);
    // State: angle round the tube, its speed, speed round the ring, J, J', integral of J.
    let slope = |s: [f64; 6]| {
        let wide = RING + TUBE * s[0].cos();
        let k = s[0].cos() / (TUBE * wide);
        [
            s[1],
            -wide * s[0].sin() / TUBE * s[2] * s[2],
            2.0 * TUBE * s[0].sin() / wide * s[1] * s[2],
            s[4],
            -k * s[3],
            s[3],
        ]
    };
    let mut area = 0.0;
    for b in 0..bearings {
        let (sin, cos) = (TAU * f64::from(b) / f64::from(bearings)).sin_cos();
        let mut s = [0.0, sin / TUBE, cos / (RING + TUBE), 0.0, 1.0, 0.0];
        for _ in 0..steps {
            let shifted = |k: [f64; 6], part: f64| std::array::from_fn(|i| s[i] + part * h * k[i]);
            let k1 = slope(s);
            let k2 = slope(shifted(k1, 0.5));
            let k3 = slope(shifted(k2, 0.5));
            let k4 = slope(shifted(k3, 1.0));
            s = std::array::from_fn(|i| {
                s[i] + h / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i])
            });
        }
        area += s[5] * TAU / f64::from(bearings);
    }
    area
}

/// Root mean square gap between the corners of the mesh and the torus, mm.
fn gap(mesh: &Mesh) -> f64 {
    let squares = mesh.positions.iter().map(|p| {
        let (x, y, z) = (p.x - HALF.0, p.y - HALF.1, p.z + RING + TUBE);
        ((x.hypot(z) - RING).hypot(y) - TUBE).powi(2)
    });
    (squares.sum::<f64>() / mesh.positions.len() as f64).sqrt()
}

#[test]
fn halving_the_spacing_of_sections_cuts_every_error_four_fold() {
    let (whole, disc) = (whole_area(), disc_area(100.0));
    let mut rows: Vec<[f64; 3]> = Vec::new();
    println!("spacing mm | faces | gap mm | whole area | area within 100 mm");
    for spacing in [240.0, 120.0, 60.0] {
        let mesh = mesh(&text(spacing, out));
        let middle = Point2::new(HALF.0, 0.5 * top_at_middle(&mesh));
        let (from, _) = mesh.nearest(middle);
        let passable = vec![true; mesh.faces.len()];
        let field =
            DistanceField::spread(&mesh, &passable, &Origin::point(from), 110.0).expect("spreads");
        let area = area_within(&field, 100.0).area_mm2;
        let row = [gap(&mesh), mesh.area_mm2(|_| true) / whole - 1.0, area / disc - 1.0];
        println!(
            "{spacing} | {} | {:.4} | {:+.5} % | {:+.5} %",
            mesh.faces.len(),
            row[0],
            100.0 * row[1],
            100.0 * row[2]
        );
        rows.push(row);
    }
    for pair in rows.windows(2) {
        // The gap is of the form alone, the mesh's corners lie on it.
        assert!(pair[0][0] > 4.0 * pair[1][0], "{pair:?}");
    }
    // Areas fall until what is left is the faces' own: sagitta 0.04 mm.
    assert!(rows[0][1].abs() > 4.0 * rows[1][1].abs(), "{rows:?}");
    assert!(rows[2][1].abs() < 1e-4, "{rows:?}");
    assert!(rows[2][2].abs() < 2e-4, "{rows:?}");
}

fn top_at_middle(mesh: &Mesh) -> f64 {
    mesh.grid.iter().filter(|g| (g.x - HALF.0).abs() < 1.0).map(|g| g.y).fold(0.0, f64::max)
}

/// Level sections at stepped heights: the skin stays between the heights on both sides.
#[test]
fn between_stations_the_skin_stays_within_its_neighbours() {
    let height = |x: f64| {
        let steps = [0.0, 0.0, 30.0, 30.0, 12.0, 12.5, 60.0, 58.0, 58.0];
        steps[((x + HALF.0) / 120.0).round() as usize]
    };
    let mesh = mesh(&text(120.0, |x, _| height(x)));
    let mut between = 0;
    for p in &mesh.positions {
        let left = (p.x / 120.0).floor().min(7.0) * 120.0 - HALF.0;
        let (a, b) = (height(left), height(left + 120.0));
        assert!(p.z >= a.min(b) - 1e-9 && p.z <= a.max(b) + 1e-9, "{p} outside {a} to {b}");
        between += usize::from(p.z > a.min(b) + 1.0 && p.z < a.max(b) - 1.0);
    }
    assert!(between > 50, "only {between} corners stand between two heights");
}

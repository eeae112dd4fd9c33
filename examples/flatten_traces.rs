//! Prints discs of skins with the sheets they are laid flat to, as JSON, for comparison with other
//! software (`tests/compare_flattening.py`).
//!
//!     cargo run --example flatten_traces
#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    clippy::indexing_slicing,
    reason = "an example stops where it stands; numbers come from the mesh itself"
)]

use std::f64::consts::TAU;

use nalgebra::{Point2, Point3};
use plymend::surface::flatten::LaidFlat;
use plymend::surface::mesh::{FaceTag, Mesh};
use serde::Serialize;

/// Rings of a disc; ring k holds 6 k corners.
const RINGS: usize = 30;

#[derive(Serialize)]
struct Trace {
    name: &'static str,
    positions_mm: Vec<[f64; 3]>,
    faces: Vec<[u32; 3]>,
    flat_mm: Vec<[f64; 2]>,
    area_percent: f64,
    stretch_percent: (f64, f64),
    strain_percent: f64,
    curvature: f64,
}

/// From distance and turn about the middle to a place on a skin, mm.
type Form = fn(f64, f64) -> Point3<f64>;

/// Radius 300, its axis along y.
fn cylinder(r: f64, turn: f64) -> Point3<f64> {
    let (x, y) = (r * turn.cos(), r * turn.sin());
    Point3::new(300.0 * (x / 300.0).sin(), y, 300.0 * (x / 300.0).cos() - 300.0)
}

/// Half angle 20 degrees; the middle of the disc lies 700 mm from the tip.
fn cone(r: f64, turn: f64) -> Point3<f64> {
    let (x, y) = (700.0 + r * turn.cos(), r * turn.sin());
    let (slant, sine) = (x.hypot(y), 20_f64.to_radians().sin());
    let round = y.atan2(x) / sine;
    let (radius, along) = (slant * sine, slant * 20_f64.to_radians().cos());
    Point3::new(along, radius * round.sin(), radius * round.cos())
}

fn sphere(r: f64, turn: f64) -> Point3<f64> {
    let polar = r / 800.0;
    let level = 800.0 * polar.sin();
    Point3::new(level * turn.cos(), level * turn.sin(), 800.0 * polar.cos())
}

fn saddle(r: f64, turn: f64) -> Point3<f64> {
    let (x, y) = (r * turn.cos(), r * turn.sin());
    Point3::new(x, y, (x * x - y * y) / 1600.0)
}

fn disc(name: &'static str, radius_mm: f64, form: Form) -> Trace {
    let mut grid = vec![Point2::origin()];
    let mut positions = vec![form(0.0, 0.0)];
    for ring in 1..=RINGS {
        let r = radius_mm * ring as f64 / RINGS as f64;
        for k in 0..6 * ring {
            let turn = TAU * k as f64 / (6 * ring) as f64;
            grid.push(Point2::new(r * turn.cos(), r * turn.sin()));
            positions.push(form(r, turn));
        }
    }
    let first = |ring: usize| if ring == 0 { 0 } else { 1 + 3 * ring * (ring - 1) };
    let corner = |ring: usize, k: usize| (first(ring) + k % (6 * ring).max(1)) as u32;
    let mut faces = Vec::new();
    for ring in 0..RINGS {
        for sector in 0..6 {
            for k in 0..=ring {
                let (here, beyond) = (sector * ring + k, sector * (ring + 1) + k);
                let far = corner(ring + 1, beyond + 1);
                faces.push([corner(ring, here), corner(ring + 1, beyond), far]);
                if k < ring {
                    faces.push([corner(ring, here), far, corner(ring, here + 1)]);
                }
            }
        }
    }
    let tags = vec![FaceTag::default(); faces.len()];
    let mesh = Mesh::new(positions, grid, faces, tags).expect("a lawful mesh");
    let all: Vec<u32> = (0..mesh.faces.len() as u32).collect();
    let sheet = LaidFlat::of(&mesh, &all).pop().expect("a sheet");
    let mut flat_mm = vec![[0.0; 2]; mesh.positions.len()];
    for face in all {
        let corners = mesh.faces[face as usize].iter().zip(sheet.corners(face));
        corners.for_each(|(vertex, at)| flat_mm[*vertex as usize] = [at.x, at.y]);
    }
    Trace {
        name,
        positions_mm: mesh.positions.iter().map(|p| [p.x, p.y, p.z]).collect(),
        faces: mesh.faces.clone(),
        flat_mm,
        area_percent: sheet.distortion.area_percent,
        stretch_percent: sheet.distortion.stretch_percent,
        strain_percent: sheet.distortion.strain_percent,
        curvature: sheet.distortion.curvature,
    }
}

fn main() {
    let traces = [
        disc("cylinder", 250.0, cylinder),
        disc("cone", 250.0, cone),
        disc("sphere 200", 200.0, sphere),
        disc("sphere 400", 400.0, sphere),
        disc("saddle", 300.0, saddle),
    ];
    println!("{}", serde_json::to_string(&traces).expect("JSON"));
}

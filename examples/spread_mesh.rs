//! Distances from a straight crack, and areas within reaches of it, on a mesh file: one whole
//! process, for timing.
//!
//! Reads a binary PLY with places x, y, z and grid u, v as doubles in mm and triangles as
//! `uchar` 3 and three `int`s. The crack runs straight through the grid's origin at 20 degrees.
//!
//! ```text
//! cargo run --release --example spread_mesh -- MESH.ply CRACK_MM LIMIT_MM REACH_MM...
//! ```
//!
//! Prints one JSON object: seconds of every step, wall and processor (the field and the areas as
//! the median of five, of fewer when they take long), areas in mm2, windows kept.
#![allow(clippy::print_stdout, reason = "printing is what this program is for")]
#![allow(clippy::disallowed_methods, reason = "it takes the time; no figure of the product does")]

use std::error::Error;
use std::time::Instant;

use nalgebra::{Point2, Point3};
use plymend::surface::field::DistanceField;
use plymend::surface::level::area_within;
use plymend::surface::mesh::{FaceTag, Mesh};
use plymend::surface::origin::Origin;
use plymend::surface::trace::{Direction, trace};

/// Angle of the crack to the grid, degrees.
const CRACK_DEG: f64 = 20.0;

fn main() -> Result<(), Box<dyn Error>> {
    let mut words = std::env::args().skip(1);
    let path = words.next().ok_or("which mesh?")?;
    let numbers: Vec<f64> = words.map(|word| word.parse()).collect::<Result<_, _>>()?;
    let [crack_mm, limit_mm, reaches @ ..] = numbers.as_slice() else {
        return Err("MESH.ply CRACK_MM LIMIT_MM REACH_MM...".into());
    };
    let start = Instant::now();
    let mesh = read(&path)?;
    let build_s = start.elapsed().as_secs_f64();
    let passable = vec![true; mesh.faces.len()];
    let pole = mesh.locate(Point2::origin()).ok_or("the origin is off the mesh")?;
    // Half the crack to each side, so that its middle lies on the pole.
    let ways = [CRACK_DEG + 180.0, CRACK_DEG]
        .map(|deg| trace(&mesh, &passable, pole, Direction::Degrees(deg), crack_mm / 2.0).path);
    let [back, ahead] = ways;
    let path: Vec<_> = back.into_iter().rev().chain(ahead.into_iter().skip(1)).collect();
    let origin = if *crack_mm > 0.0 { Origin::line(&mesh, &path) } else { Origin::point(pole) };
    let (mut field_s, mut areas_s) = (Vec::new(), Vec::new());
    let (mut field_cpu_s, mut areas_cpu_s) = (Vec::new(), Vec::new());
    let (mut areas, mut windows) = (Vec::new(), 0);
    for _ in 0..5 {
        let (start, before) = (Instant::now(), cpu_s());
        let field = DistanceField::spread(&mesh, &passable, &origin, *limit_mm)?;
        field_s.push(start.elapsed().as_secs_f64());
        field_cpu_s.push(cpu_s() - before);
        let (start, before) = (Instant::now(), cpu_s());
        areas = reaches.iter().map(|reach| area_within(&field, *reach).area_mm2).collect();
        areas_s.push(start.elapsed().as_secs_f64());
        areas_cpu_s.push(cpu_s() - before);
        windows = field.window_count();
        if field_s.iter().sum::<f64>() > 2.0 {
            break;
        }
    }
    let record = serde_json::json!({
        "triangles": mesh.faces.len(),
        "build_s": build_s,
        "field_s": median(&mut field_s),
        "areas_s": median(&mut areas_s),
        "field_cpu_s": median(&mut field_cpu_s),
        "areas_cpu_s": median(&mut areas_cpu_s),
        "runs": field_s.len(),
        "windows_kept": windows,
        "areas_mm2": areas,
    });
    println!("{record}");
    Ok(())
}

/// Processor time of this process so far, where the system tells it; 0 elsewhere.
fn cpu_s() -> f64 {
    let told = std::fs::read_to_string("/proc/self/schedstat").unwrap_or_default();
    let first = told.split_whitespace().next().and_then(|word| word.parse::<f64>().ok());
    first.unwrap_or(0.0) * 1e-9
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

/// Reads the mesh in the one layout described above.
fn read(path: &str) -> Result<Mesh, Box<dyn Error>> {
    const END: &[u8] = b"end_header\n";
    let bytes = std::fs::read(path)?;
    let head_end = bytes.windows(END.len()).position(|part| part == END).ok_or("no header")?;
    let (head, body) = bytes.split_at(head_end + END.len());
    let head = std::str::from_utf8(head)?;
    if !head.contains("format binary_little_endian 1.0") || head.matches("double").count() != 5 {
        return Err("a binary little-endian PLY with x, y, z, u, v as doubles is needed".into());
    }
    let count = |element: &str| {
        let line = head.lines().find_map(|line| line.strip_prefix(element));
        line.and_then(|number| number.trim().parse::<usize>().ok()).ok_or("no count")
    };
    let (vertices, triangles) = (count("element vertex")?, count("element face")?);
    let (places, faces) = body.split_at_checked(40 * vertices).ok_or("too short")?;
    let mut positions = Vec::with_capacity(vertices);
    let mut grid = Vec::with_capacity(vertices);
    for vertex in places.as_chunks::<40>().0 {
        let mut row = [0.0; 5];
        for (number, part) in row.iter_mut().zip(vertex.as_chunks::<8>().0) {
            *number = f64::from_le_bytes(*part);
        }
        let [x, y, z, u, v] = row;
        positions.push(Point3::new(x, y, z));
        grid.push(Point2::new(u, v));
    }
    let mut corners = Vec::with_capacity(triangles);
    for face in faces.as_chunks::<13>().0.iter().take(triangles) {
        let mut row = [0; 3];
        for (corner, part) in row.iter_mut().zip(face.split_at(1).1.as_chunks::<4>().0) {
            *corner = u32::from_le_bytes(*part);
        }
        corners.push(row);
    }
    let tags = vec![FaceTag::default(); corners.len()];
    drop(bytes);
    Ok(Mesh::new(positions, grid, corners, tags)?)
}

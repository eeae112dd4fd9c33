//! Closed shapes written in every scan format, and what this program reads from each: one line of
//! CSV a file, to be compared with other software. `cargo run --example scan_shapes -- FOLDER`

use std::error::Error;
use std::io::Write;

use plymend::read::scan_file;

#[path = "../tests/scans/writing.rs"]
mod writing;

use writing::{Ply, binary_stl, cap, cylinder, obj, plain_ply, ply, text_stl};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).ok_or("give a folder to write into")?;
    let mut out = std::io::stdout().lock();
    writeln!(out, "file,corners,triangles,area_mm2")?;
    for (shape_name, shape) in
        [("cap", cap(800.0, 400.0, 60)), ("cylinder", cylinder(500.0, 900.0, 700.0, 90, 70))]
    {
        for (kind, bytes) in [
            ("binary.stl", binary_stl(&shape)),
            ("text.stl", text_stl(&shape, "skin")),
            ("text.ply", ply(&shape, Ply::Text)),
            ("little.ply", ply(&shape, Ply::Little)),
            ("big.ply", ply(&shape, Ply::Big)),
            ("plain.ply", plain_ply(&shape)),
            ("plain.obj", obj(&shape, "skin")),
        ] {
            let name = format!("{shape_name}-{kind}");
            std::fs::write(format!("{folder}/{name}"), &bytes)?;
            let read = scan_file::read(&name, &bytes).map_err(|fault| fault.to_string())?;
            let (corners, triangles) = (read.positions.len(), read.faces.len());
            let shape = writing::Shape { positions: read.positions, faces: read.faces };
            writeln!(out, "{name},{corners},{triangles},{:.9}", shape.area())?;
        }
    }
    Ok(())
}

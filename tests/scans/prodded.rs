//! Any bytes at all, given to each reader: nothing may panic, and what is accepted has to hold
//! what is promised. Shared by the mutation test and the fuzz targets.
#![allow(dead_code, reason = "each user calls a part")]

use plymend::model::panel::{Panel, Scan, ScanUnit};
use plymend::model::survey::Survey;
use plymend::read::positions::Positions;
use plymend::read::scan_file::{self, ScanFile};
use plymend::read::{kind, ron_file, text::Loaded};
use plymend::surface::mesh::{FaceTag, Mesh};
use plymend::surface::scan;

/// A scan with the usual bounds.
pub(crate) fn written(unit: ScanUnit) -> Scan {
    Scan {
        file: "scan".to_owned(),
        unit,
        part: None,
        weld_mm: None,
        fill_holes_mm: None,
        thin_mm: None,
        thin_area_percent: None,
        turn_flipped: true,
        inside_out: false,
        axis: None,
    }
}

/// Every scan format; gives what was read.
pub(crate) fn scan_formats(bytes: &[u8]) -> Option<ScanFile> {
    let mut last = None;
    for name in ["a.stl", "a.obj", "a.ply"] {
        let Ok(scan) = scan_file::read(name, bytes) else { continue };
        let count = scan.positions.len();
        assert!(scan.faces.iter().flatten().all(|v| (*v as usize) < count));
        assert!(scan.positions.iter().flatten().all(|x| x.is_finite()));
        // Twelve bytes are the least that a triangle takes in any format, a fan apart.
        assert!(scan.faces.len() <= bytes.len() + 1);
        if let Ok(checked) = scan::checked(&written(ScanUnit::Mm), &scan) {
            assert!(checked.area_mm2() >= 0.0);
            let count = checked.positions.len();
            assert!(checked.faces.iter().flatten().all(|v| (*v as usize) < count));
        }
        last = Some(scan);
    }
    last
}

/// Every kind of text.
pub(crate) fn ron_files(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let _ = Positions::of(&text);
    let loaded = Loaded::new("a.ron", &text);
    if ron_file::before_reading(&loaded).is_ok() {
        let _ = kind::kind(&loaded);
    }
    let _ = ron_file::parse::<Panel>("a.ron", &text);
    let _ = ron_file::parse::<Survey>("a.ron", &text);
}

/// Triangles named by bytes over a small net of corners that bytes move about.
pub(crate) fn mesh_building(bytes: &[u8]) {
    let (places, numbers) = bytes.split_at(bytes.len() / 2);
    let mut positions = Vec::new();
    let mut grid = Vec::new();
    for (k, pair) in places.chunks_exact(2).take(200).enumerate() {
        let (x, y) = ((k % 8) as f64 * 10.0, (k / 8) as f64 * 10.0);
        let off = |byte: u8| f64::from(byte as i8) / 16.0;
        grid.push(nalgebra::Point2::new(x, y));
        positions.push(nalgebra::Point3::new(x + off(pair[0]), y + off(pair[1]), off(pair[0])));
    }
    let faces: Vec<[u32; 3]> = numbers
        .chunks_exact(3)
        .map(|three| [u32::from(three[0]), u32::from(three[1]), u32::from(three[2])])
        .collect();
    let tags = vec![FaceTag::default(); faces.len()];
    if let Ok(mesh) = Mesh::new(positions, grid, faces, tags) {
        assert!(mesh.check_laws().is_ok());
        assert!(mesh.area_mm2(|_| true) > 0.0);
    }
}

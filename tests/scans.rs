//! Scanned skins: every format read alike, every fault found and named by its place, thinning
//! within its stated bounds, and a job on a scan that agrees with the same panel described by
//! its sizes.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::f64::consts::PI;

use plymend::model::panel::ScanUnit;
use plymend::read::JobPanel;
use plymend::read::job::{self, Named, TextFolder};
use plymend::read::scan_file;
use plymend::surface::skin::{self, Skin};
use plymend::surface::{ply, scan};

#[path = "scans/faults.rs"]
mod faults;
#[path = "scans/jobs.rs"]
mod jobs;
#[path = "scans/prodded.rs"]
mod prodded;
#[path = "scans/writing.rs"]
mod writing;

use writing::{Ply, Shape};

const RADIUS: f64 = 900.0;
const LENGTH: f64 = 800.0;
const ARC: f64 = 700.0;

/// A panel of a scan: its file's text and the scan's bytes under `skin`.
fn panel(fields: &str, more: &str, scan: Vec<u8>) -> Result<JobPanel, String> {
    let text = format!(
        "(format: 1, name: \"skin\", surface: Scan(file: \"skin\", unit: mm, {fields}), {more})"
    );
    let mut folder = TextFolder::default();
    folder.put("panel.ron", &text);
    folder.put_bytes("skin", scan);
    let told = |faults: Vec<plymend::diagnostic::Diagnostic>| {
        faults.iter().map(ToString::to_string).collect::<String>()
    };
    job::panel(&folder, "panel.ron").map(|(panel, _)| panel).map_err(told)
}

/// Its skin, or the codes, fields and problems of its faults.
fn skin_of(fields: &str, more: &str, scan: Vec<u8>) -> Result<Skin, String> {
    let panel = panel(fields, more, scan)?;
    skin::of(&panel).map_err(|faults| {
        faults
            .iter()
            .map(|fault| {
                format!("{} {}: {} | {}\n", fault.code, fault.field, fault.problem, fault.way_out)
            })
            .collect()
    })
}

fn sheet() -> Shape {
    writing::cylinder(RADIUS, LENGTH, ARC, 60, 50)
}

fn near(one: f64, other: f64, share: f64) {
    assert!((one / other - 1.0).abs() <= share, "{one} is not within {share} of {other}");
}

#[test]
fn every_format_gives_the_same_mesh() {
    for shape in [sheet(), writing::cap(RADIUS, 400.0, 40)] {
        let exact = [
            ("a.ply", writing::ply(&shape, Ply::Text)),
            ("a.ply", writing::ply(&shape, Ply::Little)),
            ("a.ply", writing::ply(&shape, Ply::Big)),
            ("a.obj", writing::obj(&shape, "skin")),
        ];
        for (name, bytes) in exact {
            let read = scan_file::read(name, &bytes).unwrap();
            assert_eq!(read.positions, shape.positions, "{name}");
            assert_eq!(read.faces, shape.faces, "{name}");
        }
        // STL names no corners; binary STL holds single floats.
        for (bytes, truth) in [
            (writing::text_stl(&shape, "skin"), shape.clone()),
            (writing::binary_stl(&shape), shape.clone().single()),
        ] {
            let read = scan_file::read("a.stl", &bytes).unwrap();
            assert_eq!(read.faces.len(), truth.faces.len());
            assert_eq!(read.positions.len(), truth.positions.len());
            for (face, other) in read.faces.iter().zip(&truth.faces) {
                let here = face.map(|v| read.positions[v as usize]);
                assert_eq!(here, other.map(|v| truth.positions[v as usize]));
            }
        }
    }
}

#[test]
fn areas_are_those_of_the_closed_forms() {
    // A net of fields h wide on a radius R falls short by about h^2 / 12 R^2 or less.
    let skin = skin_of("thin_mm: 0.02", "", writing::binary_stl(&sheet())).unwrap();
    near(skin.face_area_mm2(true), LENGTH * ARC, 5e-5);
    let cap = writing::cap(RADIUS, 400.0, 40);
    let truth = 2.0 * PI * RADIUS * RADIUS * (1.0 - (400.0 / RADIUS).cos());
    let skin = skin_of("thin_mm: 0.02", "", writing::ply(&cap, Ply::Big)).unwrap();
    near(skin.face_area_mm2(true), truth, 4e-4);
    assert!(skin.mesh.check_laws().is_ok());
}

#[test]
fn the_unit_is_stated_and_followed() {
    let shape = sheet();
    let area = |unit: ScanUnit| {
        let in_unit = shape.clone().scaled(1.0 / unit.in_mm());
        let read = scan_file::read("a.ply", &writing::ply(&in_unit, Ply::Little)).unwrap();
        scan::checked(&prodded::written(unit), &read).unwrap().area_mm2()
    };
    for unit in [ScanUnit::Mm, ScanUnit::Cm, ScanUnit::M, ScanUnit::Inch] {
        near(area(unit), shape.area(), 1e-9);
    }
    let in_metres = writing::ply(&shape.clone().scaled(1e-3), Ply::Text);
    let told = skin_of("", "", in_metres).unwrap_err();
    assert!(told.contains("SCAN-SIZE surface.unit") && told.contains("0.8 x"), "{told}");
    let mut folder = TextFolder::default();
    folder.put("panel.ron", "(format: 1, name: \"a\", surface: Scan(file: \"skin\"))");
    let faults = job::panel(&folder, "panel.ron").unwrap_err();
    assert_eq!(faults[0].code, "READ-FIELD-MISSING");
    assert!(faults[0].problem.contains("unit"), "{}", faults[0]);
}

#[test]
fn thinning_stays_within_its_bounds_and_keeps_the_edge() {
    let at = |s: f64, t: f64| {
        let (x, y) = (1.6 * (s - 0.5), 1.2 * (t - 0.5));
        let crown = 0.10 * (1.0 - (x / 0.8).powi(2)) * (1.0 - (y / 0.6).powi(2));
        let swage = 0.015 * (-((y - 0.2) / 0.03).powi(2)).exp();
        [1000.0 * x, 1000.0 * y, 1000.0 * (crown + swage)]
    };
    let shape = writing::net(260, 200, 0.3, at, |_, _| true);
    let skin = skin_of("thin_mm: 0.3", "", writing::ply(&shape, Ply::Little)).unwrap();
    assert!(skin.mesh.faces.len() <= 10_000, "{}", skin.mesh.faces.len());
    near(skin.face_area_mm2(true), shape.area(), 1e-3);
    // Measured anew, against all triangles, for a part of the corners.
    let farthest = shape
        .positions
        .iter()
        .step_by(61)
        .map(|[x, y, z]| skin.mesh.nearest_in_space(nalgebra::Point3::new(*x, *y, *z)).1)
        .fold(0.0, f64::max);
    let told = skin.notes.iter().find(|note| note.contains("thinned from 104000")).unwrap();
    let printed: f64 = told
        .split("stands more than ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next())
        .unwrap()
        .parse()
        .unwrap();
    assert!(farthest <= printed + 5e-4 && printed <= 0.3, "{farthest} but {told}");
    assert!(printed > 0.0, "nothing was thinned: {told}");
    // Corners of the sheet stay where they are.
    for (x, y) in [(-800.0, -600.0), (800.0, -600.0), (800.0, 600.0), (-800.0, 600.0)] {
        let z = at(x / 1600.0 + 0.5, y / 1200.0 + 0.5)[2];
        let off = skin
            .mesh
            .positions
            .iter()
            .map(|p| (p - nalgebra::Point3::new(x, y, z)).norm())
            .fold(f64::INFINITY, f64::min);
        assert!(off < 0.3, "corner {x} {y} moved by {off}");
    }
    let told = skin_of("thin_mm: 0.005, thin_area_percent: 0.001", "", {
        let rough = |s: f64, t: f64| {
            let [x, y, z] = at(s, t);
            [x, y, z + 0.8 * (x * 12.9898 + y * 78.233).sin()]
        };
        writing::ply(&writing::net(260, 200, 0.3, rough, |_, _| true), Ply::Little)
    })
    .unwrap_err();
    assert!(told.contains("SCAN-THIN surface.thin_mm"), "{told}");
}

#[test]
fn the_grid_of_a_cylinder_is_its_development() {
    let fields = format!(
        "axis: (at: (0, {}, {}), along: (2, 0, 0))",
        sheet().positions[0][1],
        sheet().positions[0][2]
    );
    let skin = skin_of(&fields, "", writing::binary_stl(&sheet())).unwrap();
    for (place, grid) in skin.mesh.positions.iter().zip(&skin.mesh.grid) {
        let v = ((place.y - 0.5 * ARC) / RADIUS).asin() * RADIUS + 0.5 * ARC;
        let off = (grid - nalgebra::Point2::new(place.x, v)).norm();
        assert!(off < 0.5, "{place} lies at {grid}, {off} mm off");
    }
    assert!(ply::to_ply(&skin.mesh).contains("element face"));
}

#[test]
fn a_skin_that_hides_part_of_itself_is_laid_out_too() {
    // Three quarters of a tube.
    let shape = writing::cylinder(150.0, 600.0, 1.5 * PI * 150.0, 60, 70);
    let skin = skin_of("thin_mm: 0.05", "", writing::ply(&shape, Ply::Little)).unwrap();
    near(skin.face_area_mm2(true), 600.0 * 1.5 * PI * 150.0, 1e-3);
    assert!(skin.mesh.check_laws().is_ok());
}

#[test]
fn mutated_bytes_neither_panic_nor_run_away() {
    let shape = writing::cylinder(200.0, 100.0, 100.0, 4, 3);
    let files = [
        writing::binary_stl(&shape),
        writing::text_stl(&shape, "a"),
        writing::ply(&shape, Ply::Text),
        writing::ply(&shape, Ply::Little),
        writing::ply(&shape, Ply::Big),
        writing::plain_ply(&shape),
        writing::obj(&shape, "a"),
        b"(format: 1, name: \"a\", surface: Scan(file: \"b\", unit: mm, axis: (at: (1, 2, 3), \
          along: (1, 0, 0))), landmarks: [(name: \"c\", at: Xyz(1, 2, 3))])"
            .to_vec(),
    ];
    let mut seed = 42_u64;
    let mut chance = |below: usize| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((seed >> 33) as usize) % below.max(1)
    };
    let (mut taken, mut rounds) = (0, 0);
    for file in &files {
        for _ in 0..400 {
            let mut bytes = file.clone();
            for _ in 0..=chance(4) {
                let at = chance(bytes.len());
                match chance(6) {
                    0 => bytes[at] = [0, 0xff, b'-', b'9', b'\n', b' '][chance(6)],
                    1 => bytes[at] ^= 1 << chance(8),
                    2 => bytes.truncate(at.max(1)),
                    3 => {
                        let end = (at + chance(40)).min(bytes.len());
                        let piece = bytes[at..end].to_vec();
                        bytes.splice(at..at, piece);
                    }
                    4 => {
                        bytes.drain(at..(at + chance(20)).min(bytes.len() - 1).max(at));
                    }
                    _ => {
                        let value = [u32::MAX, 0, 0x7fff_ffff, 4_000_000_000][chance(4)];
                        for (k, byte) in value.to_le_bytes().into_iter().enumerate() {
                            if let Some(place) = bytes.get_mut(at + k) {
                                *place = byte;
                            }
                        }
                    }
                }
            }
            rounds += 1;
            taken += usize::from(prodded::scan_formats(&bytes).is_some());
            prodded::ron_files(&bytes);
            prodded::mesh_building(&bytes);
        }
    }
    // A test in which everything is refused at once would look at nothing.
    assert!(taken > rounds / 10 && taken < rounds, "{taken} of {rounds} were readable");
}

#[test]
fn a_survey_names_the_scan_among_its_files() {
    let mut folder = TextFolder::default();
    folder.put("panel.ron", "(format: 1, name: \"a\", surface: Scan(file: \"a.ply\", unit: mm))");
    folder.put_bytes("a.ply", writing::plain_ply(&sheet()));
    folder.put("s.ron", "(format: 1, panels: [(name: \"a\", file: \"panel.ron\")])");
    let job = job::job(&folder, "s.ron", &Named::default()).unwrap();
    assert_eq!(job.files_read, ["s.ron", "panel.ron", "a.ply"]);
}

//! Whole jobs on a scan: the same figures as on the same panel described by its sizes; marks by
//! tapes and in space; files that may not be read.

use std::fs;
use std::process::Command;

use plymend::read::job::{self, Named, TextFolder};
use plymend::report::model::Report;

use super::writing;
use super::{ARC, LENGTH, RADIUS, near, sheet};

/// What both descriptions share; places are those of the sheet's grid.
const MAKE_UP: &str = "laminate: (thickness_mm: 2.5), material: hand_laid_polyester, roles: \
                       [skin], back: reached, fixings: none_seen";

const MARKS: &str = "
    (id: 1, panel: \"skin\", kind: hole, edges_move: no, place: On(300, 250),
     shape: Patch(length_mm: 60, width_mm: 40, angle_deg: 30)),
    (id: 2, panel: \"skin\", kind: crazing, depth: gel, place: On(560, 420),
     shape: Patch(length_mm: 150, width_mm: 90, angle_deg: 0, outline: oval)),
    (id: 3, panel: \"skin\", kind: through_crack, edges_move: no, place: On(500, 150),
     shape: Line(length_mm: 90, direction: Angle(75))),
";

fn worked(panel: &str, marks: &str) -> Result<Report, String> {
    let mut folder = TextFolder::default();
    folder.put("panel.ron", panel);
    folder.put_bytes("skin", writing::ply(&sheet(), writing::Ply::Little));
    folder.put(
        "s.ron",
        &format!("(format: 1, panels: [(name: \"skin\", file: \"panel.ron\")], marks: [{marks}])"),
    );
    let told = |faults: Vec<plymend::diagnostic::Diagnostic>| {
        faults.iter().map(ToString::to_string).collect::<String>()
    };
    let job = job::job(&folder, "s.ron", &Named::default()).map_err(told)?;
    plymend::estimate(&job).map_err(told)
}

/// A place of the sheet in space.
fn space(u: f64, v: f64) -> String {
    let angle = (v - 0.5 * ARC) / RADIUS;
    let (y, z) = (RADIUS * angle.sin() + 0.5 * ARC, RADIUS * (angle.cos() - 1.0));
    format!("Xyz({u:.4}, {y:.4}, {z:.4})")
}

fn as_moulding() -> String {
    let crown = RADIUS * (1.0 - (0.5 * ARC / RADIUS).cos());
    format!(
        "(format: 1, name: \"skin\", surface: Moulding(kind: sheet, length_mm: {LENGTH}, width_mm: \
         {ARC}, crown_across_mm: {crown}), regions: [(name: \"end\", outline: [(400, 0), (800, 0), \
         (800, 700), (400, 700)])], landmarks: [(name: \"front\", at: (50, 60)), (name: \"rear\", \
         at: (750, 60))], {MAKE_UP})"
    )
}

fn as_scan(axis: bool) -> String {
    let axis = if axis {
        format!(
            "axis: (at: ({}), along: (1, 0, 0))",
            space(0.0, 0.0).replace("Xyz(", "").replace(')', "")
        )
    } else {
        String::new()
    };
    let region: Vec<String> = if axis.is_empty() {
        [(400.0, 0.0), (800.0, 0.0), (800.0, 700.0), (400.0, 700.0)]
            .map(|(u, v)| space(u, v))
            .to_vec()
    } else {
        ["(400, -1)", "(801, -1)", "(801, 701)", "(400, 701)"].map(str::to_owned).to_vec()
    };
    format!(
        "(format: 1, name: \"skin\", surface: Scan(file: \"skin\", unit: mm, thin_mm: 0.05, \
         {axis}), regions: [(name: \"end\", outline: [{}])], landmarks: [(name: \"front\", at: \
         {}), (name: \"rear\", at: {})], {MAKE_UP})",
        region.join(", "),
        space(50.0, 60.0),
        space(750.0, 60.0)
    )
}

#[test]
fn a_scanned_sheet_is_estimated_as_the_same_sheet_by_its_sizes() {
    let (by_sizes, by_scan) =
        (worked(&as_moulding(), MARKS).unwrap(), worked(&as_scan(true), MARKS).unwrap());
    near(by_scan.panels[0].area_m2, by_sizes.panels[0].area_m2, 1e-3);
    for (one, other) in by_scan.panels[0].regions.iter().zip(&by_sizes.panels[0].regions) {
        assert_eq!(one.name, other.name);
        near(one.area_m2, other.area_m2, 1e-3);
    }
    assert_eq!(by_scan.findings.len(), 3);
    for (one, other) in by_scan.findings.iter().zip(&by_sizes.findings) {
        assert_eq!((one.mark, &one.action), (other.mark, &other.action));
    }
    assert!(!by_sizes.repairs.is_empty());
    assert_eq!(by_scan.repairs.len(), by_sizes.repairs.len());
    let mut compared = 0;
    for (one, other) in by_scan.repairs.iter().zip(&by_sizes.repairs) {
        let (one, other) =
            (serde_json::to_value(one).unwrap(), serde_json::to_value(other).unwrap());
        compared += areas_agree("", &one, &other);
    }
    assert!(compared > 40, "{compared} areas were compared");
    let notes: Vec<&str> = by_scan.assumptions.iter().map(|one| one.text.as_str()).collect();
    assert!(notes.iter().any(|text| text.contains("thinned from 6000")), "{notes:?}");
    assert!(notes.iter().any(|text| text.contains("within 0.01 mm are one (the usual)")));
}

/// Every area of one record against the other's, within a thousandth; gives how many there were.
fn areas_agree(path: &str, one: &serde_json::Value, other: &serde_json::Value) -> usize {
    use serde_json::Value;
    match (one, other) {
        (Value::Object(fields), Value::Object(others)) => {
            fields.iter().map(|(name, value)| areas_agree(name, value, &others[name])).sum()
        }
        (Value::Array(list), Value::Array(others)) => {
            assert_eq!(list.len(), others.len(), "{path}");
            list.iter().zip(others).map(|(value, other)| areas_agree(path, value, other)).sum()
        }
        (Value::Number(value), Value::Number(other)) if path.contains("area_m2") => {
            let (value, other) = (value.as_f64().unwrap(), other.as_f64().unwrap());
            // Figures are rounded to a hundred-thousandth of a square metre or so.
            let off = (value - other).abs();
            assert!(off <= 1e-3 * other + 1.1e-5, "{path}: {value} and {other}");
            1
        }
        _ => 0,
    }
}

#[test]
fn marks_on_a_scan_without_a_grid_are_placed_by_tapes_and_in_space() {
    let tape = |u: f64, v: f64, from: f64| ((u - from).powi(2) + (v - 60.0).powi(2)).sqrt();
    let (a, b) = (tape(380.0, 330.0, 50.0), tape(380.0, 330.0, 750.0));
    let marks = format!(
        "(id: 1, panel: \"skin\", kind: chip, place: {}, shape: Spot(diameter_mm: 12)),
         (id: 2, panel: \"skin\", kind: chip, shape: Spot(diameter_mm: 12),
          place: Taped(a: (\"front\", {a}), b: (\"rear\", {b})))",
        space(380.0, 330.0)
    );
    let report = worked(&as_scan(false), &marks).unwrap();
    let angle = (330.0 - 0.5 * ARC) / RADIUS;
    let truth = [380.0, RADIUS * angle.sin() + 0.5 * ARC, RADIUS * (angle.cos() - 1.0)];
    for finding in &report.findings {
        let at = serde_json::to_value(finding).unwrap()["place_xyz_mm"].clone();
        for (axis, truth) in truth.iter().enumerate() {
            let found = at[axis].as_f64().unwrap();
            assert!((found - truth).abs() < 2.0, "mark {}: {at}", finding.mark);
        }
    }
    for (mark, field) in [
        ("place: On(1, 2), shape: Spot(diameter_mm: 9)", "marks[0].place"),
        (
            "place: Taped(a: (\"front\", 400), b: (\"rear\", 400), side: upper), shape: \
             Spot(diameter_mm: 9)",
            "marks[0].place.side",
        ),
        (
            "place: Taped(a: (\"front\", 426.5), b: (\"rear\", 458)), shape: Patch(length_mm: 9, \
             width_mm: 5, angle_deg: 4)",
            "marks[0].shape.angle_deg",
        ),
    ] {
        let mark = format!("(id: 1, panel: \"skin\", kind: chip, {mark})");
        let told = worked(&as_scan(false), &mark).unwrap_err();
        assert!(told.contains("SCAN-AXIS") && told.contains(field), "{told}");
    }
}

#[test]
fn landmarks_off_the_scan_are_shown_and_refused_beyond_the_limit() {
    let at = |z: f64| as_scan(true).replace(&space(50.0, 60.0), &format!("Xyz(50, 70, {z})"));
    let on = -RADIUS * (1.0 - (((0.5_f64 * ARC - 70.0) / RADIUS).asin()).cos());
    let report = worked(&at(on + 3.0), "").unwrap();
    assert!(report.assumptions.iter().any(|one| {
        one.text.contains("\"front\" stands") && one.text.contains("mm off the scan")
    }));
    let told = worked(&at(on + 30.0), "").unwrap_err();
    assert!(told.contains("SURFACE-OFF-PANEL") && told.contains("landmarks[0].at"), "{told}");
}

#[test]
fn a_mirrored_scan_is_the_other_hand() {
    let mut folder = TextFolder::default();
    folder.put("left.ron", &as_scan(true));
    folder.put("right.ron", "(format: 1, name: \"right\", mirror_of: \"left.ron\")");
    folder.put_bytes("skin", writing::binary_stl(&sheet()));
    let built = |file: &str| {
        let (panel, _) = job::panel(&folder, file).unwrap();
        (plymend::surface::skin::of(&panel).unwrap(), panel)
    };
    let ((left, _), (right, panel)) = (built("left.ron"), built("right.ron"));
    near(left.face_area_mm2(true), right.face_area_mm2(true), 1e-12);
    assert!(left.mesh.chart_sense() > 0.0 && right.mesh.chart_sense() < 0.0);
    for landmark in &panel.panel.landmarks {
        assert!(right.nearest(&landmark.at).1 < 0.2);
    }
}

fn run(folder: &std::path::Path, arguments: &[&str]) -> (i32, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_plymend"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap();
    let text = [output.stdout, output.stderr].concat();
    (output.status.code().unwrap(), String::from_utf8(text).unwrap())
}

#[test]
fn the_program_reads_scans_of_the_job_folder_only() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("job");
    fs::create_dir(&folder).unwrap();
    fs::write(outer.path().join("outside.stl"), writing::binary_stl(&sheet())).unwrap();
    fs::write(folder.join("skin"), writing::binary_stl(&sheet())).unwrap();
    fs::write(folder.join("panel.ron"), as_scan(true)).unwrap();
    let (code, text) = run(&folder, &["check", "panel.ron"]);
    assert_eq!((code, text.as_str()), (0, "panel.ron: panel, no fault\n"));
    let (code, text) = run(&folder, &["panel", "panel.ron", "--export", "out.ply"]);
    assert_eq!(code, 0, "{text}");
    assert!(text.contains("landmarks: front at x 50 y 65"), "{text}");
    assert!(text.contains("scan: thinned from 6000 to"), "{text}");
    let exported = fs::read(folder.join("out.ply")).unwrap();
    let again = plymend::read::scan_file::read("out.ply", &exported).unwrap();
    assert!(again.faces.len() > 100, "what is exported can be read as a scan");

    for (name, code) in [("../outside.stl", "READ-OUTSIDE"), (".", "READ-NOT-A-FILE")] {
        fs::write(
            folder.join("panel.ron"),
            as_scan(true).replace("\"skin\", unit", &format!("\"{name}\", unit")),
        )
        .unwrap();
        let (exit, text) = run(&folder, &["panel", "panel.ron"]);
        assert_eq!(exit, 2, "{text}");
        assert!(text.contains(code) && text.contains("surface.file"), "{text}");
    }
    #[cfg(unix)]
    {
        fs::remove_file(folder.join("skin")).unwrap();
        std::os::unix::fs::symlink("../outside.stl", folder.join("skin")).unwrap();
        fs::write(folder.join("panel.ron"), as_scan(true)).unwrap();
        let (exit, text) = run(&folder, &["panel", "panel.ron"]);
        assert!(exit == 2 && text.contains("READ-OUTSIDE"), "{text}");
    }
    // Ten lines that claim four billion triangles.
    let hostile = "ply\nformat binary_little_endian 1.0\nelement vertex 3\nproperty float x\n\
                   property float y\nproperty float z\nelement face 4000000000\nproperty list \
                   uchar int vertex_indices\nend_header\n";
    let _ = fs::remove_file(folder.join("skin"));
    fs::write(folder.join("skin"), hostile).unwrap();
    fs::write(folder.join("panel.ron"), as_scan(true)).unwrap();
    let (exit, text) = run(&folder, &["panel", "panel.ron"]);
    assert!(exit == 2 && text.contains("SCAN-CUT-SHORT fault in skin"), "{text}");
    let (exit, text) = run(&folder, &["explain", "scan-cut-short"]);
    assert_eq!(exit, 0, "{text}");
}

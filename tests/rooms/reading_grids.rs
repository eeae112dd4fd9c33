//! Grids of tapped notes and moisture readings against areas known beforehand: discs on flat and on
//! doubly curved skins, sampled as somebody with a coin would, at many offsets and turns.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "what a test cannot set up has to fail it"
)]

use super::build;

use std::f64::consts::PI;

use build::{Dice, Shape, grid_mesh};
use nalgebra::Point2;
use plymend::read::job::{Named, TextFolder, job};
use plymend::report::model::Report;
use plymend::surface::field::DistanceField;
use plymend::surface::mesh::Mesh;
use plymend::surface::origin::Origin;
use plymend::surface::reading_grid::{above, lay};

/// How often the true area of a disc lies between low and high, and the mean of likely over true.
fn sampled(mesh: &Mesh, truth: f64, radius_mm: f64, pitch_mm: f64) -> (f64, f64) {
    let filled = vec![true; mesh.faces.len()];
    let middle = mesh.nearest(Point2::new(0.0, 0.0)).0;
    let disc =
        DistanceField::spread(mesh, &filled, &Origin::point(middle), 2.0 * radius_mm).unwrap();
    let (mut within, mut sum) = (0, 0.0);
    let mut dice = Dice::new(20_261);
    const THROWS: usize = 24;
    for _ in 0..THROWS {
        let count = (2.0 * (radius_mm + 2.0 * pitch_mm) / pitch_mm).ceil() as usize + 1;
        let turn = dice.roll() * 90.0;
        let half = pitch_mm * (count - 1) as f64 / 2.0;
        let (sin, cos) = turn.to_radians().sin_cos();
        let (x, y) = ((dice.roll() - 0.5) * pitch_mm - half, (dice.roll() - 0.5) * pitch_mm - half);
        let first = mesh.nearest(Point2::new(x * cos - y * sin, x * sin + y * cos)).0;
        let points =
            lay(mesh, &filled, first, turn, pitch_mm, (count, count)).expect("on the skin");
        let tapped = |at| Some(if disc.at(at) <= radius_mm { 1.0 } else { 0.0 });
        let readings: Vec<Vec<Option<f64>>> =
            points.iter().map(|row| row.iter().map(tapped).collect()).collect();
        let found = above(mesh, &filled, &points, &readings, 0.5).unwrap();
        assert!(!found.at_edge);
        assert!(found.area_mm2.low <= found.area_mm2.likely);
        assert!(found.area_mm2.likely <= found.area_mm2.high);
        within += usize::from(found.area_mm2.low <= truth && truth <= found.area_mm2.high);
        sum += found.area_mm2.likely / truth;
    }
    (within as f64 / THROWS as f64, sum / THROWS as f64)
}

#[test]
fn the_true_area_lies_between_low_and_high_and_likely_comes_nearer_with_the_pitch() {
    // Closed form: a disc of 100 mm over the skin, on the flat and on a ball of 800 mm.
    let on_ball = 2.0 * PI * 800.0 * 800.0 * (1.0 - (100.0_f64 / 800.0).cos());
    let shapes =
        [("flat", Shape::Plane, PI * 100.0 * 100.0), ("ball of 800 mm", Shape::Sphere, on_ball)];
    for (name, shape, truth) in shapes {
        let mesh = grid_mesh(shape, 1000.0, 12.0, 3, false);
        for pitch_mm in [60.0, 40.0, 20.0] {
            let (within, mean) = sampled(&mesh, truth, 100.0, pitch_mm);
            println!(
                "{name}, disc of 100 mm, {pitch_mm} mm apart: {:.0} % within, likely / true {mean:.3}",
                100.0 * within
            );
            assert!(within >= 0.98, "{name} {pitch_mm}: {within}");
            // The rim cuts corners by about a fifth of the pitch at worst.
            assert!((mean - 1.0).abs() < 0.2 * pitch_mm / 100.0, "{name} {pitch_mm}: {mean}");
        }
    }
}

const PANEL: &str = "(
  format: 1, name: \"sheet\", surface: Flat(length_mm: 1000, width_mm: 800),
  laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [skin], back: reached,
  fixings: none_seen, landmarks: [(name: \"corner\", at: (0, 0))],
)";

fn read(rest: &str) -> Result<Report, Vec<plymend::diagnostic::Diagnostic>> {
    let survey = format!("(format: 1, panels: [(name: \"sheet\", file: \"sheet.ron\")], {rest})");
    let texts = TextFolder::from([("survey.ron", survey.as_str()), ("sheet.ron", PANEL)]);
    let job = job(&texts, "survey.ron", &Named::default())?;
    plymend::estimate(&job)
}

fn worked(rest: &str) -> Report {
    read(rest).unwrap_or_else(|faults| panic!("{faults:?}"))
}

const TAPPED: &str =
    "(name: \"g\", panel: \"sheet\", origin: On(300, 300), pitch_mm: 40, MARK rows: Tapped([
  \"c c c c c\",
  \"c d d d c\",
  \"c d d d c\",
  \"c c c c c\"]))";

fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-6, "{found} is not {wanted}");
}

#[test]
fn areas_of_a_small_grid_are_those_worked_by_hand() {
    // Dull at 3 x 2 points 40 mm apart. Low 80 x 40; high 160 x 120; likely between them with its
    // four corners cut by half a cell's triangle of 20 x 20.
    let report = worked(&format!("grids: [{}]", TAPPED.replace("MARK", "")));
    let grid = &report.grids[0];
    let area = grid.area_m2.as_ref().unwrap();
    near(area.low, 80.0 * 40.0 * 1e-6);
    near(area.high, 160.0 * 120.0 * 1e-6);
    near(area.likely, (120.0 * 80.0 - 4.0 * 200.0) * 1e-6);
    assert_eq!((grid.taken, grid.above, grid.at_edge), (20, 6, false));
    assert_eq!(grid.rims_xyz_mm.len(), 1);
    // No mark covers it: somebody has to record one.
    assert!(grid.to_do[0].contains("6 dull readings are under no mark"), "{:?}", grid.to_do);
    assert!(report.needs_a_person.iter().any(|why| why.contains("readings show more")));
}

#[test]
fn a_grid_that_is_dull_to_its_edge_asks_for_more_unless_the_panel_ends() {
    let rows = "Tapped([\"c c\", \"c d\"])";
    let at = |v: f64| {
        worked(&format!(
            "grids: [(name: \"g\", panel: \"sheet\", origin: On(930, {v}), pitch_mm: 40, rows: {rows})]"
        ))
    };
    assert!(at(300.0).grids[0].to_do.iter().any(|asked| asked.contains("edge of the grid")));
    // Beyond (970, 780) lies no skin within a pitch either way.
    assert!(!at(740.0).grids[0].to_do.iter().any(|asked| asked.contains("edge of the grid")));
}

#[test]
fn a_reading_not_taken_counts_in_the_high_case_only() {
    let whole = worked(&format!("grids: [{}]", TAPPED.replace("MARK", "")));
    let hole = TAPPED.replace("MARK", "").replacen("c c c c c", "c c c c -", 1);
    let report = worked(&format!("grids: [{hole}]"));
    let (before, after) = (whole.grids[0].area_m2.unwrap(), report.grids[0].area_m2.unwrap());
    near(after.low, before.low);
    near(after.likely, before.likely);
    // The three further cells at the corner that was not tapped.
    near(after.high, before.high + 3.0 * 1600.0e-6);
}

#[test]
fn a_mark_takes_its_shape_from_a_grid() {
    let grid = TAPPED.replace("MARK", "mark: 1,");
    let mark = "(id: 1, panel: \"sheet\", kind: delamination, shape: Grid(\"g\"))";
    let report = worked(&format!("grids: [{grid}], marks: [{mark}]"));
    let found = &report.findings[0];
    near(found.area_m2.unwrap(), (120.0 * 80.0 - 4.0 * 200.0) * 1e-6);
    assert!((found.place_mm.u - 380.0).abs() < 1e-6 && (found.place_mm.v - 360.0).abs() < 1e-6);
    assert!(report.grids[0].to_do.is_empty(), "{:?}", report.grids[0].to_do);
}

#[test]
fn a_mark_recorded_smaller_than_it_was_tapped_is_told() {
    let grid = TAPPED.replace("MARK", "mark: 1,");
    let mark = "(id: 1, panel: \"sheet\", kind: delamination, place: On(345, 345), \
                 shape: Patch(length_mm: 20, width_mm: 20))";
    let report = worked(&format!("grids: [{grid}], marks: [{mark}]"));
    // The farthest dull point stands at (420, 380), 65 and 25 mm from the patch's corner.
    let to_do = report.grids[0].to_do.join("; ");
    assert!(to_do.contains("70 mm beyond mark 1"), "{to_do}");
    let left_out = &report.materials.high.excludes;
    assert!(
        left_out.iter().any(|one| one.reason.contains("beyond what was recorded")),
        "{left_out:?}"
    );
    let text = plymend::report::text::full(&report, plymend::report::text::Wide::Usual);
    let said = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("(leaves out what the grid \"g\" shows beyond what was recorded"),
        "{said}"
    );
    let wide = mark.replace("length_mm: 20, width_mm: 20", "length_mm: 200, width_mm: 150");
    let report = worked(&format!("grids: [{grid}], marks: [{wide}]"));
    assert!(report.grids[0].to_do.is_empty(), "{:?}", report.grids[0].to_do);
}

const WET: &str =
    "grids: [(name: \"m\", panel: \"sheet\", origin: At(\"corner\"), pitch_mm: 50, rows: Moisture([
  \"9 9 9 9\",
  \"9 10 12 9\",
  \"9 23 21 9\",
  \"9 9 9 9\"]))], meter: (kind: \"relative scale\", reference: 9, step: 1),";

#[test]
fn moisture_counts_against_the_reference_and_its_step_only() {
    let report = worked(&format!("{WET} hours_dry: 100, air_c: 20, humidity_percent: 50"));
    let grid = &report.grids[0];
    assert_eq!((grid.taken, grid.above), (16, 3), "10 is within the meter's step of 9");
    near(grid.worst.unwrap(), 23.0);
    near(grid.mean.unwrap(), (9.0 * 12.0 + 10.0 + 12.0 + 23.0 + 21.0) / 16.0);
    assert!(grid.area_m2.as_ref().unwrap().likely > 0.0);
}

#[test]
fn a_mark_on_wet_readings_is_wet_and_a_gel_crack_on_dull_ones_is_judged_as_parted() {
    let dry = "hours_dry: 100, air_c: 20, humidity_percent: 50,";
    let mark = |at: &str| {
        format!(
            "marks: [(id: 1, panel: \"sheet\", kind: crazing, depth: gel, place: On({at}), \
                 shape: Patch(length_mm: 40, width_mm: 40))]"
        )
    };
    assert!(worked(&format!("{WET} {dry} {}", mark("75, 100"))).findings[0].wet);
    assert!(!worked(&format!("{WET} {dry} {}", mark("600, 600"))).findings[0].wet);
    // Gel alone is referred within 75 mm of a body mount, what has parted within 150 mm.
    let by_mount = |rest: &str| {
        let panel = PANEL.replace(
            "fixings: none_seen",
            "fixings: Listed([(name: \"mount\", at: (550, 340), carries: body_mount, state: sound)])",
        );
        let survey = format!(
            "(format: 1, panels: [(name: \"sheet\", file: \"sheet.ron\")], {rest} {})",
            mark("380, 340")
        );
        let texts =
            TextFolder::from([("survey.ron", survey.as_str()), ("sheet.ron", panel.as_str())]);
        let job = job(&texts, "survey.ron", &Named::default()).unwrap();
        plymend::estimate(&job).unwrap().findings[0].action.clone()
    };
    assert_eq!(by_mount(""), "repair");
    assert_eq!(by_mount(&format!("grids: [{}],", TAPPED.replace("MARK", ""))), "refer");
}

#[test]
fn readings_that_cannot_count_are_kept_and_not_used() {
    for (conditions, why) in [
        ("hours_dry: 12, air_c: 20, humidity_percent: 50", "12 h"),
        ("hours_dry: 100, wet_ground: true", "wet ground"),
        ("air_c: 20, humidity_percent: 50", "nobody recorded"),
        ("hours_dry: 100, air_c: 20, humidity_percent: 95", "dew point"),
    ] {
        let report = worked(&format!("{WET} {conditions}"));
        let grid = &report.grids[0];
        assert!(grid.not_used.as_ref().unwrap().contains(why), "{:?}", grid.not_used);
        assert!(grid.area_m2.is_none() && grid.rims_xyz_mm.is_empty());
        near(grid.worst.unwrap(), 23.0);
    }
}

#[test]
fn what_is_no_grid_is_told_with_its_place() {
    let grid = |rows: &str, more: &str| {
        format!(
            "grids: [(name: \"g\", panel: \"sheet\", origin: On(300, 300), pitch_mm: 40, {more} rows: {rows})]"
        )
    };
    let good = "Tapped([\"c c\", \"c d\"])";
    let shaped = "marks: [(id: 1, panel: \"sheet\", kind: delamination, shape: Grid(\"g\"))]";
    let cases = [
        (grid("Tapped([\"c c\", \"c x\"])", ""), "READ-GRID", "grids[0].rows[0][1]", "\"x\""),
        (grid("Tapped([\"c c\", \"c\"])", ""), "READ-GRID", "grids[0].rows[0][1]", "has 1"),
        (grid("Tapped([\"c c\"])", ""), "READ-GRID", "grids[0].rows[0]", "1 rows"),
        (grid("Moisture([\"9 9\", \"9 9\"])", ""), "READ-METER", "grids[0].rows[0]", "meter"),
        (grid(good, "mark: 4,"), "READ-NAME-UNKNOWN", "grids[0].mark", "no mark 4"),
        (grid(good, "").replace("40", "2"), "READ-RANGE", "grids[0].pitch_mm", "2"),
        (
            grid(good, "").replace("On(300, 300)", "At(\"moon\")"),
            "READ-NAME-UNKNOWN",
            "grids[0].origin[0]",
            "moon",
        ),
        (
            grid(good, "").replace("300, 300", "990, 300"),
            "SURFACE-OFF-PANEL",
            "grids[0].rows[0][0]",
            "10 mm",
        ),
        (
            grid(good, "").replace("300, 300", "2000, 300"),
            "SURFACE-OFF-PANEL",
            "grids[0].origin",
            "off the panel",
        ),
        (
            format!("{}, {shaped}", grid("Tapped([\"d c d\", \"c c c\"])", "")),
            "SURFACE-GRID",
            "marks[0].shape",
            "2 separate areas",
        ),
        (
            format!("{}, {shaped}", grid("Tapped([\"c c\", \"c c\"])", "")),
            "SURFACE-GRID",
            "marks[0].shape",
            "0 separate",
        ),
        (
            format!(
                "{}, marks: [(id: 1, panel: \"sheet\", kind: delamination, place: On(1, 1), shape: Grid(\"g\"))]",
                grid(good, "")
            ),
            "READ-CONTRADICTION",
            "marks[0].place",
            "where the grid is dull",
        ),
    ];
    for (rest, code, field, words) in cases {
        let faults = read(&rest).expect_err("told");
        let found = faults
            .iter()
            .any(|one| one.code == code && one.field == field && one.problem.contains(words));
        assert!(found, "{code} {field} {words}: {faults:?}");
    }
}

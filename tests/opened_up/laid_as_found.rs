//! Where a found size lies on the skin: a flat sheet, on which every place is known.

use plymend::surface::marks::{Form, PlacedMark};
use plymend::surface::mesh::Mesh;
use plymend::surface::origin::Piece;

use super::{BY, SKIN, texts, whole};

/// Lays one mark as found; `look` gets its mesh and the mark.
fn laid(mark: &str, found: &str, look: impl FnOnce(&Mesh, &PlacedMark<'_>)) {
    let mark = format!("(id: 1, panel: \"sheet\", {mark})");
    let job = whole(&texts(SKIN, &mark, &format!("(mark: 1, {found}, {BY})")));
    let opened = job.opened_up(job.book.clone());
    let panels = plymend::skins(&opened).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let placed = plymend::place(&opened, &panels).unwrap_or_else(|faults| panic!("{faults:#?}"));
    look(&panels[0].mesh, &placed[0]);
}

/// Both ends of a line on the grid, and its length.
fn ends(mesh: &Mesh, placed: &PlacedMark<'_>) -> ([f64; 2], [f64; 2], f64) {
    let Form::Line(line) = &placed.form else { panic!("no line") };
    let at = |piece: &Piece, last: bool| {
        let Piece::Segment { face, from, to } = *piece else { panic!("a point") };
        let weights = if last { to } else { from };
        let place = mesh.grid(&plymend::surface::mesh::MeshPoint { face, weights });
        [place.x, place.y]
    };
    let (first, last) = (line.pieces.first().unwrap(), line.pieces.last().unwrap());
    (at(first, false), at(last, true), line.length_mm)
}

fn near(found: [f64; 2], wanted: [f64; 2]) {
    let miss = (found[0] - wanted[0]).hypot(found[1] - wanted[1]);
    assert!(miss < 1e-6, "{found:?} against {wanted:?}");
}

const LINE: &str = "kind: gel_crack, depth: gel, place: On(600, 500), shape: Line(length_mm: 100, direction: Angle(0))";
const TRACE: &str = "kind: gel_crack, depth: gel, shape: Traced(points: [On(500, 500), On(600, 500), On(600, 560)])";

#[test]
fn a_line_found_longer_or_shorter_keeps_its_middle() {
    for length in [30.0, 100.0, 260.0] {
        laid(LINE, &format!("length_mm: {length}"), |mesh, placed| {
            let (from, to, laid_mm) = ends(mesh, placed);
            near(from, [600.0 - length / 2.0, 500.0]);
            near(to, [600.0 + length / 2.0, 500.0]);
            approx::assert_relative_eq!(laid_mm, length, max_relative = 1e-9);
        });
    }
}

#[test]
fn ends_that_were_measured_move_each_by_its_own() {
    laid(LINE, "beyond_mm: (10, 45)", |mesh, placed| {
        let (from, to, laid_mm) = ends(mesh, placed);
        near(from, [540.0, 500.0]);
        near(to, [695.0, 500.0]);
        approx::assert_relative_eq!(laid_mm, 155.0, max_relative = 1e-9);
    });
    laid(TRACE, "beyond_mm: (25, 5)", |mesh, placed| {
        let (from, to, _) = ends(mesh, placed);
        near(from, [475.0, 500.0]);
        near(to, [600.0, 565.0]);
    });
}

#[test]
fn a_trace_found_shorter_is_cut_back_at_both_ends_alike() {
    // 160 mm as traced; 90 mm leave 35 mm off either end.
    laid(TRACE, "length_mm: 90", |mesh, placed| {
        let (from, to, laid_mm) = ends(mesh, placed);
        near(from, [535.0, 500.0]);
        near(to, [600.0, 525.0]);
        approx::assert_relative_eq!(laid_mm, 90.0, max_relative = 1e-9);
    });
}

#[test]
fn an_area_keeps_its_proportions_or_takes_the_sides_found() {
    let rectangle = "kind: hole, place: On(600, 500), shape: Patch(length_mm: 200, width_mm: 50, angle_deg: 30)";
    let traced = "kind: hole, shape: Traced(closed: true, points: [On(500, 400), On(700, 400), On(700, 500), On(500, 500)])";
    let patch = |placed: &PlacedMark<'_>| match &placed.form {
        Form::Patch(patch) => patch.clone(),
        Form::Line(_) => panic!("a line"),
    };
    laid(rectangle, "area_m2: 0.04", |_, placed| {
        let found = patch(placed);
        approx::assert_relative_eq!(found.length_mm, 400.0, max_relative = 1e-9);
        approx::assert_relative_eq!(found.width_mm, 100.0, max_relative = 1e-9);
        assert!(found.known_angle);
    });
    laid(rectangle, "length_mm: 90, width_mm: 120", |_, placed| {
        approx::assert_relative_eq!(patch(placed).area_mm2, 10_800.0, max_relative = 1e-9);
    });
    for area in [0.005, 0.05] {
        laid(traced, &format!("area_m2: {area}"), |_, placed| {
            let found = patch(placed);
            approx::assert_relative_eq!(found.area_mm2, area * 1e6, max_relative = 1e-6);
            let long = (area * 1e6 * 2.0).sqrt();
            approx::assert_relative_eq!(
                found.length_mm,
                long.hypot(long / 2.0),
                max_relative = 1e-5
            );
        });
    }
    let spot = "kind: chip, depth: gel, place: On(600, 500), shape: Spot(diameter_mm: 20)";
    laid(spot, "area_m2: 0.0012566370614359172", |_, placed| {
        approx::assert_relative_eq!(patch(placed).length_mm, 40.0, max_relative = 1e-9);
    });
    // A spot that turned out long lies which way nobody has said.
    laid(spot, "length_mm: 60, width_mm: 20", |_, placed| assert!(!patch(placed).known_angle));
}

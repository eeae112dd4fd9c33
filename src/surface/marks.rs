//! Where each mark is on the skin, how sure that is, and its seen form laid over the surface.

use super::ellipse::Ellipse;
use super::grid_marks::patch_of;
use super::lines::{bearing, crossing, patch, traced_patch};
pub use super::lines::{extended, piece_length_mm, straight_line};
use super::mesh::{Mesh, MeshPoint};
use super::opened::{Opened, found_form};
use super::origin::{Origin, Piece};
use super::patch_outline::PatchShape;
use super::placed::{PlacedPanel, point};
use super::scan::{grid_needed, no_grid};
pub use super::seen_form::{Form, Line, Patch};
pub use super::tapes::TapeFields;
use super::tapes::{Tapes, by_tapes};
use super::trace::{Direction, trace};
use super::traced::{as_place, lines_of, traced_places};
use crate::diagnostic::Diagnostic;
use crate::model::survey::{
    Direction as Written, Mark, PatchOutline, Place, Shape, Side, TapePeople,
};
use crate::read::job::Job;
use crate::rules::{Book, id};

/// A mark found on its panel.
#[derive(Debug, Clone)]
pub struct PlacedMark<'j> {
    /// The mark as recorded.
    pub of: &'j Mark,
    /// Number of its panel in the job.
    pub panel: usize,
    /// Its place.
    pub at: MeshPoint,
    /// Places the readings allow, its place among them.
    pub allowed: Vec<MeshPoint>,
    /// Error of the place as printed, 95 %, mm.
    pub place_error_mm: f64,
    /// The same error along its two axes.
    pub ellipse: Ellipse,
    /// Its seen form.
    pub form: Form,
    /// Its cracks, where they were traced one by one: their pieces in order.
    pub lines: Vec<Vec<Piece>>,
    /// It was opened up: its form is the one found.
    pub opened: Option<Opened>,
    /// What a reader should know about the placing.
    pub notes: Vec<(&'static str, String)>,
    /// The same on the panel by itself, where it is moulded in one with others.
    pub alone: Option<Box<Self>>,
}

/// Straight errors of a place, for distances to fixings, and their root of squares.
pub(crate) fn tape_errors(book: &Book, people: TapePeople) -> (f64, f64) {
    let tape = match people {
        TapePeople::One => book.figure(id::TAPE_ONE),
        TapePeople::Two => book.figure(id::TAPE_TWO),
    };
    let landmark = book.figure(id::TAPE_LANDMARK);
    (tape + landmark, tape.hypot(landmark))
}

/// Finds a mark on its panel and lays its seen form.
///
/// # Errors
/// What keeps it from being placed, with the field at fault.
pub fn place_mark<'j>(
    job: &Job,
    fields: &TapeFields<'_>,
    panel: usize,
    number: usize,
    of: &'j Mark,
) -> Result<PlacedMark<'j>, Diagnostic> {
    let field = format!("marks[{number}]");
    let (straight_mm, squares_mm) = tape_errors(&job.book, job.survey.people);
    let mut notes = Vec::new();
    let mut from_grid = None;
    let found = match (&of.place, &of.shape) {
        (_, Shape::Grid(name)) => {
            let (at, patch) = patch_of(job, fields.panel, name, &field)?;
            from_grid = Some(patch);
            found_at(&fields.panel.mesh, at, straight_mm, squares_mm)
        }
        (Some(place), _) => find(
            job,
            fields,
            place,
            &format!("{field}.place"),
            straight_mm,
            squares_mm,
            &mut notes,
        )?,
        (None, Shape::Traced { points, .. }) => {
            let first = points.first().and_then(as_place);
            let Some(first) = first else {
                return Err(fault(
                    job,
                    &format!("{field}.shape"),
                    "SURFACE-PLACE",
                    "the first point of a trace has no place of its own",
                    "On or Taped",
                    "start the trace with On(u, v) or Taped(...)",
                ));
            };
            let at = format!("{field}.shape.points[0]");
            find(job, fields, &first, &at, straight_mm, squares_mm, &mut notes)?
        }
        (None, _) => {
            return Err(fault(
                job,
                &field,
                "SURFACE-PLACE",
                &format!("mark {} has no place", of.id),
                "On(u, v), Taped(...) or Xyz(x, y, z)",
                "lay two tapes from two landmarks, or read u and v off the panel",
            ));
        }
    };
    let form = match from_grid {
        Some(patch) => Form::Patch(patch),
        None => lay_form(job, fields, of, number, found.at, &mut notes)?,
    };
    let lines = lines_of(job, fields, of, number, found.at, &form)?;
    let (form, opened) = match job.found(of.id) {
        None => (form, None),
        Some(as_found) => {
            notes.push((id::OPENED_SIZE, as_found.said()));
            let back = as_found.back_length_mm.is_some();
            (found_form(fields, of, found.at, form, as_found), Some(Opened { back }))
        }
    };
    Ok(PlacedMark {
        opened,
        of,
        panel,
        at: found.at,
        allowed: found.allowed,
        place_error_mm: found.error_mm,
        ellipse: found.ellipse,
        form,
        lines,
        notes,
        alone: None,
    })
}

/// A fault of the survey.
pub(super) fn fault(
    job: &Job,
    field: &str,
    code: &'static str,
    problem: &str,
    accepted: &str,
    way_out: &str,
) -> Diagnostic {
    job.fault(
        &job.survey_file,
        field,
        code,
        problem.to_owned(),
        accepted.to_owned(),
        way_out.to_owned(),
    )
}

/// A place with what the readings leave open.
pub(super) struct Found {
    pub(super) at: MeshPoint,
    pub(super) allowed: Vec<MeshPoint>,
    pub(super) error_mm: f64,
    pub(super) ellipse: Ellipse,
}

pub(super) fn find(
    job: &Job,
    fields: &TapeFields<'_>,
    written: &Place,
    field: &str,
    straight_mm: f64,
    squares_mm: f64,
    notes: &mut Vec<(&'static str, String)>,
) -> Result<Found, Diagnostic> {
    let on = fields.panel;
    no_grid(job, on, written, field)?;
    let own = &on.by_itself().mesh;
    let (at, miss_mm, said) = match written {
        Place::Taped { a, b, third, side } => {
            let tapes = Tapes { a, b, third: third.as_ref(), side: *side };
            return by_tapes(job, fields, &tapes, field, straight_mm, squares_mm, notes);
        }
        Place::On(u, v) => {
            let (at, miss_mm) = own.nearest(point((*u, *v)));
            (at, miss_mm, format!("u {u} v {v}"))
        }
        Place::Xyz(x, y, z) => {
            let place = nalgebra::Point3::new(x.value(), y.value(), z.value());
            let (at, miss_mm) = own.nearest_in_space(place);
            (at, miss_mm, format!("x {x} y {y} z {z}"))
        }
    };
    // A measured point may stand off the skin by as much as the reading may be wrong.
    let limit_mm = match written {
        Place::Xyz(..) => straight_mm,
        _ => 1.0,
    };
    if miss_mm > limit_mm {
        return Err(fault(
            job,
            field,
            "SURFACE-OFF-PANEL",
            &format!("{said} is {miss_mm:.0} mm off the skin of {:?}", on.of.name),
            &format!("a place on the panel: {}", extent_words(own)),
            "measure again from the panel's lower front corner, or name the panel it is on",
        ));
    }
    notes.push((id::PLACE_GRID, format!("place taken as {said}, with the error of one tape")));
    Ok(found_at(&on.mesh, at, straight_mm, squares_mm))
}

/// A place with the error of one tape every way.
fn found_at(mesh: &Mesh, at: MeshPoint, straight_mm: f64, squares_mm: f64) -> Found {
    Found {
        at,
        allowed: disc_round(mesh, at, straight_mm),
        error_mm: squares_mm,
        ellipse: Ellipse::round(squares_mm),
    }
}

fn extent_words(mesh: &Mesh) -> String {
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for place in &mesh.grid {
        low = [low[0].min(place.x), low[1].min(place.y)];
        high = [high[0].max(place.x), high[1].max(place.y)];
    }
    format!("u {:.0} to {:.0} mm, v {:.0} to {:.0} mm", low[0], high[0], low[1], high[1])
}

/// Points round a place on a circle of the given radius, with the place itself first.
fn disc_round(mesh: &Mesh, at: MeshPoint, radius_mm: f64) -> Vec<MeshPoint> {
    let passable = vec![true; mesh.faces.len()];
    let mut points = vec![at];
    for step in 0..16 {
        let degrees = f64::from(step) * 22.5;
        let walked = trace(mesh, &passable, at, Direction::Degrees(degrees), radius_mm);
        points.extend(walked.path.last().copied());
    }
    points
}

fn lay_form(
    job: &Job,
    fields: &TapeFields<'_>,
    of: &Mark,
    number: usize,
    at: MeshPoint,
    notes: &mut Vec<(&'static str, String)>,
) -> Result<Form, Diagnostic> {
    let on = fields.panel;
    let mesh = &on.mesh;
    match &of.shape {
        Shape::Unmeasured | Shape::Grid(_) => Err(fault(
            job,
            &format!("marks[{number}].shape"),
            "SURFACE-PLACE",
            &format!("mark {} has no size", of.id),
            "Spot, Line, Patch or Traced",
            "measure it",
        )),
        Shape::Spot { diameter_mm } => Ok(Form::Patch(patch(
            mesh,
            at,
            diameter_mm.value(),
            diameter_mm.value(),
            Some(0.0),
            PatchShape::Oval,
        ))),
        Shape::Patch { length_mm, width_mm, angle_deg, outline } => {
            let shape = match outline {
                PatchOutline::Rectangle => PatchShape::Rectangle,
                PatchOutline::Oval => PatchShape::Oval,
            };
            let angle = angle_deg.map(|angle| angle.value());
            if angle.is_some() && !on.has_grid() {
                return Err(grid_needed(job, on, &format!("marks[{number}].shape.angle_deg")));
            }
            if angle.is_none() {
                notes.push((
                    id::PATCH_ANGLE,
                    "angle of the patch not recorded: laid along u".to_owned(),
                ));
            }
            Ok(Form::Patch(patch(mesh, at, length_mm.value(), width_mm.value(), angle, shape)))
        }
        Shape::Line { length_mm, direction } => {
            let degrees = match direction {
                Written::Unknown => None,
                Written::Angle(angle) => Some(angle.value()),
                Written::Toward(name) => on.named_point(name).map(|aim| bearing(on, at, aim)),
            };
            if degrees.is_none() {
                notes.push((
                    id::LINE_DIRECTION,
                    "direction of the line not recorded: laid along u".to_owned(),
                ));
            }
            if matches!(direction, Written::Angle(_)) && !on.has_grid() {
                return Err(grid_needed(job, on, &format!("marks[{number}].shape.direction")));
            }
            let passable = on.side(of.side);
            let laid = straight_line(mesh, passable, at, degrees.unwrap_or(0.0), length_mm.value());
            Ok(Form::Line(Line { known_direction: degrees.is_some(), ..laid }))
        }
        Shape::Traced { points, closed } => {
            let field = format!("marks[{number}].shape.points");
            let places = traced_places(job, fields, points, &field, at)?;
            if *closed {
                if let Some((one, other)) = crossing(&places) {
                    return Err(fault(
                        job,
                        &field,
                        "SURFACE-CROSSED",
                        &format!("the outline crosses itself: side {one} meets side {other}"),
                        "points in order round the area",
                        "put the points in order",
                    ));
                }
                return Ok(Form::Patch(traced_patch(mesh, on, places)));
            }
            let origin = Origin::polyline(mesh, &places);
            let length_mm = origin.pieces.iter().map(|piece| piece_length_mm(mesh, piece)).sum();
            Ok(Form::Line(Line {
                pieces: origin.pieces,
                length_mm,
                known_direction: true,
                straight_deg: None,
                ends_on_edge: 0,
            }))
        }
    }
}

impl PlacedPanel<'_> {
    /// Faces that work on a side may pass.
    #[must_use]
    pub fn side(&self, side: Side) -> &[bool] {
        match side {
            Side::Outer => &self.open,
            Side::Back => &self.back,
        }
    }
}

//! Points traced one after the other over the skin, and the cracks of a patch traced one by one.

use nalgebra::Point2;

use super::field::DistanceField;
use super::marks::{TapeFields, fault, find, tape_errors};
use super::mesh::MeshPoint;
use super::origin::{Origin, Piece};
use super::scan::grid_needed;
use super::seen_form::Form;
use super::trace::{Direction, Stop, trace};
use crate::diagnostic::Diagnostic;
use crate::model::survey::{Mark, Place, TracedPoint};
use crate::read::job::Job;

/// The place that a traced point gives by itself; none for a step from the point before.
pub(super) fn as_place(written: &TracedPoint) -> Option<Place> {
    match written {
        TracedPoint::On(u, v) => Some(Place::On(*u, *v)),
        TracedPoint::Taped { a, b, side } => {
            Some(Place::Taped { a: a.clone(), b: b.clone(), third: None, side: *side })
        }
        TracedPoint::Step { .. } => None,
    }
}

/// Places on the grid of points in the order they were traced; a first step starts at `at`.
pub(super) fn traced_places(
    job: &Job,
    fields: &TapeFields<'_>,
    points: &[TracedPoint],
    field: &str,
    at: MeshPoint,
) -> Result<Vec<Point2<f64>>, Diagnostic> {
    let on = fields.panel;
    let mesh = &on.mesh;
    let (straight_mm, squares_mm) = tape_errors(&job.book, job.survey.people);
    let mut places: Vec<Point2<f64>> = Vec::new();
    for (step, written) in points.iter().enumerate() {
        let field = format!("{field}[{step}]");
        let next = match (written, as_place(written)) {
            (_, Some(place)) => {
                let notes = &mut Vec::new();
                let found = find(job, fields, &place, &field, straight_mm, squares_mm, notes)?;
                mesh.grid(&found.at)
            }
            (TracedPoint::Step { .. }, None) if !on.has_grid() => {
                return Err(grid_needed(job, on, &field));
            }
            (TracedPoint::Step { mm, angle_deg }, None) => {
                let before = places.last().copied().unwrap_or_else(|| mesh.grid(&at));
                let (start, _) = mesh.nearest(before);
                let way = Direction::Degrees(angle_deg.value());
                let walked = trace(mesh, &on.filled, start, way, mm.value());
                if walked.stopped == Some(Stop::Edge) {
                    return Err(fault(
                        job,
                        &field,
                        "SURFACE-OFF-PANEL",
                        &format!(
                            "the step of {mm} leaves the panel after {:.0} mm",
                            walked.length_mm
                        ),
                        "a step that stays on the panel",
                        "end the trace at the edge",
                    ));
                }
                walked.path.last().map_or(before, |end| mesh.grid(end))
            }
            (_, None) => continue,
        };
        places.push(next);
    }
    Ok(places)
}

/// The cracks of a mark traced one by one. They belong inside the patch as recorded: what decides
/// about a mark is its patch, so a crack beyond it is a patch written too small.
pub(super) fn lines_of(
    job: &Job,
    fields: &TapeFields<'_>,
    mark: &Mark,
    number: usize,
    at: MeshPoint,
    form: &Form,
) -> Result<Vec<Vec<Piece>>, Diagnostic> {
    let Form::Patch(patch) = form else { return Ok(Vec::new()) };
    if mark.lines.is_empty() {
        return Ok(Vec::new());
    }
    let mesh = &fields.panel.mesh;
    let (straight_mm, _) = tape_errors(&job.book, job.survey.people);
    let origin = Origin::patch(mesh, patch.outline.clone());
    let limit_mm = straight_mm + patch.length_mm;
    let of_patch =
        DistanceField::spread(mesh, &fields.panel.filled, &origin, limit_mm).map_err(|why| {
            fault(
                job,
                &format!("marks[{number}].lines"),
                "SURFACE-TOO-FINE",
                &why.to_string(),
                "",
                "describe the panel more coarsely",
            )
        })?;
    let mut lines = Vec::new();
    for (line, points) in mark.lines.iter().enumerate() {
        let field = format!("marks[{number}].lines[{line}]");
        let places = traced_places(job, fields, points, &field, at)?;
        for (step, place) in places.iter().enumerate() {
            let beyond_mm = of_patch.capped(&mesh.nearest(*place).0);
            if beyond_mm > straight_mm {
                let far = if beyond_mm >= limit_mm { "more than " } else { "" };
                return Err(fault(
                    job,
                    &format!("{field}[{step}]"),
                    "SURFACE-LINE-OUT",
                    &format!(
                        "the crack goes {far}{beyond_mm:.0} mm beyond the patch of mark {}",
                        mark.id
                    ),
                    &format!(
                        "a point in the patch, or within the {straight_mm:.0} mm that tapes may be wrong"
                    ),
                    "write the patch as large as the cracks go, or record this crack as a mark of its own",
                ));
            }
        }
        lines.push(Origin::polyline(mesh, &places).pieces);
    }
    Ok(lines)
}

//! Grids of readings laid on their panels, and marks that take their shape from one.

use nalgebra::Point2;

use super::lines::traced_patch;
use super::marks::fault;
use super::mesh::MeshPoint;
use super::placed::{PlacedPanel, point};
use super::reading_grid::{Above, above, lay};
use super::seen_form::Patch;
use crate::diagnostic::Diagnostic;
use crate::model::reading_grid::{GridOrigin, ReadingGrid, Rows};
use crate::read::job::Job;

/// Readings where they stand on their panel.
#[derive(Debug)]
pub struct Standing {
    /// Where the readings stand.
    pub points: Vec<Vec<MeshPoint>>,
    /// The readings; none where nothing was taken.
    pub readings: Vec<Vec<Option<f64>>>,
    /// A reading above this is dull, or wet.
    pub level: f64,
}

impl Standing {
    /// Places of the readings above the level.
    pub fn above(&self) -> impl Iterator<Item = &MeshPoint> {
        let all = self.points.iter().flatten().zip(self.readings.iter().flatten());
        all.filter(|(_, read)| read.is_some_and(|read| read > self.level)).map(|(point, _)| point)
    }
}

/// A grid on its panel.
#[derive(Debug)]
pub struct LaidReadings {
    /// Its readings.
    pub standing: Standing,
    /// What is above the level.
    pub above: Above,
}

/// Lays a grid of the survey, by its number, on its panel.
///
/// # Errors
/// What keeps it from being laid, with the field at fault.
pub fn laid(job: &Job, on: &PlacedPanel<'_>, number: usize) -> Result<LaidReadings, Diagnostic> {
    let standing = standing(job, on, number)?;
    let side = job.survey.grids.get(number).map_or_else(Default::default, |grid| grid.side);
    let Standing { points, readings, level } = &standing;
    let above = above(&on.mesh, on.side(side), points, readings, *level).map_err(|why| {
        let field = format!("grids[{number}]");
        fault(job, &field, "SURFACE-TOO-FINE", &why, "", "describe the panel more coarsely")
    })?;
    Ok(LaidReadings { standing, above })
}

/// Where the readings of a grid stand, by its number.
///
/// # Errors
/// What keeps it from being laid, with the field at fault.
pub fn standing(job: &Job, on: &PlacedPanel<'_>, number: usize) -> Result<Standing, Diagnostic> {
    let field = format!("grids[{number}]");
    let lost = || fault(job, &field, "SURFACE-GRID", "the grid cannot be read", "", "");
    let grid = job.survey.grids.get(number).ok_or_else(lost)?;
    if !on.has_grid() {
        return Err(super::scan::grid_needed(job, on, &format!("{field}.angle_deg")));
    }
    let readings = grid.rows.read().map_err(|_| lost())?;
    let first = first(job, on, grid, &field)?;
    let size = (readings.len(), readings.first().map_or(0, Vec::len));
    let (mesh, pitch_mm) = (&on.mesh, grid.pitch_mm.value());
    let points =
        lay(mesh, &on.filled, first, grid.angle_deg.value(), pitch_mm, size).map_err(|off| {
            fault(
                job,
                &format!("{field}.rows[0][{}]", off.row),
                "SURFACE-OFF-PANEL",
                &format!(
                    "row {}, reading {}: the skin ends {:.0} mm from {}",
                    off.row + 1,
                    off.column + 1,
                    off.ends_mm,
                    if off.column == 0 { "the first row" } else { "the start of the row" }
                ),
                "readings that stand on the panel",
                "end the rows at the edge, or start the grid farther in",
            )
        })?;
    Ok(Standing { points, readings, level: level(job, grid) })
}

/// Dull is 1 and clear 0; wet is whatever is above the dry reference by more than the meter's step.
fn level(job: &Job, grid: &ReadingGrid) -> f64 {
    match (&grid.rows, &job.survey.meter) {
        (Rows::Moisture(_), Some(meter)) => meter.reference + meter.step,
        (Rows::Moisture(_), None) => f64::INFINITY,
        (Rows::Tapped(_), _) => 0.5,
    }
}

fn first(
    job: &Job,
    on: &PlacedPanel<'_>,
    grid: &ReadingGrid,
    field: &str,
) -> Result<MeshPoint, Diagnostic> {
    let missing = |problem: String| {
        fault(
            job,
            &format!("{field}.origin"),
            "SURFACE-OFF-PANEL",
            &problem,
            "a first reading on the panel",
            "start the grid at a landmark, or at a place on the panel",
        )
    };
    match &grid.origin {
        GridOrigin::At(name) => {
            on.named_point(name).ok_or_else(|| missing(format!("{name:?} is not on the panel")))
        }
        GridOrigin::On(u, v) => {
            let (at, miss_mm) = on.by_itself().mesh.nearest(point((*u, *v)));
            if miss_mm > 1.0 {
                return Err(missing(format!("u {u} v {v} is {miss_mm:.0} mm off the panel")));
            }
            Ok(at)
        }
    }
}

/// The patch that a mark takes from a grid, and its middle.
///
/// # Errors
/// When the grid shows nothing, or more than one area.
pub(super) fn patch_of(
    job: &Job,
    on: &PlacedPanel<'_>,
    name: &str,
    field: &str,
) -> Result<(MeshPoint, Patch), Diagnostic> {
    let number = job.survey.grids.iter().position(|grid| grid.name == *name).unwrap_or(usize::MAX);
    let laid = laid(job, on, number)?;
    let mut rims: Vec<&Vec<Point2<f64>>> =
        laid.above.rims.iter().filter(|rim| rim.len() > 2).collect();
    // A clear island inside goes with what is round it: the larger way to read it.
    let all = rims.clone();
    rims.retain(|rim| {
        let inside = |other: &&&Vec<Point2<f64>>| {
            !std::ptr::eq(**other, *rim)
                && rim
                    .first()
                    .is_some_and(|at| super::origin::Inside::new(other.to_vec()).holds(*at))
        };
        !all.iter().any(|other| inside(&other))
    });
    let [rim] = rims[..] else {
        return Err(fault(
            job,
            &format!("{field}.shape"),
            "SURFACE-GRID",
            &format!("the grid {name:?} shows {} separate areas", rims.len()),
            "a grid with one dull or wet area",
            "record a patch for each area, or a grid for each",
        ));
    };
    let middle = rim.iter().map(|at| at.coords).sum::<nalgebra::Vector2<f64>>() / rim.len() as f64;
    let (at, _) = on.mesh.nearest(Point2::from(middle));
    Ok((at, traced_patch(&on.mesh, on, rim.clone())))
}

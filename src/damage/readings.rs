//! What grids of tapped notes and moisture readings show, and whether a mark covers it.
//!
//! A moisture reading counts only against the dry reference of the same body, and only where
//! nothing speaks against it; a reading not used is kept. Lengths mm, areas mm2.

use nalgebra::Point2;

use super::Finding;
use super::wetness::unusable;
use crate::diagnostic::Diagnostic;
use crate::model::reading_grid::{ReadingGrid, Rows};
use crate::model::survey::Side;
use crate::quantity::Cases;
use crate::read::job::Job;
use crate::rules::id;
use crate::surface::field::DistanceField;
use crate::surface::grid_marks::{LaidReadings, laid, standing};
use crate::surface::marks::tape_errors;
use crate::surface::mesh::MeshPoint;
use crate::surface::origin::Origin;
use crate::surface::placed::PlacedPanel;

/// What a grid shows.
#[derive(Debug)]
pub struct Shown<'j> {
    /// The grid as recorded.
    pub of: &'j ReadingGrid,
    /// The panel, by number in the job.
    pub panel: usize,
    /// Readings taken.
    pub taken: usize,
    /// Of those dull, or above the dry reference.
    pub above: usize,
    /// Why the readings are not used; none where they are.
    pub not_used: Option<String>,
    /// The dull or wet area.
    pub area_mm2: Cases<f64>,
    /// Its likely rims on the skin, closed.
    pub rims: Vec<Vec<MeshPoint>>,
    /// It reaches the edge of the grid.
    pub at_edge: bool,
    /// Highest reading and their mean, for moisture.
    pub worst_and_mean: Option<(f64, f64)>,
    /// The farthest that it goes beyond its mark as recorded, mm; none without a mark.
    pub beyond_mark_mm: Option<f64>,
    /// Readings that no mark of the panel covers: row and place in the row, from 1.
    pub uncovered: Vec<(usize, usize)>,
}

/// Looks at every grid of a survey.
///
/// # Errors
/// What keeps a grid from being laid, with the field at fault.
pub fn of_survey<'j>(
    job: &'j Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
) -> Result<Vec<Shown<'j>>, Vec<Diagnostic>> {
    let mut found = Vec::new();
    for (number, grid) in job.survey.grids.iter().enumerate() {
        let Some(panel) = panels.iter().position(|panel| panel.of.name == grid.panel) else {
            continue;
        };
        let Some(on) = panels.get(panel) else { continue };
        let laid = laid(job, on, number).map_err(|fault| vec![fault])?;
        let shown = shown(job, on, panel, grid, &laid, findings);
        found.push(shown.map_err(|why| vec![super::too_fine(job, on, why)])?);
    }
    Ok(found)
}

fn shown<'j>(
    job: &Job,
    on: &PlacedPanel<'_>,
    panel: usize,
    grid: &'j ReadingGrid,
    laid: &LaidReadings,
    findings: &[Finding<'_>],
) -> Result<Shown<'j>, String> {
    let moisture = matches!(grid.rows, Rows::Moisture(_));
    let taken: Vec<f64> = laid.standing.readings.iter().flatten().flatten().copied().collect();
    let not_used = if moisture { unusable(job) } else { None };
    let worst_and_mean = (moisture && !taken.is_empty()).then(|| {
        let worst = taken.iter().copied().fold(0.0, f64::max);
        (worst, taken.iter().sum::<f64>() / taken.len() as f64)
    });
    let mut shown = Shown {
        of: grid,
        panel,
        taken: taken.len(),
        above: taken.iter().filter(|read| **read > laid.standing.level).count(),
        not_used,
        area_mm2: Cases { low: 0.0, likely: 0.0, high: 0.0 },
        rims: Vec::new(),
        at_edge: false,
        worst_and_mean,
        beyond_mark_mm: None,
        uncovered: Vec::new(),
    };
    if shown.not_used.is_some() {
        return Ok(shown);
    }
    shown.area_mm2 = laid.above.area_mm2;
    shown.at_edge = laid.above.at_edge;
    let lift = |place: &Point2<f64>| on.mesh.nearest(*place).0;
    shown.rims = laid.above.rims.iter().map(|rim| rim.iter().map(lift).collect()).collect();
    let (straight_mm, _) = tape_errors(&job.book, job.survey.people);
    // As far as a mark may be off, and half the way to the next reading.
    let allowed_mm = straight_mm + grid.pitch_mm.value() / 2.0;
    let here: Vec<&Finding<'_>> = findings
        .iter()
        .filter(|one| one.placed.panel == panel && side_of(one) == grid.side)
        .collect();
    let fields: Vec<(u32, DistanceField<'_>)> = here
        .iter()
        .map(|one| {
            let seen = &one.extents.seen.origin;
            DistanceField::spread(&on.mesh, &on.filled, seen, FAR_MM)
                .map(|field| (one.mark().id, field))
                .map_err(|why| why.to_string())
        })
        .collect::<Result<_, String>>()?;
    for (row, (points, readings)) in
        laid.standing.points.iter().zip(&laid.standing.readings).enumerate()
    {
        for (column, (point, reading)) in points.iter().zip(readings).enumerate() {
            if reading.is_none_or(|read| read <= laid.standing.level) {
                continue;
            }
            let mut nearest_mm = f64::INFINITY;
            for (mark, field) in &fields {
                let far_mm = field.capped(point);
                nearest_mm = nearest_mm.min(far_mm);
                if grid.mark == Some(*mark) {
                    let so_far = shown.beyond_mark_mm.unwrap_or(0.0);
                    shown.beyond_mark_mm = Some(so_far.max(far_mm));
                }
            }
            if nearest_mm > allowed_mm {
                shown.uncovered.push((row + 1, column + 1));
            }
        }
    }
    // Within what tapes and pitch allow it is no more than the mark.
    shown.beyond_mark_mm = shown.beyond_mark_mm.filter(|mm| *mm > allowed_mm);
    Ok(shown)
}

/// How far beyond a mark its grid is compared, mm.
const FAR_MM: f64 = 1_000.0;

fn side_of(finding: &Finding<'_>) -> Side {
    finding.mark().side
}

/// What grids show under a mark, by the names of the grids.
#[derive(Debug, Default)]
pub(super) struct Under {
    /// Grids with a reading above the dry reference on it.
    pub(super) wet: Vec<String>,
    /// Grids with a dull reading on it.
    pub(super) dull: Vec<String>,
}

/// Readings that stand on a mark as seen, or within half a pitch of it and what tapes may be off:
/// what is wet or dull there counts for the mark, whatever was written of it.
pub(super) fn under(job: &Job, on: &PlacedPanel<'_>, side: Side, seen: &Origin) -> Under {
    let mut found = Under::default();
    // The larger error, whoever held the tape: what is near enough to be on the mark counts for it.
    let straight_mm = job.book.figure(id::TAPE_ONE) + job.book.figure(id::TAPE_LANDMARK);
    for (number, grid) in job.survey.grids.iter().enumerate() {
        let moisture = matches!(grid.rows, Rows::Moisture(_));
        if grid.panel != on.of.name || grid.side != side || moisture && unusable(job).is_some() {
            continue;
        }
        // What cannot be laid was told as a fault of the survey.
        let Ok(standing) = standing(job, on, number) else { continue };
        let allowed_mm = straight_mm + grid.pitch_mm.value() / 2.0;
        let touches = DistanceField::spread(&on.mesh, &on.filled, seen, allowed_mm)
            .map_or(true, |field| standing.above().any(|at| field.at(at) <= allowed_mm));
        if touches {
            let list = if moisture { &mut found.wet } else { &mut found.dull };
            list.push(grid.name.clone());
        }
    }
    found
}

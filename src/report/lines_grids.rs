//! Grids of readings as lines of the report.

use super::model::*;
use crate::damage::readings::Shown;
use crate::model::reading_grid::Rows;
use crate::repair::layout::in_space;
use crate::surface::placed::PlacedPanel;

/// Every grid.
pub(super) fn grids(panels: &[PlacedPanel<'_>], shown: &[Shown<'_>]) -> Vec<GridLine> {
    shown.iter().filter_map(|one| line(panels.get(one.panel)?, one)).collect()
}

/// What readings show beyond what was recorded: no total holds it.
pub(super) fn left_out(grids: &[GridLine]) -> Vec<Exclusion> {
    let asking = grids.iter().filter(|grid| !grid.to_do.is_empty());
    asking
        .map(|grid| Exclusion {
            // A mark that it belongs to is in the total, as it was recorded.
            mark: None,
            reason: format!("what the grid {:?} shows beyond what was recorded", grid.name),
        })
        .collect()
}

fn line(panel: &PlacedPanel<'_>, shown: &Shown<'_>) -> Option<GridLine> {
    let of = shown.of;
    let moisture = matches!(of.rows, Rows::Moisture(_));
    let points = |rim: &Vec<_>| {
        in_space(&panel.mesh, rim).into_iter().map(|at| at.map(round6)).collect::<Vec<_>>()
    };
    Some(GridLine {
        name: of.name.clone(),
        panel: panel.of.name.clone(),
        side: of.side.words().to_owned(),
        what: if moisture { "moisture" } else { "tapped" }.to_owned(),
        mark: of.mark,
        pitch_mm: round6(of.pitch_mm.value()),
        taken: shown.taken,
        above: shown.above,
        not_used: shown.not_used.clone(),
        area_m2: shown
            .not_used
            .is_none()
            .then(|| shown.area_mm2.map(|area_mm2| round6(area_mm2 * 1e-6))),
        rims_xyz_mm: shown.rims.iter().map(points).collect(),
        at_edge: shown.at_edge,
        worst: shown.worst_and_mean.map(|(worst, _)| round6(worst)),
        mean: shown.worst_and_mean.map(|(_, mean)| round6(mean)),
        to_do: to_do(shown, if moisture { "wet" } else { "dull" }),
    })
}

/// What a grid asks for: a mark recorded too small, a place that no mark covers, more readings.
fn to_do(shown: &Shown<'_>, word: &str) -> Vec<String> {
    let of = shown.of;
    let mut found = Vec::new();
    if let (Some(mark), Some(beyond_mm)) = (of.mark, shown.beyond_mark_mm) {
        found.push(format!(
            "the {word} area goes {beyond_mm:.0} mm beyond mark {mark} as recorded: record it larger"
        ));
    }
    if let Some((row, column)) = shown.uncovered.first() {
        found.push(format!(
            "{} {word} reading{} under no mark (the first: row {row}, reading {column}): record a mark there",
            shown.uncovered.len(),
            if shown.uncovered.len() == 1 { " is" } else { "s are" }
        ));
    }
    if shown.at_edge && shown.not_used.is_none() {
        found.push(format!(
            "the {word} area reaches the edge of the grid: go on until it is clear all round"
        ));
    }
    found
}

//! The removal of every repair as lines and outlines in space, so that anyone can measure the
//! same areas with other software on the mesh that `panel --export` writes.

use serde::Serialize;

use super::build::numbers;
use super::model::round6;
use crate::damage::Finding;
use crate::quantity::Case;
use crate::repair::layout::RemovalShape;
use crate::repair::{Plan, Repair};
use crate::surface::placed::PlacedPanel;

#[derive(Serialize)]
struct GeometryFile {
    schema: &'static str,
    schema_version: u32,
    repair: String,
    case: &'static str,
    panel: String,
    panel_file: String,
    side: String,
    marks: Vec<u32>,
    /// Area of the removal as this program measures it.
    removal_area_m2: f64,
    removal: Vec<ShapeLine>,
    how_to_measure: &'static str,
}

#[derive(Serialize)]
struct ShapeLine {
    /// line or outline.
    form: &'static str,
    /// Distance over the skin from the line or outline to the edge of the removal; an outline's
    /// inside belongs to it.
    outward_mm: f64,
    points_mm: Vec<[f64; 3]>,
}

/// File name and text of every repair and case.
#[must_use]
pub fn texts(
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for repair in &plan.repairs {
        for case in Case::ALL {
            let Some(panel) = panels.get(repair.laid_on) else { continue };
            let file = one(panel, findings, repair, case);
            if let Ok(text) = serde_json::to_string_pretty(&file) {
                let marks = numbers(&file.marks).replace(", ", "-");
                found.push((
                    format!("{}-marks-{marks}-{}.json", file.repair, case.word()),
                    text + "\n",
                ));
            }
        }
    }
    found
}

fn one(
    panel: &PlacedPanel<'_>,
    findings: &[Finding<'_>],
    repair: &Repair<'_>,
    case: Case,
) -> GeometryFile {
    let rounded =
        |points: &[[f64; 3]]| points.iter().map(|point| point.map(round6)).collect::<Vec<_>>();
    GeometryFile {
        schema: "plymend.geometry",
        schema_version: 1,
        repair: repair.id.clone(),
        case: case.word(),
        panel: panel.of.name.clone(),
        panel_file: panel.of.file.clone(),
        side: repair.side.words().to_owned(),
        marks: repair
            .findings
            .iter()
            .filter_map(|number| Some(findings.get(*number)?.mark().id))
            .collect(),
        removal_area_m2: round6(repair.areas.get(case).removal_mm2 * 1e-6),
        removal: repair
            .shapes
            .get(case)
            .iter()
            .map(|shape| match shape {
                RemovalShape::Line { points, half_width_mm } => ShapeLine {
                    form: "line",
                    outward_mm: round6(*half_width_mm),
                    points_mm: rounded(points),
                },
                RemovalShape::Area { points, outward_mm } => ShapeLine {
                    form: "outline",
                    outward_mm: round6(*outward_mm),
                    points_mm: rounded(points),
                },
            })
            .collect(),
        how_to_measure: "the removal is everything on the panel's mesh within outward_mm, over the skin, of these lines, and of the inside of these outlines",
    }
}

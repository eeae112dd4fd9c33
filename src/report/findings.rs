//! Marks as lines of the report.

use rayon::prelude::*;

use super::lines_condition::{candidates, pattern};
use super::model::*;
use crate::damage::Finding;
use crate::damage::depth::Reaches;
use crate::quantity::Cases;
use crate::read::job::Job;
use crate::repair::{Decision, Plan};
use crate::rules::id;
use crate::surface::field::DistanceField;
use crate::surface::level;
use crate::surface::marks::Form;
use crate::surface::placed::PlacedPanel;

/// Every mark after assessment.
pub(super) fn finding_lines(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
) -> Vec<FindingLine> {
    let line = |(number, (finding, decision)): (usize, (&Finding<'_>, &Decision))| {
        let panel = panels.get(finding.placed.panel)?;
        let (mark, placed) = (finding.mark(), &finding.placed);
        let written = as_written(job, mark.id);
        let at = panel.mesh.grid(&placed.at);
        let space = panel.mesh.position(&placed.at);
        let tag = panel.mesh.tags.get(placed.at.face as usize).and_then(|tag| tag.region);
        let (area_m2, grown_area_m2) = patch_areas(panel, finding);
        let repair = plan.repairs.iter().find(|repair| repair.findings.contains(&number));
        let mut notes: Vec<Note> = placed
            .notes
            .iter()
            .map(|(rule, text)| Note { text: text.clone(), rule: (*rule).to_owned() })
            .collect();
        notes.extend(
            finding
                .judged
                .nearby
                .iter()
                .map(|near| Note { text: near.text.clone(), rule: near.rule.to_owned() }),
        );
        if crate::repair::may_part(finding) {
            notes.push(Note {
                text: "the crack may reach two edges: the panel may part".to_owned(),
                rule: id::TWO_EDGES.to_owned(),
            });
        }
        notes.extend(super::lines_method::watch_note(job, finding, decision.action));
        let mut causes: Vec<CauseLine> = Vec::new();
        if let Some((what, who)) = &finding.open_cause {
            causes.push(CauseLine { what: what.clone(), open: true, who: who.words().to_owned() });
        }
        if let Some(what) = &finding.closed_cause {
            causes.push(CauseLine { what: what.clone(), open: false, who: String::new() });
        }
        Some(FindingLine {
            mark: mark.id,
            panel: panel.of.name.clone(),
            region: panel.region_name(tag),
            side: mark.side.words().to_owned(),
            kind: mark.kind.words().to_owned(),
            place_mm: GridMm { u: round6(at.x), v: round6(at.y) },
            place_xyz_mm: [round6(space.x), round6(space.y), round6(space.z)],
            place_error_mm: round6(placed.place_error_mm),
            place_ellipse: PlaceEllipse {
                long_mm: round6(placed.ellipse.long_mm),
                short_mm: round6(placed.ellipse.short_mm),
                angle_deg: round6(placed.ellipse.angle_deg),
            },
            length_mm: finding.seen_length_mm().map(round6),
            grown_length_mm: finding.extents.cases.high.length_mm.map(|_| {
                finding.extents.cases.map(|extent| round6(extent.length_mm.unwrap_or(0.0)))
            }),
            area_m2,
            grown_area_m2,
            depth: finding.depth.cases.map(|depth| depth_words(*depth)),
            depth_assumed: finding.depth.assumed,
            action: decision.action.words().to_owned(),
            held_by: decision.held_by.clone(),
            repair: repair.map(|repair| repair.id.clone()),
            causes,
            pattern: pattern(finding),
            candidates: candidates(finding),
            seen: mark.evidence.iter().map(|seen| seen.words().to_owned()).collect(),
            lips_move: mark.edges_move.words().to_owned(),
            back_length_mm: mark.back_length_mm.map(|length| round6(length.value())),
            worst_per_dm2: mark.worst_per_dm2.map(round6),
            mean_per_dm2: mark.mean_per_dm2.map(round6),
            wet: finding.wet,
            reading: finding.reading.clone(),
            notes,
            as_recorded: mark.note.clone(),
            as_written: written.as_ref().map_or_else(String::new, |(text, _)| (*text).to_owned()),
            written_at: written.map_or_else(String::new, |(_, at)| at),
        })
    };
    findings.par_iter().zip(plan.decisions.par_iter()).enumerate().filter_map(line).collect()
}

/// A mark's entry in the survey, word for word, and where it stands.
fn as_written(job: &Job, mark: u32) -> Option<(&str, String)> {
    let number = job.survey.marks.iter().position(|one| one.id == mark)?;
    let loaded = job.texts.get(&job.survey_file)?;
    let (start, end) = loaded.positions.span(&format!("marks[{number}]"))?;
    let line = loaded.positions.place(&loaded.text, start).line;
    Some((loaded.text.get(start..end)?, format!("{}, line {line}", job.survey_file)))
}

/// A depth in words.
pub(super) fn depth_words(depth: Reaches) -> String {
    match depth {
        Reaches::Paint => "paint".to_owned(),
        Reaches::Gel => "gel coat".to_owned(),
        Reaches::Glass(mm) => format!("{mm:.1} mm of glass"),
    }
}

fn patch_areas(
    panel: &PlacedPanel<'_>,
    finding: &Finding<'_>,
) -> (Option<f64>, Option<Cases<f64>>) {
    let Form::Patch(patch) = &finding.placed.form else { return (None, None) };
    let extents = &finding.extents;
    let limit_mm = extents.cases.high.grown_mm + 2.0;
    let side = panel.side(finding.mark().side);
    let seen = level::patch_by_region(&panel.mesh, side, &patch.outline).values().sum::<f64>();
    let Ok(field) = DistanceField::spread(&panel.mesh, side, &extents.seen.origin, limit_mm) else {
        return (None, None);
    };
    let area = |grown_mm: f64| round6(level::area_within(&field, grown_mm).area_mm2 * 1e-6);
    (Some(round6(seen * 1e-6)), Some(extents.cases.map(|extent| area(extent.grown_mm))))
}

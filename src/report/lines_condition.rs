//! Patterns, causes, quantities and the order of the marks as lines of the report.

use super::model::*;
use crate::damage::Finding;
use crate::damage::cause::Candidate;
use crate::damage::condition::{self, PanelSide, Quantities};
use crate::damage::pattern::Pattern;
use crate::model::survey::{Evidence, SeenNow, Side};
use crate::read::job::Job;
use crate::repair::{Plan, priority};
use crate::surface::marks::Form;
use crate::surface::placed::PlacedPanel;

/// How the lines of a mark lie: by its traced lines, else by the surveyor's word; nothing where
/// there is neither.
pub(super) fn pattern(finding: &Finding<'_>) -> Option<PatternLine> {
    let words: Vec<&str> = finding
        .mark()
        .evidence
        .iter()
        .filter(|seen| matches!(seen, Evidence::Rings | Evidence::Parallel | Evidence::Radiating))
        .map(|seen| seen.words())
        .collect();
    let Some(lie) = &finding.around.lie else {
        return (!words.is_empty()).then(|| PatternLine {
            told_by: "the surveyor's word: no line was traced".to_owned(),
            pattern: words.join(", "),
            lines: None,
            length_mm: None,
            eigenvalues: None,
            direction_deg: None,
            centre_mm: None,
            centre_miss_mm: None,
            crack_m_per_m2: None,
            spacing_mm: None,
        });
    };
    let word = if words.is_empty() {
        String::new()
    } else {
        format!("; the surveyor wrote: {}", words.join(", "))
    };
    let density = match &finding.placed.form {
        Form::Patch(patch) if patch.area_mm2 > 0.0 && lie.length_mm > 0.0 => {
            Some(lie.length_mm / patch.area_mm2)
        }
        _ => None,
    };
    let centre = match lie.pattern {
        Pattern::Radial => lie.radial.as_ref(),
        Pattern::Rings => lie.rings.as_ref(),
        _ => None,
    };
    Some(PatternLine {
        told_by: format!("{} traced lines{word}", lie.lines),
        pattern: lie.pattern.words().to_owned(),
        lines: Some(lie.lines),
        length_mm: Some(round6(lie.length_mm)),
        eigenvalues: Some(lie.eigenvalues.map(round6)),
        direction_deg: Some(round6(lie.direction_deg)),
        centre_mm: finding.around.centre.map(|at| GridMm { u: round6(at.x), v: round6(at.y) }),
        centre_miss_mm: centre.map(|centre| round6(centre.miss_mm)),
        // mm per mm2 times a thousand is m per m2.
        crack_m_per_m2: density.map(|per_mm| round6(per_mm * 1e3)),
        spacing_mm: density.map(|per_mm| round6(lie.spacing_mm(per_mm))),
    })
}

/// What a mark is consistent with.
pub(super) fn candidates(finding: &Finding<'_>) -> Vec<CandidateLine> {
    let line = |candidate: &Candidate| CandidateLine {
        cause: candidate.cause.id.clone(),
        consistent_with: candidate.cause.name.clone(),
        decided_by: candidate.decided_by.clone(),
        speaks_for: candidate.speaks_for.clone(),
        speaks_against: candidate.speaks_against.clone(),
        next_look: candidate.cause.next_look.clone(),
        evidence: candidate.cause.evidence.to_string(),
        source: candidate.cause.source.clone(),
    };
    finding.candidates.iter().map(line).collect()
}

/// Quantities, coverage and order of the marks.
pub(super) fn condition(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
) -> Condition {
    let sides = condition::of_body(panels, findings, &job.survey.not_examined);
    let of_side = |wanted: &[Side], words: &str| {
        let mut all = Quantities::default();
        let (mut area_mm2, mut looked_at_mm2) = (0.0, 0.0);
        for side in sides.iter().filter(|side| wanted.contains(&side.side)) {
            all.add(&side.all);
            area_mm2 += side.area_mm2;
            looked_at_mm2 += side.looked_at_mm2;
        }
        SideCondition {
            side: words.to_owned(),
            area_m2: m2(area_mm2),
            looked_at_m2: m2(looked_at_mm2),
            quantities: quantities(&all),
        }
    };
    let worst_first = priority::worst_first(panels, findings, &plan.decisions)
        .into_iter()
        .filter_map(|ranked| {
            let finding = findings.get(ranked.finding)?;
            Some(WorstLine {
                mark: finding.mark().id,
                panel: panels.get(finding.placed.panel)?.of.name.clone(),
                kind: finding.mark().kind.words().to_owned(),
                band: ranked.band.words().to_owned(),
                reasons: ranked.reasons,
            })
        })
        .collect();
    Condition {
        panels: sides.iter().filter_map(|side| panel_side(panels, side)).collect(),
        sides: [Side::Outer, Side::Back]
            .iter()
            .map(|side| of_side(&[*side], side.words()))
            .collect(),
        body: of_side(&[Side::Outer, Side::Back], "both sides"),
        worst_first,
        excludes: excludes(findings),
    }
}

fn excludes(findings: &[Finding<'_>]) -> Vec<Exclusion> {
    let reason = |finding: &Finding<'_>| match &finding.mark().now {
        SeenNow::Measured => None,
        SeenNow::SeenNotMeasured => {
            Some("counted with the size of an earlier survey: not measured again")
        }
        SeenNow::NotExamined => Some("counted as an earlier survey left it: not examined"),
        SeenNow::Repaired { .. } => {
            Some("not counted: repaired since, what lies inside was not seen")
        }
    };
    findings
        .iter()
        .filter_map(|finding| {
            Some(Exclusion { mark: Some(finding.mark().id), reason: reason(finding)?.to_owned() })
        })
        .collect()
}

fn panel_side(panels: &[PlacedPanel<'_>], side: &PanelSide) -> Option<PanelCondition> {
    let panel = panels.get(side.panel)?;
    let regions = side
        .regions
        .iter()
        .filter(|(_, found)| !found.is_nothing())
        .map(|(region, found)| RegionCondition {
            region: panel.region_name(*region),
            quantities: quantities(found),
        })
        .collect();
    Some(PanelCondition {
        panel: panel.of.name.clone(),
        side: side.side.words().to_owned(),
        area_m2: m2(side.area_mm2),
        looked_at_m2: m2(side.looked_at_mm2),
        how: side.how.clone(),
        crazed_percent: (side.looked_at_mm2 > 0.0)
            .then(|| round6(100.0 * side.all.crazed_mm2 / side.looked_at_mm2)),
        quantities: quantities(&side.all),
        regions,
    })
}

fn m2(area_mm2: f64) -> f64 {
    round6(area_mm2 * 1e-6)
}

fn quantities(found: &Quantities) -> QuantitiesLine {
    QuantitiesLine {
        cracks_m: round6(found.cracks_mm * 1e-3),
        traced_m: round6(found.traced_mm * 1e-3),
        crazed_m2: m2(found.crazed_mm2),
        drummy_m2: m2(found.drummy_mm2),
        blistered_m2: m2(found.blistered_mm2),
        worst_per_dm2: found.worst_per_dm2.map(round6),
        mean_per_dm2: found.mean_per_dm2.map(round6),
        old_repair_m2: m2(found.old_repair_mm2),
        wet_m2: m2(found.wet_mm2),
        hole_m2: m2(found.hole_mm2),
        chipped_m2: m2(found.chipped_mm2),
        other_m2: m2(found.other_mm2),
    }
}

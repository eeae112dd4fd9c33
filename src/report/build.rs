//! Fills the report record from the figures of all rooms.

use std::collections::BTreeMap;

use super::assumed::{assumptions, not_included, settings};
use super::findings::finding_lines;
use super::lines_safety::{answer_line, block_line, caution_line, mounts_line, referrals, stops};
use super::model::*;
use super::{basis, lines, lines_condition, lines_drying, lines_grids, lines_shop, photos};
use crate::damage::Finding;
use crate::damage::readings::Shown;
use crate::materials::JobMaterials;
use crate::model::survey::SeenNow;
use crate::quantity::Cases;
use crate::read::job::Job;
use crate::repair::{Action, Plan, paint};
use crate::safety::{self, Scene, blocks, raise};
use crate::shop::plan::ShopPlan;
use crate::surface::placed::PlacedPanel;

/// Makes the report.
#[must_use]
pub fn report(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
    materials: &JobMaterials,
    shop: &ShopPlan,
    grids: &[Shown<'_>],
) -> Report {
    let energy = job.energy();
    let scene = Scene { job, panels, findings, plan, materials, shop, energy };
    let stops = stops(panels, findings, plan);
    let referrals = referrals(panels, findings);
    let facts = safety::facts::of(&scene);
    let blocked = blocks(&scene, &facts);
    let mut excludes = excludes(findings, plan);
    let grid_lines = lines_grids::grids(panels, grids);
    excludes.extend(lines_grids::left_out(&grid_lines));
    let paint_plan =
        paint::plan(job.survey.topcoat, panels, findings, &plan.decisions, &plan.repairs);
    let mut report = Report {
        schema: SCHEMA,
        schema_version: SCHEMA_VERSION,
        answers: "estimate",
        program: PROGRAM,
        files_read: job.files_read.clone(),
        files: job.files.iter().map(FileLine::from).collect(),
        survey: head(job),
        photos: photos::lines(job),
        amendments: job.survey.amendments.iter().map(AmendmentLine::from).collect(),
        stops,
        referrals,
        not_seen: not_seen(job, panels, findings),
        panels: panel_lines(job, panels, findings),
        findings: finding_lines(job, panels, findings, plan),
        condition: lines_condition::condition(job, panels, findings, plan),
        grids: grid_lines,
        drying: lines_drying::drying(job, findings, plan, shop),
        classes: None,
        hours: None,
        timetable: None,
        turns: None,
        order: None,
        price: None,
        summary: None,
        conflicts: Vec::new(),
        opened: None,
        repairs: lines::repairs(job, panels, findings, plan, materials, &blocked),
        materials: Cases::from_fn(|case| lines::materials(job, shop, materials, case, &excludes)),
        paint: lines::paint(job, panels, &paint_plan, &excludes),
        shop: lines_shop::shop(job, findings, plan, shop, &blocked),
        blocks: blocked.iter().map(block_line).collect(),
        answers_given: safety::answers(&scene).into_iter().map(answer_line).collect(),
        body_mounts: safety::mounts(&scene).map(mounts_line),
        put_right: put_right(findings, plan),
        cautions: raise(&facts, &job.book, &blocked).into_iter().map(caution_line).collect(),
        assumptions: assumptions(job, panels, findings, plan, shop),
        settings: settings(&job.book, job.habits()),
        not_included: not_included(job),
        basis: BTreeMap::new(),
        rules: Vec::new(),
        needs_a_person: Vec::new(),
    };
    report.needs_a_person = needs_a_person(&report);
    report.basis = basis::of(&report);
    report.rules = basis::rules_named(&report, &job.book);
    report
}

fn head(job: &Job) -> SurveyHead {
    let survey = &job.survey;
    let conditions = [&survey.weather, &survey.light, &survey.cleaning];
    SurveyHead {
        client: survey.client.clone(),
        purpose: survey.purpose.clone(),
        author: survey.author.clone(),
        interest: survey.interest.clone(),
        access: survey.access.clone(),
        date: if survey.date.trim().is_empty() {
            survey.on.clone().unwrap_or_default()
        } else {
            survey.date.clone()
        },
        conditions: conditions
            .into_iter()
            .filter(|text| !text.is_empty())
            .cloned()
            .collect::<Vec<_>>()
            .join("; "),
        readings: readings(survey),
        body: job.body.as_ref().map(|body| body.name.clone()).unwrap_or_default(),
    }
}

fn readings(survey: &crate::model::survey::Survey) -> String {
    let mut said = vec![format!("tape held by {}", survey.people.words())];
    said.extend(survey.air_c.map(|air| format!("air {air}")));
    said.extend(survey.panel_c.map(|panel| format!("panels {panel}")));
    said.extend(survey.humidity_percent.map(|damp| format!("humidity {damp}")));
    said.extend(survey.hours_dry.map(|hours| format!("dry for {hours}")));
    if survey.wet_ground {
        said.push("ground wet".to_owned());
    }
    if let Some(meter) = &survey.meter {
        let place = if meter.reference_place.is_empty() {
            String::new()
        } else {
            format!(" at {}", meter.reference_place)
        };
        said.push(format!("meter {}, dry reference {}{place}", meter.kind, meter.reference));
    }
    said.join(", ")
}

fn not_seen(job: &Job, panels: &[PlacedPanel<'_>], findings: &[Finding<'_>]) -> Vec<String> {
    use crate::model::panel::{BackAccess, FixingState};
    let mut found: Vec<String> =
        job.survey.not_examined.iter().map(|one| format!("{}: {}", one.what, one.why)).collect();
    for panel in panels {
        let name = &panel.of.name;
        match panel.of.panel.back {
            BackAccess::Reached => {}
            BackAccess::Closed => found.push(format!("back of the {name}: cannot be reached")),
            BackAccess::NotSeen => found.push(format!("back of the {name}: nobody looked")),
            BackAccess::Unknown => found.push(format!("back of the {name}: nobody has said")),
        }
        let of_state = |state: FixingState| {
            panel
                .fixings
                .iter()
                .filter(|fixing| fixing.of.state == state)
                .map(|fixing| fixing.of.name.clone())
                .collect::<Vec<_>>()
        };
        let unseen = of_state(FixingState::NotSeen);
        if !unseen.is_empty() {
            found.push(format!("fixings of the {name}, state not seen: {}", unseen.join(", ")));
        }
        let corroded = of_state(FixingState::Corroded);
        if !corroded.is_empty() {
            found.push(format!(
                "fixings of the {name}, corroded, nobody has said how deep: {}; probe them, through is a referral",
                corroded.join(", ")
            ));
        }
        let seized = of_state(FixingState::Seized);
        if !seized.is_empty() {
            found.push(format!(
                "fixings of the {name}, seized, what is behind them cannot be seen: {}",
                seized.join(", ")
            ));
        }
    }
    for finding in findings {
        match &finding.mark().now {
            SeenNow::NotExamined => {
                found.push(format!("mark {}: not examined this time", finding.mark().id));
            }
            SeenNow::Repaired { by, .. } => {
                found.push(format!(
                    "what lies inside the repair of mark {} by {by}",
                    finding.mark().id
                ));
            }
            SeenNow::Measured | SeenNow::SeenNotMeasured => {}
        }
        if finding.mark().back.is_some_and(|back| back != BackAccess::Reached) {
            found.push(format!("back at mark {}", finding.mark().id));
        }
    }
    found.push("what paint, trim and underseal hide".to_owned());
    found
}

fn panel_lines(job: &Job, panels: &[PlacedPanel<'_>], findings: &[Finding<'_>]) -> Vec<PanelLine> {
    panels
        .iter()
        .enumerate()
        .map(|(number, panel)| {
            let marks: Vec<u32> = findings
                .iter()
                .filter(|finding| finding.placed.panel == number)
                .map(|finding| finding.mark().id)
                .collect();
            let parent = crate::damage::depth::parent(&panel.of.panel, &job.book, |_| 1.1);
            let mut regions: Vec<RegionLine> = (0..panel.of.panel.regions.len())
                .filter_map(|number| u16::try_from(number).ok())
                .map(|number| RegionLine {
                    name: panel.region_name(Some(number)),
                    area_m2: round6(panel.region_area_mm2(Some(number)) * 1e-6),
                })
                .collect();
            let rest = panel.region_area_mm2(None) * 1e-6;
            if rest > 1e-6 {
                regions.push(RegionLine { name: panel.region_name(None), area_m2: round6(rest) });
            }
            PanelLine {
                name: panel.of.name.clone(),
                file: panel.of.file.clone(),
                area_m2: round6(panel.face_area_mm2() * 1e-6),
                regions,
                material: panel.of.panel.material.words().to_owned(),
                roles: panel.of.panel.roles.iter().map(|role| role.words().to_owned()).collect(),
                glass_mm: round6(parent.glass_mm),
                glass_measured: !parent.assumed,
                marks,
            }
        })
        .collect()
}

/// What every total leaves out, with the reason.
pub(super) fn excludes(findings: &[Finding<'_>], plan: &Plan<'_>) -> Vec<Exclusion> {
    findings
        .iter()
        .zip(&plan.decisions)
        .filter_map(|(finding, decision)| {
            let reason = match decision.action {
                Action::Repair => return None,
                Action::Refer => "referred".to_owned(),
                Action::Watch if finding.is_repaired() => "repaired since".to_owned(),
                Action::Watch => "watched, not repaired".to_owned(),
                Action::Held => format!("held by referred mark {}", numbers(&decision.held_by)),
            };
            Some(Exclusion { mark: Some(finding.mark().id), reason })
        })
        .collect()
}

/// Numbers in a row of words.
#[must_use]
pub fn numbers(marks: &[u32]) -> String {
    marks.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

fn put_right(findings: &[Finding<'_>], plan: &Plan<'_>) -> Vec<PutRight> {
    let mut found: Vec<PutRight> = Vec::new();
    for (number, (finding, decision)) in findings.iter().zip(&plan.decisions).enumerate() {
        let Some((what, who)) = &finding.open_cause else { continue };
        if decision.action == Action::Refer {
            continue;
        }
        let repair = plan.repairs.iter().find(|repair| repair.findings.contains(&number));
        found.push(PutRight {
            what: what.clone(),
            who: who.words().to_owned(),
            marks: vec![finding.mark().id],
            repairs: repair.map(|repair| repair.id.clone()).into_iter().collect(),
        });
    }
    found
}

fn needs_a_person(report: &Report) -> Vec<String> {
    let mut found = Vec::new();
    let marks_with = |action: &str| {
        report
            .findings
            .iter()
            .filter(|finding| finding.action == action)
            .map(|finding| finding.mark)
            .collect::<Vec<_>>()
    };
    let mut count = |marks: &[u32], what: &str| {
        if !marks.is_empty() {
            let noun = if marks.len() == 1 { "mark" } else { "marks" };
            found.push(format!("{} {noun} {what} ({})", marks.len(), numbers(marks)));
        }
    };
    count(&marks_with("refer"), "referred");
    count(&marks_with("held"), "held");
    let fixings = report.referrals.iter().filter(|one| one.mark.is_none()).count();
    if fixings > 0 {
        let noun = if fixings == 1 { "fixing" } else { "fixings" };
        found.push(format!("{fixings} {noun} referred"));
    }
    if !report.blocks.is_empty() {
        let steps: Vec<&str> = report.blocks.iter().map(|block| block.step.as_str()).collect();
        let noun = if steps.len() == 1 { "step" } else { "steps" };
        found.push(format!("{} {noun} blocked ({})", steps.len(), steps.join(", ")));
    }
    let asking: Vec<&str> = report
        .grids
        .iter()
        .filter(|grid| !grid.to_do.is_empty())
        .map(|grid| grid.name.as_str())
        .collect();
    if !asking.is_empty() {
        found.push(format!("readings show more than was recorded ({})", asking.join(", ")));
    }
    if report.settings.iter().any(|setting| setting.weakened) {
        found.push("a safety rule was weakened".to_owned());
    }
    found
}

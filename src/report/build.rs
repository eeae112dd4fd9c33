//! Fills the report record from the figures of all rooms.

use std::collections::BTreeMap;

use super::model::*;
use super::{basis, lines};
use crate::damage::Finding;
use crate::damage::depth::Reaches;
use crate::materials::JobMaterials;
use crate::model::body::VehicleEnergy;
use crate::quantity::Cases;
use crate::read::job::Job;
use crate::repair::{Action, Plan, paint};
use crate::rules::id;
use crate::safety::{Scene, blocks, raise};
use crate::shop::plan::ShopPlan;
use crate::surface::field::DistanceField;
use crate::surface::level;
use crate::surface::marks::Form;
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
    energy: VehicleEnergy,
) -> Report {
    let scene = Scene { job, panels, findings, plan, materials, shop, energy };
    let stops = stops(panels, findings, plan);
    let referrals = referrals(panels, findings);
    let blocked: Vec<Block> = blocks(&scene)
        .into_iter()
        .map(|block| Block {
            code: block.code.to_owned(),
            step: block.step,
            why: block.why,
            way_out: block.way_out,
            marks: block.marks,
        })
        .collect();
    let excludes = excludes(findings, plan);
    let paint_plan =
        paint::plan(job.survey.topcoat, panels, findings, &plan.decisions, &plan.repairs);
    let mut report = Report {
        schema: SCHEMA,
        schema_version: SCHEMA_VERSION,
        answers: "estimate",
        files_read: job.files_read.clone(),
        survey: head(job),
        stops,
        referrals,
        not_seen: not_seen(job, panels, findings),
        panels: panel_lines(job, panels, findings),
        findings: finding_lines(panels, findings, plan),
        repairs: lines::repairs(panels, findings, plan, materials),
        materials: Cases::from_fn(|case| lines::materials(job, shop, materials, case, &excludes)),
        paint: lines::paint(job, panels, &paint_plan, &excludes),
        shop: lines::shop(plan, shop),
        blocks: blocked,
        put_right: put_right(findings, plan),
        cautions: raise(&scene)
            .into_iter()
            .map(|one| Caution {
                code: one.code.to_owned(),
                trigger: one.trigger,
                text: one.text,
                blocks: one.blocks,
            })
            .collect(),
        assumptions: assumptions(job, panels, findings, plan, shop),
        settings: settings(job),
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
        date: survey.date.clone(),
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

fn stops(panels: &[PlacedPanel<'_>], findings: &[Finding<'_>], plan: &Plan<'_>) -> Vec<Stop> {
    let mut found: BTreeMap<crate::damage::stops::Stop, Vec<u32>> = BTreeMap::new();
    for (finding, decision) in findings.iter().zip(&plan.decisions) {
        let Some(panel) = panels.get(finding.placed.panel) else { continue };
        let spoken = decision.action == Action::Refer || !finding.mark().evidence.is_empty();
        if !spoken {
            continue;
        }
        for stop in finding.stops(panel) {
            found.entry(stop).or_default().push(finding.mark().id);
        }
    }
    for panel in panels {
        for fixing in panel.fixings.iter().filter(|fixing| fixing.of.state.has_failed()) {
            let opens = panel.of.panel.roles.contains(&crate::model::panel::Role::Opens);
            for stop in crate::damage::stops::of_load(fixing.of.carries, opens, &panel.of.name) {
                found.entry(stop).or_default();
            }
        }
    }
    found
        .into_iter()
        .map(|(stop, marks)| Stop {
            text: stop.text,
            marks,
            place: stop.place,
            rule: stop.rule.to_owned(),
        })
        .collect()
}

fn referrals(panels: &[PlacedPanel<'_>], findings: &[Finding<'_>]) -> Vec<Referral> {
    let name =
        |panel: usize| panels.get(panel).map_or("", |panel| panel.of.name.as_str()).to_owned();
    let mut found: Vec<Referral> = findings
        .iter()
        .flat_map(|finding| {
            finding.judged.reasons.iter().map(|reason| Referral {
                mark: Some(finding.mark().id),
                panel: name(finding.placed.panel),
                reason: reason.text.clone(),
                rule: reason.rule.to_owned(),
                who: reason.who.to_owned(),
            })
        })
        .collect();
    for panel in panels {
        for fixing in panel.fixings.iter().filter(|fixing| fixing.of.state.has_failed()) {
            found.push(Referral {
                mark: None,
                panel: panel.of.name.clone(),
                reason: format!(
                    "{:?}, which carries: {}, is reported {}",
                    fixing.of.name,
                    fixing.of.carries.words(),
                    fixing.of.state.words()
                ),
                rule: id::REFER_FAILED_FIXING.to_owned(),
                who: crate::damage::referral::BODY_SPECIALIST.to_owned(),
            });
        }
    }
    found
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
        let seized = of_state(FixingState::Seized);
        if !seized.is_empty() {
            found.push(format!(
                "fixings of the {name}, seized, what is behind them cannot be seen: {}",
                seized.join(", ")
            ));
        }
    }
    for finding in findings {
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

fn finding_lines(
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
) -> Vec<FindingLine> {
    let mut found = Vec::new();
    for (number, (finding, decision)) in findings.iter().zip(&plan.decisions).enumerate() {
        let Some(panel) = panels.get(finding.placed.panel) else { continue };
        let (mark, placed) = (finding.mark(), &finding.placed);
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
        let mut causes: Vec<CauseLine> = Vec::new();
        if let Some((what, who)) = &finding.open_cause {
            causes.push(CauseLine { what: what.clone(), open: true, who: who.words().to_owned() });
        }
        if let Some(what) = &finding.closed_cause {
            causes.push(CauseLine { what: what.clone(), open: false, who: String::new() });
        }
        found.push(FindingLine {
            mark: mark.id,
            panel: panel.of.name.clone(),
            region: panel.region_name(tag),
            side: mark.side.words().to_owned(),
            kind: mark.kind.words().to_owned(),
            place_mm: GridMm { u: round6(at.x), v: round6(at.y) },
            place_xyz_mm: [round6(space.x), round6(space.y), round6(space.z)],
            place_error_mm: round6(placed.place_error_mm),
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
            seen: mark.evidence.iter().map(|seen| seen.words().to_owned()).collect(),
            lips_move: mark.edges_move.words().to_owned(),
            back_length_mm: mark.back_length_mm.map(|length| round6(length.value())),
            worst_per_dm2: mark.worst_per_dm2.map(round6),
            mean_per_dm2: mark.mean_per_dm2.map(round6),
            wet: finding.wet,
            reading: finding.reading.clone(),
            notes,
            as_recorded: mark.note.clone(),
        });
    }
    found
}

fn depth_words(depth: Reaches) -> String {
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
    let Form::Patch(_) = &finding.placed.form else { return (None, None) };
    let extents = &finding.extents;
    let limit_mm = extents.cases.high.grown_mm + 2.0;
    let side = panel.side(finding.mark().side);
    let Ok(field) = DistanceField::spread(&panel.mesh, side, &extents.seen.origin, limit_mm) else {
        return (None, None);
    };
    let area = |grown_mm: f64| round6(level::area_within(&field, grown_mm).area_mm2 * 1e-6);
    (Some(area(0.0)), Some(extents.cases.map(|extent| area(extent.grown_mm))))
}

/// What every total leaves out, with the reason.
fn excludes(findings: &[Finding<'_>], plan: &Plan<'_>) -> Vec<Exclusion> {
    findings
        .iter()
        .zip(&plan.decisions)
        .filter_map(|(finding, decision)| {
            let reason = match decision.action {
                Action::Repair => return None,
                Action::Refer => "referred".to_owned(),
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

fn assumptions(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
    shop: &ShopPlan,
) -> Vec<Assumption> {
    let mut found: Vec<Assumption> = Vec::new();
    let mut add = |rule: &str, text: String| {
        found.push(Assumption { text, rule: rule.to_owned() });
    };
    for panel in panels {
        let name = &panel.of.name;
        let parent = crate::damage::depth::parent(&panel.of.panel, &job.book, |_| 1.1);
        if parent.assumed {
            add(id::THICKNESS_ASSUMED, format!("{name}: {:.1} mm of glass", parent.glass_mm));
        } else if parent.taken_off_mm > 0.0 {
            add(
                id::GEL_ASSUMED,
                format!(
                    "{name}: {:.2} mm of gel coat and paint taken off the measured thickness",
                    parent.taken_off_mm
                ),
            );
        }
        for text in &panel.of.assumptions {
            add(id::GENERIC_PANEL, text.clone());
        }
    }
    for (finding, decision) in findings.iter().zip(&plan.decisions) {
        let mark = finding.mark();
        if finding.depth.assumed {
            let depth = finding.depth.cases.map(|depth| depth_words(*depth));
            add(
                id::DEPTH_ASSUMED,
                format!(
                    "mark {}: depth {} / {} / {}; a trial grind settles it",
                    mark.id, depth.low, depth.likely, depth.high
                ),
            );
        }
        for (rule, text) in &finding.placed.notes {
            add(rule, format!("mark {}: {text}", mark.id));
        }
        let back =
            panels.get(finding.placed.panel).map(|panel| mark.back.unwrap_or(panel.of.panel.back));
        let works_behind = finding.depth.full || finding.depth.through;
        if works_behind
            && decision.action == Action::Repair
            && matches!(
                back,
                Some(
                    crate::model::panel::BackAccess::NotSeen
                        | crate::model::panel::BackAccess::Unknown
                )
            )
        {
            add(
                id::BACK_UNSEEN,
                format!(
                    "mark {}: the back is taken to be within reach; nobody has looked",
                    mark.id
                ),
            );
        }
    }
    if job.shop.is_none() {
        add(id::SURVEY_CLIMATE, format!("climate taken from {}", shop.place.from));
    }
    if shop.place.room_assumed
        && let Some(room) = &shop.place.room
    {
        add(
            id::AIR_CHANGES,
            format!(
                "room of {:.0} m³ with {} air changes an hour",
                room.volume_m3, room.air_changes_h
            ),
        );
    }
    found
}

fn settings(job: &Job) -> Vec<SettingLine> {
    job.book
        .settings()
        .iter()
        .map(|setting| {
            let list = |figures: &[f64]| {
                figures.iter().map(ToString::to_string).collect::<Vec<_>>().join(" / ")
            };
            let verb = if setting.weakened { "weakened" } else { "changed" };
            let why =
                if setting.why.is_empty() { String::new() } else { format!(": {}", setting.why) };
            SettingLine {
                rule: setting.id.clone(),
                text: format!(
                    "{verb} from {} to {} {} by the user{why}",
                    list(&setting.from),
                    list(&setting.to),
                    setting.unit
                ),
                weakened: setting.weakened,
            }
        })
        .collect()
}

fn not_included(job: &Job) -> Vec<String> {
    let mut found: Vec<String> = [
        "shopping list with packs and waste",
        "cut plan and patterns",
        "hours, timetable and price",
        "filler, primer stages, abrasives, solvent and masks as quantities",
        "a check of the lay-up against the parent's stiffness",
    ]
    .map(str::to_owned)
    .to_vec();
    if let Some(prices) = &job.survey.prices {
        found.push(format!("the price file {prices}: it is named and not read"));
    }
    if !job.survey.note.is_empty() {
        found.push(format!("the survey's note, kept word for word: {}", job.survey.note));
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
        found.push(format!("{fixings} fixings referred"));
    }
    if !report.blocks.is_empty() {
        let steps: Vec<&str> = report.blocks.iter().map(|block| block.step.as_str()).collect();
        found.push(format!("{} steps blocked ({})", steps.len(), steps.join(", ")));
    }
    if report.settings.iter().any(|setting| setting.weakened) {
        found.push("a safety rule was weakened".to_owned());
    }
    found
}

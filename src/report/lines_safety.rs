//! Stops, referrals, blocks, answers, mounts and cautions as lines of the report.

use std::collections::BTreeMap;

use super::model::*;
use crate::damage::Finding;
use crate::repair::{Action, Plan};
use crate::rules::id;
use crate::safety;
use crate::surface::placed::PlacedPanel;

pub(super) fn block_line(block: &safety::Blocked) -> Block {
    Block {
        code: block.code.clone(),
        work: block.work.words().to_owned(),
        step: block.step.clone(),
        why: block.why.clone(),
        way_out: block.way_out.clone(),
        marks: block.marks.clone(),
    }
}

pub(super) fn answer_line(answer: safety::Answer) -> AnswerLine {
    AnswerLine { question: answer.question, answer: answer.answer, rule: answer.rule.to_owned() }
}

pub(super) fn mounts_line(mounts: safety::Mounts) -> BodyMounts {
    BodyMounts {
        states: mounts
            .states
            .into_iter()
            .map(|(state, mounts)| MountState {
                state: state.to_owned(),
                count: mounts.len(),
                mounts,
            })
            .collect(),
        seized_allowance: mounts.seized,
        assumed: mounts.assumed,
    }
}

pub(super) fn caution_line(one: safety::Raised) -> Caution {
    Caution {
        code: one.row.code.clone(),
        leads: one.row.leads,
        trigger: one.trigger,
        text: one.text,
        blocks: one.blocks,
        evidence: one.row.evidence.to_string(),
        source: one.row.source.clone(),
    }
}

pub(super) fn stops(
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
) -> Vec<Stop> {
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

pub(super) fn referrals(panels: &[PlacedPanel<'_>], findings: &[Finding<'_>]) -> Vec<Referral> {
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

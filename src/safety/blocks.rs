//! Steps that may not be done, timed or bought for until something is answered, tested or changed.

use super::Scene;
use super::table::{Work, cautions, filled};
use super::value::Facts;
use crate::rules::id;
use crate::shop::climate::Gate;

/// A blocked step.
#[derive(Debug, Clone, PartialEq)]
pub struct Blocked {
    /// The rule it is named by.
    pub code: String,
    /// The caution it belongs to; empty for a gate of the shop.
    pub caution: String,
    /// A gate of the shop shuts it.
    pub by_gate: bool,
    /// Every rule behind it.
    pub rules: Vec<String>,
    /// Which part of the work.
    pub work: Work,
    /// The step.
    pub step: String,
    /// Why.
    pub why: String,
    /// The way out.
    pub way_out: String,
    /// Marks concerned; empty means all.
    pub marks: Vec<u32>,
}

impl Blocked {
    /// It concerns a repair with these marks.
    #[must_use]
    pub fn concerns(&self, marks: &[u32]) -> bool {
        self.marks.is_empty() || self.marks.iter().any(|mark| marks.contains(mark))
    }
}

/// Every blocked step of a job: the shop's gates first, then what waits for an answer.
#[must_use]
pub fn blocks(scene: &Scene<'_>, facts: &Facts) -> Vec<Blocked> {
    let mut found = Vec::new();
    if !scene.plan.repairs.is_empty() {
        by_shop(scene, &mut found);
    }
    let book = &scene.job.book;
    for row in cautions().iter().filter(|row| row.raised_when.met(facts, book)) {
        for step in row.steps() {
            if step.when.as_ref().is_some_and(|when| !when.met(facts, book)) {
                continue;
            }
            let marks = step.marks.map(|fact| facts.of_marks(fact).to_vec()).unwrap_or_default();
            let marks = if step.rule == id::AIR_BLOCK { too_much_marks(scene) } else { marks };
            found.push(Blocked {
                code: step.rule.clone(),
                caution: row.code.clone(),
                by_gate: false,
                rules: vec![step.rule.clone()],
                work: step.work,
                step: filled(&step.step, facts),
                why: filled(&step.why, facts),
                way_out: filled(&step.way_out, facts),
                marks,
            });
        }
    }
    for block in &mut found {
        for text in [&mut block.step, &mut block.why] {
            *text = lower_first(text);
        }
    }
    found
}

/// A step and its reason stand inside a line.
fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_lowercase).into_iter().flatten();
    // A word in capitals stays as it is.
    if text.chars().nth(1).is_some_and(char::is_uppercase) {
        return text.to_owned();
    }
    first.chain(text.chars().skip(1)).collect()
}

fn by_shop(scene: &Scene<'_>, found: &mut Vec<Blocked>) {
    let pours = scene.shop.sittings.iter().any(|sitting| sitting.poured_kg > 0.0);
    for gate in &scene.shop.gates {
        let of_paint = gate.step == "paint";
        if let Gate::Shut { why, way_out } = &gate.gate
            && (pours || of_paint)
        {
            found.push(Blocked {
                code: gate.rules.first().copied().unwrap_or(id::CLIMATE_UNKNOWN).to_owned(),
                caution: String::new(),
                by_gate: true,
                rules: gate.rules.iter().map(|rule| (*rule).to_owned()).collect(),
                work: if of_paint { Work::Paint } else { Work::LayUp },
                step: gate.step.to_owned(),
                why: why.clone(),
                way_out: way_out.clone(),
                marks: Vec::new(),
            });
        }
    }
}

/// Marks of every repair with a sitting that is too much for the room.
fn too_much_marks(scene: &Scene<'_>) -> Vec<u32> {
    let Some(air) = &scene.shop.air else { return Vec::new() };
    let mut marks: Vec<u32> = air
        .too_much
        .iter()
        .filter_map(|number| scene.plan.repairs.get(scene.shop.sittings.get(*number)?.repair))
        .flat_map(|repair| &repair.findings)
        .filter_map(|number| Some(scene.findings.get(*number)?.mark().id))
        .collect();
    marks.sort_unstable();
    marks.dedup();
    marks
}

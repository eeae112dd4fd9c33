//! What is done now, what can wait and what is left, as lines of the report.

use super::basis;
use super::model::*;
use crate::buy::job::JobOrder;
use crate::buy::needs::Scene;
use crate::buy::shared::{Saving, UsedBoth};
use crate::repair::turn::{self, Turn, Turned};
use crate::rules::id;
use crate::shop::timetable::shared::Effort;

/// Rules behind the turns.
pub(super) const TURNS: &[&str] = &[id::TURN, id::WAIT_LOOK];
/// Rules behind what sharing saves.
pub(super) const SHARED: &[&str] = &[id::LABOUR_SETUP, id::WASTE_MIX, id::WASTE_SESSION];

const MEANWHILE: &str = "what is open in the gel coat stays open: water reaches the glass in time, and \
    frost lengthens cracks; keep it dry and under cover, and seal nothing over it while it is damp";

/// The report with the turns in it.
#[must_use]
pub fn with_turns(mut report: Report, scene: &Scene<'_, '_>, order: &JobOrder) -> Report {
    let sorted = turn::sort(scene.panels, scene.findings, scene.plan);
    let name = |number: usize| scene.plan.repairs.get(number).map(|repair| repair.id.clone());
    let line = |one: &Turned| TurnLine {
        repair: one.repair.and_then(name),
        marks: one.marks.clone(),
        fixing: one.fixing.clone(),
        panel: scene.panels.get(one.panel).map_or_else(String::new, |on| on.of.name.clone()),
        why: one.why.clone(),
    };
    let of = |turn: Turn| sorted.iter().filter(|one| one.turn == turn).map(line).collect();
    let (can_wait, leave): (Vec<TurnLine>, Vec<TurnLine>) = (of(Turn::CanWait), of(Turn::Leave));
    let idle = can_wait.is_empty() && leave.is_empty();
    let months = scene.job.book.figure(id::WAIT_LOOK);
    let said = |text: String| if idle { String::new() } else { text };
    report.turns = Some(TurnLines {
        specialist_first: of(Turn::SpecialistFirst),
        do_now: of(Turn::Now),
        can_wait,
        leave,
        meanwhile: said(MEANWHILE.to_owned()),
        look_again: said(format!(
            "before every winter and after {months:.0} months at most, in the same light; at once after a knock; longer, moving, soft, stained or damp: do it now"
        )),
        shared: order.shared.iter().map(|one| shared(one, &name)).collect(),
    });
    let mut add = |path: &str, rules: &[&str]| {
        let rules = rules.iter().map(|rule| (*rule).to_owned()).collect();
        report.basis.insert(path.to_owned(), rules);
    };
    add("turns", TURNS);
    if !order.shared.is_empty() {
        add("turns.shared", SHARED);
    }
    report.rules = basis::rules_named(&report, &scene.job.book);
    report
}

fn shared(of: &Saving, name: &dyn Fn(usize) -> Option<String>) -> SharedLine {
    let effort = |of: &Effort| EffortLine {
        sessions: of.sessions,
        setup_h: round6(of.setup_h),
        mixes: of.mixes,
        left_in_g: round6(of.left_in_g),
        days: of.days,
    };
    let ware = |one: &UsedBoth| WareSavedLine {
        what: one.ware.words().to_owned(),
        unit: one.ware.unit().words().to_owned(),
        together: round6(one.together),
        alone: round6(one.alone),
    };
    SharedLine {
        repairs: of.of.repairs.iter().filter_map(|number| name(*number)).collect(),
        after_cause: of.after_cause,
        together: effort(&of.of.together),
        alone: effort(&of.of.alone),
        wares: of.wares.iter().map(ware).collect(),
    }
}

//! What is done now, what can wait, what is left, and what a specialist sees first.
//!
//! Takes marks and the plan; gives every repair, every mark without one and every failed fixing in
//! exactly one turn, with the reasons. Doubt goes to the earlier turn (rule `TURN`): evidence is read
//! for danger only, so that no sign that was seen ever moves a mark to a later one.

use super::{Action, Plan};
use crate::damage::Finding;
use crate::damage::referral::is_drummy;
use crate::model::panel::{BackAccess, Material, Role};
use crate::model::survey::{BlisterLayer, Evidence, MarkKind, SeenNow, Tried};
use crate::model::words;
use crate::surface::placed::PlacedPanel;

words! {
/// When something has its turn, the earliest first.
Turn {
    /// A specialist looks first; it is never priced or timed here.
    SpecialistFirst => "specialist first",
    /// Now.
    Now => "do now",
    /// Later, with something to look at meanwhile.
    CanWait => "can wait",
    /// Not at all, for looks only.
    Leave => "leave",
}}

/// One thing and its turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Turned {
    /// Its turn.
    pub turn: Turn,
    /// Number of its panel.
    pub panel: usize,
    /// The repair, as a number into the plan's; none for a mark or fixing without one.
    pub repair: Option<usize>,
    /// Its marks.
    pub marks: Vec<u32>,
    /// The failed fixing, where it is one.
    pub fixing: Option<String>,
    /// Why.
    pub why: Vec<String>,
}

/// Every repair, mark and failed fixing, earliest turn first, then by panel and mark.
#[must_use]
pub fn sort(panels: &[PlacedPanel<'_>], findings: &[Finding<'_>], plan: &Plan<'_>) -> Vec<Turned> {
    let mut found = Vec::new();
    let in_repair = |number: usize| plan.repairs.iter().any(|one| one.findings.contains(&number));
    for (number, repair) in plan.repairs.iter().enumerate() {
        let marks = repair.findings.iter().filter_map(|number| findings.get(*number));
        let each: Vec<(u32, Turn, Vec<String>)> = marks
            .map(|finding| {
                let (turn, why) = of_mark(panels, finding, Action::Repair);
                (finding.mark().id, turn, why)
            })
            .collect();
        // One repair is done at once: the earliest turn of its marks is that of all of them.
        let turn = each.iter().map(|one| one.1).min().unwrap_or(Turn::Now);
        let several = each.len() > 1;
        let why = each.iter().filter(|one| one.1 == turn).flat_map(|(mark, _, why)| {
            let of = if several { format!("mark {mark}: ") } else { String::new() };
            why.iter().map(move |why| format!("{of}{why}"))
        });
        found.push(Turned {
            turn,
            panel: repair.panel,
            repair: Some(number),
            marks: each.iter().map(|one| one.0).collect(),
            fixing: None,
            why: why.collect(),
        });
    }
    for (number, (finding, decision)) in findings.iter().zip(&plan.decisions).enumerate() {
        if in_repair(number) {
            continue;
        }
        let (turn, why) = match decision.action {
            Action::Held => {
                let by: Vec<String> = decision.held_by.iter().map(ToString::to_string).collect();
                let why = format!("waits for what is said of referred mark {}", by.join(", "));
                (Turn::SpecialistFirst, vec![why])
            }
            action => of_mark(panels, finding, action),
        };
        found.push(Turned {
            turn,
            panel: finding.placed.panel,
            repair: None,
            marks: vec![finding.mark().id],
            fixing: None,
            why,
        });
    }
    for (number, panel) in panels.iter().enumerate() {
        for fixing in panel.fixings.iter().filter(|fixing| fixing.of.state.has_failed()) {
            found.push(Turned {
                turn: Turn::SpecialistFirst,
                panel: number,
                repair: None,
                marks: Vec::new(),
                fixing: Some(fixing.of.name.clone()),
                why: vec![format!("reported {}", fixing.of.state.words())],
            });
        }
    }
    found.sort_by_key(|one| (one.turn, one.panel, one.marks.first().copied().unwrap_or(u32::MAX)));
    found
}

/// The turn of one mark by itself.
fn of_mark(
    panels: &[PlacedPanel<'_>],
    finding: &Finding<'_>,
    action: Action,
) -> (Turn, Vec<String>) {
    if matches!(action, Action::Refer | Action::Held) || !finding.judged.reasons.is_empty() {
        let why = finding.judged.reasons.iter().map(|one| one.text.clone()).collect();
        return (Turn::SpecialistFirst, why);
    }
    let repaired = finding.is_repaired();
    let mut now = at_work(finding);
    if !repaired {
        now.extend(lets_in(finding));
        now.extend(structural_doubt(panels, finding));
    }
    let mark = finding.mark();
    if !now.is_empty() {
        if mark.watch_only {
            now.push("recorded as to be watched only, which it is not fit for".to_owned());
        }
        return (Turn::Now, now);
    }
    if repaired {
        return (Turn::Leave, vec!["repaired since; what lies inside was not seen".to_owned()]);
    }
    let waits = not_known(panels, finding);
    if !waits.is_empty() {
        return (Turn::CanWait, waits);
    }
    let closed = finding.closed_cause.as_deref().unwrap_or_default();
    let mut why =
        vec![format!("for looks only: not into the glass, dry; its cause is over: {closed}")];
    if mark.watch_only {
        why.push("the user only wants to watch it".to_owned());
    }
    (Turn::Leave, why)
}

/// What goes on while nobody does anything, by what was seen.
fn at_work(finding: &Finding<'_>) -> Vec<String> {
    let mark = finding.mark();
    let mut found: Vec<String> = Vec::new();
    let mut add = |is: bool, words: &str| {
        if is {
            found.push(words.to_owned());
        }
    };
    add(finding.wet || finding.reading_above, "wet");
    add(is_drummy(mark), "layers have let go or it sounds dull");
    add(mark.edges_move == Tried::Yes, "its lips move against each other");
    add(mark.now == SeenNow::NotExamined, "nobody looked at it this time");
    for one in &mark.evidence {
        // Flexes and sounds dull are said above.
        let said = matches!(one, Evidence::Drummy | Evidence::Flexes | Evidence::Wet);
        add(!said && is_danger(*one), one.words());
    }
    if let Some((what, _)) = &finding.open_cause {
        found.push(format!("its cause goes on: {what}"));
    }
    found
}

/// Signs that something goes on, lets water in or is worse than it looks.
const fn is_danger(of: Evidence) -> bool {
    !matches!(
        of,
        Evidence::Rings
            | Evidence::Parallel
            | Evidence::Radiating
            | Evidence::WorstInSun
            | Evidence::KnownBlow
            | Evidence::HardDry
            | Evidence::GelWhole
    )
}

/// Ways for water into the glass.
fn lets_in(finding: &Finding<'_>) -> Vec<String> {
    let mark = finding.mark();
    let mut found = Vec::new();
    if finding.depth.through {
        found.push("open to the back".to_owned());
    } else if finding.depth.cases.high.in_glass() {
        let word = if finding.depth.assumed { "may go" } else { "goes" };
        found.push(format!("{word} into the glass: water gets in"));
    }
    let in_paint = mark.kind == MarkKind::Blisters && mark.layer == BlisterLayer::Paint;
    if mark.kind == MarkKind::Blisters && !in_paint && !finding.wet {
        found.push("blisters, not yet known to be dry".to_owned());
    }
    if mark.kind == MarkKind::Chip
        && finding.depth.cases.high != crate::damage::depth::Reaches::Paint
    {
        found.push("the glass lies bare: water gets in".to_owned());
    }
    if mark.kind == MarkKind::OldRepair {
        found.push("what an old repair covers is not known".to_owned());
    }
    found
}

/// Doubt about what the panel carries.
fn structural_doubt(panels: &[PlacedPanel<'_>], finding: &Finding<'_>) -> Vec<String> {
    let Some(panel) = panels.get(finding.placed.panel) else { return Vec::new() };
    let over = panel.over.iter().map(|over| over.of);
    let mut found = Vec::new();
    for on in std::iter::once(panel.of).chain(over) {
        let roles = &on.panel.roles;
        for role in [Role::Unknown, Role::Stressed, Role::HoldsPeople] {
            if roles.contains(&role) {
                found.push(format!("the {}: {}", on.name, role.words()));
            }
        }
        if roles.is_empty() {
            found.push(format!("the {}: {}", on.name, Role::Unknown.words()));
        }
    }
    found.dedup();
    found
}

/// What keeps a mark in gel coat or paint from being left for good.
fn not_known(panels: &[PlacedPanel<'_>], finding: &Finding<'_>) -> Vec<String> {
    let mark = finding.mark();
    let mut found: Vec<String> = Vec::new();
    let mut add = |is: bool, words: &str| {
        if is {
            found.push(words.to_owned());
        }
    };
    let panel = panels.get(finding.placed.panel);
    let back = mark.back.or_else(|| panel.map(|panel| panel.of.panel.back));
    let material = panel.map(|panel| panel.of.panel.material);
    add(finding.closed_cause.is_none(), "its cause is not known to be over");
    add(finding.depth.assumed, "its depth is assumed");
    add(
        mark.kind.is_line() && mark.edges_move == Tried::NotTried,
        "nobody tried whether its lips move",
    );
    add(back != Some(BackAccess::Reached), "its back was not seen");
    add(mark.now == SeenNow::SeenNotMeasured, "not measured this time");
    add(mark.evidence.contains(&Evidence::WorstInSun), Evidence::WorstInSun.words());
    add(
        material.is_none_or(|of| of == Material::Unknown),
        "what the panel is made of is not known",
    );
    add(
        panel.is_none_or(|panel| panel.of.fixings_assumed),
        "what is fixed to the panel is assumed",
    );
    found
}

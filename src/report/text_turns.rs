//! What is done now, what can wait and what is left, as text.

use super::lines_turns::{SHARED, TURNS};
use super::model::*;
use super::text::{Page, of_marks};

/// The turns.
pub(crate) fn turns(page: &mut Page, report: &Report) {
    let Some(of) = &report.turns else { return };
    let lists = [
        ("a specialist first, never priced here", &of.specialist_first),
        ("do now", &of.do_now),
        ("can wait", &of.can_wait),
        ("leave", &of.leave),
    ];
    if lists.iter().all(|(_, list)| list.is_empty()) {
        return;
    }
    page.heading("DO NOW, CAN WAIT, LEAVE: each repair and mark once, doubt in the earlier list");
    let rules = page.rules(TURNS);
    page.line(2, &format!("what is left or waits is no word on what nobody could see {rules}"));
    for (words, list) in lists {
        if list.is_empty() {
            continue;
        }
        page.line(2, &format!("{words}:"));
        if list.as_ptr() == of.specialist_first.as_ptr() {
            // Why is said above, in full.
            let names: Vec<String> =
                list.iter().map(|one| format!("{}, {}", named(one), one.panel)).collect();
            page.line(4, &names.join("; "));
            continue;
        }
        for one in list {
            page.line(4, &format!("{}, {}: {}", named(one), one.panel, one.why.join("; ")));
        }
    }
    if !of.meanwhile.is_empty() {
        page.line(2, &format!("meanwhile: {}", of.meanwhile));
        page.line(2, &format!("look again: {}", of.look_again));
    }
    for one in &of.shared {
        shared(page, one);
    }
}

fn named(of: &TurnLine) -> String {
    let mut what = Vec::new();
    what.extend(of.repair.clone());
    if !of.marks.is_empty() {
        what.push(of_marks(&of.marks));
    }
    what.extend(of.fixing.as_ref().map(|name| format!("fixing {name:?}")));
    what.join(", ")
}

fn shared(page: &mut Page, of: &SharedLine) {
    let (together, alone) = (&of.together, &of.alone);
    let wares: Vec<String> = of
        .wares
        .iter()
        .map(|one| format!("{} {} for {} {}", one.what, one.together, one.alone, one.unit))
        .collect();
    let from = if of.after_cause { ", once the cause is put right" } else { "" };
    let rules = page.rules(SHARED);
    page.line(
        2,
        &format!(
            "sharing sessions ({}{from}), together against each alone one after the other: {} for {} sessions, {:.1} for {:.1} h of setting up, {} for {} pots, {:.0} for {:.0} g of resin left in pots and brushes, {} for {} days without paint; {}; filters go by hours at the work and are not saved {rules}",
            of.repairs.join(", "),
            together.sessions,
            alone.sessions,
            together.setup_h,
            alone.setup_h,
            together.mixes,
            alone.mixes,
            together.left_in_g,
            alone.left_in_g,
            together.days,
            alone.days,
            wares.join(", ")
        ),
    );
}

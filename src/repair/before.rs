//! What was decided before a mark was opened up stays decided: reasons to refer and holds are
//! carried over to the marks as found, and only ever added to.

use super::{Action, Plan};
use crate::damage::Finding;
use crate::damage::referral::Reason;

/// Adds to every mark as found the reasons and holds that it had as recorded.
///
/// What both give stands once, in the words of the mark as found.
pub fn carry_over(recorded: &[Finding<'_>], plan: &Plan<'_>, findings: &mut [Finding<'_>]) {
    for (before, decision) in recorded.iter().zip(&plan.decisions) {
        let Some(finding) =
            findings.iter_mut().find(|finding| finding.mark().id == before.mark().id)
        else {
            continue;
        };
        carry_reasons(&before.judged.reasons, &mut finding.judged.reasons);
        finding.judged.in_order();
        if decision.action == Action::Held {
            finding.held_before.clone_from(&decision.held_by);
        }
    }
}

fn carry_reasons(before: &[Reason], now: &mut Vec<Reason>) {
    let like = |one: &Reason, other: &Reason| {
        (one.rule, one.carries, &one.over) == (other.rule, other.carries, &other.over)
    };
    for (number, reason) in before.iter().enumerate() {
        // Two hinges give two reasons of one kind: as many stay as there were.
        let had = before.iter().take(number + 1).filter(|one| like(one, reason)).count();
        if now.iter().filter(|one| like(one, reason)).count() < had {
            let text = format!(
                "{}; so it was judged as recorded, and a find does not lift it",
                reason.text
            );
            now.push(Reason { text, ..reason.clone() });
        }
    }
}

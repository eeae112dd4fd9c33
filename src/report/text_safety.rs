//! Stops, referrals, what nobody saw, blocks and cautions as text.

use std::collections::BTreeSet;

use super::model::*;
use super::text::{Page, of_marks};
use crate::rules::id;

pub(super) fn stops(page: &mut Page, report: &Report) {
    page.heading("STOP");
    if report.stops.is_empty() {
        let why = if report.referrals.is_empty() {
            "nothing recorded calls for a stop; that is no roadworthiness test"
        } else {
            "nothing recorded calls for a stop beyond what goes to a specialist below; that is no roadworthiness test"
        };
        page.line(2, why);
    }
    for stop in &report.stops {
        let marks = match stop.marks.len() {
            0 => "fixing reported failed".to_owned(),
            _ => of_marks(&stop.marks),
        };
        let rules = page.rules(&[&stop.rule]);
        page.line(2, &format!("{} ({marks}) {rules}", stop.text));
    }
}

/// One entry a mark, its reasons together.
fn referral_lines(page: &mut Page, report: &Report) {
    let mut seen: BTreeSet<(Option<u32>, &str)> = BTreeSet::new();
    for first in &report.referrals {
        if !seen.insert((first.mark, &first.panel)) {
            continue;
        }
        let own: Vec<&Referral> = report
            .referrals
            .iter()
            .filter(|one| one.mark == first.mark && one.panel == first.panel)
            .collect();
        let of = first.mark.map_or_else(|| "fixing".to_owned(), |mark| format!("mark {mark}"));
        let reasons: Vec<String> =
            own.iter().map(|one| format!("{} {}", one.reason, page.rules(&[&one.rule]))).collect();
        // A test of one's own lifts its own reason only: beside any other it is no way out.
        let mut who: Vec<&str> = own.iter().map(|one| one.who.as_str()).collect();
        who.sort_unstable();
        who.dedup();
        let others: Vec<&str> =
            who.iter().copied().filter(|one| !one.starts_with("yourself")).collect();
        let who = if others.is_empty() { who } else { others };
        page.line(
            2,
            &format!("{of}, {}: {}. Ask {}", first.panel, reasons.join("; "), who.join("; and ")),
        );
    }
}

pub(super) fn referrals(page: &mut Page, report: &Report) {
    if report.referrals.is_empty() {
        return;
    }
    page.heading("GOES TO A SPECIALIST, never into a do-it-yourself list");
    referral_lines(page, report);
}

pub(super) fn not_seen(page: &mut Page, report: &Report) {
    page.heading("WHAT NOBODY COULD SEE, and this answer cannot know");
    page.line(2, "what was not seen cannot be checked, and no total below speaks for it:");
    for text in &report.not_seen {
        page.line(2, text);
    }
    mounts(page, report);
}

/// Body mounts by state.
pub(super) fn mounts(page: &mut Page, report: &Report) {
    let Some(mounts) = &report.body_mounts else { return };
    let count: usize = mounts.states.iter().map(|state| state.count).sum();
    let states: Vec<String> = mounts
        .states
        .iter()
        .map(|state| format!("{} {} ({})", state.count, state.state, state.mounts.join("; ")))
        .collect();
    let assumed = if mounts.assumed { ", some of them only assumed to be there" } else { "" };
    page.line(2, &format!("body mounts, {count} in all{assumed}: {}", states.join(", ")));
    if mounts.seized_allowance > 0 {
        let rules = page.rules(&[id::MOUNTS_SEIZED]);
        page.line(
            4,
            &format!(
                "allow for {} seized: what tears out when it is undone is a new referral and stands in no figure here {rules}",
                mounts.seized_allowance
            ),
        );
    }
}

pub(super) fn blocked(page: &mut Page, report: &Report) {
    weakened(page, report);
    if report.blocks.is_empty() {
        return;
    }
    page.heading(
        "BLOCKED until answered or changed; quantities still stand below, times and orders do not",
    );
    for block in &report.blocks {
        let marks = if block.marks.is_empty() {
            String::new()
        } else {
            format!(" ({})", of_marks(&block.marks))
        };
        let rules = page.rules(&[&block.code]);
        page.line(
            2,
            &format!("{}{marks}: {}. Way out: {} {rules}", block.step, block.why, block.way_out),
        );
    }
}

/// Safety rules that the user weakened.
fn weakened(page: &mut Page, report: &Report) {
    let weak: Vec<&SettingLine> = report.settings.iter().filter(|one| one.weakened).collect();
    if weak.is_empty() {
        return;
    }
    page.heading(
        "SAFETY RULES WEAKENED by the user: this answer is less careful than it should be",
    );
    for one in weak {
        page.line(2, &format!("{}: {}", one.rule, one.text));
    }
}

/// The cautions that come before any work.
pub(super) fn leading(page: &mut Page, report: &Report) {
    let leading: Vec<&Caution> = report.cautions.iter().filter(|one| one.leads).collect();
    if leading.is_empty() {
        return;
    }
    page.heading("BEFORE ANYTHING IS GROUND, MIXED, WARMED OR LIFTED");
    for one in leading {
        page.line(2, &format!("{} ({} {})", one.text, one.code, one.evidence));
    }
}

/// The other cautions, each with what raised it.
pub(super) fn cautions(page: &mut Page, report: &Report) {
    page.heading("CAUTIONS (check the current local limit and the product data sheet)");
    for one in report.cautions.iter().filter(|one| !one.leads) {
        let blocks = if one.blocks { "; blocks a step" } else { "" };
        page.line(
            2,
            &format!("{} ({}; {}{blocks}): {}", one.code, one.trigger, one.evidence, one.text),
        );
    }
    let leading: Vec<&str> =
        report.cautions.iter().filter(|one| one.leads).map(|one| one.code.as_str()).collect();
    if !leading.is_empty() {
        page.line(2, &format!("and those above: {}", leading.join(", ")));
    }
}

/// Codes of everything that is raised, for the short form.
pub(super) fn raised(page: &mut Page, report: &Report) {
    if report.cautions.is_empty() {
        return;
    }
    let codes: Vec<&str> = report.cautions.iter().map(|one| one.code.as_str()).collect();
    page.heading("CAUTIONS RAISED, to be read in the full answer (plymend explain CODE)");
    page.line(2, &codes.join(", "));
}

/// What the user answered.
pub(super) fn answers(page: &mut Page, report: &Report) {
    if report.answers_given.is_empty() {
        return;
    }
    page.heading("ANSWERED BY THE USER, and relied on here");
    for one in &report.answers_given {
        let rules = page.rules(&[&one.rule]);
        page.line(2, &format!("{}: {} {rules}", one.question, one.answer));
    }
}

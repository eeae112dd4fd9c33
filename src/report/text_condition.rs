//! Condition as text: how much of what, how much of the body was looked at, what is worst.

use super::model::*;
use super::text::{Page, Wide};
use crate::rules::id;

/// Quantities with their coverage.
pub(crate) fn condition(page: &mut Page, report: &Report) {
    let of = &report.condition;
    page.heading("CONDITION, as seen; what was not looked at is not sound, it is unknown");
    for side in &of.sides {
        page.line(
            2,
            &format!("{}: {}", side.side, said(side.area_m2, side.looked_at_m2, &side.quantities)),
        );
    }
    for one in &of.excludes {
        let mark = one.mark.map(|mark| format!("mark {mark} ")).unwrap_or_default();
        page.line(4, &format!("{mark}{}", one.reason));
    }
    for one in &of.panels {
        let whole = one.looked_at_m2 >= one.area_m2 - 1e-6;
        if is_clear(one) && page.wide == Wide::Usual {
            continue;
        }
        let mut text = format!(
            "{}, {}: {}",
            one.panel,
            one.side,
            said(one.area_m2, one.looked_at_m2, &one.quantities)
        );
        if let Some(share) = one.crazed_percent.filter(|share| *share > 0.0) {
            text.push_str(&format!("; crazed {} of what was looked at", percent(share)));
        }
        if !whole || page.wide == Wide::Working {
            text.push_str(&format!(" ({})", one.how));
        }
        page.line(2, &text);
        if page.wide == Wide::Working && one.regions.len() > 1 {
            for region in &one.regions {
                page.line(
                    4,
                    &format!("{}: {}", region.region, words(&region.quantities).join(", ")),
                );
            }
        }
    }
    for (side, words) in [("outer side", "outer sides"), ("back", "backs")] {
        let clear: Vec<&str> = of
            .panels
            .iter()
            .filter(|one| one.side == side && is_clear(one))
            .map(|one| one.panel.as_str())
            .collect();
        if !clear.is_empty() && page.wide == Wide::Usual {
            page.line(2, &format!("{words} looked at, no mark recorded: {}", clear.join("; ")));
        }
    }
    page.line(2, "an outer side counts as looked at where nothing else is said, a back only where the panel or the survey says so");
}

fn is_clear(one: &PanelCondition) -> bool {
    words(&one.quantities).is_empty() && one.looked_at_m2 >= one.area_m2 - 1e-6
}

fn percent(share: f64) -> String {
    if share < 1.0 { "under 1 %".to_owned() } else { format!("{share:.0} %") }
}

fn said(area_m2: f64, looked_at_m2: f64, quantities: &QuantitiesLine) -> String {
    let unseen_m2 = area_m2 - looked_at_m2;
    let seen = if unseen_m2 < 5e-4 {
        format!("{area_m2:.2} m², all looked at")
    } else if looked_at_m2 < 5e-4 {
        format!("{area_m2:.2} m², none of it looked at")
    } else {
        format!("{area_m2:.2} m², {looked_at_m2:.2} m² looked at, {unseen_m2:.2} m² not")
    };
    let found = words(quantities);
    if found.is_empty() {
        let none = if looked_at_m2 < 5e-4 { "" } else { "; no mark recorded" };
        return format!("{seen}{none}");
    }
    format!("{seen}; {}", found.join(", "))
}

fn words(of: &QuantitiesLine) -> Vec<String> {
    let mut found = Vec::new();
    for (length_m, what) in
        [(of.cracks_m, "of cracks"), (of.traced_m, "of lines traced in patches")]
    {
        if length_m > 0.0 {
            found.push(format!("{length_m:.2} m {what}"));
        }
    }
    for (area_m2, what) in [
        (of.crazed_m2, "crazed"),
        (of.drummy_m2, "dull"),
        (of.blistered_m2, "blistered"),
        (of.old_repair_m2, "of old repairs"),
        (of.wet_m2, "wet"),
        (of.hole_m2, "of holes"),
        (of.chipped_m2, "chipped"),
        (of.other_m2, "of another kind"),
    ] {
        if area_m2 > 0.0 {
            found.push(format!("{area_m2:.4} m² {what}"));
        }
    }
    found.extend(of.worst_per_dm2.map(|count| format!("{count:.0} blisters per dm² at worst")));
    found
        .extend(of.mean_per_dm2.map(|count| format!("{count:.0} per dm² over the counted fields")));
    found
}

/// All marks, worst first.
pub(crate) fn worst_first(page: &mut Page, report: &Report) {
    let of = &report.condition.worst_first;
    if of.is_empty() {
        return;
    }
    page.heading("WORST FIRST, with the reasons");
    let mut band = "";
    for one in of {
        if one.band != band {
            band = &one.band;
            page.line(2, &format!("{band}:"));
        }
        let mut reasons: Vec<&str> = one.reasons.iter().map(String::as_str).collect();
        let more = reasons.len().saturating_sub(2);
        if page.wide == Wide::Usual {
            reasons.truncate(2);
        }
        let more = if more > 0 && page.wide == Wide::Usual {
            format!("; and {more} more")
        } else {
            String::new()
        };
        page.line(
            4,
            &format!(
                "mark {}, {}, {}: {}{more}",
                one.mark,
                one.panel,
                one.kind,
                reasons.join("; ")
            ),
        );
    }
}

/// How a mark's lines lie and what it is consistent with.
pub(crate) fn of_mark(page: &mut Page, one: &FindingLine) {
    if let Some(pattern) = &one.pattern {
        let mut text = format!("pattern: {}, by {}", pattern.pattern, pattern.told_by);
        if let (Some(share), Some(way)) = (pattern.eigenvalues, pattern.direction_deg) {
            text.push_str(&format!(
                "; {:.0} % of the length runs one way, at {way:.0}° on the laid-flat skin",
                100.0 * share[0]
            ));
        }
        if let (Some(at), Some(miss)) = (pattern.centre_mm, pattern.centre_miss_mm) {
            text.push_str(&format!("; centre u {:.0} v {:.0}, missed by {miss:.0} mm", at.u, at.v));
        }
        if let (Some(per), Some(apart)) = (pattern.crack_m_per_m2, pattern.spacing_mm) {
            text.push_str(&format!("; {per:.1} m of crack per m², about {apart:.0} mm apart"));
        }
        if pattern.spacing_mm.is_some() {
            let rules = page.rules(&[id::LINE_SPACING]);
            text = format!("{text} {rules}");
        }
        page.line(5, &text);
    }
    let shown = if page.wide == Wide::Working { usize::MAX } else { 1 };
    for candidate in one.candidates.iter().take(shown) {
        let mut text =
            format!("consistent with {} ({})", candidate.consistent_with, candidate.evidence);
        for (word, list) in [
            ("decided by", &candidate.decided_by),
            ("for it", &candidate.speaks_for),
            ("against it", &candidate.speaks_against),
        ] {
            if !list.is_empty() {
                text.push_str(&format!("; {word}: {}", list.join(", ")));
            }
        }
        page.line(5, &format!("{text}. Next look: {}", candidate.next_look));
    }
    let more: Vec<&str> =
        one.candidates.iter().skip(shown).map(|one| one.consistent_with.as_str()).collect();
    if !more.is_empty() {
        page.line(5, &format!("less so with: {}", more.join("; ")));
    }
    if one.candidates.is_empty() && one.causes.is_empty() && one.kind != "old repair" {
        page.line(5, "no cause recorded, and nothing recorded points to one");
    }
}

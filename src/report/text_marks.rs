//! Marks as text.

use super::build::numbers;
use super::model::*;
use super::text::Page;
use super::text_condition;
use crate::rules::id;

/// Every mark.
pub(crate) fn marks(page: &mut Page, report: &Report) {
    page.heading("MARKS: as seen, then as they may be found (low / likely / high)");
    for one in &report.findings {
        let size = match (one.length_mm, &one.grown_length_mm, one.area_m2, &one.grown_area_m2) {
            (Some(seen), Some(grown), _, _) => format!(
                "{seen:.0} mm long, {:.0} / {:.0} / {:.0} mm",
                grown.low, grown.likely, grown.high
            ),
            (_, _, Some(seen), Some(grown)) => format!(
                "{seen:.4} m², {:.4} / {:.4} / {:.4} m²",
                grown.low, grown.likely, grown.high
            ),
            _ => "no size".to_owned(),
        };
        let assumed = if one.depth_assumed { ", depth assumed" } else { "" };
        let depth = if one.depth.low == one.depth.high {
            one.depth.low.clone()
        } else {
            format!("{} / {} / {}", one.depth.low, one.depth.likely, one.depth.high)
        };
        let action = match one.action.as_str() {
            "held" => format!("HELD by mark {}", numbers(&one.held_by)),
            "repair" => format!("repair {}", one.repair.clone().unwrap_or_default()),
            "refer" => "REFER".to_owned(),
            other => other.to_owned(),
        };
        page.line(
            2,
            &format!(
                "{:>2} {}, {}, {}: {} at u {:.0} v {:.0} {}; {size}; {depth}{assumed}; {action}",
                one.mark,
                one.panel,
                one.region,
                one.side,
                one.kind,
                one.place_mm.u,
                one.place_mm.v,
                place_error(one)
            ),
        );
        for cause in &one.causes {
            let state = if cause.open { "cause, still at work" } else { "cause, closed" };
            page.line(5, &format!("{state}: {}", cause.what));
        }
        let mut seen = one.seen.clone();
        if one.lips_move != "not tried" {
            seen.push(format!("lips move: {}", one.lips_move));
        }
        seen.extend(one.back_length_mm.map(|length| format!("{length:.0} mm long on the back")));
        seen.extend(one.worst_per_dm2.map(|count| format!("worst {count} blisters per dm²")));
        seen.extend(one.mean_per_dm2.map(|count| format!("mean {count} blisters per dm²")));
        if !seen.is_empty() {
            page.line(5, &format!("seen: {}", seen.join(", ")));
        }
        text_condition::of_mark(page, one);
        if let Some(reading) = &one.reading {
            page.line(5, reading);
        }
        for note in &one.notes {
            let rules = page.rules(&[&note.rule]);
            page.line(5, &format!("{} {rules}", note.text));
        }
        if !one.as_recorded.is_empty() {
            page.line(5, &format!("as recorded: {}", one.as_recorded));
        }
    }
    let rules = page.rules(&[id::MOVE_CAP, id::GROW_STRAIGHT, id::DEPTH_ASSUMED]);
    page.line(
        2,
        &format!("growth by kind of mark, the larger of a factor and a least move: rules GROW-... and MOVE-... below {rules}"),
    );
}

/// How good a place is; both ways where it is clearly longer one way.
pub(super) fn place_error(one: &FindingLine) -> String {
    let ellipse = one.place_ellipse;
    let all = format!("± {:.0} mm", one.place_error_mm);
    if ellipse.long_mm < 1.5 * ellipse.short_mm {
        return all;
    }
    format!(
        "{all} ({:.0} mm at {:.0}° from u, {:.0} mm across that)",
        ellipse.long_mm, ellipse.angle_deg, ellipse.short_mm
    )
}

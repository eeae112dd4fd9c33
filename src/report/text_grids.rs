//! Grids of readings as text.

use super::model::*;
use super::text::{Page, three};
use crate::rules::id;

/// Every grid.
pub(crate) fn grids(page: &mut Page, report: &Report) {
    if report.grids.is_empty() {
        return;
    }
    page.heading("GRIDS OF READINGS; nothing is known of what lies between two readings");
    for one in &report.grids {
        let word = if one.what == "tapped" { "dull" } else { "above the dry reference" };
        let mark = one.mark.map(|mark| format!(", mark {mark}")).unwrap_or_default();
        let mut text = format!(
            "{} ({}, {}{mark}), {}, {:.0} mm apart: {} of {} readings {word}",
            one.name, one.panel, one.side, one.what, one.pitch_mm, one.above, one.taken
        );
        if let (Some(worst), Some(mean)) = (one.worst, one.mean) {
            text.push_str(&format!("; highest {worst:.0}, mean {mean:.0}"));
        }
        if let Some(area) = &one.area_m2 {
            let area = three(area.low, area.likely, area.high, 4, "m²", one.at_edge);
            let rules = page.rules(&[id::GRID_DOUBT]);
            text.push_str(&format!("; {area} {rules}"));
        }
        if let Some(why) = &one.not_used {
            let rules = page.rules(&[id::METER_DRY]);
            text.push_str(&format!("; {why}: kept, not used {rules}"));
        }
        page.line(2, &text);
        for to_do in &one.to_do {
            page.line(4, to_do);
        }
    }
}

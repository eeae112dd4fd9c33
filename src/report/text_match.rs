//! How a repair matches its parent, as text.

use super::model::*;
use super::text::Page;
use crate::rules::id;

/// One line a repair, for the high case; more where something is outside its limits in any case.
pub(crate) fn parent_match(page: &mut Page, one: &RepairLine) {
    let cases = [&one.scenarios.low, &one.scenarios.likely, &one.scenarios.high];
    let Some(high) = &one.scenarios.high.parent_match else { return };
    let mut text = format!(
        "against the skin round it (high): {:.2} times as thick, {:.2} times as stiff in its plane",
        high.thickness_ratio, high.membrane_ratio
    );
    if let Some(ratio) = high.bending_ratio {
        text.push_str(&format!(
            ", {ratio:.2} times as stiff in bending inside the edge of the backing as outside"
        ));
    }
    if high.parent_assumed {
        text.push_str("; the skin's plies are not known and taken as mat");
    }
    let rules =
        page.rules(&[id::MATCH_MEMBRANE_LEAST, id::MATCH_THICKNESS_LEAST, id::MATCH_BACKING]);
    page.line(5, &format!("{text} {rules}"));
    let mut said: Vec<&String> = Vec::new();
    for outside in cases.into_iter().filter_map(|case| case.parent_match.as_ref()) {
        for text in &outside.outside {
            if !said.contains(&text) {
                page.line(7, &format!("does not match: {text}"));
                said.push(text);
            }
        }
    }
}

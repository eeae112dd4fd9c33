//! How each repair is done, as text: every method once, with the repairs it serves.

use super::model::*;
use super::text::{Page, Wide};

/// The section.
pub(crate) fn methods(page: &mut Page, report: &Report) {
    if report.repairs.iter().all(|repair| repair.steps.is_empty()) {
        return;
    }
    page.heading("HOW EACH IS DONE (after each step the check that has to pass before the next)");
    let mut titles: Vec<&str> = Vec::new();
    for step in report.repairs.iter().flat_map(|repair| &repair.steps) {
        if !titles.contains(&step.method.as_str()) {
            titles.push(&step.method);
        }
    }
    for title in titles {
        method(page, report, title);
    }
}

fn method(page: &mut Page, report: &Report, title: &str) {
    let of = |repair: &RepairLine| -> Vec<StepLine> {
        repair.steps.iter().filter(|step| step.method == title).cloned().collect()
    };
    let mut serves: Vec<String> = Vec::new();
    // Steps that differ between repairs, by resin or side, are said once each.
    let mut said: Vec<(StepLine, Vec<(String, String)>)> = Vec::new();
    for repair in &report.repairs {
        let steps = of(repair);
        let Some(first) = steps.first() else { continue };
        let deeper = if first.only_if_deeper { " if it goes deeper" } else { "" };
        serves.push(format!("{}{deeper}", repair.id));
        for step in steps {
            let blocks: Vec<(String, String)> =
                step.blocked_by.iter().map(|code| (code.clone(), repair.id.clone())).collect();
            let same = said.iter_mut().find(|(known, _)| {
                known.text == step.text && known.check == step.check && known.side == step.side
            });
            match same {
                Some((_, known)) => known.extend(blocks),
                None => said.push((step, blocks)),
            }
        }
    }
    page.line(2, &format!("{title}: {}", serves.join(", ")));
    for (step, blocks) in &said {
        let side = if step.side == "back" { " (back)" } else { "" };
        page.line(4, &format!("{}{side}: {} Check: {}.", step.step, step.text, step.check));
        let mut codes: Vec<&str> = blocks.iter().map(|(code, _)| code.as_str()).collect();
        codes.sort_unstable();
        codes.dedup();
        for code in codes {
            let repairs: Vec<&str> = blocks
                .iter()
                .filter(|(known, _)| known == code)
                .map(|(_, repair)| repair.as_str())
                .collect();
            page.line(6, &format!("BLOCKED until answered, {code}: {}", repairs.join(", ")));
        }
        if page.wide == Wide::Working {
            let ids: Vec<&str> = step.rules.iter().map(String::as_str).collect();
            let rules = if ids.is_empty() { String::new() } else { page.rules(&ids) };
            page.line(6, format!("{}: {} {rules}", step.evidence, step.source).trim_end());
        }
    }
    let mut not_to: Vec<&str> = report
        .repairs
        .iter()
        .flat_map(|repair| &repair.when_not_to)
        .filter_map(|text| text.strip_prefix(title)?.strip_prefix(": "))
        .collect();
    let mut seen: Vec<&str> = Vec::new();
    not_to.retain(|text| {
        !seen.contains(text) && {
            seen.push(text);
            true
        }
    });
    page.line(4, &format!("Not where: {}.", not_to.join("; ")));
}

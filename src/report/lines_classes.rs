//! Classes of published standards as lines of the report and as text.

use super::model::*;
use super::text::Page;
use crate::damage::Finding;
use crate::damage::classes;

/// The lines.
#[must_use]
pub fn lines(findings: &[Finding<'_>]) -> Vec<ClassLine> {
    classes::of_findings(findings)
        .into_iter()
        .map(|one| ClassLine {
            mark: one.mark,
            standard: one.standard,
            class: one.class,
            basis: one.basis,
            evidence: one.evidence.to_string(),
        })
        .collect()
}

/// The same as text.
pub(crate) fn text(page: &mut Page, report: &Report) {
    let Some(of) = &report.classes else { return };
    page.heading(
        "CLASSES OF STANDARDS, FOR COMPARISON ONLY: from memory, compare with a copy first",
    );
    for one in of {
        let class = one.class.as_deref().unwrap_or("no class");
        page.line(
            2,
            &format!(
                "mark {}, {}: {class} ({}; {})",
                one.mark, one.standard, one.basis, one.evidence
            ),
        );
    }
    if of.is_empty() {
        page.line(2, "no mark of a kind that these standards class");
    }
}

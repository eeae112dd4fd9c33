//! Changes of the survey as text: the user's words in double quotes, none of them changed.

use super::model::*;
use super::text::{Page, Wide};

/// What was changed after the survey was first written; for those who weigh the survey.
pub(crate) fn amendments(page: &mut Page, report: &Report) {
    let weighed = report.answers == "assess" || page.wide == Wide::Working;
    if report.amendments.is_empty() || !weighed {
        return;
    }
    page.heading("AMENDED after it was first written, in the words of the survey");
    for one in &report.amendments {
        page.line(2, &said(one));
    }
}

fn said(one: &AmendmentLine) -> String {
    let mark = one.mark.map_or_else(String::new, |mark| format!("mark {mark}, "));
    let change = match (one.was.is_empty(), one.now.is_empty()) {
        (true, true) => String::new(),
        (false, true) => format!("; was \"{}\"", one.was),
        (true, false) => format!("; now \"{}\"", one.now),
        (false, false) => format!("; was \"{}\", now \"{}\"", one.was, one.now),
    };
    format!("{mark}\"{}\"{change}; \"{}\", by \"{}\"", one.what, one.date, one.by)
}

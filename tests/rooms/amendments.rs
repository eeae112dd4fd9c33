//! What was changed in a survey is kept word for word, and named where the survey is weighed.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use plymend::diagnostic::Diagnostic;
use plymend::read::Job;
use plymend::read::job::{Named, TextFolder, job};
use plymend::report::text::{Wide, full, quote};

const AMENDED: &str = r#"
    (date: "2 November 2024", by: "the yard", what: "length, taped anew", mark: 5, was: "140 mm", now: "160 mm"),
    (date: "3 November", by: "the yard", what: "  the lamp was \"raking\" after all "),"#;

fn read(amendments: &str) -> Result<Job, Vec<Diagnostic>> {
    let text = format!(
        "(format: 1,\n amendments: [{amendments}],\n panels: [(name: \"lid\", generic: \"lid\")],\n \
         marks: [(id: 5, panel: \"lid\", kind: gel_crack, depth: gel, edges_move: no, place: On(400, \
         300), shape: Line(length_mm: 160, direction: Angle(0)))])"
    );
    job(&TextFolder::from([("survey.ron", text.as_str())]), "survey.ron", &Named::default())
}

/// The text without its line breaks.
fn flowing(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn amendments_are_kept_word_for_word() {
    let read = read(AMENDED).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let report = plymend::assess(&read, false).unwrap();
    let one = &report.amendments[0];
    assert_eq!(
        (one.date.as_str(), one.by.as_str(), one.mark),
        ("2 November 2024", "the yard", Some(5))
    );
    assert_eq!(
        (one.what.as_str(), one.was.as_str(), one.now.as_str()),
        ("length, taped anew", "140 mm", "160 mm")
    );
    assert_eq!(report.amendments[1].what, "  the lamp was \"raking\" after all ");
    assert_eq!(report.amendments[1].mark, None);
    let told = "mark 5, \"length, taped anew\"; was \"140 mm\", now \"160 mm\"; \"2 November 2024\", by \
                \"the yard\"";
    assert!(flowing(&full(&report, Wide::Usual)).contains(told), "{}", full(&report, Wide::Usual));
    let report = plymend::estimate(&read).unwrap();
    assert_eq!(report.amendments.len(), 2);
    assert!(flowing(&full(&report, Wide::Working)).contains(told));
    // The page for those who do the work says nothing of it, nor does an unchanged survey.
    assert!(!full(&report, Wide::Usual).contains("AMENDED"));
    assert!(!quote(&report).contains("AMENDED"));
    let plain = plymend::assess(&self::read("").unwrap(), false).unwrap();
    assert!(plain.amendments.is_empty() && !full(&plain, Wide::Usual).contains("AMENDED"));
}

#[test]
fn an_amendment_of_nothing_is_refused() {
    let faults = read("(date: \"May\", by: \"us\", what: \"x\", mark: 6)").unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:#?}");
    let fault = &faults[0];
    assert_eq!((fault.code, fault.field.as_str()), ("READ-NAME-UNKNOWN", "amendments[0].mark"));
    assert_eq!(fault.place.map(|place| place.line), Some(2));
    assert!(fault.problem.contains("mark 6") && fault.accepted == "5", "{fault}");
    let faults = read("(date: \"\", by: \" \", what: \"\")").unwrap_err();
    let fields: Vec<&str> = faults.iter().map(|fault| fault.field.as_str()).collect();
    assert_eq!(fields, ["amendments[0].date", "amendments[0].by", "amendments[0].what"]);
}

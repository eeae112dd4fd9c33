//! The drying log through a whole job: what the go-ahead lifts and what it never does, and what a
//! log that does not fit is told.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use plymend::diagnostic::Diagnostic;
use plymend::read::job::{Named, TextFolder, job};
use plymend::report::model::Report;
use plymend::report::text::{self, Wide};

const PANEL: &str = "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1600, width_mm: 900),
    laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [skin], back: reached,
    fixings: Listed([(name: \"mount\", at: (1500, 450), carries: body_mount, state: sound)]))";

const METER: &str = "meter: (kind: \"relative scale\", reference: 9, step: 1),";

fn tried(meter: &str, log: &str) -> Result<Report, Vec<Diagnostic>> {
    // Mark 2 lies wet beside a body mount.
    let survey = format!(
        "(format: 1, {meter} drying: \"drying.ron\", air_c: 20, humidity_percent: 50,
          panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [
          (id: 1, panel: \"sheet\", kind: blisters, layer: gel, evidence: [wet], place: On(300, 450),
           shape: Patch(length_mm: 200, width_mm: 120)),
          (id: 2, panel: \"sheet\", kind: blisters, layer: gel, evidence: [wet], place: On(1350, 450),
           shape: Patch(length_mm: 100, width_mm: 80))])"
    );
    let texts = TextFolder::from([
        ("survey.ron", survey.as_str()),
        ("sheet.ron", PANEL),
        ("drying.ron", log),
    ]);
    plymend::estimate(&job(&texts, "survey.ron", &Named::default())?)
}

fn log(mark: u32, readings: &[f64]) -> String {
    let line = |(number, reading): (usize, &f64)| {
        format!(
            "(mark: {mark}, at: \"2024-11-{:02} 09:00\", reading: {reading:?}, reference: 9,
              hours_dry: 96, air_c: 18, humidity_percent: 50)",
            1 + 3 * number
        )
    };
    let lines: Vec<String> = readings.iter().enumerate().map(line).collect();
    format!("(format: 1, survey: \"survey.ron\", readings: [{}])", lines.join(", "))
}

fn worked(log: &str) -> Report {
    tried(METER, log).unwrap_or_else(|faults| panic!("{}", faults[0]))
}

fn waits(report: &Report, mark: u32) -> bool {
    let repair = report.repairs.iter().find(|one| one.marks.contains(&mark)).expect("a repair");
    repair.waits_for.iter().any(|wait| wait.contains("wet"))
}

#[test]
fn three_dry_readings_lift_the_wait_of_their_mark_and_nothing_else() {
    let wet = worked(&log(1, &[20.0, 15.0, 12.0]));
    assert!(waits(&wet, 1));
    let of = &wet.drying.as_ref().unwrap().marks[0];
    assert!(!of.go_ahead && of.wanting.contains("meter's step") && of.trend == "falling");
    let dry = worked(&log(1, &[20.0, 10.0, 9.0, 9.0]));
    assert!(!waits(&dry, 1));
    let of = &dry.drying.as_ref().unwrap().marks[0];
    assert_eq!(of.by, ["2024-11-04 09:00", "2024-11-07 09:00", "2024-11-10 09:00"]);
    // It counts as wet in the condition all the same: that is what the survey found.
    assert!(dry.condition.body.quantities.wet_m2 > 0.0);
    let caution = |report: &Report| {
        report
            .cautions
            .iter()
            .any(|one| one.text.contains("marks 1") || one.text.contains("mark 1"))
    };
    assert!(caution(&wet), "the caution names the mark that waits");
    assert!(text::full(&dry, Wide::Usual).contains("may be closed, by the readings of"));
    assert!(text::full(&wet, Wide::Usual).contains("NOT YET to be closed"));
}

#[test]
fn a_dry_log_lifts_no_referral() {
    let dry = worked(&log(2, &[9.0, 9.0, 9.0]));
    let mark = dry.findings.iter().find(|one| one.mark == 2).unwrap();
    assert_eq!(mark.action, "refer", "wet beside a body mount when it was surveyed");
    let of = dry.drying.as_ref().unwrap();
    let of = of.marks.iter().find(|one| one.mark == 2).unwrap();
    assert!(!of.go_ahead && of.wanting.contains("specialist all the same"), "{}", of.wanting);
    assert!(of.expected.is_none(), "and it gets no times");
    assert!(!text::full(&dry, Wide::Usual).contains("may be closed, by the readings"));
}

#[test]
fn times_are_ends_of_a_range_and_shorter_with_both_faces_open() {
    let report = worked(&log(1, &[20.0]));
    let drying = report.drying.unwrap();
    let time = drying.marks[0].expected.as_ref().unwrap();
    // By hand, 3 mm at 20 C to a tenth: D t / h2 0.212 with both faces open, at 1e-12 and 1e-13 m2/s
    // 22.1 and 221 days (the series after Crank 1975).
    assert!((time.both_faces_days[0] - 22.1).abs() < 0.1, "{:?}", time.both_faces_days);
    assert!((time.both_faces_days[1] - 221.0).abs() < 1.0);
    assert!((time.one_face_days[1] / time.both_faces_days[1] - 4.0).abs() < 1e-3);
}

#[test]
fn a_log_that_does_not_fit_is_told_where_and_why() {
    let told = |meter: &str, log: &str| -> String {
        let faults = tried(meter, log).expect_err("refused");
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    };
    let one = |fields: &str| format!("(format: 1, survey: \"survey.ron\", readings: [({fields})])");
    let good = "mark: 1, at: \"2024-11-04 09:00\", reading: 9, reference: 9";
    for (log, words) in [
        (one(&good.replace("mark: 1", "mark: 9")), "readings[0].mark"),
        (one(&good.replace("2024-11-04 09:00", "2024-02-30 09:00")), "READ-MOMENT"),
        (one(&good.replace("2024-11-04 09:00", "Monday")), "year-month-day hour:minute"),
        (one(&good.replace("reading: 9,", "reading: -4,")), "less than nothing"),
        (one(&good.replace("reference: 9", "reference: NaN")), "not a number"),
        (one(&format!("{good}, humidity_percent: 140")), "readings[0].humidity_percent"),
        (one(good).replace("survey.ron", "survey-b.ron"), "READ-OTHER-SURVEY"),
        ("(format: 1, survey: \"survey.ron\", readings: [])".to_owned(), "READ-NOTHING"),
        ("(format: 2, survey: \"survey.ron\", readings: [])".to_owned(), "format"),
        (
            format!("(format: 1, survey: \"survey.ron\", readings: [({good}), ({good})])"),
            "two readings",
        ),
    ] {
        let text = told(METER, &log);
        assert!(text.contains(words), "{words}: {text}");
        assert!(text.contains("drying.ron, line 1"), "{text}");
    }
    assert!(told("", &one(good)).contains("READ-METER"));
}

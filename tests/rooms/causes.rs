//! Causes from signs: each cause of the table stands first where its deciding reading is there, and
//! no longer where that one reading is taken away. The marks are made up; that a sign speaks for a
//! cause is common practice, as the table says, and no test can show that it is true.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::collections::BTreeSet;

use plymend::damage::cause;
use plymend::read::job::{Named, TextFolder, job};
use plymend::report::model::{FindingLine, Report};
use plymend::report::text::{self, Wide};

const PANEL: &str = "(
  format: 1, name: \"sheet\", surface: Flat(length_mm: 1000, width_mm: 800),
  laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [skin], back: reached,
  fixings: Listed([(name: \"bolt\", at: (100, 100), carries: bracket, state: sound)]),
  strips: [(name: \"rib\", outline: [(600, 300), (640, 300), (640, 700), (600, 700)])],
)";

fn worked(marks: &str) -> Report {
    let survey = format!(
        "(format: 1, air_c: 20, humidity_percent: 50, hours_dry: 100,
          meter: (kind: \"relative scale\", reference: 9),
          panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [{marks}])"
    );
    let texts = TextFolder::from([("survey.ron", survey.as_str()), ("sheet.ron", PANEL)]);
    let job = job(&texts, "survey.ron", &Named::default()).expect("whole");
    plymend::estimate(&job).expect("worked out")
}

fn first(marks: &str) -> FindingLine {
    worked(marks).findings.into_iter().find(|one| one.mark == 1).expect("mark 1")
}

fn top(marks: &str) -> Option<String> {
    first(marks).candidates.first().map(|one| one.cause.clone())
}

/// Far from the bolt, the rib and the edges.
const AWAY: &str = "place: On(350, 500), shape: Patch(length_mm: 80, width_mm: 60)";
const AT_BOLT: &str =
    "place: On(150, 100), shape: Line(length_mm: 60, direction: Toward(\"bolt\"))";
const OVER_RIB: &str = "place: On(620, 500), shape: Patch(length_mm: 160, width_mm: 120)";
const ALONG_RIB: &str = "lines: [
  [On(570, 450), On(571, 540)], [On(585, 460), On(584, 530)], [On(598, 450), On(598, 545)],
  [On(643, 455), On(644, 540)], [On(655, 450), On(655, 530)], [On(672, 460), On(671, 545)]],";
const OLD_BESIDE: &str = ", (id: 2, panel: \"sheet\", kind: old_repair, place: On(350, 500), \
                          shape: Patch(length_mm: 100, width_mm: 100))";

/// Cause, the mark with its deciding reading, the same without.
fn cases() -> Vec<(&'static str, String, String)> {
    let of = |kind: &str, with: &str, without: &str, place: &str| {
        let mark =
            |evidence: &str| format!("(id: 1, panel: \"sheet\", kind: {kind}, {evidence} {place})");
        (mark(with), mark(without))
    };
    let seen = |kind: &str, with: &str, without: &str, place: &str| {
        of(kind, &format!("evidence: [{with}],"), &format!("evidence: [{without}],"), place)
    };
    let beside = "place: On(420, 500)";
    let rim = |direction: &str| {
        format!(
            "(id: 1, panel: \"sheet\", kind: gel_crack, evidence: [came_back], {beside}, \
             shape: Line(length_mm: 60, direction: {direction})){OLD_BESIDE}"
        )
    };
    let blister = "(id: 1, panel: \"sheet\", kind: blisters, evidence: [wet], \
                   place: On(460, 500), shape: Patch(length_mm: 80, width_mm: 60))";
    let wide = "place: On(320, 500), shape: Patch(length_mm: 500, width_mm: 400)";
    let mut found = Vec::new();
    let mut add = |cause, (with, without)| found.push((cause, with, without));
    add(
        "FITTING-LOAD",
        seen("gel_crack", "no_spreader, opens_when_worked", "no_spreader", AT_BOLT),
    );
    add("FITTING-CLAMP", seen("gel_crack", "no_spreader", "", AT_BOLT));
    add(
        "STIFF-LINE",
        of("crazing", &format!("evidence: [flexes], {ALONG_RIB}"), "evidence: [flexes],", OVER_RIB),
    );
    add("OLD-REPAIR-RIM", (rim("Angle(90)"), rim("unknown")));
    add(
        "MOVES-BENEATH",
        seen("gel_crack", "came_back", "", "place: On(350, 500), shape: Line(length_mm: 60)"),
    );
    let blow = "known_blow, broken_fibre";
    add("BLOW-BEHIND", seen("star", &format!("{blow}, radiating"), blow, AWAY));
    add("BLOW-FRONT", seen("star", &format!("{blow}, rings"), blow, AWAY));
    add("BLOW", seen("star", blow, "broken_fibre", AWAY));
    add("THICK-GEL", of("crazing", "gel_mm: 0.9,", "", AWAY));
    add("AGE", seen("crazing", "worst_in_sun", "", wide));
    add("PANEL-FLEXES", seen("crazing", "flexes", "", AWAY));
    add("HEAT", seen("crazing", "heat_near", "", AWAY));
    add("OSMOSIS", seen("blisters", "sour_smell, clear_water", "clear_water", AWAY));
    add(
        "DAMP-PAINTING",
        seen("blisters", "heat_near, gel_whole, clear_water", "heat_near, gel_whole", AWAY),
    );
    add("SOLVENT", seen("blisters", "gel_whole, solvent_smell", "gel_whole", AWAY));
    add("AIR-VOIDS", of("blisters", "layer: gel, evidence: [hard_dry],", "layer: gel,", AWAY));
    add("WET-FROM-REPAIR", (format!("{blister}{OLD_BESIDE}"), blister.to_owned()));
    add("NEVER-WETTED", seen("delamination", "drummy, dry_fibre", "drummy", AWAY));
    add("WATER-BETWEEN", seen("delamination", "drummy, wet", "drummy", AWAY));
    add("BADLY-REPAIRED", seen("old_repair", "drummy, one_sided_patch", "drummy", AWAY));
    found
}

#[test]
fn taking_away_the_deciding_reading_changes_what_stands_first() {
    for (cause, with, without) in cases() {
        assert_eq!(top(&with).as_deref(), Some(cause), "with: {with}");
        assert_ne!(top(&without).as_deref(), Some(cause), "without: {without}");
    }
}

#[test]
fn every_cause_of_the_table_has_its_case() {
    let table: BTreeSet<String> = cause::table().into_iter().map(|cause| cause.id).collect();
    let tested: BTreeSet<String> = cases().into_iter().map(|(id, ..)| id.to_owned()).collect();
    assert_eq!(table, tested);
}

#[test]
fn a_candidate_is_no_more_than_consistent_and_changes_no_action() {
    for (cause, with, _) in cases() {
        let report = worked(&with);
        let text = text::full(&report, Wide::Working);
        assert!(!text.contains("caused by"), "{cause}");
        let one = report.findings.iter().find(|one| one.mark == 1).unwrap();
        // Only what somebody recorded, or a bracket within its distance, is put right first.
        assert_eq!(report.put_right.is_empty(), one.causes.is_empty(), "{cause}");
        let candidate = &one.candidates[0];
        assert!(!candidate.decided_by.is_empty() && !candidate.next_look.is_empty(), "{cause}");
    }
}

#[test]
fn traced_lines_along_a_rib_are_told_with_their_figures() {
    let mark = format!("(id: 1, panel: \"sheet\", kind: crazing, {ALONG_RIB} {OVER_RIB})");
    let one = first(&mark);
    let pattern = one.pattern.unwrap();
    assert_eq!(pattern.pattern, "parallel lines");
    assert_eq!(pattern.lines, Some(6));
    // By hand: the lines are 90.0, 70.0, 95.0, 85.0, 80.0 and 85.0 mm to 0.02, on 160 x 120 mm.
    let length_mm = pattern.length_mm.unwrap();
    assert!((length_mm - 505.0).abs() < 0.1, "{length_mm}");
    let per_m2 = pattern.crack_m_per_m2.unwrap();
    assert!((per_m2 - 505.0 / 19_200.0 * 1e3).abs() < 0.01, "{per_m2}");
    assert!((pattern.spacing_mm.unwrap() - 19_200.0 / 505.0).abs() < 0.02);
    // Closed form: all within 1 degree of the rib, which runs along v.
    assert!((pattern.direction_deg.unwrap() - 90.0).abs() < 1.0);
    let said = &one.candidates[0].decided_by[0];
    assert!(said.contains("rib") && said.contains("runs under it"), "{said}");
}

#[test]
fn the_centre_of_a_traced_star_is_found_and_tied_to_the_bolt() {
    let lines: Vec<String> = (0..8)
        .map(|turn| {
            let (y, x) = (f64::from(turn) * 45.0).to_radians().sin_cos();
            let at = |mm: f64| format!("On({:.2}, {:.2})", 103.0 + mm * x, 98.0 + mm * y);
            format!("[{}, {}]", at(12.0), at(45.0))
        })
        .collect();
    let mark = format!(
        "(id: 1, panel: \"sheet\", kind: crazing, lines: [{}], place: On(103, 98), \
         shape: Patch(length_mm: 100, width_mm: 100))",
        lines.join(", ")
    );
    let one = first(&mark);
    let centre = one.pattern.unwrap().centre_mm.unwrap();
    assert!((centre.u - 103.0).abs() < 0.1 && (centre.v - 98.0).abs() < 0.1, "{centre:?}");
    assert_eq!(one.candidates[0].cause, "FITTING-LOAD");
    assert!(one.candidates[0].decided_by[0].contains("bolt"), "{:?}", one.candidates[0]);
}

#[test]
fn without_traced_lines_the_surveyors_word_serves_and_says_so() {
    let mark =
        format!("(id: 1, panel: \"sheet\", kind: crazing, evidence: [parallel], {OVER_RIB})");
    let one = first(&mark);
    assert!(one.pattern.unwrap().told_by.contains("surveyor's word"));
    assert_eq!(one.candidates[0].cause, "STIFF-LINE");
    assert!(one.candidates[0].decided_by[0].contains("not traced"), "{:?}", one.candidates[0]);
}

#[test]
fn what_smells_sour_or_gives_water_counts_as_wet() {
    for seen in ["sour_smell", "greasy", "clear_water"] {
        let mark = format!("(id: 1, panel: \"sheet\", kind: blisters, evidence: [{seen}], {AWAY})");
        assert!(first(&mark).wet, "{seen}");
    }
}

fn faults(mark: &str) -> Vec<(String, String)> {
    let survey =
        format!("(format: 1, panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [{mark}])");
    let texts = TextFolder::from([("survey.ron", survey.as_str()), ("sheet.ron", PANEL)]);
    let told = match job(&texts, "survey.ron", &Named::default()) {
        Ok(job) => plymend::estimate(&job).expect_err("told"),
        Err(told) => told,
    };
    told.into_iter().map(|one| (one.code.to_owned(), one.problem)).collect()
}

#[test]
fn what_cannot_be_traced_is_told() {
    let beyond = "lines: [[On(350, 500), On(480, 500)]],";
    let cases = [
        (format!("kind: crazing, {beyond} {AWAY}"), "SURFACE-LINE-OUT", "90 mm beyond"),
        (
            format!("kind: crazing, lines: [[Step(mm: 20, angle_deg: 0), On(350, 500)]], {AWAY}"),
            "READ-TRACE",
            "nothing to step from",
        ),
        (format!("kind: crazing, lines: [[On(350, 500)]], {AWAY}"), "READ-TRACE", "1 points"),
        (
            format!("kind: gel_crack, lines: [[On(150, 100), On(160, 100)]], {AT_BOLT}"),
            "READ-CONTRADICTION",
            "one line by itself",
        ),
        (format!("kind: crazing, gel_mm: 20, {AWAY}"), "READ-RANGE", "20"),
    ];
    for (mark, code, words) in cases {
        let told = faults(&format!("(id: 1, panel: \"sheet\", {mark})"));
        let found = told.iter().any(|(known, said)| known == code && said.contains(words));
        assert!(found, "{code} {words}: {told:?}");
    }
}

//! The demo job's traps as behaviours: what a surveyor gets wrong is caught, what is unsure is
//! said, and every mark gets the action that its place and make-up call for.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

#[path = "together/photos.rs"]
mod demo_photos;

use std::sync::OnceLock;

use plymend::diagnostic::Diagnostic;
use plymend::read::job::{Named, TextFolder, job};
use plymend::report::model::{FindingLine, Report};

fn demo() -> TextFolder {
    let mut folder = TextFolder::default();
    let examples = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/harbour-shuttle");
    for entry in std::fs::read_dir(examples).expect("the demo job is there") {
        let path = entry.expect("readable").path();
        if path.extension().is_some_and(|end| end == "ron") {
            let name = path.file_name().and_then(|name| name.to_str()).expect("a plain name");
            folder.put(name, &std::fs::read_to_string(&path).expect("a text"));
        }
    }
    demo_photos::put(&mut folder);
    folder
}

/// The demo survey with one text in it replaced by another.
fn changed(from: &str, to: &str) -> Result<Report, Vec<Diagnostic>> {
    let mut folder = demo();
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/harbour-shuttle/survey-a.ron");
    let text = std::fs::read_to_string(path).expect("a text");
    assert_eq!(text.matches(from).count(), 1, "{from:?} must stand once in the survey");
    folder.put("survey-a.ron", &text.replace(from, to));
    let job = job(&folder, "survey-a.ron", &Named::default())?;
    plymend::estimate(&job)
}

fn as_it_is() -> &'static Report {
    static REPORT: OnceLock<Report> = OnceLock::new();
    REPORT.get_or_init(|| {
        let job = job(&demo(), "survey-a.ron", &Named::default()).expect("the demo is whole");
        plymend::estimate(&job).expect("the demo is worked out")
    })
}

fn finding(report: &Report, mark: u32) -> &FindingLine {
    report.findings.iter().find(|one| one.mark == mark).expect("the mark is there")
}

/// The only fault, as it is told.
fn told(result: Result<Report, Vec<Diagnostic>>) -> String {
    let faults = result.expect_err("this must not be worked out");
    assert_eq!(faults.len(), 1, "{faults:?}");
    faults[0].to_string()
}

#[test]
fn every_mark_of_the_demo_gets_the_action_it_calls_for() {
    let report = as_it_is();
    let with = |action: &str| -> Vec<u32> {
        report.findings.iter().filter(|one| one.action == action).map(|one| one.mark).collect()
    };
    assert_eq!(with("refer"), [3, 4, 9, 10, 11, 13, 16]);
    assert_eq!(with("repair"), [1, 2, 5, 6, 7, 8, 12, 14, 15, 17, 18]);
    let open: Vec<u32> = report.put_right.iter().flat_map(|one| one.marks.clone()).collect();
    assert_eq!(open, [5, 8, 18], "cause first");
    assert_eq!(finding(report, 1).repair, finding(report, 2).repair, "1 and 2 are one repair");
    let excluded: Vec<u32> =
        report.materials.high.excludes.iter().filter_map(|one| one.mark).collect();
    assert_eq!(excluded, with("refer"));
}

#[test]
fn places_come_back_within_what_the_tapes_allow() {
    // The true places from which the tapes were read off the skins, rounded to 5 mm.
    let truth = [
        (1, 430.0, 300.0),
        (2, 300.0, 210.0),
        (3, 310.0, 110.0),
        (4, 90.0, 470.0),
        (5, 410.0, 190.0),
        (6, 420.0, 330.0),
        (7, 420.0, 1010.0),
        (8, 1180.0, 690.0),
        (9, 90.0, 770.0),
        (10, 690.0, 600.0),
        (11, 410.0, 240.0),
        (12, 980.0, 180.0),
        (14, 1150.0, 420.0),
        (15, 380.0, 500.0),
        (16, 195.0, 900.0),
        (17, 640.0, 90.0),
        (18, 900.0, 120.0),
    ];
    let report = as_it_is();
    for (mark, u, v) in truth {
        let found = finding(report, mark);
        let miss = (found.place_mm.u - u).hypot(found.place_mm.v - v);
        assert!(miss <= found.place_error_mm, "mark {mark}: {miss:.1} mm off");
        assert!(miss < 12.0, "mark {mark}: {miss:.1} mm off");
    }
}

#[test]
fn a_place_on_the_line_between_the_landmarks_asks_for_a_third_tape() {
    // 13: the true place is 40 mm off; the two tapes cannot know.
    let report = as_it_is();
    let found = finding(report, 13);
    assert!((found.place_mm.u - 470.0).abs() < 5.0);
    assert!((found.place_mm.v - 120.0).abs() > 30.0);
    assert!(found.place_error_mm > 40.0, "{}", found.place_error_mm);
    // The tapes run along u there: the place is loose across them, along v.
    let ellipse = found.place_ellipse;
    assert!(ellipse.long_mm > 3.0 * ellipse.short_mm, "{ellipse:?}");
    assert!((ellipse.angle_deg - 90.0).abs() < 10.0, "{ellipse:?}");
    // The landmark it asks for stands to one side, with what the tape would read from the place
    // as it is solved.
    let asked = found.notes.iter().find(|note| note.text.contains("lay a third tape"));
    let asked = &asked.expect("a third tape is asked for").text;
    assert!(asked.contains("from \"upper edge, middle\" (near 18"), "{asked}");
    // A third tape from the upper edge settles it: 140 mm there, 180 mm at the two-tape place.
    let tapes = "b: (\"rear sill bolt\", 470), side: upper";
    let third = "b: (\"rear sill bolt\", 470), third: (\"upper edge, middle\", 140)";
    let settled = changed(tapes, third).expect("the three tapes meet");
    let found = finding(&settled, 13);
    assert!((found.place_mm.v - 120.0).abs() < 8.0, "{:?}", found.place_mm);
    assert!(found.place_error_mm < 20.0, "{}", found.place_error_mm);
    assert_eq!(found.action, "refer");
}

#[test]
fn tapes_that_all_but_touch_are_accepted() {
    let report = as_it_is();
    for mark in [4, 9] {
        let found = finding(report, mark);
        assert!(found.place_mm.u > 80.0 && found.place_mm.u < 105.0, "mark {mark}");
    }
}

#[test]
fn a_dropped_digit_is_told_with_the_miss() {
    insta::assert_snapshot!(
        "dropped_digit",
        told(changed("a: (\"top hinge bolt\", 655)", "a: (\"top hinge bolt\", 65)"))
    );
}

#[test]
fn a_wrong_place_is_caught_by_a_third_tape_only() {
    let wrong = "b: (\"latch handle spindle\", 445)";
    let swapped = changed(wrong, "b: (\"latch handle spindle\", 145), side: upper");
    assert!(swapped.is_ok(), "two tapes alone meet in the wrong place");
    insta::assert_snapshot!(
        "third_tape",
        told(changed(
            wrong,
            "b: (\"latch handle spindle\", 145), side: upper, third: (\"bottom hinge bolt\", 390)"
        ))
    );
}

#[test]
fn two_possible_places_want_a_side_word() {
    let from = "a: (\"nearside lamp bowl\", 200), b: (\"blanked tow-eye hole\", 265), side: upper";
    let to = "a: (\"nearside lamp bowl\", 200), b: (\"blanked tow-eye hole\", 265)";
    insta::assert_snapshot!("two_places", told(changed(from, to)));
}

#[test]
fn a_mark_off_its_panel_is_told() {
    let from = "Taped(a: (\"plate lamp\", 265), b: (\"nearside end bolt\", 875))";
    insta::assert_snapshot!("off_panel", told(changed(from, "On(900, 420)")));
}

#[test]
fn a_traced_outline_that_crosses_itself_is_told() {
    let place =
        "place: Taped(a: (\"plate lamp\", 265), b: (\"nearside end bolt\", 875)),\n            ";
    let from = format!("{place}shape: Patch(length_mm: 380, width_mm: 120, angle_deg: 0)");
    let to = "shape: Traced(closed: true, points: [On(800, 80), On(1000, 160), On(1000, 80), On(800, 160)])";
    insta::assert_snapshot!("crossed_trace", told(changed(&from, to)));
}

#[test]
fn a_back_longer_than_the_front_makes_a_larger_backing() {
    let with = as_it_is();
    let without = changed("            back_length_mm: 170,\n", "").expect("worked out");
    let back = |report: &Report| {
        let repair = report.repairs.iter().find(|one| one.marks == [17]).expect("repaired");
        repair.scenarios.likely.plies.iter().find(|ply| ply.side == "back").map(|ply| ply.area_m2)
    };
    let (with, without) = (back(with).expect("backed"), back(&without).expect("backed"));
    assert!(with > without, "{with} against {without}");
}

#[test]
fn a_hidden_extent_shows_in_the_range() {
    let report = as_it_is();
    let grown = finding(report, 2).grown_area_m2.expect("an area");
    assert!(grown.high > 2.5 * grown.low, "{grown:?}");
    assert!(report.assumptions.iter().any(|one| one.text.starts_with("mark 2: depth")));
}

#[test]
fn a_closed_cause_is_said_and_blocks_nothing() {
    let report = as_it_is();
    for mark in [6, 7] {
        let found = finding(report, mark);
        assert!(found.causes.iter().all(|cause| !cause.open) && !found.causes.is_empty());
        let repair = report.repairs.iter().find(|one| one.marks == [mark]).expect("repaired");
        assert!(repair.waits_for.is_empty(), "{:?}", repair.waits_for);
    }
}

#[test]
fn wet_marks_have_no_date() {
    let report = as_it_is();
    for mark in [12, 13] {
        assert!(finding(report, mark).wet, "mark {mark}");
    }
    let repair = report.repairs.iter().find(|one| one.marks == [12]).expect("repaired");
    assert!(repair.waits_for.iter().any(|wait| wait.contains("no date")));
}

#[test]
fn a_reading_on_wet_ground_is_kept_and_not_used() {
    let report = changed("    hours_dry: 144,\n", "    hours_dry: 144,\n    wet_ground: true,\n")
        .expect("worked out");
    let found = finding(&report, 13);
    assert!(found.reading.as_deref().is_some_and(|text| text.contains("kept, not used")));
    assert!(!found.wet, "nothing else says that it is wet");
    assert!(finding(&report, 12).wet, "what was seen still counts");
    assert_eq!(found.action, "refer", "and the blisters still reach the jacking hole");
}

#[test]
fn a_shut_locker_lid_carries_the_tape() {
    // 14 was taped over the shut locker; with the lid open the tape goes round the opening and the
    // same reading leads elsewhere.
    let shut = as_it_is();
    let mut folder = demo();
    let file = "rear-quarter-offside.ron";
    let path = format!("{}/examples/harbour-shuttle/{file}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("a text");
    let outline = "outline: [(250, 430), (950, 430), (950, 950), (250, 950)],";
    assert_eq!(text.matches(outline).count(), 1);
    folder.put(file, &text.replace(outline, &format!("{outline} covered_when_taped: false,")));
    let job = job(&folder, "survey-a.ron", &Named::default()).expect("whole");
    let open = plymend::estimate(&job);
    let place = |report: &Report| finding(report, 14).place_mm;
    let moved = match &open {
        Ok(open) => {
            let (a, b) = (place(shut), place(open));
            (a.u - b.u).hypot(a.v - b.v)
        }
        Err(_) => f64::INFINITY,
    };
    assert!(moved > 5.0, "{moved}");
}

#[test]
fn an_old_patch_on_one_side_is_kept_with_its_mark() {
    let report = as_it_is();
    let found = finding(report, 16);
    assert_eq!(found.action, "refer");
    assert!(found.as_recorded.contains("loose"));
}

#[test]
fn a_long_crack_of_unknown_direction_is_held_against_a_hinge_it_may_run_to() {
    let lid = r#"(format: 1, name: "lid", surface: Flat(length_mm: 2000, width_mm: 1500),
        material: hand_laid_polyester, roles: [skin], back: reached,
        fixings: Listed([(name: "hinge", at: (100, 750), carries: hinge, state: sound)]))"#;
    let refers = |length_mm: u32| {
        let survey = format!(
            r#"(format: 1, panels: [(name: "lid", file: "lid.ron")],
            marks: [(id: 1, panel: "lid", kind: through_crack, edges_move: no, place: On(650, 750),
                shape: Line(length_mm: {length_mm}, direction: unknown))])"#
        );
        let folder = TextFolder::from([("survey.ron", survey.as_str()), ("lid.ron", lid)]);
        let job = job(&folder, "survey.ron", &Named::default()).expect("whole");
        let panels = plymend::skins(&job).expect("a skin");
        let answer = plymend::work(&job, &panels).expect("worked");
        let mut reasons = answer.findings.iter().flat_map(|one| &one.judged.reasons);
        reasons.any(|one| one.rule == "REFER-MOVING")
    };
    // 550 mm from the hinge: found twice as long it may run to it, or stay well clear.
    assert!(refers(600));
    assert!(!refers(100));
}

//! Condition in quantities against areas worked by hand on flat panels, and the share of the body
//! that was looked at.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use plymend::read::job::{Named, TextFolder, job};
use plymend::report::model::{PanelCondition, Report};
use plymend::report::text::{self, Wide};

/// 1.0 m by 0.8 m, its rear half a region; a strip of 0.1 m by 0.5 m behind.
const PANEL: &str = "(
  format: 1, name: \"sheet\", surface: Flat(length_mm: 1000, width_mm: 800),
  laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [skin], back: BACK,
  fixings: none_seen,
  regions: [(name: \"rear half\", outline: [(500, 0), (1000, 0), (1000, 800), (500, 800)])],
  strips: [(name: \"rib\", outline: [(200, 200), (300, 200), (300, 700), (200, 700)])],
)";

fn worked(back: &str, rest: &str, marks: &str) -> Report {
    let survey = format!(
        "(format: 1, {rest} panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [{marks}])"
    );
    let panel = PANEL.replace("BACK", back);
    let texts = TextFolder::from([("survey.ron", survey.as_str()), ("sheet.ron", panel.as_str())]);
    let job = job(&texts, "survey.ron", &Named::default()).expect("whole");
    plymend::estimate(&job).expect("worked out")
}

fn patch(id: u32, kind: &str, at: (f64, f64), size: (f64, f64), more: &str) -> String {
    format!(
        "(id: {id}, panel: \"sheet\", kind: {kind}, place: On({}, {}), {more} \
         shape: Patch(length_mm: {}, width_mm: {})),",
        at.0, at.1, size.0, size.1
    )
}

fn side<'r>(report: &'r Report, side: &str) -> &'r PanelCondition {
    report.condition.panels.iter().find(|one| one.side == side).unwrap()
}

fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-6, "{found} is not {wanted}");
}

#[test]
fn areas_of_a_kind_that_overlap_count_once_and_are_shared_among_regions() {
    // 200 x 100 twice, 50 mm apart along: 250 x 100 together, 25 mm of it in the rear half.
    let marks = [
        patch(1, "crazing", (375.0, 400.0), (200.0, 100.0), ""),
        patch(2, "crazing", (425.0, 400.0), (200.0, 100.0), ""),
        patch(3, "old_repair", (425.0, 400.0), (200.0, 100.0), "evidence: [drummy, wet],"),
    ];
    let report = worked("reached", "", &marks.concat());
    let outer = side(&report, "outer side");
    // Overlapping outlines are joined by a lattice that rounds their corners a little.
    let joined = outer.quantities.crazed_m2;
    assert!((joined / 0.025 - 1.0).abs() < 1.5e-3, "{joined}");
    near(outer.quantities.old_repair_m2, 0.02);
    near(outer.quantities.drummy_m2, 0.02);
    near(outer.quantities.wet_m2, 0.02);
    near(outer.area_m2, 0.8);
    assert!((outer.crazed_percent.unwrap() - 100.0 * joined / 0.8).abs() < 1e-3);
    let rear = outer.regions.iter().find(|one| one.region == "rear half").unwrap();
    assert!((rear.quantities.crazed_m2 / 0.0025 - 1.0).abs() < 5e-3);
    let sum: f64 = outer.regions.iter().map(|one| one.quantities.crazed_m2).sum();
    near(sum, outer.quantities.crazed_m2);
}

#[test]
fn cracks_count_by_length_and_traced_lines_apart_from_them() {
    let marks = [
        "(id: 1, panel: \"sheet\", kind: gel_crack, place: On(500, 100), \
          shape: Line(length_mm: 100, direction: Angle(0))),"
            .to_owned(),
        patch(
            2,
            "crazing",
            (800.0, 600.0),
            (200.0, 200.0),
            "lines: [[On(750, 600), On(850, 600)], [On(800, 550), On(800, 610)]],",
        ),
    ];
    let report = worked("reached", "", &marks.concat());
    let outer = side(&report, "outer side");
    near(outer.quantities.cracks_m, 0.1);
    near(outer.quantities.traced_m, 0.16);
    let rear = outer.regions.iter().find(|one| one.region == "rear half").unwrap();
    near(rear.quantities.cracks_m, 0.05);
}

#[test]
fn a_worst_count_never_multiplies_a_field_and_means_weigh_by_area() {
    let marks = [
        patch(
            1,
            "blisters",
            (200.0, 100.0),
            (200.0, 100.0),
            "worst_per_dm2: 34, mean_per_dm2: 10,",
        ),
        patch(2, "blisters", (800.0, 600.0), (100.0, 100.0), "worst_per_dm2: 20, mean_per_dm2: 4,"),
        patch(3, "blisters", (800.0, 200.0), (100.0, 100.0), ""),
    ];
    let report = worked("reached", "", &marks.concat());
    let all = &report.condition.body.quantities;
    near(all.blistered_m2, 0.04);
    near(all.worst_per_dm2.unwrap(), 34.0);
    near(all.mean_per_dm2.unwrap(), (2.0 * 10.0 + 4.0) / 3.0);
}

#[test]
fn a_back_nobody_reached_is_not_looked_at_and_a_strip_hides_its_own_part() {
    for (back, seen_m2) in [("reached", 0.75), ("not_seen", 0.0), ("closed", 0.0), ("unknown", 0.0)]
    {
        let report = worked(back, "", "");
        let of = side(&report, "back");
        near(of.area_m2, 0.75);
        near(of.looked_at_m2, seen_m2);
        let body = &report.condition.body;
        near(body.area_m2, 1.55);
        near(body.looked_at_m2, 0.8 + seen_m2);
    }
}

#[test]
fn what_the_survey_did_not_examine_is_taken_off_what_was_looked_at() {
    let whole = "not_examined: [(what: \"sheet\", why: \"under a cover\", panel: \"sheet\")],";
    let report = worked("reached", whole, "");
    near(report.condition.body.looked_at_m2, 0.0);
    let part = "not_examined: [(what: \"rear half\", why: \"under a cover\", panel: \"sheet\", \
                side: outer, region: \"rear half\")],";
    let report = worked("reached", part, &patch(1, "crazing", (200.0, 100.0), (100.0, 100.0), ""));
    let outer = side(&report, "outer side");
    near(outer.looked_at_m2, 0.4);
    near(outer.crazed_percent.unwrap(), 100.0 * 0.01 / 0.4);
    near(side(&report, "back").looked_at_m2, 0.75);
    let text = text::full(&report, Wide::Usual);
    let said = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("0.40 m² looked at, 0.40 m² not"), "{text}");
    assert!(said.contains("rear half not examined: under a cover"), "{text}");
}

#[test]
fn what_was_repaired_is_left_out_and_what_was_not_measured_is_named() {
    let marks = [
        patch(
            1,
            "crazing",
            (200.0, 100.0),
            (100.0, 100.0),
            "now: Repaired(by: \"a yard\", date: \"May\"),",
        ),
        patch(2, "crazing", (800.0, 600.0), (100.0, 100.0), "now: not_examined,"),
    ];
    let report = worked("reached", "", &marks.concat());
    near(report.condition.body.quantities.crazed_m2, 0.01);
    let reasons: Vec<&str> =
        report.condition.excludes.iter().map(|one| one.reason.as_str()).collect();
    assert_eq!(reasons.len(), 2);
    assert!(reasons[0].contains("repaired") && reasons[1].contains("not examined"), "{reasons:?}");
}

#[test]
fn the_worst_stands_first_with_its_reasons() {
    let marks = [
        patch(1, "crazing", (200.0, 100.0), (100.0, 100.0), "depth: gel,"),
        patch(2, "hole", (600.0, 600.0), (30.0, 30.0), "cause: Closed(what: \"a stone\"),"),
        patch(3, "other", (800.0, 200.0), (30.0, 30.0), ""),
    ];
    let report = worked("reached", "", &marks.concat());
    let order: Vec<(u32, &str)> =
        report.condition.worst_first.iter().map(|one| (one.mark, one.band.as_str())).collect();
    assert_eq!(order, [(3, "safety or structure"), (2, "timely"), (1, "cosmetic or watch")]);
    assert!(report.condition.worst_first.iter().all(|one| !one.reasons.is_empty()));
}

#[test]
fn a_region_or_panel_that_is_not_there_is_told() {
    let told = |missed: &str| {
        let survey = format!(
            "(format: 1, not_examined: [{missed}], panels: [(name: \"sheet\", file: \"sheet.ron\")])"
        );
        let panel = PANEL.replace("BACK", "reached");
        let texts =
            TextFolder::from([("survey.ron", survey.as_str()), ("sheet.ron", panel.as_str())]);
        let faults = job(&texts, "survey.ron", &Named::default()).expect_err("told");
        (faults[0].code, faults[0].field.clone())
    };
    for (missed, field) in [
        ("(what: \"x\", why: \"y\", panel: \"sheat\")", "not_examined[0].panel"),
        (
            "(what: \"x\", why: \"y\", panel: \"sheet\", region: \"front\")",
            "not_examined[0].region",
        ),
        ("(what: \"x\", why: \"y\", region: \"rear half\")", "not_examined[0].region"),
    ] {
        let (code, place) = told(missed);
        assert_eq!((code, place.as_str()), ("READ-NAME-UNKNOWN", field));
    }
}

#[test]
fn classes_of_standards_stand_there_only_when_asked_for_and_are_headed_so() {
    let survey = "(format: 1, panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [
        (id: 1, panel: \"sheet\", kind: chip, place: On(100, 100),
         shape: Patch(length_mm: 3, width_mm: 2)),
        (id: 2, panel: \"sheet\", kind: crazing, place: On(300, 300),
         shape: Patch(length_mm: 24, width_mm: 10)),
        (id: 3, panel: \"sheet\", kind: crazing, place: On(500, 300),
         shape: Patch(length_mm: 26, width_mm: 10)),
        (id: 4, panel: \"sheet\", kind: through_crack, place: On(700, 300),
         shape: Line(length_mm: 30, direction: Angle(0))),
        (id: 5, panel: \"sheet\", kind: blisters, worst_per_dm2: 20, place: On(300, 600),
         shape: Patch(length_mm: 80, width_mm: 60))])";
    let sheet = "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1000, width_mm: 800),
        laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [skin], back: reached,
        fixings: none_seen)";
    let texts = TextFolder::from([("survey.ron", survey), ("sheet.ron", sheet)]);
    let job = job(&texts, "survey.ron", &Named::default()).expect("whole");
    let plain = plymend::estimate(&job).expect("worked out");
    assert!(plain.classes.is_none());
    let heading = "FOR COMPARISON ONLY";
    assert!(!text::full(&plain, text::Wide::Usual).contains(heading));
    let asked = plymend::assess(&job, true).expect("worked out");
    assert!(text::full(&asked, text::Wide::Usual).contains(heading));
    let of = |mark: u32, standard: &str| {
        let all = asked.classes.as_ref().expect("asked for");
        let found = all.iter().find(|one| one.mark == mark && one.standard.contains(standard));
        let found = found.unwrap_or_else(|| panic!("mark {mark} by {standard}"));
        assert_eq!(found.evidence, "from memory");
        found.class.clone()
    };
    // Limits of ASTM D2563 as recalled: chips 3.0 mm at level II, crazing 25 mm at level III,
    // cracks right through at none.
    assert_eq!(of(1, "D2563").as_deref(), Some("level II"));
    assert_eq!(of(2, "D2563").as_deref(), Some("level III"));
    assert!(of(3, "D2563").expect("a class").contains("beyond level III"));
    assert!(of(4, "D2563").expect("a class").contains("beyond level III"));
    assert_eq!(of(5, "4628-2"), None, "its pictures are not here");
}

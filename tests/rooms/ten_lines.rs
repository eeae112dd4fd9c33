//! The shortest surveys: ten lines that list what they assumed, refer what may be structural and
//! repair what is not.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use plymend::read::job::{Named, TextFolder, job};
use plymend::report::model::Report;
use plymend::report::text::{self, Wide};

fn worked(texts: TextFolder) -> Report {
    let job = job(&texts, "survey.ron", &Named::default()).expect("whole");
    plymend::estimate(&job).expect("worked out")
}

/// A 60 mm crack on a generic lid, sized up in the survey.
fn on_lid(place: &str) -> Report {
    let survey = format!(
        "(
  format: 1,
  panels: [
    (name: \"lid\", generic: \"lid\", size: (length_mm: 1200, width_mm: 1000), back: reached),
  ],
  marks: [
    (id: 1, panel: \"lid\", kind: through_crack, edges_move: no,
     place: {place}, shape: Line(length_mm: 60)),
  ],
)"
    );
    worked(TextFolder::from([("survey.ron", survey.as_str())]))
}

#[test]
fn a_crack_near_an_assumed_hinge_is_referred_and_says_what_to_look_at() {
    // The generic hinge stands at u 80, v 914 on a lid of this size.
    let report = on_lid("On(80, 814)");
    assert_eq!(report.findings[0].action, "refer");
    assert!(report.repairs.is_empty());
    assert!(report.materials.high.glass_kg.abs() < 1e-12, "no quantities for a referred mark");
    let reason = report.referrals.iter().find(|one| one.rule == "REFER-MOVING").expect("named");
    assert!(reason.reason.contains("hinge") && reason.reason.contains("assumed"));
    assert!(report.stops.iter().any(|stop| stop.text.contains("do not drive")));
    assert!(text::full(&report, Wide::Usual).contains("hinge"));
}

#[test]
fn the_same_crack_on_a_panel_whose_fixings_nobody_listed_is_referred() {
    let panel = "(
  format: 1,
  name: \"lid of my own\",
  surface: Moulding(kind: lid, length_mm: 1200, width_mm: 1000, crown_along_mm: 30, crown_across_mm: 20),
  roles: [opens],
  back: reached,
)";
    let survey = "(
  format: 1,
  panels: [(name: \"lid of my own\", file: \"lid.ron\")],
  marks: [
    (id: 1, panel: \"lid of my own\", kind: through_crack, edges_move: no,
     place: On(600, 500), shape: Line(length_mm: 60)),
  ],
)";
    let report = worked(TextFolder::from([("survey.ron", survey), ("lid.ron", panel)]));
    assert_eq!(report.findings[0].action, "refer");
    assert!(report.referrals.iter().any(|one| one.rule == "REFER-FIXINGS-UNKNOWN"));
    // What holds it may be hurt: nobody drives until somebody has looked.
    let stop = report.stops.iter().find(|stop| stop.rule == "STOP-DRIVE").expect("a stop");
    assert!(stop.text.contains("nobody has said what is fixed to the lid of my own"), "{stop:?}");
}

#[test]
fn the_same_crack_far_from_every_assumed_fixing_is_a_repair_with_its_assumptions() {
    let report = on_lid("On(600, 500)");
    let found = &report.findings[0];
    assert_eq!(found.action, "repair", "{:?}", report.referrals);
    let text = text::full(&report, Wide::Usual);
    assert!(text.contains("resin, kind not known"), "{text}");
    assert!(!text.contains("polyester laminating resin"), "no product is named");
    assert!(report.materials.high.resin_kg > 0.0 && report.materials.high.catalyst_g.is_none());
    let assumed: Vec<&str> = report.assumptions.iter().map(|one| one.text.as_str()).collect();
    assert!(assumed.iter().any(|text| text.contains("hinge")), "{assumed:?}");
    assert!(assumed.iter().any(|text| text.contains("thickness")), "{assumed:?}");
    assert!(assumed.iter().any(|text| text.contains("direction")), "{assumed:?}");
    assert!(report.blocks.iter().any(|block| block.code == "MATERIAL-UNKNOWN"));
    assert!(report.exit_reason().is_some());
}

#[test]
fn an_untried_crack_on_a_panel_that_opens_is_referred() {
    let survey = "(
  format: 1,
  panels: [(name: \"lid\", generic: \"lid\", size: (length_mm: 1200, width_mm: 1000), back: reached)],
  marks: [(id: 1, panel: \"lid\", kind: through_crack, place: On(600, 500), shape: Line(length_mm: 60))],
)";
    let report = worked(TextFolder::from([("survey.ron", survey)]));
    assert_eq!(report.findings[0].action, "refer");
    assert!(report.referrals.iter().any(|one| one.rule == "REFER-LIPS-UNTRIED"));
}

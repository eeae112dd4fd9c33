//! Every method of repair is reached by a job, carries its checks, and a mark that is not repaired
//! gets no steps.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

#[allow(dead_code, reason = "shared with the tests of the cautions")]
#[path = "cautions/scene.rs"]
mod scene;

use std::collections::BTreeSet;

use plymend::repair::method::choose::Way;
use plymend::repair::method::{find, methods};
use plymend::report::text::{Wide, full};
use scene::{Change, worked};

const GLASS: Change = ("depth: gel", "depth: first_glass");
const CRACK: Change = ("kind: crazing, depth: gel", "kind: through_crack, edges_move: no");
const GEL_CRACK: Change = ("kind: crazing, depth: gel", "kind: gel_crack, depth: gel");
const LINE: Change = (
    "shape: Patch(length_mm: 80, width_mm: 60, angle_deg: 0)",
    "shape: Line(length_mm: 80, direction: Angle(90))",
);
const CLOSED: Change = ("back: reached", "back: closed");
const PRESSED: Change = ("material: hand_laid_polyester", "material: compression_moulded");
const PAINTED: Change = ("topcoat: gel_finish", "topcoat: brush_enamel");
const PARTED: Change = ("kind: crazing, depth: gel", "kind: delamination, reading: 5");
const SMALL: Change = ("length_mm: 80, width_mm: 60", "length_mm: 30, width_mm: 20");
/// Nobody recorded how long the body had been dry: the reading proves nothing.
const UNUSABLE: Change =
    ("client: \"a reader\"", "client: \"a reader\", meter: (kind: \"capacitance\", reference: 5)");
const METER: Change = (
    "client: \"a reader\"",
    "client: \"a reader\", hours_dry: 96, meter: (kind: \"capacitance\", reference: 5)",
);

/// A method, a job that takes it, a job near to that one that does not.
const ROWS: &[(Way, &[Change], &[Change])] = &[
    (Way::Wet, &[("depth: gel", "depth: gel, evidence: [wet]")], &[]),
    (Way::OldRepair, &[("kind: crazing, depth: gel", "kind: old_repair")], &[GLASS]),
    (Way::Delamination, &[("kind: crazing, depth: gel", "kind: delamination")], &[GLASS]),
    (Way::Injection, &[PARTED, SMALL, METER], &[PARTED, SMALL, UNUSABLE]),
    (Way::Heat, &[("depth: gel", "depth: gel, evidence: [heat_near]")], &[]),
    (Way::PaintOnly, &[("depth: gel", "depth: paint")], &[]),
    (Way::GelGroove, &[GEL_CRACK, LINE], &[]),
    (Way::GelArea, &[], &[GEL_CRACK, LINE]),
    (Way::Laminate, &[GLASS], &[]),
    (Way::Backed, &[CRACK, LINE], &[CRACK, LINE, CLOSED]),
    (Way::Former, &[CRACK, LINE, CLOSED], &[CRACK, LINE]),
    (Way::PressedSurface, &[PRESSED], &[]),
    (Way::Pressed, &[PRESSED, GLASS], &[PRESSED]),
    (Way::Edge, &[("On(450, 350)", "On(30, 350)")], &[]),
    (Way::PaintFinish, &[PAINTED], &[]),
    (Way::GelFinish, &[], &[PAINTED]),
];

fn taken(changes: &[Change]) -> BTreeSet<String> {
    let report = worked(changes);
    report.repairs.iter().flat_map(|one| &one.steps).map(|step| step.method.clone()).collect()
}

#[test]
fn every_method_is_taken_where_it_belongs_and_not_next_to_it() {
    for (way, takes, leaves) in ROWS {
        let title = &find(way.name()).expect("a row").title;
        assert!(taken(takes).contains(title), "{title} is not taken by {takes:?}");
        assert!(!taken(leaves).contains(title), "{title} is taken by {leaves:?}");
    }
    // Watching has no steps: it is a note.
    assert_eq!(ROWS.len() + 1, methods().len());
}

#[test]
fn a_watched_mark_says_what_would_change_the_mind_and_has_no_steps() {
    let report = worked(&[("depth: gel", "depth: gel, watch_only: true")]);
    assert!(report.repairs.is_empty());
    let note = report.findings[0].notes.iter().find(|note| note.text.contains("changes the mind"));
    assert!(note.expect("a note").text.contains("10 mm"));
    assert!(worked(&[]).findings[0].notes.iter().all(|note| !note.text.contains("the mind")));
}

#[test]
fn a_referred_mark_has_no_steps() {
    let report = worked(&[GLASS, ("roles: [skin]", "roles: [stressed]")]);
    assert_eq!(report.findings[0].action, "refer");
    assert!(report.repairs.is_empty());
    assert!(!full(&report, Wide::Working).contains("HOW EACH IS DONE"));
}

#[test]
fn catalyst_is_named_only_where_the_moulding_is_known_to_take_polyester() {
    let doses = |changes: &[Change]| {
        let report = worked(changes);
        report.repairs[0].steps.iter().filter(|step| step.text.contains("Catalyst")).count()
    };
    assert!(doses(&[GLASS]) > 0);
    for material in ["material: epoxy", "material: compression_moulded", "material: unknown"] {
        let made_of: Change = ("material: hand_laid_polyester", material);
        assert_eq!(doses(&[GLASS, made_of]), 0, "{material}");
    }
}

#[test]
fn a_blocked_step_says_so_until_it_is_answered() {
    let untested = [GLASS, ("old_paint: none_there", "old_paint: untested")];
    let sanding = |changes: &[Change]| {
        let report = worked(changes);
        let steps = &report.repairs[0].steps;
        let found = steps.iter().find(|step| step.step == "removal").expect("a removal");
        (found.blocked_by.clone(), full(&report, Wide::Usual))
    };
    let (blocked, text) = sanding(&untested);
    assert!(blocked.contains(&"PAINT-TEST".to_owned()), "{blocked:?}");
    assert!(text.contains("BLOCKED until answered, PAINT-TEST: R1"), "{text}");
    let (blocked, text) = sanding(&[GLASS]);
    assert_eq!(blocked, Vec::<String>::new());
    assert!(!text.contains("BLOCKED until answered"));
}

#[test]
fn checks_are_printed_and_orders_run_through() {
    let report = worked(&[GLASS, PAINTED]);
    let steps = &report.repairs[0].steps;
    for (number, step) in steps.iter().enumerate() {
        assert_eq!(step.order as usize, number + 1);
        assert!(!step.check.is_empty());
        assert!(!format!("{}{}", step.text, step.check).contains('{'), "{}", step.text);
    }
    let text = full(&report, Wide::Usual).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("fibre at the ground edge is bright, not white"));
    assert!(text.contains("a spirit wipe shows no dark line"));
}

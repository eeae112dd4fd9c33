//! Panels moulded in one: areas and distances over a seam are those on one skin, nothing that the
//! panels by themselves would refer is lost, and seams that do not fit are refused.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::fmt::Write as _;

use nalgebra::Point2;
use plymend::diagnostic::Diagnostic;
use plymend::read::job::{Job, Named, TextFolder, job};
use plymend::repair::layout::Areas;
use plymend::report::model::Report;
use plymend::surface::field::DistanceField;
use plymend::surface::origin::Origin;

/// How nearly areas agree whose rims run over faces that are cut otherwise: 0.001 %, and 0.005 %
/// where two rims meet in a corner. Distances agree to rounding, as the first test holds.
const RIM: f64 = 1e-5;
const CORNERED_RIM: f64 = 5e-5;

const MAKE_UP: &str = "material: hand_laid_polyester, roles: [skin], back: reached, \
     laminate: (thickness_mm: 3.0)";

fn flat(name: &str, length_mm: f64, width_mm: f64, more: &str) -> String {
    let more = if more.is_empty() { "fixings: none_seen" } else { more };
    format!(
        "(format: 1, name: \"{name}\", surface: Flat(length_mm: {length_mm}, width_mm: {width_mm}), \
         {MAKE_UP}, {more})"
    )
}

/// A seam between two edges on the grids of "left" and "right".
fn seam(left: [(f64, f64); 2], right: [(f64, f64); 2]) -> String {
    let places = |[a, b]: [(f64, f64); 2]| format!("[On({}, {}), On({}, {})]", a.0, a.1, b.0, b.1);
    format!(
        "(one: (panel: \"left\", along: {}), other: (panel: \"right\", along: {}))",
        places(left),
        places(right)
    )
}

/// The seam of two sheets side by side along u.
fn beside(length_mm: f64, width_mm: f64) -> String {
    seam([(length_mm, 0.0), (length_mm, width_mm)], [(0.0, 0.0), (0.0, width_mm)])
}

/// A body of panels with more in its file, and a survey of it.
fn folder(panels: &[String], body: &str, survey: &str, marks: &str) -> TextFolder {
    let mut folder = TextFolder::default();
    let mut files = String::new();
    for (number, panel) in panels.iter().enumerate() {
        folder.put(&format!("p{number}.ron"), panel);
        let _ = write!(files, "(file: \"p{number}.ron\"), ");
    }
    folder.put("body.ron", &format!("(format: 1, name: \"b\", panels: [{files}], {body})"));
    folder
        .put("survey.ron", &format!("(format: 1, body: \"body.ron\", {survey} marks: [{marks}])"));
    folder
}

fn read(panels: &[String], seams: &str, marks: &str) -> Result<Job, Vec<Diagnostic>> {
    let folder = folder(panels, &format!("seams: [{seams}]"), "", marks);
    job(&folder, "survey.ron", &Named::default())
}

fn estimate(panels: &[String], seams: &str, marks: &str) -> Report {
    let job = read(panels, seams, marks).expect("the job is whole");
    plymend::estimate(&job).expect("the job is worked out")
}

fn mark(id: u32, panel: &str, at: (f64, f64), rest: &str) -> String {
    format!("(id: {id}, panel: \"{panel}\", place: On({}, {}), {rest}), ", at.0, at.1)
}

fn patch(id: u32, panel: &str, at: (f64, f64)) -> String {
    mark(
        id,
        panel,
        at,
        "kind: delamination, depth: full, back: reached, edges_move: no, \
         shape: Patch(length_mm: 60, width_mm: 40, angle_deg: 0)",
    )
}

fn crack(id: u32, panel: &str, at: (f64, f64), degrees: f64) -> String {
    mark(
        id,
        panel,
        at,
        &format!(
            "kind: through_crack, depth: full, back: reached, edges_move: no, evidence: [through], \
             shape: Line(length_mm: 100, direction: Angle({degrees}))"
        ),
    )
}

/// All areas of the repairs of a job, mm2, in order.
fn areas(panels: &[String], seams: &str, marks: &str) -> Vec<Vec<f64>> {
    let job = read(panels, seams, marks).expect("the job is whole");
    let skins = plymend::skins(&job).unwrap_or_else(|faults| panic!("{}", faults[0]));
    let answer = plymend::work(&job, &skins).expect("the job is worked out");
    let of = |areas: &Areas<'_>| {
        let mut all = vec![
            areas.removal_mm2,
            areas.ground_mm2,
            areas.prepared_mm2,
            areas.prepared_back_mm2,
            areas.tissue_mm2,
            areas.coat_mm2,
            areas.prepared_by_region.values().sum(),
        ];
        all.extend(areas.plies.iter().map(|ply| ply.area_mm2));
        all
    };
    let repairs = answer.plan.repairs.iter();
    repairs
        .map(|repair| {
            let cases = &repair.areas;
            [&cases.low, &cases.likely, &cases.high].into_iter().flat_map(of).collect()
        })
        .collect()
}

/// Largest relative difference of two lists of areas.
fn differ(one: &[Vec<f64>], other: &[Vec<f64>]) -> f64 {
    assert_eq!(one.len(), other.len(), "as many repairs");
    assert!(!one.is_empty(), "there are repairs");
    let pairs = one.iter().flatten().zip(other.iter().flatten());
    assert_eq!(one.iter().map(Vec::len).sum::<usize>(), other.iter().map(Vec::len).sum::<usize>());
    pairs.map(|(a, b)| (a - b).abs() / a.abs().max(1.0)).fold(0.0, f64::max)
}

#[test]
fn distances_over_a_seam_are_those_on_one_sheet() {
    // 400 mm of the seam against 403 mm, so that no corner of the two meshes meets another.
    for (width_mm, most) in [(400.0, 1e-9), (403.0, 0.02)] {
        let panels = [flat("left", 600.0, 400.0, ""), flat("right", 500.0, width_mm, "")];
        let edges = seam([(600.0, 0.0), (600.0, 400.0)], [(0.0, 0.0), (0.0, width_mm)]);
        let job = read(&panels, &edges, &patch(1, "left", (565.0, 200.0))).expect("whole");
        let skins = plymend::skins(&job).expect("the skins are joined");
        let mesh = &skins[0].mesh;
        let start = Point2::new(520.0, 130.0);
        let origin = Origin::point(mesh.locate(start).expect("on the sheet"));
        let reach = DistanceField::spread(mesh, &skins[0].filled, &origin, 400.0).expect("reach");
        for aim in [(590.0, 300.0), (640.0, 10.0), (700.0, 333.0), (801.0, 190.0)] {
            let aim = Point2::new(aim.0, aim.1);
            let found = reach.at(&mesh.locate(aim).expect("on the joined sheet"));
            let off = (found / (aim - start).norm() - 1.0).abs();
            assert!(off < most, "{aim}: {off:e}");
        }
    }
}

fn sheets() -> [String; 2] {
    [flat("left", 600.0, 400.0, ""), flat("right", 500.0, 400.0, "")]
}

/// One sheet as large as both.
fn whole() -> [String; 1] {
    [flat("left", 1100.0, 400.0, "")]
}

#[test]
fn distances_over_a_seam_are_straight_lines() {
    let job = read(&sheets(), &beside(600.0, 400.0), &patch(1, "left", (300.0, 200.0)));
    let job = job.expect("the job is whole");
    let skins = plymend::skins(&job).expect("they are joined");
    let left = &skins[0];
    let from = Point2::new(571.0, 203.0);
    let origin = Origin::point(left.mesh.nearest(from).0);
    let field =
        DistanceField::spread(&left.mesh, &left.filled, &origin, 450.0).expect("it spreads");
    for to in [Point2::new(640.0, 111.0), Point2::new(700.0, 250.0), Point2::new(905.5, 377.0)] {
        let (at, miss) = left.mesh.nearest(to);
        assert!(miss < 1e-9 && left.over_face(at.face).is_some());
        assert!((field.at(&at) - (to - from).norm()).abs() < 1e-9, "{to}");
    }
}

#[test]
fn over_a_seam_reaches_are_as_large_as_on_one_sheet() {
    for marks in [
        patch(1, "left", (565.0, 200.0)),
        crack(1, "left", (560.0, 200.0), 0.0),
        crack(1, "left", (575.0, 200.0), 37.0),
        // At the seam itself, along it.
        crack(1, "left", (600.0, 200.0), 90.0),
        crack(1, "left", (597.0, 210.0), 90.0),
    ] {
        let joined = areas(&sheets(), &beside(600.0, 400.0), &marks);
        let flat = areas(&whole(), "", &marks);
        let off = differ(&joined, &flat);
        assert!(off < RIM, "{off:e} off: {marks}");
        let cut = areas(&sheets(), "", &marks);
        assert!(differ(&cut, &flat) > 0.01, "without the seam the edge stops it: {marks}");
    }
}

#[test]
fn marks_on_both_sides_become_one_repair() {
    let both = patch(1, "left", (570.0, 200.0)) + &patch(2, "right", (40.0, 210.0));
    let flat = patch(1, "left", (570.0, 200.0)) + &patch(2, "left", (640.0, 210.0));
    let joined = areas(&sheets(), &beside(600.0, 400.0), &both);
    assert_eq!(joined.len(), 1);
    let off = differ(&joined, &areas(&whole(), "", &flat));
    assert!(off < CORNERED_RIM, "{off:e} off");
    assert_eq!(areas(&sheets(), "", &both).len(), 2);
}

/// A prism of facets on a circle, straight along u.
fn prism(name: &str, from: usize, to: usize) -> String {
    let points: Vec<String> = (from..=to)
        .map(|k| {
            let turn = (k as f64 * 4.0).to_radians();
            format!("({}, {})", 300.0 * turn.cos(), 300.0 * turn.sin())
        })
        .collect();
    let section =
        |at: f64| format!("(at_mm: {at}, straight: true, points: [{}])", points.join(", "));
    format!(
        "(format: 1, name: \"{name}\", surface: Sections(sections: [{}, {}]), {MAKE_UP}, \
         fixings: none_seen)",
        section(0.0),
        section(800.0)
    )
}

#[test]
fn a_cylinder_cut_along_a_line_and_joined_is_one_cylinder() {
    let side = 2.0 * 300.0 * 2.0_f64.to_radians().sin();
    let seam = seam([(0.0, 12.0 * side), (800.0, 12.0 * side)], [(0.0, 0.0), (800.0, 0.0)]);
    let parts = [prism("left", 0, 12), prism("right", 12, 30)];
    for marks in [
        patch(1, "left", (400.0, 12.0 * side - 30.0)),
        crack(1, "left", (400.0, 12.0 * side - 35.0), 60.0),
        crack(1, "left", (400.0, 12.0 * side - 5.0), 0.0),
    ] {
        let joined = areas(&parts, &seam, &marks);
        let off = differ(&joined, &areas(&[prism("left", 0, 30)], "", &marks));
        assert!(off < RIM, "{off:e} off: {marks}");
    }
}

#[test]
fn a_neighbour_turned_round_and_taller_is_joined_along_part_of_its_edge() {
    // The right sheet's grid starts at its far upper corner, and it stands 100 mm lower.
    let right = flat("right", 500.0, 700.0, "");
    let seam = seam([(600.0, 0.0), (600.0, 400.0)], [(500.0, 600.0), (500.0, 200.0)]);
    let marks = crack(1, "left", (570.0, 200.0), 20.0);
    let joined = areas(&[flat("left", 600.0, 400.0, ""), right], &seam, &marks);
    let off = differ(&joined, &areas(&whole(), "", &marks));
    assert!(off < RIM, "{off:e} off");
    // Round the end of the seam, on the taller sheet, distances bend.
    let low = crack(1, "left", (580.0, 20.0), 0.0);
    let right = flat("right", 500.0, 700.0, "");
    let bent = areas(&[flat("left", 600.0, 400.0, ""), right], &seam, &low);
    let flat = areas(&whole(), "", &low);
    assert!(bent[0][2] > flat[0][2]);
}

fn latch(name: &str, at: (f64, f64)) -> String {
    format!("fixings: Listed([(name: \"{name}\", at: ({}, {}), carries: latch)])", at.0, at.1)
}

#[test]
fn a_fixing_over_the_seam_refers_the_mark() {
    let left = flat("left", 600.0, 400.0, "");
    let marks = crack(1, "left", (500.0, 200.0), 90.0);
    for (u, referred) in [(20.0, true), (400.0, false)] {
        let right = flat("right", 500.0, 400.0, &latch("pin", (u, 200.0)));
        let report = estimate(&[left.clone(), right.clone()], &beside(600.0, 400.0), &marks);
        assert_eq!(report.findings[0].action == "refer", referred, "latch at u {u}");
        // As on one sheet, and not without the seam.
        let one = flat("left", 1100.0, 400.0, &latch("pin", (600.0 + u, 200.0)));
        assert_eq!(estimate(&[one], "", &marks).findings[0].action == "refer", referred);
        assert_ne!(estimate(&[left.clone(), right], "", &marks).findings[0].action, "refer");
        if referred {
            let told = &report.referrals[0].reason;
            assert!(told.contains("\"pin\" of the right over the seam"), "{told}");
        }
    }
}

#[test]
fn what_the_neighbour_leaves_unknown_refers_what_comes_on_to_it() {
    let left = flat("left", 600.0, 400.0, "");
    let near = crack(1, "left", (560.0, 200.0), 90.0);
    let far = crack(1, "left", (150.0, 200.0), 90.0);
    let other = |from: &str, to: &str| flat("right", 500.0, 400.0, "").replace(from, to);
    for right in [
        other("fixings: none_seen", "fixings: unknown"),
        other("roles: [skin]", "roles: [stressed]"),
        other("roles: [skin]", "roles: [unknown]"),
        other("roles: [skin]", "roles: [holds_people]"),
    ] {
        let panels = [left.clone(), right.clone()];
        let seam = beside(600.0, 400.0);
        assert_eq!(estimate(&panels, &seam, &near).findings[0].action, "refer", "{right}");
        assert_ne!(estimate(&panels, &seam, &far).findings[0].action, "refer", "{right}");
        assert_ne!(estimate(&panels, "", &near).findings[0].action, "refer", "{right}");
    }
}

#[test]
fn paint_goes_over_the_seam_to_the_neighbours_region_once() {
    let both = patch(1, "left", (570.0, 200.0)) + &patch(2, "right", (300.0, 200.0));
    let report = estimate(&sheets(), &beside(600.0, 400.0), &both);
    let painted: Vec<&str> =
        report.paint.high.regions.iter().map(|one| one.panel.as_str()).collect();
    assert_eq!(painted, ["left", "right"]);
    assert!((report.paint.high.area_m2 - 1.1 * 0.4).abs() < 1e-6);
}

#[test]
fn a_referred_mark_over_the_seam_holds_what_would_meet_it() {
    let other = mark(
        2,
        "right",
        (30.0, 200.0),
        "kind: other, depth: full, edges_move: no, shape: Spot(diameter_mm: 20)",
    );
    let both = patch(1, "left", (570.0, 200.0)) + &other;
    let report = estimate(&sheets(), &beside(600.0, 400.0), &both);
    assert_eq!(report.findings[0].action, "held");
    assert_eq!(report.findings[0].held_by, [2]);
    assert_eq!(estimate(&sheets(), "", &both).findings[0].action, "repair");
}

/// Code and text of the only fault.
fn fault(panels: &[String], seams: &str) -> (String, String) {
    let marks = patch(1, "left", (300.0, 200.0));
    let faults = match read(panels, seams, &marks) {
        Err(faults) => faults,
        Ok(job) => plymend::estimate(&job).expect_err("this must not be worked out"),
    };
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert!(faults[0].to_string().contains("body.ron"), "{}", faults[0]);
    (faults[0].code.to_owned(), faults[0].to_string())
}

#[test]
fn seams_that_do_not_fit_are_refused() {
    let edge = [(600.0, 0.0), (600.0, 400.0)];
    let (code, told) = fault(&sheets(), &seam(edge, [(0.0, 0.0), (0.0, 340.0)]));
    assert_eq!(code, "SEAM-LENGTH");
    assert!(told.contains("400 mm") && told.contains("340 mm"), "{told}");
    // Both ends on the edge, and the way between them round two corners.
    let (code, told) = fault(&sheets(), &seam(edge, [(60.0, 0.0), (60.0, 400.0)]));
    assert!(code == "SEAM-LENGTH" && told.contains("520 mm"), "{told}");
    let (code, told) = fault(&sheets(), &seam(edge, [(60.0, 200.0), (0.0, 400.0)]));
    assert!(code == "SEAM-EDGE" && told.contains("60 mm off the edge"), "{told}");
    let twice = format!(
        "{}, {}",
        beside(600.0, 400.0),
        "(one: (panel: \"left\", along: [On(600, 100), On(600, 300)]), \
          other: (panel: \"third\", along: [On(0, 0), On(0, 200)]))"
    );
    let [left, right] = sheets();
    let third = flat("third", 500.0, 200.0, "");
    let (code, told) = fault(&[left, right, third], &twice);
    assert!(code == "SEAM-OVERLAP" && told.contains("200 mm"), "{told}");
    let itself = beside(600.0, 400.0).replace("\"right\"", "\"left\"");
    assert_eq!(fault(&sheets(), &itself).0, "READ-SEAM");
    let turned = seam(edge, [(0.0, 400.0), (0.0, 0.0)]);
    assert_eq!(fault(&sheets(), &turned).0, "SEAM-SHAPE");
    let again = format!(
        "{}, {}",
        beside(600.0, 400.0),
        seam([(600.0, 400.0), (100.0, 400.0)], [(0.0, 400.0), (500.0, 400.0)])
    );
    assert_eq!(fault(&sheets(), &again).0, "SEAM-RING");
    let [left, right] = sheets();
    let epoxy = right.replace("hand_laid_polyester", "epoxy");
    assert_eq!(fault(&[left, epoxy], &beside(600.0, 400.0)).0, "SEAM-MATERIAL");
}

/// Growing, moving and adding marks near a seam: whatever the panels by themselves refer, the
/// joined ones refer too.
#[test]
fn a_seam_never_takes_a_referral_away() {
    let right = flat("right", 500.0, 400.0, &latch("pin", (60.0, 120.0)));
    let left = flat("left", 600.0, 400.0, &latch("hook", (480.0, 320.0)));
    let (mut both, mut only) = (0, 0);
    for u in [390.0, 450.0, 510.0, 560.0, 590.0, 600.0] {
        for v in [60.0, 200.0, 330.0] {
            for (panel, u) in [("left", u), ("right", 600.0 - u)] {
                for marks in [patch(1, panel, (u, v)), crack(1, panel, (u, v), 30.0)] {
                    let panels = [left.clone(), right.clone()];
                    let joined = estimate(&panels, &beside(600.0, 400.0), &marks);
                    let apart = estimate(&panels, "", &marks);
                    let referred =
                        |report: &Report| report.findings.iter().any(|one| one.action == "refer");
                    assert!(referred(&joined) || !referred(&apart), "{marks}");
                    both += u32::from(referred(&apart));
                    only += u32::from(referred(&joined) && !referred(&apart));
                }
            }
        }
    }
    assert!(both > 10 && only > 5, "{both} referred anyhow, {only} by the seam alone");
}

#[test]
fn a_repair_over_a_seam_is_told_by_panel() {
    let report = estimate(&sheets(), &beside(600.0, 400.0), &patch(1, "left", (570.0, 200.0)));
    let high = &report.repairs[0].scenarios.high;
    let shares: Vec<&str> = high.prepared_by_panel.iter().map(|one| one.panel.as_str()).collect();
    assert_eq!(shares, ["left", "right"]);
    let sum: f64 = high.prepared_by_panel.iter().map(|one| one.area_m2).sum();
    assert!((sum - high.prepared_area_m2).abs() < 3e-6);
    assert!(high.prepared_by_panel[1].area_m2 > 0.01);
    let alone = estimate(&sheets(), "", &patch(1, "left", (570.0, 200.0)));
    assert!(alone.repairs[0].scenarios.high.prepared_by_panel.is_empty());
}

fn report_with(panels: &[String], body: &str, survey: &str, marks: &str) -> Report {
    let folder = folder(panels, body, survey, marks);
    let job = job(&folder, "survey.ron", &Named::default()).expect("the job is whole");
    plymend::estimate(&job).expect("the job is worked out")
}

#[test]
fn hinges_on_both_sides_of_a_seam_stop_both_panels() {
    let left = flat("left", 600.0, 400.0, &latch("hook", (570.0, 150.0)));
    let right = flat("right", 500.0, 400.0, &latch("pin", (20.0, 220.0)));
    let both = [left.replace("roles: [skin]", "roles: [opens]"), right];
    let report = estimate(&both, &beside(600.0, 400.0), &crack(1, "left", (560.0, 200.0), 90.0));
    for name in ["\"hook\"", "\"pin\" of the right over the seam"] {
        assert!(report.referrals.iter().any(|one| one.reason.contains(name)), "{name}");
    }
    for name in ["left", "right"] {
        assert!(report.stops.iter().any(|one| one.text.contains(name)), "no stop names {name}");
    }
}

#[test]
fn a_rule_that_looks_farther_looks_farther_over_a_seam_too() {
    let right = flat("right", 500.0, 400.0, "fixings: unknown");
    let panels = [flat("left", 1500.0, 400.0, ""), right];
    let seam = seam([(1500.0, 0.0), (1500.0, 400.0)], [(0.0, 0.0), (0.0, 400.0)]);
    let marks = crack(1, "left", (700.0, 200.0), 90.0);
    let mut folder = folder(&panels, &format!("seams: [{seam}]"), "", &marks);
    folder.put("rules.ron", "(format: 1, changes: [(id: \"REFER-VITAL\", value: 1200)])");
    for (rules, referred) in [(None, false), (Some("rules.ron".to_owned()), true)] {
        let named = Named { rules, ..Named::default() };
        let job = job(&folder, "survey.ron", &named).expect("the job is whole");
        let report = plymend::estimate(&job).expect("it is worked out");
        assert_eq!(report.findings[0].action == "refer", referred);
    }
}

#[test]
fn what_the_neighbour_is_made_of_counts_for_what_comes_on_to_it() {
    let [left, right] = sheets();
    let unknown = right.replace("hand_laid_polyester", "unknown");
    let seams = format!("seams: [{}]", beside(600.0, 400.0));
    let told = |panels: &[String], u: f64| {
        let report = report_with(panels, &seams, "air_c: 20,", &patch(1, "left", (u, 200.0)));
        assert_eq!(report.findings[0].action, "repair");
        report.cautions.iter().any(|one| one.code == "MATERIAL")
    };
    assert!(told(&[left.clone(), unknown.clone()], 570.0));
    assert!(!told(&[left.clone(), unknown], 150.0));
    assert!(!told(&[left, right], 570.0));
}

#[test]
fn what_is_live_behind_the_neighbour_is_said_of_a_mark_that_comes_on_to_it() {
    let body = format!(
        "seams: [{}], live_parts: [(what: \"charger\", behind: \"right\")], \
         energy: (traction_battery: present)",
        beside(600.0, 400.0)
    );
    let said = |u: f64| {
        let report = report_with(&sheets(), &body, "", &patch(1, "left", (u, 200.0)));
        report.cautions.iter().any(|one| one.text.contains("charger behind the right (mark 1)"))
    };
    assert!(said(570.0));
    assert!(!said(150.0));
}

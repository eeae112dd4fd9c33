//! From a worked job to pieces on the roll: patterns against closed forms and the areas measured on
//! the skin, every piece on its roll by a check of its own, and the same answer every time.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::f64::consts::PI;

use nalgebra::Point2;
use plymend::buy::cutting::{MatPlan, Patterns, cut_plan, patterns};
use plymend::buy::nest::Settings;
use plymend::quantity::Case;
use plymend::read::job::{Named, TextFolder, job};
use plymend::repair::Plan;

const SHEET: &str = "(name: \"sheet\", generic: \"flat-sheet\", size: (length_mm: 1200, width_mm: 1000),
    thickness_mm: 4, material: hand_laid_polyester, roles: [skin], fixings: none_seen, back: reached)";

/// A lid that is curved one way only: it rolls out flat.
const ROLLED: &str = "(format: 1, name: \"rolled\", surface: Moulding(kind: lid, length_mm: 1200,
    width_mm: 900, crown_along_mm: 0, crown_across_mm: 80), laminate: (thickness_mm: 3),
    roles: [skin], fixings: none_seen)";

const CROWNED: &str = "(format: 1, name: \"crowned\", surface: Moulding(kind: lid, length_mm: 1200,
    width_mm: 900, crown_along_mm: 60, crown_across_mm: 60), laminate: (thickness_mm: 3),
    roles: [skin], fixings: none_seen)";

const OWN: &str =
    "(name: \"sheet\", file: \"own.ron\", material: hand_laid_polyester, back: reached)";

fn hole(id: u32, u: u32, v: u32, diameter_mm: u32) -> String {
    format!(
        "(id: {id}, panel: \"sheet\", kind: hole, place: On({u}, {v}), \
         shape: Spot(diameter_mm: {diameter_mm})),"
    )
}

fn worked<T>(
    panel: &str,
    own: &str,
    marks: &str,
    take: impl Fn(&Plan<'_>, &Patterns<'_>, &[MatPlan], Case) -> T,
    case: Case,
) -> T {
    worked_by("", panel, own, marks, take, case)
}

/// The same by a rule of the user's own.
fn worked_by<T>(
    rule: &str,
    panel: &str,
    own: &str,
    marks: &str,
    take: impl Fn(&Plan<'_>, &Patterns<'_>, &[MatPlan], Case) -> T,
    case: Case,
) -> T {
    let survey = format!("(format: 1, rules: \"rules.ron\", panels: [{panel}], marks: [{marks}])");
    let rules = format!("(format: 1, changes: [{rule}])");
    let folder = TextFolder::from([
        ("survey.ron", survey.as_str()),
        ("own.ron", own),
        ("rules.ron", rules.as_str()),
    ]);
    let job = match job(&folder, "survey.ron", &Named::default()) {
        Ok(job) => job,
        Err(faults) => panic!("{}", faults[0]),
    };
    let panels = plymend::skins(&job).unwrap_or_else(|faults| panic!("{}", faults[0]));
    let answer = plymend::work(&job, &panels).unwrap_or_else(|faults| panic!("{}", faults[0]));
    let drawn =
        patterns(&job.book, &panels, &answer.findings, &answer.plan, case).expect("patterns");
    let plans = cut_plan(&job.book, &drawn, &Settings::default()).expect("layouts");
    assert!(!drawn.plies.is_empty(), "nothing was laid");
    sound(&drawn, &plans);
    take(&answer.plan, &drawn, &plans, case)
}

fn area_mm2(outline: &[Point2<f64>]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).map(|(a, b)| (a.x - b.x) * (a.y + b.y)).sum::<f64>().abs() / 2.0
}

/// Whatever is cut lies on its roll, and adds up to the plies and their laps.
fn sound(drawn: &Patterns<'_>, plans: &[MatPlan]) {
    for plan in plans {
        let mut used_mm = 0.0_f64;
        for p in plan.layout.placed.iter().flat_map(|one| &one.outline_mm) {
            assert!(p.x > -0.02 && p.y > -0.02 && p.y < plan.roll.width_mm + 0.02, "{p}");
            used_mm = used_mm.max(p.x);
        }
        assert!((plan.length_m * 1e3 - used_mm).abs() < 0.02);
        assert!(plan.least_m <= plan.length_m + 1e-9);
        let placed: f64 = plan.layout.placed.iter().map(|one| area_mm2(&one.outline_mm)).sum();
        let of_mat = drawn.plies.iter().filter(|ply| ply.mat.name == plan.mat);
        let (flat, laps, holes) = of_mat.fold((0.0, 0.0, 0.0), |sum, ply| {
            let holes = ply.parts.iter().flat_map(|part| &part.holes_mm).map(|h| area_mm2(h));
            (sum.0 + ply.skin_m2, sum.1 + ply.lap_m2, sum.2 + holes.sum::<f64>() * 1e-6)
        });
        let whole_mm2 = (flat + laps + holes) * 1e6;
        assert!((placed / whole_mm2 - 1.0).abs() < 0.01, "{placed} {whole_mm2}");
        assert!((plan.pieces_m2 * 1e6 - placed).abs() < 1e-3 * placed);
    }
}

/// Discs on a flat sheet (closed form): the removal and the reach of every ply round a round hole.
#[test]
fn on_a_flat_sheet_a_pattern_is_the_skin_and_a_disc() {
    worked(
        SHEET,
        "",
        &hole(1, 600, 500, 60),
        |plan, drawn, _, case| {
            for ply in &drawn.plies {
                let of = &plan.repairs[0].areas.get(case).plies[ply.ply - 1];
                let radius_mm = 30.0 + of.grounds[0].out_mm;
                let disc_m2 = PI * radius_mm.powi(2) * 1e-6;
                assert!((ply.flat_m2 / disc_m2 - 1.0).abs() < 0.01, "{} {disc_m2}", ply.flat_m2);
                assert!((ply.flat_m2 / ply.skin_m2 - 1.0).abs() < 0.003);
                assert!((of.area_mm2 * 1e-6 - ply.skin_m2).abs() < 1e-12);
                let stretch = ply.stretch;
                assert!(stretch.most_percent < 1e-3 && stretch.least_percent > -1e-3);
                assert!(stretch.curvature.abs() < 1e-6 && ply.notes.is_empty());
                // The sheet of a flat panel is its grid.
                let middle = Point2::new(600.0, 500.0);
                for p in &ply.parts[0].outline_mm {
                    assert!(((p - middle).norm() - radius_mm).abs() < 1.0);
                }
            }
            assert_eq!(drawn.plies.len(), plan.repairs[0].areas.get(case).plies.len());
        },
        Case::Likely,
    );
}

#[test]
fn what_rolls_out_has_no_stretch_and_its_own_area() {
    worked(
        OWN,
        ROLLED,
        &hole(1, 600, 450, 120),
        |_, drawn, _, _| {
            for ply in &drawn.plies {
                let stretch = ply.stretch;
                assert!(
                    stretch.most_percent < 0.05 && stretch.least_percent > -0.05,
                    "{stretch:?}"
                );
                assert!(stretch.curvature < 0.005, "{stretch:?}");
                assert!((ply.flat_m2 / ply.skin_m2 - 1.0).abs() < 0.003);
                assert!(ply.notes.is_empty());
            }
        },
        Case::High,
    );
}

#[test]
fn a_crowned_lid_stretches_a_little_and_says_so() {
    worked(
        OWN,
        CROWNED,
        &hole(1, 600, 450, 200),
        |_, drawn, _, _| {
            let last = drawn.plies.iter().max_by(|a, b| a.skin_m2.total_cmp(&b.skin_m2)).unwrap();
            let of = last.stretch;
            assert!(of.curvature > 0.005 && of.most_percent > 0.005, "{of:?}");
            assert!(of.most_percent < 3.0 && of.least_percent > -3.0, "{of:?}");
            for ply in &drawn.plies {
                let off = 100.0 * (ply.flat_m2 / ply.skin_m2 - 1.0);
                let slack = 0.3; // The rim is drawn in chords.
                let (least, most) = (ply.stretch.least_percent, ply.stretch.most_percent);
                assert!(
                    off > 2.0 * least - slack && off < 2.0 * most + slack,
                    "{off} {least} {most}"
                );
            }
        },
        Case::High,
    );
}

/// A ply wider than its roll comes in strips, no one wider, that lie double by the rule's 50 mm.
#[test]
fn a_ply_wider_than_the_roll_comes_in_strips() {
    let sheet = SHEET.replace("length_mm: 1200, width_mm: 1000", "length_mm: 2600, width_mm: 2400");
    worked(
        &sheet,
        "",
        &hole(1, 1300, 1200, 1300),
        |_, drawn, _, _| {
            let wide: Vec<_> = drawn.plies.iter().filter(|ply| ply.parts[0].strips > 1).collect();
            assert!(!wide.is_empty());
            for ply in wide {
                assert_eq!(ply.pieces.len(), ply.parts[0].strips);
                let chord_m = 2.0 * (ply.flat_m2 / PI).sqrt();
                let laps = (ply.pieces.len() - 1) as f64;
                // A lap is no longer than the disc is wide, and not much shorter near its middle.
                assert!(ply.lap_m2 <= laps * 0.05 * chord_m && ply.lap_m2 > laps * 0.015 * chord_m);
            }
        },
        Case::Likely,
    );
}

#[test]
fn the_same_job_gives_the_same_plan() {
    let marks = [hole(1, 300, 300, 50), hole(2, 850, 700, 80)].concat();
    let once = |_: &Plan<'_>, drawn: &Patterns<'_>, plans: &[MatPlan], _: Case| {
        let ids: Vec<String> =
            drawn.plies.iter().flat_map(|p| p.pieces.iter().map(|one| one.id.clone())).collect();
        (ids, plans.to_vec())
    };
    let (ids, plans) = worked(SHEET, "", &marks, once, Case::Likely);
    assert_eq!((ids.clone(), plans), worked(SHEET, "", &marks, once, Case::Likely));
    let mut each = ids.clone();
    each.sort();
    each.dedup();
    assert_eq!(each.len(), ids.len());
}

/// The rule decides where a dart or a split is asked for; the note says by how much, where and how.
#[test]
fn a_stretch_past_the_rule_asks_for_a_dart_or_a_split() {
    let very = CROWNED.replace(
        "crown_along_mm: 60, crown_across_mm: 60",
        "crown_along_mm: 90, crown_across_mm: 90",
    );
    let hole = hole(1, 600, 450, 500);
    let notes = |_: &Plan<'_>, drawn: &Patterns<'_>, _: &[MatPlan], _: Case| {
        let worst =
            drawn.plies.iter().map(|ply| ply.stretch.worst_percent().abs()).fold(0.0, f64::max);
        (worst, drawn.plies.iter().flat_map(|ply| ply.notes.clone()).collect::<Vec<_>>())
    };
    let (worst, none) = worked(OWN, &very, &hole, notes, Case::Likely);
    assert!(worst > 0.55 && worst < 3.0, "{worst}");
    assert!(none.is_empty(), "{none:?}");
    let rule = "(id: \"CUT-STRETCH\", value: 0.5, why: \"stiff mat\")";
    let (_, asked) = worked_by(rule, OWN, &very, &hole, notes, Case::Likely);
    assert!(!asked.is_empty());
    for note in &asked {
        assert!(note.contains("CUT-STRETCH") && note.contains("50 mm"), "{note}");
    }
}

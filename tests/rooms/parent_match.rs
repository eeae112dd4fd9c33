//! The match of a repair to its parent: ratios against closed forms, and what a survey is told.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use approx::assert_relative_eq;
use plymend::read::built_in;
use plymend::read::job::{Named, TextFolder, job};
use plymend::repair::laminate::{Ply, Reinforcement::Mat, laid_ply};
use plymend::repair::parent_match::ratios;
use plymend::report::model::Report;
use plymend::report::text::{self, Wide};

fn mat(thickness_mm: f64) -> Ply {
    Ply { thickness_mm, ..laid_ply(Mat, 1.0, 0.3, 1.2) }
}

#[test]
fn plies_of_one_kind_match_by_thickness_alone_and_bend_by_its_cube() {
    // Closed form: E h for the membrane, E h3 / 12 for bending.
    let found =
        ratios(&[mat(3.0)], 3.0, &[mat(1.1), mat(1.1), mat(0.9)], &[(mat(1.2), 50.0)]).unwrap();
    assert_relative_eq!(found.thickness, 3.1 / 3.0, max_relative = 1e-12);
    assert_relative_eq!(found.membrane, 3.1 / 3.0, max_relative = 1e-12);
    assert_relative_eq!(found.bending.unwrap(), (4.2_f64 / 3.0).powi(3), max_relative = 1e-12);
}

#[test]
fn what_is_left_of_the_parent_stays_in_the_stack() {
    // Half of 3 mm taken off and 1.5 mm laid back is the parent again.
    let found = ratios(&[mat(1.0), mat(2.0)], 1.5, &[mat(1.5)], &[]).unwrap();
    assert_relative_eq!(found.thickness, 1.0, max_relative = 1e-12);
    assert_relative_eq!(found.membrane, 1.0, max_relative = 1e-12);
    assert_eq!(found.bending, None);
}

#[test]
fn a_softer_ply_left_inside_counts_with_its_own_stiffness() {
    let soft = Ply { along_mpa: 3250.0, across_mpa: 3250.0, shear_mpa: 1250.0, ..mat(1.0) };
    let hard = mat(1.0);
    // Hard outside, soft inside; the hard one goes and a hard one of 2 mm comes.
    let found = ratios(&[hard, soft], 1.0, &[mat(2.0)], &[]).unwrap();
    let e = hard.along_mpa;
    assert_relative_eq!(found.membrane, (2.0 * e + 3250.0) / (e + 3250.0), max_relative = 1e-9);
}

fn worked(thickness_mm: f64, stock: &str) -> Report {
    let panel = format!(
        "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1000, width_mm: 800),
          laminate: (thickness_mm: {thickness_mm}), material: hand_laid_polyester, roles: [skin],
          back: reached, fixings: none_seen)"
    );
    let survey =
        "(format: 1, stock: \"stock.ron\", panels: [(name: \"sheet\", file: \"sheet.ron\")],
        marks: [(id: 1, panel: \"sheet\", kind: hole, place: On(500, 400),
                 shape: Patch(length_mm: 60, width_mm: 40))])";
    let texts = TextFolder::from([
        ("survey.ron", survey),
        ("sheet.ron", panel.as_str()),
        ("stock.ron", stock),
    ]);
    let job = job(&texts, "survey.ron", &Named::default()).expect("whole");
    plymend::estimate(&job).expect("worked out")
}

#[test]
fn mats_match_and_woven_glass_of_the_same_thickness_does_not() {
    let plain = worked(3.0, built_in::STOCK);
    let found = plain.repairs[0].scenarios.high.parent_match.clone().unwrap();
    assert!(found.outside.is_empty() && found.parent_assumed, "{found:?}");
    assert!((found.membrane_ratio - found.thickness_ratio).abs() < 1e-6);
    // The user's own shelf: every mat replaced by woven glass at half its mass.
    let woven = built_in::STOCK.replacen(
        "glass_content: 0.2857142857142857",
        "kind: woven, glass_content: 0.5",
        2,
    );
    assert_ne!(woven, built_in::STOCK, "the shelf was changed");
    let stiff = worked(3.0, &woven);
    let found = stiff.repairs[0].scenarios.high.parent_match.clone().unwrap();
    assert!(found.membrane_ratio > 1.35, "{found:?}");
    assert!(found.outside.iter().any(|text| text.contains("cracks beside its rim")), "{found:?}");
    assert!(text::full(&stiff, Wide::Usual).contains("does not match"));
}

#[test]
fn a_heavy_backing_behind_a_thin_skin_is_warned_of() {
    let report = worked(2.5, built_in::STOCK);
    let found = report.repairs[0].scenarios.high.parent_match.clone().unwrap();
    assert!(found.bending_ratio.unwrap() > 3.0, "{found:?}");
    assert!(found.outside.iter().any(|text| text.contains("backing")), "{found:?}");
    let thick = worked(4.0, built_in::STOCK);
    let found = thick.repairs[0].scenarios.high.parent_match.clone().unwrap();
    assert!(found.bending_ratio.unwrap() < 3.0 && found.outside.is_empty(), "{found:?}");
}

#[test]
fn woven_plies_of_the_parent_count_with_their_own_stiffness() {
    // A parent of 450 g/m2 mat and 600 g/m2 woven glass, half and half laid back as mat alone.
    let parent = |plies: &str| {
        let panel = format!(
            "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1000, width_mm: 800),
              laminate: (thickness_mm: 3.0, {plies}), material: hand_laid_polyester,
              roles: [skin], back: reached, fixings: none_seen)"
        );
        let survey = "(format: 1, panels: [(name: \"sheet\", file: \"sheet.ron\")],
            marks: [(id: 1, panel: \"sheet\", kind: hole, place: On(500, 400),
                     shape: Patch(length_mm: 60, width_mm: 40))])";
        let texts = TextFolder::from([("survey.ron", survey), ("sheet.ron", panel.as_str())]);
        let job = job(&texts, "survey.ron", &Named::default());
        job.map(|job| plymend::estimate(&job).expect("worked out"))
    };
    let of = |plies: &str| {
        let report = parent(plies).unwrap_or_else(|faults| panic!("{}", faults[0]));
        report.repairs[0].scenarios.high.parent_match.clone().expect("glass is laid")
    };
    let mats = of("plies_g_m2: [450, 450]");
    let woven = of("plies: [(weight_g_m2: 450), (weight_g_m2: 600, kind: woven)]");
    assert!(!woven.parent_assumed);
    // By hand: E of mat at 1/3.5 is 15 / 3.5 + 2 = 6.286 GPa, of woven at 0.50 14.5 GPa. As laid
    // 0.45 kg/m2 of mat is 1.113 mm thick and 0.60 kg/m2 of woven 0.734 mm: 0.603 and 0.397 of it.
    let mat_mm = 0.45 * (1.0 / 2.56 + 2.5 / 1.2);
    let woven_mm = 0.60 * (1.0 / 2.56 + 1.0 / 1.2);
    let share = mat_mm / (mat_mm + woven_mm);
    let (e_mat, e_woven) = (15.0 / 3.5 + 2.0, 14.5);
    let stiffer = (share * e_mat + (1.0 - share) * e_woven) / e_mat;
    assert_relative_eq!(mats.membrane_ratio / woven.membrane_ratio, stiffer, max_relative = 1e-4);
    assert!(woven.outside.iter().any(|text| text.contains("it gives first")), "{woven:?}");
    let twice = parent("plies_g_m2: [450], plies: [(weight_g_m2: 450)]").expect_err("given twice");
    assert!(twice[0].to_string().contains("given twice"));
}

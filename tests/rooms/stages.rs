//! Stages of whole jobs: chosen by the upper bound of the peak where it is known, by the lower cap
//! where it is not, and stricter where an outer face stays on.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use plymend::read::job::{Named, TextFolder, job};
use plymend::report::Report;
use plymend::report::model::SittingLine;

/// A thick sheet with a hole, worked from the outer side, and a delamination worked from behind.
fn estimate(readings: &str, material: &str, rules: Option<&str>) -> Report {
    let survey = format!(
        "(format: 1, {readings} {}
  panels: [(name: \"sheet\", generic: \"flat-sheet\", size: (length_mm: 1200, width_mm: 1000),
            thickness_mm: 6, {material} roles: [skin], fixings: none_seen, back: reached)],
  marks: [
    (id: 1, panel: \"sheet\", kind: hole, place: On(350, 500), shape: Spot(diameter_mm: 40)),
    (id: 2, panel: \"sheet\", side: back, kind: delamination, place: On(850, 520),
     shape: Spot(diameter_mm: 30)),
  ],
)",
        if rules.is_some() { "rules: \"own.ron\"," } else { "" }
    );
    let mut folder = TextFolder::from([("survey.ron", survey.as_str())]);
    if let Some(text) = rules {
        folder.put("own.ron", text);
    }
    let job = match job(&folder, "survey.ron", &Named::default()) {
        Ok(job) => job,
        Err(faults) => panic!("{}", faults[0]),
    };
    plymend::estimate(&job).unwrap_or_else(|faults| panic!("{}", faults[0]))
}

const POLYESTER: &str = "material: hand_laid_polyester,";

fn laid(report: &Report) -> Vec<&SittingLine> {
    let laid: Vec<_> = report.shop.sittings.iter().filter(|one| one.plies > 0).collect();
    assert!(!laid.is_empty(), "nothing is laid");
    laid
}

#[test]
fn every_stage_is_within_its_cap_and_its_peak() {
    let mut largest = Vec::new();
    for air_c in [15, 20, 25, 30] {
        let report = estimate(&format!("air_c: {air_c}, humidity_percent: 50,"), POLYESTER, None);
        for one in laid(&report) {
            assert!(one.glass_kg_m2 <= 1.8 + 1e-9);
            let (low, high) = (one.peak_low_c.unwrap(), one.peak_high_c.unwrap());
            assert!(low <= high && low >= f64::from(air_c) - 0.1, "{air_c}: {low} {high}");
            assert!(high <= one.peak_most_c.unwrap() || one.plies == 1);
            assert!(one.next_stage_min.unwrap() > 30.0);
        }
        largest.push(laid(&report).iter().map(|one| one.plies).max().unwrap());
    }
    assert!(largest.windows(2).all(|pair| pair[0] >= pair[1]), "warmer, fewer: {largest:?}");
    assert!(largest.first() > largest.last(), "{largest:?}");
}

#[test]
fn without_temperature_or_resin_the_lower_cap_holds_and_no_peak_is_told() {
    let unread = estimate("", POLYESTER, None);
    let unknown = estimate("air_c: 20, humidity_percent: 50,", "", None);
    let cold = estimate("air_c: 8, humidity_percent: 50,", POLYESTER, None);
    for report in [&unread, &unknown, &cold] {
        for one in laid(report) {
            assert!(one.glass_kg_m2 <= 1.35 + 1e-9);
            assert!(one.peak_high_c.is_none() && one.next_stage_min.is_none());
        }
    }
}

#[test]
fn a_face_that_stays_on_asks_for_the_cooler_limit() {
    let report = estimate("air_c: 20, humidity_percent: 50,", POLYESTER, None);
    let most: Vec<f64> = laid(&report).iter().filter_map(|one| one.peak_most_c).collect();
    assert!(most.iter().any(|most| (most - 50.0).abs() < 1e-9), "worked from behind: {most:?}");
    assert!(most.iter().any(|most| (most - 60.0).abs() < 1e-9), "worked from outside: {most:?}");
}

#[test]
fn a_ply_that_is_too_hot_by_itself_blocks_the_lay_up() {
    let own = "(format: 1, changes: [(id: \"STAGE-PEAK\", value: 30, why: \"thin skin\")])";
    let report = estimate("air_c: 25, humidity_percent: 50,", POLYESTER, Some(own));
    let block = report.blocks.iter().find(|block| block.code == "STAGE-PEAK");
    assert!(block.unwrap().why.contains("one ply alone may reach"));
    assert!(report.shop.sandable_h.is_none(), "no time while it is blocked");
    let usual = estimate("air_c: 25, humidity_percent: 50,", POLYESTER, None);
    assert!(usual.blocks.iter().all(|block| block.code != "STAGE-PEAK"));
}

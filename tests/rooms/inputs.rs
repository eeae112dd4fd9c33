//! What an answer was made from is named with its fingerprint, and by which program.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use plymend::estimate;
use plymend::read::fingerprint::sha256;
use plymend::read::job::{Named, TextFolder, job};
use plymend::read::{Job, built_in};

const SURVEY: &str = r#"(format: 1, shop: "shop.ron",
    panels: [(name: "lid", generic: "lid", size: (length_mm: 1200, width_mm: 1000))],
    marks: [(id: 1, panel: "lid", kind: gel_crack, depth: gel, edges_move: no,
             place: On(600, 400), shape: Line(length_mm: 60, direction: Angle(0)))],
)"#;
const SHOP: &str = "(format: 1, day_c: 20, night_c: 18)";

fn read(shop: &str) -> Job {
    let folder = TextFolder::from([("survey.ron", SURVEY), ("shop.ron", shop)]);
    job(&folder, "survey.ron", &Named::default()).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

#[test]
fn every_file_stands_with_the_fingerprint_of_its_bytes() {
    let report = estimate(&read(SHOP)).unwrap();
    let files: Vec<(&str, &str)> =
        report.files.iter().map(|file| (file.name.as_str(), file.sha256.as_str())).collect();
    let of = |name: &str| files.iter().find(|(known, _)| *known == name).map(|(_, hash)| *hash);
    assert_eq!(of("survey.ron"), Some(sha256(SURVEY.as_bytes()).as_str()));
    assert_eq!(of("shop.ron"), Some(sha256(SHOP.as_bytes()).as_str()));
    let lid = built_in::panel("lid").unwrap();
    assert_eq!(of("built in: lid"), Some(sha256(lid.as_bytes()).as_str()));
    for (name, text) in [
        (built_in::STOCK_NAME, built_in::STOCK),
        (built_in::LABOUR_NAME, built_in::LABOUR),
        (built_in::PACKS_NAME, built_in::PACKS),
        (built_in::CONSUMABLES_NAME, built_in::CONSUMABLES),
        (plymend::rules::BUILT_IN_NAME, plymend::rules::BUILT_IN),
    ] {
        assert_eq!(of(name), Some(sha256(text.as_bytes()).as_str()), "{name}");
    }
    // Whatever is named as read has a fingerprint, and no name stands twice.
    assert!(report.files_read.iter().all(|name| of(name).is_some()));
    let mut names: Vec<&str> = files.iter().map(|(name, _)| *name).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), files.len());
    assert_eq!(report.program.name, "plymend");
    assert_eq!(report.program.version, env!("CARGO_PKG_VERSION"));
}

#[test]
fn a_changed_file_has_another_fingerprint_and_no_other_file_has() {
    let (before, after) = (read(SHOP), read(&SHOP.replace("18", "19")));
    for (one, other) in before.files.iter().zip(&after.files) {
        assert_eq!(one.name, other.name);
        assert_eq!(one.sha256 == other.sha256, one.name != "shop.ron", "{}", one.name);
    }
}

//! `plymend cure`: the answer as text and JSON, refusals, and slips in what was typed.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::process::{Command, Output, Stdio};

use serde::{Deserialize, Serialize};
use serde_json::Value;

fn cure(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_plymend"))
        .arg("cure")
        .args(arguments)
        .env_remove("NO_COLOR")
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn told(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn record(arguments: &[&str]) -> CureAnswer {
    let output = cure(&[arguments, &["--format", "json"]].concat());
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    let answer: CureAnswer = serde_json::from_value(value.clone()).unwrap();
    assert_eq!(serde_json::to_value(&answer).unwrap(), value, "a name has come or gone");
    answer
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct CureAnswer {
    schema: String,
    schema_version: u32,
    stock: String,
    resin: String,
    family: String,
    catalyst_percent: Option<f64>,
    pour_c: f64,
    night_c: f64,
    humidity_percent: Option<f64>,
    climate: Option<serde_json::Value>,
    laid_on: String,
    plies_g_m2: Vec<f64>,
    gates: Vec<Value>,
    gel_min: Option<TimeBand>,
    sandable_h: Option<TimeBand>,
    fairing_h: Option<TimeBand>,
    primer_days: Option<TimeBand>,
    gloss_days: Option<TimeBand>,
    stages: Vec<CureStage>,
    all_at_once: Option<PeakLine>,
    softens_after_a_day_c: Option<f64>,
    post_cures: Vec<Vec<HoldLine>>,
    settings: Vec<Value>,
    not_known: Vec<String>,
    needs_a_person: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct TimeBand {
    low: Option<f64>,
    likely: Option<f64>,
    high: Option<f64>,
    rests_on: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct CureStage {
    stage: usize,
    plies: usize,
    glass_kg_m2: f64,
    peak: Option<PeakLine>,
    next_stage_min: Option<f64>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PeakLine {
    low_c: f64,
    high_c: f64,
    most_c: f64,
    too_hot: bool,
    high_after_min: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct HoldLine {
    oven_c: f64,
    hours: f64,
    conversion: f64,
    glass_c: f64,
}

#[test]
fn the_text_is_kept() {
    let four = ["--plies", "450,450,450,450", "--temperature", "20", "--on", "nothing"];
    let output = cure(&four);
    assert_eq!(output.status.code(), Some(0), "{}", told(&output));
    insta::assert_snapshot!("cure_four_plies", text(&output));
    let cold = cure(&["--plies", "450,450,300", "--temperature", "10", "--face"]);
    assert_eq!(cold.status.code(), Some(1));
    insta::assert_snapshot!("cure_cold", text(&cold));
}

#[test]
fn the_json_has_these_names_and_its_stages_hold_all_plies() {
    for (air, on) in [("16", "panel"), ("20", "former"), ("28", "nothing")] {
        let answer = record(&[
            "--plies",
            "450,450,450,300",
            "--temperature",
            air,
            "--on",
            on,
            "--humidity",
            "50",
        ]);
        assert_eq!((answer.schema.as_str(), answer.schema_version), ("plymend.cure", 1));
        assert_eq!(answer.stages.iter().map(|one| one.plies).sum::<usize>(), 4);
        for stage in &answer.stages {
            let peak = stage.peak.as_ref().unwrap();
            assert!(peak.low_c <= peak.high_c && !peak.too_hot, "{air} {on}");
            assert!(stage.glass_kg_m2 <= 1.8);
        }
        let whole = answer.all_at_once.unwrap();
        assert!(answer.stages.iter().all(|one| one.peak.as_ref().unwrap().high_c <= whole.high_c));
        let band = answer.sandable_h.unwrap();
        assert!(band.low <= band.likely && band.likely <= band.high);
    }
}

#[test]
fn what_is_refused_has_no_times_and_no_advice_to_warm_without_its_caution() {
    for (arguments, code) in [
        (["--temperature", "14.9", "--catalyst", "2"], "LAYUP-COLD-STOP"),
        (["--temperature", "30.1", "--catalyst", "2"], "LAYUP-HOT-STOP"),
        (["--temperature", "20", "--catalyst", "3.1"], "CATALYST-MOST"),
        (["--temperature", "16", "--catalyst", "2.6"], "CATALYST-COLD"),
    ] {
        let arguments = [&["--plies", "450,450,450,450"], &arguments[..]].concat();
        let output = cure(&arguments);
        assert_eq!(output.status.code(), Some(1), "{arguments:?}");
        let said = text(&output).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains("SHUT") && said.contains(code), "{said}");
        assert!(!said.contains("TIMES"), "{said}");
        assert!(!said.contains("Warm ") || said.contains("No flame, glowing element"), "{said}");
        let answer = record(&arguments);
        assert!(answer.gel_min.is_none() && answer.all_at_once.is_none());
        assert!(answer.stages.iter().all(|one| one.peak.is_none() && one.plies <= 3));
    }
}

#[test]
fn a_kept_face_asks_for_a_cooler_peak() {
    let plies = ["--plies", "450,450,450,450", "--temperature", "20", "--on", "nothing"];
    let bare = record(&plies);
    let kept = record(&[&plies[..], &["--face"]].concat());
    let most = |answer: &CureAnswer| answer.stages[0].peak.as_ref().unwrap().most_c;
    assert!(most(&kept) < most(&bare));
    assert!(kept.stages[0].plies <= bare.stages[0].plies);
}

#[test]
fn epoxy_has_stages_and_no_dose() {
    let answer = record(&["--plies", "300,300", "--temperature", "20", "--resin", "epoxy"]);
    assert_eq!(answer.family, "epoxy");
    assert!(answer.catalyst_percent.is_none() && answer.sandable_h.is_none());
    assert!(answer.stages[0].peak.is_some());
    assert!(answer.not_known.iter().any(|one| one.starts_with("epoxy")));
    let dosed = ["--plies", "300", "--temperature", "20", "--resin", "epoxy", "--catalyst", "2"];
    assert_eq!(cure(&dosed).status.code(), Some(2));
}

#[test]
fn vinyl_ester_of_your_own_stock_softens_later() {
    let folder = tempfile::tempdir().unwrap();
    let own = include_str!("../panels/stock.ron").replacen(
        "resins: [",
        "resins: [(name: \"own vinyl ester\", family: vinyl_ester, density_g_cm3: 1.13, \
         styrene_percent: 40, hardener_percent: 2, gel_time_min: 25, gel_time_at_c: 25, \
         gel_time_percent: 2, evidence: choice, source: \"for this test\"),",
        1,
    );
    let file = folder.path().join("stock.ron");
    std::fs::write(&file, own).unwrap();
    let file = file.to_str().unwrap();
    let both = ["--plies", "450,450", "--temperature", "20", "--stock", file];
    let vinyl = record(&[&both[..], &["--resin", "own"]].concat());
    assert_eq!(vinyl.family, "vinyl ester");
    // Without a name the polyester is meant, wherever it stands in the stock.
    assert_eq!(record(&both).family, "polyester");
    let gel_min = vinyl.gel_min.unwrap().likely.unwrap();
    assert!((gel_min - 35.2).abs() < 0.3, "{gel_min}");
    let ends = |answer: &CureAnswer| answer.post_cures[2].last().unwrap().glass_c;
    let vinyl = record(&[&both[..], &["--resin", "own"]].concat());
    assert!(ends(&vinyl) > ends(&record(&both)));
}

#[test]
fn slips_are_told_with_what_is_accepted() {
    for (arguments, word) in [
        (vec!["--plies", "600", "--temperature", "20"], "300 or 450"),
        (vec!["--plies", "450", "--temperature", "120"], "-20 to 60"),
        (vec!["--plies", "450", "--temperature", "20", "--resin", "tar"], "one of:"),
        (vec!["--plies", "450", "--temperature", "20", "--resin", ""], "one of:"),
        (vec!["--plies", "450", "--temperature", "NaN"], "-20 to 60"),
        (vec!["--plies", "450", "--temperature", "20", "--panel-mm", "0"], "0.3 to 20"),
    ] {
        let output = cure(&arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert_eq!(text(&output), "");
        assert!(told(&output).contains(word), "{}", told(&output));
    }
}

//! A text in customary units says what the metric one says: each figure beside the metric one, the
//! user's words untouched.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::process::Command;

use plymend::read::job::{Named, TextFolder, job};
use plymend::report::imperial::{Units, Verbatim};
use plymend::report::text::{Wide, full, full_in, quote_in};

const SURVEY: &str = r#"(format: 1, client: "a club of 5 m boats", purpose: "sizing",
    panels: [(name: "lid", generic: "lid", size: (length_mm: 1200, width_mm: 1000))],
    amendments: [(date: "May", by: "us", what: "length", mark: 1, was: "55 mm", now: "60 mm")],
    marks: [
        (id: 1, panel: "lid", kind: gel_crack, depth: gel, edges_move: no, place: On(600, 400),
         shape: Line(length_mm: 60, direction: Angle(0)), note: "opens 2 mm at 30 °C"),
        (id: 2, panel: "lid", kind: crazing, depth: gel, place: On(300, 700),
         shape: Patch(length_mm: 120, width_mm: 90, angle_deg: 0), note: "140 mm"),
    ],
)"#;

fn flowing(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Words with a digit in a row; a unit with a digit is none.
fn figures(row: &str) -> usize {
    let digit = |word: &&str| word.bytes().any(|sign| sign.is_ascii_digit());
    row.split(' ').filter(digit).filter(|word| !word.starts_with(char::is_alphabetic)).count()
}

/// Takes every customary figure out again and leaves the metric one that stands behind it.
fn undone(text: &str) -> String {
    const UNITS: [&str; 11] =
        ["US fl oz", "US gal", "ft³/min", "oz/ft²", "lb/ft²", "ft²", "ft³", "ft", "in", "oz", "lb"];
    let mut left = text.to_owned();
    for unit in UNITS.iter().chain(&["°F"]) {
        let open = format!(" {unit} (");
        let mut from = 0;
        while let Some(at) = left[from..].find(&open).map(|at| from + at) {
            let behind = at + open.len();
            let close = behind + left[behind..].find(')').expect("closed");
            let metric = left[behind..close].to_owned();
            // The told row has the words of the metric one.
            let words: Vec<&str> = left[..at].split(' ').collect();
            let wanted = metric.rsplit_once(' ').map_or(0, |(row, _)| row.split(' ').count());
            let (kept, told) = words.split_at(words.len() - wanted);
            if !told.first().is_some_and(|word| word.bytes().any(|sign| sign.is_ascii_digit())) {
                // The word in, and not the unit.
                from = behind;
                continue;
            }
            assert_eq!(figures(&told.join(" ")), figures(&metric), "{told:?} {metric}");
            let before: String = told[0].chars().take_while(|sign| "([".contains(*sign)).collect();
            let kept = if kept.is_empty() { String::new() } else { format!("{} ", kept.join(" ")) };
            left = format!("{kept}{before}{metric}{}", &left[close + 1..]);
        }
    }
    left
}

#[test]
fn a_text_in_customary_units_holds_the_metric_text() {
    let folder = TextFolder::from([("survey.ron", SURVEY)]);
    let job = job(&folder, "survey.ron", &Named::default()).unwrap();
    let report = plymend::estimate(&job).unwrap();
    let units = Units::Imperial(Verbatim::of(&job));
    let metric = flowing(&full(&report, Wide::Working));
    let told = full_in(&report, Wide::Working, &units);
    assert!(told.lines().all(|line| line.chars().count() <= 100), "the page stays as wide");
    let told = flowing(&told).replace(&format!(" {}", units.note().unwrap()), "");
    assert_ne!(told, metric);
    let back = undone(&told).replace("mat 300 g/m²", "mat 300").replace("mat 450 g/m²", "mat 450");
    let (back, metric): (Vec<&str>, Vec<&str>) =
        (back.split(' ').collect(), metric.split(' ').collect());
    for (number, (one, other)) in back.iter().zip(&metric).enumerate() {
        let near = number.saturating_sub(6)..(number + 6).min(back.len()).min(metric.len());
        assert_eq!(one, other, "{:?} {:?}", &back[near.clone()], &metric[near]);
    }
    assert_eq!(back.len(), metric.len());
    // The user's words, with their figures.
    for own in [
        "a club of 5 m boats",
        "opens 2 mm at 30 °C",
        "as recorded: 140 mm",
        "was \"55 mm\", now \"60 mm\"",
    ] {
        assert!(told.contains(own), "{own}");
    }
    assert!(!told.contains("0.079 in (2 mm) at"));
    // Figures of rules are what a rules file sets.
    assert!(told.contains("GROW-") && told.contains("MOVE-CRAZE = 5 / 15 / 30 mm"));
    // No record changes by it.
    let page = quote_in(&plymend::quote(&job).unwrap(), &units);
    assert!(page.contains("US fl oz") && page.contains(" lb ("));
    assert!(!plymend::report::json::text(&report).contains("US fl oz"));
}

#[test]
fn units_are_for_texts_only() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("survey.ron");
    std::fs::write(&file, SURVEY).unwrap();
    let run = |words: &[&str]| {
        let run = Command::new(env!("CARGO_BIN_EXE_plymend")).args(words).arg(&file).output();
        let run = run.unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        (run.status.code(), text(run.stdout), text(run.stderr))
    };
    for words in [
        ["estimate", "--units", "imperial", "--format", "json"],
        ["quote", "--units", "imperial", "--format", "json"],
        ["quote", "--units", "imperial", "--format", "csv"],
        ["quote", "--units", "imperial", "--format", "lines"],
        ["quote", "--units", "imperial", "--format", "xlsx"],
    ] {
        let (code, out, told) = run(&words);
        assert_eq!((code, out.as_str()), (Some(2), ""), "{words:?}");
        assert!(told.contains("--units") && told.contains("--format text"), "{told}");
    }
    for command in ["assess", "estimate", "quote"] {
        let (_, metric, _) = run(&[command, "--units", "metric"]);
        let (_, plain, _) = run(&[command]);
        let (_, told, _) = run(&[command, "--units", "imperial"]);
        assert_eq!(metric, plain);
        assert!(told.contains("units: US customary") && told.contains(" in ("), "{command}");
    }
}

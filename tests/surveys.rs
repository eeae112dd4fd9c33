//! The commands over several surveys, from outside: `compare`, `history`, `totals` and `learn`.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

#[path = "surveys/generated.rs"]
mod generated;
#[path = "surveys/records.rs"]
mod records;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn run(place: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_plymend")).args(arguments).current_dir(place).output().unwrap()
}

fn text(of: &Output) -> String {
    String::from_utf8(of.stdout.clone()).unwrap()
}

fn told(of: &Output) -> String {
    String::from_utf8(of.stderr.clone()).unwrap()
}

fn code(of: &Output) -> i32 {
    of.status.code().unwrap()
}

/// The demo in a folder of its own.
fn demo() -> tempfile::TempDir {
    let place = tempfile::tempdir().unwrap();
    for entry in fs::read_dir(root().join("examples/harbour-shuttle")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|end| end == "ron") {
            fs::copy(&path, place.path().join(path.file_name().unwrap())).unwrap();
        }
    }
    let photos = place.path().join("photos");
    fs::create_dir(&photos).unwrap();
    for entry in fs::read_dir(root().join("examples/harbour-shuttle/photos")).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, photos.join(path.file_name().unwrap())).unwrap();
    }
    place
}

/// Puts a changed copy of a file beside it.
fn changed(place: &Path, from: &str, to: &str, changes: &[(&str, &str)]) {
    let mut text = fs::read_to_string(place.join(from)).unwrap();
    for (before, after) in changes {
        assert!(text.contains(before), "{from} has no {before:?}");
        text = text.replace(before, after);
    }
    fs::write(place.join(to), text).unwrap();
}

fn json(place: &Path, arguments: &[&str]) -> Value {
    let answer = run(place, arguments);
    assert_ne!(code(&answer), 2, "{}", told(&answer));
    serde_json::from_slice(&answer.stdout).unwrap()
}

const BOTH: [&str; 3] = ["compare", "survey-a.ron", "survey-b.ron"];

#[test]
fn the_demo_compares_as_its_surveyors_found() {
    let place = demo();
    let answer = run(place.path(), &BOTH);
    assert_eq!(code(&answer), 1, "{}", told(&answer));
    let said = text(&answer);
    let found = json(place.path(), &[&BOTH[..], &["--format", "json"]].concat());
    // The demo's own list of what survey B found.
    let expected = [
        ("grown", 3),
        ("turned", 0),
        ("new", 1),
        ("back_again", 0),
        ("smaller", 0),
        ("gone", 0),
        ("repaired", 1),
        ("measured_unchanged", 1),
        ("not_examined", 1),
        ("seen_not_measured", 12),
    ];
    for (verdict, count) in expected {
        assert_eq!(found["counts"][verdict], count, "{verdict}");
    }
    let with = |verdict: &str| -> Vec<u64> {
        let marks = found["marks"].as_array().unwrap().iter();
        marks
            .filter(|one| one["verdict"] == verdict)
            .map(|one| one["later_marks"][0].as_u64().unwrap())
            .collect()
    };
    assert_eq!(with("grown"), [8, 10, 12]);
    assert_eq!(with("new"), [19]);
    assert_eq!(with("repaired"), [11]);
    assert_eq!(with("measured_unchanged"), [5]);
    assert_eq!(with("not_examined"), [18]);
    assert!(!said.to_lowercase().contains("stable"), "{said}");
    assert!(said.contains("whether these have grown nobody knows"), "{said}");
    // New stops and referrals, then what nobody could see, then marks.
    let order = ["NEW: do not drive", "NEW REFERRAL: mark 19", "WHAT NOBODY COULD SEE", "\nMARKS"];
    let places: Vec<usize> = order.iter().map(|words| said.find(words).unwrap()).collect();
    assert!(places.is_sorted(), "{places:?}");
    assert!(said.trim_end().lines().last().unwrap().contains("needs a person"));
}

#[test]
fn numbers_of_marks_are_not_trusted() {
    let place = demo();
    let mut text = fs::read_to_string(place.path().join("survey-b.ron")).unwrap();
    for id in (1..=19).rev() {
        text = text.replace(&format!("id: {id},"), &format!("id: {},", 300 - 7 * id));
    }
    fs::write(place.path().join("survey-c.ron"), text).unwrap();
    let one = json(place.path(), &[&BOTH[..], &["--format", "json"]].concat());
    let other = ["compare", "survey-a.ron", "survey-c.ron", "--format", "json"];
    let other = json(place.path(), &other);
    assert_eq!(one["counts"], other["counts"]);
}

#[test]
fn a_survey_against_itself_changes_nothing_and_raises_nothing_new() {
    let place = demo();
    let same = ["compare", "survey-a.ron", "survey-a.ron", "--format", "json"];
    let found = json(place.path(), &same);
    assert_eq!(found["counts"]["measured_unchanged"], 18);
    assert!(found["no_longer"].as_array().unwrap().is_empty());
    let new = |list: &str| found[list].as_array().unwrap().iter().any(|one| one["new"] == true);
    assert!(!new("stops"));
    let referrals = found["referrals"].as_array().unwrap();
    assert!(referrals.iter().all(|one| one["standing"] == "as_before"));
}

#[test]
fn fixings_and_readings_are_told_side_by_side() {
    let place = demo();
    let states = "fixing_states: [(panel: \"tail panel with drop lid\", fixing: \"nearside hinge\", state: loose)],\n    marks: [";
    changed(
        place.path(),
        "survey-b.ron",
        "survey-c.ron",
        &[("    marks: [", states), ("reading: 23,", "reading: 31,")],
    );
    let asked = ["compare", "survey-a.ron", "survey-c.ron", "--format", "json"];
    let found = json(place.path(), &asked);
    let worse = &found["fixings"][0];
    assert_eq!((&worse["verdict"], &worse["fixing"]), (&"worse".into(), &"nearside hinge".into()));
    let reading = &found["readings"][0];
    assert_eq!(reading["verdict"], "rises");
    // 31 - 9 against 23 - 9; four steps of 1: the root of 4.
    assert_eq!(
        (reading["before_above"].as_f64(), reading["now_above"].as_f64()),
        (Some(14.0), Some(22.0))
    );
    assert_eq!(reading["error"].as_f64(), Some(2.0));
    let referral = |one: &&Value| one["mark"].is_null() && one["standing"] == "new";
    assert_eq!(found["referrals"].as_array().unwrap().iter().filter(referral).count(), 1);
}

#[test]
fn one_person_in_poor_light_claims_less() {
    let place = demo();
    let alone = [("people: two", "people: one"), ("light_is: good", "light_is: poor")];
    changed(place.path(), "survey-b.ron", "survey-c.ron", &alone);
    let asked = ["compare", "survey-a.ron", "survey-c.ron", "--format", "json"];
    let found = json(place.path(), &asked);
    // The root of 10 and 20 squared; two people each time have 14.1 mm.
    let ten =
        found["marks"].as_array().unwrap().iter().find(|one| one["later_marks"][0] == 10).unwrap();
    let error = ten["lengths"][0]["error_mm"].as_f64().unwrap();
    assert!((error - 500.0_f64.sqrt()).abs() < 1e-5, "{error}");
    assert!(!found["unlike"].as_array().unwrap().is_empty());
}

#[test]
fn other_bodies_skins_and_orders_are_refused() {
    let place = demo();
    let told_by = |arguments: &[&str]| {
        let answer = run(place.path(), arguments);
        assert_eq!(code(&answer), 2);
        assert!(answer.stdout.is_empty());
        told(&answer)
    };
    let turned = told_by(&["compare", "survey-b.ron", "survey-a.ron"]);
    assert!(turned.contains("COMPARE-NOT-ONE-BODY") && turned.contains("earlier day"), "{turned}");
    let sheet = |length: u32| {
        format!(
            "(format: 1, panels: [(name: \"lid\", generic: \"lid\", size: (length_mm: {length}))], marks: [])"
        )
    };
    fs::write(place.path().join("one.ron"), sheet(900)).unwrap();
    fs::write(place.path().join("other.ron"), sheet(960)).unwrap();
    let skin = told_by(&["compare", "one.ron", "other.ron"]);
    assert!(skin.contains("COMPARE-SKIN"), "{skin}");
    let body = told_by(&["compare", "survey-a.ron", "one.ron"]);
    assert!(body.contains("no panel of this survey"), "{body}");
    let both = told_by(&["compare", "missing.ron", "gone.ron"]);
    assert!(both.contains("missing.ron") && both.contains("gone.ron"), "{both}");
    changed(place.path(), "survey-b.ron", "day.ron", &[("2025-12-13", "2025-13-12")]);
    let day = told_by(&["compare", "survey-a.ron", "day.ron"]);
    assert!(day.contains("READ-MOMENT"), "{day}");
}

/// Four surveys a year or so apart, the last one in another light.
fn four(place: &Path) {
    let on = "on: \"2025-12-13\"";
    let ten = "length_mm: 165, direction: Toward(\"latch";
    let grown = |mm: u32| format!("length_mm: {mm}, direction: Toward(\"latch");
    changed(
        place,
        "survey-b.ron",
        "survey-c.ron",
        &[(on, "on: \"2027-01-10\""), (ten, &grown(190))],
    );
    changed(
        place,
        "survey-b.ron",
        "survey-d.ron",
        &[
            (on, "on: \"2028-02-10\""),
            (ten, &grown(260)),
            ("light: \"raking lamp\"", "light: \"daylight\""),
        ],
    );
}

const FOUR: [&str; 7] =
    ["history", "survey-d.ron", "survey-b.ron", "survey-a.ron", "survey-c.ron", "--format", "json"];

#[test]
fn a_history_gives_a_rate_from_like_conditions_only() {
    let place = demo();
    four(place.path());
    let found = json(place.path(), &FOUR);
    assert_eq!(found["by_day"], true);
    let last = |id: u64| {
        let marks = found["marks"].as_array().unwrap();
        let of = |one: &&Value| {
            one["seen"].as_array().unwrap().iter().any(|seen| seen["marks"][0] == id)
        };
        marks.iter().find(of).unwrap().clone()
    };
    let ten = last(10);
    let size = &ten["sizes"][0];
    let sizes: Vec<f64> = size["readings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["size_mm"].as_f64().unwrap())
        .collect();
    assert_eq!(sizes, [140.0, 165.0, 190.0, 260.0]);
    let rate = &size["rate"];
    // 140, 165 and 190 mm after 0, 427 and 820 days: by hand with a year of 365.25 days, 22.24 mm.
    assert!((rate["mm_a_year"].as_f64().unwrap() - 22.24).abs() < 0.02, "{rate}");
    assert_eq!(rate["surveys"], serde_json::json!([1, 2, 3]));
    assert_eq!(rate["says"], "grows");
    let one = last(1);
    assert!(one["sizes"][0]["rate"].is_null());
    assert!(one["sizes"][0]["no_rate"].as_str().unwrap().contains("measured in 1"));
    assert!(!found["stops"].as_array().unwrap().is_empty());
}

#[test]
fn without_days_or_like_light_there_is_no_rate_and_it_says_why() {
    let place = demo();
    four(place.path());
    for file in ["survey-a.ron", "survey-b.ron", "survey-c.ron"] {
        let path = place.path().join(file);
        let text = fs::read_to_string(&path).unwrap();
        let kept: Vec<&str> =
            text.lines().filter(|line| !line.trim_start().starts_with("on: ")).collect();
        fs::write(&path, kept.join("\n")).unwrap();
    }
    let asked = ["history", "survey-a.ron", "survey-b.ron", "survey-c.ron"];
    let said = text(&run(place.path(), &asked));
    assert!(said.contains("give their day") && !said.contains("mm a year"), "{said}");
    assert!(said.contains("in the order typed"), "{said}");
    let two = run(place.path(), &["history", "survey-a.ron", "survey-b.ron"]);
    assert_eq!(code(&two), 2);
}

/// A folder of generated surveys with one that is no RON and one panel.
fn folder(count: u64, backwards: bool) -> tempfile::TempDir {
    let place = tempfile::tempdir().unwrap();
    fs::create_dir(place.path().join("deep")).unwrap();
    let mut numbers: Vec<u64> = (0..count).collect();
    if backwards {
        numbers.reverse();
    }
    for number in numbers {
        let below = if number % 5 == 0 { "deep/" } else { "" };
        let name = format!("{below}{number:04}.ron");
        fs::write(place.path().join(name), generated::survey(number)).unwrap();
    }
    fs::write(place.path().join("broken.ron"), "(format: 1, marks: [").unwrap();
    let panel = root().join("examples/harbour-shuttle/bonnet-lid.ron");
    fs::copy(panel, place.path().join("panel.ron")).unwrap();
    place
}

/// What `totals` gives for a folder.
fn bytes(place: &Path, format: &str, threads: &str) -> Vec<u8> {
    let answer = run(place, &["totals", ".", "--format", format, "--threads", threads]);
    assert_eq!(code(&answer), 1, "{}", told(&answer));
    assert!(told(&answer).contains("broken.ron"), "{}", told(&answer));
    assert!(!told(&answer).contains('\r'), "a bar that is on no screen");
    answer.stdout
}

#[test]
#[ignore = "it takes minutes in a build for tests"]
fn a_thousand_surveys_give_the_same_bytes_in_any_order_and_with_any_threads() {
    let (one, other) = (folder(1000, false), folder(1000, true));
    assert!(bytes(one.path(), "csv", "1") == bytes(other.path(), "csv", "2"));
}

#[test]
fn every_format_gives_the_same_bytes_in_any_order_and_with_any_threads() {
    let (one, other) = (folder(24, false), folder(24, true));
    for format in ["lines", "json", "text", "csv"] {
        let alike = bytes(one.path(), format, "1") == bytes(other.path(), format, "2");
        assert!(alike, "{format}");
    }
}

#[test]
fn a_line_stands_alone_and_the_table_is_the_sum_of_the_lines() {
    let place = folder(40, false);
    let lines = run(place.path(), &["totals", ".", "--format", "lines"]);
    let lines: Vec<Value> =
        text(&lines).lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines.len(), 41);
    let table = json(place.path(), &["totals", ".", "--format", "json"]);
    assert_eq!(table["all"]["surveys"], 40);
    assert_eq!(table["other_files"], 1);
    assert_eq!(table["bad_files"][0]["file"], "broken.ron");
    let sum = |path: &[&str]| -> f64 {
        let of =
            |line: &Value| path.iter().fold(line, |at, name| &at[*name]).as_f64().unwrap_or(0.0);
        lines.iter().map(of).sum()
    };
    for path in [
        &["figures", "marks"][..],
        &["figures", "referred"],
        &["figures", "glass_kg", "high"],
        &["figures", "prepared_m2", "likely"],
        &["hours", "likely"],
    ] {
        let all = path.iter().fold(&table["all"], |at, name| &at[*name]).as_f64().unwrap();
        assert!((all - sum(path)).abs() < 1e-4, "{path:?}: {all} {}", sum(path));
    }
    let left_out: u64 =
        lines.iter().filter_map(|line| line["excludes"].as_array()).map(|of| of.len() as u64).sum();
    let counted: u64 = table["all"]["excludes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["marks"].as_u64().unwrap())
        .sum();
    assert_eq!(left_out, counted);
    assert!(counted > 0, "nothing is left out: the surveys are too easy");
    // Worst first: no survey stands before one with more to stop.
    let stops: Vec<usize> = table["surveys"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["stops"].as_array().unwrap().len())
        .collect();
    assert!(stops.is_sorted_by(|a, b| a >= b), "{stops:?}");
    // One survey by itself gives the line it has among others.
    let alone = tempfile::tempdir().unwrap();
    fs::write(alone.path().join("0007.ron"), generated::survey(7)).unwrap();
    let line = text(&run(alone.path(), &["totals", ".", "--format", "lines"]));
    let line: Value = serde_json::from_str(&line).unwrap();
    assert!(lines.contains(&line));
}

#[test]
fn a_folder_without_a_survey_and_an_answer_over_a_survey_are_refused() {
    let place = tempfile::tempdir().unwrap();
    fs::write(place.path().join("note.txt"), "x").unwrap();
    assert_eq!(code(&run(place.path(), &["totals", "."])), 2);
    fs::write(place.path().join("broken.ron"), "(").unwrap();
    let answer = run(place.path(), &["totals", "."]);
    assert_eq!(code(&answer), 2);
    assert!(told(&answer).contains("broken.ron"));
    assert_eq!(code(&run(place.path(), &["totals", "nowhere"])), 2);
    let survey = generated::survey(1);
    fs::write(place.path().join("one.ron"), &survey).unwrap();
    for format in ["lines", "csv"] {
        let over = run(place.path(), &["totals", ".", "--format", format, "-o", "one.ron"]);
        assert_eq!(code(&over), 2);
        assert_eq!(fs::read_to_string(place.path().join("one.ron")).unwrap(), survey);
    }
    let link = run(place.path(), &["totals", ".", "--format", "lines", "-o", "out.jsonl"]);
    assert_eq!(code(&link), 1);
    assert!(fs::read_to_string(place.path().join("out.jsonl")).unwrap().ends_with("}\n"));
}

#[cfg(unix)]
#[test]
fn broken_off_it_leaves_no_file_behind() {
    let place = folder(200, false);
    let before: usize = fs::read_dir(place.path()).unwrap().count();
    let child = Command::new(env!("CARGO_BIN_EXE_plymend"))
        .args(["totals", ".", "--format", "lines", "--threads", "1", "-o", "out.jsonl"])
        .current_dir(place.path())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    // The hidden file beside its place says that the work has begun.
    while fs::read_dir(place.path()).unwrap().count() == before {
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    let id = child.id().to_string();
    assert!(Command::new("kill").args(["-INT", &id]).status().unwrap().success());
    let ended = child.wait_with_output().unwrap();
    assert_eq!(ended.status.code(), Some(130));
    assert_eq!(fs::read_dir(place.path()).unwrap().count(), before);
}

#[test]
fn what_is_learnt_is_a_rule_file_that_a_survey_can_name() {
    let place = demo();
    changed(
        place.path(),
        "survey-a.ron",
        "survey-a.ron",
        &[("    body: \"body.ron\",", "    body: \"body.ron\",\n    opened: \"opened.ron\",")],
    );
    let answer = run(place.path(), &["learn", ".", "-o", "learnt.ron"]);
    assert_eq!(code(&answer), 0, "{}", told(&answer));
    let file = fs::read_to_string(place.path().join("learnt.ron")).unwrap();
    assert!(
        file.contains("normal mean of the logarithms") && file.contains("counts as 4 marks"),
        "{file}"
    );
    assert_eq!(code(&run(place.path(), &["check", "learnt.ron"])), 0);
    let found = json(place.path(), &["learn", ".", "--format", "json"]);
    assert_eq!((&found["jobs"], &found["marks"]), (&1.into(), &4.into()));
    for rule in found["rules"].as_array().unwrap() {
        let (book, now) =
            (rule["before"]["likely"].as_f64().unwrap(), rule["after"]["likely"].as_f64().unwrap());
        let alone = rule["alone"].as_f64().unwrap();
        // Nearer to the book than to the marks: fewer than four of them.
        assert!((now - book).abs() < (now - alone).abs(), "{rule}");
    }
    let named = run(place.path(), &["assess", "survey-b.ron", "--rules", "learnt.ron"]);
    assert_eq!(code(&named), 1);
    assert!(text(&named).contains("GROW-GEL-CRACK"));
    let nothing = folder(3, false);
    assert_eq!(code(&run(nothing.path(), &["learn", "."])), 2);
}

#[test]
fn records_have_the_names_that_are_promised_and_no_others() {
    let place = demo();
    four(place.path());
    let compare = json(place.path(), &[&BOTH[..], &["--format", "json"]].concat());
    let history = json(place.path(), &FOUR);
    let many = folder(10, false);
    let totals = json(many.path(), &["totals", ".", "--format", "json"]);
    changed(
        place.path(),
        "survey-a.ron",
        "survey-a.ron",
        &[("    body: \"body.ron\",", "    body: \"body.ron\",\n    opened: \"opened.ron\",")],
    );
    let learn = json(place.path(), &["learn", ".", "--format", "json"]);
    records::hold(&compare, &history, &totals, &learn);
}

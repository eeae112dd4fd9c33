//! The command line itself: helps, exit codes, streams, what is written and what is not.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::fs;
use std::io::Read;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn plymend(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_plymend"));
    command.args(arguments).current_dir(folder).env_remove("NO_COLOR").stdin(Stdio::null());
    command
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    plymend(folder, arguments).output().unwrap()
}

fn here(arguments: &[&str]) -> Output {
    run(Path::new("."), arguments)
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

#[test]
fn every_help_is_kept() {
    let commands = [
        "",
        "check",
        "new",
        "panel",
        "assess",
        "estimate",
        "quote",
        "patterns",
        "report",
        "compare",
        "history",
        "totals",
        "learn",
        "cure",
        "explain",
        "completions",
        "man",
    ];
    for command in commands {
        let arguments: Vec<&str> =
            [command, "--help"].into_iter().filter(|word| !word.is_empty()).collect();
        let help = here(&arguments);
        assert_eq!(code(&help), 0);
        let name = if command.is_empty() { "plymend" } else { command };
        insta::assert_snapshot!(format!("help_{name}"), out(&help));
    }
}

#[test]
fn a_new_job_passes_the_check_and_is_never_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path();
    let panels = ["--panel", "lid", "--panel", "flat-sheet", "--panel", "lid"];
    let new = run(path, &[&["new", "job"], &panels[..]].concat());
    assert_eq!(code(&new), 0, "{}", err(&new));
    let check = run(path, &["check", "job/survey.ron", "job/shop.ron"]);
    assert_eq!(code(&check), 0, "{}", err(&check));
    assert_eq!(out(&check), "job/survey.ron: survey, no fault\njob/shop.ron: shop, no fault\n");
    let read = |name: &str| fs::read_to_string(path.join(name)).unwrap();
    insta::assert_snapshot!("new_sheet", read("job/measuring-sheet.txt"));
    insta::assert_snapshot!("new_survey", read("job/survey.ron"));

    fs::write(path.join("job/shop.ron"), "mine").unwrap();
    fs::remove_file(path.join("job/survey.ron")).unwrap();
    let again = run(path, &["new", "job"]);
    assert_eq!(code(&again), 2);
    assert_eq!(out(&again), "");
    assert!(err(&again).contains("WRITE-EXISTS"));
    assert_eq!(read("job/shop.ron"), "mine");
    assert!(!path.join("job/survey.ron").exists());
}

#[test]
fn an_unknown_generic_moulding_is_told_and_nothing_made() {
    let folder = tempfile::tempdir().unwrap();
    let new = run(folder.path(), &["new", "job", "--panel", "lidd"]);
    assert_eq!(code(&new), 2);
    assert!(err(&new).contains("write lid if that is meant"), "{}", err(&new));
    assert!(!folder.path().join("job").exists());
}

#[test]
fn answers_are_written_whole_and_never_over_what_they_were_made_from() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path();
    let survey = "(format: 1, marks: [])";
    fs::write(path.join("survey.ron"), survey).unwrap();
    let json = ["estimate", "survey.ron", "--format", "json"];
    let good = run(path, &[&json[..], &["-o", "answer.json"]].concat());
    assert_eq!(code(&good), 0, "{}", err(&good));
    assert_eq!(out(&good), "");
    let written = fs::read_to_string(path.join("answer.json")).unwrap();
    assert_eq!(out(&run(path, &json)), written);

    let over = run(path, &["estimate", "survey.ron", "-o", "./survey.ron"]);
    assert_eq!(code(&over), 2);
    assert!(err(&over).contains("WRITE-FAILED"));
    assert_eq!(fs::read_to_string(path.join("survey.ron")).unwrap(), survey);
    for target in ["missing/answer.txt", "."] {
        let failed = run(path, &["estimate", "survey.ron", "-o", target]);
        assert_eq!(code(&failed), 2, "{target}");
        assert!(err(&failed).contains("WRITE-FAILED"), "{target}");
    }
    let mut left: Vec<_> =
        fs::read_dir(path).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    left.sort();
    assert_eq!(left, ["answer.json", "survey.ron"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_standard_output_is_a_failure() {
    let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = plymend(Path::new("."), &["man"]).stdout(full).output().unwrap();
    assert_eq!(code(&output), 2);
    assert!(err(&output).contains("WRITE-FAILED"));
}

/// Runs with a standard output that nobody reads; gives the exit code and what was told.
fn unread(folder: &Path, arguments: &[&str]) -> (Option<i32>, String) {
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let mut child =
        plymend(folder, arguments).stdout(writer).stderr(Stdio::piped()).spawn().unwrap();
    let mut told = String::new();
    child.stderr.take().unwrap().read_to_string(&mut told).unwrap();
    (child.wait().unwrap().code(), told)
}

#[test]
fn a_reader_that_goes_away_changes_no_verdict() {
    assert_eq!(unread(Path::new("."), &["man"]), (Some(0), String::new()));
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("survey.ron"), "(format: 1, marks: [], air_c: 99)").unwrap();
    let (exit, told) = unread(folder.path(), &["check", "survey.ron"]);
    assert_eq!(exit, Some(1));
    assert!(told.contains("READ-RANGE") && !told.contains("panicked"));
}

#[test]
fn colour_is_asked_for_or_left_out() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path();
    fs::write(path.join("survey.ron"), "(format: 1, air_c: 99)").unwrap();
    let plain = err(&run(path, &["check", "survey.ron"]));
    assert!(!plain.contains('\u{1b}'));
    assert_eq!(plain, err(&run(path, &["--color", "never", "check", "survey.ron"])));
    let always = err(&run(path, &["check", "survey.ron", "--color", "always"]));
    assert!(always.contains('\u{1b}'));
    let bare = ["\u{1b}[1;31m", "\u{1b}[31m", "\u{1b}[32m", "\u{1b}[0m"]
        .iter()
        .fold(always, |text, sequence| text.replace(sequence, ""));
    assert_eq!(bare, plain);
}

#[test]
fn a_slip_in_the_arguments_is_2() {
    let slips: [&[&str]; 4] = [&[], &["check"], &["chekc", "x"], &["estimate", "a", "b"]];
    for arguments in slips {
        let output = here(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}");
        assert_eq!(out(&output), "");
    }
}

#[test]
fn every_code_in_the_list_is_explained() {
    let list = out(&here(&["explain"]));
    let codes: Vec<&str> = list
        .lines()
        .filter(|line| line.starts_with("  "))
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert!(codes.len() > 30);
    for name in codes {
        let explained = here(&["explain", name]);
        assert_eq!(code(&explained), 0, "{name}");
        assert!(out(&explained).contains(name));
    }
    insta::assert_snapshot!("explain_range", out(&here(&["explain", "read-range"])));
    let unknown = here(&["explain", "READ-RANG"]);
    assert_eq!(code(&unknown), 2);
    assert!(err(&unknown).contains("write READ-RANGE"));
}

#[test]
fn completions_and_manual_are_made() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let output = here(&["completions", shell]);
        assert_eq!(code(&output), 0);
        assert!(out(&output).contains("estimate"));
    }
    let manual = out(&here(&["man"]));
    assert!(manual.contains("plymend\\-estimate"), "{manual}");
    assert!(manual.contains("Exit codes"));
}

#[test]
fn the_check_of_a_body_finds_seams_that_do_not_fit() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path();
    for (name, width_mm) in [("one", 400), ("other", 300)] {
        let panel = format!(
            "(format: 1, name: \"{name}\", surface: Flat(length_mm: 500, width_mm: {width_mm}))"
        );
        fs::write(path.join(format!("{name}.ron")), panel).unwrap();
    }
    for (end, code_expected) in [(400, 1), (300, 0)] {
        let body = format!(
            "(format: 1, name: \"body\", panels: [(file: \"one.ron\"), (file: \"other.ron\")], \
             seams: [(one: (panel: \"one\", along: [On(500, 0), On(500, {end})]), \
             other: (panel: \"other\", along: [On(0, 0), On(0, 300)]))])"
        );
        fs::write(path.join("body.ron"), body).unwrap();
        let check = run(path, &["check", "body.ron"]);
        assert_eq!(code(&check), code_expected, "{}", err(&check));
        assert_eq!(err(&check).contains("SEAM-LENGTH"), code_expected == 1);
    }
}

//! The README keeps its word: its first commands are there, every command in it runs with the exit
//! code that stands beside it, its survey is a survey, and what it shows is what is printed.
//!
//! Commands run in one folder, in order, with the examples copied into it. `bash tests/run.sh`
//! runs this test and is only looked for.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test fails where its own setting up fails"
)]

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

const ALL_CHECKS: &str = "bash tests/run.sh";
const RUN: &str = "cargo run --release -- ";

/// A fenced part: what stands behind the fence, and its lines.
struct Fenced<'t> {
    label: &'t str,
    lines: Vec<&'t str>,
}

fn fenced(page: &str) -> Vec<Fenced<'_>> {
    let mut found = Vec::new();
    let mut open: Option<Fenced<'_>> = None;
    for line in page.lines() {
        match (line.strip_prefix("```"), open.take()) {
            (Some(label), None) => open = Some(Fenced { label, lines: Vec::new() }),
            (Some(_), Some(part)) => found.push(part),
            (None, Some(mut part)) => {
                part.lines.push(line);
                open = Some(part);
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "a fence is left open");
    found
}

/// The command and the exit code that stands beside it.
fn command(line: &str) -> (&str, i32) {
    let (typed, beside) = line.split_once(" # ").unwrap_or((line, ""));
    let code = beside.trim().strip_prefix("exit code ").map_or(0, |rest| {
        let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
        digits.parse().unwrap()
    });
    (typed.trim(), code)
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

/// The shown lines stand in the output in the same order; between lines with `...` only, one shown
/// line follows the other at once.
fn shows(output: &str, shown: &[&str]) -> Result<(), String> {
    let printed: Vec<&str> = output.lines().collect();
    let mut from = 0;
    for part in shown.split(|line| line.trim() == "...").filter(|part| !part.is_empty()) {
        let found = printed[from..].windows(part.len()).position(|window| window == part);
        let Some(at) = found else {
            return Err(format!("not printed in this order:\n{}", part.join("\n")));
        };
        from += at + part.len();
    }
    Ok(())
}

#[test]
fn every_command_runs_and_prints_what_is_shown() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let page = fs::read_to_string(root.join("README.md")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    copy(&root.join("examples"), &folder.path().join("examples"));
    let mut commands = 0;
    let mut printed = String::new();
    let mut wrong = Vec::new();
    for part in fenced(&page) {
        if let Some(name) = part.label.strip_prefix("ron ") {
            let file = folder.path().join(name);
            fs::create_dir_all(file.parent().unwrap()).unwrap();
            fs::write(file, part.lines.join("\n")).unwrap();
        }
        if part.label == "text" {
            wrong.extend(shows(&printed, &part.lines).err());
        }
        if part.label != "sh" {
            continue;
        }
        for line in &part.lines {
            let (typed, code) = command(line);
            if typed == ALL_CHECKS {
                assert!(root.join("tests/run.sh").is_file());
                let other = fs::read_to_string(root.join(".ci/run")).unwrap();
                assert!(other.contains(ALL_CHECKS), "one entry for both");
                commands += 1;
                continue;
            }
            let arguments = typed.strip_prefix(RUN).or(typed.strip_prefix("plymend "));
            let arguments = arguments.unwrap_or_else(|| panic!("not a command of ours: {typed}"));
            assert!(!arguments.contains(['|', '>', '"', '\'', '$']), "needs a shell: {typed}");
            let output = Command::new(env!("CARGO_BIN_EXE_plymend"))
                .args(arguments.split_whitespace())
                .current_dir(folder.path())
                .stdin(Stdio::null())
                .output()
                .unwrap();
            if output.status.code() != Some(code) {
                let told = String::from_utf8_lossy(&output.stderr);
                wrong.push(format!("{typed}: ended with {:?}, not {code}\n{told}", output.status));
            }
            printed = String::from_utf8(output.stdout).unwrap();
            commands += 1;
        }
    }
    assert!(commands >= 8, "only {commands} commands were found");
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn the_page_starts_with_the_job_and_two_commands() {
    let page = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let parts = fenced(&page);
    let first: Vec<&str> = parts[0].lines.iter().map(|line| command(line).0).collect();
    assert_eq!(
        first,
        ["cargo run --release -- estimate examples/harbour-shuttle/survey-a.ron", ALL_CHECKS]
    );
    let job = page.lines().next().unwrap();
    assert!(job.starts_with("People who") && job.contains("how big the repair is"), "{job}");
}

#[test]
fn what_is_not_printed_is_noticed() {
    let output = "one\ntwo\nthree\nfour\n";
    assert!(shows(output, &["one", "two", "...", "four"]).is_ok());
    assert!(shows(output, &["one", "three"]).is_err());
    assert!(shows(output, &["three", "...", "one"]).is_err());
    assert_eq!(command("plymend man   # exit code 2: why"), ("plymend man", 2));
    assert_eq!(command("plymend man"), ("plymend man", 0));
}

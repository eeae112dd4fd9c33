//! The documents say what is there: every command of README.md runs as written and ends with the
//! exit code it states, and DEVELOPERS.md names every field and word of every file and record.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::process::Command;

fn text(path: &str) -> String {
    std::fs::read_to_string(format!("{}/{path}", env!("CARGO_MANIFEST_DIR"))).expect(path)
}

/// Commands of the README with the exit code stated beside them.
fn commands() -> Vec<(String, Option<i32>)> {
    let mut found = Vec::new();
    let mut inside = false;
    for line in text("README.md").lines() {
        if line.starts_with("```") {
            inside = line == "```sh";
            continue;
        }
        if inside && !line.trim().is_empty() {
            let (command, remark) = line.split_once('#').unwrap_or((line, ""));
            let code = remark
                .split_once("exit code ")
                .and_then(|(_, rest)| rest.get(..1))
                .and_then(|digit| digit.parse().ok());
            found.push((command.trim().to_owned(), code));
        }
    }
    found
}

#[test]
fn every_command_of_the_readme_runs_as_written() {
    let commands = commands();
    assert!(commands.len() >= 9, "{commands:?}");
    let mut entry = false;
    for (command, code) in commands {
        let rest = command
            .strip_prefix("cargo run --release -- ")
            .or_else(|| command.strip_prefix("plymend "));
        let Some(rest) = rest else {
            assert_eq!(command, "bash tests/run.sh", "a command of another kind");
            let script = text("tests/run.sh");
            assert!(script.contains("cargo") && script.contains("test"));
            assert!(text(".ci/run").contains("tests/run.sh"), "one command for both");
            entry = true;
            continue;
        };
        let output = Command::new(env!("CARGO_BIN_EXE_plymend"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .args(rest.split_whitespace())
            .output()
            .expect("it starts");
        assert_eq!(output.status.code(), code, "{command}");
        assert!(!output.stdout.is_empty(), "{command} says nothing");
    }
    assert!(entry, "the command that passes all tests is missing");
}

#[test]
fn the_readme_begins_with_the_job() {
    let readme = text("README.md");
    assert!(readme.starts_with("plymend sizes repairs"));
}

#[test]
fn the_survey_of_ten_lines_in_the_readme_works() {
    let readme = text("README.md");
    let (_, rest) = readme.split_once("```ron\n").expect("a survey stands there");
    let (survey, _) = rest.split_once("```").expect("it ends");
    assert!(survey.lines().count() <= 10);
    let folder = plymend::read::job::TextFolder::from([("survey.ron", survey)]);
    let job = plymend::read::job::job(&folder, "survey.ron", &Default::default()).expect("whole");
    assert_eq!(plymend::estimate(&job).expect("worked out").findings[0].action, "repair");
}

/// Names of the public fields in a source file.
fn fields(path: &str) -> Vec<String> {
    text(path)
        .lines()
        .filter_map(|line| line.trim().strip_prefix("pub ")?.split_once(": "))
        .map(|(name, _)| name.to_owned())
        .filter(|name| {
            name.chars().all(|sign| sign.is_ascii_lowercase() || "_0123456789".contains(sign))
        })
        .collect()
}

#[test]
fn developers_md_names_every_field_of_every_file_and_record() {
    let page = text("DEVELOPERS.md");
    let sources = [
        "src/model/body.rs",
        "src/model/fixing.rs",
        "src/model/mark.rs",
        "src/model/panel.rs",
        "src/model/shop.rs",
        "src/model/stock.rs",
        "src/model/survey.rs",
        "src/report/model.rs",
        "src/report/record_shop.rs",
        "src/report/record_work.rs",
    ];
    let mut count = 0;
    for source in sources {
        for field in fields(source) {
            assert!(page.contains(&format!("`{field}`")), "{source}: {field} is not described");
            count += 1;
        }
    }
    assert!(count > 200, "{count}");
}

#[test]
fn developers_md_names_every_word_of_every_file() {
    let page = text("DEVELOPERS.md");
    let mut count = 0;
    for source in ["body", "fixing", "mark", "panel", "shop", "stock", "survey"] {
        for line in text(&format!("src/model/{source}.rs")).lines() {
            let Some((word, _)) = line.trim().split_once(" => \"") else { continue };
            let mut snake = String::new();
            for sign in word.chars() {
                if sign.is_uppercase() && !snake.is_empty() {
                    snake.push('_');
                }
                snake.extend(sign.to_lowercase());
            }
            assert!(page.contains(&format!("`{snake}`")), "{source}: {snake} is not described");
            count += 1;
        }
    }
    assert!(count > 100, "{count}");
}

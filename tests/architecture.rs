//! The house is held together by reading its source: which room uses which, that every rule and
//! every caution is alive, that files stay small, and that nothing unfinished is left in them.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use plymend::rules::id;

/// What every room may use; a foundation uses foundations only.
const FOUNDATIONS: &[&str] =
    &["quantity", "source", "diagnostic", "model", "rules", "dew_point", "wording"];

/// The rooms in the order in which data flows: a room uses foundations and earlier rooms.
const ROOMS: &[&str] =
    &["read", "surface", "damage", "repair", "materials", "shop", "safety", "buy", "report"];

/// Files and folders of the binary, which uses the library from outside.
const BINARY: &[&str] = &["main", "cli", "commands", "files", "say", "exit"];

/// Files that put rooms together.
const ABOVE: &[&str] = &["lib", "compare", "history", "learn", "page", "patterns", "totals"];

/// A file longer than this is looked at hard.
const LONGEST_LINES: usize = 400;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every file under a folder whose name ends so, with its text, in order of name.
fn texts(folder: &str, ends: &[&str]) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut folders = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder") {
            let path = entry.expect("listed").path();
            let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
            if path.is_dir() {
                if !name.starts_with('.') && name != "target" {
                    folders.push(path);
                }
            } else if ends.iter().any(|end| name.ends_with(end)) {
                let shown = shown(&path);
                found.push((shown, fs::read_to_string(&path).expect("a text")));
            }
        }
    }
    found.sort();
    found
}

fn shown(path: &Path) -> String {
    path.strip_prefix(root()).unwrap_or(path).to_string_lossy().replace('\\', "/")
}

/// The room or foundation a file belongs to: its folder under `src`, else its own name.
fn home(file: &str) -> String {
    let inner = file.trim_start_matches("src/");
    inner.split('/').next().unwrap_or(inner).trim_end_matches(".rs").to_owned()
}

/// Names that follow `prefix` in code, braces opened; comments are left out.
fn used(text: &str, prefix: &str) -> BTreeSet<String> {
    let code: String = text
        .lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect::<Vec<_>>()
        .join("\n");
    let mut found = BTreeSet::new();
    let letters = |from: &str| -> String {
        from.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '_').collect()
    };
    for (at, _) in code.match_indices(prefix) {
        let before = code[..at].chars().next_back();
        if before.is_some_and(|c| c.is_ascii_alphanumeric() || c == '_') {
            continue;
        }
        let rest = &code[at + prefix.len()..];
        let Some(list) = rest.strip_prefix('{') else {
            found.insert(letters(rest));
            continue;
        };
        let mut depth = 1;
        let mut fresh = true;
        for (place, letter) in list.char_indices() {
            match letter {
                '{' => depth += 1,
                '}' => depth -= 1,
                ',' if depth == 1 => fresh = true,
                _ if letter.is_whitespace() => {}
                _ if depth == 1 && fresh => {
                    found.insert(letters(&list[place..]));
                    fresh = false;
                }
                _ => {}
            }
            if depth == 0 {
                break;
            }
        }
    }
    found.remove("");
    found
}

#[test]
fn paths_are_found_in_every_way_of_writing_them() {
    let text = "use crate::model::{a, b};\nuse crate::{rules::{id, Book}, quantity,\n source};\n\
                fn f() -> crate::surface::X {} // crate::report\nuse other_crate::shop;";
    let found: Vec<String> = used(text, "crate::").into_iter().collect();
    assert_eq!(found, ["model", "quantity", "rules", "source", "surface"]);
}

#[test]
fn a_room_uses_foundations_and_earlier_rooms_only() {
    let mut known: BTreeSet<&str> =
        FOUNDATIONS.iter().chain(ROOMS).chain(BINARY).copied().collect();
    known.extend(ABOVE);
    let mut wrong = Vec::new();
    let mut uses: BTreeMap<String, usize> = BTreeMap::new();
    for (file, text) in texts("src", &[".rs"]) {
        let home = home(&file);
        assert!(known.contains(home.as_str()), "{file} is in no room of the table");
        if ABOVE.contains(&home.as_str()) {
            continue;
        }
        let own = used(&text, "crate::");
        *uses.entry(home.clone()).or_default() += own.len();
        for other in own {
            let lawful = if let Some(place) = ROOMS.iter().position(|room| *room == home) {
                FOUNDATIONS.contains(&other.as_str()) || ROOMS[..=place].contains(&other.as_str())
            } else if FOUNDATIONS.contains(&home.as_str()) {
                FOUNDATIONS.contains(&other.as_str())
            } else {
                BINARY.contains(&other.as_str())
            };
            if !lawful {
                wrong.push(format!("{file} uses {other}"));
            }
        }
        if !BINARY.contains(&home.as_str()) && !used(&text, "plymend::").is_empty() {
            let said = used(&text, "plymend::");
            wrong.push(format!("{file} names the library from outside: {said:?}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    for room in ROOMS {
        assert!(uses.get(*room).is_some_and(|count| *count > 0), "{room} uses nothing: not read?");
    }
}

#[test]
fn the_library_does_not_reach_for_files_clocks_or_streams() {
    let forbidden = ["std::fs", "std::env", "std::time", "std::net", "std::process", "std::thread"];
    for (file, text) in texts("src", &[".rs"]) {
        let is_test = file.ends_with("tests.rs");
        if BINARY.contains(&home(&file).as_str()) || is_test {
            continue;
        }
        for word in forbidden {
            assert!(used(&text, &format!("{word}::")).is_empty(), "{file} uses {word}");
            assert!(!text.contains(&format!("use {word};")), "{file} uses {word}");
        }
    }
}

#[test]
fn every_rule_is_used() {
    let names = texts("src/rules", &["id.rs"])[0].1.clone();
    let mut used_names = BTreeSet::new();
    for (file, text) in texts("src", &[".rs"]) {
        if home(&file) != "rules" {
            used_names.extend(used(&text, "id::"));
        }
    }
    // The tables of cautions and of methods name rules by their ids.
    let mut table = fs::read_to_string(root().join("panels/cautions.ron")).expect("there");
    table.push_str(&fs::read_to_string(root().join("panels/methods.ron")).expect("there"));
    let mut idle = Vec::new();
    let mut count = 0;
    for line in names.lines() {
        let Some((name, value)) = line.trim().trim_end_matches(',').split_once(" = ") else {
            continue;
        };
        if !id::ALL.contains(&value.trim_matches('"')) {
            continue;
        }
        count += 1;
        if !used_names.contains(name) && !table.contains(value) {
            idle.push(name);
        }
    }
    assert_eq!(count, id::ALL.len(), "ids have been overlooked");
    assert!(idle.is_empty(), "rules nobody uses: {idle:?}");
}

#[test]
fn files_stay_small() {
    let long: Vec<(String, usize)> = texts("src", &[".rs"])
        .into_iter()
        .map(|(file, text)| (file, text.lines().count()))
        .filter(|(_, lines)| *lines > LONGEST_LINES)
        .collect();
    assert!(long.is_empty(), "over {LONGEST_LINES} lines: {long:#?}");
}

#[test]
fn nothing_unfinished_and_no_place_of_the_maker_is_left_in_the_tree() {
    // Put together here, so that this file does not hold them itself.
    let forbidden =
        [["/wo", "rk"], ["shar", "ed/"], ["TO", "DO"], ["unimple", "mented!"], ["FIX", "ME"]]
            .map(|parts| parts.concat());
    let ends = [".rs", ".ron", ".toml", ".md", ".py", ".snap", ".txt"];
    let mut found = Vec::new();
    for (file, text) in texts("", &ends) {
        for (number, line) in text.lines().enumerate() {
            for word in &forbidden {
                let whole = line.match_indices(word.as_str()).any(|(at, _)| {
                    let next = line[at + word.len()..].chars().next();
                    !next.is_some_and(char::is_alphanumeric) || word.ends_with('/')
                });
                if whole {
                    found.push(format!("{file}:{}: {word}", number + 1));
                }
            }
        }
    }
    assert!(found.is_empty(), "{found:#?}");
}

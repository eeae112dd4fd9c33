//! The field reference in DEVELOPERS.md names every field and word of the files a user writes, and
//! every name of the JSON that is written; and it names none that is not there.
//!
//! The source is read line by line: the records are plain, and one line holds one field.
#![allow(clippy::unwrap_used, reason = "a test fails where its own setting up fails")]

use std::collections::{BTreeMap, BTreeSet};

/// Names of one record or list of words.
type Names = BTreeMap<String, BTreeSet<String>>;

/// Records that are not part of a user's file: the built-in book, and a form that is written as
/// another record says.
const LEFT_OUT: [&str; 3] = ["Rule", "BookFile", "SurfaceForm"];

/// The part about files, and the part about the JSON.
fn page() -> (String, String) {
    let page = text("DEVELOPERS.md");
    let (files, json) = page.split_once("\n## The JSON record\n").unwrap();
    (files.to_owned(), json.to_owned())
}

/// Source of a folder's own files, in order of name.
fn sources(folder: &str) -> Vec<String> {
    let folder = format!("{}/{folder}", env!("CARGO_MANIFEST_DIR"));
    let mut paths: Vec<_> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths
        .iter()
        .filter(|path| path.is_file())
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect()
}

fn text(path: &str) -> String {
    std::fs::read_to_string(format!("{}/{path}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn snake(word: &str) -> String {
    let mut out = String::new();
    for letter in word.chars() {
        if letter.is_uppercase() && !out.is_empty() {
            out.push('_');
        }
        out.extend(letter.to_lowercase());
    }
    out
}

fn renamed(attributes: &str) -> Option<String> {
    let (_, rest) = attributes.split_once("rename = \"")?;
    rest.split('"').next().map(str::to_owned)
}

/// Fields of structs, and words, variants and fields of enums, that derive the given trait.
fn records(source: &str, derived: &str) -> Names {
    let mut found = Names::new();
    let mut attributes = String::new();
    let mut lines = source.lines().map(str::trim);
    while let Some(line) = lines.next() {
        if line.starts_with("words! {") {
            let (name, words) = words(&mut lines);
            found.insert(name, words);
        } else if line.starts_with("#[") {
            attributes.push_str(line);
        } else if line.starts_with("///") {
            // Between attributes and the name.
        } else {
            let bare = line.strip_prefix("pub ").unwrap_or(line);
            let opened =
                bare.strip_prefix("struct ").or(bare.strip_prefix("enum ")).and_then(|rest| {
                    rest.strip_suffix(" {").filter(|name| name.chars().all(char::is_alphanumeric))
                });
            if let Some(name) = opened
                && attributes.contains("derive(")
                && attributes.contains(derived)
            {
                let all_snake = attributes.contains("rename_all");
                found.insert(name.to_owned(), names(&mut lines, all_snake));
            }
            attributes.clear();
        }
    }
    found
}

/// The list inside `words! { Name { Variant => "...", ... }}`.
fn words<'s>(lines: &mut impl Iterator<Item = &'s str>) -> (String, BTreeSet<String>) {
    let mut name = String::new();
    let mut words = BTreeSet::new();
    for line in lines {
        if line.starts_with("}}") {
            break;
        }
        if line.starts_with("///") || line.starts_with("#[") {
            continue;
        }
        if let Some((variant, _)) = line.split_once(" => ") {
            words.insert(snake(variant));
        } else if let Some(start) = line.strip_suffix(" {") {
            name = start.to_owned();
        }
    }
    (name, words)
}

/// Names of a record up to its closing bracket.
fn names<'s>(lines: &mut impl Iterator<Item = &'s str>, all_snake: bool) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut attributes = String::new();
    let mut depth = 1;
    for line in lines {
        if line.starts_with("///") {
            continue;
        }
        if line.starts_with("#[") {
            attributes.push_str(line);
            continue;
        }
        if line.starts_with('}') {
            depth -= 1;
            if depth == 0 {
                break;
            }
            continue;
        }
        let bare = line.strip_prefix("pub ").unwrap_or(line);
        let name: String = bare.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
        if !name.is_empty() {
            let shown = if all_snake { snake(&name) } else { name };
            found.insert(renamed(&attributes).unwrap_or(shown));
        }
        if line.ends_with('{') {
            depth += 1;
        }
        attributes.clear();
    }
    found
}

/// First cells in backticks of the tables below a heading, by heading.
fn sections(page: &str) -> Names {
    let mut found = Names::new();
    let mut heading = None;
    for line in page.lines() {
        if line.starts_with('#') {
            heading = line
                .strip_prefix("#### `")
                .and_then(|rest| rest.strip_suffix('`'))
                .map(str::to_owned);
            if let Some(name) = &heading {
                assert!(
                    found.insert(name.clone(), BTreeSet::new()).is_none(),
                    "two sections are called {name}"
                );
            }
        } else if let (Some(name), Some(row)) = (&heading, line.strip_prefix("| `"))
            && let Some(first) = row.split('`').next()
        {
            found.get_mut(name).unwrap().insert(first.to_owned());
        }
    }
    found
}

/// The list of words in the row of a name.
fn row_of_words(page: &str, name: &str) -> BTreeSet<String> {
    let start = format!("| `{name}` | ");
    let Some(row) = page.lines().find_map(|line| line.strip_prefix(&start)) else {
        return BTreeSet::new();
    };
    row.split("; ")
        .filter_map(|entry| entry.strip_prefix('`')?.split('`').next().map(str::to_owned))
        .collect()
}

fn same(name: &str, source: &BTreeSet<String>, page: &BTreeSet<String>, wrong: &mut Vec<String>) {
    for missing in source.difference(page) {
        wrong.push(format!("{name}: `{missing}` is missing from the page"));
    }
    for extra in page.difference(source) {
        wrong.push(format!("{name}: the page has `{extra}`, the source has not"));
    }
}

#[test]
fn every_field_and_word_of_a_users_file_is_on_the_page() {
    let (page, _) = page();
    let sections = sections(&page);
    let mut wrong = Vec::new();
    let mut count = 0;
    let mut files = sources("src/model");
    files.push(text("src/rules/mod.rs"));
    for source in files {
        for (name, names) in records(&source, "Deserialize") {
            if LEFT_OUT.contains(&name.as_str()) || name == "Safer" {
                continue;
            }
            count += names.len();
            let is_list = source.contains(&format!("\n{name} {{\n"));
            let shown =
                if is_list { row_of_words(&page, &name) } else { sections_of(&sections, &name) };
            same(&name, &names, &shown, &mut wrong);
        }
    }
    for word in &records(&text("src/source.rs"), "Deserialize")["Evidence"] {
        assert!(page.contains(&format!("`{word}`")), "evidence word {word} is missing");
    }
    assert!(count > 300, "only {count} names were found: the source is no longer read rightly");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn sections_of(sections: &Names, name: &str) -> BTreeSet<String> {
    sections.get(name).cloned().unwrap_or_default()
}

#[test]
fn every_name_of_the_json_is_on_the_page() {
    let (_, page) = page();
    let sections = sections(&page);
    let mut wrong = Vec::new();
    let mut count = 0;
    for source in sources("src/report") {
        for (name, names) in records(&source, "Serialize") {
            count += names.len();
            same(&name, &names, &sections_of(&sections, &name), &mut wrong);
        }
    }
    assert!(count > 200, "only {count} names were found: the source is no longer read rightly");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_missing_field_is_noticed() {
    let source = "#[derive(Debug, Deserialize)]\npub struct Lid {\n    /// Its length.\n    \
                  #[serde(default)]\n    pub length_mm: f64,\n    #[serde(rename = \"for\")]\n    \
                  pub goes: u8,\n}\nwords! {\n/// Doc.\nColour {\n    /// Red.\n    DarkRed => \"red\",\n}}\n";
    let found = records(source, "Deserialize");
    assert_eq!(found["Lid"], BTreeSet::from(["length_mm".to_owned(), "for".to_owned()]));
    assert_eq!(found["Colour"], BTreeSet::from(["dark_red".to_owned()]));
    let page = "#### `Lid`\n\n| name | x |\n|---|---|\n| `length_mm` | y |\n";
    let mut wrong = Vec::new();
    same("Lid", &found["Lid"], &sections(page)["Lid"], &mut wrong);
    assert_eq!(wrong, ["Lid: `for` is missing from the page"]);
}

//! The texts in double quotes that a user's files hold: words that no answer may change.

use super::built_in;
use super::text::Texts;

/// Every text in quotes of the files of a job, built-in files left out; each once, in order.
#[must_use]
pub fn of_user(texts: &Texts) -> Vec<String> {
    let built_in = built_in::shown("");
    let mut found: Vec<String> = texts
        .all()
        .filter(|loaded| !loaded.file.starts_with(&built_in))
        .flat_map(|loaded| literals(&loaded.text))
        .collect();
    found.sort();
    found.dedup();
    found
}

/// The texts in quotes of one RON text, as they are read; comments are passed over.
fn literals(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(sign) = rest.chars().next() {
        let behind = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            behind_comment(rest)
        } else if let Some(end) = quoted_end(rest) {
            // What the reader of RON makes of it, escapes and all.
            let written = rest.get(..end).unwrap_or_default();
            found.extend(ron::from_str::<String>(written));
            end
        } else {
            sign.len_utf8()
        };
        rest = rest.get(behind..).unwrap_or_default();
    }
    found
}

/// Behind a comment that may hold others.
fn behind_comment(text: &str) -> usize {
    let mut depth = 0;
    let mut at = 0;
    while let Some(rest) = text.get(at..).filter(|rest| !rest.is_empty()) {
        if rest.starts_with("/*") {
            depth += 1;
            at += 2;
        } else if rest.starts_with("*/") {
            depth -= 1;
            at += 2;
            if depth == 0 {
                return at;
            }
        } else {
            at += rest.chars().next().map_or(1, char::len_utf8);
        }
    }
    text.len()
}

/// Behind the text in quotes that starts here; none where none does.
fn quoted_end(text: &str) -> Option<usize> {
    if let Some(raw) = text.strip_prefix('r') {
        let inner = raw.trim_start_matches('#');
        let hashes = raw.len() - inner.len();
        let close = format!("\"{}", "#".repeat(hashes));
        let open = 1 + hashes + 1;
        inner.strip_prefix('"')?;
        return text.get(open..)?.find(&close).map(|at| open + at + close.len());
    }
    let inner = text.strip_prefix('"')?;
    let mut escaped = false;
    for (at, sign) in inner.char_indices() {
        match sign {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return Some(1 + at + 1),
            _ => {}
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_found_as_they_are_read() {
        let text = r##"(format: 1, // "no" 5 mm
            note: "a \"b\" 6 mm", /* "no" /* "no" */ "no" */ other: r#"raw "7 mm""#, open: "never"##;
        assert_eq!(literals(text), ["a \"b\" 6 mm", "raw \"7 mm\""]);
        assert_eq!(literals("(name: \"für 8 mm\\u{e9}\")"), ["für 8 mmé"]);
        assert!(literals("/* open \"x\"").is_empty());
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_looked_through(text in "[r#\"\\\\/*a\n ]*") {
            let _ = literals(&text);
        }
    }
}

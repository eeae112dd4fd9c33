//! `explain`: what a code or a rule means.

use plymend::diagnostic::Diagnostic;
use plymend::read::codes::{CODES, explained};
use plymend::read::text::nearest;
use plymend::report::basis::figure_words;
use plymend::rules::{Book, Rule, Safer};

use super::{hooks, typed_wrongly};
use crate::say::Answer;

/// Width of a line of text.
const WIDTH: usize = 78;

pub(super) fn run(code: Option<&str>) -> Result<Answer, Vec<Diagnostic>> {
    let book = Book::built_in();
    let Some(code) = code else { return Ok(said(list(&book))) };
    if let Some(known) = explained(code) {
        return Ok(said(format!(
            "{}: {}\n\n{}\n\nexample:\n{}\n",
            known.code,
            known.title,
            textwrap::fill(known.text, WIDTH),
            textwrap::fill(known.example, indented())
        )));
    }
    let of_any_case = book.iter().find(|rule| rule.id.eq_ignore_ascii_case(code));
    if let Some(rule) = of_any_case {
        return Ok(said(rule_at_length(rule)));
    }
    if let Some(text) = hooks::caution(code) {
        return Ok(said(text));
    }
    let cautions = hooks::cautions();
    let known = CODES
        .iter()
        .map(|known| known.code)
        .chain(book.iter().map(|rule| rule.id.as_str()))
        .chain(cautions.iter().map(|(code, _)| code.as_str()));
    let way_out = nearest(code, known).map_or_else(
        || "`plymend explain` without a code lists them all".to_owned(),
        |near| format!("write {near} if that is meant"),
    );
    Err(vec![typed_wrongly(
        "CODE",
        "READ-NAME-UNKNOWN",
        format!("there is no code or rule called {code:?}"),
        "a code of a fault or caution, or the id of a rule".to_owned(),
        way_out,
    )])
}

const fn said(text: String) -> Answer {
    Answer {
        text,
        bytes: None,
        output: None,
        files_read: Vec::new(),
        faults: Vec::new(),
        reason: None,
        notes: Vec::new(),
        interrupted: false,
    }
}

fn indented() -> textwrap::Options<'static> {
    textwrap::Options::new(WIDTH).initial_indent("  ").subsequent_indent("  ")
}

fn list(book: &Book) -> String {
    let mut text = String::from("faults:\n");
    for known in CODES {
        text.push_str(&format!("  {:<22} {}\n", known.code, known.title));
    }
    let cautions = hooks::cautions();
    if !cautions.is_empty() {
        text.push_str("\ncautions:\n");
        for (code, title) in cautions {
            text.push_str(&format!("  {code:<22} {title}\n"));
        }
    }
    if book.iter().next().is_some() {
        text.push_str("\nrules:\n");
        for rule in book.iter() {
            text.push_str(&format!("  {:<22} {}\n", rule.id, rule.title));
        }
    }
    text
}

fn rule_at_length(rule: &Rule) -> String {
    let mut text = format!("{}: {}\n\n", rule.id, rule.title);
    let unit = if rule.unit.is_empty() { String::new() } else { format!(" {}", rule.unit) };
    let figure = figure_words(rule);
    if !figure.is_empty() {
        let three = if rule.cases.is_some() { " (low / likely / high)" } else { "" };
        text.push_str(&format!("value: {figure}{three}\n"));
    }
    if let Some((least, most)) = rule.accepted {
        text.push_str(&format!("may be set from {least}{unit} to {most}{unit}\n"));
    }
    match rule.safer {
        Safer::NoSafetyRule => {}
        Safer::Larger => text.push_str("a safety rule: a smaller figure weakens it\n"),
        Safer::Smaller => text.push_str("a safety rule: a larger figure weakens it\n"),
    }
    text.push_str(&format!(
        "\n{}\n\nevidence: {}\n{}\n",
        textwrap::fill(&rule.reason, WIDTH),
        rule.evidence,
        textwrap::fill(&format!("source: {}", rule.source), WIDTH)
    ));
    text
}

//! What opened-up jobs teach: the record, and the same as a file of rule changes with its grounds.

use super::model::round6;
use super::record_learn::*;
use crate::damage::learnt_many::Pooled;
use crate::quantity::Cases;
use crate::rules::{Book, Change, id};

const ESTIMATOR: &str = "normal mean of the logarithms of found over seen, the book's likely factor counting as so many marks; low and high stand off it as the book's do, by a spread that narrows with the mean, and no find lies outside them";

/// The record; `counts` are jobs with opened-up sizes and surveys read.
#[must_use]
pub fn record(
    book: &Book,
    pooled: &[Pooled],
    (jobs, surveys): (usize, usize),
    bad_files: Vec<String>,
) -> LearntTable {
    LearntTable {
        schema: LEARN_SCHEMA,
        schema_version: LEARN_VERSION,
        surveys,
        jobs,
        marks: pooled.iter().map(|one| one.marks).sum(),
        estimator: ESTIMATOR.to_owned(),
        book_worth: round6(book.figure(id::GROWTH_PRIOR_WORTH)),
        rules: pooled.iter().map(|one| rule(book, one)).collect(),
        bad_files,
    }
}

fn rule(book: &Book, of: &Pooled) -> LearntRule {
    let title = book.iter().find(|rule| rule.id == of.rule).map(|rule| rule.title.clone());
    // Outward, so that no rounding makes a range narrower than it is.
    let after = Cases {
        low: (of.after.low * 1e3).floor() / 1e3,
        likely: (of.after.likely * 1e3).round() / 1e3,
        high: (of.after.high * 1e3).ceil() / 1e3,
    };
    let mut tried = book.clone();
    let left_out = tried.change(&change(of.rule, after)).err().unwrap_or_default();
    LearntRule {
        rule: of.rule.to_owned(),
        title: title.unwrap_or_default(),
        marks: of.marks,
        jobs: of.jobs,
        before: of.before,
        after: after.map(|figure| round6(*figure)),
        likely_low: round6(of.likely_within.0),
        likely_high: round6(of.likely_within.1),
        alone: round6(of.alone.0),
        alone_low: of.alone.1.map(|ends| round6(ends.0)),
        alone_high: of.alone.1.map(|ends| round6(ends.1)),
        left_out,
    }
}

fn change(rule: &str, after: Cases<f64>) -> Change {
    Change {
        id: rule.to_owned(),
        value: after.low,
        likely_and_high: Some((after.likely, after.high)),
        why: String::new(),
    }
}

/// The file of rule changes, its grounds in comments.
#[must_use]
pub fn rule_file(table: &LearntTable) -> String {
    let plural = |count: usize, one: &str| {
        if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
    };
    let mut out = format!(
        "// Growth learnt from {} in {} with opened-up sizes ({} read).\n",
        plural(table.marks, "mark"),
        plural(table.jobs, "job"),
        plural(table.surveys, "survey")
    );
    let mut comment = |text: &str| {
        for line in textwrap::wrap(text, 97) {
            out.push_str(&format!("// {line}\n"));
        }
    };
    comment(&format!("Estimator: {}.", table.estimator));
    comment(&format!(
        "The book counts as {} marks: with fewer opened than that its own figure weighs more.",
        table.book_worth
    ));
    comment(
        "To use it: name this file under `rules` in a survey, or give it with --rules. It then holds for every mark of that kind; look first whether those jobs are like yours.",
    );
    for file in &table.bad_files {
        comment(&format!("Left out, cannot be used: {}", crate::diagnostic::printable(file)));
    }
    out.push_str("(\n    format: 1,\n    changes: [\n");
    for one in &table.rules {
        let three = |of: &Cases<f64>| format!("{} / {} / {}", of.low, of.likely, of.high);
        out.push_str(&format!("        // {}\n", one.title));
        out.push_str(&format!(
            "        // {} in {}; book {}; likely factor between {:.2} and {:.2}\n",
            plural(one.marks, "mark"),
            plural(one.jobs, "job"),
            three(&one.before),
            one.likely_low,
            one.likely_high
        ));
        let interval = match (one.alone_low, one.alone_high) {
            (Some(low), Some(high)) => format!(", 95 % between {low:.2} and {high:.2}"),
            _ => ", no interval from one mark".to_owned(),
        };
        out.push_str(&format!(
            "        // the marks alone: geometric mean {:.2}{interval}\n",
            one.alone
        ));
        if one.left_out.is_empty() {
            out.push_str(&format!(
                "        (id: \"{}\", value: {}, likely_and_high: ({}, {}), why: \"learnt from {} in {}\"),\n",
                one.rule,
                one.after.low,
                one.after.likely,
                one.after.high,
                plural(one.marks, "opened mark"),
                plural(one.jobs, "job")
            ));
        } else {
            out.push_str(&format!("        // left out: {}\n", one.left_out));
        }
    }
    out.push_str("    ],\n)\n");
    out
}

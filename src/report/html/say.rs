//! How words and figures are set: escaped, with rules as links, in the units asked for.

use std::collections::BTreeSet;

use maud::{Markup, PreEscaped, html};

use super::super::imperial::Units;
use super::super::model::{Exclusion, Report};
use super::super::text::{Page, Wide};
use crate::diagnostic::printable;
use crate::quantity::Cases;

/// The record with what is needed to say it.
pub(super) struct Say<'a> {
    pub(super) report: &'a Report,
    units: &'a Units,
    rules: BTreeSet<&'a str>,
}

impl<'a> Say<'a> {
    pub(super) fn new(report: &'a Report, units: &'a Units) -> Self {
        let rules = report.rules.iter().map(|rule| rule.id.as_str()).collect();
        Self { report, units, rules }
    }

    /// What has to be known of the units.
    pub(super) const fn note(&self) -> Option<&'static str> {
        self.units.note()
    }

    /// A sentence of ours: rules named in it are links, figures are in the units asked for.
    pub(super) fn own(&self, text: &str) -> Markup {
        self.linked(&self.units.told(text))
    }

    /// Words that are in the units asked for already, rules named in them as links.
    fn linked(&self, text: &str) -> Markup {
        let mut parts = Vec::new();
        let mut rest = with_units(&printable(text));
        let part_of_a_rule =
            |letter: char| letter.is_ascii_uppercase() || letter.is_ascii_digit() || letter == '-';
        while let Some(start) = rest.find(part_of_a_rule) {
            let word: String = rest
                .get(start..)
                .unwrap_or_default()
                .chars()
                .take_while(|letter| part_of_a_rule(*letter))
                .collect();
            let end = start + word.len();
            let before = rest.get(..start).unwrap_or_default().to_owned();
            let begins = !before.ends_with(char::is_alphanumeric);
            let after = rest.get(end..).unwrap_or_default().to_owned();
            parts.push((before, None));
            if begins && self.rules.contains(word.as_str()) {
                parts.push((String::new(), Some(word)));
            } else {
                parts.push((word, None));
            }
            rest = after;
        }
        parts.push((rest, None));
        html! {
            @for (text, rule) in &parts {
                (text)
                @if let Some(rule) = rule { a.rule href={ "#rule-" (rule) } { (rule) } }
            }
        }
    }

    /// Words of the user's, as they are but for signs that steer a terminal.
    #[expect(clippy::unused_self, reason = "said in the same way as what is ours")]
    pub(super) fn user(&self, text: &str) -> Markup {
        html! { (printable(text)) }
    }

    /// An entry of the user's with its line breaks.
    #[expect(clippy::unused_self, reason = "said in the same way as what is ours")]
    pub(super) fn entry(&self, text: &str) -> Markup {
        let lines: Vec<String> = text.lines().map(printable).collect();
        html! { pre { (lines.join("\n")) } }
    }

    /// The name of a figure as a link to the rules behind it; plain where none is named.
    pub(super) fn why(&self, path: &str, words: &str) -> Markup {
        if self.report.basis.contains_key(path) {
            html! { a.why href={ "#" (anchor(path)) } { (words) } }
        } else {
            html! { (words) }
        }
    }

    /// Low, likely, high; the last is named as a least while something is left out.
    pub(super) fn three(&self, of: &Cases<f64>, decimals: usize, unit: &str, open: bool) -> Markup {
        self.own(&super::super::text::three(of.low, of.likely, of.high, decimals, unit, open))
    }

    /// Lines of the text form, for long lists that are read and not looked at, under what their
    /// heading says beside its name.
    pub(super) fn told(&self, write: impl Fn(&mut Page, &Report)) -> Markup {
        let mut page = Page::unwrapped(self.report, Wide::Usual, self.units);
        write(&mut page, self.report);
        let sections = page.sections();
        html! {
            @for section in &sections {
                // In capitals alone it is a name, which the part has too.
                @if section.heading.contains(char::is_lowercase) {
                    p.told { strong { (self.linked(&section.heading)) } }
                }
                @if !section.lines.is_empty() { ul.told {
                    @for (indent, line) in &section.lines {
                        li class=[deeper(*indent)] { (self.linked(line)) }
                    }
                } }
            }
        }
    }

    /// What a total leaves out, in a line under it.
    pub(super) fn left_out(&self, excludes: &[Exclusion]) -> Markup {
        let said = super::super::text::left_out(excludes);
        html! { @if !said.is_empty() { p.leftout { (self.own(said.trim())) } } }
    }
}

/// A text in which no line ends between a figure and its unit.
fn with_units(text: &str) -> String {
    const UNITS: [&str; 17] = [
        "mm", "m²", "m³", "m³/h", "m", "kg", "g", "ml", "l", "°C", "°F", "in", "ft²", "lb", "h",
        "min", "ppm",
    ];
    let mut words = text.split(' ').peekable();
    let mut said = String::new();
    while let Some(word) = words.next() {
        said.push_str(word);
        let Some(next) = words.peek() else { break };
        let unit = next.trim_end_matches([',', ';', '.', ':', ')']);
        let figure = word.ends_with(|letter: char| letter.is_ascii_digit());
        said.push(if figure && UNITS.contains(&unit) { '\u{a0}' } else { ' ' });
    }
    said
}

/// Lines of the text that belong to the one before them.
fn deeper(indent: usize) -> Option<&'static str> {
    match indent {
        0..=2 => None,
        3..=5 => Some("in1"),
        _ => Some("in2"),
    }
}

/// The place of a path among the rules behind figures.
pub(super) fn anchor(path: &str) -> String {
    let plain: String = path
        .chars()
        .map(|letter| if letter.is_ascii_alphanumeric() || letter == '_' { letter } else { '-' })
        .collect();
    format!("from-{plain}")
}

/// A table that can be moved sideways where the screen is narrow.
pub(super) fn table(label: &str, heads: &[Markup], rows: &[Vec<Markup>]) -> Markup {
    html! {
        div.wide tabindex="0" role="region" aria-label=(label) {
            table {
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
                tbody {
                    @for row in rows {
                        tr {
                            @for (number, cell) in row.iter().enumerate() {
                                @if number == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Heads of plain words.
pub(super) fn heads(words: &[&str]) -> Vec<Markup> {
    words.iter().map(|word| html! { (word) }).collect()
}

/// A drawing with its heading and what it shows.
pub(super) fn figure(title: &str, says: &Markup, svg: &str) -> Markup {
    html! {
        figure {
            div.drawing tabindex="0" role="region" aria-label=(title) { (PreEscaped(svg)) }
            figcaption { strong { (title) } @if !says.0.is_empty() { ": " (says) } }
        }
    }
}

/// Three cases of one record as another's.
pub(super) fn cases<T>(of: &Cases<T>, take: impl Fn(&T) -> f64) -> Cases<f64> {
    Cases { low: take(&of.low), likely: take(&of.likely), high: take(&of.high) }
}

/// Marks as links to their cards.
pub(super) fn marks(list: &[u32]) -> Markup {
    html! {
        @for (number, mark) in list.iter().enumerate() {
            @if number > 0 { ", " }
            a href={ "#mark-" (mark) } { (mark) }
        }
    }
}

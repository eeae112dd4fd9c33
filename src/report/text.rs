//! The record as text, in the order that matters: what to stop, who must look, what nobody could
//! see, then work, materials and time. The short form keeps stop lines, referrals and exclusions.

use std::collections::{BTreeMap, BTreeSet};

use super::build::numbers;
use super::imperial::Units;
use super::model::*;
use super::{
    lines_classes, text_amendments, text_buy, text_condition, text_drying, text_grids, text_hours,
    text_marks, text_method, text_opened, text_safety, text_shop, text_timetable, text_turns,
    text_work,
};
use crate::diagnostic::printable;
use crate::rules::Book;

/// Width of the page: the same everywhere, so that the same input gives the same bytes.
const WIDTH: usize = 100;

/// How much is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wide {
    /// What a reader acts on.
    Usual,
    /// The working too: every case of every ply, every limit of the air.
    Working,
}

/// Lines under one heading, before they are wrapped: how far each is set in, and its words.
#[derive(Debug, Default)]
pub(crate) struct Section {
    /// Empty where lines come before any heading.
    pub(crate) heading: String,
    pub(crate) lines: Vec<(usize, String)>,
}

/// A page being written.
#[derive(Debug)]
pub(crate) struct Page {
    text: String,
    /// Lines as they are, where another form sets them.
    sections: Option<Vec<Section>>,
    /// How much is said.
    pub(crate) wide: Wide,
    evidence: BTreeMap<String, String>,
    cited: BTreeSet<String>,
    units: Units,
}

impl Page {
    fn new(report: &Report, wide: Wide, units: &Units) -> Self {
        let evidence =
            report.rules.iter().map(|rule| (rule.id.clone(), rule.evidence.clone())).collect();
        let (cited, units) = (BTreeSet::new(), units.clone());
        Self { text: String::new(), sections: None, wide, evidence, cited, units }
    }

    /// A page whose lines are kept as they are for another form of the answer.
    pub(crate) fn unwrapped(report: &Report, wide: Wide, units: &Units) -> Self {
        Self { sections: Some(Vec::new()), ..Self::new(report, wide, units) }
    }

    /// The lines of [`Page::unwrapped`].
    pub(crate) fn sections(self) -> Vec<Section> {
        self.sections.unwrap_or_default()
    }

    /// A page that cites no rule, for one sheet.
    pub(crate) fn bare(report: &Report, units: &Units) -> Self {
        Self::new(report, Wide::Usual, units)
    }

    /// A page that cites a book without a report.
    pub(crate) fn of_book(book: &Book) -> Self {
        let evidence =
            book.iter().map(|rule| (rule.id.clone(), rule.evidence.to_string())).collect();
        let (cited, units) = (BTreeSet::new(), Units::Metric);
        Self { text: String::new(), sections: None, wide: Wide::Usual, evidence, cited, units }
    }

    /// What was written.
    pub(crate) fn finish(self) -> String {
        self.text
    }

    pub(crate) fn heading(&mut self, words: &str) {
        if let Some(sections) = &mut self.sections {
            sections.push(Section { heading: self.units.told(words), lines: Vec::new() });
            return;
        }
        self.text.push('\n');
        self.text.push_str(&self.units.told(words));
        self.text.push('\n');
    }

    /// A line, wrapped, with its first line set in by `indent` and the rest two further.
    pub(crate) fn line(&mut self, indent: usize, words: &str) {
        let told = self.units.told(words);
        self.as_it_is(indent, &told);
    }

    /// A line of words that are not ours: names of files, figures of rules.
    pub(crate) fn as_it_is(&mut self, indent: usize, words: &str) {
        if let Some(sections) = &mut self.sections {
            if sections.is_empty() {
                sections.push(Section::default());
            }
            if let Some(last) = sections.last_mut() {
                last.lines.push((indent, words.to_owned()));
            }
            return;
        }
        let first = " ".repeat(indent);
        let rest = " ".repeat(indent + 2);
        let options = textwrap::Options::new(WIDTH)
            .word_splitter(textwrap::WordSplitter::NoHyphenation)
            .word_separator(textwrap::WordSeparator::AsciiSpace)
            .initial_indent(&first)
            .subsequent_indent(&rest)
            .break_words(false);
        for line in textwrap::wrap(&printable(words), options) {
            self.text.push_str(line.trim_end());
            self.text.push('\n');
        }
    }

    /// Rule ids with how each is known, in brackets; where each comes from stands at the end.
    pub(crate) fn rules(&mut self, ids: &[&str]) -> String {
        self.cited.extend(ids.iter().map(|id| (*id).to_owned()));
        let said: Vec<String> = ids
            .iter()
            .map(|id| match self.evidence.get(*id) {
                Some(evidence) => format!("{id} {evidence}"),
                None => (*id).to_owned(),
            })
            .collect();
        format!("[{}]", said.join("; "))
    }
}

/// Three figures with the same number of decimals; the last is named as a least while something
/// is left out.
#[must_use]
pub fn three(low: f64, likely: f64, high: f64, decimals: usize, unit: &str, open: bool) -> String {
    let last = if open { "at least " } else { "" };
    format!("{low:.decimals$} / {likely:.decimals$} / {last}{high:.decimals$} {unit}")
}

/// What a total leaves out, in the line of the total.
#[must_use]
pub fn left_out(excludes: &[Exclusion]) -> String {
    let marks: Vec<u32> = excludes.iter().filter_map(|one| one.mark).collect();
    let noun = if marks.len() == 1 { "mark" } else { "marks" };
    let mut left = Vec::new();
    if !marks.is_empty() {
        left.push(format!("{} {noun}, {}", marks.len(), numbers(&marks)));
    }
    let others = excludes.iter().filter(|one| one.mark.is_none());
    left.extend(others.map(|one| one.reason.clone()));
    if left.is_empty() {
        return String::new();
    }
    format!(" (leaves out {}: unpriced, may cost more than the rest)", left.join("; and "))
}

/// Marks by their numbers.
#[must_use]
pub fn of_marks(marks: &[u32]) -> String {
    let noun = if marks.len() == 1 { "mark" } else { "marks" };
    format!("{noun} {}", numbers(marks))
}

/// The whole answer.
#[must_use]
pub fn full(report: &Report, wide: Wide) -> String {
    full_in(report, wide, &Units::Metric)
}

/// [`full`] in units of choice.
#[must_use]
pub fn full_in(report: &Report, wide: Wide, units: &Units) -> String {
    let mut page = Page::new(report, wide, units);
    head(&mut page, report);
    text_safety::stops(&mut page, report);
    text_safety::referrals(&mut page, report);
    text_safety::not_seen(&mut page, report);
    text_safety::blocked(&mut page, report);
    text_safety::leading(&mut page, report);
    if report.answers == "estimate" {
        text_work::in_short(&mut page, report);
    }
    text_opened::opened(&mut page, report);
    text_condition::worst_first(&mut page, report);
    text_condition::condition(&mut page, report);
    text_grids::grids(&mut page, report);
    lines_classes::text(&mut page, report);
    text_drying::drying(&mut page, report);
    put_right(&mut page, report);
    text_marks::marks(&mut page, report);
    text_amendments::amendments(&mut page, report);
    if report.answers == "estimate" {
        text_work::repairs(&mut page, report);
        text_method::methods(&mut page, report);
        text_work::materials(&mut page, report);
        text_work::paint(&mut page, report);
        text_shop::shop(&mut page, report);
        text_hours::hours(&mut page, report);
        text_timetable::timetable(&mut page, report);
        text_buy::order(&mut page, report);
        text_buy::price(&mut page, report);
        text_hours::conflicts(&mut page, report);
    }
    text_safety::cautions(&mut page, report);
    text_safety::answers(&mut page, report);
    assumptions(&mut page, report);
    not_included(&mut page, report);
    rules_named(&mut page, report);
    foot(&mut page, report);
    page.text
}

/// The short form.
#[must_use]
pub fn brief(report: &Report) -> String {
    brief_in(report, &Units::Metric)
}

/// [`brief`] in units of choice.
#[must_use]
pub fn brief_in(report: &Report, units: &Units) -> String {
    let mut page = Page::new(report, Wide::Usual, units);
    text_safety::stops(&mut page, report);
    text_safety::referrals(&mut page, report);
    text_safety::blocked(&mut page, report);
    text_safety::raised(&mut page, report);
    if report.answers == "estimate" {
        text_work::materials(&mut page, report);
    }
    foot(&mut page, report);
    page.text
}

/// What to buy and what it costs, under everything that says no.
#[must_use]
pub fn quote(report: &Report) -> String {
    quote_in(report, &Units::Metric)
}

/// [`quote`] in units of choice.
#[must_use]
pub fn quote_in(report: &Report, units: &Units) -> String {
    let mut page = Page::new(report, Wide::Usual, units);
    head(&mut page, report);
    text_safety::stops(&mut page, report);
    text_safety::referrals(&mut page, report);
    text_safety::not_seen(&mut page, report);
    text_safety::blocked(&mut page, report);
    text_safety::leading(&mut page, report);
    text_opened::opened(&mut page, report);
    put_right(&mut page, report);
    text_turns::turns(&mut page, report);
    text_work::materials(&mut page, report);
    text_buy::order(&mut page, report);
    text_buy::price(&mut page, report);
    assumptions(&mut page, report);
    not_included(&mut page, report);
    foot(&mut page, report);
    page.text
}

fn head(page: &mut Page, report: &Report) {
    let survey = &report.survey;
    let of = if survey.body.is_empty() { "panels of a survey" } else { &survey.body };
    page.line(0, &format!("{} of {of}", report.answers));
    let said = |word: &str, text: &str| {
        if text.is_empty() { String::new() } else { format!("{word} {text}") }
    };
    let who = [
        said("surveyed", &survey.date),
        said("by", &survey.author),
        said("interest:", &survey.interest),
        said("for", &survey.client),
        said("for the purpose of", &survey.purpose),
        said("access:", &survey.access),
        said("conditions:", &survey.conditions),
        said("readings:", &survey.readings),
    ];
    let who: Vec<String> = who.into_iter().filter(|text| !text.is_empty()).collect();
    if !who.is_empty() {
        page.line(0, &who.join("; "));
    }
    if survey.client.is_empty() || survey.purpose.is_empty() {
        page.line(0, "client or purpose not named: nobody may rely on this answer");
    }
    if let Some(note) = page.units.note() {
        page.as_it_is(0, note);
    }
}

fn put_right(page: &mut Page, report: &Report) {
    if report.put_right.is_empty() {
        return;
    }
    page.heading("PUT RIGHT FIRST, or it comes back; buy materials for these only after");
    for one in &report.put_right {
        let repairs = if one.repairs.is_empty() {
            "no repair laid out".to_owned()
        } else {
            one.repairs.join(", ")
        };
        let rules = page.rules(&[crate::rules::id::CAUSE_FIRST]);
        page.line(
            2,
            &format!(
                "mark {} ({repairs}): {}; by {} {rules}",
                numbers(&one.marks),
                one.what,
                one.who
            ),
        );
    }
}

fn assumptions(page: &mut Page, report: &Report) {
    page.heading("ASSUMED, until somebody measures or says");
    if report.assumptions.is_empty() {
        page.line(2, "nothing");
    }
    for one in &report.assumptions {
        let rules = page.rules(&[&one.rule]);
        page.line(2, &format!("{} {rules}", one.text));
    }
    let stricter: Vec<&SettingLine> = report.settings.iter().filter(|one| !one.weakened).collect();
    if !stricter.is_empty() {
        page.heading("SETTINGS CHANGED from the default");
        for one in stricter {
            page.as_it_is(2, &format!("{}: {}", one.rule, one.text));
        }
    }
}

fn not_included(page: &mut Page, report: &Report) {
    page.heading("NOT INCLUDED");
    for text in &report.not_included {
        page.line(2, text);
    }
}

fn rules_named(page: &mut Page, report: &Report) {
    page.heading("RULES CITED ABOVE, with their sources (plymend explain ID tells more)");
    let cited = std::mem::take(&mut page.cited);
    let shown = |rule: &&RuleLine| page.wide == Wide::Working || cited.contains(&rule.id);
    for rule in report.rules.iter().filter(shown).collect::<Vec<_>>() {
        let figure =
            if rule.figure.is_empty() { String::new() } else { format!(" = {}", rule.figure) };
        page.as_it_is(
            2,
            &format!("{}{figure}: {} ({}; {})", rule.id, rule.title, rule.evidence, rule.source),
        );
    }
}

fn foot(page: &mut Page, report: &Report) {
    page.heading("READ");
    page.as_it_is(2, &report.files_read.join(", "));
    let client =
        if report.survey.client.is_empty() { "nobody named" } else { &report.survey.client };
    let purpose =
        if report.survey.purpose.is_empty() { "no purpose named" } else { &report.survey.purpose };
    page.as_it_is(
        0,
        &format!(
            "For {client}, for {purpose}; nobody else may rely on it. Not a roadworthiness, structural or insurance approval. Local law, data sheets and licensed practice come first."
        ),
    );
}

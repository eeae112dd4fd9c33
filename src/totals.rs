//! Many surveys: what one of them comes to, and all together.

use std::collections::BTreeMap;

use super::{Answer, Depth, skins, told};
use crate::diagnostic::Diagnostic;
use crate::quantity::{Case, Cases};
use crate::read::job::Job;
use crate::report::model::{Exclusion, PanelCondition, Report, round6};
use crate::report::record_totals::*;

/// What one survey comes to, body and panels, as a record that stands alone.
///
/// # Errors
/// Faults of the job, each with its file and place.
pub fn totals(job: &Job) -> Result<SurveyTotals, Vec<Diagnostic>> {
    let panels = skins(job)?;
    told(job, &panels, Depth::Marks, |report, answer| line(job, &report, answer))
}

/// All of a folder as one table, worst first; the same whatever the order they come in.
#[must_use]
pub fn totals_table(
    mut surveys: Vec<SurveyTotals>,
    mut bad_files: Vec<BadFile>,
    other_files: usize,
) -> TotalsTable {
    surveys.sort_by(|one, other| one.file.cmp(&other.file));
    bad_files.sort_by(|one, other| one.file.cmp(&other.file));
    let all = together(&surveys, bad_files.len());
    surveys.sort_by_key(|one| std::cmp::Reverse(rank(one)));
    TotalsTable {
        schema: TOTALS_SCHEMA,
        schema_version: TOTALS_VERSION,
        surveys,
        all,
        bad_files,
        other_files,
    }
}

/// A file that could not be counted, with its faults.
#[must_use]
pub fn bad_file(file: &str, faults: &[Diagnostic]) -> BadFile {
    BadFile {
        schema: TOTALS_LINE_SCHEMA,
        schema_version: TOTALS_VERSION,
        file: file.to_owned(),
        faults: faults
            .iter()
            .map(|fault| FaultLine {
                code: fault.code,
                file: fault.file.clone(),
                line: fault.place.map(|place| place.line),
                column: fault.place.map(|place| place.column),
                field: fault.field.clone(),
                problem: fault.problem.clone(),
            })
            .collect(),
    }
}

/// How bad a survey is: the larger, the earlier it stands.
fn rank(of: &SurveyTotals) -> [usize; 5] {
    let figures = &of.figures;
    [
        of.stops.len(),
        figures.referred + of.fixings_referred,
        of.blocked_steps,
        figures.held,
        figures.to_repair,
    ]
}

fn line(job: &Job, report: &Report, answer: &Answer<'_>) -> SurveyTotals {
    let excludes = report.materials.high.excludes.clone();
    let panels: Vec<PanelTotals> = report
        .panels
        .iter()
        .enumerate()
        .filter(|(_, panel)| !panel.marks.is_empty())
        .map(|(number, panel)| {
            let mut figures = seen(report, Some(&panel.name));
            worked(&mut figures, answer, Some(number));
            let left_out: Vec<u32> = excludes
                .iter()
                .filter_map(|one| one.mark.filter(|mark| panel.marks.contains(mark)))
                .collect();
            let at_least = !left_out.is_empty();
            PanelTotals { panel: panel.name.clone(), figures: rounded(figures), at_least, left_out }
        })
        .collect();
    let mut figures = seen(report, None);
    worked(&mut figures, answer, None);
    SurveyTotals {
        schema: TOTALS_LINE_SCHEMA,
        schema_version: TOTALS_VERSION,
        file: job.survey_file.clone(),
        body: report.survey.body.clone(),
        client: report.survey.client.clone(),
        date: report.survey.date.clone(),
        on: job.survey.on.clone(),
        stops: report.stops.iter().map(|stop| stop.text.clone()).collect(),
        reasons: reasons(report),
        fixings_referred: fixings_referred(report),
        blocked_steps: report.blocks.len(),
        figures: rounded(figures),
        hours: answer.hours.all.map(|hours| round6(*hours)),
        at_least: !excludes.is_empty(),
        excludes,
        weakened: report
            .settings
            .iter()
            .filter(|one| one.weakened)
            .map(|one| format!("{}: {}", one.rule, one.text))
            .collect(),
        panels,
    }
}

/// Counts and what was seen, of a panel or of the body.
fn seen(report: &Report, panel: Option<&str>) -> TotalFigures {
    let mut figures = TotalFigures::default();
    for finding in report.findings.iter().filter(|one| panel.is_none_or(|name| name == one.panel)) {
        figures.marks += 1;
        match finding.action.as_str() {
            "refer" => figures.referred += 1,
            "held" => figures.held += 1,
            "repair" => figures.to_repair += 1,
            _ => figures.watched += 1,
        }
    }
    let sides = report.condition.panels.iter();
    for side in sides.filter(|one| panel.is_none_or(|name| name == one.panel)) {
        add_side(&mut figures, side);
    }
    figures
}

fn add_side(figures: &mut TotalFigures, side: &PanelCondition) {
    let here = &side.quantities;
    figures.area_m2 += side.area_m2;
    figures.looked_at_m2 += side.looked_at_m2;
    figures.cracks_m += here.cracks_m;
    figures.crazed_m2 += here.crazed_m2;
    figures.drummy_m2 += here.drummy_m2;
    figures.blistered_m2 += here.blistered_m2;
    figures.wet_m2 += here.wet_m2;
    figures.hole_m2 += here.hole_m2;
}

/// Areas and masses of the repairs of a panel or of the body; a repair counts where its first mark is.
fn worked(figures: &mut TotalFigures, answer: &Answer<'_>, panel: Option<usize>) {
    let all = answer.plan.repairs.iter().zip(&answer.materials);
    for (repair, masses) in all.filter(|(one, _)| panel.is_none_or(|panel| panel == one.panel)) {
        let plus = |to: &mut Cases<f64>, of: &dyn Fn(Case) -> f64| {
            let before = *to;
            *to = Cases::from_fn(|case| before.get(case) + of(case));
        };
        plus(&mut figures.prepared_m2, &|case| {
            let areas = repair.areas.get(case);
            (areas.prepared_mm2 + areas.prepared_back_mm2) * 1e-6
        });
        plus(&mut figures.glass_kg, &|case| masses.get(case).glass().value());
        plus(&mut figures.resin_kg, &|case| masses.get(case).resin().value());
        plus(&mut figures.gel_coat_kg, &|case| masses.get(case).coat.1.value());
    }
}

/// Reasons to refer that are a fixing's and no mark's.
fn fixings_referred(report: &Report) -> usize {
    report.referrals.iter().filter(|one| one.mark.is_none()).count()
}

/// What puts a survey where it stands, gravest first.
fn reasons(report: &Report) -> Vec<String> {
    let mut found = Vec::new();
    let mut say = |count: usize, one: &str, many: &str, rest: String| {
        if count > 0 {
            found.push(format!("{count} {}{rest}", if count == 1 { one } else { many }));
        }
    };
    say(report.stops.len(), "stop", "stops", String::new());
    let marks = |action: &str| -> Vec<String> {
        let with = report.findings.iter().filter(|one| one.action == action);
        with.map(|one| one.mark.to_string()).collect()
    };
    let referred = marks("refer");
    say(referred.len(), "mark referred", "marks referred", format!(": {}", referred.join(", ")));
    say(fixings_referred(report), "fixing referred", "fixings referred", String::new());
    say(report.blocks.len(), "blocked step", "blocked steps", String::new());
    let held = marks("held");
    say(held.len(), "mark held", "marks held", format!(": {}", held.join(", ")));
    let wet = report.findings.iter().filter(|one| one.wet).count();
    say(wet, "wet mark", "wet marks", String::new());
    say(
        report.put_right.len(),
        "cause to put right first",
        "causes to put right first",
        String::new(),
    );
    found
}

fn add(to: &mut TotalFigures, more: &TotalFigures) {
    let plus =
        |to: &Cases<f64>, more: &Cases<f64>| Cases::from_fn(|case| to.get(case) + more.get(case));
    *to = TotalFigures {
        marks: to.marks + more.marks,
        referred: to.referred + more.referred,
        held: to.held + more.held,
        to_repair: to.to_repair + more.to_repair,
        watched: to.watched + more.watched,
        area_m2: to.area_m2 + more.area_m2,
        looked_at_m2: to.looked_at_m2 + more.looked_at_m2,
        cracks_m: to.cracks_m + more.cracks_m,
        crazed_m2: to.crazed_m2 + more.crazed_m2,
        drummy_m2: to.drummy_m2 + more.drummy_m2,
        blistered_m2: to.blistered_m2 + more.blistered_m2,
        wet_m2: to.wet_m2 + more.wet_m2,
        hole_m2: to.hole_m2 + more.hole_m2,
        prepared_m2: plus(&to.prepared_m2, &more.prepared_m2),
        glass_kg: plus(&to.glass_kg, &more.glass_kg),
        resin_kg: plus(&to.resin_kg, &more.resin_kg),
        gel_coat_kg: plus(&to.gel_coat_kg, &more.gel_coat_kg),
    };
}

fn rounded(of: TotalFigures) -> TotalFigures {
    let three = |cases: Cases<f64>| cases.map(|figure| round6(*figure));
    TotalFigures {
        area_m2: round6(of.area_m2),
        looked_at_m2: round6(of.looked_at_m2),
        cracks_m: round6(of.cracks_m),
        crazed_m2: round6(of.crazed_m2),
        drummy_m2: round6(of.drummy_m2),
        blistered_m2: round6(of.blistered_m2),
        wet_m2: round6(of.wet_m2),
        hole_m2: round6(of.hole_m2),
        prepared_m2: three(of.prepared_m2),
        glass_kg: three(of.glass_kg),
        resin_kg: three(of.resin_kg),
        gel_coat_kg: three(of.gel_coat_kg),
        ..of
    }
}

/// Sums over surveys in order of their files, so that they are the same to the last digit.
fn together(surveys: &[SurveyTotals], bad_files: usize) -> AllTotals {
    let mut figures = TotalFigures::default();
    let mut hours = Cases { low: 0.0, likely: 0.0, high: 0.0 };
    let mut excludes: Vec<LeftOutCount> = Vec::new();
    for survey in surveys {
        add(&mut figures, &survey.figures);
        let before = hours;
        hours = Cases::from_fn(|case| before.get(case) + survey.hours.get(case));
        for one in &survey.excludes {
            let reason = kind_of(one);
            match excludes.iter_mut().find(|known| known.reason == reason) {
                Some(known) => known.marks += 1,
                None => excludes.push(LeftOutCount { reason: reason.to_owned(), marks: 1 }),
            }
        }
    }
    excludes.sort_by(|one, other| one.reason.cmp(&other.reason));
    AllTotals {
        surveys: surveys.len(),
        with_stops: surveys.iter().filter(|one| !one.stops.is_empty()).count(),
        with_referrals: surveys.iter().filter(|one| one.is_referred()).count(),
        figures: rounded(figures),
        hours: hours.map(|figure| round6(*figure)),
        at_least: !excludes.is_empty() || bad_files > 0,
        excludes,
        bad_files,
        surveyed_again: surveyed_again(surveys),
    }
}

/// Bodies of one name and client with more than one survey.
fn surveyed_again(surveys: &[SurveyTotals]) -> Vec<String> {
    let mut seen: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for survey in surveys.iter().filter(|one| !one.body.is_empty()) {
        *seen.entry((&survey.body, &survey.client)).or_default() += 1;
    }
    let again = seen.into_iter().filter(|(_, count)| *count > 1);
    again.map(|((body, _), count)| format!("{body}: {count} surveys")).collect()
}

/// The reason without the numbers of the marks that hold it.
fn kind_of(one: &Exclusion) -> &str {
    match one.reason.split(" by referred").next() {
        Some(kind) => kind,
        None => &one.reason,
    }
}

//! `estimate`, `assess` and `quote`: the job read, worked out and said.

use plymend::diagnostic::Diagnostic;
use plymend::read::{Job, Named, job};
use plymend::report::imperial::{Units, Verbatim};
use plymend::report::{Report, json, lines_summary, tables, text, text_summary, workbook};

use super::{hooks, typed_wrongly};
use crate::cli::{Format, NamedFiles, Output, QuoteFormat, Reader, Typed, UnitWord};
use crate::files::{JobFolder, make_folder, write_answer};
use crate::say::{Answer, on_a_screen};

pub(super) fn run(
    survey: &str,
    named: &NamedFiles,
    (format, units): (Format, UnitWord),
    geometry: Option<&str>,
    output: Output,
    typed: &Typed,
) -> Result<Answer, Vec<Diagnostic>> {
    for_people_only(units, format == Format::Text)?;
    let job = read(survey, named)?;
    let units = units_of(units, &job);
    let (report, files) = match geometry {
        Some(_) => plymend::estimate_with_geometry(&job)?,
        None => (plymend::estimate(&job)?, Vec::new()),
    };
    let text = match format {
        Format::Json => json::text(&report),
        Format::Text if typed.quiet => with_reason(text::brief_in(&report, &units), &report),
        Format::Text => {
            let wide = if typed.verbose { text::Wide::Working } else { text::Wide::Usual };
            with_reason(text::full_in(&report, wide, &units), &report)
        }
    };
    if let Some(folder) = geometry {
        into(folder, &files, &job)?;
    }
    Ok(said(text, job, &report, output, typed))
}

/// Writes texts into a folder, each whole or not at all.
fn into(folder: &str, files: &[(String, String)], job: &Job) -> Result<(), Vec<Diagnostic>> {
    make_folder(folder).map_err(|fault| vec![fault])?;
    for (name, text) in files {
        let path = format!("{}/{name}", folder.trim_end_matches('/'));
        write_answer(&path, text.as_bytes(), &job.files_read).map_err(|fault| vec![*fault])?;
    }
    Ok(())
}

pub(super) fn assess(
    survey: &str,
    named: &NamedFiles,
    (classes, maps, units): (bool, Option<&str>, UnitWord),
    output: Output,
    typed: &Typed,
) -> Result<Answer, Vec<Diagnostic>> {
    let job = read(survey, named)?;
    let (report, files) = match maps {
        Some(_) => plymend::assess_with_maps(&job, classes)?,
        None => (plymend::assess(&job, classes)?, Vec::new()),
    };
    let text = with_reason(hooks::assessed(&report, &units_of(units, &job)), &report);
    if let Some(folder) = maps {
        into(folder, &files, &job)?;
    }
    Ok(said(text, job, &report, output, typed))
}

pub(super) fn quote(
    survey: &str,
    named: &NamedFiles,
    (format, reader, units): (QuoteFormat, Option<Reader>, UnitWord),
    output: Output,
    typed: &Typed,
) -> Result<Answer, Vec<Diagnostic>> {
    if reader.is_some() && !matches!(format, QuoteFormat::Text | QuoteFormat::Json) {
        return Err(vec![typed_wrongly(
            "--for",
            "READ-CONTRADICTION",
            "a page for a buyer is no table and no list for a supplier".to_owned(),
            "--format text or --format json beside it".to_owned(),
            "leave one of the two out".to_owned(),
        )]);
    }
    if format == QuoteFormat::Xlsx && output.output.is_none() && on_a_screen() {
        return Err(vec![typed_wrongly(
            "--format",
            "WRITE-FAILED",
            "a workbook is no text, and the answer would go to a screen".to_owned(),
            "a file or a pipe".to_owned(),
            "add -o and the name of a file, such as -o order.xlsx".to_owned(),
        )]);
    }
    for_people_only(units, format == QuoteFormat::Text)?;
    let job = read(survey, named)?;
    let units = units_of(units, &job);
    let mut report = plymend::quote(&job)?;
    if reader.is_some() {
        report = lines_summary::with_summary(report);
    }
    let cannot = |why| {
        let way_out = "choose another format".to_owned();
        vec![typed_wrongly("--format", "READ-TYPE", why, "text".to_owned(), way_out)]
    };
    let text = match format {
        QuoteFormat::Json => json::text(&report),
        QuoteFormat::Text if reader.is_some() => {
            with_reason(text_summary::summary_in(&report, &units), &report)
        }
        QuoteFormat::Text => with_reason(text::quote_in(&report, &units), &report),
        QuoteFormat::Lines => tables::lines(&report),
        QuoteFormat::Csv => tables::csv(&report).map_err(cannot)?,
        QuoteFormat::Xlsx => String::new(),
    };
    let bytes = match format {
        QuoteFormat::Xlsx => Some(workbook::xlsx(&report).map_err(cannot)?),
        _ => None,
    };
    Ok(Answer { bytes, ..said(text, job, &report, output, typed) })
}

pub(super) fn read(survey: &str, named: &NamedFiles) -> Result<Job, Vec<Diagnostic>> {
    let named = Named {
        shop: named.shop.clone(),
        stock: named.stock.clone(),
        rules: named.rules.clone(),
        opened: named.opened.clone(),
        drying: named.drying.clone(),
        prices: named.prices.clone(),
    };
    job::job(&JobFolder::of(survey), survey, &named)
}

fn said(text: String, job: Job, report: &Report, output: Output, typed: &Typed) -> Answer {
    let notes = match (typed.verbose, &output.output) {
        (true, Some(file)) => vec![format!("wrote {file}")],
        _ => Vec::new(),
    };
    Answer {
        text,
        output: output.output,
        files_read: job.files_read,
        reason: report.exit_reason(),
        notes,
        ..Answer::default()
    }
}

/// Programs get metric units alone, so that no figure stands for two things.
fn for_people_only(units: UnitWord, text: bool) -> Result<(), Vec<Diagnostic>> {
    if units == UnitWord::Metric || text {
        return Ok(());
    }
    Err(vec![typed_wrongly(
        "--units",
        "READ-CONTRADICTION",
        "records and tables are metric, whatever the units of a text".to_owned(),
        "--units imperial with --format text".to_owned(),
        "leave one of the two out".to_owned(),
    )])
}

pub(super) fn units_of(units: UnitWord, job: &Job) -> Units {
    match units {
        UnitWord::Metric => Units::Metric,
        UnitWord::Imperial => Units::Imperial(Verbatim::of(job)),
    }
}

/// The last line says why the exit code is not 0.
fn with_reason(mut text: String, report: &Report) -> String {
    if let Some(reason) = report.exit_reason() {
        if !text.ends_with('\n') {
            text.push('\n');
        }
        text.push_str(&format!("exit code 1: {reason}\n"));
    }
    text
}

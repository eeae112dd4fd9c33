//! `totals`: every survey of a folder in one table.

use plymend::diagnostic::Diagnostic;
use plymend::report::record_totals::{BadFile, SurveyTotals};
use plymend::report::{json, text_totals};
use plymend::rules::Book;

use super::many::{Came, End, breaking_off, walk};
use super::typed_wrongly;
use crate::cli::{Totals, TotalsFormat, Typed};
use crate::files::Sink;
use crate::say::Answer;

pub(super) fn run(asked: &Totals, typed: &Typed) -> Result<Answer, Vec<Diagnostic>> {
    if asked.format == TotalsFormat::Lines {
        return lines(asked, typed);
    }
    let (mut surveys, mut bad): (Vec<SurveyTotals>, Vec<BadFile>) = (Vec::new(), Vec::new());
    let stop = breaking_off();
    let end = walk(&asked.many, (typed, &stop), plymend::totals, |came| {
        match came {
            Came::Survey(one) => surveys.push(one),
            Came::Bad(file, faults) => bad.push(plymend::bad_file(&file, &faults)),
            Came::Other => {}
        }
        Ok(())
    })?;
    let table = plymend::totals_table(surveys, bad, end.other);
    let reason = table.exit_reason();
    let text = match asked.format {
        TotalsFormat::Json => json::text(&table),
        TotalsFormat::Csv => text_totals::csv(&table).map_err(|why| {
            let way_out = "choose another format".to_owned();
            vec![typed_wrongly("--format", "READ-TYPE", why, "text".to_owned(), way_out)]
        })?,
        TotalsFormat::Text | TotalsFormat::Lines => {
            let mut text = text_totals::full(&table, &Book::built_in());
            if let Some(reason) = &reason {
                text.push_str(&format!("exit code 1: {reason}\n"));
            }
            text
        }
    };
    Ok(Answer { text, output: asked.output.output.clone(), ..answer(end, reason) })
}

/// A survey a line, handed on as they come: nothing is kept.
fn lines(asked: &Totals, typed: &Typed) -> Result<Answer, Vec<Diagnostic>> {
    // Before there is a file that could be left behind.
    let stop = breaking_off();
    let mut sink = Sink::open(asked.output.output.as_deref()).map_err(|fault| vec![fault])?;
    let (mut with_stops, mut with_referrals) = (0, 0);
    let end = walk(&asked.many, (typed, &stop), plymend::totals, |came| match came {
        Came::Survey(one) => {
            with_stops += usize::from(!one.stops.is_empty());
            with_referrals += usize::from(one.is_referred());
            sink.write(json::line(&one).as_bytes())
        }
        Came::Bad(file, faults) => {
            sink.write(json::line(&plymend::bad_file(&file, &faults)).as_bytes())
        }
        Came::Other => Ok(()),
    })?;
    if end.interrupted {
        return Ok(answer(end, None));
    }
    sink.finish(&end.files_read).map_err(|fault| vec![fault])?;
    let said = [(with_stops, "surveys with stops"), (with_referrals, "surveys with referrals")];
    let said: Vec<String> = said
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{count} {what}"))
        .collect();
    let reason =
        (!said.is_empty()).then(|| format!("something needs a person: {}", said.join("; ")));
    Ok(answer(end, reason))
}

fn answer(end: End, reason: Option<String>) -> Answer {
    Answer {
        files_read: end.files_read,
        faults: end.faults,
        reason,
        interrupted: end.interrupted,
        ..Answer::default()
    }
}

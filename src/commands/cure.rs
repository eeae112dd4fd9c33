//! `cure`: what if these plies were laid?

use std::sync::Arc;

use plymend::diagnostic::Diagnostic;
use plymend::model::shop::Weekday;
use plymend::model::stock::{Mat, Resin, ResinFamily, Stock};
use plymend::read::job::{self, TextFolder};
use plymend::read::{built_in, climate};
use plymend::report::{json, lines_cure, text_cure};
use plymend::rules::{Book, id};
use plymend::shop::course::{Course, Lags};
use plymend::shop::stages::{Behind, Ply};
use plymend::shop::timetable::calendar::{Calendar, DAY_MIN};
use plymend::shop::what_if::{Asked, answer};

use super::typed_wrongly;
use crate::cli::{Cure, Format, LaidOnto, Typed};
use crate::files::JobFolder;
use crate::say::Answer;

/// Plies in one question at most.
const MOST_PLIES: usize = 24;

pub(super) fn run(asked: &Cure, typed: &Typed) -> Result<Answer, Vec<Diagnostic>> {
    let mut files_read = Vec::new();
    let (stock, stock_name) = match &asked.stock {
        Some(file) => {
            files_read.push(file.clone());
            (job::stock_file(&JobFolder::of(file), file)?.0, file.clone())
        }
        None => {
            let folder = TextFolder::from([(built_in::STOCK_NAME, built_in::STOCK)]);
            let stock = job::stock_file(&folder, built_in::STOCK_NAME)?.0;
            (stock, built_in::STOCK_NAME.to_owned())
        }
    };
    let book = match &asked.rules {
        Some(file) => {
            files_read.push(file.clone());
            job::rules(&JobFolder::of(file), file)?.0
        }
        None => Book::built_in(),
    };
    let resin = resin(&stock, asked.resin.as_deref())?;
    let course = match &asked.hours {
        Some(file) => {
            files_read.push(file.clone());
            Some(Arc::new(course(asked, &book, file)?))
        }
        None => None,
    };
    let question = Asked { course, ..question(asked, &book, &stock, resin)? };
    let told = answer(&book, resin, &question).map_err(|fault| {
        let way_out = "change the figure on the command line or in the stock".to_owned();
        vec![typed_wrongly("cure", "READ-RANGE", fault.to_string(), fault.accepted, way_out)]
    })?;
    let record = lines_cure::record(&stock_name, resin, &question, &told, &book);
    let mut text = match asked.format {
        Format::Json => json::text(&record),
        Format::Text => text_cure::full(&record, &book),
    };
    let reason = record.exit_reason();
    if let (Some(reason), Format::Text) = (&reason, asked.format) {
        text.push_str(&format!("exit code 1: {reason}\n"));
    }
    let notes = match (typed.verbose, &asked.output.output) {
        (true, Some(file)) => vec![format!("wrote {file}")],
        _ => Vec::new(),
    };
    let output = asked.output.output.clone();
    Ok(Answer { text, output, files_read, reason, notes, ..Answer::default() })
}

/// The resin meant: the whole name, or the start of exactly one.
fn resin<'s>(stock: &'s Stock, name: Option<&str>) -> Result<&'s Resin, Vec<Diagnostic>> {
    let found: Vec<&Resin> = match name {
        None => stock
            .resins
            .iter()
            .filter(|resin| resin.family == ResinFamily::Polyester)
            .take(1)
            .collect(),
        Some(name) => {
            let start = |resin: &&Resin| resin.name.starts_with(name) && !name.trim().is_empty();
            match stock.resins.iter().find(|resin| resin.name == name) {
                Some(resin) => vec![resin],
                None => stock.resins.iter().filter(start).collect(),
            }
        }
    };
    if let [one] = found.as_slice() {
        return Ok(one);
    }
    let names: Vec<&str> = stock.resins.iter().map(|resin| resin.name.as_str()).collect();
    let problem = match name {
        Some(name) => format!("{name:?} names {} resins of the stock", found.len()),
        None => "the stock has no polyester resin".to_owned(),
    };
    Err(vec![typed_wrongly(
        "--resin",
        "READ-NAME-UNKNOWN",
        problem,
        format!("one of: {}", names.join("; ")),
        "write enough of the name that only one resin starts with it".to_owned(),
    )])
}

fn question(
    asked: &Cure,
    book: &Book,
    stock: &Stock,
    resin: &Resin,
) -> Result<Asked, Vec<Diagnostic>> {
    let mut faults = Vec::new();
    let mut within = |argument: &str, value: f64, low: f64, high: f64, unit: &str| {
        if !(low..=high).contains(&value) {
            faults.push(typed_wrongly(
                argument,
                "READ-RANGE",
                format!("found {value} {unit}"),
                format!("{low} to {high} {unit}"),
                "look at the reading and its unit once more".to_owned(),
            ));
        }
        value
    };
    // Hours settle the temperature; a figure is only held until they do.
    let given_c = asked.temperature.unwrap_or_else(|| book.figure(id::LAYUP_COLD_WARN));
    let day_c = within("--temperature", given_c, -20.0, 60.0, "C");
    let night_c = within("--night", asked.night.unwrap_or(given_c), -20.0, 60.0, "C");
    let dose = asked.catalyst.unwrap_or_else(|| book.figure(id::CATALYST_DOSE));
    let percent = within("--catalyst", dose, 0.1, 10.0, "%");
    let humidity_percent = asked.humidity.map(|damp| within("--humidity", damp, 1.0, 100.0, "%"));
    let thickness_mm = within("--panel-mm", asked.panel_mm, 0.3, 20.0, "mm");
    if resin.family == ResinFamily::Epoxy && asked.catalyst.is_some() {
        faults.push(typed_wrongly(
            "--catalyst",
            "READ-RANGE",
            format!("{} takes no catalyst: its ratio stands on the tin", resin.name),
            "no dose for epoxy".to_owned(),
            "leave --catalyst out".to_owned(),
        ));
    }
    let plies = match plies(&asked.plies, stock, resin) {
        Ok(plies) => plies,
        Err(fault) => {
            faults.push(*fault);
            Vec::new()
        }
    };
    if !faults.is_empty() {
        return Err(faults);
    }
    let behind = match asked.on {
        LaidOnto::Former => Behind::Former,
        LaidOnto::Panel => Behind::Panel { thickness_mm },
        LaidOnto::Nothing => Behind::Air,
    };
    Ok(Asked {
        percent,
        day_c,
        night_c,
        humidity_percent,
        plies,
        behind,
        keeps_face: asked.face,
        course: None,
    })
}

/// The hours of a file: every hour of every day counts as open, since nobody said when.
fn course(asked: &Cure, book: &Book, file: &str) -> Result<Course, Vec<Diagnostic>> {
    let (log, _) = climate::file(&JobFolder::of(file), file)?;
    if let Some(panel_c) = asked.panel_c.filter(|panel_c| !(-30.0..=90.0).contains(panel_c)) {
        return Err(vec![typed_wrongly(
            "--panel-c",
            "READ-RANGE",
            format!("found {panel_c} C"),
            "-30 to 90 C".to_owned(),
            "look at the reading and its unit once more".to_owned(),
        )]);
    }
    let lags = Lags { quick_h: book.figure(id::PANEL_QUICK), slow_h: book.figure(id::PANEL_SLOW) };
    let open = Calendar { from_min: 0, to_min: DAY_MIN, days: Weekday::ALL.to_vec(), starts: None };
    Course::of((file, &log), asked.panel_c, None, lags, open).ok_or_else(|| {
        vec![typed_wrongly(
            "--hours",
            "READ-NOTHING",
            format!("{file} tells no stretch of time"),
            "two readings or more, a quarter of an hour apart at least".to_owned(),
            "read on".to_owned(),
        )]
    })
}

/// Mats of the stock that go with the resin, by their weights.
fn plies(weights: &[f64], stock: &Stock, resin: &Resin) -> Result<Vec<Ply>, Box<Diagnostic>> {
    let epoxy = resin.family == ResinFamily::Epoxy;
    let fit: Vec<&Mat> = stock.mats.iter().filter(|mat| mat.epoxy_compatible == epoxy).collect();
    let known: Vec<String> = fit.iter().map(|mat| mat.weight_g_m2.value().to_string()).collect();
    let wrong = |problem: String| {
        Box::new(typed_wrongly(
            "--plies",
            "READ-RANGE",
            problem,
            format!("1 to {MOST_PLIES} plies of {} g/m2", known.join(" or ")),
            "use the weights of the stock, or name your own stock with --stock".to_owned(),
        ))
    };
    if weights.is_empty() || weights.len() > MOST_PLIES {
        return Err(wrong(format!("found {} plies", weights.len())));
    }
    weights
        .iter()
        .map(|weight| {
            let mat = fit.iter().find(|mat| (mat.weight_g_m2.value() - weight).abs() < 0.5);
            mat.map(|mat| Ply {
                glass_kg_m2: mat.weight_g_m2.in_kilograms().value(),
                glass_content: mat.glass_content,
            })
            .ok_or_else(|| wrong(format!("no mat of {weight} g/m2 goes with {}", resin.name)))
        })
        .collect()
}

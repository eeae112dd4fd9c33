//! Many surveys as text and as a table for a spreadsheet.

use super::record_totals::*;
use super::tables::harmless;
use super::text::{Page, three};
use crate::quantity::Cases;
use crate::rules::Book;

/// Columns of the table; the first says what a row is.
const COLUMNS: [&str; 38] = [
    "row",
    "rank",
    "file",
    "body",
    "client",
    "date",
    "panel",
    "stops",
    "reasons",
    "marks",
    "referred",
    "held",
    "to_repair",
    "watched",
    "area_m2",
    "looked_at_m2",
    "cracks_m",
    "crazed_m2",
    "drummy_m2",
    "blistered_m2",
    "wet_m2",
    "hole_m2",
    "prepared_m2_low",
    "prepared_m2_likely",
    "prepared_m2_high",
    "glass_kg_low",
    "glass_kg_likely",
    "glass_kg_high",
    "resin_kg_low",
    "resin_kg_likely",
    "resin_kg_high",
    "gel_coat_kg_low",
    "gel_coat_kg_likely",
    "gel_coat_kg_high",
    "hours_low",
    "hours_likely",
    "hours_high",
    "left_out",
];

/// The table as comma-separated text: all together, then bad files, then surveys with their panels,
/// worst first.
///
/// # Errors
/// In words; writing into memory does not fail.
pub fn csv(table: &TotalsTable) -> Result<String, String> {
    let mut out =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let mut row = |cells: Vec<String>| {
        let cells: Vec<String> = cells.iter().map(|cell| harmless(cell)).collect();
        out.write_record(&cells).map_err(|fault| fault.to_string())
    };
    row(COLUMNS.iter().map(|column| (*column).to_owned()).collect())?;
    let all = &table.all;
    let left = left_out(&all.excludes, all.bad_files);
    let said = format!("{} of {} surveys with stops", all.with_stops, all.surveys);
    row(cells(["all", "", "", "", "", "", "", &said, ""], &all.figures, Some(&all.hours), left))?;
    for one in &table.bad_files {
        let faults: Vec<String> =
            one.faults.iter().map(|fault| format!("{}: {}", fault.code, fault.problem)).collect();
        let mut cells = vec![String::new(); COLUMNS.len()];
        for (place, text) in [(0, "bad file"), (2, &one.file), (8, &faults.join("; "))] {
            if let Some(cell) = cells.get_mut(place) {
                text.clone_into(cell);
            }
        }
        row(cells)?;
    }
    for (number, one) in table.surveys.iter().enumerate() {
        let rank = (number + 1).to_string();
        let date = one.on.as_ref().unwrap_or(&one.date);
        let head = |sort, panel, stops, reasons| {
            [sort, rank.as_str(), &one.file, &one.body, &one.client, date, panel, stops, reasons]
        };
        let mut reasons = one.reasons.clone();
        reasons.extend(one.weakened.iter().map(|text| format!("SAFETY RULE WEAKENED: {text}")));
        let (stops, reasons) = (one.stops.join("; "), reasons.join("; "));
        let left: Vec<String> = one
            .excludes
            .iter()
            .map(|one| match one.mark {
                Some(mark) => format!("mark {mark}: {}", one.reason),
                None => one.reason.clone(),
            })
            .collect();
        let first = head("survey", "", &stops, &reasons);
        row(cells(first, &one.figures, Some(&one.hours), left.join("; ")))?;
        for panel in &one.panels {
            let left: Vec<String> =
                panel.left_out.iter().map(|mark| format!("mark {mark}")).collect();
            let first = head("panel", &panel.panel, "", "");
            row(cells(first, &panel.figures, None, left.join("; ")))?;
        }
    }
    let bytes = out.into_inner().map_err(|fault| fault.to_string())?;
    String::from_utf8(bytes).map_err(|fault| fault.to_string())
}

fn cells(
    head: [&str; 9],
    figures: &TotalFigures,
    hours: Option<&Cases<f64>>,
    left: String,
) -> Vec<String> {
    let mut cells: Vec<String> = head.iter().map(|text| (*text).to_owned()).collect();
    let counts =
        [figures.marks, figures.referred, figures.held, figures.to_repair, figures.watched];
    cells.extend(counts.iter().map(ToString::to_string));
    let seen = [
        figures.area_m2,
        figures.looked_at_m2,
        figures.cracks_m,
        figures.crazed_m2,
        figures.drummy_m2,
        figures.blistered_m2,
        figures.wet_m2,
        figures.hole_m2,
    ];
    cells.extend(seen.iter().map(ToString::to_string));
    for three in [figures.prepared_m2, figures.glass_kg, figures.resin_kg, figures.gel_coat_kg] {
        cells.extend([three.low, three.likely, three.high].iter().map(ToString::to_string));
    }
    match hours {
        Some(hours) => {
            cells.extend([hours.low, hours.likely, hours.high].iter().map(ToString::to_string));
        }
        None => cells.extend([const { String::new() }; 3]),
    }
    cells.push(left);
    cells
}

fn left_out(excludes: &[LeftOutCount], bad_files: usize) -> String {
    let mut said: Vec<String> =
        excludes.iter().map(|one| format!("{} marks {}", one.marks, one.reason)).collect();
    if bad_files > 0 {
        said.push(format!("{bad_files} files that could not be counted"));
    }
    said.join("; ")
}

/// The table for people: worst first, then all together.
#[must_use]
pub fn full(table: &TotalsTable, book: &Book) -> String {
    let mut page = Page::of_book(book);
    let all = &table.all;
    page.line(
        0,
        &format!(
            "{} surveys, worst first; {} with something to stop, {} with a referral",
            all.surveys, all.with_stops, all.with_referrals
        ),
    );
    for (number, one) in table.surveys.iter().enumerate() {
        let body = if one.body.is_empty() { String::new() } else { format!(", {}", one.body) };
        let date = one.on.as_ref().unwrap_or(&one.date);
        let date = if date.is_empty() { String::new() } else { format!(", {date}") };
        page.line(0, &format!("{}. {}{body}{date}", number + 1, one.file));
        for stop in &one.stops {
            page.line(4, &format!("STOP: {stop}"));
        }
        if !one.reasons.is_empty() {
            page.line(4, &one.reasons.join("; "));
        }
        for weakened in &one.weakened {
            page.line(4, &format!("SAFETY RULE WEAKENED: {weakened}"));
        }
        let open = one.at_least;
        let left: usize = one.excludes.len();
        let left = if left == 0 {
            String::new()
        } else {
            format!(" (leaves out {left}: they may cost more than the rest)")
        };
        page.line(
            4,
            &format!(
                "{} marks, {} to repair; {}; glass {}; resin {}{left}",
                one.figures.marks,
                one.figures.to_repair,
                hours_of(&one.hours, open),
                kilograms(&one.figures.glass_kg, open),
                kilograms(&one.figures.resin_kg, open)
            ),
        );
    }
    page.heading("ALL TOGETHER (low / likely / high)");
    let open = all.at_least;
    let figures = &all.figures;
    page.line(
        2,
        &format!(
            "{} marks: {} referred, {} held, {} to repair, {} watched or repaired",
            figures.marks, figures.referred, figures.held, figures.to_repair, figures.watched
        ),
    );
    page.line(
        2,
        &format!(
            "looked at {:.1} of {:.1} m²; cracks {:.2} m, crazed {:.3} m², blistered {:.3} m², dull {:.3} m², wet {:.3} m², holes {:.3} m²",
            figures.looked_at_m2,
            figures.area_m2,
            figures.cracks_m,
            figures.crazed_m2,
            figures.blistered_m2,
            figures.drummy_m2,
            figures.wet_m2,
            figures.hole_m2
        ),
    );
    page.line(
        2,
        &format!(
            "prepared {}; glass {}; resin {}; gel coat {}; {}",
            three(
                figures.prepared_m2.low,
                figures.prepared_m2.likely,
                figures.prepared_m2.high,
                2,
                "m²",
                open
            ),
            kilograms(&figures.glass_kg, open),
            kilograms(&figures.resin_kg, open),
            kilograms(&figures.gel_coat_kg, open),
            hours_of(&all.hours, open)
        ),
    );
    if open {
        page.line(
            2,
            &format!("every figure of work leaves out {}", left_out(&all.excludes, all.bad_files)),
        );
    }
    if !all.surveyed_again.is_empty() {
        page.line(
            2,
            &format!(
                "the same body more than once, its marks counted in each survey: {}",
                all.surveyed_again.join("; ")
            ),
        );
    }
    if !table.bad_files.is_empty() {
        page.heading("FILES THAT COULD NOT BE COUNTED");
        for one in &table.bad_files {
            for fault in &one.faults {
                page.line(2, &format!("{}: {} {}", one.file, fault.code, fault.problem));
            }
        }
    }
    page.finish()
}

fn kilograms(of: &Cases<f64>, open: bool) -> String {
    three(of.low, of.likely, of.high, 2, "kg", open)
}

fn hours_of(of: &Cases<f64>, open: bool) -> String {
    format!("hands-on {}", three(of.low, of.likely, of.high, 1, "h", open))
}

impl TotalsTable {
    /// Why the exit code is not 0, in one line.
    #[must_use]
    pub fn exit_reason(&self) -> Option<String> {
        let all = &self.all;
        let mut said = Vec::new();
        let mut say = |count: usize, what: &str| {
            if count > 0 {
                said.push(format!("{count} {what}"));
            }
        };
        say(all.with_stops, "surveys with stops");
        say(all.with_referrals, "surveys with referrals");
        say(all.bad_files, "files that could not be counted");
        (!said.is_empty()).then(|| format!("something needs a person: {}", said.join("; ")))
    }
}

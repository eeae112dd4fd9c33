//! The values and references of grids of readings.

use super::check_mark::TURN;
use super::faults::Faults;
use super::job::JobPanel;
use crate::model::panel::Fixings;
use crate::model::reading_grid::{GridOrigin, ReadingGrid, Rows};
use crate::model::survey::{Mark, Shape, Survey};

/// Distance between readings, mm (choice: from a coin's width to a hand's span and more).
const PITCH: std::ops::RangeInclusive<f64> = 5.0..=500.0;
/// Most rows, and most readings in a row (choice: far beyond what anybody taps).
const MOST: usize = 200;

/// Every fault of a survey's grids; with `all_read`, every panel is in `panels`.
pub(super) fn grids(survey: &Survey, panels: &[JobPanel], all_read: bool, faults: &mut Faults<'_>) {
    for (number, grid) in survey.grids.iter().enumerate() {
        let field = format!("grids[{number}]");
        faults.name(&format!("{field}.name"), "a grid", &grid.name);
        let panel = panels.iter().find(|panel| panel.name == grid.panel);
        if panel.is_none() && all_read {
            let known: Vec<&str> = panels.iter().map(|panel| panel.name.as_str()).collect();
            faults.known(&format!("{field}.panel"), "panel", &grid.panel, &known);
        }
        origin(grid, &field, panel, faults);
        let angle = grid.angle_deg.value();
        faults.range(&format!("{field}.angle_deg"), "angle", angle, "degrees", TURN);
        let pitch = grid.pitch_mm.value();
        faults.range(&format!("{field}.pitch_mm"), "distance of readings", pitch, "mm", PITCH);
        rows(grid, &field, survey.meter.is_some(), faults);
        if let Some(of) = grid.mark {
            let mark = survey.marks.iter().find(|mark| mark.id == of);
            belongs(grid, mark, of, &field, faults);
        }
    }
    let names: Vec<&str> = survey.grids.iter().map(|grid| grid.name.as_str()).collect();
    faults.unlike("grid", &names, |number| format!("grids[{number}].name"));
    for (number, mark) in survey.marks.iter().enumerate() {
        if let Shape::Grid(name) = &mark.shape {
            shape(mark, name, &format!("marks[{number}]"), survey, faults);
        }
    }
}

fn origin(grid: &ReadingGrid, field: &str, panel: Option<&JobPanel>, faults: &mut Faults<'_>) {
    let at = format!("{field}.origin");
    if let Some(place) = grid.origin.place() {
        faults.grid_place(&at, "first reading", place);
    }
    if let (GridOrigin::At(name), Some(panel)) = (&grid.origin, panel) {
        let of = &panel.panel;
        let mut known: Vec<&str> =
            of.landmarks.iter().map(|landmark| landmark.name.as_str()).collect();
        if let Fixings::Listed(fixings) = &of.fixings {
            known.extend(fixings.iter().map(|fixing| fixing.name.as_str()));
        }
        faults.known(&format!("{at}[0]"), "landmark or fixing of this panel", name, &known);
    }
}

fn rows(grid: &ReadingGrid, field: &str, has_meter: bool, faults: &mut Faults<'_>) {
    let at = format!("{field}.rows[0]");
    let moisture = matches!(grid.rows, Rows::Moisture(_));
    let accepted = if moisture {
        "figures of the meter, blanks between them, - where nothing was taken"
    } else {
        "c for clear, d for dull, - where nothing was taken, blanks between them"
    };
    if moisture && !has_meter {
        faults.add(
            &at,
            "READ-METER",
            "moisture readings without a meter say nothing",
            "`meter` with its reference on a dry part of this body",
            "write the meter and its reference, or take the grid out",
        );
    }
    let readings = match grid.rows.read() {
        Ok(readings) => readings,
        Err(wrong) => {
            faults.add(
                &format!("{at}[{}]", wrong.row),
                "READ-GRID",
                format!(
                    "{:?} is no reading: row {}, reading {} of it",
                    wrong.written,
                    wrong.row + 1,
                    wrong.column + 1
                ),
                accepted,
                "correct the entry, or write - if it was not taken",
            );
            return;
        }
    };
    let length = readings.first().map_or(0, Vec::len);
    if readings.len() < 2 || length < 2 || readings.len() > MOST || length > MOST {
        faults.add(
            &at,
            "READ-GRID",
            format!("{} rows of {length} readings", readings.len()),
            format!("2 to {MOST} rows of 2 to {MOST} readings"),
            "record fewer places as marks; split a larger grid",
        );
    }
    if let Some(unlike) = readings.iter().position(|row| row.len() != length) {
        faults.add(
            &format!("{at}[{unlike}]"),
            "READ-GRID",
            format!(
                "row {} has {} readings, the first has {length}",
                unlike + 1,
                readings.get(unlike).map_or(0, Vec::len)
            ),
            format!("{length} readings in every row"),
            "write - where nothing was taken",
        );
    }
}

fn belongs(grid: &ReadingGrid, mark: Option<&Mark>, of: u32, field: &str, faults: &mut Faults<'_>) {
    let at = format!("{field}.mark");
    let Some(mark) = mark else {
        faults.add(
            &at,
            "READ-NAME-UNKNOWN",
            format!("there is no mark {of}"),
            "a mark of this survey",
            "leave `mark` out, or record the mark",
        );
        return;
    };
    if mark.panel != grid.panel || mark.side != grid.side {
        faults.add(
            &at,
            "READ-CONTRADICTION",
            format!(
                "mark {of} is on {:?}, {}; the grid on {:?}, {}",
                mark.panel,
                mark.side.words(),
                grid.panel,
                grid.side.words()
            ),
            "a grid on the panel and side of its mark",
            "correct one of the two",
        );
    }
}

fn shape(mark: &Mark, name: &str, field: &str, survey: &Survey, faults: &mut Faults<'_>) {
    let known: Vec<&str> = survey.grids.iter().map(|grid| grid.name.as_str()).collect();
    if !faults.known(&format!("{field}.shape[0]"), "grid of this survey", name, &known) {
        return;
    }
    if mark.place.is_some() {
        faults.add(
            &format!("{field}.place"),
            "READ-CONTRADICTION",
            "a mark whose shape is a grid is where the grid is dull or wet",
            "`shape: Grid(...)` without `place`",
            "leave `place` out",
        );
    }
    if let Some(grid) = survey.grids.iter().find(|grid| grid.name == name) {
        if matches!(grid.rows, Rows::Moisture(_)) {
            faults.add(
                &format!("{field}.shape[0]"),
                "READ-CONTRADICTION",
                format!("{name:?} holds moisture readings, which tell no outline by themselves"),
                "a tapped grid",
                "record the patch as it is seen, and let the grid belong to the mark",
            );
        }
        belongs(grid, Some(mark), mark.id, field, faults);
    }
}

//! The values and references of one mark.

use super::check_panel::THICKNESS;
use super::check_trace::{gel, lines, traced};
use super::faults::{Faults, GRID};
use crate::model::panel::{Covering, Fixings, Landmark, Panel};
use crate::model::survey::{
    BlisterLayer, Cause, Depth, Direction, Evidence, Mark, MarkKind, Place, SeenNow, Shape,
    SideWord,
};
use crate::quantity::Millimetres;

/// Size of a mark, mm (choice: from a pinprick to the side of a coach).
pub(super) const MARK: std::ops::RangeInclusive<f64> = 1.0..=5_000.0;
/// Reading of a tape, mm (choice: the longest tape in use on one panel).
const TAPE: std::ops::RangeInclusive<f64> = 1.0..=15_000.0;
/// A turn either way, degrees.
pub(super) const TURN: std::ops::RangeInclusive<f64> = -360.0..=360.0;
/// Share of the line between two landmarks below which a side word cannot tell its two places
/// apart (choice).
const TELLS_APART: f64 = 0.05;

/// Adds every fault of a mark; `panel` is none when its file could not be read.
pub(super) fn mark(
    mark: &Mark,
    field: &str,
    panel: Option<&Panel>,
    has_meter: bool,
    faults: &mut Faults<'_>,
) {
    place(mark, field, panel, faults);
    shape(mark, field, panel, faults);
    shape_for_kind(mark, field, faults);
    lines(mark, field, panel, faults);
    gel(mark, field, faults);
    depth(mark, field, panel, faults);
    blisters(mark, field, faults);
    if let Some(reading) = mark.reading {
        let at = format!("{field}.reading");
        faults.range(&at, "moisture reading", reading, "", 0.0..=10_000.0);
        if !has_meter {
            faults.add(
                &at,
                "READ-METER",
                format!("a reading of {reading} without a meter says nothing"),
                "readings together with the survey's `meter`",
                "add `meter: (kind: ..., reference: ...)` with a reading on a dry part",
            );
        }
    }
    if let Some(length) = mark.back_length_mm {
        let at = format!("{field}.back_length_mm");
        faults.range(&at, "length on the back", length.value(), "mm", MARK);
        if !mark.kind.is_line() && mark.kind != MarkKind::Other {
            faults.add(
                &at,
                "READ-SHAPE",
                format!("a {} has no length on the back", mark.kind.words()),
                "a length on the back for cracks only",
                "record what the back shows as a mark of its own with `side: back`",
            );
        }
    }
    if let Cause::Open { what, .. } | Cause::Closed { what } = &mark.cause {
        faults.name(&format!("{field}.cause.what"), "the cause", what);
    }
    super::check_survey::tested(&format!("{field}.old_filler"), &mark.old_filler, faults);
    if let SeenNow::Repaired { by, date } = &mark.now {
        faults.name(&format!("{field}.now.by"), "who repaired it", by);
        faults.name(&format!("{field}.now.date"), "when it was repaired", date);
    }
    if let Some(year) = mark.year.filter(|year| !(1940..=2100).contains(year)) {
        faults.add(
            &format!("{field}.year"),
            "READ-RANGE",
            format!("year: found {year}"),
            "1940 to 2100",
            "write the year in four digits, or leave it out where it is not known",
        );
    }
}

fn place(mark: &Mark, field: &str, panel: Option<&Panel>, faults: &mut Faults<'_>) {
    let at = format!("{field}.place");
    let traced = matches!(mark.shape, Shape::Traced { .. });
    match &mark.place {
        None if traced || matches!(mark.shape, Shape::Grid(_)) => {}
        None => faults.add(
            &at,
            "READ-PLACE",
            format!("mark {} has no place", mark.id),
            "On(u, v), Taped(a: (landmark, mm), b: (landmark, mm)) or Xyz(x, y, z)",
            "measure its middle with a tape from two landmarks",
        ),
        Some(_) if traced => faults.add(
            &at,
            "READ-PLACE",
            "a traced mark is placed by its points, yet it has a place as well",
            "points only",
            "take `place` out",
        ),
        Some(Place::On(u, v)) => faults.grid_place(&at, "place", (*u, *v)),
        Some(Place::Xyz(x, y, z)) => {
            for (axis, value) in [x, y, z].into_iter().enumerate() {
                faults.range(&format!("{at}[{axis}]"), "place", value.value(), "mm", GRID);
            }
        }
        Some(Place::Taped { a, b, third, side }) => {
            let mut tapes = vec![("a", a), ("b", b)];
            tapes.extend(third.as_ref().map(|third| ("third", third)));
            taped(&tapes, *side, &at, panel, faults);
        }
    }
}

pub(super) fn taped(
    tapes: &[(&str, &(String, Millimetres))],
    side: SideWord,
    field: &str,
    panel: Option<&Panel>,
    faults: &mut Faults<'_>,
) {
    let mut landmarks: Vec<Option<&Landmark>> = Vec::new();
    for (number, (name, (landmark, reading))) in tapes.iter().enumerate() {
        let at = format!("{field}.{name}");
        let what = format!("tape from {landmark:?}");
        faults.range(&format!("{at}[1]"), &what, reading.value(), "mm", TAPE);
        if tapes.iter().take(number).any(|(_, (other, _))| other == landmark) {
            faults.add(
                &format!("{at}[0]"),
                "READ-TAPE",
                format!("two tapes start from {landmark:?}"),
                "tapes from different landmarks",
                "measure from a second landmark",
            );
        }
        let found = panel.and_then(|panel| {
            let known: Vec<&str> =
                panel.landmarks.iter().map(|landmark| landmark.name.as_str()).collect();
            faults.known(&format!("{at}[0]"), "landmark of this panel", landmark, &known);
            panel.landmarks.iter().find(|known| &known.name == landmark)
        });
        landmarks.push(found);
    }
    if let [Some(one), Some(two), ..] = landmarks.as_slice() {
        side_word(one, two, side, field, faults);
    }
}

/// The two places of a pair of tapes lie either side of the line between the landmarks; the word
/// has to tell those two sides apart.
fn side_word(one: &Landmark, two: &Landmark, side: SideWord, field: &str, faults: &mut Faults<'_>) {
    // Where landmarks in space lie on the grid is not known before the scan is laid out.
    let (Some(one_at), Some(two_at)) = (one.at.on_grid(), two.at.on_grid()) else { return };
    let along = (two_at.0.value() - one_at.0.value()).abs();
    let up = (two_at.1.value() - one_at.1.value()).abs();
    let apart = along.hypot(up);
    let (tells, other) = match side {
        SideWord::Unsaid => return,
        SideWord::Upper | SideWord::Lower => (along, "front or rear"),
        SideWord::Front | SideWord::Rear => (up, "upper or lower"),
    };
    if apart > 0.0 && tells < TELLS_APART * apart {
        faults.add(
            &format!("{field}.side"),
            "READ-SIDE-WORD",
            format!(
                "{} cannot tell the two places apart: both lie as far that way from {:?} and {:?}",
                side.words(),
                one.name,
                two.name
            ),
            other,
            format!("write {other}, or add a third tape"),
        );
    }
}

fn shape(mark: &Mark, field: &str, panel: Option<&Panel>, faults: &mut Faults<'_>) {
    let at = format!("{field}.shape");
    match &mark.shape {
        Shape::Unmeasured => faults.add(
            &at,
            "READ-UNMEASURED",
            format!("mark {} ({}) has no size", mark.id, mark.kind.words()),
            if mark.kind.is_line() {
                "Line(length_mm: ...) or Traced(points: [...])"
            } else {
                "Spot(diameter_mm: ...), Patch(length_mm: ..., width_mm: ...) or a closed Traced"
            },
            "measure it, if only roughly and on the large side: the size decides what is referred",
        ),
        Shape::Spot { diameter_mm } => {
            let at = format!("{at}.diameter_mm");
            faults.range(&at, "diameter", diameter_mm.value(), "mm", MARK);
        }
        Shape::Line { length_mm, direction } => {
            faults.range(&format!("{at}.length_mm"), "length", length_mm.value(), "mm", MARK);
            runs(direction, &format!("{at}.direction"), panel, faults);
        }
        Shape::Patch { length_mm, width_mm, angle_deg, .. } => {
            faults.range(&format!("{at}.length_mm"), "length", length_mm.value(), "mm", MARK);
            faults.range(&format!("{at}.width_mm"), "width", width_mm.value(), "mm", MARK);
            let angle = angle_deg.map(|angle| angle.value());
            faults.range_if(&format!("{at}.angle_deg"), "angle", angle, "degrees", TURN);
        }
        // Checked with the grids.
        Shape::Grid(_) => {}
        Shape::Traced { points, closed } => {
            traced(points, *closed, &format!("{at}.points"), panel, faults);
        }
    }
}

fn runs(direction: &Direction, field: &str, panel: Option<&Panel>, faults: &mut Faults<'_>) {
    match direction {
        Direction::Unknown => {}
        Direction::Angle(angle) => {
            faults.range(&format!("{field}[0]"), "angle", angle.value(), "degrees", TURN);
        }
        Direction::Toward(name) => {
            let Some(panel) = panel else { return };
            let mut known: Vec<&str> =
                panel.landmarks.iter().map(|landmark| landmark.name.as_str()).collect();
            if let Fixings::Listed(fixings) = &panel.fixings {
                known.extend(fixings.iter().map(|fixing| fixing.name.as_str()));
            }
            faults.known(&format!("{field}[0]"), "landmark or fixing of this panel", name, &known);
        }
    }
}

fn shape_for_kind(mark: &Mark, field: &str, faults: &mut Faults<'_>) {
    if mark.kind == MarkKind::Other {
        return;
    }
    let wrong = match (&mark.shape, mark.kind.is_line()) {
        (Shape::Unmeasured, _)
        | (Shape::Line { .. } | Shape::Traced { closed: false, .. }, true)
        | (
            Shape::Spot { .. }
            | Shape::Patch { .. }
            | Shape::Grid(_)
            | Shape::Traced { closed: true, .. },
            false,
        ) => {
            return;
        }
        (Shape::Line { .. }, false) => "a line",
        (Shape::Traced { closed: false, .. }, false) => "an open trace",
        (Shape::Traced { closed: true, .. }, true) => "a closed outline",
        (Shape::Spot { .. }, true) => "a spot",
        (Shape::Patch { .. }, true) => "a patch",
        (Shape::Grid(_), true) => "the area of a grid",
    };
    let accepted = if mark.kind.is_line() {
        "Line(length_mm: ...) or an open Traced(points: [...])"
    } else {
        "Spot(...), Patch(...) or Traced(points: [...], closed: true)"
    };
    faults.add(
        &format!("{field}.shape"),
        "READ-SHAPE",
        format!("a {} is recorded as {wrong}", mark.kind.words()),
        accepted,
        "change the shape, or the kind where another one fits better",
    );
}

pub(super) fn depth(mark: &Mark, field: &str, panel: Option<&Panel>, faults: &mut Faults<'_>) {
    let at = format!("{field}.depth");
    let through = mark.kind.is_through() || mark.evidence.contains(&Evidence::Through);
    if through && !matches!(mark.depth, Depth::Unknown | Depth::Full) {
        faults.add(
            &at,
            "READ-DEPTH",
            "the mark is open to the back, yet its depth says less than the whole laminate",
            "full, or no depth",
            "write `depth: full`, or take back that it goes through",
        );
    }
    let Depth::Glass(glass) = mark.depth else { return };
    let at = format!("{at}[0]");
    if !faults.range(&at, "depth", glass.value(), "mm", 0.05..=*THICKNESS.end()) {
        return;
    }
    if let Some(thickness) = panel.and_then(glass_thickness_mm)
        && glass.value() > thickness + 1e-9
    {
        faults.add(
            &at,
            "READ-DEPTH",
            format!("depth of {glass} in a laminate of {thickness} mm"),
            format!("at most {thickness} mm, the thickness of the glass here"),
            "write `full` where it goes right through, or correct the thickness of the panel",
        );
    }
}

/// Glass alone: the measured thickness less the coats that it is said to include.
fn glass_thickness_mm(panel: &Panel) -> Option<f64> {
    let laminate = &panel.laminate;
    let coats: f64 = laminate
        .includes
        .iter()
        .filter_map(|covering| match covering {
            Covering::Gel => laminate.gel_mm,
            Covering::Paint => laminate.paint_mm,
        })
        .map(|coat| coat.value())
        .sum();
    laminate.thickness_mm.map(|thickness| thickness.value() - coats)
}

fn blisters(mark: &Mark, field: &str, faults: &mut Faults<'_>) {
    let counts = [("worst_per_dm2", mark.worst_per_dm2), ("mean_per_dm2", mark.mean_per_dm2)];
    for (name, count) in counts {
        let at = format!("{field}.{name}");
        faults.range_if(&at, "blisters", count, "per dm2", 0.0..=10_000.0);
    }
    if let (Some(worst), Some(mean)) = (mark.worst_per_dm2, mark.mean_per_dm2)
        && worst < mean
    {
        faults.add(
            &format!("{field}.worst_per_dm2"),
            "READ-COUNTS",
            format!("the worst place has {worst} per dm2, fewer than the mean of {mean}"),
            "a worst count that is the mean or more",
            "look whether the two were swapped",
        );
    }
    if mark.kind == MarkKind::Blisters || mark.kind == MarkKind::Other {
        return;
    }
    let counted = counts.into_iter().find(|(_, count)| count.is_some()).map(|(name, _)| name);
    let layered = (mark.layer != BlisterLayer::Unknown).then_some("layer");
    for name in [counted, layered].into_iter().flatten() {
        faults.add(
            &format!("{field}.{name}"),
            "READ-CONTRADICTION",
            format!("`{name}` belongs to blisters, and this is a {}", mark.kind.words()),
            "counts and layer on marks of kind blisters",
            "take it out, or record the blisters as a mark of their own",
        );
    }
}

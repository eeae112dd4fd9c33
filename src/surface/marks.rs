//! Where each mark is on the skin, how sure that is, and its seen form laid over the surface.

use nalgebra::Point2;

use super::allowed;
use super::field::DistanceField;
use super::mesh::{Mesh, MeshPoint};
use super::origin::{Origin, Piece};
use super::patch_outline::{PatchShape, outline_patch};
use super::place::{self, Place as Candidate};
use super::placed::{PlacedPanel, point};
use super::third_tape::{self, Settled};
use super::trace::{Direction, Stop, direction_of, trace};
use crate::diagnostic::Diagnostic;
use crate::model::survey::{
    Direction as Written, Mark, PatchOutline, Place, Shape, Side, SideWord, TapePeople, TracedPoint,
};
use crate::read::job::Job;
use crate::rules::{Book, id};

/// A mark found on its panel.
#[derive(Debug)]
pub struct PlacedMark<'j> {
    /// The mark as recorded.
    pub of: &'j Mark,
    /// Number of its panel in the job.
    pub panel: usize,
    /// Its place.
    pub at: MeshPoint,
    /// Places the readings allow, its place among them.
    pub allowed: Vec<MeshPoint>,
    /// Error of the place as printed, 95 %, mm.
    pub place_error_mm: f64,
    /// Its seen form.
    pub form: Form,
    /// What a reader should know about the placing.
    pub notes: Vec<(&'static str, String)>,
}

/// The seen form of a mark, laid over the surface.
#[derive(Debug, Clone)]
pub enum Form {
    /// A line.
    Line(Line),
    /// An area.
    Patch(Patch),
}

/// A line over the surface.
#[derive(Debug, Clone)]
pub struct Line {
    /// Its pieces in order.
    pub pieces: Vec<Piece>,
    /// Its length, mm.
    pub length_mm: f64,
    /// Its direction was recorded.
    pub known_direction: bool,
    /// Angle at its middle for a straight line, degrees from +u towards +v.
    pub straight_deg: Option<f64>,
    /// How many of its ends an edge of the panel stopped.
    pub ends_on_edge: usize,
}

/// An area over the surface.
#[derive(Debug, Clone)]
pub struct Patch {
    /// Its outline on the grid, not clipped.
    pub outline: Vec<Point2<f64>>,
    /// Longer extent, mm.
    pub length_mm: f64,
    /// Shorter extent, mm.
    pub width_mm: f64,
    /// Area as seen before anything clips it, mm2.
    pub area_mm2: f64,
    /// Outline as seen before anything clips it, mm.
    pub perimeter_mm: f64,
    /// Its angle was recorded, or it is round.
    pub known_angle: bool,
    /// It is round or was traced point by point.
    pub turns_into_itself: bool,
}

/// Straight errors of a place, for distances to fixings, and their root of squares.
fn tape_errors(book: &Book, people: TapePeople) -> (f64, f64) {
    let tape = match people {
        TapePeople::One => book.figure(id::TAPE_ONE),
        TapePeople::Two => book.figure(id::TAPE_TWO),
    };
    let landmark = book.figure(id::TAPE_LANDMARK);
    (tape + landmark, tape.hypot(landmark))
}

/// Finds a mark on its panel and lays its seen form.
///
/// # Errors
/// What keeps it from being placed, with the field at fault.
pub fn place_mark<'j>(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    panel: usize,
    number: usize,
    of: &'j Mark,
) -> Result<PlacedMark<'j>, Diagnostic> {
    let field = format!("marks[{number}]");
    let Some(on) = panels.get(panel) else {
        return Err(fault(job, &field, "SURFACE-PLACE", "its panel is not in the job", "", ""));
    };
    let (straight_mm, squares_mm) = tape_errors(&job.book, job.survey.people);
    let mut notes = Vec::new();
    let found = match (&of.place, &of.shape) {
        (Some(place), _) => {
            find(job, on, place, &format!("{field}.place"), straight_mm, squares_mm, &mut notes)?
        }
        (None, Shape::Traced { points, .. }) => {
            let first = points.first().and_then(as_place);
            let Some(first) = first else {
                return Err(fault(
                    job,
                    &format!("{field}.shape"),
                    "SURFACE-PLACE",
                    "the first point of a trace has no place of its own",
                    "On or Taped",
                    "start the trace with On(u, v) or Taped(...)",
                ));
            };
            let at = format!("{field}.shape.points[0]");
            find(job, on, &first, &at, straight_mm, squares_mm, &mut notes)?
        }
        (None, _) => {
            return Err(fault(
                job,
                &field,
                "SURFACE-PLACE",
                &format!("mark {} has no place", of.id),
                "On(u, v), Taped(...) or Xyz(x, y, z)",
                "lay two tapes from two landmarks, or read u and v off the panel",
            ));
        }
    };
    let form = lay_form(job, on, of, number, found.at, straight_mm, squares_mm, &mut notes)?;
    Ok(PlacedMark {
        of,
        panel,
        at: found.at,
        allowed: found.allowed,
        place_error_mm: found.error_mm,
        form,
        notes,
    })
}

fn fault(
    job: &Job,
    field: &str,
    code: &'static str,
    problem: &str,
    accepted: &str,
    way_out: &str,
) -> Diagnostic {
    job.fault(
        &job.survey_file,
        field,
        code,
        problem.to_owned(),
        accepted.to_owned(),
        way_out.to_owned(),
    )
}

fn as_place(written: &TracedPoint) -> Option<Place> {
    match written {
        TracedPoint::On(u, v) => Some(Place::On(*u, *v)),
        TracedPoint::Taped { a, b, side } => {
            Some(Place::Taped { a: a.clone(), b: b.clone(), third: None, side: *side })
        }
        TracedPoint::Step { .. } => None,
    }
}

struct Found {
    at: MeshPoint,
    allowed: Vec<MeshPoint>,
    error_mm: f64,
}

fn find(
    job: &Job,
    on: &PlacedPanel<'_>,
    written: &Place,
    field: &str,
    straight_mm: f64,
    squares_mm: f64,
    notes: &mut Vec<(&'static str, String)>,
) -> Result<Found, Diagnostic> {
    let (at, miss_mm, said) = match written {
        Place::Taped { a, b, third, side } => {
            let tapes = Tapes { a, b, third: third.as_ref(), side: *side };
            return by_tapes(job, on, &tapes, field, straight_mm, squares_mm, notes);
        }
        Place::On(u, v) => {
            let (at, miss_mm) = on.mesh.nearest(point((*u, *v)));
            (at, miss_mm, format!("u {u} v {v}"))
        }
        Place::Xyz(x, y, z) => {
            let place = nalgebra::Point3::new(x.value(), y.value(), z.value());
            let (at, miss_mm) = on.mesh.nearest_in_space(place);
            (at, miss_mm, format!("x {x} y {y} z {z}"))
        }
    };
    // A measured point may stand off the skin by as much as the reading may be wrong.
    let limit_mm = match written {
        Place::Xyz(..) => straight_mm,
        _ => 1.0,
    };
    if miss_mm > limit_mm {
        return Err(fault(
            job,
            field,
            "SURFACE-OFF-PANEL",
            &format!("{said} is {miss_mm:.0} mm off the skin of {:?}", on.of.name),
            &format!("a place on the panel: {}", extent_words(&on.mesh)),
            "measure again from the panel's lower front corner, or name the panel it is on",
        ));
    }
    notes.push((id::PLACE_GRID, format!("place taken as {said}, with the error of one tape")));
    Ok(Found { at, allowed: disc_round(&on.mesh, at, straight_mm), error_mm: squares_mm })
}

fn extent_words(mesh: &Mesh) -> String {
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for place in &mesh.grid {
        low = [low[0].min(place.x), low[1].min(place.y)];
        high = [high[0].max(place.x), high[1].max(place.y)];
    }
    format!("u {:.0} to {:.0} mm, v {:.0} to {:.0} mm", low[0], high[0], low[1], high[1])
}

/// Points round a place on a circle of the given radius, with the place itself first.
fn disc_round(mesh: &Mesh, at: MeshPoint, radius_mm: f64) -> Vec<MeshPoint> {
    let passable = vec![true; mesh.faces.len()];
    let mut points = vec![at];
    for step in 0..16 {
        let degrees = f64::from(step) * 22.5;
        let walked = trace(mesh, &passable, at, Direction::Degrees(degrees), radius_mm);
        points.extend(walked.path.last().copied());
    }
    points
}

struct Tapes<'a> {
    a: &'a (String, crate::quantity::Millimetres),
    b: &'a (String, crate::quantity::Millimetres),
    third: Option<&'a (String, crate::quantity::Millimetres)>,
    side: SideWord,
}

fn by_tapes(
    job: &Job,
    on: &PlacedPanel<'_>,
    tapes: &Tapes<'_>,
    field: &str,
    straight_mm: f64,
    squares_mm: f64,
    notes: &mut Vec<(&'static str, String)>,
) -> Result<Found, Diagnostic> {
    let mesh = &on.mesh;
    // Tapes lie over a shut lid; over an opening that was open they go round it.
    let covered = |tag: &super::mesh::FaceTag| {
        tag.opening.is_none_or(|number| {
            on.of.panel.openings.get(usize::from(number)).is_none_or(|o| o.covered_when_taped)
        })
    };
    let passable: Vec<bool> = mesh.tags.iter().map(covered).collect();
    let miss_limit_mm = job.book.figure(id::TAPE_MISS);
    let spread = |name: &str, reading_mm: f64, part: &str| {
        let Some(start) = on.named_point(name) else {
            return Err(fault(
                job,
                &format!("{field}.{part}"),
                "SURFACE-PLACE",
                &format!("{:?} has no landmark {name:?}", on.of.name),
                "a landmark of the panel",
                "name one of the panel's landmarks",
            ));
        };
        let limit_mm = reading_mm + straight_mm + miss_limit_mm + 30.0;
        DistanceField::spread(mesh, &passable, &Origin::point(start), limit_mm).map_err(|why| {
            fault(job, field, "SURFACE-TOO-FINE", &why.to_string(), "", "thin the mesh")
        })
    };
    let (ta, tb) = (tapes.a.1.value(), tapes.b.1.value());
    let a = spread(&tapes.a.0, ta, "a")?;
    let b = spread(&tapes.b.0, tb, "b")?;
    let placing = place::places(mesh, &a, ta, &b, tb, miss_limit_mm);
    if placing.candidates.is_empty() {
        let gap_mm = if placing.gap_mm.is_finite() {
            placing.gap_mm
        } else {
            landmark_gap_mm(mesh, &passable, on, tapes).unwrap_or(placing.gap_mm)
        };
        return Err(fault(
            job,
            field,
            "SURFACE-TAPES-MISS",
            &format!(
                "{ta:.0} mm from {:?} and {tb:.0} mm from {:?} cannot meet on {:?}: they miss by {:.0} mm",
                tapes.a.0, tapes.b.0, on.of.name, gap_mm
            ),
            &format!("two tapes that meet, or miss by {miss_limit_mm:.0} mm at most"),
            "lay both tapes again; look for a dropped or swapped digit",
        ));
    }
    let third = match tapes.third {
        Some(third) => Some((third, spread(&third.0, third.1.value(), "third")?)),
        None => None,
    };
    let reading = |field, tape_mm| allowed::Reading { field, tape_mm, width_mm: straight_mm };
    if let Some((written, reach)) = &third {
        let by = [reading(&a, ta), reading(&b, tb), reading(reach, written.1.value())];
        let settled = third_tape::settle(mesh, &by[0], &by[1], &by[2], &placing.candidates);
        return match settled.filter(|found| found.worst_miss_mm <= straight_mm) {
            Some(found) => Ok(by_three(mesh, found, straight_mm, squares_mm)),
            None => Err(third_misses(job, field, written, reach, &placing.candidates, straight_mm)),
        };
    }
    let left: Vec<&Candidate> = placing.candidates.iter().collect();
    let chosen = choose(mesh, &left, tapes.side).ok_or_else(|| {
        let places: Vec<String> = left
            .iter()
            .map(|one| {
                let at = mesh.grid(&one.point);
                format!("u {:.0} v {:.0}", at.x, at.y)
            })
            .collect();
        fault(
            job,
            field,
            "SURFACE-TWO-PLACES",
            &format!("the two tapes meet at {}", places.join(" and at ")),
            "a side word: upper, lower, front or rear; or a third tape",
            "say on which side of the line between the landmarks the mark lies",
        )
    })?;
    let reading = |field, tape_mm| allowed::Reading { field, tape_mm, width_mm: straight_mm };
    let allowed = allowed::allowed_region(mesh, &reading(&a, ta), &reading(&b, tb), &chosen.point);
    let miss_mm = chosen.residual_a_mm.abs() + chosen.residual_b_mm.abs();
    let sharp = chosen.crossing_angle_deg.to_radians().sin().abs().max(1e-3);
    let spread_mm = allowed
        .iter()
        .map(|one| (mesh.position(one) - mesh.position(&chosen.point)).norm())
        .fold(0.0, f64::max);
    // Where the circles all but touch, the linear error means nothing: the region itself is used.
    let error_mm = (squares_mm * std::f64::consts::SQRT_2 / sharp).min(spread_mm.max(squares_mm));
    if miss_mm > 0.5 {
        notes.push((
            id::TAPE_MISS,
            format!(
                "the tapes miss each other by {miss_mm:.1} mm; placed where they miss least: lay a third tape"
            ),
        ));
    } else if chosen.crossing_angle_deg < 20.0 {
        notes.push((
            id::TAPE_LANDMARK,
            format!(
                "the tapes cross at {:.0} degrees, close to the line between the landmarks: the place is good to {error_mm:.0} mm; lay a third tape from a landmark to one side",
                chosen.crossing_angle_deg
            ),
        ));
    }
    Ok(Found { at: chosen.point, allowed, error_mm })
}

/// The place three tapes settle, with what all three leave open.
fn by_three(mesh: &Mesh, found: Settled, straight_mm: f64, squares_mm: f64) -> Found {
    let here = mesh.position(&found.point);
    let spread_mm =
        found.allowed.iter().map(|one| (mesh.position(one) - here).norm()).fold(0.0, f64::max);
    // The region is drawn with the straight sum of the errors; printed errors are roots of squares.
    let error_mm = (spread_mm * squares_mm / straight_mm).max(squares_mm);
    Found { at: found.point, allowed: found.allowed, error_mm }
}

fn third_misses(
    job: &Job,
    field: &str,
    written: &(String, crate::quantity::Millimetres),
    reach: &DistanceField<'_>,
    candidates: &[Candidate],
    straight_mm: f64,
) -> Diagnostic {
    let best = candidates
        .iter()
        .map(|one| (reach.at(&one.point) - written.1.value()).abs())
        .fold(f64::INFINITY, f64::min);
    let miss = if best.is_finite() {
        format!("by {best:.0} mm")
    } else {
        format!("by more than {:.0} mm", reach.limit_mm() - written.1.value())
    };
    fault(
        job,
        &format!("{field}.third"),
        "SURFACE-THIRD-TAPE",
        &format!(
            "the third tape, {} from {:?}, misses every place the first two allow {miss}",
            written.1, written.0
        ),
        &format!("three tapes that meet within {straight_mm:.0} mm each"),
        "one of the three readings is wrong: lay all three again",
    )
}

/// By how much two tapes miss, from the distance between their landmarks: they are too short for
/// it together, or one is too long for it alone.
fn landmark_gap_mm(
    mesh: &Mesh,
    passable: &[bool],
    on: &PlacedPanel<'_>,
    tapes: &Tapes<'_>,
) -> Option<f64> {
    let (start, end) = (on.named_point(&tapes.a.0)?, on.named_point(&tapes.b.0)?);
    // Farther apart than any panel is long: the whole skin is asked.
    let whole = DistanceField::spread(mesh, passable, &Origin::point(start), 3e4).ok()?;
    let apart = whole.at(&end);
    let (ta, tb) = (tapes.a.1.value(), tapes.b.1.value());
    let gap = (apart - ta - tb).max((ta - tb).abs() - apart);
    (gap.is_finite() && gap > 0.0).then_some(gap)
}

fn choose<'c>(mesh: &Mesh, left: &[&'c Candidate], side: SideWord) -> Option<&'c Candidate> {
    if let [only] = left {
        return Some(only);
    }
    let key = |one: &&&Candidate| {
        let at = mesh.grid(&one.point);
        match side {
            SideWord::Unsaid => 0.0,
            SideWord::Upper => at.y,
            SideWord::Lower => -at.y,
            SideWord::Front => -at.x,
            SideWord::Rear => at.x,
        }
    };
    if side == SideWord::Unsaid {
        return None;
    }
    left.iter().max_by(|one, other| key(one).total_cmp(&key(other))).copied()
}

#[allow(clippy::too_many_arguments, reason = "the parts of one mark, each used once")]
fn lay_form(
    job: &Job,
    on: &PlacedPanel<'_>,
    of: &Mark,
    number: usize,
    at: MeshPoint,
    straight_mm: f64,
    squares_mm: f64,
    notes: &mut Vec<(&'static str, String)>,
) -> Result<Form, Diagnostic> {
    let mesh = &on.mesh;
    match &of.shape {
        Shape::Unmeasured => Err(fault(
            job,
            &format!("marks[{number}].shape"),
            "SURFACE-PLACE",
            &format!("mark {} has no size", of.id),
            "Spot, Line, Patch or Traced",
            "measure it",
        )),
        Shape::Spot { diameter_mm } => Ok(Form::Patch(patch(
            mesh,
            at,
            diameter_mm.value(),
            diameter_mm.value(),
            Some(0.0),
            PatchShape::Oval,
        ))),
        Shape::Patch { length_mm, width_mm, angle_deg, outline } => {
            let shape = match outline {
                PatchOutline::Rectangle => PatchShape::Rectangle,
                PatchOutline::Oval => PatchShape::Oval,
            };
            let angle = angle_deg.map(|angle| angle.value());
            if angle.is_none() {
                notes.push((
                    id::PATCH_ANGLE,
                    "angle of the patch not recorded: laid along u".to_owned(),
                ));
            }
            Ok(Form::Patch(patch(mesh, at, length_mm.value(), width_mm.value(), angle, shape)))
        }
        Shape::Line { length_mm, direction } => {
            let degrees = match direction {
                Written::Unknown => None,
                Written::Angle(angle) => Some(angle.value()),
                Written::Toward(name) => on.named_point(name).map(|aim| bearing(on, at, aim)),
            };
            if degrees.is_none() {
                notes.push((
                    id::LINE_DIRECTION,
                    "direction of the line not recorded: laid along u".to_owned(),
                ));
            }
            let passable = on.side(of.side);
            let laid = straight_line(mesh, passable, at, degrees.unwrap_or(0.0), length_mm.value());
            Ok(Form::Line(Line { known_direction: degrees.is_some(), ..laid }))
        }
        Shape::Traced { points, closed } => {
            let mut places: Vec<Point2<f64>> = Vec::new();
            for (step, written) in points.iter().enumerate() {
                let field = format!("marks[{number}].shape.points[{step}]");
                let next = match (written, as_place(written)) {
                    (_, Some(place)) => {
                        let found = find(
                            job,
                            on,
                            &place,
                            &field,
                            straight_mm,
                            squares_mm,
                            &mut Vec::new(),
                        )?;
                        mesh.grid(&found.at)
                    }
                    (TracedPoint::Step { mm, angle_deg }, None) => {
                        let before = places.last().copied().unwrap_or_else(|| mesh.grid(&at));
                        let (start, _) = mesh.nearest(before);
                        let way = Direction::Degrees(angle_deg.value());
                        let walked = trace(mesh, &on.filled, start, way, mm.value());
                        if walked.stopped == Some(Stop::Edge) {
                            return Err(fault(
                                job,
                                &field,
                                "SURFACE-OFF-PANEL",
                                &format!(
                                    "the step of {mm} leaves the panel after {:.0} mm",
                                    walked.length_mm
                                ),
                                "a step that stays on the panel",
                                "end the trace at the edge",
                            ));
                        }
                        walked.path.last().map_or(before, |end| mesh.grid(end))
                    }
                    (_, None) => continue,
                };
                places.push(next);
            }
            if *closed {
                if let Some((one, other)) = crossing(&places) {
                    return Err(fault(
                        job,
                        &format!("marks[{number}].shape.points"),
                        "SURFACE-CROSSED",
                        &format!("the outline crosses itself: side {one} meets side {other}"),
                        "points in order round the area",
                        "put the points in order",
                    ));
                }
                return Ok(Form::Patch(traced_patch(mesh, on, places)));
            }
            let origin = Origin::polyline(mesh, &places);
            let length_mm = origin.pieces.iter().map(|piece| piece_length_mm(mesh, piece)).sum();
            Ok(Form::Line(Line {
                pieces: origin.pieces,
                length_mm,
                known_direction: true,
                straight_deg: None,
                ends_on_edge: 0,
            }))
        }
    }
}

/// The angle at which a straight line sets out from one place towards another.
fn bearing(on: &PlacedPanel<'_>, from: MeshPoint, to: MeshPoint) -> f64 {
    // Refined from the bearing on the grid until the straight line passes its aim.
    let (mesh, aim) = (&on.mesh, on.mesh.position(&to));
    let mut best = (f64::INFINITY, 0.0);
    let reach = (mesh.position(&from) - aim).norm();
    let miss = |degrees: f64| {
        let walked = trace(mesh, &on.filled, from, Direction::Degrees(degrees), reach * 1.15);
        walked
            .path
            .windows(2)
            .map(|ends| match ends {
                [a, b] => distance_to_segment(&mesh.position(a), &mesh.position(b), &aim),
                _ => f64::INFINITY,
            })
            .fold(f64::INFINITY, f64::min)
    };
    let mut step = 5.0;
    for degrees in (0..72).map(|turn| f64::from(turn) * 5.0) {
        let missed = miss(degrees);
        if missed < best.0 {
            best = (missed, degrees);
        }
    }
    for _ in 0..12 {
        step /= 2.0;
        for degrees in [best.1 - step, best.1 + step] {
            let missed = miss(degrees);
            if missed < best.0 {
                best = (missed, degrees);
            }
        }
    }
    best.1
}

fn distance_to_segment(
    a: &nalgebra::Point3<f64>,
    b: &nalgebra::Point3<f64>,
    aim: &nalgebra::Point3<f64>,
) -> f64 {
    let along = b - a;
    let square = along.norm_squared();
    let share = if square > 0.0 { ((aim - a).dot(&along) / square).clamp(0.0, 1.0) } else { 0.0 };
    (aim - (a + along * share)).norm()
}

/// Length of one piece, mm.
#[must_use]
pub fn piece_length_mm(mesh: &Mesh, piece: &Piece) -> f64 {
    match *piece {
        Piece::Point(_) => 0.0,
        Piece::Segment { face, from, to } => {
            let place = |weights| mesh.position(&MeshPoint { face, weights });
            (place(to) - place(from)).norm()
        }
    }
}

/// A straight line of a given length with its middle at a place; what an edge or opening stops
/// goes to the other end.
#[must_use]
pub fn straight_line(
    mesh: &Mesh,
    passable: &[bool],
    middle: MeshPoint,
    degrees: f64,
    length_mm: f64,
) -> Line {
    let half = length_mm / 2.0;
    let walk = |turn: f64, run: f64| {
        trace(mesh, passable, middle, Direction::Degrees(degrees + turn), run)
    };
    let (mut ahead, mut behind) = (walk(0.0, half), walk(180.0, half));
    let (short_ahead, short_behind) = (half - ahead.length_mm, half - behind.length_mm);
    if ahead.stopped.is_some() && behind.stopped.is_none() {
        behind = walk(180.0, half + short_ahead);
    } else if behind.stopped.is_some() && ahead.stopped.is_none() {
        ahead = walk(0.0, half + short_behind);
    }
    let ends_on_edge =
        [&ahead, &behind].iter().filter(|end| end.stopped == Some(Stop::Edge)).count();
    let mut pieces = reversed(Origin::line(mesh, &behind.path).pieces);
    pieces.extend(Origin::line(mesh, &ahead.path).pieces);
    if pieces.is_empty() {
        pieces.push(Piece::Point(middle));
    }
    Line {
        pieces,
        length_mm: ahead.length_mm + behind.length_mm,
        known_direction: true,
        straight_deg: Some(degrees),
        ends_on_edge,
    }
}

/// The pieces of a line from its other end.
#[must_use]
pub fn reversed(pieces: Vec<Piece>) -> Vec<Piece> {
    pieces
        .into_iter()
        .rev()
        .map(|piece| match piece {
            Piece::Segment { face, from, to } => Piece::Segment { face, from: to, to: from },
            point => point,
        })
        .collect()
}

/// A traced line made longer at both ends along its end tangents; what an edge or opening stops
/// goes to the other end.
#[must_use]
pub fn extended(mesh: &Mesh, passable: &[bool], line: &Line, length_mm: f64) -> Line {
    let more = ((length_mm - line.length_mm) / 2.0).max(0.0);
    let end = |pieces: &[Piece], run: f64| {
        let last = pieces.iter().rev().find(|piece| matches!(piece, Piece::Segment { .. }))?;
        let Piece::Segment { face, to, .. } = *last else { return None };
        let way = direction_of(mesh, last)?;
        Some(trace(mesh, passable, MeshPoint { face, weights: to }, way, run))
    };
    let turned = reversed(line.pieces.clone());
    let (Some(mut ahead), Some(mut behind)) = (end(&line.pieces, more), end(&turned, more)) else {
        return line.clone();
    };
    if ahead.stopped.is_some() && behind.stopped.is_none() {
        behind = end(&turned, 2.0 * more - ahead.length_mm).unwrap_or(behind);
    } else if behind.stopped.is_some() && ahead.stopped.is_none() {
        ahead = end(&line.pieces, 2.0 * more - behind.length_mm).unwrap_or(ahead);
    }
    let ends_on_edge =
        [&ahead, &behind].iter().filter(|end| end.stopped == Some(Stop::Edge)).count();
    let mut pieces = reversed(Origin::line(mesh, &behind.path).pieces);
    pieces.extend(line.pieces.iter().copied());
    pieces.extend(Origin::line(mesh, &ahead.path).pieces);
    Line {
        pieces,
        length_mm: line.length_mm + ahead.length_mm + behind.length_mm,
        ends_on_edge,
        ..line.clone()
    }
}

fn patch(
    mesh: &Mesh,
    at: MeshPoint,
    length_mm: f64,
    width_mm: f64,
    angle: Option<f64>,
    shape: PatchShape,
) -> Patch {
    let passable = vec![true; mesh.faces.len()];
    let degrees = angle.unwrap_or(0.0);
    let outline = outline_patch(mesh, &passable, at, length_mm, width_mm, degrees, shape);
    let (area_mm2, perimeter_mm) = match shape {
        PatchShape::Rectangle => (length_mm * width_mm, 2.0 * (length_mm + width_mm)),
        PatchShape::Oval => {
            let (a, b) = (length_mm / 2.0, width_mm / 2.0);
            // Ramanujan's second form, good to parts in a million for such ovals.
            let h = ((a - b) / (a + b)).powi(2);
            let round = 1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt());
            (std::f64::consts::PI * a * b, std::f64::consts::PI * (a + b) * round)
        }
    };
    let round = shape == PatchShape::Oval && (length_mm - width_mm).abs() < 1e-9;
    Patch {
        outline,
        length_mm: length_mm.max(width_mm),
        width_mm: length_mm.min(width_mm),
        area_mm2,
        perimeter_mm,
        known_angle: angle.is_some(),
        turns_into_itself: round,
    }
}

fn traced_patch(mesh: &Mesh, on: &PlacedPanel<'_>, places: Vec<Point2<f64>>) -> Patch {
    let origin = Origin::patch(mesh, places.clone());
    let perimeter_mm = origin.pieces.iter().map(|piece| piece_length_mm(mesh, piece)).sum();
    let area_mm2 = DistanceField::spread(mesh, &on.filled, &origin, 1.0)
        .map_or(0.0, |field| super::level::area_within(&field, 0.0).area_mm2);
    let points: Vec<_> =
        places.iter().map(|place| mesh.position(&mesh.nearest(*place).0)).collect();
    let mut length_mm: f64 = 0.0;
    for (number, one) in points.iter().enumerate() {
        for other in points.iter().skip(number + 1) {
            length_mm = length_mm.max((one - other).norm());
        }
    }
    Patch {
        outline: places,
        length_mm,
        width_mm: if length_mm > 0.0 { area_mm2 / length_mm } else { 0.0 },
        area_mm2,
        perimeter_mm,
        known_angle: true,
        turns_into_itself: true,
    }
}

/// Two sides of a closed outline that cross, counted from 0.
#[must_use]
pub fn crossing(places: &[Point2<f64>]) -> Option<(usize, usize)> {
    let count = places.len();
    let side = |number: usize| Some((*places.get(number)?, *places.get((number + 1) % count)?));
    for one in 0..count {
        for other in (one + 1)..count {
            if other == one + 1 || (one == 0 && other == count - 1) {
                continue;
            }
            let ((a, b), (c, d)) = (side(one)?, side(other)?);
            let turn = |p: Point2<f64>, q: Point2<f64>, r: Point2<f64>| (q - p).perp(&(r - p));
            if turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0 {
                return Some((one, other));
            }
        }
    }
    None
}

impl PlacedPanel<'_> {
    /// Faces that work on a side may pass.
    #[must_use]
    pub fn side(&self, side: Side) -> &[bool] {
        match side {
            Side::Outer => &self.open,
            Side::Back => &self.back,
        }
    }
}

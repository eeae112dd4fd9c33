//! A mark's place by tapes: two readings over the skin from two landmarks, and a third one.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use super::allowed;
use super::better_tapes::{Advice, advice};
use super::ellipse::Ellipse;
use super::field::{DistanceField, SpreadFault};
use super::marks::{Found, fault, tape_errors};
use super::mesh::Mesh;
use super::origin::Origin;
use super::place::{self, Place as Candidate};
use super::placed::PlacedPanel;
use super::third_tape::{self, Settled};
use super::trace::bearing_deg;
use crate::diagnostic::Diagnostic;
use crate::model::survey::{Place, Shape, SideWord, TracedPoint};
use crate::quantity::Millimetres;
use crate::read::job::Job;
use crate::rules::id;

/// Distances from the landmarks of one panel, each worked out once and as far as its longest
/// reading asks.
#[derive(Debug)]
pub struct TapeFields<'p> {
    pub(super) panel: &'p PlacedPanel<'p>,
    passable: Vec<bool>,
    longest: BTreeMap<String, f64>,
    slack_mm: f64,
    known: RefCell<BTreeMap<String, Rc<DistanceField<'p>>>>,
}

impl<'p> TapeFields<'p> {
    /// Looks through the marks of a panel for the readings that will be asked.
    #[must_use]
    pub fn new(job: &Job, panel: &'p PlacedPanel<'p>) -> Self {
        let mut longest: BTreeMap<String, f64> = BTreeMap::new();
        let mut ask = |tape: &(String, Millimetres)| {
            let most = longest.entry(tape.0.clone()).or_default();
            *most = most.max(tape.1.value());
        };
        for mark in job.survey.marks.iter().filter(|mark| mark.panel == panel.of.name) {
            if let Some(Place::Taped { a, b, third, .. }) = &mark.place {
                [Some(a), Some(b), third.as_ref()].into_iter().flatten().for_each(&mut ask);
            }
            if let Shape::Traced { points, .. } = &mark.shape {
                for point in points {
                    if let TracedPoint::Taped { a, b, .. } = point {
                        [a, b].into_iter().for_each(&mut ask);
                    }
                }
            }
        }
        let (straight_mm, _) = tape_errors(&job.book, job.survey.people);
        Self {
            panel,
            passable: tape_ground(panel),
            longest,
            slack_mm: straight_mm + job.book.figure(id::TAPE_MISS) + 30.0,
            known: RefCell::new(BTreeMap::new()),
        }
    }

    fn from(&self, name: &str) -> Option<Result<Rc<DistanceField<'p>>, SpreadFault>> {
        if let Some(known) = self.known.borrow().get(name) {
            return Some(Ok(Rc::clone(known)));
        }
        let start = self.panel.named_point(name)?;
        let limit_mm = self.longest.get(name).copied().unwrap_or(0.0) + self.slack_mm;
        let origin = Origin::point(start);
        let field = DistanceField::spread(&self.panel.mesh, &self.passable, &origin, limit_mm);
        Some(field.map(|field| {
            let field = Rc::new(field);
            self.known.borrow_mut().insert(name.to_owned(), Rc::clone(&field));
            field
        }))
    }
}

/// Faces that a tape may lie on: over a shut lid it lies, round an opening that was open it goes. On
/// a panel moulded in one with others it is laid on the panel itself, as before that was known.
#[must_use]
pub fn tape_ground(panel: &PlacedPanel<'_>) -> Vec<bool> {
    let covered = |tag: &super::mesh::FaceTag| {
        tag.opening.is_none_or(|number| {
            let opening = panel.of.panel.openings.get(usize::from(number));
            opening.is_none_or(|opening| opening.covered_when_taped)
        })
    };
    let own = panel.by_itself().mesh.faces.len();
    panel.mesh.tags.iter().enumerate().map(|(face, tag)| face < own && covered(tag)).collect()
}

/// The readings of one place.
pub(super) struct Tapes<'a> {
    pub(super) a: &'a (String, Millimetres),
    pub(super) b: &'a (String, Millimetres),
    pub(super) third: Option<&'a (String, Millimetres)>,
    pub(super) side: SideWord,
}

/// Finds the place that the tapes of a mark mean.
pub(super) fn by_tapes(
    job: &Job,
    fields: &TapeFields<'_>,
    tapes: &Tapes<'_>,
    field: &str,
    straight_mm: f64,
    squares_mm: f64,
    notes: &mut Vec<(&'static str, String)>,
) -> Result<Found, Diagnostic> {
    let on = fields.panel;
    let mesh = &on.mesh;
    let miss_limit_mm = job.book.figure(id::TAPE_MISS);
    let spread = |name: &str, part: &str| match fields.from(name) {
        Some(found) => found.map_err(|why| {
            fault(job, field, "SURFACE-TOO-FINE", &why.to_string(), "", "thin the mesh")
        }),
        None => Err(fault(
            job,
            &format!("{field}.{part}"),
            "SURFACE-PLACE",
            &format!("{:?} has no landmark {name:?}", on.of.name),
            "a landmark of the panel",
            "name one of the panel's landmarks",
        )),
    };
    let (ta, tb) = (tapes.a.1.value(), tapes.b.1.value());
    let a = spread(&tapes.a.0, "a")?;
    let b = spread(&tapes.b.0, "b")?;
    let placing = place::places(mesh, &a, ta, &b, tb, miss_limit_mm);
    if placing.candidates.is_empty() {
        let gap_mm = if placing.gap_mm.is_finite() {
            placing.gap_mm
        } else {
            landmark_gap_mm(mesh, &fields.passable, on, tapes).unwrap_or(placing.gap_mm)
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
        Some(third) => Some((third, spread(&third.0, "third")?)),
        None => None,
    };
    let reading = |field, tape_mm| allowed::Reading { field, tape_mm, width_mm: straight_mm };
    if let Some((written, reach)) = &third {
        let by = [reading(&a, ta), reading(&b, tb), reading(reach, written.1.value())];
        let settled = third_tape::settle(mesh, &by[0], &by[1], &by[2], &placing.candidates);
        return match settled.filter(|found| found.worst_miss_mm <= straight_mm) {
            Some(found) => {
                Ok(by_three(mesh, found, [&a, &b, reach.as_ref()], straight_mm, squares_mm))
            }
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
    let most_mm = spread_mm.max(squares_mm);
    let error_mm = (squares_mm * std::f64::consts::SQRT_2 / sharp).min(most_mm);
    let ellipse = chosen.bearings_deg.map_or_else(
        || Ellipse::round(error_mm),
        |bearings| Ellipse::of_tapes(&bearings, squares_mm).capped(most_mm),
    );
    let flat_deg = job.book.figure(id::TAPE_CROSSING);
    let better = || better(fields, tapes, chosen, squares_mm);
    if miss_mm > 0.5 {
        notes.push((
            id::TAPE_MISS,
            format!(
                "the tapes miss each other by {miss_mm:.1} mm; placed where they miss least{}",
                better()
            ),
        ));
    } else if chosen.crossing_angle_deg < flat_deg {
        notes.push((
            id::TAPE_CROSSING,
            format!(
                "the tapes cross at {:.0} degrees, close to the line between the landmarks: the place is good to {error_mm:.0} mm{}",
                chosen.crossing_angle_deg,
                better()
            ),
        ));
    }
    Ok(Found { at: chosen.point, allowed, error_mm, ellipse })
}

/// Words that name the tapes to lay for a better place.
fn better(
    fields: &TapeFields<'_>,
    tapes: &Tapes<'_>,
    chosen: &Candidate,
    squares_mm: f64,
) -> String {
    let on = fields.panel;
    let laid = [tapes.a.0.as_str(), tapes.b.0.as_str()];
    let laid_deg = chosen.bearings_deg.map_or_else(Vec::new, Vec::from);
    let Advice { third, pair } = advice(
        &on.mesh,
        &fields.passable,
        &on.landmarks,
        chosen.point,
        (&laid, &laid_deg),
        squares_mm,
    );
    let mut said = match &third {
        Some((offer, error_mm)) => format!(
            "; lay a third tape from {:?} (near {:.0} mm there), which makes it good to {error_mm:.0} mm",
            offer.landmark, offer.reading_mm
        ),
        None => "; lay a third tape from a landmark to one side".to_owned(),
    };
    let third_mm = third.map_or(f64::INFINITY, |(_, error_mm)| error_mm);
    if let Some(([one, other], error_mm)) = pair
        && error_mm < third_mm
    {
        said.push_str(&format!(
            "; or lay both anew from {:?} (near {:.0} mm) and {:?} (near {:.0} mm): good to {error_mm:.0} mm",
            one.landmark, one.reading_mm, other.landmark, other.reading_mm
        ));
    }
    said
}

/// The place three tapes settle, with what all three leave open.
fn by_three(
    mesh: &Mesh,
    found: Settled,
    tapes: [&DistanceField<'_>; 3],
    straight_mm: f64,
    squares_mm: f64,
) -> Found {
    let here = mesh.position(&found.point);
    let spread_mm =
        found.allowed.iter().map(|one| (mesh.position(one) - here).norm()).fold(0.0, f64::max);
    // The region is drawn with the straight sum of the errors; printed errors are roots of squares.
    let error_mm = (spread_mm * squares_mm / straight_mm).max(squares_mm);
    let bearing = |tape: &DistanceField<'_>| {
        tape.direction(&found.point).and_then(|way| bearing_deg(mesh, &found.point, way))
    };
    let bearings: Vec<f64> = tapes.into_iter().filter_map(bearing).collect();
    let ellipse = Ellipse::of_tapes(&bearings, squares_mm).capped(error_mm);
    Found { at: found.point, allowed: found.allowed, error_mm, ellipse }
}

fn third_misses(
    job: &Job,
    field: &str,
    written: &(String, Millimetres),
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

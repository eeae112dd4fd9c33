//! What is it, how far does it go, what stands behind it, may we touch it?
//!
//! Takes the marks as placed on the skin; gives findings: depth and extent in three cases, every
//! reason to refer, what to stop doing, and the cause that comes first. Lengths are mm.

pub mod around;
pub mod cause;
pub mod change;
pub mod classes;
pub mod clearance;
pub mod condition;
pub mod depth;
pub mod dried;
pub mod extent;
pub mod growth;
pub mod learnt;
pub mod learnt_many;
pub mod over_seam;
pub mod pattern;
pub mod readings;
pub mod referral;
mod seen_patch;
pub mod stops;
mod wetness;

use rayon::prelude::*;

use crate::diagnostic::Diagnostic;
use crate::model::panel::ParentPly;
use crate::model::survey::{Cause, Mark, MarkKind, SeenNow, Worker};
use crate::read::job::Job;
use crate::rules::id;
use crate::surface::marks::{Form, PlacedMark, piece_length_mm};
use crate::surface::origin::Origin;
use crate::surface::placed::PlacedPanel;
use wetness::Wetness;

/// A mark after looking at it.
#[derive(Debug, Clone)]
pub struct Finding<'j> {
    /// Where it is and its seen form.
    pub placed: PlacedMark<'j>,
    /// The parent laminate there.
    pub parent: depth::Parent,
    /// Its depth.
    pub depth: depth::MarkDepth,
    /// Its extent.
    pub extents: extent::Extents,
    /// It is wet, by what was seen or read.
    pub wet: bool,
    /// What its drying log says; none without one.
    pub dried: Option<dried::Dried>,
    /// What is known of its reading.
    pub reading: Option<String>,
    /// That reading counts and is above the dry reference.
    pub reading_above: bool,
    /// What stands round it, and how its traced lines lie.
    pub around: around::Around,
    /// Causes it is consistent with, likeliest first; no proof, and no action follows from them.
    pub candidates: Vec<cause::Candidate>,
    /// A reading that counts does not stand above the dry reference.
    pub reads_dry: bool,
    /// What looking round it gave.
    pub judged: referral::Judged,
    /// The cause that has to be put right first.
    pub open_cause: Option<(String, Worker)>,
    /// The cause that is at work no longer.
    pub closed_cause: Option<String>,
    /// Referred marks that hold it since before it was opened up.
    pub held_before: Vec<u32>,
    /// How near it comes to each panel that its own is moulded in one with.
    pub over: Vec<over_seam::Near>,
    /// The same mark on its panel by itself, where that is moulded in one with others.
    pub alone: Option<Box<Self>>,
}

impl Finding<'_> {
    /// The mark as recorded.
    #[must_use]
    pub fn mark(&self) -> &Mark {
        self.placed.of
    }

    /// It was repaired since, and somebody answers for it.
    #[must_use]
    pub fn is_repaired(&self) -> bool {
        matches!(self.mark().now, SeenNow::Repaired { .. })
    }

    /// It was wet and its drying log does not give the go-ahead: no date yet.
    #[must_use]
    pub fn waits_to_dry(&self) -> bool {
        self.wet && !self.dried.as_ref().is_some_and(dried::Dried::is_dry)
    }

    /// Its length as seen, for a line, mm.
    #[must_use]
    pub fn seen_length_mm(&self) -> Option<f64> {
        match &self.placed.form {
            Form::Line(line) => Some(line.length_mm),
            Form::Patch(_) => None,
        }
    }

    /// Its panel, by number in the job, and those over a seam that something comes on to which
    /// goes so far beyond the mark, mm.
    #[must_use]
    pub fn panels(&self, on: &PlacedPanel<'_>, beyond_mm: f64) -> Vec<usize> {
        let near = self.over.iter().filter(|near| near.least_mm <= beyond_mm);
        let over = near.filter_map(|near| Some(on.over.get(near.over)?.piece.panel));
        std::iter::once(self.placed.panel).chain(over).collect()
    }

    /// What must not be done while it is as it is.
    #[must_use]
    pub fn stops(&self, panel: &PlacedPanel<'_>) -> Vec<stops::Stop> {
        if self.is_repaired() {
            return Vec::new();
        }
        let in_glass = self.depth.cases.high.in_glass();
        let reasons = &self.judged.reasons;
        let mut found =
            stops::of_mark(&panel.of.panel, &panel.of.name, self.mark(), reasons, in_glass);
        for over in &panel.over {
            found.extend(stops::over_seam(&over.of.panel, &over.of.name, reasons));
        }
        found
    }
}

/// Looks at every placed mark.
///
/// # Errors
/// Faults of the job, each with its place.
pub fn assess<'j>(
    job: &'j Job,
    panels: &[PlacedPanel<'_>],
    placed: Vec<PlacedMark<'j>>,
    ply_mm: &(dyn Fn(&ParentPly) -> f64 + Sync),
) -> Result<Vec<Finding<'j>>, Vec<Diagnostic>> {
    let table = cause::table();
    let mut findings = Vec::new();
    let mut by_panel: Vec<Vec<PlacedMark<'j>>> = panels.iter().map(|_| Vec::new()).collect();
    for one in placed {
        if let Some(list) = by_panel.get_mut(one.panel) {
            list.push(one);
        }
    }
    let of_panel = |(panel, marks): (&PlacedPanel<'_>, Vec<PlacedMark<'j>>)| {
        if marks.is_empty() {
            return Ok(Vec::new());
        }
        let parent = depth::parent(&panel.of.panel, &job.book, ply_mm);
        let on = |panel: &PlacedPanel<'_>, marks: Vec<PlacedMark<'j>>| -> Vec<Laid<'j>> {
            let lay = |placed: PlacedMark<'j>| {
                let depth = depth::of_mark(placed.of, &parent, job.habits().gel_cracks);
                let extents = extent::extents(&job.book, panel, &placed);
                (placed, depth, extents)
            };
            marks.into_iter().map(lay).collect()
        };
        let (mut marks, mut by_themselves) = (marks, Vec::new());
        for placed in &mut marks {
            by_themselves.extend(placed.alone.take().map(|alone| *alone));
        }
        let laid = on(panel, marks);
        let watched = watch(job, panel, &laid)?;
        let looked = laid.into_iter().map(|laid| look_at(job, panel, parent, &watched, laid));
        let mut found: Vec<Finding<'j>> = looked.collect();
        // Where the panel is moulded in one with others, the panel by itself is asked as well.
        if panel.alone.is_some() {
            let alone = panel.by_itself();
            let laid = on(alone, by_themselves);
            let own = watch(job, alone, &laid)?;
            for (found, laid) in found.iter_mut().zip(laid) {
                found.over = over_seam::near(&job.book, panel, found)
                    .map_err(|why| vec![too_fine(job, panel, why)])?;
                let by_itself = look_at(job, alone, parent, &own, laid);
                over_seam::judge(&job.book, panel, found, by_itself);
            }
        }
        look_round(job, panel, &table, &mut found)
            .map_err(|why| vec![too_fine(job, panel, why)])?;
        Ok::<_, Vec<Diagnostic>>(found)
    };
    let looked: Vec<_> = panels.par_iter().zip(by_panel.into_par_iter()).map(of_panel).collect();
    for found in looked {
        findings.extend(found?);
    }
    findings.sort_by_key(|finding| finding.mark().id);
    Ok(findings)
}

/// A mark with its depth and its extent.
type Laid<'j> = (PlacedMark<'j>, depth::MarkDepth, extent::Extents);

fn look_at<'j>(
    job: &Job,
    panel: &PlacedPanel<'_>,
    parent: depth::Parent,
    watched: &[referral::Watched<'_>],
    (placed, depth, extents): Laid<'j>,
) -> Finding<'j> {
    let mark = placed.of;
    let Wetness { wet, reading, above: reading_above, reads_dry } = wetness::of_mark(job, mark);
    let under = readings::under(job, panel, mark.side, &extents.seen.origin);
    let wet = wet || !under.wet.is_empty();
    let parted = wet || !under.dull.is_empty();
    let mut judged = referral::judge(&job.book, panel, &placed, &depth, &extents, parted, watched);
    stands_now(mark, &mut judged);
    for (names, text) in [
        (&under.wet, "readings above the dry reference stand on it: it counts as wet"),
        (&under.dull, "dull readings stand on it: layers may have let go under it"),
    ] {
        if !names.is_empty() {
            let text = format!("{text} (grid {})", names.join(", "));
            judged.nearby.push(referral::Nearby { rule: id::GRID_DOUBT, text });
        }
    }
    let (open_cause, closed_cause) = cause(mark, &judged);
    Finding {
        placed,
        parent,
        depth,
        extents,
        wet,
        dried: dried::of_mark(job, mark.id),
        reading,
        reading_above,
        around: around::Around::default(),
        candidates: Vec::new(),
        reads_dry,
        judged,
        open_cause,
        closed_cause,
        held_before: Vec::new(),
        over: Vec::new(),
        alone: None,
    }
}

/// How the mark stands today. A repair that somebody answers for, by name and date, takes the
/// mark off the list; nothing else does.
fn stands_now(mark: &Mark, judged: &mut referral::Judged) {
    let text = match &mark.now {
        SeenNow::Measured => return,
        SeenNow::SeenNotMeasured => {
            "seen, not measured again: its size is that of an earlier survey, and that is no sign that it stands still".to_owned()
        }
        SeenNow::NotExamined => {
            "not examined: all that is said of it is from an earlier survey".to_owned()
        }
        SeenNow::Repaired { by, date } => {
            let before = std::mem::take(judged);
            let asked = if before.reasons.is_empty() {
                String::new()
            } else {
                "; it was one for a specialist: ask for a paper on how it was done and who answers for it".to_owned()
            };
            format!("repaired by {by}, {date}, as the survey says; what lies inside was not seen{asked}")
        }
    };
    judged.nearby.push(referral::Nearby { rule: id::SEEN_NOW, text });
}

/// Distances from every fixing that some mark may be near to, as far as its row and the largest
/// of those marks ask.
fn watch<'p>(
    job: &Job,
    panel: &'p PlacedPanel<'p>,
    laid: &[Laid<'_>],
) -> Result<Vec<referral::Watched<'p>>, Vec<Diagnostic>> {
    let tape_mm = job.book.figure(id::TAPE_ONE) + job.book.figure(id::TAPE_LANDMARK);
    let over =
        panel.over.iter().flat_map(|over| over.fixings.iter().map(|one| (one, Some(over.of))));
    let own = panel.fixings.iter().map(|one| (one, None));
    own.chain(over)
        .map(|(fixing, over)| {
            let asked_mm = referral::largest_mm(&job.book, fixing.of.carries) + tape_mm;
            let beyond_mm = laid
                .iter()
                .filter(|(placed, _, extents)| {
                    !clearance::is_far(panel, placed, extents, fixing, asked_mm)
                })
                .map(|(placed, _, extents)| clearance::beyond_mm(&job.book, panel, placed, extents))
                .reduce(f64::max);
            let reach = beyond_mm.map(|mm| clearance::field(panel, fixing, asked_mm + mm));
            let reach = reach.transpose().map_err(|why| vec![too_fine(job, panel, why)])?;
            Ok(referral::Watched { fixing, asked_mm, reach, over })
        })
        .collect()
}

fn too_fine(job: &Job, panel: &PlacedPanel<'_>, why: String) -> Diagnostic {
    job.fault(
        &panel.of.file,
        "surface",
        "SURFACE-TOO-FINE",
        why,
        String::new(),
        "describe the panel more coarsely".to_owned(),
    )
}

/// What stands round every mark of a panel, and what it is consistent with.
fn look_round(
    job: &Job,
    panel: &PlacedPanel<'_>,
    table: &[cause::Cause],
    found: &mut [Finding<'_>],
) -> Result<(), String> {
    let panel_mm2 = panel.face_area_mm2();
    let looked: Vec<_> = found
        .iter()
        .map(|finding| {
            let old: Vec<(u32, &Origin)> = found
                .iter()
                .filter(|other| {
                    other.mark().kind == MarkKind::OldRepair
                        && other.mark().side == finding.mark().side
                        && other.mark().id != finding.mark().id
                })
                .map(|other| (other.mark().id, &other.extents.seen.origin))
                .collect();
            let seen = &finding.extents.seen.origin;
            let around = around::look(panel, &finding.placed, seen, &old)?;
            let signs = cause::signs::of(&job.book, panel, finding, &around, panel_mm2);
            Ok((around, cause::candidates(table, finding.mark().kind, &signs)))
        })
        .collect::<Result<_, String>>()?;
    for (finding, (around, candidates)) in found.iter_mut().zip(looked) {
        finding.around = around;
        // What was put right tells nothing of why it was there.
        if !finding.is_repaired() {
            finding.candidates = candidates;
        }
    }
    Ok(())
}

type Causes = (Option<(String, Worker)>, Option<String>);

fn cause(mark: &Mark, judged: &referral::Judged) -> Causes {
    if matches!(mark.now, SeenNow::Repaired { .. }) {
        return (None, None);
    }
    match (&mark.cause, &judged.bracket_cause) {
        (Cause::Open { what, who }, _) => (Some((what.clone(), *who)), None),
        (Cause::Closed { what }, _) => (None, Some(what.clone())),
        (Cause::Unknown, Some(bracket)) => (Some((bracket.clone(), Worker::Specialist)), None),
        (Cause::Unknown, None) => (None, None),
    }
}

/// Length of every piece of a line together, mm.
#[must_use]
pub fn pieces_length_mm(
    mesh: &crate::surface::mesh::Mesh,
    pieces: &[crate::surface::origin::Piece],
) -> f64 {
    pieces.iter().map(|piece| piece_length_mm(mesh, piece)).sum()
}

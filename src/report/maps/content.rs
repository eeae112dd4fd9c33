//! What is on the maps of a panel, on its own faces: the same for every view of it.

use super::Mapped;
use super::ground::{OnPanel, outline, own, pieces, rims};
use super::ink::{Pen, Sign};
use super::{fixed, unseen, worked};
use crate::damage::Finding;
use crate::damage::clearance::disc_mm;
use crate::model::survey::{Rows, SeenNow, Side};
use crate::repair::{Action, Decision};
use crate::report::text::of_marks;
use crate::surface::grid_marks::standing;
use crate::surface::marks::Form;
use crate::surface::mesh::{FaceId, MeshPoint};
use crate::surface::origin::Origin;
use crate::surface::placed::PlacedPanel;

/// Lines of one kind.
#[derive(Debug, Clone)]
pub(super) struct Layer {
    pub(super) pen: Pen,
    /// What they are, such as `ply R1 2`.
    pub(super) what: String,
    pub(super) on: OnPanel,
}

/// A place with a sign and words.
#[derive(Debug, Clone)]
pub(super) struct Spot {
    pub(super) at: MeshPoint,
    pub(super) sign: Sign,
    pub(super) words: Vec<String>,
    pub(super) bold: bool,
    /// Its words may stand on the place.
    pub(super) on_it: bool,
}

/// A mark that is drawn, for the sentence that says what can be seen.
#[derive(Debug, Clone)]
pub(super) struct Shown {
    pub(super) at: MeshPoint,
    pub(super) words: String,
}

/// Everything on a panel.
#[derive(Debug, Default)]
pub(super) struct Content {
    pub(super) layers: Vec<Layer>,
    pub(super) spots: Vec<Spot>,
    pub(super) shown: Vec<Shown>,
    pub(super) marks: Vec<u32>,
    pub(super) says: Vec<String>,
}

impl Content {
    pub(super) fn draw(&mut self, pen: Pen, what: impl Into<String>, on: OnPanel) {
        if !on.lines.is_empty() {
            self.layers.push(Layer { pen, what: what.into(), on });
        }
    }

    pub(super) fn spot(&mut self, at: MeshPoint, sign: Sign, words: Vec<String>) {
        self.spots.push(Spot { at, sign, words, bold: false, on_it: false });
    }
}

/// The faces of the outer side proper: no turned edges, no openings.
pub(super) fn is_face(on: &PlacedPanel<'_>, face: FaceId) -> bool {
    let tag = on.mesh.tags.get(face as usize);
    tag.is_some_and(|tag| tag.opening.is_none() && !tag.on_return)
}

/// Everything on a panel of the job.
///
/// # Errors
/// In words, when the mesh is far too fine.
pub(super) fn of(of: &Mapped<'_, '_>, number: usize) -> Result<Content, String> {
    let mut found = Content::default();
    let Some(panel) = of.panels.get(number) else { return Ok(found) };
    let on = panel.by_itself();
    unseen::hatch(of, on, &mut found);
    skin(on, &mut found);
    worked::of_panel(of, number, &mut found)?;
    readings(of, number, panel, &mut found);
    for (finding, decision) in of.findings.iter().zip(&of.plan.decisions) {
        mark(of, number, finding, decision, &mut found)?;
    }
    fixed::of_panel(of, number, &mut found)?;
    regions(on, &mut found);
    Ok(found)
}

/// Edges of the face, of openings and of regions.
pub(super) fn skin(on: &PlacedPanel<'_>, found: &mut Content) {
    let mesh = &on.mesh;
    let face = |face: FaceId| is_face(on, face);
    let open = |face: FaceId| on.open.get(face as usize).copied().unwrap_or(false);
    let region = |face: FaceId| mesh.tags.get(face as usize).and_then(|tag| tag.region);
    let whole = |lines| OnPanel { lines, whole: false };
    let between = |one: FaceId, other: Option<FaceId>| {
        other.is_some_and(|other| face(other) && region(one) < region(other))
    };
    found.draw(Pen::Region, "", whole(super::ground::edges(mesh, &face, &between)));
    let turned = |face: FaceId| open(face) && !is_face(on, face);
    let free = |_: FaceId, other: Option<FaceId>| !other.is_some_and(open);
    found.draw(Pen::Turned, "", whole(super::ground::edges(mesh, &turned, &free)));
    let ends = |_: FaceId, other: Option<FaceId>| !other.is_some_and(face);
    found.draw(Pen::Outline, "", whole(super::ground::edges(mesh, &face, &ends)));
}

/// Names of regions.
pub(super) fn regions(on: &PlacedPanel<'_>, found: &mut Content) {
    let mesh = &on.mesh;
    for (index, region) in (0_u16..).zip(&on.of.panel.regions) {
        let (mut sum, mut weight) = (nalgebra::Vector2::zeros(), 0.0);
        for (face, tag) in (0_u32..).zip(&mesh.tags) {
            if tag.region == Some(index) && is_face(on, face) {
                let third = nalgebra::Vector3::repeat(1.0 / 3.0);
                let area = mesh.face_area_mm2(face);
                sum += mesh.grid(&MeshPoint { face, weights: third }).coords * area;
                weight += area;
            }
        }
        if weight > 0.0 {
            let at = mesh.nearest(nalgebra::Point2::from(sum / weight)).0;
            let words = vec![region.name.clone()];
            found.spots.push(Spot { at, sign: Sign::Nothing, words, bold: false, on_it: true });
        }
    }
}

/// A mark as it was seen, and as far as it may go.
fn mark(
    of: &Mapped<'_, '_>,
    number: usize,
    finding: &Finding<'_>,
    decision: &Decision,
    found: &mut Content,
) -> Result<(), String> {
    let (mark, home) = (finding.mark(), finding.placed.panel);
    let hangs = |from: &PlacedPanel<'_>| from.over.iter().any(|over| over.piece.panel == number);
    let Some(from) = of.panels.get(home) else { return Ok(()) };
    if home != number && !hangs(from) {
        return Ok(());
    }
    let refer = decision.action == Action::Refer;
    let pen = if refer { Pen::Referred } else { Pen::Seen };
    let mesh = &from.mesh;
    let on = |lines: &[Vec<MeshPoint>]| own(of.panels, (home, number), lines);
    let passable = from.side(mark.side);
    let cases = &finding.extents.cases;
    let before = found.layers.len();
    let named = |kind: &str| format!("{kind} {}", mark.id);
    match (&finding.placed.form, disc_mm(&of.job.book, from, &finding.placed, &finding.extents)) {
        (form, Some(disc_mm)) => {
            // Nobody knows which way it lies: it may lie anywhere in the disc that is judged by.
            let origin = Origin::point(finding.placed.at);
            for rim in rims(mesh, passable, &origin, &[disc_mm])? {
                found.draw(Pen::High, named("disc"), on(&rim));
            }
            if let Form::Patch(_) = form {
                let seen = outline(mesh, &finding.extents.seen.origin);
                found.draw(pen, named("seen"), on(&seen));
            }
            if let Form::Line(line) = form {
                found.draw(pen, named("line"), on(&pieces(mesh, &line.pieces)));
            }
            if home == number {
                found.says.push(format!(
                    "Which way mark {} lies was not recorded: the fine dashes show all the room it may take.",
                    mark.id
                ));
            }
        }
        (Form::Line(line), None) => {
            let lines = [(Pen::High, "high", &cases.high), (Pen::Likely, "likely", &cases.likely)];
            for (pen, kind, case) in lines {
                found.draw(pen, named(kind), on(&pieces(mesh, &case.origin.pieces)));
            }
            if let Some(back) = &finding.extents.back {
                found.draw(
                    Pen::Behind,
                    named("behind"),
                    on(&pieces(mesh, &back.high.origin.pieces)),
                );
            }
            found.draw(pen, named("line"), on(&pieces(mesh, &line.pieces)));
        }
        (Form::Patch(_), None) => {
            let out_mm = [cases.high.grown_mm, cases.likely.grown_mm];
            let seen = outline(mesh, &finding.extents.seen.origin);
            // What was opened up grows no more.
            if cases.likely.grown_mm > 0.0 {
                let kinds = [(Pen::High, "high"), (Pen::Likely, "likely")];
                let rims = rims(mesh, passable, &cases.high.origin, &out_mm)?;
                for ((pen, kind), rim) in kinds.into_iter().zip(rims) {
                    found.draw(pen, named(kind), on(&rim));
                }
            }
            found.draw(pen, named("seen"), on(&seen));
        }
    }
    for line in &finding.placed.lines {
        found.draw(pen, named("trace"), on(&pieces(mesh, line)));
    }
    if home == number {
        spot_of(finding, decision, found);
    } else if found.layers.len() > before {
        found.says.push(format!(
            "Mark {} is on the {} and may come over the seam: what of it may lie here is drawn.",
            mark.id, from.of.name
        ));
    }
    Ok(())
}

/// The words of a mark at its place.
fn spot_of(finding: &Finding<'_>, decision: &Decision, found: &mut Content) {
    let mark = finding.mark();
    let mut words = vec![format!("{}: {}", mark.id, decision.action.words())];
    if !decision.held_by.is_empty() {
        words.push(format!("by {}", of_marks(&decision.held_by)));
    }
    if mark.side == Side::Back {
        words.push("on the back".to_owned());
    }
    if let Some(reading) = mark.reading {
        words.push(format!("reads {reading}"));
    }
    match mark.now {
        SeenNow::NotExamined => words.push("not examined".to_owned()),
        SeenNow::SeenNotMeasured => words.push("not measured again".to_owned()),
        SeenNow::Repaired { .. } => words.push("repaired, as said".to_owned()),
        SeenNow::Measured => {}
    }
    let goes = match decision.action {
        Action::Refer => "goes to a specialist",
        Action::Held => "held",
        Action::Repair => "to be repaired",
        Action::Watch => "to be watched",
    };
    let reading = finding.reading.as_ref().map_or_else(String::new, |said| format!(", {said}"));
    let words_of = format!("mark {}, {}{reading}, {goes}", mark.id, mark.kind.words());
    found.marks.push(mark.id);
    found.shown.push(Shown { at: finding.placed.at, words: words_of });
    let at = finding.placed.at;
    found.spots.push(Spot { at, sign: Sign::Mark, words, bold: true, on_it: false });
}

/// Grids of readings: each reading, and the rim of what is dull or wet.
fn readings(of: &Mapped<'_, '_>, number: usize, panel: &PlacedPanel<'_>, found: &mut Content) {
    for (index, grid) in of.job.survey.grids.iter().enumerate() {
        if grid.panel != panel.of.name {
            continue;
        }
        let shown = of.grids.iter().find(|one| std::ptr::eq(one.of, grid));
        let shown = shown.or_else(|| of.grids.iter().find(|one| one.of.name == grid.name));
        if let Some(shown) = shown {
            let on = own(of.panels, (number, number), &shown.rims);
            found.draw(Pen::Reading, format!("readings {}", grid.name), on);
        }
        // What cannot be laid was told as a fault of the survey.
        let Ok(standing) = standing(of.job, panel, index) else { continue };
        let taken = standing.points.iter().flatten().zip(standing.readings.iter().flatten());
        for (at, read) in taken {
            if let Some(read) = read {
                let sign = if *read > standing.level { Sign::Above } else { Sign::Dry };
                found.spot(*at, sign, Vec::new());
            }
        }
        let (Some(at), Some(shown)) = (standing.points.iter().flatten().next(), shown) else {
            continue;
        };
        let not_used = if shown.not_used.is_some() { ", not used" } else { "" };
        let behind = if grid.side == Side::Back { ", on the back" } else { "" };
        let word =
            if matches!(grid.rows, Rows::Tapped(_)) { "dull" } else { "above the reference" };
        let words = vec![
            format!("{}{behind}:", grid.name),
            format!("{} of {} {word}{not_used}", shown.above, shown.taken),
        ];
        found.spot(*at, Sign::Nothing, words);
        if let Some(why) = &shown.not_used {
            found.says.push(format!("Readings {:?} are not used: {why}.", grid.name));
        }
    }
}

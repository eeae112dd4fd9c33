//! The sheets of one repair: lines, crosses and landmarks put together, turned as the side is seen.

use nalgebra::Point2;

use super::super::cutting::{self, LaidPart, Patterns, PlyPattern, holds, signed_area_mm2};
use super::cross::{self, Cross};
use super::tape::{self, Known, LandmarkOnSheet, Landmarks};
use super::{LineKind, Sheet, SheetLine, Shows, bounds, outlines};
use crate::damage::Finding;
use crate::materials::in_order;
use crate::model::shop::PlyOrder;
use crate::model::survey::Side;
use crate::quantity::Case;
use crate::repair::Repair;
use crate::repair::layout::{PlyArea, Worked};
use crate::repair::ply_ground::{OnSkin, PlyFields};
use crate::rules::{Book, id};
use crate::surface::mesh::{Mesh, MeshPoint};
use crate::surface::placed::PlacedPanel;
use crate::surface::tapes::tape_ground;

/// A landmark is drawn on paper when it lies this near to the drawing, mm (choice: a sheet more or two
/// of A4; farther off a tape is surer than paper).
const PAPER_BEYOND_MM: f64 = 200.0;
/// Places of the rim that a landmark is fitted to (choice).
const FITTED_TO: usize = 48;
/// Corners of helping lines are left out that lie this near to the line, mm.
const OFF_MM: f64 = 0.1;

/// One repair, with the distances it is laid out by.
pub(super) struct Scene<'a, 'p, 'j, 's> {
    pub(super) book: &'a Book,
    pub(super) order: PlyOrder,
    pub(super) panel: &'p PlacedPanel<'j>,
    pub(super) fields: PlyFields<'p>,
    pub(super) members: Vec<&'a Finding<'j>>,
    pub(super) number: usize,
    pub(super) repair: &'a Repair<'s>,
    pub(super) case: Case,
}

/// What one sheet is of.
struct Of<'a> {
    side: Side,
    shows: Shows,
    on_skin: &'a OnSkin,
    removal: Option<&'a OnSkin>,
    pattern: Option<&'a PlyPattern<'a>>,
}

impl Scene<'_, '_, '_, '_> {
    /// All sheets of the repair.
    pub(super) fn sheets(
        &self,
        landmarks: &[Landmarks<'_>],
        patterns: &Patterns<'_>,
    ) -> Result<Vec<Sheet>, String> {
        let areas = self.repair.areas.get(self.case);
        let mut found = Vec::new();
        for side in [Side::Outer, Side::Back] {
            let worked = areas.worked.iter().find(|one| one.side == side);
            let within = |of: &dyn Fn(&Worked) -> Option<OnSkin>| worked.and_then(of);
            let removal = within(&|one| self.fields.within(side, &one.removal));
            let ground = within(&|one| self.fields.within(side, &one.ground));
            let removal = removal.filter(|one| one.area_mm2 > 0.0);
            if let Some(on_skin) = ground.as_ref().filter(|_| removal.is_some()) {
                let shows = Shows::Removal;
                let of = Of { side, shows, on_skin, removal: removal.as_ref(), pattern: None };
                found.extend(self.of(&of, landmarks)?);
            }
            let on_side = areas.plies.iter().enumerate().filter(|(_, ply)| ply.side == side);
            let many = on_side.clone().count();
            for (number, ply) in on_side {
                let known = patterns.plies.iter();
                let mut known =
                    known.filter(|one| one.repair == self.repair.id && one.ply == number + 1);
                let (Some(pattern), Some(on_skin)) = (known.next(), self.fields.ply(ply)) else {
                    continue;
                };
                let shows = Shows::Ply {
                    number: number + 1,
                    on_side: laid_as(self.order, &areas.plies, ply),
                    of: many,
                    mat: ply.mat.name.clone(),
                    reach_mm: ply.reach_mm,
                    strips: pattern.pieces.len(),
                };
                let (on_skin, removal) = (&on_skin, removal.as_ref());
                let of = Of { side, shows, on_skin, removal, pattern: Some(pattern) };
                found.extend(self.of(&of, landmarks)?);
            }
        }
        Ok(found)
    }

    fn of(&self, of: &Of<'_>, landmarks: &[Landmarks<'_>]) -> Result<Vec<Sheet>, String> {
        let laid = cutting::laid(&self.panel.mesh, of.on_skin)?;
        let many = laid.len();
        let each = laid.iter().enumerate();
        each.map(|(part, laid)| self.part(of, laid, (part + 1, many), landmarks)).collect()
    }

    fn part(
        &self,
        of: &Of<'_>,
        laid: &LaidPart<'_>,
        part: (usize, usize),
        landmarks: &[Landmarks<'_>],
    ) -> Result<Sheet, String> {
        let rim = of.on_skin.rim.get(laid.rim).map(Vec::as_slice).unwrap_or_default();
        let known: Vec<Known> =
            rim.iter().filter_map(|point| Some((*point, laid.sheet.place(point)?))).collect();
        let mut lines = self.lines(of, laid, &known);
        let marks: Vec<(u32, MeshPoint)> = self
            .members
            .iter()
            .filter(|finding| finding.placed.panel == self.repair.laid_on)
            .map(|finding| (finding.mark().id, finding.placed.at))
            .collect();
        let places = cross::places(laid, &known, &marks);
        let crosses: Vec<Cross> = places
            .iter()
            .map(|(name, (on_skin, at))| Cross {
                name: name.clone(),
                at_mm: *at,
                tapes: cross::tapes(landmarks, on_skin),
            })
            .collect();
        let to_fit: Vec<Known> = known
            .iter()
            .step_by(known.len() / FITTED_TO + 1)
            .chain(places.iter().map(|(_, known)| known))
            .copied()
            .collect();
        let only: Vec<Known> = places.iter().map(|(_, known)| *known).collect();
        let (low, high) = bounds(known.iter().map(|(_, at)| at));
        let ground = tape_ground(self.panel);
        let across_mm = 2.0 * (high - low).norm() + 50.0;
        let crosses_off_mm = tape::worst_between(&self.panel.mesh, &ground, &only, across_mm)?;
        let (on_paper, off_the_paper) = self.landmarks(landmarks, &to_fit, (low, high));
        let removal_mm2 = nested_area_mm2(
            lines.iter().filter(|line| line.kind == LineKind::Removal && line.closed),
        );
        let flat_mm2 = match of.shows {
            Shows::Removal => removal_mm2,
            Shows::Ply { .. } => laid.part.area_mm2,
        };
        if of.shows == Shows::Removal {
            lines.retain(|line| line.kind != LineKind::Cut);
        }
        let mut sheet = Sheet {
            repair: self.repair.id.clone(),
            number: self.number,
            panel: self.panel.of.name.clone(),
            marks: self.members.iter().map(|finding| finding.mark().id).collect(),
            side: of.side,
            shows: of.shows.clone(),
            behind: of.side != self.repair.side,
            depth_mm: self.repair.areas.get(self.case).deepest_mm,
            part,
            lines,
            crosses,
            landmarks: on_paper,
            off_the_paper,
            crosses_off_mm,
            crosses_agree: crosses_off_mm <= self.book.figure(id::PATTERN_TAPE),
            flat_m2: flat_mm2 * 1e-6,
            notes: of.pattern.map(|pattern| pattern.notes.clone()).unwrap_or_default(),
        };
        turned(&mut sheet, self.panel.mesh.chart_sense());
        Ok(sheet)
    }

    fn lines(&self, of: &Of<'_>, laid: &LaidPart<'_>, rim: &[Known]) -> Vec<SheetLine> {
        let line = |kind, closed, points_mm| SheetLine { kind, closed, points_mm };
        let own = if of.pattern.is_some() { LineKind::Cut } else { LineKind::Ground };
        let mut lines: Vec<SheetLine> =
            outlines(&laid.part).map(|outline| line(own, true, outline.clone())).collect();
        for removal in of.removal.iter().flat_map(|removal| &removal.rim) {
            // Faces at the rim hold more than the part: what lies past its outline is another's.
            let here = |at: &Point2<f64>| of.pattern.is_none() || holds(&laid.part.outline_mm, at);
            let points: Vec<Option<Point2<f64>>> =
                removal.iter().map(|point| laid.sheet.place(point).filter(here)).collect();
            lines.extend(
                runs(&points)
                    .into_iter()
                    .map(|(closed, points)| line(LineKind::Removal, closed, thinned(&points))),
            );
        }
        if let Some(pattern) = of.pattern {
            let open = self.panel.side(of.side);
            let along: Vec<Option<Point2<f64>>> = rim
                .iter()
                .map(|(on_skin, at)| on_border(&self.panel.mesh, open, on_skin).then_some(*at))
                .collect();
            for (closed, points) in runs(&along).into_iter().filter(|(_, run)| run.len() > 1) {
                lines.push(line(LineKind::Trim, closed, thinned(&points)));
            }
            if pattern.pieces.len() > pattern.parts.len() {
                let here = pattern.pieces.iter().filter(|piece| {
                    let middle = bounds(piece.outline_mm.iter());
                    holds(&laid.part.outline_mm, &nalgebra::center(&middle.0, &middle.1))
                });
                let strips =
                    here.map(|piece| line(LineKind::Strip, true, piece.outline_mm.clone()));
                lines.extend(strips.collect::<Vec<_>>());
            }
        }
        lines
    }

    /// Landmarks near by, where they fit the paper; and those that do not.
    fn landmarks(
        &self,
        landmarks: &[Landmarks<'_>],
        known: &[Known],
        (low, high): (Point2<f64>, Point2<f64>),
    ) -> (Vec<LandmarkOnSheet>, Vec<(String, f64)>) {
        let limit_mm = self.book.figure(id::PATTERN_TAPE);
        let (mut on_paper, mut off_the_paper) = (Vec::new(), Vec::new());
        let mesh = &self.panel.mesh;
        let Some((on_skin, at)) = known.first() else { return (on_paper, off_the_paper) };
        let sense = mesh.chart_sense();
        let here = mesh.grid(on_skin);
        for from in landmarks {
            let way = from.grid - here;
            let start = Point2::new(at.x + way.x, at.y + sense * way.y);
            let Some((at_mm, off_mm)) = tape::fitted(from, known, start) else { continue };
            let beyond = (low - at_mm).sup(&(at_mm - high)).max();
            if beyond > PAPER_BEYOND_MM {
                continue;
            }
            let name = from.name.to_owned();
            if off_mm <= limit_mm {
                on_paper.push(LandmarkOnSheet { name, at_mm, off_mm });
            } else {
                off_the_paper.push((name, off_mm));
            }
        }
        (on_paper, off_the_paper)
    }
}

/// Which ply of its side this one is, from 1, in the order in which a shop lays them.
fn laid_as(order: PlyOrder, plies: &[PlyArea<'_>], ply: &PlyArea<'_>) -> usize {
    let side = in_order(order, plies).into_iter().filter(|one| one.side == ply.side);
    side.take_while(|one| !std::ptr::eq(*one, ply)).count() + 1
}

/// On an edge of the panel, or of a face that may not be laid on.
fn on_border(mesh: &Mesh, open: &[bool], point: &MeshPoint) -> bool {
    mesh.across.get(point.face as usize).is_some_and(|across| {
        (0..3).any(|side| {
            let opposite = point.weights.get((side + 2) % 3).copied().unwrap_or(1.0);
            let shut = across
                .get(side)
                .copied()
                .flatten()
                .is_none_or(|other| !open.get(other as usize).copied().unwrap_or(false));
            opposite.abs() < 1e-6 && shut
        })
    })
}

/// Runs of places without a gap; closed where there is no gap at all in a line that ends where it
/// began.
fn runs(points: &[Option<Point2<f64>>]) -> Vec<(bool, Vec<Point2<f64>>)> {
    if points.len() > 3 && points.iter().all(Option::is_some) {
        let mut all: Vec<Point2<f64>> = points.iter().flatten().copied().collect();
        let closed = all.first().zip(all.last()).is_some_and(|(a, b)| (a - b).norm() < 1e-6);
        if closed {
            all.pop();
        }
        return vec![(closed, all)];
    }
    points
        .split(Option::is_none)
        .map(|run| run.iter().flatten().copied().collect::<Vec<_>>())
        .filter(|run| run.len() > 1)
        .map(|run| (false, run))
        .collect()
}

fn thinned(points: &[Point2<f64>]) -> Vec<Point2<f64>> {
    cutting::thinned(points, OFF_MM)
}

/// Area within closed lines, where a line within another is a hole, mm2.
fn nested_area_mm2<'a>(lines: impl Iterator<Item = &'a SheetLine>) -> f64 {
    let lines: Vec<&SheetLine> = lines.collect();
    let of = |(number, line): (usize, &&SheetLine)| {
        let Some(point) = line.points_mm.first() else { return 0.0 };
        let round = lines
            .iter()
            .enumerate()
            .filter(|(other, one)| *other != number && holds(&one.points_mm, point))
            .count();
        let area = signed_area_mm2(&line.points_mm).abs();
        if round % 2 == 0 { area } else { -area }
    };
    lines.iter().enumerate().map(of).sum()
}

/// Turns a sheet so that the larger v is up, and over where it is seen from behind.
fn turned(sheet: &mut Sheet, sense: f64) {
    let over = if sheet.side == Side::Back { -1.0 } else { 1.0 };
    let turn = |point: &mut Point2<f64>| {
        *point = Point2::new(over * sense * point.x, sense * point.y);
    };
    sheet.lines.iter_mut().flat_map(|line| &mut line.points_mm).for_each(turn);
    sheet.crosses.iter_mut().for_each(|cross| turn(&mut cross.at_mm));
    sheet.landmarks.iter_mut().for_each(|landmark| turn(&mut landmark.at_mm));
}

//! What has to be drawn at full size, so that paper can be laid on the panel and glass cut by it?
//!
//! Takes the repairs of a plan in one case; gives a sheet for the removal and one for every ply on
//! either side: outlines, crosses with their tapes over the skin, landmarks where paper and tapes
//! agree. Lengths mm at 1 : 1. A sheet lies as its side is seen: y towards the larger v of the
//! panel; what is laid behind is seen from behind. Outlines of plies are those of [`super::cutting`].
//!
//! Only repairs have sheets. Referred and held marks have none, and a ply of which only its share of
//! an area is known has none either; it is listed.

mod cross;
mod drawn;
mod tape;

use std::collections::BTreeMap;

use nalgebra::Point2;
use rayon::prelude::*;

pub use cross::Cross;
pub use tape::{LandmarkOnSheet, Tape};

use super::cutting::{FlatPart, NotCut, Patterns};
use crate::damage::Finding;
use crate::model::shop::PlyOrder;
use crate::model::survey::Side;
use crate::quantity::Case;
use crate::repair::Plan;
use crate::repair::ply_ground::{Asked, PlyFields};
use crate::rules::Book;
use crate::surface::placed::PlacedPanel;

/// What a line on a sheet is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// Glass is cut here.
    Cut,
    /// Along an edge of the panel or of an opening: laid over it and trimmed.
    Trim,
    /// The edge of a strip, where a ply is cut in several.
    Strip,
    /// Edge of the removal.
    Removal,
    /// End of the taper; behind, of what is keyed.
    Ground,
}

/// A line on a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetLine {
    /// What it is.
    pub kind: LineKind,
    /// Its last point is joined to its first.
    pub closed: bool,
    /// Its points, mm.
    pub points_mm: Vec<Point2<f64>>,
}

/// What a sheet is for.
#[derive(Debug, Clone, PartialEq)]
pub enum Shows {
    /// Where the parent is taken down, and how far it is tapered or keyed round that.
    Removal,
    /// A ply.
    Ply {
        /// Which of the repair's plies, from 1.
        number: usize,
        /// Which on its side, from 1, as the shop lays them; 1 is laid first.
        on_side: usize,
        /// Plies on that side.
        of: usize,
        /// Its mat.
        mat: String,
        /// How far beyond the removal it goes, mm.
        reach_mm: f64,
        /// Strips it is cut in.
        strips: usize,
    },
}

/// One drawing at full size.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The repair.
    pub repair: String,
    /// Its place in the plan.
    pub number: usize,
    /// The panel.
    pub panel: String,
    /// The marks it is for.
    pub marks: Vec<u32>,
    /// The side that is worked on.
    pub side: Side,
    /// What it shows.
    pub shows: Shows,
    /// It is of the other side than the one that is worked from: an opening and its backing.
    pub behind: bool,
    /// Glass that is taken down in the repair at most, mm; 0 in gel coat.
    pub depth_mm: f64,
    /// Which part, and of how many that do not hang together.
    pub part: (usize, usize),
    /// Its lines.
    pub lines: Vec<SheetLine>,
    /// Crosses, their tapes with them.
    pub crosses: Vec<Cross>,
    /// Landmarks of which every distance on the paper agrees with the tape, none else.
    pub landmarks: Vec<LandmarkOnSheet>,
    /// Landmarks near by that paper and tape disagree on, with the worst difference, mm.
    pub off_the_paper: Vec<(String, f64)>,
    /// Greatest difference between a distance on the paper and one over the skin, of the crosses, mm.
    pub crosses_off_mm: f64,
    /// That is within the rule `PATTERN-TAPE`.
    pub crosses_agree: bool,
    /// Area within the outline on the paper, holes left out, m2.
    pub flat_m2: f64,
    /// What to know.
    pub notes: Vec<String>,
}

/// Every sheet of a job, and what has none.
#[derive(Debug, Clone)]
pub struct Sheets {
    /// The case they are drawn in.
    pub case: Case,
    /// In order of repair; of each, what is seen from the outside first, the removal first.
    pub sheets: Vec<Sheet>,
    /// Plies without one.
    pub not_drawn: Vec<NotCut>,
    /// Repairs that have none, with the reason.
    pub without: Vec<(String, String)>,
}

/// Draws the sheets of a plan, the plies as `patterns` has them cut.
///
/// # Errors
/// In words: a mesh far too fine, or a mark that cannot be carried over a seam.
pub fn sheets(
    book: &Book,
    order: PlyOrder,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
    patterns: &Patterns<'_>,
) -> Result<Sheets, String> {
    // A panel at a time: distances from its landmarks take room, and no other panel needs them.
    let mut of_panels: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (number, repair) in plan.repairs.iter().enumerate() {
        of_panels.entry(repair.laid_on).or_default().push(number);
    }
    let found = of_panels
        .into_par_iter()
        .map(|(panel, repairs)| {
            let Some(on) = panels.get(panel) else { return Ok(Vec::new()) };
            // A mark of another panel moulded in one lies on another mesh.
            let at: Vec<_> = repairs
                .iter()
                .filter_map(|number| plan.repairs.get(*number))
                .flat_map(|repair| &repair.findings)
                .filter_map(|mark| findings.get(*mark))
                .filter(|finding| finding.placed.panel == panel)
                .map(|finding| finding.placed.at)
                .collect();
            let landmarks = tape::of_panel(on, &at)?;
            let of_repair = |number: &usize| {
                let Some(repair) = plan.repairs.get(*number) else { return Ok(None) };
                let case = patterns.case;
                let fields = PlyFields::of(panels, findings, repair, case, Asked::Everything)?;
                let members: Vec<&Finding<'_>> =
                    repair.findings.iter().filter_map(|one| findings.get(*one)).collect();
                let number = *number;
                let scene =
                    drawn::Scene { book, order, panel: on, fields, members, number, repair, case };
                Ok(Some((number, repair.id.clone(), scene.sheets(&landmarks, patterns)?)))
            };
            repairs.iter().map(of_repair).collect::<Result<Vec<_>, String>>()
        })
        .collect::<Result<Vec<_>, String>>()?;
    let mut found: Vec<_> = found.into_iter().flatten().flatten().collect();
    found.sort_by_key(|(number, ..)| *number);
    let mut all = Sheets {
        case: patterns.case,
        sheets: Vec::new(),
        not_drawn: patterns.not_cut.clone(),
        without: Vec::new(),
    };
    for (_, repair, sheets) in found {
        if sheets.is_empty() {
            let why = "nothing but paint is taken off: there is no outline";
            all.without.push((repair, why.to_owned()));
        }
        all.sheets.extend(sheets);
    }
    Ok(all)
}

impl Sheet {
    /// Least and greatest x and y of everything but landmarks, mm.
    #[must_use]
    pub fn bounds(&self) -> (Point2<f64>, Point2<f64>) {
        let points = self.lines.iter().flat_map(|line| &line.points_mm);
        bounds(points.chain(self.crosses.iter().map(|cross| &cross.at_mm)))
    }
}

/// Least and greatest x and y of points; both at the origin without any.
pub(super) fn bounds<'a>(
    points: impl Iterator<Item = &'a Point2<f64>>,
) -> (Point2<f64>, Point2<f64>) {
    let both = points.fold(None, |found: Option<(Point2<f64>, Point2<f64>)>, point| {
        let (low, high) = found.unwrap_or((*point, *point));
        Some((low.inf(point), high.sup(point)))
    });
    both.unwrap_or_default()
}

/// The outlines of a part: its own and its holes'.
fn outlines(part: &FlatPart) -> impl Iterator<Item = &Vec<Point2<f64>>> {
    std::iter::once(&part.outline_mm).chain(&part.holes_mm)
}
